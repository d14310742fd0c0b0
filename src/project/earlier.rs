//! A design that was written before, read back, and what it was made with.

use std::path::Path;
use std::sync::OnceLock;

use super::{Inputs, ProjectError, ProjectErrorKind, Range, figures, file_name, hash, panels, plain};
use crate::basis::KeyLines;
use crate::catalogue;
use crate::design::{Circuit, Design, HashedFile, SCHEMA};
use crate::intake::Intake;
use crate::load::{Field, Load};
use crate::network::Network;
use crate::rules;
use crate::sizing::{self, Tools};
use crate::verify;

/// Reads a design.json; the file with its hash comes along.
///
/// # Errors
/// The file can't be read, or is no design of this form.
pub fn read_design(path: &Path) -> Result<(Design, HashedFile), ProjectError> {
    let name = path.display();
    let failed = |why: String| ProjectError::new(ProjectErrorKind::Earlier, format!("{name}: {why}"));
    let bytes = std::fs::read(path).map_err(|error| failed(format!("the file can't be read: {}", plain(&error))))?;
    let design: Design = serde_json::from_slice(&bytes)
        .map_err(|error| failed(format!("this is no design.json: {error}; name a design.json that `size` wrote")))?;
    if design.schema != SCHEMA {
        return Err(failed(format!("its form is \"{}\", not \"{SCHEMA}\"; size the schedule again", design.schema)));
    }
    figures::hold(&bytes).map_err(|error| failed(format!("the file is damaged: {error}; size the schedule again")))?;
    if let Some(what) = design.circuits.iter().find_map(too_many) {
        return Err(failed(format!("{what} that a row may state; size the schedule again")));
    }
    Ok((design, HashedFile { file: file_name(path), sha256: hash(&bytes) }))
}

/// No more machines and motors than their columns may state: what is written for each of them stays finite.
fn too_many(circuit: &Circuit) -> Option<String> {
    let counted = [
        (Field::Quantity, circuit.quantity, "a quantity of"),
        (Field::MotorsPerStarter, circuit.motors, "motors behind its starter:"),
    ];
    counted.into_iter().find_map(|(field, count, what)| {
        let most = field.spec().kind.most_counted().filter(|most| count > *most)?;
        Some(format!("{} has {what} {count}, more than the {most}", circuit.tag))
    })
}

/// Basis, rule book and catalogue of a finished design, with no row of it: rows can be sized by them once more. None if the catalogue
/// that it was made from is not at hand.
///
/// # Errors
/// The folder of the catalogue can't be read, or the design names a rule book that is not known.
pub fn surroundings(design: &Design, folder: Option<&Path>) -> Result<Option<Inputs>, ProjectError> {
    let book = rules::book(&design.rule_book, design.basis.rules.edition.as_deref())
        .map_err(|why| ProjectError::new(ProjectErrorKind::RuleBook, why.to_string()))?;
    let range = Range::of_folder(folder, book)?;
    if range.get().sha256 != design.catalogue.sha256 {
        return Ok(None);
    }
    let electronic: std::collections::BTreeSet<String> =
        verify::electronic_boards(&design.circuits).into_iter().map(str::to_owned).collect();
    // The rows as they were read: what they ask of their boards is what it was.
    let loads: Vec<Load> = design.circuits.iter().map(|circuit| sizing::restated(&circuit.stated)).collect();
    let network = Network::of(&loads, &Tools { basis: &design.basis, book, catalogue: range.get() }, None);
    Ok(Some(Inputs {
        basis_lines: KeyLines::default(),
        intake: Intake::default(),
        basis: design.basis.clone(),
        book,
        range,
        files: design.inputs.clone(),
        findings: Vec::new(),
        interlocked: OnceLock::new(),
        electronic: OnceLock::from(panels::Electronic { boards: electronic, rows: Vec::new() }),
        merged: OnceLock::new(),
        network: OnceLock::from(network),
        basis_file: None,
        paths: folder.map(catalogue::files_in).unwrap_or_default(),
    }))
}
