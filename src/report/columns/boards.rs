//! Boards as rows of a table, and what several writers say of a board in words: its feeder's device and conductors, the start that
//! dips it furthest.

use std::borrow::Cow;

use super::rating;
use crate::design::{Board, BoardTransformer, Design, OF_THE_SUPPLY, Restart, RestartGroup, StartDip};
use crate::quantity::round_to;
use crate::report::words::{brief, full};
use crate::rules::units::Units;

/// The largest start of a board behind a feed.
pub struct DipRow<'d> {
    /// Name of the board.
    pub board: &'d str,
    /// The start.
    pub dip: &'d StartDip,
}

/// Largest starts of all boards, behind each feed.
pub fn dip_rows(design: &Design) -> impl Iterator<Item = DipRow<'_>> {
    design.boards.iter().flat_map(|board| board.dips.iter().map(|dip| DipRow { board: &board.name, dip }))
}

/// The dip behind what usually feeds the board.
#[must_use]
pub fn usual_dip(board: &Board) -> Option<&StartDip> {
    board.dips.iter().find(|dip| dip.usual)
}

/// The deepest dip behind what stands in for the usual feed.
#[must_use]
pub fn other_dip(board: &Board) -> Option<&StartDip> {
    board.dips.iter().filter(|dip| !dip.usual).max_by(|one, other| one.dip_pct.total_cmp(&other.dip_pct))
}

/// The source of a board, such as `MDB`, `transformer T1` or `supply transformer`.
#[must_use]
pub fn fed_from(board: &Board) -> Cow<'_, str> {
    match (&board.transformer, &board.fed_from) {
        (Some(transformer), None) if transformer.name == OF_THE_SUPPLY => Cow::Borrowed("supply transformer"),
        (Some(transformer), None) if !transformer.name.is_empty() => Cow::Owned(format!("transformer {}", transformer.name)),
        (_, Some(from)) => Cow::Borrowed(from.as_str()),
        _ => Cow::Borrowed(""),
    }
}

/// A transformer with its name.
#[must_use]
pub fn transformer_name(transformer: &BoardTransformer) -> String {
    if transformer.name.is_empty() { "transformer".to_owned() } else { format!("transformer {}", transformer.name) }
}

/// A feeder is described, so that its device and conductors are part of the design.
#[must_use]
pub fn has_feeder(board: &Board) -> bool {
    !board.feeder.parts.is_empty() || board.feeder.run.is_some()
}

/// Kind of the feeder's device in words.
#[must_use]
pub fn feeder_device(board: &Board, units: Units) -> String {
    match board.feeder.kind.as_str() {
        class @ ("gG" | "aM") => format!("{class} fuse"),
        kind => full(units, kind),
    }
}

/// The same with rating, trip and breaking capacity.
#[must_use]
pub fn feeder_device_rated(board: &Board, units: Units) -> String {
    let board_feeder = &board.feeder;
    if board.feeder_protection_a <= 0.0 {
        return String::new();
    }
    let mut words = format!("{} {} A", feeder_device(board, units), rating(board.feeder_protection_a)).trim_start().to_owned();
    if let Some(trip) = board_feeder.magnetic_trip_a {
        words.push_str(&format!(", {} {} A", units.pick("magnetic trip", "instantaneous trip"), rating(trip)));
    }
    if let Some(breaking) = board_feeder.breaking_ka {
        words.push_str(&format!(", {} {} kA", units.pick("breaks", "interrupts"), rating(breaking)));
    }
    words
}

/// The subject of a check of a board. It is in words already, but for the device at its head, which bears another name in one trade;
/// "feeder" is a starting method too and stays.
#[must_use]
pub fn about_board(subject: &str, units: Units) -> Cow<'_, str> {
    if subject == crate::network::incoming::SUBJECT { brief(units, subject) } else { Cow::Borrowed(subject) }
}

