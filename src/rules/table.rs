//! Embedded tables of standards: comment lines with source and status, a header with units, typed rows.

use serde::Deserialize;
use serde::de::DeserializeOwned;

/// One named figure of a table of figures.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    /// Name.
    pub name: String,
    /// Value.
    pub value: f64,
    /// Meaning and origin.
    pub remark: String,
}

/// A table as text with what its comment lines say.
#[derive(Debug)]
pub struct Document {
    /// File name without ending.
    pub name: &'static str,
    /// Book and file, as printed by `tables`.
    pub text: &'static str,
}

impl Document {
    /// The first comment line: what the table holds.
    #[must_use]
    pub fn title(&self) -> &'static str {
        self.text.lines().next().and_then(|line| line.strip_prefix('#')).map_or("", str::trim)
    }

    /// The text after `# key:`; empty if there is no such line.
    #[must_use]
    pub fn field(&self, key: &str) -> &'static str {
        self.text
            .lines()
            .map_while(|line| line.strip_prefix('#'))
            .find_map(|line| line.trim().strip_prefix(key)?.strip_prefix(':').map(str::trim))
            .unwrap_or("")
    }

    /// A figure of this table was recalled and not found again, so what leans on it carries a note.
    #[must_use]
    pub fn leans_on_memory(&self) -> bool {
        self.field("status").contains("memory")
    }

    /// Parses the rows.
    ///
    /// # Panics
    /// On a bad table. A test parses every one, so this is a failed test and never a user's crash.
    #[must_use]
    pub fn rows<R: DeserializeOwned>(&self) -> Vec<R> {
        csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(self.text.as_bytes())
            .into_deserialize()
            .collect::<Result<_, _>>()
            .unwrap_or_else(|error| panic!("{}: {error}", self.name))
    }
}
