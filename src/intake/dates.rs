//! Dates of workbooks: days as spreadsheets count them, and the text that a person sees.

use super::Content;

/// A date by its serial number, counted from the end of 1899, and the number format that shows it.
pub(super) fn content(serial: f64, format: Option<&str>) -> Content {
    if !serial.is_finite() {
        return Content::Error("not a finite date".into());
    }
    let text = format.and_then(|format| shown(serial, format)).unwrap_or_else(|| plain(serial));
    Content::date(serial, text)
}

/// Year, month, day, hour, minute and second of a serial number.
fn parts(serial: f64) -> [i64; 6] {
    // The 29th of February 1900, which never was, moves the days before it by one.
    #[allow(clippy::cast_possible_truncation)] // far within, or saturating
    let seconds = ((if serial < 60.0 { serial + 1.0 } else { serial }) * 86_400.0).round() as i64;
    let (days, second) = (seconds.div_euclid(86_400), seconds.rem_euclid(86_400));
    let since_march = days.clamp(-1_000_000, 4_000_000) + 693_899;
    let era = since_march.div_euclid(146_097);
    let of_era = since_march.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * of_year + 2) / 153;
    let day = of_year - (153 * shifted + 2) / 5 + 1;
    let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    [year, month, day, second / 3_600, second / 60 % 60, second % 60]
}

/// Month and day of a serial number that is a date without a time.
pub(super) fn month_and_day(serial: f64) -> Option<(u16, u16)> {
    let [_, month, day, hour, minute, second] = parts(serial);
    let plain = serial.is_finite() && serial.abs() >= 1.0 && hour + minute + second == 0;
    plain.then_some((u16::try_from(month).ok()?, u16::try_from(day).ok()?))
}

/// First letters of the months in six languages.
const MONTH_WORDS: [&[&str]; 12] = [
    &["jan", "ene", "gen"],
    &["feb", "fev"],
    &["mar", "mrz"],
    &["apr", "avr", "abr"],
    &["may", "mai", "mag"],
    &["jun", "juin", "giu"],
    &["jul", "juil", "lug"],
    &["aug", "aou", "ago"],
    &["sep", "set"],
    &["oct", "okt", "ott", "out"],
    &["nov"],
    &["dec", "dez", "dic"],
];

/// Month and day of a text that is a date: `2-Jan`, `Jan-02`, `2026-01-02`, `02/01/2026`, `01/02`.
pub(super) fn day_and_month(text: &str) -> Option<(u16, u16)> {
    // Nearly every number parts from a date here.
    let words = text.bytes().any(|byte| byte.is_ascii_alphabetic() || byte >= 0x80);
    if !words && !text.contains('/') && text.matches(['-', '.']).count() < 2 {
        return None;
    }
    let parts: Vec<&str> = text.split(['-', '/', '.', ' ']).filter(|part| !part.is_empty()).collect();
    if !(2..=3).contains(&parts.len()) || text.len() > 16 {
        return None;
    }
    let number = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit()).then(|| part.parse::<u16>().ok()).flatten();
    let day = |part: &str| number(part).filter(|day| (1..=31).contains(day) && part.len() <= 2);
    let year = |part: Option<&&str>| part.is_none_or(|part| number(part).is_some() && matches!(part.len(), 2 | 4));
    let month = |part: &str| {
        let key = super::fold::key(part);
        let named = MONTH_WORDS.iter().position(|words| words.iter().any(|word| key.len() >= 3 && key.starts_with(word)));
        named.and_then(|index| u16::try_from(index + 1).ok()).filter(|_| key.bytes().all(|byte| byte.is_ascii_alphabetic()))
    };
    if let (Some(day), Some(month)) = (day(parts[0]), month(parts[1])) {
        return year(parts.get(2)).then_some((month, day));
    }
    if let (Some(month), Some(day)) = (month(parts[0]), day(parts[1])) {
        return year(parts.get(2)).then_some((month, day));
    }
    let (first, second) = (number(parts[0])?, number(parts[1])?);
    match parts.get(2).map(|part| (number(part), part.len())) {
        // The year in front.
        Some((Some(third), 1 | 2)) if parts[0].len() == 4 && text.matches(['-', '/']).count() == 2 => Some((second, third)),
        // The year behind.
        Some((Some(_), 4)) if text.matches(['-', '/', '.']).count() == 2 && first <= 31 && second <= 31 => Some((first, second)),
        None if text.contains('/') && parts.iter().all(|part| part.len() == 2) && parts[0].starts_with('0') && first <= 12 => {
            Some((first, second))
        }
        _ => None,
    }
}