/// Kind of the device at the head of a board in words; empty where the basis asks for none.
#[must_use]
pub fn incoming_device(board: &Board, units: Units) -> String {
    match board.incoming.as_ref().map(|incoming| incoming.kind.as_str()) {
        None => String::new(),
        Some("none") => "none".to_owned(),
        Some("circuit-breaker") => units.pick("circuit-breaker", "main circuit breaker").to_owned(),
        Some(kind) => full(units, kind),
    }
}

/// The incoming device with its rating, such as `switch-disconnector 630 A, 3 poles`; empty where the basis asks for none.
#[must_use]
pub fn incoming_rated(board: &Board, units: Units) -> String {
    let Some(incoming) = &board.incoming else { return String::new() };
    let device = incoming_device(board, units);
    match (incoming.kind.as_str(), incoming.rating_a) {
        ("none", _) => "none, as the basis says".to_owned(),
        (_, None) => format!("{device}, not chosen"),
        (_, Some(amperes)) => {
            let poles = incoming.poles.map(|pole| format!(", {pole} poles")).unwrap_or_default();
            format!("{device} {} A{poles}", rating(amperes))
        }
    }
}

/// Its further figures: category, neutral, trip, what it breaks and stands, part number.
#[must_use]
pub fn incoming_figures(board: &Board, units: Units) -> String {
    let Some(incoming) = &board.incoming else { return String::new() };
    let ka = |what: &str, value: Option<f64>| value.map(|value| format!("{what} {} kA", rating(value)));
    let figures = [
        Some(incoming.category.clone()).filter(|category| category.starts_with("AC")),
        Some(incoming.neutral.clone()).filter(|poles| !poles.is_empty()).map(|poles| format!("neutral {poles}")),
        incoming.magnetic_trip_a.map(|magnetic_trip_a| {
            format!("{} {} A", units.pick("magnetic trip", "instantaneous trip"), rating(magnetic_trip_a))
        }),
        ka(units.pick("breaks", "interrupts"), incoming.breaking_ka),
        incoming.breaking_a.map(|breaking_a| format!("breaks {} A", rating(breaking_a))),
        ka("stands for 1 s", incoming.short_time_ka),
        ka("makes on a peak of", incoming.making_ka),
        incoming.rating_hp.map(|rating_hp| format!("{} hp", rating(rating_hp))),
        incoming.apart.then(|| "in an enclosure of its own".to_owned()),
        Some(incoming.part.clone()).filter(|part| !part.is_empty()),
    ];
    figures.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Role of a run: that of a feeder bears the name of a starting method, which reads otherwise in one of the trades.
#[must_use]
pub fn run_role(role: &str, units: Units) -> Cow<'_, str> {
    if role == crate::network::feeders::run::ROLE { Cow::Borrowed("feeder") } else { brief(units, role) }
}

/// Boards of which the network says more than what stands on them: one feeds another, a transformer or a feeder lies before one, or a
/// source of its own may feed them.
#[must_use]
pub fn has_network(design: &Design) -> bool {
    let fed = |board: &Board| board.fed_from.is_some() || board.transformer.is_some() || has_feeder(board);
    design.boards.iter().any(fed) || !design.basis.sources.is_empty()
}

/// Phases of the board's own single-phase rows, such as `L1: DOS-211, HTR-221; L2: SMP-212`.
#[must_use]
pub fn phases_of_rows(board: &Board) -> String {
    let mut by_phase: std::collections::BTreeMap<&str, Vec<&str>> = std::collections::BTreeMap::new();
    for phase_of_row in &board.phases_of_rows {
        by_phase.entry(phase_of_row.phases.as_str()).or_default().push(phase_of_row.tag.as_str());
    }
    by_phase.into_iter().map(|(phases, tags)| format!("{phases}: {}", tags.join(", "))).collect::<Vec<_>>().join("; ")
}

/// Checks of a board that failed or were not made.
#[must_use]
pub fn open_checks(board: &Board, passed: Option<bool>) -> usize {
    board.checks.iter().filter(|check| check.passed == passed).count()
}

