//! Whole runs after NFPA 70: conductor, equipment grounding conductor and raceway, worked by hand from cells of the tables.

use motorwright::catalogue;
use motorwright::load::Material;
use motorwright::quantity::{Amperes, Celsius, Impedance, Metres, Volts};
use motorwright::record::Record;
use motorwright::rules::conductors::{Candidate, DropDemand, OverloadDevice, RunDemand, RunPart, RunRules};
use motorwright::rules::nec::{Edition, Nec};
use motorwright::rules::physics::drop::Across;
use motorwright::sizing::conductors::{RunChoice, holds, size_run};
use proptest::prelude::*;

const BOOK: Nec = Nec { edition: Edition::E2023 };

/// 10 hp at 460 V: 14 A by the table, 17.5 A needed, 25 A dual-element fuse; THWN-2 in EMT over 100 ft.
fn demand() -> RunDemand {
    let running = DropDemand {
        current: Amperes(14.0),
        power_factor: 0.85,
        limit_pct: 3.0,
        before_pct: None,
        before: Impedance::default(),
        referred: 1.0,
        across: Across::three_phase(Volts(460.0)),
    };
    RunDemand {
        role: "motor",
        part: RunPart::Line,
        current: Amperes(14.0),
        need: Amperes(17.5),
        motor_circuit: true,
        device_rating: Some(Amperes(25.0)),
        circuit_rating: None,
        grounding_basis: None,
        wet: false,
        rooftop: false,
        termination: Some(Celsius(75.0)),
        minimum_raceway: None,
        equipment_rating: None,
        unrated_equipment: false,
        own_circuits: 1,
        loaded: 3,
        third_harmonic: None,
        cores: 4,
        voltage: Volts(460.0),
        to_earth: Volts(265.6),
        frequency_hz: 60.0,
        phases: 3,
        length: Some(Metres(30.48)),
        route: vec!["EMT".to_owned()],
        air: Celsius(30.0),
        ground: Celsius(20.0),
        soil: 0.9,
        grouped: 1,
        material: Material::Copper,
        insulation: "thwn-2".to_owned(),
        minimum_mm2: 2.08,
        running,
        starting: Some(DropDemand { current: Amperes(81.0), power_factor: 0.4, limit_pct: 15.0, ..running }),
        overload: OverloadDevice::Setting(Amperes(14.0)),
        fault: None,
        behind_drive: false,
        leakage: false,
        fault_max: Some(Amperes(20_000.0)),
        fault_min: Some(Amperes(10_000.0)),
        x_over_r: Some(4.0),
        paths: motorwright::rules::conductors::FaultPaths::default(),
        earthing: None,
        class_factor: 1.0,
    }
}

fn choice(demand: &RunDemand) -> RunChoice {
    size_run(demand, &BOOK, catalogue::builtin("nec"), &mut Record::new())
}

/// Phase, sets, grounding conductor, trade size.
fn run(demand: &RunDemand) -> (String, u32, String, String) {
    let run = choice(demand).run.expect("a run");
    let raceway = run.raceway.expect("a raceway");
    (run.phase_size, run.per_phase, run.protective_size, raceway.trade_size)
}

fn words(phase: &str, sets: u32, ground: &str, trade: &str) -> (String, u32, String, String) {
    (phase.to_owned(), sets, ground.to_owned(), trade.to_owned())
}

/// A demand of so many amperes, near the board, with a device.
fn short(need: f64, device: f64) -> RunDemand {
    let mut demand = demand();
    (demand.need, demand.current, demand.running.current) = (Amperes(need), Amperes(need / 1.25), Amperes(need / 1.25));
    (demand.device_rating, demand.length, demand.starting) = (Some(Amperes(device)), Some(Metres(1.0)), None);
    demand
}

