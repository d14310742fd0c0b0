//! Figures of relays, contactors and controllers that several rooms need.

use crate::quantity::Celsius;
use crate::rules::table::Figure;

table! {
    /// Figures of relays, contactors and controllers.
    DEVICES, DEVICE_ROWS: Figure, "device-figures"
}

table! {
    /// Air to which ratings of protective devices hold.
    PROTECTION_AIR, PROTECTION_AIR_ROWS: Figure, "protection-air"
}

/// Highest temperature of the air to which the rated current of a protective device of this kind holds, with the clause; none for a
/// kind that the table lacks.
#[must_use]
pub fn protection_air(kind: &str) -> Option<(Celsius, &'static str)> {
    PROTECTION_AIR_ROWS.iter().find(|row| row.name == kind).map(|row| (Celsius(row.value), row.remark.as_str()))
}

/// A figure by its name. One that the table lacks is not a number, which fits nothing; a test finds it.
#[must_use]
pub fn device_figure(name: &str) -> f64 {
    DEVICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}
