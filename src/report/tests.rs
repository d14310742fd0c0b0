//! Every output speaks to a reader of the customary book in its units and words, and on its paper.

use std::io::{Cursor, Read};

use calamine::{Data, Reader, Xlsx};

use super::columns::{self, CellValue, Column};
use super::fixture;
use super::{lists, submittal, text, workbook};
use crate::design::{Circuit, Design};
use crate::rules::units::Units;

fn page() -> String {
    String::from_utf8(fixture::with(&fixture::design(), submittal::write).expect("a page")).expect("UTF-8")
}

fn book(design: &Design) -> Vec<u8> {
    fixture::with(design, workbook::write).expect("a workbook")
}

fn shown<R>(columns: &[Column<R>], key: &str, row: &R) -> String {
    let column = columns.iter().find(|column| column.key == key).unwrap_or_else(|| panic!("no column {key}"));
    column.text(row).into_owned()
}

/// 228.6 m are 750 ft; 250 m are 820.2 ft, of which 820 hold.
#[test]
fn columns_show_feet_horsepower_gauges_and_the_trades_devices() {
    let design = fixture::design();
    let columns = columns::schedule_of(&design);
    let of = |tag: &str, key: &str| {
        let circuit = design.circuits.iter().find(|circuit| circuit.tag == tag).expect("a circuit");
        shown(&columns, key, circuit)
    };
    assert_eq!(of("P-1", "cable_length_ft"), "750");
    assert_eq!((of("P-1", "cable_size"), of("P-1", "grounding_size")), ("3 × 8 AWG".to_owned(), "10 AWG".to_owned()));
    assert_eq!((of("P-1", "raceway"), of("P-1", "raceway_fill_pct")), ("PVC Schedule 40 3/4".to_owned(), "31".to_owned()));
    assert_eq!(
        (of("P-1", "full_load_a"), of("P-1", "table_a"), of("P-1", "nameplate_a")),
        ("14.0".into(), "14.0".into(), "12.6".into())
    );
    assert_eq!((of("P-1", "protection_rating_a"), of("P-1", "protection_maximum_a")), ("30".to_owned(), "35".to_owned()));
    assert_eq!(of("P-1", "protection_clause"), "NFPA 70, 430.52(C)(1)(a)");
    assert_eq!(of("RTU-4", "protection_clause"), "NFPA 70, 440.22, marked maximum");
    assert_eq!((of("P-1", "overload_ceiling_a"), of("P-1", "short_circuit_rating_ka")), ("15.75".to_owned(), "65".to_owned()));
    assert_eq!(of("P-1", "disconnect"), "30 A, 15 hp");
    assert_eq!(of("P-1", "contactors"), "NEMA size 1");
    assert_eq!(of("CHWP-1", "contactors"), "3 × NEMA size 3");
    assert_eq!((of("CHWP-1", "method"), of("CHWP-1", "protection_kind")), ("wye-delta, open".into(), "dual-element fuse".into()));
    let rows: Vec<_> = columns::run_rows(&design.circuits[0]).collect();
    assert_eq!(shown(&columns::cables(Units::Customary), "holds_to_ft", &rows[0]), "820");
    let identity = columns::identity(Units::Customary);
    assert_eq!(shown(&identity, "power_hp", &design.circuits[0]), "10.0");
}

/// Columns that are empty over the whole design are left out; the metric book keeps all of its own.
#[test]
fn columns_that_nobody_uses_are_left_out() {
    let mut design = fixture::design();
    let has = |columns: &[Column<Circuit>], key: &str| columns.iter().any(|column| column.key == key);
    let columns = columns::schedule_of(&design);
    for key in ["coordination", "magnetic_trip_a", "contactor_category"] {
        assert!(!has(&columns, key), "{key}");
    }
    for column in &columns {
        let filled = design.circuits.iter().any(|circuit| column.of(circuit) != CellValue::Empty);
        assert!(filled || column.group == columns::Group::Result, "{}", column.key);
    }
    if let Some(protection) = design.circuits[0].protection.as_mut() {
        protection.coordination = "type-2".to_owned();
    }
    assert!(has(&columns::schedule_of(&design), "coordination"), "a type that is claimed is shown");
    design.rule_book = "iec".to_owned();
    let metric = columns::schedule_of(&design);
    assert!(has(&metric, "coordination") && has(&metric, "magnetic_trip_a") && has(&metric, "cable_length_m"));
    assert!(!has(&metric, "raceway") && !has(&metric, "cable_length_ft") && !has(&metric, "table_a"));
}

