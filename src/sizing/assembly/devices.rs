//! Soft starters, drives, transformers, resistors and reactors of a starting method.

use crate::catalogue::{Catalogue, Drive, SoftStarter};
use crate::design::{Check, StarterDevice};
use crate::finding::{Finding, codes};
use crate::load::{Case, LoadKind, Machine, Method, Origin, Start};
use crate::quantity::{Amperes, fits as within, round_to};
use crate::record::Record;
use crate::rules::physics::contactors::{Family, altitude_factor_of_electronics, ambient_factor};
use crate::rules::units::Units;
use crate::rules::{RatedCurrents, Topic};
use crate::sizing::Tools;
use crate::sizing::arrangement::{Arrangement, Device};
use crate::sizing::assembly::nearest_words;
use crate::sizing::assembly::relays::{lowest_setting, nearest_refused};
use crate::sizing::judge::{Verdict, at_most, choose as first};
use crate::sizing::prefer::by_price;

/// A device of the starting method.
#[derive(Clone, Debug)]
pub struct ChosenDevice<'a> {
    /// Kind.
    pub kind: &'static str,
    /// Current that it carries.
    pub current: Amperes,
    /// Soft starter.
    pub soft_starter: Option<&'a SoftStarter>,
    /// Drive.
    pub drive: Option<&'a Drive>,
    /// Input current of a drive; where the catalogue has none that fits, the one that those which it has would draw for that
    /// current.
    pub input: Option<Amperes>,
    /// It has a bypass of its own.
    pub bypass_built_in: bool,
    /// Checks.
    pub checks: Vec<Check>,
}

fn shown(current: Amperes) -> f64 {
    round_to(current.0, 4)
}

impl ChosenDevice<'_> {
    /// A soft starter or drive, of the catalogue or not.
    #[must_use]
    pub fn is_electronic(&self) -> bool {
        matches!(self.kind, "soft-starter" | "drive")
    }

    /// Current at which its overload protection trips in the end over its setting, where the catalogue states it.
    #[must_use]
    pub fn ultimate_trip(&self) -> Option<f64> {
        let of_drive = self.drive.and_then(|drive| drive.ultimate_trip_factor);
        of_drive.or_else(|| self.soft_starter.and_then(|soft_starter| soft_starter.ultimate_trip_factor))
    }

    /// Part number; empty if the catalogue holds none.
    #[must_use]
    pub fn part(&self) -> &str {
        self.soft_starter
            .map(|soft_starter| soft_starter.part.as_str())
            .or(self.drive.map(|drive| drive.part.as_str()))
            .unwrap_or("")
    }

    /// Description.
    #[must_use]
    pub fn description(&self) -> String {
        self.soft_starter
            .map(|soft_starter| soft_starter.description.clone())
            .or(self.drive.map(|drive| drive.description.clone()))
            .unwrap_or_else(
                // Worked out from the current as it is shown, so that both agree.
                || {
                    // A drive or soft starter is chosen from a range; a transformer, a resistor is made for its motor.
                    let rest = if self.is_electronic() { "to be selected" } else { "to be designed by its maker" };
                    format!("{} for {} A, {rest}", self.kind.replace('-', " "), round_to(shown(self.current), 1))
                },
            )
    }

    /// As a result, with what its maker or the site sets for this start.
    #[must_use]
    pub fn describe(&self, start: &Start) -> StarterDevice {
        let rated =
            self.soft_starter.map(|soft_starter| soft_starter.rating_a).or(self.drive.map(|drive| drive.output_a)).unwrap_or(0.0);
        let limit = Some(start.limit).filter(|_| self.kind == "soft-starter");
        // The resistors of a closed transition have no say in the voltage of the start.
        let tapped = matches!(start.method, Method::Autotransformer | Method::PrimaryResistor | Method::Reactor);
        let tap = Some(start.tap).filter(|_| tapped);
        StarterDevice {
            kind: self.kind.to_owned(),
            current_a: shown(self.current),
            rated_a: rated,
            part: self.part().to_owned(),
            current_limit: limit.map(|known| known.value),
            tap_pct: tap.map(|known| round_to(known.value * 100.0, 4)),
            setting_assumed: limit.or(tap).is_some_and(|known| known.origin != Origin::Cell),
        }
    }
}

