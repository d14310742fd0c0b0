//! Figures of the book for a motor whose nameplate is silent: guide current, efficiency of its class, typical power factor.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::quantity::KILOWATTS_PER_HORSEPOWER;
use crate::quantity::{Amperes, Volts, Watts, fits, round_to};
use crate::record::{Formula, Record};
use crate::rules::iec::book::figure;
use crate::rules::physics::currents::scaled_current;

/// One output of the guide table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GuideRow {
    /// Shaft power.
    pub output_kw: f64,
    current_230v_a: f64,
    current_400v_a: f64,
    current_500v_a: f64,
    current_690v_a: f64,
}

impl GuideRow {
    fn current(&self, column: f64) -> Option<f64> {
        [(230.0, self.current_230v_a), (400.0, self.current_400v_a), (500.0, self.current_500v_a), (690.0, self.current_690v_a)]
            .into_iter()
            .find(|(volts, _)| *volts == column)
            .map(|(_, current)| current)
    }
}

/// A column of the guide table and the voltages for which it is taken as it stands.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VoltageBand {
    /// Voltage of the column.
    pub column_v: f64,
    /// Highest voltage for which the column is taken as it stands.
    pub to_v: f64,
}

/// One output of the guide table for 60 Hz.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HorsepowerRow {
    /// Shaft power.
    pub output_hp: f64,
    current_110_to_120v_a: Option<f64>,
    current_200v_a: Option<f64>,
    current_208v_a: Option<f64>,
    current_220_to_240v_a: Option<f64>,
    current_380_to_415v_a: Option<f64>,
    current_440_to_480v_a: Option<f64>,
    current_550_to_600v_a: Option<f64>,
    /// Lowest voltages of the bands whose figures are recalled.
    recalled: String,
}

impl HorsepowerRow {
    /// Current of the band in which a voltage lies, the lowest voltage of the band, and whether the figure is recalled.
    fn of_band(&self, volts: f64) -> Option<(f64, f64, bool)> {
        let recalled = |from: f64| self.recalled.split_whitespace().any(|band| band.parse() == Ok(from));
        [
            (110.0, 120.0, self.current_110_to_120v_a),
            (200.0, 200.0, self.current_200v_a),
            (208.0, 208.0, self.current_208v_a),
            (220.0, 240.0, self.current_220_to_240v_a),
            (380.0, 415.0, self.current_380_to_415v_a),
            (440.0, 480.0, self.current_440_to_480v_a),
            (550.0, 600.0, self.current_550_to_600v_a),
        ]
        .into_iter()
        .find(|(from, to, _)| (*from..=*to).contains(&volts))
        .and_then(|(from, _, current)| Some((current?, from, recalled(from))))
    }
}

/// Efficiencies of one class and output, per cent.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EfficiencyRow {
    /// `IE1` to `IE4`.
    pub ie_class: String,
    /// Shaft power.
    pub output_kw: f64,
    eff_2pole_pct: Option<f64>,
    eff_4pole_pct: Option<f64>,
    eff_6pole_pct: Option<f64>,
    eff_8pole_pct: Option<f64>,
}

/// Efficiencies of class IE5 at one output, per cent.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ie5Row {
    output_kw: f64,
    eff_2pole_pct: Option<f64>,
    eff_4pole_pct: Option<f64>,
    eff_6pole_pct: Option<f64>,
    eff_8pole_pct: Option<f64>,
}

/// Coefficients of one interpolation polynomial.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Polynomial {
    ie_class: String,
    poles: u32,
    a: f64,
    b: f64,
    c: f64,
    d: f64,
}

/// Assumed power factor of one output.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PowerFactorRow {
    output_kw: f64,
    pf_4pole: f64,
}

/// The change of the assumed power factor with the number of poles.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PolesRow {
    poles: u32,
    addition: f64,
}

