//! Looks whether the frames of a range have what they need around them: blocks, suppressors for their coils, interlocks, shrouds, links,
//! timers, relays.

use std::collections::BTreeSet;

use crate::catalogue::{AccessoryPart, Catalogue, Contactor};
use crate::finding::codes::{K206_FRAME_LACKS, K207_TWO_FAMILIES};
use crate::finding::{Finding, Place};

/// Accessories that every frame needs, with what fails without them.
const NEEDED: &[(&str, &str, &str)] = &[
    ("interlock", "", "reversing and star-delta starters of that frame stay without a mechanical interlock"),
    ("wiring-link", "reversing", "reversing starters of that frame are wired by hand"),
    ("wiring-link", "star-delta", "star-delta starters of that frame are wired by hand"),
    ("star-bridge", "", "the star point of that frame is wired by hand"),
];

pub(super) fn look(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let frames: BTreeSet<&str> = catalogue.contactors.iter().map(|contactor| contactor.frame.as_str()).collect();
    for frame in &frames {
        let of_frame: Vec<&Contactor> = catalogue.contactors.iter().filter(|contactor| contactor.frame == *frame).collect();
        for lack in lacks(catalogue, frame, &of_frame) {
            findings.push(lack);
        }
    }
    timers(catalogue, findings);
    twice(catalogue, findings);
}

fn lacking(frame: &str, what: &str, why: &str) -> Finding {
    Finding::new(&K206_FRAME_LACKS, format!("frame {frame} has no {what}"))
        .at(Place { text: Some(frame.to_owned()), ..Place::file("accessories.csv") })
        .why(why)
        .cure("add the part that the range has for it; if it has none, this can stay")
}

fn lacks(catalogue: &Catalogue, frame: &str, contactors: &[&Contactor]) -> Vec<Finding> {
    let has = |kind: &str, variant: &str| {
        catalogue.accessories_for(kind, frame).any(|accessory| variant.is_empty() || accessory.variant == variant)
    };
    let mut found = Vec::new();
    if contactors.iter().any(|contactor| contactor.aux_places > 0) && !has("auxiliary-block", "") {
        found.push(lacking(frame, "auxiliary block", "contacts beyond the built-in ones can't be had"));
    }
    if contactors.iter().any(|contactor| !contactor.finger_safe) && !has("shroud", "") {
        found.push(lacking(frame, "terminal shroud", "its terminals are not finger-safe by themselves"));
    }
    for (kind, variant, why) in NEEDED {
        if !has(kind, variant) {
            found.push(lacking(frame, format!("{} {}", variant, kind.replace('-', " ")).trim(), why));
        }
    }
    found.extend(suppressors(catalogue, frame, contactors));
    found.extend(relays(catalogue, frame, contactors));
    found.extend(modules(catalogue, frame, contactors));
    found
}

/// Coils without suppression of their own need a varistor of their voltage.
fn suppressors(catalogue: &Catalogue, frame: &str, contactors: &[&Contactor]) -> Option<Finding> {
    let bare = |dc: bool| {
        contactors.iter().any(|contactor| {
            let offered = !dc || contactor.coil_dc_pick_up_w.is_some();
            offered && !(if dc { contactor.dc_suppression_built_in } else { contactor.ac_suppression_built_in })
        })
    };
    let unserved: Vec<String> = catalogue
        .coils
        .iter()
        .filter(|coil| bare(coil.dc))
        .filter(|coil| {
            let suits = |kind: &str| {
                let mut of_kind = catalogue.accessories_for("suppressor", frame).filter(|accessory| accessory.variant == kind);
                of_kind.any(|accessory| accessory.suits_voltage(coil.volts, coil.dc))
            };
            !suits("varistor")
        })
        .map(|coil| format!("{} V {}", coil.volts, if coil.dc { "DC" } else { "AC" }))
        .collect();
    (!unserved.is_empty()).then(|| {
        let why = "coils beside electronics need their switching overvoltage limited";
        lacking(frame, &format!("varistor suppressor for coils of {}", unserved.join(", ")), why)
    })
}

