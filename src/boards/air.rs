//! Air of a board: breakers and fuses in air that is hotter, or thinner, than that to which their ratings hold. What they carry there is
//! their maker's to state, so a person decides; it is told once for the board.

use std::collections::BTreeMap;

use super::panel::{self, Outgoing};
use crate::design::{Board, Circuit, Status};
use crate::finding::{Code, Finding, codes};
use crate::network::Network;
use crate::quantity::{Celsius, Metres, fits, round_to};
use crate::record::significant;
use crate::rules::physics::contactors::altitude_factors_of_breakers;
use crate::rules::physics::devices::{device_figure, protection_air};
use crate::rules::units::Units;
use crate::rules::words::brief;
use crate::rules::{RuleBook, Topic};
use crate::sizing::Tools;
use crate::sizing::resolve::device_air_c;

/// Tells of the board's protective devices whose ratings do not hold in its air.
pub(super) fn add(board: &mut Board, circuits: &[&Circuit], network: &Network, tools: &Tools<'_>) {
    let stated = tools.basis.board(&board.name).and_then(|board| board.device_ambient_c);
    let room = tools.basis.design.ambient_c;
    let air = Celsius(stated.unwrap_or_else(|| device_air_c(room)));
    let mut all: BTreeMap<&str, u32> = BTreeMap::new();
    let outgoing = panel::outgoing(&board.name, network);
    let feeders = outgoing.iter().filter_map(|outgoing| match outgoing {
        Outgoing::Board(_, feeder, _) => feeder.device.as_ref().map(|device| (device.kind, 1)),
        Outgoing::Transformer(_) => None,
    });
    let sized = circuits.iter().filter(|circuit| circuit.status != Status::NotSized);
    let of_circuits = sized
        .filter_map(|circuit| circuit.protection.as_ref().map(|protection| (protection.kind.as_str(), circuit.quantity.max(1))));
    let breaker = network.find(&board.name).and_then(|index| network.incoming.get(index)?.as_ref()?.breaker.as_ref());
    let head = breaker.map(|device| (device.kind, 1));
    for (kind, number) in of_circuits.chain(feeders).chain(head) {
        *all.entry(kind).or_default() += number;
    }
    let units = Units::of(tools.book.key());
    board.findings.extend(thin_air(&all, tools.basis.design.altitude_m, tools.book));
    let is_hot = |kind: &str| protection_air(kind).is_some_and(|(holds, _)| !fits(air.0, holds.0));
    let hot: BTreeMap<&str, u32> = all.into_iter().filter(|(kind, _)| is_hot(kind)).collect();
    // Stated air wants a person's decision; the usual rise of an enclosure is counted everywhere and is no news.
    let certain = stated.or(room).map(Celsius);
    let is_certain =
        hot.keys().any(|kind| protection_air(kind).zip(certain).is_some_and(|((holds, _), air)| !fits(air.0, holds.0)));
    let code = if is_certain { &codes::B606_HOT_AIR } else { &codes::B607_WARM_AIR };
    board.findings.extend(hot_air(code, &hot, air, stated.is_some(), units));
}

/// Above 2000 m a release is cooled less and a gap holds off less voltage. The factors of the table are one maker's and of circuit-breakers
/// alone, so that none is put in.
fn thin_air(devices: &BTreeMap<&str, u32>, altitude_m: Option<f64>, book: &dyn RuleBook) -> Option<Finding> {
    let units = Units::of(book.key());
    let altitude = Metres(
        altitude_m.filter(|altitude| !fits(*altitude, device_figure("protection-altitude-most-m")) && !devices.is_empty())?,
    );
    let named: Vec<String> = devices.iter().map(|(kind, number)| format!("{number} × {}", brief(units, kind))).collect();
    let usual = altitude_factors_of_breakers(altitude).map_or_else(
        || "no factor for that height is known".to_owned(),
        |factors| {
            let [current, voltage] = [factors.current, factors.voltage].map(|factor| round_to(factor, 2));
            format!(
                "one maker's circuit-breakers keep {current} of their rated current and {voltage} of their rated voltage there"
            )
        },
    );
    let shown = significant(units.length(altitude.0), 4);
    let finding = Finding::new(
        &codes::B608_THIN_AIR,
        format!(
            "at {shown} {} rated current, voltage and breaking capacity of protective devices are not reduced: {}",
            units.length_unit(),
            named.join(", ")
        ),
    )
    .why(format!("ratings of circuit-breakers, fuses and overload relays hold to 2000 m; {usual}"))
    .cure("compare currents, voltage and settings with what the makers state for that height")
    .reference(book.clause(Topic::ThinAir));
    Some(finding)
}

fn hot_air(code: &'static Code, hot: &BTreeMap<&str, u32>, air: Celsius, is_stated: bool, units: Units) -> Option<Finding> {
    let mut holding: Vec<(f64, Vec<String>)> = Vec::new();
    let mut clauses: Vec<&str> = Vec::new();
    for (kind, number) in hot {
        let (holds, clause) = protection_air(kind)?;
        let words = format!("{number} × {}", brief(units, kind));
        match holding.iter_mut().find(|(limit, _)| (limit - holds.0).abs() < 1e-9) {
            Some((_, kinds)) => kinds.push(words),
            None => holding.push((holds.0, vec![words])),
        }
        if !clauses.contains(&clause) {
            clauses.push(clause);
        }
    }
    let to = |(holds, kinds): &(f64, Vec<String>)| format!("to {} ({})", units.temperature(*holds), kinds.join(", "));
    let limits: Vec<String> = holding.iter().map(to).collect();
    let told = Finding::new(
        code,
        format!(
            "the air at the devices {} {}; their rated currents hold {}",
            if is_stated { "is" } else { "is taken as" },
            units.temperature(air.0),
            limits.join(" and ")
        ),
    )
    .why("in hotter air a release may trip below its rating and a fuse-link ages; the catalogue declares no factor for either")
    .cure("compare the currents with what the makers state for that temperature, or cool the board and state device_ambient_c")
    .reference(clauses.join("; "));
    (!limits.is_empty()).then_some(told)
}
