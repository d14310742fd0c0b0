//! Choices of others: devices and conductors that a row states are judged by the same demands, limits and criteria by which the
//! program chooses its own. The circuit keeps the program's choice as what would do; each stated value gets a verdict.
//!
//! A row states little of a device. What its figure proves is told apart from the most that it may mean: a limit that fails even
//! then is not kept, and one that the figure does not prove is "not checked".

use crate::design::{Check, Circuit, Given, Verdict};
use crate::finding::{Finding, codes};
use crate::load::{Case, Field, Load, ProtectionKind};
use crate::record::Record;
use crate::rules::units::{Measure, Units};
use crate::rules::{RatedCurrents, words};
use crate::sizing::Pins;
use crate::sizing::Tools;
use crate::sizing::assembly::{Assembly, Decided, protection, relays};
use crate::sizing::judge::sentence;
use crate::sizing::runs;
use crate::supply::SupplyPoint;

mod conductor;
mod contactor;
mod cure;
mod overload;
mod protective;
mod read;

pub(in crate::sizing) use read::COLUMNS;
use read::{Stated, Unreadable};

/// A row with all by which it is judged.
pub struct Row<'a> {
    /// Row as read.
    pub load: &'a Load,
    /// The same with nothing missing.
    pub case: &'a Case,
    /// Rated currents.
    pub currents: &'a RatedCurrents,
    /// The board.
    pub point: &'a SupplyPoint,
    /// Tools.
    pub tools: &'a Tools<'a>,
}

/// The circuit and the demands against which stated values are held.
struct Bench<'a> {
    row: &'a Row<'a>,
    assembly: &'a Assembly<'a>,
    circuit: &'a Circuit,
    stated: Stated,
    /// Trip class that counts: the stated one, else the one that the start needs.
    class: &'static str,
    /// The demand on the protective device.
    protection: protection::Demand<'a>,
    /// The demand on the run that begins at the board.
    run: Option<conductor::Behind>,
}

/// The judgement of a stated value.
#[derive(Debug, Default)]
struct Judged {
    /// Limits that could be told.
    checks: Vec<Check>,
    /// The reason that rules it out where no figure does, with the clause.
    ruled_out: Option<(String, String)>,
    /// The value that would do.
    wanted: String,
    /// Other values beside which that one would do, where it does not beside those of the row.
    beside: String,
    /// Why its figure does not decide; the value is not checked then unless a limit fails anyway.
    doubt: Option<String>,
    /// Nobody knows whether it lets the motor start: it is no cure of another value.
    start_unknown: bool,
    /// It is larger than needed: what follows.
    oversized: Option<Larger>,
    /// Remarks on the choice.
    remarks: Vec<String>,
    /// Checks that were not made, because the row does not state what they need.
    open: Vec<String>,
}

/// The consequences of a choice that is larger than needed.
#[derive(Debug)]
struct Larger {
    /// In words, with figures.
    follows: String,
    /// Protection is lost, or can't be shown any more; else only room, terminals or further parts are concerned.
    less_protection: bool,
}

impl Larger {
    /// Only room, terminals or further parts are concerned.
    fn room(follows: impl Into<String>) -> Self {
        Self { follows: follows.into(), less_protection: false }
    }

    /// A fault must be larger before the device acts, which is held against what conductors and fault loop admit. What could not be
    /// told of that is no proof that protection stays.
    fn fault(follows: &str, bench: &Bench<'_>, behind: &conductor::BehindDevice) -> Self {
        let held: Vec<String> = behind.checks.iter().map(|check| figures(check, bench.units())).collect();
        let told = if held.is_empty() { String::new() } else { format!("; still kept: {}", held.join(", ")) };
        let untold =
            if behind.untold.is_empty() { String::new() } else { format!("; not shown behind it: {}", behind.untold.join(", ")) };
        Self { follows: format!("{follows}{told}{untold}"), less_protection: !behind.untold.is_empty() }
    }
}

