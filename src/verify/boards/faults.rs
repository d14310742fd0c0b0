//! Fault currents: what a stretch of the way leaves of them, how those of one board stand to each other, and what the circuits know of
//! them.
//!
//! Behind an impedance of a known size a current of a known size lies between two bounds, whatever the angles: of impedances that both
//! have resistance and reactance the sum is not above the sum of their sizes, and not below the root of the sum of their squares.

use crate::finding::codes;
use crate::load::LoadKind;
use crate::quantity::fits;
use crate::rules::physics::nominal::is_same_voltage;
use crate::verify::boards::feeders;
use crate::verify::boards::loads::Loads;
use crate::verify::boards::tree::{Before, Place, Tree};
use crate::verify::boards::{Boards, Say, near, near_option};

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    among_each_other(place, say);
    without_motors(all, index, say);
    behind_board(all, index, say);
    behind_network(all, index, say);
    known_to_circuits(all, index, say);
}

fn among_each_other(place: &Place<'_>, say: Say<'_>) {
    const ROUNDING: f64 = 2e-4;
    let board = place.board;
    let within = |small: Option<f64>, large: Option<f64>| match (small, large) {
        (Some(small), Some(large)) => fits(small, large + ROUNDING),
        _ => true,
    };
    let largest = board.prospective_fault_ka;
    let parts = [board.three_phase_fault_ka, board.earth_fault_ka];
    let of_parts = parts.into_iter().flatten().reduce(f64::max);
    let ordered = within(board.prospective_fault_min_ka, largest)
        && within(board.prospective_fault_without_motors_ka, board.three_phase_fault_ka.or(largest))
        && of_parts.zip(largest).is_none_or(|(parts, largest)| near(parts, largest, ROUNDING))
        && (largest.is_some() || parts.iter().all(Option::is_none));
    if !ordered {
        say(
            &codes::V856_BOARD_FAULT,
            format!(
                "{largest:?} kA at most and {:?} kA at least, of three phases {:?} kA, to earth {:?} kA, without motors {:?} kA do not go together",
                board.prospective_fault_min_ka,
                board.three_phase_fault_ka,
                board.earth_fault_ka,
                board.prospective_fault_without_motors_ka
            ),
        );
    }
    // Without resistance the first half-wave is offset whole, with resistance alone not at all.
    let crest = 2f64.sqrt();
    let of_peak = board.three_phase_fault_ka.or(largest);
    let so = match (board.peak_ka, of_peak) {
        (Some(peak), Some(fault)) => peak >= crest * fault - 1e-3 && peak <= 2.0 * crest * fault + 1e-3,
        (Some(_), None) => false,
        (None, _) => true,
    };
    if !so {
        say(&codes::V856_BOARD_FAULT, format!("a peak of {:?} kA is not that of {of_peak:?} kA", board.peak_ka));
    }
}

/// The power that all motors of a design draw with locked rotors.
pub(super) struct LockedRotors {
    /// Three-phase motors, A times V: a locked rotor is an impedance (IEC 60909-0, 13.2), so that its current rises with the voltage of its
    /// board; behind a transformer the power counts.
    three_phase: f64,
    /// Between two conductors, A: they flow in both at the same size, whatever their voltage.
    single_phase: f64,
}

impl LockedRotors {
    /// None where a row can't be read anew, or a board has one phase, or boards of two voltages stand on one supply: nobody says what
    /// motors there add.
    pub(super) fn of(tree: &Tree<'_>, loads: &Loads<'_>) -> Option<Self> {
        if (0..tree.places.len()).any(|board| tree.phases(board) == 1) || unlike(tree) {
            return None;
        }
        let mut sum = Self { three_phase: 0.0, single_phase: 0.0 };
        for load in &loads.circuits {
            let load = load.as_ref()?;
            if load.facts.machine.kind != LoadKind::Motor {
                continue;
            }
            let amperes = load.facts.start.ratio.value * load.facts.rated().of_larger_speed().0 * load.beyond;
            let all = amperes * f64::from(load.circuit().quantity.max(1));
            if load.single() {
                sum.single_phase += all;
            } else {
                let board = tree.place_of(&load.circuit().board).map_or(0.0, |place| tree.places[place].board.voltage_v);
                sum.three_phase += all * board * board / load.facts.volts().max(1.0);
            }
        }
        Some(sum)
    }

