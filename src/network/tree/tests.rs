use super::*;
use crate::basis;

fn tree(text: &str, scheduled: &[&str]) -> Tree {
    let (basis, findings) = basis::from_toml("basis.toml", text).expect("it is read");
    assert!(findings.is_empty(), "{findings:?}");
    Tree::of(&basis, scheduled, Some("basis.toml"))
}

fn codes_of(tree: &Tree) -> Vec<&str> {
    tree.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn parent(tree: &Tree, name: &str) -> Parent {
    tree.nodes[tree.find(name).expect("it is there")].parent
}

#[test]
fn boards_stand_after_what_feeds_them_whatever_their_order_in_the_basis() {
    let tree = tree(
        "[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\n\
         [[board]]\nname = \"C\"\nfed_from = \"B\"\n[[board]]\nname = \"B\"\nfed_from = \"A\"\n[[board]]\nname = \"A\"\n\
         [[board]]\nname = \"D\"\nfed_from = \"A\"\nfeeder_length_m = 20\n",
        &["D", "E"],
    );
    let names: Vec<&str> = tree.nodes.iter().map(|node| node.name.as_str()).collect();
    assert_eq!(names, ["A", "B", "C", "D", "E"]);
    assert_eq!([0, 1, 2, 1, 0], tree.nodes.iter().map(|node| node.depth).collect::<Vec<_>>()[..]);
    assert_eq!((parent(&tree, "C"), parent(&tree, "A"), parent(&tree, "E")), (Parent::Board(1), Parent::Supply, Parent::Supply));
    assert_eq!(tree.nodes[0].children, [1, 3]);
    assert!(tree.nodes.iter().all(|node| node.voltage == Volts(400.0) && node.earthing.as_deref() == Some("TN-S")));
    // A board on the supply has a feeder only where the basis says something of it.
    assert_eq!([false, true, true, true, false], tree.nodes.iter().map(|node| node.feeder).collect::<Vec<_>>()[..]);
    assert!(tree.nodes[4].board.is_none() && tree.findings.is_empty(), "{:?}", tree.findings);
}

const TRANSFORMER: &str = "[supply]\nvoltage_v = 480\nsystem = \"480Y/277 4W\"\n\
    [[transformer]]\nname = \"T1\"\nfrom = \"MSB\"\nto = \"LP\"\nkva = 75\nsecondary_voltage_v = 208\nsystem = \"208Y/120 4W\"\n\
    [[board]]\nname = \"MSB\"\n";

#[rstest::rstest]
#[case::by_the_transformer_alone("[[board]]\nname = \"LP\"\n")]
#[case::by_both("[[board]]\nname = \"LP\"\nfed_from = \"T1\"\n")]
#[case::by_the_board_before_it("[[board]]\nname = \"LP\"\nfed_from = \"MSB\"\nvoltage_v = 208\n")]
fn a_board_behind_a_transformer_has_its_voltage_and_system(#[case] of_board: &str) {
    let tree = tree(&format!("{TRANSFORMER}{of_board}"), &[]);
    assert!(tree.findings.is_empty(), "{:?}", tree.findings);
    let node = &tree.nodes[1];
    assert_eq!((node.parent, node.transformer, node.voltage), (Parent::Board(0), Some(0), Volts(208.0)));
    assert_eq!(node.system.as_deref(), Some("208Y/120 4W"));
}

#[rstest::rstest]
#[case::unknown_board("[[board]]\nname = \"LP\"\nfed_from = \"MSC\"\n", "B101", "MSB")]
#[case::the_network("[[board]]\nname = \"LP\"\nfed_from = \"utility\"\n", "B101", "write `supply` or leave fed_from out")]
#[case::other_parent("[[source]]\nname = \"G1\"\n[[board]]\nname = \"LP\"\nfed_from = \"G1\"\n", "B103", "T1")]
#[case::voltage("[[board]]\nname = \"LP\"\nvoltage_v = 400\n", "B104", "secondary_voltage_v")]
#[case::two_boards("[[board]]\nname = \"LP\"\nfed_from = \"T1, MSB\"\n", "B103", "sources may follow")]
#[case::two_transformers(
    "[[board]]\nname = \"LP\"\n[[transformer]]\nname = \"T2\"\nfrom = \"MSB\"\nto = \"LP\"\nkva = 75\n",
    "B103",
    "sum of their ratings"
)]
fn a_board_whose_feed_contradicts_itself_stands_alone(#[case] of_board: &str, #[case] code: &str, #[case] cure: &str) {
    let tree = tree(&format!("{TRANSFORMER}{of_board}"), &[]);
    assert_eq!(codes_of(&tree), [code], "{:?}", tree.findings);
    assert!(tree.findings[0].cure.contains(cure), "{:?}", tree.findings[0]);
    let place = tree.findings[0].place.as_ref().expect("a place");
    assert!(
        place.file == "basis.toml" && place.heading.as_deref().is_some_and(|heading| heading.starts_with("board LP: ")),
        "{place:?}"
    );
    assert_eq!(parent(&tree, "LP"), Parent::Unknown);
    assert!(tree.nodes[tree.find("MSB").expect("it is there")].children.is_empty());
}