#[test]
fn whole_runs_follow_the_tables() {
    // 14 AWG carries 20 A at 75 °C; a 25 A device asks 10 AWG, never larger than the phases; 4 × 0.0097 in² in 1/2 EMT (0.122 in²).
    assert_eq!(run(&demand()), words("14 AWG", 1, "14 AWG", "1/2"));
    // 40 hp, 65 A, 100 A fuse: 6 AWG, 8 AWG; 3 × 0.0507 + 0.0366 = 0.1887 in² in 3/4 EMT (0.213 in²).
    assert_eq!(run(&short(65.0, 100.0)), words("6 AWG", 1, "8 AWG", "3/4"));
    // 125 hp, 195 A, 300 A fuse: 3/0 AWG, 4 AWG; 0.8861 in² in 2 EMT (1.342 in²).
    assert_eq!(run(&short(195.0, 300.0)), words("3/0 AWG", 1, "4 AWG", "2"));
    // 406 A of a drive: two sets of 250 kcmil carry 510 A; 600 A device: 1 AWG in each raceway; 3 × 0.3970 + 0.1562 = 1.3472 in² in
    // 2-1/2 EMT (2.343 in²), just above the 1.342 in² of 2.
    assert_eq!(run(&short(507.5, 600.0)), words("250 kcmil", 2, "1 AWG", "2-1/2"));
    // Aluminium of 50 A: 8 AWG carries 40 A, 6 AWG 50 A at 75 °C; 60 A device: 8 AWG of Table 250.122.
    let aluminium = RunDemand { material: Material::Aluminium, minimum_mm2: 3.31, ..short(50.0, 60.0) };
    assert_eq!(run(&aluminium), words("6 AWG", 1, "8 AWG", "3/4"));
}

#[test]
fn both_tests_of_ampacity_are_independent() {
    let size = |demand: &RunDemand| choice(demand).run.expect("a run").phase_size;
    // 50 A at 45 °C with six conductors: 8 AWG passes at the terminations (50 A) and carries 55 × 0.87 × 0.8 = 38.3 A; 6 AWG 52.2 A.
    let hot = RunDemand { air: Celsius(45.0), own_circuits: 2, cores: 7, ..short(50.0, 60.0) };
    let run = choice(&hot).run.expect("a run");
    assert_eq!((run.phase_size.as_str(), run.governed_by.as_str()), ("6 AWG", "current-carrying-capacity"));
    assert!((run.capacity_a - 52.2).abs() < 1e-6, "{}", run.capacity_a);
    assert!((run.required_a - 50.0).abs() < 1e-6);
    // 50 A at 30 °C: at 60 °C terminations 8 AWG carries 40 A only, though its insulation allows 55 A.
    let unmarked = RunDemand { termination: None, ..short(50.0, 60.0) };
    let governed = choice(&unmarked).run.expect("a run");
    assert_eq!((governed.phase_size.as_str(), governed.governed_by.as_str()), ("6 AWG", "termination-ampacity"));
    assert_eq!(size(&short(50.0, 60.0)), "8 AWG");
    // Bands of temperature: 12 AWG THWN-2 has 30 A at 90 °C; 30 × 0.96 = 28.8 A from 30.1 °C. The need of 25 A is met at terminations.
    for (air, insulation, expected) in [(30.0, "thwn", "12 AWG"), (30.1, "thwn", "10 AWG"), (30.1, "thwn-2", "12 AWG")] {
        let warm = RunDemand { air: Celsius(air), insulation: insulation.to_owned(), ..short(25.0, 40.0) };
        assert_eq!(size(&warm), expected, "{air} {insulation}");
    }
    // Counts 3, 4, 6, 7, 9 and 10: 30 A of 12 AWG × 1, 0.8, 0.7, 0.5 is 30, 24, 21, 15 A.
    for (circuits, need, expected) in [
        (1, 25.0, "12 AWG"),
        (2, 24.0, "12 AWG"),
        (2, 24.1, "10 AWG"),
        (3, 21.0, "12 AWG"),
        (3, 21.1, "10 AWG"),
        (4, 15.1, "10 AWG"),
    ] {
        assert_eq!(size(&RunDemand { grouped: circuits, ..short(need, 40.0) }), expected, "{circuits} circuits, {need} A");
    }
}

#[test]
fn terminations_lend_a_conductor_no_more_than_its_insulation_has() {
    // 110.14(C): the lowest temperature of conductor and terminations. TW is for 60 °C; 6 AWG has 55 A there, which 20 °C of air raise
    // to 55 × 1.15 = 63 A, but not at the terminations, though these are marked for 75 °C, where 6 AWG has 65 A. 4 AWG has 70 A.
    let demand = RunDemand { insulation: "tw".to_owned(), air: Celsius(20.0), ..short(60.0, 80.0) };
    let chosen = choice(&demand).run.expect("a run");
    assert_eq!((chosen.phase_size.as_str(), chosen.governed_by.as_str()), ("4 AWG", "termination-ampacity"));
}

