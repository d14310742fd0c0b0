//! Which column means what: by heading, by unit, and where a heading leaves it open, by what the column holds.

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use serde::Deserialize;

use super::duty::{self, Duty};
use super::error::{IntakeError, IntakeErrorKind};
use super::headings::{Meaning, Recognised};
use super::layout::Layout;
use super::methods::{self, Method};
use super::units::Unit;
use super::{Grid, Row, fold, load_words, tables, text};
use crate::finding::{Finding, Place, codes, column_letters, nearest};
use crate::load::{FIELDS, Field, FieldSpec, Kind};

/// Cells of a column that are looked at where its heading leaves its meaning open.
const SAMPLES: usize = 200;

/// How a column was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mapping {
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Column from zero.
    pub column: u32,
    /// Heading as it stands, a group heading in front.
    pub heading: String,
    /// Canonical column; none for a column that is carried through but not read.
    pub field: Option<Field>,
    /// Columns of the same heading before it in its table that are not read either.
    pub before: u32,
    /// Unit of the column; empty where it has none.
    pub unit: &'static str,
    /// The conversion of its values, such as `converted to kW`, the column that they are held against, or that it is left out on
    /// purpose; empty where they are taken as they stand.
    pub conversion: String,
}

impl Mapping {
    /// Whether it may state something that nobody reads: no column states it, and nobody said to leave it out.
    pub(super) fn is_passed_by(&self) -> bool {
        self.field.is_none() && self.conversion != ON_PURPOSE
    }

    /// One line: `column G "Potencia (CV)" read as rated_power_kw, metric horsepower, converted to kW`.
    #[must_use]
    pub fn line(&self) -> String {
        let letters = column_letters(self.column);
        let Some(field) = self.field else {
            let beside = if self.conversion.is_empty() { String::new() } else { format!(", {}", self.conversion) };
            return format!("column {letters} \"{}\" carried through, not read{beside}", text::shortened(&self.heading));
        };
        let mut line = format!("column {letters} \"{}\" read as {}", text::shortened(&self.heading), field.spec().name);
        for part in [self.unit, &self.conversion] {
            if !part.is_empty() {
                line.push_str(", ");
                line.push_str(part);
            }
        }
        line
    }
}

/// A column that is read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    pub(super) index: usize,
    pub(super) spec: &'static FieldSpec,
    /// Value of a column that is ticked for it.
    pub(super) tick: Option<&'static str>,
    pub(super) unit: Option<Unit>,
    /// Read by the rules of the canonical column.
    pub(super) canonical: bool,
    /// Its heading and the row of units name different units.
    pub(super) contradicted: bool,
    /// A column of ticks: no tick means no.
    pub(super) blank_is_no: bool,
    /// Its heading asks for standby alone: a yes means that.
    pub(super) of_standby: bool,
}

/// What is said of a column that the user does not want to be read.
pub(super) const ON_PURPOSE: &str = "on purpose";

/// Headings that the user says the meaning of, none where the column is not to be read: on the command line and in the schedule itself, and
/// in a basis, which may serve further schedules.
#[derive(Clone, Debug, Default)]
pub(super) struct Overrides {
    of_user: Vec<(String, Option<Field>)>,
    of_basis: Vec<(String, Option<Field>)>,
}

impl Overrides {
    /// Checks the names of the fields.
    pub(super) fn new(of_user: &[(String, String)], of_basis: &[(String, String)]) -> Result<Self, IntakeError> {
        let of = |(heading, name): &(String, String)| {
            let wanted = name.trim().replace([' ', '-'], "_").to_lowercase();
            if wanted.is_empty() || wanted == "none" {
                return Ok((heading.trim().to_owned(), None));
            }
            let field = Field::from_name(&wanted).ok_or_else(|| {
                let near = nearest(&wanted, FIELDS.iter().map(|spec| spec.name));
                let near = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
                IntakeError::new(
                    IntakeErrorKind::Override,
                    format!(
                        "the column `{}` is mapped to `{}`, which is no field{near}",
                        text::shortened(heading),
                        text::shortened(name)
                    ),
                )
            })?;
            Ok((heading.trim().to_owned(), Some(field)))
        };
        let all = |pairs: &[(String, String)]| pairs.iter().map(of).collect::<Result<_, _>>();
        Ok(Self { of_user: all(of_user)?, of_basis: all(of_basis)? })
    }

