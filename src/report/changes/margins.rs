//! Margins of which little is left, in words: circuits that share a line, the check, what is left, the figures, the cause.

use super::words;
use crate::compare::{Changes, MarginChange};
use crate::record::significant;
use crate::rules::units::{Measure, Units};

/// A line of the list.
pub(in crate::report) struct Line<'c> {
    pub(in crate::report) tags: Vec<&'c str>,
    pub(in crate::report) check: String,
    /// The margins before and now, in per cent.
    pub(in crate::report) left: [String; 2],
    /// The figure and its limit, such as `69.12 A of 69.16 A`, or `99 A, at least 98 A`.
    pub(in crate::report) figures: String,
    pub(in crate::report) because: &'c [String],
}

/// The lines, circuits that lose the same in one.
pub(in crate::report) fn lines(changes: &Changes, units: Units) -> Vec<Line<'_>> {
    let mut lines: Vec<Line<'_>> = Vec::new();
    let mut known: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
    for change in &changes.margins {
        let key = format!("{:?}", MarginChange { tag: String::new(), ..change.clone() });
        let line = *known.entry(key).or_insert_with(|| {
            lines.push(of(change, units));
            lines.len() - 1
        });
        lines[line].tags.push(&change.tag);
    }
    lines
}

fn of(change: &MarginChange, units: Units) -> Line<'_> {
    let about = if change.subject.is_empty() { String::new() } else { format!(" of {}", change.subject) };
    let check = words::place(&format!("checks.{}{about}", change.check), units).trim_start_matches("check ").to_owned();
    let check = match change.more {
        0 => check,
        1 => format!("{check}, and another check"),
        more => format!("{check}, and {more} more checks"),
    };
    let shown = |measure: Measure| match measure {
        Measure::Number(number) => format!("{} {}", significant(number, 4), units.unit(&change.unit)).trim().to_owned(),
        Measure::Size(size) => size,
    };
    let figures = match (change.value, change.limit) {
        (Some(value), Some(limit)) => {
            let between = if change.at_least { ", at least" } else { " of" };
            format!("{}{between} {}", shown(units.value(value, &change.unit)), shown(units.limit(limit, &change.unit)))
        }
        _ => String::new(),
    };
    let left = [change.old_margin_pct, change.new_margin_pct].map(|margin| format!("{margin:.1} %"));
    Line { tags: Vec::new(), check, left, figures, because: &change.because }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_say_on_which_side_the_limit_lies() {
        let told = |value: f64, limit: f64, at_least: bool, unit: &str, units| {
            let unit = unit.to_owned();
            let change = MarginChange { value: Some(value), limit: Some(limit), at_least, unit, ..MarginChange::default() };
            of(&change, units).figures
        };
        let figures = |value: f64, limit: f64, unit: &str, units| told(value, limit, false, unit, units);
        assert_eq!(figures(69.12, 69.16, "A", Units::Metric), "69.12 A of 69.16 A");
        assert_eq!(told(101.7, 98.28, true, "A", Units::Metric), "101.7 A, at least 98.28 A");
        // 15.24 m are 50 ft; what holds to 15.5 m (50.85 ft) holds to 50 ft.
        assert_eq!(figures(15.24, 15.5, "m", Units::Customary), "50 ft of 50 ft");
    }

    #[test]
    fn circuits_that_lose_the_same_share_a_line() {
        let change = |tag: &str, now: f64| MarginChange {
            tag: tag.to_owned(),
            old_margin_pct: 9.0,
            new_margin_pct: now,
            ..MarginChange::default()
        };
        let changes = Changes { margins: vec![change("A", 1.0), change("B", 2.0), change("C", 1.0)], ..Changes::default() };
        let told: Vec<_> = lines(&changes, Units::Metric).into_iter().map(|line| (line.tags, line.left[1].clone())).collect();
        assert_eq!(told, [(vec!["A", "C"], "1.0 %".to_owned()), (vec!["B"], "2.0 %".to_owned())]);
    }
}
