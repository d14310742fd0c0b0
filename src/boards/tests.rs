//! Boards of rows, for both books.

use super::of_circuits;
use crate::basis::Basis;
use crate::catalogue;
use crate::design::{Board, Circuit, Status};
use crate::network::Network;
use crate::rules;
use crate::sizing::Tools;
use crate::sizing::testing::{basis, row, size_with};

type Cells = Vec<(&'static str, &'static str)>;

/// Rows of one board, sized, with their board.
fn board_of(rows: &[Cells], basis: &Basis) -> (Vec<Circuit>, Board) {
    let mut circuits: Vec<Circuit> = rows.iter().map(|cells| size_with(&row(cells), basis).0).collect();
    let book = rules::book(basis.rules.book.as_deref().unwrap_or("iec"), None).expect("the book is there");
    let tools = Tools { basis, book, catalogue: catalogue::builtin(book.key()) };
    let mut boards = of_circuits(&mut circuits, &Network::default(), &tools).boards;
    assert_eq!(boards.len(), 1);
    (circuits, boards.remove(0))
}

fn pump(tag: &'static str, kw: &'static str, amperes: &'static str, more: &[(&'static str, &'static str)]) -> Cells {
    let cells = [
        ("tag", tag),
        ("board", "MCC-1"),
        ("rated_power_kw", kw),
        ("full_load_current_a", amperes),
        ("locked_rotor_ratio", "6"),
        ("start_time_s", "2"),
        ("starting_method", "direct"),
        ("cable_length_m", "20"),
    ];
    [&cells, more].concat()
}

/// Coils of frame 1: 30 VA at 0.8 and 4.5 VA at 0.3; of frame 3: 190 VA at 0.55 and 18 VA at 0.3 (the catalogue's figures).
/// Two small ones hold while the large one picks up: P = 9 x 0.3 + 190 x 0.55 = 107.2 W, Q = 9 x 0.954 + 190 x 0.835 = 167.3 var,
/// S = 198.7 VA; by magnitudes 199.
#[test]
fn the_largest_coil_picks_up_while_the_others_hold() {
    let rows = [pump("P-1", "4", "8", &[]), pump("P-2", "4", "8", &[]), pump("P-3", "30", "55", &[])];
    let (circuits, board) = board_of(&rows, &basis());
    let [supply] = board.control_supplies.as_slice() else { panic!("{:?}", board.control_supplies) };
    assert_eq!(
        (supply.kind.as_str(), supply.event_tag.as_str(), supply.event_method.as_str()),
        ("control-transformer", "P-3", "vector")
    );
    assert!((supply.event_va - 198.7).abs() < 0.3, "{}", supply.event_va);
    // 27 VA hold together, times 1.25.
    assert!((supply.continuous_va - 33.75).abs() < 0.01, "{}", supply.continuous_va);
    assert_eq!(supply.serves, ["P-1", "P-2", "P-3"]);
    assert!(supply.coil_voltage_pct.is_some_and(|pct| pct >= 85.0));
    for circuit in &circuits {
        let check = circuit.checks.iter().find(|check| check.name == "coil-voltage");
        assert_eq!(check.and_then(|check| check.passed), Some(true), "{}", circuit.tag);
    }
    assert!(board.checks.iter().all(|check| check.passed == Some(true)), "{:?}", board.checks);
    let sums = ["vector sum", "root of the squares", "arithmetic sum"];
    assert!(sums.iter().all(|sum| board.working.iter().any(|step| step.quantity.contains(sum))));
    assert!((board.control_supply_va - supply.rating_va.unwrap_or(0.0)).abs() < 1e-9);
}

