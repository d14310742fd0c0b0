//! Sums of boards, their voltages and the dip of the largest start, against cases that general-purpose network libraries worked out. Each
//! case brings its own ohms. Tolerances are those that the cases' makers state for the same model: 1e-6 for sums, a thousandth of a
//! percentage point for voltages and dips.

use std::collections::BTreeMap;
use std::sync::Arc;

use motorwright::basis::Basis;
use motorwright::catalogue;
use motorwright::load::{Entry, Field, Kind, Load, ProtectionKind, Value};
use motorwright::network::connected::{self, Connected};
use motorwright::network::demand;
use motorwright::network::phases;
use motorwright::network::together::Together;
use motorwright::network::tree::{Node, Parent, Tree};
use motorwright::network::voltages::{self, Feed, Grid, Link};
use motorwright::quantity::{Amperes, Impedance, Ohms, Vars, Volts, Watts};
use motorwright::record::Record;
use motorwright::rules;
use motorwright::rules::physics::load_flow::{Branch, Taken, solve};
use motorwright::rules::physics::phasor::Phasor;
use motorwright::sizing::{Tools, resolve};
use serde::Deserialize;

/// What a start of this line current takes at the nominal voltage.
fn start_power(amperes: f64, power_factor: f64, volts: f64) -> Phasor {
    Phasor::lagging(3f64.sqrt() * volts * amperes, power_factor)
}

fn rows<R: serde::de::DeserializeOwned>(name: &str) -> Vec<R> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/network").join(name);
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the cases are there");
    reader.deserialize().collect::<Result<_, _>>().expect("every case parses")
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    case_id: String,
    v_nom_v: f64,
    f_hz: f64,
    v_no_load_v: f64,
    v_hv_pu: f64,
    trafo_kva: f64,
    grid_r_ohm: f64,
    grid_x_ohm: f64,
    trafo_r_ohm: f64,
    trafo_x_ohm: f64,
    feeder_r_ohm: f64,
    feeder_x_ohm: f64,
    motor_cable_r_ohm: f64,
    motor_cable_x_ohm: f64,
    sum_p_kw: f64,
    sum_q_kvar: f64,
    sum_s_kva: f64,
    pf_total: f64,
    i_feeder_nominal_v_a: f64,
    sum_p_full_load_kw: f64,
    sum_q_full_load_kvar: f64,
    trafo_loading_nominal_pct: f64,
    i_feeder_power_flow_a: f64,
    v_board_all_running_pct: f64,
    v_largest_running_pct: f64,
    p_before_start_kw: f64,
    q_before_start_kvar: f64,
    v_board_before_start_pct: f64,
    v_board_during_start_pct: f64,
    v_motor_during_start_pct: f64,
    v_transformer_during_start_pct: f64,
    dip_board_pct_of_nominal: f64,
    dip_board_pct_of_before: f64,
    i_start_rated_a: f64,
    i_start_actual_a: f64,
    i_feeder_during_start_a: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Item {
    case_id: String,
    item: u32,
    kind: String,
    qty: u32,
    p_mech_kw: f64,
    eff: f64,
    pf: f64,
    load_factor: f64,
    is_largest: bool,
    k_start: Option<f64>,
    pf_start: Option<f64>,
    p_in_kw: f64,
    q_in_kvar: f64,
}

fn items() -> BTreeMap<String, Vec<Item>> {
    let mut found: BTreeMap<String, Vec<Item>> = BTreeMap::new();
    for item in rows::<Item>("board-loads-items.csv") {
        found.entry(item.case_id.clone()).or_default().push(item);
    }
    found
}

fn ohms(r: f64, x: f64) -> Impedance {
    Impedance { r: Ohms(r), x: Ohms(x) }
}

/// A row of a schedule.
fn row(cells: &[(&str, String)]) -> Load {
    let mut load = Load::new(Arc::default(), 0, 0);
    for (name, text) in cells {
        let field = Field::from_name(name).expect("a column");
        let value = match field.spec().kind {
            Kind::Tags => Value::Tags([text.as_str().into()].into()),
            Kind::Number(..) | Kind::Count(..) => Value::Number(text.parse().expect("a number")),
            Kind::Choice(choices) => Value::Choice(choices.iter().find(|(choice, _)| choice == text).expect("a choice").0),
            _ => Value::Text(text.as_str().into()),
        };
        load.set(field, Entry { value, column: 0, text: text.as_str().into() });
    }
    load
}

