//! Raceways: trade size from the real areas of what is in them (Chapter 9 Tables 1, 4 and 5), and the jam ratio.

use serde::Deserialize;

use crate::quantity::{Celsius, Metres, fits};
use crate::record::{Formula, Record};
use crate::rules::nec::conductor::constant;
use crate::rules::nec::impedance::Wall;
use crate::rules::units::METRES_A_FOOT;

/// A raceway.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RacewayRow {
    kind: String,
    trade_size: String,
    metric_designator: u32,
    diameter_in: f64,
    area_in2: f64,
    area_40_in2: f64,
    area_53_in2: f64,
    area_31_in2: f64,
}

/// Fill by the number of conductors.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FillRow {
    conductors_upto: Option<u32>,
    fill_pct: f64,
}

/// Names of a kind of raceway.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NamesRow {
    kind: String,
    names: String,
}

table! {
    /// Names of raceways.
    NAMES, NAMES_ROWS: NamesRow, "raceway-names"
}
table! {
    /// Raceways.
    DIMENSIONS, RACEWAY_ROWS: RacewayRow, "raceway-dimensions"
}
table! {
    /// Fill.
    FILL_LIMITS, FILL_ROWS: FillRow, "raceway-fill"
}

formula! {
    /// Area of the conductors in a raceway.
    CONTENTS: "area of the conductors in a raceway", "in²", "NFPA 70, Chapter 9 Table 5";
    "A = n A1 + m A2"; "n*A1+m*A2";
    |n, A1, m, A2| n * A1 + m * A2
}
formula! {
    /// Share of a raceway that is filled.
    FILL: "raceway fill", "%", "NFPA 70, Chapter 9 Table 1";
    "f = 100 A / A0"; "100*A/A0";
    |A, A0| 100.0 * A / A0
}
formula! {
    /// Jam ratio of three conductors.
    JAM: "jam ratio", "1", "NFPA 70, Chapter 9 Table 1, informational note 2";
    "j = D / d"; "D/d";
    |D, d| D / d
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&CONTENTS, &FILL, &JAM];

/// Kind of raceway.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Electrical metallic tubing.
    Emt,
    /// Rigid metal conduit.
    Rmc,
    /// Intermediate metal conduit.
    Imc,
    /// Rigid PVC conduit, schedule 40.
    Pvc40,
    /// Rigid PVC conduit, schedule 80.
    Pvc80,
    /// Liquidtight flexible metal conduit.
    Lfmc,
    /// Flexible metal conduit.
    Fmc,
}

impl Kind {
    /// All kinds with their words.
    pub const ALL: &'static [(Self, &'static str)] = &[
        (Self::Emt, "emt"),
        (Self::Rmc, "rmc"),
        (Self::Imc, "imc"),
        (Self::Pvc40, "pvc-40"),
        (Self::Pvc80, "pvc-80"),
        (Self::Lfmc, "lfmc"),
        (Self::Fmc, "fmc"),
    ];

    /// Reads a kind by any of its names; `pvc` alone is schedule 40.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.to_lowercase();
        let says_no_kind = |word: &&str| !word.is_empty() && !matches!(*word, "conduit" | "type" | "schedule" | "sched" | "sch");
        let words: Vec<&str> = lower.split(|letter: char| !letter.is_alphanumeric()).filter(says_no_kind).collect();
        // `sch80`, as it is written without a blank.
        let words: Vec<&str> = words.iter().map(|word| word.strip_prefix("sch").unwrap_or(word)).collect();
        let name = words.join(" ");
        let row = NAMES_ROWS.iter().find(|row| row.names.split("; ").any(|known| known == name))?;
        Self::ALL.iter().find(|(_, word)| *word == row.kind).map(|(kind, _)| *kind)
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }

    /// The material of its wall.
    #[must_use]
    pub fn wall(self) -> Wall {
        match self {
            Self::Pvc40 | Self::Pvc80 => Wall::Pvc,
            _ => Wall::Steel,
        }
    }
}

