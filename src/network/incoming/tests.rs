//! Devices at the head of one board: by hand, and by what must hold of any.

use proptest::prelude::*;

use super::*;
use crate::basis::{Basis, BoardBasis};
use crate::catalogue;
use crate::network::connected::Connected;
use crate::network::feeders::items::Counted;
use crate::network::testing;
use crate::network::tree::{Node, Parent, Tree};
use crate::quantity::{Seconds, Volts, fits};
use crate::rules;
use crate::rules::feeders::FeederTerm;
use crate::rules::incoming::IncomingNeutral;

/// A board behind another, whose feeder has this device, with motors of these currents and seven times as much at standstill.
#[derive(Clone)]
struct Head {
    book: &'static str,
    word: &'static str,
    motors: Vec<f64>,
    /// Current of a motor that stalls, over its rated current.
    stall: f64,
    before: Option<(&'static str, f64)>,
    /// Largest fault current and its peak, kA.
    fault: Option<(f64, f64)>,
    earthing: Option<&'static str>,
    board: BoardBasis,
    /// A load between phase and neutral stands there too.
    neutral: bool,
    /// The first motor's place has a load of three phases with a neutral.
    three_phases_with_neutral: bool,
    /// Conductors of the feeder: mm², and how many in parallel.
    conductor: Option<(f64, u32)>,
}

impl Head {
    fn of(word: &'static str, motors: &[f64]) -> Self {
        Self {
            book: "iec",
            word,
            motors: motors.to_vec(),
            stall: 7.0,
            before: Some(("moulded-case", 160.0)),
            fault: Some((5.0, 8.0)),
            earthing: Some("TN-S"),
            board: BoardBasis::default(),
            neutral: false,
            three_phases_with_neutral: false,
            conductor: None,
        }
    }

    fn rows(&self) -> Vec<Connected> {
        let motor = |(index, amperes): (usize, &f64)| {
            let current = Amperes(*amperes);
            let term = FeederTerm {
                current,
                motor: true,
                starting: current * 7.0,
                start_time: Seconds(3.0),
                locked: current * 6.0,
                branch: Some(current * 2.0),
                as_feeder: Some(current * 2.0),
                ..FeederTerm::default()
            };
            let base = testing::motor(&format!("T{index}"), 1, 1.0, 0.85);
            let starting = base.starting.map(|start| crate::network::connected::Starting { current: current * 7.0, ..start });
            Connected { current, feeds_fault: Some((self.stall, current)), starting, term: Some(term), ..base }
        };
        let mut rows: Vec<Connected> = self.motors.iter().enumerate().map(motor).collect();
        rows.iter_mut().take(1).for_each(|row| row.with_neutral = self.three_phases_with_neutral);
        if self.neutral {
            let term = FeederTerm { current: Amperes(5.0), continuous: true, ..FeederTerm::default() };
            rows.push(Connected { term: Some(term), ..testing::single("H", 1, 1.0, true) });
        }
        rows
    }

