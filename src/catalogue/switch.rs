//! Switches at the head of boards.

use serde::Deserialize;

use super::Isolator;
use crate::quantity::fits;

/// Rated current of a switch at a voltage, of those that the catalogue declares up to 440 V and up to 690 V; none above, and where nothing
/// is declared.
fn rated_up_to(volts: f64, at_440: f64, at_690: f64) -> Option<f64> {
    let rated = if fits(volts, 440.0) { at_440 } else { at_690 };
    (fits(volts, 690.0) && rated > 0.0).then_some(rated)
}

/// A switch-disconnector at the head of a board, without overload protection of its own.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwitchDisconnector {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Rated uninterrupted current.
    pub rating_a: f64,
    /// Poles: 3 or 4.
    pub poles: u32,
    /// Rating in AC-22A to 440 V.
    pub ac22_440_a: f64,
    /// Rating in AC-22A to 690 V.
    pub ac22_690_a: f64,
    /// Rating in AC-23A to 440 V.
    pub ac23_440_a: f64,
    /// Rating in AC-23A to 690 V.
    pub ac23_690_a: f64,
    /// Rated short-time withstand current for 1 s.
    pub short_time_ka: f64,
    /// Rated short-circuit making capacity, peak.
    pub making_ka: f64,
    /// Conditional short-circuit current behind the stated fuse.
    pub conditional_ka: f64,
    /// Largest gG fuse before it for that.
    pub max_fuse_a: f64,
    /// Can be locked in the off position.
    pub lockable: bool,
    /// Heat of one pole at the rated uninterrupted current.
    pub loss_per_pole_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Conductors that one terminal takes.
    pub terminal_conductors: u32,
    /// Price.
    pub price: Option<f64>,
}

impl Isolator {
    /// Rated operational current in AC-23A at a voltage; none where nothing is declared for it.
    #[must_use]
    pub fn rated(&self, volts: f64) -> Option<f64> {
        rated_up_to(volts, self.ac23_440_a, self.ac23_690_a)
    }
}

impl SwitchDisconnector {
    /// Rated operational current in a category, `AC-22A` or `AC-23A`, at a voltage; none where nothing is declared for it.
    #[must_use]
    pub fn rated(&self, category: &str, volts: f64) -> Option<f64> {
        match category {
            "AC-22A" => rated_up_to(volts, self.ac22_440_a, self.ac22_690_a),
            "AC-23A" => rated_up_to(volts, self.ac23_440_a, self.ac23_690_a),
            _ => None,
        }
    }

    /// Heat with its rated current in the three phases; the pole of a neutral carries next to nothing.
    #[must_use]
    pub fn loss_w(&self) -> f64 {
        self.loss_per_pole_w * f64::from(self.poles.min(3))
    }
}
