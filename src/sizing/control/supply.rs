//! What feeds coils: the line itself, a control transformer or a direct-current supply, with the devices before and behind it.
//! One choice serves a starter alone and all starters of a board: it knows only what each of them draws.

use crate::basis::Basis;
use crate::catalogue::{ControlProtection, ControlTransformer, PowerSupply};
use crate::design::{Check, Circuit, ControlDevice, ControlSupply, Part};
use crate::finding::{Finding, codes};
use crate::load::ControlVoltage;
use crate::quantity::{Amperes, VoltAmperes, Volts, fits, round_to};
use crate::record::Record;
use crate::rules::control::{DeviceBounds, TransformerAsk};
use crate::rules::physics::control::{self, Burden, Event, Regulation, practice};
use crate::sizing::Tools;
use crate::sizing::control::coils::same;
use crate::sizing::control::{COIL_VOLTAGE, part};
use crate::sizing::judge::{Verdict, at_least, at_most, choose as first, not_checked};
use crate::supply::SupplyPoint;

/// Clause of the short-time power.
const SHORT_TIME: &str = "short-time rating of the control transformer at power factor 0.5";

/// Each starter has an alternating control supply of its own. Direct current is always that of the board: controllers' outputs
/// share it.
#[must_use]
pub fn per_starter(tools: &Tools<'_>, dc: bool) -> bool {
    let stated = tools.basis.control.supply.as_deref().map(|own| own == "per-starter");
    !dc && stated.unwrap_or_else(|| tools.book.supply_per_starter())
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

/// The first and the second half of circuits; of one row with several circuits, of these.
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

/// The line that feeds control supplies.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Voltage between lines.
    pub volts: f64,
    /// Voltage to the neutral, where there is one.
    pub to_neutral: Option<f64>,
    /// Largest fault current.
    pub fault_max: Option<Amperes>,
}

impl Line {
    /// The line of a board. A neutral that nobody states is not there.
    #[must_use]
    pub fn of(basis: &Basis, board: &str, point: &SupplyPoint) -> Self {
        let phases = basis.board(board).and_then(|own| own.phases).or(basis.supply.phases).unwrap_or(3);
        let words = point.system.as_deref().unwrap_or("").to_uppercase();
        let neutral = ["4W", "5W", "+N", "3N", "NEUTRAL", "L-N"].iter().any(|word| words.contains(word));
        let split = phases == 1 && words.contains("3W");
        let to_neutral = match (phases, neutral, split) {
            (1, _, true) => Some(point.voltage.0 / 2.0),
            (3, true, _) => Some(point.voltage.0 / 3f64.sqrt()),
            _ => None,
        };
        Self { volts: point.voltage.0, to_neutral, fault_max: point.fault_max }
    }

    /// Voltages that it offers with the conductors that are not earthed.
    fn offers(&self) -> impl Iterator<Item = (f64, u32)> {
        [Some((self.volts, 2)), self.to_neutral.map(|volts| (volts, 1))].into_iter().flatten()
    }
}

/// What one circuit asks of the supply.
#[derive(Clone, Debug, PartialEq)]
pub struct Served {
    /// Its tag.
    pub tag: String,
    /// How many there are of it.
    pub quantity: f64,
    /// What holds.
    pub hold: Burden,
    /// Its worst moment.
    pub event: Burden,
    /// Drop of its control run, per cent of the coil voltage.
    pub run_pct: f64,
    /// Lowest voltage at which its coils surely pick up, per cent.
    pub lowest_pct: f64,
    /// Highest voltage that its coils stand, per cent.
    pub highest_pct: f64,
    /// Its coils pick up by themselves when the supply comes back.
    pub maintained: bool,
}

impl Served {
    /// What a circuit asks; none if it has no coil that draws anything.
    #[must_use]
    pub fn of(circuit: &Circuit) -> Option<Self> {
        let own = circuit.control.as_ref().filter(|own| own.pick_up_va > 0.0)?;
        // Over an interposing relay the run carries the relay, not the coil.
        let run = own.run.as_ref().filter(|_| !own.interposing_relay).and_then(|run| run.drop_pct);
        Some(Self {
            tag: circuit.tag.clone(),
            quantity: f64::from(circuit.quantity.max(1)),
            hold: Burden::of(VoltAmperes(own.hold_va), own.hold_power_factor),
            event: Burden::of(VoltAmperes(own.pick_up_va), own.pick_up_power_factor),
            run_pct: run.unwrap_or(0.0),
            lowest_pct: own.lowest_pct,
            highest_pct: own.highest_pct,
            maintained: own.maintained,
        })
    }
}

