//! Figures of a sender's own column: one value in a unit that the column admits, within what occurs in low voltage practice.

use super::{Given, Note, Outcome, class, open_value, others, supplies};
use crate::finding::codes;
use crate::intake::duty::{self, Duty};
use crate::intake::numbers::{NumberError, Reading, pair, reading};
use crate::intake::settle::one_value;
use crate::intake::units::{KILOWATTS_PER_METRIC_HORSEPOWER, METRES_PER_FOOT, Unit};
use crate::intake::values::{self, Wrong, within};
use crate::intake::{Cell, Content, dates, direct_current, fold, text};
use crate::load::{Field, FieldSpec, Kind, Value};
use crate::quantity::KILOWATTS_PER_HORSEPOWER;

/// Reads a figure that is neither blank nor open.
pub(super) fn read(spec: &'static FieldSpec, unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    use Field as F;
    if let Some((field, value)) = direct_current::in_cell(spec.field, seen) {
        return Ok(Given::one(field, value));
    }
    match spec.field {
        F::RatedPowerKw | F::RatedPowerHp | F::RatedPowerKva | F::AbsorbedPowerKw => {
            power(&in_unit_of_column(spec, unit), unit, cell, seen)
        }
        F::VoltageV | F::Supply => supplies::voltage(unit, cell, seen),
        F::Phases => supplies::phases(seen),
        F::FrequencyHz => supplies::frequency(spec, cell, seen),
        F::EfficiencyPct => efficiency(spec, cell, seen),
        F::PowerFactor | F::StartingPowerFactor | F::DemandFactor | F::ServiceFactor => share(spec, unit, cell, seen),
        F::Poles => poles(spec, cell, seen),
        F::FullLoadCurrentA
        | F::RatedLoadCurrentA
        | F::BranchSelectionCurrentA
        | F::MinimumCircuitAmpacityA
        | F::MaximumProtectionA => current(spec, cell, seen),
        F::CableLengthM | F::SupplyLengthM | F::ControlCableLengthM => length(&in_unit_of_column(spec, unit), unit, cell, seen),
        F::RatedPowerLowKw | F::RatedPowerLowHp => low_power(unit, cell, seen),
        F::SpeedRpm => speed(spec, cell, seen),
        F::GivenProtectionA => others::rating(spec, cell, seen),
        F::EquipmentSccrKa => others::short_circuit_rating(spec, cell, seen).unwrap_or_else(|| plain(spec, cell, seen)),
        F::SpaceHeaterW | F::BrakeW => watts(spec, unit, cell, seen),
        F::ReactivePowerKvar => or_nothing(spec, Unit::Kilovar, cell, seen),
        F::StartsPerHour => or_nothing(spec, Unit::PerHour, cell, seen),
        F::LockedRotorCurrentA => current(spec, cell, seen),
        F::AmbientC => ambient(spec, unit, cell, seen),
        F::Quantity => quantity(spec, cell, seen),
        _ => plain(spec, cell, seen),
    }
}

/// The column as the sender has it: what is said of its cells names its own unit, not the canonical one.
fn in_unit_of_column(spec: &FieldSpec, unit: Option<Unit>) -> FieldSpec {
    let unit = unit.filter(|unit| unit.is_measure()).map_or(spec.unit, Unit::symbol);
    FieldSpec { unit, ..*spec }
}

fn not_a_number(spec: &FieldSpec, seen: &str, error: NumberError) -> Box<Wrong> {
    match error {
        NumberError::Bad => Box::new(Wrong {
            code: &codes::I101_NUMBER,
            what: format!("{} reads `{}`, which is not a number", spec.name, text::shortened(seen)),
            cure: values::number_cure(spec, seen),
        }),
        NumberError::Date => match values::a_date(spec, seen, dates::day_and_month(seen)) {
            Err(wrong) => wrong,
            Ok(_) => not_a_number(spec, seen, NumberError::Bad),
        },
        NumberError::Ambiguous => {
            let (figure, unit) = parted(seen);
            let (point, none) = (figure.replace(',', "."), figure.replace([',', '.'], ""));
            Box::new(Wrong {
                code: &codes::I421_AMBIGUOUS_NUMBER,
                what: format!("{} reads `{}`, which is either a decimal or thousands", spec.name, text::shortened(seen)),
                cure: format!("write {}{unit}, or {none}{unit}", point.trim_end_matches('0').trim_end_matches('.')),
            })
        }
    }
}

