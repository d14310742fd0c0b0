//! Figures in description and note that belong into a column of their own: how long a start takes, the rotor of a slip-ring motor, one
//! phase, a power. What the row lacks is pointed at where it stands; nothing is taken over.

use std::sync::LazyLock;

use serde::Deserialize;

use super::table::Table;
use super::{matters, methods, tables, text};
use crate::finding::codes;
use crate::load::{Field, Load};

/// A matter of the table of words that a remark may state while the columns for it are empty.
#[derive(Debug)]
struct Stated {
    matter: &'static str,
    columns: Vec<Field>,
    /// Units of its figure; none where words alone say it.
    units: Vec<&'static str>,
    /// A figure up to this one is ordinary, unless a soft starter starts the motor.
    ordinary: u32,
    what: &'static str,
    cure: &'static str,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    matter: String,
    columns: String,
    units: String,
    ordinary: Option<u32>,
    what: String,
    cure: String,
}

const TABLE: &str = include_str!("tables/stated-figures.csv");

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| tables::rows(TABLE));

static STATED: LazyLock<Vec<Stated>> = LazyLock::new(|| {
    let stated = |row: &'static Row| Stated {
        matter: &row.matter,
        columns: row.columns.split_whitespace().filter_map(Field::from_name).collect(),
        units: row.units.split_whitespace().collect(),
        ordinary: row.ordinary.unwrap_or_default(),
        what: &row.what,
        cure: &row.cure,
    };
    ROWS.iter().map(stated).collect()
});

/// Figures by which a small transformer is told: of the trade, in a table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Limit {
    limit: String,
    value: f64,
    #[cfg_attr(not(test), expect(dead_code, reason = "it is for readers of the table"))]
    source: String,
}

const LIMITS: &str = include_str!("tables/small-transformers.csv");

/// A transformer below this many kilovolt-amperes, at more than this voltage, may stand between two lines.
struct Small {
    below_kva: f64,
    above_v: f64,
}

static SMALL: LazyLock<Small> = LazyLock::new(|| {
    let rows: Vec<Limit> = tables::rows(LIMITS);
    // Without its row of the table every transformer is asked about.
    let of = |name: &str, otherwise: f64| rows.iter().find(|row| row.limit == name).map_or(otherwise, |row| row.value);
    Small { below_kva: of("below_kva", f64::INFINITY), above_v: of("above_v", 0.0) }
});

/// Whether a load is a small transformer between lines of which neither a column nor a word tells the phases.
fn has_open_phases(load: &Load) -> bool {
    let power = load.number(Field::RatedPowerKva).or(load.number(Field::RatedPowerKw));
    let says = |field: &Field| {
        let words = remark(load, *field).map(matters::words_of).unwrap_or_default();
        matters::suggests("one-phase", &words) || matters::suggests("three-phase", &words)
    };
    load.text(Field::LoadKind) == Some("transformer")
        && !load.has(Field::Phases)
        && !load.has(Field::Connection)
        && power.is_some_and(|power| power < SMALL.below_kva)
        && load.number(Field::VoltageV).is_none_or(|volts| volts > SMALL.above_v)
        && !REMARKS.iter().any(says)
}

/// Units of what a load draws.
const POWERS: &[&str] = &["kw", "hp", "kva", "w", "watt", "watts", "cv", "ps", "bhp", "amp", "amps", "a"];

fn is_figure(word: &str) -> bool {
    word.bytes().all(|byte| byte.is_ascii_digit())
}

/// Whether a figure above another, with one of the units, stands in a text.
fn has_figure(words: &[String], units: &[&str], above: u32) -> bool {
    // What is too long for a number is above any.
    let counts =
        |word: &str| !word.is_empty() && is_figure(word) && word.parse().map_or(true, |figure: u32| figure > above || above == 0);
    words.windows(2).any(|pair| counts(&pair[0]) && units.contains(&pair[1].as_str()))
}

fn is_soft_started(load: &Load) -> bool {
    load.text(Field::StartingMethod).is_some_and(|method| method.starts_with("soft-starter"))
}

/// Whether the start of the row's motor goes over contactors and relays of ours.
fn starts_on_contactors(load: &Load) -> bool {
    let others = |method: &str| matches!(method, "drive" | "feeder" | "by-others" | "none");
    load.text(Field::LoadKind).is_none_or(|kind| kind == "motor")
        && load.text(Field::StartingMethod).is_some_and(|method| !others(method))
}

