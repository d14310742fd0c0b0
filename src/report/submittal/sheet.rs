//! The data sheet of one circuit: what it is, what was chosen, why it holds, what to set, how it was worked out.

use serde::Serialize;

use super::lists::{dials, kind, make_up, quantity_trimmed, trimmed};
use super::points::{Note, notes};
use super::state::{Link, State, reason, result, state};
use super::table::Table;
use super::text::{
    capital, count, decimals_for, fixed, meaning, number, quantity, significant, size, value_and_limit, with_unit,
};
use crate::design::{Check, Circuit, Disconnect, Run, Status, WorkingLine};
use crate::load::Field;
use crate::quantity::fits;
use crate::report::columns::raceway_words;
use crate::report::words::{brief, full, terms};
use crate::rules::units::Units;

/// Everything that a data sheet prints.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Sheet {
    link: Link,
    tags: String,
    title: String,
    state: State,
    place: String,
    sized: bool,
    reason: String,
    facts: Vec<Fact>,
    notes: Vec<Note>,
    said: Vec<Fact>,
    chosen: Vec<Chosen>,
    drops: Vec<Drop>,
    cable: String,
    governing: Vec<Governing>,
    checks: Vec<CheckLine>,
    dials: Table,
    steps: Vec<StepLine>,
}

/// A fact with its label.
#[derive(Clone, Debug, Serialize)]
struct Fact {
    label: &'static str,
    value: String,
}

/// A device that was chosen.
#[derive(Clone, Debug, Serialize)]
struct Chosen {
    item: String,
    what: String,
    needs: String,
    has: String,
    part: String,
}

/// A bar of a check or a voltage drop: how far it reaches up to the limit, and how far beyond. Out of 100; the tick stands apart.
#[derive(Clone, Debug, Serialize)]
struct Bar {
    within: String,
    beyond_from: String,
    beyond: Option<String>,
    tick: String,
}

/// A line of checks.
#[derive(Clone, Debug, Serialize)]
struct CheckLine {
    name: String,
    value: String,
    limit: String,
    bar: Option<Bar>,
    margin: String,
    result: State,
    because: String,
    reference: String,
}

/// A case of the voltage drop.
#[derive(Clone, Debug, Serialize)]
struct Drop {
    case: &'static str,
    bar: Bar,
    words: String,
    result: State,
}

/// The criteria of one run.
#[derive(Clone, Debug, Serialize)]
struct Governing {
    run: String,
    chosen: String,
    lines: Vec<Criterion>,
    remark: String,
}

/// A criterion with the smallest size that it admits.
#[derive(Clone, Debug, Serialize)]
struct Criterion {
    name: String,
    size: String,
    reach: Option<String>,
    tick: String,
    governs: bool,
}

/// A step of the working.
#[derive(Clone, Debug, PartialEq, Serialize)]
struct StepLine {
    quantity: String,
    formula: String,
    numbers: String,
    result: String,
    reference: String,
}

/// Place of the limit on the bar of a check, out of 100: what lies beyond it stays visible.
const LIMIT_AT: f64 = 80.0;