/// What is asked of a control supply.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Coil voltage.
    pub voltage: ControlVoltage,
    /// The line.
    pub line: Line,
    /// Circuits.
    pub served: Vec<Served>,
    /// It stands at the one starter that it serves.
    pub at_controller: bool,
    /// Rating of the protective device of the power circuit from which it is tapped; none if it is not.
    pub tap: Option<f64>,
    /// Its conductors leave the enclosure.
    pub leaves: bool,
}

/// Who asks for a supply, with what they draw together.
#[derive(Clone, Debug)]
struct Asked<'d> {
    demand: &'d Demand,
    hold: Burden,
}

impl<'d> Asked<'d> {
    fn of(demand: &'d Demand) -> Self {
        Self { demand, hold: demand.served.iter().map(|own| own.hold.times(own.quantity)).sum() }
    }

    fn starters(&self) -> f64 {
        self.demand.served.iter().map(|own| own.quantity).sum()
    }

    /// Current of the coils that hold.
    fn hold_current(&self) -> Amperes {
        Amperes(self.hold.magnitude().0 / self.demand.voltage.volts)
    }

    /// The worst moment of one circuit while all others hold.
    fn event_of(&self, one: &Served, record: &mut Record) -> Event {
        control::event(record, self.hold + one.hold.times(-1.0), one.event)
    }

    /// The circuit whose worst moment is the worst of all.
    fn worst(&self) -> Option<&'d Served> {
        let power = |own: &&Served| self.event_of(own, &mut Record::silent()).power().0;
        // The first of equals, so that the order of the schedule decides.
        self.demand.served.iter().rev().max_by(|a, b| power(a).total_cmp(&power(b)))
    }

    /// Power when all maintained contacts pick up together.
    fn at_return(&self) -> (f64, Event) {
        let maintained = || self.demand.served.iter().filter(|own| own.maintained);
        let event = maintained().map(|own| own.event.times(own.quantity)).sum();
        (maintained().map(|own| own.quantity).sum(), control::event(&mut Record::silent(), Burden::default(), event))
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
            serves: demand.served.iter().map(|own| own.tag.clone()).collect(),
            ..ControlSupply::default()
        },
        coil_voltage_pct: vec![None; demand.served.len()],
        ..Chosen::default()
    };
    if demand.voltage.dc {
        direct_current(&asked, (continuous, event), tools, record, &mut chosen);
    } else if let Some(conductors) = line_fed(&asked, tools, &mut chosen) {
        from_line(&asked, conductors, tools, record, &mut chosen);
    } else {
        transformer(&asked, (continuous, event), tools, record, &mut chosen);
    }
    chosen.supply.coil_voltage_pct =
        chosen.coil_voltage_pct.iter().flatten().copied().reduce(f64::min).map(|lowest| round_to(lowest, 3));
    chosen
}

/// Coils of the line's own voltage need no transformer, where the book admits that for so many starters: the conductors that are
/// not earthed. Either way it is said.
fn line_fed(asked: &Asked<'_>, tools: &Tools<'_>, chosen: &mut Chosen) -> Option<u32> {
    let demand = asked.demand;
    let (_, conductors) = demand.line.offers().find(|(volts, _)| same(*volts, demand.voltage.volts))?;
    let between = if conductors == 2 { "between two lines" } else { "from line and neutral" };
    let limit = tools.book.line_fed_starters();
    let finding = |what: String| Finding::new(&codes::C410_WITHOUT_TRANSFORMER, what);
    match limit.filter(|(most, _)| asked.starters() > f64::from(*most)) {
        None => {
            let reference = limit.map_or("", |(_, reference)| reference);
            chosen.findings.push(
                finding(format!("coils of {} are fed {between} without a control transformer", demand.voltage))
                    .cure("state control.voltage otherwise where the control circuit is to be separated from the line")
                    .reference(reference),
            );
            Some(conductors)
        }
        Some((_, reference)) => {
            chosen.findings.push(
                finding(format!(
                    "coils of {} could be fed {between}; {} starters share the supply, so a control transformer is taken",
                    demand.voltage,
                    asked.starters()
                ))
                .reference(reference),
            );
            None
        }
    }
}

