//! Suppressors of coils: where electronics in the panel need them, of which kind, and what they do to the drop-out. The panel is that
//! of the board, so what other rows bring counts too; a starter in an enclosure of its own stands alone.
//!
//! A coil that brings its own gets none: a second one only delays. A diode has no place at alternating current, nor where a
//! contactor must drop out quickly.

use super::{Shelf, Use};
use crate::catalogue::{AccessoryPart, Contactor, is_enclosure};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::round_to;
use crate::rules::physics::accessories::{SuppressorRow, suppressors_for};
use crate::sizing::arrangement::{Arrangement, Device};

/// Adds the suppressors.
pub(super) fn add(shelf: &mut Shelf<'_, '_>) {
    if !brings_electronics(shelf.case) && !shelf.pins.electronics {
        return;
    }
    for at in 0..shelf.assembly.contactors.len() {
        let chosen = &shelf.assembly.contactors[at];
        let (role, Some(contactor)) = (chosen.role.name, chosen.contactor) else { continue };
        let built_in = if shelf.dc() { contactor.dc_suppression_built_in } else { contactor.ac_suppression_built_in };
        if !built_in {
            one(shelf, role, contactor);
        }
    }
}

/// A row brings electronics into its panel: a soft starter or drive, or the outputs of a controller or safety relay that command its
/// contactors.
#[must_use]
pub fn brings_electronics(case: &Case) -> bool {
    let arrangement = Arrangement::of(case.start.method);
    let scheme = &case.scheme;
    let outputs = case.control.driven_by == "plc-output" || scheme.monitored || scheme.emergency_stop.is_some();
    let contactors = || !arrangement.roles(&case.start, false, case.control.redundant).is_empty();
    matches!(arrangement.device, Some(Device::SoftStarter(_) | Device::Drive)) || outputs && contactors()
}

/// A row stands in the panel of its board, not in an enclosure of its own.
#[must_use]
pub fn stands_in_its_board(case: &Case) -> bool {
    !is_enclosure(&case.extras.enclosure)
}

/// Contactors that must drop out before another closes, or that stop a machine.
pub(super) fn drops_out_quickly(shelf: &Shelf<'_, '_>) -> bool {
    !shelf.assembly.arrangement.interlocked(&shelf.case.start).is_empty()
        || shelf.case.scheme.emergency_stop.is_some()
        || shelf.case.scheme.monitored
}

/// The preferred suppressor that fits frame and voltage.
fn choose<'a>(shelf: &Shelf<'_, 'a>, contactor: &Contactor) -> Option<(&'a AccessoryPart, &'static SuppressorRow)> {
    suppressors_for(shelf.dc()).find_map(|row| {
        let mut parts = shelf.tools.catalogue.accessories_for("suppressor", &contactor.frame);
        parts.find(|accessory| accessory.variant == row.variant && shelf.fed(accessory)).map(|part| (part, row))
    })
}

fn one(shelf: &mut Shelf<'_, '_>, role: &str, contactor: &Contactor) {
    let voltage = shelf.case.control.voltage;
    let lacking = format!("frame {} at {voltage}", contactor.frame);
    let why = "electronics in the same panel need the coil's switching overvoltage limited";
    let Some((part, row)) = choose(shelf, contactor) else {
        shelf.put("suppressor", None, 1, &lacking, &Use::new(role, why));
        return;
    };
    if row.delays_much() && drops_out_quickly(shelf) {
        shelf.find(
            Finding::new(
                &codes::C517_SUPPRESSOR_DELAY,
                format!("only a {} suits the coil of {role} at {voltage}: {}", row.variant.replace('-', " and "), row.words),
            )
            .why("this contactor must drop out before another closes, or stops a machine")
            .cure("add a varistor of that voltage to the catalogue, or choose another control voltage"),
        );
        shelf.put("suppressor", None, 1, &lacking, &Use::new(role, why));
        return;
    }
    let effect = match contactor.drop_out_ms {
        Some(bare) if row.drop_out_ms(bare) > bare => {
            format!("; {}: {} ms at the most", row.words, round_to(row.drop_out_ms(bare), 0))
        }
        _ => format!("; {}", row.words),
    };
    shelf.push("suppressor", Some(part), 1, &Use::new(role, format!("{why}{effect}")));
}

/// Longest drop-out of the contactor of a role with its suppressor, ms; none if the catalogue doesn't say.
pub(super) fn drop_out_ms(shelf: &Shelf<'_, '_>, role: &str) -> Option<f64> {
    let bare = shelf.contactor(role)?.drop_out_ms?;
    let accessory = shelf
        .circuit
        .accessories
        .iter()
        .find(|accessory| accessory.kind == "suppressor" && accessory.serves == role && !accessory.part.is_empty());
    let row = accessory.and_then(|accessory| {
        let part = shelf.tools.catalogue.accessories.iter().find(|part| part.part == accessory.part)?;
        suppressors_for(shelf.dc()).find(|row| row.variant == part.variant)
    });
    Some(row.map_or(bare, |row| row.drop_out_ms(bare)))
}