/// A star-delta starter pulls its line and star contactor together (frames 1: twice 30 VA), then its timer 2 W behind the contact.
#[test]
fn line_and_star_contactor_pick_up_together() {
    let star = pump("P-1", "7.5", "14.5", &[("motor_voltages", "400/690")]);
    let star: Cells =
        star.into_iter().map(|cell| if cell.0 == "starting_method" { ("starting_method", "star-delta") } else { cell }).collect();
    let (circuits, board) = board_of(&[star], &basis());
    let control = circuits[0].control.as_ref().expect("a control circuit");
    assert!((control.pick_up_va - 60.0).abs() < 0.01, "{control:?}");
    // Line and delta hold; star and delta never do together.
    assert!((control.hold_va - 9.0).abs() < 0.01, "{control:?}");
    assert_eq!((control.commands, control.maintained), (1, false));
    assert!((board.control_supplies[0].event_va - 60.0).abs() < 0.01);
}

/// One starter may take its coil from line and neutral (IEC 60204-1, 9.1.1); with two a transformer is taken. A neutral that nobody
/// states is not there.
#[test]
fn coils_of_the_line_voltage_need_no_transformer_for_one_starter() {
    let mut with_neutral = basis();
    with_neutral.supply.system = Some("400/230 V 3L+N".to_owned());
    let kind = |rows: &[Cells], basis: &Basis| {
        let (_, board) = board_of(rows, basis);
        let said = board.findings.iter().any(|finding| finding.code == "C410");
        (board.control_supplies[0].kind.clone(), said)
    };
    let one = [pump("P-1", "4", "8", &[])];
    let two = [pump("P-1", "4", "8", &[]), pump("P-2", "4", "8", &[])];
    assert_eq!(kind(&one, &with_neutral), ("line".to_owned(), true));
    assert_eq!(kind(&two, &with_neutral), ("control-transformer".to_owned(), true));
    assert_eq!(kind(&one, &basis()), ("control-transformer".to_owned(), false));
    // Between lines no neutral is needed.
    let between = [pump("P-1", "4", "8", &[("control_voltage", "400 V AC")])];
    assert_eq!(kind(&between, &basis()), ("line".to_owned(), true));
}

/// Two coils of 3 W at 24 V: 0.25 A, times 1.2 is 0.3 A; direct current needs no transformer and has a supply of its own.
#[test]
fn direct_current_has_a_supply_of_its_own_beside_the_transformer() {
    let dc: &[(&'static str, &'static str)] = &[("control_voltage", "24 V DC"), ("driven_by", "plc-output")];
    let rows = [pump("P-1", "4", "8", dc), pump("P-2", "4", "8", dc), pump("P-3", "4", "8", &[])];
    let (_, board) = board_of(&rows, &basis());
    let kinds: Vec<&str> = board.control_supplies.iter().map(|supply| supply.kind.as_str()).collect();
    assert_eq!(kinds, ["direct-current-supply", "control-transformer"]);
    let check = board.checks.iter().find(|check| check.name == "control-supply-power").expect("a check");
    assert!((check.value.unwrap_or(0.0) - 0.3).abs() < 1e-9, "{check:?}");
    let device = board.control_supplies[0].secondary.as_ref().expect("a device behind the supply");
    assert!(device.rating_a <= 2.5, "not above the rated current of the supply: {device:?}");
}

/// A maintained contact far from nothing: thirty starters that close together after a failure of the supply.
#[test]
fn what_picks_up_together_when_the_supply_comes_back_is_said() {
    let rows = [pump("P-1", "30", "55", &[("quantity", "30"), ("driven_by", "relay")])];
    let (_, board) = board_of(&rows, &basis());
    let finding = board.findings.iter().find(|finding| finding.code == "C413").expect("a note");
    assert!(finding.what.starts_with("30 starters"), "{}", finding.what);
    let momentary = [pump("P-1", "30", "55", &[("quantity", "30"), ("driven_by", "pushbutton")])];
    assert!(board_of(&momentary, &basis()).1.findings.iter().all(|finding| finding.code != "C413"));
}

