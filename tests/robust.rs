//! The outputs when the world fails: a run is killed, the disk is full, two runs meet, the place is a link. Every file
//! is whole, old or new; what is mixed can be seen by the hashes and is mended by the next run.

mod common;

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use common::{folder_with, run_in};
use motorwright::report::output::foreign;

const FILES: [&str; 5] = ["schedule.xlsx", "submittal.html", "purchase-list.csv", "labels.csv", "design.json"];

fn schedule(power: &str) -> String {
    format!("tag,board,rated_power_kw,starting_method,cable_length_m\nP-1,M,{power},direct,20\nP-2,M,11,star-delta,45\n")
}

/// A command of the program in a folder, not started.
fn program(folder: &Path, schedule: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_motorwright"));
    command.current_dir(folder).args(["size", schedule, "--rules", "iec", "--out", "out"]).stdout(Stdio::null());
    command.stderr(Stdio::null());
    command
}

fn read(folder: &Path) -> Vec<Option<Vec<u8>>> {
    FILES.iter().map(|name| std::fs::read(folder.join("out").join(name)).ok()).collect()
}

fn staged(folder: &Path) -> usize {
    let entries = std::fs::read_dir(folder.join("out")).expect("a folder").flatten();
    entries.filter(|entry| !FILES.contains(&entry.file_name().to_str().unwrap_or_default())).count()
}

/// Two schedules with the outputs of each, and a folder that holds those of the first.
fn two_sets() -> (tempfile::TempDir, [Vec<Option<Vec<u8>>>; 2]) {
    let folder = folder_with("a.csv", schedule("4").as_bytes());
    std::fs::write(folder.path().join("b.csv"), schedule("7.5")).expect("a file");
    let sets = ["b.csv", "a.csv"].map(|name| {
        assert!(run_in(folder.path(), &["size", name, "--rules", "iec", "--out", "out"]).status < 2);
        read(folder.path())
    });
    let [of_b, of_a] = sets;
    assert!(of_a.iter().zip(&of_b).all(|(a, b)| a.is_some() && b.is_some()));
    (folder, [of_a, of_b])
}

/// Runs are killed at moments spread over the whole time that one takes. `MOTORWRIGHT_KILLS` asks for more of them.
#[test]
fn a_killed_run_leaves_every_file_whole_and_the_next_one_mends_the_set() {
    let kills: u32 = std::env::var("MOTORWRIGHT_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(24);
    let (folder, [of_a, of_b]) = two_sets();
    let begun = Instant::now();
    assert!(program(folder.path(), "a.csv").status().expect("it runs").code().is_some());
    let whole = begun.elapsed();
    let (mut mixed, mut killed) = (0, 0);
    for kill in 0..kills {
        let name = if kill % 2 == 0 { "b.csv" } else { "a.csv" };
        let mut run = program(folder.path(), name).spawn().expect("it starts");
        // Most writing happens at the end: half of the kills fall into the last fifth.
        let share = f64::from(kill) / f64::from(kills);
        let share = if kill % 4 < 2 { share } else { 0.8 + 0.3 * share };
        std::thread::sleep(Duration::from_secs_f64(whole.as_secs_f64() * share));
        run.kill().expect("it can be killed");
        killed += u32::from(run.wait().expect("it ends").code().is_none());
        let found = read(folder.path());
        for ((file, one), other) in found.iter().zip(&of_a).zip(&of_b) {
            assert!(file == one || file == other, "a file is neither old nor new after kill {kill}");
        }
        let is_mixed = found != of_a && found != of_b;
        // Both sets have the same labels: a set is mixed where what differs is.
        assert_eq!(is_mixed, !foreign(&folder.path().join("out")).is_empty(), "kill {kill}");
        mixed += u32::from(is_mixed);
    }
    assert!(killed > 0 && mixed <= killed, "{killed} of {kills} runs were killed");
    assert!(program(folder.path(), "b.csv").status().expect("it runs").code().is_some());
    assert_eq!(read(folder.path()), of_b);
    assert_eq!(staged(folder.path()), 0, "what was staged by killed runs is gone");
}

#[test]
fn what_an_interrupted_run_left_is_told_and_mended() {
    let (folder, [of_a, of_b]) = two_sets();
    let out = folder.path().join("out");
    std::fs::write(out.join("schedule.xlsx"), of_b[0].as_deref().expect("a workbook")).expect("a file");
    std::fs::write(out.join(".motorwright-x1"), "half").expect("a file");
    assert_eq!(foreign(&out), ["schedule.xlsx"]);
    let run = run_in(folder.path(), &["size", "a.csv", "--rules", "iec", "--out", "out"]);
    assert!(run.stdout.contains("interrupted here; schedule.xlsx had been of another run"), "{}", run.stdout);
    assert_eq!(read(folder.path()), of_a);
    let again = run_in(folder.path(), &["size", "a.csv", "--rules", "iec", "--out", "out"]);
    assert!(!again.stdout.contains("interrupted"), "{}", again.stdout);
}

#[cfg(unix)]
#[test]
fn a_full_disk_is_told_and_the_old_outputs_stay() {
    let (folder, [of_a, _]) = two_sets();
    // A limit on the size of files stands for the disk; the signal that comes with it is not taken.
    let script = "trap '' XFSZ; ulimit -f 16; exec \"$0\" size b.csv --rules iec --out out";
    let run = Command::new("bash")
        .args(["-c", script, env!("CARGO_BIN_EXE_motorwright")])
        .current_dir(folder.path())
        .output()
        .expect("bash runs");
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.code() == Some(2) && said.contains("can't be written to") && said.contains("--out"), "{said}");
    assert_eq!(read(folder.path()), of_a);
    assert_eq!(staged(folder.path()), 0);
}

