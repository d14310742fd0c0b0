//! How a row's conductors are laid: length, surroundings, material, limits of the drop.

use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::intake::headings::unread_length;
use crate::load::{Field, Load, Material, Route};
use crate::quantity::{Celsius, Metres};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::plausibility::{written_twice, written_twice_pct};
use crate::rules::units::METRES_A_FOOT;

mod laid;

/// Length of the motor run: metres, or feet; the longer where both are stated.
fn length(load: &Load, record: &mut Record) -> Option<Metres> {
    let metres = load.number(Field::CableLengthM);
    let feet = load.number(Field::CableLengthFt);
    let from_feet = feet.map(|feet| feet * METRES_A_FOOT);
    if let (Some(metres), Some(feet), Some(from_feet)) = (metres, feet, from_feet)
        && written_twice(metres, from_feet)
    {
        record.find(
            Finding::new(&codes::L311_LENGTHS, format!("{metres} m and {feet} ft differ by more than {} %", written_twice_pct()))
                .at(load.place_of(Field::CableLengthFt))
                .why("the longer is used")
                .cure("correct the one that is wrong"),
        );
    }
    match (metres, from_feet) {
        (Some(metres), Some(from_feet)) => Some(Metres(metres.max(from_feet))),
        (metres, from_feet) => metres.or(from_feet).map(Metres),
    }
}

pub(super) fn read(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) -> Route {
    let (design, defaults) = (&basis.design, book.defaults());
    let material = match load.text(Field::Conductor).or(design.conductor.as_deref()) {
        Some("aluminium") => Material::Aluminium,
        _ => Material::Copper,
    };
    let installation =
        load.text(Field::InstallationMethod).or(design.installation_method.as_deref()).unwrap_or(defaults.installation);
    let ways = laid::ways(installation, book);
    laid::say_unknown(load, installation, &ways, book, record);
    laid::say_taken(load, installation, &ways, record);
    let insulation = load.text(Field::Insulation).or(design.insulation.as_deref()).unwrap_or(defaults.insulation);
    let smallest = if material == Material::Copper { defaults.minimum_copper_mm2 } else { defaults.minimum_aluminium_mm2 };
    let written = design.minimum_size_awg.as_deref().and_then(|text| book.size_of(text));
    if let (Some(text), None, true) =
        (&design.minimum_size_awg, written, book.own_inputs().1.contains(&"design.minimum_size_awg"))
    {
        record.find(
            Finding::new(&codes::C607_MINIMUM_SIZE, format!("smallest size \"{text}\" is no size of the rule book"))
                .at(load.place())
                .why("the smallest size that the rules allow is used instead")
                .cure("write minimum_size_awg as \"12 AWG\", \"1/0 AWG\" or \"250 kcmil\""),
        );
    }
    let location = load.text(Field::Location);
    let length = length(load, record);
    let spare = load.text(Field::Running) == Some("spare");
    let laid = !spare || length.is_some_and(|length| length.0 > 0.0) || load.has(Field::SupplyLengthM);
    let grouped = load.count(Field::GroupedCircuits).or(design.grouped_circuits);
    Route {
        place: load.place_of(Field::InstallationMethod),
        length,
        unread_length: if length.is_none() { unread_length(&load.source.headings) } else { None },
        supply_length: load.number(Field::SupplyLengthM).map(Metres),
        installation: laid::methods(&ways),
        ambient: Celsius(load.number(Field::AmbientC).or(design.ambient_c).unwrap_or(defaults.ambient_c)),
        ground: Celsius(load.number(Field::GroundC).or(design.ground_c).unwrap_or(defaults.ground_c)),
        soil: load.number(Field::SoilKMW).or(design.soil_k_m_w).unwrap_or(defaults.soil_k_m_w),
        grouped: grouped.unwrap_or(1),
        group_stated: grouped.is_some(),
        material,
        insulation: insulation.to_lowercase(),
        minimum_mm2: [design.minimum_size_mm2, written].into_iter().flatten().fold(smallest, f64::max),
        // A run outdoors on a roof lies in a wet place.
        wet: matches!(location, Some("wet" | "rooftop")),
        rooftop: location == Some("rooftop"),
        termination: design.termination_c.map(Celsius),
        laid,
        minimum_raceway: design.minimum_raceway.clone(),
        running_drop_pct: design.running_drop_pct.unwrap_or(defaults.running_drop_pct),
        feeder_drop_pct: design.feeder_drop_pct.unwrap_or_else(|| book.feeder_drop_pct().0),
        starting_drop_pct: design.starting_drop_pct.unwrap_or(defaults.starting_drop_pct),
    }
}
