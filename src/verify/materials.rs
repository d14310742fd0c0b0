//! Materials of a circuit beside its devices and main cables, counted again from its runs: control cables with enough cores, glands that
//! clamp their cable, lugs and terminals of their conductors, fittings of their raceway, labels, an enclosure that holds it all.

use crate::catalogue::is_enclosure;
use crate::design::{Part, Run};
use crate::finding::codes;
use crate::quantity::fits;
use crate::rules::RuleBook;
use crate::rules::physics::accessories::thermistors_taken;
use crate::rules::physics::material;
use crate::verify::Disagreements;
use crate::verify::control::coil_supply_length;
use crate::verify::facts::Facts;
use crate::verify::parts::{Count, add, metres_of};
use crate::verify::runs::motor_run;
use crate::verify::shelf::{Item, Shelf};

/// Role of runs of control and auxiliary cables.
pub(super) const CONTROL: &str = "control";

fn figure(facts: &Facts<'_>, name: &str) -> f64 {
    material::figure(name, facts.book.key())
}

/// The catalogue has a family; one that it lacks is not counted.
fn has(facts: &Facts<'_>, family: &str) -> bool {
    there(facts.shelf, family)
}

fn there(shelf: &Shelf<'_>, family: &str) -> bool {
    !shelf.catalogue.lacks.contains(&family)
}

/// The materials at the ends of a feeder: each cable is led into both boards and tagged there, larger conductors end in lugs, smaller ones
/// leave by terminals, raceways have connectors and couplings.
pub(super) fn of_feeder(book: &dyn RuleBook, shelf: &Shelf<'_>, run: &Run, count: &mut Count) {
    let practice = |name: &str| material::figure(name, book.key());
    let sets = f64::from(run.per_phase.max(1));
    if let Some(cable) = shelf.cable(&run.part).filter(|cable| cable.cores > 1 && there(shelf, "glands")) {
        let gland = cable.outer_mm.and_then(|outer| shelf.catalogue.gland(outer, cable.screened));
        add(count, gland.map_or("", |gland| gland.part.as_str()), "gland for", practice("gland-ends") * sets);
    }
    lugs(book, shelf, run, false, count);
    power_terminals(book, shelf, run, count);
    fittings(book, shelf, run, false, count);
    label(shelf, "cable-tag", sets * practice("cable-tags"), count);
}

/// The plate of the way by which a feeder leaves.
pub(super) fn of_way(shelf: &Shelf<'_>, count: &mut Count) {
    label(shelf, "nameplate", 1.0, count);
}

fn label(shelf: &Shelf<'_>, kind: &str, number: f64, count: &mut Count) {
    if there(shelf, "labels") {
        let label = shelf.catalogue.label(kind);
        add(count, label.map_or("", |label| label.part.as_str()), &kind.replace('-', " "), number);
    }
}

fn local_isolator(facts: &Facts<'_>) -> bool {
    facts.circuit.disconnect.as_ref().is_some_and(|disconnect| disconnect.location == "at the machine")
}

/// A switch at the machine stands in the leads to its motor or load; slip rings, starter and control circuit are reached whole.
fn in_two(facts: &Facts<'_>, role: &str) -> bool {
    local_isolator(facts) && !matches!(role, CONTROL | "rotor" | "supply")
}

/// The switch has a pole for each line and none for the neutral: where the cable ends at it, the neutral needs a terminal.
fn neutral_terminals(facts: &Facts<'_>, count: &mut Count) {
    let Some(isolator) = facts.circuit.disconnect.as_ref().filter(|_| has(facts, "terminals")) else { return };
    let poles = facts.shelf.all(&isolator.part).find_map(|item| match item {
        Item::Isolator(row) => Some(row.poles),
        Item::Disconnect(row) => Some(row.poles),
        _ => None,
    });
    let beside = poles == Some(3) && facts.machine.phases == 3 && facts.machine.neutral;
    for run in power(facts).filter(|run| beside && in_two(facts, &run.role)) {
        let size = run.neutral_size.as_deref().and_then(|size| facts.book.size_of(size)).unwrap_or(run.phase_area_mm2);
        let sets = f64::from(run.per_phase.max(1)) * f64::from(run.count.max(1));
        let number = sets * figure(facts, "isolator-neutral-terminals");
        terminal(facts.shelf, "feed-through", size, run.required_a, number, count);
    }
}

