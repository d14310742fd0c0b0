//! Heat of a board: what the devices of the circuits that run together give off at their currents, those of the feeders that begin
//! here among them, and whether the enclosure gives it away. Among circuits that exclude each other the warmest combination counts.

use std::collections::BTreeSet;

use super::panel::{self, Outgoing};
use crate::basis::BoardBasis;
use crate::catalogue::Catalogue;
use crate::design::{Board, Circuit, DeviceLoss, Part, Status};
use crate::finding::{Finding, codes};
use crate::load::Method;
use crate::network::Network;
use crate::network::feeders::Feeder;
use crate::quantity::{Amperes, VoltAmperes, Watts, round_to};
use crate::record::Record;
use crate::rules::physics::heat;
use crate::sizing::Tools;
use crate::sizing::arrangement::Arrangement;
use crate::sizing::judge::{at_most, not_checked};
use crate::sizing::resolve::enclosure_rise_k;

/// Name of a feeder's device.
const FEEDER_DEVICE: &str = "device of the feeder";

/// Name of the device at the head of the board.
const INCOMING_DEVICE: &str = "incoming device";

/// Contactors that are open when the motor runs.
const OPEN_WHILE_RUNNING: &[&str] = &["star", "star-point", "transition"];

/// Adds up the heat of a board and holds it against its enclosure; `places` are those of its circuits in the schedule.
pub(super) fn add(
    board: &mut Board,
    circuits: &[&Circuit],
    places: &[usize],
    network: &Network,
    tools: &Tools<'_>,
    record: &mut Record,
) {
    let mut sum = Sum::new(tools.catalogue);
    let of_place = |place: usize| places.binary_search(&place).ok().and_then(|at| circuits.get(at));
    let warmth = |place: usize| of_place(place).map_or(0.0, |circuit| warmth(circuit, tools.catalogue));
    for (circuit, running) in circuits.iter().zip(panel::running(circuits, places, network, &warmth)) {
        if running == 0 || panel::stands_apart(circuit, tools.catalogue) {
            continue;
        }
        if circuit.status == Status::NotSized {
            sum.unknown.insert(format!("{}, which is not sized", circuit.tag));
            continue;
        }
        sum.circuit(circuit, running);
    }
    board.parts.iter().for_each(|part| sum.small("", part, part.quantity));
    for outgoing in panel::outgoing(&board.name, network) {
        match outgoing {
            Outgoing::Board(node, feeder, index) => sum.feeder(&node.name, feeder, carried(network, index)),
            Outgoing::Transformer(transformer) => _ = sum.unknown.insert(panel::before_transformer(transformer, tools.basis)),
        }
    }
    if let Some(part) = panel::incoming(&board.name, network).first() {
        let current = network.find(&board.name).map_or(Amperes(0.0), |index| carried(network, index));
        sum.device("", INCOMING_DEVICE, &part.part, protection(&part.part, tools.catalogue), current.0, part.quantity);
    }
    let devices = sum.losses.iter().map(|loss| loss.loss_w * loss.quantity).fold(0.0, |sum, watts| sum + watts);
    let loss = heat::board_loss(record, Watts(devices));
    board.power_loss_w = round_to(loss.0, 1);
    board.losses = sum.losses;
    let unknown: Vec<String> = sum.unknown.into_iter().collect();
    if !unknown.is_empty() {
        board.findings.push(
            Finding::new(&codes::B601_NO_LOSS, format!("the heat of the board lacks that of {}", unknown.join("; ")))
                .why("the catalogue declares none for it")
                .cure("ask the makers, and add it to the heat of the board"),
        );
    }
    enclosure(board, loss, unknown.is_empty(), tools, record);
}

/// Heat of one circuit of a row in its board. What is not sized may be the warmest.
fn warmth(circuit: &Circuit, catalogue: &Catalogue) -> f64 {
    if panel::stands_apart(circuit, catalogue) {
        return 0.0;
    }
    if circuit.status == Status::NotSized {
        return f64::INFINITY;
    }
    let mut sum = Sum::new(catalogue);
    sum.circuit(circuit, 1);
    sum.losses.iter().map(|loss| loss.loss_w * loss.quantity).sum()
}

/// Current in the feeder of a board: what runs behind it, or its demand where what is there already adds to it.
fn carried(network: &Network, index: usize) -> Amperes {
    network.demands.boards.get(index).map_or(Amperes(0.0), |demand| demand.running.max(demand.demand))
}