/// A figure and what stands behind it: `1.100` and ` W`.
fn parted(seen: &str) -> (&str, &str) {
    let end = seen.find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | ','))).unwrap_or(seen.len());
    seen.split_at(end)
}

/// A number of a workbook without the dust of binary arithmetic.
pub(super) fn clean(number: f64) -> f64 {
    format!("{number:.11e}").parse().unwrap_or(number)
}

/// The text of a cell, numbers of a workbook included.
fn figure(spec: &FieldSpec, cell: &Cell, seen: &str, notes: &mut Vec<Note>) -> Result<Reading, Box<Wrong>> {
    if let Content::Number(number) = cell.content {
        // The column's own unit says nothing new; of a power it may be another than that of the heading.
        let unit = cell.shown.filter(|unit| unit.is_power() || unit.symbol() != spec.unit);
        return Ok(Reading::One(clean(number), unit, false));
    }
    let reading = match reading(seen) {
        Err(NumberError::Ambiguous) => {
            decimal_share(spec, seen).ok_or_else(|| not_a_number(spec, seen, NumberError::Ambiguous))?
        }
        other => other.map_err(|error| not_a_number(spec, seen, error))?,
    };
    if let Reading::One(_, unit, grouped) = reading {
        if grouped {
            notes.push(Note::Grouped);
        }
        if unit.is_none_or(|unit| unit == Unit::Percent) {
            notes.push(Note::AsText);
        }
    }
    Ok(reading)
}

/// `1.000` in a column of factors or shares: a decimal, where thousands lie beyond what the column can hold.
fn decimal_share(spec: &FieldSpec, seen: &str) -> Option<Reading> {
    let share = matches!(spec.kind, Kind::Number(..)) && matches!(spec.unit, "" | "%");
    let (low, high) = bounds(spec.field);
    let decimal: f64 = seen.replace(',', ".").parse().ok().filter(|_| share)?;
    let thousands = decimal * 1_000.0;
    ((low..=high).contains(&decimal) && thousands > high).then_some(Reading::One(decimal, None, false))
}

/// About, at most, from to, or several values. Where sizing can do without the value the row goes on, and somebody is told that what
/// the cell says counts for nothing.
fn vague(spec: &FieldSpec, seen: &str) -> Given {
    let needed = open_value(spec, seen).open.is_some();
    let what = format!("{} reads `{}`, which is not one value", spec.name, text::shortened(seen));
    if needed {
        return Given::open(&codes::I418_UNDECIDED, what, "enter one value; several motors or ratings need a row each");
    }
    Given::open(
        &codes::I434_NOT_ONE_VALUE,
        format!("{what} and was not read"),
        "enter one value, that of the most unfavourable case; until then the basis or the usual value counts",
    )
}

/// One number in the units that the column admits.
pub(super) fn one(
    spec: &FieldSpec,
    cell: &Cell,
    seen: &str,
    units: &[Unit],
    given: &mut Given,
) -> Result<Option<(f64, Option<Unit>)>, Box<Wrong>> {
    match figure(spec, cell, seen, &mut given.notes)? {
        Reading::One(value, unit, _) if unit.is_none_or(|unit| units.contains(&unit)) => Ok(Some((value, unit))),
        Reading::Vague | Reading::Several => {
            given.open = vague(spec, seen).open;
            Ok(None)
        }
        _ => Err(not_a_number(spec, seen, NumberError::Bad)),
    }
}

