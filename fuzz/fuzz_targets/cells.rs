//! Any text as the cell of any column: the parsers of values, tags and supplies, behind a heading row that is known.
#![no_main]

use libfuzzer_sys::fuzz_target;
use motorwright::finding::render;
use motorwright::intake::{ReadOptions, excerpt, read_csv_bytes};
use motorwright::load::FIELDS;

fuzz_target!(|text: &str| {
    let quoted = text.replace('"', "\"\"");
    let heads: Vec<&str> = FIELDS.iter().map(|spec| spec.name).collect();
    let cells: Vec<String> = FIELDS.iter().map(|_| format!("\"{quoted}\"")).collect();
    let csv = format!("{}\n{}\nP-1{}\n", heads.join(","), cells.join(","), ",".repeat(FIELDS.len() - 1));
    if let Ok(intake) = read_csv_bytes("loads.csv", csv.as_bytes(), &ReadOptions::default()) {
        for finding in &intake.findings {
            let _ = render(finding, excerpt(&intake, finding).as_ref());
        }
    }
});
