//! What a row says by a cell and its heading, or by two cells together: the locked-rotor ratio of two currents, the scale of a safety
//! level, the category of a stop, the device whose rating others chose, the poles of two speeds.

use std::sync::LazyLock;

use serde::Deserialize;

use super::cells::{Note, poles_of_two_speeds};
use super::table::Table;
use super::{duty, fold, tables, text};
use crate::finding::{Finding, codes};
use crate::load::{Entry, Field, Kind, Load, Text, Value};

impl Table<'_> {
    /// Completes a row that is read.
    pub(super) fn derive(&mut self, load: &mut Load) {
        self.locked_rotor(load);
        self.scale_of_safety_level(load);
        self.category_of_stop(load);
        self.device_of_rating(load);
        self.poles_of_method(load);
        self.reactive_of_motor(load);
    }

    /// Reactive power beside another power is what the motor draws, which its power factor says better; a capacitor has a row of its own.
    fn reactive_of_motor(&mut self, load: &mut Load) {
        let powered = [Field::RatedPowerKw, Field::RatedPowerHp].iter().any(|field| load.has(*field));
        let Some(entry) = load
            .entry(Field::ReactivePowerKvar)
            .filter(|_| powered && !self.plain && load.text(Field::LoadKind) != Some("capacitor"))
            .cloned()
        else {
            return;
        };
        let place = load.place_of(Field::ReactivePowerKvar);
        self.notes.entry((entry.column as usize, Note::Reactive)).or_insert((0, place)).0 += 1;
        load.remove(Field::ReactivePowerKvar);
    }

    /// The marked locked-rotor current over the rated one of the same row.
    fn locked_rotor(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::LockedRotorCurrentA).cloned() else { return };
        if load.has(Field::LockedRotorRatio) {
            return;
        }
        let rated = load.number(Field::FullLoadCurrentA).or(load.number(Field::RatedLoadCurrentA));
        let current = load.number(Field::LockedRotorCurrentA).unwrap_or_default();
        let powered = [Field::RatedPowerKw, Field::RatedPowerHp].iter().any(|field| load.has(*field));
        // With the power it is held against the rated current that the rule book finds.
        if rated.is_none() && powered {
            return;
        }
        let Some(rated) = rated else {
            let what =
                format!("the locked-rotor current of {} A stands beside no rated current and counts for nothing", entry.text);
            let cure = "enter full_load_current_a or rated_load_current_a of the nameplate, or locked_rotor_ratio";
            return self.cell_finding(load, &codes::I466_TWO_CELLS, entry.column as usize, &entry.text, what, cure);
        };
        let ratio = (current / rated * 100.0).round() / 100.0;
        let Kind::Number(low, high) = Field::LockedRotorRatio.spec().kind else { return };
        if (low..=high).contains(&ratio) {
            let text = Text::from(text::number_text(ratio));
            return load.set(Field::LockedRotorRatio, Entry { value: Value::Number(ratio), text, column: entry.column });
        }
        let what = format!(
            "a locked-rotor current of {} A is {} times the rated {} A: it was not read",
            entry.text,
            text::number_text(ratio),
            text::number_text(rated)
        );
        let cure = "compare both currents with the nameplate";
        self.cell_finding(load, &codes::I466_TWO_CELLS, entry.column as usize, &entry.text, what, cure);
    }

    /// `d` below `PL`, `2` below `SIL`, `3` below `Sicherheitskategorie`: the scale stands in the heading.
    fn scale_of_safety_level(&self, load: &mut Load) {
        let Some(entry) = load.entry(Field::SafetyLevel).cloned() else { return };
        let level = entry.text.trim().to_lowercase();
        let heading = self.heading_words(&entry);
        let Some(scale) = SCALES.iter().find(|scale| scale.is_of(&heading) && scale.has(&level)) else { return };
        load.set(Field::SafetyLevel, Entry { value: Value::Text(format!("{} {level}", scale.scale).into()), ..entry });
    }

    /// A bare `0` or `1` is a stop category where the heading says so; else it may be a no or a yes, and somebody is asked.
    fn category_of_stop(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::EmergencyStop).filter(|entry| matches!(entry.text.trim(), "0" | "1")).cloned() else {
            return;
        };
        if self.heading_words(&entry).iter().any(|word| ["cat", "kat", "stoppkat"].iter().any(|stem| word.starts_with(stem))) {
            return;
        }
        let what = format!(
            "`{}` may be a stop category, or a yes or no; category 0, power removed at once, was taken",
            entry.text.trim()
        );
        let cure = "write category-0, category-1 (controlled stop first) or none";
        self.cell_finding(load, &codes::I465_STOP_CATEGORY, entry.column as usize, &entry.text, what, cure);
        load.set(Field::EmergencyStop, Entry { value: Value::Choice("category-0"), ..entry });
    }

    /// Words of the heading above a cell.
    fn heading_words(&self, entry: &Entry) -> Vec<String> {
        self.layout.headings.get(entry.column as usize).map(|heading| fold::words(heading)).unwrap_or_default()
    }

    /// A rating below `Breaker` is that of a circuit-breaker.
    fn device_of_rating(&self, load: &mut Load) {
        let Some(entry) = load.entry(Field::GivenProtectionA).filter(|_| !load.has(Field::GivenProtectionKind)).cloned() else {
            return;
        };
        if self.heading_words(&entry).iter().any(|word| matches!(word.as_str(), "breaker" | "bkr" | "cb")) {
            load.set(Field::GivenProtectionKind, Entry { value: Value::Text("circuit-breaker".into()), ..entry });
        }
    }

    /// Poles of two speeds held against the method: a tapped winding has twice the poles at the low speed.
    fn poles_of_method(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::Poles).cloned() else { return };
        let Some((high, low)) = poles_of_two_speeds(&entry.text) else { return };
        let method = load.text(Field::StartingMethod).unwrap_or_default().to_owned();
        let tapped = low == 2 * high;
        let (what, cure) = match method.as_str() {
            "two-speed-separate" => return,
            "two-speed-dahlander" | "two-speed" if tapped => return,
            "two-speed-dahlander" | "two-speed" => (
                format!(
                    "poles {} are not 1 to 2, and the method reads `{}`: a tapped winding of Dahlander has half the poles at the high speed",
                    entry.text,
                    text::shortened(load.entry(Field::StartingMethod).map_or("", |entry| entry.text.as_str()))
                ),
                "write two-speed-separate for two windings; correct the poles if the winding is tapped",
            ),
            _ => (
                format!("poles {} are those of two speeds, and the starting method is not that of a two-speed motor", entry.text),
                "write two-speed-dahlander or two-speed-separate, or the poles of the one speed",
            ),
        };
        self.cell_finding(load, &codes::I466_TWO_CELLS, entry.column as usize, &entry.text, what, cure);
    }

    /// An apparent power is no shaft power: a motor of which nothing else is stated is asked about.
    pub(super) fn say_apparent_power(&mut self, load: &Load) {
        let motor = load.text(Field::LoadKind).is_none_or(|kind| kind == "motor");
        let powered = [Field::RatedPowerKw, Field::RatedPowerHp].iter().any(|field| load.has(*field));
        let Some(entry) = load.entry(Field::RatedPowerKva).filter(|_| motor && !powered) else { return };
        let what = format!(
            "`{}` kVA stand at a load that was taken for a motor, of which kVA say no shaft power",
            text::shortened(&entry.text)
        );
        let finding = Finding::new(&codes::I467_KVA_OF_MOTOR, what)
            .at(load.place_of(Field::RatedPowerKva))
            .why("the kVA count for nothing; what the row states of the current counts alone")
            .cure("state load_kind, such as packaged or other, or the shaft power of the motor");
        self.findings.push(finding);
    }
}

