//! The current of a load that counts for each purpose: 430.6 and 440.6 for motors and packaged equipment, the connected load for the rest.
//! Markings of the row that contradict the clauses are findings here.

use crate::finding::{Finding, codes};
use crate::load::{Field, Load, LoadKind, Machine, Start};
use crate::quantity::{Amperes, fits, round_to};
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::rules::nec::currents::{self, CurrentTable, Marking, TableCurrent};
use crate::rules::nec::standard_ratings::{DeviceKind, next_down};
use crate::rules::nec::{Nec, hermetic, locked_rotor, need};
use crate::rules::physics::currents as physics;
use crate::rules::physics::plausibility::{self, apart, plausible};

/// Rated currents of a load; none, with an error that says why, if nothing gives one.
pub(super) fn of(
    book: Nec,
    machine: &Machine,
    start: &Start,
    wish: &str,
    load: &Load,
    record: &mut Record,
) -> Option<RatedCurrents> {
    match machine.kind {
        LoadKind::Motor if machine.rated_load.is_some() || machine.selection.is_some() => {
            hermetic::rated(machine, start, load, record)
        }
        LoadKind::Motor => motor(book, machine, start, wish, load, record),
        LoadKind::Packaged => packaged(book, machine, load, record),
        _ => connected(machine, record),
    }
    .inspect(|currents| {
        plausibility::markings(machine, currents.full_load, load).into_iter().for_each(|finding| record.find(finding));
    })
}

/// Horsepower of the motor: as marked, else from kilowatts, else read backwards from the nameplate current; of a hermetic compressor the
/// equivalent one.
pub(super) fn horsepower(machine: &Machine, record: &mut Record) -> Option<f64> {
    if hermetic::current(machine).is_some() {
        return hermetic::equivalent_horsepower(machine);
    }
    if machine.horsepower.is_some() {
        return machine.horsepower;
    }
    if let Some(power) = machine.power {
        return Some(currents::horsepower_from_power(record, power));
    }
    let table = CurrentTable::of_phases(machine.phases)?;
    currents::horsepower_from_current(record, table, machine.nameplate?, machine.voltage)
        .map(|table_horsepower| table_horsepower.horsepower)
}

/// Full-load current of the table for the motor; none where the table has none.
pub(super) fn table_current(machine: &Machine, record: &mut Record) -> Option<TableCurrent> {
    let table = CurrentTable::of_phases(machine.phases)?;
    let horsepower = horsepower(machine, record)?;
    currents::full_load_current(record, table, horsepower, machine.voltage)
}

fn motor(book: Nec, machine: &Machine, start: &Start, wish: &str, load: &Load, record: &mut Record) -> Option<RatedCurrents> {
    let table = table_current(machine, record);
    let marking = marking(machine, start, table.is_none());
    let throughout = currents::nameplate_throughout(book.edition, &marking);
    if let Some(nameplate) = machine.nameplate {
        let clause = throughout.unwrap_or(currents::NAMEPLATE_CURRENT.reference);
        record.step_from(&currents::NAMEPLATE_CURRENT, &[nameplate.0], clause);
    }
    say_horsepower(machine, table.as_ref(), load, record);
    say_band(machine, table.as_ref(), load, record);
    let of_table = table.map(|row| row.current);
    let (full_load, source) = match (machine.nameplate, of_table, throughout) {
        (Some(nameplate), _, Some(_)) => (nameplate, "nameplate"),
        (Some(nameplate), Some(table), None) if wish == "larger" && nameplate.0 > table.0 => (nameplate, "nameplate"),
        (_, Some(table), _) => (table, "table"),
        (Some(nameplate), None, _) => (nameplate, "nameplate"),
        (None, None, _) => {
            record.find(no_current(machine, load));
            return None;
        }
    };
    if let Some(clause) = throughout {
        say_nameplate(machine, &marking, clause, load, record);
    }
    // What is only supplied has its overload protection from others.
    if !start.method.supply_only() {
        say_overload(machine, throughout.is_some(), full_load, load, record);
    }
    say_duty(start, load, record);
    say_code_letter(machine, load, record);
    say_design_a(machine, start, load, record);
    // A nameplate above the table makes conductors larger; the device stays with the table, which is the smaller.
    let conductor = machine.nameplate.map_or(full_load, |nameplate| full_load.max(nameplate));
    if let (Some(nameplate), Some(table)) = (machine.nameplate, of_table) {
        say_difference(machine, (nameplate, table), throughout.is_some(), load, record);
    }
    Some(RatedCurrents {
        full_load,
        source,
        nameplate: machine.nameplate,
        table: of_table,
        computed: None,
        low: low_speed(machine, load, record),
        conductor,
        protection: full_load,
        overload: machine.nameplate.unwrap_or(full_load),
    })
}

