//! Switching duty of contactors: categories, high-efficiency motors, transformers, capacitors, lamps, intermittent duty.

use serde::Deserialize;

use crate::load::EfficiencyClass;
use crate::quantity::{Amperes, Seconds, fits};
use crate::record::{Formula, Record};
use crate::rules::physics::contactors::Withstand;

pub use crate::rules::category::Category;

/// Overload withstand of one range of ratings.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WithstandRow {
    /// Above this rating.
    pub from_a: f64,
    to_a: Option<f64>,
    multiple: f64,
    /// Never less than this current.
    least_a: Option<f64>,
    time_s: f64,
}

/// One factor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactorRow {
    /// Name.
    pub name: String,
    /// Value.
    pub value: f64,
    /// Origin.
    pub remark: String,
}

/// One class of intermittent duty.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassRow {
    cycles_per_hour: u32,
}

/// AC-1 factor of one on-time and frequency.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IntermittentRow {
    on_time_s: f64,
    cycles_per_hour: f64,
    factor: f64,
}

/// Assumed largest operations an hour.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrequencyRow {
    category: Category,
    upto_a: Option<f64>,
    operations_per_hour: f64,
}

table! {
    /// Overload withstand.
    WITHSTAND, WITHSTAND_ROWS: WithstandRow, "overload-withstand"
}
table! {
    /// Factors of switched loads.
    FACTORS, FACTOR_ROWS: FactorRow, "switching-factors"
}
table! {
    /// Classes of intermittent duty.
    INTERMITTENT_CLASSES, CLASS_ROWS: ClassRow, "intermittent-classes"
}
table! {
    /// AC-1 factors of intermittent duty.
    INTERMITTENT_FACTORS, INTERMITTENT_ROWS: IntermittentRow, "intermittent-ac1-factors"
}
table! {
    /// Assumed operations an hour.
    FREQUENCY, FREQUENCY_ROWS: FrequencyRow, "operating-frequency"
}

formula! {
    /// Factor of a high-efficiency motor on an AC-3 rating.
    HIGH_EFFICIENCY_FACTOR: "factor of a high-efficiency motor on the AC-3 demand", "", "rule of this program: same absolute starting current";
    "f = min(max(k / k0, 1), fm)"; "MIN(MAX(k/k0,1),fm)"; |k, k0, fm| (k / k0).max(1.0).min(fm)
}
formula! {
    /// Demand on the rating of a contactor.
    DEMAND: "demand on the rated operational current", "A", "IEC 60947-4-1, category of the service";
    "Id = f I"; "f*I"; |f, I| f * I
}
formula! {
    /// AC-6a rating.
    AC6A_RATING: "AC-6a rating", "A", "IEC 60947-4-1 Table 9";
    "I6a = f I3"; "f*I3"; |f, I3| f * I3
}
formula! {
    /// AC-6b rating.
    AC6B_RATING: "AC-6b rating", "A", "IEC 60947-4-1 Table 9";
    "I6b = ik x² / (x - 1)², x = f I3 / ik"; "ik*(f*I3/ik)^2/(f*I3/ik-1)^2";
    |ik, f, I3| { let x = f * I3 / ik; ik * x * x / ((x - 1.0) * (x - 1.0)) }
}
formula! {
    /// Demand of a capacitor.
    CAPACITOR_DEMAND: "AC-6b demand of the capacitor", "A", "IEC 60831-1, overcurrent and tolerance";
    "Id = h t I"; "h*t*I"; |h, t, I| h * t * I
}
formula! {
    /// Rating of a semiconductor motor starter at a starting current ratio.
    SEMICONDUCTOR_RATING: "rating of the semiconductor starter at this starting current", "A", "manual of an electronic starter";
    "I = min(1, k0 / k) Ir"; "MIN(1,k0/k)*Ir"; |k0, k, Ir| (k0 / k).min(1.0) * Ir
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] =
    &[&HIGH_EFFICIENCY_FACTOR, &DEMAND, &AC6A_RATING, &AC6B_RATING, &CAPACITOR_DEMAND, &SEMICONDUCTOR_RATING];

