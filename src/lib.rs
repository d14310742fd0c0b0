//! Turns a motor load schedule into a complete, checked, purchasable and reviewable set of motor circuits.
//!
//! One way through: [`intake`] reads a file into loads, `sizing` turns each into a circuit under a rule book ([`rules`]) from a
//! [`catalogue`], and `report` writes the [`design`].

pub mod basis;
pub mod catalogue;
pub mod commands;
pub mod design;
pub mod finding;
pub mod intake;
pub mod load;
pub mod project;
pub mod purchase;
pub mod quantity;
pub mod record;
pub mod report;
pub mod rules;
pub mod sizing;
pub mod supply;
