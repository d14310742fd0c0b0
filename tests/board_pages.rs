//! The outputs say of boards what the design holds: the figures of the workbook, the page, the labels, the terminal and the
//! comparison are read back and held against design.json, for a network under each book.

mod common;

use std::path::Path;

use calamine::{Data, Reader, Xlsx};
use common::{Run, design, root, run_in};
use rstest::rstest;
use serde_json::Value as Json;

/// A hospital's boards in a tree: a main switchboard, two boards behind it, and one behind a transformer of the second. Invented.
const HOSPITAL: &str = r#"
[rules]
book = "nec"
[supply]
voltage_v = 480
frequency_hz = 60
phases = 3
system = "480Y/277 4W solidly grounded"
upstream_fault_mva = 250
upstream_x_over_r = 10
transformer_kva = 1500
transformer_impedance_pct = 5.75
x_over_r = 6
[[source]]
name = "EG-1"
kind = "generator"
kva = 750
subtransient_reactance_pct = 12
sustained_current_ratio = 3
[[transformer]]
name = "T-3"
from = "DP-H2"
to = "LP-3"
kva = 112.5
impedance_pct = 3.5
secondary_voltage_v = 208
system = "208Y/120 4W solidly grounded"
[[board]]
name = "MSB"
bus_rating_a = 2000
short_circuit_rating_ka = 42
[[board]]
name = "MCC-H1"
fed_from = "MSB"
feeder_length_ft = 160
[[board]]
name = "DP-H2"
fed_from = "MSB"
feeder_length_ft = 220
[[board]]
name = "LP-3"
fed_from = "T-3"
feeder_length_ft = 30
[design]
controller_family = "nema"
conductor = "copper"
insulation = "thwn-2"
installation_method = "emt"
[starting]
direct_limit_dip_pct = 20
[report]
sheets = "none"
"#;

struct Sized {
    folder: tempfile::TempDir,
    run: Run,
}

impl Sized {
    fn new(name: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |end: &str| root().join("example-schedules").join(format!("{name}.{end}"));
        let basis = folder.path().join("basis.toml");
        match name {
            "hospital-hvac" => std::fs::write(&basis, HOSPITAL).expect("a file"),
            _ => std::fs::copy(at("toml"), &basis).map(|_| ()).expect("a file"),
        }
        std::fs::copy(at("csv"), folder.path().join("loads.csv")).expect("a file");
        let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
        assert_ne!(run.status, 2, "{}", run.stderr);
        Self { folder, run }
    }

    fn out(&self) -> std::path::PathBuf {
        self.folder.path().join("out")
    }

    fn boards(&self) -> Vec<Json> {
        design(&self.out())["boards"].as_array().expect("boards").clone()
    }

    fn page(&self) -> String {
        std::fs::read_to_string(self.out().join("submittal.html")).expect("the page")
    }

    fn explain(&self, arguments: &[&str]) -> Run {
        let all: Vec<&str> =
            ["explain", "loads.csv"].into_iter().chain(arguments.iter().copied()).chain(["--basis", "basis.toml"]).collect();
        run_in(self.folder.path(), &all)
    }
}

/// A table of the workbook: its heads, and its rows down to the first empty line.
fn table(out: &Path, sheet: &str) -> (Vec<String>, Vec<Vec<Data>>) {
    let mut book: Xlsx<_> = calamine::open_workbook(out.join("schedule.xlsx")).expect("it opens");
    let range = book.worksheet_range(sheet).expect("the sheet");
    let right = range.end().expect("cells").1;
    let row =
        |at: u32| -> Vec<Data> { (0..=right).map(|column| range.get_value((at, column)).cloned().unwrap_or_default()).collect() };
    let heads = row(3).iter().map(|data| data.to_string().replace('\n', " ")).collect();
    let rows = (4..).map(row).take_while(|row| row.iter().any(|data| *data != Data::Empty)).collect();
    (heads, rows)
}