/// The data sheet of a circuit, with its working.
pub(super) fn sheet(circuit: &Circuit, link: &Link, working: Vec<WorkingLine>, units: Units) -> Sheet {
    let sized = circuit.status != Status::NotSized;
    let method = circuit.load.starting_method.as_deref().map(|method| meaning(units, Field::StartingMethod, method));
    let title: Vec<String> =
        [circuit.description.clone(), method.unwrap_or_default()].into_iter().filter(|t| !t.is_empty()).collect();
    Sheet {
        link: link.clone(),
        tags: if circuit.tags.len() > 1 { circuit.tags.join(", ") } else { circuit.tag.clone() },
        title: title.join(", "),
        state: state(circuit),
        place: place(circuit),
        sized,
        reason: if sized { String::new() } else { reason(circuit) },
        facts: facts(circuit, units),
        notes: notes(&circuit.findings),
        said: said(circuit),
        chosen: chosen(circuit, units),
        drops: drops(circuit),
        cable: terms(units).cable.to_lowercase(),
        governing: circuit.runs.iter().filter(|run| !run.criteria.is_empty()).map(|run| governing(run, units)).collect(),
        checks: circuit.checks.iter().map(|check| check_line(check, units)).collect(),
        dials: dials(circuit, link, units),
        steps: steps(working),
    }
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
pub(super) fn power(circuit: &Circuit, units: Units) -> Option<String> {
    let load = &circuit.load;
    match (load.rated_power_hp, load.rated_power_kw) {
        (Some(hp), Some(kw)) if units == Units::Customary => {
            Some(format!("{} ({})", quantity_trimmed(hp, "hp"), quantity(kw, decimals_for(kw), "kW")))
        }
        (Some(hp), _) => Some(quantity_trimmed(hp, "hp")),
        (None, Some(kw)) => Some(quantity_trimmed(kw, "kW")),
        _ => other(circuit, "rated_power_kva")
            .map(|text| with_unit(text, "kVA"))
            .or_else(|| other(circuit, "reactive_power_kvar").map(|text| with_unit(text, "kvar"))),
    }
}

/// The strip of facts.
fn facts(circuit: &Circuit, units: Units) -> Vec<Fact> {
    let (load, currents) = (&circuit.load, &circuit.currents);
    let mut facts = Vec::new();
    let mut add = |label, value: String| facts.push(Fact { label, value });
    let label = if load.kind.is_empty() || load.kind == "motor" { terms(units).shaft_power } else { "input power" };
    add(label, power(circuit, units).unwrap_or_else(|| "?".to_owned()));
    let supply: Vec<String> = [
        load.voltage_v.map(|volts| quantity_trimmed(volts, "V")),
        load.phases.map(|phases| format!("{phases}-phase")),
        load.frequency_hz.map(|hertz| quantity_trimmed(hertz, "Hz")),
    ]
    .into_iter()
    .flatten()
    .collect();
    add("supply", if supply.is_empty() { "?".to_owned() } else { supply.join(", ") });
    if currents.full_load_a > 0.0 {
        let amperes = quantity(currents.full_load_a, decimals_for(currents.full_load_a).max(1), "A");
        let source = full(units, &currents.source);
        add(terms(units).rated_current, if source.is_empty() { amperes } else { format!("{amperes}, {source}") });
    }
    if let (Units::Customary, Some(amperes)) = (units, currents.nameplate_a) {
        add("nameplate current", quantity(amperes, decimals_for(amperes).max(1), "A"));
    }
    let class: Vec<String> =
        [load.efficiency_class.clone(), load.efficiency_pct.map(|pct| quantity(pct, 1, "%"))].into_iter().flatten().collect();
    if !class.is_empty() {
        add("efficiency", class.join(", "));
    }
    if currents.starting_a > 0.0 && currents.full_load_a > 0.0 {
        let ratio = number(currents.starting_a / currents.full_load_a, 1);
        add(
            "starting current",
            format!("{}, {ratio}\u{a0}×", quantity(currents.starting_a, decimals_for(currents.starting_a), "A")),
        );
    }
    let duty: Vec<String> = [load.duty.clone(), other(circuit, "starts_per_hour").map(|starts| with_unit(starts, "starts/h"))]
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
            (kind, _) => Some(format!("co-ordination {}", full(units, kind))),
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
            what: [contactor.category.clone(), frame(&contactor.frame, units)]
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
            item: "Overload".to_owned(),
            what: format!(
                "{}, class {}, set to {}",
                full(units, &overload.kind),
                fixed(&overload.trip_class),
                quantity(overload.setting_a, 1, "A")
            ),
            needs: amperes(circuit.currents.overload_basis_a * overload.winding_factor),
            has: format!("{}\u{a0}to\u{a0}{}", trimmed(overload.range_a[0]), quantity_trimmed(overload.range_a[1], "A")),
            part: overload.part.clone(),
        });
    }
    for device in &circuit.starter_devices {
        list.push(Chosen {
            item: capital(&full(units, &device.kind)),
            what: String::new(),
            needs: amperes(device.current_a),
            has: quantity_trimmed(device.rated_a, "A"),
            part: if device.part.is_empty() { "to the maker's design".to_owned() } else { device.part.clone() },
        });
    }
    list.extend(circuit.runs.iter().map(|run| chosen_run(run, units)));
    if let Some(device) = &circuit.disconnect {
        let lock = if device.lockable { ", lockable" } else { ", not lockable" };
        list.push(Chosen {
            item: terms.isolator.to_owned(),
            what: format!("{} {}{lock}, {}", full(units, &device.kind), device.category, device.location).replace(" ,", ","),
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
    }
    for accessory in &circuit.accessories {
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
            has: count(accessory.quantity as usize, "pc", "pc"),
            part: accessory.part.clone(),
        });
    }
    list
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

/// A run as a line of what was chosen.
fn chosen_run(run: &Run, units: Units) -> Chosen {
    let holds = run.holds_to_m.map(|metres| format!(", holds to {}", reach(metres, units))).unwrap_or_default();
    let laid = match (&run.raceway, units) {
        (Some(own), Units::Customary) => {
            let fill = if own.fill_pct > 0.0 { format!(", {} filled", quantity(own.fill_pct, 0, "%")) } else { String::new() };
            format!(", {} {}{fill}", terms(units).laid, fixed(&raceway_words(run, units)))
        }
        _ if run.installation.is_empty() => String::new(),
        _ => format!(", {} {}", terms(units).laid, fixed(&brief(units, &run.installation))),
    };
    Chosen {
        item: format!("{}, {}", terms(units).cable, full(units, &run.role)),
        what: format!("{}, {}{laid}, {}{holds}", make_up(run, units), kind(run, units), length(run, units)),
        needs: if run.required_a > 0.0 { quantity(run.required_a, 1, "A") } else { String::new() },
        has: if run.capacity_a > 0.0 { quantity(run.capacity_a, 1, "A") } else { String::new() },
        part: run.part.clone(),
    }
}

