//! Any bytes as delimited text: no panic, no hang, and every finding can be shown.
#![no_main]

use libfuzzer_sys::fuzz_target;
use motorwright::finding::render;
use motorwright::intake::{ReadOptions, excerpt, read_csv_bytes};

fuzz_target!(|bytes: &[u8]| {
    if let Ok(intake) = read_csv_bytes("loads.csv", bytes, &ReadOptions::default()) {
        for finding in &intake.findings {
            let _ = render(finding, excerpt(&intake, finding).as_ref());
        }
    }
});
