//! Reads one cell of a sender's own column: tolerant of spelling, never of doubt.

use super::choices;
use super::dates;
use super::duty::{self, Duty};
use super::methods::{self, Method};
use super::numbers::{NumberError, Reading, reading};
use super::supply::supply;
use super::units::{KILOWATTS_PER_HORSEPOWER, KILOWATTS_PER_METRIC_HORSEPOWER, Unit};
use super::values::{self, Wrong, within, wrong};
use super::{Cell, Content, fold, text};
use crate::finding::codes;
use crate::load::{Field, FieldSpec, Kind, Value};

/// What was done to a value, said once a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Note {
    Converted,
    Grouped,
    Percent,
    AsText,
    ClassUnknown,
}

/// What a cell gave.
#[derive(Debug, Default)]
pub(super) struct Given {
    pub(super) values: Vec<(Field, Value)>,
    pub(super) notes: Vec<Note>,
    /// High and low speed stood in one cell.
    pub(super) speeds: bool,
    /// The cell was understood, but somebody must decide.
    pub(super) open: Option<Box<Wrong>>,
    /// The text says that the starter reverses.
    pub(super) reverses: bool,
    /// The cell says that there is nothing.
    pub(super) nothing: bool,
}

impl Given {
    fn one(field: Field, value: Value) -> Self {
        Self { values: vec![(field, value)], ..Self::default() }
    }

    fn nothing() -> Self {
        Self { nothing: true, ..Self::default() }
    }

    fn open(code: &'static crate::finding::Code, what: String, cure: &str) -> Self {
        Self { open: Some(Box::new(Wrong { code, what, cure: cure.to_owned() })), ..Self::default() }
    }
}

type Outcome = Result<Given, Box<Wrong>>;

/// Reads a cell that is not blank.
pub(super) fn read(spec: &'static FieldSpec, unit: Option<Unit>, cell: &Cell) -> Outcome {
    let seen = fold::tidy_of(text::of(&cell.content));
    values::check_characters(spec, &seen)?;
    let is_text = matches!(spec.kind, Kind::Text | Kind::Tags) && !matches!(spec.field, Field::Supply | Field::Duty);
    match &cell.content {
        Content::Error(error) => return values::error_cell(spec, error).map(|_| Given::nothing()),
        Content::Date(date) if !is_text => {
            return values::a_date(spec, &date.text, dates::month_and_day(date.serial)).map(|_| Given::nothing());
        }
        _ => {}
    }
    if is_text {
        return Ok(plain_text(spec, &seen));
    }
    if is_nothing(&seen) {
        return Ok(Given::nothing());
    }
    if is_open(&seen) && !(spec.field == Field::StartingMethod && methods::method(&seen) != Method::Unknown) {
        return Ok(open_value(spec, &seen));
    }
    use Field as F;
    match spec.field {
        F::RatedPowerKw | F::RatedPowerHp | F::RatedPowerKva | F::AbsorbedPowerKw => power(spec, unit, cell, &seen),
        F::VoltageV | F::Supply => voltage(unit, cell, &seen),
        F::Phases => phases(&seen),
        F::FrequencyHz => frequency(spec, cell, &seen),
        F::EfficiencyPct => efficiency(spec, cell, &seen),
        F::PowerFactor => power_factor(spec, unit, cell, &seen),
        F::Poles => poles(spec, cell, &seen),
        F::FullLoadCurrentA | F::MinimumCircuitAmpacityA | F::MaximumProtectionA => current(spec, cell, &seen),
        F::CableLengthM => length(spec, unit, cell, &seen),
        F::AmbientC => ambient(spec, unit, cell, &seen),
        F::Quantity => quantity(spec, cell, &seen),
        F::StartingMethod => method(&seen),
        F::Duty | F::Running => about_duty(spec, &seen),
        F::EfficiencyClass => Ok(class(&seen)),
        _ => other(spec, cell, &seen),
    }
}

