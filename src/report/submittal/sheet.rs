//! The data sheet of one circuit: what it is, what was chosen, why it holds, what to set, how it was worked out.

use std::borrow::Cow;

use serde::Serialize;

use super::bars::{CheckLine, Drop, Governing, check_line, drops, governing, length, margin, reach};
use super::lists::{dials, kind, make_up, quantity_trimmed, trimmed};
use super::memory;
use super::points::{Note, notes};
use super::state::{Link, Mark, State, reason, state, verdict};
use super::table::Table;
use super::text::{capital, count, decimals_for, fixed, meaning, number, quantity, significant, symbols, with_unit};
use crate::design::labels::{self, motors};
use crate::design::{Circuit, ControlDevice, ControlSupply, Disconnect, Given, Run, Status, WorkingLine};
use crate::finding::{Finding, codes};
use crate::load::Field;
use crate::record::Step;
use crate::report::columns::load as words;
use crate::report::columns::{accessories, contacts, given_item, given_value, raceway_words};
use crate::report::drawings;
use crate::report::words::{brief, clause, full, terms};
use crate::report::working::{Line, Outcome, kept, lines};
use crate::rules::units::Units;

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

/// A device that was chosen.
#[derive(Clone, Debug)]
struct Chosen {
    item: String,
    what: String,
    needs: String,
    has: String,
    part: String,
}

/// A device as it is printed: what it needs and has in words.
#[derive(Clone, Debug, Serialize)]
struct ChosenLine {
    item: String,
    what: String,
    figures: String,
    part: String,
}

