//! Branch-circuit short-circuit and ground-fault device of one motor, 430.52.
//!
//! The percentages give a largest rating, not a demand: the next standard size up is permitted. Where that does not let the motor
//! start, 430.52(C)(1)(b) gives ceilings, for which the rating is rounded down.

use serde::Deserialize;

use super::Edition;
use super::figures::figure;
pub use super::standard_ratings::DeviceKind;
use super::standard_ratings::{conductor_protection, next_down, next_up, standard_ratings};
use crate::quantity::Amperes;
use crate::record::{Formula, Record};

/// Percentages of one kind of motor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PercentRow {
    motor: String,
    non_time_delay_fuse_pct: f64,
    time_delay_fuse_pct: f64,
    instantaneous_trip_pct: f64,
    inverse_time_pct: f64,
}

/// One ceiling of an increase.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IncreaseRow {
    device: String,
    current_above_a: Option<f64>,
    current_to_a: Option<f64>,
    rating_from_a: Option<f64>,
    rating_to_a: Option<f64>,
    max_pct: f64,
    item_2023: String,
    item_before: String,
}

/// Largest setting of one instantaneous device.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InstantaneousRow {
    device: String,
    motor: String,
    max_pct: f64,
    clause: String,
}

table! {
    /// Percentages of Table 430.52(C)(1).
    PERCENTAGES, PERCENT_ROWS: PercentRow, "motor-protection-percent"
}
table! {
    /// Ceilings where the motor does not start otherwise.
    INCREASES, INCREASE_ROWS: IncreaseRow, "motor-protection-increase"
}
table! {
    /// Largest settings of instantaneous devices.
    INSTANTANEOUS, INSTANTANEOUS_ROWS: InstantaneousRow, "motor-protection-instantaneous"
}

formula! {
    /// Percentage of the full-load current.
    DEVICE_VALUE: "branch-circuit device, value of the table", "A", "Table 430.52(C)(1); Table 430.52 before 2023";
    "Ip = p I / 100"; "p*I/100"; |p, I| p * I / 100.0
}
formula! {
    /// Ceiling of an increase.
    DEVICE_CEILING: "branch-circuit device, ceiling where the motor does not start", "A", "430.52(C)(1)(b); Exception 2 before 2023";
    "Ip = p I / 100"; "p*I/100"; |p, I| p * I / 100.0
}
formula! {
    /// Setting of an instantaneous device.
    SETTING: "largest instantaneous setting", "A", "Table 430.52(C)(1), before 2023 Table 430.52; 430.52(C)(3)";
    "Ii = p I / 100"; "p*I/100"; |p, I| p * I / 100.0
}
formula! {
    /// Device of one half of a part winding.
    HALF_VALUE: "branch-circuit device of one part of the winding", "A", "430.4";
    "Ip = h p I / 10000"; "h*p*I/10000"; |h, p, I| h * p * I / 10000.0
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&DEVICE_VALUE, &DEVICE_CEILING, &SETTING, &HALF_VALUE];

/// A branch-circuit device with a rating.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Device {
    /// Fuse without time delay.
    NonTimeDelayFuse,
    /// Dual-element time-delay fuse.
    TimeDelayFuse,
    /// Time-delay fuse of class CC, which takes the percentages of fuses without.
    ClassCcTimeDelayFuse,
    /// Inverse-time circuit breaker.
    InverseTimeBreaker,
}

impl Device {
    /// All of them.
    pub const ALL: &'static [Self] =
        &[Self::NonTimeDelayFuse, Self::TimeDelayFuse, Self::ClassCcTimeDelayFuse, Self::InverseTimeBreaker];

    /// Fuse or circuit breaker.
    #[must_use]
    pub fn kind(self) -> DeviceKind {
        if self == Self::InverseTimeBreaker { DeviceKind::Breaker } else { DeviceKind::Fuse }
    }

    /// The word that stands in the tables.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::NonTimeDelayFuse => "non-time-delay-fuse",
            Self::TimeDelayFuse => "time-delay-fuse",
            Self::ClassCcTimeDelayFuse => "class-cc-time-delay-fuse",
            Self::InverseTimeBreaker => "inverse-time-breaker",
        }
    }

    fn percent(self, row: &PercentRow) -> f64 {
        match self {
            Self::NonTimeDelayFuse | Self::ClassCcTimeDelayFuse => row.non_time_delay_fuse_pct,
            Self::TimeDelayFuse => row.time_delay_fuse_pct,
            Self::InverseTimeBreaker => row.inverse_time_pct,
        }
    }
}

/// A row of the table of percentages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MotorType {
    /// Single-phase.
    SinglePhase,
    /// Polyphase but for wound-rotor, synchronous and design B of energy-efficient or premium kind.
    Cage,
    /// Design B, energy-efficient or premium.
    DesignBPremium,
    /// Synchronous.
    Synchronous,
    /// Wound-rotor.
    WoundRotor,
    /// Direct current, constant voltage.
    DirectCurrent,
}

