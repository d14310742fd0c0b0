//! One row of a file: its cells read one by one, so that each that is wrong is told with its heading and its part.

use super::columns::{Column, Columns};
use super::text::{Dialect, may_group_thousands, with_point};
use crate::catalogue::rows::Row;
use crate::finding::codes::{K104_CELL, K105_RATING, K109_CELLS};
use crate::finding::{Finding, Place, column_letters};

/// One row of a file, with what is needed to say where a cell stands.
pub(super) struct Sheet<'a> {
    pub(super) name: &'a str,
    pub(super) header: &'a csv::StringRecord,
    pub(super) columns: &'a Columns,
    pub(super) row: u32,
    pub(super) record: &'a csv::StringRecord,
    pub(super) dialect: Dialect,
}

impl Sheet<'_> {
    pub(super) fn place(&self, heading: &str) -> Place {
        let at = self.header.iter().zip(0_u32..).find(|(cell, _)| *cell == heading).map(|(_, at)| at);
        let text = self.header.iter().zip(self.record.iter()).find(|(cell, _)| *cell == heading).map(|(_, text)| text.to_owned());
        Place {
            row: Some(self.row),
            column: at.map(column_letters),
            heading: Some(heading.to_owned()),
            text,
            ..Place::file(self.name)
        }
    }

    /// The row, or nothing if one of its cells is wrong; every wrong cell makes a finding.
    pub(super) fn read<R: Row>(&self, findings: &mut Vec<Finding>) -> Option<R> {
        if self.record.len() != self.header.len() {
            findings.push(
                Finding::new(
                    &K109_CELLS,
                    format!("row {} has {} cells under {} headings", self.row, self.record.len(), self.header.len()),
                )
                .at(Place { row: Some(self.row), ..Place::file(self.name) })
                .cure("put a text that holds a comma in double quotes, and write an empty cell for what is not declared"),
            );
            return None;
        }
        let before = findings.len();
        let cells = self.cells();
        let read = self.parse::<R>(&cells, findings);
        self.plausible_numbers::<R>(&cells, findings);
        self.two_meanings::<R>(findings);
        if findings.len() > before {
            return None;
        }
        let read = read?;
        for wrong in read.wrong().into_iter().filter(|wrong| !self.columns.lacks(wrong.heading)) {
            findings.push(Finding::new(wrong.code, wrong.what).at(self.place(wrong.heading)).cure(wrong.cure));
        }
        Some(read)
    }

    /// Cells below the headings that the program knows, numbers with a decimal point; a column that the file lacks is a blank.
    fn cells(&self) -> csv::StringRecord {
        let mut cells = csv::StringRecord::with_capacity(self.record.as_slice().len(), self.record.len());
        for column in self.columns.each() {
            let text = column.place.and_then(|at| self.record.get(at)).unwrap_or("");
            let number = if self.dialect.decimal_comma && column.largest.is_some() { with_point(text) } else { None };
            cells.push_field(number.as_deref().unwrap_or(text));
        }
        cells
    }

    /// The name of the row for a message: its part number, or else where it stands.
    fn about<R: Row>(&self) -> String {
        let key = self.header.iter().zip(self.record.iter()).find(|(heading, _)| *heading == R::KEY).map_or("", |(_, cell)| cell);
        if key.is_empty() { format!("row {}", self.row) } else { key.to_owned() }
    }

    /// Reads the cells; a cell that can't be read is noted and replaced, so that the cells after it are read too.
    fn parse<R: Row>(&self, cells: &csv::StringRecord, findings: &mut Vec<Finding>) -> Option<R> {
        if let Ok(row) = self.columns.row(cells) {
            return Some(row);
        }
        let mut cells: Vec<String> = cells.iter().map(str::to_owned).collect();
        let mut whole = true;
        for _ in 0..=cells.len() {
            let (field, wanted) = match self.columns.row(&csv::StringRecord::from(cells.clone())) {
                Ok(row) => return whole.then_some(row),
                Err(error) => cell_error(&error),
            };
            let heading = field.and_then(|field| self.columns.heading(field));
            // A column that is lacking is told once for the whole file.
            if !heading.is_some_and(|heading| self.columns.lacks(heading)) {
                whole = false;
                let place = heading
                    .map_or_else(|| Place { row: Some(self.row), ..Place::file(self.name) }, |heading| self.place(heading));
                let text = place.text.clone().unwrap_or_default();
                let what = match (heading, text.is_empty()) {
                    (Some(heading), true) => format!("{heading} of {} is empty, not {}", self.about::<R>(), wanted.0),
                    (Some(heading), false) => format!("{heading} of {} is `{text}`, not {}", self.about::<R>(), wanted.0),
                    (None, _) => format!("row {} does not hold {}", self.row, wanted.0),
                };
                findings.push(Finding::new(&K104_CELL, what).at(place).cure(wanted.1));
            }
            let cell = field.and_then(|field| cells.get_mut(field))?;
            wanted.2.clone_into(cell);
        }
        None
    }

    /// Beside decimal commas `1.250` may be 1250: which it is nobody can tell, so it is not chosen.
    fn two_meanings<R: Row>(&self, findings: &mut Vec<Finding>) {
        let numbers = self.columns.each().filter(|column| self.dialect.points_group && column.largest.is_some());
        for Column { heading, place, .. } in numbers {
            let text = place.and_then(|at| self.record.get(at)).unwrap_or("");
            if may_group_thousands(text, '.') {
                let [thousands, decimals] = ["", ","].map(|mark| text.replace('.', mark));
                let what = format!("{heading} of {} is `{text}`, which is either decimals or thousands", self.about::<R>());
                let cure = format!("write {thousands} or {decimals}");
                findings.push(Finding::new(&K104_CELL, what).at(self.place(heading)).cure(cure));
            }
        }
    }

    /// No figure of a catalogue is below zero, without end, or so large or small that it can only be a slip.
    fn plausible_numbers<R: Row>(&self, cells: &csv::StringRecord, findings: &mut Vec<Finding>) {
        for (Column { heading, largest, .. }, text) in self.columns.each().zip(cells) {
            let Some(most) = largest else { continue };
            let Ok(value) = text.parse::<f64>() else { continue };
            if value == 0.0 || (SMALLEST..=most).contains(&value) {
                continue;
            }
            let what = if value.is_finite() && value > 0.0 {
                format!("{heading} of {} is {text}; it is 0 or a figure from {SMALLEST} to {most}", self.about::<R>())
            } else {
                format!("{heading} of {} is {text}; it is a figure of 0 or more", self.about::<R>())
            };
            findings.push(
                Finding::new(&K105_RATING, what)
                    .at(self.place(heading))
                    .cure("write the figure of the data sheet; leave the cell empty if none is declared"),
            );
        }
    }
}

