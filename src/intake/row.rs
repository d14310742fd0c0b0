//! Reads one row of a table: every cell by its column, then what only the row as a whole says.

use super::cells::{self, Given, Note};
use super::checks::in_one_of_two_units;
use super::mapping::Column;
use super::repeats::is_ditto;
use super::settle::one_value;
use super::table::columns::unit_of;
use super::table::{Counters, Table, index};
use super::tag_counts;
use super::tags;
use super::values::{self, Wrong};
use super::{Cell, Content, Row, fold, kindly, shown, skip, text};
use crate::finding::{Finding, Severity, codes, column_letters};
use crate::load::{EfficiencyClass, Entry, Field, Kind, Load, Text, Value};
use std::sync::Arc;

/// Facts of a row beside its values.
#[derive(Debug, Default)]
pub(super) struct Beside {
    /// Column whose cell holds values of two speeds.
    pub(super) speeds: Option<usize>,
    /// Column whose text says that the starter reverses.
    pub(super) reverses: Option<usize>,
    /// Ticked columns with their methods.
    pub(super) ticked: Vec<(usize, &'static str)>,
    /// How the load is connected by the neutral that its supply names.
    pub(super) neutral: Option<Arc<Entry>>,
    /// A power or method that is open or could not be read, so that nothing is missing.
    pub(super) power_said: bool,
    tag_said: bool,
    spare: bool,
}

impl<'a> Table<'a> {
    pub(super) fn read_row(&mut self, number: usize, row: Row<'a>, spare: bool, counters: &mut Counters) -> Load {
        let mut load = Load::new(Arc::clone(&self.source), self.grid, index(number));
        let mut beside = Beside { spare, ..Beside::default() };
        for position in 0..self.columns.len() {
            let own_words = row.plain_text(self.columns[position].index).filter(|words| speaks_for_itself(words));
            if own_words.is_some_and(|words| self.said_before(&mut load, position, words)) {
                continue;
            }
            let column = self.columns[position];
            let done = match own_words {
                Some(words) => self.plain_tag(&mut load, &column, words, &beside) || self.plain_words(&mut load, position, words),
                None => self.is_bare(row, &column, number),
            };
            if done {
                continue;
            }
            let cell = row.get(column.index).unwrap_or_default();
            let cell = if own_words.is_some() { Some(cell) } else { self.effective(number, cell, &column, &mut load) };
            let Some(cell) = cell else { continue };
            let cell = self.without_thousands(load.row, cell, &column);
            self.read_cell(&mut load, position, &cell, &mut beside);
        }
        self.check_row(&mut load, number, row);
        self.check_merged_across(&mut load, number, row);
        self.check_remark(&mut load);
        self.check_who_supplies(&mut load);
        self.check_marked_circuit(&mut load);
        self.check_noted_figures(&mut load);
        self.shorten_remarks(&mut load);
        if self.plain && load.entry(Field::Supply).is_some() {
            self.split_supply(&mut load);
        }
        if beside.spare {
            self.spare(&mut load, counters);
        }
        self.check_tag(&mut load, &beside);
        if self.plain {
            self.kind_of_load(&mut load, row);
        } else {
            self.settle(&mut load, &beside, row);
        }
        self.ask_of_remarks(&mut load);
        self.ask_of_transformer(&mut load);
        self.derive(&mut load);
        self.say_apparent_power(&load);
        super::settle::settle_partners(&mut load);
        if let (Some(section), None) = (&self.section, load.entry(Field::Section)) {
            let column = load.entry(Field::Tag).map_or(0, |entry| entry.column);
            let entry = Entry { value: Value::Text(section.clone()), column, text: section.clone() };
            load.set(Field::Section, entry);
        }
        load
    }

    /// Whether a cell is blank and nothing else could speak for it.
    fn is_bare(&self, row: Row<'_>, column: &Column, number: usize) -> bool {
        row.is_blank(column.index)
            && !column.blank_is_no
            && !self.merged.contains_key(&column.index)
            && (self.sheet.uncomputed.is_empty() || !self.sheet.uncomputed.contains(&(index(number), index(column.index))))
    }

