//! Boards and feeders of two small networks of our own: accepted as they are made, rejected when they were made wrong in one place.

use std::collections::BTreeMap;

use super::common;
use motorwright::catalogue;
use motorwright::design::{Board, BoardIncoming, Check, Design, Part, Run};
use motorwright::finding::{Finding, codes};
use motorwright::verify;

fn network(name: &str) -> Design {
    let folder = common::root().join("tests/verify");
    common::design_of_files(&folder.join(format!("{name}.csv")), &folder.join(format!("{name}.toml")))
}

fn said(design: &Design) -> Vec<String> {
    let range = catalogue::builtin(&design.rule_book);
    verify::above_circuits(design, range).into_iter().map(|finding| format!("{} {}", finding.code, finding.what)).collect()
}

#[rstest::rstest]
#[case::iec("network-iec")]
#[case::nec("network-nec")]
fn the_networks_are_accepted(#[case] name: &str) {
    let design = network(name);
    let said = super::tried(&design);
    assert!(said.is_empty(), "{}\n{}", said.len(), said.join("\n"));
}

#[test]
#[ignore = "prints a design: NAME=network-iec"]
fn print() {
    let design = network(&std::env::var("NAME").unwrap_or_else(|_| "network-iec".to_owned()));
    println!("{}", serde_json::to_string_pretty(&design).expect("json"));
}

/// Columns by which circuits bear on their boards.
const OF_BOARDS: super::Columns = &[
    ("board", &["MB", "B-1", "B-2", "B-3", "B-4", "B-5"]),
    ("running", &["", "", "", "duty", "standby", "assist", "spare"]),
    ("duty_group", &["", "", "", "", "G-1", "G-2"]),
    ("duty_count", &["", "", "", "1", "2"]),
    ("standby_count", &["", "", "", "", "1"]),
    ("demand_factor", &["", "", "", "0.7"]),
    ("motors_per_starter", &["", "", "", "", "", "2"]),
];

/// Keys of a board, a line each; empty ones leave the board open.
const KEYS: [&[&str]; 10] = [
    &["", "feeder_length_m = 30", "feeder_length_m = 8", "feeder_length_ft = 200", "feeder_length_m = 120"],
    &["", "", "", "existing_load_a = 20"],
    &["", "", "", "demand_factor = 0.8"],
    &["", "", "spare_pct = 20"],
    &["", "", "bus_rating_a = 400"],
    &["", "", "short_circuit_rating_ka = 12"],
    &["", "", "", "", "prospective_fault_ka = 9"],
    &["", "", "", "", "prospective_fault_min_ka = 2"],
    &["", "", "", "feeder_r_ohm = 0.01\nfeeder_x_ohm = 0.005"],
    &["", "incoming = \"switch-disconnector\"", "incoming = \"circuit-breaker\"", "incoming = \"none\""],
];

