//! Revisions in words: what one changed, counted in a line; the mark on a circuit; the rows that are gone.

use super::words;
use crate::design::{Board, BoardMark, Circuit, Design, RemovedRow, Revision, RevisionChanges, RevisionKind, RevisionMark};
use crate::rules::units::Units;

/// Characters of a revision that a triangle holds.
const LETTERS: usize = 3;

/// Sign of a revision mark where nothing can be drawn.
const SIGN: char = '△';

/// The letter as a triangle holds it.
pub(in crate::report) fn letter(revision: &str) -> String {
    revision.chars().take(LETTERS).collect()
}

/// The mark as text, such as `△B`.
pub(in crate::report) fn sign(revision: &str) -> String {
    format!("{SIGN}{}", letter(revision))
}

/// Says in a word or two how a row changed.
fn kind(mark: &RevisionMark) -> &'static str {
    match mark.kind {
        RevisionKind::Added => "added",
        RevisionKind::Changed => "changed",
        RevisionKind::Follows => "circuit differs",
    }
}

/// The mark of a circuit with what became of its row; empty where it bears none.
pub(in crate::report) fn cell(circuit: &Circuit) -> String {
    circuit.revision_mark.as_ref().map_or_else(String::new, |mark| format!("{} {}", sign(&mark.revision), kind(mark)))
}

/// The mark of a board with what became of it; empty where it bears none.
pub(in crate::report) fn board_cell(board: &Board) -> String {
    let words = |mark: &BoardMark| match mark.kind {
        RevisionKind::Added => "added",
        RevisionKind::Changed => "changed",
        RevisionKind::Follows => "devices differ",
    };
    board.revision_mark.as_ref().map_or_else(String::new, |mark| format!("{} {}", sign(&mark.revision), words(mark)))
}

fn rows(number: usize, what: &str) -> Option<String> {
    (number > 0).then(|| format!("{number} {what}"))
}

/// Counts the changes of a revision in a line.
pub(crate) fn counts(revision_changes: &RevisionChanges) -> String {
    let changed = match revision_changes.rows_changed_in_tag_alone {
        0 => "changed".to_owned(),
        alone if alone == revision_changes.rows_changed => "changed in the tag alone".to_owned(),
        alone => format!("changed, {alone} of them in the tag alone"),
    };
    let told = [
        rows(revision_changes.rows_added, "added"),
        rows(revision_changes.rows_removed, "removed"),
        rows(revision_changes.rows_changed, &changed),
    ];
    let told: Vec<String> = told.into_iter().flatten().collect();
    let of_rows =
        if told.is_empty() { "no row added, removed or changed".to_owned() } else { format!("rows: {}", told.join(", ")) };
    let devices = match (revision_changes.devices_changed, revision_changes.devices_changed_by_surroundings) {
        (0, _) => "no devices changed".to_owned(),
        (all, 0) => format!("devices changed in {all}"),
        (all, around) if all == around => {
            format!("devices changed in {all}, because of {} alone", revision_changes.surroundings.join(", "))
        }
        (all, around) => {
            format!("devices changed in {all}, in {around} of them because of {} alone", revision_changes.surroundings.join(", "))
        }
    };
    let around = if revision_changes.surroundings.is_empty() || revision_changes.devices_changed_by_surroundings > 0 {
        String::new()
    } else {
        format!("; also another {}", revision_changes.surroundings.join(", "))
    };
    format!("{of_rows}; {devices}{}{around}", of_boards(revision_changes))
}

/// Boards that came, changed or went; nothing where none did.
fn of_boards(revision_changes: &RevisionChanges) -> String {
    let counted = [rows(revision_changes.boards_added, "added"), rows(revision_changes.boards_changed, "changed")];
    let gone = &revision_changes.boards_removed;
    let gone = (!gone.is_empty()).then(|| format!("{} removed", gone.join(", ")));
    let told: Vec<String> = counted.into_iter().flatten().chain(gone).collect();
    if told.is_empty() { String::new() } else { format!("; boards: {}", told.join(", ")) }
}

