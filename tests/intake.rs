//! Every example schedule in `tests/intake/` against its expectation file: rows, skipped rows, errors, warnings and listed notes.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use motorwright::finding::{Finding, Severity};
use motorwright::intake::{self, Intake, ReadOptions};
use motorwright::load::{Field, Load, Value};
use serde_json::{Map, Value as Json, json};

/// Kinds of the expectation files and the codes that the program has for them.
const KINDS: &[(&str, &[&str])] = &[
    ("encoding-fallback", &["I301"]),
    ("decimal-comma", &["I302"]),
    ("unit-converted", &["I402"]),
    ("thousands-separator", &["I403"]),
    ("number-as-text", &["I404"]),
    ("percent-scaled", &["I405"]),
    ("merged-cell", &["I406"]),
    ("ditto", &["I407"]),
    ("hidden-row", &["I408"]),
    ("hidden-column", &["I409"]),
    ("sheet-not-read", &["I410"]),
    ("column-not-used", &["I201", "I411", "I488"]),
    ("deleted-row", &["I412"]),
    ("struck-text-dropped", &["I413"]),
    ("subtotal-skipped", &["I414"]),
    ("footnote-mark", &["I415"]),
    ("tag-range-expanded", &["I416"]),
    ("quantity-from-range", &["I417"]),
    ("placeholder", &["I418"]),
    ("power-mismatch", &["I419"]),
    ("dual-voltage", &["I420"]),
    ("formula-no-value", &["I108"]),
    ("cell-error", &["I107"]),
    ("date-in-number", &["I106"]),
    ("bad-number", &["I101"]),
    ("ambiguous-number", &["I421"]),
    ("out-of-range", &["I102"]),
    ("bad-voltage", &["I116"]),
    ("unknown-starting-method", &["I422"]),
    ("conflicting-method", &["I423"]),
    ("missing-tag", &["I112"]),
    ("missing-power", &["I424"]),
    ("duplicate-tag", &["I113"]),
    ("quantity-mismatch", &["I425"]),
    ("bad-tag-range", &["I114"]),
    ("bad-quantity", &["I103"]),
    ("forbidden-character", &["I110"]),
    ("cell-too-long", &["I111"]),
    ("row-too-long", &["I204"]),
    ("duplicate-column", &["I202", "I203"]),
    ("matter-not-read", &["I438", "I455"]),
];

const KILOWATTS_PER_HORSEPOWER: f64 = 0.7457;
const METRES_PER_FOOT: f64 = 0.3048;

fn read_json(path: &Path) -> Json {
    serde_json::from_str(&std::fs::read_to_string(path).expect("it reads")).expect("it is JSON")
}

fn kind(finding: &Finding) -> String {
    let listed = |codes: &[&str]| codes.contains(&finding.code.as_str());
    KINDS.iter().find(|(_, codes)| listed(codes)).map_or_else(|| finding.code.clone(), |(kind, _)| (*kind).to_owned())
}

fn method(name: &str) -> &str {
    match name {
        "direct" => "dol",
        "drive" => "vfd",
        "two-speed-dahlander" | "two-speed-separate" => "two-speed",
        "star-delta-closed" => "star-delta",
        "soft-starter-inside-delta" => "soft-starter",
        other => other,
    }
}

