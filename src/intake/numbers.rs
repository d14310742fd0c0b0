//! Numbers as people write them: either decimal mark, thousands, fractions, units inside the cell, two speeds, two units.
//!
//! A text that can be read in two ways is refused; no reading is chosen.

use std::borrow::Cow;

use super::units::{Unit, unit_of};

/// Why a text is no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NumberError {
    /// It is none.
    Bad,
    /// A mark with three digits behind it: thousands or decimals.
    Ambiguous,
    /// A date, as spreadsheets make of a fraction.
    Date,
}

/// The reading of a cell of a measured value.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Reading {
    /// One value, its unit if the cell names one, and whether thousands were grouped.
    One(f64, Option<Unit>, bool),
    /// A fraction such as `7-1/2`.
    Fraction(f64, Option<Unit>),
    /// Values at high and low speed.
    Two(f64, f64, Option<Unit>),
    /// The same power in two units.
    Both((f64, Unit), (f64, Unit)),
    /// One value and another in brackets behind it, of which one alone has a unit: the other has that of the column.
    Beside((f64, Option<Unit>), (f64, Option<Unit>)),
    /// About, at most, from to: not a value that can be worked with.
    Vague,
    /// Several motors or several ratings in one cell.
    Several,
}

impl Reading {
    /// Values of two speeds, the higher first, where the reading may be theirs.
    pub(super) fn speeds(&self) -> Option<(f64, f64, Option<Unit>)> {
        match *self {
            Self::Two(high, low, unit) => Some((high, low, unit)),
            Self::Beside((one, unit), (two, other)) => Some((one.max(two), one.min(two), unit.or(other))),
            _ => None,
        }
    }
}

/// Reads one number and tells whether thousands were grouped.
pub(super) fn number(text: &str) -> Result<(f64, bool), NumberError> {
    let text = text.trim();
    if let Some(inner) = text.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        return number(inner).map(|(value, grouped)| (-value, grouped));
    }
    if let Some(rest) = text.strip_prefix(['-', '\u{2212}', '–']) {
        return unsigned(rest).map(|(value, grouped)| (-value, grouped));
    }
    unsigned(text.strip_prefix('+').unwrap_or(text))
}

fn unsigned(text: &str) -> Result<(f64, bool), NumberError> {
    if let Some(at) = text.find(['e', 'E']) {
        return with_exponent(text, at);
    }
    let (plain, mut grouped) = without_group_blanks(text)?;
    let (points, commas) = (plain.matches('.').count(), plain.matches(',').count());
    let decimal = match (points, commas) {
        (0, 0) => None,
        (1, 0) => Some('.'),
        (0, 1) => Some(','),
        // Where both kinds stand, the last is the decimal mark; one kind that stands twice groups thousands.
        (1.., 1..) if plain.rfind('.') > plain.rfind(',') => Some('.'),
        (1.., 1..) => Some(','),
        _ => None,
    };
    let (whole, rest) = match decimal {
        Some(mark) => plain.split_at(plain.rfind(mark).unwrap_or(plain.len())),
        None => (plain.as_ref(), ""),
    };
    let fraction = rest.get(1..).unwrap_or("");
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(fraction) || (rest.len() == 1) {
        return Err(NumberError::Bad);
    }
    let whole = if whole.contains(['.', ',']) {
        let mut parts = whole.split(['.', ',']);
        let first = parts.next().unwrap_or("");
        if first.is_empty() || first.len() > 3 || !parts.all(|part| part.len() == 3 && digits(part)) {
            return Err(NumberError::Bad);
        }
        if decimal.is_some_and(|mark| whole.contains(mark)) || (whole.contains('.') && whole.contains(',')) {
            return Err(NumberError::Bad);
        }
        grouped = true;
        Cow::Owned(whole.replace(['.', ','], ""))
    } else {
        Cow::Borrowed(whole)
    };
    if !digits(&whole) || (whole.is_empty() && fraction.is_empty()) {
        return Err(NumberError::Bad);
    }
    let lone = points + commas == 1 && !grouped;
    if lone && fraction.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
        return Err(NumberError::Ambiguous);
    }
    let text = if fraction.is_empty() { whole.into_owned() } else { format!("{whole}.{fraction}") };
    text.parse().map(|value| (value, grouped)).map_err(|_| NumberError::Bad)
}

fn with_exponent(text: &str, at: usize) -> Result<(f64, bool), NumberError> {
    let (front, back) = (text.get(..at).unwrap_or(""), text.get(at + 1..).unwrap_or(""));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let plain =
        front.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') && front.starts_with(|c: char| c.is_ascii_digit());
    if !plain || !digits(back.trim_start_matches(['+', '-'])) {
        return Err(NumberError::Bad);
    }
    text.parse().map(|value| (value, false)).map_err(|_| NumberError::Bad)
}

