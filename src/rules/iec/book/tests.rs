//! The answers of the book that no clause function tests.

use super::*;
use crate::load::testing::{machine, start};

#[test]
fn every_figure_that_the_program_names_is_in_the_table() {
    let text = ["book", "contactors", "control", "criteria", "currents", "rated", "table_edges"].map(|file| {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("src/rules/iec/{file}.rs"));
        std::fs::read_to_string(path).expect("a file of this room")
    });
    let text = text.concat();
    let named: Vec<&str> = text.split("figure(\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(named.len() > 5);
    for name in named.iter().filter(|name| name.len() > 1 && !name.contains(')')) {
        assert!(figure(name).is_finite(), "{name}");
    }
    assert!(FIGURE_ROWS.iter().all(|row| named.contains(&row.name.as_str())), "a figure that nobody uses");
}

/// IEC 60947-4-1, Tables 2 and 3: class 10 trips from cold within 10 s at 7.2 times its setting; up to 1.2 times it need not within
/// two hours. More current gets no shorter time, less current more than by constant I²t: at half of 7.2 times more than 40 s.
#[test]
fn a_relay_at_its_setting_never_trips() {
    assert_eq!(Iec.longest_trip("10", 1.0, None), None);
    assert_eq!(Iec.longest_trip("10", 1.2, None), None);
    assert_eq!(Iec.longest_trip("10", 7.2, None), Some(Seconds(10.0)));
    assert_eq!(Iec.longest_trip("10", 14.4, None), Some(Seconds(10.0)));
    // ln(m²/(m² - 1.2²)): 0.11780 at 3.6, 0.02817 at 7.2.
    let half = Iec.longest_trip("10", 3.6, None).unwrap_or_default().0;
    assert!((half - 41.8).abs() < 0.1, "{half}");
}

/// IEC 60079-7: the relay trips from cold within tE of the stalled motor; tE is not below 5 s and the ratio not above 10.
#[test]
fn increased_safety_admits_what_trips_within_te() {
    let admitted = |te: f64, ratio: f64| {
        let ask =
            IncreasedSafetyAsk { class: "10", starting: Amperes(20.0 * ratio), setting: Amperes(20.0), ratio, te: Seconds(te) };
        let class_demand = Iec.increased_safety(&ask, &mut Record::new());
        class_demand.need.0 > 0.0 && class_demand.need.fits(class_demand.allowed)
    };
    // Class 10 trips within 10 s at 7.2 times; any curve of it is quicker than 60 s there.
    assert!(admitted(60.0, 7.2));
    // A tE below 5 s, and a ratio above 10, are not protected by an ordinary relay, however quick it is.
    assert!(!admitted(4.0, 7.2) && !admitted(60.0, 10.5));
}

/// Kinds for a wish that the row states.
fn kinds(wish: ProtectionKind, machine: &Machine, method: Method) -> Vec<ProtectionKind> {
    Iec.protection_kinds(Known::new(wish, Origin::Cell), machine, &start(method))
}

/// IEC 60947-4-1 has motor-protective circuit-breakers for motors, with the trip classes of their starts; IEC 60269-1: an aM fuse-link
/// breaks short-circuit currents only and must not be left to carry an overload, which a motor's overload relay sees to and nothing
/// before a heater or a drive. A hand-operated starter is the circuit-breaker itself.
#[test]
fn devices_for_motors_are_for_motors() {
    use ProtectionKind::{Am, Gg, MotorBreaker, MouldedCase};
    let (motor, heater) = (machine(LoadKind::Motor, 400.0, 50.0), machine(LoadKind::Heater, 400.0, 50.0));
    assert_eq!(kinds(MotorBreaker, &motor, Method::Direct), [MotorBreaker, MouldedCase, Am]);
    assert_eq!(kinds(MotorBreaker, &motor, Method::Drive), [MotorBreaker, MouldedCase, Gg]);
    assert_eq!(kinds(MotorBreaker, &motor, Method::Manual), [MotorBreaker, MouldedCase]);
    for (machine, method) in [(&heater, Method::Contactor), (&motor, Method::Feeder)] {
        let kinds = kinds(MotorBreaker, machine, method);
        assert!(!kinds.contains(&MotorBreaker) && !kinds.contains(&Am), "{method:?}: {kinds:?}");
    }
    assert_eq!(kinds(Am, &motor, Method::Direct).first(), Some(&Am));
    for (machine, method) in [(&heater, Method::Contactor), (&motor, Method::Drive), (&motor, Method::Feeder)] {
        let kinds = kinds(Am, machine, method);
        assert!(kinds.first() == Some(&Gg) && !kinds.contains(&Am), "{method:?}: {kinds:?}");
    }
    assert_eq!(kinds(MouldedCase, &Machine { fuse_only: true, ..heater }, Method::Contactor), [Gg]);
    // The inrush of a transformer passes a fuse; who asks for the circuit-breaker by name gets it.
    let transformer = machine(LoadKind::Transformer, 400.0, 50.0);
    let wish = |origin| Iec.protection_kinds(Known::new(MouldedCase, origin), &transformer, &start(Method::Contactor));
    assert_eq!((wish(Origin::Basis).first(), wish(Origin::Cell).first()), (Some(&Gg), Some(&MouldedCase)));
}