fn factor(name: &str) -> f64 {
    FACTOR_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Overload withstand of a contactor of this AC-3 rating (IEC 60947-4-1 Table 8): 8 times for 10 s to 630 A; above, 6 times, but
/// never less than a contactor of 630 A carries.
#[must_use]
pub fn withstand(rating: Amperes) -> Withstand {
    let unknown = Withstand { multiple: f64::NAN, time: Seconds(f64::NAN) };
    WITHSTAND_ROWS.iter().find(|row| row.to_a.is_none_or(|to| fits(rating.0, to))).map_or(unknown, |row| Withstand {
        multiple: row.least_a.map_or(row.multiple, |least| row.multiple.max(least / rating.0)),
        time: Seconds(row.time_s),
    })
}

/// Tells whether the rules of high-efficiency motors hold: class IE3 and better, or a stated starting current ratio above that at which
/// AC-3 ratings are anchored. A motor of which neither is stated is taken as a new one, as its assumed ratio takes it.
#[must_use]
pub fn is_high_efficiency(class: Option<EfficiencyClass>, ratio: Option<f64>) -> bool {
    let starts_high = ratio.map(|ratio| !fits(ratio, factor("ac3-anchor-ratio")));
    class.map_or(starts_high.is_none(), |class| class >= EfficiencyClass::Ie3) || starts_high == Some(true)
}

/// Tells whether a motor that is inched asks for AC-4, by the share of its operations that break the starting current and by how many
/// that are in an hour; where nobody states the starts an hour, the share alone decides.
#[must_use]
pub fn inching_asks_for_ac4(share: f64, starts_per_hour: Option<f64>) -> bool {
    let often = starts_per_hour.is_some_and(|starts| !fits(starts * share, factor("ac4-inched-an-hour")));
    often || fits(factor("ac4-share"), share)
}

/// Factor of a high-efficiency motor on an AC-3 rating.
pub fn high_efficiency_factor(record: &mut Record, ratio: Option<f64>) -> f64 {
    match ratio {
        Some(ratio) => {
            record.step(&HIGH_EFFICIENCY_FACTOR, &[ratio, factor("ac3-anchor-ratio"), factor("high-efficiency-largest")])
        }
        None => factor("high-efficiency-unknown"),
    }
}

/// AC-6a rating of a contactor from its AC-3 rating, for an inrush peak of at most 30 times the peak of the rated current.
pub fn ac6a_rating(record: &mut Record, ac3: Amperes) -> Amperes {
    Amperes(record.step(&AC6A_RATING, &[factor("ac6a-of-ac3"), ac3.0]))
}

/// AC-6b rating of a contactor for a single capacitor bank, from its AC-3 rating and the prospective fault current; none without a
/// rating. Below 205 times the rating the formula does not hold, but the inrush only falls with the fault current: what the contactor
/// is rated at 205 times holds there too.
pub fn ac6b_rating(record: &mut Record, ac3: Amperes, prospective: Amperes) -> Option<Amperes> {
    let least = Amperes(factor("ac6b-least-ratio") * ac3.0);
    // Nothing follows from an unknown rating or fault current.
    if ac3.0.is_nan() || ac3.0 <= 0.0 || prospective.0.is_nan() || prospective.0 <= 0.0 {
        return None;
    }
    let largest = if prospective.0 < least.0 { least } else { prospective };
    Some(Amperes(record.step(&AC6B_RATING, &[largest.0, factor("ac6b-factor"), ac3.0])))
}

/// The current that contactor and cable of a capacitor must carry: 1.3 for overcurrent times 1.15 for tolerance.
pub fn capacitor_demand(record: &mut Record, rated: Amperes) -> Amperes {
    Amperes(record.step(&CAPACITOR_DEMAND, &[factor("capacitor-harmonics"), factor("capacitor-tolerance"), rated.0]))
}

/// Kind of lamps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lamps {
    /// Filament lamps.
    Filament,
    /// Fluorescent lamps with magnetic ballast.
    MagneticBallast,
    /// Electronic ballasts and LED drivers.
    ElectronicBallast,
    /// High-pressure discharge lamps.
    HighPressure,
}