    fn read_cell(&mut self, load: &mut Load, position: usize, cell: &Cell, beside: &mut Beside) {
        let column = self.columns[position];
        let spec = column.spec;
        let uncomputed = !self.sheet.uncomputed.is_empty() && self.sheet.uncomputed.contains(&(load.row, index(column.index)));
        let blank = text::is_blank(&cell.content);
        if uncomputed && self.formula(load, &column, cell, beside) {
            return;
        }
        if blank {
            if column.blank_is_no {
                load.set(spec.field, Entry { value: Value::YesNo(false), column: index(column.index), text: Text::default() });
            }
            return;
        }
        let seen = text::of(&cell.content);
        if spec.field == Field::Tag && column.tick.is_none() {
            return self.read_tag(load, &column, cell, &seen, beside);
        }
        if let Some(value) = column.tick {
            self.read_tick(load, &column, value, &seen, beside);
            return;
        }
        if column.contradicted {
            beside.power_said |= is_power(spec.field);
            let wrong = in_one_of_two_units(spec, &seen);
            return self.wrong(load, column.index, &seen, wrong);
        }
        if column.canonical {
            return self.read_canonical(load, position, cell, &seen);
        }
        if self.is_spare_without_cable(load.row, spec, &seen) {
            return;
        }
        let read = match cells::stands_by(&seen).filter(|_| column.of_standby) {
            Some(given) => Ok(given),
            None => self.read_figure(position, cell),
        };
        match read {
            Ok(given) => {
                let learns = is_plain_text(cell) && self.is_silent(&given);
                let values = self.put(load, &column, given, &seen, beside);
                if learns && !values.is_empty() {
                    self.known[position].learn(&seen, || values.into());
                }
            }
            Err(wrong) => {
                beside.power_said |= is_power(spec.field);
                self.wrong(load, column.index, &seen, *wrong);
            }
        }
    }

    /// A formula without a usable result; whether there is nothing more to read.
    fn formula(&mut self, load: &mut Load, column: &Column, cell: &Cell, beside: &mut Beside) -> bool {
        let nothing = matches!(cell.content, Content::Empty);
        let (code, result) =
            if nothing { (&codes::I108_FORMULA, "no stored result") } else { (&codes::I109_FORMULA_ZERO, "the stored result 0") };
        beside.power_said |= is_power(column.spec.field);
        beside.tag_said |= column.spec.field == Field::Tag;
        let seen = text::of(&cell.content).into_owned();
        let what = format!("{} holds a formula with {result}", column.spec.name);
        let cure = "open the workbook in a spreadsheet program, recalculate and save it";
        self.cell_finding(load, code, column.index, &seen, what, cure);
        nothing
    }

    pub(super) fn wrong(&mut self, load: &mut Load, column: usize, seen: &str, wrong: Wrong) {
        // A cell that sizing can do without leaves the row whole.
        let dispensable = values::DISPENSABLE.iter().any(|code| code.code == wrong.code.code);
        load.incomplete |= wrong.code.severity == Severity::Warning && !dispensable;
        self.cell_finding(load, wrong.code, column, seen, wrong.what, wrong.cure);
    }

    /// A cell below a canonical heading: strictly first, then as a sender's own.
    fn read_canonical(&mut self, load: &mut Load, position: usize, cell: &Cell, seen: &str) {
        let column = self.columns[position];
        let spec = column.spec;
        if let Some(shown) = cell.shown.filter(|shown| !spec.unit.is_empty() && shown.symbol() != spec.unit) {
            let what = format!("{} is in {}, but the number format of `{seen}` shows {}", spec.name, spec.unit, shown.symbol());
            let cure = format!("enter the value in {}, with a number format without a unit", spec.unit);
            return self.wrong(load, column.index, seen, Wrong { code: &codes::I427_UNIT_CONTRADICTS, what, cure });
        }
        if let Some(wrong) = cells::undecided_name(spec, seen) {
            return self.wrong(load, column.index, seen, wrong);
        }
        match values::read(spec, &cell.content) {
            Ok(Some(value)) => {
                let entry = Arc::new(Entry { value, column: index(column.index), text: text::kept(&cell.content) });
                if is_plain_text(cell) {
                    self.known[position].learn(seen, || [(spec.field, Arc::clone(&entry))].into());
                }
                // Another cell, such as that of the method, may have said it already.
                if load.has(spec.field) && spec.field != Field::ExMarking {
                    self.put_value(load, spec.field, &entry);
                } else {
                    load.share(spec.field, entry);
                }
            }
            Ok(None) => self.placeholder(load, &column, seen),
            Err(wrong) => match kindly::read(spec, cell, seen) {
                Some(given) => {
                    for (field, value) in given.values {
                        let entry = Entry { value, column: index(column.index), text: seen.into() };
                        self.put_value(load, field, &Arc::new(entry));
                    }
                    if let Some(open) = given.open {
                        self.wrong(load, column.index, seen, *open);
                    }
                }
                None => self.wrong(load, column.index, seen, *wrong),
            },
        }
    }

