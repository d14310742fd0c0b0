//! Equipment that can be bought, as data: one CSV a family. There is a built-in range for each rule book: one on the preferred
//! currents of IEC 60059, one on horsepower, standard ratings and wire sizes of NFPA 70. Both are invented and say so; a user
//! replaces them by a folder of their own CSVs with the same headings.
//!
//! A catalogue knows ratings and what fits what. It decides nothing: choosing is `sizing`'s.

use serde::Deserialize;

use crate::finding::Finding;

mod branch;
mod check;
mod contactor;
mod control;
mod find;
mod load;
mod material;
mod register;
mod relay;
mod rows;
mod show;
mod switch;

pub use crate::rules::physics::enclosures::is_enclosure;
pub use branch::{BranchBreaker, Disconnect, Raceway};
pub use check::check;
pub use contactor::{Contactor, HorsepowerUse};
pub use control::{ControlProtection, ControlTransformer, InterposingRelay, PowerSupply};
pub use find::{ANY_RELAY, MANUAL};
pub use load::{CatalogueError, FAMILIES, RANGES, builtin, export, families_of, from_folder, from_memory, material_of};
pub(crate) use load::{files_in, may_group_thousands, with_point};
pub use material::{ControlCable, Enclosure, Fitting, Gland, Label, Lug, MATERIAL, Price, Terminal};
pub use register::{Register, Registered};
pub use relay::OverloadRelay;
pub use show::show;
pub use switch::SwitchDisconnector;

pub use crate::rules::Category;

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
    /// Findings while its files were read, which stop nothing.
    pub remarks: Vec<Finding>,
    /// Contactors, by AC-3 rating or continuous current.
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
    /// Switch-disconnectors at the head of boards.
    pub switch_disconnectors: Vec<SwitchDisconnector>,
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
    /// Inverse-time and instantaneous-trip circuit-breakers of branch circuits.
    pub branch_breakers: Vec<BranchBreaker>,
    /// Motor-circuit switches, rated in horsepower.
    pub disconnects: Vec<Disconnect>,
    /// Raceways, sold by the length.
    pub raceways: Vec<Raceway>,
    /// Control transformers.
    pub control_transformers: Vec<ControlTransformer>,
    /// Direct-current supplies of control circuits.
    pub power_supplies: Vec<PowerSupply>,
    /// Fuses and circuit-breakers of control circuits.
    pub control_protection: Vec<ControlProtection>,
    /// Relays between controllers' outputs and coils.
    pub interposing_relays: Vec<InterposingRelay>,
    /// Cables with control cores.
    pub control_cables: Vec<ControlCable>,
    /// Glands.
    pub glands: Vec<Gland>,
    /// Cable lugs.
    pub lugs: Vec<Lug>,
    /// Terminals.
    pub terminals: Vec<Terminal>,
    /// Enclosures for single circuits.
    pub enclosures: Vec<Enclosure>,
    /// Nameplates and cable tags.
    pub labels: Vec<Label>,
    /// Connectors and couplings of raceways.
    pub fittings: Vec<Fitting>,
    /// Price list; it prevails over the prices in the families.
    pub prices: Vec<Price>,
    /// Families of small material whose file is not there.
    pub lacks: Vec<&'static str>,
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

/// A motor-protective circuit-breaker: overload release, magnetic release and isolation in one.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MotorBreaker {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
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
    /// Description, as the purchase list prints it.
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
    /// Step of the setting of the magnetic trip over the rated current; empty where it is set without steps.
    pub magnetic_step_multiple: Option<f64>,
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
    /// Description, as the purchase list prints it.
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
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `gG` or `aM`; `class-CC`, `class-J`, `dual-element`, `class-RK1` or `non-time-delay`.
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
    /// Description of the base.
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
    /// Rating of the switch that its base is.
    pub switch_rating_a: Option<f64>,
    /// That switch can be locked open.
    pub switch_lockable: Option<bool>,
    /// Horsepower of that switch with this fuse to 240 V, three phases.
    pub switch_hp_240: Option<f64>,
    /// To 480 V.
    pub switch_hp_480: Option<f64>,
    /// To 600 V.
    pub switch_hp_600: Option<f64>,
    /// Horsepower of that switch with this fuse to 120 V, a single phase.
    pub switch_hp_1ph_115: Option<f64>,
    /// To 240 V.
    pub switch_hp_1ph_230: Option<f64>,
}