/// A network of random boards with random circuits, as its schedule and its basis.
fn generated(book: &str, rows: usize, seed: u64) -> Design {
    let mut dice = super::Dice(seed);
    let columns = [if book == "iec" { super::IEC } else { super::NEC }, super::BOTH, OF_BOARDS].concat();
    let mut schedule = format!("tag,{}\n", columns.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(","));
    for row in 0..rows {
        let cells: Vec<&str> = columns.iter().map(|(_, choices)| dice.pick(choices)).collect();
        let partner = format!("M-{}", if row % 2 == 0 { row + 1 } else { row / 2 });
        schedule.push_str(&format!("M-{row},{}\n", cells.join(",").replace("partner", &partner)));
    }
    let (volts, low, system, conductor) = match book {
        "iec" => (400, 230, "earthing = \"TN-S\"\nfrequency_hz = 50\n", "2x 120 mm2 aluminium xlpe"),
        _ => (480, 208, "system = \"480Y/277 4W solidly grounded\"\nfrequency_hz = 60\n", "2x 250 kcmil copper"),
    };
    let mut basis = format!("[rules]\nbook = \"{book}\"\n[supply]\nvoltage_v = {volts}\nphases = 3\n{system}");
    basis.push_str(dice.pick(&[
        "upstream_fault_mva = 250\nupstream_x_over_r = 8\n",
        "upstream_fault_mva = 250\nupstream_fault_min_mva = 100\ntransformer_kva = 1600\ntransformer_impedance_pct = 6\n",
        "prospective_fault_ka = 35\nprospective_fault_min_ka = 12\nx_over_r = 5\n",
        "prospective_fault_ka = 18\n",
        "",
    ]));
    if dice.roll(3) == 0 {
        basis.push_str("[[source]]\nname = \"G\"\nkind = \"generator\"\nkva = 1500\nsubtransient_reactance_pct = 14\n");
    }
    let with_main = dice.roll(2) == 0;
    if with_main {
        basis.push_str(&format!(
            "[[transformer]]\nname = \"T-1\"\nto = \"MB\"\nkva = 2000\nimpedance_pct = 6\nsecondary_voltage_v = {volts}\n{}",
            dice.pick(&["", "load_loss_kw = 16\n"])
        ));
    }
    basis.push_str(&format!("[[transformer]]\nname = \"T-2\"\nkva = 250\nimpedance_pct = 4\nsecondary_voltage_v = {low}\n"));
    for (index, name) in ["MB", "B-1", "B-2", "B-3", "B-4", "B-5"].into_iter().enumerate() {
        basis.push_str(&format!("[[board]]\nname = \"{name}\"\n"));
        if index > 0 && dice.roll(8) > 0 {
            let before = ["MB", "B-1", "B-2", "B-3", "B-4"][dice.roll(index)];
            basis.push_str(&format!("fed_from = \"{before}\"\n"));
        } else if index > 3 {
            basis.push_str("fed_from = \"T-2\"\n");
        }
        if dice.roll(4) == 0 {
            basis.push_str(&format!("feeder_conductor = \"{conductor}\"\n"));
        }
        for choices in KEYS {
            let key = dice.pick(choices);
            // At the main board [supply] states them.
            if !(index == 0 && (key.starts_with("feeder_r") || key.starts_with("prospective"))) {
                basis.push_str(&format!("{key}\n"));
            }
        }
    }
    basis.push_str(dice.pick(&["", "[demand]\ncontinuous = 0.9\nintermittent = 0.6\nstandby = 0.5\n"]));
    basis.push_str(dice.pick(&[
        "[design]\n",
        "[design]\nprotection_kind = \"gG\"\n",
        "[design]\nfeeder_drop_pct = 1\nambient_c = 40\n",
    ]));
    basis.push_str("[starting]\ndirect_limit_dip_pct = 8\n[report]\nworking = \"none\"\n");
    if book == "nec" {
        basis = basis.replace("\"gG\"", "\"class-J\"");
    }
    let design = common::design_of(&schedule, &basis);
    if let Ok(folder) = std::env::var("FOLDER") {
        let file = |ending: &str| std::path::Path::new(&folder).join(format!("{seed}.{ending}"));
        std::fs::write(file("csv"), &schedule).expect("a file");
        std::fs::write(file("toml"), &basis).expect("a file");
        std::fs::write(file("json"), serde_json::to_string(&design).expect("json")).expect("a file");
    }
    design
}

#[rstest::rstest]
#[case::iec("iec")]
#[case::nec("nec")]
fn generated_networks_are_accepted(#[case] book: &str) {
    // More with ROWS, SEED and TURNS in the environment.
    let stated = |name: &str| std::env::var(name).ok().and_then(|count| count.parse::<u64>().ok());
    let (rows, seed, turns) = (stated("ROWS").unwrap_or(30), stated("SEED").unwrap_or(1), stated("TURNS").unwrap_or(12));
    let mut by_code: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut feeders = 0;
    for turn in 0..turns {
        let design = generated(book, usize::try_from(rows).expect("rows"), 1000 * seed + turn);
        feeders += design.boards.iter().filter(|board| !board.feeder.parts.is_empty()).count();
        for words in said(&design) {
            by_code.entry(words[..4].to_owned()).or_default().push(format!("{}: {words}", 1000 * seed + turn));
        }
    }
    let words: Vec<String> =
        by_code.iter().map(|(code, all)| format!("{code}: {}\n  {}", all.len(), all[..all.len().min(8)].join("\n  "))).collect();
    assert!(by_code.is_empty(), "{feeders} feeders\n{}", words.join("\n"));
    assert!(feeders > 12, "{feeders}");
}

/// A wrong design, by the kind of its fault.
type Wrong = (&'static str, Design);

/// A design in which one board was made wrong.
struct Workshop<'d> {
    design: &'d Design,
    index: usize,
    wrong: Vec<Wrong>,
}

