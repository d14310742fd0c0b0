//! Notes on cells: the findings that point at a cell, worst first, in a box that needs no scrolling.

use rust_xlsxwriter::Note;

use super::super::style::sign;
use super::super::{ReportError, Sheet, text};
use super::Writer;
use crate::finding::{Finding, Severity};
use crate::intake::comments;

/// Characters on a line of a note, and pixels of a line; the note is made wide and tall enough to need no scrolling.
const NOTE_CHARACTERS: usize = 46;
const NOTE_WIDTH: u32 = 300;
const LINE_HEIGHT: u32 = 16;
/// Lines of the tallest note; what is beyond stands on the sheet of findings.
const NOTE_LINES: usize = 36;

impl Writer<'_, '_> {
    pub(super) fn at_cell(&self, row: u32, at: u16) -> Vec<&Finding> {
        let at_cell = self.schedule.findings.get(&(row, at)).map_or(&[][..], Vec::as_slice);
        let mut findings: Vec<&Finding> = at_cell.iter().filter_map(|index| self.plan.findings.get(*index).copied()).collect();
        findings.sort_by_key(|finding| finding.severity);
        findings
    }

    pub(super) fn worst(&self, row: u32, at: u16) -> Option<Severity> {
        if self.schedule.findings.is_empty() {
            return None;
        }
        self.schedule.findings.get(&(row, at))?.iter().filter_map(|index| Some(self.plan.findings.get(*index)?.severity)).min()
    }

    /// One note a cell with all its findings, worst first.
    pub(super) fn note(&mut self, row: u32, at: u16) -> Result<(), ReportError> {
        let findings = self.at_cell(row, at);
        let sent = self.schedule.grid.and_then(|grid| self.input.grids.get(grid)?.comments.get(&(row, u32::from(at))));
        if findings.is_empty() && sent.is_none() {
            return Ok(());
        }
        let (ours, lines) = note_text(&findings, self.plan.name(Sheet::Findings));
        // Signs that a spreadsheet does not hold are left out, as in cells.
        let text = comments::written(sent.map(|sent| text::cell(sent)).as_deref(), &ours);
        let lines = lines + sent.map_or(0, |sent| (lines_of(sent) + 2).min(NOTE_LINES));
        let height = LINE_HEIGHT * u32::try_from(lines + 1).unwrap_or(1);
        let note = Note::new(text)
            .set_author(comments::AUTHOR)
            .add_author_prefix(false)
            .set_width(NOTE_WIDTH)
            .set_height(height)
            .set_font_size(9)
            .set_background_color(0xFF_FF_FF);
        self.sheet.insert_note(row, at, &note)?;
        Ok(())
    }
}

/// Text of a note and the lines that it takes.
fn note_text(findings: &[&Finding], sheet: &str) -> (String, usize) {
    let mut all = String::new();
    let mut lines = 0;
    for (index, finding) in findings.iter().enumerate() {
        let block = note_block(finding);
        let needs = lines_of(&block) + usize::from(index > 0);
        if index > 0 && lines + needs > NOTE_LINES {
            let more = format!("\n\n{} more: sheet {sheet}", findings.len() - index);
            lines += 2;
            all.push_str(&more);
            break;
        }
        if index > 0 {
            all.push_str("\n\n");
        }
        lines += needs;
        all.push_str(&block);
    }
    (all, lines.min(NOTE_LINES + 4))
}

fn note_block(finding: &Finding) -> String {
    let mut block = format!("{} {} {}", sign(finding.severity), finding.severity.word(), finding.code);
    let clause = if finding.reference.is_empty() { String::new() } else { format!("({})", finding.reference) };
    for part in [&finding.what, &finding.why, &finding.cure, &clause] {
        if !part.is_empty() {
            block.push('\n');
            block.push_str(&text::plain(part));
        }
    }
    let most = NOTE_CHARACTERS * NOTE_LINES;
    if block.chars().count() > most { block.chars().take(most - 1).chain(['…']).collect() } else { block }
}

fn lines_of(text: &str) -> usize {
    text.split('\n').map(|line| line.chars().count().div_ceil(NOTE_CHARACTERS).max(1)).sum()
}
