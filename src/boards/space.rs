//! Width of a board: what its devices take side by side, those of the feeders that begin here among them, with the spare that is wanted
//! and the space that stays free.

use std::collections::BTreeSet;

use super::panel::{self, Outgoing};
use crate::catalogue::Catalogue;
use crate::design::{Board, Circuit, Status};
use crate::finding::{Finding, codes};
use crate::network::Network;
use crate::network::feeders::Feeder;
use crate::quantity::{SLACK, round_to};
use crate::record::{Record, significant};
use crate::rules::physics::heat;
use crate::rules::units::Units;
use crate::sizing::Tools;
use crate::sizing::judge::{at_most, not_checked};

/// Width that devices take.
#[derive(Default)]
struct Taken {
    width_mm: f64,
    terminals_mm: f64,
    pieces: f64,
    unknown: BTreeSet<String>,
}

/// Adds up the width of a board, spare and standby circuits included, and holds it against its enclosure.
pub(super) fn add(board: &mut Board, circuits: &[&Circuit], network: &Network, tools: &Tools<'_>, record: &mut Record) {
    let mut taken = Taken::default();
    for circuit in circuits.iter().filter(|circuit| !panel::stands_apart(circuit, tools.catalogue)) {
        if circuit.status == Status::NotSized {
            taken.unknown.insert(format!("{}, which is not sized", circuit.tag));
            continue;
        }
        taken.circuit(circuit, tools.catalogue);
    }
    for part in &board.parts {
        taken.part(&part.part, part.quantity, "", tools.catalogue);
    }
    for outgoing in panel::outgoing(&board.name, network) {
        match outgoing {
            Outgoing::Board(node, feeder, _) => taken.feeder(&node.name, feeder, tools.catalogue),
            Outgoing::Transformer(transformer) => _ = taken.unknown.insert(panel::before_transformer(transformer, tools.basis)),
        }
    }
    for part in panel::incoming(&board.name, network) {
        taken.part(&part.part, part.quantity, "", tools.catalogue);
    }
    let board_basis = tools.basis.board(&board.name);
    let spare = board_basis.and_then(|board| board.spare_pct).unwrap_or(0.0);
    let width = heat::panel_width(record, taken.width_mm, spare, Units::of(tools.book.key()));
    board.ways = circuits.iter().map(|circuit| circuit.quantity.max(1)).sum();
    board.units = whole(taken.pieces);
    board.devices_width_mm = round_to(taken.width_mm, 1);
    board.terminals_width_mm = round_to(taken.terminals_mm, 1);
    board.width_mm = round_to(width, 1);
    let unknown: Vec<String> = taken.unknown.into_iter().collect();
    if !unknown.is_empty() {
        board.findings.push(
            Finding::new(&codes::B602_NO_WIDTH, format!("the width of the board lacks that of {}", unknown.join("; ")))
                .why("the catalogue declares none for it")
                .cure("ask the makers, and leave room for it"),
        );
    }
    if let Some(board_basis) = board_basis {
        enclosure(board, board_basis, width, unknown.is_empty(), tools);
    }
}

