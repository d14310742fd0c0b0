//! The meaning of a table's columns: fields, ticks, units; columns that mean the same, and those that nobody knows.

use std::borrow::Cow;

use super::{Table, index};
use crate::finding::{Finding, codes, column_letters};
use crate::intake::headings::{self, Meaning};
use crate::intake::mapping::{self, Column, Mapping};
use crate::intake::units::Unit;
use crate::intake::{Row, duty, fold, text};
use crate::load::{Field, FieldSpec, Kind};

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
                Some(Meaning::Tick(method)) => {
                    let tick = Column { tick: Some(method), ..self.column(column, Field::StartingMethod) };
                    self.report(&tick, &heading, format!("ticked for {method}"));
                    self.columns.push(tick);
                }
                Some(Meaning::Unused) | None => self.pass_by(column, &heading),
            }
            if self.sheet.grid.hidden_columns.contains(&index(column)) {
                let what = format!("column {} is hidden and was read like the others", column_letters(index(column)));
                let place = self.place(self.layout.header, column, &heading);
                self.findings.push(Finding::new(&codes::I409_HIDDEN_COLUMN, what).at(place));
            }
        }
        self.pass_by_beyond_headings();
        self.say_unread_figures();
    }

    fn column(&self, column: usize, field: Field) -> Column {
        let found = self.layout.recognised.get(column).and_then(Option::as_ref);
        Column {
            index: column,
            spec: field.spec(),
            tick: None,
            unit: self.layout.units.get(column).copied().flatten().or_else(|| found.and_then(|found| found.unit)),
            canonical: self.plain && found.is_some_and(|found| found.canonical == Some(field)),
            blank_is_no: false,
            of_standby: field == Field::Running
                && self.layout.headings.get(column).is_some_and(|heading| duty::asks_for_standby(heading)),
        }
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
        }
        let first = self.columns.iter().find(|other| other.spec.field == field && other.tick.is_none()).cloned();
        if let Some(first) = first
            && !self.joins(first.index, column, field)
        {
            return self.twice(first.index, column, heading, taken.spec);
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
            && matches!(field, Field::RatedPowerKw | Field::AbsorbedPowerKw | Field::CableLengthM)
        {
            let taken = if field == Field::CableLengthM { "m" } else { "kW" };
            let what = format!("neither the heading nor a row of units says a unit: figures without one are taken as {taken}");
            if self.is_customary() {
                let other = if field == Field::CableLengthM { "feet" } else { "horsepower" };
                self.say_unit_doubtful(column, heading, format!("{what}, and the schedule seems to be one in {other}"));
            }
            let place = self.place(self.layout.header, column, heading);
            self.findings.push(Finding::new(&codes::I426_UNIT_ASSUMED, what).at(place).cure("write the unit into the heading"));
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

    fn twice(&mut self, first: usize, column: usize, heading: &str, spec: &'static FieldSpec) {
        fn seen(row: Row<'_>, column: usize) -> Cow<'_, str> {
            fold::tidy_of(row.seen(column))
        }
        let differs = self.body().any(|row| !seen(row, column).is_empty() && seen(row, column) != seen(row, first));
        let first_is_empty = self.body().all(|row| seen(row, first).is_empty());
        if !self.plain && !differs {
            return self.pass_by(column, heading);
        }
        if !self.plain && first_is_empty {
            if let Some(tag_column) = self.columns.iter_mut().find(|column| column.index == first) {
                tag_column.index = column;
            }
            return;
        }
        self.repeated.push((column, first, spec));
        let letters = column_letters(index(first));
        let what = format!("column {letters} is `{}` already", spec.name);
        let place = self.place(self.layout.header, column, heading);
        self.findings.push(
            Finding::new(&codes::I202_HEADING_TWICE, what)
                .at(place)
                .why(format!("column {letters} is read; rows in which the two differ are not sized"))
                .cure("keep one of the two columns, or give the other a heading of its own"),
        );
    }

    fn pass_by(&mut self, column: usize, heading: &str) {
        let hint = headings::suggestion(heading).map(|name| format!("if `{name}` is meant, write it so")).unwrap_or_default();
        let what = format!("the column `{}` is carried through but not read", text::shortened(heading));
        let place = self.place(self.layout.header, column, heading);
        self.findings.push(Finding::new(&codes::I201_HEADING_UNKNOWN, what).at(place).cure(hint));
        self.mappings.push(Mapping {
            sheet: self.source.sheet.clone(),
            column: index(column),
            heading: heading.to_owned(),
            field: None,
            unit: "",
            conversion: String::new(),
        });
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
            unit: column.unit.map_or(column.spec.unit, Unit::symbol),
            conversion,
        });
    }
}

fn brackets(heading: &str) -> bool {
    heading.contains(['(', '['])
}
