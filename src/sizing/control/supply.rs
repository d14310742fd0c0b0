//! The supply of coils: the line itself, a control transformer or a direct-current supply, with the devices before and behind it.
//! One choice serves a starter alone and all starters of a board: it knows only what each of them draws.

use crate::design::{Check, ControlSupply, Part};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Metres, round_to};
use crate::record::Record;
use crate::rules::physics::control::{self, practice};
use crate::rules::physics::material;
use crate::sizing::Tools;
use crate::sizing::arrangement::Arrangement;
use crate::sizing::control::coils::same;
use crate::sizing::control::part;
use crate::sizing::judge::{at_most, not_checked};
use crate::supply::SupplyPoint;

mod demand;
mod devices;
mod direct_current;
mod line;
mod transformer;

use demand::Asked;
pub use demand::{Demand, Line, Served};

/// Each starter has an alternating control supply of its own. Direct current is always that of the board: controllers' outputs
/// share it.
#[must_use]
pub fn per_starter(tools: &Tools<'_>, dc: bool) -> bool {
    let stated = tools.basis.control.supply.as_deref().map(|supply| supply == "per-starter");
    !dc && stated.unwrap_or_else(|| tools.book.supply_per_starter())
}

/// Length of the run that brings the coils' supply to a starter that stands apart from its board; none where the starter stands on the
/// board, or feeds its coils itself.
#[must_use]
pub fn run_from_board(case: &Case, tools: &Tools<'_>) -> Option<Metres> {
    case.route.supply_length.filter(|length| length.0 > 0.0 && !per_starter(tools, case.control.voltage.dc))
}

/// The voltage of a circuit's coils lies between a line of its board and the neutral, so that they need no transformer where few enough
/// starters share them: the neutral must come to the board.
#[must_use]
pub fn is_between_line_and_neutral(case: &Case, line: &Line) -> bool {
    let voltage = case.control.voltage;
    let taps = !line.pair_to_neutral && !voltage.dc && line.to_neutral.is_some_and(|volts| same(volts, voltage.volts));
    taps && !Arrangement::of(case.start.method).roles(&case.start, false, false).is_empty()
}

/// A space heater or a brake is taken to be supplied with the voltage between a line of its board and the neutral, so that the neutral must
/// come to the board.
#[must_use]
pub fn has_auxiliaries_to_neutral(case: &Case, line: &Line, tools: &Tools<'_>) -> bool {
    let there = case.extras.heater.0 > 0.0 || case.extras.brake.0 > 0.0;
    let volts = material::figure("auxiliary-voltage", tools.book.key());
    there && !line.one_phase && line.to_neutral.is_some_and(|to_neutral| same(to_neutral, volts))
}

/// A starter that has a supply of its own feeds its coils from a line and the neutral, which its load does not bring.
#[must_use]
pub fn taps_neutral(case: &Case, point: &SupplyPoint, tools: &Tools<'_>) -> bool {
    let line = || Line::of(tools.basis, &case.board, point, tools.book);
    !case.machine.neutral
        && per_starter(tools, case.control.voltage.dc)
        && is_between_line_and_neutral(case, &line())
        && admits_without_transformer(1, tools)
}

/// So many starters whose coils a line could feed share a supply; they have a transformer where the book does not admit so many.
#[must_use]
pub fn admits_without_transformer(starters: u32, tools: &Tools<'_>) -> bool {
    let sharing = if per_starter(tools, false) { 1 } else { starters };
    tools.book.line_fed_starters().is_none_or(|(most, _)| sharing <= most)
}

/// Shares circuits out among as many supplies as they need, in their order: all on one if one holds them, else each half by
/// itself. What no supply holds alone comes back without one.
#[must_use]
pub fn share(demand: &Demand, tools: &Tools<'_>, record: &mut Record) -> Vec<(Demand, Chosen)> {
    let chosen = choose(demand, tools, &mut Record::silent());
    let halves = if chosen.too_much { halves(&demand.served) } else { None };
    match halves {
        Some(halves) => {
            (halves.into_iter()).flat_map(|served| share(&Demand { served, ..demand.clone() }, tools, record)).collect()
        }
        None => vec![(demand.clone(), choose(demand, tools, record))],
    }
}

/// The first and the second half of the circuits; where they are all of one row, half of its number each.
fn halves(served: &[Served]) -> Option<[Vec<Served>; 2]> {
    match served {
        [] => None,
        [only] if only.quantity < 2.0 => None,
        [only] => {
            let first = (only.quantity / 2.0).floor();
            let part = |quantity| vec![Served { quantity, ..only.clone() }];
            Some([part(first), part(only.quantity - first)])
        }
        all => {
            let (first, second) = all.split_at(all.len() / 2);
            Some([first.to_vec(), second.to_vec()])
        }
    }
}

