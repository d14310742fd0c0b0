//! The meaning of a table's columns: fields, ticks, units; columns that mean the same, and those that nobody knows.

use std::collections::HashMap;

use super::{Table, index};
use crate::finding::{Finding, codes, column_letters};
use crate::intake::book_units::is_length;
use crate::intake::headings::{self, Meaning};
use crate::intake::mapping::{self, Column, Mapping};
use crate::intake::settle::one_value;
use crate::intake::units::Unit;
use crate::intake::{Row, cells, duty, fold, other_lists, text};
use crate::load::{Field, Kind, Value};

impl Table<'_> {
    pub(super) fn read_headings(&mut self) {
        let decided = mapping::decide(self.layout, &self.sheet.grid);
        for (column, meaning) in decided.into_iter().enumerate() {
            let heading = self.layout.headings.get(column).cloned().unwrap_or_default();
            if heading.is_empty() {
                self.pass_by_without_heading(column);
                continue;
            }
            match meaning {
                Some(Meaning::Field(field)) => self.take(column, &heading, field),
                Some(Meaning::Tick(field, value)) => {
                    let tick = Column { tick: Some(value), ..self.column(column, field) };
                    self.report(&tick, &heading, format!("ticked for {value}"));
                    self.columns.push(tick);
                }
                Some(Meaning::LeftOut) => {
                    let conversion = mapping::ON_PURPOSE.to_owned();
                    self.mappings.push(Mapping { conversion, ..self.unread(column, &heading) });
                }
                Some(Meaning::Unused) | None => self.pass_by(column, &heading),
            }
            if self.sheet.grid.hidden_columns.contains(&index(column)) {
                let what = format!("column {} is hidden and was read like the others", column_letters(index(column)));
                let place = self.place(self.layout.header, column, &heading);
                self.findings.push(Finding::new(&codes::I409_HIDDEN_COLUMN, what).at(place));
            }
        }
        self.mappings.sort_by_key(|mapping| mapping.column);
        self.number_headings();
        self.pass_by_beyond_headings();
        self.say_unread_figures();
        if !self.columns.iter().any(|column| column.spec.field == Field::StartingMethod) {
            self.say_prices();
        }
    }

    /// Numbers the columns that are not read and have one heading.
    fn number_headings(&mut self) {
        let mut seen: HashMap<&str, u32> = HashMap::new();
        for mapping in self.mappings.iter_mut().filter(|mapping| mapping.field.is_none()) {
            let Mapping { heading, before, .. } = mapping;
            let number = seen.entry(heading.as_str()).or_default();
            *before = *number;
            *number += 1;
        }
    }

    fn column(&self, column: usize, field: Field) -> Column {
        let found = self.layout.recognised.get(column).and_then(Option::as_ref);
        Column {
            index: column,
            spec: field.spec(),
            tick: None,
            unit: self.unit_of_column(column, field),
            canonical: self.plain && found.is_some_and(|found| found.canonical == Some(field)),
            contradicted: false,
            blank_is_no: false,
            of_standby: field == Field::Running
                && self.layout.headings.get(column).is_some_and(|heading| duty::asks_for_standby(heading)),
        }
    }

    /// The unit of a column: that of the row of units, of its spelling, or of a word anywhere in its heading.
    fn unit_of_column(&self, column: usize, field: Field) -> Option<Unit> {
        let found = self.layout.recognised.get(column).and_then(Option::as_ref);
        let named = || {
            let measured = matches!(field.spec().unit, "kW" | "hp" | "A" | "m");
            let heading =
                self.layout.headings.get(column).filter(|_| measured && found.is_some_and(|found| found.canonical.is_none()))?;
            headings::unit_named(heading, field)
        };
        self.layout.units.get(column).copied().flatten().or_else(|| found.and_then(|found| found.unit)).or_else(named)
    }

    fn take(&mut self, column: usize, heading: &str, field: Field) {
        let field = if field == Field::Running && self.counts_standby(column) { Field::StandbyCount } else { field };
        let mut taken = self.column(column, field);
        let stated = self.layout.recognised.get(column).and_then(Option::as_ref).and_then(|found| found.unit);
        let unit_row = self.layout.units.get(column).copied().flatten();
        if let (Some(stated), Some(row)) = (stated, unit_row)
            && stated != row
            && !matches!(row, Unit::Other | Unit::YesNo | Unit::Pieces)
            && stated.is_power() == row.is_power()
            && (brackets(heading) || stated.is_power())
        {
            let what = format!("the heading says {} and the row of units {}", stated.symbol(), row.symbol());
            let place = self.place(self.layout.header, column, heading);
            self.findings.push(Finding::new(&codes::I427_UNIT_CONTRADICTS, what).at(place).cure("correct one of the two"));
            taken.contradicted = true;
        }
        let first = self.columns.iter().find(|other| other.spec.field == field && other.tick.is_none()).copied();
        if let Some(first) = first
            && !self.joins(first.index, column, field)
        {
            match self.beside(&first, &taken) {
                Beside::Instead => self.give_way(&first),
                Beside::Silent => return self.pass_by(column, heading),
                Beside::Further => {}
                Beside::Contrary => {
                    self.say_twice(&first, &taken, heading);
                    if !is_measured(&taken) {
                        return;
                    }
                }
            }
        }
        if matches!(taken.spec.kind, Kind::YesNo) && !taken.canonical {
            let ticks: Vec<bool> = self
                .body()
                .filter(|row| !row.is_blank(column))
                .take(200)
                .map(|row| duty::yes_no(&row.seen(column)) == Some(true))
                .collect();
            taken.blank_is_no = !ticks.is_empty() && ticks.iter().all(|tick| *tick);
        }
        let conversion = match (field, taken.unit) {
            (Field::RatedPowerKw | Field::AbsorbedPowerKw, Some(Unit::MetricHorsepower | Unit::Watt)) => "converted to kW",
            (Field::AbsorbedPowerKw, Some(Unit::Horsepower)) => "converted to kW",
            (Field::VoltageV, Some(Unit::Kilovolt)) => "converted to V",
            (Field::AmbientC, Some(Unit::Fahrenheit)) => "converted to °C",
            (Field::CableLengthM, Some(Unit::Foot)) => "kept in feet",
            _ => "",
        };
        let unstated = taken.unit.is_none() && !taken.canonical;
        if unstated && field == Field::RatedPowerKw && self.holds_horsepower(column) {
            taken.unit = Some(Unit::Horsepower);
            let what = "no unit is stated, and some cells are in horsepower: all of the column were taken as hp".to_owned();
            self.say_unit_doubtful(column, heading, what);
        }
        if taken.unit.is_none()
            && !taken.canonical
            && (matches!(field, Field::RatedPowerKw | Field::AbsorbedPowerKw) || is_length(field))
        {
            let taken = if is_length(field) { "m" } else { "kW" };
            let what = format!("neither the heading nor a row of units says a unit: figures without one are taken as {taken}");
            if self.is_customary() {
                let other = if is_length(field) { "feet" } else { "horsepower" };
                self.say_unit_doubtful(column, heading, format!("{what}, and the schedule seems to be one in {other}"));
            }
            let place = self.place(self.layout.header, column, heading);
            self.findings.push(Finding::new(&codes::I426_UNIT_ASSUMED, what).at(place).cure("write the unit into the heading"));
        }
        if unstated && field == Field::AmbientC && self.is_customary() {
            let what = "neither the heading nor a row of units says a unit: figures without one are taken as °C, and the schedule seems to be one in °F";
            self.say_unit_doubtful(column, heading, what.to_owned());
        }
        self.report(&taken, heading, conversion.to_owned());
        if field == Field::RowRevision && !taken.canonical {
            let what = format!("the column `{}` is kept as the sender's own revision mark", text::shortened(heading));
            let place = self.place(self.layout.header, column, heading);
            self.findings.push(Finding::new(&codes::I411_COLUMN_KEPT, what).at(place));
        }
        self.columns.push(taken);
    }

    /// Columns whose texts belong together: parts of a tag, a text and its addition, remarks.
    fn joins(&self, first: usize, column: usize, field: Field) -> bool {
        // The zone of a place and the marking of the motor in it both say that it is one.
        if field == Field::ExMarking {
            let strict = |column: &Column| column.index == first && column.canonical;
            return !self.columns.iter().any(strict) && !self.column(column, field).canonical;
        }
        if self.plain {
            return false;
        }
        // One rated power in kilowatts and in metric horsepower, which is kilowatts too: the row holds them against each other.
        if field == Field::RatedPowerKw {
            let metric = |column: usize| self.column(column, field).unit == Some(Unit::MetricHorsepower);
            return metric(first) != metric(column);
        }
        let word = |column: usize| self.layout.headings.get(column).and_then(|heading| fold::words(heading).into_iter().next());
        match field {
            Field::Notes | Field::InterlockNote | Field::FeedbackNote => true,
            // Two columns of one and the same heading are those of two tables beside each other.
            Field::Tag | Field::Description => {
                word(first) == word(column) && self.layout.headings.get(first) != self.layout.headings.get(column)
            }
            _ => false,
        }
    }

    /// What a column is beside the first of its field.
    fn beside(&self, first: &Column, second: &Column) -> Beside {
        let texts = |row: Row<'_>| [first, second].map(|column| fold::tidy_of(row.seen(column.index)).into_owned());
        let formulas = self.sheet.uncomputed.iter().any(|(_, column)| *column == index(first.index));
        let empty = !formulas && self.body().all(|row| row.is_blank(first.index));
        if !self.plain && empty && self.body().any(|row| !row.is_blank(second.index)) {
            return Beside::Instead;
        }
        let one_unit = unit_of(first) == unit_of(second);
        let adds = || self.body().map(texts).any(|[one, other]| !other.is_empty() && other != one);
        if !is_measured(second) || (self.plain && one_unit) {
            return if self.plain || adds() { Beside::Contrary } else { Beside::Silent };
        }
        if one_unit && !adds() {
            return Beside::Silent;
        }
        if self.body().any(|row| contradict(first, second, row)) { Beside::Contrary } else { Beside::Further }
    }

    /// An empty column is passed by where a later one holds the values of its field: nothing of its heading holds for them.
    fn give_way(&mut self, empty: &Column) {
        let letters = column_letters(index(empty.index));
        let of_heading = |finding: &Finding| {
            finding.place.as_ref().is_some_and(|place| place.column.as_ref() == Some(&letters))
                && [codes::I426_UNIT_ASSUMED.code, codes::I449_UNIT_DOUBTFUL.code, codes::I411_COLUMN_KEPT.code]
                    .contains(&finding.code.as_str())
        };
        self.findings.retain(|finding| !of_heading(finding));
        self.columns.retain(|column| column.index != empty.index);
        self.mappings.retain(|mapping| mapping.column != index(empty.index));
        let heading = self.layout.headings.get(empty.index).cloned().unwrap_or_default();
        self.pass_by(empty.index, &heading);
    }

    fn say_twice(&mut self, first: &Column, second: &Column, heading: &str) {
        self.repeated.push((first.index, *second));
        let letters = column_letters(index(first.index));
        let what = format!("column {letters} is `{}` already", second.spec.name);
        let place = self.place(self.layout.header, second.index, heading);
        self.findings.push(
            Finding::new(&codes::I202_HEADING_TWICE, what)
                .at(place)
                .why(format!("column {letters} is read; rows in which the two differ are not sized"))
                .cure("keep one of the two columns, give the other a heading of its own, or leave it out: --map 'HEADING=none', or \"\" in the table [columns] of the basis"),
        );
        if !is_measured(second) {
            let conversion = format!("held against column {letters}");
            self.mappings.push(Mapping { conversion, ..self.unread(second.index, heading) });
        }
    }

    fn unread(&self, column: usize, heading: &str) -> Mapping {
        Mapping {
            sheet: self.source.sheet.clone(),
            column: index(column),
            heading: heading.to_owned(),
            field: None,
            before: 0,
            unit: "",
            conversion: String::new(),
        }
    }

    fn pass_by(&mut self, column: usize, heading: &str) {
        let hint = headings::suggestion(heading).map(|name| format!("if `{name}` is meant, write it so")).unwrap_or_default();
        let what = format!("the column `{}` is carried through but not read", text::shortened(heading));
        let place = self.place(self.layout.header, column, heading);
        self.findings.push(Finding::new(&codes::I201_HEADING_UNKNOWN, what).at(place).cure(hint));
        self.mappings.push(self.unread(column, heading));
    }

    /// A list of offers has tags, powers and currents too, and is bought by somebody else.
    fn say_prices(&mut self) {
        let headings: Vec<&str> = self.layout.headings.iter().map(String::as_str).collect();
        let Some(heading) = other_lists::price_among(&headings).map(str::to_owned) else { return };
        let column = headings.iter().position(|one| *one == heading).unwrap_or_default();
        let place = self.place(self.layout.header, column, &heading);
        self.findings.push(
            Finding::new(
                &codes::I491_PRICES,
                format!(
                    "`{}` is a heading of a list of prices, and none names a starting method: its rows are read as loads",
                    text::shortened(&heading)
                ),
            )
            .at(place)
            .why("articles of an offer would count as loads of their board and be bought with their starters")
            .cure("leave the list out (--sheet names the sheets that are read), or add a column for the starting method"),
        );
    }

    fn say_unit_doubtful(&mut self, column: usize, heading: &str, what: String) {
        let place = self.place(self.layout.header, column, heading);
        let cure = "write the unit into the heading";
        self.findings.push(Finding::new(&codes::I449_UNIT_DOUBTFUL, what).at(place).cure(cure));
    }

    fn report(&mut self, column: &Column, heading: &str, conversion: String) {
        self.mappings.push(Mapping {
            sheet: self.source.sheet.clone(),
            column: index(column.index),
            heading: heading.to_owned(),
            field: Some(column.spec.field),
            before: 0,
            unit: column.unit.map_or(column.spec.unit, Unit::symbol),
            conversion,
        });
    }
}

