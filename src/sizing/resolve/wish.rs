//! The wishes of a row for its control circuit: voltage, what switches the coils, contacts, wires, channels.

use super::{board, control};
use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::load::{ControlVoltage, ControlWish, Field, Load};
use crate::quantity::{Amperes, Metres};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::devices::device_figure;

pub(super) fn read(load: &Load, basis: &Basis, book: &dyn RuleBook) -> ControlWish {
    let text = control_voltage_text(load, basis);
    let driven_by = match load.text(Field::DrivenBy).or(basis.control.drive.as_deref()) {
        Some("plc-output") => "plc-output",
        Some("relay") => "relay",
        Some("thermostat") => "thermostat",
        Some("other") => "other",
        _ => "pushbutton",
    };
    ControlWish {
        voltage: text.and_then(control_voltage).unwrap_or_else(|| book.control_voltage()),
        place: load.place_of(Field::ControlVoltage),
        length: load.number(Field::ControlCableLengthM).filter(|metres| *metres > 0.0).map(Metres),
        length_place: load.place_of(Field::ControlCableLengthM),
        driven_by,
        output: Amperes(load.number(Field::PlcOutputA).unwrap_or_else(|| device_figure("controller-output-a"))),
        no: load.count(Field::AuxNo).unwrap_or(0),
        nc: load.count(Field::AuxNc).unwrap_or(0),
        low_level: load.text(Field::FeedbackLevel) == Some("logic"),
        three_wire: load
            .text(Field::ControlWires)
            .map_or_else(|| driven_by == "pushbutton" && control::wires(load) != Some("two"), |wires| wires == "three"),
        automatic_reset: load.text(Field::ResetMode) == Some("auto"),
        interlock_with: load.interlock_partners().map(str::to_owned).collect(),
        redundant: asks_for_two_channels(load.text(Field::SafetyLevel).unwrap_or("")),
    }
}

/// The control voltage as it is written at the row, else at its board, else in the basis.
fn control_voltage_text<'t>(load: &'t Load, basis: &'t Basis) -> Option<&'t str> {
    let control_voltage = basis.board(&board(load, basis)).and_then(|board| board.control_voltage.as_deref());
    load.text(Field::ControlVoltage).or(control_voltage).or(basis.control.voltage.as_deref())
}

/// Reads a control voltage such as `24 V DC`, `230VAC`, `110 V, 50 Hz`; alternating current where nothing is said, direct at 24 V and
/// below. What names two voltages, both kinds of current or a voltage below zero reads two ways, so it is not read.
#[must_use]
pub fn control_voltage(text: &str) -> Option<ControlVoltage> {
    let upper = without_frequency(&text.trim().to_uppercase());
    if upper.starts_with(['-', '−', '–']) {
        return None;
    }
    let is_figure = |c: char| c.is_ascii_digit() || c == '.';
    let mut figures = upper.split(|c: char| !is_figure(c)).filter(|figure| figure.contains(|c: char| c.is_ascii_digit()));
    let volts: f64 = figures.next()?.trim_end_matches('.').parse().ok()?;
    let says_dc = upper.contains("DC") || upper.contains('=');
    let says_ac = upper.contains("AC") || upper.contains('~');
    if figures.next().is_some() || (says_dc && says_ac) || upper.contains("AC/DC") || upper.contains("DC/AC") {
        return None;
    }
    let kind = (says_dc || says_ac).then_some(says_dc);
    (volts > 0.0 && volts <= 1000.0).then_some(ControlVoltage { volts, dc: is_direct(volts, kind) })
}

/// A voltage is direct by its kind; where none is said, at 24 V and below.
pub(super) fn is_direct(volts: f64, kind: Option<bool>) -> bool {
    kind.unwrap_or(volts <= 24.0)
}

/// A text without its frequency, as `, 50 Hz` or `50/60 Hz`.
fn without_frequency(text: &str) -> String {
    let Some((front, behind)) = text.split_once("HZ") else { return text.to_owned() };
    let front = front.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, ' ' | '/' | '.'));
    format!("{front}{behind}")
}

/// A control voltage that can't be read would else be replaced without a word.
pub(super) fn unread_control_voltage(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) {
    let Some(text) = control_voltage_text(load, basis).filter(|text| control_voltage(text).is_none()) else { return };
    record.find(
        Finding::new(
            &codes::L420_CONTROL_VOLTAGE,
            format!("the control voltage \"{text}\" can't be read; {} is taken", book.control_voltage()),
        )
        .at(load.place_of(Field::ControlVoltage))
        .why("coils, lamps and timers are chosen for it")
        .cure("write one voltage with its kind, such as 24 V DC or 230 V AC"),
    );
}

/// Performance levels d and e, integrity levels 2 and 3, categories 3 and 4 ask for two channels; a stop category never does.
/// ISO 13849-1 and IEC 62061: from memory.
pub(super) fn asks_for_two_channels(level: &str) -> bool {
    names_grade(level, &["pl"], &["d", "e"])
        || names_grade(level, &["silcl", "sil"], &["2", "3"])
        || names_grade(level, &["category", "cat"], &["3", "4"])
}

/// A letter alone, as columns of performance levels hold it: a, c, d and e are grades of no other scale; b is a category as well.
fn with_scale(level: &str) -> String {
    if matches!(level, "a" | "c" | "d" | "e") { format!("pl {level}") } else { level.to_owned() }
}

/// A text names one of the grades of a scale, as `PL d`, `SIL2` or `category 3`.
pub(super) fn names_grade(text: &str, scale: &[&str], grades: &[&str]) -> bool {
    let text = with_scale(&text.trim().to_lowercase());
    let words: Vec<&str> = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    words.iter().enumerate().any(|(at, word)| {
        let Some(rest) = scale.iter().find_map(|name| word.strip_prefix(name)) else { return false };
        grades.contains(if rest.is_empty() { words.get(at + 1).unwrap_or(&"") } else { &rest })
    })
}
