//! A control transformer, by what it feeds continuously, by the power while contactors pick up, and by the voltage left then.

use super::devices::{Ask, pick, place, place_behind, stages};
use super::{Asked, Chosen, Served, highest, missing, not_held_at_return};
use crate::catalogue::ControlTransformer;
use crate::design::Check;
use crate::quantity::{VoltAmperes, Volts, fits, round_to};
use crate::record::Record;
use crate::rules::control::{DeviceBounds, TransformerAsk};
use crate::rules::physics::control::{self, Event, Regulation, practice};
use crate::sizing::Tools;
use crate::sizing::control::coils::same;
use crate::sizing::control::{COIL_VOLTAGE, part};
use crate::sizing::judge::{Verdict, at_least, at_most, choose as first, not_checked};

/// Clause of the short-time power.
const SHORT_TIME: &str = "short-time rating of the control transformer at power factor 0.5";

/// Chooses the smallest transformer that holds, and writes it.
pub(super) fn choose(
    asked: &Asked<'_>,
    power: (VoltAmperes, Event),
    tools: &Tools<'_>,
    record: &mut Record,
    chosen: &mut Chosen,
) {
    "control-transformer".clone_into(&mut chosen.supply.kind);
    let candidates = of_voltages(asked, tools);
    let Some(largest) = candidates.last() else { return none_of_voltages(asked, tools, chosen) };
    // A coil that even the largest does not give its voltage is the matter of its run; the others still decide.
    let served: Vec<&Served> = (asked.demand.served.iter())
        .filter(|served| fits(served.lowest_pct, behind(largest, asked, served, &mut Record::silent())))
        .collect();
    let choice = first(candidates, |transformer| judge(transformer, asked, power, &served, tools));
    let Some((transformer, verdict)) = choice.chosen else {
        let (continuous, event) = power;
        let what = format!(
            "no control transformer of the catalogue holds: {} VA continuously and {} VA while contactors pick up are asked",
            round_to(continuous.0, 0),
            round_to(event.power().0, 0)
        );
        chosen.too_much = true;
        missing(chosen, &what);
        return;
    };
    write(transformer, verdict, asked, tools, record, chosen);
    at_return(asked, transformer, chosen);
}

/// Transformers from the voltage of the line to that of the coils, the smallest first.
fn of_voltages<'a>(asked: &Asked<'_>, tools: &Tools<'a>) -> Vec<&'a ControlTransformer> {
    let demand = asked.demand;
    let fits_voltages = |transformer: &&ControlTransformer| {
        same(transformer.primary_v, demand.line.volts) && same(transformer.secondary_v, demand.voltage.volts)
    };
    let mut candidates: Vec<&ControlTransformer> = tools.catalogue.control_transformers.iter().filter(fits_voltages).collect();
    candidates.sort_by(|a, b| a.va.total_cmp(&b.va));
    candidates
}

/// Says that the catalogue has none between these voltages; a rated voltage of motors that was stated as the system's may be the reason.
fn none_of_voltages(asked: &Asked<'_>, tools: &Tools<'_>, chosen: &mut Chosen) {
    let line = round_to(asked.demand.line.volts, 1);
    missing(chosen, &format!("the catalogue holds no control transformer from {line} V to {}", asked.demand.voltage));
    let system = tools.book.system_voltage(Volts(line)).0;
    if let Some(told) = chosen.findings.last_mut().filter(|_| !same(system, line)) {
        told.cure =
            format!("if {line} V is what motors are rated for, state the system's {system} V as voltage_v; else {}", told.cure);
    }
}

/// Judges a transformer by its power, by the voltage that it leaves to the coils and by the devices that must let them hold.
fn judge(
    transformer: &ControlTransformer,
    asked: &Asked<'_>,
    (continuous, event): (VoltAmperes, Event),
    served: &[&Served],
    tools: &Tools<'_>,
) -> Verdict {
    let mut checks = vec![at_most("control-supply-power", continuous.0, transformer.va, "VA", "common practice, no source")];
    if let Some(short) = transformer.short_time_va {
        checks.push(at_most("control-supply-pick-up", event.power().0, short, "VA", SHORT_TIME));
    }
    let lowest = served.iter().map(|served| (behind(transformer, asked, served, &mut Record::silent()), served.lowest_pct));
    if let Some((pct, floor)) = lowest.min_by(|a, b| (a.0 - a.1).total_cmp(&(b.0 - b.1))) {
        checks.push(at_least(COIL_VOLTAGE, pct, floor, "%", "limits of operation of coils"));
    }
    let output = devices(transformer, asked, tools, &mut Record::silent()).map(|(_, output)| stages(asked, output, tools));
    let carries = output.is_some_and(|output| output.iter().all(|stage| pick(&stage.ask, tools).is_some()));
    if !carries {
        let because = "no device within its bounds carries the coils that hold";
        checks.push(Check { passed: Some(false), ..not_checked("control-protection", "A", because, "") });
    }
    Verdict { checks }
}

