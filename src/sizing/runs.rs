//! Which runs a circuit has, and what each must do: from the case and the assembly to the demands of [`super::conductors`].

use crate::design::{Circuit, Part, Run};
use crate::finding::codes::Code;
use crate::finding::{Finding, codes};
use crate::load::{Case, LoadKind, Method};
use crate::quantity::{Amperes, Impedance, Metres, Volts, round_to};
use crate::record::Record;
use crate::rules::conductors::{DropDemand, FaultDevice, HotEnds, HotRaceway, OverloadDevice, RunDemand, RunNeed, RunPart};
use crate::rules::physics::drop::Across;
use crate::rules::units::Units;
use crate::rules::words;
use crate::rules::{RatedCurrents, RuleBook};
use crate::sizing::Tools;
use crate::sizing::arrangement::{OF_ONE_MOTOR, Runs};
use crate::sizing::assembly::{Assembly, Device};
use crate::sizing::conductors::{RunChoice, size_run};
use crate::sizing::neutral;
use crate::supply::SupplyPoint;

/// Role of the run from the board to a starter or drive that stands apart.
pub(super) const SUPPLY: &str = "supply";

/// Chooses every run of a circuit and writes it into the circuit.
pub(super) fn choose(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    let units = Units::of(tools.book.key());
    if case.route.length.is_none() {
        record.find(
            Finding::new(
                &codes::C602_NO_LENGTH,
                units.pick(
                    "the cable length is missing; voltage drop and disconnection are not checked",
                    "the length of the conductors is missing; voltage drop and the fault current at the load are not checked",
                ),
            )
            .at(case.place.clone())
            .cure(length_cure(case, units)),
        );
    }
    if let Some([what, cure, clause]) = tools.book.on_roof(&case.route.insulation).filter(|_| case.route.rooftop) {
        record.find(Finding::new(&codes::C608_ROOF, what).at(case.place.clone()).cure(cure).reference(clause));
    }
    if let Some(unstated) = neutral::third_harmonics_unstated(case, units) {
        record.find(unstated);
    }
    if point.earthing.as_deref().is_some_and(|own| own.to_ascii_uppercase().starts_with("TT")) {
        record.find(
            Finding::new(
                &codes::C605_TT,
                format!("board {} has a TT system: a residual-current device must disconnect faults to earth", case.board),
            )
            .at(case.place.clone())
            .why("the loop to earth is too high for a fuse or breaker")
            .cure("add a residual-current device with RA × IΔn at most 50 V; it is not in the parts list")
            .reference("IEC 60364-4-41, 411.5"),
        );
    }
    let mut supply: Option<RunChoice> = None;
    for mut demand in demands(case, currents, assembly, point, tools.book) {
        if let Some(before) = &supply {
            follow(&mut demand, before, case.motors);
        }
        asked(&mut demand, case, currents, tools, record);
        let choice = size_run(&demand, tools.book, tools.catalogue, record);
        if demand.role == SUPPLY {
            supply = Some(choice.clone());
        }
        settle(case, &demand, choice, tools, circuit, record);
    }
    say_slower_disconnection(case, assembly, tools, circuit, record);
    // What stands at the board is the same for every run; a run that begins at the end of another knows only what comes there.
    let kiloamperes = |own: Option<Amperes>| own.map(|own| round_to(own.0 / 1000.0, 4));
    circuit.fault.board_max_ka = kiloamperes(point.fault_max);
    circuit.fault.peak_ka = kiloamperes(point.peak);
    circuit.conductors = circuit.runs.first().cloned();
}

