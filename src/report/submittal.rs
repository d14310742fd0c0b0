//! The submittal: one self-contained page that a reviewer reads, marks and stamps, that prints on A4 and Letter, and that needs
//! neither network nor script.
//!
//! Everything is words before it reaches a template. The page is put together of a front, one data sheet a circuit and a back, each
//! rendered by itself, so that a thousand circuits need no giant context. Text is escaped by the template library; its safe filter is
//! used for our own style and script only.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Serialize;
use tera::{Context, Tera};

use crate::design::{Circuit, Design, Status};
use crate::finding::Severity;
use crate::report::changes::revision;
use crate::report::columns;
use crate::report::drawings;
use crate::report::drawings::time_current::{self, Axis, Grid};
use crate::report::words::terms;
use crate::report::workbook::ReportError;
use crate::report::{CAUTION_LINE, DEMONSTRATION, ReportInput, totals};
use crate::rules;

mod bars;
mod boards;
mod figures;
pub(in crate::report) mod lists;
mod long_words;
mod memory;
mod points;
pub(super) mod policy;
pub(in crate::report) mod sheet;
pub(in crate::report) mod state;
mod table;
pub(in crate::report) mod text;

use sheet::Working;
use state::{Link, Mark};
use table::Row;

static TEMPLATES: LazyLock<Tera> = LazyLock::new(|| {
    let mut tera = Tera::default();
    tera.autoescape_on([".html", ".svg"]);
    #[allow(clippy::expect_used)] // the templates are part of the program; a test renders them
    tera.add_raw_templates([
        ("front.html", include_str!("../../templates/submittal/front.html")),
        ("sheet.html", include_str!("../../templates/submittal/sheet.html")),
        ("bars.html", include_str!("../../templates/submittal/bars.html")),
        ("back.html", include_str!("../../templates/submittal/back.html")),
    ])
    .expect("the embedded templates parse");
    tera
});

/// The submittal as bytes; the same input gives the same bytes.
///
/// # Errors
/// A template fails, which no input should bring about.
pub fn write(input: &ReportInput) -> Result<Vec<u8>, ReportError> {
    let design = input.design;
    let title = title(input);
    let policy = policy::policy(
        &policy::Margins { letter: input.letter(), project: &input.basis.project, demonstration: design.catalogue.demonstration },
        &title,
    );
    let shown = |circuit: &Circuit| is_wanted(wanted_sheets(input), circuit);
    let with_working = |circuit: &Circuit| is_wanted(input.basis.report.sheet_working.as_deref().unwrap_or("flagged"), circuit);
    let links = links(&design.circuits, &shown);
    let context = context(input, &title, &policy, &links);
    let mut plots = plots(input);
    let mut page = render("front.html", &context)?;
    for (index, (circuit, link)) in design.circuits.iter().zip(&links).enumerate().filter(|(_, (_, link))| link.sheet) {
        let working = match circuit.status {
            Status::NotSized => Working::Steps(Cow::default()),
            _ if with_working(circuit) => Working::Steps(input.steps(index)),
            _ => Working::Elsewhere(elsewhere(input)),
        };
        let mut context = Context::new();
        let plot = plots(circuit, &format!("{}-tc", link.anchor));
        context.insert("sheet", &sheet::sheet(circuit, link, plot, &working, input.units()));
        page.push_str(&render("sheet.html", &context)?);
    }
    page.push_str(&render("back.html", &context)?);
    Ok(long_words::breakable(page).into_bytes())
}

