//! What differs between two designs, told short: counts first, then rows, then what follows for boards, purchase and site.

use crate::compare::{Changed, Changes, Consequence, FieldChange, PurchaseChange};
use crate::record::significant;
use crate::rules::units::Units;

pub(super) mod labels;
pub(super) mod margins;
pub mod page;
pub(crate) mod revision;
mod told;
pub(super) mod words;

/// The one kind of change that is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Only {
    /// What rows state.
    Inputs,
    /// What was chosen, and what is to be set.
    Selection,
    /// What is to be bought.
    Purchase,
}

/// How many lines of a list the summary shows.
const SHOWN: usize = 12;

/// How many lines of what one cause brings about in a row: as many as the largest starter has devices and small parts.
const FOLLOWS: usize = 20;

/// Title of circuits of which little margin is left.
const LITTLE_LEFT: &str = "little margin left";

/// Title of what changed in columns that the program does not read.
const CARRIED: &str = "columns that are not read";

/// What changed in columns that are not read: column, tag, before, now. A column of which more cells changed is told in one line.
pub(super) fn carried(changes: &Changes, most: usize) -> Vec<[String; 4]> {
    let mut lines = Vec::new();
    for own in &changes.carried {
        let whole = |what: String| [format!("{}: {what}", own.heading), String::new(), String::new(), String::new()];
        if own.rows.is_empty() {
            lines.push(whole(format!("the column is {}", own.what)));
        } else if own.rows.len() > most {
            lines.push(whole(format!("{} rows say something else", own.rows.len())));
        } else {
            lines.extend(own.rows.iter().map(|row| [&own.heading, &row.tag, &row.old, &row.new].map(Clone::clone)));
        }
    }
    lines
}

/// So many rows.
fn row_count(number: usize) -> String {
    format!("{number} {}", if number == 1 { "row" } else { "rows" })
}

/// The changes as text, lengths in these units.
#[must_use]
pub fn summary(changes: &Changes, only: Option<Only>, units: Units) -> String {
    if changes.is_empty() {
        return format!("no differences: {} the same{}\n", row_count(changes.unchanged), otherwise(changes));
    }
    let tells = |kind: Only| only.is_none_or(|own| own == kind);
    let mut text = String::new();
    text.push_str(&format!("{} against {}\n", changes.new.file, changes.old.file));
    text.push_str(&format!(
        "{}: {} added, {} removed, {} renamed, {} split, {} merged, {} changed; {} the same{}{}\n",
        row_count(changes.rows),
        changes.added.len(),
        changes.removed.len(),
        changes.renamed.len(),
        changes.split.len(),
        changes.merged.len(),
        changes.changed.len(),
        changes.unchanged,
        little_left(changes),
        otherwise(changes)
    ));
    for own in &changes.renumbered {
        text.push_str(&format!("\nnote: {}\n", own.words()));
    }
    for own in &changes.surroundings {
        let key = if own.key.is_empty() { own.what.clone() } else { format!("{} {}", own.what, own.key) };
        text.push_str(&format!("{key}: {}\n", arrow(&own.old, &own.new)));
    }
    if tells(Only::Inputs) {
        rows(changes, &mut text);
    }
    if tells(Only::Inputs) || tells(Only::Selection) {
        for (tags, own) in alike(&changes.changed) {
            changed(&tags, own, (only, units), &mut text);
        }
    }
    if tells(Only::Selection) {
        list(&mut text, LITTLE_LEFT, margins::lines(changes, units).into_iter(), |own| {
            let ([before, now], because) = (&own.left, causes(own.because, units));
            format!("{}: {}: {before} → {now} ({}), because of {because}", own.tags.join(", "), own.check, own.figures)
        });
        list(
            &mut text,
            "boards",
            changes.boards.iter().flat_map(|board| board.changes.iter().map(move |own| (board, own))),
            |(board, own)| {
                let [what, old, new] = words::board(own, units);
                format!("{}: {what}: {}", board.name, arrow(&old, &new))
            },
        );
        list(&mut text, "settings on site", changes.settings.iter(), |own| {
            format!("{}: {}: {}", own.tag, own.what, arrow(&own.old, &own.new))
        });
        list(&mut text, "labels anew", changes.labels.iter(), |own| {
            let [old, new] = labels::lines(own);
            format!("{}: {}: {}", own.tag, labels::name(own), if old.is_empty() { new } else { arrow(&old, &new) })
        });
        list(&mut text, "findings gone", changes.findings_gone.iter(), |own| format!("{} {} {}", own.tag, own.code, own.what));
        list(&mut text, "findings new", changes.findings_new.iter(), |own| format!("{} {} {}", own.tag, own.code, own.what));
    }
    if tells(Only::Inputs) {
        list(&mut text, CARRIED, carried(changes, usize::MAX).into_iter(), |[column, tag, old, new]| {
            let tag = if tag.is_empty() { String::new() } else { format!("{tag}: ") };
            if old.is_empty() && new.is_empty() { column } else { format!("{column}: {tag}{}", arrow(&old, &new)) }
        });
        list(&mut text, "revision marks", changes.revision_marks.iter(), |own| format!("{}: {} {}", own.tag, own.what, own.mark));
    }
    if tells(Only::Purchase) {
        bought("against what was ordered", &changes.ordered, &mut text);
        bought("purchase list", &changes.purchase, &mut text);
    }
    text
}

fn bought(head: &str, of: &[PurchaseChange], text: &mut String) {
    list(text, head, of.iter(), |own| {
        let name = if own.part.is_empty() { &own.description } else { &own.part };
        let [old, new] = [own.old_quantity, own.new_quantity].map(|own| significant(own, 6));
        format!("{}: {name}: {old} → {new} {}{}", own.action, own.unit, on_hold(own))
    });
}