/// Chooses the device of the method.
#[must_use]
pub fn choose<'a>(
    case: &Case,
    currents: &RatedCurrents,
    arrangement: &Arrangement,
    tools: &Tools<'a>,
    record: &mut Record,
) -> Vec<ChosenDevice<'a>> {
    let Some(device) = arrangement.device else { return Vec::new() };
    // The motor draws what its nameplate says, whatever current counts by the tables.
    let full = currents.full_load.max(currents.overload);
    let chosen = match device {
        Device::SoftStarter(share) => {
            let factor = share.factor(&case.start);
            soft_starter(case, full * factor, currents.overload * factor, arrangement, tools, record)
        }
        Device::Drive => drive(case, full, currents, tools, record),
        Device::Autotransformer => designed("autotransformer", full, case, record),
        Device::Resistor => designed("resistor", full, case, record),
        Device::Reactor => designed("reactor", full, case, record),
        Device::RotorResistor => designed("rotor-resistor", case.machine.rotor_current.unwrap_or(full), case, record),
    };
    vec![chosen]
}

/// A device that no catalogue lists: its maker designs it for the motor.
fn designed<'a>(kind: &'static str, current: Amperes, case: &Case, record: &mut Record) -> ChosenDevice<'a> {
    record.find(
        Finding::new(
            &codes::C205_MAKER_DESIGN,
            format!(
                "the {} is not in the catalogue; its maker designs it for this motor and its starts an hour",
                kind.replace('-', " ")
            ),
        )
        .at(case.place.clone())
        .cure("ask the maker with the motor's data sheet, the load's torque and the starts an hour"),
    );
    ChosenDevice { kind, current, soft_starter: None, drive: None, input: None, bypass_built_in: false, checks: Vec::new() }
}

/// The overload protection in a device can be set as low as the motor needs; else it would protect nothing.
fn reaches_down(rating_a: f64, overload: Amperes, subject: &str) -> Check {
    let lowest = lowest_setting(rating_a);
    at_most("overload-setting", lowest, overload.0, "A", "catalogue: lowest setting of the protection in the device")
        .about(subject)
}

/// Share of its rating that an electronic device keeps in the heat and at the altitude of the project; nothing outside the tables.
fn derating(family: Family, case: &Case, record: &mut Record) -> f64 {
    let heat = ambient_factor(record, family, case.wishes.device_ambient);
    let altitude = altitude_factor_of_electronics(record, family, case.wishes.altitude);
    heat.zip(altitude).map_or(0.0, |(heat, altitude)| heat * altitude)
}

