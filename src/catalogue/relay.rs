//! Overload relays, and starters operated by hand.

use serde::Deserialize;

use crate::quantity::Volts;
use crate::rules::nec::controller::controller_column;

/// An overload relay.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OverloadRelay {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `bimetal`, `electronic` or `manual-starter`.
    pub kind: String,
    /// Contactor frames that it mounts on, separated by blanks; `manual` for a hand-operated starter, which needs none.
    pub fits_frames: String,
    /// Lower end of the range.
    pub range_min_a: f64,
    /// Upper end of the range.
    pub range_max_a: f64,
    /// Trip classes that it can be set to, separated by blanks.
    pub classes: String,
    /// Sees the loss of a phase.
    pub phase_loss: bool,
    /// Largest operational voltage.
    pub max_voltage_v: f64,
    /// Largest starts an hour.
    pub starts_per_hour: f64,
    /// Largest fuse that may protect it: gG for type 1, or of any class where the range has no gG fuses.
    pub max_fuse_type_1_a: f64,
    /// Step of its dial; settings are rounded to it.
    pub dial_step_a: f64,
    /// Heat at the upper end.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Price.
    pub price: Option<f64>,
    /// Current at which it trips in the end, over its setting; not declared: 1.25 is to be reckoned with.
    pub ultimate_trip_factor: Option<f64>,
    /// Short-circuit current rating that is marked on it, kA; none if it is unmarked.
    pub short_circuit_rating_ka: Option<f64>,
    /// Part number of the current transformers that it stands behind; none if the motor's current flows through it. Ranges and dial
    /// steps are then still those of the motor's current.
    pub transformer_part: Option<String>,
    /// Description of the current transformers.
    pub transformer_description: Option<String>,
    /// How many.
    pub transformer_count: Option<u32>,
    /// Motor's current over the current on its dial.
    pub transformer_ratio: Option<f64>,
    /// Price of one.
    pub transformer_price: Option<f64>,
    /// Horsepower of a hand-operated starter, one phase at 115 V.
    pub hp_1ph_115: Option<f64>,
    /// At 230 V.
    pub hp_1ph_230: Option<f64>,
    /// Three phases at 200 V.
    pub hp_3ph_200: Option<f64>,
    /// At 230 V.
    pub hp_3ph_230: Option<f64>,
    /// At 460 V.
    pub hp_3ph_460: Option<f64>,
    /// At 575 V.
    pub hp_3ph_575: Option<f64>,
}

impl OverloadRelay {
    /// Horsepower ratings that are declared, by phases and voltage column.
    fn ratings(&self) -> impl Iterator<Item = (u32, f64, f64)> {
        let all = [
            (1, 115.0, self.hp_1ph_115),
            (1, 230.0, self.hp_1ph_230),
            (3, 200.0, self.hp_3ph_200),
            (3, 230.0, self.hp_3ph_230),
            (3, 460.0, self.hp_3ph_460),
            (3, 575.0, self.hp_3ph_575),
        ];
        all.into_iter().filter_map(|(phases, column, horsepower)| Some((phases, column, horsepower?)))
    }

    /// Horsepower of a hand-operated starter for 1 or 3 phases and a voltage between lines: zero if it has ratings for others only,
    /// none if it declares no horsepower at all.
    #[must_use]
    pub fn horsepower(&self, phases: u32, volts: f64) -> Option<f64> {
        self.ratings().next()?;
        let column = controller_column(phases, Volts(volts));
        let mut here = self.ratings().filter(|(counted, rated, _)| *counted == phases && column == Some(*rated));
        Some(here.next().map_or(0.0, |(.., horsepower)| horsepower))
    }
}
