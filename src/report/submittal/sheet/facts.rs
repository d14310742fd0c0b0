//! The strip of facts of a data sheet: what the load is, what it draws, and what it finds at its board.

use super::super::lists::quantity_trimmed;
use super::super::text::{decimals_for, number, quantity, with_unit};
use super::{Fact, other, so_many};
use crate::design::Circuit;
use crate::design::labels::motors;
use crate::report::columns::load as words;
use crate::report::words::{full, terms};
use crate::rules::units::Units;

/// Facts as they are gathered.
#[derive(Default)]
struct Strip {
    facts: Vec<Fact>,
}

impl Strip {
    fn add(&mut self, label: &'static str, value: String) {
        self.facts.push(Fact { label, value });
    }

    fn add_known(&mut self, label: &'static str, value: Option<String>) {
        self.facts.extend(value.map(|value| Fact { label, value }));
    }
}

/// Joins what is known of several things; gives none where nothing is known.
fn listed<const N: usize>(words: [Option<String>; N]) -> Option<String> {
    let known: Vec<String> = words.into_iter().flatten().collect();
    (!known.is_empty()).then(|| known.join(", "))
}

/// The strip of facts.
pub(super) fn facts(circuit: &Circuit, units: Units) -> Vec<Fact> {
    let mut strip = Strip::default();
    of_the_load(&mut strip, circuit, units);
    if circuit.start.is_some() && circuit.currents.full_load_a > 0.0 {
        strip.add("starting current", starting_current(circuit));
    }
    let duty = circuit.load.duty.as_deref().map(|duty| word_of_trade(units, duty));
    let starts = other(circuit, "starts_per_hour").map(|starts| with_unit(starts, "starts/h"));
    strip.add_known("duty", listed([duty, starts]));
    strip.add("fed from", if circuit.board.is_empty() { "?".to_owned() } else { circuit.board.clone() });
    if circuit.quantity > 1 {
        strip.add("identical circuits", circuit.quantity.to_string());
    }
    if circuit.motors > 1 {
        let names = if circuit.quantity <= 1 { motors(circuit, &circuit.tag).join(", ") } else { circuit.motors.to_string() };
        strip.add("motors behind the starter", names);
    }
    strip.add_known("largest fault current, board", circuit.fault.board_max_ka.map(|ka| quantity(ka, 1, "kA")));
    let smallest = circuit.fault.terminal_least_ka();
    strip.add_known("smallest fault current, load", smallest.map(|ka| quantity(libm::floor(ka * 1000.0), 0, "A")));
    strip.facts
}

/// The load: power, supply, currents, efficiency.
fn of_the_load(strip: &mut Strip, circuit: &Circuit, units: Units) {
    let (load, currents) = (&circuit.load, &circuit.currents);
    let motor = load.kind.is_empty() || load.kind == "motor";
    // Equipment is marked with its currents: where no power is stated, none is missing.
    let unstated = || motor.then(|| "?".to_owned());
    strip.add_known(if motor { terms(units).shaft_power } else { "input power" }, power(circuit, units).or_else(unstated));
    let supply = listed([
        load.voltage_v.map(|volts| quantity_trimmed(volts, "V")),
        // A hyphen at which no line breaks.
        load.phases.map(|phases| format!("{phases}\u{2011}phase")),
        load.frequency_hz.map(|hertz| quantity_trimmed(hertz, "Hz")),
    ]);
    strip.add("supply", supply.unwrap_or_else(|| "?".to_owned()));
    if let Some(lines) = words::lines(circuit) {
        strip.add("lines", if circuit.lines_stated { lines.to_owned() } else { format!("{lines}, assigned here") });
    }
    if currents.full_load_a > 0.0 {
        strip.add(terms(units).rated_current, rated_current(circuit, units));
    }
    let nameplate = currents.nameplate_a.filter(|_| units == Units::Customary);
    strip.add_known("nameplate current", nameplate.map(amperes));
    let class = load.efficiency_class.as_deref().map(|class| word_of_trade(units, class));
    let efficiency = load.efficiency_pct.filter(|_| motor).map(|pct| quantity(pct, 1, "%"));
    strip.add_known("efficiency", listed([class, efficiency]));
}

/// A current with a decimal at least.
fn amperes(value: f64) -> String {
    quantity(value, decimals_for(value).max(1), "A")
}

/// Rated current with where it comes from; of several motors that of one beside the sum.
fn rated_current(circuit: &Circuit, units: Units) -> String {
    let currents = &circuit.currents;
    let each = match circuit.motors {
        0 | 1 => String::new(),
        motors => format!(" ({}{})", so_many(motors), amperes(currents.full_load_a / f64::from(motors))),
    };
    let source = full(units, &currents.source);
    let source = if source.is_empty() { source } else { format!(", {source}") };
    format!("{}{each}{source}", amperes(currents.full_load_a))
}

fn starting_current(circuit: &Circuit) -> String {
    let starting = circuit.currents.starting_a;
    let ratio = number(starting / circuit.currents.full_load_a, 1);
    format!("{}, {ratio}\u{a0}×", quantity(starting, decimals_for(starting), "A"))
}

/// Rated power in the sender's own unit; beside horsepower the kilowatts that were reckoned with, for the customary book.
pub(in crate::report) fn power(circuit: &Circuit, units: Units) -> Option<String> {
    of_one(circuit, units).map(|words| format!("{}{words}", so_many(circuit.motors)))
}

/// Rated power of one machine.
fn of_one(circuit: &Circuit, units: Units) -> Option<String> {
    let load = &circuit.load;
    match (load.rated_power_hp, load.rated_power_kw) {
        (Some(hp), Some(kw)) if units == Units::Customary => {
            Some(format!("{} ({})", with_unit(words::horsepower(hp), "hp"), quantity(kw, decimals_for(kw), "kW")))
        }
        (Some(hp), _) => Some(with_unit(words::horsepower(hp), "hp")),
        (None, Some(kw)) => Some(quantity_trimmed(kw, "kW")),
        _ => other(circuit, "rated_power_kva")
            .map(|text| with_unit(text, "kVA"))
            .or_else(|| other(circuit, "reactive_power_kvar").map(|text| with_unit(text, "kvar"))),
    }
}

/// A word of the trade where the customary book has its own; else as it stands.
fn word_of_trade(units: Units, key: &str) -> String {
    units.pick(key.to_owned(), full(units, key))
}
