//! What stands on nameplates: markings of packaged equipment, and figures of motors that no motor has.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};

const NEC: &str = "[rules]\nbook = \"nec\"\nedition = \"2023\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 5\nx_over_r = 3\n";
const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 25\nprospective_fault_min_ka = 12\nx_over_r = 3\n";

fn circuit<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("{tag} is there"))
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn device(circuit: &Circuit) -> Option<f64> {
    circuit.protection.as_ref().map(|protection| protection.rating_a)
}

fn packaged_nec(rows: &[(&str, f64, f64, &str)]) -> Design {
    let head = "tag,load_kind,voltage_v,phases,minimum_circuit_ampacity_a,maximum_protection_a,starting_method,cable_length_ft,rated_load_current_a\n";
    let rows = rows.iter().map(|(tag, mca, mocp, rla)| format!("{tag},packaged,480,3,{mca},{mocp},feeder,30,{rla}\n"));
    design_of(&format!("{head}{}", rows.collect::<String>()), NEC)
}

/// 440.4(B), 440.35: a marked circuit ampacity stands for all of the equipment and holds 125 % of its largest motor; the disconnecting
/// means carries it, 46 A by a breaker of 50 A. 440.12(A)(1) asks 115 % of a rated-load current that the nameplate states: of 36.8 A
/// (46/1.25)
/// 42.3 A, which 50 A hold; of 45 A 51.75 A, which they don't.
#[test]
fn the_disconnect_of_marked_equipment_carries_its_ampacity() {
    let design = packaged_nec(&[
        ("U-1", 46.0, 50.0, ""),
        ("U-3", 21.0, 25.0, ""),
        ("U-4", 24.0, 25.0, ""),
        ("U-6", 46.0, 50.0, "36.8"),
        ("U-7", 46.0, 50.0, "45"),
    ]);
    let check = |tag: &str| {
        let checks = &circuit(&design, tag).checks;
        let check = checks.iter().find(|check| check.name.starts_with("disconnect-rating")).expect("the check");
        (check.value, check.limit, check.passed)
    };
    for (tag, ampacity, rating) in [("U-1", 46.0, 50.0), ("U-3", 21.0, 25.0), ("U-4", 24.0, 25.0), ("U-6", 46.0, 50.0)] {
        assert_eq!(device(circuit(&design, tag)), Some(rating), "{tag}");
        assert_eq!(check(tag), (Some(ampacity), Some(rating), Some(true)), "{tag}");
        assert!(!has(circuit(&design, tag), "C101"), "{tag}");
    }
    assert_eq!(check("U-7"), (Some(51.75), Some(50.0), Some(false)));
}

/// 240.6(A): between 33 A and 34 A lies no standard rating; 30 A is the largest that the marking allows. The finding asks the maker; it is
/// no fault of the program, and the trial of the design says none.
#[test]
fn no_rating_between_ampacity_and_maximum_is_a_question() {
    let design = packaged_nec(&[("U-2", 33.0, 34.0, "")]);
    let marked = circuit(&design, "U-2");
    assert!(has(marked, "R213") && !has(marked, "V404"), "{:?}", marked.findings);
    assert_eq!((device(marked), marked.status), (Some(30.0), Status::NeedsDecision));
}

/// The marking of a unit says that a device from 33 to 40 A serves it: preferred ratings there are 35 and 40 A. Without a marking the
/// device has a quarter more than the current, for a start that nobody knows: 33 A ask for 41.25 A.
#[test]
fn a_marked_ampacity_is_not_raised_for_the_start() {
    let rows = "tag,load_kind,voltage_v,phases,minimum_circuit_ampacity_a,maximum_protection_a,full_load_current_a,starting_method,cable_length_m\n\
                U-1,packaged,400,3,33,40,,feeder,10\n\
                U-2,packaged,400,3,33,45,,feeder,10\n\
                U-3,packaged,400,3,33,,,feeder,10\n\
                U-5,packaged,400,3,,,33,feeder,10\n";
    let design = design_of(rows, IEC);
    for (tag, least, most) in [("U-1", 33.0, 40.0), ("U-2", 33.0, 45.0), ("U-3", 33.0, 40.0), ("U-5", 41.25, 50.0)] {
        let rating = device(circuit(&design, tag)).unwrap_or(f64::NAN);
        assert!((least..=most).contains(&rating), "{tag}: {rating} A, {:?}", circuit(&design, tag).findings);
        assert!(!has(circuit(&design, tag), "C201"), "{tag}");
    }
    assert!(design.circuits.iter().all(|circuit| circuit.findings.iter().all(|finding| !finding.code.starts_with('V'))));
}

fn motor(more: &[(&str, &str)]) -> Circuit {
    motor_by(IEC, more)
}

