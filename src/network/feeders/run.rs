//! The conductors of a feeder: chosen by the same criteria as those of circuits, or stated and judged by them; or impedances that are
//! stated and taken as they are.

use crate::design::{Check, Run};
use crate::finding::{Finding, codes};
use crate::load::Material;
use crate::network::faults::FaultLevel;
use crate::network::faults::one_phase::line_to_earth;
use crate::network::feeders::device::FeederDevice;
use crate::network::feeders::stated::{self, Stated};
use crate::network::feeders::{Ask, Feeder, voltage};
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Ohms, round_to};
use crate::record::Record;
use crate::rules::conductors::{Candidate, DropDemand, FaultDevice, FaultPaths, OverloadDevice, RunDemand, RunPart};
use crate::rules::feeders::{FeederBounds, FeederImpedance};
use crate::rules::physics::drop::{self, Across};
use crate::rules::physics::plausibility::{written_twice, written_twice_pct};
use crate::rules::units::{METRES_A_FOOT, Units};
use crate::rules::words;
use crate::sizing::Tools;
use crate::sizing::conductors::{RunChoice, holds, judged_run, size_run};
use crate::sizing::judge::{at_most, not_checked};
use crate::sizing::materials::of_feeder;
use crate::sizing::runs::{hot_ends, hot_raceway};
use crate::sizing::terminals::aluminium_ends;
use crate::supply::has_middle;

/// The most that a reinforced protective conductor's phases carry when they are no larger, in amperes: 10 mm² copper, the largest figure of
/// IEC 60364-5-52, Tables B.52.4 and B.52.5 (75 A), rounded up to a device. A larger feeder has larger conductors anyway.
pub(super) const CARRIED_BY_REINFORCED_A: f64 = 80.0;

/// Role of a feeder's run.
pub const ROLE: &str = "feeder";

/// Chooses or judges the conductors and writes them into the feeder.
pub(super) fn choose(
    ask: &Ask<'_>,
    wanted: Amperes,
    bounds: &FeederBounds,
    tools: &Tools<'_>,
    feeder: &mut Feeder,
    record: &mut Record,
) {
    if by_ohms(ask, tools, feeder, record) {
        let clause = tools
            .book
            .criteria()
            .iter()
            .find(|criterion| criterion.name == "current-carrying-capacity")
            .map_or("", |criterion| criterion.reference);
        let because = "only the impedances of the feeder are stated";
        feeder.checks.push(not_checked("current-carrying-capacity", "A", because, clause).about("feeder run"));
        return;
    }
    if !ask.wanted {
        feeder.drop_pct = ask.origin.drop_pct;
        return;
    }
    let stated = stated_conductor(ask, tools, record);
    let unread = ask.board.is_some_and(|board| board.feeder_conductor.is_some()) && stated.is_none();
    say_circumstances(ask, tools, record);
    if unread {
        return;
    }
    let demand = demand(ask, wanted, bounds, feeder.device.as_ref(), stated.as_ref(), tools);
    let mut choice = match &stated {
        Some(stated) => judged_run(&demand, candidate(stated), tools.book, tools.catalogue, record),
        None => sized(&demand, tools, record),
    };
    set_trip(&demand, &mut choice, tools, feeder);
    write(ask, &demand, choice, stated.as_ref(), tools, feeder, record);
}

/// The conductors that hold. Where none does because no size makes the device clear a fault in time, those that hold all else, judged by
/// everything: the checks say what they do not keep, and the boards behind them are not left without figures.
fn sized(demand: &RunDemand, tools: &Tools<'_>, record: &mut Record) -> RunChoice {
    let choice = size_run(demand, tools.book, tools.catalogue, record);
    if choice.run.is_some() || choice.refused.is_some() {
        return choice;
    }
    let apart = RunDemand { fault: None, ..demand.clone() };
    let Some(run) = size_run(&apart, tools.book, tools.catalogue, &mut Record::silent()).run else { return choice };
    let candidate = Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase };
    judged_run(demand, candidate, tools.book, tools.catalogue, record)
}

