//! Random networks, likely and unlikely ones: nothing panics, and the verifier agrees with all that is chosen. Where a basis contradicts
//! itself a finding says so, and circuits and boards are told by one reading of it.
//!
//! More with `MOTORWRIGHT_NETWORKS` (how many) and `SEED`; what fails is printed without all that it does not need.

mod common;

use std::panic::{AssertUnwindSafe, catch_unwind};

use common::dice::Dice;
use motorwright::design::Design;
use motorwright::project::{self, Options};

/// Supplies of the books: voltages that loads and boards of it have, and lines of the basis.
type Supply = (&'static [&'static str], &'static str);

const IEC: &[Supply] = &[
    (&["400", "230"], "voltage_v = 400\nphases = 3\nearthing = \"TN-S\"\n"),
    (&["400", "230"], "voltage_v = 400\nphases = 3\nearthing = \"TN-C\"\nsystem = \"400 V 3L+N\"\n"),
    (&["400", "230"], "voltage_v = 400\nearthing = \"TT\"\n"),
    (&["400", "230"], "voltage_v = 400\nearthing = \"IT\"\n"),
    (&["690", "400"], "voltage_v = 690\nearthing = \"IT\"\nsystem = \"690 V 3L\"\n"),
    (&["400", "230"], "voltage_v = 400\n"),
    (&["230"], "voltage_v = 230\nphases = 1\nearthing = \"TN-S\"\n"),
    (&["400", "230"], ""),
];

const NEC: &[Supply] = &[
    (&["480", "277"], "voltage_v = 480\nphases = 3\nsystem = \"480Y/277 4W solidly grounded\"\n"),
    (&["208", "120"], "voltage_v = 208\nsystem = \"208Y/120 4W solidly grounded\"\n"),
    (&["480", "277"], "voltage_v = 480\nsystem = \"480 delta corner-grounded\"\n"),
    (&["240", "120"], "voltage_v = 240\nsystem = \"240/120 delta 4W high leg\"\n"),
    (&["240", "120"], "voltage_v = 240\nphases = 1\nsystem = \"120/240 3W\"\n"),
    (&["480", "277"], "voltage_v = 480\nsystem = \"480 delta 3W ungrounded\"\n"),
    (&["480", "277"], "voltage_v = 480\nsystem = \"480Y/277 high-resistance grounded\"\n"),
    (&["480", "277"], "voltage_v = 480\n"),
    (&["480", "120"], ""),
];

const FAULTS: &[&str] = &[
    "prospective_fault_ka = 16\nprospective_fault_min_ka = 8\nx_over_r = 2\n",
    "upstream_fault_mva = 250\ntransformer_kva = 1000\ntransformer_impedance_pct = 6\n",
    "prospective_fault_ka = 30\n",
    "",
];

const BOARDS: [&str; 4] = ["A", "B", "C", "D"];
const UNITS: [&str; 2] = ["T1", "T2"];
const MACHINES: [&str; 1] = ["G1"];

/// Keys of a board, of which one of each list stands there, and words that differ between the books.
const KEYS: [&[&str]; 8] = [
    &["", "", "feeder_length_m = 5", "feeder_length_m = 50"],
    &["", "", "", "phases = 1", "phases = 3"],
    &["", "", "", "incoming = \"circuit-breaker\"", "incoming = \"switch-disconnector\"", "incoming = \"none\""],
    &["", "", "", "", "prospective_fault_ka = 9"],
    &["", "", "", "", "existing_load_a = 20"],
    &["", "", "", "", "demand_factor = 0.8"],
    &["", "", "", "", "spare_pct = 20"],
    &["", "", "", "", "control_voltage = \"24 V DC\"", "control_voltage = \"120 V AC\""],
];
const OF_IEC: [&[&str]; 3] = [
    &["", "", "", "voltage_v = 230", "voltage_v = 400", "voltage_v = 120", "voltage_v = 480", "voltage_v = 690"],
    &["", "", "", "", "earthing = \"TT\"", "earthing = \"IT\"", "earthing = \"TN-C-S\""],
    &["", "", "", "", "system = \"L-L\"", "system = \"L+N\"", "system = \"3L\"", "system = \"3L+N\""],
];
const OF_NEC: [&[&str]; 3] = [
    &["", "", "", "voltage_v = 120", "voltage_v = 208", "voltage_v = 240", "voltage_v = 277", "voltage_v = 480"],
    &[""],
    &["", "", "", "", "system = \"120/240 3W\"", "system = \"208Y/120 4W\"", "system = \"240 delta 3W\"", "system = \"2W L-N\""],
];
const SECONDARIES: [&[&str]; 2] = [&["", "400", "420", "230", "690"], &["", "208", "240", "480", "120"]];
const BEHIND: [&[&str]; 2] =
    [&["", "", "3L+N", "3L"], &["", "", "208Y/120 4W solidly grounded", "120/240 3W", "240 delta corner-grounded"]];