/// Adds what the runs ask for to what is wanted.
pub(super) fn wanted(facts: &Facts<'_>, count: &mut Count) {
    for run in facts.circuit.runs.iter().filter(|run| run.role == CONTROL) {
        add(count, &run.part, "cable for", metres_of(facts.book, run));
    }
    // A control cable that the catalogue lacks has a line, but no run; so has any where no run of power is.
    let alone = |part: &&Part| part.run == CONTROL && (part.part.is_empty() || facts.circuit.conductors.is_none());
    facts.circuit.parts.iter().filter(alone).for_each(|part| add(count, &part.part, "cable for", part.quantity));
    glands(facts, count);
    let (book, shelf) = (facts.book, facts.shelf);
    let in_two = |run: &Run| in_two(facts, &run.role);
    power(facts).for_each(|run| lugs(book, shelf, run, in_two(run), count));
    power(facts).for_each(|run| power_terminals(book, shelf, run, count));
    control_terminals(facts, count);
    neutral_terminals(facts, count);
    power(facts).for_each(|run| fittings(book, shelf, run, in_two(run), count));
    labels(facts, count);
    if enclosure_wanted(facts).is_some() {
        let part =
            facts.circuit.parts.iter().find(|part| facts.shelf.all(&part.part).any(|item| matches!(item, Item::Enclosure(_))));
        add(count, part.map_or("", |part| part.part.as_str()), "enclosure", 1.0);
    }
}

/// Cables of several cores, with their lines in the list of parts.
fn cables<'f>(facts: &'f Facts<'_>) -> impl Iterator<Item = (&'f Part, Option<f64>, bool)> {
    facts.circuit.parts.iter().filter(|part| part.cuts > 0).filter_map(|part| {
        facts.shelf.all(&part.part).find_map(|item| match item {
            Item::Cable(cable) if cable.cores > 1 => Some((part, cable.outer_mm, cable.screened)),
            Item::ControlCable(cable) => Some((part, cable.outer_mm, cable.screened)),
            _ => None,
        })
    })
}

/// A gland at either end of each cable; where a local isolator parts it, at the new ends too.
fn glands(facts: &Facts<'_>, count: &mut Count) {
    if !has(facts, "glands") {
        return;
    }
    for (part, outer, screened) in cables(facts) {
        let parted = in_two(facts, &part.run);
        let ends = figure(facts, "gland-ends") + if parted { figure(facts, "isolator-gland-ends") } else { 0.0 };
        let gland = outer.and_then(|outer| facts.shelf.catalogue.gland(outer, screened));
        add(count, gland.map_or("", |gland| gland.part.as_str()), "gland for", ends * f64::from(part.cuts));
    }
    // Nor may those of a cable without a number be forgotten.
    for part in facts.circuit.parts.iter().filter(|part| is_cable_without_number(part)) {
        let parted = in_two(facts, &part.run);
        let ends = figure(facts, "gland-ends") + if parted { figure(facts, "isolator-gland-ends") } else { 0.0 };
        add(count, "", "gland for", ends * f64::from(part.cuts));
    }
}

/// A cable of several cores that has no part number; single ones lie in conduits or trunking.
fn is_cable_without_number(part: &Part) -> bool {
    part.part.is_empty() && part.cuts > 0 && part.description.starts_with("cable ") && !part.description.contains("single cores")
}

fn power<'f>(facts: &'f Facts<'_>) -> impl Iterator<Item = &'f Run> {
    facts.circuit.runs.iter().filter(|run| run.role != CONTROL)
}

/// Loaded and protective conductors of a run, those to further motors among them. Six leads in two cables have two protective conductors
/// (IEC 60364-5-54, 543.2).
fn conductors(shelf: &Shelf<'_>, run: &Run) -> (f64, f64) {
    let sets = f64::from(run.per_phase.max(1)) * f64::from(run.count.max(1));
    (sets * f64::from(run.cores.saturating_sub(1)), sets * f64::from(cables_of_set(shelf, run)))
}

/// Cables that hold the leads of one set.
fn cables_of_set(shelf: &Shelf<'_>, run: &Run) -> u32 {
    if shelf.cable(&run.part).is_some_and(|cable| cable.cores > 1 && cable.cores < run.cores) { 2 } else { 1 }
}