/// A scale of functional safety, as the table of scales tells it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Scale {
    scale: String,
    headings: String,
    prefixes: String,
    grades: String,
}

static SCALES: LazyLock<Vec<Scale>> = LazyLock::new(|| tables::rows(include_str!("tables/safety-scales.csv")));

impl Scale {
    fn is_of(&self, heading: &[String]) -> bool {
        heading.iter().any(|word| self.headings.split('|').any(|stem| word.starts_with(stem)))
    }

    fn has(&self, grade: &str) -> bool {
        self.grades.split('|').any(|known| known == grade)
    }

    /// Whether a word is the name of the scale, a grade of it, or both in one.
    fn says(&self, word: &str) -> bool {
        self.has(word)
            || self
                .prefixes
                .split('|')
                .any(|prefix| word.strip_prefix(prefix).is_some_and(|rest| rest.is_empty() || self.has(rest)))
    }
}

/// Whether a text is a grade of a scale of functional safety: `d`, `PL d`, `SIL 2`, `Cat. 3`, or none.
pub(super) fn is_grade(text: &str) -> bool {
    let words = fold::words(text);
    let grade = |word: &String| duty::yes_no(word) == Some(false) || SCALES.iter().any(|scale| scale.says(word));
    !words.is_empty() && words.iter().all(grade)
}
