//! The sheets of devices, dials, cables, checks, purchases and findings.

use std::collections::BTreeMap;

use rust_xlsxwriter::{ConditionalFormatFormula, Format, FormatAlign, FormatBorder, Worksheet};

use super::columns::{self, CellValue, CheckRow};
use super::plan::{LINKS, Plan, Written};
use super::style::{self, HAIR, INK, Rows, Styles};
use super::table::{self, HEAD};
use super::{ReportError, ReportInput, text};
use crate::design::{Circuit, PurchaseTotals};
use crate::report::{totals, words};

/// Rows of each circuit, with its index.
fn each<'d, R, I>(
    input: &'d ReportInput<'d>,
    rows: impl Fn(&'d Circuit) -> I + 'd,
) -> impl Iterator<Item = (Option<usize>, R)> + 'd
where
    R: 'd,
    I: IntoIterator<Item = R> + 'd,
{
    let circuits = input.design.circuits.iter().enumerate();
    circuits.flat_map(move |(index, circuit)| rows(circuit).into_iter().map(move |row| (Some(index), row)))
}

pub(super) fn starters(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    table::title(
        sheet,
        input,
        "Starters",
        "One row a device, for one circuit; the column Circuits tells how many there are.",
        styles,
    )?;
    let units = input.units();
    let mut starters = columns::starters(units);
    table::fit_owners(&mut starters, input);
    let rows = each(input, move |circuit| columns::starter_rows(circuit, units));
    let written = table::write(sheet, &starters, rows, plan, styles, |_, _| None)?;
    new_owners(sheet, written.last, starters.len(), styles)?;
    Ok(written)
}

/// A stronger line where the next circuit begins; its tag is darker there than on its further lines. Each line keeps its tag,
/// so that filters and sorting hold.
fn new_owners(sheet: &mut Worksheet, last: u32, width: usize, styles: &Styles) -> Result<(), ReportError> {
    if last <= HEAD {
        return Ok(());
    }
    let right = u16::try_from(width - 1).unwrap_or(0);
    let (here, before) = (HEAD + 2, HEAD + 1);
    let rule = |formula: String, format: &Format| ConditionalFormatFormula::new().set_rule(formula.as_str()).set_format(format);
    sheet.add_conditional_format(HEAD + 1, 0, last, right, &rule(format!("=$A{here}<>$A{before}"), &styles.new_tag))?;
    sheet.add_conditional_format(HEAD + 1, 0, last, 0, &rule(format!("=$A{here}=$A{before}"), &styles.same_tag_words))?;
    if right > 0 {
        sheet.add_conditional_format(HEAD + 1, 1, last, right, &rule(format!("=$A{here}=$A{before}"), &styles.same_tag))?;
    }
    Ok(())
}

/// Height of the row of a dial, whose figure is large.
const DIAL: u32 = 21;

pub(super) fn settings(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    table::title(
        sheet,
        input,
        "Protection settings",
        "One line a dial, in the order of the schedule, boards last. Sign when set; a value that differs goes into Remarks.",
        styles,
    )?;
    let units = input.units();
    let mut settings = columns::settings(units);
    table::fit_owners(&mut settings, input);
    table::heads(sheet, HEAD, &settings, false, styles)?;
    for (at, column) in (0u16..).zip(&settings).filter(|(_, column)| table::wraps(column)) {
        sheet.set_column_format(at, &style::column(column.align(), column.decimals, Rows::Single).set_text_wrap())?;
    }
    let width = u16::try_from(settings.len()).unwrap_or(0);
    for (at, (head, wide)) in (width..).zip([("Set by, date", 19.0), ("Remarks", 24.0)]) {
        sheet.write_string_with_format(HEAD, at, head, &styles.head_edge)?;
        sheet.set_column_width(at, wide)?;
    }
    let large = Format::new()
        .set_font_color(INK)
        .set_bold()
        .set_font_size(14)
        .set_align(FormatAlign::Right)
        .set_align(FormatAlign::VerticalCenter);
    let fine = large.clone().set_num_format("0.0?");
    let whole = large.set_num_format("0");
    let link = styles.link.clone().set_align(FormatAlign::VerticalCenter);
    let blank = Format::new().set_border_left(FormatBorder::Thin).set_border_left_color(HAIR);
    let mut written = Written::new(HEAD);
    let of_boards = input.design.boards.iter().flat_map(|board| columns::board_setting_rows(board, units));
    let rows = each(input, move |circuit| columns::setting_rows(circuit, units)).chain(of_boards.map(|row| (None, row)));
    for (last, (circuit, row)) in (HEAD + 1..).zip(rows) {
        let cells: Vec<CellValue<'_>> = settings.iter().map(|column| column.rounded(&row)).collect();
        sheet.set_row_height(last, table::height(table::tallest(&settings, &cells)).max(DIAL))?;
        for ((at, column), value) in (0u16..).zip(&settings).zip(cells) {
            match (column.key, &value) {
                ("tag", _) => plan.tag(sheet, last, &row.tag, circuit, &mut written, &link)?,
                ("value", CellValue::Number(number)) => {
                    let format = if *number >= 100.0 && number.fract().abs() < 0.005 { &whole } else { &fine };
                    table::value_with(sheet, last, at, value, format)?;
                }
                _ => table::value(sheet, last, at, value)?,
            }
        }
        sheet.write_blank(last, width, &blank)?;
        sheet.write_blank(last, width + 1, &blank)?;
    }
    sheet.set_freeze_panes(HEAD + 1, 1)?;
    sheet.set_repeat_rows(HEAD, HEAD)?;
    written.right = width + 1;
    if written.last > HEAD {
        sheet.autofilter(HEAD, 0, written.last, written.right)?;
    }
    new_owners(sheet, written.last, settings.len() + 2, styles)?;
    Ok(written)
}

