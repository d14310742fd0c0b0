//! Writes the workbook: the sender's table as it was with the results beside it, then a sheet for each reader.
//!
//! Only this room names the library that writes workbooks. Cells of the sender keep their addresses, so that `C12` in a finding is
//! `C12` here. Every sheet is written row by row in low-memory mode; formats are made once. Text is data: formulas stand on
//! the sheets `Audit` and `Working` alone, and are ours.

use std::io::Write;

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, Worksheet, XlsxError};

use super::{DEMONSTRATION, ReportInput, columns};
use crate::finding::column_letters;
use crate::rules::units::Units;
use crate::threads;

mod audit;
mod basis;
pub mod blank;
mod boards;
pub mod changes;
mod details;
mod live;
mod plan;
mod schedule;
mod style;
mod table;
mod text;
mod working;

#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;

use plan::{Plan, Written};
use style::Styles;

/// The workbook can't be written.
#[derive(Debug)]
#[non_exhaustive]
pub enum ReportError {
    /// The library refuses, or its temporary file can't be written.
    Workbook(String),
    /// A template fails.
    Page(String),
}

impl std::fmt::Display for ReportError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Workbook(why) | Self::Page(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for ReportError {}

impl From<XlsxError> for ReportError {
    fn from(error: XlsxError) -> Self {
        Self::Workbook(error.to_string())
    }
}

/// The workbook as bytes; the same input gives the same bytes.
///
/// # Errors
/// A sheet is larger than the file format allows, or the temporary folder can't be written to.
pub fn write(input: &ReportInput) -> Result<Vec<u8>, ReportError> {
    let mut bytes = Vec::new();
    write_to(input, &mut bytes)?;
    Ok(bytes)
}

/// The same, handed on piece by piece.
///
/// # Errors
/// As [`write()`]; or the pieces are refused.
pub fn write_to(input: &ReportInput, out: &mut (impl Write + Send)) -> Result<(), ReportError> {
    // The library panics where its temporary file can't be written; a full disk must not look like a defect of the program.
    kept_from_panic(|| build(input, out))
}

/// An error of the system at which the library panicked becomes one of ours; any other panic is a defect and goes on.
fn kept_from_panic<T>(build: impl FnOnce() -> Result<T, ReportError>) -> Result<T, ReportError> {
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(build))
        .unwrap_or_else(|panic| if is_of_the_system(panic.as_ref()) { Err(stopped()) } else { std::panic::resume_unwind(panic) })
}

/// The words of a panic name an error of the system, as `Os { code: 28, kind: StorageFull, .. }` does.
fn is_of_the_system(panic: &(dyn std::any::Any + Send)) -> bool {
    let words = panic.downcast_ref::<String>().map(String::as_str).or_else(|| panic.downcast_ref::<&str>().copied());
    words.is_some_and(|words| words.contains("Os { code:"))
}

/// The library panics where its temporary file can't be written.
fn stopped() -> ReportError {
    ReportError::Workbook("its temporary file can't be written: the disk of the temporary folder may be full".to_owned())
}

fn build(input: &ReportInput, out: &mut (impl Write + Send)) -> Result<(), ReportError> {
    let styles = Styles::new();
    let plan = Plan::new(input);
    let mut book = Workbook::new();
    // A third of the time that the usual level takes; files grow by a seventh.
    book.set_zip_compression_level(3);
    book.set_properties(&properties(input));
    for sheet in &plan.schedules {
        let merged = sheet.grid.and_then(|grid| input.grids.get(grid)).is_some_and(|grid| !grid.merged.is_empty());
        let worksheet = if merged { book.add_worksheet() } else { book.add_worksheet_with_low_memory()? };
        set_up(worksheet, input, &sheet.name, Paper::Large)?;
        worksheet.set_hidden(sheet.is_hidden(input));
    }
    for (sheet, name) in Sheet::ALL.into_iter().zip(plan.names()) {
        // The working holds its texts itself: most stand nowhere else, and the table of shared texts has an order.
        let worksheet = match sheet {
            Sheet::Working => book.add_worksheet_with_constant_memory()?,
            _ => book.add_worksheet_with_low_memory()?,
        };
        set_up(worksheet, input, name, sheet.paper())?;
    }
    // The sheet with the circuits is seen first. One that is hidden can't be.
    let first = |wanted: &dyn Fn(&plan::Schedule) -> bool| {
        plan.schedules.iter().position(|schedule| wanted(schedule) && !schedule.is_hidden(input))
    };
    let shown = first(&|schedule| !schedule.circuits.is_empty()).or_else(|| first(&|_| true)).unwrap_or(plan.schedules.len());
    book.worksheet_from_index(shown)?.set_active(true);
    let written = ours(&mut book, input, &plan, &styles)?;
    for index in 0..plan.schedules.len() {
        let reach = schedule::write(book.worksheet_from_index(index)?, input, &plan, index, &written, &styles)?;
        if !plan.schedules[index].circuits.is_empty() {
            // Seals and marks in the hidden column are no part of what is printed.
            book.worksheet_from_index(index)?.set_print_area(0, 0, reach.last + reach.below, reach.right)?;
        }
        if index == 0 {
            define(&mut book, "Schedule", &plan.schedules[index].name, &reach)?;
        }
    }
    for (sheet, written) in Sheet::ALL.into_iter().zip(&written) {
        let index = plan.schedules.len() + sheet as usize;
        book.worksheet_from_index(index)?.set_print_area(0, 0, written.last + written.below, written.right + written.beside)?;
        define(&mut book, sheet.defined_name(input.units()), plan.name(sheet), written)?;
    }
    Ok(book.save_to_writer(out)?)
}

