//! The incoming device of a board, as a user meets it: the files of `size`, `explain`, `compare`, a folder without the family, a design of
//! an earlier version.

use std::path::{Path, PathBuf};
use std::process::Command;

use motorwright::design::{Board, Design, PurchaseStatus};

/// A pump of 55 kW and a fan of 15 kW on a board behind 25 m of feeder; a second board that nobody says what feeds.
const SCHEDULE: &str = "tag,description,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_class,poles,starting_method,locked_rotor_ratio,cable_length_m
P-1,Pump,MCC-1,motor,55,400,3,97,IE3,4,soft-starter,7,30
F-1,Fan,MCC-1,motor,15,400,3,28,IE3,4,direct,7,20
P-2,Sump pump,MCC-2,motor,4,400,3,8,IE3,4,direct,7,20
";

const BASIS: &str = "[rules]
book = \"iec\"
[supply]
voltage_v = 400
frequency_hz = 50
phases = 3
earthing = \"TN-S\"
prospective_fault_ka = 9
prospective_fault_min_ka = 5
x_over_r = 3
[[board]]
name = \"MDB\"
[[board]]
name = \"MCC-1\"
fed_from = \"MDB\"
feeder_length_m = 25
INCOMING
[[board]]
name = \"MCC-2\"
[design]
ambient_c = 30
";

fn basis(incoming: &str) -> String {
    BASIS.replace("INCOMING", incoming)
}

struct Job {
    folder: tempfile::TempDir,
}

impl Job {
    fn new(basis: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("s.csv"), SCHEDULE).expect("a file");
        std::fs::write(folder.path().join("b.toml"), basis).expect("a file");
        Self { folder }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn run(&self, arguments: &[&str]) -> (String, String, i32) {
        let output = Command::new(env!("CARGO_BIN_EXE_motorwright"))
            .current_dir(self.folder.path())
            .args(arguments)
            .output()
            .expect("the program runs");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
        (text(output.stdout), text(output.stderr), output.status.code().unwrap_or(-1))
    }

    fn sized(&self, extra: &[&str]) -> Design {
        let (out, said, status) = self.run(&[&["size", "s.csv", "--basis", "b.toml", "--out", "out"], extra].concat());
        assert_eq!(status, 0, "{out}{said}");
        design(&self.path("out/design.json"))
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("a file")
    }
}

fn design(path: &Path) -> Design {
    serde_json::from_str(&std::fs::read_to_string(path).expect("a design")).expect("a design")
}

fn board<'d>(design: &'d Design, name: &str) -> &'d Board {
    design.boards.iter().find(|board| board.name == name).expect("the board")
}

/// 97 + 28 A flow (added as phasors a little less), so a switch of 125 A or more; the feeder's device decides. The pump of 97 A behind a
/// soft starter stalls on the line with 679 A once that bypasses it: 125 - 97 + 679 = 707 A, which 8 times 160 A breaks.
#[test]
fn a_switch_is_chosen_checked_bought_and_labelled() {
    let job = Job::new(&basis("incoming = \"switch-disconnector\""));
    let design = job.sized(&[]);
    let fed = board(&design, "MCC-1");
    let head = fed.incoming.as_ref().expect("an incoming device");
    assert_eq!((head.kind.as_str(), head.category.as_str(), head.poles), ("switch-disconnector", "AC-23A", Some(3)));
    let rating = head.rating_a.expect("a rating");
    assert!(rating >= fed.feeder_protection_a && rating >= fed.demand_current_a, "{head:?}");
    let of = |name: &str| {
        let check = fed.checks.iter().find(|check| check.name == name && check.subject == "incoming device");
        check.unwrap_or_else(|| panic!("{name}")).clone()
    };
    let stalled = of("stalled-motor").value.expect("a value");
    assert!((stalled - (fed.running_current_a.max(fed.demand_current_a) - 97.0 + 679.0)).abs() < 0.01, "{stalled}");
    assert_eq!(of("device-before").value, Some(fed.feeder_protection_a));
    assert!(fed.checks.iter().filter(|check| check.subject == "incoming device").all(|check| check.passed == Some(true)));
    assert!(fed.losses.iter().any(|loss| loss.part == head.part && loss.device == "incoming device"));
    let line = design.purchase.iter().find(|line| line.part == head.part).expect("it is bought");
    assert_eq!((line.quantity, line.family.as_str()), (1.0, "switch_disconnectors"));
    assert!(!line.held_because.contains("decision"), "it waits for the circuits of its board alone: {}", line.held_because);
    let labels = job.read("out/labels.csv");
    assert!(labels.contains(&format!("nameplate,MCC-1,MCC-1,Main switch of MCC-1,\"{rating} A, 400 V\"")), "{labels}");
    assert!(job.read("out/purchase-list.csv").contains(&head.part));
    let page = job.read("out/submittal.html");
    assert!(page.contains("Incoming device") && page.contains(&head.part));
    assert!(board(&design, "MCC-2").incoming.is_none() && board(&design, "MDB").incoming.is_none(), "nobody asks for one");
    let (out, _, _) = job.run(&["explain", "s.csv", "--basis", "b.toml", "--board", "MCC-1"]);
    for words in ["incoming     switch-disconnector", "Ib = Id + Is − Ir", "I = k Ie", "device before (incoming device)"] {
        assert!(out.contains(words), "{words}\n{out}");
    }
}

