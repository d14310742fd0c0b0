//! Turns a row as read and the basis into a case in which nothing is missing any more.
//!
//! Each value is taken from the row, else from the basis, else from a table, else a default; defaults of the project are listed
//! once ([`super::assumptions`]), values that were assumed for one row are one note on that row. If something that no default may supply
//! is missing (a way to know the current, the starting method of a motor, the voltage), the row is not sized and says why.

use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::load::{
    Case, ControlVoltage, ControlWish, Coordination, EfficiencyClass, Field, Known, Load, LoadKind, LoadTorque, Machine,
    Material, Method, Origin, ProtectionKind, Route, Start, Wishes,
};
use crate::quantity::{Amperes, Celsius, Metres, Seconds, Vars, VoltAmperes, Volts, Watts, round_to};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::devices::device_figure;
use crate::rules::physics::plausibility::plausible;
use crate::rules::physics::starting;
use crate::rules::units::METRES_A_FOOT;

mod control;
mod extras;
pub mod idle;
mod services;

/// Air at the devices, °C: that of the room with the rise inside the enclosure, never less than the reference of devices.
#[must_use]
pub fn device_air_c(room: Option<f64>) -> f64 {
    let least = device_figure("device-air-least-c");
    room.map_or(least, |room| (room + enclosure_rise_k()).max(least))
}

/// Air at the devices above the air of the room, K.
#[must_use]
pub fn enclosure_rise_k() -> f64 {
    figure("enclosure-rise")
}

/// A figure of starting practice; a test holds that each one named here is in the table.
fn figure(name: &str) -> f64 {
    starting::practice(name).unwrap_or(f64::NAN)
}

/// Resolves a row. Findings go to the record; `None` if the row can't be sized.
#[must_use]
pub fn resolve(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) -> Option<Case> {
    let before = errors(record);
    let kind = load_kind(load);
    let mut assumed = Vec::new();
    let machine = machine(load, kind, basis, book, &mut assumed, record)?;
    let method = method(load, kind, record)?;
    let start = start(load, basis, method, &machine, book, &mut assumed);
    let wishes = wishes(load, basis, book);
    let control = control(load, basis, book);
    let case = Case {
        tag: load.tag(),
        place: load.place(),
        board: board(load, basis),
        route: route(load, basis, book, record),
        scheme: control::scheme(load, &control, record),
        control,
        extras: extras::read(load),
        current_assumed: machine.nameplate.is_none()
            && kind == LoadKind::Motor
            && [machine.efficiency, machine.power_factor].iter().any(|known| known.is_some_and(|k| k.origin != Origin::Cell)),
        machine,
        start,
        wishes,
        assumed,
    };
    services::refer(load, &case, basis, book.not_covered(), record);
    idle::of_row(load, book, record);
    idle::unknown_kind(load, basis, record);
    unread_control_voltage(load, basis, book, record);
    requirements(load, &case, book, record);
    super::plausible::of_row(load, &case, book, record);
    (errors(record) == before).then_some(case)
}

fn errors(record: &Record) -> usize {
    record.findings().iter().filter(|finding| finding.severity == crate::finding::Severity::Error).count()
}

fn load_kind(load: &Load) -> LoadKind {
    match load.text(Field::LoadKind) {
        Some("heater") => LoadKind::Heater,
        Some("transformer") => LoadKind::Transformer,
        Some("capacitor") => LoadKind::Capacitor,
        Some("packaged") => LoadKind::Packaged,
        Some("lighting") => LoadKind::Lighting,
        Some("other") => LoadKind::Other,
        _ => LoadKind::Motor,
    }
}

/// Board of a row: the row's, else the only board of the basis, else a main board.
#[must_use]
pub fn board(load: &Load, basis: &Basis) -> String {
    let only = (basis.boards.len() == 1).then(|| basis.boards[0].name.clone()).flatten();
    load.text(Field::Board).map(str::to_owned).or(only).unwrap_or_else(|| "main board".to_owned())
}

