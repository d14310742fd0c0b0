//! Readings and choices that an outside reader held against what the program is to do: each must be right or asked about, never silent.

mod common;

use common::{design_of, folder_with, root, run_in};
use motorwright::design::{Circuit, Design, Status};
use rstest::rstest;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 16\nprospective_fault_min_ka = 8\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nsystem = \"480Y/277 4W solidly grounded\"\n\
    prospective_fault_ka = 16\nprospective_fault_min_ka = 8\n";

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn all_codes(design: &Design) -> Vec<String> {
    design.all_findings().into_iter().map(|(_, finding)| finding.code.clone()).collect()
}

fn stated<'d>(circuit: &'d Circuit, column: &str) -> Option<&'d str> {
    circuit.stated.get(column).and_then(serde_json::Value::as_str)
}

fn number(circuit: &Circuit, column: &str) -> Option<f64> {
    circuit.stated.get(column).and_then(serde_json::Value::as_f64)
}

/// One motor of 37 kW with this text below `Starter`.
fn started(text: &str) -> Circuit {
    let rows = format!("Tag,kW,V,Starter,Length (m),FLA,motor_voltages\nP-1,37,400,\"{text}\",20,66,400/690\n");
    design_of(&rows, IEC).circuits.remove(0)
}

/// Short spellings of a survey of schedules (practice): beside `reversing` they name the method, beside another one they exclude it.
#[rstest]
#[case("Y/D reversing", "star-delta")]
#[case("SS REV", "soft-starter")]
#[case("SD REV", "star-delta")]
fn a_short_spelling_beside_reversing_names_the_method(#[case] text: &str, #[case] method: &str) {
    let circuit = started(text);
    assert_eq!(stated(&circuit, "starting_method"), Some(method), "{:?}", circuit.findings);
    assert_eq!(circuit.stated.get("reversing").and_then(serde_json::Value::as_bool), Some(true));
}

#[rstest]
fn two_methods_in_one_cell_are_never_chosen_from(#[values("DOL or SS", "FC + DOL bypass", "DOL / Y-D", "VFD/SS")] text: &str) {
    let circuit = started(text);
    assert!(circuit.status == Status::NotSized && codes(&circuit).contains(&"I423"), "{text}: {:?}", circuit.findings);
}

/// 115 V, one phase, 60 Hz stands in the cell; 480 V and three phases are the board's.
#[rstest]
fn a_combined_supply_counts_or_makes_its_row_wait(
    #[values("Voltage / Phase / Hz", "V - PH - HZ", "Electrical Data V/Ph/Hz", "Elektroanschluss")] heading: &str,
) {
    let rows = format!("Mark,Description,HP,{heading},Starter,Panel\nEF-2,Exhaust fan,1/2,115/1/60,FVNR,MCC-1\n");
    let circuit = design_of(&rows, NEC).circuits.remove(0);
    let read = number(&circuit, "voltage_v") == Some(115.0) && number(&circuit, "phases") == Some(1.0);
    let asked = codes(&circuit).contains(&"I455") && circuit.status != Status::Sized;
    assert!(read != asked, "{heading}: {:?} {:?}", circuit.stated, circuit.findings);
}

/// 0 and 1 are the indices of a first revision (practice); Y and N say whether a starter reverses.
#[rstest]
#[case(["1", "0", "1"], false)]
#[case(["Y", "N", "Y"], true)]
fn a_revision_is_no_reversing_starter(#[case] cells: [&str; 3], #[case] reverses: bool) {
    let rows: String =
        cells.iter().enumerate().map(|(at, cell)| format!("P-{at},Feed pump,5.5,400,DOL,20,11,{cell}\n")).collect();
    let design = design_of(&format!("Tag,Description,kW,V,Starter,Length (m),FLA,Rev\n{rows}"), IEC);
    assert_eq!(design.circuits[0].contactors.len(), if reverses { 2 } else { 1 });
}