    /// Puts the user's meaning in place of the recognised one.
    pub(super) fn apply(&self, headings: &[String], recognised: &mut [Option<Recognised>]) {
        for (heading, slot) in headings.iter().zip(recognised) {
            let key = fold::key(heading);
            if let Some((_, field)) =
                self.of_user.iter().chain(&self.of_basis).find(|(mapped, _)| !key.is_empty() && fold::key(mapped) == key)
            {
                let unit = slot.as_ref().and_then(|found| found.unit);
                let meaning = field.map_or(Meaning::LeftOut, Meaning::Field);
                *slot = Some(Recognised { meanings: vec![meaning], unit, canonical: None });
            }
        }
    }

    /// Every heading that is named must stand somewhere.
    pub(super) fn check<'a>(&self, headings: impl Iterator<Item = &'a String> + Clone) -> Result<(), IntakeError> {
        for (mapped, _) in &self.of_user {
            if headings.clone().any(|heading| fold::key(heading) == fold::key(mapped)) {
                continue;
            }
            let near = nearest(mapped, headings.clone().map(String::as_str));
            let near = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
            return Err(IntakeError::new(
                IntakeErrorKind::Override,
                format!("no column of the schedule has the heading `{}` that is mapped{near}", text::shortened(mapped)),
            ));
        }
        Ok(())
    }

    /// Headings of the basis that no column has: other schedules of the project may have them.
    pub(super) fn of_other_schedules<'a>(&self, headings: impl Iterator<Item = &'a String> + Clone, file: &str) -> Vec<Finding> {
        let absent = |mapped: &str| !headings.clone().any(|heading| fold::key(heading) == fold::key(mapped));
        // Of a column that is to be left out nothing can be missed.
        let missed = |(mapped, field): &(String, Option<Field>)| {
            let field = field.filter(|_| absent(mapped))?;
            let near = nearest(mapped, headings.clone().map(String::as_str));
            let map = near.map(|near| format!("map `{near}` if that is meant; ")).unwrap_or_default();
            let what = format!(
                "no column of the schedule has the heading `{}`, which [columns] of the basis maps to {}",
                text::shortened(mapped),
                field.spec().name
            );
            let finding = Finding::new(&codes::F103_HEADING_ABSENT, what)
                .at(Place::file(file))
                .why("a column of another spelling is not read as that")
                .cure(format!("{map}leave it as it stands if another schedule of the project has that heading"));
            Some(finding)
        };
        self.of_basis.iter().filter_map(missed).collect()
    }
}

/// Meaning of every column of a table; `None` where it is not recognised.
pub(super) fn decide(layout: &Layout, grid: &Grid) -> Vec<Option<Meaning>> {
    let mut decided: Vec<Option<Meaning>> = vec![None; layout.headings.len()];
    let mut taken: HashMap<Field, usize> = HashMap::new();
    let plain = is_plain(layout);
    for (column, found) in layout.recognised.iter().enumerate() {
        let Some(found) = found else { continue };
        // `load_torque` is nobody's word but the canonical name; `location` may be one of the trade.
        let written_so = || layout.headings.get(column).is_some_and(|heading| heading.contains('_'));
        let canonical = found.canonical.filter(|_| plain || written_so()).map(Meaning::Field);
        let single = match found.meanings.as_slice() {
            [one] => Some(*one),
            _ => canonical,
        };
        let Some(meaning) = single else { continue };
        let samples = || samples(grid, layout, column);
        decided[column] = Some(match meaning {
            // A tick column holds ticks; a column of that name with other contents is something else.
            Meaning::Tick(..) if !samples().iter().all(|text| duty::yes_no(text).is_some() || super::cells::is_nothing(text)) => {
                Meaning::Unused
            }
            Meaning::Field(Field::Board | Field::Circuit) if !plain && are_ways(&samples(), meaning) => Meaning::Unused,
            Meaning::Field(field) => {
                taken.entry(field).or_insert(column);
                meaning
            }
            other => other,
        });
    }
    for (column, found) in layout.recognised.iter().enumerate() {
        let Some(found) = found.as_ref().filter(|_| decided[column].is_none()) else { continue };
        let samples = samples(grid, layout, column);
        let all = &found.meanings;
        let by_contents = all.iter().copied().find(|meaning| is_certain(*meaning, &samples));
        let holds = |meaning: Meaning| match meaning {
            Meaning::Field(Field::Location) => are_places(&samples, is_described_beside(layout, &decided, column)),
            other => fits(other, &samples),
        };
        let free = |meaning: &Meaning| match meaning {
            Meaning::Field(field) => !taken.contains_key(field),
            _ => true,
        };
        let chosen = by_contents
            .filter(free)
            .or_else(|| all.iter().copied().find(|meaning| free(meaning) && holds(*meaning)))
            .unwrap_or(Meaning::Unused);
        if let Meaning::Field(field) = chosen {
            taken.entry(field).or_insert(column);
        }
        decided[column] = Some(chosen);
    }
    if !plain {
        take_for_counts(layout, grid, &mut decided);
    }
    leave_head_of_pump(layout, &mut decided);
    take_a_for_current(layout, grid, &mut decided);
    if !decided.contains(&Some(Meaning::Field(Field::Tag))) {
        take_for_tags(layout, grid, &mut decided);
    }
    decided
}

