//! One circuit as plain text, for `explain`.

use super::columns::raceway_words;
use super::words::{brief, full, terms};
use crate::design::{Check, Circuit, Run};
use crate::record::significant;
use crate::rules::units::Units;

fn number(value: f64) -> String {
    significant(value, 4)
}

/// A circuit: what was chosen, the checks and the findings.
#[must_use]
pub fn circuit(circuit: &Circuit, units: Units) -> String {
    let terms = terms(units);
    let mut text = format!("{}  {}\n", circuit.tag, circuit.description);
    let mut line = |what: &str, words: String| {
        if !words.is_empty() {
            text.push_str(&format!("  {what:<12} {words}\n"));
        }
    };
    let load = &circuit.load;
    line("state", circuit.status.words().to_owned());
    line("board", circuit.board.clone());
    line("load", load_line(circuit, units));
    line(
        "start",
        units.pick(load.starting_method.clone().unwrap_or_default(), shown(units, load.starting_method.as_deref().unwrap_or(""))),
    );
    let currents = &circuit.currents;
    if currents.full_load_a > 0.0 {
        line(
            "current",
            format!("{} A ({}), {} A while starting", number(currents.full_load_a), currents.source, number(currents.starting_a)),
        );
        if let (Units::Customary, Some(nameplate)) = (units, currents.nameplate_a) {
            line("nameplate", format!("{} A", number(nameplate)));
        }
    }
    if let Some(own) = &circuit.protection {
        let (trip, breaks) = units.pick(("magnetic", "breaks"), ("instantaneous", "interrupts"));
        let magnetic = own.magnetic_trip_a.map(|amperes| format!(", {trip} trip {} A", number(amperes))).unwrap_or_default();
        let breaking = own.breaking_ka.map(|ka| format!(", {breaks} {} kA", number(ka))).unwrap_or_default();
        let maximum = own.maximum_a.map(|amperes| format!(", at most {} A", number(amperes))).unwrap_or_default();
        let coordination = format!(", co-ordination {}", own.coordination);
        line(
            "protection",
            format!(
                "{} {} A{magnetic}{breaking}{}, {}",
                shown(units, &own.kind),
                number(own.rating_a),
                units.pick(coordination, maximum),
                own.part
            ),
        );
    }
    for own in &circuit.contactors {
        line(
            &own.role,
            format!("contactor {} A in {} for {} A, {}", number(own.rated_a), own.category, number(own.current_a), own.part),
        );
    }
    for own in &circuit.starter_devices {
        line(
            "device",
            format!("{} {} A for {} A, {}", shown(units, &own.kind), number(own.rated_a), number(own.current_a), own.part),
        );
    }
    for own in &circuit.overloads {
        let part = if own.part.is_empty() { String::new() } else { format!(", {}", own.part) };
        line(
            "overload",
            format!(
                "{} ({}, {}) set to {} A in {} to {} A, class {}{part}",
                shown(units, &own.kind),
                own.role,
                shown(units, &own.position),
                number(own.setting_a),
                number(own.range_a[0]),
                number(own.range_a[1]),
                own.trip_class
            ),
        );
    }
    for own in &circuit.runs {
        line(&format!("{} {}", terms.cable.to_lowercase(), shown(units, &own.role)), run_line(own, units));
    }
    if let (Units::Customary, Some(own)) = (units, &circuit.disconnect) {
        let hp = own.rating_hp.map(|hp| format!(", {} hp", number(hp))).unwrap_or_default();
        let amperes = own.rating_a.map(|amperes| format!(" {} A", number(amperes))).unwrap_or_default();
        line("disconnect", format!("{}{amperes}{hp}, {}", full(units, &own.kind), own.part));
    }
    if let Some(own) = &circuit.control {
        line(
            "control",
            format!(
                "{}, pick-up {} VA, hold {} VA, switched by {}",
                own.coil_voltage,
                number(own.pick_up_va),
                number(own.hold_va),
                own.driven_by
            ),
        );
    }
    for own in &circuit.accessories {
        line("accessory", format!("{} × {} {} ({})", own.quantity, own.kind, own.part, own.why));
    }
    text.push_str("\nChecks\n");
    for check in &circuit.checks {
        text.push_str(&check_line(check, units));
    }
    if !circuit.findings.is_empty() {
        text.push_str("\nFindings\n");
    }
    for finding in &circuit.findings {
        text.push_str(&format!("  {}\n", crate::finding::summary_line(finding)));
        if !finding.cure.is_empty() {
            text.push_str(&format!("    {}\n", finding.cure));
        }
    }
    text
}

/// A canonical value: as the contract has it for the metric book, in the words of the trade for the customary one.
fn shown(units: Units, key: &str) -> String {
    units.pick(key.to_owned(), brief(units, key).into_owned())
}

fn run_line(own: &Run, units: Units) -> String {
    let terms = terms(units);
    let unit = units.length_unit();
    let holds = own.holds_to_m.map(|metres| format!(", holds to {} {unit}", number(units.reach(metres)))).unwrap_or_default();
    let parallel = if own.per_phase > 1 { format!("{} × ", own.per_phase) } else { String::new() };
    let raceway = raceway_words(own, units);
    let raceway = if raceway.is_empty() { String::new() } else { format!(", {raceway}") };
    format!(
        "{parallel}{} {} {}, {} {}{raceway}, {} {unit}, {} A for {} A, governed by {}{holds}",
        own.phase_size,
        shown(units, &own.material),
        shown(units, &own.insulation),
        terms.protective.to_lowercase(),
        own.protective_size,
        number(units.length(own.length_m)),
        number(own.capacity_a),
        number(own.required_a),
        shown(units, &own.governed_by)
    )
}

fn load_line(circuit: &Circuit, units: Units) -> String {
    let load = &circuit.load;
    let kw = load.rated_power_kw.map(|kw| format!("{} kW, ", number(kw))).unwrap_or_default();
    let hp = load.rated_power_hp.map(|hp| format!("{} hp, ", number(hp))).unwrap_or_default();
    let power = units.pick(kw.clone(), format!("{hp}{kw}"));
    let volts = load.voltage_v.map(|volts| format!("{} V, ", number(volts))).unwrap_or_default();
    let phases = load.phases.map(|phases| if phases == 1 { "1 phase, " } else { "3 phases, " }).unwrap_or_default();
    let class = load.efficiency_class.clone().map(|class| format!(", {class}")).unwrap_or_default();
    format!("{}, {power}{volts}{phases}{}{class}", load.kind, load.duty.clone().unwrap_or_default())
}

fn check_line(check: &Check, units: Units) -> String {
    let subject = if check.subject.is_empty() { String::new() } else { format!(" ({})", shown(units, &check.subject)) };
    let name = format!("{}{subject}", shown(units, &check.name));
    match (check.passed, &check.not_checked_because) {
        (Some(passed), _) => {
            let show = |value: Option<f64>| value.map(number).unwrap_or_default();
            let margin = check.margin_pct.map(|pct| format!(", margin {} %", significant(pct, 3))).unwrap_or_default();
            format!(
                "  {:<11} {name}: {} against {} {}{margin}  [{}]\n",
                if passed { "passed" } else { "FAILED" },
                show(check.value),
                show(check.limit),
                check.unit,
                check.reference
            )
        }
        (None, because) => {
            format!("  {:<11} {name}: {}  [{}]\n", "not checked", because.clone().unwrap_or_default(), check.reference)
        }
    }
}
