//! Rated current of a machine: nameplate, guide table or computed, which of them counts, and where they disagree.

use super::book::figure;
use super::{currents, switching};
use crate::finding::{Finding, Place, codes};
use crate::load::{Known, Load, LoadKind, Machine, Origin};
use crate::quantity::{Amperes, VoltAmperes, round_to};
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::rules::physics::currents as physics;
use crate::rules::physics::plausibility::{self, apart, plausible};

/// Which current counts, and what the sources say of each other.
pub(super) fn currents(machine: &Machine, wish: &str, load: &Load, record: &mut Record) -> Option<RatedCurrents> {
    let computed = computed_current(machine, record);
    let table = guide(machine, record);
    let table_current = table.map(|guide| guide.current);
    let zero = Amperes(0.0);
    let of_table = (table_current.unwrap_or(zero), "table");
    let of_power = (computed.unwrap_or(zero), "computed");
    let (full_load, source) = match (machine.nameplate, wish) {
        (Some(nameplate), "larger") => largest(&[(nameplate, "nameplate"), of_table, of_power]),
        (_, "table") if table_current.is_some() => of_table,
        (Some(nameplate), _) => (nameplate, "nameplate"),
        (None, "larger") if table_current.is_some() || computed.is_some() => with_marked(machine, largest(&[of_table, of_power])),
        (None, _) if computed.is_some() => with_marked(machine, of_power),
        (None, _) if table_current.is_some() => of_table,
        (None, _) => (machine.minimum_ampacity?, "given"),
    };
    if !(full_load.0 > 0.0 && full_load.0.is_finite()) {
        return None;
    }
    compare(machine, computed, table.as_ref(), source, &load.place(), record);
    not_in_table(machine, wish, source, full_load).into_iter().for_each(|finding| record.find(finding.at(load.place())));
    plausibility::markings(machine, full_load, load).into_iter().for_each(|finding| record.find(finding));
    let conductor = if machine.kind == LoadKind::Capacitor { switching::capacitor_demand(record, full_load) } else { full_load };
    let low = low_speed(machine, full_load, record);
    Some(RatedCurrents {
        full_load,
        source,
        nameplate: machine.nameplate,
        table: table_current,
        computed,
        low,
        conductor,
        protection: full_load,
        overload: machine.nameplate.unwrap_or(full_load),
    })
}

/// Guide value of a three-phase motor at 50 Hz, or by its horsepower at 60 Hz; none for any other machine.
fn guide(machine: &Machine, record: &mut Record) -> Option<currents::GuideCurrent> {
    let power = machine.power.filter(|_| machine.kind == LoadKind::Motor && machine.phases == 3)?;
    let is_of = |hertz: f64| (machine.frequency_hz - hertz).abs() < 1.0;
    match (is_of(50.0), is_of(60.0)) {
        (true, _) => currents::guide_current(record, power, machine.voltage),
        (_, true) => currents::guide_current_60(power, machine.voltage),
        _ => None,
    }
}

/// Where a guide value stands.
fn annex(table: &currents::GuideCurrent) -> &'static str {
    if table.recalled { "IEC 60947-4-1, Annex G (figures from memory)" } else { "IEC 60947-4-1, Annex G" }
}

/// The table counts by the wish of the basis, and has no such motor: what counts instead is told.
fn not_in_table(machine: &Machine, wish: &str, source: &str, full_load: Amperes) -> Option<Finding> {
    (machine.kind == LoadKind::Motor && wish == "table" && source != "table").then(|| {
        let amperes = round_to(full_load.0, 2);
        let counts = match source {
            "nameplate" => format!("its nameplate's {amperes} A count"),
            "computed" => format!("{amperes} A, computed, count"),
            _ => format!("{amperes} A count"),
        };
        let what =
            format!("current_source is table, and the guide table has no motor of this output, voltage and frequency: {counts}");
        Finding::new(&codes::R104_COMPUTED, what).cure("nothing, if that current holds; Annex G gives no rule between its rows")
    })
}

/// Something gives the rated current: a marking, the load's own data, or the guide table.
pub(super) fn is_known(machine: &Machine) -> bool {
    let marked = machine.nameplate.is_some() || machine.minimum_ampacity.is_some() || machine.apparent.is_some();
    marked
        || match machine.kind {
            LoadKind::Capacitor => machine.reactive.is_some(),
            LoadKind::Motor => {
                let computed = machine.power.is_some() && machine.efficiency.is_some() && machine.power_factor.is_some();
                computed || guide(machine, &mut Record::silent()).is_some()
            }
            _ => machine.power.is_some(),
        }
}