/// Whether another column than this one says what the loads are.
fn is_described_beside(layout: &Layout, decided: &[Option<Meaning>], column: usize) -> bool {
    let may_be = |found: &Recognised| found.may_be(Field::Description);
    let describes = |at: usize, meaning: &Option<Meaning>| match meaning {
        Some(meaning) => *meaning == Meaning::Field(Field::Description),
        None => layout.recognised.get(at).and_then(Option::as_ref).is_some_and(may_be),
    };
    decided.iter().enumerate().any(|(at, meaning)| at != column && describes(at, meaning))
}

/// Whether texts say where loads stand. Beside a description one row that stands on a roof is enough: the others may name rooms. Where
/// nothing else describes the loads, the texts may, as `Roof exhaust fan` and `Fire pump` do.
fn are_places(samples: &[String], described: bool) -> bool {
    let is_place = |text: &str| super::cells::place_meant(text).is_some();
    let names_load = |text: &str| load_words::names_what_turns(text) || load_words::names_a_heater(text);
    if described {
        return samples.iter().any(|text| is_place(text)) && !most(samples, names_load);
    }
    most(samples, is_place) && !samples.iter().any(|text| names_load(text))
}

/// `FT` beside the flow of a pump or the pressure of a fan is its head, no length of a cable.
fn leave_head_of_pump(layout: &Layout, decided: &mut [Option<Meaning>]) {
    let words: Vec<Vec<String>> = layout.headings.iter().map(|heading| fold::words(heading)).collect();
    let of_machine = ["gpm", "flow", "head", "tdh", "psi", "cfm", "esp", "wc", "wg", "pressure", "capacity"];
    if !words.iter().flatten().any(|word| of_machine.contains(&word.as_str())) {
        return;
    }
    for (meaning, words) in decided.iter_mut().zip(&words) {
        if words.as_slice() == ["ft"] && *meaning == Some(Meaning::Field(Field::CableLengthM)) {
            *meaning = Some(Meaning::Unused);
        }
    }
}

/// `A` is the current of the loads beside columns that are called by a unit too, where no other column is; beside `B` and `C` it is a
/// phase.
fn take_a_for_current(layout: &Layout, grid: &Grid, decided: &mut [Option<Meaning>]) {
    let keys: Vec<String> = layout.headings.iter().map(|heading| fold::key(heading)).collect();
    let is_called = |names: &[&str]| keys.iter().any(|key| names.contains(&key.as_str()));
    let current = [Field::FullLoadCurrentA, Field::RatedLoadCurrentA].map(|field| Some(Meaning::Field(field)));
    if !is_called(&["kw", "hp", "ps", "cv", "v", "volt"])
        || is_called(&["b", "c"])
        || current.iter().any(|one| decided.contains(one))
    {
        return;
    }
    let Some(column) = keys.iter().position(|key| key == "a").filter(|column| decided[*column].is_none()) else { return };
    let texts = samples(grid, layout, column);
    if !texts.is_empty() && fits(Meaning::Field(Field::FullLoadCurrentA), &texts) {
        decided[column] = current[0];
    }
}

