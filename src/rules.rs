//! The rule books. A book states demands and lists, never devices; what both books share stands in [`physics`].
//!
//! Clause functions take quantities, not loads, so that published examples can call them with their own figures. Numbers from
//! standards live in `tables/*.csv` beside the book, each with its source, edition and status; they are parsed once.

#[macro_use]
mod formula;

pub mod assumptions;
pub mod book;
pub mod category;
pub mod cautions;
pub mod conductors;
pub mod control;
pub mod curves;
pub mod demands;
pub mod feeders;
pub mod iec;
pub mod incoming;
pub mod nec;
pub mod physics;
pub mod services;
pub mod table;
#[cfg(test)]
pub(crate) mod testing;
pub mod units;
pub mod ways;
pub mod words;

/// Every formula of every book, for the test that compares their forms and for those who print a list.
#[must_use]
pub fn formulas() -> Vec<&'static crate::record::Formula> {
    [physics::formulas(), feeders::FORMULAS.to_vec(), iec::formulas(), nec::formulas()].concat()
}

pub use book::{Leaning, RuleBook, Topic};
pub use category::Category;
pub use demands::{
    ClassDemand, ContactorDemand, ContactorOffer, DeviceAsk, DevicePlace, DeviceSort, DisconnectAsk, DisconnectDemand, Duty,
    FuseStart, HorsepowerDemand, HorsepowerUse, IncreasedSafetyAsk, LifeCurve, Limit, LockedOpen, LockedRotor, OverloadAsk,
    PartKind, ProtectionAsk, ProtectionBounds, RatedCurrents, RatedPart, Sight, SocketOutlets, StarterRating, SwitchingDemand,
};

/// Rule books of this version.
pub const NAMES: &[&str] = &["iec", "nec"];

/// Why there is no such rule book.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum BookError {
    /// No book of this name.
    UnknownBook(String),
    /// The NEC book has no edition of this year.
    UnknownEdition(String),
}

impl std::fmt::Display for BookError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::UnknownBook(name) => write!(f, "there is no rule book \"{name}\": this version has {}", NAMES.join(", ")),
            Self::UnknownEdition(year) => {
                let years: Vec<&str> = nec::Edition::ALL.iter().map(|(_, year)| *year).collect();
                write!(f, "there is no edition \"{year}\" of the NEC book: this version has {}", years.join(", "))
            }
        }
    }
}

impl std::error::Error for BookError {}

/// The rule book of a name, in an edition where the book has several.
///
/// # Errors
/// There is no such book, or it has no such edition; the message says which there are.
pub fn book(name: &str, edition: Option<&str>) -> Result<&'static dyn RuleBook, BookError> {
    match name.trim().to_lowercase().as_str() {
        "iec" => Ok(&iec::Iec),
        "nec" => nec::Nec::of_year(edition).map(|book| book as &dyn RuleBook),
        _ => Err(BookError::UnknownBook(name.to_owned())),
    }
}
