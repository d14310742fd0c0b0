//! Reads the tables of this room, which are part of the program.

use serde::de::DeserializeOwned;

/// Rows of an embedded table. One that does not parse is left out; tests count them.
pub(super) fn rows<R: DeserializeOwned>(text: &'static str) -> Vec<R> {
    csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes()).into_deserialize().flatten().collect()
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
