//! Words in which canonical values and the parts of a page are shown, by the units of the rule book: each trade reads its own
//! terms. The canonical values stay as the contract has them; nothing here is written to design.json.

use std::borrow::Cow;

use crate::rules::units::Units;

/// A canonical value: words for a narrow column and for a sentence. An empty word says that hyphens become blanks.
struct Entry {
    key: &'static str,
    /// Narrow and in full, of the metric book.
    metric: [&'static str; 2],
    /// Narrow and in full, of the customary book.
    customary: [&'static str; 2],
}

macro_rules! entries { ($($key:literal [$a:literal, $b:literal] [$c:literal, $d:literal];)*) => {
    &[$(Entry { key: $key, metric: [$a, $b], customary: [$c, $d] }),*]
}; }

#[rustfmt::skip] // a table: one line a value
const ENTRIES: &[Entry] = entries! {
    // Protective devices.
    "motor-breaker" ["", "motor-protective circuit-breaker"] ["self-protected starter", "self-protected combination controller"];
    "moulded-case" ["", "moulded-case circuit-breaker"] ["circuit breaker", "molded-case circuit breaker"];
    "line-breaker" ["", ""] ["circuit breaker", "circuit breaker"];
    "inverse-time" ["", ""] ["inverse-time breaker", "inverse-time circuit breaker"];
    "instantaneous" ["", ""] ["instantaneous-trip breaker", "instantaneous-trip circuit breaker"];
    "dual-element" ["", ""] ["dual-element fuse", "dual-element time-delay fuses"];
    "non-time-delay" ["", ""] ["non-time-delay fuse", "non-time-delay fuses"];
    "class-CC" ["", ""] ["Class CC fuse", "Class CC fuses"];
    "class-J" ["", ""] ["Class J fuse", "Class J fuses"];
    "class-RK1" ["", ""] ["Class RK1 fuse", "Class RK1 fuses"];
    "class-RK5" ["", ""] ["Class RK5 fuse", "Class RK5 fuses"];
    "class-L" ["", ""] ["Class L fuse", "Class L fuses"];
    "gG" ["", "gG fuses"] ["", "gG fuses"];
    "aM" ["", "aM fuses"] ["", "aM fuses"];
    // Overload protection.
    "bimetal" ["", "thermal overload relay"] ["thermal overload relay", "thermal overload relay"];
    "electronic" ["", "electronic overload relay"] ["", "electronic overload relay"];
    "in-drive" ["", "protection in the drive"] ["", "protection in the drive"];
    "in-soft-starter" ["", ""] ["in solid-state starter", "protection in the solid-state starter"];
    "delta-leg" ["", "in the delta"] ["", "in the delta"];
    // Methods of starting.
    "direct" ["", ""] ["full voltage", "full voltage, across the line"];
    "star-delta" ["", ""] ["wye-delta, open", "wye-delta, open transition"];
    "star-delta-closed" ["", ""] ["wye-delta, closed", "wye-delta, closed transition"];
    "star-delta-leads" ["", ""] ["wye-delta leads", "wye-delta leads"];
    "soft-starter" ["", ""] ["solid-state starter", "solid-state reduced-voltage starter"];
    "soft-starter-inside-delta" ["", ""] ["solid-state, inside delta", "solid-state starter inside the delta"];
    "drive" ["", "variable-speed drive"] ["adjustable-speed drive", "adjustable-speed drive"];
    "two-speed-dahlander" ["", ""] ["two-speed, one winding", "two-speed, one winding (consequent pole)"];
    "two-speed-separate" ["", ""] ["two-speed, two windings", "two-speed, two windings"];
    "rotor-resistance" ["", ""] ["wound rotor, resistance", "wound rotor, secondary resistance"];
    "star" ["", ""] ["wye", "wye"];
    // Materials, disconnects, co-ordination.
    "aluminium" ["", ""] ["aluminum", "aluminum"];
    "isolator" ["", ""] ["disconnect switch", "motor-circuit disconnect switch"];
    "local isolator" ["", ""] ["disconnecting means", "disconnecting means"];
    "circuit-breaker" ["", ""] ["circuit breaker", "circuit breaker"];
    "motor-protective circuit-breaker" ["", ""] ["self-protected starter", "self-protected combination controller"];
    "moulded-case circuit-breaker" ["", ""] ["circuit breaker", "molded-case circuit breaker"];
    "isolation" ["", ""] ["disconnecting means", "disconnecting means"];
    "type-1" ["type 1", "type 1"] ["type 1", "type 1"];
    "type-2" ["type 2", "type 2"] ["type 2", "type 2"];
    "pvc" ["", "PVC"] ["PVC", "PVC"];
    "xlpe" ["", "XLPE"] ["XLPE", "XLPE"];
    // Raceways and types of conductors: letters of their own.
    "emt" ["", ""] ["EMT", "EMT"];
    "rmc" ["", ""] ["RMC", "RMC"];
    "imc" ["", ""] ["IMC", "IMC"];
    "fmc" ["", ""] ["FMC", "FMC"];
    "lfmc" ["", ""] ["LFMC", "LFMC"];
    "lfnc" ["", ""] ["LFNC", "LFNC"];
    "pvc-40" ["", ""] ["PVC Schedule 40", "PVC Schedule 40"];
    "pvc-80" ["", ""] ["PVC Schedule 80", "PVC Schedule 80"];
    // Criteria and checks whose names bear a term of the other trade.
    "contactor-duty" ["", ""] ["controller duty", "controller duty"];
    "contactor-life" ["", ""] ["controller life", "controller life"];
    "disconnection" ["", ""] ["clearing of ground faults", "clearing of ground faults"];
};

/// Types of conductor insulation are written in capitals; a list of names, so that ordinary words stay as they are.
const CONDUCTOR_TYPES: &[&str] =
    &["tw", "thw", "thw-2", "thhn", "thwn", "thwn-2", "xhhw", "xhhw-2", "rhh", "rhw", "rhw-2", "use-2", "tbs", "uf"];

fn entry(key: &str) -> Option<&'static Entry> {
    ENTRIES.iter().find(|entry| entry.key == key)
}

fn pick(units: Units, key: &str, place: usize) -> Option<Cow<'static, str>> {
    if units == Units::Customary && CONDUCTOR_TYPES.contains(&key) {
        return Some(Cow::Owned(key.to_uppercase()));
    }
    let own = entry(key)?;
    let word = units.pick(own.metric, own.customary)[place];
    (!word.is_empty()).then_some(Cow::Borrowed(word))
}

