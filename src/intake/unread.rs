//! Columns that are not read and may state what changes a circuit: told at each row that waits for it, or once at the heading.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use super::mapping::{is_motor_speed, is_system};
use super::matters::{self, At, Holds, Matter};
use super::{Intake, Mapping, Row, headings, noted, numbers, supply, text};
use crate::finding::{Finding, Place, codes, column_letters};
use crate::load::Load;

/// Texts of which a column remembers what they say; more would be a column of remarks that never repeat themselves.
const REMEMBERED: usize = 1_024;

/// A matter that a column may state.
#[derive(Clone, Copy)]
struct Asked {
    matter: &'static Matter,
    /// The heading asks for the matter.
    by_heading: bool,
    /// The heading may ask for it, as cells of the list say then.
    by_cells: bool,
    /// The heading asks for another matter, so that `present` below it is said of that one.
    of_another: bool,
    /// Rows that state it here, and the first of them.
    stated: usize,
    first: usize,
}

impl Asked {
    fn is_stated_in(&self, text: &str, words: &[String]) -> bool {
        match self.matter.holds {
            Holds::Word => self.is_worded_in(text, words),
            Holds::Figure => {
                self.by_heading && figure(text).is_some_and(|value| value > 0.0)
                    || self.matter.name == VOLTAGE && is_combined_supply(text)
            }
            Holds::Heat => self.by_heading && figure(text).is_some_and(|degrees| degrees > noted::ordinary_air_c()),
            Holds::Speed => figure(text).is_some_and(is_motor_speed),
        }
    }

    fn is_worded_in(&self, text: &str, words: &[String]) -> bool {
        let lists = self.matter.lists();
        let bare: Vec<String> = words.iter().filter(|word| !word.is_empty()).cloned().collect();
        if !self.by_heading {
            let told = self.by_cells && lists.column_cell.are(&bare);
            // Of a fire both the cable and the machine may be asked: `Tenue au feu` over 400 °C / 2 h.
            let of_another = self.of_another && !(self.matter.name == SMOKE && lists.suggests.stand_in(words));
            return !of_another && (told || matters::suggests(self.matter.name, words));
        }
        !lists.denied_by(text) && (lists.below.is_empty() || lists.below.are(&bare) || lists.suggested_by(words))
    }
}

/// A column that is not read, what it may state, and what its texts said so far.
struct Unread<'i> {
    mapping: &'i Mapping,
    asked: Vec<Asked>,
    /// Rows that have a text in it.
    filled: usize,
    /// Numbers of what a text states.
    said: HashMap<String, Arc<[usize]>>,
}

impl<'i> Unread<'i> {
    fn of(mapping: &'i Mapping) -> Self {
        let by_heading: Vec<bool> = matters::all().iter().map(|matter| matter.lists().asked_by(&mapping.heading)).collect();
        let any = by_heading.contains(&true);
        // A supply of the control circuit or of the board is not that of the load.
        let foreign = headings::is_foreign(&mapping.heading);
        let asked = |(matter, by_heading): (&'static Matter, bool)| {
            let by_cells = matter.lists().may_be_asked_by(&mapping.heading);
            let asked = Asked { matter, by_heading, by_cells, of_another: any && !by_heading, stated: 0, first: 0 };
            (by_heading || matter.holds == Holds::Word || matter.name == VOLTAGE && !foreign).then_some(asked)
        };
        let asked = matters::all().iter().zip(by_heading).filter_map(asked).collect();
        Self { mapping, asked, filled: 0, said: HashMap::new() }
    }

    /// Numbers of the matters that a text of it states.
    fn stated_in(&mut self, text: &str) -> Arc<[usize]> {
        if let Some(known) = self.said.get(text) {
            return Arc::clone(known);
        }
        let words = matters::words_of(text);
        let stated = self.asked.iter().enumerate().filter(|(_, asked)| asked.is_stated_in(text, &words));
        let stated: Arc<[usize]> = stated.map(|(number, _)| number).collect();
        if self.said.len() < REMEMBERED {
            self.said.insert(text.to_owned(), Arc::clone(&stated));
        }
        stated
    }

    /// The text of a row in this column; none in a further table of the sheet, which has headings of its own.
    fn text_of<'r>(&self, load: &Load, cells: &'r Row<'_>) -> Option<Cow<'r, str>> {
        let index = self.mapping.column as usize;
        let here = self.mapping.sheet.as_deref() == load.source.sheet.as_deref()
            && load.source.headings.get(index).is_some_and(|heading| *heading == self.mapping.heading);
        (here && !cells.is_blank(index)).then(|| cells.seen(index))
    }

