//! Contactors: ratings in utilization categories, in horsepower, or in both.

use serde::Deserialize;

use super::{Category, Coil};

use crate::quantity::Volts;
pub use crate::rules::HorsepowerUse;
use crate::rules::nec::controller::controller_column;

/// A contactor: one rating of a frame.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contactor {
    /// Part number without the coil.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Frame.
    pub frame: String,
    /// AC-3 rating to 440 V; none for a frame that is rated in horsepower alone.
    pub ac3_440_a: Option<f64>,
    /// AC-3 rating to 500 V.
    pub ac3_500_a: Option<f64>,
    /// AC-3 rating to 690 V.
    pub ac3_690_a: Option<f64>,
    /// AC-3e rating to 440 V, if declared.
    pub ac3e_440_a: Option<f64>,
    /// AC-3e rating to 500 V, if declared.
    pub ac3e_500_a: Option<f64>,
    /// AC-3e rating to 690 V, if declared.
    pub ac3e_690_a: Option<f64>,
    /// Suits motors of class IE3 and better at its full rating.
    pub suits_ie3: bool,
    /// A reduced-life rating at the top of its frame.
    pub reduced_life: bool,
    /// AC-1 rating at 40 °C; none for a frame that is rated in horsepower alone.
    pub ac1_a: Option<f64>,
    /// AC-4 rating to 440 V.
    pub ac4_440_a: Option<f64>,
    /// AC-4 rating to 690 V.
    pub ac4_690_a: Option<f64>,
    /// Largest operational voltage.
    pub max_voltage_v: f64,
    /// Electrical life at the AC-3 rating, operations.
    pub life_ac3_operations: f64,
    /// Exponent of AC-3 life over current.
    pub life_ac3_exponent: f64,
    /// Electrical life at the AC-3 rating when every operation breaks six times that current, operations.
    pub life_ac4_operations: f64,
    /// Exponent of AC-4 life over current.
    pub life_ac4_exponent: f64,
    /// Mechanical life, operations.
    pub life_mechanical_operations: f64,
    /// Largest operations an hour in AC-1.
    pub per_hour_ac1: f64,
    /// Largest operations an hour in AC-3.
    pub per_hour_ac3: f64,
    /// Largest operations an hour in AC-4.
    pub per_hour_ac4: f64,
    /// Pick-up power of the AC coil.
    pub coil_ac_pick_up_va: f64,
    /// Holding power of the AC coil.
    pub coil_ac_hold_va: f64,
    /// Pick-up power of the DC coil; none if there is no DC coil.
    pub coil_dc_pick_up_w: Option<f64>,
    /// Holding power of the DC coil.
    pub coil_dc_hold_w: Option<f64>,
    /// The AC coil brings its suppression.
    pub ac_suppression_built_in: bool,
    /// The DC coil brings its suppression.
    pub dc_suppression_built_in: bool,
    /// Built-in normally open contacts.
    pub aux_no: u32,
    /// Built-in normally closed contacts.
    pub aux_nc: u32,
    /// Contacts that may be added in all.
    pub aux_places: u32,
    /// Front position takes blocks or a timer.
    pub front_place: bool,
    /// Side positions.
    pub side_places: u32,
    /// Finger-safe by itself.
    pub finger_safe: bool,
    /// Heat at the AC-3 rating with its coil.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Frame of the motor-protective circuit-breaker that it pairs with; none if it pairs with moulded-case breakers.
    pub pairs_with: Option<String>,
    /// Largest fuse that may protect it: gG for type 1, or of any class where the range has no gG fuses.
    pub max_fuse_type_1_a: f64,
    /// Price.
    pub price: Option<f64>,
    /// `IEC` or `NEMA`; not said: IEC.
    pub standard: Option<String>,
    /// NEMA size, such as `00` or `3`.
    pub nema_size: Option<String>,
    /// Horsepower, one phase, 115 V.
    pub hp_1ph_115: Option<f64>,
    /// Horsepower, one phase, 230 V.
    pub hp_1ph_230: Option<f64>,
    /// Horsepower, three phases, 200 V; serves 208 V too.
    pub hp_3ph_200: Option<f64>,
    /// Horsepower, three phases, 230 V.
    pub hp_3ph_230: Option<f64>,
    /// Horsepower, three phases, 460 V.
    pub hp_3ph_460: Option<f64>,
    /// Horsepower, three phases, 575 V.
    pub hp_3ph_575: Option<f64>,
    /// Jogging or plugging: horsepower, one phase, 115 V.
    pub jog_hp_1ph_115: Option<f64>,
    /// Jogging or plugging: one phase, 230 V.
    pub jog_hp_1ph_230: Option<f64>,
    /// Jogging or plugging: three phases, 200 V.
    pub jog_hp_3ph_200: Option<f64>,
    /// Jogging or plugging: three phases, 230 V.
    pub jog_hp_3ph_230: Option<f64>,
    /// Jogging or plugging: three phases, 460 V.
    pub jog_hp_3ph_460: Option<f64>,
    /// Jogging or plugging: three phases, 575 V.
    pub jog_hp_3ph_575: Option<f64>,
    /// Horsepower of a wye-delta controller of this size at 200 V.
    pub wye_delta_hp_3ph_200: Option<f64>,
    /// Horsepower of a wye-delta controller at 230 V.
    pub wye_delta_hp_3ph_230: Option<f64>,
    /// Horsepower of a wye-delta controller at 460 V.
    pub wye_delta_hp_3ph_460: Option<f64>,
    /// Horsepower of a wye-delta controller at 575 V.
    pub wye_delta_hp_3ph_575: Option<f64>,
    /// Horsepower of a part-winding controller of this size at 200 V.
    pub part_winding_hp_3ph_200: Option<f64>,
    /// Horsepower of a part-winding controller at 230 V.
    pub part_winding_hp_3ph_230: Option<f64>,
    /// Horsepower of a part-winding controller at 460 V.
    pub part_winding_hp_3ph_460: Option<f64>,
    /// Horsepower of a part-winding controller at 575 V.
    pub part_winding_hp_3ph_575: Option<f64>,
    /// Continuous current: of the NEMA size, or the full-load amperes that an IEC-type frame is marked with.
    pub continuous_a: Option<f64>,
    /// Service-limit current: the ultimate trip of an overload relay on it may not exceed it.
    pub service_limit_a: Option<f64>,
    /// Short-circuit current rating that is marked on it, kA; none if it is unmarked.
    pub short_circuit_rating_ka: Option<f64>,
    /// Voltage rating as marked, such as `600`.
    pub voltage_rating: Option<String>,
    /// Power factor of the AC coil while it picks up.
    pub coil_ac_pick_up_power_factor: Option<f64>,
    /// Power factor of the AC coil while it holds.
    pub coil_ac_hold_power_factor: Option<f64>,
    /// Lowest voltage at which the coil surely picks up, per cent of its rated voltage.
    pub coil_lowest_pct: Option<f64>,
    /// Highest voltage that the coil stands, per cent of its rated voltage.
    pub coil_highest_pct: Option<f64>,
    /// Voltage at or below which the contactor surely drops out, per cent of its rated coil voltage.
    pub coil_release_pct: Option<f64>,
    /// Drop-out time without a suppressor.
    pub drop_out_ms: Option<f64>,
    /// Its built-in normally closed contacts are mirror contacts (IEC 60947-4-1 Annex F).
    pub aux_mirror: Option<bool>,
    /// Its built-in contacts switch electronic levels.
    pub aux_low_level: Option<bool>,
    /// Contacts that the front position takes; not declared: as many as may be added in all.
    pub aux_front_contacts: Option<u32>,
    /// Contacts that each side position takes; not declared: two.
    pub aux_side_contacts: Option<u32>,
    /// Normally closed contacts at most with the DC coil, built-in ones included; not declared: no such limit.
    pub dc_aux_nc_most: Option<u32>,
    /// Share of the AC-1 rating that is left where contactors stand side by side, per cent; not declared: all of it.
    pub close_mounting_pct: Option<f64>,
    /// AC-7a rating to 440 V.
    pub ac7a_a: Option<f64>,
    /// AC-7b rating to 440 V.
    pub ac7b_a: Option<f64>,
    /// AC-8a rating to 440 V.
    pub ac8a_a: Option<f64>,
    /// AC-8b rating to 440 V.
    pub ac8b_a: Option<f64>,
    /// `capacitor`: it damps the inrush of capacitors and is for nothing else; empty for all other contactors.
    pub made_for: Option<String>,
    /// AC-6b rating to 440 V, if declared.
    pub ac6b_a: Option<f64>,
}

