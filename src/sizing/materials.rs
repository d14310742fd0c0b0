//! The material of a circuit or feeder beside its devices and main cables: control and auxiliary cables, glands, lugs, terminals,
//! fittings of raceways, an enclosure of its own, labels. Counted by the table `material-practice`; a family that the catalogue
//! lacks is not counted, a piece that its family lacks is listed without part number and so stays on hold.

use crate::catalogue::{Catalogue, Terminal};
use crate::design::labels::has_isolator;
use crate::design::{Circuit, Part, Run};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::material;
use crate::sizing::Tools;

mod control_cables;
mod enclosure;
mod ends;
mod labels;

/// Adds the small material of a finished circuit to its parts.
pub(super) fn add(case: &Case, tools: &Tools<'_>, circuit: &mut Circuit, record: &mut Record) {
    let counter = Counter { case, stock: Stock { book: tools.book, catalogue: tools.catalogue } };
    let mut missing: Vec<String> = Vec::new();
    if case.route.laid {
        control_cables::add(&counter, circuit, record);
    }
    let local = circuit.disconnect.as_ref().filter(|_| has_isolator(circuit));
    let mut parts = ends::all(&counter.stock, &circuit.runs, &circuit.parts, local, &mut missing);
    parts.extend(labels::parts(&counter.stock, circuit, &mut missing));
    circuit.parts.extend(parts);
    // Last: terminals take width too.
    enclosure::add(&counter, circuit, &mut missing, record);
    if let Some(finding) = lacking(missing) {
        record.find(finding.at(case.place.clone()));
    }
}

/// The terminal of the panel by which a smaller run leaves its board or starter; none where it goes to the device itself, or where the
/// catalogue has no such terminal.
pub(super) fn panel_terminal<'a>(run: &Run, tools: &Tools<'a>) -> Option<&'a Terminal> {
    let largest_mm2 = material::figure("power-terminal-to", tools.book.key());
    let of_run = || tools.catalogue.terminal("feed-through", run.phase_area_mm2, run.required_a);
    (run.phase_area_mm2 <= largest_mm2 + 1e-9).then(of_run).flatten()
}

/// The small material of a feeder with its run and the parts that this is bought as; and what the catalogue lacks of it.
#[must_use]
pub fn of_feeder(run: &Run, bought: &[Part], book: &'static dyn RuleBook, catalogue: &Catalogue) -> (Vec<Part>, Option<Finding>) {
    let stock = Stock { book, catalogue };
    let mut missing = Vec::new();
    let mut parts = ends::all(&stock, std::slice::from_ref(run), bought, None, &mut missing);
    parts.extend(labels::of_feeder(&stock, run, &mut missing));
    (parts, lacking(missing))
}

/// The nameplate of the way by which a feeder leaves; and what the catalogue lacks of it.
#[must_use]
pub fn of_way(book: &'static dyn RuleBook, catalogue: &Catalogue) -> (Vec<Part>, Option<Finding>) {
    let mut missing = Vec::new();
    let parts = labels::of_way(&Stock { book, catalogue }, &mut missing);
    (parts, lacking(missing))
}

fn lacking(mut missing: Vec<String>) -> Option<Finding> {
    missing.sort();
    missing.dedup();
    (!missing.is_empty()).then(|| {
        Finding::new(&codes::P106_NO_MATERIAL, format!("the catalogue holds no {}", missing.join(", no ")))
            .why("it stands on the purchase list without part number, on hold")
            .cure("add it to the catalogue")
    })
}

/// Catalogue and figures by which material is counted.
struct Stock<'a> {
    book: &'static dyn RuleBook,
    catalogue: &'a Catalogue,
}

/// The same for a circuit.
struct Counter<'a> {
    case: &'a Case,
    stock: Stock<'a>,
}

impl Stock<'_> {
    /// A figure of the table of practice for the book.
    fn figure(&self, name: &str) -> f64 {
        material::figure(name, self.book.key())
    }

    fn has(&self, family: &str) -> bool {
        !self.catalogue.lacks.contains(&family)
    }
}

/// So many pieces of a part; without number where the catalogue holds none, and then the words are what is missing.
fn pieces(part: Option<(&str, &str)>, words: String, quantity: f64, missing: &mut Vec<String>) -> Part {
    match part {
        Some((part, description)) => Part::pieces(part, description, quantity),
        None => {
            missing.push(words.clone());
            Part::pieces("", &words, quantity)
        }
    }
}