pub(super) fn cables(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    table::title(
        sheet,
        input,
        words::terms(input.units()).cables,
        "One row a run, feeders last. Under each criterion: the smallest size that it admits; the largest of them governs.",
        styles,
    )?;
    let units = input.units();
    let feeders = columns::feeder_rows(input.design);
    let rows: Vec<_> = input.design.circuits.iter().flat_map(columns::run_rows).chain(feeders).collect();
    let mut columns = columns::in_use(columns::cables(units), &rows);
    table::fit(&mut columns, &rows, table::WIDEST);
    table::heads(sheet, HEAD, &columns, true, styles)?;
    let criteria = criteria(input);
    let unit = columns.iter().find(|column| column.key == "phase_size").map_or("", |column| column.unit);
    let width = columns.len() + criteria.len();
    let first = u16::try_from(columns.len()).unwrap_or(0);
    let mut tall = 3;
    for (at, criterion) in (first..).zip(&criteria) {
        let head = format!("{}\n{unit}", words::brief(units, criterion));
        tall = tall.max(table::lines(head.trim_end(), CRITERION - 3.0));
        sheet.write_string_with_format(HEAD, at, head.trim_end(), if at == first { &styles.head_edge } else { &styles.head })?;
        sheet.set_column_width(at, CRITERION)?;
        sheet.set_column_format(at, &style::column(columns::Align::Left, None, Rows::Tall(false)))?;
    }
    sheet.set_row_height(HEAD, table::height(tall) + 4)?;
    let mut written = Written::new(HEAD);
    let of_circuits = each(input, columns::run_rows).map(|(circuit, _)| circuit).chain(std::iter::repeat(None));
    for (last, (circuit, row)) in (HEAD + 1..).zip(of_circuits.zip(&rows)) {
        plan.tag(sheet, last, row.owner, circuit, &mut written, &styles.link)?;
        for (at, column) in (0u16..).zip(&columns).skip(1) {
            table::value(sheet, last, at, column.rounded(row))?;
        }
        for size in &row.run.criteria {
            let Some(at) = criteria.iter().position(|criteria| *criteria == size.criterion).and_then(|at| u16::try_from(at).ok())
            else {
                continue;
            };
            let value = CellValue::text(columns::bare(&size.size));
            if size.criterion == row.run.governed_by {
                table::value_with(sheet, last, first + at, value, &styles.label)?;
            } else {
                table::value(sheet, last, first + at, value)?;
            }
        }
    }
    table::finish(sheet, &mut written, width, 1, styles)?;
    Ok(written)
}

/// Width of a column of a criterion.
const CRITERION: f64 = 15.0;

/// Control supplies of boards and of starters.
pub(super) fn supplies(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    table::title(
        sheet,
        input,
        "Control supplies",
        "One row a control supply: those that the starters of a board share, then those of single starters.",
        styles,
    )?;
    let rows = columns::supply_rows(input.design);
    let mut columns = columns::in_use(columns::supplies(input.units()), &rows);
    table::fit(&mut columns, &rows, table::WIDEST);
    // Backwards, so that of two circuits under one tag the first stays.
    let places: BTreeMap<&str, usize> =
        input.design.circuits.iter().enumerate().rev().map(|(index, circuit)| (circuit.tag.as_str(), index)).collect();
    let index = |tag: &str| places.get(tag).copied();
    let rows = rows.into_iter().map(|row| (row.board.is_none().then(|| index(row.owner)).flatten(), row));
    table::write(sheet, &columns, rows, plan, styles, |_, _| None)
}

/// Criteria that occur, in the order in which they first do.
fn criteria<'a>(input: &'a ReportInput) -> Vec<&'a str> {
    let mut all: Vec<&str> = Vec::new();
    for run in input.design.circuits.iter().flat_map(columns::run_rows).chain(columns::feeder_rows(input.design)) {
        for size in &run.run.criteria {
            if !all.contains(&size.criterion.as_str()) {
                all.push(&size.criterion);
            }
        }
    }
    all
}

