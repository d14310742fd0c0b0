//! Fault currents along the tree of boards against cases that general-purpose network libraries worked out, against published figures,
//! and properties that hold for every network. Each case brings its own ohms.

use motorwright::basis::{Basis, BoardBasis, SourceBasis, TransformerBasis};
use motorwright::load::Material;
use motorwright::network::faults::{self, Ask, FaultLevel, Faults, Motors};
use motorwright::network::feeders::FeederImpedance;
use motorwright::network::tree::Tree;
use motorwright::network::voltages::Voltage;
use motorwright::quantity::{Amperes, Celsius, Impedance, Metres, Ohms, Volts};
use motorwright::record::Record;
use motorwright::rules::conductors::{DropDemand, FaultPaths, OverloadDevice, RunDemand, RunPart};
use motorwright::rules::physics::drop::Across;
use motorwright::rules::physics::fault;
use motorwright::rules::{self, RuleBook};
use proptest::prelude::*;
use serde::Deserialize;

/// A case of the file; columns that say how its ohms came about are left out.
#[derive(Deserialize)]
struct Case {
    case_id: String,
    lv_v: f64,
    s_sc_max_mva: f64,
    s_sc_min_mva: f64,
    rx_grid: f64,
    trafo_kva: f64,
    uk_pct: f64,
    load_loss_kw: f64,
    z0_over_z1_trafo: f64,
    lv_tolerance_pct: f64,
    c_max: f64,
    c_min: f64,
    feeder_parallel: f64,
    feeder_length_m: f64,
    feeder_end_temp_c: f64,
    motor_cable_length_m: f64,
    motor_cable_end_temp_c: f64,
    feeder_r20_ohm_per_km: f64,
    feeder_x_ohm_per_km: f64,
    feeder_pe_r20_ohm_per_km: f64,
    motor_r20_ohm_per_km: f64,
    motor_x_ohm_per_km: f64,
    motor_pe_r20_ohm_per_km: f64,
    motor_i_n_a: f64,
    motor_k_start: f64,
    group_i_n_a: f64,
    group_k_start: f64,
    grid_r_max_ohm: f64,
    grid_x_max_ohm: f64,
    grid_r_min_ohm: f64,
    grid_x_min_ohm: f64,
    trafo_r_ohm: f64,
    trafo_x_ohm: f64,
    trafo_kt: f64,
    feeder_r20_ohm: f64,
    feeder_x_ohm: f64,
    ik3_max_main_ka: f64,
    ip_max_main_ka: f64,
    ik3_max_board_ka: f64,
    ip_max_board_ka: f64,
    ik3_max_motor_ka: f64,
    ip_max_motor_ka: f64,
    ik2_max_board_ka: f64,
    ik1_max_board_ka: f64,
    ik1_max_motor_ka: f64,
    ik3_min_board_ka: f64,
    ik3_min_motor_ka: f64,
    ik2_min_board_ka: f64,
    ik2_min_motor_ka: f64,
    ik1_min_board_ka: f64,
    ik1_min_motor_ka: f64,
    ik3_max_main_with_all_motors_ka: f64,
    ip_max_main_with_all_motors_ka: f64,
    ik3_max_board_with_all_motors_ka: f64,
    ip_max_board_with_all_motors_ka: f64,
    ik3_max_board_with_group_ka: f64,
    ip_max_board_with_group_ka: f64,
    ik3_max_motor_with_group_ka: f64,
    ip_max_motor_with_group_ka: f64,
    sum_motor_i_n_over_ik3_board: f64,
}

fn cases() -> Vec<Case> {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(include_str!("network/short-circuit.csv").as_bytes());
    reader.deserialize().collect::<Result<_, _>>().expect("every case parses")
}