/// Bounds of a sender's column: what occurs in low voltage practice, narrower than those of the canonical columns.
fn bounds(field: Field) -> (f64, f64) {
    use Field as F;
    match field {
        F::RatedPowerKw | F::AbsorbedPowerKw | F::RatedPowerLowKw => (0.005, 5_000.0),
        F::RatedPowerHp | F::RatedPowerLowHp | F::RatedPowerKva => (0.005, 7_000.0),
        F::VoltageV => (12.0, 1_000.0),
        F::FullLoadCurrentA
        | F::RatedLoadCurrentA
        | F::BranchSelectionCurrentA
        | F::MinimumCircuitAmpacityA
        | F::MaximumProtectionA
        | F::LockedRotorCurrentA
        | F::FullLoadCurrentLowA => (0.01, 10_000.0),
        F::PowerFactor => (0.05, 1.0),
        F::ServiceFactor => (1.0, 2.0),
        F::StartsPerHour => (1e-6, 3_600.0),
        F::CableLengthM => (1e-6, 10_000.0),
        F::CableLengthFt => (1e-6, 32_808.0),
        F::AmbientC => (-50.0, 90.0),
        F::EfficiencyPct => (10.0, 99.9),
        _ => match field.spec().kind {
            Kind::Number(low, high) => (low, high),
            Kind::Count(low, high) => (f64::from(low), f64::from(high)),
            _ => (f64::MIN, f64::MAX),
        },
    }
}

pub(super) fn bounded(field: Field, value: f64, seen: &str) -> Result<Value, Box<Wrong>> {
    let (low, high) = bounds(field);
    within(field.spec(), value, low, high, seen).map(Value::Number)
}

/// Field and value of a power by its unit; whether it was converted.
fn rated(value: f64, unit: Unit, low_speed: bool) -> Option<(Field, f64, bool)> {
    let (kilowatts, horsepower) =
        if low_speed { (Field::RatedPowerLowKw, Field::RatedPowerLowHp) } else { (Field::RatedPowerKw, Field::RatedPowerHp) };
    Some(match unit {
        Unit::Kilowatt => (kilowatts, value, false),
        Unit::Watt => (kilowatts, value / 1_000.0, true),
        Unit::MetricHorsepower => (kilowatts, clean(value * KILOWATTS_PER_METRIC_HORSEPOWER), true),
        Unit::Horsepower => (horsepower, value, false),
        Unit::Kilovoltampere if !low_speed => (Field::RatedPowerKva, value, false),
        _ => return None,
    })
}

fn power(spec: &FieldSpec, unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let of_field = match spec.field {
        Field::RatedPowerHp => Unit::Horsepower,
        Field::RatedPowerKva => Unit::Kilovoltampere,
        _ => Unit::Kilowatt,
    };
    let column = unit.filter(|unit| unit.is_power()).unwrap_or(of_field);
    let mut given = Given::default();
    let bad = || not_a_number(spec, seen, NumberError::Bad);
    let read = match column.pair() {
        Some(units) => below_a_pair(spec, units, cell, seen, &mut given.notes)?,
        None => figure(spec, cell, seen, &mut given.notes)?,
    };
    let parts: Vec<(f64, Unit, bool)> = match read {
        Reading::One(value, unit, _) => vec![(value, unit.unwrap_or(column), false)],
        Reading::Fraction(value, unit) => {
            let unit = unit.unwrap_or(column);
            if !matches!(unit, Unit::Horsepower | Unit::MetricHorsepower) {
                return Err(bad());
            }
            vec![(value, unit, false)]
        }
        Reading::Two(high, low, unit) => {
            given.speeds = true;
            vec![(high, unit.unwrap_or(column), false), (low, unit.unwrap_or(column), true)]
        }
        Reading::Both(one, other) => vec![(one.0, one.1, false), (other.0, other.1, false)],
        Reading::Beside(one, other) if one.1.or(other.1) == Some(column) => {
            given.speeds = true;
            vec![(one.0.max(other.0), column, false), (one.0.min(other.0), column, true)]
        }
        Reading::Beside(one, other) => [one, other].map(|power| (power.0, power.1.unwrap_or(column), false)).to_vec(),
        Reading::Vague | Reading::Several => return Ok(vague(spec, seen)),
    };
    let twice = parts.len() == 2 && !given.speeds;
    let parts = if twice { without_repeat(spec, parts, seen, &mut given) } else { parts };
    for (value, unit, low_speed) in parts {
        let (field, value, converted) = rated(value, unit, low_speed).ok_or_else(bad)?;
        let (field, value, converted) = match (spec.field, field) {
            (Field::AbsorbedPowerKw, Field::RatedPowerKw) => (Field::AbsorbedPowerKw, value, converted),
            (Field::AbsorbedPowerKw, Field::RatedPowerHp) => (Field::AbsorbedPowerKw, value * KILOWATTS_PER_HORSEPOWER, true),
            (Field::AbsorbedPowerKw, _) => return Err(bad()),
            // A power in two units is converted in neither.
            _ => (field, value, converted || (unit != column && !twice && unit.is_power())),
        };
        given.values.push((field, bounded(field, value, seen)?));
        if converted {
            given.notes.push(Note::Converted);
        }
    }
    Ok(given)
}

