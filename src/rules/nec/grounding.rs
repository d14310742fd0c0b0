//! Equipment grounding conductors: by the rating of the overcurrent device, larger with larger phase conductors, never larger than
//! these (250.122); in parallel raceways at least as the device asks in each.

use serde::Deserialize;

use crate::load::Material;
use crate::quantity::{Amperes, fits};
use crate::record::{Formula, Record};
use crate::rules::nec::conductor::Size;
use crate::rules::nec::figures::figure;

/// Equipment grounding conductor of one rating.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroundingRow {
    device_upto_a: f64,
    copper: String,
    aluminium: String,
}

table! {
    /// Equipment grounding conductors.
    GROUNDING, GROUNDING_ROWS: GroundingRow, "equipment-grounding-conductors"
}

formula! {
    /// Equipment grounding conductor of the table, looked up.
    BY_RATING: "equipment grounding conductor of the table", "cmil", "NFPA 70, Table 250.122";
    "A0 from the table, by the rating I of the device"; "A0"; |I, A0| { let _ = I; A0 }
}
formula! {
    /// Section of the equipment grounding conductor of phase conductors that are larger than needed.
    INCREASED: "section of the equipment grounding conductor", "cmil", "NFPA 70, 250.122(B)";
    "A = A0 Aφ / Aφ0"; "A0*Aphi/Aphi0";
    |A0, Aphi, Aphi0| A0 * Aphi / Aphi0
}

formula! {
    /// The equipment grounding conductor that is laid.
    LAID: "equipment grounding conductor", "cmil", "NFPA 70, 250.122(A)";
    "A = min(A1, Aφ), A1 of the next size"; "MIN(A1,Aphi)"; |A1, Aphi| A1.min(Aphi)
}

formula! {
    /// The section by which the next size is found where the printed area of a gauge lacks less than the rounding of Table 8.
    OF_GAUGES: "section but for the rounding of gauges in Table 8", "cmil", "NFPA 70, Chapter 9, Table 8";
    "A' = A (1 - t)"; "A*(1-t)"; |A, t| A * (1.0 - t)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&BY_RATING, &INCREASED, &OF_GAUGES, &LAID];

/// Table 250.122; none above its last rating.
#[must_use]
pub fn by_device(rating: Amperes, material: Material) -> Option<Size> {
    let row = GROUNDING_ROWS.iter().find(|row| fits(rating.0, row.device_upto_a))?;
    Size::parse(if material == Material::Copper { &row.copper } else { &row.aluminium })
}

/// Section of all phase conductors of one phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase {
    /// Size of one.
    pub size: Size,
    /// In parallel.
    pub sets: u32,
}

impl Phase {
    /// Circular mils of all sets.
    #[must_use]
    pub fn cmil(self) -> f64 {
        self.size.cmil() * f64::from(self.sets)
    }
}

/// Equipment grounding conductor, one in each raceway: of Table 250.122 by the rating (of the device; with an instantaneous-trip
/// breaker that of the dual-element fuse of 430.52, 250.122(D)(2)), increased as the phase conductors are above the smallest that
/// would otherwise do, and never larger than the circuit conductors. In parallel, 250.122(F) wants that of the device whole in each
/// raceway; the increase ends where it is as large as the phase conductor beside it, for all of them together are then the circuit
/// conductors.
pub fn conductor(
    record: &mut Record,
    rating: Amperes,
    material: Material,
    phase: Phase,
    otherwise: Option<Phase>,
) -> Option<Size> {
    let base = by_device(rating, material)?;
    record.step(&BY_RATING, &[rating.0, base.cmil()]);
    let enlarged = otherwise.filter(|least| phase.cmil() > least.cmil() * (1.0 + 1e-9));
    let wanted = match enlarged {
        None => base,
        Some(enlarged) => {
            let cmil = record.step(&INCREASED, &[base.cmil(), phase.cmil(), enlarged.cmil()]);
            next_size(record, cmil).unwrap_or(phase.size)
        }
    };
    // 250.122(A) and (F): of one set the conductors bound it; of several they bound what is added for the length.
    let bound = if phase.sets == 1 { phase.size } else { phase.size.max(base) };
    record.step(&LAID, &[wanted.cmil(), bound.cmil()]);
    Some(wanted.min(bound))
}

