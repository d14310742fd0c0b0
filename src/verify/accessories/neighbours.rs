//! Parts that join contactors which exclude each other, in a circuit and across rows; bars over breakers that stand side by side.

use super::{count, known, of, row};
use crate::catalogue::is_enclosure;
use crate::design::Circuit;
use crate::finding::codes;
use crate::quantity::fits;
use crate::verify::Disagreements;
use crate::verify::facts::Facts;
use crate::verify::shelf::Item;

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    interlocks(facts, found);
    bars(facts, found);
}

/// One mechanical interlock for each pair of the circuit, and for each partner of another row that it joins; none else.
fn interlocks(facts: &Facts<'_>, found: &mut Disagreements) {
    let frame = |name: &str| {
        facts.circuit.contactors.iter().find(|contactor| contactor.role == name).and_then(|contactor| row(facts, contactor))
    };
    let mut pairs: Vec<String> = Vec::new();
    for (one, other) in facts.starter.apart {
        let (Some(a), Some(b)) = (frame(one), frame(other)) else { continue };
        // Frames that differ are told by a finding of their own.
        let joined = u32::from(a.frame == b.frame);
        let pair = format!("{one} and {other}");
        count(facts, "interlock", &pair, joined, found);
        pairs.push(pair);
    }
    for accessory in of(facts, "interlock").filter(|accessory| !pairs.contains(&accessory.serves)) {
        let (role, tag) = accessory.serves.split_once(" and ").unwrap_or((&accessory.serves, ""));
        let partner = facts.others.partner(facts.circuit, tag);
        let own_frame =
            facts.circuit.contactors.iter().find(|contactor| contactor.role == role).map(|contactor| contactor.frame.as_str());
        let so = partner.is_some_and(|(other, after)| {
            after
                && other.contactors.len() == 1
                && other.board == facts.circuit.board
                && other.quantity == facts.circuit.quantity
                && ![facts.circuit, other].into_iter().any(stands_apart)
                && !facts.others.joined_round_about(facts.circuit, other)
                && own_frame == other.contactors.first().map(|contactor| contactor.frame.as_str())
        });
        let once = of(facts, "interlock")
            .filter(|other| other.serves == accessory.serves)
            .map(|accessory| accessory.quantity)
            .sum::<u32>()
            == 1;
        found.unless(so && once && facts.circuit.contactors.len() == 1, &codes::V603_ACCESSORY_NEEDLESS, || {
            format!("an interlock serves {:?}, which none joins so", accessory.serves)
        });
    }
    missing(facts, found);
}

/// The starter stands at the end of a supply run or in an enclosure of its own.
fn stands_apart(circuit: &Circuit) -> bool {
    let over_a_run = circuit.load.number("supply_length_m").is_some_and(|length| length > 0.0);
    over_a_run || is_enclosure(circuit.load.words("enclosure").unwrap_or("").trim())
}

/// A partner after this row is joined mechanically, or the circuit says that contacts alone keep them apart.
fn missing(facts: &Facts<'_>, found: &mut Disagreements) {
    let [only] = facts.circuit.contactors.as_slice() else { return };
    for other in facts.others.interlocked(facts.circuit) {
        let after = facts.others.partner(facts.circuit, &other.tag).is_some_and(|(_, after)| after);
        let joined = of(facts, "interlock").any(|accessory| accessory.serves == format!("{} and {}", only.role, other.tag));
        let told = facts
            .circuit
            .findings
            .iter()
            .any(|finding| finding.code == codes::C511_ELECTRICAL_ONLY.code && finding.what.contains(&other.tag));
        let possible = !only.part.is_empty() && facts.starter.commanded.contains(&only.role.as_str());
        found.unless(!after || joined || told || !possible, &codes::V605_ACCESSORY_MISSING, || {
            format!("nothing joins {} and {}, which exclude each other", facts.circuit.tag, other.tag)
        });
    }
}