/// Writes our own sheets; the schedule comes after them, because its cells lead to their rows. The working takes half of the time and is
/// written beside the others.
fn ours(book: &mut Workbook, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Vec<Written>, ReportError> {
    let steps = working::steps(input);
    for format in working::formats(styles) {
        book.register_format(&format);
    }
    let sheets = book.worksheets_mut().get_mut(plan.schedules.len()..).unwrap_or_default();
    let (before, rest) = sheets.split_at_mut(Sheet::Working as usize);
    let Some((worksheet, after)) = rest.split_first_mut() else { return Ok(Vec::new()) };
    let (working, others) = threads::both(
        || working::write(worksheet, input, plan, &steps, styles),
        || {
            let others = Sheet::ALL.into_iter().filter(|sheet| *sheet != Sheet::Working);
            let written = others.zip(before.iter_mut().chain(after));
            written.map(|(kind, sheet)| one_of_ours(kind, sheet, input, plan, &steps, styles)).collect::<Result<Vec<_>, _>>()
        },
    );
    let mut all = others?;
    all.insert(Sheet::Working as usize, working.ok_or_else(stopped)??);
    Ok(all)
}

fn one_of_ours(
    kind: Sheet,
    sheet: &mut Worksheet,
    input: &ReportInput,
    plan: &Plan,
    steps: &[working::Steps<'_>],
    styles: &Styles,
) -> Result<Written, ReportError> {
    match kind {
        Sheet::Starters => details::starters(sheet, input, plan, styles),
        Sheet::Settings => details::settings(sheet, input, plan, styles),
        Sheet::Cables => details::cables(sheet, input, plan, styles),
        Sheet::Boards => boards::boards(sheet, input, styles),
        Sheet::Dips => boards::dips(sheet, input, plan, styles),
        Sheet::Supplies => details::supplies(sheet, input, plan, styles),
        Sheet::Checks => details::checks(sheet, input, plan, styles),
        Sheet::Purchase => details::purchase(sheet, input, styles),
        Sheet::ByBoard => details::by_board(sheet, input, plan, styles),
        Sheet::Findings => details::findings(sheet, input, plan, styles),
        Sheet::Basis => basis::basis(sheet, input, styles),
        Sheet::Audit => audit::write(sheet, input, plan, steps, styles),
        Sheet::Working => working::write(sheet, input, plan, steps, styles),
        Sheet::Sources => basis::sources(sheet, input, styles),
    }
}

/// Names the cells of a table, heads included.
fn define(book: &mut Workbook, name: &str, sheet: &str, table: &Written) -> Result<(), ReportError> {
    let corner = |row: u32, column: u16| format!("${}${}", column_letters(u32::from(column)), row + 1);
    let area = format!("='{}'!{}:{}", sheet.replace('\'', "''"), corner(table.head, 0), corner(table.last, table.right));
    book.define_name(name, &area)?;
    Ok(())
}

/// Our own sheets, in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sheet {
    Starters,
    Settings,
    Cables,
    Boards,
    Dips,
    Supplies,
    Checks,
    Purchase,
    ByBoard,
    Findings,
    Basis,
    Audit,
    Working,
    Sources,
}

impl Sheet {
    const ALL: [Self; 14] = [
        Self::Starters,
        Self::Settings,
        Self::Cables,
        Self::Boards,
        Self::Dips,
        Self::Supplies,
        Self::Checks,
        Self::Purchase,
        Self::ByBoard,
        Self::Findings,
        Self::Basis,
        Self::Audit,
        Self::Working,
        Self::Sources,
    ];

    fn paper(self) -> Paper {
        match self {
            Self::Starters | Self::Settings | Self::Dips | Self::Checks | Self::ByBoard | Self::Basis | Self::Sources => {
                Paper::Normal
            }
            Self::Cables | Self::Boards | Self::Supplies | Self::Purchase | Self::Findings | Self::Audit | Self::Working => {
                Paper::Large
            }
        }
    }

    /// Name of its table in formulas and in the name box.
    fn defined_name(self, units: Units) -> &'static str {
        match self {
            Self::Starters => "Starters",
            Self::Settings => "Settings",
            Self::Cables => units.pick("Cables", "Conductors"),
            Self::Boards => "Boards",
            Self::Dips => "Starting_dips",
            Self::Supplies => "Control_supplies",
            Self::Checks => "Checks",
            Self::Purchase => "Purchase_list",
            Self::ByBoard => "Purchase_by_board",
            Self::Findings => "Findings",
            Self::Basis => "Assumptions",
            Self::Audit => "Audit",
            Self::Working => "Working",
            Self::Sources => "Cautions",
        }
    }
}