    /// Takes the values that a text had when it stood in this column before; tells whether it is known and the row has none of them yet.
    fn said_before(&mut self, load: &mut Load, position: usize, words: &str) -> bool {
        if !self.sheet.uncomputed.is_empty() {
            return false;
        }
        let Some(values) = self.known[position].find(words) else { return false };
        if values.iter().any(|(field, _)| load.has(*field)) {
            return false;
        }
        values.iter().for_each(|(field, entry)| load.share(*field, Arc::clone(entry)));
        true
    }

    /// Puts in a tag of which there is nothing to be said, as most are; whether it was one.
    fn plain_tag(&self, load: &mut Load, column: &Column, words: &str, beside: &Beside) -> bool {
        let of_tag = column.spec.field == Field::Tag && column.tick.is_none();
        if !of_tag || load.has(Field::Tag) || beside.spare || !self.sheet.uncomputed.is_empty() || !tags::says_itself(words) {
            return false;
        }
        let text = Text::from(words);
        load.set(Field::Tag, Entry { value: Value::Tags([text.clone()].into()), column: index(column.index), text });
        true
    }

    /// Puts in words of a canonical column that are taken as they stand; whether they are.
    fn plain_words(&mut self, load: &mut Load, position: usize, words: &str) -> bool {
        let column = self.columns[position];
        let field = column.spec.field;
        let plain = column.canonical && column.tick.is_none() && self.sheet.uncomputed.is_empty();
        if !plain || !values::is_plain_words(column.spec, words) || cells::undecided_name(column.spec, words).is_some() {
            return false;
        }
        let text = Text::from(words);
        let entry = Arc::new(Entry { value: Value::Text(text.clone()), column: index(column.index), text });
        self.known[position].learn(words, || [(field, Arc::clone(&entry))].into());
        load.share(field, entry);
        true
    }

    /// Whether a cell gave values and nothing to say of them or of the row.
    fn is_silent(&self, given: &Given) -> bool {
        let Given { values: _, notes, speeds, open, reverses, nothing } = given;
        let unsaid = |note: &Note| *note == Note::AsText && self.source.sheet.is_none();
        notes.iter().all(unsaid) && !speeds && open.is_none() && !reverses && !nothing
    }

    fn placeholder(&mut self, load: &Load, column: &Column, seen: &str) {
        if !matches!(column.spec.kind, Kind::Text | Kind::Tags) {
            let place = self.place(load.row as usize, column.index, seen);
            self.placeholders.entry(column.index).or_insert((0, place)).0 += 1;
        }
    }

    /// Puts what a cell gave into the row; the values with their fields.
    fn put(
        &mut self,
        load: &mut Load,
        column: &Column,
        given: Given,
        seen: &str,
        beside: &mut Beside,
    ) -> Vec<(Field, Arc<Entry>)> {
        let mut values = Vec::with_capacity(given.values.len());
        for note in given.notes {
            if note == Note::AsText && self.source.sheet.is_none() {
                continue;
            }
            let place = self.place(load.row as usize, column.index, seen);
            if note == Note::Grouped {
                let what = format!("`{}` has a mark between thousands, which was left out", text::shortened(seen));
                self.findings.push(Finding::new(&codes::I403_THOUSANDS, what).at(place));
                continue;
            }
            self.notes.entry((column.index, note)).or_insert((0, place)).0 += 1;
        }
        if given.nothing {
            self.placeholder(load, column, seen);
        }
        if given.speeds {
            beside.speeds = Some(column.index);
        }
        if given.reverses {
            beside.reverses = Some(column.index);
        }
        for (field, value) in given.values {
            // A column of the winding's voltages says them better than the cell of the supply.
            if field == Field::MotorVoltages && column.spec.field != field && load.has(field) {
                continue;
            }
            let entry = Arc::new(Entry { value, column: index(column.index), text: fold::tidy(seen).into() });
            if field == Field::Connection && column.spec.field != field {
                beside.neutral = Some(entry);
                continue;
            }
            self.put_value(load, field, &entry);
            values.push((field, entry));
        }
        if let Some(open) = given.open {
            beside.power_said |= is_power(column.spec.field);
            self.wrong(load, column.index, seen, *open);
        }
        values
    }

