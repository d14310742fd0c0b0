//! Lists of American estimators: kilowatts beside horsepower, rooftop units, stated start times, kinds of protective device, spare buckets,
//! way numbers, thousands, disconnects by others, remarks that carry what no column states. Meanings are those of the trade (`practice`);
//! clauses of NFPA 70 stand beside the figures.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};
use motorwright::intake::{ReadOptions, read_csv_bytes};
use motorwright::load::Field;
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 4\n";

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn has(circuit: &Circuit, code: &str) -> bool {
    codes(circuit).contains(&code)
}

fn what(circuit: &Circuit, code: &str) -> String {
    circuit
        .findings
        .iter()
        .filter(|finding| finding.code == code)
        .map(|finding| finding.what.as_str())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The first circuit of a list with these columns and cells.
fn listed(columns: &str, cells: &str) -> Circuit {
    designed(&format!("{columns}\n{cells}\n")).circuits.remove(0)
}

fn designed(schedule: &str) -> Design {
    design_of(schedule, NEC)
}

/// NFPA 70, 210.20(A), 240.6(A): 125 % of a continuous load, the next standard rating. The power factor is assumed to be 0.9 at least.
/// Table 430.52(C)(1) would admit a motor twice as much.
#[rstest]
#[case("Dishwasher w/ booster", "42", 80.0)]
#[case("Fryer", "14", 30.0)]
#[case("Skid by vendor", "24", 50.0)]
#[case("Conveyor oven", "24", 50.0)]
fn kilowatts_of_what_is_supplied_only_are_no_motor(#[case] description: &str, #[case] power: &str, #[case] largest: f64) {
    for columns in [
        "tag,description,rated_power_kw,voltage_v,phases,starting_method,cable_length_ft",
        "Mark,Serves,kW,Volts,Ph,Starter,Run ft",
    ] {
        let circuit = listed(columns, &format!("X-1,{description},{power},480,3,feeder,40"));
        assert!(["other", "heater"].contains(&circuit.load.kind.as_str()), "{}: {:?}", circuit.load.kind, circuit.findings);
        assert!(has(&circuit, "I447"), "{:?}", circuit.findings);
        assert!(circuit.protection.as_ref().is_some_and(|device| device.rating_a <= largest), "{:?}", circuit.protection);
    }
}

/// A word of a machine, horsepower, a starter of motors or the column itself keep a row the motor that it is.
#[rstest]
#[case("Supply fan,15,,480,3,feeder,40")]
#[case("Dishwasher exhaust fan,15,,480,3,feeder,40")]
#[case("Dishwasher,,5,480,3,feeder,40")]
#[case("Skid,15,,480,3,FVNR,40")]
fn a_motor_in_kilowatts_stays_a_motor(#[case] cells: &str) {
    let circuit = listed("Mark,Serves,kW,HP,Volts,Ph,Starter,Run ft", &format!("X-1,{cells}"));
    assert_eq!(circuit.load.kind, "motor", "{:?}", circuit.findings);
    assert!(!has(&circuit, "I475"), "{:?}", circuit.findings);
}

/// What only the default calls a motor waits for somebody.
#[test]
fn kilowatts_that_only_the_default_calls_a_motor_are_asked_about() {
    let columns = "tag,description,rated_power_kw,voltage_v,phases,starting_method,cable_length_ft";
    let circuit = listed(columns, "X-1,Sterilizer,15,480,3,contactor,40");
    assert!((has(&circuit, "I475") || has(&circuit, "I448")) && circuit.status != Status::Sized, "{:?}", circuit.findings);
    let named = listed(columns, "X-1,Transfer pump,15,480,3,contactor,40");
    assert!(!has(&named, "I475"), "{:?}", named.findings);
}

const PUMPS: &str = "tag,description,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft";

/// A condensing unit with a marked circuit in THHN, with a disconnect at the unit.
fn at_the_unit(tag: &str, serves: &str) -> Circuit {
    let basis = format!("{NEC}[design]\ninsulation = \"thhn\"\ninstallation_method = \"emt\"\nisolator = true\n");
    let list = format!("Mark,Serves,MCA,MOCP,Volts,Ph,SCCR (kA),Run ft\n{tag},{serves},22,35,480,3,65,40\n");
    design_of(&list, &basis).circuits.remove(0)
}

/// NFPA 70, 300.9 (wet interior of raceways outdoors), 310.10(C) and 110.28: what a tag or a name says is on the roof is asked about.
#[rstest]
#[case("RTU-1", "Gym", true)]
#[case("DOAS-7", "Kitchen make-up", true)]
#[case("CU-8", "Walk-in cooler", true)]
#[case("AC-1", "Condensing unit", true)]
#[case("CT-1", "Cooling tower fan", true)]
#[case("CH-1", "Air-cooled chiller", true)]
#[case("AHU-1", "Gym", false)]
#[case("CT-1", "CT scanner", false)]
#[case("P-3", "Cooling tower pump", false)]
#[case("RTU-1", "RTU panel SCADA", false)]
#[case("RTU-1", "Telemetry panel fan", false)]
#[case("P-9", "Pump with RTU telemetry", false)]
#[case("P-9", "Pump with telemetry by RTU-3", false)]
#[case("P-9", "Roof tank booster pump in basement", false)]
#[case("F-9", "Exhaust fan serves rooftop garden", false)]
#[case("CU-7", "Copper crusher", false)]
#[case("CU-7", "Level 2 server room", true)]
#[case("F-9", "Roof fan for basement toilets", true)]
#[case("CU-2", "Control unit press", false)]
fn what_stands_on_the_roof_by_tag_or_name_is_asked_about(#[case] tag: &str, #[case] serves: &str, #[case] asked: bool) {
    let circuit = at_the_unit(tag, serves);
    assert_eq!(has(&circuit, "L349"), asked, "{:?}", circuit.findings);
    // One question a place: its answer chooses the switch too, as NEMA 1 does not stand rain.
    let why = circuit.findings.iter().find(|finding| finding.code == "L349").map_or("", |finding| finding.why.as_str());
    assert!(!has(&circuit, "L356") && why.contains("switch") == asked, "{:?}", circuit.findings);
    assert_eq!(circuit.status == Status::Sized, !asked, "{:?}", circuit.findings);
}

/// NFPA 70, 110.28 and Table 110.28: type 1 is for dry rooms. A remark on the place is asked about; words of the machine are not.
#[rstest]
#[case("wet location", true)]
#[case("washdown area", true)]
#[case("corrosive room", true)]
#[case("NEMA 4X required", true)]
#[case("washdown pump", false)]
#[case("corrosive fume exhaust", false)]
#[case("non-corrosive liquid", false)]
#[case("NEMA size 4", false)]
fn a_place_that_a_remark_calls_harsh_is_asked_about_at_the_switch(#[case] remark: &str, #[case] asked: bool) {
    let circuit =
        listed("Mark,Serves,HP,Volts,Ph,Starter,Run ft,Disconnect,Remarks", &format!("P-1,Pump,5,460,3,FVNR,100,yes,{remark}"));
    assert_eq!(has(&circuit, "L356"), asked, "{:?}", circuit.findings);
}

/// The title of a schedule speaks for all of its rows; the name of a project does not.
#[rstest]
#[case("ROOFTOP UNIT SCHEDULE (ELECTRICAL)", true)]
#[case("CONDENSING UNITS", true)]
#[case("Roof replacement of the gym", false)]
#[case("Fan schedule", false)]
fn the_title_of_a_schedule_says_where_its_units_stand(#[case] title: &str, #[case] asked: bool) {
    let basis = format!("{NEC}[design]\ninsulation = \"thhn\"\ninstallation_method = \"emt\"\n");
    let list = format!("{title},,,,,,,\nMark,Serves,MCA,MOCP,Volts,Ph,SCCR (kA),Run ft\nAC-1,Gym,22,35,480,3,65,40\n");
    let circuit = design_of(&list, &basis).circuits.remove(0);
    assert_eq!(has(&circuit, "L349"), asked, "{:?}", circuit.findings);
}

/// A place that is stated is not asked about again.
#[test]
fn a_stated_place_answers_for_the_tag() {
    let columns = "Mark,Serves,HP,Volts,Ph,Starter,Run ft,Location";
    let circuit = listed(columns, "RTU-1,Gym supply fan,5,460,3,FVNR,40,dry");
    assert!(!has(&circuit, "L349") && !has(&circuit, "L356"), "{:?}", circuit.findings);
}

/// NEMA ICS 2: class 10, 20 and 30 relays trip at six times their current within 10, 20 and 30 s; a start of 18 s needs class 30 (practice:
/// half the class by which it must hold).
#[rstest]
#[case("Accel Time (s)")]
#[case("Accel. time")]
#[case("Run-up time (s)")]
fn a_stated_start_time_is_read(#[case] heading: &str) {
    let circuit = listed(&format!("Mark,Serves,HP,Volts,Ph,Starter,Run ft,{heading}"), "F-1,Dust fan,75,460,3,FVNR,40,18");
    let class = circuit.overload.as_ref().map(|relay| relay.trip_class.clone()).unwrap_or_default();
    assert!(class.contains("30"), "{class}: {:?}", circuit.findings);
}

/// Seconds below a heading that no list of spellings has are asked about; those of a ramp and of a delay are not.
#[rstest]
#[case("Accelerating time w/ load sec", "18", true)]
#[case("VFD accel time", "18", false)]
#[case("Start time delay", "18", false)]
#[case("Restart time", "18", false)]
fn seconds_that_no_column_reads_are_asked_about(#[case] heading: &str, #[case] cell: &str, #[case] asked: bool) {
    let circuit =
        listed(&format!("Mark,Serves,HP,Volts,Ph,Starter,Run ft,{heading}"), &format!("F-1,Dust fan,75,460,3,FVNR,40,{cell}"));
    assert_eq!(what(&circuit, "I455").contains("start"), asked, "{:?}", circuit.findings);
}

/// NFPA 70, 430.52(C), 240.60 and UL 248: what American lists call the device.
#[rstest]
#[case("SCPD", "inverse-time", "inverse-time")]
#[case("SCPD", "Dual-element fuse", "dual-element")]
#[case("OCPD", "CB", "inverse-time")]
#[case("OCP Type", "MCCB", "inverse-time")]
#[case("Branch Protection", "thermal-magnetic", "inverse-time")]
#[case("Branch Device", "Class J fuse", "class-J")]
#[case("SC Protection", "class RK5", "dual-element")]
#[case("protection_kind", "MCP", "instantaneous")]
#[case("protection_kind", "mag only", "instantaneous")]
#[case("protection_kind", "fused disconnect", "dual-element")]
fn the_kind_of_protective_device_is_read(#[case] heading: &str, #[case] cell: &str, #[case] kind: &str) {
    let circuit = listed(
        &format!("tag,description,rated_power_hp,full_load_current_a,voltage_v,phases,starting_method,cable_length_ft,{heading}"),
        &format!("P-1,Pump,25,32,460,3,direct,40,{cell}"),
    );
    let protection = circuit.protection.as_ref().expect("a device");
    assert_eq!(protection.kind, kind, "{:?}", circuit.findings);
    assert!(!has(&circuit, "L409"), "{:?}", circuit.findings);
}

/// A rating below such a heading stays that of the device chosen by others, and a word that nobody knows is asked about.
#[test]
fn ratings_and_unknown_words_below_such_headings_are_no_kinds() {
    let list = "Mark,Serves,HP,Volts,Ph,Starter,Run ft,OCPD\nP-1,Pump,25,460,3,FVNR,40,60A/3P\n";
    let read = read_csv_bytes("loads.csv", list.as_bytes(), &ReadOptions::default()).expect("it reads");
    assert_eq!(read.loads.first().and_then(|load| load.number(Field::GivenProtectionA)), Some(60.0), "{:?}", read.findings);
    let unknown = listed("tag,rated_power_hp,voltage_v,starting_method,protection_kind", "P-1,25,460,direct,as required");
    assert!(has(&unknown, "L409"), "{:?}", unknown.findings);
}

/// The kind of device in a column of another name is asked about at its row.
#[rstest]
#[case("Power feed", "MCP", true)]
#[case("Power feed", "dual-element fuse", true)]
#[case("Drawn by", "CB", false)]
#[case("Remark 2", "not fused", false)]
fn a_kind_of_device_that_no_column_reads_is_asked_about(#[case] heading: &str, #[case] cell: &str, #[case] asked: bool) {
    let circuit =
        listed(&format!("Mark,Serves,HP,Volts,Ph,Starter,Run ft,{heading}"), &format!("P-1,Pump,25,460,3,FVNR,40,{cell}"));
    assert_eq!(what(&circuit, "I455").contains("protective device"), asked, "{:?}", circuit.findings);
}

/// A spare bucket bears the name of its starter.
#[rstest]
#[case("Spare 50 HP FVNR", "", true)]
#[case("Spare FVNR size 1", "", true)]
#[case("Future", "", true)]
#[case("FUTURE PUMP", "", true)]
#[case("Space only", "", true)]
#[case("Pump 3", "spare bucket", true)]
#[case("Spare parts room fan", "", false)]
#[case("Space heater fan", "", false)]
#[case("Pump 3", "spare impeller on shelf", false)]
#[case("Reserve air fan", "", false)]
#[case("Future Hall AHU", "", false)]
fn a_spare_bucket_by_its_name_is_asked_about(#[case] description: &str, #[case] note: &str, #[case] asked: bool) {
    let circuit = listed(&format!("{PUMPS},notes"), &format!("M-1,{description},50,460,3,direct,40,{note}"));
    assert_eq!(has(&circuit, "L350"), asked, "{:?}", circuit.findings);
}

/// Numbers of ways are carried through: the board is what its own column says, and none without one.
#[rstest]
#[case("CIRCUIT NO.")]
#[case("CIRCUIT #")]
#[case("CKT")]
#[case("CIRCUITS")]
#[case("PANEL/CIRCUIT")]
#[case("Circuit")]
fn numbers_of_ways_are_no_board(#[case] heading: &str) {
    let list = |panel: &str, name: &str| {
        format!(
            "Mark,Serves,HP,Volts,Ph,Starter,Run ft,{panel}{heading}\nP-1,Pump,25,460,3,FVNR,40,{name}\"1,3,5\"\nP-2,Pump,25,460,3,FVNR,40,{name}\"2,4,6\"\n"
        )
    };
    let with = designed(&list("Panel,", "MDP,"));
    assert!(with.circuits.iter().all(|circuit| circuit.board == "MDP" && !has(circuit, "L406")), "{:?}", with.all_findings());
    assert!(with.circuits.iter().all(|circuit| circuit.status != Status::NotSized), "{:?}", with.all_findings());
    let without = designed(&list("", ""));
    assert!(without.circuits.iter().all(|circuit| !circuit.board.contains(',')), "{:?}", without.all_findings());
}

/// A column that the user leaves out is read by nobody and asked about by nobody.
#[rstest]
#[case("")]
#[case("none")]
fn a_column_may_be_left_out_on_purpose(#[case] meaning: &str) {
    let basis = format!("{NEC}[columns]\n\"Hazardous Class\" = \"{meaning}\"\n");
    let list = "Mark,Serves,HP,Volts,Ph,Starter,Run ft,Hazardous Class\nP-1,Pump,25,460,3,FVNR,40,Class I Div 1\n";
    let design = design_of(list, &basis);
    let asked = ["I201", "I438", "I455"];
    let found: Vec<_> = design.all_findings().into_iter().filter(|(_, found)| asked.contains(&found.code.as_str())).collect();
    assert!(found.is_empty(), "{found:?}");
}

fn loads_of(list: &str) -> motorwright::intake::Intake {
    read_csv_bytes("loads.csv", list.as_bytes(), &ReadOptions::default()).expect("it reads")
}

/// The first row of an American list with one more column, and the findings of the reader.
fn with_column(heading: &str, cell: &str) -> motorwright::intake::Intake {
    loads_of(&format!("Mark\tServes\tHP\tVolts\tPh\tStarter\t{heading}\nP-1\tPump\t10\t460\t3\tFVNR\t{cell}\n"))
}

#[rstest]
#[case("NEMA Size", "1", Field::GivenNemaSize, "1")]
#[case("Starter Size", "Size 2", Field::GivenNemaSize, "Size 2")]
#[case("NEMA Des.", "B", Field::DesignLetter, "B")]
#[case("NEMA Design", "C", Field::DesignLetter, "C")]
#[case("Design", "B", Field::DesignLetter, "B")]
#[case("Svc Factor", "1.15", Field::ServiceFactor, "1.15")]
#[case("Encl.", "3R", Field::Enclosure, "3R")]
#[case("Disconnect", "NF by EC, NEMA 3R", Field::Isolator, "yes")]
#[case("Disconnect", "NF by EC, NEMA 3R", Field::Enclosure, "3R")]
#[case("Disc.", "factory", Field::Isolator, "no")]
#[case("Disconnect", "integral", Field::Isolator, "no")]
#[case("Disconnect", "fused by EC", Field::Isolator, "yes")]
#[case("Code", "G", Field::LockedRotorCode, "G")]
fn headings_of_american_lists_are_read(#[case] heading: &str, #[case] cell: &str, #[case] field: Field, #[case] value: &str) {
    let read = with_column(heading, cell);
    let load = &read.loads[0];
    let said = match field {
        Field::Isolator => load.yes(field).map(|yes| if yes { "yes" } else { "no" }.to_owned()),
        _ => load.number(field).map(|number| number.to_string()).or_else(|| load.text(field).map(str::to_owned)),
    };
    assert_eq!(said.as_deref(), Some(value), "{:?}", read.findings);
}

/// Words of another matter below the same heading.
#[rstest]
#[case("Encl.", "TEFC", Field::Enclosure)]
#[case("Design", "Smith", Field::DesignLetter)]
#[case("Starter Size", "27 A", Field::GivenNemaSize)]
#[case("Disc.", "ELEC", Field::Isolator)]
fn the_same_heading_over_something_else_is_not_read(#[case] heading: &str, #[case] cell: &str, #[case] field: Field) {
    let read = with_column(heading, cell);
    assert!(!read.loads[0].has(field) && !read.loads[0].rejected, "{:?}", read.findings);
}

/// A home run in feet is the run of the cable: 100 ft are 30.48 m.
#[test]
fn a_home_run_is_the_length_of_the_run() {
    let list = "Mark,Serves,HP,Volts,Ph,Starter,Home Run (ft)\nP-1,Pump,10,460,3,FVNR,100\n";
    let circuit = designed(list).circuits.remove(0);
    let run = circuit.runs.first().expect("a run");
    assert!((run.length_m - 30.48).abs() < 0.01, "{run:?}");
}

/// What comes with the machine is not bought again (practice); fuses that nobody chooses, and words that say neither, are asked about.
#[rstest]
#[case("factory", 0, false)]
#[case("NF by EC", 1, false)]
#[case("fused by EC", 1, true)]
fn a_disconnect_is_bought_where_the_list_says_so(#[case] cell: &str, #[case] bought: usize, #[case] asked: bool) {
    let basis = format!("{NEC}[design]\nisolator = true\n");
    let list = format!("Mark,Serves,HP,Volts,Ph,Starter,Run ft,Disconnect\nP-1,Pump,10,460,3,FVNR,40,{cell}\n");
    let circuit = design_of(&list, &basis).circuits.remove(0);
    let at_machine = circuit.disconnect.iter().filter(|switch| switch.kind == "isolator").count();
    assert_eq!(at_machine, bought, "{:?}", circuit.disconnect);
    assert_eq!(has(&circuit, "I476"), asked, "{:?}", circuit.findings);
}

/// A column of disconnects that is not understood is asked about at its rows.
#[test]
fn a_disconnect_column_that_is_not_read_is_asked_about() {
    let circuit = listed("Mark,Serves,HP,Volts,Ph,Starter,Run ft,Disconnect", "P-1,Pump,10,460,3,FVNR,40,toggle");
    assert!(what(&circuit, "I455").contains("disconnect"), "{:?}", circuit.findings);
}

/// NFPA 70, Article 620 (title: elevators, dumbwaiters, escalators, moving walks, platform lifts, and stairway chairlifts).
#[rstest]
#[case("Bucket elevator leg 1", false)]
#[case("Grain elevator leg", false)]
#[case("Elevator machine room exhaust fan", false)]
#[case("Elevator pit sump pump", false)]
#[case("RTU-2 smoke det shutdown", false)]
#[case("Hydraulic elevator", true)]
#[case("Stage wheelchair lift", true)]
#[case("Platform lift", true)]
#[case("Chair lift", true)]
#[case("Smoke exhaust fan", true)]
fn services_are_asked_about_where_they_are(#[case] description: &str, #[case] asked: bool) {
    let circuit = listed(PUMPS, &format!("M-1,{description},10,460,3,direct,40"));
    assert_eq!(has(&circuit, "L403"), asked, "{:?}", circuit.findings);
}

/// Remarks that carry what a column lacks are quoted.
#[rstest]
#[case("direct", "long acceleration 45 s", true)]
#[case("direct", "acceleration time 25 s", true)]
#[case("direct", "starts in 12 sec", true)]
#[case("direct", "run-up 20 s", true)]
#[case("rotor-resistance", "rotor 285 A 620 V sec. resistors", true)]
#[case("direct", "1 phase", true)]
#[case("direct", "single phase motor", true)]
#[case("direct", "start sequentially 10 s apart", false)]
#[case("direct", "restart delay 10 s", false)]
#[case("direct", "start-up warning horn 15 s", false)]
#[case("direct", "120 V single phase control", false)]
#[case("direct", "single phase protection", false)]
#[case("direct", "locked rotor 300 A", false)]
#[case("direct", "3 phase", false)]
fn figures_of_remarks_are_asked_about(#[case] method: &str, #[case] note: &str, #[case] asked: bool) {
    let circuit = listed(&format!("{PUMPS},notes"), &format!("M-1,Grit pump,10,460,3,{method},40,{note}"));
    assert_eq!(what(&circuit, "I476").contains(note), asked, "{:?}", circuit.findings);
}

/// A power that stands in the remark is quoted where the row lacks one.
#[test]
fn the_power_of_a_remark_is_quoted_where_the_row_has_none() {
    let circuit = listed("Mark,Serves,HP,Volts,Ph,Starter,Run ft,Remarks", "EUH-301,Unit heater,,480,3,contactor,40,10 kW");
    assert!(what(&circuit, "I424").contains("10 kW"), "{:?}", circuit.findings);
}

/// Devices in the motor that description or note names and no column states.
#[rstest]
#[case("winding thermal switch relay in MCC", "thermal switches")]
#[case("thermostat (Klixon)", "thermal switches")]
#[case("moisture probe", "moisture")]
#[case("seal leak detector", "seal leak")]
#[case("space heater 100 W 120 V", "heater for standstill")]
#[case("E-stop pull cord", "emergency stop")]
#[case("controlled by room thermostat", "")]
#[case("no space heater", "")]
#[case("ohne Stillstandsheizung; kein Not-Halt", "")]
#[case("without thermal switch in winding; no klixon", "")]
#[case("sans thermistance, no E-stop pull cord", "")]
#[case("no seal leak relay", "")]
#[case("refrigerant leak detector in room", "")]
#[case("emergency shutoff at door", "")]
fn devices_of_remarks_are_asked_about(#[case] note: &str, #[case] named: &str) {
    let circuit = listed(&format!("{PUMPS},notes"), &format!("M-1,Grit pump,10,460,3,direct,40,{note}"));
    // What people or a machine rely on waits for a decision.
    let waits = named != "heater for standstill";
    let said = what(&circuit, if waits { "L360" } else { "L412" });
    assert_eq!(!said.is_empty(), !named.is_empty(), "{:?}", circuit.findings);
    assert!(said.contains(named), "{said}");
}

/// A note of the client below the list is told with its words.
#[test]
fn a_note_below_the_list_is_told() {
    let list = "Mark,Serves,HP,Volts,Ph,Starter,Run ft\nP-1,Pump,10,460,3,FVNR,40\nTOTAL,,10,,,,\n\
        Note: conductors XHHW-2 aluminum permitted for runs over 500 ft,,,,,,\n";
    let read = loads_of(list);
    let told = |finding: &&motorwright::finding::Finding| finding.code == "I477" && finding.what.contains("XHHW-2 aluminum");
    assert_eq!(read.findings.iter().filter(told).count(), 1, "{:?}", read.findings);
}

/// Spellings of starters (practice).
#[rstest]
#[case("MSS", "manual")]
#[case("H-O-A starter", "direct")]
#[case("FVNR-1", "direct")]
#[case("VFD-6P", "drive")]
#[case("VFD 18-PULSE", "drive")]
#[case("SS W/ BYPASS", "soft-starter")]
#[case("PART WDG", "part-winding")]
#[case("YD CLOSED TRANS", "star-delta-closed")]
#[case("LTG CONTACTOR", "contactor")]
#[case("DISC ONLY", "feeder")]
#[case("FURN. W/ EQUIP", "feeder")]
#[case("BY DIV 23", "by-others")]
#[case("WRIM", "rotor-resistance")]
fn starters_of_american_lists_are_read(#[case] spelling: &str, #[case] method: &str) {
    let read = loads_of(&format!("Mark,Serves,HP,Volts,Ph,Starter\nP-1,Pump,10,460,3,{spelling}\n"));
    assert_eq!(read.loads[0].text(Field::StartingMethod), Some(method), "{:?}", read.findings);
}

/// A plug and a thermostat say nothing of the starter.
#[rstest]
#[case("cord & plug")]
#[case("Aquastat")]
fn what_says_nothing_of_the_starter_is_asked_about(#[case] spelling: &str) {
    let read = loads_of(&format!("Mark,Serves,HP,Volts,Ph,Starter\nP-1,Pump,10,460,3,{spelling}\n"));
    assert!(!read.loads[0].has(Field::StartingMethod), "{:?}", read.findings);
    assert!(read.findings.iter().any(|finding| finding.place.as_ref().is_some_and(|place| place.row == Some(2))));
}

/// Designs a schedule from files, as the book of the basis reads it.
fn told(design: &Design, code: &str) -> usize {
    design.all_findings().iter().filter(|(_, finding)| finding.code == code).count()
}

/// Under NFPA 70 a comma before three digits parts thousands, which is said; 1 250 ft are 381 m.
#[rstest]
#[case("Mark,Serves,HP,Volts,Ph,Starter,Run ft")]
#[case("tag,description,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft")]
fn thousands_are_read_by_a_comma(#[case] columns: &str) {
    let design = design_of(&format!("{columns}\nP-1,Pump,10,460,3,direct,\"1,250\"\n"), NEC);
    let run = design.circuits[0].runs.first().expect("a run");
    assert!((run.length_m - 381.0).abs() < 0.1, "{run:?}");
    assert_eq!((told(&design, "I403"), told(&design, "I302")), (1, 0), "{:?}", design.all_findings());
}

/// A decimal comma in another figure leaves it open which of the two a comma is.
#[test]
fn beside_decimal_commas_thousands_stay_a_question() {
    let columns = "Mark,Serves,HP,Volts,Ph,Starter,FLA,Run ft";
    let design = design_of(&format!("{columns}\nP-1,Pump,10,460,3,direct,\"14,2\",\"1,250\"\n"), NEC);
    assert_eq!((told(&design, "I421"), told(&design, "I302")), (1, 1), "{:?}", design.all_findings());
}

/// Numbers of ways, which nobody reads as figures, say nothing of decimal marks.
#[rstest]
#[case("\"14,16\"", "5", 0)]
#[case("1", "\"7,5\"", 1)]
fn only_figures_vote_for_a_decimal_comma(#[case] ways: &str, #[case] power: &str, #[case] commas: usize) {
    let columns = "Mark,Serves,HP,Volts,Ph,Starter,Panel,CIRCUIT NO.";
    let design =
        design_of(&format!("{columns}\nP-1,Pump,{power},460,3,direct,M,{ways}\nP-2,Pump,{power},460,3,direct,M,{ways}\n"), NEC);
    assert_eq!(told(&design, "I302"), commas, "{:?}", design.all_findings());
}
