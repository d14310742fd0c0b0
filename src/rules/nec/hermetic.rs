//! Hermetic refrigerant motor-compressors given as motors (Article 440): rated-load and branch-circuit selection current take the place
//! of the tables of Article 430, and a controller or switch in horsepower is chosen by equivalents.

use crate::finding::{Finding, codes};
use crate::load::{Field, Load, LoadKind, Machine, Method, Start};
use crate::quantity::{Amperes, fits, round_to};
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::rules::nec::currents::{self, CurrentTable, NAMEPLATE_CURRENT};
use crate::rules::nec::{groups, locked_rotor};

/// The larger of rated-load and branch-circuit selection current of a motor-compressor (440.6(A), 440.22(A), 440.32); none of an
/// ordinary motor.
#[must_use]
pub fn current(machine: &Machine) -> Option<Amperes> {
    let rated_load = machine.rated_load.filter(|_| machine.kind == LoadKind::Motor)?;
    Some(groups::hermetic_current(rated_load, machine.selection))
}

/// 440.12(A)(2), 440.41(A): horsepower at which a controller or switch that is rated in it carries both currents: the larger of those
/// of the tables of full-load and of locked-rotor currents, neither rounded down. None for an ordinary motor and beyond the tables.
#[must_use]
pub fn equivalent_horsepower(machine: &Machine) -> Option<f64> {
    let of_load =
        currents::horsepower_row_not_below(CurrentTable::of_phases(machine.phases)?, current(machine)?, machine.voltage)?;
    let Some(locked) = machine.locked_rotor else { return Some(of_load) };
    locked_rotor::horsepower_of_locked_rotor(machine.phases, locked, machine.voltage).map(|horsepower| horsepower.max(of_load))
}

/// Currents by what is marked; none, with an error that says why, where the rated-load current is missing or contradicts another.
pub(super) fn rated(machine: &Machine, start: &Start, load: &Load, record: &mut Record) -> Option<RatedCurrents> {
    let Some((rated_load, larger)) = machine.rated_load.zip(current(machine)) else {
        record.find(
            Finding::new(&codes::R217_RATED_LOAD, "a branch-circuit selection current is stated without the rated-load current")
                .at(load.place_of(Field::BranchSelectionCurrentA))
                .why("the overload protection goes by the rated-load current")
                .cure("enter rated_load_current_a from the nameplate")
                .reference("440.4(A), 440.6(A), 440.52(A)"),
        );
        return None;
    };
    if let Some(other) =
        load.number(Field::FullLoadCurrentA).filter(|number| !fits(*number, rated_load.0) || !fits(rated_load.0, *number))
    {
        record.find(
            Finding::new(
                &codes::R217_RATED_LOAD,
                format!("the rated-load current is {} A and the full-load current {other} A", rated_load.0),
            )
            .at(load.place_of(Field::FullLoadCurrentA))
            .why("a motor-compressor has one of them, its rated-load current")
            .cure("leave full_load_current_a empty, or correct it")
            .reference("440.6(A)"),
        );
        return None;
    }
    say_locked_rotor(machine, load, record);
    say_method(start.method, load, record);
    say_equivalent(machine, larger, load, record);
    record.step_from(&NAMEPLATE_CURRENT, &[rated_load.0], "440.6(A)");
    Some(RatedCurrents {
        full_load: rated_load,
        source: "nameplate",
        nameplate: Some(rated_load),
        conductor: larger,
        protection: larger,
        overload: rated_load,
        ..RatedCurrents::default()
    })
}

fn say_locked_rotor(machine: &Machine, load: &Load, record: &mut Record) {
    if machine.locked_rotor.is_some() {
        return;
    }
    record.find(
        Finding::new(&codes::R219_LOCKED_ROTOR_MISSING, "the locked-rotor current of the motor-compressor is not stated")
            .at(load.place_of(Field::LockedRotorRatio))
            .why("controller and disconnecting means must suit it as well; they are chosen by the larger running current alone")
            .cure("enter locked_rotor_ratio, the marked locked-rotor current over the rated-load current; of an ordinary motor write its current into full_load_current_a")
            .reference("440.4(A), 440.12(A)(2), 440.41(A)"),
    );
}

/// 440.32 speaks of starting direct and of wye-start, delta-run.
fn say_method(method: Method, load: &Load, record: &mut Record) {
    if matches!(method, Method::Direct | Method::StarDelta | Method::StarDeltaClosed) {
        return;
    }
    record.find(
        Finding::new(&codes::R221_COMPRESSOR_METHOD, "a motor-compressor that is neither started direct nor wye-delta")
            .at(load.place_of(Field::StartingMethod))
            .why("conductors and device behind such a starter are worked out as for a motor of this current")
            .cure("ask the maker of the compressor for conductors, device and controller at this method")
            .reference("440.4(A), 440.22(A), 440.32"),
    );
}

fn say_equivalent(machine: &Machine, larger: Amperes, load: &Load, record: &mut Record) {
    if equivalent_horsepower(machine).is_some() {
        return;
    }
    let locked = machine
        .locked_rotor
        .map(|locked_rotor| format!(" and {} A at locked rotor", round_to(locked_rotor.0, 1)))
        .unwrap_or_default();
    record.find(
        Finding::new(
            &codes::R223_NO_EQUIVALENT,
            format!("no horsepower of the tables stands for {} A{locked} at {} V", round_to(larger.0, 2), machine.voltage.0),
        )
        .at(load.place())
        .why("controller and disconnecting means are chosen by their current alone")
        .cure("choose both by their full-load and locked-rotor current ratings")
        .reference("440.12(A)(2), 440.41(A)"),
    );
}
