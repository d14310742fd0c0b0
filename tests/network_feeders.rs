//! Feeders and transformers through the public interface: published figures, and what stands behind a transformer.

use motorwright::basis::Basis;
use motorwright::catalogue;
use motorwright::design::{Circuit, Protection};
use motorwright::finding::Place;
use motorwright::load::{LoadKind, ProtectionKind};
use motorwright::network::connected::{Connected, Running};
use motorwright::network::demand::Demand;
use motorwright::network::feeders::device::FeederDevice;
use motorwright::network::feeders::items::{self, Counted};
use motorwright::network::feeders::selectivity::{against_chosen, bounds_of_chosen, findings, pairs};
use motorwright::network::feeders::transformer::{Demanded, TransformerAsk, look};
use motorwright::network::feeders::{Boards, Origin, choose};
use motorwright::network::tree::{Node, Parent, Tree};
use motorwright::quantity::{Amperes, Vars, Volts, Watts};
use motorwright::record::Record;
use motorwright::rules;
use motorwright::rules::feeders::{Discrimination, FeederTerm};
use motorwright::rules::units::Units;
use motorwright::sizing::Tools;

fn tools<'a>(basis: &'a Basis, book: &str) -> Tools<'a> {
    Tools { basis, book: rules::book(book, None).expect("a book"), catalogue: catalogue::builtin(book) }
}

/// Where the basis of these tests would state the transformer.
static PLACE: std::sync::LazyLock<Place> = std::sync::LazyLock::new(|| Place::file("basis.toml"));

/// The demands on a transformer that feeds one board.
fn ask(kva: f64, primary: Option<f64>, secondary: f64, demand: f64, kind: ProtectionKind) -> TransformerAsk<'static> {
    let demanded = Demanded { phases: 3, voltage: Volts(secondary), current: Amperes(demand) };
    let demands: &'static [Demanded] = vec![demanded].leak();
    TransformerAsk {
        name: "T1",
        phases: 3,
        rating_kva: Some(kva),
        primary: primary.map(Volts),
        secondary: Volts(secondary),
        demands,
        devices: None,
        kind,
        place: &PLACE,
    }
}

/// Electrical installation guide (public edition), short-circuit at transformer terminals: 400 kVA at 420 V have 550 A; worked example of
/// a cable calculation, circuit C1: 630 kVA at 420 V have 866 A.
#[test]
fn rated_currents_of_transformers_as_published() {
    let basis = Basis::default();
    let tools = tools(&basis, "iec");
    for (kva, amperes) in [(400.0, 550.0), (630.0, 866.0)] {
        let transformer = look(&ask(kva, None, 420.0, 100.0, ProtectionKind::MouldedCase), &tools);
        let rated = transformer.rated[1].expect("a current").0;
        assert!((rated - amperes).abs() < 0.001 * amperes, "{kva} kVA: {rated}");
        assert_eq!(transformer.rated[0], None, "the voltage of its primary is unknown");
    }
}

/// NFPA 70 Table 450.3(B), protection on both sides: 75 kVA, 480 V to 208 V: 90.2 A x 250 % = 225.5 A, rounded down 225 A; 208.2 A x
/// 125 % = 260.2 A, next size up 300 A (Note 1).
#[test]
fn transformers_are_protected_by_table_450_3_b() {
    let basis = Basis::default();
    let tools = tools(&basis, "nec");
    let transformer = look(&ask(75.0, Some(480.0), 208.0, 180.0, ProtectionKind::InverseTime), &tools);
    let protection = transformer.protection.expect("protection");
    assert_eq!((protection.primary, protection.secondary), (Some(Amperes(225.0)), Some(Amperes(300.0))));
    // 180 A x 208 V x 1.732 = 64.85 kVA, 86.5 % of 75 kVA.
    assert!((transformer.demand_kva - 64.85).abs() < 0.01);
    assert!(transformer.loading_pct.is_some_and(|loading| (loading - 86.46).abs() < 0.01));
    assert!(transformer.checks.iter().all(|check| check.passed == Some(true)));
}

/// NFPA 70 450.3: Table 450.3(B) is that of transformers of 1000 V and less, Table 450.3(A) of those above, where a primary of 13.8 kV is
/// protected at 300 % by a circuit-breaker or 600 % by its impedance, and never at 250 %. 1000 kVA at 13.8 kV are 41.8 A.
#[test]
fn a_transformer_above_1000_v_is_not_protected_by_table_450_3_b() {
    let basis = Basis::default();
    let tools = tools(&basis, "nec");
    let of = |primary: Option<f64>| look(&ask(1000.0, primary, 480.0, 900.0, ProtectionKind::InverseTime), &tools);
    let high = of(Some(13_800.0));
    assert!(high.rated[0].is_some_and(|rated| (rated.0 - 41.84).abs() < 0.01));
    let protection = high.protection.expect("a word on its protection");
    assert_eq!((protection.primary, protection.secondary, protection.reference), (None, None, "NFPA 70, 450.3(A)"));
    let said = high.findings.iter().find(|finding| finding.code == "B321").expect("it is said");
    assert!(said.what.contains("450.3(A)") && said.what.contains("not worked out"), "{}", said.what);
    // At the end of the table it still holds; a primary of unknown voltage gets no figure, and no table's name.
    let low = of(Some(1000.0));
    assert!(low.protection.is_some_and(|protection| protection.primary.is_some() && protection.reference.contains("450.3(B)")));
    let unknown = of(None).protection.expect("the secondary's");
    // 125 % of 1202.8 A are 1503.5 A, next standard rating 1600 A: the same in both tables.
    assert_eq!((unknown.primary, unknown.secondary), (None, Some(Amperes(1600.0))));
    assert!(!unknown.reference.contains("(B)") && !unknown.reference.contains("(A)"), "{}", unknown.reference);
}

