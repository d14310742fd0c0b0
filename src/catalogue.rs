//! Equipment that can be bought, as data: one CSV a family. The built-in range is invented, on the preferred currents of
//! IEC 60059, and says so; a user replaces it by a folder of their own CSVs with the same headings.
//!
//! A catalogue knows ratings and what fits what. It decides nothing: choosing is `sizing`'s.

use serde::Deserialize;

mod check;
mod find;
mod load;
mod rows;
mod show;

pub use check::check;
pub use load::{CatalogueError, FAMILIES, builtin, from_folder};
pub use show::show;

/// Sentence that every page of every output carries while the built-in range is in use.
pub const DEMONSTRATION: &str = "invented demonstration range: not for procurement";

/// A whole range of equipment. Families are sorted in the order of preference `smallest`.
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    /// Its name.
    pub name: String,
    /// SHA-256 over its files.
    pub sha256: String,
    /// It is the built-in invented range: not for procurement.
    pub demonstration: bool,
    /// Contactors, by AC-3 rating.
    pub contactors: Vec<Contactor>,
    /// Coils that contactors are offered with.
    pub coils: Vec<Coil>,
    /// Overload relays.
    pub overload_relays: Vec<OverloadRelay>,
    /// Motor-protective circuit-breakers.
    pub motor_breakers: Vec<MotorBreaker>,
    /// Moulded-case circuit-breakers with motor protection or magnetic-only.
    pub moulded_case_breakers: Vec<MouldedCaseBreaker>,
    /// Fuse-links.
    pub fuses: Vec<Fuse>,
    /// Local isolators.
    pub isolators: Vec<Isolator>,
    /// Soft starters.
    pub soft_starters: Vec<SoftStarter>,
    /// Drives.
    pub drives: Vec<Drive>,
    /// Cables.
    pub cables: Vec<Cable>,
    /// Accessories.
    pub accessories: Vec<AccessoryPart>,
    /// Tested combinations of contactor, relay and protective device.
    pub combinations: Vec<Combination>,
    /// Miniature circuit-breakers and the like for loads that are no motors.
    pub line_breakers: Vec<LineBreaker>,
}

/// A contactor: one rating of a frame.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contactor {
    /// Part number without the coil.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Frame.
    pub frame: String,
    /// AC-3 rating to 440 V.
    pub ac3_440_a: f64,
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
    /// AC-1 rating to 690 V, at 40 °C.
    pub ac1_a: f64,
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
    /// Largest gG fuse that may protect it for type 1.
    pub max_fuse_type_1_a: f64,
    /// Price.
    pub price: Option<f64>,
}

pub use crate::rules::Category;

impl Contactor {
    /// Declared rating in AC-1, AC-3, AC-3e or AC-4 at a voltage; none if not declared there. AC-2 is covered by AC-3.
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
            Category::Ac1 => (volts <= self.max_voltage_v).then_some(self.ac1_a),
            Category::Ac2 | Category::Ac3 => by_voltage(Some(self.ac3_440_a), self.ac3_500_a, self.ac3_690_a),
            Category::Ac3e => by_voltage(self.ac3e_440_a, self.ac3e_500_a, self.ac3e_690_a),
            Category::Ac4 => by_voltage(self.ac4_440_a, self.ac4_690_a, self.ac4_690_a),
            Category::Ac5a | Category::Ac5b | Category::Ac6a | Category::Ac6b | Category::Horsepower => None,
        }
    }

    /// Part number with a coil.
    #[must_use]
    pub fn part_with(&self, coil: &Coil) -> String {
        format!("{}-{}", self.part, coil.code)
    }
}

/// A coil voltage that contactors are offered with.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Coil {
    /// Suffix of the part number.
    pub code: String,
    /// Rated voltage.
    pub volts: f64,
    /// Direct current.
    pub dc: bool,
}

/// An overload relay.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OverloadRelay {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// `bimetal` or `electronic`.
    pub kind: String,
    /// Contactor frames that it mounts on, separated by blanks.
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
    /// Largest gG fuse that may protect it for type 1.
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
}

/// A motor-protective circuit-breaker: overload release, magnetic release and isolation in one.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MotorBreaker {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Frame, such as `16 A`.
    pub frame: String,
    /// Lower end of the range.
    pub range_min_a: f64,
    /// Upper end of the range.
    pub range_max_a: f64,
    /// Trip class.
    pub class: String,
    /// Magnetic trip over its base.
    pub magnetic_multiple: f64,
    /// `range-top` or `setting`.
    pub magnetic_base: String,
    /// Tolerance of the magnetic trip, per cent.
    pub magnetic_tolerance_pct: f64,
    /// Breaking capacity to 240 V.
    pub breaking_240_ka: f64,
    /// Breaking capacity to 440 V.
    pub breaking_440_ka: f64,
    /// Breaking capacity to 500 V.
    pub breaking_500_ka: f64,
    /// Breaking capacity to 690 V.
    pub breaking_690_ka: f64,
    /// Largest let-through energy at its breaking capacity, A²s.
    pub let_through_a2s: f64,
    /// Step of its dial.
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
}