/// A relay mounts on the frame and reaches its largest motor current.
fn relays(catalogue: &Catalogue, frame: &str, contactors: &[&Contactor]) -> Option<Finding> {
    let largest = contactors.iter().map(|contactor| contactor.load_rating_a()).fold(0.0, f64::max);
    let reach = catalogue.overload_relays.iter().filter(|relay| relay.fits_frame(frame)).map(|relay| relay.range_max_a);
    let reach = reach.fold(0.0, f64::max);
    if reach >= largest {
        return None;
    }
    let what = if reach > 0.0 {
        format!("overload relay above {reach} A, though it is for {largest} A")
    } else {
        "overload relay".to_owned()
    };
    let mut finding = lacking(frame, &what, "relays for it stand apart, on a base of their own, or there are none");
    finding.place = Some(Place { text: Some(frame.to_owned()), ..Place::file("overload_relays.csv") });
    Some(finding)
}

fn modules(catalogue: &Catalogue, frame: &str, contactors: &[&Contactor]) -> Option<Finding> {
    let breaker = contactors.iter().find_map(|contactor| contactor.pairs_with.as_deref())?;
    let none = catalogue.connecting_module(frame, breaker).is_none();
    none.then(|| {
        lacking(frame, &format!("connecting module to breaker frame {breaker}, with which it pairs"), "the two are wired by hand")
    })
}

/// Kinds of timers, with what fails without them.
const TIMERS: &[(&str, &str)] = &[
    ("star-delta", "nothing changes over from star to delta; front timers are fed from the coil's terminals"),
    ("on-delay", "nothing ends the starting step of transformers, resistors and part windings"),
    ("off-delay", "nothing keeps the low of two speeds out while the motor slows down; a front timer has no supply then"),
];

/// Coil voltages for which a kind of timer is missing. An off-delay at the front of a contactor loses its supply when it should run.
fn timers(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    for (variant, why) in TIMERS {
        let of_kind = |accessory: &&AccessoryPart| {
            accessory.kind == "timer"
                && accessory.variant == *variant
                && (*variant != "off-delay" || accessory.position != "front")
        };
        let timers: Vec<&AccessoryPart> = catalogue.accessories.iter().filter(of_kind).collect();
        let unserved: Vec<String> = catalogue
            .coils
            .iter()
            .filter(|coil| !timers.iter().any(|accessory| accessory.suits_voltage(coil.volts, coil.dc)))
            .map(|coil| format!("{} V {}", coil.volts, if coil.dc { "DC" } else { "AC" }))
            .collect();
        if unserved.is_empty() {
            continue;
        }
        findings.push(
            Finding::new(&K206_FRAME_LACKS, format!("no {variant} timer suits coils of {}", unserved.join(", ")))
                .at(Place::file("accessories.csv"))
                .why(*why)
                .cure("add a timer of that voltage; if the range has none, such starters need another control voltage"),
        );
    }
}

/// A part number that two families share would be ordered as either.
fn twice(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let mut seen: std::collections::BTreeMap<&str, &str> = std::collections::BTreeMap::new();
    for (family, part) in numbers(catalogue) {
        match seen.insert(part, family) {
            Some(first) if first != family => findings.push(
                Finding::new(&K207_TWO_FAMILIES, format!("{part} stands in {first} and in {family}"))
                    .at(Place { text: Some(part.to_owned()), ..Place::file(format!("{family}.csv")) })
                    .why("an order by this number would be ambiguous")
                    .cure("correct one of the two"),
            ),
            _ => {}
        }
    }
}

fn numbers(catalogue: &Catalogue) -> Vec<(&'static str, &str)> {
    let mut numbers = Vec::new();
    macro_rules! family { ($($family:ident),*) => { $(
        numbers.extend(catalogue.$family.iter().map(|row| (stringify!($family), row.part.as_str())));
    )* }; }
    family!(
        contactors,
        overload_relays,
        motor_breakers,
        moulded_case_breakers,
        line_breakers,
        fuses,
        isolators,
        switch_disconnectors,
        soft_starters,
        drives,
        cables,
        accessories,
        branch_breakers,
        disconnects,
        raceways,
        control_transformers,
        power_supplies,
        control_protection,
        interposing_relays,
        control_cables,
        glands,
        lugs,
        terminals,
        enclosures,
        labels,
        fittings
    );
    numbers
}
