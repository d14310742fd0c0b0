//! One row of a schedule: the table of input columns ([`FIELDS`]), and a row as read ([`Load`]).
//!
//! The one table drives reading, `blank`, JSON, comparison and the README. A [`Load`] keeps for every value the cell that it
//! came from, so that each finding can point at it. What a row means for sizing is a [`Case`], made by `sizing::resolve`.

use std::sync::Arc;

use crate::basis::LISTED;
use crate::finding::{Place, column_letters};

mod case;
pub mod duty;
mod fields;
mod kinds;
#[cfg(test)]
pub(crate) mod testing;
pub mod wires;

#[allow(unused_imports)]
pub use case::*;
pub use fields::{Choice, FIELDS, Field, FieldSpec, Kind, SAY_WHAT_IT_DRAWS};
pub use kinds::*;
/// Text of a cell: a short one stands in place, a long one is shared by all that hold it.
pub use smol_str::SmolStr as Text;

/// A value that was read from a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Free text, trimmed.
    Text(Text),
    /// A number in the unit that the field states.
    Number(f64),
    /// Yes or no.
    YesNo(bool),
    /// One of the field's canonical values.
    Choice(&'static str),
    /// Machines of a row, ranges expanded.
    Tags(Box<[Text]>),
}

/// A value and the cell that it stood in.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The value that was read.
    pub value: Value,
    /// Column from zero.
    pub column: u32,
    /// Text of the cell as it stood.
    pub text: Text,
}

/// The table that rows came from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Source {
    /// File name without folders.
    pub file: String,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// The line above the headings that is the title of the table.
    pub title: Option<String>,
    /// Headings as they stand in the file, by column.
    pub headings: Vec<String>,
}

/// A row as read: every field optional, each traceable to its cell.
#[derive(Clone, Debug)]
pub struct Load {
    /// Where the row stands.
    pub source: Arc<Source>,
    /// Index of the sheet's grid among the grids that were read.
    pub grid: usize,
    /// Row from zero.
    pub row: u32,
    /// One of its cells could not be read (or two rows contradict), so it must not be sized.
    pub rejected: bool,
    /// A value that sizing needs is still open, so it is not sized until somebody decides.
    pub incomplete: bool,
    /// The cell of a column that is not read which may put the load on an emergency or essential branch.
    pub on_a_branch: Option<Box<Place>>,
    /// Taken for a motor, though nothing says what it is.
    pub kind_in_doubt: bool,
    /// Fields that the row has, a bit for each by its number.
    fields: u128,
    /// Their entries, ascending by field. Rows that state the same share an entry.
    entries: Vec<Arc<Entry>>,
}

// A bit for each field.
const _: () = assert!(FIELDS.len() <= u128::BITS as usize);

impl Load {
    /// An empty row at a place.
    #[must_use]
    pub fn new(source: Arc<Source>, grid: usize, row: u32) -> Self {
        // Room for all columns at once: a row that grows entry by entry moves several times.
        let entries = Vec::with_capacity(source.headings.len().min(FIELDS.len()));
        Self {
            source,
            grid,
            row,
            rejected: false,
            incomplete: false,
            on_a_branch: None,
            kind_in_doubt: false,
            fields: 0,
            entries,
        }
    }

    /// Sheet and row as a person counts them: where findings about this row stand.
    #[must_use]
    pub fn row_key(&self) -> (Option<&str>, u32) {
        (self.source.sheet.as_deref(), self.row + 1)
    }

    /// Puts a value in.
    pub fn set(&mut self, field: Field, entry: Entry) {
        self.share(field, Arc::new(entry));
    }

    /// Puts a value in that further rows may have too.
    #[inline]
    pub fn share(&mut self, field: Field, entry: Arc<Entry>) {
        // Columns mostly stand in the order of the table.
        if self.fields >> field as usize == 0 {
            self.entries.push(entry);
        } else {
            let (index, has) = (self.index(field), self.has(field));
            match self.entries.get_mut(index).filter(|_| has) {
                Some(place) => *place = entry,
                None => self.entries.insert(index, entry),
            }
        }
        self.fields |= 1 << field as usize;
    }

    /// Takes the entry of a field out.
    pub fn remove(&mut self, field: Field) {
        if self.has(field) {
            self.entries.remove(self.index(field));
            self.fields &= !(1 << field as usize);
        }
    }

