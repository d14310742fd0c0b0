//! Says which cells of a schedule and keys of a basis this version does not use yet, so that nothing is lost silently. A value
//! that would change its circuit makes the row need a decision; columns and keys that concern boards or papers are one note for
//! the design.

use crate::basis::Basis;
use crate::finding::{Finding, Place, codes};
use crate::intake::protection_kinds;
use crate::load::{Field, Load, ProtectionKind};
use crate::record::Record;
use crate::rules::RuleBook;

/// Columns whose value would change the circuit of its row.
const OF_CIRCUITS: &[Field] = &[
    Field::Circuit,
    Field::Stages,
    Field::LockedRotorCode,
    Field::DesignLetter,
    Field::EquipmentSccrKa,
    Field::BranchSelectionCurrentA,
];

/// Columns that concern boards, papers or refinements; what they leave out does not make a circuit unsafe.
const OF_DESIGNS: &[Field] = &[
    Field::SupplyClass,
    Field::AbsorbedPowerKw,
    Field::ServiceFactor,
    Field::TemperatureRiseC,
    Field::InertiaKgm2,
    Field::BreakdownTorqueRatio,
];

/// Keys of the basis that decide nothing yet; whole sections end in a point.
const KEYS: &[&str] = &[
    "rules.edition",
    "design.minimum_nema_size",
    "design.minimum_size_awg",
    "design.minimum_raceway",
    "design.termination_c",
    "design.supervised_industrial",
    "design.instantaneous_evaluated",
];

/// The value is the one that holds anyway, or all that it asks for is done, so that nothing is left out.
fn changes_nothing(load: &Load, field: Field) -> bool {
    match field {
        Field::Stages => load.number(field) == Some(1.0),
        _ => false,
    }
}

/// Load, torque and inertia give the start time where the speed is known too.
fn serves_the_start(load: &Load, field: Field) -> bool {
    let stated = |field| load.entry(field).is_some();
    let speed = stated(Field::SpeedRpm) || stated(Field::Poles);
    matches!(field, Field::AbsorbedPowerKw | Field::InertiaKgm2 | Field::BreakdownTorqueRatio)
        && stated(Field::InertiaKgm2)
        && speed
}

/// Names the values of a row that would change its circuit and are not used.
pub(super) fn of_row(load: &Load, book: &dyn RuleBook, record: &mut Record) {
    let (used, _) = book.own_inputs();
    let idle: Vec<Field> = OF_CIRCUITS
        .iter()
        .copied()
        .filter(|field| !used.contains(field) && load.entry(*field).is_some() && !changes_nothing(load, *field))
        .collect();
    let Some(first) = idle.first() else { return };
    let said: Vec<String> =
        idle.iter().map(|field| format!("{} {}", field.spec().name, load.text(*field).unwrap_or(""))).collect();
    record.find(
        Finding::new(&codes::L406_IDLE_VALUE, format!("read, but not used by this version: {}", said.join(", ")))
            .at(load.place_of(*first))
            .why("the circuit is sized without it")
            .cure("check by hand what it changes in this circuit"),
    );
}

/// A kind of protective device that nobody knows would else be replaced without a word.
pub(super) fn unknown_kind(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) {
    let of_row = load.text(Field::ProtectionKind);
    let Some(written) = of_row.or(super::kind_of_basis(load, basis)) else { return };
    let iec = book.protection_kind().is_iec();
    if protection_kinds::meant(written, iec).is_some() {
        return;
    }
    let of_book = ProtectionKind::ALL.iter().filter(|(kind, _)| kind.is_iec() == iec);
    let known: Vec<&str> = of_book.map(|(_, word)| *word).collect();
    record.find(
        Finding::new(
            &codes::L409_PROTECTION_KIND,
            format!("protection_kind \"{written}\" is not known, and another kind is taken"),
        )
        .at(if of_row.is_some() { load.place_of(Field::ProtectionKind) } else { load.place() })
        .why("the circuit is sized with another device than the one that was meant")
        .cure(format!("write one of {}", known.join(", "))),
    );
}

