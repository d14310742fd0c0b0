//! Numbers at the bounds of their columns and beyond those of a catalogue, sized by the program as a user runs it: no panic, no number
//! without end in any output, and what is written is read back. And rows whose own trial once disagreed with them.

mod common;

use std::io::Read;
use std::path::Path;

use common::{Run, design, folder_with, run_in};
use motorwright::load::{FIELDS, FieldSpec, Kind};

/// The ends of what a cell of the column may hold.
fn ends(spec: &FieldSpec) -> Vec<String> {
    match spec.kind {
        Kind::Number(low, high) => vec![format!("{low:.9}"), format!("{high:.0}")],
        Kind::Count(low, high) => vec![low.to_string(), high.to_string()],
        _ => Vec::new(),
    }
}

/// One usual row for each column and end, started in this way, with the cell set to it.
fn at_the_ends(usual: &[(&str, &str)], rows: &mut Vec<String>) {
    for spec in FIELDS {
        for end in ends(spec) {
            let cell = |field_spec: &FieldSpec| match usual.iter().find(|(name, _)| *name == field_spec.name) {
                _ if field_spec.name == "tag" => format!("R-{}", rows.len()),
                _ if field_spec.name == spec.name => end.clone(),
                Some((_, usual)) => (*usual).to_owned(),
                None => String::new(),
            };
            rows.push(FIELDS.iter().map(cell).collect::<Vec<_>>().join(","));
        }
    }
}

fn schedule(usual: &[&[(&str, &str)]]) -> String {
    let mut rows = vec![FIELDS.iter().map(|spec| spec.name).collect::<Vec<_>>().join(",")];
    usual.iter().for_each(|usual| at_the_ends(usual, &mut rows));
    rows.join("\n") + "\n"
}

/// The text before each word that is a number without end.
fn endless(text: &str) -> Vec<String> {
    let part_of_a_word = |letter: Option<char>| letter.is_some_and(|letter| letter.is_alphanumeric());
    let alone = |at: usize, word: &str| {
        !part_of_a_word(text[..at].chars().next_back()) && !part_of_a_word(text[at + word.len()..].chars().next())
    };
    let found = ["inf", "NaN", "nan", "Infinity"].iter().flat_map(|word| text.match_indices(word));
    found
        .filter(|(at, word)| alone(*at, word))
        .map(|(at, _)| text[..at].chars().rev().take(60).collect::<Vec<_>>().into_iter().rev().collect())
        .collect()
}

/// The texts of an output: of a workbook those of its members.
fn texts(path: &Path) -> Vec<String> {
    let bytes = std::fs::read(path).expect("an output");
    if path.extension().is_none_or(|name| name != "xlsx") {
        return vec![String::from_utf8(bytes).expect("text")];
    }
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).expect("a workbook");
    (0..archive.len())
        .map(|index| {
            let mut text = String::new();
            archive.by_index(index).expect("a member").read_to_string(&mut text).expect("text");
            text
        })
        .collect()
}

fn size(schedule: &str, book: &str) -> (Run, tempfile::TempDir) {
    let folder = folder_with("loads.csv", schedule.as_bytes());
    let run = run_in(folder.path(), &["size", "loads.csv", "--rules", book, "--out", "out"]);
    assert!(!run.stderr.contains("panicked") && matches!(run.status, 0 | 1), "{book}: {}", run.stderr);
    (run, folder)
}

