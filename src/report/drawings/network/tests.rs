//! The network as a diagram: each board once, parts where it is large, words that meet nothing, symbols of either book.

use super::*;
use crate::basis::{SourceBasis, TransformerBasis};
use crate::design::Board;
use crate::report::drawings::testing::texts;

/// Boards that feed each other as the pairs say: name, and what feeds it; the first one stands on the supply.
fn design(pairs: &[(&str, &str)]) -> Design {
    let mut design = Design { rule_book: "iec".to_owned(), ..Design::default() };
    let depth = |name: &str| {
        let mut depth = 0;
        let mut at = name;
        while let Some((_, from)) = pairs.iter().find(|(board, from)| *board == at && !from.is_empty()) {
            depth += 1;
            at = from;
        }
        depth
    };
    for (name, from) in pairs {
        design.boards.push(Board {
            name: (*name).to_owned(),
            fed_from: (!from.is_empty()).then(|| (*from).to_owned()),
            depth: depth(name),
            voltage_v: 400.0,
            demand_current_a: 1234.5,
            prospective_fault_ka: Some(123.456),
            prospective_fault_min_ka: Some(12.34),
            feeder_protection_a: 1250.0,
            feeder: crate::design::BoardFeeder {
                kind: "moulded-case".to_owned(),
                magnetic_trip_a: Some(12_500.0),
                run: Some(crate::design::Run {
                    role: "feeder".to_owned(),
                    phase_size: "300 mm2".to_owned(),
                    protective_size: "150 mm2".to_owned(),
                    per_phase: 3,
                    cores: 4,
                    material: "aluminium".to_owned(),
                    length_m: 1234.0,
                    ..crate::design::Run::default()
                }),
                ..crate::design::BoardFeeder::default()
            },
            ..Board::default()
        });
    }
    design
}

fn drawn(design: &Design, units: Units) -> Vec<String> {
    network(design, &|name| format!("at-{}", name.len()), units)
}

fn names_of(page: &str, name: &str) -> usize {
    page.matches(&format!(">{name}</text>")).count()
}

#[test]
fn a_small_network_is_one_drawing_with_each_board_once() {
    let design = design(&[("M", ""), ("A", "M"), ("B", "M"), ("C", "A")]);
    let drawings = drawn(&design, Units::Metric);
    assert_eq!(drawings.len(), 1);
    for name in ["M", "A", "B", "C"] {
        assert_eq!(names_of(&drawings[0], name), 1, "{name}");
    }
    assert!(drawings[0].contains("C is fed from A.") && drawings[0].contains("M is fed from the supply."));
    assert!(!drawings[0].contains("goes on"));
}

#[test]
fn what_is_too_wide_or_too_deep_goes_on_in_other_parts() {
    let wide: Vec<String> = (0..12).map(|number| format!("W{number}")).collect();
    let mut pairs: Vec<(&str, &str)> = vec![("M", "")];
    pairs.extend(wide.iter().map(|name| (name.as_str(), "M")));
    pairs.extend([("D1", "W3"), ("D2", "D1"), ("D3", "D2"), ("D4", "D3")]);
    let drawings = drawn(&design(&pairs), Units::Metric);
    let page = drawings.concat();
    for (name, _) in pairs.iter().filter(|(name, _)| !["M", "W3", "D3"].contains(name)) {
        assert_eq!(names_of(&page, name), 1, "{name}");
    }
    // Three parts of five boards of the first one; one below the fourth of them, and one below its fourth level.
    assert_eq!((drawings.len(), names_of(&page, "M")), (5, 3));
    assert_eq!(page.matches("goes on in another part").count(), 2);
}

/// Four boards below each other, each behind a transformer with its device and beside a source that stands in, go on in another part.
#[test]
fn no_drawing_is_higher_than_a_page_whatever_stands_before_its_boards() {
    let mut design = design(&[("M", ""), ("A", "M"), ("B", "A"), ("C", "B")]);
    let transformer = |to: &str| TransformerBasis { to: Some(to.to_owned()), kva: Some(100.0), ..TransformerBasis::default() };
    design.basis.transformers = ["M", "A", "B", "C"].map(transformer).to_vec();
    design.basis.sources =
        vec![SourceBasis { name: Some("G".to_owned()), kind: Some("generator".to_owned()), ..SourceBasis::default() }];
    for (board, fed) in design.boards.iter_mut().zip(["supply, G", "M, G", "A, G", "B, G"]) {
        board.fed_from = Some(fed.to_owned());
        board.transformer = Some(crate::design::BoardTransformer::default());
    }
    let drawings = drawn(&design, Units::Metric);
    for drawing in &drawings {
        let height: f64 =
            drawing.split("height=\"").nth(1).and_then(|rest| rest.split("mm").next()?.parse().ok()).expect("a height");
        assert!(height < 236.0, "{height}");
    }
    // A stands on both.
    for (name, times) in [("M", 1), ("A", 2), ("B", 1), ("C", 1)] {
        assert_eq!(names_of(&drawings.concat(), name), times, "{name}");
    }
}

