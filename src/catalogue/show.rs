//! The catalogue as text for a terminal.

use super::Catalogue;

/// Prints a family, or the list of families.
///
/// # Errors
/// There is no family of that name.
pub fn show(catalogue: &Catalogue, family: Option<&str>) -> Result<String, String> {
    let _ = (catalogue, family);
    Ok(String::new())
}
