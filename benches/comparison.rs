//! Two revisions of 1 250, 2 500, 5 000 and 10 000 rows held against each other, and the time that each doubling costs: no more than the
//! 2.2 of n log n is wanted. Of the later side one row in fifty is gone, one is new, one bears another tag, and one in five states
//! something else; rows stand in another order.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use motorwright::compare::{self, Changes};
use motorwright::design::Design;
use motorwright::project::{self, Inputs, Options};
use motorwright::report;
use motorwright::rules::units::Units;

const SIZES: [usize; 4] = [1_250, 2_500, 5_000, 10_000];
const ROUNDS: usize = 3;

/// The example's plain rows over and over, each with a tag of its own.
struct Example {
    headings: csv::StringRecord,
    rows: Vec<csv::StringRecord>,
}

impl Example {
    fn read() -> Self {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("example-schedules/water-works.csv");
        let mut reader = csv::Reader::from_path(path).expect("the example is there");
        let headings = reader.headers().expect("headings").clone();
        let tag = headings.iter().position(|heading| heading == "tag").expect("a column");
        let rows = reader.records().flatten().filter(|row| !row[tag].contains('/') && !row[tag].contains(" to ")).collect();
        Self { headings, rows }
    }

    /// Cells of a row, some of them put in place of the example's.
    fn row(&self, number: usize, cells: &[(&str, String)]) -> Vec<String> {
        let row = &self.rows[number % self.rows.len()];
        let cell = |(heading, cell): (&str, &str)| match heading {
            "interlock_with" => String::new(),
            _ => cells.iter().find(|(name, _)| *name == heading).map_or_else(|| cell.to_owned(), |(_, text)| text.clone()),
        };
        self.headings.iter().zip(row).map(cell).collect()
    }

    fn text(&self, rows: impl Iterator<Item = Vec<String>>) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&self.headings).expect("a line");
        rows.for_each(|row| writer.write_record(row).expect("a line"));
        String::from_utf8(writer.into_inner().expect("bytes")).expect("text")
    }

    fn earlier(&self, count: usize) -> String {
        self.text((0..count).map(|number| self.row(number, &[("tag", format!("T-{number}"))])))
    }

    /// The same count of rows as a later revision has them.
    fn later(&self, count: usize) -> String {
        let row = |number: usize| {
            let tag = match number % 50 {
                // Gone, and another row in its place.
                7 => format!("NEW-{number}"),
                21 => format!("X{number}"),
                _ => format!("T-{number}"),
            };
            let mut cells = vec![("tag", tag)];
            if number % 50 == 7 {
                cells.push(("description", format!("quite another machine {number}")));
            }
            if number % 5 == 2 {
                cells.push(("cable_length_m", "77".to_owned()));
            }
            self.row(number, &cells)
        };
        // 7 is prime to every count, so that each row comes once.
        self.text((0..count).map(|place| row(place * 7 % count)))
    }
}

fn opened(text: &str) -> Inputs {
    let folder = tempfile::tempdir().expect("a folder");
    let schedule = folder.path().join("loads.csv");
    std::fs::write(&schedule, text).expect("a file");
    let basis = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("example-schedules/water-works.toml");
    project::open(&Options { schedule, basis: Some(basis), ..Options::default() }).expect("it opens")
}

/// The best of several rounds.
fn best<T>(mut run: impl FnMut() -> T) -> (Duration, T) {
    let mut one = || {
        let start = Instant::now();
        let made = run();
        (start.elapsed(), made)
    };
    let mut least = one();
    for _ in 1..ROUNDS {
        let next = one();
        if next.0 < least.0 {
            least = next;
        }
    }
    least
}

fn written(changes: &Changes, old: &Design, new: &Design) -> usize {
    let page = report::changes::page::write(changes, new).expect("a page");
    let book = report::workbook::changes::write(changes, old, new).expect("a workbook");
    page.len() + book.len() + report::changes::summary(changes, None, Units::Metric).len()
}

fn main() {
    let example = Example::read();
    println!(
        "rows    pairs and differences    with causes    page, workbook, summary    (seconds, each beside what the doubling costs)"
    );
    let mut before: Option<[f64; 3]> = None;
    for count in SIZES {
        let (old, new) = (opened(&example.earlier(count)), opened(&example.later(count)));
        let (one, other) = (old.design(), new.design());
        let (pairs, _) = best(|| compare::compare(&one, &other, &[], None).expect("no tag is fixed"));
        let (causes, changes) = best(|| compare::compare(&one, &other, &[], Some(&new)).expect("no tag is fixed"));
        let (reports, _) = best(|| written(&changes, &one, &other));
        assert_eq!((changes.added.len(), changes.removed.len(), changes.renamed.len()), (count / 50, count / 50, count / 50));
        let now = [pairs, causes, reports].map(|duration| duration.as_secs_f64());
        let cells = now.iter().enumerate().map(|(at, seconds)| {
            let ratio = before.map_or_else(String::new, |before| format!("x {:.2}", seconds / before[at]));
            format!("{seconds:>8.3} {ratio:<8}")
        });
        println!("{count:>6}  {}", cells.collect::<Vec<_>>().join("       "));
        before = Some(now);
    }
}