fn from_line(asked: &Asked<'_>, conductors: u32, tools: &Tools<'_>, record: &mut Record, chosen: &mut Chosen) {
    let demand = asked.demand;
    let supply = &mut chosen.supply;
    "line".clone_into(&mut supply.kind);
    supply.primary_v = demand.voltage.volts;
    let low = practice("supply-low");
    chosen.coil_voltage_pct =
        demand.served.iter().map(|own| Some(control::coil_voltage(record, 1.0, low, 0.0, own.run_pct))).collect();
    chosen.checks.push(highest(demand, record));
    // A device of the power circuit may protect the conductors too.
    if let (Some(device), Some((most, reference))) = (demand.tap, tools.book.tap_limit(demand.leaves))
        && fits(device, most.0)
    {
        chosen.checks.push(at_most("control-protection", device, most.0, "A", reference));
        return;
    }
    let (most, clause) = circuit_limit(tools);
    let bounds = DeviceBounds { least: asked.hold_current(), most, largest_first: true, clause };
    let ask = Ask { bounds, volts: demand.voltage.volts, dc: false, conductors, fault: Some(demand.line.fault_max) };
    chosen.supply.secondary = place(&ask, "control circuit", tools, &mut chosen.parts, &mut chosen.checks, &mut chosen.findings);
}

/// Largest device that contacts and conductors of control circuits stand.
fn circuit_limit(tools: &Tools<'_>) -> (Amperes, &'static str) {
    let contact = Amperes(practice("contact-device"));
    match tools.book.control_conductors().into_iter().next().filter(|own| own.most.0 < contact.0) {
        Some(own) => (own.most, own.clause),
        None => (contact, "largest device before contacts; common practice, no source"),
    }
}

/// Highest voltage at the coils.
fn highest(demand: &Demand, record: &mut Record) -> Check {
    let pct = control::highest_coil_voltage(record, 1.0, practice("supply-high"));
    let most = demand.served.iter().map(|own| own.highest_pct).fold(f64::INFINITY, f64::min);
    at_most("coil-highest-voltage", pct, most, "%", "limits of operation of coils")
}

fn regulation(own: &ControlTransformer) -> Regulation {
    Regulation {
        rating: VoltAmperes(own.va),
        resistive_pct: own.u_r_pct.unwrap_or_else(|| practice("regulation-r")),
        reactive_pct: own.u_x_pct.unwrap_or_else(|| practice("regulation-x")),
    }
}

/// Voltage at the coils of one circuit behind a transformer while they pick up.
fn behind(own: &ControlTransformer, asked: &Asked<'_>, served: &Served, record: &mut Record) -> f64 {
    let event = asked.event_of(served, &mut Record::silent());
    let drop = control::transformer_drop(record, event.power(), event.vector.map(|(_, factor)| factor), regulation(own));
    control::coil_voltage(record, 1.0, practice("supply-low"), drop, served.run_pct)
}