const HEAD: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,connection,quantity,motors_per_starter,bypass,\
    reversing,running,duty_group,duty_count,space_heater_w,given_contactor_a,given_protection_kind,given_protection_a,given_conductor,\
    cable_length_m\n";
const METHODS: &[&str] =
    &["direct", "direct", "direct", "star-delta", "soft-starter", "drive", "autotransformer", "part-winding", "manual"];

/// A schedule and its basis, each in lines.
#[derive(Clone)]
struct Network {
    rows: Vec<String>,
    basis: Vec<String>,
}

impl Network {
    fn drawn(book: &str, seed: u64) -> Self {
        let mut dice = Dice(seed);
        let nec = usize::from(book == "nec");
        let (volts, supply) = [IEC, NEC][nec][dice.roll([IEC, NEC][nec].len())];
        let frequency = ["frequency_hz = 50\n", "frequency_hz = 60\n"][nec];
        let mut basis = format!("[rules]\nbook = \"{book}\"\n[supply]\n{supply}{frequency}{}", dice.pick(FAULTS));
        // Most are named as a careful person names them.
        let clash = dice.roll(4) == 0;
        let every: Vec<&str> = BOARDS.iter().chain(&UNITS).chain(&MACHINES).copied().collect();
        let mut boards: Vec<&str> = Vec::new();
        for _ in 0..=dice.roll(4) {
            let name = dice.pick(&BOARDS);
            if clash || !boards.contains(&name) {
                boards.push(name);
            }
        }
        for (index, name) in boards.iter().enumerate() {
            if clash && dice.roll(12) == 0 {
                basis.push_str("[[board]]\n");
                continue;
            }
            basis.push_str(&format!("[[board]]\nname = \"{name}\"\n"));
            basis.push_str(&fed_from(&mut dice, &boards[..index], &every));
            for choices in KEYS.iter().chain(&[OF_IEC, OF_NEC][nec]) {
                basis.push_str(&line(dice.pick(choices)));
            }
        }
        let count = dice.roll(3);
        for usual in UNITS.iter().take(count) {
            let name = if clash { dice.pick(&every) } else { usual };
            basis.push_str(&transformer(&mut dice, name, nec, (&boards, &every)));
        }
        if dice.roll(3) == 0 {
            let name = if clash { dice.pick(&every) } else { "G1" };
            basis.push_str(&format!("[[source]]\nname = \"{name}\"\nkva = {}\n", dice.pick(&["60", "500"])));
            basis.push_str(dice.pick(&[
                "kind = \"generator\"\nsubtransient_reactance_pct = 15\n",
                "kind = \"generator\"\n",
                "kind = \"utility\"\n",
            ]));
        }
        let elsewhere = if clash { dice.pick(&every) } else { "E" };
        let on = [&boards[..], &boards[..], &[elsewhere, ""]].concat();
        let rows = (0..=dice.roll(5)).map(|index| row(&mut dice, index, &on, volts)).collect();
        Self { rows, basis: basis.lines().map(str::to_owned).collect() }
    }

    /// The codes of the verifier against it; `panic` where there is one.
    fn faults(&self) -> Vec<String> {
        self.judged().1
    }

