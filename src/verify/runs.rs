//! Cable runs: those that the method has, in the length that the row states, of a cable that is what the run says, with a capacity, a
//! protective conductor and terminals that hold it.

use crate::design::{Check, Run};
use crate::finding::codes;
use crate::load::{LoadKind, Material, Method};
use crate::quantity::{Amperes, Celsius, Impedance, Metres, fits};
use crate::record::Record;
use crate::rules::conductors::{Candidate, DropDemand, Need, OverloadDevice, RunDemand, RunNeed, RunPart};
use crate::rules::physics::drop::Across;
use crate::rules::physics::material;
use crate::rules::units::METRES_A_FOOT;
use crate::verify::control::is_of_neutral;
use crate::verify::facts::Facts;
use crate::verify::methods::Of;
use crate::verify::shelf::Item;
use crate::verify::{Disagreements, same, shown};

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let runs = &facts.circuit.runs;
    found.unless(facts.circuit.conductors.as_ref() == runs.first(), &codes::V701_RUNS, || {
        "the supply-side run is not the first of its list".to_owned()
    });
    let mut wanted: Vec<&str> = if is_laid(facts) { facts.starter.runs.to_vec() } else { Vec::new() };
    if facts.number("supply_length_m").is_some() {
        wanted.insert(0, "supply");
    }
    // A run for which no cable holds is told by a finding of its own.
    let lacking = facts.told(codes::C601_NO_CABLE.code);
    let roles: Vec<&str> = runs.iter().map(|run| run.role.as_str()).filter(|role| *role != "control").collect();
    found.unless(roles == wanted || lacking, &codes::V701_RUNS, || {
        format!("its runs are {roles:?}; {} asks for {wanted:?}", facts.start.method.word())
    });
    for run in runs.iter().filter(|run| run.role != "control") {
        let each = if run.role == "supply" { 1 } else { facts.motors };
        found.unless(run.count == each, &codes::V701_RUNS, || {
            format!("{} {} runs; {each} are needed, one to each motor", run.count, run.role)
        });
        length(facts, run, found);
        size(facts, run, found);
        capacity(facts, run, found);
        conductors(facts, run, found);
        voltage_drop(facts, run, found);
        cable(facts, run, found);
        terminals(facts, run, found);
        aluminium(facts, run, found);
    }
}

/// A spare way without a length, or with none, has no cable yet.
pub(super) fn is_laid(facts: &Facts<'_>) -> bool {
    facts.circuit.load.running.as_deref() != Some("spare") || motor_run(facts) > 0.0 || facts.number("supply_length_m").is_some()
}

/// Conductors of aluminium are told: no catalogue says that terminals are made for them.
fn aluminium(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    let told = run.material != "aluminium" || facts.told(codes::C615_ALUMINIUM.code);
    found.unless(told, &codes::V707_TERMINALS, || {
        format!("{} run: no finding says that its terminals must suit aluminium", run.role)
    });
}

/// Length of the run to the machine, m: the row's in metres or feet, the longer of both.
pub(super) fn motor_run(facts: &Facts<'_>) -> f64 {
    let feet = facts.number("cable_length_ft").map(|feet| feet * METRES_A_FOOT);
    facts.number("cable_length_m").into_iter().chain(feet).fold(0.0, f64::max)
}

/// The length is the row's.
fn length(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    let of_supply = || facts.number("supply_length_m").unwrap_or(0.0);
    let wanted = if run.role == "supply" { of_supply() } else { motor_run(facts) };
    found.unless((run.length_m - wanted).abs() <= 1e-6 * wanted.max(1.0), &codes::V702_LENGTH, || {
        format!("the {} run is {} m long; the row states {wanted} m", run.role, run.length_m)
    });
}

pub(super) fn material(run: &Run) -> Material {
    if run.material == "aluminium" { Material::Aluminium } else { Material::Copper }
}

