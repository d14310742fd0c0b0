//! Duty types, running and standby, and their counts, as schedules note them.

use std::sync::LazyLock;

use super::fold;
use super::tables::WordLists;
use crate::load::duty as load_duty;

/// The meaning of a cell about duty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Duty {
    /// `S3 40%`, `continuous` ...
    Type(String),
    /// A time rating without its kind of duty: `30 min`.
    Rated(String),
    /// `duty`, `standby`, `assist` or `spare`.
    Running(&'static str),
    /// Machines that run and machines that stand by.
    Counts(u32, u32),
    /// Machines that stand by for each other, and not how many: `A/B`, `D/S`.
    Pair,
    /// Not understood.
    Unknown,
}

const TABLE: &str = include_str!("tables/duty-words.csv");

/// Words of whole cells.
struct Words {
    standby: Vec<&'static str>,
    runs: Vec<&'static str>,
    assist: Vec<&'static str>,
    spare: Vec<&'static str>,
    /// Words of a duty with its name.
    types: Vec<(Vec<&'static str>, &'static str)>,
    /// Words of a duty beside a time, with its name.
    timed: Vec<(Vec<&'static str>, &'static str)>,
    /// Units and words that a time rating may hold besides.
    time_units: Vec<&'static str>,
    idle: Vec<&'static str>,
    other_heading: Vec<&'static str>,
    yes: Vec<&'static str>,
    no: Vec<&'static str>,
}

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    let lists = WordLists::of(TABLE);
    let named = |names: &[&'static str]| names.iter().map(|name| (lists.that_say(name), *name)).collect();
    Words {
        standby: lists.that_say("standby"),
        runs: lists.that_say("duty"),
        assist: lists.that_say("assist"),
        spare: lists.that_say("spare"),
        types: named(&["continuous", "intermittent", "infrequent", "short-time"]),
        timed: named(&["intermittent", "short-time", "periodic", "varying"]),
        time_units: lists.that_say("time-unit"),
        idle: lists.that_say("idle"),
        other_heading: lists.that_say("other-heading"),
        yes: lists.that_say("yes"),
        no: lists.that_say("no"),
    }
});

/// Reads a cell of a column about duty. A lone `S` is standby.
pub(super) fn duty(text: &str) -> Duty {
    if let Some(duty_type) = duty_type(text) {
        return Duty::Type(duty_type);
    }
    let key = fold::key(text);
    let named = WORDS.types.iter().find(|(words, _)| words.contains(&key.as_str()));
    match named {
        Some((_, duty)) => Duty::Type((*duty).to_owned()),
        None => time_rating(text).unwrap_or_else(|| running(text)),
    }
}

/// `30 min`, `30 & 60 MIN`, `15-minute`, `INT 30 MIN`: a time rating as nameplates of NFPA 70, Table 430.22(E) have it.
fn time_rating(text: &str) -> Option<Duty> {
    let tidy = fold::tidy(text);
    let words = fold::words(&tidy);
    let minutes = load_duty::minutes(&tidy.replace('-', " ")).filter(|minutes| *minutes <= MOST_MINUTES)?;
    let kind = |word: &String| WORDS.timed.iter().find(|(list, _)| list.contains(&word.as_str())).map(|(_, name)| *name);
    let idle = |word: &String| {
        let unit = word.trim_start_matches(|letter: char| letter.is_ascii_digit());
        unit.is_empty() || WORDS.time_units.contains(&unit) || WORDS.idle.contains(&unit)
    };
    let kinds: Vec<&str> = words.iter().filter_map(kind).collect();
    let known = words.iter().all(|word| idle(word) || kind(word).is_some());
    match kinds.as_slice() {
        [] if known => Some(Duty::Rated(format!("short-time {minutes} min"))),
        [name] if known => Some(Duty::Type(format!("{name} {minutes} min"))),
        _ => None,
    }
}

/// Longest time rating of a motor that is rated for a time: beyond it stands what runs for hours.
const MOST_MINUTES: f64 = 120.0;

/// Reads a cell of a column about running and standby.
pub(super) fn running(text: &str) -> Duty {
    let key = fold::key(text);
    let is = |words: &[&str]| words.contains(&key.as_str());
    if is(&WORDS.standby) {
        Duty::Running("standby")
    } else if is(&WORDS.runs) {
        Duty::Running("duty")
    } else if is(&WORDS.assist) {
        Duty::Running("assist")
    } else if is(&WORDS.spare) {
        Duty::Running("spare")
    } else if is_pair(text) {
        Duty::Pair
    } else {
        counts(text).map_or(Duty::Unknown, |(duty, standby)| Duty::Counts(duty, standby))
    }
}