impl Workshop<'_> {
    /// One change to the board; what changes nothing is no fault.
    fn make(&mut self, kind: &'static str, change: impl FnOnce(&mut Board)) {
        let mut changed = self.design.clone();
        change(&mut changed.boards[self.index]);
        if changed.boards[self.index] != self.design.boards[self.index] {
            self.wrong.push((kind, changed));
        }
    }

    fn run(&mut self, kind: &'static str, change: impl FnMut(&mut Run)) {
        self.make(kind, |board| board.feeder.run.iter_mut().for_each(change));
    }
}

fn neighbour_of(part: &str, design: &Design) -> Option<String> {
    let bench = super::Bench::of(catalogue::builtin(&design.rule_book));
    super::neighbour(part, &bench.families)
}

fn times(quantity: &mut Option<f64>, factor: f64) {
    *quantity = quantity.map(|quantity| quantity * factor);
}

fn sums_wrong(shop: &mut Workshop<'_>) {
    shop.make("depth", |board| board.depth += 1);
    shop.make("system", |board| board.system = Some("690 V 3L".to_owned()));
    shop.make("earthing", |board| board.earthing = Some("IT".to_owned()));
    for index in 0..shop.design.boards[shop.index].control_supplies.len() {
        shop.make("power of a control supply, less than a coil holds", |board| board.control_supplies[index].continuous_va = 1.0);
        shop.make("power of a control supply, more than all coils hold", |board| {
            let supply = &mut board.control_supplies[index];
            supply.continuous_va = supply.rating_va.unwrap_or(0.0).max(10.0 * supply.continuous_va);
        });
    }
    shop.make("what feeds it", |board| board.fed_from = Some("another".to_owned()));
    shop.make("connected power", |board| board.connected_kw *= 1.02);
    shop.make("connected power", |board| board.connected_kw *= 0.98);
    shop.make("spare power", |board| board.spare_kw += 0.5);
    shop.make("running power", |board| board.running_kw *= 0.97);
    shop.make("running power", |board| board.running_kw *= 1.03);
    shop.make("reactive power", |board| board.running_kvar *= 0.95);
    shop.make("reactive power", |board| board.running_kvar *= 1.05);
    shop.make("running current", |board| board.running_current_a *= 1.05);
    shop.make("current of a phase", |board| board.phase_currents_a[0] *= 1.1);
    for factor in [0.5, 2.0] {
        shop.make("running current in all its places", |board| {
            board.running_current_a *= factor;
            board.phase_currents_a = board.phase_currents_a.map(|phase_currents_a| phase_currents_a * factor);
        });
        shop.make("demand", |board| board.demand_current_a *= factor);
    }
    shop.make("power factor", |board| times(&mut board.power_factor, 0.98));
    shop.make("unbalance", |board| board.unbalance_pct += 1.0);
    let design = shop.design;
    // One of equal motors is as large as another.
    let currents = |tag: &str| design.circuits.iter().find(|circuit| circuit.tag == tag).map(|circuit| &circuit.currents);
    let none = String::new();
    for tag in design.circuits.iter().map(|circuit| &circuit.tag).chain([&none]) {
        let board = &design.boards[shop.index];
        if currents(tag) != currents(&board.largest_motor_tag) {
            shop.make("largest motor", |board| board.largest_motor_tag.clone_from(tag));
        }
        if currents(tag) != currents(&board.largest_start_tag) {
            shop.make("largest start", |board| board.largest_start_tag.clone_from(tag));
        }
    }
}