/// Value and limit of a check that passed.
fn figures(check: &Check, units: Units) -> String {
    let show = |value: Option<f64>| match value.map(|value| units.value(value, &check.unit)) {
        Some(Measure::Number(number)) => {
            format!("{} {}", spaced(&crate::record::significant(number, 4)), units.unit(&check.unit))
        }
        Some(Measure::Size(size)) => size,
        None => String::new(),
    };
    let side = if check.value <= check.limit { "of at most" } else { "of at least" };
    let about = if check.subject.is_empty() { String::new() } else { format!(" ({})", words::brief(units, &check.subject)) };
    format!("{}{about} {} {side} {}", words::brief(units, &check.name), show(check.value).trim(), show(check.limit).trim())
}

/// A whole number of five digits or more with narrow spaces between its thousands.
fn spaced(digits: &str) -> String {
    if digits.len() < 5 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return digits.to_owned();
    }
    let from_the_end = digits.len() % 3;
    let (first, rest) = digits.split_at(from_the_end);
    let groups = rest.as_bytes().chunks(3).filter_map(|chunk| std::str::from_utf8(chunk).ok());
    std::iter::once(first).filter(|digits| !digits.is_empty()).chain(groups).collect::<Vec<_>>().join("\u{202f}")
}

impl Judged {
    /// Nothing can be told of the value.
    fn doubtful(doubt: impl Into<String>) -> Self {
        Self { doubt: Some(doubt.into()), ..Self::default() }
    }

    /// It may be told as one that would do.
    fn cures(&self) -> bool {
        !self.fails() && !self.start_unknown
    }

    /// A limit fails, or a reason rules it out.
    fn fails(&self) -> bool {
        self.ruled_out.is_some() || self.checks.iter().any(|check| check.passed == Some(false))
    }
}

/// Verdicts of all that the row states, in the order of the columns.
pub fn judge(row: &Row<'_>, assembly: &Assembly<'_>, circuit: &Circuit, record: &mut Record) -> Vec<Given> {
    let columns: Vec<Field> = read::COLUMNS.iter().copied().filter(|field| row.load.entry(*field).is_some()).collect();
    if columns.is_empty() {
        return Vec::new();
    }
    let bench = Bench::new(row, assembly, circuit);
    let mut outcomes: Vec<cure::Outcome> = columns.into_iter().map(|field| (field, bench.outcome(field))).collect();
    cure::hold(row, assembly, circuit, &mut outcomes);
    outcomes
        .into_iter()
        .map(|(field, outcome)| {
            let units = Units::of(row.tools.book.key());
            let (given, finding) = match outcome {
                Ok(judged) => settle(row.load, field, &judged, units),
                Err(unreadable) => refuse(row.load, field, &unreadable),
            };
            if let Some(finding) = finding {
                record.find(finding);
            }
            given
        })
        .collect()
}

/// The circuit as it was decided before its devices, but with the trip class that counts here.
fn decided<'a>(row: &Row<'a>, assembly: &'a Assembly<'a>, class: &'static str) -> Decided<'a, 'a> {
    let Row { case, currents, point, tools, .. } = *row;
    Decided { case, currents, point, tools, devices: &assembly.devices, line: assembly.line, class }
}

impl<'a> Bench<'a> {
    fn new(row: &'a Row<'a>, assembly: &'a Assembly<'a>, circuit: &'a Circuit) -> Self {
        let (case, book) = (row.case, row.tools.book);
        let breaker = protective::bare_breaker(book);
        let stated = Stated::of(row.load, book.trip_classes(), breaker);
        let places = {
            let bypass_built_in = assembly.devices.iter().any(|device| device.bypass_built_in);
            assembly.arrangement.relays(&case.start, bypass_built_in, case.motors)
        };
        let quickest = book.trip_classes().first().copied().unwrap_or("10");
        let needed = relays::class(&decided(row, assembly, quickest), &places, &Pins::default());
        let class = stated.class.unwrap_or(needed);
        let protection = protection::demand(&decided(row, assembly, class));
        let run = runs::first_demand(case, row.currents, assembly, row.point, row.tools);
        let bench = Self { row, assembly, circuit, stated, class, protection, run: None };
        let run = run.map(|demand| conductor::behind_stated(&bench, demand));
        Self { run, ..bench }
    }

