//! One circuit as plain text: what was chosen from the supply to the load, the checks and the findings.

use super::{Labelled, check_line, findings, margin, number, run_line, shown, size};
use crate::design::labels::so_many;
use crate::design::{Circuit, Contactor, ControlRun, Verdict};
use crate::report::columns::load as words;
use crate::report::columns::{accessories, contacts, frame_words, given_item, given_value};
use crate::report::words::{clause, full, terms};
use crate::rules::units::Units;

/// A circuit: what was chosen, the checks and the findings.
#[must_use]
pub fn circuit(circuit: &Circuit, units: Units) -> String {
    let mut lines = Labelled::under(&format!("{}  {}", circuit.tag, circuit.description));
    lines.add("state", circuit.status.words().to_owned());
    lines.add("board", circuit.board.clone());
    lines.add("load", load_line(circuit, units));
    lines.add("method", words::method(circuit, units).into_owned());
    currents(&mut lines, circuit, units);
    protection(&mut lines, circuit, units);
    contactors(&mut lines, circuit, units);
    starter_devices(&mut lines, circuit, units);
    overloads(&mut lines, circuit, units);
    conductors(&mut lines, circuit, units);
    disconnect(&mut lines, circuit, units);
    control(&mut lines, circuit, units);
    for accessory in accessories(circuit) {
        let (quantity, part, why) = (accessory.quantity, &accessory.part, &accessory.why);
        lines.add("accessory", format!("{quantity} × {} {part} ({why})", shown(units, &accessory.kind)));
    }
    given(&mut lines, circuit, units);
    let mut text = lines.text;
    text.push_str("\nChecks\n");
    for check in &circuit.checks {
        text.push_str(&check_line(check, &shown(units, words::about(&circuit.load.kind, &check.subject)), units));
    }
    text.push_str(&findings(&circuit.findings));
    text
}

fn currents(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    let currents = &circuit.currents;
    if currents.full_load_a <= 0.0 {
        return;
    }
    let starting =
        circuit.start.as_ref().map_or_else(String::new, |_| format!(", {} A while starting", number(currents.starting_a)));
    let each = match circuit.motors {
        0 | 1 => String::new(),
        motors => format!(", {motors} × {} A", number(currents.full_load_a / f64::from(motors))),
    };
    lines.add("current", format!("{} A ({}{each}){starting}", number(currents.full_load_a), currents.source));
    if let (Units::Customary, Some(nameplate)) = (units, currents.nameplate_a) {
        lines.add("nameplate", format!("{} A", number(nameplate)));
    }
}

fn protection(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    if let Some(protection) = &circuit.protection {
        let (trip, breaks) = units.pick(("magnetic", "breaks"), ("instantaneous", "interrupts"));
        let magnetic =
            protection.magnetic_trip_a.map(|amperes| format!(", {trip} trip {} A", number(amperes))).unwrap_or_default();
        let set = circuit.release_setting().map(|amperes| format!(", set to {} A", number(amperes))).unwrap_or_default();
        let breaking = protection.breaking_ka.map(|ka| format!(", {breaks} {} kA", number(ka))).unwrap_or_default();
        let maximum = protection.maximum_a.map(|amperes| format!(", at most {} A", number(amperes))).unwrap_or_default();
        let coordination = format!(", co-ordination {}", shown(units, &protection.coordination));
        lines.add(
            "protection",
            format!(
                "{} {} A{set}{magnetic}{breaking}{}, {}",
                units.pick(full(units, &protection.kind), shown(units, &protection.kind)),
                number(protection.rating_a),
                units.pick(coordination, maximum),
                protection.part
            ),
        );
    }
}

/// Contactors, then the auxiliary contacts of each.
fn contactors(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    for contactor in &circuit.contactors {
        lines.add(&shown(units, &contactor.role), contactor_line(contactor, units));
    }
    for contactor in &circuit.contactors {
        let contacts = contacts(circuit, &contactor.role);
        if !contacts.is_empty() {
            lines.add("contacts", format!("{}: {contacts}", shown(units, &contactor.role)));
        }
    }
}

