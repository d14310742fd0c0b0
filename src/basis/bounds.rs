//! Plausible values of the basis: words of a list, and bounds by the unit in a key's name.
//!
//! The bounds catch slips of the hand (a sign, a factor of 1 000); they are no limits of a rule book. Common practice, no source.

/// Keys that know only certain words.
const WORDS: &[(&str, &str, &[&str])] = &[
    ("rules", "book", &["iec", "nec"]),
    ("supply", "earthing", EARTHING),
    ("board", "earthing", EARTHING),
    ("board", "incoming", &["switch-disconnector", "circuit-breaker", "none"]),
    ("source", "kind", &["utility", "generator"]),
    ("design", "controller_family", &["iec-frames", "nema"]),
    ("design", "conductor", &["copper", "aluminium"]),
    ("design", "coordination", &["type-1", "type-2"]),
    ("design", "current_source", &["nameplate", "table", "larger"]),
    ("control", "supply", &["per-board", "per-starter"]),
    ("catalogue", "prefer", &["smallest", "cheapest", "fewest-kinds"]),
    ("catalogue", "reduced_life_contactors", &["never", "where-suitable"]),
    ("report", "paper", &["A4", "Letter"]),
    ("report", "sheets", &["all", "flagged", "none"]),
    ("report", "working", &["all", "flagged", "none"]),
    ("report", "sheet_working", &["all", "flagged", "none"]),
];
/// Types of system earthing: IEC 60364-1, 312.2.
const EARTHING: &[&str] = &["TN", "TN-S", "TN-C", "TN-C-S", "TT", "IT"];

/// Bounds by how a key ends; the first that fits holds.
const BOUNDS: &[(&str, f64, f64, &str)] = &[
    ("running_drop_pct", 0.0, 50.0, "%"),
    ("starting_drop_pct", 0.0, 50.0, "%"),
    ("voltage_tolerance_pct", 1.0, 10.0, "%"),
    ("feeder_drop_pct", 0.0, 50.0, "%"),
    // A transformer or machine without impedance would let any current flow.
    ("impedance_pct", 0.1, 30.0, "%"),
    ("reactance_pct", 1.0, 100.0, "%"),
    ("_pct", 0.0, 100.0, "%"),
    ("voltage_v", 1.0, 500_000.0, "V"),
    ("frequency_hz", 1.0, 400.0, "Hz"),
    ("phases", 1.0, 3.0, ""),
    ("altitude_m", -500.0, 9_000.0, "m"),
    ("termination_c", 30.0, 150.0, "°C"),
    ("ambient_c", -50.0, 100.0, "°C"),
    ("ground_c", -30.0, 80.0, "°C"),
    ("soil_k_m_w", 0.1, 10.0, "K·m/W"),
    ("_ka", 0.001, 1_000.0, "kA"),
    ("kva", 0.01, 1_000_000.0, "kVA"),
    ("_mva", 0.01, 1_000_000.0, "MVA"),
    ("_kw", 0.0, 1_000_000.0, "kW"),
    ("_ohm", 0.0, 1_000.0, "Ω"),
    ("_mm2", 0.1, 5_000.0, "mm²"),
    ("_ft", 0.0, 300_000.0, "ft"),
    ("_m", 0.0, 100_000.0, "m"),
    ("_a", 0.0, 100_000.0, "A"),
    ("_w", 0.0, 1_000_000.0, "W"),
    ("x_over_r", 0.01, 200.0, ""),
    ("_hours_per_year", 1.0, 8_784.0, "h"),
    ("_years", 0.1, 100.0, "years"),
    ("grouped_circuits", 1.0, 1_000.0, ""),
    ("start_time_s", 0.01, 3_600.0, "s"),
    ("locked_rotor_ratio", 1.0, 20.0, ""),
    ("_ratio", 0.0, 100.0, ""),
    // Factors of demand; 1.25 for continuous loads is usual under some codes. A board of which nothing counts is told (B327); that no
    // continuous load counts anywhere is a slip.
    ("continuous", 0.05, 2.0, ""),
    ("", 0.0, 2.0, ""),
];

/// The only words that a key knows; none where any text will do.
pub(super) fn words(section: &str, key: &str) -> &'static [&'static str] {
    WORDS.iter().find(|(a, b, _)| (*a, *b) == (section, key)).map_or(&[], |(_, _, words)| *words)
}

/// The value, in the canonical spelling where its key knows only certain words; or what is wrong with it.
pub(super) fn check_value(section: &str, key: &str, value: toml::Value) -> Result<toml::Value, String> {
    match value {
        toml::Value::String(text) => word(section, key, text),
        toml::Value::Float(number) => within(key, number).map(|()| toml::Value::Float(number)),
        toml::Value::Integer(number) => {
            #[allow(clippy::cast_precision_loss)] // far beyond every bound before precision is lost
            within(key, number as f64)?;
            Ok(toml::Value::Integer(number))
        }
        other => Ok(other),
    }
}

fn word(section: &str, key: &str, text: String) -> Result<toml::Value, String> {
    if let Some(steering) = text.chars().find(|&c| !matches!(c, '\n' | '\r' | '\t') && crate::finding::steers(c)) {
        return Err(format!("it holds the invisible or control character U+{:04X}; type the text anew", u32::from(steering)));
    }
    let words = words(section, key);
    if words.is_empty() {
        // A blank behind a name is seen by nobody.
        return Ok(toml::Value::String(text.trim().to_owned()));
    }
    match words.iter().find(|word| word.eq_ignore_ascii_case(text.trim())) {
        Some(word) => Ok(toml::Value::String((*word).to_owned())),
        None => {
            let shown: String = text.chars().take(60).collect();
            let hint = crate::finding::nearest(&shown, words.iter().copied()).map(|near| format!("; did you mean \"{near}\"?"));
            Err(format!("\"{shown}\" is not one of {}{}", words.join(", "), hint.unwrap_or_default()))
        }
    }
}

fn within(key: &str, number: f64) -> Result<(), String> {
    let Some((_, low, high, unit)) = BOUNDS.iter().find(|(end, ..)| key.ends_with(end)) else { return Ok(()) };
    if (*low..=*high).contains(&number) {
        // Between two lines of three a load is one of one phase.
        if key == "phases" && number > *low && number < *high {
            return Err(format!("there are systems of 1 and of 3 phases, none of {number}; enter 1 or 3"));
        }
        return Ok(());
    }
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    Err(format!("{number} is out of bounds; enter a value from {low} to {high}{unit}"))
}
