//! What a person has decided: a warning that the basis names, word by word, with who decided it and why, no longer keeps its circuit
//! waiting. It stays where it was, as a note that bears the decision.
//!
//! A decision holds for one text only. Where the finding reads otherwise, because the row, the basis or the rules have changed, it is not
//! applied and told: nobody has decided that. Errors and checks that failed or could not be made are no matter of a decision here.

use crate::basis::{Basis, DecidedBasis};
use crate::design::{Board, Circuit};
use crate::finding::{Finding, Place, Severity, codes, sort};
use crate::sizing::settle_status;

/// Applies the decisions of a basis to circuits and boards; what can't be applied is told.
pub(super) fn apply(basis: &Basis, basis_file: Option<&str>, circuits: &mut [Circuit], boards: &mut [Board]) -> Vec<Finding> {
    let numbered = basis.decided.iter().zip(1_usize..);
    let refused =
        |(own, number): (&DecidedBasis, usize)| Some(refused(number, basis_file, own, &one(own, circuits, boards).err()?));
    numbered.filter_map(refused).collect()
}

fn said(text: &Option<String>) -> Option<&str> {
    text.as_deref().map(str::trim).filter(|text| !text.is_empty())
}

/// A decision with all that it must say.
struct Decision<'a> {
    tag: &'a str,
    code: &'a str,
    what: &'a str,
    words: String,
}

/// The error names in words what is missing.
fn read(own: &DecidedBasis) -> Result<Decision<'_>, String> {
    let needed = [("tag", &own.tag), ("code", &own.code), ("what", &own.what), ("by", &own.by), ("why", &own.why)];
    let missing: Vec<&str> = needed.into_iter().filter(|(_, text)| said(text).is_none()).map(|(key, _)| key).collect();
    let (Some(tag), Some(code), Some(what), Some(by), Some(why)) =
        (said(&own.tag), said(&own.code), said(&own.what), said(&own.by), said(&own.why))
    else {
        return Err(format!("it does not say {}", missing.join(", ")));
    };
    let on = said(&own.date).map(|date| format!(", {date}")).unwrap_or_default();
    Ok(Decision { tag, code, what, words: format!("decided by {by}{on}: {why}") })
}

fn one(own: &DecidedBasis, circuits: &mut [Circuit], boards: &mut [Board]) -> Result<(), String> {
    let decision = read(own)?;
    if let Some(circuit) = circuits.iter_mut().find(|circuit| circuit.tag == decision.tag) {
        decide(&mut circuit.findings, decision)?;
        settle_status(circuit);
        return Ok(());
    }
    match boards.iter_mut().find(|board| board.name == decision.tag) {
        Some(board) => decide(&mut board.findings, decision),
        None => Err("no circuit and no board bears this tag".to_owned()),
    }
}

/// The warning becomes a note that bears the decision.
fn decide(findings: &mut [Finding], decision: Decision<'_>) -> Result<(), String> {
    let mut alike: Vec<&mut Finding> = findings.iter_mut().filter(|finding| finding.code == decision.code).collect();
    let Some(found) = alike.iter().position(|finding| finding.what.trim() == decision.what) else {
        return Err(match alike.first() {
            None => "there is no such finding any more".to_owned(),
            Some(other) => format!("the finding reads now: {}", other.what),
        });
    };
    let finding = &mut *alike[found];
    match finding.severity {
        Severity::Warning => {}
        Severity::Error => return Err("the finding is an error, and only warnings are decided".to_owned()),
        Severity::Note => return Err("the finding is a note, and only warnings are decided".to_owned()),
    }
    finding.severity = Severity::Note;
    finding.cure = decision.words;
    sort(findings);
    Ok(())
}

fn refused(number: usize, basis_file: Option<&str>, own: &DecidedBasis, why: &str) -> Finding {
    let named = [&own.code, &own.tag].into_iter().flatten().map(|text| text.trim()).filter(|text| !text.is_empty());
    let named: Vec<&str> = named.collect();
    let of = if named.is_empty() { String::new() } else { format!(" ({})", named.join(", ")) };
    let heading = Some(format!("decided {number}"));
    Finding::new(&codes::F111_NOT_DECIDED, format!("decision {number}{of} is not applied: {why}"))
        .at(Place { heading, ..Place::file(basis_file.unwrap_or("basis")) })
        .why("a decision holds for the words that were decided on")
        .cure("decide anew, with the words of the finding as it stands now, or take the decision out")
}
