//! Words of a power circuit: what each device is, what it is set to, how a run is made up.

use super::paper::{Label, Paper};
use crate::design::{Circuit, Contactor, Disconnect, Overload, Protection, Run, StarterDevice};
use crate::load::ProtectionKind;
use crate::report::columns::{frame_words, raceway_words};
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
pub(in crate::report::drawings) fn is_release(circuit: &Circuit, own: &Overload) -> bool {
    circuit.protection.as_ref().is_some_and(|device| device.kind == own.kind && own.part.is_empty())
}

/// The release of a circuit-breaker that protects against overload.
pub(in crate::report::drawings) fn release(circuit: &Circuit) -> Option<&Overload> {
    circuit.overloads.iter().find(|own| is_release(circuit, own))
}

/// Runs of the power circuit, without those of the control circuit.
pub(in crate::report::drawings) fn power_runs(circuit: &Circuit) -> impl Iterator<Item = &Run> {
    circuit.runs.iter().filter(|own| own.role != "control")
}

/// Overload protection inside a drive or a soft starter.
fn inside(circuit: &Circuit) -> Option<&Overload> {
    circuit.overloads.iter().find(|own| own.kind.starts_with("in-"))
}

/// Relays with contacts and a part of their own, under a contactor.
pub(super) fn relay<'c>(circuit: &'c Circuit, role: &str) -> Option<&'c Overload> {
    circuit.overloads.iter().find(|own| own.role == role && !is_release(circuit, own) && !own.kind.starts_with("in-"))
}

/// The contactor of a role.
pub(super) fn contactor<'c>(circuit: &'c Circuit, role: &str) -> Option<&'c Contactor> {
    circuit.contactors.iter().find(|own| own.role == role)
}

/// What a relay is set to.
fn set_to(own: &Overload) -> String {
    let class = if own.trip_class.is_empty() { String::new() } else { format!("class\u{a0}{}", own.trip_class) };
    listed([format!("set to {}", quantity(own.setting_a, decimals_of(own.setting_a), "A")), class])
}

/// Decimals of a setting: what the dial has, one at least.
fn decimals_of(value: f64) -> usize {
    trimmed(value).split_once('.').map_or(1, |(_, fraction)| fraction.len().clamp(1, 3))
}

/// What the dial itself is set to behind current transformers.
fn behind_transformers(own: &Overload) -> String {
    own.dial_a.map(|dial| format!("dial {} behind CTs", quantity(dial, decimals_of(dial), "A"))).unwrap_or_default()
}

/// Poles through which one conductor of a single-phase circuit goes one after the other.
fn in_series(own: &Overload) -> String {
    own.poles_in_series.map(|poles| format!("one line through {poles}\u{a0}poles in series")).unwrap_or_default()
}

/// A protective device of that kind is a fuse; all others are circuit-breakers.
pub(in crate::report::drawings) fn is_fuse(kind: &str) -> bool {
    ProtectionKind::from_word(kind).is_some_and(ProtectionKind::is_fuse)
}

pub(super) fn protection(paper: &mut Paper, circuit: &Circuit, own: &Protection) -> Label {
    let units = paper.units;
    let name = paper.names.next(if is_fuse(&own.kind) { "fuse" } else { "breaker" });
    let trip = own.magnetic_trip_a.map(|amperes| {
        format!("{} {}", units.pick("magnetic trip", "instantaneous trip"), quantity(amperes, decimals_for(amperes), "A"))
    });
    let breaking = own
        .breaking_ka
        .map(|ka| format!("{} {}", units.pick("breaks", "interrupts"), quantity(ka, decimals_for(ka).min(1), "kA")));
    Label::new(
        name,
        [
            format!("{} {}", full(units, &own.kind), quantity_trimmed(own.rating_a, "A")),
            release(circuit).map(set_to).unwrap_or_default(),
            listed([trip.unwrap_or_default(), breaking.unwrap_or_default()]),
            release(circuit).map(in_series).unwrap_or_default(),
        ],
    )
}