fn row(load: &Load) -> Map<String, Json> {
    let text = |field: Field| load.text(field).map(str::to_owned);
    let as_written = |field: Field| load.entry(field).map(|entry| entry.text.trim().to_owned());
    let running = load.text(Field::Running);
    let tags = load.tags();
    let low = load
        .number(Field::RatedPowerLowKw)
        .or_else(|| load.number(Field::RatedPowerLowHp).map(|power| power * KILOWATTS_PER_HORSEPOWER));
    let length =
        load.number(Field::CableLengthM).or_else(|| load.number(Field::CableLengthFt).map(|feet| feet * METRES_PER_FOOT));
    let load_type = match (running, load.text(Field::LoadKind)) {
        (Some("spare"), _) => "spare",
        (_, None) => "motor",
        (_, Some("lighting" | "transformer" | "capacitor")) => "other",
        (_, Some(kind)) => kind,
    };
    let class = load.text(Field::EfficiencyClass).map(|class| match class {
        "NEMA-premium" => "NEMA Premium".to_owned(),
        "energy-efficient" => "EPAct".to_owned(),
        other => other.to_owned(),
    });
    let value = json!({
        "source": {"sheet": load.source.sheet, "row": load.row + 1},
        "tag": load.tag(),
        "expanded_tags": (tags.len() > 1).then_some(&tags),
        "description": text(Field::Description),
        "section": text(Field::Section),
        "load_type": load_type,
        "rated_power_kw": load.number(Field::RatedPowerKw),
        "rated_power_hp": load.number(Field::RatedPowerHp),
        "rated_power_low_kw": low,
        "absorbed_power_kw": load.number(Field::AbsorbedPowerKw),
        "voltage_v": load.number(Field::VoltageV),
        "phases": load.number(Field::Phases),
        "frequency_hz": load.number(Field::FrequencyHz),
        "full_load_current_a": load.number(Field::FullLoadCurrentA),
        "mca_a": load.number(Field::MinimumCircuitAmpacityA),
        "mocp_a": load.number(Field::MaximumProtectionA),
        "efficiency": load.number(Field::EfficiencyPct).map(|percent| percent / 100.0),
        "power_factor": load.number(Field::PowerFactor),
        "efficiency_class": class,
        "service_factor": load.number(Field::ServiceFactor),
        "starting_method": load.text(Field::StartingMethod).map(method),
        "reversing": load.yes(Field::Reversing),
        "duty": text(Field::Duty),
        "starts_per_hour": load.number(Field::StartsPerHour),
        "board": text(Field::Board),
        "cable_length_m": length,
        "install_method": as_written(Field::InstallationMethod),
        "ambient_c": load.number(Field::AmbientC),
        "quantity": load.count(Field::Quantity).map_or(tags.len(), |count| count as usize),
        "standby": match running { Some("standby") => Some(true), Some("duty" | "assist") => Some(false), _ => None },
        "duty_count": load.number(Field::DutyCount),
        "standby_count": load.number(Field::StandbyCount),
        "interlock": text(Field::InterlockNote).or_else(|| text(Field::InterlockWith)),
        "plc_feedback": text(Field::FeedbackNote),
        "notes": text(Field::Notes),
        "status": if load.incomplete { "incomplete" } else { "ok" },
    });
    match value {
        Json::Object(map) => map,
        _ => Map::new(),
    }
}

fn same(one: &Json, other: &Json) -> bool {
    match (one.as_f64(), other.as_f64()) {
        (Some(one), Some(other)) => (one - other).abs() <= 1e-6 * one.abs().max(other.abs()),
        _ => one == other,
    }
}

fn compare_rows(expected: &[Json], got: &[Map<String, Json>], wrong: &mut Vec<String>) {
    let place = |source: &Json| format!("{}!{}", source["sheet"].as_str().unwrap_or("-"), source["row"]);
    let places: Vec<String> = got.iter().map(|row| place(&row["source"])).collect();
    let wanted: Vec<String> = expected.iter().map(|row| place(&row["source"])).collect();
    if places != wanted {
        let missing: Vec<_> = wanted.iter().filter(|place| !places.contains(place)).collect();
        let extra: Vec<_> = places.iter().filter(|place| !wanted.contains(place)).collect();
        wrong.push(format!("rows: missing {missing:?}, extra {extra:?}, or another order"));
    }
    for row in expected {
        let Some(found_row) = got.iter().find(|other| place(&other["source"]) == place(&row["source"])) else { continue };
        for (key, value) in row.as_object().expect("a row") {
            let found = found_row.get(key).unwrap_or_else(|| panic!("the test does not convert {key}"));
            if !same(found, value) {
                wrong.push(format!("row {}: {key} is {found}, expected {value}", place(&row["source"])));
            }
        }
        for (key, value) in found_row {
            if row.get(key).is_none() && !value.is_null() {
                wrong.push(format!("row {}: {key} is {value}, not expected at all", place(&row["source"])));
            }
        }
    }
}

type Seen = (String, String, Option<String>, Option<u64>, Option<String>);

fn compare_findings(expected: &[Json], findings: &[Finding], wrong: &mut Vec<String>) {
    let text = |json: &Json| json.as_str().map(str::to_owned);
    let mut wanted: Vec<Seen> = expected
        .iter()
        .map(|one| {
            let level = text(&one["level"]).expect("a level");
            (level, text(&one["kind"]).expect("a kind"), text(&one["sheet"]), one["row"].as_u64(), text(&one["column"]))
        })
        .collect();
    let mut got: Vec<Seen> = findings
        .iter()
        .map(|finding| {
            let place = finding.place.clone().unwrap_or_default();
            (finding.severity.word().to_owned(), kind(finding), place.sheet, place.row.map(u64::from), place.column)
        })
        .collect();
    wanted.sort();
    got.sort();
    let judged = |all: &[Seen]| all.iter().filter(|one| one.0 != "note").cloned().collect::<Vec<_>>();
    let (must, did) = (judged(&wanted), judged(&got));
    let missing: Vec<_> = must.iter().filter(|one| !did.contains(one)).collect();
    let extra: Vec<_> = did.iter().filter(|one| !must.contains(one)).collect();
    if must != did {
        wrong.push(format!("findings: missing {missing:?}, extra {extra:?} ({} of {})", did.len(), must.len()));
    }
    // A note that the expectation gives no row or column for may stand at the first cell that it concerns.
    let meets = |wanted: &Seen, got: &Seen| {
        wanted.0 == got.0
            && wanted.1 == got.1
            && (wanted.2.is_none() || wanted.2 == got.2)
            && (wanted.3.is_none() || wanted.3 == got.3)
            && (wanted.4.is_none() || wanted.4 == got.4)
    };
    for note in wanted.iter().filter(|one| one.0 == "note") {
        if !got.iter().any(|one| meets(note, one)) {
            wrong.push(format!("missing {note:?}"));
        }
    }
}