fn device_wrong(shop: &mut Workshop<'_>) {
    shop.make("smallest capacity", |board| board.feeder_minimum_a *= 0.9);
    shop.make("smallest capacity", |board| board.feeder_minimum_a *= 1.1);
    shop.make("largest device", |board| {
        board.feeder_protection_maximum_a = Some(board.feeder_protection_maximum_a.unwrap_or(10.0) * 2.0);
    });
    shop.make("largest device below the chosen one", |board| {
        board.feeder_protection_maximum_a = Some(board.feeder_protection_a * 0.8);
    });
    shop.make("no largest device", |board| board.feeder_protection_maximum_a = None);
    shop.make("rating of the device", |board| board.feeder_protection_a *= 1.25);
    shop.make("rating of the device", |board| board.feeder_protection_a *= 0.8);
    shop.make("kind of the device", |board| board.feeder.kind = "aM".to_owned());
    shop.make("breaking capacity", |board| times(&mut board.feeder.breaking_ka, 2.0));
    shop.make("breaking capacity left open", |board| board.feeder.breaking_ka = None);
    shop.make("trip", |board| times(&mut board.feeder.magnetic_trip_a, 20.0));
    shop.make("trip", |board| times(&mut board.feeder.magnetic_trip_a, 0.2));
    shop.make("no device", |board| board.feeder.kind.clear());
    let part = shop.design.boards[shop.index].feeder.part.clone();
    if let Some(other) = neighbour_of(&part, shop.design) {
        shop.make("another device", |board| {
            board.feeder.part.clone_from(&other);
            board.feeder.parts.iter_mut().filter(|fitted| fitted.part == part).for_each(|part| part.part.clone_from(&other));
        });
    }
    for index in 0..shop.design.boards[shop.index].feeder.parts.len() {
        shop.make("part dropped", |board| _ = board.feeder.parts.remove(index));
        shop.make("part twice", |board| board.feeder.parts.push(board.feeder.parts[index].clone()));
        shop.make("quantity of a part", |board| board.feeder.parts[index].quantity += 1.0);
        shop.make("quantity of a part", |board| board.feeder.parts[index].quantity *= 0.5);
        shop.make("description of a part", |board| board.feeder.parts[index].description.push('.'));
        shop.make("unit of a part", |board| board.feeder.parts[index].unit = "kg".to_owned());
        shop.make("cuts of a part", |board| board.feeder.parts[index].cuts += 2);
        shop.make("part by others", |board| board.feeder.parts[index].by_others = true);
        shop.make("unknown part", |board| board.feeder.parts[index].part = "NONE-1".to_owned());
    }
}

fn run_wrong(shop: &mut Workshop<'_>) {
    shop.run("length", |run| run.length_m += 5.0);
    shop.run("area", |run| run.phase_area_mm2 *= 1.5);
    shop.run("size", |run| run.phase_size = "1 mm2".to_owned());
    shop.run("conductors in parallel", |run| run.per_phase += 1);
    shop.run("capacity", |run| run.capacity_a *= 1.1);
    shop.run("capacity below what is required", |run| run.capacity_a = run.required_a * 0.9);
    shop.run("required capacity", |run| run.required_a *= 0.8);
    shop.run("material", |run| run.material = "aluminium".to_owned());
    shop.run("insulation", |run| run.insulation = "none".to_owned());
    shop.run("cores", |run| run.cores += 1);
    shop.run("protective conductor", |run| run.protective_size = "0.5 mm2".to_owned());
    shop.run("resistance", |run| times(&mut run.resistance_ohm, 1.2));
    shop.run("reactance", |run| times(&mut run.reactance_ohm, 0.8));
    shop.run("role", |run| run.role = "motor".to_owned());
    let part = shop.design.boards[shop.index].feeder.run.as_ref().map(|run| run.part.clone()).unwrap_or_default();
    if let Some(other) = neighbour_of(&part, shop.design) {
        shop.make("another cable", |board| {
            board.feeder.run.iter_mut().for_each(|run| run.part.clone_from(&other));
            board.feeder.parts.iter_mut().filter(|fitted| fitted.part == part).for_each(|part| part.part.clone_from(&other));
        });
    }
    shop.make("drop", |board| board.feeder.drop_pct = board.feeder.drop_pct.map(|drop_pct| drop_pct + 0.5));
    shop.make("drop", |board| board.feeder.drop_pct = board.feeder.drop_pct.map(|drop_pct| drop_pct - 0.2));
}