/// The clause goes by the rated current of the circuit and does not say whether that is the back-up device's or the overload relay's.
fn say_slower_disconnection(case: &Case, assembly: &Assembly<'_>, tools: &Tools<'_>, circuit: &Circuit, record: &mut Record) {
    let rests_on_it = circuit.checks.iter().any(|check| check.name == "disconnection" && check.passed == Some(true));
    let to_earth = Volts(case.machine.voltage.0 / if case.machine.phases == 3 { 3f64.sqrt() } else { 1.0 });
    let (Some(device), Some(relay)) = (assembly.protection.as_ref().filter(|_| rests_on_it), assembly.line_relay()) else {
        return;
    };
    let Some(([taken, other], clause)) = tools.book.two_disconnection_times(to_earth, device.rating, relay.setting) else {
        return;
    };
    record.find(
        Finding::new(
            &codes::C617_SLOWER_DISCONNECTION,
            format!(
                "faults to earth are disconnected within {} s, by the {} A of the protective device; by the overload setting of {} A within {} s would be asked",
                taken.0,
                device.rating.0,
                round_to(relay.setting.0, 2),
                other.0
            ),
        )
        .at(case.place.clone())
        .why("the limit goes by the rated current of the final circuit; some take that of its overload protection")
        .cure("agree the reading with whoever inspects the installation; a residual-current device or a larger conductor keeps the shorter time")
        .reference(clause),
    );
}

/// Demand of the run that begins at the board; none where a circuit has no run.
pub(super) fn first_demand(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
) -> Option<RunDemand> {
    let mut demand = demands(case, currents, assembly, point, tools.book).into_iter().next()?;
    asked(&mut demand, case, currents, tools, &mut Record::silent());
    Some(demand)
}

/// Puts in what the book asks of the conductors.
fn asked(demand: &mut RunDemand, case: &Case, currents: &RatedCurrents, tools: &Tools<'_>, record: &mut Record) {
    let ask = RunNeed { part: demand.part, machine: &case.machine, start: &case.start, currents, current: demand.current };
    let need = tools.book.need(&ask, record);
    demand.need = need.capacity;
    demand.termination = demand.termination.or(need.termination);
}

/// Lets a run begin where the supply run ends: its voltage drop and its impedance come on top. Of several motors the current of all flows
/// before a run that carries that of one.
fn follow(demand: &mut RunDemand, supply: &RunChoice, motors: u32) {
    let companions = &supply.companions;
    (demand.fault_max, demand.fault_min) = (companions.end_max, companions.end_earth_min);
    demand.x_over_r = companions.end_x_over_r;
    demand.paths = companions.end_paths;
    if demand.behind_drive {
        // The drive parts the two: what it lacks at its input it lacks at its output.
        demand.running.before_pct =
            supply.checks.iter().find(|check| check.name == "running-voltage-drop").and_then(|own| own.value);
        return;
    }
    let before = companions.impedance.unwrap_or_default() * f64::from(motors);
    demand.running.before = before;
    if let Some(starting) = &mut demand.starting {
        starting.before = before;
    }
}

/// Conductors that are hotter at their ends than terminals are taken to be made for.
pub(crate) fn hot_ends(code: &'static Code, subject: &str, size: &str, hot: HotEnds) -> Finding {
    Finding::new(
        code,
        format!(
            "{subject}: {} runs at {} °C at its current; terminals are taken to be made for {} °C",
            size.replace("mm2", "mm²"),
            round_to(hot.conductor.0, 0),
            hot.unasked.0
        ),
    )
    .why("a hotter conductor heats the device that it ends in: releases trip early, terminals loosen")
    .cure("see that the makers admit it at both ends, or take a larger conductor")
    .reference(hot.reference)
}

/// A raceway in air that is hotter than it may be used in.
pub(crate) fn hot_raceway(code: &'static Code, subject: &str, hot: HotRaceway, units: Units) -> Finding {
    Finding::new(
        code,
        format!(
            "{subject}: {} in air of {}; it may be used up to {}",
            words::brief(units, hot.kind),
            units.temperature(hot.air.0),
            units.temperature(hot.most.0)
        ),
    )
    .why("it softens, sags and pulls out of its fittings")
    .cure("choose another raceway, or show that this one is listed for such air")
    .reference(hot.reference)
}