fn plain_text(spec: &FieldSpec, seen: &str) -> Given {
    let remark = values::is_remark(spec.field);
    if is_nothing(seen) && !remark || seen.is_empty() || (remark && text::is_placeholder(seen)) {
        return Given::nothing();
    }
    let value = match spec.field {
        // Reference methods are written large, raceways small.
        Field::InstallationMethod if seen.len() <= 2 || seen.contains('+') => seen.to_uppercase(),
        Field::InstallationMethod => seen.to_lowercase(),
        _ => seen.to_owned(),
    };
    Given::one(spec.field, Value::Text(value.into()))
}

/// Whether a cell says that there is nothing.
pub(super) fn is_nothing(seen: &str) -> bool {
    // None of the words begins with a digit, as most cells that are asked about do.
    if seen.starts_with(|first: char| first.is_ascii_digit()) {
        return false;
    }
    text::is_placeholder(seen)
        || matches!(seen, "." | "---" | "/" | "N.A" | "NIL" | "nil" | "Nil" | "NA" | "na" | "n.a" | "n/a" | "N.a.")
}

/// Whether a cell says that somebody has still to decide.
pub(super) fn is_open(seen: &str) -> bool {
    // None of the words begins with a digit, as most cells that are asked about do.
    if seen.starts_with(|first: char| first.is_ascii_digit()) {
        return false;
    }
    let key = fold::key(seen);
    let words = [
        "xx",
        "xxx",
        "byothers",
        "nn",
        "adefinir",
        "pordefinir",
        "dadefinire",
        "offen",
        "nochoffen",
        "aconfirmer",
        "porconfirmar",
        "daconfermare",
        "aconfirmar",
        "tobeconfirmed",
        "tobedetermined",
        "tobeadvised",
        "unknown",
        "byvendor",
        "unbekannt",
        "later",
        "hold",
        "tbc",
        "tba",
        "tbd",
        "nocheroffen",
        "folgt",
        "pending",
    ];
    text::is_to_be_confirmed(seen) || words.contains(&key.as_str())
}

/// A value that is still open: a warning where sizing needs it, nothing elsewhere.
fn open_value(spec: &FieldSpec, seen: &str) -> Given {
    use Field as F;
    let needed = matches!(
        spec.field,
        F::RatedPowerKw
            | F::RatedPowerHp
            | F::RatedPowerKva
            | F::VoltageV
            | F::Supply
            | F::Phases
            | F::FullLoadCurrentA
            | F::MinimumCircuitAmpacityA
            | F::MaximumProtectionA
            | F::StartingMethod
            | F::CableLengthM
            | F::Quantity
    );
    if !needed {
        return Given::nothing();
    }
    Given::open(
        &codes::I418_UNDECIDED,
        format!("{} reads `{}`", spec.name, text::shortened(seen)),
        "enter the value once it is decided",
    )
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
            let (point, none) = (seen.replace(',', "."), seen.replace([',', '.'], ""));
            Box::new(Wrong {
                code: &codes::I421_AMBIGUOUS_NUMBER,
                what: format!("{} reads `{}`, which is either a decimal or thousands", spec.name, text::shortened(seen)),
                cure: format!("write {}, or {none}", point.trim_end_matches('0').trim_end_matches('.')),
            })
        }
    }
}

/// A number of a workbook without the dust of binary arithmetic.
fn clean(number: f64) -> f64 {
    format!("{number:.11e}").parse().unwrap_or(number)
}

