//! Figures in description and note that belong into a column of their own: how long a start takes, the rotor of a slip-ring motor, one
//! phase, a power. What the row lacks is pointed at where it stands; nothing is taken over.

use super::matters;
use super::table::Table;
use super::text;
use crate::finding::codes;
use crate::load::{Field, Load};

/// A matter of the table of words that a remark may state while the columns for it are empty.
struct Stated {
    matter: &'static str,
    columns: &'static [Field],
    /// Units of its figure; none where words alone say it.
    units: &'static [&'static str],
    what: &'static str,
    cure: &'static str,
}

const STATED: &[Stated] = &[
    Stated {
        matter: "start-time",
        columns: &[Field::StartTimeS],
        units: &["s", "sec", "secs", "second", "seconds", "sek", "sekunden", "secondes", "segundos", "secondi"],
        what: "how long the motor takes to start",
        cure: "enter start_time_s: trip class, relays and releases are chosen by it",
    },
    Stated {
        matter: "rotor",
        columns: &[Field::RotorCurrentA, Field::RotorVoltageV],
        units: &["a", "amp", "amps", "v", "volt", "volts"],
        what: "current or voltage of the rotor",
        cure: "enter rotor_current_a and rotor_voltage_v",
    },
    Stated {
        matter: "closed-transition",
        columns: &[],
        units: &[],
        what: "a closed transition",
        cure: "enter starting_method star-delta-closed: it has a fourth contactor, resistors and another timer",
    },
    Stated {
        matter: "open-transition",
        columns: &[],
        units: &[],
        what: "an open transition",
        cure: "enter starting_method star-delta, or correct the remark",
    },
    Stated {
        matter: "short-circuit-rating",
        columns: &[Field::EquipmentSccrKa],
        units: &["ka", "k", "kaic"],
        what: "the short-circuit current rating of the equipment",
        cure: "enter equipment_sccr_ka",
    },
    Stated {
        matter: "starts",
        columns: &[Field::StartsPerHour],
        units: &["starts", "start"],
        what: "starts an hour, by which a soft starter is rated",
        cure: "enter starts_per_hour",
    },
    Stated {
        matter: "duty",
        columns: &[Field::Duty],
        units: &[],
        what: "a duty that is not continuous",
        cure: "enter duty, such as S3 40 % or intermittent, and starts_per_hour: contactors, relays and releases are chosen for a motor that runs on",
    },
    Stated {
        matter: "one-phase",
        columns: &[],
        units: &[],
        what: "one phase",
        cure: "enter phases 1 if that is the load's supply, else 3",
    },
];

/// Kilovolt-amperes up to which a transformer in a machine is usually one of two lines: those of control circuits are
/// (IEC 60204-1, 9.1.1), and common practice has larger ones on three lines.
const SMALL_KVA: f64 = 10.0;
/// Volts between two lines at least; below, the phases follow from the voltage.
const BETWEEN_LINES_V: f64 = 300.0;

/// Whether a load is a small transformer between lines of which neither a column nor a word tells the phases.
fn has_open_phases(load: &Load) -> bool {
    let power = load.number(Field::RatedPowerKva).or(load.number(Field::RatedPowerKw));
    let says = |field: &Field| {
        let words = load.text(*field).map(matters::words_of).unwrap_or_default();
        matters::suggests("one-phase", &words) || matters::suggests("three-phase", &words)
    };
    load.text(Field::LoadKind) == Some("transformer")
        && !load.has(Field::Phases)
        && !load.has(Field::Connection)
        && power.is_some_and(|power| power < SMALL_KVA)
        && load.number(Field::VoltageV).is_none_or(|volts| volts > BETWEEN_LINES_V)
        && !REMARKS.iter().any(says)
}

/// Units of what a load draws.
const POWERS: &[&str] = &["kw", "hp", "kva", "w", "watt", "watts", "cv", "ps", "bhp", "amp", "amps", "a"];

fn is_figure(word: &str) -> bool {
    word.bytes().all(|byte| byte.is_ascii_digit())
}

