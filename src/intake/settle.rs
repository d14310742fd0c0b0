//! Settles what only a row as a whole says: one method, one power, the kind of load, and what is missing.

use std::sync::Arc;

use super::cells::Note;
use super::mapping::Column;
use super::row::{Beside, is_power};
use super::table::{Table, index};
use super::tags::{self, Tags};
use super::{Row, duty, fold, powers, remarks, rows, text};
use crate::basis::LISTED;
use crate::finding::{Finding, codes, column_letters};
use crate::load::{Entry, Field, Load, SAY_WHAT_IT_DRAWS, Text, Value};
use crate::quantity::KILOWATTS_PER_HORSEPOWER;

/// Slack of the comparison of a power in two units: more than the rounding of standard outputs, 0.75 kW for 1 hp and the like.
const MISMATCH: f64 = 0.05;

/// Whether two figures of one unit are one value within the rounding of standard outputs and conversions.
pub(super) fn one_value(one: f64, other: f64) -> bool {
    powers::within(one, other, MISMATCH)
}

impl Table<'_> {
    /// Holds the values of a row against each other.
    pub(super) fn settle(&mut self, load: &mut Load, beside: &Beside, row: Row<'_>) {
        self.settle_ticks(load, beside);
        self.settle_method(load, beside);
        self.settle_counts(load);
        self.settle_powers(load);
        self.settle_packaged(load);
        self.kind_of_load(load, row);
        settle_neutral(load, beside);
        self.missing_power(load, beside);
    }

    /// A tick below a heading that is a value of a field; of starting methods the whole row is looked at later.
    pub(super) fn read_tick(&mut self, load: &mut Load, column: &Column, value: &'static str, seen: &str, beside: &mut Beside) {
        if duty::yes_no(seen) != Some(true) {
            return;
        }
        let field = column.spec.field;
        if field == Field::StartingMethod {
            beside.ticked.push((column.index, value));
            return;
        }
        let entry = Entry { value: Value::Choice(value), column: index(column.index), text: fold::tidy(seen).into() };
        self.put_value(load, field, &Arc::new(entry));
    }

    fn settle_ticks(&mut self, load: &mut Load, beside: &Beside) {
        let columns: Vec<usize> = self
            .columns
            .iter()
            .filter(|column| column.tick.is_some() && column.spec.field == Field::StartingMethod)
            .map(|column| column.index)
            .collect();
        let Some(&first) = columns.first() else { return };
        let stated = load.text(Field::StartingMethod).map(str::to_owned);
        match beside.ticked.as_slice() {
            [] if columns.len() > 1 && stated.is_none() => {
                let what = "no starting method is ticked";
                load.incomplete = true;
                self.cell_finding(load, &codes::I418_UNDECIDED, first, "", what, "tick one of the columns");
            }
            [] => {}
            [(column, method)] => match stated {
                None => load.set(
                    Field::StartingMethod,
                    Entry { value: Value::Choice(method), column: index(*column), text: Text::new_static(method) },
                ),
                Some(stated) if stated != *method => {
                    let what = format!("{method} is ticked but the row says {stated}");
                    self.cell_finding(load, &codes::I423_METHODS_CONFLICT, *column, method, what, "keep one of the two");
                }
                Some(_) => {}
            },
            [(column, method), others @ ..] => {
                let others: Vec<String> = others
                    .iter()
                    .map(|(column, method)| format!("{method} in column {}", column_letters(index(*column))))
                    .collect();
                let what = format!("{method} is ticked, and {} too", others.join(", "));
                self.cell_finding(load, &codes::I423_METHODS_CONFLICT, *column, "x", what, "tick one method");
            }
        }
    }

    fn settle_method(&mut self, load: &mut Load, beside: &Beside) {
        if let Some(column) = beside.reverses {
            let seen = load.entry(Field::StartingMethod).map(|entry| entry.text.clone()).unwrap_or_default();
            match load.yes(Field::Reversing) {
                Some(false) => {
                    let what = format!(
                        "the starting method reads `{}`, which reverses, but the row says that it does not",
                        text::shortened(&seen)
                    );
                    self.cell_finding(load, &codes::I423_METHODS_CONFLICT, column, &seen, what, "correct one of the two");
                }
                Some(true) => {}
                None => load.set(Field::Reversing, Entry { value: Value::YesNo(true), column: index(column), text: seen }),
            }
        }
        let Some(entry) = load.entry(Field::StartingMethod).cloned() else {
            return self.lone_speeds(load, beside, None);
        };
        let Value::Choice(method) = entry.value else { return };
        let three_phase = matches!(method, "star-delta" | "star-delta-closed" | "autotransformer" | "part-winding");
        if three_phase && load.number(Field::Phases) == Some(1.0) {
            let what = format!("the starting method is {method}, but the supply has one phase");
            let cure = "correct the method or the number of phases";
            self.cell_finding(load, &codes::I423_METHODS_CONFLICT, entry.column as usize, &entry.text, what, cure);
        }
        self.lone_speeds(load, beside, Some(method));
    }

    /// Two values in a cell belong to two speeds, and two speeds need two values.
    fn lone_speeds(&mut self, load: &mut Load, beside: &Beside, method: Option<&'static str>) {
        let two = method.is_some_and(|method| method.starts_with("two-speed"));
        match beside.speeds {
            Some(column) if !two && (method.is_some() || !load.incomplete) => {
                let seen = self.sheet.grid.rows.get(load.row as usize).unwrap_or_default().seen(column);
                let what = format!(
                    "`{}` holds two values, but the starting method is not that of a two-speed motor",
                    text::shortened(&seen)
                );
                self.cell_finding(
                    load,
                    &codes::I101_NUMBER,
                    column,
                    &seen,
                    what,
                    "enter one value, or name the method of a two-speed motor; one power in two units bears both: 15 kW (20 hp)",
                );
            }
            None if two && load.number(Field::RatedPowerLowKw).or(load.number(Field::RatedPowerLowHp)).is_none() => {
                let power = load.entry(Field::RatedPowerKw).or(load.entry(Field::RatedPowerHp)).cloned();
                if let Some(entry) = power {
                    let said = remarks::of_power(load).map(|said| format!(": it may stand in `{said}`")).unwrap_or_default();
                    let what = format!("the motor has two speeds, but the power at the low one is not stated{said}");
                    load.incomplete = true;
                    let cure = "enter both, as in 11/2.8";
                    self.cell_finding(load, &codes::I418_UNDECIDED, entry.column as usize, &entry.text, what, cure);
                }
            }
            _ => {}
        }
    }

    fn settle_counts(&mut self, load: &mut Load) {
        let (Some(duty), Some(standby)) = (load.count(Field::DutyCount), load.count(Field::StandbyCount)) else { return };
        let machines = load.tags().len();
        let stated = load.count(Field::Quantity).map(|quantity| quantity as usize).or((machines > 1).then_some(machines));
        if load.rejected {
            return;
        }
        let Some(stated) = stated else { return self.counts_alone(load, duty, standby) };
        if stated == (duty + standby) as usize {
            return;
        }
        let at = if load.entry(Field::Quantity).is_some() { Field::Quantity } else { Field::DutyCount };
        let place = load.place_of(at);
        load.rejected = true;
        let what = format!("{duty} on duty and {standby} standby do not add up to {stated} machines");
        self.findings
            .push(Finding::new(&codes::I425_QUANTITY_DIFFERS, what).at(place).cure("correct the quantity or the counts"));
    }

    /// Counts beside one tag may say how many machines the row stands for, or of which set its one machine is.
    fn counts_alone(&mut self, load: &mut Load, duty: u32, standby: u32) {
        let Some(entry) = load.entry(Field::DutyCount).filter(|_| duty + standby > 1).cloned() else { return };
        // Beside one tag `1/1` may as well be one of one: each machine of a pair has a row then.
        if duty::is_one_of_two(&entry.text) {
            load.remove(Field::DutyCount);
            load.remove(Field::StandbyCount);
            let column = entry.column as usize;
            let place = self.place(load.row as usize, column, &entry.text);
            self.notes.entry((column, Note::Pair)).or_insert((0, place)).0 += 1;
            return;
        }
        let what = format!(
            "`{}` counts {} machines, but the row names one and states no quantity: it was read as one",
            text::shortened(&entry.text),
            duty + standby
        );
        let cure = "state the quantity; where each machine has a row of its own, write duty or standby in place of the counts";
        self.cell_finding(load, &codes::I435_COUNTS_ALONE, entry.column as usize, &entry.text, what, cure);
    }

    fn settle_powers(&mut self, load: &mut Load) {
        let (Some(kilowatts), Some(horsepower)) = (load.number(Field::RatedPowerKw), load.number(Field::RatedPowerHp)) else {
            return;
        };
        if powers::are_one_motor(kilowatts, horsepower, MISMATCH) {
            return;
        }
        let converted = horsepower * KILOWATTS_PER_HORSEPOWER;
        let place = load.place_of(Field::RatedPowerHp);
        let what = format!(
            "{} kW and {} hp are not one power: {} hp is {} kW",
            text::number_text(kilowatts),
            text::number_text(horsepower),
            text::number_text(horsepower),
            text::number_text((converted * 1e3).round() / 1e3)
        );
        self.findings.push(Finding::new(&codes::I419_POWERS_DIFFER, what).at(place).cure("correct one of the two"));
    }

    fn settle_packaged(&mut self, load: &mut Load) {
        let (Some(ampacity), Some(most)) = (load.number(Field::MinimumCircuitAmpacityA), load.number(Field::MaximumProtectionA))
        else {
            return;
        };
        if most < ampacity {
            let place = load.place_of(Field::MaximumProtectionA);
            load.rejected = true;
            let what = format!(
                "the maximum protection of {} A is below the circuit ampacity of {} A",
                text::number_text(most),
                text::number_text(ampacity)
            );
            self.findings.push(Finding::new(&codes::I102_BOUNDS, what).at(place).cure("look both up on the nameplate"));
        }
    }

    fn missing_power(&mut self, load: &mut Load, beside: &Beside) {
        if beside.power_said || SAY_WHAT_IT_DRAWS.iter().any(|field| load.entry(*field).is_some()) {
            return;
        }
        let column = self.columns.iter().find(|column| is_power(column.spec.field)).map_or(0, |column| column.index);
        let (what, cure) = if load.text(Field::Running) == Some("spare") {
            (
                "a spare way that states neither power nor current",
                "enter the power that it is equipped for; remove the row if it is empty",
            )
        } else {
            ("the row states neither power nor current", "enter the rated power; remove the row if it is no load")
        };
        let said = remarks::of_power(load).map(|said| format!(": it may stand in `{said}`")).unwrap_or_default();
        let what = format!("{what}{said}");
        self.cell_finding(load, &codes::I424_NO_POWER, column, "", what, cure);
    }
}

