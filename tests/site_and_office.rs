//! Pages and sheets as those read them who work with them: the electrician who sets dials, the buyer who releases a board, the reviewer who
//! looks for what is tight, whoever prints. Ranges come from the files of the catalogue, the rest from arithmetic beside it.

mod common;

use std::path::Path;

use calamine::{Data, Reader, Xlsx};
use common::{design_of, folder_with, run_in};

/// A heater of 37.4 kW at 400 V: 37 400 / (1.7321 × 400) = 54.0 A. A pump with a relay, and a row without a power.
const SCHEDULE: &str = "tag,description,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_class,poles,starting_method,locked_rotor_ratio,cable_length_m,protection_kind
H-1,Oven,MCC-1,heater,37.4,400,3,54,,,feeder,,20,moulded-case
P-1,Pump,MCC-1,motor,55,400,3,97,IE3,4,direct,7,30,
P-2,Sump pump,MCC-2,motor,4,400,3,8,IE3,4,direct,7,20,
X-1,Fan,MCC-2,motor,,400,3,,IE3,4,direct,7,20,
";

const BASIS: &str = "[rules]
book = \"iec\"
[supply]
voltage_v = 400
frequency_hz = 50
phases = 3
earthing = \"TN-S\"
prospective_fault_ka = 18
prospective_fault_min_ka = 9
x_over_r = 3
[[source]]
name = \"G1\"
kind = \"generator\"
kva = 400
subtransient_reactance_pct = 14
sustained_current_ratio = 3.5
[[board]]
name = \"MDB\"
fed_from = \"supply, G1\"
[[board]]
name = \"MCC-1\"
fed_from = \"MDB\"
feeder_length_m = 25
incoming = \"circuit-breaker\"
control_voltage = \"24 V DC\"
[[board]]
name = \"MCC-2\"
fed_from = \"MDB\"
feeder_length_m = 20
[design]
ambient_c = 30
";

/// The files of `size`.
struct Files {
    folder: tempfile::TempDir,
}

impl Files {
    fn of(schedule: &str, basis: &str) -> Self {
        let folder = folder_with("s.csv", schedule.as_bytes());
        std::fs::write(folder.path().join("b.toml"), basis).expect("a file");
        let run = run_in(folder.path(), &["size", "s.csv", "--basis", "b.toml", "--out", "out"]);
        assert!(run.status <= 1, "{}", run.stderr);
        Self { folder }
    }

    fn out(&self, name: &str) -> std::path::PathBuf {
        self.folder.path().join("out").join(name)
    }

    fn page(&self) -> String {
        std::fs::read_to_string(self.out("submittal.html")).expect("the page")
    }

    /// Rows of a sheet as words.
    fn sheet(&self, name: &str) -> Vec<Vec<String>> {
        let mut book: Xlsx<_> = calamine::open_workbook(self.out("schedule.xlsx")).expect("it opens");
        let range = book.worksheet_range(name).expect("the sheet");
        let words = |data: &Data| if let Data::Float(number) = data { number.to_string() } else { data.to_string() };
        range.rows().map(|row| row.iter().map(words).collect()).collect()
    }

    /// A part of the workbook as it is stored.
    fn member(&self, name: &str) -> String {
        let file = std::fs::File::open(self.out("schedule.xlsx")).expect("the workbook");
        let mut archive = zip::ZipArchive::new(file).expect("an archive");
        std::io::read_to_string(archive.by_name(name).expect("the part")).expect("text")
    }

    fn explained(&self, arguments: &[&str]) -> String {
        run_in(self.folder.path(), &[&["explain", "s.csv"], arguments, &["--basis", "b.toml"]].concat()).stdout
    }
}

/// A line of a file of the catalogue, by its headings.
fn of_catalogue(file: &str, part: &str) -> impl Fn(&str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/catalogue").join(file);
    let text = std::fs::read_to_string(path).expect("the file");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let heads = reader.headers().expect("heads").clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    let row = rows.into_iter().find(|row| row.get(0) == Some(part)).unwrap_or_else(|| panic!("{part} is in {file}"));
    move |head| row.get(heads.iter().position(|known| known == head).expect("the column")).unwrap_or("").to_owned()
}

fn figure(of: &impl Fn(&str) -> String, head: &str) -> f64 {
    of(head).parse().expect("a number")
}

