//! How a switching rating is stated: the utilisation categories, or horsepower.

use serde::Deserialize;

/// Utilisation category of IEC 60947-4-1, or the horsepower rating that stands in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Category {
    /// Resistive loads.
    #[serde(rename = "AC-1")]
    Ac1,
    /// Slip-ring motors.
    #[serde(rename = "AC-2")]
    Ac2,
    /// Cage motors: starting, switching off while running.
    #[serde(rename = "AC-3")]
    Ac3,
    /// The same with higher starting current.
    #[serde(rename = "AC-3e")]
    Ac3e,
    /// Cage motors: starting, plugging, inching.
    #[serde(rename = "AC-4")]
    Ac4,
    /// Discharge lamps.
    #[serde(rename = "AC-5a")]
    Ac5a,
    /// Filament lamps.
    #[serde(rename = "AC-5b")]
    Ac5b,
    /// Transformers.
    #[serde(rename = "AC-6a")]
    Ac6a,
    /// Capacitors.
    #[serde(rename = "AC-6b")]
    Ac6b,
    /// Household and similar: slightly inductive loads.
    #[serde(rename = "AC-7a")]
    Ac7a,
    /// Household and similar: motors.
    #[serde(rename = "AC-7b")]
    Ac7b,
    /// Motors of hermetic refrigerant compressors, overload protection reset by hand.
    #[serde(rename = "AC-8a")]
    Ac8a,
    /// Motors of hermetic refrigerant compressors, overload protection reset automatically.
    #[serde(rename = "AC-8b")]
    Ac8b,
    /// Rated in horsepower at a voltage.
    #[serde(rename = "horsepower")]
    Horsepower,
    /// Rated by the current that it carries continuously.
    #[serde(rename = "continuous")]
    Continuous,
}

impl Category {
    /// Loads without the inrush and the inductance of motors.
    #[must_use]
    pub fn is_resistive(self) -> bool {
        matches!(self, Self::Ac1 | Self::Ac7a)
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Ac1 => "AC-1",
            Self::Ac2 => "AC-2",
            Self::Ac3 => "AC-3",
            Self::Ac3e => "AC-3e",
            Self::Ac4 => "AC-4",
            Self::Ac5a => "AC-5a",
            Self::Ac5b => "AC-5b",
            Self::Ac6a => "AC-6a",
            Self::Ac6b => "AC-6b",
            Self::Ac7a => "AC-7a",
            Self::Ac7b => "AC-7b",
            Self::Ac8a => "AC-8a",
            Self::Ac8b => "AC-8b",
            Self::Horsepower => "horsepower",
            Self::Continuous => "continuous",
        }
    }
}
