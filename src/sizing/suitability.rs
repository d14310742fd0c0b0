//! Does the starting method suit the motor, the load and the supply? Each answer that is no is a finding with its cure.

use crate::finding::{Finding, codes};
use crate::load::{Case, EfficiencyClass, Field, Load, LoadKind, LoadTorque, Method};
use crate::quantity::round_to;
use crate::record::Record;
use crate::rules::physics::nominal::is_same_voltage;
use crate::rules::physics::starting;
use crate::rules::units::Units;
use crate::rules::words;
use crate::rules::{RatedCurrents, Topic};
use crate::sizing::Tools;
use crate::sizing::arrangement::Arrangement;
use crate::supply::SupplyPoint;

fn units(tools: &Tools<'_>) -> Units {
    Units::of(tools.book.key())
}

/// Share of the rated torque that a load needs at standstill.
fn breakaway(torque: LoadTorque) -> f64 {
    figure(match torque {
        LoadTorque::Quadratic => "breakaway-quadratic",
        LoadTorque::Linear => "breakaway-linear",
        LoadTorque::Constant => "breakaway-constant",
        LoadTorque::HighBreakaway => "breakaway-high",
    })
}

fn figure(name: &str) -> f64 {
    starting::practice(name).unwrap_or(f64::NAN)
}

/// Looks at everything that may not suit.
pub(super) fn look(
    load: &Load,
    case: &Case,
    currents: &RatedCurrents,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    record: &mut Record,
) {
    if case.machine.kind != LoadKind::Motor {
        return;
    }
    winding(load, case, tools, record);
    leads(load, case, tools, record);
    torque(load, case, tools, record);
    direct_limit(load, case, record);
    two_speeds(load, case, tools, record);
    reversing(load, case, tools, record);
    longer_start(load, case, tools, record);
    current_limit(load, case, record);
    slip_ring(load, case, record);
    duty(load, case, record);
    inched_softly(load, case, record);
    reset(load, case, tools, record);
    dip(load, case, currents, point, tools, record);
    if case.machine.class == Some(EfficiencyClass::Ie5) && case.start.starts_on_line(case.machine.kind) {
        record.find(
            Finding::new(
                &codes::C306_IE5_DIRECT,
                "motors of class IE5 are mostly made for drives; this one is started on the line",
            )
            .at(load.place_of(Field::EfficiencyClass))
            .cure("ask the motor's maker whether it starts on the line, and for its locked-rotor ratio"),
        );
    }
}

/// A stated start time is that at full voltage; on a reduced step the start takes longer, and relay, contactors and timer go by that.
fn longer_start(load: &Load, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let stated = case.start.time.value.0;
    let taken = Arrangement::of(case.start.method).step_time(&case.start);
    let of_row = load.number(Field::StartTimeS).is_some() && case.start.worked_out.is_none();
    if !of_row || case.start.method == Method::Drive || taken <= stated * 1.01 {
        return;
    }
    record.find(
        Finding::new(
            &codes::C320_LONGER_START,
            format!(
                "{} s at full voltage are taken as {} s with {}: relay, contactors and timer go by these",
                round_to(stated, 2),
                round_to(taken, 2),
                words::of_book(tools.book, case.start.method.word())
            ),
        )
        .at(load.place_of(Field::StartTimeS))
        .cure("nothing if it is the time of a direct start; if it was measured with this starter, state that of a direct start, or inertia and torques"),
    );
}

/// A soft starter gives the torque that the square of its current limit leaves; where the start is worked out and the motor comes up, that
/// shows more.
fn current_limit(load: &Load, case: &Case, record: &mut Record) {
    let (start, least) = (&case.start, figure("soft-starter-limit-least"));
    let limited = matches!(start.method, Method::SoftStarter | Method::SoftStarterInsideDelta);
    if !limited || start.worked_out.is_some() || start.limit.value >= least {
        return;
    }
    let torque = Arrangement::of(start.method).torque(record, start);
    let ramp = Arrangement::of(start.method).step_time(start);
    record.find(
        Finding::new(
            &codes::C328_CURRENT_LIMIT,
            format!(
                "a current limit of {} times the rated current leaves {} % of the torque of a direct start; soft starters are set to {least} times and more",
                start.limit.value,
                round_to(100.0 * torque, 1)
            ),
        )
        .at(load.place_of(Field::StartCurrentLimit))
        .why(format!("the motor may not turn its load at all; {} s are taken for the ramp", round_to(ramp, 1)))
        .cure("raise start_current_limit, or state inertia_kgm2, locked_rotor_torque_ratio, breakdown_torque_ratio and speed_rpm, which work the start out")
        .reference("common practice, no source"),
    );
}