fn method(load: &Load, kind: LoadKind, record: &mut Record) -> Option<Method> {
    let written = load.text(Field::StartingMethod).and_then(Method::from_word);
    match (written, kind) {
        (Some(Method::Direct), LoadKind::Motor) => Some(Method::Direct),
        // A heater or a lighting board that is "started direct" is switched by one contactor.
        (
            Some(Method::Direct),
            LoadKind::Heater | LoadKind::Transformer | LoadKind::Capacitor | LoadKind::Lighting | LoadKind::Other,
        ) => Some(Method::Contactor),
        (Some(Method::Contactor), LoadKind::Motor) => {
            record.find(
                Finding::new(&codes::L301_METHOD_FOR_KIND, "the starting method is \"contactor\", which is for loads that are no motors; the motor is sized as started direct")
                    .at(load.place_of(Field::StartingMethod))
                    .cure("write direct, or give the load_kind"),
            );
            Some(Method::Direct)
        }
        (Some(method), _) if method.supply_only() || kind == LoadKind::Motor || method == Method::Contactor => Some(method),
        (Some(method), _) => {
            record.find(
                Finding::new(
                    &codes::L302_METHOD_NEEDS_MOTOR,
                    format!("the starting method \"{}\" is for motors; the load is no motor", method.word()),
                )
                .at(load.place_of(Field::StartingMethod))
                .cure("write contactor or feeder, or correct the load_kind"),
            );
            None
        }
        (None, LoadKind::Packaged) => Some(Method::Feeder),
        (None, LoadKind::Motor) => {
            record.find(
                Finding::new(&codes::L303_NO_METHOD, "the starting method is missing; the row cannot be sized")
                    .at(load.place())
                    .cure("write direct, star-delta, soft-starter, drive or another starting method"),
            );
            None
        }
        (None, _) => Some(Method::Contactor),
    }
}

