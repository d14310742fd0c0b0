//! Reads what others chose. What can't be read is said with its reason and its cure; nothing is guessed.

use crate::intake::protection_kinds;
use crate::load::{Field, Kind, Load, ProtectionKind};
use crate::rules::physics::tripping::TripClass;
use crate::rules::units::section_mm2;

/// Why a cell can't be read, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Unreadable {
    pub(super) why: String,
    pub(super) cure: &'static str,
}

pub(super) type Read<T> = Result<T, Unreadable>;

fn refuse<T>(why: impl Into<String>, cure: &'static str) -> Read<T> {
    Err(Unreadable { why: why.into(), cure })
}

/// Columns in which choices of others stand, in the order of the table of columns.
pub(in crate::sizing) const COLUMNS: &[Field] = &[
    Field::GivenContactorA,
    Field::GivenNemaSize,
    Field::GivenOverloadRangeA,
    Field::GivenOverloadSettingA,
    Field::GivenTripClass,
    Field::GivenProtectionKind,
    Field::GivenProtectionA,
    Field::GivenMagneticA,
    Field::GivenConductor,
    Field::GivenParallel,
    Field::GivenProtectiveConductor,
    Field::GivenRaceway,
];

/// The most that a setting may be, by the column of settings.
fn most_setting() -> f64 {
    match Field::GivenOverloadSettingA.spec().kind {
        Kind::Number(_, most) => most,
        _ => f64::MAX,
    }
}

/// A setting range, as `9-13`.
pub(super) fn range(text: &str) -> Read<[f64; 2]> {
    const CURE: &str = "write the lower and the upper end in amperes, as 9-13";
    let plain = text.trim().trim_end_matches(['A', 'a']).replace(" to ", "-").replace(['–', '—'], "-");
    let number = |part: &str| {
        let part = part.trim().replace(',', ".");
        let digits = part.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        part.parse::<f64>().ok().filter(|number| digits && *number > 0.0 && number.is_finite())
    };
    let ends = plain.split_once('-').and_then(|(low, high)| Some([number(low)?, number(high)?]));
    match ends {
        Some([_, high]) if high > most_setting() => refuse(format!("no setting is above {} A", most_setting()), CURE),
        Some([low, high]) if low < high => Ok([low, high]),
        Some([low, high]) => refuse(format!("{low} is not below {high}"), CURE),
        None => refuse("it is no range of two currents", CURE),
    }
}

/// A trip class that the book has.
pub(super) fn class(text: &str, classes: &'static [&'static str]) -> Read<&'static str> {
    let found =
        TripClass::parse(text).and_then(|trip_class| classes.iter().find(|class| TripClass::parse(class) == Some(trip_class)));
    match found {
        Some(class) => Ok(class),
        None => refuse(format!("the rule book has the classes {}", classes.join(", ")), "write one of these classes"),
    }
}

/// A kind of protective device; a bare circuit-breaker is that of the book.
pub(super) fn kind(text: &str, breaker: ProtectionKind) -> Read<ProtectionKind> {
    let bare = ["circuit-breaker", "circuit breaker", "breaker"].iter().any(|word| text.trim().eq_ignore_ascii_case(word));
    let found = protection_kinds::meant(text, breaker.is_iec()).or(bare.then_some(breaker));
    match found {
        Some(kind) => Ok(kind),
        None => {
            let known: Vec<&str> = ProtectionKind::ALL.iter().map(|(_, word)| *word).collect();
            refuse(format!("known kinds are {}", known.join(", ")), "write one of these kinds")
        }
    }
}

/// Section of one conductor, mm².
pub(super) fn section(text: &str) -> Read<f64> {
    const CURE: &str = "write the size of one conductor with its unit, as 2.5 mm2, 12 AWG or 250 kcmil; several in parallel go into given_parallel";
    let plain = text.replace(',', ".");
    match section_mm2(&plain) {
        Some(area) => Ok(area),
        None if plain.trim().parse::<f64>().is_ok() => refuse("it has no unit", CURE),
        None => refuse("it is no size of a conductor", CURE),
    }
}

/// A NEMA size without the words around it.
pub(super) fn nema_size(text: &str) -> String {
    let upper = text.trim().to_uppercase();
    let bare = upper.strip_prefix("NEMA").unwrap_or(&upper).trim_start();
    bare.strip_prefix("SIZE").unwrap_or(bare).trim().to_owned()
}

/// Kind of raceway, where one is named, and trade size.
pub(super) fn raceway(text: &str) -> (Option<String>, String) {
    let text = text.trim();
    match text.split_once(char::is_whitespace) {
        Some((kind, size)) if kind.starts_with(|first: char| first.is_alphabetic()) => {
            (Some(kind.to_lowercase()), size.trim().to_owned())
        }
        _ => (None, text.to_owned()),
    }
}