#[rstest]
#[case("Board")]
#[case("board")]
fn a_board_that_is_still_open_is_asked_about_and_is_no_board(#[case] heading: &str) {
    let rows: String = ["TBC", "TBA", "?", "by others"]
        .iter()
        .enumerate()
        .map(|(at, cell)| format!("P-{at},5.5,400,direct,20,11,{cell}\n"))
        .collect();
    let head = if heading == "board" {
        "tag,rated_power_kw,voltage_v,starting_method,cable_length_m,full_load_current_a,board"
    } else {
        "Tag,kW,V,Starter,Length (m),FLA,Board"
    };
    let design = design_of(&format!("{head}\n{rows}"), IEC);
    for circuit in &design.circuits {
        assert!(codes(circuit).contains(&"I418") && circuit.status != Status::Sized, "{:?}", circuit.findings);
    }
    assert!(design.boards.iter().all(|board| !["TBC", "TBA", "?", "by others"].contains(&board.name.as_str())));
}

/// What decides the circuit is read: the voltage, the nameplate current, the board.
#[test]
fn columns_that_decide_the_circuit_are_read() {
    let design = design_of(
        "Tag,kW,Voltage Level,Motor Amps,Starter,Length (m),Panel ID,Starting PF\nP-1,5.5,690,6.4,DOL,20,MCC-7,0.45\n",
        IEC,
    );
    let circuit = &design.circuits[0];
    assert_eq!((number(circuit, "voltage_v"), number(circuit, "full_load_current_a")), (Some(690.0), Some(6.4)));
    assert_eq!((circuit.board.as_str(), number(circuit, "starting_power_factor")), ("MCC-7", Some(0.45)));
    let other = design_of("Tag,kW,V,Starter,Length (m),Switchgear designation\nP-1,5.5,400,DOL,20,MCC-7\n", IEC);
    assert!(other.circuits[0].board == "MCC-7" || codes(&other.circuits[0]).contains(&"I455"));
}

/// 5.5 kW are 7.4 hp, 200 m are 656 ft: which of the two is meant nobody knows.
#[test]
fn rows_below_a_heading_that_its_row_of_units_contradicts_are_not_sized() {
    let design = design_of("Tag,Power (kW),Voltage,Starter,Length (m),FLA\n,HP,V,,ft,A\nP-1,5.5,400,DOL,200,8.7\n", IEC);
    let circuit = &design.circuits[0];
    assert!(circuit.status == Status::NotSized && codes(circuit).contains(&"I427"), "{:?}", circuit.findings);
}

/// What is refused stays refused when the program's own workbook is sized again.
#[rstest]
#[case::stray_cell("Tag,kW,V,Starter,Length (m),FLA\nP-1,5.5,400,DOL,20,11,stray\nP-2,5.5,400,DOL,20,11\n")]
fn a_rejected_row_does_not_come_back_accepted(#[case] rows: &str) {
    let folder = folder_with("loads.csv", rows.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), IEC).expect("a file");
    let statuses = |schedule: &str, out: &str| {
        run_in(folder.path(), &["size", schedule, "--basis", "basis.toml", "--out", out]);
        let design = common::design(&folder.path().join(out));
        let circuits = design["circuits"].as_array().expect("circuits").clone();
        circuits.iter().map(|circuit| circuit["status"].clone()).collect::<Vec<_>>()
    };
    let first = statuses("loads.csv", "one");
    assert_eq!(first[0], "not-sized");
    assert_eq!(statuses("one/schedule.xlsx", "two"), first);
    assert_eq!(statuses("two/schedule.xlsx", "three"), first);
}

/// A formula without a stored result is refused, and in the workbook that is made of it too.
#[rstest]
#[case("08")]
#[case("12")]
fn formulas_without_a_result_stay_refused(#[case] number: &str) {
    let file = std::fs::read_dir(root().join("tests/intake"))
        .expect("a folder")
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .find(|path| {
            path.file_name().is_some_and(|name| name.to_string_lossy().starts_with(number))
                && path.extension().is_some_and(|ending| ending != "json")
        })
        .expect("the fixture");
    let folder = folder_with("basis.toml", IEC.as_bytes());
    let refused = |schedule: &str, out: &str| {
        run_in(folder.path(), &["size", schedule, "--basis", "basis.toml", "--out", out]);
        let design = common::design(&folder.path().join(out));
        let circuits = design["circuits"].as_array().expect("circuits").clone();
        let not_sized = circuits.iter().filter(|circuit| circuit["status"] == "not-sized");
        not_sized.map(|circuit| circuit["tag"].clone()).collect::<Vec<_>>()
    };
    let first = refused(&file.to_string_lossy(), "one");
    assert!(!first.is_empty());
    assert_eq!(refused("one/schedule.xlsx", "two"), first);
}

