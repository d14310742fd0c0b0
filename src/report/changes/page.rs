//! The changes as a page in the submittal's style: what was changed, what follows from it, what is to be bought and set otherwise.

use std::sync::LazyLock;

use serde::Serialize;
use tera::{Context, Tera};

use super::words;
use crate::compare::rank::is_held;
use crate::compare::{Changes, Consequence, PurchaseChange, Renumbered};
use crate::design::Design;
use crate::record::significant;
use crate::report::submittal::policy::{self, Margins};
use crate::report::workbook::ReportError;
use crate::report::{CAUTION_LINE, DEMONSTRATION};
use crate::rules::units::Units;

static TEMPLATES: LazyLock<Tera> = LazyLock::new(|| {
    let mut tera = Tera::default();
    tera.autoescape_on([".html"]);
    #[allow(clippy::expect_used)] // the template is part of the program; a test renders it
    tera.add_raw_templates([("page.html", include_str!("../../../templates/changes/page.html"))])
        .expect("the embedded template parses");
    tera
});

/// Cells of one column that is not read, before they are told in one line.
const MOST_CARRIED: usize = 40;

/// A table of text.
#[derive(Serialize)]
struct Table {
    id: &'static str,
    title: &'static str,
    lead: &'static str,
    heads: Vec<&'static str>,
    rows: Vec<Vec<String>>,
}

/// Rows of the schedule that change in the same way.
#[derive(Serialize)]
struct Group {
    tags: String,
    mark: String,
    stated: Vec<[String; 3]>,
    follows: Vec<[String; 4]>,
}

/// The page as bytes; the same changes give the same bytes.
///
/// # Errors
/// The template fails, which no input should bring about.
pub fn write(changes: &Changes, new: &Design) -> Result<Vec<u8>, ReportError> {
    let units = Units::of(&new.rule_book);
    let name = new.project.name.clone().unwrap_or_else(|| "Motor circuits".to_owned());
    let margins = Margins {
        letter: new.basis.report.paper.as_deref().unwrap_or(units.paper()).eq_ignore_ascii_case("letter"),
        project: &new.project,
        demonstration: new.catalogue.demonstration,
    };
    let policy = policy::policy(&margins, &name);
    let mut context = Context::new();
    context.insert("title", &name);
    context.insert("style", &policy.style);
    context.insert("script", &policy.script);
    context.insert("policy", &policy.content);
    context.insert("old", &changes.old);
    context.insert("new", &changes.new);
    context.insert("revision", &changes.letter);
    let issued = new.project.issue_date.clone().filter(|_| changes.doubts.is_empty());
    context.insert("issued", &issued.unwrap_or_default());
    context.insert("doubts", &changes.doubts.iter().map(super::doubt).collect::<Vec<_>>());
    context.insert("demonstration", &new.catalogue.demonstration);
    context.insert("demonstration_line", DEMONSTRATION);
    context.insert("caution_line", CAUTION_LINE);
    context.insert("counts", &counts(changes));
    context.insert("groups", &groups(changes, units));
    context.insert("other_rows", if changes.blames_other_rows() { super::OTHER_ROWS_ARE } else { "" });
    context.insert("renumbered", &changes.renumbered.iter().map(Renumbered::words).collect::<Vec<_>>());
    context.insert("before", &before(changes));
    context.insert("after", &after(changes, units));
    let page = TEMPLATES.render("page.html", &context).map_err(|error| ReportError::Page(error.to_string()))?;
    Ok(page.into_bytes())
}

fn counts(changes: &Changes) -> Vec<(usize, &'static str)> {
    let all = [
        (changes.changed.len(), "changed"),
        (changes.added.len(), "added"),
        (changes.removed.len(), "removed"),
        (changes.renamed.len(), "renamed"),
        (changes.split.len() + changes.merged.len(), "split or merged"),
        (changes.unchanged, "the same"),
    ];
    all.into_iter().filter(|(count, words)| *count > 0 || *words == "changed").collect()
}

fn groups(changes: &Changes, units: Units) -> Vec<Group> {
    let groups = super::alike(&changes.changed).into_iter().map(|(tags, change)| {
        let mut follows: Vec<&Consequence> = change.consequences.iter().collect();
        // Part numbers of devices repeat what the lines above say, and so does a check that passed of a device that came or went.
        let repeats =
            |consequence: &Consequence| consequence.path.ends_with(".part") && !consequence.path.starts_with("accessories.");
        let said = |consequence: &Consequence| !repeats(consequence) && !is_held(consequence);
        // Where nothing else differs, they are what there is to say.
        if follows.iter().any(|consequence| said(consequence)) || !change.fields.is_empty() {
            follows.retain(|consequence| said(consequence));
        }
        Group {
            tags: tags.join(", "),
            mark: super::revision::letter(&changes.letter),
            stated: change
                .fields
                .iter()
                .map(|change| {
                    let shown = |value| super::cell_of(&words::value_in(&change.field, value, units));
                    let [old, new] = [&change.old, &change.new].map(|value| words::stated(&change.field, &shown(value), units));
                    [words::column(&words::column_in(&change.field, units)), old, new]
                })
                .collect(),
            follows: rows(&follows, units),
        }
    });
    groups.collect()
}

