//! Single figures of the clauses: percentages, thresholds and the like that no table of their own holds.

use serde::Deserialize;

/// One figure.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FigureRow {
    name: String,
    value: f64,
    clause: String,
    status: String,
}

table! {
    /// Single figures of the clauses.
    FIGURES, FIGURE_ROWS: FigureRow, "nec-figures"
}

/// The figure of a name. A name that the table lacks gives an undefined number, which fits nothing; a test finds it.
pub(crate) fn figure(name: &str) -> f64 {
    FIGURE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Clause and status of a figure: `430.110(A)`, `confirmed-2`.
#[must_use]
pub fn origin(name: &str) -> Option<(&'static str, &'static str)> {
    FIGURE_ROWS.iter().find(|row| row.name == name).map(|row| (row.clause.as_str(), row.status.as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_that_the_code_asks_for_is_in_the_table_and_none_is_idle() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules/nec");
        let mut code = String::new();
        for entry in std::fs::read_dir(folder)
            .into_iter()
            .flatten()
            .flatten()
            .filter(|entry| entry.path().is_file() && entry.file_name() != "figures.rs")
        {
            code.push_str(&std::fs::read_to_string(entry.path()).unwrap_or_default());
        }
        let asked: Vec<&str> = code.split("figure(\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        assert!(asked.len() > 10, "{}", asked.len());
        for name in &asked {
            assert!(figure(name).is_finite(), "{name}");
        }
        for row in FIGURE_ROWS.iter() {
            assert!(asked.contains(&row.name.as_str()), "{} is not used", row.name);
            assert!(origin(&row.name).is_some_and(|(clause, status)| !clause.is_empty() && !status.is_empty()));
        }
        assert!(figure("no such figure").is_nan());
    }
}