fn winding(load: &Load, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let start = &case.start;
    let line = case.machine.voltage.0;
    if !start.method.needs_delta_winding() {
        return;
    }
    match case.machine.winding {
        None => record.find(
            Finding::new(
                &codes::C302_WINDING_UNKNOWN,
                format!(
                    "the nameplate voltages are missing; {} needs a winding for {line} V in delta",
                    words::of_book(tools.book, start.method.word())
                ),
            )
            .at(load.place())
            .cure(tools.book.delta_winding_cure(case.machine.voltage))
            .reference(tools.book.clause(Topic::TerminalMarkings)),
        ),
        Some((delta, _)) if !is_same_voltage(delta.0, line) => record.find(
            Finding::new(
                &codes::C303_WRONG_WINDING,
                format!(
                    "the winding is made for {} V in delta; {} at {line} V would burn it or leave it without torque",
                    delta.0,
                    words::of_book(tools.book, start.method.word())
                ),
            )
            .at(load.place_of(Field::MotorVoltages))
            .cure(format!(
                "order a motor wound for {line} V in delta, or start {}",
                units(tools).pick("direct in star", "across the line in wye")
            ))
            .reference(tools.book.clause(Topic::TerminalMarkings)),
        ),
        Some(_) => {}
    }
}

/// Two contactors with three poles each lead to six ends, and a motor with fewer can't be connected.
fn leads(load: &Load, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let method = case.start.method;
    let Some(leads) = case.machine.leads.filter(|leads| *leads < 6 && method.needs_six_leads()) else { return };
    record.find(
        Finding::new(
            &codes::C304_LEADS,
            format!("{} needs six leads; the motor brings out {leads}", words::of_book(tools.book, method.word())),
        )
        .at(load.place_of(Field::MotorLeads))
        .cure("order a motor with six leads, or choose another starting method")
        .reference(tools.book.clause(Topic::TerminalMarkings)),
    );
}

fn torque(load: &Load, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let Some(torque) = case.start.torque else { return };
    if matches!(case.start.method, Method::Drive | Method::RotorResistance) || case.start.method.supply_only() {
        return;
    }
    let arrangement = Arrangement::of(case.start.method);
    let torque_ratio = case.start.torque_ratio.unwrap_or_else(|| figure("starting-torque"));
    let factor = arrangement.torque(record, &case.start);
    let available = starting::available_torque(record, torque_ratio, factor, 1.0);
    let needed = breakaway(torque);
    let wanted = figure("torque-margin-wanted");
    if available < wanted * needed {
        let certain = case.start.torque_ratio.is_some();
        record.find(
            Finding::new(
                &codes::C305_TORQUE,
                format!(
                    "at standstill the motor gives {} of its rated torque; the load needs about {}, a margin of {} % included",
                    round_to(available, 2),
                    round_to(wanted * needed, 2),
                    round_to(100.0 * (wanted - 1.0), 0)
                ),
            )
            .at(load.place_of(Field::LoadTorque))
            .why(if certain { String::new() } else { format!("the starting torque ratio is assumed as {torque_ratio}") })
            .cure(units(tools).pick(
                "a method with more torque (direct, autotransformer with a higher tap, drive), or an unloaded start",
                "a method with more torque (full voltage, autotransformer with a higher tap, drive), or an unloaded start",
            )),
        );
    }
}

