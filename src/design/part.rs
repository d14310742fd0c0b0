//! Small parts with what they are for, and parts as they are counted.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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