pub(super) fn checks(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    table::title(
        sheet,
        input,
        "Checks",
        "Each check is passed, failed or not checked. More used of the limit is worse; beyond 100 % it failed.",
        styles,
    )?;
    let mark = |row: &CheckRow<'_>, key: &str| {
        (key == "result").then_some(match row.check.passed {
            Some(true) => &styles.passed,
            Some(false) => &styles.failed,
            None => &styles.unchecked,
        })
    };
    let mut checks = columns::checks(input.units());
    table::fit_owners(&mut checks, input);
    let of_boards = input.design.boards.iter().flat_map(|board| board.checks.iter().map(|check| (&board.name, check)));
    let rows = each(input, |circuit| {
        circuit.checks.iter().map(|check| CheckRow { owner: &circuit.tag, load: &circuit.load.kind, check })
    })
    .chain(of_boards.map(|(name, check)| (None, CheckRow { owner: name, load: "", check })));
    table::write(sheet, &checks, rows, plan, styles, mark)
}

pub(super) fn purchase(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<Written, ReportError> {
    let sums = &input.design.purchase_totals;
    let subtitle = format!(
        "Firm: may be ordered as far as the design goes. On hold: a circuit needs a decision or leans on assumed data. {}",
        totals::sentence(sums)
    );
    table::title(sheet, input, "Purchase list", &text::cell(&subtitle), styles)?;
    let mut columns = columns::purchase_of(input.units(), &input.design.purchase);
    table::fit(&mut columns, &input.design.purchase, table::WIDEST);
    table::heads(sheet, HEAD, &columns, true, styles)?;
    let mut written = Written::new(HEAD);
    for (last, line) in (HEAD + 1..).zip(&input.design.purchase) {
        written.last = last;
        let cells: Vec<CellValue<'_>> = columns.iter().map(|column| column.rounded(line)).collect();
        let lines = table::tallest(&columns, &cells);
        if lines > 1 {
            sheet.set_row_height(last, table::height(lines))?;
        }
        for (at, cell) in (0u16..).zip(cells) {
            table::value(sheet, last, at, cell)?;
        }
    }
    table::finish(sheet, &mut written, columns.len(), 1, styles)?;
    sums_by_board(sheet, sums, written.last + 2, styles)?;
    written.below = u32::try_from(sums.boards.len()).unwrap_or(0) + 2;
    Ok(written)
}

/// What each board takes, for who releases or wires one board at a time: filtered by its first column.
pub(super) fn by_board(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    let subtitle = "One row a part and board, without spares, allowances and whole packs: the purchase list says what to order.";
    table::title(sheet, input, "Purchase by board", subtitle, styles)?;
    let mut columns = columns::by_board(input.units());
    table::fit_owners(&mut columns, input);
    let rows = columns::board_parts(input.design).into_iter().map(|row| (None, row));
    let written = table::write(sheet, &columns, rows, plan, styles, |_, _| None)?;
    new_owners(sheet, written.last, columns.len(), styles)?;
    Ok(written)
}

/// Lines and prices by board, under the list.
fn sums_by_board(sheet: &mut Worksheet, sums: &PurchaseTotals, first: u32, styles: &Styles) -> Result<(), ReportError> {
    if sums.boards.is_empty() {
        return Ok(());
    }
    sheet.write_string_with_format(first, 0, "By board, without spares, allowances and whole packs", &styles.label)?;
    for (row, board) in (first + 1..).zip(&sums.boards) {
        sheet.write_string(row, 0, text::cell(totals::board_name(board)))?;
        sheet.write_string(row, 1, text::cell(&totals::of_board(board)))?;
    }
    Ok(())
}

pub(super) fn findings(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    table::title(sheet, input, "Findings", "Worst first. The place leads to its cell.", styles)?;
    let mut findings = columns::findings(input.units());
    table::fit_owners(&mut findings, input);
    table::heads(sheet, HEAD, &findings, true, styles)?;
    let mut written = Written::new(HEAD);
    let mut links = 0;
    for (last, row) in (HEAD + 1..).zip(columns::finding_rows(input.design)) {
        written.last = last;
        if let Some(circuit) = plan.owner(row.finding) {
            written.starts.entry(circuit).or_insert(last);
        }
        let cells: Vec<CellValue<'_>> = findings.iter().map(|column| column.rounded(&row)).collect();
        let lines = table::tallest(&findings, &cells);
        if lines > 1 {
            sheet.set_row_height(last, table::height(lines))?;
        }
        for ((at, column), value) in (0u16..).zip(&findings).zip(cells) {
            let target = if column.key == "place" && links < LINKS { plan.target(row.finding) } else { None };
            match (column.key, target) {
                ("severity", _) => table::value_with(sheet, last, at, value, styles.severity.get(row.finding.severity))?,
                ("place", Some((name, to_row, to_column))) => {
                    links += 1;
                    let words = if let CellValue::Text(words) = &value {
                        text::cell(words).into_owned()
                    } else {
                        format!("row {}", to_row + 1)
                    };
                    sheet.write_url_with_options(
                        last,
                        at,
                        text::link(name, to_row, to_column).as_str(),
                        words,
                        "",
                        Some(&styles.link),
                    )?;
                }
                _ => table::value(sheet, last, at, value)?,
            }
        }
    }
    table::finish(sheet, &mut written, findings.len(), 3, styles)?;
    Ok(written)
}
