//! The working as a sheet that recalculates: one row a step, its numbers in cells, the formula live over them beside our value,
//! and a column that tells after recalculation whether both agree. The only sheet with formulas; all of them are constants of
//! the rule book, never text that was read.

use rust_xlsxwriter::{Formula as SheetFormula, Worksheet};

use super::columns::{Align, Decimals};
use super::style::{self, Rows, Styles};
use super::table::{self, HEAD};
use super::{ReportError, ReportInput, text};
use crate::design::Status;
use crate::finding::column_letters;
use crate::record::{Formula, Step};
use crate::report::working;
use crate::rules::units::Units;
use crate::rules::words::{clause, phrase};

/// Heads and widths of the columns before the inputs.
const HEADS: [(&str, f64); 9] = [
    ("Tag", 14.0),
    ("Quantity", 40.0),
    ("Formula", 44.0),
    ("Numbers put in", 46.0),
    ("Value", 15.0),
    ("Recalculated", 15.0),
    ("Unit", 8.0),
    ("Agrees", 17.0),
    ("Clause", 34.0),
];
const VALUE: u16 = 4;
const RECALCULATED: u16 = 5;
const UNIT: u16 = 6;
const AGREES: u16 = 7;
const CLAUSE: u16 = 8;
const FIRST_INPUT: u16 = 9;
/// Rows that a sheet has.
const ROWS: u32 = 1_048_576;

pub(super) fn write(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<(), ReportError> {
    let subtitle = "Each value beside its formula, live over the numbers in the columns at the right. Agrees: within one part in a million, once the workbook has been recalculated.";
    table::title(sheet, input, "Working", subtitle, styles)?;
    let circuits = wanted(input);
    // Sized again once; the widest step decides how many columns the numbers take.
    let steps: Vec<_> = circuits.iter().map(|index| working::once((input.working)(*index))).collect();
    let inputs = steps.iter().flatten().map(|step| step.numbers.len()).max().unwrap_or(0);
    heads(sheet, inputs, styles)?;
    let mut row = HEAD;
    let mut cut = None;
    'all: for (index, steps) in circuits.into_iter().zip(steps) {
        let Some(circuit) = input.design.circuits.get(index) else { continue };
        for step in steps {
            if row + 3 >= ROWS {
                cut = Some(circuit.tag.as_str());
                break 'all;
            }
            row += 1;
            line(sheet, row, &circuit.tag, &step, input.units())?;
        }
    }
    table::finish(sheet, HEAD, row, HEADS.len() + inputs, 1, styles)?;
    if let Some(tag) = cut {
        let words = format!("A sheet holds no more rows; the working from {tag} on is printed by `motorwright explain`.");
        sheet.write_string_with_format(row + 1, 0, text::cell(&words), &styles.label)?;
    }
    Ok(())
}

/// Circuits whose working the basis asks for.
fn wanted(input: &ReportInput) -> Vec<usize> {
    let circuits = input.design.circuits.iter().enumerate();
    match input.basis.report.working.as_deref() {
        Some("none") => Vec::new(),
        Some("flagged") => circuits.filter(|(_, circuit)| circuit.status != Status::Sized).map(|(index, _)| index).collect(),
        _ => circuits.map(|(index, _)| index).collect(),
    }
}

fn heads(sheet: &mut Worksheet, inputs: usize, styles: &Styles) -> Result<(), ReportError> {
    let words = style::column(Align::Left, None, Rows::Tall(true));
    let number = style::column(Align::Right, Some(Decimals { fixed: 0, further: 1 }), Rows::Tall(false));
    sheet.set_row_height(HEAD, 20)?;
    for (at, (head, width)) in (0u16..).zip(HEADS) {
        let right = at == VALUE || at == RECALCULATED;
        sheet.write_string_with_format(HEAD, at, head, if right { &styles.head_right } else { &styles.head })?;
        sheet.set_column_width(at, width)?;
        sheet.set_column_format(at, if right { &number } else { &words })?;
    }
    for at in 0..u16::try_from(inputs).unwrap_or(0) {
        let format = if at == 0 { &styles.head_edge_right } else { &styles.head_right };
        sheet.write_string_with_format(HEAD, FIRST_INPUT + at, format!("Number {}", at + 1), format)?;
        sheet.set_column_width(FIRST_INPUT + at, 13)?;
        sheet.set_column_format(FIRST_INPUT + at, &number)?;
    }
    Ok(())
}