fn machine(
    load: &Load,
    kind: LoadKind,
    basis: &Basis,
    book: &dyn RuleBook,
    assumed: &mut Vec<String>,
    record: &mut Record,
) -> Option<Machine> {
    let voltage = load
        .number(Field::VoltageV)
        .or_else(|| basis.board(&board(load, basis)).and_then(|own| own.voltage_v))
        .or(basis.supply.voltage_v);
    let Some(voltage) = voltage.map(Volts) else {
        record.find(
            Finding::new(&codes::L304_NO_VOLTAGE, "the voltage is missing; the row cannot be sized")
                .at(load.place())
                .cure("give voltage_v in the row, or supply.voltage_v in the basis"),
        );
        return None;
    };
    if voltage.0 > 1000.0 {
        record.find(
            Finding::new(&codes::L305_ABOVE_1_KV, format!("{} V is above 1 kV and not covered", voltage.0))
                .at(load.place_of(Field::VoltageV))
                .cure(book.above_limit().0)
                .reference(book.above_limit().1),
        );
        return None;
    }
    against_board(load, voltage, basis, record);
    let phases = match load.count(Field::Phases).or(basis.supply.phases).unwrap_or(3) {
        1 => 1,
        2 => {
            record.find(
                Finding::new(&codes::L306_PHASES, "2 phases are read as one single-phase load between two lines")
                    .at(load.place_of(Field::Phases))
                    .cure("write 1 with connection L-L, or 3"),
            );
            1
        }
        _ => 3,
    };
    let power = shaft_power(load, Field::RatedPowerKw, Field::RatedPowerHp, book, record);
    let power_low = shaft_power(load, Field::RatedPowerLowKw, Field::RatedPowerLowHp, book, record);
    let class = match load.text(Field::EfficiencyClass) {
        Some("IE1") => Some(EfficiencyClass::Ie1),
        Some("IE2" | "energy-efficient") => Some(EfficiencyClass::Ie2),
        Some("IE3" | "NEMA-premium") => Some(EfficiencyClass::Ie3),
        Some("IE4") => Some(EfficiencyClass::Ie4),
        Some("IE5") => Some(EfficiencyClass::Ie5),
        _ => None,
    };
    let frequency_hz = load.number(Field::FrequencyHz).or(basis.supply.frequency_hz).unwrap_or(book.frequency_hz());
    let poles = load.count(Field::Poles).unwrap_or_else(|| poles_from_speed(load.number(Field::SpeedRpm), frequency_hz));
    let connection = load.text(Field::Connection).unwrap_or("").to_uppercase();
    let line = basis.board(&board(load, basis)).and_then(|own| own.voltage_v).or(basis.supply.voltage_v);
    let line_to_neutral = connection.contains("L-N") || line.is_some_and(|line| voltage.0 < 0.7 * line);
    let neutral = connection.contains('N') || (phases == 1 && line_to_neutral);
    let mut machine = Machine {
        kind,
        power,
        power_low,
        horsepower: load.number(Field::RatedPowerHp),
        horsepower_low: load.number(Field::RatedPowerLowHp),
        design_letter: load.text(Field::DesignLetter).unwrap_or("").trim().to_uppercase(),
        code_letter: load.text(Field::LockedRotorCode).and_then(|text| text.trim().to_uppercase().chars().next()),
        service_factor: load.number(Field::ServiceFactor),
        temperature_rise_k: load.number(Field::TemperatureRiseC),
        equipment_rating: load.number(Field::EquipmentSccrKa).map(|ka| Amperes(ka * 1000.0)),
        apparent: load.number(Field::RatedPowerKva).map(|kva| VoltAmperes(kva * 1000.0)),
        reactive: load.number(Field::ReactivePowerKvar).map(|kvar| Vars(kvar * 1000.0)),
        voltage,
        phases,
        neutral,
        frequency_hz,
        nameplate: load.number(Field::FullLoadCurrentA).map(Amperes),
        nameplate_low: load.number(Field::FullLoadCurrentLowA).map(Amperes),
        efficiency: load.number(Field::EfficiencyPct).map(|pct| Known::new(pct / 100.0, Origin::Cell)),
        power_factor: load.number(Field::PowerFactor).map(|pf| Known::new(pf, Origin::Cell)),
        class,
        poles,
        winding: load.text(Field::MotorVoltages).and_then(winding),
        leads: load.count(Field::MotorLeads),
        rotor_current: load.number(Field::RotorCurrentA).map(Amperes),
        rotor_voltage: load.number(Field::RotorVoltageV).map(Volts),
        minimum_ampacity: load.number(Field::MinimumCircuitAmpacityA).map(Amperes),
        maximum_protection: load.number(Field::MaximumProtectionA).map(Amperes),
        fuse_only: load.text(Field::MaximumProtectionKind) == Some("fuse"),
        household: load.text(Field::Environment) == Some("household"),
    };
    fill_in(&mut machine, book, assumed);
    Some(machine)
}

/// A voltage that is neither that of the board nor that to its neutral, by more than a motor is made to bear.
fn against_board(load: &Load, voltage: Volts, basis: &Basis, record: &mut Record) {
    let own = board(load, basis);
    let Some(line) = basis.board(&own).and_then(|own| own.voltage_v).or(basis.supply.voltage_v) else { return };
    let near = |other: f64| (voltage.0 - other).abs() <= plausible("voltage-tolerance") * other;
    // A single-phase board has half its voltage to the neutral.
    if load.entry(Field::VoltageV).is_none() || [line, line / 3f64.sqrt(), line / 2.0].into_iter().any(near) {
        return;
    }
    record.find(
        Finding::new(&codes::L313_VOLTAGE_AGAINST_BOARD, format!("{} V on board {own}, whose voltage is {line} V", voltage.0))
            .at(load.place_of(Field::VoltageV))
            .cure("correct the voltage or the board, or state the transformer between them"),
    );
}

/// How far a value that is written twice may differ from itself, per cent.
fn written_twice_pct() -> f64 {
    round_to(plausible("written-twice-share") * 100.0, 0)
}

