//! The lists that leave the office: settings for the site, cables, and what to buy.

use serde::Serialize;

use super::state::{Link, State};
use super::text::{capital, count, fixed, number, quantity, size, words};
use crate::design::{Circuit, Design, PurchaseStatus, Run};

/// Tags that a purchase line names before it says how many more there are.
const TAGS_IN_A_LINE: usize = 12;

/// One thing to set on site.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Dial {
    /// Device.
    pub(super) device: String,
    /// What is set.
    pub(super) dial: String,
    /// To which value.
    pub(super) set: String,
    /// Its unit.
    pub(super) unit: String,
    /// Range of the dial.
    pub(super) range: String,
    /// Trip class and the like.
    pub(super) detail: String,
    /// Part number.
    pub(super) part: String,
}

/// What is to be set on a circuit.
pub(super) fn dials(circuit: &Circuit) -> Vec<Dial> {
    let mut dials = Vec::new();
    for overload in &circuit.overloads {
        let mut detail = Vec::new();
        if !overload.trip_class.is_empty() {
            detail.push(format!("class\u{a0}{}", fixed(&overload.trip_class)));
        }
        if (overload.winding_factor - 1.0).abs() > 1e-9 {
            detail.push(format!("{}\u{a0}× line current", number(overload.winding_factor, 3)));
        }
        let position = words(&overload.position);
        dials.push(Dial {
            device: capital(&words(&overload.kind)),
            dial: if position.is_empty() || position == "line" { "overload".to_owned() } else { format!("overload, {position}") },
            set: number(overload.setting_a, if overload.setting_a < 10.0 { 2 } else { 1 }),
            unit: "A".to_owned(),
            range: format!("{}\u{a0}to\u{a0}{}", trimmed(overload.range_a[0]), quantity_trimmed(overload.range_a[1], "A")),
            detail: detail.join(", "),
            part: overload.part.clone(),
        });
    }
    if let Some(protection) = &circuit.protection
        && let Some(trip) = protection.magnetic_trip_a
    {
        let range = match (protection.magnetic_min_a, protection.magnetic_max_a) {
            (Some(low), Some(high)) => format!("acts at {}\u{a0}to\u{a0}{}", number(low, 0), quantity(high, 0, "A")),
            _ => String::new(),
        };
        dials.push(Dial {
            device: capital(&words(&protection.kind)),
            dial: "magnetic release".to_owned(),
            set: number(trip, 0),
            unit: "A".to_owned(),
            range,
            part: protection.part.clone(),
            ..Dial::default()
        });
    }
    for accessory in circuit.accessories.iter().filter(|accessory| !accessory.setting.is_empty()) {
        dials.push(Dial {
            device: capital(&words(&accessory.kind)),
            dial: words(&accessory.serves),
            set: fixed(&accessory.setting),
            part: accessory.part.clone(),
            ..Dial::default()
        });
    }
    if let (false, Some(mode)) = (dials.is_empty(), super::sheet::other(circuit, "reset_mode")) {
        dials[0].detail =
            [dials[0].detail.as_str(), &format!("reset {mode}")].join(if dials[0].detail.is_empty() { "" } else { ", " });
    }
    dials
}

/// A number without trailing zeros, as a scale is marked.
pub(super) fn trimmed(value: f64) -> String {
    let text = number(value, 3);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// The same with its unit.
pub(super) fn quantity_trimmed(value: f64, unit: &str) -> String {
    super::text::with_unit(trimmed(value), unit)
}

/// Settings of one circuit.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Settings {
    link: Link,
    description: String,
    dials: Vec<Dial>,
}

/// Settings of all circuits that have any.
pub(super) fn settings(design: &Design, links: &[Link]) -> Vec<Settings> {
    let circuits = design.circuits.iter().zip(links);
    circuits
        .map(|(circuit, link)| Settings { link: link.clone(), description: circuit.description.clone(), dials: dials(circuit) })
        .filter(|settings| !settings.dials.is_empty())
        .collect()
}

