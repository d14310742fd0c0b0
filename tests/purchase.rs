//! The purchase list as a user gets it: `size` is run, purchase-list.csv and labels.csv are read back, and what they count is counted
//! again here from the devices and runs of design.json, not from its lists of parts.

mod common;

use std::collections::BTreeMap;
use std::path::Path;

use common::run_in;
use rstest::rstest;
use serde_json::Value;

type Row = BTreeMap<String, String>;

fn rows(path: &Path) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(path).expect("the file is there");
    let heads = reader.headers().expect("headings").clone();
    let row = |record: csv::StringRecord| heads.iter().map(str::to_owned).zip(record.iter().map(str::to_owned)).collect();
    reader.records().map(|record| row(record.expect("a record"))).collect()
}

fn number(row: &Row, heading: &str) -> f64 {
    let text = &row[heading];
    if text.is_empty() { 0.0 } else { text.parse().unwrap_or_else(|_| panic!("{heading}: {text}")) }
}

/// The outcome of a run of `size`.
struct Sized {
    folder: tempfile::TempDir,
    design: Value,
    purchase: Vec<Row>,
    labels: Vec<Row>,
    stdout: String,
}

fn sized(schedule: &str, basis: &str, words: &[&str]) -> Sized {
    let folder = common::folder_with("loads.csv", schedule.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), basis).expect("it writes");
    sized_in(folder, words)
}

fn sized_in(folder: tempfile::TempDir, words: &[&str]) -> Sized {
    let run = run_in(folder.path(), &[&["size", "loads.csv", "--basis", "basis.toml", "--out", "out"], words].concat());
    assert!(run.status < 2, "{}", run.stderr);
    let out = folder.path().join("out");
    let (purchase, labels) = (rows(&out.join("purchase-list.csv")), rows(&out.join("labels.csv")));
    Sized { design: common::design(&out), purchase, labels, stdout: run.stdout, folder }
}

fn example(name: &str, prefer: &str) -> Sized {
    let [schedule, basis] = common::example_texts(name);
    sized(&schedule, &basis.replace("prefer = \"smallest\"", &format!("prefer = \"{prefer}\"")), &[])
}

impl Sized {
    fn line(&self, part: &str) -> &Row {
        let mut all = self.purchase.iter().filter(|row| row["part"] == part);
        let line = all.next().unwrap_or_else(|| {
            panic!("{part} is not on the list: {:?}", self.purchase.iter().map(|row| &row["part"]).collect::<Vec<_>>())
        });
        assert!(all.next().is_none(), "{part} stands twice");
        line
    }

    /// Quantity of all parts whose description begins so.
    fn described(&self, words: &str) -> f64 {
        self.purchase.iter().filter(|row| row["description"].starts_with(words)).map(|row| number(row, "quantity")).sum()
    }

    fn quantity(&self, part: &str) -> f64 {
        number(self.line(part), "quantity")
    }

    fn circuit(&self, tag: &str) -> &Value {
        let circuits = self.design["circuits"].as_array().expect("circuits");
        circuits.iter().find(|value| value["tag"] == tag).unwrap_or_else(|| panic!("no circuit {tag}"))
    }
}

/// Devices of a circuit by part number, counted from what the circuit shows of them.
fn devices(circuit: &Value) -> BTreeMap<String, f64> {
    let mut counted = BTreeMap::new();
    let mut add = |part: &Value, count: f64| {
        if let Some(part) = part.as_str().filter(|part| !part.is_empty()) {
            *counted.entry(part.to_owned()).or_insert(0.0) += count;
        }
    };
    for list in ["contactors", "overloads", "starter_devices"] {
        for value in circuit[list].as_array().expect("a list") {
            add(&value["part"], 1.0);
        }
    }
    for value in circuit["accessories"].as_array().expect("a list") {
        // A shared part is there once, however many circuits the row has.
        let times = if value["shared"] == true { circuit["quantity"].as_f64().expect("a number") } else { 1.0 };
        add(&value["part"], value["quantity"].as_f64().expect("a number") / times);
    }
    counted
}

