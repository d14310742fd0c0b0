//! Any bytes as a workbook; the first byte says under which name. No panic, no hang, bounded memory.
#![no_main]

use libfuzzer_sys::fuzz_target;
use motorwright::intake::{ReadOptions, read_bytes};

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    let name = ["loads.xlsx", "loads.ods", "loads.xls", "loads.xlsm"][usize::from(first % 4)];
    let _ = read_bytes(name, rest, &ReadOptions::default());
});
