//! A schedule of every starting method with every horsepower, voltage, kind of device, family and edition, and its rows as the
//! guards know them.

use motorwright::design::{Circuit, Design};
use motorwright::load::Method;

use super::common::design_of;
use super::tables;

/// Horsepower of Table 430.250 and its single-phase companions.
pub(crate) const HORSEPOWER: [f64; 27] = [
    0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0, 125.0, 150.0,
    200.0, 250.0, 300.0, 350.0, 400.0, 500.0,
];

/// Voltage, phases and board.
pub(crate) const SUPPLIES: [(u32, u32, &str); 8] = [
    (460, 3, "M480"),
    (208, 3, "L208"),
    (115, 1, "L208"),
    (200, 3, "L208"),
    (230, 3, "D240"),
    (208, 1, "L208"),
    (575, 3, "M600"),
    (230, 1, "D240"),
];

pub(crate) const KINDS: [&str; 7] =
    ["inverse-time", "instantaneous", "dual-element", "non-time-delay", "class-J", "class-CC", "class-RK1"];

/// Largest fault current of each board, kA.
pub(crate) const FAULT_KA: [(&str, f64); 4] = [("M480", 22.0), ("L208", 8.0), ("D240", 9.0), ("M600", 14.0)];

pub(crate) fn basis(edition: &str, family: &str, termination: bool) -> String {
    let mut text = format!(
        "[rules]\nbook = \"nec\"\nedition = \"{edition}\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\n\
         system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\nprospective_fault_min_ka = 15\nx_over_r = 4\n\
         [design]\ncontroller_family = \"{family}\"\n"
    );
    if termination {
        text.push_str("termination_c = 75\n");
    }
    for (name, volts, system, fault) in [
        ("M480", 480, "480Y/277 4W solidly grounded", 22),
        ("L208", 208, "208Y/120 4W solidly grounded", 8),
        ("D240", 240, "240/120 high-leg delta 4W solidly grounded", 9),
        ("M600", 600, "600Y/347 4W solidly grounded", 14),
    ] {
        text.push_str(&format!(
            "[[board]]\nname = \"{name}\"\nvoltage_v = {volts}\nphases = 3\nsystem = \"{system}\"\nprospective_fault_ka = {fault}\n\
             prospective_fault_min_ka = {}\nx_over_r = 4\n",
            f64::from(fault) * 0.6
        ));
    }
    text
}

/// As a cell is written.
fn cut(figure: f64) -> f64 {
    (figure * 1000.0).round() / 1000.0
}

/// One row as it is written.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub(crate) method: Method,
    pub(crate) hp: f64,
    pub(crate) volts: u32,
    pub(crate) phases: u32,
    pub(crate) board: &'static str,
    pub(crate) kind: &'static str,
    pub(crate) nameplate: Option<f64>,
    pub(crate) low: Option<f64>,
    pub(crate) rotor: f64,
    pub(crate) service_factor: Option<f64>,
    pub(crate) length_ft: f64,
    pub(crate) supply_m: Option<f64>,
    pub(crate) air_c: f64,
    pub(crate) grouped: u32,
    pub(crate) insulation: &'static str,
    pub(crate) raceway: &'static str,
    pub(crate) location: &'static str,
    pub(crate) copper: bool,
    pub(crate) premium: bool,
    pub(crate) drive_input: Option<f64>,
    pub(crate) bypass: bool,
    pub(crate) quantity: u32,
    // The keys of the basis.
    pub(crate) edition: &'static str,
    pub(crate) family: &'static str,
    pub(crate) termination: bool,
}

