//! Published examples of NFPA 70: currents, devices, overload, controllers and feeders, worked out through the public interface.
//!
//! Rows of the collection that have no example here concern conductors, raceways, equipment grounding and voltage drop alone (W02,
//! W05, W19, W22, W23, W25, W26, W29, W30, W42, W43, C01, C06, C09); of other rows only the parts named above stand here. Rows of the
//! collection of starters: W08 is a conductor; W18 is part of the starters' own examples.

#[path = "published/harness.rs"]
mod harness;

use harness::{Inputs, Topic};
use motorwright::load::ProtectionKind;
use motorwright::quantity::{Amperes, Volts};
use motorwright::record::Record;
use motorwright::rules;
use motorwright::rules::feeders::{FeederBounds, FeederItem, FeederTerm};
use motorwright::rules::nec::Edition;
use motorwright::rules::nec::currents::{CurrentTable, full_load_current};
use motorwright::rules::nec::groups::{self, GroupMotor};
use motorwright::rules::nec::overload::{self, Reserve};
use motorwright::rules::nec::protection::{self, Device, DeviceKind, DeviceLimit, InstantaneousDevice, MotorType};
use motorwright::rules::nec::rating;
use motorwright::rules::nec::{controller, locked_rotor};

const EDITION: Edition = Edition::E2023;