/// Smallest figure that a data sheet may state, whatever its unit; with [`largest`] it catches slips of the hand and keeps sums and
/// products of figures finite. Common practice, no source.
const SMALLEST: f64 = 1e-6;

/// Largest figure below a heading: of what is counted a thousand, of let-through energy the most that a fuse has, else a milliard; none
/// where texts stand.
pub(super) fn largest(heading: &str) -> Option<f64> {
    match heading {
        _ if TEXTS.contains(&heading) => None,
        _ if COUNTS.contains(&heading) => Some(1_000.0),
        _ if heading.ends_with("_a2s") => Some(1e12),
        _ => Some(1e9),
    }
}

/// Columns that count poles, contacts, places and the like.
const COUNTS: &[&str] = &[
    "aux_front_contacts",
    "aux_nc",
    "aux_no",
    "aux_places",
    "aux_side_contacts",
    "contacts_no",
    "cores",
    "dc_aux_nc_most",
    "nc",
    "no",
    "phases",
    "poles",
    "rows",
    "side_places",
    "terminal_conductors",
    "transformer_count",
    "ways",
];

/// Columns that hold text even where it looks like a number.
const TEXTS: &[&str] = &[
    "part",
    "description",
    "code",
    "frame",
    "kind",
    "class",
    "classes",
    "fits_frames",
    "fits_breaker_frames",
    "pairs_with",
    "base_part",
    "base_description",
    "protection_part",
    "contactor_part",
    "overload_part",
    "standard",
    "nema_size",
    "voltage_rating",
    "enclosure",
    "trade_size",
    "degree",
    "thread",
    "stud",
    "currency",
    "remark",
];

/// Column of a cell that can't be read, and what it should hold: name, cure, a text that can be read in its place.
fn cell_error(error: &csv::Error) -> (Option<usize>, (&'static str, &'static str, &'static str)) {
    let number = ("a number", "write a number with a decimal point and without unit or blanks", "0");
    let csv::ErrorKind::Deserialize { err, .. } = error.kind() else {
        return (None, number);
    };
    let field = err.field().and_then(|field| usize::try_from(field).ok());
    let wanted = match err.kind() {
        csv::DeserializeErrorKind::ParseBool(_) => ("`true` or `false`", "write true or false", "false"),
        csv::DeserializeErrorKind::ParseInt(_) => ("a whole number", "write a whole number of 0 or more", "0"),
        _ => number,
    };
    (field, wanted)
}
