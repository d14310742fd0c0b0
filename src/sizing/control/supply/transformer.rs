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

pub(super) fn choose(
    asked: &Asked<'_>,
    (continuous, event): (VoltAmperes, Event),
    tools: &Tools<'_>,
    record: &mut Record,
    chosen: &mut Chosen,
) {
    "control-transformer".clone_into(&mut chosen.supply.kind);
    let demand = asked.demand;
    let secondary = demand.voltage.volts;
    let fits_voltages = |transformer: &&ControlTransformer| {
        same(transformer.primary_v, demand.line.volts) && same(transformer.secondary_v, secondary)
    };
    let mut candidates: Vec<&ControlTransformer> = tools.catalogue.control_transformers.iter().filter(fits_voltages).collect();
    candidates.sort_by(|a, b| a.va.total_cmp(&b.va));
    let Some(largest) = candidates.last() else {
        let line = demand.line.volts;
        missing(chosen, &format!("the catalogue holds no control transformer from {line} V to {}", demand.voltage));
        let system = tools.book.system_voltage(Volts(line)).0;
        if let Some(told) = chosen.findings.last_mut().filter(|_| !same(system, line)) {
            told.cure = format!(
                "if {line} V is what motors are rated for, state the system's {system} V as voltage_v; else {}",
                told.cure
            );
        }
        return;
    };
    // A coil that even the largest does not give its voltage is the matter of its run; the others still decide.
    let served: Vec<&Served> = (demand.served.iter())
        .filter(|served| fits(served.lowest_pct, behind(largest, asked, served, &mut Record::silent())))
        .collect();
    let judge = |transformer: &&ControlTransformer| {
        let mut checks = vec![at_most("control-supply-power", continuous.0, transformer.va, "VA", "common practice, no source")];
        if let Some(short) = transformer.short_time_va {
            checks.push(at_most("control-supply-pick-up", event.power().0, short, "VA", SHORT_TIME));
        }
        let lowest = served.iter().map(|one| (behind(transformer, asked, one, &mut Record::silent()), one.lowest_pct));
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
    };
    let choice = first(candidates, judge);
    let Some((transformer, verdict)) = choice.chosen else {
        let what = format!(
            "no control transformer of the catalogue holds: {} VA continuously and {} VA while contactors pick up are asked",
            round_to(continuous.0, 0),
            round_to(event.power().0, 0)
        );
        chosen.too_much = true;
        missing(chosen, &what);
        return;
    };
    // A starter alone has the check of its coils by itself.
    chosen.checks.extend(verdict.checks.into_iter().filter(|check| !demand.at_controller || check.name != COIL_VOLTAGE));
    chosen.checks.push(highest(demand, record));
    chosen.coils_have(demand, record, |one, steps| behind(transformer, asked, one, steps));
    chosen.supply.part.clone_from(&transformer.part);
    chosen.supply.rating_va = Some(transformer.va);
    chosen.supply.primary_v = transformer.primary_v;
    chosen.parts.push(part(&transformer.part, &transformer.description, 1));
    if let Some((primary, secondary)) = devices(transformer, asked, tools, record) {
        let conductors = demand.line.unearthed();
        let ask =
            Ask { bounds: primary, volts: transformer.primary_v, dc: false, conductors, fault: Some(demand.line.fault_max) };
        chosen.supply.primary = place(&ask, "control transformer, primary", tools, chosen);
        place_behind(asked, secondary, tools, chosen);
    }
    at_return(asked, transformer, chosen);
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