/// Length of a run.
fn length(run: &Run, units: Units) -> String {
    quantity(units.length(run.length_m), 0, units.length_unit())
}

/// How far a run holds.
fn reach(metres: f64, units: Units) -> String {
    quantity(units.reach(metres), 0, units.length_unit())
}

/// A number of a drawing: one decimal, plain.
fn drawn(value: f64) -> String {
    format!("{:.1}", if value.is_finite() { value.clamp(0.0, 100.0) } else { 0.0 })
}

/// A bar that reaches to `reach`, with its limit at `tick`, out of 100.
fn bar(reach: f64, tick: f64) -> Bar {
    let beyond = !fits(reach, tick);
    Bar {
        within: drawn(if beyond { tick } else { reach }),
        beyond_from: drawn(tick),
        beyond: beyond.then(|| drawn(reach.min(100.0) - tick)),
        tick: drawn(tick),
    }
}

/// Share of the limit that is used: more is worse, whichever way the limit points.
fn used(value: f64, limit: f64, upper: bool) -> f64 {
    if upper { value / limit } else { limit / value }
}

/// Tells whether a check's limit is an upper one, from how its values stand and how it ended.
fn upper(value: f64, limit: f64, passed: bool) -> bool {
    if passed { value <= limit } else { value > limit }
}

fn check_line(check: &Check, units: Units) -> CheckLine {
    let mut line = CheckLine {
        name: if check.subject.is_empty() {
            capital(&full(units, &check.name))
        } else {
            format!("{}, {}", capital(&full(units, &check.name)), full(units, &check.subject))
        },
        value: String::new(),
        limit: String::new(),
        bar: None,
        margin: String::new(),
        result: result(check.passed),
        because: check.not_checked_because.clone().unwrap_or_default(),
        reference: check.reference.clone(),
    };
    if let (Some(passed), Some(value), Some(limit)) = (check.passed, check.value, check.limit) {
        let (value_text, limit_text) = value_and_limit(value, limit, &check.unit);
        let upper = upper(value, limit, passed);
        line.value = value_text;
        line.limit = format!("{}\u{a0}{limit_text}", if upper { '≤' } else { '≥' });
        let used = used(value, limit, upper);
        if used.is_finite() {
            line.bar = Some(bar(used * LIMIT_AT, LIMIT_AT));
        }
        line.margin = check.margin_pct.map(margin).unwrap_or_default();
    }
    line
}

/// A margin. A floor that is passed many times over says no more with four digits.
fn margin(margin: f64) -> String {
    if margin > 999.0 {
        format!(">\u{a0}{}", quantity(999.0, 0, "%"))
    } else {
        quantity(margin, usize::from(margin.abs() < 10.0), "%")
    }
}

