//! The order of an electrical contractor with a catalogue of his own: switches made for their place, lines for what the catalogue lacks,
//! parts for starters that stand apart, prices, and feeders that wait for what is behind them. Every design is tried again by the
//! verifier, which must agree.

mod common;

use std::path::Path;

use motorwright::catalogue;
use motorwright::design::{Circuit, Design, Part, PurchaseStatus, Status};
use motorwright::project::{self, Options};

/// A catalogue in a folder: the built-in range of a rule book, each file as `change` leaves it.
fn range(rules: &str, change: &dyn Fn(&str, String) -> String) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in catalogue::export(rules) {
        std::fs::write(folder.path().join(&name), change(&name, text.into_owned())).expect("a file");
    }
    folder
}

/// Only comments and headings of a file.
fn emptied(text: &str) -> String {
    let comments = text.lines().take_while(|line| line.starts_with('#')).count();
    text.lines().take(comments + 1).map(|line| format!("{line}\n")).collect()
}

fn design(schedule: &str, basis: &str, folder: Option<&Path>) -> Design {
    let files = common::folder_with("loads.csv", schedule.as_bytes());
    std::fs::write(files.path().join("basis.toml"), basis).expect("a file");
    let options = Options {
        schedule: files.path().join("loads.csv"),
        basis: Some(files.path().join("basis.toml")),
        catalogue: folder.map(Path::to_owned),
        ..Options::default()
    };
    let design = project::open(&options).unwrap_or_else(|error| panic!("{}: {:?}", error, error.findings)).design();
    let tried: Vec<String> = design
        .all_findings()
        .into_iter()
        .filter(|(_, finding)| finding.code.starts_with('V'))
        .map(|(of, finding)| format!("{of:?} {} {}", finding.code, finding.what))
        .collect();
    assert!(tried.is_empty(), "{}", tried.join("\n"));
    design
}

fn of<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("{tag} is not there"))
}

fn told<'d>(circuit: &'d Circuit, code: &str) -> Option<&'d str> {
    circuit.findings.iter().find(|finding| finding.code == code).map(|finding| finding.what.as_str())
}

/// Parts without a number whose words begin so.
fn unnumbered<'d>(parts: &'d [Part], words: &str) -> Vec<&'d Part> {
    parts.iter().filter(|part| part.part.is_empty() && part.description.starts_with(words)).collect()
}

fn pieces(circuit: &Circuit, words: &str) -> f64 {
    circuit.parts.iter().filter(|part| part.description.contains(words)).map(|part| part.quantity).sum()
}

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\nsystem = \"400 V 3L\"\nprospective_fault_ka = 20\nprospective_fault_min_ka = 10\nx_over_r = 2\n[design]\nambient_c = 30\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\nsystem = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 14\nprospective_fault_min_ka = 8\nx_over_r = 2\n[design]\nambient_c = 30\n";

const NEC_ROWS: &str = "tag,description,board,load_kind,rated_power_hp,voltage_v,phases,full_load_current_a,locked_rotor_code,start_time_s,starting_method,cable_length_ft,installation_method,control_voltage,isolator,enclosure,location,environment\n";