/// Inputs that are made to fill the memory end with a message, not with the process: within 2 GiB of addresses, a fraction of what they
/// would unpack to or be copied into.
#[cfg(target_os = "linux")]
#[test]
fn inputs_that_are_made_to_fill_the_memory_end_with_a_message() {
    let spaces = vec![b' '; 32 << 20];
    let names: Vec<String> = (0..20).map(|index| format!("xl/media/{index}")).collect();
    let mut parts: Vec<(&str, &[u8])> = vec![("xl/workbook.xml", b"<workbook/>")];
    parts.extend(names.iter().map(|name| (name.as_str(), spaces.as_slice())));
    let one_cell = format!("tag,rated_power_kw\nP-1,{}\n", "1".repeat(24 << 20));
    let many_columns = format!("tag,{}\nP-1\n", "x,".repeat(1 << 20));
    let many_rows = format!("tag,rated_power_kw,starting_method\n{}", "P-1,4,direct\n".repeat(1 << 20));
    let open_quote = format!("tag,rated_power_kw\nP-1,\"{}", "a\n".repeat(4 << 20));
    let full = r#"<table:table table:name="a"><table:table-row table:number-rows-repeated="190000"><table:table-cell table:number-columns-repeated="1000" office:value-type="float" office:value="1"/></table:table-row></table:table>"#;
    let inputs: [(&str, Vec<u8>); 6] = [
        ("a.xlsx", common::books::archive(&parts)),
        ("a.ods", common::books::ods(full, "")),
        ("one-cell.csv", one_cell.into_bytes()),
        ("many-columns.csv", many_columns.into_bytes()),
        ("many-rows.csv", many_rows.into_bytes()),
        ("open-quote.csv", open_quote.into_bytes()),
    ];
    for (name, bytes) in inputs {
        let folder = folder_with(name, &bytes);
        let run = Command::new("bash")
            .args([
                "-c",
                "ulimit -v 2097152; exec \"$0\" size \"$1\" --rules iec --out out",
                env!("CARGO_BIN_EXE_motorwright"),
                name,
            ])
            .current_dir(folder.path())
            .output()
            .expect("bash runs");
        let said = String::from_utf8_lossy(&run.stderr);
        assert!(run.status.code().is_some_and(|code| code == 1 || code == 2), "{name}: {:?} {said}", run.status);
        assert!(!said.contains("panicked") && !said.contains("memory allocation"), "{name}: {said}");
        let written = FILES.iter().filter(|file| folder.path().join("out").join(file).exists()).count();
        assert!(written == 0 || written == FILES.len(), "{name}: {written} files");
    }
}

/// A folder in which nobody may write: told, status 2, and what is in it stays.
#[cfg(unix)]
#[test]
fn a_folder_in_which_nothing_may_be_written_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, [of_a, _]) = two_sets();
    let out = folder.path().join("out");
    // Whoever may write everywhere is not stopped by permissions: then a place that is no folder stands for one.
    std::fs::set_permissions(&out, std::fs::Permissions::from_mode(0o555)).expect("permissions");
    let stopped = std::fs::write(out.join("try"), "").is_err();
    let _ = std::fs::remove_file(out.join("try"));
    if stopped {
        let run = run_in(folder.path(), &["size", "b.csv", "--rules", "iec", "--out", "out"]);
        assert!(run.status == 2 && run.stderr.contains("--out"), "{} {}", run.status, run.stderr);
    }
    std::fs::set_permissions(&out, std::fs::Permissions::from_mode(0o755)).expect("permissions");
    assert_eq!(read(folder.path()), of_a);
    let run = run_in(folder.path(), &["size", "b.csv", "--rules", "iec", "--out", "a.csv/out"]);
    assert!(run.status == 2 && run.stderr.contains("--out"), "{} {}", run.status, run.stderr);
}