table! {
    /// Guide currents of three-phase cage motors.
    GUIDE_CURRENTS, GUIDE_ROWS: GuideRow, "motor-current-50hz"
}
table! {
    /// Voltages of the guide table's columns.
    GUIDE_VOLTAGES, VOLTAGE_ROWS: VoltageBand, "motor-current-voltages"
}
table! {
    /// Guide currents of three-phase cage motors at 60 Hz.
    GUIDE_CURRENTS_60, GUIDE_60_ROWS: HorsepowerRow, "motor-current-60hz-hp"
}
table! {
    /// Efficiencies at 50 Hz.
    EFFICIENCY_50, EFFICIENCY_50_ROWS: EfficiencyRow, "motor-efficiency-50hz"
}
table! {
    /// Efficiencies at 60 Hz.
    EFFICIENCY_60, EFFICIENCY_60_ROWS: EfficiencyRow, "motor-efficiency-60hz"
}
table! {
    /// Efficiencies of class IE5.
    EFFICIENCY_IE5, EFFICIENCY_IE5_ROWS: Ie5Row, "motor-efficiency-ie5"
}
table! {
    /// Efficiencies between rows.
    POLYNOMIALS, POLYNOMIAL_ROWS: Polynomial, "motor-efficiency-polynomials"
}
table! {
    /// Assumed power factors.
    POWER_FACTOR, POWER_FACTOR_ROWS: PowerFactorRow, "motor-power-factor"
}
table! {
    /// Power factor by poles.
    POWER_FACTOR_POLES, POLES_ROWS: PolesRow, "motor-power-factor-poles"
}

formula! {
    /// Nominal efficiency between the rows of the table, per cent.
    EFFICIENCY_POLYNOMIAL: "nominal efficiency of the class", "%", "IEC 60034-30-1, interpolation";
    "η = A x³ + B x² + C x + D, x = log10 P"; "A*(LN(P)/LN(10))^3+B*(LN(P)/LN(10))^2+C*LN(P)/LN(10)+D";
    |A, B, C, D, P| { let x = libm::log10(P); A * x * x * x + B * x * x + C * x + D }
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&EFFICIENCY_POLYNOMIAL];

/// A current of the guide table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GuideCurrent {
    /// The current at the asked voltage.
    pub current: Amperes,
    /// Column that it comes from.
    pub column: Volts,
    /// It was scaled from the column's voltage: say so.
    pub scaled: bool,
    /// The figure is recalled and not confirmed.
    pub recalled: bool,
}

/// Guide current of a three-phase 60 Hz motor (IEC 60947-4-1 Annex G): the row of exactly this horsepower and the column of the band of
/// nominal voltages, none where there is no such row or column.
pub fn guide_current_60(output: Watts, voltage: Volts) -> Option<GuideCurrent> {
    let hp = output.0 / (1000.0 * KILOWATTS_PER_HORSEPOWER);
    let row = GUIDE_60_ROWS.iter().find(|row| (row.output_hp - hp).abs() <= 1e-3 * row.output_hp)?;
    let (current, from, recalled) = row.of_band(voltage.0)?;
    Some(GuideCurrent { current: Amperes(current), column: Volts(from), scaled: false, recalled })
}

/// Guide current of a three-phase 50 Hz motor (IEC 60947-4-1 Annex G): the row of exactly this output, none if there is no such
/// row, because the standard gives no rule between rows. A voltage up to the end of a column's band takes the column as it
/// stands, which is the safer side; any other voltage scales the nearest column.
pub fn guide_current(record: &mut Record, output: Watts, voltage: Volts) -> Option<GuideCurrent> {
    if !(voltage.0 > 0.0 && voltage.0 <= 1000.0) {
        return None;
    }
    let kw = output.0 / 1000.0;
    let row = GUIDE_ROWS.iter().find(|row| (row.output_kw - kw).abs() <= 1e-3 * row.output_kw)?;
    let taken = VOLTAGE_ROWS.iter().find(|band| band.column_v <= voltage.0 && fits(voltage.0, band.to_v));
    if let Some(band) = taken {
        let current = Amperes(row.current(band.column_v)?);
        return Some(GuideCurrent { current, column: Volts(band.column_v), scaled: false, recalled: true });
    }
    let distance = |band: &VoltageBand| (libm::log(band.column_v / voltage.0)).abs();
    let band = VOLTAGE_ROWS.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
    let current = scaled_current(record, Amperes(row.current(band.column_v)?), Volts(band.column_v), voltage);
    Some(GuideCurrent { current, column: Volts(band.column_v), scaled: true, recalled: true })
}

/// Where an efficiency comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EfficiencySource {
    /// The row of this output.
    Row,
    /// The interpolation of the standard.
    Polynomial,
    /// The next lower row: a lower efficiency, so a higher current.
    LowerRow,
}

