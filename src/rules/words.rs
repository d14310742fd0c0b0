//! Words in which canonical values and the parts of a page are shown, by the units of the rule book: each trade reads its own
//! terms. The canonical values stay as they are; nothing here is written to design.json.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::LazyLock;

use crate::rules::RuleBook;
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
    "protective-minimum" ["", ""] ["equipment grounding conductor minimum", "equipment grounding conductor minimum"];
    // Overload protection.
    "bimetal" ["", "thermal overload relay"] ["thermal overload relay", "thermal overload relay"];
    "electronic" ["", "electronic overload relay"] ["", "electronic overload relay"];
    "in-drive" ["", "protection in the drive"] ["", "protection in the drive"];
    "in-soft-starter" ["", "protection in the soft starter"] ["in solid-state starter", "protection in the solid-state starter"];
    "delta-leg" ["", "in the delta"] ["", "in the delta"];
    // Methods of starting.
    "direct" ["", "direct-on-line"] ["full voltage", "full voltage, across the line"];
    "star-delta" ["star-delta", "star-delta"] ["wye-delta, open", "wye-delta, open transition"];
    "star-delta-closed" ["star-delta, closed", "star-delta, closed transition"] ["wye-delta, closed", "wye-delta, closed transition"];
    "star-delta-leads" ["star-delta leads", "star-delta leads"] ["wye-delta leads", "wye-delta leads"];
    "soft-starter" ["", ""] ["solid-state starter", "solid-state reduced-voltage starter"];
    "soft starter" ["", ""] ["solid-state starter", "solid-state starter"];
    "soft-starter-inside-delta" ["soft starter inside the delta", "soft starter inside the delta"] ["solid-state, inside delta", "solid-state starter inside the delta"];
    "drive" ["", "variable-speed drive"] ["adjustable-speed drive", "adjustable-speed drive"];
    "two-speed" ["two-speed", "two-speed, windings not stated"] ["two-speed", "two-speed, windings not stated"];
    "two-speed-dahlander" ["two-speed, tapped winding", "two-speed, tapped winding"] ["two-speed, one winding", "two-speed, one winding (consequent pole)"];
    "two-speed-separate" ["two-speed, two windings", "two-speed, two windings"] ["two-speed, two windings", "two-speed, two windings"];
    "rotor-resistance" ["", ""] ["wound rotor, resistance", "wound rotor, secondary resistance"];
    "star" ["", ""] ["wye", "wye"];
    "feeder" ["", ""] ["branch circuit", "branch circuit, no starter"];
    "manual" ["", ""] ["manual starter", "manual motor starter"];
    "manual-starter" ["", ""] ["in manual starter", "protection in the manual starter"];
    // Roles, kinds of accessory and duty.
    "star-point" ["", ""] ["neutral point", "neutral point"];
    "high-star" ["", ""] ["high, wye", "high speed, wye point"];
    "low" ["", ""] ["low speed", "low speed"];
    "high" ["", ""] ["high speed", "high speed"];
    "motor-low" ["motor, low speed", "motor, low speed"] ["motor, low speed", "motor, low speed"];
    "motor run" ["", ""] ["motor", "motor"];
    "load run" ["", ""] ["load", "load"];
    "motor-low run" ["motor run, low speed", "motor run, low speed"] ["motor, low speed", "motor, low speed"];
    "rotor run" ["", ""] ["rotor", "rotor"];
    "star-delta-leads run" ["star-delta leads run", "star-delta leads run"] ["wye-delta leads", "wye-delta leads"];
    "supply run" ["", ""] ["supply", "supply"];
    "star-bridge" ["", ""] ["wye bridge", "wye bridge"];
    "rotor-resistor" ["", ""] ["secondary resistor", "secondary resistor"];
    "direct-current-supply" ["", "direct-current supply"] ["DC power supply", "DC power supply"];
    "auxiliary-block" ["", ""] ["auxiliary contacts", "auxiliary contact block"];
    "shroud" ["", ""] ["terminal shroud", "terminal shroud"];
    "interlock" ["", ""] ["mechanical interlock", "mechanical interlock"];
    "plc-output" ["PLC output", "PLC output"] ["PLC output", "PLC output"];
    "horsepower" ["", ""] ["horsepower", "horsepower-rated"];
    "continuous" ["", ""] ["continuous", "rated for continuous current"];
    "S1" ["", ""] ["continuous", "continuous"];
    "IE3" ["", ""] ["NEMA Premium (IE3)", "NEMA Premium (IE3)"];
    // Materials, disconnects, co-ordination.
    "aluminium" ["", ""] ["aluminum", "aluminum"];
    "isolator" ["", ""] ["disconnect switch", "motor-circuit disconnect switch"];
    "local isolator" ["", ""] ["disconnecting means", "disconnecting means"];
    "circuit-breaker" ["circuit-breaker", "circuit-breaker"] ["circuit breaker", "circuit breaker"];
    "motor-protective circuit-breaker" ["", ""] ["self-protected starter", "self-protected combination controller"];
    "moulded-case circuit-breaker" ["", ""] ["circuit breaker", "molded-case circuit breaker"];
    "switch-disconnector" ["switch-disconnector", "switch-disconnector"] ["main disconnect switch", "main disconnect switch"];
    "incoming device" ["", ""] ["main disconnect", "main disconnecting means"];
    "isolation" ["", ""] ["disconnecting means", "disconnecting means"];
    "type-1" ["type 1", "type 1"] ["type 1", "type 1"];
    "type-2" ["type 2", "type 2"] ["type 2", "type 2"];
    "pvc" ["", "PVC"] ["PVC", "PVC"];
    "xlpe" ["", "XLPE"] ["XLPE", "XLPE"];
    // Choices of the basis.
    "nema" ["NEMA sizes", "NEMA sizes"] ["NEMA sizes", "NEMA sizes"];
    "iec-frames" ["IEC frames", "IEC frames"] ["IEC frames", "IEC frames"];
    "per-board" ["for each board", "for each board"] ["for each board", "for each board"];
    "per-starter" ["for each starter", "for each starter"] ["for each controller", "for each controller"];
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
    "contactor-horsepower" ["", ""] ["controller horsepower", "controller horsepower"];
    "contactor-frequency" ["", ""] ["starts an hour, controller", "starts an hour, controller"];
    "relay-frequency" ["", ""] ["starts an hour, relay", "starts an hour, overload relay"];
    "breaking-capacity" ["", ""] ["interrupting rating", "interrupting rating"];
    "magnetic-trip-at-start" ["", ""] ["instantaneous trip at start", "instantaneous trip at start"];
    "magnetic-setting" ["", ""] ["instantaneous trip setting", "instantaneous trip setting"];
    "protection-maximum" ["", ""] ["maximum device", "maximum device"];
    "short-circuit-rating" ["", ""] ["short-circuit current rating", "short-circuit current rating"];
    "current-carrying-capacity" ["", ""] ["ampacity", "ampacity"];
    "overload-protection" ["", ""] ["overcurrent protection", "overcurrent protection"];
    "drive-cable-length" ["", ""] ["motor lead length", "motor lead length"];
    "soft-starter-current" ["", ""] ["solid-state starter current", "solid-state starter current"];
    "soft-starter-start" ["", ""] ["solid-state starter at start", "solid-state starter at start"];
    "disconnection" ["", ""] ["clearing of ground faults", "clearing of ground faults"];
};

