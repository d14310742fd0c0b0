//! Every code of a finding, with its severity and what it protects from. Codes are never reused.

use super::Severity;

/// A documented code.
#[derive(Clone, Copy, Debug)]
pub struct Code {
    /// Letter of the room and three digits.
    pub code: &'static str,
    /// What it asks of a person.
    pub severity: Severity,
    /// One line that says what the code is about.
    pub about: &'static str,
}

macro_rules! codes { ($($name:ident, $code:literal, $severity:ident, $about:literal;)*) => {
    $(#[doc = $about] pub const $name: Code = Code { code: $code, severity: Severity::$severity, about: $about };)*
    /// All codes, in order.
    pub const CODES: &[Code] = &[$($name),*];
}; }

// Each room adds its own block; keep the blocks in the order of the rooms and the numbers ascending.
codes! {
    // I: intake
    I101_NUMBER, "I101", Error, "a cell that should hold a number does not";
    // F: basis
    // L: load and case
    // R: rules
    // K: catalogue
    // C: circuit
    // B: boards and supply
    // P: purchase
}
