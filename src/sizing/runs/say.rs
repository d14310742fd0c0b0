//! Says what a person should know of the runs of a circuit.

use super::RunChoice;
use crate::design::{Circuit, Run};
use crate::finding::codes::Code;
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Amperes, Metres, Volts, round_to};
use crate::record::{Record, significant};
use crate::rules::conductors::{Candidate, HotEnds, HotRaceway, RunDemand, RunPart};
use crate::rules::physics::contactors::CLASS_FACTOR;
use crate::rules::units::Units;
use crate::rules::words;
use crate::sizing::Tools;
use crate::sizing::assembly::Assembly;
use crate::sizing::neutral;
use crate::supply::SupplyPoint;

/// Says what holds of all runs: a missing length, a roof, harmonics in the neutral, an earthing that no fuse or breaker serves.
pub(super) fn of_route(case: &Case, point: &SupplyPoint, tools: &Tools<'_>, record: &mut Record) {
    if !case.route.laid {
        return;
    }
    let units = Units::of(tools.book.key());
    if case.route.length.is_none() {
        record.find(no_length(case, units));
    }
    if let Some([what, cure, clause]) = tools.book.on_roof(&case.route.insulation).filter(|_| case.route.rooftop) {
        record.find(Finding::new(&codes::C608_ROOF, what).at(case.place.clone()).cure(cure).reference(clause));
    }
    if let Some(unstated) = neutral::third_harmonics_unstated(case, units) {
        record.find(unstated);
    }
    if point.earthing.as_deref().is_some_and(|earthing| earthing.to_ascii_uppercase().starts_with("TT")) {
        let what = format!("board {} has a TT system: a residual-current device must disconnect faults to earth", case.board);
        record.find(
            Finding::new(&codes::C605_TT, what)
                .at(case.place.clone())
                .why("the loop to earth is too high for a fuse or breaker")
                .cure("add a residual-current device with RA × IΔn at most 50 V; it is not in the parts list")
                .reference("IEC 60364-4-41, 411.5"),
        );
    }
}

fn no_length(case: &Case, units: Units) -> Finding {
    let what = units.pick(
        "the cable length is missing; voltage drop and disconnection are not checked",
        "the length of the conductors is missing; voltage drop and the fault current at the load are not checked",
    );
    Finding::new(&codes::C602_NO_LENGTH, what).at(case.place.clone()).cure(length_cure(case, units))
}

/// The cure where no length is read; a column that seems to hold it is named.
fn length_cure(case: &Case, units: Units) -> String {
    let column = units.pick("cable_length_m", "cable_length_ft");
    match &case.route.unread_length {
        Some(heading) => {
            format!("enter {column}; if the column `{heading}`, which is not read, holds it: --map '{heading}={column}'")
        }
        None => format!("enter {column}"),
    }
}

/// Says what the choice of a run brings with it, or why it has no conductor.
pub(super) fn of_choice(case: &Case, demand: &RunDemand, choice: &RunChoice, tools: &Tools<'_>, record: &mut Record) {
    let units = Units::of(tools.book.key());
    say_jams(case, demand, choice, units, record);
    let Some(run) = &choice.run else {
        let ruled_out = || tools.book.rules_out(demand).map(|why| no_size(case, demand, why, units));
        let known = not_cleared_at_board(case, demand, tools).or_else(ruled_out);
        record.find(known.unwrap_or_else(|| no_conductor(case, demand, units)));
        return;
    };
    if choice.part_missing {
        record.find(no_part(case, run, units));
    }
    if demand.class_factor > 1.0 {
        record.find(slow_class(case, demand));
    }
    if demand.part == RunPart::DriveOutput && units == Units::Metric {
        record.find(behind_drive(case));
    }
    if let Some(unrated) = unrated_equipment(case, demand, choice) {
        record.find(unrated);
    }
    let subject = format!("{} run", words::brief(units, demand.role));
    if let Some(hot) = tools.book.hot_at_terminals(demand, Amperes(run.capacity_a), record) {
        record.find(hot_ends(&codes::C614_HOT_ENDS, &subject, &run.phase_size, hot).at(case.place.clone()));
    }
    if let Some(hot) = tools.book.hot_raceway(demand) {
        record.find(hot_raceway(&codes::C616_HOT_RACEWAY, &subject, hot, units).at(case.place.clone()));
    }
    if choice.unscreened {
        record.find(unscreened(case, run));
    }
    if let Some(shared) = raceway_of_group(case, demand, run, units) {
        record.find(shared);
    }
    let candidate = Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase };
    for [what, why, cure, clause] in
        tools.book.at_table_edge(demand, candidate, [Amperes(run.required_a), Amperes(run.capacity_a)])
    {
        let finding = Finding::new(&codes::C230_TABLE_EDGE, format!("{subject}: {what}"));
        record.find(finding.at(case.route.place.clone()).why(why).cure(cure).reference(clause));
    }
}

