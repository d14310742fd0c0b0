//! Reads one cell of a sender's own column: tolerant of spelling, never of doubt. Figures stand in `measured`.

use super::choices;
use super::dates;
use super::duty::{self, Duty};
use super::method_doubts::{self, Doubt};
use super::method_figures;
use super::methods::{self, Method};
use super::remarks;
use super::shown;
use super::units::Unit;
use super::values::{self, Wrong, wrong};
use super::{Cell, Content, fold, text};
use crate::finding::codes;
use crate::load::{Field, FieldSpec, Kind, Value};

mod isolators;
mod measured;
mod others;
mod supplies;

pub(super) use isolators::{is_enclosure, is_understood as says_of_disconnect};
pub(super) use others::{are_conductors, is_trade_size, place_meant, poles_of_two_speeds};

/// A change of a value, told once a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Note {
    Converted,
    Grouped,
    /// The other cells of the column prove the mark to be the decimal one.
    Decimals,
    Percent,
    AsText,
    ClassUnknown,
    Neutral,
    Winding,
    /// A time rating without its kind of duty.
    TimeRating,
    /// Reactive power beside another power.
    Reactive,
    /// Machines that stand by for each other, and not how many.
    Pair,
    /// A room that says neither dry, wet nor roof.
    Room,
}

/// The result of reading a cell.
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

pub(super) type Outcome = Result<Given, Box<Wrong>>;

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
        return Ok(plain_text(spec, unit, &seen));
    }
    if is_nothing(&seen) {
        return Ok(Given::nothing());
    }
    if is_open(&seen) && !(spec.field == Field::StartingMethod && methods::method(&seen) != Method::Unknown) {
        return Ok(open_value(spec, &seen));
    }
    if text::is_doubted(&seen) {
        return Ok(doubtful(spec, &seen));
    }
    match (spec.field, spec.kind) {
        (Field::StartingMethod, _) => method(&seen),
        (Field::EmergencyStop, _) => emergency_stop(spec, cell, &seen),
        (Field::Isolator, _) if !matches!(cell.content, Content::Boolean(_)) => isolators::read(&seen),
        (Field::Duty | Field::Running, _) => about_duty(spec, &seen),
        (Field::EfficiencyClass, _) => Ok(class(&seen)),
        (Field::Location, _) => Ok(others::place(&seen)),
        (Field::Supply, _) | (_, Kind::Number(..) | Kind::Count(..)) => measured::read(spec, unit, cell, &seen),
        _ => words(spec, cell, &seen),
    }
}

/// Whether a text is a figure that a field can hold.
pub(super) fn holds_figure(field: Field, text: &str) -> bool {
    let cell = Cell { content: Content::Text(text.into()), ..Cell::default() };
    measured::read(field.spec(), None, &cell, text).is_ok_and(|given| !given.values.is_empty())
}

/// A text that names another thing of the project, and that somebody has still to decide: no board is called TBC.
pub(super) fn undecided_name(spec: &FieldSpec, seen: &str) -> Option<Wrong> {
    let names = matches!(spec.field, Field::Board | Field::InterlockWith);
    (names && is_open(seen)).then(|| Wrong {
        code: &codes::I418_UNDECIDED,
        what: format!("{} reads `{}`", spec.name, text::shortened(seen)),
        cure: "enter the name once it is decided; leave the cell empty where there is none".to_owned(),
    })
}

fn plain_text(spec: &FieldSpec, unit: Option<Unit>, seen: &str) -> Given {
    let remark = values::is_remark(spec.field);
    if let Some(open) = undecided_name(spec, seen) {
        return Given { open: Some(Box::new(open)), ..Given::default() };
    }
    if is_nothing(seen) && !remark || seen.is_empty() || (remark && text::is_placeholder(seen)) {
        return Given::nothing();
    }
    let value = match spec.field {
        // Reference methods are written large, raceways small.
        Field::InstallationMethod if seen.len() <= 2 || seen.contains('+') => seen.to_uppercase(),
        Field::InstallationMethod => others::installation(seen),
        Field::GivenConductor | Field::GivenProtectiveConductor => return others::conductor(spec.field, unit, seen),
        Field::GivenRaceway => others::raceway(seen),
        Field::DesignLetter => return others::design_letter(seen),
        // `1` is a number of sensors.
        Field::Thermistor if !seen.bytes().all(|byte| byte.is_ascii_digit()) => match duty::yes_no(seen) {
            Some(yes) => if yes { "yes" } else { "no" }.to_owned(),
            None => seen.to_owned(),
        },
        _ => seen.to_owned(),
    };
    Given::one(spec.field, Value::Text(value.into()))
}