#[cfg(unix)]
#[test]
fn a_link_at_the_place_of_an_output_is_replaced_and_its_target_stays() {
    let (folder, [of_a, _]) = two_sets();
    let (target, place) = (folder.path().join("precious.json"), folder.path().join("out/design.json"));
    std::fs::write(&target, "precious").expect("a file");
    std::fs::remove_file(&place).expect("it was there");
    std::os::unix::fs::symlink(&target, &place).expect("a link");
    assert!(run_in(folder.path(), &["size", "a.csv", "--rules", "iec", "--out", "out"]).status < 2);
    assert_eq!(std::fs::read(&target).expect("it stays"), b"precious");
    assert!(!std::fs::symlink_metadata(&place).expect("it is there").is_symlink());
    assert_eq!(read(folder.path()), of_a);
}

#[test]
fn of_two_runs_into_one_folder_one_may_be_refused_and_the_set_is_that_of_one() {
    let (folder, [of_a, of_b]) = two_sets();
    for _ in 0..6 {
        let mut runs = ["a.csv", "b.csv", "a.csv"].map(|name| program(folder.path(), name).spawn().expect("it starts"));
        let ends: Vec<_> = runs.iter_mut().map(|run| run.wait().expect("it ends").code()).collect();
        assert!(ends.iter().all(|code| matches!(code, Some(0..=2))), "{ends:?}");
        assert!(ends.iter().any(|code| matches!(code, Some(0 | 1))), "{ends:?}");
        let found = read(folder.path());
        assert!(found == of_a || found == of_b);
        assert_eq!(staged(folder.path()), 0);
    }
}

#[cfg(unix)]
#[test]
fn a_folder_that_another_run_holds_is_refused() {
    let (folder, [of_a, _]) = two_sets();
    let held = std::fs::File::open(folder.path().join("out")).expect("a folder");
    held.lock().expect("it can be held");
    let run = run_in(folder.path(), &["size", "b.csv", "--rules", "iec", "--out", "out"]);
    assert!(run.status == 2 && run.stderr.contains("another run is writing"), "{}", run.stderr);
    assert_eq!(read(folder.path()), of_a);
}

/// One row alone is below the number that is worth threads: the example's rows over and over are not.
#[test]
fn the_outputs_are_the_same_on_any_number_of_threads_and_in_any_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("example-schedules");
    let example = std::fs::read_to_string(root.join("first-steps.csv")).expect("the example");
    let (head, rows) = example.split_once('\n').expect("rows");
    let mut many = format!("{head}\n");
    for copy in 0..60 {
        for row in rows.lines().filter(|row| !row.is_empty()) {
            many.push_str(&format!("{copy}-{row}\n"));
        }
    }
    std::fs::write(folder.path().join("many.csv"), many).expect("a file");
    let run = |threads: &str, variables: &[(&str, &str)]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_motorwright"));
        command.current_dir(folder.path()).args(["size", "many.csv", "--rules", "iec", "--out", "out", "--threads", threads]);
        let ran = command.envs(variables.iter().copied()).output().expect("it runs");
        assert!(ran.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&ran.stderr));
        (ran.stdout, read(folder.path()))
    };
    let one = run("1", &[]);
    assert!(one.1.iter().all(Option::is_some));
    assert!(one == run("2", &[("TZ", "Pacific/Kiritimati"), ("LC_ALL", "de_DE.UTF-8")]));
    assert!(one == run("8", &[("TZ", "America/St_Johns"), ("LANG", "tr_TR.UTF-8"), ("LC_ALL", "C")]));
}

/// Who forbids others to read new files (umask 077) has outputs that nobody else reads; the usual mask lets them be read.
#[cfg(unix)]
#[rstest::rstest]
#[case::private("077", 0o600)]
#[case::group("027", 0o640)]
#[case::usual("022", 0o644)]
fn outputs_are_read_by_whom_the_mask_of_the_user_lets(#[case] mask: &str, #[case] mode: u32) {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder_with("a.csv", schedule("4").as_bytes());
    let script = format!("umask {mask}; exec \"$0\" size a.csv --rules iec --out out");
    let mut shell = Command::new("sh");
    let run = shell.args(["-c", &script, env!("CARGO_BIN_EXE_motorwright")]).current_dir(folder.path()).stdout(Stdio::null());
    assert!(run.stderr(Stdio::null()).status().expect("it runs").code().is_some_and(|status| status < 2));
    for name in FILES {
        let file = std::fs::metadata(folder.path().join("out").join(name)).expect(name);
        assert_eq!(file.permissions().mode() & 0o777, mode, "{name}");
    }
}