#[rstest::rstest]
#[case::iec("iec", "rated_power_kw", "15", "400")]
#[case::nec("nec", "rated_power_hp", "20", "460")]
fn no_number_at_its_bounds_ends_in_one_without_end(
    #[case] book: &str,
    #[case] power: &str,
    #[case] rated: &str,
    #[case] volts: &str,
) {
    let usual = |method: &'static str, kind: &'static str| {
        let cells = [(power, rated), ("voltage_v", volts), ("phases", "3"), ("cable_length_m", "40")];
        cells.into_iter().chain([("starting_method", method), ("load_kind", kind)]).collect::<Vec<_>>()
    };
    let mut stalled = usual("star-delta", "motor");
    stalled.extend([("given_trip_class", "30"), ("stall_time_s", "20")]);
    let rows = [stalled, usual("contactor", "heater")];
    let (run, folder) = size(&schedule(&rows.iter().map(Vec::as_slice).collect::<Vec<_>>()), book);
    let out = folder.path().join("out");
    let mut found = endless(&run.stderr);
    for path in std::fs::read_dir(&out).expect("the outputs").flatten().map(|entry| entry.path()) {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        found.extend(texts(&path).iter().flat_map(|text| endless(text)).map(|endless| format!("{name}: {endless}")));
    }
    assert!(found.is_empty(), "{found:#?}");
    // The design that is read back is the one that was written: compared with itself it is the same.
    let same = run_in(folder.path(), &["compare", "out/design.json", "out/design.json"]);
    assert_eq!(same.status, 0, "{}", same.stderr);
}

/// A check whose figure has no end says so in words: a relay that never trips.
#[rstest::rstest]
#[case::a_relay_that_does_not_trip(
    "iec",
    "rated_power_kw,voltage_v,starting_method,given_trip_class,stall_time_s,locked_rotor_ratio\nA,15,400,direct,30,20,1",
    "stall protection",
    "never"
)]
fn a_figure_without_end_is_told_in_words(#[case] book: &str, #[case] rows: &str, #[case] check: &str, #[case] words: &str) {
    let (_, folder) = size(&format!("phases,cable_length_m,tag,{}\n", rows.replace('\n', "\n3,40,")), book);
    let explained = run_in(folder.path(), &["explain", "loads.csv", "A", "--rules", book]);
    let line = explained.stdout.lines().find(|line| line.contains("FAILED") && line.contains(check)).unwrap_or_default();
    assert!(line.contains(words), "{}", explained.stdout);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("the page");
    assert!(page.contains(words));
}

/// The trial of a finished circuit (V...) disagreed with rows that are right: equipment by its horsepower alone, and a type of
/// co-ordination that is wanted where less is tested and the fault current is unknown; equipment that draws more than it is marked with;
/// six leads of a part winding on a system with a neutral.
#[rstest::rstest]
#[case::packaged("packaged,contactor,,,")]
#[case::supply_only("packaged,feeder,,,")]
#[case::marked_with_less("packaged,feeder,,15,")]
#[case::less_co_ordination("motor,star-delta,type-2,,")]
#[case::two_speeds("motor,two-speed-separate,type-2,,")]
#[case::a_neutral_beside_six_leads("motor,part-winding,,,3L+N")]
fn no_right_row_is_rejected_by_its_own_trial(#[case] row: &str) {
    let schedule = format!(
        "tag,rated_power_hp,rated_power_low_hp,voltage_v,phases,cable_length_ft,load_kind,starting_method,coordination,minimum_circuit_ampacity_a,connection\nA,20,10,460,3,140,{row}\n"
    );
    let (_, folder) = size(&schedule, "nec");
    let value = &design(&folder.path().join("out"))["circuits"][0];
    assert_ne!(value["status"], "not-sized", "{:#}", value["findings"]);
}

/// The built-in range with every figure of a column replaced.
fn range_with(folder: &Path, family: &str, heading: &str, figure: &str) {
    let exported = run_in(folder, &["catalogue", "export", "--rules", "iec", "--out", "range"]);
    assert_eq!(exported.status, 0, "{}", exported.stderr);
    let path = folder.join("range").join(family);
    let text = std::fs::read_to_string(&path).expect("a family");
    let (comments, rows): (Vec<&str>, Vec<&str>) = text.lines().partition(|line| line.starts_with('#'));
    let rows = rows.join("\n");
    let mut reader = csv::Reader::from_reader(rows.as_bytes());
    let mut writer = csv::Writer::from_writer(Vec::new());
    let head = reader.headers().expect("headings").clone();
    let at = head.iter().position(|head| head == heading).expect("the column");
    writer.write_record(&head).expect("a row");
    for row in reader.records().map(|record| record.expect("a row")) {
        writer
            .write_record(row.iter().enumerate().map(|(column, cell)| if column == at { figure } else { cell }))
            .expect("a row");
    }
    let rows = String::from_utf8(writer.into_inner().expect("rows")).expect("text");
    std::fs::write(&path, format!("{}\n{rows}", comments.join("\n"))).expect("a file");
}

