//! Any bytes as a design.json: refused, or compared in both directions and taken as the revision before, with what is written of it.
//! No panic, no hang.
#![no_main]

mod common;

use std::path::PathBuf;
use std::sync::LazyLock;

use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};
use motorwright::compare;
use motorwright::design::Design;
use motorwright::project::{Inputs, read_design, surroundings};
use motorwright::report;
use motorwright::rules::units::Units;

struct First {
    folder: PathBuf,
    inputs: Inputs,
    design: Design,
    text: Vec<u8>,
}

static FIRST: LazyLock<First> = LazyLock::new(|| {
    let folder = common::folder();
    let inputs = common::open(&folder, None, None, Some("iec")).expect("the schedule is right");
    let mut design = inputs.design();
    // Steps are text that nobody reads back; without them mutations meet what counts.
    for circuit in &mut design.circuits {
        circuit.working.clear();
    }
    let text = serde_json::to_vec(&design).expect("a design is JSON");
    First { folder, inputs, design, text }
});

fuzz_target!(|bytes: &[u8]| {
    let first = &*FIRST;
    let path = first.folder.join("design.json");
    std::fs::write(&path, bytes).expect("a file");
    let Ok((design, _)) = read_design(&path) else { return };
    let around = surroundings(&design, None).ok().flatten();
    let trial = around.as_ref().map(|inputs| inputs as compare::Trial<'_>);
    for (old, new) in [(&first.design, &design), (&design, &first.design)] {
        if let Ok(changes) = compare::compare(old, new, &[], trial) {
            report::changes::page::write(&changes, new).expect("the page is written");
            report::workbook::changes::write(&changes, old, new).expect("the workbook is written");
            let _ = report::changes::summary(&changes, None, Units::of(&new.rule_book));
        }
    }
    let mut revised = first.design.clone();
    let _ = compare::revision::revise(&mut revised, &design, &[], &first.inputs, None);
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    let first = &FIRST.text;
    // The corpus begins with the design of the small schedule.
    if size < 100 && first.len() <= max_size {
        data[..first.len()].copy_from_slice(first);
        return first.len();
    }
    if seed % 8 == 0 { fuzzer_mutate(data, size, max_size) } else { common::mutate(data, size, max_size, seed) }
});
