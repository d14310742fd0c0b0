//! Every drawing of every method in both books: words meet neither each other nor a line nor the frame, and every device is told.

use super::power;
use super::symbols::{BREAKER, FUSE, Symbol, THERMAL};
use crate::design::{Accessory, Circuit, Contactor, Disconnect, Overload, Protection, Run, Status};
use crate::load::{Method, ProtectionKind};
use crate::report::drawings::testing::{examples, lines, symbols, texts};
use crate::rules::units::Units;

/// The same circuit with all that a row may ask for besides.
fn crowded(circuit: &Circuit) -> Circuit {
    let mut circuit = circuit.clone();
    circuit.quantity = 12;
    circuit.description = "A machine with a name that is far too long for any drawing of this width, and then some".to_owned();
    if let Some(first) = circuit.contactors.first().cloned() {
        circuit.contactors.push(Contactor { role: "safety".to_owned(), ..first });
    }
    circuit.disconnect = Some(Disconnect {
        count: 1,
        kind: "isolator".to_owned(),
        category: "AC-23A".to_owned(),
        rating_a: Some(1250.0),
        rating_hp: Some(400.0),
        location: "at the machine".to_owned(),
        lockable: true,
        part: "X".to_owned(),
        ..Disconnect::default()
    });
    if let [motor] = circuit.runs.as_slice() {
        let motor = motor.clone();
        circuit.runs.insert(0, Run { role: "supply".to_owned(), phase_size: "35 mm2".to_owned(), ..motor });
    }
    circuit.runs.push(Run { role: "control".to_owned(), phase_size: "0.75 mm2".to_owned(), ..Run::default() });
    circuit.accessories.push(Accessory {
        kind: "thermistor-relay".to_owned(),
        serves: "motor".to_owned(),
        ..Accessory::default()
    });
    for relay in &mut circuit.overloads {
        relay.dial_a = Some(4.75);
    }
    circuit
}

/// The same circuit behind a miniature circuit-breaker, which no example has.
fn behind_miniature_breaker(circuit: &Circuit) -> Circuit {
    let breaker = Protection {
        kind: "circuit-breaker".to_owned(),
        rating_a: 16.0,
        breaking_ka: Some(10.0),
        magnetic_trip_a: Some(80.0),
        magnetic_min_a: Some(80.0),
        magnetic_max_a: Some(160.0),
        part: "X".to_owned(),
        ..Protection::default()
    };
    Circuit { protection: Some(breaker), disconnect: None, ..circuit.clone() }
}

/// Three motors behind the same starter, where it may have them: each with a relay and a run of its own.
fn of_several(circuit: &Circuit) -> Option<Circuit> {
    let method = circuit.load.starting_method.as_deref().unwrap_or_default();
    if !matches!(method, "direct" | "soft-starter" | "drive") || circuit.load.phases != Some(3) {
        return None;
    }
    let mut circuit = Circuit { motors: 3, quantity: 1, ..circuit.clone() };
    circuit.overloads.retain(|relay| relay.kind.starts_with("in-"));
    circuit.overloads.push(Overload {
        role: "motor".to_owned(),
        position: "motor".to_owned(),
        count: 3,
        kind: "electronic".to_owned(),
        trip_class: "10".to_owned(),
        range_a: [4.0, 16.0],
        setting_a: 14.2,
        part: "X".to_owned(),
        ..Overload::default()
    });
    circuit.runs.iter_mut().filter(|run| run.role == "motor").for_each(|run| run.count = 3);
    circuit
        .disconnect
        .iter_mut()
        .filter(|disconnect| disconnect.location == "at the machine")
        .for_each(|disconnect| disconnect.count = 3);
    Some(circuit)
}

fn all() -> Vec<(String, Units, Circuit, String)> {
    let mut list = Vec::new();
    let mut circuits = examples();
    let miniature: Vec<Circuit> =
        circuits.iter().filter(|circuit| circuit.overloads.is_empty()).map(behind_miniature_breaker).collect();
    assert!(miniature.len() > 3);
    circuits.extend(miniature);
    let groups: Vec<Circuit> = circuits.iter().filter_map(of_several).collect();
    assert!(groups.len() > 3);
    circuits.extend(groups);
    for circuit in circuits {
        for units in [Units::Metric, Units::Customary] {
            for circuit in [circuit.clone(), crowded(&circuit)] {
                let drawn = power(&circuit, "c1", units);
                list.push((format!("{} {units:?} {}", circuit.tag, circuit.quantity), units, circuit, drawn));
            }
        }
    }
    list
}