fn line(sheet: &mut Worksheet, row: u32, tag: &str, step: &Step, units: Units) -> Result<(), ReportError> {
    let formula = step.formula;
    sheet.write_string(row, 0, text::cell(tag))?;
    sheet.write_string(row, 2, formula.text)?;
    let (quantity, reference) = (phrase(units, formula.quantity), clause(units, step.reference));
    let numbers = working::numbers(step);
    sheet.write_string(row, 1, quantity)?;
    let tall = [(quantity, 1), (formula.text, 2), (numbers.as_str(), 3), (reference.as_ref(), 8)];
    let tall = tall.into_iter().map(|(words, at): (&str, usize)| table::lines(words, HEADS[at].1)).max().unwrap_or(1);
    if tall > 1 {
        sheet.set_row_height(row, table::height(tall))?;
    }
    sheet.write_string(row, 3, numbers)?;
    // What is not finite can't be a number of a cell; then nothing can be recalculated either.
    let finite = step.result.is_finite() && step.numbers.iter().all(|number| number.is_finite());
    if step.result.is_finite() {
        sheet.write_number(row, VALUE, step.result)?;
    } else {
        sheet.write_string(row, VALUE, "not finite")?;
    }
    let live = if finite { over_cells(formula, row) } else { None };
    let recalculates = live.is_some();
    if let Some(live) = live {
        sheet.write_formula(row, RECALCULATED, SheetFormula::new(live).set_result(step.result.to_string()))?;
    }
    sheet.write_string(row, UNIT, working::unit(step))?;
    if recalculates {
        let (ours, theirs) = (cell(VALUE, row), cell(RECALCULATED, row));
        let agrees = format!("=IF(ABS({ours}-{theirs})<=0.000001*MAX(ABS({ours}),ABS({theirs})),\"yes\",\"no\")");
        sheet.write_formula(row, AGREES, SheetFormula::new(agrees).set_result("not recalculated"))?;
    } else {
        sheet.write_string(row, AGREES, "no spreadsheet form")?;
    }
    sheet.write_string(row, CLAUSE, reference.as_ref())?;
    for (at, number) in (FIRST_INPUT..).zip(&step.numbers) {
        if number.is_finite() {
            sheet.write_number(row, at, *number)?;
        }
    }
    Ok(())
}

fn cell(column: u16, row: u32) -> String {
    format!("{}{}", column_letters(u32::from(column)), row + 1)
}

/// The spreadsheet form of a formula with its names replaced by the cells of a row; none if it has no such form, or if a name
/// is neither an input nor a function.
fn over_cells(formula: &Formula, row: u32) -> Option<String> {
    const FUNCTIONS: [&str; 8] = ["SQRT", "MAX", "MIN", "LN", "EXP", "IF", "ABS", "PI"];
    if formula.sheet.is_empty() {
        return None;
    }
    let mut live = String::from("=");
    let mut rest = formula.sheet;
    while let Some(first) = rest.chars().next() {
        if first.is_ascii_digit() || first == '.' {
            let (number, after) = rest.split_at(number_end(rest));
            live.push_str(number);
            rest = after;
        } else if first.is_alphabetic() || first == '_' {
            let end = rest.find(|one: char| !(one.is_alphanumeric() || one == '_')).unwrap_or(rest.len());
            let (name, after) = rest.split_at(end);
            match formula.inputs.iter().position(|own| *own == name) {
                Some(at) => live.push_str(&cell(FIRST_INPUT + u16::try_from(at).ok()?, row)),
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
        assert_eq!(over_cells(&FORMULA, 4).as_deref(), Some("=1e3*J5/(SQRT(3)*K5*L5*M5)"));
    }

    #[test]
    fn an_unknown_name_gives_no_formula() {
        static WRONG: Formula =
            Formula { sheet: "HYPERLINK(P)", quantity: "", text: "", inputs: &["P"], unit: "", reference: "", compute: |n| n[0] };
        assert_eq!(over_cells(&WRONG, 4), None);
    }
}