/// Letter holds 241 mm.
#[test]
fn words_meet_neither_each_other_nor_the_frame_and_no_drawing_is_higher_than_a_page() {
    let long = "A board with a name that is longer than any other";
    let mut design = design(&[("M", ""), (long, "M"), ("B", "M"), ("C", "B"), ("D", "C"), ("N", "")]);
    let transformer = |to: &str| TransformerBasis {
        name: Some("A transformer with a long name".to_owned()),
        to: Some(to.to_owned()),
        kva: Some(1234.0),
        impedance_pct: Some(5.75),
        ..TransformerBasis::default()
    };
    design.basis.transformers = vec![transformer("M"), transformer("C")];
    design.basis.supply.upstream_fault_mva = Some(12_345.0);
    design.basis.sources = vec![SourceBasis {
        name: Some("A generator of a long name".to_owned()),
        kind: Some("generator".to_owned()),
        kva: Some(1234.0),
        ..SourceBasis::default()
    }];
    design.boards[0].dips = vec![crate::design::StartDip { feed: "A generator of a long name".to_owned(), ..Default::default() }];
    for units in [Units::Metric, Units::Customary] {
        for drawn in drawn(&design, units) {
            let height: f64 =
                drawn.split("height=\"").nth(1).and_then(|rest| rest.split("mm").next()?.parse().ok()).expect("a height");
            assert!(height < 235.0, "{height}");
            let texts = texts(&drawn);
            assert!(texts.len() > 10);
            for (index, (text, area)) in texts.iter().enumerate() {
                assert!(area.0 >= 0.0 && area.2 <= WIDTH && area.1 >= 0.0, "{text} leaves the frame: {area:?}");
                let other = texts[index + 1..].iter().find(|(_, other)| other.meets(area));
                assert!(other.is_none(), "{text} meets {other:?}");
            }
        }
    }
}

#[test]
fn books_differ_in_their_transformers() {
    let mut design = design(&[("M", "")]);
    design.basis.supply.transformer_kva = Some(630.0);
    let [iec, nec] = [Units::Metric, Units::Customary].map(|units| drawn(&design, units).concat());
    // IEC 60617: two circles that meet; IEEE 315: two windings.
    assert!(iec.matches("<circle").count() >= 2 && !iec.contains("a1.2 1.2"));
    assert!(nec.contains("a1.2 1.2") && nec.matches("<circle").count() < iec.matches("<circle").count());
}

/// Only a machine has a sustained short-circuit current of its own: a source that states that alone is drawn as one that is called a
/// generator.
#[test]
fn a_source_with_the_figures_of_a_machine_is_drawn_as_one() {
    let of = |source: SourceBasis| {
        let mut design = design(&[("M", "")]);
        design.boards[0].fed_from = Some("G1".to_owned());
        design.basis.sources = vec![SourceBasis { name: Some("G1".to_owned()), kva: Some(500.0), ..source }];
        drawn(&design, Units::Metric)
    };
    let named = of(SourceBasis { kind: Some("generator".to_owned()), ..SourceBasis::default() });
    assert_eq!(of(SourceBasis { sustained_current_ratio: Some(3.0), ..SourceBasis::default() }), named);
    assert_eq!(of(SourceBasis { subtransient_reactance_pct: Some(12.0), ..SourceBasis::default() }), named);
    assert_ne!(of(SourceBasis::default()), named);
}

/// A bus that may be live from a second source is drawn with it, wherever it stands: who isolates it must see both (common practice,
/// no source). A second network is no machine.
#[test]
fn a_source_that_stands_in_below_the_first_board_is_drawn() {
    let of = |kind: &str, fed: &str| {
        let mut design = design(&[("M", ""), ("A", "M"), ("E", "M")]);
        design.boards[2].fed_from = Some(fed.to_owned());
        let source = SourceBasis { name: Some("G1".to_owned()), kind: Some(kind.to_owned()), ..SourceBasis::default() };
        design.basis.sources = vec![source];
        drawn(&design, Units::Metric).concat()
    };
    let machine = of("generator", "M, G1");
    assert!(
        names_of(&machine, "G1") == 1 && names_of(&machine, "stands in") == 1 && names_of(&machine, "transfer equipment") == 1
    );
    assert!(machine.contains("E is fed from M, G1 stands in."), "{machine}");
    assert_eq!(names_of(&machine, "G"), 1);
    let network = of("network", "M, G1");
    assert_eq!((names_of(&network, "stands in"), names_of(&network, "G")), (1, 0));
    assert_eq!(names_of(&of("generator", "M"), "transfer equipment"), 0);
}

/// Six boards that another source may feed too: none stands beyond the frame, and no word meets another.
#[test]
fn boards_with_a_source_that_stands_in_stay_within_the_frame() {
    let names = ["B1", "B2", "B3", "B4", "B5", "B6"];
    let mut pairs = vec![("M", "")];
    pairs.extend(names.map(|name| (name, "M, G1")));
    let mut design = design(&pairs);
    design.basis.sources = vec![SourceBasis {
        name: Some("G1".to_owned()),
        kind: Some("generator".to_owned()),
        kva: Some(500.0),
        ..SourceBasis::default()
    }];
    let drawings = drawn(&design, Units::Metric);
    for drawing in &drawings {
        let texts = texts(drawing);
        for (index, (text, area)) in texts.iter().enumerate() {
            assert!(area.0 >= 0.0 && area.2 <= WIDTH, "{text} leaves the frame: {area:?}");
            let other = texts[index + 1..].iter().find(|(_, other)| other.meets(area));
            assert!(other.is_none(), "{text} meets {other:?}");
        }
    }
    for name in names {
        assert_eq!(names_of(&drawings.concat(), name), 1, "{name}");
    }
    assert_eq!(names_of(&drawings.concat(), "stands in"), 6);
}
