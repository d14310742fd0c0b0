//! Runs that are wrong in one point each, and runs that are too small and wholly consistent: each check of the verifier is seen to bite, by
//! its code and its words.

use motorwright::catalogue::{self, Catalogue};
use motorwright::design::{Check, Circuit, Design, Run};
use motorwright::rules;
use motorwright::verify::Verifier;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 20\nprospective_fault_min_ka = 6\n";

/// A motor of 15 kW and heaters of 6 to 80 kW (8.7 to 115.5 A), on runs so short that what they carry decides the size.
fn design() -> Design {
    let head = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,protection_kind,cable_length_m\n";
    let heater = |kilowatts: &u32| format!("H-{kilowatts},MCC,heater,{kilowatts},400,3,,contactor,gG,3\n");
    let heaters: String = [6_u32, 12, 18, 25, 32, 40, 50, 63, 80].iter().map(heater).collect();
    super::common::design_of(&format!("{head}P-15,MCC,motor,15,400,3,29,direct,gG,20\n{heaters}"), BASIS)
}

fn verifier<'a>(design: &'a Design, range: &'a Catalogue) -> Verifier<'a> {
    Verifier::new(&design.basis, rules::book("iec", None).expect("a book"), range, &design.circuits)
}

fn said(verifier: &Verifier<'_>, circuit: &Circuit) -> Vec<String> {
    verifier.circuit(circuit).into_iter().map(|finding| format!("{} {}", finding.code, finding.what)).collect()
}

/// The circuit with its first run changed.
fn with(circuit: &Circuit, change: &dyn Fn(&mut Run)) -> Circuit {
    let mut changed = circuit.clone();
    change(&mut changed.runs[0]);
    changed.conductors = changed.runs.first().cloned();
    changed
}

