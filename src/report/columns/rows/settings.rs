//! Dials: what a person sets on relays, releases, timers and starter devices of circuits, and on the breakers and control supplies of
//! boards. A device of which nobody turns anything stands among them where the design leans on its figure: read and confirm.

use std::borrow::Cow;

use super::{overload_words, protective_words};
use crate::design::labels::motors;
use crate::design::{Accessory, Board, BoardFeeder, BoardIncoming, Circuit, ControlSupply, Overload, Protection, StarterDevice};
use crate::quantity::fits;
use crate::report::columns::{highest_setting, overload_ceiling, rating};
use crate::report::words::{brief, full, terms};
use crate::rules::units::Units;

/// A dial.
pub struct SettingRow<'c> {
    /// The board on which it stands.
    pub board: &'c str,
    /// Machine or board that it serves.
    pub tag: Cow<'c, str>,
    /// Device.
    pub device: Cow<'c, str>,
    /// The quantity that is set.
    pub what: Cow<'c, str>,
    /// Value.
    pub value: Option<f64>,
    /// Unit of the value.
    pub unit: &'static str,
    /// Range of the dial.
    pub range: Cow<'c, str>,
    /// Current at which the rules let it trip at most, A.
    pub ceiling_a: Option<f64>,
    /// Trip class.
    pub class: &'c str,
    /// Reset.
    pub reset: &'c str,
}

/// Dials of a circuit, each machine of the row by itself where the tags name as many machines as the quantity.
#[must_use]
pub fn setting_rows(circuit: &Circuit, units: Units) -> Vec<SettingRow<'_>> {
    let quantity = circuit.quantity.max(1);
    let named = circuit.tags.len() > 1 && u32::try_from(circuit.tags.len()) == Ok(quantity);
    let tags: Vec<Cow<'_, str>> = if named {
        circuit.tags.iter().map(|tag| Cow::Borrowed(tag.as_str())).collect()
    } else if quantity > 1 {
        vec![Cow::Owned(format!("{} ({quantity} of them)", circuit.tag))]
    } else {
        vec![Cow::Borrowed(circuit.tag.as_str())]
    };
    tags.into_iter().flat_map(|tag| dials(circuit, &tag, units)).collect()
}

fn text_of<'c>(circuit: &'c Circuit, column: &str) -> &'c str {
    circuit.load.other.get(column).and_then(serde_json::Value::as_str).unwrap_or("")
}

/// Where a relay stands, if it does not carry the line current or is one of several.
fn relay_place(circuit: &Circuit, overload: &Overload, units: Units) -> String {
    let beside =
        |other: &Overload| other.role != overload.role && other.kind == overload.kind && other.position == overload.position;
    let place = match overload.position.as_str() {
        "line" | "" if circuit.overloads.iter().any(beside) => role_words(&overload.role, units),
        "line" | "" => return String::new(),
        // Each stands in a line with the name of its motor.
        _ if overload.count > 1 => return String::new(),
        position => role_words(position, units),
    };
    format!(", {place}")
}

/// A role in a sentence: "low" alone would not say what is low.
#[must_use]
pub fn role_words(role: &str, units: Units) -> String {
    match role {
        "low" => "low speed".to_owned(),
        "high" => "high speed".to_owned(),
        _ => full(units, role),
    }
}

/// The purpose of a timer: from which contactor its time runs, and what it does in the end.
fn timer_words(accessory: &Accessory, units: Units) -> String {
    let does = accessory.why.split([',', ';']).next().unwrap_or("");
    // How long is said by the time itself.
    let does = does.split(" while ").next().unwrap_or(does);
    let from = if accessory.serves.is_empty() {
        String::new()
    } else {
        format!(" from contactor {}", role_words(&accessory.serves, units))
    };
    if does.is_empty() { format!("time{from}") } else { format!("time{from}: {does}") }
}

fn tap_words(kind: &str) -> &'static str {
    if kind == "autotransformer" { "tap of the voltage" } else { "voltage at standstill" }
}