fn settle(case: &Case, demand: &RunDemand, choice: RunChoice, tools: &Tools<'_>, circuit: &mut Circuit, record: &mut Record) {
    let units = Units::of(tools.book.key());
    if let Some(refused) = &choice.refused {
        record.find(
            Finding::new(&codes::C601_NO_CABLE, refused.clone())
                .at(case.route.place.clone())
                .cure("correct the row or the basis"),
        );
        return;
    }
    circuit.checks.extend(choice.checks);
    for own in &choice.companions.raceways {
        let Some(ratio) = own.jam_ratio else { continue };
        record.find(
            Finding::new(
                &codes::C606_JAM,
                format!(
                    "{} run: three conductors in {}, trade size {}, have a jam ratio of {}",
                    words::brief(units, demand.role),
                    words::brief(units, own.kind),
                    own.trade_size,
                    round_to(ratio, 2)
                ),
            )
            .at(case.place.clone())
            .why("from 2.8 to 3.2 three conductors may line up and wedge in a bend")
            .cure("pull with care, or write a larger minimum_raceway in the basis")
            .reference("NFPA 70, Chapter 9 Table 1, informational note 2"),
        );
    }
    let Some(run) = choice.run else {
        record.find(
            Finding::new(
                &codes::C601_NO_CABLE,
                format!(
                    "no {} of the book holds for the {} run: {} A over {} {}",
                    units.pick("cable", "conductor"),
                    units.pick(demand.role.into(), words::brief(units, demand.role)),
                    round_to(demand.current.0, 1),
                    units.length(demand.length.map_or(0.0, |length| length.0)),
                    units.length_unit()
                ),
            )
            .at(case.place.clone())
            .cure(units.pick(
                "shorten the run, choose another installation, or allow a larger voltage drop; the checks say which limit fails",
                "shorten the run, choose another raceway, or allow a larger voltage drop; the checks say which limit fails",
            )),
        );
        return;
    };
    if choice.part_missing {
        record.find(
            Finding::new(
                &codes::C604_NO_CABLE_PART,
                units.pick(
                    format!(
                        "the catalogue holds no cable of {} {} {} with {} cores",
                        run.phase_size, run.material, run.insulation, run.cores
                    ),
                    format!(
                        "the catalogue holds no conductor {} {} {}",
                        run.phase_size,
                        words::brief(units, &run.material),
                        words::brief(units, &run.insulation)
                    ),
                ),
            )
            .at(case.place.clone())
            .cure(units.pick("add the cable to the catalogue", "add the conductor to the catalogue")),
        );
    }
    if demand.part == RunPart::DriveOutput && units == Units::Metric {
        record.find(behind_drive(case));
    }
    if let Some(hot) = tools.book.hot_at_terminals(demand, Amperes(run.capacity_a), record) {
        let subject = format!("{} run", words::brief(units, demand.role));
        record.find(hot_ends(&codes::C614_HOT_ENDS, &subject, &run.phase_size, hot).at(case.place.clone()));
    }
    if let Some(hot) = tools.book.hot_raceway(demand) {
        let subject = format!("{} run", words::brief(units, demand.role));
        record.find(hot_raceway(&codes::C616_HOT_RACEWAY, &subject, hot, units).at(case.place.clone()));
    }
    if choice.unscreened {
        record.find(
            Finding::new(
                &codes::C610_UNSCREENED,
                format!(
                    "the catalogue holds no screened cable of {} for the run from drive to motor; single cores are listed",
                    run.phase_size
                ),
            )
            .at(case.place.clone())
            .cure("add a screened cable to the catalogue, or have the drive's maker admit single cores (EMC, bearing currents)")
            .reference("IEC 61800-3; the drive's instructions"),
        );
    }
    // The terminals meant are the load's: those at the end of a supply run count only until a further run leads on.
    let first = circuit.runs.is_empty();
    if first || !demand.behind_drive && circuit.runs.iter().all(|run| run.role == SUPPLY) {
        circuit.fault = choice.fault;
    }
    // Of several motors each has its run: the role of all others stands before the starter.
    let count = if demand.role == SUPPLY { 1 } else { case.motors };
    circuit.parts.extend(choice.parts.into_iter().map(|part| so_often(part, count)));
    circuit.runs.push(Run { count, ..run });
}