/// 400 Hz is a frequency of aircraft and ships, which no rule book here covers.
#[test]
fn a_supply_of_400_hertz_is_refused() {
    let circuit = design_of("Tag,kW,Supply,Starter\nP-14,5.5,400/3/400,DOL\n", IEC).circuits.remove(0);
    assert!(codes(&circuit).contains(&"I116"), "{:?}", circuit.findings);
}

/// IEC 60034-8: 400 V in delta, 690 V in star; 500 V is neither, and `check` says so.
#[test]
fn a_winding_that_the_line_suits_in_no_connection_is_told_before_anything_is_sized() {
    let folder = folder_with("loads.csv", b"Tag,kW,V,Starter\nP-5,5.5,400/690,DOL\n");
    std::fs::write(folder.path().join("basis.toml"), IEC.replace("voltage_v = 400", "voltage_v = 500")).expect("a file");
    let run = run_in(folder.path(), &["check", "loads.csv", "--basis", "basis.toml"]);
    assert!(run.stdout.contains("C301") || run.stderr.contains("C301"), "{}{}", run.stdout, run.stderr);
}

/// Ranges in Spanish, Portuguese and French, in brackets and by an arrow: so many machines, or a question.
#[rstest]
#[case("P-1201 a P-1204", 4)]
#[case("P-1401 até P-1404", 4)]
#[case("P-1501 hasta P-1504", 4)]
#[case("P-1601 au P-1604", 4)]
#[case("P-1701[A-B]", 2)]
#[case("P-202A/B (duty/standby)", 2)]
#[case("P-205 (A+B)", 2)]
#[case("P-315→318", 4)]
#[case("\"P-203A & P-203B standby\"", 2)]
fn a_range_of_tags_is_so_many_machines(#[case] tag: &str, #[case] machines: u32) {
    let circuit = design_of(&format!("Tag,kW,V,Starter,Length (m),FLA\n{tag},5.5,400,DOL,20,11\n"), IEC).circuits.remove(0);
    assert_eq!(circuit.quantity, machines, "{:?}", circuit.findings);
}

#[test]
fn two_tags_of_one_kind_with_an_unknown_word_between_them_are_asked_about() {
    let circuit = design_of("Tag,kW,V,Starter,Length (m),FLA\nP-1 upto P-4,5.5,400,DOL,20,11\n", IEC).circuits.remove(0);
    assert!(codes(&circuit).contains(&"I115"), "{:?}", circuit.findings);
}

/// One of two runs, two of three run; ticks stay ticks.
#[test]
fn whole_numbers_under_duty_and_standby_are_counts() {
    let head = "Tag,kW,V,Starter,Length (m),FLA,Duty,Standby\n";
    let design = design_of(&format!("{head}P-1A/B,5.5,400,DOL,20,11,1,1\nP-2A/B/C,7.5,400,DOL,20,15,2,1\n"), IEC);
    let counts: Vec<_> =
        design.circuits.iter().map(|circuit| (number(circuit, "duty_count"), number(circuit, "standby_count"))).collect();
    assert_eq!(counts, [(Some(1.0), Some(1.0)), (Some(2.0), Some(1.0))]);
    let ticks = design_of(&format!("{head}P-1,5.5,400,DOL,20,11,1,0\nP-2,7.5,400,DOL,20,15,0,1\n"), IEC);
    assert_eq!(stated(&ticks.circuits[1], "running"), Some("standby"));
}

#[rstest]
fn letters_and_words_of_a_pair_reject_no_row(#[values("A/B", "D/S", "D+S", "1R+1S", "1/1")] cell: &str) {
    let rows = format!("Tag,kW,V,Starter,Length (m),FLA,Duty/Standby\nP-1A/B,5.5,400,DOL,20,11,{cell}\n");
    let circuit = design_of(&rows, IEC).circuits.remove(0);
    assert_ne!(circuit.status, Status::NotSized, "{:?}", circuit.findings);
}

