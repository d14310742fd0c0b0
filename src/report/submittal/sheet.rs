//! The data sheet of one circuit: what it is, what was chosen, why it holds, what to set, how it was worked out.

use std::borrow::Cow;

use serde::Serialize;

use super::bars::{CheckLine, Drop, Governing, check_line, drops, governing, margin};
use super::lists::{dials, trimmed};
use super::memory;
use super::points::{Note, notes};
use super::state::{Link, Mark, State, reason, state, verdict};
use super::table::Table;
use super::text::{capital, fixed, meaning, significant, symbols, with_unit};
use crate::design::labels;
use crate::design::{Circuit, Given, Run, Status, WorkingLine};
use crate::finding::{Finding, codes};
use crate::load::Field;
use crate::record::Step;
use crate::report::columns::{given_item, given_value};
use crate::report::drawings;
use crate::report::words::{clause, terms};
use crate::report::working::{Line, Outcome, kept, lines};
use crate::rules::units::Units;

mod chosen;
mod facts;

use chosen::{ChosenLine, chosen};
use facts::facts;
pub(in crate::report) use facts::power;

/// Everything that a data sheet prints.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Sheet {
    link: Link,
    tags: String,
    title: String,
    state: State,
    mark: Option<Mark>,
    place: String,
    sized: bool,
    reason: String,
    facts: Vec<Fact>,
    notes: Vec<Note>,
    /// Tables from memory on which it leans; told once for all in the sources.
    memory: String,
    said: Vec<Fact>,
    /// Drawing of the power circuit and time-current plot, finished; empty where there is none.
    power: String,
    plot: String,
    chosen: Vec<ChosenLine>,
    given: Vec<OfOthers>,
    drops: Vec<Drop>,
    cable: String,
    governing: Vec<Governing>,
    checks: Vec<CheckLine>,
    dials: Table,
    steps: Vec<StepLine>,
    /// Where the working stands, if not here.
    elsewhere: &'static str,
}

/// The working of a circuit on its data sheet.
pub(super) enum Working<'s> {
    /// Its steps.
    Steps(Cow<'s, [Step]>),
    /// It is left out, as the basis asks: where it stands.
    Elsewhere(&'static str),
}

/// A fact with its label.
#[derive(Clone, Debug, Serialize)]
struct Fact {
    label: &'static str,
    value: String,
}

/// A choice of others with its verdict.
#[derive(Clone, Debug, Serialize)]
struct OfOthers {
    item: String,
    given: String,
    result: State,
    wanted: String,
    margin: String,
    follows: String,
    reference: String,
}

/// A step of the working.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct StepLine {
    quantity: String,
    formula: String,
    numbers: String,
    result: String,
    reference: String,
}

/// The data sheet of a circuit, with its working.
pub(super) fn sheet(circuit: &Circuit, link: &Link, plot: String, working: &Working<'_>, units: Units) -> Sheet {
    let (steps, elsewhere) = match working {
        Working::Steps(steps) => (lines(steps, units), ""),
        Working::Elsewhere(place) => (Vec::new(), *place),
    };
    let sized = circuit.status != Status::NotSized;
    let title: Vec<String> =
        [circuit.description.clone(), method(circuit, units)].into_iter().filter(|t| !t.is_empty()).collect();
    Sheet {
        link: link.clone(),
        tags: if circuit.tags.len() > 1 { circuit.tags.join(", ") } else { circuit.tag.clone() },
        title: title.join(", "),
        state: state(circuit),
        mark: Mark::of(circuit, units),
        place: place(circuit),
        sized,
        reason: if sized { String::new() } else { reason(circuit) },
        facts: facts(circuit, units),
        notes: notes(&memory::others(&of_sheet(&circuit.findings)), units),
        memory: memory::behind(&circuit.findings),
        said: said(circuit),
        power: drawings::power::power(circuit, &link.anchor, units),
        plot,
        chosen: chosen(circuit, units),
        given: circuit.given.iter().map(|given| of_others(given, units)).collect(),
        drops: drops(circuit, units),
        cable: terms(units).cable.to_lowercase(),
        governing: circuit
            .runs
            .iter()
            .filter(|run| !run.criteria.is_empty())
            .map(|run| governing(run, &circuit.load.kind, units))
            .collect(),
        checks: circuit.checks.iter().map(|check| check_line(check, &circuit.load.kind, units)).collect(),
        dials: dials(circuit, link, units),
        steps: steps.into_iter().map(step_line).collect(),
        elsewhere,
    }
}