#[rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
fn every_part_stands_once_with_what_is_firm_and_what_waits(#[case] name: &str) {
    let sized = example(name, "smallest");
    let mut needed: BTreeMap<String, [f64; 2]> = BTreeMap::new();
    let mut boards: BTreeMap<(String, String), f64> = BTreeMap::new();
    for circuit in sized.design["circuits"].as_array().expect("circuits") {
        let quantity = circuit["quantity"].as_f64().expect("a number");
        let assumed = circuit["findings"].as_array().expect("a list").iter().any(|finding| finding["code"] == "L320");
        let waits = circuit["status"] != "sized" || assumed;
        // A relay without the nameplate current waits by itself (R214).
        let by_table = circuit["findings"].as_array().expect("a list").iter().any(|finding| finding["code"] == "R214");
        let relays: Vec<&Value> = circuit["overloads"].as_array().expect("a list").iter().map(|relay| &relay["part"]).collect();
        for (part, count) in devices(circuit) {
            let waits = waits || by_table && relays.iter().any(|relay| **relay == part.as_str());
            needed.entry(part.clone()).or_default()[usize::from(waits)] += count * quantity;
            *boards.entry((part, circuit["board"].as_str().expect("a board").to_owned())).or_default() += count * quantity;
        }
    }
    assert!(needed.len() > 30, "{}", needed.len());
    let mut waiting = 0;
    for (part, [firm, held]) in &needed {
        let line = sized.line(part);
        assert_eq!(number(line, "quantity"), firm + held, "{part}");
        assert_eq!([number(line, "firm_quantity"), number(line, "held_quantity")], [*firm, *held], "{part}");
        assert_eq!(line["status"], if *held > 0.0 { "hold" } else { "firm" }, "{part}");
        assert_eq!(line["held_because"].is_empty(), *held == 0.0, "{part}");
        waiting += usize::from(*held > 0.0 && *firm > 0.0);
        let said: BTreeMap<&str, f64> = line["boards"]
            .split("; ")
            .filter_map(|words| words.rsplit_once(' '))
            .map(|(board, count)| (board, count.parse().expect("a number")))
            .collect();
        for ((_, board), count) in boards.iter().filter(|((name, _), _)| name == part) {
            assert_eq!(said.get(board.as_str()), Some(count), "{part} on {board}: {said:?}");
        }
    }
    assert!(waiting > 3, "some lines are partly on hold: {waiting}");
    // Nothing twice, whatever it is.
    let mut seen = std::collections::BTreeSet::new();
    for row in &sized.purchase {
        let words = if row["part"].is_empty() { &row["description"] } else { "" };
        assert!(seen.insert((row["part"].clone(), words.to_owned(), row["status"] == "by others")), "{row:?}");
    }
    let totals = &sized.design["purchase_totals"];
    assert_eq!(totals["lines"].as_u64(), Some(sized.purchase.len() as u64));
    let priceless = sized.purchase.iter().filter(|row| row["unit_price"].is_empty() && row["status"] != "by others").count();
    assert_eq!(totals["lines_without_price"].as_u64(), Some(priceless as u64));
    assert!(sized.stdout.contains(&format!("{priceless} without price")), "{}", sized.stdout);
}

#[rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
fn as_many_labels_are_listed_as_are_bought(#[case] name: &str) {
    let sized = example(name, "smallest");
    for kind in ["nameplate", "cable-tag"] {
        let listed = |labels: &mut dyn Iterator<Item = &Row>| labels.map(|row| number(row, "quantity")).sum::<f64>();
        // A circuit that is not sized yet has a nameplate and buys nothing.
        let engraved = listed(&mut sized.labels.iter().filter(|row| row["kind"] == kind && row["status"] != "not sized"));
        let word = if kind == "nameplate" { "Nameplate" } else { "Cable tag" };
        let bought: f64 =
            sized.purchase.iter().filter(|row| row["description"].starts_with(word)).map(|row| number(row, "quantity")).sum();
        assert!(engraved > 40.0 && (engraved - bought).abs() < 1e-9, "{kind}: {engraved} listed, {bought} bought");
    }
    let tags: Vec<&String> = sized.labels.iter().filter(|row| row["kind"] == "cable-tag").map(|row| &row["cable"]).collect();
    for pair in tags.chunks(2) {
        assert_eq!(pair[0], pair[1], "a tag at each end");
    }
    let names: std::collections::BTreeSet<_> = tags.iter().collect();
    assert_eq!(names.len() * 2, tags.len(), "no tag for two cables");
}

const HEAD: &str = "tag,description,board,quantity,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,voltage_v,\
    starting_method,start_time_s,locked_rotor_ratio,cable_length_m,control_station,control_cable_length_m,thermistor,rtd_count,\
    brake_w,space_heater_w,enclosure,isolator\n";