fn faults_wrong(shop: &mut Workshop<'_>) {
    for factor in [0.7, 1.3] {
        shop.make("largest fault current", |board| times(&mut board.prospective_fault_ka, factor));
        shop.make("three-phase fault current", |board| times(&mut board.three_phase_fault_ka, factor));
    }
    shop.make("fault current without motors", |board| times(&mut board.prospective_fault_without_motors_ka, 0.4));
    shop.make("fault current without motors", |board| times(&mut board.prospective_fault_without_motors_ka, 1.5));
    shop.make("fault current to earth", |board| times(&mut board.earth_fault_ka, 10.0));
    shop.make("smallest fault current above the largest", |board| {
        board.prospective_fault_min_ka = board.prospective_fault_ka.map(|prospective_fault_ka| prospective_fault_ka * 1.1);
    });
    shop.make("peak", |board| times(&mut board.peak_ka, 2.5));
    shop.make("peak", |board| times(&mut board.peak_ka, 0.5));
    for index in 0..shop.design.boards[shop.index].dips.len() {
        shop.make("dip", |board| board.dips[index].dip_pct *= 1.1);
        shop.make("dip in all its places", |board| {
            board.dips[index].dip_pct *= 0.3;
            board.dips[index].during_pct = board.dips[index].before_pct - board.dips[index].dip_pct;
            board.start_dip_pct = board.dips.iter().find(|dip| dip.usual).map(|dip| dip.dip_pct);
            board.checks.iter_mut().filter(|check| check.name == "start-dip").for_each(|check| check.passed = None);
        });
        shop.make("what dips it", |board| board.dips[index].tag = "nothing".to_owned());
        shop.make("dip at the terminals", |board| board.dips[index].terminals_dip_pct = Some(-1.0));
        shop.make("usual or not", |board| board.dips[index].usual = !board.dips[index].usual);
    }
    shop.make("dip of the usual feed", |board| board.start_dip_pct = None);
}

fn room_wrong(shop: &mut Workshop<'_>) {
    shop.make("heat", |board| board.power_loss_w *= 1.1);
    for index in 0..shop.design.boards[shop.index].losses.len() {
        shop.make("heat of a device left out", |board| _ = board.losses.remove(index));
        shop.make("devices that give off heat", |board| board.losses[index].quantity += 10.0);
        shop.make("heat of a device", |board| board.losses[index].loss_w *= 1.3);
        shop.make("whose device gives off heat", |board| board.losses[index].tag = "nobody".to_owned());
        let device = shop.design.boards[shop.index].losses[index].device.as_str();
        if matches!(device, "device of the feeder" | "incoming device") {
            shop.make("heat of a feeder's or incoming device left out of all sums", |board| {
                let gone = board.losses.remove(index);
                // 30 % for wiring, as in the sums.
                board.power_loss_w -= 1.3 * gone.loss_w * gone.quantity;
            });
        }
    }
    if shop.design.boards[shop.index].findings.iter().any(|finding| matches!(finding.code.as_str(), "B606" | "B607")) {
        shop.make("hot air kept silent", |board| {
            board.findings.retain(|finding| !matches!(finding.code.as_str(), "B606" | "B607"))
        });
    }
    shop.make("width of devices", |board| board.devices_width_mm *= 1.5);
    shop.make("width of devices", |board| board.devices_width_mm *= 0.1);
    shop.make("width of terminals", |board| board.terminals_width_mm += 10.0);
    shop.make("width of rails", |board| board.width_mm *= 1.1);
    shop.make("ways", |board| board.ways += 1);
    let transformer = |change: fn(&mut motorwright::design::BoardTransformer)| {
        move |board: &mut Board| board.transformer.iter_mut().for_each(change)
    };
    shop.make("power of a transformer", transformer(|transformer| transformer.demand_kva *= 1.1));
    shop.make("loading of a transformer", transformer(|transformer| times(&mut transformer.loading_pct, 0.9)));
    shop.make("primary of a transformer", transformer(|transformer| times(&mut transformer.primary_a, 1.1)));
    shop.make("secondary of a transformer", transformer(|transformer| times(&mut transformer.secondary_a, 1.1)));
}

/// Exchanges the figure that occurs and the one that can be borne: a whole check, but one that fails. False where it did not pass before.
fn exchanged(check: &mut Check) -> bool {
    let (Some(value), Some(limit), Some(true)) = (check.value, check.limit, check.passed) else { return false };
    (check.value, check.limit) = (Some(limit), Some(value));
    check.passed = Some(false);
    let below = check.margin_pct.is_some_and(|margin| (margin >= 0.0) == (value <= limit));
    let distance = if below { value - limit } else { limit - value };
    check.margin_pct = (value != 0.0).then(|| 100.0 * distance / value);
    true
}