fn cell<'r>(heads: &[String], row: &'r [Data], head: &str) -> &'r Data {
    let at = heads.iter().position(|heading| heading == head).unwrap_or_else(|| panic!("no column {head}: {heads:?}"));
    &row[at]
}

/// Whether a cell holds a number of the design to so many decimals; what is unknown is empty, and so is nothing.
fn holds(cell: &Data, value: &Json, decimals: i32) -> bool {
    match (cell, value.as_f64()) {
        (Data::Float(shown), Some(stated)) => (shown - stated).abs() <= 0.5 * 10f64.powi(-decimals) + 1e-9,
        (Data::Int(shown), Some(stated)) => (*shown as f64 - stated).abs() <= 0.5,
        (Data::Empty, None) => true,
        (Data::Empty, Some(stated)) => stated.abs() < 1e-12,
        _ => false,
    }
}

#[rstest]
#[case::iec("pumping-station", 3)]
#[case::nec("hospital-hvac", 4)]
fn the_workbook_holds_every_figure_of_the_boards(#[case] name: &str, #[case] count: usize) {
    let sized = Sized::new(name);
    let boards = sized.boards();
    let (heads, rows) = table(&sized.out(), "Boards");
    assert_eq!((boards.len(), rows.len()), (count, count));
    let numbers: &[(&str, &str, i32)] = &[
        ("Voltage V", "/voltage_v", 0),
        ("Ways", "/ways", 0),
        ("Connected kW", "/connected_kw", 1),
        ("Running kW", "/running_kw", 1),
        ("Running kvar", "/running_kvar", 1),
        ("Power factor", "/power_factor", 2),
        ("Running A", "/running_current_a", 1),
        ("Demand A", "/demand_current_a", 1),
        ("L1 A", "/phase_currents_a/0", 1),
        ("L2 A", "/phase_currents_a/1", 1),
        ("L3 A", "/phase_currents_a/2", 1),
        ("Feeder, least A", "/feeder_minimum_a", 1),
        ("Rating A", "/feeder_protection_a", 1),
        ("Capacity A", "/feeder/run/capacity_a", 1),
        ("Drop from origin %", "/feeder/drop_pct", 2),
        ("Spare %", "/feeder/spare_pct", 1),
        ("Its loading %", "/transformer/loading_pct", 1),
        ("Largest fault kA", "/prospective_fault_ka", 2),
        ("Smallest fault kA", "/prospective_fault_min_ka", 2),
        ("Peak kA", "/peak_ka", 1),
        ("Dip at start %", "/start_dip_pct", 1),
        ("Control supplies VA", "/control_supply_va", 0),
        ("Heat W", "/power_loss_w", 0),
        ("Width mm", "/width_mm", 0),
    ];
    let mut told = 0;
    for (board, row) in boards.iter().zip(&rows) {
        assert_eq!(row[0].to_string(), board["name"].as_str().expect("a name"));
        for (head, at, decimals) in numbers {
            let head = if name == "hospital-hvac" { head.replace("Capacity", "Ampacity") } else { (*head).to_owned() };
            // The US trade measures panels in inches, and in sections: the sum of the devices is called what it is.
            let inches = name == "hospital-hvac" && *at == "/width_mm";
            let head = if inches { "Device rows, total in".to_owned() } else { head };
            // A column that no board uses is left out.
            if !heads.contains(&head) {
                assert!(boards.iter().all(|board| board.pointer(at).and_then(Json::as_f64).unwrap_or(0.0) == 0.0), "{head}");
                continue;
            }
            // What stands before a board without a feeder of its own is for others, and on no list of ours.
            let of_others = *at == "/feeder_protection_a" && board["feeder"]["parts"].as_array().is_none_or(Vec::is_empty);
            let value = board.pointer(at).filter(|_| !of_others).unwrap_or(&Json::Null);
            let value = &if inches {
                value.as_f64().map_or(Json::Null, |millimetres| Json::from(millimetres / 25.4))
            } else {
                value.clone()
            };
            assert!(
                holds(cell(&heads, row, &head), value, *decimals),
                "{} {head}: {:?} for {value}",
                board["name"],
                cell(&heads, row, &head)
            );
            told += 1;
        }
        assert_eq!(cell(&heads, row, "Largest motor").to_string(), board["largest_motor_tag"].as_str().expect("a tag"));
    }
    assert!(told >= 20 * count, "{told}");
}

