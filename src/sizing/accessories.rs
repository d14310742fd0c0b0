//! Small parts around the contactors, and the list of parts of a circuit.
//!
//! Mechanical interlocks come first, as they take sides and bring contacts; then what each role needs is placed on built-in
//! contacts and blocks; then suppressors, timers, links, covers, and what protects, stops and shows. What the catalogue lacks is
//! said; the rest of the circuit is sized all the same. Facts of the trade stand in `rules::physics::accessories`.

use crate::catalogue::{AccessoryPart, Contactor};
use crate::design::{Accessory, Circuit};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::record::Record;
use crate::rules::units::Units;
use crate::sizing::assembly::Assembly;
use crate::sizing::{Pins, Tools};

/// Name of the check of the places for auxiliary contacts; what finds none is told with its contacts.
const PLACES: &str = "auxiliary-places";

mod brakes;
mod commoning;
mod contacts;
mod covers;
mod indication;
mod interlocks;
mod links;
mod needs;
mod parts;
mod places;
mod release;
mod suppressors;
#[cfg(test)]
mod tests;
mod timers;

/// Checks of accessories whose findings are made where their cure is known.
pub const OWN_FINDINGS: &[&str] = &[PLACES];

pub use commoning::commoning;
pub use parts::describe_parts;
pub use suppressors::{brings_electronics, stands_in_its_board};

/// Adds accessories and the parts list.
pub fn add(case: &Case, assembly: &Assembly<'_>, pins: &Pins, tools: &Tools<'_>, circuit: &mut Circuit, record: &mut Record) {
    let mut shelf = Shelf { case, assembly, pins, tools, circuit, record };
    let interlocks = interlocks::add(&mut shelf);
    suppressors::add(&mut shelf);
    let fronts = contacts::add(&mut shelf, &interlocks);
    timers::add(&mut shelf, &fronts);
    links::add(&mut shelf);
    covers::add(&mut shelf);
    release::add(&mut shelf);
    indication::add(&mut shelf);
    parts::list(case, assembly, tools, circuit);
}

/// A circuit with all that its accessories are chosen from.
struct Shelf<'s, 'a> {
    case: &'s Case,
    assembly: &'s Assembly<'a>,
    pins: &'s Pins,
    tools: &'s Tools<'a>,
    circuit: &'s mut Circuit,
    record: &'s mut Record,
}

/// The purpose of an accessory.
#[derive(Clone, Debug, Default)]
struct Use<'u> {
    /// Role or device that it serves.
    serves: &'u str,
    /// Setting with its unit.
    setting: String,
    /// Why it is there.
    why: String,
}

impl<'u> Use<'u> {
    fn new(serves: &'u str, why: impl Into<String>) -> Self {
        Self { serves, setting: String::new(), why: why.into() }
    }
}

impl<'a> Shelf<'_, 'a> {
    fn units(&self) -> Units {
        Units::of(self.tools.book.key())
    }

    /// The contactor of a role.
    fn contactor(&self, role: &str) -> Option<&'a Contactor> {
        self.assembly.contactors.iter().find(|contactor| contactor.role.name == role).and_then(|contactor| contactor.contactor)
    }

    /// The row orders a coil for direct current.
    fn dc(&self) -> bool {
        self.case.control.voltage.dc
    }

    /// A part is fed from the control circuit: its voltage band contains the control voltage.
    fn fed(&self, part: &AccessoryPart) -> bool {
        part.suits_voltage(self.case.control.voltage.volts, self.dc())
    }

    fn find(&mut self, finding: Finding) {
        let place = self.case.place.clone();
        self.record.find(if finding.place.is_some() { finding } else { finding.at(place) });
    }

    /// The first part of a kind and variant that fits a contactor frame.
    fn for_frame(&self, kind: &str, variant: &str, frame: &str) -> Option<&'a AccessoryPart> {
        self.tools.catalogue.accessories_for(kind, frame).find(|accessory| variant.is_empty() || accessory.variant == variant)
    }

    /// Puts a part in, or says that the catalogue has none; the need stays in the list of parts either way.
    fn put(&mut self, kind: &str, part: Option<&AccessoryPart>, quantity: u32, lacking: &str, of: &Use<'_>) {
        if part.is_none() {
            self.find(
                Finding::new(
                    &codes::C502_NO_ACCESSORY,
                    format!("the catalogue holds no {} for {lacking} ({})", kind.replace('-', " "), of.serves),
                )
                .cure("add one to the catalogue"),
            );
        }
        self.push(kind, part, quantity, of);
    }

    fn push(&mut self, kind: &str, part: Option<&AccessoryPart>, quantity: u32, of: &Use<'_>) {
        self.circuit.accessories.push(Accessory {
            kind: kind.to_owned(),
            part: part.map(|accessory| accessory.part.clone()).unwrap_or_default(),
            quantity,
            serves: of.serves.to_owned(),
            no: part.map_or(0, |accessory| accessory.no),
            nc: part.map_or(0, |accessory| accessory.nc),
            low_level: part.is_some_and(|accessory| accessory.low_level),
            mirror: part.is_some_and(|accessory| accessory.mirror),
            setting: of.setting.clone(),
            why: of.why.clone(),
            position: part.map(|accessory| accessory.position.clone()).unwrap_or_default(),
            shared: false,
        });
    }
}