    /// Texts of several columns join; a supply cell yields to columns of voltage, phases and frequency, and must not contradict them.
    pub(super) fn put_value(&mut self, load: &mut Load, field: Field, entry: &Arc<Entry>) {
        let Some(earlier) = load.entry(field).cloned() else {
            return load.share(field, Arc::clone(entry));
        };
        let (text, column) = (&entry.text, entry.column as usize);
        // What a repeated column says otherwise is told of the row as a whole.
        if self.repeated.iter().any(|(_, repeated)| repeated.index == column) {
            return;
        }
        match (&earlier.value, &entry.value) {
            (Value::Text(_), Value::Text(_)) if field == Field::MotorVoltages => load.share(field, Arc::clone(entry)),
            (Value::Text(one), Value::Text(other)) => {
                let mark = if field == Field::Description { " " } else { "; " };
                let joined = Text::from(format!("{one}{mark}{other}"));
                load.set(field, Entry { value: Value::Text(joined.clone()), text: joined, ..earlier });
            }
            (one, other) if one == other => {}
            (Value::Number(_), Value::Number(_)) if matches!(field, Field::VoltageV | Field::Phases | Field::FrequencyHz) => {
                let what = format!(
                    "{} reads `{text}` here and `{}` in column {}",
                    field.spec().name,
                    earlier.text,
                    column_letters(earlier.column)
                );
                self.cell_finding(load, &codes::I117_SUPPLY_CONTRADICTS, column, text, what, "correct one of the two");
            }
            (Value::YesNo(one), Value::YesNo(_)) => {
                let what = format!(
                    "{} is {} in column {} and otherwise here, by `{}`",
                    field.spec().name,
                    if *one { "yes" } else { "no" },
                    column_letters(earlier.column),
                    text::shortened(text)
                );
                self.cell_finding(load, &codes::I203_CELLS_DIFFER, column, text, what, "correct one of the two");
            }
            (Value::Number(one), Value::Number(other))
                if (field == Field::RatedPowerKw || self.unit_of(earlier.column) != self.unit_of(entry.column))
                    && one_value(*one, *other) =>
            {
                // Where one quantity stands in two units, the figure that was not converted counts.
                if self.is_converted(earlier.column, field) && !self.is_converted(entry.column, field) {
                    load.share(field, Arc::clone(entry));
                }
            }
            (Value::Number(_), Value::Number(_)) if is_power(field) => {
                let what = format!(
                    "{} reads `{text}` here and `{}` in column {}",
                    field.spec().name,
                    earlier.text,
                    column_letters(earlier.column)
                );
                self.cell_finding(load, &codes::I419_POWERS_DIFFER, column, text, what, "correct one of the two");
            }
            (Value::Choice(one), Value::Choice(other)) if is_one_class(one, other) => {}
            _ => {
                let what = format!(
                    "{} reads `{}` in column {} and otherwise here, by `{}`",
                    field.spec().name,
                    text::shortened(&earlier.text),
                    column_letters(earlier.column),
                    text::shortened(text)
                );
                self.cell_finding(load, &codes::I203_CELLS_DIFFER, column, text, what, "correct one of the two");
            }
        }
    }

    fn unit_of(&self, column: u32) -> Option<&'static str> {
        self.columns.iter().find(|other| index(other.index) == column).map(unit_of)
    }

    /// Whether figures of a column were converted into the unit of a field.
    fn is_converted(&self, column: u32, field: Field) -> bool {
        self.unit_of(column).is_some_and(|unit| unit != field.spec().unit)
    }

