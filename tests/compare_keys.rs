//! A consequence of what surrounds the rows names the key of the basis that brings it about, and not what differs beside it.

mod common;

use common::{folder_with, opened_text, run_in};
use motorwright::compare::{self, BothSides, Changes};
use rstest::rstest;
use serde_json::Value;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
                   prospective_fault_ka = 16\nprospective_fault_min_ka = 8\n";
const HEAD: &str =
    "tag,board,description,rated_power_kw,full_load_current_a,efficiency_class,poles,starting_method,cable_length_m,notes\n";

fn between([rows, basis]: [&str; 2], [new_rows, new_basis]: [&str; 2]) -> Changes {
    let [old, new] = [(rows, basis), (new_rows, new_basis)].map(|(rows, basis)| opened_text(&format!("{HEAD}{rows}"), basis));
    let both = BothSides { new: &new, old: Some(&old) };
    compare::compare(&old.design(), &new.design(), &[], Some(&both)).expect("no tag is fixed")
}

fn because(changes: &Changes, tag: &str, path: &str) -> Vec<String> {
    let changed = changes.changed.iter().find(|changed| changed.tag == tag).unwrap_or_else(|| panic!("no {tag}: {changes:?}"));
    let found = changed.consequences.iter().find(|consequence| consequence.path == path);
    found.unwrap_or_else(|| panic!("no {path}: {changed:?}")).because.clone()
}

/// 28 A in method C: at 30 °C 4 mm² carry 32 A; at 40 °C 32 x 0.87 = 27.8 A, and 6 mm² 41 x 0.87 = 35.7 A (IEC 60364-5-52, Tables
/// B.52.4 and B.52.14). A coil is wound for its voltage. Neither spares nor the life of contacts have a part in that.
#[test]
fn each_consequence_names_its_own_key() {
    let row = "P-1,M,pump,15,28,IE3,4,direct,20,\n";
    let basis = |ambient: u32, control: &str, spares: u32, years: u32| {
        format!(
            "{IEC}[design]\ninstallation_method = \"C\"\ngrouped_circuits = 1\nambient_c = {ambient}\ncontact_life_years = {years}\n\
             [control]\nvoltage = \"{control}\"\n[purchase]\nspare_pct = {spares}\n"
        )
    };
    let changes = between([row, &basis(30, "230 V AC", 5, 10)], [row, &basis(40, "24 V DC", 10, 11)]);
    assert_eq!(because(&changes, "P-1", "conductors.phase_size"), ["basis design.ambient_c"]);
    assert_eq!(because(&changes, "P-1", "control.coil_voltage"), ["basis control.voltage"]);
    let named: Vec<&String> = changes.changed.iter().flat_map(|row| &row.consequences).flat_map(|found| &found.because).collect();
    assert!(!named.iter().any(|cause| cause.contains("spare") || cause.contains("life") || *cause == "basis"), "{named:?}");
}

/// In method C 2.5 mm² carry 24 A at 30 °C, enough for 20 A, and 24 x 0.71 = 17.0 A at 50 °C, enough for 15 A; 20 A at 50 °C ask for 4 mm²,
/// 32 x 0.71 = 22.7 A (IEC 60364-5-52, Tables B.52.4 and B.52.14). Neither the row nor the key does it alone.
#[test]
fn a_column_and_a_key_that_do_it_together_are_both_named() {
    let row = |amperes: u32| format!("P-1,M,pump,7.5,{amperes},IE3,4,direct,20,\n");
    let basis = |ambient: u32, years: u32| {
        format!(
            "{IEC}[design]\ninstallation_method = \"C\"\ngrouped_circuits = 1\nambient_c = {ambient}\ncontact_life_years = {years}\n"
        )
    };
    let changes = between([&row(15), &basis(30, 10)], [&row(20), &basis(50, 11)]);
    assert_eq!(because(&changes, "P-1", "conductors.phase_size"), ["full_load_current_a", "basis design.ambient_c"]);
}

