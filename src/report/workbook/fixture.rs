//! An invented design of six circuits on two boards, for tests of writers. Its figures are made up and prove nothing about sizing.

use crate::basis::Basis;
use crate::design::{
    Accessory, Assumption, Caution, Check, Circuit, CircuitPlace, Contactor, CriterionSize, Currents, Design, Disconnect,
    LoadData, Overload, Protection, PurchaseLine, PurchaseStatus, Run, SourceDocument, StarterDevice, Status,
};
use crate::finding::{Finding, Place, Severity};
use crate::intake::{Cell, Content, Grid, Mapping, SkipReason, Skipped};
use crate::load::Field;
use crate::record::{Formula, Step};
use crate::report::ReportInput;

/// Everything that a report is made from.
pub(super) struct Fixture {
    pub(super) design: Design,
    pub(super) grids: Vec<Grid>,
    pub(super) rows: Vec<(usize, u32)>,
    pub(super) mappings: Vec<Mapping>,
    pub(super) skipped: Vec<Skipped>,
    pub(super) assumptions: Vec<Assumption>,
    pub(super) cautions: Vec<Caution>,
    pub(super) sources: Vec<SourceDocument>,
}

static CURRENT: Formula = Formula {
    quantity: "rated current of the motor",
    text: "I = 1000 P / (√3 U η cosφ)",
    sheet: "1000*P/(SQRT(3)*U*eff*pf)",
    inputs: &["P", "U", "eff", "pf"],
    unit: "A",
    reference: "physics",
    compute: |n| 1000.0 * n[0] / (3f64.sqrt() * n[1] * n[2] * n[3]),
};
static DROP: Formula = Formula {
    quantity: "voltage drop while running",
    text: "ΔU = √3 I L (r cosφ + x sinφ)",
    sheet: "SQRT(3)*I*L*(r*pf+x*SQRT(1-pf^2))",
    inputs: &["I", "L", "r", "x", "pf"],
    unit: "V",
    reference: "IEC 60364-5-52, Annex G",
    compute: |n| 3f64.sqrt() * n[0] * n[1] * (n[2] * n[4] + n[3] * (1.0 - n[4] * n[4]).sqrt()),
};

static TRIP: Formula = Formula {
    quantity: "lowest magnetic trip",
    text: "Im- = Im (1 - p / 100)",
    sheet: "Im*(1-p/100)",
    inputs: &["Im", "p"],
    unit: "A",
    reference: "tolerance of the instantaneous trip",
    compute: |n| n[0] * (1.0 - n[1] / 100.0),
};

impl Fixture {
    pub(super) fn with<T>(&self, work: impl FnOnce(&ReportInput) -> T) -> T {
        let working = |index: usize| steps(index);
        work(&ReportInput {
            design: &self.design,
            grids: &self.grids,
            rows: &self.rows,
            mappings: &self.mappings,
            skipped: &self.skipped,
            basis: &self.design.basis,
            assumptions: &self.assumptions,
            cautions: &self.cautions,
            sources: &self.sources,
            working: &working,
        })
    }

    pub(super) fn new() -> Self {
        let circuits = vec![direct(), star_delta(), not_sized(), drive(), heater(), hoist()];
        let rows = circuits.iter().map(|circuit| (0, circuit.place.row - 1)).collect();
        let mut design = Design {
            schema: crate::design::SCHEMA.to_owned(),
            program_version: "0.1.0".to_owned(),
            rule_book: "iec".to_owned(),
            circuits,
            basis: basis(),
            ..Design::default()
        };
        design.catalogue.demonstration = true;
        design.catalogue.name = "invented demonstration range".to_owned();
        design.purchase = purchase();
        design.findings = vec![finding(
            "K901",
            Severity::Note,
            None,
            "the built-in invented range is used; no part of it can be bought",
            "name a folder with the catalogue of a real supplier",
        )];
        Self {
            design,
            grids: vec![grid()],
            rows,
            mappings: vec![mapping(6, "starting_method", Field::StartingMethod), mapping(1, "description", Field::Description)],
            skipped: vec![Skipped { sheet: Some("Motors".to_owned()), row: 4, reason: SkipReason::Section }],
            assumptions: vec![
                Assumption {
                    what: "Voltage drop while running".to_owned(),
                    value: "5 %".to_owned(),
                    origin: "default".to_owned(),
                    reference: "IEC 60364-5-52, Table G.52.1".to_owned(),
                },
                Assumption {
                    what: "Earthing".to_owned(),
                    value: "TN-S".to_owned(),
                    origin: "basis".to_owned(),
                    reference: "IEC 60364-1, 312.2".to_owned(),
                },
            ],
            cautions: vec![Caution {
                id: "1".to_owned(),
                text: "Stored energy: wait until the capacitors of a drive are discharged before touching its terminals."
                    .to_owned(),
                source: "maker's instructions".to_owned(),
                applies_to: vec!["AH-3".to_owned()],
            }],
            sources: vec![SourceDocument {
                table: "Current-carrying capacities".to_owned(),
                source: "IEC 60364-5-52:2009, Table B.52.4".to_owned(),
                status: "confirmed against two handbooks".to_owned(),
            }],
        }
    }
}

