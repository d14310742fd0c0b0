//! The places of everything in the workbook: names of the sheets, and the row of each circuit.

use std::collections::BTreeMap;

use rust_xlsxwriter::{Format, Worksheet};

use super::{ReportError, ReportInput, SHEETS, Sheet, text};
use crate::finding::{Finding, Place};
use crate::intake;
use crate::report::words::terms;

/// One sheet of the sender, or the one that stands for it.
pub(super) struct Schedule {
    /// Name.
    pub(super) name: String,
    /// Index of its grid; none when there is none.
    pub(super) grid: Option<usize>,
    /// Circuit by row, counted from zero.
    pub(super) circuits: BTreeMap<u32, usize>,
    /// First column of ours.
    pub(super) first_of_ours: u16,
    /// Row of the heads.
    pub(super) head: u32,
    /// Findings by cell; those of a whole row stand in [`Self::first_of_ours`].
    pub(super) findings: BTreeMap<(u32, u16), Vec<usize>>,
}

/// Links that one sheet may hold.
pub(super) const LINKS: usize = 65_000;

/// A table as it was written.
pub(super) struct Written {
    /// Rows of the heads and of the last line.
    pub(super) head: u32,
    pub(super) last: u32,
    /// Rows under the last line that are printed with the table.
    pub(super) below: u32,
    /// Last column.
    pub(super) right: u16,
    /// Columns at its right into which words under it run.
    pub(super) beside: u16,
    /// First row of each circuit.
    pub(super) starts: BTreeMap<usize, u32>,
}

/// The key of a finding, while the design stays where it is.
fn key(finding: &Finding) -> usize {
    std::ptr::from_ref(finding).addr()
}

impl Written {
    pub(super) fn new(head: u32) -> Self {
        Self { head, last: head, below: 0, right: 0, beside: 0, starts: BTreeMap::new() }
    }
}

impl Schedule {
    /// Whether the sender hid the sheet.
    pub(super) fn is_hidden(&self, input: &ReportInput) -> bool {
        self.grid.and_then(|grid| input.grids.get(grid)).is_some_and(|grid| grid.hidden)
    }
}

/// The places of everything in the workbook.
pub(super) struct Plan<'a> {
    pub(super) schedules: Vec<Schedule>,
    names: Vec<String>,
    /// All findings with the tag of their circuit, in the order of the design.
    pub(super) findings: Vec<&'a Finding>,
    /// Cell of each of them: schedule, row, column.
    targets: BTreeMap<usize, (usize, u32, u16)>,
    /// State cell of each circuit.
    homes: Vec<Option<(usize, u32, u16)>>,
    /// Circuit of a finding.
    owners: BTreeMap<usize, usize>,
}

/// Row of the heads where there is no table of the sender.
const OWN_HEAD: u32 = 3;

impl<'a> Plan<'a> {
    pub(super) fn new(input: &'a ReportInput<'a>) -> Self {
        let wanted = input.grids.iter().map(|grid| grid.sheet.as_deref().unwrap_or("Schedule"));
        let alone = input.grids.is_empty().then_some("Schedule");
        let ours = SHEETS.map(|name| if name == "Cables" { terms(input.units()).cables } else { name });
        let mut names = text::sheet_names(wanted.chain(alone).chain(ours));
        let ours = names.split_off(names.len() - SHEETS.len());
        let mut schedules: Vec<Schedule> =
            names.into_iter().enumerate().map(|(index, name)| schedule(input, index, name)).collect();
        if input.grids.is_empty() {
            schedules[0].circuits = (0..input.design.circuits.len()).map(|index| (row_of(index), index)).collect();
        } else {
            for (index, (grid, row)) in input.rows.iter().enumerate() {
                if let Some(sheet) = schedules.get_mut(*grid) {
                    sheet.circuits.entry(*row).or_insert(index);
                }
            }
        }
        let mut plan = Self {
            schedules,
            names: ours,
            findings: Vec::new(),
            targets: BTreeMap::new(),
            homes: Vec::new(),
            owners: BTreeMap::new(),
        };
        plan.place_findings(input);
        plan
    }

    /// Names of our own sheets.
    pub(super) fn names(&self) -> &[String] {
        &self.names
    }

    pub(super) fn name(&self, sheet: Sheet) -> &str {
        self.names.get(sheet as usize).map_or("", String::as_str)
    }