/// An efficiency of a class.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClassEfficiency {
    /// Efficiency, 0 to 1.
    pub efficiency: f64,
    /// Where it comes from.
    pub source: EfficiencySource,
    /// It leans on a recalled figure: the circuit gets a note.
    pub from_memory: bool,
}

/// Largest output of the efficiency classes, kW.
const LARGEST_CLASSED_KW: f64 = 1000.0;

/// Smallest output of the classes before they were extended to small motors, kW; the polynomial begins there.
const CLASSES_FROM_KW: f64 = 0.75;

/// Largest output of the polynomial, kW.
const POLYNOMIAL_TO_KW: f64 = 200.0;

/// Least nominal efficiency of a class (`IE1` to `IE5`; `NEMA-premium` counts as IE3 and `energy-efficient` as IE2) at an output,
/// a number of poles and 50 or 60 Hz. None outside the tables. The nameplate prevails; a real motor is at least this good, so
/// the current computed from it is on the safe side.
pub fn class_efficiency(
    record: &mut Record,
    class: &str,
    output: Watts,
    poles: u32,
    frequency_hz: f64,
) -> Option<ClassEfficiency> {
    let class = match class {
        "NEMA-premium" => "IE3",
        "energy-efficient" => "IE2",
        other => other,
    };
    let kw = output.0 / 1000.0;
    if !fits(kw, LARGEST_CLASSED_KW) {
        return None;
    }
    let fifty = (frequency_hz - 50.0).abs() < 1.0;
    let sixty = (frequency_hz - 60.0).abs() < 1.0;
    if !fifty && !sixty {
        return None;
    }
    let column = COLUMNS.iter().find(|column| column.poles == poles && column.fifty == fifty && column.class == class)?;
    let column = &column.percent;
    let from_memory = is_recalled(class, poles, sixty, kw);
    let result = |percent: f64, source| ClassEfficiency { efficiency: percent / 100.0, source, from_memory };
    if let Some((_, percent)) = column.iter().find(|(row_kw, _)| (row_kw - kw).abs() <= one_output() * row_kw) {
        return Some(result(*percent, EfficiencySource::Row));
    }
    let (lower_kw, lower) = column.iter().rfind(|(row_kw, _)| *row_kw < kw)?;
    let last = column.last().is_some_and(|(row_kw, _)| row_kw == lower_kw);
    if fifty
        && !last
        && let Some(percent) = polynomial(record, class, poles, kw)
    {
        return Some(ClassEfficiency { from_memory: true, ..result(percent, EfficiencySource::Polynomial) });
    }
    // The standard keeps the limit of a class constant above its last row, so that row counts as found.
    Some(result(*lower, if last && class != "IE5" { EfficiencySource::Row } else { EfficiencySource::LowerRow }))
}

/// The rows that the status lines of the tables call `memory`: class IE5, eight poles, outputs below [`CLASSES_FROM_KW`], and at 60 Hz
/// class IE1, large motors, and those of class IE3 that are not small.
fn is_recalled(class: &str, poles: u32, sixty: bool, kw: f64) -> bool {
    let recalled_at_60 = class == "IE1" || kw > 150.0 || class == "IE3" && kw > 7.5;
    class == "IE5" || poles == 8 || kw < CLASSES_FROM_KW || sixty && recalled_at_60
}

/// Efficiencies of one class by output, at a number of poles and 50 or 60 Hz.
struct EfficiencyColumn {
    class: &'static str,
    fifty: bool,
    poles: u32,
    /// Output in kW and efficiency in per cent, ascending.
    percent: Vec<(f64, f64)>,
}

