//! State of a circuit as mark and words, and links to where it is shown. The worst mark wins and the count follows.

use serde::Serialize;

use super::text::{count, fixed};
use crate::design::{Board, Circuit, Given, Status, Verdict};
use crate::finding::{Finding, Severity};
use crate::report::changes::revision;
use crate::rules::units::Units;

/// A mark with its word; the mark never stands alone.
#[derive(Clone, Debug, Serialize)]
pub(super) struct State {
    /// Name of the mark: `error`, `warning`, `note`, `passed`, `failed` or `unchecked`.
    pub(super) mark: &'static str,
    /// Word, with the count of what it rests on.
    pub(super) words: String,
}

/// A tag with the place where its circuit is shown.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct Link {
    /// Tag.
    pub(in crate::report) tag: String,
    /// Name of the place in the page: its data sheet, or its row of the schedule where no sheet is printed.
    pub(in crate::report) anchor: String,
    /// A data sheet is printed.
    pub(in crate::report) sheet: bool,
}

/// The mark of the present revision on a circuit or a board: the letter in its triangle, and words.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Mark {
    letter: String,
    words: String,
}

impl Mark {
    /// None where the revision changed nothing in the circuit.
    pub(super) fn of(circuit: &Circuit, units: Units) -> Option<Self> {
        let mark = circuit.revision_mark.as_ref()?;
        Some(Self { letter: revision::letter(&mark.revision), words: revision::sentence(mark, units) })
    }

    /// None where the revision changed nothing that is bought, built or set for a board.
    pub(super) fn of_board(board: &Board) -> Option<Self> {
        let mark = board.revision_mark.as_ref()?;
        Some(Self { letter: revision::letter(&mark.revision), words: revision::board_sentence(mark) })
    }
}

/// State of a circuit.
pub(super) fn state(circuit: &Circuit) -> State {
    let of = |severity| circuit.findings.iter().filter(|finding| finding.severity == severity).count();
    let (errors, warnings) = (of(Severity::Error), of(Severity::Warning));
    let failed = circuit.checks.iter().filter(|check| check.passed == Some(false)).count();
    let open = circuit.checks.iter().filter(|check| check.passed.is_none()).count();
    let mut words = circuit.status.words().to_owned();
    for (number, one, many) in [
        (errors, "error", "errors"),
        (failed, "failed check", "failed checks"),
        (warnings, "warning", "warnings"),
        (if circuit.status == Status::NotSized { 0 } else { open }, "not checked", "not checked"),
    ] {
        if number > 0 {
            words = format!("{words}, {}", count(number, one, many));
        }
    }
    let mark = match circuit.status {
        Status::NotSized => "error",
        _ if errors > 0 => "error",
        Status::NeedsDecision => "warning",
        Status::Sized if warnings + failed > 0 => "warning",
        Status::Sized => "passed",
    };
    State { mark, words }
}

/// The same for the narrow column of the schedule: the number of all that it rests on behind the state, as a sentence there says.
pub(super) fn counted(circuit: &Circuit) -> State {
    let findings = circuit.findings.iter().filter(|finding| finding.severity != Severity::Note).count();
    let checks = circuit.checks.iter().filter(|check| check.passed != Some(true)).count();
    let points = if circuit.status == Status::NotSized { 0 } else { findings + checks };
    let words = circuit.status.words();
    let words = if points > 0 { fixed(&format!("{words} ({points})")) } else { fixed(words) };
    State { words, ..state(circuit) }
}

/// Somebody must look at this circuit: a warning or a check that is open or failed keeps it from being sized.
pub(super) fn flagged(circuit: &Circuit) -> bool {
    circuit.status != Status::Sized
}

/// Mark of a finding.
pub(super) fn mark(finding: &Finding) -> &'static str {
    finding.severity.word()
}

/// Mark and word of a check's result.
pub(super) fn result(passed: Option<bool>) -> State {
    let (mark, words) = match passed {
        Some(true) => ("passed", "passed"),
        Some(false) => ("failed", "failed"),
        None => ("unchecked", "not checked"),
    };
    State { mark, words: words.to_owned() }
}

/// Mark and word of a verdict on a choice of others.
pub(super) fn verdict(given: &Given) -> State {
    let mark = match given.verdict {
        Verdict::Adequate => "passed",
        Verdict::Oversized if given.less_protection => "warning",
        Verdict::Oversized => "note",
        Verdict::Inadequate => "failed",
        Verdict::NotChecked => "unchecked",
    };
    State { mark, words: given.verdict.words().to_owned() }
}

/// Why a circuit is not sized, in one sentence: its worst finding.
pub(super) fn reason(circuit: &Circuit) -> String {
    let worst = circuit.findings.iter().min_by_key(|finding| finding.severity);
    worst.map_or_else(|| "No reason is recorded.".to_owned(), |finding| super::text::sentence(&finding.what))
}