const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\nprospective_fault_ka = 20\n\
    prospective_fault_min_ka = 10\n[design]\ninstallation_method = \"C\"\nambient_c = 30\n";

/// A plain motor of 4 kW with further cells.
fn pump(tag: &str, further: &str) -> String {
    format!("{tag},Pump,MCC-1,1,4,8.1,88.6,0.82,400,direct,2,6,30,{further}\n")
}

#[test]
fn cores_of_control_cables_are_counted() {
    // Start-stop 3 cores and emergency stop 2: 5 in use, 1 spare (20 % is 1): 6 and a protective one: 7 cores, 25 m.
    // Two resistance thermometers with 3 cores each: 6 and 2 spares (1.2, rounded up): 8: the screened cable of 12.
    // Brake and heater with 2 cores each: 4 and 1 spare: 5 and a protective one: 7 cores, 30 m as the motor run.
    let schedule = HEAD.to_owned() + &pump("P-1", "\"start-stop, emergency-stop\",25,,2,40,60,,");
    let sized = sized(&schedule, BASIS, &[]);
    assert_eq!(sized.quantity("GEN-CC-7X1.5"), 25.0 + 30.0);
    assert_eq!(sized.quantity("GEN-CCS-12X0.75"), 30.0);
    let runs = sized.circuit("P-1")["runs"].as_array().expect("runs");
    let control: Vec<&Value> = runs.iter().filter(|run| run["role"] == "control").collect();
    assert_eq!(control.iter().map(|run| run["cores"].as_u64().unwrap_or(0)).collect::<Vec<_>>(), [7, 12, 7]);
    assert_eq!(sized.circuit("P-1")["conductors"], runs[0], "the power run stays the first");
    // Each live core ends on a terminal: 6, 12 and 6; of 1.5 and 0.75 mm² all in the smallest size, beside 3 of the motor run.
    assert_eq!(sized.described("Terminal, feed"), 6.0 + 12.0 + 6.0 + 3.0);
    let tags: Vec<&str> = sized.labels.iter().filter(|row| row["kind"] == "cable-tag").map(|row| row["cable"].as_str()).collect();
    assert_eq!(tags, ["W-P-1-1", "W-P-1-1", "W-P-1-C1", "W-P-1-C1", "W-P-1-C2", "W-P-1-C2", "W-P-1-C3", "W-P-1-C3"]);
    // Two glands for each of four cables.
    assert_eq!(sized.described("Cable gland"), 8.0);
}

#[rstest]
#[case::length_not_given("start-stop,,,,,,,", "P105", "the length of the control cable")]
#[case::station_not_known("joystick,20,,,,,,", "C504", "\"joystick\" is not known")]
fn a_control_cable_that_can_not_be_counted_is_said(#[case] further: &str, #[case] code: &str, #[case] said: &str) {
    let sized = sized(&(HEAD.to_owned() + &pump("P-1", further)), BASIS, &[]);
    let findings = sized.circuit("P-1")["findings"].as_array().expect("a list").clone();
    let found: Vec<&Value> = findings.iter().filter(|finding| finding["code"] == code).collect();
    assert!(found.len() == 1 && found[0]["what"].as_str().is_some_and(|what| what.contains(said)), "{findings:?}");
    assert!(sized.purchase.iter().all(|row| !row["description"].starts_with("Control cable")));
}

#[test]
fn an_isolator_parts_its_cable_and_an_enclosure_is_bought_where_it_is_asked_for() {
    let schedule = HEAD.to_owned() + &pump("P-1", ",,,,,,IP54,yes") + &pump("P-2", ",,,,,,,");
    let sized = sized(&schedule, BASIS, &[]);
    // P-1: two ends and two more at the isolator; P-2: two ends.
    assert_eq!(sized.described("Cable gland"), 6.0);
    let boxes: Vec<&Row> = sized.purchase.iter().filter(|row| row["family"] == "enclosures").collect();
    assert!(boxes.len() == 1 && boxes[0]["used_by"] == "P-1" && boxes[0]["description"].contains("IP55"), "{boxes:?}");
    // Two nameplates for the starter and the isolator of P-1, one for P-2.
    assert_eq!(sized.labels.iter().filter(|row| row["kind"] == "nameplate").count(), 3);
}

