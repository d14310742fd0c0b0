//! A bounded mutation test of the whole job: schedule, basis, catalogue and an earlier design.json are damaged at random. Each job
//! ends soon and without a panic: refused with a message, or done with a design that can be written and read back. The sequence is
//! fixed; `MOTORWRIGHT_MUTATED_JOBS` says how many jobs.

mod common;

use std::path::Path;
use std::sync::mpsc;

use common::mutation::{Random, TOKENS, mutate, watched};
use common::root;
use motorwright::compare;
use motorwright::design::Design;
use motorwright::project::{self, Options};
use motorwright::report::output;

/// Numbers where a value, a factor or a length may stand.
const NUMBERS: &[&str] =
    &["0", "-1", "1e-9", "1e9", "1e308", "0.5", "3", "99999", "4294967295", "nan", "inf", "\"\"", "true", "[]", "null"];

/// Factors that turn a number into another.
const FACTORS: &[f64] = &[0.0, 0.1, 0.5, 0.9, 2.0, 10.0, 100.0, -1.0];

/// The file in which a job is damaged.
const KINDS: [&str; 4] = ["loads.csv", "basis.toml", "catalogue", "design.json"];

struct Seeds {
    schedules: Vec<Vec<u8>>,
    bases: Vec<Vec<u8>>,
    design: Vec<u8>,
    families: Vec<(String, Vec<u8>)>,
}

fn text(name: &str) -> Vec<u8> {
    std::fs::read(root().join("example-schedules").join(name)).expect("an example")
}

/// The first rows of a schedule: a job of few rows ends soon.
fn few(bytes: &[u8], rows: usize) -> Vec<u8> {
    let text = String::from_utf8_lossy(bytes);
    text.lines().take(rows + 1).map(|line| format!("{line}\n")).collect::<String>().into_bytes()
}

impl Seeds {
    fn new(folder: &Path) -> Self {
        let schedules = vec![text("first-steps.csv"), few(&text("water-works.csv"), 6), few(&text("hospital-hvac.csv"), 6)];
        let network = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nupstream_fault_mva = 200\nearthing = \"TN-S\"\n[[source]]\nname = \"G1\"\nkind = \"generator\"\nkva = 500\nsubtransient_reactance_pct = 12\nsustained_current_ratio = 3\n[[transformer]]\nname = \"T1\"\nto = \"MCC-0\"\nkva = 630\nimpedance_pct = 4\nload_loss_kw = 6.5\nsecondary_voltage_v = 400\n[[board]]\nname = \"MCC-0\"\nfed_from = \"T1\"\n[[board]]\nname = \"MCC-1\"\nfed_from = \"MCC-0\"\nfeeder_length_m = 40\nfeeder_conductor = \"95 mm2 copper xlpe\"\ndemand_factor = 0.8\n[demand]\nstandby = 0.5\n";
        let bases = vec![text("water-works.toml"), text("hospital-hvac.toml"), network.as_bytes().to_vec()];
        std::fs::create_dir(folder.join("range")).expect("a folder");
        let families = motorwright::catalogue::export("iec")
            .into_iter()
            .map(|(name, text)| (name, text.into_owned().into_bytes()))
            .collect();
        std::fs::write(folder.join("loads.csv"), &schedules[0]).expect("a file");
        let design = open(folder, None, "iec").expect("the seed is right").design();
        Self { schedules, bases, design: output::json(&design).expect("it is written"), families }
    }

    /// Damages one of the files of the next job, and puts all of them into the folder.
    fn next(&self, kind: usize, folder: &Path, random: &mut Random) -> Vec<u8> {
        let put = |name: &str, bytes: &[u8]| std::fs::write(folder.join(name), bytes).expect("a file");
        put("loads.csv", random.one::<Vec<u8>>(&self.schedules));
        let basis = random.one::<Vec<u8>>(&self.bases);
        put("basis.toml", basis);
        let damaged = match kind {
            0 => damage(random.one::<Vec<u8>>(&self.schedules), &self.schedules, b',', random),
            1 => damage(basis, &self.bases, b'\n', random),
            2 => {
                let (name, bytes) = random.one(&self.families);
                for (name, bytes) in &self.families {
                    put(&format!("range/{name}"), bytes);
                }
                let damaged = damage(bytes, std::slice::from_ref(bytes), b',', random);
                put(&format!("range/{name}"), &damaged);
                return damaged;
            }
            _ => damage(&self.design, std::slice::from_ref(&self.design), b':', random),
        };
        put(KINDS[kind], &damaged);
        damaged
    }
}