#[rstest]
#[case::iec("pumping-station")]
#[case::nec("hospital-hvac")]
fn dips_feeders_checks_and_working_stand_on_their_sheets(#[case] name: &str) {
    let sized = Sized::new(name);
    let boards = sized.boards();
    let (heads, rows) = table(&sized.out(), "Starting dips");
    let dips: Vec<(&Json, &Json)> = boards
        .iter()
        .flat_map(|value| value["dips"].as_array().expect("dips").iter().map(move |dip| (&value["name"], dip)))
        .collect();
    assert!(dips.len() > boards.len(), "two feeds");
    assert_eq!(dips.len(), rows.len());
    for ((board, dip), row) in dips.iter().zip(&rows) {
        assert_eq!((row[0].to_string(), row[1].to_string()), (text(board), text(&dip["feed"])));
        assert_eq!(row[3].to_string(), text(&dip["tag"]));
        for (head, key) in [
            ("Voltage before %", "before_pct"),
            ("Voltage during %", "during_pct"),
            ("Dip of the board %", "dip_pct"),
            ("Dip at its terminals %", "terminals_dip_pct"),
        ] {
            assert!(holds(cell(&heads, row, head), &dip[key], 1), "{board} {head}");
        }
    }
    let feeders: Vec<&Json> = boards.iter().filter(|value| !value["feeder"]["run"].is_null()).collect();
    let cables = if name == "hospital-hvac" { "Conductors and raceways" } else { "Cables" };
    let (heads, rows) = table(&sized.out(), cables);
    let of_feeders: Vec<&Vec<Data>> =
        rows.iter().filter(|row| cell(&heads, row, "Run") == &Data::String("feeder".to_owned())).collect();
    assert_eq!(of_feeders.len(), feeders.len());
    for (board, row) in feeders.iter().zip(of_feeders) {
        assert_eq!(row[0].to_string(), text(&board["name"]));
        assert!(holds(cell(&heads, row, "Required A"), &board["feeder"]["run"]["required_a"], 2), "{row:?}");
    }
    let (_, rows) = table(&sized.out(), "Checks");
    let (_, steps) = table(&sized.out(), "Working");
    for board in &boards {
        let of = |rows: &[Vec<Data>]| rows.iter().filter(|row| row[0].to_string() == text(&board["name"])).count();
        assert_eq!(of(&rows), board["checks"].as_array().expect("checks").len());
        assert_eq!(of(&steps), board["working"].as_array().expect("steps").len());
    }
    // The working of boards is live too, but for what has no spreadsheet form.
    let of_boards = steps.iter().filter(|row| boards.iter().any(|value| row[0].to_string() == text(&value["name"])));
    let (live, dead): (Vec<_>, Vec<_>) = of_boards.partition(|row| matches!(row[5], Data::Float(_)));
    assert!(live.len() > 4 * dead.len(), "{} live, {} not", live.len(), dead.len());
    for row in live {
        let (Data::Float(ours), Data::Float(again)) = (&row[4], &row[5]) else { panic!("{row:?}") };
        assert!((ours - again).abs() <= 1e-4 * ours.abs().max(again.abs()), "{row:?}");
    }
}

fn text(json: &Json) -> String {
    json.as_str().unwrap_or_default().to_owned()
}

/// The page without what keeps numbers and units together.
fn plain(page: &str) -> String {
    page.replace(['\u{a0}', '\u{202f}'], " ")
}