    /// Whether a design is made of it, a basis may be refused, and what is wrong with it.
    fn judged(&self) -> (bool, Vec<String>) {
        let mut made = false;
        let mut found = match catch_unwind(AssertUnwindSafe(|| self.design())) {
            Err(_) => vec!["panic".to_owned()],
            Ok(None) => Vec::new(),
            Ok(Some(design)) => {
                made = true;
                let all = design.all_findings().into_iter().filter(|(_, finding)| finding.code.starts_with('V'));
                all.map(|(_, finding)| format!("{} {}", finding.code, finding.what)).collect()
            }
        };
        found.sort();
        (made, found)
    }

    fn texts(&self) -> [String; 2] {
        [format!("{HEAD}{}", self.rows.concat()), self.basis.iter().map(|line| format!("{line}\n")).collect()]
    }

    /// None where the basis is none.
    fn design(&self) -> Option<Design> {
        let [schedule, basis] = self.texts();
        let folder = common::folder_with("loads.csv", schedule.as_bytes());
        std::fs::write(folder.path().join("basis.toml"), basis).expect("a file");
        let options = Options {
            schedule: folder.path().join("loads.csv"),
            basis: Some(folder.path().join("basis.toml")),
            ..Options::default()
        };
        Some(project::open(&options).ok()?.design())
    }

    /// The same without one row, one section or key of the basis, or one cell.
    fn smaller(&self) -> Vec<Self> {
        let mut smaller = Vec::new();
        for at in 0..self.rows.len() {
            let mut one = self.clone();
            one.rows.remove(at);
            smaller.push(one);
        }
        let sections = (0..self.basis.len()).filter(|at| self.basis[*at].starts_with("[["));
        for at in sections {
            let mut one = self.clone();
            let length =
                one.basis[at + 1..].iter().position(|line| line.starts_with('[')).map_or(one.basis.len() - at, |next| next + 1);
            one.basis.drain(at..at + length);
            smaller.push(one);
        }
        for at in (0..self.basis.len()).filter(|at| !self.basis[*at].starts_with('[')) {
            let mut one = self.clone();
            one.basis.remove(at);
            smaller.push(one);
        }
        for at in 0..self.rows.len() {
            let cells: Vec<&str> = self.rows[at].trim_end().split(',').collect();
            for cell in (1..cells.len()).filter(|cell| !cells[*cell].is_empty()) {
                let mut emptied = cells.clone();
                emptied[cell] = "";
                let mut one = self.clone();
                one.rows[at] = format!("{}\n", emptied.join(","));
                smaller.push(one);
            }
        }
        smaller
    }

    /// The same without all that a fault does not need.
    fn reduced(mut self, code: &str) -> Self {
        let bears = |network: &Self| network.faults().iter().any(|fault| fault.starts_with(code));
        loop {
            let Some(next) = self.smaller().into_iter().find(bears) else { return self };
            self = next;
        }
    }
}

fn line(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("{text}\n") }
}

/// A transformer between boards, seldom between anything there is or is not.
fn transformer(dice: &mut Dice, name: &str, nec: usize, (boards, every): (&[&str], &[&str])) -> String {
    let named = if dice.roll(6) == 0 { String::new() } else { format!("name = \"{name}\"\n") };
    let mut text = format!("[[transformer]]\n{named}kva = {}\n", dice.pick(&["25", "160", "630"]));
    let mut end = |key: &str| {
        let at = if dice.roll(5) == 0 { dice.pick(every) } else { dice.pick(boards) };
        format!("{key} = \"{at}\"")
    };
    let (to, from) = (end("to"), end("from"));
    text.push_str(&line(dice.pick(&["", &to, &to])));
    text.push_str(&line(dice.pick(&["", &from])));
    let secondary = dice.pick(SECONDARIES[nec]);
    if !secondary.is_empty() {
        text.push_str(&format!("secondary_voltage_v = {secondary}\n"));
    }
    text.push_str(dice.pick(&["", "impedance_pct = 5\n", "impedance_pct = 5\n"]));
    let behind = dice.pick(BEHIND[nec]);
    if !behind.is_empty() {
        text.push_str(&format!("system = \"{behind}\"\n"));
    }
    text
}

