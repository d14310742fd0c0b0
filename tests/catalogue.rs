//! The commands for the catalogue: show, export and check, for both rule books.

mod common;

use common::run_in;
use rstest::rstest;

#[rstest]
#[case::iec("iec", "moulded_case_breakers.csv", "branch_breakers.csv")]
#[case::nec("nec", "branch_breakers.csv", "moulded_case_breakers.csv")]
fn an_exported_range_is_checked_and_not_overwritten(#[case] rules: &str, #[case] file: &str, #[case] others: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let exported = run_in(folder.path(), &["catalogue", "export", "--rules", rules, "--out", "range"]);
    assert_eq!(exported.status, 0, "{}", exported.stderr);
    assert!(exported.stdout.contains("not for procurement"));
    let range = folder.path().join("range");
    assert!(range.join(file).is_file() && !range.join(others).exists());
    let check = |words: &[&str]| run_in(folder.path(), &[&["catalogue", "check", "--rules", rules], words].concat());
    for words in [&[][..], &["--catalogue", "range"]] {
        let checked = check(words);
        assert_eq!(checked.status, 0, "{}{}", checked.stdout, checked.stderr);
        assert!(checked.stdout.contains("fit together"), "{}", checked.stdout);
    }
    let again = run_in(folder.path(), &["catalogue", "export", "--rules", rules, "--out", "range"]);
    assert_eq!(again.status, 2);
    assert!(again.stderr.contains("not overwritten"), "{}", again.stderr);
    // A gap between setting ranges is said, and a missing file stops.
    let relays = range.join("overload_relays.csv");
    let text = std::fs::read_to_string(&relays).expect("it reads");
    // Only the first and the last of the electronic relays stay.
    let electronic: Vec<&str> = text.lines().filter(|line| line.contains(",electronic,")).collect();
    let ends = [electronic.first(), electronic.last()];
    let fewer: Vec<&str> = text.lines().filter(|line| !line.contains(",electronic,") || ends.contains(&Some(line))).collect();
    std::fs::write(&relays, fewer.join("\n")).expect("it writes");
    let gaps = check(&["--catalogue", "range"]);
    assert_eq!(gaps.status, 1, "{}", gaps.stdout);
    assert!(gaps.stdout.contains("K201"), "{}", gaps.stdout);
    std::fs::remove_file(range.join(file)).expect("it was there");
    let missing = check(&["--catalogue", "range"]);
    assert_eq!(missing.status, 2);
    assert!(missing.stderr.contains("K101") && missing.stderr.contains(file), "{}", missing.stderr);
}

#[test]
fn families_of_the_nec_range_are_shown() {
    let folder = tempfile::tempdir().expect("a folder");
    let show = |words: &[&str]| run_in(folder.path(), &[&["catalogue", "show", "--rules", "nec"], words].concat());
    let list = show(&[]);
    assert_eq!(list.status, 0, "{}", list.stderr);
    for (family, part) in [
        ("branch_breakers", "GEN-BI3-30"),
        ("disconnects", "NEMA 3R"),
        ("raceways", "GEN-EMT-1.2"),
        ("control_transformers", "GEN-CT-480-120-100"),
    ] {
        assert!(list.stdout.contains(family), "{family}");
        let table = show(&[family]);
        assert!(table.stdout.contains(part) && table.stdout.contains("not for procurement"), "{family}: {}", table.stdout);
    }
    // NEMA ICS 2: size 1 is rated 10 hp at 460 V and 27 A.
    assert!(
        show(&["contactors"])
            .stdout
            .lines()
            .any(|line| line.starts_with("GEN-N1 ") && line.contains(" 10 ") && line.ends_with(" 27"))
    );
    assert_eq!(run_in(folder.path(), &["catalogue", "show", "--rules", "other"]).status, 2);
}

#[rstest]
#[case::breaker("branch_breakers.csv", ",false,true,", ",false,false,", "inverse-time")]
#[case::switch_of_fuses("fuses.csv", ",30,true,", ",30,false,", "class-J")]
fn a_disconnecting_means_is_lockable_where_the_catalogue_says_so(
    #[case] file: &str,
    #[case] lockable: &str,
    #[case] not: &str,
    #[case] kind: &str,
) {
    let rows = format!(
        "tag,rated_power_hp,voltage_v,full_load_current_a,starting_method,cable_length_ft,protection_kind\nP-1,5,460,6.6,direct,90,{kind}\n"
    );
    let folder = common::folder_with("loads.csv", rows.as_bytes());
    run_in(folder.path(), &["catalogue", "export", "--rules", "nec", "--out", "range"]);
    let size = |out: &str| {
        let run = run_in(folder.path(), &["size", "loads.csv", "--rules", "nec", "--catalogue", "range", "--out", out]);
        assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
        common::design(&folder.path().join(out))["circuits"][0]["disconnect"]["lockable"].clone()
    };
    assert_eq!(size("first"), true);
    let path = folder.path().join("range").join(file);
    let text = std::fs::read_to_string(&path).expect("it reads");
    assert!(text.contains(lockable));
    std::fs::write(&path, text.replace(lockable, not)).expect("it writes");
    assert_eq!(size("second"), false);
}

#[rstest]
#[case::grounded_wye("480Y/277 4W solidly grounded", true)]
#[case::corner_grounded("480 delta corner-grounded", false)]
#[case::ungrounded("480 delta ungrounded", false)]
#[case::high_resistance("480Y/277 high-resistance grounded", false)]
fn breakers_with_a_slash_rating_alone_serve_solidly_grounded_wye_systems_alone(#[case] system: &str, #[case] served: bool) {
    // NFPA 70, 240.85: the lower voltage to ground, the higher between any two conductors, on a solidly grounded system.
    let folder =
        common::folder_with("loads.csv", b"tag,rated_power_hp,voltage_v,starting_method,cable_length_ft\nP-1,10,460,direct,90\n");
    std::fs::write(folder.path().join("basis.toml"), format!("[rules]\nbook = \"nec\"\n[supply]\nsystem = \"{system}\"\n"))
        .expect("it writes");
    run_in(folder.path(), &["catalogue", "export", "--rules", "nec", "--out", "range"]);
    let path = folder.path().join("range/branch_breakers.csv");
    let text = std::fs::read_to_string(&path).expect("it reads");
    let slashed: Vec<&str> = text.lines().filter(|line| !line.starts_with("GEN-B") || line.contains("480Y/277")).collect();
    assert!(slashed.len() > 10 && slashed.len() < text.lines().count());
    std::fs::write(&path, slashed.join("\n")).expect("it writes");
    let words = ["size", "loads.csv", "--basis", "basis.toml", "--catalogue", "range", "--out", "out"];
    let run = run_in(folder.path(), &words);
    let circuit = common::design(&folder.path().join("out"))["circuits"][0].clone();
    let part = circuit["protection"]["part"].as_str().unwrap_or("").to_owned();
    assert_eq!(part.starts_with("GEN-BY"), served, "{part}: {}{}", run.stdout, run.stderr);
    if served {
        let checks = circuit["checks"].as_array().expect("checks").iter().filter(|value| value["name"] == "voltage-rating");
        assert!(checks.clone().count() == 1 && checks.clone().all(|check| check["passed"] == true));
    } else {
        assert_ne!(circuit["status"], "sized");
    }
}