/// Width against the rows of the enclosure that the basis names.
fn enclosure(board: &mut Board, board_basis: &crate::basis::BoardBasis, width: f64, complete: bool, tools: &Tools<'_>) {
    let Some(wanted) = board_basis.enclosure.as_deref() else { return };
    board.enclosure = wanted.to_owned();
    let Some(found) = panel::enclosure(board_basis, tools.catalogue) else {
        board.findings.push(
            Finding::new(
                &codes::B603_ENCLOSURE,
                format!("the basis names enclosure \"{wanted}\", which the catalogue does not have"),
            )
            .why("its room is not checked, and its heat only where enclosure_dissipation_w states it")
            .cure("write the part number of an enclosure of the catalogue, or add it"),
        );
        return;
    };
    if found.usable_width_mm <= 0.0 {
        return;
    }
    let units = Units::of(tools.book.key());
    // Devices that pass the check below fit into these rows.
    let rows = whole((width / found.usable_width_mm / (1.0 + SLACK)).ceil());
    board.rows = Some(rows);
    let reference = "catalogue, usable_width_mm";
    let check = at_most("enclosure-width", width, found.usable_width_mm * f64::from(found.rows), "mm", reference);
    let failed = check.passed == Some(false);
    board.checks.push(if failed || complete {
        check
    } else {
        not_checked("enclosure-width", "mm", "the width of some parts is unknown", reference)
    });
    if failed {
        board.findings.push(
            Finding::new(
                &codes::B605_ENCLOSURE_WIDTH,
                format!(
                    "the devices need {rows} rows of {} {} with spare and free space; the enclosure has {}",
                    significant(units.width(found.usable_width_mm), 4),
                    units.width_unit(),
                    found.rows
                ),
            )
            .cure("a larger enclosure, or several"),
        );
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held to what a board can have
fn whole(number: f64) -> u32 {
    number.round().clamp(0.0, 1e6) as u32
}

impl Taken {
    fn circuit(&mut self, circuit: &Circuit, catalogue: &Catalogue) {
        let number = f64::from(circuit.quantity.max(1));
        for part in &circuit.parts {
            let times = if part.shared { 1.0 } else { number };
            self.part(&part.part, part.quantity * times, &circuit.tag, catalogue);
        }
        self.width_mm -= number * carried(circuit, catalogue);
        for device in circuit.starter_devices.iter().filter(|device| device.part.is_empty()) {
            self.unknown.insert(format!("the {} of {}", device.kind.replace('-', " "), circuit.tag));
        }
        for overload in circuit.overloads.iter().filter(|overload| !overload.transformer_part.is_empty()) {
            self.unknown.insert(format!("{} ({})", overload.transformer_part, circuit.tag));
        }
    }

    /// The device of a feeder that begins here; its conductors take no room on rails.
    fn feeder(&mut self, to: &str, feeder: &Feeder, catalogue: &Catalogue) {
        if feeder.device.as_ref().is_none_or(|device| device.part.is_empty()) {
            self.unknown.insert(format!("the device of the feeder ({to})"));
        }
        for part in &feeder.parts {
            self.part(&part.part, part.quantity, to, catalogue);
        }
    }

    fn part(&mut self, part: &str, quantity: f64, tag: &str, catalogue: &Catalogue) {
        let Some((width, _)) = catalogue.footprint(part) else { return };
        if catalogue.terminals.iter().any(|terminal| terminal.part == part) {
            self.terminals_mm += width * quantity;
            return;
        }
        if width > 0.0 {
            self.width_mm += width * quantity;
            self.pieces += quantity;
        } else if needs_room(part, catalogue) {
            self.unknown.insert(if tag.is_empty() { part.to_owned() } else { format!("{part} ({tag})") });
        }
    }
}

/// A device that can't be without width; an accessory may snap onto another, and a fuse-link sits in its base.
fn needs_room(part: &str, catalogue: &Catalogue) -> bool {
    let accessory = catalogue.accessories.iter().any(|accessory| accessory.part == part);
    let link = catalogue.fuses.iter().any(|fuse| fuse.part == part);
    !accessory && !link
}

/// Width of what other devices carry: a relay below its contactor and a breaker above it, joined by a connecting module, take no room
/// of their own but for what they are wider.
fn carried(circuit: &Circuit, catalogue: &Catalogue) -> f64 {
    let width = |part: &str| catalogue.footprint(part).map_or(0.0, |footprint| footprint.0);
    let mut saved = 0.0;
    for relay in circuit.overloads.iter().filter(|overload| !overload.part.is_empty()) {
        let Some(contactor) = circuit.contactors.iter().find(|contactor| contactor.role == relay.role) else { continue };
        let mounts = catalogue.overload_relay(&relay.part).is_some_and(|relay| relay.fits_frame(&contactor.frame));
        if mounts {
            saved += width(&relay.part).min(width(&contactor.part));
        }
    }
    let joined = circuit.accessories.iter().find(|accessory| accessory.kind == "connecting-module");
    let carrier = joined.and_then(|accessory| circuit.contactors.iter().find(|contactor| contactor.role == accessory.serves));
    if let (Some(carrier), Some(breaker)) = (carrier, &circuit.protection) {
        saved += width(&breaker.part).min(width(&carrier.part));
    }
    saved
}
