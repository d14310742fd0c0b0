//! The result: one owned type, written as design.json and read back; there is no second model.
//!
//! Units stand in the names, numbers are numbers, what is absent is null. Keys follow the contract and may only be added to.
//! The field comments are the descriptions in the JSON Schema.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::basis::Basis;
use crate::finding::{Finding, Place};

/// Identifies the form of the file.
pub const SCHEMA: &str = "motorwright.design/1";

/// A whole design: the circuits of a schedule, its boards, and what to buy.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Design {
    /// Form of the file.
    pub schema: String,
    /// Version of the program that wrote it.
    pub program_version: String,
    /// Rule book, `iec` or `nec`.
    pub rule_book: String,
    /// Editions of the rule book's main documents.
    pub edition: String,
    /// Files that were read.
    pub inputs: Vec<HashedFile>,
    /// Equipment catalogue.
    pub catalogue: CatalogueStamp,
    /// Basis as it was read.
    pub basis: Basis,
    /// Project block of the basis, repeated for readers that want only it.
    pub project: crate::basis::ProjectBasis,
    /// Files written beside this one.
    pub outputs: Vec<HashedFile>,
    /// Circuits in the order of the schedule.
    pub circuits: Vec<Circuit>,
    /// Boards.
    pub boards: Vec<Board>,
    /// What to buy.
    pub purchase: Vec<PurchaseLine>,
    /// Sums over what to buy.
    #[serde(default)]
    pub purchase_totals: PurchaseTotals,
    /// Findings that belong to no circuit or board.
    pub findings: Vec<Finding>,
}

/// A file and the hash of its bytes.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HashedFile {
    /// Name without folders.
    pub file: String,
    /// SHA-256 of its bytes, as lower-case hexadecimal digits.
    pub sha256: String,
}

/// Which catalogue was used.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CatalogueStamp {
    /// Its name.
    pub name: String,
    /// SHA-256 over its files.
    pub sha256: String,
    /// It is the built-in invented demonstration range: not for procurement.
    pub demonstration: bool,
}

/// What became of a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Every device chosen, every check passed.
    Sized,
    /// Sized, but a check failed or could not be made, or somebody must decide.
    NeedsDecision,
    /// Not sized; the findings say why.
    #[default]
    NotSized,
}

impl Status {
    /// The words that are printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Sized => "sized",
            Self::NeedsDecision => "needs decision",
            Self::NotSized => "not sized",
        }
    }
}

/// One circuit; there is one for each row of the schedule.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Circuit {
    /// Tag as it stands in the schedule.
    pub tag: String,
    /// Its machines, ranges expanded.
    pub tags: Vec<String>,
    /// Board that feeds it.
    pub board: String,
    /// What it is.
    pub description: String,
    /// Identical circuits under this row.
    pub quantity: u32,
    /// How many of the row's machines run at most.
    pub duty_count: Option<u32>,
    /// How many stand by.
    pub standby_count: Option<u32>,
    /// Where the row stands.
    pub place: CircuitPlace,
    /// What became of it.
    pub status: Status,
    /// What was read of the load.
    pub load: LoadData,
    /// Currents.
    pub currents: Currents,
    /// Contactors by role.
    pub contactors: Vec<Contactor>,
    /// The first of `overloads`.
    pub overload: Option<Overload>,
    /// Overload relays or releases.
    pub overloads: Vec<Overload>,
    /// Short-circuit protective device.
    pub protection: Option<Protection>,
    /// Soft starter, drive, transformer, resistor or reactor of the starting method.
    pub starter_devices: Vec<StarterDevice>,
    /// Supply-side run.
    pub conductors: Option<Run>,
    /// All runs, the supply-side run first.
    pub runs: Vec<Run>,
    /// Control circuit.
    pub control: Option<Control>,
    /// Local isolator.
    pub disconnect: Option<Disconnect>,
    /// Auxiliary contacts, suppressors, interlocks, timers and the like.
    pub accessories: Vec<Accessory>,
    /// Auxiliary contacts of the contactors: what each is for and where it sits.
    #[serde(default)]
    pub auxiliary_contacts: Vec<AuxiliaryContact>,
    /// Fault currents.
    pub fault: Fault,
    /// Checks, each passed, failed or not made.
    pub checks: Vec<Check>,
    /// Parts of one circuit.
    pub parts: Vec<Part>,
    /// Steps of the working, as far as the basis asks for them.
    pub working: Vec<WorkingLine>,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// File, sheet and row of a circuit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CircuitPlace {
    /// File name.
    pub file: String,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Row from 1.
    pub row: u32,
}