/// `Duty` and `Standby` side by side over whole numbers, of which some row adds up to more than one machine: their counts, no ticks.
fn take_for_counts(layout: &Layout, grid: &Grid, decided: &mut [Option<Meaning>]) {
    let counts = |column: usize| {
        let texts = samples(grid, layout, column);
        !texts.is_empty() && texts.iter().all(|text| text.parse::<u32>().is_ok_and(|count| count < 100))
    };
    let heading = |column: usize| layout.headings.get(column).map(String::as_str).unwrap_or_default();
    let is_column = |column: &usize, asked: fn(&str) -> bool| asked(heading(*column)) && counts(*column);
    let columns = 0..decided.len();
    let standby = columns.clone().find(|column| is_column(column, duty::asks_for_standby));
    let runs = columns.into_iter().find(|column| is_column(column, duty::asks_for_duty));
    let (Some(runs), Some(standby)) = (runs, standby) else { return };
    let count = |row: &Row<'_>, column: usize| row.seen(column).trim().parse::<u32>().unwrap_or_default();
    let several = |row: Row<'_>| count(&row, runs) + count(&row, standby) > 1;
    let taken = |field: Field| decided.contains(&Some(Meaning::Field(field)));
    if !taken(Field::DutyCount) && !taken(Field::StandbyCount) && grid.rows.range(layout.first..layout.end).any(several) {
        decided[runs] = Some(Meaning::Field(Field::DutyCount));
        decided[standby] = Some(Meaning::Field(Field::StandbyCount));
    }
}

/// Whether a text is the speed of a motor, or the two of one with two.
fn reads_motor_speed(text: &str) -> bool {
    let both = super::numbers::pair(text).is_some_and(|(one, other)| is_motor_speed(one) && is_motor_speed(other));
    both || super::numbers::number(&text.replace(',', "")).is_ok_and(|(speed, _)| is_motor_speed(speed))
}

/// Whether a speed, 1/min, is that of a motor at 50 or 60 Hz with two to twelve poles: that of the field, or up to a tenth below it (common
/// practice, no source).
pub(super) fn is_motor_speed(speed: f64) -> bool {
    const MOST_SLIP: f64 = 0.1;
    let fields = [3_600.0, 3_000.0].into_iter().flat_map(|first: f64| (1..=6_u8).map(move |pairs| first / f64::from(pairs)));
    fields.into_iter().any(|field| speed <= field && speed >= field * (1.0 - MOST_SLIP))
}

/// Whether a text is one of the values of a field, such as a letter of the locked-rotor code (NFPA 70, Table 430.7(B)).
fn is_choice(field: Field, text: &str) -> bool {
    let Kind::Choice(choices) = field.spec().kind else { return false };
    choices.iter().any(|(name, _)| name.eq_ignore_ascii_case(text.trim()))
}

/// The design letter of a motor that a text is (NEMA MG 1, 1.19; IEC 60034-12), with or without the word.
pub(super) fn design_letter(text: &str) -> Option<String> {
    let words = fold::words(text);
    let left: Vec<&String> = words.iter().filter(|word| !matches!(word.as_str(), "nema" | "design" | "des")).collect();
    let [letter] = left.as_slice() else { return None };
    let letter = letter.to_ascii_uppercase();
    matches!(letter.as_str(), "A" | "B" | "C" | "D" | "E" | "N" | "H" | "NE" | "HE" | "BE").then_some(letter)
}

/// Whether a text is a size of a controller (NEMA ICS 2): 00 to 9.
fn is_starter_size(text: &str) -> bool {
    let key = fold::key(text);
    let bare = key.trim_start_matches("nema").trim_start_matches("size").trim_start_matches("sz");
    bare == "00" || bare.len() == 1 && bare.bytes().all(|byte| byte.is_ascii_digit())
}

/// Whether texts are numbers of ways, as panel schedules count them: `1,3,5`. A board may be called by one number or by two (`2/1`, the
/// first of the second floor), a circuit is one way too.
fn are_ways(samples: &[String], meaning: Meaning) -> bool {
    let circuit = meaning == Meaning::Field(Field::Circuit);
    let once = || samples.iter().collect::<HashSet<_>>().len() == samples.len();
    !samples.is_empty() && samples.iter().all(|text| is_way(text, circuit)) && (circuit || once())
}

/// Whether a text is the number of a way, or of those of several poles. Those of a board stand one below the other or on both sides.
fn is_way(text: &str, circuit: bool) -> bool {
    let parts = text.split([',', '/', '-', '&', ';', ' ']).filter(|part| !part.is_empty());
    let number = |part: &str| part.parse::<u16>().ok().filter(|_| part.len() <= 3 && !part.starts_with('+'));
    let Some(ways) = parts.map(number).collect::<Option<Vec<u16>>>() else { return false };
    let steps = || ways.windows(2).map(|pair| pair[1].checked_sub(pair[0]));
    let first = steps().next().flatten();
    circuit && !ways.is_empty() || matches!(first, Some(1 | 2)) && steps().all(|step| step == first)
}

