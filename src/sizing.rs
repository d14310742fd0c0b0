//! Sizing is one pure function of a case, its board's supply point, the pins and the tools: [`size`].
//!
//! Choosing and judging are one ([`judge`]): a device that is chosen and one that is given go through the same checks. The order
//! is fixed, and nothing chosen later changes what was chosen earlier: currents, then contactors, relays and protective device
//! together ([`assembly`]), then the runs ([`conductors`]), then control and accessories.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::basis::Basis;
use crate::catalogue::Catalogue;
use crate::design::{Circuit, LoadData, Status};
use crate::finding::Severity;
use crate::load::{Case, Entry, FIELDS, Field, Kind, Load, Value};
use crate::record::Record;
use crate::rules::units::Units;
use crate::rules::{RatedCurrents, RuleBook};
use crate::sizing::assembly::{Assembly, Room};
use crate::supply::SupplyPoint;

pub mod accessories;
pub mod arrangement;
pub mod assembly;
mod assumed;
pub mod assumptions;
pub mod cautions;
pub mod conductors;
pub mod control;
pub mod given;
pub mod isolator;
pub mod judge;
pub mod materials;
pub mod memory;
mod neutral;
pub mod plausible;
mod prefer;
pub mod resolve;
pub(crate) mod runs;
mod sight;
mod sockets;
mod suitability;
pub(crate) mod terminals;
#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod tests;

/// Basis, rule book and catalogue, by which everything is sized.
#[derive(Clone, Copy)]
pub struct Tools<'a> {
    /// Basis.
    pub basis: &'a Basis,
    /// Rule book.
    pub book: &'static dyn RuleBook,
    /// Catalogue.
    pub catalogue: &'a Catalogue,
}

/// Choices that are fixed from outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pins {
    /// Frame that interlocked partners must share.
    pub frame: Option<String>,
    /// Frame that the row would have without them.
    pub frame_alone: Option<String>,
    /// Contactors that are wanted, by role: part numbers without coil.
    pub contactors: BTreeMap<String, String>,
    /// Overload relays that are wanted, by role and position.
    pub relays: BTreeMap<(String, String), String>,
    /// Protective device that is wanted.
    pub protection: Option<String>,
    /// Rows with which this one is interlocked, in the order of the schedule.
    pub partners: Vec<Partner>,
    /// Other rows bring electronics into the panel in which this one stands.
    pub electronics: bool,
}

/// A row with which another is interlocked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Partner {
    /// Its tag as it stands.
    pub tag: String,
    /// Its machines.
    pub tags: Vec<String>,
    /// A mechanical interlock joins the two: each is one contactor, side by side on one board, in equal numbers.
    pub mechanical: bool,
    /// It stands on another board, or one of the two starters at the end of a supply run or in an enclosure of its own.
    pub elsewhere: bool,
    /// The row that is sized comes first, so that it brings the mechanical interlock.
    pub first: bool,
}

/// Sizes a case.
#[must_use]
pub fn size(load: &Load, case: &Case, point: &SupplyPoint, pins: &Pins, tools: &Tools<'_>, record: &mut Record) -> Circuit {
    let mut circuit = not_sized(load, tools.basis);
    resolved_data(&mut circuit.load, case);
    let Some(mut of_one) = tools.book.currents(&case.machine, &case.start, &case.wishes.current_source, load, record) else {
        return circuit;
    };
    // A motor that is not started on two speeds never runs on its low one.
    of_one.low = of_one.low.filter(|_| case.start.method.two_speeds());
    // The starter of several motors carries all; relays, runs and isolators take their share.
    let currents = of_one.of_several(case.motors, record);
    circuit.motors = case.motors;
    suitability::look(load, case, &currents, point, tools, record);
    sockets::ask(load, case, &currents, tools, record);
    let assembly = devices_and_runs(case, [&currents, &of_one], point, pins, tools, &mut circuit, record);
    isolator::describe(case, &of_one, &assembly, point, tools, &mut circuit, record);
    control::describe(case, &assembly, point, tools, &mut circuit, record);
    terminals::check(case, &assembly, tools, &mut circuit, record);
    accessories::add(case, &assembly, pins, tools, &mut circuit, record);
    accessories::describe_parts(&mut circuit, tools);
    materials::add(case, tools, &mut circuit, record);
    circuit.given = given::judge(&given::Row { load, case, currents: &currents, point, tools }, &assembly, &circuit, record);
    circuit.currents = assembly::currents_of(case, &currents, assembly.line);
    circuit.start = assembly::start_of(case, &currents, tools);
    for check in &circuit.checks {
        let said = [control::OWN_FINDINGS, accessories::OWN_FINDINGS].iter().any(|names| names.contains(&check.name.as_str()));
        let said = said || assembly::relays::told_of_several(case, check) || assembly::missing::tells(&assembly, check);
        if check.passed == Some(false) && !said {
            record.find(judge::finding_of(check, &case.place, Units::of(tools.book.key())));
        }
    }
    memory::say(case, &currents, &assembly, tools, record);
    for finding in assumed::of_row(case, &circuit, tools.book) {
        record.find(finding);
    }
    circuit.status = Status::Sized;
    circuit
}