/// The parts of so many runs alike.
fn so_often(part: Part, count: u32) -> Part {
    Part { quantity: round_to(part.quantity * f64::from(count), 3), cuts: part.cuts * count, ..part }
}

/// Faults behind a drive, and what of them is checked where a bypass leads around it.
fn behind_drive(case: &Case) -> Finding {
    let what = if case.start.over_bypass() {
        "behind the drive its electronics clear a fault; disconnection and what the motor cable withstands are checked for the bypass"
    } else {
        "a fault at the drive's output is cleared by its electronics: disconnection and what the motor cable withstands are not checked"
    };
    Finding::new(&codes::C611_BEHIND_DRIVE, what)
        .at(case.place.clone())
        .cure("take both from the drive's instructions, with the longest cable that they admit")
        .reference("IEC 60364-4-41, 411.3.2; IEC 61800-5-1")
}

/// What to do where no length is read; a column that seems to hold it is named.
fn length_cure(case: &Case, units: Units) -> String {
    let column = units.pick("cable_length_m", "cable_length_ft");
    match &case.route.unread_length {
        Some(heading) => {
            format!("enter {column}; if the column `{heading}`, which is not read, holds it: --map '{heading}={column}'")
        }
        None => format!("enter {column}"),
    }
}

fn demands(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    book: &dyn RuleBook,
) -> Vec<RunDemand> {
    let base = base(case, currents, assembly, point, book);
    let mut runs = Vec::new();
    if let (Some(length), false) = (case.route.supply_length, assembly.arrangement.runs == Runs::DriveOutput) {
        runs.push(RunDemand { role: SUPPLY, length: Some(length), equipment_rating: None, ..base.clone() });
    }
    match assembly.arrangement.runs {
        Runs::One => runs.push(of_one(case, assembly, motor_side(case, currents, assembly, base))),
        Runs::SixLeads => runs.push(six_leads(case, currents, assembly, base)),
        Runs::TwoSpeeds => {
            let low = currents.low.unwrap_or(currents.full_load);
            let setting = assembly.relays.iter().find(|relay| relay.place.position == "low").map_or(low, |relay| relay.setting);
            let start = base.starting.map(|own| DropDemand { current: low * case.start.ratio.value, ..own });
            let slow = RunDemand {
                role: "motor-low",
                part: RunPart::LowSpeed,
                current: low,
                running: DropDemand { current: low, ..base.running },
                starting: start,
                overload: OverloadDevice::Setting(setting),
                ..base.clone()
            };
            runs.push(RunDemand { part: RunPart::HighSpeed, ..base });
            runs.push(slow);
        }
        Runs::DriveOutput => drive_runs(case, currents, assembly, base, &mut runs),
        Runs::Rotor => {
            let rotor = case.machine.rotor_current.unwrap_or(currents.full_load);
            let leads = RunDemand {
                role: "rotor",
                part: RunPart::Rotor,
                current: rotor,
                // What drops here adds to the slip: it is told against the rotor voltage where that is known.
                running: DropDemand {
                    current: rotor,
                    across: case.machine.rotor_voltage.map_or(base.running.across, Across::three_phase),
                    ..base.running
                },
                starting: None,
                overload: OverloadDevice::Load,
                // No supply stands behind a rotor: no fault current of the board flows there.
                behind_drive: true,
                ..base.clone()
            };
            runs.push(base);
            runs.push(leads);
        }
    }
    runs
}

