//! Magnetic trips of circuit-breakers against the start of a motor: both as r.m.s. and as first peak.

use crate::quantity::Amperes;
use crate::record::{Formula, Record};
use crate::rules::table::Figure;

table! {
    /// First peaks of starts.
    INRUSH, INRUSH_ROWS: Figure, "inrush-peak"
}

formula! {
    /// Nominal magnetic trip.
    MAGNETIC_TRIP: "magnetic trip", "A", "data sheet of the circuit-breaker";
    "Im = m Ib"; "m*Ib"; |m, Ib| m * Ib
}
formula! {
    /// Lowest magnetic trip.
    MAGNETIC_LEAST: "lowest magnetic trip", "A", "tolerance of the instantaneous trip, IEC 60947-2";
    "Im- = Im (1 - p / 100)"; "Im*(1-p/100)"; |Im, p| Im * (1.0 - p / 100.0)
}
formula! {
    /// Highest magnetic trip.
    MAGNETIC_MOST: "highest magnetic trip", "A", "tolerance of the instantaneous trip, IEC 60947-2";
    "Im+ = Im (1 + p / 100)"; "Im*(1+p/100)"; |Im, p| Im * (1.0 + p / 100.0)
}
formula! {
    /// First peak of the starting current.
    INRUSH_PEAK: "first peak of the starting current", "A", "note in the scope of IEC 60034-12";
    "Ip = c IA"; "c*IA"; |c, IA| c * IA
}
formula! {
    /// Peak at which a magnetic trip acts.
    TRIP_PEAK: "peak at which the magnetic trip acts at the least", "A", "peak of a sinusoidal current";
    "Ip = √2 Im-"; "SQRT(2)*Im"; |Im| 2f64.sqrt() * Im
}
/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&MAGNETIC_TRIP, &MAGNETIC_LEAST, &MAGNETIC_MOST, &INRUSH_PEAK, &TRIP_PEAK];

fn figure(name: &str) -> f64 {
    INRUSH_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// A magnetic trip with its limits: the lower one must ride through the start, the upper one must clear the fault.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MagneticBand {
    /// Nominal.
    pub nominal: Amperes,
    /// Lowest.
    pub least: Amperes,
    /// Highest.
    pub most: Amperes,
}

/// Magnetic trip at `multiple` of its base (top of the range or setting: catalogue data) with a tolerance in per cent.
pub fn magnetic_band(record: &mut Record, multiple: f64, base: Amperes, tolerance_pct: f64) -> MagneticBand {
    let nominal = record.step(&MAGNETIC_TRIP, &[multiple, base.0]);
    MagneticBand {
        nominal: Amperes(nominal),
        least: Amperes(record.step(&MAGNETIC_LEAST, &[nominal, tolerance_pct])),
        most: Amperes(record.step(&MAGNETIC_MOST, &[nominal, tolerance_pct])),
    }
}

/// First peak over the r.m.s. starting current: least, usual, most.
#[must_use]
pub fn inrush_peak_factors() -> (f64, f64, f64) {
    (figure("inrush-peak-least"), figure("inrush-peak-usual"), figure("inrush-peak-most"))
}

/// A start against a magnetic trip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InrushCheck {
    /// Symmetrical starting current, r.m.s.: above the lower limit the breaker trips at every start.
    pub symmetrical: Amperes,
    /// Lower limit of the trip, r.m.s.
    pub least: Amperes,
    /// First peak.
    pub peak: Amperes,
    /// Peak at which the lower limit acts: above it the breaker may trip at some starts.
    pub trip_peak: Amperes,
}

/// Compares a start with a magnetic trip; `peak_factor` is one of [`inrush_peak_factors`].
pub fn inrush(record: &mut Record, start_current: Amperes, peak_factor: f64, band: MagneticBand) -> InrushCheck {
    InrushCheck {
        symmetrical: start_current,
        least: band.least,
        peak: Amperes(record.step(&INRUSH_PEAK, &[peak_factor, start_current.0])),
        trip_peak: Amperes(record.step(&TRIP_PEAK, &[band.least.0])),
    }
}

/// Nominal, lower and upper limit of a magnetic trip, A.
pub fn limits(record: &mut Record, multiple: f64, base: Amperes, tolerance_pct: f64) -> [f64; 3] {
    let band = magnetic_band(record, multiple, base, tolerance_pct);
    [band.nominal.0, band.least.0, band.most.0]
}

/// First peak of a start, and the peak at which a trip with this lower limit acts.
pub fn peaks(record: &mut Record, start: Amperes, peak_factor: f64, lower_limit: Amperes) -> (Amperes, Amperes) {
    let check = inrush(record, start, peak_factor, MagneticBand { nominal: lower_limit, least: lower_limit, most: lower_limit });
    (check.peak, check.trip_peak)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_peak_of_a_start_is_held_against_the_lower_limit() {
        let record = &mut Record::new();
        let band = magnetic_band(record, 13.0, Amperes(13.0), 20.0);
        assert!((band.least.0 - 135.2).abs() < 1e-9 && (band.most.0 - 202.8).abs() < 1e-9);
        let peak_fits = |start: f64| {
            let check = inrush(&mut Record::new(), Amperes(start), 2.3, band);
            check.peak.fits(check.trip_peak)
        };
        assert!(peak_fits(70.0) && !peak_fits(95.0));
    }

    #[test]
    fn peaks_stand_in_their_order() {
        let (least, usual, most) = inrush_peak_factors();
        assert!(least < usual && usual < most);
    }
}