/// Notes on columns and keys that are kept and not used.
#[must_use]
pub fn of_design(loads: &[Load], basis: &Basis, basis_file: Option<&str>, book: &dyn RuleBook) -> Vec<Finding> {
    let (used, used_keys) = book.own_inputs();
    let columns: Vec<&str> = OF_DESIGNS
        .iter()
        .filter(|field| !used.contains(field))
        .filter(|field| loads.iter().any(|load| load.entry(**field).is_some() && !serves_the_start(load, **field)))
        .map(|field| field.spec().name)
        .collect();
    let keys = idle_keys(basis, used_keys);
    let note = |what: &str, names: &[String], place: Option<Place>| {
        (!names.is_empty()).then(|| {
            let finding =
                Finding::new(&codes::L407_IDLE_NAMES, format!("{what} kept, but not used by this version: {}", names.join(", ")))
                    .cure("nothing in the results rests on them");
            match place {
                Some(place) => finding.at(place),
                None => finding,
            }
        })
    };
    let columns: Vec<String> = columns.into_iter().map(str::to_owned).collect();
    let file = loads.first().map(|load| Place::file(load.source.file.clone()));
    [note("columns", &columns, file), note("keys of the basis", &keys, basis_file.map(Place::file))]
        .into_iter()
        .flatten()
        .collect()
}