/// The size is that of its area and of the criterion that asks for the most.
fn size(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    let size = facts.book.size_of(&run.phase_size);
    found.unless(size.is_some_and(|size| same(size, run.phase_area_mm2)), &codes::V703_SIZE, || {
        format!("the {} run is called {}, with an area of {} mm²", run.role, run.phase_size, run.phase_area_mm2)
    });
    let place = |text: &str| -> Option<(u32, f64)> {
        let (count, size) = text.split_once("x ").map_or((1, text), |(count, size)| (count.parse().unwrap_or(1), size));
        Some((count, facts.book.size_of(size)?))
    };
    let laid = (run.per_phase, run.phase_area_mm2 + 1e-6);
    for criterion in run.criteria.iter().filter(|size| !size.size.is_empty()) {
        found.unless(place(&criterion.size).is_some_and(|least| least <= laid), &codes::V703_SIZE, || {
            format!("{} of the {} run asks for {}, not {}", criterion.criterion, run.role, criterion.size, run.phase_size)
        });
    }
    // Where each of several criteria alone would admit less, the one that asks for the most is said to govern.
    let governs = run.criteria.iter().find(|size| size.criterion == run.governed_by).and_then(|size| place(&size.size));
    let highest = run.criteria.iter().filter_map(|size| place(&size.size)).fold((0, 0.0), |a, b| if b > a { b } else { a });
    found.unless(governs == Some(highest), &codes::V703_SIZE, || {
        format!("{} is said to govern the {} run, but another criterion asks for more", run.governed_by, run.role)
    });
}

/// It carries what is required, as it is laid, and what is required is what the book and the checks ask for.
fn capacity(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    found.unless(fits(run.required_a, run.capacity_a + 1e-3) && run.required_a > 0.0, &codes::V704_CAPACITY, || {
        format!("the {} run carries {} A; {} A are required", run.role, run.capacity_a, run.required_a)
    });
    if let Some((need, demand)) = demand(facts, run) {
        found.unless(fits(need, run.required_a + 1e-3), &codes::V704_CAPACITY, || {
            format!("the {} run must carry {need:.2} A; only {} A are required of it", run.role, run.required_a)
        });
        let chosen = Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase };
        let capacity = facts.book.capacity(&demand, chosen).map_or(0.0, |capacity| capacity.0);
        found.unless((capacity - run.capacity_a).abs() <= 1e-3, &codes::V704_CAPACITY, || {
            format!(
                "{} x {} carries {capacity:.3} A as it is laid; the circuit says {} A",
                run.per_phase, run.phase_size, run.capacity_a
            )
        });
        beside_others(facts, run, (need, demand), found);
    }
    let subject = format!("{} run", run.role);
    let of_capacity = facts.book.criteria().iter().filter(|criterion| criterion.of_capacity);
    let asked = facts.circuit.checks.iter().filter(|check| check.subject == subject);
    let asked =
        asked.filter(|check| of_capacity.clone().any(|criterion| criterion.name == check.name)).filter_map(|check| check.value);
    let most = asked.fold(0.0, f64::max);
    found.unless((most - run.required_a).abs() <= 1e-3, &codes::V704_CAPACITY, || {
        format!("the checks of the {} run ask for {most} A; it says {} A", run.role, run.required_a)
    });
}

/// Resistance of a metre of 1 mm² at 20 °C, Ω: IEC 60028 for annealed copper (1/58), IEC 60889 for hard-drawn aluminium. No conductor of a
/// cable has less.
fn least_resistivity(material: Material) -> f64 {
    match material {
        Material::Copper => 0.017_241,
        Material::Aluminium => 0.028_264,
    }
}

/// The check of the voltage drop tells no less than the bare metal of the run takes at 20 °C, for the active current alone: warmer, with
/// its reactance and with what lies before it the run takes more. Runs whose current is not the whole of the motor's are left out.
fn voltage_drop(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    let method = facts.start.method;
    let whole = match run.role.as_str() {
        "supply" => method != Method::Drive,
        "motor" => !matches!(method, Method::Drive | Method::PartWinding) && !method.two_speeds(),
        _ => false,
    };
    let subject = format!("{} run", run.role);
    let of_drop = |check: &&Check| check.name == "running-voltage-drop" && check.subject == subject;
    let told = facts.circuit.checks.iter().find(of_drop).and_then(|check| check.value);
    let (Some(told), Some(power_factor)) = (told.filter(|_| whole), facts.machine.power_factor) else { return };
    let currents = &facts.circuit.currents;
    let stated = [currents.nameplate_a, currents.table_a, currents.computed_a].into_iter().flatten();
    let least_a = stated.fold(currents.full_load_a, f64::min) / if run.role == "supply" { 1.0 } else { f64::from(facts.motors) };
    let resistance = least_resistivity(material(run)) * run.length_m / (run.phase_area_mm2 * f64::from(run.per_phase.max(1)));
    let (volts, legs) = if facts.machine.phases == 3 { (facts.volts() / 3f64.sqrt(), 1.0) } else { (facts.volts(), 2.0) };
    let least = 100.0 * legs * least_a * resistance * power_factor.value / volts;
    found.unless(fits(least, told + ROUNDING_PCT), &codes::V801_CHECK, || {
        format!("check running-voltage-drop of the {} run tells {told:.3} %; its metal alone takes {least:.3} %", run.role)
    });
}