/// Heat against what the enclosure gives off, where the basis tells of one.
fn enclosure(board: &mut Board, loss: Watts, complete: bool, tools: &Tools<'_>, record: &mut Record) {
    let Some(board_basis) = tools.basis.board(&board.name) else { return };
    let Some((dissipation, reference)) = dissipation(board_basis, tools) else { return };
    board.enclosure_dissipation_w = Some(dissipation.0);
    let check = at_most("enclosure-heat", loss.0, dissipation.0, "W", reference);
    let failed = check.passed == Some(false);
    if dissipation.0 > 0.0 {
        let rise = heat::air_rise(record, loss, dissipation, enclosure_rise_k());
        board.temperature_rise_k = Some(round_to(rise, 1));
    }
    // A missing figure can only add to the heat: a board that fails without it fails all the more.
    board.checks.push(if failed || complete {
        check
    } else {
        not_checked("enclosure-heat", "W", "the heat of some parts is unknown", reference)
    });
    if failed {
        board.findings.push(
            Finding::new(
                &codes::B604_ENCLOSURE_HEAT,
                format!(
                    "the devices give off {} W; the enclosure carries off {} W at {} K above the room",
                    round_to(loss.0, 0),
                    round_to(dissipation.0, 0),
                    enclosure_rise_k()
                ),
            )
            .why("the air at the devices becomes hotter than they are rated for")
            .cure("a larger or ventilated enclosure, cooling, or drives and supplies outside of it")
            .reference(reference.to_owned()),
        );
    }
}

/// Heat that an enclosure gives off at the usual rise: as the basis states it, else as the catalogue declares it.
fn dissipation(board: &BoardBasis, tools: &Tools<'_>) -> Option<(Watts, &'static str)> {
    let stated = board.enclosure_dissipation_w.map(|watts| (Watts(watts), "basis, enclosure_dissipation_w"));
    let declared =
        || panel::enclosure(board, tools.catalogue).map(|enclosure| (Watts(enclosure.dissipation_w), "catalogue, dissipation_w"));
    stated.or_else(declared)
}

struct Sum<'a> {
    catalogue: &'a Catalogue,
    losses: Vec<DeviceLoss>,
    unknown: BTreeSet<String>,
}

/// Heat declared of a device at a rated current, and the part of it that is always there.
struct Declared {
    at: Amperes,
    watts: f64,
    constant: Watts,
}

impl<'a> Sum<'a> {
    fn new(catalogue: &'a Catalogue) -> Self {
        Self { catalogue, losses: Vec::new(), unknown: BTreeSet::new() }
    }

    /// The device of a feeder that begins here.
    fn feeder(&mut self, to: &str, feeder: &Feeder, current: Amperes) {
        let part = feeder.device.as_ref().map_or("", |device| device.part.as_str());
        let pieces: f64 =
            feeder.parts.iter().filter(|bought| !part.is_empty() && bought.part == part).map(|part| part.quantity).sum();
        self.device(to, FEEDER_DEVICE, part, protection(part, self.catalogue), current.0, pieces.max(1.0));
    }

    fn circuit(&mut self, circuit: &Circuit, running: u32) {
        let number = f64::from(running);
        let closed = closed(circuit, self.catalogue);
        for chosen in circuit.contactors.iter().filter(|contactor| closed.contains(&contactor.role.as_str())) {
            let current = chosen.current_a / f64::from(chosen.poles_in_parallel.max(1));
            let device = format!("contactor, {}", chosen.role);
            self.device(&circuit.tag, &device, &chosen.part, contactor(circuit, &chosen.part, self.catalogue), current, number);
        }
        for overload in circuit.overloads.iter().filter(|overload| !overload.part.is_empty()) {
            // The relay of a contactor that is open carries nothing.
            let has_contactor = circuit.contactors.iter().any(|contactor| contactor.role == overload.role);
            if has_contactor && !closed.contains(&overload.role.as_str()) {
                continue;
            }
            let base = circuit.low_speed_current(overload).unwrap_or(circuit.currents.full_load_a);
            let current = base * overload.winding_factor;
            let relay = self.catalogue.overload_relay(&overload.part).map(|relay| Declared {
                at: Amperes(overload.range_a[1]),
                watts: relay.loss_w,
                // Electronics are warm whatever flows; what they are declared to give off is not made less.
                constant: Watts(if relay.kind == "bimetal" { 0.0 } else { relay.loss_w }),
            });
            self.device(
                &circuit.tag,
                "overload relay",
                &overload.part,
                relay,
                current,
                number * f64::from(overload.count.max(1)),
            );
            if !overload.transformer_part.is_empty() {
                self.unknown.insert(format!("{} ({})", overload.transformer_part, circuit.tag));
            }
        }
        if let Some(device) = circuit.protection.as_ref().filter(|protection| !protection.part.is_empty()) {
            let pieces = pieces(circuit, &device.part).max(1.0);
            let declared = protection(&device.part, self.catalogue);
            let current = line_current(circuit, self.catalogue);
            self.device(&circuit.tag, "protective device", &device.part, declared, current, number * pieces);
        }
        for device in &circuit.starter_devices {
            self.starter_device(circuit, device, &closed, number);
        }
        for part in &circuit.parts {
            let times = if part.shared { 1.0 } else { number };
            self.small(&circuit.tag, part, part.quantity * times);
        }
    }