impl Stated {
    fn is_open_in(&self, load: &Load) -> bool {
        match self.matter {
            "closed-transition" => load.text(Field::StartingMethod) == Some("star-delta"),
            "open-transition" => load.text(Field::StartingMethod) == Some("star-delta-closed"),
            // A starter of ours has the rating of its parts.
            "short-circuit-rating" => {
                (load.text(Field::LoadKind) == Some("packaged") || load.text(Field::StartingMethod) == Some("feeder"))
                    && self.lacks(load)
            }
            "starts" | "start-interval" => starts_on_contactors(load) && self.lacks(load),
            "rotor" => load.text(Field::StartingMethod) == Some("rotor-resistance") && self.lacks(load),
            "one-phase" => load.number(Field::Phases) != Some(1.0),
            _ => self.lacks(load),
        }
    }

    fn lacks(&self, load: &Load) -> bool {
        self.columns.iter().any(|field| !load.has(*field))
    }

    /// Whether a text states it, a figure of it above another.
    fn stands_in(&self, text: &str, ordinary: u32) -> bool {
        let words = matters::words_of(text);
        let parts: Vec<&[String]> = words.split(String::is_empty).collect();
        let says = |(at, part): (usize, &&[String])| {
            matters::suggests(self.matter, part)
                && (self.units.is_empty() || has_figure(part, &self.units, ordinary))
                && !self.is_of_another(part, parts.get(at + 1).copied().unwrap_or_default())
        };
        parts.iter().enumerate().any(says)
    }

    /// Whether a part of a text, and what follows on a part that says no more, is about something beside the motor.
    fn is_of_another(&self, part: &[String], next: &[String]) -> bool {
        match self.matter {
            // `start 5 s after P-1` says when, and not how long.
            "start-time" => matters::suggests("start-sequence", part) && !matters::suggests("start-duration", part),
            // `1 phase 230 V space heater`, `1 phase, 230 V control`
            "one-phase" => {
                let bare = part.iter().all(|word| is_figure(word) || matters::is_of("beside-a-figure-of-phases", word));
                let about = [part, if bare { next } else { &[] }].concat();
                let beside = matters::suggests("beside-one-phase", &about) && !matters::suggests("one-phase-machine", &about);
                // A capacitor for the power factor is none of a motor of one phase.
                beside || matters::suggests("motor-capacitor", part)
            }
            _ => false,
        }
    }
}

/// Columns of words whose figures nobody reads, or not all of them.
const REMARKS: [Field; 3] = [Field::Notes, Field::Description, Field::StartingMethod];

/// What the sender wrote there; the value of a method is a word of our own.
fn remark(load: &Load, field: Field) -> Option<&str> {
    load.entry(field).map(|entry| entry.text.as_str())
}

/// Whether a word of a remark belongs to what the remark states, and is asked about where no column does.
pub(super) fn asks_about(word: &str, text: &str) -> bool {
    let without = text.to_lowercase().replace(word, " ");
    STATED.iter().any(|stated| stated.stands_in(text, stated.ordinary) && !stated.stands_in(&without, stated.ordinary))
}

impl Table<'_> {
    /// Asks for the phases of a small transformer, which nothing tells.
    pub(super) fn ask_of_transformer(&mut self, load: &mut Load) {
        let stated = [Field::RatedPowerKva, Field::RatedPowerKw].into_iter().find_map(|field| load.entry(field)).cloned();
        let Some(entry) = stated.filter(|_| has_open_phases(load)) else { return };
        let what = "nothing says how many phases this small transformer has: it counts as one of three".to_owned();
        let cure = "enter phases 1 or 3: those of control circuits stand between two lines as a rule (IEC 60204-1, 9.1.1), and draw 1.73 times as much from them";
        self.cell_finding(load, &codes::I485_TRANSFORMER_PHASES, entry.column as usize, &entry.text, what, cure);
    }

    /// A part of a remark that is a starting method, and another than that of its column: `VFD` beside `FVNR`.
    fn ask_of_other_method(&mut self, load: &mut Load) {
        let Some(stated) = load.text(Field::StartingMethod).filter(|method| methods::starts_a_motor(method)) else { return };
        let other = |field: &Field| {
            load.entry(*field).filter(|entry| parts_of(&entry.text).any(|part| is_another_method(part, stated))).cloned()
        };
        // What stands in the cell of the method itself is that cell's matter.
        let Some(entry) = [Field::Notes, Field::Description].iter().find_map(other) else { return };
        let what = format!("`{}` names a starting method other than that of its column, {stated}", text::shortened(&entry.text));
        let cure = "correct starting_method, or the words; where they speak of another machine, set them off from it";
        self.cell_finding(load, &codes::I476_STATED_IN_WORDS, entry.column as usize, &entry.text, what, cure);
    }

    /// Asks for what a remark states and no column does.
    pub(super) fn ask_of_remarks(&mut self, load: &mut Load) {
        self.ask_of_other_method(load);
        let open: Vec<&Stated> = STATED.iter().filter(|stated| stated.is_open_in(load)).collect();
        let mut told: Vec<&[Field]> = Vec::new();
        for stated in open {
            // What the same column answers is asked once.
            if told.contains(&stated.columns.as_slice()) {
                continue;
            }
            let ordinary = if is_soft_started(load) { 0 } else { stated.ordinary };
            let says = |field: &Field| load.entry(*field).filter(|entry| stated.stands_in(&entry.text, ordinary)).cloned();
            let Some(entry) = REMARKS.iter().find_map(says) else { continue };
            let what = format!("`{}` states {}, which no column does", text::shortened(&entry.text), stated.what);
            self.cell_finding(load, &codes::I476_STATED_IN_WORDS, entry.column as usize, &entry.text, what, stated.cure);
            told.extend((!stated.columns.is_empty()).then_some(stated.columns.as_slice()));
        }
    }
}

