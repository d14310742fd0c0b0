//! A direct-current supply, by its current and by its surge while contactors pick up.

use super::devices::{Ask, place, place_behind};
use super::{Asked, Chosen, missing, not_held_at_return};
use crate::catalogue::PowerSupply;
use crate::quantity::{Amperes, VoltAmperes, Volts, round_to};
use crate::record::Record;
use crate::rules::control::DeviceBounds;
use crate::rules::physics::control::{self, Event};
use crate::sizing::Tools;
use crate::sizing::control::coils::same;
use crate::sizing::control::part;
use crate::sizing::judge::{Verdict, at_most, choose as first};

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
    let input = |power_supply: &PowerSupply| {
        demand.line.offers().find(|(volts, _)| power_supply.input_min_v <= *volts && *volts <= power_supply.input_max_v)
    };
    let coil = |power_supply: &PowerSupply, run: f64, record: &mut Record| {
        control::coil_voltage(record, 1.0, power_supply.tolerance_pct, 0.0, run)
    };
    let suits = |power_supply: &&PowerSupply| same(power_supply.output_v, volts.0) && input(power_supply).is_some();
    let candidates = tools.catalogue.power_supplies.iter().filter(suits);
    chosen.too_much = candidates.clone().next().is_some();
    let choice = first(candidates, |power_supply| Verdict {
        checks: vec![
            at_most(
                "control-supply-power",
                need.0,
                power_supply.output_a,
                "A",
                "one maker's note: rated current over that of the coils",
            ),
            at_most("control-supply-pick-up", surge.0, power_supply.surge_a, "A", "one maker's note: surge current"),
        ],
    });
    let Some((power_supply, verdict)) = choice.chosen else {
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
    chosen.coils_have(demand, record, |one, steps| coil(power_supply, one.run_pct, steps));
    let (line_volts, conductors) = input(power_supply).unwrap_or((demand.line.volts, demand.line.unearthed()));
    chosen.supply.part.clone_from(&power_supply.part);
    chosen.supply.rating_va = Some(power_supply.output_v * power_supply.output_a);
    chosen.supply.primary_v = round_to(line_volts, 1);
    chosen.parts.push(part(&power_supply.part, &power_supply.description, 1));
    let primary = DeviceBounds {
        least: Amperes(power_supply.input_a),
        most: Amperes(power_supply.max_input_device_a),
        largest_first: false,
        clause: "data sheet of the supply",
    };
    let ask = Ask { bounds: primary, volts: line_volts, dc: false, conductors, fault: Some(demand.line.fault_max) };
    chosen.supply.primary = place(&ask, "control supply, input", tools, chosen);
    let (number, together) = asked.at_return();
    let current = control::coil_current(&mut Record::silent(), together.power(), volts);
    if number >= 2.0 && !current.fits(Amperes(power_supply.surge_a)) {
        let asks =
            format!("{} A, of a supply that gives {} A while contactors pick up", round_to(current.0, 1), power_supply.surge_a);
        chosen.findings.push(not_held_at_return(number, &asks));
    }
    let secondary = DeviceBounds {
        least: steady,
        most: Amperes(power_supply.output_a),
        largest_first: true,
        clause: "rated current of the supply: a larger device may never open",
    };
    place_behind(asked, secondary, tools, chosen);
}
