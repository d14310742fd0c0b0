//! How far the contact may stand from the starter: by the voltage drop while coils pick up, and by the capacitance of the cable when
//! they are to release. Cores of the cable to the control station.

use crate::design::{Circuit, ControlRun};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Metres, Volts, round_to};
use crate::record::Record;
use crate::rules::control::ControlConductor;
use crate::rules::physics::control::{self, Release, practice};
use crate::rules::physics::material;
use crate::rules::units::Units;
use crate::sizing::Tools;
use crate::sizing::control::coils::Coils;
use crate::sizing::control::outputs::Switched;
use crate::sizing::control::supply;
use crate::sizing::judge::at_most;

/// Name of the check of the drop.
pub(super) const DROP: &str = "control-run-drop";
/// Name of the check of the capacitance.
pub(super) const CAPACITANCE: &str = "control-run-capacitance";
/// The control run with its checks; none where no coil draws anything.
pub(super) fn look(
    case: &Case,
    coils: &Coils,
    switched: &Switched,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) -> Option<ControlRun> {
    let sizes = tools.book.control_conductors();
    let size = sizes.first()?;
    let (power, volts) = (switched.pick_up.magnitude(), Volts(switched.volts));
    if power.0 <= 0.0 {
        return None;
    }
    let limit = practice("run-drop");
    let length = case.control.length;
    let reach = control::run_reach(record, limit, power, size.area, volts);
    let drop = length.map(|length| control::run_drop(record, length, power, size.area, volts));
    if let (Some(length), Some(drop)) = (length, drop) {
        let check = at_most(DROP, drop, limit, "%", "common practice, no source");
        if check.passed == Some(false) {
            record.find(too_far_to_pick_up(case, switched, (length, drop), &sizes, tools));
        }
        circuit.checks.push(check);
    }
    let release = weakest(case, coils).filter(|_| !switched.dc);
    let capacitance_reach = release.map(|coil| control::capacitance_reach(record, &coil, capacitance(case)));
    if let (Some(length), Some(coil), Some(reach)) = (length, release, capacitance_reach) {
        let reference = "IEC 60947-4-1: release at the declared share of the coil voltage";
        let check = at_most(CAPACITANCE, length.0, reach.0, "m", reference);
        if check.passed == Some(false) {
            let finding = too_far_to_release(case, &coil, (length, reach), tools, record);
            record.find(finding);
        }
        circuit.checks.push(check);
    }
    let supply = coil_supply(case, switched, tools);
    let supply_drop = supply.map(|length| {
        let volts = Volts(case.control.voltage.volts);
        let drop = control::run_drop(record, length, coils.event().magnitude(), size.area, volts);
        let check = at_most(DROP, drop, limit, "%", "common practice, no source");
        if check.passed == Some(false) {
            record.find(supply_too_far(case, (length, drop), &sizes, tools));
        }
        circuit.checks.push(check.about("coil supply"));
        drop
    });
    // A reach is never shown longer than it is.
    let down = |length: Metres| (length.0 * 10.0).floor() / 10.0;
    Some(ControlRun {
        size: size.size.clone(),
        length_m: length.map(|length| length.0),
        drop_pct: drop.map(|drop| round_to(drop, 3)),
        drop_reach_m: down(reach),
        capacitance_reach_m: capacitance_reach.map(down),
        supply_length_m: supply.map(|length| length.0),
        supply_drop_pct: supply_drop.map(|drop| round_to(drop, 3)),
    })
}

/// Length of the run that brings the coils' supply from the board. Coils that a controller's output switches from afar have it over the
/// cable from there.
fn coil_supply(case: &Case, switched: &Switched, tools: &Tools<'_>) -> Option<Metres> {
    let over_output = case.control.driven_by == "plc-output" && !switched.interposed && case.control.length.is_some();
    supply::run_from_board(case, tools).filter(|_| !over_output)
}

fn supply_too_far(case: &Case, (length, drop): (Metres, f64), sizes: &[ControlConductor], tools: &Tools<'_>) -> Finding {
    let units = Units::of(tools.book.key());
    let limit = practice("run-drop");
    let conductor = larger(sizes, drop, limit).map_or_else(
        || "no control conductor of the table is large enough: take".to_owned(),
        |conductor| format!("take control conductors of {},", conductor.size.replace("mm2", "mm²")),
    );
    let what = format!(
        "the run of {} that brings the coils' supply from the board loses {} {} V while contactors pick up; {limit} % are usual at most",
        over(length, units),
        lost(drop),
        case.control.voltage.volts,
    );
    Finding::new(&codes::C407_RUN_DROP, what).at(case.place.clone()).why("contactors may not pick up, or chatter").cure(format!(
        "{conductor} a higher control voltage, or a control supply of the starter's own (`[control] supply = \"per-starter\"`)"
    ))
}

