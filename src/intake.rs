//! Opens a schedule and yields grids of cells that still know where they stood; then finds the header and reads rows.
//!
//! Only this room names calamine, csv and zip; the rest of the program sees [`Grid`] and [`Load`].

use crate::finding::Finding;
use crate::load::Load;

mod error;
mod excerpt;
mod headings;
mod open;
mod rows;
mod tags;
mod text;
mod values;
mod workbook;

#[cfg(test)]
mod tests;

pub use error::{IntakeError, IntakeErrorKind};
pub use excerpt::excerpt;
pub use open::{MAXIMA, Maxima, ReadOptions, read, read_csv_bytes};

/// What a cell holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Content {
    /// Nothing.
    #[default]
    Empty,
    /// Text.
    Text(String),
    /// A number of a workbook.
    Number(f64),
    /// True or false.
    Boolean(bool),
    /// A date or time, as its serial number and the text that a person would see.
    Date(f64, String),
    /// An error such as `#REF!`.
    Error(String),
}

/// A cell: what it holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// What it holds.
    pub content: Content,
}

/// One sheet, as it stood: rows of cells, row and column counted from zero at A1.
#[derive(Clone, Debug, Default)]
pub struct Grid {
    /// File name without folders.
    pub file: String,
    /// Sheet name of a workbook.
    pub sheet: Option<String>,
    /// Cells by row; rows may differ in length.
    pub rows: Vec<Vec<Cell>>,
    /// Row of the header, once found.
    pub header_row: Option<u32>,
}

/// Everything that was read from a schedule.
#[derive(Debug, Default)]
pub struct Intake {
    /// Sheets as they stood.
    pub grids: Vec<Grid>,
    /// Rows as read, in the order of the file.
    pub loads: Vec<Load>,
    /// Findings about cells and rows.
    pub findings: Vec<Finding>,
    /// Dotted keys and values of a `Basis` sheet, if there is one.
    pub basis_pairs: Vec<(String, String)>,
    /// SHA-256 of the file.
    pub sha256: String,
}