/// Keeps one figure of a power that a cell states twice and that is kilowatts both times, as `11 kW (15 PS)`: the one that needs no
/// conversion. Where the two differ, that is said.
fn without_repeat(spec: &FieldSpec, parts: Vec<(f64, Unit, bool)>, seen: &str, given: &mut Given) -> Vec<(f64, Unit, bool)> {
    let [one, other] = [0, 1].map(|at| parts.get(at).and_then(|(value, unit, _)| rated(*value, *unit, false)));
    let (Some(one), Some(other)) = (one, other) else { return parts };
    if one.0 != other.0 {
        return parts;
    }
    if !one_value(one.1, other.1) {
        given.open = Given::open(
            &codes::I419_POWERS_DIFFER,
            format!(
                "{} reads `{}`: {} and {} kW are not one power",
                spec.name,
                text::shortened(seen),
                text::number_text(one.1),
                text::number_text(other.1)
            ),
            "correct one of the two",
        )
        .open;
    }
    let kept = usize::from(one.2 && !other.2);
    parts.into_iter().skip(kept).take(1).collect()
}

/// A cell below a heading of two units, such as `kW/HP`: two values in its order, or values that name their own unit.
fn below_a_pair(
    spec: &FieldSpec,
    units: [Unit; 2],
    cell: &Cell,
    seen: &str,
    notes: &mut Vec<Note>,
) -> Result<Reading, Box<Wrong>> {
    if let (Content::Text(_), Some((one, other))) = (&cell.content, pair(seen)) {
        return Ok(Reading::Both((one, units[0]), (other, units[1])));
    }
    match figure(spec, cell, seen, notes)? {
        reading @ (Reading::One(_, Some(_), _) | Reading::Fraction(_, Some(_)) | Reading::Both(..) | Reading::Vague) => {
            Ok(reading)
        }
        _ => Err(Box::new(Wrong {
            code: &codes::I101_NUMBER,
            what: format!(
                "{} reads `{}` below a heading of two units, which is not a value of each",
                spec.name,
                text::shortened(seen)
            ),
            cure: format!(
                "write both values in the order of the heading, such as {}, or one with its unit, such as 15 kW",
                if units[0] == Unit::Kilowatt { "15/20" } else { "20/15" }
            ),
        })),
    }
}

/// A share or a percentage, told apart by its size; between them nothing is an efficiency.
fn efficiency(spec: &FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    if fold::key(seen).starts_with("ie") {
        let class = class(seen);
        if !class.nothing {
            return Ok(class);
        }
    }
    let mut given = Given::default();
    let Some((value, unit)) = one(spec, cell, seen, &[Unit::Percent, Unit::Share], &mut given)? else { return Ok(given) };
    let percent = match unit {
        Some(Unit::Percent) => value,
        _ if cell.percent => value * 100.0,
        _ if (0.1..=0.999).contains(&value) => value * 100.0,
        _ => value,
    };
    if unit.is_none() && !cell.percent && value > 1.5 {
        given.notes.push(Note::Percent);
    }
    given.values.push((spec.field, bounded(spec.field, clean(percent), seen)?));
    Ok(given)
}

