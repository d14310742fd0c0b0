//! Conductors of a feeder: what they carry as they are laid, their protective conductor, their impedance, and the criteria that need
//! nothing but the device and the fault current where the feeder begins.

use crate::basis::BoardBasis;
use crate::design::Run;
use crate::finding::codes;
use crate::load::Method;
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Ohms, Volts, fits};
use crate::record::Record;
use crate::rules::conductors::{Candidate, DropDemand, FaultDevice, FaultPaths, OverloadDevice, RunDemand, RunPart};
use crate::rules::feeders::FeederImpedance;
use crate::rules::physics::drop::Across;
use crate::rules::units::METRES_A_FOOT;
use crate::verify::boards::feeders::device::by_motors;
use crate::verify::boards::feeders::incoming;
use crate::verify::boards::tree::Place;
use crate::verify::boards::{Boards, Say, near};
use crate::verify::runs::material;
use crate::verify::shelf::Item;

/// The way of a feeder by its run: what its conductors carry as they are laid, their protective conductor, their impedance.
pub(super) fn agree(all: &Boards<'_>, place: &Place<'_>, index: usize, run: &Run, say: Say<'_>) {
    let board = place.board;
    let length = place.basis.and_then(length_of).unwrap_or(0.0);
    if (run.length_m - length).abs() > 1e-6 * length.max(1.0) || run.role != "feeder" {
        say(&codes::V702_LENGTH, format!("its feeder is {} m long; the basis states {length} m", run.length_m));
    }
    let size = all.book.size_of(&run.phase_size);
    if size.is_none_or(|size| (size - run.phase_area_mm2).abs() > 1e-4) {
        say(&codes::V703_SIZE, format!("its feeder is called {}, with an area of {} mm²", run.phase_size, run.phase_area_mm2));
    }
    let neutral = run.neutral_size.is_some();
    let lines = all.lines(index);
    let cores = match (lines, neutral) {
        (1, _) => 3,
        (lines, true) => lines + 2,
        (lines, false) => lines + 1,
    };
    let known = all.complete(&all.circuits_behind(index));
    let lacks_neutral = lines > 1 && !neutral && known && incoming::neutral(all, index);
    if run.cores != cores || lacks_neutral {
        say(&codes::V703_SIZE, format!("its feeder has {} cores", run.cores));
    }
    let wanted = place.with_spare();
    let chosen = Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase };
    let demand = laid(all, place, index, run);
    let capacity = all.book.capacity(&demand, chosen).map_or(0.0, |capacity| capacity.0);
    if (capacity - run.capacity_a).abs() > 1e-3 {
        say(
            &codes::V704_CAPACITY,
            format!("{} x {} of its feeder carry {capacity:.3} A; it says {} A", run.per_phase, run.phase_size, run.capacity_a),
        );
    }
    let told_small = board.checks.iter().any(|check| check.subject == "feeder run" && check.passed == Some(false));
    if !fits(wanted, run.required_a + 2e-3) || !fits(run.required_a, run.capacity_a + 1e-3) && !told_small {
        say(
            &codes::V704_CAPACITY,
            format!("its feeder carries {} A and says that {} A are required; {wanted:.3} A are", run.capacity_a, run.required_a),
        );
    }
    let device = Some((board.feeder.kind.as_str(), Amperes(board.feeder_protection_a))).filter(|device| !device.0.is_empty());
    let leakage = reinforced(all, place, index);
    let least = all.book.protective_minimum(run.phase_area_mm2, run.per_phase, material(run), device, leakage);
    let protective = all.book.size_of(&run.protective_size);
    if protective.is_none() || least.zip(protective).is_some_and(|(least, area)| !fits(least, area)) {
        say(
            &codes::V705_PROTECTIVE,
            format!("the protective conductor of its feeder is {}; at least {least:?} mm² are asked for", run.protective_size),
        );
    }
    cable(all, run, say);
    criteria(all, place, &demand, chosen, say);
    let told = run.resistance_ohm.zip(run.reactance_ohm).filter(|resistance_ohm| length > 0.0 || *resistance_ohm != (0.0, 0.0));
    let given = all.book.feeder_impedance(&demand, chosen).filter(|_| length > 0.0).map(|impedance| impedance.running);
    let so = match (told, given) {
        (Some((r, x)), Some(impedance)) => near(r, impedance.r.0, 2e-6) && near(x, impedance.x.0, 2e-6),
        (None, None) => true,
        _ => false,
    };
    if !so {
        say(&codes::V854_FEEDER_CONDUCTOR, format!("its feeder is said to have {told:?} Ω; its conductors have {given:?}"));
    }
}