fn basis(case: &Case) -> Basis {
    let mut basis = Basis::default();
    basis.rules.book = Some("iec".to_owned());
    basis.supply.voltage_v = Some(case.v_nom_v);
    basis.supply.frequency_hz = Some(case.f_hz);
    basis
}

/// A line of a case as a row of a schedule, at its board.
fn connected(index: usize, item: &Item, basis: &Basis) -> Connected {
    let book = rules::book("iec", None).expect("the book");
    let tools = Tools { basis, book, catalogue: catalogue::builtin("iec") };
    let mut cells = vec![
        ("tag", format!("I-{}", item.item)),
        ("load_kind", item.kind.clone()),
        ("quantity", item.qty.to_string()),
        ("rated_power_kw", item.p_mech_kw.to_string()),
        ("efficiency_pct", (item.eff * 100.0).to_string()),
        ("power_factor", item.pf.to_string()),
    ];
    if item.kind == "motor" {
        cells.push(("starting_method", "direct".to_owned()));
    }
    cells.extend(item.k_start.map(|k_start| ("locked_rotor_ratio", k_start.to_string())));
    cells.extend(item.pf_start.map(|pf_start| ("starting_power_factor", pf_start.to_string())));
    let load = row(&cells);
    let record = &mut Record::new();
    let case = resolve::resolve(&load, basis, book, record).expect("it resolves");
    let currents = book.currents(&case.machine, &case.start, "nameplate", &load, record).expect("a current");
    connected::of(&load, Some((&case, &currents)), (index, 0), &tools, ProtectionKind::MouldedCase, record).expect("it counts")
}

/// The same at its duty point: power and current fall with the load, the start does not.
fn at_load(row: Connected, factor: f64) -> Connected {
    Connected {
        input: Watts(row.input.0 * factor),
        reactive: Vars(row.reactive.0 * factor),
        current: Amperes(row.current.0 * factor),
        ..row
    }
}

fn tree(voltage: f64) -> Tree {
    let node = Node {
        name: "board".to_owned(),
        board: None,
        parent: Parent::Supply,
        transformer: None,
        voltage: Volts(voltage),
        phases: 3,
        system: None,
        earthing: None,
        children: Vec::new(),
        alternatives: Vec::new(),
        feeder: false,
        depth: 0,
    };
    Tree { nodes: vec![node], findings: Vec::new() }
}

#[track_caller]
fn near(case: &Case, what: &str, value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{} {what}: {value} against {expected}", case.case_id);
}

fn relative(case: &Case, what: &str, value: f64, expected: f64) {
    near(case, what, value, expected, 1e-6 * expected.abs());
}

#[test]
fn sums_of_boards_agree_within_a_millionth() {
    let items = items();
    let cases: Vec<Case> = rows("board-loads.csv");
    assert_eq!((cases.len(), items.values().map(Vec::len).sum::<usize>()), (70, 556));
    for case in &cases {
        let basis = basis(case);
        let book = rules::book("iec", None).expect("the book");
        let full: Vec<Connected> =
            items[&case.case_id].iter().enumerate().map(|(index, item)| connected(index, item, &basis)).collect();
        let tree = tree(case.v_nom_v);
        let sums = |rows: &[Connected]| {
            let phases = phases::assign(&tree, rows);
            let demands = demand::of(&tree, rows, &Together::of(rows), &phases, &basis, book);
            demands.boards.into_iter().next().expect("a board")
        };
        let rated = sums(&full);
        relative(case, "connected", rated.connected.0 / 1000.0, case.sum_p_full_load_kw);
        relative(case, "reactive power at full load", rated.running_var / 1000.0, case.sum_q_full_load_kvar);
        let loads: Vec<Connected> =
            full.into_iter().zip(&items[&case.case_id]).map(|(row, item)| at_load(row, item.load_factor)).collect();
        for (row, item) in loads.iter().zip(&items[&case.case_id]) {
            let number = f64::from(row.number) / 1000.0;
            relative(case, "input", row.input.0 * number, item.p_in_kw);
            near(case, "reactive power", row.reactive.0 * number, item.q_in_kvar, 1e-6 * item.p_in_kw);
        }
        let demand = sums(&loads);
        relative(case, "active power", demand.running_w / 1000.0, case.sum_p_kw);
        relative(case, "reactive power", demand.running_var / 1000.0, case.sum_q_kvar);
        relative(case, "power factor", demand.power_factor.expect("it runs"), case.pf_total);
        relative(case, "current", demand.running.0, case.i_feeder_nominal_v_a);
        relative(case, "current of the demand", demand.demand.0, case.i_feeder_nominal_v_a);
        let apparent = 3f64.sqrt() * case.v_nom_v * demand.running.0 / 1000.0;
        relative(case, "apparent power", apparent, case.sum_s_kva);
        relative(case, "transformer loading", 100.0 * apparent / case.trafo_kva, case.trafo_loading_nominal_pct);
        let largest = &items[&case.case_id][rated.largest_motor.expect("motors")];
        let named = items[&case.case_id].iter().find(|item| item.is_largest).expect("a largest motor");
        assert_eq!((largest.kind.as_str(), largest.p_mech_kw), ("motor", named.p_mech_kw), "{}", case.case_id);
    }
}