fn transformer(
    asked: &Asked<'_>,
    (continuous, event): (VoltAmperes, Event),
    tools: &Tools<'_>,
    record: &mut Record,
    chosen: &mut Chosen,
) {
    "control-transformer".clone_into(&mut chosen.supply.kind);
    let demand = asked.demand;
    let secondary = demand.voltage.volts;
    let fits_voltages = |own: &&ControlTransformer| same(own.primary_v, demand.line.volts) && same(own.secondary_v, secondary);
    let mut candidates: Vec<&ControlTransformer> = tools.catalogue.control_transformers.iter().filter(fits_voltages).collect();
    candidates.sort_by(|a, b| a.va.total_cmp(&b.va));
    let Some(largest) = candidates.last() else {
        missing(
            chosen,
            &format!("the catalogue holds no control transformer from {} V to {}", demand.line.volts, demand.voltage),
        );
        return;
    };
    // A coil that even the largest does not give its voltage is the matter of its run; the others still decide.
    let served: Vec<&Served> =
        (demand.served.iter()).filter(|own| fits(own.lowest_pct, behind(largest, asked, own, &mut Record::silent()))).collect();
    let judge = |own: &&ControlTransformer| {
        let mut checks = vec![at_most("control-supply-power", continuous.0, own.va, "VA", "common practice, no source")];
        if let Some(short) = own.short_time_va {
            checks.push(at_most("control-supply-pick-up", event.power().0, short, "VA", SHORT_TIME));
        }
        let lowest = served.iter().map(|one| (behind(own, asked, one, &mut Record::silent()), one.lowest_pct));
        if let Some((pct, floor)) = lowest.min_by(|a, b| (a.0 - a.1).total_cmp(&(b.0 - b.1))) {
            checks.push(at_least(COIL_VOLTAGE, pct, floor, "%", "limits of operation of coils"));
        }
        let output = devices(own, asked, tools, &mut Record::silent()).map(|(_, output)| stages(asked, output, tools));
        let carries = output.is_some_and(|output| output.iter().all(|stage| pick(&stage.ask, tools).is_some()));
        if !carries {
            let because = "no device within its bounds carries the coils that hold";
            checks.push(Check { passed: Some(false), ..not_checked("control-protection", "A", because, "") });
        }
        Verdict { checks }
    };
    let choice = first(candidates, judge);
    let Some((own, verdict)) = choice.chosen else {
        let what = format!(
            "no control transformer of the catalogue holds: {} VA continuously and {} VA while contactors pick up are asked",
            round_to(continuous.0, 0),
            round_to(event.power().0, 0)
        );
        chosen.too_much = true;
        missing(chosen, &what);
        return;
    };
    // A starter alone has the check of its coils by itself.
    chosen.checks.extend(verdict.checks.into_iter().filter(|check| !demand.at_controller || check.name != COIL_VOLTAGE));
    chosen.checks.push(highest(demand, record));
    chosen.coil_voltage_pct = demand
        .served
        .iter()
        .map(|one| {
            let mut scratch = Record::silent();
            let steps = if chosen.supply.event_tag == one.tag { &mut *record } else { &mut scratch };
            Some(behind(own, asked, one, steps))
        })
        .collect();
    chosen.supply.part.clone_from(&own.part);
    chosen.supply.rating_va = Some(own.va);
    chosen.supply.primary_v = own.primary_v;
    chosen.parts.push(part(&own.part, &own.description, 1));
    if let Some((primary, secondary)) = devices(own, asked, tools, record) {
        let ask = Ask { bounds: primary, volts: own.primary_v, dc: false, conductors: 2, fault: Some(demand.line.fault_max) };
        chosen.supply.primary =
            place(&ask, "control transformer, primary", tools, &mut chosen.parts, &mut chosen.checks, &mut chosen.findings);
        place_behind(asked, secondary, tools, chosen);
    }
    at_return(asked, own, chosen);
}

/// Bounds of the devices before and behind a transformer.
fn devices(
    own: &ControlTransformer,
    asked: &Asked<'_>,
    tools: &Tools<'_>,
    record: &mut Record,
) -> Option<(DeviceBounds, DeviceBounds)> {
    let ask = TransformerAsk {
        power: VoltAmperes(own.va),
        primary: Volts(own.primary_v),
        secondary: Volts(own.secondary_v),
        at_controller: asked.demand.at_controller,
    };
    let devices = tools.book.transformer_devices(&ask, record)?;
    let least = devices.secondary.least.max(asked.hold_current());
    Some((devices.primary, DeviceBounds { least, ..devices.secondary }))
}

/// Coils that pick up together when the supply comes back: said where the transformer would not hold them.
fn at_return(asked: &Asked<'_>, own: &ControlTransformer, chosen: &mut Chosen) {
    let (number, event) = asked.at_return();
    if number < 2.0 {
        return;
    }
    let record = &mut Record::silent();
    let drop = control::transformer_drop(record, event.power(), event.vector.map(|(_, factor)| factor), regulation(own));
    let pct = control::coil_voltage(record, 1.0, practice("supply-low"), drop, 0.0);
    let floor = asked.demand.served.iter().map(|own| own.lowest_pct).fold(0.0, f64::max);
    if fits(floor, pct) {
        return;
    }
    chosen.findings.push(
        Finding::new(
            &codes::C413_RETURN,
            format!(
                "{number} starters with maintained contacts pick up together when the supply comes back: {} VA, which leave {} % of the coil voltage",
                round_to(event.power().0, 0),
                round_to(pct.max(0.0), 0)
            ),
        )
        .why("contactors would chatter and weld")
        .cure("let the controller start them one after the other, or delay their restart"),
    );
}

fn missing(chosen: &mut Chosen, what: &str) {
    chosen.checks.push(not_checked("control-supply-power", "VA", what, "common practice, no source"));
    chosen.findings.push(
        Finding::new(&codes::C409_NO_CONTROL_SUPPLY, what.to_owned())
            .cure("add one to the catalogue, choose another control voltage, or share the starters among several supplies"),
    );
}

