//! Gathers the open points of the whole design: each point once with every tag that it concerns, so that a thousand circuits
//! that wait for one value make one line. Findings that differ in figures alone are one point.

use std::collections::BTreeMap;

use serde::Serialize;

use super::boards;
use super::figures::{Figure, Parted, Ranges};
use super::state::{Link, mark, result};
use super::text::{capital, sentence, size, symbols, value_and_limit};
use crate::design::{Check, Design, Status};
use crate::finding::{Finding, Severity, codes};
use crate::report::words::{clause, full};
use crate::rules::units::Units;

/// Tags that a line names before it says how many more there are.
const TAGS_IN_A_LINE: usize = 24;

/// A tag that a point concerns.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Concerned {
    /// Tag.
    pub(super) tag: String,
    /// Name of the place in the page.
    pub(super) anchor: String,
    /// Figures in which it differs from the others of the point; empty where it doesn't.
    pub(super) figures: String,
}

/// An open point.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Point {
    /// Its number in this document.
    pub(super) number: usize,
    /// Code of the finding; empty for a check that was not made.
    pub(super) code: String,
    /// Tags that it concerns.
    pub(super) tags: Vec<Concerned>,
    /// How many tags are not named.
    pub(super) more: usize,
    /// The fact.
    pub(super) what: String,
    /// The cure that settles it.
    pub(super) cure: String,
    /// Clause.
    pub(super) reference: String,
    /// Role of who answers.
    pub(super) who: &'static str,
}

/// Points of one kind, with the question that they put.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Group {
    /// Mark.
    pub(super) mark: &'static str,
    /// Word beside the mark.
    pub(super) word: &'static str,
    /// The question.
    pub(super) question: &'static str,
    /// The assumption that holds until it is answered.
    pub(super) until: &'static str,
    /// The points.
    pub(super) points: Vec<Point>,
}

/// A check that failed: it stands against what was asked.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Deviation {
    /// Its circuit.
    pub(super) link: Link,
    /// Check.
    pub(super) check: String,
    /// The figure that is demanded or occurs.
    pub(super) value: String,
    /// The figure that is allowed.
    pub(super) limit: String,
    /// Clause.
    pub(super) reference: String,
}

/// Who answers a finding: the maker where it says so, else by the room that made it.
fn who(code: &str, cure: &str) -> &'static str {
    if cure.to_lowercase().starts_with("ask the maker") {
        return "maker of the equipment";
    }
    if code.starts_with("B6") {
        return "builder of the board";
    }
    if code == codes::L408_SAFETY_LEVEL.code {
        return "designer of the safety function";
    }
    match code.bytes().next() {
        Some(b'I' | b'L') => "sender of the schedule",
        Some(b'F') => "owner of the basis of design",
        Some(b'K') => "equipment supplier",
        Some(b'B') => "engineer of the supply",
        Some(b'P') => "buyer",
        _ => "engineer of record",
    }
}

/// A point whose circuits are still being gathered: the words of its findings once, the figures of each.
struct Gathered<'a> {
    finding: &'a Finding,
    what: Ranges,
    why: Ranges,
    concerned: Vec<(&'a Link, [Vec<Figure>; 2])>,
}

impl Gathered<'_> {
    fn point(self, units: Units) -> Point {
        let finding = self.finding;
        let what = format!("{} {}", sentence(&self.what.text()), sentence(&self.why.text()));
        let mut point = Point {
            number: 0,
            code: finding.code.clone(),
            tags: Vec::new(),
            more: 0,
            what: symbols(what.trim()),
            cure: symbols(&sentence(&finding.cure)),
            reference: clause(units, &finding.reference).into_owned(),
            who: who(&finding.code, &finding.cure),
        };
        for (link, [what, why]) in &self.concerned {
            let figures = [self.what.differing(what), self.why.differing(why)];
            let figures = figures.iter().filter(|words| !words.is_empty()).map(|words| size(words)).collect::<Vec<_>>();
            name(&mut point, link, figures.join(", "));
        }
        point
    }
}

/// What makes findings one point: code, words without figures, cure and clause.
type Sameness<'a> = (&'a str, [Vec<String>; 2], &'a str, &'a str);