fn direct_limit(load: &Load, case: &Case, record: &mut Record) {
    let (Some(limit), Some(power)) = (case.wishes.direct_limit, case.machine.power) else { return };
    // Motors behind one contactor start together.
    let power = power * f64::from(case.motors);
    let direct = case.start.method == Method::Direct || case.start.over_bypass();
    if direct && !power.fits(limit) {
        let how = if case.start.over_bypass() { " over the bypass" } else { "" };
        record.find(
            Finding::new(
                &codes::C307_DIRECT_LIMIT,
                format!("{} kW is started direct{how}; the basis allows {} kW", power.0 / 1000.0, limit.0 / 1000.0),
            )
            .at(load.place_of(Field::StartingMethod))
            .cure("agree the direct start with the network's operator, or start another way")
            .reference("basis, starting.direct_limit_kw"),
        );
    }
}

/// Dip of a direct start at the board, where the basis limits it; the smallest fault current is the weakest supply.
fn dip(load: &Load, case: &Case, currents: &RatedCurrents, point: &SupplyPoint, tools: &Tools<'_>, record: &mut Record) {
    let Some(limit) = tools.basis.starting.direct_limit_dip_pct else { return };
    let direct = case.start.method == Method::Direct || case.start.over_bypass();
    if !direct || case.machine.phases != 3 {
        return;
    }
    let Some(supply) = point.running_path.or_else(|| point.stated_path()) else {
        record.find(
            Finding::new(
                &codes::C315_DIP_UNKNOWN,
                format!(
                    "the basis limits the dip of a direct start to {limit} %, but the fault current of board {} is unknown",
                    case.board
                ),
            )
            .at(load.place())
            .cure("enter prospective_fault_min_ka in the basis"),
        );
        return;
    };
    let start = currents.of_larger_speed() * case.start.ratio.value;
    let dip = tools.book.board_dip_pct(case.machine.voltage, supply, start, case.start.power_factor.value, record);
    if dip > limit {
        record.find(
            Finding::new(
                &codes::C314_DIP,
                format!("a direct start dips the board's voltage by {} %; the basis allows {limit} %", round_to(dip, 1)),
            )
            .at(load.place_of(Field::StartingMethod))
            .cure("start another way, or agree the dip with those who share the supply")
            .reference("basis, starting.direct_limit_dip_pct"),
        );
    } else if point.running_path.is_none() && point.fault_min.is_none() {
        record.find(
            Finding::new(
                &codes::C315_DIP_UNKNOWN,
                format!(
                    "a direct start dips board {} by {} % while its supply is at its strongest; the smallest fault current, which decides, is unknown",
                    case.board,
                    round_to(dip, 1)
                ),
            )
            .at(load.place())
            .cure("enter prospective_fault_min_ka in the basis"),
        );
    }
}

fn two_speeds(load: &Load, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    if !case.start.method.two_speeds() {
        return;
    }
    if case.start.method == Method::TwoSpeed {
        record.find(
            Finding::new(
                &codes::C308_TWO_SPEED_KIND,
                format!(
                    "`{}` does not say which kind of two speeds; a tapped winding is assumed, which needs one contactor more",
                    load.entry(Field::StartingMethod).map_or("two-speed", |entry| entry.text.trim())
                ),
            )
            .at(load.place_of(Field::StartingMethod))
            .cure("write two-speed-dahlander (tapped winding) or two-speed-separate (two windings)")
            .reference(tools.book.clause(Topic::TerminalMarkings)),
        );
    }
    if case.machine.nameplate_low.is_none() {
        let why = if case.machine.power_low.is_some() {
            "the low speed's current is computed from its power with the high speed's efficiency and power factor, which are better"
        } else {
            "the low speed is sized like the high one"
        };
        record.find(
            Finding::new(&codes::C309_LOW_SPEED_CURRENT, "the rated current at low speed is missing")
                .at(load.place())
                .why(why)
                .cure("enter full_load_current_low_a from the nameplate"),
        );
    }
}

