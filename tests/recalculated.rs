//! The workbook in a spreadsheet program: LibreOffice recalculates every formula and saves, and what comes back is held against
//! what was written. Ignored where tests are run one by one, because it needs LibreOffice; `tests/run` installs and runs it.

mod common;

use std::path::{Path, PathBuf};
use std::process::Command;

use calamine::{Data, Reader, Xlsx};
use common::{circuits_without_files, design, root, run_in, with_part};
use rstest::rstest;

/// Largest difference between a value and the recalculated one, relative.
const TOLERANCE: f64 = 1e-6;

/// Without this LibreOffice shows the stored results of files that it did not save itself.
const ALWAYS_RECALCULATE: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"#;

/// Opens a workbook in LibreOffice, recalculates and saves it under its name in another folder.
fn saved_by_libreoffice(workbook: &Path, folder: &Path) -> PathBuf {
    saved_as(workbook, folder, "xlsx:Calc MS Excel 2007 XML")
}

/// The same in a format of LibreOffice: its ending, and its filter where the ending does not tell.
fn saved_as(workbook: &Path, folder: &Path, format: &str) -> PathBuf {
    let profile = folder.join("profile");
    std::fs::create_dir_all(profile.join("user")).expect("a folder");
    std::fs::write(profile.join("user/registrymodifications.xcu"), ALWAYS_RECALCULATE).expect("a file");
    let out = folder.join("saved");
    let output = Command::new("soffice")
        .arg(format!("-env:UserInstallation=file://{}", profile.display()))
        .args(["--headless", "--convert-to", format, "--outdir"])
        .arg(&out)
        .arg(workbook)
        .output()
        .expect("LibreOffice is installed");
    let ending = format.split(':').next().expect("an ending");
    let saved = out.join(workbook.file_name().expect("a name")).with_extension(ending);
    assert!(saved.exists(), "{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    saved
}

struct Sized {
    folder: tempfile::TempDir,
}

impl Sized {
    fn new(name: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |end: &str| root().join("example-schedules").join(format!("{name}.{end}"));
        let sized = Self { folder };
        sized.size(&at("csv"), &at("toml"), "a");
        sized
    }

    fn size(&self, schedule: &Path, basis: &Path, out: &str) {
        let arguments = ["size", &schedule.to_string_lossy(), "--basis", &basis.to_string_lossy(), "--out", out];
        let run = run_in(self.folder.path(), &arguments);
        assert!(run.status < 2, "{}{}", run.stdout, run.stderr);
    }

    fn workbook(&self) -> PathBuf {
        self.folder.path().join("a/schedule.xlsx")
    }
}

/// A formula cell: sheet, row, column, and its value.
type Cells = Vec<(String, (u32, u32), Data)>;

/// Every cell with a formula, and its value.
fn formulas(path: &Path) -> Cells {
    let mut book: Xlsx<_> = calamine::open_workbook(path).expect("it opens");
    let mut cells = Vec::new();
    for sheet in book.sheet_names() {
        let formulas = book.worksheet_formula(&sheet).expect("formulas");
        let values = book.worksheet_range(&sheet).expect("values");
        let (top, left) = formulas.start().unwrap_or_default();
        for (row, column, formula) in formulas.used_cells() {
            if !formula.is_empty() {
                let at = (top + u32::try_from(row).expect("small"), left + u32::try_from(column).expect("small"));
                cells.push((sheet.clone(), at, values.get_value(at).cloned().unwrap_or_default()));
            }
        }
    }
    cells
}

/// Rows of the audit that don't agree once recalculated, and how many do.
fn disagreeing(path: &Path) -> (Vec<u32>, usize) {
    let audit: Cells = formulas(path).into_iter().filter(|(sheet, (_, column), _)| sheet == "Audit" && *column == 1).collect();
    let no = audit.iter().filter(|(.., value)| *value == Data::String("no".to_owned())).map(|(_, (row, _), _)| *row).collect();
    (no, audit.iter().filter(|(.., value)| *value == Data::String("yes".to_owned())).count())
}

#[rstest]
#[case::iec("water-works", 60)]
#[case::nec("hospital-hvac", 50)]
#[case::network("pumping-station", 18)]
#[ignore = "needs LibreOffice; tests/run runs it"]
fn every_formula_gives_what_was_stored(#[case] name: &str, #[case] circuits: usize) {
    let sized = Sized::new(name);
    let saved = saved_by_libreoffice(&sized.workbook(), sized.folder.path());
    let (ours, theirs) = (formulas(&sized.workbook()), formulas(&saved));
    assert_eq!(ours.len(), theirs.len());
    let mut wrong = Vec::new();
    for ((sheet, at, stored), (other, there, value)) in ours.iter().zip(&theirs) {
        assert_eq!((sheet, at), (other, there));
        let agrees = match (stored, value) {
            (Data::Float(ours), Data::Float(theirs)) => (ours - theirs).abs() <= TOLERANCE * ours.abs().max(theirs.abs()),
            // The column of agreement, which nobody has recalculated when it is written.
            (Data::String(stored), Data::String(value)) => stored == "not recalculated" && value == "yes",
            _ => false,
        };
        if !agrees {
            wrong.push(format!("{sheet} {at:?}: stored {stored:?}, recalculated {value:?}"));
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), ours.len(), wrong.join("\n"));
    let rows = |sheet: &str| ours.iter().filter(|(name, ..)| name == sheet).count();
    assert!(rows("Audit") > 5 * circuits && rows("Working") > 20 * circuits, "{} {}", rows("Audit"), rows("Working"));
    assert_eq!(rows("Audit") + rows("Working"), ours.len(), "no formula stands elsewhere");
    let (no, yes) = disagreeing(&saved);
    assert!(no.is_empty() && yes > circuits, "{no:?} {yes}");
}

/// The formulas are live: another power on one row of the audit makes that row disagree, and no other.
#[test]
#[ignore = "needs LibreOffice; tests/run runs it"]
fn a_number_that_was_changed_makes_its_row_disagree() {
    let sized = Sized::new("water-works");
    let mut book: Xlsx<_> = calamine::open_workbook(sized.workbook()).expect("it opens");
    let number = book.sheet_names().iter().position(|name| name == "Audit").expect("the sheet") + 1;
    let power = book.worksheet_range("Audit").expect("the sheet").get_value((5, 5)).cloned();
    assert_eq!(power, Some(Data::Float(75_000.0)), "the first pump has 75 kW");
    let bytes = std::fs::read(sized.workbook()).expect("the workbook");
    let edited = with_part(&bytes, &format!("xl/worksheets/sheet{number}.xml"), &|xml| {
        let start = xml.find("<c r=\"F6\"").expect("the cell");
        let end = start + xml[start..].find("</c>").expect("its end");
        let changed = xml[start..end].replace("<v>75000", "<v>90000");
        assert_ne!(changed, xml[start..end]);
        format!("{}{changed}{}", &xml[..start], &xml[end..])
    });
    let path = sized.folder.path().join("edited.xlsx");
    std::fs::write(&path, edited).expect("a file");
    let saved = saved_by_libreoffice(&path, sized.folder.path());
    let (no, yes) = disagreeing(&saved);
    assert_eq!(no, [5]);
    assert!(yes > 50, "{yes}");
}

#[rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
#[case::network("pumping-station")]
#[ignore = "needs LibreOffice; tests/run runs it"]
fn a_workbook_that_another_program_saved_is_read_alike(
    #[case] name: &str,
    #[values("xlsx:Calc MS Excel 2007 XML", "ods")] format: &str,
) {
    let sized = Sized::new(name);
    let saved = saved_as(&sized.workbook(), sized.folder.path(), format);
    let basis = root().join("example-schedules").join(format!("{name}.toml"));
    sized.size(&saved, &basis, "b");
    let (a, b) = (sized.folder.path().join("a"), sized.folder.path().join("b"));
    assert_eq!(circuits_without_files(&a), circuits_without_files(&b));
    let json = design(&b);
    let codes: Vec<&str> =
        json["findings"].as_array().expect("findings").iter().filter_map(|value| value["code"].as_str()).collect();
    assert!(codes.contains(&"I501"), "results are set aside: {codes:?}");
    assert!(!codes.contains(&"I502") && !codes.contains(&"I503"), "{codes:?}");
}