/// NFPA 70, 110.28 and Table 110.28: 4X where 4X is stated, 3R or more on a roof and outdoors, 4 or more where it is washed down; 1
/// serves where 1 is stated. Where nothing is known of the place somebody must look.
#[test]
fn nec_a_switch_at_its_machine_is_made_for_its_place() {
    let row = |tag: &str, place: &str| format!("{tag},Fan,,motor,2,460,3,3.1,G,2,direct,55,emt,120 V AC,yes,{place}\n");
    let places =
        [("E-1", "NEMA 4X,,"), ("E-2", ",rooftop,outdoor"), ("E-3", "NEMA 3R,wet,washdown"), ("E-4", "NEMA 1,,"), ("E-5", ",,")];
    let rows: String = places.iter().map(|(tag, place)| row(tag, place)).collect();
    let design = design(&format!("{NEC_ROWS}{rows}"), NEC, None);
    let switch = |tag: &str| of(&design, tag).disconnect.clone().expect("a switch");
    assert_eq!(switch("E-1").part, "GEN-DS3-30-4X");
    assert_eq!(switch("E-1").enclosure, "NEMA 4X");
    assert_eq!(switch("E-2").part, "GEN-DS3-30-3R");
    assert_eq!(switch("E-3").part, "GEN-DS3-30-4X", "3R and 4 are both asked for");
    assert_eq!(switch("E-4").part, "GEN-DS3-30-1");
    assert_eq!(switch("E-5").part, "GEN-DS3-30-1");
    assert!(told(of(&design, "E-5"), "C530").is_some_and(|what| what.contains("NEMA 1")));
    assert!(places[..4].iter().all(|(tag, _)| told(of(&design, tag), "C530").is_none()));
}

/// Where the catalogue has none for the place, none is chosen: a line without number, on hold (NFPA 70, 110.28).
#[test]
fn nec_no_switch_of_a_lesser_enclosure_stands_in() {
    let temp_dir = range("nec", &|name, text| {
        let keep = |line: &&str| name != "disconnects.csv" || !line.contains("NEMA 4X") && !line.contains("NEMA 3R");
        text.lines().filter(keep).map(|line| format!("{line}\n")).collect()
    });
    let rows = format!("{NEC_ROWS}E-1,Fan,,motor,2,460,3,3.1,G,2,direct,55,emt,120 V AC,yes,NEMA 4X,,\n");
    let design = design(&rows, NEC, Some(temp_dir.path()));
    let circuit = of(&design, "E-1");
    assert!(circuit.disconnect.as_ref().is_none_or(|disconnect| disconnect.location != "at the machine"));
    assert!(told(circuit, "C404").is_some_and(|what| what.contains("NEMA 4X")), "{:?}", circuit.findings);
    assert_eq!(unnumbered(&circuit.parts, "disconnect switch for").len(), 1);
    assert_eq!(circuit.status, Status::NeedsDecision);
    let line = design.purchase.iter().find(|line| line.description.starts_with("disconnect switch for")).expect("a line");
    assert_eq!((line.status, line.held_quantity), (PurchaseStatus::Hold, 1.0));
}

const ROWS: &str = "tag,description,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_pct,power_factor,locked_rotor_ratio,start_time_s,starting_method,cable_length_m,supply_length_m,installation_method,control_voltage,isolator,enclosure,environment\n";

fn small(tag: &str, cells: &str) -> String {
    format!("{tag},Fan,M1,motor,2.2,400,3,4.7,85,0.82,6,2,direct,{cells}\n")
}

/// IEC 60364-5-51, 512.2: IP66 where IP66 is stated, against splashes outdoors; a switch of IP20 is for neither.
#[test]
fn iec_an_isolator_at_its_machine_is_made_for_its_place() {
    let temp_dir = range("iec", &|name, text| {
        if name != "isolators.csv" {
            return text;
        }
        let twice = |line: &str| match line.split_once(',').filter(|(part, _)| part.starts_with("GEN-IS")) {
            Some((part, rest)) => {
                format!("{part},{}\n{part}-66,{}\n", rest.replace("IP65", "IP20"), rest.replace("IP65", "IP66"))
            }
            None => format!("{line}\n"),
        };
        text.lines().map(twice).collect()
    });
    let rows = [
        small("E-1", "25,,E,230 V AC,yes,IP66,"),
        small("E-2", "25,,E,230 V AC,yes,,outdoor"),
        small("E-3", "25,,E,230 V AC,yes,,"),
    ];
    let design = design(&format!("{ROWS}{}", rows.concat()), IEC, Some(temp_dir.path()));
    let part = |tag: &str| of(&design, tag).disconnect.clone().expect("an isolator").part;
    assert!(part("E-1").ends_with("-66") && part("E-2").ends_with("-66"), "{} {}", part("E-1"), part("E-2"));
    assert!(!part("E-3").ends_with("-66") && told(of(&design, "E-3"), "C530").is_some());
}