/// A canonical value for a narrow column, such as `star delta` or `wye-delta, open`.
#[must_use]
pub fn brief(units: Units, key: &str) -> Cow<'_, str> {
    if let Some(word) = pick(units, key, 0) {
        return word;
    }
    if key.starts_with("AC-") || key.starts_with("DC-") || !key.contains(['-', '_']) {
        Cow::Borrowed(key)
    } else {
        Cow::Owned(key.replace(['-', '_'], " "))
    }
}

/// A canonical value in a sentence, such as `motor-protective circuit-breaker`.
#[must_use]
pub fn full(units: Units, key: &str) -> String {
    pick(units, key, 1).map_or_else(|| key.replace(['-', '_'], " "), Cow::into_owned)
}

/// Terms of a page that differ from trade to trade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Terms {
    /// Conductors with what they run in: the section's name.
    pub cables: &'static str,
    /// One of them.
    pub cable: &'static str,
    /// The conductor that is earthed.
    pub protective: &'static str,
    /// The same in a make-up of conductors.
    pub protective_short: &'static str,
    /// What a run is laid in or after.
    pub laid: &'static str,
    /// The switch at the load.
    pub isolator: &'static str,
    /// What switches the motor.
    pub contactor: &'static str,
    /// Rated current.
    pub rated_current: &'static str,
    /// Sentence under the list of runs.
    pub cores: &'static str,
    /// Sentence under the schedule.
    pub schedule: &'static str,
    /// To put under voltage, past participle.
    pub energised: &'static str,
    /// Who enforces the code.
    pub authority: &'static str,
    /// Power of a motor at its shaft.
    pub shaft_power: &'static str,
}