/// A drive stands behind the feeder with no transformer between, and the conductor is not one that others chose.
fn reinforced(all: &Boards<'_>, place: &Place<'_>, index: usize) -> bool {
    if place.basis.is_some_and(|board| board.feeder_conductor.is_some()) {
        return false;
    }
    let mut boards = vec![index];
    let mut next = 0;
    while let Some(board) = boards.get(next).copied() {
        boards.extend(all.tree.fed_by(board).filter(|(_, place)| place.transformer.is_none()).map(|(index, _)| index));
        next += 1;
    }
    let drive = |at: &usize| all.load(*at).is_some_and(|load| load.facts.start.method == Method::Drive);
    boards.iter().any(|board| all.circuits_on[*board].iter().any(drive))
}

fn length_of(board: &BoardBasis) -> Option<f64> {
    let feet = board.feeder_length_ft.map(|feet| feet * METRES_A_FOOT);
    board.feeder_length_m.into_iter().chain(feet).reduce(f64::max)
}

/// The cable is one of its material, insulation, size and number of cores.
fn cable(all: &Boards<'_>, run: &Run, say: Say<'_>) {
    if run.part.is_empty() {
        return;
    }
    let so = all.shelf.cable(&run.part).is_some_and(|cable| {
        let single = cable.cores == 1 && cable.protective_mm2.is_none();
        cable.material == run.material
            && !cable.screened
            && [run.insulation.as_str(), all.book.bought_insulation(&run.insulation)].contains(&cable.insulation.as_str())
            && (cable.size_mm2 - run.phase_area_mm2).abs() < 1e-4
            && (cable.cores == run.cores || single)
    });
    if !so {
        say(&codes::V706_CABLE, format!("{} is not the cable of its feeder", run.part));
    }
}

/// The criteria that need nothing but the device and the fault current where the feeder begins: none is failed that is called passed.
fn criteria(all: &Boards<'_>, place: &Place<'_>, demand: &RunDemand, chosen: Candidate, say: Say<'_>) {
    const TRIED: &[&str] = &["current-carrying-capacity", "overload-protection", "fault-withstand"];
    for criterion in all.book.criteria().iter().filter(|criterion| TRIED.contains(&criterion.name)) {
        let told =
            place.board.checks.iter().any(|check| {
                check.name == criterion.name && check.subject.starts_with("feeder run") && check.passed != Some(true)
            });
        let outcome = (criterion.judge)(demand, chosen, &mut Record::silent());
        if outcome.is_some_and(|outcome| outcome.passed == Some(false)) && !told {
            say(
                &codes::V854_FEEDER_CONDUCTOR,
                format!(
                    "its feeder fails {}: {:?} against {:?}",
                    criterion.name,
                    outcome.map(|outcome| outcome.value),
                    outcome.map(|outcome| outcome.limit)
                ),
            );
        }
    }
}