/// Power from kilowatts or horsepower; the larger where both are stated and differ.
fn shaft_power(load: &Load, kw: Field, hp: Field, book: &dyn RuleBook, record: &mut Record) -> Option<Watts> {
    let from_kw = load.number(kw).map(|kilowatts| kilowatts * 1000.0);
    let from_hp = load.number(hp).map(|horsepower| horsepower * book.watts_per_horsepower());
    if let (Some(a), Some(b)) = (from_kw, from_hp)
        && (a - b).abs() > plausible("written-twice-share") * a
    {
        record.find(
            Finding::new(
                &codes::L307_KW_AGAINST_HP,
                format!(
                    "{} kW and {} hp differ by more than {} %",
                    a / 1000.0,
                    load.number(hp).unwrap_or(0.0),
                    written_twice_pct()
                ),
            )
            .at(load.place_of(hp))
            .why("the larger is used")
            .cure("correct the one that is wrong"),
        );
    }
    from_kw.into_iter().chain(from_hp).reduce(f64::max).map(Watts)
}

/// Efficiency and power factor where the row gives none: the book's tables, the lower value where classes are open.
fn fill_in(machine: &mut Machine, book: &dyn RuleBook, assumed: &mut Vec<String>) {
    if machine.kind == LoadKind::Heater {
        machine.power_factor.get_or_insert(Known::new(1.0, Origin::Default));
        machine.efficiency = Some(Known::new(1.0, Origin::Default));
        return;
    }
    if machine.kind != LoadKind::Motor {
        if machine.power_factor.is_none() && machine.kind != LoadKind::Capacitor && machine.apparent.is_none() {
            machine.power_factor = Some(Known::new(book.other_power_factor(), Origin::Default));
            if machine.nameplate.is_none() {
                assumed.push(format!("power factor {}", book.other_power_factor()));
            }
        }
        machine.efficiency.get_or_insert(Known::new(1.0, Origin::Default));
        return;
    }
    let Some(power) = machine.power else { return };
    let say = machine.nameplate.is_none();
    if machine.efficiency.is_none()
        && let Some(value) = book.efficiency(machine, power)
    {
        if say {
            let class = machine.class.map_or("the lowest class", EfficiencyClass::name);
            assumed.push(format!("efficiency {} % ({class}, {} poles)", round_to(value * 100.0, 1), machine.poles));
        }
        machine.efficiency = Some(Known::new(value, Origin::Table));
    }
    if machine.power_factor.is_none()
        && let Some(value) = book.power_factor(machine, power)
    {
        if say {
            assumed.push(format!("power factor {value}"));
        }
        machine.power_factor = Some(Known::new(value, Origin::Table));
    }
}

fn poles_from_speed(speed: Option<f64>, frequency_hz: f64) -> u32 {
    let Some(speed) = speed else { return 4 };
    // The synchronous speed lies just above the rated one.
    [2u32, 4, 6, 8, 10, 12].into_iter().rev().find(|poles| 120.0 * frequency_hz / f64::from(*poles) >= speed).unwrap_or(2)
}

fn winding(text: &str) -> Option<(Volts, Option<Volts>)> {
    let mut numbers = text
        .split(['/', '-', ' ', 'V', 'v', 'Δ', 'Y', 'D'])
        .filter_map(|part| part.trim().parse::<f64>().ok())
        .filter(|volts| *volts > 0.0);
    let first = Volts(numbers.next()?);
    Some((first, numbers.next().map(Volts)))
}