/// Everything that the pages before and behind the data sheets show.
fn context(input: &ReportInput, title: &str, policy: &policy::Policy, links: &[Link]) -> Context {
    let design = input.design;
    let units = input.units();
    let mut context = Context::new();
    context.insert("title", title);
    context.insert("terms", terms(units));
    context.insert("style", &policy.style);
    context.insert("script", &policy.script);
    context.insert("policy", &policy.content);
    context.insert("symbols", &drawings::power::sprite(units));
    context.insert("demonstration", &design.catalogue.demonstration);
    context.insert("demonstration_line", DEMONSTRATION);
    context.insert("caution_line", CAUTION_LINE);
    context.insert("project", &project(input));
    context.insert("number", &input.basis.project.submittal_number.clone().unwrap_or_default());
    context.insert("revision", &input.basis.project.revision.clone().unwrap_or_default());
    context.insert("revisions", &revisions(design));
    context.insert("issued", &input.basis.project.issue_date.clone().unwrap_or_default());
    context.insert("assumptions", input.assumptions);
    context.insert("unread_sheets", &super::unread::sheets(design));
    context.insert("unread_columns", &unread_columns(design));
    context.insert("network_notes", &points::of_network(design, units));
    context.insert("counts", &counts(input));
    context.insert("held", &totals::held(&design.purchase));
    context.insert("waiting", &waiting(design.circuits.iter().zip(links)));
    context.insert("unasked", &unasked(&design.circuits, links));
    context.insert("key", &points::key());
    context.insert("groups", &points::groups(design, links, units));
    context.insert("deviations", &points::deviations(design, links, units));
    context.insert("schedule", &schedule(input, links));
    context.insert("settings", &lists::settings(design, links, units));
    context.insert("cables", &lists::cables(design, links, units));
    context.insert("network", &boards::of_network(design, units));
    context.insert("boards", &boards::boards(design, links, units));
    context.insert("supplies", &lists::supplies(design, links, units));
    context.insert("purchase", &lists::purchase(design, units));
    context.insert("cautions", input.cautions);
    context.insert("memory", &memory::of_design(design, links, input.sources));
    context.insert("sources", input.sources);
    context.insert("local_code", &input.basis.rules.local_code.clone().unwrap_or_default());
    context.insert("edition", &design.edition);
    context.insert("rule_book", &design.rule_book.to_uppercase());
    context.insert("sheets", wanted_sheets(input));
    context.insert("inputs", &design.inputs);
    context.insert("catalogue", &design.catalogue.name);
    context.insert("program_version", &design.program_version);
    context
}

/// Which circuits get a data sheet.
fn wanted_sheets<'i>(input: &'i ReportInput) -> &'i str {
    input.basis.report.sheets.as_deref().unwrap_or("all")
}

/// A choice of the basis among circuits: `none`, `flagged` or all.
fn is_wanted(choice: &str, circuit: &Circuit) -> bool {
    match choice {
        "none" => false,
        "flagged" => state::flagged(circuit),
        _ => true,
    }
}

/// Where the working stands that the data sheets leave out.
fn elsewhere(input: &ReportInput) -> &'static str {
    match input.basis.report.working.as_deref() {
        Some("none" | "flagged") => "The working is left out here; `motorwright explain` prints it.",
        _ => "The working is left out here; the sheet Working of the workbook holds it, and `motorwright explain` prints it.",
    }
}

fn render(name: &str, context: &Context) -> Result<String, ReportError> {
    TEMPLATES.render(name, context).map_err(|error| ReportError::Page(error.to_string()))
}

/// Draws the time-current plots, those of one board on the same axes; none without a rule book of the design's name.
fn plots<'a>(input: &'a ReportInput) -> impl FnMut(&Circuit, &str) -> String + 'a {
    let design = input.design;
    let book = rules::book(&design.rule_book, design.basis.rules.edition.as_deref()).ok();
    // The axes of each board with their place on the page, and whether they were drawn.
    let mut grids: BTreeMap<&str, (Option<Axis>, String, bool)> = BTreeMap::new();
    let mut of_boards: BTreeMap<&str, (usize, Vec<&Circuit>)> = BTreeMap::new();
    for circuit in &design.circuits {
        let number = of_boards.len();
        of_boards.entry(&circuit.board).or_insert_with(|| (number, Vec::new())).1.push(circuit);
    }
    for (board, (number, circuits)) in of_boards {
        grids.insert(board, (Axis::of(circuits.into_iter()), format!("tc{number}"), false));
    }
    move |circuit, id| {
        let Some((Some(axis), place, drawn)) = grids.get_mut(circuit.board.as_str()) else { return String::new() };
        let Some(book) = book.filter(|_| time_current::has_plot(circuit)) else { return String::new() };
        let grid = Grid { axis: *axis, id: place, drawn: !std::mem::replace(drawn, true) };
        time_current::plot(circuit, grid, book, input.units(), id)
    }
}