/// How the circuit is started or switched. A load that is no motor has no starter of its own, and one that turns may reverse.
fn method(circuit: &Circuit, units: Units) -> String {
    let load = &circuit.load;
    let Some(method) = load.starting_method.as_deref() else { return String::new() };
    let no_motor = !matches!(load.kind.as_str(), "" | "motor" | "packaged");
    let words = match (method, units) {
        ("feeder", Units::Metric) if no_motor => "supply only".to_owned(),
        ("contactor", Units::Metric) if no_motor => "switched by a contactor".to_owned(),
        _ => meaning(units, Field::StartingMethod, method),
    };
    if load.reversing { format!("{words}, reversing") } else { words }
}

/// File and row of a circuit.
fn place(circuit: &Circuit) -> String {
    let place = &circuit.place;
    let sheet = place.sheet.as_ref().map(|sheet| format!(", {sheet}")).unwrap_or_default();
    format!("{}{sheet}, row\u{a0}{}", place.file, place.row)
}

/// A further column of the row as text.
pub(super) fn other(circuit: &Circuit, key: &str) -> Option<String> {
    match circuit.load.other.get(key)? {
        serde_json::Value::String(text) if !text.is_empty() => Some(text.clone()),
        serde_json::Value::Number(value) => value.as_f64().map(trimmed),
        serde_json::Value::Bool(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
        _ => None,
    }
}

/// Before what stands several times; at its blanks no line breaks.
pub(in crate::report) fn so_many(count: u32) -> String {
    fixed(&labels::so_many(count))
}

/// How a run is made up; of several alike the make-up of one, with their number before it.
pub(in crate::report) fn runs_alike(run: &Run, make_up: String) -> String {
    if run.count > 1 { format!("{}({make_up})", so_many(run.count)) } else { make_up }
}

/// The sender's own words.
fn said(circuit: &Circuit) -> Vec<Fact> {
    [("interlocks", "interlock_note"), ("feedback", "feedback_note"), ("notes", "notes")]
        .into_iter()
        .filter_map(|(label, key)| Some(Fact { label, value: other(circuit, key)? }))
        .collect()
}

/// Short words stay on one line; longer ones may break.
fn one_line(words: &str) -> String {
    if words.chars().count() > 20 { words.to_owned() } else { fixed(words) }
}

/// Findings of a sheet: what the table of others' choices says of a larger one is not said above it too.
fn of_sheet(findings: &[Finding]) -> Vec<Finding> {
    findings.iter().filter(|finding| finding.code != codes::C702_GIVEN_OVERSIZED.code).cloned().collect()
}

/// A choice of others.
fn of_others(given: &Given, units: Units) -> OfOthers {
    OfOthers {
        item: capital(&given_item(&given.column, units)),
        given: one_line(&given_value(&given.column, &given.given, units)),
        result: verdict(given),
        wanted: one_line(&given_value(&given.column, &given.wanted, units)),
        margin: given.margin_pct.map(margin).unwrap_or_default(),
        follows: symbols(&given.what_follows),
        reference: if given.reference.starts_with("given_") {
            format!("{} that is given", given_item(&given.reference, units))
        } else {
            clause(units, &given.reference).into_owned()
        },
    }
}

/// A step that the design keeps for a board.
pub(super) fn kept_step(step: &WorkingLine, units: Units) -> StepLine {
    step_line(kept(step, units))
}

fn step_line(line: Line) -> StepLine {
    StepLine {
        quantity: line.quantity,
        formula: line.formula,
        numbers: line.numbers.replace(" = ", "\u{a0}=\u{a0}"),
        result: match line.result {
            Outcome::Number(value, unit) => with_unit(significant(value), &unit),
            Outcome::Size(size) => fixed(&size),
        },
        reference: line.reference,
    }
}