#[test]
fn a_voltage_without_a_transformer_is_one_of_the_board_before_it_or_of_its_neutral() {
    let of =
        |line: &str| tree(&format!("[supply]\nvoltage_v = 400\n[[board]]\nname = \"A\"\nfed_from = \"supply\"\n{line}"), &[]);
    assert!(of("voltage_v = 415\n").findings.is_empty());
    assert!(of("voltage_v = 230\nphases = 1\n").findings.is_empty());
    assert_eq!(codes_of(&of("voltage_v = 230\n")), ["B104"]);
    assert_eq!(codes_of(&of("voltage_v = 690\n")), ["B104"]);
    // A board that does not say what feeds it stands behind something else.
    let tree = tree("[supply]\nvoltage_v = 480\n[[board]]\nname = \"LP\"\nvoltage_v = 208\n", &[]);
    assert!(tree.findings.is_empty() && tree.nodes[0].parent == Parent::Unknown && tree.nodes[0].voltage == Volts(208.0));
}

#[test]
fn a_ring_through_a_transformer_is_told_once_and_parts_its_boards() {
    let fed = tree(
        "[[transformer]]\nname = \"T1\"\nfrom = \"B\"\nto = \"A\"\n[[board]]\nname = \"A\"\n\
         [[board]]\nname = \"B\"\nfed_from = \"A\"\n[[board]]\nname = \"C\"\nfed_from = \"B\"\n",
        &[],
    );
    assert_eq!(codes_of(&fed), ["B102"], "{:?}", fed.findings);
    assert_eq!((parent(&fed, "A"), parent(&fed, "B")), (Parent::Unknown, Parent::Unknown));
    assert!(matches!(parent(&fed, "C"), Parent::Board(_)));
    // Rings of boards alone, and a board that feeds itself, are parted too; the schedule's own check tells of them.
    let tree = tree(
        "[[board]]\nname = \"A\"\nfed_from = \"B\"\n[[board]]\nname = \"B\"\nfed_from = \"A\"\n[[board]]\nname = \"D\"\nfed_from = \"D\"\n",
        &[],
    );
    assert!(tree.findings.is_empty() && tree.nodes.iter().all(|node| node.parent == Parent::Unknown), "{tree:?}");
}

#[test]
fn names_that_stand_twice_or_are_missing_are_told() {
    let tree = tree(
        "[[board]]\nname = \"A\"\n[[board]]\nname = \"A\"\n[[board]]\nvoltage_v = 400\n[[source]]\nname = \"A\"\n\
         [[source]]\nname = \"supply\"\n[[transformer]]\nname = \"T1\"\nkva = 100\n",
        &["A"],
    );
    assert_eq!(tree.nodes.len(), 1);
    let mut found = codes_of(&tree);
    found.sort_unstable();
    assert_eq!(found, ["B105", "B105", "B105", "B106", "B106"], "{:?}", tree.findings);
}

#[test]
fn a_board_may_name_sources_that_stand_in_for_the_first() {
    let tree = tree(
        "[supply]\nvoltage_v = 400\n[[source]]\nname = \"G1\"\nkind = \"generator\"\n[[source]]\nname = \"G2\"\nkind = \"generator\"\n\
         [[board]]\nname = \"A\"\nfed_from = \"supply; G1, G2\"\n[[board]]\nname = \"B\"\nfed_from = \"G2\"\n",
        &[],
    );
    assert!(tree.findings.is_empty(), "{:?}", tree.findings);
    assert_eq!((tree.nodes[0].parent, tree.nodes[0].alternatives.clone()), (Parent::Supply, vec![0, 1]));
    assert_eq!(tree.nodes[1].parent, Parent::Source(1));
}