impl From<Place> for CircuitPlace {
    fn from(place: Place) -> Self {
        Self { file: place.file, sheet: place.sheet, row: place.row.unwrap_or(0) }
    }
}

/// What was read of a load. `other` holds every further canonical column that the row had.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LoadData {
    /// Kind of load.
    pub kind: String,
    /// Shaft power of a motor, input power of other loads.
    pub rated_power_kw: Option<f64>,
    /// The same in horsepower, where the row gave that.
    pub rated_power_hp: Option<f64>,
    /// Rated voltage.
    pub voltage_v: Option<f64>,
    /// Phases.
    pub phases: Option<u32>,
    /// Frequency.
    pub frequency_hz: Option<f64>,
    /// Efficiency that was used.
    pub efficiency_pct: Option<f64>,
    /// Power factor that was used.
    pub power_factor: Option<f64>,
    /// Efficiency class.
    pub efficiency_class: Option<String>,
    /// Starting method.
    pub starting_method: Option<String>,
    /// Runs in both directions.
    pub reversing: bool,
    /// Duty type.
    pub duty: Option<String>,
    /// Duty, standby, assist or spare.
    pub running: Option<String>,
    /// Every further canonical column that was read, by its name.
    #[serde(flatten)]
    pub other: BTreeMap<String, serde_json::Value>,
}

/// Currents of a circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Currents {
    /// Rated current on which the circuit is based.
    pub full_load_a: f64,
    /// Where it comes from: `nameplate`, `table`, `computed` or `given`.
    pub source: String,
    /// Nameplate.
    pub nameplate_a: Option<f64>,
    /// Guide table.
    pub table_a: Option<f64>,
    /// From power, efficiency and power factor.
    pub computed_a: Option<f64>,
    /// Current on which conductors are sized.
    pub conductor_basis_a: f64,
    /// Current on which the short-circuit protective device is sized.
    pub protection_basis_a: f64,
    /// Current to which overload relays are set, before the winding factor.
    pub overload_basis_a: f64,
    /// Line current at start.
    pub starting_a: f64,
    /// Rated current at low speed, of a motor with two speeds.
    #[serde(default)]
    pub low_speed_a: Option<f64>,
}

/// A contactor in its role.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Contactor {
    /// Role, such as `main`, `line`, `star`, `delta`, `forward`, `reverse`, `bypass`.
    pub role: String,
    /// Current that the role carries.
    pub current_a: f64,
    /// Utilisation category.
    pub category: String,
    /// Rating in that category at the voltage.
    pub rated_a: f64,
    /// Frame.
    pub frame: String,
    /// Part number.
    pub part: String,
    /// Poles linked in parallel.
    pub poles_in_parallel: u32,
    /// The coil brings its suppression.
    pub suppression_built_in: bool,
    /// Operations to be expected in this duty.
    pub expected_operations: Option<f64>,
    /// Years that these last at the starts an hour of the row and the hours of the basis.
    #[serde(default)]
    pub expected_years: Option<f64>,
    /// Check that ruled out the next smaller contactor; empty if it is the smallest.
    #[serde(default)]
    pub governed_by: String,
}

/// An overload relay, or the release of a motor-protective circuit-breaker.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Overload {
    /// Which contactor or winding it serves.
    pub role: String,
    /// `line`, `delta-leg`, `bypass`, `low` or `high`.
    pub position: String,
    /// Share of the line current that flows through it.
    pub winding_factor: f64,
    /// Kind, such as `bimetal`, `electronic`, `motor-breaker`, `in-drive`.
    pub kind: String,
    /// Trip class.
    pub trip_class: String,
    /// Setting range.
    pub range_a: [f64; 2],
    /// Setting.
    pub setting_a: f64,
    /// Part number; empty where it is part of another device.
    pub part: String,
    /// Current to which the dial itself is set, where the relay stands behind current transformers.
    #[serde(default)]
    pub dial_a: Option<f64>,
    /// Part number of these current transformers.
    #[serde(default)]
    pub transformer_part: String,
}

/// The short-circuit protective device.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Protection {
    /// `motor-breaker`, `moulded-case`, `gG`, `aM`, ...
    pub kind: String,
    /// Rated current.
    pub rating_a: f64,
    /// Largest rating that the rules or the contactor allow.
    pub maximum_a: Option<f64>,
    /// Magnetic trip, nominal.
    pub magnetic_trip_a: Option<f64>,
    /// Its lower limit.
    pub magnetic_min_a: Option<f64>,
    /// Its upper limit.
    pub magnetic_max_a: Option<f64>,
    /// Breaking capacity at the voltage.
    pub breaking_ka: Option<f64>,
    /// `type-2`, `type-1` or `not-claimed`.
    pub coordination: String,
    /// Part number.
    pub part: String,
}

