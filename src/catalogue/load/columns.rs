//! The headings of a file against those of its family: what is lacking, what stands twice, what is the owner's own.

use super::headings;
use super::sheet::largest;
use crate::catalogue::rows::Row;
use crate::finding::codes::{K102_HEADING, K103_HEADING, K110_OWN_COLUMN};
use crate::finding::{Finding, Place, column_letters, nearest};

/// Headings that are lacking and named one by one; of more the whole list is told.
const NAMED_ONE_BY_ONE: usize = 3;

/// Columns of a file that the program knows, with their places, and those that it lacks.
pub(super) struct Columns {
    known: Vec<Column>,
    header: csv::StringRecord,
    /// The known columns are the fields of the family's type, one by one.
    whole: bool,
}

/// A column that the program knows.
#[derive(Clone, Copy)]
pub(super) struct Column {
    /// Its heading.
    pub(super) heading: &'static str,
    /// Where it stands in the file, if it does.
    pub(super) place: Option<usize>,
    /// The largest figure that may stand in it; none where it holds text.
    pub(super) largest: Option<f64>,
}

impl Columns {
    /// Looks at the headings; none if nothing below them can be read.
    pub(super) fn of<R: Row>(
        name: &str,
        row: u32,
        header: &csv::StringRecord,
        findings: &mut Vec<Finding>,
        remarks: &mut Vec<Finding>,
    ) -> Option<Self> {
        let place_of = |at: usize| header.iter().position(|cell| cell == headings::<R>()[at]);
        let places: Vec<(&'static str, Option<usize>)> =
            headings::<R>().iter().enumerate().map(|(at, heading)| (*heading, place_of(at))).collect();
        let lacking: Vec<&str> = places
            .iter()
            .filter(|(heading, place)| place.is_none() && !R::MAY_LACK.contains(heading))
            .map(|(heading, _)| *heading)
            .collect();
        say_lacking(name, row, &lacking, places.iter().any(|(_, place)| place.is_some()), findings);
        let before = findings.len();
        for (cell, at) in header.iter().zip(0_u32..) {
            let place = Place {
                row: Some(row),
                column: Some(column_letters(at)),
                heading: Some(cell.to_owned()),
                text: Some(cell.to_owned()),
                ..Place::file(name)
            };
            let first = header.iter().zip(0_u32..).find(|(other, _)| *other == cell).map(|(_, first)| first);
            if !headings::<R>().contains(&cell) {
                unknown::<R>(name, cell, &lacking, place, findings, remarks);
            } else if first != Some(at) {
                let finding = Finding::new(&K103_HEADING, format!("the column {cell} stands twice in {name}"));
                findings.push(finding.at(place).cure("take one of the two columns out"));
            }
        }
        // Rows are read below what is right, so that all that is wrong is told at once.
        let readable = findings.len() == before && lacking.len() <= NAMED_ONE_BY_ONE;
        let known: Vec<Column> = places
            .into_iter()
            .filter(|(heading, place)| place.is_some() || !R::MAY_LACK.contains(heading))
            .map(|(heading, place)| Column { heading, place, largest: largest(heading) })
            .collect();
        let header = known.iter().map(|column| column.heading).collect();
        let whole = known.len() == headings::<R>().len();
        readable.then_some(Self { known, header, whole })
    }

    /// The columns in the order of the fields of the family's type.
    pub(super) fn each(&self) -> impl Iterator<Item = Column> {
        self.known.iter().copied()
    }

    /// The heading of the known column with this number.
    pub(super) fn heading(&self, number: usize) -> Option<&'static str> {
        self.known.get(number).map(|column| column.heading)
    }

    /// The row that stands in the cells of the known columns. Where each field has its column they are read in their order, which is
    /// three times as fast as by their names.
    pub(super) fn row<R: Row>(&self, cells: &csv::StringRecord) -> Result<R, csv::Error> {
        cells.deserialize(if self.whole { None } else { Some(&self.header) })
    }

    /// The file has no such column, though it needs one.
    pub(super) fn lacks(&self, heading: &str) -> bool {
        self.known.iter().any(|column| column.heading == heading && column.place.is_none())
    }
}

/// Headings that are lacking: each by its name, or one finding where the file is not of this family at all.
fn say_lacking(name: &str, row: u32, lacking: &[&str], some_known: bool, findings: &mut Vec<Finding>) {
    let place = || Place { row: Some(row), ..Place::file(name) };
    if lacking.len() > NAMED_ONE_BY_ONE {
        let what = if some_known {
            format!("{name} lacks {} columns: {}", lacking.len(), lacking.join(", "))
        } else {
            format!("{name} has none of its headings in row {row}")
        };
        let cure = "write the headings as `catalogue export` writes them, parted by commas or semicolons";
        findings.push(Finding::new(&K102_HEADING, what).at(place()).cure(cure));
        return;
    }
    for heading in lacking {
        let cure = "add the column; `catalogue export` writes the file with all its headings";
        findings.push(Finding::new(&K102_HEADING, format!("{name} has no column {heading}")).at(place()).cure(cure));
    }
}

/// A heading that the program does not know: a slip of the hand, or a column of the owner's own, which is passed over.
fn unknown<R: Row>(
    name: &str,
    cell: &str,
    lacking: &[&str],
    place: Place,
    findings: &mut Vec<Finding>,
    remarks: &mut Vec<Finding>,
) {
    let free = R::MAY_LACK.iter().copied().chain(lacking.iter().copied());
    if let Some(meant) = nearest(cell, free).filter(|_| !cell.is_empty()) {
        let finding = Finding::new(&K103_HEADING, format!("{name} knows no column `{cell}`; {meant} may be meant"));
        findings.push(finding.at(place).cure(format!("write {meant}, or take the column out")));
        return;
    }
    let finding = Finding::new(&K110_OWN_COLUMN, format!("{name} has a column `{cell}` that is not read"));
    remarks.push(finding.at(place).cure("leave it where it is for your own use"));
}
