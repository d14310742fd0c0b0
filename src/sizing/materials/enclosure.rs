//! An enclosure of the circuit's own, where the row asks for one: the smallest of its degree that holds the devices side by side and
//! gives off their heat.

use super::{Counter, pieces};
use crate::catalogue::{Catalogue, is_enclosure};
use crate::design::Circuit;
use crate::finding::{Finding, codes};
use crate::quantity::{fits, round_to};
use crate::record::Record;

pub(super) fn add(counter: &Counter<'_>, circuit: &mut Circuit, missing: &mut Vec<String>, record: &mut Record) {
    let wanted = counter.case.extras.enclosure.as_str();
    if wanted.is_empty() || !counter.stock.has("enclosures") {
        return;
    }
    if !is_enclosure(wanted) {
        record.find(
            Finding::new(&codes::C518_ENCLOSURE, format!("enclosure \"{wanted}\" is no IP code and no type of enclosure"))
                .at(counter.case.extras.enclosure_place.clone())
                .why("no enclosure is counted for this circuit")
                .cure("write it such as IP55, 12 or 4X; leave the cell empty where the board holds the devices"),
        );
        return;
    }
    let reserve = 1.0 + counter.stock.figure("enclosure-reserve") / 100.0;
    let (width, heat) = taken(circuit, counter.stock.catalogue);
    let (width, heat) = (width * reserve, heat * reserve);
    if width <= 0.0 {
        return;
    }
    // A device never stands across two rows, so the widest must fit by itself.
    let widest = circuit
        .parts
        .iter()
        .filter_map(|part| counter.stock.catalogue.footprint(&part.part))
        .map(|footprint| footprint.0)
        .fold(0.0, f64::max);
    let found = counter.stock.catalogue.enclosures_of(wanted).find(|enclosure| {
        let room = enclosure.usable_width_mm * f64::from(enclosure.rows);
        fits(width, room) && fits(widest, enclosure.usable_width_mm) && fits(heat, enclosure.dissipation_w)
    });
    let words = format!("enclosure {wanted} for {} mm of devices and {} W", round_to(width, 0), round_to(heat, 0));
    let part = found.map(|enclosure| (enclosure.part.as_str(), enclosure.description.as_str()));
    circuit.parts.push(pieces(part, words, 1.0, missing));
    if part.is_none() {
        return;
    }
    record.find(
        Finding::new(&codes::P107_OWN_ENCLOSURE, format!("an enclosure {wanted} of its own is counted for this circuit"))
            .at(counter.case.place.clone())
            .why("the row states an enclosure; devices that stand in the board need none")
            .cure("leave the column enclosure empty where the board holds the devices"),
    );
}

/// Width in mm and heat in W of the devices, as far as the catalogue declares them: the more where that is in doubt.
fn taken(circuit: &Circuit, catalogue: &Catalogue) -> (f64, f64) {
    circuit
        .parts
        .iter()
        .filter_map(|part| Some((catalogue.footprint(&part.part)?, part.quantity)))
        .fold((0.0, 0.0), |(width, heat), ((wide, warm), quantity)| (width + wide * quantity, heat + warm * quantity))
}
