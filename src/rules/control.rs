//! The rules of a book for control circuits and their supply: quantities and clauses, never devices.

use crate::quantity::{Amperes, SquareMillimetres, VoltAmperes, Volts};
use crate::record::Record;

/// A conductor of control circuits.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlConductor {
    /// Size, as it is written.
    pub size: String,
    /// Section.
    pub area: SquareMillimetres,
    /// Largest device that protects it.
    pub most: Amperes,
    /// Clause of that.
    pub clause: &'static str,
}

/// A control transformer whose devices are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransformerAsk {
    /// Rated power.
    pub power: VoltAmperes,
    /// Primary voltage.
    pub primary: Volts,
    /// Secondary voltage.
    pub secondary: Volts,
    /// It stands in the enclosure of the one controller that it serves.
    pub at_controller: bool,
}

/// Ratings that a device may have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeviceBounds {
    /// Smallest.
    pub least: Amperes,
    /// Largest.
    pub most: Amperes,
    /// The largest that is admitted is taken instead of the smallest.
    pub largest_first: bool,
    /// Clause.
    pub clause: &'static str,
}

/// Devices of a control transformer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransformerDevices {
    /// Before it.
    pub primary: DeviceBounds,
    /// Behind it.
    pub secondary: DeviceBounds,
}

/// The answers of a book about control circuits.
pub trait ControlRules {
    /// Each starter has a control supply of its own where the basis does not say; else each board has one.
    fn supply_per_starter(&self) -> bool;
    /// Starters that may share one supply without a control transformer, with the clause; none if any number may.
    fn line_fed_starters(&self) -> Option<(u32, &'static str)>;
    /// Conductors of control circuits, ascending from the usual size.
    fn control_conductors(&self) -> Vec<ControlConductor>;
    /// Devices of a control transformer; none for one whose power or voltage is no number above 0.
    fn transformer_devices(&self, ask: &TransformerAsk, record: &mut Record) -> Option<TransformerDevices>;
    /// Largest device of the power circuit that also protects control conductors tapped from it, where the book admits that;
    /// `leaves` tells that they leave the enclosure.
    fn tap_limit(&self, leaves: bool) -> Option<(Amperes, &'static str)>;
}