/// The run of a circuit with one run, on which the others are modelled.
fn base(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, point: &SupplyPoint, book: &dyn RuleBook) -> RunDemand {
    let machine = &case.machine;
    let three = machine.phases == 3;
    let line = if three { machine.voltage.0 } else { point.voltage.0.max(machine.voltage.0) };
    let to_earth = if three {
        Volts(machine.voltage.0 / 3f64.sqrt())
    } else if machine.neutral {
        machine.voltage
    } else {
        Volts(line / 3f64.sqrt())
    };
    let across = if three { Across::three_phase(machine.voltage) } else { Across::two_wires(machine.voltage) };
    let current = if machine.kind == LoadKind::Capacitor { currents.conductor } else { assembly.line };
    let power_factor = machine.power_factor.map_or_else(|| book.other_power_factor(), |known| known.value);
    let route = &case.route;
    let (drop_limit, drop_before) = book.circuit_drop(route.running_drop_pct, route.feeder_drop_pct, point.drop_running_pct);
    let by_drive = case.start.method == Method::Drive && !case.start.over_bypass();
    let starts = machine.kind == LoadKind::Motor && !case.start.method.supply_only() && !by_drive;
    let starting = starts.then_some(DropDemand {
        current: assembly.starting,
        power_factor: case.start.power_factor.value,
        limit_pct: case.route.starting_drop_pct,
        before_pct: None,
        before: Impedance::default(),
        referred: 1.0,
        across,
    });
    RunDemand {
        role: "motor",
        part: if machine.kind == LoadKind::Motor { RunPart::Line } else { RunPart::Load },
        current,
        need: current,
        motor_circuit: matches!(machine.kind, LoadKind::Motor | LoadKind::Packaged | LoadKind::Capacitor),
        device_rating: assembly.protection.as_ref().map(|own| own.rating),
        grounding_basis: assembly.grounding,
        wet: case.route.wet,
        rooftop: case.route.rooftop,
        termination: case.route.termination,
        minimum_raceway: case.route.minimum_raceway.clone(),
        equipment_rating: machine.equipment_rating,
        own_circuits: 1,
        loaded: if three { 3 } else { 2 },
        third_harmonic: machine.third_harmonic.map(|known| known.value),
        cores: match (three, machine.neutral) {
            (true, true) => 5,
            (true, false) => 4,
            _ => 3,
        },
        voltage: machine.voltage,
        to_earth,
        frequency_hz: machine.frequency_hz,
        phases: machine.phases,
        length: case.route.length,
        route: case.route.installation.clone(),
        air: case.route.ambient,
        ground: case.route.ground,
        soil: case.route.soil,
        grouped: case.route.grouped,
        material: case.route.material,
        insulation: case.route.insulation.clone(),
        minimum_mm2: case.route.minimum_mm2,
        running: DropDemand {
            current,
            power_factor,
            limit_pct: drop_limit,
            before_pct: drop_before,
            before: Impedance::default(),
            referred: 1.0,
            across,
        },
        starting,
        overload: overload(case, assembly, book),
        fault: fault(assembly),
        behind_drive: false,
        leakage: case.start.method == Method::Drive,
        fault_max: point.fault_max,
        fault_min: point.fault_min,
        x_over_r: point.x_over_r,
        paths: point.paths,
        earthing: point.earthing.clone(),
        class_factor: class_factor(assembly),
    }
}

/// Slow classes heat the cable while the motor starts: √(class/10), as for the other devices.
fn class_factor(assembly: &Assembly<'_>) -> f64 {
    assembly
        .relays
        .iter()
        .filter_map(|relay| relay.class.trim_end_matches('A').parse::<f64>().ok())
        .fold(1.0, |factor: f64, class| factor.max((class.max(10.0) / 10.0).sqrt()))
}

