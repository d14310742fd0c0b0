//! What circuits bring to their board.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{BoardMark, Check, ControlSupply, Part, Run, WorkingLine};
use crate::basis::LISTED;
use crate::finding::Finding;

/// A board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Board {
    /// Name.
    pub name: String,
    /// Board that feeds it.
    pub fed_from: Option<String>,
    /// What the present revision did to it; null where it is as before, or where no earlier design was named.
    #[serde(default)]
    pub revision_mark: Option<BoardMark>,
    /// Voltage.
    pub voltage_v: f64,
    /// System in the words of the basis: that of the board, of the transformer before it, or of what feeds it; null where none is stated.
    #[serde(default)]
    pub system: Option<String>,
    /// Earthing in the words of the basis, found in the same way; null where none is stated.
    #[serde(default)]
    pub earthing: Option<String>,
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
    /// Heat of the devices of circuits that run together, at their currents, with the allowance for wiring.
    pub power_loss_w: f64,
    /// Width that mounting rails or plates must offer: devices side by side, spare and free space included.
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
    /// Circuits, spare and standby ones included.
    #[serde(default)]
    pub ways: u32,
    /// Devices that stand side by side.
    #[serde(default)]
    pub units: u32,
    /// Width of these devices alone.
    #[serde(default)]
    pub devices_width_mm: f64,
    /// Width of the terminals, which stand on rails of their own.
    #[serde(default)]
    pub terminals_width_mm: f64,
    /// Rows of the enclosure that the width takes; null where the basis names no enclosure of the catalogue.
    #[serde(default)]
    pub rows: Option<u32>,
    /// Enclosure that the basis names; empty if it names none.
    #[serde(default)]
    pub enclosure: String,
    /// Heat that the enclosure gives off at the usual rise; null if it is not known.
    #[serde(default)]
    pub enclosure_dissipation_w: Option<f64>,
    /// Air in the enclosure above the room, by estimate; null if it is not known.
    #[serde(default)]
    pub temperature_rise_k: Option<f64>,
    /// Heat of each device that adds to it.
    #[serde(default)]
    pub losses: Vec<DeviceLoss>,
    /// Of `connected_kw`, equipped spare ways.
    #[serde(default)]
    pub spare_kw: f64,
    /// Active power of what runs together, at rated output.
    #[serde(default)]
    pub running_kw: f64,
    /// Reactive power of the same.
    #[serde(default)]
    pub running_kvar: f64,
    /// Power factor of the same; null where nothing runs.
    #[serde(default)]
    pub power_factor: Option<f64>,
    /// Line current of the same in each phase.
    #[serde(default)]
    pub phase_currents_a: [f64; 3],
    /// Highest phase above the mean of the phases, per cent.
    #[serde(default)]
    pub unbalance_pct: f64,
    /// Share of drives and other rectifiers in what runs, per cent.
    #[serde(default)]
    pub nonlinear_pct: f64,
    /// Phases of the board's own single-phase rows.
    #[serde(default)]
    pub phases_of_rows: Vec<PhaseOfRow>,
    /// Row whose start draws most, on the board or behind it; empty where nothing starts.
    #[serde(default)]
    pub largest_start_tag: String,
    /// Largest fault current without what motors add.
    #[serde(default)]
    pub prospective_fault_without_motors_ka: Option<f64>,
    /// Largest three-phase fault current.
    #[serde(default)]
    pub three_phase_fault_ka: Option<f64>,
    /// Largest fault current to earth; null where none flows back through the protective conductor, or where nobody knows.
    #[serde(default)]
    pub earth_fault_ka: Option<f64>,
    /// Voltage of the board while all runs that runs together, per cent of nominal; null if unknown.
    #[serde(default)]
    pub voltage_running_pct: Option<f64>,
    /// The largest start behind each feed, the usual one first.
    #[serde(default)]
    pub dips: Vec<StartDip>,
    /// The feeder.
    #[serde(default)]
    pub feeder: BoardFeeder,
    /// The transformer before the board.
    #[serde(default)]
    pub transformer: Option<BoardTransformer>,
    /// Boards between it and its source.
    #[serde(default)]
    pub depth: u32,
    /// The device at its head; null where the basis asks for none.
    #[serde(default)]
    pub incoming: Option<BoardIncoming>,
    /// What others choose and supply for the board as a whole: emergency stop, transformer with what stands before it.
    #[serde(default)]
    pub by_others: Vec<Part>,
}