/// What the cell says, numbers of a workbook included.
fn measured(spec: &FieldSpec, cell: &Cell, seen: &str, notes: &mut Vec<Note>) -> Result<Reading, Box<Wrong>> {
    if let Content::Number(number) = cell.content {
        return Ok(Reading::One(clean(number), None, false));
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

fn vague(spec: &FieldSpec, seen: &str) -> Given {
    Given::open(
        &codes::I418_UNDECIDED,
        format!("{} reads `{}`, which is not one value", spec.name, text::shortened(seen)),
        "enter one value; several motors or ratings need a row each",
    )
}

/// One number in the units that the column admits.
fn one(
    spec: &FieldSpec,
    cell: &Cell,
    seen: &str,
    units: &[Unit],
    given: &mut Given,
) -> Result<Option<(f64, Option<Unit>)>, Box<Wrong>> {
    match measured(spec, cell, seen, &mut given.notes)? {
        Reading::One(value, unit, _) if unit.is_none_or(|unit| units.contains(&unit)) => Ok(Some((value, unit))),
        Reading::Vague | Reading::Several => {
            let needed = open_value(spec, seen).open.is_some();
            given.open = if needed { vague(spec, seen).open } else { None };
            given.nothing = !needed;
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
        F::FullLoadCurrentA | F::MinimumCircuitAmpacityA | F::MaximumProtectionA | F::FullLoadCurrentLowA => (0.01, 10_000.0),
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

fn bounded(field: Field, value: f64, seen: &str) -> Result<Value, Box<Wrong>> {
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
    let own = match spec.field {
        Field::RatedPowerHp => Unit::Horsepower,
        Field::RatedPowerKva => Unit::Kilovoltampere,
        _ => Unit::Kilowatt,
    };
    let column = unit.filter(|unit| unit.is_power()).unwrap_or(own);
    let mut given = Given::default();
    let bad = || not_a_number(spec, seen, NumberError::Bad);
    let parts: Vec<(f64, Unit, bool)> = match measured(spec, cell, seen, &mut given.notes)? {
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
        Reading::Vague | Reading::Several => return Ok(vague(spec, seen)),
    };
    for (value, unit, low_speed) in parts {
        let (field, value, converted) = rated(value, unit, low_speed).ok_or_else(bad)?;
        let (field, value, converted) = match (spec.field, field) {
            (Field::AbsorbedPowerKw, Field::RatedPowerKw) => (Field::AbsorbedPowerKw, value, converted),
            (Field::AbsorbedPowerKw, Field::RatedPowerHp) => (Field::AbsorbedPowerKw, value * KILOWATTS_PER_HORSEPOWER, true),
            (Field::AbsorbedPowerKw, _) => return Err(bad()),
            _ => (field, value, converted || (unit != column && unit.is_power())),
        };
        given.values.push((field, bounded(field, value, seen)?));
        if converted {
            given.notes.push(Note::Converted);
        }
    }
    Ok(given)
}

fn bad_supply(seen: &str) -> Box<Wrong> {
    Box::new(Wrong {
        code: &codes::I116_SUPPLY,
        what: format!("the supply reads `{}`", text::shortened(seen)),
        cure: "write a voltage of alternating current with 1 or 3 phases and 50 or 60 Hz, such as 400/3/50 or 460/3/60"
            .to_owned(),
    })
}

fn voltage(unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let kilovolts = unit == Some(Unit::Kilovolt);
    let shown = match cell.content {
        Content::Number(number) => text::number_text(clean(number)),
        _ => seen.to_owned(),
    };
    if let Some(rest) = shown.strip_prefix('-') {
        let value = rest.parse::<f64>().map_err(|_| bad_supply(seen))?;
        return bounded(Field::VoltageV, -value, seen).map(|value| Given::one(Field::VoltageV, value));
    }
    let found = supply(&shown, kilovolts).ok_or_else(|| bad_supply(seen))?;
    let mut given = Given::default();
    if let Some(value) = found.voltage {
        given.values.push((Field::VoltageV, bounded(Field::VoltageV, clean(value), seen)?));
    }
    for (field, value) in [(Field::Phases, found.phases), (Field::FrequencyHz, found.frequency)] {
        given.values.extend(value.map(|value| (field, Value::Number(value))));
    }
    if found.kilovolts {
        given.notes.push(Note::Converted);
    }
    if found.several {
        given.open = Given::open(
            &codes::I420_SEVERAL_VOLTAGES,
            format!("the supply reads `{}`: several voltages, of which none is chosen", text::shortened(seen)),
            "enter the voltage of the board that feeds it",
        )
        .open;
    }
    Ok(given)
}

fn phases(seen: &str) -> Outcome {
    // Spreadsheets write counts with decimals at times: 3.0.
    let whole = seen.parse::<f64>().ok().filter(|number| number.fract() == 0.0).map(text::number_text);
    let key = whole.unwrap_or_else(|| fold::key(seen));
    let count = match key.as_str() {
        "3" | "3ph" | "3phase" | "3phases" | "tri" | "three" | "triphase" | "trifasico" | "trifase" | "threephase"
        | "dreiphasig" | "3p" | "3o" | "drehstrom" => 3.0,
        "1" | "1ph" | "1phase" | "mono" | "single" | "monophase" | "monofasico" | "monofase" | "singlephase" | "einphasig"
        | "1p" | "1o" | "wechselstrom" => 1.0,
        _ => return Err(bad_supply(seen)),
    };
    Ok(Given::one(Field::Phases, Value::Number(count)))
}

fn frequency(spec: &FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, _)) = one(spec, cell, seen, &[Unit::Hertz], &mut given)? else { return Ok(given) };
    if value != 50.0 && value != 60.0 {
        return Err(bad_supply(seen));
    }
    given.values.push((spec.field, Value::Number(value)));
    Ok(given)
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

fn power_factor(spec: &FieldSpec, column: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
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

/// `4`, `4P`, `4-pole`; the pair of a two-speed motor says nothing of one speed.
fn poles(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let digits = seen.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = seen.split_at(digits);
    if ["p", "pole", "poles", "polig", "pol", "poli", "polos"].contains(&fold::key(rest).as_str()) {
        return bounded(spec.field, number.parse().unwrap_or(f64::NAN), seen).map(|value| Given::one(spec.field, value));
    }
    match reading(seen) {
        Ok(Reading::Two(..)) | Ok(Reading::Fraction(..)) if matches!(cell.content, Content::Text(_)) => Ok(Given::nothing()),
        _ => other(spec, cell, seen),
    }
}

fn current(spec: &FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    if let (Field::FullLoadCurrentA, Reading::Two(high, low, None | Some(Unit::Ampere))) =
        (spec.field, measured(spec, cell, seen, &mut Vec::new())?)
    {
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
    let Some((value, own)) = one(spec, cell, seen, &units, &mut given)? else { return Ok(given) };
    let (field, value) = match own.or(unit) {
        Some(Unit::Foot) => (Field::CableLengthFt, value),
        Some(Unit::Kilometre) => (Field::CableLengthM, value * 1_000.0),
        _ => (Field::CableLengthM, value),
    };
    if own.or(unit).is_some_and(|unit| matches!(unit, Unit::Foot | Unit::Kilometre)) {
        given.notes.push(Note::Converted);
    }
    given.values.push((field, bounded(field, value, seen)?));
    Ok(given)
}

fn ambient(spec: &FieldSpec, unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, own)) = one(spec, cell, seen, &[Unit::Celsius, Unit::Fahrenheit], &mut given)? else { return Ok(given) };
    let fahrenheit = own.or(unit) == Some(Unit::Fahrenheit);
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
    match one(spec, cell, seen, &[Unit::Pieces], &mut given) {
        Ok(Some((value, _))) if value.fract() == 0.0 && (1.0..=MOST).contains(&value) => {
            given.values.push((spec.field, Value::Number(value)));
            Ok(given)
        }
        Ok(None) => Ok(given),
        _ => Err(refused()),
    }
}

fn method(seen: &str) -> Outcome {
    let spec = Field::StartingMethod.spec();
    match methods::method(seen) {
        Method::Known(name, reverses) => {
            let mut given = Given { reverses, ..Given::one(Field::StartingMethod, Value::Choice(name)) };
            let bypass = methods::bypass(seen).filter(|_| matches!(name, "drive" | "soft-starter"));
            given.values.extend(bypass.map(|bypass| (Field::Bypass, Value::YesNo(bypass))));
            Ok(given)
        }
        Method::Open => Ok(Given::open(
            &codes::I418_UNDECIDED,
            format!("{} reads `{}`, which means more than one method", spec.name, text::shortened(seen)),
            "name the method: soft starter, autotransformer, star-delta, VFD ...",
        )),
        Method::Conflict(one, other) => wrong(
            &codes::I423_METHODS_CONFLICT,
            format!("{} reads `{}`, which names {one} and {other}", spec.name, text::shortened(seen)),
            "keep one of the two",
        ),
        Method::Unknown => {
            let near = values::nearest_choice(spec, seen).map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
            wrong(
                &codes::I422_METHOD_UNKNOWN,
                format!("{} reads `{}`, which is not understood", spec.name, text::shortened(seen)),
                format!("{near}understood are: {}", methods::UNDERSTOOD),
            )
        }
    }
}

fn about_duty(spec: &'static FieldSpec, seen: &str) -> Outcome {
    let found = if spec.field == Field::Running { duty::running(seen) } else { duty::duty(seen) };
    Ok(match found {
        Duty::Type(text) => Given::one(Field::Duty, Value::Text(text.into())),
        Duty::Running(running) => Given::one(Field::Running, Value::Choice(running)),
        Duty::Counts(duty, standby) => Given {
            values: vec![
                (Field::DutyCount, Value::Number(f64::from(duty))),
                (Field::StandbyCount, Value::Number(f64::from(standby))),
            ],
            ..Given::default()
        },
        Duty::Unknown if spec.field == Field::Running => match duty::yes_no(seen) {
            Some(standby) => Given::one(Field::Running, Value::Choice(if standby { "standby" } else { "duty" })),
            None => return other(spec, &Cell { content: Content::Text(seen.into()), ..Cell::default() }, seen),
        },
        // Words about duty that are not understood are kept; the rule books ask for what they need.
        Duty::Unknown => Given::one(Field::Duty, Value::Text(seen.into())),
    })
}

fn class(seen: &str) -> Given {
    let name = match fold::key(seen).as_str() {
        "ie1" => "IE1",
        "ie2" => "IE2",
        "ie3" => "IE3",
        "ie4" => "IE4",
        "ie5" => "IE5",
        "nemapremium" | "nemaprem" | "premium" | "premiumefficiency" | "yes" | "y" | "x" => "NEMA-premium",
        "epact" | "energyefficient" | "ee" => "energy-efficient",
        _ => return Given { notes: vec![Note::ClassUnknown], nothing: true, ..Given::default() },
    };
    Given::one(Field::EfficiencyClass, Value::Choice(name))
}

fn other(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let chosen = matches!(spec.kind, Kind::Choice(_) | Kind::YesNo);
    if let Some(value) = if chosen { choices::meant(spec.field, seen) } else { None } {
        return Ok(Given::one(spec.field, value));
    }
    match spec.kind {
        Kind::Number(..) | Kind::Count(..) => {
            let mut given = Given::default();
            let Some((value, _)) = one(spec, cell, seen, &[Unit::PerHour, Unit::Pieces], &mut given)? else { return Ok(given) };
            if matches!(spec.kind, Kind::Count(..)) && value.fract() != 0.0 {
                return values::read(spec, &cell.content).map(|_| given);
            }
            given.values.push((spec.field, bounded(spec.field, value, seen)?));
            Ok(given)
        }
        Kind::YesNo => match (&cell.content, duty::yes_no(seen)) {
            (Content::Boolean(yes), _) => Ok(Given::one(spec.field, Value::YesNo(*yes))),
            (_, Some(yes)) => Ok(Given::one(spec.field, Value::YesNo(yes))),
            _ => values::read(spec, &cell.content).map(|_| Given::nothing()),
        },
        _ => values::read(spec, &cell.content).map(|value| match value {
            Some(value) => Given::one(spec.field, value),
            None => Given::nothing(),
        }),
    }
}