/// Coils of 60 W at 24 V take 2.5 A each while they pick up: what ten of them take together when the supply comes back is held against the
/// surge of the supply, which was chosen for one at a time.
#[test]
fn a_direct_current_supply_that_the_return_overloads_is_said() {
    let of = |number: &'static str| {
        let rows = [pump("P-1", "30", "55", &[("quantity", number), ("control_voltage", "24 V DC"), ("driven_by", "relay")])];
        let board = board_of(&rows, &basis()).1;
        let supply = board.control_supplies.first().expect("a supply").part.clone();
        let power_supply = crate::catalogue::builtin("iec")
            .power_supplies
            .iter()
            .find(|power_supply| power_supply.part == supply)
            .expect("of the range");
        let told = board.findings.iter().find(|finding| finding.code == "C413").map(|finding| finding.what.clone());
        (power_supply.surge_a, told)
    };
    assert_eq!(of("1").1, None);
    let (surge, told) = of("20");
    let told = told.expect("it is told");
    let words: Vec<&str> = told.split(' ').collect();
    let at = words.iter().position(|word| *word == "back:").expect("the figure stands behind it");
    assert!(words[at + 1].parse::<f64>().expect("a number") > surge, "{told}");
}

#[test]
fn starters_that_no_supply_holds_together_are_shared_out() {
    let rows: Vec<Cells> = ["A", "B", "C", "D"].map(|tag| pump(tag, "30", "55", &[("quantity", "60")])).to_vec();
    let (circuits, board) = board_of(&rows, &basis());
    assert!(board.control_supplies.len() > 1 && board.findings.iter().any(|finding| finding.code == "C414"));
    assert!(board.control_supplies.iter().all(|control_supply| !control_supply.part.is_empty()));
    let served: Vec<&String> = board.control_supplies.iter().flat_map(|supply| &supply.serves).collect();
    assert!(circuits.iter().all(|circuit| served.contains(&&circuit.tag) && circuit.status == Status::Sized));
}

/// Without a control transformer in the catalogue nothing is assumed: the coil voltage stays unchecked.
#[test]
fn a_control_voltage_without_a_transformer_leaves_circuits_undecided() {
    let mut basis = basis();
    basis.supply.voltage_v = Some(440.0);
    let (circuits, board) = board_of(&[pump("P-1", "4", "8", &[("voltage_v", "440")]), pump("P-2", "4", "8", &[])], &basis);
    assert!(board.findings.iter().any(|finding| finding.code == "C409"), "{:?}", board.findings);
    assert_eq!(circuits[0].status, Status::NeedsDecision);
    let check = circuits[0].checks.iter().find(|check| check.name == "coil-voltage").expect("a check");
    assert!(check.passed.is_none() && check.not_checked_because.is_some());
}

#[test]
fn each_board_of_the_schedule_is_there_once_with_what_feeds_it() {
    let mut basis = basis();
    basis.boards = vec![crate::basis::BoardBasis {
        name: Some("MCC-2".to_owned()),
        fed_from: Some("MCC-1".to_owned()),
        voltage_v: Some(230.0),
        ..Default::default()
    }]
    .into();
    let of = |tag, board| {
        let cells: Cells =
            pump(tag, "4", "8", &[]).into_iter().map(|cell| if cell.0 == "board" { ("board", board) } else { cell }).collect();
        size_with(&row(&cells), &basis).0
    };
    let mut circuits = vec![of("P-1", "MCC-2"), of("P-2", "MCC-1"), of("P-3", "MCC-2")];
    let book = rules::book("iec", None).expect("the book is there");
    let tools = Tools { basis: &basis, book, catalogue: catalogue::builtin("iec") };
    let boards = of_circuits(&mut circuits, &Network::default(), &tools).boards;
    let seen: Vec<(&str, Option<&str>, f64)> =
        boards.iter().map(|board| (board.name.as_str(), board.fed_from.as_deref(), board.voltage_v)).collect();
    assert_eq!(seen, [("MCC-2", Some("MCC-1"), 230.0), ("MCC-1", None, 400.0)]);
}

