//! Any text as a basis: no panic, no hang; what is accepted sizes a small schedule, and its design is written and read back.
#![no_main]

mod common;

use std::path::PathBuf;
use std::sync::LazyLock;

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use motorwright::basis::from_toml;
use motorwright::design::Design;
use motorwright::finding::render;

static FOLDER: LazyLock<PathBuf> = LazyLock::new(common::folder);

fuzz_target!(|text: &str| {
    let Ok((basis, findings)) = from_toml("basis.toml", text) else { return };
    for finding in &findings {
        let _ = render(finding, None);
    }
    std::fs::write(FOLDER.join("basis.toml"), text).expect("a file");
    let book = basis.rules.book.is_none().then_some("iec");
    let Ok(inputs) = common::open(&FOLDER, Some("basis.toml"), None, book) else { return };
    let design = inputs.design();
    let text = serde_json::to_vec(&design).expect("a design is JSON");
    assert!(serde_json::from_slice::<Design>(&text).expect("it is read back") == design);
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| { common::mutate(data, size, max_size, seed) });
