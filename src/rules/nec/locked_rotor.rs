//! Locked-rotor currents: Table 430.251 for disconnecting means and controllers, code letters, small motors.

use serde::Deserialize;

use super::currents::{TableCurrent, VoltageRow, band, look_up, points, row_not_below, voltage_row};
use super::figures::figure;
use crate::quantity::{Amperes, Volts};
use crate::record::{Formula, Record};

voltage_row! {
    /// One horsepower of Table 430.251(A), A.
    LockedSinglePhaseRow { lra_115v: 115.0, lra_208v: 208.0, lra_230v: 230.0 }
}
voltage_row! {
    /// One horsepower of Table 430.251(B), A.
    LockedThreePhaseRow { lra_115v: 115.0, lra_200v: 200.0, lra_208v: 208.0, lra_230v: 230.0, lra_460v: 460.0, lra_575v: 575.0 }
}

/// One code letter, kVA/hp.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeLetterRow {
    /// The letter.
    pub letter: char,
    /// From this.
    pub kva_per_hp_min: f64,
    /// To this; none for the last letter.
    pub kva_per_hp_max: Option<f64>,
}

table! {
    /// Locked-rotor currents of single-phase motors.
    LOCKED_SINGLE_PHASE, LOCKED_SINGLE_PHASE_ROWS: LockedSinglePhaseRow, "locked-rotor-current-single-phase"
}
table! {
    /// Locked-rotor currents of polyphase motors of design B, C and D.
    LOCKED_THREE_PHASE, LOCKED_THREE_PHASE_ROWS: LockedThreePhaseRow, "locked-rotor-current-three-phase"
}
table! {
    /// Code letters.
    CODE_LETTERS, CODE_LETTER_ROWS: CodeLetterRow, "locked-rotor-code-letters"
}

formula! {
    /// Between two rows of Table 430.251.
    INTERPOLATED_LOCKED_ROTOR: "locked-rotor current between two rows", "A", "Table 430.251";
    "I = Ia + (Ib - Ia) (hp - hpa) / (hpb - hpa)"; "Ia+(Ib-Ia)*(hp-hpa)/(hpb-hpa)";
    |hp, hpa, hpb, Ia, Ib| Ia + (Ib - Ia) * (hp - hpa) / (hpb - hpa)
}
formula! {
    /// Code letter, three-phase.
    CODE_LETTER_CURRENT: "locked-rotor current of the code letter", "A", "Table 430.7(B)";
    "IA = 1000 s hp / (√3 U)"; "1000*s*hp/(SQRT(3)*U)"; |s, hp, U| 1000.0 * s * hp / (3f64.sqrt() * U)
}
formula! {
    /// Code letter, single-phase.
    CODE_LETTER_CURRENT_SINGLE: "locked-rotor current of the code letter", "A", "Table 430.7(B)";
    "IA = 1000 s hp / U"; "1000*s*hp/U"; |s, hp, U| 1000.0 * s * hp / U
}
formula! {
    /// Motor that no table holds.
    SMALL_MOTOR_LOCKED_ROTOR: "locked-rotor current of a motor outside the tables", "A", "430.110(C)(3)";
    "IA = m I"; "m*I"; |m, I| m * I
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] =
    &[&INTERPOLATED_LOCKED_ROTOR, &CODE_LETTER_CURRENT, &CODE_LETTER_CURRENT_SINGLE, &SMALL_MOTOR_LOCKED_ROTOR];

fn column_points(phases: u32, voltage: Volts) -> Option<(f64, Vec<(f64, f64)>)> {
    match phases {
        1 => band("locked-rotor-single-phase", voltage).map(|v| (v, points(LOCKED_SINGLE_PHASE_ROWS.iter(), v))),
        3 => band("locked-rotor-three-phase", voltage).map(|v| (v, points(LOCKED_THREE_PHASE_ROWS.iter(), v))),
        _ => None,
    }
}

/// Locked-rotor current of Table 430.251 (polyphase: design B, C and D); none outside it. A motor of design A goes by its marked
/// current or its code letter instead.
pub fn table_locked_rotor(record: &mut Record, phases: u32, horsepower: f64, voltage: Volts) -> Option<TableCurrent> {
    let (column_v, points) = column_points(phases, voltage)?;
    let (current, between) = look_up(record, &points, horsepower, &INTERPOLATED_LOCKED_ROTOR)?;
    Some(TableCurrent { current: Amperes(current), interpolated: between.is_some(), between, column_v })
}

/// Horsepower of the first row of Table 430.251 whose current is not below this one; none beyond the table.
#[must_use]
pub fn horsepower_of_locked_rotor(phases: u32, current: Amperes, voltage: Volts) -> Option<f64> {
    row_not_below(&column_points(phases, voltage)?.1, current)
}

