//! Conductors: sizes, resistance and reactance, k, protective conductors and disconnection times.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::load::Material;
use crate::quantity::{Celsius, Ohms, Seconds, Volts, fits};
use crate::rules::iec::capacity::{Insulation, material_name};
use crate::rules::physics::fault::VoltageFactors;

/// One size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SizeRow {
    size_mm2: f64,
}

/// Resistance of one size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResistanceRow {
    size_mm2: f64,
    copper_ohm_per_km: Option<f64>,
    aluminium_ohm_per_km: Option<f64>,
}

/// One figure.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhysicsRow {
    name: String,
    value: f64,
}

/// k of one range of sizes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KRow {
    insulation: String,
    above_mm2: f64,
    upto_mm2: f64,
    copper: f64,
    aluminium: f64,
}

/// Smallest protective conductor of one range of sizes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProtectiveRow {
    line_above_mm2: f64,
    line_upto_mm2: f64,
    share: Option<f64>,
    size_mm2: Option<f64>,
}

/// Disconnection times of one range of voltages.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeRow {
    u0_above_v: f64,
    u0_upto_v: f64,
    tn_s: f64,
    tt_s: f64,
}

/// Voltage factors of one kind of network.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactorRow {
    network: String,
    tolerance_pct: f64,
    greatest: f64,
    least: f64,
}

/// Voltage drop limits of one kind of supply.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRow {
    /// `public` or `private`.
    pub supply: String,
    /// Lighting.
    pub lighting_pct: f64,
    /// Other uses.
    pub other_pct: f64,
}

table! {
    /// Standard sizes.
    SIZE_TABLE, SIZE_ROWS: SizeRow, "conductor-sizes"
}
table! {
    /// Resistances.
    RESISTANCE, RESISTANCE_ROWS: ResistanceRow, "conductor-resistance"
}
table! {
    /// Constants.
    PHYSICS, PHYSICS_ROWS: PhysicsRow, "conductor-physics"
}
table! {
    /// k of live conductors.
    K_LIVE, K_ROWS: KRow, "k-live"
}
table! {
    /// k of protective conductors.
    K_PROTECTIVE, PROTECTIVE_K_ROWS: KRow, "k-protective"
}
table! {
    /// Smallest protective conductors.
    PROTECTIVE, PROTECTIVE_ROWS: ProtectiveRow, "protective-minimum"
}
table! {
    /// Disconnection times.
    TIMES, TIME_ROWS: TimeRow, "disconnection-times"
}
table! {
    /// Voltage factors.
    VOLTAGE_FACTORS, FACTOR_ROWS: FactorRow, "voltage-factors"
}
table! {
    /// Voltage drop limits.
    DROP_LIMITS, LIMIT_ROWS: LimitRow, "voltage-drop-limits"
}

/// Standard sizes from 1.5 mm², ascending.
pub static SIZES: LazyLock<Vec<f64>> = LazyLock::new(|| SIZE_ROWS.iter().map(|row| row.size_mm2).collect());