/// Contactors for both directions stand before a direct start only; a drive turns the field itself.
fn reversing(load: &Load, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let method = case.start.method;
    if !case.start.reversing || method.supply_only() || matches!(method, Method::Direct | Method::Drive) {
        return;
    }
    record.find(
        Finding::new(
            &codes::C319_REVERSING,
            format!(
                "the motor runs in both directions; its starter ({}) is sized for one",
                words::of_book(tools.book, method.word())
            ),
        )
        .at(load.place_of(Field::Reversing))
        .why("the contactor of the other direction and its interlock are not in the parts list")
        .cure("start the motor direct or by a drive, or add contactor and interlock by hand"),
    );
}

fn slip_ring(load: &Load, case: &Case, record: &mut Record) {
    if case.start.method != Method::RotorResistance {
        return;
    }
    let missing = match (case.machine.rotor_current, case.machine.rotor_voltage) {
        (Some(_), Some(_)) => None,
        (Some(_), None) => Some("rotor voltage is missing; contactors of the rotor are not held against it"),
        (None, Some(_)) => Some("rotor current is missing; the rotor circuit is sized for the stator current"),
        (None, None) => Some(
            "rotor current and rotor voltage are missing; the rotor circuit is sized for the stator current, and its contactors are not held against a voltage",
        ),
    };
    if let Some(missing) = missing {
        record.find(
            Finding::new(&codes::C310_ROTOR_DATA, missing)
                .at(load.place())
                .cure("enter rotor_current_a and rotor_voltage_v from the nameplate"),
        );
    }
    record.find(
        Finding::new(&codes::C311_ROTOR_STEPS, "three rotor steps are taken; the resistor's maker fixes their number")
            .at(load.place())
            .cure("confirm the number of steps with the resistor's maker"),
    );
}

/// What inches or brakes behind a soft starter is the soft starter: no category of a contactor says whether it may.
fn inched_softly(load: &Load, case: &Case, record: &mut Record) {
    let start = &case.start;
    let soft = matches!(start.method, Method::SoftStarter | Method::SoftStarterInsideDelta);
    let brakes = matches!(start.duty, 5 | 7);
    if !soft || !brakes && start.inching == 0.0 {
        return;
    }
    let (field, what) = if start.inching > 0.0 {
        (Field::InchingSharePct, format!("{} % of the operations are inching", round_to(start.inching * 100.0, 1)))
    } else {
        (Field::Duty, format!("duty {} brakes electrically", start.duty_text))
    };
    let often = match start.per_hour {
        Some(often) => format!(" at {often} starts an hour"),
        None => ", and enter starts_per_hour".to_owned(),
    };
    record.find(
        Finding::new(
            &codes::C236_INCHED_SOFTLY,
            format!("{what}; behind a soft starter its thyristors make and break that current, no contactor does"),
        )
        .at(load.place_of(field))
        .why("each short start heats them like a whole one; a line contactor is for opening once the soft starter has shut off, and a bypass for a motor that is up")
        .cure(format!(
            "have the soft starter's maker confirm inching or braking{often}; a motor that is inched or braked as its service starts direct or has a drive"
        ))
        .reference("IEC 60947-4-2, category AC-53"),
    );
}

fn duty(load: &Load, case: &Case, record: &mut Record) {
    if matches!(case.start.duty, 5 | 7) && case.start.inching == 0.0 && !case.start.behind_electronics() {
        record.find(
            Finding::new(
                &codes::C312_BRAKING,
                format!(
                    "duty {} brakes electrically, but no share of operations at locked-rotor current is given",
                    case.start.duty_text
                ),
            )
            .at(load.place_of(Field::Duty))
            .why("contactors are chosen for AC-4")
            .cure("enter inching_share_pct, which also gives the life to be expected"),
        );
    }
}

fn reset(load: &Load, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    if case.control.automatic_reset && !case.control.three_wire {
        record.find(
            Finding::new(&codes::C313_AUTOMATIC_RESET, "automatic reset with two-wire control restarts the motor by itself")
                .at(load.place_of(Field::ResetMode))
                .why("a motor that starts unexpectedly hurts whoever is at its machine")
                .cure("choose manual reset or three-wire control, unless it is shown that the restart can hurt nobody")
                .reference(tools.book.clause(Topic::AutomaticReset)),
        );
    }
}