/// Writes the stated impedances of the feeder of a board without loads.
pub(super) fn stated_only(ask: &Ask<'_>, tools: &Tools<'_>, feeder: &mut Feeder, record: &mut Record) {
    if by_ohms(ask, tools, feeder, record) {
        return;
    }
    if let Some(stated) = stated_conductor(ask, tools, record) {
        let demand = demand(ask, Amperes(0.0), &FeederBounds::default(), None, Some(&stated), tools);
        say_lengths(ask, record);
        feeder.impedance = impedance(ask, &demand, &stated, tools);
        feeder.conductor = in_words(&stated, &demand, tools);
    }
}

/// Takes stated impedances as they are, hot and cold alike.
fn by_ohms(ask: &Ask<'_>, tools: &Tools<'_>, feeder: &mut Feeder, record: &mut Record) -> bool {
    let Some(board) = ask.board else { return false };
    let (r, x) = match (board.feeder_r_ohm, board.feeder_x_ohm) {
        (Some(r), Some(x)) => (r, x),
        (None, None) => return false,
        (r, _) => {
            let (there, missing) = if r.is_some() { ("feeder_r_ohm", "feeder_x_ohm") } else { ("feeder_x_ohm", "feeder_r_ohm") };
            ask.find(
                there,
                Finding::new(&codes::B308_FEEDER_OHMS, format!("board {}: {there} is stated without {missing}", ask.node.name))
                    .why("one of the two alone gives no fault current; it is not used")
                    .cure(format!("state {missing} as well, or the conductor and the length")),
                record,
            );
            return false;
        }
    };
    if board.feeder_conductor.is_some() {
        ask.find(
            "feeder_conductor",
            Finding::new(
                &codes::B308_FEEDER_OHMS,
                format!("board {}: impedances and a conductor are stated; the impedances are taken", ask.node.name),
            )
            .why("the capacity of the conductor is not checked")
            .cure("leave out feeder_r_ohm and feeder_x_ohm, and state the length"),
            record,
        );
    }
    let impedance = Impedance { r: Ohms(r), x: Ohms(x) };
    feeder.impedance =
        Some(FeederImpedance { cold: impedance, running: impedance, hot: impedance, cold_loop: None, hot_loop: None });
    feeder.conductor = format!("{r} Ω + j {x} Ω");
    let running = running(ask, ask.demand.demand, tools);
    let value = drop::running_drop(record, running.across, running.current, impedance, running.power_factor);
    let total = drop::with_before(record, running.before_pct, value);
    feeder.drop_pct = known_drop(ask).then_some(total);
    let (limit, clause) = drop_limit(tools);
    feeder.checks.push(at_most("running-voltage-drop", total, limit, "%", clause).about("feeder run"));
    true
}

/// The drop before the feeder is known, or there is none.
fn known_drop(ask: &Ask<'_>) -> bool {
    ask.origin.drop_pct.is_some() || !matches!(ask.node.parent, crate::network::tree::Parent::Board(_))
}