/// Takes blanks and apostrophes out from between groups of three digits.
fn without_group_blanks(text: &str) -> Result<(Cow<'_, str>, bool), NumberError> {
    let mark = |letter: char| letter.is_whitespace() || matches!(letter, '\'' | '’');
    if !text.contains(mark) {
        return Ok((Cow::Borrowed(text), false));
    }
    let end = text.find(['.', ',']).unwrap_or(text.len());
    let (whole, rest) = text.split_at(end);
    let parts: Vec<&str> = whole.split(mark).collect();
    let good = |index: usize, part: &str| {
        part.bytes().all(|byte| byte.is_ascii_digit()) && if index == 0 { (1..=3).contains(&part.len()) } else { part.len() == 3 }
    };
    if rest.contains(mark) || !parts.iter().enumerate().all(|(index, part)| good(index, part)) {
        return Err(NumberError::Bad);
    }
    Ok((Cow::Owned(format!("{}{rest}", parts.concat())), true))
}

/// Reads a cell of a measured value.
pub(super) fn reading(text: &str) -> Result<Reading, NumberError> {
    // Digits and marks alone are a number or nothing; the rest of the grammar has no say in them.
    if text.ends_with(|last: char| last.is_ascii_digit())
        && text.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','))
    {
        let read = number(text).map(|(value, grouped)| Reading::One(value, None, grouped));
        // Digits that are no number may still be a date.
        if read != Err(NumberError::Bad) {
            return read;
        }
    }
    reading_of(&super::fold::tidy(text))
}

fn reading_of(text: &str) -> Result<Reading, NumberError> {
    if super::dates::day_and_month(text).is_some() {
        return Err(NumberError::Date);
    }
    if is_vague(text) {
        return Ok(Reading::Vague);
    }
    if let Some((value, unit)) = fraction(text) {
        return Ok(Reading::Fraction(value, unit));
    }
    if let Some(reading) = several(text) {
        return Ok(reading);
    }
    let (number_text, unit) = split_unit(text);
    match number(number_text) {
        Ok((value, grouped)) if number_text.len() == text.len() || unit.is_some() => Ok(Reading::One(value, unit, grouped)),
        Ok(_) => Err(NumberError::Bad),
        Err(error) if number_text.len() == text.len() || unit.is_some() => Err(error),
        Err(_) => Err(NumberError::Bad),
    }
}

fn is_vague(text: &str) -> bool {
    let lower = text.to_lowercase();
    let digit = lower.chars().any(|letter| letter.is_ascii_digit());
    let before = ["~", "≈", "<", ">", "≤", "≥", "±"];
    let words = [
        "ca", "ca.", "approx", "approx.", "circa", "about", "env.", "env", "environ", "aprox.", "aprox", "max", "max.", "min",
        "min.", "etwa", "est.", "est",
    ];
    let word = |word: &str| words.contains(&word);
    digit
        && (before.iter().any(|mark| lower.starts_with(mark))
            || lower.split(' ').next().is_some_and(word)
            || lower.split(' ').next_back().is_some_and(word)
            || is_range(&lower))
}

/// `5-9`, `4,1 – 10,4`; a fraction such as `7-1/2` is none.
fn is_range(text: &str) -> bool {
    let Some((first, last)) = text.split_once(['-', '–', '—']) else { return false };
    let (last, _) = split_unit(last.trim());
    !text.contains('/') && number(first.trim()).is_ok() && number(last).is_ok() && !first.is_empty()
}

/// The number in front and the unit behind it; the unit may stand in front too, as in `AC 400`.
fn split_unit(text: &str) -> (&str, Option<Unit>) {
    let last = text.rfind(|letter: char| letter.is_ascii_digit() || glyph(letter).is_some());
    let Some(last) = last else { return (text, None) };
    let end = last + text[last..].chars().next().map_or(1, char::len_utf8);
    let (front, back) = text.split_at(end);
    // `7,5,` and `5.` keep their stray mark, and are no numbers.
    let back_trimmed = back.trim();
    if back_trimmed.is_empty() || back_trimmed == ")" {
        return (text, None);
    }
    match unit_of(back_trimmed) {
        Some(unit) => (front.trim(), Some(unit)),
        None => (text, None),
    }
}