#[rstest]
#[case::iec("pumping-station", "MDB")]
#[case::nec("hospital-hvac", "MSB")]
fn the_page_shows_network_and_figures_of_each_board(#[case] name: &str, #[case] main: &str) {
    let sized = Sized::new(name);
    let page = plain(&sized.page());
    let boards = sized.boards();
    let drawing = page.split("<title id=\"net1-t\">").nth(1).expect("the network is drawn");
    let drawing = drawing.split("</svg>").next().expect("its end");
    for (number, board) in (1..).zip(&boards) {
        let named = text(&board["name"]);
        assert!(drawing.contains(&format!("href=\"#board{number}\"")), "{named} leads to its section");
        let part = page.split(&format!("id=\"board{number}\"")).nth(1).expect("a section");
        let part = part.split("<div class=\"board\"").next().expect("its end");
        let number = |pointer: &str, decimals: usize| {
            format!("{:.decimals$}", board.pointer(pointer).and_then(Json::as_f64).expect(pointer))
        };
        for (pointer, decimals) in [("/running_kvar", 1), ("/power_factor", 2)] {
            assert!(part.contains(&format!(">{}<", number(pointer, decimals))), "{named}: {pointer}");
        }
        for dip in board["dips"].as_array().expect("dips") {
            // Three figures beside each other, of which the third is the difference of the others as they stand there.
            let figures = ["before_pct", "during_pct", "dip_pct"].map(|key| dip[key].as_f64().expect("a figure"));
            let shown = [1, 2].map(|decimals| figures.map(|figure| format!("{figure:.decimals$}")));
            let adds_up = |words: &&[String; 3]| {
                let [before, during, by] = words.each_ref().map(|word| word.parse::<f64>().expect("a number"));
                (before - during - by).abs() < 1e-6
            };
            let words = shown.iter().find(adds_up).unwrap_or(&shown[0]);
            assert!(words.iter().all(|word| part.contains(&format!(">{word}<"))), "{named}: {dip}");
        }
        for check in board["checks"].as_array().expect("checks") {
            assert!(
                part.contains(check["reference"].as_str().expect("a clause").split("'").next().unwrap_or_default()),
                "{named}: {check}"
            );
        }
        let device = board["feeder_protection_a"].as_f64().expect("a rating");
        let described = !board["feeder"]["parts"].as_array().expect("parts").is_empty();
        // A board without rows of its own has no ways to draw.
        let ways = board["ways"].as_u64().expect("ways");
        assert_eq!(part.contains("incoming device by others"), !described && ways > 0, "{named}");
        assert_eq!(part.contains("<th scope=\"row\">Device</th>"), described, "{named}");
        if described {
            let words = if device >= 1000.0 {
                format!("{} {:03} A", (device / 1000.0).floor(), device % 1000.0)
            } else {
                format!("{device} A")
            };
            assert!(drawing.contains(&format!(">{words}<")), "{named}: {words}");
        }
    }
    // The words of the drawing tell what stands in too: the bus may be live from both.
    assert!(drawing.contains(&format!("{main} is fed from the supply, ")) && drawing.contains(" stands in."), "{drawing}");
    assert!(page.contains("groups that may start together"));
}

#[rstest]
#[case::iec("pumping-station", "MCC-P")]
#[case::nec("hospital-hvac", "DP-H2")]
fn explain_tells_a_board_by_either_way(#[case] name: &str, #[case] board: &str) {
    let sized = Sized::new(name);
    let (by_key, by_name) = (sized.explain(&["--board", board]), sized.explain(&[board]));
    assert_eq!((by_key.status, &by_key.stdout), (0, &by_name.stdout));
    let json = sized.boards().into_iter().find(|value| value["name"] == board).expect("the board");
    let told = &by_key.stdout;
    let figure = |pointer: &str| {
        let value = json.pointer(pointer).and_then(Json::as_f64).expect(pointer);
        motorwright::record::significant(value, 4)
    };
    // Panels of the US trade have no sum of widths.
    let width = (name == "pumping-station").then_some("/width_mm");
    let pointers = ["/demand_current_a", "/running_current_a", "/prospective_fault_ka", "/prospective_fault_min_ka", "/peak_ka"];
    for pointer in pointers.into_iter().chain(width) {
        assert!(told.contains(&figure(pointer)), "{pointer} {}:\n{told}", figure(pointer));
    }
    assert_eq!(
        told.matches("  passed ").count() + told.matches("  FAILED ").count() + told.matches("  not checked ").count(),
        json["checks"].as_array().expect("checks").len()
    );
    for step in json["working"].as_array().expect("steps") {
        assert!(told.contains(&motorwright::record::significant(step["value"].as_f64().expect("a value"), 5)), "{step}");
    }
    for line in told.lines().filter(|line| !line.starts_with("A calculation aid")) {
        assert!(line.chars().count() <= 100, "{line}");
    }
    let unknown = sized.explain(&["--board", &board[..2].to_lowercase()]);
    assert_eq!(unknown.status, 2);
    assert!(unknown.stderr.contains("there is no board") && unknown.stderr.contains(board), "{}", unknown.stderr);
}

