//! `explain`: one circuit or one board with every step of its working.

use super::{InputArguments, Outcome, print};
use crate::design::{Board, Design};
use crate::finding::{Severity, named};
use crate::load::Load;
use crate::project::{self, ProjectError, ProjectErrorKind};
use crate::rules::units::Units;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright explain example-schedules/water-works.csv SWP-113 --basis example-schedules/water-works.toml\n  motorwright explain example-schedules/pumping-station.csv --board MCC-P --basis example-schedules/pumping-station.toml"
)]
pub(super) struct Arguments {
    #[command(flatten)]
    input: InputArguments,
    /// Tag of the circuit, or of one of its machines; a name that is no tag may be that of a board.
    #[arg(required_unless_present = "board", allow_hyphen_values = true)]
    tag: Option<String>,
    /// Name of a board.
    #[arg(long, value_name = "NAME", conflicts_with = "tag", allow_hyphen_values = true)]
    board: Option<String>,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let Self { input, tag, board } = self;
        let inputs = project::open(&input.options())?;
        if let Some(name) = board {
            let design = inputs.design();
            return match design.boards.iter().find(|board| board.name == name.trim()) {
                Some(board) => Ok(tell_board(board, &design)),
                None => Err(unknown("board", name.trim(), design.boards.iter().map(|board| board.name.as_str()))),
            };
        }
        let wanted = tag.unwrap_or_default();
        let wanted = wanted.trim();
        let bears = |load: &Load| load.tag() == wanted || load.tags().iter().any(|tag| tag == wanted);
        let loads = inputs.intake().loads.iter().enumerate();
        let rows: Vec<usize> = loads.filter(|(_, load)| bears(load)).map(|(index, _)| index).collect();
        let design = inputs.design();
        let Some(&index) = rows.first() else {
            if let Some(board) = design.boards.iter().find(|board| board.name == wanted) {
                return Ok(tell_board(board, &design));
            }
            let tags: Vec<String> = inputs.intake().loads.iter().map(|load| load.tag().to_owned()).collect();
            return Err(unknown("circuit", wanted, tags.iter().map(String::as_str)));
        };
        let circuit = &design.circuits[index];
        let units = Units::of(&design.rule_book);
        let mut text = several(wanted, rows.iter().filter_map(|row| inputs.intake().loads.get(*row)));
        text.push_str(&crate::report::text::circuit(circuit, units));
        text.push_str(&crate::report::text::working(&inputs.working(index), units));
        finish(text, &design);
        Ok(circuit.status == crate::design::Status::NotSized)
    }
}

/// Says of a tag that several rows bear how many they are, and where; nothing of one that is borne once.
fn several<'l>(tag: &str, rows: impl Iterator<Item = &'l Load>) -> String {
    let place = |load: &Load| {
        let place = load.place();
        let sheet = place.sheet.map(|sheet| format!("{sheet}!")).unwrap_or_default();
        format!("{sheet}row {}", place.row.unwrap_or_default())
    };
    let places: Vec<String> = rows.map(place).collect();
    if places.len() < 2 {
        return String::new();
    }
    format!("{} rows bear the tag {tag}: {}. This is the first of them.\n\n", places.len(), named(&places))
}

fn unknown<'a>(what: &str, wanted: &str, names: impl Iterator<Item = &'a str>) -> ProjectError {
    let near: Vec<&str> = names.filter(|name| name.to_lowercase().contains(&wanted.to_lowercase())).take(5).collect();
    let hint = if near.is_empty() { String::new() } else { format!("; near: {}", near.join(", ")) };
    let of = if what == "board" { "schedule and basis" } else { "schedule" };
    ProjectError::new(ProjectErrorKind::UnknownName, format!("there is no {what} \"{wanted}\" in the {of}{hint}"))
}

/// Prints a board; an error among its findings needs attention.
fn tell_board(board: &Board, design: &Design) -> bool {
    let units = Units::of(&design.rule_book);
    let mut text = crate::report::text::board::board(board, units);
    text.push_str(&crate::report::text::board::working(board, units));
    finish(text, design);
    board.findings.iter().any(|finding| finding.severity == Severity::Error)
}

fn finish(mut text: String, design: &Design) {
    if design.catalogue.demonstration {
        text.push_str(&format!("\nCatalogue: {}\n", crate::report::DEMONSTRATION));
    }
    text.push_str(&format!("{}\n", crate::report::CAUTION_LINE));
    print(&text);
}
