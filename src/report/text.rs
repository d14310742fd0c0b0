//! One circuit as plain text, for `explain`.

use crate::design::{Check, Circuit};
use crate::record::significant;

fn number(value: f64) -> String {
    significant(value, 4)
}

/// A circuit: what was chosen, the checks and the findings.
#[must_use]
pub fn circuit(circuit: &Circuit) -> String {
    let mut text = format!("{}  {}\n", circuit.tag, circuit.description);
    let mut line = |what: &str, words: String| {
        if !words.is_empty() {
            text.push_str(&format!("  {what:<12} {words}\n"));
        }
    };
    let load = &circuit.load;
    line("state", circuit.status.words().to_owned());
    line("board", circuit.board.clone());
    line("load", load_line(circuit));
    line("start", load.starting_method.clone().unwrap_or_default());
    let currents = &circuit.currents;
    if currents.full_load_a > 0.0 {
        line(
            "current",
            format!("{} A ({}), {} A while starting", number(currents.full_load_a), currents.source, number(currents.starting_a)),
        );
    }
    if let Some(own) = &circuit.protection {
        let magnetic = own.magnetic_trip_a.map(|amperes| format!(", magnetic trip {} A", number(amperes))).unwrap_or_default();
        let breaking = own.breaking_ka.map(|ka| format!(", breaks {} kA", number(ka))).unwrap_or_default();
        line(
            "protection",
            format!(
                "{} {} A{magnetic}{breaking}, co-ordination {}, {}",
                own.kind,
                number(own.rating_a),
                own.coordination,
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
        line("device", format!("{} {} A for {} A, {}", own.kind, number(own.rated_a), number(own.current_a), own.part));
    }
    for own in &circuit.overloads {
        let part = if own.part.is_empty() { String::new() } else { format!(", {}", own.part) };
        line(
            "overload",
            format!(
                "{} ({}, {}) set to {} A in {} to {} A, class {}{part}",
                own.kind,
                own.role,
                own.position,
                number(own.setting_a),
                number(own.range_a[0]),
                number(own.range_a[1]),
                own.trip_class
            ),
        );
    }
    for own in &circuit.runs {
        let holds = own.holds_to_m.map(|metres| format!(", holds to {} m", number(metres))).unwrap_or_default();
        let parallel = if own.per_phase > 1 { format!("{} × ", own.per_phase) } else { String::new() };
        line(
            &format!("cable {}", own.role),
            format!(
                "{parallel}{} {} {}, protective {}, {} m, {} A for {} A, governed by {}{holds}",
                own.phase_size,
                own.material,
                own.insulation,
                own.protective_size,
                number(own.length_m),
                number(own.capacity_a),
                number(own.required_a),
                own.governed_by
            ),
        );
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
        text.push_str(&check_line(check));
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

fn load_line(circuit: &Circuit) -> String {
    let load = &circuit.load;
    let power = load.rated_power_kw.map(|kw| format!("{} kW, ", number(kw))).unwrap_or_default();
    let volts = load.voltage_v.map(|volts| format!("{} V, ", number(volts))).unwrap_or_default();
    let phases = load.phases.map(|phases| if phases == 1 { "1 phase, " } else { "3 phases, " }).unwrap_or_default();
    let class = load.efficiency_class.clone().map(|class| format!(", {class}")).unwrap_or_default();
    format!("{}, {power}{volts}{phases}{}{class}", load.kind, load.duty.clone().unwrap_or_default())
}

fn check_line(check: &Check) -> String {
    let subject = if check.subject.is_empty() { String::new() } else { format!(" ({})", check.subject) };
    let name = format!("{}{subject}", check.name);
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