/// A line of the cable schedule.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Cable {
    link: Link,
    from: String,
    run: String,
    size: String,
    kind: String,
    installation: String,
    length: String,
    required: String,
    capacity: String,
    governed_by: String,
    holds_to: String,
    part: String,
}

/// All runs of all circuits.
pub(super) fn cables(design: &Design, links: &[Link]) -> Vec<Cable> {
    let mut cables = Vec::new();
    for (circuit, link) in design.circuits.iter().zip(links) {
        for run in &circuit.runs {
            cables.push(Cable {
                link: link.clone(),
                from: circuit.board.clone(),
                run: words(&run.role),
                size: make_up(run),
                kind: kind(run),
                installation: run.installation.clone(),
                length: number(run.length_m, 0),
                required: number(run.required_a, 1),
                capacity: number(run.capacity_a, 1),
                governed_by: words(&run.governed_by),
                holds_to: run.holds_to_m.map(|metres| number(metres, 0)).unwrap_or_default(),
                part: run.part.clone(),
            });
        }
    }
    cables
}

/// Make-up of a run: `2 × (4 × 16 mm²)` with a protective conductor of another size named.
pub(super) fn make_up(run: &Run) -> String {
    if run.phase_size.is_empty() {
        return String::new();
    }
    let phase = size(&run.phase_size);
    let mut text = if run.cores > 1 { format!("{}\u{a0}×\u{a0}{phase}", run.cores) } else { phase.clone() };
    if run.per_phase > 1 {
        text = format!("{}\u{a0}×\u{a0}({text})", run.per_phase);
    }
    if let Some(neutral) = run.neutral_size.as_ref().filter(|neutral| **neutral != run.phase_size) {
        text.push_str(&format!(", N\u{a0}{}", size(neutral)));
    }
    if !run.protective_size.is_empty() && run.protective_size != run.phase_size {
        text.push_str(&format!(", PE\u{a0}{}", size(&run.protective_size)));
    }
    text
}

/// Material and insulation.
pub(super) fn kind(run: &Run) -> String {
    [run.material.clone(), words(&run.insulation)].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ")
}

/// A line of the purchase list.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Purchase {
    position: usize,
    part: String,
    description: String,
    quantity: String,
    unit: String,
    price: String,
    state: State,
    used_by: String,
}

/// The purchase list with its counts.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PurchaseList {
    lines: Vec<Purchase>,
    summary: String,
    currency: String,
    priced: bool,
}

/// What to buy.
pub(super) fn purchase(design: &Design) -> PurchaseList {
    let lines: Vec<Purchase> = design.purchase.iter().zip(1..).map(|(line, position)| purchase_line(line, position)).collect();
    let of = |status| design.purchase.iter().filter(|line| line.status == status).count();
    let summary = format!(
        "{}: {} firm, {} on hold, {} by others.",
        count(lines.len(), "line", "lines"),
        of(PurchaseStatus::Firm),
        of(PurchaseStatus::Hold),
        of(PurchaseStatus::ByOthers)
    );
    let priced = design.purchase.iter().any(|line| line.unit_price.is_some());
    PurchaseList { lines, summary, currency: design.basis.purchase.currency.clone().unwrap_or_default(), priced }
}

fn purchase_line(line: &crate::design::PurchaseLine, position: usize) -> Purchase {
    let mark = match line.status {
        PurchaseStatus::Firm => "passed",
        PurchaseStatus::Hold => "warning",
        PurchaseStatus::ByOthers => "note",
    };
    let named = line.used_by.iter().take(TAGS_IN_A_LINE).cloned().collect::<Vec<_>>().join(", ");
    let more = line.used_by.len().saturating_sub(TAGS_IN_A_LINE);
    Purchase {
        position,
        part: line.part.clone(),
        description: super::text::symbols(&line.description),
        quantity: number(line.quantity, usize::from(line.quantity.fract() != 0.0)),
        unit: line.unit.clone(),
        price: line.unit_price.map(|price| number(price, 2)).unwrap_or_default(),
        state: State { mark, words: line.status.words().to_owned() },
        used_by: if more == 0 { named } else { format!("{named} and {}", count(more, "more", "more")) },
    }
}
