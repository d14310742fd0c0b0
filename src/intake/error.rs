//! Why a schedule could not be read at all: the world failed, as opposed to a wrong cell.

/// The kind of a failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum IntakeErrorKind {
    /// There is no such file.
    Missing,
    /// It is a folder or a device.
    NotAFile,
    /// The system refuses to hand it over.
    Unreadable,
    /// It holds nothing.
    Empty,
    /// It is of no kind that is read, or its name ends in nothing that is read.
    Ending,
    /// Its text can't be decoded.
    Encoding,
    /// Nothing tells what parts its cells.
    Separator,
    /// It is protected by a password.
    Protected,
    /// It is a damaged workbook.
    Damaged,
    /// It is larger than what is read.
    TooLarge,
    /// It has no heading row.
    NoHeader,
    /// A column is mapped to an unknown field, or a heading that is mapped is not there.
    Override,
    /// A sheet that is asked for is not there.
    NoSheet,
}

/// Why a schedule could not be read; the message says what and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IntakeError {
    /// The kind of the failure.
    pub kind: IntakeErrorKind,
    /// The failure in words, and its cure.
    pub message: String,
}

impl IntakeError {
    pub(super) fn new(kind: IntakeErrorKind, message: impl Into<String>) -> Self {
        Self { kind, message: message.into() }
    }
}

impl std::fmt::Display for IntakeError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for IntakeError {}
