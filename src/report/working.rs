//! The working of a circuit as its readers see it, for every writer alike: each step once, in the words
//! and with the clauses of the trade, and with the symbols that its formula prints.

use std::borrow::Cow;

use crate::design::WorkingLine;
use crate::record::{Step, significant};
use crate::rules::units::{Units, size_of_cmil};
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
pub fn lines(steps: &[Step], units: Units) -> Vec<Line> {
    let line = |step: &Step| Line {
        quantity: phrase(units, step.formula.quantity).to_owned(),
        formula: step.formula.text.to_owned(),
        numbers: numbers(step),
        result: outcome(step.result, Cow::Borrowed(unit(step)), units),
        reference: clause(units, step.reference).into_owned(),
    };
    once(steps).into_iter().map(line).collect()
}

/// A result; a section that is a size of conductor bears its name, and a length has its feet beside it where the trade reckons in them.
fn outcome(result: f64, unit: Cow<'static, str>, units: Units) -> Outcome {
    if unit == "m" && units == Units::Customary && result.is_finite() {
        return Outcome::Number(result, Cow::Owned(format!("m ({} ft)", units.reach(result))));
    }
    let size = if unit == "cmil" { size_of_cmil(result) } else { None };
    size.map_or(Outcome::Number(result, unit), Outcome::Size)
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
        result: outcome(step.value, Cow::Owned(unit), units),
        reference: clause(units, &step.reference).into_owned(),
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

    #[test]
    fn a_step_taken_twice_with_the_same_numbers_stands_once() {
        assert_eq!(once(&[step(&[1.0, 2.0]), step(&[2.0, 1.0]), step(&[1.0, 2.0])]).len(), 2);
    }

    #[test]
    fn numbers_bear_the_symbols_of_the_formula_and_a_ratio_no_unit() {
        let lines = lines(&[step(&[40.0, 33.0])], Units::Metric);
        assert_eq!(lines[0].numbers, "θa = 40, Δθ = 33");
        assert_eq!(lines[0].result.text(), "73");
        assert_eq!((lines.len(), lines[0].reference.as_str()), (1, WARM.reference));
    }

    /// NFPA 70, Chapter 9, Table 8: 26 240 circular mils are 6 AWG; no size has 26 243.
    #[test]
    fn a_section_that_is_a_size_bears_its_name() {
        let text = |cmil: f64| outcome(cmil, "cmil".into(), Units::Customary).text().into_owned();
        // 28.45 m / 0.3048 m/ft = 93.3 ft, of which whole feet are shown.
        assert_eq!(outcome(28.45, "m".into(), Units::Customary).text(), "28.45 m (93 ft)");
        assert_eq!(outcome(28.45, "m".into(), Units::Metric).text(), "28.45 m");
        assert_eq!((text(26_240.0), text(26_243.0)), ("6 AWG".to_owned(), "26243 cmil".to_owned()));
    }
}
