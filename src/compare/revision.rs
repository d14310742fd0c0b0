//! A design as a revision of an earlier one: the history goes on, rows that came, changed or whose circuit is another bear a mark, and
//! what makes the history doubtful is said.

use std::collections::BTreeSet;

use super::boards;
use super::pairs::{self, Pairs, plain};
use super::rank::is_of_device;
use super::selection::NO_DEVICE;
use super::{Changed, Changes, Consequence, Sizer, Stated, Trial, Trials, WrongPair, held};
use crate::basis::ProjectBasis;
use crate::design::{Board, BoardMark, Circuit, Design, RemovedRow, Revision, RevisionChanges, RevisionKind, RevisionMark};
use crate::finding::{Finding, Place, codes, sort};

/// Kinds of surroundings from which something may follow for every row.
const AROUND: &[&str] = &["rule book", "basis", "catalogue", "program"];

/// Keys of the basis that a finding names before it says how many more there are.
const KEYS_SHOWN: usize = 6;

/// Trials that do not tell the keys of a basis apart: counts of a revision ask only whether anything but the basis has a part.
struct KindsAlone<'t>(Trial<'t>);

impl Trials for KindsAlone<'_> {
    fn size(&self, stated: &Stated) -> Circuit {
        self.0.size(stated)
    }

    fn beside<'s>(&'s self, rows: &[Stated]) -> Sizer<'s> {
        self.0.beside(rows)
    }
}

/// Makes a design a revision of an earlier one. `same` fixes which old tag is which new one; `basis` is the file that names the
/// revision.
///
/// # Errors
/// A tag of `same` is not on its side, or stands there twice.
pub fn revise(
    design: &mut Design,
    earlier: &Design,
    same: &[(String, String)],
    trial: Trial<'_>,
    basis: Option<&str>,
) -> Result<(), WrongPair> {
    let renamed_boards = boards::renamed(earlier, design);
    let side = (!renamed_boards.is_empty()).then(|| boards::under_new_names(earlier, &renamed_boards));
    let earlier = side.as_ref().unwrap_or(earlier);
    let pairs = pairs::find(&earlier.circuits, &design.circuits, same)?;
    let (changes, rows) = held(earlier, design, &pairs, &renamed_boards, Some(&KindsAlone(trial)));
    let mut present = Revision::of(&design.project);
    let history = history(earlier);
    design.findings.extend(doubts(&history, &present, earlier, design, &changes, basis));
    sort(&mut design.findings);
    for (index, mark) in marks(earlier, design, &pairs, &changes, &rows, &present.revision) {
        design.circuits[index].revision_mark = Some(mark);
    }
    let boards = board_marks(earlier, design, &changes, &present.revision);
    present.changes = Some(RevisionChanges {
        boards_added: boards.iter().filter(|(_, mark)| mark.kind == RevisionKind::Added).count(),
        boards_changed: boards.iter().filter(|(_, mark)| mark.kind != RevisionKind::Added).count(),
        boards_removed: missing(&earlier.boards, &design.boards),
        ..counted(&changes, &rows, &pairs)
    });
    for (index, mark) in boards {
        design.boards[index].revision_mark = Some(mark);
    }
    design.revisions = history;
    design.revisions.push(present);
    Ok(())
}

/// The revisions up to the earlier design; one that keeps no history is a revision itself.
fn history(earlier: &Design) -> Vec<Revision> {
    if earlier.revisions.is_empty() { vec![Revision::of(&earlier.project)] } else { earlier.revisions.clone() }
}

/// Marks of the rows of the new side.
fn marks(
    earlier: &Design,
    design: &Design,
    pairs: &Pairs,
    changes: &Changes,
    rows: &[usize],
    revision: &str,
) -> Vec<(usize, RevisionMark)> {
    let mark = |kind| RevisionMark { revision: revision.to_owned(), kind, ..RevisionMark::default() };
    let changed: std::collections::BTreeMap<usize, &Changed> = rows.iter().copied().zip(&changes.changed).collect();
    let added = pairs.added.iter().map(|added| (*added, mark(RevisionKind::Added)));
    let same = pairs.same.iter().filter_map(|(one, other)| {
        let tags_before = tags_before(&earlier.circuits[*one], &design.circuits[*other], pairs);
        let change = changed.get(other);
        let fields: Vec<String> = change.iter().flat_map(|change| &change.fields).map(|change| change.field.clone()).collect();
        let selection: Vec<String> =
            change.iter().flat_map(|change| &change.consequences).map(|consequence| consequence.path.clone()).collect();
        let kind = if fields.is_empty() && tags_before.is_empty() { RevisionKind::Follows } else { RevisionKind::Changed };
        let differs = kind == RevisionKind::Changed || !selection.is_empty();
        differs.then(|| (*other, RevisionMark { tags_before, fields, selection, ..mark(kind) }))
    });
    added.chain(same).collect()
}