proptest::proptest! {
    /// Any names at all give a tree in which every board stands once, after its parent.
    #[test]
    fn any_feeds_give_a_tree(feeds in proptest::collection::vec(("[A-D]", proptest::option::of("[A-FT]|supply|A, G|T;G")), 0..6), from in "[A-E]", to in "[A-E]") {
        let mut basis = Basis::default();
        for (name, fed_from) in feeds {
            basis.boards.push(BoardBasis { name: Some(name), fed_from, ..BoardBasis::default() });
        }
        let text = |name: &str| Some(name.to_owned());
        basis.transformers.push(basis::TransformerBasis { name: text("T"), from: text(&from), to: text(&to), ..Default::default() });
        basis.sources.push(basis::SourceBasis { name: text("G"), ..Default::default() });
        let tree = Tree::of(&basis, &["A", "Z"], None);
        for (index, node) in tree.nodes.iter().enumerate() {
            proptest::prop_assert_eq!(tree.find(&node.name), Some(index));
            if let Parent::Board(parent) = node.parent {
                proptest::prop_assert!(parent < index && tree.nodes[parent].children.contains(&index));
            }
        }
        proptest::prop_assert!(tree.find("A").is_some() && tree.find("Z").is_some());
    }
}

/// The network in front of transformers has their secondary voltage only behind them.
#[test]
fn a_board_of_which_nothing_says_what_feeds_it_is_not_put_before_transformers() {
    const MAIN: &str = "[supply]\nvoltage_v = 400\nupstream_fault_mva = 300\n\
        [[transformer]]\nname = \"T1\"\nto = \"A\"\nkva = 800\nimpedance_pct = 6\nsecondary_voltage_v = 400\n[[board]]\nname = \"A\"\n";
    let fed = tree(&format!("{MAIN}[[board]]\nname = \"B\"\n"), &["NEW"]);
    assert_eq!(codes_of(&fed), ["B101"], "that the basis lacks NEW is told at its row: {:?}", fed.findings);
    assert!(fed.findings[0].what.contains("board B"), "{:?}", fed.findings);
    assert_eq!(["A", "B", "NEW"].map(|name| parent(&fed, name)), [Parent::Supply, Parent::Unknown, Parent::Unknown]);
    // A board that names its feed stands there, one of another voltage may, and one with figures of its own needs nothing before
    // it.
    for text in ["[[board]]\nname = \"B\"\nfed_from = \"supply\"\n", "[[board]]\nname = \"B\"\nprospective_fault_ka = 12\n"] {
        let tree = tree(&format!("{MAIN}{text}"), &[]);
        assert!(tree.findings.is_empty() && parent(&tree, "B") == Parent::Supply, "{text}: {:?}", tree.findings);
    }
    let high = MAIN.replace("voltage_v = 400\nupstream", "voltage_v = 11000\nupstream");
    let tree = tree(&format!("{high}[[board]]\nname = \"B\"\n"), &[]);
    assert!(tree.findings.is_empty() && parent(&tree, "B") == Parent::Supply, "{:?}", tree.findings);
}

/// `from` of the transformer and `fed_from` of the board behind it may call one network by different names; two machines, or two boards,
/// are never one feed.
#[rstest::rstest]
#[case::the_supply_by_its_word("supply", "supply", true)]
#[case::a_utility_is_the_supply("supply", "N1", true)]
#[case::the_supply_is_a_utility("N1", "supply", true)]
#[case::two_names_of_the_utility("N1", "N2", true)]
#[case::the_machine_itself("G1", "G1", true)]
#[case::another_machine("G1", "G2", false)]
#[case::a_machine_is_not_the_supply("supply", "G1", false)]
#[case::the_supply_is_no_machine("G1", "supply", false)]
#[case::a_machine_is_no_utility("N1", "G1", false)]
#[case::the_board_itself("M1", "M1", true)]
#[case::another_board("M1", "M2", false)]
fn a_name_stands_for_what_feeds_the_transformer(#[case] from: &str, #[case] fed_from: &str, #[case] same: bool) {
    let tree = tree(
        &format!(
            "[supply]\nvoltage_v = 400\n\
             [[source]]\nname = \"N1\"\nkind = \"utility\"\n[[source]]\nname = \"N2\"\nkind = \"utility\"\n\
             [[source]]\nname = \"G1\"\nkind = \"generator\"\n[[source]]\nname = \"G2\"\nkind = \"generator\"\n\
             [[board]]\nname = \"M1\"\nvoltage_v = 400\n[[board]]\nname = \"M2\"\nvoltage_v = 400\n\
             [[transformer]]\nname = \"T1\"\nfrom = \"{from}\"\nto = \"A\"\nkva = 100\nsecondary_voltage_v = 230\n\
             [[board]]\nname = \"A\"\nfed_from = \"{fed_from}\"\n"
        ),
        &[],
    );
    let node = &tree.nodes[tree.find("A").expect("it is there")];
    assert_eq!(node.transformer.is_some(), same, "{:?}", tree.findings);
    assert_eq!(codes_of(&tree).contains(&"B103"), !same, "{:?}", tree.findings);
    assert_eq!(node.parent == Parent::Unknown, !same);
}