/// Reads a yes or no below a heading that asks for standby alone.
pub(super) fn stands_by(seen: &str) -> Option<Given> {
    let word = if duty::yes_no(seen)? { "standby" } else { "duty" };
    Some(Given::one(Field::Running, Value::Choice(word)))
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
            | F::RatedLoadCurrentA
            | F::BranchSelectionCurrentA
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

/// A value with a question mark: open where sizing needs it, else told, because the usual value takes its place.
fn doubtful(spec: &FieldSpec, seen: &str) -> Given {
    let open = open_value(spec, seen);
    if open.open.is_some() {
        return open;
    }
    Given::open(
        &codes::I434_NOT_ONE_VALUE,
        format!("{} reads `{}`, which is not decided and was not read", spec.name, text::shortened(seen)),
        "enter the value once it is decided; until then the basis or the usual value counts",
    )
}

fn method(seen: &str) -> Outcome {
    let spec = Field::StartingMethod.spec();
    let bare = shown::without_mark(seen);
    let seen = bare.as_ref();
    match methods::method(seen) {
        Method::Known(name, reverses) => {
            let mut given = Given { reverses, ..Given::one(Field::StartingMethod, Value::Choice(name)) };
            let bypass = methods::bypass(seen).filter(|_| matches!(name, "drive" | "soft-starter"));
            given.values.extend(bypass.map(|bypass| (Field::Bypass, Value::YesNo(bypass))));
            let figures = method_figures::read(seen, name);
            given.values.extend(figures.values);
            given.open = figures.unread.map(|unread| {
                let what = format!("{} reads `{}`, which says {unread}", spec.name, text::shortened(seen));
                let cure =
                    "state it in its own column: tap_pct, start_current_limit or quantity, or one row a starter".to_owned();
                Box::new(Wrong { code: &codes::I436_METHOD_FIGURE, what, cure })
            });
            if let (None, Some(doubt)) = (&given.open, method_doubts::of(seen, name)) {
                doubted(&mut given, &doubt, seen);
            }
            if given.open.is_none() {
                given.open = not_understood(seen);
            }
            Ok(given)
        }
        Method::Open => Ok(Given::open(
            &codes::I418_UNDECIDED,
            format!("{} reads `{}`, which means more than one method", spec.name, text::shortened(seen)),
            "name the method: direct, manual, by others, a supply alone, soft starter, autotransformer, star-delta, VFD ...",
        )),
        Method::Conflict(one, other) => wrong(
            &codes::I423_METHODS_CONFLICT,
            format!("{} reads `{}`, which names {one} and {other}", spec.name, text::shortened(seen)),
            "keep one of the two",
        ),
        Method::Unknown => {
            let near = values::nearest_choice(spec, seen).map(str::to_owned).or_else(|| methods::nearest_spelling(seen));
            let near = near.map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
            wrong(
                &codes::I422_METHOD_UNKNOWN,
                format!("{} reads `{}`, which is not understood", spec.name, text::shortened(seen)),
                format!("{near}understood are: {}", methods::UNDERSTOOD),
            )
        }
    }
}

/// Words beside a method that nobody knows are named: they may ask for something.
fn not_understood(seen: &str) -> Option<Box<Wrong>> {
    let counts = |word: &String| word.chars().any(char::is_alphabetic) && !remarks::asks_about(word, seen);
    let unknown: Vec<String> = methods::rest(seen).unknown.into_iter().filter(counts).collect();
    (!unknown.is_empty()).then(|| {
        let what = format!(
            "{} reads `{}`, of which `{}` is not understood and counts for nothing",
            Field::StartingMethod.spec().name,
            text::shortened(seen),
            text::shortened(&unknown.join(" "))
        );
        let cure = "if it asks for something, state it in its own column, such as bypass, line_contactor or reversing".to_owned();
        Box::new(Wrong { code: &codes::I463_METHOD_WORDS_LEFT, what, cure })
    })
}

/// A stop category; or a yes or the name of a zone, which say none: power is removed at once then, and somebody is asked.
fn emergency_stop(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    if duty::yes_no(seen) == Some(false) && choices::meant(spec.field, seen).is_none() {
        return Ok(Given::one(spec.field, Value::Choice("none")));
    }
    if let Ok(given) = words(spec, cell, seen) {
        return Ok(given);
    }
    let what = format!("{} reads `{}`, which says no stop category: category 0 was taken", spec.name, text::shortened(seen));
    let cure = "write category-0 (power removed at once) or category-1 (controlled stop first)".to_owned();
    let open = Some(Box::new(Wrong { code: &codes::I465_STOP_CATEGORY, what, cure }));
    Ok(Given { open, ..Given::one(spec.field, Value::Choice("category-0")) })
}

/// Puts into a method what its words leave in doubt.
fn doubted(given: &mut Given, doubt: &Doubt, seen: &str) {
    let spec = Field::StartingMethod.spec();
    let reads = format!("{} reads `{}`", spec.name, text::shortened(seen));
    given.open = match doubt {
        Doubt::AccessoryByOthers(name) => {
            given.values = vec![(Field::StartingMethod, Value::Choice(name))];
            let what = format!("{reads}: what is by others was taken for something besides the starter, which is {name}");
            Given::open(
                &codes::I437_STARTER_BY_OTHERS,
                what,
                "write by-others if the starter itself is supplied by others; else write the method alone",
            )
        }
        Doubt::SuppliedByOthers(word) => {
            let what = format!("{reads}: `{word}` may leave the starter to others, and it was chosen here");
            Given::open(
                &codes::I437_STARTER_BY_OTHERS,
                what,
                "write by-others if the starter is supplied by others or exists; else write the method alone",
            )
        }
        Doubt::Words(word) => {
            let what = format!(
                "{reads}: `{word}` may say that it reverses, has two speeds or serves several motors, and was not understood"
            );
            Given::open(
                &codes::I445_METHOD_WORDS,
                what,
                "state it in reversing, starting_method or quantity, and write the method alone",
            )
        }
    }
    .open;
}

fn about_duty(spec: &'static FieldSpec, seen: &str) -> Outcome {
    let found = if spec.field == Field::Running { duty::running(seen) } else { duty::duty(seen) };
    Ok(match found {
        Duty::Type(text) => Given::one(Field::Duty, Value::Text(text.into())),
        Duty::Rated(text) => Given { notes: vec![Note::TimeRating], ..Given::one(Field::Duty, Value::Text(text.into())) },
        Duty::Running(running) => Given::one(Field::Running, Value::Choice(running)),
        Duty::Counts(duty, standby) => Given {
            values: vec![
                (Field::DutyCount, Value::Number(f64::from(duty))),
                (Field::StandbyCount, Value::Number(f64::from(standby))),
            ],
            ..Given::default()
        },
        Duty::Pair => Given { notes: vec![Note::Pair], ..Given::default() },
        Duty::Unknown if spec.field == Field::Running => {
            return words(spec, &Cell { content: Content::Text(seen.into()), ..Cell::default() }, seen);
        }
        // Words about duty that are not understood are kept; the rule books ask for what they need.
        Duty::Unknown => Given::one(Field::Duty, Value::Text(seen.into())),
    })
}

/// Whether a text is a class of efficiency.
pub(super) fn is_class(text: &str) -> bool {
    !class(text).nothing && duty::yes_no(text).is_none()
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
        _ => match class_within(seen) {
            Some(name) => name,
            None => return Given { notes: vec![Note::ClassUnknown], nothing: true, ..Given::default() },
        },
    };
    Given::one(Field::EfficiencyClass, Value::Choice(name))
}