/// A line of the revision table: revision, date, who stands behind it, what changed.
pub(in crate::report) struct Line {
    pub(in crate::report) revision: String,
    pub(in crate::report) issued: String,
    pub(in crate::report) prepared: String,
    pub(in crate::report) checked: String,
    pub(in crate::report) approved: String,
    pub(in crate::report) what: String,
}

/// The revision table, the present revision last.
pub(in crate::report) fn lines(design: &Design) -> Vec<Line> {
    let what = |revision: &Revision| match &revision.changes {
        Some(changes) => counts(changes),
        None if design.revisions.len() > 1 => "first on record".to_owned(),
        None => String::new(),
    };
    let line = |revision: &Revision| Line {
        revision: revision.revision.clone(),
        issued: revision.issue_date.clone(),
        prepared: revision.prepared_by.clone(),
        checked: revision.checked_by.clone(),
        approved: revision.approved_by.clone(),
        what: what(revision),
    };
    design.revisions.iter().map(line).collect()
}

/// Rows that the present revision removed, with its letter.
pub(in crate::report) fn removed(design: &Design) -> (&str, &[RemovedRow]) {
    let present = design.revisions.last();
    let rows = present
        .and_then(|revision| revision.changes.as_ref())
        .map_or(&[][..], |revision_changes| revision_changes.removed.as_slice());
    (present.map_or("", |revision| revision.revision.as_str()), rows)
}

/// A revision of an earlier design: marks mean something.
pub(in crate::report) fn is_marked(design: &Design) -> bool {
    design.revisions.last().is_some_and(|revision| revision.changes.is_some())
}

/// Says in a sentence how the present revision changed a circuit.
pub(in crate::report) fn sentence(mark: &RevisionMark, units: Units) -> String {
    let before = if mark.tags_before.is_empty() { String::new() } else { format!(", before {}", mark.tags_before.join(", ")) };
    let mut parts: Vec<&str> = Vec::new();
    for path in &mark.selection {
        let part = part(path, units);
        if !parts.contains(&part) {
            parts.push(part);
        }
    }
    let fields: Vec<String> =
        mark.fields.iter().map(|field| words::column(field).split(',').next().unwrap_or_default().to_owned()).collect();
    let stated = match mark.kind {
        RevisionKind::Added => return format!("added{before}"),
        RevisionKind::Follows => "the row says the same".to_owned(),
        RevisionKind::Changed if fields.is_empty() => "the row says the same".to_owned(),
        RevisionKind::Changed => fields.join(", "),
    };
    let follows = if parts.is_empty() { "nothing follows".to_owned() } else { format!("otherwise: {}", parts.join(", ")) };
    let follows = if mark.fields.is_empty() { follows } else { follows.replacen("otherwise", "follows", 1) };
    format!("{stated}{before}; {follows}")
}

/// Says in a sentence how the present revision changed a board.
pub(in crate::report) fn board_sentence(mark: &BoardMark) -> String {
    let before = if mark.name_before.is_empty() { String::new() } else { format!(", before {}", mark.name_before) };
    let stated = match mark.kind {
        RevisionKind::Added => return "added".to_owned(),
        RevisionKind::Changed if before.is_empty() => "the basis says something else of it",
        RevisionKind::Changed => "another name",
        RevisionKind::Follows => "the basis says the same of it",
    };
    // A unit tells nothing where no figure stands.
    let named = |what: &String| what.rsplit_once(", ").map_or(what.as_str(), |(name, _)| name).replace(": ", " ");
    let parts: Vec<String> = mark.selection.iter().map(named).collect();
    let follows = if parts.is_empty() {
        "nothing bought or set for it differs".to_owned()
    } else {
        format!("otherwise: {}", parts.join(", "))
    };
    format!("{stated}{before}; {follows}")
}

