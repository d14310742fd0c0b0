//! One circuit as plain text, for `explain`; boards stand in `board`.

use super::columns::load as words;
use super::columns::{accessories, contacts, frame_words, given_item, given_value, raceway_words};
use super::words::{brief, clause, full, terms, without_figure};
use super::working::{Line, lines};
use crate::design::labels::so_many;
use crate::design::{Check, Circuit, Contactor, ControlRun, Run, Verdict};
use crate::finding::Finding;
use crate::record::{Step, significant};
use crate::rules::units::{Measure, Units};

pub mod board;

/// Columns of a terminal that lines are kept to.
const WIDTH: usize = 100;
/// Width of the labels.
const LABEL: usize = 12;

/// A line, broken between words where it is too long; what follows is indented.
fn wrapped(line: &str, indent: usize) -> String {
    let mut text = String::new();
    let mut rest = line;
    let mut room = WIDTH;
    loop {
        let cut = rest
            .char_indices()
            .enumerate()
            .skip(1)
            .take_while(|(count, _)| *count <= room)
            .filter(|(_, (at, one))| *one == ' ' && !rest[..*at].trim().is_empty())
            .last()
            .map(|(_, (at, _))| at);
        match cut {
            Some(at) if rest.chars().count() > room => {
                text.push_str(rest[..at].trim_end());
                text.push('\n');
                text.push_str(&" ".repeat(indent));
                rest = &rest[at + 1..];
                room = WIDTH - indent;
            }
            _ => {
                text.push_str(rest.trim_end());
                text.push('\n');
                return text;
            }
        }
    }
}

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
            text.push_str(&wrapped(&format!("  {what:<LABEL$} {words}"), LABEL + 3));
        }
    };
    let load = &circuit.load;
    line("state", circuit.status.words().to_owned());
    line("board", circuit.board.clone());
    line("load", load_line(circuit, units));
    line("method", words::method(circuit, units).into_owned());
    let currents = &circuit.currents;
    if currents.full_load_a > 0.0 {
        let starting =
            circuit.start.as_ref().map_or_else(String::new, |_| format!(", {} A while starting", number(currents.starting_a)));
        let each = match circuit.motors {
            0 | 1 => String::new(),
            motors => format!(", {motors} × {} A", number(currents.full_load_a / f64::from(motors))),
        };
        line("current", format!("{} A ({}{each}){starting}", number(currents.full_load_a), currents.source));
        if let (Units::Customary, Some(nameplate)) = (units, currents.nameplate_a) {
            line("nameplate", format!("{} A", number(nameplate)));
        }
    }
    if let Some(protection) = &circuit.protection {
        let (trip, breaks) = units.pick(("magnetic", "breaks"), ("instantaneous", "interrupts"));
        let magnetic =
            protection.magnetic_trip_a.map(|amperes| format!(", {trip} trip {} A", number(amperes))).unwrap_or_default();
        let breaking = protection.breaking_ka.map(|ka| format!(", {breaks} {} kA", number(ka))).unwrap_or_default();
        let maximum = protection.maximum_a.map(|amperes| format!(", at most {} A", number(amperes))).unwrap_or_default();
        let coordination = format!(", co-ordination {}", shown(units, &protection.coordination));
        line(
            "protection",
            format!(
                "{} {} A{magnetic}{breaking}{}, {}",
                units.pick(full(units, &protection.kind), shown(units, &protection.kind)),
                number(protection.rating_a),
                units.pick(coordination, maximum),
                protection.part
            ),
        );
    }
    for contactor in &circuit.contactors {
        line(&shown(units, &contactor.role), contactor_line(contactor, units));
    }
    for contactor in &circuit.contactors {
        let contacts = contacts(circuit, &contactor.role);
        if !contacts.is_empty() {
            line("contacts", format!("{}: {contacts}", shown(units, &contactor.role)));
        }
    }
    for device in &circuit.starter_devices {
        let rated = if device.rated_a > 0.0 { format!(" {} A", number(device.rated_a)) } else { String::new() };
        let part = if device.part.is_empty() { "to its maker's design" } else { &device.part };
        line("device", format!("{}{rated} for {} A, {part}", shown(units, &device.kind), number(device.current_a)));
    }
    for overload in &circuit.overloads {
        let part = if overload.part.is_empty() { String::new() } else { format!(", {}", overload.part) };
        let (role, position) = (shown(units, &overload.role), shown(units, &overload.position));
        let place = if role == position || role.is_empty() { position } else { format!("{role}, {position}") };
        line(
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
    for run in &circuit.runs {
        let role = words::about(&load.kind, &run.role);
        let label = format!("{} {}", terms.cable.to_lowercase(), shown(units, role));
        let (label, role) = units.pick((label, String::new()), ("conductors".to_owned(), format!("{}: ", shown(units, role))));
        line(&label, format!("{role}{}{}", so_many(run.count), run_line(run, units)));
    }
    if let Some(disconnect) = circuit.disconnect.as_ref().filter(|disconnect| disconnect.count > 1) {
        let amperes = disconnect.rating_a.map(|amperes| format!(" {} A", number(amperes))).unwrap_or_default();
        line("isolator", format!("{}{}{amperes}, {}", so_many(disconnect.count), full(units, &disconnect.kind), disconnect.part));
    }
    if let (Units::Customary, Some(disconnect)) = (units, &circuit.disconnect) {
        let hp = disconnect.rating_hp.map(|hp| format!(", {} hp", number(hp))).unwrap_or_default();
        let amperes = disconnect.rating_a.map(|amperes| format!(" {} A", number(amperes))).unwrap_or_default();
        line("disconnect", format!("{}{amperes}{hp}, {}", full(units, &disconnect.kind), disconnect.part));
    }
    if let Some(control) = &circuit.control {
        line(
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
            line("supply", format!("{}{power} {}", shown(units, &supply.kind), supply.part).trim_end().to_owned());
        }
        if let Some(run) = &control.run {
            line("control run", control_run(run, units));
        }
    }
    for accessory in accessories(circuit) {
        line(
            "accessory",
            format!("{} × {} {} ({})", accessory.quantity, shown(units, &accessory.kind), accessory.part, accessory.why),
        );
    }
    for given in &circuit.given {
        let would = if given.wanted.is_empty() || given.verdict == Verdict::Adequate {
            String::new()
        } else {
            format!(", {} would do", given_value(&given.column, &given.wanted, units))
        };
        let margin = given.margin_pct.map(|pct| format!(", margin {}", margin(pct))).unwrap_or_default();
        let follows = if given.what_follows.is_empty() { String::new() } else { format!("; {}", given.what_follows) };
        let clause = if given.reference.is_empty() { String::new() } else { format!("  [{}]", clause(units, &given.reference)) };
        line(
            "given",
            format!(
                "{} {}: {}{would}{margin}{follows}{clause}",
                given_item(&given.column, units),
                given_value(&given.column, &given.given, units),
                given.verdict.words()
            ),
        );
    }
    text.push_str("\nChecks\n");
    for check in &circuit.checks {
        text.push_str(&check_line(check, &shown(units, words::about(&load.kind, &check.subject)), units));
    }
    text.push_str(&findings(&circuit.findings));
    text
}

fn findings(all: &[Finding]) -> String {
    let mut text = String::new();
    if !all.is_empty() {
        text.push_str("\nFindings\n");
    }
    for finding in all {
        text.push_str(&wrapped(&format!("  {}", crate::finding::summary_line(finding)), 6));
        if !finding.cure.is_empty() {
            text.push_str(&wrapped(&format!("    {}", finding.cure), 6));
        }
    }
    text
}

/// The working: each line once, in the words of the trade.
#[must_use]
pub fn working(circuit: &Circuit, steps: &[Step], units: Units) -> String {
    working_lines(lines(circuit, steps, units))
}

fn working_lines(lines: Vec<Line>) -> String {
    let mut text = "\nWorking\n".to_owned();
    for line in lines {
        text.push_str(&format!("  {}\n", line.quantity));
        for words in [line.formula, line.numbers].into_iter().filter(|words| !words.is_empty()) {
            text.push_str(&wrapped(&format!("    {words}"), 6));
        }
        text.push_str(&wrapped(&format!("    = {}   ({})", line.result.text(), line.reference), 6));
    }
    text
}

/// How far away the contact may stand, with conductors of the usual size.
fn control_run(run: &ControlRun, units: Units) -> String {
    let reach = |metres: f64| format!("{} {}", number(units.reach(metres).floor()), units.length_unit());
    let capacitance = run.capacitance_reach_m.map(|metres| format!(", to {} by capacitance", reach(metres))).unwrap_or_default();
    format!("{}, holds to {} by voltage drop{capacitance}", size(&run.size), reach(run.drop_reach_m))
}

/// A size of conductor with its unit.
fn size(text: &str) -> String {
    text.replace("mm2", "mm²")
}

/// A canonical value in the words of the trade.
fn shown(units: Units, key: &str) -> String {
    brief(units, key).into_owned()
}

fn run_line(run: &Run, units: Units) -> String {
    let terms = terms(units);
    let unit = units.length_unit();
    let holds = run.holds_to_m.map(|metres| format!(", holds to {} {unit}", number(units.reach(metres)))).unwrap_or_default();
    let parallel = if run.per_phase > 1 { format!("{} × ", run.per_phase) } else { String::new() };
    let side_by_side = if run.cables > 1 { format!(" in {} cables", run.cables) } else { String::new() };
    let words = [size(&run.phase_size), shown(units, &run.material), full(units, &run.insulation)];
    let words: Vec<String> = words.into_iter().filter(|text| !text.is_empty()).collect();
    let named = |what: &str, text: String| if text.is_empty() { text } else { format!("{what} {text}") };
    let carries = if run.capacity_a > 0.0 && run.required_a > 0.0 {
        format!("{} A for {} A", number(run.capacity_a), number(run.required_a))
    } else {
        String::new()
    };
    let parts = [
        format!("{parallel}{}{side_by_side}", words.join(" ")),
        named(&terms.protective.to_lowercase(), size(&run.protective_size)),
        raceway_words(run, units).into_owned(),
        format!("{} {unit}", number(units.length(run.length_m))),
        carries,
        named("governed by", shown(units, &run.governed_by)),
    ];
    let parts: Vec<String> = parts.into_iter().filter(|text| !text.is_empty()).collect();
    parts.join(", ") + &holds
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

fn check_line(check: &Check, subject: &str, units: Units) -> String {
    let subject = if subject.is_empty() { String::new() } else { format!(" ({subject})") };
    let name = format!("{}{subject}", shown(units, &check.name));
    match (check.passed, &check.not_checked_because) {
        (Some(passed), _) => {
            let unit = units.unit(&check.unit);
            let both = (
                check.value.map(|value| units.value(value, &check.unit)),
                check.limit.map(|limit| units.limit(limit, &check.unit)),
            );
            let words = match both {
                (Some(Measure::Size(value)), Some(Measure::Size(limit))) => format!("{value} against {limit}"),
                (Some(value), Some(limit)) => format!("{} against {} {unit}", show(value), show(limit)).trim_end().to_owned(),
                (None, Some(limit)) => {
                    format!("{} against {} {unit}", without_figure(&check.unit), show(limit)).trim_end().to_owned()
                }
                (_, None) => without_figure(&check.unit).to_owned(),
            };
            let margin = check.margin_pct.filter(|_| check.has_margin());
            let margin = margin.map(|pct| format!(", margin {}", self::margin(pct))).unwrap_or_default();
            let words = if check.has_figures() { format!(": {words}") } else { String::new() };
            let result = if passed { "passed" } else { "FAILED" };
            wrapped(&format!("  {result:<11} {name}{words}{margin}  [{}]", clause(units, &check.reference)), LABEL + 2)
        }
        (None, because) => {
            let because = because.clone().unwrap_or_default();
            wrapped(&format!("  {:<11} {name}: {because}  [{}]", "not checked", clause(units, &check.reference)), LABEL + 2)
        }
    }
}

fn show(measure: Measure) -> String {
    match measure {
        Measure::Number(value) => number(value),
        Measure::Size(size) => size,
    }
}

/// A margin. A floor that is passed many times over says no more with four digits.
fn margin(pct: f64) -> String {
    if pct > 999.0 { "over 999 %".to_owned() } else { format!("{} %", significant(pct, 3)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::StarterDevice;

    #[test]
    fn long_lines_break_between_words_and_go_on_indented() {
        let line = format!("  {:<LABEL$} {}", "conductors", "seven by ".repeat(30));
        let text = wrapped(&line, LABEL + 3);
        assert!(text.lines().count() > 2 && text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
        assert!(text.lines().skip(1).all(|line| line.starts_with("               s") || line.starts_with("               b")));
        assert_eq!(text.split_whitespace().count(), line.split_whitespace().count());
        assert_eq!(wrapped("  short", 6), "  short\n");
        // A word that is too long stays whole, and ends the line.
        assert_eq!(wrapped(&"x".repeat(150), 6), format!("{}\n", "x".repeat(150)));
    }

    #[test]
    fn what_is_not_known_leaves_no_blank() {
        let run = Run { phase_size: "0.75 mm2".to_owned(), material: "copper".to_owned(), length_m: 30.0, ..Run::default() };
        assert_eq!(run_line(&run, Units::Metric), "0.75 mm² copper, 30 m");
        let none = Contactor { current_a: 4.4, category: "AC-3".to_owned(), ..Contactor::default() };
        assert_eq!(contactor_line(&none, Units::Metric), "none in the catalogue for 4.4 A in AC-3");
        let circuit_of = |devices| Circuit { starter_devices: devices, ..Circuit::default() };
        let transformer = StarterDevice { kind: "autotransformer".to_owned(), current_a: 98.0, ..StarterDevice::default() };
        let text = circuit(&circuit_of(vec![transformer]), Units::Metric);
        assert!(text.contains("autotransformer for 98 A, to its maker's design"), "{text}");
    }

    #[test]
    fn an_nec_check_speaks_of_feet_and_gauges() {
        let check = |name: &str, value, limit, unit: &str| Check {
            name: name.to_owned(),
            value: Some(value),
            limit: Some(limit),
            unit: unit.to_owned(),
            passed: Some(false),
            ..Check::default()
        };
        // 80.77 m are 264.99 ft, 50 m are 164.04 ft; 4 AWG are 21.15 mm², 6 AWG 13.3 mm².
        let length = check("drive-cable-length", 80.77, 50.0, "m");
        assert!(check_line(&length, "", Units::Customary).contains("motor lead length: 265 against 164 ft"));
        assert!(check_line(&length, "", Units::Metric).contains("drive cable length: 80.77 against 50 m"));
        let terminals = check("terminals", 21.15, 13.3, "mm²");
        assert!(check_line(&terminals, "", Units::Customary).contains("terminals: 4 AWG against 6 AWG  "));
        assert!(check_line(&terminals, "", Units::Metric).contains("terminals: 21.15 against 13.3 mm²"));
    }
}