fn start(load: &Load, basis: &Basis, method: Method, machine: &Machine, book: &dyn RuleBook, assumed: &mut Vec<String>) -> Start {
    let is_motor = machine.kind == LoadKind::Motor && !method.supply_only();
    let electronic = matches!(method, Method::Drive);
    let mut pick = |cell: Option<f64>, default: f64, what: &str, unit: &str, say: bool| match cell {
        Some(value) => Known::new(value, Origin::Cell),
        None => {
            if say {
                assumed.push(format!("{what} {default}{unit}"));
            }
            Known::new(default, Origin::Default)
        }
    };
    let torque = match load.text(Field::LoadTorque) {
        Some("quadratic") => Some(LoadTorque::Quadratic),
        Some("linear") => Some(LoadTorque::Linear),
        Some("constant") => Some(LoadTorque::Constant),
        Some("high-breakaway") => Some(LoadTorque::HighBreakaway),
        _ => None,
    };
    let default_time = figure(if torque == Some(LoadTorque::HighBreakaway) { "start-time-heavy" } else { "start-time" });
    let of_book = book.locked_rotor_ratio(machine);
    let assumed_ratio = is_motor && !electronic && of_book.origin == Origin::Default;
    let ratio = pick(load.number(Field::LockedRotorRatio), of_book.value, "locked-rotor ratio", "", assumed_ratio);
    let ratio = if ratio.origin == Origin::Cell { ratio } else { of_book };
    let power_factor = pick(
        load.number(Field::StartingPowerFactor),
        book.starting_power_factor(machine.power),
        "starting power factor",
        "",
        false,
    );
    let time = pick(load.number(Field::StartTimeS), default_time, "start time", " s", is_motor && !electronic);
    let uses_tap = matches!(method, Method::Autotransformer | Method::PrimaryResistor | Method::Reactor);
    let usual_tap = figure(if method == Method::Autotransformer { "autotransformer-tap" } else { "stator-impedance-voltage" });
    let tap_word = if method == Method::Autotransformer { "tap" } else { "starting voltage" };
    let tap = pick(load.number(Field::TapPct), round_to(usual_tap * 100.0, 1), tap_word, " %", uses_tap);
    let tap = Known { value: tap.value / 100.0, ..tap };
    let uses_limit = matches!(method, Method::SoftStarter | Method::SoftStarterInsideDelta);
    let usual_limit = figure("soft-starter-limit");
    let limit = pick(load.number(Field::StartCurrentLimit), usual_limit, "current limit", " × rated current", uses_limit);
    let duty_text = load.text(Field::Duty).unwrap_or("S1").to_owned();
    Start {
        method,
        reversing: load.yes(Field::Reversing).unwrap_or(false),
        ratio,
        power_factor,
        time: Known::new(Seconds(time.value), time.origin),
        stall_time: load.number(Field::StallTimeS).map(Seconds),
        torque,
        torque_ratio: load.number(Field::LockedRotorTorqueRatio),
        tap,
        limit,
        drive_input: load.number(Field::DriveInputCurrentA).map(Amperes),
        bypass: load.yes(Field::Bypass).unwrap_or(false),
        line_contactor: load.yes(Field::LineContactor).unwrap_or_else(|| book.line_contactor()),
        duty: duty_number(&duty_text),
        rated_minutes: rated_minutes(&duty_text),
        duty_text,
        per_hour: load.number(Field::StartsPerHour),
        inching: load.number(Field::InchingSharePct).map_or(0.0, |pct| pct / 100.0),
        operations: load.number(Field::RequiredOperations),
        hours_a_year: basis.design.service_hours_per_year,
        wanted_years: basis.design.contact_life_years,
        te: load.number(Field::TeS).map(Seconds),
    }
}

fn duty_number(text: &str) -> u8 {
    let upper = text.trim().to_uppercase();
    if let Some(rest) = upper.strip_prefix('S') {
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        if let Ok(number @ 1..=10) = digits.parse::<u8>() {
            return number;
        }
    }
    if upper.starts_with("SHORT") {
        2
    } else if upper.starts_with("INTERMITTENT") {
        3
    } else {
        1
    }
}

/// Minutes that a duty text states, as in `S2 30 min` or `intermittent, 15 min`.
fn rated_minutes(text: &str) -> Option<f64> {
    let lower = text.to_lowercase();
    let before = lower[..lower.find("min")?].trim_end();
    let start = before.rfind(|c: char| !(c.is_ascii_digit() || c == '.')).map_or(0, |at| at + 1);
    before.get(start..)?.parse().ok().filter(|minutes: &f64| *minutes > 0.0)
}

