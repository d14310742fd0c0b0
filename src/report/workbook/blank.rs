//! The empty schedule as a workbook: drop-down lists, help at every cell, an example in grey, and a sheet for the basis.

use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DataValidationRule, DocProperties, ExcelDateTime, Format, FormatAlign,
    FormatBorder, Note, Workbook, Worksheet, XlsxError,
};

use super::ReportError;
use super::style::{HAIR, INK, OURS, RULE, SECOND_INK};
use crate::basis::keys::{Key, KeyType, sections};
use crate::load::{FieldSpec, Kind};
use crate::report::blank::{self, BlankColumn};
use crate::rules::units::Units;

/// Rows that are ready to be filled in.
const ROWS: u32 = 2_000;
/// Rows that are printed.
const PRINTED_ROWS: u32 = 60;
/// Characters over the width of a printed page.
const PAGE_CHARACTERS: f64 = 190.0;
/// Rows above them: headings, units, example.
const FIRST: u32 = 3;
/// Most characters of a list in a cell's validation, of a help text and of its title.
const LONGEST_LIST: usize = 255;
const LONGEST_HELP: usize = 255;
const LONGEST_TITLE: usize = 32;
/// How many boards the sheet of the basis has room for.
const BOARDS: usize = 3;

/// The empty schedule as a workbook; the rule book is written into the basis where one is named.
///
/// # Errors
/// The library refuses.
pub fn write(units: Units, book: Option<&str>) -> Result<Vec<u8>, ReportError> {
    let mut workbook = Workbook::new();
    let mut properties = DocProperties::new().set_title("Motor schedule to fill in").set_subject("read by motorwright");
    // The same file every time: no clock.
    if let Ok(date) = ExcelDateTime::from_ymd(2000, 1, 1) {
        properties = properties.set_creation_datetime(&date);
    }
    workbook.set_properties(&properties);
    schedule(workbook.add_worksheet(), units)?;
    basis(workbook.add_worksheet(), units, book)?;
    Ok(workbook.save_to_buffer()?)
}

struct Look {
    head: Format,
    head_usual: Format,
    unit: Format,
    example: Format,
    section: Format,
    key: Format,
    entry: Format,
    words: Format,
}

impl Look {
    fn new() -> Self {
        let base = || Format::new().set_font_color(INK).set_align(FormatAlign::VerticalCenter);
        let head = || base().set_bold().set_text_wrap().set_border_bottom(FormatBorder::Medium).set_align(FormatAlign::Bottom);
        let grey = || Format::new().set_font_color(RULE).set_italic();
        Self {
            head: head(),
            head_usual: head().set_background_color(OURS),
            unit: grey().set_font_color(SECOND_INK),
            example: grey().set_border_bottom(FormatBorder::Thin).set_border_bottom_color(HAIR),
            section: base().set_bold().set_border_bottom(FormatBorder::Thin).set_border_bottom_color(RULE),
            key: base().set_indent(1),
            entry: base().set_border(FormatBorder::Thin).set_border_color(HAIR),
            words: base().set_font_color(SECOND_INK).set_text_wrap(),
        }
    }
}

fn print_set_up(sheet: &mut Worksheet, units: Units, title: &str) {
    // Tabloid or A3.
    sheet.set_landscape().set_paper_size(units.pick(8, 3)).set_print_fit_to_pages(1, 0);
    sheet.set_margins(0.5, 0.5, 0.8, 0.7, 0.35, 0.3);
    sheet.set_header(format!("&L&9{title}")).set_footer("&R&8page &P of &N");
}

