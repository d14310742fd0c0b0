//! Words about the load of a circuit: what its runs and checks are called, how it is started, on which lines it is, its horsepower.

use std::borrow::Cow;

use crate::design::Circuit;
use crate::report::words::brief;
use crate::rules::units::Units;

/// The subject of a run or a check, in the word that fits the kind of load: the run to a heater is no motor run.
#[must_use]
pub fn about<'k>(kind: &str, key: &'k str) -> &'k str {
    match key {
        _ if kind.is_empty() || kind == "motor" => key,
        "motor" => "load",
        "motor run" => "load run",
        "motor run, far end" => "load run, far end",
        "motor run, protective conductor" => "load run, protective conductor",
        "motor run, local isolator" => "load run, local isolator",
        "motor run, starter" => "load run, starter",
        _ => key,
    }
}

/// Starting method for a narrow column; which way a motor turns belongs to it.
#[must_use]
pub fn method(circuit: &Circuit, units: Units) -> Cow<'_, str> {
    let method = brief(units, circuit.load.starting_method.as_deref().unwrap_or(""));
    if circuit.load.reversing && !method.is_empty() { Cow::Owned(format!("{method}, reversing")) } else { method }
}

/// Lines of a single-phase circuit.
#[must_use]
pub fn lines(circuit: &Circuit) -> Option<&str> {
    Some(circuit.lines.as_str()).filter(|lines| !lines.is_empty())
}

/// Horsepower as a nameplate has it: the small ratings are fractions (NFPA 70, Table 430.248).
#[must_use]
pub fn horsepower(hp: f64) -> String {
    const FRACTIONS: [(f64, &str); 6] =
        [(1.0 / 8.0, "1/8"), (1.0 / 6.0, "1/6"), (1.0 / 4.0, "1/4"), (1.0 / 3.0, "1/3"), (1.0 / 2.0, "1/2"), (3.0 / 4.0, "3/4")];
    let fraction = FRACTIONS.iter().find(|(value, _)| (value - hp).abs() < 1e-3 * value);
    fraction.map_or_else(|| crate::record::significant(hp, 4), |(_, words)| (*words).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_horsepower_is_a_fraction() {
        // Ratings of NFPA 70, Tables 430.248 and 430.250.
        for (hp, words) in
            [(1.0 / 6.0, "1/6"), (0.333, "1/3"), (0.333_333_333_333, "1/3"), (0.75, "3/4"), (1.0, "1"), (7.5, "7.5")]
        {
            assert_eq!(horsepower(hp), words);
        }
        assert_eq!(horsepower(0.4), "0.4", "no fraction of the tables");
    }

    #[test]
    fn a_run_is_called_by_its_load() {
        assert_eq!(
            [about("motor", "motor run"), about("heater", "motor run"), about("lighting", "motor")],
            ["motor run", "load run", "load"]
        );
        for (key, words) in [("isolator", "isolator"), ("motor run, far end", "load run, far end")] {
            assert_eq!(about("heater", key), words);
        }
    }

    #[test]
    fn a_method_says_that_it_reverses() {
        let mut hoist = Circuit::default();
        assert_eq!(method(&hoist, Units::Metric), "");
        hoist.load.starting_method = Some("star-delta".to_owned());
        assert_eq!(method(&hoist, Units::Metric), "star-delta");
        hoist.load.reversing = true;
        assert_eq!(method(&hoist, Units::Customary), "wye-delta, open, reversing");
    }
}
