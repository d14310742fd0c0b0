//! Sums, voltages and restart of boards: 100 boards in three storeys with 10, 100 and 1 000 loads each, and one board with as many.
//! Time must grow with the number of loads and no faster; `benches/README.md` holds figures.

use std::sync::Arc;

use motorwright::basis::Basis;
use motorwright::catalogue;
use motorwright::load::{Entry, Field, Kind, Load, ProtectionKind, Value};
use motorwright::network::connected::{self, Connected};
use motorwright::network::demand::{self, Demands};
use motorwright::network::phases::{self, Assignment};
use motorwright::network::restart;
use motorwright::network::together::Together;
use motorwright::network::tree::{Node, Parent, Tree};
use motorwright::network::voltages::{self, Feed, Grid, Link};
use motorwright::quantity::{Impedance, Ohms, Volts};
use motorwright::record::Record;
use motorwright::rules;
use motorwright::sizing::{Tools, resolve};

const BOARDS: usize = 100;
const LOADS: [usize; 3] = [1_000, 10_000, 100_000];

fn main() {
    divan::main();
}

/// A main board, nine boards behind it, ten behind each of these.
fn tree() -> Tree {
    let parent = |index: usize| match index {
        0 => Parent::Supply,
        1..10 => Parent::Board(0),
        _ => Parent::Board(index / 10),
    };
    let node = |index: usize| Node {
        name: format!("B-{index}"),
        board: None,
        parent: parent(index),
        transformer: None,
        voltage: Volts(400.0),
        phases: 3,
        system: None,
        earthing: None,
        children: Vec::new(),
        alternatives: Vec::new(),
        feeder: index > 0,
        depth: 0,
    };
    Tree { nodes: (0..BOARDS).map(node).collect(), findings: Vec::new() }
}

/// The row of a number: motors of several sizes, every seventh a single-phase heater, every tenth pair a duty and a standby pump.
fn row(number: usize) -> Load {
    // Rows of one board are a hundred apart: every board gets every size and method.
    let turn = number + number / BOARDS;
    let kw = [0.37, 1.1, 3.0, 7.5, 0.75][turn % 5].to_string();
    let tag = format!("T-{number}");
    let group = format!("G-{}", number / 20);
    let mut cells = vec![("tag", tag.as_str()), ("rated_power_kw", kw.as_str())];
    if number.is_multiple_of(7) {
        cells.extend([("load_kind", "heater"), ("phases", "1"), ("voltage_v", "230")]);
    } else {
        cells.push(("starting_method", ["direct", "star-delta", "soft-starter", "drive"][turn % 4]));
    }
    if number % 20 < 2 {
        cells.extend([("duty_group", group.as_str()), ("running", ["duty", "standby"][number % 20])]);
    }
    let mut load = Load::new(Arc::default(), 0, u32::try_from(number).expect("a row"));
    for (name, text) in cells {
        let field = Field::from_name(name).expect("a column");
        let value = match field.spec().kind {
            Kind::Tags => Value::Tags([text.into()].into()),
            Kind::Number(..) | Kind::Count(..) => Value::Number(text.parse().expect("a number")),
            Kind::Choice(choices) => Value::Choice(choices.iter().find(|(choice, _)| *choice == text).expect("a choice").0),
            _ => Value::Text(text.into()),
        };
        load.set(field, Entry { value, column: 0, text: text.into() });
    }
    load
}

fn basis() -> Basis {
    let mut basis = Basis::default();
    basis.supply.voltage_v = Some(400.0);
    basis.supply.frequency_hz = Some(50.0);
    basis.starting.direct_limit_dip_pct = Some(10.0);
    basis
}