/// Values that the cells of a row state; none where the cell is blank or can't be read.
#[derive(Clone, Debug, Default)]
pub(super) struct Stated {
    pub(super) range: Option<[f64; 2]>,
    pub(super) setting: Option<f64>,
    pub(super) class: Option<&'static str>,
    pub(super) kind: Option<ProtectionKind>,
    pub(super) rating: Option<f64>,
    pub(super) magnetic: Option<f64>,
    pub(super) section: Option<f64>,
    pub(super) parallel: Option<u32>,
}

impl Stated {
    pub(super) fn of(load: &Load, classes: &'static [&'static str], breaker: ProtectionKind) -> Self {
        let text = |field| load.text(field);
        Self {
            range: text(Field::GivenOverloadRangeA).and_then(|text| range(text).ok()),
            setting: load.number(Field::GivenOverloadSettingA),
            class: text(Field::GivenTripClass).and_then(|text| class(text, classes).ok()),
            kind: text(Field::GivenProtectionKind).and_then(|text| kind(text, breaker).ok()),
            rating: load.number(Field::GivenProtectionA),
            magnetic: load.number(Field::GivenMagneticA),
            section: text(Field::GivenConductor).and_then(|text| section(text).ok()),
            parallel: load.count(Field::GivenParallel),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::plain("9-13", Some([9.0, 13.0]))]
    #[case::blanks_dash_and_unit("1,6 – 2,5 A", Some([1.6, 2.5]))]
    #[case::words("9 to 13", Some([9.0, 13.0]))]
    #[case::dots("9..13", None)]
    #[case::reversed("13-9", None)]
    #[case::no_width("9-9", None)]
    #[case::one("9", None)]
    #[case::word("banana", None)]
    #[case::negative("-9-13", None)]
    #[case::three("9-13-17", None)]
    #[case::exponent("1e2-2e2", None)]
    #[case::beyond_any_relay("9-100001", None)]
    #[case::hundreds_of_digits(&format!("9-1{}", "0".repeat(400)), None)]
    fn ranges(#[case] text: &str, #[case] expected: Option<[f64; 2]>) {
        assert_eq!(range(text).ok(), expected);
    }

    // 12 AWG is 3.31 mm², 250 kcmil 127 mm²: NFPA 70, Chapter 9 Table 8.
    #[rstest::rstest]
    #[case::metric("2.5 mm2", Some(2.5))]
    #[case::written_close("2,5mm²", Some(2.5))]
    #[case::gauge("12 AWG", Some(3.31))]
    #[case::number_sign("#12 AWG", Some(3.31))]
    #[case::kcmil("250 kcmil", Some(127.0))]
    #[case::no_unit("2.5", None)]
    #[case::gauge_without_unit("12", None)]
    #[case::word("banana", None)]
    #[case::cores("3x2.5 mm2", None)]
    #[case::negative("-2.5 mm2", None)]
    #[case::nothing("0 mm2", None)]
    #[case::no_gauge("13 AWG", None)]
    #[case::endless("inf mm2", None)]
    fn sections(#[case] text: &str, #[case] expected: Option<f64>) {
        let read = section(text).ok();
        assert_eq!(read.is_some(), expected.is_some(), "{read:?}");
        assert!(read.zip(expected).is_none_or(|(one, other)| (one - other).abs() < 0.5e-2 * other), "{read:?}");
    }

    #[rstest::rstest]
    #[case::bare("1", "1")]
    #[case::words("NEMA size 00", "00")]
    #[case::half_the_words("Size 2", "2")]
    fn sizes_of_starters(#[case] text: &str, #[case] expected: &str) {
        assert_eq!(nema_size(text), expected);
    }

    #[test]
    fn a_missing_unit_is_said_as_such() {
        let unreadable = section("2.5").expect_err("no unit");
        assert!(unreadable.why.contains("no unit") && unreadable.cure.contains("2.5 mm2"), "{unreadable:?}");
    }

    #[test]
    fn classes_kinds_and_raceways() {
        const CLASSES: &[&str] = &["10A", "10", "20", "30"];
        assert_eq!(class("class 10A", CLASSES), Ok("10A"));
        assert_eq!(class("20", CLASSES), Ok("20"));
        assert!(class("99", CLASSES).is_err() && class("banana", CLASSES).is_err());
        assert_eq!(kind("GG", ProtectionKind::MouldedCase), Ok(ProtectionKind::Gg));
        assert_eq!(kind("circuit-breaker", ProtectionKind::InverseTime), Ok(ProtectionKind::InverseTime));
        assert_eq!(kind("fuse", ProtectionKind::MouldedCase), Ok(ProtectionKind::Gg));
        assert!(kind("banana", ProtectionKind::MouldedCase).is_err());
        assert_eq!(raceway("EMT 3/4"), (Some("emt".to_owned()), "3/4".to_owned()));
        assert_eq!(raceway("1 1/4"), (None, "1 1/4".to_owned()));
    }
}
