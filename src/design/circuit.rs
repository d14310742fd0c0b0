//! One circuit: where it stands, what became of it, what was read of its load, its currents and fault currents.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    Accessory, AuxiliaryContact, Check, Contactor, Control, Disconnect, Given, Overload, Part, Protection, RevisionMark, Run,
    StartCourse, StarterDevice, Working,
};
use crate::finding::{Finding, Place};

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
    /// Equal motors behind its starter for which it is sized, each with overload relay and run of its own. Its currents are those of all
    /// of them together; `nameplate_a`, `table_a` and `computed_a` are those of one.
    #[serde(default = "super::one")]
    pub motors: u32,
    /// How many of the row's machines run at most.
    pub duty_count: Option<u32>,
    /// How many stand by.
    pub standby_count: Option<u32>,
    /// Where the row stands.
    pub place: CircuitPlace,
    /// What became of it.
    pub status: Status,
    /// What the row states, by canonical column, in the unit of the column; nothing that was assumed or worked out.
    #[serde(default)]
    pub stated: BTreeMap<String, serde_json::Value>,
    /// Cells of columns that the program does not read, by heading.
    #[serde(default)]
    pub carried: BTreeMap<String, String>,
    /// What stands in cells that could not be read, by canonical column; the key is absent where there is none.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub unread: BTreeMap<String, String>,
    /// Mark of the present revision; null where it changed nothing in this circuit, and where no earlier design was named.
    #[serde(default)]
    pub revision_mark: Option<RevisionMark>,
    /// What was read of the load, with what was used where the row is open.
    pub load: LoadData,
    /// Lines to which a single-phase circuit is connected, as `L1-N` or `L2-L3`; empty for others, and where nothing tells them.
    #[serde(default)]
    pub lines: String,
    /// The row states these lines; else they were assigned.
    #[serde(default)]
    pub lines_stated: bool,
    /// Currents.
    pub currents: Currents,
    /// Course of its start; null where nothing starts that is ours, and behind a drive.
    #[serde(default)]
    pub start: Option<StartCourse>,
    /// What its start takes of the voltage at its terminals; null where something on the way is unknown, or nothing starts.
    #[serde(default)]
    pub start_voltage: Option<StartVoltage>,
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
    /// Devices and conductors that others chose, each with its verdict.
    #[serde(default)]
    pub given: Vec<Given>,
    /// Fault currents.
    pub fault: Fault,
    /// Checks, each passed, failed or not made.
    pub checks: Vec<Check>,
    /// Parts of one circuit.
    pub parts: Vec<Part>,
    /// Steps of the working, as far as the basis asks for them.
    pub working: Working,
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

/// Findings by which a main part of a circuit is missing, with its name.
const MAIN_PARTS: [(&str, &str); 5] = [
    ("C201", "protective device"),
    ("C203", "contactor"),
    ("C204", "overload relay"),
    ("C206", "soft starter or drive"),
    ("C601", "conductors"),
];

impl Circuit {
    /// Main parts that a circuit which was sized is without: nothing in the catalogue or the book holds. It is not complete.
    #[must_use]
    pub fn missing_parts(&self) -> Vec<&'static str> {
        if self.status == Status::NotSized {
            return Vec::new();
        }
        let is_told = |code: &str| self.findings.iter().any(|finding| finding.code == code);
        MAIN_PARTS.iter().filter(|(code, _)| is_told(code)).map(|(_, part)| *part).collect()
    }

    /// The current of the low speed, where an overload protection is that of the low one of two speeds.
    #[must_use]
    pub fn low_speed_current(&self, overload: &Overload) -> Option<f64> {
        self.currents.low_speed_a.filter(|_| overload.position == "low")
    }

    /// The circuit-breaker before a drive protects the drive's line; the motor is the drive's to protect.
    #[must_use]
    pub fn stands_before_drive(&self, overload: &Overload) -> bool {
        overload.role == "protection" && self.overloads.iter().any(|other| other.role == "drive")
    }

    /// The current after which an overload protection is set, before its share: of two speeds that of its own, before a drive what the
    /// drive takes from the line.
    #[must_use]
    pub fn overload_current(&self, overload: &Overload) -> f64 {
        let of_drive = self.currents.line_a.filter(|_| self.stands_before_drive(overload));
        of_drive.or(self.low_speed_current(overload)).unwrap_or(self.currents.overload_basis_a)
    }

    /// The dial of a breaker's overload release where that protects what stands behind it, and no motor: relays and releases that guard
    /// the motor are overload protections.
    #[must_use]
    pub fn release_setting(&self) -> Option<f64> {
        let device = self.protection.as_ref()?;
        let of_motor = self.overloads.iter().any(|relay| relay.kind == device.kind);
        device.setting_a.filter(|_| !of_motor)
    }
}

impl From<&CircuitPlace> for Place {
    fn from(place: &CircuitPlace) -> Self {
        Self { sheet: place.sheet.clone(), row: (place.row > 0).then_some(place.row), ..Self::file(&place.file) }
    }
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

/// The voltage at the terminals of what starts, behind the feed where the drop is most: cable, feeders and source together.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StartVoltage {
    /// Drop by the start, per cent of nominal.
    pub drop_pct: f64,
    /// What is left, per cent of nominal.
    pub left_pct: f64,
    /// The supply or source that feeds it then.
    pub feed: String,
    /// The largest drop that the basis admits, per cent.
    pub limit_pct: f64,
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
    /// Line current while the load runs, by which its protective device is chosen: of a drive its input.
    #[serde(default)]
    pub line_a: Option<f64>,
    /// Line current at start.
    pub starting_a: f64,
    /// Rated current at low speed, of a motor with two speeds.
    #[serde(default)]
    pub low_speed_a: Option<f64>,
}

impl Currents {
    /// The rated current of that speed which draws more, A: of a motor with two speeds either may run or be started.
    #[must_use]
    pub fn of_larger_speed_a(&self) -> f64 {
        self.low_speed_a.map_or(self.full_load_a, |low| low.max(self.full_load_a))
    }
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

impl Fault {
    /// The smallest at the motor terminals, kA, of those that are known: between phases, or from one to the protective conductor.
    #[must_use]
    pub fn terminal_least_ka(&self) -> Option<f64> {
        [self.terminal_min_ka, self.terminal_single_phase_min_ka].into_iter().flatten().reduce(f64::min)
    }
}