/// The size of a section that an increase asks for. Printed areas of gauges are rounded: one that lacks less than that is the gauge of the
/// same ratio. Circular mils are exact, and nothing is forgiven them.
fn next_size(record: &mut Record, cmil: f64) -> Option<Size> {
    let tolerance = figure("gauge-area-tolerance");
    let exact = Size::at_least_cmil(cmil);
    let gauge = Size::at_least_cmil(cmil * (1.0 - tolerance)).filter(|size| size.is_gauge() && Some(*size) != exact);
    if gauge.is_some() {
        record.step(&OF_GAUGES, &[cmil, tolerance]);
    }
    gauge.or(exact)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(text: &str) -> Size {
        Size::parse(text).expect("a size")
    }

    fn phase(text: &str, sets: u32) -> Phase {
        Phase { size: size(text), sets }
    }

    #[test]
    fn the_table_ascends() {
        for material in [Material::Copper, Material::Aluminium] {
            let mut last: Option<Size> = None;
            for row in GROUNDING_ROWS.iter() {
                let size = by_device(Amperes(row.device_upto_a), material).expect("a row");
                assert!(last.is_none_or(|last| size >= last), "{} A", row.device_upto_a);
                last = Some(size);
            }
        }
        for row in GROUNDING_ROWS.iter() {
            let of = |material| by_device(Amperes(row.device_upto_a), material);
            assert!(of(Material::Aluminium) > of(Material::Copper), "{} A", row.device_upto_a);
        }
    }

    #[test]
    fn ratings_between_rows_go_to_the_larger() {
        // Table 250.122.
        for (rating, name) in [(10.0, "14"), (15.0, "14"), (16.0, "12"), (60.0, "10"), (100.0, "8"), (110.0, "6"), (400.0, "3")] {
            assert_eq!(by_device(Amperes(rating), Material::Copper), Some(size(name)), "{rating} A");
        }
        assert_eq!(by_device(Amperes(6001.0), Material::Copper), None);
    }

    #[test]
    fn it_grows_with_the_phase_conductors_and_is_never_larger() {
        let of = |rating: f64, phase: Phase, otherwise: Option<Phase>| {
            conductor(&mut Record::new(), Amperes(rating), Material::Copper, phase, otherwise).map(Size::name)
        };
        // 250.122(A): a 25 A device asks 10 AWG, the circuit has 12 AWG.
        assert_eq!(of(25.0, phase("12", 1), None), Some("12"));
        // 250.122(B): 60 A device, 10 AWG by the table, phases raised from 8 to 4 AWG: 10380 × 41740 / 16510 = 26243 cmil; 6 AWG
        // has 26240 as printed, two gauges above 8 AWG as 4 AWG is: by ASTM B258 every gauge has the same ratio to the next.
        assert_eq!(of(60.0, phase("4", 1), Some(phase("8", 1))), Some("6"));
        // 60 A, from 6 to 4 AWG: 10380 × 41740 / 26240 = 16 511 cmil, 8 AWG has 16 510.
        assert_eq!(of(60.0, phase("4", 1), Some(phase("6", 1))), Some("8"));
        assert_eq!(of(60.0, phase("8", 1), Some(phase("8", 1))), Some("10"));
        // 250.122(F): full size in each raceway.
        assert_eq!(of(400.0, phase("1/0", 4), None), Some("3"));
        assert_eq!(of(1200.0, phase("1/0", 4), None), Some("3/0"));
        // 250.122(A) and (B): 90 A, 8 AWG by the table, phases raised from 6 AWG to two of 300 kcmil: 16510 × 600 000 / 26240 = 377 515
        // cmil would be 400 kcmil in each raceway, more than the conductors beside it; two of 300 kcmil are as much as these.
        assert_eq!(of(90.0, phase("300", 2), Some(phase("6", 1))), Some("300"));
        // Less far raised: two of 4/0 AWG in place of one of 1/0: 16510 × 423 200 / 105 600 = 66 165 cmil, 2 AWG (66 360).
        assert_eq!(of(90.0, phase("4/0", 2), Some(phase("1/0", 1))), Some("2"));
        // The device's own goes before: 5000 A ask for 700 kcmil in each raceway, though 500 kcmil lie beside it.
        assert_eq!(of(5000.0, phase("500", 14), None), Some("700"));
    }

    /// 250.122(B): behind 40 A the table has 10 AWG (10 380 cmil). Of phases of 2 AWG (66 360) where 10 AWG would do the increase gives
    /// 66 360 cmil, 2 AWG; Chapter 9, Table 8.
    #[test]
    fn the_working_tells_the_table_the_increase_and_what_is_laid() {
        let told = |otherwise: Option<Phase>| {
            let mut record = Record::new();
            conductor(&mut record, Amperes(40.0), Material::Copper, phase("2", 1), otherwise).expect("a size");
            record.steps().iter().map(|step| (step.reference, step.result)).collect::<Vec<_>>()
        };
        let (table, laid) = (("NFPA 70, Table 250.122", 10_380.0), "NFPA 70, 250.122(A)");
        assert_eq!(told(Some(phase("10", 1))), [table, ("NFPA 70, 250.122(B)", 66_360.0), (laid, 66_360.0)]);
        assert_eq!(told(Some(phase("2", 1))), [table, (laid, 10_380.0)]);
    }

    /// 250.122(B): behind 100 A the table has 8 AWG (16 510 cmil); phases of 2 AWG (66 360) where 6 AWG (26 240) would do are four gauges
    /// larger, and so is 4 AWG: 16 510 × 66 360 / 26 240 = 41 753, of which its printed 41 740 lack 0.03 %. The working says so.
    #[test]
    fn a_gauge_that_lacks_the_rounding_of_its_area_says_so() {
        let mut record = Record::new();
        let laid = conductor(&mut record, Amperes(100.0), Material::Copper, phase("2", 1), Some(phase("6", 1)));
        assert_eq!(laid, Some(size("4")));
        let steps: Vec<_> = record.steps().iter().map(|step| (step.reference, step.result)).collect();
        let [_, (_, asked), (reference, forgiven), (_, end)] = steps.as_slice() else { panic!("{steps:?}") };
        assert_eq!((*reference, *end), ("NFPA 70, Chapter 9, Table 8", 41_740.0));
        assert!((asked - 41_753.0).abs() < 1.0 && (forgiven - 41_753.0 * 0.999).abs() < 1.0, "{steps:?}");
        let mut record = Record::new();
        assert_eq!(next_size(&mut record, 250_100.0), Some(size("300")), "circular mils are exact");
        assert!(record.steps().is_empty());
    }

    /// Parallel sets count together: two of 250 kcmil have 500 000 circular mils, three of 1/0 AWG (105 600, Chapter 9, Table 8) 316 800.
    #[test]
    fn circular_mils_are_those_of_all_sets() {
        for (text, sets, cmil) in [("250", 2, 500_000.0), ("1/0", 3, 316_800.0), ("1/0", 1, 105_600.0)] {
            assert!((phase(text, sets).cmil() - cmil).abs() < 1.0, "{sets} of {text}: {}", phase(text, sets).cmil());
        }
    }
}