/// Names of boards that the other side has not.
fn missing(of: &[Board], other: &[Board]) -> Vec<String> {
    of.iter().map(|board| board.name.clone()).filter(|name| !other.iter().any(|board| board.name == *name)).collect()
}

/// Marks of the boards of the new side: those that came, bear another name, of which the basis states something else, or for which
/// something else is bought or set. A demand that only grew within its feeder bears none.
fn board_marks(earlier: &Design, design: &Design, changes: &Changes, revision: &str) -> Vec<(usize, BoardMark)> {
    let new = missing(&design.boards, &earlier.boards);
    let mark = |board: &Board| {
        let renamed = changes.renamed_boards.iter().find(|renamed| renamed.name == board.name);
        let differing = changes.boards.iter().find(|changes| changes.name == board.name);
        let of_devices = differing.into_iter().flat_map(|changes| &changes.changes).filter(|change| is_of_device(&change.what));
        let selection: Vec<String> = of_devices.map(|change| change.what.clone()).collect();
        let key = format!("board.{}.", board.name);
        let stated = changes.surroundings.iter().any(|surrounding| surrounding.key.starts_with(&key));
        let kind = match () {
            () if new.contains(&board.name) => RevisionKind::Added,
            () if stated || renamed.is_some() => RevisionKind::Changed,
            () if !selection.is_empty() => RevisionKind::Follows,
            () => return None,
        };
        let selection = if kind == RevisionKind::Added { Vec::new() } else { selection };
        let name_before = renamed.map(|renamed| renamed.old_name.clone()).unwrap_or_default();
        Some(BoardMark { revision: revision.to_owned(), kind, name_before, selection })
    };
    design.boards.iter().enumerate().filter_map(|(index, board)| Some((index, mark(board)?))).collect()
}

/// Tags that a row bore before, where they are others.
fn tags_before(old: &Circuit, new: &Circuit, pairs: &Pairs) -> Vec<String> {
    if let Some(merged) = pairs.merged.iter().find(|merged| merged.tag == new.tag) {
        return merged.old_tags.clone();
    }
    if plain(&old.tag) == plain(&new.tag) || new.tag.is_empty() { Vec::new() } else { vec![old.tag.clone()] }
}

/// A device, conductor or setting is another.
fn of_device(consequence: &Consequence) -> bool {
    !NO_DEVICE.iter().any(|part| consequence.path.starts_with(part))
}

fn counted(changes: &Changes, rows: &[usize], pairs: &Pairs) -> RevisionChanges {
    let devices = || changes.changed.iter().filter(|change| change.consequences.iter().any(of_device));
    let only_around = |change: &Changed| {
        let mut causes =
            change.consequences.iter().filter(|consequence| of_device(consequence)).flat_map(|consequence| &consequence.because);
        causes.all(|cause| {
            AROUND.iter().any(|kind| cause == kind || cause.strip_prefix(kind).is_some_and(|key| key.starts_with(' ')))
        })
    };
    // A row under another tag is changed, whether it states something else or not.
    let stated = rows.iter().zip(&changes.changed).filter(|(_, change)| !change.fields.is_empty()).map(|(row, _)| *row);
    let rows_changed: BTreeSet<usize> =
        stated.chain(pairs.renamed.iter().map(|(row, _)| *row)).chain(pairs.parted.iter().copied()).collect();
    let differing: BTreeSet<usize> = rows.iter().copied().collect();
    let mut surroundings: Vec<String> = changes.surroundings.iter().map(|surroundings| surroundings.what.clone()).collect();
    surroundings.dedup();
    RevisionChanges {
        rows_added: changes.added.len(),
        rows_removed: changes.removed.len(),
        rows_changed: rows_changed.len(),
        rows_changed_in_tag_alone: pairs.renamed.iter().filter(|(row, _)| !differing.contains(row)).count(),
        devices_changed: devices().count(),
        devices_changed_by_surroundings: devices().filter(|change| only_around(change)).count(),
        surroundings,
        removed: changes
            .removed
            .iter()
            .map(|tagged| RemovedRow {
                tag: tagged.tag.clone(),
                description: tagged.description.clone(),
                board: tagged.board.clone(),
            })
            .collect(),
        ..RevisionChanges::default()
    }
}

