//! Says what a person should know of the sums: of one board, and of the whole network.

use std::collections::BTreeSet;

use super::{Demand, row_factor};
use crate::basis::Basis;
use crate::finding::{Finding, codes, named};
use crate::load::LoadKind;
use crate::network::connected::Connected;
use crate::network::phases::parent;
use crate::network::tree::{Node, Parent, Tree};
use crate::quantity::round_to;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;

/// Findings that concern all boards.
pub(super) fn of_all(tree: &Tree, rows: &[Connected], boards: &[Demand], basis: &Basis, book: &dyn RuleBook) -> Vec<Finding> {
    let findings = [
        permission(tree, rows, basis, book),
        assumed_power_factors(rows),
        unsized_rows(rows),
        unknown_starts(rows),
        lost(tree, rows, boards),
    ];
    findings.into_iter().flatten().chain(overcompensation(tree, boards)).collect()
}

/// Findings of one board: unequal phases, rectifiers.
pub(super) fn of_board(node: &Node, board: &Demand, single_phase: bool) -> Vec<Finding> {
    let mut findings = Vec::new();
    if single_phase && board.unbalance_pct > load_figure("unbalance-said-pct") {
        let amperes: Vec<String> = board
            .phases
            .iter()
            .take(if node.phases == 1 { 2 } else { 3 })
            .map(|phase| round_to(phase.0, 1).to_string())
            .collect();
        findings.push(
            Finding::new(
                &codes::B205_UNBALANCE,
                format!(
                    "phases of board {} carry {} A: the highest is {} % above the mean",
                    node.name,
                    amperes.join(", "),
                    round_to(board.unbalance_pct, 0)
                ),
            )
            .why("feeder and transformer are sized for the highest phase")
            .cure("put single-phase loads on other phases where their rows state one, or feed them from another board"),
        );
    }
    if board.nonlinear_share > load_figure("nonlinear-share-said") {
        findings.push(
            Finding::new(
                &codes::B206_NONLINEAR,
                format!(
                    "{} % of what runs on board {} are drives and other rectifiers",
                    round_to(100.0 * board.nonlinear_share, 0),
                    node.name
                ),
            )
            .why("their harmonics heat transformer and feeder beyond their current, and load a neutral where there is one")
            .cure("have the harmonics worked out before the transformer and a shared neutral are ordered"),
        );
    }
    findings
}

/// What runs behind one feed or transformer.
#[derive(Debug)]
struct Feed<'boards> {
    parent: Parent,
    transformer: Option<usize>,
    vars: f64,
    boards: Vec<&'boards str>,
}

/// Capacitors for more than there is, behind each feed and transformer together: a board that holds nothing but capacitors serves those
/// beside it.
fn overcompensation(tree: &Tree, boards: &[Demand]) -> Vec<Finding> {
    let mut feeds: Vec<Feed> = Vec::new();
    for (node, board) in tree.nodes.iter().zip(boards).filter(|(node, _)| !matches!(node.parent, Parent::Board(_))) {
        let fed_alike = |feed: &&mut Feed| (feed.parent, feed.transformer) == (node.parent, node.transformer);
        if let Some(feed) = feeds.iter_mut().find(fed_alike) {
            feed.vars += board.running_var;
            feed.boards.push(&node.name);
        } else {
            feeds.push(Feed {
                parent: node.parent,
                transformer: node.transformer,
                vars: board.running_var,
                boards: vec![&node.name],
            });
        }
    }
    feeds.iter().filter_map(too_many_capacitors).collect()
}

fn too_many_capacitors(feed: &Feed) -> Option<Finding> {
    let excess = round_to(-feed.vars / 1000.0, 1);
    (excess > 0.0).then(|| {
        let what =
            format!("capacitors give {excess} kvar more than all that runs behind one feed takes: {}", named(&feed.boards));
        Finding::new(&codes::B216_OVERCOMPENSATION, what)
            .why("a leading power factor lifts the voltage, and an emergency generator may lose its own voltage by it")
            .cure("reduce the capacitors, or have a controller switch them in steps with the load")
    })
}

