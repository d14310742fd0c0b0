//! Figures of a motor that no motor has: too low an efficiency or power factor, more load than it is rated for, a start or a speed that
//! contradicts an induction motor, a low speed that is stronger than the high one.

use super::class_limit;
use crate::finding::{Finding, codes};
use crate::load::{Case, EfficiencyClass, Field, Load, LoadKind, Machine, Method};
use crate::quantity::{Volts, round_to};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::nominal::is_same_voltage;
use crate::rules::physics::plausibility::plausible;
use crate::rules::physics::starting;
use crate::rules::units::Units;
use crate::rules::words;

/// Holds the motor's figures of a row against what motors are.
pub(super) fn of_row(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    if case.machine.kind != LoadKind::Motor {
        return;
    }
    efficiency(load, &case.machine, book, record);
    power_factor(load, record);
    winding(load, case, record);
    load_above_motor(load, case, record);
    locked_rotor(load, case, record);
    speed(load, case, record);
    low_speed(load, case, record);
    one_speed(load, case, book, record);
}

/// The least efficiency that is still believed: that of the lowest class with twice its losses; where no class is known for the output,
/// that of a very small motor.
fn least_efficiency(load: &Load, machine: &Machine, book: &dyn RuleBook) -> Option<f64> {
    let three_phases = machine.phases == 3;
    let of_class = three_phases.then(|| class_limit(load, machine, EfficiencyClass::Ie1, book)).flatten();
    let of_losses = of_class.map(|limit| 1.0 - plausible("worst-loss-share") * (1.0 - limit));
    let is_tiny = machine.power.is_none_or(|power| power.0 < plausible("tiny-motor-w"));
    let floor = (!is_tiny).then(|| plausible("efficiency-least"));
    of_losses.into_iter().chain(floor).reduce(f64::max)
}

/// A class that the row states holds its efficiency to a narrower limit.
fn efficiency(load: &Load, machine: &Machine, book: &dyn RuleBook, record: &mut Record) {
    let Some(stated) = load.number(Field::EfficiencyPct).filter(|_| machine.class.is_none()) else { return };
    let Some(least) = least_efficiency(load, machine, book).filter(|least| stated / 100.0 < *least) else { return };
    record.find(
        Finding::new(
            &codes::L334_EFFICIENCY_TOO_LOW,
            format!("{stated} % is less than a motor of this output has (at least about {} %)", round_to(least * 100.0, 0)),
        )
        .at(load.place_of(Field::EfficiencyPct))
        .why("a current computed with it would be too large, and the overload protection set to it would not protect the motor")
        .cure(
            "compare the efficiency with the nameplate: two digits may be exchanged, or it is that of motor and machine together",
        ),
    );
}

fn power_factor(load: &Load, record: &mut Record) {
    let Some(stated) = load.number(Field::PowerFactor).filter(|stated| *stated < plausible("power-factor-least")) else { return };
    record.find(
        Finding::new(&codes::L335_POWER_FACTOR_TOO_LOW, format!("no motor has a power factor of {stated} at its rated load"))
            .at(load.place_of(Field::PowerFactor))
            .why("a current computed with it would be too large, and the overload protection set to it would not protect the motor")
            .cure("enter the nameplate's power factor (that while starting is another), or leave the cell empty"),
    );
}

/// A winding that the line passes in neither connection, delta nor star. Behind a drive the drive makes the voltage; what a start in delta
/// asks of the winding is told with its method.
fn winding(load: &Load, case: &Case, record: &mut Record) {
    let (start, line) = (&case.start, case.machine.voltage.0);
    let Some((low, high)) = case.machine.winding.filter(|_| !start.method.needs_delta_winding() && !start.by_drive_alone())
    else {
        return;
    };
    let is_line = |volts: Volts| is_same_voltage(volts.0, line);
    if is_line(low) || high.is_some_and(is_line) {
        return;
    }
    let made_for = load.text(Field::MotorVoltages).unwrap_or_default();
    record.find(
        Finding::new(&codes::C301_WINDING_VOLTAGE, format!("the winding is made for {made_for} V; the supply is {line} V"))
            .at(load.place_of(Field::MotorVoltages))
            .cure("order the motor for the supply voltage"),
    );
}

/// What the load takes at its duty point is within the motor's rated power, with its service factor.
fn load_above_motor(load: &Load, case: &Case, record: &mut Record) {
    let (Some(absorbed), Some(power)) = (load.number(Field::AbsorbedPowerKw), case.machine.power) else { return };
    let rated = power.0 / 1000.0 * f64::from(case.motors);
    let most = rated * case.machine.service_factor.unwrap_or(1.0).max(1.0);
    if absorbed <= most * (1.0 + plausible("absorbed-slack")) {
        return;
    }
    record.find(
        Finding::new(
            &codes::L336_LOAD_ABOVE_MOTOR,
            format!("the load takes {absorbed} kW at its duty point; the motor is rated {} kW", round_to(rated, 3)),
        )
        .at(load.place_of(Field::AbsorbedPowerKw))
        .why("the motor runs overloaded: its overload protection trips, and feeders are worked out with too little")
        .cure("compare both powers with the data sheets; absorbed_power_kw is that at the shaft, not that from the line"),
    );
}

