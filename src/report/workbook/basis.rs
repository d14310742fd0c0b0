//! The sheets that say on what the design rests: basis and assumptions; sources and cautions.

use std::borrow::Cow;

use rust_xlsxwriter::Worksheet;

use super::plan::Written;
use super::style::Styles;
use super::table::{self, HEAD};
use super::{ReportError, ReportInput};
use crate::basis::ProjectBasis;
use crate::design::Design;
use crate::report::changes::revision;

/// Widths of the columns of the two sheets.
const BASIS: [f64; 4] = [34.0, 48.0, 16.0, 50.0];
const SOURCES: [f64; 4] = [38.0, 70.0, 34.0, 34.0];

/// Writes the sheet from above to below.
struct Writer<'w> {
    sheet: &'w mut Worksheet,
    /// Row that was written last.
    row: u32,
    widths: [f64; 4],
    styles: &'w Styles,
}

impl<'w> Writer<'w> {
    /// Sets the widths of the columns; the heads stand at [`HEAD`].
    fn new(sheet: &'w mut Worksheet, widths: [f64; 4], styles: &'w Styles) -> Result<Self, ReportError> {
        for (at, width) in (0u16..).zip(widths) {
            sheet.set_column_width(at, width)?;
        }
        Ok(Self { sheet, row: HEAD, widths, styles })
    }

    fn heads(&mut self, heads: [&str; 4]) -> Result<(), ReportError> {
        for (at, head) in (0u16..).zip(heads) {
            self.sheet.write_string_with_format(self.row, at, head, &self.styles.head)?;
        }
        Ok(())
    }

    /// Writes the next row.
    fn line<'t>(&mut self, cells: impl IntoIterator<Item = Cow<'t, str>>) -> Result<(), ReportError> {
        self.row += 1;
        table::words(self.sheet, self.row, cells, &self.widths, &self.styles.label, &self.styles.wrapped)
    }

    /// Begins a section, an empty row below what stands above.
    fn section(&mut self, words: &str) -> Result<(), ReportError> {
        self.row += 2;
        self.sheet.write_string_with_format(self.row, 0, words, &self.styles.section)?;
        for at in 1..4 {
            self.sheet.write_blank(self.row, at, &self.styles.section)?;
        }
        Ok(())
    }

    /// Rules the rows from one to the last that was written.
    fn rule_from(&mut self, first: u32) -> Result<(), ReportError> {
        if self.row < first {
            return Ok(());
        }
        table::rule(self.sheet, first, self.row, 0, 3, &self.styles.hair)
    }
}

pub(super) fn basis(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<Written, ReportError> {
    let subtitle = "What holds for the whole design, and where each value comes from.";
    table::title(sheet, input, "Basis and assumptions", subtitle, styles)?;
    let mut writer = Writer::new(sheet, BASIS, styles)?;
    writer.heads(["What", "Value", "Origin", "Clause or reason"])?;
    for assumption in input.assumptions {
        let cells = [&assumption.what, &assumption.value, &assumption.origin, &assumption.reference];
        writer.line(cells.map(|text| Cow::Borrowed(text.as_str())))?;
    }
    let written = Written { last: writer.row, right: 3, ..Written::new(HEAD) };
    if writer.row > HEAD {
        writer.sheet.autofilter(HEAD, 0, writer.row, 3)?;
        writer.rule_from(HEAD + 1)?;
    }
    writer.sheet.set_freeze_panes(HEAD + 1, 1)?;
    writer.sheet.set_repeat_rows(HEAD, HEAD)?;
    project(&mut writer, &input.basis.project)?;
    revisions(&mut writer, input.design)?;
    origin(&mut writer, input)?;
    Ok(Written { below: writer.row - written.last, ..written })
}

fn project(writer: &mut Writer<'_>, project: &ProjectBasis) -> Result<(), ReportError> {
    writer.section("Project")?;
    let fields = [
        ("Project", &project.name),
        ("Number", &project.number),
        ("Client", &project.client),
        ("Location", &project.location),
        ("Engineer", &project.engineer),
        ("Contractor", &project.contractor),
        ("Prepared by", &project.prepared_by),
        ("Checked by", &project.checked_by),
        ("Approved by", &project.approved_by),
        ("Submittal number", &project.submittal_number),
        ("Specification section", &project.specification_section),
        ("Revision", &project.revision),
        ("Date of issue", &project.issue_date),
    ];
    for (what, value) in fields {
        if let Some(value) = value {
            writer.line([what, value.as_str()].map(Cow::Borrowed))?;
        }
    }
    Ok(())
}

fn revisions(writer: &mut Writer<'_>, design: &Design) -> Result<(), ReportError> {
    if !revision::is_marked(design) {
        return Ok(());
    }
    writer.section("Revisions")?;
    for line in revision::lines(design) {
        let who = [("prepared", line.prepared), ("checked", line.checked), ("approved", line.approved)];
        let who: Vec<String> =
            who.into_iter().filter(|(_, name)| !name.is_empty()).map(|(what, name)| format!("{what}: {name}")).collect();
        writer.line([line.revision, line.what, line.issued, who.join("; ")].map(Cow::Owned))?;
    }
    Ok(())
}

/// Program, rule book, catalogue and files, with their hashes.
fn origin(writer: &mut Writer<'_>, input: &ReportInput) -> Result<(), ReportError> {
    let design = input.design;
    writer.section("How this was made")?;
    let mut pairs = vec![
        ("Program".to_owned(), format!("motorwright {}", design.program_version)),
        ("Rule book".to_owned(), format!("{} {}", design.rule_book, design.edition).trim().to_owned()),
        ("Catalogue".to_owned(), design.catalogue.name.clone()),
        ("Catalogue, SHA-256".to_owned(), design.catalogue.sha256.clone()),
    ];
    pairs.extend(design.inputs.iter().map(|file| (format!("{}, SHA-256", file.file), file.sha256.clone())));
    if let Some(code) = &input.basis.rules.local_code {
        pairs.push(("Local code that prevails".to_owned(), code.clone()));
    }
    for (what, value) in pairs {
        writer.line([what, value].map(Cow::Owned))?;
    }
    Ok(())
}

pub(super) fn sources(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<Written, ReportError> {
    table::title(sheet, input, "Sources and cautions", super::super::CAUTION_LINE, styles)?;
    let mut writer = Writer::new(sheet, SOURCES, styles)?;
    writer.heads(["Caution", "What to heed", "Source", "Applies to"])?;
    for caution in input.cautions {
        let tags = if caution.applies_to.is_empty() { "all circuits".to_owned() } else { caution.applies_to.join(", ") };
        writer.line([&caution.id, &caution.text, &caution.source, &tags].map(|text| Cow::Borrowed(text.as_str())))?;
    }
    let written = Written { last: writer.row, right: 3, ..Written::new(HEAD) };
    writer.rule_from(HEAD + 1)?;
    writer.row += 2;
    writer.heads(["Table or rule", "Document, edition, clause", "How far confirmed", ""])?;
    let first = writer.row + 1;
    for document in input.sources {
        let cells = [&document.table, &document.source, &document.status];
        writer.line(cells.map(|text| Cow::Borrowed(text.as_str())))?;
    }
    writer.rule_from(first)?;
    writer.sheet.set_freeze_panes(HEAD, 1)?;
    Ok(Written { below: writer.row - written.last, ..written })
}