pub(super) fn physics(name: &str) -> f64 {
    PHYSICS_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Largest resistance of a kilometre at 20 °C; none for a size that the standard does not have in the material.
#[must_use]
pub fn resistance_at_20(material: Material, size_mm2: f64) -> Option<Ohms> {
    let row = RESISTANCE_ROWS.iter().find(|row| (row.size_mm2 - size_mm2).abs() < 1e-9)?;
    match material {
        Material::Copper => row.copper_ohm_per_km,
        Material::Aluminium => row.aluminium_ohm_per_km,
    }
    .map(Ohms)
}

/// Temperature coefficient at 20 °C.
#[must_use]
pub fn alpha20(material: Material) -> f64 {
    physics(if material == Material::Copper { "copper-alpha20-per-k" } else { "aluminium-alpha20-per-k" })
}

/// Temperature of a conductor that carries its capacity.
#[must_use]
pub fn running_temperature(insulation: Insulation) -> Celsius {
    Celsius(physics(if insulation == Insulation::Pvc { "pvc-running-c" } else { "xlpe-running-c" }))
}

/// Temperature of conductors up to which the terminals of equipment need not be asked about.
#[must_use]
pub fn terminals_unasked() -> Celsius {
    Celsius(physics("terminals-unasked-c"))
}

/// Typical reactance of a kilometre.
#[must_use]
pub fn reactance(single_cores: bool, frequency_hz: f64) -> Ohms {
    let at_50 = physics(if single_cores { "reactance-flat-50hz-mohm-per-m" } else { "reactance-50hz-mohm-per-m" });
    Ohms(at_50 * frequency_hz / 50.0)
}

/// Voltage factors of low-voltage networks; of the widest tolerance where nobody states one.
#[must_use]
pub fn voltage_factors(tolerance_pct: Option<f64>) -> VoltageFactors {
    factors_of("low", tolerance_pct)
}

/// Voltage factors of a network in front of a transformer.
#[must_use]
pub fn network_factors() -> VoltageFactors {
    factors_of("high", None)
}

fn factors_of(network: &str, tolerance_pct: Option<f64>) -> VoltageFactors {
    let rows = || FACTOR_ROWS.iter().filter(|row| row.network == network);
    let row = rows().find(|row| tolerance_pct.is_some_and(|tolerance| fits(tolerance, row.tolerance_pct))).or(rows().next_back());
    row.map_or(VoltageFactors { greatest: f64::NAN, least: f64::NAN }, |row| VoltageFactors {
        greatest: row.greatest,
        least: row.least,
    })
}

/// Smallest protective conductor between the supply and a drive, whose leakage exceeds 3.5 mA (IEC 61800-5-1).
#[must_use]
pub fn protective_minimum_with_leakage(material: Material) -> f64 {
    physics(if material == Material::Copper { "leakage-copper-mm2" } else { "leakage-aluminium-mm2" })
}

/// k of a live conductor.
#[must_use]
pub fn k_live(insulation: Insulation, material: Material, size_mm2: f64) -> f64 {
    k_of(&K_ROWS, insulation, material, size_mm2)
}

/// k of a protective conductor that is a core of the cable or bunched with its conductors. It lies with them in every method of
/// this book, so the larger k of one that lies apart (Table A.54.2) is never made use of.
#[must_use]
pub fn k_protective(insulation: Insulation, material: Material, size_mm2: f64) -> f64 {
    k_of(&PROTECTIVE_K_ROWS, insulation, material, size_mm2)
}

fn k_of(rows: &[KRow], insulation: Insulation, material: Material, size_mm2: f64) -> f64 {
    let row = rows.iter().find(|row| row.insulation == insulation.name() && size_mm2 > row.above_mm2 && size_mm2 <= row.upto_mm2);
    row.map_or(0.0, |row| if material == Material::Copper { row.copper } else { row.aluminium })
}

/// Smallest protective conductor of the same material without calculation (Table 54.2), as a standard size.
#[must_use]
pub fn protective_minimum(line_mm2: f64) -> Option<f64> {
    let row = PROTECTIVE_ROWS.iter().find(|row| line_mm2 > row.line_above_mm2 && line_mm2 <= row.line_upto_mm2)?;
    let need = row.size_mm2.or_else(|| row.share.map(|share| share * line_mm2))?;
    next_size(need)
}

/// The next standard size.
#[must_use]
pub fn next_size(need_mm2: f64) -> Option<f64> {
    SIZES.iter().copied().find(|size| fits(need_mm2, *size))
}

/// Row of Table 41.1 for a voltage to earth. A voltage on a boundary belongs to the lower band, and so does one that is only the
/// rounding of the nominal voltages above it: 400 V / √3 is the nominal 230 V of IEC 60038.
fn time_row(to_earth: Volts) -> Option<&'static TimeRow> {
    let slack = 1.0 + physics("nominal-voltage-slack-pct") / 100.0;
    let row = TIME_ROWS.iter().find(|row| fits(to_earth.0, row.u0_upto_v * slack))?;
    (to_earth.0 > TIME_ROWS.first()?.u0_above_v).then_some(row)
}

/// Largest disconnection time in a TN system: Table 41.1 for circuits up to 32 A, else 5 s.
#[must_use]
pub fn disconnection_time(to_earth: Volts, rating_a: f64) -> Option<Seconds> {
    if !fits(rating_a, physics("final-circuit-up-to-a")) {
        return Some(Seconds(physics("other-circuit-tn-s")));
    }
    time_row(to_earth).map(|row| Seconds(row.tn_s))
}

/// Largest disconnection time in a TT system. No circuit asks for this yet.
#[must_use]
pub fn disconnection_time_tt(to_earth: Volts, rating_a: f64) -> Option<Seconds> {
    if !fits(rating_a, physics("final-circuit-up-to-a")) {
        return Some(Seconds(physics("other-circuit-tt-s")));
    }
    time_row(to_earth).map(|row| Seconds(row.tt_s))
}

/// Recommended largest voltage drop of other uses than lighting, from a public network or an own transformer.
#[must_use]
pub fn drop_limit_pct(own_transformer: bool) -> Option<f64> {
    let supply = if own_transformer { "private" } else { "public" };
    LIMIT_ROWS.iter().find(|row| row.supply == supply).map(|row| row.other_pct)
}

