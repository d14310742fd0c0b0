//! Which runs a circuit has, and what each must do: currents, lengths, voltage drops, faults and overload protection, from case and
//! assembly.

use super::SUPPLY;
use crate::load::{Case, LoadKind, Method};
use crate::quantity::{Amperes, Impedance, Volts};
use crate::rules::conductors::{DropDemand, FaultDevice, OverloadDevice, RunDemand, RunPart};
use crate::rules::physics::drop::Across;
use crate::rules::{RatedCurrents, RuleBook};
use crate::sizing::Tools;
use crate::sizing::arrangement::{OF_ONE_MOTOR, Runs, Share};
use crate::sizing::assembly::{Assembly, Device};
use crate::sizing::control::supply;
use crate::supply::SupplyPoint;

/// States the demand on each run of a circuit, in their order from the board to the machine.
pub(super) fn demands(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
) -> Vec<RunDemand> {
    if !case.route.laid {
        return Vec::new();
    }
    let base = base(case, currents, assembly, point, tools.book);
    let supply_cores = base.cores + u32::from(supply::taps_neutral(case, point, tools));
    let mut runs = Vec::new();
    if let (Some(length), false) = (case.route.supply_length, assembly.arrangement.runs == Runs::DriveOutput) {
        let of_starter = RunDemand { equipment_rating: None, unrated_equipment: false, ..base.clone() };
        runs.push(RunDemand { role: SUPPLY, length: Some(length), cores: supply_cores, ..of_starter });
    }
    match assembly.arrangement.runs {
        Runs::One => runs.push(of_one(case, assembly, motor_side(case, currents, assembly, base))),
        Runs::SixLeads => runs.push(six_leads(case, currents, assembly, base)),
        Runs::TwoSpeeds => runs.extend(two_speeds(case, currents, assembly, base, tools.book)),
        Runs::DriveOutput => drive_runs(case, currents, assembly, (base, supply_cores), &mut runs),
        Runs::Rotor => {
            let rotor = case.machine.rotor_current.unwrap_or(currents.full_load);
            let leads = RunDemand {
                role: "rotor",
                part: RunPart::Rotor,
                current: rotor,
                // The drop here adds to the slip: it is told against the rotor voltage where that is known.
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

/// The cables of two speeds, that of the high one first.
fn two_speeds(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    base: RunDemand,
    book: &dyn RuleBook,
) -> [RunDemand; 2] {
    let low = currents.low.unwrap_or(currents.full_load);
    let setting = assembly.relays.iter().find(|relay| relay.place.position == "low").map_or(low, |relay| relay.setting);
    let start_at = |rated: Amperes| base.starting.map(|drop| DropDemand { current: rated * case.start.ratio.value, ..drop });
    let fast = RunDemand { part: RunPart::HighSpeed, starting: start_at(currents.full_load), ..base.clone() };
    let slow = RunDemand {
        role: "motor-low",
        part: RunPart::LowSpeed,
        current: low,
        running: DropDemand { current: low, ..base.running },
        starting: start_at(low),
        overload: OverloadDevice::Setting(setting),
        ..base
    };
    if assembly.arrangement.star_points.is_empty() { [fast, slow] } else { of_tapped_winding(case, fast, slow, book) }
}

/// At high speed half of the current of a tapped winding flows on through the cable of the low speed to the star point, beside that which
/// feeds it: both are loaded then, and lie side by side where cables are grouped.
fn of_tapped_winding(case: &Case, fast: RunDemand, slow: RunDemand, book: &dyn RuleBook) -> [RunDemand; 2] {
    let beside = u32::from(book.groups_cables().is_some());
    let share = Share::HighStarPoint.factor(&case.start);
    let overload = match (shared(fast.overload, share), slow.overload) {
        (OverloadDevice::Setting(high), OverloadDevice::Setting(low)) => OverloadDevice::Setting(high.max(low)),
        (high, _) => high,
    };
    let slow = RunDemand { current: slow.current.max(fast.current * share), overload, grouped: slow.grouped + beside, ..slow };
    [RunDemand { grouped: fast.grouped + beside, ..fast }, slow]
}

/// The run of a circuit with one run, on which the others are modelled.
fn base(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, point: &SupplyPoint, book: &dyn RuleBook) -> RunDemand {
    let (machine, route) = (&case.machine, &case.route);
    let three = machine.phases == 3;
    let current = if machine.kind == LoadKind::Capacitor { currents.conductor } else { assembly.line };
    let motor_circuit = matches!(machine.kind, LoadKind::Motor | LoadKind::Packaged | LoadKind::Capacitor);
    let rating = assembly.protection.as_ref().map(|protection| protection.rating);
    RunDemand {
        role: "motor",
        part: if machine.kind == LoadKind::Motor { RunPart::Line } else { RunPart::Load },
        current,
        need: current,
        motor_circuit,
        device_rating: rating,
        circuit_rating: rating.filter(|_| !motor_circuit),
        grounding_basis: assembly.grounding,
        wet: route.wet,
        rooftop: route.rooftop,
        termination: route.termination,
        minimum_raceway: route.minimum_raceway.clone(),
        equipment_rating: machine.equipment_rating,
        unrated_equipment: machine.unrated_equipment(),
        own_circuits: 1,
        loaded: if three { 3 } else { 2 },
        third_harmonic: machine.third_harmonic.map(|known| known.value),
        cores: match (three, machine.neutral) {
            (true, true) => 5,
            (true, false) => 4,
            _ => 3,
        },
        voltage: machine.voltage,
        to_earth: to_earth(case, point),
        frequency_hz: machine.frequency_hz,
        phases: machine.phases,
        length: route.length,
        route: route.installation.clone(),
        air: route.ambient,
        ground: route.ground,
        soil: route.soil,
        grouped: route.grouped,
        material: route.material,
        insulation: route.insulation.clone(),
        minimum_mm2: route.minimum_mm2,
        running: running(case, current, point, book),
        starting: starting(case, assembly),
        overload: overload(case, assembly, book),
        fault: fault(assembly),
        behind_drive: false,
        leakage: case.start.method == Method::Drive,
        fault_max: point.fault_max,
        fault_min: point.fault_min,
        x_over_r: point.x_over_r,
        paths: point.paths,
        earthing: point.earthing.clone(),
        class_factor: class_factor(assembly, book),
    }
}

/// Voltage of a live conductor to earth.
fn to_earth(case: &Case, point: &SupplyPoint) -> Volts {
    let machine = &case.machine;
    if machine.phases != 3 && machine.neutral {
        return machine.voltage;
    }
    let line = if machine.phases == 3 { machine.voltage } else { point.voltage.max(machine.voltage) };
    point.paths.to_earth(line)
}

fn across(case: &Case) -> Across {
    let voltage = case.machine.voltage;
    if case.machine.phases == 3 { Across::three_phase(voltage) } else { Across::two_wires(voltage) }
}

/// The voltage drop that is asked while the load runs.
fn running(case: &Case, current: Amperes, point: &SupplyPoint, book: &dyn RuleBook) -> DropDemand {
    let route = &case.route;
    let (limit_pct, before_pct) = book.circuit_drop(route.running_drop_pct, route.feeder_drop_pct, point.drop_running_pct);
    DropDemand {
        current,
        power_factor: case.machine.power_factor.map_or_else(|| book.other_power_factor(), |known| known.value),
        limit_pct,
        before_pct,
        before: Impedance::default(),
        referred: 1.0,
        across: across(case),
    }
}

/// The voltage drop that is asked while the motor starts; none where nothing starts on the line.
fn starting(case: &Case, assembly: &Assembly<'_>) -> Option<DropDemand> {
    let start = &case.start;
    start.starts_on_line(case.machine.kind).then_some(DropDemand {
        current: assembly.starting,
        power_factor: start.power_factor.value,
        limit_pct: case.route.starting_drop_pct,
        before_pct: None,
        before: Impedance::default(),
        referred: 1.0,
        across: across(case),
    })
}

/// Slow classes let the start heat the cable for longer, as they do the other devices.
fn class_factor(assembly: &Assembly<'_>, book: &dyn RuleBook) -> f64 {
    assembly.relays.iter().map(|relay| book.class_factor(&relay.class)).fold(1.0, f64::max)
}

/// The protection of the run against overload: the relay or release through which all of its current flows, else the device
/// itself.
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
        Device::Moulded(breaker) if breaker.release == "magnetic" => {
            winding_relays(assembly).map_or(bare, OverloadDevice::Setting)
        }
        Device::Moulded(_) => {
            OverloadDevice::Breaker(protection.setting.unwrap_or(protection.rating), book.conventional_trip(None))
        }
        Device::Line(breaker) => OverloadDevice::Breaker(protection.rating, book.conventional_trip(Some(&breaker.curve))),
        Device::Fuse(fuse) if fuse.kind == "aM" || !assembly.relays.is_empty() => {
            winding_relays(assembly).map_or(bare, OverloadDevice::Setting)
        }
        Device::Fuse(_) => OverloadDevice::Fuse(protection.rating),
        Device::Branch(breaker) if breaker.kind == "instantaneous" => {
            winding_relays(assembly).map_or(bare, OverloadDevice::Setting)
        }
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
        Device::Fuse(fuse) if fuse.kind == "aM" => FaultDevice::Am(protection.rating),
        Device::Fuse(_) => FaultDevice::Gg(protection.rating),
        _ => FaultDevice::Magnetic(Amperes(protection.magnetic?[2])),
    };
    Some((device, protection.rating, protection.device.let_through()))
}

/// One run from starter to machine: the current at that side of the starter flows in it. Behind an autotransformer it is the higher one.
fn motor_side(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, base: RunDemand) -> RunDemand {
    let current = currents.full_load * assembly.arrangement.relay_multiple(&case.start);
    let starting = base.starting.map(|drop| DropDemand { current: drop.current.max(current), ..drop });
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
    let chosen_relay = assembly.relays.iter().find(|relay| relay.place.position == OF_ONE_MOTOR);
    RunDemand {
        current: run.current * share,
        running: shared(run.running),
        starting: run.starting.map(shared),
        overload: chosen_relay.map_or(OverloadDevice::Missing, |relay| OverloadDevice::Setting(relay.setting)),
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
    let starting = base.starting.map(|drop| {
        let (current, across, referred) = if part_winding {
            (drop.current, Across::three_phase(line), 1.0)
        } else if soft {
            (drop.current * share, Across::two_wires(line), inside_delta)
        } else {
            (drop.current, Across::two_wires(Volts(line.0 / 3f64.sqrt())), 1.0)
        };
        DropDemand { current, across, referred, ..drop }
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
        overload_device => overload_device,
    }
}

/// Supply run to a drive that stands apart, and the output run. The device at the board proves nothing behind the drive; over a bypass it
/// feeds the motor itself, so that the output run is judged as one on the line.
fn drive_runs(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    (base, supply_cores): (RunDemand, u32),
    runs: &mut Vec<RunDemand>,
) {
    if let Some(length) = case.route.supply_length {
        runs.push(RunDemand {
            role: SUPPLY,
            part: RunPart::DriveInput,
            length: Some(length),
            current: assembly.line,
            cores: supply_cores,
            ..base.clone()
        });
    }
    let current = currents.full_load;
    let bypass = case.start.over_bypass();
    let output = RunDemand {
        role: "motor",
        part: RunPart::DriveOutput,
        current,
        running: DropDemand { current, ..base.running },
        starting: base.starting.filter(|_| bypass),
        overload: if bypass { on_bypass(assembly) } else { OverloadDevice::Load },
        behind_drive: !bypass,
        // The leakage returns to the drive over the screen and this conductor: only the way from the supply to the drive is
        // reinforced.
        leakage: false,
        ..base
    };
    runs.push(of_one(case, assembly, output));
}

/// The protection of a motor's run against overload while its bypass feeds it: the relay there.
fn on_bypass(assembly: &Assembly<'_>) -> OverloadDevice {
    let relay = assembly.relays.iter().find(|relay| relay.place.position == "bypass");
    relay.map_or(OverloadDevice::Missing, |relay| OverloadDevice::Setting(relay.setting))
}