/// A raceway is sized for the conductors of all circuits of its group, and each of their rows brings one.
fn raceway_of_group(case: &Case, demand: &RunDemand, run: &Run, units: Units) -> Option<Finding> {
    let raceway = run.raceway.as_ref().filter(|_| demand.grouped > 1)?;
    let what = format!(
        "{} run: {}, trade size {}, is sized for the conductors of {} circuits, and the purchase list holds {} {} of it for this circuit",
        words::brief(units, demand.role),
        words::brief(units, &raceway.kind),
        raceway.trade_size,
        demand.grouped,
        units.length(run.length_m),
        units.length_unit()
    );
    let cure = format!("order one for every {} circuits of the group, with its fittings, and strike the others", demand.grouped);
    Some(
        Finding::new(&codes::P108_RACEWAY_OF_GROUP, what)
            .at(case.place.clone())
            .why("one raceway serves them together; no column says which rows share it")
            .cure(cure),
    )
}

/// Says where three conductors may wedge in the bend of a raceway.
fn say_jams(case: &Case, demand: &RunDemand, choice: &RunChoice, units: Units, record: &mut Record) {
    for raceway in &choice.companions.raceways {
        let Some(ratio) = raceway.jam_ratio else { continue };
        let what = format!(
            "{} run: {}, trade size {}, is {} times as wide as each of its three conductors (jam ratio)",
            words::brief(units, demand.role),
            words::brief(units, raceway.kind),
            raceway.trade_size,
            round_to(ratio, 2)
        );
        record.find(
            Finding::new(&codes::C606_JAM, what)
                .at(case.place.clone())
                .why("from 2.8 to 3.2 three conductors may line up and wedge in a bend")
                .cure("pull with care, or write a larger minimum_raceway in the basis")
                .reference("NFPA 70, Chapter 9 Table 1, informational note 2"),
        );
    }
}

/// No run is short enough where the smallest fault at the board itself opens the device too late.
fn not_cleared_at_board(case: &Case, demand: &RunDemand, tools: &Tools<'_>) -> Option<Finding> {
    let at_board = RunDemand { length: Some(Metres::default()), ..demand.clone() };
    let largest = tools.book.ladder(demand).into_iter().last()?;
    let criterion = tools.book.criteria().iter().find(|criterion| criterion.name == "disconnection")?;
    let outcome = (criterion.judge)(&at_board, largest, &mut Record::silent()).filter(|outcome| outcome.passed == Some(false))?;
    let ka = |amperes: f64| significant(amperes / 1000.0, 3);
    let what = format!(
        "{} run: the device opens in time on {} kA; the smallest fault where the run begins is {} kA, so that no cable and no length helps",
        words::brief(Units::of(tools.book.key()), demand.role),
        ka(outcome.limit),
        ka(outcome.value)
    );
    Some(
        Finding::new(&codes::C601_NO_CABLE, what)
            .at(case.place.clone())
            .why("the smallest fault is that of the weakest source which may feed the board, such as a generator in the place of the transformer")
            .cure("choose a device that opens on less (gG fuses, an electronic release with a lower trip, a residual-current device), a lower trip while that source feeds the board, or a stronger source")
            .reference(criterion.reference),
    )
}

/// What rules out every size.
fn no_size(case: &Case, demand: &RunDemand, [why, cure, clause]: [String; 3], units: Units) -> Finding {
    let what = format!(
        "no {} of any size holds for the {} run: {why}",
        units.pick("cable", "conductor"),
        units.pick(demand.role.into(), words::brief(units, demand.role))
    );
    Finding::new(&codes::C601_NO_CABLE, what).at(case.place.clone()).cure(cure).reference(clause)
}