/// Width and heat are those without it and its own.
#[test]
fn it_takes_width_and_gives_off_heat() {
    let [without, with] = ["", "incoming = \"switch-disconnector\""].map(|keys| Job::new(&basis(keys)).sized(&[]));
    let [without, with] = [&without, &with].map(|design| board(design, "MCC-1"));
    let part = &with.incoming.as_ref().expect("an incoming device").part;
    let range = motorwright::catalogue::builtin("iec");
    let row = range.switch_disconnectors.iter().find(|switch| switch.part == *part).expect("a part of the range");
    assert!((with.devices_width_mm - without.devices_width_mm - row.width_mm).abs() < 0.11);
    // Three poles, by the square of the current, and 30 % for wiring as of everything.
    let current = with.running_current_a.max(with.demand_current_a);
    let heat = 3.0 * row.loss_per_pole_w * (current / row.rating_a).powi(2);
    assert!(
        (with.power_loss_w - without.power_loss_w - 1.3 * heat).abs() < 0.2,
        "{} {}",
        with.power_loss_w,
        without.power_loss_w
    );
}

#[test]
fn none_is_a_decision_and_a_wrong_word_is_told() {
    let job = Job::new(&basis("incoming = \"none\""));
    let design = job.sized(&[]);
    let board = board(&design, "MCC-1");
    assert_eq!(board.incoming.as_ref().map(|incoming| incoming.kind.as_str()), Some("none"));
    assert!(board.findings.iter().any(|finding| finding.code == "B335"));
    let wrong = Job::new(&basis("incoming = \"switch-disconector\""));
    let (out, said, _) = wrong.run(&["size", "s.csv", "--basis", "b.toml", "--out", "out"]);
    assert!(format!("{out}{said}").contains("did you mean \"switch-disconnector\"?"), "{out}{said}");
}

/// A board that nobody says what feeds: the switch is chosen, what it must carry for long is open, and its parts wait.
#[test]
fn what_nobody_states_before_it_keeps_it_on_hold() {
    let text = basis("").replace("name = \"MCC-2\"", "name = \"MCC-2\"\nincoming = \"switch-disconnector\"");
    let job = Job::new(&text);
    let design = job.sized(&[]);
    let board = board(&design, "MCC-2");
    let part = &board.incoming.as_ref().expect("an incoming device").part;
    assert!(
        board
            .findings
            .iter()
            .any(|finding| finding.code == "B332" && finding.what.contains("nobody states the device before the board"))
    );
    let line = design.purchase.iter().find(|line| line.part == *part).expect("it is listed");
    assert_eq!(line.status, PurchaseStatus::Hold);
}

#[test]
fn two_revisions_tell_the_other_device() {
    let job = Job::new(&basis("incoming = \"switch-disconnector\""));
    job.sized(&[]);
    std::fs::rename(job.path("out"), job.path("old")).expect("renamed");
    std::fs::write(job.path("b.toml"), basis("incoming = \"circuit-breaker\"")).expect("a file");
    let design = job.sized(&[]);
    let head = board(&design, "MCC-1").incoming.as_ref().expect("an incoming device");
    assert!(head.breaking_ka.is_some_and(|breaking_ka| breaking_ka >= 9.0) && head.category.is_empty(), "{head:?}");
    let (out, said, _) = job.run(&["compare", "old/design.json", "out/design.json", "--out", "changes"]);
    let changes = job.read("changes/changes.json");
    assert!(changes.contains("incoming device") && changes.contains("circuit breaker"), "{out}{said}");
}

/// A folder without the family still reads, and a switch that is asked for is told as one that nobody offers.
#[test]
fn a_catalogue_without_the_family_still_reads() {
    let job = Job::new(&basis("incoming = \"switch-disconnector\""));
    let (out, said, status) = job.run(&["catalogue", "export", "--out", "range"]);
    assert_eq!(status, 0, "{out}{said}");
    std::fs::remove_file(job.path("range/switch_disconnectors.csv")).expect("it was exported");
    let (out, said, _) = job.run(&["catalogue", "check", "--catalogue", "range"]);
    assert!(!format!("{out}{said}").contains("K101"), "{out}{said}");
    let design = job.sized(&["--catalogue", "range"]);
    let board = board(&design, "MCC-1");
    assert!(board.incoming.as_ref().is_some_and(|incoming| incoming.part.is_empty() && incoming.parts.is_empty()));
    assert!(board.findings.iter().any(|finding| finding.code == "B331"));
}

/// A design of before the key was there.
#[test]
fn an_earlier_design_still_reads() {
    let job = Job::new(&basis("incoming = \"switch-disconnector\""));
    job.sized(&[]);
    let text = job.read("out/design.json");
    let mut value: serde_json::Value = serde_json::from_str(&text).expect("json");
    for value in value["boards"].as_array_mut().expect("boards") {
        value.as_object_mut().expect("a board").remove("incoming");
    }
    for value in value["basis"]["board"].as_array_mut().expect("boards of the basis") {
        value.as_object_mut().expect("a board").remove("incoming");
    }
    std::fs::write(job.path("earlier.json"), serde_json::to_string(&value).expect("json")).expect("a file");
    let (out, said, status) = job.run(&["compare", "earlier.json", "out/design.json", "--out", "changes"]);
    assert!(status < 2, "{out}{said}");
    assert!(job.read("changes/changes.json").contains("incoming device"));
}