/// A cable of one conductor a phase with a protective conductor of its own, of the phase's reactance; 0.004 per kelvin from 20 °C.
fn cable(r20: f64, pe20: f64, x: f64, length_m: f64, parallel: f64, end_c: f64) -> FeederImpedance {
    let of = |r: f64, celsius: f64| {
        Impedance { r: Ohms(r * (1.0 + 0.004 * (celsius - 20.0))), x: Ohms(x) } * (length_m / 1000.0 / parallel)
    };
    FeederImpedance {
        cold: of(r20, 20.0),
        running: of(r20, 70.0),
        hot: of(r20, end_c),
        cold_loop: Some(of(r20, 20.0) + of(pe20, 20.0)),
        hot_loop: Some(of(r20, end_c) + of(pe20, end_c)),
    }
}

fn board(name: &str, fed_from: Option<&str>) -> BoardBasis {
    BoardBasis { name: Some(name.to_owned()), fed_from: fed_from.map(str::to_owned), ..BoardBasis::default() }
}

impl Case {
    fn basis(&self) -> Basis {
        let mut basis = Basis::default();
        basis.supply.voltage_v = Some(self.lv_v);
        basis.supply.earthing = Some("TN-S".to_owned());
        basis.supply.upstream_fault_mva = Some(self.s_sc_max_mva);
        basis.supply.upstream_fault_min_mva = Some(self.s_sc_min_mva);
        basis.supply.upstream_x_over_r = Some(1.0 / self.rx_grid);
        basis.supply.voltage_tolerance_pct = Some(self.lv_tolerance_pct);
        basis.transformers.push(TransformerBasis {
            name: Some("T1".to_owned()),
            to: Some("main".to_owned()),
            kva: Some(self.trafo_kva),
            impedance_pct: Some(self.uk_pct),
            load_loss_kw: Some(self.load_loss_kw),
            zero_sequence_r_ratio: Some(self.z0_over_z1_trafo),
            zero_sequence_x_ratio: Some(self.z0_over_z1_trafo),
            ..TransformerBasis::default()
        });
        basis.boards = vec![board("main", None), board("board", Some("main")), board("motor", Some("board"))].into();
        basis
    }

    fn feeders(&self) -> [Option<FeederImpedance>; 3] {
        [None, Some(self.feeder()), Some(self.motor_cable())]
    }

    fn feeder(&self) -> FeederImpedance {
        cable(
            self.feeder_r20_ohm_per_km,
            self.feeder_pe_r20_ohm_per_km,
            self.feeder_x_ohm_per_km,
            self.feeder_length_m,
            self.feeder_parallel,
            self.feeder_end_temp_c,
        )
    }

    fn motor_cable(&self) -> FeederImpedance {
        cable(
            self.motor_r20_ohm_per_km,
            self.motor_pe_r20_ohm_per_km,
            self.motor_x_ohm_per_km,
            self.motor_cable_length_m,
            1.0,
            self.motor_cable_end_temp_c,
        )
    }

    fn near(&self, what: &str, value: f64, expected: f64) {
        assert!((value - expected).abs() <= 1e-5 * expected.abs(), "{} {what}: {value} against {expected}", self.case_id);
    }

    fn kiloamperes(&self, what: &str, value: Option<Amperes>, expected: f64) {
        self.near(what, value.unwrap_or_else(|| panic!("{} {what} is unknown", self.case_id)).0 / 1000.0, expected);
    }