/// A bar joins breakers that stand side by side: not those in enclosures of their own. A breaker at the beginning of the run to a
/// starter stands on the board (IEC 60364-4-43, 434.2), where nothing joins it to the contactor at the other end.
#[test]
fn breakers_in_separate_enclosures_share_no_bar_and_starters_apart_no_module() {
    let rows = |cells: &str| [small("P-1", cells), small("P-2", cells)].concat();
    let kinds = |cells: &str| {
        let design = design(&format!("{ROWS}{}", rows(cells)), IEC, None);
        let all = |kind: &str| {
            design.circuits.iter().flat_map(|circuit| &circuit.accessories).filter(|accessory| accessory.kind == kind).count()
        };
        (all("commoning-bar"), all("connecting-module"))
    };
    assert_eq!(kinds("25,,E,230 V AC,,,"), (1, 2), "side by side on the board");
    assert_eq!(kinds("25,,E,230 V AC,,IP55,"), (0, 2), "a box each, breaker and contactor in it");
    assert_eq!(kinds("5,60,E,230 V AC,,,"), (1, 0), "breakers on the board, contactors 60 m away");
    assert_eq!(kinds("5,60,E,230 V AC,,IP55,"), (1, 0), "the same with boxes at the machines");
}

/// README, "What is bought": everything that a circuit needs is a line. What the catalogue lacks is one without number, on hold.
#[rstest::rstest]
#[case::contactors("iec", &["contactors"], "contactor for")]
#[case::protection("iec", &["motor_breakers", "moulded_case_breakers", "line_breakers", "fuses"], "protective device for")]
#[case::isolators("iec", &["isolators"], "local isolator for")]
#[case::transformers("iec", &["control_transformers"], "control transformer from")]
#[case::supplies("iec", &["power_supplies"], "direct current supply from")]
#[case::control_fuses("iec", &["control_protection"], "protective device of")]
#[case::cables("iec", &["cables"], "gland for")]
#[case::nec_contactors("nec", &["contactors"], "contactor for")]
#[case::nec_relays("nec", &["overload_relays"], "overload relay for")]
#[case::nec_protection("nec", &["branch_breakers", "fuses"], "protective device for")]
#[case::nec_switches("nec", &["disconnects"], "disconnect switch for")]
#[case::nec_transformers("nec", &["control_transformers"], "control transformer from")]
// Without its fuses no transformer is chosen: both are asked for together.
#[case::nec_control_fuses(
    "nec",
    &["control_protection"],
    "control transformer from 480 V to 120 V AC for 11 VA, 60 VA while contactors pick up, with its protective devices"
)]
fn what_the_catalogue_lacks_is_a_line_without_number(#[case] rules: &str, #[case] gone: &[&str], #[case] words: &str) {
    let temp_dir = range(rules, &|name, text| {
        let lacks = gone.iter().any(|family| name == format!("{family}.csv"));
        // Prices of parts that are gone stand in no family.
        if lacks || name == "prices.csv" || name == "combinations.csv" { emptied(&text) } else { text }
    });
    let design = if rules == "nec" {
        let row = "P-1,Fan,M1,motor,10,460,3,14,G,2,direct,55,emt,120 V AC,yes,,,\n";
        design(&format!("{NEC_ROWS}{row}"), NEC, Some(temp_dir.path()))
    } else {
        let (ac, dc) = (small("P-1", "25,,E,230 V AC,yes,,"), small("P-2", "25,,E,24 V DC,yes,,"));
        design(&format!("{ROWS}{ac}{dc}"), IEC, Some(temp_dir.path()))
    };
    let line = design.purchase.iter().find(|line| line.part.is_empty() && line.description.starts_with(words));
    let line =
        line.unwrap_or_else(|| panic!("{:?}", design.purchase.iter().map(|purchase| &purchase.description).collect::<Vec<_>>()));
    assert!(line.quantity > 0.0 && line.firm_quantity == 0.0, "{line:?}");
    assert_eq!(line.status, PurchaseStatus::Hold);
}