/// A power factor or another factor: a share, or a percentage that says so.
fn share(spec: &FieldSpec, column: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, unit)) = one(spec, cell, seen, &[Unit::Percent], &mut given)? else { return Ok(given) };
    let percent = unit.is_some() || (column == Some(Unit::Percent) && !cell.percent && value > 1.5);
    let value = if percent { value / 100.0 } else { value };
    if percent {
        given.notes.push(Note::Percent);
    }
    given.values.push((spec.field, bounded(spec.field, clean(value), seen)?));
    Ok(given)
}

/// Power at the low speed: as that at the high one, in its own columns.
fn low_power(unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let mut given = power(Field::RatedPowerKw.spec(), unit, cell, seen)?;
    for (field, value) in &mut given.values {
        *field = if *field == Field::RatedPowerHp { Field::RatedPowerLowHp } else { Field::RatedPowerLowKw };
        if let Value::Number(number) = *value {
            bounded(*field, number, seen)?;
        }
    }
    Ok(given)
}

/// A heater or brake, in watts.
fn watts(spec: &FieldSpec, unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, written)) = one(spec, cell, seen, &[Unit::Watt, Unit::Kilowatt], &mut given)? else { return Ok(given) };
    let kilowatts = written.or(unit) == Some(Unit::Kilowatt);
    if kilowatts {
        given.notes.push(Note::Converted);
    }
    let value = if kilowatts { clean(value * 1_000.0) } else { value };
    given.values.push((spec.field, bounded(spec.field, value, seen)?));
    Ok(given)
}

/// A figure of which nought says that there is nothing: no capacitor, no count of starts.
fn or_nothing(spec: &FieldSpec, unit: Unit, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, _)) = one(spec, cell, seen, &[unit, Unit::Pieces], &mut given)? else { return Ok(given) };
    if value == 0.0 {
        return Ok(Given::nothing());
    }
    given.values.push((spec.field, bounded(spec.field, value, seen)?));
    Ok(given)
}

/// `4`, `4P`, `4-pole`; of the pair of a two-speed motor, such as `4/8`, the number at the high speed.
fn poles(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let digits = seen.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = seen.split_at(digits);
    if ["p", "pole", "poles", "polig", "pol", "poli", "polos"].contains(&fold::key(rest).as_str()) {
        return bounded(spec.field, number.parse().unwrap_or(f64::NAN), seen).map(|value| Given::one(spec.field, value));
    }
    if let Some((high, _)) = others::poles_of_two_speeds(seen).filter(|_| matches!(cell.content, Content::Text(_))) {
        return bounded(spec.field, f64::from(high), seen).map(|value| Given::one(spec.field, value));
    }
    match reading(seen) {
        Ok(Reading::Two(..) | Reading::Beside(..) | Reading::Fraction(..)) if matches!(cell.content, Content::Text(_)) => {
            Ok(Given::nothing())
        }
        _ => plain(spec, cell, seen),
    }
}

/// `1750`, `1,750`; of the pair of a two-speed motor, such as `1750/875`, the higher.
fn speed(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    if let Some(outcome) = others::speed(spec, cell, seen) {
        return outcome;
    }
    match reading(seen) {
        Ok(Reading::Two(high, _, None)) if matches!(cell.content, Content::Text(_)) => {
            let value = bounded(spec.field, high, seen)?;
            Ok(Given { speeds: true, ..Given::one(spec.field, value) })
        }
        _ => plain(spec, cell, seen),
    }
}

fn current(spec: &FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let speeds = figure(spec, cell, seen, &mut Vec::new())?.speeds();
    if let (Field::FullLoadCurrentA, Some((high, low, None | Some(Unit::Ampere)))) = (spec.field, speeds) {
        given.speeds = true;
        given.values.push((spec.field, bounded(spec.field, high, seen)?));
        given.values.push((Field::FullLoadCurrentLowA, bounded(Field::FullLoadCurrentLowA, low, seen)?));
        return Ok(given);
    }
    let Some((value, _)) = one(spec, cell, seen, &[Unit::Ampere], &mut given)? else { return Ok(given) };
    given.values.push((spec.field, bounded(spec.field, value, seen)?));
    Ok(given)
}