/// Chooses devices, then runs. Where the starter's terminals do not take what leaves it, devices of larger frames are tried once, and stay
/// where everything else holds as before and no terminal of the runs is left that does not take them. Currents are those of all motors
/// and of one.
fn devices_and_runs<'a>(
    case: &Case,
    [currents, of_one]: [&RatedCurrents; 2],
    point: &SupplyPoint,
    pins: &Pins,
    tools: &Tools<'a>,
    circuit: &mut Circuit,
    record: &mut Record,
) -> Assembly<'a> {
    let choose = |lacking: Option<(Room, &Assembly<'a>)>, circuit: &mut Circuit, record: &mut Record| {
        let mut assembly = assembly::choose(case, currents, point, pins, lacking.map(|(room, _)| room), tools, record);
        if let Some((room, smaller)) = lacking {
            room.say(case, smaller, &mut assembly, tools, record);
        }
        assembly.describe(case, circuit);
        runs::choose(case, currents, &assembly, point, tools, circuit, record);
        assembly
    };
    let (mut roomier, mut roomier_record) = (circuit.clone(), record.clone());
    let smaller = choose(None, circuit, record);
    let Some(room) = Room::lacking(&smaller, &circuit.runs, tools) else { return smaller };
    let larger = choose(Some((room, &smaller)), &mut roomier, &mut roomier_record);
    let doubts = |circuit: &Circuit| circuit.checks.iter().filter(|check| check.passed != Some(true)).count();
    let takes = |larger: &Assembly<'a>, roomier: &Circuit| terminals::all_take(case, of_one, larger, point, tools, roomier);
    if room.found(&smaller, &larger, &roomier.runs, tools) && doubts(&roomier) <= doubts(circuit) && takes(&larger, &roomier) {
        (*circuit, *record) = (roomier, roomier_record);
        return larger;
    }
    smaller
}

/// A circuit that keeps the row's place without any choice.
#[must_use]
pub fn not_sized(load: &Load, basis: &Basis) -> Circuit {
    Circuit {
        tag: load.tag(),
        tags: load.tags(),
        board: resolve::board(load, basis),
        description: load.text(Field::Description).unwrap_or("").to_owned(),
        quantity: circuits_of(load),
        motors: 1,
        duty_count: load.count(Field::DutyCount),
        standby_count: load.count(Field::StandbyCount),
        place: load.place().into(),
        status: Status::NotSized,
        stated: stated(load),
        load: load_data(load),
        ..Circuit::default()
    }
}

/// Equal circuits of a row: its quantity, else one for each of its machines. Where the row names just as many machines as stand behind
/// one starter, they are those of this starter.
#[must_use]
pub fn circuits_of(load: &Load) -> u32 {
    load.count(Field::Quantity).unwrap_or_else(|| {
        let named = u32::try_from(load.tags().len()).unwrap_or(u32::MAX).max(1);
        if named == motors_behind(load) { 1 } else { named }
    })
}

/// Motors behind one starter, as the row states them.
#[must_use]
pub fn motors_behind(load: &Load) -> u32 {
    load.count(Field::MotorsPerStarter).unwrap_or(1).max(1)
}

/// The status that findings and checks leave: a circuit with an error is not sized, one with a warning, a failed check or one that
/// could not be made needs a decision.
pub fn settle_status(circuit: &mut Circuit) {
    let has = |severity: Severity| circuit.findings.iter().any(|finding| finding.severity == severity);
    if circuit.status == Status::NotSized || has(Severity::Error) {
        circuit.status = Status::NotSized;
    } else if has(Severity::Warning) || circuit.checks.iter().any(|check| check.passed != Some(true)) {
        circuit.status = Status::NeedsDecision;
    } else {
        circuit.status = Status::Sized;
    }
}

/// Values that a row states, by canonical column.
fn stated(load: &Load) -> BTreeMap<String, serde_json::Value> {
    // A combined cell of supply stands in the columns that it was parted into.
    load.entries()
        .filter(|(spec, _)| spec.field != Field::Supply)
        .map(|(spec, entry)| (spec.name.to_owned(), value_of(entry)))
        .collect()
}

