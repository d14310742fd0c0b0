//! Overload protection of motors after Part III of Article 430.
//!
//! The percentages limit the current at which the protection trips in the end, not the mark on its dial: a relay whose ultimate
//! trip lies at 1.25 times its dial stands at the nameplate current where 125 % applies, and lower where 115 % does.

use serde::Deserialize;

use super::figures::figure;
use crate::quantity::{Amperes, fits};
use crate::record::{Formula, Record};

/// One ceiling, per cent.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRow {
    rule: String,
    case: String,
    above_a: Option<f64>,
    to_a: Option<f64>,
    max_pct: f64,
}

/// Overload units of one kind of supply.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PolesRow {
    supply: String,
    /// How many units.
    pub units: u32,
    /// Conductors that hold them.
    pub r#where: String,
    /// Conductors that hold fuses, where fuses are the overload protection.
    pub fuses_where: String,
}

table! {
    /// Ceilings.
    LIMITS, LIMIT_ROWS: LimitRow, "nec-overload-limits"
}
table! {
    /// Number of overload units.
    POLES, POLES_ROWS: PolesRow, "nec-overload-poles"
}

formula! {
    /// Ceiling of a separate overload device.
    TRIP_CEILING: "largest ultimate trip current of the overload protection", "A", "430.32(A)(1)";
    "Imax = p In / 100"; "p*In/100"; |p, In| p * In / 100.0
}
formula! {
    /// Ceiling where the motor does not start otherwise.
    TRIP_CEILING_INCREASED: "largest ultimate trip current where the motor does not start otherwise", "A", "430.32(C)";
    "Imax = p In / 100"; "p*In/100"; |p, In| p * In / 100.0
}
formula! {
    /// Ceiling of a thermal protector.
    PROTECTOR_CEILING: "largest ultimate trip current of the thermal protector", "A", "430.32(A)(2)";
    "Imax = p It / 100"; "p*It/100"; |p, It| p * It / 100.0
}
formula! {
    /// Ceiling of a hermetic motor-compressor.
    HERMETIC_CEILING: "largest ultimate trip current of the compressor's overload protection", "A", "440.52(A)";
    "Imax = p Ir / 100"; "p*Ir/100"; |p, Ir| p * Ir / 100.0
}
formula! {
    /// Highest dial at which the trip keeps to its ceiling.
    HIGHEST_DIAL: "highest setting of the overload relay", "A", "430.32, limit of the trip current";
    "Id = s min(Imax / u, Ic)"; "s*MIN(Imax/u,Ic)"; |s, Imax, u, Ic| s * (Imax / u).min(Ic)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&TRIP_CEILING, &TRIP_CEILING_INCREASED, &PROTECTOR_CEILING, &HERMETIC_CEILING, &HIGHEST_DIAL];

/// The reserve that the nameplate states. Nothing marked means none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reserve {
    /// Service factor.
    pub service_factor: Option<f64>,
    /// Temperature rise, K.
    pub rise_k: Option<f64>,
}

impl Reserve {
    /// A service factor of 1.15 and more, or a rise of 40 °C and less: one of them is enough.
    #[must_use]
    pub fn is_ample(self) -> bool {
        let factor = self.service_factor.is_some_and(|service_factor| fits(figure("service-factor-least"), service_factor));
        let rise = self.rise_k.is_some_and(|rise_k| rise_k > 0.0 && fits(rise_k, figure("rise-most-k")));
        factor || rise
    }
}

/// A limit of the ultimate trip current of the motor, whatever share of it a relay sees. Never rounded up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TripCeiling {
    /// The limit.
    pub trip: Amperes,
    /// Per cent.
    pub percent: f64,
    /// Current of the motor from which it is counted.
    pub base: Amperes,
    /// It is the increased one of 430.32(C): never a first choice; a slower class is tried first.
    pub increased: bool,
    /// Clause.
    pub clause: &'static str,
}

fn limit(rule: &str, case: &str, current: f64) -> Option<&'static LimitRow> {
    LIMIT_ROWS.iter().filter(|row| row.rule == rule && row.case == case).find(|row| {
        row.above_a.is_none_or(|above| !fits(current, above) || above == 0.0) && row.to_a.is_none_or(|to| fits(current, to))
    })
}

