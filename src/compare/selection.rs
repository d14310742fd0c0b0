//! Lays out the choices for a circuit, value by value, each under a path that tells where in design.json it stands.

use crate::design::{Circuit, Overload, Run};

/// Paths with their values, in the order of the design.
pub(super) type Selection = Vec<(String, String)>;

/// Parts of a selection that are no device, conductor or setting: what is worked out and judged of them.
pub(super) const NO_DEVICE: &[&str] = &["status", "currents.", "checks.", "given."];

struct Laid(Selection);

/// The devices and runs that are laid out, each with how often it stood.
#[derive(Default)]
struct Names(std::collections::BTreeMap<String, u32>);

impl Names {
    /// The name of a device among those alike: the second control run is `runs.control (2)`, with all its values.
    fn next(&mut self, name: String) -> String {
        let count = self.0.entry(name.clone()).or_insert(0);
        *count += 1;
        if *count == 1 { name } else { format!("{name} ({count})") }
    }
}

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
        if let Some(value) = value.filter(|value| *value != 0.0) {
            self.put(path, crate::record::significant(value, 6));
        }
    }
}

/// Lays out a circuit's choices.
pub(super) fn of(circuit: &Circuit) -> Selection {
    let mut laid = Laid(Vec::new());
    laid.put("status".to_owned(), circuit.status.words());
    let currents = &circuit.currents;
    for (name, value) in [
        ("full_load_a", currents.full_load_a),
        ("conductor_basis_a", currents.conductor_basis_a),
        ("protection_basis_a", currents.protection_basis_a),
        ("overload_basis_a", currents.overload_basis_a),
        ("starting_a", currents.starting_a),
    ] {
        laid.amperes(format!("currents.{name}"), Some(value));
    }
    let mut names = Names::default();
    for contactor in &circuit.contactors {
        let name = names.next(format!("contactors.{}", contactor.role));
        let at = |key: &str| format!("{name}.{key}");
        laid.put(at("frame"), &contactor.frame);
        laid.amperes(at("rated_a"), Some(contactor.rated_a));
        laid.put(at("category"), &contactor.category);
        laid.put(at("part"), &contactor.part);
    }
    for relay in &circuit.overloads {
        let role = if relay.role.is_empty() { &relay.position } else { &relay.role };
        overload(&names.next(format!("overloads.{role}")), relay, &mut laid);
    }
    if let Some(protection) = &circuit.protection {
        laid.put("protection.kind".to_owned(), &protection.kind);
        laid.amperes("protection.rating_a".to_owned(), Some(protection.rating_a));
        laid.amperes("protection.magnetic_trip_a".to_owned(), protection.magnetic_trip_a);
        laid.put("protection.coordination".to_owned(), &protection.coordination);
        laid.put("protection.part".to_owned(), &protection.part);
    }
    for device in &circuit.starter_devices {
        let name = names.next(format!("starter_devices.{}", device.kind));
        laid.amperes(format!("{name}.rated_a"), Some(device.rated_a));
        laid.put(format!("{name}.part"), &device.part);
    }
    for (index, conductors) in circuit.runs.iter().enumerate() {
        let name = if index == 0 { "conductors".to_owned() } else { names.next(format!("runs.{}", conductors.role)) };
        run(name, conductors, &mut laid);
    }
    if let Some(control) = &circuit.control {
        laid.put("control.coil_voltage".to_owned(), &control.coil_voltage);
        laid.put("control.driven_by".to_owned(), &control.driven_by);
        laid.put("control.interposing_relay".to_owned(), if control.interposing_relay { "yes" } else { "no" });
        laid.put("control.cores".to_owned(), control.cores);
    }
    if let Some(disconnect) = &circuit.disconnect {
        laid.put("disconnect.kind".to_owned(), &disconnect.kind);
        laid.amperes("disconnect.rating_a".to_owned(), disconnect.rating_a);
        laid.so_many("disconnect.count".to_owned(), disconnect.count);
        laid.put("disconnect.part".to_owned(), &disconnect.part);
    }
    // A part that several rows share is a matter of their board: its parts stand in the purchase lists.
    for accessory in circuit.accessories.iter().filter(|accessory| !accessory.shared) {
        let name = names.next(format!("accessories.{} at {}", accessory.kind, accessory.serves));
        let at = |key: &str| format!("{name}.{key}");
        laid.put(at("part"), format!("{} × {}", accessory.quantity, accessory.part));
        laid.put(at("setting"), &accessory.setting);
    }
    for given in &circuit.given {
        laid.put(format!("given.{}.verdict", given.column), given.verdict.words());
    }
    for check in circuit.checks.iter().filter(|check| check.name != "commoning-current") {
        let about = if check.subject.is_empty() { String::new() } else { format!(" of {}", check.subject) };
        let result = match check.passed {
            Some(true) => "passed",
            Some(false) => "failed",
            None => "not checked",
        };
        laid.put(format!("checks.{}{about}", check.name), result);
    }
    numbered(laid.0)
}

fn overload(name: &str, overload: &Overload, laid: &mut Laid) {
    let at = |key: &str| format!("{name}.{key}");
    laid.put(at("kind"), &overload.kind);
    laid.put(at("trip_class"), &overload.trip_class);
    if overload.range_a[1] > 0.0 {
        let [from, to] = overload.range_a.map(|range_a| crate::record::significant(range_a, 6));
        laid.put(at("range_a"), format!("{from}–{to}"));
    }
    laid.amperes(at("setting_a"), Some(overload.setting_a));
    laid.so_many(at("count"), overload.count);
    laid.put(at("part"), &overload.part);
}

fn run(at: String, run: &Run, laid: &mut Laid) {
    laid.put(format!("{at}.phase_size"), &run.phase_size);
    laid.so_many(format!("{at}.count"), run.count);
    laid.put(format!("{at}.per_phase"), run.per_phase);
    laid.put(format!("{at}.neutral_size"), run.neutral_size.as_deref().unwrap_or_default());
    laid.put(format!("{at}.protective_size"), &run.protective_size);
    laid.put(format!("{at}.governed_by"), &run.governed_by);
    if let Some(raceway) = &run.raceway {
        laid.put(format!("{at}.raceway"), format!("{} {}", raceway.trade_size, raceway.kind));
    }
    laid.put(format!("{at}.part"), &run.part);
}

/// Paths that occur several times get a number, so that each has one value.
fn numbered(laid: Selection) -> Selection {
    let mut names = Names::default();
    laid.into_iter().map(|(path, value)| (names.next(path), value)).collect()
}

/// A value by its path; empty where there is none.
pub(super) fn value<'s>(selection: &'s Selection, path: &str) -> &'s str {
    selection.iter().find(|(known, _)| known == path).map_or("", |(_, value)| value.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The second run is the one whose values are told, though the first lacks a protective conductor.
    #[test]
    fn runs_of_one_role_are_told_apart_whole() {
        let run = |role: &str, size: &str, protective: &str| Run {
            role: role.to_owned(),
            phase_size: size.to_owned(),
            protective_size: protective.to_owned(),
            ..Run::default()
        };
        let runs = vec![run("motor", "6", "6"), run("control", "0.75", ""), run("control", "1.5", "1.5")];
        let laid = of(&Circuit { runs, ..Circuit::default() });
        assert_eq!(value(&laid, "runs.control.phase_size"), "0.75");
        assert_eq!(value(&laid, "runs.control (2).phase_size"), "1.5");
        assert_eq!(value(&laid, "runs.control (2).protective_size"), "1.5");
        assert_eq!(value(&laid, "runs.control.protective_size"), "");
    }
}