#[test]
fn the_grounding_conductor_of_an_instantaneous_breaker_follows_the_fuse_of_430_52() {
    // 250.122(D)(2): 40 hp, 52 A × 175 % = 91 A, 100 A fuse: 8 AWG, though the breaker is of 150 A (6 AWG).
    let demand = RunDemand { grounding_basis: Some(Amperes(100.0)), ..short(65.0, 150.0) };
    assert_eq!(run(&demand).2, "8 AWG");
    assert_eq!(run(&short(65.0, 150.0)).2, "6 AWG");
}

#[test]
fn a_raceway_holds_a_grounding_conductor_of_each_circuit() {
    // Two circuits of 50 A in one EMT: six 6 AWG THWN-2 of 0.0507 in² (8 AWG carries 55 × 0.8 = 44 A) and two 10 AWG of 0.0211 in²
    // for 60 A devices: 0.3464 in², just above the 0.346 in² of 1 EMT; with one grounding conductor 0.3253 in² would fit.
    let demand = RunDemand { grouped: 2, ..short(50.0, 60.0) };
    assert_eq!(run(&demand), words("6 AWG", 1, "10 AWG", "1-1/4"));
}

#[test]
fn of_a_route_through_several_raceways_the_worst_counts() {
    // 28 A over 400 ft on 8 AWG: Table 9 has 0.78 + j0.052 Ω in PVC, 0.78 + j0.065 in steel: 1.732 × 28 × (0.78 × 0.85 + X × 0.5268) ×
    // 0.4 = 13.39 V and 13.53 V of 460 V.
    let drop = |route: &[&str]| {
        let route = route.iter().map(|kind| (*kind).to_owned()).collect();
        let demand = RunDemand { route, length: Some(Metres(400.0 * 0.3048)), ..short(35.0, 60.0) };
        let check = choice(&demand).checks.into_iter().find(|check| check.name == "running-voltage-drop").expect("a check");
        check.value.expect("a value")
    };
    assert!((drop(&["PVC"]) - 100.0 * 13.393 / 460.0).abs() < 0.001, "{}", drop(&["PVC"]));
    for route in [&["EMT"][..], &["PVC", "EMT"], &["EMT", "PVC"]] {
        assert!((drop(route) - 100.0 * 13.526 / 460.0).abs() < 0.001, "{route:?}: {}", drop(route));
    }
}

#[test]
fn wet_places_and_roofs_count() {
    let size = |insulation: &str, wet: bool, rooftop: bool| {
        choice(&RunDemand { insulation: insulation.to_owned(), wet, rooftop, air: Celsius(40.0), ..short(22.0, 40.0) })
    };
    // XHHW: 90 °C dry, 75 °C wet: 12 AWG 30 × 0.91 = 27.3 A, 25 × 0.88 = 22.0 A.
    assert_eq!(size("xhhw", true, false).run.expect("a run").phase_size, "12 AWG");
    // On a roof 40 + 33 = 73 °C: THWN-2 × 0.50: 12 AWG 15 A, 10 AWG 20 A, 8 AWG 27.5 A. XHHW-2 is spared: 12 AWG 27.3 A.
    assert_eq!(size("thwn-2", true, true).run.expect("a run").phase_size, "8 AWG");
    assert_eq!(size("xhhw-2", true, true).run.expect("a run").phase_size, "12 AWG");
    assert!(size("thhn", true, false).refused.expect("a reason").contains("wet"));
    assert!(size("thhn", false, false).run.is_some());
}

#[test]
fn what_is_not_covered_is_refused_with_a_cure() {
    for (route, insulation, minimum, says) in [
        ("B2", "thwn-2", None, "IEC 60364"),
        ("CABLE TRAY", "thwn-2", None, "392.80"),
        ("DIRECT-BURIED", "thwn-2", None, "direct burial"),
        ("PIPE", "thwn-2", None, "one of emt"),
        ("EMT", "pvc", None, "THWN-2"),
        ("EMT", "thwn-2", Some("7/8"), "trade size"),
    ] {
        let demand = RunDemand {
            route: vec![route.to_owned()],
            insulation: insulation.to_owned(),
            minimum_raceway: minimum.map(str::to_owned),
            ..demand()
        };
        let refused = choice(&demand).refused.expect("a reason");
        assert!(refused.contains(says), "{route}: {refused}");
    }
    assert!(choice(&RunDemand { route: Vec::new(), ..demand() }).refused.is_some());
    assert!(choice(&RunDemand { termination: Some(Celsius(40.0)), ..demand() }).refused.is_some());
}