/// A column whose field an earlier one has already.
enum Beside {
    /// The earlier one is empty: this one is read instead.
    Instead,
    /// It says nothing that the earlier one does not say.
    Silent,
    /// It is read too: in another unit, or where the earlier one is blank.
    Further,
    /// Rows differ.
    Contrary,
}

/// Whether a column holds figures, whose values can be compared whatever their units.
pub(in crate::intake) fn is_measured(column: &Column) -> bool {
    matches!(column.spec.kind, Kind::Number(..) | Kind::Count(..))
}

/// The unit of the figures of a column.
pub(in crate::intake) fn unit_of(column: &Column) -> &'static str {
    column.unit.filter(|unit| unit.is_measure()).map_or(column.spec.unit, Unit::symbol)
}

/// Whether two columns of one field state values in a row that are not one value.
pub(in crate::intake) fn contradict(first: &Column, second: &Column, row: Row<'_>) -> bool {
    let read = |column: &Column| {
        let cell = row.get(column.index).filter(|cell| !text::is_blank(&cell.content))?;
        cells::read(column.spec, column.unit, &cell).ok().map(|given| given.values)
    };
    let (Some(one), Some(other)) = (read(first), read(second)) else { return false };
    let one_unit = unit_of(first) == unit_of(second);
    let differ = |one: &Value, other: &Value| match (one, other) {
        (Value::Number(one), Value::Number(other)) if !one_unit => !one_value(*one, *other),
        _ => one != other,
    };
    other.iter().any(|(field, value)| one.iter().any(|(named, earlier)| named == field && differ(earlier, value)))
}

fn brackets(heading: &str) -> bool {
    heading.contains(['(', '['])
}