#[test]
fn whoever_sets_dials_finds_those_of_boards() {
    let (files, design) = (Files::of(SCHEDULE, BASIS), design_of(SCHEDULE, BASIS));
    let board = design.boards.iter().find(|board| board.name == "MCC-1").expect("the board");
    let breaker = of_catalogue("generic/moulded_case_breakers.csv", &board.feeder.part);
    let rated = figure(&breaker, "rating_a");
    let ends = ["magnetic_min_multiple", "magnetic_max_multiple"].map(|end| figure(&breaker, end) * rated);
    let rows = files.sheet("Protection settings");
    let of = |device: &str, what: &str| {
        let found = rows.iter().find(|row| row[0] == "MCC-1" && row[2].starts_with(device) && row[3] == what);
        found.unwrap_or_else(|| panic!("{device}, {what}: {rows:?}")).clone()
    };
    let trip = of("feeder: ", "magnetic release");
    assert_eq!(trip[1], "MDB", "it stands on the board before");
    assert_eq!(trip[4].parse::<f64>().ok(), board.feeder.magnetic_trip_a.map(|trip| (trip * 100.0).round() / 100.0));
    assert_eq!(trip[6], format!("{} to {} A", ends[0], ends[1]));
    // The conductors are held against the rating of the device, so that the dial of its overload release stands there.
    let release = of("feeder: ", "overload release");
    assert_eq!(release[4], rated.to_string());
    assert_eq!(release[6], format!("{} to {} A", figure(&breaker, "range_min_a"), figure(&breaker, "range_max_a")));
    let head = of("incoming circuit-breaker", "magnetic release");
    assert_eq!(head[1], "MCC-1");
    let incoming = board.incoming.as_ref().expect("a device at its head");
    assert_eq!(incoming.magnetic_range_a.map(|range| range[0] <= incoming.magnetic_trip_a.unwrap_or(0.0)), Some(true));
    let supply = rows.iter().find(|row| row[3] == "output voltage").expect("the control supply");
    assert_eq!((supply[4].as_str(), supply[5].as_str()), ("24", "V"));
    let page = files.page();
    let page = page.split("id=\"settings\"").nth(1).and_then(|rest| rest.split("</section>").next()).expect("the section");
    for words in ["feeder: moulded-case circuit-breaker", "incoming circuit-breaker", "output voltage"] {
        assert!(page.contains(words), "{words}");
    }
}

/// A feeder that others bring is theirs to set.
#[test]
fn a_feeder_of_others_has_no_line() {
    let files = Files::of(SCHEDULE, &BASIS.replace("fed_from = \"MDB\"\nfeeder_length_m = 20\n", ""));
    assert!(files.sheet("Protection settings").iter().all(|row| row[0] != "MCC-2" || !row[2].starts_with("feeder")));
}

#[test]
fn a_dial_of_a_board_that_moves_is_told_as_a_setting() {
    let files = Files::of(SCHEDULE, BASIS);
    // A pump of twice the power starts on twice the current, and no breaker of the feeder rides through that as it is set.
    let more = SCHEDULE.replace("P-1,Pump,MCC-1,motor,55,400,3,97", "P-1,Pump,MCC-1,motor,110,400,3,190");
    std::fs::write(files.folder.path().join("n.csv"), more).expect("a file");
    let run = run_in(files.folder.path(), &["compare", "s.csv", "n.csv", "--basis", "b.toml", "--out", "changes"]);
    let changes = std::fs::read_to_string(files.folder.path().join("changes/changes.json")).expect(&run.stderr);
    let changes: serde_json::Value = serde_json::from_str(&changes).expect("JSON");
    let settings = changes["settings"].as_array().expect("settings");
    let of = |what: &str| settings.iter().any(|change| change["tag"] == "MCC-1" && change["what"] == what);
    assert!(of("feeder: magnetic trip") && of("feeder: overload release"), "{settings:?}");
    assert!(of("incoming device: magnetic trip"), "{settings:?}");
}

const CUSTOMARY: &str =
    "tag,description,board,rated_power_hp,voltage_v,phases,full_load_current_a,starting_method,cable_length_ft
P-1,Pump,MCC,25,460,3,31,direct,120
F-1,Fan,MCC,0.5,460,3,1,direct,90
";