/// 15 kA at a board that is marked for 10 kA: the check fails, and a finding says so.
#[test]
fn a_board_below_its_fault_current_is_told() {
    let mut basis = basis();
    let load = row(&pump("P-1", "4", "8", &[]));
    let mut of = |rating: f64| {
        basis.boards = vec![crate::basis::BoardBasis {
            name: Some("MCC-1".to_owned()),
            prospective_fault_ka: Some(15.0),
            short_circuit_rating_ka: Some(rating),
            ..Default::default()
        }]
        .into();
        let tools =
            Tools { basis: &basis, book: rules::book("iec", None).expect("a book"), catalogue: catalogue::builtin("iec") };
        let network = Network::of(std::slice::from_ref(&load), &tools, None);
        let board = of_circuits(&mut [size_with(&load, &basis).0], &network, &tools).boards.remove(0);
        let passed = board.checks.iter().find(|check| check.name == "short-circuit-rating").and_then(|check| check.passed);
        (passed, board.findings.iter().any(|finding| finding.code == "B320"))
    };
    assert_eq!((of(10.0), of(20.0)), ((Some(false), true), (Some(true), false)));
}

/// Under NFPA 70 each starter has its transformer unless the basis says otherwise; direct current is the board's.
#[test]
fn the_book_says_where_the_supply_stands_unless_the_basis_does() {
    let mut nec = Basis::default();
    nec.rules.book = Some("nec".to_owned());
    nec.supply.voltage_v = Some(480.0);
    nec.supply.prospective_fault_ka = Some(22.0);
    nec.supply.prospective_fault_min_ka = Some(9.0);
    let motor: Cells = vec![
        ("tag", "P-1"),
        ("board", "MCC-1"),
        ("rated_power_hp", "10"),
        ("voltage_v", "460"),
        ("full_load_current_a", "13"),
        ("starting_method", "direct"),
        ("cable_length_ft", "60"),
    ];
    let (circuits, board) = board_of(std::slice::from_ref(&motor), &nec);
    let supply = circuits[0].control.as_ref().and_then(|control| control.supply.as_ref()).expect("a supply of the starter");
    assert_eq!((supply.kind.as_str(), supply.primary_v), ("control-transformer", 480.0));
    // 430.72(C)(4): at most 500 % of a primary current below 2 A.
    let primary = supply.primary.as_ref().expect("fuses before it");
    let rated = supply.rating_va.unwrap_or(0.0) / 480.0;
    assert!(rated < 2.0 && primary.rating_a <= 5.0 * rated && primary.quantity == 2, "{primary:?}");
    // 450.3(B): at most 167 % of a secondary current below 9 A.
    let secondary = supply.secondary.as_ref().expect("a fuse behind it");
    assert!(secondary.rating_a <= 1.67 * supply.rating_va.unwrap_or(0.0) / 120.0 && secondary.quantity == 1, "{secondary:?}");
    assert!(board.control_supplies.is_empty() && board.parts.is_empty());
    assert!(circuits[0].parts.iter().any(|part| part.part == supply.part));
    let mut shared = nec.clone();
    shared.control.supply = Some("per-board".to_owned());
    let (circuits, board) = board_of(&[motor], &shared);
    assert!(circuits[0].control.as_ref().is_some_and(|control| control.supply.is_none()));
    assert_eq!(board.control_supplies.len(), 1);
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(24))]
    /// More of the same, or a larger one, never gets a smaller transformer.
    #[test]
    fn more_coils_never_get_a_smaller_transformer(first in 1_u32..6, more in 0_u32..6, second in 0_usize..3) {
        let sizes = [("4", "8"), ("15", "29"), ("30", "55")];
        let of = |number: u32| {
            let quantity: &'static str = Box::leak(number.to_string().into_boxed_str());
            let (kw, amperes) = sizes[second];
            let rows = [pump("P-0", "4", "8", &[]), pump("P-1", kw, amperes, &[("quantity", quantity)])];
            let (_, board) = board_of(&rows, &basis());
            board.control_supplies[0].rating_va.unwrap_or(f64::INFINITY)
        };
        proptest::prop_assert!(of(first) <= of(first + more));
    }
}

