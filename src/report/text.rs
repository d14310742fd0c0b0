//! Circuits and boards as plain text, for `explain`: what both are made up of.

use super::columns::{numbered_conductors, raceway_words};
use super::words::{brief, clause, full, terms, without_figure};
use super::working::{Line, lines};
use crate::design::{Check, Run};
use crate::finding::Finding;
use crate::record::{Step, significant};
use crate::rules::units::{Measure, Units};

pub mod board;
mod circuit;

pub use circuit::circuit;

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

/// Lines behind labels, each broken where it is too long; what is empty has no line.
struct Labelled {
    text: String,
}

impl Labelled {
    fn under(title: &str) -> Self {
        Self { text: format!("{title}\n") }
    }

    fn add(&mut self, label: &str, words: String) {
        if !words.is_empty() {
            self.text.push_str(&wrapped(&format!("  {label:<LABEL$} {words}"), LABEL + 3));
        }
    }

    fn extend(&mut self, lines: Vec<(&'static str, String)>) {
        lines.into_iter().for_each(|(label, words)| self.add(label, words));
    }
}

fn number(value: f64) -> String {
    significant(value, 4)
}

fn findings(all: &[Finding]) -> String {
    let mut text = String::new();
    if !all.is_empty() {
        text.push_str("\nFindings\n");
    }
    for finding in all {
        text.push_str(&wrapped(&format!("  {}", crate::finding::summary_line(finding)), 6));
        if !finding.why.is_empty() {
            text.push_str(&wrapped(&format!("    because {}", finding.why), 6));
        }
        if !finding.cure.is_empty() {
            text.push_str(&wrapped(&format!("    {}", finding.cure), 6));
        }
    }
    text
}

/// The working: each line once, in the words of the trade.
#[must_use]
pub fn working(steps: &[Step], units: Units) -> String {
    working_lines(lines(steps, units))
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
    let parallel = if run.per_phase > 1 && units == Units::Metric { format!("{} × ", run.per_phase) } else { String::new() };
    let conductors = units.pick(size(&run.phase_size), numbered_conductors(run));
    let side_by_side = if run.cables > 1 { format!(" in {} cables", run.cables) } else { String::new() };
    let words = [conductors, shown(units, &run.material), full(units, &run.insulation)];
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

/// A margin. A floor that is passed many times over says no more with four digits; only what uses nothing of its limit has the whole of it.
fn margin(pct: f64) -> String {
    match pct {
        _ if pct > 999.0 => "over 999 %".to_owned(),
        _ if (99.95..100.0).contains(&pct) => "over 99.9 %".to_owned(),
        _ => format!("{} %", significant(pct, 3)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