/// A start in one sentence.
#[must_use]
pub fn dip_words(dip: &StartDip) -> String {
    let feed = if dip.usual { dip.feed.clone() } else { format!("{}, standing in", dip.feed) };
    let terminals = dip
        .terminals_dip_pct
        .map_or_else(|| "unknown at its terminals".to_owned(), |pct| format!("{} % at its terminals", percent(pct)));
    let [before, during, by] = dip_figures(dip);
    format!("fed by {feed}: the start of {} takes the voltage from {before} to {during} %, a dip of {by} %; {terminals}", dip.tag)
}

/// Voltage before a start, during it, and the dip, per cent: with a further decimal where the rounded ones would not be their difference.
#[must_use]
pub fn dip_figures(dip: &StartDip) -> [String; 3] {
    let figures = [dip.before_pct, dip.during_pct, dip.dip_pct];
    let adds_up = |decimals: &u32| {
        let [before, during, by] = figures.map(|figure| round_to(figure, *decimals));
        (before - during - by).abs() < 1e-6
    };
    let decimals = [1, 2].into_iter().find(adds_up).unwrap_or(1);
    figures.map(|figure| format!("{figure:.*}", usize::from(decimals > 1) + 1))
}

fn percent(value: f64) -> String {
    format!("{value:.1}")
}

/// A transformer in one sentence; empty where nothing is known of it.
#[must_use]
pub fn transformer_words(transformer: &BoardTransformer) -> String {
    let amperes = |value: f64| format!("{} A", rating(value));
    let currents: Vec<String> = [("primary", transformer.primary_a), ("secondary", transformer.secondary_a)]
        .into_iter()
        .filter_map(|(side, value)| Some(format!("{side} {}", amperes(value?))))
        .collect();
    let at = if transformer.largest { "at most" } else { "usually" };
    let protections: Vec<String> =
        [("primary", transformer.primary_protection_a), ("secondary", transformer.secondary_protection_a)]
            .into_iter()
            .filter_map(|(side, value)| Some(format!("{side} {at} {}", amperes(value?))))
            .collect();
    let mut words = vec![format!("demand {} kVA", rating(transformer.demand_kva))];
    words.extend(transformer.loading_pct.map(|loading| format!("loaded to {} %", percent(loading))));
    if !currents.is_empty() {
        words.push(format!("rated current: {}", currents.join(", ")));
    }
    if !protections.is_empty() {
        words.push(format!("protection in outline: {}", protections.join(", ")));
    } else if !transformer.reference.is_empty() {
        words.push("its protection is not worked out".to_owned());
    }
    words.join("; ")
}

/// The restart of all that ran, together.
#[must_use]
pub fn restart_words(restart: &Restart) -> String {
    match restart.together_dip_pct {
        Some(dip) => format!("all that ran starting together dips {} by {} %", restart.deepest_board, percent(dip)),
        None => "all that ran can't start together: no voltage holds".to_owned(),
    }
}

/// A group of starts with its dip.
#[must_use]
pub fn restart_group_words(group: &RestartGroup) -> [String; 2] {
    let starts: Vec<&str> = group.starts.iter().map(|start| start.words.as_str()).collect();
    let mut names = starts.join(", ");
    if group.one_by_one {
        names.push_str(", one after the other");
    }
    [names, group.dip_pct.map_or_else(|| "no voltage holds".to_owned(), |dip| format!("{} %", percent(dip)))]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 95.67 - 87.93 = 7.74: with one decimal each, 95.7 - 87.9 would be 7.8.
    #[rstest::rstest]
    #[case([97.92, 94.61, 3.31], ["97.9", "94.6", "3.3"])]
    #[case([95.667, 87.93, 7.737], ["95.67", "87.93", "7.74"])]
    fn a_dip_is_the_difference_of_its_voltages(#[case] figures: [f64; 3], #[case] words: [&str; 3]) {
        let [before_pct, during_pct, dip_pct] = figures;
        assert_eq!(dip_figures(&StartDip { before_pct, during_pct, dip_pct, ..StartDip::default() }), words);
    }
}