fn stated_conductor(ask: &Ask<'_>, tools: &Tools<'_>, record: &mut Record) -> Option<Stated> {
    let text = ask.board?.feeder_conductor.as_deref()?;
    let place = ask.place("feeder_conductor", Some(text));
    let find = |finding: Finding, record: &mut Record| {
        record.find(match place.clone() {
            Some(place) => finding.at(place),
            None => finding,
        });
    };
    match stated::read(text, tools.book, |word| tools.book.is_insulation(word)) {
        Ok(stated) => {
            if stated.two_ways() {
                let (size, count) = (tools.book.size_text(stated.size_mm2), stated.most_parallel);
                find(
                    Finding::new(
                        &codes::B306_FEEDER_TWO_WAYS,
                        format!("feeder conductor \"{text}\" may be {count} conductors of {size} a phase, or one cable with {count} cores"),
                    )
                    .why("capacity, voltage drop and smallest fault current are those of one cable, the largest fault current is that of several in parallel")
                    .cure(format!("write \"{count} parallel {size}\" or \"{size}\"")),
                    record,
                );
            }
            let missing = [("material", stated.material.is_none()), ("insulation", stated.insulation.is_none())];
            let missing: Vec<&str> = missing.iter().filter(|(_, missing)| *missing).map(|(name, _)| *name).collect();
            if !missing.is_empty() {
                let (material, insulation) = (material(Some(&stated), tools), insulation(Some(&stated), tools));
                find(
                    Finding::new(
                        &codes::B307_FEEDER_ASSUMED,
                        format!(
                            "feeder conductor \"{text}\" of board {}: {} as in [design], else as the rule book assumes: {} {}",
                            ask.node.name,
                            missing.join(" and "),
                            words::brief(Units::of(tools.book.key()), material_word(material)),
                            insulation
                        ),
                    )
                    .cure("write material and insulation behind the size"),
                    record,
                );
            }
            Some(stated)
        }
        Err(why) => {
            find(
                Finding::new(&codes::B305_FEEDER_TEXT, format!("feeder conductor \"{text}\" of board {} can't be read", ask.node.name))
                    .why(why)
                    .cure(Units::of(tools.book.key()).pick(
                        "write size, material and insulation as \"185 mm2 copper xlpe\", several in parallel as \"2x 185 mm2 copper xlpe\"",
                        "write size, material and insulation as \"250 kcmil copper xhhw-2\", several in parallel as \"2x 250 kcmil copper\"",
                    )),
                record,
            );
            None
        }
    }
}

fn say_circumstances(ask: &Ask<'_>, tools: &Tools<'_>, record: &mut Record) {
    say_lengths(ask, record);
    // Without one the board stands at its supply or transformer.
    if ask.node.feeder && length(ask).is_none() {
        ask.find(
            "feeder_length_m",
            Finding::new(&codes::B316_FEEDER_LENGTH, format!("the length of the feeder of board {} is missing", ask.node.name))
                .why("voltage drop and disconnection are not checked, and the fault currents behind the feeder are unknown unless they are stated")
                .cure(Units::of(tools.book.key()).pick("enter feeder_length_m", "enter feeder_length_ft")),
            record,
        );
    }
    if ask.node.earthing.as_deref().is_some_and(|earthing| earthing.to_ascii_uppercase().starts_with("TT")) {
        ask.find(
            "earthing",
            Finding::new(
                &codes::B317_FEEDER_TT,
                format!(
                    "the feeder of board {} lies in a TT system: a residual-current device must disconnect faults to earth",
                    ask.node.name
                ),
            )
            .cure("add a residual-current device with time delay; it is not in the parts list")
            .reference("IEC 60364-4-41, 411.5"),
            record,
        );
    }
    if ask.node.transformer.is_some() {
        let [what, clause] = tools.book.secondary_conductors();
        ask.find(
            "fed_from",
            Finding::new(&codes::B311_SECONDARY_CONDUCTORS, format!("board {}: {what}", ask.node.name))
                .cure("show length and device of these conductors on the drawings")
                .reference(clause),
            record,
        );
    }
}

/// The shorter and the longer of the lengths that are stated of a feeder.
fn lengths(ask: &Ask<'_>) -> Option<[f64; 2]> {
    let board = ask.board?;
    let stated = || [board.feeder_length_m, board.feeder_length_ft.map(|feet| feet * METRES_A_FOOT)].into_iter().flatten();
    Some([stated().reduce(f64::min)?, stated().reduce(f64::max)?])
}

/// Where both are stated the longer counts, as for circuits; for the largest fault current alone the shorter.
fn length(ask: &Ask<'_>) -> Option<Metres> {
    lengths(ask).map(|[_, longer]| Metres(longer))
}

fn say_lengths(ask: &Ask<'_>, record: &mut Record) {
    let (Some([shorter, longer]), Some(board)) = (lengths(ask), ask.board) else { return };
    let (Some(metres), Some(feet)) = (board.feeder_length_m, board.feeder_length_ft) else { return };
    if !written_twice(shorter, longer) {
        return;
    }
    let what =
        format!("feeder of board {}: {metres} m and {feet} ft differ by more than {} %", ask.node.name, written_twice_pct());
    let finding = Finding::new(&codes::L311_LENGTHS, what)
        .why("the longer is used, and the shorter for the largest fault current")
        .cure("correct the one that is wrong");
    ask.find("feeder_length_ft", finding, record);
}