/// A price moves no device: the kind of protection that the basis asks for does (the letter of the catalogue's file differs all the same).
#[test]
fn a_price_list_is_not_blamed_for_what_a_key_does() {
    let folder = folder_with("loads.csv", format!("{HEAD}P-1,M,pump,7.5,15,IE3,4,direct,20,\n").as_bytes());
    let at = |name: &str| folder.path().join(name);
    for (range, price) in [("a", "10"), ("b", "12")] {
        assert_eq!(run_in(folder.path(), &["catalogue", "export", "--out", range]).status, 0);
        let list = at(range).join("prices.csv");
        let prices = std::fs::read_to_string(&list).expect("the list");
        std::fs::write(list, format!("{prices}GEN-C2-20-A230,{price},EUR,,,\n")).expect("a file");
    }
    for (name, range, kind) in [("a.toml", "a", "motor-breaker"), ("b.toml", "b", "gG")] {
        let basis = format!("{IEC}[design]\nprotection_kind = \"{kind}\"\n[catalogue]\nfolder = \"{range}\"\n");
        std::fs::write(at(name), basis).expect("a file");
    }
    let told = run_in(
        folder.path(),
        &["compare", "loads.csv", "loads.csv", "--old-basis", "a.toml", "--basis", "b.toml", "--format", "json"],
    );
    let changes: Changes = serde_json::from_str(&told.stdout).unwrap_or_else(|error| panic!("{error}: {}", told.stderr));
    assert_eq!(because(&changes, "P-1", "protection.kind"), ["basis design.protection_kind"]);
    let around: Vec<(&str, &str)> =
        changes.surroundings.iter().map(|surrounding| (surrounding.what.as_str(), surrounding.key.as_str())).collect();
    assert_eq!(around, [("catalogue", ""), ("basis", "design.protection_kind")], "the folder is told as the catalogue");
}

/// Of NFPA 70 another edition and another raceway: what the raceway is made of follows from the key, and the edition is told once.
#[test]
fn an_edition_is_told_once_and_not_blamed_for_a_raceway() {
    let basis = |edition: u32, raceway: &str| {
        format!(
            "[rules]\nbook = \"nec\"\nedition = \"{edition}\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
             system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 14\nprospective_fault_min_ka = 9\n\
             [design]\ninstallation_method = \"{raceway}\"\n"
        )
    };
    let rows = "tag,board,rated_power_hp,starting_method,cable_length_ft\nP-1,M,10,direct,90\n";
    let [old, new] = [basis(2017, "emt"), basis(2023, "pvc-40")].map(|basis| opened_text(rows, &basis));
    let both = BothSides { new: &new, old: Some(&old) };
    let changes = compare::compare(&old.design(), &new.design(), &[], Some(&both)).expect("no tag is fixed");
    assert_eq!(because(&changes, "P-1", "conductors.raceway"), ["basis design.installation_method"]);
    let around: Vec<(&str, &str)> =
        changes.surroundings.iter().map(|surrounding| (surrounding.what.as_str(), surrounding.key.as_str())).collect();
    assert_eq!(around, [("rule book", ""), ("basis", "design.installation_method")]);
}