    fn read_tag(&mut self, load: &mut Load, column: &Column, cell: &Cell, seen: &str, beside: &mut Beside) {
        match &cell.content {
            Content::Boolean(_) => return,
            Content::Error(error) => {
                beside.tag_said = true;
                let Err(wrong) = values::error_cell(column.spec, error) else { return };
                return self.wrong(load, column.index, seen, *wrong);
            }
            Content::Date(date) => {
                beside.tag_said = true;
                let Err(wrong) = values::a_date(column.spec, &date.text, None) else { return };
                return self.wrong(load, column.index, seen, *wrong);
            }
            _ => {}
        }
        let mut text = Text::from(fold::plain_hyphens(&fold::tidy(seen)));
        if (beside.spare && skip::says_spare(&text)) || (!self.plain && (cells::is_nothing(&text) || cells::is_open(&text))) {
            return;
        }
        if values::check_characters(column.spec, &text).is_ok()
            && let Some(letter) = text::look_alike(&text)
        {
            let what = format!("tag holds the letter {letter} (U+{:04X}), which only looks like a Latin one", u32::from(letter));
            beside.tag_said = true;
            return self.cell_finding(load, &codes::I110_CHARACTERS, column.index, seen, what, "type the tag anew");
        }
        let bare = text.trim_end_matches(shown::is_mark);
        if bare.len() < text.trim_end().len() && !bare.is_empty() {
            let what = format!("the footnote mark of `{}` was left out of the tag", text::shortened(&text));
            self.cell_finding(load, &codes::I415_FOOTNOTE_MARK, column.index, seen, what, "");
            text = bare.into();
        }
        if let Some(earlier) = load.entry(Field::Tag) {
            text = format!("{} {text}", earlier.text).into();
        }
        match values::read(column.spec, &Content::Text(text.clone())) {
            Ok(Some(value)) => load.set(
                Field::Tag,
                Entry { value, column: load.entry(Field::Tag).map_or(index(column.index), |entry| entry.column), text },
            ),
            Ok(None) => {}
            Err(wrong) => {
                beside.tag_said = true;
                self.wrong(load, column.index, seen, *wrong);
            }
        }
    }

    /// An equipped spare way gets a tag of its own.
    fn spare(&mut self, load: &mut Load, counters: &mut Counters) {
        let board = load.text(Field::Board).unwrap_or_default().to_owned();
        let tag_column =
            self.columns.iter().find(|column| column.spec.field == Field::Tag).map_or(0, |column| index(column.index));
        let running = Entry { value: Value::Choice("spare"), column: tag_column, text: Text::new_static("spare") };
        load.set(Field::Running, running);
        if load.entry(Field::Tag).is_none() {
            let count = counters.spares.entry(board.clone()).or_default();
            *count += 1;
            let tag = if board.is_empty() { format!("SPARE {count}") } else { format!("SPARE {board}/{count}") };
            let tag = Text::from(tag);
            load.set(Field::Tag, Entry { value: Value::Tags([tag.clone()].into()), column: tag_column, text: tag });
        }
    }

    fn check_tag(&mut self, load: &mut Load, beside: &Beside) {
        let column = self.columns.iter().find(|column| column.spec.field == Field::Tag).map_or(0, |column| column.index);
        let one_machine = |entry: &Entry| {
            matches!(&entry.value, Value::Tags(tags) if tags.len() == 1)
                && (beside.spare || !tags::looks_like_several(&entry.text))
                && tag_counts::beside(&entry.text).is_none()
        };
        if load.entry(Field::Tag).is_some_and(one_machine) {
            return;
        }
        let Some(entry) = load.entry(Field::Tag).cloned() else { return self.missing_tag(load, column, beside) };
        let Value::Tags(machines) = &entry.value else { return };
        let column = entry.column as usize;
        if let ([_], true) = (machines.as_ref(), tags::looks_like_several(&entry.text) && !beside.spare) {
            let what = format!("the tag `{}` was read as one tag", text::shortened(&entry.text));
            let cure = "write each tag in full, parted by commas, if several machines are meant";
            self.cell_finding(load, &codes::I115_TAG_LIST, column, &entry.text, what, cure);
        }
        match machines.len() {
            0 | 1 => self.counted_tag(load, &entry),
            _ => self.several_machines(load, &entry, machines),
        }
    }
}