fn compare_detected(expected: &Json, intake: &Intake, wrong: &mut Vec<String>) {
    let detected = &intake.detected;
    let sheets: Vec<&str> =
        intake.grids.iter().filter(|grid| grid.header_row.is_some()).filter_map(|grid| grid.sheet.as_deref()).collect();
    let delimiter = detected.separator.map(|mark| if mark == '\t' { "tab".to_owned() } else { mark.to_string() });
    let found = json!({
        "encoding": detected.encoding,
        "bom": detected.byte_order_mark,
        "delimiter": delimiter,
        "decimal": detected.decimal.unwrap_or('.').to_string(),
        "sheets": sheets,
    });
    for (key, value) in expected.as_object().expect("what was detected") {
        if &found[key] != value {
            wrong.push(format!("detected {key}: {}, expected {value}", found[key]));
        }
    }
}

#[rstest::rstest]
fn fixture(#[files("tests/intake/*.expected.json")] path: PathBuf) {
    let expected = read_json(&path);
    let list = |key: &str| expected[key].as_array().cloned().unwrap_or_default();
    let file = path.with_file_name(expected["file"].as_str().expect("a file"));
    let mut wrong = Vec::new();
    let intake = match intake::read(&file, &ReadOptions::default()) {
        Ok(intake) => intake,
        Err(error) => {
            assert_eq!(expected["outcome"], "refused", "{error}");
            return;
        }
    };
    let rows: Vec<_> = intake.loads.iter().filter(|load| !load.rejected).map(row).collect();
    compare_rows(&list("rows"), &rows, &mut wrong);
    let skipped: BTreeSet<(Option<String>, u64, String)> = list("skipped")
        .iter()
        .map(|one| {
            let reason = one["reason"].as_str().expect("a reason").to_owned();
            (one["sheet"].as_str().map(str::to_owned), one["row"].as_u64().expect("a row"), reason)
        })
        .collect();
    let left_out: BTreeSet<_> =
        intake.skipped.iter().map(|one| (one.sheet.clone(), u64::from(one.row), one.reason.word().to_owned())).collect();
    for one in skipped.difference(&left_out) {
        wrong.push(format!("not skipped: {one:?}"));
    }
    for one in left_out.difference(&skipped) {
        wrong.push(format!("skipped: {one:?}"));
    }
    compare_findings(&list("diagnostics"), &intake.findings, &mut wrong);
    compare_detected(&expected["detected"], &intake, &mut wrong);
    let errors = intake.findings.iter().any(|finding| finding.severity == Severity::Error);
    assert_eq!(errors, expected["outcome"] == "errors", "{}", wrong.join("\n"));
    assert!(wrong.is_empty(), "{}\n{}", expected["file"], wrong.join("\n"));
}

#[test]
fn tags_are_read_as_lists() {
    let text = "tag,voltage_v\nP-101A/B,400\n";
    let intake = intake::read_csv_bytes("a.csv", text.as_bytes(), &ReadOptions::default()).expect("it reads");
    let tags = intake.loads[0].entry(Field::Tag).map(|entry| entry.value.clone());
    assert_eq!(tags, Some(Value::Tags(["P-101A".into(), "P-101B".into()].into())));
}

fn with_columns(pairs: &[(&str, &str)]) -> ReadOptions {
    let mut options = ReadOptions::default();
    options.columns = pairs.iter().map(|(heading, column)| ((*heading).to_owned(), (*column).to_owned())).collect();
    options
}

fn csv(text: &str) -> Intake {
    intake::read_csv_bytes("a.csv", text.as_bytes(), &ReadOptions::default()).expect("it reads")
}

fn codes(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().filter(|one| one.severity != Severity::Note).map(|one| one.code.as_str()).collect()
}

#[test]
fn the_user_says_what_a_heading_means() {
    let text = "Gizmo,Oomph (kW),Starter\nP-1,7.5,DOL\n";
    let options = with_columns(&[("Gizmo", "tag"), ("oomph (kw)", "rated_power_kw")]);
    let intake = intake::read_csv_bytes("a.csv", text.as_bytes(), &options).expect("it reads");
    assert_eq!(intake.loads[0].number(Field::RatedPowerKw), Some(7.5));
    assert_eq!(intake.mappings[0].line(), "column A \"Gizmo\" read as tag");
    for (pair, part) in [(("Gizmo", "tagg"), "did you mean `tag`"), (("Gizmoo", "tag"), "did you mean `Gizmo`")] {
        let options = with_columns(&[pair, ("Oomph (kW)", "rated_power_kw"), ("Gizmo", "tag")]);
        let error = intake::read_csv_bytes("a.csv", text.as_bytes(), &options).expect_err("it is refused");
        assert!(error.message.contains(part), "{error}");
    }
}

