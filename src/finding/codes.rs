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
    K101_FILE, "K101", Error, "a file of the catalogue is missing or can't be read";
    K102_HEADING, "K102", Error, "a file of the catalogue lacks a heading";
    K103_HEADING, "K103", Error, "a file of the catalogue has a heading that is unknown or stands twice";
    K104_CELL, "K104", Error, "a cell of the catalogue does not hold what its heading says";
    K105_RATING, "K105", Error, "a rating in the catalogue is negative, zero or without end";
    K106_RANGE, "K106", Error, "a range in the catalogue is upside down or open";
    K107_KIND, "K107", Error, "a word in the catalogue is not one of those that are known";
    K108_TWICE, "K108", Error, "a part number stands twice in the catalogue";
    K109_CELLS, "K109", Error, "a row of the catalogue has too few or too many cells";
    K201_GAP, "K201", Warning, "setting ranges in the catalogue leave a gap";
    K202_UNKNOWN_PART, "K202", Warning, "a combination names a part that is not in the catalogue";
    K203_FITS_NOTHING, "K203", Warning, "an accessory or relay fits no frame of the catalogue";
    K204_ORDER, "K204", Warning, "ratings of one part in the catalogue contradict each other";
    // C: circuit
    // B: boards and supply
    // P: purchase
}