fn candidate(stated: &Stated) -> Candidate {
    Candidate { size_mm2: stated.size_mm2, parallel: stated.parallel }
}

fn material(stated: Option<&Stated>, tools: &Tools<'_>) -> Material {
    let of_design = match tools.basis.design.conductor.as_deref() {
        Some("aluminium") => Material::Aluminium,
        _ => Material::Copper,
    };
    stated.and_then(|stated| stated.material).unwrap_or(of_design)
}

/// The material of a word.
pub(super) fn material_of(word: &str) -> Material {
    if word == "aluminium" { Material::Aluminium } else { Material::Copper }
}

fn material_word(material: Material) -> &'static str {
    if material == Material::Copper { "copper" } else { "aluminium" }
}

fn insulation(stated: Option<&Stated>, tools: &Tools<'_>) -> String {
    let of_design = tools.basis.design.insulation.as_deref().unwrap_or(tools.book.defaults().insulation).to_lowercase();
    stated.and_then(|stated| stated.insulation.clone()).unwrap_or(of_design)
}

/// Methods of installation along the route.
fn route(ask: &Ask<'_>, tools: &Tools<'_>) -> Vec<String> {
    let of_board = ask.board.and_then(|board| board.feeder_installation.as_deref());
    let text = of_board.or(tools.basis.design.installation_method.as_deref()).unwrap_or(tools.book.defaults().installation);
    text.split(['+', '/', ',']).map(|part| part.trim().to_uppercase()).filter(|part| !part.is_empty()).collect()
}

fn minimum_mm2(material: Material, tools: &Tools<'_>) -> f64 {
    let (design, defaults) = (&tools.basis.design, tools.book.defaults());
    let smallest = if material == Material::Copper { defaults.minimum_copper_mm2 } else { defaults.minimum_aluminium_mm2 };
    let written = design.minimum_size_awg.as_deref().and_then(|text| tools.book.size_of(text));
    [design.minimum_size_mm2, written].into_iter().flatten().fold(smallest, f64::max)
}

/// Largest voltage drop along the feeders, per cent, and where it comes from.
fn drop_limit(tools: &Tools<'_>) -> (f64, &'static str) {
    tools.basis.design.feeder_drop_pct.map_or_else(|| tools.book.feeder_drop_pct(), |pct| (pct, "feeder_drop_pct of the basis"))
}

fn running(ask: &Ask<'_>, current: Amperes, tools: &Tools<'_>) -> DropDemand {
    let line = voltage(ask.node, tools);
    DropDemand {
        current,
        power_factor: ask.power_factor(tools.book),
        limit_pct: drop_limit(tools).0,
        before_pct: ask.origin.drop_pct,
        before: Impedance::default(),
        referred: 1.0,
        across: if ask.node.phases == 1 { Across::two_wires(line) } else { Across::three_phase(line) },
    }
}