/// Collects points in the order in which they first occur.
#[derive(Default)]
struct Collector<'a> {
    points: Vec<Gathered<'a>>,
    known: BTreeMap<Sameness<'a>, usize>,
}

impl<'a> Collector<'a> {
    fn add(&mut self, finding: &'a Finding, link: Option<&'a Link>) {
        let [what, why] = [&finding.what, &finding.why].map(|text| Parted::of(text));
        let figures = [what.figures.clone(), why.figures.clone()];
        let same =
            (finding.code.as_str(), [what.words.clone(), why.words.clone()], finding.cure.as_str(), finding.reference.as_str());
        let index = *self.known.entry(same).or_insert_with(|| {
            let [what, why] = [what, why].map(Ranges::new);
            self.points.push(Gathered { finding, what, why, concerned: Vec::new() });
            self.points.len() - 1
        });
        let gathered = &mut self.points[index];
        gathered.what.widen(&figures[0]);
        gathered.why.widen(&figures[1]);
        gathered.concerned.extend(link.map(|link| (link, figures)));
    }
}

/// Names a tag in a point, once for the same figures.
fn name(point: &mut Point, link: &Link, figures: String) {
    if point.tags.last().is_some_and(|last| last.anchor == link.anchor && last.figures == figures) {
        return;
    }
    if point.tags.len() < TAGS_IN_A_LINE {
        point.tags.push(Concerned { tag: link.tag.clone(), anchor: link.anchor.clone(), figures });
    } else {
        point.more += 1;
    }
}

/// Checks that were not made, by the reason.
fn unchecked(design: &Design, links: &[Link], units: Units) -> Vec<Point> {
    let mut points: Vec<(Point, Vec<String>)> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    let sized = design.circuits.iter().zip(links).filter(|(circuit, _)| circuit.status != Status::NotSized);
    let of_circuits = sized.map(|(circuit, link)| (circuit.checks.as_slice(), link.clone()));
    let of_boards = design.boards.iter().map(|board| board.checks.as_slice()).zip(boards::links(design));
    for (checks, link) in of_circuits.chain(of_boards) {
        for check in checks.iter().filter(|check| check.passed.is_none()) {
            let because = check.not_checked_because.as_deref().unwrap_or("the reason is not recorded");
            let index = *known.entry(because).or_insert_with(|| {
                let who = "owner of the basis of design";
                let [code, what, reference] = [const { String::new() }; 3];
                let cure = sentence(&capital(because));
                points.push((Point { number: 0, code, tags: Vec::new(), more: 0, what, cure, reference, who }, Vec::new()));
                points.len() - 1
            });
            let (point, names) = &mut points[index];
            name(point, &link, String::new());
            let check_name = full(units, &check.name);
            if !names.contains(&check_name) {
                names.push(check_name);
            }
        }
    }
    points.into_iter().map(|(point, names)| Point { what: format!("Not checked: {}.", names.join(", ")), ..point }).collect()
}

/// All open points in groups, worst first, numbered through.
pub(super) fn groups(design: &Design, links: &[Link], units: Units) -> Vec<Group> {
    let mut collector = Collector::default();
    let board_links = boards::links(design);
    let open = |finding: &&Finding| finding.severity != Severity::Note;
    for (circuit, link) in design.circuits.iter().zip(links) {
        circuit.findings.iter().filter(open).for_each(|finding| collector.add(finding, Some(link)));
    }
    for (board, link) in design.boards.iter().zip(&board_links) {
        board.findings.iter().filter(open).for_each(|finding| collector.add(finding, Some(link)));
    }
    design.findings.iter().filter(open).for_each(|finding| collector.add(finding, None));

    let is_error = |gathered: &Gathered| gathered.finding.severity == Severity::Error;
    let (errors, warnings): (Vec<_>, Vec<_>) = collector.points.into_iter().partition(is_error);
    let plain = |points: Vec<Gathered>| points.into_iter().map(|gathered| gathered.point(units)).collect::<Vec<_>>();
    let mut groups = vec![
        Group {
            mark: "error",
            word: "Not sized",
            question: "what is to be entered?",
            until: "Until then the circuit is not sized; its way is kept.",
            points: plain(errors),
        },
        Group {
            mark: "warning",
            word: "Decision open",
            question: "is it accepted, or changed as said?",
            until: "Until then the circuit stands as shown and its parts are on hold.",
            points: plain(warnings),
        },
        Group {
            mark: "unchecked",
            word: "Not checked",
            question: "what is the missing value?",
            until: "Until then the check stays open; nothing is assumed in its place.",
            points: unchecked(design, links, units),
        },
    ];
    groups.retain(|group| !group.points.is_empty());
    let points = groups.iter_mut().flat_map(|group| &mut group.points);
    points.zip(1..).for_each(|(point, number)| point.number = number);
    groups
}

