use super::*;
use crate::basis::Basis;
use crate::catalogue;
use crate::rules;
use crate::sizing::testing::{basis, row};

/// A row through resolving; one that can't be sized is counted by what it states.
fn counted_in(cells: &[(&str, &str)], basis: &Basis) -> (Option<Connected>, Vec<Finding>) {
    let book = rules::book(basis.rules.book.as_deref().unwrap_or("iec"), None).expect("the book");
    let tools = Tools { basis, book, catalogue: catalogue::builtin(book.key()) };
    let load = row(cells);
    let case = resolve::resolve(&load, basis, book, &mut Record::silent());
    let currents =
        case.as_ref().and_then(|case| book.currents(&case.machine, &case.start, "nameplate", &load, &mut Record::silent()));
    let mut record = Record::new();
    let row = of(&load, case.as_ref().zip(currents.as_ref()), (3, 1), &tools, ProtectionKind::MouldedCase, &mut record);
    (row, record.into_parts().1)
}

fn counted(cells: &[(&str, &str)]) -> Connected {
    counted_in(cells, &basis()).0.expect("it counts")
}

fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{value} against {expected}");
}

const MOTOR: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "15"),
    ("efficiency_pct", "90"),
    ("power_factor", "0.8"),
    ("locked_rotor_ratio", "7"),
    ("starting_power_factor", "0.3"),
    ("cable_length_m", "20"),
];

fn motor(more: &[(&'static str, &'static str)]) -> Connected {
    counted(&[MOTOR, more].concat())
}

#[test]
fn a_motor_takes_its_power_over_its_efficiency() {
    let row = motor(&[("starting_method", "direct")]);
    // 15 kW / 0.9 = 16.667 kW; var = W · tan(arccos 0.8) = W · 0.75; A = W / (√3 · 400 · 0.8) = 30.07.
    near(row.input.0, 15_000.0 / 0.9);
    near(row.reactive.0, 15_000.0 / 0.9 * 0.75);
    near(row.current.0, 15_000.0 / 0.9 / (3f64.sqrt() * 400.0 * 0.8));
    let starting = row.starting.expect("it starts");
    near(starting.current.0, 7.0 * row.current.0);
    near(starting.power_factor, 0.3);
    assert_eq!((row.row, row.node, row.number, row.power_factor_assumed), (3, 1, 1, false));
    let (ratio, rated) = row.feeds_fault.expect("it feeds a fault");
    near(ratio, 7.0);
    near(rated.0, row.current.0);
}

// Star-delta draws a third in star, a soft starter its limit (circuit theory; definition of the limit).
#[rstest::rstest]
#[case::star_delta(&[("starting_method", "star-delta"), ("motor_voltages", "400/690")], 7.0 / 3.0)]
#[case::soft_starter(&[("starting_method", "soft-starter"), ("start_current_limit", "3.5")], 3.5)]
#[case::autotransformer(&[("starting_method", "autotransformer"), ("tap_pct", "65")], 7.0 * 0.65 * 0.65)]
fn a_start_is_that_of_its_method(#[case] cells: &[(&'static str, &'static str)], #[case] multiple: f64) {
    let row = motor(cells);
    near(row.starting.expect("it starts").current.0, multiple * row.current.0);
    assert!(row.feeds_fault.is_some());
}

#[test]
fn a_drive_counts_by_its_input_and_feeds_no_fault() {
    let row = motor(&[("starting_method", "drive"), ("drive_input_current_a", "31")]);
    near(row.current.0, 31.0);
    // Efficiency 0.96 and power factor 0.95 of the drive: load-practice.csv.
    near(row.input.0, 15_000.0 / 0.9 / 0.96);
    near(row.power_factor, 0.95);
    assert!(row.nonlinear && row.power_factor_assumed && row.starting.is_none() && row.feeds_fault.is_none());
    assert!(!row.start_unknown());
    let of_catalogue = motor(&[("starting_method", "drive")]);
    assert!(of_catalogue.current.0 >= 30.07 * 0.9, "{:?}", of_catalogue.current);
}

/// Over the bypass the motor starts and runs on the line: 7 times its rated current, and what any motor adds to a fault. 15 kW / (0.9 · √3
/// · 400 V · 0.8) = 30.07 A.
#[test]
fn a_drive_with_a_bypass_starts_and_feeds_a_fault_as_a_motor_on_the_line() {
    let rated = 15_000.0 / 0.9 / (3f64.sqrt() * 400.0 * 0.8);
    let around = motor(&[("starting_method", "drive"), ("drive_input_current_a", "31"), ("bypass", "yes")]);
    near(around.starting.expect("it starts").current.0, 7.0 * rated);
    let (ratio, adds) = around.feeds_fault.expect("it feeds a fault");
    near(ratio, 7.0);
    near(adds.0, rated);
    assert!(around.nonlinear);
}

