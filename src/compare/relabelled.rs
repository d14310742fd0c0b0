//! Finds the labels to make anew: nameplates and cable tags that bear another text than before.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Renamed;
use crate::design::{Circuit, Design, labels};

/// Labels of one text that are to be made anew.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LabelChange {
    /// Tag of its row on the new side, or name of the board that a feeder feeds.
    pub tag: String,
    /// `nameplate` or `cable-tag`.
    pub kind: String,
    /// The machine or the cable that it names.
    pub label: String,
    /// How many; both ends of a cable count.
    pub quantity: u32,
    /// Its lines that differ; none where only more of the same are needed.
    pub lines: Vec<LabelLine>,
    /// What else is to be known at the cable: `gone` where nothing bears this label any more, `another cable` where the tag named another
    /// cable before; empty otherwise.
    #[serde(default)]
    pub what: String,
    /// The cable that the tag named before, and the one that it names now; empty unless these are others.
    #[serde(default)]
    pub cables: Option<[String; 2]>,
    /// The tag that this cable bore before; empty where it is the same or the cable is new.
    #[serde(default)]
    pub old_label: String,
}

impl LabelChange {
    /// Nothing bears this label any more.
    pub const GONE: &'static str = "gone";
    /// The tag named another cable before.
    pub const ANOTHER_CABLE: &'static str = "another cable";
}

/// A line of a label that differs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LabelLine {
    /// Column of `labels.csv`.
    pub line: String,
    /// Before; empty where there was no such label.
    pub old: String,
    /// After.
    pub new: String,
}

/// A row under another tag with the labels that bear it. A machine that the row had before keeps its own.
pub(super) fn renamed((row, renamed): &(usize, Renamed), old: &Design, new: &Design) -> Renamed {
    let before = old.circuits.iter().find(|circuit| circuit.tag == renamed.old_tag).map(labels_of).unwrap_or_default();
    let mut labels = new.circuits.get(*row).map(labels_of).unwrap_or_default();
    labels.retain(|label| !before.contains(label));
    Renamed { labels, machines_more: machines_more(*row, renamed, old, new), ..renamed.clone() }
}

/// How many machines the row has more than under its old tag: a range that grew.
fn machines_more(row: usize, renamed: &Renamed, old: &Design, new: &Design) -> i64 {
    let count = |circuit: &Circuit| i64::try_from(circuit.tags.len()).unwrap_or_default();
    let before = old.circuits.iter().find(|circuit| circuit.tag == renamed.old_tag).map(count);
    let now = new.circuits.get(row).map(count);
    before.zip(now).map(|(before, now)| now - before).unwrap_or_default()
}

fn labels_of(circuit: &Circuit) -> Vec<String> {
    let plates = if labels::has_isolator(circuit) { "nameplates" } else { "nameplate" };
    let mut all = Vec::new();
    for (machine, _) in labels::machines(circuit) {
        all.push(format!("{plates} {machine}"));
        let cables = labels::cables(circuit, machine);
        let lengths = cables.iter().flat_map(|cable| labels::lengths(circuit, cable));
        all.extend(lengths.map(|length| format!("cable tags {}", length.tag)));
    }
    all
}