/// Gives the assumptions behind the sums and fault currents of the whole network: notes of the design that name no circuit, each with
/// what to do and its clause.
pub(super) fn of_network(design: &Design, units: Units) -> Vec<[String; 3]> {
    let about = |finding: &&Finding| finding.severity == Severity::Note && finding.code.starts_with('B');
    let line = |finding: &Finding| {
        let what = format!("{} {}", sentence(&finding.what), sentence(&finding.why));
        [what.trim().to_owned(), sentence(&finding.cure), clause(units, &finding.reference).into_owned()]
    };
    design.findings.iter().filter(about).map(line).collect()
}

/// Checks that failed.
pub(super) fn deviations(design: &Design, links: &[Link], units: Units) -> Vec<Deviation> {
    let mut deviations = Vec::new();
    let failed = |check: &&Check| check.passed == Some(false);
    for (circuit, link) in design.circuits.iter().zip(links) {
        let checks = circuit.checks.iter().filter(failed);
        let name = |check: &Check| super::bars::check_name(check, &circuit.load.kind, units);
        deviations.extend(checks.map(|check| deviation(check, link.clone(), name(check), units)));
    }
    for (board, link) in design.boards.iter().zip(boards::links(design)) {
        let checks = board.checks.iter().filter(failed);
        deviations.extend(checks.map(|check| deviation(check, link.clone(), super::bars::board_check_name(check, units), units)));
    }
    deviations
}

fn deviation(check: &Check, link: Link, name: String, units: Units) -> Deviation {
    let (value, limit) = match (check.value, check.limit) {
        (Some(value), Some(limit)) => value_and_limit(units, value, limit, &check.unit),
        _ => (String::new(), String::new()),
    };
    Deviation { link, check: name, value, limit, reference: clause(units, &check.reference).into_owned() }
}

/// A finding as a sheet prints it.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Note {
    mark: &'static str,
    code: String,
    what: String,
    why: String,
    cure: String,
    reference: String,
    place: String,
}

/// The findings of a circuit, worst first.
pub(super) fn notes(findings: &[Finding], units: Units) -> Vec<Note> {
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|finding| finding.severity);
    sorted
        .into_iter()
        .map(|finding| Note {
            mark: mark(finding),
            code: finding.code.clone(),
            what: sentence(&finding.what),
            why: sentence(&finding.why),
            cure: sentence(&finding.cure),
            reference: clause(units, &finding.reference).into_owned(),
            place: finding.place.as_ref().map(cell).unwrap_or_default(),
        })
        .collect()
}

/// The cell of a finding; the file is named on the sheet already.
fn cell(place: &crate::finding::Place) -> String {
    let mut text = match (&place.column, place.row) {
        (Some(column), Some(row)) => format!("cell {column}{row}"),
        (None, Some(row)) => format!("row {row}"),
        _ => place.file.clone(),
    };
    if let Some(read) = place.text.as_ref().filter(|read| !read.is_empty()) {
        text.push_str(&format!(" reads \u{201c}{}\u{201d}", super::text::shortened(read, 120)));
    }
    text
}

/// Mark and word of a check's result, for the key.
pub(super) fn key() -> Vec<(super::state::State, &'static str)> {
    let state = |mark, words: &str| super::state::State { mark, words: words.to_owned() };
    vec![
        (state("error", "error"), "the row is not sized"),
        (state("warning", "warning"), "sized, somebody decides"),
        (state("note", "note"), "an assumption"),
        (result(Some(true)), "within the limit"),
        (result(Some(false)), "beyond the limit"),
        (result(None), "a value is missing; the reason is given"),
    ]
}