fn soft_starter<'a>(
    case: &Case,
    current: Amperes,
    overload: Amperes,
    arrangement: &Arrangement,
    tools: &Tools<'a>,
    record: &mut Record,
) -> ChosenDevice<'a> {
    let limit = arrangement.line_start(&case.start);
    let time = arrangement.step_time(&case.start);
    let inside = case.start.method == Method::SoftStarterInsideDelta;
    let reference = tools.book.clause(Topic::SoftStarter);
    let derated = derating(Family::SoftStarter, case, &mut Record::silent());
    let mut offered: Vec<&SoftStarter> =
        tools.catalogue.soft_starters.iter().filter(|soft_starter| soft_starter.inside_delta || !inside).collect();
    by_price(&mut offered, |soft_starter| soft_starter.part.clone(), case, tools);
    let judge = |soft_starter: &SoftStarter, share: f64| {
        let mut verdict = Verdict::default();
        if soft_starter.overload_built_in {
            verdict.checks.push(reaches_down(soft_starter.rating_a, overload, "soft starter"));
        }
        let rating_a = soft_starter.rating_a * share;
        verdict.checks.push(at_most("soft-starter-current", current.0, rating_a, "A", reference).about("soft starter"));
        // The rating code says what it starts: ratio and time of the ramp scale as I²t.
        let able = soft_starter.start_ratio
            * soft_starter.start_ratio
            * soft_starter.start_s
            * (rating_a / current.0)
            * (rating_a / current.0);
        verdict
            .checks
            .push(at_most("soft-starter-start", limit * limit * time, able, "(I/In)²s", reference).about("soft starter"));
        if let Some(per_hour) = case.start.per_hour {
            verdict.checks.push(
                at_most("soft-starter-frequency", per_hour, soft_starter.starts_per_hour, "1/h", reference).about("soft starter"),
            );
        }
        verdict.checks.push(
            at_most("rated-voltage", case.machine.voltage.0, soft_starter.max_voltage_v, "V", "catalogue").about("soft starter"),
        );
        verdict
    };
    let in_cool_air = offered.iter().any(|soft_starter| judge(soft_starter, 1.0).holds());
    let choice = first(offered.iter().copied(), |soft_starter| judge(soft_starter, derated));
    let (soft_starter, checks) = match choice.chosen {
        Some((soft_starter, verdict)) => {
            say_starts(soft_starter, case, record);
            say_bypass(soft_starter, case, record);
            (Some(soft_starter), verdict.checks)
        }
        None => {
            let judged = offered.iter().map(|soft_starter| (soft_starter.part.as_str(), judge(soft_starter, derated)));
            let nearest = nearest_refused(judged).map(|(part, check)| nearest_words(&part, &check, tools));
            missing("soft starter", current, in_cool_air, nearest.unwrap_or_default(), case, record);
            (None, Vec::new())
        }
    };
    let bypass_built_in = soft_starter.is_some_and(|soft_starter| soft_starter.bypass_built_in);
    ChosenDevice { kind: "soft-starter", current, soft_starter, drive: None, input: None, bypass_built_in, checks }
}

/// The drive is of the motor's phases and voltage.
fn is_for(drive: &Drive, machine: &Machine) -> bool {
    drive.phases == machine.phases && machine.voltage.0 >= drive.min_voltage_v && machine.voltage.0 <= drive.max_voltage_v
}

/// Input current of a drive that the catalogue does not have in this heat or altitude: that of the smallest for the motor's
/// current without them, else the current times the largest input over output.
fn supposed_input(machine: &Machine, current: Amperes, catalogue: &Catalogue) -> Amperes {
    let of_kind = || catalogue.drives.iter().filter(|drive| is_for(drive, machine) && drive.output_a > 0.0);
    let large_enough = of_kind().filter(|drive| current.fits(Amperes(drive.output_a)));
    let smallest = large_enough.min_by(|a, b| a.output_a.total_cmp(&b.output_a).then(b.input_a.total_cmp(&a.input_a)));
    let widest = of_kind().map(|drive| drive.input_a / drive.output_a).fold(1.0, f64::max);
    smallest.map_or(current * widest, |drive| Amperes(drive.input_a).max(current))
}