impl Contactor {
    /// Declared rating in a category at a voltage; none if not declared there. AC-2 is covered by AC-3; lamps, transformers and
    /// capacitors are derived by rules.
    #[must_use]
    pub fn rating(&self, category: Category, volts: f64) -> Option<f64> {
        let by_voltage = |to_440: Option<f64>, to_500: Option<f64>, to_690: Option<f64>| {
            if volts <= 440.0 {
                to_440
            } else if volts <= 500.0 {
                to_500
            } else if volts <= 690.0 {
                to_690
            } else {
                None
            }
        };
        match category {
            Category::Ac1 => self.ac1_a.filter(|_| volts <= self.max_voltage_v),
            Category::Ac2 | Category::Ac3 => by_voltage(self.ac3_440_a, self.ac3_500_a, self.ac3_690_a),
            Category::Ac3e => by_voltage(self.ac3e_440_a, self.ac3e_500_a, self.ac3e_690_a),
            Category::Ac4 => by_voltage(self.ac4_440_a, self.ac4_690_a, self.ac4_690_a),
            Category::Ac6b => by_voltage(self.ac6b_a, None, None),
            Category::Ac7a => by_voltage(self.ac7a_a, None, None),
            Category::Ac7b => by_voltage(self.ac7b_a, None, None),
            Category::Ac8a => by_voltage(self.ac8a_a, None, None),
            Category::Ac8b => by_voltage(self.ac8b_a, None, None),
            Category::Ac5a | Category::Ac5b | Category::Ac6a | Category::Horsepower | Category::Continuous => None,
        }
    }

