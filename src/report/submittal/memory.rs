//! Figures from memory: each table once, with what leans on it; the sheet of a circuit bears a short mark.

use std::collections::BTreeMap;

use serde::Serialize;

use super::state::Link;
use crate::design::{Design, SourceDocument};
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

/// Tables that findings name, by their index. Most circuits lean on the same ones, so each wording is searched once.
struct Named<'a> {
    sources: &'a [SourceDocument],
    known: BTreeMap<&'a str, Vec<usize>>,
}

impl<'a> Named<'a> {
    fn by(&mut self, finding: &'a Finding) -> &[usize] {
        let sources = self.sources;
        let what = finding.what.as_str();
        self.known.entry(what).or_insert_with(|| {
            let names = |document: &SourceDocument| !document.table.is_empty() && what.contains(document.table.as_str());
            (0..).zip(sources).filter(|(_, document)| names(document)).map(|(index, _)| index).collect()
        })
    }
}

/// Findings that are told where they stand.
pub(super) fn others(findings: &[Finding]) -> Vec<Finding> {
    findings.iter().filter(|finding| !is_about_memory(finding)).cloned().collect()
}

/// The tables on which a circuit or board leans, for its short mark; empty if there is none.
pub(super) fn behind(findings: &[Finding]) -> String {
    let told = findings.iter().filter(is_about_memory);
    told.map(|finding| finding.what.split_once(": ").map_or(finding.what.as_str(), |(_, tables)| tables))
        .collect::<Vec<_>>()
        .join("; ")
}

/// Every table from memory on which the design leans.
pub(super) fn of_design(design: &Design, links: &[Link], sources: &[SourceDocument]) -> Vec<Leaning> {
    let mut named = Named { sources, known: BTreeMap::new() };
    let mut all: Vec<Leaning> = sources
        .iter()
        .map(|document| Leaning { table: document.table.clone(), wide: Vec::new(), tags: Vec::new(), more: 0 })
        .collect();
    let of_boards = design.boards.iter().flat_map(|board| &board.findings);
    for finding in design.findings.iter().chain(of_boards).filter(is_about_memory) {
        let Some((subject, _)) = finding.what.split_once(" lean") else { continue };
        for index in named.by(finding) {
            let wide = &mut all[*index].wide;
            if !wide.iter().any(|known| known == subject) {
                wide.push(subject.to_owned());
            }
        }
    }
    for (circuit, link) in design.circuits.iter().zip(links) {
        let mut leanings: Vec<usize> =
            circuit.findings.iter().filter(is_about_memory).flat_map(|finding| named.by(finding).to_vec()).collect();
        leanings.sort_unstable();
        leanings.dedup();
        for leaning in leanings {
            let Leaning { tags, more, .. } = &mut all[leaning];
            if tags.len() < TAGS_IN_A_LINE {
                tags.push(link.clone());
            } else {
                *more += 1;
            }
        }
    }
    all.retain(|leaning| !leaning.wide.is_empty() || !leaning.tags.is_empty());
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::Circuit;

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
            .map(|leaning| (leaning.table, leaning.wide, leaning.tags.into_iter().map(|link| link.tag).collect()))
            .collect();
        let strings = |names: &[&str]| names.iter().map(|text| (*text).to_owned()).collect::<Vec<_>>();
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