/// At standstill a cage motor on the line draws several times its rated current.
fn locked_rotor(load: &Load, case: &Case, record: &mut Record) {
    let other = case.start.by_drive_alone() || case.start.method == Method::RotorResistance || case.machine.phases != 3;
    let Some(stated) = load.number(Field::LockedRotorRatio).filter(|_| !other) else { return };
    if stated >= plausible("locked-rotor-ratio-least") {
        return;
    }
    record.find(
        Finding::new(
            &codes::L337_LOCKED_ROTOR_RATIO,
            format!("a locked-rotor current of {stated} times the rated one is less than a cage motor draws at standstill"),
        )
        .at(load.place_of(Field::LockedRotorRatio))
        .why("device, magnetic trip and voltage drop of the start are worked out with it")
        .cure("enter the ratio of the motor's data sheet (usually 4 to 8), or leave the cell empty"),
    );
}

/// A rated speed lies a little below that of the field, which the number of poles and the frequency give. That of the field itself is often
/// written and understood.
fn speed(load: &Load, case: &Case, record: &mut Record) {
    let start = &case.start;
    let other = start.by_drive_alone() || start.method.two_speeds();
    let Some(rpm) = load.number(Field::SpeedRpm).filter(|_| !other) else { return };
    let machine = &case.machine;
    let field_rpm = 120.0 * machine.frequency_hz / f64::from(machine.poles.max(2));
    let slip = 1.0 - rpm / field_rpm;
    let figure = |name: &str| starting::practice(name).unwrap_or(f64::NAN);
    if (-figure("field-speed-slack")..=figure("rated-slip-most")).contains(&slip) {
        return;
    }
    let what = if slip < 0.0 {
        format!(
            "{rpm} /min is faster than the field of {} poles at {} Hz, {} /min",
            machine.poles.max(2),
            machine.frequency_hz,
            round_to(field_rpm, 0)
        )
    } else {
        format!(
            "{rpm} /min is far below the {} /min of {} poles at {} Hz",
            round_to(field_rpm, 0),
            machine.poles.max(2),
            machine.frequency_hz
        )
    };
    record.find(
        Finding::new(&codes::L338_SPEED, what)
            .at(load.place_of(Field::SpeedRpm))
            .why("the number of poles and the time of the start are told by it")
            .cure("enter the motor's rated speed, not that of the driven machine behind a gear; compare poles and frequency"),
    );
}

/// A starter of one speed has neither contactor nor relay for the low speed of which the row speaks. Where others bring the starter, or the
/// equipment has it in itself, its speeds are theirs.
fn one_speed(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    let method = case.start.method;
    let of_low_speed = [Field::RatedPowerLowKw, Field::RatedPowerLowHp, Field::FullLoadCurrentLowA];
    let stated = of_low_speed.into_iter().find(|field| load.number(*field).is_some());
    let Some(field) = stated.filter(|_| !method.two_speeds() && !method.supply_only()) else { return };
    let by = words::full(Units::of(book.key()), method.word());
    record.find(
        Finding::new(&codes::L342_ONE_SPEED, format!("a low speed is stated; started by \"{by}\" the motor has one speed"))
            .at(load.place_of(field))
            .why("contactors, relays and runs of a motor of two speeds are others; this row is sized for the high one alone")
            .cure(if method == Method::Drive {
                "take the figures of the low speed out: a drive gives every speed to one winding"
            } else {
                "write two-speed-dahlander or two-speed-separate, or take the figures of the low speed out"
            }),
    );
}

/// The low speed of a motor gives no more power than the high one, and draws not much more for the power that it gives.
fn low_speed(load: &Load, case: &Case, record: &mut Record) {
    let machine = &case.machine;
    if !case.start.method.two_speeds() {
        return;
    }
    let ratio = machine.power_low.zip(machine.power).map(|(low, high)| low.0 / high.0);
    let stronger = ratio.is_some_and(|ratio| ratio > 1.0 + plausible("absorbed-slack"));
    let most = |high: f64| plausible("low-speed-current-most") * ratio.unwrap_or(1.0).min(1.0) * high;
    let drawn =
        machine.nameplate_low.zip(machine.nameplate).filter(|(low, high)| low.0 > most(high.0) + plausible("nameplate-far-a"));
    let (what, field) = match (ratio, drawn) {
        (Some(ratio), _) if stronger => {
            (format!("the low speed has {} times the power of the high one", round_to(ratio, 2)), Field::RatedPowerLowKw)
        }
        (_, Some((low, high))) => (
            format!("{} A at low speed do not go with {} A at high speed and the powers of the row", low.0, high.0),
            Field::FullLoadCurrentLowA,
        ),
        _ => return,
    };
    record.find(
        Finding::new(&codes::L339_LOW_SPEED, what)
            .at(load.place_of(field))
            .why("relay, contactor and run of the low speed go by it")
            .cure("compare both speeds with the nameplate: high and low may be exchanged"),
    );
}