/// Length of the motor run: metres, or feet; the longer where both are stated.
fn length(load: &Load, record: &mut Record) -> Option<Metres> {
    let metres = load.number(Field::CableLengthM);
    let feet = load.number(Field::CableLengthFt);
    let from_feet = feet.map(|feet| feet * METRES_A_FOOT);
    if let (Some(metres), Some(feet), Some(from_feet)) = (metres, feet, from_feet)
        && (metres - from_feet).abs() > plausible("written-twice-share") * metres
    {
        record.find(
            Finding::new(&codes::L311_LENGTHS, format!("{metres} m and {feet} ft differ by more than {} %", written_twice_pct()))
                .at(load.place_of(Field::CableLengthFt))
                .why("the longer is used")
                .cure("correct the one that is wrong"),
        );
    }
    match (metres, from_feet) {
        (Some(metres), Some(from_feet)) => Some(Metres(metres.max(from_feet))),
        (metres, from_feet) => metres.or(from_feet).map(Metres),
    }
}

fn route(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) -> Route {
    let (design, defaults) = (&basis.design, book.defaults());
    let material = match load.text(Field::Conductor).or(design.conductor.as_deref()) {
        Some("aluminium") => Material::Aluminium,
        _ => Material::Copper,
    };
    let installation =
        load.text(Field::InstallationMethod).or(design.installation_method.as_deref()).unwrap_or(defaults.installation);
    let insulation = load.text(Field::Insulation).or(design.insulation.as_deref()).unwrap_or(defaults.insulation);
    let smallest = if material == Material::Copper { defaults.minimum_copper_mm2 } else { defaults.minimum_aluminium_mm2 };
    let written = design.minimum_size_awg.as_deref().and_then(|text| book.size_of(text));
    if let (Some(text), None, true) =
        (&design.minimum_size_awg, written, book.own_inputs().1.contains(&"design.minimum_size_awg"))
    {
        record.find(
            Finding::new(&codes::C607_MINIMUM_SIZE, format!("smallest size \"{text}\" is no size of the rule book"))
                .at(load.place())
                .why("the smallest size that the rules allow is used instead")
                .cure("write minimum_size_awg as \"12 AWG\", \"1/0 AWG\" or \"250 kcmil\""),
        );
    }
    let location = load.text(Field::Location);
    Route {
        place: load.place_of(Field::InstallationMethod),
        length: length(load, record),
        supply_length: load.number(Field::SupplyLengthM).map(Metres),
        installation: installation
            .split(['+', '/', ','])
            .map(|part| part.trim().to_uppercase())
            .filter(|part| !part.is_empty())
            .collect(),
        ambient: Celsius(load.number(Field::AmbientC).or(design.ambient_c).unwrap_or(defaults.ambient_c)),
        ground: Celsius(load.number(Field::GroundC).or(design.ground_c).unwrap_or(defaults.ground_c)),
        soil: load.number(Field::SoilKMW).or(design.soil_k_m_w).unwrap_or(defaults.soil_k_m_w),
        grouped: load.count(Field::GroupedCircuits).unwrap_or(1),
        material,
        insulation: insulation.to_lowercase(),
        minimum_mm2: [design.minimum_size_mm2, written].into_iter().flatten().fold(smallest, f64::max),
        // What lies outdoors on a roof lies in a wet place.
        wet: matches!(location, Some("wet" | "rooftop")),
        rooftop: location == Some("rooftop"),
        termination: design.termination_c.map(Celsius),
        minimum_raceway: design.minimum_raceway.clone(),
        running_drop_pct: design.running_drop_pct.unwrap_or(defaults.running_drop_pct),
        starting_drop_pct: design.starting_drop_pct.unwrap_or(defaults.starting_drop_pct),
    }
}