#[test]
fn lugs_are_counted_by_conductor_and_end() {
    // 45 kW and 81 A on 25 m: conductors of 16 mm² and more: three phases, two ends.
    let schedule = HEAD.to_owned() + "P-9,Pump,MCC-1,2,45,81,94,0.85,400,direct,2,6,25,,,,,,,,\n";
    let sized = sized(&schedule, BASIS, &[]);
    let run = &sized.circuit("P-9")["runs"][0];
    let (phase, protective) = (run["phase_area_mm2"].as_f64().expect("a size"), run["protective_size"].as_str().expect("a size"));
    assert!(phase >= 16.0 && run["per_phase"] == 1, "{run}");
    let of = |size: &str| {
        let end = format!(", {size} mm²,");
        sized
            .purchase
            .iter()
            .filter(|row| row["family"] == "lugs" && row["description"].contains(&end))
            .map(|row| number(row, "quantity"))
            .sum::<f64>()
    };
    let protective = protective.trim_end_matches(" mm2");
    // Two circuits: 2 × 3 × 2 = 12 for the phases, 2 × 1 × 2 = 4 for the protective conductors.
    let (phase, same) = (format!("{phase}"), protective == format!("{phase}"));
    assert_eq!(of(&phase), if same { 16.0 } else { 12.0 });
    assert!(same || of(protective) == 4.0, "{protective}");
}

#[test]
fn raceways_get_connectors_and_couplings() {
    // 95 ft of raceway: ten sticks of 10 ft, nine joints; a connector at each end. With 5 % 99.75 ft: ten sticks are ordered.
    let schedule = "tag,board,quantity,rated_power_hp,voltage_v,starting_method,cable_length_ft,full_load_current_a\n\
        P-1,MCC,3,10,460,direct,95,12.6\n";
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nsystem = \"480Y/277 4W solidly grounded\"\n\
        prospective_fault_ka = 14\nprospective_fault_min_ka = 5\n[design]\ninstallation_method = \"emt\"\n";
    let sized = sized(schedule, basis, &[]);
    let of = |family: &str, word: &str| -> Vec<&Row> {
        sized.purchase.iter().filter(|row| row["family"] == family && row["description"].starts_with(word)).collect()
    };
    let one = |rows: Vec<&Row>, heading: &str| {
        assert_eq!(rows.len(), 1, "{rows:?}");
        number(rows[0], heading)
    };
    assert_eq!(one(of("fittings", "Connector"), "quantity"), 3.0 * 2.0);
    assert_eq!(one(of("fittings", "Coupling"), "quantity"), 3.0 * 9.0);
    assert_eq!(one(of("raceways", ""), "quantity"), 285.0);
    // 285 ft and 5 %: 299.25 ft, thirty sticks.
    assert_eq!(one(of("raceways", ""), "order_quantity"), 300.0);
}

#[rstest]
#[case::rigid_metal("rmc", false)]
#[case::intermediate_metal("imc", false)]
#[case::rigid_plastic("pvc", false)]
#[case::tubing("emt", true)]
fn a_length_that_brings_its_coupling_needs_none(#[case] kind: &str, #[case] couplings: bool) {
    // Threaded conduit is sold with a coupling on each length, plastic conduit with a belled end, tubing without: trade practice, from
    // memory.
    let schedule = "tag,board,rated_power_hp,voltage_v,starting_method,cable_length_ft,full_load_current_a\n\
        P-1,MCC,10,460,direct,95,12.6\n";
    let basis = format!(
        "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nsystem = \"480Y/277 4W solidly grounded\"\n\
        prospective_fault_ka = 14\nprospective_fault_min_ka = 5\n[design]\ninstallation_method = \"{kind}\"\n"
    );
    let sized = sized(schedule, &basis, &[]);
    let count = |word: &str| {
        let fittings = sized.purchase.iter().filter(|row| row["family"] == "fittings" && row["description"].starts_with(word));
        fittings.map(|row| number(row, "quantity")).sum::<f64>()
    };
    assert_eq!(count("Connector"), 2.0);
    assert_eq!(count("Coupling"), if couplings { 9.0 } else { 0.0 });
}

