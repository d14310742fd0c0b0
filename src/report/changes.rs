//! Tells shortly how two designs differ: counts first, then rows, then what follows for boards, purchase and site.

use crate::compare::{Changed, Changes, Consequence, FieldChange, PurchaseChange, rank};
use crate::finding::Finding;
use crate::record::significant;
use crate::report::totals::money;
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

/// Which rows are meant where other rows are the cause.
const OTHER_ROWS_ARE: &str = "Other rows are those with which a row shares something: the feeder, the fault currents and the voltage of its \
    board, a control supply, commoning bars, an interlock.";

/// How many lines of a list the summary shows.
const SHOWN: usize = 12;

/// How many lines of what one cause brings about in a row: as many as the largest starter has devices and small parts.
const FOLLOWS: usize = 20;

/// Title of circuits of which little margin is left.
const LITTLE_LEFT: &str = "little margin left";

/// Title of what changed in columns that the program does not read.
const CARRIED: &str = "columns that are not read";

/// Changes in columns that are not read: column, tag, before, now. A column of which more cells changed is told in one line.
pub(super) fn carried(changes: &Changes, most: usize) -> Vec<[String; 4]> {
    let mut lines = Vec::new();
    for carried_column in &changes.carried {
        let whole = |what: String| [format!("{}: {what}", carried_column.heading), String::new(), String::new(), String::new()];
        if carried_column.rows.is_empty() {
            lines.push(whole(format!("the column is {}", carried_column.what)));
        } else if carried_column.rows.len() > most {
            lines.push(whole(format!("{} rows say something else", carried_column.rows.len())));
        } else {
            lines.extend(
                carried_column.rows.iter().map(|row| [&carried_column.heading, &row.tag, &row.old, &row.new].map(Clone::clone)),
            );
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
        let doubts: String = changes.doubts.iter().map(|finding| format!("{}\n", doubt(finding))).collect();
        return format!("no differences: {} the same{}\n{doubts}", row_count(changes.unchanged), otherwise(changes));
    }
    let tells = |kind: Only| only.is_none_or(|only| only == kind);
    let mut text = String::new();
    text.push_str(&format!("{} against {}\n", changes.new.file, changes.old.file));
    text.push_str(&format!(
        "{}: {} added, {} removed, {} renamed{}, {} split, {} merged, {} changed; {} the same{}{}\n",
        row_count(changes.rows),
        changes.added.len(),
        changes.removed.len(),
        changes.renamed.len(),
        machines(changes),
        changes.split.len(),
        changes.merged.len(),
        changes.changed.len(),
        changes.unchanged,
        little_left(changes),
        otherwise(changes)
    ));
    for renumbered in &changes.renumbered {
        text.push_str(&format!("\nnote: {}\n", renumbered.words()));
    }
    for finding in &changes.doubts {
        text.push_str(&format!("\n{}\n", doubt(finding)));
    }
    for board in &changes.renamed_boards {
        text.push_str(&format!("{}\n", board.words()));
    }
    for surroundings in &changes.surroundings {
        let key = if surroundings.key.is_empty() {
            surroundings.what.clone()
        } else {
            format!("{} {}", surroundings.what, surroundings.key)
        };
        text.push_str(&format!("{key}: {}\n", arrow(&surroundings.old, &surroundings.new)));
    }
    if tells(Only::Inputs) {
        rows(changes, &mut text);
    }
    if tells(Only::Inputs) || tells(Only::Selection) {
        for (tags, change) in alike(&changes.changed) {
            changed(&tags, change, (only, units), &mut text);
        }
    }
    if tells(Only::Selection) {
        selection(changes, units, &mut text);
        if changes.blames_other_rows() {
            text.push_str(&format!("\n{OTHER_ROWS_ARE}\n"));
        }
    }
    if tells(Only::Inputs) {
        not_read(changes, &mut text);
    }
    if tells(Only::Purchase) {
        bought("against what was ordered", &changes.ordered, &mut text);
        bought("purchase list", &changes.purchase, &mut text);
        list(&mut text, "prices", prices(changes).into_iter(), |[name, old, new]| format!("{name}: {}", arrow(&old, &new)));
    }
    text
}

/// Sums of the purchase list, then parts of both lists whose price differs: name, before, now.
pub(super) fn prices(changes: &Changes) -> Vec<[String; 3]> {
    let sums = changes.sums.iter().flat_map(|sum| {
        let line = |what: &str, old, new| [format!("sum {what}"), money(old, &sum.currency), money(new, &sum.currency)];
        [line("to order", sum.old_ordered, sum.ordered), line("of what is needed", sum.old_needed, sum.needed)]
    });
    let open = changes.sums.first().filter(|sum| sum.old_lines_without_price.max(sum.lines_without_price) > 0).map(|sum| {
        let count = |lines: u32| lines.to_string();
        ["lines without price, in no sum".to_owned(), count(sum.old_lines_without_price), count(sum.lines_without_price)]
    });
    let shown = |price: Option<f64>, currency: &str| price.map(|price| money(price, currency)).unwrap_or_default();
    let parts = changes.prices.iter().map(|change| {
        let [old, new] = [(change.old_price, &change.old_currency), (change.new_price, &change.currency)]
            .map(|(price, currency)| shown(price, currency));
        [format!("{}, one {}", change.part, change.unit), old, new]
    });
    sums.chain(open).chain(parts).collect()
}

/// Machines that ranges under another tag have more or fewer, where they have.
fn machines(changes: &Changes) -> String {
    let sum = |sign: i64| changes.renamed.iter().map(|renamed| (renamed.machines_more * sign).max(0)).sum::<i64>();
    match (sum(1), sum(-1)) {
        (0, 0) => String::new(),
        (added, 0) => format!(" (machines added to them: {added})"),
        (0, removed) => format!(" (machines removed from them: {removed})"),
        (added, removed) => format!(" (machines added to them: {added}, removed: {removed})"),
    }
}

/// What makes the comparison doubtful, in a line.
fn doubt(finding: &Finding) -> String {
    format!("{} {}: {}; {}", finding.severity.word(), finding.code, finding.what, finding.cure)
}

/// Tells the consequences beyond the rows themselves: margins, boards, dials, labels, findings.
fn selection(changes: &Changes, units: Units, text: &mut String) {
    list(text, LITTLE_LEFT, margins::lines(changes, units).into_iter(), |line| {
        let ([before, now], because) = (&line.left, causes(line.because, units));
        format!("{}: {}: {before} → {now} ({}), because of {because}", line.tags.join(", "), line.check, line.figures)
    });
    let mut boards: Vec<_> =
        changes.boards.iter().flat_map(|board| board.changes.iter().map(move |change| (board, change))).collect();
    // What is bought and what is built comes first of all boards, before the figures behind it.
    boards.sort_by_key(|(_, change)| rank::of_board(&change.what));
    list(text, "boards", boards.into_iter(), |(board, change)| {
        let [what, old, new] = words::board(change, units);
        format!("{}: {what}: {}", board.name, arrow(&old, &new))
    });
    list(text, "settings on site", changes.settings.iter(), |change| {
        format!("{}: {}: {}", change.tag, words::dial(&change.what, units), arrow(&change.old, &change.new))
    });
    list(text, "labels anew", changes.labels.iter(), |change| {
        let [old, new] = labels::lines(change);
        format!("{}: {}: {}", change.tag, labels::name(change), if old.is_empty() { new } else { arrow(&old, &new) })
    });
    list(text, "findings gone", changes.findings_gone.iter(), |change| format!("{} {} {}", change.tag, change.code, change.what));
    list(text, "findings new", changes.findings_new.iter(), |change| format!("{} {} {}", change.tag, change.code, change.what));
}

/// Columns that are not read, and revision marks that do not agree with what changed.
fn not_read(changes: &Changes, text: &mut String) {
    list(text, CARRIED, carried(changes, usize::MAX).into_iter(), |[column, tag, old, new]| {
        let tag = if tag.is_empty() { String::new() } else { format!("{tag}: ") };
        if old.is_empty() && new.is_empty() { column } else { format!("{column}: {tag}{}", arrow(&old, &new)) }
    });
    list(text, "revision marks", changes.revision_marks.iter(), |mark_remark| {
        format!("{}: {} {}", mark_remark.tag, mark_remark.what, mark_remark.mark)
    });
}

fn bought(head: &str, of: &[PurchaseChange], text: &mut String) {
    list(text, head, of.iter(), |change| {
        let name = if change.part.is_empty() { &change.description } else { &change.part };
        let [old, new] = [change.old_quantity, change.new_quantity].map(|quantity| significant(quantity, 6));
        let supply = change.supply.map(|supply| format!(", {}", supply.words())).unwrap_or_default();
        format!("{}: {name}: {old} → {new} {}{}{supply}", change.action, change.unit, on_hold(change))
    });
}

/// How much of what is needed now waits, in words; nothing where all of it may be ordered.
fn on_hold(change: &PurchaseChange) -> String {
    if change.held_quantity > 0.0 { format!(", {} on hold", significant(change.held_quantity, 6)) } else { String::new() }
}

/// Rows that are the same but for what is left of a limit.
fn little_left(changes: &Changes) -> String {
    let changed: std::collections::BTreeSet<&str> = changes.changed.iter().map(|change| change.tag.as_str()).collect();
    match changes.margins.iter().filter(|change| !changed.contains(change.tag.as_str())).count() {
        0 => String::new(),
        count => format!(", {count} of them with little margin left"),
    }
}

/// Causes as columns, lengths by their unit.
fn causes(because: &[String], units: Units) -> String {
    because.iter().map(|name| words::column_in(name, units)).collect::<Vec<_>>().join(", ")
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
            for tag in tags {
                text.push_str(&format!("  {tag}\n"));
            }
        }
    };
    let named = |tagged: &crate::compare::Tagged| format!("{} {} ({})", tagged.tag, tagged.description, tagged.board);
    put("added", changes.added.iter().map(named).collect());
    put("removed", changes.removed.iter().map(named).collect());
    put(
        "renamed",
        changes.renamed.iter().map(|renamed| format!("{} → {}: {}", renamed.old_tag, renamed.tag, renamed.words())).collect(),
    );
    put("split", changes.split.iter().map(|split| format!("{} → {}", split.old_tag, split.tags.join(", "))).collect());
    put("merged", changes.merged.iter().map(|merged| format!("{} → {}", merged.old_tags.join(", "), merged.tag)).collect());
}

