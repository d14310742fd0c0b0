//! Times in which devices act and conductors stand a fault, as a rule book knows them: points that standards publish, each with its source,
//! and the curve by which a class is held against a start. For those who draw; nothing is decided by it.

use crate::load::Material;
use crate::quantity::{Amperes, Seconds, SquareMillimetres};
use crate::record::Record;
use crate::rules::physics::tripping::{self, TripClass};

/// A current and a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Current.
    pub current: Amperes,
    /// Time.
    pub time: Seconds,
}

/// Points between which a device acts, the longest time first.
#[derive(Clone, Debug, PartialEq)]
pub struct ActingLimits {
    /// Carried for so long without acting.
    pub carries: Vec<CurvePoint>,
    /// Acts within that time; empty where nothing is published.
    pub acts: Vec<CurvePoint>,
    /// Where they stand.
    pub source: &'static str,
}

/// Trip times of a class at a multiple of the setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClassMark {
    /// Current over the setting.
    pub multiple: f64,
    /// It trips in no shorter time; none if the class says nothing.
    pub least: Option<Seconds>,
    /// It trips within that time.
    pub most: Seconds,
}

/// Limits of a trip class.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassLimits {
    /// It does not trip at the first multiple of the setting within the time, and does at the second; none if nothing is published.
    pub ultimate: Option<(f64, f64, Seconds)>,
    /// Trip times.
    pub marks: Vec<ClassMark>,
    /// Where they stand.
    pub source: &'static str,
}

/// The demand on an overload relay or release.
#[derive(Clone, Copy, Debug)]
pub struct ClassAsk<'a> {
    /// Trip class, as it is written.
    pub class: &'a str,
    /// Current at which it trips in the end over its setting, where the catalogue states it.
    pub ultimate_trip: Option<f64>,
}

/// A book's knowledge of acting times.
pub trait CurveRules: Sync {
    /// Limits of a class; none for one that the book does not have.
    fn class_limits(&self, ask: &ClassAsk<'_>) -> Option<ClassLimits>;
    /// Trip time from cold by the curve that is held against starts; none where it does not trip or the class is unknown.
    fn class_curve(&self, class: &str, multiple: f64) -> Option<Seconds> {
        tripping::cold_trip_time(&mut Record::silent(), TripClass::parse(class)?, multiple)
    }
    /// Limits of a fuse-link of a kind; none where nothing is published.
    fn fuse_limits(&self, kind: &str, rating: Amperes) -> Option<ActingLimits>;
    /// Limits of the overload release of a circuit-breaker of a kind without trip class; none where nothing is published.
    fn breaker_limits(&self, kind: &str, rating: Amperes) -> Option<ActingLimits>;
    /// Energy that a conductor stands is this times the square of its section, A√s/mm², with the clause; none if nothing is known.
    fn withstand_factor(&self, insulation: &str, material: Material, size: SquareMillimetres) -> Option<(f64, &'static str)>;
    /// Longest time for which that holds.
    fn withstand_longest(&self) -> Seconds;
}

/// A point, of amperes and seconds.
#[must_use]
pub(super) fn at(amperes: f64, seconds: f64) -> CurvePoint {
    CurvePoint { current: Amperes(amperes), time: Seconds(seconds) }
}
