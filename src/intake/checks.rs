//! Checks of a row that hold for every table: repeated columns, cells without a heading, quotation marks, a supply column.

use super::cells;
use super::load_kind::is_supply_alone;
use super::method_doubts;
use super::methods;
use super::skip;
use super::table::columns::{contradict, is_measured};
use super::table::{Table, index};
use super::values::Wrong;
use super::{Content, Row, direct_current, noted, text, values};
use crate::finding::{Finding, Severity, codes, column_letters};
use crate::load::{Entry, Field, FieldSpec, Load, Text, Value};

/// Most characters that a cell of a workbook holds (ECMA-376 leaves it open; the limit of the programs that open it).
const MOST_OF_A_CELL: usize = 32_767;

/// A figure below a heading that the row of units contradicts.
pub(super) fn in_one_of_two_units(spec: &FieldSpec, seen: &str) -> Wrong {
    Wrong {
        code: &codes::I427_UNIT_CONTRADICTS,
        what: format!("{} reads `{}`, in which of two units nobody knows", spec.name, text::shortened(seen)),
        cure: "correct the heading or the row of units; rows with a figure here are not sized before".to_owned(),
    }
}

impl Table<'_> {
    /// Checks the row as a whole: repeated columns, cells without a heading, quotation marks.
    pub(super) fn check_row(&mut self, load: &mut Load, number: usize, row: Row<'_>) {
        for position in 0..self.repeated.len() {
            let (first, second) = self.repeated[position];
            let (one, other) = (row.seen(first), row.seen(second.index));
            // A cell that states nothing contradicts nothing.
            let differ = match self.columns.iter().find(|column| column.index == first) {
                Some(earlier) if is_measured(&second) => contradict(earlier, &second, row),
                _ => !other.trim().is_empty() && !cells::is_nothing(other.trim()) && one.trim() != other.trim(),
            };
            if differ {
                let what = format!(
                    "{} reads `{}` here and `{}` in column {}",
                    second.spec.name,
                    text::shortened(&other),
                    text::shortened(&one),
                    column_letters(index(first))
                );
                self.cell_finding(load, &codes::I203_CELLS_DIFFER, second.index, &other, what, "correct one of the two cells");
            }
        }
        self.check_further_motors(load, row);
        self.check_longest(load, row);
        let extra = (self.layout.headings.len()..row.len()).find(|column| !row.is_blank(*column));
        // In a workbook a remark may stand beside the table; in CSV a comma too many moves every cell behind it.
        if let (Some(column), true) = (extra, self.sheet.grid.delimited) {
            let seen = row.seen(column);
            let what = format!("the row has {} cells but there are {} headings", row.len(), self.layout.headings.len());
            self.cell_finding(
                load,
                &codes::I204_EXTRA_CELLS,
                column,
                &seen,
                what,
                "put texts that hold a comma between quotation marks",
            );
        }
        let opened = self.sheet.open_quote.filter(|quote| quote.row == load.row);
        let swallowing = self
            .sheet
            .quoted
            .then(|| (0..row.len()).find(|column| row.text(*column).is_some_and(|text| self.swallows(text))))
            .flatten();
        if self.source.sheet.is_none() && (opened.is_some() || swallowing.is_some()) {
            let line = opened.map(|quote| format!(", opened in line {} and never closed,", quote.line)).unwrap_or_default();
            let what = format!("a quotation mark in row {}{line} takes further cells or rows into one", number + 1);
            let cure = "close the quotation mark, or write it twice where it is meant, as in 6\"\" pipe";
            self.take_back(load);
            match swallowing {
                Some(column) => {
                    let seen = row.seen(column);
                    self.cell_finding(load, &codes::I206_QUOTE, column, &seen, what, cure);
                }
                None => {
                    load.rejected = true;
                    self.findings.push(Finding::new(&codes::I206_QUOTE, what).at(load.place()).cure(cure));
                }
            }
        }
    }

    /// A cell that no workbook can hold comes back cut off, whatever its column.
    fn check_longest(&mut self, load: &mut Load, row: Row<'_>) {
        let long = |column: &usize| {
            row.text(*column).is_some_and(|text| text.len() > MOST_OF_A_CELL && text.chars().count() > MOST_OF_A_CELL)
        };
        let Some(column) = (0..row.len()).find(long) else { return };
        let seen = row.seen(column);
        let what = format!("the cell holds {} characters, and a workbook at most {MOST_OF_A_CELL}", seen.chars().count());
        let cure = "shorten the text; a cell of this length is mostly an accident of copying";
        self.cell_finding(load, &codes::I111_LENGTH, column, &seen, what, cure);
    }

    /// A row that states the power or current of a second machine stands for two motors, of which one was read.
    fn check_further_motors(&mut self, load: &mut Load, row: Row<'_>) {
        let filled = |column: &usize| !row.is_blank(*column) && !cells::is_nothing(row.seen(*column).trim());
        let Some(column) = self.further_motors.iter().copied().find(filled) else { return };
        let seen = row.seen(column);
        let heading = self.layout.headings.get(column).map(|heading| text::shortened(heading)).unwrap_or_default();
        let what = format!("`{}` below `{heading}` is that of a second motor, which was not read", text::shortened(&seen));
        let cure = "give each motor a row of its own";
        self.cell_finding(load, &codes::I442_FURTHER_MOTOR, column, &seen, what, cure);
    }

    /// Takes back the errors of a row, whose findings are the last: they come of the one that is said next.
    fn take_back(&mut self, load: &Load) {
        let of_row = |finding: &Finding| finding.place.as_ref().is_some_and(|place| place.row == Some(load.row + 1));
        let first = self.findings.iter().rposition(|finding| !of_row(finding)).map_or(0, |last| last + 1);
        let kept = self.findings.split_off(first).into_iter().filter(|finding| finding.severity != Severity::Error);
        self.findings.extend(kept);
    }

    /// A value that is merged across columns stands for the first of them; whether it means the others too nobody can tell.
    pub(super) fn check_merged_across(&mut self, load: &mut Load, number: usize, row: Row<'_>) {
        for (column, names) in self.merged_across(number) {
            let seen = row.seen(column);
            if seen.trim().is_empty() {
                continue;
            }
            let what = format!(
                "`{}` is merged across further columns and was read for its first only, not for {}",
                text::shortened(&seen),
                names.join(", ")
            );
            let cure = "take the cells apart and enter a value in each column that it is meant for";
            self.cell_finding(load, &codes::I428_MERGED_ACROSS, column, &seen, what, cure);
        }
    }

    /// A remark such as `deleted` against the row that it stands in, or such a word behind its description.
    pub(super) fn check_remark(&mut self, load: &mut Load) {
        let remark = load.entry(Field::Notes).filter(|entry| skip::Opening::of(&entry.text).deleted);
        let described = || {
            load.entry(Field::Description)
                .filter(|entry| skip::ends_deleted(&entry.text) || skip::Opening::of(&entry.text).deleted)
        };
        let Some(entry) = remark.or_else(described).cloned() else { return };
        let what = format!("`{}` stands beside it, but the row was read as a load", text::shortened(&entry.text));
        let cure = "remove the row if the load is gone, or the remark";
        self.cell_finding(load, &codes::I429_REMARK_DELETED, entry.column as usize, &entry.text, what, cure);
    }

    /// Words that leave the starter to others or say that the equipment brings it, in a row that names its method: it would be bought
    /// twice.
    pub(super) fn check_who_supplies(&mut self, load: &mut Load) {
        if !load.text(Field::StartingMethod).is_some_and(methods::starts_a_motor) {
            return;
        }
        let leaves = |field: &Field, leaves: fn(&str) -> bool| load.entry(*field).filter(|entry| leaves(&entry.text)).cloned();
        let by_others = leaves(&Field::Notes, methods::leaves_starter);
        let brought =
            || [Field::Notes, Field::Description].iter().find_map(|field| leaves(field, method_doubts::brings_a_starter));
        let Some(entry) = by_others.or_else(brought) else { return };
        let said = text::shortened(&entry.text);
        let what = format!("`{said}` leaves the starter to the equipment or to others, but the row names a starting method");
        let cure = "write by-others as starting_method if the starter is supplied by others; else change these words";
        self.cell_finding(load, &codes::I437_STARTER_BY_OTHERS, entry.column as usize, &entry.text, what, cure);
    }

    /// A marking of the supply circuit in words, where no column states it: what is sized may fall below it or exceed it.
    pub(super) fn check_marked_circuit(&mut self, load: &mut Load) {
        if load.has(Field::MinimumCircuitAmpacityA) || load.has(Field::MaximumProtectionA) {
            return;
        }
        // What has no starter of ours bears the device that is named for it; before a motor of ours the words say what was planned.
        let supplied = is_supply_alone(load.text(Field::StartingMethod)) || load.text(Field::LoadKind) == Some("packaged");
        let open = supplied && !load.has(Field::GivenProtectionA);
        let says = |text: &str| noted::marks_circuit(text) || open && noted::names_device_of_supply(text);
        let marked = |field: &Field| load.entry(*field).filter(|entry| says(&entry.text)).cloned();
        let Some(entry) = [Field::Notes, Field::Description, Field::InterlockNote, Field::FeedbackNote].iter().find_map(marked)
        else {
            return;
        };
        let what =
            format!("`{}` states the marked supply circuit of the equipment, which no column does", text::shortened(&entry.text));
        let cure = "enter the circuit ampacity as minimum_circuit_ampacity_a, and the largest device that the equipment bears as maximum_protection_a";
        self.cell_finding(load, &codes::I446_MARKED_CIRCUIT, entry.column as usize, &entry.text, what, cure);
    }

    /// Figures that change a circuit and stand in words alone: what is sized would not know of them.
    pub(super) fn check_noted_figures(&mut self, load: &mut Load) {
        let in_words = |states: fn(&str) -> bool| {
            let noted = |field: &Field| load.entry(*field).filter(|entry| states(&entry.text)).cloned();
            [Field::Notes, Field::Description].iter().find_map(noted)
        };
        let drive = load.text(Field::StartingMethod) == Some("drive");
        let start = [Field::LockedRotorRatio, Field::LockedRotorCode, Field::LockedRotorCurrentA];
        let start_is_known = drive || start.iter().any(|field| load.has(*field));
        let air = in_words(noted::states_hot_air).filter(|_| !load.has(Field::AmbientC));
        let current = in_words(noted::states_start_current).filter(|_| !start_is_known);
        let found = [
            (
                air,
                "air that is hotter than usual",
                "enter the air at the cable as ambient_c, and ask the maker what motor and devices bear there",
            ),
            (
                current,
                "the current of a start",
                "enter it as locked_rotor_current_a, or as locked_rotor_ratio over the rated current",
            ),
        ];
        for (entry, what, cure) in found.into_iter().filter_map(|(entry, what, cure)| Some((entry?, what, cure))) {
            let what = format!("`{}` states {what}, which no column does", text::shortened(&entry.text));
            self.cell_finding(load, &codes::I470_FIGURE_NOTED, entry.column as usize, &entry.text, what, cure);
        }
    }

    /// Remarks are carried as they stand in the workbook; elsewhere a page of text in one cell helps nobody.
    pub(super) fn shorten_remarks(&mut self, load: &mut Load) {
        let long = |entry: &Entry| entry.text.len() > text::LONGEST_TEXT;
        for field in values::REMARKS {
            let Some(entry) = load.entry(field).filter(|entry| long(entry)).cloned() else { continue };
            let Some((end, _)) = entry.text.char_indices().nth(text::LONGEST_TEXT) else { continue };
            let what = format!(
                "{} holds {} characters: only the workbook repeats more than the first {}",
                field.spec().name,
                entry.text.chars().count(),
                text::LONGEST_TEXT
            );
            let cure = "look whether a cell of this length is an accident of copying";
            self.cell_finding(load, &codes::I432_REMARK_SHORTENED, entry.column as usize, &entry.text, what, cure);
            let short = Text::from(format!("{}…", entry.text.get(..end).unwrap_or_default()));
            load.set(field, Entry { value: Value::Text(short.clone()), text: short, ..entry });
        }
    }

    /// Whether a cell of CSV holds what looks like rows of the table.
    fn swallows(&self, text: &str) -> bool {
        let separators = self.layout.headings.len().saturating_sub(1).max(3);
        let row_like = |line: &str| [',', ';', '\t', '|'].iter().any(|mark| line.matches(*mark).count() >= separators);
        // A lone mark that was meant as a ditto mark takes in the separators behind it.
        let begun = text.starts_with([';', '\t', '|']) || text.starts_with(",,") || text == ",";
        begun || (text.bytes().any(|byte| byte == b'\n') && text.lines().skip(1).any(row_like))
    }

    pub(super) fn split_supply(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::Supply).cloned() else { return };
        let column = entry.column as usize;
        if let Some((field, value)) = direct_current::in_cell(Field::Supply, &entry.text) {
            if !load.has(field) {
                load.set(field, Entry { value, ..entry });
            }
            return;
        }
        let Some(parts) = supply_parts(&entry.text) else {
            let what = format!("supply reads `{}`", text::shortened(&entry.text));
            self.cell_finding(
                load,
                &codes::I116_SUPPLY,
                column,
                &entry.text,
                what,
                "write voltage/phases/frequency, such as 400/3/50 or 460/3/60",
            );
            return;
        };
        for (field, number) in [Field::VoltageV, Field::Phases, Field::FrequencyHz].into_iter().zip(parts) {
            match load.number(field) {
                None => match values::read(field.spec(), &Content::Number(number)) {
                    Ok(Some(value)) => load.set(field, Entry { value, ..entry.clone() }),
                    Ok(None) => {}
                    Err(wrong) => self.cell_finding(load, wrong.code, column, &entry.text, wrong.what, wrong.cure),
                },
                Some(stated) if stated != number => {
                    let what = format!(
                        "supply reads `{}` but {} reads {}",
                        text::shortened(&entry.text),
                        field.spec().name,
                        text::number_text(stated)
                    );
                    self.cell_finding(
                        load,
                        &codes::I117_SUPPLY_CONTRADICTS,
                        column,
                        &entry.text,
                        what,
                        "correct one of the two, or leave one empty",
                    );
                }
                Some(_) => {}
            }
        }
    }
}

/// Voltage, phases and frequency of `460/3/60`, `400 V/3ph/50 Hz` or `400/3`.
fn supply_parts(text: &str) -> Option<Vec<f64>> {
    let parts: Vec<&str> = text.split('/').map(str::trim).collect();
    if !(2..=3).contains(&parts.len()) {
        return None;
    }
    let units: [&[&str]; 3] = [&["v"], &["ph", "~", "ø", "phase", "phases"], &["hz"]];
    let number = |part: &str, units: &[&str]| {
        let end = part.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(part.len());
        let (digits, unit) = part.split_at(end);
        let unit = unit.trim().to_lowercase();
        (unit.is_empty() || units.contains(&unit.as_str())).then(|| digits.parse::<f64>().ok()).flatten()
    };
    parts.iter().zip(units).map(|(part, units)| number(part, units)).collect()
}
