//! The working as a sheet that recalculates: one row a step, its numbers in cells, the formula live over them beside our value,
//! and a column that tells after recalculation whether both agree.

use std::borrow::Cow;
use std::sync::LazyLock;

use rust_xlsxwriter::{Format, Worksheet};

use super::columns::{Align, Decimals};
use super::plan::{Plan, Written};
use super::style::{self, Rows, Styles};
use super::table::{self, HEAD, ROWS};
use super::{ReportError, ReportInput, live, text};
use crate::design::{Status, WorkingLine};
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
const RECALCULATED: u16 = VALUE + 1;
const UNIT: u16 = 6;
const AGREES: u16 = 7;
const CLAUSE: u16 = 8;
const FIRST_INPUT: u16 = 9;

/// A circuit by its index, and its steps.
pub(super) type Steps<'s> = (usize, Cow<'s, [Step]>);

/// The steps of every circuit whose working the basis asks for.
pub(super) fn steps<'s>(input: &'s ReportInput) -> Vec<Steps<'s>> {
    wanted(input).into_iter().map(|index| (index, input.steps(index))).collect()
}

/// Formats of the sheet. It is written beside the others, so all its formats are numbered beforehand: their numbers may not depend on who
/// comes first.
pub(super) fn formats(styles: &Styles) -> [Format; 10] {
    let formats = [&styles.title, &styles.small, &styles.band, &styles.head, &styles.head_right, &styles.head_edge_right];
    let [title, small, band, head, head_right, edge] = formats.map(Clone::clone);
    let ([words, number], link, label) = (columns(), styles.link.clone(), styles.label.clone());
    [title, small, band, head, head_right, edge, words, number, link, label]
}

/// Formats of columns of words and of numbers.
fn columns() -> [Format; 2] {
    let number = Decimals { fixed: 0, further: 1 };
    [style::column(Align::Left, None, Rows::Tall(true)), style::column(Align::Right, Some(number), Rows::Tall(false))]
}

