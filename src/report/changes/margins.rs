//! Margins of which little is left, in words: circuits that share a line, the check, what is left, the figures, the cause.

use super::words;
use crate::compare::{Changes, MarginChange};
use crate::record::significant;
use crate::rules::units::{Measure, Units};

/// A line of the list.
pub(in crate::report) struct Line<'c> {
    pub(in crate::report) tags: Vec<&'c str>,
    pub(in crate::report) check: String,
    /// What is left before and now, in per cent.
    pub(in crate::report) left: [String; 2],
    /// What is demanded of what is there, such as `69.12 A of 69.16 A`.
    pub(in crate::report) figures: String,
    pub(in crate::report) because: &'c [String],
}

/// The lines, circuits that lose the same in one.
pub(in crate::report) fn lines(changes: &Changes, units: Units) -> Vec<Line<'_>> {
    let mut lines: Vec<Line<'_>> = Vec::new();
    let mut known: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
    for own in &changes.margins {
        let key = format!("{:?}", MarginChange { tag: String::new(), ..own.clone() });
        let line = *known.entry(key).or_insert_with(|| {
            lines.push(of(own, units));
            lines.len() - 1
        });
        lines[line].tags.push(&own.tag);
    }
    lines
}

fn of(own: &MarginChange, units: Units) -> Line<'_> {
    let about = if own.subject.is_empty() { String::new() } else { format!(" of {}", own.subject) };
    let check = words::place(&format!("checks.{}{about}", own.check), units).trim_start_matches("check ").to_owned();
    let check = match own.more {
        0 => check,
        1 => format!("{check}, and another check"),
        more => format!("{check}, and {more} more checks"),
    };
    let shown = |measure: Measure| match measure {
        Measure::Number(number) => format!("{} {}", significant(number, 4), units.unit(&own.unit)).trim().to_owned(),
        Measure::Size(size) => size,
    };
    let figures = match (own.value, own.limit) {
        (Some(value), Some(limit)) => {
            format!("{} of {}", shown(units.value(value, &own.unit)), shown(units.limit(limit, &own.unit)))
        }
        _ => String::new(),
    };
    let left = [own.old_margin_pct, own.new_margin_pct].map(|margin| format!("{margin:.1} %"));
    Line { tags: Vec::new(), check, left, figures, because: &own.because }
}
