//! Heat and width of boards. Expected values are worked out by hand from the figures of the built-in catalogue.

use crate::basis::{Basis, BoardBasis};
use crate::boards::of_circuits;
use crate::catalogue::{self, Catalogue};
use crate::design::{Board, Circuit, DeviceLoss};
use crate::load::Load;
use crate::network::Network;
use crate::rules;
use crate::sizing::Tools;
use crate::sizing::testing::{basis, row, size_with};

type Cells = Vec<(&'static str, &'static str)>;

fn board_in(rows: &[Cells], basis: &Basis, catalogue: &Catalogue) -> (Vec<Circuit>, Board) {
    let loads: Vec<Load> = rows.iter().map(|cells| row(cells)).collect();
    let mut circuits: Vec<Circuit> = loads.iter().map(|load| size_with(load, basis).0).collect();
    let book = rules::book(basis.rules.book.as_deref().unwrap_or("iec"), None).expect("the book is there");
    let tools = Tools { basis, book, catalogue };
    let network = Network::of(&loads, &tools, None);
    let mut boards = of_circuits(&mut circuits, &network, &tools).boards;
    assert_eq!(boards.len(), 1);
    (circuits, boards.remove(0))
}

fn board_of(rows: &[Cells], basis: &Basis) -> Board {
    board_in(rows, basis, catalogue::builtin("iec")).1
}

/// A pump of 4 kW and 7 A, started direct, but for what is given.
fn pump(tag: &'static str, more: &[(&'static str, &'static str)]) -> Cells {
    let cells = [
        ("tag", tag),
        ("board", "MCC-1"),
        ("rated_power_kw", "4"),
        ("full_load_current_a", "7"),
        ("locked_rotor_ratio", "6"),
        ("start_time_s", "2"),
        ("starting_method", "direct"),
        ("cable_length_m", "20"),
    ];
    let kept = cells.into_iter().filter(|(name, _)| more.iter().all(|(given, _)| given != name));
    kept.chain(more.iter().copied()).collect()
}

fn with_board(board: BoardBasis) -> Basis {
    let mut basis = basis();
    basis.boards = vec![BoardBasis { name: Some("MCC-1".to_owned()), ..board }].into();
    basis
}

fn loss<'a>(board: &'a Board, tag: &str, device: &str) -> &'a DeviceLoss {
    let found = board.losses.iter().find(|loss| loss.tag == tag && loss.device == device);
    found.unwrap_or_else(|| panic!("{device} of {tag}: {:?}", board.losses))
}

/// Each contactor GEN-C1-8: coil 4.5 VA x 0.3 = 1.35 W; at 7 of 8 A 1.35 + (2.7 - 1.35) 49/64 = 2.384 W. Each breaker GEN-MB16-10:
/// 6 W (7/10)² = 2.94 W. Control transformer 160 VA 11 W, fuse-links 2 x 0.66 + 0.63 = 1.95 W.
/// 2 (2.384 + 2.94) + 11 + 1.95 = 23.597 W, with 30 % for wiring 30.68 W. A third pump stands by and adds nothing.
#[test]
fn heat_follows_the_current_and_the_coil_stays() {
    let rows = [pump("P-1", &[("quantity", "2")])];
    let board = board_of(&rows, &basis());
    assert!((loss(&board, "P-1", "contactor, main").loss_w - 2.384).abs() < 1e-3);
    assert!((loss(&board, "P-1", "protective device").loss_w - 2.94).abs() < 1e-3);
    assert!((loss(&board, "", "control transformer").loss_w - 11.0).abs() < 1e-9);
    assert!((board.power_loss_w - 30.7).abs() < 0.05, "{}", board.power_loss_w);
    assert!(board.working.iter().any(|step| step.quantity.starts_with("heat of the board")));
    let group = ("duty_group", "G");
    let rows = [pump("P-1", &[("quantity", "2"), group]), pump("P-2", &[("running", "standby"), group])];
    let standing_by = board_of(&rows, &basis());
    assert!((standing_by.power_loss_w - board.power_loss_w).abs() < 1e-9);
    assert!(standing_by.width_mm > board.width_mm && standing_by.ways == 3);
    let two_of_three = board_of(&[pump("P-1", &[("quantity", "3"), ("duty_count", "2")])], &basis());
    assert!((loss(&two_of_three, "P-1", "contactor, main").quantity - 2.0).abs() < 1e-9);
}