impl Table<'_> {
    /// A row without a tag is rejected; nothing more is said where its cell has its error already.
    fn missing_tag(&mut self, load: &mut Load, column: usize, beside: &Beside) {
        let letters = column_letters(index(column));
        let at_tag = |finding: &Finding| {
            let place = finding.place.as_ref();
            place.is_some_and(|place| place.row == Some(load.row + 1) && place.column.as_ref() == Some(&letters))
        };
        let last = || self.findings.iter().rev().take(16);
        let said = load.rejected && last().any(|finding| finding.severity == Severity::Error && at_tag(finding));
        load.rejected = true;
        if !said && !beside.tag_said {
            let seen = self.sheet.grid.rows.get(load.row as usize).unwrap_or_default().seen(column);
            let cure = "enter the tag of the equipment; remove the row if it is no load";
            self.cell_finding(load, &codes::I112_TAG_MISSING, column, &seen, "the row has no tag", cure);
        }
    }

    /// A tag that names several machines is told as what it stands for, and held against the quantity.
    fn several_machines(&mut self, load: &mut Load, entry: &Entry, machines: &[Text]) {
        let (column, tag, number) = (entry.column as usize, text::shortened(&entry.text), machines.len());
        // `M1-M4` may have been meant as one tag, under canonical headings too.
        if !self.plain || tags::whole_ends(&entry.text).is_some() {
            let what = format!("the tag `{tag}` stands for {number} machines: {}", text::shortened(&machines.join(", ")));
            self.cell_finding(load, &codes::I416_TAGS_EXPANDED, column, &entry.text, what, "");
        }
        let of_quantity = |column: &&Column| column.spec.field == Field::Quantity;
        match load.count(Field::Quantity) {
            Some(quantity) if quantity as usize != number => {
                let what = format!("quantity is {quantity} but the tag `{tag}` names {number} machines");
                let code = if self.plain { &codes::L101_QUANTITY } else { &codes::I425_QUANTITY_DIFFERS };
                load.rejected |= code.severity == Severity::Error;
                let place = load.place_of(Field::Quantity);
                self.findings.push(Finding::new(code, what).at(place).cure("correct the quantity or the tag"));
            }
            None if !self.plain => {
                if let Some(column) = self.columns.iter().find(of_quantity).map(|column| column.index) {
                    let what = format!("the quantity is that of the tags: {number}");
                    self.cell_finding(load, &codes::I417_QUANTITY_FROM_TAGS, column, "", what, "");
                }
            }
            _ => {}
        }
    }

    /// A count beside the tag, where no quantity says the same.
    fn counted_tag(&mut self, load: &mut Load, entry: &Entry) {
        let Some((count, tag)) = tag_counts::beside(&entry.text) else { return };
        let stated = load.count(Field::Quantity);
        if stated == Some(count) {
            return;
        }
        let quantity = stated.map_or_else(|| "no quantity is stated".to_owned(), |stated| format!("the quantity is {stated}"));
        let what = format!("the tag `{}` seems to count {count} machines, and {quantity}", text::shortened(&entry.text));
        let cure = format!("write {} as the tag, and the number of machines into a column of quantities", text::shortened(tag));
        self.cell_finding(load, &codes::I115_TAG_LIST, entry.column as usize, &entry.text, what, cure);
    }
}

/// Whether nothing but its text says what a cell holds: a number or a share of a workbook may differ from what shows it.
fn is_plain_text(cell: &Cell) -> bool {
    matches!(cell.content, Content::Text(_)) && !cell.percent
}

/// Whether a text begins with what can be seen and is no ditto mark: as most texts.
fn speaks_for_itself(text: &str) -> bool {
    // Ditto marks begin with one of these or with what is not ASCII.
    let may_repeat = |first: u8| matches!(first, b'"' | b'\'' | b',' | b'd' | b'D' | b'i' | b'I');
    text.bytes().next().is_some_and(|first| first.is_ascii_graphic() && !(may_repeat(first) && is_ditto(text)))
}

pub(super) fn is_power(field: Field) -> bool {
    matches!(
        field,
        Field::RatedPowerKw
            | Field::RatedPowerHp
            | Field::RatedPowerKva
            | Field::ReactivePowerKvar
            | Field::FullLoadCurrentA
            | Field::MinimumCircuitAmpacityA
    )
}

/// Whether two classes of efficiency are one, in the words of the two standards.
fn is_one_class(one: &str, other: &str) -> bool {
    EfficiencyClass::from_word(one).is_some_and(|class| EfficiencyClass::from_word(other) == Some(class))
}
