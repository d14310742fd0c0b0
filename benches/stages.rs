//! Whole stages on 10, 100, 1 000 and 10 000 loads: reading, sizing, each writer alone, and the same workbook's cells written by the
//! workbook library alone. `cargo bench` prints them side by side; `benches/README.md` holds figures as ratios of one run.

use std::io::Cursor;
use std::path::PathBuf;
use std::sync::Mutex;

use calamine::{Data, Reader, Xlsx};
use motorwright::design::Design;
use motorwright::project::{self, Inputs, Options};
use motorwright::report::{lists, output, submittal, workbook};

const SIZES: [usize; 4] = [10, 100, 1_000, 10_000];

fn main() {
    divan::main();
}

/// A schedule of so many loads: the example's rows over and over, with tags of their own.
fn schedule(loads: usize) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("example-schedules/water-works.csv");
    let mut reader = csv::Reader::from_path(path).expect("the example is there");
    let headings = reader.headers().expect("headings").clone();
    let at = |name: &str| headings.iter().position(|heading| heading == name).expect("a column");
    let (tag, partner) = (at("tag"), at("interlock_with"));
    let rows: Vec<csv::StringRecord> =
        reader.records().flatten().filter(|row| !row[tag].contains('/') && !row[tag].contains(" to ")).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&headings).expect("a line");
    for (number, row) in (1..=loads).zip(rows.iter().cycle()) {
        let cells = row.iter().enumerate().map(|(index, cell)| {
            if index == tag {
                format!("T-{number}")
            } else if index == partner {
                String::new()
            } else {
                cell.to_owned()
            }
        });
        writer.write_record(cells).expect("a line");
    }
    String::from_utf8(writer.into_inner().expect("bytes")).expect("text")
}

fn options(loads: usize) -> (tempfile::TempDir, Options) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("loads.csv");
    std::fs::write(&file, schedule(loads)).expect("a file");
    let basis = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("example-schedules/water-works.toml");
    let text = std::fs::read_to_string(basis).expect("the basis").replace("sheets = \"all\"", "sheets = \"flagged\"");
    let basis = folder.path().join("basis.toml");
    std::fs::write(&basis, text).expect("a file");
    (folder, Options { schedule: file, basis: Some(basis), ..Options::default() })
}

fn sized(loads: usize) -> (Inputs, Design) {
    let (_folder, options) = options(loads);
    let inputs = project::open(&options).expect("it opens");
    let design = inputs.design();
    (inputs, design)
}

#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn a_reading(bencher: divan::Bencher, loads: usize) {
    let (_folder, options) = options(loads);
    bencher.bench_local(|| project::open(&options).expect("it opens"));
}

/// Sizing of every row, every step of the working kept; nothing printed.
#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn b_sizing_with_working(bencher: divan::Bencher, loads: usize) {
    let (inputs, _) = sized(loads);
    bencher.bench_local(|| (0..loads).map(|index| inputs.size(index).map_or(0, |row| row.record.steps().len())).sum::<usize>());
}

/// The design: sizing, the steps as text for design.json, purchase list.
#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn c_design(bencher: divan::Bencher, loads: usize) {
    let (inputs, _) = sized(loads);
    bencher.bench_local(|| inputs.design());
}

#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn d_workbook(bencher: divan::Bencher, loads: usize) {
    let (inputs, design) = sized(loads);
    let prepared = output::prepare(&inputs, &design);
    let working = |index: usize| inputs.working(index);
    bencher.bench_local(|| workbook::write(&prepared.input(&inputs, &design, &working)).expect("a workbook").len());
}

#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn e_submittal_flagged(bencher: divan::Bencher, loads: usize) {
    let (inputs, design) = sized(loads);
    let prepared = output::prepare(&inputs, &design);
    let working = |index: usize| inputs.working(index);
    bencher.bench_local(|| submittal::write(&prepared.input(&inputs, &design, &working)).expect("a page").len());
}

#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn f_purchase_list(bencher: divan::Bencher, loads: usize) {
    let (inputs, design) = sized(loads);
    let prepared = output::prepare(&inputs, &design);
    let working = |index: usize| inputs.working(index);
    bencher.bench_local(|| lists::purchase_csv(&prepared.input(&inputs, &design, &working)).len());
}

#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn g_design_json(bencher: divan::Bencher, loads: usize) {
    let (_, design) = sized(loads);
    bencher.bench_local(|| output::json(&design).expect("JSON").len());
}

/// The cells of our own workbook, written by the library alone in its usual mode: texts and numbers, no formats, no notes, no links.
#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn h_same_cells_by_the_library_alone(bencher: divan::Bencher, loads: usize) {
    let sheets = Mutex::new(cells_of(loads));
    bencher.bench_local(|| {
        let mut book = rust_xlsxwriter::Workbook::new();
        for cells in sheets.lock().expect("one thread").iter() {
            copy(book.add_worksheet(), cells);
        }
        book.save_to_buffer().expect("a workbook").len()
    });
}

/// The same in the mode that the program uses: rows to a temporary file, compressed as much as ours. What no change of the program
/// can take off the whole job as long as the library writes these cells.
#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn i_same_cells_by_the_library_row_by_row(bencher: divan::Bencher, loads: usize) {
    let sheets = Mutex::new(cells_of(loads));
    bencher.bench_local(|| {
        let mut book = rust_xlsxwriter::Workbook::new();
        book.set_zip_compression_level(4);
        for cells in sheets.lock().expect("one thread").iter() {
            copy(book.add_worksheet_with_low_memory().expect("a temporary file"), cells);
        }
        book.save_to_buffer().expect("a workbook").len()
    });
}

fn cells_of(loads: usize) -> Vec<calamine::Range<Data>> {
    let (inputs, design) = sized(loads);
    let prepared = output::prepare(&inputs, &design);
    let working = |index: usize| inputs.working(index);
    let bytes = workbook::write(&prepared.input(&inputs, &design, &working)).expect("a workbook");
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).expect("it opens");
    book.sheet_names().iter().map(|name| book.worksheet_range(name).expect("a sheet")).collect()
}

fn copy(sheet: &mut rust_xlsxwriter::Worksheet, cells: &calamine::Range<Data>) {
    for (row, column, cell) in cells.used_cells() {
        let (row, column) = (u32::try_from(row).expect("a row"), u16::try_from(column).expect("a column"));
        match cell {
            Data::Float(number) => sheet.write_number(row, column, *number).map(|_| ()).expect("a number"),
            Data::Int(number) => sheet.write_number(row, column, *number as f64).map(|_| ()).expect("a number"),
            Data::String(text) => sheet.write_string(row, column, text).map(|_| ()).expect("a text"),
            _ => {}
        }
    }
}

/// Reading to files, the submittal with flagged sheets.
#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn j_whole_job(bencher: divan::Bencher, loads: usize) {
    let (folder, options) = options(loads);
    bencher.bench_local(|| {
        let inputs = project::open(&options).expect("it opens");
        let mut design = inputs.design();
        output::write(&inputs, &mut design, &folder.path().join("out")).expect("it writes").files.len()
    });
}