#[test]
fn a_real_price_list_reaches_the_sums() {
    let folder = common::folder_with("loads.csv", (HEAD.to_owned() + &pump("P-1", ",,,,,,,")).as_bytes());
    std::fs::write(folder.path().join("basis.toml"), BASIS.to_owned() + "[purchase]\ncurrency = \"EUR\"\n").expect("it writes");
    assert_eq!(run_in(folder.path(), &["catalogue", "export", "--out", "range"]).status, 0);
    let list = folder.path().join("range/prices.csv");
    let text = std::fs::read_to_string(&list).expect("the export has a price list");
    assert!(text.contains("\nGEN-NP-80,,,,,\n") && text.contains("\nGEN-CT-60,,,,,\n"), "every part is named");
    let filled = text
        .replace("\nGEN-NP-80,,,,,", "\nGEN-NP-80,2.50,,10,4,")
        .replace("\nGEN-CT-60,,,,,", "\nGEN-CT-60,0.8,,,9,by the piece");
    std::fs::write(&list, filled + "GEN-NP-8O,1,,,,\n").expect("it writes");
    let checked = run_in(folder.path(), &["catalogue", "check", "--catalogue", "range"]);
    assert!(checked.status == 1 && checked.stdout.contains("K211") && checked.stdout.contains("GEN-NP-8O"), "{}", checked.stdout);
    let sized = sized_in(folder, &["--catalogue", "range"]);
    let plate = sized.line("GEN-NP-80");
    // One nameplate, a pack of ten at 2.50 each; two tags at 0.80.
    assert_eq!([number(plate, "quantity"), number(plate, "order_quantity"), number(plate, "price")], [1.0, 10.0, 25.0]);
    assert_eq!([number(sized.line("GEN-CT-60"), "price"), number(sized.line("GEN-CT-60"), "lead_days")], [1.6, 9.0]);
    let totals = &sized.design["purchase_totals"];
    assert_eq!(totals["prices"][0]["currency"], "EUR");
    // Needed 2.50 + 1.60, ordered 25 + 1.60.
    assert_eq!([totals["prices"][0]["needed"].as_f64(), totals["prices"][0]["ordered"].as_f64()], [Some(4.1), Some(26.6)]);
    assert_eq!(totals["longest_lead_days"], 9);
    let findings = sized.design["findings"].as_array().expect("a list");
    assert!(findings.iter().any(|finding| finding["code"] == "P101"), "lines without price are counted");
    let page = std::fs::read_to_string(sized.folder.path().join("out/submittal.html")).expect("the page");
    assert!(page.contains("26.60 EUR to order") && page.contains("by the piece"));
}

#[test]
fn text_that_looks_like_a_formula_stays_text_on_labels() {
    let schedule = "tag,description,board,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,voltage_v,starting_method,cable_length_m\n\
        P-1,=HYPERLINK(\"x\"),@MCC,4,8.1,88.6,0.82,400,direct,30\n";
    let sized = sized(schedule, BASIS, &[]);
    let plate = sized.labels.iter().find(|row| row["kind"] == "nameplate").expect("a nameplate");
    assert!(plate["line_2"].starts_with("'=HYPERLINK"), "{plate:?}");
    assert_eq!(plate["fed_from"], "'@MCC");
    assert_eq!((plate["line_1"].as_str(), plate["rating"].as_str()), ("P-1", "4 kW, 400 V, 8.1 A"));
    for row in &sized.labels {
        assert!(row.values().all(|field| !field.starts_with(['=', '+', '-', '@'])), "{row:?}");
    }
}