fn schedule(sheet: &mut Worksheet, units: Units) -> Result<(), ReportError> {
    let look = Look::new();
    let columns = blank::columns(units);
    sheet.set_name("Schedule")?;
    print_set_up(sheet, units, "Motor schedule");
    sheet.set_row_height(0, 30)?;
    for (at, column) in (0u16..).zip(&columns) {
        sheet.write_string_with_format(0, at, column.spec.name, if column.usual { &look.head_usual } else { &look.head })?;
        sheet.set_column_width(at, width(column))?;
        if !column.unit.is_empty() {
            sheet.write_string_with_format(1, at, &column.unit, &look.unit)?;
        }
        let example = blank::example(column);
        match (example.parse::<f64>(), example.is_empty()) {
            (_, true) => sheet.write_blank(2, at, &look.example)?,
            (Ok(number), _) => sheet.write_number_with_format(2, at, number, &look.example)?,
            (Err(_), _) => sheet.write_string_with_format(2, at, &example, &look.example)?,
        };
        if let Some(note) = meanings(column) {
            sheet.insert_note(0, at, &note)?;
        }
        sheet.add_data_validation(FIRST, at, FIRST + ROWS - 1, at, &help(column)?)?;
    }
    let usual = u16::try_from(columns.iter().filter(|column| column.usual).count()).unwrap_or(0);
    let last = u16::try_from(columns.len()).unwrap_or(u16::MAX).saturating_sub(1);
    // One click folds them. They are not folded here: a hidden column is one that a reader must be told of.
    if usual <= last {
        sheet.group_columns(usual, last)?;
    }
    if usual > 0 {
        sheet.set_print_area(0, 0, FIRST + PRINTED_ROWS - 1, usual - 1)?;
        // Lines to write on, on as many pages side by side as leave the type readable.
        let characters: f64 = columns[..usize::from(usual)].iter().map(width).sum();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped
        let pages = (characters / PAGE_CHARACTERS).ceil().clamp(1.0, 9.0) as u16;
        sheet.set_print_gridlines(true).set_print_fit_to_pages(pages, 0);
    }
    sheet.set_freeze_panes(FIRST, 1)?;
    sheet.set_repeat_rows(0, 1)?;
    sheet.set_repeat_columns(0, 0)?;
    Ok(())
}

fn width(column: &BlankColumn) -> f64 {
    let longest =
        [column.spec.name.len(), column.unit.chars().count(), column.example.len().min(24)].into_iter().max().unwrap_or(0);
    let least = match column.spec.kind {
        Kind::Tags => 18,
        Kind::Text => 14,
        _ => 9,
    };
    #[allow(clippy::cast_precision_loss)] // lengths of names
    let width = longest.clamp(least, 32) as f64;
    width + 2.0
}

/// The meaning of each word of a list, as a note on the heading.
fn meanings(column: &BlankColumn) -> Option<Note> {
    let Kind::Choice(choices) = column.spec.kind else { return None };
    let lines: Vec<String> = choices.iter().map(|(name, meaning)| format!("{name}: {meaning}")).collect();
    let height = 16 * u32::try_from(lines.len() + 2).unwrap_or(30);
    let note = Note::new(lines.join("\n")).set_author("Motorwright").add_author_prefix(false).set_font_size(9);
    Some(note.set_width(330).set_height(height))
}

/// Help and bounds of the cells of a column. Only words are insisted on: a number with a unit or a range may be meant.
fn help(column: &BlankColumn) -> Result<DataValidation, XlsxError> {
    let spec = column.spec;
    let unit = if spec.unit.is_empty() { String::new() } else { format!(" Unit: {}.", spec.unit) };
    let message = format!("{}.{unit} Enter {}.", capital(spec.meaning), blank::allowed(&spec.kind));
    let validation = match spec.kind {
        Kind::Text | Kind::Tags => DataValidation::new().allow_any_value(),
        Kind::Number(low, high) => DataValidation::new()
            .allow_decimal_number(DataValidationRule::Between(low, high))
            .set_error_style(DataValidationErrorStyle::Warning),
        Kind::Count(low, high) => DataValidation::new()
            .allow_whole_number(DataValidationRule::Between(whole(low), whole(high)))
            .set_error_style(DataValidationErrorStyle::Warning),
        Kind::YesNo => list(&["yes", "no"])?,
        Kind::Choice(choices) => list(&choices.iter().map(|(name, _)| *name).collect::<Vec<_>>())?,
    };
    explained(validation, spec.name, &message)
}

/// Fixed words of a column as a list of its cells, where it has them: a warning alone, because other spellings are read too.
pub(super) fn choices(spec: &FieldSpec) -> Result<Option<DataValidation>, XlsxError> {
    let words: Vec<&str> = match spec.kind {
        Kind::YesNo => vec!["yes", "no"],
        Kind::Choice(choices) => choices.iter().map(|(name, _)| *name).collect(),
        Kind::Text | Kind::Tags | Kind::Number(..) | Kind::Count(..) => return Ok(None),
    };
    let list = list(&words)?.ignore_blank(true).set_error_style(DataValidationErrorStyle::Warning);
    let message =
        "Not one of the fixed words of this column. Other spellings are read where they are known; what is not is reported.";
    Ok(Some(list.set_error_title(cut(spec.name, LONGEST_TITLE))?.set_error_message(message)?))
}

