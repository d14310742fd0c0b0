//! Assumptions of a rule book for a whole design where the basis leaves it open: rows of a table of each book, with the clause or reason.
//! Values that the book's own defaults decide stand as names in braces and are put in by [`Assumed::default_words`].

use serde::Deserialize;

use super::units::Units;

/// One value of a design.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Assumed {
    /// Key of the basis that states it; `-` if none does.
    pub key: String,
    /// The assumption in words.
    pub what: String,
    /// The value where the basis says nothing; a row without it stands only where the basis states a value.
    pub default: String,
    /// Clause or reason.
    pub reference: String,
}

/// Defaults that the rows of a book name.
#[derive(Clone, Debug, PartialEq)]
pub struct Defaults {
    /// Air at conductors, °C.
    pub ambient_c: f64,
    /// Ground, °C.
    pub ground_c: f64,
    /// Soil, K·m/W.
    pub soil_k_m_w: f64,
    /// Largest drop while running, per cent.
    pub running_drop_pct: f64,
    /// Largest drop while starting, per cent.
    pub starting_drop_pct: f64,
    /// Smallest copper conductor, as it is written.
    pub minimum_copper: String,
    /// Smallest aluminium conductor, as it is written.
    pub minimum_aluminium: String,
    /// Insulation, as it is written.
    pub insulation: &'static str,
    /// How conductors are laid.
    pub installation: &'static str,
    /// Air at devices where the room's is not given, °C.
    pub device_ambient_c: f64,
    /// Air at devices above that of the room, K.
    pub enclosure_rise_k: f64,
}

impl Assumed {
    /// The default with its names replaced, temperatures in the units of the book.
    #[must_use]
    pub fn default_words(&self, defaults: &Defaults, units: Units) -> String {
        if !self.default.contains('{') {
            return self.default.clone();
        }
        let names: [(&str, String); 11] = [
            ("{ambient_c}", units.temperature(defaults.ambient_c)),
            ("{ground_c}", units.temperature(defaults.ground_c)),
            ("{soil_k_m_w}", format!("{} K·m/W", defaults.soil_k_m_w)),
            ("{running_drop_pct}", format!("{} %", defaults.running_drop_pct)),
            ("{starting_drop_pct}", format!("{} %", defaults.starting_drop_pct)),
            ("{minimum_copper}", defaults.minimum_copper.clone()),
            ("{minimum_aluminium}", defaults.minimum_aluminium.clone()),
            ("{insulation}", defaults.insulation.to_owned()),
            ("{installation}", defaults.installation.to_owned()),
            ("{device_ambient_c}", units.temperature(defaults.device_ambient_c)),
            ("{enclosure_rise_k}", units.temperature_rise(defaults.enclosure_rise_k)),
        ];
        names.iter().fold(self.default.clone(), |text, (name, value)| text.replace(name, value))
    }
}

/// Rows of a book by its key; none of an unknown book.
#[must_use]
pub fn of(book: &str) -> &'static [Assumed] {
    match book {
        "iec" => super::iec::assumptions::all(),
        "nec" => super::nec::assumptions::all(),
        _ => &[],
    }
}