/// The findings that make the history doubtful.
fn doubts(
    history: &[Revision],
    present: &Revision,
    earlier: &Design,
    design: &Design,
    changes: &Changes,
    basis: Option<&str>,
) -> Vec<Finding> {
    let at = |finding: Finding, key: &str| match basis {
        Some(file) => finding.at(Place { heading: Some(key.to_owned()), ..Place::file(file) }),
        None => finding,
    };
    let mut found = Vec::new();
    found.extend(letters(history, present).map(|finding| at(finding, "project.revision")));
    found.extend(dates(history, present).map(|finding| at(finding, "project.issue_date")));
    found.extend(other_project(earlier, design));
    found.extend(surroundings(history, changes));
    found.extend(changes.renamed_boards.iter().map(|board| {
        Finding::new(&codes::X109_BOARD_RENAMED, board.words()).cure("its labels, drawings and cable tags bear the new name")
    }));
    found.extend(changes.doubts.iter().cloned());
    found.extend(changes.renumbered.iter().map(|renumbered| {
        let why = "each row is marked for what its neighbour said before";
        let cure = format!("if they are renumbered: {}", renumbered.options_shown());
        Finding::new(&codes::X108_RENUMBERED, renumbered.what()).why(why).cure(cure)
    }));
    found
}

fn letters(history: &[Revision], present: &Revision) -> Option<Finding> {
    if present.revision.is_empty() {
        let what = "the basis names no revision: marks of what changed bear no letter";
        return Some(Finding::new(&codes::X101_NO_REVISION, what).cure("name it: [project] revision = \"B\""));
    }
    let letter = present.revision.to_lowercase();
    let earlier = history.iter().find(|other| other.revision.to_lowercase() == letter)?;
    let issued = if earlier.issue_date.is_empty() { String::new() } else { format!(", issued {}", earlier.issue_date) };
    let what = format!("revision {} stands in the history already{issued}", present.revision);
    Some(
        Finding::new(&codes::X102_REVISION_TWICE, what)
            .why("two issues of one letter can't be told apart")
            .cure("give this one a letter of its own: [project] revision"),
    )
}

/// Both sides of a comparison bear one letter, as where one basis stands for both: a mark with it would say that the earlier issue
/// brought the changes.
pub(super) fn same_letter(old: &ProjectBasis, new: &ProjectBasis) -> Option<Finding> {
    let [before, now] = [old, new].map(|side| side.revision.as_deref().unwrap_or_default());
    let twice = !now.is_empty() && before.eq_ignore_ascii_case(now);
    twice.then(|| {
        Finding::new(
            &codes::X102_REVISION_TWICE,
            format!("both sides bear the revision {now}: marks of what changed bear no letter"),
        )
        .why("a letter would lay the changes to the earlier issue")
        .cure("give the later side a letter of its own: [project] revision, and --old-basis for the earlier one")
    })
}

/// A date as `2026-11-25`: year, month, day.
fn date(text: &str) -> Option<[u16; 3]> {
    let mut parts = text.split('-').map(|part| part.parse::<u16>().ok());
    let date = [parts.next()??, parts.next()??, parts.next()??];
    let [year, month, day] = date;
    let whole = parts.next().is_none() && (1900..=2999).contains(&year);
    (whole && (1..=12).contains(&month) && (1..=31).contains(&day)).then_some(date)
}

fn dates(history: &[Revision], present: &Revision) -> Option<Finding> {
    if present.issue_date.is_empty() {
        return None;
    }
    let unknown = |text: &str| {
        let what =
            format!("the date of issue {text} is no date such as 2026-11-25: whether revisions follow each other is not checked");
        Finding::new(&codes::X104_REVISION_DATE_UNKNOWN, what).cure("write it as year-month-day")
    };
    let Some(issued) = date(&present.issue_date) else { return Some(unknown(&present.issue_date)) };
    let mut odd = None;
    for earlier in history.iter().filter(|revision| !revision.issue_date.is_empty()) {
        match date(&earlier.issue_date) {
            Some(before) if before > issued => {
                let what = format!(
                    "issued {}, before revision {}, which was issued {}",
                    present.issue_date, earlier.revision, earlier.issue_date
                );
                return Some(
                    Finding::new(&codes::X103_REVISION_DATE, what)
                        .cure("correct [project] issue_date, or name the design that came before with --previous"),
                );
            }
            Some(_) => {}
            None => odd = odd.or(Some(&earlier.issue_date)),
        }
    }
    odd.map(|date| unknown(date))
}

