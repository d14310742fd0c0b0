//! Clause functions against cases that general-purpose network libraries worked out. Each case brings its own ohms, so that the model
//! is tested and not the tables. Tolerances are those that the cases' makers state for the same model.

use motorwright::load::Material;
use motorwright::quantity::{Amperes, Celsius, Impedance, Ohms, Seconds, SquareMillimetres, Volts};
use motorwright::record::Record;
use motorwright::rules::iec::conductor;
use motorwright::rules::physics::{drop, thermal};
use serde::Deserialize;

fn rows<R: serde::de::DeserializeOwned>(name: &str) -> Vec<R> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/network").join(name);
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the cases are there");
    reader.deserialize().collect::<Result<_, _>>().expect("every case parses")
}

#[derive(Deserialize)]
struct DropCase {
    case_id: String,
    phases: u32,
    v_nom_v: f64,
    v_send_pu: f64,
    n_parallel: f64,
    length_m: f64,
    conductor_temp_c: f64,
    material: String,
    r20_ohm_per_km: f64,
    r_ohm_per_km: f64,
    x_ohm_per_km: f64,
    pf_run: f64,
    i_n_a: f64,
    k_start: f64,
    pf_start: f64,
    drop_start_const_impedance_pct: f64,
    drop_run_approx_pct: f64,
}

impl DropCase {
    fn across(&self) -> drop::Across {
        if self.phases == 3 {
            drop::Across::three_phase(Volts(self.v_nom_v))
        } else {
            drop::Across::two_wires(Volts(self.v_nom_v))
        }
    }

    fn cable(&self) -> Impedance {
        Impedance { r: Ohms(self.r_ohm_per_km), x: Ohms(self.x_ohm_per_km) } * (self.length_m / 1000.0 / self.n_parallel)
    }
}

#[test]
fn running_drop_agrees_within_a_millionth_of_a_point() {
    let cases: Vec<DropCase> = rows("voltage-drop.csv");
    assert!(cases.len() >= 140);
    for case in &cases {
        let value = drop::running_drop(&mut Record::new(), case.across(), Amperes(case.i_n_a), case.cable(), case.pf_run);
        assert!(
            (value - case.drop_run_approx_pct).abs() <= 1e-6 * case.drop_run_approx_pct.max(1.0),
            "{}: {value} against {}",
            case.case_id,
            case.drop_run_approx_pct
        );
    }
}

#[test]
fn starting_drop_by_the_divider_agrees_within_a_ten_thousandth_of_a_point() {
    let mut compared = 0;
    for case in rows::<DropCase>("voltage-drop.csv") {
        let value = drop::starting_drop(
            &mut Record::new(),
            case.across(),
            Amperes(case.i_n_a * case.k_start),
            case.cable(),
            case.pf_start,
        );
        // The cases measure from the board's voltage to the motor in per cent of nominal; the divider scales with the board's voltage.
        let of_nominal = value * case.v_send_pu;
        assert!(
            (of_nominal - case.drop_start_const_impedance_pct).abs() <= 1e-4,
            "{}: {of_nominal} against {}",
            case.case_id,
            case.drop_start_const_impedance_pct
        );
        compared += 1;
    }
    assert!(compared >= 140);
}

#[test]
fn resistance_at_temperature_agrees() {
    for case in rows::<DropCase>("voltage-drop.csv") {
        let material = if case.material == "cu" { Material::Copper } else { Material::Aluminium };
        let value = drop::resistance_at(
            &mut Record::new(),
            Ohms(case.r20_ohm_per_km),
            conductor::alpha20(material),
            Celsius(case.conductor_temp_c),
        );
        assert!(
            (value.0 - case.r_ohm_per_km).abs() <= 1e-6 * case.r_ohm_per_km,
            "{}: {} against {}",
            case.case_id,
            value.0,
            case.r_ohm_per_km
        );
    }
}

#[derive(Deserialize)]
struct FactorCase {
    case_id: String,
    heat_capacity_j_per_k_mm3: f64,
    beta_c: f64,
    rho20_ohm_mm: f64,
    theta_initial_c: f64,
    theta_final_c: f64,
    k_computed: f64,
    k_by_integration: f64,
    k_table: f64,
}

#[test]
fn factor_k_agrees_with_an_integration_of_the_heat_balance() {
    for case in rows::<FactorCase>("factor-k.csv") {
        let value = thermal::factor_k(
            &mut Record::new(),
            case.heat_capacity_j_per_k_mm3,
            case.beta_c,
            case.rho20_ohm_mm,
            case.theta_initial_c,
            case.theta_final_c,
        );
        for (expected, relative) in [(case.k_computed, 1e-6), (case.k_by_integration, 1e-6), (case.k_table, 0.0075)] {
            assert!((value - expected).abs() <= relative * expected, "{}: {value} against {expected}", case.case_id);
        }
    }
}

#[derive(Deserialize)]
struct WithstandCase {
    case_id: String,
    size_mm2: f64,
    i_a: f64,
    t_s: f64,
    k_table: f64,
    k2s2_table_a2s: f64,
    s_min_table_k_mm2: f64,
    ok_table_k: bool,
}

#[test]
fn adiabatic_limits_agree() {
    let cases: Vec<WithstandCase> = rows("withstand.csv");
    assert!(cases.len() >= 90);
    for case in &cases {
        let record = &mut Record::new();
        let stands = thermal::withstand(record, case.k_table, SquareMillimetres(case.size_mm2));
        assert!((stands.0 - case.k2s2_table_a2s).abs() <= 1e-8 * case.k2s2_table_a2s, "{}", case.case_id);
        let smallest = thermal::smallest_size(record, Amperes(case.i_a), Seconds(case.t_s), case.k_table);
        assert!((smallest.0 - case.s_min_table_k_mm2).abs() <= 1e-8 * case.s_min_table_k_mm2, "{}", case.case_id);
        let holds = Amperes(case.i_a).squared_over(Seconds(case.t_s)).fits(stands);
        assert_eq!(holds, case.ok_table_k, "{}", case.case_id);
    }
}
