//! Ways of laying conductors as the words of schedules name them; which ones a book knows is its table.

use serde::Deserialize;

/// A way of laying that words of schedules name.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WayInWords {
    /// The matter by whose words it is named.
    pub way: String,
    /// Names of the book that it may be, of which the tightest counts; none where it must be asked.
    pub methods: String,
    /// Ways whose words are part of its own.
    pub instead_of: String,
    /// What it is.
    pub means: String,
    /// Where the book has it.
    pub item: String,
}