const TOPICS: &[Topic] = &[
    ("current", |i| vec![("flc", table_current(i, "hp").0.into())]),
    ("device", |i| {
        let full_load = table_current(i, "hp");
        let mut results = device_results(full_load, device(i));
        results.push(("flc", full_load.0.into()));
        results
    }),
    ("weakest-link", |i| {
        let part = |declared: Option<f64>, combination: Option<f64>| rating::Part {
            name: String::new(),
            component: "motor controller".to_owned(),
            horsepower: None,
            declared: declared.map(|ka| Amperes(ka * 1000.0)),
            combination: combination.map(|ka| Amperes(ka * 1000.0)),
        };
        let tested = i.number("combination_ka");
        let unmarked = part(Some(i.number("unmarked_contactor_ka")), None);
        let of = |last| {
            let parts = [
                part(Some(i.number("feeder_ka")), None),
                part(Some(i.number("branch_ka")), None),
                part(None, Some(tested)),
                last,
            ];
            rating::assembly_rating(&parts).ok().flatten().map_or(f64::NAN, |assembly| assembly.rating.0 / 1000.0)
        };
        vec![("assembly_ka", of(unmarked).into()), ("replaced_ka", of(part(None, Some(tested))).into())]
    }),
    ("device-of-current", |i| device_results(Amperes(i.number("flc")), device(i))),
    ("instantaneous", |i| {
        let motor = motor_type(i.text("motor"));
        let full_load = Amperes(i.number("flc"));
        let limit = protection::instantaneous_limit(&mut Record::new(), InstantaneousDevice::TripBreaker, motor, full_load, None);
        let limit = limit.expect("a limit");
        vec![("normal", limit.normal.0.into()), ("increased", limit.increased.0.into())]
    }),
    ("overload", |i| {
        let (nameplate, reserve) = (Amperes(i.number("nameplate")), reserve(i));
        let record = &mut Record::new();
        let limit = overload::ceiling(record, nameplate, reserve).expect("a ceiling");
        let increased = overload::increased_ceiling(record, nameplate, reserve).expect("a ceiling");
        vec![("limit", limit.trip.0.into()), ("increased", increased.trip.0.into())]
    }),
    ("combined", |i| {
        let ceiling = overload::ceiling(&mut Record::new(), Amperes(i.number("nameplate")), reserve(i)).expect("a ceiling");
        let device = groups::combined_device(EDITION, DeviceKind::Fuse, ceiling).expect("a rating");
        vec![("limit", ceiling.trip.0.into()), ("rating", device.rating.0.into())]
    }),
    ("code-letter", |i| {
        let letter = i.text("letter").chars().next().expect("a letter");
        let (hp, volts) = (i.number("hp"), Volts(i.number("v")));
        let current = locked_rotor::code_letter_current(&mut Record::new(), letter, hp, volts, phases(i)).expect("a current");
        vec![("current", current.current.0.into()), ("at_least", current.at_least.into())]
    }),
    ("disconnect", |i| {
        let full_load = current(CurrentTable::ThreePhase, i.number("hp"), i.number("v"));
        vec![("minimum", controller::disconnect_minimum(&mut Record::new(), full_load).0.into())]
    }),
    ("hermetic", |i| {
        let record = &mut Record::new();
        let current = groups::hermetic_current(Amperes(i.number("rla")), Some(Amperes(i.number("bcsc"))));
        let mut device =
            |more| groups::hermetic_maximum(record, EDITION, DeviceKind::Breaker, current, more).expect("a rating").rating.0;
        let (normal, increased) = (device(false), device(true));
        let overload = overload::hermetic_device_ceiling(&mut Record::new(), current).expect("a ceiling");
        vec![("device", normal.into()), ("increased", increased.into()), ("overload", overload.trip.0.into())]
    }),
    ("group", |i| {
        let breaker = Device::InverseTimeBreaker;
        let motors: Vec<GroupMotor> = ["hp_1", "hp_2", "hp_3"]
            .map(|name| {
                let full_load = current(CurrentTable::ThreePhase, i.number(name), i.number("v"));
                let own_device = normal(MotorType::Cage, breaker, full_load).rating;
                GroupMotor { horsepower: i.number(name), full_load, own_device }
            })
            .to_vec();
        let of = |motors: &[GroupMotor]| {
            groups::listed_group(&mut Record::new(), EDITION, DeviceKind::Breaker, motors, Amperes(0.0), None).expect("a rating")
        };
        let mut unstepped = motors.clone();
        unstepped[0].own_device = normal(MotorType::Cage, breaker, motors[0].full_load).computed;
        let limit = of(&motors);
        assert_eq!(of(&unstepped).rating, limit.rating, "either reading");
        vec![
            ("without_step", of(&unstepped).computed.0.into()),
            ("computed", limit.computed.0.into()),
            ("rating", limit.rating.0.into()),
        ]
    }),
    ("part-winding", |i| {
        let full_load = current(CurrentTable::ThreePhase, i.number("hp"), i.number("v"));
        let limit = protection::part_winding_half(&mut Record::new(), EDITION, MotorType::Cage, device(i), full_load);
        vec![("computed", limit.expect("a rating").computed.0.into())]
    }),
    ("part-winding-common", |i| {
        let full_load = current(CurrentTable::ThreePhase, i.number("hp"), i.number("v"));
        let limit = protection::part_winding_common(&mut Record::new(), EDITION, MotorType::Cage, device(i), full_load);
        let limit = limit.expect("a rating");
        vec![("computed", limit.computed.0.into()), ("rating", limit.rating.0.into())]
    }),
    ("feeder-three", |i| {
        let motors = ["hp_1", "hp_2", "hp_3"].map(|name| motor(i, name, MotorType::Cage, Device::InverseTimeBreaker));
        vec![("min_ampacity", ampacity(&motors).into())]
    }),
    ("drives", |i| {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count
        let count = i.number("count") as usize;
        let input = Amperes(i.number("input"));
        let drive = FeederTerm { current: input, motor: true, ..FeederTerm::default() };
        vec![("min_ampacity", ampacity(&vec![drive; count]).into())]
    }),
    ("feeder-mixed", |i| {
        let device = device(i);
        let wound = motor(i, "hp_wound", MotorType::WoundRotor, device);
        let motors = [motor(i, "hp_cage", MotorType::Cage, device), wound, wound];
        let (bounds, _) = feeder_device(device, &motors);
        vec![
            ("min_ampacity", ampacity(&motors).into()),
            ("rating", bounds.most.expect("a rating").0.into()),
            ("leads", if bounds.lead == Some(0) { "cage" } else { "wound" }.into()),
        ]
    }),
    ("feeder-heater", |i| {
        let device = device(i);
        let motors = ["hp_1", "hp_2"].map(|name| motor(i, name, MotorType::Cage, device));
        let heater = FeederTerm { current: Amperes(i.number("heater")), continuous: true, ..FeederTerm::default() };
        let all = [&motors[..], &[heater]].concat();
        vec![
            ("min_ampacity", ampacity(&all).into()),
            ("motor_part", feeder_device(device, &motors).1.into()),
            ("rating", feeder_device(device, &all).0.most.expect("a rating").0.into()),
        ]
    }),
];