/// Bytes at random, or a number where a value stands: what is still well-formed gets further.
fn damage(seed: &[u8], others: &[Vec<u8>], before_values: u8, random: &mut Random) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    if random.below(3) == 0 {
        mutate(&mut bytes, others, random);
        return bytes;
    }
    // Mild damage turns numbers into others, so that it gets past the door; the rest puts anything anywhere.
    let mild = random.below(3) > 0;
    for _ in 0..=random.below(3) {
        let starts = bytes.iter().enumerate().filter(|(_, byte)| [before_values, b'='].contains(byte)).map(|(at, _)| at + 1);
        let ends = |byte: &u8| [b',', b'\n', b'}', b']'].contains(byte);
        let values: Vec<(std::ops::Range<usize>, Option<f64>)> = starts
            .map(|at| at..bytes[at..].iter().position(ends).map_or(bytes.len(), |length| at + length))
            .map(|range| (range.clone(), std::str::from_utf8(&bytes[range]).ok().and_then(|word| word.trim().parse().ok())))
            .filter(|(_, number)| !mild || number.is_some_and(f64::is_finite))
            .collect();
        if values.is_empty() {
            break;
        }
        let (range, number) = random.one(&values).clone();
        let value = match number {
            Some(number) if mild => (number * random.one(FACTORS)).to_string(),
            _ if random.below(4) == 0 => (*random.one(TOKENS)).to_owned(),
            _ => (*random.one(NUMBERS)).to_owned(),
        };
        bytes.splice(range, value.bytes());
    }
    bytes
}

/// A damaged basis names its own rule book; a schedule is sized under the one or the other.
fn open(folder: &Path, kind: Option<usize>, book: &str) -> Result<project::Inputs, project::ProjectError> {
    project::open(&Options {
        schedule: folder.join("loads.csv"),
        basis: (kind == Some(1)).then(|| folder.join("basis.toml")),
        rules: (kind != Some(1)).then(|| book.to_owned()),
        catalogue: (kind == Some(2)).then(|| folder.join("range")),
        ..Options::default()
    })
}

/// Does a job; tells whether it was done or refused with a message.
fn job(kind: usize, folder: &Path, book: &str, first: &Design) -> bool {
    let refused = |error: project::ProjectError| {
        assert!(!error.message.is_empty() && error.message.len() < 20_000, "{error}");
        false
    };
    if KINDS[kind] == "design.json" {
        return project::read_design(&folder.join("design.json")).map_or_else(refused, |(design, _)| {
            let around = project::surroundings(&design, None);
            let around = around.ok().flatten();
            let trial = around.as_ref().map(|inputs| inputs as compare::Trial<'_>);
            for (old, new) in [(first, &design), (&design, first)] {
                if let Ok(changes) = compare::compare(old, new, &[], trial) {
                    motorwright::report::changes::page::write(&changes, new).expect("the page is written");
                }
            }
            true
        });
    }
    open(folder, Some(kind), book).map_or_else(refused, |inputs| {
        let mut design = inputs.design();
        output::write(&inputs, &mut design, &folder.join("out")).expect("the outputs are written");
        let text = std::fs::read(folder.join("out/design.json")).expect("it is there");
        let again: Design = serde_json::from_slice(&text).expect("it is read back");
        assert_eq!(again, design);
        true
    })
}

#[test]
fn damaged_jobs_end_soon_and_without_a_panic() {
    let wanted = std::env::var("MOTORWRIGHT_MUTATED_JOBS").ok().and_then(|count| count.parse().ok()).unwrap_or(120_u64);
    let (sender, receiver) = mpsc::channel();
    let worker = std::thread::spawn(move || {
        let folder = tempfile::tempdir().expect("a folder");
        let seeds = Seeds::new(folder.path());
        let first: Design = serde_json::from_slice(&seeds.design).expect("the seed is right");
        let mut random = Random(0x0DD5_EED0_F0A5_C4ED);
        let mut done = [0_u64; 4];
        for count in 0..wanted {
            let kind = random.below(KINDS.len());
            let damaged = seeds.next(kind, folder.path(), &mut random);
            sender.send((count, KINDS[kind], damaged)).expect("somebody listens");
            let book = if kind == 0 && random.below(2) == 0 { "nec" } else { "iec" };
            done[kind] += u64::from(job(kind, folder.path(), book, &first));
        }
        done
    });
    let done = watched(&receiver, worker);
    println!("{wanted} jobs, done of {KINDS:?}: {done:?}");
    // A test whose every input is refused at the door would prove nothing.
    assert!(done.iter().all(|count| *count > 0), "{done:?}");
}