impl From<Chosen> for ChosenLine {
    fn from(chosen: Chosen) -> Self {
        let figures = match (chosen.needs.is_empty(), chosen.has.is_empty()) {
            (true, true) => String::new(),
            (true, false) => chosen.has,
            (false, true) => format!("needs {}", chosen.needs),
            (false, false) => format!("needs {}, has {}", chosen.needs, chosen.has),
        };
        Self { item: chosen.item, what: chosen.what, figures, part: chosen.part }
    }
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
        Working::Steps(steps) => (lines(circuit, steps, units), ""),
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
        chosen: chosen(circuit, units).into_iter().map(ChosenLine::from).collect(),
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

/// Rated power in the sender's own unit; beside horsepower the kilowatts that were reckoned with, for the customary book.
pub(in crate::report) fn power(circuit: &Circuit, units: Units) -> Option<String> {
    of_one(circuit, units).map(|words| format!("{}{words}", so_many(circuit.motors)))
}

/// Before what stands several times; at its blanks no line breaks.
pub(in crate::report) fn so_many(count: u32) -> String {
    fixed(&labels::so_many(count))
}

/// How a run is made up; of several alike the make-up of one, with their number before it.
pub(in crate::report) fn runs_alike(run: &Run, make_up: String) -> String {
    if run.count > 1 { format!("{}({make_up})", so_many(run.count)) } else { make_up }
}

/// Rated power of one machine.
fn of_one(circuit: &Circuit, units: Units) -> Option<String> {
    let load = &circuit.load;
    match (load.rated_power_hp, load.rated_power_kw) {
        (Some(hp), Some(kw)) if units == Units::Customary => {
            Some(format!("{} ({})", with_unit(words::horsepower(hp), "hp"), quantity(kw, decimals_for(kw), "kW")))
        }
        (Some(hp), _) => Some(with_unit(words::horsepower(hp), "hp")),
        (None, Some(kw)) => Some(quantity_trimmed(kw, "kW")),
        _ => other(circuit, "rated_power_kva")
            .map(|text| with_unit(text, "kVA"))
            .or_else(|| other(circuit, "reactive_power_kvar").map(|text| with_unit(text, "kvar"))),
    }
}

/// A word of the trade where the customary book has its own; else as it stands.
fn word_of_trade(units: Units, key: &str) -> String {
    units.pick(key.to_owned(), full(units, key))
}

/// The strip of facts.
fn facts(circuit: &Circuit, units: Units) -> Vec<Fact> {
    let (load, currents) = (&circuit.load, &circuit.currents);
    let mut facts = Vec::new();
    let mut add = |label, value: String| facts.push(Fact { label, value });
    let motor = load.kind.is_empty() || load.kind == "motor";
    let label = if motor { terms(units).shaft_power } else { "input power" };
    // Equipment is marked with its currents: where no power is stated, none is missing.
    let unstated = || if motor { Some("?".to_owned()) } else { None };
    power(circuit, units).or_else(unstated).into_iter().for_each(|power| add(label, power));
    let supply: Vec<String> = [
        load.voltage_v.map(|volts| quantity_trimmed(volts, "V")),
        // A hyphen at which no line breaks.
        load.phases.map(|phases| format!("{phases}\u{2011}phase")),
        load.frequency_hz.map(|hertz| quantity_trimmed(hertz, "Hz")),
    ]
    .into_iter()
    .flatten()
    .collect();
    add("supply", if supply.is_empty() { "?".to_owned() } else { supply.join(", ") });
    if let Some(lines) = words::lines(circuit) {
        add("lines", if circuit.lines_stated { lines.to_owned() } else { format!("{lines}, assigned here") });
    }
    if currents.full_load_a > 0.0 {
        let amperes = quantity(currents.full_load_a, decimals_for(currents.full_load_a).max(1), "A");
        let source = full(units, &currents.source);
        let each = f64::from(circuit.motors.max(1));
        let of_one = || quantity(currents.full_load_a / each, decimals_for(currents.full_load_a / each).max(1), "A");
        let amperes = if circuit.motors > 1 { format!("{amperes} ({}{})", so_many(circuit.motors), of_one()) } else { amperes };
        add(terms(units).rated_current, if source.is_empty() { amperes } else { format!("{amperes}, {source}") });
    }
    if let (Units::Customary, Some(amperes)) = (units, currents.nameplate_a) {
        add("nameplate current", quantity(amperes, decimals_for(amperes).max(1), "A"));
    }
    let class: Vec<String> = [
        load.efficiency_class.as_deref().map(|class| word_of_trade(units, class)),
        load.efficiency_pct.filter(|_| motor).map(|pct| quantity(pct, 1, "%")),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !class.is_empty() {
        add("efficiency", class.join(", "));
    }
    if circuit.start.is_some() && currents.full_load_a > 0.0 {
        let ratio = number(currents.starting_a / currents.full_load_a, 1);
        add(
            "starting current",
            format!("{}, {ratio}\u{a0}×", quantity(currents.starting_a, decimals_for(currents.starting_a), "A")),
        );
    }
    let duty: Vec<String> = [
        load.duty.as_deref().map(|duty| word_of_trade(units, duty)),
        other(circuit, "starts_per_hour").map(|starts| with_unit(starts, "starts/h")),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !duty.is_empty() {
        add("duty", duty.join(", "));
    }
    add("fed from", if circuit.board.is_empty() { "?".to_owned() } else { circuit.board.clone() });
    if circuit.quantity > 1 {
        add("identical circuits", circuit.quantity.to_string());
    }
    if circuit.motors > 1 {
        let names = if circuit.quantity <= 1 { motors(circuit, &circuit.tag).join(", ") } else { circuit.motors.to_string() };
        add("motors behind the starter", names);
    }
    if let Some(ka) = circuit.fault.board_max_ka {
        add("largest fault current, board", quantity(ka, 1, "kA"));
    }
    if let Some(ka) = circuit.fault.terminal_single_phase_min_ka.or(circuit.fault.terminal_min_ka) {
        add("smallest fault current, load", quantity(ka * 1000.0, 0, "A"));
    }
    facts
}

/// The sender's own words.
fn said(circuit: &Circuit) -> Vec<Fact> {
    [("interlocks", "interlock_note"), ("feedback", "feedback_note"), ("notes", "notes")]
        .into_iter()
        .filter_map(|(label, key)| Some(Fact { label, value: other(circuit, key)? }))
        .collect()
}

/// What was chosen, from the supply to the load.
fn chosen(circuit: &Circuit, units: Units) -> Vec<Chosen> {
    let terms = terms(units);
    let amperes = |value: f64| if value > 0.0 { quantity(value, 1, "A") } else { String::new() };
    let mut list = Vec::new();
    if let Some(device) = &circuit.protection {
        let mut what = vec![full(units, &device.kind)];
        let breaks = units.pick("breaks", "interrupts");
        what.extend(device.breaking_ka.map(|ka| format!("{breaks} {}", quantity(ka, decimals_for(ka).min(1), "kA"))));
        what.extend(match (device.coordination.as_str(), units) {
            ("" | "not-claimed", Units::Customary) => None,
            ("", Units::Metric) => Some("co-ordination not stated".to_owned()),
            ("not-claimed", Units::Metric) => Some("co-ordination not claimed".to_owned()),
            (kind, _) => Some(format!("{} {}", units.pick("co-ordination", "coordination"), full(units, kind))),
        });
        if let (Units::Customary, Some(maximum)) = (units, device.maximum_a) {
            what.push(format!("at most {}", quantity_trimmed(maximum, "A")));
        }
        list.push(Chosen {
            item: "Protection".to_owned(),
            what: what.join(", "),
            needs: amperes(circuit.currents.protection_basis_a),
            has: quantity_trimmed(device.rating_a, "A"),
            part: device.part.clone(),
        });
    }
    for contactor in &circuit.contactors {
        let poles = if contactor.poles_in_parallel > 1 {
            format!(", {} poles in parallel", contactor.poles_in_parallel)
        } else {
            String::new()
        };
        list.push(Chosen {
            item: format!("{}, {}", terms.contactor, full(units, &contactor.role)),
            what: [
                units.pick(contactor.category.clone(), full(units, &contactor.category)),
                frame(&contactor.frame, units),
                contacts(circuit, &contactor.role),
            ]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
                + &poles,
            needs: amperes(contactor.current_a),
            has: quantity_trimmed(contactor.rated_a, "A"),
            part: contactor.part.clone(),
        });
    }
    for overload in &circuit.overloads {
        list.push(Chosen {
            item: if overload.count > 1 { "Overload, each motor" } else { "Overload" }.to_owned(),
            what: so_many(overload.count)
                + &format!(
                    "{}, class {}, set to {}",
                    full(units, &overload.kind),
                    fixed(&overload.trip_class),
                    quantity(overload.setting_a, 1, "A")
                ),
            needs: amperes(overload_current(circuit, &overload.position) * overload.winding_factor),
            has: if overload.is_found() {
                format!("{}\u{a0}to\u{a0}{}", trimmed(overload.range_a[0]), quantity_trimmed(overload.range_a[1], "A"))
            } else {
                "none in the catalogue".to_owned()
            },
            part: overload.part.clone(),
        });
    }
    for device in &circuit.starter_devices {
        list.push(Chosen {
            item: capital(&full(units, &device.kind)),
            what: String::new(),
            needs: amperes(device.current_a),
            has: if device.rated_a > 0.0 { quantity_trimmed(device.rated_a, "A") } else { String::new() },
            part: if device.part.is_empty() { "to the maker's design".to_owned() } else { device.part.clone() },
        });
    }
    list.extend(circuit.runs.iter().map(|run| chosen_run(run, &circuit.load.kind, units)));
    if let Some(device) = &circuit.disconnect {
        let lock = if device.lockable { "lockable" } else { "not lockable" };
        list.push(Chosen {
            item: terms.isolator.to_owned(),
            what: so_many(device.count)
                + &[
                    units.pick(format!("{} {}", full(units, &device.kind), device.category), full(units, &device.kind)),
                    units.pick(String::new(), device.category.clone()),
                    lock.to_owned(),
                    device.location.clone(),
                    device.enclosure.clone(),
                ]
                .iter()
                .map(|text| text.trim())
                .filter(|text| !text.is_empty())
                .collect::<Vec<_>>()
                .join(", "),
            needs: String::new(),
            has: rated(device, units),
            part: device.part.clone(),
        });
    }
    if let Some(control) = &circuit.control {
        let relay = if control.interposing_relay { ", over an interposing relay" } else { "" };
        list.push(Chosen {
            item: "Control".to_owned(),
            what: format!(
                "coil {}, switched by {}{relay}; {} to pull in, {} to hold",
                fixed(&control.coil_voltage),
                meaning(units, Field::DrivenBy, &control.driven_by),
                quantity(control.pick_up_va, 0, "VA"),
                quantity(control.hold_va, 0, "VA")
            ),
            needs: String::new(),
            has: String::new(),
            part: String::new(),
        });
        list.extend(control.supply.as_ref().map(|supply| control_supply(supply, units)));
    }
    for accessory in accessories(circuit) {
        let contacts: Vec<String> = [(accessory.no, "NO"), (accessory.nc, "NC")]
            .into_iter()
            .filter(|(number, _)| *number > 0)
            .map(|(number, kind)| format!("{number}\u{a0}{kind}"))
            .collect();
        list.push(Chosen {
            item: capital(&full(units, &accessory.kind)),
            what: [accessory.why.clone(), contacts.join(" + "), fixed(&accessory.setting)]
                .into_iter()
                .filter(|t| !t.is_empty())
                .collect::<Vec<_>>()
                .join(", "),
            needs: String::new(),
            // One piece goes without saying.
            has: if accessory.quantity > 1 { count(accessory.quantity as usize, "pc", "pc") } else { String::new() },
            part: accessory.part.clone(),
        });
    }
    list
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

/// The control supply of a starter alone, with its devices.
fn control_supply(supply: &ControlSupply, units: Units) -> Chosen {
    let device = |device: &ControlDevice, at: &str| {
        format!("{at} {} × {} {}", device.quantity, device.kind, quantity_trimmed(device.rating_a, "A"))
    };
    let at = |control_device: &Option<ControlDevice>, at: &str| {
        control_device.as_ref().map(|control_device| device(control_device, at))
    };
    let kind = if supply.kind == "line" { "from the line without a transformer".to_owned() } else { full(units, &supply.kind) };
    let behind = if supply.kind == "line" { "device" } else { "behind it" };
    let words = [Some(kind), at(&supply.primary, "before it"), at(&supply.secondary, behind), at(&supply.branches, "branches")];
    let pick_up = format!("{} while contactors pick up", quantity(supply.event_va, 0, "VA"));
    Chosen {
        item: "Control supply".to_owned(),
        what: words.into_iter().flatten().chain([pick_up]).collect::<Vec<_>>().join(", "),
        needs: quantity(supply.continuous_va, 0, "VA"),
        has: supply.rating_va.map(|va| quantity(va, 0, "VA")).unwrap_or_default(),
        part: supply.part.clone(),
    }
}

/// A frame of a contactor; in the customary book it names itself.
fn frame(frame: &str, units: Units) -> String {
    match units {
        Units::Metric => format!("frame {}", fixed(frame)),
        Units::Customary if frame.is_empty() => String::new(),
        Units::Customary => fixed(&crate::report::columns::frame_words(frame)),
    }
}

/// Amperes of an isolator, else its horsepower; the customary book shows both.
fn rated(device: &Disconnect, units: Units) -> String {
    let amperes = device.rating_a.map(|amperes| quantity_trimmed(amperes, "A"));
    let hp = device.rating_hp.map(|hp| quantity_trimmed(hp, "hp"));
    let shown = units.pick(1, 2);
    [amperes, hp].into_iter().flatten().take(shown).collect::<Vec<_>>().join(", ")
}

/// Current to which a relay is set, before its share: of two speeds that of its own.
fn overload_current(circuit: &Circuit, position: &str) -> f64 {
    let currents = &circuit.currents;
    currents.low_speed_a.filter(|_| position == "low").unwrap_or(currents.overload_basis_a)
}

/// A run as a line of what was chosen.
fn chosen_run(run: &Run, kind_of_load: &str, units: Units) -> Chosen {
    let holds = run.holds_to_m.map(|metres| format!(", holds to {}", reach(metres, units))).unwrap_or_default();
    let laid = match (&run.raceway, units) {
        (Some(raceway), Units::Customary) => {
            let fill =
                if raceway.fill_pct > 0.0 { format!(", {} filled", quantity(raceway.fill_pct, 0, "%")) } else { String::new() };
            format!(", {} {}{fill}", terms(units).laid, fixed(&raceway_words(run, units)))
        }
        _ if run.installation.is_empty() => String::new(),
        _ => format!(", {} {}", terms(units).laid, fixed(&brief(units, &run.installation))),
    };
    Chosen {
        item: format!("{}, {}", terms(units).cable, full(units, words::about(kind_of_load, &run.role))),
        what: format!("{}, {}{laid}, {}{holds}", runs_alike(run, make_up(run, units)), kind(run, units), length(run, units)),
        needs: if run.required_a > 0.0 { quantity(run.required_a, 1, "A") } else { String::new() },
        has: if run.capacity_a > 0.0 { quantity(run.capacity_a, 1, "A") } else { String::new() },
        part: run.part.clone(),
    }
}

/// The working.
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