/// At 8 of 8 A the contactor gives off 2.7 W and the breaker 6 W (8/10)² = 3.84 W: 6.54 W against the 2.384 + 2.94 = 5.324 W of the pump
/// of 7 A. The warmer of the two counts, whichever stands by; without a group both may run.
#[test]
fn of_a_group_the_warmer_circuit_counts() {
    let (duty, standby) = (("running", "duty"), ("running", "standby"));
    let group = [("duty_group", "G"), ("duty_count", "1")];
    let of = |[one, other]: [(&'static str, &'static str); 2], group: &[(&'static str, &'static str)]| {
        let cool = pump("P-1", &[&[one], group].concat());
        let warm = pump("P-2", &[&[other, ("full_load_current_a", "8")], group].concat());
        board_of(&[cool, warm], &basis())
    };
    for running in [[duty, standby], [standby, duty], [duty, duty]] {
        let board = of(running, &group);
        assert!(board.losses.iter().all(|loss| loss.tag != "P-1"), "{:?}", board.losses);
        assert!((loss(&board, "P-2", "contactor, main").loss_w - 2.7).abs() < 1e-3);
        assert!((loss(&board, "P-2", "protective device").loss_w - 3.84).abs() < 1e-3);
    }
    let both = of([duty, standby], &[]);
    assert!(both.losses.iter().any(|loss| loss.tag == "P-1") && both.losses.iter().any(|loss| loss.tag == "P-2"));
}

/// Two pumps of 7 A behind a feeder: its breaker GEN-MCD-16S stands in the board that feeds them, 100 mm wide, and gives off
/// 8.4 W (14/16)² = 6.43 W there.
#[test]
fn the_device_of_a_feeder_stands_where_it_begins() {
    let feeder = |named: &str, from: Option<&str>| BoardBasis {
        name: Some(named.to_owned()),
        fed_from: from.map(str::to_owned),
        feeder_length_m: from.map(|_| 20.0),
        ..BoardBasis::default()
    };
    let mut basis = basis();
    basis.boards = vec![feeder("MB", None), feeder("MCC-1", Some("MB"))].into();
    let loads = [row(&pump("P-1", &[("quantity", "2")]))];
    let mut circuits: Vec<Circuit> = loads.iter().map(|load| size_with(load, &basis).0).collect();
    let tools = Tools { basis: &basis, book: rules::book("iec", None).expect("a book"), catalogue: catalogue::builtin("iec") };
    let boards = of_circuits(&mut circuits, &Network::of(&loads, &tools, None), &tools).boards;
    let of = |name: &str| boards.iter().find(|board| board.name == name).expect("it is there");
    assert_eq!(of("MCC-1").feeder.part, "GEN-MCD-16S");
    assert!((loss(of("MB"), "MCC-1", "device of the feeder").loss_w - 6.431).abs() < 1e-3);
    assert_eq!((of("MB").devices_width_mm, of("MB").units, of("MB").ways), (100.0, 1, 0));
    assert!(of("MCC-1").losses.iter().all(|loss| loss.device != "device of the feeder"));
    // Before a transformer nobody chose the device: sums say that it is missing.
    let mut transformed = basis.clone();
    transformed.transformers = vec![crate::basis::TransformerBasis {
        name: Some("T-1".to_owned()),
        from: Some("MB".to_owned()),
        to: Some("MCC-1".to_owned()),
        kva: Some(50.0),
        impedance_pct: Some(4.0),
        secondary_voltage_v: Some(400.0),
        ..Default::default()
    }];
    let tools = Tools { basis: &transformed, ..tools };
    let boards = of_circuits(&mut circuits, &Network::of(&loads, &tools, None), &tools).boards;
    let main = boards.iter().find(|board| board.name == "MB").expect("it is there");
    assert!(main.losses.is_empty() && main.devices_width_mm == 0.0);
    for code in ["B601", "B602"] {
        assert!(
            main.findings.iter().any(|finding| finding.code == code && finding.what.contains("before transformer T-1")),
            "{code}"
        );
    }
}

/// Breaker above contactor, joined: 2 x 44 mm; control transformer 95 mm, three fuse bases of 18 mm: 237 mm. At 80 % fill 296.25 mm,
/// with 20 % spare 355.5 mm. Terminals 2 x (3 + 1) x 5 mm stand on a rail of their own.
#[test]
fn width_has_spare_and_free_space() {
    let rows = [pump("P-1", &[("quantity", "2")])];
    let board = board_of(&rows, &basis());
    let seen = (board.devices_width_mm, board.width_mm, board.terminals_width_mm, board.units, board.ways);
    assert_eq!(seen, (237.0, 296.3, 40.0, 8, 2));
    let spare = board_of(&rows, &with_board(BoardBasis { spare_pct: Some(20.0), ..BoardBasis::default() }));
    assert!((spare.width_mm - 355.5).abs() < 0.051, "{}", spare.width_mm);
}