fn whole(number: u32) -> i32 {
    i32::try_from(number).unwrap_or(i32::MAX)
}

fn list(words: &[&str]) -> Result<DataValidation, XlsxError> {
    if words.iter().map(|word| word.len() + 1).sum::<usize>() > LONGEST_LIST {
        return Ok(DataValidation::new().allow_any_value());
    }
    DataValidation::new().allow_list_strings(words)
}

fn explained(validation: DataValidation, title: &str, message: &str) -> Result<DataValidation, XlsxError> {
    let message = cut(message, LONGEST_HELP);
    validation
        .ignore_blank(true)
        .set_input_title(cut(title, LONGEST_TITLE))?
        .set_input_message(message.clone())?
        .set_error_title(cut(title, LONGEST_TITLE))?
        .set_error_message(message)
}

fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most { text.to_owned() } else { text.chars().take(most - 1).chain(['…']).collect() }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn basis(sheet: &mut Worksheet, units: Units, book: Option<&str>) -> Result<(), ReportError> {
    let look = Look::new();
    sheet.set_name(crate::basis::SHEET)?;
    print_set_up(sheet, units, "Basis of the design");
    for (at, (head, width)) in (0u16..).zip([("Key", 30.0), ("Value", 34.0), ("Allowed", 34.0), ("Meaning", 60.0)]) {
        sheet.write_string_with_format(0, at, head, &look.head_usual)?;
        sheet.set_column_width(at, width)?;
    }
    let mut row = 1;
    for section in sections().iter().filter(|section| !section.keys.is_empty()) {
        let times = if section.name == "board" { BOARDS } else { 1 };
        for _ in 0..times {
            let name = if section.repeated { format!("[[{}]]", section.name) } else { format!("[{}]", section.name) };
            sheet.write_string_with_format(row, 0, name, &look.section)?;
            for at in 1..3 {
                sheet.write_blank(row, at, &look.section)?;
            }
            let more = if section.repeated { " Copy this block for each further one." } else { "" };
            sheet.write_string_with_format(row, 3, format!("{}{more}", section.meaning), &look.section)?;
            row += 1;
            for key in &section.keys {
                sheet.write_string_with_format(row, 0, &key.name, &look.key)?;
                match book.filter(|_| section.name == "rules" && key.name == "book") {
                    Some(book) => sheet.write_string_with_format(row, 1, book, &look.entry)?,
                    None => sheet.write_blank(row, 1, &look.entry)?,
                };
                sheet.write_string_with_format(row, 2, allowed(key), &look.words)?;
                sheet.write_string_with_format(row, 3, &key.meaning, &look.words)?;
                sheet.add_data_validation(row, 1, row, 1, &key_help(key)?)?;
                row += 1;
            }
        }
    }
    sheet.set_freeze_panes(1, 1)?;
    sheet.set_repeat_rows(0, 0)?;
    Ok(())
}

fn allowed(key: &Key) -> String {
    if !key.words.is_empty() {
        return key.words.join(", ");
    }
    match key.kind {
        KeyType::Text => "text",
        KeyType::Number => "a number",
        KeyType::Whole => "a whole number",
        KeyType::YesNo => "true, false",
    }
    .to_owned()
}

fn key_help(key: &Key) -> Result<DataValidation, XlsxError> {
    let validation = match key.kind {
        KeyType::YesNo => list(&["true", "false"])?,
        _ if !key.words.is_empty() => list(key.words)?,
        // Its bounds are told when it is read.
        _ => DataValidation::new().allow_any_value(),
    };
    explained(validation, &key.name, &format!("{} Enter {}.", key.meaning, allowed(key)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::FIELDS;

    #[test]
    fn every_list_of_words_fits_a_drop_down_and_every_help_its_place() {
        for spec in FIELDS {
            if let Kind::Choice(choices) = spec.kind {
                assert!(choices.iter().map(|(name, _)| name.len() + 1).sum::<usize>() <= LONGEST_LIST, "{}", spec.name);
            }
            assert!(spec.name.len() <= LONGEST_TITLE, "{}", spec.name);
        }
    }

    #[test]
    fn the_same_bytes_every_time() {
        let once = write(Units::Metric, Some("iec")).expect("it is written");
        assert!(once == write(Units::Metric, Some("iec")).expect("it is written"));
    }
}