/// Types of conductor insulation are written in capitals; a list of names, so that ordinary words stay as they are.
const CONDUCTOR_TYPES: &[&str] =
    &["tw", "thw", "thw-2", "thhn", "thwn", "thwn-2", "xhhw", "xhhw-2", "rhh", "rhw", "rhw-2", "use-2", "tbs", "uf"];

fn entry(key: &str) -> Option<&'static Entry> {
    static BY_KEY: LazyLock<HashMap<&str, &Entry>> =
        LazyLock::new(|| ENTRIES.iter().rev().map(|entry| (entry.key, entry)).collect());
    BY_KEY.get(key).copied()
}

/// What is appended to the name of a run where a check is about one place of it.
const PLACES: [&str; 2] = ["local isolator", "starter"];

/// `motor run, local isolator`: the run and the place, each in its words.
fn in_parts(units: Units, key: &str, place: usize) -> Option<Cow<'static, str>> {
    let (run, at) = key.rsplit_once(", ").filter(|(_, at)| PLACES.contains(at))?;
    let [run, at] = [run, at].map(|part| pick(units, part, place).map_or_else(|| part.to_owned(), Cow::into_owned));
    Some(Cow::Owned(format!("{run}, {at}")))
}

fn pick(units: Units, key: &str, place: usize) -> Option<Cow<'static, str>> {
    if units == Units::Customary && CONDUCTOR_TYPES.contains(&key) {
        return Some(Cow::Owned(key.to_uppercase()));
    }
    let Some(entry) = entry(key) else { return in_parts(units, key, place) };
    let word = units.pick(entry.metric, entry.customary)[place];
    (!word.is_empty()).then_some(Cow::Borrowed(word))
}