    /// The currents without motors, and what they rest on.
    fn holds_without_motors(&self, solved: &Faults) {
        let [main, board, motor] = levels(solved);
        self.kiloamperes("ik3 main", main.three_phase, self.ik3_max_main_ka);
        self.kiloamperes("ip main", main.peak, self.ip_max_main_ka);
        self.kiloamperes("ik3 board", board.three_phase, self.ik3_max_board_ka);
        self.kiloamperes("ip board", board.peak, self.ip_max_board_ka);
        self.kiloamperes("ik3 motor", motor.three_phase, self.ik3_max_motor_ka);
        self.kiloamperes("ip motor", motor.peak, self.ip_max_motor_ka);
        self.kiloamperes("ik1 board", board.largest_to_earth, self.ik1_max_board_ka);
        self.kiloamperes("ik1 motor", motor.largest_to_earth, self.ik1_max_motor_ka);
        let (record, line) = (&mut Record::new(), Volts(self.lv_v));
        let largest = board.largest_path.expect("a path");
        self.kiloamperes("ik2 board", Some(fault::two_phase(record, self.c_max, line, largest)), self.ik2_max_board_ka);
        let of = [
            ("board", board, self.ik3_min_board_ka, self.ik2_min_board_ka, self.ik1_min_board_ka),
            ("motor", motor, self.ik3_min_motor_ka, self.ik2_min_motor_ka, self.ik1_min_motor_ka),
        ];
        for (place, level, three, two, one) in of {
            let path = level.smallest_path.expect("a path");
            self.kiloamperes(place, Some(fault::three_phase(record, self.c_min, line, path)), three);
            self.kiloamperes(place, Some(fault::two_phase(record, self.c_min, line, path)), two);
            let earth = level.smallest_loop.expect("a loop");
            self.kiloamperes(place, Some(fault::of_loop(record, self.c_min, Volts(self.lv_v / 3f64.sqrt()), earth)), one);
            self.kiloamperes(place, level.smallest, two.min(one));
        }
    }

    /// The impedances of the elements, from the working of the board that they stand before.
    fn holds_elements(&self, solved: &Faults) {
        let step = |quantity: &str, nth: usize| {
            let steps = solved.records[0].steps().iter().filter(|step| step.formula.quantity == quantity);
            steps.map(|step| step.result).nth(nth).unwrap_or_else(|| panic!("{}: no step {quantity}", self.case_id))
        };
        self.near("network", step("impedance of the network", 0), magnitude(self.grid_r_max_ohm, self.grid_x_max_ohm));
        self.near("network", step("impedance of the network", 1), magnitude(self.grid_r_min_ohm, self.grid_x_min_ohm));
        self.near("transformer", step("impedance of the transformer", 0), magnitude(self.trafo_r_ohm, self.trafo_x_ohm));
        self.near("transformer", step("resistance of the transformer", 0), self.trafo_r_ohm);
        self.near("correction", step("correction of the transformer's impedance", 0), self.trafo_kt);
        self.near("feeder", self.feeder().cold.r.0, self.feeder_r20_ohm);
        self.near("feeder", self.feeder().cold.x.0, self.feeder_x_ohm);
    }
}

fn magnitude(r: f64, x: f64) -> f64 {
    (r * r + x * x).sqrt()
}

fn levels(solved: &Faults) -> [FaultLevel; 3] {
    solved.levels.clone().try_into().expect("three boards")
}

fn solve(basis: &Basis, book: &str, feeders: &[Option<FeederImpedance>], motors: &[Motors]) -> Faults {
    let tree = Tree::of(basis, &[], Some("basis.toml"));
    assert!(tree.findings.is_empty(), "{:?}", tree.findings);
    faults::of(&ask(&tree, basis, book, feeders, motors))
}

fn ask<'a>(
    tree: &'a Tree,
    basis: &'a Basis,
    book: &str,
    feeders: &'a [Option<FeederImpedance>],
    motors: &'a [Motors],
) -> Ask<'a> {
    let book = of_key(book);
    let convention = book.fault_convention(basis.supply.voltage_tolerance_pct);
    Ask { tree, basis, basis_file: Some("basis.toml"), book, convention, feeders, motors, without: &[] }
}

fn of_key(book: &str) -> &'static dyn RuleBook {
    rules::book(book, None).expect("the book is there")
}

fn motors(rated: f64, ratio: f64) -> Motors {
    Motors { rated: Amperes(rated), locked_rotor: Amperes(rated * ratio) }
}