/// The marking of the motor by 430.6. Poles that nobody states make no low speed of it.
fn marking(machine: &Machine, start: &Start, outside_table: bool) -> Marking {
    Marking {
        synchronous_rpm: (machine.poles > 0).then(|| 120.0 * machine.frequency_hz / f64::from(machine.poles)),
        multispeed: start.method.two_speeds(),
        outside_table,
        ..Marking::default()
    }
}

fn low_speed(machine: &Machine, load: &Load, record: &mut Record) -> Option<Amperes> {
    if machine.nameplate_low.is_some() {
        return machine.nameplate_low;
    }
    let horsepower =
        machine.horsepower_low.or_else(|| machine.power_low.map(|power| currents::horsepower_from_power(record, power)))?;
    let table = CurrentTable::of_phases(machine.phases)?;
    let found = currents::full_load_current(record, table, horsepower, machine.voltage)?;
    record.find(
        Finding::new(
            &codes::R208_LOW_SPEED_TABLE,
            format!("the current at low speed is the table's for {horsepower} hp: {} A", round_to(found.current.0, 2)),
        )
        .at(load.place_of(Field::RatedPowerLowHp))
        .why("at low speed a motor draws more than one of usual speed and the same horsepower")
        .cure("enter full_load_current_low_a from the nameplate")
        .reference("430.6(A), 430.22(B)"),
    );
    Some(found.current)
}

fn say_horsepower(machine: &Machine, table: Option<&TableCurrent>, load: &Load, record: &mut Record) {
    let horsepower = horsepower(machine, &mut Record::silent()).unwrap_or(0.0);
    if machine.horsepower.is_none() && machine.power.is_some() {
        let kilowatts = machine.power.map_or(0.0, |power| power.0 / 1000.0);
        record.find(
            Finding::new(&codes::R201_KILOWATTS, format!("{kilowatts} kW are taken as {} hp", round_to(horsepower, 2)))
                .at(load.place_of(Field::RatedPowerKw))
                .cure("enter rated_power_hp as it is marked on the nameplate")
                .reference("430.6(A)(1)"),
        );
    } else if machine.horsepower.is_none() && table.is_some() {
        record.find(
            Finding::new(
                &codes::R209_HORSEPOWER_FROM_CURRENT,
                format!("no power is given; the nameplate current is that of {} hp", round_to(horsepower, 2)),
            )
            .at(load.place_of(Field::FullLoadCurrentA))
            .cure("enter rated_power_hp")
            .reference("430.6(A)(1)"),
        );
    }
    if let Some((below, above)) = table.filter(|row| row.interpolated).and_then(|row| row.between) {
        record.find(
            Finding::new(
                &codes::R202_INTERPOLATED,
                format!(
                    "{} hp stands between {below} and {above} hp of the table; its current is interpolated",
                    round_to(horsepower, 2)
                ),
            )
            .at(load.place_of(Field::RatedPowerHp))
            .cure("enter the horsepower of the table that the motor is sold as, if it is one")
            .reference("430.6(A)(1)"),
        );
    }
}

/// A voltage that is neither that of a column nor the nominal one of its systems is read by the column's band, which is said.
fn say_band(machine: &Machine, table: Option<&TableCurrent>, load: &Load, record: &mut Record) {
    let Some(table) = table else { return };
    let volts = machine.voltage.0;
    if currents::usual_voltages(table.column_v).any(|usual| (usual - volts).abs() < 0.5) {
        return;
    }
    record.find(
        Finding::new(&codes::R211_VOLTAGE_BAND, format!("{volts} V are served by the {} V column of the table", table.column_v))
            .at(load.place_of(Field::VoltageV))
            .cure("write the voltage that is marked on the motor, if it is another")
            .reference("430.6(A)(1)"),
    );
}