fn demand(
    ask: &Ask<'_>,
    wanted: Amperes,
    bounds: &FeederBounds,
    device: Option<&FeederDevice>,
    stated: Option<&Stated>,
    tools: &Tools<'_>,
) -> RunDemand {
    let design = &tools.basis.design;
    let defaults = tools.book.defaults();
    let material = material(stated, tools);
    let line = voltage(ask.node, tools);
    let single = ask.node.phases == 1;
    let level = &ask.origin.level;
    RunDemand {
        role: ROLE,
        part: RunPart::Load,
        current: wanted.max(ask.demand.demand),
        need: wanted,
        motor_circuit: bounds.motor_feeder,
        device_rating: device.map(|device| device.rating),
        // 430.62 admits a device for the start of a motor: that start asks nothing of terminals, and the circuit is rated by its currents.
        circuit_rating: device.map(|device| device.rating).filter(|_| !bounds.motor_feeder),
        grounding_basis: None,
        wet: false,
        rooftop: false,
        termination: design.termination_c.map(Celsius),
        minimum_raceway: design.minimum_raceway.clone(),
        equipment_rating: None,
        unrated_equipment: false,
        own_circuits: 1,
        loaded: loaded(ask),
        third_harmonic: None,
        cores: cores(ask),
        voltage: line,
        to_earth: if ask.to_neutral { line } else { line_to_earth(ask.node, line) },
        frequency_hz: ask.frequency_hz,
        phases: if single { 1 } else { 3 },
        length: length(ask),
        route: route(ask, tools),
        air: Celsius(design.ambient_c.unwrap_or(defaults.ambient_c)),
        ground: Celsius(design.ground_c.unwrap_or(defaults.ground_c)),
        soil: design.soil_k_m_w.unwrap_or(defaults.soil_k_m_w),
        grouped: 1,
        material,
        insulation: insulation(stated, tools),
        minimum_mm2: minimum_mm2(material, tools),
        running: running(ask, ask.demand.demand, tools),
        // The dip while a motor starts is the network's; a feeder has no start of its own.
        starting: None,
        overload: overload(device, tools),
        fault: device.and_then(fault),
        behind_drive: false,
        // Where others chose the conductor, nobody says that its protective conductor is larger than the table's.
        leakage: ask.drives && stated.is_none(),
        fault_max: level.largest,
        fault_min: level.smallest,
        paths: FaultPaths {
            voltage: line,
            tolerance_pct: tools.basis.supply.voltage_tolerance_pct,
            largest: level.largest_path,
            smallest: level.smallest_path,
            smallest_loop: level.smallest_loop,
            middle: has_middle(ask.node.system.as_deref(), ask.node.phases),
        },
        x_over_r: x_over_r(level),
        earthing: ask.node.earthing.clone(),
        class_factor: 1.0,
    }
}

/// Conductors of the cable, the protective one included. A single line has the neutral beside it, whatever loads stand behind.
fn cores(ask: &Ask<'_>) -> u32 {
    ask.lines + u32::from(ask.neutral || ask.lines == 1) + 1
}

/// Conductors that current heats: the neutral of two lines carries as much as they do, where they are two of three phases.
fn loaded(ask: &Ask<'_>) -> u32 {
    if ask.lines < 3 { cores(ask) - 1 } else { 3 }
}

fn x_over_r(level: &FaultLevel) -> Option<f64> {
    let path = level.largest_path.or(level.smallest_path).filter(|impedance| impedance.r.0 > 0.0)?;
    Some(path.x.0 / path.r.0)
}

fn overload(device: Option<&FeederDevice>, tools: &Tools<'_>) -> OverloadDevice {
    match device {
        None => OverloadDevice::Missing,
        Some(device) if device.kind == "gG" => OverloadDevice::Fuse(device.rating),
        Some(device) => OverloadDevice::Breaker(device.rating, tools.book.conventional_trip(None)),
    }
}

/// The device against faults at its lowest setting. A feeder is a distribution circuit whatever its rating: 5 s to disconnect
/// (IEC 60364-4-41, 411.3.2.3).
fn fault(device: &FeederDevice) -> Option<(FaultDevice, Amperes, f64)> {
    let distribution = Amperes(f64::INFINITY);
    let let_through = device.let_through?;
    let fault_device = if device.kind == "gG" {
        FaultDevice::Gg(device.rating)
    } else {
        FaultDevice::Magnetic(Amperes(device.magnetic_lowest?[2]))
    };
    Some((fault_device, distribution, let_through))
}

