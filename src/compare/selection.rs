//! What was chosen for a circuit, value by value, each under a path that tells where in design.json it stands.

use crate::design::{Circuit, Overload, Run};

/// Paths with their values, in the order of the design.
pub(super) type Selection = Vec<(String, String)>;

struct Laid(Selection);

impl Laid {
    fn put(&mut self, path: String, value: impl ToString) {
        let value = value.to_string();
        if !value.is_empty() {
            self.0.push((path, value));
        }
    }

    /// A number of pieces where there are several alike.
    fn so_many(&mut self, path: String, count: u32) {
        if count > 1 {
            self.put(path, count);
        }
    }

    fn amperes(&mut self, path: String, value: Option<f64>) {
        if let Some(value) = value.filter(|own| *own != 0.0) {
            self.put(path, crate::record::significant(value, 6));
        }
    }
}

/// Lays out a circuit's choices.
pub(super) fn of(circuit: &Circuit) -> Selection {
    let mut laid = Laid(Vec::new());
    laid.put("status".to_owned(), circuit.status.words());
    let own = &circuit.currents;
    for (name, value) in [
        ("full_load_a", own.full_load_a),
        ("conductor_basis_a", own.conductor_basis_a),
        ("protection_basis_a", own.protection_basis_a),
        ("overload_basis_a", own.overload_basis_a),
        ("starting_a", own.starting_a),
    ] {
        laid.amperes(format!("currents.{name}"), Some(value));
    }
    for own in &circuit.contactors {
        let at = |key: &str| format!("contactors.{}.{key}", own.role);
        laid.put(at("frame"), &own.frame);
        laid.amperes(at("rated_a"), Some(own.rated_a));
        laid.put(at("category"), &own.category);
        laid.put(at("part"), &own.part);
    }
    for own in &circuit.overloads {
        overload(own, &mut laid);
    }
    if let Some(own) = &circuit.protection {
        laid.put("protection.kind".to_owned(), &own.kind);
        laid.amperes("protection.rating_a".to_owned(), Some(own.rating_a));
        laid.amperes("protection.magnetic_trip_a".to_owned(), own.magnetic_trip_a);
        laid.put("protection.coordination".to_owned(), &own.coordination);
        laid.put("protection.part".to_owned(), &own.part);
    }
    for own in &circuit.starter_devices {
        laid.amperes(format!("starter_devices.{}.rated_a", own.kind), Some(own.rated_a));
        laid.put(format!("starter_devices.{}.part", own.kind), &own.part);
    }
    for (index, own) in circuit.runs.iter().enumerate() {
        run(if index == 0 { "conductors".to_owned() } else { format!("runs.{}", own.role) }, own, &mut laid);
    }
    if let Some(own) = &circuit.control {
        laid.put("control.coil_voltage".to_owned(), &own.coil_voltage);
        laid.put("control.driven_by".to_owned(), &own.driven_by);
        laid.put("control.interposing_relay".to_owned(), if own.interposing_relay { "yes" } else { "no" });
        laid.put("control.cores".to_owned(), own.cores);
    }
    if let Some(own) = &circuit.disconnect {
        laid.put("disconnect.kind".to_owned(), &own.kind);
        laid.amperes("disconnect.rating_a".to_owned(), own.rating_a);
        laid.so_many("disconnect.count".to_owned(), own.count);
        laid.put("disconnect.part".to_owned(), &own.part);
    }
    // What several rows share is a matter of their board: its parts stand in the purchase lists.
    for own in circuit.accessories.iter().filter(|own| !own.shared) {
        let at = |key: &str| format!("accessories.{} at {}.{key}", own.kind, own.serves);
        laid.put(at("part"), format!("{} × {}", own.quantity, own.part));
        laid.put(at("setting"), &own.setting);
    }
    for own in &circuit.given {
        laid.put(format!("given.{}.verdict", own.column), own.verdict.words());
    }
    for own in circuit.checks.iter().filter(|own| own.name != "commoning-current") {
        let about = if own.subject.is_empty() { String::new() } else { format!(" of {}", own.subject) };
        let result = match own.passed {
            Some(true) => "passed",
            Some(false) => "failed",
            None => "not checked",
        };
        laid.put(format!("checks.{}{about}", own.name), result);
    }
    numbered(laid.0)
}

fn overload(own: &Overload, laid: &mut Laid) {
    let role = if own.role.is_empty() { &own.position } else { &own.role };
    let at = |key: &str| format!("overloads.{role}.{key}");
    laid.put(at("kind"), &own.kind);
    laid.put(at("trip_class"), &own.trip_class);
    if own.range_a[1] > 0.0 {
        let [from, to] = own.range_a.map(|own| crate::record::significant(own, 6));
        laid.put(at("range_a"), format!("{from}–{to}"));
    }
    laid.amperes(at("setting_a"), Some(own.setting_a));
    laid.so_many(at("count"), own.count);
    laid.put(at("part"), &own.part);
}

fn run(at: String, own: &Run, laid: &mut Laid) {
    laid.put(format!("{at}.phase_size"), &own.phase_size);
    laid.so_many(format!("{at}.count"), own.count);
    laid.put(format!("{at}.per_phase"), own.per_phase);
    laid.put(format!("{at}.neutral_size"), own.neutral_size.as_deref().unwrap_or_default());
    laid.put(format!("{at}.protective_size"), &own.protective_size);
    laid.put(format!("{at}.governed_by"), &own.governed_by);
    if let Some(raceway) = &own.raceway {
        laid.put(format!("{at}.raceway"), format!("{} {}", raceway.trade_size, raceway.kind));
    }
    laid.put(format!("{at}.part"), &own.part);
}

/// Paths that occur several times get a number, so that each has one value.
fn numbered(laid: Selection) -> Selection {
    let mut seen: std::collections::BTreeMap<String, u32> = std::collections::BTreeMap::new();
    laid.into_iter()
        .map(|(path, value)| {
            let count = seen.entry(path.clone()).or_insert(0);
            *count += 1;
            (if *count == 1 { path } else { format!("{path} ({count})") }, value)
        })
        .collect()
}

/// A value by its path; empty where there is none.
pub(super) fn value<'s>(selection: &'s Selection, path: &str) -> &'s str {
    selection.iter().find(|(own, _)| own == path).map_or("", |(_, value)| value.as_str())
}