/// Bars lie over breakers of one frame, bring each the three phases and the one voltage that its circuit has, carry what these draw, and
/// have no more ways than there are breakers.
fn bars(facts: &Facts<'_>, found: &mut Disagreements) {
    for kind in ["commoning-bar", "feed-terminal"] {
        for (accessory, part) in known(facts, kind) {
            let circuits: Vec<&Circuit> = accessory.serves.split(", ").filter_map(|tag| facts.others.tagged(tag)).collect();
            let frames = circuits.iter().all(|circuit| {
                let breaker = circuit.protection.as_ref().and_then(|protection| facts.shelf.all(&protection.part).next());
                matches!(breaker, Some(Item::Motor(row)) if part.fits_breaker_frame(&row.frame))
                    && circuit.board == facts.circuit.board
            });
            // A breaker in an enclosure of its own has no neighbour; one at the beginning of a run to a starter stands on the board.
            let alone = |circuit: &&&Circuit| {
                let enclosure = circuit.load.other.get("enclosure").and_then(serde_json::Value::as_str).unwrap_or("");
                is_enclosure(enclosure.trim()) && !circuit.runs.iter().any(|run| run.role == "supply" && run.length_m > 0.0)
            };
            if let Some(apart) = circuits.iter().find(alone) {
                found.say(
                    &codes::V601_ACCESSORY_FIT,
                    format!("{} lies over the breaker of {}, which stands in an enclosure of its own", accessory.part, apart.tag),
                );
            }
            // Line terminals under a bar are joined, phase by phase: a single-phase circuit has its neutral on one of them.
            let voltage = circuits.first().and_then(|circuit| circuit.load.voltage_v);
            let alike = circuits.iter().all(|circuit| circuit.load.phases == Some(3) && circuit.load.voltage_v == voltage);
            found.unless(alike, &codes::V601_ACCESSORY_FIT, || {
                format!("{} joins circuits of other phases or voltages: {}", accessory.part, accessory.serves)
            });
            let units: u32 = circuits.iter().map(|circuit| circuit.quantity.max(1)).sum();
            let so = frames && !circuits.is_empty() && part.ways.is_none_or(|ways| ways * accessory.quantity <= units);
            found.unless(so, &codes::V601_ACCESSORY_FIT, || {
                format!("{} does not lie over the breakers of {}", accessory.part, accessory.serves)
            });
            // A terminal feeds one bar, the longest of those over the same breakers at most.
            let laid = || known(facts, "commoning-bar").filter(|(bar, _)| bar.serves == accessory.serves);
            let ways = part.ways.or_else(|| laid().filter_map(|(_, bar)| bar.ways).max());
            let drawn = drawn_under(&circuits, ways);
            let room = part.current_a.is_none_or(|rating| fits(drawn, rating));
            found.unless(room, &codes::V601_ACCESSORY_FIT, || format!("{} carries less than {drawn:.1} A", accessory.part));
        }
    }
    // A bar is fed by a terminal of its frame, where the catalogue has one that carries as much.
    let fed = |serves: &str| -> u32 {
        of(facts, "feed-terminal").filter(|accessory| accessory.serves == serves).map(|accessory| accessory.quantity).sum()
    };
    let laid = |serves: &str| -> u32 {
        of(facts, "commoning-bar").filter(|accessory| accessory.serves == serves).map(|accessory| accessory.quantity).sum()
    };
    for (accessory, part) in known(facts, "commoning-bar") {
        let made = facts.shelf.catalogue.accessories_for_breaker("feed-terminal", &part.fits_breaker_frames);
        let made = made.into_iter().any(|feed| part.current_a.zip(feed.current_a).is_none_or(|(bar, feed)| fits(bar, feed)));
        found.unless(!made || fed(&accessory.serves) >= laid(&accessory.serves), &codes::V605_ACCESSORY_MISSING, || {
            format!("nothing feeds {}", accessory.part)
        });
    }
    let stray = of(facts, "feed-terminal").find(|accessory| fed(&accessory.serves) > laid(&accessory.serves));
    found.unless(stray.is_none(), &codes::V603_ACCESSORY_NEEDLESS, || "a terminal feeds no bar".to_owned());
}

/// Current that neighbours under one bar draw at least, A. Each unit counts with what its line carries: its rated current, or the input of
/// its drive where that is more. The rows between the first and the last lie under the bar whole; of these two as many units as it has ways
/// for, the smaller ones first.
fn drawn_under(circuits: &[&Circuit], ways: Option<u32>) -> f64 {
    let mut units: Vec<(f64, u32)> = Vec::new();
    let ends = [0, circuits.len().saturating_sub(1)];
    for (at, circuit) in circuits.iter().enumerate() {
        let under = if ways.is_some() && ends.contains(&at) { 1 } else { circuit.quantity.max(1) };
        let drawn = circuit.currents.line_a.unwrap_or(0.0).max(circuit.currents.full_load_a);
        units.push((drawn, under));
    }
    let mut room = ways.unwrap_or(0).saturating_sub(units.iter().map(|(_, under)| under).sum());
    let mut ends: Vec<usize> = ends.into_iter().filter(|at| *at < circuits.len()).collect();
    ends.dedup();
    ends.sort_by(|one, other| units[*one].0.total_cmp(&units[*other].0));
    for at in ends {
        let more = room.min(circuits[at].quantity.max(1) - units[at].1);
        units[at].1 += more;
        room -= more;
    }
    units.into_iter().map(|(amperes, under)| amperes * f64::from(under)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::Currents;

    /// By counting breakers under the bar: three of one row, one of each of two rows, the end of one row and the beginning of the next.
    #[rstest::rstest]
    #[case::one_row(&[(6.0, 3)], Some(3), 18.0)]
    #[case::part_of_one_row(&[(6.0, 5)], Some(2), 12.0)]
    #[case::two_rows(&[(6.0, 1), (10.0, 1)], Some(2), 16.0)]
    #[case::a_whole_row_between(&[(6.0, 1), (10.0, 2), (4.0, 1)], Some(4), 30.0)]
    #[case::ends_of_two_rows(&[(6.0, 4), (10.0, 4)], Some(4), 28.0)]
    #[case::no_ways_stated(&[(6.0, 2), (10.0, 2)], None, 32.0)]
    #[case::nothing(&[], Some(2), 0.0)]
    fn each_unit_under_a_bar_draws_its_current(#[case] rows: &[(f64, u32)], #[case] ways: Option<u32>, #[case] amperes: f64) {
        let of = |(full_load_a, quantity): &(f64, u32)| Circuit {
            quantity: *quantity,
            currents: Currents { full_load_a: *full_load_a, ..Currents::default() },
            ..Circuit::default()
        };
        let circuits: Vec<Circuit> = rows.iter().map(of).collect();
        let drawn = drawn_under(&circuits.iter().collect::<Vec<_>>(), ways);
        assert!((drawn - amperes).abs() < 1e-9, "{drawn}");
    }
}
