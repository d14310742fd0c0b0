//! Nameplates and cable tags of a circuit. A power cable is `W-<tag>-<number>`, a control cable `W-<tag>-C<number>`, each numbered from the
//! board to the machine; behind a reference designation, which begins with a sign, they are `-M1-WD1` and `-M1-WG1`. What is bought, what
//! is engraved and what a renamed row needs anew are counted from the same list.

use super::{Circuit, Part, Run};

/// Role of the run of a control circuit.
const CONTROL: &str = "control";

/// What a cable is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carries {
    /// Power, to a machine or a board.
    Power,
    /// Control, signals and what small parts draw.
    Control,
}

/// The tag of a cable of a machine or board. Power and control are numbered apart: one power cable less leaves every control cable its tag.
/// A reference designation keeps its sign, by which it sorts and is told from another (IEC 81346-1), with the classes of IEC 81346-2 behind
/// it: WD for power, WG for control (memory).
#[must_use]
pub fn cable_tag(name: &str, carries: Carries, number: usize) -> String {
    let is_designation = name.starts_with(['-', '=', '+']);
    match (is_designation, carries) {
        (false, Carries::Power) => format!("W-{name}-{number}"),
        (false, Carries::Control) => format!("W-{name}-C{number}"),
        (true, Carries::Power) => format!("{name}-WD{number}"),
        (true, Carries::Control) => format!("{name}-WG{number}"),
    }
}

/// A cable, or the conductors of one run in conduit or raceway.
#[derive(Clone, Debug, PartialEq)]
pub struct TaggedCable<'c> {
    /// Its tag.
    pub tag: String,
    /// Its run.
    pub run: &'c Run,
    /// Where it begins.
    pub from: String,
    /// Where it ends.
    pub to: String,
}

/// Machines of a circuit with how many each label is for: each tag once where there are as many as machines, else the row's own.
#[must_use]
pub fn machines(circuit: &Circuit) -> Vec<(&str, u32)> {
    let each = u32::try_from(circuit.tags.len()).is_ok_and(|count| count == circuit.quantity.max(1));
    if each {
        return circuit.tags.iter().map(|tag| (tag.as_str(), 1)).collect();
    }
    vec![(circuit.tag.as_str(), circuit.quantity.max(1))]
}

/// Motors of one circuit, each with the name that its cables and its isolator bear: its own tag where the row names just as many machines
/// as stand behind its one starter, else its number behind the circuit's.
#[must_use]
pub fn motors(circuit: &Circuit, machine: &str) -> Vec<String> {
    let count = circuit.motors.max(1);
    if count == 1 {
        return vec![machine.to_owned()];
    }
    if circuit.quantity.max(1) == 1 && u32::try_from(circuit.tags.len()).is_ok_and(|named| named == count) {
        return circuit.tags.clone();
    }
    (1..=count).map(|number| format!("{machine} motor {number}")).collect()
}

/// Before what stands several times, one for each motor behind the starter.
#[must_use]
pub fn so_many(count: u32) -> String {
    if count > 1 { format!("{count} × ") } else { String::new() }
}

/// A local isolator has a nameplate of its own.
#[must_use]
pub fn has_isolator(circuit: &Circuit) -> bool {
    isolators(circuit) > 0
}

/// Local isolators of one circuit: one to each motor.
#[must_use]
pub fn isolators(circuit: &Circuit) -> u32 {
    circuit
        .disconnect
        .as_ref()
        .filter(|disconnect| disconnect.location == "at the machine")
        .map_or(0, |disconnect| disconnect.count.max(1))
}

/// A local isolator parts the run in two: the way to a machine, not that to its starter or from its slip rings, nor control cables.
#[must_use]
pub fn is_parted(circuit: &Circuit, run: &Run) -> bool {
    has_isolator(circuit) && ![CONTROL, "rotor", "supply"].contains(&run.role.as_str())
}

/// A length of a cable between two ends that bear its tag.
#[derive(Clone, Debug, PartialEq)]
pub struct TaggedLength {
    /// Its tag: that of the cable, or with the number of the length behind it where there are two.
    pub tag: String,
    /// Where it begins.
    pub from: String,
    /// Where it ends.
    pub to: String,
}

/// What a local isolator is called where conductors are sized by gauge.
fn isolator_word(run: &Run) -> &'static str {
    if ["AWG", "kcmil"].iter().any(|unit| run.phase_size.contains(unit)) { "disconnect" } else { "isolator" }
}

/// The lengths of a cable: one, or two where a local isolator parts it.
#[must_use]
pub fn lengths(circuit: &Circuit, cable: &TaggedCable<'_>) -> Vec<TaggedLength> {
    let length = |tag: String, from: &str, to: &str| TaggedLength { tag, from: from.to_owned(), to: to.to_owned() };
    if !is_parted(circuit, cable.run) {
        return vec![length(cable.tag.clone(), &cable.from, &cable.to)];
    }
    let isolator = format!("{} {}", cable.to, isolator_word(cable.run));
    vec![length(format!("{}.1", cable.tag), &cable.from, &isolator), length(format!("{}.2", cable.tag), &isolator, &cable.to)]
}

/// Cables of one machine of a circuit.
#[must_use]
pub fn cables<'c>(circuit: &'c Circuit, machine: &str) -> Vec<TaggedCable<'c>> {
    let apart = circuit.runs.iter().any(|run| run.role == "supply");
    let board = if circuit.board.is_empty() { "board" } else { &circuit.board };
    let starter = format!("{machine} starter");
    let motors = motors(circuit, machine);
    let mut tagged = Vec::new();
    let (mut power, mut control) = (0, 0);
    for run in &circuit.runs {
        let (carries, number) = if run.role == CONTROL { (Carries::Control, &mut control) } else { (Carries::Power, &mut power) };
        // One run to each motor, or one that serves all of them.
        let ends: Vec<&str> = if run.count > 1 { motors.iter().map(String::as_str).collect() } else { vec![machine] };
        for end in ends {
            let (from, to) = match (run.role.as_str(), apart) {
                ("supply", _) => (board, starter.as_str()),
                (CONTROL, true) if run.governed_by.ends_with("coil supply") => (board, starter.as_str()),
                (_, true) => (starter.as_str(), end),
                (_, false) => (board, end),
            };
            for _ in 0..cables_of(circuit, run) {
                *number += 1;
                let tag = cable_tag(machine, carries, *number);
                tagged.push(TaggedCable { tag, run, from: from.to_owned(), to: to.to_owned() });
            }
        }
    }
    tagged
}

/// Cables of one run: as many as were bought in one piece, or one bundle of single conductors.
fn cables_of(circuit: &Circuit, run: &Run) -> u32 {
    // Control cables of one kind may serve several purposes, and then stand in several lines.
    if run.role == CONTROL {
        return run.per_phase.max(1);
    }
    let cuts = |part: &&Part| part.run == run.role && part.part == run.part && part.cuts > 0;
    let main = circuit.parts.iter().find(cuts).map_or(1, |part| part.cuts / run.count.max(1));
    // Single cores are as many cuts as conductors; they bear one tag together in each parallel set.
    let single = main > run.per_phase.max(1) * run.cables.max(1) && circuit.parts.iter().any(|part| is_protective(part, run));
    if single { run.per_phase.max(1) } else { main }
}

/// A protective conductor that is bought by itself.
fn is_protective(part: &Part, run: &Run) -> bool {
    part.run == run.role && part.cuts > 0 && part.part != run.part
}
