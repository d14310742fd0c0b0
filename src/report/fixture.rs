//! An invented design under the customary rule book, for tests of what readers see. Its figures are made up and prove nothing
//! about sizing.

use crate::basis::Basis;
use crate::design::{
    Check, Circuit, CircuitPlace, Contactor, CriterionSize, Design, Disconnect, Overload, Protection, PurchaseLine, Raceway, Run,
    StarterDevice, Status,
};
use crate::finding::{Finding, codes};
use crate::report::{Assumption, ReportInput};

/// Works on the input of writers.
pub(super) fn with<T>(design: &Design, work: impl FnOnce(&ReportInput) -> T) -> T {
    let working = |_: usize| Vec::new();
    let assumptions = [Assumption {
        what: "Air at conductors".to_owned(),
        value: "40 °C (104 °F)".to_owned(),
        origin: "basis".to_owned(),
        reference: "NFPA 70, Table 310.16".to_owned(),
    }];
    work(&ReportInput {
        design,
        grids: &[],
        rows: &[],
        mappings: &[],
        skipped: &[],
        basis: &design.basis,
        assumptions: &assumptions,
        cautions: &[],
        sources: &[],
        working: &working,
    })
}

/// A pump, a wye-delta chiller pump, a drive, a packaged unit and a fire pump that is not sized.
pub(super) fn design() -> Design {
    let mut basis = Basis::default();
    basis.project.name = Some("Invented hospital".to_owned());
    let mut design = Design {
        rule_book: "nec".to_owned(),
        edition: "NFPA 70, 2023".to_owned(),
        circuits: vec![pump(), wye_delta(), drive(), packaged(), fire_pump()],
        basis,
        ..Design::default()
    };
    design.catalogue.demonstration = true;
    let feet = |part: &str, quantity: f64, unit: &str| PurchaseLine {
        part: part.to_owned(),
        description: format!("{part}, invented"),
        quantity,
        unit: unit.to_owned(),
        unit_price: Some(2.0),
        order_quantity: quantity,
        price: Some(2.0 * quantity.ceil()),
        ..PurchaseLine::default()
    };
    design.purchase = vec![feet("GEN-THWN2-8", 2250.2, "ft"), feet("GEN-N1", 2.0, "pc")];
    design
}

fn circuit(row: u32, tag: &str, description: &str, hp: f64, kw: f64, method: &str) -> Circuit {
    let mut circuit = Circuit {
        tag: tag.to_owned(),
        tags: vec![tag.to_owned()],
        board: "MCC-H1".to_owned(),
        description: description.to_owned(),
        quantity: 1,
        place: CircuitPlace { file: "loads.csv".to_owned(), sheet: None, row },
        status: Status::Sized,
        ..Circuit::default()
    };
    circuit.load.kind = "motor".to_owned();
    circuit.load.rated_power_hp = (hp > 0.0).then_some(hp);
    circuit.load.rated_power_kw = (kw > 0.0).then_some(kw);
    circuit.load.voltage_v = Some(460.0);
    circuit.load.phases = Some(3);
    circuit.load.starting_method = Some(method.to_owned());
    circuit
}

fn check(name: &str, value: f64, limit: f64, unit: &str, reference: &str) -> Check {
    Check {
        name: name.to_owned(),
        value: Some(value),
        limit: Some(limit),
        unit: unit.to_owned(),
        passed: Some(value <= limit),
        margin_pct: Some(100.0 * (limit - value) / limit),
        reference: reference.to_owned(),
        ..Check::default()
    }
}

fn run(role: &str, size: &str, grounding: &str, raceway: (&str, &str, f64), metres: f64) -> Run {
    Run {
        role: role.to_owned(),
        phase_size: size.to_owned(),
        per_phase: 1,
        protective_size: grounding.to_owned(),
        material: "copper".to_owned(),
        insulation: "thwn-2".to_owned(),
        installation: raceway.0.to_uppercase(),
        length_m: metres,
        cores: 4,
        capacity_a: 50.0,
        required_a: 17.5,
        governed_by: "running-voltage-drop".to_owned(),
        holds_to_m: Some(250.0),
        criteria: vec![
            CriterionSize { criterion: "termination-ampacity".to_owned(), size: "12 AWG".to_owned() },
            CriterionSize { criterion: "running-voltage-drop".to_owned(), size: size.to_owned() },
        ],
        raceway: Some(Raceway { kind: raceway.0.to_owned(), trade_size: raceway.1.to_owned(), fill_pct: raceway.2 }),
        part: format!("GEN-THWN2-{}", size.replace([' ', '/'], "-")),
        ..Run::default()
    }
}

fn contactor(role: &str, frame: &str, current: f64, rated: f64) -> Contactor {
    Contactor {
        role: role.to_owned(),
        current_a: current,
        rated_a: rated,
        frame: frame.to_owned(),
        part: format!("GEN-{frame}"),
        poles_in_parallel: 1,
        ..Contactor::default()
    }
}

fn overload(kind: &str, setting: f64, factor: f64, part: &str) -> Overload {
    Overload {
        count: 1,
        role: "main".to_owned(),
        position: if factor < 1.0 { "delta-leg" } else { "line" }.to_owned(),
        winding_factor: factor,
        kind: kind.to_owned(),
        trip_class: "20".to_owned(),
        range_a: [5.4, 90.0],
        setting_a: setting,
        part: part.to_owned(),
        dial_a: None,
        transformer_part: String::new(),
        ultimate_trip_a: None,
        poles_in_series: None,
    }
}

