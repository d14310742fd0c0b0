//! The sheets that say on what the design rests: basis and assumptions; sources and cautions.

use std::borrow::Cow;

use rust_xlsxwriter::Worksheet;

use super::plan::Written;
use super::style::Styles;
use super::table::{self, HEAD};
use super::{ReportError, ReportInput};
use crate::report::changes::revision;

/// Widths of the columns of the two sheets.
const BASIS: [f64; 4] = [34.0, 48.0, 16.0, 50.0];
const SOURCES: [f64; 4] = [38.0, 70.0, 34.0, 34.0];

pub(super) fn basis(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<Written, ReportError> {
    table::title(
        sheet,
        input,
        "Basis and assumptions",
        "What holds for the whole design, and where each value comes from.",
        styles,
    )?;
    for (at, width) in BASIS.into_iter().enumerate() {
        sheet.set_column_width(u16::try_from(at).unwrap_or(0), width)?;
    }
    let design = input.design;
    let mut row = HEAD;
    for (at, head) in (0u16..).zip(["What", "Value", "Origin", "Clause or reason"]) {
        sheet.write_string_with_format(row, at, head, &styles.head)?;
    }
    for assumption in input.assumptions {
        row += 1;
        table::words(
            sheet,
            row,
            [&assumption.what, &assumption.value, &assumption.origin, &assumption.reference]
                .map(|text| Cow::Borrowed(text.as_str())),
            &BASIS,
            &styles.label,
            &styles.wrapped,
        )?;
    }
    let written = Written { last: row, right: 3, ..Written::new(HEAD) };
    if row > HEAD {
        sheet.autofilter(HEAD, 0, row, 3)?;
        table::rule(sheet, HEAD + 1, row, 0, 3, &styles.hair)?;
    }
    sheet.set_freeze_panes(HEAD + 1, 1)?;
    sheet.set_repeat_rows(HEAD, HEAD)?;
    row += 2;
    section(sheet, row, "Project", styles)?;
    let project = &input.basis.project;
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
            row += 1;
            table::words(
                sheet,
                row,
                [Cow::Borrowed(what), Cow::Borrowed(value.as_str())],
                &BASIS,
                &styles.label,
                &styles.wrapped,
            )?;
        }
    }
    if revision::is_marked(design) {
        row += 2;
        section(sheet, row, "Revisions", styles)?;
        for line in revision::lines(design) {
            row += 1;
            let who = [("prepared", line.prepared), ("checked", line.checked), ("approved", line.approved)];
            let who: Vec<String> =
                who.into_iter().filter(|(_, name)| !name.is_empty()).map(|(what, name)| format!("{what}: {name}")).collect();
            let what = [line.revision, line.what, line.issued, who.join("; ")].map(Cow::Owned);
            table::words(sheet, row, what, &BASIS, &styles.label, &styles.wrapped)?;
        }
    }
    row += 2;
    section(sheet, row, "How this was made", styles)?;
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
        row += 1;
        table::words(sheet, row, [Cow::Owned(what), Cow::Owned(value)], &BASIS, &styles.label, &styles.wrapped)?;
    }
    Ok(written)
}

fn section(sheet: &mut Worksheet, row: u32, words: &str, styles: &Styles) -> Result<(), ReportError> {
    sheet.write_string_with_format(row, 0, words, &styles.section)?;
    for at in 1..4 {
        sheet.write_blank(row, at, &styles.section)?;
    }
    Ok(())
}

pub(super) fn sources(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<Written, ReportError> {
    table::title(sheet, input, "Sources and cautions", super::super::CAUTION_LINE, styles)?;
    for (at, width) in SOURCES.into_iter().enumerate() {
        sheet.set_column_width(u16::try_from(at).unwrap_or(0), width)?;
    }
    let mut row = HEAD;
    let heads = |sheet: &mut Worksheet, row: u32, heads: [&str; 4]| -> Result<(), ReportError> {
        for (at, head) in (0u16..).zip(heads) {
            sheet.write_string_with_format(row, at, head, &styles.head)?;
        }
        Ok(())
    };
    heads(sheet, row, ["Caution", "What to heed", "Source", "Applies to"])?;
    for caution in input.cautions {
        row += 1;
        let tags =
            if caution.applies_to.is_empty() { Cow::Borrowed("all circuits") } else { Cow::Owned(caution.applies_to.join(", ")) };
        let cells = [
            Cow::Borrowed(caution.id.as_str()),
            Cow::Borrowed(caution.text.as_str()),
            Cow::Borrowed(caution.source.as_str()),
            tags,
        ];
        table::words(sheet, row, cells, &SOURCES, &styles.label, &styles.wrapped)?;
    }
    let written = Written { last: row, right: 3, ..Written::new(HEAD) };
    if row > HEAD {
        table::rule(sheet, HEAD + 1, row, 0, 3, &styles.hair)?;
    }
    row += 2;
    heads(sheet, row, ["Table or rule", "Document, edition, clause", "How far confirmed", ""])?;
    let first = row + 1;
    for document in input.sources {
        row += 1;
        table::words(
            sheet,
            row,
            [&document.table, &document.source, &document.status].map(|text| Cow::Borrowed(text.as_str())),
            &SOURCES,
            &styles.label,
            &styles.wrapped,
        )?;
    }
    if row >= first {
        table::rule(sheet, first, row, 0, 3, &styles.hair)?;
    }
    sheet.set_freeze_panes(HEAD, 1)?;
    Ok(written)
}