/// Their names.
const SHEETS: [&str; 14] = [
    "Starters",
    "Protection settings",
    "Cables",
    "Boards",
    "Starting dips",
    "Control supplies",
    "Checks",
    "Purchase list",
    "Purchase by board",
    "Findings",
    "Basis and assumptions",
    "Audit",
    "Working",
    "Sources and cautions",
];

#[derive(Clone, Copy)]
enum Paper {
    /// A4 or Letter.
    Normal,
    /// A3 or Tabloid.
    Large,
}

/// Number of a paper size in the file format.
fn paper(input: &ReportInput, paper: Paper) -> u8 {
    match (paper, input.letter()) {
        (Paper::Normal, false) => 9,
        (Paper::Normal, true) => 1,
        (Paper::Large, false) => 8,
        (Paper::Large, true) => 3,
    }
}

fn set_up(sheet: &mut Worksheet, input: &ReportInput, name: &str, size: Paper) -> Result<(), ReportError> {
    sheet.set_name(name)?;
    sheet.set_landscape().set_paper_size(paper(input, size)).set_print_fit_to_pages(1, 0);
    sheet.set_margins(0.5, 0.5, 0.8, 0.7, 0.35, 0.3);
    sheet.set_header(header(input, name)).set_footer(footer(input));
    Ok(())
}

fn header(input: &ReportInput, sheet: &str) -> String {
    let project = &input.basis.project;
    let name = text::brief(project.name.as_deref().unwrap_or("Motor circuits"), 60);
    let number = text::brief(project.number.as_deref().unwrap_or(""), 24);
    let revision =
        project.revision.as_deref().map_or_else(String::new, |revision| format!(" revision {}", text::brief(revision, 12)));
    let band = if input.design.catalogue.demonstration { format!("&C&\"-,Bold\"{DEMONSTRATION}") } else { String::new() };
    format!("&L&9{name}: {}{band}&R&9{number}{revision}", text::brief(sheet, 31))
}

fn footer(input: &ReportInput) -> String {
    let issued =
        input.basis.project.issue_date.as_deref().map_or_else(String::new, |date| format!("issued {}, ", text::brief(date, 12)));
    let caution = super::CAUTION_LINE.replace('&', "&&");
    format!("&L&8{caution}&R&8{issued}page &P of &N")
}

fn properties(input: &ReportInput) -> DocProperties {
    let project = &input.basis.project;
    let words = |stated: &Option<String>| text::plain(stated.as_deref().unwrap_or("")).into_owned();
    let mut properties = DocProperties::new()
        .set_title(project.name.as_deref().map_or_else(|| "Motor circuits".to_owned(), |name| text::plain(name).into_owned()))
        .set_subject(words(&project.number))
        .set_author(words(&project.prepared_by))
        .set_company(words(&project.contractor))
        .set_keywords(format!("revision {}", project.revision.as_deref().map_or(std::borrow::Cow::Borrowed(""), text::plain)));
    if input.design.catalogue.demonstration {
        properties = properties.set_comment(DEMONSTRATION);
    }
    let created = project.issue_date.as_deref().and_then(date).or_else(|| ExcelDateTime::from_ymd(2000, 1, 1).ok());
    match created {
        Some(date) => properties.set_creation_datetime(&date),
        None => properties,
    }
}

/// A date such as `2026-11-25`.
fn date(text: &str) -> Option<ExcelDateTime> {
    let mut parts = text.trim().splitn(3, '-');
    let year = parts.next()?.parse().ok()?;
    let month = parts.next()?.parse().ok()?;
    let day = parts.next()?.parse().ok()?;
    ExcelDateTime::from_ymd(year, month, day).ok()
}
