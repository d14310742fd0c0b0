//! Heat and width of boards: losses of devices at the current that flows, what they add up to, and the air that they warm.

use crate::quantity::{Amperes, VoltAmperes, Watts};
use crate::record::{Formula, Record};
use crate::rules::table::Figure;
use crate::rules::units::{MILLIMETRES_AN_INCH, Units};

table! {
    /// Figures of the heat and width of boards.
    PRACTICE, PRACTICE_ROWS: Figure, "board-practice"
}

formula! {
    /// Heat of a coil that holds.
    COIL_LOSS: "heat of a coil that holds", "W", "definition of active power";
    "Wc = S cosφ"; "S*pf"; |S, pf| S * pf
}
formula! {
    /// Heat of a device at another current than the rated one.
    LOSS_AT_CURRENT: "heat of a device at its current", "W", "Joule's law; the coil's part stays";
    "W = Wc + (Wr - Wc) (I / Ir)²"; "Wc+(Wr-Wc)*(I/Ir)^2"; |Wc, Wr, I, Ir| Wc + (Wr - Wc) * (I / Ir) * (I / Ir)
}
formula! {
    /// Heat of a board.
    BOARD_LOSS: "heat of the board with its wiring", "W", "common practice, no source: allowance for wiring";
    "P = W (1 + a / 100)"; "W*(1+a/100)"; |W, a| W * (1.0 + a / 100.0)
}
formula! {
    /// Rise of the air in an enclosure.
    AIR_RISE: "air in the enclosure above the room", "K", "heat given off in proportion to the rise";
    "ΔT = ΔTr P / Pr"; "dTr*P/Pr"; |dTr, P, Pr| dTr * P / Pr
}
formula! {
    /// Width that mounting rails and plates must offer.
    PANEL_WIDTH: "width of mounting rails with spare and free space", "mm", "common practice, no source: share that devices may take";
    "B = b (1 + s / 100) / (f / 100)"; "b*(1+s/100)/(f/100)"; |b, s, f| b * (1.0 + s / 100.0) / (f / 100.0)
}

formula! {
    /// The same in inches.
    PANEL_WIDTH_INCHES: "width of panel rows with spare and free space", "in", "common practice, no source: share that devices may take";
    "B = b (1 + s / 100) / (f / 100)"; "b*(1+s/100)/(f/100)"; |b, s, f| b * (1.0 + s / 100.0) / (f / 100.0)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&COIL_LOSS, &LOSS_AT_CURRENT, &BOARD_LOSS, &AIR_RISE, &PANEL_WIDTH, &PANEL_WIDTH_INCHES];

/// A figure by its name; none if the table has no such row.
#[must_use]
pub fn practice(name: &str) -> Option<f64> {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map(|row| row.value)
}

fn figure(name: &str) -> f64 {
    practice(name).unwrap_or(f64::NAN)
}

/// Heat of a coil that holds.
pub fn coil_loss(record: &mut Record, hold: VoltAmperes, power_factor: Option<f64>) -> Watts {
    Watts(record.step(&COIL_LOSS, &[hold.0, power_factor.unwrap_or_else(|| figure("coil-power-factor"))]))
}

/// Heat of a device at a current, from what is declared at the rated one; `constant` is the part that does not depend on the current.
pub fn loss_at(record: &mut Record, constant: Watts, declared: Watts, current: Amperes, rated: Amperes) -> Watts {
    // A coil that is declared to take more than the whole device leaves nothing to its poles, and never less.
    let whole = declared.max(constant);
    Watts(record.step(&LOSS_AT_CURRENT, &[constant.0, whole.0, current.0, rated.0]))
}

/// Heat of a soft starter whose bypass is closed, from what is declared without bypass.
#[must_use]
pub fn bypassed_loss(declared: Watts) -> Watts {
    Watts(declared.0 * figure("bypassed-share"))
}

/// Heat of a board from that of its devices.
pub fn board_loss(record: &mut Record, devices: Watts) -> Watts {
    Watts(record.step(&BOARD_LOSS, &[devices.0, figure("wiring-allowance")]))
}

/// Rise of the air, K, in an enclosure that gives off `dissipation` at a rise of `at_rise`.
pub fn air_rise(record: &mut Record, loss: Watts, dissipation: Watts, at_rise: f64) -> f64 {
    record.step(&AIR_RISE, &[at_rise, loss.0, dissipation.0])
}

/// Width that rails and plates must offer, mm, for devices of this width and a spare in per cent; the working is in the trade's units.
pub fn panel_width(record: &mut Record, devices_mm: f64, spare_pct: f64, units: Units) -> f64 {
    let fill = figure("panel-fill");
    match units {
        Units::Metric => record.step(&PANEL_WIDTH, &[devices_mm, spare_pct, fill]),
        Units::Customary => {
            let devices = devices_mm / MILLIMETRES_AN_INCH;
            record.step(&PANEL_WIDTH_INCHES, &[devices, spare_pct, fill]) * MILLIMETRES_AN_INCH
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_that_the_code_names_is_in_the_table() {
        for part in include_str!("heat.rs").split("figure(\"").skip(1) {
            let name = part.split('"').next().unwrap_or("");
            assert!(name == "," || practice(name).is_some_and(f64::is_finite), "{name}");
        }
        assert!(PRACTICE_ROWS.iter().all(|row| row.value >= 0.0 && !row.remark.is_empty()));
    }

    /// 13 W at 26 A with a coil of 8 VA at 0.3 (2.4 W): at 13 A 2.4 + 10.6 / 4 = 5.05 W; without current the coil is left.
    #[test]
    fn the_coil_stays_warm() {
        let record = &mut Record::silent();
        let coil = coil_loss(record, VoltAmperes(8.0), None);
        let at = |current| loss_at(&mut Record::silent(), coil, Watts(13.0), Amperes(current), Amperes(26.0)).0;
        assert!((at(13.0) - 5.05).abs() < 1e-9 && (at(0.0) - 2.4).abs() < 1e-9 && (at(26.0) - 13.0).abs() < 1e-9);
        assert!((loss_at(record, Watts(5.0), Watts(4.0), Amperes(1.0), Amperes(1.0)).0 - 5.0).abs() < 1e-9);
    }

    /// 100 W of devices: 130 W; in an enclosure for 260 W at 15 K: 7.5 K. 800 mm with 20 % spare at 80 % fill: 1200 mm.
    #[test]
    fn sums_of_boards() {
        let record = &mut Record::silent();
        let loss = board_loss(record, Watts(100.0));
        assert!((loss.0 - 130.0).abs() < 1e-9);
        assert!((air_rise(record, loss, Watts(260.0), 15.0) - 7.5).abs() < 1e-9);
        assert!((panel_width(record, 800.0, 20.0, Units::Metric) - 1200.0).abs() < 1e-9);
        assert!((panel_width(record, 800.0, 20.0, Units::Customary) - 1200.0).abs() < 1e-9);
    }
}