#[test]
fn every_mapping_is_told() {
    let intake = csv("Código,Potencia (CV),Tensión (V),Color\nM-1,10,400,rojo\n");
    let lines: Vec<String> = intake.mappings.iter().map(intake::Mapping::line).collect();
    assert_eq!(lines[1], "column B \"Potencia (CV)\" read as rated_power_kw, metric horsepower, converted to kW");
    assert_eq!(lines[3], "column D \"Color\" carried through, not read");
}

#[rstest::rstest]
#[case::equal_columns("Tag,kW,Rated kW\nP-1,5.5,5.5\n", &[])]
#[case::one_empty("Tag,kW,Rated kW\nP-1,,5.5\n", &[])]
#[case::different("Tag,kW,Rated kW\nP-1,5.5,7.5\n", &["I202", "I203"])]
#[case::both_units("Tag,Power (kW),Starter\nP-1,11 kW (15 HP),DOL\n", &[])]
#[case::powers_differ("Tag,kW,HP,Starter\nP-1,11,25,DOL\n", &["I419"])]
#[case::fraction_of_kilowatts("Tag,kW,Starter\nP-1,1/2,DOL\n", &["I101"])]
#[case::speeds_without_method("Tag,kW,Starter\nP-1,11/2.8,DOL\n", &["I101"])]
#[case::several_motors("Tag,kW,Starter\nP-1,2 x 5.5,DOL\n", &["I418"])]
#[case::direct_current("Tag,kW,V\nP-1,5.5,24 VDC\n", &[])]
#[case::winding("Tag,kW,V\nP-1,5.5,400/690\n", &[])]
#[case::greek_letter("Tag,kW\n\u{3a1}-101,5.5\n", &["I110"])]
#[case::descending("Tag,kW\nEF-9 thru EF-4,5.5\n", &["I114"])]
#[case::counts("Tag,kW,Duty/Standby,Qty\nP-1,5.5,2 duty / 1 standby,2\n", &["I425"])]
#[case::protection_below("Mark,MCA,MOCP\nRTU-1,41.5,30\n", &["I102"])]
#[case::two_voltages_of_a_system("Tag,kW,V\nP-1,5.5,230/400\n", &[])]
#[case::percent_power_factor("Tag,kW,PF\nP-1,5.5,85 %\n", &[])]
#[case::too_good("Tag,kW,Eff\nP-1,5.5,1.2\n", &["I102"])]
#[case::ditto_tag("Tag,kW\nP-1,5.5\nidem,5.5\n", &["I112"])]
#[case::reduced_voltage("Tag,kW,Starter\nP-1,5.5,reduced voltage\n", &["I418"])]
#[case::open_quantity("Tag,kW,Qty\nP-1,5.5,TBC\n", &["I418"])]
#[case::no_machine("Tag,kW,Qty\nP-1,5.5,0\n", &["I103"])]
#[case::too_many_machines("Tag,kW,Qty\nP-1,5.5,501\n", &["I103"])]
#[case::too_long("Tag,kW,Cable length (m)\nP-1,5.5,10001\n", &["I102"])]
#[case::reverse_contradicts("Tag,kW,Starter,Reversing\nP-1,5.5,DOL REV,N\n", &["I423"])]
fn findings_of_a_row(#[case] text: &str, #[case] expected: &[&str]) {
    let intake = csv(text);
    assert_eq!(codes(&intake), expected, "{:?}", intake.findings);
}

#[test]
fn lengths_and_temperatures_are_converted() {
    // 104 °F is 40 °C; a kilometre has 1000 m.
    let intake = csv("Tag,kW,Cable length,Ambient\nP-1,5.5,0.2 km,104 °F\nP-2,5.5,200 m,40 °C\n");
    for load in &intake.loads {
        assert_eq!((load.number(Field::CableLengthM), load.number(Field::AmbientC)), (Some(200.0), Some(40.0)), "{}", load.tag());
    }
}

#[test]
fn tables_that_are_turned_are_refused() {
    let text = "Tag,P-1,P-2\nDescription,Pump,Pump\nkW,5.5,7.5\nVoltage,400,400\nStarter,DOL,DOL\n";
    let error = intake::read_csv_bytes("a.csv", text.as_bytes(), &ReadOptions::default()).expect_err("it is refused");
    assert!(error.message.contains("stand in columns"), "{error}");
}
