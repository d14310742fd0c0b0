//! Commoning bars over neighbouring motor-protective circuit-breakers of one board. This looks over several circuits, so it comes
//! after sizing; it changes nothing that was chosen before.
//!
//! Neighbours stand in the order of the schedule on one board (rows of other boards between them do not part them), have breakers of one
//! frame and one voltage, and nothing beside the breaker that spoils the pitch; a breaker in an enclosure of its own has no neighbour. A
//! bar brings three phases to every breaker under it, so none lies over a circuit that has fewer. Bars are laid so that the fewest breakers
//! stay without one, then with the fewest bars. A bar belongs to the first row that it serves and is counted once, however many identical
//! circuits that row has.

use std::collections::BTreeMap;

use crate::catalogue::{AccessoryPart, Catalogue, MotorBreaker, is_enclosure};
use crate::design::{Accessory, Check, Circuit, Part, Status};
use crate::quantity::{fits, round_to};
use crate::sizing::judge::at_most;
use crate::sizing::runs::SUPPLY;

/// Breakers that are looked at in one go; no row of devices is longer.
const LONGEST: usize = 1000;

/// A breaker in its row.
#[derive(Clone, Copy)]
struct Unit {
    circuit: usize,
    amperes: f64,
}

/// The properties that neighbours under one bar share.
#[derive(PartialEq)]
struct Neighbours<'c> {
    frame: &'c str,
    board: String,
    voltage_v: Option<f64>,
}

/// A bar that was laid over some units.
struct Laid<'c> {
    bar: &'c AccessoryPart,
    first: usize,
    ways: usize,
}

/// Adds commoning bars and their feed terminals.
pub fn commoning(circuits: &mut [Circuit], catalogue: &Catalogue) {
    if !catalogue.accessories.iter().any(|accessory| accessory.kind == "commoning-bar") {
        return;
    }
    let breakers: Vec<Option<&MotorBreaker>> = circuits.iter().map(|circuit| breaker_of(circuit, catalogue)).collect();
    let mut row: Vec<Unit> = Vec::new();
    let mut alike: Option<Neighbours<'_>> = None;
    for index in by_board(circuits) {
        let Some(breaker) = breakers[index] else {
            lay_row(&mut row, alike.take().map(|neighbours| neighbours.frame), circuits, catalogue);
            continue;
        };
        let circuit = &circuits[index];
        let here = Neighbours { frame: &breaker.frame, board: circuit.board.clone(), voltage_v: circuit.load.voltage_v };
        if alike.as_ref() != Some(&here) {
            lay_row(&mut row, alike.take().map(|neighbours| neighbours.frame), circuits, catalogue);
            alike = Some(here);
        }
        let unit = Unit { circuit: index, amperes: line_current(&circuits[index]) };
        for _ in 0..circuits[index].quantity.max(1) {
            row.push(unit);
            if row.len() == LONGEST {
                lay_row(&mut row, Some(&breaker.frame), circuits, catalogue);
            }
        }
    }
    lay_row(&mut row, alike.map(|neighbours| neighbours.frame), circuits, catalogue);
}

/// Places of circuits, board after board in the order of their first rows: a schedule sorted by tag buys what one sorted by board does.
fn by_board(circuits: &[Circuit]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..circuits.len()).collect();
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    for (place, circuit) in circuits.iter().enumerate() {
        first.entry(&circuit.board).or_insert(place);
    }
    places.sort_by_key(|place| first.get(circuits[*place].board.as_str()).copied());
    places
}

/// The breaker of a circuit that may stand under a bar. In a single-phase circuit one pole is at the neutral or in series with
/// another: a bar would put a further phase on it.
fn breaker_of<'c>(circuit: &Circuit, catalogue: &'c Catalogue) -> Option<&'c MotorBreaker> {
    if circuit.load.phases != Some(3) {
        return None;
    }
    if stands_alone(circuit) {
        return None;
    }
    let part = circuit.protection.as_ref().filter(|_| circuit.status != Status::NotSized)?;
    let breaker = catalogue.motor_breaker(&part.part)?;
    let beside_breaker =
        circuit.accessories.iter().any(|accessory| accessory.serves == "protection" && accessory.position == "side");
    let own_width = |circuit: &Circuit| {
        let contactors = circuit.contactors.iter().filter_map(|contactor| contactor_width(&contactor.part, catalogue));
        let beside = circuit.accessories.iter().filter(|accessory| matches!(accessory.position.as_str(), "side" | "between"));
        let width = |accessory: &Accessory| {
            catalogue.accessories.iter().find(|part| part.part == accessory.part).map_or(0.0, |part| part.width_mm)
        };
        contactors.sum::<f64>() + beside.map(|accessory| width(accessory) * f64::from(accessory.quantity)).sum::<f64>()
    };
    (!beside_breaker && fits(own_width(circuit), breaker.width_mm)).then_some(breaker)
}

/// What the breaker's line carries: of a drive its input, of a motor over a bypass what it draws there.
fn line_current(circuit: &Circuit) -> f64 {
    let currents = &circuit.currents;
    currents.line_a.unwrap_or(currents.full_load_a).max(currents.full_load_a)
}

/// The breaker stands in an enclosure of the circuit's own, beside no other. Where a run leads from the board to a starter that stands
/// apart, the breaker stands at the beginning of that run, on the board (IEC 60364-4-43, 434.2; NFPA 70, 240.21).
fn stands_alone(circuit: &Circuit) -> bool {
    let enclosure = circuit.load.other.get("enclosure").and_then(serde_json::Value::as_str).unwrap_or("");
    is_enclosure(enclosure.trim()) && !circuit.runs.iter().any(|run| run.role == SUPPLY && run.length_m > 0.0)
}

