//! What to buy: lines and their sums.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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

/// A reason for which a line is on hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Held {
    /// The catalogue has no part for it.
    NoNumber,
    /// A run whose length nobody states.
    NoLength,
    /// A circuit that is not sized.
    NotSized,
    /// A circuit or board that needs a decision.
    Decision,
    /// A circuit that leans on assumed data.
    Assumed,
}

impl Held {
    /// All reasons, in their order.
    pub const ALL: [Self; 5] = [Self::NoNumber, Self::NoLength, Self::NotSized, Self::Decision, Self::Assumed];

    /// The words that are printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NoNumber => "no part number",
            Self::NoLength => "no length stated",
            Self::NotSized => "not sized",
            Self::Decision => "needs a decision",
            Self::Assumed => "assumed data",
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
    /// The reasons alone, each once; empty if it is not on hold.
    #[serde(default)]
    pub held_for: Vec<Held>,
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
    /// How many of them wait for a decision or for data.
    #[serde(default)]
    pub held_quantity: f64,
    /// Why any of them is on hold, with the tags of that board; empty if none is.
    #[serde(default)]
    pub held_because: String,
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

/// Price of what the circuits of a board need, in one currency.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NeededSum {
    /// Currency; empty if nobody states it.
    pub currency: String,
    /// Price of what they need.
    pub needed: f64,
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
    /// Price of what has one, by currency. Orders are made for the whole design, so that a board has no price of its orders.
    pub prices: Vec<NeededSum>,
}
