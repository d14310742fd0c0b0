//! Soft starters, drives, transformers, resistors and reactors: the kind that the method has, the current in it, a rating that holds it.

use crate::design::StarterDevice;
use crate::finding::codes;
use crate::quantity::fits;
use crate::record::Record;
use crate::rules::physics::contactors::{Family, altitude_factor_of_electronics, ambient_factor};
use crate::verify::facts::Facts;
use crate::verify::methods::Of;
use crate::verify::shelf::Item;
use crate::verify::{Disagreements, same, same_option};

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let kinds: Vec<&str> = facts.circuit.starter_devices.iter().map(|device| device.kind.as_str()).collect();
    let wanted: Vec<&str> = facts.starter.device.iter().map(|(kind, ..)| *kind).collect();
    found.unless(kinds == wanted, &codes::V501_DEVICE, || {
        format!("beside its contactors it has {kinds:?}; {} asks for {wanted:?}", facts.start.method.word())
    });
    let Some((kind, of, part)) = facts.starter.device else { return };
    for device in facts.circuit.starter_devices.iter().filter(|device| device.kind == kind) {
        // The motor draws what its nameplate says, whichever current counts by the tables.
        let motor = facts.circuit.currents.full_load_a.max(facts.circuit.currents.overload_basis_a);
        let base = if of == Of::Rotor { facts.number("rotor_current_a").unwrap_or(motor) } else { motor };
        let current = base * part.factor(facts.tap()).unwrap_or(1.0);
        found.unless(same(current, device.current_a), &codes::V501_DEVICE, || {
            format!("the {kind} carries {current:.4} A; the circuit says {} A", device.current_a)
        });
        set(facts, device, found);
        if !device.part.is_empty() {
            rated(facts, device, current, found);
        }
    }
}

/// The settings of the device are those that the row states, else the usual values.
fn set(facts: &Facts<'_>, device: &StarterDevice, found: &mut Disagreements) {
    let limit = (device.kind == "soft-starter").then_some(facts.start.limit.value);
    let starts_with_it = matches!(
        (facts.start.method.word(), device.kind.as_str()),
        ("autotransformer", "autotransformer") | ("primary-resistor", "resistor") | ("reactor", "reactor")
    );
    let tap = starts_with_it.then_some(facts.start.tap.value * 100.0);
    for (what, wanted, stated) in [("current limit", limit, device.current_limit), ("tap", tap, device.tap_pct)] {
        found.unless(same_option(wanted, stated), &codes::V501_DEVICE, || {
            format!("{what} of the {}: the start is reckoned with {wanted:?}, the circuit says {stated:?}", device.kind)
        });
    }
}

fn rated(facts: &Facts<'_>, device: &StarterDevice, current: f64, found: &mut Disagreements) {
    let (air, altitude) = facts.surroundings();
    let volts = facts.volts();
    let left = |family| {
        let heat = ambient_factor(&mut Record::silent(), family, air)?;
        Some(heat * altitude_factor_of_electronics(&mut Record::silent(), family, altitude)?)
    };
    let (rating, left, suits) = match (device.kind.as_str(), facts.shelf.all(&device.part).next()) {
        ("drive", Some(Item::Drive(row))) => {
            let suits = row.phases == facts.machine.phases && fits(row.min_voltage_v, volts) && fits(volts, row.max_voltage_v);
            (row.output_a, left(Family::Drive), suits)
        }
        ("soft-starter", Some(Item::SoftStarter(row))) => {
            let inside = facts.start.method == crate::load::Method::SoftStarterInsideDelta;
            let suits = fits(volts, row.max_voltage_v) && (row.inside_delta || !inside);
            let often = facts.start.per_hour;
            found.unless(often.is_some() || facts.told("C218"), &codes::V501_DEVICE, || {
                format!("nobody states how often {} starts, and no finding says so", device.part)
            });
            found.unless(often.is_none_or(|often| fits(often, row.starts_per_hour)), &codes::V501_DEVICE, || {
                format!("{} is rated for {} starts an hour; {often:?} are stated", device.part, row.starts_per_hour)
            });
            (row.rating_a, left(Family::SoftStarter), suits)
        }
        _ => {
            found.say(&codes::V101_PART_UNKNOWN, format!("{} is no {} of the catalogue", device.part, device.kind));
            return;
        }
    };
    found.unless(same(rating, device.rated_a), &codes::V501_DEVICE, || {
        format!("{} is rated {rating} A; the circuit says {} A", device.part, device.rated_a)
    });
    found.unless(suits, &codes::V501_DEVICE, || {
        format!("{} is not made for {volts} V, {} phases and this connection", device.part, facts.machine.phases)
    });
    found.unless(fits(current, rating * left.unwrap_or(0.0) + 1e-4), &codes::V501_DEVICE, || {
        format!(
            "{} holds {:.2} A in this air and at this altitude; {current:.2} A flow through it",
            device.part,
            rating * left.unwrap_or(0.0)
        )
    });
}