/// A contactor beside a wide column.
pub(super) fn contactor_wide(paper: &mut Paper, circuit: &Circuit, own: &Contactor) -> Label {
    let units = paper.units;
    let linked = if own.poles_in_parallel > 1 { format!("{} poles in parallel", own.poles_in_parallel) } else { String::new() };
    let rating = quantity_trimmed(own.rated_a, "A");
    let coil = circuit.control.as_ref().map(|control| format!("coil {}", control.coil_voltage)).unwrap_or_default();
    Label::new(
        paper.names.next(&own.role),
        [
            format!("{}, {}", terms(units).contactor.to_lowercase(), full(units, &own.role)),
            listed([units.pick(format!("{rating} {}", own.category), rating), size_of(own, units), linked]),
            coil,
        ],
    )
}

/// Size of a contactor by which the customary book buys.
fn size_of(own: &Contactor, units: Units) -> String {
    if units == Units::Customary && !own.frame.is_empty() { frame_words(&own.frame) } else { String::new() }
}

/// A contactor beside a narrow column.
pub(super) fn contactor_narrow(paper: &mut Paper, own: &Contactor) -> Label {
    let units = paper.units;
    let rating = quantity_trimmed(own.rated_a, "A");
    let linked =
        if own.poles_in_parallel > 1 { format!("{}\u{a0}\u{d7} parallel", own.poles_in_parallel) } else { String::new() };
    Label::new(
        paper.names.next(&own.role),
        [
            brief(units, &own.role).replace(", ", " "),
            units.pick(format!("{rating} {}", own.category), rating),
            size_of(own, units),
            linked,
        ],
    )
}

pub(super) fn relay_wide(paper: &mut Paper, own: &Overload) -> Label {
    let kind = full(paper.units, &own.kind);
    let kind = if own.is_found() {
        format!("{kind} {} to {}", trimmed(own.range_a[0]), quantity_trimmed(own.range_a[1], "A"))
    } else {
        format!("{kind}: none in the catalogue")
    };
    let item = if own.kind == "manual-starter" { "manual-starter" } else { "overload" };
    let each = if own.count > 1 { format!("from here on {}\u{a0}\u{d7}, one for each motor", own.count) } else { String::new() };
    let all = if own.count > 1 { "contacts in series in the control circuit".to_owned() } else { String::new() };
    Label::new(paper.names.next(item), [each, kind, set_to(own), behind_transformers(own), in_series(own), all])
}

pub(super) fn relay_narrow(paper: &mut Paper, own: &Overload) -> Label {
    let set = set_to(own).replace("set to", "set");
    Label::new(paper.names.next("overload"), set.split(", ").map(str::to_owned).chain([behind_transformers(own)]))
}

/// A device of the starting method.
pub(super) fn starter_device(paper: &mut Paper, circuit: &Circuit, own: &StarterDevice) -> Label {
    let kind = brief(paper.units, &own.kind).into_owned();
    let first = if own.rated_a > 0.0 { format!("{kind} {}", quantity_trimmed(own.rated_a, "A")) } else { kind };
    let design = if own.part.is_empty() { "to the maker's design".to_owned() } else { String::new() };
    let set = inside(circuit).filter(|_| own.rated_a > 0.0).map(|own| set_to(own).replace("set to", "set")).unwrap_or_default();
    Label::new(paper.names.next(&own.kind), [first, design, set])
}

/// A run: conductors on the first line, what they are laid in and their length on the second.
pub(super) fn run(paper: &mut Paper, own: &Run) -> Label {
    let units = paper.units;
    let length = quantity(units.length(own.length_m), 0, units.length_unit());
    let kind = listed([brief(units, &own.material).into_owned(), full(units, &own.insulation)]);
    let laid = match &own.raceway {
        Some(_) => format!("{} {}", terms(units).laid, raceway_words(own, units)),
        None if own.installation.is_empty() => String::new(),
        None => format!("{} {}", terms(units).laid, brief(units, &own.installation)),
    };
    let conductors = match units {
        Units::Metric => listed([runs_alike(own, make_up(own, units)), kind]),
        Units::Customary => customary(own, &kind),
    };
    Label::new(paper.names.next("run-of-cable"), [fixed_sizes(&conductors), listed([laid, length])])
}