/// The input of a drive that no row states is the one which the catalogue declares: `drives.csv` has 10 A of output with 12 A of
/// input, 16 A with 19.2 A. A stated input prevails.
#[test]
fn the_drive_of_the_catalogue_says_what_it_draws() {
    let of = |amperes: &'static str, more: &[(&'static str, &'static str)]| {
        let cells = [("starting_method", "drive"), ("rated_power_kw", "4"), ("full_load_current_a", amperes)];
        let base: Vec<_> = MOTOR.iter().copied().filter(|(name, _)| *name != "rated_power_kw").collect();
        counted(&[&base[..], &cells, more].concat()).current.0
    };
    near(of("9.2", &[]), 12.0);
    near(of("9.2", &[("drive_input_current_a", "10.5")]), 10.5);
    near(of("14", &[]), 19.2);
}

#[test]
fn of_a_starter_by_others_the_start_is_not_known() {
    let row = motor(&[("starting_method", "by-others")]);
    assert!(row.starting.is_none() && row.start_unknown() && row.feeds_fault.is_some());
}

#[test]
fn other_loads_count_by_what_they_take() {
    let heater = counted(&[("tag", "H-1"), ("load_kind", "heater"), ("rated_power_kw", "12")]);
    near(heater.input.0, 12_000.0);
    near(heater.reactive.0, 0.0);
    let transformer =
        counted(&[("tag", "T-1"), ("load_kind", "transformer"), ("rated_power_kva", "50"), ("power_factor", "0.9")]);
    near(transformer.input.0, 45_000.0);
    near(transformer.current.0, 50_000.0 / (3f64.sqrt() * 400.0));
    let capacitor = counted(&[("tag", "C-1"), ("load_kind", "capacitor"), ("reactive_power_kvar", "25")]);
    near(capacitor.reactive.0, -25_000.0);
    near(capacitor.input.0, 0.0);
    near(capacitor.drawn(Volts(400.0)).im, -25_000.0);
    for row in [heater, transformer, capacitor] {
        assert!(row.starting.is_none() && row.feeds_fault.is_none());
    }
}

#[test]
fn a_nameplate_current_alone_gives_a_power() {
    let row = counted(&[("tag", "P-1"), ("full_load_current_a", "20"), ("starting_method", "direct"), ("power_factor", "0.85")]);
    near(row.input.0, 3f64.sqrt() * 400.0 * 20.0 * 0.85);
    near(row.current.0, 20.0);
}

#[rstest::rstest]
#[case::quantity(&[("quantity", "4")], 4, 1.0)]
#[case::motors_behind_one_starter(&[("motors_per_starter", "3")], 1, 3.0)]
#[case::both(&[("quantity", "2"), ("motors_per_starter", "3")], 2, 3.0)]
fn equal_circuits_and_motors_behind_a_starter(
    #[case] cells: &[(&'static str, &'static str)],
    #[case] number: u32,
    #[case] motors: f64,
) {
    let one = motor(&[("starting_method", "direct")]);
    let row = motor(&[&[("starting_method", "direct")], cells].concat());
    assert_eq!(row.number, number);
    near(row.input.0, motors * one.input.0);
    near(row.current.0, motors * one.current.0);
    near(row.starting.expect("it starts").current.0, motors * 7.0 * one.current.0);
}

#[test]
fn a_row_that_can_not_be_sized_still_counts() {
    // Without a starting method the row is not sized.
    let (row, findings) = counted_in(MOTOR, &basis());
    let row = row.expect("it counts");
    assert!(row.unsized_row && row.starting.is_none() && findings.is_empty(), "{findings:?}");
    near(row.input.0, 15_000.0 / 0.9);
    // Nor above 1 kV.
    let high = counted(&[MOTOR, &[("starting_method", "direct"), ("voltage_v", "3300")]].concat());
    assert!(high.unsized_row);
    near(high.input.0, 15_000.0 / 0.9);
}