#[test]
fn every_current_of_every_case_agrees_to_a_hundred_thousandth() {
    let cases = cases();
    assert_eq!(cases.len(), 120);
    for case in &cases {
        let (basis, feeders) = (case.basis(), case.feeders());
        let group = motors(case.group_i_n_a, case.group_k_start);
        let motors = motors(case.motor_i_n_a, case.motor_k_start);
        let none = Motors::default();
        let without = solve(&basis, "iec", &feeders, &[none; 3]);
        case.holds_elements(&without);
        case.holds_without_motors(&without);

        let all = levels(&solve(&basis, "iec", &feeders, &[none, group, motors]));
        case.kiloamperes("main, all", all[0].three_phase, case.ik3_max_main_with_all_motors_ka);
        case.kiloamperes("main, all", all[0].peak, case.ip_max_main_with_all_motors_ka);
        case.kiloamperes("board, all", all[1].three_phase, case.ik3_max_board_with_all_motors_ka);
        case.kiloamperes("board, all", all[1].peak, case.ip_max_board_with_all_motors_ka);
        case.kiloamperes("board, none", all[1].without_motors, case.ik3_max_board_ka);
        let share = (group.rated + motors.rated) / all[1].without_motors.expect("a current");
        case.near("share of motors", share, case.sum_motor_i_n_over_ik3_board);

        let few = levels(&solve(&basis, "iec", &feeders, &[none, group, none]));
        case.kiloamperes("board, group", few[1].three_phase, case.ik3_max_board_with_group_ka);
        case.kiloamperes("board, group", few[1].peak, case.ip_max_board_with_group_ka);
        case.kiloamperes("motor, group", few[2].three_phase, case.ik3_max_motor_with_group_ka);
        case.kiloamperes("motor, group", few[2].peak, case.ip_max_motor_with_group_ka);
        // Motors change nothing of the smallest.
        assert_eq!(few.map(|level| level.smallest), levels(&without).map(|level| level.smallest), "{}", case.case_id);
    }
}

/// A run from the board to the motor of a case, whose largest and smallest currents follow from the point of the board.
fn run(paths: FaultPaths, line: f64) -> RunDemand {
    let drop = DropDemand {
        current: Amperes(10.0),
        power_factor: 0.8,
        limit_pct: 5.0,
        before_pct: None,
        before: Impedance::default(),
        referred: 1.0,
        across: Across::three_phase(Volts(line)),
    };
    RunDemand {
        role: "motor",
        part: RunPart::Line,
        current: Amperes(10.0),
        need: Amperes(10.0),
        motor_circuit: true,
        device_rating: None,
        circuit_rating: None,
        grounding_basis: None,
        wet: false,
        rooftop: false,
        termination: None,
        minimum_raceway: None,
        equipment_rating: None,
        unrated_equipment: false,
        own_circuits: 1,
        loaded: 3,
        third_harmonic: None,
        cores: 4,
        voltage: Volts(line),
        to_earth: Volts(line / 3f64.sqrt()),
        frequency_hz: 50.0,
        phases: 3,
        length: Some(Metres(10.0)),
        route: vec!["C".to_owned()],
        air: Celsius(30.0),
        ground: Celsius(20.0),
        soil: 2.5,
        grouped: 1,
        material: Material::Copper,
        insulation: "pvc".to_owned(),
        minimum_mm2: 1.5,
        running: drop,
        starting: None,
        overload: OverloadDevice::Load,
        fault: None,
        behind_drive: false,
        leakage: false,
        fault_max: None,
        fault_min: None,
        x_over_r: None,
        paths,
        earthing: Some("TN-S".to_owned()),
        class_factor: 1.0,
    }
}

