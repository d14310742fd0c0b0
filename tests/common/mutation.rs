//! Damages bytes at random, always in the same way, and watches whoever reads them.

use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::thread::JoinHandle;
use std::time::Duration;

/// Time that one input may take, in an unoptimised build on a machine that is busy.
const DEADLINE: Duration = Duration::from_secs(30);

/// An input: its number, its name and its bytes.
pub(crate) type Input = (u64, &'static str, Vec<u8>);

/// A generator of pseudo-random numbers (xorshift*).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    pub(crate) fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most.max(1) as u64).unwrap_or(0)
    }

    pub(crate) fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

/// Values that tend to break readers.
pub(crate) const TOKENS: &[&str] = &[
    "\"",
    "\"\"",
    ";",
    ",",
    "\t",
    "|",
    "\r",
    "\n",
    "\0",
    "\u{feff}",
    "\u{202e}",
    "\u{81}",
    "4294967295",
    "-1",
    "1e999",
    "18446744073709551616",
    "NaN",
    "&#0;",
    "&#x110000;",
    "&amp;",
    "&x;",
    "<",
    ">",
    "</",
    "/>",
    "<!--",
    "]]>",
    "<![CDATA[",
    "A1",
    "XFD1048576",
    "A0",
    "ZZZZZZ99999999999",
    "P-1 to P-999999999",
    "EF-4 thru EF-1",
    "P-1A/B/C",
    "7-1/2",
    "½",
    "1/0",
    "400/3/50",
    "2,5",
    "1.234,5",
    "TBC",
    "\u{0}\u{0}",
    "sep=;",
    "table:number-columns-repeated=\"4294967295\"",
    "table:number-rows-repeated=\"999999999\"",
    "r=\"Z99999\"",
    "s=\"99999\"",
    "<strike/>",
];

/// Damages bytes in up to five places.
pub(crate) fn mutate(bytes: &mut Vec<u8>, others: &[Vec<u8>], random: &mut Random) {
    for _ in 0..=random.below(4) {
        let at = random.below(bytes.len() + 1);
        match random.below(7) {
            0 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= 1 << random.below(8);
                }
            }
            1 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte = u8::try_from(random.below(256)).unwrap_or(0);
                }
            }
            2 => bytes.truncate(at),
            3 => {
                let other = random.one(others);
                let from = random.below(other.len());
                let to = (from + random.below(200)).min(other.len());
                bytes.splice(at..at, other[from..to].iter().copied());
            }
            4 => {
                let token = random.one(TOKENS);
                let end = (at + random.below(12)).min(bytes.len());
                bytes.splice(at..end, token.bytes());
            }
            5 => {
                let end = (at + random.below(400)).min(bytes.len());
                let piece = bytes[at..end].to_vec();
                bytes.splice(at..at, piece);
            }
            _ => {
                let end = (at + random.below(100)).min(bytes.len());
                bytes.drain(at..end);
            }
        }
    }
    bytes.truncate(200_000);
}

/// Largest memory that this process has had, in KiB, where the system tells.
pub(crate) fn most_memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?.trim().trim_end_matches(" kB").parse().ok()
}

/// Waits for the end of a worker that sends every input before it reads it. An input that hangs, or makes a panic, is a failure.
pub(crate) fn watched<R>(receiver: &Receiver<Input>, worker: JoinHandle<R>) -> R {
    let mut last = None;
    loop {
        match receiver.recv_timeout(DEADLINE) {
            Ok(input) => last = Some(input),
            Err(RecvTimeoutError::Disconnected) => break,
            Err(RecvTimeoutError::Timeout) => {
                let (count, name, bytes) = last.expect("it has begun");
                panic!("input {count} ({name}, {} bytes) takes longer than {DEADLINE:?}", bytes.len());
            }
        }
    }
    worker.join().unwrap_or_else(|_| {
        let (count, name, bytes) = last.expect("it has begun");
        let kept = std::env::temp_dir().join(name);
        std::fs::write(&kept, &bytes).expect("it can be kept");
        panic!("input {count} made a panic; it is kept as {}", kept.display());
    })
}