impl Kind {
    /// Why it may not be used in a wet place; none where it may.
    #[must_use]
    pub fn not_for_wet_places(self) -> Option<&'static str> {
        (self == Self::Fmc).then_some("348.12")
    }

    /// Air up to which it may be used, with the clause; none without a limit.
    #[must_use]
    pub fn hottest_air(self) -> Option<(Celsius, &'static str)> {
        match self {
            Self::Pvc40 | Self::Pvc80 => Some((Celsius(constant("pvc-ambient-most-c")), "NFPA 70, 352.12(D)")),
            _ => None,
        }
    }
}

/// Largest share that so many conductors may fill, per cent.
#[must_use]
pub fn fill_limit_pct(conductors: u32) -> f64 {
    FILL_ROWS.iter().find(|row| row.conductors_upto.is_none_or(|most| conductors <= most)).map_or(0.0, |row| row.fill_pct)
}

impl RacewayRow {
    /// Area that so many conductors may fill, as printed.
    fn allowed_in2(&self, conductors: u32) -> f64 {
        match conductors {
            0 | 1 => self.area_53_in2,
            2 => self.area_31_in2,
            _ => self.area_40_in2,
        }
    }
}

/// The contents of one raceway: live conductors of one size and equipment grounding conductors of another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contents {
    /// Live conductors, the neutral included.
    pub live: u32,
    /// Area of one, in².
    pub live_in2: f64,
    /// Equipment grounding conductors.
    pub grounding: u32,
    /// Area of one, in².
    pub grounding_in2: f64,
}

impl Contents {
    /// Conductors in all.
    #[must_use]
    pub fn count(&self) -> u32 {
        self.live.saturating_add(self.grounding)
    }

    /// Area of all of them.
    pub fn area(&self, record: &mut Record) -> f64 {
        record.step(&CONTENTS, &[f64::from(self.live), self.live_in2, f64::from(self.grounding), self.grounding_in2])
    }
}

/// A chosen raceway.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chosen {
    /// Kind.
    pub kind: Kind,
    /// Trade size, as `1-1/4`.
    pub trade_size: &'static str,
    /// Inside diameter, in.
    pub diameter_in: f64,
    /// Share that is filled, per cent.
    pub fill_pct: f64,
    /// Largest share, per cent.
    pub limit_pct: f64,
    /// The conductors go in; false if even the largest trade size is too small.
    pub holds: bool,
}

/// Place of a trade size (`3/4`, `3/4 in`, or metric designator `21`) among those of a kind.
fn place(kind: Kind, text: &str) -> Option<usize> {
    let plain = text.trim().trim_end_matches(['"', '″']).trim_end_matches("inch").trim_end_matches("in").trim();
    let plain = plain.replace(' ', "-");
    rows(kind).position(|row| row.trade_size == plain || row.metric_designator.to_string() == plain)
}

fn rows(kind: Kind) -> impl Iterator<Item = &'static RacewayRow> {
    RACEWAY_ROWS.iter().filter(move |row| row.kind == kind.word())
}

/// Tells whether a kind is made in a trade size.
#[must_use]
pub fn is_trade_size(kind: Kind, text: &str) -> bool {
    place(kind, text).is_some()
}

/// The raceway of a trade size with the contents in it; none if the kind is not made in it, or not for this length.
pub fn filled(record: &mut Record, kind: Kind, contents: Contents, length: Option<Metres>, trade_size: &str) -> Option<Chosen> {
    let row = rows(kind).nth(place(kind, trade_size)?).filter(|row| admitted(row, length))?;
    let area = contents.area(record);
    Some(in_row(record, kind, contents, row, area, fits(area, row.allowed_in2(contents.count()))))
}

fn in_row(record: &mut Record, kind: Kind, contents: Contents, row: &'static RacewayRow, area: f64, holds: bool) -> Chosen {
    Chosen {
        kind,
        trade_size: &row.trade_size,
        diameter_in: row.diameter_in,
        fill_pct: record.step(&FILL, &[area, row.area_in2]),
        limit_pct: fill_limit_pct(contents.count()),
        holds,
    }
}