/// Words and units of the metric trade, which no page of this book shows.
#[test]
fn the_page_speaks_the_language_of_the_trade() {
    let page = page();
    let body = &page[page.find("<main>").expect("a body")..];
    let words = body.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| text.replace('\u{a0}', " "));
    let words: Vec<String> = words.collect();
    for wrong in [
        "mm²",
        "circuit-breaker",
        "star",
        "moulded",
        "aluminium",
        "solator",
        "rotective conductor",
        "PE ",
        "o-ordination",
        "energised",
        "IEC",
        " m;",
    ] {
        let found =
            words.iter().find(|text| text.split(' ').any(|word| word == wrong) || text.contains(wrong) && wrong != "star");
        assert_eq!(found, None, "{wrong}");
    }
    let all = words.join(" ");
    for right in [
        "Conductors and raceways",
        "Equipment grounding conductor",
        "10 hp (7.5 kW)",
        "750 ft",
        "holds to 820 ft",
        "in PVC Schedule 40 3/4",
        "EGC 10 AWG",
        "250 kcmil",
        "aluminum",
        "wye-delta, open transition",
        "adjustable-speed drive",
        "molded-case circuit breaker",
        "inverse-time circuit breaker",
        "30 A, 15 hp",
        "full-load current",
        "nameplate current",
        "energized",
        "Short-circuit current rating",
        "THWN-2",
    ] {
        assert!(all.contains(right), "{right}");
    }
}

#[test]
fn paper_is_letter_unless_the_basis_asks_for_another() {
    let mut design = fixture::design();
    let sheet = |design: &Design| {
        let bytes = book(design);
        let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("an archive");
        let mut text = String::new();
        archive.by_name("xl/worksheets/sheet1.xml").expect("a sheet").read_to_string(&mut text).expect("text");
        text
    };
    assert!(page().contains("@page{size:Letter;"));
    assert!(sheet(&design).contains("paperSize=\"3\""), "tabloid for the wide sheets");
    design.basis.report.paper = Some("A4".to_owned());
    let a4 = String::from_utf8(fixture::with(&design, submittal::write).expect("a page")).expect("UTF-8");
    assert!(a4.contains("@page{size:A4;"));
    assert!(sheet(&design).contains("paperSize=\"8\""));
}

#[test]
fn the_workbook_names_and_fills_its_sheets_in_the_trades_terms() {
    let bytes = book(&fixture::design());
    let mut read: Xlsx<_> = Xlsx::new(Cursor::new(bytes.as_slice())).expect("a second reader opens it");
    assert!(read.sheet_names().contains(&"Conductors and raceways".to_owned()));
    let runs = read.worksheet_range("Conductors and raceways").expect("a sheet");
    let heads: Vec<String> = runs.rows().nth(3).expect("heads").iter().map(ToString::to_string).collect();
    let at = |head: &str| heads.iter().position(|heading| heading == head).unwrap_or_else(|| panic!("{head} in {heads:?}"));
    let first = runs.rows().nth(4).expect("a run");
    assert_eq!(first[at("Length\nft")], Data::Float(750.0));
    assert_eq!(first[at("Holds to\nft")], Data::Float(820.0));
    assert_eq!(first[at("Equipment grounding conductor")], Data::String("10 AWG".to_owned()));
    assert_eq!(first[at("Raceway")], Data::String("PVC Schedule 40 3/4".to_owned()));
    let buy = read.worksheet_range("Purchase list").expect("a sheet");
    let heads: Vec<String> = buy.rows().nth(3).expect("heads").iter().map(ToString::to_string).collect();
    let at = |head: &str| heads.iter().position(|heading| heading == head).unwrap_or_else(|| panic!("{head} in {heads:?}"));
    let cable = buy.rows().nth(4).expect("a line");
    for head in ["To order", "Needed"] {
        assert_eq!((&cable[at(head)], &cable[at("Unit")]), (&Data::Float(2251.0), &Data::String("ft".to_owned())), "{head}");
    }
    // 2251 ft at 2.00.
    assert_eq!(cable[at("Price")], Data::Float(4502.0));
}