    fn chosen(&self) -> Incoming {
        let mut basis = Basis::default();
        basis.rules.book = Some(self.book.to_owned());
        let board = BoardBasis {
            name: Some("B".to_owned()),
            fed_from: self.before.map(|_| "M".to_owned()),
            incoming: Some(self.word.to_owned()),
            ..self.board.clone()
        };
        basis.boards = vec![BoardBasis { name: Some("M".to_owned()), ..BoardBasis::default() }, board].into();
        let volts = if self.book == "iec" { 400.0 } else { 480.0 };
        let node = |name: &str, board: usize, parent: Parent, children: Vec<usize>| Node {
            board: Some(board),
            voltage: Volts(volts),
            system: Some("480Y/277 4W solidly grounded".to_owned()),
            earthing: self.earthing.map(str::to_owned),
            children,
            ..testing::board(name, parent)
        };
        let (parent, children) = if self.before.is_some() { (Parent::Board(0), vec![1]) } else { (Parent::Supply, Vec::new()) };
        let nodes = vec![node("M", 0, Parent::Supply, children), node("B", 1, parent, Vec::new())];
        let tree = Tree { nodes, ..Tree::default() };
        let rows = self.rows();
        let counted = vec![Counted::default(); rows.len()];
        let sum: f64 = rows.iter().map(|row| row.current.0).sum();
        let largest = (0..self.motors.len()).reduce(|a, b| if self.motors[a] >= self.motors[b] { a } else { b });
        let demand = Demand { demand: Amperes(sum), running: Amperes(sum), largest_start: largest, ..Demand::default() };
        let demands = [Demand::default(), demand];
        let boards = Boards {
            tree: &tree,
            rows: &rows,
            counted: &counted,
            sets: &[],
            connections: &[],
            demands: &demands,
            basis_file: None,
        };
        let device = self.before.map(|(kind, rating)| FeederDevice { kind, rating: Amperes(rating), ..FeederDevice::default() });
        let run = |(phase_area_mm2, per_phase)| crate::design::Run { phase_area_mm2, per_phase, ..crate::design::Run::default() };
        let feeders = [Feeder::default(), Feeder { device, run: self.conductor.map(run), ..Feeder::default() }];
        let level = self.fault.map_or_else(FaultLevel::default, |(fault, peak)| FaultLevel {
            largest: Some(Amperes(fault * 1000.0)),
            peak: Some(Amperes(peak * 1000.0)),
            ..FaultLevel::default()
        });
        let tools = Tools {
            basis: &basis,
            book: rules::book(self.book, None).expect("a book"),
            catalogue: catalogue::builtin(self.book),
        };
        choose(&boards, &feeders, &[FaultLevel::default(), level], &tools).remove(1).expect("one is asked for")
    }
}

fn codes_of(incoming: &Incoming) -> Vec<&str> {
    incoming.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn value(incoming: &Incoming, name: &str) -> Option<(f64, f64)> {
    incoming.checks.iter().find(|check| check.name == name).and_then(|check| check.value.zip(check.limit))
}

/// IEC 60204-1, 5.3.3: 60, 30 and 10 A run, 100 A; the largest stalled draws 420 A: 460 A, which 8 times 100 A breaks. Behind 160 A the
/// switch is one of 160 A (IEC 60364-5-53, 536.4.3), which withstands 6 kA for a second and makes 10.2 kA of peak.
#[test]
fn a_switch_carries_what_the_device_before_it_lets_flow_and_breaks_the_stalled_motor() {
    let incoming = Head::of(SWITCH, &[60.0, 30.0, 10.0]).chosen();
    assert_eq!((incoming.part.as_str(), incoming.rating, incoming.category), ("GEN-SD3-160", Some(Amperes(160.0)), "AC-23A"));
    assert_eq!(value(&incoming, "device-before"), Some((160.0, 160.0)));
    assert_eq!(value(&incoming, "stalled-motor"), Some((460.0, 8.0 * 160.0)));
    assert_eq!(value(&incoming, "short-time-current"), Some((5.0, 6.0)));
    assert_eq!(value(&incoming, "making-capacity"), Some((8.0, 10.2)));
    assert!(incoming.checks.iter().all(|check| check.passed == Some(true) && check.subject == SUBJECT), "{:?}", incoming.checks);
    assert_eq!(codes_of(&incoming), ["R105"], "its categories are from memory");
    assert_eq!(incoming.working.iter().map(|working| working.value).collect::<Vec<_>>(), [460.0, 1280.0]);
}

/// A motor that is all of a board: 60 A run and 420 A stall, which a switch of 63 A breaks (504 A). At ten times its current it stalls with
/// 600 A: the switch is one of 80 A (640 A), though one of 63 A carries the load and stands what the device before it lets flow.
#[test]
fn a_switch_that_can_not_break_the_stalled_motor_is_not_chosen() {
    let head = Head { before: Some(("gG", 63.0)), fault: Some((2.0, 3.0)), ..Head::of(SWITCH, &[60.0]) };
    assert_eq!(head.chosen().part, "GEN-SD3-63");
    assert_eq!(value(&head.chosen(), "stalled-motor"), Some((420.0, 504.0)));
    let harder = Head { stall: 10.0, ..head }.chosen();
    assert_eq!((harder.part.as_str(), value(&harder, "stalled-motor")), ("GEN-SD3-80", Some((600.0, 640.0))));
}

/// Behind a gG fuse within what it is declared with the conditional current counts: 100 A, 40 kA at the board and a peak of 80 kA, which a
/// switch of 100 A does not withstand for a second (3.5 kA) but behind its fuse (50 kA). Behind a circuit-breaker it is one that does.
#[test]
fn behind_its_fuse_the_conditional_current_counts() {
    let fused = Head { before: Some(("gG", 100.0)), fault: Some((40.0, 80.0)), ..Head::of(SWITCH, &[60.0, 20.0]) };
    let incoming = fused.chosen();
    assert_eq!(incoming.part, "GEN-SD3-100");
    assert_eq!(value(&incoming, "conditional-short-circuit-current"), Some((40.0, 50.0)));
    assert!(value(&incoming, "short-time-current").is_none());
    let breaker = Head { before: Some(("moulded-case", 100.0)), ..fused.clone() }.chosen();
    assert_eq!(breaker.part, "GEN-SD3-1000", "50 kA for a second, 105 kA of peak");
    // So large a switch for 80 A is said, with what would spare it.
    let told = |incoming: &Incoming| {
        incoming.findings.iter().any(|finding| {
            finding.code == "B334"
                && finding.what.contains("1000 A for 80 A")
                && finding.cure.contains("protection_kind = \"gG\"")
        })
    };
    assert!(told(&breaker) && !told(&fused.chosen()), "{:?}", breaker.findings);
    // A larger fuse than it is declared with proves nothing.
    let larger = Head { before: Some(("gG", 125.0)), ..fused }.chosen();
    assert_eq!(larger.part, "GEN-SD3-125");
}

#[test]
fn what_is_unknown_stays_open_and_is_told() {
    let incoming = Head { before: None, fault: None, ..Head::of(SWITCH, &[60.0, 30.0]) }.chosen();
    assert_eq!(incoming.part, "GEN-SD3-100", "it carries 90 A");
    let open: Vec<&str> =
        incoming.checks.iter().filter(|check| check.passed.is_none()).map(|check| check.name.as_str()).collect();
    assert_eq!(open, ["device-before", "short-time-current"]);
    assert!(codes_of(&incoming).contains(&"B332"));
    let none = Head::of(NONE, &[60.0]).chosen();
    assert_eq!((none.part.as_str(), codes_of(&none)), ("", vec!["B335"]));
    let empty = Head::of(SWITCH, &[]).chosen();
    assert_eq!((empty.part.as_str(), codes_of(&empty)), ("", vec!["B331"]));
    let beyond = Head::of(SWITCH, &[900.0, 900.0]).chosen();
    assert!(beyond.part.is_empty() && codes_of(&beyond).contains(&"B331"), "{:?}", beyond.findings);
}

/// IEC 60364-4-46, 461.2: in TT the neutral is parted with the phases; where nobody states the earthing it is, and a finding says so.
#[test]
fn the_neutral_is_parted_where_it_may_be_live() {
    let of = |earthing| Head { earthing, neutral: true, ..Head::of(SWITCH, &[60.0, 30.0]) }.chosen();
    assert_eq!((of(Some("TN-S")).part.as_str(), of(Some("TN-S")).poles.neutral), ("GEN-SD3-160", IncomingNeutral::Linked));
    assert_eq!((of(Some("TT")).part.as_str(), of(Some("TT")).poles.neutral), ("GEN-SD4-160", IncomingNeutral::Switched));
    assert!(!codes_of(&of(Some("TT"))).contains(&"B333"));
    let unstated = of(None);
    assert_eq!(unstated.part, "GEN-SD4-160");
    assert!(codes_of(&unstated).contains(&"B333"));
    // A load of three phases with a neutral brings that to its board too.
    let mut three = Head { earthing: Some("TT"), ..Head::of(SWITCH, &[60.0, 30.0]) };
    assert_eq!(three.chosen().poles.poles, 3);
    three.three_phases_with_neutral = true;
    assert_eq!(three.chosen().part, "GEN-SD4-160");
    // The catalogue's circuit-breakers have three poles: none stands before a neutral that must be parted.
    let breaker = Head { earthing: Some("IT"), neutral: true, ..Head::of(BREAKER, &[60.0, 30.0]) }.chosen();
    assert!(breaker.part.is_empty() && codes_of(&breaker).contains(&"B331"), "{:?}", breaker.findings);
}

/// A switch of 160 A clamps one conductor of 10 to 95 mm²; what does not fit is told and changes nothing that was chosen.
#[test]
fn the_conductors_of_the_feeder_are_held_against_the_terminals() {
    let of = |conductor| Head { conductor: Some(conductor), ..Head::of(SWITCH, &[60.0, 30.0, 10.0]) }.chosen();
    let terminals =
        |incoming: &Incoming| incoming.checks.iter().find(|check| check.name.starts_with("terminals")).map(|check| check.passed);
    for (conductor, passed, code) in [
        ((70.0, 1), Some(true), None),
        ((120.0, 1), Some(false), Some("B336")),
        ((6.0, 1), Some(false), Some("B336")),
        ((70.0, 2), None, Some("B332")),
    ] {
        let incoming = of(conductor);
        assert_eq!(incoming.part, "GEN-SD3-160");
        assert_eq!(terminals(&incoming), Some(passed), "{conductor:?}");
        let told: Vec<&str> = codes_of(&incoming).into_iter().filter(|codes| *codes != "R105").collect();
        assert_eq!(told, code.into_iter().collect::<Vec<_>>(), "{conductor:?}");
    }
    assert_eq!(terminals(&Head::of(SWITCH, &[60.0]).chosen()), None);
}

/// 100 A ask for a circuit-breaker of 100 A; 40 kA at the bars for one that breaks 70 kA; bars of 80 A admit none.
#[test]
fn a_circuit_breaker_carries_the_load_and_breaks_the_fault_at_the_bars() {
    let head = Head::of(BREAKER, &[60.0, 30.0, 10.0]);
    assert_eq!(head.chosen().part, "GEN-MCD-100S");
    assert!(codes_of(&head.chosen()).contains(&"B334"), "its lock is nobody's data");
    assert_eq!(Head { fault: Some((40.0, 80.0)), ..head.clone() }.chosen().part, "GEN-MCD-100H");
    let spare = Head { board: BoardBasis { spare_pct: Some(20.0), ..BoardBasis::default() }, ..head.clone() };
    assert_eq!(spare.chosen().part, "GEN-MCD-125S", "120 A");
    let bars =
        |amperes| Head { board: BoardBasis { bus_rating_a: Some(amperes), ..BoardBasis::default() }, ..head.clone() }.chosen();
    assert_eq!(bars(100.0).part, "GEN-MCD-100S");
    let thin = bars(80.0);
    assert!(thin.part.is_empty() && codes_of(&thin).contains(&"B331"), "{:?}", thin.findings);
    // The start of 60 A draws 420 A: with 40 A beside it 460 A, below 0.8 of 10 times 100 A.
    assert_eq!(value(&head.chosen(), "magnetic-trip-at-start"), Some((460.0, 800.0)));
}

/// NFPA 70, 430.110(C): 60, 30 and 10 A at full load, 100 A, of which 115 % are 115 A, and at 480 V the row of 100 hp (124 A); locked rotor
/// 6 times, 600 A, the row of 100 hp (725 A). A switch of 200 A has 125 hp, one of 100 A too little. Conductors ask for 100 + 0.25 · 60 =
/// 115 A.
#[test]
fn the_main_disconnect_switch_is_rated_for_the_combination() {
    let head = Head {
        book: "nec",
        before: Some(("class-J", 175.0)),
        fault: Some((40.0, 80.0)),
        ..Head::of(SWITCH, &[60.0, 30.0, 10.0])
    };
    let chosen = head.chosen();
    assert_eq!((chosen.part.as_str(), chosen.horsepower, chosen.apart), ("GEN-DS3-200-1", Some(125.0), true));
    let near = |name: &str, wanted: (f64, f64)| {
        let found = value(&chosen, name).expect("a check");
        assert!((found.0 - wanted.0).abs() < 1e-6 && (found.1 - wanted.1).abs() < 1e-6, "{name}: {found:?}");
    };
    near("disconnect-rating", (115.0, 200.0));
    near("disconnect-horsepower", (100.0, 125.0));
    near("device-before", (175.0, 200.0));
    near("conditional-short-circuit-current", (40.0, 100.0));
    // Behind a circuit breaker the catalogue does not state what it stands.
    let open = Head { before: Some(("inverse-time", 175.0)), ..head.clone() }.chosen();
    assert!(open.checks.iter().any(|check| check.name == "short-circuit-rating" && check.passed.is_none()));
    assert!(codes_of(&open).contains(&"B332"));
    // A main circuit breaker behind the feeder's device carries what the conductors must, 115 A: the next standard rating is 125 A
    // (240.6(A)); with 20 % spare 138 A, 150 A.
    let breaker = Head { word: BREAKER, ..head };
    assert_eq!(breaker.chosen().breaker.as_ref().map(|breaker| breaker.kind), Some("inverse-time"));
    assert_eq!(breaker.chosen().rating, Some(Amperes(125.0)));
    let spare = Head { board: BoardBasis { spare_pct: Some(20.0), ..BoardBasis::default() }, ..breaker };
    assert_eq!(spare.chosen().rating, Some(Amperes(150.0)));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// No smaller switch of the catalogue would have held, by arithmetic of its own; more current, a larger device before it or a larger
    /// fault never give a smaller one.
    #[test]
    fn the_smallest_switch_that_holds_is_chosen(motors in proptest::collection::vec(2.0..220.0f64, 1..5), before in 20.0..900.0f64, fault in 1.0..60.0f64, more in 1.0..1.5f64) {
        let of = |motors: &[f64], before: f64, fault: f64| {
            Head { before: Some(("moulded-case", before)), fault: Some((fault, 2.0 * fault)), ..Head::of(SWITCH, motors) }.chosen()
        };
        let chosen = of(&motors, before, fault);
        let sum: f64 = motors.iter().sum();
        let largest = motors.iter().copied().fold(0.0, f64::max);
        let stalled = sum + 6.0 * largest;
        let holds = |row: &catalogue::SwitchDisconnector| {
            row.poles == 3
                && fits(sum, row.ac23_440_a)
                && fits(before, row.rating_a)
                && fits(stalled, 8.0 * row.ac23_440_a)
                && fits(fault, row.short_time_ka)
                && fits(2.0 * fault, row.making_ka)
        };
        let first = catalogue::builtin("iec").switch_disconnectors.iter().find(|row| holds(row));
        prop_assert_eq!(first.map(|row| row.part.as_str()).unwrap_or_default(), chosen.part.as_str());
        let larger: Vec<f64> = motors.iter().map(|motor| motor * more).collect();
        for other in [of(&larger, before, fault), of(&motors, before * more, fault), of(&motors, before, fault * more)] {
            prop_assert!(other.rating.is_none_or(|other| chosen.rating.is_some_and(|rating| rating.0 <= other.0)), "{:?} {:?}", chosen.rating, other.rating);
        }
    }

    /// The same for circuit-breakers of either book.
    #[test]
    fn more_current_never_gives_a_smaller_circuit_breaker(motors in proptest::collection::vec(2.0..150.0f64, 1..5), more in 1.0..1.5f64) {
        for book in ["iec", "nec"] {
            let of = |motors: &[f64]| Head { book, ..Head::of(BREAKER, motors) }.chosen();
            let (few, many) = (of(&motors), of(&motors.iter().map(|motor| motor * more).collect::<Vec<_>>()));
            prop_assert!(many.rating.is_none_or(|many| few.rating.is_some_and(|few| few.0 <= many.0)), "{book}: {:?} {:?}", few.rating, many.rating);
            let sum: f64 = motors.iter().sum();
            prop_assert!(few.rating.is_none_or(|rating| fits(sum, rating.0)));
        }
    }
}