fn steps(index: usize) -> Vec<Step> {
    if index == 2 {
        return Vec::new();
    }
    let step = |formula: &'static Formula, numbers: Vec<f64>| Step {
        formula,
        result: (formula.compute)(&numbers),
        numbers,
        reference: formula.reference,
    };
    vec![
        step(&CURRENT, vec![7.5, 400.0, 0.904, 0.84]),
        step(&DROP, vec![14.27, 95.0, 0.0037, 0.000_094, 0.84]),
        step(&TRIP, vec![208.0, 20.0]),
    ]
}

fn basis() -> Basis {
    let mut basis = Basis::default();
    basis.project.name = Some("Invented wash water works & sons".to_owned());
    basis.project.number = Some("P-0815".to_owned());
    basis.project.revision = Some("B".to_owned());
    basis.project.issue_date = Some("2026-11-25".to_owned());
    basis
}

fn text(words: &str) -> Cell {
    Cell { content: if words.is_empty() { Content::Empty } else { Content::Text(words.into()) }, ..Cell::default() }
}

fn number(value: f64) -> Cell {
    Cell { content: Content::Number(value), ..Cell::default() }
}

fn mapping(column: u32, heading: &str, field: Field) -> Mapping {
    let sheet = Some("Motors".to_owned());
    Mapping { sheet, column, heading: heading.to_owned(), field: Some(field), before: 0, unit: "", conversion: String::new() }
}

fn grid() -> Grid {
    let row = |cells: [Cell; 8]| cells.to_vec();
    let motor = |tag: &str, what: &str, board: &str, kw: Cell, amperes: Cell, method: &str, metres: Cell| {
        row([text(tag), text(what), text(board), kw, number(400.0), amperes, text(method), metres])
    };
    Grid {
        file: "loads.xlsx".to_owned(),
        sheet: Some("Motors".to_owned()),
        header_row: Some(2),
        rows: vec![
            vec![text("Motor load list, revision B")],
            vec![text("Issued"), Cell { content: Content::date(46_351.0, "2026-11-25"), ..Cell::default() }],
            [
                "tag",
                "description",
                "board",
                "rated_power_kw",
                "voltage_v",
                "full_load_current_a",
                "starting_method",
                "cable_length_m",
            ]
            .map(text)
            .to_vec(),
            vec![text("Pumps")],
            motor("P-201A/B", "Wash water pump", "MCC-1", number(7.5), text(""), "direct", number(95.0)),
            motor("F-305", "Supply fan", "MCC-1", number(45.0), number(80.2), "star-delta", number(60.0)),
            motor("SP-09", "Sump pump", "MCC-1", text("TBC"), text(""), "direct", text("")),
            motor("AH-3", "Air handler <&\"'>", "MCC-2", number(15.0), number(28.5), "drive", number(40.0)),
            motor("HTR-12", "Duct heater", "MCC-2", number(12.0), text(""), "contactor", number(35.0)),
            motor("H-1", "=1+1", "MCC-2", number(2.2), number(4.6), "direct", number(40.0)),
        ]
        .into(),
        ..Grid::default()
    }
}