    /// At a voltage, A.
    fn at(&self, volts: f64) -> f64 {
        self.single_phase + self.three_phase / volts
    }
}

/// Boards of two voltages stand on the supply without a transformer.
fn unlike(tree: &Tree<'_>) -> bool {
    let on_supply = tree.places.iter().filter(|place| matches!(place.before, Before::Supply) && place.transformer.is_none());
    let volts: Vec<f64> = on_supply.map(|place| place.board.voltage_v).filter(|volts| *volts > 0.0).collect();
    let near = |one: f64, other: f64| is_same_voltage(other, one);
    volts.iter().any(|one| !near(volts[0], *one))
}

/// Motors add no more than what all of them draw with locked rotors, by the voltage factor.
fn without_motors(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let (Some(with), Some(without)) = (board.three_phase_fault_ka, board.prospective_fault_without_motors_ka) else { return };
    let Some(locked) = all.locked_rotors.as_ref().filter(|_| !stated_on_way(all, index)) else { return };
    let factor = all.book.fault_convention(all.basis.supply.voltage_tolerance_pct).low_voltage.greatest;
    let most = factor * locked.at(board.voltage_v) / 1000.0;
    if with > without + 1.01 * most + 2e-4 {
        say(
            &codes::V856_BOARD_FAULT,
            format!("with motors {with} kA flow, without them {without} kA; all of them together bring {most:.4} kA at most"),
        );
    }
}

/// The basis states a fault current at a board, or the supply's counts there.
fn stated(place: &Place<'_>) -> bool {
    place.basis.is_some_and(|board| board.prospective_fault_ka.or(board.prospective_fault_min_ka).is_some())
}

/// A current that is stated somewhere between the source and a board stands for the network there, with what motors add and at an angle
/// that nobody may know: figures behind it are no more those of one network.
pub(super) fn stated_on_way(all: &Boards<'_>, index: usize) -> bool {
    let supply = &all.basis.supply;
    let of_supply = supply.prospective_fault_ka.or(supply.prospective_fault_min_ka).is_some();
    of_supply || all.tree.way(index).iter().any(|way| stated(&all.tree.places[*way]))
}

/// Largest and smallest current behind an impedance, of a current before it; `limit` is the current that the impedance alone admits.
fn behind(before: f64, limit: f64) -> [f64; 2] {
    let ratio = before / limit;
    [before / (1.0 + ratio), before / (1.0 + ratio * ratio).sqrt()]
}

/// Behind a feeder or transformer flows what its impedance leaves of what flows before it, motors left out.
fn behind_board(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let Some(parent) = all.tree.parent(index).map(|parent| all.tree.places[parent].board) else { return };
    let board = place.board;
    // A source that stands in for the supply is the stronger one everywhere or nowhere; of one that boards name that is not sure. A stated
    // current holds what motors add, and nobody says at which angle.
    let beside = |place: &Place<'_>| !place.instead.is_empty() || matches!(place.before, Before::Source(_));
    let stated_before = stated_on_way(all, index);
    let one_source = !all.tree.places.iter().any(beside) && !stated_before;
    let before = if one_source { parent.prospective_fault_without_motors_ka } else { parent.prospective_fault_ka };
    let ratio = if place.transformer.is_some() { parent.voltage_v / board.voltage_v } else { 1.0 };
    let before = before.map(|fault| fault * ratio);
    let (Some(before), Some(behind_it)) = (before, board.prospective_fault_without_motors_ka) else { return };
    if stated(place) {
        return;
    }
    let fitting = stated_before || fits(behind_it, before + 2e-4);
    let [least, most] = window(all, index, before).unwrap_or([0.0, before]);
    let known = one_source && !Boards::told(board, &codes::B306_FEEDER_TWO_WAYS);
    let so = fitting && (!known || behind_it >= 0.99 * least && behind_it <= 1.01 * most);
    if !so {
        say(
            &codes::V856_BOARD_FAULT,
            format!(
                "without motors {behind_it} kA flow, {before:.4} kA before its feeder; its impedance leaves {least:.4} to {most:.4} kA"
            ),
        );
    }
    let least_before = parent.prospective_fault_min_ka.map(|prospective_fault_min_ka| prospective_fault_min_ka * ratio);
    let reversed = board.prospective_fault_min_ka.zip(least_before).is_some_and(|(least, before)| least > before * 1.001);
    if reversed && !stated_before && place.transformer.is_none() {
        say(&codes::V856_BOARD_FAULT, format!("{:?} kA flow at least, less before its feeder", board.prospective_fault_min_ka));
    }
}