const CUSTOMARY_BASIS: &str = "[rules]
book = \"nec\"
[supply]
voltage_v = 480
frequency_hz = 60
phases = 3
system = \"480Y/277 4W solidly grounded\"
prospective_fault_ka = 22
[[board]]
name = \"MCC\"
fed_from = \"UTIL, GEN-1\"
[[source]]
name = \"UTIL\"
kind = \"utility\"
[[source]]
name = \"GEN-1\"
kind = \"generator\"
kva = 500
subtransient_reactance_pct = 14
[design]
ambient_c = 30
";

/// A breaker without a dial is not told to be set, in either trade.
#[test]
fn a_trip_without_a_dial_is_read_and_confirmed() {
    let (files, design) = (Files::of(CUSTOMARY, CUSTOMARY_BASIS), design_of(CUSTOMARY, CUSTOMARY_BASIS));
    let rows = files.sheet("Protection settings");
    let mut fixed = 0;
    for circuit in &design.circuits {
        let device = circuit.protection.as_ref().expect("a device");
        let breaker = of_catalogue("generic-nec/branch_breakers.csv", &device.part);
        let [low, high] = ["instantaneous_min_a", "instantaneous_max_a"].map(|end| figure(&breaker, end));
        let row = rows.iter().find(|row| row[0] == circuit.tag && row[3] == "instantaneous trip").expect("its line");
        let wanted = if low < high { format!("{low} to {high} A") } else { "fixed: read and confirm".to_owned() };
        assert_eq!(row[6], wanted, "{}", circuit.tag);
        fixed += usize::from(low >= high);
    }
    assert!(fixed > 0, "one of them has no dial");
}

/// 63 A before a cable that carries less: what protects it is the dial, which stands wherever the device is named.
#[test]
fn the_dial_of_a_breaker_stands_beside_its_rating() {
    let (files, design) = (Files::of(SCHEDULE, BASIS), design_of(SCHEDULE, BASIS));
    let device = design.circuits[0].protection.as_ref().expect("a device");
    assert_eq!((device.kind.as_str(), device.setting_a), ("moulded-case", Some(54.0)));
    let rated = device.rating_a;
    assert!(files.explained(&["H-1"]).contains(&format!("{rated} A, set to 54 A")), "{}", files.explained(&["H-1"]));
    let page = files.page().replace('\u{a0}', " ");
    assert!(page.contains(&format!("{rated} A, set to 54 A")), "the drawing");
    assert!(page.contains("moulded-case circuit-breaker, set to 54 A"), "what was chosen");
    let rows = files.sheet("Schedule");
    let head = rows.iter().find(|row| row.iter().any(|cell| cell.starts_with("Overload set to"))).expect("heads");
    let at = head.iter().position(|cell| cell.starts_with("Overload set to")).expect("the column");
    let oven = rows.iter().find(|row| row.iter().any(|cell| cell == "H-1")).expect("the row");
    assert_eq!(oven[at], "54");
}

/// Every head of a table says what it heads.
#[test]
fn every_head_has_a_scope_and_no_mark_is_read_aloud() {
    let page = Files::of(SCHEDULE, BASIS).page();
    let heads: Vec<&str> = page.match_indices("<th").map(|(at, _)| page[at..].split('>').next().unwrap_or("")).collect();
    let heads: Vec<&&str> = heads.iter().filter(|head| !head.starts_with("<thead")).collect();
    assert!(heads.len() > 100);
    let without: Vec<_> = heads.iter().filter(|head| !head.starts_with("<th scope=")).collect();
    assert!(without.is_empty(), "{without:?}");
    assert!(!page.contains("<svg class=\"mk\">") && !page.contains("<svg viewBox=\"0 0 100 6\">"));
}

/// A circuit that is not sized is told once in the summary, and a state takes one line of the schedule.
#[test]
fn what_is_open_is_said_once_and_in_one_line() {
    let page = Files::of(SCHEDULE, BASIS).page();
    let section = |id: &str| page.split(&format!("id=\"{id}\"")).nth(1).and_then(|rest| rest.split("</section>").next());
    let summary = section("summary").expect("the summary");
    assert!(summary.contains("Not sized: what is to be entered?") && !summary.contains("<h3>Not sized"), "{summary}");
    let schedule = section("schedule").expect("the schedule").replace('\u{a0}', " ");
    assert!(schedule.contains("needs decision (") && !schedule.contains("1 warning"), "{schedule}");
}