/// Grid and transformer, feeder, cable of the largest motor, in the order of the current.
fn branches(case: &Case) -> [Branch; 3] {
    let branch = |before, impedance, ratio| Branch { before, voltage: Volts(case.v_nom_v), impedance, ratio };
    [
        branch(
            None,
            ohms(case.grid_r_ohm + case.trafo_r_ohm, case.grid_x_ohm + case.trafo_x_ohm),
            case.v_no_load_v / case.v_nom_v,
        ),
        branch(Some(0), ohms(case.feeder_r_ohm, case.feeder_x_ohm), 1.0),
        branch(Some(1), ohms(case.motor_cable_r_ohm, case.motor_cable_x_ohm), 1.0),
    ]
}

#[test]
fn the_load_flow_agrees_within_a_thousandth_of_a_point() {
    let items = items();
    for case in rows::<Case>("board-loads.csv") {
        let branches = branches(&case);
        let power = |item: &Item| Phasor::new(item.p_in_kw * 1000.0, item.q_in_kvar * 1000.0);
        let largest = items[&case.case_id].iter().find(|item| item.is_largest).expect("a largest motor");
        let others = Phasor::new(case.p_before_start_kw * 1000.0, case.q_before_start_kvar * 1000.0);
        let start = start_power(case.i_start_rated_a, largest.pf_start.expect("it starts"), case.v_nom_v);
        let at_board = Taken { power: others, ..Taken::default() };
        let state = |motor: Taken| solve(&branches, case.v_hv_pu, &[Taken::default(), at_board, motor]).expect("it holds");
        let running = state(Taken { power: power(largest), ..Taken::default() });
        near(&case, "running board", running.percent(1), case.v_board_all_running_pct, 1e-3);
        near(&case, "running motor", running.percent(2), case.v_largest_running_pct, 1e-3);
        relative(&case, "running current", running.current(&branches, 1).0, case.i_feeder_power_flow_a);
        let before = state(Taken::default());
        near(&case, "before", before.percent(1), case.v_board_before_start_pct, 1e-3);
        let during = state(Taken { at_nominal: start, ..Taken::default() });
        near(&case, "transformer", during.percent(0), case.v_transformer_during_start_pct, 1e-3);
        near(&case, "board", during.percent(1), case.v_board_during_start_pct, 1e-3);
        near(&case, "motor", during.percent(2), case.v_motor_during_start_pct, 1e-3);
        relative(&case, "starting current", during.current(&branches, 2).0, case.i_start_actual_a);
        relative(&case, "feeder while starting", during.current(&branches, 1).0, case.i_feeder_during_start_a);
        near(&case, "dip", before.percent(1) - during.percent(1), case.dip_board_pct_of_nominal, 1e-3);
        let of_before = 100.0 * (1.0 - during.percent(1) / before.percent(1));
        near(&case, "dip of before", of_before, case.dip_board_pct_of_before, 1e-3);
    }
}