/// Whether a figure with one of the units stands in a text.
fn has_figure(words: &[String], units: &[&str]) -> bool {
    words.windows(2).any(|pair| !pair[0].is_empty() && is_figure(&pair[0]) && units.contains(&pair[1].as_str()))
}

impl Stated {
    fn is_open_in(&self, load: &Load) -> bool {
        match self.matter {
            "closed-transition" => load.text(Field::StartingMethod) == Some("star-delta"),
            "open-transition" => load.text(Field::StartingMethod) == Some("star-delta-closed"),
            // A starter of ours has the rating of its parts.
            "short-circuit-rating" => load.text(Field::LoadKind) == Some("packaged") && self.lacks(load),
            "starts" => {
                load.text(Field::StartingMethod).is_some_and(|method| method.starts_with("soft-starter")) && self.lacks(load)
            }
            "rotor" => load.text(Field::StartingMethod) == Some("rotor-resistance") && self.lacks(load),
            "one-phase" => load.number(Field::Phases) != Some(1.0),
            _ => self.lacks(load),
        }
    }

    fn lacks(&self, load: &Load) -> bool {
        self.columns.iter().any(|field| !load.has(*field))
    }

    fn stands_in(&self, text: &str) -> bool {
        let words = matters::words_of(text);
        let parts: Vec<&[String]> = words.split(String::is_empty).collect();
        let says = |(at, part): (usize, &&[String])| {
            matters::suggests(self.matter, part)
                && (self.units.is_empty() || has_figure(part, self.units))
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
                let bare = part
                    .iter()
                    .all(|word| is_figure(word) || ["phase", "ph", "single", "one", "v", "vac"].contains(&word.as_str()));
                let about = [part, if bare { next } else { &[] }].concat();
                matters::suggests("beside-one-phase", &about) && !matters::suggests("one-phase-machine", &about)
            }
            _ => false,
        }
    }
}

/// Columns of words whose figures nobody reads.
const REMARKS: [Field; 2] = [Field::Notes, Field::Description];

impl Table<'_> {
    /// Asks for the phases of a small transformer, which nothing tells.
    pub(super) fn ask_of_transformer(&mut self, load: &mut Load) {
        let stated = [Field::RatedPowerKva, Field::RatedPowerKw].into_iter().find_map(|field| load.entry(field)).cloned();
        let Some(entry) = stated.filter(|_| has_open_phases(load)) else { return };
        let what = "nothing says how many phases this small transformer has: it counts as one of three".to_owned();
        let cure = "enter phases 1 or 3: those of control circuits stand between two lines as a rule (IEC 60204-1, 9.1.1), and draw 1.73 times as much from them";
        self.cell_finding(load, &codes::I485_TRANSFORMER_PHASES, entry.column as usize, &entry.text, what, cure);
    }

    /// Asks for what a remark states and no column does.
    pub(super) fn ask_of_remarks(&mut self, load: &mut Load) {
        let open: Vec<&Stated> = STATED.iter().filter(|stated| stated.is_open_in(load)).collect();
        for stated in open {
            let says = |field: &Field| load.entry(*field).filter(|entry| stated.stands_in(&entry.text)).cloned();
            let Some(entry) = REMARKS.iter().find_map(says) else { continue };
            let what = format!("`{}` states {}, which no column does", text::shortened(&entry.text), stated.what);
            self.cell_finding(load, &codes::I476_STATED_IN_WORDS, entry.column as usize, &entry.text, what, stated.cure);
        }
    }
}

/// What a remark says of the power or the current of a load of which no column states any.
pub(super) fn of_power(load: &Load) -> Option<String> {
    let says = |field: &Field| load.text(*field).filter(|text| has_figure(&matters::words_of(text), POWERS));
    REMARKS.iter().find_map(says).map(text::shortened)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(matter: &str, text: &str) -> bool {
        STATED.iter().filter(|stated| stated.matter == matter).any(|stated| stated.stands_in(text))
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