/// The names of print areas are those of the file format. That of the purchase list holds the sums below it.
#[test]
fn every_sheet_of_ours_has_a_print_area() {
    let files = Files::of(SCHEDULE, BASIS);
    let book = files.member("xl/workbook.xml");
    let sheets = book.matches("<sheet ").count();
    assert_eq!(book.matches("_xlnm.Print_Area").count(), sheets, "{book}");
    let areas = book.split("_xlnm.Print_Area").skip(1).filter_map(|rest| rest.split(['>', '<']).nth(1));
    let area = areas.filter_map(|area| area.strip_prefix("'Purchase list'!")).next().expect("its area");
    let last = area.rsplit('$').next().and_then(|row| row.parse::<usize>().ok()).expect("its last row");
    assert!(area.starts_with("$A$1:") && last >= files.sheet("Purchase list").len(), "{area}");
}

#[test]
fn the_buyer_finds_each_board_by_itself() {
    let (files, design) = (Files::of(SCHEDULE, BASIS), design_of(SCHEDULE, BASIS));
    let rows = files.sheet("Purchase by board");
    let rows: Vec<_> = rows.iter().skip_while(|row| row[0] != "Board").skip(1).collect();
    let wanted: usize = design.purchase.iter().map(|line| line.boards.len()).sum();
    assert_eq!(rows.len(), wanted);
    let boards: Vec<&str> = rows.iter().map(|row| row[0].as_str()).collect();
    assert!(boards.contains(&"MCC-1") && boards.contains(&"MCC-2"));
    // The sum over the boards is what all circuits need.
    for line in design.purchase.iter().filter(|line| !line.part.is_empty() && line.quantity > 0.0) {
        let of_boards = rows.iter().filter(|row| row[1] == line.part && row[2] == line.description);
        let sum: f64 = of_boards.filter_map(|row| row[3].parse::<f64>().ok()).sum();
        assert!((sum - line.quantity).abs() <= 1.0, "{}: {sum}, {}", line.part, line.quantity);
    }
}

/// Three pumps alike with one breaker each: P-3 waits for its cable length, so one of the two breakers of MCC-2 waits and none of MCC-1.
#[test]
fn a_part_waits_on_the_board_that_waits() {
    let schedule = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,power_factor,efficiency_pct,poles,starting_method,\
                    locked_rotor_ratio,start_time_s,starts_per_hour,cable_length_m\n\
                    P-1,MCC-1,motor,4,400,3,8,0.82,88.6,4,direct,7,2,6,20\n\
                    P-2,MCC-2,motor,4,400,3,8,0.82,88.6,4,direct,7,2,6,20\n\
                    P-3,MCC-2,motor,4,400,3,8,0.82,88.6,4,direct,7,2,6,\n";
    let design = design_of(schedule, BASIS);
    let breaker = &design.circuits[0].protection.as_ref().expect("a breaker").part;
    let rows = Files::of(schedule, BASIS).sheet("Purchase by board");
    let at = |head: &str| rows.iter().flatten().position(|cell| cell == head).expect("the head") % rows[0].len();
    let columns = ["Board", "Needed", "Status", "On hold", "On hold because", "Used by"].map(at);
    let of_breaker: Vec<_> =
        rows.iter().filter(|row| row[1] == *breaker).map(|row| columns.map(|column| row[column].as_str())).collect();
    assert_eq!(
        of_breaker,
        [["MCC-1", "1", "firm", "", "", "P-1"], ["MCC-2", "2", "hold", "1", "needs a decision: P-3", "P-2, P-3"]]
    );
}