fn rows(loads: usize, basis: &Basis) -> Vec<Connected> {
    let book = rules::book("iec", None).expect("the book");
    let tools = Tools { basis, book, catalogue: catalogue::builtin("iec") };
    (0..loads)
        .map(|number| {
            let (load, record) = (row(number), &mut Record::silent());
            let case = resolve::resolve(&load, basis, book, record).expect("it resolves");
            let currents = book.currents(&case.machine, &case.start, "nameplate", &load, record).expect("a current");
            let node = if number.is_multiple_of(7) { number / 7 } else { number } % BOARDS;
            connected::of(&load, Some((&case, &currents)), (number, node), &tools, ProtectionKind::MouldedCase, record)
                .expect("it counts")
        })
        .collect()
}

/// Boards with their loads and who runs with whom.
struct Whole {
    tree: Tree,
    rows: Vec<Connected>,
    basis: Basis,
    phases: Assignment,
    together: Together,
    demands: Demands,
}

impl Whole {
    fn of(loads: usize) -> Self {
        let (tree, basis) = (tree(), basis());
        let rows = rows(loads, &basis);
        let (phases, together) = (phases::assign(&tree, &rows), Together::of(&rows));
        let book = rules::book("iec", None).expect("the book");
        let demands = demand::of(&tree, &rows, &together, &phases, &basis, book);
        Self { tree, rows, basis, phases, together, demands }
    }

    /// A source and feeders that carry the loads with ten per cent of drop or so, however many there are.
    fn with_grid<R>(&self, of: impl FnOnce(&Grid<'_>, &Feed) -> R) -> R {
        let ohms = |share: f64| {
            let z = 400.0 * 400.0 / self.demands.boards[0].demand_w * share;
            Impedance { r: Ohms(z), x: Ohms(2.0 * z) }
        };
        let feeder = |index: usize| match index {
            0 => Impedance::default(),
            1..10 => ohms(0.05),
            _ => ohms(0.5),
        };
        let links: Vec<Option<Link>> = (0..BOARDS).map(|index| Some(Link { feeder: feeder(index), ..Link::default() })).collect();
        let grid = Grid {
            tree: &self.tree,
            rows: &self.rows,
            phases: &self.phases,
            together: &self.together,
            basis: &self.basis,
            links: &links,
            stated: &[None; BOARDS],
        };
        let feed = Feed { name: "supply".to_owned(), parent: Parent::Supply, impedance: Some(ohms(0.01)), voltage: Volts(400.0) };
        of(&grid, &feed)
    }
}

#[divan::bench(args = LOADS, sample_count = 5, sample_size = 1)]
fn a_connected_loads(bencher: divan::Bencher, loads: usize) {
    let basis = basis();
    bencher.bench_local(|| rows(loads, &basis).len());
}

#[divan::bench(args = LOADS, sample_count = 5, sample_size = 1)]
fn b_phases_and_demand(bencher: divan::Bencher, loads: usize) {
    let whole = Whole::of(loads);
    let book = rules::book("iec", None).expect("the book");
    bencher.bench_local(|| {
        let (phases, together) = (phases::assign(&whole.tree, &whole.rows), Together::of(&whole.rows));
        demand::of(&whole.tree, &whole.rows, &together, &phases, &whole.basis, book).boards.len()
    });
}

#[divan::bench(args = LOADS, sample_count = 5, sample_size = 1)]
fn c_voltages_and_dips(bencher: divan::Bencher, loads: usize) {
    let whole = Whole::of(loads);
    let largest: Vec<Option<usize>> = whole.demands.boards.iter().map(|board| board.largest_start).collect();
    whole.with_grid(|grid, feed| {
        assert!(voltages::of(grid, feed, &largest, &|_| None).dips.iter().all(Option::is_some), "it carries its loads");
        bencher.bench_local(|| voltages::of(grid, feed, &largest, &|_| None).dips.len());
    });
}

#[divan::bench(args = LOADS, sample_count = 5, sample_size = 1)]
fn d_restart(bencher: divan::Bencher, loads: usize) {
    let whole = Whole::of(loads);
    whole.with_grid(|grid, feed| {
        assert!(restart::of(grid, feed).groups.len() > 1, "they have to be parted");
        bencher.bench_local(|| restart::of(grid, feed).groups.len());
    });
}
