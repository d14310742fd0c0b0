//! Reading 100 000 rows of CSV through intake, mapped and validated, against the csv crate's bare iteration of records with its
//! numbers parsed. Prints the best of several rounds and their ratio; wanted is at most 3 (`benches/README.md`).

use std::time::{Duration, Instant};

use motorwright::intake::{Intake, ReadOptions, read_csv_bytes};

const ROWS: usize = 100_000;
/// So many that a moment in which somebody else has the processor does not decide.
const ROUNDS: usize = 25;
const HEAD: &str = "tag,description,board,rated_power_kw,voltage_v,phases,efficiency_pct,power_factor,starting_method,duty,\
    starts_per_hour,cable_length_m,notes\n";
/// Columns that hold numbers.
const NUMBERS: [usize; 7] = [3, 4, 5, 6, 7, 10, 11];

fn main() {
    let mut text = HEAD.to_owned();
    for row in 0..ROWS {
        let method = ["direct", "star-delta", "drive", "soft-starter"][row % 4];
        let power = ["0.75", "7.5", "22", "110"][row % 4];
        text.push_str(&format!(
            "P-{row},Raw water pump {row},MCC-{},{power},400,3,93.5,0.86,{method},S1,6,{},\n",
            row % 12,
            20 + row % 200
        ));
    }
    let bytes = text.as_bytes();
    println!("{ROWS} rows, {:.1} MB", bytes.len() as f64 / 1e6);
    let bare = best(|| bare(bytes));
    let intake = best(|| read(bytes));
    println!("csv crate, bare records and numbers  {bare:>10.2?}");
    println!("intake, mapped and validated         {intake:>10.2?}");
    println!("ratio                                {:>10.2}", intake.as_secs_f64() / bare.as_secs_f64());
}

/// The best of several rounds; what a round made is dropped outside of its time, as the program drops it when it ends.
fn best<T>(mut run: impl FnMut() -> (usize, T)) -> Duration {
    let mut one = || {
        let start = Instant::now();
        let (rows, made) = run();
        let time = start.elapsed();
        assert_eq!(rows, ROWS);
        drop(made);
        time
    };
    (0..ROUNDS).map(|_| one()).min().unwrap_or_default()
}

fn bare(bytes: &[u8]) -> (usize, f64) {
    let mut reader = csv::Reader::from_reader(bytes);
    let (mut rows, mut sum) = (0, 0.0);
    for record in reader.records() {
        let record = record.expect("a record");
        for column in NUMBERS {
            sum += record[column].parse::<f64>().expect("a number");
        }
        rows += 1;
    }
    (rows, std::hint::black_box(sum))
}

fn read(bytes: &[u8]) -> (usize, Intake) {
    let intake = read_csv_bytes("loads.csv", bytes, &ReadOptions::default()).expect("it reads");
    assert!(intake.findings.is_empty(), "{:?}", intake.findings.first());
    (intake.loads.len(), std::hint::black_box(intake))
}