#[test]
fn the_purchase_list_is_in_whole_feet() {
    let csv = String::from_utf8(fixture::with(&fixture::design(), lists::purchase_csv)).expect("UTF-8");
    assert!(csv.contains(",2251,ft,"), "{csv}");
    assert!(csv.contains(",2,pc,"), "{csv}");
}

#[test]
fn the_text_of_a_circuit_is_in_feet_and_horsepower() {
    let design = fixture::design();
    // Lines are broken for a terminal; the words are looked at without the breaks.
    let joined = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let pump = joined(text::circuit(&design.circuits[0], Units::Customary));
    for right in [
        "10 hp, 7.457 kW",
        "main NEMA size 1 contactor, 27 A for 14 A",
        "750 ft",
        "holds to 820 ft",
        "equipment grounding conductor 10 AWG, PVC Schedule 40 3/4",
        "nameplate 12.6 A",
        "at most 35 A",
        "15 hp",
    ] {
        assert!(pump.contains(right), "{right} in {pump}");
    }
    assert!(!pump.contains(" m,") && !pump.contains("co-ordination"), "{pump}");
    // The metric text keeps its units.
    let metric = text::circuit(&design.circuits[0], Units::Metric);
    assert!(metric.contains("228.6 m") && metric.contains("inverse time") && !metric.contains(" hp"), "{metric}");
}

/// A design of rows, as the program sizes them.
fn sized(book: &str, rows: &str) -> Design {
    let folder = tempfile::tempdir().expect("a folder");
    let schedule = folder.path().join("loads.csv");
    std::fs::write(&schedule, rows).expect("it writes");
    let options = crate::project::Options { schedule, rules: Some(book.to_owned()), ..crate::project::Options::default() };
    crate::project::open(&options).expect("a schedule").design()
}

/// Heaters, lamps, feeders and whatever others start draw their rated current from the first moment on: no output that shows them
/// speaks of a start. The motor among them proves that each place would show one.
#[rstest::rstest]
#[case::iec("iec", "rated_power_kw,rated_power_kva,reactive_power_kvar", "400", "230", "7.5")]
#[case::nec("nec", "rated_power_hp,rated_power_kva,reactive_power_kvar", "460", "277", "10")]
fn loads_that_do_not_start_show_no_start(
    #[case] book: &str,
    #[case] powers: &str,
    #[case] volts: &str,
    #[case] to_neutral: &str,
    #[case] motor: &str,
) {
    let rows = format!(
        "tag,load_kind,full_load_current_a,{powers},voltage_v,phases,starting_method,cable_length_m\n\
         H-1,heater,10,,,,{volts},3,contactor,20\nL-1,lighting,8,,,,{to_neutral},1,feeder,20\nF-1,other,12,,,,{volts},3,feeder,20\n\
         T-1,transformer,,,25,,{volts},3,feeder,20\nC-1,capacitor,,,,10,{volts},3,contactor,20\n\
         B-1,motor,,{motor},,,{volts},3,by-others,20\nV-1,motor,,{motor},,,{volts},3,drive,20\nM-1,motor,,{motor},,,{volts},3,direct,20\n"
    );
    let design = sized(book, &rows);
    let units = Units::of(book);
    let page = String::from_utf8(fixture::with(&design, submittal::write).expect("a page")).expect("UTF-8");
    let columns = columns::schedule_of(&design);
    for (number, circuit) in (1..).zip(&design.circuits) {
        let starts = circuit.tag == "M-1";
        let tag = &circuit.tag;
        assert!(circuit.status != crate::design::Status::NotSized, "{tag}: {:?}", circuit.findings);
        assert_eq!(circuit.start.is_some(), starts, "{tag}");
        let sheet =
            page.split(&format!("id=\"c{number}\"")).nth(1).and_then(|rest| rest.split("<section ").next()).expect("a sheet");
        assert_eq!(sheet.contains("<dt>starting current</dt>"), starts, "{tag}");
        assert_eq!(text::circuit(circuit, units).contains("while starting"), starts, "{tag}");
        assert_eq!(!shown(&columns, "starting_a", circuit).is_empty(), starts, "{tag}");
        assert_eq!(sheet.contains("motor start"), starts, "{tag}: the plot");
        let checks: Vec<&str> =
            circuit.checks.iter().map(|check| check.name.as_str()).filter(|name| name.contains("starting")).collect();
        assert_eq!(checks.contains(&"starting-voltage-drop"), starts, "{tag}: {checks:?}");
    }
}