    fn place(&self, mut place: Place, seen: &str) -> Place {
        place.column = Some(column_letters(self.mapping.column));
        place.heading = Some(self.mapping.heading.clone());
        place.text = Some(text::shortened(seen));
        place
    }

    fn finding_at_row(&self, matter: &Matter, load: &Load, seen: &str) -> Finding {
        let code = match (matter.name, matter.at) {
            ("hazard", _) => &codes::I438_HAZARD_NOT_READ,
            (_, At::Circuit) => &codes::I482_MATTER_OF_CIRCUIT,
            _ => &codes::I455_MATTER_NOT_READ,
        };
        let what = format!(
            "the column `{}` is not read, and its `{}` may mean {}",
            text::shortened(&self.mapping.heading),
            text::shortened(seen),
            matter.means
        );
        self.finding(matter, Finding::new(code, what).at(self.place(load.place(), seen)))
    }

    fn finding_at_heading(&self, matter: &Matter, load: &Load, header: Option<u32>) -> Finding {
        let heading = text::shortened(&self.mapping.heading);
        let what = format!("the column `{heading}` was not read and seems to hold {}", matter.means);
        let place = Place { row: header.map(|row| row + 1), ..load.place() };
        let finding = Finding::new(&codes::I441_FIGURES_NOT_READ, what).at(self.place(place, &self.mapping.heading));
        self.finding(matter, finding)
    }

    fn finding(&self, matter: &Matter, finding: Finding) -> Finding {
        finding.why(matter.why).cure(matter.cure.replace("HEADING", &text::shortened(&self.mapping.heading)))
    }
}

/// The matter that a rating of a machine for hot gases states below any heading.
const SMOKE: &str = "smoke";

/// The matter that cells such as `460/3/60` state below any heading.
const VOLTAGE: &str = "voltage";

/// The matter that a circuit on an emergency or standby branch is asked about, with the place that says so.
const BRANCH: &str = "emergency-branch";

/// Whether a text is a usual voltage with its phases: `115/1/60`, `400 V 3ph 50 Hz`.
fn is_combined_supply(text: &str) -> bool {
    let read = || supply::supply(text, false).filter(|found| found.phases.is_some());
    text.starts_with(|first: char| first.is_ascii_digit()) && read().is_some_and(|found| found.voltage.is_some_and(is_system))
}

/// The one number of a text, whatever its unit.
fn figure(text: &str) -> Option<f64> {
    match numbers::reading(text).ok()? {
        numbers::Reading::One(value, ..) => Some(value),
        _ => None,
    }
}

impl Intake {
    /// Says what columns that are not read may state, where no column that is read answers it.
    pub(super) fn say_unread_matters(&mut self) {
        let mut found = Vec::new();
        let mut columns: Vec<Unread<'_>> =
            self.mappings.iter().filter(|mapping| mapping.is_passed_by()).map(Unread::of).collect();
        let mut of_circuits: Vec<(usize, Place)> = Vec::new();
        for (row, load) in self.loads.iter().enumerate() {
            let Some(cells) = self.grids.get(load.grid).and_then(|grid| grid.rows.get(load.row as usize)) else { continue };
            let mut said: Vec<&str> = Vec::new();
            for unread in &mut columns {
                let Some(seen) = unread.text_of(load, &cells) else { continue };
                unread.filled += 1;
                for number in unread.stated_in(seen.trim()).iter() {
                    let Some(asked) = unread.asked.get_mut(*number) else { continue };
                    let matter = asked.matter;
                    if said.contains(&matter.name) || matter.is_answered_by(load) {
                        continue;
                    }
                    said.push(matter.name);
                    if asked.stated == 0 {
                        asked.first = row;
                    }
                    asked.stated += 1;
                    match matter.at {
                        At::Row => found.push(unread.finding_at_row(matter, load, &seen)),
                        At::Circuit => {
                            found.push(unread.finding_at_row(matter, load, &seen));
                            if matter.name == BRANCH {
                                of_circuits.push((row, unread.place(load.place(), &seen)));
                            }
                        }
                        At::Column => {}
                    }
                }
            }
        }
        for unread in &columns {
            let told = unread.asked.iter().filter(|asked| asked.matter.at == At::Column && asked.stated > 0);
            for asked in told.filter(|asked| asked.matter.holds != Holds::Speed || asked.stated * 2 > unread.filled) {
                let Some(load) = self.loads.get(asked.first) else { continue };
                let header = self.grids.get(load.grid).and_then(|grid| grid.header_row);
                found.push(unread.finding_at_heading(asked.matter, load, header));
            }
        }
        self.findings.extend(found);
        for (row, place) in of_circuits {
            if let Some(load) = self.loads.get_mut(row) {
                load.on_a_branch = Some(Box::new(place));
            }
        }
    }
}