fn finding(code: &str, severity: Severity, cell: Option<(u32, &str, &str)>, what: &str, cure: &str) -> Finding {
    Finding {
        code: code.to_owned(),
        severity,
        place: cell.map(|(row, column, heading)| Place {
            file: "loads.xlsx".to_owned(),
            sheet: Some("Motors".to_owned()),
            row: Some(row),
            column: (!column.is_empty()).then(|| column.to_owned()),
            heading: (!heading.is_empty()).then(|| heading.to_owned()),
            text: None,
        }),
        what: what.to_owned(),
        why: String::new(),
        cure: cure.to_owned(),
        reference: "IEC 60947-4-1".to_owned(),
    }
}

fn circuit(row: u32, tag: &str, description: &str, board: &str, status: Status, kw: f64, method: &str) -> Circuit {
    Circuit {
        tag: tag.to_owned(),
        tags: vec![tag.to_owned()],
        board: board.to_owned(),
        description: description.to_owned(),
        quantity: 1,
        place: CircuitPlace { file: "loads.xlsx".to_owned(), sheet: Some("Motors".to_owned()), row },
        status,
        load: LoadData {
            kind: "motor".to_owned(),
            rated_power_kw: (kw > 0.0).then_some(kw),
            voltage_v: Some(400.0),
            starting_method: Some(method.to_owned()),
            ..LoadData::default()
        },
        ..Circuit::default()
    }
}

fn currents(full: f64, source: &str, starting: f64) -> Currents {
    Currents {
        full_load_a: full,
        source: source.to_owned(),
        starting_a: starting,
        protection_basis_a: full,
        ..Currents::default()
    }
}

fn contactor(role: &str, current: f64, rated: f64, category: &str) -> Contactor {
    Contactor {
        role: role.to_owned(),
        current_a: current,
        rated_a: rated,
        category: category.to_owned(),
        frame: "2".to_owned(),
        part: format!("GEN-K{rated}"),
        poles_in_parallel: 1,
        ..Contactor::default()
    }
}

fn overload(kind: &str, range: [f64; 2], setting: f64, factor: f64) -> Overload {
    Overload {
        count: 1,
        role: "main".to_owned(),
        position: "line".to_owned(),
        winding_factor: factor,
        kind: kind.to_owned(),
        trip_class: "10".to_owned(),
        range_a: range,
        setting_a: setting,
        part: String::new(),
        dial_a: None,
        transformer_part: String::new(),
        ultimate_trip_a: None,
        poles_in_series: None,
    }
}

fn protection(kind: &str, rating: f64, trip: Option<f64>) -> Protection {
    Protection {
        kind: kind.to_owned(),
        rating_a: rating,
        magnetic_trip_a: trip,
        breaking_ka: Some(50.0),
        coordination: "type-2".to_owned(),
        part: format!("GEN-Q{rating}"),
        ..Protection::default()
    }
}

fn run(role: &str, size: &str, per_phase: u32, length: f64, governed: &str) -> Run {
    Run {
        role: role.to_owned(),
        phase_size: size.to_owned(),
        per_phase,
        protective_size: size.to_owned(),
        material: "copper".to_owned(),
        insulation: "xlpe".to_owned(),
        installation: "E".to_owned(),
        length_m: length,
        cores: 4,
        capacity_a: 49.0,
        required_a: 16.0,
        governed_by: governed.to_owned(),
        holds_to_m: Some(143.0),
        criteria: vec![
            CriterionSize { criterion: "current-carrying-capacity".to_owned(), size: "2.5 mm2".to_owned() },
            CriterionSize { criterion: governed.to_owned(), size: size.to_owned() },
        ],
        part: "GEN-CABLE-4G6".to_owned(),
        ..Run::default()
    }
}

fn check(name: &str, value: f64, limit: f64, unit: &str) -> Check {
    Check {
        name: name.to_owned(),
        value: Some(value),
        limit: Some(limit),
        unit: unit.to_owned(),
        passed: Some(value <= limit),
        margin_pct: Some(100.0 * (limit - value) / limit),
        reference: "IEC 60364-5-52, 525".to_owned(),
        ..Check::default()
    }
}