fn title(input: &ReportInput) -> String {
    let project = &input.basis.project;
    project.name.clone().unwrap_or_else(|| "Motor circuits".to_owned())
}

/// Places of the circuits in the page; numbers, so that no tag can break a link.
fn links(circuits: &[Circuit], shown: &dyn Fn(&Circuit) -> bool) -> Vec<Link> {
    let link = |(circuit, number): (&Circuit, usize)| {
        let sheet = shown(circuit);
        Link { tag: circuit.tag.clone(), anchor: format!("{}{number}", if sheet { 'c' } else { 'r' }), sheet }
    };
    circuits.iter().zip(1..).map(link).collect()
}

/// A field of the title block; empty ones stay as boxes to be filled in.
#[derive(Serialize)]
struct Box {
    label: &'static str,
    value: String,
    wide: bool,
}

fn project(input: &ReportInput) -> Vec<Box> {
    let project_basis = &input.basis.project;
    let field = |label, value: &Option<String>, wide| Box { label, value: value.clone().unwrap_or_default(), wide };
    vec![
        field("Project", &project_basis.name, true),
        field("Document number", &project_basis.number, false),
        field("Revision", &project_basis.revision, false),
        field("Location", &project_basis.location, true),
        field("Submittal number", &project_basis.submittal_number, false),
        field("Specification section", &project_basis.specification_section, false),
        field("Client", &project_basis.client, true),
        field("Contractor", &project_basis.contractor, false),
        field("Engineer", &project_basis.engineer, false),
        field("Title", &Some("Motor circuits: submittal".to_owned()), true),
        field("Rule book", &Some(input.design.rule_book.to_uppercase()), false),
        field("Issued", &project_basis.issue_date, false),
        field("Prepared", &project_basis.prepared_by, true),
        field("Checked", &project_basis.checked_by, false),
        field("Approved", &project_basis.approved_by, false),
    ]
}

/// A line of the revision table.
#[derive(Serialize)]
struct RevisionLine {
    revision: String,
    issued: String,
    what: String,
    prepared: String,
    checked: String,
    approved: String,
}

/// The revisions; none before there are two, so that the boxes stay to be filled in.
fn revisions(design: &Design) -> Vec<RevisionLine> {
    if !revision::is_marked(design) {
        return Vec::new();
    }
    let line = |line: revision::Line| RevisionLine {
        revision: line.revision,
        issued: line.issued,
        what: text::sentence(&line.what),
        prepared: line.prepared,
        checked: line.checked,
        approved: line.approved,
    };
    revision::lines(design).into_iter().map(line).collect()
}

/// A number of the summary.
#[derive(Serialize)]
struct Count {
    number: String,
    words: String,
}

fn counts(input: &ReportInput) -> Vec<Count> {
    let counts = input.design.counts();
    let (rows, circuits) = (input.design.circuits.len(), input.design.circuits_of_all_rows());
    let all = if rows as u64 == circuits {
        "circuits in the schedule".to_owned()
    } else {
        format!("rows in the schedule, {circuits} circuits")
    };
    let count = |number: usize, words: String| Count { number: number.to_string(), words };
    vec![
        count(rows, all),
        count(counts.sized, "sized, every check passed".to_owned()),
        count(counts.needs_decision, "need a decision".to_owned()),
        count(counts.not_sized, "not sized".to_owned()),
    ]
}

/// A circuit that is not sized, with its reason.
#[derive(Serialize)]
struct Waiting {
    link: Link,
    reason: String,
}

fn waiting<'c>(circuits: impl Iterator<Item = (&'c Circuit, &'c Link)>) -> Vec<Waiting> {
    let not_sized = circuits.filter(|(circuit, _)| circuit.status == Status::NotSized);
    not_sized.map(|(circuit, link)| Waiting { link: link.clone(), reason: state::reason(circuit) }).collect()
}