impl Fuse {
    /// Horsepower of its switch at a voltage; none where it is not stated.
    #[must_use]
    pub fn switch_horsepower(&self, phases: u32, volts: f64) -> Option<f64> {
        if phases != 3 {
            if volts <= 120.0 { self.switch_hp_1ph_115 } else { self.switch_hp_1ph_230.filter(|_| volts <= 240.0) }
        } else if volts <= 240.0 {
            self.switch_hp_240
        } else if volts <= 480.0 {
            self.switch_hp_480
        } else if volts <= 600.0 {
            self.switch_hp_600
        } else {
            None
        }
    }
}

/// A local isolator (switch-disconnector).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Isolator {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Rating in AC-23A to 440 V.
    pub ac23_440_a: f64,
    /// Rating in AC-23A to 690 V.
    pub ac23_690_a: f64,
    /// Poles; six for star-delta, four where the neutral is opened too.
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
    /// Description, as the purchase list prints it.
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
    /// Largest fuse before it.
    pub max_fuse_a: Option<f64>,
    /// Short-circuit current rating that is marked on it, with the protective devices of its instructions, kA; none if unmarked.
    pub short_circuit_rating_ka: Option<f64>,
    /// Current at which its overload protection trips in the end, over its setting.
    pub ultimate_trip_factor: Option<f64>,
}

/// A variable-speed drive.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drive {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
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
    /// Largest fuse before it.
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
    /// Short-circuit current rating that is marked on it, with any protective device of its instructions, kA; none if unmarked.
    pub short_circuit_rating_ka: Option<f64>,
    /// Motor overload protection built in; not said: it is, as in every drive of the trade.
    pub overload_built_in: Option<bool>,
    /// Current at which its overload protection trips in the end, over its setting.
    pub ultimate_trip_factor: Option<f64>,
}

/// A cable, sold by the metre.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cable {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `copper` or `aluminium`.
    pub material: String,
    /// `pvc` or `xlpe`; `thhn`, `thwn-2` or `xhhw-2`.
    pub insulation: String,
    /// Cores, the protective conductor included: 1, 3, 4, 5 or 7.
    pub cores: u32,
    /// Size of a phase conductor.
    pub size_mm2: f64,
    /// Size of the protective conductor in the cable; none for single cores, the size itself for a green-and-yellow single core.
    pub protective_mm2: Option<f64>,
    /// Screened, for drives.
    pub screened: bool,
    /// Outer diameter.
    pub outer_mm: Option<f64>,
    /// Length of a coil; none if it is not sold so. Without coil and drum it is sold cut to length.
    pub coil_m: Option<f64>,
    /// Length of a drum; none if it is not sold so.
    pub drum_m: Option<f64>,
    /// Price of one metre, or of one foot where lengths are bought so.
    pub price: Option<f64>,
}

/// An accessory.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AccessoryPart {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `auxiliary-block`, `suppressor`, `interlock`, `timer`, `shroud`, `connecting-module`, `wiring-link`, `paralleling-link`,
    /// `star-bridge`, `relay-base`, `commoning-bar`, `signal-block`, `feed-terminal`, `phase-barrier`,
    /// `undervoltage-release`, `shunt-release`, `remote-reset`, `door-handle`, `thermistor-relay`, `indicator`, `station`.
    pub kind: String,
    /// Contactor or breaker frames that it fits, separated by blanks; empty if it fits nothing in particular.
    pub fits_frames: String,
    /// Frames of circuit-breakers that it fits or, as connecting module, joins, separated by semicolons; empty if none.
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
    /// Suppressor: `varistor`, `rc`, `diode` or `diode-zener`; timer: `star-delta`, `on-delay` or `off-delay`; wiring link:
    /// `reversing` or `star-delta`; indicator: `lamp`, `ammeter` or `hour-meter`; station: what it commands; else empty.
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
    /// Shortest time to which a timer is set, s.
    pub set_min_s: Option<f64>,
    /// Longest time to which a timer is set, s.
    pub set_max_s: Option<f64>,
    /// Pause between star and delta, ms (star-delta timers).
    pub pause_ms: Option<f64>,
    /// Rated current (commoning bars, feed terminals), or upper end of the scale (ammeters).
    pub current_a: Option<f64>,
    /// Devices that it joins (commoning bars).
    pub ways: Option<u32>,
    /// Its normally open contact opens before the main contacts; not declared: it does not.
    pub early_break: Option<bool>,
}

/// A tested combination: only such a line allows a co-ordination type to be claimed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Combination {
    /// Part number of the protective device.
    pub protection_part: String,
    /// Part number of the contactor without the coil.
    pub contactor_part: String,
    /// Part number of the overload relay; empty where the device protects against overload; `any` where every relay that mounts on
    /// the contactor will do, and none as well.
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