#[test]
fn currents_at_the_terminals_follow_from_the_point_of_the_board() {
    for case in cases() {
        let (basis, feeders) = (case.basis(), case.feeders());
        let tree = Tree::of(&basis, &[], None);
        let group = motors(case.group_i_n_a, case.group_k_start);
        let with = [Motors::default(), group, Motors::default()];
        let ask = ask(&tree, &basis, "iec", &feeders, &with);
        let solved = faults::of(&ask);
        let point = faults::point(&ask, 1, &solved.levels[1], &Voltage::default(), Volts(0.0));
        let most = solved.levels[1]
            .largest_to_earth
            .map_or(0.0, |largest_to_earth| largest_to_earth.0 / 1000.0)
            .max(case.ik3_max_board_with_group_ka);
        case.kiloamperes("point", point.fault_max, most);
        case.kiloamperes("point", point.peak, case.ip_max_board_with_group_ka);
        case.kiloamperes("point", point.fault_min, case.ik2_min_board_ka.min(case.ik1_min_board_ka));
        // A motor of another rated voltage changes no fault current.
        let demand = run(point.paths, case.lv_v * 0.95);
        let (cable, record) = (case.motor_cable(), &mut Record::new());
        let behind = demand.largest_source(case.c_max, record).expect("a path");
        let largest = demand.largest_fault(case.c_max, behind, cable.cold, record);
        case.kiloamperes("terminals, group", Some(largest), case.ik3_max_motor_with_group_ka);
        let behind = demand.least_source(case.c_min, record).expect("a path");
        let between = demand.between_conductors(case.c_min, behind, cable.hot, record);
        case.kiloamperes("terminals, two phases", Some(between), case.ik2_min_motor_ka);
        let path = demand.least_loop(case.c_min, record).expect("a loop") + cable.hot_loop.expect("a loop");
        let earth = fault::of_loop(record, case.c_min, demand.fault_to_earth(), path);
        case.kiloamperes("terminals, to earth", Some(earth), case.ik1_min_motor_ka);
    }
}

/// Rows of the cases of conductors in conduit that have a transformer.
#[derive(Deserialize)]
struct ConduitCase {
    case_id: String,
    v_line_v: f64,
    n_parallel: f64,
    length_ft: f64,
    r_ohm_per_kft: f64,
    x_ohm_per_kft: f64,
    i_sc_secondary_a: Option<f64>,
    trafo_kva: Option<f64>,
    trafo_z_pct: Option<f64>,
    trafo_x_over_r: Option<f64>,
    utility_sc_mva: Option<f64>,
    utility_x_over_r: Option<f64>,
    i_sc_end_exact_a: Option<f64>,
}

#[test]
fn conductors_in_conduit_agree_with_the_exact_sum() {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(include_str!("network/nec-conductors.csv").as_bytes());
    let mut compared = 0;
    for case in reader.deserialize::<ConduitCase>().map(|case| case.expect("it parses")) {
        let (Some(kva), Some(pct), Some(ratio)) = (case.trafo_kva, case.trafo_z_pct, case.trafo_x_over_r) else { continue };
        let mut basis = Basis::default();
        basis.supply.voltage_v = Some(case.v_line_v);
        (basis.supply.upstream_fault_mva, basis.supply.upstream_x_over_r) = (case.utility_sc_mva, case.utility_x_over_r);
        // The load loss that gives X/R: P = z S / √(1 + (X/R)²).
        let load_loss_kw = Some(pct / 100.0 * kva / (1.0 + ratio * ratio).sqrt());
        basis.transformers.push(TransformerBasis {
            to: Some("main".to_owned()),
            kva: Some(kva),
            impedance_pct: Some(pct),
            load_loss_kw,
            ..TransformerBasis::default()
        });
        basis.boards = vec![board("main", None), board("end", Some("main"))].into();
        let cold =
            Impedance { r: Ohms(case.r_ohm_per_kft), x: Ohms(case.x_ohm_per_kft) } * (case.length_ft / 1000.0 / case.n_parallel);
        let feeder = FeederImpedance { cold, running: cold, hot: cold, ..FeederImpedance::default() };
        let solved = solve(&basis, "nec", &[None, Some(feeder)], &[Motors::default(); 2]);
        for (level, expected) in solved.levels.iter().zip([case.i_sc_secondary_a, case.i_sc_end_exact_a]) {
            let (value, expected) = (level.three_phase.expect("a current").0, expected.expect("it stands beside"));
            assert!((value - expected).abs() <= 1e-5 * expected, "{}: {value} against {expected}", case.case_id);
        }
        compared += 1;
    }
    assert!(compared >= 50, "{compared}");
}

