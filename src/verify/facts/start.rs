//! How the load of a circuit is started, read anew from the design: its locked-rotor current, its time, its duty.

use crate::basis::StartingBasis;
use crate::design::LoadData;
use crate::load::{Known, LoadKind, Machine, Method, Origin, Start, WorkedOutStart, duty as duties};
use crate::quantity::{Amperes, Seconds};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::run_up::{Course, Plate};
use crate::rules::physics::starting::{LoadTorque, Start as Kind, practice};

/// The start; `full_load` is the current, A, on which the circuit of one motor is based.
pub(super) fn read(
    load: &LoadData,
    method: Method,
    machine: &Machine,
    full_load: f64,
    of_project: &StartingBasis,
    book: &dyn RuleBook,
) -> Start {
    let stated = |name: &str, otherwise: f64| {
        load.number(name).map_or(Known::new(otherwise, Origin::Default), |number| Known::new(number, Origin::Cell))
    };
    let figure = |name: &str| practice(name).unwrap_or(f64::NAN);
    let of_transformer = method == Method::Autotransformer;
    let tap = figure(if of_transformer { "autotransformer-tap" } else { "stator-impedance-voltage" });
    let duty = load.duty.clone().unwrap_or_default();
    Start {
        method,
        reversing: load.reversing,
        ratio: locked_rotor(load, machine, full_load, of_project, book),
        power_factor: stated("starting_power_factor", book.starting_power_factor(machine.power)),
        time: {
            let heavy = load.words("load_torque") == Some("high-breakaway");
            let usual = figure(if heavy { "start-time-heavy" } else { "start-time" });
            let time = stated("start_time_s", of_project.start_time_s.unwrap_or(usual));
            let of_project = of_project.start_time_s.is_some() && time.origin == Origin::Default;
            Known::new(Seconds(time.value), if of_project { Origin::Basis } else { time.origin })
        },
        worked_out: None,
        stall_time: load.number("stall_time_s").map(Seconds),
        torque: None,
        torque_ratio: load.number("locked_rotor_torque_ratio"),
        tap: load.number("tap_pct").map_or(Known::new(tap, Origin::Default), |percent| Known::new(percent / 100.0, Origin::Cell)),
        limit: stated("start_current_limit", figure("soft-starter-limit")),
        drive_input: load.number("drive_input_current_a").map(Amperes),
        bypass: load.yes("bypass").unwrap_or(false),
        line_contactor: load.yes("line_contactor").unwrap_or_else(|| book.line_contactor()),
        duty: duties::number(&duty).unwrap_or(1),
        rated_minutes: duties::minutes(&duty),
        duty_text: duty,
        per_hour: load.number("starts_per_hour"),
        inching: load.number("inching_share_pct").unwrap_or(0.0) / 100.0,
        operations: load.number("required_operations"),
        hours_a_year: None,
        wanted_years: None,
        te: load.number("te_s").map(Seconds),
    }
}

/// Locked-rotor currents of motors over their rated ones: what is stated beyond them is a slip, and told.
const LIKELY: std::ops::RangeInclusive<f64> = 1.0..=20.0;

/// Locked-rotor current over the full-load current of the circuit: what the row states over its nameplate, what marking or table give in
/// amperes, else a usual ratio.
fn locked_rotor(
    load: &LoadData,
    machine: &Machine,
    full_load: f64,
    of_project: &StartingBasis,
    book: &dyn RuleBook,
) -> Known<f64> {
    let of_book = book.locked_rotor(machine);
    let usual = of_book.ratio.origin == Origin::Default;
    let rated = [machine.nameplate.map(|rated| rated.0), load.number("rated_load_current_a")];
    let alone = load.number("locked_rotor_current_a").filter(|_| rated.iter().all(Option::is_none));
    if let Some(drawn) =
        alone.filter(|drawn| load.number("locked_rotor_ratio").is_none() && LIKELY.contains(&(drawn / full_load)))
    {
        return Known::new(drawn / full_load, Origin::Cell);
    }
    let (ratio, base, origin) = match (load.number("locked_rotor_ratio"), of_project.locked_rotor_ratio.filter(|_| usual)) {
        (Some(stated), _) => (stated, machine.nameplate, Origin::Cell),
        (None, Some(of_project)) => (of_project, None, Origin::Basis),
        (None, None) => (of_book.ratio.value, of_book.over, of_book.ratio.origin),
    };
    Known::new(base.map_or(ratio, |base| base.0 * ratio / full_load), origin)
}

