//! The NEC rule book: NFPA 70 with NEMA ICS 2, NEMA MG 1 and UL practice, in three editions.

use crate::record::Formula;
use crate::rules::table::Document;

pub mod cautions;
pub mod control;
pub mod controller;
pub mod currents;
pub mod efficiency;
pub mod feeder;
pub mod figures;
pub mod groups;
pub mod locked_rotor;
pub mod overload;
pub mod protection;
pub mod rating;
pub mod standard_ratings;

/// Edition of NFPA 70.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edition {
    /// 2017.
    E2017,
    /// 2020.
    E2020,
    /// 2023.
    E2023,
}

impl Edition {
    /// All editions with their years.
    pub const ALL: &'static [(Self, &'static str)] = &[(Self::E2017, "2017"), (Self::E2020, "2020"), (Self::E2023, "2023")];

    /// Its year.
    #[must_use]
    pub fn year(self) -> &'static str {
        Self::ALL.iter().find(|(own, _)| *own == self).map_or("", |(_, year)| year)
    }

    /// The edition of a year.
    #[must_use]
    pub fn from_year(year: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, own)| *own == year.trim()).map(|(own, _)| *own)
    }
}

/// The rule book after NFPA 70.
#[derive(Clone, Copy, Debug)]
pub struct Nec {
    /// Edition.
    pub edition: Edition,
}

/// Every table of this book.
pub const DOCUMENTS: &[&Document] = &[
    &cautions::CAUTIONS,
    &figures::FIGURES,
    &currents::DIRECT_CURRENT,
    &currents::SINGLE_PHASE,
    &currents::THREE_PHASE,
    &currents::BANDS,
    &currents::SYNCHRONOUS_FACTORS,
    &locked_rotor::LOCKED_SINGLE_PHASE,
    &locked_rotor::LOCKED_THREE_PHASE,
    &locked_rotor::CODE_LETTERS,
    &efficiency::EFFICIENCY,
    &efficiency::POWER_FACTOR,
    &efficiency::TORQUE,
    &overload::LIMITS,
    &overload::POLES,
    &protection::PERCENTAGES,
    &protection::INCREASES,
    &protection::INSTANTANEOUS,
    &groups::FUSE_HOLD,
    &controller::SIZES,
    &controller::SINGLE_PHASE_SIZES,
    &controller::REDUCED_SIZES,
    &controller::DISCONNECTS,
    &control::CONDUCTORS,
    &control::LARGER,
    &control::TRANSFORMERS,
    &rating::DEFAULTS,
    &rating::SYSTEM_WORDS,
    &standard_ratings::RATINGS,
    &standard_ratings::SMALL_CONDUCTORS,
];

/// The formulas of this book.
#[must_use]
pub fn formulas() -> Vec<&'static Formula> {
    let files: &[&[&'static Formula]] = &[currents::FORMULAS, locked_rotor::FORMULAS, overload::FORMULAS];
    files.concat()
}