fn protection(kind: &str, rating: f64, maximum: f64) -> Protection {
    Protection {
        kind: kind.to_owned(),
        rating_a: rating,
        maximum_a: Some(maximum),
        breaking_ka: Some(65.0),
        coordination: "not-claimed".to_owned(),
        part: format!("GEN-Q{rating}"),
        ..Protection::default()
    }
}

fn currents(circuit: &mut Circuit, table: f64, nameplate: f64, starting: f64) {
    circuit.currents.full_load_a = table;
    circuit.currents.source = "table".to_owned();
    circuit.currents.table_a = Some(table);
    circuit.currents.nameplate_a = Some(nameplate);
    circuit.currents.conductor_basis_a = table;
    circuit.currents.protection_basis_a = table;
    circuit.currents.overload_basis_a = nameplate;
    circuit.currents.starting_a = starting;
    circuit.fault.board_max_ka = Some(22.0);
}

fn pump() -> Circuit {
    let mut circuit = circuit(2, "P-1", "Well pump", 10.0, 7.457, "direct");
    currents(&mut circuit, 14.0, 12.6, 81.0);
    circuit.contactors = vec![contactor("main", "N1", 14.0, 27.0)];
    circuit.overloads = vec![overload("electronic", 12.6, 1.0, "GEN-OL27")];
    circuit.protection = Some(protection("inverse-time", 30.0, 35.0));
    circuit.runs = vec![run("motor", "8 AWG", "10 AWG", ("pvc-40", "3/4", 31.4), 228.6)];
    circuit.disconnect = Some(Disconnect {
        kind: "isolator".to_owned(),
        rating_a: Some(30.0),
        rating_hp: Some(15.0),
        location: "in sight of the motor".to_owned(),
        lockable: true,
        part: "GEN-DS30".to_owned(),
        ..Disconnect::default()
    });
    circuit.checks = vec![
        check("running-voltage-drop", 2.6, 3.0, "%", "NFPA 70, 210.19, informational note"),
        check("overload-ceiling", 15.1, 15.75, "A", "NFPA 70, 430.32(A)(1)"),
        Check {
            subject: "local isolator".to_owned(),
            ..check("protection-maximum", 30.0, 35.0, "A", "the switch: largest device before it")
        },
        check("protection-maximum", 30.0, 35.0, "A", "NFPA 70, 430.52(C)(1)(a)"),
        Check {
            passed: Some(true),
            margin_pct: Some(195.45),
            ..check("short-circuit-rating", 65.0, 22.0, "kA", "NFPA 70, 110.10")
        },
        check("disconnect-rating", 16.1, 30.0, "A", "NFPA 70, 430.110(A)"),
    ];
    finished(circuit)
}

fn wye_delta() -> Circuit {
    let mut circuit = circuit(3, "CHWP-1", "Chilled water pump", 75.0, 55.93, "star-delta");
    currents(&mut circuit, 96.0, 87.0, 180.0);
    circuit.contactors =
        vec![contactor("line", "N3", 55.7, 90.0), contactor("delta", "N3", 55.7, 90.0), contactor("star", "N3", 32.0, 90.0)];
    circuit.overloads = vec![overload("bimetal", 50.2, 0.577, "GEN-OL90")];
    circuit.protection = Some(protection("dual-element", 150.0, 175.0));
    let mut leads = run("star-delta-leads", "1/0 AWG", "6 AWG", ("rmc", "2", 28.0), 36.0);
    leads.material = "aluminium".to_owned();
    circuit.runs = vec![run("supply", "250 kcmil", "6 AWG", ("emt", "2-1/2", 30.0), 3.0), leads];
    finished(circuit)
}

fn drive() -> Circuit {
    let mut circuit = circuit(4, "AHU-1", "Supply fan", 40.0, 29.83, "drive");
    currents(&mut circuit, 52.0, 47.5, 57.0);
    circuit.starter_devices = vec![StarterDevice {
        kind: "drive".to_owned(),
        current_a: 52.0,
        rated_a: 60.0,
        part: "GEN-VFD40".to_owned(),
        ..StarterDevice::default()
    }];
    circuit.overloads = vec![overload("in-drive", 47.5, 1.0, "")];
    circuit.protection = Some(protection("moulded-case", 100.0, 125.0));
    circuit.runs = vec![run("supply", "4 AWG", "8 AWG", ("emt", "1-1/4", 25.0), 49.0)];
    finished(circuit)
}

fn packaged() -> Circuit {
    let mut circuit = circuit(5, "RTU-4", "Rooftop unit", 0.0, 0.0, "feeder");
    circuit.load.kind = "packaged".to_owned();
    circuit.currents.full_load_a = 47.8;
    circuit.currents.source = "nameplate".to_owned();
    circuit.protection = Some(protection("inverse-time", 70.0, 70.0));
    circuit.runs = vec![run("supply", "6 AWG", "8 AWG", ("emt", "1", 22.0), 58.0)];
    circuit.checks = vec![check("protection-maximum", 70.0, 70.0, "A", "NFPA 70, 440.22, marked maximum")];
    finished(circuit)
}

fn fire_pump() -> Circuit {
    let mut circuit = circuit(6, "FP-1", "Fire pump", 75.0, 55.93, "direct");
    circuit.status = Status::NotSized;
    circuit.findings = vec![Finding::new(&codes::L401_FIRE_PUMP, "a fire pump is not sized").reference("NFPA 70, Article 695")];
    circuit
}

fn finished(mut circuit: Circuit) -> Circuit {
    circuit.overload = circuit.overloads.first().cloned();
    circuit.conductors = circuit.runs.first().cloned();
    circuit
}