/// A list of ways numbers the free ones too.
#[rstest]
fn a_free_way_with_a_number_is_no_load(#[values("SPACE", "Vacant", "NOT USED", "FUTURE", "SPARE")] name: &str) {
    let rows = format!(
        "Tag,Description,kW,V,Starter,Board\nMCC1-01,Pump,5.5,400,DOL,MCC-1\nMCC1-02,{name},,,,MCC-1\nMCC1-03,Spare pump,,400,DOL,MCC-1\n"
    );
    let design = design_of(&rows, IEC);
    let tags: Vec<&str> = design.circuits.iter().map(|circuit| circuit.tag.as_str()).collect();
    assert_eq!(tags, ["MCC1-01", "MCC1-03"]);
    assert!(all_codes(&design).iter().any(|code| code == "I433"));
}

#[test]
fn a_board_with_a_blank_for_its_hyphen_is_the_same_board() {
    let design = design_of("Tag,kW,V,Starter,Board\nP-1,5.5,400,DOL,MCC-1\nP-2,5.5,400,DOL,MCC 1\nP-3,5.5,400,DOL,MCC-11\n", IEC);
    let names: Vec<&str> = design.boards.iter().map(|board| board.name.as_str()).collect();
    assert_eq!(names, ["MCC-1", "MCC-11"]);
    assert!(all_codes(&design).iter().any(|code| code == "I453"));
}

/// A cell of a workbook holds 32 767 characters.
#[rstest]
fn a_cell_that_no_workbook_holds_is_refused(#[values("Notes", "Blurb")] heading: &str) {
    let rows = format!("Tag,kW,V,Starter,{heading}\nP-1,5.5,400,DOL,{}\nP-2,5.5,400,DOL,ok\n", "x".repeat(33_000));
    let design = design_of(&rows, IEC);
    assert!(codes(&design.circuits[0]).contains(&"I111") && !codes(&design.circuits[1]).contains(&"I111"));
}

/// 86 °F are 30 °C.
#[test]
fn an_ambient_without_a_unit_in_a_list_in_horsepower_is_asked_about() {
    let design = design_of("Tag,HP,V,Starter,Ambient\nP-1,5,460,FVNR,86\n", NEC);
    let asked = design.all_findings().into_iter().any(|(_, finding)| finding.code == "I449" && finding.what.contains("°F"));
    assert!(asked, "{:?}", all_codes(&design));
}

#[test]
fn ticks_below_vital_essential_and_normal_are_classes_of_supply() {
    let design = design_of(
        "Tag,kW,V,Starter,Vital,Essential,Normal\nP-1,5.5,400,DOL,x,,\nP-2,5.5,400,DOL,,x,\nP-3,5.5,400,DOL,,,x\n",
        IEC,
    );
    let classes: Vec<_> = design.circuits.iter().map(|circuit| stated(circuit, "supply_class")).collect();
    assert_eq!(classes, [Some("emergency"), Some("essential"), Some("normal")]);
}

const CANONICAL: &str =
    "tag,board,rated_power_kw,voltage_v,full_load_current_a,efficiency_class,starting_method,cable_length_m,protection_kind";

/// Class 30 at 8 times the setting trips between 24 and 18 s at most; a start of 25 s passes in no class of the range, and another relay of
/// class 30 would not help.
#[test]
fn a_start_too_long_for_every_class_says_so_and_keeps_its_failed_check() {
    let rows = format!("{CANONICAL},start_time_s\nP-25,MCC-1,45,400,80,IE3,direct,30,gG,25\n");
    let circuit = design_of(&rows, IEC).circuits.remove(0);
    let told = circuit.findings.iter().find(|finding| finding.code == "C204").expect("it is told");
    assert!(told.what.contains("25") || told.what.contains("30"), "{told:?}");
    assert!(told.cure.contains("shorter start") && !told.cure.contains("add one to the catalogue"), "{told:?}");
    assert!(circuit.checks.iter().any(|check| check.name == "trip-class-at-start" && check.passed == Some(false)));
}

