//! Columns that are not read although their figures may be those of the loads.

use super::{Table, index};
use crate::finding::{Finding, codes, column_letters};
use crate::intake::machines::machine_of;
use crate::intake::mapping::{self, Column, holds_several};
use crate::intake::numbers::Reading;
use crate::intake::units::Unit;
use crate::intake::{cells, duty, fold, headings, numbers, text};
use crate::load::Field;

/// Rows that are looked at.
const SAMPLES: usize = 200;
/// Columns right of the last heading that are looked at.
const MOST_BEYOND: usize = 20;
/// Most machines of a row that a column of counts may state.
const MOST_MACHINES: f64 = 20.0;

impl Table<'_> {
    /// Texts of the filled cells of a column.
    fn samples(&self, column: usize) -> Vec<String> {
        let rows = self.body().filter(holds_several).filter(|row| !row.is_blank(column)).take(SAMPLES);
        rows.map(|row| fold::tidy(&row.seen(column)).into_owned()).filter(|seen| !cells::is_nothing(seen)).collect()
    }

    fn say_not_read(&mut self, column: usize, what: String, cure: &str) {
        let heading = self.layout.headings.get(column).cloned().unwrap_or_default();
        let place = self.place(self.layout.header, column, &heading);
        self.findings.push(
            Finding::new(&codes::I441_FIGURES_NOT_READ, what)
                .at(place)
                .why("what it says of the loads counts for nothing, and usual values take its place")
                .cure(cure),
        );
    }

    /// A column that nobody named: its texts are carried, its figures are missed.
    pub(super) fn pass_by_without_heading(&mut self, column: usize) {
        let samples = self.samples(column);
        if samples.is_empty() || self.is_merged_over(column) {
            return;
        }
        let figures = samples.iter().filter(|seen| numbers::reading(seen).is_ok()).count();
        let letters = column_letters(index(column));
        if figures * 2 > samples.len() {
            let what = format!("column {letters} has no heading and holds figures: it was not read");
            self.say_not_read(column, what, "give it a heading, or remove the column");
        } else {
            let what = format!("column {letters} has no heading and was not read");
            let place = self.place(self.layout.header, column, "");
            self.findings.push(Finding::new(&codes::I201_HEADING_UNKNOWN, what).at(place));
        }
    }

    /// Columns of a workbook right of the last heading: remarks may stand there, figures in most rows are rather those of the loads.
    pub(super) fn pass_by_beyond_headings(&mut self) {
        // In delimited text such cells are errors of their rows.
        if self.source.sheet.is_none() {
            return;
        }
        let width = self.body().map(|row| row.len()).max().unwrap_or(0);
        let rows = self.body().filter(holds_several).take(SAMPLES).count();
        let first = self.layout.headings.len();
        for column in (first..width).take(MOST_BEYOND) {
            if self.samples(column).len() * 2 > rows {
                self.pass_by_without_heading(column);
            }
        }
    }

    /// Whether cells of the column are covered by those of another one.
    fn is_merged_over(&self, column: usize) -> bool {
        let index = index(column);
        let covers = |((top, left), (bottom, right)): &((u32, u32), (u32, u32))| {
            *left < index && index <= *right && (*top as usize) <= self.layout.header && self.layout.header <= *bottom as usize
        };
        self.sheet.grid.merged.iter().any(covers) && self.layout.recognised.get(column).is_none_or(Option::is_none)
    }

    /// Says which columns that are carried through seem to hold powers, currents, numbers of machines or control voltages.
    pub(super) fn say_unread_figures(&mut self) {
        if self.plain {
            return;
        }
        let unread: Vec<(usize, String)> = self
            .mappings
            .iter()
            .filter(|mapping| mapping.is_passed_by())
            .map(|mapping| (mapping.column as usize, mapping.heading.clone()))
            .collect();
        for (column, heading) in unread {
            if self.is_of_further_motor(&heading) {
                self.further_motors.push(column);
                continue;
            }
            // A column that is known and not read was left out with reason.
            if self.layout.recognised.get(column).is_some_and(Option::is_some) {
                continue;
            }
            let samples = self.samples(column);
            if samples.is_empty() {
                continue;
            }
            let most = |test: &dyn Fn(&str) -> bool| samples.iter().filter(|seen| test(seen)).count() * 2 > samples.len();
            let named = format!("the column `{}` was not read", text::shortened(&heading));
            if states_machines(&heading) && most(&is_small_count) && !self.reads(Field::Quantity) {
                let what = format!("{named} and may hold the number of machines: every row was taken for what its tag says");
                self.say_not_read(column, what, "if so, give it the heading Quantity, or name it with --map 'HEADING=quantity'");
            } else if states_ratio(&heading)
                && !self.reads(Field::LockedRotorRatio)
                && most(&|seen| cells::holds_figure(Field::LockedRotorRatio, seen))
            {
                let what = format!("{named} and seems to hold ratios of the starting current");
                self.say_not_read(column, what, "if so, name it with --map 'HEADING=locked_rotor_ratio'");
            } else if !self.reads(Field::ControlVoltage) && most(&is_control_voltage) {
                let what = format!("{named} and seems to hold control voltages");
                self.say_not_read(column, what, "if so, name it with --map 'HEADING=control_voltage'");
            } else if (states_power(&heading) || self.unit_row_states_power(column))
                && most(&|seen| numbers::reading(seen).is_ok())
                && !self.reads_power()
            {
                let what = format!("{named} and seems to hold powers, which no column that is read states");
                self.say_not_read(column, what, "if it is the rated power, name it with --map 'HEADING=rated_power_kw'");
            }
        }
    }

    fn unit_row_states_power(&self, column: usize) -> bool {
        self.layout.units.get(column).copied().flatten().is_some_and(is_of_power)
    }

    fn reads(&self, field: Field) -> bool {
        self.columns.iter().any(|column| column.spec.field == field)
    }

    fn reads_power(&self) -> bool {
        [Field::RatedPowerKw, Field::RatedPowerHp, Field::RatedPowerKva].iter().any(|field| self.reads(*field))
    }

    /// Whether a heading states the power or current of another machine than the one whose columns are read.
    fn is_of_further_motor(&self, heading: &str) -> bool {
        let Some((machine, rest)) = machine_of(heading) else { return false };
        let states = |found: headings::Recognised| {
            let fields = [Field::RatedPowerKw, Field::RatedPowerHp, Field::FullLoadCurrentA];
            fields.iter().any(|field| found.may_be(*field))
        };
        if !headings::recognise(&rest).is_some_and(states) {
            return false;
        }
        let of_power =
            |column: &&Column| matches!(column.spec.field, Field::RatedPowerKw | Field::RatedPowerHp | Field::FullLoadCurrentA);
        let others =
            self.columns.iter().filter(of_power).filter_map(|column| machine_of(self.layout.headings.get(column.index)?));
        others.into_iter().any(|(other, _)| other != machine)
    }

    /// Whether cells of a column of powers without a unit are those of horsepower: fractions, or cells that say so, and none in kW.
    pub(super) fn holds_horsepower(&self, column: usize) -> bool {
        let samples = self.samples(column);
        let readings: Vec<Reading> = samples.iter().filter_map(|seen| numbers::reading(seen).ok()).collect();
        let says = |reading: &Reading| {
            matches!(reading, Reading::Fraction(_, None | Some(Unit::Horsepower)) | Reading::One(_, Some(Unit::Horsepower), _))
        };
        let metric = |reading: &Reading| matches!(reading, Reading::One(_, Some(Unit::Kilowatt | Unit::Watt), _));
        readings.iter().any(says) && !readings.iter().any(metric)
    }

    /// Whether the schedule is of a country that measures in horsepower and feet: it has a column of horsepower, or voltages that
    /// systems of 60 Hz alone have.
    pub(super) fn is_customary(&self) -> bool {
        let recognised = || self.layout.recognised.iter().enumerate();
        let any = |field: Field, unit: Option<Unit>| {
            recognised().any(|(_, found)| {
                found.as_ref().is_some_and(|found| found.may_be(field) && (unit.is_none() || found.unit == unit))
            })
        };
        // A list in both units is rather one of a country that measures in metres.
        let horsepower = any(Field::RatedPowerHp, None) && !any(Field::RatedPowerKw, Some(Unit::Kilowatt));
        let is_customary = |seen: &String| {
            let digits: String = seen.chars().take_while(char::is_ascii_digit).collect();
            digits.parse().is_ok_and(mapping::is_customary)
        };
        let voltages = |(column, found): (usize, &Option<headings::Recognised>)| {
            found.as_ref().is_some_and(|found| found.may_be(Field::VoltageV) || found.may_be(Field::Supply))
                && self.samples(column).iter().any(is_customary)
        };
        horsepower || recognised().any(voltages)
    }

    /// Whether a column that asks for standby holds counts: more than one machine, or figures beside another column of counts.
    pub(super) fn counts_standby(&self, column: usize) -> bool {
        if !self.layout.headings.get(column).is_some_and(|heading| duty::asks_for_standby(heading)) {
            return false;
        }
        let counts: Option<Vec<u32>> = self.samples(column).iter().map(|seen| seen.parse().ok()).collect();
        let Some(counts) = counts.filter(|counts| !counts.is_empty()) else { return false };
        let counted = |field: Field| self.layout.recognised.iter().flatten().any(|found| found.may_be(field));
        counts.iter().any(|count| *count > 1) || counted(Field::Quantity) || counted(Field::DutyCount)
    }
}