/// The date as the international standard writes it; the time alone where there is no day.
fn plain(serial: f64) -> String {
    let [year, month, day, hour, minute, second] = parts(serial);
    let date = format!("{year:04}-{month:02}-{day:02}");
    let time = format!("{hour:02}:{minute:02}:{second:02}");
    match (serial.abs() < 1.0, hour + minute + second > 0) {
        (true, _) => time,
        (false, true) => format!("{date} {time}"),
        (false, false) => date,
    }
}

const MONTHS: [&str; 12] =
    ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/// Formats that every workbook knows by number.
pub(super) fn built_in(number: u32) -> Option<&'static str> {
    Some(match number {
        9 => "0%",
        10 => "0.00%",
        14 => "m/d/yyyy",
        15 => "d-mmm-yy",
        16 => "d-mmm",
        17 => "mmm-yy",
        18 => "h:mm AM/PM",
        19 => "h:mm:ss AM/PM",
        20 => "h:mm",
        21 => "h:mm:ss",
        22 => "m/d/yyyy h:mm",
        45 => "mm:ss",
        46 => "[h]:mm:ss",
        47 => "mm:ss.0",
        _ => return None,
    })
}

/// Whether a number format shows per cent.
pub(super) fn is_percent(format: &str) -> bool {
    let mut quoted = false;
    let mut characters = format.chars();
    while let Some(c) = characters.next() {
        match c {
            '"' => quoted = !quoted,
            '\\' | '_' | '*' => drop(characters.next()),
            '%' if !quoted => return true,
            _ => {}
        }
    }
    false
}

/// A date as a format shows it, where the format holds nothing but what is known here.
fn shown(serial: f64, format: &str) -> Option<String> {
    let clock = parts(serial);
    let format = format.split(';').next()?;
    let characters: Vec<char> = format.chars().collect();
    let twelve = format.to_ascii_uppercase().contains("AM/PM");
    let mut text = String::new();
    let mut at = 0;
    // `m` after hours or before seconds means minutes.
    let mut after_hours = false;
    while let Some(&c) = characters.get(at) {
        if let Some((words, length)) = literal(&characters[at..], clock[3])? {
            text.push_str(&words);
            at += length;
            continue;
        }
        let lower = c.to_ascii_lowercase();
        let count = characters[at..].iter().take_while(|character| character.to_ascii_lowercase() == lower).count();
        let behind = &characters[at + count..];
        let before_seconds =
            behind.iter().find(|letter| letter.is_ascii_alphabetic()).is_some_and(|letter| matches!(letter, 's' | 'S'));
        at += count;
        match lower {
            // The name of the weekday is left out, with what parts it from the date.
            'd' if count > 2 => {
                at += behind.iter().take_while(|character| matches!(character, ',' | ' ')).count();
                continue;
            }
            'y' | 'm' | 'd' | 'h' | 's' => {
                text.push_str(&part_of(clock, lower, count, after_hours || before_seconds, twelve)?);
                after_hours = lower == 'h';
            }
            '/' | '-' | '.' | ',' | ':' | ' ' => text.extend(std::iter::repeat_n(c, count)),
            '_' | '@' | '0' => {}
            _ => return None,
        }
    }
    let text = text.trim().trim_end_matches('.').to_owned();
    (!text.is_empty()).then_some(text)
}

/// The text that a format shows as it stands, and how many of its characters that takes: quoted and escaped text, `AM/PM`, nothing for a
/// colour or a language. None where it can't be shown: elapsed time.
fn literal(format: &[char], hour: i64) -> Option<Option<(String, usize)>> {
    let until = |from: usize, closing: char| format[from..].iter().position(|character| *character == closing);
    let halves: String = format.iter().take(5).collect();
    Some(match format.first() {
        Some('[') => {
            let end = until(0, ']')?;
            let elapsed = format[1..end].iter().all(|letter| matches!(letter.to_ascii_lowercase(), 'h' | 'm' | 's'));
            if elapsed {
                return None;
            }
            Some((String::new(), end + 1))
        }
        Some('"') => {
            let end = until(1, '"')?;
            Some((format[1..=end].iter().collect(), end + 2))
        }
        Some('\\') => Some((format.get(1).into_iter().collect(), 2)),
        _ if halves.eq_ignore_ascii_case("am/pm") => Some((if hour < 12 { "AM" } else { "PM" }.to_owned(), 5)),
        _ => None,
    })
}

/// A part of a date or time in so many letters of its code; `minutes` says that `m` means them, `twelve` that hours go to twelve.
fn part_of(
    [year, month, day, hour, minute, second]: [i64; 6],
    code: char,
    count: usize,
    minutes: bool,
    twelve: bool,
) -> Option<String> {
    let two = |number: i64| if count >= 2 { format!("{number:02}") } else { number.to_string() };
    let name = usize::try_from(month - 1).ok().and_then(|month| MONTHS.get(month))?;
    Some(match code {
        'y' if count > 2 => format!("{year:04}"),
        'y' => format!("{:02}", year.rem_euclid(100)),
        'm' if count <= 2 && minutes => two(minute),
        'm' if count <= 2 => two(month),
        'm' if count == 3 => name[..3].to_owned(),
        'm' => (*name).to_owned(),
        'd' => two(day),
        'h' if twelve => two((hour + 11) % 12 + 1),
        'h' => two(hour),
        _ => two(second),
    })
}

