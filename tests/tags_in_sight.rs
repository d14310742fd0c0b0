//! The tag of a row stays in sight beside its results, on screen and on every printed page, whatever its heading is called.

mod common;

use std::fs;
use std::io::Read;

use common::{folder_with, run_in};

/// Text of a part of a workbook.
fn part(bytes: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).expect("an archive");
    let mut text = String::new();
    archive.by_name(name).expect("the part").read_to_string(&mut text).expect("its text");
    text
}

/// A list with positions before the tags: two columns stay in sight (ECMA-376, 18.3.1.66, `xSplit`) and repeat (18.2.5, print titles).
#[test]
fn a_tag_behind_a_position_is_kept_in_sight() {
    for tag in ["BMK", "Item no."] {
        let rows = format!("Pos.;{tag};Leistung kW;Nennstrom A;Spannung V;Startart;Kabellänge m\n1;-2M1;4;8,5;400;direkt;20\n");
        let folder = folder_with("loads.csv", rows.as_bytes());
        let arguments = ["size", "loads.csv", "--rules", "iec", "--out", "out", "--map", &format!("{tag}=tag")];
        assert!(run_in(folder.path(), &arguments).status < 2);
        let workbook = fs::read(folder.path().join("out/schedule.xlsx")).expect("the workbook");
        assert!(part(&workbook, "xl/worksheets/sheet1.xml").contains("xSplit=\"2\""), "{tag}");
        assert!(part(&workbook, "xl/workbook.xml").contains("$A:$B,"), "{tag}");
    }
}