/// One change to the run of a motor, and what must be said of it.
type Wrong = (&'static dyn Fn(&mut Run), &'static str, &'static str);

const WRONG: &[Wrong] = &[
    (&|run| run.role = "motor-low".to_owned(), "V701", "its runs are"),
    (&|run| run.count = 2, "V701", "2 motor runs; 1 are needed"),
    (&|run| run.length_m = 25.0, "V702", "25 m long; the row states 20 m"),
    (&|run| run.phase_size = "70 mm2".to_owned(), "V703", "the motor run is called 70 mm2"),
    (&|run| run.criteria[0].size = "70 mm2".to_owned(), "V703", "of the motor run asks for 70 mm2"),
    (&|run| run.governed_by = "nothing".to_owned(), "V703", "nothing is said to govern the motor run"),
    (&|run| run.cores = 5, "V703", "5 cores; 4 are needed"),
    (&|run| run.neutral_size = Some(run.phase_size.clone()), "V703", "whether the motor run has a neutral"),
    (&|run| run.capacity_a = 0.9 * run.required_a, "V704", "the motor run carries"),
    (&|run| run.required_a *= 0.8, "V704", "the motor run must carry"),
    (&|run| run.capacity_a *= 1.1, "V704", "as it is laid; the circuit says"),
    (&|run| run.required_a = run.capacity_a, "V704", "the checks of the motor run ask for"),
    (&|run| run.protective_size = "0.5 mm2".to_owned(), "V705", "the protective conductor of the motor run is 0.5 mm2"),
    (&|run| run.cables = 2, "V706", "2 cables of"),
    (&|run| run.insulation = "none".to_owned(), "V706", "is not the cable of the motor run"),
    (&|run| run.part = "NONE-1".to_owned(), "V101", "NONE-1 is no cable of the catalogue"),
    (&|run| run.phase_area_mm2 = 185.0, "V707", "the terminals at the beginning of the motor run do not clamp"),
    (&|run| run.material = "aluminium".to_owned(), "V707", "its terminals must suit aluminium"),
];

/// What the design says of a run is held point by point.
#[test]
fn each_point_of_a_run_that_is_wrong_is_told_by_its_name() {
    let design = design();
    let verifier = verifier(&design, catalogue::builtin("iec"));
    let motor = &design.circuits[0];
    assert!(said(&verifier, motor).is_empty(), "{:?}", said(&verifier, motor));
    let mut apart = motor.clone();
    apart.conductors = None;
    let of_run = WRONG.iter().map(|(change, code, words)| (with(motor, change), *code, *words));
    let all = of_run.chain([(apart, "V701", "the supply-side run is not the first")]);
    let missed: Vec<String> = all
        .filter(|(wrong, code, words)| !said(&verifier, wrong).iter().any(|told| told.starts_with(code) && told.contains(words)))
        .map(|(_, code, words)| format!("{code} {words}"))
        .collect();
    assert!(missed.is_empty(), "{} missed: {missed:#?}", missed.len());
}

/// IEC 60364-5-52, Annex G: what a run loses goes with its length. A cable that was chosen for 40 m, with its figures, words and checks,
/// loses six times as much over 240 m; nothing else is wrong with it.
#[test]
fn a_cable_that_loses_too_much_over_its_length_is_found_by_its_drop_alone() {
    let head = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,protection_kind,cable_length_m\n";
    let rows = "H-1,MCC,heater,40,400,3,contactor,gG,40\nH-2,MCC,heater,40,400,3,contactor,gG,240\n";
    let design = super::common::design_of(&format!("{head}{rows}"), BASIS);
    let range = catalogue::builtin("iec");
    let verifier = verifier(&design, range);
    let (near, far) = (&design.circuits[0], &design.circuits[1]);
    assert!(near.runs[0].phase_area_mm2 < far.runs[0].phase_area_mm2 && said(&verifier, far).is_empty());
    let mut wrong = super::Bench::of(range).swapped(far, &far.runs[0].part, &near.runs[0].part);
    wrong = with(&wrong, &|run| *run = Run { length_m: run.length_m, ..near.runs[0].clone() });
    let of_run = |check: &&Check| check.subject.starts_with("motor run");
    wrong.checks.retain(|check| !of_run(&check));
    wrong.checks.extend(near.checks.iter().filter(of_run).cloned());
    let told = said(&verifier, &wrong);
    assert!(told.iter().any(|told| told.starts_with("V801") && told.contains("running-voltage-drop")), "{told:#?}");
    assert!(!told.iter().any(|told| told.starts_with("V70")), "{told:#?}");
}

/// A check with another limit, as it would read.
fn against(check: &Check, limit: f64) -> Check {
    let value = check.value.expect("a value");
    let margin_pct = Some(100.0 * (limit - value) / limit);
    Check { limit: Some(limit), margin_pct, passed: Some(value <= limit), ..check.clone() }
}

/// IEC 60364-4-43, 433.1: a cable carries the current of its circuit. That of a heater with a smaller one, with all its figures and words,
/// does not; nor does it where requirement and checks are those of the smaller heater too, as a current that was mistaken early would leave
/// them.
#[test]
fn a_cable_that_is_too_small_is_found_by_its_capacity_alone() {
    let design = design();
    let range = catalogue::builtin("iec");
    let bench = super::Bench::of(range);
    let verifier = verifier(&design, range);
    let heaters = &design.circuits[1..];
    let mut tried = 0;
    for (smaller, circuit) in heaters.iter().zip(&heaters[1..]) {
        let (thin, run) = (&smaller.runs[0], &circuit.runs[0]);
        if thin.phase_area_mm2 >= run.phase_area_mm2 || thin.capacity_a >= run.required_a {
            continue;
        }
        let mut wrong = bench.swapped(circuit, &run.part, &thin.part);
        wrong = with(&wrong, &|run| *run = Run { required_a: run.required_a, ..thin.clone() });
        for check in wrong.checks.iter_mut().filter(|check| check.limit == Some(run.capacity_a)) {
            *check = against(check, thin.capacity_a);
        }
        let mut mistaken = with(&wrong, &|run| *run = thin.clone());
        let of_run = |check: &&Check| check.subject.starts_with("motor run");
        mistaken.checks.retain(|check| !of_run(&check));
        mistaken.checks.extend(smaller.checks.iter().filter(of_run).cloned());
        for (wrong, words) in [(&wrong, "the motor run carries"), (&mistaken, "the motor run must carry")] {
            let told = said(&verifier, wrong);
            assert!(told.iter().any(|told| told.starts_with("V704") && told.contains(words)), "{}: {told:#?}", circuit.tag);
            let by_looks = ["V703", "V705", "V706"];
            assert!(!told.iter().any(|told| by_looks.iter().any(|code| told.starts_with(code))), "{}: {told:#?}", circuit.tag);
        }
        tried += 1;
    }
    assert!(tried >= 4, "{tried}");
}