#[rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
fn fewest_kinds_shortens_the_list_and_makes_no_circuit_worse(#[case] name: &str) {
    let (before, after) = (example(name, "smallest"), example(name, "fewest-kinds"));
    let findings = |sized: &Sized, code: &str| -> Vec<Value> {
        sized.design["findings"].as_array().expect("a list").iter().filter(|finding| finding["code"] == code).cloned().collect()
    };
    assert!(after.purchase.len() < before.purchase.len(), "{} of {}", after.purchase.len(), before.purchase.len());
    let merges = findings(&after, "P201");
    assert!(!merges.is_empty() && findings(&before, "P201").is_empty() && findings(&after, "P202").len() == 1);
    let said = findings(&after, "P202")[0]["what"].as_str().expect("words").to_owned();
    let saved = |what: &str| {
        let words = what.rsplit_once("saves ").expect("the sentence").1;
        words.split(' ').next().and_then(|number| number.parse::<usize>().ok()).expect("a number")
    };
    // A merge takes a line off at least; lines of boards may go too, but none is told that did not.
    assert!((merges.len()..=before.purchase.len() - after.purchase.len()).contains(&saved(&said)), "{said}");
    let rank = |status: &Value| ["sized", "needs-decision", "not-sized"].iter().position(|word| status == word);
    let open =
        |circuit: &Value| circuit["checks"].as_array().expect("checks").iter().filter(|check| check["passed"] != true).count();
    let pairs = before.design["circuits"]
        .as_array()
        .expect("circuits")
        .iter()
        .zip(after.design["circuits"].as_array().expect("circuits"));
    let mut changed = 0;
    for (old, new) in pairs {
        assert!(rank(&new["status"]) <= rank(&old["status"]), "{}", old["tag"]);
        assert!(open(new) <= open(old), "{}", old["tag"]);
        changed += usize::from(old != new);
        let of = |circuit: &Value, what: &str| circuit[what]["rating_a"].as_f64();
        assert!(of(new, "protection") >= of(old, "protection"), "{}: a merge takes the larger part", old["tag"]);
    }
    assert!(changed > 0);
    // The part that a merge replaces is gone from the list.
    for merge in &merges {
        let what = merge["what"].as_str().expect("words");
        let (large, rest) = what.split_once(" takes the place of ").expect("the sentence");
        let small = rest.split_once(" in ").expect("the sentence").0;
        let has = |part: &str| {
            after.purchase.iter().any(|row| {
                row["part"] == part
                    || row["part"].starts_with(&format!("{part}-A"))
                    || row["part"].starts_with(&format!("{part}-D"))
            })
        };
        assert!(!has(small), "{what}");
        // What is told is what the circuits end with, not a step on the way.
        assert!(has(large), "{what}");
    }
    // The line names beforehand what would serve.
    assert!(before.purchase.iter().any(|row| !row["larger_on_list"].is_empty()));
}

#[test]
fn whoever_sizes_a_circuit_again_gets_the_merged_one() {
    // The working printed for a circuit is that of the list. A merge whose larger part gave way itself is none to look at.
    let sized = example("water-works", "fewest-kinds");
    let findings = sized.design["findings"].as_array().expect("a list");
    let said: Vec<&str> =
        findings.iter().filter(|finding| finding["code"] == "P201").filter_map(|finding| finding["what"].as_str()).collect();
    let large = |what: &str| what.split(' ').next().unwrap_or_default().to_owned();
    let stays = |what: &&&str| !said.iter().any(|merge| merge.contains(&format!("place of {} in", large(what))));
    let what = said.iter().find(stays).expect("a merge");
    let large = large(what);
    let tag = what.split_once(" in ").expect("the sentence").1.split([',', ':']).next().expect("a tag");
    let shown = run_in(sized.folder.path(), &["explain", "loads.csv", tag, "--basis", "basis.toml"]);
    assert!(shown.status == 0 && shown.stdout.contains(&large), "{what}\n{}", shown.stdout);
}

/// A run whose length nobody states is a line that says so: no quantity, no order, no minus sign before a nought, no price to wait for.
#[test]
fn a_line_of_nothing_says_that_no_length_is_stated() {
    let rows = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method\nB-6,B1,motor,30,400,3,55,drive\n";
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TT\"\n\
        [[board]]\nname = \"B1\"\nprospective_fault_ka = 20\n";
    let sized = sized(rows, basis, &[]);
    let empty: Vec<&Row> = sized.purchase.iter().filter(|row| row["held_because"].contains("no length stated")).collect();
    assert!(!empty.is_empty(), "{:?}", sized.purchase);
    for row in &empty {
        let told =
            ["quantity", "firm_quantity", "held_quantity", "spare_quantity", "order_quantity"].map(|key| row[key].as_str());
        assert_eq!((told, row["status"].as_str()), (["", "", "", "", ""], "hold"), "{row:?}");
    }
    let lines = sized.design["purchase"].as_array().expect("a list");
    let nothing = lines.iter().filter(|line| line["quantity"].as_f64() == Some(0.0)).count();
    assert_eq!(nothing, empty.len());
    assert!(lines.iter().all(|line| !line["order_quantity"].as_f64().is_some_and(f64::is_sign_negative)));
    let unpriced = sized.design["purchase_totals"]["lines_without_price"].as_u64();
    assert_eq!(unpriced, Some((lines.len() - nothing) as u64), "the built-in range has no prices");
}

