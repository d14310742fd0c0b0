//! Reads the tables of this room, which are part of the program.

use serde::de::DeserializeOwned;

/// Rows of an embedded table. One that does not parse is left out; tests count them.
pub(super) fn rows<R: DeserializeOwned>(text: &'static str) -> Vec<R> {
    csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes()).into_deserialize().flatten().collect()
}

/// Lists of phrases of a table with the columns `says` and `phrases`, read when the first of them is asked for: a field for each list, with
/// what its rows say. A test of the user holds its rows against `SAID`.
macro_rules! phrase_lists {
    ($table:literal: $($field:ident $says:literal),+ $(,)?) => {
        const TABLE: &str = include_str!($table);

        #[derive(Debug)]
        struct Lists {
            $($field: $crate::intake::mentions::Phrases,)+
        }

        static LISTS: std::sync::LazyLock<Lists> = std::sync::LazyLock::new(|| {
            let rows: Vec<$crate::intake::matters::Said> = $crate::intake::tables::rows(TABLE);
            Lists { $($field: $crate::intake::matters::Said::phrases(&rows, $says),)+ }
        });

        #[cfg(test)]
        const SAID: &[&str] = &[$($says),+];
    };
}
pub(super) use phrase_lists;

/// Lists of words of a table with the columns `says` and `words`, words set off by `|`.
pub(super) struct WordLists(Vec<(&'static str, Vec<&'static str>)>);

impl WordLists {
    /// Reads an embedded table.
    pub(super) fn of(text: &'static str) -> Self {
        let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
        Self(rows.filter_map(|row| row.split_once(',')).map(|(says, words)| (says, words.split('|').collect())).collect())
    }

    /// The words that say so; none where the table has no such row, which a test of each user finds.
    pub(super) fn that_say(&self, says: &str) -> Vec<&'static str> {
        self.0.iter().filter(|(row, _)| *row == says).flat_map(|(_, words)| words.iter().copied()).collect()
    }

    /// What rows say, each once, in the order of the table.
    #[cfg(test)]
    pub(super) fn said(&self) -> Vec<&'static str> {
        self.0.iter().map(|(says, _)| *says).collect()
    }
}

/// The rows of a table in a test, which fails where one is lost.
#[cfg(test)]
pub(super) fn whole<R: DeserializeOwned>(text: &'static str) -> Vec<R> {
    let rows = rows(text);
    let lines = text.lines().filter(|line| !line.starts_with('#')).count();
    assert_eq!(rows.len() + 1, lines, "a row of the table is not read: {text}");
    assert!(!rows.is_empty(), "the table is empty: {text}");
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_row_of_a_small_table_is_lost() {
        whole::<(f64, f64)>(include_str!("tables/power-pairs.csv"));
        whole::<[String; 4]>(include_str!("tables/safety-scales.csv"));
        whole::<(f64, String)>(include_str!("tables/system-voltages.csv"));
        whole::<(String, String)>(include_str!("tables/supply-headings.csv"));
    }
}
