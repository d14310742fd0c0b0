//! Discrimination between the device of a feeder and those of the circuits behind it, and the feeder's device against the devices that
//! were chosen: what can be said only after the circuits are sized.

use crate::design::{Circuit, Protection};
use crate::finding::{Finding, codes};
use crate::load::ProtectionKind;
use crate::network::feeders::device::FeederDevice;
use crate::network::feeders::items::Items;
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::feeders::{Discriminated, Discrimination, FeederBounds};
use crate::rules::units::Units;

/// The device of a circuit, or of a feeder that begins at the board, against that of the board's own feeder.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// Tag of the circuit, or the board to which the other feeder leads.
    pub tag: String,
    /// It is the device of a feeder.
    pub of_feeder: bool,
    /// How far the two discriminate.
    pub reach: Discrimination,
    /// Clause, or where the figures come from.
    pub reference: &'static str,
}

/// Every circuit that has a device against the device of its feeder; `fault` is the largest fault current at the board.
#[must_use]
pub fn pairs(feeder: &FeederDevice, circuits: &[&Circuit], fault: Option<Amperes>, book: &dyn RuleBook) -> Vec<Pair> {
    let before = of_feeder(feeder);
    let pair = |circuit: &&Circuit| {
        let protection = circuit.protection.as_ref()?;
        let (reach, reference) = book.discriminates(&before, &behind(protection), fault);
        Some(Pair { tag: circuit.tag.clone(), of_feeder: false, reach, reference })
    };
    circuits.iter().filter_map(pair).collect()
}

/// The devices of feeders that begin at a board, by the boards to which they lead, against the device of its own feeder; `fault` is the
/// largest fault current at the board, which flows through both.
#[must_use]
pub fn pairs_of_feeders(
    feeder: &FeederDevice,
    others: &[(&str, &FeederDevice)],
    fault: Option<Amperes>,
    book: &dyn RuleBook,
) -> Vec<Pair> {
    let before = of_feeder(feeder);
    let pair = |(board, device): &(&str, &FeederDevice)| {
        let (reach, reference) = book.discriminates(&before, &of_feeder(device), fault);
        Pair { tag: (*board).to_owned(), of_feeder: true, reach, reference }
    };
    others.iter().map(pair).collect()
}

fn of_feeder(device: &FeederDevice) -> Discriminated<'_> {
    let limits = |magnetic: [f64; 3]| (Amperes(magnetic[1]), Amperes(magnetic[2]));
    Discriminated { kind: device.kind, rating: device.rating, magnetic: device.magnetic.map(limits) }
}

fn behind(protection: &Protection) -> Discriminated<'_> {
    Discriminated {
        kind: &protection.kind,
        // The setting trips on overload where there is one.
        rating: Amperes(protection.setting_a.unwrap_or(protection.rating_a)),
        magnetic: protection.magnetic_min_a.zip(protection.magnetic_max_a).map(|(low, high)| (Amperes(low), Amperes(high))),
    }
}

/// How bad a reach is: the worst first.
fn rank(reach: Discrimination) -> (u8, f64) {
    match reach {
        Discrimination::None => (0, 0.0),
        Discrimination::Unknown => (1, 0.0),
        Discrimination::Partial(current) => (2, current.0),
        Discrimination::Total => (3, 0.0),
    }
}

/// The same as findings of the board, whose device is named: one for each kind of result, with the circuit that is the worst of it.
#[must_use]
pub fn findings(subject: &str, pairs: &[Pair], units: Units) -> Vec<Finding> {
    let term = units.pick("discrimination", "selective coordination");
    let mut found = Vec::new();
    for kind in 0..4_u8 {
        let of_kind: Vec<&Pair> = pairs.iter().filter(|pair| rank(pair.reach).0 == kind).collect();
        let Some(worst) = of_kind.iter().min_by(|a, b| rank(a.reach).1.total_cmp(&rank(b.reach).1)) else { continue };
        let number = of_kind.len();
        let circuits = match (worst.of_feeder, number) {
            (false, 1) => format!("circuit {}", worst.tag),
            (false, _) => format!("{number} circuits, first {}", worst.tag),
            (true, 1) => format!("the feeder of board {}", worst.tag),
            (true, _) => format!("{number} feeders, first that of board {}", worst.tag),
        };
        let (code, what) = match worst.reach {
            Discrimination::None => (&codes::B313_NO_DISCRIMINATION, format!("no {term}")),
            Discrimination::Unknown => (&codes::B312_DISCRIMINATION, format!("{term} unknown")),
            Discrimination::Partial(current) => {
                (&codes::B312_DISCRIMINATION, format!("partial {term} up to {} kA", round_to(current.0 / 1000.0, 2)))
            }
            Discrimination::Total => (&codes::B312_DISCRIMINATION, format!("total {term}")),
        };
        let cure = match worst.reach {
            Discrimination::Total => "nothing; the makers' tables may confirm it".to_owned(),
            _ => format!("see the makers' tables of {term} for this pair of devices, which may show more"),
        };
        found.push(Finding::new(code, format!("{subject} against {circuits}: {what}")).cure(cure).reference(worst.reference));
    }
    found
}

/// Bounds of a feeder's device with the branch devices that were chosen in the place of the largest that are permitted. `chosen` gives the
/// rating of a row's device; none leaves the term as it is.
#[must_use]
pub fn bounds_of_chosen(
    items: &Items,
    kind: ProtectionKind,
    need: Amperes,
    chosen: impl Fn(usize) -> Option<Amperes>,
    book: &dyn RuleBook,
    record: &mut Record,
) -> FeederBounds {
    let mut items = items.clone();
    items.put_devices(chosen);
    book.feeder_bounds(kind, &items.of_fullest_phase(book), need, record)
}

/// The feeder's device against these bounds: a finding where it is larger.
#[must_use]
pub fn against_chosen(board: &str, device: &FeederDevice, bounds: &FeederBounds) -> Option<Finding> {
    let most = bounds.most.filter(|most| !device.rating.fits(*most))?;
    Some(
        Finding::new(
            &codes::B314_FEEDER_ABOVE_CHOSEN,
            format!(
                "feeder of board {board}: {} A is above the {} A that the devices chosen behind it admit",
                device.rating.0, most.0
            ),
        )
        .why("the clause counts the largest branch device that is permitted; the largest that was chosen is smaller")
        .cure("nothing; a smaller device for the feeder protects its conductors more closely")
        .reference(bounds.reference),
    )
}
