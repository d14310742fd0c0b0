//! Revisions: the history of a design, and the mark on each circuit that a revision brought or changed.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::basis::ProjectBasis;

/// A revision of the design.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Revision {
    /// Letter or number; empty where the basis names none.
    pub revision: String,
    /// Date of issue; empty where the basis names none.
    pub issue_date: String,
    /// Who prepared it.
    pub prepared_by: String,
    /// Who checked it.
    pub checked_by: String,
    /// Who approved it.
    pub approved_by: String,
    /// Against the revision before; null for the first, and where no earlier design was named.
    pub changes: Option<RevisionChanges>,
}

/// What a revision changed, counted.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RevisionChanges {
    /// Rows that are new.
    pub rows_added: usize,
    /// Rows that are gone.
    pub rows_removed: usize,
    /// Rows that state something else, or bear another tag.
    pub rows_changed: usize,
    /// Of these, rows that bear another tag and are else the same.
    #[serde(default)]
    pub rows_changed_in_tag_alone: usize,
    /// Rows of both sides whose devices, conductors or settings are others, whatever the cause.
    pub devices_changed: usize,
    /// Of these, rows in which nothing but rule book, basis, catalogue or program is the cause.
    pub devices_changed_by_surroundings: usize,
    /// What differs around the schedule: `rule book`, `basis`, `catalogue`, `program`.
    pub surroundings: Vec<String>,
    /// Rows that are gone, by tag.
    pub removed: Vec<RemovedRow>,
    /// Boards that are new.
    #[serde(default)]
    pub boards_added: usize,
    /// Boards of both sides that bear a mark.
    #[serde(default)]
    pub boards_changed: usize,
    /// Boards that are gone, by name.
    #[serde(default)]
    pub boards_removed: Vec<String>,
}

/// A row that is gone.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RemovedRow {
    /// Tag.
    pub tag: String,
    /// What it was.
    pub description: String,
    /// Board that fed it.
    pub board: String,
}

/// What a revision did to a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RevisionKind {
    /// The row is new.
    Added,
    /// The row states something else.
    #[default]
    Changed,
    /// The row states the same; its circuit is another.
    Follows,
}

/// The mark of the present revision on a circuit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RevisionMark {
    /// Letter or number of the revision; empty where the basis names none.
    pub revision: String,
    /// What it did to the row.
    pub kind: RevisionKind,
    /// Tags that the row bore before, where it bears another one, was split or merged.
    pub tags_before: Vec<String>,
    /// Columns that state something else.
    pub fields: Vec<String>,
    /// What differs in the circuit, by paths as in changes.json.
    pub selection: Vec<String>,
}

/// The mark of the present revision on a board.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BoardMark {
    /// Letter or number of the revision; empty where the basis names none.
    pub revision: String,
    /// What it did: `added`; `changed` where the basis states something else of the board; `follows` where only its devices differ.
    pub kind: RevisionKind,
    /// Name that it bore before; empty where it is the same.
    pub name_before: String,
    /// What is bought or set for it, or fails, and is another, as in changes.json.
    pub selection: Vec<String>,
}

impl Revision {
    /// The revision that the project block names.
    #[must_use]
    pub fn of(project: &ProjectBasis) -> Self {
        let words = |stated: &Option<String>| stated.as_deref().unwrap_or_default().trim().to_owned();
        Self {
            revision: words(&project.revision),
            issue_date: words(&project.issue_date),
            prepared_by: words(&project.prepared_by),
            checked_by: words(&project.checked_by),
            approved_by: words(&project.approved_by),
            changes: None,
        }
    }
}