/// Two sources never meet: what transfers a board from one to the other is somebody's to supply.
#[test]
fn a_board_of_two_sources_needs_transfer_equipment() {
    for (schedule, basis, board, source) in [(SCHEDULE, BASIS, "MDB", "G1"), (CUSTOMARY, CUSTOMARY_BASIS, "MCC", "GEN-1")] {
        let (files, design) = (Files::of(schedule, basis), design_of(schedule, basis));
        let lines: Vec<_> =
            design.purchase.iter().filter(|line| line.description.starts_with("transfer equipment of board")).collect();
        let [line] = lines.as_slice() else { panic!("{board}: {lines:?}") };
        assert!(line.description.contains(board) && line.description.contains(source), "{}", line.description);
        assert_eq!(line.status.words(), "by others");
        // The change-over stands in the drawing once, before the bus that either source feeds.
        let page = files.page();
        let from = page.find("One-line diagram of the network").expect("the drawing");
        let drawing = page[from..].split("</svg>").next().expect("its end");
        assert_eq!(drawing.matches("transfer equipment").count(), 1, "{drawing}");
        assert!(drawing.contains("stands in<"), "{drawing}");
    }
    let alone = CUSTOMARY_BASIS.split("[[board]]").next().expect("the supply");
    let design = design_of(CUSTOMARY, alone);
    assert!(design.purchase.iter().all(|line| !line.description.starts_with("transfer equipment")));
}

/// In the customary book a number of conductors stands before their size, the raceway in the schedule, and no sum of device widths.
#[test]
fn conductors_have_their_number() {
    let (files, design) = (Files::of(CUSTOMARY, CUSTOMARY_BASIS), design_of(CUSTOMARY, CUSTOMARY_BASIS));
    // Three phases of the size that was chosen; the equipment grounding conductor is told behind them.
    let conductors = format!("3 × {}", design.circuits[0].runs[0].phase_size);
    let page = files.page().replace('\u{a0}', " ");
    let schedule = page.split("id=\"schedule\"").nth(1).and_then(|rest| rest.split("</section>").next()).expect("the schedule");
    assert!(schedule.contains(&conductors) && schedule.contains("Raceway"), "{schedule}");
    assert!(files.explained(&["P-1"]).contains(&conductors), "{}", files.explained(&["P-1"]));
    assert!(!page.contains("device rows") && !files.explained(&["--board", "MCC"]).contains("device rows"));
}

/// The working of boards agrees to one part in a million, as that of circuits does.
#[test]
fn the_working_of_boards_has_its_numbers_in_full() {
    let design = design_of(SCHEDULE, BASIS);
    let steps: Vec<_> =
        design.boards.iter().flat_map(|board| &board.working).filter(|step| step.with_numbers.contains('=')).collect();
    assert!(steps.len() > 10 && steps.iter().all(|step| step.numbers.len() == step.with_numbers.matches(" = ").count()));
    let files = Files::of(SCHEDULE, BASIS);
    let names = files.member("xl/workbook.xml");
    let at = names.matches("<sheet ").count() - 1;
    let working = files.member(&format!("xl/worksheets/sheet{at}.xml"));
    assert!(working.contains("0.000001") && !working.contains("0.0001*"), "one tolerance");
}

/// A reviewer recalculates the current of the conductors and the highest setting of every circuit that has them. The currents are given,
/// and nothing derates them: the conductors carry 54, 97 and 8 A, and a relay may be set to what its motor takes, or the end of its range.
#[test]
fn the_audit_has_a_formula_in_every_row() {
    let (files, design) = (Files::of(SCHEDULE, BASIS), design_of(SCHEDULE, BASIS));
    let rows = files.sheet("Audit");
    let (names, heads) = (&rows[3], &rows[4]);
    let at = |topic: &str| {
        let first = names.iter().position(|cell| cell.starts_with(topic)).unwrap_or_else(|| panic!("{topic}: {names:?}"));
        heads.iter().enumerate().skip(first).find(|(_, head)| head.starts_with("Recalculated")).expect("its column").0
    };
    let (conductors, setting) = (at("Current of the conductors"), at("Overload set to at most"));
    let mut seen = 0;
    for circuit in design.circuits.iter().filter(|circuit| circuit.runs.iter().any(|run| !run.phase_size.is_empty())) {
        let row = rows.iter().find(|row| row[0] == circuit.tag).expect("the row");
        let given: f64 = match circuit.tag.as_str() {
            "H-1" => 54.0,
            "P-1" => 97.0,
            "P-2" => 8.0,
            tag => panic!("{tag} has conductors"),
        };
        assert_eq!(row[conductors].parse(), Ok(given), "{row:?}");
        let highest = circuit.overload.as_ref().map(|overload| given.min(overload.range_a[1]));
        assert_eq!(row[setting].parse().ok(), highest, "{row:?}");
        seen += 1;
    }
    assert_eq!(seen, 3);
}