fn direct() -> Circuit {
    let mut circuit = circuit(5, "P-201A/B", "Wash water pump", "MCC-1", Status::Sized, 7.5, "direct");
    circuit.tags = vec!["P-201A".to_owned(), "P-201B".to_owned()];
    circuit.quantity = 2;
    circuit.currents = currents(14.27, "computed", 99.9);
    circuit.contactors = vec![contactor("main", 14.27, 20.0, "AC-3")];
    circuit.overloads = vec![overload("motor-breaker", [10.0, 16.0], 14.3, 1.0)];
    circuit.protection = Some(protection("motor-breaker", 16.0, Some(208.0)));
    circuit.runs = vec![run("supply", "6 mm2", 1, 95.0, "disconnection")];
    circuit.disconnect = Some(Disconnect {
        kind: "local-isolator".to_owned(),
        category: "AC-23A".to_owned(),
        rating_a: Some(25.0),
        lockable: true,
        part: "GEN-S25".to_owned(),
        ..Disconnect::default()
    });
    circuit.accessories = vec![Accessory {
        kind: "auxiliary-block".to_owned(),
        part: "GEN-AUX-11".to_owned(),
        quantity: 1,
        serves: "main".to_owned(),
        no: 1,
        nc: 1,
        why: "seal-in and feedback".to_owned(),
        ..Accessory::default()
    }];
    circuit.checks = vec![
        check("running-voltage-drop", 2.8, 5.0, "%"),
        check("starting-voltage-drop", 6.2, 15.0, "%"),
        check("breaking-capacity", 18.0, 50.0, "kA"),
    ];
    circuit.findings = vec![
        finding(
            "R104",
            Severity::Note,
            Some((5, "F", "full_load_current_a")),
            "No current given: 14.3 A computed from 7.5 kW, 90.4 %, 0.84.",
            "Enter the nameplate current to replace it.",
        ),
        finding(
            "C208",
            Severity::Warning,
            Some((5, "G", "starting_method")),
            "The first half-cycle of the start uses 98 % of the lowest magnetic trip.",
            "Ask the motor's maker for the peak factor.",
        ),
    ];
    finished(circuit)
}

fn star_delta() -> Circuit {
    let mut circuit = circuit(6, "F-305", "Supply fan", "MCC-1", Status::NeedsDecision, 45.0, "star-delta");
    circuit.currents = currents(80.2, "nameplate", 192.5);
    circuit.contactors = vec![
        contactor("line", 46.3, 50.0, "AC-3"),
        contactor("delta", 46.3, 50.0, "AC-3"),
        contactor("star", 26.7, 31.5, "AC-3"),
    ];
    circuit.overloads = vec![overload("bimetal", [40.0, 63.0], 46.3, 0.577)];
    circuit.protection = Some(Protection { coordination: "not-claimed".to_owned(), ..protection("gG", 125.0, None) });
    circuit.runs = vec![
        run("supply", "25 mm2", 1, 2.0, "overload-protection"),
        run("star-delta-leads", "16 mm2", 2, 60.0, "fault-withstand"),
    ];
    circuit.accessories = vec![Accessory {
        kind: "timer".to_owned(),
        part: "GEN-T30".to_owned(),
        quantity: 1,
        serves: "star".to_owned(),
        setting: "8 s".to_owned(),
        why: "changes from star to delta".to_owned(),
        ..Accessory::default()
    }];
    circuit.checks = vec![
        check("running-voltage-drop", 2.6, 5.0, "%"),
        check("fault-withstand", 2.9, 2.7, "kA²s"),
        Check {
            name: "disconnection".to_owned(),
            unit: "s".to_owned(),
            not_checked_because: Some("the smallest fault current of board MCC-1 is unknown".to_owned()),
            reference: "IEC 60364-4-41, 411.3.2".to_owned(),
            ..Check::default()
        },
    ];
    circuit.findings = vec![
        finding(
            "C302",
            Severity::Warning,
            Some((6, "G", "starting_method")),
            "The nameplate voltages are missing; star-delta needs a winding for 400 V in delta.",
            "Confirm 400/690 V before ordering.",
        ),
        finding(
            "C202",
            Severity::Warning,
            Some((6, "G", "starting_method")),
            "No test report ties this fuse to these contactors, so no co-ordination type is claimed.",
            "Ask the maker for a tested pair at 18 kA.",
        ),
        finding(
            "C101",
            Severity::Warning,
            Some((6, "", "")),
            "fault-withstand: 2.9 kA²s instead of at most 2.7 kA²s",
            "decide before ordering",
        ),
    ];
    finished(circuit)
}