/// A locked-rotor current from a code letter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CodeLetterCurrent {
    /// At the upper end of the letter's band.
    pub current: Amperes,
    /// The letter has no upper end: this is its lower end, and the motor may draw any more.
    pub at_least: bool,
}

/// Locked-rotor current at the upper end of a code letter's band, at the motor's voltage; none for a letter that is not used.
pub fn code_letter_current(
    record: &mut Record,
    letter: char,
    horsepower: f64,
    voltage: Volts,
    phases: u32,
) -> Option<CodeLetterCurrent> {
    let row = CODE_LETTER_ROWS.iter().find(|row| row.letter == letter.to_ascii_uppercase())?;
    let formula = if phases == 3 { &CODE_LETTER_CURRENT } else { &CODE_LETTER_CURRENT_SINGLE };
    let apparent = row.kva_per_hp_max.unwrap_or(row.kva_per_hp_min);
    let current = record.step(formula, &[apparent, horsepower, voltage.0]);
    (current.is_finite() && current > 0.0)
        .then_some(CodeLetterCurrent { current: Amperes(current), at_least: row.kva_per_hp_max.is_none() })
}

/// Locked-rotor current of a motor that the tables do not hold: six times its full-load current.
pub fn small_motor_locked_rotor(record: &mut Record, full_load: Amperes) -> Amperes {
    Amperes(record.step(&SMALL_MOTOR_LOCKED_ROTOR, &[figure("small-motor-locked-rotor-multiple"), full_load.0]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::nec::currents::{CurrentTable, full_load_current};

    #[test]
    fn single_phase_currents_are_six_times_the_full_load_current() {
        let record = &mut Record::new();
        assert!(!LOCKED_SINGLE_PHASE_ROWS.is_empty());
        for row in LOCKED_SINGLE_PHASE_ROWS.iter() {
            for volts in [115.0, 230.0] {
                let locked = row.current(volts).unwrap_or_default();
                let full = full_load_current(record, CurrentTable::SinglePhase, row.horsepower(), Volts(volts));
                let full = full.map_or(f64::NAN, |row| row.current.0);
                assert!((locked - 6.0 * full).abs() < 0.6, "{} hp at {volts} V", row.horsepower());
            }
        }
    }

    #[test]
    fn three_phase_currents_keep_their_relations() {
        let record = &mut Record::new();
        for row in LOCKED_THREE_PHASE_ROWS.iter() {
            let at = |volts: f64| row.current(volts);
            let high = at(460.0).unwrap_or_default();
            if let Some(low) = at(230.0) {
                assert!((high - low / 2.0).abs() <= 0.51, "{} hp", row.horsepower());
            }
            assert!((at(575.0).unwrap_or_default() / high - 0.8).abs() < 0.01, "{} hp", row.horsepower());
            let full = full_load_current(record, CurrentTable::ThreePhase, row.horsepower(), Volts(460.0));
            let ratio = high / full.map_or(f64::NAN, |row| row.current.0);
            assert!(5.3 < ratio && ratio < 10.0, "{} hp: {ratio}", row.horsepower());
        }
    }

    #[test]
    fn code_letters_follow_each_other_without_gaps() {
        let letters: String = CODE_LETTER_ROWS.iter().map(|row| row.letter).collect();
        assert_eq!(letters, "ABCDEFGHJKLMNPRSTUV");
        for pair in CODE_LETTER_ROWS.windows(2) {
            let end = pair[0].kva_per_hp_max.unwrap_or(f64::NAN);
            assert!((pair[1].kva_per_hp_min - end - 0.01).abs() < 1e-9, "{}", pair[0].letter);
        }
    }

    #[test]
    fn the_last_letter_says_at_least_and_unused_letters_give_nothing() {
        let record = &mut Record::new();
        let last = code_letter_current(record, 'v', 10.0, Volts(460.0), 3);
        assert!(last.is_some_and(|last| last.at_least && (last.current.0 - 281.1).abs() < 0.1));
        assert!(code_letter_current(record, 'G', 10.0, Volts(460.0), 3).is_some_and(|current| !current.at_least));
        for letter in ['I', 'O', 'Q', 'W', '?'] {
            assert_eq!(code_letter_current(record, letter, 10.0, Volts(460.0), 3), None);
        }
        assert_eq!(code_letter_current(record, 'G', 10.0, Volts(0.0), 3), None);
    }

    #[test]
    fn equivalents_never_round_down() {
        assert_eq!(horsepower_of_locked_rotor(3, Amperes(81.0), Volts(480.0)), Some(10.0));
        assert_eq!(horsepower_of_locked_rotor(3, Amperes(81.1), Volts(480.0)), Some(15.0));
        assert_eq!(horsepower_of_locked_rotor(3, Amperes(4000.0), Volts(480.0)), None);
        assert_eq!(table_locked_rotor(&mut Record::new(), 1, 3.0, Volts(480.0)), None);
    }
}
