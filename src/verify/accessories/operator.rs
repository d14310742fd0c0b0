//! Parts for the operator, and parts that watch the winding.

use super::breaker::other_tells;
use super::{count, fed, known, of, whole};
use crate::design::AuxiliaryContact;
use crate::finding::codes;
use crate::quantity::fits;
use crate::rules::physics::accessories::{About, practice, thermistors_taken};
use crate::verify::Disagreements;
use crate::verify::accessories::contacts::meanings;
use crate::verify::facts::{self, Facts};

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    stations(facts, found);
    indicators(facts, found);
    thermistor_relays(facts, found);
}

fn stations(facts: &Facts<'_>, found: &mut Disagreements) {
    let wanted = meanings(facts, "control_station", About::Station);
    whole(facts, "station", u32::try_from(wanted.len()).unwrap_or(u32::MAX), found);
    let mut has: Vec<&str> = known(facts, "station").map(|(_, part)| part.variant.as_str()).collect();
    let lacking = of(facts, "station").any(|accessory| accessory.part.is_empty());
    let mut wanted = wanted;
    has.sort_unstable();
    wanted.sort_unstable();
    found.unless(lacking || has == wanted, &codes::V604_ACCESSORY, || {
        format!("its stations are {has:?}; the row asks for {wanted:?}")
    });
}

/// Lamps that contacts of the circuit light, meters that the row asks for.
fn indicators(facts: &Facts<'_>, found: &mut Disagreements) {
    let wanted = meanings(facts, "indicators", About::Indicator);
    let contacts =
        |function: &str| facts.circuit.auxiliary_contacts.iter().filter(|contact| contact.function == function).count();
    let tells = other_tells(facts) || of(facts, "signal-block").next().is_some();
    // One lamp tells that the motor runs, over the drive or around it.
    let around = |contact: &&AuxiliaryContact| contact.function == "running lamp" && contact.role == "bypass";
    let beside = facts.circuit.auxiliary_contacts.iter().filter(around).count();
    let running = contacts("running lamp");
    let mut lamps = if running > beside { running - beside } else { running.min(1) };
    lamps += usize::from(contacts("stopped lamp") > 0);
    lamps += usize::from(wanted.contains(&"tripped") && tells);
    let meters = usize::from(wanted.contains(&"ammeter")) + usize::from(contacts("hour meter") > 0);
    whole(facts, "indicator", u32::try_from(lamps + meters).unwrap_or(u32::MAX), found);
    let mut lit = 0;
    for (accessory, part) in known(facts, "indicator") {
        lit += if part.variant == "lamp" { accessory.quantity } else { 0 };
        let line = facts.line_current();
        let so = if part.variant == "ammeter" { part.current_a.is_some_and(|scale| fits(line, scale)) } else { fed(facts, part) };
        found.unless(so && accessory.serves == "operator", &codes::V601_ACCESSORY_FIT, || {
            format!("{} does not suit the control voltage or {line:.1} A", accessory.part)
        });
    }
    let lacking = of(facts, "indicator").any(|accessory| accessory.part.is_empty());
    found.unless(lacking || usize::try_from(lit).is_ok_and(|lit| lit == lamps), &codes::V604_ACCESSORY, || {
        format!("{lit} lamps are listed, {lamps} are lit")
    });
}

/// One relay for each loop of sensors, and none for sensors of two motors.
fn thermistor_relays(facts: &Facts<'_>, found: &mut Disagreements) {
    let sensors = thermistors_taken(facts.words("thermistor").unwrap_or(""));
    let loops = sensors.div_ceil(facts::whole(practice("sensors-of-a-loop")).max(1));
    count(facts, "thermistor-relay", "motor", if facts.start.method.supply_only() { 0 } else { loops * facts.motors }, found);
    for (accessory, part) in known(facts, "thermistor-relay") {
        found.unless(fed(facts, part), &codes::V606_VOLTAGE, || format!("{} does not suit the control voltage", accessory.part));
    }
}
