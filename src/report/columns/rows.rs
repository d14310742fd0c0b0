//! Views of a circuit's parts as rows of tables: devices, dials, runs, checks, findings.

use std::borrow::Cow;

use super::values::disconnect_kind;
use super::{frame_words, rating};
use crate::design::{
    Accessory, Check, Circuit, Contactor, ControlSupply, Design, Disconnect, Overload, Protection, Run, Sense, StarterDevice,
};
use crate::finding::Finding;
use crate::report::words::{brief, full};
use crate::rules::units::{Measure, Units};

mod settings;

pub use settings::{SettingRow, board_setting_rows, role_words, setting_rows};

#[cfg(test)]
mod tests;

/// A device of a starter.
pub struct StarterRow<'c> {
    /// Its circuit.
    pub circuit: &'c Circuit,
    /// The device in words.
    pub device: Cow<'c, str>,
    /// Role.
    pub role: &'c str,
    /// Utilisation category.
    pub category: &'c str,
    /// Current that it carries, A.
    pub demand_a: Option<f64>,
    /// Rating, A.
    pub rated_a: Option<f64>,
    /// Frame, range or setting, in words.
    pub data: Cow<'c, str>,
    /// Pieces for one circuit.
    pub pieces: u32,
    /// Part number.
    pub part: &'c str,
    /// Remark.
    pub remark: Cow<'c, str>,
}

/// A cable run.
pub struct RunRow<'c> {
    /// Tag of its circuit, or name of the board that it feeds.
    pub owner: &'c str,
    /// Board on which it begins.
    pub board: &'c str,
    /// Kind of its load; empty for a feeder.
    pub load: &'c str,
    /// The run.
    pub run: &'c Run,
}

/// A check.
pub struct CheckRow<'c> {
    /// Tag of the circuit or name of the board.
    pub owner: &'c str,
    /// Kind of its load; empty for a board.
    pub load: &'c str,
    /// The check.
    pub check: &'c Check,
}

/// A finding.
pub struct FindingRow<'c> {
    /// Tag of the circuit or name of the board; empty for the whole design.
    pub owner: &'c str,
    /// The finding.
    pub finding: &'c Finding,
}

impl CheckRow<'_> {
    /// Unit of the value as it is shown; a size of conductor brings its own.
    #[must_use]
    pub fn shown_unit(&self, units: Units) -> &str {
        let size = self.check.limit.is_some_and(|limit| matches!(units.limit(limit, &self.check.unit), Measure::Size(_)));
        if size { "" } else { units.unit(&self.check.unit) }
    }

    /// `passed`, `failed` or `not checked`.
    #[must_use]
    pub fn result(&self) -> &'static str {
        match self.check.passed {
            Some(true) => "passed",
            Some(false) => "failed",
            None => "not checked",
        }
    }

    /// Share of the limit that is used, in per cent, so that more is worse; none where a zero forbids it.
    ///
    #[must_use]
    pub fn used_pct(&self) -> Option<f64> {
        let (value, limit, _) = (self.check.value?, self.check.limit?, self.check.margin_pct?);
        if value <= 0.0 || limit <= 0.0 {
            return None;
        }
        Some(100.0 * if self.check.points() == Sense::AtMost { value / limit } else { limit / value })
    }
}

impl FindingRow<'_> {
    /// Place without the file's name where there is a row: `Motors!C12`, `row 12`.
    #[must_use]
    pub fn place(&self) -> String {
        let Some(place) = &self.finding.place else { return String::new() };
        let cell = match (&place.column, place.row) {
            (Some(column), Some(row)) => format!("{column}{row}"),
            (None, Some(row)) => format!("row {row}"),
            _ => return place.short(),
        };
        place.sheet.as_ref().map_or_else(|| cell.clone(), |sheet| format!("{sheet}!{cell}"))
    }
}

/// Devices of a circuit: protective device, contactors, overload relays, starting devices, isolator, accessories.
#[must_use]
pub fn starter_rows(circuit: &Circuit, units: Units) -> Vec<StarterRow<'_>> {
    let protection = circuit.protection.iter().map(|protection| protection_row(circuit, protection, units));
    let contactors = circuit.contactors.iter().map(|contactor| contactor_row(circuit, contactor, units));
    let overloads = circuit.overloads.iter().map(|overload| overload_row(circuit, overload, units));
    let devices = circuit.starter_devices.iter().map(|device| device_row(circuit, device, units));
    let isolator = circuit.disconnect.iter().map(|disconnect| disconnect_row(circuit, disconnect, units));
    let accessories = circuit.accessories.iter().map(|accessory| accessory_row(circuit, accessory, units));
    let supply = circuit.control.iter().filter_map(|control| control.supply.as_ref());
    let supply = supply.filter(|supply| !supply.part.is_empty()).map(|supply| supply_row(circuit, supply, units));
    protection.chain(contactors).chain(overloads).chain(devices).chain(supply).chain(isolator).chain(accessories).collect()
}