fn direct_current(
    asked: &Asked<'_>,
    (continuous, event): (VoltAmperes, Event),
    tools: &Tools<'_>,
    record: &mut Record,
    chosen: &mut Chosen,
) {
    "direct-current-supply".clone_into(&mut chosen.supply.kind);
    let demand = asked.demand;
    let volts = Volts(demand.voltage.volts);
    let steady = control::coil_current(record, asked.hold.magnitude(), volts);
    let surge = control::coil_current(record, event.power(), volts);
    let need = Amperes(continuous.0 / demand.voltage.volts);
    let input =
        |own: &PowerSupply| demand.line.offers().find(|(volts, _)| own.input_min_v <= *volts && *volts <= own.input_max_v);
    let coil = |own: &PowerSupply, run: f64, record: &mut Record| control::coil_voltage(record, 1.0, own.tolerance_pct, 0.0, run);
    let suits = |own: &&PowerSupply| same(own.output_v, volts.0) && input(own).is_some();
    let candidates = tools.catalogue.power_supplies.iter().filter(suits);
    chosen.too_much = candidates.clone().next().is_some();
    let choice = first(candidates, |own| Verdict {
        checks: vec![
            at_most("control-supply-power", need.0, own.output_a, "A", "one maker's note: rated current over that of the coils"),
            at_most("control-supply-pick-up", surge.0, own.surge_a, "A", "one maker's note: surge current"),
        ],
    });
    let Some((own, verdict)) = choice.chosen else {
        let what = format!(
            "no direct-current supply of the catalogue from {} V to {} gives {} A, and {} A while contactors pick up",
            demand.line.volts,
            demand.voltage,
            round_to(need.0, 2),
            round_to(surge.0, 2)
        );
        missing(chosen, &what);
        return;
    };
    chosen.too_much = false;
    chosen.checks.extend(verdict.checks);
    chosen.coil_voltage_pct = demand
        .served
        .iter()
        .map(|one| {
            let mut scratch = Record::silent();
            let steps = if chosen.supply.event_tag == one.tag { &mut *record } else { &mut scratch };
            Some(coil(own, one.run_pct, steps))
        })
        .collect();
    let (line_volts, conductors) = input(own).unwrap_or((demand.line.volts, 2));
    chosen.supply.part.clone_from(&own.part);
    chosen.supply.rating_va = Some(own.output_v * own.output_a);
    chosen.supply.primary_v = round_to(line_volts, 1);
    chosen.parts.push(part(&own.part, &own.description, 1));
    let primary = DeviceBounds {
        least: Amperes(own.input_a),
        most: Amperes(own.max_input_device_a),
        largest_first: false,
        clause: "data sheet of the supply",
    };
    let ask = Ask { bounds: primary, volts: line_volts, dc: false, conductors, fault: Some(demand.line.fault_max) };
    chosen.supply.primary =
        place(&ask, "control supply, input", tools, &mut chosen.parts, &mut chosen.checks, &mut chosen.findings);
    let secondary = DeviceBounds {
        least: steady,
        most: Amperes(own.output_a),
        largest_first: true,
        clause: "rated current of the supply: a larger device may never open",
    };
    place_behind(asked, secondary, tools, chosen);
}

/// What is asked of a device.
#[derive(Clone, Copy, Debug)]
struct Ask {
    bounds: DeviceBounds,
    volts: f64,
    dc: bool,
    conductors: u32,
    /// At the line: its largest fault current, as far as it is known. None behind a supply, which lets little flow.
    fault: Option<Option<Amperes>>,
}

impl Ask {
    /// Behind a supply: one conductor, the other is earthed.
    fn behind(demand: &Demand, bounds: DeviceBounds) -> Self {
        Self { bounds, volts: demand.voltage.volts, dc: demand.voltage.dc, conductors: 1, fault: None }
    }
}