fn starter_devices(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    for device in &circuit.starter_devices {
        let rated = if device.rated_a > 0.0 { format!(" {} A", number(device.rated_a)) } else { String::new() };
        let part = if device.part.is_empty() { "to its maker's design" } else { &device.part };
        lines.add("device", format!("{}{rated} for {} A, {part}", shown(units, &device.kind), number(device.current_a)));
    }
}

fn overloads(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    for overload in &circuit.overloads {
        let part = if overload.part.is_empty() { String::new() } else { format!(", {}", overload.part) };
        let (role, position) = (shown(units, &overload.role), shown(units, &overload.position));
        let place = if role == position || role.is_empty() { position } else { format!("{role}, {position}") };
        lines.add(
            "overload",
            format!(
                "{}{} ({place}) set to {} A{}, class {}{part}",
                so_many(overload.count),
                full(units, &overload.kind),
                number(overload.setting_a),
                if overload.is_found() {
                    format!(" in {} to {} A", number(overload.range_a[0]), number(overload.range_a[1]))
                } else {
                    ": the catalogue holds none".to_owned()
                },
                overload.trip_class
            ),
        );
    }
}

fn conductors(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    for run in &circuit.runs {
        let role = words::about(&circuit.load.kind, &run.role);
        let label = format!("{} {}", terms(units).cable.to_lowercase(), shown(units, role));
        let (label, role) = units.pick((label, String::new()), ("conductors".to_owned(), format!("{}: ", shown(units, role))));
        lines.add(&label, format!("{role}{}{}", so_many(run.count), run_line(run, units)));
    }
}

/// Isolators at several motors, and in the customary book every disconnecting means.
fn disconnect(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    if let Some(disconnect) = circuit.disconnect.as_ref().filter(|disconnect| disconnect.count > 1) {
        let amperes = disconnect.rating_a.map(|amperes| format!(" {} A", number(amperes))).unwrap_or_default();
        lines.add(
            "isolator",
            format!("{}{}{amperes}, {}", so_many(disconnect.count), full(units, &disconnect.kind), disconnect.part),
        );
    }
    if let (Units::Customary, Some(disconnect)) = (units, &circuit.disconnect) {
        let hp = disconnect.rating_hp.map(|hp| format!(", {} hp", number(hp))).unwrap_or_default();
        let amperes = disconnect.rating_a.map(|amperes| format!(" {} A", number(amperes))).unwrap_or_default();
        lines.add("disconnect", format!("{}{amperes}{hp}, {}", full(units, &disconnect.kind), disconnect.part));
    }
}

fn control(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    if let Some(control) = &circuit.control {
        lines.add(
            "control",
            format!(
                "{}, pick-up {} VA, hold {} VA, switched by {}",
                control.coil_voltage,
                number(control.pick_up_va),
                number(control.hold_va),
                shown(units, &control.driven_by)
            ),
        );
        if let Some(supply) = &control.supply {
            let power = supply.rating_va.map(|va| format!(" {} VA", number(va))).unwrap_or_default();
            lines.add("supply", format!("{}{power} {}", shown(units, &supply.kind), supply.part).trim_end().to_owned());
        }
        if let Some(run) = &control.run {
            lines.add("control run", control_run(run, units));
        }
    }
}

/// Choices of others with the verdict on each.
fn given(lines: &mut Labelled, circuit: &Circuit, units: Units) {
    for given in &circuit.given {
        let would = if given.wanted.is_empty() || given.verdict == Verdict::Adequate {
            String::new()
        } else {
            format!(", {} would do", given_value(&given.column, &given.wanted, units))
        };
        let margin = given.margin_pct.map(|pct| format!(", margin {}", margin(pct))).unwrap_or_default();
        let follows = if given.what_follows.is_empty() { String::new() } else { format!("; {}", given.what_follows) };
        let clause = if given.reference.is_empty() { String::new() } else { format!("  [{}]", clause(units, &given.reference)) };
        lines.add(
            "given",
            format!(
                "{} {}: {}{would}{margin}{follows}{clause}",
                given_item(&given.column, units),
                given_value(&given.column, &given.given, units),
                given.verdict.words()
            ),
        );
    }
}

