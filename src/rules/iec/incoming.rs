//! Incoming devices of boards and machines: poles by the earthing of the system, category and breaking capacity of a switch.

use serde::Deserialize;

use crate::load::ProtectionKind;
use crate::quantity::Amperes;
use crate::record::{Formula, Record};
use crate::rules::feeders::SUPPLY_SWITCH;
use crate::rules::iec::Iec;
use crate::rules::incoming::{IncomingNeutral, IncomingPoles, IncomingRules, SwitchAsk, SwitchDemand, SwitchHorsepower};

/// Making and breaking capacity of one category.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CategoryRow {
    category: String,
    /// Loads.
    pub load: String,
    /// Makes, over the rated operational current.
    pub make_x_ie: f64,
    break_x_ie: f64,
}

table! {
    /// Categories of switches.
    CATEGORIES, CATEGORY_ROWS: CategoryRow, "switch-categories"
}

formula! {
    /// Breaking capacity of a switch.
    SWITCH_BREAKING: "current that the switch breaks in its category", "A", "IEC 60947-3, rated breaking capacity";
    "I = k Ie"; "k*Ie"; |k, Ie| k * Ie
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&SWITCH_BREAKING];

impl IncomingRules for Iec {
    /// A line and its neutral are both parted. The neutral of a TN system that is no PEN is at earth potential and needs no
    /// pole; in TT and IT systems all live conductors are parted; a PEN conductor is never switched.
    fn incoming_poles(&self, lines: u32, neutral: bool, earthing: Option<&str>) -> IncomingPoles {
        let reference = "IEC 60364-4-46, 461.2; IEC 60364-5-53, 537.2 (recalled)";
        if lines == 1 {
            let incoming_neutral = if neutral { IncomingNeutral::Switched } else { IncomingNeutral::None };
            return IncomingPoles { poles: 2, neutral: incoming_neutral, assumed: false, reference };
        }
        let system = earthing.map(|earthing| earthing.trim().to_ascii_uppercase());
        let (incoming_neutral, assumed) = match system.as_deref() {
            _ if !neutral => (IncomingNeutral::None, false),
            Some(system) if system.starts_with("TN") => (IncomingNeutral::Linked, false),
            Some(_) => (IncomingNeutral::Switched, false),
            None => (IncomingNeutral::Switched, true),
        };
        let poles = lines + u32::from(incoming_neutral == IncomingNeutral::Switched);
        IncomingPoles { poles, neutral: incoming_neutral, assumed, reference }
    }

    fn incoming_switch(&self, ask: &SwitchAsk<'_>, record: &mut Record) -> SwitchDemand {
        let breaks = ask.stalled.map(|[running, stalled, rated]| {
            let current = record.step(&SUPPLY_SWITCH, &[running.0, stalled.0, rated.0.min(running.0)]);
            (Amperes(current), "IEC 60204-1, 5.3.3; IEC 60947-3")
        });
        // IEC 60204-1, 5.3.2 asks for AC-23 where a machine's motors stand on the line; without them mixed loads remain.
        let category = if breaks.is_some() { "AC-23A" } else { "AC-22A" };
        SwitchDemand {
            category,
            current: ask.wanted,
            reference: "IEC 60947-3, rated operational current; IEC 60204-1, 5.3.2",
            breaks,
            horsepower: SwitchHorsepower::None,
        }
    }

    fn switch_breaking(&self, category: &str, rated: Amperes, record: &mut Record) -> Option<Amperes> {
        let row = CATEGORY_ROWS.iter().find(|row| row.category == category)?;
        Some(Amperes(record.step(&SWITCH_BREAKING, &[row.break_x_ie, rated.0])))
    }

    fn incoming_breaker(&self) -> ProtectionKind {
        ProtectionKind::MouldedCase
    }

    fn before_switch(&self) -> &'static str {
        "IEC 60364-5-53, 536.4.3 (recalled): a switch has no overload protection of its own"
    }

    fn switch_withstand(&self) -> &'static str {
        "IEC 60947-3; IEC 60364-4-43, 434; cleared within 1 s"
    }

    fn incoming_lock(&self) -> &'static str {
        "IEC 60204-1, 5.3.3; IEC 60947-2, suitable for isolation"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Volts;

    /// IEC 60364-4-46, 461.2: in TN-S the neutral need not be parted, in TT and IT it must be; without a neutral there is nothing to part.
    #[test]
    fn the_neutral_is_switched_where_it_may_be_live() {
        let of = |neutral, earthing| {
            let incoming_poles = Iec.incoming_poles(3, neutral, earthing);
            (incoming_poles.poles, incoming_poles.neutral, incoming_poles.assumed)
        };
        assert_eq!(of(false, Some("TT")), (3, IncomingNeutral::None, false));
        assert_eq!(of(false, None), (3, IncomingNeutral::None, false));
        for earthing in ["TN", "TN-S", "TN-C-S", "TN-C", "tn-s"] {
            assert_eq!(of(true, Some(earthing)), (3, IncomingNeutral::Linked, false), "{earthing}");
        }
        for earthing in ["TT", "IT"] {
            assert_eq!(of(true, Some(earthing)), (4, IncomingNeutral::Switched, false), "{earthing}");
        }
        assert_eq!(of(true, None), (4, IncomingNeutral::Switched, true), "nobody says whether it may be live");
        assert_eq!(Iec.incoming_poles(1, true, Some("TN-S")).poles, 2);
        // Two lines, and the neutral beside them.
        assert_eq!(
            [(false, "TT"), (true, "TN-S"), (true, "TT")]
                .map(|(neutral, system)| Iec.incoming_poles(2, neutral, Some(system)).poles),
            [2, 2, 3]
        );
    }

    /// IEC 60204-1, 5.3.3: 200 A run; the largest motor draws 60 A of these and 420 A when it stalls: 200 + 420 − 60 = 560 A. IEC 60947-3:
    /// in AC-23A a switch breaks 8 times its rated current, so one of 63 A (504 A) does not and one of 80 A (640 A) does; in AC-22A 3
    /// times.
    #[test]
    fn a_switch_breaks_the_stalled_motor_with_all_else_running() {
        let ask = SwitchAsk {
            items: &[],
            wanted: Amperes(220.0),
            stalled: Some([Amperes(200.0), Amperes(420.0), Amperes(60.0)]),
            phases: 3,
            voltage: Volts(400.0),
        };
        let record = &mut Record::silent();
        let demand = Iec.incoming_switch(&ask, record);
        assert_eq!((demand.category, demand.current), ("AC-23A", Amperes(220.0)));
        assert_eq!(demand.breaks.map(|breaks| breaks.0), Some(Amperes(560.0)));
        assert_eq!(Iec.switch_breaking("AC-23A", Amperes(63.0), record), Some(Amperes(504.0)));
        assert_eq!(Iec.switch_breaking("AC-23A", Amperes(80.0), record), Some(Amperes(640.0)));
        assert_eq!(Iec.switch_breaking("AC-22A", Amperes(80.0), record), Some(Amperes(240.0)));
        assert_eq!(Iec.switch_breaking("AC-3", Amperes(80.0), record), None);
        let still = Iec.incoming_switch(&SwitchAsk { stalled: None, ..ask }, record);
        assert_eq!((still.category, still.breaks), ("AC-22A", None));
    }
}
