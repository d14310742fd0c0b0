//! What each row of the schedule asks of its board: current as a phasor, whether it runs with the others, how it starts, and how the
//! rule book counts it on a feeder. Kept small, because there is one for every row.

use crate::finding::Place;
use crate::load::LoadKind;
use crate::quantity::{Amperes, Volts, Watts};
use crate::rules::feeders::FeederTerm;

/// When a load runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Running {
    /// With the others.
    #[default]
    Duty,
    /// In place of another.
    Standby,
    /// In addition, when more is needed.
    Assist,
    /// An equipped spare way.
    Spare,
}

/// A start as the board sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Starting {
    /// Line current at the rated voltage.
    pub current: Amperes,
    /// Power factor meanwhile.
    pub power_factor: f64,
}

/// A row at its board.
#[derive(Clone, Debug, PartialEq)]
pub struct Connected {
    /// Tag.
    pub tag: String,
    /// Row of the schedule.
    pub place: Place,
    /// Place of its board in the tree.
    pub node: usize,
    /// Its place among the rows.
    pub row: usize,
    /// Kind of load.
    pub kind: LoadKind,
    /// Equal circuits of the row.
    pub number: u32,
    /// When it runs.
    pub running: Running,
    /// Group of which only some run, with their number.
    pub group: Option<String>,
    /// How many of the group, or of the row's own circuits, run at most.
    pub duty_count: Option<u32>,
    /// How many stand by.
    pub standby_count: Option<u32>,
    /// Rows with which it never runs together, by tag.
    pub interlock_with: Vec<String>,
    /// Demand factor of the row.
    pub demand_factor: Option<f64>,
    /// Runs for hours; else intermittent.
    pub continuous: bool,
    /// Phases: 1 or 3.
    pub phases: u32,
    /// Single phase between line and neutral.
    pub neutral: bool,
    /// Phases to which it is tied, as the row writes them.
    pub phase: Option<String>,
    /// Rated voltage.
    pub voltage: Volts,
    /// Line current of one circuit at rated output.
    pub current: Amperes,
    /// Its power factor, lagging.
    pub power_factor: f64,
    /// Electrical input of one circuit at rated output.
    pub input: Watts,
    /// A drive or other rectifier: its current is not sinusoidal.
    pub nonlinear: bool,
    /// A motor that is connected to the line while it runs: locked-rotor over rated current, and its rated current. It feeds a fault.
    pub feeds_fault: Option<(f64, Amperes)>,
    /// How it starts; none for what does not.
    pub starting: Option<Starting>,
    /// How the rule book counts it on a feeder; none where it can't.
    pub term: Option<FeederTerm>,
}