/// How much of what is needed now waits, in words; nothing where all of it may be ordered.
fn on_hold(own: &PurchaseChange) -> String {
    if own.held_quantity > 0.0 { format!(", {} on hold", significant(own.held_quantity, 6)) } else { String::new() }
}

/// Rows that are the same but for what is left of a limit.
fn little_left(changes: &Changes) -> String {
    let changed: std::collections::BTreeSet<&str> = changes.changed.iter().map(|own| own.tag.as_str()).collect();
    match changes.margins.iter().filter(|own| !changed.contains(own.tag.as_str())).count() {
        0 => String::new(),
        count => format!(", {count} of them with little margin left"),
    }
}

/// Causes as columns, lengths by their unit.
fn causes(because: &[String], units: Units) -> String {
    because.iter().map(|own| words::column_in(own, units)).collect::<Vec<_>>().join(", ")
}

fn otherwise(changes: &Changes) -> String {
    match changes.said_otherwise.len() {
        0 => String::new(),
        1 => "; 1 value said otherwise, but the same".to_owned(),
        count => format!("; {count} values said otherwise, but the same"),
    }
}

fn rows(changes: &Changes, text: &mut String) {
    let mut put = |head: &str, tags: Vec<String>| {
        if !tags.is_empty() {
            text.push_str(&format!("\n{head}\n"));
            for own in tags {
                text.push_str(&format!("  {own}\n"));
            }
        }
    };
    let named = |own: &crate::compare::Tagged| format!("{} {} ({})", own.tag, own.description, own.board);
    put("added", changes.added.iter().map(named).collect());
    put("removed", changes.removed.iter().map(named).collect());
    put("renamed", changes.renamed.iter().map(|own| format!("{} → {}: {}", own.old_tag, own.tag, own.words())).collect());
    put("split", changes.split.iter().map(|own| format!("{} → {}", own.old_tag, own.tags.join(", "))).collect());
    put("merged", changes.merged.iter().map(|own| format!("{} → {}", own.old_tags.join(", "), own.tag)).collect());
}

/// Rows that change in the same way are told once.
fn alike(changed: &[Changed]) -> Vec<(Vec<&str>, &Changed)> {
    let mut groups: Vec<(Vec<&str>, &Changed)> = Vec::new();
    let mut known: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
    for own in changed {
        // What is written the same way changes the same way.
        let group = *known.entry(format!("{:?} {:?}", own.fields, own.consequences)).or_insert_with(|| {
            groups.push((Vec::new(), own));
            groups.len() - 1
        });
        groups[group].0.push(&own.tag);
    }
    groups
}

fn changed(tags: &[&str], own: &Changed, (only, units): (Option<Only>, Units), text: &mut String) {
    let inputs = only != Some(Only::Selection);
    let choices = only != Some(Only::Inputs);
    if (!inputs || own.fields.is_empty()) && (!choices || own.consequences.is_empty()) {
        return;
    }
    text.push_str(&format!("\n{}\n", tags.join(", ")));
    if inputs {
        for field in &own.fields {
            text.push_str(&format!("  {}\n", stated(field, units)));
        }
    }
    if choices {
        let mut told: Vec<&[String]> = Vec::new();
        for cause in own.consequences.iter().map(|own| own.because.as_slice()) {
            if told.contains(&cause) {
                continue;
            }
            told.push(cause);
            text.push_str(&format!("  because of {}\n", causes(cause, units)));
            follows(&own.consequences.iter().filter(|own| own.because == cause).collect::<Vec<_>>(), text);
        }
    }
}

/// What one cause brings about: devices in a line each, the first of them.
fn follows(of: &[&Consequence], text: &mut String) {
    let (lines, held) = told::lines(of);
    for own in lines.iter().take(FOLLOWS) {
        text.push_str(&format!("    {own}\n"));
    }
    more(lines.len(), FOLLOWS, text);
    match held {
        0 => {}
        1 => text.push_str("    a check that came or went passed\n"),
        held => text.push_str(&format!("    {held} checks that came or went passed\n")),
    }
}

fn stated(own: &FieldChange, units: Units) -> String {
    let [old, new] = [&own.old, &own.new].map(|value| cell_of(&words::value_in(&own.field, value, units)));
    format!("{}: {}", words::column_in(&own.field, units), arrow(&old, &new))
}

/// A stated value.
pub(super) fn cell_of(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::String(text) => text.clone(),
        serde_json::Value::Null => String::new(),
        serde_json::Value::Number(number) => number.as_f64().map(|own| significant(own, 6)).unwrap_or_default(),
        serde_json::Value::Array(list) => list.iter().filter_map(|own| own.as_str()).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}

fn arrow(old: &str, new: &str) -> String {
    let shown = |text: &str| if text.is_empty() { "(nothing)".to_owned() } else { text.to_owned() };
    format!("{} → {}", shown(old), shown(new))
}

fn more(count: usize, shown: usize, text: &mut String) {
    if count > shown {
        text.push_str(&format!("    and {} more\n", count - shown));
    }
}

fn list<T>(text: &mut String, head: &str, of: impl Iterator<Item = T>, line: impl Fn(T) -> String) {
    let lines: Vec<String> = of.map(line).collect();
    if lines.is_empty() {
        return;
    }
    text.push_str(&format!("\n{head}: {}\n", lines.len()));
    for own in lines.iter().take(SHOWN) {
        text.push_str(&format!("  {own}\n"));
    }
    more(lines.len(), SHOWN, text);
}
