//! Decisions of a person on warnings, as a user meets them: bound to the words that were decided on, seen in every output, and of no
//! effect on errors, failed checks and warnings that read otherwise.

mod common;

use common::{design, design_of, folder_with, run_in};
use motorwright::design::{Circuit, Design, Status};
use motorwright::finding::{Finding, Severity};
use rstest::rstest;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\nprospective_fault_ka = 10\n\
    prospective_fault_min_ka = 3\n[control]\nvoltage = \"230 V AC\"\n[[board]]\nname = \"main board\"\nfeeder_length_m = 20\n";

const SCHEDULE: &str = "tag,rated_power_kw,full_load_current_a,voltage_v,starting_method,service_class,efficiency_class,locked_rotor_ratio,start_time_s,cable_length_m,power_factor,efficiency_pct\n\
    G-1,4,8.1,400,direct,crane,IE2,6,1,20,0.82,86.6\n";

const WHAT: &str = "service class \"crane\": sized as an ordinary load, which does not cover that service";

/// The basis with a decision: its keys, each with its text.
fn with(keys: &[(&str, &str)]) -> String {
    let lines: String = keys.iter().map(|(key, text)| format!("{key} = '{text}'\n")).collect();
    format!("{BASIS}[[decided]]\n{lines}")
}

fn whole() -> Vec<(&'static str, &'static str)> {
    vec![
        ("tag", "G-1"),
        ("code", "L402"),
        ("what", WHAT),
        ("by", "lead engineer"),
        ("date", "2026-11-26"),
        ("why", "checked against IEC 60204-32"),
    ]
}

fn found<'d>(circuit: &'d Circuit, code: &str) -> &'d Finding {
    circuit.findings.iter().find(|finding| finding.code == code).expect("the finding stays")
}

fn not_applied(design: &Design) -> Vec<&str> {
    design.findings.iter().filter(|finding| finding.code == "F111").map(|finding| finding.what.as_str()).collect()
}

#[test]
fn a_warning_that_is_decided_stays_as_a_note_with_the_decision_and_frees_its_circuit() {
    let before = design_of(SCHEDULE, BASIS);
    assert_eq!(
        (before.circuits[0].status, found(&before.circuits[0], "L402").severity),
        (Status::NeedsDecision, Severity::Warning)
    );
    assert_eq!(found(&before.circuits[0], "L402").what, WHAT);
    let after = design_of(SCHEDULE, &with(&whole()));
    let finding = found(&after.circuits[0], "L402");
    assert_eq!(
        (after.circuits[0].status, finding.severity),
        (Status::Sized, Severity::Note),
        "{:#?}",
        after.circuits[0].findings
    );
    assert_eq!(finding.cure, "decided by lead engineer, 2026-11-26: checked against IEC 60204-32");
    assert_eq!((finding.what.as_str(), &finding.reference), (WHAT, &found(&before.circuits[0], "L402").reference));
    assert!(not_applied(&after).is_empty());
    // Nothing else of the circuit is another, and what waited for the decision is firm.
    assert_eq!(before.circuits[0].contactors, after.circuits[0].contactors);
    assert_eq!(before.circuits[0].runs, after.circuits[0].runs);
    let waits = |design: &Design| design.purchase.iter().filter(|line| line.held_quantity > 0.0).count();
    assert!(waits(&after) < waits(&before), "{} {}", waits(&before), waits(&after));
    // The other parts wait for the feeder of the board, whose warning is decided alike.
    let board = &after.boards[0];
    let finding = board.findings.iter().find(|finding| finding.severity == Severity::Warning).expect("a warning of the board");
    let keys = [
        ("tag", board.name.as_str()),
        ("code", finding.code.as_str()),
        ("what", finding.what.as_str()),
        ("by", "x"),
        ("why", "y"),
    ];
    let lines: String = keys.iter().map(|(key, text)| format!("{key} = '{text}'\n")).collect();
    let all = design_of(SCHEDULE, &format!("{}[[decided]]\n{lines}", with(&whole())));
    assert!(waits(&all) == 0 && not_applied(&all).is_empty(), "{:?}", all.findings);
}

