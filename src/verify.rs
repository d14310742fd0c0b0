//! Tries a finished design again, from the catalogue, the rule book and the basis alone.
//!
//! Nothing here chooses. What a circuit says of itself is read anew (`facts`), each block is held against the part that it names
//! and against what the starting method asks for (`methods`, written down from the electrical facts a second time), and the list
//! of parts is counted against the blocks. Boards are added up again from their circuits and held against what feeds them (`boards`).
//! None of it may use the code that sizes (`tests/house.rs` holds the room to that), so a fault there is seen here. A disagreement is
//! an error: the circuit is then not called sized.

use crate::basis::Basis;
use crate::catalogue::Catalogue;
use crate::design::{Circuit, Design, Status};
use crate::finding::{Code, Finding, Place, Severity, codes};
use crate::rules::{self, RuleBook};

mod accessories;
mod boards;
mod checks;
mod contactors;
mod control;
mod devices;
mod facts;
mod given;
mod isolator;
mod materials;
mod methods;
mod neutral;
mod others;
mod overloads;
mod parts;
mod protection;
mod purchase;
mod rating;
mod runs;
mod shelf;

use facts::Facts;
use others::Others;
pub use others::electronic_boards;
use shelf::Shelf;

/// Catalogue, rules and basis against which finished circuits are held.
pub struct Verifier<'a> {
    basis: &'a Basis,
    book: &'static dyn RuleBook,
    shelf: Shelf<'a>,
    others: Others<'a>,
}

/// The disagreements in one circuit.
struct Disagreements {
    place: Place,
    tag: String,
    found: Vec<Finding>,
}

/// The cure of any disagreement.
const CURE: &str =
    "do not order from this circuit; it is a fault of the program or of an edited design: report it with the schedule";

impl Disagreements {
    fn of(circuit: &Circuit) -> Self {
        Self { place: Place::from(&circuit.place), tag: circuit.tag.clone(), found: Vec::new() }
    }

    fn say(&mut self, code: &Code, what: impl AsRef<str>) {
        let what = format!("{}: {}", self.tag, what.as_ref());
        self.found.push(Finding::new(code, what).at(self.place.clone()).cure(CURE));
    }

    /// Says it where something is not so.
    fn unless(&mut self, so: bool, code: &Code, what: impl FnOnce() -> String) {
        if !so {
            self.say(code, what());
        }
    }
}

impl<'a> Verifier<'a> {
    /// A verifier for the circuits of a design.
    #[must_use]
    pub fn new(basis: &'a Basis, book: &'static dyn RuleBook, catalogue: &'a Catalogue, circuits: &'a [Circuit]) -> Self {
        Self { basis, book, shelf: Shelf::new(catalogue), others: Others::of(circuits) }
    }

    /// The disagreements in a circuit; none if all of it agrees.
    #[must_use]
    pub fn circuit(&self, circuit: &Circuit) -> Vec<Finding> {
        let mut found = Disagreements::of(circuit);
        checks::consistent(circuit, self.book, &mut found);
        // A row whose current is unknown has no devices to be tried.
        let Some(facts) = Facts::of(circuit, self.basis, self.book, &self.shelf, &self.others) else {
            found.unless(circuit.parts.is_empty(), &codes::V104_PART_NEEDLESS, || {
                "parts are listed of a circuit that was not sized".to_owned()
            });
            return found.found;
        };
        facts::agree(&facts, &mut found);
        contactors::agree(&facts, &mut found);
        control::agree(&facts, &mut found);
        overloads::agree(&facts, &mut found);
        protection::agree(&facts, &mut found);
        rating::agree(&facts, &mut found);
        devices::agree(&facts, &mut found);
        isolator::agree(&facts, &mut found);
        accessories::agree(&facts, &mut found);
        runs::agree(&facts, &mut found);
        materials::agree(&facts, &mut found);
        checks::made(&facts, &mut found);
        given::agree(circuit, &mut found);
        parts::agree(&facts, &mut found);
        found.found
    }

    /// The disagreements in a whole design, with the index of the circuit where it is one's.
    #[must_use]
    pub fn design(&self, design: &Design) -> Vec<(Option<usize>, Finding)> {
        let circuits = design.circuits.iter().enumerate();
        let of_circuits =
            circuits.flat_map(|(index, circuit)| self.circuit(circuit).into_iter().map(move |finding| (Some(index), finding)));
        of_circuits.chain(whole(design, &self.shelf, &self.others).into_iter().map(|finding| (None, finding))).collect()
    }
}

/// The disagreements above the circuits: their statuses, the boards, the purchase list.
#[must_use]
pub fn above_circuits(design: &Design, catalogue: &Catalogue) -> Vec<Finding> {
    whole(design, &Shelf::new(catalogue), &Others::of(&design.circuits))
}

fn whole(design: &Design, shelf: &Shelf<'_>, others: &Others<'_>) -> Vec<Finding> {
    let mut found = Disagreements { place: Place::default(), tag: "boards".to_owned(), found: Vec::new() };
    control::boards(design, shelf, &mut found);
    match rules::book(&design.rule_book, design.basis.rules.edition.as_deref()) {
        Ok(book) => boards::agree(design, book, shelf, others, &mut found),
        Err(unknown) => found.say(&codes::V851_BOARD_FEED, unknown.to_string()),
    }
    let of_boards = found.found.into_iter().map(|finding| Finding { place: None, ..finding });
    design.circuits.iter().filter_map(status).chain(of_boards).chain(purchase::agree(design)).collect()
}

/// A status that findings and checks do not bear out. An error means not sized; a warning, or a check that failed or was not made, that
/// somebody must decide.
fn status(circuit: &Circuit) -> Option<Finding> {
    let has = |severity: Severity| circuit.findings.iter().any(|finding| finding.severity == severity);
    let open = circuit.checks.iter().any(|check| check.passed != Some(true));
    let chosen = !circuit.parts.is_empty() || circuit.protection.is_some() || !circuit.runs.is_empty();
    let so = match circuit.status {
        Status::Sized => chosen && !has(Severity::Error) && !has(Severity::Warning) && !open,
        Status::NeedsDecision => chosen && !has(Severity::Error) && (has(Severity::Warning) || open),
        Status::NotSized => !chosen || has(Severity::Error),
    };
    let mut found = Disagreements::of(circuit);
    found.unless(so, &codes::V803_STATUS, || {
        format!("it is called {}, which its findings and checks do not bear out", circuit.status.words())
    });
    found.found.pop()
}

/// A value that a finding tells, which may not be there.
fn shown(value: Option<impl std::fmt::Display>) -> String {
    value.map_or_else(|| "nothing".to_owned(), |value| value.to_string())
}

/// Two figures are the same but for rounding: currents are kept to four decimals.
fn same(one: f64, other: f64) -> bool {
    const ROUNDING: f64 = 1e-4;
    (one - other).abs() <= ROUNDING + 1e-6 * one.abs().max(other.abs())
}

/// The same for figures that may be absent.
fn same_option(one: Option<f64>, other: Option<f64>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => same(one, other),
        (None, None) => true,
        _ => false,
    }
}