fn current(table: CurrentTable, horsepower: f64, volts: f64) -> Amperes {
    full_load_current(&mut Record::new(), table, horsepower, Volts(volts)).expect("a current").current
}

fn phases(inputs: &Inputs) -> u32 {
    if inputs.number("phases") == 1.0 { 1 } else { 3 }
}

fn table_current(inputs: &Inputs, horsepower: &str) -> Amperes {
    let table = CurrentTable::of_phases(phases(inputs)).expect("a table");
    current(table, inputs.number(horsepower), inputs.number("v"))
}

fn device(inputs: &Inputs) -> Device {
    let word = inputs.text("device");
    *Device::ALL.iter().find(|device| device.word() == word).unwrap_or_else(|| panic!("device {word}"))
}

fn motor_type(word: &str) -> MotorType {
    *MotorType::ALL.iter().find(|motor_type| motor_type.word() == word).unwrap_or_else(|| panic!("motor {word}"))
}

/// Nameplate reserve; a rise of 0 means that none is marked.
fn reserve(inputs: &Inputs) -> Reserve {
    let rise = inputs.number("rise");
    Reserve { service_factor: Some(inputs.number("sf")), rise_k: (rise > 0.0).then_some(rise) }
}

fn normal(motor: MotorType, device: Device, full_load: Amperes) -> DeviceLimit {
    protection::normal_maximum(&mut Record::new(), EDITION, motor, device, full_load).expect("a rating")
}

fn device_results(full_load: Amperes, device: Device) -> harness::Results {
    let limit = normal(MotorType::Cage, device, full_load);
    let more = protection::increased_maximum(&mut Record::new(), EDITION, device, full_load, &limit);
    vec![("computed", limit.computed.0.into()), ("rating", limit.rating.0.into()), ("increased", more.rating.0.into())]
}

fn motor(inputs: &Inputs, horsepower: &str, kind: MotorType, device: Device) -> FeederTerm {
    let current = current(CurrentTable::ThreePhase, inputs.number(horsepower), inputs.number("v"));
    let rating = Some(normal(kind, device, current).rating);
    FeederTerm { current, motor: true, branch: rating, as_feeder: rating, ..FeederTerm::default() }
}

fn running(terms: &[FeederTerm]) -> Vec<FeederItem> {
    terms.iter().map(|term| FeederItem { term: *term, running: 1, displaces: None }).collect()
}

fn ampacity(terms: &[FeederTerm]) -> f64 {
    let book = rules::book("nec", None).expect("the book is there");
    book.feeder_need(&running(terms), Amperes(0.0), &mut Record::new()).capacity.0
}

/// Bounds, and the sum before it is rounded down.
fn feeder_device(device: Device, terms: &[FeederTerm]) -> (FeederBounds, f64) {
    let kind = match device {
        Device::NonTimeDelayFuse => ProtectionKind::NonTimeDelay,
        Device::TimeDelayFuse => ProtectionKind::DualElement,
        Device::ClassCcTimeDelayFuse => ProtectionKind::ClassCc,
        Device::InverseTimeBreaker => ProtectionKind::InverseTime,
    };
    let book = rules::book("nec", None).expect("the book is there");
    let mut record = Record::new();
    let bounds = book.feeder_bounds(kind, &running(terms), Amperes(0.0), &mut record);
    (bounds, record.steps().last().expect("its working").result)
}

#[test]
fn published_examples_agree() {
    harness::run(include_str!("published/nec.csv"), TOPICS);
}

#[test]
fn the_harness_can_fail() {
    harness::self_check();
}