/// Width of a contactor by its part number, with or without the coil's code.
fn contactor_width(part: &str, catalogue: &Catalogue) -> Option<f64> {
    let bare = catalogue.coils.iter().find_map(|coil| part.strip_suffix(coil.code.as_str())?.strip_suffix('-'));
    bare.and_then(|bare| catalogue.contactor(bare)).or_else(|| catalogue.contactor(part)).map(|contactor| contactor.width_mm)
}

/// Lays bars over a row of neighbours and empties it.
fn lay_row(row: &mut Vec<Unit>, frame: Option<&str>, circuits: &mut [Circuit], catalogue: &Catalogue) {
    let units = std::mem::take(row);
    let Some(frame) = frame else { return };
    for laid in lay(&units, frame, catalogue) {
        write(&laid, &units[laid.first..laid.first + laid.ways], frame, circuits, catalogue);
    }
}

/// The bars: fewest breakers left out, then fewest bars.
fn lay<'c>(units: &[Unit], frame: &str, catalogue: &'c Catalogue) -> Vec<Laid<'c>> {
    let bars: Vec<(&AccessoryPart, usize, f64)> = catalogue
        .accessories_for_breaker("commoning-bar", frame)
        .filter_map(|bar| Some((bar, bar.ways? as usize, bar.current_a?)))
        .filter(|(_, ways, _)| *ways >= 2)
        .collect();
    // Cost of the first so many units, and the bar that ends there.
    let mut best: Vec<(usize, usize)> = vec![(0, 0)];
    let mut last: Vec<Option<usize>> = vec![None];
    for end in 1..=units.len() {
        let (left, laid) = best[end - 1];
        let (mut cost, mut with) = ((left + 1, laid), None);
        for (at, (_, ways, rating)) in bars.iter().enumerate() {
            let Some(from) = end.checked_sub(*ways) else { continue };
            let sum: f64 = units[from..end].iter().map(|unit| unit.amperes).sum();
            let with_bar = (best[from].0, best[from].1 + 1);
            if fits(sum, *rating) && with_bar < cost {
                (cost, with) = (with_bar, Some(at));
            }
        }
        best.push(cost);
        last.push(with);
    }
    let mut found = Vec::new();
    let mut end = units.len();
    while end > 0 {
        match last[end].map(|at| bars[at]) {
            Some((bar, ways, _)) => {
                end -= ways;
                found.push(Laid { bar, first: end, ways });
            }
            None => end -= 1,
        }
    }
    found.reverse();
    found
}

/// Puts a bar and its feed terminal into the first circuit that it serves.
fn write(laid: &Laid<'_>, units: &[Unit], frame: &str, circuits: &mut [Circuit], catalogue: &Catalogue) {
    let Some(first) = units.first() else { return };
    let mut tags: Vec<String> = units.iter().map(|unit| circuits[unit.circuit].tag.clone()).collect();
    tags.dedup();
    let serves = tags.join(", ");
    let sum: f64 = units.iter().map(|unit| unit.amperes).sum();
    let mut feeds = catalogue.accessories_for_breaker("feed-terminal", frame);
    let feed = feeds.find(|accessory| accessory.current_a.is_none_or(|rating| fits(sum, rating)));
    let host = &mut circuits[first.circuit];
    let known = host.accessories.iter().any(|accessory| accessory.part == laid.bar.part && accessory.serves == serves);
    shared(host, laid.bar, &serves, &format!("feeds the circuit-breakers of {serves} from one point"));
    if let Some(feed) = feed {
        shared(host, feed, &serves, "brings the supply to the commoning bar");
    }
    if !known {
        let rating = laid.bar.current_a.unwrap_or(0.0);
        let check = at_most("commoning-current", round_to(sum, 4), rating, "A", "catalogue: rating of the commoning bar");
        // Several identical circuits may have bars of different lengths: the one with the smallest margin counts.
        let margin = |check: &Check| check.margin_pct.unwrap_or(f64::NEG_INFINITY);
        match host.checks.iter_mut().find(|known| known.name == check.name && known.subject == serves) {
            Some(known) if margin(&check) < margin(known) => *known = check.about(serves),
            Some(_) => {}
            None => host.checks.push(check.about(serves)),
        }
    }
}

/// An accessory that several circuits share, among the accessories and the parts.
fn shared(host: &mut Circuit, part: &AccessoryPart, serves: &str, why: &str) {
    let mut alike = host.accessories.iter_mut();
    if let Some(accessory) = alike.find(|accessory| accessory.shared && accessory.part == part.part && accessory.serves == serves)
    {
        accessory.quantity += 1;
    } else {
        host.accessories.push(Accessory {
            kind: part.kind.clone(),
            part: part.part.clone(),
            quantity: 1,
            serves: serves.to_owned(),
            why: why.to_owned(),
            position: part.position.clone(),
            shared: true,
            ..Accessory::default()
        });
    }
    if let Some(part) = host.parts.iter_mut().find(|listed| listed.shared && listed.part == part.part) {
        part.quantity += 1.0;
    } else {
        host.parts.push(Part {
            part: part.part.clone(),
            description: part.description.clone(),
            quantity: 1.0,
            unit: "pc".to_owned(),
            shared: true,
            ..Part::default()
        });
    }
}