/// No size of the book holds.
fn no_conductor(case: &Case, demand: &RunDemand, units: Units) -> Finding {
    let what = format!(
        "no {} of the book holds for the {} run: {} A over {} {}",
        units.pick("cable", "conductor"),
        units.pick(demand.role.into(), words::brief(units, demand.role)),
        round_to(demand.current.0, 1),
        units.length(demand.length.map_or(0.0, |length| length.0)),
        units.length_unit()
    );
    let cure = units.pick(
        "shorten the run, choose another installation, or allow a larger voltage drop; the checks say which limit fails",
        "shorten the run, choose another raceway, or allow a larger voltage drop; the checks say which limit fails",
    );
    Finding::new(&codes::C601_NO_CABLE, what).at(case.place.clone()).cure(cure)
}

/// Equipment whose short-circuit rating nobody states, where the book holds one against the fault current at its terminals.
fn unrated_equipment(case: &Case, demand: &RunDemand, choice: &RunChoice) -> Option<Finding> {
    let check = choice.checks.iter().find(|check| check.name == "short-circuit-rating").filter(|_| demand.unrated_equipment)?;
    let ka = |amperes: f64| format!("{} kA", significant(amperes / 1000.0, 4));
    let (code, what) = match (check.passed, check.value.zip(check.limit)) {
        (Some(true), Some((fault, least))) => (
            &codes::C223_RATING_TAKEN,
            format!(
                "the short-circuit current rating of the equipment is not stated; {} is taken, which unmarked parts stand, against {} at its terminals",
                ka(least),
                ka(fault)
            ),
        ),
        _ => {
            let fault = choice.companions.end_max.or(demand.fault_max);
            let against = fault.map_or_else(|| "an unknown fault current".to_owned(), |fault| ka(fault.0));
            let what =
                format!("the short-circuit current rating of the equipment is not stated; at its terminals comes {against}");
            (&codes::C222_RATING_UNSTATED, what)
        }
    };
    Some(
        Finding::new(code, what)
            .at(case.place.clone())
            .why("the controllers in it may burst at a fault that they are not made for; where they are unmarked they stand as little as 5 kA")
            .cure("enter equipment_sccr_ka from its nameplate or from its maker; where it stands less, ask for equipment of a higher rating, or for the fuses before it that its maker has tested with it")
            .reference("NFPA 70, 110.10, 440.4(B); UL 508A, Supplement SB"),
    )
}

/// The catalogue holds no such conductor.
fn no_part(case: &Case, run: &Run, units: Units) -> Finding {
    let (size, cores) = (&run.phase_size, run.cores);
    let what = units.pick(
        format!("the catalogue holds no cable of {size} {} {} with {cores} cores", run.material, run.insulation),
        format!(
            "the catalogue holds no conductor {size} {} {}",
            words::brief(units, &run.material),
            words::brief(units, &run.insulation)
        ),
    );
    let cure = units.pick("add the cable to the catalogue", "add the conductor to the catalogue");
    Finding::new(&codes::C604_NO_CABLE_PART, what).at(case.place.clone()).cure(cure)
}

/// The start that a slow class admits heats the conductors, which no clause of their current asks for.
fn slow_class(case: &Case, demand: &RunDemand) -> Finding {
    let what = format!(
        "{} run: conductors for {} A instead of {} A, because the overload relay is of a slow class",
        words::brief(Units::Metric, demand.role),
        round_to(demand.current.0 * demand.class_factor, 1),
        round_to(demand.current.0, 1)
    );
    Finding::new(&codes::C619_SLOW_CLASS, what)
        .at(case.place.clone())
        .why("until the relay trips a locked motor heats them for longer than class 10 does: times √(class / 10), as for contactors")
        .cure("a shorter start (start_time_s, another method) takes a faster class and smaller conductors")
        .reference(CLASS_FACTOR.reference)
}

/// Single cores lead from drive to motor, for want of a screened cable.
fn unscreened(case: &Case, run: &Run) -> Finding {
    let what = format!(
        "the catalogue holds no screened cable of {} for the run from drive to motor; single cores are listed",
        run.phase_size.replace("mm2", "mm²")
    );
    Finding::new(&codes::C610_UNSCREENED, what)
        .at(case.place.clone())
        .cure("add a screened cable to the catalogue, or have the drive's maker admit single cores (EMC, bearing currents)")
        .reference("IEC 61800-3; the drive's instructions")
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

/// The clause goes by the rated current of the circuit and does not say whether that is the back-up device's or the overload relay's.
pub(super) fn slower_disconnection(
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
