//! Heat and width of a board: each device that gives off heat is one of its circuits, of its own or of a feeder that begins there; sums are
//! those of their parts.

use std::collections::BTreeMap;

use crate::design::{Board, Circuit, DeviceLoss, Part, Status};
use crate::finding::codes;
use crate::quantity::{Watts, fits};
use crate::record::Record;
use crate::rules::physics::devices::device_figure;
use crate::rules::physics::heat;
use crate::rules::physics::starting::practice;
use crate::rules::units::Units;
use crate::verify::boards::{Boards, Say};
use crate::verify::shelf::Item;

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    warmth(all, index, say);
    width(all, index, say);
    air(all, index, say);
    let board = all.tree.places[index].board;
    let ways: u32 = all.circuits_of(index).map(|circuit| circuit.quantity.max(1)).sum();
    if board.ways != ways {
        say(&codes::V858_BOARD_ROOM, format!("{} ways are told; its circuits are {ways}", board.ways));
    }
}

/// Parts of feeders that begin at a board: behind a transformer they begin there.
fn outgoing<'a>(all: &Boards<'a>, index: usize) -> Vec<(&'a str, &'a Part)> {
    let direct = all.tree.fed_by(index).filter(|(_, place)| place.transformer.is_none());
    direct.flat_map(|(_, place)| place.board.feeder.parts.iter().map(|part| (place.board.name.as_str(), part))).collect()
}

/// Parts of the device at the head of a board, unless it stands beside the board.
fn head(board: &Board) -> impl Iterator<Item = &Part> {
    board.incoming.iter().filter(|incoming| !incoming.apart).flat_map(|incoming| &incoming.parts)
}

/// Miniature breakers hold their rating to 30 °C (IEC 60898-1), all other breakers and fuses to 40 °C (IEC 60947-1, IEC 60269-1); of what
/// stands in hotter air the board tells.
fn air(all: &Boards<'_>, index: usize, say: Say<'_>) {
    const OF_SMALL_BREAKERS: f64 = 30.0;
    let place = &all.tree.places[index];
    let usual = device_figure("device-air-least-c");
    let (room, stated) = (all.basis.design.ambient_c, place.basis.and_then(|board| board.device_ambient_c));
    let risen = room.map_or(usual, |room| (room + practice("enclosure-rise").unwrap_or(0.0)).max(usual));
    let air = stated.unwrap_or(risen);
    let certain = stated.or(room).unwrap_or(f64::NEG_INFINITY);
    let mut parts = Vec::new();
    for circuit in all.circuits_of(index).filter(|circuit| circuit.status != Status::NotSized) {
        parts.extend(circuit.protection.iter().map(|protection| protection.part.as_str()));
    }
    parts.extend(outgoing(all, index).iter().map(|(_, part)| part.part.as_str()));
    parts.extend(head(place.board).map(|part| part.part.as_str()));
    let hotter = |part: &str, air: f64| {
        all.shelf.all(part).any(|item| match item {
            Item::Line(_) => !fits(air, OF_SMALL_BREAKERS),
            Item::Motor(_) | Item::Moulded(_) | Item::Branch(_) | Item::Fuse(_) => !fits(air, usual),
            _ => false,
        })
    };
    let Some(part) = parts.iter().find(|part| hotter(part, air)) else { return };
    let code = if parts.iter().any(|part| hotter(part, certain)) { &codes::B606_HOT_AIR } else { &codes::B607_WARM_AIR };
    // A circuit that was found wrong after its board was put together may have been the one that the finding tells of.
    let open = all.circuits_of(index).any(|circuit| circuit.status == Status::NotSized && !circuit.parts.is_empty());
    let told = |code| Boards::told(place.board, code);
    if !(told(code) || open && (told(&codes::B606_HOT_AIR) || told(&codes::B607_WARM_AIR))) {
        say(&codes::V860_BOARD_AIR, format!("{part} stands in air of {air} °C, and nothing is said of its rating there"));
    }
}

fn warmth(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let sum: f64 = board.losses.iter().map(|loss| loss.loss_w * loss.quantity).sum();
    let told = heat::board_loss(&mut Record::silent(), Watts(sum)).0;
    if !(board.power_loss_w >= 0.0 && (told - board.power_loss_w).abs() <= 0.06 + 1e-3 * board.losses.len() as f64) {
        say(&codes::V858_BOARD_ROOM, format!("{} W are told; its devices give off {told:.1} W with wiring", board.power_loss_w));
    }
    // A board may feed a hundred thousand circuits, so tags are looked up and not searched.
    let mut circuits: BTreeMap<&str, Vec<&Circuit>> = BTreeMap::new();
    for circuit in all.circuits_of(index).filter(|circuit| !circuit.tag.is_empty()) {
        circuits.entry(&circuit.tag).or_default().push(circuit);
    }
    let leading = outgoing(all, index);
    for loss in &board.losses {
        if !is_consistent(loss) {
            say(
                &codes::V858_BOARD_ROOM,
                format!(
                    "{} of {:?}: {} W at {:?} of {:?} A are not of {} W",
                    loss.part, loss.tag, loss.loss_w, loss.current_a, loss.rated_a, loss.declared_w
                ),
            );
        }
        let of_circuits = circuits.get(loss.tag.as_str()).into_iter().flatten().map(|circuit| {
            let times = |part: &Part| if part.shared { 1.0 } else { f64::from(circuit.quantity.max(1)) };
            circuit.parts.iter().filter(|part| part.part == loss.part).map(|part| part.quantity * times(part)).sum::<f64>()
        });
        let of_feeders = leading.iter().filter(|(board, part)| *board == loss.tag && part.part == loss.part);
        let of_board = board
            .parts
            .iter()
            .chain(head(board))
            .filter(|part| loss.tag.is_empty() && part.part == loss.part)
            .map(|part| part.quantity);
        let there: f64 = of_circuits.chain(of_feeders.map(|(_, part)| part.quantity)).chain(of_board).sum();
        if !fits(loss.quantity, there + 1e-6) {
            say(
                &codes::V858_BOARD_ROOM,
                format!("{} x {} of {:?} give off heat; {there} are there", loss.quantity, loss.part, loss.tag),
            );
        }
    }
    warmth_of_head(all, board, say);
    for (fed, part) in &leading {
        let warm = all.shelf.footprint(&part.part).1 > 0.0
            && matches!(all.shelf.all(&part.part).next(), Some(Item::Moulded(_) | Item::Branch(_) | Item::Fuse(_)));
        if warm && !board.losses.iter().any(|loss| loss.tag == *fed && loss.part == part.part) {
            say(&codes::V858_BOARD_ROOM, format!("the feeder of {fed} begins here; the heat of {} is not counted", part.part));
        }
    }
}