/// Reads a control voltage such as `24 V DC`, `230VAC`, `110 V, 50 Hz`; alternating current where nothing is said, direct at 24 V and
/// below. What names two voltages, both kinds of current or a voltage below zero reads two ways, so it is not read.
#[must_use]
pub fn control_voltage(text: &str) -> Option<ControlVoltage> {
    let upper = without_frequency(&text.trim().to_uppercase());
    if upper.starts_with(['-', '−', '–']) {
        return None;
    }
    let is_figure = |c: char| c.is_ascii_digit() || c == '.';
    let mut figures = upper.split(|c: char| !is_figure(c)).filter(|own| own.contains(|c: char| c.is_ascii_digit()));
    let volts: f64 = figures.next()?.trim_end_matches('.').parse().ok()?;
    let says_dc = upper.contains("DC") || upper.contains('=');
    let says_ac = upper.contains("AC") || upper.contains('~');
    if figures.next().is_some() || (says_dc && says_ac) || upper.contains("AC/DC") || upper.contains("DC/AC") {
        return None;
    }
    (volts > 0.0 && volts <= 1000.0).then_some(ControlVoltage { volts, dc: says_dc || (!says_ac && volts <= 24.0) })
}

/// A text without its frequency, as `, 50 Hz` or `50/60 Hz`.
fn without_frequency(text: &str) -> String {
    let Some((front, behind)) = text.split_once("HZ") else { return text.to_owned() };
    let front = front.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, ' ' | '/' | '.'));
    format!("{front}{behind}")
}

/// Performance levels d and e, integrity levels 2 and 3, categories 3 and 4 ask for two channels; a stop category never does.
/// ISO 13849-1 and IEC 62061: from memory.
fn asks_for_two_channels(level: &str) -> bool {
    names_grade(level, &["pl"], &["d", "e"])
        || names_grade(level, &["silcl", "sil"], &["2", "3"])
        || names_grade(level, &["category", "cat"], &["3", "4"])
}

/// A text names one of the grades of a scale, as `PL d`, `SIL2` or `category 3`.
fn names_grade(text: &str, scale: &[&str], grades: &[&str]) -> bool {
    let text = text.to_lowercase();
    let words: Vec<&str> = text.split(|own: char| !own.is_alphanumeric()).filter(|own| !own.is_empty()).collect();
    words.iter().enumerate().any(|(at, word)| {
        let Some(rest) = scale.iter().find_map(|name| word.strip_prefix(name)) else { return false };
        grades.contains(if rest.is_empty() { words.get(at + 1).unwrap_or(&"") } else { &rest })
    })
}

/// The control voltage as it is written: of the row, else of its board, else of the basis.
fn control_voltage_text<'t>(load: &'t Load, basis: &'t Basis) -> Option<&'t str> {
    let own = basis.board(&board(load, basis)).and_then(|board| board.control_voltage.as_deref());
    load.text(Field::ControlVoltage).or(own).or(basis.control.voltage.as_deref())
}

/// A control voltage that can't be read would else be replaced without a word.
fn unread_control_voltage(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) {
    let Some(text) = control_voltage_text(load, basis).filter(|text| control_voltage(text).is_none()) else { return };
    record.find(
        Finding::new(
            &codes::L420_CONTROL_VOLTAGE,
            format!("the control voltage \"{text}\" can't be read; {} is taken", book.control_voltage()),
        )
        .at(load.place_of(Field::ControlVoltage))
        .why("coils, lamps and timers are chosen for it")
        .cure("write one voltage with its kind, such as 24 V DC or 230 V AC"),
    );
}