/// IEC 60947-1, 6.1.2, and IEC 60269-1, 3.2: ratings of protective devices hold to 2000 m.
#[test]
fn devices_higher_up_than_their_ratings_hold_for_are_told() {
    let said = |altitude: f64| {
        let mut basis = basis();
        basis.design.altitude_m = Some(altitude);
        let (_, board) = board_of(&[pump("P-1", "30", "55", &[("protection_kind", "gG")])], &basis);
        board.findings.into_iter().find(|finding| finding.code == "B608").map(|finding| finding.what)
    };
    assert_eq!(said(2000.0), None);
    assert!(said(2100.0).is_some_and(|what| what.contains("2100 m") && what.contains("1 × gG")));
    assert!(said(6000.0).is_some(), "beyond the table too");
}

/// Each book gives its own clause: under the NEC equipment is used as it is listed (110.3(B)).
#[test]
fn thin_air_has_the_clause_of_the_book() {
    let clause = |book: &str| {
        let mut basis = basis();
        basis.design.altitude_m = Some(3000.0);
        basis.rules.book = Some(book.to_owned());
        let (_, board) = board_of(&[pump("P-1", "30", "55", &[])], &basis);
        board.findings.into_iter().find(|finding| finding.code == "B608").map(|finding| finding.reference)
    };
    assert!(clause("iec").is_some_and(|clause| clause.contains("60947-1")));
    assert!(clause("nec").is_some_and(|clause| clause.contains("110.3(B)") && !clause.contains("IEC")));
}

/// IEC 60947-1, 6.1.1, and IEC 60269-1, 3.1: air of at most 40 °C; IEC 60898-1, Table 7: tripping characteristic at 30 °C.
#[test]
fn devices_in_air_hotter_than_their_ratings_hold_for_are_told_once_for_a_board() {
    let said = |rows: &[Cells], room: Option<f64>, air: Option<f64>| {
        let mut basis = basis();
        basis.design.ambient_c = room;
        basis.supply.prospective_fault_ka = Some(6.0);
        basis.boards = vec![crate::basis::BoardBasis {
            name: Some("MCC-1".to_owned()),
            device_ambient_c: air,
            ..crate::basis::BoardBasis::default()
        }]
        .into();
        let (_, board) = board_of(rows, &basis);
        let told: Vec<_> =
            board.findings.into_iter().filter(|finding| finding.code == "B606" || finding.code == "B607").collect();
        assert!(told.len() <= 1, "{told:?}");
        told.into_iter().next().map(|finding| (finding.code, finding.what))
    };
    let motors = [pump("P-1", "4", "8", &[]), pump("P-2", "4", "8", &[]), pump("P-3", "30", "55", &[("protection_kind", "gG")])];
    assert_eq!(said(&motors, None, None), None, "a usual board has 40 °C");
    assert_eq!(said(&motors, Some(25.0), None), None, "15 K above the room");
    // A usual rise may pass 40 °C; a room that has them by itself does.
    assert_eq!(said(&motors, Some(30.0), None).map(|finding| finding.0).as_deref(), Some("B607"));
    assert_eq!(said(&motors, Some(45.0), None).map(|finding| finding.0).as_deref(), Some("B606"));
    assert_eq!(said(&motors, Some(30.0), Some(40.0)), None);
    let (code, what) = said(&motors, None, Some(50.0)).expect("hot air is told");
    assert_eq!(code, "B606");
    assert!(what.contains("is 50 °C") && what.contains("to 40 °C (1 × gG, 2 × "), "{what}");
    let heater: Cells = vec![
        ("tag", "H-1"),
        ("board", "MCC-1"),
        ("load_kind", "heater"),
        ("rated_power_kw", "6"),
        ("starting_method", "contactor"),
        ("protection_kind", "moulded-case"),
        ("cable_length_m", "20"),
    ];
    assert_eq!(said(std::slice::from_ref(&heater), None, Some(30.0)), None);
    let (code, what) = said(std::slice::from_ref(&heater), None, None).expect("warm air is told");
    assert_eq!(code, "B607");
    assert!(what.contains("to 30 °C (1 × circuit"), "{what}");
    assert_eq!(said(&[heater], None, Some(35.0)).map(|finding| finding.0).as_deref(), Some("B606"));
}