/// The voltage drops on one common scale.
fn drops(circuit: &Circuit) -> Vec<Drop> {
    let cases = [("running", "running-voltage-drop"), ("starting", "starting-voltage-drop")];
    let found: Vec<(&'static str, &Check, f64, f64)> = cases
        .into_iter()
        .filter_map(|(case, name)| {
            let check = circuit.checks.iter().find(|check| check.name == name)?;
            Some((case, check, check.value?, check.limit?))
        })
        .filter(|(_, check, ..)| check.passed.is_some())
        .collect();
    let longest = found.iter().map(|(.., value, limit)| value.max(*limit)).fold(0.0, f64::max);
    if longest <= 0.0 {
        return Vec::new();
    }
    found
        .into_iter()
        .map(|(case, check, value, limit)| {
            let (value_text, limit_text) = value_and_limit(value, limit, &check.unit);
            let bar = bar(value / longest * 98.0, limit / longest * 98.0);
            Drop { case, bar, words: format!("{value_text} of {limit_text}"), result: result(check.passed) }
        })
        .collect()
}

/// Rank of a size such as `2.5 mm2`, `12 AWG`, `1/0 AWG` or `250 kcmil`, by which sizes of one kind are put in order.
fn rank(size: &str) -> Option<f64> {
    let mut words = size.split_whitespace();
    let (number, unit) = (words.next()?, words.next().unwrap_or("mm2"));
    let plain = |text: &str| text.parse::<f64>().ok().filter(|number| number.is_finite() && *number > 0.0);
    match unit {
        // Gauges count downwards to 1 and go on with 1/0, 2/0 and so on, below all sizes in kcmil.
        "AWG" => match number.strip_suffix("/0") {
            Some(over) => plain(over).map(|over| over - 1.0),
            None => plain(number).map(|gauge| -gauge),
        },
        "kcmil" => plain(number).map(|area| area + 10.0),
        _ => plain(number),
    }
}

/// The criteria of a run as bars at equal steps of size.
fn governing(run: &Run, units: Units) -> Governing {
    let mut ladder: Vec<f64> = run.criteria.iter().filter_map(|line| rank(&line.size)).chain(rank(&run.phase_size)).collect();
    ladder.sort_by(f64::total_cmp);
    ladder.dedup();
    #[allow(clippy::cast_precision_loss)] // a ladder of sizes is short
    let step = |text: &str| {
        let index = ladder.iter().position(|known| Some(*known) == rank(text))?;
        Some(drawn((index + 1) as f64 / ladder.len() as f64 * 98.0))
    };
    let tick = step(&run.phase_size).unwrap_or_else(|| "98.0".to_owned());
    let lines = run.criteria.iter().map(|line| Criterion {
        name: capital(&full(units, &line.criterion)),
        size: if line.size.is_empty() { "none, see checks".to_owned() } else { size(&line.size) },
        reach: step(&line.size),
        tick: tick.clone(),
        governs: line.criterion == run.governed_by,
    });
    let remark = run
        .holds_to_m
        .map(|metres| format!("{} holds to {}; the run is {}.", size(&run.phase_size), reach(metres, units), length(run, units)));
    Governing {
        run: full(units, &run.role),
        chosen: make_up(run, units),
        lines: lines.collect(),
        remark: remark.unwrap_or_default(),
    }
}

/// The working; a step that was taken more than once with the same numbers stands once.
fn steps(working: Vec<WorkingLine>) -> Vec<StepLine> {
    let mut lines: Vec<StepLine> = Vec::with_capacity(working.len());
    for line in working.into_iter().map(step_line) {
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}

fn step_line(step: WorkingLine) -> StepLine {
    StepLine {
        quantity: step.quantity,
        formula: step.formula,
        numbers: step.with_numbers.replace(" = ", "\u{a0}=\u{a0}"),
        result: with_unit(significant(step.value), &step.unit),
        reference: step.reference,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(value: f64, limit: f64, passed: bool) -> CheckLine {
        check_line(
            &Check { value: Some(value), limit: Some(limit), unit: "A".to_owned(), passed: Some(passed), ..Check::default() },
            Units::Metric,
        )
    }

    #[test]
    fn a_bar_is_longer_the_worse_it_stands_whichever_way_the_limit_points() {
        let reach = |line: &CheckLine| line.bar.as_ref().map(|bar| (bar.within.clone(), bar.beyond.is_some()));
        let (roof, floor) = (check(10.0, 20.0, true), check(20.0, 10.0, true));
        assert_eq!(reach(&roof), Some(("40.0".to_owned(), false)), "half of a roof is used");
        assert_eq!(reach(&floor), reach(&roof), "a floor that is passed twice over is half used");
        assert!(roof.limit.starts_with('≤') && floor.limit.starts_with('≥'));
        let (over, under) = (check(22.0, 20.0, false), check(8.0, 10.0, false));
        assert!(reach(&over).is_some_and(|(_, beyond)| beyond) && reach(&under).is_some_and(|(_, beyond)| beyond));
        assert!(over.limit.starts_with('≤') && under.limit.starts_with('≥'));
    }

    #[test]
    fn a_check_that_was_not_made_shows_no_numbers_and_its_reason() {
        let line = check_line(
            &Check {
                value: Some(3.0),
                limit: Some(4.0),
                not_checked_because: Some("the fault current is unknown".to_owned()),
                ..Check::default()
            },
            Units::Metric,
        );
        assert!(line.value.is_empty() && line.limit.is_empty() && line.margin.is_empty() && line.bar.is_none());
        assert_eq!((line.result.words.as_str(), line.because.as_str()), ("not checked", "the fault current is unknown"));
    }

    #[test]
    fn sizes_ascend_from_gauges_to_circular_mils() {
        let sizes =
            ["14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "1 AWG", "1/0 AWG", "4/0 AWG", "250 kcmil", "1000 kcmil"];
        assert!(sizes.map(rank).windows(2).all(|pair| pair[0].is_some() && pair[0] < pair[1]));
        assert!(rank("1.5 mm2") < rank("2.5 mm2") && rank("").is_none() && rank("x AWG").is_none());
    }

    #[test]
    fn a_step_taken_twice_with_the_same_numbers_stands_once() {
        let step = |value| WorkingLine { quantity: "capacity".to_owned(), value, ..WorkingLine::default() };
        assert_eq!(steps(vec![step(1.0), step(2.0), step(1.0)]).len(), 2);
    }
}