    fn outcome(&self, field: Field) -> Result<Judged, Unreadable> {
        let text = self.row.load.text(field).unwrap_or_default();
        let number = self.row.load.number(field).unwrap_or(f64::NAN);
        let book = self.row.tools.book;
        match field {
            Field::GivenContactorA => Ok(contactor::rated(self, number)),
            Field::GivenNemaSize => Ok(contactor::size(self, &read::nema_size(text))),
            Field::GivenOverloadRangeA => read::range(text).map(|range| overload::range(self, range)),
            Field::GivenOverloadSettingA => Ok(overload::setting(self, number)),
            Field::GivenTripClass => read::class(text, book.trip_classes()).map(|class| overload::class(self, class)),
            Field::GivenProtectionKind => {
                read::kind(text, protective::bare_breaker(book)).map(|kind| protective::kind(self, kind))
            }
            Field::GivenProtectionA => Ok(protective::rating(self, number)),
            Field::GivenMagneticA => Ok(protective::magnetic(self, number)),
            Field::GivenConductor => read::section(text).map(|area| conductor::phase(self, area)),
            Field::GivenParallel => conductor::parallel(self),
            Field::GivenProtectiveConductor => read::section(text).map(|area| conductor::protective(self, area)),
            _ => conductor::raceway(self, &read::raceway(text)),
        }
    }

    /// Kind of protective device that counts: the stated one, else the chosen one, else the wanted one.
    fn kind(&self) -> ProtectionKind {
        let chosen = self.assembly.protection.as_ref();
        let of_chosen = || {
            ProtectionKind::ALL
                .iter()
                .map(|(kind, _)| *kind)
                .find(|kind| chosen.is_some_and(|protection| protection.is_of(*kind)))
        };
        self.stated.kind.or_else(of_chosen).unwrap_or(self.row.case.wishes.protection.value)
    }

    fn units(&self) -> Units {
        Units::of(self.row.tools.book.key())
    }

    /// A name of a check as it is read in a sentence.
    fn words(&self, name: &str) -> String {
        words::brief(self.units(), name).into_owned()
    }
}

/// A figure in amperes.
fn amperes(value: f64) -> String {
    format!("{} A", crate::record::significant(value, 4))
}

/// The tightest of the limits that were told.
fn tightest(checks: &[Check]) -> Option<&Check> {
    let told = checks.iter().filter(|check| check.passed.is_some() && check.margin_pct.is_some_and(f64::is_finite));
    told.min_by(|a, b| a.margin_pct.unwrap_or(f64::MAX).total_cmp(&b.margin_pct.unwrap_or(f64::MAX)))
}

/// The value that would do, and beside which others where it does not beside those of the row.
fn would_do(judged: &Judged) -> String {
    if judged.beside.is_empty() || judged.wanted.is_empty() {
        judged.wanted.clone()
    } else {
        format!("{} beside {}", judged.wanted, judged.beside)
    }
}