/// 30.68 W in an enclosure for 40 W at 15 K: 11.5 K; one row of 320 mm holds 296 mm, and not 355.
#[test]
fn an_enclosure_is_held_against_heat_and_width() {
    let rows = [pump("P-1", &[("quantity", "2")])];
    let named = |spare| {
        with_board(BoardBasis { enclosure: Some("GEN-EN55-400X400".to_owned()), spare_pct: Some(spare), ..BoardBasis::default() })
    };
    let check = |board: &Board, name: &str| board.checks.iter().find(|check| check.name == name).and_then(|check| check.passed);
    let fitting = board_of(&rows, &named(0.0));
    assert_eq!((check(&fitting, "enclosure-heat"), check(&fitting, "enclosure-width")), (Some(true), Some(true)));
    assert_eq!((fitting.temperature_rise_k, fitting.rows), (Some(11.5), Some(1)));
    let tight = board_of(&rows, &named(20.0));
    assert_eq!(check(&tight, "enclosure-width"), Some(false));
    assert!(tight.findings.iter().any(|finding| finding.code == "B605") && tight.rows == Some(2));
    let hot = board_of(&rows, &with_board(BoardBasis { enclosure_dissipation_w: Some(25.0), ..BoardBasis::default() }));
    assert_eq!(check(&hot, "enclosure-heat"), Some(false));
    assert!(hot.findings.iter().any(|finding| finding.code == "B604"));
    let unknown = with_board(BoardBasis { enclosure: Some("X-1".to_owned()), ..BoardBasis::default() });
    let unknown = board_of(&rows, &unknown);
    assert!(unknown.findings.iter().any(|finding| finding.code == "B603") && unknown.enclosure_dissipation_w.is_none());
    assert!(board_of(&rows, &basis()).checks.iter().all(|check| !check.name.starts_with("enclosure")));
}

/// Line and delta of 30 kW in star-delta stay closed; each carries 55/√3 = 31.75 A. GEN-C3-50: coil 18 VA x 0.3 = 5.4 W, 15.9 W
/// at 50 A: 5.4 + 10.5 (31.75/50)² = 9.635 W. One of two directions is closed.
#[test]
fn contactors_that_are_open_while_running_are_cold() {
    let star = pump(
        "P-1",
        &[
            ("rated_power_kw", "30"),
            ("full_load_current_a", "55"),
            ("starting_method", "star-delta"),
            ("motor_voltages", "400/690"),
            ("protection_kind", "gG"),
        ],
    );
    let board = board_of(&[star, pump("P-2", &[("reversing", "yes")])], &basis());
    let contactors = |tag: &str| -> Vec<&str> {
        let loss = board.losses.iter().filter(|loss| loss.tag == tag);
        loss.filter_map(|loss| loss.device.strip_prefix("contactor, ")).collect()
    };
    assert_eq!(contactors("P-1"), ["line", "delta"]);
    assert_eq!(contactors("P-2").len(), 1);
    assert!((loss(&board, "P-1", "contactor, line").loss_w - 9.635).abs() < 2e-3);
    // Three links of GEN-FgG-63, 6.2 W each at 63 A: 6.2 (55/63)² = 4.725 W.
    let links = loss(&board, "P-1", "protective device");
    assert!((links.loss_w - 4.725).abs() < 2e-3 && (links.quantity - 3.0).abs() < 1e-9, "{links:?}");
}

/// GEN-SS-63 declares 189 W without bypass; with its bypass closed a tenth is left. A drive gives off what it declares.
#[test]
fn soft_starters_and_drives_count_as_they_declare() {
    let of = |method: &'static str| {
        board_of(
            &[pump("P-1", &[("rated_power_kw", "30"), ("full_load_current_a", "55"), ("starting_method", method)])],
            &basis(),
        )
    };
    let declared = |part: &str| {
        let catalogue = catalogue::builtin("iec");
        let soft =
            catalogue.soft_starters.iter().find(|soft_starter| soft_starter.part == part).map(|soft_starter| soft_starter.loss_w);
        soft.or(catalogue.drives.iter().find(|drive| drive.part == part).map(|drive| drive.loss_w)).expect("the part is there")
    };
    let soft = of("soft-starter");
    let soft = loss(&soft, "P-1", "soft starter");
    assert!((declared(&soft.part) - 189.0).abs() < 1e-9 && (soft.loss_w - 18.9).abs() < 1e-9, "{soft:?}");
    let drive = of("drive");
    let drive = loss(&drive, "P-1", "drive");
    assert!((drive.loss_w - declared(&drive.part)).abs() < 1e-9 && drive.loss_w > 100.0, "{drive:?}");
}