/// Lugs at the ends of larger conductors; what is in two lengths has four ends.
fn lugs(book: &dyn RuleBook, shelf: &Shelf<'_>, run: &Run, in_two: bool, count: &mut Count) {
    if !there(shelf, "lugs") {
        return;
    }
    let practice = |name: &str| material::figure(name, book.key());
    let (live, protective) = conductors(shelf, run);
    let of_protective = book.size_of(&run.protective_size).unwrap_or(0.0);
    for (size, number) in [(run.phase_area_mm2, live), (of_protective, protective)] {
        let ends = practice("lug-ends") + if in_two { practice("isolator-lug-ends") } else { 0.0 };
        if size + 1e-9 >= practice("lug-from") {
            let lug = shelf.catalogue.lug(&run.material, size);
            let words = format!("{} lug for", run.material);
            add(count, lug.map_or("", |lug| lug.part.as_str()), &words, number * ends);
        }
    }
}

fn terminal(shelf: &Shelf<'_>, kind: &str, size: f64, current: f64, number: f64, count: &mut Count) {
    if number > 0.0 {
        let terminal = shelf.catalogue.terminal(kind, size, current);
        add(count, terminal.map_or("", |terminal| terminal.part.as_str()), &format!("{kind} terminal for"), number);
    }
}

/// Terminals of a run that leaves a board by them.
fn power_terminals(book: &dyn RuleBook, shelf: &Shelf<'_>, run: &Run, count: &mut Count) {
    let small = run.phase_area_mm2 <= material::figure("power-terminal-to", book.key()) + 1e-9;
    if !small || !there(shelf, "terminals") {
        return;
    }
    let (live, protective) = conductors(shelf, run);
    terminal(shelf, "feed-through", run.phase_area_mm2, run.required_a, live, count);
    let size = book.size_of(&run.protective_size).unwrap_or(run.phase_area_mm2);
    terminal(shelf, "protective", size, 0.0, protective, count);
}

fn control_terminals(facts: &Facts<'_>, count: &mut Count) {
    if !has(facts, "terminals") {
        return;
    }
    for run in facts.circuit.runs.iter().filter(|run| run.role == CONTROL) {
        let cables = f64::from(run.per_phase.max(1)) * f64::from(run.count.max(1));
        let protective = u32::from(!run.protective_size.is_empty());
        let live = f64::from(run.cores.saturating_sub(protective));
        terminal(facts.shelf, "feed-through", run.phase_area_mm2, 0.0, cables * live, count);
        terminal(facts.shelf, "protective", run.phase_area_mm2, 0.0, cables * f64::from(protective), count);
    }
}

/// A connector at either end of a raceway, and a coupling between each two of its lengths that come without.
fn fittings(book: &dyn RuleBook, shelf: &Shelf<'_>, run: &Run, in_two: bool, count: &mut Count) {
    let Some(laid) = run.raceway.as_ref().filter(|_| there(shelf, "fittings")) else { return };
    let first = |text: &str| text.split('+').next().unwrap_or("").to_owned();
    let Some(raceway) = shelf.catalogue.raceway(&first(&laid.kind), &first(&laid.trade_size)) else { return };
    let sets = f64::from(run.per_phase.max(1));
    let lengths = raceway.standard_length_m.map_or(1.0, |stick| (run.length_m / stick - 1e-6).ceil());
    let joints = if raceway.coupling_included == Some(true) { 0.0 } else { (lengths - 1.0).max(0.0) };
    let practice = |name: &str| material::figure(name, book.key());
    let connectors = practice("raceway-connectors") + if in_two { practice("isolator-raceway-connectors") } else { 0.0 };
    for (kind, each) in [("connector", connectors), ("coupling", joints)] {
        if each > 0.0 {
            let fitting = shelf.catalogue.fitting(kind, &raceway.kind, &raceway.trade_size);
            add(count, fitting.map_or("", |fitting| fitting.part.as_str()), &format!("{kind} for"), each * sets);
        }
    }
}