/// Rounding of a voltage drop in a check, per cent.
const ROUNDING_PCT: f64 = 1e-3;

/// Both ends of three windings, and a protective conductor.
const CORES_OF_LEADS: u32 = 2 * 3 + 1;

/// Cores for all conductors of the load, six leads and a protective one where windings have both ends led out, a neutral where it is
/// connected, and a protective conductor that is large enough.
fn conductors(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    let leads = facts.starter.runs.first() == Some(&"star-delta-leads") || facts.start.method == Method::PartWinding;
    let beside = u32::from(run.role == "supply" && brings_neutral_for_coils(facts, run));
    let cores = if leads && run.role != "supply" { CORES_OF_LEADS } else { cores(facts) + beside };
    found.unless(run.cores == cores, &codes::V703_SIZE, || {
        format!("the {} run has {} cores; {cores} are needed", run.role, run.cores)
    });
    // Six leads go to windings, which have no neutral; what feeds the starter has that of the load.
    let neutral = facts.machine.neutral && (!leads || run.role == "supply") || beside > 0;
    found.unless(
        run.neutral_size.is_some() == neutral || !matches!(run.role.as_str(), "motor" | "supply"),
        &codes::V703_SIZE,
        || format!("whether the {} run has a neutral is not as the load is connected", run.role),
    );
    let device = facts.circuit.protection.as_ref().map(|protection| (protection.kind.as_str(), Amperes(protection.rating_a)));
    // The leakage of a drive flows back to the supply; its motor's conductor follows from the phases alone.
    let leakage = facts.start.method == Method::Drive && run.role == "supply";
    let least = facts.book.protective_minimum(run.phase_area_mm2, run.per_phase, material(run), device, leakage);
    let protective = facts.book.size_of(&run.protective_size);
    let so = protective.is_some_and(|protective| least.is_none_or(|least| fits(least, protective)));
    found.unless(so, &codes::V705_PROTECTIVE, || {
        format!(
            "the protective conductor of the {} run is {}; at least {least:?} mm² are asked for",
            run.role, run.protective_size
        )
    });
}

/// The coils of a starter that stands apart are fed from a line and a neutral that its load does not bring. Where nobody tells what feeds
/// them either may be so.
fn brings_neutral_for_coils(facts: &Facts<'_>, run: &Run) -> bool {
    let of_starter = facts.circuit.control.as_ref().map(|control| control.supply.as_ref());
    let line = facts.basis.board_voltage(&facts.circuit.board);
    // So may heaters and brakes, which stand where no coil does.
    let extra = |column: &str| facts.number(column).is_some_and(|watts| watts > 0.0);
    let taps = match of_starter.zip(line) {
        Some((Some(supply), line)) => is_of_neutral(supply, line),
        Some((None, _)) => run.neutral_size.is_some(),
        None => run.neutral_size.is_some() && (extra("brake_w") || extra("space_heater_w")),
    };
    taps && !facts.machine.neutral
}

/// Live conductors and a protective one.
fn cores(facts: &Facts<'_>) -> u32 {
    match (facts.machine.phases, facts.machine.neutral) {
        (3, true) => 5,
        (3, false) => 4,
        _ => 3,
    }
}