fn dials<'c>(circuit: &'c Circuit, tag: &Cow<'c, str>, units: Units) -> Vec<SettingRow<'c>> {
    let dials = Dials { circuit, tag, units };
    let mut rows = dials.of_overloads();
    rows.extend(dials.of_protection());
    rows.extend(circuit.accessories.iter().filter_map(|accessory| dials.of_accessory(accessory)));
    rows.extend(circuit.starter_devices.iter().flat_map(|device| dials.of_device(device)));
    let supply = circuit.control.as_ref().and_then(|control| control.supply.as_ref());
    let supply = supply.and_then(|supply| of_supply(&circuit.board, &circuit.tag, supply, units));
    rows.extend(supply.map(|row| SettingRow { tag: tag.clone(), ..row }));
    rows
}

/// What is said of a dial below the current after which it is set. Where the trip has a ceiling that the current would pass, the setting
/// must not be raised to the next mark; else the dial has no mark at the current.
fn below_current(circuit: &Circuit, at: usize, overload: &Overload) -> String {
    let wanted = circuit.overload_current(overload) * overload.winding_factor;
    let lower = overload.count < 2 && overload.setting_a > 0.0 && overload.setting_a < wanted * (1.0 - 1e-6);
    let amperes = |amperes: f64| crate::record::significant(amperes, 4);
    let bound = highest_setting(circuit, at).is_some_and(|highest| !fits(wanted, highest));
    match overload_ceiling(circuit, at) {
        _ if !lower => String::new(),
        Some(ceiling) if bound => format!(", no higher, so that it trips at most at {} A", amperes(ceiling)),
        _ => format!(", next mark below {} A", amperes(wanted)),
    }
}

/// A dial of which nothing is known yet.
fn empty<'c>(board: &'c str, tag: Cow<'c, str>) -> SettingRow<'c> {
    let (device, what, range) = (Cow::Borrowed(""), Cow::Borrowed(""), Cow::Borrowed(""));
    SettingRow { board, tag, device, what, value: None, unit: "", range, ceiling_a: None, class: "", reset: "" }
}

/// The dial of a breaker's overload release.
const RELEASE: &str = "overload release";

/// A device of which nobody turns anything.
const FIXED: &str = "fixed: read and confirm";

fn trip_name(units: Units) -> &'static str {
    units.pick("magnetic release", "instantaneous trip")
}

/// The range of a dial in amperes; ends that are alike leave nothing to turn.
fn range_words(range: Option<[f64; 2]>) -> Cow<'static, str> {
    match range {
        None => Cow::Borrowed(""),
        Some([low, high]) if (high - low).abs() < 1e-9 => Cow::Borrowed(FIXED),
        Some([low, high]) => Cow::Owned(format!("{} to {} A", rating(low), rating(high))),
    }
}

/// The range of a magnetic trip. A design of before does not state it; nobody turns it on breakers for motors and on miniature ones.
fn trip_range(protection: &Protection) -> Cow<'static, str> {
    let fixed = matches!(protection.kind.as_str(), "motor-breaker" | "circuit-breaker");
    if fixed { Cow::Borrowed(FIXED) } else { range_words(protection.magnetic_range_a) }
}

/// Dials of what feeds a board, of the breaker at its head and of the control supplies that its starters share. A feeder that others bring
/// is theirs to set.
#[must_use]
pub fn board_setting_rows(board: &Board, units: Units) -> Vec<SettingRow<'_>> {
    let feeder = Some(&board.feeder).filter(|feeder| !feeder.parts.is_empty());
    let mut rows = feeder.map(|feeder| of_feeder(board, feeder, units)).unwrap_or_default();
    rows.extend(board.incoming.iter().flat_map(|incoming| of_incoming(board, incoming, units)));
    rows.extend(board.control_supplies.iter().filter_map(|supply| of_supply(&board.name, &board.name, supply, units)));
    rows
}