/// The one class in a text of several words: `IE3 (premium)`, `min. IE3`, `IE3 or better`.
fn class_within(seen: &str) -> Option<&'static str> {
    const CLASSES: [(&str, &str); 5] = [("ie1", "IE1"), ("ie2", "IE2"), ("ie3", "IE3"), ("ie4", "IE4"), ("ie5", "IE5")];
    let words = fold::words(seen);
    let denied = words.iter().any(|word| matches!(word.as_str(), "not" | "no" | "below" | "under" | "less" | "max"));
    let mut named = CLASSES.iter().filter(|(word, _)| words.iter().any(|found| found == word));
    let (_, name) = named.next().filter(|_| !denied)?;
    named.next().is_none().then_some(*name)
}

/// A value of a column with a fixed choice, in the words of the sender or of the canonical column.
fn words(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let chosen = matches!(spec.kind, Kind::Choice(_) | Kind::YesNo);
    if let Some(value) = if chosen { choices::meant(spec.field, seen) } else { None } {
        return Ok(Given::one(spec.field, value));
    }
    match (spec.kind, &cell.content, duty::yes_no(seen)) {
        (Kind::YesNo, Content::Boolean(yes), _) => Ok(Given::one(spec.field, Value::YesNo(*yes))),
        (Kind::YesNo, _, Some(yes)) => Ok(Given::one(spec.field, Value::YesNo(yes))),
        _ => choice(spec, &cell.content),
    }
}

/// A value as the canonical column writes it.
fn choice(spec: &'static FieldSpec, content: &Content) -> Outcome {
    values::read(spec, content).map(|value| value.map_or_else(Given::nothing, |value| Given::one(spec.field, value)))
}