/// `material-practice`: lugs from 16 mm² at both ends of a conductor; an isolator parts the cable in two. 95 mm² with 50 mm² protective:
/// 3 × 4 = 12 and 4 lugs; a tag at each end of each length: 4, of which the lists agree.
#[test]
fn an_isolator_parts_a_cable_in_two_lengths_with_four_ends() {
    let row = "P-1,Pump,M1,motor,75,400,3,134,95,0.86,7,2,direct,25,,E,230 V AC,yes,,\n";
    let design = design(&format!("{ROWS}{row}"), IEC, None);
    let circuit = of(&design, "P-1");
    let run = circuit.runs.iter().find(|run| run.role == "motor").expect("a run");
    let (sets, live) = (f64::from(run.per_phase), f64::from(run.cores - 1));
    let lugs: f64 =
        circuit.parts.iter().filter(|part| part.description.to_lowercase().contains("lug")).map(|part| part.quantity).sum();
    assert!(run.phase_area_mm2 >= 16.0 && run.phase_area_mm2 <= 95.0, "{run:?}");
    let protective: f64 = run.protective_size.split_whitespace().next().and_then(|area| area.parse().ok()).expect("a size");
    assert_eq!(lugs, 4.0 * sets * (live + f64::from(u8::from(protective >= 16.0))), "{run:?}");
    assert_eq!(pieces(circuit, "able tag"), 4.0 * sets);
}

/// Under NFPA 70 a switch in the run leaves two raceways with two ends each.
#[test]
fn nec_a_switch_parts_a_raceway_in_two() {
    let rows =
        ["yes", "no"].map(|switch| format!("P-{switch},Fan,,motor,10,460,3,14,G,2,direct,55,emt,120 V AC,{switch},NEMA 1,,\n"));
    let design = design(&format!("{NEC_ROWS}{}", rows.concat()), NEC, None);
    assert_eq!(pieces(of(&design, "P-yes"), "onnector"), 4.0);
    assert_eq!(pieces(of(&design, "P-no"), "onnector"), 2.0);
}

/// Every feeder follows from all that it leads to: while a circuit two boards down waits, the one above is not ordered either.
#[test]
fn a_feeder_waits_for_what_is_two_boards_down() {
    let basis = IEC.replace("[design]", "[[board]]\nname = \"A\"\n[[board]]\nname = \"B\"\nfed_from = \"A\"\nfeeder_length_m = 20\n[[board]]\nname = \"C\"\nfed_from = \"B\"\nfeeder_length_m = 10\n[design]");
    let row = |ratio: &str| format!("P-1,Pump,C,motor,15,400,3,28,92,0.85,{ratio},2,direct,25,,E,230 V AC,,,\n");
    let parts = |ratio: &str| {
        let design = design(&format!("{ROWS}{}", row(ratio)), &basis, None);
        let board = design.boards.iter().find(|board| board.name == "B").expect("the board").clone();
        let firm = |part: &Part| design.purchase.iter().any(|line| line.part == part.part && line.firm_quantity > 0.0);
        let feeder = board.feeder.parts.clone();
        assert!(!feeder.is_empty());
        (
            of(&design, "P-1").findings.iter().any(|finding| finding.code == "L320"),
            feeder.iter().filter(|part| firm(part)).count(),
        )
    };
    let (assumed, firm) = parts("6");
    assert!(!assumed && firm > 0, "nothing waits: the feeder may be ordered");
    // A ratio of the locked rotor that nobody states is assumed (L320).
    let (assumed, firm) = parts("");
    assert!(assumed);
    assert_eq!(firm, 0, "what leans on assumed data is not ordered");
}