/// Start time of a motor whose row gives inertia and speed, and no time.
pub(super) fn run_up(load: &LoadData, machine: &Machine, start: &mut Start) {
    // A drive brings its motor up at its own pace, but not over a bypass.
    let by_drive = start.method == Method::Drive && !start.bypass;
    let cage = !by_drive && start.method != Method::RotorResistance && !start.method.two_speeds();
    let (Some(inertia_kgm2), Some(power)) = (load.number("inertia_kgm2"), machine.power) else { return };
    let speed = load.number("speed_rpm");
    let wanted = machine.kind == LoadKind::Motor && cage && !start.method.supply_only();
    if !wanted || start.time.origin == Origin::Cell || speed.is_none() && load.number("poles").is_none() {
        return;
    }
    let synchronous = |poles: f64| 120.0 * machine.frequency_hz / poles;
    // Without a number of poles the speed tells it: the field turns just faster.
    let by_speed = |speed: f64| [12.0, 10.0, 8.0, 6.0, 4.0, 2.0].into_iter().find(|poles| synchronous(*poles) >= speed);
    let poles = load.number("poles").or_else(|| speed.and_then(by_speed)).unwrap_or(2.0);
    let torque = load.words("load_torque");
    let plate = Plate {
        power,
        synchronous_rpm: synchronous(poles.max(2.0)),
        rated_rpm: speed,
        inertia_kgm2,
        locked_rotor_torque: load.number("locked_rotor_torque_ratio"),
        breakdown_torque: load.number("breakdown_torque_ratio"),
        locked_rotor_current: start.ratio.value,
        load: match torque {
            Some("quadratic") => Some(LoadTorque::Quadratic),
            Some("linear") => Some(LoadTorque::Linear),
            _ => Some(LoadTorque::Constant),
        },
        high_breakaway: torque == Some("high-breakaway"),
        load_share: load.number("absorbed_power_kw").map_or(1.0, |kw| kw * 1000.0 / power.0),
        voltage: 1.0,
    };
    let (tap, limit) = (start.tap.value, start.limit.value);
    // Method, time without voltage, and current in the overload relay over its setting.
    let (kind, pause, multiple) = match start.method {
        Method::StarDelta | Method::StarDeltaClosed => {
            let open = start.method == Method::StarDelta;
            let pause = if open { practice("changeover-pause-longest").unwrap_or(f64::NAN) } else { 0.0 };
            (Some(Kind::StarDelta), pause, start.ratio.value / 3f64.sqrt())
        }
        Method::Autotransformer => (Some(Kind::Autotransformer(tap)), 0.0, tap * start.ratio.value),
        Method::SoftStarter | Method::SoftStarterInsideDelta => {
            (Some(Kind::CurrentLimit(limit)), 0.0, limit.min(start.ratio.value))
        }
        Method::Direct | Method::Manual | Method::Drive => (Some(Kind::Direct), 0.0, start.ratio.value),
        _ => (None, 0.0, start.ratio.value),
    };
    let silent = &mut Record::silent();
    match plate.course(silent, kind, Seconds(pause)) {
        Course::Estimated(time) => {
            start.time = time.map_or(start.time, |time| Known::new(time, Origin::Computed));
        }
        // Figures of no motor must not shorten the start.
        Course::Contradicted(time) => {
            let longer = time.filter(|time| time.0 > start.time.value.0);
            start.time = longer.map_or(start.time, |time| Known::new(time, Origin::Computed));
        }
        Course::Integrated(full, run_up) => {
            if full.reached {
                start.time = Known::new(full.time, Origin::Computed);
            }
            start.worked_out = run_up.filter(|run_up| run_up.reached).map(|run_up| WorkedOutStart {
                time: run_up.stress_time(silent, multiple),
                change_over: run_up.change_over.map(|at| at.time),
                change_over_speed: run_up.change_over.map(|at| at.speed),
                change_over_current: run_up.change_over.map(|at| at.current_after),
            });
        }
    }
}
