//! What holds for the whole design, each value with its origin: listed once in the reports instead of on every row.

use crate::basis::Basis;
use crate::design::{Assumption, SourceDocument};
use crate::rules::RuleBook;
use crate::sizing::resolve::defaults;

/// Documents on which a book's tables rest.
#[must_use]
pub fn sources(book: &dyn RuleBook) -> Vec<SourceDocument> {
    book.documents()
        .iter()
        .map(|document| SourceDocument {
            table: document.title().to_owned(),
            source: document.field("source").to_owned(),
            status: document.field("status").to_owned(),
        })
        .collect()
}

/// The assumptions of a design.
#[must_use]
pub fn list(basis: &Basis, book: &dyn RuleBook) -> Vec<Assumption> {
    let design = &basis.design;
    let supply = &basis.supply;
    let mut all = Vec::new();
    let mut add = |what: &str, value: Option<String>, default: &str, reference: &str| {
        let origin = if value.is_some() { "basis" } else { "default" };
        all.push(Assumption {
            what: what.to_owned(),
            value: value.unwrap_or_else(|| default.to_owned()),
            origin: origin.to_owned(),
            reference: reference.to_owned(),
        });
    };
    let number = |value: Option<f64>, unit: &str| value.map(|value| format!("{value} {unit}"));
    add("Rule book", Some(book.title().to_owned()), "", book.edition());
    add("Supply voltage", number(supply.voltage_v, "V"), "that of each row", "");
    add("Frequency", number(supply.frequency_hz, "Hz"), "50 Hz", "IEC 60038");
    add("Earthing", supply.earthing.clone(), "unknown: disconnection is not checked", "IEC 60364-1, 312.2");
    add(
        "Largest fault current, main board",
        number(supply.prospective_fault_ka, "kA"),
        "unknown: what depends on it is not checked",
        "",
    );
    add(
        "Smallest fault current, main board",
        number(supply.prospective_fault_min_ka, "kA"),
        "unknown: what depends on it is not checked",
        "",
    );
    add(
        "X/R of the supply",
        supply.x_over_r.map(|value| format!("{value}")),
        "0: the fault path counts as resistive, which leaves the smallest current at the far end",
        "",
    );
    for board in &basis.boards {
        let name = board.name.as_deref().unwrap_or("board");
        let show = |value: Option<f64>| value.map_or_else(|| "unknown".to_owned(), |ka| format!("{ka} kA"));
        add(
            &format!("Fault current, {name}"),
            Some(format!("largest {}, smallest {}", show(board.prospective_fault_ka), show(board.prospective_fault_min_ka))),
            "",
            "",
        );
    }
    let degrees = |value: f64| format!("{value} °C");
    add("Air at cables", number(design.ambient_c, "°C"), &degrees(defaults::AMBIENT_C), "IEC 60364-5-52, Table B.52.14");
    add("Ground temperature", number(design.ground_c, "°C"), &degrees(defaults::GROUND_C), "IEC 60364-5-52, Table B.52.15");
    add(
        "Thermal resistivity of soil",
        number(design.soil_k_m_w, "K·m/W"),
        &format!("{} K·m/W", defaults::SOIL_K_M_W),
        "IEC 60364-5-52, Table B.52.16",
    );
    add("Altitude", number(design.altitude_m, "m"), "up to 2000 m", "IEC 60947-1, 6.1");
    let room = design.ambient_c.unwrap_or(defaults::DEVICE_AMBIENT_C - defaults::ENCLOSURE_RISE_K);
    let devices = (room + defaults::ENCLOSURE_RISE_K).max(defaults::DEVICE_AMBIENT_C);
    add(
        "Air at devices",
        None,
        &format!("{} °C: room and {} K, unless the board says otherwise", devices, defaults::ENCLOSURE_RISE_K),
        "common practice, no source",
    );
    add(
        "Voltage drop while running",
        number(design.running_drop_pct, "%"),
        &format!("{} %", defaults::RUNNING_DROP_PCT),
        "IEC 60364-5-52, Table G.52.1",
    );
    add(
        "Voltage drop while starting",
        number(design.starting_drop_pct, "%"),
        &format!("{} %", defaults::STARTING_DROP_PCT),
        "common practice, no source",
    );
    add(
        "Voltage drop before the boards",
        None,
        "unknown: the limits are set against each cable's own drop; keep a share of them for the supply",
        "IEC 60364-5-52, 525",
    );
    add(
        "Conductor temperature",
        None,
        "70 °C pvc, 90 °C xlpe for voltage drop and smallest fault currents; 20 °C and voltage factor 1.10 for the largest",
        "IEC 60364-5-52",
    );
    add(
        "Smallest fault currents",
        None,
        "voltage factor 0.90; loop of phase and protective conductor; the board's smallest fault current is taken as the smallest of any kind there, faults to earth included",
        "IEC 60909-0; IEC 60364-4-41, 411.4.4",
    );
    add(
        "Motor contribution to fault currents",
        None,
        "not reckoned: the board's largest fault current is taken to contain it",
        "IEC 60909-0",
    );
    add("Conductors", design.conductor.clone(), "copper", "");
    add("Insulation", design.insulation.clone(), "pvc", "");
    add("Installation", design.installation_method.clone(), "B2", "IEC 60364-5-52, Table B.52.1");
    add(
        "Smallest conductor",
        number(design.minimum_size_mm2, "mm²"),
        &format!("{} mm² copper, {} mm² aluminium", defaults::MINIMUM_MM2, defaults::MINIMUM_ALUMINIUM_MM2),
        "IEC 60364-5-52, Table 52.2",
    );
    add("Protective device", design.protection_kind.clone(), "motor-breaker", "");
    add(
        "Co-ordination",
        design.coordination.clone(),
        "none wanted; claimed where a tested combination exists",
        "IEC 60947-4-1, 8.2.5",
    );
    add("Rated current", design.current_source.clone(), "nameplate", "");
    add("Control voltage", basis.control.voltage.clone(), "230 V AC", "");
    add("Coils are switched by", basis.control.drive.clone(), "pushbutton", "");
    add("Largest motor started direct", number(basis.starting.direct_limit_kw, "kW"), "no limit given", "");
    add("Reduced-life contactors", basis.catalogue.reduced_life_contactors.clone(), "never", "");
    add("Preference", basis.catalogue.prefer.clone(), "smallest", "");
    add(
        "Finger protection",
        design.finger_protection.map(|yes| if yes { "yes" } else { "no" }.to_owned()),
        "yes",
        "IEC 60364-4-41",
    );
    all
}