fn length(spec: &FieldSpec, unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let units = [Unit::Metre, Unit::Foot, Unit::Kilometre];
    let Some((value, written)) = one(spec, cell, seen, &units, &mut given)? else { return Ok(given) };
    let (field, value) = match written.or(unit) {
        Some(Unit::Foot) if spec.field == Field::CableLengthM => (Field::CableLengthFt, value),
        Some(Unit::Foot) => (spec.field, clean(value * METRES_PER_FOOT)),
        Some(Unit::Kilometre) => (spec.field, value * 1_000.0),
        _ => (spec.field, value),
    };
    if written.or(unit).is_some_and(|unit| matches!(unit, Unit::Foot | Unit::Kilometre)) {
        given.notes.push(Note::Converted);
    }
    given.values.push((field, bounded(field, value, seen)?));
    Ok(given)
}

fn ambient(spec: &FieldSpec, unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, written)) = one(spec, cell, seen, &[Unit::Celsius, Unit::Fahrenheit], &mut given)? else { return Ok(given) };
    let fahrenheit = written.or(unit) == Some(Unit::Fahrenheit);
    let value = if fahrenheit { clean((value - 32.0) / 1.8) } else { value };
    if fahrenheit {
        given.notes.push(Note::Converted);
    }
    given.values.push((spec.field, bounded(spec.field, value, seen)?));
    Ok(given)
}

/// Most machines of one row.
const MOST: f64 = 500.0;

fn quantity(spec: &FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let refused = || {
        Box::new(Wrong {
            code: &codes::I103_WHOLE,
            what: format!("{} reads `{}`, which is not a number of machines", spec.name, text::shortened(seen)),
            cure: format!("enter a whole number from 1 to {MOST}"),
        })
    };
    if let Some(counts) = counts(cell, seen) {
        return Ok(counts);
    }
    match one(spec, cell, seen, &[Unit::Pieces], &mut given) {
        Ok(Some((value, _))) if value.fract() == 0.0 && (1.0..=MOST).contains(&value) => {
            given.values.push((spec.field, Value::Number(value)));
            Ok(given)
        }
        Ok(None) => Ok(given),
        _ => Err(refused()),
    }
}

/// `2D/1S`, `1W+1S`, `3 (2D+1S)`: machines on duty and standby, of which there are as many together; `x2`, `2x` and `(2)` are two.
fn counts(cell: &Cell, seen: &str) -> Option<Given> {
    if !matches!(cell.content, Content::Text(_)) || seen.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let whole = |text: &str| text.parse::<f64>().ok().filter(|count| count.fract() == 0.0 && (1.0..=MOST).contains(count));
    let bare = seen.trim_matches(['x', 'X', '×', '(', ')', ' ']);
    if let Some(count) = whole(bare).filter(|_| bare.bytes().all(|byte| byte.is_ascii_digit())) {
        return Some(Given::one(Field::Quantity, Value::Number(count)));
    }
    let (front, inside) = seen.strip_suffix(')').and_then(|text| text.split_once('(')).unwrap_or(("", seen));
    // `2+1` alone may be two and one of anything.
    let named = inside.chars().any(char::is_alphabetic);
    let Duty::Counts(on_duty, standby) = duty::duty(inside) else { return None };
    let together = f64::from(on_duty) + f64::from(standby);
    let agrees = front.trim().is_empty() || whole(front.trim()) == Some(together);
    let values = [(Field::Quantity, together), (Field::DutyCount, f64::from(on_duty)), (Field::StandbyCount, f64::from(standby))];
    (named && agrees && (1.0..=MOST).contains(&together))
        .then(|| Given { values: values.map(|(field, count)| (field, Value::Number(count))).to_vec(), ..Given::default() })
}

/// A figure in the unit of its column, or a count.
fn plain(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, _)) = one(
        spec,
        cell,
        seen,
        &[Unit::PerHour, Unit::Pieces, if spec.unit == "s" { Unit::Second } else { Unit::Pieces }],
        &mut given,
    )?
    else {
        return Ok(given);
    };
    if matches!(spec.kind, Kind::Count(..)) && value.fract() != 0.0 {
        return values::read(spec, &cell.content).map(|_| given);
    }
    given.values.push((spec.field, bounded(spec.field, value, seen)?));
    Ok(given)
}
