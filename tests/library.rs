//! The library without the command line: what is in memory gives the design that the same files give, and failures have kinds.

use std::path::{Path, PathBuf};

use motorwright::catalogue::{self, Catalogue};
use motorwright::design::Counts;
use motorwright::intake::{self, IntakeErrorKind, ReadOptions};
use motorwright::project::{self, Inputs, Options, ProjectErrorKind, ReadBasis};
use motorwright::rules::{self, BookError, RuleBook};
use rstest::rstest;

const SCHEDULE: &str = "tag,board,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\n\
                        P-1,MCC-1,7.5,400,3,direct,48\nP-2,MCC-1,90,400,3,star-delta,60\nP-3,MCC-1,11,400,3,,20\n";
const BASIS: &str = "[rules]\nbook = \"iec\"\n\n[design]\nambient_c = 45\nmistyped = 1\n\n\
                     [[board]]\nname = \"MCC-1\"\nvoltage_v = 400\nprospective_fault_ka = 20\n";

/// A folder with schedule and basis.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("loads.csv"), SCHEDULE).expect("it is written");
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("it is written");
    folder
}

fn options(folder: &Path) -> Options {
    Options { schedule: folder.join("loads.csv"), basis: Some(folder.join("basis.toml")), ..Options::default() }
}

fn iec() -> &'static dyn RuleBook {
    rules::book("iec", None).expect("a book")
}

fn from_memory(catalogue: Option<Catalogue>) -> Inputs {
    let loads = intake::read_bytes("loads.csv", SCHEDULE.as_bytes(), &ReadOptions::default()).expect("it reads");
    let basis = ReadBasis::from_toml("basis.toml", BASIS).expect("it reads");
    Inputs::new(loads, basis, iec(), catalogue)
}

#[test]
fn what_is_in_memory_gives_the_design_of_the_same_files() {
    let folder = folder();
    let from_files = project::open(&options(folder.path())).expect("it opens").design();
    let mut design = from_memory(None).design();
    assert!(design.inputs.is_empty() && from_files.inputs.len() == 2, "files are named where there were some");
    design.inputs.clone_from(&from_files.inputs);
    assert_eq!(design, from_files);
    assert!(design.findings.iter().any(|finding| finding.what.contains("mistyped")), "findings of the basis come along");
}

#[test]
fn a_catalogue_in_memory_is_that_of_its_files() {
    let exported = catalogue::export("iec");
    let files: Vec<(&str, &[u8])> = exported.iter().map(|(name, text)| (name.as_str(), text.as_bytes())).collect();
    let priced = catalogue::from_memory("mine", &files, "iec").expect("it reads");
    assert!(priced.demonstration);
    let circuits = from_memory(Some(priced)).design().circuits;
    assert_eq!(circuits, from_memory(None).design().circuits);
    let without: Vec<_> = files.into_iter().filter(|(name, _)| *name != "contactors.csv").collect();
    let error = catalogue::from_memory("mine", &without, "iec").expect_err("it lacks a family");
    assert_eq!(error.findings[0].code, "K101");
}

#[test]
fn a_row_is_sized_by_itself_and_counted_by_its_state() {
    let inputs = from_memory(None);
    let design = inputs.design();
    let row = inputs.size(1).expect("the second row");
    assert_eq!((row.circuit.tag.as_str(), row.circuit.contactors.len()), ("P-2", 3));
    assert!(row.current_assumed && !row.record.steps().is_empty(), "no row states its current");
    assert!(inputs.size(3).is_none() && inputs.working(3).is_empty(), "there are three rows");
    let Counts { sized, needs_decision, not_sized } = design.counts();
    assert_eq!((sized + needs_decision + not_sized, not_sized), (3, 1), "the last row names no method");
}

type Change = fn(&Path, Options) -> Options;

#[rstest]
#[case::no_schedule(ProjectErrorKind::Schedule, |_: &Path, options| Options { schedule: PathBuf::from("not there.csv"), ..options })]
#[case::no_load(ProjectErrorKind::Schedule, |folder: &Path, options| {
    std::fs::write(folder.join("loads.csv"), SCHEDULE.lines().next().expect("the headings")).expect("it is written");
    options
})]
#[case::no_basis(ProjectErrorKind::Basis, |_: &Path, options| Options { basis: Some(PathBuf::from("not there.toml")), ..options })]
#[case::no_toml(ProjectErrorKind::Basis, |folder: &Path, options| {
    std::fs::write(folder.join("basis.toml"), "[rules").expect("it is written");
    options
})]
#[case::nobody_names_a_book(ProjectErrorKind::NoRuleBook, |_: &Path, options| Options { basis: None, ..options })]
#[case::no_such_book(ProjectErrorKind::RuleBook, |_: &Path, options| Options { rules: Some("none".to_owned()), ..options })]
#[case::no_catalogue(ProjectErrorKind::Catalogue, |folder: &Path, options| Options { catalogue: Some(folder.join("none")), ..options })]
fn what_failed_is_told_by_its_kind(#[case] kind: ProjectErrorKind, #[case] change: Change) {
    let folder = folder();
    let options = change(folder.path(), options(folder.path()));
    let error = project::open(&options).err().expect("it can't be opened");
    assert_eq!(error.kind, kind, "{error}");
    assert!(!error.message.is_empty());
}

#[test]
fn a_schedule_that_cannot_be_read_says_why_by_its_kind() {
    let folder = folder();
    let why = |options: Options| project::open(&options).err().expect("it can't be opened").schedule;
    let missing = Options { schedule: PathBuf::from("not there.csv"), ..options(folder.path()) };
    assert_eq!(why(missing), Some(IntakeErrorKind::Missing));
    std::fs::write(folder.path().join("loads.csv"), "").expect("it is written");
    assert_eq!(why(options(folder.path())), Some(IntakeErrorKind::Empty));
    let no_basis = Options { basis: Some(PathBuf::from("not there.toml")), ..options(folder.path()) };
    assert_eq!(why(no_basis), None);
}

#[test]
fn what_is_no_design_is_told_by_its_kind() {
    let folder = folder();
    let error = project::read_design(&folder.path().join("loads.csv")).expect_err("it is a schedule");
    assert_eq!(error.kind, ProjectErrorKind::Earlier, "{error}");
}

#[test]
fn the_range_without_a_catalogue_is_that_of_the_book() {
    let nec = rules::book("nec", None).expect("a book");
    let loads = || intake::read_bytes("loads.csv", SCHEDULE.as_bytes(), &ReadOptions::default()).expect("it reads");
    let of = |book| Inputs::new(loads(), ReadBasis::default(), book, None).catalogue().sha256.clone();
    assert_eq!((of(iec()), of(nec)), (catalogue::builtin("iec").sha256.clone(), catalogue::builtin("nec").sha256.clone()));
    assert_ne!(of(iec()), of(nec));
}

#[test]
fn a_book_that_is_not_there_is_told_by_its_kind() {
    let error = |name: &str, edition| rules::book(name, edition).err().expect("there is none");
    assert_eq!(error("vde", None), BookError::UnknownBook("vde".to_owned()));
    assert_eq!(error("nec", Some("1999")), BookError::UnknownEdition("1999".to_owned()));
    assert!(error("nec", Some("1999")).to_string().contains("2017, 2020, 2023"), "the message says which there are");
}