fn control(load: &Load, basis: &Basis, book: &dyn RuleBook) -> ControlWish {
    let text = control_voltage_text(load, basis);
    let driven_by = match load.text(Field::DrivenBy).or(basis.control.drive.as_deref()) {
        Some("plc-output") => "plc-output",
        Some("relay") => "relay",
        Some("thermostat") => "thermostat",
        Some("other") => "other",
        _ => "pushbutton",
    };
    ControlWish {
        voltage: text.and_then(control_voltage).unwrap_or_else(|| book.control_voltage()),
        place: load.place_of(Field::ControlVoltage),
        length: load.number(Field::ControlCableLengthM).filter(|metres| *metres > 0.0).map(Metres),
        length_place: load.place_of(Field::ControlCableLengthM),
        driven_by,
        output: Amperes(load.number(Field::PlcOutputA).unwrap_or_else(|| device_figure("controller-output-a"))),
        no: load.count(Field::AuxNo).unwrap_or(0),
        nc: load.count(Field::AuxNc).unwrap_or(0),
        low_level: load.text(Field::FeedbackLevel) == Some("logic"),
        three_wire: load
            .text(Field::ControlWires)
            .map_or_else(|| driven_by == "pushbutton" && control::wires(load) != Some("two"), |wires| wires == "three"),
        automatic_reset: load.text(Field::ResetMode) == Some("auto"),
        interlock_with: load
            .text(Field::InterlockWith)
            .map(|text| text.split([',', ';']).map(|tag| tag.trim().to_owned()).filter(|tag| !tag.is_empty()).collect())
            .unwrap_or_default(),
        redundant: asks_for_two_channels(load.text(Field::SafetyLevel).unwrap_or("")),
    }
}

fn wishes(load: &Load, basis: &Basis, book: &dyn RuleBook) -> Wishes {
    let design = &basis.design;
    let own = basis.board(&board(load, basis)).and_then(|board| board.device_ambient_c);
    let from_row =
        load.text(Field::ProtectionKind).and_then(ProtectionKind::from_word).map(|kind| Known::new(kind, Origin::Cell));
    let from_basis =
        design.protection_kind.as_deref().and_then(ProtectionKind::from_word).map(|kind| Known::new(kind, Origin::Basis));
    Wishes {
        protection: from_row.or(from_basis).unwrap_or(Known::new(book.protection_kind(), Origin::Default)),
        coordination: match load.text(Field::Coordination).or(design.coordination.as_deref()) {
            Some("type-1") => Some(Coordination::Type1),
            Some("type-2") => Some(Coordination::Type2),
            _ => None,
        },
        device_ambient: Celsius(own.unwrap_or_else(|| device_air_c(design.ambient_c))),
        altitude: Metres(design.altitude_m.unwrap_or(0.0)),
        current_source: design.current_source.clone().unwrap_or_else(|| "nameplate".to_owned()),
        reduced_life: basis.catalogue.reduced_life_contactors.as_deref() == Some("where-suitable"),
        controller_family: design.controller_family.clone().unwrap_or_else(|| book.controller_family().to_owned()),
        minimum_nema_size: design.minimum_nema_size.clone(),
        cheapest: basis.catalogue.prefer.as_deref() == Some("cheapest"),
        finger_protection: design.finger_protection.unwrap_or(true),
        direct_limit: basis.starting.direct_limit_kw.map(|kw| Watts(kw * 1000.0)),
        isolator: load.yes(Field::Isolator).unwrap_or(false),
    }
}

/// What no default may supply.
fn requirements(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    let machine = &case.machine;
    if !book.current_known(machine) {
        record.find(
            Finding::new(&codes::L308_NO_CURRENT, "no current is known and none can be computed; the row cannot be sized")
                .at(load.place())
                .cure("enter the nameplate current, or the rated power; for packaged equipment its marked circuit ampacity"),
        );
    }
    if machine.phases == 1
        && (case.start.method.two_speeds()
            || case.start.method.needs_delta_winding()
            || matches!(case.start.method, Method::Autotransformer | Method::PartWinding | Method::RotorResistance))
    {
        record.find(
            Finding::new(
                &codes::L309_SINGLE_PHASE_METHOD,
                format!("\"{}\" needs three phases; the row says one", case.start.method.word()),
            )
            .at(load.place_of(Field::Phases))
            .cure("write 3 phases or start direct"),
        );
    }
    if machine.power.is_none() && machine.kind == LoadKind::Motor && machine.nameplate.is_some() {
        record.find(
            Finding::new(&codes::L310_NO_POWER, "the rated power is missing; the nameplate current alone is used")
                .at(load.place())
                .cure("enter the rated power so that the current can be checked"),
        );
    }
}