/// The columns of the tables, taken out of their rows once: a row of a schedule is held against every class.
static COLUMNS: LazyLock<Vec<EfficiencyColumn>> = LazyLock::new(|| {
    let five = EFFICIENCY_IE5_ROWS.iter().map(|row| {
        let by_poles = [row.eff_2pole_pct, row.eff_4pole_pct, row.eff_6pole_pct, row.eff_8pole_pct];
        ("IE5", true, row.output_kw, by_poles)
    });
    let others = [(true, &EFFICIENCY_50_ROWS), (false, &EFFICIENCY_60_ROWS)].into_iter().flat_map(|(fifty, rows)| {
        rows.iter().map(move |row| {
            let by_poles = [row.eff_2pole_pct, row.eff_4pole_pct, row.eff_6pole_pct, row.eff_8pole_pct];
            (row.ie_class.as_str(), fifty, row.output_kw, by_poles)
        })
    });
    let mut columns: Vec<EfficiencyColumn> = Vec::new();
    for (class, fifty, kw, by_poles) in five.chain(others) {
        for (poles, percent) in [2, 4, 6, 8].into_iter().zip(by_poles) {
            let Some(percent) = percent else { continue };
            match columns.iter_mut().find(|column| column.class == class && column.fifty == fifty && column.poles == poles) {
                Some(column) => column.percent.push((kw, percent)),
                None => columns.push(EfficiencyColumn { class, fifty, poles, percent: vec![(kw, percent)] }),
            }
        }
    }
    columns
});

fn polynomial(record: &mut Record, class: &str, poles: u32, kw: f64) -> Option<f64> {
    if !(CLASSES_FROM_KW..=POLYNOMIAL_TO_KW).contains(&kw) {
        return None;
    }
    let row = POLYNOMIAL_ROWS.iter().find(|row| row.ie_class == class && row.poles == poles)?;
    let percent = record.step(&EFFICIENCY_POLYNOMIAL, &[row.a, row.b, row.c, row.d, kw]);
    Some(round_to(percent, 1))
}

/// How far an output may lie from that of a row and still be its own: a figure in the other unit has few digits.
fn one_output() -> f64 {
    figure("one-output-share")
}