/// Where no column is that of the tags, the first that may be and holds figures is: `Equipment` over AHU-1, AHU-2.
fn take_for_tags(layout: &Layout, grid: &Grid, decided: &mut [Option<Meaning>]) {
    let may_be =
        |column: &usize| layout.recognised.get(*column).and_then(Option::as_ref).is_some_and(|found| found.may_be(Field::Tag));
    let numbered = |column: &usize| {
        let samples = samples(grid, layout, *column);
        !samples.is_empty() && most(&samples, |text| text.bytes().any(|byte| byte.is_ascii_digit()))
    };
    // `No.` over M-1, M-2: a number of the list has no letters.
    let lettered = |column: &usize| {
        let heading = layout.headings.get(*column).map(|heading| fold::key(heading)).unwrap_or_default();
        let samples = samples(grid, layout, *column);
        let tag_like = |text: &String| {
            text.bytes().any(|byte| byte.is_ascii_digit()) && text.starts_with(|first: char| first.is_alphabetic())
        };
        matches!(heading.as_str(), "no" | "nr" | "num" | "number") && !samples.is_empty() && samples.iter().all(tag_like)
    };
    let numbers = (0..decided.len().min(2)).find(lettered);
    if let Some(column) = numbers.or_else(|| (0..decided.len()).filter(may_be).find(numbered)) {
        decided[column] = Some(Meaning::Field(Field::Tag));
    }
}

/// A table of canonical names, as `blank` writes it, with at most a few columns of the sender's own.
pub(super) fn is_plain(layout: &Layout) -> bool {
    let used = layout
        .recognised
        .iter()
        .flatten()
        .filter(|found| found.meanings != [Meaning::Unused] && found.meanings != [Meaning::LeftOut]);
    let canonical = used.clone().filter(|found| found.canonical.is_some()).count();
    canonical * 5 >= used.count() * 4
}

/// Texts of the filled cells of a column, as many as are looked at.
fn samples(grid: &Grid, layout: &Layout, column: usize) -> Vec<String> {
    let rows = grid.rows.range(layout.first..layout.end);
    let heading = layout.headings.get(column).map(|heading| fold::key(heading)).unwrap_or_default();
    rows.filter(holds_several)
        .filter(|row| !row.is_blank(column))
        .map(|row| fold::tidy(&row.seen(column)).into_owned())
        .filter(|text| fold::key(text) != heading)
        .take(SAMPLES)
        .collect()
}

/// Whether more than one cell of a row is filled. A row with one text is a title or a note, and speaks for no column.
pub(super) fn holds_several(row: &Row<'_>) -> bool {
    (0..row.len()).filter(|column| !row.is_blank(*column)).nth(1).is_some()
}

fn most(samples: &[String], test: impl Fn(&str) -> bool) -> bool {
    samples.iter().filter(|text| test(text)).count() * 2 > samples.len()
}

/// Contents that leave no doubt.
fn is_certain(meaning: Meaning, samples: &[String]) -> bool {
    let Meaning::Field(field) = meaning else { return false };
    if samples.is_empty() {
        return false;
    }
    match field {
        Field::Duty => most(samples, |text| matches!(duty::duty(text), Duty::Type(_) | Duty::Counts(..))),
        Field::Supply => most(samples, |text| {
            text.contains('/')
                || text.to_lowercase().contains(['v', '~'])
                || text.parse::<f64>().is_ok_and(|number| SYSTEMS.iter().any(|system| system.voltage_v == number))
        }),
        _ => false,
    }
}

/// A voltage of the usual low-voltage systems, which is no usual rating of a motor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SystemVoltage {
    voltage_v: f64,
    customary: String,
}

static SYSTEMS: LazyLock<Vec<SystemVoltage>> = LazyLock::new(|| tables::rows(include_str!("tables/system-voltages.csv")));

/// Whether a voltage is one of the usual low-voltage systems.
pub(super) fn is_system(voltage: f64) -> bool {
    SYSTEMS.iter().any(|system| system.voltage_v == voltage)
}