/// Terms by the units of the rule book.
#[must_use]
pub fn terms(units: Units) -> &'static Terms {
    const METRIC: Terms = Terms {
        cables: "Cables",
        cable: "Cable",
        protective: "Protective",
        protective_short: "PE",
        laid: "method",
        isolator: "Isolator",
        contactor: "Contactor",
        rated_current: "rated current",
        cores: "Cores include the protective conductor where it is part of the cable. Lengths one way, without waste.",
        schedule: "Current: rated current at the rated voltage. Contactors in the order of their roles. The drop of voltage is that of the cable. An empty cell was not worked out or does not apply; the state says which.",
        energised: "energised",
        authority: "authority at the place",
        shaft_power: "shaft power",
    };
    const CUSTOMARY: Terms = Terms {
        cables: "Conductors and raceways",
        cable: "Conductors",
        protective: "Equipment grounding conductor",
        protective_short: "EGC",
        laid: "in",
        isolator: "Disconnecting means",
        contactor: "Contactor",
        rated_current: "full-load current",
        cores: "Sizes are those of each phase (ungrounded) conductor; the equipment grounding conductor stands by itself. Lengths one way in whole feet, without waste.",
        schedule: "Full-load current: that on which conductors and short-circuit protection are based; the nameplate current is the basis of overload protection. Maximum: the largest rating that the clause named permits. The drop of voltage is that of the circuit's own conductors. An empty cell was not worked out or does not apply; the state says which.",
        energised: "energized",
        authority: "authority having jurisdiction",
        shaft_power: "rated power",
    };
    match units {
        Units::Metric => &METRIC,
        Units::Customary => &CUSTOMARY,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_trade_reads_its_own_words() {
        assert_eq!(brief(Units::Metric, "star-delta"), "star delta");
        assert_eq!(brief(Units::Customary, "star-delta"), "wye-delta, open");
        assert_eq!(full(Units::Metric, "motor-breaker"), "motor-protective circuit-breaker");
        assert_eq!(full(Units::Customary, "moulded-case"), "molded-case circuit breaker");
        assert_eq!(
            (brief(Units::Metric, "aluminium"), brief(Units::Customary, "aluminium")),
            ("aluminium".into(), "aluminum".into())
        );
        assert_eq!((brief(Units::Metric, "AC-3e"), brief(Units::Customary, "thwn-2")), ("AC-3e".into(), "THWN-2".into()));
    }

    #[test]
    fn a_value_stands_once_in_the_table() {
        let mut keys: Vec<&str> = ENTRIES.iter().map(|entry| entry.key).collect();
        keys.sort_unstable();
        let all = keys.len();
        keys.dedup();
        assert_eq!(keys.len(), all);
    }

    /// British spellings and terms of the other trade, which no reader of the customary book should meet.
    #[test]
    fn words_of_the_customary_book_are_of_that_trade() {
        let terms = serde_json::to_string(terms(Units::Customary)).expect("words");
        let shown = ENTRIES.iter().flat_map(|entry| entry.customary).chain([terms.as_str()]);
        for words in shown {
            for wrong in ["star", "earth", "moulded", "aluminium", "circuit-breaker", "protective conductor", "isolator"] {
                let found =
                    words.split([' ', ',', '-']).any(|word| word == wrong) || (wrong.contains(' ') && words.contains(wrong));
                assert!(!found, "{wrong} in {words}");
            }
        }
    }

    /// Every value that a column of the schedule or the catalogue's protective devices may hold has words without hyphens left over
    /// by accident.
    #[test]
    fn every_starting_method_has_words() {
        for (_, word) in crate::load::Method::ALL {
            assert!(!brief(Units::Customary, word).is_empty() && !full(Units::Customary, word).contains('_'), "{word}");
        }
    }
}