fn motor_by(basis: &str, more: &[(&str, &str)]) -> Circuit {
    let plain = [
        ("tag", "A-1"),
        ("load_kind", "motor"),
        ("rated_power_kw", "15"),
        ("voltage_v", "400"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("cable_length_m", "30"),
        ("protection_kind", "gG"),
    ];
    let mut cells: Vec<(&str, &str)> = plain.to_vec();
    for (name, value) in more {
        match cells.iter_mut().find(|cell| cell.0 == *name) {
            Some(cell) => cell.1 = value,
            None => cells.push((name, value)),
        }
    }
    let line = |of: fn(&(&str, &str)) -> String| cells.iter().map(of).collect::<Vec<_>>().join(",");
    design_of(&format!("{}\n{}\n", line(|cell| cell.0.to_owned()), line(|cell| cell.1.to_owned())), basis).circuits.remove(0)
}

/// 15 kW at 400 V draw about 29 A (IEC 60947-4-1, Annex G). 15 000 W / (√3 · 400 V · 0.19 · 0.85) = 134 A, and with a power factor of 0.2
/// over 100 A: a relay set to either does not protect the motor, so that nobody orders it before somebody has looked. 91 % and 0.85, or
/// 88 % and 0.8 (30.8 A), are an ordinary motor's.
#[rstest::rstest]
#[case::digits_exchanged(&[("efficiency_pct", "19")], &["L334", "R108"])]
#[case::start_power_factor(&[("power_factor", "0.2")], &["L335", "R108"])]
#[case::half_the_power_factor(&[("power_factor", "0.5")], &["R108"])]
#[case::sixty_per_cent(&[("efficiency_pct", "60")], &["L334", "R108"])]
#[case::ordinary(&[("efficiency_pct", "91"), ("power_factor", "0.85")], &[])]
#[case::poor(&[("efficiency_pct", "88"), ("power_factor", "0.8")], &[])]
fn a_computed_current_is_held_against_the_guide_table(#[case] more: &[(&str, &str)], #[case] expected: &[&str]) {
    let found = motor(more);
    let told: Vec<&str> = ["L334", "L335", "R108"].into_iter().filter(|code| has(&found, code)).collect();
    assert_eq!(told, expected);
    assert!(expected.is_empty() || found.status == Status::NeedsDecision);
}

/// Figures that contradict a cage motor of 15 kW at 50 Hz: more load than power, a locked-rotor current of the rated one, speeds that the
/// fields of 3000, 1500, 1000 /min do not give. What motors have stays silent: 15 kW of load, a ratio of 5, 1460 /min, the field's own
/// 1500, and that rounded up. So does what is no cage motor of three phases and one speed on the line.
#[rstest::rstest]
#[case::three_times_the_load(&[("absorbed_power_kw", "50")], Some("L336"))]
#[case::a_little_more_load(&[("absorbed_power_kw", "16")], Some("L336"))]
#[case::full_load(&[("absorbed_power_kw", "15")], None)]
#[case::service_factor(&[("absorbed_power_kw", "16"), ("service_factor", "1.15")], None)]
#[case::no_locked_rotor_current(&[("locked_rotor_ratio", "1")], Some("L337"))]
#[case::usual_locked_rotor_current(&[("locked_rotor_ratio", "5")], None)]
#[case::behind_a_drive(&[("locked_rotor_ratio", "1"), ("starting_method", "drive")], None)]
#[case::above_every_field(&[("speed_rpm", "6000")], Some("L338"))]
#[case::half_the_field(&[("speed_rpm", "1501")], Some("L338"))]
#[case::of_sixty_hertz(&[("speed_rpm", "1760")], Some("L338"))]
#[case::poles_of_another(&[("speed_rpm", "2940"), ("poles", "4")], Some("L338"))]
#[case::usual_speed(&[("speed_rpm", "1460")], None)]
#[case::the_field_itself(&[("speed_rpm", "1500")], None)]
#[case::rounded_up(&[("speed_rpm", "1502"), ("poles", "4")], None)]
#[case::of_one_phase(&[("phases", "1"), ("voltage_v", "230"), ("locked_rotor_ratio", "1.5")], None)]
#[case::slip_rings(&[("starting_method", "rotor-resistance"), ("locked_rotor_ratio", "1.5")], None)]
#[case::speed_of_a_drive(&[("starting_method", "drive"), ("speed_rpm", "3600"), ("poles", "4")], None)]
#[case::one_of_two_speeds(&[("starting_method", "two-speed-separate"), ("speed_rpm", "980"), ("poles", "4")], None)]
fn motor_data_that_cannot_be_true_are_asked_about(#[case] more: &[(&str, &str)], #[case] expected: Option<&str>) {
    let found = motor(more);
    let told = ["L336", "L337", "L338", "L339"].into_iter().find(|code| has(&found, code));
    assert_eq!(told, expected);
    assert!(expected.is_none() || found.status == Status::NeedsDecision);
}

/// A class that the row states bounds its efficiency closer than that of any motor (IEC 60034-30-1: IE1 of 15 kW has at least 88.7 %): one
/// thing is said of 60 %, not two.
#[test]
fn an_efficiency_below_its_class_is_told_once() {
    let found = motor(&[("efficiency_pct", "60"), ("efficiency_class", "IE1")]);
    assert!(has(&found, "L321") && !has(&found, "L334"), "{:?}", found.findings);
}

/// Either side of each limit of the table `plausibility` (common practice): 30 % of a motor of one phase from 100 W on, whose efficiency no
/// class holds; a locked-rotor current of twice the rated one; at low speed 2.5 times the current of its share of the power and half an
/// ampere,
/// 2.5 · 29 A · 4/15 + 0.5 A = 19.8 A.
#[rstest::rstest]
#[case::efficiency_of_one_phase(&[("phases", "1"), ("voltage_v", "230"), ("rated_power_kw", "0.37"), ("efficiency_pct", "25")], "L334", true)]
#[case::a_little_more(&[("phases", "1"), ("voltage_v", "230"), ("rated_power_kw", "0.37"), ("efficiency_pct", "31")], "L334", false)]
#[case::of_a_tiny_motor(&[("phases", "1"), ("voltage_v", "230"), ("rated_power_kw", "0.09"), ("efficiency_pct", "25")], "L334", false)]
#[case::of_one_that_is_not(&[("phases", "1"), ("voltage_v", "230"), ("rated_power_kw", "0.11"), ("efficiency_pct", "25")], "L334", true)]
#[case::locked_rotor(&[("locked_rotor_ratio", "1.9")], "L337", true)]
#[case::more_at_standstill(&[("locked_rotor_ratio", "2.1")], "L337", false)]
#[case::low_speed(&[("starting_method", "two-speed-separate"), ("full_load_current_a", "29"), ("rated_power_low_kw", "4"), ("full_load_current_low_a", "20")], "L339", true)]
#[case::less_at_low_speed(&[("starting_method", "two-speed-separate"), ("full_load_current_a", "29"), ("rated_power_low_kw", "4"), ("full_load_current_low_a", "19.6")], "L339", false)]
fn a_limit_of_what_motors_have_is_where_its_table_says(#[case] more: &[(&str, &str)], #[case] code: &str, #[case] told: bool) {
    let found = motor(more);
    assert_eq!(has(&found, code), told, "{:?}", found.findings);
}

/// What no motor has is no motor's under the other book either: 20 hp at 460 V are 27 A (Table 430.250), 14.9 kW.
#[rstest::rstest]
#[case::efficiency(&[("efficiency_pct", "19")], &["L334"])]
#[case::power_factor(&[("power_factor", "0.2")], &["L335"])]
#[case::three_times_the_load(&[("absorbed_power_kw", "50")], &["L336"])]
#[case::no_locked_rotor_current(&[("locked_rotor_ratio", "1")], &["L337"])]
#[case::above_every_field(&[("speed_rpm", "6000")], &["L338"])]
#[case::ordinary(&[("efficiency_pct", "92.4"), ("power_factor", "0.85"), ("absorbed_power_kw", "14"), ("locked_rotor_ratio", "6"), ("speed_rpm", "1760")], &[])]
fn the_other_book_asks_the_same_of_a_motor(#[case] more: &[(&str, &str)], #[case] expected: &[&str]) {
    let nec = [("rated_power_kw", ""), ("rated_power_hp", "20"), ("voltage_v", "460"), ("protection_kind", "")];
    let found = motor_by(NEC, &[&nec, more].concat());
    let told: Vec<&str> = ["L334", "L335", "L336", "L337", "L338", "L339"].into_iter().filter(|code| has(&found, code)).collect();
    assert_eq!(told, expected);
    assert!(expected.is_empty() || found.status == Status::NeedsDecision);
}

/// A low speed has no more power than the high one; a motor of constant power draws about a quarter more there (36 A beside 29 A), one of a
/// quarter of the power (4 kW) about a third of the current, not 57 A.
#[rstest::rstest]
#[case::powers_exchanged("30", "57", true)]
#[case::power_exchanged("30", "12", true)]
#[case::another_motors_current("4", "57", true)]
#[case::constant_power("15", "36", false)]
#[case::fan("4", "9.5", false)]
fn a_low_speed_is_not_stronger_than_the_high_one(#[case] power: &str, #[case] current: &str, #[case] told: bool) {
    let found = motor(&[
        ("starting_method", "two-speed-separate"),
        ("full_load_current_a", "29"),
        ("rated_power_low_kw", power),
        ("full_load_current_low_a", current),
    ]);
    assert_eq!(has(&found, "L339"), told, "{:?}", found.findings);
}