fn say_nameplate(machine: &Machine, marking: &Marking, clause: &'static str, load: &Load, record: &mut Record) {
    let why = if marking.multispeed {
        "a motor of several speeds"
    } else if marking.outside_table {
        "a motor that the table does not have"
    } else {
        "a motor of low speed"
    };
    let finding = if machine.nameplate.is_some() {
        Finding::new(
            &codes::R207_NAMEPLATE_COUNTS,
            format!("{why}: the nameplate current counts for conductors and device as well"),
        )
        .cure("nothing, if the nameplate was copied rightly")
    } else {
        Finding::new(
            &codes::R210_NAMEPLATE_MISSING,
            format!("{why}: its nameplate current must be used, and it is missing; the table's is used"),
        )
        .cure("enter full_load_current_a from the nameplate")
    };
    let has_column = CurrentTable::of_phases(machine.phases).and_then(|table| currents::column(table, machine.voltage)).is_some();
    if !has_column {
        record.find(no_column(machine, load, clause));
        return;
    }
    record.find(finding.at(load.place_of(Field::FullLoadCurrentA)).reference(clause));
}

/// A voltage for which nobody makes such motors is more often a slip than one of another country.
fn no_column(machine: &Machine, load: &Load, clause: &'static str) -> Finding {
    let (kind, table) = if machine.phases == 1 { ("single-phase", "430.248") } else { ("three-phase", "430.250") };
    let what = format!(
        "Table {table} of {kind} motors has no column for {} V; the nameplate current counts for conductors and device as well",
        machine.voltage.0
    );
    Finding::new(&codes::R230_NO_COLUMN, what)
        .at(load.place_of(Field::VoltageV))
        .why("voltage or phases may be those of another motor, or of another system")
        .cure("check voltage and phases against the nameplate and correct them, or confirm them with its current")
        .reference(format!("Table {table}, {clause}"))
}

fn say_difference(machine: &Machine, (nameplate, table): (Amperes, Amperes), throughout: bool, load: &Load, record: &mut Record) {
    let away = nameplate.0 - table.0;
    // A nameplate above the table has its own warning below, unless it counts for everything.
    let small = away < 0.0 && machine.horsepower.is_some_and(|horsepower| fits(horsepower, plausible("nameplate-far-small-hp")));
    let share = if small { "nameplate-far-small-share" } else { "nameplate-far-share" };
    if apart(nameplate.0, table.0, share, "nameplate-far-a") && (away < 0.0 || throughout) {
        let side = if away < 0.0 { "below" } else { "above" };
        let what = format!(
            "the nameplate says {} A; the table has {} A: more than {} % {side}",
            nameplate.0,
            round_to(table.0, 2),
            round_to(plausible(share) * 100.0, 0)
        );
        record.find(
            Finding::new(&codes::L324_NAMEPLATE_FAR_OFF, what)
                .at(load.place_of(Field::FullLoadCurrentA))
                .why("the overload relay is set by the nameplate")
                .cure("check horsepower, voltage and current against the nameplate: one of them may be another motor's")
                .reference("430.6(A)"),
        );
    }
    let is_above = away > 0.0 && apart(nameplate.0, table.0, "nameplate-above-table-share", "nameplate-above-table-a");
    if throughout || !is_above {
        return;
    }
    record.find(
        Finding::new(
            &codes::R203_NAMEPLATE_ABOVE_TABLE,
            format!("the nameplate says {} A; the table has {} A", nameplate.0, round_to(table.0, 2)),
        )
        .at(load.place_of(Field::FullLoadCurrentA))
        .why("conductors and controller are sized on the larger, the protective device on the table, never below the nameplate")
        .cure(
            "check horsepower, voltage and current against the nameplate; if it is right, the motor is made for a low speed or a high torque: \
             state poles or speed_rpm",
        )
        .reference("430.6(A)(1)"),
    );
}

/// Why no current is known, with what mends it.
fn no_current(machine: &Machine, load: &Load) -> Finding {
    let table = CurrentTable::of_phases(machine.phases);
    let volts = machine.voltage.0;
    let has_column = table.is_some_and(|table| currents::column(table, machine.voltage).is_some());
    let clause = table.map_or("430.6(A)", CurrentTable::clause);
    let (field, what, cure) = if !has_column {
        let kind = if machine.phases == 1 { "single-phase" } else { "three-phase" };
        (
            Field::VoltageV,
            format!(
                "the table of {kind} motors has no column for {volts} V, and no nameplate current is given; the row cannot be sized"
            ),
            "enter full_load_current_a from the nameplate, or correct voltage and phases",
        )
    } else {
        let horsepower = horsepower(machine, &mut Record::silent())
            .map_or_else(|| "the motor".to_owned(), |hp| format!("{} hp", round_to(hp, 3)));
        (
            Field::RatedPowerHp,
            format!("{horsepower} at {volts} V is outside the table, and no nameplate current is given; the row cannot be sized"),
            "enter full_load_current_a from the nameplate",
        )
    };
    Finding::new(&codes::R204_NO_TABLE_CURRENT, what).at(load.place_of(field)).cure(cure).reference(clause)
}

