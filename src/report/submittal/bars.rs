//! Bars of a data sheet: checks against their limits, voltage drops, and the criteria that size a run.

use serde::Serialize;

use super::lists::make_up;
use super::state::{State, result};
use super::text::{capital, quantity, size, value_and_limit};
use crate::design::{Check, Circuit, Run, Sense};
use crate::quantity::fits;
use crate::report::columns;
use crate::report::columns::load::about;
use crate::report::words::{clause, full, without_figure};
use crate::rules::units::Units;

/// A bar of a voltage drop: how far it reaches up to the limit, and how far beyond. Out of 100; the tick stands apart.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Bar {
    within: String,
    beyond: Option<String>,
    tick: String,
}

/// A line of checks.
#[derive(Clone, Debug, Serialize)]
pub(super) struct CheckLine {
    name: String,
    value: String,
    limit: String,
    /// Classes of the bar: how far it reaches, out of 100, with the limit at [`LIMIT_AT`], and whether beyond it.
    bar: String,
    margin: String,
    result: State,
    because: String,
    reference: String,
}

/// A case of the voltage drop.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Drop {
    case: &'static str,
    bar: Bar,
    words: String,
    result: State,
}

/// The criteria of one run.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Governing {
    run: String,
    chosen: String,
    lines: Vec<Criterion>,
    remark: String,
}

/// A criterion with the smallest size that it admits.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Criterion {
    name: String,
    size: String,
    reach: Option<String>,
    tick: String,
    governs: bool,
}

/// Place of the limit on the bar of a check, out of 100: what lies beyond it stays visible.
const LIMIT_AT: f64 = 80.0;

/// Length of a run.
pub(super) fn length(run: &Run, units: Units) -> String {
    quantity(units.length(run.length_m), 0, units.length_unit())
}

/// How far a run holds.
pub(super) fn reach(metres: f64, units: Units) -> String {
    quantity(units.reach(metres), 0, units.length_unit())
}