fn supply_row<'c>(circuit: &'c Circuit, supply: &'c ControlSupply, units: Units) -> StarterRow<'c> {
    let power = supply.rating_va.map_or_else(String::new, |va| format!("{} VA", rating(va)));
    StarterRow {
        device: Cow::Owned(full(units, &supply.kind)),
        data: Cow::Owned(format!("{power}, coils {}", supply.coil_voltage)),
        part: &supply.part,
        ..blank(circuit)
    }
}

fn blank(circuit: &Circuit) -> StarterRow<'_> {
    StarterRow {
        circuit,
        device: Cow::Borrowed(""),
        role: "",
        category: "",
        demand_a: None,
        rated_a: None,
        data: Cow::Borrowed(""),
        pieces: 1,
        part: "",
        remark: Cow::Borrowed(""),
    }
}

fn part_or_reason(part: &str, reason: &'static str) -> Cow<'static, str> {
    Cow::Borrowed(if part.is_empty() { reason } else { "" })
}

fn protection_row<'c>(circuit: &'c Circuit, protection: &'c Protection, units: Units) -> StarterRow<'c> {
    let mut data = Vec::new();
    data.extend(circuit.release_setting().map(|setting| format!("set to {} A", rating(setting))));
    if let Some(trip) = protection.magnetic_trip_a {
        data.push(format!("{} {} A", units.pick("magnetic", "instantaneous trip"), rating(trip)));
    }
    if let Some(breaking) = protection.breaking_ka {
        data.push(format!("{} {} kA", units.pick("breaks", "interrupts"), rating(breaking)));
    }
    if let (Units::Customary, Some(maximum)) = (units, protection.maximum_a) {
        data.push(format!("at most {} A", rating(maximum)));
    }
    let coordination = brief(units, super::coordination(circuit, units));
    StarterRow {
        device: Cow::Owned(protective_words(&protection.kind, units)),
        role: "protection",
        demand_a: Some(circuit.currents.protection_basis_a).filter(|amperes| *amperes > 0.0),
        rated_a: Some(protection.rating_a),
        data: Cow::Owned(data.join(", ")),
        part: &protection.part,
        remark: Cow::Owned(if coordination.is_empty() {
            String::new()
        } else {
            format!("{} {coordination}", units.pick("co-ordination", "coordination"))
        }),
        ..blank(circuit)
    }
}

/// A kind of protective device in words: one of it, where a sentence would speak of several.
fn protective_words(kind: &str, units: Units) -> String {
    match kind {
        "gG" | "aM" => format!("{kind} fuse"),
        other => full(units, other),
    }
}

fn contactor_row<'c>(circuit: &'c Circuit, contactor: &'c Contactor, units: Units) -> StarterRow<'c> {
    let mut remarks = Vec::new();
    if contactor.poles_in_parallel > 1 {
        remarks.push(format!("{} poles in parallel", contactor.poles_in_parallel));
    }
    let contacts = contacts(circuit, &contactor.role);
    if !contacts.is_empty() {
        remarks.push(contacts);
    }
    if let Some(operations) = contactor.expected_operations {
        let years = contactor.expected_years.map(|years| format!(", {}", years_words(years)));
        remarks.push(format!("{} operations to be expected{}", operations_words(operations), years.unwrap_or_default()));
    }
    if contactor.governed_by == "contactor-life" {
        remarks.push("larger for its contact life".to_owned());
    }
    if contactor.governed_by == "terminals" {
        remarks.push("larger for its terminals".to_owned());
    }
    StarterRow {
        device: Cow::Borrowed("contactor"),
        role: &contactor.role,
        category: &contactor.category,
        demand_a: Some(contactor.current_a),
        rated_a: Some(contactor.rated_a),
        data: match units {
            _ if contactor.frame.is_empty() => Cow::Borrowed(""),
            Units::Metric => Cow::Owned(format!("frame {}", contactor.frame)),
            Units::Customary => Cow::Owned(frame_words(&contactor.frame)),
        },
        part: &contactor.part,
        remark: Cow::Owned(remarks.join("; ")),
        ..blank(circuit)
    }
}

/// Auxiliary contacts of a contactor: `2 NO (seal-in, feedback), 1 NC (interlock)`; empty if it needs none.
#[must_use]
pub fn contacts(circuit: &Circuit, role: &str) -> String {
    let of_kind = |kind: &str| {
        let contacts: Vec<_> =
            circuit.auxiliary_contacts.iter().filter(|contact| contact.role == role && contact.kind == kind).collect();
        let mut functions: Vec<(String, usize)> = Vec::new();
        for contact in &contacts {
            let level = if contact.level == "logic" { ", electronic level" } else { "" };
            let missing = if contact.place.is_empty() { ", no place" } else { "" };
            let words = format!("{}{level}{missing}", contact.function);
            match functions.iter_mut().find(|(known, _)| *known == words) {
                Some((_, count)) => *count += 1,
                None => functions.push((words, 1)),
            }
        }
        let listed: Vec<String> =
            functions.into_iter().map(|(words, count)| if count > 1 { format!("{count} {words}") } else { words }).collect();
        (!contacts.is_empty()).then(|| format!("{} {} ({})", contacts.len(), kind.to_uppercase(), listed.join("; ")))
    };
    [of_kind("no"), of_kind("nc")].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Years of a life, which nobody knows to the month.
fn years_words(years: f64) -> String {
    match years {
        _ if years >= 100.0 => "over 100 years".to_owned(),
        _ if years >= 10.0 => format!("{years:.0} years"),
        _ => format!("{years:.1} years"),
    }
}

/// A number of operations to two digits, which is all that a life says: `7.8 million`, `420 000`.
fn operations_words(operations: f64) -> String {
    let step = libm::pow(10.0, libm::floor(libm::log10(operations.max(1.0))) - 1.0);
    let rounded = (operations / step).round() * step;
    if rounded >= 1e6 {
        return format!("{} million", crate::record::significant(rounded / 1e6, 2));
    }
    let whole = format!("{rounded:.0}");
    match whole.len() {
        5.. => format!("{}\u{a0}{}", &whole[..whole.len() - 3], &whole[whole.len() - 3..]),
        _ => whole,
    }
}

fn is_release(overload: &Overload) -> bool {
    overload.kind.contains("breaker") || overload.kind.contains("moulded")
}

fn overload_words(overload: &Overload, units: Units) -> Cow<'static, str> {
    if overload.kind == "in-drive" {
        return Cow::Owned(format!("overload function of the {}", units.pick("drive", "adjustable-speed drive")));
    }
    if overload.kind == "in-soft-starter" {
        return Cow::Owned(format!("overload function of the {}", units.pick("soft starter", "solid-state starter")));
    }
    if overload.kind == "manual-starter" {
        return Cow::Borrowed("overload protection of the manual starter");
    }
    if is_release(overload) {
        return Cow::Borrowed("overload release");
    }
    if units == Units::Customary && full(units, &overload.kind).ends_with("overload relay") {
        return Cow::Owned(full(units, &overload.kind));
    }
    Cow::Owned(format!("{} overload relay", brief(units, &overload.kind)).trim_start().to_owned())
}

fn overload_row<'c>(circuit: &'c Circuit, overload: &'c Overload, units: Units) -> StarterRow<'c> {
    let [low, high] = overload.range_a;
    StarterRow {
        device: overload_words(overload, units),
        role: &overload.role,
        rated_a: (high > 0.0).then_some(high),
        demand_a: Some(overload.setting_a),
        data: Cow::Owned(if overload.is_found() {
            format!("{} to {} A, class {}", rating(low), rating(high), overload.trip_class)
        } else {
            format!("none in the catalogue, class {}", overload.trip_class)
        }),
        pieces: overload.count.max(1),
        part: &overload.part,
        remark: part_or_reason(
            &overload.part,
            match overload.kind.as_str() {
                "in-drive" => "part of the drive",
                "in-soft-starter" => units.pick("part of the soft starter", "part of the solid-state starter"),
                _ => "part of the device before it",
            },
        ),
        ..blank(circuit)
    }
}

fn device_row<'c>(circuit: &'c Circuit, device: &'c StarterDevice, units: Units) -> StarterRow<'c> {
    StarterRow {
        device: brief(units, &device.kind),
        demand_a: Some(device.current_a),
        rated_a: Some(device.rated_a).filter(|amperes| *amperes > 0.0),
        part: &device.part,
        remark: part_or_reason(&device.part, "its maker designs it for the motor"),
        ..blank(circuit)
    }
}

fn disconnect_row<'c>(circuit: &'c Circuit, disconnect: &'c Disconnect, units: Units) -> StarterRow<'c> {
    let lock = if disconnect.lockable { "can be locked off" } else { "" };
    StarterRow {
        device: disconnect_kind(disconnect, units),
        role: "isolation",
        category: &disconnect.category,
        rated_a: disconnect.rating_a,
        data: disconnect.rating_hp.map_or(Cow::Borrowed(""), |hp| Cow::Owned(format!("{} hp", rating(hp)))),
        pieces: disconnect.count.max(1),
        part: &disconnect.part,
        remark: Cow::Owned(
            [disconnect.location.as_str(), lock].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; "),
        ),
        ..blank(circuit)
    }
}

fn accessory_row<'c>(circuit: &'c Circuit, accessory: &'c Accessory, units: Units) -> StarterRow<'c> {
    let mut data = Vec::new();
    let contacts = [(accessory.no, "NO"), (accessory.nc, "NC")].into_iter().filter(|(number, _)| *number > 0);
    data.extend(contacts.map(|(number, kind)| format!("{number} {kind}")));
    if accessory.mirror {
        data.push("mirror contact".to_owned());
    }
    if accessory.low_level {
        data.push("electronic level".to_owned());
    }
    if !accessory.setting.is_empty() {
        data.push(format!("set to {}", accessory.setting));
    }
    StarterRow {
        device: brief(units, &accessory.kind),
        role: &accessory.serves,
        data: Cow::Owned(data.join(", ")),
        pieces: accessory.quantity,
        part: &accessory.part,
        remark: Cow::Borrowed(&accessory.why),
        ..blank(circuit)
    }
}

/// Accessories of a circuit for lists that don't say which contactor each serves: equal ones stand once, with their number.
#[must_use]
pub fn accessories(circuit: &Circuit) -> Vec<Accessory> {
    let mut list: Vec<Accessory> = Vec::new();
    for accessory in &circuit.accessories {
        let accessory = Accessory { serves: String::new(), ..accessory.clone() };
        let alike = |known: &&mut Accessory| Accessory { quantity: accessory.quantity, ..(**known).clone() } == accessory;
        match list.iter_mut().find(alike) {
            Some(known) => known.quantity += accessory.quantity,
            None => list.push(accessory),
        }
    }
    list
}

/// Runs of a circuit.
pub fn run_rows(circuit: &Circuit) -> impl Iterator<Item = RunRow<'_>> {
    let only = if circuit.runs.is_empty() { circuit.conductors.as_ref() } else { None };
    circuit.runs.iter().chain(only).map(move |run| RunRow {
        owner: &circuit.tag,
        board: &circuit.board,
        load: &circuit.load.kind,
        run,
    })
}

/// Feeders of boards that the design chose or judged.
pub fn feeder_rows(design: &Design) -> impl Iterator<Item = RunRow<'_>> {
    design.boards.iter().filter_map(|board| {
        let run = board.feeder.run.as_ref()?;
        Some(RunRow { owner: &board.name, board: board.feeder_begins(), load: "", run })
    })
}

/// Checks of circuits and boards.
pub fn check_rows(design: &Design) -> impl Iterator<Item = CheckRow<'_>> {
    let of_circuits = design
        .circuits
        .iter()
        .flat_map(|circuit| circuit.checks.iter().map(|check| CheckRow { owner: &circuit.tag, load: &circuit.load.kind, check }));
    let of_boards =
        design.boards.iter().flat_map(|board| board.checks.iter().map(|check| CheckRow { owner: &board.name, load: "", check }));
    of_circuits.chain(of_boards)
}

/// Every finding, worst first; within a severity in the order of the design.
#[must_use]
pub fn finding_rows(design: &Design) -> Vec<FindingRow<'_>> {
    let mut rows: Vec<FindingRow<'_>> =
        super::every_finding(design).map(|(owner, finding)| FindingRow { owner, finding }).collect();
    rows.sort_by_key(|row| row.finding.severity);
    rows
}