fn drive<'a>(
    case: &Case,
    current: Amperes,
    currents: &RatedCurrents,
    tools: &Tools<'a>,
    record: &mut Record,
) -> ChosenDevice<'a> {
    let (machine, overload) = (&case.machine, currents.overload);
    let fits = |drive: &&Drive| is_for(drive, machine);
    let derated = derating(Family::Drive, case, &mut Record::silent());
    let mut offered: Vec<&Drive> = tools.catalogue.drives.iter().filter(fits).collect();
    by_price(&mut offered, |drive| drive.part.clone(), case, tools);
    // All motor cables together are what the drive must charge.
    let cable = case.route.length.map(|of_one| of_one * f64::from(case.motors));
    let charges = |drive: &Drive| {
        let length = cable.map(|length| length.0);
        length.map(|length| {
            at_most("drive-cable-length", length, drive.max_cable_m, "m", "catalogue: without output filter").about("drive")
        })
    };
    let judge_at = |drive: &Drive, share: f64| {
        let mut verdict = Verdict::default();
        verdict.checks.push(
            at_most("drive-current", current.0, drive.output_a * share, "A", "catalogue, with heat and altitude").about("drive"),
        );
        verdict.checks.push(reaches_down(drive.output_a, overload, "drive"));
        verdict
    };
    let judge = |drive: &Drive| judge_at(drive, derated);
    let in_cool_air = offered.iter().any(|drive| judge_at(drive, 1.0).holds());
    let with_cable = |drive: &Drive| {
        let mut verdict = judge(drive);
        verdict.checks.extend(charges(drive));
        verdict
    };
    // Where the next larger drive does not charge so long a cable either, the one that suits in all else is kept, for an output filter.
    let suits = first(offered.iter().copied(), |drive| judge(drive)).chosen.map(|(drive, _)| drive);
    let output = suits.map_or(0.0, |drive| drive.output_a);
    let larger = offered.iter().map(|drive| drive.output_a).filter(|larger| !within(*larger, output));
    let most = larger.min_by(f64::total_cmp).unwrap_or(output);
    let near = offered.iter().copied().filter(|drive| within(drive.output_a, most));
    let choice = first(near, |drive| with_cable(drive)).chosen;
    let (drive, checks) = match choice.or_else(|| suits.map(|drive| (drive, with_cable(drive)))) {
        Some((drive, verdict)) => {
            say_input(drive, case, record);
            say_larger(drive, suits, case, tools, record);
            (Some(drive), verdict.checks)
        }
        None => {
            let judged = offered.iter().map(|drive| (drive.part.as_str(), judge(drive)));
            let nearest = nearest_refused(judged).map(|(part, check)| nearest_words(&part, &check, tools));
            missing("drive", current, in_cool_air, nearest.unwrap_or_default(), case, record);
            (None, Vec::new())
        }
    };
    // The input is sized for the drive's full output: it may be turned up to that. One that is missing must not make a feeder smaller.
    let input = drive.map_or_else(
        || supposed_input(machine, current.max(currents.conductor), tools.catalogue),
        |drive| Amperes(drive.input_a),
    );
    ChosenDevice { kind: "drive", current, soft_starter: None, drive, input: Some(input), bypass_built_in: false, checks }
}

/// Says that the catalogue holds no such device; where one suits in cool air and near the sea, these are what refuses.
fn missing(what: &str, current: Amperes, in_cool_air: bool, nearest: String, case: &Case, record: &mut Record) {
    let cure = if in_cool_air {
        format!(
            "the air at the devices, or the altitude, is what refuses: where the air in board {} is cooler, state its device_ambient_c; else cool the board, or add a larger {what} to the catalogue",
            case.board
        )
    } else {
        "add one to the catalogue, or start the motor another way".to_owned()
    };
    let of_drive =
        "what it would draw is taken as that of the drives which the catalogue has, in its run and in its board's sums";
    record.find(
        Finding::new(
            &codes::C206_NO_DEVICE,
            format!(
                "the catalogue holds no {what} for {} A at {} V in air of {} °C at {} m",
                round_to(current.0, 2),
                case.machine.voltage.0,
                case.wishes.device_ambient.0,
                case.wishes.altitude.0
            ),
        )
        .at(case.place.clone())
        .why({
            let air = "the air is device_ambient_c of the board where the basis states it, else its ambient_c and the rise in an enclosure; the altitude is altitude_m of the basis, else 0 m";
            let of_drive = if what == "drive" { of_drive } else { "" };
            [nearest.as_str(), air, of_drive].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ")
        })
        .cure(cure),
    );
}