#[test]
fn every_method_is_drawn() {
    let circuits = examples();
    for (_, word) in Method::ALL {
        let circuit = circuits.iter().find(|circuit| circuit.load.starting_method.as_deref() == Some(word));
        let drawn = power(circuit.unwrap_or_else(|| panic!("no example is {word}")), "c1", Units::Metric);
        assert!(drawn.contains("<title ") && drawn.contains("<desc ") && drawn.matches("<use ").count() > 3, "{word}");
    }
}

/// One motor is drawn for all: from its relay on everything stands so many times, and says so.
#[test]
fn a_group_is_drawn_once_with_how_many_there_are() {
    let groups: Vec<Circuit> = examples().iter().filter_map(of_several).collect();
    assert!(!groups.is_empty());
    for circuit in groups {
        let drawn = power(&circuit, "c1", Units::Metric);
        let words: Vec<String> = texts(&drawn).into_iter().map(|(text, _)| text).collect();
        let told = |text: &str| words.iter().any(|word| word.replace('\u{a0}', " ").contains(text));
        assert!(told("from here on 3 ×") && told("set to 14.2 A"), "{}: {words:?}", circuit.tag);
    }
}

#[test]
fn words_meet_neither_each_other_nor_a_line_nor_the_frame() {
    let mut wrong = Vec::new();
    for (name, _, _, drawn) in all() {
        let height = drawn.split("viewBox=\"0 0 97 ").nth(1).and_then(|rest| rest.split('"').next()).expect("a frame");
        let height: f64 = height.parse().expect("a height");
        let (texts, lines, symbols) = (texts(&drawn), lines(&drawn), symbols(&drawn));
        assert!(texts.len() > 4 && !lines.is_empty() && symbols.len() > 1, "{name}");
        for area in &symbols {
            if area.0 < 0.0 || area.1 < 0.0 || area.2 > 97.0 || area.3 > height {
                wrong.push(format!("{name}: a symbol leaves the frame {area:?}"));
            }
        }
        for (index, (text, area)) in texts.iter().enumerate() {
            if area.0 < 0.0 || area.1 < 0.0 || area.2 > 97.0 || area.3 > height {
                wrong.push(format!("{name}: \"{text}\" leaves the frame {area:?}"));
            }
            for (other, its) in &texts[index + 1..] {
                if area.meets(its) {
                    wrong.push(format!("{name}: \"{text}\" meets \"{other}\" {area:?} {its:?}"));
                }
            }
            if let Some(line) = lines.iter().find(|line| line.meets(area)) {
                wrong.push(format!("{name}: a line goes through \"{text}\" {area:?} {line:?}"));
            }
            if let Some(symbol) = symbols.iter().find(|symbol| symbol.meets(area)) {
                wrong.push(format!("{name}: a symbol meets \"{text}\" {area:?} {symbol:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{} in all\n{}", wrong.len(), wrong[..wrong.len().min(40)].join("\n"));
}

/// Letters of the US: CB for a circuit-breaker, FU for fuses (common practice, no source).
#[test]
fn a_circuit_breaker_is_drawn_as_one_and_a_fuse_as_one() {
    // Miniature circuit-breakers are chosen for loads that don't start; no wish of the schedule names them.
    let kinds = ProtectionKind::ALL.iter().map(|(kind, word)| (*word, kind.is_fuse())).chain([("circuit-breaker", false)]);
    for (kind, fuse) in kinds {
        let circuit = Circuit {
            status: Status::Sized,
            protection: Some(Protection { kind: kind.to_owned(), rating_a: 10.0, ..Protection::default() }),
            ..Circuit::default()
        };
        let [metric, customary] = [Units::Metric, Units::Customary].map(|units| power(&circuit, "c1", units));
        for drawn in [&metric, &customary] {
            let has = |symbol: Symbol| drawn.contains(&format!("#{}\"", symbol.id(3)));
            assert_eq!((has(FUSE), has(BREAKER)), (fuse, !fuse), "{kind}");
        }
        assert_eq!((customary.contains(">FU<"), customary.contains(">CB<")), (fuse, !fuse), "{kind}");
        // IEC 60898-1 breakers open on overload; what a motor's breaker does is told by its relay.
        assert_eq!(metric.contains(&format!("#{}\"", THERMAL.id(3))), kind == "circuit-breaker", "{kind}");
    }
}

/// Each chosen device stands in the drawing with its rating.
#[test]
fn every_device_of_the_circuit_is_told() {
    for (name, units, circuit, drawn) in all() {
        let words: String =
            texts(&drawn).into_iter().map(|(text, _)| text.replace('\u{a0}', " ").replace('\u{202f}', "") + " ").collect();
        let number = |value: f64| format!("{value}");
        let mut wanted: Vec<String> = circuit.protection.iter().map(|protection| number(protection.rating_a) + " A").collect();
        wanted.extend(circuit.contactors.iter().map(|contactor| number(contactor.rated_a) + " A"));
        wanted.extend(
            circuit.starter_devices.iter().filter(|device| device.rated_a > 0.0).map(|device| number(device.rated_a) + " A"),
        );
        wanted.extend(
            circuit.disconnect.iter().filter_map(|disconnect| disconnect.rating_a).map(|rating_a| number(rating_a) + " A"),
        );
        let power = circuit.runs.iter().filter(|run| run.role != "control");
        wanted.extend(power.map(|run| units.pick(run.phase_size.replace("mm2", "mm²"), run.phase_size.clone())));
        wanted.extend(circuit.overloads.iter().map(|overload| format!("set to {}", number(overload.setting_a))));
        for one in wanted {
            // A cable with a smaller protective conductor is named 3 × 35 + 16 mm².
            let reduced = format!("× {} + ", one.trim_end_matches(" mm²"));
            let found = words.contains(&one) || words.contains(&one.replace("set to", "set")) || words.contains(&reduced);
            assert!(found, "{name}: {one} is not in {words}");
        }
    }
}

#[test]
fn drawings_are_small_and_no_higher_than_half_a_page() {
    let (mut bytes, mut count) = (0, 0);
    for (name, _, circuit, drawn) in all() {
        let height: f64 =
            drawn.split("height=\"").nth(1).and_then(|rest| rest.split("mm").next()).expect("mm").parse().expect("mm");
        assert!(height <= if circuit.quantity == 12 { 180.0 } else { 130.0 }, "{name}: {height} mm");
        assert!(drawn.len() < 6500, "{name}: {} bytes", drawn.len());
        if circuit.quantity != 12 {
            bytes += drawn.len();
            count += 1;
        }
    }
    assert!(bytes / count < 3500, "{} bytes a drawing", bytes / count);
}

#[test]
fn the_interlock_of_a_reverser_is_drawn_where_it_was_chosen() {
    let circuits = examples();
    let circuit = circuits.iter().find(|circuit| circuit.load.reversing && circuit.contactors.len() == 2).expect("a reverser");
    assert!(power(circuit, "c1", Units::Metric).contains("#d-il"));
    let mut bare = circuit.clone();
    bare.accessories.clear();
    assert!(!power(&bare, "c1", Units::Metric).contains("#d-il"));
}

#[test]
fn a_row_that_is_not_sized_has_no_drawing() {
    assert!(power(&Circuit::default(), "c1", Units::Metric).is_empty());
}

/// A release of a moulded-case circuit-breaker is no relay of its own.
#[test]
fn the_release_of_a_breaker_is_drawn_in_the_breaker() {
    let release = Overload {
        role: "main".to_owned(),
        position: "line".to_owned(),
        kind: "moulded-case".to_owned(),
        trip_class: "10".to_owned(),
        setting_a: 435.0,
        ..Overload::default()
    };
    let breaker = Protection { kind: "moulded-case".to_owned(), rating_a: 630.0, ..Protection::default() };
    let circuit = Circuit {
        status: crate::design::Status::Sized,
        protection: Some(breaker),
        overloads: vec![release.clone()],
        ..Circuit::default()
    };
    let drawn = power(&circuit, "c1", Units::Metric);
    assert!(!drawn.contains("-B1") && drawn.contains("set to 435.0"), "{drawn}");
    let apart = Circuit {
        overloads: vec![Overload { part: "R-1".to_owned(), ..release }],
        contactors: circuit.contactors.clone(),
        ..circuit
    };
    let with = Circuit { contactors: vec![Contactor { role: "main".to_owned(), ..Contactor::default() }], ..apart };
    assert!(power(&with, "c1", Units::Metric).contains("-B1"));
}

/// A run of the control circuit is none of the power circuit.
#[test]
fn runs_of_the_control_circuit_are_not_drawn() {
    for circuit in examples() {
        let drawn = power(&crowded(&circuit), "c1", Units::Metric);
        assert!(!drawn.contains("0.75\u{a0}mm²"), "{}", circuit.tag);
    }
}

/// All three poles of a device are drawn for two conductors, and words stay clear of the loops between them.
#[test]
fn a_single_phase_circuit_goes_through_every_pole_of_its_relay() {
    for (units, neutral, poles, symbol) in [
        (Units::Metric, true, 2, "d-t3"),
        (Units::Metric, false, 2, "d-t3"),
        (Units::Customary, false, 2, "d-t3"),
        (Units::Customary, true, 3, "d-t3"),
    ] {
        let run = Run {
            role: "motor".to_owned(),
            phase_size: units.pick("2.5 mm2", "12 AWG").to_owned(),
            neutral_size: neutral.then(|| "2.5 mm2".to_owned()),
            protective_size: "2.5 mm2".to_owned(),
            cores: 3,
            per_phase: 1,
            ..Run::default()
        };
        let relay = Overload {
            role: "main".to_owned(),
            position: "line".to_owned(),
            kind: "bimetal".to_owned(),
            trip_class: "10".to_owned(),
            range_a: [1.8, 2.5],
            setting_a: 2.3,
            part: "R-1".to_owned(),
            poles_in_series: Some(poles),
            ..Overload::default()
        };
        let mut circuit = Circuit {
            status: crate::design::Status::Sized,
            contactors: vec![Contactor { role: "main".to_owned(), rated_a: 9.0, ..Contactor::default() }],
            overloads: vec![relay],
            runs: vec![run],
            ..Circuit::default()
        };
        circuit.load.phases = Some(1);
        circuit.load.kind = "motor".to_owned();
        circuit.load.starting_method = Some("direct".to_owned());
        let drawn = power(&circuit, "c1", units);
        assert!(drawn.contains(symbol) && drawn.contains(&format!("through {poles}\u{a0}poles")), "{units:?} {neutral}");
        let (lines, texts) = (lines(&drawn), texts(&drawn));
        for (text, area) in &texts {
            assert!(!lines.iter().any(|line| line.meets(area)), "{units:?} {neutral}: a line goes through {text}");
        }
        circuit.overloads[0].poles_in_series = None;
        assert!(!power(&circuit, "c1", units).contains(symbol));
    }
}

/// Poles of one contactor side by side all carry the line: a neutral in one of them would be a dead short when it closes. It goes past.
#[test]
fn a_neutral_goes_past_poles_in_parallel() {
    for (parallel, symbol) in [(3, "#d-k1\""), (2, "#d-k1\""), (1, "#d-k2\"")] {
        let run = Run { role: "motor".to_owned(), neutral_size: Some("25 mm2".to_owned()), cores: 3, ..Run::default() };
        let main = Contactor { role: "main".to_owned(), rated_a: 90.0, poles_in_parallel: parallel, ..Contactor::default() };
        let mut circuit =
            Circuit { status: crate::design::Status::Sized, contactors: vec![main], runs: vec![run], ..Circuit::default() };
        circuit.load.phases = Some(1);
        circuit.load.kind = "heater".to_owned();
        circuit.load.starting_method = Some("contactor".to_owned());
        let drawn = power(&circuit, "c1", Units::Metric);
        let contactors: Vec<&str> = ["#d-k1\"", "#d-k2\"", "#d-k3\""].into_iter().filter(|id| drawn.contains(id)).collect();
        assert_eq!(contactors, [symbol], "{parallel}: {drawn}");
    }
}

/// A fourth pole of an isolator opens the neutral, one of three leaves it joined.
#[test]
fn a_fourth_pole_is_drawn_in_the_neutral() {
    for (poles, fourth) in [(Some(4), true), (Some(3), false)] {
        let run = Run { role: "motor".to_owned(), neutral_size: Some("6 mm2".to_owned()), cores: 5, ..Run::default() };
        let isolator = Disconnect {
            kind: "isolator".to_owned(),
            location: "at the machine".to_owned(),
            rating_a: Some(25.0),
            poles,
            ..Disconnect::default()
        };
        let mut circuit =
            Circuit { status: crate::design::Status::Sized, disconnect: Some(isolator), runs: vec![run], ..Circuit::default() };
        circuit.load.phases = Some(3);
        circuit.load.kind = "heater".to_owned();
        circuit.load.starting_method = Some("feeder".to_owned());
        let drawn = power(&circuit, "c1", Units::Metric);
        assert!(drawn.contains("#d-d3\""), "{drawn}");
        assert_eq!(drawn.contains("#d-d1\""), fourth, "{poles:?}: {drawn}");
    }
}

/// What a sender writes last, here the poles, is what tells machines apart.
#[test]
fn a_description_goes_on_in_a_second_line() {
    let circuit = Circuit {
        description: "Raw water pump 3, route through the garden and the yard, 4/8 poles".to_owned(),
        ..examples().swap_remove(0)
    };
    let drawn = power(&circuit, "p", Units::Metric);
    let words: Vec<String> = texts(&drawn).into_iter().map(|(text, _)| text).collect();
    assert!(words.iter().any(|text| text.ends_with("4/8 poles")) && !words.iter().any(|text| text.contains('…')), "{words:?}");
}