/// The instantaneous trip is set highest, which discriminates best, where the conductors hold at that too; else lowest. The checks are
/// those of the trip as it is set.
fn set_trip(demand: &RunDemand, choice: &mut RunChoice, tools: &Tools<'_>, feeder: &mut Feeder) {
    let Some(device) = &mut feeder.device else { return };
    let (Some(lowest), Some(highest)) = (device.magnetic_lowest, device.magnetic) else { return };
    let Some((FaultDevice::Magnetic(_), rating, let_through)) = demand.fault else { return };
    let candidate = choice.run.as_ref().map(|run| Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase });
    let checked = choice.checks.iter().any(|check| check.name == "disconnection" && check.passed == Some(true));
    let raised = RunDemand { fault: Some((FaultDevice::Magnetic(Amperes(highest[2])), rating, let_through)), ..demand.clone() };
    let Some(candidate) = candidate.filter(|candidate| checked && holds(tools.book, &raised, *candidate)) else {
        device.magnetic = Some(lowest);
        return at_start_as_set(lowest[1], feeder);
    };
    let again = judged_run(&raised, candidate, tools.book, tools.catalogue, &mut Record::silent()).checks;
    for check in &mut choice.checks {
        let same = again.iter().find(|other| (&other.name, &other.subject) == (&check.name, &check.subject));
        if let Some(same) = same {
            check.clone_from(same);
        }
    }
}

/// The largest start was held against the highest setting; it is told against the one that is set.
fn at_start_as_set(lower: f64, feeder: &mut Feeder) {
    for check in feeder.checks.iter_mut().filter(|check| check.name == "magnetic-trip-at-start") {
        let Some(start) = check.value else { continue };
        let as_set = at_most(&check.name, start, lower, "A", &check.reference);
        *check = as_set.about(&check.subject);
    }
}

fn impedance(ask: &Ask<'_>, demand: &RunDemand, stated: &Stated, tools: &Tools<'_>) -> Option<FeederImpedance> {
    let impedance = tools.book.feeder_impedance(demand, candidate(stated))?;
    let most = Candidate { size_mm2: stated.size_mm2, parallel: stated.most_parallel };
    // Where the text can be read in two ways, or two lengths are stated, the smaller impedance counts for the largest fault current.
    let shorter = RunDemand { length: lengths(ask).map(|[shorter, _]| Metres(shorter)), ..demand.clone() };
    let cold = tools.book.feeder_impedance(&shorter, most)?;
    Some(FeederImpedance { cold: cold.cold, cold_loop: cold.cold_loop, ..impedance })
}

fn in_words(stated: &Stated, demand: &RunDemand, tools: &Tools<'_>) -> String {
    words_of(&tools.book.size_text(stated.size_mm2), stated.parallel, demand, tools)
}

fn words_of(size: &str, parallel: u32, demand: &RunDemand, tools: &Tools<'_>) -> String {
    let count = if parallel > 1 { format!("{parallel}x ") } else { String::new() };
    let units = Units::of(tools.book.key());
    let material = words::brief(units, material_word(demand.material)).into_owned();
    let insulation = units.pick(demand.insulation.clone(), demand.insulation.to_uppercase());
    format!("{count}{size} {material} {insulation}")
}

/// No conductor that is tried holds. How many in parallel are tried is a limit of this program, and no clause's.
fn no_conductor(ask: &Ask<'_>, demand: &RunDemand, limit: f64, tools: &Tools<'_>) -> Finding {
    let most = tools.book.ladder(demand).iter().map(|candidate| candidate.parallel).max().unwrap_or(1);
    let (name, amperes) = (&ask.node.name, round_to(demand.need.0, 1));
    let parallel = format!("up to {most} in parallel are tried, which is a limit of this program and not of the book");
    if !ask.node.feeder {
        let what =
            format!("no cable of the tables carries the {amperes} A of the feeder of board {name}, of which nothing is stated");
        return Finding::new(&codes::B301_NO_FEEDER_CONDUCTOR, what)
            .why(parallel)
            .cure("have a busbar or the cables between the source and the board designed, and state feeder_conductor and length where cables are laid");
    }
    Finding::new(
        &codes::B301_NO_FEEDER_CONDUCTOR,
        format!("none of the conductors that are tried holds for the feeder of board {name}: {amperes} A"),
    )
    .why(format!("{parallel}; the checks say which limit fails; the voltage drop of feeders may be {limit} %"))
    .cure("shorten the feeder, choose another installation, divide the board, state a larger feeder_drop_pct, or state a busbar's or more conductors' impedance or feeder_conductor")
}

