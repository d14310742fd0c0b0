//! Figures of relays, contactors and controllers that several rooms need.

use crate::rules::table::Figure;

table! {
    /// Figures of relays, contactors and controllers.
    DEVICES, DEVICE_ROWS: Figure, "device-figures"
}

/// A figure by its name. One that the table lacks is not a number, which fits nothing; a test finds it.
#[must_use]
pub fn device_figure(name: &str) -> f64 {
    DEVICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}
