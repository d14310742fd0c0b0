//! Control and auxiliary cables: cores are counted by function, spare cores added, and the cable with the fewest cores that holds
//! them is taken; several alike where one does not.

use super::Counter;
use crate::catalogue::ControlCable;
use crate::design::{Circuit, Part, Run};
use crate::finding::{Finding, codes};
use crate::quantity::{Metres, round_to};
use crate::record::Record;
use crate::rules::physics::material::{self, CoreRow};
use crate::rules::units::METRES_A_FOOT;

/// Role of these runs.
pub(super) const CONTROL: &str = "control";

/// What brings their supply to the coils of a starter that stands apart.
const COIL_SUPPLY: &str = "coil-supply";

/// Cables alike that are tried for the cores of one group.
const MOST_CABLES: u32 = 20;

/// A group of cores that run in one cable.
#[derive(Default)]
struct Group {
    cores: u32,
    for_what: Vec<String>,
}

impl Group {
    fn add(&mut self, row: Option<&CoreRow>, pieces: u32, words: &str) {
        let Some(row) = row.filter(|_| pieces > 0) else { return };
        self.cores = self.cores.saturating_add(row.cores.saturating_mul(pieces));
        self.for_what.push(words.to_owned());
    }
}

pub(super) fn add(counter: &Counter<'_>, circuit: &mut Circuit, record: &mut Record) {
    if !counter.stock.has("control_cables") {
        return;
    }
    let extras = &counter.case.extras;
    let (mut station, mut signal) = station(counter);
    // A length without a station is that to whatever switches the coil.
    if let Some(control) = circuit.control.as_ref().filter(|_| extras.station.is_empty() && extras.station_length.is_some()) {
        station.cores = control.cores - control.protective_cores.min(control.cores);
        station.for_what.push("control".to_owned());
    }
    let motors = counter.case.motors;
    // The conductors of the winding run with the signals of the station, but to each motor by itself where there are several.
    let mut winding = if motors > 1 { Group::default() } else { std::mem::take(&mut signal) };
    let a_loop = whole(counter.stock.figure("thermistors-a-loop")).max(1);
    winding.add(material::cores("thermistor-loop"), extras.thermistors.div_ceil(a_loop), "thermistors");
    winding.add(material::cores("resistance-thermometer"), extras.thermometers, "resistance thermometers");
    let mut auxiliary = Group::default();
    auxiliary.add(material::cores("brake"), u32::from(extras.brake.0 > 0.0), "brake");
    auxiliary.add(material::cores("space-heater"), u32::from(extras.heater.0 > 0.0), "space heater");
    // A station at the starter itself needs no cable.
    if extras.station_length == Some(Metres(0.0)) {
        station = Group::default();
    }
    let route = counter.case.route.length;
    let (coils, supply_length) = coil_supply(counter, circuit);
    let cables = [
        Wanted { group: &coils, length: supply_length, column: Column::Motor, protective: true, screened: false, number: 1 },
        Wanted {
            group: &station,
            length: extras.station_length,
            column: Column::Station,
            protective: true,
            screened: false,
            number: 1,
        },
        Wanted { group: &signal, length: route, column: Column::Motor, protective: false, screened: true, number: 1 },
        Wanted { group: &winding, length: route, column: Column::Motor, protective: false, screened: true, number: motors },
        Wanted { group: &auxiliary, length: route, column: Column::Motor, protective: true, screened: false, number: motors },
    ];
    for wanted in cables.iter().filter(|wanted| wanted.group.cores > 0) {
        one(counter, wanted, circuit, record);
    }
}

/// Cores between the board that feeds the coils and a starter that stands apart, with the length of their cable: supply and return, and
/// those of the commands where a controller's output switches the starter and nothing says that it stands elsewhere.
fn coil_supply(counter: &Counter<'_>, circuit: &Circuit) -> (Group, Option<Metres>) {
    let mut group = Group::default();
    let length = circuit.control.as_ref().and_then(|control| control.run.as_ref()?.supply_length_m).map(Metres);
    let Some(control) = circuit.control.as_ref().filter(|_| length.is_some()) else { return (group, None) };
    let from_controller = control.driven_by == "plc-output" && counter.case.control.length.is_none();
    let commands = if from_controller { control.cores - control.protective_cores.min(control.cores) } else { 0 };
    let supply = material::cores(COIL_SUPPLY).map_or(0, |row| row.cores);
    // An output that switches the coils themselves brings them their supply.
    group.cores = if from_controller && !control.interposing_relay { commands } else { supply + commands };
    group.for_what.push(COIL_SUPPLY.replace('-', " "));
    (group, length)
}

/// Cores of the control station: those of its contacts, and those of what it sets.
fn station(counter: &Counter<'_>) -> (Group, Group) {
    let (mut station, mut signal) = (Group::default(), Group::default());
    let words = &counter.case.extras.station;
    let channels = if counter.case.control.redundant { 2 } else { 1 };
    // A word that nobody knows is told where the station is read.
    for (word, row) in material::station_cores(words) {
        match row {
            Some(row) if row.group == "signal" => signal.add(Some(row), 1, word),
            Some(row) if row.function == "emergency-stop" => station.add(Some(row), channels, word),
            row => station.add(row, 1, word),
        }
    }
    (station, signal)
}