/// The current that the book asks the conductors of a run to carry, and the run as it is laid.
fn demand(facts: &Facts<'_>, run: &Run) -> Option<(f64, RunDemand)> {
    use RunPart::{DriveInput, DriveOutput, HighSpeed, Line, Load, LowSpeed, PartWindingHalf, Rotor, WindingLeads};
    let (currents, method) = (&facts.circuit.currents, facts.start.method);
    let motor = facts.machine.kind == LoadKind::Motor;
    let (part, current) = match run.role.as_str() {
        "star-delta-leads" => (WindingLeads, currents.full_load_a / 3f64.sqrt()),
        // At high speed half of the current of a tapped winding flows through the cable of the low one to the star point.
        "motor-low" if is_tapped(facts) => (LowSpeed, facts.current(Of::LowSpeed).max(facts.line_current() / 2.0)),
        "motor-low" => (LowSpeed, facts.current(Of::LowSpeed)),
        "rotor" => (Rotor, facts.current(Of::Rotor)),
        "supply" if method == Method::Drive => (DriveInput, facts.line_current()),
        "motor" if method == Method::Drive => (DriveOutput, currents.full_load_a),
        "motor" if method == Method::PartWinding => (PartWindingHalf, currents.full_load_a / 2.0),
        "motor" if method.two_speeds() => (HighSpeed, facts.line_current()),
        "motor" | "supply" => (if motor { Line } else { Load }, facts.line_current()),
        _ => return None,
    };
    // Each run of several motors but that to the starter carries its share.
    let current = if run.role == "supply" { current } else { current / f64::from(facts.motors) };
    let currents = facts.rated();
    let (machine, start) = (&facts.machine, &facts.start);
    let ask = RunNeed { part, machine, start, currents: &currents, current: Amperes(current) };
    let need = facts.book.need(&ask, &mut Record::silent());
    let sets = if matches!(part, WindingLeads | PartWindingHalf) { 2 } else { 1 };
    Some((need.capacity.0, laid(facts, run, part, Amperes(current), sets, need)))
}

/// One winding for both speeds, whose ends are a star point at the high one.
fn is_tapped(facts: &Facts<'_>) -> bool {
    facts.start.method.two_speeds() && !facts.starter.star_points.is_empty()
}

/// Circuits that lie together, as the row or the basis states.
fn stated_group(facts: &Facts<'_>) -> Option<u32> {
    facts.number("grouped_circuits").map(crate::verify::facts::whole).or(facts.basis.design.grouped_circuits)
}

/// Where nobody states how many circuits lie together, the run carries its current beside as many as it is said to hold for.
fn beside_others(facts: &Facts<'_>, run: &Run, (need, alone): (f64, RunDemand), found: &mut Disagreements) {
    let asked = stated_group(facts).is_none() && facts.book.groups_cables().is_some();
    found.unless(asked == run.holds_for_circuits.is_some(), &codes::V704_CAPACITY, || {
        format!("the {} run is said to hold for {} circuits side by side", run.role, shown(run.holds_for_circuits))
    });
    let Some(circuits) = run.holds_for_circuits.filter(|circuits| *circuits > 1) else { return };
    let beside = RunDemand { grouped: alone.grouped + circuits - 1, ..alone };
    let chosen = Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase };
    let capacity = facts.book.capacity(&beside, chosen).map_or(0.0, |capacity| capacity.0);
    found.unless(fits(need, capacity + 1e-3), &codes::V704_CAPACITY, || {
        format!("beside others the {} run carries {capacity:.2} A, not {need:.2} A for {circuits} circuits", run.role)
    });
}