#[test]
fn an_overloaded_transformer_is_a_finding_and_an_unknown_one_is_not_checked() {
    let basis = Basis::default();
    let tools = tools(&basis, "iec");
    // 1000 A x 400 V x 1.732 = 692.8 kVA on 630 kVA.
    let over = look(&ask(630.0, Some(10_000.0), 400.0, 1000.0, ProtectionKind::MouldedCase), &tools);
    assert_eq!(over.checks[0].passed, Some(false));
    assert!(
        over.findings.iter().any(|finding| finding.code == "B304" && finding.what.contains("692.8 kVA")),
        "{:?}",
        over.findings
    );
    let unknown = TransformerAsk { rating_kva: None, ..ask(0.0, None, 400.0, 1000.0, ProtectionKind::MouldedCase) };
    let transformer = look(&unknown, &tools);
    assert_eq!((transformer.checks[0].passed, transformer.loading_pct, transformer.protection), (None, None, None));
}

fn node(name: &str, volts: f64, parent: Parent, transformer: Option<usize>, children: Vec<usize>) -> Node {
    Node {
        name: name.to_owned(),
        board: None,
        parent,
        transformer,
        voltage: Volts(volts),
        phases: 3,
        system: None,
        earthing: None,
        children,
        alternatives: Vec::new(),
        feeder: matches!(parent, Parent::Board(_)),
        depth: 0,
    }
}

fn row(tag: &str, node: usize, term: FeederTerm) -> Connected {
    Connected {
        tag: tag.to_owned(),
        place: Place::file("loads.csv"),
        node,
        row: 0,
        kind: LoadKind::Motor,
        number: 1,
        running: Running::Duty,
        group: None,
        duty_count: None,
        standby_count: None,
        interlock_with: Vec::new(),
        demand_factor: None,
        continuous: true,
        phases: 3,
        neutral: false,
        with_neutral: false,
        coils_to_neutral: false,
        phase: None,
        voltage: Volts(208.0),
        current: term.current,
        power_factor: 0.85,
        power_factor_assumed: false,
        input: Watts(0.0),
        reactive: Vars(0.0),
        tags: Vec::new(),
        unsized_row: false,
        nonlinear: false,
        feeds_fault: None,
        starting: None,
        kind_in_doubt: false,
        term: Some(term),
    }
}

fn motor(current: f64, device: f64) -> FeederTerm {
    FeederTerm {
        current: Amperes(current),
        motor: true,
        branch: Some(Amperes(device)),
        as_feeder: Some(Amperes(device)),
        ..FeederTerm::default()
    }
}

/// Behind a transformer of 480 V to 240 V a motor counts with half its current: 40 A x 1.25 at 480 V, with 20 A of 40 A at 240 V.
#[test]
fn loads_behind_a_transformer_are_referred_to_the_feeder() {
    let basis = Basis::default();
    let tools = tools(&basis, "nec");
    let tree = Tree {
        nodes: vec![node("A", 480.0, Parent::Supply, None, vec![1]), node("B", 240.0, Parent::Board(0), Some(0), Vec::new())],
        ..Tree::default()
    };
    let rows = [row("P-1", 0, motor(40.0, 100.0)), row("P-2", 1, motor(40.0, 100.0))];
    let demand = |amperes: f64| Demand { demand: Amperes(amperes), ..Demand::default() };
    let demands = [demand(60.0), demand(40.0)];
    let counted = [Counted::default(); 2];
    let boards = Boards {
        tree: &tree,
        rows: &rows,
        counted: &counted,
        sets: &[],
        connections: &[],
        demands: &demands,
        basis_file: Some("basis.toml"),
    };
    let feeders = choose(&boards, &tools, |_, _| Origin::default());
    assert!((feeders[0].minimum.0 - 70.0).abs() < 1e-9, "{:?}", feeders[0].minimum);
    assert!((feeders[1].minimum.0 - 50.0).abs() < 1e-9, "{:?}", feeders[1].minimum);
    // 100 A and 20 A: 120 A, rounded down.
    assert_eq!(feeders[0].protection_maximum, Some(Amperes(110.0)));
    assert!(feeders[1].findings.iter().any(|finding| finding.code == "B311" && finding.reference.contains("240.21(C)")));
    // The devices that were chosen: 80 A for P-1, 60 A (30 A referred) for P-2: 80 + 20 = 100 A.
    let items = items::of(&boards, &items::by_board(&boards), 0, &tools);
    let chosen = |row: usize| Some(Amperes(if row == 0 { 80.0 } else { 60.0 }));
    let record = &mut Record::new();
    let bounds = bounds_of_chosen(&items, ProtectionKind::InverseTime, feeders[0].minimum, chosen, tools.book, record);
    assert_eq!(bounds.most, Some(Amperes(100.0)));
    let device = feeders[0].device.clone().expect("a device");
    assert!(against_chosen("A", &device, &bounds).is_some_and(|finding| finding.code == "B314"));
}