/// 430.6(A)(2): overload protection goes by the nameplate, so a dial by the table waits for it.
fn say_overload(machine: &Machine, throughout: bool, full_load: Amperes, load: &Load, record: &mut Record) {
    if machine.nameplate.is_some() || throughout {
        return;
    }
    record.find(
        Finding::new(
            &codes::R214_OVERLOAD_BY_TABLE,
            format!(
                "the nameplate current is missing; the overload protection is chosen and set for the table's {} A",
                round_to(full_load.0, 2)
            ),
        )
        .at(load.place_of(Field::FullLoadCurrentA))
        .why("overload protection goes by the nameplate, never by the table; a motor that is marked with less is not protected, and its relay may need another range: its part waits on the purchase list")
        .cure("enter full_load_current_a; where the motor is not bought yet, the relay is bought and set when it is")
        .reference("430.6(A)(2), 430.32(A)(1)"),
    );
}

/// 430.22(E) goes by the time rating; without one the conductors are never smaller than for continuous duty.
fn say_duty(start: &Start, load: &Load, record: &mut Record) {
    if need::Duty::of(start).is_none() || start.rated_minutes.is_some() {
        return;
    }
    record.find(
        Finding::new(
            &codes::R212_DUTY_RATING,
            format!(
                "duty {}: the motor's time rating is not stated; the longest that the table has is taken, and no less than for continuous duty",
                start.duty_text
            ),
        )
        .at(load.place_of(Field::Duty))
        .cure("write the time rating with the duty, as in `intermittent 30 min`; or continuous, if the motor may run on with its load")
        .reference("430.22(E), 430.33"),
    );
}

/// A letter without an upper end gives the least locked-rotor current only.
fn say_code_letter(machine: &Machine, load: &Load, record: &mut Record) {
    if load.number(Field::LockedRotorRatio).or(load.locked_rotor_amperes()).is_some() {
        return;
    }
    let Some((letter, horsepower)) = machine.code_letter.zip(horsepower(machine, &mut Record::silent())) else { return };
    let silent = &mut Record::silent();
    let found = locked_rotor::code_letter_current(silent, letter, horsepower, machine.voltage, machine.phases);
    let Some(current) = found.filter(|current| current.at_least) else { return };
    record.find(
        Finding::new(
            &codes::R215_CODE_LETTER_OPEN,
            format!(
                "code letter {letter} has no upper end; the locked-rotor current is at least {} A",
                round_to(current.current.0, 1)
            ),
        )
        .at(load.place_of(Field::LockedRotorCode))
        .why("device, voltage drop and trip class are worked out with the least value")
        .cure("enter locked_rotor_ratio from the motor's data sheet")
        .reference("Table 430.7(B)"),
    );
}

/// Design A has no limit of its locked-rotor current: who does not state it has a figure of other designs.
fn say_design_a(machine: &Machine, start: &Start, load: &Load, record: &mut Record) {
    let by_row = load.number(Field::LockedRotorRatio).or(load.locked_rotor_amperes()).is_some();
    let stated = machine.code_letter.is_some() || by_row;
    if machine.design_letter != "A" || stated || start.by_drive_alone() {
        return;
    }
    record.find(
        Finding::new(&codes::R232_DESIGN_A, "the motor is of design A and its locked-rotor current is not stated")
            .at(load.place_of(Field::DesignLetter))
            .why("design A has no limit of it: it is taken for the larger of the table for design B, C and D and six times the full-load current, and may be more, so that device or relay trips while the motor starts")
            .cure("enter locked_rotor_code or locked_rotor_current_a from the nameplate")
            .reference("430.7(B), Table 430.251(B); NEMA MG 1"),
    );
}