    /// Part number with a coil.
    #[must_use]
    pub fn part_with(&self, coil: &Coil) -> String {
        format!("{}-{}", self.part, coil.code)
    }

    /// Horsepower rating for a use, 1 or 3 phases and a voltage between lines; none if it is not declared.
    #[must_use]
    pub fn horsepower(&self, use_of: HorsepowerUse, phases: u32, volts: f64) -> Option<f64> {
        // No column of one phase is declared for 200 V; at 208 V the current is larger, so it must be held against
        // `continuous_a` besides.
        let column = controller_column(phases, Volts(volts))?;
        let of =
            |columns: [(f64, Option<f64>); 4]| columns.into_iter().find(|(volts, _)| *volts == column).and_then(|(_, hp)| hp);
        let three =
            |a: Option<f64>, b: Option<f64>, c: Option<f64>, d: Option<f64>| of([(200.0, a), (230.0, b), (460.0, c), (575.0, d)]);
        let one = |a: Option<f64>, b: Option<f64>| of([(115.0, a), (230.0, b), (0.0, None), (0.0, None)]);
        match (use_of, phases) {
            (HorsepowerUse::FullVoltage, 3) => three(self.hp_3ph_200, self.hp_3ph_230, self.hp_3ph_460, self.hp_3ph_575),
            (HorsepowerUse::FullVoltage, 1) => one(self.hp_1ph_115, self.hp_1ph_230),
            (HorsepowerUse::Jogging, 3) => {
                three(self.jog_hp_3ph_200, self.jog_hp_3ph_230, self.jog_hp_3ph_460, self.jog_hp_3ph_575)
            }
            (HorsepowerUse::Jogging, 1) => one(self.jog_hp_1ph_115, self.jog_hp_1ph_230),
            (HorsepowerUse::WyeDelta, 3) => {
                three(self.wye_delta_hp_3ph_200, self.wye_delta_hp_3ph_230, self.wye_delta_hp_3ph_460, self.wye_delta_hp_3ph_575)
            }
            (HorsepowerUse::PartWinding, 3) => three(
                self.part_winding_hp_3ph_200,
                self.part_winding_hp_3ph_230,
                self.part_winding_hp_3ph_460,
                self.part_winding_hp_3ph_575,
            ),
            _ => None,
        }
    }

    /// It is for capacitors and nothing else.
    #[must_use]
    pub fn is_for_capacitors(&self) -> bool {
        self.made_for.as_deref() == Some("capacitor")
    }

    /// It is a NEMA size: rated in horsepower and a continuous current, not in utilization categories.
    #[must_use]
    pub fn is_nema(&self) -> bool {
        self.standard.as_deref() == Some("NEMA")
    }

    /// Rated current that stands for the whole frame, in A: the AC-3 rating to 440 V, else the continuous current, else that for
    /// capacitors.
    #[must_use]
    pub fn load_rating_a(&self) -> f64 {
        self.ac3_440_a.or(self.continuous_a).or(self.ac6b_a).unwrap_or(0.0)
    }

    /// Current that it carries without switching it, in A: the AC-1 rating, else the continuous current. Books ask for the one or
    /// the other.
    #[cfg(test)]
    #[must_use]
    pub fn thermal_a(&self) -> f64 {
        self.ac1_a.or(self.continuous_a).unwrap_or(0.0)
    }
}