#[test]
fn the_summary_has_a_line_for_each_of_few_boards() {
    let sized = Sized::new("pumping-station");
    for board in sized.boards() {
        let named = format!(
            "board {}: demand {} A",
            text(&board["name"]),
            motorwright::record::significant(board["demand_current_a"].as_f64().expect("amperes"), 4)
        );
        assert_eq!(sized.run.stdout.matches(&named).count(), 1, "{named}:\n{}", sized.run.stdout);
    }
    let rows: String = (1..=9).map(|number| format!("P-{number},Pump,B-{number},5.5,400,10.6,direct,30\n")).collect();
    let csv =
        format!("tag,description,board,rated_power_kw,voltage_v,full_load_current_a,starting_method,cable_length_m\n{rows}");
    let folder = common::folder_with("loads.csv", csv.as_bytes());
    let run = run_in(folder.path(), &["size", "loads.csv", "--rules", "iec"]);
    assert!(run.stdout.contains("boards: 9; ") && !run.stdout.contains("board B-1:"), "{}", run.stdout);
}

#[test]
fn both_ends_of_a_feeder_and_its_outgoing_device_have_labels() {
    let sized = Sized::new("pumping-station");
    let mut reader = csv::Reader::from_path(sized.out().join("labels.csv")).expect("the labels");
    let rows: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("lines");
    let of = |kind: &str| rows.iter().filter(|record| &record[0] == kind && &record[1] == "MCC-P").collect::<Vec<_>>();
    let ends: Vec<&str> = of("cable-tag").iter().map(|record| &record[7]).collect();
    assert_eq!(ends, ["MDB", "MCC-P"]);
    let plates = of("nameplate");
    // That of the feeder's device on the board before, and that of the main switch, which carries the 250 A that the feeder's device lets
    // flow and stands the 12.8 kA of the board.
    let said: Vec<_> = plates.iter().map(|record| (&record[3], &record[4], &record[5])).collect();
    assert_eq!(said, [("Feeder of MCC-P", "250 A, 400 V", "MDB"), ("Main switch of MCC-P", "315 A, 400 V", "MDB")]);
    // The main board's supply is described by nobody.
    assert!(rows.iter().all(|cells| &cells[1] != "MDB"));
}