/// IEC 60947-1, 5.3.1.1: a rated operational voltage is one between lines, whatever the earthing; markings such as 480Y/277 (NFPA 70,
/// 240.85) are another market's and exclude nothing here.
#[test]
fn marked_voltages_exclude_nothing() {
    for marked in ["", "480Y/277", "690"] {
        assert_eq!(Iec.voltage_suits(marked, Some("TN-S"), Volts(400.0)).0, Some(true), "{marked}");
    }
}

/// IEC 60947-4-1, Table 1: AC-4 plugs and inches, duties S5 and S7 of IEC 60034-1 brake electrically; a motor that breaks few
/// of its starts stays AC-3. AC-7b is for motors of households, AC-6a, AC-6b and AC-5a for transformers, capacitors and lamps.
#[test]
fn the_category_follows_from_what_is_switched() {
    let of = |duty, machine: &Machine, start: &Start| {
        switching_demand(duty, Amperes(10.0), machine, start, &mut Record::silent()).category
    };
    let direct = start(Method::Direct);
    let unknown = machine(LoadKind::Motor, 400.0, 50.0);
    let motor = Machine { class: Some(EfficiencyClass::Ie2), ..unknown.clone() };
    assert_eq!(of(Duty::Motor, &unknown, &direct), Category::Ac3e, "nobody states class or starting current");
    for (number, category) in [(1, Category::Ac3), (4, Category::Ac3), (5, Category::Ac4), (6, Category::Ac3), (7, Category::Ac4)]
    {
        assert_eq!(of(Duty::Motor, &motor, &Start { duty: number, ..direct.clone() }), category, "S{number}");
    }
    assert_eq!(of(Duty::Motor, &motor, &Start { inching: 1.0, ..direct.clone() }), Category::Ac4);
    // IEC 60947-4-1, Table 1, note (memory): AC-3 serves occasional inching, at most ten operations in ten minutes, 60 an hour. From half
    // of all operations on inching is no occasion any more (common practice, no source).
    for (share, per_hour, category) in [
        (0.99, None, Category::Ac4),
        (0.5, None, Category::Ac4),
        (0.49, None, Category::Ac3),
        (0.2, Some(300.0), Category::Ac3),
        (0.2, Some(305.0), Category::Ac4),
        (0.0, Some(900.0), Category::Ac3),
    ] {
        let start = Start { inching: share, per_hour, ..direct.clone() };
        assert_eq!(of(Duty::Motor, &motor, &start), category, "{share} of {per_hour:?}");
    }
    assert_eq!(of(Duty::Motor, &Machine { household: true, ..unknown.clone() }, &direct), Category::Ac7b);
    assert_eq!(of(Duty::SlipRing, &motor, &direct), Category::Ac2);
    assert_eq!(of(Duty::Carry, &motor, &direct), Category::Ac1);
    for (kind, category) in [
        (LoadKind::Heater, Category::Ac1),
        (LoadKind::Transformer, Category::Ac6a),
        (LoadKind::Capacitor, Category::Ac6b),
        (LoadKind::Lighting, Category::Ac5a),
        (LoadKind::Motor, Category::Ac3),
        (LoadKind::Packaged, Category::Ac8b),
        (LoadKind::Other, Category::Ac3),
    ] {
        assert_eq!(of(Duty::Load, &machine(kind, 400.0, 50.0), &direct), category, "{kind:?}");
    }
    // A motor of class IE3 asks for AC-3e, but not behind what limits its starting current.
    let efficient = Machine { class: Some(EfficiencyClass::Ie3), ..motor };
    assert_eq!(of(Duty::Motor, &efficient, &direct), Category::Ac3e);
    assert_eq!(of(Duty::Motor, &efficient, &start(Method::SoftStarter)), Category::Ac3);
}

/// Between phase and an earthed neutral the poles of a contactor may be linked; between two lines or in three phases they may not.
#[test]
fn poles_are_linked_where_one_conductor_is_switched() {
    let of = |phases, neutral| {
        let machine = Machine { phases, neutral, ..machine(LoadKind::Heater, 230.0, 50.0) };
        switching_demand(Duty::Load, Amperes(10.0), &machine, &start(Method::Contactor), &mut Record::silent()).one_conductor
    };
    assert!(of(1, true) && !of(1, false) && !of(3, true));
}