impl MotorType {
    /// All of them.
    pub const ALL: &'static [Self] =
        &[Self::SinglePhase, Self::Cage, Self::DesignBPremium, Self::Synchronous, Self::WoundRotor, Self::DirectCurrent];

    /// The word that stands in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::SinglePhase => "single-phase",
            Self::Cage => "cage",
            Self::DesignBPremium => "design-b-premium",
            Self::Synchronous => "synchronous",
            Self::WoundRotor => "wound-rotor",
            Self::DirectCurrent => "direct-current",
        }
    }

    fn row(self) -> Option<&'static PercentRow> {
        PERCENT_ROWS.iter().find(|row| row.motor == self.word())
    }
}

/// A largest rating.
#[derive(Clone, Debug, PartialEq)]
pub struct DeviceLimit {
    /// The largest standard rating.
    pub rating: Amperes,
    /// Before it was rounded.
    pub computed: Amperes,
    /// Per cent of the full-load current; none for a sum or a marking.
    pub percent: Option<f64>,
    /// Clause in the numbering of the edition.
    pub clause: String,
}

/// Percentage of Table 430.52(C)(1).
#[must_use]
pub fn table_percent(motor: MotorType, device: Device) -> Option<f64> {
    motor.row().map(|row| device.percent(row))
}

/// The table as its edition numbers it.
#[must_use]
pub fn table_clause(edition: Edition) -> &'static str {
    if edition >= Edition::E2023 { "Table 430.52(C)(1)" } else { "Table 430.52" }
}

fn next_size_clause(edition: Edition) -> &'static str {
    if edition >= Edition::E2023 { "430.52(C)(1)(a)" } else { "430.52(C)(1) Exception 1" }
}

/// Largest rating without an increase: percentage of the full-load current, next standard size up. None beyond the standard
/// ratings or without a current.
pub fn normal_maximum(
    record: &mut Record,
    edition: Edition,
    motor: MotorType,
    device: Device,
    full_load: Amperes,
) -> Option<DeviceLimit> {
    let percent = table_percent(motor, device).filter(|_| full_load.0 > 0.0)?;
    let computed = Amperes(record.step(&DEVICE_VALUE, &[percent, full_load.0]));
    let rating = next_up(edition, device.kind(), computed)?;
    let clause = if rating.fits(computed) { table_clause(edition) } else { next_size_clause(edition) };
    Some(DeviceLimit { rating, computed, percent: Some(percent), clause: clause.to_owned() })
}

/// Largest rating where the normal one does not let the motor start: the largest standard rating below the ceiling, and never less
/// than the normal one, which stays permitted.
pub fn increased_maximum(
    record: &mut Record,
    edition: Edition,
    device: Device,
    full_load: Amperes,
    normal: &DeviceLimit,
) -> DeviceLimit {
    let candidates = INCREASE_ROWS.iter().filter(|row| row.device == device.word() && row.suits(full_load));
    let best = candidates
        .filter_map(|row| Some((row, row.largest(edition, device.kind(), full_load)?)))
        .reduce(|best, other| if best.1.fits(other.1) { other } else { best });
    match best {
        Some((row, rating)) if normal.rating.fits(rating) && !rating.fits(normal.rating) => {
            let computed = Amperes(record.step(&DEVICE_CEILING, &[row.max_pct, full_load.0]));
            DeviceLimit { rating, computed, percent: Some(row.max_pct), clause: row.clause(edition) }
        }
        _ => normal.clone(),
    }
}

impl IncreaseRow {
    fn suits(&self, full_load: Amperes) -> bool {
        self.current_above_a.is_none_or(|above| !full_load.fits(Amperes(above)))
            && self.current_to_a.is_none_or(|to| full_load.fits(Amperes(to)))
    }

    /// Largest standard rating in the row's range that its ceiling admits.
    fn largest(&self, edition: Edition, kind: DeviceKind, full_load: Amperes) -> Option<Amperes> {
        let ceiling = full_load * (self.max_pct / 100.0);
        standard_ratings(edition, kind).rfind(|rating| {
            rating.fits(ceiling)
                && self.rating_from_a.is_none_or(|from| Amperes(from).fits(*rating))
                && self.rating_to_a.is_none_or(|to| rating.fits(Amperes(to)))
        })
    }

    fn clause(&self, edition: Edition) -> String {
        if edition >= Edition::E2023 {
            format!("430.52(C)(1)(b)({})", self.item_2023)
        } else {
            format!("430.52(C)(1) Exception 2({})", self.item_before)
        }
    }
}

/// A rating that a marking caps: relay table (430.52(C)(2)), drive instructions (430.130(A)(2)), nameplate (440.4(B), 110.3(B)).
/// The marked figure is never exceeded, so it rounds down. None if no standard rating is that small.
#[must_use]
pub fn capped_by_marking(
    edition: Edition,
    kind: DeviceKind,
    limit: DeviceLimit,
    marked: Option<Amperes>,
    clause: &str,
) -> Option<DeviceLimit> {
    match marked {
        Some(marked) if !limit.rating.fits(marked) => {
            let rating = next_down(edition, kind, marked)?;
            Some(DeviceLimit { rating, computed: marked, percent: None, clause: clause.to_owned() })
        }
        _ => Some(limit),
    }
}