/// `A/B`, `A/B/C`: letters of the machines; `D/S`, `D+S`, `duty/standby`: one word of running and one of standby.
fn is_pair(text: &str) -> bool {
    let parts: Vec<String> = text.split(['/', '+', '&']).map(fold::key).collect();
    let letters = parts.iter().zip('a'..='h').all(|(part, letter)| part.chars().eq([letter]));
    let said = |part: &String, list: &[&str]| list.contains(&part.as_str());
    let words = parts.iter().any(|part| said(part, &WORDS.runs))
        && parts.iter().all(|part| said(part, &WORDS.runs) || said(part, &WORDS.standby));
    parts.len() > 1 && parts.len() <= 8 && (letters || words && parts.iter().any(|part| said(part, &WORDS.standby)))
}

/// Whether a heading asks for standby alone, so that a yes below it means that: `Standby (Y/N)`, and neither `Duty/Standby` nor `Running`.
pub(super) fn asks_for_standby(heading: &str) -> bool {
    let words = fold::words(&heading.replace('-', ""));
    let of = |list: &[&str]| words.iter().any(|word| word.len() > 1 && list.contains(&word.as_str()));
    of(&WORDS.standby) && !of(&WORDS.runs) && !of(&WORDS.other_heading)
}

/// Whether a heading asks for running alone: `Duty`, `Working`, `No. running`.
pub(super) fn asks_for_duty(heading: &str) -> bool {
    let words = fold::words(heading);
    let last = words.last().map(String::as_str).unwrap_or_default();
    matches!(last, "duty" | "working" | "running")
        && !words.iter().any(|word| WORDS.standby.contains(&word.as_str()) || word == "type")
}

/// `S1`, `S3 40 %`, `S2-30min`, as `S1`, `S3 40%`, `S2 30 min`.
fn duty_type(text: &str) -> Option<String> {
    let text = fold::tidy(text);
    let rest = text.strip_prefix(['S', 's'])?;
    let end = rest.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(rest.len());
    let (digits, rest) = rest.split_at(end);
    let number: u8 = digits.parse().ok()?;
    if !(1..=10).contains(&number) || digits.starts_with('0') {
        return None;
    }
    let rest = rest.trim_start_matches([' ', '-', '–', ',', ':', '/', '(']).trim_end_matches(')').trim();
    if rest.is_empty() {
        return Some(format!("S{number}"));
    }
    if !rest.chars().any(|letter| letter.is_ascii_digit()) {
        return None;
    }
    let rest = rest.replace(" %", "%");
    let spaced = match rest.find("min") {
        Some(at) if rest[..at].ends_with(|letter: char| letter.is_ascii_digit()) => format!("{} {}", &rest[..at], &rest[at..]),
        _ => rest,
    };
    Some(format!("S{number} {spaced}"))
}

/// `2 duty / 1 standby`, `1D+1S`, `1W+1S`, `2+1`.
fn counts(text: &str) -> Option<(u32, u32)> {
    let mut numbers: Vec<(u32, String)> = Vec::new();
    let mut rest = text.trim();
    while let Some(at) = rest.find(|letter: char| letter.is_ascii_digit()) {
        let after = &rest[at..];
        let end = after.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(after.len());
        let number = after[..end].parse().ok()?;
        let words = &after[end..];
        let next = words.find(|letter: char| letter.is_ascii_digit()).unwrap_or(words.len());
        numbers.push((number, fold::key(&words[..next])));
        rest = &words[next..];
    }
    let starts = text.trim_start().starts_with(|letter: char| letter.is_ascii_digit());
    let known = |word: &str, list: &[&str]| {
        let bare = word.trim_start_matches('x');
        list.contains(&bare)
            || list.contains(&bare.trim_end_matches("plus"))
            || list.iter().any(|listed| listed.len() > 3 && bare.starts_with(listed))
    };
    match numbers.as_slice() {
        [(duty, one), (standby, other)] if starts => {
            // `1R + 1S`: R is running where S stands beside it.
            let named = (known(one, &WORDS.runs) || one.trim_end_matches("plus") == "r") && known(other, &WORDS.standby);
            let bare = one.is_empty() && other.is_empty() && (text.contains('+') || is_one_of_two(text));
            (named || bare).then_some((*duty, *standby))
        }
        [(duty, one)] if starts && known(one, &WORDS.runs) => Some((*duty, 0)),
        _ => None,
    }
}