    fn starter_device(&mut self, circuit: &Circuit, starter_device: &crate::design::StarterDevice, closed: &[&str], number: f64) {
        // Transformers and resistors of a start carry nothing while the motor runs.
        if !matches!(starter_device.kind.as_str(), "soft-starter" | "drive") {
            return;
        }
        let soft = self.catalogue.soft_starters.iter().find(|part| part.part == starter_device.part);
        let drive = self.catalogue.drives.iter().find(|part| part.part == starter_device.part);
        let declared = soft.map(|part| part.loss_w).or(drive.map(|part| part.loss_w));
        let bypassed = soft.is_some_and(|part| part.bypass_built_in) || soft.is_some() && closed.contains(&"bypass");
        let watts = declared.map(|watts| if bypassed { heat::bypassed_loss(Watts(watts)).0 } else { watts });
        let declared = watts.map(|watts| Declared { at: Amperes(starter_device.rated_a), watts, constant: Watts(watts) });
        let device = starter_device.kind.replace('-', " ");
        self.device(&circuit.tag, &device, &starter_device.part, declared, starter_device.current_a, number);
    }

    /// A device of the power circuit at its current.
    fn device(&mut self, tag: &str, device: &str, part: &str, declared: Option<Declared>, current: f64, quantity: f64) {
        let Some(declared) = declared.filter(|declared| declared.watts > 0.0 && declared.at.0 > 0.0) else {
            let name = if part.is_empty() { device } else { part };
            self.unknown.insert(format!("{name} ({tag})"));
            return;
        };
        let loss = heat::loss_at(&mut Record::silent(), declared.constant, Watts(declared.watts), Amperes(current), declared.at);
        self.losses.push(DeviceLoss {
            tag: tag.to_owned(),
            device: device.to_owned(),
            part: part.to_owned(),
            current_a: Some(round_to(current, 3)),
            rated_a: Some(declared.at.0),
            declared_w: round_to(declared.watts, 3),
            constant_w: round_to(declared.constant.0, 3),
            loss_w: round_to(loss.0, 3),
            quantity,
        });
    }

    /// Parts of control circuits, which give off the same whatever the load draws.
    fn small(&mut self, tag: &str, part: &Part, quantity: f64) {
        let catalogue = self.catalogue;
        macro_rules! look { ($($family:ident: $device:literal),*) => { $(
            if let Some(row) = catalogue.$family.iter().find(|family| family.part == part.part) {
                return self.constant(tag, $device, part, row.loss_w, quantity);
            }
        )* }; }
        look!(control_transformers: "control transformer", power_supplies: "direct-current supply");
        look!(control_protection: "protective device of a control circuit", interposing_relays: "interposing relay");
        let kind =
            catalogue.accessories.iter().find(|accessory| accessory.part == part.part).map(|accessory| accessory.kind.as_str());
        if let Some((kind, watts)) = kind.and_then(|kind| Some((kind, heat::practice(kind)?))) {
            self.constant(tag, &kind.replace('-', " "), part, watts, quantity);
        }
    }

    fn constant(&mut self, tag: &str, device: &str, part: &Part, watts: f64, quantity: f64) {
        if watts <= 0.0 {
            self.unknown.insert(if tag.is_empty() { part.part.clone() } else { format!("{} ({tag})", part.part) });
            return;
        }
        self.losses.push(DeviceLoss {
            tag: tag.to_owned(),
            device: device.to_owned(),
            part: part.part.clone(),
            current_a: None,
            rated_a: None,
            declared_w: watts,
            constant_w: watts,
            loss_w: watts,
            quantity,
        });
    }
}