/// A device that acts on instantaneous current only, or has its own limit of such a current.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InstantaneousDevice {
    /// Adjustable instantaneous-trip circuit breaker, only in a listed combination motor controller.
    TripBreaker,
    /// Self-protected combination controller.
    SelfProtectedController,
    /// Motor short-circuit protector, only in a listed combination motor controller.
    ShortCircuitProtector,
}

/// Largest settings of an instantaneous device. A setting is no standard rating, so there is no next size up.
#[derive(Clone, Debug, PartialEq)]
pub struct InstantaneousLimit {
    /// Without an increase; the same as `increased` where the clause has one limit only.
    pub normal: Amperes,
    /// Where the motor does not start otherwise.
    pub increased: Amperes,
    /// A small motor on a small trip unit: the value that is marked on the controller may be used instead.
    pub marked_value_admitted: bool,
    /// Clause.
    pub clause: &'static str,
}

/// Largest settings for a motor; `trip_rating` is the continuous rating of the trip unit, where known.
pub fn instantaneous_limit(
    record: &mut Record,
    device: InstantaneousDevice,
    motor: MotorType,
    full_load: Amperes,
    trip_rating: Option<Amperes>,
) -> Option<InstantaneousLimit> {
    let (word, motor_word) = (
        match device {
            InstantaneousDevice::TripBreaker => "instantaneous-trip-breaker",
            InstantaneousDevice::SelfProtectedController => "self-protected-controller",
            InstantaneousDevice::ShortCircuitProtector => "motor-short-circuit-protector",
        },
        if motor == MotorType::DesignBPremium { "design-b-premium" } else { "other" },
    );
    let row = INSTANTANEOUS_ROWS.iter().find(|row| row.device == word && row.motor == motor_word)?;
    let increased = Amperes(record.step(&SETTING, &[row.max_pct, full_load.0]));
    let breaker = device == InstantaneousDevice::TripBreaker;
    let normal =
        if breaker { Amperes(record.step(&SETTING, &[motor.row()?.instantaneous_trip_pct, full_load.0])) } else { increased };
    let small = full_load.fits(Amperes(figure("marked-setting-current-a")))
        && trip_rating.is_some_and(|trip_rating| trip_rating.fits(Amperes(figure("marked-setting-trip-rating-a"))));
    Some(InstantaneousLimit { normal, increased, marked_value_admitted: breaker && small, clause: row.clause.as_str() })
}

/// Largest device of a torque motor: 240.4(B) at the locked-rotor current on its nameplate. No circuit asks for this yet.
#[must_use]
pub fn torque_motor_maximum(edition: Edition, kind: DeviceKind, locked_rotor: Amperes) -> Option<DeviceLimit> {
    let rating = conductor_protection(edition, kind, locked_rotor)?;
    Some(DeviceLimit { rating, computed: locked_rotor, percent: None, clause: "430.52(D), 240.4(B)".to_owned() })
}

/// Largest device of each half of a part winding: half of what 430.52 gives. Whether the next size up applies to the half is not
/// said, so it is rounded down; below the smallest standard rating that one is taken. No circuit asks for this yet.
pub fn part_winding_half(
    record: &mut Record,
    edition: Edition,
    motor: MotorType,
    device: Device,
    full_load: Amperes,
) -> Option<DeviceLimit> {
    let percent = table_percent(motor, device).filter(|_| full_load.0 > 0.0)?;
    let computed = Amperes(record.step(&HALF_VALUE, &[figure("part-winding-half-percent"), percent, full_load.0]));
    let rating = next_down(edition, device.kind(), computed).or_else(|| next_up(edition, device.kind(), computed))?;
    Some(DeviceLimit { rating, computed, percent: Some(percent), clause: "430.4".to_owned() })
}

/// Largest common device of both halves of a part winding, permitted if the motor starts on it: that of 430.52, but a time-delay
/// fuse at 150 % at most, rounded down.
pub fn part_winding_common(
    record: &mut Record,
    edition: Edition,
    motor: MotorType,
    device: Device,
    full_load: Amperes,
) -> Option<DeviceLimit> {
    if device != Device::TimeDelayFuse {
        return normal_maximum(record, edition, motor, device, full_load);
    }
    let percent = figure("part-winding-common-fuse-percent");
    let computed = Amperes(record.step(&DEVICE_VALUE, &[percent, full_load.0]));
    let rating = next_down(edition, DeviceKind::Fuse, computed)?;
    Some(DeviceLimit { rating, computed, percent: Some(percent), clause: "430.4".to_owned() })
}

/// Current from which one device of a multispeed motor is counted: that of the smallest winding, or of the largest where each
/// winding has its own overload protection, and conductors and controller are those of the largest (430.52(C)(4)).
#[must_use]
pub fn multispeed_base(windings: &[Amperes], exception: bool) -> Option<Amperes> {
    windings.iter().copied().reduce(|a, b| if exception { a.max(b) } else { a.min(b) })
}

#[cfg(test)]
mod tests;
