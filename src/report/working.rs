//! The working of a circuit as its readers see it, for every writer alike: what was looked up, then each step once, in the words
//! and with the clauses of the trade, and with the symbols that its formula prints.

use std::borrow::Cow;

use crate::design::{Circuit, Run, WorkingLine};
use crate::record::{Step, significant};
use crate::rules::units::Units;
use crate::rules::words::{clause, phrase};

/// A line of the working.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The quantity that was worked out or looked up.
    pub quantity: String,
    /// The formula, or where it was looked up.
    pub formula: String,
    /// The numbers put in, as `P = 7.5, U = 400`.
    pub numbers: String,
    /// The result.
    pub result: Outcome,
    /// Clause or table.
    pub reference: String,
}

/// The result of a line.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A number, unrounded, with its unit.
    Number(f64, Cow<'static, str>),
    /// A size of conductor.
    Size(String),
}

/// Symbols that formulas print and spreadsheets can't name.
const SYMBOLS: &[(&str, &str)] = &[
    ("eff", "η"),
    ("pf", "cosφ"),
    ("theta", "θ"),
    ("thetaA", "θa"),
    ("dTheta", "Δθ"),
    ("alpha", "α"),
    ("Aphi", "Aφ"),
    ("Aphi0", "Aφ0"),
    ("theta0", "θ0"),
    ("thetam", "θm"),
    ("kappa", "κ"),
];

/// The name of a number put in, as the formula's text has it; names that the text does not bear in that form stay.
#[must_use]
pub fn symbol<'n>(name: &'n str, text: &str) -> &'n str {
    SYMBOLS.iter().find(|(plain, shown)| *plain == name && text.contains(shown)).map_or(name, |(_, shown)| shown)
}

/// The numbers put in, to six significant digits, as `P = 7.5, U = 400`.
#[must_use]
pub fn numbers(step: &Step) -> String {
    step.numbers_put_in(|name| symbol(name, step.formula.text))
}

/// The unit of a step; a ratio has none.
#[must_use]
pub fn unit(step: &Step) -> &'static str {
    if step.formula.unit == "1" { "" } else { step.formula.unit }
}

/// Steps without those that were taken before with the same numbers.
pub fn once(steps: &[Step]) -> Vec<&Step> {
    let mut kept: Vec<&Step> = Vec::with_capacity(steps.len());
    for step in steps {
        let same = |other: &&Step| {
            std::ptr::eq(other.formula, step.formula)
                && other.numbers.iter().map(|n| n.to_bits()).eq(step.numbers.iter().map(|n| n.to_bits()))
        };
        if !kept.iter().any(same) {
            kept.push(step);
        }
    }
    kept
}

/// The working of a circuit.
#[must_use]
pub fn lines(circuit: &Circuit, steps: &[Step], units: Units) -> Vec<Line> {
    let mut lines = currents(circuit, units);
    let mut grounding = grounding(circuit, units);
    for step in once(steps) {
        // Before the raceway is filled its conductors are known.
        if step.formula.quantity == RACEWAY_AREA {
            lines.append(&mut grounding);
        }
        lines.push(Line {
            quantity: phrase(units, step.formula.quantity).to_owned(),
            formula: step.formula.text.to_owned(),
            numbers: numbers(step),
            result: Outcome::Number(step.result, Cow::Borrowed(unit(step))),
            reference: clause(units, step.reference).into_owned(),
        });
    }
    lines.append(&mut grounding);
    lines
}

/// A step as the design keeps it, of a board.
#[must_use]
pub fn kept(step: &WorkingLine, units: Units) -> Line {
    let named = |part: &str| match part.split_once(" = ") {
        Some((name, value)) => format!("{} = {value}", symbol(name, &step.formula)),
        None => part.to_owned(),
    };
    let unit = if step.unit == "1" { String::new() } else { step.unit.clone() };
    Line {
        quantity: phrase(units, &step.quantity).to_owned(),
        formula: step.formula.clone(),
        numbers: step.with_numbers.split(", ").map(named).collect::<Vec<_>>().join(", "),
        result: Outcome::Number(step.value, Cow::Owned(unit)),
        reference: clause(units, &step.reference).into_owned(),
    }
}

/// The step before which the equipment grounding conductor is told.
const RACEWAY_AREA: &str = "area of the conductors in a raceway";

/// The two currents from which an NEC circuit starts: that of the table, and that of the nameplate for overload protection.
fn currents(circuit: &Circuit, units: Units) -> Vec<Line> {
    let (currents, load) = (&circuit.currents, &circuit.load);
    let mut lines = Vec::new();
    if units == Units::Metric {
        return lines;
    }
    let table = if load.phases == Some(1) { "NFPA 70, Table 430.248" } else { "NFPA 70, Table 430.250" };
    if let (Some(amperes), "motor") = (currents.table_a, load.kind.as_str()) {
        let hp =
            load.rated_power_hp.map(|hp| format!("{} hp, ", crate::report::columns::load::horsepower(hp))).unwrap_or_default();
        let volts = load.voltage_v.map(|volts| format!("{} V", significant(volts, 4))).unwrap_or_default();
        lines.push(looked_up("full-load current", "from the table", format!("{hp}{volts}"), amperes, table));
    }
    if let Some(amperes) = currents.nameplate_a {
        let reference = if load.kind == "motor" { "NFPA 70, 430.6(A)(2)" } else { "marking of the equipment" };
        lines.push(looked_up("nameplate current", "from the nameplate", String::new(), amperes, reference));
    }
    lines
}

