//! The NEC rule book: NFPA 70 with NEMA ICS 2, NEMA MG 1 and UL practice, in three editions.

use crate::record::Formula;
use crate::rules::BookError;
use crate::rules::table::Document;

pub mod ampacity;
pub mod assumptions;
pub mod book;
mod bounds;
pub mod cautions;
pub mod conductor;
pub mod control;
pub mod controller;
pub mod criteria;
pub mod currents;
pub mod curves;
mod demands;
mod device_notes;
mod editions;
pub mod efficiency;
pub mod feeder;
pub mod figures;
pub mod grounding;
pub mod groups;
pub mod hermetic;
pub mod impedance;
mod incoming;
pub mod locked_rotor;
pub mod need;
pub mod overload;
pub mod protection;
pub mod raceway;
mod rated;
pub mod rating;
pub mod services;
pub mod standard_ratings;
pub mod transformer;

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
        Self::ALL.iter().find(|(edition, _)| *edition == self).map_or("", |(_, year)| year)
    }

    /// The edition of a year.
    #[must_use]
    pub fn from_year(year: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, printed)| *printed == year.trim()).map(|(edition, _)| *edition)
    }
}

/// The rule book after NFPA 70.
#[derive(Clone, Copy, Debug)]
pub struct Nec {
    /// Edition.
    pub edition: Edition,
}

/// The book of every edition.
static ALL: [Nec; 3] = [Nec { edition: Edition::E2017 }, Nec { edition: Edition::E2020 }, Nec { edition: Edition::E2023 }];

impl Nec {
    /// The book of an edition's year; the newest where none is named.
    ///
    /// # Errors
    /// There is no such edition.
    pub fn of_year(year: Option<&str>) -> Result<&'static Self, BookError> {
        let edition = match year.map(str::trim) {
            None => Edition::E2023,
            Some(text) => Edition::from_year(text).ok_or_else(|| BookError::UnknownEdition(text.to_owned()))?,
        };
        Ok(ALL.iter().find(|book| book.edition == edition).unwrap_or(&ALL[2]))
    }
}

/// Every table of this book.
pub const DOCUMENTS: &[&Document] = &[
    &book::FIGURES,
    &services::NOT_COVERED,
    &assumptions::ASSUMED,
    &conductor::PROPERTIES,
    &conductor::INSULATION_TYPES,
    &conductor::DIMENSIONS,
    &conductor::FIGURES,
    &ampacity::AMPACITY,
    &ampacity::AMBIENT,
    &ampacity::COUNT,
    &ampacity::TERMINATIONS,
    &ampacity::SMALL_MOTOR,
    &need::FACTORS,
    &need::DUTY,
    &need::DUTY_TYPES,
    &need::SECONDARY,
    &need::RESISTOR_DC,
    &raceway::DIMENSIONS,
    &raceway::FILL_LIMITS,
    &raceway::NAMES,
    &impedance::IMPEDANCE,
    &grounding::GROUNDING,
    &cautions::CAUTIONS,
    &figures::FIGURES,
    &currents::DIRECT_CURRENT,
    &currents::SINGLE_PHASE,
    &currents::THREE_PHASE,
    &currents::BANDS,
    &currents::SYSTEMS,
    &currents::TO_NEUTRAL,
    &currents::SYNCHRONOUS_FACTORS,
    &curves::TEMPERATURES,
    &curves::HEATING,
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
    &rating::SLASH_SYSTEMS,
    &standard_ratings::RATINGS,
    &standard_ratings::SMALL_CONDUCTORS,
    &standard_ratings::LIGHTING_CIRCUITS,
];

/// The formulas of this book.
#[must_use]
pub fn formulas() -> Vec<&'static Formula> {
    [
        currents::FORMULAS,
        locked_rotor::FORMULAS,
        overload::FORMULAS,
        protection::FORMULAS,
        groups::FORMULAS,
        controller::FORMULAS,
        feeder::FORMULAS,
        control::FORMULAS,
        ampacity::FORMULAS,
        need::FORMULAS,
        raceway::FORMULAS,
        impedance::FORMULAS,
        grounding::FORMULAS,
    ]
    .concat()
}