/// A soft starter, drive, autotransformer, resistor or reactor.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StarterDevice {
    /// `soft-starter`, `drive`, `autotransformer`, `resistor`, `reactor`, ...
    pub kind: String,
    /// Current that it carries.
    pub current_a: f64,
    /// Its rating.
    pub rated_a: f64,
    /// Part number; empty where the catalogue holds none and the maker must design it.
    pub part: String,
}

/// A cable run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Run {
    /// `supply`, `motor`, `motor-low`, `star-delta-leads` or `control`.
    pub role: String,
    /// Size of a phase conductor, with its unit.
    pub phase_size: String,
    /// The same as an area.
    pub phase_area_mm2: f64,
    /// Conductors in parallel a phase.
    pub per_phase: u32,
    /// Size of the neutral, where there is one.
    pub neutral_size: Option<String>,
    /// Size of the protective conductor.
    pub protective_size: String,
    /// `copper` or `aluminium`.
    pub material: String,
    /// Insulation.
    pub insulation: String,
    /// How it is laid.
    pub installation: String,
    /// Length, one way.
    pub length_m: f64,
    /// Cores of the cable, the protective conductor included.
    pub cores: u32,
    /// Corrected capacity of the run.
    pub capacity_a: f64,
    /// Capacity that was required.
    pub required_a: f64,
    /// Criterion that governs the size.
    pub governed_by: String,
    /// Longest length at which the size holds, where a length governs.
    pub holds_to_m: Option<f64>,
    /// Every criterion with the smallest size that it admits.
    pub criteria: Vec<CriterionSize>,
    /// Raceway, if the rule book asks for one.
    pub raceway: Option<Raceway>,
    /// Part number of the cable.
    pub part: String,
}

/// A criterion and the smallest size that it admits.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CriterionSize {
    /// Name of the criterion.
    pub criterion: String,
    /// Smallest size that it admits; empty if not checked or if none holds.
    pub size: String,
}

/// A raceway.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Raceway {
    /// Kind, such as `emt`.
    pub kind: String,
    /// Trade size.
    pub trade_size: String,
    /// Share of its area that is filled.
    pub fill_pct: f64,
}

/// The control circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Control {
    /// Coil voltage with its kind, such as `230 V AC`.
    pub coil_voltage: String,
    /// Power while the contactors that pick up together do so and what else of the circuit may be closed holds.
    pub pick_up_va: f64,
    /// Power while all that can hold together hold.
    pub hold_va: f64,
    /// What switches the coil.
    pub driven_by: String,
    /// An interposing relay is needed.
    pub interposing_relay: bool,
    /// Power factor of `pick_up_va`; null if that of a coil is not known.
    #[serde(default)]
    pub pick_up_power_factor: Option<f64>,
    /// Power factor of `hold_va`.
    #[serde(default)]
    pub hold_power_factor: Option<f64>,
    /// Lowest voltage at which every coil surely picks up, per cent of the coil voltage.
    #[serde(default)]
    pub lowest_pct: f64,
    /// Highest voltage that every coil stands.
    #[serde(default)]
    pub highest_pct: f64,
    /// A maintained contact: the coil picks up by itself when the supply comes back.
    #[serde(default)]
    pub maintained: bool,
    /// Commands from outside: outputs of a controller, or interposing relays.
    #[serde(default)]
    pub commands: u32,
    /// Cores of the cable to the control station or controller, the protective conductor included.
    #[serde(default)]
    pub cores: u32,
    /// Those of them that are protective.
    #[serde(default)]
    pub protective_cores: u32,
    /// The run to the control station.
    #[serde(default)]
    pub run: Option<ControlRun>,
    /// Control supply of this starter alone; null if its board's serves it.
    #[serde(default)]
    pub supply: Option<ControlSupply>,
}

/// The run between the starter and the contact that switches its coil.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ControlRun {
    /// Size of its conductors, with the unit.
    pub size: String,
    /// Length, one way; null if the contact stands at the starter.
    pub length_m: Option<f64>,
    /// Drop while contactors pick up, per cent of the coil voltage; null without a length.
    pub drop_pct: Option<f64>,
    /// Longest run by that drop.
    pub drop_reach_m: f64,
    /// Longest run at whose capacitance the contactor still releases; null for direct current.
    pub capacitance_reach_m: Option<f64>,
}

