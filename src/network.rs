//! The network from the sources to the boards: what every circuit of a board may take for granted, and what the boards ask of their
//! feeders.
//!
//! One way through: [`tree`] says who feeds whom; [`connected`] says what each row of the schedule asks; [`demand`] adds up from the
//! last boards to the sources; [`feeders`] chooses conductors and devices from the sources to the last boards, each behind what its
//! own supply gives; [`faults`] gives every board its largest and smallest fault current, [`voltages`] what is left of the voltage
//! while loads run and while one starts. What comes out is a [`Node`](tree::Node) with its figures, and a
//! [`SupplyPoint`] for the circuits of each board.
//!
//! What the basis states at a board (a fault current, a feeder) counts there; what nobody states and nothing gives stays unknown.

pub mod connected;
pub mod demand;
pub mod faults;
pub mod feeders;
pub mod phases;
pub mod restart;
#[cfg(test)]
mod testing;
pub mod together;
pub mod tree;
pub mod voltages;