fn glyph(letter: char) -> Option<(u32, u32)> {
    Some(match letter {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅙' => (1, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

/// `1/3`, `7-1/2`, `7 1/2`, `½`, `1½`, each with or without a unit.
pub(super) fn fraction(text: &str) -> Option<(f64, Option<Unit>)> {
    let (text, unit) = split_unit(text);
    let glyphs = text.contains(|letter| glyph(letter).is_some());
    let spelt: Cow<'_, str> = match text.chars().find_map(|letter| glyph(letter).map(|parts| (letter, parts))) {
        Some((letter, (above, below))) => Cow::Owned(text.replacen(letter, &format!(" {above}/{below}"), 1)),
        None => Cow::Borrowed(text),
    };
    let (front, below) = spelt.split_once(['/', '⁄'])?;
    let front = front.trim_end();
    let digits = front.bytes().rev().take_while(u8::is_ascii_digit).count();
    let (whole, above) = front.split_at(front.len() - digits);
    let whole = whole.trim().strip_suffix('-').unwrap_or(whole.trim()).trim();
    let count = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse::<u16>().ok()).flatten();
    let (above, below) = (count(above)?, count(below.trim())?);
    let whole = if whole.is_empty() { 0 } else { count(whole)? };
    let proper = if glyphs || whole > 0 { below > 0 && above > 0 && above < below } else { is_usual_fraction(above, below) };
    proper.then(|| (f64::from(whole) + f64::from(above) / f64::from(below), unit))
}

/// Whether a motor may have this fraction of a horsepower; `5/20` and `2/5` are rather those of two speeds.
pub(super) fn is_usual_fraction(above: u16, below: u16) -> bool {
    match above {
        0 => false,
        1 => (2..=100).contains(&below),
        _ => above < below && matches!(below, 3 | 4 | 8 | 16) && (above % 2 == 1 || below == 3),
    }
}

/// One of two values in a cell: a number or a fraction, with or without a unit.
fn part(text: &str) -> Option<(f64, Option<Unit>)> {
    if let Some((value, unit)) = fraction(text) {
        return Some((value, unit));
    }
    let (front, unit) = split_unit(text);
    number(front).ok().filter(|_| front.len() == text.len() || unit.is_some()).map(|(value, _)| (value, unit))
}

/// Two bare values with a stroke between them, in their order: `15/20`, `5.5 / 7-1/2`. A stroke of a fraction parts nothing.
pub(super) fn pair(text: &str) -> Option<(f64, f64)> {
    let bare = |text: &str| part(text.trim()).filter(|(value, unit)| *value > 0.0 && unit.is_none()).map(|(value, _)| value);
    text.match_indices('/').find_map(|(at, mark)| Some((bare(&text[..at])?, bare(&text[at + mark.len()..])?)))
}

/// Two values in one cell, or several motors.
fn several(text: &str) -> Option<Reading> {
    let lower = text.to_lowercase();
    let counted = lower.strip_prefix('(').is_some_and(|rest| {
        rest.split_once(')').is_some_and(|(count, after)| {
            !count.is_empty() && count.bytes().all(|byte| byte.is_ascii_digit()) && after.contains(|c: char| c.is_ascii_digit())
        })
    });
    let times = lower.split_once(['x', '×', '*']).is_some_and(|(count, after)| {
        let count = count.trim();
        !count.is_empty()
            && count.bytes().all(|byte| byte.is_ascii_digit())
            && after.trim_start().starts_with(|c: char| c.is_ascii_digit())
            && !after.trim_start().starts_with("0x")
            && count != "0"
    });
    if counted || times {
        return Some(Reading::Several);
    }
    let bracketed = text.split_once('(').filter(|(_, rest)| rest.ends_with(')'));
    let (first, second) = match bracketed {
        Some((first, rest)) => (first.trim(), rest.trim_end_matches(')').trim()),
        None => text.split_once('/').map(|(first, second)| (first.trim(), second.trim()))?,
    };
    let strokes = if bracketed.is_some() { 0 } else { text.matches('/').count() };
    if lower.contains("vac") || strokes > 1 {
        return first.starts_with(|c: char| c.is_ascii_digit()).then_some(Reading::Several);
    }
    let ((one, unit_of_one), (two, unit_of_two)) = (part(first)?, part(second)?);
    if one <= 0.0 || two <= 0.0 {
        return None;
    }
    match (unit_of_one, unit_of_two) {
        (Some(a), Some(b)) if a != b => Some(Reading::Both((one, a), (two, b))),
        (Some(_), None) | (None, Some(_)) if bracketed.is_some() => Some(Reading::Beside((one, unit_of_one), (two, unit_of_two))),
        (Some(unit), None) | (None | Some(_), Some(unit)) => Some(Reading::Two(one.max(two), one.min(two), Some(unit))),
        (None, None) => Some(Reading::Two(one.max(two), one.min(two), None)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::whole("11", 11.0, false)]
    #[case::point("5.5", 5.5, false)]
    #[case::comma("5,5", 5.5, false)]
    #[case::leading_zero("0,875", 0.875, false)]
    #[case::blank_groups("1 200", 1200.0, true)]
    #[case::narrow_blank("1\u{202F}104", 1104.0, true)]
    #[case::apostrophe("1'050", 1050.0, true)]
    #[case::both_marks("1.050,5", 1050.5, true)]
    #[case::both_marks_other("1,200.5", 1200.5, true)]
    #[case::many_groups("1,234,567", 1_234_567.0, true)]
    #[case::exponent("1e3", 1000.0, false)]
    #[case::negative("-5.5", -5.5, false)]
    #[case::accountant("(5.5)", -5.5, false)]
    #[case::long_fraction("2.20625", 2.20625, false)]
    fn either_decimal_mark_and_groups_of_three_are_read(#[case] text: &str, #[case] value: f64, #[case] grouped: bool) {
        assert_eq!(number(text), Ok((value, grouped)));
    }

    #[rstest::rstest]
    #[case::comma("1,500", NumberError::Ambiguous)]
    #[case::point("1.500", NumberError::Ambiguous)]
    #[case::letter_o("1O", NumberError::Bad)]
    #[case::letter_l("l5", NumberError::Bad)]
    #[case::two_points("7..5", NumberError::Bad)]
    #[case::trailing_mark("7,5,", NumberError::Bad)]
    #[case::not_a_number("nan", NumberError::Bad)]
    #[case::infinite("inf", NumberError::Bad)]
    #[case::hexadecimal("0x10", NumberError::Bad)]
    #[case::superscript("5²", NumberError::Bad)]
    #[case::filled("####", NumberError::Bad)]
    #[case::odd_groups("12 34", NumberError::Bad)]
    #[case::nothing("", NumberError::Bad)]
    fn what_reads_in_two_ways_or_none_is_refused(#[case] text: &str, #[case] error: NumberError) {
        assert_eq!(number(text), Err(error));
    }

    #[rstest::rstest]
    #[case::unit("5,5kW", Reading::One(5.5, Some(Unit::Kilowatt), false))]
    #[case::horsepower("10HP", Reading::One(10.0, Some(Unit::Horsepower), false))]
    #[case::third("1/3", Reading::Fraction(1.0 / 3.0, None))]
    #[case::hyphen("7-1/2", Reading::Fraction(7.5, None))]
    #[case::blank_and_unit("1-1/2HP", Reading::Fraction(1.5, Some(Unit::Horsepower)))]
    #[case::glyph("7 ½", Reading::Fraction(7.5, None))]
    #[case::glyph_alone("½", Reading::Fraction(0.5, None))]
    #[case::glyph_close("1½ HP", Reading::Fraction(1.5, Some(Unit::Horsepower)))]
    #[case::low_speed_first("5/20", Reading::Two(20.0, 5.0, None))]
    #[case::speeds_like_a_fraction("2/5", Reading::Two(5.0, 2.0, None))]
    #[case::thirds("2/3", Reading::Fraction(2.0 / 3.0, None))]
    #[case::speeds("25/6.3", Reading::Two(25.0, 6.3, None))]
    #[case::speeds_with_unit("11/2.8 kW", Reading::Two(11.0, 2.8, Some(Unit::Kilowatt)))]
    #[case::both("11 kW (15 HP)", Reading::Both((11.0, Unit::Kilowatt), (15.0, Unit::Horsepower)))]
    #[case::both_slash("15 HP / 11 kW", Reading::Both((15.0, Unit::Horsepower), (11.0, Unit::Kilowatt)))]
    #[case::about("~ 30", Reading::Vague)]
    #[case::at_most("30 max", Reading::Vague)]
    #[case::range("4,1 – 10,4", Reading::Vague)]
    #[case::two_motors("(2) 5", Reading::Several)]
    #[case::times("2 x 5 HP", Reading::Several)]
    #[case::dual("8CV-230VAC/15CV-400VAC", Reading::Several)]
    fn a_cell_says_one_value_or_why_it_says_none(#[case] text: &str, #[case] expected: Reading) {
        assert_eq!(reading(text), Ok(expected));
    }

    #[rstest::rstest]
    #[case::word("twenty-two")]
    #[case::often("often")]
    #[case::stray("7,5,")]
    #[case::unknown_unit("5 foo")]
    #[case::nothing_below("1/0")]
    fn what_is_no_value_gives_none(#[case] text: &str) {
        assert_eq!(reading(text), Err(NumberError::Bad));
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "[-0-9.,eE/ ()½xX~kKwWhHpPé'’]{0,16}") {
            let _ = reading(&text);
        }
    }
}