/// A marked circuit ampacity is no rated current: of a motor it counts where nothing else says what it draws. Equipment may hold more
/// than the load whose power the row states, so of all others the larger counts.
fn with_marked(machine: &Machine, stated: (Amperes, &'static str)) -> (Amperes, &'static str) {
    match machine.minimum_ampacity {
        Some(marked) if machine.kind != LoadKind::Motor => largest(&[stated, (marked, "given")]),
        _ => stated,
    }
}

fn largest(candidates: &[(Amperes, &'static str)]) -> (Amperes, &'static str) {
    candidates
        .iter()
        .copied()
        .fold((Amperes(0.0), "computed"), |best, candidate| if candidate.0.0 > best.0.0 { candidate } else { best })
}

fn computed_current(machine: &Machine, record: &mut Record) -> Option<Amperes> {
    if let Some(reactive) = machine.reactive.filter(|_| machine.kind == LoadKind::Capacitor) {
        return Some(physics::capacitor_current(record, reactive, machine.voltage, machine.phases));
    }
    if let Some(apparent) = machine.apparent {
        return Some(physics::apparent_current(record, VoltAmperes(apparent.0), machine.voltage, machine.phases));
    }
    let power = machine.power?;
    let power_factor = machine.power_factor?.value;
    if machine.kind == LoadKind::Motor {
        let efficiency = machine.efficiency?.value;
        return Some(physics::motor_current(record, power, machine.voltage, efficiency, power_factor, machine.phases));
    }
    Some(physics::active_current(record, power, machine.voltage, power_factor, machine.phases))
}

/// Low speed: nameplate, else from its power with the high speed's values, else like the high speed.
fn low_speed(machine: &Machine, full_load: Amperes, record: &mut Record) -> Option<Amperes> {
    if let Some(nameplate_low) = machine.nameplate_low {
        return Some(nameplate_low);
    }
    let power = machine.power_low?;
    let (efficiency, power_factor) = (machine.efficiency?.value, machine.power_factor?.value);
    let computed = physics::motor_current(record, power, machine.voltage, efficiency, power_factor, machine.phases);
    // At low speed efficiency and power factor are worse.
    Some((computed * figure("low-speed-current")).min(full_load))
}

/// How far a nameplate may lie off before a slip is likelier than another motor, per cent.
fn far_pct() -> f64 {
    round_to(plausible("nameplate-far-share") * 100.0, 0)
}

fn compare(
    machine: &Machine,
    computed: Option<Amperes>,
    table: Option<&currents::GuideCurrent>,
    source: &str,
    place: &Place,
    record: &mut Record,
) {
    if machine.kind != LoadKind::Motor {
        return;
    }
    let computed = computed.filter(|computed| !is_guessed_too_large(machine, *computed));
    let is_stated = |known: Option<Known<f64>>| known.is_some_and(|known| known.origin == Origin::Cell);
    let all_stated = is_stated(machine.efficiency) && is_stated(machine.power_factor);
    let doubt = machine.nameplate.and_then(|nameplate| doubt(nameplate, computed, table, all_stated));
    let doubt = doubt.or_else(|| computed_far_off(machine, computed?, table?));
    for finding in doubt.into_iter().chain(stand_in(source, machine.nameplate, computed, table)) {
        record.find(finding.at(place.clone()));
    }
}

/// A current above the nameplate's, of a single-phase motor whose efficiency and power factor are both assumed: figures of three-phase
/// motors are no measure of a wet-rotor or a shaded-pole motor. Less than power over voltage is a slip whatever the motor.
fn is_guessed_too_large(machine: &Machine, computed: Amperes) -> bool {
    let assumed = [machine.efficiency, machine.power_factor].into_iter().flatten().all(|known| !known.is_stated());
    let enough = |nameplate: Amperes| machine.power.is_none_or(|power| power.0 <= nameplate.0 * machine.voltage.0);
    machine.phases == 1 && assumed && machine.nameplate.is_some_and(|nameplate| enough(nameplate) && nameplate <= computed)
}

/// A nameplate current that lies off the guide value or off what the motor's own data give. What is far away is said once.
fn doubt(
    nameplate: Amperes,
    computed: Option<Amperes>,
    table: Option<&currents::GuideCurrent>,
    all_stated: bool,
) -> Option<Finding> {
    let is_far = |other: Amperes| apart(nameplate.0, other.0, "nameplate-far-share", "nameplate-far-a");
    let differs = |other: Amperes| apart(nameplate.0, other.0, "nameplate-differs-share", "nameplate-differs-a");
    match (table, computed) {
        (Some(table), _) if is_far(table.current) => Some(
            Finding::new(
                &codes::R102_NAMEPLATE_OFF_TABLE,
                format!(
                    "the nameplate says {} A; the guide value for this output is {} A, more than {} % away",
                    nameplate.0,
                    round_to(table.current.0, 2),
                    far_pct()
                ),
            )
            .cure(cure_of(nameplate, table.current))
            .reference(annex(table)),
        ),
        // Where the row states all four figures they must agree among themselves; without a guide value they are all there is to tell a
        // slip of a unit by.
        (table, Some(computed)) if is_far(computed) && (table.is_none() || all_stated) => Some(
            Finding::new(
                &codes::R106_NAMEPLATE_OFF_COMPUTED,
                format!(
                    "the nameplate says {} A; power, efficiency and power factor give {} A, more than {} % away",
                    nameplate.0,
                    round_to(computed.0, 2),
                    far_pct()
                ),
            )
            .cure(cure_of(nameplate, computed)),
        ),
        (_, Some(computed)) if differs(computed) => Some(
            Finding::new(
                &codes::R101_NAMEPLATE_DIFFERS,
                format!(
                    "the nameplate says {} A; power, efficiency and power factor give {} A",
                    nameplate.0,
                    round_to(computed.0, 2)
                ),
            )
            .cure("compare the row with the nameplate: one of the four values may be another motor's"),
        ),
        _ => None,
    }
}

/// Without a nameplate current: what efficiency or power factor of the row give, where that lies as far off the guide value as no nameplate
/// may. What the program filled in itself is the table's own.
fn computed_far_off(machine: &Machine, computed: Amperes, table: &currents::GuideCurrent) -> Option<Finding> {
    let is_stated = |known: Option<Known<f64>>| known.is_some_and(|known| known.origin == Origin::Cell);
    let stated = is_stated(machine.efficiency) || is_stated(machine.power_factor);
    let is_far = apart(computed.0, table.current.0, "nameplate-far-share", "nameplate-far-a");
    let doubted = machine.nameplate.is_none() && stated && is_far;
    doubted.then(|| {
        Finding::new(
            &codes::R108_COMPUTED_OFF_TABLE,
            format!(
                "power, efficiency and power factor give {} A; the guide value for this output is {} A, more than {} % away",
                round_to(computed.0, 2),
                round_to(table.current.0, 2),
                far_pct()
            ),
        )
        .why("overload protection, device and cable go by the computed current: set too high, the motor is not protected")
        .cure("compare efficiency, power factor and power with the nameplate, or enter full_load_current_a")
        .reference(annex(table))
    })
}

/// The current that stands in for that of the nameplate, which the row does not give or the basis does not want.
fn stand_in(
    source: &str,
    nameplate: Option<Amperes>,
    computed: Option<Amperes>,
    table: Option<&currents::GuideCurrent>,
) -> Option<Finding> {
    let finding = match source {
        "computed" => Finding::new(
            &codes::R104_COMPUTED,
            format!("no nameplate current: {} A computed", computed.map_or(0.0, |current| round_to(current.0, 2))),
        ),
        "table" => {
            let scaled = if table.is_some_and(|guide| guide.scaled) { ", scaled to the voltage" } else { "" };
            let (code, of_figures) = match table {
                Some(guide) if !guide.recalled => (&codes::R104_COMPUTED, ""),
                _ => (&codes::R103_TABLE_FROM_MEMORY, ", whose figures are recalled and not confirmed"),
            };
            Finding::new(code, format!("the rated current is the guide table's{scaled}{of_figures}"))
                .reference("IEC 60947-4-1, Annex G")
        }
        _ => return None,
    };
    Some(finding.cure(match nameplate {
        None => "the nameplate current replaces it",
        Some(_) => "the basis wants it in the place of the nameplate's; state current_source nameplate there if that is to count",
    }))
}

/// The slip to look for where a nameplate current is far from what is usual; ten times as much or a tenth is a decimal mark that slipped.
fn cure_of(nameplate: Amperes, usual: Amperes) -> &'static str {
    let ratio = nameplate.0 / usual.0;
    let slipped = plausible("slipped-decimal-least")..plausible("slipped-decimal-most");
    if [ratio, 1.0 / ratio].into_iter().any(|ratio| slipped.contains(&ratio)) {
        "about a factor of ten: look for a decimal mark that slipped in the current or the power"
    } else {
        "check power, voltage and current against the nameplate"
    }
}