    /// Number of entries before that of a field.
    fn index(&self, field: Field) -> usize {
        (self.fields & ((1 << field as usize) - 1)).count_ones() as usize
    }

    /// Whether the row has an entry of a field.
    #[must_use]
    #[inline]
    pub fn has(&self, field: Field) -> bool {
        self.fields >> field as usize & 1 == 1
    }

    /// The entry of a field, if the row has one.
    #[must_use]
    pub fn entry(&self, field: Field) -> Option<&Entry> {
        if self.has(field) { self.entries.get(self.index(field)).map(|entry| &**entry) } else { None }
    }

    /// All entries that the row has, in the order of the table.
    pub fn entries(&self) -> impl Iterator<Item = (&'static FieldSpec, &Entry)> {
        let mut fields = self.fields;
        let specs = std::iter::from_fn(move || {
            let spec = FIELDS.get(fields.trailing_zeros() as usize)?;
            fields &= fields - 1;
            Some(spec)
        });
        specs.zip(self.entries.iter().map(|entry| &**entry))
    }

    /// The number of a field.
    #[must_use]
    pub fn number(&self, field: Field) -> Option<f64> {
        match self.entry(field)?.value {
            Value::Number(number) => Some(number),
            _ => None,
        }
    }

    /// A locked-rotor current in amperes of which no rated current of the row makes a ratio.
    #[must_use]
    pub fn locked_rotor_amperes(&self) -> Option<f64> {
        let over = [Field::LockedRotorRatio, Field::FullLoadCurrentA, Field::RatedLoadCurrentA];
        self.number(Field::LockedRotorCurrentA).filter(|_| !over.iter().any(|field| self.has(*field)))
    }

    /// A count (a whole number that the reader has checked).
    #[must_use]
    pub fn count(&self, field: Field) -> Option<u32> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // the reader admits whole numbers from 0 to 100 000
        self.number(field).map(|number| number as u32)
    }

    /// The text, choice or list of a field as text.
    #[must_use]
    pub fn text(&self, field: Field) -> Option<&str> {
        match &self.entry(field)?.value {
            Value::Text(text) => Some(text),
            Value::Choice(choice) => Some(choice),
            _ => Some(&self.entry(field)?.text),
        }
    }

    /// Yes or no.
    #[must_use]
    pub fn yes(&self, field: Field) -> Option<bool> {
        match self.entry(field)?.value {
            Value::YesNo(yes) => Some(yes),
            _ => None,
        }
    }

    /// The tag, or a stand-in made of the row's number.
    #[must_use]
    pub fn tag(&self) -> String {
        match self.entry(Field::Tag) {
            Some(entry) => entry.text.trim().to_owned(),
            None => format!("row {}", self.row + 1),
        }
    }

    /// The machines of the row.
    #[must_use]
    pub fn tags(&self) -> Vec<String> {
        match self.entry(Field::Tag).map(|entry| &entry.value) {
            Some(Value::Tags(tags)) => tags.iter().map(Text::to_string).collect(),
            _ => vec![self.tag()],
        }
    }

    /// Place of the whole row.
    #[must_use]
    pub fn place(&self) -> Place {
        Place { file: self.source.file.clone(), sheet: self.source.sheet.clone(), row: Some(self.row + 1), ..Place::default() }
    }

    /// Tags of the loads whose contactors it is interlocked with.
    pub fn interlock_partners(&self) -> impl Iterator<Item = &str> {
        let listed = self.text(Field::InterlockWith).unwrap_or_default();
        listed.split(LISTED).map(str::trim).filter(|tag| !tag.is_empty())
    }

    /// Whether it was read as a whole, so that it can be sized.
    #[must_use]
    pub fn is_readable(&self) -> bool {
        !self.rejected && !self.incomplete
    }

    /// Place of a field's cell; the whole row if the row has no such cell.
    #[must_use]
    pub fn place_of(&self, field: Field) -> Place {
        let mut place = self.place();
        if let Some(entry) = self.entry(field) {
            place.column = Some(column_letters(entry.column));
            place.heading = self.source.headings.get(entry.column as usize).cloned();
            place.text = Some(entry.text.to_string());
        }
        place
    }
}