fn circuit(tag: &str, kind: &str, rating: f64, magnetic: Option<(f64, f64)>) -> Circuit {
    let protection = Protection {
        kind: kind.to_owned(),
        rating_a: rating,
        magnetic_min_a: magnetic.map(|magnetic| magnetic.0),
        magnetic_max_a: magnetic.map(|magnetic| magnetic.1),
        ..Protection::default()
    };
    Circuit { tag: tag.to_owned(), protection: Some(protection), ..Circuit::default() }
}

/// A breaker of 250 A whose release holds to 2000 A before motor breakers of 63 A and 16 A; the fault at the board is 15 kA. gG 160 A
/// before gG 100 A (1.6 : 1) and 125 A.
#[test]
fn discrimination_is_told_by_its_reach() {
    let book = rules::book("iec", None).expect("a book");
    let before = FeederDevice {
        kind: "moulded-case",
        rating: Amperes(250.0),
        magnetic: Some([2500.0, 2000.0, 3000.0]),
        ..FeederDevice::default()
    };
    let (large, small) = (
        circuit("P-1", "motor-breaker", 63.0, Some((655.0, 983.0))),
        circuit("P-2", "motor-breaker", 16.0, Some((166.0, 250.0))),
    );
    let found = pairs(&before, &[&large, &small], Some(Amperes(15_000.0)), book);
    assert!(found.iter().all(|pair| pair.reach == Discrimination::Partial(Amperes(2000.0))), "{found:?}");
    let said = findings("B", &found, Units::Metric);
    assert_eq!(said.len(), 1);
    assert!(said[0].code == "B312" && said[0].what.contains("partial discrimination up to 2 kA"), "{}", said[0].what);
    assert!(pairs(&before, &[&large], Some(Amperes(1800.0)), book)[0].reach == Discrimination::Total);

    let fuse = FeederDevice { kind: "gG", rating: Amperes(160.0), ..FeederDevice::default() };
    let (near, far) = (circuit("P-3", "gG", 100.0, None), circuit("P-4", "gG", 125.0, None));
    let found = pairs(&fuse, &[&near, &far], None, book);
    assert_eq!(found.iter().map(|pair| pair.reach).collect::<Vec<_>>(), [Discrimination::Total, Discrimination::None]);
    let said: Vec<String> = findings("B", &found, Units::Metric).into_iter().map(|finding| finding.code).collect();
    assert_eq!(said, ["B313", "B312"]);

    let unknown = pairs(&before, &[&large], None, rules::book("nec", None).expect("a book"));
    assert_eq!(unknown[0].reach, Discrimination::Unknown);
    // The NEC speaks of selective coordination (Article 100); discrimination is the term of IEC 60947.
    let said = &findings("B", &unknown, Units::Customary)[0];
    assert!(said.what.ends_with("selective coordination unknown") && !said.cure.contains("discrimination"), "{said:?}");
}

/// S = U I: 84.25 A on 240 V are 20.2 kVA of a single-phase transformer of 25 kVA, 81 %, whose windings have 25 000 / 480 = 52.1 A and
/// 25 000 / 240 = 104.2 A. NFPA 70, Table 450.3(B): 250 % of 52.1 A, rounded down, 125 A; 125 % of 104.2 A, next size up, 150 A. With the
/// root of three it was called overloaded, and devices were held to 70 and 80 A.
#[test]
fn a_single_phase_transformer_is_worked_out_without_the_root_of_three() {
    let basis = Basis::default();
    let tools = tools(&basis, "nec");
    let demands = [Demanded { phases: 1, voltage: Volts(240.0), current: Amperes(84.25) }];
    let three = ask(25.0, Some(480.0), 240.0, 84.25, ProtectionKind::InverseTime);
    let transformer = look(&TransformerAsk { phases: 1, demands: &demands, ..three }, &tools);
    let near = |value: Option<f64>, expected: f64| {
        assert!((value.expect("a figure") - expected).abs() < 0.05, "{value:?} against {expected}")
    };
    near(transformer.loading_pct, 80.9);
    near(transformer.rated[0].map(|rated| rated.0), 52.1);
    near(transformer.rated[1].map(|rated| rated.0), 104.2);
    let limit = transformer.protection.expect("limits");
    assert_eq!((limit.primary, limit.secondary), (Some(Amperes(125.0)), Some(Amperes(150.0))));
}