#[rstest]
#[case::another_text("what", "service class \"crane\": sized", "reads now: service class \"crane\": sized as an ordinary load")]
#[case::another_code("code", "L403", "no such finding any more")]
#[case::another_row("tag", "G-2", "no circuit and no board bears this tag")]
#[case::nobody("by", " ", "does not say by")]
#[case::no_reason("why", "", "does not say why")]
fn a_decision_that_does_not_fit_is_told_and_changes_nothing(#[case] key: &str, #[case] text: &str, #[case] told: &str) {
    let keys: Vec<_> = whole().into_iter().map(|(name, usual)| (name, if name == key { text } else { usual })).collect();
    let design = design_of(SCHEDULE, &with(&keys));
    assert_eq!(design.circuits[0].status, Status::NeedsDecision);
    assert_eq!(found(&design.circuits[0], "L402").severity, Severity::Warning);
    let findings = not_applied(&design);
    assert!(findings.len() == 1 && findings[0].contains(told), "{findings:?}");
}

/// An error is no matter of a decision, and a check that fails holds its circuit whatever was decided of the finding beside it.
#[test]
fn errors_and_failed_checks_are_never_decided() {
    let fire = SCHEDULE.replace(",crane,", ",fire-pump,");
    let design = design_of(&fire, BASIS);
    let error = design.circuits[0].findings.iter().find(|finding| finding.severity == Severity::Error).expect("an error");
    let of = |finding: &Finding| {
        let what = finding.what.clone();
        let keys = [("tag", "G-1"), ("code", finding.code.as_str()), ("what", what.as_str()), ("by", "x"), ("why", "y")];
        with(&keys)
    };
    let again = design_of(&fire, &of(error));
    assert_eq!(again.circuits[0].status, Status::NotSized);
    assert!(
        not_applied(&again).iter().any(|not_applied| not_applied.contains("only warnings are decided")),
        "{:?}",
        again.findings
    );

    let long = SCHEDULE.replace(",crane,", ",general,").replace(",1,20,", ",1,900,");
    let design = design_of(&long, BASIS);
    let circuit = &design.circuits[0];
    assert!(circuit.checks.iter().any(|check| check.passed == Some(false)), "the case has a check that fails");
    let warning = circuit.findings.iter().find(|finding| finding.code == "C101").expect("it is told");
    let again = design_of(&long, &of(warning));
    assert!(not_applied(&again).is_empty());
    assert_eq!(again.circuits[0].status, Status::NeedsDecision);
}

#[test]
fn a_decision_stands_in_every_output() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("loads.csv"), SCHEDULE).expect("it is written");
    std::fs::write(folder.path().join("basis.toml"), with(&whole())).expect("it is written");
    let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let out = folder.path().join("out");
    let page = std::fs::read_to_string(out.join("submittal.html")).expect("the page");
    for words in ["Decision, G-1 L402", "checked against IEC 60204-32", "Decided by lead engineer, 2026-11-26"] {
        assert!(page.contains(words), "{words}");
    }
    let json = design(&out);
    assert_eq!(json["basis"]["decided"][0]["by"], "lead engineer");
    assert_eq!(json["circuits"][0]["status"], "sized");
}