/// Writes the conductors into the feeder, with what there is to say of them; or says why there are none.
fn write(
    ask: &Ask<'_>,
    demand: &RunDemand,
    choice: RunChoice,
    stated: Option<&Stated>,
    tools: &Tools<'_>,
    feeder: &mut Feeder,
    record: &mut Record,
) {
    let name = &ask.node.name;
    if let Some(refused) = &choice.refused {
        let what = format!("feeder of board {name}: {refused}");
        let finding = Finding::new(&codes::B301_NO_FEEDER_CONDUCTOR, what).cure("correct the basis");
        ask.find("feeder_installation", finding, record);
        return;
    }
    let drop = choice.checks.iter().find(|check| check.name == "running-voltage-drop").and_then(|check| check.value);
    let (limit, clause) = drop_limit(tools);
    feeder.checks.extend(checks_of(choice.checks, choice.run.is_some(), clause));
    let Some(run) = choice.run else {
        ask.find("feeder_conductor", no_conductor(ask, demand, limit, tools), record);
        return;
    };
    if choice.part_missing {
        record.find(no_part(name, &run, demand, tools));
    }
    let stated = stated.cloned().unwrap_or(Stated {
        size_mm2: run.phase_area_mm2,
        parallel: run.per_phase,
        most_parallel: run.per_phase,
        material: None,
        insulation: None,
    });
    feeder.impedance = impedance(ask, demand, &stated, tools);
    say_of_conductors(ask, demand, &run, tools, record);
    // A board without anything stated of its feeder stands at the terminals of its transformer.
    let at_terminals = || (!ask.node.feeder).then(|| ask.origin.drop_pct.unwrap_or(0.0));
    feeder.drop_pct = drop.filter(|_| known_drop(ask) && demand.length.is_some()).or_else(at_terminals);
    feeder.conductor = words_of(&run.phase_size, run.per_phase, demand, tools);
    if demand.length.is_some_and(|length| length.0 > 0.0) {
        let (ends, lacking) = of_feeder(&run, &choice.parts, tools.book, tools.catalogue);
        feeder.parts.extend(choice.parts);
        feeder.parts.extend(ends);
        if let Some(finding) = lacking {
            ask.find("feeder_conductor", finding, record);
        }
    }
    feeder.run = Some(run);
}

/// Checks of the conductors, the voltage drop with the source of its limit. Where none was found, a limit of nothing comes of a conductor
/// for which the book has no figure, and is left out.
fn checks_of(checks: Vec<Check>, found: bool, drop_clause: &str) -> Vec<Check> {
    let says_something = |check: &Check| found || check.limit.is_none_or(|limit| limit > 0.0);
    let mut checks: Vec<Check> = checks.into_iter().filter(says_something).collect();
    for check in checks.iter_mut().filter(|check| check.name == "running-voltage-drop") {
        drop_clause.clone_into(&mut check.reference);
    }
    checks
}

fn no_part(board: &str, run: &Run, demand: &RunDemand, tools: &Tools<'_>) -> Finding {
    let conductor = words_of(&run.phase_size, 1, demand, tools);
    let what = format!("the catalogue lacks a conductor of the feeder of board {board}: {conductor} with {} cores", run.cores);
    Finding::new(&codes::B303_NO_FEEDER_PART, what).cure("add it to the catalogue")
}

/// Says where ends or raceway are too hot, and where aluminium meets terminals.
fn say_of_conductors(ask: &Ask<'_>, demand: &RunDemand, run: &Run, tools: &Tools<'_>, record: &mut Record) {
    let subject = format!("feeder of board {}", ask.node.name);
    if let Some(hot) = tools.book.hot_at_terminals(demand, Amperes(run.capacity_a), record) {
        ask.find("feeder_conductor", hot_ends(&codes::B324_HOT_ENDS, &subject, &run.phase_size, hot), record);
    }
    if let Some(hot) = tools.book.hot_raceway(demand) {
        let units = Units::of(tools.book.key());
        ask.find("feeder_installation", hot_raceway(&codes::B325_HOT_RACEWAY, &subject, hot, units), record);
    }
    if demand.material == Material::Aluminium {
        ask.find("feeder_conductor", aluminium_ends(&codes::B326_ALUMINIUM, &subject, tools.book), record);
    }
}
