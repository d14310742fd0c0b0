//! Formulas that a spreadsheet recalculates: the spreadsheet form of a step with its names replaced by cells, and the comparison of
//! what it gives with our value. All of them are constants of the rule book, never text that was read.

use std::fmt::Write;

use rust_xlsxwriter::{Formula as SheetFormula, Worksheet};

use super::ReportError;
use crate::finding::push_letters;
use crate::record::{Formula, Step};

/// The text in a column of agreement until a program has recalculated.
pub(super) const NOT_YET: &str = "not recalculated";

/// Share of a value by which what is recalculated may differ.
const ONE_IN_A_MILLION: f64 = 0.000_001;

fn push_cell(text: &mut String, column: u16, row: u32) {
    push_letters(text, u32::from(column));
    let _ = write!(text, "{}", row + 1);
}

/// Writes our value as a number and, beside it, the formula over the cells of its inputs with our value as its stored result.
/// Tells whether there is such a formula: what is not finite can't be a number of a cell, and then nothing can be recalculated.
pub(super) fn write(
    sheet: &mut Worksheet,
    row: u32,
    value: u16,
    step: &Step,
    at: impl Fn(usize) -> Option<u16>,
) -> Result<bool, ReportError> {
    if !step.result.is_finite() {
        sheet.write_string(row, value, "not finite")?;
        return Ok(false);
    }
    sheet.write_number(row, value, step.result)?;
    write_beside(sheet, row, value, step, at)
}

/// Writes the formula alone, beside a value that stands there already.
pub(super) fn write_beside(
    sheet: &mut Worksheet,
    row: u32,
    value: u16,
    step: &Step,
    at: impl Fn(usize) -> Option<u16>,
) -> Result<bool, ReportError> {
    let finite = step.result.is_finite() && step.numbers.iter().all(|number| number.is_finite());
    let Some(live) = over_cells(step.formula, row, at).filter(|_| finite) else { return Ok(false) };
    sheet.write_formula(row, value + 1, SheetFormula::new(live).set_result(step.result.to_string()))?;
    Ok(true)
}

/// Writes whether our values, each with its formula at its right, agree with what was recalculated.
pub(super) fn agreement(sheet: &mut Worksheet, row: u32, column: u16, values: &[u16]) -> Result<(), ReportError> {
    agreement_within(sheet, row, column, values, ONE_IN_A_MILLION)
}

/// The same within another share of the value.
pub(super) fn agreement_within(
    sheet: &mut Worksheet,
    row: u32,
    column: u16,
    values: &[u16],
    share: f64,
) -> Result<(), ReportError> {
    if values.is_empty() {
        sheet.write_string(row, column, "no spreadsheet form")?;
        return Ok(());
    }
    let mut all = String::with_capacity(64 * values.len() + 32);
    all.push_str(if values.len() == 1 { "=IF(" } else { "=IF(AND(" });
    for (number, value) in values.iter().enumerate() {
        all.push_str(if number == 0 { "ABS(" } else { ",ABS(" });
        push_cell(&mut all, *value, row);
        all.push('-');
        push_cell(&mut all, *value + 1, row);
        let _ = write!(all, ")<={share}*MAX(ABS(");
        push_cell(&mut all, *value, row);
        all.push_str("),ABS(");
        push_cell(&mut all, *value + 1, row);
        all.push_str("))");
    }
    all.push_str(if values.len() == 1 { ",\"yes\",\"no\")" } else { "),\"yes\",\"no\")" });
    sheet.write_formula(row, column, SheetFormula::new(all).set_result(NOT_YET))?;
    Ok(())
}

/// The spreadsheet form of a formula with its names replaced by cells of a row; none if it has no such form, or if a name is neither an
/// input nor a function.
fn over_cells(formula: &Formula, row: u32, at: impl Fn(usize) -> Option<u16>) -> Option<String> {
    const FUNCTIONS: [&str; 8] = ["SQRT", "MAX", "MIN", "LN", "EXP", "IF", "ABS", "PI"];
    if formula.sheet.is_empty() {
        return None;
    }
    let mut live = String::with_capacity(2 * formula.sheet.len() + 16);
    live.push('=');
    let mut rest = formula.sheet;
    while let Some(first) = rest.chars().next() {
        if first.is_ascii_digit() || first == '.' {
            let (number, after) = rest.split_at(number_end(rest));
            live.push_str(number);
            rest = after;
        } else if first.is_alphabetic() || first == '_' {
            let end = rest.find(|one: char| !(one.is_alphanumeric() || one == '_')).unwrap_or(rest.len());
            let (name, after) = rest.split_at(end);
            match formula.inputs.iter().position(|input| *input == name) {
                Some(input) => push_cell(&mut live, at(input)?, row),
                None if FUNCTIONS.contains(&name) => live.push_str(name),
                None => return None,
            }
            rest = after;
        } else {
            live.push(first);
            rest = &rest[first.len_utf8()..];
        }
    }
    Some(live)
}

/// End of a number, its exponent included.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(|byte| byte.is_ascii_digit() || *byte == b'.') {
            at += 1;
        }
        at
    };
    let end = digits(0);
    if !matches!(bytes.get(end), Some(b'e' | b'E')) {
        return end;
    }
    let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
    let exponent = digits(end + 1 + sign);
    if exponent > end + 1 + sign { exponent } else { end }
}

#[cfg(test)]
mod tests {
    use super::*;

    static FORMULA: Formula = Formula {
        quantity: "rated current",
        text: "I = 1000 P / (√3 U η cosφ)",
        sheet: "1e3*P/(SQRT(3)*U*eff*pf)",
        inputs: &["P", "U", "eff", "pf"],
        unit: "A",
        reference: "",
        compute: |n| 1000.0 * n[0] / (3f64.sqrt() * n[1] * n[2] * n[3]),
    };

    #[test]
    fn names_become_cells() {
        assert_eq!(
            over_cells(&FORMULA, 4, |at| Some(9 + u16::try_from(at).ok()?)).as_deref(),
            Some("=1e3*J5/(SQRT(3)*K5*L5*M5)")
        );
    }

    #[test]
    fn an_unknown_name_gives_no_formula() {
        static WRONG: Formula =
            Formula { sheet: "HYPERLINK(P)", quantity: "", text: "", inputs: &["P"], unit: "", reference: "", compute: |n| n[0] };
        assert_eq!(over_cells(&WRONG, 0, |_| Some(0)), None);
    }
}
