//! Reads the tables of this room, which are part of the program.

use serde::de::DeserializeOwned;

/// Rows of an embedded table. One that does not parse is left out; tests count them.
pub(super) fn rows<R: DeserializeOwned>(text: &'static str) -> Vec<R> {
    csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes()).into_deserialize().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_row_of_a_small_table_is_lost() {
        for (text, rows) in [
            (include_str!("tables/power-pairs.csv"), rows::<(f64, f64)>(include_str!("tables/power-pairs.csv")).len()),
            (include_str!("tables/safety-scales.csv"), rows::<[String; 4]>(include_str!("tables/safety-scales.csv")).len()),
            (include_str!("tables/system-voltages.csv"), rows::<(f64, String)>(include_str!("tables/system-voltages.csv")).len()),
        ] {
            let lines = text.lines().filter(|line| !line.starts_with('#')).count();
            assert!(rows > 2 && rows + 1 == lines, "{rows} of {lines}");
        }
    }
}
