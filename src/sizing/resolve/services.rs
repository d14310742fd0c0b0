//! What isn't covered says so: special services, explosive atmospheres, safety levels, earthing systems; each with the clause to turn to.

use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::load::{Case, Field, Load};
use crate::record::Record;

/// Services with rules of their own: the contract's word, where to turn to, and words of a description that suggest it.
/// Facts from memory unless a source is named.
const SERVICES: &[(&str, &str, &[&str])] = &[
    ("fire-pump", "EN 12845 or the local fire code", &["fire pump", "sprinkler", "hydrant pump", "fire-fighting"]),
    ("smoke-control", "EN 12101 and the local fire code", &["smoke", "stair pressur", "staircase pressur"]),
    ("elevator", "EN 81-20", &["elevator", "passenger lift", "goods lift"]),
    ("crane", "IEC 60204-32", &["crane", "hoist"]),
    ("healthcare-essential", "IEC 60364-7-710", &["operating theatre", "medical gas", "medical vacuum", "life support"]),
];

/// Looks at services, surroundings and earthing.
pub(super) fn refer(load: &Load, case: &Case, basis: &Basis, record: &mut Record) {
    service(load, record);
    surroundings(load, record);
    safety(load, record);
    let earthing =
        basis.board(&case.board).and_then(|board| board.earthing.as_deref()).or(basis.supply.earthing.as_deref()).unwrap_or("");
    if earthing.to_uppercase().starts_with("IT") {
        record.find(
            Finding::new(
                &codes::L404_IT_SYSTEM,
                format!("board {} has an IT system; first and second faults are not worked out", case.board),
            )
            .at(load.place())
            .cure("have insulation monitoring and the second fault checked by a competent person")
            .reference("IEC 60364-4-41, 411.6"),
        );
    }
}

fn service(load: &Load, record: &mut Record) {
    let class = load.text(Field::ServiceClass).map(|text| text.trim().to_lowercase()).unwrap_or_default();
    if class == "fire-pump" {
        record.find(
            Finding::new(
                &codes::L401_FIRE_PUMP,
                "a fire pump is not sized: ordinary overload and short-circuit protection would stop it in a fire",
            )
            .at(load.place_of(Field::ServiceClass))
            .cure("use a controller made for fire pumps, sized by a licensed person")
            .reference("EN 12845; IEC 60364-5-56"),
        );
        return;
    }
    if !class.is_empty() && class != "general" {
        let turn_to =
            SERVICES.iter().find(|(name, _, _)| *name == class).map_or("the standard of that service", |(_, turn_to, _)| turn_to);
        record.find(
            Finding::new(
                &codes::L402_SPECIAL_SERVICE,
                format!("service class \"{class}\": sized as an ordinary load, which does not cover that service"),
            )
            .at(load.place_of(Field::ServiceClass))
            .cure("have the circuit checked against the rules of that service")
            .reference(turn_to),
        );
        return;
    }
    if class == "general" {
        return;
    }
    let description = load.text(Field::Description).unwrap_or("").to_lowercase();
    if let Some((name, turn_to, _)) = SERVICES.iter().find(|(_, _, words)| words.iter().any(|word| description.contains(word))) {
        record.find(
            Finding::new(
                &codes::L403_SERVICE_ASKED,
                format!("the description suggests a {name} service, but service_class is empty"),
            )
            .at(load.place_of(Field::Description))
            .cure(format!("write service_class {name} or general"))
            .reference(*turn_to),
        );
    }
}

fn surroundings(load: &Load, record: &mut Record) {
    let marked = load.text(Field::ExMarking).is_some_and(|text| !text.trim().is_empty());
    if marked || load.text(Field::Environment) == Some("hazardous") {
        let field = if marked { Field::ExMarking } else { Field::Environment };
        record.find(
            Finding::new(&codes::L405_EXPLOSIVE, "explosive atmosphere: this design does not establish explosion protection")
                .at(load.place_of(field))
                .cure("have motor, cable entries, overload relay (trip within tE) and thermistor unit certified together")
                .reference("IEC 60079-14"),
        );
    }
}

/// A stated level asks for an architecture and its proof; a second channel is not built here.
fn safety(load: &Load, record: &mut Record) {
    let level = load.text(Field::SafetyLevel).map(str::trim).unwrap_or_default();
    if level.is_empty() || ["none", "no"].contains(&level.to_lowercase().as_str()) {
        return;
    }
    record.find(
        Finding::new(&codes::L408_SAFETY_LEVEL, format!("safety level {level}: this design does not establish it"))
            .at(load.place_of(Field::SafetyLevel))
            .why("one contactor in each place is chosen; a second channel, its feedback and their proof are not")
            .cure("have the safety function designed and validated by a competent person")
            .reference("ISO 13849-1; IEC 62061"),
    );
}