/// A neutral that the supply names goes to the load, unless a column of its own says how it is connected. A motor of three phases has
/// none: there the text speaks of the system.
fn settle_neutral(load: &mut Load, beside: &Beside) {
    let Some(entry) = beside.neutral.as_ref().filter(|_| !load.has(Field::Connection)) else { return };
    let motor = load.text(Field::LoadKind).is_none_or(|kind| kind == "motor");
    if !motor || load.count(Field::Phases) == Some(1) {
        load.share(Field::Connection, Arc::clone(entry));
    }
}

/// Interlock partners as a plain list: ranges are expanded as those of tags are, and a row that stands in its own list is left out.
pub(super) fn settle_partners(load: &mut Load) {
    let Some(entry) = load.entry(Field::InterlockWith) else { return };
    let text = entry.text.trim();
    let listed = match tags::expand(text) {
        Tags::Read(listed) => listed,
        Tags::Unclear(_) | Tags::BadRange(_) => text.split(LISTED).flat_map(one_partner).collect(),
    };
    let tags: Vec<String> = load.tags().into_iter().chain([load.tag()]).collect();
    let others = || listed.iter().filter(|tag| !tags.iter().any(|of_load| rows::identity(of_load) == rows::identity(tag)));
    let none = matches!(text.to_lowercase().as_str(), "none" | "no");
    let plain = match (none, others().next()) {
        (true, _) => String::new(),
        (false, Some(_)) => others().map(String::as_str).collect::<Vec<_>>().join(", "),
        (false, None) => listed.join(", "),
    };
    let (column, text) = (entry.column, entry.text.clone());
    load.set(Field::InterlockWith, Entry { value: Value::Text(plain.into()), column, text });
}

/// A part of a list of partners that could not be expanded as a whole.
fn one_partner(text: &str) -> Vec<String> {
    match tags::expand(text.trim()) {
        Tags::Read(listed) => listed,
        Tags::Unclear(tag) => vec![tag],
        Tags::BadRange(_) => vec![text.trim().to_owned()],
    }
}