fn not_sized() -> Circuit {
    let mut circuit = circuit(7, "SP-09", "Sump pump", "MCC-1", Status::NotSized, 0.0, "direct");
    circuit.findings = vec![
        finding(
            "I101",
            Severity::Error,
            Some((7, "D", "rated_power_kw")),
            "The power reads \"TBC\"; the row cannot be sized.",
            "Enter kW, hp or a nameplate current.",
        ),
        finding(
            "L320",
            Severity::Note,
            Some((7, "H", "cable_length_m")),
            "No length given.",
            "Enter the length of the motor run.",
        ),
    ];
    circuit
}

fn drive() -> Circuit {
    let mut circuit = circuit(8, "AH-3", "Air handler <&\"'>", "MCC-2", Status::Sized, 15.0, "drive");
    circuit.currents = currents(28.5, "nameplate", 42.8);
    circuit.contactors = vec![contactor("line", 27.0, 40.0, "AC-1")];
    circuit.starter_devices = vec![StarterDevice {
        kind: "drive".to_owned(),
        current_a: 28.5,
        rated_a: 32.0,
        part: "GEN-VSD-15".to_owned(),
        ..StarterDevice::default()
    }];
    circuit.overloads = vec![overload("in-drive", [0.0, 32.0], 28.5, 1.0)];
    circuit.protection = Some(protection("moulded-case", 63.0, Some(630.0)));
    circuit.runs =
        vec![run("supply", "10 mm2", 1, 5.0, "overload-protection"), run("motor", "6 mm2", 1, 40.0, "current-carrying-capacity")];
    circuit.checks = vec![check("drive-current", 28.5, 32.0, "A")];
    finished(circuit)
}

fn heater() -> Circuit {
    let mut circuit = circuit(9, "HTR-12", "Duct heater", "MCC-2", Status::Sized, 12.0, "contactor");
    circuit.load.kind = "heater".to_owned();
    circuit.currents = currents(17.32, "computed", 0.0);
    circuit.contactors = vec![contactor("main", 17.3, 20.0, "AC-1")];
    circuit.protection = Some(protection("gG", 25.0, None));
    circuit.runs = vec![run("supply", "2.5 mm2", 1, 35.0, "minimum-size")];
    circuit.checks = vec![check("running-voltage-drop", 3.3, 5.0, "%")];
    finished(circuit)
}

fn hoist() -> Circuit {
    let mut circuit = circuit(10, "H-1", "=1+1", "MCC-2", Status::Sized, 2.2, "direct");
    circuit.currents = currents(4.6, "nameplate", 32.0);
    circuit.contactors = vec![contactor("forward", 4.6, 6.3, "AC-3"), contactor("reverse", 4.6, 6.3, "AC-3")];
    circuit.overloads = vec![overload("motor-breaker", [4.0, 6.3], 4.6, 1.0)];
    circuit.protection = Some(protection("motor-breaker", 6.3, Some(82.0)));
    circuit.runs = vec![run("supply", "2.5 mm2", 1, 40.0, "minimum-size")];
    circuit.checks = vec![check("running-voltage-drop", 1.4, 5.0, "%")];
    finished(circuit)
}

fn finished(mut circuit: Circuit) -> Circuit {
    circuit.overload = circuit.overloads.first().cloned();
    circuit.conductors = circuit.runs.first().cloned();
    circuit
}

fn purchase() -> Vec<PurchaseLine> {
    let line = |part: &str,
                description: &str,
                quantity: f64,
                unit: &str,
                unit_price: Option<f64>,
                status: PurchaseStatus,
                used_by: &[&str]| PurchaseLine {
        part: part.to_owned(),
        description: description.to_owned(),
        quantity,
        unit: unit.to_owned(),
        unit_price,
        status,
        used_by: used_by.iter().map(|tag| (*tag).to_owned()).collect(),
        ..PurchaseLine::default()
    };
    vec![
        line(
            "GEN-K20",
            "contactor, AC-3 20 A at 400 V, coil 230 V AC",
            3.0,
            "pc",
            Some(41.5),
            PurchaseStatus::Firm,
            &["P-201A/B", "HTR-12"],
        ),
        line(
            "GEN-CABLE-4G6",
            "cable, 4 cores 6 mm², copper, XLPE",
            231.0,
            "m",
            Some(3.95),
            PurchaseStatus::Hold,
            &["P-201A/B", "AH-3"],
        ),
        line("", "autotransformer, designed by its maker", 1.0, "pc", None, PurchaseStatus::ByOthers, &["F-305"]),
    ]
}