/// Writes a transformer with its checks and the devices before and behind it.
fn write(
    transformer: &ControlTransformer,
    verdict: Verdict,
    asked: &Asked<'_>,
    tools: &Tools<'_>,
    record: &mut Record,
    chosen: &mut Chosen,
) {
    let demand = asked.demand;
    // A starter alone has the check of its coils by itself.
    chosen.checks.extend(verdict.checks.into_iter().filter(|check| !demand.at_controller || check.name != COIL_VOLTAGE));
    chosen.checks.push(highest(demand, record));
    chosen.coils_have(demand, record, |served, steps| behind(transformer, asked, served, steps));
    chosen.supply.part.clone_from(&transformer.part);
    chosen.supply.rating_va = Some(transformer.va);
    chosen.supply.primary_v = transformer.primary_v;
    chosen.parts.push(part(&transformer.part, &transformer.description, 1));
    if let Some((primary, secondary)) = devices(transformer, asked, tools, record) {
        let conductors = demand.line.unearthed();
        let ask = Ask {
            bounds: primary,
            volts: transformer.primary_v,
            dc: false,
            conductors,
            fault: Some(demand.line.fault_max),
            gives: None,
        };
        chosen.supply.primary = place(&ask, "control transformer, primary", tools, chosen);
        place_behind(stages(asked, secondary, tools), tools, chosen);
    }
}

fn regulation(transformer: &ControlTransformer) -> Regulation {
    Regulation {
        rating: VoltAmperes(transformer.va),
        resistive_pct: transformer.u_r_pct.unwrap_or_else(|| practice("regulation-r")),
        reactive_pct: transformer.u_x_pct.unwrap_or_else(|| practice("regulation-x")),
    }
}

/// Voltage at the coils of one circuit behind a transformer while they pick up.
fn behind(transformer: &ControlTransformer, asked: &Asked<'_>, served: &Served, record: &mut Record) -> f64 {
    let event = asked.event_of(served, &mut Record::silent());
    let drop = control::transformer_drop(record, event.power(), event.vector.map(|(_, factor)| factor), regulation(transformer));
    control::coil_voltage(record, 1.0, practice("supply-low"), drop, served.run_pct)
}

/// Bounds of the devices before and behind a transformer.
fn devices(
    transformer: &ControlTransformer,
    asked: &Asked<'_>,
    tools: &Tools<'_>,
    record: &mut Record,
) -> Option<(DeviceBounds, DeviceBounds)> {
    let ask = TransformerAsk {
        power: VoltAmperes(transformer.va),
        primary: Volts(transformer.primary_v),
        secondary: Volts(transformer.secondary_v),
        at_controller: asked.demand.at_controller,
    };
    let devices = tools.book.transformer_devices(&ask, record)?;
    let least = devices.secondary.least.max(asked.hold_current());
    Some((devices.primary, DeviceBounds { least, ..devices.secondary }))
}

/// Coils that pick up together when the supply comes back: said where the transformer would not hold them.
fn at_return(asked: &Asked<'_>, transformer: &ControlTransformer, chosen: &mut Chosen) {
    let (number, event) = asked.at_return();
    if number < 2.0 {
        return;
    }
    let record = &mut Record::silent();
    let drop = control::transformer_drop(record, event.power(), event.vector.map(|(_, factor)| factor), regulation(transformer));
    let pct = control::coil_voltage(record, 1.0, practice("supply-low"), drop, 0.0);
    let floor = asked.demand.served.iter().map(|served| served.lowest_pct).fold(0.0, f64::max);
    if fits(floor, pct) {
        return;
    }
    let leaves = format!("{} VA, which leave {} % of the coil voltage", round_to(event.power().0, 0), round_to(pct.max(0.0), 0));
    chosen.findings.push(not_held_at_return(number, &leaves));
}