/// Public fault-level table for oil transformers behind 500 MVA (undated): it adds reactances alone, at the no-load voltage.
#[test]
fn a_published_table_of_fault_levels_behind_transformers_agrees() {
    for (kva, pct, kiloamperes) in [(1000.0, 6.0, 22.2), (400.0, 4.0, 13.5)] {
        let mut basis = Basis::default();
        basis.supply.voltage_v = Some(420.0);
        (basis.supply.upstream_fault_mva, basis.supply.upstream_x_over_r) = (Some(500.0), Some(200.0));
        (basis.supply.transformer_kva, basis.supply.transformer_impedance_pct) = (Some(kva), Some(pct));
        basis.supply.x_over_r = Some(200.0);
        basis.boards = vec![board("main", None)].into();
        let level = solve(&basis, "nec", &[None], &[Motors::default()]).levels[0];
        let value = level.three_phase.expect("a current").0 / 1000.0;
        assert!((value - kiloamperes).abs() <= 0.01 * kiloamperes, "{kva} kVA: {value} against {kiloamperes}");
    }
}

/// Low-voltage example of IEC TR 60909-4, from memory: 20 kV network with 10 kA, transformer 630 kVA, 20/0.41 kV, 4 %, 6.5 kW,
/// tolerance 6 %: ZQt = 0.534 mΩ, ZT = 10.673 mΩ, RT = 2.753 mΩ, KT = 0.975.
#[test]
fn the_elements_of_the_example_of_the_standard_agree() {
    let mut basis = Basis::default();
    basis.supply.voltage_v = Some(20_000.0);
    basis.supply.earthing = Some("TN-S".to_owned());
    basis.supply.voltage_tolerance_pct = Some(6.0);
    // S = √3 × 20 kV × 10 kA.
    basis.supply.upstream_fault_mva = Some(3f64.sqrt() * 20.0 * 10.0);
    basis.transformers.push(TransformerBasis {
        to: Some("main".to_owned()),
        kva: Some(630.0),
        impedance_pct: Some(4.0),
        load_loss_kw: Some(6.5),
        secondary_voltage_v: Some(410.0),
        ..TransformerBasis::default()
    });
    basis.boards = vec![BoardBasis { voltage_v: Some(400.0), ..board("main", None) }].into();
    let solved = solve(&basis, "iec", &[None], &[Motors::default()]);
    let step = |quantity: &str| {
        let step = solved.records[0].steps().iter().find(|step| step.formula.quantity == quantity);
        step.unwrap_or_else(|| panic!("no step {quantity}")).result
    };
    let referred = step("impedance of the network") * (410.0f64 / 20_000.0).powi(2);
    for (value, expected) in [
        (referred * 1000.0, 0.534),
        (step("impedance of the transformer") * 1000.0, 10.673),
        (step("resistance of the transformer") * 1000.0, 2.753),
        (step("correction of the transformer's impedance"), 0.975),
    ] {
        assert!((value - expected).abs() <= 0.001 * expected, "{value} against {expected}");
    }
    // By hand, c U / (√3 |ZQt + KT ZT|) at 400 V: ZQt = 0.0531 + j0.5311 and KT ZT = 2.684 + j10.054 mΩ give 10.934 mΩ, so 22.18 kA.
    let value = solved.levels[0].three_phase.expect("a current").0;
    assert!((value - 22_178.0).abs() < 30.0, "{value}");
}

/// A main board behind a transformer, two boards on it and one behind the second.
#[derive(Clone, Debug)]
struct Network {
    mva: f64,
    kva: f64,
    pct: f64,
    loss_share: f64,
    ratio: f64,
    lengths: [f64; 3],
    motors: [f64; 4],
}