/// The heat of the device at the head of the board is among those of the board itself.
fn warmth_of_head(all: &Boards<'_>, board: &Board, say: Say<'_>) {
    for part in head(board).filter(|part| all.shelf.footprint(&part.part).1 > 0.0) {
        if !board.losses.iter().any(|loss| loss.tag.is_empty() && loss.part == part.part) {
            say(&codes::V858_BOARD_ROOM, format!("{} stands at its head; its heat is not counted", part.part));
        }
    }
}

/// Joule's law: of the declared heat the part that does not stay goes with the square of the current.
fn is_consistent(loss: &DeviceLoss) -> bool {
    let flows =
        loss.current_a.zip(loss.rated_a).filter(|(_, rated)| *rated > 0.0).map_or(1.0, |(current, rated)| current / rated);
    let stays = loss.constant_w;
    let expected = stays + (loss.declared_w.max(stays) - stays) * flows * flows;
    // The current is rounded to a milliampere.
    let rounding = loss.current_a.filter(|current_a| *current_a > 0.0).map_or(0.0, |current_a| 2.0 * 6e-4 / current_a);
    loss.loss_w >= 0.0 && loss.quantity > 0.0 && (loss.loss_w - expected).abs() <= 2e-3 + (2e-3 + rounding) * expected
}

/// Devices side by side take what they are wide; a relay or breaker that another carries may take nothing.
fn width(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let mut pieces: BTreeMap<&str, f64> = BTreeMap::new();
    let mut carried = 0.0;
    let mut open = false;
    let apart = |circuit: &Circuit| {
        circuit.parts.iter().any(|part| all.shelf.all(&part.part).any(|item| matches!(item, Item::Enclosure(_))))
    };
    for circuit in all.circuits_of(index) {
        // A circuit that was found wrong after its board was put together may be in the sum.
        open |= circuit.status == Status::NotSized && !circuit.parts.is_empty();
        if apart(circuit) || circuit.status == Status::NotSized {
            continue;
        }
        let number = f64::from(circuit.quantity.max(1));
        for part in &circuit.parts {
            *pieces.entry(&part.part).or_default() += part.quantity * if part.shared { 1.0 } else { number };
        }
        let on_others = circuit.overloads.iter().map(|overload| overload.part.as_str());
        let joined = circuit.accessories.iter().any(|accessory| accessory.kind == "connecting-module");
        let on_others = on_others.chain(circuit.protection.iter().filter(|_| joined).map(|protection| protection.part.as_str()));
        carried += number * on_others.map(|part| all.shelf.footprint(part).0).sum::<f64>();
    }
    let leading = outgoing(all, index);
    for part in board.parts.iter().chain(head(board)).chain(leading.iter().map(|(_, part)| *part)) {
        *pieces.entry(&part.part).or_default() += part.quantity;
    }
    let terminal = |part: &str| all.shelf.all(part).next().is_some_and(|item| matches!(item, Item::Terminal(_)));
    let sum = |wanted: &dyn Fn(&str) -> bool| -> f64 {
        pieces.iter().filter(|(part, _)| wanted(part)).map(|(part, number)| all.shelf.footprint(part).0 * number).sum()
    };
    let (devices, terminals) = (sum(&|part| !terminal(part)), sum(&terminal));
    let spare = own_spare(all, index);
    let rails = heat::panel_width(&mut Record::silent(), board.devices_width_mm, spare, Units::Metric);
    let so = board.devices_width_mm >= devices - carried - 0.1
        && (open || board.devices_width_mm <= devices + 0.1 && board.terminals_width_mm <= terminals + 0.1)
        && board.devices_width_mm >= 0.0
        && board.terminals_width_mm >= terminals - 0.1
        && (board.width_mm - rails).abs() <= 0.3;
    if !so {
        say(
            &codes::V858_BOARD_ROOM,
            format!(
                "{} mm of devices, {} mm of terminals and rails of {} mm are told; its parts take {:.1} to {devices:.1} mm, {terminals:.1} mm and {rails:.1} mm",
                board.devices_width_mm,
                board.terminals_width_mm,
                board.width_mm,
                devices - carried
            ),
        );
    }
}

fn own_spare(all: &Boards<'_>, index: usize) -> f64 {
    all.tree.places[index].basis.and_then(|board| board.spare_pct).unwrap_or(0.0)
}