fn other_project(earlier: &Design, design: &Design) -> Option<Finding> {
    let pairs =
        [("number", &earlier.project.number, &design.project.number), ("name", &earlier.project.name, &design.project.name)];
    let differs = |one: &Option<String>, other: &Option<String>| {
        let words = |stated: &Option<String>| stated.as_deref().map(|text| text.trim().to_lowercase());
        matches!((words(one), words(other)), (Some(one), Some(other)) if one != other)
    };
    // A number tells projects apart by itself; names may be written better from one issue to the next.
    let of_number = earlier.project.number.is_some() && design.project.number.is_some();
    let told = &pairs[..if of_number { 1 } else { 2 }];
    let (what, one, other) = told.iter().find(|(_, one, other)| differs(one, other))?;
    let words = |stated: &Option<String>| stated.clone().unwrap_or_default();
    let what = format!("the earlier design is of another project: its {what} is \"{}\", here \"{}\"", words(one), words(other));
    Some(Finding::new(&codes::X105_OTHER_PROJECT, what).cure("name the earlier design of this project with --previous"))
}

/// The differences around the schedule: not a change of any row, though something may follow for all.
fn surroundings(history: &[Revision], changes: &Changes) -> Vec<Finding> {
    let since = history.last().map(|revision| revision.revision.as_str()).filter(|revision| !revision.is_empty());
    let since = since.map_or_else(|| "the earlier design".to_owned(), |letter| format!("revision {letter}"));
    let arrow = |one: &str, other: &str| {
        let shown = |text: &str| if text.is_empty() { "nothing".to_owned() } else { text.to_owned() };
        format!("{} → {}", shown(one), shown(other))
    };
    let mut found = Vec::new();
    let of = |what: &'static str| changes.surroundings.iter().filter(move |surroundings| surroundings.what == what);
    if let Some(surroundings) = of("rule book").next() {
        let what = format!("{since} stands under another rule book: {}", arrow(&surroundings.old, &surroundings.new));
        let why = "nearly every device follows from that, so that marks of rows tell little";
        found.push(
            Finding::new(&codes::X106_OTHER_RULE_BOOK, what).why(why).cure("issue it as a new submittal, or confirm the change"),
        );
    }
    let mut told: Vec<String> = ["catalogue", "program"]
        .into_iter()
        .flat_map(of)
        .map(|surroundings| format!("{}: {}", surroundings.what, arrow(&surroundings.old, &surroundings.new)))
        .collect();
    let keys: Vec<String> = of("basis")
        .map(|surroundings| format!("{}: {}", surroundings.key, arrow(&surroundings.old, &surroundings.new)))
        .collect();
    told.extend(keys.iter().take(KEYS_SHOWN).cloned());
    if keys.len() > KEYS_SHOWN {
        told.push(format!("and {} more keys of the basis", keys.len() - KEYS_SHOWN));
    }
    if !told.is_empty() {
        let what = format!("since {since} differ, besides the schedule: {}", told.join("; "));
        found.push(Finding::new(&codes::X107_OTHER_SURROUNDINGS, what).cure("`motorwright compare` tells what follows from it"));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn revision(letter: &str, issued: &str) -> Revision {
        Revision { revision: letter.to_owned(), issue_date: issued.to_owned(), ..Revision::default() }
    }

    #[rstest::rstest]
    #[case::in_order("2026-03-01", None)]
    #[case::the_same_day("2026-02-01", None)]
    #[case::before_one_of_them("2026-01-15", Some("X103"))]
    #[case::no_date("", None)]
    #[case::another_order("01.03.2026", Some("X104"))]
    #[case::no_such_month("2026-13-01", Some("X104"))]
    fn dates_follow_each_other(#[case] issued: &str, #[case] code: Option<&str>) {
        let history = [revision("A", "2026-01-01"), revision("B", "2026-02-01")];
        let found = dates(&history, &revision("C", issued));
        assert_eq!(found.map(|finding| finding.code.to_string()).as_deref(), code);
    }

    #[rstest::rstest]
    #[case("C", None)]
    #[case("a", Some("X102"))]
    #[case("B", Some("X102"))]
    #[case("", Some("X101"))]
    fn letters_are_told_apart(#[case] letter: &str, #[case] code: Option<&str>) {
        let found = letters(&[revision("A", ""), revision("B", "")], &revision(letter, ""));
        assert_eq!(found.map(|finding| finding.code.to_string()).as_deref(), code);
    }
}