/// What feeds coils.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ControlSupply {
    /// `control-transformer`, `direct-current-supply`, or `line` where coils are fed from the line itself.
    pub kind: String,
    /// Coil voltage with its kind.
    pub coil_voltage: String,
    /// Part number; empty for `line`, and where the catalogue holds none.
    pub part: String,
    /// Rated power; null for `line`, and where the catalogue holds none.
    pub rating_va: Option<f64>,
    /// Voltage that feeds it.
    pub primary_v: f64,
    /// Rating that the coils which hold ask for.
    pub continuous_va: f64,
    /// Power while the largest group picks up and all else holds.
    pub event_va: f64,
    /// How that was added up: `vector`, or `arithmetic` where a power factor is not known.
    pub event_method: String,
    /// Circuit whose group that is.
    pub event_tag: String,
    /// Lowest voltage at a coil while it picks up, per cent of the coil voltage; null without a part.
    pub coil_voltage_pct: Option<f64>,
    /// Device before it.
    pub primary: Option<ControlDevice>,
    /// Device behind it; before the coils where the line feeds them.
    pub secondary: Option<ControlDevice>,
    /// Devices of branches, where one device would be too large for contacts or conductors.
    pub branches: Option<ControlDevice>,
    /// Tags of the circuits that it serves.
    pub serves: Vec<String>,
}

/// A protective device of a control circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ControlDevice {
    /// `fuse` or `breaker`.
    pub kind: String,
    /// Rated current.
    pub rating_a: f64,
    /// Largest rating that is admitted.
    pub maximum_a: f64,
    /// Pieces: one a pole for fuse-links.
    pub quantity: u32,
    /// Part number.
    pub part: String,
    /// Clause of the largest rating.
    pub reference: String,
}

/// A local isolator.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Disconnect {
    /// Kind.
    pub kind: String,
    /// Utilisation category.
    pub category: String,
    /// Rating in that category.
    pub rating_a: Option<f64>,
    /// Rating in horsepower.
    pub rating_hp: Option<f64>,
    /// Where it stands.
    pub location: String,
    /// It can be locked in the off position.
    pub lockable: bool,
    /// Part number.
    pub part: String,
}

/// An accessory.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Accessory {
    /// Kind, such as `auxiliary-block`, `suppressor`, `interlock`, `timer`, `shroud`.
    pub kind: String,
    /// Part number.
    pub part: String,
    /// How many.
    pub quantity: u32,
    /// Role of the contactor that it serves.
    pub serves: String,
    /// Normally open contacts that it brings.
    pub no: u32,
    /// Normally closed contacts that it brings.
    pub nc: u32,
    /// Its contacts switch electronic levels.
    pub low_level: bool,
    /// Its normally closed contact is a mirror contact.
    pub mirror: bool,
    /// Setting, such as `6 s`.
    pub setting: String,
    /// Why it is there.
    pub why: String,
    /// Where it sits on what it serves: `front`, `side`, `between`, `terminals`; empty where it stands apart.
    #[serde(default)]
    pub position: String,
    /// It serves the whole row, or several: counted once, however many identical circuits the row has.
    #[serde(default)]
    pub shared: bool,
}

/// An auxiliary contact with its function.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AuxiliaryContact {
    /// Role of the contactor.
    pub role: String,
    /// What it is for, such as `seal-in`, `interlock`, `sequence`, `feedback`, `running lamp`, `safety feedback`.
    pub function: String,
    /// `no` or `nc`.
    pub kind: String,
    /// What it switches: `logic`, `24 V` or `mains`.
    pub level: String,
    /// It is a mirror contact: it cannot be closed while a main contact is.
    pub mirror: bool,
    /// `built-in`, or the part number of what brings it; empty where the frame takes no such contact.
    pub place: String,
}

/// Fault currents.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Fault {
    /// Largest at the board.
    pub board_max_ka: Option<f64>,
    /// Largest at the motor terminals.
    pub terminal_max_ka: Option<f64>,
    /// Smallest at the motor terminals, between phases.
    pub terminal_min_ka: Option<f64>,
    /// Smallest at the motor terminals, phase to protective conductor.
    pub terminal_single_phase_min_ka: Option<f64>,
    /// Peak at the board.
    pub peak_ka: Option<f64>,
}