fn ceiling_by(record: &mut Record, rule: &str, case: &str, base: Amperes, formula: &'static Formula) -> Option<TripCeiling> {
    let row = limit(rule, case, base.0).filter(|_| base.0 > 0.0)?;
    let trip = Amperes(record.step(formula, &[row.max_pct, base.0]));
    Some(TripCeiling { trip, percent: row.max_pct, base, increased: rule == "430.32(C)", clause: row.rule.as_str() })
}

fn case_of(reserve: Reserve) -> &'static str {
    if reserve.is_ample() { "service-factor-or-rise" } else { "other" }
}

/// Largest ultimate trip current of a separate overload device: 125 or 115 % of the nameplate current. None without a current.
pub fn ceiling(record: &mut Record, nameplate: Amperes, reserve: Reserve) -> Option<TripCeiling> {
    ceiling_by(record, "430.32(A)(1)", case_of(reserve), nameplate, &TRIP_CEILING)
}

/// The same where that value does not let the motor start or carry its load: 140 or 130 %. No circuit asks for this yet.
pub fn increased_ceiling(record: &mut Record, nameplate: Amperes, reserve: Reserve) -> Option<TripCeiling> {
    ceiling_by(record, "430.32(C)", case_of(reserve), nameplate, &TRIP_CEILING_INCREASED)
}

/// Largest ultimate trip current of a thermal protector in the motor: 170, 156 or 140 % of the table current.
/// No circuit asks for this yet.
pub fn thermal_protector_ceiling(record: &mut Record, table_current: Amperes) -> Option<TripCeiling> {
    ceiling_by(record, "430.32(A)(2)", "thermal-protector", table_current, &PROTECTOR_CEILING)
}

/// Largest ultimate trip current of the overload relay of a hermetic compressor: 140 % of its rated-load current.
pub fn hermetic_relay_ceiling(record: &mut Record, rated_load: Amperes) -> Option<TripCeiling> {
    ceiling_by(record, "440.52(A)(1)", "hermetic-relay", rated_load, &HERMETIC_CEILING)
}

/// Largest fuse or inverse-time breaker that is the overload protection of a hermetic compressor: 125 % of its rated-load current.
/// No circuit asks for this yet.
pub fn hermetic_device_ceiling(record: &mut Record, rated_load: Amperes) -> Option<TripCeiling> {
    ceiling_by(record, "440.52(A)(3)", "hermetic-fuse-or-breaker", rated_load, &HERMETIC_CEILING)
}

/// The ultimate trip of a relay may not exceed the service-limit current of the controller that it protects.
pub const SERVICE_LIMIT: &str = "NEMA ICS 2, service-limit current";

/// Ultimate trip over the dial: as declared, 1.25 where it is not known.
#[must_use]
pub fn ultimate_trip(declared: Option<f64>) -> f64 {
    declared.filter(|declared| *declared >= 1.0).unwrap_or_else(|| figure("ultimate-trip-factor-unknown"))
}

/// Highest dial of a relay that sees `share` of the motor's current (1 in the line, 1/√3 in a winding that runs in delta, half in
/// a part winding): ceiling over its ultimate-trip factor, 1.25 where that is not known. Never above the nameplate current, but
/// where the increased ceiling is made use of.
pub fn highest_dial(record: &mut Record, ceiling: TripCeiling, ultimate_trip: Option<f64>, share: f64) -> Amperes {
    let factor = self::ultimate_trip(ultimate_trip);
    let cap = if ceiling.increased { ceiling.trip } else { ceiling.base };
    Amperes(record.step(&HIGHEST_DIAL, &[share, ceiling.trip.0, factor, cap.0]))
}

/// The supply of the motor, as far as the number of overload units depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MotorSupply {
    /// Two wires, none grounded: single-phase line-to-line, or direct current.
    TwoWireUngrounded,
    /// Two wires, one grounded.
    TwoWireGrounded,
    /// Three wires, single-phase, neutral grounded.
    ThreeWireSinglePhase,
    /// Three phases.
    ThreePhase,
    /// Three phases, one of them grounded.
    ThreePhaseCornerGrounded,
}

