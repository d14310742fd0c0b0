//! Short-circuit rating of starters under the NEC, with a range whose electronics stand less than the line before them.

mod common;

use common::{design_of, folder_with, run_in};
use motorwright::catalogue;
use motorwright::design::{Check, Circuit, Design};
use motorwright::project::{self, Options};
use motorwright::rules;
use motorwright::verify::Verifier;
use rstest::rstest;

const BASIS: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 30\nprospective_fault_min_ka = 20\nx_over_r = 4\n";

/// The built-in range, in which every drive and soft starter is marked with 5 kA.
fn with_weak_electronics(folder: &std::path::Path) {
    assert_eq!(run_in(folder, &["catalogue", "export", "--rules", "nec", "--out", "range"]).status, 0);
    for family in ["drives.csv", "soft_starters.csv"] {
        let path = folder.join("range").join(family);
        let text = std::fs::read_to_string(&path).expect("it was exported");
        let headings = text.lines().find(|line| line.starts_with("part,")).expect("headings").to_owned();
        let column = headings.split(',').position(|heading| heading == "short_circuit_rating_ka").expect("the column");
        let mut lines = Vec::new();
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(line.as_bytes());
            let record = reader.records().next().expect("a line").expect("it parses");
            let mut writer = csv::Writer::from_writer(Vec::new());
            let weak = |(place, cell): (usize, &str)| {
                if place == column && cell != "short_circuit_rating_ka" { "5".to_owned() } else { cell.to_owned() }
            };
            writer.write_record(record.iter().enumerate().map(weak)).expect("it is written");
            lines.push(String::from_utf8(writer.into_inner().expect("all of it")).expect("text").trim_end().to_owned());
        }
        std::fs::write(path, lines.join("\n") + "\n").expect("it is written");
    }
}

fn design_with_weak_electronics(rows: &str) -> Design {
    let schedule = format!(
        "tag,load_kind,rated_power_hp,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_ft,line_contactor,bypass\n{rows}"
    );
    let folder = folder_with("loads.csv", schedule.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("it is written");
    with_weak_electronics(folder.path());
    let options = Options {
        schedule: folder.path().join("loads.csv"),
        basis: Some(folder.path().join("basis.toml")),
        catalogue: Some(folder.path().join("range")),
        ..Options::default()
    };
    let design = project::open(&options).expect("it opens").design();
    let range = catalogue::from_folder(&folder.path().join("range"), "nec").expect("it reads");
    let book = rules::book("nec", None).expect("a book");
    // The trial apart from the choice agrees with the rating, and with no other.
    let tried = |design: &Design| {
        let verifier = Verifier::new(&design.basis, book, &range, &design.circuits);
        verifier.design(design).into_iter().filter(|(_, finding)| finding.code == "V407").count()
    };
    assert_eq!(tried(&design), 0);
    let mut wrong = design.clone();
    for check in wrong.circuits.iter_mut().flat_map(|circuit| &mut circuit.checks) {
        check.value = check.value.filter(|_| check.name == "short-circuit-rating").map(|ka| ka + 1.0);
    }
    assert_eq!(tried(&wrong), design.circuits.iter().filter(|circuit| rating(circuit).value.is_some()).count());
    design
}

fn rating(circuit: &Circuit) -> &Check {
    circuit.checks.iter().find(|check| check.name == "short-circuit-rating" && check.subject.is_empty()).expect("it is asked")
}

/// UL 508A, SB4.2: the assembly has the rating of its weakest part; a combination that was tested together (SB4.3) lifts its own parts. A
/// drive of 5 kA on a board of 30 kA stays one, whatever stands before it.
#[rstest]
#[case::drive_behind_a_contactor("drive", "yes", "")]
#[case::drive_alone("drive", "", "")]
#[case::drive_with_bypass("drive", "yes", "yes")]
#[case::soft_starter_behind_a_contactor("soft-starter", "yes", "")]
#[case::soft_starter_with_bypass("soft-starter", "", "yes")]
fn a_tested_combination_never_lifts_the_electronics_beside_it(
    #[case] method: &str,
    #[case] contactor: &str,
    #[case] bypass: &str,
) {
    let design = design_with_weak_electronics(&format!(
        "P-1,motor,10,,460,3,14,{method},48,{contactor},{bypass}\nP-2,motor,10,,460,3,14,direct,48,,\n"
    ));
    let check = rating(&design.circuits[0]);
    assert_eq!((check.value, check.limit, check.passed), (Some(5.0), Some(30.0), Some(false)), "{check:?}");
    // The range holds a tested combination of 65 kA for the starter without electronics.
    let direct = rating(&design.circuits[1]);
    assert_eq!((direct.value, direct.passed), (Some(65.0), Some(true)), "{direct:?}");
}

/// UL 508A, Table SB4.1: an unmarked controller up to 50 hp stands 5 kA; of a heater, which has no horsepower, no less is said.
#[test]
fn a_heater_is_never_rated_at_nothing() {
    let design = design_with_weak_electronics("UH-1,heater,,10,480,3,12,contactor,48,,\n");
    assert!(rating(&design.circuits[0]).value.is_none_or(|ka| ka >= 5.0), "{:?}", rating(&design.circuits[0]));
}

/// NFPA 70, Table 430.251(B), at 460 V: 200 hp draw 1450 A with locked rotor, 100 hp 725 A, 50 hp 363 A: 5438 A in all, at 480 V
/// 5674 A, which come on top of 31 kA at about the same angle; behind 20 ft of feeder a little less. A bus rated 35 kA holds the 31 kA
/// alone, one rated 65 kA both.
#[test]
fn who_states_a_fault_current_is_asked_about_the_motors_where_a_rating_depends_on_it() {
    let design = |rating: u32, stated: &str| {
        let schedule = "tag,description,board,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft\n\
             P-1,Pump,MCC-1,200,460,3,direct,100\nP-2,Pump,MCC-1,200,460,3,direct,100\nP-3,Pump,MCC-1,200,460,3,direct,100\n\
             P-4,Pump,MCC-1,100,460,3,direct,100\nP-5,Pump,MSB,50,460,3,direct,50\n";
        let basis = format!(
            "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\nsystem = \"480Y/277 4W solidly grounded\"\n\
             {stated}\nprospective_fault_min_ka = 18\nx_over_r = 6\n[[board]]\nname = \"MSB\"\nshort_circuit_rating_ka = {rating}\n\
             [[board]]\nname = \"MCC-1\"\nfed_from = \"MSB\"\nfeeder_length_ft = 20\n"
        );
        design_of(schedule, &basis)
    };
    let asked = |design: &Design| {
        let board = design.boards.iter().find(|board| board.name == "MSB").expect("the board");
        let finding = board.findings.iter().find(|finding| finding.code == "B119");
        finding.map(|finding| finding.what.clone())
    };
    let what = asked(&design(35, "prospective_fault_ka = 31")).expect("it is asked");
    let words: Vec<&str> = what.split(' ').collect();
    let flows: f64 =
        words.windows(2).filter(|pair| pair[1] == "kA").filter_map(|pair| pair[0].parse().ok()).next_back().expect("a current");
    assert!(flows > 35.5 && flows < 31.0 + 5.674, "{what}");
    assert!(what.contains("rated for: MSB"), "{what}");
    assert_eq!(asked(&design(65, "prospective_fault_ka = 31")), None);
    // Worked out from the network, motors are in it: the rating fails by itself.
    assert_eq!(asked(&design(35, "prospective_fault_ka = 40")), None);
}