fn checks_wrong(shop: &mut Workshop<'_>) {
    for index in 0..shop.design.boards[shop.index].checks.len() {
        shop.make("check flipped", |board| board.checks[index].passed = board.checks[index].passed.map(|passed| !passed));
        shop.make("check called made", |board| {
            let passed = board.checks[index].passed.is_none();
            board.checks[index].passed = Some(passed);
        });
        shop.make("margin of a check", |board| {
            board.checks[index].margin_pct = board.checks[index].margin_pct.map(|margin_pct| margin_pct + 1.0);
        });
        // A limit of 0 has no margin by which a value could be told.
        shop.make("value of a check", |board| {
            let check = &mut board.checks[index];
            check.value = check.value.map(|value| if check.limit == Some(0.0) { value } else { value * 1.05 + 0.01 });
        });
        shop.make("failed check that no finding tells", |board| {
            if exchanged(&mut board.checks[index]) {
                board.findings.clear();
            }
        });
        // A warning of something else tells of no check.
        shop.make("failed check that another's finding tells", |board| {
            if exchanged(&mut board.checks[index]) {
                board.findings = vec![Finding::new(&codes::B118_SOURCE_OVERLOADED, "a source is too small")];
            }
        });
        let needed = ["protection-carries", "breaking-capacity", "current-carrying-capacity", "start-dip", "transformer-loading"];
        if needed.contains(&shop.design.boards[shop.index].checks[index].name.as_str()) {
            shop.make("check left out", |board| {
                let name = board.checks[index].name.clone();
                board.checks.retain(|check| check.name != name);
            });
        }
    }
}

/// The device at the head of a board; where there is none, one that nobody asked for.
fn incoming_wrong(shop: &mut Workshop<'_>) {
    fn head(change: impl FnOnce(&mut BoardIncoming)) -> impl FnOnce(&mut Board) {
        move |board: &mut Board| {
            if let Some(incoming) = board.incoming.as_mut() {
                change(incoming);
            }
        }
    }
    let design = shop.design;
    let Some(incoming) = &design.boards[shop.index].incoming else {
        shop.make("an incoming device that nobody asks for", |board| {
            board.incoming = Some(BoardIncoming { kind: "none".to_owned(), ..BoardIncoming::default() });
        });
        return;
    };
    shop.make("no incoming device", |board| board.incoming = None);
    shop.make("kind of the incoming device", head(|incoming| incoming.kind = "isolator".to_owned()));
    if incoming.kind == "none" {
        shop.make("an incoming device where there is to be none", head(|incoming| incoming.part = "GEN-SD3-630".to_owned()));
        shop.make("a part where there is to be no incoming device", head(|incoming| incoming.parts.push(Part::default())));
        return;
    }
    shop.make("incoming device without a number", head(|incoming| incoming.part.clear()));
    shop.make("rating of the incoming device", head(|incoming| times(&mut incoming.rating_a, 1.25)));
    shop.make("poles of the incoming device", head(|incoming| incoming.poles = incoming.poles.map(|pole| pole + 1)));
    shop.make("neutral of the incoming device", head(|incoming| incoming.neutral.push('x')));
    shop.make("incoming device beside the board", head(|incoming| incoming.apart = !incoming.apart));
    shop.make("trip of the incoming device", head(|incoming| times(&mut incoming.magnetic_trip_a, 20.0)));
    shop.make("trip of the incoming device", head(|incoming| times(&mut incoming.magnetic_trip_a, 0.02)));
    shop.make("breaking capacity of the incoming device", head(|incoming| times(&mut incoming.breaking_ka, 2.0)));
    shop.make("current that the incoming device breaks", head(|incoming| times(&mut incoming.breaking_a, 1.5)));
    shop.make("short-time current of the incoming device", head(|incoming| times(&mut incoming.short_time_ka, 2.0)));
    shop.make("making capacity of the incoming device", head(|incoming| times(&mut incoming.making_ka, 2.0)));
    shop.make("horsepower of the incoming device", head(|incoming| times(&mut incoming.rating_hp, 2.0)));
    if incoming.category.starts_with("AC") {
        shop.make("category of the incoming device", head(|incoming| incoming.category = "AC-21A".to_owned()));
    }
    let part = incoming.part.clone();
    if let Some(other) = neighbour_of(&part, design) {
        shop.make(
            "another incoming device",
            head(|incoming| {
                incoming.part.clone_from(&other);
                incoming.parts[0].part.clone_from(&other);
            }),
        );
    }
    for index in 0..incoming.parts.len() {
        shop.make("part of the incoming device dropped", head(|incoming| _ = incoming.parts.remove(index)));
        shop.make("quantity of a part of the incoming device", head(|incoming| incoming.parts[index].quantity += 1.0));
        shop.make("description of a part of the incoming device", head(|incoming| incoming.parts[index].description.push('.')));
        shop.make("part of the incoming device by others", head(|incoming| incoming.parts[index].by_others = true));
    }
    let names = design.boards[shop.index]
        .checks
        .iter()
        .filter(|check| check.subject == "incoming device")
        .map(|check| check.name.clone());
    for name in names.filter(|name| name != "magnetic-trip-at-start" && name != "protection-maximum") {
        let unsaid = design.boards[shop.index].checks.iter().any(|check| check.name == name && check.passed.is_none());
        if !(unsaid && name == "short-circuit-rating") {
            shop.make("check of the incoming device left out", |board| {
                board.checks.retain(|check| check.name != name || check.subject != "incoming device");
            });
        }
    }
    if design.boards[shop.index].findings.iter().any(|finding| finding.code == "B332") {
        shop.make("an open check of the incoming device kept silent", |board| {
            board.findings.retain(|finding| finding.code != "B332")
        });
    }
}