pub(super) fn write(
    sheet: &mut Worksheet,
    input: &ReportInput,
    plan: &Plan,
    circuits: &[Steps<'_>],
    styles: &Styles,
) -> Result<Written, ReportError> {
    let subtitle = "Each value beside its formula, live over the numbers in the columns at the right. Agrees: within one part in a million, once the workbook has been recalculated. Boards stand last.";
    table::title(sheet, input, "Working", subtitle, styles)?;
    // The widest step decides how many columns the numbers take.
    let of_boards = input.design.boards.iter().flat_map(|board| &board.working).map(|step| numbers_of(step).len());
    let inputs =
        circuits.iter().flat_map(|(_, steps)| steps.iter()).map(|step| step.numbers.len()).chain(of_boards).max().unwrap_or(0);
    heads(sheet, inputs, styles)?;
    let mut written = Written::new(HEAD);
    let mut row = HEAD;
    let mut cut = None;
    'all: for (index, steps) in circuits {
        let Some(circuit) = input.design.circuits.get(*index) else { continue };
        for step in working::once(steps) {
            if row + 3 >= ROWS {
                cut = Some(circuit.tag.as_str());
                break 'all;
            }
            row += 1;
            plan.tag(sheet, row, &circuit.tag, Some(*index), &mut written, &styles.link)?;
            line(sheet, row, step, input.units())?;
        }
    }
    let of_boards = input.design.boards.iter().flat_map(|board| board.working.iter().map(move |step| (&board.name, step)));
    for ((board, step), next) in of_boards.zip(row + 1..ROWS - 2).filter(|_| cut.is_none()) {
        plan.tag(sheet, next, board, None, &mut written, &styles.link)?;
        printed(sheet, next, step, input.units())?;
        row = next;
    }
    table::finish(sheet, &mut written, HEADS.len() + inputs, 1, styles)?;
    if let Some(tag) = cut {
        let words = format!("A sheet holds no more rows; the working from {tag} on is printed by `motorwright explain`.");
        sheet.write_string_with_format(row + 1, 0, text::cell(&words), &styles.label)?;
        written.below = 1;
    }
    Ok(written)
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
    let [words, number] = columns();
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

/// A step as the design keeps it for a board. Its numbers are those that are printed, to six digits, so that it agrees within what
/// these digits leave open.
fn printed(sheet: &mut Worksheet, row: u32, step: &WorkingLine, units: Units) -> Result<(), ReportError> {
    let (quantity, reference) = (phrase(units, &step.quantity), clause(units, &step.reference));
    let words = [(quantity, 1), (step.formula.as_str(), 2), (step.with_numbers.as_str(), 3), (reference.as_ref(), 8)];
    let tall = words.iter().map(|(words, at): &(&str, usize)| table::lines(words, HEADS[*at].1)).max().unwrap_or(1);
    if tall > 1 {
        sheet.set_row_height(row, table::height(tall))?;
    }
    for (words, at) in words.into_iter().take(3) {
        sheet.write_string(row, u16::try_from(at).unwrap_or(0), text::cell(words))?;
    }
    if step.value.is_finite() {
        sheet.write_number(row, VALUE, step.value)?;
    }
    let numbers = numbers_of(step);
    let live = formula_of(step, &numbers);
    let recalculates = match &live {
        Some(again) => live::write_beside(sheet, row, VALUE, again, |input| Some(FIRST_INPUT + u16::try_from(input).ok()?))?,
        None => false,
    };
    sheet.write_string(row, UNIT, if step.unit == "1" { "" } else { &step.unit })?;
    let values: &[u16] = if recalculates { &[VALUE] } else { &[] };
    if step.numbers.is_empty() {
        live::agreement_within(sheet, row, AGREES, values, PRINTED_DIGITS)?;
    } else {
        live::agreement(sheet, row, AGREES, values)?;
    }
    sheet.write_string(row, CLAUSE, reference.as_ref())?;
    for (at, (_, number)) in (FIRST_INPUT..).zip(&numbers) {
        sheet.write_number(row, at, *number)?;
    }
    Ok(())
}

/// The share of a result that six digits of each number put in leave open, where a design of before keeps no more.
const PRINTED_DIGITS: f64 = 1e-4;

/// The numbers of a kept step with their names, in full; of a design of before as they were printed. None where one of them is no number.
fn numbers_of(step: &WorkingLine) -> Vec<(&str, f64)> {
    let one = |part: &'_ str| -> Option<f64> { part.parse().ok().filter(|number: &f64| number.is_finite()) };
    let parts =
        step.with_numbers.split(", ").map(|part| part.split_once(" = ").and_then(|(name, value)| Some((name, one(value)?))));
    let mut parts = parts.collect::<Option<Vec<_>>>().unwrap_or_default();
    if parts.len() == step.numbers.len() {
        parts.iter_mut().zip(&step.numbers).for_each(|((_, printed), full)| *printed = *full);
    }
    parts
}

/// The step again, from the formula of that text over the numbers that were kept; none where no formula gives the value.
fn formula_of(step: &WorkingLine, numbers: &[(&str, f64)]) -> Option<Step> {
    let values: Vec<f64> = numbers.iter().map(|(_, value)| *value).collect();
    let same = |formula: &&'static Formula| {
        formula.text == step.formula
            && formula.unit == step.unit
            && formula.inputs.iter().eq(numbers.iter().map(|(name, _)| name))
    };
    let again = |formula: &'static Formula| Step {
        formula,
        numbers: values.clone(),
        result: (formula.compute)(&values),
        reference: formula.reference,
    };
    let agrees = |other: &Step| (other.result - step.value).abs() <= PRINTED_DIGITS * other.result.abs().max(step.value.abs());
    static FORMULAS: LazyLock<Vec<&'static Formula>> = LazyLock::new(crate::rules::formulas);
    FORMULAS.iter().copied().filter(|formula| same(formula)).map(again).find(agrees)
}

fn line(sheet: &mut Worksheet, row: u32, step: &Step, units: Units) -> Result<(), ReportError> {
    let formula = step.formula;
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
    let recalculates = live::write(sheet, row, VALUE, step, |input| Some(FIRST_INPUT + u16::try_from(input).ok()?))?;
    sheet.write_string(row, UNIT, working::unit(step))?;
    live::agreement(sheet, row, AGREES, if recalculates { &[VALUE] } else { &[] })?;
    sheet.write_string(row, CLAUSE, reference.as_ref())?;
    for (at, number) in (FIRST_INPUT..).zip(&step.numbers) {
        if number.is_finite() {
            sheet.write_number(row, at, *number)?;
        }
    }
    Ok(())
}
