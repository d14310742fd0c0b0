//! Applies the decisions of a person: a warning that the basis names, word by word, with who decided it and why, no longer keeps
//! its circuit waiting. It stays where it was, as a note that bears the decision.
//!
//! A decision holds for one text only. Where the finding reads otherwise, because the row, the basis or the rules have changed, it is not
//! applied and told: nobody has decided that. Errors and checks that failed or could not be made are no matter of a decision here.

use crate::basis::{Basis, DecidedBasis};
use crate::design::{Board, Circuit};
use crate::finding::{Finding, Place, Severity, codes, named, sort};
use crate::sizing::settle_status;

/// Applies the decisions of a basis to circuits and boards; what can't be applied is told.
pub(super) fn apply(basis: &Basis, basis_file: Option<&str>, circuits: &mut [Circuit], boards: &mut [Board]) -> Vec<Finding> {
    let numbered = basis.decided.iter().zip(1_usize..);
    let refused = |(decided, number): (&DecidedBasis, usize)| {
        let (tags, why) = one(decided, circuits, boards).err()?;
        Some(refused(number, basis_file, decided, &tags, &why))
    };
    numbered.filter_map(refused).collect()
}

fn said(text: &Option<String>) -> Option<&str> {
    text.as_deref().map(str::trim).filter(|text| !text.is_empty())
}

/// A decision with all that it must say.
struct Decision<'a> {
    tags: Vec<&'a str>,
    code: &'a str,
    what: &'a str,
    words: String,
}

/// The circuits and boards that a decision names.
fn tags(decided: &DecidedBasis) -> impl Iterator<Item = &str> {
    let several = decided.tags.iter().flat_map(|tags| tags.split(';')).map(str::trim).filter(|tag| !tag.is_empty());
    said(&decided.tag).into_iter().chain(several)
}

/// The error names in words what is missing.
fn read(decided: &DecidedBasis) -> Result<Decision<'_>, String> {
    let tags: Vec<&str> = tags(decided).collect();
    let needed = [("code", &decided.code), ("what", &decided.what), ("by", &decided.by), ("why", &decided.why)];
    let missing = needed.into_iter().filter(|(_, text)| said(text).is_none()).map(|(key, _)| key);
    let missing: Vec<&str> = tags.is_empty().then_some("tag").into_iter().chain(missing).collect();
    let (false, Some(code), Some(what), Some(by), Some(why)) =
        (tags.is_empty(), said(&decided.code), said(&decided.what), said(&decided.by), said(&decided.why))
    else {
        return Err(format!("it does not say {}", missing.join(", ")));
    };
    let on = said(&decided.date).map(|date| format!(", {date}")).unwrap_or_default();
    Ok(Decision { tags, code, what, words: format!("decided by {by}{on}: {why}") })
}

/// The error names the tags to which it does not apply, where it has several.
fn one<'d>(decided: &'d DecidedBasis, circuits: &mut [Circuit], boards: &mut [Board]) -> Result<(), (Vec<&'d str>, String)> {
    let decision = read(decided).map_err(|why| (tags(decided).collect(), why))?;
    let several = decision.tags.len() > 1;
    let refused = |tag: &str, why: String| if several { format!("{tag}: {why}") } else { why };
    let of_tag = |tag: &&'d str| Some((*tag, refused(tag, of_tag(tag, &decision, circuits, boards).err()?)));
    let (tags, why): (Vec<&str>, Vec<String>) = decision.tags.iter().filter_map(of_tag).unzip();
    if tags.is_empty() { Ok(()) } else { Err((tags, first_of(&why))) }
}

/// The first few reasons, and how many more there are.
fn first_of(why: &[String]) -> String {
    const SHOWN: usize = 3;
    let more = why.len().saturating_sub(SHOWN);
    let more = (more > 0).then(|| format!("and {more} more"));
    why.iter().take(SHOWN).cloned().chain(more).collect::<Vec<_>>().join("; ")
}

/// Applies a decision to the circuit or board of one tag.
fn of_tag(tag: &str, decision: &Decision<'_>, circuits: &mut [Circuit], boards: &mut [Board]) -> Result<(), String> {
    // Several rows may bear one tag, and a board that of a circuit: the words tell which of them is meant.
    let mut refused: Option<Refused> = None;
    for circuit in circuits.iter_mut().filter(|circuit| circuit.tag == tag) {
        match decide(&mut circuit.findings, decision) {
            Ok(()) => {
                settle_status(circuit);
                return Ok(());
            }
            Err(why) => refused = refused.max(Some(why)),
        }
    }
    for board in boards.iter_mut().filter(|board| board.name == tag) {
        match decide(&mut board.findings, decision) {
            Ok(()) => return Ok(()),
            Err(why) => refused = refused.max(Some(why)),
        }
    }
    Err(refused.map_or_else(|| "no circuit and no board bears this tag".to_owned(), Refused::words))
}

/// Why a decision does not fit the findings of a circuit or board; what comes nearer to it stands further down.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Refused {
    NoSuchFinding,
    ReadsNow(String),
    Note,
    Error,
}

impl Refused {
    fn words(self) -> String {
        match self {
            Self::NoSuchFinding => "there is no such finding any more".to_owned(),
            Self::ReadsNow(what) => format!("the finding reads now: {what}"),
            Self::Note => "the finding is a note, and only warnings are decided".to_owned(),
            Self::Error => "the finding is an error, and only warnings are decided".to_owned(),
        }
    }
}

/// The warning becomes a note that bears the decision.
fn decide(findings: &mut [Finding], decision: &Decision<'_>) -> Result<(), Refused> {
    let reads_so = |finding: &Finding| finding.code == decision.code && finding.what.trim() == decision.what;
    // The same words may stand twice: what is decided already is not meant again.
    let waits = |finding: &Finding| finding.severity == Severity::Warning && reads_so(finding);
    if let Some(finding) = findings.iter_mut().find(|finding| waits(finding)) {
        finding.severity = Severity::Note;
        finding.cure.clone_from(&decision.words);
        sort(findings);
        return Ok(());
    }
    let why = |finding: &Finding| match finding.severity {
        _ if !reads_so(finding) => Refused::ReadsNow(finding.what.clone()),
        Severity::Error => Refused::Error,
        Severity::Warning | Severity::Note => Refused::Note,
    };
    let alike = findings.iter().filter(|finding| finding.code == decision.code);
    Err(alike.map(why).max().unwrap_or(Refused::NoSuchFinding))
}

fn refused(number: usize, basis_file: Option<&str>, decided: &DecidedBasis, tags: &[&str], why: &str) -> Finding {
    let code: Vec<&str> = said(&decided.code).into_iter().collect();
    let of_tags = Some(named(tags)).filter(|_| !tags.is_empty());
    let named: Vec<&str> = code.into_iter().chain(of_tags.as_deref()).collect();
    let of = if named.is_empty() { String::new() } else { format!(" ({})", named.join(", ")) };
    let heading = Some(format!("decided {number}"));
    Finding::new(&codes::F111_NOT_DECIDED, format!("decision {number}{of} is not applied: {why}"))
        .at(Place { heading, ..Place::file(basis_file.unwrap_or("basis")) })
        .why("a decision holds for the words that were decided on")
        .cure("decide anew, with the words of the finding as it stands now, or take the decision out")
}
