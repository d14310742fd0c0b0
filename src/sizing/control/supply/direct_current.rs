//! A direct-current supply, by its current and by its surge while contactors pick up.

use super::devices::{Ask, place, place_behind, stages_behind_limit};
use super::{Asked, Chosen, missing, not_held_at_return};
use crate::catalogue::PowerSupply;
use crate::design::ControlDevice;
use crate::finding::{Finding, codes};
use crate::quantity::{Amperes, VoltAmperes, Volts, round_to};
use crate::record::Record;
use crate::rules::Topic;
use crate::rules::control::DeviceBounds;
use crate::rules::physics::control::{self, Event};
use crate::sizing::Tools;
use crate::sizing::control::coils::same;
use crate::sizing::control::part;
use crate::sizing::judge::{Verdict, at_most, choose as first};

/// Chooses the first supply that holds, and writes it.
pub(super) fn choose(
    asked: &Asked<'_>,
    (continuous, event): (VoltAmperes, Event),
    tools: &Tools<'_>,
    record: &mut Record,
    chosen: &mut Chosen,
) {
    "direct-current-supply".clone_into(&mut chosen.supply.kind);
    let demand = asked.demand;
    let volts = Volts(demand.voltage.volts);
    let steady = control::coil_current(record, asked.hold.magnitude(), volts);
    let surge = control::coil_current(record, event.power(), volts);
    let need = Amperes(continuous.0 / demand.voltage.volts);
    let suits = |power_supply: &&PowerSupply| same(power_supply.output_v, volts.0) && input(power_supply, asked).is_some();
    let candidates = tools.catalogue.power_supplies.iter().filter(suits);
    chosen.too_much = candidates.clone().next().is_some();
    let Some((power_supply, verdict)) = first(candidates, |power_supply| judge(power_supply, need, surge)).chosen else {
        let what = format!(
            "no direct-current supply of the catalogue from {} V to {} gives {} A, and {} A while contactors pick up",
            demand.line.volts,
            demand.voltage,
            round_to(need.0, 2),
            round_to(surge.0, 2)
        );
        missing(chosen, &what);
        return;
    };
    chosen.too_much = false;
    chosen.checks.extend(verdict.checks);
    chosen.coils_have(demand, record, |served, steps| {
        control::coil_voltage(steps, 1.0, power_supply.tolerance_pct, 0.0, served.run_pct)
    });
    write(power_supply, asked, tools, chosen);
    at_return(asked, power_supply, chosen);
    // The surge lasts seconds, a conventional time an hour.
    let gives = Amperes(power_supply.output_a);
    place_behind(stages_behind_limit(asked, steady, gives, tools), tools, chosen);
    chosen.findings.extend(opens_late(power_supply, chosen.supply.secondary.as_ref(), tools));
}

/// A supply that limits its current opens no fuse or breaker at once.
fn opens_late(power_supply: &PowerSupply, device: Option<&ControlDevice>, tools: &Tools<'_>) -> Option<Finding> {
    let device = device?;
    let opens = tools.book.control_device_opens(&device.kind, Amperes(device.rating_a));
    let what = format!(
        "behind the direct-current supply {} of {} A opens for certain on {} A, within an hour; the supply gives {} A, and {} A for a short time",
        device.part,
        device.rating_a,
        round_to(opens.0, 2),
        power_supply.output_a,
        power_supply.surge_a
    );
    Some(
        Finding::new(&codes::C224_OPENS_LATE, what)
            .why("a fault is limited by the supply itself; all coils behind it drop out, and the conductors carry its current until the device opens")
            .cure("where one faulty circuit must part from the others at once, put electronic protection before each of them; it is not in the parts list")
            .reference(tools.book.clause(Topic::LimitedSupply)),
    )
}

/// Voltage that the line offers within the input range of a supply, and the conductors between which it stands.
fn input(power_supply: &PowerSupply, asked: &Asked<'_>) -> Option<(f64, u32)> {
    let within = |volts: f64| power_supply.input_min_v <= volts && volts <= power_supply.input_max_v;
    asked.demand.line.offers().find(|(volts, _)| within(*volts))
}

fn judge(power_supply: &PowerSupply, need: Amperes, surge: Amperes) -> Verdict {
    const STEADY: &str = "one maker's note: rated current over that of the coils";
    Verdict {
        checks: vec![
            at_most("control-supply-power", need.0, power_supply.output_a, "A", STEADY),
            at_most("control-supply-pick-up", surge.0, power_supply.surge_a, "A", "one maker's note: surge current"),
        ],
    }
}

/// Writes a supply with the device before it.
fn write(power_supply: &PowerSupply, asked: &Asked<'_>, tools: &Tools<'_>, chosen: &mut Chosen) {
    let line = &asked.demand.line;
    let (line_volts, conductors) = input(power_supply, asked).unwrap_or((line.volts, line.unearthed()));
    chosen.supply.part.clone_from(&power_supply.part);
    chosen.supply.rating_va = Some(power_supply.output_v * power_supply.output_a);
    chosen.supply.primary_v = round_to(line_volts, 1);
    chosen.parts.push(part(&power_supply.part, &power_supply.description, 1));
    let bounds = DeviceBounds {
        least: Amperes(power_supply.input_a),
        most: Amperes(power_supply.max_input_device_a),
        largest_first: false,
        clause: "data sheet of the supply",
    };
    let ask = Ask { bounds, volts: line_volts, dc: false, conductors, fault: Some(line.fault_max), gives: None };
    chosen.supply.primary = place(&ask, "control supply, input", tools, chosen);
}

/// Coils that pick up together when the supply comes back: said where their surge is more than the supply gives.
fn at_return(asked: &Asked<'_>, power_supply: &PowerSupply, chosen: &mut Chosen) {
    let (number, together) = asked.at_return();
    let current = control::coil_current(&mut Record::silent(), together.power(), Volts(asked.demand.voltage.volts));
    if number >= 2.0 && !current.fits(Amperes(power_supply.surge_a)) {
        let asks =
            format!("{} A, of a supply that gives {} A while contactors pick up", round_to(current.0, 1), power_supply.surge_a);
        chosen.findings.push(not_held_at_return(number, &asks));
    }
}