/// Tells whether a trade size may be used over a length: flexible conduit below 1/2 only where it is short (348.20(A), 350.20(A)).
fn admitted(row: &RacewayRow, length: Option<Metres>) -> bool {
    let ordinary = f64::from(row.metric_designator) >= constant("raceway-least-designator");
    ordinary || length.is_some_and(|length| length.fits(Metres(constant("smaller-raceway-upto-ft") * METRES_A_FOOT)))
}

/// The smallest trade size from a minimum up that takes the contents over this length; the largest one made if none does.
pub fn choose(
    record: &mut Record,
    kind: Kind,
    contents: Contents,
    length: Option<Metres>,
    minimum: Option<&str>,
) -> Option<Chosen> {
    let area = contents.area(record);
    let from = minimum.and_then(|text| place(kind, text)).unwrap_or(0);
    let fitting = |row: &&RacewayRow| admitted(row, length) && fits(area, row.allowed_in2(contents.count()));
    let found = rows(kind).skip(from).find(fitting);
    let row = found.or_else(|| rows(kind).last())?;
    Some(in_row(record, kind, contents, row, area, found.is_some()))
}

/// Ratio of a raceway's inside diameter to the diameter of one of three conductors pulled into it.
pub fn jam_ratio(record: &mut Record, diameter_in: f64, conductor_in: f64) -> f64 {
    record.step(&JAM, &[diameter_in, conductor_in])
}