/// Contactors that are closed together while the load runs; where two exclude each other, the warmer one.
fn closed<'c>(circuit: &'c Circuit, catalogue: &Catalogue) -> Vec<&'c str> {
    let method = circuit.load.starting_method.as_deref().and_then(Method::from_word);
    let excluded: &[(&str, &str)] = match method {
        Some(Method::Direct) if circuit.load.reversing => &[("forward", "reverse")],
        Some(method) => Arrangement::of(method).interlocked,
        None => &[],
    };
    let warmth = |chosen: &crate::design::Contactor| {
        let declared = contactor(circuit, &chosen.part, catalogue);
        declared.map_or(0.0, |rated| {
            let current = Amperes(chosen.current_a / f64::from(chosen.poles_in_parallel.max(1)));
            heat::loss_at(&mut Record::silent(), rated.constant, Watts(rated.watts), current, rated.at).0
        })
    };
    let mut candidates: Vec<&crate::design::Contactor> =
        circuit.contactors.iter().filter(|contactor| !OPEN_WHILE_RUNNING.contains(&contactor.role.as_str())).collect();
    candidates.sort_by(|a, b| warmth(b).total_cmp(&warmth(a)));
    let mut closed: Vec<&str> = Vec::new();
    for contactor in candidates {
        let excludes = |other: &&str| {
            excluded.iter().any(|(a, b)| (*a == contactor.role && b == other) || (*b == contactor.role && a == other))
        };
        if !closed.iter().any(excludes) {
            closed.push(&contactor.role);
        }
    }
    closed
}

/// Heat of a contactor at its AC-3 or continuous rating (at that for its one purpose, where it has no other), with the coil of the control
/// voltage.
fn contactor(circuit: &Circuit, part: &str, catalogue: &Catalogue) -> Option<Declared> {
    let contactor = catalogue.contactor_with_coil(part)?;
    let record = &mut Record::silent();
    let alternating = heat::coil_loss(record, VoltAmperes(contactor.coil_ac_hold_va), contactor.coil_ac_hold_power_factor);
    let direct = circuit.control.as_ref().is_some_and(|control| control.coil_voltage.ends_with("DC"));
    let constant = contactor.coil_dc_hold_w.filter(|_| direct).map_or(alternating, Watts);
    let poles = (contactor.loss_w - alternating.0).max(0.0);
    let watts = if contactor.loss_w > 0.0 { poles + constant.0 } else { 0.0 };
    Some(Declared {
        at: Amperes(contactor.ac3_440_a.or(contactor.continuous_a).or(contactor.ac6b_a).or(contactor.ac1_a)?),
        watts,
        constant,
    })
}

/// Heat of a protective device at its rated current; for fuses that of one link.
fn protection(part: &str, catalogue: &Catalogue) -> Option<Declared> {
    let declared_at = |at: f64, watts: f64| Some(Declared { at: Amperes(at), watts, constant: Watts(0.0) });
    if let Some(breaker) = catalogue.motor_breaker(part) {
        return declared_at(breaker.range_max_a, breaker.loss_w);
    }
    macro_rules! look { ($($family:ident),*) => { $(
        if let Some(row) = catalogue.$family.iter().find(|family| family.part == part) { return declared_at(row.rating_a, row.loss_w); }
    )* }; }
    look!(moulded_case_breakers, line_breakers, branch_breakers, fuses);
    let switch = catalogue.switch_disconnectors.iter().find(|switch| switch.part == part);
    switch.and_then(|switch| declared_at(switch.rating_a, switch.loss_w()))
}

/// Current through the protective device while the load runs at rated output.
fn line_current(circuit: &Circuit, catalogue: &Catalogue) -> f64 {
    let currents = &circuit.currents;
    let drawn = circuit.starter_devices.iter().filter_map(|device| {
        let drive = catalogue.drives.iter().find(|part| part.part == device.part)?;
        // A drive draws its rated input at its rated output at most.
        Some(drive.input_a)
    });
    drawn.fold(currents.of_larger_speed_a(), f64::max)
}

/// Pieces of a part in one circuit.
fn pieces(circuit: &Circuit, part: &str) -> f64 {
    circuit.parts.iter().filter(|bought| bought.part == part).map(|part| part.quantity).sum()
}

#[cfg(test)]
mod tests;