/// Power factor assumed where the nameplate gives none (common practice, from memory: the circuit needs a note). Between rows the
/// next lower row holds; below the first row the first. None for more than 8 poles, where nothing is recorded.
#[must_use]
pub fn typical_power_factor(output: Watts, poles: u32) -> Option<f64> {
    let addition = POLES_ROWS.iter().find(|row| row.poles == poles)?.addition;
    let kw = output.0 / 1000.0;
    let row = POWER_FACTOR_ROWS
        .iter()
        .rfind(|row| fits(row.output_kw * (1.0 - one_output()), kw))
        .or_else(|| POWER_FACTOR_ROWS.first())?;
    Some(row.pf_4pole + addition)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::nec::currents::{CurrentTable, full_load_current};

    /// Table G.1 in horsepower repeats NFPA 70, Table 430.250, which is confirmed: what that table does not have, or has otherwise, is
    /// recalled. 250 hp at 230 V and 10 hp at 115 V are not in it.
    #[test]
    fn a_figure_by_horsepower_that_is_not_recalled_is_that_of_the_other_book() {
        let mut compared = 0;
        for row in GUIDE_60_ROWS.iter() {
            for volts in [115.0, 200.0, 208.0, 230.0, 460.0, 575.0] {
                let Some((current, _, recalled)) = row.of_band(volts) else { continue };
                let record = &mut Record::silent();
                let other = full_load_current(record, CurrentTable::ThreePhase, row.output_hp, Volts(volts));
                let other = other.map(|other| other.current.0);
                assert_eq!(recalled, other != Some(current), "{} hp at {volts} V: {current} and {other:?}", row.output_hp);
                compared += usize::from(!recalled);
            }
        }
        // 21 rows up to 200 hp at 200, 208 and 230 V, 27 at 460 and 575 V, and five at 115 V.
        assert_eq!(compared, 21 * 3 + 27 * 2 + 5);
    }
    use crate::rules::physics::currents::motor_current;

    #[test]
    fn the_guide_table_ascends_without_gaps_in_every_column() {
        for column in [230.0, 400.0, 500.0, 690.0] {
            let currents: Vec<f64> = GUIDE_ROWS.iter().filter_map(|row| row.current(column)).collect();
            assert_eq!(currents.len(), GUIDE_ROWS.len());
            assert!(currents.windows(2).all(|w| w[0] < w[1]), "{column} V");
        }
        assert!(GUIDE_ROWS.windows(2).all(|w| w[0].output_kw < w[1].output_kw));
    }

    #[test]
    fn the_columns_of_the_guide_table_scale_with_the_voltage_within_seven_per_cent() {
        // Rounding to two digits spoils the ratio of the smallest motors.
        let rows: Vec<_> = GUIDE_ROWS.iter().filter(|row| row.output_kw >= 0.55).collect();
        assert!(!rows.is_empty());
        for row in rows {
            for column in [230.0, 500.0, 690.0] {
                let ratio = row.current(column).unwrap_or(0.0) * column / (row.current_400v_a * 400.0);
                assert!((ratio - 1.0).abs() < 0.07, "{} kW, {column} V: {ratio}", row.output_kw);
            }
        }
    }

    #[test]
    fn the_guide_currents_agree_with_efficiency_and_power_factor_within_a_band() {
        // Annex G describes motors of the generation of IE1: from 0.75 kW it must lie between 10 % below and 20 % above
        // the current of a four-pole IE1 motor with the assumed power factor.
        let record = &mut Record::new();
        let rows: Vec<_> = GUIDE_ROWS.iter().filter(|row| (0.75..=250.0).contains(&row.output_kw)).collect();
        assert!(!rows.is_empty());
        for row in rows {
            let output = Watts(row.output_kw * 1000.0);
            let efficiency = class_efficiency(record, "IE1", output, 4, 50.0).map_or(f64::NAN, |e| e.efficiency);
            let pf = typical_power_factor(output, 4).unwrap_or(f64::NAN);
            let computed = motor_current(record, output, Volts(400.0), efficiency, pf, 3);
            let ratio = row.current_400v_a / computed.0;
            assert!((0.90..1.20).contains(&ratio), "{} kW: {ratio}", row.output_kw);
        }
    }

    #[test]
    fn the_polynomials_give_the_rows_within_five_hundredths() {
        let mut compared = 0;
        for row in EFFICIENCY_50_ROWS.iter().filter(|row| (0.75..=200.0).contains(&row.output_kw)) {
            for (poles, percent) in [(2, row.eff_2pole_pct), (4, row.eff_4pole_pct), (6, row.eff_6pole_pct)] {
                let p = POLYNOMIAL_ROWS.iter().find(|p| p.ie_class == row.ie_class && p.poles == poles);
                let computed = p.map_or(f64::NAN, |p| (EFFICIENCY_POLYNOMIAL.compute)(&[p.a, p.b, p.c, p.d, row.output_kw]));
                let distance = (computed - percent.unwrap_or(f64::NAN)).abs();
                assert!(distance <= 0.0501, "{} {} kW {poles} poles: {distance}", row.ie_class, row.output_kw);
                compared += 1;
            }
        }
        assert!(compared >= 228, "{compared}");
    }

    #[test]
    fn efficiencies_rise_with_output_without_gaps() {
        for rows in [&EFFICIENCY_50_ROWS, &EFFICIENCY_60_ROWS] {
            for w in rows.windows(2).filter(|w| w[0].ie_class == w[1].ie_class) {
                assert!(w[0].output_kw < w[1].output_kw, "{} {} kW", w[0].ie_class, w[0].output_kw);
                let pairs = [
                    (w[0].eff_2pole_pct, w[1].eff_2pole_pct),
                    (w[0].eff_4pole_pct, w[1].eff_4pole_pct),
                    (w[0].eff_6pole_pct, w[1].eff_6pole_pct),
                    (w[0].eff_8pole_pct, w[1].eff_8pole_pct),
                ];
                for (poles, (lower, upper)) in [2, 4, 6, 8].into_iter().zip(pairs) {
                    assert_eq!(lower.is_some(), upper.is_some(), "{} {poles} poles: a gap", w[0].ie_class);
                    assert!(
                        lower.zip(upper).is_none_or(|(a, b)| a <= b && b < 100.0),
                        "{} {} kW {poles} poles",
                        w[1].ie_class,
                        w[1].output_kw
                    );
                }
            }
        }
        assert!(
            EFFICIENCY_IE5_ROWS.windows(2).all(|w| w[0].output_kw < w[1].output_kw && w[0].eff_4pole_pct <= w[1].eff_4pole_pct)
        );
    }

    #[test]
    fn a_better_class_is_never_less_efficient_at_50_hz() {
        let record = &mut Record::new();
        let rows: Vec<_> = EFFICIENCY_50_ROWS.iter().filter(|row| row.ie_class == "IE1").collect();
        assert!(!rows.is_empty());
        for row in rows {
            for poles in [2, 4, 6, 8] {
                let mut last = 0.0;
                for class in ["IE1", "IE2", "IE3", "IE4"] {
                    let now =
                        class_efficiency(record, class, Watts(row.output_kw * 1000.0), poles, 50.0).map_or(0.0, |e| e.efficiency);
                    assert!(now >= last && now < 1.0, "{class} {} kW {poles} poles", row.output_kw);
                    last = now;
                }
            }
        }
    }

    #[test]
    fn efficiency_between_beyond_and_outside_the_rows() {
        let record = &mut Record::new();
        let mut of = |class: &str, kw: f64, poles: u32, hz: f64| class_efficiency(record, class, Watts(kw * 1000.0), poles, hz);
        assert_eq!(of("IE3", 7.5, 4, 50.0).map(|e| e.source), Some(EfficiencySource::Row));
        assert_eq!(of("IE3", 9.0, 4, 50.0).map(|e| e.source), Some(EfficiencySource::Polynomial));
        assert_eq!(of("IE3", 9.0, 8, 50.0).map(|e| e.source), Some(EfficiencySource::LowerRow));
        assert_eq!(of("IE3", 9.0, 4, 60.0).map(|e| e.source), Some(EfficiencySource::LowerRow));
        assert_eq!(of("IE3", 560.0, 4, 50.0).map(|e| e.source), Some(EfficiencySource::Row));
        assert!(of("IE3", 1001.0, 4, 50.0).is_none() && of("IE3", 0.05, 4, 50.0).is_none());
        assert!(of("IE9", 7.5, 4, 50.0).is_none() && of("IE3", 7.5, 10, 50.0).is_none() && of("IE3", 7.5, 4, 16.7).is_none());
        assert_eq!(of("NEMA-premium", 7.5, 4, 60.0), of("IE3", 7.5, 4, 60.0));
    }

    #[test]
    fn voltage_decides_the_column_and_the_scaling() {
        let record = &mut Record::new();
        let mut at = |volts: f64| guide_current(record, Watts(7500.0), Volts(volts));
        assert_eq!(at(400.0), Some(GuideCurrent { current: Amperes(15.5), column: Volts(400.0), scaled: false, recalled: true }));
        assert_eq!(at(415.0).map(|g| g.scaled), Some(false));
        assert_eq!(at(690.0).map(|g| g.current), Some(Amperes(8.9)));
        let below = at(380.0).map_or(0.0, |g| g.current.0);
        assert!((below - 15.5 * 400.0 / 380.0).abs() < 1e-9, "a lower voltage draws more: {below}");
        assert_eq!(at(460.0).map(|g| g.scaled), Some(true));
        assert_eq!(at(0.0), None);
        assert_eq!(at(f64::NAN), None);
        assert_eq!(guide_current(record, Watts(8000.0), Volts(400.0)), None);
    }

    #[test]
    fn the_assumed_power_factor_never_falls_with_output() {
        assert!(POWER_FACTOR_ROWS.windows(2).all(|w| w[0].output_kw < w[1].output_kw && w[0].pf_4pole <= w[1].pf_4pole));
        assert_eq!(typical_power_factor(Watts(10.0), 4), POWER_FACTOR_ROWS.first().map(|row| row.pf_4pole));
        assert_eq!(typical_power_factor(Watts(7500.0), 10), None);
        assert!(typical_power_factor(Watts(7500.0), 8) < typical_power_factor(Watts(7500.0), 4));
    }

    /// Commission Regulation (EU) 2019/1781, Annex I, Table 2: IE3, 7.5 kW, 50 Hz, 2 to 8 poles.
    #[test]
    fn each_number_of_poles_has_its_column() {
        for (poles, percent) in [(2, 90.1), (4, 90.4), (6, 89.1), (8, 87.3)] {
            let class_efficiency = class_efficiency(&mut Record::new(), "IE3", Watts(7500.0), poles, 50.0).expect("a row");
            assert!(
                (class_efficiency.efficiency * 100.0 - percent).abs() < 1e-9 && class_efficiency.source == EfficiencySource::Row,
                "{poles}: {class_efficiency:?}"
            );
        }
        assert_eq!(class_efficiency(&mut Record::new(), "IE3", Watts(7500.0), 10, 50.0), None);
    }
}