/// The consequences, a row each; small parts of a kind that change in the same way in one.
fn rows(follows: &[&Consequence], units: Units) -> Vec<[String; 4]> {
    let kind = |consequence: &Consequence| {
        consequence.path.strip_prefix("accessories.")?.split_once(" at ").map(|parts| parts.0.to_owned())
    };
    let mut rows: Vec<(Option<String>, [String; 4])> = Vec::new();
    for consequence in follows {
        let [old, new] = [&consequence.old, &consequence.new].map(|value| words::value(value, units));
        let (kind, row) =
            (kind(consequence), [words::place(&consequence.path, units), old, new, words::causes(&consequence.because)]);
        let same = rows.last_mut().filter(|(of, last)| kind.is_some() && *of == kind && last[1..] == row[1..]);
        let parts = row[0].split_once(" at ").and_then(|(_, rest)| rest.split_once(": "));
        match (same, parts) {
            (Some((_, last)), Some((serves, what))) => {
                let head = last[0].trim_end_matches(what).trim_end_matches(": ").to_owned();
                last[0] = format!("{head}, {serves}: {what}");
            }
            _ => rows.push((kind, row)),
        }
    }
    rows.into_iter().map(|(_, row)| row).collect()
}

fn table(id: &'static str, title: &'static str, lead: &'static str, heads: &[&'static str], rows: Vec<Vec<String>>) -> Table {
    Table { id, title, lead, heads: heads.to_vec(), rows }
}

/// The tables before the changed rows.
fn before(changes: &Changes) -> Vec<Table> {
    let named = |tagged: &crate::compare::Tagged| vec![tagged.tag.clone(), tagged.description.clone(), tagged.board.clone()];
    let around = changes.surroundings.iter().map(|surroundings| {
        vec![format!("{} {}", surroundings.what, surroundings.key), surroundings.old.clone(), surroundings.new.clone()]
    });
    let renamed = changes.renamed.iter().map(|renamed| vec![renamed.old_tag.clone(), renamed.tag.clone(), renamed.words()]);
    let split = changes.split.iter().map(|split| vec![split.old_tag.clone(), split.tags.join(", "), "split".to_owned()]);
    let merged = changes.merged.iter().map(|merged| vec![merged.old_tags.join(", "), merged.tag.clone(), "merged".to_owned()]);
    let marks = changes
        .revision_marks
        .iter()
        .map(|mark_remark| vec![mark_remark.tag.clone(), mark_remark.mark.clone(), mark_remark.what.clone()]);
    let boards = changes.renamed_boards.iter().map(|board| vec![board.old_name.clone(), board.name.clone(), board.why.clone()]);
    let tables = vec![
        table(
            "renamed-boards",
            "Boards under another name",
            "Everything else is told under the new name.",
            &["Before", "Now", "Recognised by"],
            boards.collect(),
        ),
        table(
            "around",
            "Around the schedule",
            "Rule book, basis, catalogue or program differ: what follows from that is not a change of the schedule.",
            &["What", "Before", "Now"],
            around.collect(),
        ),
        table(
            "marks",
            "The sender's marks",
            "Rows whose revision mark does not agree with what changed.",
            &["Tag", "Mark", "Finding"],
            marks.collect(),
        ),
        table("added", "Added", "", &["Tag", "Description", "Board"], changes.added.iter().map(named).collect()),
        table("removed", "Removed", "", &["Tag", "Description", "Board"], changes.removed.iter().map(named).collect()),
        table(
            "renamed",
            "Under another tag",
            "Taken for the same row because of what is alike. Where that is wrong, say which rows are one (compare --same OLD=NEW).",
            &["Before", "Now", "Recognised by"],
            renamed.chain(split).chain(merged).collect(),
        ),
    ];
    tables.into_iter().filter(|table| !table.rows.is_empty()).collect()
}

/// The tables behind the changed rows.
fn after(changes: &Changes, units: Units) -> Vec<Table> {
    let tables = [of_selection(changes, units), of_purchase(changes), of_words(changes)].into_iter().flatten();
    tables.filter(|table| !table.rows.is_empty()).collect()
}

