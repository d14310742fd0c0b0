//! Words of a power circuit: what each device is, what it is set to, how a run is made up.

use super::paper::{Label, Paper};
use crate::design::{Circuit, Contactor, Disconnect, Overload, Protection, Run, StarterDevice};
use crate::load::ProtectionKind;
use crate::report::columns::values::not_chosen;
use crate::report::columns::{frame_words, numbered_conductors, raceway_words};
use crate::report::submittal::lists::{make_up, quantity_trimmed, trimmed};
use crate::report::submittal::sheet::{runs_alike, so_many};
use crate::report::submittal::text::{decimals_for, fixed, quantity, with_unit};
use crate::report::words::{brief, full, terms};
use crate::rules::units::Units;

/// Items parted by commas, without the empty ones.
fn listed(items: impl IntoIterator<Item = String>) -> String {
    items.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ")
}

/// The overload protection is a release of the circuit-breaker: it has its kind and no part of its own.
pub(in crate::report::drawings) fn is_release(circuit: &Circuit, overload: &Overload) -> bool {
    circuit.protection.as_ref().is_some_and(|device| device.kind == overload.kind && overload.part.is_empty())
}

/// The release of a circuit-breaker that protects against overload.
pub(in crate::report::drawings) fn release(circuit: &Circuit) -> Option<&Overload> {
    circuit.overloads.iter().find(|overload| is_release(circuit, overload))
}

/// Runs of the power circuit, without those of the control circuit.
pub(in crate::report::drawings) fn power_runs(circuit: &Circuit) -> impl Iterator<Item = &Run> {
    circuit.runs.iter().filter(|run| run.role != "control")
}

/// Overload protection inside a drive or a soft starter.
fn inside(circuit: &Circuit) -> Option<&Overload> {
    circuit.overloads.iter().find(|overload| overload.kind.starts_with("in-"))
}

/// Relays with contacts and a part of their own, under a contactor.
pub(super) fn relay<'c>(circuit: &'c Circuit, role: &str) -> Option<&'c Overload> {
    circuit
        .overloads
        .iter()
        .find(|overload| overload.role == role && !is_release(circuit, overload) && !overload.kind.starts_with("in-"))
}

/// The contactor of a role.
pub(super) fn contactor<'c>(circuit: &'c Circuit, role: &str) -> Option<&'c Contactor> {
    circuit.contactors.iter().find(|contactor| contactor.role == role)
}

/// The setting of a relay.
fn set_to(overload: &Overload) -> String {
    let class = if overload.trip_class.is_empty() { String::new() } else { format!("class\u{a0}{}", overload.trip_class) };
    listed([format!("set to {}", quantity(overload.setting_a, decimals_of(overload.setting_a), "A")), class])
}

/// Decimals of a setting: what the dial has, one at least.
fn decimals_of(value: f64) -> usize {
    trimmed(value).split_once('.').map_or(1, |(_, fraction)| fraction.len().clamp(1, 3))
}

/// The setting of the dial itself behind current transformers.
fn behind_transformers(overload: &Overload) -> String {
    overload.dial_a.map(|dial| format!("dial {} behind CTs", quantity(dial, decimals_of(dial), "A"))).unwrap_or_default()
}

/// Poles through which one conductor of a single-phase circuit goes one after the other.
fn in_series(overload: &Overload) -> String {
    overload.poles_in_series.map(|poles| format!("one line through {poles}\u{a0}poles in series")).unwrap_or_default()
}

/// A protective device of that kind is a fuse; all others are circuit-breakers.
pub(in crate::report::drawings) fn is_fuse(kind: &str) -> bool {
    ProtectionKind::from_word(kind).is_some_and(ProtectionKind::is_fuse)
}

pub(super) fn protection(paper: &mut Paper, circuit: &Circuit, protection: &Protection) -> Label {
    let units = paper.units;
    let name = paper.names.next(if is_fuse(&protection.kind) { "fuse" } else { "breaker" });
    let trip = protection.magnetic_trip_a.map(|amperes| {
        format!("{} {}", units.pick("magnetic trip", "instantaneous trip"), quantity(amperes, decimals_for(amperes), "A"))
    });
    let breaking = protection
        .breaking_ka
        .map(|ka| format!("{} {}", units.pick("breaks", "interrupts"), quantity(ka, decimals_for(ka).min(1), "kA")));
    Label::new(
        name,
        [
            listed([
                format!("{} {}", full(units, &protection.kind), quantity_trimmed(protection.rating_a, "A")),
                circuit.release_setting().map(|amperes| format!("set to {}", quantity_trimmed(amperes, "A"))).unwrap_or_default(),
            ]),
            release(circuit).map(set_to).unwrap_or_default(),
            listed([trip.unwrap_or_default(), breaking.unwrap_or_default()]),
            release(circuit).map(in_series).unwrap_or_default(),
        ],
    )
}