/// `1/1`: one on duty and one standby. `1/2` may be a fraction.
pub(super) fn is_one_of_two(text: &str) -> bool {
    text.split('/').map(str::trim).eq(["1", "1"])
}

/// Yes or no in six languages and as ticks; `S` is yes only where the column holds nothing but yes and no.
pub(super) fn yes_no(text: &str) -> Option<bool> {
    let text = text.trim();
    if matches!(text, "✓" | "✔" | "☑" | "●" | "•" | "√" | "■") {
        return Some(true);
    }
    if matches!(text, "☐" | "○" | "✗" | "✘") {
        return Some(false);
    }
    let key = fold::key(text);
    let is = |words: &[&str]| words.contains(&key.as_str());
    if is(&WORDS.yes) { Some(true) } else { is(&WORDS.no).then_some(false) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_is_read() {
        let known = [
            "standby",
            "duty",
            "spare",
            "continuous",
            "intermittent",
            "infrequent",
            "short-time",
            "assist",
            "periodic",
            "varying",
            "time-unit",
            "idle",
            "other-heading",
            "yes",
            "no",
        ];
        let lists = WordLists::of(TABLE);
        assert_eq!(lists.said(), known);
        let of = |says| lists.that_say(says);
        let folded = |word: &&str| fold::key(word) == **word;
        assert!(known.iter().flat_map(|says| of(says)).all(|word| folded(&word)), "a word that no cell can be");
    }

    #[rstest::rstest]
    #[case("Standby", true)]
    #[case("Stand-by (Y/N)", true)]
    #[case("En secours", true)]
    #[case("Di riserva", true)]
    #[case("Running", false)]
    #[case("Duty / Stand-by", false)]
    #[case("D/S", false)]
    #[case("B/R", false)]
    #[case("Service/Secours", false)]
    #[case("Operação/Reserva", false)]
    fn headings_below_which_a_yes_means_standby(#[case] heading: &str, #[case] expected: bool) {
        assert_eq!(asks_for_standby(heading), expected);
    }

    #[rstest::rstest]
    #[case("S1", Duty::Type("S1".into()))]
    #[case("S3 40 %", Duty::Type("S3 40%".into()))]
    #[case("S2-30min", Duty::Type("S2 30 min".into()))]
    #[case("S2 15 min", Duty::Type("S2 15 min".into()))]
    #[case("C", Duty::Type("continuous".into()))]
    #[case("intermittent", Duty::Type("intermittent".into()))]
    #[case("30 min", Duty::Rated("short-time 30 min".into()))]
    #[case("5 MIN.", Duty::Rated("short-time 5 min".into()))]
    #[case("30 & 60 MIN", Duty::Rated("short-time 60 min".into()))]
    #[case("15-minute rated", Duty::Rated("short-time 15 min".into()))]
    #[case("INT 30 MIN", Duty::Type("intermittent 30 min".into()))]
    #[case("CONT", Duty::Type("continuous".into()))]
    #[case("INT", Duty::Type("intermittent".into()))]
    #[case("Service", Duty::Running("duty"))]
    #[case("30 l/min", Duty::Unknown)]
    #[case("S", Duty::Running("standby"))]
    #[case("stand-by", Duty::Running("standby"))]
    #[case("D", Duty::Running("duty"))]
    #[case("2 duty / 1 standby", Duty::Counts(2, 1))]
    #[case("1D+1S", Duty::Counts(1, 1))]
    #[case("1W+1S", Duty::Counts(1, 1))]
    #[case("1 bedrijf 1 reserve", Duty::Counts(1, 1))]
    #[case("bedrijf", Duty::Running("duty"))]
    #[case("Reserveplatz", Duty::Running("spare"))]
    #[case("Reserve", Duty::Running("standby"))]
    #[case("2+1", Duty::Counts(2, 1))]
    #[case("12000 m³/h", Duty::Unknown)]
    #[case("S11", Duty::Unknown)]
    fn duty_types_running_and_counts_are_told_apart(#[case] text: &str, #[case] expected: Duty) {
        assert_eq!(duty(text), expected);
    }
}