/// Current without motors behind transformer and feeder of a board, at least and at most, from that before them, kA.
fn window(all: &Boards<'_>, index: usize, before: f64) -> Option<[f64; 2]> {
    let place = &all.tree.places[index];
    let convention = all.book.fault_convention(all.basis.supply.voltage_tolerance_pct);
    let driving = convention.low_voltage.greatest * place.board.voltage_v / 3f64.sqrt() / 1000.0;
    let mut ends = [before; 2];
    if let Some(transformer) = place.transformer {
        let (kva, pct) =
            (transformer.kva.filter(|kva| *kva > 0.0)?, transformer.impedance_pct.filter(|impedance_pct| *impedance_pct > 0.0)?);
        let secondary = transformer.secondary_voltage_v.unwrap_or(place.board.voltage_v);
        let ohms = pct / 100.0 * secondary * secondary / (kva * 1000.0);
        // The factor of IEC 60909-0 for transformers lies between these: 0.95 × 1.05 / (1 + 0.6 × 0.2), and 1.
        let corrected = if convention.corrected { [1.05, 0.85] } else { [1.0, 1.0] };
        ends = [behind(ends[0], driving / (ohms * corrected[0]))[0], behind(ends[1], driving / (ohms * corrected[1]))[1]];
    }
    let asked = place.board.feeder.run.is_some() || place.basis.is_some_and(|board| board.feeder_r_ohm.is_some());
    let cold = feeders::impedance(all, index).map(|impedance| impedance.cold.magnitude().0);
    match cold.filter(|cold| *cold > 0.0) {
        Some(ohms) => Some([behind(ends[0], driving / ohms)[0], behind(ends[1], driving / ohms)[1]]),
        None if asked || place.transformer.is_none() => None,
        None => Some(ends),
    }
}

/// At a board that stands on the network the fault level of this and the transformer between leave so much.
fn behind_network(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let (place, supply) = (&all.tree.places[index], &all.basis.supply);
    let (Before::Supply, Some(mva), Some(told)) =
        (place.before, supply.upstream_fault_mva, place.board.prospective_fault_without_motors_ka)
    else {
        return;
    };
    let plain = place.transformer.is_some() && all.basis.sources.is_empty() && !stated(place);
    if !plain || supply.prospective_fault_ka.or(supply.transformer_kva).or(supply.transformer_impedance_pct).is_some() {
        return;
    }
    let before = mva * 1000.0 / (3f64.sqrt() * place.board.voltage_v);
    let Some([least, most]) = window(all, index, before) else { return };
    // The level is stated with a voltage factor of its own, from 1 to 1.1.
    if told < 0.9 * least || told > 1.1 * most {
        say(
            &codes::V856_BOARD_FAULT,
            format!("without motors {told} kA flow; network and transformer leave {least:.3} to {most:.3} kA"),
        );
    }
}

fn known_to_circuits(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let board = all.tree.places[index].board;
    for circuit in all.circuits_of(index) {
        // Nothing is asked of a circuit that was not sized.
        let sized = circuit.protection.is_some() || !circuit.runs.is_empty();
        if sized && !near_option(circuit.fault.board_max_ka, board.prospective_fault_ka, 2e-3) {
            say(
                &codes::V856_BOARD_FAULT,
                format!(
                    "{} takes {:?} kA for its fault current, which is {:?} kA",
                    circuit.tag, circuit.fault.board_max_ka, board.prospective_fault_ka
                ),
            );
        }
    }
}
