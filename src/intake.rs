//! Opens a schedule and yields grids of cells that still know where they stood; then finds the header and reads rows.
//!
//! Only this room names calamine, quick-xml, encoding_rs, csv and zip; the rest of the program sees [`Grid`] and [`Load`].

use crate::finding::Finding;
use crate::load::{Load, Text};

mod biff;
pub(crate) mod book_kinds;
pub(crate) mod book_units;
mod carried;
mod cells;
mod checks;
mod choices;
mod dates;
mod delimited;
mod denials;
mod derived;
mod dialect;
pub(crate) mod direct_current;
mod duty;
mod encoding;
mod error;
mod excerpt;
mod figures;
mod fold;
mod grid;
pub(crate) mod headings;
mod kind;
mod kindly;
mod known;
mod layout;
mod load_kind;
mod load_words;
mod look;
pub(crate) use look::comments;
mod machines;
mod mapping;
pub(crate) mod matters;
pub(crate) mod mentions;
mod method_doubts;
mod method_figures;
mod methods;
pub(crate) mod names;
mod noted;
mod numbers;
mod ods;
mod open;
mod other_lists;
pub mod own;
pub(crate) mod powers;
pub(crate) mod protection_kinds;
mod remarks;
mod repeats;
mod row;
mod rows;
mod settle;
mod shown;
mod skip;
mod supply;
pub(crate) mod surroundings;
mod table;
mod tables;
mod tag_counts;
mod tags;
mod text;
pub(crate) mod units;
mod unread;
mod values;
mod workbook;
mod xls;
mod xlsx;
mod xml;

#[cfg(test)]
mod tests;

pub use error::{IntakeError, IntakeErrorKind};
pub use excerpt::excerpt;
pub use grid::{Row, Rows};
pub use load_words::names_socket_outlets;
pub use mapping::Mapping;
pub use open::{MAXIMA, Maxima, ReadOptions, read, read_bytes, read_csv_bytes};
pub use skip::{SkipReason, Skipped};

/// The canonical columns that a heading may mean, by its words alone.
#[must_use]
pub fn meant_by(heading: &str) -> Vec<&'static str> {
    let field = |meaning: &headings::Meaning| match meaning {
        headings::Meaning::Field(field) => Some(field.spec().name),
        _ => None,
    };
    headings::recognise(heading).map(|found| found.meanings.iter().filter_map(field).collect()).unwrap_or_default()
}

/// The content of a cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Content {
    /// Nothing.
    #[default]
    Empty,
    /// Text.
    Text(Text),
    /// A number of a workbook.
    Number(f64),
    /// True or false.
    Boolean(bool),
    /// A date or time.
    Date(Box<Date>),
    /// An error such as `#REF!`.
    Error(Box<str>),
}

impl Content {
    /// A date or time by its serial number and the text that a person would see.
    #[must_use]
    pub fn date(serial: f64, text: impl Into<Text>) -> Self {
        Self::Date(Box::new(Date { serial, text: text.into() }))
    }

    /// The words of a text or an error.
    #[must_use]
    pub fn words(&self) -> Option<&str> {
        match self {
            Self::Text(words) => Some(words),
            Self::Error(words) => Some(words),
            _ => None,
        }
    }
}

/// A date or time of a workbook.
#[derive(Clone, Debug, PartialEq)]
pub struct Date {
    /// Days since the end of 1899.
    pub serial: f64,
    /// Its text as a person sees it.
    pub text: Text,
}

/// How much of a cell's text is struck through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Struck {
    /// Nothing.
    #[default]
    No,
    /// A part, which the content leaves out.
    Part,
    /// All of it; the content still holds it.
    Whole,
}

/// A cell: what it holds, and what its look says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// Its content.
    pub content: Content,
    /// Struck-through text.
    pub struck: Struck,
    /// A number that is shown in per cent.
    pub percent: bool,
    /// Unit that its number format shows and its content does not hold.
    pub shown: Option<units::Unit>,
}

/// How delimited text was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Detected {
    /// `utf-8`, `utf-16le`, `utf-16be` or `windows-1252`; empty for a workbook.
    pub encoding: &'static str,
    /// The file begins with a byte-order mark.
    pub byte_order_mark: bool,
    /// Separator of cells; none for a workbook.
    pub separator: Option<char>,
    /// Decimal mark of texts.
    pub decimal: Option<char>,
}

/// One sheet, as it stood: rows of cells, row and column counted from zero at A1.
#[derive(Clone, Debug, Default)]
pub struct Grid {
    /// File name without folders.
    pub file: String,
    /// Sheet name of a workbook.
    pub sheet: Option<String>,
    /// Cells by row.
    pub rows: Rows,
    /// Row of the header, once found.
    pub header_row: Option<u32>,
    /// Rows that are hidden.
    pub hidden_rows: std::collections::BTreeSet<u32>,
    /// Columns that are hidden.
    pub hidden_columns: std::collections::BTreeSet<u32>,
    /// The sheet as a whole is hidden.
    pub hidden: bool,
    /// Widths of columns in characters, where a workbook states them.
    pub column_widths: std::collections::BTreeMap<u32, f64>,
    /// Corners of merged areas: row and column of the first and of the last cell.
    pub merged: Vec<((u32, u32), (u32, u32))>,
    /// Comments of the sender, by row and column from zero.
    pub comments: std::collections::BTreeMap<(u32, u32), String>,
    /// It was delimited text at first, where a comma too many moves every cell behind it: so it stays in a workbook that is made of it.
    pub delimited: bool,
    /// Cells below or right of all that is read, which are left out: row, column and text.
    pub astray: Vec<(u32, u32, String)>,
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
    /// How delimited text was read.
    pub detected: Detected,
    /// Rows that are no loads, and why.
    pub skipped: Vec<Skipped>,
    /// How each column was read.
    pub mappings: Vec<Mapping>,
}