/// How far away the contact may stand, with conductors of the usual size.
fn control_run(run: &ControlRun, units: Units) -> String {
    let reach = |metres: f64| format!("{} {}", number(units.reach(metres).floor()), units.length_unit());
    let capacitance = run.capacitance_reach_m.map(|metres| format!(", to {} by capacitance", reach(metres))).unwrap_or_default();
    let length = |metres: f64| format!("{} {}", number(units.length(metres).round()), units.length_unit());
    let supply = run.supply_length_m.map(|metres| format!(", coil supply from the board over {}", length(metres)));
    let supply = supply.unwrap_or_default();
    format!("{}, holds to {} by voltage drop{capacitance}{supply}", size(&run.size), reach(run.drop_reach_m))
}

/// A contactor with what it carries; a role for which the catalogue holds none says so.
fn contactor_line(contactor: &Contactor, units: Units) -> String {
    let category = units.pick(contactor.category.clone(), full(units, &contactor.category));
    if contactor.part.is_empty() && contactor.rated_a <= 0.0 {
        let duty = if category.is_empty() { String::new() } else { format!(" in {category}") };
        return format!("none in the catalogue for {} A{duty}", number(contactor.current_a));
    }
    let (rated, current) = (number(contactor.rated_a), number(contactor.current_a));
    match units {
        Units::Metric => format!("contactor {rated} A in {category} for {current} A, {}", contactor.part),
        Units::Customary => {
            let frame = if contactor.frame.is_empty() { String::new() } else { format!("{} ", frame_words(&contactor.frame)) };
            let duty = if category.is_empty() { String::new() } else { format!("{category}, ") };
            format!("{frame}contactor, {duty}{rated} A for {current} A, {}", contactor.part)
        }
    }
}

fn load_line(circuit: &Circuit, units: Units) -> String {
    let load = &circuit.load;
    let kw = load.rated_power_kw.map(|kw| format!("{} kW, ", number(kw))).unwrap_or_default();
    let hp = load.rated_power_hp.map(|hp| format!("{} hp, ", words::horsepower(hp))).unwrap_or_default();
    let power = units.pick(kw.clone(), format!("{hp}{kw}"));
    let volts = load.voltage_v.map(|volts| format!("{} V, ", number(volts))).unwrap_or_default();
    let phases = load.phases.map(|phases| if phases == 1 { "1 phase, " } else { "3 phases, " }).unwrap_or_default();
    let lines = words::lines(circuit).map(|lines| format!("{lines}, ")).unwrap_or_default();
    let class = load.efficiency_class.as_deref().map(|class| format!(", {}", shown(units, class))).unwrap_or_default();
    let duty = load.duty.as_deref().map(|duty| shown(units, duty)).unwrap_or_default();
    let kind = if circuit.motors > 1 { format!("{} motors, each", circuit.motors) } else { format!("{},", load.kind) };
    format!("{kind} {power}{volts}{phases}{lines}{duty}{class}").trim_end_matches(", ").to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::StarterDevice;

    #[test]
    fn what_is_not_found_is_told() {
        let none = Contactor { current_a: 4.4, category: "AC-3".to_owned(), ..Contactor::default() };
        assert_eq!(contactor_line(&none, Units::Metric), "none in the catalogue for 4.4 A in AC-3");
        let circuit_of = |devices| Circuit { starter_devices: devices, ..Circuit::default() };
        let transformer = StarterDevice { kind: "autotransformer".to_owned(), current_a: 98.0, ..StarterDevice::default() };
        let text = circuit(&circuit_of(vec![transformer]), Units::Metric);
        assert!(text.contains("autotransformer for 98 A, to its maker's design"), "{text}");
    }
}