fn parts_of(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';', '(', ')']).map(str::trim).filter(|part| !part.is_empty())
}

/// Whether a part says nothing but a method with a starter of its own, which is another than this one. `inverter duty motor` says what
/// the motor bears, `ATS with closed transition` is a transfer switch, and the drive of a machine is its motor with what it turns.
fn is_another_method(part: &str, stated: &str) -> bool {
    let bare =
        part.strip_prefix("on ").or_else(|| part.strip_prefix("with ")).or_else(|| part.strip_prefix("w/ ")).unwrap_or(part);
    let methods::Method::Known(named, _) = methods::method(bare) else { return false };
    let brings =
        matches!(named, "drive" | "soft-starter" | "star-delta" | "star-delta-closed" | "autotransformer" | "part-winding");
    // Two letters may be anything: `at 1 m`, `SS`.
    let has_a_word = bare.split(|letter: char| !letter.is_alphabetic()).any(|word| word.chars().count() > 2);
    let same = named == stated || stated.starts_with(named) || named.starts_with(stated);
    // Drives of direct current are refused or asked about by their own finding.
    let of_another = ["no-starter", "direct-current", "direct-current-asked"];
    let words = matters::words_of(bare);
    let of_another = of_another.iter().any(|matter| matters::suggests(matter, &words));
    brings && !same && !of_another && has_a_word && methods::rest(bare).unknown.is_empty()
}

