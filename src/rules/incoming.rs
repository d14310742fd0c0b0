//! The rules of a book for the device at the head of a board: how many poles it has, what a switch there must carry and break, and which
//! kind of circuit-breaker may stand there instead.

use crate::load::ProtectionKind;
use crate::quantity::{Amperes, Volts};
use crate::record::Record;
use crate::rules::feeders::FeederItem;

/// How the neutral comes in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum IncomingNeutral {
    /// None is used.
    #[default]
    None,
    /// Past the device, over a link.
    Linked,
    /// Through a pole of the device.
    Switched,
}

impl IncomingNeutral {
    /// As it stands in a design; empty where none is used.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Linked => "linked",
            Self::Switched => "switched",
        }
    }
}

/// Poles of an incoming device.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct IncomingPoles {
    /// Poles.
    pub poles: u32,
    /// The neutral.
    pub neutral: IncomingNeutral,
    /// Taken for want of knowledge, because it parts more rather than less.
    pub assumed: bool,
    /// Clause.
    pub reference: &'static str,
}

/// The facts by which a book tells the demand on a switch before a board.
#[derive(Clone, Copy, Debug)]
pub struct SwitchAsk<'a> {
    /// The terms that run behind it, on the fullest phase.
    pub items: &'a [FeederItem],
    /// Current that is to be carried, with the spare that is wanted.
    pub wanted: Amperes,
    /// All that runs, and of the motor on the line that draws most more when it stalls what it draws then and when it runs.
    pub stalled: Option<[Amperes; 3]>,
    /// Phases: 1 or 3.
    pub phases: u32,
    /// Voltage between lines.
    pub voltage: Volts,
}

/// Horsepower of a switch.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum SwitchHorsepower {
    /// None is asked for.
    #[default]
    None,
    /// At least this.
    AtLeast(f64),
    /// It can't be told, with the reason.
    Unknown(&'static str),
}

/// The demand on a switch at the head of a board.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SwitchDemand {
    /// Category in which its rated current counts.
    pub category: &'static str,
    /// Smallest rated current.
    pub current: Amperes,
    /// Clause of it.
    pub reference: &'static str,
    /// Current that it must break with its clause; none where no motor on the line may stall.
    pub breaks: Option<(Amperes, &'static str)>,
    /// Horsepower.
    pub horsepower: SwitchHorsepower,
}

/// A book's rules for incoming devices.
pub trait IncomingRules: Sync {
    /// Poles by the lines that come to a board (one where its two conductors are a line and the neutral), whether the neutral is used, and
    /// the earthing of its system.
    fn incoming_poles(&self, lines: u32, neutral: bool, earthing: Option<&str>) -> IncomingPoles;
    /// The demand on a switch.
    fn incoming_switch(&self, ask: &SwitchAsk<'_>, record: &mut Record) -> SwitchDemand;
    /// Largest current that a switch breaks in a category at a rated current; none where the book has no such figure.
    fn switch_breaking(&self, category: &str, rated: Amperes, record: &mut Record) -> Option<Amperes>;
    /// Kind of a circuit-breaker at the head of a board.
    fn incoming_breaker(&self) -> ProtectionKind;
    /// Why the device before a switch may not be rated higher than the switch.
    fn before_switch(&self) -> &'static str;
    /// Clause on the short circuit at a switch.
    fn switch_withstand(&self) -> &'static str;
    /// Clause on locking it open.
    fn incoming_lock(&self) -> &'static str;
}