/// A neighbour of 90 kW eats what a breaker has to spare (IEC 60909-0, 3.8: motors add to the fault), whether the board is called otherwise
/// now or not, and spare parts have no part in it.
#[rstest]
#[case::of_one_name("M", "M")]
#[case::renamed("M", "MCC-9")]
fn a_board_under_another_name_does_not_blame_the_basis(#[case] before: &str, #[case] now: &str) {
    let basis = |board: &str, spares: u32| {
        format!(
            "{IEC}[purchase]\nspare_pct = {spares}\n[[board]]\nname = \"{board}\"\nfeeder_length_m = 300\n\
             feeder_conductor = \"2x 120 mm2 copper xlpe\"\n"
        )
    };
    let rows = |board: &str| format!("H-1,{board},pump,20,38,IE3,4,direct,60,\nP-2,{board},pump,15,28,IE3,4,direct,20,\n");
    let larger = format!("{}P-3,{now},fan,90,160,IE3,4,direct,20,\n", rows(now));
    let changes = between([&rows(before), &basis(before, 5)], [&larger, &basis(now, 10)]);
    assert_eq!(changes.renamed_boards.len(), usize::from(before != now), "{:?}", changes.renamed_boards);
    let named: Vec<&String> = changes.changed.iter().flat_map(|row| &row.consequences).flat_map(|found| &found.because).collect();
    let of_margins = changes.margins.iter().flat_map(|margin| &margin.because);
    assert!(named.into_iter().chain(of_margins).all(|cause| cause == "other rows"), "{changes:?}");
}

/// A decision is one line, behind what is designed by, and the state that it settles names it beside other decisions and keys.
#[test]
fn a_decision_is_told_in_one_line_and_named_as_the_cause() {
    let rows = "P-1,M,pump,7.5,15,IE3,4,direct,20,existing motor\nP-2,M,pump,7.5,15,IE3,4,direct,20,existing motor\n";
    let undecided = opened_text(&format!("{HEAD}{rows}"), IEC).design();
    let what = undecided.circuits[0].findings.iter().find(|finding| finding.code == "L347").expect("it is asked").what.clone();
    let decided = |tag: &str, why: &str| {
        format!(
            "[[decided]]\ntag = \"{tag}\"\ncode = \"L347\"\nwhat = '''{what}'''\nby = \"lead\"\ndate = \"2026-11-27\"\nwhy = \"{why}\"\n"
        )
    };
    let new = format!("{IEC}[starting]\nstart_time_s = 5\n{}{}", decided("P-1", "seen"), decided("P-2", "measured"));
    let changes = between([rows, &format!("{IEC}[starting]\nstart_time_s = 4\n")], [rows, &new]);
    let around: Vec<(&str, &str)> =
        changes.surroundings.iter().map(|surrounding| (surrounding.key.as_str(), surrounding.new.as_str())).collect();
    let line = |why: &str| format!("{why} (lead, 2026-11-27) about: {what}");
    let (one, two) = (line("seen"), line("measured"));
    let expected = [("starting.start_time_s", "5.0"), ("decided.P-1 L347", one.as_str()), ("decided.P-2 L347", two.as_str())];
    assert_eq!(around, expected);
    assert_eq!(because(&changes, "P-2", "status"), ["basis decided.P-2 L347"]);
}

/// The design that was issued before holds its basis, so that keys are told apart against it too.
#[test]
fn keys_are_told_apart_against_an_issued_design() {
    let folder = folder_with("loads.csv", format!("{HEAD}P-1,M,pump,15,28,IE3,4,direct,20,\n").as_bytes());
    for (name, ambient, years) in [("a.toml", 30, 10), ("b.toml", 40, 11)] {
        let basis = format!(
            "{IEC}[design]\ninstallation_method = \"C\"\ngrouped_circuits = 1\nambient_c = {ambient}\ncontact_life_years = {years}\n"
        );
        std::fs::write(folder.path().join(name), basis).expect("a file");
    }
    let sized = run_in(folder.path(), &["size", "loads.csv", "--basis", "a.toml", "--out", "a"]);
    assert!(sized.status < 2, "{}", sized.stderr);
    let told = run_in(folder.path(), &["compare", "a/design.json", "loads.csv", "--basis", "b.toml", "--format", "json"]);
    let changes: Value = serde_json::from_str(&told.stdout).unwrap_or_else(|error| panic!("{error}: {}", told.stderr));
    let found = changes["changed"][0]["consequences"].as_array().expect("a list");
    let cable = found.iter().find(|consequence| consequence["path"] == "conductors.phase_size").expect("the cable");
    assert_eq!(cable["because"], serde_json::json!(["basis design.ambient_c"]));
}
