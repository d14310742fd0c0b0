//! Coils that are fed from the line itself.

use super::devices::{Ask, circuit_limit, place};
use super::{Asked, Chosen, highest};
use crate::finding::{Finding, codes};
use crate::quantity::fits;
use crate::record::Record;
use crate::rules::control::DeviceBounds;
use crate::rules::physics::control::{self, practice};
use crate::sizing::Tools;
use crate::sizing::control::coils::same;
use crate::sizing::judge::at_most;

/// Coils of the line's own voltage need no transformer, where the book admits that for so many starters: the conductors that are
/// not earthed. Either way it is said.
pub(super) fn suffices(asked: &Asked<'_>, tools: &Tools<'_>, chosen: &mut Chosen) -> Option<u32> {
    let demand = asked.demand;
    let (_, conductors) = demand.line.offers().find(|(volts, _)| same(*volts, demand.voltage.volts))?;
    let between = match (conductors, demand.line.one_phase) {
        (2, true) => "from both conductors of the board",
        (2, false) => "between two lines",
        _ => "from line and neutral",
    };
    // A board of line and neutral is a distribution board rather than a machine's: it has the voltage, and no transformer is made for it.
    let distribution = demand.line.pair_to_neutral && !demand.at_controller;
    let limit = tools.book.line_fed_starters();
    let finding = |what: String| Finding::new(&codes::C410_WITHOUT_TRANSFORMER, what);
    match limit.filter(|(most, _)| asked.starters() > f64::from(*most) && !distribution) {
        None => {
            let reference = limit.map_or("", |(_, reference)| reference);
            chosen.findings.push(
                finding(format!("coils of {} are fed {between} without a control transformer", demand.voltage))
                    .cure(if distribution {
                        "where the board is a machine's with several starters a control transformer is asked for: state another control.voltage"
                    } else {
                        "state control.voltage otherwise where the control circuit is to be separated from the line"
                    })
                    .reference(reference),
            );
            Some(conductors)
        }
        Some((_, reference)) => {
            chosen.findings.push(
                finding(format!(
                    "coils of {} could be fed {between}; {} starters share the supply, so a control transformer is taken",
                    demand.voltage,
                    asked.starters()
                ))
                .reference(reference),
            );
            None
        }
    }
}

pub(super) fn choose(asked: &Asked<'_>, conductors: u32, tools: &Tools<'_>, record: &mut Record, chosen: &mut Chosen) {
    let demand = asked.demand;
    let supply = &mut chosen.supply;
    "line".clone_into(&mut supply.kind);
    supply.primary_v = demand.voltage.volts;
    let low = practice("supply-low");
    chosen.coil_voltage_pct =
        demand.served.iter().map(|served| Some(control::coil_voltage(record, 1.0, low, 0.0, served.run_pct))).collect();
    chosen.checks.push(highest(demand, record));
    // A device of the power circuit may protect the conductors too.
    if let (Some(device), Some((most, reference))) = (demand.tap, tools.book.tap_limit(demand.leaves))
        && fits(device, most.0)
    {
        chosen.checks.push(at_most("control-protection", device, most.0, "A", reference));
        return;
    }
    let (most, clause) = circuit_limit(tools);
    let bounds = DeviceBounds { least: asked.hold_current(), most, largest_first: true, clause };
    let ask = Ask { bounds, volts: demand.voltage.volts, dc: false, conductors, fault: Some(demand.line.fault_max), gives: None };
    chosen.supply.secondary = place(&ask, "control circuit", tools, chosen);
}