/// A number of machines as a schedule counts them.
fn is_small_count(seen: &str) -> bool {
    matches!(numbers::number(seen), Ok((value, _)) if value.fract() == 0.0 && (0.0..=MOST_MACHINES).contains(&value))
}

/// Whether a heading begins as those of numbers of machines do.
fn states_machines(heading: &str) -> bool {
    let first = fold::words(heading).first().cloned().unwrap_or_default();
    let known =
        ["qty", "no", "nos", "nb", "nbre", "nr", "anz", "anzahl", "cant", "qta", "qtd", "qte", "installed", "count", "units"];
    heading.trim() == "#" || known.contains(&first.as_str()) || first.starts_with("quant")
}

/// Whether a heading is that of the starting current by the rated one, but for words in brackets.
fn states_ratio(heading: &str) -> bool {
    headings::recognise_bare(heading).is_some_and(|found| found.may_be(Field::LockedRotorRatio))
}

/// Whether a text is a voltage of a control circuit and says so: `24 V DC`, `230VAC`, `24Vdc`.
fn is_control_voltage(seen: &str) -> bool {
    let key = fold::key(seen);
    let digits = key.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = key.split_at(digits);
    let volts = number.parse::<u32>().is_ok_and(|volts| [12, 24, 42, 48, 60, 110, 115, 120, 125, 220, 230, 240].contains(&volts));
    volts && matches!(rest, "vdc" | "vac" | "vcc" | "vca" | "dcv" | "dc" | "ac")
}

fn is_of_power(unit: Unit) -> bool {
    matches!(unit, Unit::Kilowatt | Unit::Horsepower | Unit::MetricHorsepower)
}

/// Whether a heading states a unit of power.
fn states_power(heading: &str) -> bool {
    headings::unit_of_heading(heading).is_some_and(is_of_power)
}