/// A nameplate for the machine's starter and one for a local isolator; a tag at either end of each cable.
fn labels(facts: &Facts<'_>, count: &mut Count) {
    if !has(facts, "labels") {
        return;
    }
    let cables_of = |run: &Run| cables_of_set(facts.shelf, run) * run.per_phase.max(1) * run.count.max(1);
    let runs = || facts.circuit.runs.iter();
    let whole: u32 = runs().map(cables_of).sum();
    let parted: u32 = runs().filter(|run| in_two(facts, &run.role)).map(cables_of).sum();
    let tags = f64::from(whole) * figure(facts, "cable-tags") + f64::from(parted) * figure(facts, "isolator-cable-tags");
    let plates = if local_isolator(facts) { 1.0 + f64::from(facts.motors) } else { 1.0 };
    for (kind, number) in [("nameplate", plates), ("cable-tag", tags)] {
        if number > 0.0 {
            let label = facts.shelf.catalogue.label(kind);
            add(count, label.map_or("", |label| label.part.as_str()), &kind.replace('-', " "), number);
        }
    }
}

/// The degree of an enclosure of the circuit's own, where the row asks for one and there is something to be put into it.
fn enclosure_wanted<'f>(facts: &'f Facts<'_>) -> Option<&'f str> {
    let wanted = facts.words("enclosure").map(str::trim).filter(|words| !nothing(words) && is_enclosure(words))?;
    (has(facts, "enclosures") && taken(facts).0 > 0.0).then_some(wanted)
}

fn nothing(text: &str) -> bool {
    text.is_empty() || ["no", "none", "0", "-"].contains(&text.to_lowercase().as_str())
}

/// Width and heat of the devices.
fn taken(facts: &Facts<'_>) -> (f64, f64) {
    let parts = facts.circuit.parts.iter().map(|part| (facts.shelf.footprint(&part.part), part.quantity));
    parts.fold((0.0, 0.0), |(width, heat), (footprint, quantity)| (width + footprint.0 * quantity, heat + footprint.1 * quantity))
}

/// Points that are not a matter of counting: cores of control cables, the room in an enclosure, what each piece is made for.
pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    enclosure(facts, found);
    cores(facts, found);
    for run in facts.circuit.runs.iter().filter(|run| run.role == CONTROL) {
        let cable =
            facts.shelf.all(&run.part).find_map(|item| if let Item::ControlCable(cable) = item { Some(cable) } else { None });
        let so = cable.is_some_and(|cable| {
            cable.cores == run.cores
                && cable.size_mm2 == run.phase_area_mm2
                && cable.protective != run.protective_size.is_empty()
                && (run.protective_size.is_empty() || run.protective_size == run.phase_size)
        }) && run.material == "copper";
        found.unless(so, &codes::V706_CABLE, || format!("{} is not the control cable that its run says", run.part));
        let supply = facts.number("supply_length_m");
        let lengths = [facts.number("control_cable_length_m"), supply, Some(motor_run(facts))];
        let stated = lengths.into_iter().flatten().any(|length| (length - run.length_m).abs() <= 1e-6 * length.max(1.0));
        found.unless(stated, &codes::V702_LENGTH, || {
            format!("a control cable is {} m long, which the row does not state", run.length_m)
        });
    }
    for (part, outer, _) in cables(facts) {
        let ends = facts.circuit.parts.iter().flat_map(|part| facts.shelf.all(&part.part));
        let mut glands = ends.filter_map(|item| if let Item::Gland(gland) = item { Some(gland) } else { None }).peekable();
        let clamps = |outer: f64| glands.any(|gland| gland.clamp_min_mm <= outer && outer <= gland.clamp_max_mm);
        let unnumbered = facts.circuit.parts.iter().any(|part| part.part.is_empty() && part.description.starts_with("gland for"));
        found.unless(!has(facts, "glands") || unnumbered || outer.is_some_and(clamps), &codes::V608_MATERIAL, || {
            format!("no gland of the circuit clamps {}", part.part)
        });
    }
}

fn enclosure(facts: &Facts<'_>, found: &mut Disagreements) {
    let items = facts.circuit.parts.iter().flat_map(|part| facts.shelf.all(&part.part));
    let mut enclosures = items.filter_map(|item| if let Item::Enclosure(enclosure) = item { Some(enclosure) } else { None });
    let Some(row) = enclosures.next() else { return };
    let reserve = 1.0 + figure(facts, "enclosure-reserve") / 100.0;
    let (width, heat) = taken(facts);
    let room = row.usable_width_mm * f64::from(row.rows);
    let holds = fits(width * reserve, room) && fits(heat * reserve, row.dissipation_w);
    let degree = enclosure_wanted(facts).is_some_and(|wanted| row.serves(wanted));
    found.unless(holds && degree, &codes::V608_MATERIAL, || {
        format!(
            "{} does not hold {width:.0} mm of devices and {heat:.0} W with their reserve in the degree that is asked for",
            row.part
        )
    });
}