/// Three conductors of this ratio may wedge in a bend.
#[must_use]
pub fn may_jam(ratio: f64) -> bool {
    fits(constant("jam-ratio-from"), ratio) && fits(ratio, constant("jam-ratio-to"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_agree_with_diameters_and_shares() {
        for row in RACEWAY_ROWS.iter() {
            let name = format!("{} {}", row.kind, row.trade_size);
            assert!(Kind::parse(&row.kind).is_some(), "{name}");
            let circle = std::f64::consts::PI / 4.0 * row.diameter_in * row.diameter_in;
            assert!((circle - row.area_in2).abs() < 0.0011 + 0.001 * circle, "{name}: {} against {circle}", row.area_in2);
            for (pct, area) in [(40.0, row.area_40_in2), (53.0, row.area_53_in2), (31.0, row.area_31_in2)] {
                let share = pct / 100.0 * row.area_in2;
                assert!((share - area).abs() < 0.0016, "{name} {pct} %: {area} against {share}");
            }
        }
        for (kind, word) in Kind::ALL {
            let mut last = 0.0;
            let mut count = 0;
            for row in rows(*kind) {
                assert!(row.area_in2 > last, "{word} {}", row.trade_size);
                last = row.area_in2;
                count += 1;
            }
            assert!(count >= 10, "{word}");
        }
    }

    /// As people write them: Articles 344 (rigid metal conduit), 352 (schedules 40 and 80), 358.
    #[rstest::rstest]
    #[case("PVC 80", Some(Kind::Pvc80))]
    #[case("pvc-80", Some(Kind::Pvc80))]
    #[case("PVC80", Some(Kind::Pvc80))]
    #[case("PVC Sch. 80", Some(Kind::Pvc80))]
    #[case("PVC SCH80", Some(Kind::Pvc80))]
    #[case("Sch 80 PVC conduit", Some(Kind::Pvc80))]
    #[case("Schedule 40 PVC", Some(Kind::Pvc40))]
    #[case("PVC 40", Some(Kind::Pvc40))]
    #[case("PVC", Some(Kind::Pvc40))]
    #[case("RGS", Some(Kind::Rmc))]
    #[case("Galv. rigid", None)]
    #[case("Galvanized Rigid Steel Conduit", Some(Kind::Rmc))]
    #[case("PVC-coated RGS", Some(Kind::Rmc))]
    #[case("EMT conduit", Some(Kind::Emt))]
    #[case("PVC 60", None)]
    #[case("conduit", None)]
    #[case("LFNC", None)]
    #[case("", None)]
    fn a_kind_is_read_by_its_names(#[case] text: &str, #[case] expected: Option<Kind>) {
        assert_eq!(Kind::parse(text), expected, "{text}");
    }

    #[test]
    fn every_kind_has_names_and_no_name_has_two() {
        let names: Vec<&str> = NAMES_ROWS.iter().flat_map(|row| row.names.split("; ")).collect();
        for (index, name) in names.iter().enumerate() {
            assert!(!names[..index].contains(name), "{name}");
        }
        for (kind, word) in Kind::ALL {
            assert_eq!(Kind::parse(word), Some(*kind), "{word}");
        }
        assert_eq!(NAMES_ROWS.len(), Kind::ALL.len());
    }

    #[test]
    fn fill_follows_table_1() {
        for (count, pct) in [(1, 53.0), (2, 31.0), (3, 40.0), (4, 40.0), (15, 40.0)] {
            assert!((fill_limit_pct(count) - pct).abs() < 1e-9, "{count}");
        }
    }

    #[test]
    fn a_minimum_is_kept_and_the_largest_is_told_where_none_holds() {
        let contents = |live: u32, area: f64| Contents { live, live_in2: area, grounding: 0, grounding_in2: 0.0 };
        let of = |contents: Contents, minimum: Option<&str>| {
            choose(&mut Record::new(), Kind::Emt, contents, None, minimum).expect("a row")
        };
        // Three of 0.0097 in² (14 AWG THHN): 0.029 in² in 1/2 EMT, which takes 0.122 in².
        assert_eq!(of(contents(3, 0.0097), None).trade_size, "1/2");
        for minimum in ["3/4", "3/4 in", "3/4\"", "21"] {
            assert_eq!(of(contents(3, 0.0097), Some(minimum)).trade_size, "3/4", "{minimum}");
        }
        assert!(of(contents(3, 0.0097), None).holds);
        let none = of(contents(3, 10.0), None);
        assert!(!none.holds && none.trade_size == "4" && none.fill_pct > 100.0);
        assert!(is_trade_size(Kind::Emt, "1 1/4") && !is_trade_size(Kind::Emt, "6") && is_trade_size(Kind::Rmc, "6"));
    }

    /// NFPA 70, 348.20(A) and 350.20(A), from memory: flexible conduit of trade size 3/8 only in lengths of at most 6 ft at equipment; of
    /// all the others 1/2 is the smallest anyway. Four of 0.0097 in² (14 AWG THHN) take 0.039 in²; 3/8 FMC may hold 0.046 in² (Table 4).
    #[test]
    fn three_eighths_are_for_short_lengths_only() {
        let contents = Contents { live: 3, live_in2: 0.0097, grounding: 1, grounding_in2: 0.0097 };
        let feet = |feet: f64| Some(Metres(feet * METRES_A_FOOT));
        for kind in [Kind::Fmc, Kind::Lfmc] {
            let of = |length, minimum| choose(&mut Record::new(), kind, contents, length, minimum).expect("a row").trade_size;
            assert_eq!((of(feet(6.0), None), of(feet(6.1), None), of(None, None)), ("3/8", "1/2", "1/2"), "{kind:?}");
            assert_eq!(of(feet(150.0), Some("3/8")), "1/2", "a wish of the basis does not admit it");
            assert!(filled(&mut Record::new(), kind, contents, feet(150.0), "3/8").is_none());
            assert!(filled(&mut Record::new(), kind, contents, feet(5.0), "3/8").is_some_and(|filled| filled.holds));
        }
        for (kind, word) in Kind::ALL {
            let first = rows(*kind).find(|row| admitted(row, None)).map(|row| row.trade_size.as_str());
            assert_eq!(first, Some("1/2"), "{word}");
        }
    }

    #[test]
    fn conductors_jam_between_2_8_and_3_2() {
        for (ratio, jams) in [(2.79, false), (2.8, true), (3.0, true), (3.2, true), (3.21, false), (f64::NAN, false)] {
            assert_eq!(may_jam(ratio), jams, "{ratio}");
        }
    }
}