    /// Sheet, row and column to which a finding points.
    pub(super) fn target(&self, finding: &Finding) -> Option<(&str, u32, u16)> {
        let (sheet, row, column) = *self.targets.get(&key(finding))?;
        Some((&self.schedules.get(sheet)?.name, row, column))
    }

    /// The circuit that a finding is about.
    pub(super) fn owner(&self, finding: &Finding) -> Option<usize> {
        self.owners.get(&key(finding)).copied()
    }

    /// Writes the tag of a row. Where a circuit's rows begin it leads to the circuit on the schedule.
    pub(super) fn tag(
        &self,
        sheet: &mut Worksheet,
        row: u32,
        tag: &str,
        circuit: Option<usize>,
        written: &mut Written,
        link: &Format,
    ) -> Result<(), ReportError> {
        written.last = row;
        let tag = text::cell(tag);
        let new = circuit.filter(|index| !written.starts.contains_key(index));
        let home = new
            .filter(|_| written.starts.len() < LINKS)
            .and_then(|index| *self.homes.get(index)?)
            .and_then(|(schedule, row, column)| Some(text::link(&self.schedules.get(schedule)?.name, row, column)));
        written.starts.extend(new.map(|index| (index, row)));
        match home.filter(|_| !tag.is_empty()) {
            Some(home) => {
                // The tag is written over the words of the link, which may hold less than a cell.
                sheet.write_url_with_options(row, 0, home.as_str(), " ", "", Some(link))?;
                sheet.write_string_with_format(row, 0, tag, link)?
            }
            None => sheet.write_string(row, 0, tag)?,
        };
        Ok(())
    }

    fn place_findings(&mut self, input: &'a ReportInput<'a>) {
        let design = input.design;
        for (index, circuit) in design.circuits.iter().enumerate() {
            let home = self.home(input, index);
            self.homes.push(home);
            for finding in &circuit.findings {
                self.owners.insert(key(finding), index);
                let cell = finding.place.as_ref().and_then(|place| self.cell(input, place));
                self.keep(finding, cell.or(home));
            }
        }
        for finding in &design.findings {
            let cell = finding.place.as_ref().and_then(|place| self.cell(input, place));
            self.keep(finding, cell);
        }
    }

    fn keep(&mut self, finding: &'a Finding, cell: Option<(usize, u32, u16)>) {
        let index = self.findings.len();
        self.findings.push(finding);
        let Some((sheet, row, column)) = cell else { return };
        self.targets.insert(key(finding), (sheet, row, column));
        if let Some(schedule) = self.schedules.get_mut(sheet) {
            schedule.findings.entry((row, column)).or_default().push(index);
        }
    }

    /// The state cell of a circuit.
    fn home(&self, input: &ReportInput, circuit: usize) -> Option<(usize, u32, u16)> {
        if input.grids.is_empty() {
            return Some((0, row_of(circuit), self.schedules.first()?.first_of_ours));
        }
        let (grid, row) = *input.rows.get(circuit)?;
        Some((grid, row, self.schedules.get(grid)?.first_of_ours))
    }

    /// The cell at a place, if it stands in one of the sender's tables.
    fn cell(&self, input: &ReportInput, place: &Place) -> Option<(usize, u32, u16)> {
        let row = place.row?.checked_sub(1)?;
        let grid = input.grids.iter().position(|grid| grid.file == place.file && grid.sheet == place.sheet)?;
        let sheet = self.schedules.get(grid)?;
        let column = place.column.as_deref().and_then(text::column_index).filter(|column| *column < sheet.first_of_ours);
        match column {
            Some(column) => Some((grid, row, column)),
            None if sheet.circuits.contains_key(&row) => Some((grid, row, sheet.first_of_ours)),
            None => None,
        }
    }
}

fn row_of(circuit: usize) -> u32 {
    OWN_HEAD + 1 + u32::try_from(circuit).unwrap_or(u32::MAX / 2)
}

fn schedule(input: &ReportInput, index: usize, name: String) -> Schedule {
    let grid = input.grids.get(index);
    let width = grid
        .map_or(super::columns::identity(input.units()).len(), |grid| grid.rows.iter().map(intake::Row::len).max().unwrap_or(0));
    Schedule {
        name,
        grid: grid.map(|_| index),
        circuits: BTreeMap::new(),
        first_of_ours: u16::try_from(width).unwrap_or(u16::MAX),
        head: grid.map_or(OWN_HEAD, |grid| grid.header_row.unwrap_or(0)),
        findings: BTreeMap::new(),
    }
}