/// The run of a feeder as it is laid and protected.
fn laid(all: &Boards<'_>, place: &Place<'_>, index: usize, run: &Run) -> RunDemand {
    let (design, defaults) = (&all.basis.design, all.book.defaults());
    let board = place.board;
    let single = all.tree.phases(index) == 1;
    let volts = Volts(board.voltage_v);
    let device = (!board.feeder.kind.is_empty()).then_some(Amperes(board.feeder_protection_a));
    let across = if single { Across::two_wires(volts) } else { Across::three_phase(volts) };
    let before = all.tree.parent(index).filter(|_| place.transformer.is_none()).map(|parent| all.tree.places[parent].board);
    let kiloamperes = |ka: Option<f64>| ka.map(|ka| Amperes(ka * 1000.0));
    RunDemand {
        role: "",
        part: RunPart::Load,
        current: Amperes(board.demand_current_a),
        need: Amperes(place.with_spare()),
        motor_circuit: by_motors(all, index),
        device_rating: device,
        // A device that motors raise says nothing of the current for which the terminals are.
        circuit_rating: device.filter(|_| !by_motors(all, index)),
        grounding_basis: None,
        wet: false,
        rooftop: false,
        termination: design.termination_c.map(Celsius),
        minimum_raceway: None,
        equipment_rating: None,
        unrated_equipment: false,
        own_circuits: 1,
        loaded: if all.lines(index) == 2 && run.neutral_size.is_none() || all.lines(index) == 1 { 2 } else { 3 },
        third_harmonic: None,
        cores: run.cores,
        voltage: volts,
        to_earth: Volts(board.voltage_v / 3f64.sqrt()),
        frequency_hz: all.basis.supply.frequency_hz.unwrap_or_else(|| all.book.frequency_hz()),
        phases: if single { 1 } else { 3 },
        length: place.basis.and_then(length_of).map(Metres),
        route: run.installation.split('+').map(str::to_owned).collect(),
        air: Celsius(design.ambient_c.unwrap_or(defaults.ambient_c)),
        ground: Celsius(design.ground_c.unwrap_or(defaults.ground_c)),
        soil: design.soil_k_m_w.unwrap_or(defaults.soil_k_m_w),
        grouped: 1,
        material: material(run),
        insulation: run.insulation.clone(),
        minimum_mm2: 0.0,
        running: DropDemand {
            current: Amperes(board.demand_current_a),
            power_factor: 1.0,
            limit_pct: 100.0,
            before_pct: None,
            before: Impedance::default(),
            referred: 1.0,
            across,
        },
        starting: None,
        overload: match (device, board.feeder.kind.as_str()) {
            (None, _) => OverloadDevice::Missing,
            (Some(rating), "gG") => OverloadDevice::Fuse(rating),
            (Some(rating), _) => OverloadDevice::Breaker(rating, all.book.conventional_trip(None)),
        },
        fault: fault_device(all, place),
        behind_drive: false,
        leakage: reinforced(all, place, index),
        fault_max: before.and_then(|board| kiloamperes(board.prospective_fault_ka)),
        fault_min: None,
        x_over_r: None,
        paths: FaultPaths::default(),
        earthing: None,
        class_factor: 1.0,
    }
}

/// The device against faults, as the catalogue declares it. It may take 5 s: no rating stands in the way of that.
fn fault_device(all: &Boards<'_>, place: &Place<'_>) -> Option<(FaultDevice, Amperes, f64)> {
    let board = place.board;
    let (device, through) = all.shelf.all(&board.feeder.part).find_map(|item| match item {
        Item::Moulded(row) => Some((FaultDevice::Magnetic(Amperes(board.feeder.magnetic_trip_a?)), row.let_through_a2s)),
        Item::Fuse(row) if row.kind == "gG" => Some((FaultDevice::Gg(Amperes(row.rating_a)), row.let_through_a2s)),
        _ => None,
    })?;
    Some((device, Amperes(f64::INFINITY), through))
}

/// Impedances of a feeder: of its run by the book, or as the basis states them.
pub(in crate::verify::boards) fn impedance(all: &Boards<'_>, index: usize) -> Option<FeederImpedance> {
    *all.impedances[index].get_or_init(|| worked_out(all, index))
}

fn worked_out(all: &Boards<'_>, index: usize) -> Option<FeederImpedance> {
    let place = &all.tree.places[index];
    if let Some((r, x)) = place.basis.and_then(|board| board.feeder_r_ohm.zip(board.feeder_x_ohm)) {
        let impedance = Impedance { r: Ohms(r), x: Ohms(x) };
        return Some(FeederImpedance { cold: impedance, running: impedance, hot: impedance, ..FeederImpedance::default() });
    }
    let run = Boards::run(place).filter(|run| run.length_m > 0.0)?;
    all.book.feeder_impedance(&laid(all, place, index, run), Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase })
}