/// A bypass that is asked for stands in no drawing where the soft starter brings it.
fn say_bypass(soft_starter: &SoftStarter, case: &Case, record: &mut Record) {
    if case.start.bypass && soft_starter.bypass_built_in {
        let what = format!("the bypass that the row asks for is built into {}", soft_starter.part);
        record.find(
            Finding::new(&codes::C225_BYPASS_BUILT_IN, what)
                .at(case.place.clone())
                .cure("nothing: no contactor of its own is drawn or bought"),
        );
    }
}

/// A soft starter is rated for so many starts an hour; where nobody states how many there are, that is for a person to compare.
fn say_starts(soft_starter: &SoftStarter, case: &Case, record: &mut Record) {
    if case.start.per_hour.is_some() {
        return;
    }
    record.find(
        Finding::new(
            &codes::C218_STARTS_AN_HOUR,
            format!(
                "{} is rated for {} starts an hour; the row states none, so they are not checked",
                soft_starter.part, soft_starter.starts_per_hour
            ),
        )
        .at(case.place.clone())
        .cure("enter starts_per_hour, or see that there are no more"),
    );
}

/// A drive one size larger than the motor asks charges the longer cable; a filter at the smaller one would too.
fn say_larger(drive: &Drive, smaller: Option<&Drive>, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let Some(smaller) = smaller.filter(|smaller| smaller.part != drive.part && smaller.output_a < drive.output_a) else { return };
    let units = Units::of(tools.book.key());
    let length = |figure: f64| format!("{figure} {}", units.length_unit());
    let all = case.route.length.map_or(0.0, |of_one| of_one.0 * f64::from(case.motors));
    let what = format!(
        "{} of {} A was taken for {} of motor {}; {} of {} A suits the motor and charges {}",
        drive.part,
        drive.output_a,
        length(units.length(all)),
        units.pick("cable", "leads"),
        smaller.part,
        smaller.output_a,
        length(units.reach(smaller.max_cable_m))
    );
    record.find(
        Finding::new(&codes::C229_LARGER_FOR_CABLE, what)
            .at(case.place.clone())
            .why("contactors, protective device and supply conductors follow the larger drive")
            .cure("nothing; or the smaller drive with the output filter that its maker names for this length")
            .reference(tools.book.clause(Topic::Drive)),
    );
}

/// The row's input current counts, as it may be that of a drive which others supply; the one chosen here may draw more.
fn say_input(drive: &Drive, case: &Case, record: &mut Record) {
    let Some(given) = case.start.drive_input.filter(|given| !Amperes(drive.input_a).fits(*given)) else { return };
    record.find(
        Finding::new(
            &codes::C211_DRIVE_INPUT,
            format!("the row gives {} A as the drive's input current; {} draws up to {} A", given.0, drive.part, drive.input_a),
        )
        .at(case.place.clone())
        .why("supply conductors, disconnecting means and feeder go by the row's value")
        .cure("leave drive_input_current_a empty for a drive of the catalogue, or correct it"),
    );
}

/// Input current of the drive: the row's, else the catalogue's, else the motor's own.
#[must_use]
pub fn input(case: &Case, currents: &RatedCurrents, devices: &[ChosenDevice<'_>]) -> Amperes {
    if let Some(given) = case.start.drive_input {
        return given;
    }
    devices.iter().find_map(|device| device.input).unwrap_or(currents.conductor)
}

/// Line current at the board while the load runs; with a bypass around a drive that of the motor on the line, where it is larger.
#[must_use]
pub fn line_current(case: &Case, currents: &RatedCurrents, arrangement: &Arrangement, devices: &[ChosenDevice<'_>]) -> Amperes {
    if arrangement.device == Some(Device::Drive) {
        let input = input(case, currents, devices);
        return if case.start.over_bypass() { input.max(currents.full_load) } else { input };
    }
    if case.machine.kind == LoadKind::Capacitor {
        return currents.conductor;
    }
    currents.protection.max(currents.low.unwrap_or(Amperes(0.0)))
}