fn of_feeder<'b>(board: &'b Board, feeder: &'b BoardFeeder, units: Units) -> Vec<SettingRow<'b>> {
    let stands_on = board.feeder_begins();
    let device = format!("feeder: {}", full(units, &feeder.kind));
    let releases = [(feeder.setting_a, feeder.setting_range_a), (feeder.magnetic_trip_a, feeder.magnetic_range_a)];
    of_breaker(stands_on, &board.name, &device, releases, units)
}

fn of_incoming<'b>(board: &'b Board, incoming: &'b BoardIncoming, units: Units) -> Vec<SettingRow<'b>> {
    let device = units.pick("incoming circuit-breaker", "main circuit breaker");
    let releases = [(incoming.setting_a, incoming.setting_range_a), (incoming.magnetic_trip_a, incoming.magnetic_range_a)];
    of_breaker(&board.name, &board.name, device, releases, units)
}

/// The overload release and the magnetic trip of a breaker, each with its setting and its range.
type Releases = [(Option<f64>, Option<[f64; 2]>); 2];

fn of_breaker<'b>(board: &'b str, tag: &'b str, device: &str, releases: Releases, units: Units) -> Vec<SettingRow<'b>> {
    let [overload, magnetic] = releases;
    let dials = [(RELEASE, overload), (trip_name(units), magnetic)];
    let dial = |(what, (set, range)): (&'static str, (Option<f64>, Option<[f64; 2]>))| {
        Some(SettingRow {
            device: Cow::Owned(device.to_owned()),
            what: Cow::Borrowed(what),
            value: Some(set?),
            unit: "A",
            range: range_words(range),
            ..empty(board, Cow::Borrowed(tag))
        })
    };
    dials.into_iter().filter_map(dial).collect()
}

/// The output of a direct-current supply, which may have a trimmer of which the catalogue says nothing. Transformers, fuses and breakers of
/// control circuits have no dial.
fn of_supply<'b>(board: &'b str, tag: &'b str, supply: &'b ControlSupply, units: Units) -> Option<SettingRow<'b>> {
    let volts = supply.coil_voltage.split_whitespace().next()?.parse().ok()?;
    (supply.kind == "direct-current-supply" && !supply.part.is_empty()).then(|| SettingRow {
        device: Cow::Owned(full(units, &supply.kind)),
        what: Cow::Borrowed("output voltage"),
        value: Some(volts),
        unit: "V",
        range: Cow::Borrowed("read and confirm"),
        ..empty(board, Cow::Borrowed(tag))
    })
}

/// The dials of one machine.
struct Dials<'c, 't> {
    circuit: &'c Circuit,
    tag: &'t Cow<'c, str>,
    units: Units,
}

