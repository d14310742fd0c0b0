//! What a user sees of the catalogue: show, export and check, for both rule books.

mod common;

use common::run_in;
use rstest::rstest;

#[rstest]
#[case::iec("iec", "moulded_case_breakers.csv", "branch_breakers.csv")]
#[case::nec("nec", "branch_breakers.csv", "moulded_case_breakers.csv")]
fn an_exported_range_is_checked_and_not_overwritten(#[case] rules: &str, #[case] own: &str, #[case] others: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let exported = run_in(folder.path(), &["catalogue", "export", "--rules", rules, "--out", "range"]);
    assert_eq!(exported.status, 0, "{}", exported.stderr);
    assert!(exported.stdout.contains("not for procurement"));
    let range = folder.path().join("range");
    assert!(range.join(own).is_file() && !range.join(others).exists());
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
    // Of the electronic relays only the first and the last stay.
    let electronic: Vec<&str> = text.lines().filter(|line| line.contains(",electronic,")).collect();
    let ends = [electronic.first(), electronic.last()];
    let fewer: Vec<&str> = text.lines().filter(|line| !line.contains(",electronic,") || ends.contains(&Some(line))).collect();
    std::fs::write(&relays, fewer.join("\n")).expect("it writes");
    let gaps = check(&["--catalogue", "range"]);
    assert_eq!(gaps.status, 1, "{}", gaps.stdout);
    assert!(gaps.stdout.contains("K201"), "{}", gaps.stdout);
    std::fs::remove_file(range.join(own)).expect("it was there");
    let missing = check(&["--catalogue", "range"]);
    assert_eq!(missing.status, 2);
    assert!(missing.stderr.contains("K101") && missing.stderr.contains(own), "{}", missing.stderr);
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