fn looked_up(quantity: &str, formula: &str, numbers: String, amperes: f64, reference: &str) -> Line {
    Line {
        quantity: quantity.to_owned(),
        formula: formula.to_owned(),
        numbers,
        result: Outcome::Number(amperes, Cow::Borrowed("A")),
        reference: reference.to_owned(),
    }
}

/// The equipment grounding conductor of the first run, by the rating of the device before it. An instantaneous-trip breaker's
/// goes by another rating than its own, and is not told here.
fn grounding(circuit: &Circuit, units: Units) -> Vec<Line> {
    let run = circuit.runs.first().or(circuit.conductors.as_ref());
    let (Units::Customary, Some(run), Some(device)) = (units, run, &circuit.protection) else { return Vec::new() };
    if run.protective_size.is_empty() || device.kind == "instantaneous" {
        return Vec::new();
    }
    vec![grounding_line(run, device.rating_a)]
}

fn grounding_line(run: &Run, rating_a: f64) -> Line {
    Line {
        quantity: "equipment grounding conductor".to_owned(),
        formula: "from the table, by the rating of the device; not larger than the phase conductor".to_owned(),
        numbers: format!("device {} A, phase conductor {}", significant(rating_a, 4), run.phase_size),
        result: Outcome::Size(run.protective_size.clone()),
        reference: "NFPA 70, 250.122".to_owned(),
    }
}

impl Outcome {
    /// As plain text, to five significant digits.
    #[must_use]
    pub fn text(&self) -> Cow<'_, str> {
        match self {
            Self::Number(value, unit) => Cow::Owned(format!("{} {unit}", significant(*value, 5)).trim_end().to_owned()),
            Self::Size(size) => Cow::Borrowed(size),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{Currents, LoadData, Protection};
    use crate::record::Formula;

    static WARM: Formula = Formula {
        quantity: "lowest magnetic trip",
        text: "θ = θa + Δθ",
        sheet: "thetaA+dTheta",
        inputs: &["thetaA", "dTheta"],
        unit: "1",
        reference: "tolerance of the instantaneous trip, IEC 60947-2",
        compute: |n| n[0] + n[1],
    };

    fn step(numbers: &[f64]) -> Step {
        Step { formula: &WARM, numbers: numbers.to_vec(), result: (WARM.compute)(numbers), reference: WARM.reference }
    }

    fn circuit() -> Circuit {
        Circuit {
            load: LoadData {
                kind: "motor".to_owned(),
                rated_power_hp: Some(30.0),
                voltage_v: Some(460.0),
                phases: Some(3),
                ..LoadData::default()
            },
            currents: Currents { table_a: Some(40.0), nameplate_a: Some(35.5), ..Currents::default() },
            protection: Some(Protection { kind: "inverse-time".to_owned(), rating_a: 70.0, ..Protection::default() }),
            runs: vec![Run { phase_size: "8 AWG".to_owned(), protective_size: "8 AWG".to_owned(), ..Run::default() }],
            ..Circuit::default()
        }
    }

    #[test]
    fn a_step_taken_twice_with_the_same_numbers_stands_once() {
        assert_eq!(once(&[step(&[1.0, 2.0]), step(&[2.0, 1.0]), step(&[1.0, 2.0])]).len(), 2);
    }

    #[test]
    fn numbers_bear_the_symbols_of_the_formula_and_a_ratio_no_unit() {
        let lines = lines(&Circuit::default(), &[step(&[40.0, 33.0])], Units::Metric);
        assert_eq!(lines[0].numbers, "θa = 40, Δθ = 33");
        assert_eq!(lines[0].result.text(), "73");
        assert_eq!((lines.len(), lines[0].reference.as_str()), (1, WARM.reference));
    }

    #[test]
    fn an_nec_working_starts_from_both_currents_and_names_the_grounding_conductor() {
        let lines = lines(&circuit(), &[step(&[40.0, 33.0])], Units::Customary);
        let told: Vec<(&str, Cow<'_, str>, &str)> =
            lines.iter().map(|line| (line.quantity.as_str(), line.result.text(), line.reference.as_str())).collect();
        assert_eq!(
            told,
            [
                ("full-load current", "40 A".into(), "NFPA 70, Table 430.250"),
                ("nameplate current", "35.5 A".into(), "NFPA 70, 430.6(A)(2)"),
                (
                    "instantaneous trip, lower limit",
                    "73".into(),
                    "data sheet of the circuit breaker: tolerance of the instantaneous trip"
                ),
                ("equipment grounding conductor", "8 AWG".into(), "NFPA 70, 250.122"),
            ]
        );
        assert_eq!(lines[0].numbers, "30 hp, 460 V");
    }
}