impl<'c> Dials<'c, '_> {
    fn dial(
        &self,
        device: Cow<'c, str>,
        what: Cow<'c, str>,
        value: f64,
        unit: &'static str,
        range: Cow<'c, str>,
    ) -> SettingRow<'c> {
        SettingRow { device, what, value: Some(value), unit, range, ..empty(&self.circuit.board, self.tag.clone()) }
    }

    fn of_overloads(&self) -> Vec<SettingRow<'c>> {
        let (circuit, units) = (self.circuit, self.units);
        let reset = match text_of(circuit, "reset_mode") {
            "auto" => "automatic",
            _ => "manual",
        };
        let basis = |overload: &Overload| match (units, circuit.currents.nameplate_a) {
            _ if circuit.stands_before_drive(overload) => "rated input current of the drive",
            (Units::Customary, Some(_)) => "nameplate current",
            _ => terms(units).rated_current,
        };
        let row = |(at, overload): (usize, &'c Overload)| {
            let [low, high] = overload.range_a;
            let share = (overload.winding_factor - 1.0).abs() >= 1e-9;
            let factor =
                if share { format!("{} × ", crate::record::significant(overload.winding_factor, 3)) } else { String::new() };
            let place = relay_place(circuit, overload, units);
            // Behind current transformers the dial shows their secondary current.
            let (value, ratio) = overload.dial_a.map_or((overload.setting_a, 1.0), |dial| (dial, overload.setting_a / dial));
            let behind = if ratio > 1.0 {
                format!(", behind current transformers: {} A", rating(overload.setting_a))
            } else {
                String::new()
            };
            let factor = if overload.count > 1 { "one motor's ".to_owned() } else { factor };
            let below = below_current(circuit, at, overload);
            let what = format!("current setting{place}: {factor}{}{behind}{below}", basis(overload));
            let range = range_words((high > 0.0).then_some([low / ratio, high / ratio]));
            SettingRow {
                class: &overload.trip_class,
                reset,
                ceiling_a: overload_ceiling(circuit, at).map(|ceiling| ceiling / ratio),
                ..self.dial(overload_words(overload, units), Cow::Owned(what), value, "A", range)
            }
        };
        circuit.overloads.iter().enumerate().flat_map(|overload| self.for_each_motor(overload.1.count, row(overload))).collect()
    }

    /// A dial that stands several times, once with the name of each motor.
    fn for_each_motor(&self, count: u32, row: SettingRow<'c>) -> Vec<SettingRow<'c>> {
        if count < 2 {
            return vec![row];
        }
        let motors = motors(self.circuit, self.tag).into_iter();
        motors
            .map(|motor| SettingRow {
                tag: Cow::Owned(motor),
                what: row.what.clone(),
                device: row.device.clone(),
                range: row.range.clone(),
                ..row
            })
            .collect()
    }

    fn of_protection(&self) -> Vec<SettingRow<'c>> {
        let Some(protection) = &self.circuit.protection else { return Vec::new() };
        let device = || Cow::Owned(protective_words(&protection.kind, self.units));
        // The release of a breaker that protects the conductors is a dial of its own; one that protects the motor stands above.
        let release = self
            .circuit
            .release_setting()
            .map(|setting| self.dial(device(), Cow::Borrowed(RELEASE), setting, "A", range_words(protection.setting_range_a)));
        let trip = protection
            .magnetic_trip_a
            .map(|trip| self.dial(device(), Cow::Borrowed(trip_name(self.units)), trip, "A", trip_range(protection)));
        release.into_iter().chain(trip).collect()
    }

    /// Only a setting that is a number with a unit is a dial.
    fn of_accessory(&self, accessory: &'c Accessory) -> Option<SettingRow<'c>> {
        let (number, unit) = accessory.setting.split_once(' ')?;
        let value = number.parse::<f64>().ok()?;
        // A changeover has a pause behind its time: it stands beside the dial.
        let (unit, besides) = unit.split_once(',').map_or((unit, ""), |(unit, besides)| (unit, besides.trim()));
        let unit = ["s", "ms", "min", "A", "V", "%"].into_iter().find(|known| *known == unit.trim())?;
        let timer = accessory.kind == "timer";
        let what = if timer { Cow::Owned(timer_words(accessory, self.units)) } else { Cow::Borrowed("setting") };
        Some(self.dial(brief(self.units, &accessory.kind), what, value, unit, Cow::Borrowed(besides)))
    }

    fn of_device(&self, device: &'c StarterDevice) -> Vec<SettingRow<'c>> {
        // A design of before doesn't say with which limit its checks reckon.
        let stated = || self.circuit.load.other.get("start_current_limit").and_then(serde_json::Value::as_f64);
        let limit = device.current_limit.or_else(|| stated().filter(|_| device.kind.starts_with("soft-starter")));
        let limit = limit.map(|limit| (Cow::Owned(format!("current limit, × {}", terms(self.units).rated_current)), limit, "×"));
        let tap = device.tap_pct.map(|pct| (Cow::Borrowed(tap_words(&device.kind)), pct, "%"));
        let remark = if device.setting_assumed { "assumed: to be confirmed" } else { "" };
        let row = |(what, value, unit)| self.dial(brief(self.units, &device.kind), what, value, unit, Cow::Borrowed(remark));
        limit.into_iter().chain(tap).map(row).collect()
    }
}