#[test]
fn compare_tells_figures_of_boards_that_differ_and_nothing_else() {
    let sized = Sized::new("pumping-station");
    let again =
        run_in(sized.folder.path(), &["compare", "out/design.json", "loads.csv", "--basis", "basis.toml", "--format", "json"]);
    let changes: Json = serde_json::from_str(&again.stdout).unwrap_or_else(|_| panic!("{}{}", again.stdout, again.stderr));
    assert_eq!(changes["boards"].as_array().map(Vec::len), Some(0), "{}", changes["boards"]);
    // A longer feeder: what lies behind it changes, what lies beside it does not.
    let basis = std::fs::read_to_string(sized.folder.path().join("basis.toml"))
        .expect("the basis")
        .replace("feeder_length_m = 35", "feeder_length_m = 70");
    std::fs::write(sized.folder.path().join("longer.toml"), basis).expect("a file");
    let run =
        run_in(sized.folder.path(), &["compare", "out/design.json", "loads.csv", "--basis", "longer.toml", "--format", "json"]);
    let changes: Json = serde_json::from_str(&run.stdout).expect("JSON");
    let boards = changes["boards"].as_array().expect("boards");
    let of = |name: &str| boards.iter().find(|value| value["name"] == name);
    let told = |what: &str| {
        of("AUX")
            .and_then(|value| value["changes"].as_array()?.iter().find(|value| value["what"] == what).cloned())
            .unwrap_or_else(|| panic!("{what}: {boards:?}"))
    };
    assert_eq!((told("feeder: length, m")["old"].as_str(), told("feeder: length, m")["new"].as_str()), (Some("35"), Some("70")));
    for what in ["feeder: voltage drop, %", "largest fault current, kA", "smallest fault current, kA"] {
        let change = told(what);
        for side in ["old", "new"] {
            let figure = change[side].as_str().expect("a figure");
            assert!(figure.split_once('.').is_none_or(|(_, decimals)| decimals.len() <= 2), "{what}: {figure}");
        }
    }
    assert!(of("MCC-P").is_none_or(|change| {
        change["changes"].as_array().expect("changes").iter().all(|change| !text(&change["what"]).starts_with("feeder"))
    }));
}

/// A board behind a transformer has the system of the transformer's winding (IEC 60364-1, 312: the system is that of its source), not that
/// of the supply before it; a board without one of its own has that of what feeds it.
#[test]
fn a_board_behind_a_transformer_bears_the_system_of_its_own() {
    let basis = "[supply]\nvoltage_v = 690\nsystem = \"690 V 3L\"\nearthing = \"IT\"\n[[board]]\nname = \"MAIN\"\nvoltage_v = 690\n\
                 prospective_fault_ka = 10\n[[transformer]]\nname = \"T1\"\nfrom = \"MAIN\"\nto = \"MCC\"\nkva = 250\nimpedance_pct = 4\n\
                 secondary_voltage_v = 400\nsystem = \"400 V 3L+N\"\n[[board]]\nname = \"MCC\"\nvoltage_v = 400\nearthing = \"TN-S\"\n\
                 feeder_length_m = 20\n[[board]]\nname = \"SUB\"\nfed_from = \"MCC\"\nvoltage_v = 400\nfeeder_length_m = 10\n";
    let schedule = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\n\
                    P-1,MCC,motor,22,400,3,direct,48\nP-2,SUB,motor,4,400,3,direct,20\nP-3,MAIN,motor,30,690,3,direct,20\n";
    let folder = common::folder_with("loads.csv", schedule.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), format!("[rules]\nbook = \"iec\"\n{basis}")).expect("a file");
    let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert_ne!(run.status, 2, "{}", run.stderr);
    assert!(!run.stdout.contains("V851"), "{}", run.stdout);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("the page");
    let page = plain(&page);
    let boards = design(&folder.path().join("out"))["boards"].as_array().expect("boards").clone();
    for (name, system, earthing) in [("MAIN", "690 V 3L", "IT"), ("MCC", "400 V 3L+N", "TN-S"), ("SUB", "400 V 3L+N", "TN-S")] {
        let number = 1 + boards.iter().position(|board| board["name"] == name).expect(name);
        let board = &boards[number - 1];
        assert_eq!((board["system"].as_str(), board["earthing"].as_str()), (Some(system), Some(earthing)), "{name}");
        let part = page.split(&format!("id=\"board{number}\"")).nth(1).expect("a section");
        let facts = part.split("</dl>").next().expect("its facts");
        assert!(facts.contains(&format!("<dt>system</dt><dd>{system}</dd>")), "{name}: {facts}");
        assert!(facts.contains(&format!("<dt>earthing</dt><dd>{earthing}</dd>")), "{name}: {facts}");
    }
}