/// What protects the run against overload: the relay or release through which all of its current flows, else the device itself.
fn overload(case: &Case, assembly: &Assembly<'_>, book: &dyn RuleBook) -> OverloadDevice {
    // A capacitor's current follows from its size, a heater's from its resistance; their device still protects the run.
    if case.machine.kind == LoadKind::Capacitor {
        return OverloadDevice::Load;
    }
    let line = assembly
        .relays
        .iter()
        .filter(|relay| relay.kind != "in-drive")
        .find(|relay| matches!(relay.place.position, "line" | "high"));
    if let Some(relay) = line {
        let whole = (relay.factor - 1.0).abs() < 1e-9;
        if whole {
            return OverloadDevice::Setting(relay.setting);
        }
    }
    let Some(protection) = &assembly.protection else { return OverloadDevice::Missing };
    // 433.3.1: a heater cannot be overloaded; anything else can.
    let bare = if case.machine.kind == LoadKind::Heater { OverloadDevice::Load } else { OverloadDevice::Missing };
    match protection.device {
        Device::Motor(_) => OverloadDevice::Setting(protection.setting.unwrap_or(protection.rating)),
        Device::Moulded(own) if own.release == "magnetic" => winding_relays(assembly).map_or(bare, OverloadDevice::Setting),
        Device::Moulded(_) => {
            OverloadDevice::Breaker(protection.setting.unwrap_or(protection.rating), book.conventional_trip(None))
        }
        Device::Line(own) => OverloadDevice::Breaker(protection.rating, book.conventional_trip(Some(&own.curve))),
        Device::Fuse(own) if own.kind == "aM" || !assembly.relays.is_empty() => {
            winding_relays(assembly).map_or(bare, OverloadDevice::Setting)
        }
        Device::Fuse(_) => OverloadDevice::Fuse(protection.rating),
        Device::Branch(own) if own.kind == "instantaneous" => winding_relays(assembly).map_or(bare, OverloadDevice::Setting),
        Device::Branch(_) => OverloadDevice::Breaker(protection.rating, book.conventional_trip(None)),
    }
}

/// Line current that relays in the winding leads admit: their setting over their share.
fn winding_relays(assembly: &Assembly<'_>) -> Option<Amperes> {
    assembly
        .relays
        .iter()
        .filter(|relay| relay.factor > 0.0)
        .map(|relay| Amperes(relay.setting.0 / relay.factor))
        .reduce(Amperes::max)
}

fn fault(assembly: &Assembly<'_>) -> Option<(FaultDevice, Amperes, f64)> {
    let protection = assembly.protection.as_ref()?;
    let device = match protection.device {
        Device::Fuse(own) if own.kind == "aM" => FaultDevice::Am(protection.rating),
        Device::Fuse(_) => FaultDevice::Gg(protection.rating),
        _ => FaultDevice::Magnetic(Amperes(protection.magnetic?[2])),
    };
    Some((device, protection.rating, protection.device.let_through()))
}

/// One run from starter to machine: the current at that side of the starter flows in it. Behind an autotransformer it is the higher one.
fn motor_side(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, base: RunDemand) -> RunDemand {
    let current = currents.full_load * assembly.arrangement.relay_multiple(&case.start);
    let starting = base.starting.map(|own| DropDemand { current: own.current.max(current), ..own });
    RunDemand { starting, ..base }
}

/// The run to one of several motors: its share of every current, protected against overload by its own relay, against short circuit by the
/// device for all of them. All begin side by side at one starter, so that each warms the others.
fn of_one(case: &Case, assembly: &Assembly<'_>, run: RunDemand) -> RunDemand {
    if case.motors < 2 {
        return run;
    }
    let share = 1.0 / f64::from(case.motors);
    let shared = |drop: DropDemand| DropDemand { current: drop.current * share, ..drop };
    let own = assembly.relays.iter().find(|relay| relay.place.position == OF_ONE_MOTOR);
    RunDemand {
        current: run.current * share,
        running: shared(run.running),
        starting: run.starting.map(shared),
        overload: own.map_or(OverloadDevice::Missing, |relay| OverloadDevice::Setting(relay.setting)),
        grouped: run.grouped.max(1).saturating_add(case.motors - 1),
        ..run
    }
}