impl Network {
    fn levels(&self, book: &str) -> Vec<FaultLevel> {
        let mut basis = Basis::default();
        basis.supply.voltage_v = Some(400.0);
        basis.supply.earthing = Some("TN-S".to_owned());
        basis.supply.system = Some("480Y/277 4W solidly grounded".to_owned());
        (basis.supply.upstream_fault_mva, basis.supply.upstream_x_over_r) = (Some(self.mva), Some(self.ratio));
        basis.transformers.push(TransformerBasis {
            to: Some("main".to_owned()),
            kva: Some(self.kva),
            impedance_pct: Some(self.pct),
            load_loss_kw: Some(self.kva * self.pct / 100.0 * self.loss_share),
            ..TransformerBasis::default()
        });
        basis.boards =
            vec![board("main", None), board("A", Some("main")), board("B", Some("main")), board("C", Some("B"))].into();
        let feeder = |length: f64| Some(cable(0.193, 0.387, 0.08, length, 1.0, 160.0));
        let feeders = [None, feeder(self.lengths[0]), feeder(self.lengths[1]), feeder(self.lengths[2])];
        let motors = self.motors.map(|rated| motors(rated, 6.5));
        solve(&basis, book, &feeders, &motors).levels
    }
}

fn network() -> impl Strategy<Value = Network> {
    let lengths = [0.0..300.0f64, 0.0..300.0, 0.0..300.0];
    let motors = [0.0..400.0f64, 0.0..400.0, 0.0..400.0, 0.0..400.0];
    (50.0..1000.0f64, 100.0..2500.0f64, 3.0..7.0f64, 0.05..0.4f64, 1.0..20.0f64, lengths, motors).prop_map(
        |(mva, kva, pct, loss_share, ratio, lengths, motors)| Network { mva, kva, pct, loss_share, ratio, lengths, motors },
    )
}

type Current = fn(&FaultLevel) -> Option<Amperes>;

/// No current of the second is below that of the first, but for a share.
fn never_below(first: &[FaultLevel], second: &[FaultLevel], of: Current, share: f64) -> Result<(), TestCaseError> {
    for (first, second) in first.iter().zip(second) {
        let (first, second) = (of(first).expect("a current").0, of(second).expect("a current").0);
        prop_assert!(second >= first * (1.0 - share), "{second} after {first}");
    }
    Ok(())
}

/// Less than a rounding.
const EXACTLY: f64 = 1e-9;
/// By which a sum of phasors may fall though one of them grows: far below the tolerance of their data.
const A_LITTLE: f64 = 0.02;

/// The currents of the sources with those that motors add as phasors: a current that grows may turn away from the others, so that the sum
/// falls by a little.
const CURRENTS: [(Current, f64); 4] = [
    (|level| level.without_motors, EXACTLY),
    (|level| level.smallest, EXACTLY),
    (|level| level.largest, A_LITTLE),
    (|level| level.largest_to_earth, A_LITTLE),
];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_stiffer_source_never_lowers_a_fault_current(network in network(), more in 1.0..10.0f64) {
        for book in ["iec", "nec"] {
            let stiffer = Network { mva: network.mva * more, ..network.clone() };
            for (of, share) in CURRENTS {
                never_below(&network.levels(book), &stiffer.levels(book), of, share)?;
            }
        }
    }

    #[test]
    fn a_longer_feeder_never_raises_a_fault_current(network in network(), which in 0..3usize, more in 0.0..200.0f64) {
        for book in ["iec", "nec"] {
            let mut longer = network.clone();
            longer.lengths[which] += more;
            for (of, share) in CURRENTS {
                never_below(&longer.levels(book), &network.levels(book), of, share)?;
            }
        }
    }

    #[test]
    fn more_motors_never_lower_the_largest_and_never_change_the_smallest(network in network(), which in 0..4usize, more in 0.0..300.0f64) {
        for book in ["iec", "nec"] {
            let mut fuller = network.clone();
            fuller.motors[which] += more;
            let (before, after) = (network.levels(book), fuller.levels(book));
            never_below(&before, &after, |level| level.largest, A_LITTLE)?;
            let same = |one: &FaultLevel, other: &FaultLevel| one.smallest == other.smallest && one.without_motors == other.without_motors;
            prop_assert!(before.iter().zip(&after).all(|(one, other)| same(one, other)));
        }
    }
}

