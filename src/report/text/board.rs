//! One board as plain text, for `explain` and for the summary of `size`.

use super::{Labelled, check_line, findings, number, run_line, shown, working_lines};
use crate::design::{Board, DeviceLoss};
use crate::quantity::{round_down, round_up};
use crate::report::columns;
use crate::report::working::kept;
use crate::rules::units::Units;

/// Devices that are named with their heat.
const WARMEST: usize = 5;

/// A board: what it carries and what feeds it, fault currents and starts, heat and width, checks and findings.
#[must_use]
pub fn board(board: &Board, units: Units) -> String {
    let mut lines = Labelled::under(&board.name);
    lines.add("fed from", columns::fed_from(board).into_owned());
    lines.add("voltage", if board.voltage_v > 0.0 { format!("{} V", number(board.voltage_v)) } else { String::new() });
    lines.add("ways", if board.ways > 0 { board.ways.to_string() } else { String::new() });
    lines.extend(loads(board));
    lines.extend(feeder(board, units));
    let head = [columns::incoming_rated(board, units), columns::incoming_figures(board, units)];
    let head = head.into_iter().filter(|head| !head.is_empty()).collect::<Vec<_>>().join(", ");
    lines.add(units.pick("incoming", "main"), head);
    lines.add("fault", faults(board, units));
    lines.add(
        "running",
        board
            .voltage_running_pct
            .map(|pct| format!("voltage {pct:.1} % with everything running that runs together"))
            .unwrap_or_default(),
    );
    for dip in &board.dips {
        lines.add("start", columns::dip_words(dip));
    }
    lines.extend(enclosure(board, units));
    let mut text = lines.text;
    if !board.checks.is_empty() {
        text.push_str("\nChecks\n");
    }
    for check in &board.checks {
        text.push_str(&check_line(check, &columns::about_board(&check.subject, units), units));
    }
    text.push_str(&findings(&board.findings));
    text
}

/// The working of a board.
#[must_use]
pub fn working(board: &Board, units: Units) -> String {
    if board.working.is_empty() {
        return String::new();
    }
    working_lines(board.working.iter().map(|step| kept(step, units)).collect())
}

fn loads(board: &Board) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    if board.connected_kw > 0.0 {
        let spare = if board.spare_kw > 0.0 {
            format!(", {} kW of it equipped spare ways", number(board.spare_kw))
        } else {
            String::new()
        };
        lines.push(("connected", format!("{} kW{spare}", number(board.connected_kw))));
    }
    if board.running_current_a > 0.0 {
        let pf = board.power_factor.map(|power_factor| format!(", power factor {power_factor:.2}")).unwrap_or_default();
        let power = format!("{} kW, {} kvar{pf}", number(board.running_kw), number(board.running_kvar));
        let [l1, l2, l3] = board.phase_currents_a.map(number);
        lines.push(("together", format!("{} A ({power}); L1 {l1} A, L2 {l2} A, L3 {l3} A", number(board.running_current_a))));
    }
    if board.demand_current_a > 0.0 {
        lines.push(("demand", format!("{} A", number(board.demand_current_a))));
    }
    let phases = columns::phases_of_rows(board);
    lines.push(("phases", phases));
    let largest = if board.largest_motor_tag.is_empty() { String::new() } else { board.largest_motor_tag.clone() };
    lines.push(("largest", largest));
    lines
}

fn feeder(board: &Board, units: Units) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    if board.feeder_minimum_a > 0.0 {
        let most = board
            .feeder_protection_maximum_a
            .map(|feeder_protection_maximum_a| format!(", protected at not more than {} A", number(feeder_protection_maximum_a)));
        lines.push(("feeder", format!("at least {} A{}", number(board.feeder_minimum_a), most.unwrap_or_default())));
    }
    if columns::has_feeder(board) {
        let part = if board.feeder.part.is_empty() { String::new() } else { format!(", {}", board.feeder.part) };
        let device = columns::feeder_device_rated(board, units);
        lines.push(("device", if device.is_empty() { device } else { format!("{device}{part}") }));
    }
    let conductor = board.feeder.run.as_ref().map(|run| run_line(run, units));
    lines.push(("conductors", conductor.unwrap_or_else(|| board.feeder_conductor.replace("mm2", "mm²"))));
    let drop = board.known_drop_pct().map(|drop_pct| format!("{drop_pct:.2} % from the origin"));
    let spare = board.feeder.spare_pct.map(|spare_pct| format!("{spare_pct:.1} % spare"));
    lines.push(("drop", [drop, spare].into_iter().flatten().collect::<Vec<_>>().join(", ")));
    if let Some(transformer) = &board.transformer {
        let name = columns::transformer_name(transformer);
        let name = name.strip_prefix("transformer ").unwrap_or("");
        lines.push((
            "transformer",
            format!("{name}: {}", columns::transformer_words(transformer)).trim_start_matches(": ").to_owned(),
        ));
    }
    lines
}