/// The words in the place of a figure that a failed check has not: a time without end, or a figure beyond what the tables list.
#[must_use]
pub fn without_figure(unit: &str) -> &'static str {
    if unit == "s" { "never" } else { "more than the tables list" }
}

/// A canonical value for a narrow column, such as `star delta` or `wye-delta, open`.
#[must_use]
pub fn brief(units: Units, key: &str) -> Cow<'_, str> {
    if let Some(word) = pick(units, key, 0) {
        return word;
    }
    if is_key(key) { Cow::Owned(key.replace(['-', '_'], " ")) } else { Cow::Borrowed(key) }
}

/// A canonical value in a sentence, such as `motor-protective circuit-breaker`.
#[must_use]
pub fn full(units: Units, key: &str) -> String {
    pick(units, key, 1).map_or_else(|| if is_key(key) { key.replace(['-', '_'], " ") } else { key.to_owned() }, Cow::into_owned)
}

/// The same in the words of the trade that a book is written for.
#[must_use]
pub fn of_book(book: &dyn RuleBook, key: &str) -> String {
    full(Units::of(book.key()), key)
}

/// Whether hyphens stand for blanks: in a key, but not in a term of several words, as "motor-protective circuit-breaker".
fn is_key(text: &str) -> bool {
    text.contains(['-', '_']) && !text.contains(' ') && !text.starts_with("AC-") && !text.starts_with("DC-")
}

/// Phrases of the working that name a document or a term of the metric book, and what the customary book prints instead: the
/// physics is the same in both. The first that fits is taken, whole phrases only.
#[rustfmt::skip] // a table: one line a phrase
const SHARED: &[[&str; 2]] = &[
    ["IEC 60947-4-1, overload current withstand; constant I²t", "constant I²t"],
    ["IEC 60228, Annex", "resistance over temperature"],
    ["IEC 60364-5-52, Annex G", "circuit theory; NFPA 70, Chapter 9 Table 9, note 2"],
    ["IEC 60909-0, equivalent voltage source", "circuit theory: voltage source behind its impedance"],
    ["IEC 60909-0, network feeders", "circuit theory: network by its fault level"],
    ["IEC 60909-0, two-winding transformers", "impedance of the transformer's nameplate"],
    ["IEC 60909-0, 6.3.3", "correction of the transformer's impedance; not made by this book"],
    ["IEC 60909-0, synchronous generators", "reactance of the generator's data sheet"],
    ["IEC 60909-0, asynchronous motors", "circuit theory: motors by their locked-rotor current"],
    ["IEC 60909-0, method c", "asymmetry by X/R"],
    ["IEC 60909-0, peak short-circuit current", "asymmetry by X/R"],
    ["IEC 60364-4-41, 411.4.4", "circuit theory: impedance of the fault loop"],
    ["IEC 60364-5-54, Annex A", "adiabatic heating of a conductor"],
    ["IEC 60364-5-54, 543.1.2; IEC 60364-4-43, 434.5.2", "adiabatic heating of a conductor"],
    ["IEC 60364-4-43, 434.5.2", "adiabatic heating of a conductor"],
    ["tolerance of the instantaneous trip, IEC 60947-2", "data sheet of the circuit breaker: tolerance of the instantaneous trip"],
    ["data sheet of the circuit-breaker", "data sheet of the circuit breaker"],
    ["note in the scope of IEC 60034-12", "first half-cycle, asymmetrical"],
    ["curve of electronic relays, one manual, for thermal ones too; inside the class of IEC 60947-4-1", "curve of electronic relays, one manual, for thermal ones too"],
    ["phasor divider of locked-rotor and cable impedance", "circuit theory: voltage divider of locked-rotor and conductor impedance"],
    ["magnetic trip", "instantaneous trip"],
    ["lowest magnetic trip", "instantaneous trip, lower limit"],
    ["highest magnetic trip", "instantaneous trip, upper limit"],
    ["peak at which the magnetic trip acts at the least", "lowest peak at which the instantaneous trip acts"],
    ["smallest cross-section for the fault", "smallest section for the fault"],
    ["current of the star contactor", "current of the wye contactor"],
    ["starting current in star", "starting current in wye"],
    ["current of the star-point contactor", "current of the neutral-point contactor"],
    ["current of the star-point contactor at high speed", "current of the wye-point contactor at high speed"],
];