#[test]
fn more_starts_than_any_contactor_makes_are_told_as_such() {
    let rows = format!("{CANONICAL},starts_per_hour\nP-1,MCC-1,5.5,400,11,IE3,direct,30,gG,5000\n");
    let circuit = design_of(&rows, IEC).circuits.remove(0);
    let told = circuit.findings.iter().find(|finding| finding.code == "C203").expect("it is told");
    assert!(told.what.contains("5000 starts an hour") && told.cure.contains("fewer starts"), "{told:?}");
    assert!(circuit.checks.iter().any(|check| check.name == "contactor-frequency" && check.passed == Some(false)));
}

/// 10.8 A asks for wires of 1.5 to 2.5 mm²; terminals of a contactor of 200 A begin at 50 mm².
#[test]
fn a_small_motor_on_a_large_frame_is_told_by_frame_and_wire() {
    let rows = format!(
        "{CANONICAL},interlock_with\nI-1,MCC-1,5.5,400,10.8,IE3,direct,20,gG,I-2\nI-2,MCC-1,110,400,190,IE3,direct,20,gG,\n"
    );
    let design = design_of(&rows, IEC);
    let small = &design.circuits[0];
    assert!(codes(small).contains(&"C232"), "{:?}", small.findings);
    let wire =
        small.checks.iter().find(|check| check.subject.ends_with("panel wire")).expect("the wire is held against the clamp");
    assert_eq!((wire.passed, wire.limit), (Some(false), Some(50.0)));
    assert_eq!(small.status, Status::NeedsDecision);
    let alike = format!(
        "{CANONICAL},interlock_with\nI-1,MCC-1,5.5,400,10.8,IE3,direct,20,gG,I-2\nI-2,MCC-1,7.5,400,14.8,IE3,direct,20,gG,\n"
    );
    let alike = design_of(&alike, IEC);
    assert!(
        !codes(&alike.circuits[0]).contains(&"C232") && alike.circuits[0].checks.iter().all(|check| check.passed != Some(false))
    );
}

/// A motor-protective circuit-breaker is closed by hand: nothing resets it.
#[test]
fn automatic_reset_behind_a_circuit_breaker_is_told() {
    let with = |kind: &str| {
        let rows = format!("{CANONICAL},reset_mode\nR-1,MCC-1,5.5,400,11,IE3,direct,30,{kind},auto\n");
        design_of(&rows, IEC).circuits.remove(0)
    };
    assert!(codes(&with("motor-breaker")).contains(&"C519") && !codes(&with("gG")).contains(&"C519"));
}

/// 10 million operations of 14.8 A: the frame is chosen by its life, whatever reduced-life frame stands in between.
#[test]
fn a_contactor_that_its_life_enlarges_says_so() {
    let rows = format!("{CANONICAL},required_operations\nP-6,MCC-1,7.5,400,14.8,IE3,direct,30,gG,10000000\n");
    let circuit = design_of(&rows, IEC).circuits.remove(0);
    assert_eq!(circuit.contactors[0].governed_by, "contactor-life");
}

/// 5.5 kW at 400 V, 89 % and 0.50 draw 17.8 A: a nameplate of 11 A and one of the three contradict each other.
#[rstest]
#[case("0.50", true)]
#[case("0.81", false)]
fn figures_of_a_row_that_contradict_its_nameplate_are_a_warning(#[case] power_factor: &str, #[case] told: bool) {
    let rows = format!(
        "tag,rated_power_kw,voltage_v,full_load_current_a,efficiency_pct,power_factor,starting_method,cable_length_m\nP-12,5.5,400,11,89,{power_factor},direct,20\n"
    );
    let circuit = design_of(&rows, IEC).circuits.remove(0);
    assert_eq!(codes(&circuit).contains(&"R106"), told, "{:?}", circuit.findings);
}