/// Rows that change in the same way are told once.
fn alike(changed: &[Changed]) -> Vec<(Vec<&str>, &Changed)> {
    let mut groups: Vec<(Vec<&str>, &Changed)> = Vec::new();
    let mut known: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
    for change in changed {
        // Changes that are written alike are alike.
        let group = *known.entry(format!("{:?} {:?}", change.fields, change.consequences)).or_insert_with(|| {
            groups.push((Vec::new(), change));
            groups.len() - 1
        });
        groups[group].0.push(&change.tag);
    }
    groups
}

fn changed(tags: &[&str], change: &Changed, (only, units): (Option<Only>, Units), text: &mut String) {
    let inputs = only != Some(Only::Selection);
    let choices = only != Some(Only::Inputs);
    if (!inputs || change.fields.is_empty()) && (!choices || change.consequences.is_empty()) {
        return;
    }
    text.push_str(&format!("\n{}\n", tags.join(", ")));
    if inputs {
        for field in &change.fields {
            text.push_str(&format!("  {}\n", stated(field, units)));
        }
    }
    if choices {
        let mut told: Vec<&[String]> = Vec::new();
        for cause in change.consequences.iter().map(|consequence| consequence.because.as_slice()) {
            if told.contains(&cause) {
                continue;
            }
            told.push(cause);
            text.push_str(&format!("  because of {}\n", causes(cause, units)));
            follows(
                &change.consequences.iter().filter(|consequence| consequence.because == cause).collect::<Vec<_>>(),
                units,
                text,
            );
        }
    }
}