/// Name of a material, for those who print it.
#[must_use]
pub fn name_of(material: Material) -> &'static str {
    material_name(material)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn resistance_agrees_with_resistivity() {
        // R = ρ/S with the resistivity of annealed copper and hard-drawn aluminium (IEC 60028, IEC 60889); stranding and the
        // true section of 50 mm² keep it within a tenth.
        let rows: Vec<_> = RESISTANCE_ROWS.iter().filter(|row| row.size_mm2 >= 1.5).collect();
        assert!(!rows.is_empty());
        for row in rows {
            for (resistance, rho) in [(row.copper_ohm_per_km, 17.241), (row.aluminium_ohm_per_km, 28.264)] {
                let Some(resistance) = resistance else { continue };
                let ideal: f64 = rho / row.size_mm2;
                assert!(
                    resistance > 0.97 * ideal && resistance < 1.14 * ideal,
                    "{} mm²: {resistance} against {ideal}",
                    row.size_mm2
                );
            }
        }
    }

    #[test]
    fn voltage_factors_follow_the_tolerance() {
        // IEC 60909-0:2016, Table 1; the wider tolerance is the safer one on both sides.
        let of = |tolerance| (voltage_factors(tolerance).greatest, voltage_factors(tolerance).least);
        assert_eq!([of(None), of(Some(10.0)), of(Some(8.0))], [(1.10, 0.90); 3]);
        assert_eq!(of(Some(6.0)), (1.05, 0.95));
        assert_eq!((network_factors().greatest, network_factors().least), (1.10, 1.00));
    }

    #[test]
    fn protective_conductors_follow_table_54_2() {
        for (line, pe) in [
            (1.5, 1.5),
            (16.0, 16.0),
            (25.0, 16.0),
            (35.0, 16.0),
            (50.0, 25.0),
            (70.0, 35.0),
            (95.0, 50.0),
            (120.0, 70.0),
            (240.0, 120.0),
        ] {
            assert_eq!(protective_minimum(line), Some(pe), "{line} mm²");
        }
    }

    #[test]
    fn disconnection_times_follow_table_41_1() {
        assert_eq!(disconnection_time(Volts(230.0), 16.0), Some(Seconds(0.4)));
        assert_eq!(disconnection_time(Volts(400.0), 16.0), Some(Seconds(0.2)));
        assert_eq!(disconnection_time(Volts(120.0), 16.0), Some(Seconds(0.8)));
        assert_eq!(disconnection_time(Volts(230.0), 63.0), Some(Seconds(5.0)));
        assert_eq!(disconnection_time(Volts(230.0), 32.0), Some(Seconds(0.4)));
        assert_eq!(disconnection_time_tt(Volts(230.0), 16.0), Some(Seconds(0.2)));
        assert_eq!(disconnection_time_tt(Volts(230.0), 63.0), Some(Seconds(1.0)));
        // The nominal 230 V of a 400 V system (IEC 60038), though 400/√3 is 230.9; 240 V of a 415 V system is above the boundary.
        assert_eq!(disconnection_time(Volts(400.0 / 3f64.sqrt()), 16.0), Some(Seconds(0.4)));
        assert_eq!(disconnection_time(Volts(415.0 / 3f64.sqrt()), 16.0), Some(Seconds(0.2)));
        assert_eq!(disconnection_time(Volts(690.0 / 3f64.sqrt()), 16.0), Some(Seconds(0.2)));
        assert_eq!(disconnection_time(Volts(50.0), 16.0), None);
    }

    #[test]
    fn k_agrees_with_the_adiabatic_formula() {
        // IEC 60364-5-54 Annex A: Qc 3.45e-3 and 2.5e-3 J/K mm³, β 234.5 and 228 K, ρ20 17.241e-6 and 28.264e-6 Ω mm.
        let k = |material: Material, initial: f64, last: f64| {
            let (heat, beta, rho) =
                if material == Material::Copper { (3.45e-3, 234.5, 17.241e-6) } else { (2.5e-3, 228.0, 28.264e-6) };
            crate::rules::physics::thermal::factor_k(&mut crate::record::Record::new(), heat, beta, rho, initial, last)
        };
        for (insulation, size, initial, last) in
            [(Insulation::Pvc, 16.0, 70.0, 160.0), (Insulation::Pvc, 400.0, 70.0, 140.0), (Insulation::Xlpe, 16.0, 90.0, 250.0)]
        {
            for material in [Material::Copper, Material::Aluminium] {
                // A core of the cable is as warm as the live ones when the fault begins (Table A.54.4).
                for table in [k_live(insulation, material, size), k_protective(insulation, material, size)] {
                    let formula = k(material, initial, last);
                    assert!((table - formula).abs() / formula < 0.0075, "{table} against {formula}");
                }
            }
        }
    }
}