#[test]
fn dips_of_boards_agree_within_a_thousandth_of_a_point() {
    let items = items();
    let mut compared = 0;
    for case in rows::<Case>("board-loads.csv") {
        let basis = basis(&case);
        let items_of_case = &items[&case.case_id];
        let loads: Vec<Connected> = items_of_case
            .iter()
            .enumerate()
            .map(|(index, item)| at_load(connected(index, item, &basis), item.load_factor))
            .collect();
        let tree = tree(case.v_nom_v);
        let (phases, together) = (phases::assign(&tree, &loads), Together::of(&loads));
        let link = Link {
            transformer: ohms(case.grid_r_ohm + case.trafo_r_ohm, case.grid_x_ohm + case.trafo_x_ohm),
            feeder: ohms(case.feeder_r_ohm, case.feeder_x_ohm),
            ratio: case.v_hv_pu * case.v_no_load_v / case.v_nom_v,
        };
        let grid = Grid {
            tree: &tree,
            rows: &loads,
            phases: &phases,
            together: &together,
            basis: &basis,
            links: &[Some(link)],
            stated: &[None],
        };
        let feed = Feed {
            name: "supply".to_owned(),
            parent: Parent::Supply,
            impedance: Some(Impedance::default()),
            voltage: Volts(case.v_nom_v),
        };
        let largest = items_of_case.iter().position(|item| item.is_largest);
        let cable = |_: usize| Some(ohms(case.motor_cable_r_ohm, case.motor_cable_x_ohm));
        let found = voltages::of(&grid, &feed, &[largest], &cable);
        let dip = found.dips[0].as_ref().expect("it starts");
        near(&case, "before", dip.before_pct, case.v_board_before_start_pct, 1e-3);
        near(&case, "during", dip.during_pct, case.v_board_during_start_pct, 1e-3);
        near(&case, "dip", dip.board_pct, case.dip_board_pct_of_nominal, 1e-3);
        let at_motor = case.v_board_before_start_pct - case.v_motor_during_start_pct;
        near(&case, "terminals", dip.terminals_pct.expect("the cable is known"), at_motor, 1e-3);
        compared += 1;
    }
    assert_eq!(compared, 70);
}

#[derive(Deserialize)]
struct DropCase {
    case_id: String,
    phases: u32,
    v_nom_v: f64,
    v_send_pu: f64,
    n_parallel: f64,
    length_m: f64,
    r_ohm_per_km: f64,
    x_ohm_per_km: f64,
    pf_run: f64,
    i_n_a: f64,
    k_start: f64,
    pf_start: f64,
    drop_start_const_impedance_pct: f64,
    drop_run_const_power_pct: Option<f64>,
    const_power_solvable: bool,
}

#[test]
fn one_cable_with_constant_power_agrees_and_what_can_not_be_carried_is_said() {
    let cases: Vec<DropCase> = rows("voltage-drop.csv");
    assert!(cases.len() >= 140 && cases.iter().any(|case| !case.const_power_solvable));
    for case in cases {
        // A loop of two wires is a phase of three with twice the impedance and √3 of the voltage between lines.
        let (legs, line) = if case.phases == 3 { (1.0, case.v_nom_v) } else { (2.0, case.v_nom_v * 3f64.sqrt()) };
        let cable = ohms(case.r_ohm_per_km, case.x_ohm_per_km) * (legs * case.length_m / 1000.0 / case.n_parallel);
        let branch = [Branch { before: None, voltage: Volts(line), impedance: cable, ratio: 1.0 }];
        let power = Phasor::lagging(3f64.sqrt() * line * case.i_n_a, case.pf_run);
        let running = solve(&branch, case.v_send_pu, &[Taken { power, ..Taken::default() }]);
        assert_eq!(running.is_some(), case.const_power_solvable, "{}", case.case_id);
        if let (Some(running), Some(expected)) = (running, case.drop_run_const_power_pct) {
            let drop = 100.0 * case.v_send_pu - running.percent(0);
            assert!((drop - expected).abs() <= 1e-4, "{}: {drop} against {expected}", case.case_id);
        }
        let at_nominal = start_power(case.i_n_a * case.k_start, case.pf_start, line);
        let starting = solve(&branch, case.v_send_pu, &[Taken { at_nominal, ..Taken::default() }]).expect("an impedance");
        let drop = 100.0 * case.v_send_pu - starting.percent(0);
        assert!((drop - case.drop_start_const_impedance_pct).abs() <= 1e-4, "{}: {drop}", case.case_id);
    }
}