/// The part of a circuit in which a path lies.
fn part(path: &str, units: Units) -> &'static str {
    match path.split('.').next().unwrap_or_default() {
        "status" => "state",
        "currents" => "currents",
        "contactors" => "contactors",
        "overloads" => "overload protection",
        "protection" => "short-circuit protection",
        "conductors" | "runs" => units.pick("cables", "conductors"),
        "control" => "control circuit",
        "disconnect" => units.pick("local isolator", "disconnecting means"),
        "starter_devices" => "starter",
        "accessories" => "accessories",
        "given" => "choices of others",
        _ => "checks",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_revision_changed_stands_in_one_line() {
        let some = RevisionChanges { rows_added: 2, rows_changed: 3, devices_changed: 4, ..RevisionChanges::default() };
        assert_eq!(counts(&some), "rows: 2 added, 3 changed; devices changed in 4");
        let renamed = RevisionChanges { rows_changed: 3, rows_changed_in_tag_alone: 1, ..RevisionChanges::default() };
        assert_eq!(counts(&renamed), "rows: 3 changed, 1 of them in the tag alone; no devices changed");
        assert_eq!(counts(&RevisionChanges::default()), "no row added, removed or changed; no devices changed");
        let around = RevisionChanges { devices_changed_by_surroundings: 1, surroundings: vec!["basis".to_owned()], ..some };
        assert_eq!(counts(&around), "rows: 2 added, 3 changed; devices changed in 4, in 1 of them because of basis alone");
        let alone = RevisionChanges { devices_changed: 0, devices_changed_by_surroundings: 0, ..around };
        assert_eq!(counts(&alone), "rows: 2 added, 3 changed; no devices changed; also another basis");
    }

    #[test]
    fn boards_are_counted_and_those_that_are_gone_named() {
        let some = RevisionChanges {
            boards_added: 1,
            boards_changed: 2,
            boards_removed: vec!["MCC-9".to_owned()],
            ..RevisionChanges::default()
        };
        let told = "no row added, removed or changed; no devices changed; boards: 1 added, 2 changed, MCC-9 removed";
        assert_eq!(counts(&some), told);
    }

    #[test]
    fn a_mark_of_a_board_says_what_is_other() {
        let selection = ["feeder: protection, A", "feeder: conductor"].map(str::to_owned).to_vec();
        let mut mark = BoardMark { kind: RevisionKind::Follows, selection, ..BoardMark::default() };
        assert_eq!(board_sentence(&mark), "the basis says the same of it; otherwise: feeder protection, feeder conductor");
        mark = BoardMark { kind: RevisionKind::Changed, name_before: "MCC-7".to_owned(), ..BoardMark::default() };
        assert_eq!(board_sentence(&mark), "another name, before MCC-7; nothing bought or set for it differs");
        mark.name_before.clear();
        assert_eq!(board_sentence(&mark), "the basis says something else of it; nothing bought or set for it differs");
        mark.kind = RevisionKind::Added;
        assert_eq!(board_sentence(&mark), "added");
    }

    #[test]
    fn a_mark_says_what_is_other() {
        let text = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
        let mut mark = RevisionMark {
            revision: "B".to_owned(),
            fields: text(&["rated_power_kw", "cable_length_m"]),
            selection: text(&[
                "contactors.main.rated_a",
                "contactors.main.frame",
                "conductors.phase_size",
                "runs.motor.phase_size",
            ]),
            ..RevisionMark::default()
        };
        assert_eq!(sentence(&mark, Units::Metric), "rated power, cable length; follows: contactors, cables");
        assert_eq!(sentence(&mark, Units::Customary), "rated power, cable length; follows: contactors, conductors");
        mark.fields.clear();
        mark.kind = RevisionKind::Follows;
        assert_eq!(sentence(&mark, Units::Metric), "the row says the same; otherwise: contactors, cables");
        mark = RevisionMark { kind: RevisionKind::Changed, tags_before: text(&["P-1"]), ..RevisionMark::default() };
        assert_eq!(sentence(&mark, Units::Metric), "the row says the same, before P-1; nothing follows");
    }
}
