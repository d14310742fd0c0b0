//! How a row's conductors are laid: length, surroundings, material, limits of the drop.

use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::intake::headings::unread_length;
use crate::intake::matters::{suggests, words_of};
use crate::load::{Field, Load, Material, Route};
use crate::quantity::{Celsius, Metres};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::plausibility::{written_twice, written_twice_pct};
use crate::rules::units::METRES_A_FOOT;

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

/// A cell, or the basis for it, that names no way of laying conductors which the book has.
fn unknown_installation(load: &Load, text: &str, book: &dyn RuleBook, record: &mut Record) {
    let Some(known) = parts(text, book).find_map(|part| book.unknown_installation(&part)) else { return };
    let stated = if load.has(Field::InstallationMethod) { "installation_method" } else { "installation_method of the basis" };
    let what = format!("{stated} reads `{text}`, which is not one of its values");
    record.find(
        Finding::new(&codes::L361_INSTALLATION_UNKNOWN, what)
            .at(load.place_of(Field::InstallationMethod))
            .why("no conductor can be sized for a way of laying that is not known")
            .cure(format!("enter one of: {known}; several parts of a route with + between them")),
    );
}

/// Ways of laying that words name, and the reference method that they are (IEC 60364-5-52, Table A.52.3: items 31 to 34 E, 30 and 20 C, 5 and
/// 7 B2 for multicore cables). A tray of which nothing says that it is perforated is taken for one that is not, which carries less.
const LAID: &[(&str, &str, &str)] = &[
    ("laid-open", "E", "cables on a perforated tray, a ladder or a mesh"),
    ("laid-flat", "C", "cables on a wall or on a tray that is not perforated; a perforated one is E"),
    ("laid-enclosed", "B2", "cables in conduit or trunking"),
];

/// The method of a book that the words of a part name, and what it is.
fn laid_in_words(part: &str, book: &dyn RuleBook) -> Option<(&'static str, &'static str)> {
    let words = words_of(part);
    let laid = LAID.iter().find(|(matter, ..)| suggests(matter, &words));
    laid.map(|(_, method, what)| (*method, *what)).filter(|(method, _)| book.unknown_installation(method).is_none())
}

/// Says for which method the words of a way of laying were taken.
fn say_laid(load: &Load, text: &str, book: &dyn RuleBook, record: &mut Record) {
    let named = |part: String| laid_in_words(&part, book).filter(|_| book.unknown_installation(&part).is_some());
    for (method, what) in written_parts(text).filter_map(named) {
        record.find(
            Finding::new(&codes::L364_LAID_IN_WORDS, format!("`{text}` was taken for reference method {method}: {what}"))
                .at(load.place_of(Field::InstallationMethod))
                .cure("write the reference method if it is another: A1, A2, B1, B2, C, D1, D2, E, F or G")
                .reference("IEC 60364-5-52, Tables A.52.3 and B.52.1"),
        );
    }
}

/// Parts of a route as they are written.
fn written_parts(text: &str) -> impl Iterator<Item = String> {
    let parts = without_brackets(text);
    let parts = parts.split(['+', '/', ',']).map(|part| part.trim().to_uppercase()).filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().into_iter()
}

/// Parts of a route, each as the book knows it.
fn parts(text: &str, book: &dyn RuleBook) -> impl Iterator<Item = String> {
    written_parts(text).map(move |part| as_known(part, book))
}

/// A text without what stands in brackets: `B2 (conduit)`.
fn without_brackets(text: &str) -> String {
    let mut depth = 0_usize;
    let outside = |letter: &char| {
        match letter {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => return depth == 0,
        }
        false
    };
    text.chars().filter(outside).collect()
}

/// A part without the words that often stand beside its name: `method E`, `E - tray`, `EMT conduit`.
fn as_known(part: String, book: &dyn RuleBook) -> String {
    if book.unknown_installation(&part).is_none() {
        return part;
    }
    let bare = part.split(" - ").next().unwrap_or_default().trim();
    let bare = bare.strip_prefix("METHOD ").unwrap_or(bare);
    let bare = bare.strip_suffix(" CONDUIT").unwrap_or(bare).trim();
    if book.unknown_installation(bare).is_none() {
        return bare.to_owned();
    }
    laid_in_words(&part, book).map_or(part, |(method, _)| method.to_owned())
}

pub(super) fn read(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) -> Route {
    let (design, defaults) = (&basis.design, book.defaults());
    let material = match load.text(Field::Conductor).or(design.conductor.as_deref()) {
        Some("aluminium") => Material::Aluminium,
        _ => Material::Copper,
    };
    let installation =
        load.text(Field::InstallationMethod).or(design.installation_method.as_deref()).unwrap_or(defaults.installation);
    unknown_installation(load, installation, book, record);
    say_laid(load, installation, book, record);
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
        installation: parts(installation, book).collect(),
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