/// Nobody copies the words of a finding by hand: what `decide` prints, filled in, decides every warning of circuits and boards.
#[test]
fn what_decide_prints_frees_all_once_it_is_filled_in() {
    let folder = tempfile::tempdir().expect("a folder");
    let hostile = SCHEDULE.replacen("tag,", "tag,description,", 1).replace("G-1,", "G-1,\"Gantry \"\"A\"\"\n[supply]\",");
    std::fs::write(folder.path().join("loads.csv"), &hostile).expect("it is written");
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("it is written");
    let decide = |more: &[&str]| run_in(folder.path(), &[&["decide", "loads.csv", "--basis", "basis.toml"], more].concat());
    let all = decide(&[]);
    assert_eq!(all.status, 0, "{}", all.stderr);
    let as_it_is = design_of(&hostile, &format!("{BASIS}{}", all.stdout));
    assert_eq!(as_it_is.circuits[0].status, Status::NeedsDecision, "what is not filled in decides nothing");
    assert!(
        not_applied(&as_it_is).iter().all(|not_applied| not_applied.contains("it does not say by, why")),
        "{:?}",
        as_it_is.findings
    );
    let filled = all.stdout.replace("by = \"\"", "by = \"lead\"").replace("why = \"\"", "why = \"looked at\"");
    let decided = design_of(&hostile, &format!("{BASIS}{filled}"));
    assert_eq!((decided.circuits[0].status, not_applied(&decided).len()), (Status::Sized, 0), "{filled}");
    assert!(decided.boards.iter().flat_map(|board| &board.findings).all(|finding| finding.severity != Severity::Warning));

    let one = decide(&["G-1"]).stdout;
    assert!(one.contains("tag = \"G-1\"") && one.matches("[[decided]]").count() < all.stdout.matches("[[decided]]").count());
    assert_eq!(decide(&["G-2"]).status, 2);
    std::fs::write(folder.path().join("basis.toml"), format!("{BASIS}{filled}")).expect("it is written");
    let nothing = decide(&[]);
    assert!(nothing.status == 0 && !nothing.stdout.contains("[[decided]]"), "{}", nothing.stdout);
}

#[test]
fn decide_says_what_no_decision_settles() {
    let folder = folder_with("loads.csv", SCHEDULE.replace(",1,20,", ",1,900,").as_bytes());
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("it is written");
    let long = run_in(folder.path(), &["decide", "loads.csv", "--basis", "basis.toml"]).stdout;
    assert!(long.contains("It also waits for checks, which no decision settles: ") && !long.contains("C101"), "{long}");
}

/// A load may bear the name of a board: a decision holds for the one whose finding reads so.
#[test]
fn decisions_tell_a_board_from_a_load_of_its_name() {
    let schedule = SCHEDULE.replacen("tag,", "tag,board,", 1).replace("G-1,", "G-1,MCC-1,");
    let load = schedule.lines().nth(1).expect("the row").replace("G-1,MCC-1,", "MCC-1,MAIN,");
    let schedule = format!("{schedule}{load}\n");
    let basis = format!("{BASIS}[[board]]\nname = \"MAIN\"\n[[board]]\nname = \"MCC-1\"\nfed_from = \"MAIN\"\n");
    let before = design_of(&schedule, &basis);
    let warns = |finding: &&Finding| finding.severity == Severity::Warning;
    let load = before.circuits.iter().find(|circuit| circuit.tag == "MCC-1").expect("the load");
    let board = before.boards.iter().find(|board| board.name == "MCC-1").expect("the board");
    let of_load: Vec<&Finding> = load.findings.iter().filter(warns).collect();
    let of_board: Vec<&Finding> = board.findings.iter().filter(warns).collect();
    assert!(!of_load.is_empty() && !of_board.is_empty(), "{:?} {:?}", load.findings, board.findings);
    let quoted = |text: &str| toml::Value::String(text.to_owned()).to_string();
    let entry = |finding: &&Finding| {
        format!(
            "[[decided]]\ntag = \"MCC-1\"\ncode = \"{}\"\nwhat = {}\nby = \"x\"\nwhy = \"y\"\n",
            finding.code,
            quoted(&finding.what)
        )
    };
    let entries: String = of_load.iter().chain(&of_board).map(entry).collect();
    let after = design_of(&schedule, &format!("{basis}{entries}"));
    assert!(not_applied(&after).is_empty(), "{:?}", not_applied(&after));
    let load = after.circuits.iter().find(|circuit| circuit.tag == "MCC-1").expect("the load");
    let board = after.boards.iter().find(|board| board.name == "MCC-1").expect("the board");
    assert!(!load.findings.iter().chain(&board.findings).any(|finding| finding.severity == Severity::Warning));
}