/// A check: passed, failed, or not made because something is unknown.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Check {
    /// Name.
    pub name: String,
    /// What it is about, where a circuit has several: a role or a run.
    pub subject: String,
    /// What is demanded or occurs.
    pub value: Option<f64>,
    /// What is allowed or can be done.
    pub limit: Option<f64>,
    /// Unit of both.
    pub unit: String,
    /// Passed; null if not checked.
    pub passed: Option<bool>,
    /// Why it was not checked.
    pub not_checked_because: Option<String>,
    /// Distance to the limit in per cent of the limit; negative if it failed.
    pub margin_pct: Option<f64>,
    /// Clause or table.
    pub reference: String,
}

/// A part of a circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Part {
    /// Part number; empty where it is not known yet.
    pub part: String,
    /// What it is.
    pub description: String,
    /// How many for one circuit, in the part's unit.
    pub quantity: f64,
    /// `pc`, `m` or `ft`.
    pub unit: String,
    /// Supplied by others.
    pub by_others: bool,
    /// Counted once for the row, however many identical circuits it has.
    #[serde(default)]
    pub shared: bool,
    /// Cut lengths, all alike, that make up the quantity; 0 for what is not sold by length.
    #[serde(default)]
    pub cuts: u32,
    /// Role of the run that it belongs to; empty for what belongs to none.
    #[serde(default)]
    pub run: String,
}

impl Part {
    /// So many pieces of a part.
    #[must_use]
    pub fn pieces(part: &str, description: &str, quantity: f64) -> Self {
        Self { part: part.to_owned(), description: description.to_owned(), quantity, unit: "pc".to_owned(), ..Self::default() }
    }
}

/// One step of a working.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkingLine {
    /// What was worked out.
    pub quantity: String,
    /// The formula.
    pub formula: String,
    /// The numbers put in.
    pub with_numbers: String,
    /// The result.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// Clause or table.
    pub reference: String,
}

impl From<crate::record::PrintedStep> for WorkingLine {
    fn from(step: crate::record::PrintedStep) -> Self {
        Self {
            quantity: step.quantity,
            formula: step.formula,
            with_numbers: step.with_numbers,
            value: step.value,
            unit: step.unit,
            reference: step.reference,
        }
    }
}

/// A board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Board {
    /// Name.
    pub name: String,
    /// Board that feeds it.
    pub fed_from: Option<String>,
    /// Voltage.
    pub voltage_v: f64,
    /// Electrical input of all loads at rated output.
    pub connected_kw: f64,
    /// Current of the loads that run together, added as phasors.
    pub running_current_a: f64,
    /// Demand current.
    pub demand_current_a: f64,
    /// Largest motor.
    pub largest_motor_tag: String,
    /// Smallest capacity of the feeder.
    pub feeder_minimum_a: f64,
    /// Largest protection of the feeder.
    pub feeder_protection_maximum_a: Option<f64>,
    /// Chosen protection of the feeder.
    pub feeder_protection_a: f64,
    /// Conductor of the feeder.
    pub feeder_conductor: String,
    /// Largest fault current.
    pub prospective_fault_ka: Option<f64>,
    /// Smallest fault current.
    pub prospective_fault_min_ka: Option<f64>,
    /// Peak.
    pub peak_ka: Option<f64>,
    /// Dip while the largest motor starts.
    pub start_dip_pct: Option<f64>,
    /// Power of the control supplies that starters share: rated power of transformers and supplies, continuous power where the line
    /// feeds the coils.
    pub control_supply_va: f64,
    /// Heat.
    pub power_loss_w: f64,
    /// Width of the devices.
    pub width_mm: f64,
    /// Checks.
    pub checks: Vec<Check>,
    /// Findings.
    pub findings: Vec<Finding>,
    /// Control supplies, one for each coil voltage that starters of the board share.
    #[serde(default)]
    pub control_supplies: Vec<ControlSupply>,
    /// Parts of the board itself.
    #[serde(default)]
    pub parts: Vec<Part>,
    /// Steps of the working, as far as the basis asks for them.
    #[serde(default)]
    pub working: Vec<WorkingLine>,
}

/// State of a purchase line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PurchaseStatus {
    /// May be ordered as far as the design goes.
    #[default]
    Firm,
    /// Used by a circuit that needs a decision or leans on assumed data.
    Hold,
    /// Supplied by others.
    ByOthers,
}

impl PurchaseStatus {
    /// The words that are printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Firm => "firm",
            Self::Hold => "hold",
            Self::ByOthers => "by others",
        }
    }
}

