//! The working of an owner (a circuit, a board, the project): each step with its formula, the numbers put in and the result,
//! and the findings made on the way.
//!
//! A value can't exist without its working: [`Record::step`] computes it. A formula is one constant beside its clause: the text
//! that is printed, the form that a spreadsheet recalculates, and the function that computes. A test evaluates every
//! spreadsheet form and compares, so the three can't drift apart.

use crate::finding::Finding;
use crate::quantity::decimal;

/// A formula beside its clause.
#[derive(Debug)]
pub struct Formula {
    /// What it gives, in the trade's words.
    pub quantity: &'static str,
    /// As it is printed, such as `I = 1000 P / (√3 U η cosφ)`.
    pub text: &'static str,
    /// As a spreadsheet writes it, over the names in [`Self::inputs`], such as `1000*P/(SQRT(3)*U*eff*pf)`.
    /// Only `+ - * / ^`, parentheses, numbers, names, `SQRT`, `MAX`, `MIN`, `LN`, `EXP` and `IF(a<=b,x,y)` occur.
    pub sheet: &'static str,
    /// Names of the numbers put in, in the order in which [`Self::compute`] takes them.
    pub inputs: &'static [&'static str],
    /// Unit of the result.
    pub unit: &'static str,
    /// Clause or table.
    pub reference: &'static str,
    /// Computes the result.
    pub compute: fn(&[f64]) -> f64,
}

/// One step of a working.
#[derive(Clone, Debug)]
pub struct Step {
    /// Which formula.
    pub formula: &'static Formula,
    /// The numbers put in.
    pub numbers: Vec<f64>,
    /// What came out.
    pub result: f64,
    /// Clause or table, as the rule book of the owner names it.
    pub reference: &'static str,
}

/// A step as words and numbers, for those who print it.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedStep {
    /// What was worked out.
    pub quantity: String,
    /// The formula.
    pub formula: String,
    /// The numbers put in, as `P = 7.5, U = 400`.
    pub with_numbers: String,
    /// The result, unrounded.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// Clause or table.
    pub reference: String,
}

impl Step {
    /// The step as words; numbers to six significant digits.
    #[must_use]
    pub fn printed(&self) -> PrintedStep {
        PrintedStep {
            quantity: self.formula.quantity.to_owned(),
            formula: self.formula.text.to_owned(),
            with_numbers: self.numbers_put_in(|name| name),
            value: self.result,
            unit: self.formula.unit.to_owned(),
            reference: self.reference.to_owned(),
        }
    }

    /// The numbers put in, to six significant digits, as `P = 7.5, U = 400`, each under the name that `named` gives it.
    #[must_use]
    pub fn numbers_put_in(&self, named: impl Fn(&'static str) -> &'static str) -> String {
        let mut text = String::with_capacity(16 * self.numbers.len());
        for (name, value) in self.formula.inputs.iter().zip(&self.numbers) {
            if !text.is_empty() {
                text.push_str(", ");
            }
            text.push_str(named(name));
            text.push_str(" = ");
            text.push_str(&significant(*value, 6));
        }
        text
    }
}

/// A number with at most `digits` significant digits and no trailing zeros.
#[must_use]
pub fn significant(value: f64, digits: u32) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    // A whole number, as most that are put in, has no decimals to be cut.
    if value.fract() == 0.0 && value.abs() < 1e15 {
        #[allow(clippy::cast_possible_truncation)] // whole, and far within
        return (value as i64).to_string();
    }
    #[allow(clippy::cast_possible_truncation)] // the exponent of a finite f64 is within -324..309
    let exponent = libm::floor(libm::log10(value.abs())) as i32;
    let decimals = (digits.cast_signed() - 1 - exponent).clamp(0, 12);
    let mut text = decimal(value, usize::try_from(decimals).unwrap_or(0));
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    text
}

/// The working and the findings of one owner.
#[derive(Clone, Debug, Default)]
pub struct Record {
    steps: Vec<Step>,
    findings: Vec<Finding>,
    silent: bool,
    naming: Option<Naming>,
}

/// How a rule book names the source of a formula that it shares with another.
pub type Naming = fn(&'static str) -> &'static str;

impl Record {
    /// An empty record.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Names the sources of steps as a rule book does.
    #[must_use]
    pub fn named(self, naming: Option<Naming>) -> Self {
        Self { naming, ..self }
    }

    /// A record that keeps no steps: for candidates that are tried, whose working nobody reads.
    #[must_use]
    pub fn silent() -> Self {
        Self { silent: true, ..Self::default() }
    }

    /// Computes a formula with these numbers, keeps the step, and hands the result on.
    pub fn step(&mut self, formula: &'static Formula, numbers: &[f64]) -> f64 {
        self.step_from(formula, numbers, formula.reference)
    }

    /// The same where the numbers put in come from tables that the clause of the formula does not name.
    pub fn step_from(&mut self, formula: &'static Formula, numbers: &[f64], reference: &'static str) -> f64 {
        debug_assert_eq!(formula.inputs.len(), numbers.len(), "{}", formula.quantity);
        let result = (formula.compute)(numbers);
        if !self.silent {
            let reference = self.naming.map_or(reference, |naming| naming(reference));
            self.steps.push(Step { formula, numbers: numbers.to_vec(), result, reference });
        }
        result
    }

    /// Tells whether steps are kept, so that nobody looks up words for those that are not.
    #[must_use]
    pub fn keeps_steps(&self) -> bool {
        !self.silent
    }

    /// Keeps a finding.
    pub fn find(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// The steps in order.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The findings in the order in which they were made.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Hands the findings over.
    #[must_use]
    pub fn into_parts(self) -> (Vec<Step>, Vec<Finding>) {
        (self.steps, self.findings)
    }
}

#[cfg(test)]
mod tests {
    use super::significant;

    #[test]
    fn significant_digits_without_trailing_zeros() {
        assert_eq!(significant(14.300_000_1, 6), "14.3");
        assert_eq!(significant(0.000_123_456_789, 6), "0.000123457");
        assert_eq!(significant(123_456_789.0, 6), "123456789");
        assert_eq!(significant(0.0, 6), "0");
        assert_eq!((significant(-800.0, 6), significant(7.0, 1)), ("-800".to_owned(), "7".to_owned()));
    }
}