/// Where the rule book lets a factor below 1 count for motors by permission only.
fn permission(tree: &Tree, rows: &[Connected], basis: &Basis, book: &dyn RuleBook) -> Option<Finding> {
    let clause = book.permission_for_motor_factors()?;
    let of_board = |node: usize| {
        let factor = |index: &usize| {
            let board = tree.nodes[*index].board.and_then(|board| basis.boards.get(board));
            board.and_then(|board| board.demand_factor).is_some_and(|factor| factor < 1.0)
        };
        std::iter::successors(Some(node), |index| parent(&tree.nodes[*index])).find(factor)
    };
    let mut boards: BTreeSet<usize> = BTreeSet::new();
    let mut tags: Vec<&str> = Vec::new();
    for row in rows.iter().filter(|row| row.kind == LoadKind::Motor && row.may_run() && row.node < tree.nodes.len()) {
        if row_factor(row, basis) < 1.0 {
            tags.push(&row.tag);
        }
        if let Some(board) = of_board(row.node) {
            boards.insert(board);
        }
    }
    let boards: Vec<&str> = boards.iter().map(|index| tree.nodes[*index].name.as_str()).collect();
    let mut said = Vec::new();
    if !tags.is_empty() {
        said.push(format!("motors {}", named(&tags)));
    }
    if !boards.is_empty() {
        said.push(format!("boards {}", named(&boards)));
    }
    (!said.is_empty()).then(|| {
        Finding::new(&codes::B207_MOTOR_FACTOR, format!("a demand factor below 1 counts for motors: {}", said.join("; ")))
            .why("conductors of the feeder must carry motors in full unless the authority having jurisdiction permits less")
            .cure("obtain the permission, or set the factors to 1")
            .reference(clause)
    })
}

fn assumed_power_factors(rows: &[Connected]) -> Option<Finding> {
    let tags: Vec<&str> = rows.iter().filter(|row| row.power_factor_assumed).map(|row| row.tag.as_str()).collect();
    let why = if rows.iter().any(|row| row.nonlinear) {
        "they decide at which angle currents are added, and the voltage drop of feeders; a drive counts with its rated input current, \
         harmonics included, so that there are more amperes than kilowatts and the power factor give"
    } else {
        "they decide at which angle currents are added, and the voltage drop of feeders"
    };
    (!tags.is_empty()).then(|| {
        Finding::new(
            &codes::B208_POWER_FACTORS,
            format!(
                "{} of {} rows enter the sums of their boards with power factors of tables or practice (drives: {} and an efficiency of {}): {}",
                tags.len(),
                rows.len(),
                load_figure("drive-power-factor"),
                load_figure("drive-efficiency"),
                named(&tags)
            ),
        )
        .why(why)
        .cure("enter power_factor from the nameplates")
    })
}

fn unsized_rows(rows: &[Connected]) -> Option<Finding> {
    let tags: Vec<&str> = rows.iter().filter(|row| row.unsized_row).map(|row| row.tag.as_str()).collect();
    (!tags.is_empty()).then(|| {
        Finding::new(
            &codes::B209_UNSIZED_COUNTS,
            format!("rows that can't be sized count in the sums of their boards by what they state: {}", named(&tags)),
        )
        .cure("mend the rows: what they state now may be wrong")
    })
}

fn unknown_starts(rows: &[Connected]) -> Option<Finding> {
    let unknown = |row: &&Connected| row.start_unknown() && row.may_run();
    let tags: Vec<&str> = rows.iter().filter(unknown).map(|row| row.tag.as_str()).collect();
    (!tags.is_empty()).then(|| {
        Finding::new(
            &codes::B213_STARTS_UNKNOWN,
            format!("motors whose starters are by others or not known enter no dip of their boards: {}", named(&tags)),
        )
        .cure("ask for their starting currents where they are large")
    })
}

/// Nothing is lost between rows and sources.
fn lost(tree: &Tree, rows: &[Connected], boards: &[Demand]) -> Option<Finding> {
    let of_rows: f64 = rows.iter().map(|row| row.input.0 * f64::from(row.number)).sum();
    let of_roots: f64 =
        tree.nodes.iter().zip(boards).filter(|(node, _)| parent(node).is_none()).map(|(_, board)| board.connected.0).sum();
    let differ = (of_rows - of_roots).abs() > crate::quantity::SLACK * of_rows.abs().max(1.0);
    differ.then(|| {
        Finding::new(
            &codes::B210_LOST,
            format!(
                "the rows take {} kW together, the boards at the sources {} kW",
                round_to(of_rows / 1000.0, 3),
                round_to(of_roots / 1000.0, 3)
            ),
        )
        .why("a load is lost or counted twice between a row and its source, so that no sum can be trusted")
        .cure("report this with the schedule and the basis: it is a defect of this program")
    })
}
