//! The runs of a circuit, one after the other: what each must do stands in [`demands`], and [`super::conductors`] chooses by it.

use crate::design::{Circuit, Part, Run};
use crate::finding::codes::Code;
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Amperes, Volts, round_to};
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::rules::conductors::{HotEnds, HotRaceway, RunDemand, RunNeed, RunPart};
use crate::rules::units::Units;
use crate::rules::words;
use crate::sizing::Tools;
use crate::sizing::assembly::Assembly;
use crate::sizing::conductors::{RunChoice, size_run};
use crate::sizing::neutral;
use crate::supply::SupplyPoint;

mod demands;

use demands::demands;

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
    if point.earthing.as_deref().is_some_and(|earthing| earthing.to_ascii_uppercase().starts_with("TT")) {
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
    let mut to_earth = Volts::default();
    for mut demand in demands(case, currents, assembly, point, tools.book) {
        to_earth = demand.to_earth;
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
    say_slower_disconnection(case, assembly, to_earth, tools, circuit, record);
    // What stands at the board is the same for every run; a run that begins at the end of another knows only what comes there.
    let kiloamperes = |current: Option<Amperes>| current.map(|current| round_to(current.0 / 1000.0, 4));
    circuit.fault.board_max_ka = kiloamperes(point.fault_max);
    circuit.fault.peak_ka = kiloamperes(point.peak);
    circuit.conductors = circuit.runs.first().cloned();
}

/// The clause goes by the rated current of the circuit and does not say whether that is the back-up device's or the overload relay's.
fn say_slower_disconnection(
    case: &Case,
    assembly: &Assembly<'_>,
    to_earth: Volts,
    tools: &Tools<'_>,
    circuit: &Circuit,
    record: &mut Record,
) {
    let rests_on_it = circuit.checks.iter().any(|check| check.name == "disconnection" && check.passed == Some(true));
    let device = assembly.protection.as_ref().filter(|_| rests_on_it);
    let (Some(device), Some(overload)) = (device, assembly.overload_of_final_circuit()) else { return };
    let Some(([taken, other], clause)) = tools.book.two_disconnection_times(to_earth, device.rating, overload) else {
        return;
    };
    record.find(
        Finding::new(
            &codes::C617_SLOWER_DISCONNECTION,
            format!(
                "faults to earth are disconnected within {} s, by the {} A of the protective device; by the {} A of the overload protection within {} s would be asked",
                taken.0,
                device.rating.0,
                round_to(overload.0, 2),
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
            supply.checks.iter().find(|check| check.name == "running-voltage-drop").and_then(|check| check.value);
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
    for raceway in &choice.companions.raceways {
        let Some(ratio) = raceway.jam_ratio else { continue };
        record.find(
            Finding::new(
                &codes::C606_JAM,
                format!(
                    "{} run: three conductors in {}, trade size {}, have a jam ratio of {}",
                    words::brief(units, demand.role),
                    words::brief(units, raceway.kind),
                    raceway.trade_size,
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