fn generator(kva: f64) -> SourceBasis {
    SourceBasis {
        name: Some("G1".to_owned()),
        kind: Some("generator".to_owned()),
        kva: Some(kva),
        subtransient_reactance_pct: Some(12.0),
        sustained_current_ratio: Some(3.0),
    }
}

/// By hand, 500 kVA at 400 V: rated current 721.7 A. Sustained 3 × 721.7 = 2165 A three-phase, √3/2 of it between phases: 1875 A.
/// Largest: KG = 1.1/(1 + 0.12 × 0.6) = 1.02612; X = 0.12 × 0.32 Ω × KG = 0.039403 Ω; 1.1 × 230.94/0.039403 = 6447 A.
#[test]
fn a_generator_gives_its_subtransient_and_its_sustained_current() {
    let mut basis = Basis::default();
    basis.supply.voltage_v = Some(400.0);
    basis.supply.earthing = Some("TN-S".to_owned());
    basis.sources.push(generator(500.0));
    basis.boards = vec![board("main", Some("G1"))].into();
    // A generator feeds from no voltage of its own: the board states it.
    basis.boards[0].voltage_v = Some(400.0);
    let level = solve(&basis, "iec", &[None], &[Motors::default()]).levels[0];
    assert!((level.largest.expect("a current").0 - 6447.0).abs() < 2.0, "{level:?}");
    assert!((level.smallest.expect("a current").0 - 1875.0).abs() < 2.0, "{level:?}");
}

#[test]
fn of_several_sources_the_strongest_gives_the_largest_and_the_weakest_the_smallest() {
    let mut basis = Basis::default();
    basis.supply.voltage_v = Some(400.0);
    basis.supply.earthing = Some("TN-S".to_owned());
    basis.supply.upstream_fault_mva = Some(300.0);
    (basis.supply.transformer_kva, basis.supply.transformer_impedance_pct, basis.supply.x_over_r) =
        (Some(1000.0), Some(6.0), Some(5.0));
    basis.boards = vec![board("main", None), board("MCC", Some("main"))].into();
    let feeders = [None, Some(cable(0.193, 0.387, 0.08, 50.0, 1.0, 160.0))];
    let of = |basis: &Basis| solve(basis, "iec", &feeders, &[Motors::default(); 2]).levels;
    let network = of(&basis);
    basis.sources.push(generator(500.0));
    let both = of(&basis);
    let mut alone = basis.clone();
    alone.supply =
        motorwright::basis::SupplyBasis { voltage_v: Some(400.0), earthing: Some("TN-S".to_owned()), ..Default::default() };
    alone.boards[0].fed_from = Some("G1".to_owned());
    alone.boards[0].voltage_v = Some(400.0);
    let generator = of(&alone);
    for index in 0..2 {
        assert_eq!(both[index].largest, network[index].largest);
        assert_eq!(both[index].smallest, generator[index].smallest);
        assert!(generator[index].largest < network[index].largest && generator[index].smallest < network[index].smallest);
    }
    // Where the board names it after the supply, the same holds.
    basis.boards[0].fed_from = Some("supply, G1".to_owned());
    assert_eq!(of(&basis), both);
}

/// IEC 60909-0 admits leaving out motors whose rated currents together are at most 1 % of the fault current: 225 A in case SC006, of
/// 22.52 kA. They still add 6 times that, so no use is made of it; else a stiffer source would give a smaller current.
#[test]
fn few_motors_count_too() {
    let case = cases().into_iter().find(|case| case.case_id == "SC006").expect("it is there");
    let (basis, feeders) = (case.basis(), case.feeders());
    let tree = Tree::of(&basis, &[], None);
    for book in ["iec", "nec"] {
        let with = [motors(224.0, 6.0), Motors::default(), Motors::default()];
        let convention = of_key(book).fault_convention(Some(6.0));
        let ask = Ask { convention, ..ask(&tree, &basis, book, &feeders, &with) };
        let level = faults::of(&ask).levels[0];
        assert!(level.three_phase.expect("a current").0 > 1.04 * level.without_motors.expect("a current").0, "{book}");
    }
}