/// Six leads: each carries 1/√3 (or its half of a part winding) and both sets count in their group.
fn six_leads(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, base: RunDemand) -> RunDemand {
    let part_winding = case.start.method == Method::PartWinding;
    let share = if part_winding { 0.5 } else { 1.0 / 3f64.sqrt() };
    let current = currents.full_load * share;
    let line = case.machine.voltage;
    // A winding in delta stands across the line with a lead on either end; in star across the phase voltage, again with two.
    let running = if part_winding { Across::three_phase(line) } else { Across::two_wires(line) };
    let inside_delta = 3.0;
    let referred = if part_winding { 1.0 / share } else { inside_delta };
    let soft = case.start.method == Method::SoftStarterInsideDelta;
    let starting = base.starting.map(|own| {
        let (current, across, referred) = if part_winding {
            (own.current, Across::three_phase(line), 1.0)
        } else if soft {
            (own.current * share, Across::two_wires(line), inside_delta)
        } else {
            (own.current, Across::two_wires(Volts(line.0 / 3f64.sqrt())), 1.0)
        };
        DropDemand { current, across, referred, ..own }
    });
    // Relays in the leads protect them at their setting; else a device in the line does, at its share.
    let in_leads = assembly.relays.iter().filter(|relay| (relay.factor - share).abs() < 1e-3).map(|relay| relay.setting);
    let overload = in_leads.reduce(Amperes::max).map_or_else(|| shared(base.overload, share), OverloadDevice::Setting);
    RunDemand {
        role: if part_winding { "motor" } else { "star-delta-leads" },
        part: if part_winding { RunPart::PartWindingHalf } else { RunPart::WindingLeads },
        current,
        own_circuits: 2,
        cores: 7,
        running: DropDemand { current, across: running, referred, ..base.running },
        starting,
        overload,
        ..base
    }
}

/// A device in the line, seen from leads that carry a share of its current.
fn shared(device: OverloadDevice, share: f64) -> OverloadDevice {
    match device {
        OverloadDevice::Setting(setting) => OverloadDevice::Setting(setting * share),
        OverloadDevice::Breaker(rating, trips) => OverloadDevice::Breaker(rating * share, trips),
        // A smaller fuse-link has a fusing multiple that is not lower: the safer side.
        OverloadDevice::Fuse(rating) => OverloadDevice::Fuse(rating * share),
        own => own,
    }
}

/// Supply run to a drive that stands apart, and the output run. The device at the board proves nothing behind the drive; over a bypass it
/// feeds the motor itself, so that the output run is judged as one on the line.
fn drive_runs(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, base: RunDemand, runs: &mut Vec<RunDemand>) {
    if let Some(length) = case.route.supply_length {
        runs.push(RunDemand {
            role: SUPPLY,
            part: RunPart::DriveInput,
            length: Some(length),
            current: assembly.line,
            ..base.clone()
        });
    }
    let current = currents.full_load;
    let bypass = case.start.over_bypass();
    let output = RunDemand {
        role: "motor",
        part: RunPart::DriveOutput,
        current,
        length: case.route.length.map(|own| Metres(own.0)),
        running: DropDemand { current, ..base.running },
        starting: base.starting.filter(|_| bypass),
        overload: if bypass { on_bypass(assembly) } else { OverloadDevice::Load },
        behind_drive: !bypass,
        // What leaks returns to the drive over the screen and this conductor: only the way from the supply to the drive is reinforced.
        leakage: false,
        ..base
    };
    runs.push(of_one(case, assembly, output));
}

/// What protects the run of a motor against overload while its bypass feeds it: the relay there.
fn on_bypass(assembly: &Assembly<'_>) -> OverloadDevice {
    let relay = assembly.relays.iter().find(|relay| relay.place.position == "bypass");
    relay.map_or(OverloadDevice::Missing, |relay| OverloadDevice::Setting(relay.setting))
}
