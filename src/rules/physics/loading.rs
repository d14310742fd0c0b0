//! Loads of boards: figures of practice, and the current of what runs together.

use crate::quantity::Amperes;
use crate::record::{Formula, Record};
use crate::rules::table::Figure;

table! {
    /// Figures of practice on the loads of boards.
    LOADING, LOADING_ROWS: Figure, "load-practice"
}

/// A figure by its name. One that the table lacks is not a number, which fits nothing; a test finds it.
#[must_use]
pub fn load_figure(name: &str) -> f64 {
    LOADING_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

formula! {
    /// Current of loads that run together.
    TOGETHER: "line current of what runs together", "A", "sum of phasors";
    "I = √((Σ Ii cosφi)² + (Σ Ii sinφi)²)"; "SQRT(Iw^2+Ib^2)"; |Iw, Ib| (Iw * Iw + Ib * Ib).sqrt()
}
formula! {
    /// Current after demand factors.
    DEMAND: "line current after demand factors", "A", "sum of phasors, with the load that is there already";
    "I = √((Σ fi Ii cosφi)² + (Σ fi Ii sinφi)²) + I0"; "SQRT(Iw^2+Ib^2)+I0"; |Iw, Ib, I0| (Iw * Iw + Ib * Ib).sqrt() + I0
}
formula! {
    /// Dip of a start.
    DIP: "dip of the largest start", "%", "voltages of the network before and during the start";
    "d = u1 − u2"; "u1-u2"; |u1, u2| u1 - u2
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&TOGETHER, &DEMAND, &DIP];

/// Line current of what runs together, from its parts in phase with the voltage and a quarter of a period behind it.
pub fn together(record: &mut Record, active: Amperes, reactive: Amperes) -> Amperes {
    Amperes(record.step(&TOGETHER, &[active.0, reactive.0]))
}

/// Line current after demand factors with the load that is there already.
pub fn demand(record: &mut Record, active: Amperes, reactive: Amperes, existing: Amperes) -> Amperes {
    Amperes(record.step(&DEMAND, &[active.0, reactive.0, existing.0]))
}

/// Dip from the voltages before and during a start, per cent of nominal.
pub fn dip(record: &mut Record, before_pct: f64, during_pct: f64) -> f64 {
    record.step(&DIP, &[before_pct, during_pct])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_of_the_table_is_a_number_and_has_a_remark() {
        assert!(LOADING_ROWS.len() > 5);
        assert!(LOADING_ROWS.iter().all(|row| row.value.is_finite() && !row.remark.is_empty()));
        assert!(load_figure("no such figure").is_nan());
    }
}