#[test]
fn a_long_run_grows_its_phases_its_grounding_conductor_and_its_raceway() {
    // 60 A circuit, 10 AWG needed (35 A), 28 A over 400 ft: 1.732 × 28 × (R 0.85 + X 0.527) × 0.4 within 3 % of 460 V = 13.8 V:
    // 10 AWG 20.4 V, 8 AWG 13.5 V. Grounding: 10380 × 16510 / 10380 = 16510 cmil: 8 AWG, in place of 10 AWG.
    let mut demand = short(35.0, 60.0);
    demand.length = Some(Metres(400.0 * 0.3048));
    let chosen = choice(&demand).run.expect("a run");
    assert_eq!((chosen.phase_size.as_str(), chosen.protective_size.as_str()), ("8 AWG", "8 AWG"));
    assert_eq!(chosen.governed_by, "running-voltage-drop");
    demand.length = Some(Metres(1.0));
    assert_eq!(run(&demand).2, "10 AWG");
}

#[test]
fn loads_that_are_no_motors_are_protected_by_their_device() {
    let size = |need: f64, device: f64| {
        choice(&RunDemand { motor_circuit: false, overload: OverloadDevice::Load, ..short(need, device) })
            .run
            .expect("a run")
            .phase_size
    };
    // 240.4(D): 14 AWG at most 15 A though it carries 20 A; 240.4(B): 6 AWG (65 A) takes 70 A; 8 AWG (50 A) not 60 A.
    assert_eq!(size(15.0, 15.0), "14 AWG");
    assert_eq!(size(16.0, 20.0), "12 AWG");
    assert_eq!(size(25.0, 30.0), "10 AWG");
    assert_eq!(size(50.0, 50.0), "8 AWG");
    assert_eq!(size(50.0, 60.0), "6 AWG");
    assert_eq!(size(56.0, 70.0), "6 AWG");
    // Without a device nobody can tell, which is said.
    let open = RunDemand { motor_circuit: false, overload: OverloadDevice::Load, device_rating: None, ..short(15.0, 15.0) };
    let checks = choice(&open).checks;
    let told = checks.iter().find(|check| check.name == "overload-protection").expect("it is listed");
    assert!(told.passed.is_none() && told.not_checked_because.is_some());
    // 240.4(G): a motor's 14 AWG goes with 25 A.
    assert_eq!(run(&demand()).0, "14 AWG");
}

#[test]
fn a_marked_rating_is_told_and_buys_no_larger_conductor() {
    let low = RunDemand { equipment_rating: Some(Amperes(500.0)), ..demand() };
    let told = choice(&low);
    let check = told.checks.iter().find(|check| check.name == "short-circuit-rating").expect("it is listed");
    assert_eq!(check.passed, Some(false));
    assert_eq!(told.run.expect("a run").phase_size, "14 AWG");
    let high = choice(&RunDemand { equipment_rating: Some(Amperes(65_000.0)), ..demand() });
    assert!(high.checks.iter().any(|check| check.name == "short-circuit-rating" && check.passed == Some(true)));
    let unknown = choice(&RunDemand { equipment_rating: Some(Amperes(5000.0)), fault_max: None, ..demand() });
    assert!(unknown.checks.iter().any(|check| check.name == "short-circuit-rating" && check.passed.is_none()));
    assert!(!choice(&demand()).checks.iter().any(|check| check.name == "short-circuit-rating"));
}

#[test]
fn parts_are_bought_by_the_foot_and_the_raceway_is_among_them() {
    let run_demand = RunDemand { minimum_raceway: Some("3/4".to_owned()), ..demand() };
    let chosen = choice(&run_demand);
    let sold = catalogue::builtin("nec").raceway("emt", "3/4").expect("the range has it");
    let raceway = chosen.parts.iter().find(|part| part.part == sold.part).expect("a raceway");
    assert!(raceway.unit == "ft" && (raceway.quantity - 100.0).abs() < 1e-6);
    assert!(chosen.parts.iter().all(|part| part.unit == "ft"));
    let several = RunDemand { route: vec!["EMT".to_owned(), "LFMC".to_owned()], ..demand() };
    assert_eq!(choice(&several).run.expect("a run").raceway.expect("raceways").kind, "emt+lfmc");
}