/// A contactor beside a wide column.
pub(super) fn contactor_wide(paper: &mut Paper, circuit: &Circuit, contactor: &Contactor) -> Label {
    let units = paper.units;
    let linked = if contactor.poles_in_parallel > 1 {
        format!("{} poles in parallel", contactor.poles_in_parallel)
    } else {
        String::new()
    };
    let rating = quantity_trimmed(contactor.rated_a, "A");
    let coil = circuit.control.as_ref().map(|control| format!("coil {}", control.coil_voltage)).unwrap_or_default();
    Label::new(
        paper.names.next(&contactor.role),
        [
            format!("{}, {}", terms(units).contactor.to_lowercase(), full(units, &contactor.role)),
            listed([units.pick(format!("{rating} {}", contactor.category), rating), size_of(contactor, units), linked]),
            coil,
        ],
    )
}

/// Size of a contactor by which the customary book buys.
fn size_of(contactor: &Contactor, units: Units) -> String {
    if units == Units::Customary && !contactor.frame.is_empty() { frame_words(&contactor.frame) } else { String::new() }
}

/// A contactor beside a narrow column.
pub(super) fn contactor_narrow(paper: &mut Paper, contactor: &Contactor) -> Label {
    let units = paper.units;
    let rating = quantity_trimmed(contactor.rated_a, "A");
    let linked = if contactor.poles_in_parallel > 1 {
        format!("{}\u{a0}\u{d7} parallel", contactor.poles_in_parallel)
    } else {
        String::new()
    };
    Label::new(
        paper.names.next(&contactor.role),
        [
            brief(units, &contactor.role).replace(", ", " "),
            units.pick(format!("{rating} {}", contactor.category), rating),
            size_of(contactor, units),
            linked,
        ],
    )
}

pub(super) fn relay_wide(paper: &mut Paper, overload: &Overload) -> Label {
    let kind = full(paper.units, &overload.kind);
    let kind = if overload.is_found() {
        format!("{kind} {} to {}", trimmed(overload.range_a[0]), quantity_trimmed(overload.range_a[1], "A"))
    } else {
        format!("{kind}: none in the catalogue")
    };
    let item = if overload.kind == "manual-starter" { "manual-starter" } else { "overload" };
    let each = if overload.count > 1 {
        format!("from here on {}\u{a0}\u{d7}, one for each motor", overload.count)
    } else {
        String::new()
    };
    let all = if overload.count > 1 { "contacts in series in the control circuit".to_owned() } else { String::new() };
    Label::new(paper.names.next(item), [each, kind, set_to(overload), behind_transformers(overload), in_series(overload), all])
}

pub(super) fn relay_narrow(paper: &mut Paper, overload: &Overload) -> Label {
    let set = set_to(overload).replace("set to", "set");
    Label::new(paper.names.next("overload"), set.split(", ").map(str::to_owned).chain([behind_transformers(overload)]))
}

/// A device of the starting method.
pub(super) fn starter_device(paper: &mut Paper, circuit: &Circuit, device: &StarterDevice) -> Label {
    let kind = brief(paper.units, &device.kind).into_owned();
    let first = if device.rated_a > 0.0 { format!("{kind} {}", quantity_trimmed(device.rated_a, "A")) } else { kind };
    let design = if device.part.is_empty() { not_chosen(&device.kind).to_owned() } else { String::new() };
    let set = inside(circuit)
        .filter(|_| device.rated_a > 0.0)
        .map(|overload| set_to(overload).replace("set to", "set"))
        .unwrap_or_default();
    Label::new(paper.names.next(&device.kind), [first, design, set])
}

/// A run: conductors on the first line, what they are laid in and their length on the second.
pub(super) fn run(paper: &mut Paper, run: &Run) -> Label {
    let units = paper.units;
    let length = quantity(units.length(run.length_m), 0, units.length_unit());
    let kind = listed([brief(units, &run.material).into_owned(), full(units, &run.insulation)]);
    let laid = match &run.raceway {
        Some(_) => format!("{} {}", terms(units).laid, raceway_words(run, units)),
        None if run.installation.is_empty() => String::new(),
        None => format!("{} {}", terms(units).laid, brief(units, &run.installation)),
    };
    let conductors = match units {
        Units::Metric => listed([runs_alike(run, make_up(run, units)), kind]),
        Units::Customary => customary(run, &kind),
    };
    Label::new(paper.names.next("run-of-cable"), [fixed_sizes(&conductors), listed([laid, length])])
}