/// A number of a drawing: one decimal where it is needed.
fn drawn(value: f64) -> String {
    let text = format!("{:.1}", if value.is_finite() { value.clamp(0.0, 100.0) } else { 0.0 });
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// A bar that reaches to `reach`, with its limit at `tick`, out of 100.
fn bar(reach: f64, tick: f64) -> Bar {
    let beyond = !fits(reach, tick);
    Bar {
        within: drawn(if beyond { tick } else { reach }),
        beyond: beyond.then(|| drawn(reach.min(100.0) - tick)),
        tick: drawn(tick),
    }
}

/// Classes of the bar of a check: whatever is beyond the limit shows beyond it.
fn bar_class(used: f64) -> String {
    if fits(used, 1.0) {
        format!("b{:.0}", (used * LIMIT_AT).clamp(0.0, LIMIT_AT))
    } else {
        format!("b{:.0} x", (used * LIMIT_AT).clamp(LIMIT_AT + 2.0, 100.0))
    }
}

/// Share of the limit that is used: more is worse, whichever way the limit points.
fn used(value: f64, limit: f64, upper: bool) -> f64 {
    if upper { value / limit } else { limit / value }
}

/// Name of a check with what it is about.
pub(super) fn check_name(check: &Check, kind_of_load: &str, units: Units) -> String {
    let name = capital(&full(units, &check.name));
    if check.subject.is_empty() { name } else { format!("{name}, {}", full(units, about(kind_of_load, &check.subject))) }
}

/// The same of a board. What it is about is in words already; "feeder" is a starting method too, which reads otherwise in one trade.
pub(super) fn board_check_line(check: &Check, units: Units) -> CheckLine {
    CheckLine { name: board_check_name(check, units), ..check_line(check, "", units) }
}

/// Name of a check of a board.
pub(super) fn board_check_name(check: &Check, units: Units) -> String {
    let name = capital(&full(units, &check.name));
    if check.subject.is_empty() { name } else { format!("{name}, {}", columns::about_board(&check.subject, units)) }
}

pub(super) fn check_line(check: &Check, kind_of_load: &str, units: Units) -> CheckLine {
    let mut line = CheckLine {
        name: check_name(check, kind_of_load, units),
        value: String::new(),
        limit: String::new(),
        bar: String::new(),
        margin: String::new(),
        result: result(check.passed),
        because: check.not_checked_because.clone().unwrap_or_default(),
        reference: clause(units, &check.reference).into_owned(),
    };
    let figures = check.has_figures().then_some((check.passed, check.value, check.limit));
    if let Some((Some(false), None, Some(limit))) = figures {
        line.value = without_figure(&check.unit).to_owned();
        line.limit = format!("≤\u{a0}{}", value_and_limit(units, limit, limit, &check.unit).1);
    }
    if let Some((Some(_), Some(value), Some(limit))) = figures {
        let (value_text, limit_text) = value_and_limit(units, value, limit, &check.unit);
        let upper = check.points() == Sense::AtMost;
        line.value = value_text;
        line.limit = format!("{}\u{a0}{limit_text}", if upper { '≤' } else { '≥' });
        let used = used(value, limit, upper);
        if used.is_finite() && check.has_margin() {
            line.bar = bar_class(used);
        }
        line.margin = check.margin_pct.filter(|_| check.has_margin()).map(margin).unwrap_or_default();
    }
    line
}

/// A margin. A floor that is passed many times over says no more with four digits; only what uses nothing of its limit has the whole of it.
pub(super) fn margin(margin: f64) -> String {
    match margin {
        _ if margin > 999.0 => format!(">\u{a0}{}", quantity(999.0, 0, "%")),
        _ if (99.5..100.0).contains(&margin) => format!(">\u{a0}{}", quantity(99.0, 0, "%")),
        _ => quantity(margin, usize::from(margin.abs() < 10.0), "%"),
    }
}

/// The voltage drops on one common scale.
pub(super) fn drops(circuit: &Circuit, units: Units) -> Vec<Drop> {
    let of_check = |case: &'static str, name: &str| {
        let check = circuit.checks.iter().find(|check| check.name == name).filter(|check| check.passed.is_some())?;
        Some((case, check.passed, check.value?, check.limit?))
    };
    // What the motor loses counts, where all that lies before it is known.
    let at_terminals = circuit.start_voltage.as_ref().map(|start| {
        let (drop_pct, limit_pct) = (start.drop_pct, start.limit_pct);
        ("starting, at the motor", Some(fits(drop_pct, limit_pct)), drop_pct, limit_pct)
    });
    let starting = at_terminals.or_else(|| of_check("starting, cable alone", "starting-voltage-drop"));
    let found: Vec<_> = of_check("running", "running-voltage-drop").into_iter().chain(starting).collect();
    let longest = found.iter().map(|(.., value, limit)| value.max(*limit)).fold(0.0, f64::max);
    if longest <= 0.0 {
        return Vec::new();
    }
    found
        .into_iter()
        .map(|(case, passed, value, limit)| {
            let (value_text, limit_text) = value_and_limit(units, value, limit, "%");
            let bar = bar(value / longest * 98.0, limit / longest * 98.0);
            Drop { case, bar, words: format!("{value_text} of {limit_text}"), result: result(passed) }
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
pub(super) fn governing(run: &Run, kind_of_load: &str, units: Units) -> Governing {
    let mut ladder: Vec<f64> = run.criteria.iter().filter_map(|line| rank(&line.size)).chain(rank(&run.phase_size)).collect();
    ladder.sort_by(f64::total_cmp);
    ladder.dedup();
    #[allow(clippy::cast_precision_loss)] // a ladder of sizes is short
    let step = |text: &str| {
        let index = ladder.iter().position(|known| Some(*known) == rank(text))?;
        Some(drawn((index + 1) as f64 / ladder.len() as f64 * 98.0))
    };
    let tick = step(&run.phase_size).unwrap_or_else(|| "98".to_owned());
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
        run: full(units, about(kind_of_load, &run.role)),
        chosen: make_up(run, units),
        lines: lines.collect(),
        remark: remark.unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case(9.94, "9.9\u{a0}%")]
    #[case(99.4, "99\u{a0}%")]
    #[case::something_is_used(99.85, ">\u{a0}99\u{a0}%")]
    #[case::nothing_is(100.0, "100\u{a0}%")]
    #[case(1200.0, ">\u{a0}999\u{a0}%")]
    fn a_margin_is_whole_only_where_nothing_is_used(#[case] pct: f64, #[case] words: &str) {
        assert_eq!(margin(pct), words);
    }

    fn check(value: f64, limit: f64, passed: bool) -> CheckLine {
        check_line(
            &Check { value: Some(value), limit: Some(limit), unit: "A".to_owned(), passed: Some(passed), ..Check::default() },
            "",
            Units::Metric,
        )
    }

    #[test]
    fn a_bar_is_longer_the_worse_it_stands_whichever_way_the_limit_points() {
        let reach = |line: &CheckLine| line.bar.clone();
        let (roof, floor) = (check(10.0, 20.0, true), check(20.0, 10.0, true));
        assert_eq!(reach(&roof), "b40", "half of a roof is used");
        assert_eq!(reach(&floor), reach(&roof), "a floor that is passed twice over is half used");
        assert!(roof.limit.starts_with('≤') && floor.limit.starts_with('≥'));
        let (over, under) = (check(22.0, 20.0, false), check(8.0, 10.0, false));
        assert_eq!((reach(&over), reach(&under)), ("b88 x".to_owned(), "b100 x".to_owned()), "22 of 20 and 8 of 10");
        assert_eq!(reach(&check(0.0, 10.0, true)), "b0", "a bar without length keeps its tick");
        assert!(over.limit.starts_with('≤') && under.limit.starts_with('≥'));
    }

    /// A breaker of 50 kA where 50 kA may flow: its capacity reaches what is asked (IEC 60364-4-43, 434.5.1), so the limit is a floor.
    #[test]
    fn a_floor_that_is_met_exactly_stays_a_floor() {
        let line = |check: Check| check_line(&check, "", Units::Metric).limit;
        assert_eq!(line(crate::sizing::judge::at_least("breaking-capacity", 50.0, 50.0, "kA", "")), "≥\u{a0}50.0\u{a0}kA");
        assert_eq!(line(crate::sizing::judge::at_most("overload-protection", 50.0, 50.0, "A", "")), "≤\u{a0}50.0\u{a0}A");
    }

    #[test]
    fn a_check_of_yes_and_no_has_neither_figures_nor_bar() {
        let of = |name: &str, value: f64| {
            let check = Check {
                name: name.to_owned(),
                value: Some(value),
                limit: Some(1.0),
                sense: Some(Sense::AtLeast),
                passed: Some(true),
                margin_pct: Some(0.0),
                ..Check::default()
            };
            let line = check_line(&check, "", Units::Metric);
            (line.value, line.limit, line.bar, line.margin)
        };
        assert_eq!(of("phase-loss-sensitivity", 1.0), Default::default());
        // A size of a list that is the least admitted is no close call.
        let (value, limit, bar, margin) = of("minimum-size", 1.0);
        assert_eq!((value.as_str(), limit.as_str(), bar.as_str(), margin.as_str()), ("1.0", "≥\u{a0}1.0", "", ""));
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
            "",
            Units::Metric,
        );
        assert!(line.value.is_empty() && line.limit.is_empty() && line.margin.is_empty() && line.bar.is_empty());
        assert_eq!((line.result.words.as_str(), line.because.as_str()), ("not checked", "the fault current is unknown"));
    }

    #[test]
    fn sizes_ascend_from_gauges_to_circular_mils() {
        let sizes =
            ["14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "1 AWG", "1/0 AWG", "4/0 AWG", "250 kcmil", "1000 kcmil"];
        assert!(sizes.map(rank).windows(2).all(|pair| pair[0].is_some() && pair[0] < pair[1]));
        assert!(rank("1.5 mm2") < rank("2.5 mm2") && rank("").is_none() && rank("x AWG").is_none());
    }
}