/// The run as it is laid. Fields that have nothing to do with its capacity are left open.
fn laid(facts: &Facts<'_>, run: &Run, part: RunPart, current: Amperes, sets: u32, need: Need) -> RunDemand {
    let (design, defaults) = (&facts.basis.design, facts.book.defaults());
    let stated = |name: &str, of_design: Option<f64>, otherwise: f64| facts.number(name).or(of_design).unwrap_or(otherwise);
    let location = facts.words("location").unwrap_or("");
    let drop = DropDemand {
        current,
        power_factor: 1.0,
        limit_pct: 100.0,
        before_pct: None,
        before: Impedance::default(),
        referred: 1.0,
        across: Across::three_phase(facts.machine.voltage),
    };
    RunDemand {
        role: "",
        part,
        current,
        need: need.capacity,
        motor_circuit: true,
        device_rating: None,
        // The device of a motor, of a unit with one, or of a capacitor rides through more than the circuit carries.
        circuit_rating: facts
            .circuit
            .protection
            .as_ref()
            .map(|protection| Amperes(protection.rating_a))
            .filter(|_| !matches!(facts.machine.kind, LoadKind::Motor | LoadKind::Packaged | LoadKind::Capacitor)),
        grounding_basis: None,
        wet: matches!(location, "wet" | "rooftop"),
        rooftop: location == "rooftop",
        termination: design.termination_c.map(Celsius).or(need.termination),
        minimum_raceway: None,
        equipment_rating: None,
        unrated_equipment: false,
        own_circuits: sets,
        loaded: if facts.machine.phases == 3 { 3 } else { 2 },
        third_harmonic: facts.machine.third_harmonic.map(|known| known.value),
        cores: run.cores,
        voltage: facts.machine.voltage,
        to_earth: facts.machine.voltage,
        frequency_hz: facts.machine.frequency_hz,
        phases: facts.machine.phases,
        length: Some(Metres(run.length_m)),
        route: run.installation.split('+').map(str::to_owned).collect(),
        air: Celsius(stated("ambient_c", design.ambient_c, defaults.ambient_c)),
        ground: Celsius(stated("ground_c", design.ground_c, defaults.ground_c)),
        soil: stated("soil_k_m_w", design.soil_k_m_w, defaults.soil_k_m_w),
        // Runs to several motors begin at one place, side by side; so do the two of a tapped winding, which are loaded together.
        grouped: stated_group(facts).unwrap_or(1)
            + if run.role == "supply" { 0 } else { facts.motors - 1 }
            + u32::from(
                matches!(part, RunPart::HighSpeed | RunPart::LowSpeed)
                    && is_tapped(facts)
                    && facts.book.groups_cables().is_some(),
            ),
        material: material(run),
        insulation: run.insulation.clone(),
        minimum_mm2: 0.0,
        running: drop,
        starting: None,
        overload: OverloadDevice::Load,
        fault: None,
        behind_drive: false,
        leakage: false,
        fault_max: None,
        fault_min: None,
        x_over_r: None,
        paths: crate::rules::conductors::FaultPaths::default(),
        earthing: None,
        class_factor: 1.0,
    }
}

/// The cable is one of its material, insulation, size and number of cores.
fn cable(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    if run.part.is_empty() {
        return;
    }
    let Some(cable) = facts.shelf.cable(&run.part) else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{} is no cable of the catalogue", run.part));
        return;
    };
    let halves = run.cores == 7 && cable.cores == 4;
    let single = cable.cores == 1 && cable.protective_mm2.is_none();
    // Between drive and motor a cable of several cores is screened, and no other.
    let screened = run.role == "motor" && facts.start.method == Method::Drive && cable.cores > 1;
    let so = cable.material == run.material
        && cable.screened == screened
        && [run.insulation.as_str(), facts.book.bought_insulation(&run.insulation)].contains(&cable.insulation.as_str())
        && same(cable.size_mm2, run.phase_area_mm2)
        && (cable.cores == run.cores || halves || single);
    let cables = if halves { 2 } else { 1 };
    found.unless(run.cables == cables, &codes::V706_CABLE, || {
        format!("the {} run is said to be {} cables of {}; it is {cables}", run.role, run.cables, run.part)
    });
    found.unless(so, &codes::V706_CABLE, || {
        format!(
            "{} is not the cable of the {} run: {} {} {}, {} cores",
            run.part, run.role, run.phase_size, run.material, run.insulation, run.cores
        )
    });
}

/// Clamping range of the terminal that is bought for a small run that leaves its board or starter; none where it goes to the device itself.
fn panel_terminal(facts: &Facts<'_>, run: &Run) -> Option<[f64; 2]> {
    let small = run.phase_area_mm2 <= material::figure("power-terminal-to", facts.book.key()) + 1e-9;
    let mut of_range = facts.shelf.catalogue.terminals.iter().filter(|terminal| {
        let clamps = fits(terminal.min_mm2, run.phase_area_mm2) && fits(run.phase_area_mm2, terminal.max_mm2);
        terminal.kind == "feed-through" && clamps && fits(run.required_a, terminal.current_a)
    });
    let terminal = of_range.next().filter(|_| small)?;
    Some([terminal.min_mm2, terminal.max_mm2])
}

