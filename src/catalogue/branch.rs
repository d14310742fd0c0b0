//! Families that belong to branch circuits after NFPA 70: circuit-breakers, motor-circuit switches, raceways.

use serde::Deserialize;

use crate::quantity::fits;

/// A circuit-breaker of a branch circuit, inverse-time or instantaneous-trip.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BranchBreaker {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Frame, such as `100 A`.
    pub frame: String,
    /// `inverse-time` or `instantaneous`.
    pub kind: String,
    /// Rated current.
    pub rating_a: f64,
    /// Poles: 1, 2 or 3.
    pub poles: u32,
    /// Voltage rating as marked: `120/240`, `240`, `480Y/277`, `480`, `600Y/347` or `600`.
    pub voltage_rating: String,
    /// Interrupting rating to 240 V.
    pub interrupting_240_ka: f64,
    /// Interrupting rating to 480 V.
    pub interrupting_480_ka: Option<f64>,
    /// Interrupting rating to 600 V.
    pub interrupting_600_ka: Option<f64>,
    /// Lowest setting of the instantaneous trip; equal to the highest if it is fixed.
    pub instantaneous_min_a: f64,
    /// Highest setting of the instantaneous trip.
    pub instantaneous_max_a: f64,
    /// Step of that setting; none if it is fixed.
    pub instantaneous_step_a: Option<f64>,
    /// Tolerance of the instantaneous trip, per cent.
    pub instantaneous_tolerance_pct: f64,
    /// May be used inside a listed combination controller only.
    pub within_combination: bool,
    /// It can be locked open.
    pub lockable: bool,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Conductors that one terminal takes.
    pub terminal_conductors: u32,
    /// Temperature for which the terminals are marked, °C: 60 or 75.
    pub terminal_c: f64,
    /// Heat of all poles at the rated current.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Price.
    pub price: Option<f64>,
}

impl BranchBreaker {
    /// Interrupting rating at a voltage in kA; none above the voltages for which one is declared.
    #[must_use]
    pub fn interrupting_ka(&self, volts: f64) -> Option<f64> {
        if fits(volts, 240.0) {
            Some(self.interrupting_240_ka)
        } else if fits(volts, 480.0) {
            self.interrupting_480_ka
        } else if fits(volts, 600.0) {
            self.interrupting_600_ka
        } else {
            None
        }
    }

    /// Its voltage rating reaches the voltage of the circuit: between lines, or to neutral for one pole. Whether the system's
    /// earthing admits a slash rating is another question ([`BranchBreaker::slash_rated`]).
    #[must_use]
    pub fn admits_voltage(&self, volts: f64) -> bool {
        let largest = if self.poles == 1 { self.voltages().reduce(f64::min) } else { self.voltages().reduce(f64::max) };
        largest.is_some_and(|largest| fits(volts, largest))
    }

    /// The voltages of its rating: one, or two for a slash rating.
    pub fn voltages(&self) -> impl Iterator<Item = f64> {
        self.voltage_rating.split('/').filter_map(|text| text.trim_end_matches('Y').parse().ok())
    }

    /// It has a slash rating such as `480Y/277`: each pole alone interrupts the lower voltage only.
    #[must_use]
    pub fn slash_rated(&self) -> bool {
        self.voltage_rating.contains('/')
    }
}

/// A motor-circuit switch without fuses, rated in horsepower.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Disconnect {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Rated current.
    pub rating_a: f64,
    /// Poles: 2 or 3.
    pub poles: u32,
    /// Largest voltage.
    pub max_voltage_v: f64,
    /// Horsepower, one phase, 115 V.
    pub hp_1ph_115: Option<f64>,
    /// Horsepower, one phase, 230 V.
    pub hp_1ph_230: Option<f64>,
    /// Horsepower, three phases, 208 V.
    pub hp_3ph_208: Option<f64>,
    /// Horsepower, three phases, 240 V.
    pub hp_3ph_240: Option<f64>,
    /// Horsepower, three phases, 480 V.
    pub hp_3ph_480: Option<f64>,
    /// Horsepower, three phases, 600 V.
    pub hp_3ph_600: Option<f64>,
    /// Enclosure type, such as `NEMA 3R`.
    pub enclosure: String,
    /// Can be locked in the open position.
    pub lockable: bool,
    /// Short-circuit current rating behind fuses of class J.
    pub short_circuit_rating_ka: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Width.
    pub width_mm: f64,
    /// Price.
    pub price: Option<f64>,
}

impl Disconnect {
    /// Horsepower rating for 1 or 3 phases and a voltage between lines; none if it is not declared.
    #[must_use]
    pub fn horsepower(&self, phases: u32, volts: f64) -> Option<f64> {
        let steps: &[(f64, Option<f64>)] = match phases {
            // At 200 and 208 V the rating of 230 V counts, for a horsepower that is converted to it.
            1 => &[(120.0, self.hp_1ph_115), (208.0, self.hp_1ph_230), (240.0, self.hp_1ph_230)],
            3 => &[(208.0, self.hp_3ph_208), (240.0, self.hp_3ph_240), (480.0, self.hp_3ph_480), (600.0, self.hp_3ph_600)],
            _ => &[],
        };
        // The bands of NFPA 70 Tables 430.248 and 430.250; a voltage between them has no rating.
        let of = |(to, hp): &(f64, Option<f64>)| (fits(volts, *to) && *to * 0.9 <= volts).then_some(*hp);
        steps.iter().find_map(of).flatten()
    }
}

/// A raceway, sold by the length.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Raceway {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `emt`, `rmc`, `imc`, `pvc-40`, `pvc-80`, `lfmc` or `fmc`.
    pub kind: String,
    /// Trade size, such as `1-1/4`.
    pub trade_size: String,
    /// Length of a stick or coil; none: sold by the unit of length.
    pub standard_length_m: Option<f64>,
    /// Each length comes with what joins it to the next, a coupling or a belled end; not declared: it does not.
    pub coupling_included: Option<bool>,
    /// Price of one foot.
    pub price: Option<f64>,
}

#[cfg(test)]
mod tests;