fn settle(load: &Load, field: Field, judged: &Judged, units: Units) -> (Given, Option<Finding>) {
    let failed: Vec<Check> = judged.checks.iter().filter(|check| check.passed == Some(false)).cloned().collect();
    let made = judged.checks.iter().any(|check| check.passed.is_some());
    let (verdict, told) = if judged.ruled_out.is_some() {
        (Verdict::Inadequate, None)
    } else if let Some(first) = failed.first() {
        // Limits stand in the order of their weight.
        (Verdict::Inadequate, Some(first))
    } else if judged.doubt.is_some() || !made {
        (Verdict::NotChecked, None)
    } else if judged.oversized.is_some() {
        (Verdict::Oversized, tightest(&judged.checks))
    } else {
        (Verdict::Adequate, tightest(&judged.checks))
    };
    let first = match verdict {
        Verdict::Inadequate => {
            judged.ruled_out.as_ref().map(|ruled_out| ruled_out.0.clone()).or(told.map(|check| sentence(check, units)))
        }
        Verdict::NotChecked => Some(judged.doubt.clone().unwrap_or_else(|| "the row does not state enough of it".to_owned())),
        Verdict::Oversized => judged.oversized.as_ref().map(|larger| larger.follows.clone()),
        Verdict::Adequate => None,
    };
    let open = (!judged.open.is_empty() && verdict != Verdict::NotChecked)
        .then(|| format!("not checked, because not stated: {}", judged.open.join(", ")));
    let what_follows: Vec<String> = first.into_iter().chain(judged.remarks.iter().cloned()).chain(open).collect();
    let given = Given {
        column: field.spec().name.to_owned(),
        given: load.text(field).unwrap_or_default().to_owned(),
        verdict,
        wanted: would_do(judged),
        margin_pct: told.and_then(|check| check.margin_pct).filter(|margin_pct| margin_pct.is_finite()),
        reference: judged
            .ruled_out
            .as_ref()
            .map(|ruled_out| ruled_out.1.clone())
            .or(told.map(|check| check.reference.clone()))
            .unwrap_or_default(),
        less_protection: verdict == Verdict::Oversized && judged.oversized.as_ref().is_some_and(|larger| larger.less_protection),
        what_follows: what_follows.join("; "),
    };
    let finding = said(load, field, &given, units);
    (given, finding)
}

/// The finding of a verdict; none where the value holds.
fn said(load: &Load, field: Field, given: &Given, units: Units) -> Option<Finding> {
    // The number in parallel is judged and said with its conductor.
    if field == Field::GivenParallel {
        return None;
    }
    let code = match given.verdict {
        Verdict::Adequate => return None,
        Verdict::Oversized if given.less_protection => &codes::C705_GIVEN_LESS_PROTECTION,
        Verdict::Oversized => &codes::C702_GIVEN_OVERSIZED,
        Verdict::Inadequate => &codes::C701_GIVEN_INADEQUATE,
        Verdict::NotChecked => &codes::C703_GIVEN_NOT_CHECKED,
    };
    let what =
        format!("{} {} is {}: {}", given.column, given.given, given.verdict.words(), given.what_follows).replace("mm2", "mm²");
    let wanted = match field {
        Field::GivenProtectionKind => words::full(units, &given.wanted),
        _ => given.wanted.replace("mm2", "mm²"),
    };
    let would = if wanted.is_empty() { String::new() } else { format!("{wanted} would do; ") };
    let cure = match given.verdict {
        Verdict::NotChecked => "show by its data that it holds, or state what is missing",
        Verdict::Oversized if given.less_protection => {
            "show by its data that it still protects, have it changed by whoever chose it, or clear the cell"
        }
        Verdict::Oversized => "confirm the larger one, or clear the cell",
        _ => "have it changed by whoever chose it, or clear the cell; the circuit stands with the program's own choice",
    };
    Some(Finding::new(code, what).at(load.place_of(field)).cure(format!("{would}{cure}")).reference(given.reference.clone()))
}

/// A cell that can't be read has a verdict too: it is not checked.
fn refuse(load: &Load, field: Field, unreadable: &Unreadable) -> (Given, Option<Finding>) {
    let text = load.text(field).unwrap_or_default();
    let given = Given {
        column: field.spec().name.to_owned(),
        given: text.to_owned(),
        what_follows: format!("can't be read: {}", unreadable.why),
        ..Given::default()
    };
    let what = format!("{} `{text}` can't be read: {}", field.spec().name, unreadable.why);
    let finding = Finding::new(&codes::C704_GIVEN_UNREADABLE, what)
        .at(load.place_of(field))
        .why("the choice of others is not checked")
        .cure(unreadable.cure);
    (given, Some(finding))
}