/// Lamp current that a contactor of this AC-1 rating may switch; the count of lamps that the maker allows prevails.
pub fn lamp_current(record: &mut Record, ac1: Amperes, lamps: Lamps) -> Amperes {
    let share = factor(match lamps {
        Lamps::Filament => "lamp-filament",
        Lamps::MagneticBallast => "lamp-magnetic-ballast",
        Lamps::ElectronicBallast => "lamp-electronic-ballast",
        Lamps::HighPressure => "lamp-high-pressure",
    });
    Amperes(record.step(&DEMAND, &[share, ac1.0]))
}

/// Rating of a semiconductor motor starter at a starting current ratio. No circuit asks for this yet.
pub fn semiconductor_rating(record: &mut Record, rating: Amperes, ratio: f64) -> Amperes {
    Amperes(record.step(&SEMICONDUCTOR_RATING, &[factor("semiconductor-anchor-ratio"), ratio, rating.0]))
}

/// Class of intermittent duty that covers so many starts an hour; none above the last. No circuit asks for this yet.
#[must_use]
pub fn intermittent_class(starts_per_hour: f64) -> Option<u32> {
    CLASS_ROWS.iter().map(|row| row.cycles_per_hour).find(|&class| fits(starts_per_hour, f64::from(class)))
}

/// AC-1 current of intermittent duty over the continuous one: the row of the next longer on-time and the column of the next higher
/// frequency; 1 outside the table. No circuit asks for this yet.
#[must_use]
pub fn intermittent_factor(on_time: Seconds, cycles_per_hour: f64) -> f64 {
    let reached = |row: &&IntermittentRow| fits(on_time.0, row.on_time_s) && fits(cycles_per_hour, row.cycles_per_hour);
    // Rows ascend in on-time, then frequency. The first longer on-time that has a column decides.
    let Some(on) = INTERMITTENT_ROWS.iter().find(|row| fits(on_time.0, row.on_time_s)).map(|row| row.on_time_s) else {
        return 1.0;
    };
    INTERMITTENT_ROWS.iter().filter(reached).find(|row| row.on_time_s <= on).map_or(1.0, |row| row.factor)
}