/// The tags of a feeder are engraved for the parts of that feeder: they wait as long as these do (README: "The parts of a feeder wait for
/// every circuit behind it"). In the example C413 of MCC-P asks for a decision.
#[test]
fn labels_of_a_feeder_wait_with_its_parts() {
    let sized = example("pumping-station", "smallest");
    let mut seen = 0;
    for board in sized.design["boards"].as_array().expect("boards") {
        let name = board["name"].as_str().expect("a name");
        let numbers: Vec<&str> = board["feeder"]["parts"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|part| part["part"].as_str())
            .filter(|part| !part.is_empty())
            .collect();
        let waits = numbers.iter().any(|part| {
            let because = sized.purchase.iter().find(|row| row["part"] == *part).map_or("", |row| row["held_because"].as_str());
            because
                .split("; ")
                .filter_map(|reason| reason.strip_prefix("needs a decision: "))
                .any(|tags| tags == "all that use it" || tags.split(", ").any(|tag| tag == name))
        });
        for label in sized.labels.iter().filter(|row| row["line_2"] == format!("Feeder of {name}")) {
            assert_eq!(label["status"], if waits { "needs decision" } else { "sized" }, "{name}");
            seen += 1 + usize::from(waits) * 100;
        }
    }
    assert!(seen > 100, "a feeder waits in the example: {seen}");
}

/// ISO 13850, 4.1.2: an emergency stop serves a machine or a zone; three motors of one board do not make three of them.
#[test]
fn an_emergency_stop_is_listed_once_a_board() {
    let head = "tag,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m,emergency_stop\n";
    let rows = "P-1,M1,4,8.1,direct,20,category-0\nP-2,M1,4,8.1,direct,20,category-0\nP-3,M1,4,8.1,direct,20,category-0\n\
                P-4,M2,4,8.1,direct,20,category-0\nP-5,M3,4,8.1,direct,20,\n";
    let sized = sized(&format!("{head}{rows}"), BASIS, &[]);
    let lines: Vec<(&str, &str, &str)> = sized
        .purchase
        .iter()
        .filter(|row| row["description"].starts_with("emergency-stop"))
        .map(|row| (row["quantity"].as_str(), row["status"].as_str(), row["boards"].as_str()))
        .collect();
    assert_eq!(lines, [("1", "by others", "M1 1"), ("1", "by others", "M2 1")]);
    assert!(sized.described("emergency-stop devices and safety relay of M1, stop category 0: quantity as designed") > 0.0);
}

/// NFPA 70, 450.3(B): 45 kVA at 480 V draw 54.1 A; with a device on the secondary at most 250 % of that, 135 A, rounded down to 125 A.
#[test]
fn a_transformer_with_what_stands_before_it_is_on_the_list_as_by_others() {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
                 system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\nprospective_fault_min_ka = 18\n\
                 [[board]]\nname = \"MCC\"\n\
                 [[transformer]]\nname = \"T1\"\nfrom = \"MCC\"\nto = \"LP\"\nkva = 45\nimpedance_pct = 4.2\nsecondary_voltage_v = 208\n\
                 system = \"208Y/120 4W solidly grounded\"\n\
                 [[board]]\nname = \"LP\"\nfed_from = \"T1\"\nvoltage_v = 208\nfeeder_length_ft = 15\n";
    let head = "tag,board,rated_power_hp,voltage_v,starting_method,cable_length_ft\n";
    let sized = sized(&format!("{head}F-1,LP,3,208,direct,60\nF-2,MCC,10,480,direct,60\n"), basis, &[]);
    let of = |words: &str| {
        let mut lines = sized.purchase.iter().filter(|row| row["description"].starts_with(words));
        let line = lines.next().unwrap_or_else(|| panic!("no line {words}"));
        assert!(lines.next().is_none());
        (line["description"].clone(), line["quantity"].clone(), line["status"].clone())
    };
    let line = |words: &str, quantity: &str| (words.to_owned(), quantity.to_owned(), "by others".to_owned());
    assert_eq!(of("transformer T1"), line("transformer T1, 45 kVA, 4.2 %, 480/208 V", "1"));
    let device = of("device on the primary of transformer T1");
    assert!(device.0.contains("at most 125 A (NFPA 70, 450.3(B)") && device.1 == "1" && device.2 == "by others", "{device:?}");
    // Nobody states their length.
    assert_eq!(of("conductors on the primary of transformer T1").1, "");
    let page = std::fs::read_to_string(sized.folder.path().join("out/submittal.html")).expect("the submittal");
    assert!(page.contains("not chosen, by others") && page.contains("at most 125\u{a0}A"));
}