/// A device within its bounds with its pieces: of a circuit-breaker one with all poles, of fuse-links one a pole.
fn pick<'a>(ask: &Ask, tools: &Tools<'a>) -> Option<(&'a ControlProtection, u32)> {
    let Ask { bounds, .. } = *ask;
    let suits = |own: &&ControlProtection| {
        let voltage = if ask.dc { own.max_dc_v.is_some_and(|most| ask.volts <= most) } else { fits(ask.volts, own.max_v) };
        let poles = own.poles == ask.conductors || (own.kind == "fuse" && own.poles == 1);
        let breaks = ask.fault.flatten().is_none_or(|fault| fits(fault.0, own.breaking_ka * 1000.0));
        voltage && poles && breaks && fits(bounds.least.0, own.rating_a) && fits(own.rating_a, bounds.most.0)
    };
    let mut within = tools.catalogue.control_protection.iter().filter(suits);
    let chosen = if bounds.largest_first {
        // The first of equals is the preferred kind.
        within.reduce(|best, own| if own.rating_a > best.rating_a { own } else { best })
    } else {
        within.next()
    };
    chosen.map(|own| (own, if own.poles == ask.conductors { 1 } else { ask.conductors }))
}

/// Chooses a device and adds its parts and checks, or says that there is none.
fn place(
    ask: &Ask,
    subject: &str,
    tools: &Tools<'_>,
    parts: &mut Vec<Part>,
    checks: &mut Vec<Check>,
    findings: &mut Vec<Finding>,
) -> Option<ControlDevice> {
    let bounds = ask.bounds;
    let Some((own, quantity)) = pick(ask, tools) else {
        let (least, most) = (round_to(bounds.least.0, 2), round_to(bounds.most.0, 2));
        let because = format!("the catalogue holds no device from {least} A to {most} A at {} V", round_to(ask.volts, 1));
        checks.push(not_checked("control-protection", "A", &because, bounds.clause).about(subject));
        findings.push(
            Finding::new(&codes::C412_NO_CONTROL_DEVICE, format!("{subject}: {because}"))
                .cure("add one to control_protection.csv")
                .reference(bounds.clause),
        );
        return None;
    };
    checks.push(at_most("control-protection", own.rating_a, bounds.most.0, "A", bounds.clause).about(subject));
    if let Some(fault) = ask.fault {
        checks.push(match fault {
            Some(fault) => at_least("breaking-capacity", own.breaking_ka, fault.0 / 1000.0, "kA", "data sheet").about(subject),
            None => {
                not_checked("breaking-capacity", "kA", "the fault current of the board is not known", "data sheet").about(subject)
            }
        });
    }
    parts.push(part(&own.part, &own.description, quantity));
    if let Some(base) = &own.base_part {
        parts.push(part(base, own.base_description.as_deref().unwrap_or(""), quantity));
    }
    Some(ControlDevice {
        kind: own.kind.clone(),
        rating_a: own.rating_a,
        maximum_a: round_to(bounds.most.0, 4),
        quantity,
        part: own.part.clone(),
        reference: bounds.clause.to_owned(),
    })
}

/// One of the devices behind a supply, one after the other.
struct Stage {
    ask: Ask,
    subject: &'static str,
    number: u32,
}

/// The devices behind a supply: one, if contacts and conductors stand it; else a main device and branches that do.
fn stages(asked: &Asked<'_>, output: DeviceBounds, tools: &Tools<'_>) -> Vec<Stage> {
    let (most, clause) = circuit_limit(tools);
    let stage = |bounds, subject, number| Stage { ask: Ask::behind(asked.demand, bounds), subject, number };
    if output.most.fits(most) {
        return vec![stage(output, "control supply, output", 1)];
    }
    let holds = asked.hold_current();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small number above nothing
    let number = (holds / most).ceil().clamp(1.0, 1e6) as u32;
    let least = holds / f64::from(number);
    let branch = stage(DeviceBounds { least, most, largest_first: true, clause }, "control circuit", number);
    // One branch alone needs no further device before it.
    if number == 1 { vec![branch] } else { vec![stage(output, "control supply, output", 1), branch] }
}

fn place_behind(asked: &Asked<'_>, output: DeviceBounds, tools: &Tools<'_>, chosen: &mut Chosen) {
    let Chosen { supply, parts, checks, findings, .. } = chosen;
    for (stage, first) in stages(asked, output, tools).into_iter().zip([true, false]) {
        let before = parts.len();
        let device = place(&stage.ask, stage.subject, tools, parts, checks, findings);
        for own in &mut parts[before..] {
            own.quantity *= f64::from(stage.number);
        }
        let device = device.map(|own| ControlDevice { quantity: own.quantity * stage.number, ..own });
        if first {
            supply.secondary = device;
        } else {
            supply.branches = device;
        }
    }
}