fn value_of(entry: &Entry) -> serde_json::Value {
    match &entry.value {
        Value::Number(number) => serde_json::Value::from(*number),
        Value::YesNo(yes) => serde_json::Value::from(*yes),
        Value::Text(text) => serde_json::Value::from(text.as_str()),
        Value::Choice(choice) => serde_json::Value::from(*choice),
        Value::Tags(tags) => tags.iter().map(|tag| tag.as_str()).collect(),
    }
}

/// A row made of what a circuit states; what no column can hold is left out.
#[must_use]
pub fn restated(stated: &BTreeMap<String, serde_json::Value>) -> Load {
    let mut load = Load::new(Arc::default(), 0, 0);
    for (spec, json) in FIELDS.iter().filter_map(|spec| Some((spec, stated.get(spec.name)?))) {
        let value = match (json, spec.kind) {
            (serde_json::Value::Number(number), _) => number.as_f64().map(Value::Number),
            (serde_json::Value::Bool(yes), _) => Some(Value::YesNo(*yes)),
            (serde_json::Value::String(word), Kind::Choice(choices)) => {
                choices.iter().find(|(choice, _)| choice == word).map(|(choice, _)| Value::Choice(choice))
            }
            (serde_json::Value::String(text), _) => Some(Value::Text(text.as_str().into())),
            (serde_json::Value::Array(tags), _) => {
                Some(Value::Tags(tags.iter().filter_map(serde_json::Value::as_str).map(Into::into).collect()))
            }
            _ => None,
        };
        let Some(value) = value else { continue };
        let text = match json {
            serde_json::Value::String(text) => text.clone(),
            serde_json::Value::Array(tags) => tags.iter().filter_map(serde_json::Value::as_str).collect::<Vec<_>>().join(", "),
            other => other.to_string(),
        };
        load.set(spec.field, Entry { value, column: 0, text: text.into() });
    }
    load
}

/// Columns that have a place of their own in a circuit or its load.
const NAMED: &[Field] = &[
    Field::LoadKind,
    Field::RatedPowerKw,
    Field::RatedPowerHp,
    Field::VoltageV,
    Field::Phases,
    Field::FrequencyHz,
    Field::EfficiencyPct,
    Field::PowerFactor,
    Field::EfficiencyClass,
    Field::StartingMethod,
    Field::Reversing,
    Field::Duty,
    Field::Running,
    Field::Tag,
    Field::Description,
    Field::Board,
    Field::Quantity,
    Field::DutyCount,
    Field::StandbyCount,
];

fn load_data(load: &Load) -> LoadData {
    LoadData {
        kind: load.text(Field::LoadKind).unwrap_or("motor").to_owned(),
        rated_power_kw: load.number(Field::RatedPowerKw),
        rated_power_hp: load.number(Field::RatedPowerHp),
        voltage_v: load.number(Field::VoltageV),
        phases: load.count(Field::Phases),
        frequency_hz: load.number(Field::FrequencyHz),
        efficiency_pct: load.number(Field::EfficiencyPct),
        power_factor: load.number(Field::PowerFactor),
        efficiency_class: load.text(Field::EfficiencyClass).map(str::to_owned),
        starting_method: load.text(Field::StartingMethod).map(str::to_owned),
        reversing: load.yes(Field::Reversing).unwrap_or(false),
        duty: load.text(Field::Duty).map(str::to_owned),
        running: load.text(Field::Running).map(str::to_owned),
        other: load
            .entries()
            .filter(|(spec, _)| !NAMED.contains(&spec.field))
            .map(|(spec, entry)| (spec.name.to_owned(), value_of(entry)))
            .collect(),
    }
}

/// Puts the values that were used in the place of those that the row left open.
fn resolved_data(data: &mut LoadData, case: &Case) {
    let machine = &case.machine;
    let per_cent = |share: f64| crate::quantity::round_to(share * 100.0, 3);
    data.voltage_v = Some(machine.voltage.0);
    data.phases = Some(machine.phases);
    data.frequency_hz = Some(machine.frequency_hz);
    data.rated_power_kw = machine.power.map(|power| crate::quantity::round_to(power.0 / 1000.0, 6)).or(data.rated_power_kw);
    data.efficiency_pct = machine.efficiency.map(|known| per_cent(known.value)).or(data.efficiency_pct);
    data.power_factor = machine.power_factor.map(|known| known.value).or(data.power_factor);
    data.starting_method = Some(case.start.method.word().to_owned());
    data.duty = Some(case.start.duty_text.clone());
    data.efficiency_class = machine.class.map(|class| class.name().to_owned()).or_else(|| data.efficiency_class.take());
}