/// One line of the purchase list.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PurchaseLine {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// How many the circuits need, without spares and allowances.
    pub quantity: f64,
    /// `pc`, `m` or `ft`.
    pub unit: String,
    /// Price of one; null if unknown, never zero for unknown.
    pub unit_price: Option<f64>,
    /// State: on hold if any of it is.
    pub status: PurchaseStatus,
    /// Tags of the circuits that use it.
    pub used_by: Vec<String>,
    /// How many of the quantity circuits need that may be ordered.
    #[serde(default)]
    pub firm_quantity: f64,
    /// How many of the quantity circuits need that wait for a decision or for data.
    #[serde(default)]
    pub held_quantity: f64,
    /// Why it is on hold, with the tags; empty if it is not.
    #[serde(default)]
    pub held_because: String,
    /// Quantities by board, in the order of the schedule.
    #[serde(default)]
    pub boards: Vec<BoardQuantity>,
    /// Family of the catalogue; empty for what is in none.
    #[serde(default)]
    pub family: String,
    /// Spares, besides the quantity.
    #[serde(default)]
    pub spare_quantity: f64,
    /// What to order: quantity, spares and allowances, rounded up to whole packs, coils, drums or sticks.
    #[serde(default)]
    pub order_quantity: f64,
    /// How the order is made up, such as `2 drums of 500 m; 37 m left`; empty for single pieces.
    #[serde(default)]
    pub packing: String,
    /// Price of the order; null if the price of one is unknown.
    #[serde(default)]
    pub price: Option<f64>,
    /// Currency of the prices; empty if nobody states it.
    #[serde(default)]
    pub currency: String,
    /// Days from order to delivery; null if unknown.
    #[serde(default)]
    pub lead_days: Option<u32>,
    /// Remark of the price list.
    #[serde(default)]
    pub remark: String,
    /// The next larger part on this list that would serve instead, where this one is used rarely; empty if there is none.
    #[serde(default)]
    pub larger_on_list: String,
}

/// How many of a part a board takes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BoardQuantity {
    /// Board; empty where a circuit names none.
    pub board: String,
    /// How many.
    pub quantity: f64,
}

/// Sums over the purchase list. Lines without price are counted, never taken as free.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PurchaseTotals {
    /// Lines.
    pub lines: u32,
    /// Lines of which all may be ordered.
    pub firm_lines: u32,
    /// Lines of which at least a part is on hold.
    pub held_lines: u32,
    /// Lines that others supply.
    pub by_others_lines: u32,
    /// Lines, others' left out, without price.
    pub lines_without_price: u32,
    /// Price of everything that has one, by currency.
    pub prices: Vec<CurrencySum>,
    /// Longest time of delivery among those that are known, days.
    pub longest_lead_days: Option<u32>,
    /// Sums by board, of what the circuits need, without spares, allowances and whole packs.
    pub boards: Vec<BoardSum>,
}

/// A sum in one currency.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CurrencySum {
    /// Currency; empty if nobody states it.
    pub currency: String,
    /// Price of what the circuits need.
    pub needed: f64,
    /// Price of the orders, with spares, allowances and whole packs.
    pub ordered: f64,
}

/// What a board takes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BoardSum {
    /// Board; empty where a circuit names none.
    pub board: String,
    /// Lines of the list of which it takes something.
    pub lines: u32,
    /// Of these, lines without price.
    pub lines_without_price: u32,
    /// Price of what has one, by currency; `ordered` is 0: orders are made for the whole design.
    pub prices: Vec<CurrencySum>,
}

/// A value that holds for the whole design.
#[derive(Clone, Debug, Serialize)]
pub struct Assumption {
    /// What it is, such as `running voltage drop`.
    pub what: String,
    /// Value with unit.
    pub value: String,
    /// `basis`, `default` or a table.
    pub origin: String,
    /// Clause or reason.
    pub reference: String,
}

/// A caution.
#[derive(Clone, Debug, Serialize)]
pub struct Caution {
    /// Its number.
    pub id: String,
    /// Its text.
    pub text: String,
    /// Where it comes from.
    pub source: String,
    /// Tags to which it applies; empty when it applies to all.
    pub applies_to: Vec<String>,
}

/// A document on which rules rest.
#[derive(Clone, Debug, Serialize)]
pub struct SourceDocument {
    /// Table or rule in the program.
    pub table: String,
    /// Document, edition and clause.
    pub source: String,
    /// How far it was confirmed.
    pub status: String,
}