/// Name of the transformer that `[supply]` describes.
pub const OF_THE_SUPPLY: &str = "of the supply";

impl Board {
    /// Where its feeder begins and the device of that stands: the transformer before it, else the first that is named as feeding it,
    /// without the sources that stand in; empty where nothing is named.
    #[must_use]
    pub fn feeder_begins(&self) -> &str {
        let transformer = self.transformer.as_ref().filter(|transformer| transformer.name != OF_THE_SUPPLY);
        match (transformer, &self.fed_from) {
            (Some(transformer), _) if !transformer.name.is_empty() => &transformer.name,
            (Some(_), None) => "transformer",
            (_, Some(named)) => named.split(LISTED).next().map_or("", str::trim),
            (None, None) => "",
        }
    }

    /// The voltage drop from the origin, where the length of the feeder is known: without one the drop of what lies before it is no drop
    /// of the board.
    #[must_use]
    pub fn known_drop_pct(&self) -> Option<f64> {
        let is_open = self.checks.iter().any(|check| check.name == "running-voltage-drop" && check.passed.is_none());
        self.feeder.drop_pct.filter(|_| !is_open)
    }
}

/// The device at the head of a board. Its checks are among those of the board, about `incoming device`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BoardIncoming {
    /// As the basis asks: `switch-disconnector`, `circuit-breaker`, or `none` where it says that there is none.
    pub kind: String,
    /// Category in which the rated current of a switch counts, as `AC-23A`; empty of a circuit-breaker.
    pub category: String,
    /// Rated current; null where nothing could be chosen.
    pub rating_a: Option<f64>,
    /// Poles; null where nothing could be chosen.
    pub poles: Option<u32>,
    /// `switched` by a pole of it, or `linked` past it; empty where no load uses a neutral.
    pub neutral: String,
    /// Largest current that a switch breaks in its category; null where no category tells it.
    pub breaking_a: Option<f64>,
    /// Breaking capacity of a circuit-breaker at the voltage; null of a switch.
    pub breaking_ka: Option<f64>,
    /// Rated short-time withstand current of a switch for 1 s; null if it is not declared.
    pub short_time_ka: Option<f64>,
    /// Rated short-circuit making capacity of a switch, peak; null if it is not declared.
    pub making_ka: Option<f64>,
    /// Horsepower of a switch at the voltage; null if it is not declared.
    pub rating_hp: Option<f64>,
    /// Setting of the instantaneous trip of a circuit-breaker; null where it has none.
    pub magnetic_trip_a: Option<f64>,
    /// Range of its dial, both ends alike where it is fixed.
    #[serde(default)]
    pub magnetic_range_a: Option<[f64; 2]>,
    /// Setting of the overload release of a circuit-breaker; null where it has no dial for it.
    #[serde(default)]
    pub setting_a: Option<f64>,
    /// Range of that dial.
    #[serde(default)]
    pub setting_range_a: Option<[f64; 2]>,
    /// It stands in an enclosure of its own beside the board, and adds nothing to its width and heat.
    pub apart: bool,
    /// Part number; empty where nothing could be chosen.
    pub part: String,
    /// Parts.
    pub parts: Vec<Part>,
}

/// The feeder of a board, beyond what the board itself says of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BoardFeeder {
    /// Kind of its device; empty where none could be chosen.
    pub kind: String,
    /// Part number of the device; empty where the catalogue holds none.
    pub part: String,
    /// Setting of its instantaneous trip; null where it has none.
    pub magnetic_trip_a: Option<f64>,
    /// Range of its dial, both ends alike where it is fixed.
    #[serde(default)]
    pub magnetic_range_a: Option<[f64; 2]>,
    /// Setting of its overload release: its conductors are held against the rating, so the dial stands there; null where it has none.
    #[serde(default)]
    pub setting_a: Option<f64>,
    /// Range of that dial.
    #[serde(default)]
    pub setting_range_a: Option<[f64; 2]>,
    /// Breaking capacity at the voltage; null if it is not declared.
    pub breaking_ka: Option<f64>,
    /// The run; null where impedances are stated or no conductor is asked for.
    pub run: Option<Run>,
    /// Voltage drop from the origin to the board while all runs that runs together, per cent; null if unknown.
    pub drop_pct: Option<f64>,
    /// Capacity left over what is needed, per cent; null without a conductor.
    pub spare_pct: Option<f64>,
    /// Parts; none where the basis describes no feeder, so that others bring it.
    pub parts: Vec<Part>,
}

