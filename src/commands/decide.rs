//! `decide`: the warnings that nobody has decided yet, as TOML for the basis. Who decides fills in by, date and why and takes out the
//! rest; a decision holds for a finding's exact words, which nobody should have to copy from a page.

use std::collections::HashMap;
use std::fmt::Write;

use super::{InputArguments, Outcome, print};
use crate::design::{Check, Design, Status};
use crate::finding::{Finding, Severity, codes};
use crate::project::{self, ProjectError, ProjectErrorKind};

/// Findings of failed checks: what they tell is settled by another device or figure, by no decision.
const OF_CHECKS: [&str; 2] = [codes::C101_CHECK_FAILED.code, codes::B304_FEEDER_CHECK.code];

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright decide example-schedules/water-works.csv --basis example-schedules/water-works.toml\n  motorwright decide loads.csv P-101 MCC-1 --basis works.toml >> works.toml"
)]
pub(super) struct Arguments {
    #[command(flatten)]
    input: InputArguments,
    /// Tags of circuits and names of boards; without any, all that wait. Behind `--` where one begins with a hyphen.
    names: Vec<String>,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let Self { input, names } = self;
        let design = project::open(&input.options())?.design();
        let waiting = waiting(&design);
        let wanted: Vec<&str> = names.iter().map(|name| name.trim()).collect();
        if let Some(unknown) = wanted.iter().find(|name| !waiting.iter().any(|waiting| waiting.name == **name)) {
            let message = format!("there is no circuit and no board \"{unknown}\" in schedule and basis");
            return Err(ProjectError::new(ProjectErrorKind::UnknownName, message));
        }
        let chosen: Vec<Waiting<'_>> =
            waiting.into_iter().filter(|waiting| wanted.is_empty() || wanted.contains(&waiting.name)).collect();
        print(&toml(&chosen));
        Ok(chosen.iter().any(|waiting| waiting.not_sized))
    }
}

/// A circuit or board that waits for decisions, and for which.
struct Waiting<'a> {
    name: &'a str,
    description: &'a str,
    not_sized: bool,
    warnings: Vec<&'a Finding>,
    checks: Vec<&'a Check>,
}

impl<'a> Waiting<'a> {
    fn new(name: &'a str, description: &'a str, findings: &'a [Finding], checks: &'a [Check]) -> Self {
        let undecided = |finding: &&Finding| finding.severity == Severity::Warning && !OF_CHECKS.contains(&finding.code.as_str());
        Self {
            name,
            description,
            not_sized: false,
            warnings: findings.iter().filter(undecided).collect(),
            checks: checks.iter().filter(|check| check.passed != Some(true)).collect(),
        }
    }
}

fn waiting(design: &Design) -> Vec<Waiting<'_>> {
    let circuits = design.circuits.iter().map(|circuit| Waiting {
        not_sized: circuit.status == Status::NotSized,
        ..Waiting::new(&circuit.tag, &circuit.description, &circuit.findings, &circuit.checks)
    });
    let boards = design.boards.iter().map(|board| Waiting::new(&board.name, "", &board.findings, &board.checks));
    circuits.chain(boards).collect()
}

/// The decisions to be made, ready to be filled in.
fn toml(all: &[Waiting<'_>]) -> String {
    if all.iter().all(|waiting| waiting.warnings.is_empty()) {
        return "# No warning of these circuits and boards waits for a decision.\n".to_owned();
    }
    let mut text = "# Warnings that wait for a decision. Fill in by, date and why where one is made, and take out the others:\n\
        # an entry without them decides nothing (F111).\n"
        .to_owned();
    let mut alike = alike(all);
    for waiting in all.iter().filter(|waiting| !waiting.warnings.is_empty()) {
        let mut entries = String::new();
        for finding in &waiting.warnings {
            if has_separator(waiting) {
                entry(&mut entries, &[waiting.name], finding);
            } else if let Some(names) = alike.remove(&reading(finding)) {
                // What several wait for alike is asked once, with the first of them.
                entry(&mut entries, &names, finding);
            }
        }
        let also = remarks(waiting);
        // What it waits for stands above, with its name among those that are alike.
        if !entries.is_empty() || !also.is_empty() {
            let _ = writeln!(text, "\n# {}", one_line(&[waiting.name, waiting.description]));
            text.push_str(&also);
            text.push_str(&entries);
        }
    }
    text
}

/// What a decision does not settle.
fn remarks(waiting: &Waiting<'_>) -> String {
    let mut text = String::new();
    if waiting.not_sized {
        text.push_str("# It is not sized: its errors come first.\n");
    }
    if !waiting.checks.is_empty() {
        let _ = writeln!(text, "# It also waits for checks, which no decision settles: {}.", names_of(&waiting.checks));
    }
    text
}

/// What a finding says, by which findings of several circuits are one question.
fn reading(finding: &Finding) -> [&str; 4] {
    [&finding.code, &finding.what, &finding.why, &finding.cure]
}

/// A name with the mark that parts tags can stand in no list of them.
fn has_separator(waiting: &Waiting<'_>) -> bool {
    waiting.name.contains(';')
}

/// Circuits and boards by the findings that read alike, each once.
fn alike<'a>(all: &[Waiting<'a>]) -> HashMap<[&'a str; 4], Vec<&'a str>> {
    let mut names: HashMap<[&str; 4], Vec<&str>> = HashMap::new();
    for waiting in all.iter().filter(|waiting| !has_separator(waiting)) {
        for finding in &waiting.warnings {
            let of_finding = names.entry(reading(finding)).or_default();
            if of_finding.last() != Some(&waiting.name) {
                of_finding.push(waiting.name);
            }
        }
    }
    names
}

fn entry(text: &mut String, names: &[&str], finding: &Finding) {
    let quoted = |text: &str| toml::Value::String(text.to_owned()).to_string();
    text.push_str("[[decided]]\n");
    for (word, said) in [("why it stands", &finding.why), ("cure", &finding.cure), ("after", &finding.reference)] {
        if !said.trim().is_empty() {
            let _ = writeln!(text, "# {word}: {}", one_line(&[said]));
        }
    }
    match names {
        [name] => {
            let _ = writeln!(text, "tag = {}", quoted(name));
        }
        several => {
            let _ = writeln!(text, "tags = {}", quoted(&several.join("; ")));
        }
    }
    for (key, value) in [("code", finding.code.as_str()), ("what", finding.what.as_str()), ("by", ""), ("date", ""), ("why", "")]
    {
        let _ = writeln!(text, "{key} = {}", quoted(value));
    }
}

/// Texts of the sender in a comment: whatever could end its line or steer a terminal becomes a space.
fn one_line(texts: &[&str]) -> String {
    let clean = |c: char| if c.is_control() || crate::finding::steers(c) { ' ' } else { c };
    let texts: Vec<String> = texts
        .iter()
        .map(|text| text.chars().map(clean).collect::<String>().trim().to_owned())
        .filter(|text| !text.is_empty())
        .collect();
    texts.join(", ")
}

fn names_of(checks: &[&Check]) -> String {
    let mut names: Vec<&str> = checks.iter().map(|check| check.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names.join(", ")
}