/// The terminals where the run begins clamp its conductor, or the circuit says that they do not.
fn terminals(facts: &Facts<'_>, run: &Run, found: &mut Disagreements) {
    let protection = || {
        let items = facts.circuit.protection.iter().flat_map(|protection| facts.shelf.all(&protection.part));
        items.filter_map(clamp).collect::<Vec<_>>()
    };
    let relays: Vec<[f64; 2]> = facts
        .circuit
        .overloads
        .iter()
        .filter(|overload| leaves(facts, &overload.role))
        .filter_map(|overload| facts.shelf.relay(&overload.part))
        .map(|row| [row.terminal_min_mm2, row.terminal_max_mm2])
        .collect();
    let contactors: Vec<[f64; 2]> = facts
        .circuit
        .contactors
        .iter()
        .filter(|contactor| leaves(facts, &contactor.role))
        .filter_map(|contactor| facts.shelf.contactor(&contactor.part))
        .map(|(row, _)| [row.terminal_min_mm2, row.terminal_max_mm2])
        .collect();
    let by_terminals: Vec<[f64; 2]> = panel_terminal(facts, run).into_iter().collect();
    if let (Some([_, most]), true) = (by_terminals.first(), run.role != "supply") {
        // Wires to contactors before several motors carry the current of all.
        let thin = contactors.iter().filter(|_| facts.motors == 1);
        let held = relays.iter().chain(thin).all(|[low, _]| fits(*low, *most));
        let subject = format!("{} run, panel wire", run.role);
        let told = facts.circuit.checks.iter().any(|check| check.name == "terminals" && check.subject == subject);
        found.unless(held || told, &codes::V707_TERMINALS, || {
            format!("no wire from the panel terminal of the {} run fits the device behind it", run.role)
        });
    }
    let begins = if !by_terminals.is_empty() {
        by_terminals
    } else if run.role == "supply" {
        protection()
    } else if !relays.is_empty() {
        relays
    } else if !contactors.is_empty() {
        contactors
    } else if in_line(facts) {
        let devices = facts.circuit.starter_devices.iter().flat_map(|device| facts.shelf.all(&device.part));
        devices.filter_map(clamp).collect()
    } else {
        protection()
    };
    let clamps = begins.iter().all(|[low, high]| fits(*low, run.phase_area_mm2) && fits(run.phase_area_mm2, *high));
    let subject = format!("{} run", run.role);
    let told = facts
        .circuit
        .checks
        .iter()
        .any(|check| check.name == "terminals" && check.subject.starts_with(&subject) && check.passed != Some(true));
    found.unless(clamps || told, &codes::V707_TERMINALS, || {
        format!("the terminals at the beginning of the {} run do not clamp {}", run.role, run.phase_size)
    });
}

/// A drive or soft starter carries all that the motor draws.
fn in_line(facts: &Facts<'_>) -> bool {
    matches!(facts.start.method, Method::Drive | Method::SoftStarter)
}

/// A contactor or relay from which conductors go to the motor: those before a drive or soft starter in the line feed that alone.
fn leaves(facts: &Facts<'_>, role: &str) -> bool {
    !in_line(facts) || !matches!(role, "line" | "safety")
}

fn clamp(item: &Item<'_>) -> Option<[f64; 2]> {
    match item {
        Item::Motor(breaker) => Some([breaker.terminal_min_mm2, breaker.terminal_max_mm2]),
        Item::Moulded(breaker) => Some([breaker.terminal_min_mm2, breaker.terminal_max_mm2]),
        Item::Line(breaker) => Some([breaker.terminal_min_mm2, breaker.terminal_max_mm2]),
        Item::Branch(breaker) => Some([breaker.terminal_min_mm2, breaker.terminal_max_mm2]),
        Item::Fuse(fuse) => Some([fuse.terminal_min_mm2, fuse.terminal_max_mm2]),
        Item::Drive(drive) => Some([drive.terminal_min_mm2, drive.terminal_max_mm2]),
        Item::SoftStarter(soft_starter) => Some([soft_starter.terminal_min_mm2, soft_starter.terminal_max_mm2]),
        _ => None,
    }
}