fn idle_keys(basis: &Basis, used: &[&str]) -> Vec<String> {
    let Ok(serde_json::Value::Object(sections)) = serde_json::to_value(basis) else { return Vec::new() };
    let given = |section: &str, key: &str| {
        let in_table = |table: &serde_json::Value| match table.as_object() {
            Some(keys) if key.is_empty() => keys.values().any(|value| !value.is_null()),
            Some(keys) => keys.get(key).is_some_and(|value| !value.is_null()),
            None => false,
        };
        match sections.get(section) {
            Some(serde_json::Value::Array(entries)) => entries.iter().any(in_table),
            Some(table) => in_table(table),
            None => false,
        }
    };
    KEYS.iter()
        .filter(|name| !used.contains(name))
        .filter(|name| name.split_once('.').is_some_and(|(section, key)| given(section, key)))
        .map(|name| name.trim_end_matches('.').to_owned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::Status;
    use crate::sizing::testing::{basis, row, size};

    const PUMP: &[(&str, &str)] = &[
        ("tag", "P-1"),
        ("rated_power_kw", "4"),
        ("full_load_current_a", "8"),
        ("locked_rotor_ratio", "6"),
        ("start_time_s", "2"),
        ("starting_method", "direct"),
        ("cable_length_m", "20"),
    ];

    fn with(more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
        [PUMP, more].concat()
    }

    #[rstest::rstest]
    #[case::heater_steps("stages", "3", true)]
    #[case::one_step("stages", "1", false)]
    #[case::dry("location", "dry", false)]
    #[case::wet("location", "wet", false)]
    #[case::roof("location", "rooftop", false)]
    #[case::used("poles", "4", false)]
    fn a_value_that_would_change_the_circuit_is_said(#[case] name: &'static str, #[case] text: &'static str, #[case] said: bool) {
        let circuit = size(&with(&[(name, text)]));
        let found = circuit.findings.iter().find(|finding| finding.code == "L406");
        assert_eq!(found.is_some(), said, "{found:?}");
        if let Some(finding) = found {
            assert!(finding.what.contains(name) && finding.what.contains(text), "{}", finding.what);
            assert_eq!(circuit.status, Status::NeedsDecision);
        }
    }

    /// IEC 60364-5-51, 512.2: a wet place asks for IPX4 of the isolator there, and gets it. The sun on the cable (IEC 60364-5-52, 522.11)
    /// is told, unless the row states the air that it lies in.
    #[test]
    fn a_place_that_the_isolator_is_chosen_for_is_used() {
        let sized_at = |place| size(&with(&[("isolator", "yes"), ("location", place)]));
        let told = |circuit: &crate::design::Circuit| circuit.findings.iter().filter(|found| found.code == "L357").count();
        for (place, sun) in [("wet", 0), ("rooftop", 1)] {
            let circuit = sized_at(place);
            let enclosure = circuit.disconnect.as_ref().map_or("", |disconnect| disconnect.enclosure.as_str());
            assert!(crate::rules::physics::enclosures::serves(enclosure, "IPX4"), "{enclosure}: {:?}", circuit.findings);
            assert_eq!(told(&circuit), sun, "{place}");
        }
        assert_eq!(told(&size(&with(&[("location", "rooftop"), ("ambient_c", "45")]))), 0);
    }

    // A misspelt kind must never become another device without a word.
    #[rstest::rstest]
    #[case::known(Some("gG"), None, None)]
    #[case::misspelt_in_the_row(Some("gl"), None, Some("H"))]
    #[case::row_before_basis(Some("aM"), Some("gl"), None)]
    #[case::misspelt_in_the_basis(None, Some("gl"), None)]
    fn an_unknown_kind_of_protective_device_is_said(
        #[case] of_row: Option<&'static str>,
        #[case] of_basis: Option<&'static str>,
        #[case] column: Option<&'static str>,
    ) {
        let mut basis = basis();
        basis.design.protection_kind = of_basis.map(str::to_owned);
        let cells: Vec<(&'static str, &'static str)> = of_row.map(|kind| ("protection_kind", kind)).into_iter().collect();
        let circuit = crate::sizing::testing::size_with(&row(&with(&cells)), &basis).0;
        let found = circuit.findings.iter().find(|finding| finding.code == "L409");
        let wrong = of_row.or(of_basis) == Some("gl");
        assert_eq!(found.is_some(), wrong, "{:?}", circuit.findings);
        if let Some(finding) = found {
            assert!(finding.what.contains("\"gl\"") && finding.cure.contains("gG"), "{finding:?}");
            assert_eq!(finding.place.as_ref().and_then(|place| place.column.as_deref()).filter(|_| of_row.is_some()), column);
            assert_eq!(circuit.status, Status::NeedsDecision);
        }
    }

    #[test]
    fn columns_and_keys_that_are_kept_are_named_once() {
        let mut basis = basis();
        assert!(of_design(&[row(PUMP)], &basis, Some("b.toml"), &crate::rules::iec::Iec).is_empty());
        // The words of a system are read: by them coils are fed from line and neutral, and feeders have a fifth core.
        basis.supply.system = Some("400Y/230".to_owned());
        basis.design.minimum_raceway = Some("3/4".to_owned());
        basis.design.termination_c = Some(75.0);
        let notes = of_design(&[row(&with(&[("supply_class", "emergency")]))], &basis, Some("b.toml"), &crate::rules::iec::Iec);
        let texts: Vec<&str> = notes.iter().map(|note| note.what.as_str()).collect();
        assert_eq!(texts.len(), 2, "{texts:?}");
        assert!(texts[0].ends_with("supply_class"), "{texts:?}");
        for key in ["design.minimum_raceway", "design.termination_c"] {
            assert!(texts[1].contains(key), "{key}: {texts:?}");
        }
        assert!(!texts[1].contains("system"), "{texts:?}");
    }

    #[test]
    fn every_key_of_the_list_is_one_of_the_basis() {
        let schema = serde_json::to_string(&schemars::schema_for!(Basis)).expect("a schema is JSON");
        assert!(!KEYS.is_empty());
        for name in KEYS {
            for part in name.split('.').filter(|part| !part.is_empty()) {
                assert!(schema.contains(&format!("\"{part}\"")), "{name}");
            }
        }
    }
}