/// `3 × 8 AWG + 10 AWG EGC`, in parallel sets where there are several.
fn customary(run: &Run, kind: &str) -> String {
    let grounding = if run.protective_size.is_empty() { String::new() } else { format!(" + {} EGC", run.protective_size) };
    listed([numbered_conductors(run) + &grounding, kind.to_owned()])
}

/// Blanks inside a size or a count do not part lines.
fn fixed_sizes(text: &str) -> String {
    text.split(", ").map(fixed).collect::<Vec<_>>().join(", ")
}

pub(super) fn isolator(paper: &mut Paper, disconnect: &Disconnect) -> Label {
    let units = paper.units;
    let amperes = disconnect.rating_a.map(|amperes| quantity_trimmed(amperes, "A"));
    let horsepower = disconnect.rating_hp.map(|hp| quantity_trimmed(hp, "hp"));
    let shown = units.pick(1, 2);
    let rating: Vec<String> = [amperes, horsepower].into_iter().flatten().take(shown).collect();
    let category = units.pick(disconnect.category.clone(), String::new());
    Label::new(
        paper.names.next("isolator"),
        [
            so_many(disconnect.count) + format!("{} {} {category}", full(units, &disconnect.kind), rating.join(", ")).trim_end(),
            listed([disconnect.location.clone(), if disconnect.lockable { "lockable".to_owned() } else { String::new() }]),
        ],
    )
}

/// Switch that holds the fuses, where it is the disconnecting means.
pub(super) fn fuse_switch(paper: &mut Paper, disconnect: &Disconnect) -> Label {
    let amperes = disconnect.rating_a.map(|amperes| quantity_trimmed(amperes, "A"));
    let horsepower = disconnect.rating_hp.map(|hp| quantity_trimmed(hp, "hp"));
    let rating = listed([amperes, horsepower].into_iter().flatten());
    let words = paper.units.pick("switch-disconnector of the fuses", "fusible disconnect switch");
    Label::new(paper.names.next("fuse-switch"), [format!("{words} {rating}")])
}

/// The load: power, voltage and current, then what it is.
pub(super) fn load(paper: &mut Paper, circuit: &Circuit) -> Label {
    let data = &circuit.load;
    let kind = if data.kind.is_empty() { "motor" } else { data.kind.as_str() };
    // Beside horsepower there is no room for kilowatts.
    let power = match data.rated_power_hp {
        Some(hp) => Some(so_many(circuit.motors) + &with_unit(crate::report::columns::load::horsepower(hp), "hp")),
        None => crate::report::submittal::sheet::power(circuit, paper.units),
    };
    let amperes = circuit.currents.full_load_a;
    let current = (amperes > 0.0).then(|| quantity(amperes, decimals_for(amperes).max(1), "A"));
    let voltage = data.voltage_v.map(|volts| quantity_trimmed(volts, "V"));
    let lines = crate::report::columns::load::lines(circuit).map(str::to_owned);
    let figures = listed([power, voltage, current, lines].into_iter().flatten());
    let low = circuit.currents.low_speed_a.map(|low| format!("low speed {}", quantity(low, decimals_for(low).max(1), "A")));
    let sensors = if has_sensors(circuit) { "thermistors in the winding".to_owned() } else { String::new() };
    let what = if circuit.description.is_empty() { full(paper.units, kind) } else { circuit.description.clone() };
    Label { remark: what, ..Label::new(paper.names.next(kind), [figures, low.unwrap_or_default(), sensors]) }
}

/// The winding has temperature sensors that are evaluated.
pub(super) fn has_sensors(circuit: &Circuit) -> bool {
    circuit.accessories.iter().any(|accessory| accessory.kind == "thermistor-relay")
}

/// Pairs of roles with a mechanical interlock, as the accessories name them.
pub(super) fn interlocks(circuit: &Circuit) -> Vec<(&str, &str)> {
    let pairs = circuit.accessories.iter().filter(|accessory| accessory.kind == "interlock");
    pairs.filter_map(|accessory| accessory.serves.split_once(" and ")).collect()
}
