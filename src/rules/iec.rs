//! The IEC rule book.

use crate::record::Formula;
use crate::rules::table::Document;

pub mod assumptions;
pub mod book;
pub mod capacity;
pub mod cautions;
pub mod conductor;
pub mod contactors;
pub mod control;
pub mod criteria;
pub mod currents;
pub mod curves;
mod device_notes;
pub mod feeder;
pub mod harmonics;
pub mod incoming;
pub mod overload;
pub mod protection;
mod rated;
pub mod services;
pub mod starting;
pub mod switching;
mod table_edges;
pub mod transformer;
mod withstand;

pub use book::Iec;

/// Every table of this book.
pub const DOCUMENTS: &[&Document] = &[
    &book::FIGURES,
    &cautions::CAUTIONS,
    &services::NOT_COVERED,
    &assumptions::ASSUMED,
    &currents::GUIDE_CURRENTS,
    &currents::GUIDE_VOLTAGES,
    &currents::GUIDE_CURRENTS_60,
    &currents::EFFICIENCY_50,
    &currents::EFFICIENCY_60,
    &currents::EFFICIENCY_IE5,
    &currents::POLYNOMIALS,
    &currents::POWER_FACTOR,
    &currents::POWER_FACTOR_POLES,
    &starting::LOCKED_ROTOR_RATIO,
    &starting::APPARENT_POWER,
    &starting::POWER_FACTOR,
    &switching::WITHSTAND,
    &switching::FACTORS,
    &switching::INTERMITTENT_CLASSES,
    &switching::INTERMITTENT_FACTORS,
    &switching::FREQUENCY,
    &overload::CLASSES,
    &overload::LIMITS,
    &overload::PRACTICE,
    &protection::GATES_GG,
    &protection::GATES_AM,
    &protection::DISCONNECTION_GG,
    &protection::CONVENTIONAL_GG,
    &protection::JOULE_GG,
    &protection::FUSE_RATINGS,
    &protection::CURVES,
    &protection::PRACTICE,
    &protection::R_CURRENT,
    &protection::COORDINATION_TYPES,
    &capacity::ENCLOSED,
    &capacity::FREE_AIR,
    &capacity::COEFFICIENTS,
    &capacity::AIR,
    &capacity::GROUND,
    &capacity::SOIL,
    &capacity::GROUPING,
    &capacity::LAYING,
    &harmonics::FACTORS,
    &conductor::SIZE_TABLE,
    &conductor::RESISTANCE,
    &conductor::PHYSICS,
    &conductor::K_LIVE,
    &conductor::K_PROTECTIVE,
    &conductor::PROTECTIVE,
    &conductor::TIMES,
    &conductor::DROP_LIMITS,
    &conductor::VOLTAGE_FACTORS,
    &control::CONDUCTORS,
    &feeder::PRACTICE,
    &feeder::PREFERRED,
    &feeder::ENDS,
    &incoming::CATEGORIES,
    &transformer::PRACTICE,
];

/// The formulas of this book.
#[must_use]
pub fn formulas() -> Vec<&'static Formula> {
    [
        currents::FORMULAS,
        switching::FORMULAS,
        overload::FORMULAS,
        protection::FORMULAS,
        capacity::FORMULAS,
        criteria::FORMULAS,
        control::FORMULAS,
        feeder::FORMULAS,
        harmonics::FORMULAS,
        incoming::FORMULAS,
        transformer::FORMULAS,
    ]
    .concat()
}

#[cfg(test)]
mod tests {
    use crate::rules::table::Document;
    use crate::rules::{iec, nec, physics};

    /// Every table of every book.
    fn documents() -> Vec<&'static Document> {
        [physics::DOCUMENTS, iec::DOCUMENTS, nec::DOCUMENTS].concat()
    }

    #[test]
    fn every_table_has_its_lines_and_its_rows_are_whole() {
        let mut names = Vec::new();
        for document in documents() {
            assert!(!document.title().is_empty() && !document.title().starts_with("source"), "{}: title", document.name);
            for key in ["source", "edition", "status"] {
                assert!(!document.field(key).is_empty(), "{}: no `# {key}:`", document.name);
            }
            let status = document.field("status");
            assert!(["confirmed", "memory", "derived", "mixed"].iter().any(|word| status.contains(word)), "{}", document.name);
            let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(document.text.as_bytes());
            let rows = reader.records().collect::<Result<Vec<_>, _>>();
            assert!(rows.is_ok_and(|rows| !rows.is_empty()), "{}: rows", document.name);
            assert!(!names.contains(&document.name), "{} stands twice", document.name);
            names.push(document.name);
        }
    }

    #[test]
    fn every_file_of_the_table_folders_is_listed() {
        for folder in ["src/rules/iec/tables", "src/rules/nec/tables", "src/rules/physics/tables"] {
            let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
            let files: Vec<_> = std::fs::read_dir(folder).expect("the folder").flatten().collect();
            assert!(!files.is_empty());
            for entry in files {
                let name = entry.file_name().to_string_lossy().into_owned();
                let listed = documents().iter().any(|document| name == format!("{}.csv", document.name));
                assert!(listed, "{name} is in no list of tables");
            }
        }
    }
}