/// A phrase of the working, a quantity or a clause, in the words of the trade.
#[must_use]
pub fn phrase(units: Units, text: &str) -> &str {
    if units == Units::Metric {
        return text;
    }
    SHARED.iter().find(|[metric, _]| *metric == text).map_or(text, |[_, customary]| customary)
}

/// A clause as the reports name it: a bare article of the customary book gets its document, as `430.52(C)(1)` does.
#[must_use]
pub fn clause(units: Units, reference: &str) -> Cow<'_, str> {
    let reference = phrase(units, reference);
    let number = reference.strip_prefix("Table ").unwrap_or(reference);
    let article = number.split(['.', '(']).next().unwrap_or_default();
    let bare = article.len() < number.len() && matches!(article.len(), 2 | 3) && article.bytes().all(|one| one.is_ascii_digit());
    if units == Units::Customary && bare { Cow::Owned(format!("NFPA 70, {reference}")) } else { Cow::Borrowed(reference) }
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
    /// The word before the installation of a run: `method` B1, `in` EMT.
    pub laid: &'static str,
    /// The switch at the load.
    pub isolator: &'static str,
    /// The device that switches the motor.
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
        schedule: "Current: rated current at the rated voltage. Contactors in the order of their roles. Drops of voltage: while running that of the cable with the feeders before it; at the start that at the motor, with feeders and source, and of the cable alone where these are unknown. An empty cell was not worked out or does not apply; the state says which.",
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
        assert_eq!(brief(Units::Metric, "star-delta"), "star-delta");
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

    /// The end of a run at a switch bears the word of each trade.
    #[test]
    fn a_run_ends_at_the_switch_of_its_trade() {
        assert_eq!(full(Units::Customary, "motor run, local isolator"), "motor, disconnecting means");
        assert_eq!(full(Units::Metric, "motor run, local isolator"), "motor run, local isolator");
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

    /// The words that a formula prints on a page of the customary book name no document and no term of the metric one.
    #[test]
    fn the_working_of_an_nec_circuit_is_of_that_trade() {
        for formula in crate::rules::nec::formulas().into_iter().chain(crate::rules::physics::formulas()) {
            for shown in [phrase(Units::Customary, formula.quantity), phrase(Units::Customary, formula.reference)] {
                for wrong in [
                    "IEC",
                    "cable",
                    "star",
                    "earth",
                    "isolator",
                    "circuit-breaker",
                    "magnetic",
                    "cross-section",
                    "mm²",
                    "star-delta",
                ] {
                    let found = shown.split([' ', ',', ';', ':', '(', ')']).any(|word| word == wrong);
                    assert!(!found, "{wrong} in {shown}");
                }
            }
        }
        // Each phrase is one that a formula prints.
        let printed: Vec<&str> =
            crate::rules::physics::formulas().into_iter().flat_map(|formula| [formula.quantity, formula.reference]).collect();
        for [metric, _] in SHARED {
            assert!(printed.contains(metric), "{metric} is printed by no formula");
            assert_eq!(phrase(Units::Metric, metric), *metric);
        }
    }

    #[test]
    fn a_bare_article_is_named_with_its_document() {
        for (bare, whole) in [
            ("430.52(C)(1)", "NFPA 70, 430.52(C)(1)"),
            ("Table 430.52(C)(1)", "NFPA 70, Table 430.52(C)(1)"),
            ("110.10; UL 508A, Supplement SB", "NFPA 70, 110.10; UL 508A, Supplement SB"),
            ("NFPA 70, 310.3(A)", "NFPA 70, 310.3(A)"),
            ("UL 508A, Table SB4.1", "UL 508A, Table SB4.1"),
            ("common practice, no source", "common practice, no source"),
            ("29 CFR 1910.212", "29 CFR 1910.212"),
            ("", ""),
        ] {
            assert_eq!(clause(Units::Customary, bare), whole);
            assert_eq!(clause(Units::Metric, bare), bare);
        }
    }

    /// A run and a place of it are two words of the trade, whichever they are.
    #[test]
    fn places_of_runs_are_in_the_words_of_the_trade() {
        assert_eq!(full(Units::Customary, "motor run, local isolator"), "motor, disconnecting means");
        assert_eq!(full(Units::Customary, "star-delta-leads run, starter"), "wye-delta leads, starter");
        assert_eq!(full(Units::Metric, "star-delta-leads run, starter"), "star-delta leads run, starter");
        assert_eq!(full(Units::Metric, "motor-low run, local isolator"), "motor run, low speed, local isolator");
    }
}