/// `3 × 8 AWG + 10 AWG EGC`, in parallel sets where there are several.
fn customary(own: &Run, kind: &str) -> String {
    let phases = if own.cores > 1 { own.cores - 1 } else { own.cores };
    let one = format!("{phases} \u{d7} {}", own.phase_size);
    let sets = if own.per_phase > 1 { format!("{} \u{d7} ({one})", own.per_phase) } else { one };
    let grounding = if own.protective_size.is_empty() { String::new() } else { format!(" + {} EGC", own.protective_size) };
    listed([sets + &grounding, kind.to_owned()])
}

/// Blanks inside a size or a count do not part lines.
fn fixed_sizes(text: &str) -> String {
    text.split(", ").map(fixed).collect::<Vec<_>>().join(", ")
}

pub(super) fn isolator(paper: &mut Paper, own: &Disconnect) -> Label {
    let units = paper.units;
    let amperes = own.rating_a.map(|amperes| quantity_trimmed(amperes, "A"));
    let horsepower = own.rating_hp.map(|hp| quantity_trimmed(hp, "hp"));
    let shown = units.pick(1, 2);
    let rating: Vec<String> = [amperes, horsepower].into_iter().flatten().take(shown).collect();
    let category = units.pick(own.category.clone(), String::new());
    Label::new(
        paper.names.next("isolator"),
        [
            so_many(own.count) + format!("{} {} {category}", full(units, &own.kind), rating.join(", ")).trim_end(),
            listed([own.location.clone(), if own.lockable { "lockable".to_owned() } else { String::new() }]),
        ],
    )
}

/// Switch that holds the fuses, where it is the disconnecting means.
pub(super) fn fuse_switch(paper: &mut Paper, own: &Disconnect) -> Label {
    let amperes = own.rating_a.map(|amperes| quantity_trimmed(amperes, "A"));
    let horsepower = own.rating_hp.map(|hp| quantity_trimmed(hp, "hp"));
    let rating = listed([amperes, horsepower].into_iter().flatten());
    let words = paper.units.pick("switch-disconnector of the fuses", "fusible disconnect switch");
    Label::new(paper.names.next("fuse-switch"), [format!("{words} {rating}")])
}

/// The load: power, voltage and current, then what it is.
pub(super) fn load(paper: &mut Paper, circuit: &Circuit) -> Label {
    let own = &circuit.load;
    let kind = if own.kind.is_empty() { "motor" } else { own.kind.as_str() };
    // Beside horsepower there is no room for kilowatts.
    let power = match own.rated_power_hp {
        Some(hp) => Some(so_many(circuit.motors) + &with_unit(crate::report::columns::load::horsepower(hp), "hp")),
        None => crate::report::submittal::sheet::power(circuit, paper.units),
    };
    let amperes = circuit.currents.full_load_a;
    let current = (amperes > 0.0).then(|| quantity(amperes, decimals_for(amperes).max(1), "A"));
    let voltage = own.voltage_v.map(|volts| quantity_trimmed(volts, "V"));
    let lines = crate::report::columns::load::lines(circuit).map(str::to_owned);
    let figures = listed([power, voltage, current, lines].into_iter().flatten());
    let low = circuit.currents.low_speed_a.map(|low| format!("low speed {}", quantity(low, decimals_for(low).max(1), "A")));
    let sensors = if has_sensors(circuit) { "thermistors in the winding".to_owned() } else { String::new() };
    let what = if circuit.description.is_empty() { full(paper.units, kind) } else { circuit.description.clone() };
    Label { remark: what, ..Label::new(paper.names.next(kind), [figures, low.unwrap_or_default(), sensors]) }
}

/// The winding has temperature sensors that are evaluated.
pub(super) fn has_sensors(circuit: &Circuit) -> bool {
    circuit.accessories.iter().any(|own| own.kind == "thermistor-relay")
}

/// Pairs of roles with a mechanical interlock, as the accessories name them.
pub(super) fn interlocks(circuit: &Circuit) -> Vec<(&str, &str)> {
    let pairs = circuit.accessories.iter().filter(|own| own.kind == "interlock");
    pairs.filter_map(|own| own.serves.split_once(" and ")).collect()
}