/// Whether only systems of 60 Hz in North America have a voltage.
pub(super) fn is_customary(voltage: f64) -> bool {
    SYSTEMS.iter().any(|system| system.voltage_v == voltage && system.customary == "yes")
}

/// Contents that a meaning admits.
fn fits(meaning: Meaning, samples: &[String]) -> bool {
    let Meaning::Field(field) = meaning else { return true };
    if samples.is_empty() {
        return !matches!(
            field,
            Field::LockedRotorCode | Field::GivenRaceway | Field::Reversing | Field::Location | Field::Quantity | Field::Phase
        );
    }
    let whole = |text: &str| text.parse::<u32>().ok();
    match field {
        Field::Duty | Field::Running => most(samples, |text| duty::duty(text) != Duty::Unknown || super::cells::is_nothing(text)),
        Field::StartingMethod => most(samples, |text| methods::method(text) != Method::Unknown),
        Field::Phases => most(samples, |text| {
            let key = fold::key(text);
            let roman = matches!(key.as_str(), "i" | "iii");
            roman || key.starts_with(['1', '3']) || ["tri", "mono", "single", "three"].iter().any(|word| key.starts_with(word))
        }),
        Field::Quantity => {
            let numbers: Vec<Option<u32>> = samples.iter().map(|text| whole(text)).collect();
            let running = numbers.len() > 1 && numbers.windows(2).all(|pair| pair[1] > pair[0]);
            numbers.iter().all(|number| number.is_some_and(|number| number > 0)) && !running
        }
        Field::ExMarking => super::surroundings::fill(samples),
        Field::Isolator => most(samples, |text| {
            super::cells::says_of_disconnect(text)
                || duty::yes_no(text).is_some()
                || super::choices::meant(field, text).is_some()
                || super::cells::is_nothing(text)
        }),
        Field::Enclosure => most(samples, super::cells::is_enclosure),
        Field::DesignLetter => most(samples, |text| design_letter(text).is_some()),
        Field::GivenNemaSize => most(samples, |text| is_starter_size(text) || super::cells::is_nothing(text)),
        Field::Board | Field::Circuit => !are_ways(samples, meaning),
        Field::ProtectionKind => most(samples, super::protection_kinds::is_one),
        // A column of such a name may hold amperes, or both currents, or words, or starts an hour.
        Field::FrequencyHz
        | Field::LockedRotorRatio
        | Field::StartTimeS
        | Field::TeS
        | Field::FullLoadCurrentA
        | Field::AuxNo
        | Field::AuxNc
        | Field::ControlCableLengthM => {
            most(samples, |text| super::cells::holds_figure(field, text) || super::cells::is_nothing(text))
        }
        Field::SpeedRpm => most(samples, reads_motor_speed),
        Field::SpaceHeaterW
        | Field::BrakeW
        | Field::GroupedCircuits
        | Field::CableLengthM
        | Field::GivenProtectionA
        | Field::MaximumProtectionA => {
            most(samples, |text| super::cells::holds_figure(field, text) || super::cells::is_nothing(text))
        }
        Field::StartsPerHour => most(samples, |text| text == "0" || super::cells::holds_figure(field, text)),
        Field::SupplyClass => most(samples, |text| super::choices::meant(field, text).is_some() || is_choice(field, text)),
        Field::Conductor => most(samples, |text| super::choices::meant(field, text).is_some() || is_choice(field, text)),
        Field::LoadTorque => most(samples, |text| super::choices::meant(field, text).is_some() || is_choice(field, text)),
        Field::LockedRotorCode => most(samples, |text| is_choice(field, text) || super::cells::is_nothing(text)),
        Field::GivenConductor => most(samples, super::cells::are_conductors),
        Field::GivenRaceway => most(samples, super::cells::is_trade_size),
        Field::SafetyLevel => most(samples, |text| super::derived::is_grade(text) || super::cells::is_nothing(text)),
        Field::EfficiencyClass => most(samples, |text| super::cells::is_class(text) || super::cells::is_nothing(text)),
        // Of 0 and 1 nobody can tell yes and no from the indices of a first revision.
        Field::Reversing => {
            most(samples, |text| duty::yes_no(text).is_some() || super::cells::is_nothing(text))
                && !samples.iter().all(|text| whole(text).is_some() || super::cells::is_nothing(text))
        }
        Field::VoltageV => most(samples, |text| super::cells::holds_figure(field, text)),
        _ => true,
    }
}
