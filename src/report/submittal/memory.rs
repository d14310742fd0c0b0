//! Figures from memory: each table once, with what leans on it; the sheet of a circuit bears a short mark.

use serde::Serialize;

use super::state::Link;
use crate::design::{Circuit, Design, SourceDocument};
use crate::finding::{Finding, codes};

/// Tags that a line names before it says how many more there are.
const TAGS_IN_A_LINE: usize = 24;

/// A table from memory with what leans on it.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Leaning {
    table: String,
    /// More than circuits, in words: every circuit, the fault currents of the boards.
    wide: Vec<String>,
    tags: Vec<Link>,
    more: usize,
}

fn is_about_memory(finding: &&Finding) -> bool {
    finding.code == codes::R105_FROM_MEMORY.code
}

/// Tables that a finding names.
fn tables<'a>(finding: &Finding, sources: &'a [SourceDocument]) -> impl Iterator<Item = &'a str> {
    let what = finding.what.clone();
    sources.iter().map(|own| own.table.as_str()).filter(move |table| !table.is_empty() && what.contains(*table))
}

/// Findings that are told where they stand.
pub(super) fn others(findings: &[Finding]) -> Vec<Finding> {
    findings.iter().filter(|own| !is_about_memory(own)).cloned().collect()
}

/// The tables on which a circuit or board leans, for its short mark; empty if there is none.
pub(super) fn behind(findings: &[Finding]) -> String {
    let told = findings.iter().filter(is_about_memory);
    told.map(|own| own.what.split_once(": ").map_or(own.what.as_str(), |(_, tables)| tables)).collect::<Vec<_>>().join("; ")
}

/// Every table from memory on which the design leans.
pub(super) fn of_design(design: &Design, links: &[Link], sources: &[SourceDocument]) -> Vec<Leaning> {
    let mut found: Vec<Leaning> = Vec::new();
    for table in sources.iter().map(|own| own.table.as_str()) {
        let names = |finding: &&Finding| is_about_memory(finding) && tables(finding, sources).any(|own| own == table);
        let of_boards = design.boards.iter().flat_map(|board| &board.findings);
        let wide = design.findings.iter().chain(of_boards).filter(names);
        let mut subjects: Vec<String> = Vec::new();
        for subject in wide.filter_map(|own| own.what.split_once(" lean")).map(|(subject, _)| subject.to_owned()) {
            if !subjects.contains(&subject) {
                subjects.push(subject);
            }
        }
        let leans = |own: &(&Circuit, &Link)| own.0.findings.iter().any(|finding| names(&finding));
        let mut tags: Vec<Link> = design.circuits.iter().zip(links).filter(leans).map(|(_, link)| link.clone()).collect();
        let more = tags.len().saturating_sub(TAGS_IN_A_LINE);
        tags.truncate(TAGS_IN_A_LINE);
        if !subjects.is_empty() || !tags.is_empty() {
            found.push(Leaning { table: table.to_owned(), wide: subjects, tags, more });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(what: &str) -> Finding {
        Finding::new(&codes::R105_FROM_MEMORY, what)
    }

    #[test]
    fn each_table_stands_once_with_what_leans_on_it() {
        let circuit = |tag: &str, tables: &str| Circuit {
            tag: tag.to_owned(),
            findings: vec![note(&format!("this circuit leans on figures from memory: {tables}"))],
            ..Circuit::default()
        };
        let design = Design {
            circuits: vec![circuit("P-1", "Table A"), circuit("P-2", "Table A; Table B"), Circuit::default()],
            findings: vec![note("every circuit leans on figures from memory: Table C")],
            ..Design::default()
        };
        let link = |tag: &str| Link { tag: tag.to_owned(), anchor: tag.to_owned(), sheet: true };
        let document = |table: &str| SourceDocument { table: table.to_owned(), source: String::new(), status: String::new() };
        let sources: Vec<SourceDocument> = ["Table A", "Table B", "Table C", "Table D"].map(document).to_vec();
        let told: Vec<(String, Vec<String>, Vec<String>)> = of_design(&design, &["P-1", "P-2", "P-3"].map(link), &sources)
            .into_iter()
            .map(|own| (own.table, own.wide, own.tags.into_iter().map(|link| link.tag).collect()))
            .collect();
        let strings = |own: &[&str]| own.iter().map(|text| (*text).to_owned()).collect::<Vec<_>>();
        assert_eq!(
            told,
            [
                ("Table A".to_owned(), vec![], strings(&["P-1", "P-2"])),
                ("Table B".to_owned(), vec![], strings(&["P-2"])),
                ("Table C".to_owned(), strings(&["every circuit"]), vec![]),
            ]
        );
        assert_eq!(behind(&design.circuits[1].findings), "Table A; Table B");
        assert_eq!(behind(&design.circuits[2].findings), "");
        assert!(others(&design.circuits[1].findings).is_empty());
    }
}