fn not_counted(counter: &Counter<'_>, what: String, cure: &str, record: &mut Record) {
    record.find(
        Finding::new(&codes::P105_CONTROL_CABLE, what)
            .at(counter.case.place.clone())
            .why("the control cable of this circuit is not, or not wholly, on the purchase list")
            .cure(cure),
    );
}

/// Above 0 and far below the limit of whole numbers, as tables and counts are.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn whole(number: f64) -> u32 {
    if number.is_finite() { number.clamp(0.0, 1e6).ceil() as u32 } else { 0 }
}

fn with_spares(counter: &Counter<'_>, cores: u32) -> u32 {
    let share = round_to(f64::from(cores) * counter.stock.figure("spare-cores") / 100.0, 6);
    cores.saturating_add(whole(share.max(counter.stock.figure("spare-cores-least"))))
}

/// The cable that holds the cores, and how many of it.
fn cable<'a>(counter: &'a Counter<'_>, cores: u32, protective: bool, screened: bool) -> Option<(&'a ControlCable, u32)> {
    (1..=MOST_CABLES)
        .find_map(|count| Some((counter.stock.catalogue.control_cable(cores.div_ceil(count), protective, screened)?, count)))
}

/// Column of the row that states the length of a cable.
#[derive(Clone, Copy)]
enum Column {
    /// Of the run to the motor, beside which it lies.
    Motor,
    /// Of the cable to the control station.
    Station,
}

impl Column {
    fn name(self, feet: bool) -> &'static str {
        match (self, feet) {
            (Self::Motor, false) => "cable_length_m",
            (Self::Motor, true) => "cable_length_ft",
            // Stated in metres under either book.
            (Self::Station, _) => "control_cable_length_m",
        }
    }
}

/// Cables for a group of cores.
struct Wanted<'g> {
    group: &'g Group,
    length: Option<Metres>,
    /// Column that states it.
    column: Column,
    protective: bool,
    screened: bool,
    /// So many alike: one to each motor behind the starter.
    number: u32,
}

fn one(counter: &Counter<'_>, wanted: &Wanted<'_>, circuit: &mut Circuit, record: &mut Record) {
    let Wanted { group, length, column, protective, screened, number } = *wanted;
    let feet = counter.stock.book.length_unit() == "ft";
    let purpose = group.for_what.join(", ");
    let cores = with_spares(counter, group.cores);
    let Some(length) = length.filter(|length| length.0 > 0.0) else {
        let what = format!("the length of the control cable for {purpose} is missing: {cores} cores");
        not_counted(counter, what, &format!("enter {}", column.name(feet)), record);
        return;
    };
    let bought = if feet { length.0 / METRES_A_FOOT } else { length.0 };
    let unit = counter.stock.book.length_unit().to_owned();
    let heavy = !screened && too_much_current(counter);
    let Some((cable, count)) =
        cable(counter, cores, protective, screened).filter(|_| !(heavy && group.for_what.iter().any(of_power)))
    else {
        let words = format!("cable for {purpose}: {cores} cores{}", if protective { " and a protective one" } else { "" });
        let length = round_to(bought * f64::from(number), 3);
        circuit.parts.push(Part { unit, cuts: number, run: CONTROL.to_owned(), ..Part::pieces("", &words, length) });
        not_counted(counter, format!("no control cable of the catalogue serves {purpose}"), "choose it by hand", record);
        return;
    };
    circuit.parts.push(Part {
        unit,
        cuts: count * number,
        run: CONTROL.to_owned(),
        ..Part::pieces(&cable.part, &cable.description, round_to(bought * f64::from(count * number), 3))
    });
    // Runs of control stand behind those of power; a circuit without any keeps none.
    if circuit.conductors.is_some() {
        circuit.runs.push(Run { count: number, ..run(counter, cable, count, length, &purpose, group.cores) });
    }
}

fn of_power(words: &String) -> bool {
    words == "brake" || words == "space heater"
}

/// A core of a control cable does not carry what brake and heater draw.
fn too_much_current(counter: &Counter<'_>) -> bool {
    let extras = &counter.case.extras;
    let largest = extras.brake.0.max(extras.heater.0);
    largest / counter.stock.figure("auxiliary-voltage") > counter.stock.figure("auxiliary-current-most")
}

fn run(counter: &Counter<'_>, cable: &ControlCable, count: u32, length: Metres, purpose: &str, used: u32) -> Run {
    let size = counter.stock.book.size_text(cable.size_mm2);
    Run {
        role: CONTROL.to_owned(),
        purpose: purpose.to_owned(),
        protective_size: if cable.protective { size.clone() } else { String::new() },
        phase_size: size,
        phase_area_mm2: cable.size_mm2,
        per_phase: count,
        cables: 1,
        material: "copper".to_owned(),
        length_m: length.0,
        cores: cable.cores,
        governed_by: format!("{used} cores: {purpose}"),
        part: cable.part.clone(),
        ..Run::default()
    }
}