/// A base of a control fuse is bought, so the price list names it and its price counts.
#[rstest::rstest]
#[case("iec", "GEN-CFB")]
#[case("nec", "GEN-NCFB")]
fn bases_of_control_fuses_have_prices(#[case] rules: &str, #[case] base: &str) {
    let prices = catalogue::export(rules).into_iter().find(|(name, _)| name == "prices.csv").expect("the list").1;
    let line = prices.lines().find(|line| line.starts_with(base)).unwrap_or_else(|| panic!("no line of {base}"));
    let number = line.split(',').next().expect("a part").to_owned();
    let temp_dir = range(rules, &|name, text| {
        if name == "prices.csv" { text.replace(&format!("{number},,,,,"), &format!("{number},4.5,EUR,,,")) } else { text }
    });
    let read = catalogue::from_folder(temp_dir.path(), rules).expect("it reads");
    assert!(catalogue::check(&read).iter().all(|finding| !finding.what.contains(&number)));
    assert_eq!(catalogue::Register::new(&read).part(&number).and_then(|part| part.price), Some(4.5));
}

/// The cheapest contactor that holds, by the price list: 40 before 41 although it is larger; a price in another currency is none.
#[test]
fn the_cheapest_is_told_from_the_price_list() {
    let contactor = |price_of_smallest: &str| {
        let temp_dir = range("iec", &|name, text| {
            if name != "prices.csv" {
                return text;
            }
            let price = |line: &str| match line.split(',').next() {
                Some("GEN-C1-6.3") => format!("GEN-C1-6.3,{price_of_smallest},,,\n"),
                Some("GEN-C1-8") => "GEN-C1-8,40,EUR,,,\n".to_owned(),
                Some("GEN-C1-10") => "GEN-C1-10,60,EUR,,,\n".to_owned(),
                _ => format!("{line}\n"),
            };
            text.lines().map(price).collect()
        });
        let basis = format!("{IEC}[catalogue]\nprefer = \"cheapest\"\n");
        let design = design(&format!("{ROWS}{}", small("P-1", "25,,E,230 V AC,,,")), &basis, Some(temp_dir.path()));
        of(&design, "P-1").contactors[0].part.clone()
    };
    assert!(contactor("41,EUR").starts_with("GEN-C1-8"), "{}", contactor("41,EUR"));
    assert!(contactor("39,EUR").starts_with("GEN-C1-6.3"));
    assert!(contactor("39,CHF").starts_with("GEN-C1-8"), "francs are not held against euros");
}

/// Housekeeping of a catalogue is no question to whoever reviews the job: one note tells where it is listed.
#[test]
fn what_a_catalogue_lacks_by_itself_is_not_asked_in_the_job() {
    let temp_dir = range("iec", &|name, text| {
        if name == "accessories.csv" {
            text + "X-1,A cover,shroud,90 91 92,,,0,0,false,false,,,,true,true,,,0,,,,,,,\n"
        } else {
            text
        }
    });
    // The invented part has as many cells as there are headings, or the folder would be refused.
    let Ok(read) = catalogue::from_folder(temp_dir.path(), "iec") else {
        let error = catalogue::from_folder(temp_dir.path(), "iec").expect_err("refused");
        panic!("{:?}", error.findings);
    };
    let points: Vec<String> =
        catalogue::check(&read).into_iter().map(|finding| format!("{} {}", finding.code, finding.what)).collect();
    let misfits: Vec<&String> = points.iter().filter(|point| point.starts_with("K203") && point.contains("X-1")).collect();
    assert_eq!(misfits, ["K203 X-1 fits frames 90, 91 and 92, which no part of the catalogue has"], "one line a part");
    let design = design(&format!("{ROWS}{}", small("P-1", "25,,E,230 V AC,,,")), IEC, Some(temp_dir.path()));
    let of_catalogue: Vec<&str> =
        design.findings.iter().filter(|finding| finding.code.starts_with('K')).map(|finding| finding.code.as_str()).collect();
    assert!(
        of_catalogue.iter().all(|code| ["K213", "K901"].contains(code)) && of_catalogue.contains(&"K213"),
        "{of_catalogue:?}"
    );
}