fn faults(board: &Board, units: Units) -> String {
    let ka = |what: &str, value: Option<f64>| value.map(|value| format!("{what} {} kA", number(value)));
    [
        ka("largest", board.prospective_fault_ka),
        ka("three-phase", board.three_phase_fault_ka),
        ka("without motors", board.prospective_fault_without_motors_ka),
        ka(units.pick("to earth", "to ground"), board.earth_fault_ka),
        ka("smallest", board.prospective_fault_min_ka),
        ka("peak", board.peak_ka),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(", ")
}

fn enclosure(board: &Board, units: Units) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    for supply in &board.control_supplies {
        let power = supply.rating_va.map(|va| format!(" {} VA", number(va))).unwrap_or_default();
        lines.push(("control", format!("{}{power}, {}", shown(units, &supply.kind), supply.coil_voltage)));
    }
    if board.power_loss_w > 0.0 {
        let against = board
            .enclosure_dissipation_w
            .map(|enclosure_dissipation_w| format!(", the enclosure gives off {} W", number(enclosure_dissipation_w)));
        let rise = board.temperature_rise_k.map(|temperature_rise_k| {
            format!(", air above the room {}", units.temperature_rise((temperature_rise_k * 10.0).round() / 10.0))
        });
        lines.push((
            "heat",
            format!("{} W{}{}", number(board.power_loss_w), against.unwrap_or_default(), rise.unwrap_or_default()),
        ));
        lines.push(("warmest", warmest(board, units)));
    }
    // Where boards are bought by sections and units, the sum of the devices side by side tells a buyer nothing.
    if board.width_mm > 0.0 && units == Units::Metric {
        let rows = board.rows.map(|rows| format!(", {rows} rows of the enclosure")).unwrap_or_default();
        lines.push(("width", format!("{} {}{rows}", number(units.width(board.width_mm)), units.width_unit())));
    }
    lines
}

/// The devices that bring most of the heat.
fn warmest(board: &Board, units: Units) -> String {
    let mut all: Vec<&DeviceLoss> = board.losses.iter().collect();
    all.sort_by(|one, other| (other.loss_w * other.quantity).total_cmp(&(one.loss_w * one.quantity)));
    let words = |loss: &&DeviceLoss| {
        let pieces = if loss.quantity > 1.0 { format!("{} × ", number(loss.quantity)) } else { String::new() };
        let device = columns::about_board(&loss.device, units).replace('-', " ");
        format!("{pieces}{} {device} {} W", loss.tag, number(loss.loss_w)).trim().to_owned()
    };
    all.iter().take(WARMEST).map(words).collect::<Vec<_>>().join(", ")
}

/// A board on one line: demand, device of its feeder, fault currents, dip.
#[must_use]
pub fn summary(board: &Board) -> String {
    let mut words: Vec<String> = Vec::new();
    if board.demand_current_a > 0.0 {
        words.push(format!("demand {} A", number(board.demand_current_a)));
    }
    if board.feeder_protection_a > 0.0 && columns::has_feeder(board) {
        words.push(format!("feeder {} A", number(board.feeder_protection_a)));
    }
    if let Some(amperes) = board.incoming.as_ref().and_then(|incoming| incoming.rating_a) {
        words.push(format!("incoming {} A", number(amperes)));
    }
    let figures = |current: f64| crate::record::significant(current, 3);
    let decimals = |current: f64| (2.0 - libm::log10(current).floor()).clamp(0.0, 9.0) as u32;
    let (most_ka, least_ka) =
        (|most: f64| figures(round_up(most, decimals(most))), |least: f64| figures(round_down(least, decimals(least))));
    match (board.prospective_fault_min_ka, board.prospective_fault_ka) {
        (Some(least), Some(most)) => words.push(format!("fault {} to {} kA", least_ka(least), most_ka(most))),
        (None, Some(most)) => words.push(format!("fault at most {} kA", most_ka(most))),
        (Some(least), None) => words.push(format!("fault at least {} kA", least_ka(least))),
        (None, None) => words.push("fault current unknown".to_owned()),
    }
    if let Some(dip) = columns::usual_dip(board) {
        words.push(format!("dip {:.1} % by {}", dip.dip_pct, dip.tag));
    }
    if let Some(dip) = columns::other_dip(board) {
        words.push(format!("{:.1} % behind {}", dip.dip_pct, dip.feed));
    }
    words.join(", ")
}