impl MotorBreaker {
    /// Breaking capacity at a voltage; none above 690 V.
    #[must_use]
    pub fn breaking_ka(&self, volts: f64) -> Option<f64> {
        breaking_at(volts, [self.breaking_240_ka, self.breaking_440_ka, self.breaking_500_ka, self.breaking_690_ka])
    }
}

/// A moulded-case circuit-breaker.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MouldedCaseBreaker {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Frame.
    pub frame: String,
    /// `motor` (adjustable overload with motor curve), `magnetic` (no overload release) or `distribution`.
    pub release: String,
    /// Rated current.
    pub rating_a: f64,
    /// Lower end of the overload setting; none for `magnetic`.
    pub range_min_a: Option<f64>,
    /// Upper end of the overload setting; none for `magnetic`.
    pub range_max_a: Option<f64>,
    /// Trip classes, separated by blanks; empty if not of the motor kind.
    pub classes: String,
    /// Lowest setting of the magnetic trip over the rated current.
    pub magnetic_min_multiple: f64,
    /// Highest setting of the magnetic trip over the rated current.
    pub magnetic_max_multiple: f64,
    /// Tolerance of the magnetic trip, per cent.
    pub magnetic_tolerance_pct: f64,
    /// Breaking capacity to 240 V.
    pub breaking_240_ka: f64,
    /// Breaking capacity to 440 V.
    pub breaking_440_ka: f64,
    /// Breaking capacity to 500 V.
    pub breaking_500_ka: f64,
    /// Breaking capacity to 690 V.
    pub breaking_690_ka: f64,
    /// Largest let-through energy at its breaking capacity, A²s.
    pub let_through_a2s: f64,
    /// Step of its overload dial.
    pub dial_step_a: f64,
    /// Heat at the rated current.
    pub loss_w: f64,
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

impl MouldedCaseBreaker {
    /// Breaking capacity at a voltage; none above 690 V.
    #[must_use]
    pub fn breaking_ka(&self, volts: f64) -> Option<f64> {
        breaking_at(volts, [self.breaking_240_ka, self.breaking_440_ka, self.breaking_500_ka, self.breaking_690_ka])
    }
}

/// A circuit-breaker of fixed rating with a type B, C or D curve.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineBreaker {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Rated current.
    pub rating_a: f64,
    /// Curve: `B`, `C` or `D`.
    pub curve: String,
    /// Poles.
    pub poles: u32,
    /// Breaking capacity to 240 V.
    pub breaking_240_ka: f64,
    /// Breaking capacity to 440 V.
    pub breaking_440_ka: f64,
    /// Largest let-through energy at its breaking capacity, A²s.
    pub let_through_a2s: f64,
    /// Heat at the rated current.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Price.
    pub price: Option<f64>,
}

impl LineBreaker {
    /// Breaking capacity at a voltage; none above 440 V.
    #[must_use]
    pub fn breaking_ka(&self, volts: f64) -> Option<f64> {
        if volts <= 240.0 {
            Some(self.breaking_240_ka)
        } else if volts <= 440.0 {
            Some(self.breaking_440_ka)
        } else {
            None
        }
    }
}

fn breaking_at(volts: f64, steps: [f64; 4]) -> Option<f64> {
    let [to_240, to_440, to_500, to_690] = steps;
    if volts <= 240.0 {
        Some(to_240)
    } else if volts <= 440.0 {
        Some(to_440)
    } else if volts <= 500.0 {
        Some(to_500)
    } else if volts <= 690.0 {
        Some(to_690)
    } else {
        None
    }
}

/// A fuse-link.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fuse {
    /// Part number of the link.
    pub part: String,
    /// What it is.
    pub description: String,
    /// `gG` or `aM`.
    pub kind: String,
    /// Rated current.
    pub rating_a: f64,
    /// Largest voltage.
    pub max_voltage_v: f64,
    /// Breaking capacity.
    pub breaking_ka: f64,
    /// Largest operating (total) I²t at its breaking capacity, A²s.
    pub let_through_a2s: f64,
    /// Part number of the switch-disconnector-fuse or base for three poles.
    pub base_part: String,
    /// What the base is.
    pub base_description: String,
    /// Heat of one link at the rated current.
    pub loss_w: f64,
    /// Width of the three-pole base.
    pub width_mm: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Price of one link.
    pub price: Option<f64>,
    /// Price of the base.
    pub base_price: Option<f64>,
}

