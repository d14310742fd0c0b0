//! Why a command could not run: the world failed, as opposed to wrong input, which is a finding.

use crate::catalogue::CatalogueError;
use crate::finding::Finding;
use crate::intake::{IntakeError, IntakeErrorKind};

/// The part of the job that failed. More kinds may come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ProjectErrorKind {
    /// The schedule can't be read, or holds no load.
    Schedule,
    /// The basis can't be read.
    Basis,
    /// Nobody names a rule book, and none is guessed.
    NoRuleBook,
    /// The rule book that is named is not known, or has no such edition.
    RuleBook,
    /// The catalogue can't be read or used.
    Catalogue,
    /// An earlier design or purchase list can't be read.
    Earlier,
    /// Two designs can't be compared as it is asked.
    Comparison,
    /// There is no circuit, board, table or family of the name that is asked for.
    UnknownName,
    /// An output can't be made or written.
    Output,
}

/// The world failed, or the program refuses to run; nothing is written.
#[derive(Debug)]
#[non_exhaustive]
pub struct ProjectError {
    /// The part of the job that failed.
    pub kind: ProjectErrorKind,
    /// What happened, and what to do.
    pub message: String,
    /// Placed findings, where a file was read far enough to have some.
    pub findings: Vec<Finding>,
    /// Why the schedule could not be read, where that is what failed.
    pub schedule: Option<IntakeErrorKind>,
}

impl ProjectError {
    pub(crate) fn new(kind: ProjectErrorKind, message: impl Into<String>) -> Self {
        Self { kind, message: message.into(), findings: Vec::new(), schedule: None }
    }

    pub(crate) fn output(message: impl Into<String>) -> Self {
        Self::new(ProjectErrorKind::Output, message)
    }
}

impl From<CatalogueError> for ProjectError {
    fn from(error: CatalogueError) -> Self {
        Self { findings: error.findings, ..Self::new(ProjectErrorKind::Catalogue, error.message) }
    }
}

impl From<IntakeError> for ProjectError {
    fn from(error: IntakeError) -> Self {
        Self { schedule: Some(error.kind), ..Self::new(ProjectErrorKind::Schedule, error.message) }
    }
}

impl std::fmt::Display for ProjectError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for ProjectError {}