/// Every way in which a board is made wrong.
fn wrong_boards(design: &Design) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for index in 0..design.boards.len() {
        let mut shop = Workshop { design, index, wrong: Vec::new() };
        sums_wrong(&mut shop);
        device_wrong(&mut shop);
        run_wrong(&mut shop);
        faults_wrong(&mut shop);
        room_wrong(&mut shop);
        incoming_wrong(&mut shop);
        checks_wrong(&mut shop);
        wrong.extend(shop.wrong);
    }
    for index in 0..design.circuits.len() {
        let mut changed = design.clone();
        times(&mut changed.circuits[index].fault.board_max_ka, 0.9);
        wrong.push(("fault current that a circuit takes for its board's", changed));
    }
    wrong
}

#[rstest::rstest]
#[case::iec("network-iec")]
#[case::nec("network-nec")]
fn a_board_that_was_made_wrong_is_rejected(#[case] name: &str) {
    let mut design = network(name);
    // The purchase list is counted from the same parts; here the boards themselves must tell.
    design.purchase.clear();
    let before: Vec<String> = said(&design);
    let of_boards = |all: &[String]| all.iter().filter(|words| words.contains("boards: ")).count();
    assert_eq!(of_boards(&before), 0, "{before:?}");
    let mut counts: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    let mut alive = Vec::new();
    for (kind, wrong) in wrong_boards(&design) {
        let (killed, all) = counts.entry(kind).or_default();
        *all += 1;
        if of_boards(&said(&wrong)) == 0 {
            let board = design
                .boards
                .iter()
                .zip(&wrong.boards)
                .find(|(board, other)| board != other)
                .map(|(board, _)| board.name.clone());
            alive.push(format!("{kind}: {board:?}"));
        } else {
            *killed += 1;
        }
    }
    for (kind, (killed, all)) in &counts {
        println!("{killed:6} of {all:6}  {kind}");
    }
    assert!(alive.is_empty(), "{alive:#?}");
    assert!(counts.len() >= 60, "{} kinds", counts.len());
}

/// IEC 60898-1: a miniature breaker holds its rating to 30 °C; in 35 °C the board says so. Where the circuit of that breaker was found
/// wrong afterwards, what is left on the board (a motor breaker, to 40 °C by IEC 60947-1) brings no second finding.
#[test]
fn a_circuit_that_was_found_wrong_brings_no_finding_of_its_board() {
    let schedule = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,protection_kind,cable_length_m\n\
                    P-1,MCC,motor,4,400,3,direct,motor-breaker,20\nH-1,MCC,heater,6,400,3,feeder,,20\n";
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
                 prospective_fault_ka = 8\nprospective_fault_min_ka = 3\n[design]\nambient_c = 35\n[[board]]\nname = \"MCC\"\n";
    let mut design = common::design_of(schedule, basis);
    let hot = |design: &Design| design.boards[0].findings.iter().any(|finding| finding.code == "B606");
    assert!(hot(&design), "{:?}", design.boards[0].findings);
    assert_eq!(said(&design), Vec::<String>::new());
    let heater = design.circuits.iter_mut().find(|circuit| circuit.tag == "H-1").expect("it is there");
    heater.status = motorwright::design::Status::NotSized;
    let told = said(&design);
    assert!(!told.iter().any(|words| words.starts_with("V860")), "{told:?}");
}
