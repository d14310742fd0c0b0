//! Columns that are not read and may state what changes a circuit: told at each row that waits for it, or once at the heading.

use std::collections::HashMap;

use super::matters::{self, At, Holds, Matter};
use super::{Intake, Mapping, Row, mentions, numbers, text};
use crate::finding::{Finding, Place, codes, column_letters};
use crate::load::Load;

/// Texts of which a column remembers what they say; more would be a column of remarks that never repeat themselves.
const REMEMBERED: usize = 1_024;
/// Speeds of motors at no load, 1/min, at 50 and 60 Hz with two to twelve poles.
const SYNCHRONOUS: [f64; 12] = [3600.0, 3000.0, 1800.0, 1500.0, 1200.0, 1000.0, 900.0, 750.0, 720.0, 600.0, 514.0, 500.0];
/// Least speed of a motor at its rated output over that at no load.
const LEAST_OF_SYNCHRONOUS: f64 = 0.92;

/// A column that is not read, one matter, and what its texts said of it so far.
struct Unread<'i> {
    mapping: &'i Mapping,
    matter: &'static Matter,
    /// The heading asks for the matter.
    asks: bool,
    /// The heading asks for another matter, so that `present` below it is said of that one.
    of_another: bool,
    /// Rows that have a text in it.
    filled: usize,
    said: HashMap<String, bool>,
}

impl<'i> Unread<'i> {
    fn of(mapping: &'i Mapping, matter: &'static Matter) -> Option<Self> {
        let asks = matter.lists().asked_by(&mapping.heading);
        let of_another = || matters::all().iter().any(|other| other.lists().asked_by(&mapping.heading));
        let asked = asks || matter.holds == Holds::Word;
        asked.then(|| Self { mapping, matter, asks, of_another: !asks && of_another(), filled: 0, said: HashMap::new() })
    }

    /// Whether a text of it may state the matter.
    fn may_say(&mut self, text: &str) -> bool {
        if let Some(known) = self.said.get(text) {
            return *known;
        }
        let says = match self.matter.holds {
            Holds::Word => self.says_in_words(text),
            Holds::Figure => figure(text).is_some_and(|value| value > 0.0),
            Holds::Speed => figure(text).is_some_and(is_of_a_motor),
        };
        if self.said.len() < REMEMBERED {
            self.said.insert(text.to_owned(), says);
        }
        says
    }

    fn says_in_words(&self, text: &str) -> bool {
        let lists = self.matter.lists();
        let bare: Vec<String> = mentions::words(text).into_iter().filter(|word| !word.is_empty()).collect();
        if lists.denied_by(text) {
            return false;
        }
        let below = self.asks && (lists.below.is_empty() || lists.below.are(&bare));
        below || !self.of_another && matters::suggests(self.matter.name, text)
    }

    /// What a row says of the matter in this column.
    fn cell_of<'r>(&mut self, load: &Load, cells: &'r Row<'_>) -> Option<std::borrow::Cow<'r, str>> {
        let index = self.mapping.column as usize;
        // A further table of the sheet has headings of its own.
        let here = self.mapping.sheet.as_deref() == load.source.sheet.as_deref()
            && load.source.headings.get(index).is_some_and(|heading| *heading == self.mapping.heading);
        if !here || cells.is_blank(index) {
            return None;
        }
        self.filled += 1;
        let seen = cells.seen(index);
        self.may_say(seen.trim()).then_some(seen)
    }

    fn place(&self, mut place: Place, seen: &str) -> Place {
        place.column = Some(column_letters(self.mapping.column));
        place.heading = Some(self.mapping.heading.clone());
        place.text = Some(text::shortened(seen));
        place
    }

    fn finding_at_row(&self, load: &Load, seen: &str) -> Finding {
        let code = if self.matter.name == "hazard" { &codes::I438_HAZARD_NOT_READ } else { &codes::I455_MATTER_NOT_READ };
        let what = format!(
            "the column `{}` is not read, and its `{}` may mean {}",
            text::shortened(&self.mapping.heading),
            text::shortened(seen),
            self.matter.means
        );
        self.finding(Finding::new(code, what).at(self.place(load.place(), seen)))
    }

    fn finding_at_heading(&self, load: &Load, header: Option<u32>) -> Finding {
        let heading = text::shortened(&self.mapping.heading);
        let what = format!("the column `{heading}` was not read and seems to hold {}", self.matter.means);
        let place = Place { row: header.map(|row| row + 1), ..load.place() };
        self.finding(Finding::new(&codes::I441_FIGURES_NOT_READ, what).at(self.place(place, &self.mapping.heading)))
    }

    fn finding(&self, finding: Finding) -> Finding {
        finding.why(self.matter.why).cure(self.matter.cure.replace("HEADING", &text::shortened(&self.mapping.heading)))
    }
}

/// The one number of a text, whatever its unit.
fn figure(text: &str) -> Option<f64> {
    match numbers::reading(text).ok()? {
        numbers::Reading::One(value, ..) => Some(value),
        _ => None,
    }
}

/// Whether a speed is that of a motor at 50 or 60 Hz.
fn is_of_a_motor(speed: f64) -> bool {
    SYNCHRONOUS.iter().any(|synchronous| (LEAST_OF_SYNCHRONOUS * synchronous..=*synchronous).contains(&speed))
}

impl Intake {
    /// Says what columns that are not read may state, where no column that is read answers it.
    pub(super) fn say_unread_matters(&mut self) {
        let mut found = Vec::new();
        let mut columns: Vec<Unread<'_>> = Vec::new();
        for mapping in self.mappings.iter().filter(|mapping| mapping.field.is_none()) {
            columns.extend(matters::all().iter().filter_map(|matter| Unread::of(mapping, matter)));
        }
        // Rows that state a matter of a column, and the first of them.
        let mut told: HashMap<usize, (usize, usize)> = HashMap::new();
        for (number, load) in self.loads.iter().enumerate() {
            let Some(cells) = self.grids.get(load.grid).and_then(|grid| grid.rows.get(load.row as usize)) else { continue };
            let mut said: Vec<&str> = Vec::new();
            for (index, unread) in columns.iter_mut().enumerate() {
                if said.contains(&unread.matter.name) || unread.matter.is_answered_by(load) {
                    continue;
                }
                let Some(seen) = unread.cell_of(load, &cells) else { continue };
                match unread.matter.at {
                    At::Row => found.push(unread.finding_at_row(load, &seen)),
                    At::Column => told.entry(index).or_insert((number, 0)).1 += 1,
                }
                said.push(unread.matter.name);
            }
        }
        for (index, unread) in columns.iter().enumerate() {
            let Some((first, count)) = told.get(&index) else { continue };
            if unread.matter.holds == Holds::Speed && count * 2 <= unread.filled {
                continue;
            }
            let Some(load) = self.loads.get(*first) else { continue };
            let header = self.grids.get(load.grid).and_then(|grid| grid.header_row);
            found.push(unread.finding_at_heading(load, header));
        }
        self.findings.extend(found);
    }
}