/// A class within words is that class; where none is stated, a start at 8 times is that of a high one and takes no reduced-life contactor.
#[rstest]
fn a_reduced_life_contactor_switches_no_motor_that_may_be_of_a_high_class(
    #[values("IE3", "IE3 (premium)", "min. IE3", "IE3 or better", "")] class: &str,
) {
    let basis = format!("{IEC}[design]\nreduced_life_contactors = \"where-suitable\"\n");
    let rows = format!("{CANONICAL}\nP-2,MCC-1,7.5,400,14.8,{class},direct,30,gG\n");
    let circuit = design_of(&rows, &basis).circuits.remove(0);
    let catalogue = motorwright::catalogue::builtin("iec");
    let base =
        catalogue.contactors.iter().find(|contactor| circuit.contactors[0].part.starts_with(&format!("{}-", contactor.part)));
    assert!(!base.expect("a contactor of the range").reduced_life, "{class}: {:?}", circuit.contactors);
}

/// The exported range of the IEC book with one of its files changed, row by row: fields by heading.
fn range_with(file: &str, change: &dyn Fn(&[String], &mut Vec<String>) -> bool) -> tempfile::TempDir {
    let folder = folder_with("basis.toml", format!("{IEC}[control]\nvoltage = \"24 V DC\"\n").as_bytes());
    assert_eq!(run_in(folder.path(), &["catalogue", "export", "--rules", "iec", "--out", "range"]).status, 0);
    let path = folder.path().join("range").join(file);
    let text = std::fs::read_to_string(&path).expect("the family");
    let (comments, rows): (Vec<&str>, Vec<&str>) = text.lines().partition(|line| line.starts_with('#'));
    let rows = rows.join("\n");
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(rows.as_bytes());
    let mut rows = reader
        .records()
        .map(|row| row.expect("a row").iter().map(str::to_owned).collect::<Vec<_>>())
        .collect::<Vec<_>>()
        .into_iter();
    let head = rows.next().expect("headings");
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&head).expect("written");
    for mut row in rows {
        if change(&head, &mut row) {
            writer.write_record(&row).expect("written");
        }
    }
    let written = String::from_utf8(writer.into_inner().expect("whole")).expect("text");
    std::fs::write(&path, format!("{}\n{written}", comments.join("\n"))).expect("written");
    folder
}

/// A range that makes no coil for direct current has no part number for one, and none is ordered.
#[test]
fn a_part_number_that_the_range_does_not_have_is_never_ordered() {
    let folder = range_with("contactors.csv", &|head, row| {
        for (heading, cell) in head.iter().zip(row.iter_mut()) {
            if heading.starts_with("coil_dc_") {
                cell.clear();
            }
        }
        true
    });
    let rows = format!("{CANONICAL}\nP-1,MCC-1,5.5,400,11,IE3,direct,30,gG\n");
    std::fs::write(folder.path().join("loads.csv"), rows).expect("a file");
    run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--catalogue", "range", "--out", "out"]);
    let design = common::design(&folder.path().join("out"));
    let circuit = &design["circuits"][0];
    let codes: Vec<&str> =
        circuit["findings"].as_array().expect("findings").iter().filter_map(|finding| finding["code"].as_str()).collect();
    assert!(codes.contains(&"C402") && !codes.iter().any(|code| code.starts_with('V')), "{codes:?}");
    let list = std::fs::read_to_string(folder.path().join("out/purchase-list.csv")).expect("the list");
    assert!(!list.contains("-D24"), "{list}");
}

/// Parts that a rule of accessories asks for, and coils: the owner of a range learns that they are not in it.
#[rstest]
#[case::coils("coils.csv", "")]
#[case::links("accessories.csv", "paralleling-link")]
#[case::bases("accessories.csv", "relay-base")]
#[case::releases("accessories.csv", "undervoltage-release")]
#[case::thermistors("accessories.csv", "thermistor-relay")]
fn a_range_without_what_circuits_need_is_told(#[case] file: &str, #[case] kind: &str) {
    let folder = range_with(file, &|head, row| {
        let place = head.iter().position(|heading| heading == "kind");
        !kind.is_empty() && place.is_none_or(|place| row[place] != kind)
    });
    let run = run_in(folder.path(), &["catalogue", "check", "--catalogue", "range"]);
    assert!(run.stdout.contains("K216") || run.stderr.contains("K216"), "{}{}", run.stdout, run.stderr);
    let whole = run_in(folder.path(), &["catalogue", "check", "--rules", "iec"]);
    assert!(!whole.stdout.contains("K216") && !whole.stderr.contains("K216"), "{}{}", whole.stdout, whole.stderr);
}
