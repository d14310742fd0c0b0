//! The result: one owned type, written as design.json and read back; there is no second model.
//!
//! Units stand in the names, numbers are numbers, what is absent is null. Readers rely on the keys: they may only be added to.
//! The field comments are the descriptions in the JSON Schema.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::basis::{Basis, ProjectBasis};
use crate::finding::Finding;

mod board;
mod check;
mod circuit;
mod control;
mod devices;
mod given;
pub mod labels;
mod part;
mod purchase;
mod revision;
mod run;
mod start;
mod statement;
mod working;

pub use board::{
    Board, BoardFeeder, BoardIncoming, BoardTransformer, DeviceLoss, OF_THE_SUPPLY, PhaseOfRow, Restart, RestartGroup,
    RestartStart, StartDip,
};
pub use check::{Check, Sense, WorkingLine};
pub use circuit::{Circuit, CircuitPlace, Currents, Fault, LoadData, StartVoltage, Status};
pub use control::{Control, ControlDevice, ControlRun, ControlSupply};
pub use devices::{Contactor, Disconnect, Overload, Protection, StarterDevice};
pub use given::{Given, Verdict};
pub use part::{Accessory, AuxiliaryContact, Part};
pub use purchase::{BoardQuantity, BoardSum, CurrencySum, Held, NeededSum, PurchaseLine, PurchaseStatus, PurchaseTotals};
pub use revision::{BoardMark, RemovedRow, Revision, RevisionChanges, RevisionKind, RevisionMark};
pub use run::{CriterionSize, Raceway, Run};
pub use start::StartCourse;
pub use statement::{Assumption, Caution, SourceDocument};
pub use working::Working;

/// Identifies the form of the file.
pub const SCHEMA: &str = "motorwright.design/1";

/// A whole design: the circuits of a schedule, its boards, and what to buy.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Design {
    /// Form of the file.
    pub schema: String,
    /// Version of the program that wrote it.
    pub program_version: String,
    /// Rule book, `iec` or `nec`.
    pub rule_book: String,
    /// Editions of the rule book's main documents.
    pub edition: String,
    /// Files that were read.
    pub inputs: Vec<HashedFile>,
    /// Equipment catalogue.
    pub catalogue: CatalogueStamp,
    /// Basis as it was read.
    pub basis: Basis,
    /// Project block of the basis, repeated for readers that want only it.
    pub project: ProjectBasis,
    /// Revisions, the present one last.
    #[serde(default)]
    pub revisions: Vec<Revision>,
    /// Files written beside this one.
    pub outputs: Vec<HashedFile>,
    /// Circuits in the order of the schedule.
    pub circuits: Vec<Circuit>,
    /// Boards.
    pub boards: Vec<Board>,
    /// What happens when a supply comes back, for each feed of the boards.
    #[serde(default)]
    pub restarts: Vec<Restart>,
    /// What to buy.
    pub purchase: Vec<PurchaseLine>,
    /// Sums over what to buy.
    #[serde(default)]
    pub purchase_totals: PurchaseTotals,
    /// Findings that belong to no circuit or board.
    pub findings: Vec<Finding>,
}

/// How many circuits are in each state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Sized, with every check passed.
    pub sized: usize,
    /// Sized but for a decision that somebody has to take.
    pub needs_decision: usize,
    /// Not sized.
    pub not_sized: usize,
}

impl Design {
    /// How many circuits are in each state.
    #[must_use]
    pub fn counts(&self) -> Counts {
        let count = |status: Status| self.circuits.iter().filter(|circuit| circuit.status == status).count();
        Counts { sized: count(Status::Sized), needs_decision: count(Status::NeedsDecision), not_sized: count(Status::NotSized) }
    }

    /// Circuits of all rows: a row stands as often as its quantity says.
    #[must_use]
    pub fn circuits_of_all_rows(&self) -> u64 {
        self.circuits.iter().map(|circuit| u64::from(circuit.quantity)).sum()
    }

    /// Every finding, worst first, with the tag of its circuit or the name of its board.
    #[must_use]
    pub fn all_findings(&self) -> Vec<(Option<&str>, &Finding)> {
        let of_project = self.findings.iter().map(|finding| (None, finding));
        let of_circuits =
            self.circuits.iter().flat_map(|circuit| circuit.findings.iter().map(|finding| (Some(circuit.tag.as_str()), finding)));
        let of_boards =
            self.boards.iter().flat_map(|board| board.findings.iter().map(|finding| (Some(board.name.as_str()), finding)));
        let mut all: Vec<_> = of_project.chain(of_circuits).chain(of_boards).collect();
        all.sort_by_key(|(_, finding)| finding.severity);
        all
    }
}

/// A file and the hash of its bytes.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HashedFile {
    /// Name without folders.
    pub file: String,
    /// SHA-256 of its bytes, as lower-case hexadecimal digits.
    pub sha256: String,
}

/// Which catalogue was used.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CatalogueStamp {
    /// Its name.
    pub name: String,
    /// SHA-256 over its files.
    pub sha256: String,
    /// It is the built-in invented demonstration range: not for procurement.
    pub demonstration: bool,
}

/// How many there are of what files that were written before do not count.
fn one() -> u32 {
    1
}