/// A catalogue is an input like any other: a slip of its counts once filled the memory or overflowed, one of its figures ended in a
/// design.json that could not be read back.
#[rstest::rstest]
#[case::contacts("contactors.csv", "aux_no", "4294967295")]
#[case::closed_contacts("contactors.csv", "aux_nc", "4294967295")]
#[case::places("contactors.csv", "side_places", "4294967295")]
#[case::contacts_of_a_block("accessories.csv", "no", "4294967295")]
#[case::loss("contactors.csv", "loss_w", "1e308")]
#[case::pick_up("contactors.csv", "coil_ac_pick_up_va", "1e308")]
#[case::tiny("contactors.csv", "ac3_440_a", "1e-300")]
#[case::drive("drives.csv", "input_a", "1e18")]
fn a_figure_that_no_data_sheet_states_is_refused_at_its_cell(#[case] family: &str, #[case] heading: &str, #[case] figure: &str) {
    let folder = folder_with("loads.csv", common::PLAIN.as_bytes());
    range_with(folder.path(), family, heading, figure);
    let run = run_in(folder.path(), &["size", "loads.csv", "--rules", "iec", "--catalogue", "range", "--out", "out"]);
    assert_eq!(run.status, 2, "{}", run.stderr);
    let said = |line: &str| line.contains(&format!("{heading} of ")) && line.contains(&format!(" is {figure};"));
    assert!(run.stderr.lines().any(said) && run.stderr.contains(family), "{}", run.stderr);
    assert!(!folder.path().join("out").exists(), "nothing is written");
}

/// An earlier design.json is one as well.
#[test]
fn a_design_with_a_quantity_that_no_row_may_state_is_refused() {
    let (_, folder) = size(common::PLAIN, "iec");
    let text = std::fs::read_to_string(folder.path().join("out/design.json")).expect("the design");
    let altered = text.replacen("\"quantity\": 1,", "\"quantity\": 4294967295,", 1);
    assert_ne!(altered, text);
    std::fs::write(folder.path().join("altered.json"), altered).expect("a file");
    for pair in [["altered.json", "out/design.json"], ["out/design.json", "altered.json"]] {
        let run = run_in(folder.path(), &["compare", pair[0], pair[1]]);
        assert!(run.status == 2 && run.stderr.contains("4294967295") && run.stderr.contains("altered.json"), "{}", run.stderr);
    }
}

/// A board whose feed nobody knows has no phases of the supply: network and trial once differed there (V703, V704, V855).
#[test]
fn a_board_of_unknown_feed_is_tried_as_it_was_worked_out() {
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 1\n[[board]]\nname = \"MCC-0\"\nfed_from = \"T9\"\n\
        [[board]]\nname = \"MCC-1\"\nfed_from = \"MCC-0\"\nfeeder_length_m = 40\nfeeder_conductor = \"95 mm2 copper xlpe\"\n";
    let schedule = "tag,board,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nA,MCC-1,15,400,3,direct,40\nB,MCC-0,55,400,3,direct,60\n";
    let design = common::design_of(schedule, basis);
    let all: Vec<&str> = design.findings.iter().map(|finding| finding.code.as_str()).collect();
    assert!(all.contains(&"B101") && !all.iter().any(|code| code.starts_with('V')), "{all:?}");
}