/// How many overload units, and where: Table 430.37, for fuses 430.36.
#[must_use]
pub fn units(supply: MotorSupply) -> Option<&'static PolesRow> {
    let key = match supply {
        MotorSupply::TwoWireUngrounded => "two-wire-ungrounded",
        MotorSupply::TwoWireGrounded => "two-wire-grounded",
        MotorSupply::ThreeWireSinglePhase => "three-wire-single-phase",
        MotorSupply::ThreePhase => "three-phase",
        MotorSupply::ThreePhaseCornerGrounded => "three-phase-corner-grounded",
    };
    POLES_ROWS.iter().find(|row| row.supply == key)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn percent(service_factor: Option<f64>, rise_k: Option<f64>) -> f64 {
        ceiling(&mut Record::new(), Amperes(10.0), Reserve { service_factor, rise_k }).map_or(f64::NAN, |ceiling| ceiling.percent)
    }

    /// Edge cases of the notes: service factor and rise are alternatives.
    #[test]
    fn service_factor_or_rise() {
        assert_eq!(percent(Some(1.15), Some(41.0)), 125.0);
        assert_eq!(percent(Some(1.0), Some(40.0)), 125.0);
        assert_eq!(percent(Some(1.14), Some(41.0)), 115.0);
        assert_eq!(percent(None, None), 115.0);
        assert_eq!(percent(None, Some(0.0)), 115.0);
        assert_eq!(percent(Some(f64::NAN), None), 115.0);
    }

    #[test]
    fn thermal_protectors_by_their_bands() {
        let of = |amperes: f64| thermal_protector_ceiling(&mut Record::new(), Amperes(amperes)).map(|ceiling| ceiling.percent);
        assert_eq!([of(0.5), of(9.0), of(9.1), of(20.0), of(20.1)], [170.0, 170.0, 156.0, 156.0, 140.0].map(Some));
        assert_eq!(of(0.0), None);
        assert_eq!(of(f64::NAN), None);
    }

    #[test]
    fn the_trip_and_not_the_dial_keeps_to_the_ceiling() {
        let record = &mut Record::new();
        let ample = Reserve { service_factor: Some(1.15), rise_k: None };
        for step in 1..400 {
            let nameplate = Amperes(f64::from(step) * 0.7);
            for reserve in [ample, Reserve::default()] {
                for factor in [None, Some(1.05), Some(1.15), Some(1.2), Some(1.25)] {
                    for share in [1.0, 0.577, 0.5] {
                        for ceiling in [ceiling(record, nameplate, reserve), increased_ceiling(record, nameplate, reserve)] {
                            let ceiling = ceiling.unwrap_or_else(|| panic!("a ceiling"));
                            let dial = highest_dial(record, ceiling, factor, share);
                            assert!((dial * factor.unwrap_or(1.25)).fits(ceiling.trip * share));
                            assert!(ceiling.increased || dial.fits(nameplate * share));
                        }
                    }
                }
            }
        }
        let dial = |reserve, factor| {
            ceiling(&mut Record::new(), Amperes(100.0), reserve)
                .map(|ceiling| highest_dial(&mut Record::new(), ceiling, factor, 1.0).0)
        };
        assert_eq!(dial(ample, None), Some(100.0));
        assert_eq!(dial(ample, Some(1.15)), Some(100.0));
        assert_eq!(dial(Reserve::default(), None), Some(92.0));
    }

    #[test]
    fn units_for_every_supply() {
        assert_eq!(units(MotorSupply::ThreePhase).map(|row| row.units), Some(3));
        assert!(units(MotorSupply::ThreePhaseCornerGrounded).is_some_and(|row| row.fuses_where.contains("grounded one")));
        for supply in [MotorSupply::TwoWireUngrounded, MotorSupply::TwoWireGrounded, MotorSupply::ThreeWireSinglePhase] {
            assert_eq!(units(supply).map(|row| row.units), Some(1));
        }
    }
}