/// Circuits that are not sized of which no question tells why.
fn unasked(circuits: &[Circuit], links: &[Link]) -> Vec<Waiting> {
    let asked = |circuit: &Circuit| circuit.findings.iter().any(|finding| finding.severity == Severity::Error);
    waiting(circuits.iter().zip(links).filter(|(circuit, _)| !asked(circuit)))
}

/// The schedule: the heads once, then the circuits of each board.
#[derive(Serialize)]
struct Schedule {
    heads: Vec<table::Head>,
    sections: Vec<Section>,
    /// Letter of the present revision, as a triangle holds it.
    letter: String,
}

/// The circuits of one board.
#[derive(Serialize)]
struct Section {
    board: String,
    rows: Vec<Row>,
    /// Rows that the present revision removed: tag and what it was.
    removed: Vec<[String; 2]>,
}

impl Section {
    fn of(board: &str) -> Self {
        Self { board: board.to_owned(), rows: Vec::new(), removed: Vec::new() }
    }
}

/// Columns of the printed schedule by the units of the book; the others stand on the data sheets and in the workbook.
const PRINTED: &[&str] = &[
    "full_load_a",
    "starting_a",
    "contactors",
    "overload_setting_a",
    "trip_class",
    "protection_kind",
    "protection_rating_a",
    "magnetic_trip_a",
    "coordination",
    "cable_size",
    "cable_length_m",
    "cable_governed_by",
    "drop_running_pct",
    "drop_starting_pct",
];

const PRINTED_CUSTOMARY: &[&str] = &[
    "full_load_a",
    "nameplate_a",
    "contactors",
    "overload_setting_a",
    "overload_ceiling_a",
    "protection_kind",
    "protection_rating_a",
    "protection_maximum_a",
    "magnetic_trip_a",
    "short_circuit_rating_ka",
    "cable_size",
    "raceway",
    "cable_length_ft",
    "cable_governed_by",
    "drop_running_pct",
    "drop_starting_pct",
];

fn schedule(input: &ReportInput, links: &[Link]) -> Schedule {
    let units = input.units();
    let printed = units.pick(PRINTED, PRINTED_CUSTOMARY);
    let columns: Vec<_> = columns::schedule_of(input.design).into_iter().filter(|column| printed.contains(&column.key)).collect();
    let mut sections: Vec<Section> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    for (circuit, link) in input.design.circuits.iter().zip(links) {
        let load = [sheet::power(circuit, units).unwrap_or_default(), columns::load::method(circuit, units).into_owned()];
        let words: Vec<String> = load.into_iter().filter(|text| !text.is_empty()).collect();
        let row = Row {
            link: link.clone(),
            tag: circuit.tag.clone(),
            again: false,
            mark: Mark::of(circuit, units),
            state: Some(state::counted(circuit)),
            about: if words.is_empty() {
                circuit.description.clone()
            } else {
                format!("{}: {}", circuit.description, words.join(", "))
            },
            reason: if circuit.status == Status::NotSized { state::reason(circuit) } else { String::new() },
            cells: table::cells(&columns, circuit),
        };
        // Sections follow the order of the schedule; a board that comes again is the same section.
        let index = *known.entry(&circuit.board).or_insert_with(|| {
            sections.push(Section::of(&circuit.board));
            sections.len() - 1
        });
        sections[index].rows.push(row);
    }
    let (letter, removed) = revision::removed(input.design);
    for removed_row in removed {
        let index = *known.entry(&removed_row.board).or_insert_with(|| {
            sections.push(Section::of(&removed_row.board));
            sections.len() - 1
        });
        sections[index].removed.push([removed_row.tag.clone(), removed_row.description.clone()]);
    }
    Schedule { heads: table::narrow_heads(&columns), sections, letter: revision::letter(letter) }
}

#[cfg(test)]
mod tests;

/// Headings of the columns that were not read, as a sentence ends: one that bears a full stop gets no second.
fn unread_columns(design: &Design) -> String {
    let headings = super::unread::headings(design).join(", ");
    if headings.is_empty() || headings.ends_with('.') { headings } else { format!("{headings}.") }
}
