//! Devices that are too small and wholly consistent: number, description, frame and figures are those of the smaller part, as the catalogue
//! has them. Only the rule that it breaks can tell, and it must.

use motorwright::catalogue::{self, Catalogue, Category};
use motorwright::design::{Circuit, Design};
use motorwright::rules;
use motorwright::verify::Verifier;

/// Codes that the verifier says of a circuit.
fn codes(verifier: &Verifier<'_>, circuit: &Circuit) -> Vec<String> {
    verifier.circuit(circuit).into_iter().map(|finding| finding.code.to_string()).collect()
}

/// Direct motors with their rated currents at 400 V, of usual four-pole motors (practice): kilowatts and amperes.
const MOTORS: [(&str, f64); 11] = [
    ("5.5", 11.0),
    ("7.5", 15.2),
    ("11", 21.7),
    ("15", 29.0),
    ("18.5", 35.0),
    ("22", 41.5),
    ("30", 55.0),
    ("37", 68.0),
    ("45", 81.0),
    ("55", 99.0),
    ("75", 134.0),
];

/// The design of these motors behind fuses.
fn design() -> Design {
    let row = |(power, amperes): &(&str, f64)| format!("P-{power},MCC,motor,{power},400,{amperes},IE2,direct,gG,20\n");
    let rows: String = MOTORS.iter().map(row).collect();
    let head = "tag,board,load_kind,rated_power_kw,voltage_v,full_load_current_a,efficiency_class,starting_method,protection_kind,cable_length_m\n";
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
                 prospective_fault_ka = 20\nprospective_fault_min_ka = 6\n";
    super::common::design_of(&format!("{head}{rows}"), basis)
}

fn verifier<'a>(design: &'a Design, range: &'a Catalogue) -> Verifier<'a> {
    Verifier::new(&design.basis, rules::book("iec", None).expect("a book"), range, &design.circuits)
}

/// IEC 60947-4-1: a contactor is rated by its utilization category. The next smaller one of the catalogue, with all its figures, does not
/// hold the current of its role.
#[test]
fn a_contactor_that_is_too_small_is_found_by_its_rating_alone() {
    let design = design();
    let range = catalogue::builtin("iec");
    let bench = super::Bench::of(range);
    let verifier = verifier(&design, range);
    let mut tried = 0;
    for circuit in design.circuits.iter().filter(|circuit| !circuit.parts.is_empty()) {
        let volts = circuit.load.voltage_v.unwrap_or(0.0);
        for contactor in circuit.contactors.iter().filter(|contactor| contactor.category == "AC-3") {
            let from = &contactor.part;
            let same = circuit.contactors.iter().filter(|other| other.part == *from);
            let Some((row, coil)) = range.contactors.iter().find_map(|row| {
                let coil = range.coils.iter().find(|coil| row.part_with(coil) == *from)?;
                Some((row, coil))
            }) else {
                continue;
            };
            // Where heat or height leave less of a rating the catalogue alone does not say how much.
            let plain = row.rating(Category::Ac3, volts) == Some(contactor.rated_a);
            if !plain || !same.clone().all(|other| other.category == "AC-3") {
                continue;
            }
            let rating = |row: &catalogue::Contactor| row.rating(Category::Ac3, volts).unwrap_or(f64::INFINITY);
            let smaller = range.contactors.iter().filter(|other| rating(other) < contactor.current_a - 0.01);
            let Some(smaller) = smaller.max_by(|one, other| rating(one).total_cmp(&rating(other))) else { continue };
            let to = smaller.part_with(coil);
            let mut wrong = bench.swapped(circuit, from, &to);
            for other in wrong.contactors.iter_mut().filter(|other| other.part == to) {
                other.rated_a = rating(smaller);
                other.frame.clone_from(&smaller.frame);
                other.suppression_built_in =
                    if coil.dc { smaller.dc_suppression_built_in } else { smaller.ac_suppression_built_in };
            }
            let said = codes(&verifier, &wrong);
            assert!(said.iter().any(|code| code == "V209"), "{}: {from} -> {to}: {said:?}", circuit.tag);
            assert!(!said.iter().any(|code| code == "V204"), "{}: {from} -> {to}: {said:?}", circuit.tag);
            tried += 1;
        }
    }
    assert!(tried >= 8, "{tried}");
}

/// IEC 60364-4-43, 433.1: the rating of a protective device is no less than the current that it carries. The next smaller link of the
/// catalogue, with all its figures, is below it.
#[test]
fn a_fuse_that_is_too_small_is_found_by_its_rating_alone() {
    let design = design();
    let range = catalogue::builtin("iec");
    let bench = super::Bench::of(range);
    let verifier = verifier(&design, range);
    let mut tried = 0;
    for circuit in &design.circuits {
        let protection = circuit.protection.as_ref().expect("a fuse");
        assert_eq!(protection.kind, "gG", "{}", circuit.tag);
        let alike = range.fuses.iter().filter(|fuse| fuse.kind == "gG" && fuse.rating_a < circuit.currents.full_load_a);
        let smaller = alike.max_by(|one, other| one.rating_a.total_cmp(&other.rating_a)).expect("a smaller one");
        let mut wrong = bench.swapped(circuit, &protection.part, &smaller.part);
        let fitted = wrong.protection.as_mut().expect("a fuse");
        (fitted.rating_a, fitted.breaking_ka) = (smaller.rating_a, Some(smaller.breaking_ka));
        let said = codes(&verifier, &wrong);
        assert!(said.iter().any(|code| code == "V404"), "{}: {said:?}", circuit.tag);
        assert!(!said.iter().any(|code| code == "V401"), "{}: {said:?}", circuit.tag);
        tried += 1;
    }
    assert_eq!(tried, MOTORS.len());
}