#[test]
fn editions_name_their_clauses() {
    let clause = |edition: Edition| {
        let book = Nec { edition };
        book.criteria().iter().find(|criterion| criterion.name == "current-carrying-capacity").expect("it is listed").reference
    };
    assert!(clause(Edition::E2017).contains("310.15(B)(16)"));
    assert!(clause(Edition::E2020).contains("310.16") && clause(Edition::E2023).contains("310.16"));
}

fn rung(demand: &RunDemand) -> usize {
    let ladder = BOOK.ladder(demand);
    let chosen = choice(demand).run.map(|run| Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase });
    chosen.map_or(ladder.len(), |chosen| ladder.iter().position(|candidate| *candidate == chosen).expect("it is on the ladder"))
}

/// Diameter of the chosen raceway by its place in its kind, if the run is a single one.
fn trade(demand: &RunDemand) -> Option<usize> {
    const SIZES: [&str; 12] = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6"];
    let run = choice(demand).run.filter(|run| run.per_phase == 1)?;
    let raceway = run.raceway?;
    SIZES.iter().position(|size| *size == raceway.trade_size)
}

fn demands() -> impl Strategy<Value = RunDemand> {
    let kinds = prop_oneof![Just("EMT"), Just("RMC"), Just("IMC"), Just("PVC"), Just("PVC-80"), Just("LFMC")];
    let types = prop_oneof![Just("thwn-2"), Just("xhhw-2"), Just("thw"), Just("thhn")];
    (1.0..600.0f64, 1.0..300.0f64, 10.0..55.0f64, 1u32..5, kinds, types, proptest::bool::ANY).prop_map(
        |(need, metres, air, grouped, kind, insulation, aluminium)| {
            let mut demand = short(need, (need * 1.4).ceil());
            demand.length = Some(Metres(metres));
            (demand.air, demand.grouped) = (Celsius(air), grouped);
            (demand.route, demand.insulation) = (vec![kind.to_owned()], insulation.to_owned());
            demand.material = if aluminium { Material::Aluminium } else { Material::Copper };
            demand
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    #[test]
    fn no_earlier_candidate_would_have_held(demand in demands()) {
        let ladder = BOOK.ladder(&demand);
        let at = rung(&demand);
        for candidate in &ladder[..at] {
            prop_assert!(!holds(&BOOK, &demand, *candidate), "{candidate:?}");
        }
        if let Some(chosen) = ladder.get(at) {
            prop_assert!(holds(&BOOK, &demand, *chosen));
        }
    }

    #[test]
    fn more_current_or_length_never_gives_a_smaller_conductor_or_raceway(demand in demands(), more in 0.0..1.0f64) {
        let before = (rung(&demand), trade(&demand));
        let longer = RunDemand { length: demand.length.map(|length| length * (1.0 + more)), ..demand.clone() };
        prop_assert!(rung(&longer) >= before.0, "length");
        if let (Some(was), Some(is)) = (before.1, trade(&longer)) {
            prop_assert!(is >= was, "raceway by length");
        }
        let near = RunDemand { length: Some(Metres(1.0)), ..demand.clone() };
        let mut loaded = near.clone();
        (loaded.need, loaded.current, loaded.running.current) =
            (demand.need * (1.0 + more), demand.current * (1.0 + more), demand.current * (1.0 + more));
        loaded.device_rating = demand.device_rating.map(|rating| rating * (1.0 + more));
        prop_assert!(rung(&loaded) >= rung(&near), "current");
        if let (Some(was), Some(is)) = (trade(&near), trade(&loaded)) {
            prop_assert!(is >= was, "raceway by current");
        }
        // On a short run only: where the drop decides, 250.122(B) enlarges the grounding conductor by less when heat or company ask
        // for larger phase conductors anyway, and the raceway that was too full then takes them.
        let hotter = RunDemand { air: Celsius(near.air.0 + 20.0 * more), ..near.clone() };
        prop_assert!(rung(&hotter) >= rung(&near), "temperature");
        let crowded = RunDemand { grouped: near.grouped + 2, ..near.clone() };
        prop_assert!(rung(&crowded) >= rung(&near), "count");
    }
}