/// Serial number of `2026-01-02` or `2026-01-02T10:00:00`.
pub(super) fn serial_of_iso(text: &str) -> Option<f64> {
    let number = |from: usize, to: usize| text.get(from..to)?.parse::<u32>().ok();
    let date = days(i64::from(number(0, 4)?), i64::from(number(5, 7)?), i64::from(number(8, 10)?));
    let part = |from, to| number(from, to).map_or(0.0, f64::from);
    Some(date + (part(11, 13) * 3_600.0 + part(14, 16) * 60.0 + part(17, 19)) / 86_400.0)
}

/// Days of a date in the proleptic Gregorian calendar, counted as spreadsheets do: 1900-03-01 is 61.
pub(super) fn days(year: i64, month: i64, day: i64) -> f64 {
    let year = if month <= 2 { year - 1 } else { year };
    let era = year.div_euclid(400);
    let of_era = year.rem_euclid(400);
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    let since_march_0000 = era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year;
    // 1899-12-30, day 0 of spreadsheets, is day 693 899 counted from 0000-03-01.
    #[allow(clippy::cast_precision_loss)] // years of four digits
    let days = (since_march_0000 - 693_899) as f64;
    days
}

#[cfg(test)]
mod tests {
    use super::*;

    // Serial numbers of dates: ECMA-376 part 1, 18.17.4.1 (1900 base).
    #[rstest::rstest]
    #[case::new_year_2000("2000-01-01", 36_526.0)]
    #[case::after_the_false_leap_day("1900-03-01", 61.0)]
    #[case::with_time("2000-01-01T12:00:00", 36_526.5)]
    fn serial_numbers_are_those_of_the_standard(#[case] date: &str, #[case] expected: f64) {
        assert_eq!(serial_of_iso(date), Some(expected));
    }

    #[test]
    fn every_day_comes_back() {
        for serial in 61..100_000 {
            let [year, month, day, ..] = parts(f64::from(serial));
            assert!((days(year, month, day) - f64::from(serial)).abs() < 0.5, "{serial}");
        }
    }

    // Spreadsheet programs show 2 January 2026, 09:05 (46024.378...) so, read off the meaning of each code.
    #[rstest::rstest]
    #[case::fraction("d-mmm", "2-Jan")]
    #[case::numbers("dd/mm", "02/01")]
    #[case::american("m/d/yyyy", "1/2/2026")]
    #[case::escaped("yyyy\\-mm\\-dd", "2026-01-02")]
    #[case::language("[$-409]d\\-mmm\\-yy;@", "2-Jan-26")]
    #[case::time("dd.mm.yyyy hh:mm", "02.01.2026 09:05")]
    #[case::minutes_first("mm:ss", "05:00")]
    #[case::twelve("h:mm AM/PM", "9:05 AM")]
    #[case::weekday("dddd, d mmmm yyyy", "2 January 2026")]
    #[case::unknown("[h]:mm", "2026-01-02 09:05:00")]
    #[case::none("", "2026-01-02 09:05:00")]
    fn a_date_reads_as_its_format_shows_it(#[case] format: &str, #[case] expected: &str) {
        let serial = 46_024.0 + (9.0 * 60.0 + 5.0) / 1_440.0;
        assert_eq!(content(serial, Some(format)), Content::date(serial, expected));
    }

    #[rstest::rstest]
    #[case("2-Jan", Some((1, 2)))]
    #[case("Jan-02", Some((1, 2)))]
    #[case("03. Apr", Some((4, 3)))]
    #[case("4-févr.", Some((2, 4)))]
    #[case("2026-01-02", Some((1, 2)))]
    #[case("02/01/2026", Some((2, 1)))]
    #[case("01/02", Some((1, 2)))]
    #[case("1/2", None)]
    #[case("7-1/2", None)]
    #[case("7 1/2", None)]
    #[case("11/2.8", None)]
    #[case("5.5", None)]
    #[case("1 200", None)]
    #[case("10 mar", Some((3, 10)))]
    #[case("5 max", None)]
    #[case("25/12", None)]
    fn dates_are_told_from_fractions_and_ranges(#[case] text: &str, #[case] expected: Option<(u16, u16)>) {
        assert_eq!(day_and_month(text), expected);
    }

    #[test]
    fn per_cent_is_told_by_the_format() {
        assert!(is_percent("0.0%") && is_percent("0 %;-0 %"));
        assert!(!is_percent("0.0\"%\"") && !is_percent("0.0\\%") && !is_percent("General"));
    }
}