/// An autotransformer is no part of the catalogue: its width is said to be missing, and an enclosure is not passed without it.
#[test]
fn what_is_not_declared_is_said() {
    let auto = [pump("P-1", &[("starting_method", "autotransformer")])];
    let enclosed = with_board(BoardBasis { enclosure: Some("GEN-EN55-600X400".to_owned()), ..BoardBasis::default() });
    let board = board_of(&auto, &enclosed);
    let width = board.findings.iter().find(|finding| finding.code == "B602").expect("a note");
    assert!(width.what.contains("autotransformer of P-1"), "{}", width.what);
    let check = board.checks.iter().find(|check| check.name == "enclosure-width").expect("a check");
    assert_ne!(check.passed, Some(true), "{check:?}");
    let mut lacking = catalogue::builtin("iec").clone();
    lacking.motor_breakers.iter_mut().for_each(|breaker| {
        breaker.loss_w = 0.0;
        breaker.width_mm = 0.0;
    });
    let (_, board) = board_in(&[pump("P-1", &[])], &basis(), &lacking);
    for code in ["B601", "B602"] {
        assert!(
            board.findings.iter().any(|finding| finding.code == code && finding.what.contains("GEN-MB16-10 (P-1)")),
            "{code}"
        );
    }
    // A row that is not sized is missing from both.
    let nothing: Cells = vec![("tag", "P-9"), ("board", "MCC-1"), ("rated_power_kw", "4")];
    let board = board_of(&[nothing], &basis());
    assert!(
        ["B601", "B602"]
            .iter()
            .all(|code| board.findings.iter().any(|finding| finding.code == *code && finding.what.contains("P-9")))
    );
}

/// Devices in an enclosure of their own stand in no board.
#[test]
fn an_enclosure_of_its_own_takes_a_circuit_out_of_the_board() {
    let apart = board_of(&[pump("P-1", &[]), pump("P-2", &[("enclosure", "IP55")])], &basis());
    assert!(apart.losses.iter().all(|loss| loss.tag != "P-2"), "{:?}", apart.losses);
    assert_eq!(apart.ways, 2);
}

/// Under NFPA 70 each starter has its control transformer, and relays are electronic: neither falls with the current.
#[test]
fn control_transformers_of_starters_are_warm_in_the_board() {
    let mut nec = Basis::default();
    nec.rules.book = Some("nec".to_owned());
    nec.supply.voltage_v = Some(480.0);
    nec.supply.prospective_fault_ka = Some(22.0);
    nec.supply.prospective_fault_min_ka = Some(9.0);
    let motor: Cells = vec![
        ("tag", "P-1"),
        ("board", "MCC-1"),
        ("quantity", "2"),
        ("rated_power_hp", "10"),
        ("voltage_v", "460"),
        ("full_load_current_a", "13"),
        ("starting_method", "direct"),
        ("cable_length_ft", "60"),
    ];
    let (_, board) = board_in(&[motor], &nec, catalogue::builtin("nec"));
    assert!((loss(&board, "P-1", "control transformer").quantity - 2.0).abs() < 1e-9);
    let relay = loss(&board, "P-1", "overload relay");
    assert!((relay.loss_w - relay.declared_w).abs() < 1e-9);
    assert!(board.control_supply_va.abs() < 1e-9, "no supply of the board");
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(24))]
    /// More circuits, or a circuit more, never give off less or take less room.
    #[test]
    fn more_circuits_are_never_cooler_or_narrower(first in 1_u32..5, more in 0_u32..5, second in 0_usize..4) {
        let methods = ["direct", "star-delta", "soft-starter", "drive"];
        let of = |number: u32, both: bool| {
            let quantity: &'static str = Box::leak(number.to_string().into_boxed_str());
            let mut rows = vec![pump("P-1", &[("quantity", quantity)])];
            if both {
                rows.push(pump("P-2", &[("starting_method", methods[second]), ("motor_voltages", "400/690")]));
            }
            board_of(&rows, &basis())
        };
        let (one, other, both) = (of(first, false), of(first + more, false), of(first + more, true));
        for (less, more) in [(&one, &other), (&other, &both)] {
            proptest::prop_assert!(less.power_loss_w <= more.power_loss_w && less.width_mm <= more.width_mm);
            proptest::prop_assert!(less.units <= more.units && less.ways <= more.ways);
        }
    }
}