/// Cores to a starter that stands apart and whose coils its board feeds: both of the supply, and those of a controller's outputs where no
/// cable of their own is stated; coils that the outputs switch themselves need no more than these.
fn coil_supply(facts: &Facts<'_>, both: u32) -> u32 {
    let Some(control) =
        facts.circuit.control.as_ref().filter(|control| control.run.is_some() && coil_supply_length(facts, control).is_some())
    else {
        return 0;
    };
    let no_cable = facts.number("control_cable_length_m").is_none_or(|length| length <= 0.0);
    let outputs = control.driven_by == "plc-output" && no_cable;
    let of_outputs = if outputs { control.cores.saturating_sub(control.protective_cores) } else { 0 };
    if outputs && !control.interposing_relay { of_outputs } else { both + of_outputs }
}

/// Each group of cores has a cable with so many, and spares.
fn cores(facts: &Facts<'_>, found: &mut Disagreements) {
    if !has(facts, "control_cables") || facts.circuit.conductors.is_none() {
        return;
    }
    let rows = |function: &str| material::cores(function).map_or(0, |row| row.cores);
    let loops = (f64::from(thermistors_taken(facts.words("thermistor").unwrap_or("")))
        / figure(facts, "thermistors-a-loop").max(1.0))
    .ceil();
    let mut station = 0;
    let winding = rows("thermistor-loop") * crate::verify::facts::whole(loops)
        + rows("resistance-thermometer") * facts.number("rtd_count").map_or(0, crate::verify::facts::whole);
    // One motor's run with the signals of the station; those of several go to each by themselves.
    let (mut signal, apart) = if facts.motors > 1 { (0, winding) } else { (winding, 0) };
    let words = facts.words("control_station").map(str::trim).filter(|words| !nothing(words)).unwrap_or("");
    for (_, row) in material::station_cores(words) {
        let Some(row) = row else { continue };
        let channels = if row.function == "emergency-stop" && facts.redundant() { 2 } else { 1 };
        if row.group == "signal" { signal += row.cores } else { station += row.cores * channels }
    }
    // Without a station the cable leads to whatever switches the coil.
    if let Some(control) =
        facts.circuit.control.as_ref().filter(|_| words.is_empty() && facts.number("control_cable_length_m").is_some())
    {
        station = control.cores.saturating_sub(control.protective_cores);
    }
    if facts.number("control_cable_length_m") == Some(0.0) {
        station = 0;
    }
    let draws = |name: &str| facts.number(name).is_some_and(|watts| watts > 0.0);
    let auxiliary = u32::from(draws("brake_w")) * rows("brake") + u32::from(draws("space_heater_w")) * rows("space-heater");
    let motors = facts.motors;
    let mut asked: Vec<(u32, u32)> =
        vec![(coil_supply(facts, rows("coil-supply")), 1), (station, 1), (signal, 1), (apart, motors), (auxiliary, motors)];
    asked.retain(|(cores, _)| *cores > 0);
    let told = facts.told(codes::P105_CONTROL_CABLE.code);
    let spare = |cores: u32| {
        let share = f64::from(cores) * figure(facts, "spare-cores") / 100.0;
        (share - 1e-6).ceil().max(figure(facts, "spare-cores-least"))
    };
    let mut has: Vec<(u32, f64)> = facts
        .circuit
        .runs
        .iter()
        .filter(|run| run.role == CONTROL)
        .map(|run| {
            let cores = run.cores.saturating_sub(u32::from(!run.protective_size.is_empty()));
            (run.count.max(1), f64::from(run.per_phase) * f64::from(cores))
        })
        .collect();
    let mut asked: Vec<(u32, f64)> = asked.into_iter().map(|(cores, count)| (count, f64::from(cores) + spare(cores))).collect();
    // Sorted by the number of their machines first, then by cores.
    for cables in [&mut has, &mut asked] {
        cables.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    }
    let so = has.len() == asked.len() && has.iter().zip(&asked).all(|(has, asked)| asked.0 == has.0 && asked.1 <= has.1);
    found.unless(so || told, &codes::V608_MATERIAL, || {
        format!("its control cables have {has:?} cores; {asked:?} are needed, spares among them")
    });
}