/// A marked maximum whose next standard rating below does not carry the marked circuit ampacity.
fn say_no_rating_between(book: Nec, machine: &Machine, load: &Load, record: &mut Record) {
    let Some((ampacity, marked)) = machine.minimum_ampacity.zip(machine.maximum_protection) else { return };
    let Some(rating) = next_down(book.edition, DeviceKind::Fuse, marked).filter(|rating| !ampacity.fits(*rating)) else {
        return;
    };
    record.find(
        Finding::new(
            &codes::R213_DEVICE_BELOW_AMPACITY,
            format!(
                "no standard rating lies between the circuit ampacity of {} A and the maximum of {} A; {} A is the largest allowed",
                ampacity.0, marked.0, rating.0
            ),
        )
        .at(load.place_of(Field::MaximumProtectionA))
        .why("it is below what the conductors of the equipment must carry and may open in service")
        .cure("ask the maker of the equipment which device its listing admits")
        .reference("440.4(B), 110.3(B)"),
    );
}

/// Packaged equipment by its marking: the circuit ampacity as it stands, the maximum never exceeded.
fn packaged(book: Nec, machine: &Machine, load: &Load, record: &mut Record) -> Option<RatedCurrents> {
    if let (Some(ampacity), Some(maximum)) = (machine.minimum_ampacity, machine.maximum_protection)
        && maximum.0 < ampacity.0 * (1.0 - crate::quantity::SLACK)
    {
        record.find(
            Finding::new(
                &codes::R205_MAXIMUM_BELOW_AMPACITY,
                format!("the marked maximum of {} A is below the marked circuit ampacity of {} A", maximum.0, ampacity.0),
            )
            .at(load.place_of(Field::MaximumProtectionA))
            .cure("ask the maker of the equipment; nobody else can resolve it")
            .reference("440.4(B)"),
        );
        return None;
    }
    say_no_rating_between(book, machine, load, record);
    if machine.minimum_ampacity.is_none() && machine.maximum_protection.is_none() {
        record.find(
            Finding::new(
                &codes::R206_MAXIMUM_MISSING,
                "neither circuit ampacity nor maximum overcurrent protection is given; the equipment is taken as one compressor",
            )
            .at(load.place())
            .why("equipment with more than a compressor needs more conductor, and its listing may admit less of a device")
            .cure("enter minimum_circuit_ampacity_a and maximum_protection_a from the nameplate")
            .reference("440.4(B), 440.22(A), 440.32"),
        );
    }
    if machine.minimum_ampacity.is_none() && machine.maximum_protection.is_some() {
        record.find(
            Finding::new(
                &codes::R206_MAXIMUM_MISSING,
                "the marked circuit ampacity is missing; the equipment is taken as one compressor",
            )
            .at(load.place())
            .why("equipment with more than a compressor needs more conductor")
            .cure("enter minimum_circuit_ampacity_a from the nameplate")
            .reference("440.4(B), 440.32"),
        );
    }
    if machine.minimum_ampacity.is_some() && machine.maximum_protection.is_none() {
        record.find(
            Finding::new(
                &codes::R206_MAXIMUM_MISSING,
                "the marked maximum overcurrent protection is missing; the device is the smallest that carries the circuit ampacity",
            )
            .at(load.place())
            .why("it may open when the equipment starts")
            .cure("enter maximum_protection_a from the nameplate")
            .reference("440.4(B), 110.3(B)"),
        );
    }
    let computed = computed(machine, record);
    // Horsepower is what its motors give, of which the table knows what they draw.
    let unmarked = machine.nameplate.is_none() && machine.minimum_ampacity.is_none() && machine.horsepower.is_some();
    let table = if unmarked { table_current(machine, record).map(|row| row.current) } else { None };
    record_marking(machine, record);
    let of_table = table.filter(|table| computed.is_none_or(|computed| table.0 > computed.0)).map(|table| (table, "table"));
    let Some((full_load, source)) = of_table.or_else(|| stated(machine, computed)) else {
        record.find(no_current(machine, load));
        return None;
    };
    // 440.6(A): of one compressor without a marked circuit ampacity the larger of both currents counts.
    let selection = machine.selection.filter(|selection| machine.minimum_ampacity.is_none() && selection.0 > full_load.0);
    let (full_load, source) = selection.map_or((full_load, source), |selection| (selection, "given"));
    Some(RatedCurrents {
        full_load,
        source,
        nameplate: machine.nameplate,
        table,
        computed,
        conductor: machine.minimum_ampacity.map_or(full_load, |marked| marked.max(full_load)),
        protection: full_load,
        overload: full_load,
        ..RatedCurrents::default()
    })
}