/// Operations an hour assumed where the catalogue gives none (from memory); none for categories without a row.
/// No circuit asks for this yet.
#[must_use]
pub fn default_operations_per_hour(category: Category, rating: Amperes) -> Option<f64> {
    FREQUENCY_ROWS
        .iter()
        .find(|row| row.category == category && row.upto_a.is_none_or(|upto| fits(rating.0, upto)))
        .map(|row| row.operations_per_hour)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_factor_that_the_code_names_is_in_the_table_and_none_is_idle() {
        let source = include_str!("switching.rs");
        let code = source.split("#[cfg(test)]").next().unwrap_or("");
        for row in FACTOR_ROWS.iter() {
            assert!(
                code.contains(&format!("\"{}\"", row.name)) && row.remark.contains(':') | row.remark.contains(';'),
                "{}",
                row.name
            );
        }
        for part in code.split("factor(\"").skip(1) {
            let name = part.split('"').next().unwrap_or("");
            assert!(factor(name).is_finite(), "{name}");
        }
        for lamps in [Lamps::Filament, Lamps::MagneticBallast, Lamps::ElectronicBallast, Lamps::HighPressure] {
            assert!(lamp_current(&mut Record::new(), Amperes(100.0), lamps).0 > 0.0);
        }
    }

    #[test]
    fn withstand_changes_at_630_a() {
        assert_eq!(withstand(Amperes(630.0)).multiple, 8.0);
        assert_eq!(withstand(Amperes(1000.0)).multiple, 6.0);
        let carried = |rating: f64| withstand(Amperes(rating)).multiple * rating;
        assert!((carried(800.0) - 5040.0).abs() < 1e-9, "not less than a contactor of 630 A");
        for w in [6.3, 100.0, 630.0, 631.0, 800.0, 840.0, 1000.0].windows(2) {
            assert!(carried(w[0]) <= carried(w[1]) + 1e-9, "{w:?}");
        }
        assert_eq!(WITHSTAND_ROWS.first().map(|row| row.from_a), Some(0.0));
    }

    #[test]
    fn high_efficiency_motors() {
        let record = &mut Record::new();
        assert!((high_efficiency_factor(record, None) - 1.15).abs() < 1e-12);
        assert!((high_efficiency_factor(record, Some(20.0)) - 1.25).abs() < 1e-12);
        assert!(
            is_high_efficiency(Some(EfficiencyClass::Ie3), Some(6.0))
                && is_high_efficiency(None, Some(7.5))
                && is_high_efficiency(None, None)
                && !is_high_efficiency(None, Some(7.2))
                && !is_high_efficiency(Some(EfficiencyClass::Ie2), Some(7.2))
                && !is_high_efficiency(Some(EfficiencyClass::Ie2), None)
        );
    }

    /// IEC 60947-4-1, Table 9: at 205 times the AC-3 rating x = 13.3 / 205 = 0.06488 and the AC-6b rating is 205 · (x / (1 - x))² = 0.9868
    /// of the AC-3 rating: 49.34 A of 50 A. A weaker supply drives less inrush, so no contactor is rated less there.
    #[test]
    fn a_weaker_supply_never_lowers_the_rating_for_capacitors() {
        let record = &mut Record::new();
        let mut of = |amperes: f64| ac6b_rating(record, Amperes(50.0), Amperes(amperes)).map(|rating| rating.0);
        for below in [100.0, 5_000.0, 10_000.0, 10_249.0] {
            assert!(of(below).is_some_and(|amperes| (amperes - 49.34).abs() < 0.01), "{below} A: {:?}", of(below));
        }
        assert!(of(11_000.0).is_some_and(|amperes| amperes < 49.34 && amperes > 40.0));
        assert_eq!((of(0.0), of(f64::NAN)), (None, None));
        assert_eq!(ac6b_rating(&mut Record::new(), Amperes(0.0), Amperes(10_000.0)), None);
    }

    #[test]
    fn intermittent_duty_is_read_on_the_safe_side() {
        assert_eq!(intermittent_class(31.0), Some(120));
        assert_eq!(intermittent_class(12.0), Some(12));
        assert_eq!(intermittent_class(1201.0), None);
        assert!(CLASS_ROWS.windows(2).all(|w| w[0].cycles_per_hour < w[1].cycles_per_hour));
        let close = |a: f64, b: f64| (a - b).abs() < 1e-12;
        assert!(close(intermittent_factor(Seconds(10.0), 12.0), 3.1));
        assert!(close(intermittent_factor(Seconds(11.0), 13.0), 2.4));
        assert!(close(intermittent_factor(Seconds(60.0), 60.0), 1.0));
        assert!(close(intermittent_factor(Seconds(61.0), 1.0), 1.0));
        for w in INTERMITTENT_ROWS.windows(2).filter(|w| (w[0].on_time_s - w[1].on_time_s).abs() < 1e-9) {
            assert!(w[0].factor >= w[1].factor && w[0].cycles_per_hour < w[1].cycles_per_hour);
        }
    }

    #[test]
    fn operations_an_hour_by_rating() {
        assert_eq!(default_operations_per_hour(Category::Ac3, Amperes(100.0)), Some(1200.0));
        assert_eq!(default_operations_per_hour(Category::Ac3, Amperes(101.0)), Some(600.0));
        assert_eq!(default_operations_per_hour(Category::Ac6b, Amperes(10.0)), None);
    }
}