/// µF/km of the cable between contact and coil.
fn capacitance(case: &Case) -> f64 {
    if case.control.three_wire { practice("capacitance-three-wire") } else { practice("capacitance-two-wire") }
}

/// The coil that a residual current holds most easily.
fn weakest(case: &Case, coils: &Coils) -> Option<Release> {
    let ease = |release: f64, hold: f64| release / (1.0 + release) * hold;
    let coil = coils
        .each
        .iter()
        .min_by(|a, b| ease(a.release, a.hold.magnitude().0).total_cmp(&ease(b.release, b.hold.magnitude().0)))?;
    Some(Release {
        share: coil.release,
        hold: coil.hold.magnitude(),
        voltage: Volts(case.control.voltage.volts),
        frequency: case.machine.frequency_hz,
    })
}

/// A size whose drop is within the limit; the drop is inversely proportional to the section.
fn larger(sizes: &[ControlConductor], drop: f64, limit: f64) -> Option<&ControlConductor> {
    let first = sizes.first()?;
    sizes.iter().find(|conductor| drop * first.area.0 / conductor.area.0 <= limit)
}

/// Coils take as much as before in this reckoning, so a long run comes out beyond all there is.
fn lost(drop: f64) -> String {
    if drop < 100.0 { format!("{} % of", round_to(drop, 1)) } else { "all of".to_owned() }
}

fn over(length: Metres, units: Units) -> String {
    format!("{} {}", round_to(units.length(length.0), 1), units.length_unit())
}

fn too_far_to_pick_up(
    case: &Case,
    switched: &Switched,
    (length, drop): (Metres, f64),
    sizes: &[ControlConductor],
    tools: &Tools<'_>,
) -> Finding {
    let units = Units::of(tools.book.key());
    let limit = practice("run-drop");
    let conductor = larger(sizes, drop, limit).map_or_else(
        || "no control conductor of the table is large enough".to_owned(),
        |conductor| format!("take control conductors of {}", conductor.size.replace("mm2", "mm²")),
    );
    let relay = if switched.interposed { "" } else { ", an interposing relay at the starter" };
    let what = format!(
        "the control run of {} loses {} {} V while contactors pick up; {limit} % are usual at most",
        over(length, units),
        lost(drop),
        switched.volts,
    );
    Finding::new(&codes::C407_RUN_DROP, what)
        .at(case.control.length_place.clone())
        .why("contactors may not pick up, or chatter")
        .cure(format!("{conductor}{relay} or a higher control voltage"))
}

fn too_far_to_release(
    case: &Case,
    coil: &Release,
    (length, reach): (Metres, Metres),
    tools: &Tools<'_>,
    record: &mut Record,
) -> Finding {
    let units = Units::of(tools.book.key());
    // µF/km times metres.
    let microfarads = capacitance(case) * length.0 / 1000.0;
    let power = control::swamping_power(record, coil, microfarads) * practice("resistor-margin");
    let what = format!(
        "the control run of {} may hold a contactor by its capacitance; it surely releases up to {} {}",
        over(length, units),
        round_to(units.reach(reach.0), 0),
        units.length_unit()
    );
    Finding::new(&codes::C408_RUN_CAPACITANCE, what)
        .at(case.control.length_place.clone())
        .why("the motor may not stop when it is told to")
        .cure(format!(
            "switch the coil over an interposing relay at the starter, take direct control current or a lower control voltage, or put a resistor rated {} W beside the coil",
            power.0.ceil()
        ))
        .reference("IEC 60947-4-1, limits of operation of coils")
}

/// Cores of the cable to the control station as its words say, else as what switches the coil needs them; those of the protective
/// conductor besides.
pub(super) fn cores(case: &Case, switched: &Switched) -> (u32, u32) {
    let contact = match (case.control.driven_by, case.control.three_wire) {
        ("plc-output", _) => "plc-output",
        (_, true) => "three-wire",
        (_, false) => "two-wire",
    };
    let most = if switched.dc { practice("extra-low-dc") } else { practice("extra-low-ac") };
    let (usual, protective) = control::cores(contact, switched.commands, switched.volts > most).unwrap_or_default();
    let pieces = material::station_cores(&case.extras.station).into_iter().filter_map(|(_, row)| row);
    let stated: u32 = pieces.filter(|row| row.group == "station").map(|row| row.cores).sum();
    (if stated > 0 { stated } else { usual }, protective)
}