/// A board is fed from one before it as a rule, seldom from anything there is or is not.
fn fed_from(dice: &mut Dice, before: &[&str], every: &[&str]) -> String {
    let first = match dice.roll(10) {
        0..=3 if !before.is_empty() => dice.pick(before),
        4 | 5 => dice.pick(every),
        6 => "supply",
        7 => "E",
        _ => return String::new(),
    };
    let others = dice.pick(&["", "", "", "", "; G1", ", A", "; E"]);
    format!("fed_from = \"{first}{others}\"\n")
}

fn row(dice: &mut Dice, index: usize, boards: &[&str], volts: &[&str]) -> String {
    let (kind, method, phases) = match dice.roll(8) {
        0..=3 => ("motor", dice.pick(METHODS), "3"),
        4 => ("motor", dice.pick(&["direct", "manual"]), "1"),
        5 => ("heater", "contactor", dice.pick(&["3", "1", "1"])),
        6 => ("lighting", dice.pick(&["contactor", "feeder"]), dice.pick(&["3", "1"])),
        _ => (dice.pick(&["packaged", "other", "capacitor"]), dice.pick(&["feeder", "contactor"]), dice.pick(&["3", "1"])),
    };
    let usual = if phases == "3" { volts[0] } else { dice.pick(volts) };
    let volts = if dice.roll(8) == 0 { dice.pick(&["", "120", "208", "230", "400", "480", "690"]) } else { usual };
    let connection = match phases {
        "3" => dice.pick(&["", "", "", "3L", "3L+N"]),
        _ => dice.pick(&["", "", "", "L-N", "L-L"]),
    };
    let phases = if dice.roll(10) == 0 { "" } else { phases };
    let given = match dice.roll(6) {
        0 => "25,gG,20,2.5 mm2",
        1 => "12,motor-breaker,,",
        2 => ",inverse-time,30,12 AWG",
        _ => ",,,",
    };
    let cells = [
        dice.pick(boards),
        kind,
        dice.pick(&["0.75", "3", "3", "11", "45"]),
        volts,
        phases,
        method,
        connection,
        dice.pick(&["", "", "", "2", "4"]),
        dice.pick(&["", "", "", "", if kind == "motor" { "2" } else { "" }]),
        dice.pick(&["", "", "", if matches!(method, "soft-starter" | "drive") { "yes" } else { "" }]),
        dice.pick(&["", "", "", if method == "direct" { "yes" } else { "" }]),
        dice.pick(&["", "", "", "duty", "standby", "spare"]),
        dice.pick(&["", "", "", "G-1"]),
        dice.pick(&["", "", "", "1"]),
        dice.pick(&["", "", "", if kind == "motor" { "60" } else { "" }]),
        given,
        dice.pick(&["20", "20", "80", ""]),
    ];
    format!("P-{index},{}\n", cells.join(","))
}

#[rstest::rstest]
#[case::iec("iec")]
#[case::nec("nec")]
fn the_verifier_agrees_on_random_networks(#[case] book: &str) {
    let stated = |name: &str| std::env::var(name).ok().and_then(|count| count.parse::<u64>().ok());
    let (seed, count) = (stated("SEED").unwrap_or(1), stated("MOTORWRIGHT_NETWORKS").unwrap_or(180));
    let mut told: Vec<String> = Vec::new();
    let (mut boards, mut designs) = (0, 0_u64);
    for turn in 0..count {
        let network = Network::drawn(book, 1_000_000 * seed + turn);
        let (made, faults) = network.judged();
        designs += u64::from(made);
        boards += network.basis.iter().filter(|line| *line == "[[board]]").count();
        let Some(first) = faults.first() else { continue };
        let code = first[..4.min(first.len())].to_owned();
        let reduced = network.reduced(&code);
        let [schedule, basis] = reduced.texts();
        told.push(format!("seed {} turn {turn}\n{}\n{basis}{schedule}", seed, reduced.faults().join("\n")));
        if told.len() >= 12 {
            break;
        }
    }
    assert!(told.is_empty(), "{} networks\n{}", told.len(), told.join("\n"));
    assert!(boards > 180, "{boards}");
    assert!(designs * 10 > count * 9, "of {count} networks {designs} gave a design");
}