/// The exported range as a continental spreadsheet saves it: semicolons, decimal commas, texts in quotation marks, a column of one's own.
/// It stays an invented one.
#[test]
fn a_catalogue_as_a_continental_spreadsheet_saves_it_is_read() {
    let continental = |text: &str| {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        let mut first = true;
        let mut lines = String::new();
        for record in reader.records().map(|record| record.expect("a row")) {
            if let Some(comment) = record.get(0).filter(|cell| cell.starts_with('#')) {
                lines += &format!("\"{comment}\";\r\n");
                continue;
            }
            let cells =
                record.iter().map(|cell| if cell.parse::<f64>().is_ok() { cell.replace('.', ",") } else { cell.to_owned() });
            let cells: Vec<String> = cells.map(|cell| if cell.contains(';') { format!("\"{cell}\"") } else { cell }).collect();
            lines += &format!("{};{}\r\n", cells.join(";"), if std::mem::take(&mut first) { "Lieferant" } else { "Haus" });
        }
        format!("\u{feff}{lines}")
    };
    let temp_dir = range("iec", &|_, text| continental(&text));
    let read =
        catalogue::from_folder(temp_dir.path(), "iec").unwrap_or_else(|error| panic!("{error}: {:?}", error.findings.first()));
    let built_in = catalogue::builtin("iec");
    assert!(read.demonstration, "not for procurement");
    assert_eq!(read.contactors.len(), built_in.contactors.len());
    assert_eq!(read.motor_breakers[0].range_min_a, built_in.motor_breakers[0].range_min_a);
    assert_eq!(
        read.cables.iter().map(|cable| cable.size_mm2).sum::<f64>(),
        built_in.cables.iter().map(|cable| cable.size_mm2).sum::<f64>()
    );
    assert!(catalogue::check(&read).iter().any(|check| check.code == "K110" && check.what.contains("Lieferant")));
}

/// Beside decimal commas a point may stand between thousands: 1.250 A is 1250 A or 1.25 A, and nobody can tell which.
#[test]
fn a_figure_that_may_be_thousands_is_refused() {
    let temp_dir = range("iec", &|name, text| {
        if name == "coils.csv" { "code;volts;dc\nA24;24,5;false\nB;1.250;true\n".to_owned() } else { text }
    });
    let error = catalogue::from_folder(temp_dir.path(), "iec").expect_err("it is refused");
    let told: Vec<(&str, &str)> = error.findings.iter().map(|finding| (finding.what.as_str(), finding.cure.as_str())).collect();
    assert_eq!(told, [("volts of B is `1.250`, which is either decimals or thousands", "write 1250 or 1,250")]);
}

/// A coil that draws nothing would need no transformer: 0 is refused where coils of that kind are offered.
#[test]
fn a_coil_without_power_is_refused() {
    let temp_dir = range("iec", &|name, text| {
        if name != "contactors.csv" {
            return text;
        }
        let comments: Vec<&str> = text.lines().take_while(|line| line.starts_with('#')).collect();
        let rows: Vec<&str> = text.lines().skip(comments.len()).collect();
        let table = rows.join("\n");
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let at = reader.headers().expect("headings").iter().position(|header| header == "coil_ac_hold_va").expect("the column");
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(rows[0].split(',')).expect("it writes");
        for record in reader.records().map(|record| record.expect("a row")) {
            let cells = record.iter().enumerate().map(|(column, cell)| if column == at { "0" } else { cell });
            writer.write_record(cells).expect("it writes");
        }
        String::from_utf8(writer.into_inner().expect("bytes")).expect("text")
    });
    let error = catalogue::from_folder(temp_dir.path(), "iec").expect_err("it is refused");
    assert!(
        error.findings.iter().all(|finding| finding.code == "K105" && finding.what.contains("coil_ac_hold_va")),
        "{:?}",
        error.findings.first()
    );
}

