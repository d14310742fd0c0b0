//! Tells changed statements of a row from the same statements in other words: other units, other spelling, a default that is
//! written out. A cell that could not be read says what stands in it.

use super::{Consequence, FieldChange, SaidOtherwise};
use crate::design::Circuit;
use crate::intake::powers;
use crate::load::FIELDS;
use crate::quantity::KILOWATTS_PER_HORSEPOWER;
use crate::rules::physics::comparison::practice;
use crate::rules::units::METRES_A_FOOT;
use serde_json::Value;

/// A quantity that stands in one of two columns, by unit.
struct Measure {
    /// Both columns with their factors to a common unit.
    columns: [(&'static str, f64); 2],
    /// Whether a value of the first column means the same as one of the second.
    same: fn(f64, f64) -> bool,
    words: &'static str,
}

const MEASURES: &[Measure] = &[
    Measure {
        columns: [("rated_power_kw", 1.0), ("rated_power_hp", KILOWATTS_PER_HORSEPOWER)],
        same: same_power,
        words: "rated power",
    },
    Measure {
        columns: [("rated_power_low_kw", 1.0), ("rated_power_low_hp", KILOWATTS_PER_HORSEPOWER)],
        same: same_power,
        words: "rated power at low speed",
    },
    Measure {
        columns: [("cable_length_m", 1.0), ("cable_length_ft", METRES_A_FOOT)],
        same: |metres, feet| powers::within(metres, feet * METRES_A_FOOT, practice("same-length-share")),
        words: "cable length",
    },
];

/// Whether kilowatts and horsepower of two rows are one motor; some that are sold as one motor differ by more.
pub(super) fn same_power(kilowatts: f64, horsepower: f64) -> bool {
    powers::are_one_motor(kilowatts, horsepower, practice("same-power-share"))
}

/// The values that a row means by leaving a column open; to write them out changes nothing.
const OPEN_MEANS: &[(&str, &str)] = &[("running", "duty"), ("load_kind", "motor"), ("reversing", "false"), ("duty", "S1")];

/// Columns whose words are for people.
const TEXTS: &[&str] = &["description", "notes", "interlock_note", "feedback_note"];

/// Columns that say where a row stands and not what it is, or that are held against each other elsewhere.
const ASIDE: &[&str] = &["tag", "section", "row_revision", "quantity", "board", "description"];

/// The differences between the statements of two rows.
#[derive(Debug, Default)]
pub(super) struct Differences {
    pub(super) fields: Vec<FieldChange>,
    pub(super) otherwise: Vec<SaidOtherwise>,
    /// Columns of quantities that are the same but for the rounding of another unit, of which digits may follow.
    pub(super) rounded: Vec<&'static str>,
    /// The same quantities as a change and as the same: which of these they are, what follows from them decides.
    pub(super) in_other_units: Vec<(FieldChange, SaidOtherwise)>,
}

/// Holds what two rows state against each other, in the order of the columns.
pub(super) fn differences(old: &Circuit, new: &Circuit) -> Differences {
    let mut found = Differences::default();
    machines(old, new, &mut found);
    found.hold("description", text_of(&old.description), text_of(&new.description), &new.tag);
    found.hold("board", text_of(&old.board), text_of(&new.board), &new.tag);
    if old.quantity != new.quantity {
        found.change("quantity", Value::from(old.quantity), Value::from(new.quantity));
    }
    for measure in MEASURES {
        found.measure(old, new, measure);
    }
    let measured = |name: &str| MEASURES.iter().any(|measure| measure.columns.iter().any(|(column, _)| *column == name));
    for spec in FIELDS.iter().filter(|spec| !ASIDE.contains(&spec.name) && !measured(spec.name)) {
        found.hold(spec.name, said(old, spec.name), said(new, spec.name), &new.tag);
    }
    found.fields.sort_by_key(|change| FIELDS.iter().position(|spec| spec.name == change.field));
    found
}

fn changed(field: &str, old: Value, new: Value) -> FieldChange {
    FieldChange { field: field.to_owned(), old, new, text_only: TEXTS.contains(&field) }
}

/// A tag that stands for other machines than before.
fn machines(old: &Circuit, new: &Circuit, found: &mut Differences) {
    if old.tags.len() > 1 || new.tags.len() > 1 {
        let plain = |circuit: &Circuit| {
            circuit.tags.iter().map(|tag| super::pairs::plain(tag)).collect::<std::collections::BTreeSet<_>>()
        };
        if plain(old) != plain(new) {
            let list = |circuit: &Circuit| circuit.tags.iter().map(String::as_str).collect::<Value>();
            found.change("tag", list(old), list(new));
        }
    }
}

/// The content of a row in a column: its value, else the text that could not be read.
fn said(circuit: &Circuit, name: &str) -> Option<Value> {
    circuit.stated.get(name).cloned().or_else(|| circuit.unread.get(name).map(|text| Value::from(text.as_str())))
}

fn text_of(text: &str) -> Option<Value> {
    (!text.is_empty()).then(|| Value::from(text))
}

impl Differences {
    /// A quantity in another unit is the same if nothing follows from its digits. Standard outputs that are sold as one motor may differ
    /// by more than a device has left: then it is a change, and told as one.
    pub(super) fn settle_units(&mut self, consequences: &[Consequence]) {
        for (change, otherwise) in std::mem::take(&mut self.in_other_units) {
            let follows = consequences.iter().any(|consequence| consequence.because.contains(&change.field));
            if follows { self.fields.push(change) } else { self.otherwise.push(otherwise) }
        }
        self.fields.sort_by_key(|change| FIELDS.iter().position(|spec| spec.name == change.field));
    }

    fn change(&mut self, field: &str, old: Value, new: Value) {
        self.fields.push(changed(field, old, new));
    }

    fn otherwise(&mut self, tag: &str, what: String) {
        self.otherwise.push(SaidOtherwise { tag: tag.to_owned(), what });
    }

    fn hold(&mut self, field: &str, old: Option<Value>, new: Option<Value>, tag: &str) {
        match (&old, &new) {
            (None, None) => {}
            (Some(one), Some(other)) if same(one, other) => {
                if one != other {
                    self.otherwise(tag, format!("{field} is written {}, before {}", shown(other), shown(one)));
                }
            }
            (Some(value), None) | (None, Some(value)) if means_open(field, value) => {}
            _ => self.change(field, old.unwrap_or_default(), new.unwrap_or_default()),
        }
    }

    /// A quantity that either side may state in either unit.
    fn measure(&mut self, old: &Circuit, new: &Circuit, measure: &Measure) {
        let Measure { columns, same: is_same, words } = measure;
        let number = |circuit: &Circuit, name: &str| circuit.stated.get(name).and_then(Value::as_f64);
        let mut both = false;
        for (name, _) in columns {
            if let (Some(one), Some(other)) = (number(old, name), number(new, name)) {
                both = true;
                if !same(&Value::from(one), &Value::from(other)) {
                    self.change(name, Value::from(one), Value::from(other));
                }
            }
        }
        if both {
            return;
        }
        let of = |circuit: &Circuit| columns.iter().find_map(|(name, factor)| Some((*name, *factor, number(circuit, name)?)));
        // A text that can't be read is in the unit of its own column: beside one of the other unit it bears it.
        let unread = |circuit: &Circuit, beside: &str| {
            let (name, text) = columns.iter().find_map(|(name, _)| Some((*name, circuit.unread.get(*name)?)))?;
            Some(Value::from(if name == beside { text.clone() } else { format!("{text} {}, can't be read", unit_of(name)) }))
        };
        match (of(old), of(new)) {
            (Some((name, factor, one)), Some((other_name, other_factor, other))) => {
                let converted = crate::quantity::round_to(one * factor / other_factor, 3);
                let (first, second) = if name == columns[0].0 { (one, other) } else { (other, one) };
                if is_same(first, second) {
                    let what = format!("{words}: {other} {}, before {one} {}: the same", unit_of(other_name), unit_of(name));
                    let change = changed(other_name, Value::from(converted), Value::from(other));
                    self.in_other_units.push((change, SaidOtherwise { tag: new.tag.clone(), what }));
                    self.rounded.push(other_name);
                } else {
                    self.change(other_name, Value::from(converted), Value::from(other));
                }
            }
            (Some((name, _, one)), None) => self.change(name, Value::from(one), unread(new, name).unwrap_or_default()),
            (None, Some((name, _, other))) => self.change(name, unread(old, name).unwrap_or_default(), Value::from(other)),
            (None, None) => {
                let column = columns.iter().find(|(name, _)| [old, new].iter().any(|circuit| circuit.unread.contains_key(*name)));
                if let Some((name, _)) = column {
                    self.hold(name, unread(old, name), unread(new, name), &new.tag);
                }
            }
        }
    }
}

/// Two values mean the same: numbers but for rounding of their digits, words but for case and blanks.
fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap_or(f64::NAN), b.as_f64().unwrap_or(f64::NAN));
            (a - b).abs() <= 1e-6 * a.abs().max(b.abs())
        }
        (Value::String(a), Value::String(b)) => words_of(a) == words_of(b),
        _ => one == other,
    }
}

fn words_of(text: &str) -> Vec<String> {
    text.to_lowercase().split_whitespace().map(str::to_owned).collect()
}

fn means_open(field: &str, value: &Value) -> bool {
    OPEN_MEANS.iter().any(|(open, means)| *open == field && shown(value) == *means)
}

/// A value in words.
pub(super) fn shown(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        Value::Array(list) => list.iter().map(shown).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}

/// The unit at the end of a column's name, as it is written.
fn unit_of(name: &str) -> String {
    name.rsplit('_').next().unwrap_or_default().replace("kw", "kW")
}
