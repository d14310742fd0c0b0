//! What targets share: values that are put where values stand, and a small schedule in a folder of its own.

use std::path::{Path, PathBuf};

use motorwright::project::{self, Inputs, Options, ProjectError};

/// What is put where a value stands: what is still well-formed gets further than bytes at random.
const VALUES: &[&str] = &[
    "",
    "0",
    "-0.0",
    "-1",
    "1",
    "3",
    "0.001",
    "1e-300",
    "99999",
    "1e9",
    "1e308",
    "4294967296",
    "18446744073709551616",
    "nan",
    "inf",
    "null",
    "true",
    "false",
    "[]",
    "{}",
    "\"\"",
    "\"x\"",
    "\"400\"",
    "\"50 mm2 copper xlpe\"",
    "x",
    "gG",
];

/// What turns a number into another.
const FACTORS: &[f64] = &[0.0, 0.01, 0.5, 0.9, 1.1, 2.0, 10.0, 1000.0, -1.0];

/// Pseudo-random numbers (xorshift*) from the seed of the fuzzer.
struct Random(u64);

impl Random {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        usize::try_from(self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) % most.max(1) as u64).unwrap_or(0)
    }
}

/// Changes an input: every second time one to three values of it, otherwise bytes as the fuzzer does.
pub(crate) fn mutate(data: &mut [u8], size: usize, most: usize, seed: u32) -> usize {
    let mut random = Random(u64::from(seed).wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    if random.below(2) == 0 {
        return libfuzzer_sys::fuzzer_mutate(data, size, most);
    }
    let mut bytes = data[..size].to_vec();
    for _ in 0..=random.below(3) {
        let begins = |byte: &u8| [b',', b':', b'=', b'\n', b'['].contains(byte);
        let starts: Vec<usize> = bytes.iter().enumerate().filter(|(_, byte)| begins(byte)).map(|(at, _)| at + 1).collect();
        if starts.is_empty() {
            break;
        }
        let start = starts[random.below(starts.len())];
        let ends = |byte: &u8| [b',', b'\n', b'}', b']'].contains(byte);
        let end = bytes[start..].iter().position(ends).map_or(bytes.len(), |length| start + length);
        let number = std::str::from_utf8(&bytes[start..end]).ok().and_then(|own| own.trim().parse::<f64>().ok());
        let value = match number {
            Some(number) if random.below(3) > 0 => (number * FACTORS[random.below(FACTORS.len())]).to_string(),
            _ => VALUES[random.below(VALUES.len())].to_owned(),
        };
        bytes.splice(start..end, value.bytes());
    }
    bytes.truncate(most.min(data.len()));
    data[..bytes.len()].copy_from_slice(&bytes);
    bytes.len()
}

/// A folder of this process with a small schedule in it. It lies in memory where the system offers that.
pub(crate) fn folder() -> PathBuf {
    let memory = Path::new("/dev/shm");
    let base = if memory.is_dir() { memory.to_owned() } else { std::env::temp_dir() };
    let folder = base.join(format!("motorwright-fuzz-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("loads.csv"), SCHEDULE).expect("a file");
    folder
}

/// A pump, a fan with star-delta, a drive, a heater, a reversing hoist and a small single-phase fan.
const SCHEDULE: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,reversing,cable_length_m,control_cable_length_m\n\
P-1,MCC-1,motor,7.5,400,3,direct,,48,60\n\
F-1,MCC-1,motor,30,400,3,star-delta,,35,40\n\
D-1,MCC-2,motor,15,400,3,drive,,20,\n\
H-1,MCC-2,heater,9,400,3,contactor,,20,\n\
W-1,MCC-2,motor,4,400,3,direct,yes,25,30\n\
F-2,MCC-1,motor,0.37,230,1,direct,,15,\n";

/// Opens the schedule with a basis or a catalogue of the folder.
pub(crate) fn open(
    folder: &Path,
    basis: Option<&str>,
    catalogue: Option<&str>,
    book: Option<&str>,
) -> Result<Inputs, ProjectError> {
    project::open(&Options {
        schedule: folder.join("loads.csv"),
        basis: basis.map(|name| folder.join(name)),
        catalogue: catalogue.map(|name| folder.join(name)),
        rules: book.map(str::to_owned),
        ..Options::default()
    })
}