/// The consequences beyond the rows themselves: margins, boards, dials, labels.
fn of_selection(changes: &Changes, units: Units) -> Vec<Table> {
    let little = super::margins::lines(changes, units).into_iter().map(|line| {
        let [before, now] = line.left;
        vec![line.tags.join(", "), line.check, before, now, line.figures, words::causes(line.because)]
    });
    let boards = changes.boards.iter().flat_map(|board| {
        board.changes.iter().map(|change| {
            let [what, old, new] = words::board(change, units);
            vec![board.name.clone(), what, dash(&old), dash(&new)]
        })
    });
    let settings = changes.settings.iter().map(|change| {
        vec![change.tag.clone(), words::dial(&change.what, units), dash(&change.old), dash(&change.new), String::new()]
    });
    let labels = changes.labels.iter().map(|change| {
        let [old, new] = super::labels::lines(change);
        vec![change.tag.clone(), super::labels::name(change), dash(&old), new]
    });
    vec![
        table(
            "margins",
            "Little margin left",
            "Chosen as before, but a limit that had room is nearly reached: of each circuit the check with the least left.",
            &["Tag", "Check", "Left before", "Left now", "Figures", "Because of"],
            little.collect(),
        ),
        table("boards", "Boards", "", &["Board", "What", "Before", "Now"], boards.collect()),
        table(
            "settings",
            "To be set otherwise on site",
            "",
            &["Tag", "Dial", "Before", "Now", "Set by, date"],
            settings.collect(),
        ),
        table(
            "labels",
            "Labels anew",
            "Nameplates and cable tags that bear another text; those of renamed rows stand with them, and what is not sized waits.",
            &["Tag", "Label", "Before", "Now"],
            labels.collect(),
        ),
    ]
}

fn of_purchase(changes: &Changes) -> Vec<Table> {
    vec![
        table(
            "ordered",
            "Against what was ordered",
            "",
            &["Action", "Part", "Ordered", "Needed now", "On hold", "Unit", "Price"],
            bought(&changes.ordered),
        ),
        table(
            "purchase",
            "Purchase list",
            "Without spares, allowances and whole packs.",
            &["Action", "Part", "Before", "Now", "On hold", "Unit", "Price"],
            bought(&changes.purchase),
        ),
        table(
            "prices",
            "Prices",
            "Sums of the lines that have a price, and parts of both lists that cost something else.",
            &["What", "Before", "Now"],
            super::prices(changes).into_iter().map(|line| line.map(|cell| dash(&cell)).to_vec()).collect(),
        ),
    ]
}

/// Columns that are not read, findings, and statements that are the same in other words.
fn of_words(changes: &Changes) -> Vec<Table> {
    let findings = |of: &[crate::compare::FindingChange]| {
        of.iter()
            .map(|change| vec![change.tag.clone(), format!("{} {}", change.severity, change.code), change.what.clone()])
            .collect::<Vec<_>>()
    };
    let carried = super::carried(changes, MOST_CARRIED).into_iter().map(|[column, tag, old, new]| {
        let whole = old.is_empty() && new.is_empty();
        let shown = |text: String| if whole { text } else { dash(&text) };
        vec![column, tag, shown(old), shown(new)]
    });
    let otherwise =
        changes.said_otherwise.iter().map(|said_otherwise| vec![said_otherwise.tag.clone(), said_otherwise.what.clone()]);
    vec![
        table(
            "carried",
            "Columns that are not read",
            "Carried through as the sender wrote them: nothing of a circuit follows from them.",
            &["Column", "Tag", "Before", "Now"],
            carried.collect(),
        ),
        table("new", "New findings", "", &["Tag", "Code", "What"], findings(&changes.findings_new)),
        table("gone", "Findings that are gone", "", &["Tag", "Code", "What"], findings(&changes.findings_gone)),
        table(
            "otherwise",
            "The same, said otherwise",
            "Other units, other spelling: no change.",
            &["Tag", "What"],
            otherwise.collect(),
        ),
    ]
}

fn bought(of: &[PurchaseChange]) -> Vec<Vec<String>> {
    of.iter()
        .map(|change| {
            let name = format!("{} {}", change.part, change.described()).trim_start().to_owned();
            let price = change.price_difference.map(|price| format!("{price:+.2} {}", change.currency).trim().to_owned());
            let [old, new] = [change.old_quantity, change.new_quantity].map(|quantity| significant(quantity, 6));
            let held = if change.held_quantity > 0.0 { significant(change.held_quantity, 6) } else { "–".to_owned() };
            vec![change.action.clone(), name, old, new, held, change.unit.clone(), price.unwrap_or_else(|| "–".to_owned())]
        })
        .collect()
}

fn dash(text: &str) -> String {
    if text.is_empty() { "–".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compare::Supply;

    /// Who reads why a part is bought now sees that another brought it before.
    #[test]
    fn a_part_that_another_supplies_now_says_so() {
        let change = |supply| PurchaseChange {
            part: "FUSE".to_owned(),
            description: "Fuse".to_owned(),
            action: "add".to_owned(),
            supply,
            ..PurchaseChange::default()
        };
        let names: Vec<String> =
            bought(&[change(Some(Supply::FromOthers)), change(None)]).into_iter().map(|line| line[1].clone()).collect();
        assert_eq!(names, ["FUSE Fuse (supplied by others before)", "FUSE Fuse"]);
    }
}