impl Row {
    /// An ordinary row: 100 ft of THWN-2 copper in EMT, alone, in 30 °C.
    pub(crate) fn plain(method: Method, hp: f64, supply: (u32, u32, &'static str), kind: &'static str) -> Self {
        let (volts, phases, board) = supply;
        let table = tables::full_load(hp, volts, phases);
        // Where the table has none, about what a motor draws.
        let about = hp * 290.0 / f64::from(volts) * if phases == 1 { 3.0 } else { 2.0 };
        let nameplate = Some(cut(table.map_or(about, |table| table * 0.95)));
        Self {
            method,
            hp,
            volts,
            phases,
            board,
            kind,
            nameplate,
            low: nameplate.map(|nameplate| cut(nameplate * 0.4)),
            rotor: hp * 1.5,
            service_factor: Some(1.15),
            length_ft: 100.0,
            supply_m: None,
            air_c: 30.0,
            grouped: 1,
            insulation: "THWN-2",
            raceway: "emt",
            location: "dry",
            copper: true,
            premium: false,
            drive_input: None,
            bypass: false,
            quantity: 1,
            edition: "2023",
            family: "nema",
            termination: true,
        }
    }

    fn varied(mut self, number: usize) -> Self {
        let pick = |every: usize| number / every;
        self.service_factor = [Some(1.15), Some(1.0), None, Some(1.25)][number % 4];
        self.length_ft = [30.0, 100.0, 250.0][number % 3];
        self.supply_m = number.is_multiple_of(5).then_some(12.0);
        self.air_c = [30.0, 40.0, 24.0, 41.0, 52.0][number % 5];
        self.grouped = [1, 2, 1, 4][pick(3) % 4];
        self.insulation = ["THWN-2", "XHHW-2", "THWN-2", "THHN", "THW"][pick(2) % 5];
        self.raceway = ["emt", "rmc", "pvc", "imc", "pvc-80"][pick(5) % 5];
        self.location = if self.insulation == "THHN" { "dry" } else { ["dry", "wet", "rooftop", "dry"][pick(7) % 4] };
        self.copper = !number.is_multiple_of(11);
        self.premium = number.is_multiple_of(3);
        self.bypass = pick(2) % 3 == 0;
        self.quantity = 1 + u32::from(number.is_multiple_of(6));
        if number % 4 == 1 {
            self.drive_input = self.nameplate.map(|nameplate| (nameplate * 11.0).round() / 10.0);
        }
        let table = tables::full_load(self.hp, self.volts, self.phases);
        if table.is_some() && !self.method_counts_by_nameplate() {
            self.nameplate = match number % 7 {
                0 => None,
                1 => table.map(|table| cut(table * 1.04)),
                _ => self.nameplate,
            };
        }
        self
    }

    pub(crate) fn method_counts_by_nameplate(&self) -> bool {
        matches!(self.method, Method::TwoSpeed | Method::TwoSpeedDahlander | Method::TwoSpeedSeparate)
    }
}

const HEAD: &str = "tag,rated_power_hp,voltage_v,phases,board,full_load_current_a,full_load_current_low_a,rotor_current_a,\
    service_factor,starting_method,protection_kind,cable_length_ft,supply_length_m,ambient_c,grouped_circuits,insulation,\
    installation_method,location,conductor,design_letter,efficiency_class,drive_input_current_a,bypass,quantity,motor_voltages\n";

pub(crate) fn text(rows: &[Row]) -> String {
    let mut text = HEAD.to_owned();
    let cell = |figure: Option<f64>| figure.map(|figure| format!("{figure:.3}")).unwrap_or_default();
    for (number, row) in rows.iter().enumerate() {
        text.push_str(&format!(
            "T-{number},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n",
            row.hp,
            row.volts,
            row.phases,
            row.board,
            cell(row.nameplate),
            cell(row.low),
            row.rotor,
            cell(row.service_factor),
            row.method.word(),
            row.kind,
            row.length_ft,
            cell(row.supply_m),
            row.air_c,
            row.grouped,
            row.insulation,
            row.raceway,
            row.location,
            if row.copper { "copper" } else { "aluminium" },
            if row.premium { "B" } else { "" },
            if row.premium { "NEMA-premium" } else { "" },
            cell(row.drive_input),
            if row.bypass { "yes" } else { "no" },
            row.quantity,
            format_args!("{}/{:.0}", row.volts, f64::from(row.volts) * 3f64.sqrt()),
        ));
    }
    text
}

/// Rows of one basis with their circuits.
pub(crate) fn sized(rows: Vec<Row>) -> (Design, Vec<Row>) {
    let first = &rows[0];
    let design = design_of(&text(&rows), &basis(first.edition, first.family, first.termination));
    assert_eq!(design.circuits.len(), rows.len(), "nothing is lost: one circuit a row");
    for (number, circuit) in design.circuits.iter().enumerate() {
        assert_eq!(circuit.tag, format!("T-{number}"));
    }
    (design, rows)
}

/// The bases: edition, family, termination written or not.
pub(crate) const BASES: [(&str, &str, bool); 6] = [
    ("2023", "nema", true),
    ("2023", "iec-frames", true),
    ("2020", "nema", false),
    ("2020", "iec-frames", true),
    ("2017", "nema", true),
    ("2017", "iec-frames", false),
];

/// Every method with every other horsepower and voltage; bases, kinds of device and circumstances turn, from another place with
/// every `turn`. With `MOTORWRIGHT_ALL_GUARDS` in the environment every row stands under every basis.
pub(crate) fn every_method(turn: usize) -> Vec<(Design, Vec<Row>)> {
    let all = std::env::var_os("MOTORWRIGHT_ALL_GUARDS").is_some();
    (0..BASES.len()).map(|base| sized(rows_of(base, turn, all))).collect()
}

fn rows_of(base: usize, turn: usize, all: bool) -> Vec<Row> {
    let (edition, family, termination) = BASES[base];
    let (mut rows, mut number) = (Vec::new(), turn);
    for (method, _) in Method::ALL {
        for supply in SUPPLIES {
            for hp in HORSEPOWER {
                if supply.1 == 1 && hp > 15.0 {
                    continue;
                }
                number += 1;
                if !all && number % (2 * BASES.len()) != 2 * base + turn % 2 {
                    continue;
                }
                let shifted = number / BASES.len() + number + base;
                let row = Row::plain(*method, hp, supply, KINDS[shifted % KINDS.len()]).varied(shifted + number / 13);
                rows.push(Row { edition, family, termination, ..row });
            }
        }
    }
    rows
}

pub(crate) fn name(row: &Row, circuit: &Circuit) -> String {
    format!("{} [{row:?}]", circuit.tag)
}