/// What a remark says of the power or the current of a load of which no column states any.
pub(super) fn of_power(load: &Load) -> Option<String> {
    let says = |field: &Field| remark(load, *field).filter(|text| has_figure(&matters::words_of(text), POWERS, 0));
    REMARKS.iter().find_map(says).map(text::shortened)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_both_tables_is_read() {
        for (row, stated) in tables::whole::<Row>(TABLE).iter().zip(STATED.iter()) {
            assert_eq!(stated.columns.len(), row.columns.split_whitespace().count(), "{row:?}");
        }
        assert!(tables::whole::<Limit>(LIMITS).iter().all(|row| row.value > 0.0 && !row.source.is_empty()));
        assert!(SMALL.below_kva.is_finite() && SMALL.above_v > 0.0);
    }

    #[rstest::rstest]
    #[case("s3", "DOL, S3-25%", true)]
    #[case("door", "DOL, S3-25%, door", false)]
    #[case("s3", "DOL, S3", false)]
    fn a_word_of_a_statement_is_told_from_others(#[case] word: &str, #[case] text: &str, #[case] asked: bool) {
        assert_eq!(asks_about(word, text), asked);
    }

    fn says(matter: &str, text: &str) -> bool {
        STATED.iter().filter(|stated| stated.matter == matter).any(|stated| stated.stands_in(text, stated.ordinary))
    }

    #[rstest::rstest]
    #[case("start time 12 s", true)]
    #[case("starts in 12 s", true)]
    #[case("heavy start, 15 s run-up", true)]
    #[case("Hochlauf 12 s", true)]
    #[case("Anlauf 12 s", true)]
    #[case("accelerates in 8 s", true)]
    #[case("starting time 12 s after voltage dip", true)]
    #[case("start 5 s after P-1", false)]
    #[case("Start 30 s before mixer", false)]
    #[case("starts pump P-2 within 5 s", false)]
    #[case("start-up time delay 20 s", false)]
    #[case("Anlauf 5 s nach P-1", false)]
    #[case("Start at 10 bar; runs 5 s", false)]
    fn the_time_of_a_start_is_told_from_its_place_in_a_sequence(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(says("start-time", text), expected);
    }

    #[rstest::rstest]
    #[case("ED 40%", true)]
    #[case("S3-40 %", true)]
    #[case("S2 30 min", true)]
    #[case("60% ED", true)]
    #[case("duty cycle 25 %", true)]
    #[case("short-time rated 30 min", true)]
    #[case("Aussetzbetrieb", true)]
    #[case("service intermittent", true)]
    #[case("S1", false)]
    #[case("100 % ED", false)]
    #[case("ED 100 %", false)]
    #[case("duty/standby", false)]
    #[case("duty point 40 m3/h", false)]
    #[case("S3", false)]
    fn a_duty_that_is_not_continuous_is_told(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(says("duty", text), expected);
    }

    #[rstest::rstest]
    #[case("VFD", "direct", true)]
    #[case("on VFD", "direct", true)]
    #[case("soft start", "direct", true)]
    #[case("wye-delta", "direct", true)]
    #[case("VFD", "drive", false)]
    #[case("soft start", "drive", true)]
    #[case("closed transition wye-delta", "star-delta", false)]
    #[case("bypass of VFD P-2", "direct", false)]
    #[case("interlock with VFD of P-1", "direct", false)]
    #[case("VFD by others", "direct", false)]
    #[case("VFD rated motor", "direct", false)]
    #[case("inverter duty motor", "direct", false)]
    #[case("inverter duty", "direct", false)]
    #[case("Drive", "direct", false)]
    #[case("SCR drive", "direct", false)]
    #[case("DC drive", "direct", false)]
    #[case("at 1 m", "direct", false)]
    #[case("drive", "star-delta", false)]
    #[case("SS", "direct", false)]
    #[case("no VFD", "direct", false)]
    #[case("HOA", "direct", false)]
    fn a_remark_that_is_another_method_is_told(#[case] part: &str, #[case] stated: &str, #[case] expected: bool) {
        assert_eq!(is_another_method(part, stated), expected);
    }

    /// IEC 60947-1, 4.3.4.3: the classes of intermittent duty begin with 1, 3 and 12 operations an hour.
    #[rstest::rstest]
    #[case("80 starts/hr", true)]
    #[case("up to 300 starts per hour", true)]
    #[case("12 starts/hr", false)]
    #[case("20 starts an hour", true)]
    #[case("starts 60 times a day", false)]
    fn more_starts_an_hour_than_usual_are_told(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(says("starts", text), expected);
    }

    #[rstest::rstest]
    #[case("davon 1 Reserve", true)]
    #[case("davon eine als Reserve", true)]
    #[case("3 pumps, of which one on standby", true)]
    #[case("dont 1 en secours", true)]
    #[case("di cui 1 di riserva", true)]
    #[case("1 Reserve-Kontakt", false)]
    #[case("Standby", true)]
    #[case("Reserve", true)]
    #[case("VFD by others, stand-by", true)]
    #[case("on standby generator", false)]
    #[case("Reserveplatz", false)]
    #[case("standby power 10 W", false)]
    fn machines_that_stand_by_are_told(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(matters::suggests("duty-and-standby", &matters::words_of(text)), expected);
    }

    #[rstest::rstest]
    #[case("1 phase", true)]
    #[case("single-phase motor", true)]
    #[case("Steuertransformator 1-phasig", true)]
    #[case("einphasig 400 V", true)]
    #[case("transformateur monophasé", true)]
    #[case("Stillstandsheizung 1-phasig", false)]
    #[case("Einphasenlaufschutz", false)]
    #[case("3-phasig", false)]
    #[case("230 V 1 ph", true)]
    #[case("1 phase motor with space heater", true)]
    #[case("1 phase pump, control by BMS", true)]
    #[case("phase loss relay, 1 phase 230 V space heater", false)]
    #[case("motor heater 1 ph 230 V", false)]
    #[case("trace heating 1 phase by others", false)]
    #[case("Steuerspannung 230 V 1 ph", false)]
    #[case("1 phase, 230V control", false)]
    #[case("single-phase preventer", false)]
    #[case("phase 1 of project", false)]
    fn one_phase_of_the_motor_is_told_from_that_of_what_stands_beside_it(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(says("one-phase", text), expected);
    }
}