/// The missing figure decides which one a person has to enter: a row without a power is not helped by a voltage.
#[rstest::rstest]
#[case::nothing_is_known(
    &[("tag", "P-1"), ("starting_method", "direct")],
    true,
    "neither its power nor its current is known",
    "enter the nameplate current or the rated power, and the voltage"
)]
#[case::nothing_at_all_is_known(
    &[("tag", "P-1"), ("starting_method", "direct")],
    false,
    "neither its power nor its current is known",
    "enter the nameplate current or the rated power, and the voltage"
)]
#[case::no_voltage_anywhere(
    &[("tag", "P-1"), ("rated_power_kw", "4"), ("starting_method", "direct")],
    false,
    "its voltage is not known",
    "enter the voltage"
)]
#[case::a_current_at_no_voltage(
    &[("tag", "P-1"), ("full_load_current_a", "8"), ("starting_method", "direct")],
    false,
    "its voltage is not known",
    "enter the voltage"
)]
#[case::power_of_a_capacitor_in_kilowatts(
    &[("tag", "C-1"), ("load_kind", "capacitor"), ("rated_power_kw", "25"), ("starting_method", "contactor")],
    true,
    "its current can't be told from what its row states",
    "enter the nameplate current"
)]
fn what_can_not_be_counted_is_said(
    #[case] cells: &[(&str, &str)],
    #[case] voltage: bool,
    #[case] what: &str,
    #[case] cure: &str,
) {
    let basis = if voltage { basis() } else { Basis::default() };
    let (row, findings) = counted_in(cells, &basis);
    assert!(row.is_none());
    let [said] = findings.as_slice() else { panic!("{findings:?}") };
    assert_eq!((said.code.as_str(), said.cure.as_str()), ("B201", cure));
    assert!(said.what.ends_with(&format!(": {what}: it is missing in every sum of its board")), "{}", said.what);
    assert_eq!(said.why, "feeder, transformer and voltage drop come out too small by this load");
    assert!(said.place.as_ref().is_some_and(|place| place.row == Some(2)), "{:?}", said.place);
}

#[test]
fn a_book_that_counts_by_its_table_counts_so_here() {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(480.0);
    basis.supply.frequency_hz = Some(60.0);
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "10"),
        ("voltage_v", "460"),
        ("efficiency_pct", "91.7"),
        ("starting_method", "direct"),
    ];
    let row = counted_in(&cells, &basis).0.expect("it counts");
    // NFPA 70, Table 430.250: 10 hp at 460 V, 14 A; 745.7 W a horsepower.
    near(row.current.0, 14.0);
    assert!((row.input.0 - 7457.0 / 0.917).abs() < 1.0, "{:?}", row.input);
    assert!(row.starting.is_some_and(|starting| starting.current.0 > 5.0 * 14.0));
}

#[test]
fn a_row_says_when_it_runs() {
    let row = motor(&[
        ("starting_method", "direct"),
        ("running", "standby"),
        ("duty_group", " pumps "),
        ("duty_count", "2"),
        ("standby_count", "1"),
        ("interlock_with", "P-2, P-3; P-4"),
        ("demand_factor", "0.7"),
        ("duty", "S3 25%"),
    ]);
    assert_eq!(row.running, Running::Standby);
    assert_eq!((row.group.as_deref(), row.duty_count, row.standby_count), (Some("pumps"), Some(2), Some(1)));
    assert_eq!(row.interlock_with, ["P-2", "P-3", "P-4"]);
    assert_eq!((row.demand_factor, row.continuous), (Some(0.7), false));
    assert!(motor(&[("starting_method", "direct")]).continuous);
}

/// A current at low speed in the row of a motor of one speed is a slip, which its circuit does not heed either.
#[test]
fn one_speed_has_no_current_at_low_speed() {
    let of = |method| {
        let cells = [("full_load_current_a", "20"), ("full_load_current_low_a", "30"), ("starting_method", method)];
        motor(&cells).current
    };
    assert_eq!((of("direct"), of("two-speed-separate")), (Amperes(20.0), Amperes(30.0)));
}

/// Two motors of 20 A behind one starter ask as much of a feeder as they draw, under both books.
#[test]
fn every_motor_behind_a_starter_counts_on_feeders() {
    let cells = [("full_load_current_a", "20"), ("starting_method", "direct")];
    let (one, two) = (motor(&cells), motor(&[&cells[..], &[("motors_per_starter", "2"), ("quantity", "1")]].concat()));
    let current = |row: &Connected| row.term.map(|term| (term.current, term.starting));
    assert_eq!(current(&one), Some((Amperes(20.0), Amperes(140.0))));
    assert_eq!(current(&two), Some((Amperes(40.0), Amperes(280.0))));
}