/// A supply with all that follows from it.
#[derive(Clone, Debug, Default)]
pub struct Chosen {
    /// The supply.
    pub supply: ControlSupply,
    /// Its parts.
    pub parts: Vec<Part>,
    /// Its checks.
    pub checks: Vec<Check>,
    /// Its findings, not placed.
    pub findings: Vec<Finding>,
    /// Voltage at the coils of each circuit that it serves, per cent; none if nothing is known.
    pub coil_voltage_pct: Vec<Option<f64>>,
    /// The catalogue has such supplies, but none holds so much.
    pub too_much: bool,
}

impl Chosen {
    /// Notes the voltage at the coils of each circuit; the working is kept of the circuit whose worst moment is the worst of all.
    fn coils_have(&mut self, demand: &Demand, record: &mut Record, voltage: impl Fn(&Served, &mut Record) -> f64) {
        let worst = self.supply.event_tag.as_str();
        let pct = demand.served.iter().map(|served| {
            let mut scratch = Record::silent();
            Some(voltage(served, if worst == served.tag { &mut *record } else { &mut scratch }))
        });
        self.coil_voltage_pct = pct.collect();
    }
}

/// Chooses what feeds these circuits.
#[must_use]
pub fn choose(demand: &Demand, tools: &Tools<'_>, record: &mut Record) -> Chosen {
    let asked = Asked::of(demand);
    let Some(worst) = asked.worst() else { return Chosen::default() };
    let margin = if demand.voltage.dc { practice("dc-supply-margin") } else { practice("continuous-margin") };
    let continuous = control::continuous_need(record, asked.hold, margin);
    let event = asked.event_of(worst, record);
    let mut chosen = Chosen {
        supply: ControlSupply {
            coil_voltage: demand.voltage.to_string(),
            primary_v: demand.line.volts,
            continuous_va: round_to(continuous.0, 2),
            event_va: round_to(event.power().0, 2),
            event_method: if demand.voltage.dc { "arithmetic" } else { event.method() }.to_owned(),
            event_tag: worst.tag.clone(),
            serves: demand.served.iter().map(|served| served.tag.clone()).collect(),
            ..ControlSupply::default()
        },
        coil_voltage_pct: vec![None; demand.served.len()],
        ..Chosen::default()
    };
    if demand.voltage.dc {
        direct_current::choose(&asked, (continuous, event), tools, record, &mut chosen);
    } else if let Some(conductors) = line::suffices(&asked, tools, &mut chosen) {
        line::choose(&asked, conductors, tools, record, &mut chosen);
    } else {
        transformer::choose(&asked, (continuous, event), tools, record, &mut chosen);
    }
    chosen.supply.coil_voltage_pct =
        chosen.coil_voltage_pct.iter().flatten().copied().reduce(f64::min).map(|lowest| round_to(lowest, 3));
    chosen
}

/// Highest voltage at the coils.
fn highest(demand: &Demand, record: &mut Record) -> Check {
    let pct = control::highest_coil_voltage(record, 1.0, practice("supply-high"));
    let most = demand.served.iter().map(|served| served.highest_pct).fold(f64::INFINITY, f64::min);
    at_most("coil-highest-voltage", pct, most, "%", "limits of operation of coils")
}

/// Starters with maintained contacts that close together when the supply comes back, and what that asks of their control supply.
fn not_held_at_return(starters: f64, asks: &str) -> Finding {
    let what = format!("{starters} starters with maintained contacts pick up together when the supply comes back: {asks}");
    Finding::new(&codes::C413_RETURN, what)
        .why("contactors would chatter and weld")
        .cure("let the controller start them one after the other, or delay their restart")
}

/// Says that the catalogue holds no such supply; it stands on the list by its words, without a number.
fn missing(chosen: &mut Chosen, what: &str) {
    let supply = &chosen.supply;
    let (rated, surge) = (round_to(supply.continuous_va, 0), round_to(supply.event_va, 0));
    chosen.parts.push(part(
        "",
        &format!(
            "{} from {} V to {} for {rated} VA, {surge} VA while contactors pick up, with its protective devices",
            supply.kind.replace('-', " "),
            round_to(supply.primary_v, 1),
            supply.coil_voltage
        ),
        1,
    ));
    chosen.checks.push(not_checked("control-supply-power", "VA", what, "common practice, no source"));
    chosen.findings.push(
        Finding::new(&codes::C409_NO_CONTROL_SUPPLY, what.to_owned())
            .cure("add one to the catalogue, choose another control voltage, or share the starters among several supplies"),
    );
}
