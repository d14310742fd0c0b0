//! Boards: what circuits bring to the board that feeds them and no circuit can know alone.
//!
//! A board reads finished circuits and gives them back what follows from all of them: the voltage at their coils. It adds up their heat
//! and width, and takes from the network what that worked out for it.

use std::collections::BTreeMap;

use crate::conductors;
use crate::design::{Board, Circuit, Restart};
use crate::finding::{Finding, codes};
use crate::network::Network;
use crate::quantity::Volts;
use crate::record::Record;
use crate::sizing::Tools;

use self::network::Filling;

mod air;
mod by_others;
mod control;
pub(crate) mod groups;
mod heat;
mod network;
mod panel;
mod space;
mod stated_fault;

#[cfg(test)]
mod tests;

/// The boards, finished.
#[derive(Debug, Default)]
pub struct Finished {
    /// Boards.
    pub boards: Vec<Board>,
    /// Returns of their supplies.
    pub restarts: Vec<Restart>,
    /// Findings that concern no single board.
    pub findings: Vec<Finding>,
}

/// The boards of a schedule in the order in which it names them first, then those that only the basis names. Circuits receive the
/// checks that need the whole board; their status is settled again.
#[must_use]
pub fn of_circuits(circuits: &mut [Circuit], network: &Network, tools: &Tools<'_>) -> Finished {
    let mut by_board: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let mut names: Vec<String> = Vec::new();
    for (index, circuit) in circuits.iter().enumerate() {
        by_board.entry(circuit.board.as_str()).or_insert_with(|| {
            names.push(circuit.board.clone());
            Vec::new()
        });
        by_board.entry(circuit.board.as_str()).or_default().push(index);
    }
    let nodes = network.tree.nodes.iter().map(|node| &node.name);
    let others: Vec<String> = nodes.filter(|name| !by_board.contains_key(name.as_str())).cloned().collect();
    let of_board: Vec<Vec<usize>> = names.iter().map(|name| by_board.remove(name.as_str()).unwrap_or_default()).collect();
    let mut boards: Vec<Board> =
        names.iter().zip(&of_board).map(|(name, places)| of_name(name, circuits, places, network, tools)).collect();
    boards.extend(others.iter().map(|name| of_name(name, circuits, &[], network, tools)));
    network::lines(network, circuits);
    let filling = Filling::new(network, circuits, tools);
    for (at, board) in boards.iter_mut().enumerate() {
        let places = of_board.get(at).map_or(&[][..], Vec::as_slice);
        let of_board: Vec<&Circuit> = places.iter().map(|index| &circuits[*index]).collect();
        filling.fill(board, &of_board);
    }
    filling.against_chosen(&mut boards, circuits);
    by_others::add(&mut boards, circuits, network, tools);
    filling.tell_start_voltages(circuits);
    filling.warn_of_unlike_voltages(circuits);
    for board in &mut boards {
        crate::finding::sort(&mut board.findings);
        if tools.basis.report.working.as_deref() == Some("none") {
            board.working.clear();
        }
    }
    let findings = filling.findings();
    Finished { boards, restarts: network::restarts(network), findings }
}

fn of_name(name: &str, circuits: &mut [Circuit], places: &[usize], network: &Network, tools: &Tools<'_>) -> Board {
    let highest = places.iter().filter_map(|index| circuits[*index].load.voltage_v).fold(0.0, f64::max);
    let point = network.point_of_board(tools, name, Volts(highest));
    let taken = voltage_taken(name, Volts(highest), point.voltage, tools).or_else(|| voltage_behind(name, point.voltage, tools));
    let mut board = Board {
        name: name.to_owned(),
        fed_from: tools.basis.board(name).and_then(|board| board.fed_from.clone()),
        voltage_v: point.voltage.0,
        findings: taken.into_iter().chain(pair_taken(name, tools)).collect(),
        ..Board::default()
    };
    let mut record = Record::new().named(tools.book.naming());
    control::supplies(&mut board, picked(circuits, places), &point, tools, &mut record);
    let of_board: Vec<&Circuit> = places.iter().map(|index| &circuits[*index]).collect();
    air::add(&mut board, &of_board, network, tools);
    groups::add(&mut board, &of_board, tools);
    heat::add(&mut board, &of_board, places, network, tools, &mut record);
    space::add(&mut board, &of_board, network, tools, &mut record);
    let (steps, findings) = record.into_parts();
    board.findings.extend(findings);
    board.working = steps.iter().map(Into::into).collect();
    board
}

/// The circuits at ascending places.
fn picked<'c>(circuits: &'c mut [Circuit], places: &[usize]) -> Vec<&'c mut Circuit> {
    let (mut rest, mut from) = (circuits, 0);
    let mut found = Vec::with_capacity(places.len());
    for place in places {
        let Some((circuit, after)) = rest.get_mut(place - from..).and_then(<[Circuit]>::split_first_mut) else { break };
        found.push(circuit);
        (rest, from) = (after, place + 1);
    }
    found
}

/// Says so where what stands before a board of one phase has a voltage of which that of the board is no part.
fn pair_taken(name: &str, tools: &Tools<'_>) -> Option<Finding> {
    let pair = conductors::pair(tools.basis, name, tools.book)?;
    let (volts, before) = (tools.basis.board_voltage(name)?, pair.unlike?);
    let taken = if pair.to_neutral { "a line and the neutral" } else { "two lines" };
    let what = format!(
        "board {name} has one phase and {volts} V, which what stands before it, of {} V, has neither between two lines nor to the neutral: {taken} are taken",
        before.0
    );
    let finding = Finding::new(&codes::B328_PAIR_TAKEN, what)
        .why("a line is protected and opened, the neutral is not: poles and conductors of the board follow from it")
        .cure(
            "correct voltage_v, or write system = \"L-N\" or \"L-L\" at the board, or the [[transformer]] that makes its voltage",
        );
    Some(finding)
}

/// Says so where the nominal voltage of a board is taken from the voltage without load of the transformer before it.
fn voltage_behind(name: &str, taken: Volts, tools: &Tools<'_>) -> Option<Finding> {
    let without_load = tools.basis.board_voltage_without_load(name).filter(|volts| *volts > taken.0)?;
    let what =
        format!("the transformer before board {name} gives {without_load} V without load: a system of {} V is taken", taken.0);
    let finding = Finding::new(&codes::B107_VOLTAGE_TAKEN, what)
        .why("fault currents, voltages to earth and control supplies follow the nominal voltage, the impedance of the transformer its own")
        .cure("state voltage_v of the board if its system is another one")
        .reference("IEC 60038, Table 1; IEC 60909-0, Table 1");
    Some(finding)
}

/// Says so where a board whose voltage nothing states is taken as one of the nominal system behind the rated voltage of its loads.
fn voltage_taken(name: &str, rated: Volts, taken: Volts, tools: &Tools<'_>) -> Option<Finding> {
    let system = tools.book.system_voltage(rated);
    if tools.basis.board_voltage(name).is_some() || system == rated || taken != system {
        return None;
    }
    let what = format!(
        "nothing states the voltage of board {name}; its loads are rated {} V: a system of {} V is taken",
        rated.0, taken.0
    );
    let finding = Finding::new(&codes::B107_VOLTAGE_TAKEN, what)
        .why("what is chosen for the board and in front of it goes by that voltage")
        .cure("state voltage_v of the board or of [supply]")
        .reference("NFPA 70, 220.5(A); ANSI C84.1");
    Some(finding)
}