/// All that is wrong is told at once, with heading and part, although a column of the owner's own stands in the file.
#[test]
fn wrong_cells_are_told_with_heading_and_part_beside_columns_of_ones_own() {
    let temp_dir = range("iec", &|name, text| {
        if name != "coils.csv" {
            text
        } else {
            "code,volts,dc,Lieferant\nA24,,false,Haus\nB48,x,true,Haus\nC,110,false,\n".to_owned()
        }
    });
    let error = catalogue::from_folder(temp_dir.path(), "iec").expect_err("it is refused");
    let told: Vec<&str> = error.findings.iter().map(|finding| finding.what.as_str()).collect();
    assert_eq!(told, ["volts of A24 is empty, not a number", "volts of B48 is `x`, not a number"]);
}

/// The findings of the verifier on a design on the built-in range.
fn tried(design: &Design) -> Vec<String> {
    let book = motorwright::rules::book(&design.rule_book, None).expect("a book");
    let verifier = motorwright::verify::Verifier::new(&design.basis, book, catalogue::builtin(book.key()), &design.circuits);
    verifier.design(design).into_iter().map(|(_, finding)| format!("{} {}", finding.code, finding.what)).collect()
}

/// The verifier finds a switch that is not made for its place, a check that says the wrong side of its limit, and a feeder that is called
/// firm while what is behind it waits.
#[test]
fn the_verifier_finds_what_a_contractor_must_not_order() {
    let row = "E-1,Fan,,motor,2,460,3,3.1,G,2,direct,55,emt,120 V AC,yes,,rooftop,outdoor\n";
    let whole = design(&format!("{NEC_ROWS}{row}"), NEC, None);
    assert!(tried(&whole).is_empty());
    let mut wrong = whole.clone();
    let indoor =
        catalogue::builtin("nec").disconnects.iter().find(|disconnect| disconnect.part == "GEN-DS3-30-1").expect("a switch");
    for part in wrong.circuits[0].parts.iter_mut().filter(|part| part.part == "GEN-DS3-30-3R") {
        (part.part, part.description) = (indoor.part.clone(), indoor.description.clone());
    }
    let switch = wrong.circuits[0].disconnect.as_mut().expect("a switch");
    (switch.part, switch.enclosure) = (indoor.part.clone(), indoor.enclosure.clone());
    assert!(tried(&wrong).iter().any(|said| said.starts_with("V502") && said.contains("3R")), "{:?}", tried(&wrong));

    let mut turned = whole.clone();
    let check = turned.circuits[0].checks.iter_mut().find(|check| check.name == "breaking-capacity").expect("a check");
    check.sense = Some(motorwright::design::Sense::AtMost);
    assert!(tried(&turned).iter().any(|said| said.starts_with("V801") && said.contains("breaking-capacity")));

    let basis = IEC.replace("[design]", "[[board]]\nname = \"A\"\n[[board]]\nname = \"B\"\nfed_from = \"A\"\nfeeder_length_m = 20\n[[board]]\nname = \"C\"\nfed_from = \"B\"\nfeeder_length_m = 10\n[design]");
    let row = "P-1,Pump,C,motor,15,400,3,28,92,0.85,,2,direct,25,,E,230 V AC,,,\n";
    let mut firm = design(&format!("{ROWS}{row}"), &basis, None);
    let feeder = firm.boards.iter().find(|board| board.name == "B").expect("the board").feeder.part.clone();
    for line in firm.purchase.iter_mut().filter(|line| line.part == feeder) {
        (line.firm_quantity, line.held_quantity, line.status) = (line.quantity, 0.0, PurchaseStatus::Firm);
    }
    assert!(tried(&firm).iter().any(|said| said.starts_with("V901") && said.contains(&feeder)), "{:?}", tried(&firm));
}
