//! Dials of a circuit: what a person sets on relays, releases, timers and starter devices.

use std::borrow::Cow;

use super::{overload_words, protective_words};
use crate::design::labels::motors;
use crate::design::{Accessory, Circuit, Overload, StarterDevice};
use crate::report::columns::{overload_ceiling, rating};
use crate::report::words::{brief, full, terms};
use crate::rules::units::Units;

/// A dial.
pub struct SettingRow<'c> {
    /// Its circuit.
    pub circuit: &'c Circuit,
    /// Machine that it serves.
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
fn role_words(role: &str, units: Units) -> String {
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
    rows
}

/// What is said of a dial whose marks do not meet the current: it stands on the next one below.
fn mark_below(circuit: &Circuit, overload: &Overload) -> String {
    let currents = &circuit.currents;
    let current = if overload.role == "low" { currents.low_speed_a } else { Some(currents.overload_basis_a) };
    let wanted = current.unwrap_or(0.0) * overload.winding_factor;
    let lower = overload.count < 2 && overload.setting_a > 0.0 && overload.setting_a < wanted * (1.0 - 1e-6);
    if lower { format!(", next mark below {} A", crate::record::significant(wanted, 4)) } else { String::new() }
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
        SettingRow {
            circuit: self.circuit,
            tag: self.tag.clone(),
            device,
            what,
            value: Some(value),
            unit,
            range,
            ceiling_a: None,
            class: "",
            reset: "",
        }
    }

    fn of_overloads(&self) -> Vec<SettingRow<'c>> {
        let (circuit, units) = (self.circuit, self.units);
        let reset = match text_of(circuit, "reset_mode") {
            "auto" => "automatic",
            _ => "manual",
        };
        let basis = match (units, circuit.currents.nameplate_a) {
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
            let below = mark_below(circuit, overload);
            let what = format!("current setting{place}: {factor}{basis}{behind}{below}");
            let range = if high > 0.0 { format!("{} to {} A", rating(low / ratio), rating(high / ratio)) } else { String::new() };
            SettingRow {
                class: &overload.trip_class,
                reset,
                ceiling_a: overload_ceiling(circuit, at).map(|ceiling| ceiling / ratio),
                ..self.dial(overload_words(overload, units), Cow::Owned(what), value, "A", Cow::Owned(range))
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
        let of_motor = self.circuit.overloads.iter().any(|relay| relay.kind == protection.kind);
        let release = protection.setting_a.filter(|_| !of_motor);
        let release =
            release.map(|setting| self.dial(device(), Cow::Borrowed("overload release"), setting, "A", Cow::Borrowed("")));
        // Nobody turns it on breakers for motors and on miniature ones.
        let fixed = matches!(protection.kind.as_str(), "motor-breaker" | "circuit-breaker");
        let remark = if fixed { "fixed: read and confirm" } else { "" };
        let name = self.units.pick("magnetic release", "instantaneous trip");
        let trip =
            protection.magnetic_trip_a.map(|trip| self.dial(device(), Cow::Borrowed(name), trip, "A", Cow::Borrowed(remark)));
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