/// A transformer before a board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BoardTransformer {
    /// Name.
    pub name: String,
    /// Apparent power after demand factors of all that it feeds.
    pub demand_kva: f64,
    /// Loading, per cent; null if its rating is unknown.
    pub loading_pct: Option<f64>,
    /// Rated current of its primary; null if unknown.
    pub primary_a: Option<f64>,
    /// Rated current of its secondary; null if unknown.
    pub secondary_a: Option<f64>,
    /// Protection on the primary, in outline.
    pub primary_protection_a: Option<f64>,
    /// Protection on the secondary, in outline.
    pub secondary_protection_a: Option<f64>,
    /// The two ratings are largest ones; else usual ones.
    pub largest: bool,
    /// Clause of the two, or where they come from.
    pub reference: String,
}

/// The largest start of a board behind a feed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StartDip {
    /// What feeds the board.
    pub feed: String,
    /// It usually does; else it stands in.
    pub usual: bool,
    /// The row that starts.
    pub tag: String,
    /// Voltage of the board before, per cent of nominal.
    pub before_pct: f64,
    /// And while it starts.
    pub during_pct: f64,
    /// Dip of the board, per cent of nominal.
    pub dip_pct: f64,
    /// Dip at the terminals of what starts, against its own board before; null where its cable or what lies before its board is unknown.
    pub terminals_dip_pct: Option<f64>,
}

/// The return of a supply, for all boards that it feeds.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Restart {
    /// What comes back.
    pub feed: String,
    /// Deepest dip of any board when all that ran starts together, per cent of nominal; null where no voltage holds.
    pub together_dip_pct: Option<f64>,
    /// The board that dips furthest then.
    pub deepest_board: String,
    /// Groups in their order; empty where the basis states no limit.
    pub groups: Vec<RestartGroup>,
}

/// Motors that may start together.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RestartGroup {
    /// Their rows, the largest first, each with its number of circuits.
    pub starts: Vec<RestartStart>,
    /// Deepest dip of any board, per cent of nominal; null where no voltage holds.
    pub dip_pct: Option<f64>,
    /// Even one alone dips a board further than the limit; they start one after the other.
    pub one_by_one: bool,
}

/// Circuits of a row that start together.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RestartStart {
    /// Row.
    pub tag: String,
    /// Circuits.
    pub number: u32,
    /// Circuits of the row in all.
    #[serde(default)]
    pub of: u32,
    /// In words: the row's tag for all of its circuits, else how many of them.
    #[serde(default)]
    pub words: String,
}

/// Phases of a single-phase row.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PhaseOfRow {
    /// Row.
    pub tag: String,
    /// Phases, as `L1` or `L1-L2`.
    pub phases: String,
    /// The row states it; else it was assigned.
    pub stated: bool,
}

/// Heat of a device in a board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DeviceLoss {
    /// Circuit, or the board to which the feeder leads; empty for a device of the board itself.
    pub tag: String,
    /// What it is.
    pub device: String,
    /// Part number.
    pub part: String,
    /// Current that flows through it; null where its heat does not depend on it.
    pub current_a: Option<f64>,
    /// Current at which its heat is declared.
    pub rated_a: Option<f64>,
    /// Declared heat; of practice where the catalogue has no column for it.
    pub declared_w: f64,
    /// Part of it that does not depend on the current: coils and electronics.
    pub constant_w: f64,
    /// Heat of one piece.
    pub loss_w: f64,
    /// Pieces in circuits that run together.
    pub quantity: f64,
}