/// Other loads: what they draw.
fn connected(machine: &Machine, record: &mut Record) -> Option<RatedCurrents> {
    let computed = computed(machine, record);
    record_marking(machine, record);
    let (full_load, source) = stated(machine, computed)?;
    if !(full_load.0 > 0.0 && full_load.0.is_finite()) {
        return None;
    }
    Some(RatedCurrents {
        full_load,
        source,
        nameplate: machine.nameplate,
        computed,
        conductor: full_load,
        protection: full_load,
        overload: full_load,
        ..RatedCurrents::default()
    })
}

/// The marked current of a load that is no motor.
fn record_marking(machine: &Machine, record: &mut Record) {
    if let Some(nameplate) = machine.nameplate {
        record.step_from(&currents::NAMEPLATE_CURRENT, &[nameplate.0], "marking of the equipment");
    }
}

/// The current of a load that is no motor, and who states it. Equipment may hold more than the load whose power the row states, and a
/// marking may be another's: the larger of both counts.
fn stated(machine: &Machine, computed: Option<Amperes>) -> Option<(Amperes, &'static str)> {
    match (machine.nameplate, machine.minimum_ampacity, computed) {
        (Some(nameplate), ..) => Some((nameplate, "nameplate")),
        (None, Some(marked), Some(computed)) if computed.0 > marked.0 => Some((computed, "computed")),
        (None, Some(marked), _) => Some((marked, "given")),
        (None, None, computed) => computed.map(|current| (current, "computed")),
    }
}

fn computed(machine: &Machine, record: &mut Record) -> Option<Amperes> {
    if let Some(reactive) = machine.reactive.filter(|_| machine.kind == LoadKind::Capacitor) {
        return Some(physics::capacitor_current(record, reactive, machine.voltage, machine.phases));
    }
    if let Some(apparent) = machine.apparent {
        return Some(physics::apparent_current(record, apparent, machine.voltage, machine.phases));
    }
    let power_factor = machine.power_factor.map_or(1.0, |known| known.value);
    machine.power.map(|power| physics::active_current(record, power, machine.voltage, power_factor, machine.phases))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Method;
    use crate::load::testing::{horsepower, start};
    use crate::rules::nec::Edition;

    /// Table 430.250: 10 hp at 460 V, 14 A. 430.6(A)(1) sizes by the table, whatever the nameplate; who wishes for the larger current gets
    /// it for the device as well. Conductors go by the larger in either case, the overload protection by the nameplate (430.6(A)(2)).
    #[rstest::rstest]
    #[case::table("table", 16.0, 14.0, "table", 16.0)]
    #[case::larger("larger", 16.0, 16.0, "nameplate", 16.0)]
    #[case::nameplate_is_no_wish_of_the_book("nameplate", 16.0, 14.0, "table", 16.0)]
    #[case::larger_is_the_table("larger", 13.0, 14.0, "table", 14.0)]
    #[case::both_alike("larger", 14.0, 14.0, "table", 14.0)]
    fn the_table_counts_unless_the_larger_current_is_wished_for(
        #[case] wish: &str,
        #[case] nameplate: f64,
        #[case] full_load: f64,
        #[case] source: &str,
        #[case] conductor: f64,
    ) {
        let motor = Machine { nameplate: Some(Amperes(nameplate)), ..horsepower(10.0, 460.0) };
        let load = Load::new(std::sync::Arc::default(), 0, 1);
        let book = Nec { edition: Edition::E2023 };
        let currents = of(book, &motor, &start(Method::Direct), wish, &load, &mut Record::new()).expect("a current");
        assert_eq!((currents.full_load.0, currents.source, currents.conductor.0), (full_load, source, conductor));
        assert_eq!((currents.protection.0, currents.overload.0, currents.table), (full_load, nameplate, Some(Amperes(14.0))));
    }

    /// Where row and marking both say what a load that is no motor draws, the larger counts.
    #[test]
    fn of_two_statements_of_a_load_the_larger_counts() {
        let of = |ampacity: f64, computed: f64| {
            let machine = crate::load::testing::machine(LoadKind::Packaged, 460.0, 60.0);
            let machine = Machine { minimum_ampacity: Some(Amperes(ampacity)), ..machine };
            stated(&machine, Some(Amperes(computed))).map(|stated| (stated.0.0, stated.1))
        };
        assert_eq!(of(32.0, 40.0), Some((40.0, "computed")));
        assert_eq!(of(32.0, 25.0), Some((32.0, "given")));
    }
}