/// The consequences of one cause: devices in a line each, the first of them.
fn follows(of: &[&Consequence], units: Units, text: &mut String) {
    let (lines, held) = told::lines(of, units);
    for line in lines.iter().take(FOLLOWS) {
        text.push_str(&format!("    {line}\n"));
    }
    more(lines.len(), FOLLOWS, text);
    match held {
        0 => {}
        1 => text.push_str("    a check that came or went passed\n"),
        held => text.push_str(&format!("    {held} checks that came or went passed\n")),
    }
}

fn stated(change: &FieldChange, units: Units) -> String {
    let [old, new] = [&change.old, &change.new].map(|value| cell_of(&words::value_in(&change.field, value, units)));
    format!("{}: {}", words::column_in(&change.field, units), arrow(&old, &new))
}

/// A stated value.
pub(super) fn cell_of(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::String(text) => text.clone(),
        serde_json::Value::Null => String::new(),
        serde_json::Value::Number(number) => number.as_f64().map(|number| significant(number, 6)).unwrap_or_default(),
        serde_json::Value::Array(list) => list.iter().filter_map(|value| value.as_str()).collect::<Vec<_>>().join(", "),
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
    for line in lines.iter().take(SHOWN) {
        text.push_str(&format!("  {line}\n"));
    }
    more(lines.len(), SHOWN, text);
}