/// A local isolator (switch-disconnector).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Isolator {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Rating in AC-23A to 440 V.
    pub ac23_440_a: f64,
    /// Rating in AC-23A to 690 V.
    pub ac23_690_a: f64,
    /// Poles; six for star-delta.
    pub poles: u32,
    /// Can be locked in the off position.
    pub lockable: bool,
    /// Conditional short-circuit current with the stated fuse.
    pub conditional_ka: f64,
    /// Largest gG fuse before it.
    pub max_fuse_a: f64,
    /// Enclosure, such as `IP65`.
    pub enclosure: String,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A soft starter.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoftStarter {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Rated current in the line.
    pub rating_a: f64,
    /// May be connected inside the delta.
    pub inside_delta: bool,
    /// Has a bypass of its own.
    pub bypass_built_in: bool,
    /// Start current over rated current of its rating code.
    pub start_ratio: f64,
    /// Start time of its rating code.
    pub start_s: f64,
    /// Starts an hour of its rating code.
    pub starts_per_hour: f64,
    /// Motor overload protection built in.
    pub overload_built_in: bool,
    /// Largest voltage.
    pub max_voltage_v: f64,
    /// Heat while running without bypass.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A variable-speed drive.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drive {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Rated output current.
    pub output_a: f64,
    /// Rated input current at rated output.
    pub input_a: f64,
    /// Phases of the supply.
    pub phases: u32,
    /// Smallest voltage.
    pub min_voltage_v: f64,
    /// Largest voltage.
    pub max_voltage_v: f64,
    /// Efficiency at rated output.
    pub efficiency_pct: f64,
    /// Longest screened motor cable without an output filter.
    pub max_cable_m: f64,
    /// Largest gG fuse before it.
    pub max_fuse_a: f64,
    /// Conditional short-circuit current with that fuse.
    pub conditional_ka: f64,
    /// Heat at rated output.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Smallest conductor of the terminals.
    pub terminal_min_mm2: f64,
    /// Largest conductor of the terminals.
    pub terminal_max_mm2: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A cable, sold by the metre.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cable {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// `copper` or `aluminium`.
    pub material: String,
    /// `pvc` or `xlpe`.
    pub insulation: String,
    /// Cores, the protective conductor included: 1, 3, 4, 5 or 7.
    pub cores: u32,
    /// Size of a phase conductor.
    pub size_mm2: f64,
    /// Size of the protective conductor in the cable; none for single cores, the size itself for a green-and-yellow single core.
    pub protective_mm2: Option<f64>,
    /// Screened, for drives.
    pub screened: bool,
    /// Price of one metre.
    pub price: Option<f64>,
}

/// An accessory.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AccessoryPart {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// `auxiliary-block`, `suppressor`, `interlock`, `timer`, `shroud`, `connecting-module`, `wiring-link`, `paralleling-link`,
    /// `star-bridge`, `relay-base`, `interposing-relay`, `commoning-bar`, `signal-block`.
    pub kind: String,
    /// Contactor or breaker frames that it fits, separated by blanks; empty if it fits nothing in particular.
    pub fits_frames: String,
    /// Frames of motor-protective circuit-breakers that it fits or, as connecting module, joins, separated by semicolons;
    /// empty if none.
    pub fits_breaker_frames: String,
    /// `front`, `side`, `between`, `terminals` or empty.
    pub position: String,
    /// Normally open contacts.
    pub no: u32,
    /// Normally closed contacts.
    pub nc: u32,
    /// Contacts fit for electronic levels.
    pub low_level: bool,
    /// Normally closed contact is a mirror contact.
    pub mirror: bool,
    /// Suppressor: `varistor`, `rc` or `diode`; timer: `star-delta`, `on-delay` or `off-delay`; wiring link: `reversing` or
    /// `star-delta`; else empty.
    pub variant: String,
    /// Lowest voltage.
    pub min_voltage_v: Option<f64>,
    /// Highest voltage.
    pub max_voltage_v: Option<f64>,
    /// Suits alternating current.
    pub ac: bool,
    /// Suits direct current.
    pub dc: bool,
    /// Factor on the AC-1 rating of one pole (paralleling links).
    pub factor: Option<f64>,
    /// Poles that it links (paralleling links).
    pub poles: Option<u32>,
    /// Width that it adds.
    pub width_mm: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A tested combination: only such a line allows a co-ordination type to be claimed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Combination {
    /// Part number of the protective device.
    pub protection_part: String,
    /// Part number of the contactor without the coil.
    pub contactor_part: String,
    /// Part number of the overload relay; empty where the device protects against overload.
    pub overload_part: String,
    /// `type-1` or `type-2`.
    pub coordination: String,
    /// Largest voltage.
    pub max_voltage_v: f64,
    /// Rated conditional short-circuit current.
    pub conditional_ka: f64,
}

#[cfg(test)]
mod tests;
