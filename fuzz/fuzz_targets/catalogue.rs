//! Any bytes as one file of a catalogue, the others being the beginnings of those of the built-in range; the first line says which.
//! No panic, no hang; a range that is accepted is checked, shown and used for a small schedule.
#![no_main]

mod common;

use std::path::PathBuf;
use std::sync::LazyLock;

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use motorwright::catalogue::{self, RANGES};
use motorwright::design::Design;
use motorwright::finding::render;

/// Lines of each file: enough for the schedule, few enough to be read often.
const ROWS: usize = 40;

/// The folder, and the files of the built-in ranges: rule book, name, text.
static RANGE: LazyLock<(PathBuf, Vec<(&str, String, String)>)> = LazyLock::new(|| {
    let folder = common::folder();
    let mut files = Vec::new();
    for book in RANGES {
        std::fs::create_dir_all(folder.join(book)).expect("a folder");
        for (name, text) in catalogue::export(book) {
            let few: String = text.lines().take(ROWS).map(|line| format!("{line}\n")).collect();
            std::fs::write(folder.join(book).join(&name), few.as_bytes()).expect("a file");
            files.push((*book, name, few));
        }
    }
    (folder, files)
});

fuzz_target!(|bytes: &[u8]| {
    let Some(end) = bytes.iter().position(|byte| *byte == b'\n') else { return };
    let (folder, files) = &*RANGE;
    let named = |file: &&(&str, String, String)| format!("{}/{}", file.0, file.1).as_bytes() == &bytes[..end];
    let Some((book, name, whole)) = files.iter().find(named) else { return };
    let path = folder.join(book).join(name);
    std::fs::write(&path, &bytes[end + 1..]).expect("a file");
    let range = catalogue::from_folder(&folder.join(book), book);
    let opened = range.is_ok().then(|| common::open(folder, None, Some(book), Some(book)));
    std::fs::write(&path, whole).expect("a file");
    match range {
        Err(error) => {
            assert!(!error.message.is_empty());
            for finding in &error.findings {
                let _ = render(finding, None);
            }
        }
        Ok(range) => {
            for finding in catalogue::check(&range) {
                let _ = render(&finding, None);
            }
            let _ = catalogue::show(&range, name.strip_suffix(".csv")).expect("a family of the range");
        }
    }
    let Some(Ok(inputs)) = opened else { return };
    let design = inputs.design();
    let text = serde_json::to_vec(&design).expect("a design is JSON");
    assert!(serde_json::from_slice::<Design>(&text).expect("it is read back") == design);
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| { common::mutate(data, size, max_size, seed) });
