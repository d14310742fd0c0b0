//! What a load of one phase can't have: starting methods and directions that are those of three-phase motors.

use crate::finding::{Finding, codes};
use crate::load::{Case, Field, Load, LoadKind, Method};
use crate::record::Record;
use crate::rules::{RuleBook, Topic};

/// Finds what the row asks of a load of one phase and only a three-phase motor gives.
pub(super) fn requirements(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    if case.machine.phases != 1 {
        return;
    }
    method(load, case, book, record);
    reversing(load, case, book, record);
}

/// Windings of three phases, and devices that are made for such motors: none of them is chosen before a load of one phase.
fn method(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    let method = case.start.method;
    let needs = |what: &str| {
        Finding::new(&codes::L309_SINGLE_PHASE_METHOD, format!("\"{}\" {what}; the row says one", method.word()))
            .at(load.place_of(Field::Phases))
    };
    let is_motor = case.machine.kind == LoadKind::Motor;
    let finding = match method {
        _ if method.needs_three_phases() => needs("needs three phases").cure("write 3 phases or start direct"),
        Method::SoftStarter if is_motor => needs("needs a motor of three phases")
            .why("soft starters are rated for three-phase motors; a capacitor motor may not come up at reduced voltage")
            .cure("write 3 phases, start direct, or write by-others and have the maker of motor and controller choose it")
            .reference(book.clause(Topic::ThreePhaseSoftStarter)),
        // The output of a drive has three phases and no neutral, whatever its input.
        Method::Drive if is_motor => needs("feeds a motor of three phases")
            .why("the output of a drive has three lines and no neutral, also where its input has one phase; a single-phase motor does not run on it")
            .cure("write 3 phases where the supply has them; for a drive with an input of one phase before a three-phase motor write by-others with the drive's input current as full_load_current_a")
            .reference(book.clause(Topic::Drive)),
        _ => return,
    };
    record.find(finding);
}

/// Exchanging its two lines changes nothing for a single-phase motor: it turns as its auxiliary winding is connected to the main one.
fn reversing(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    let reverses = case.start.reversing && case.machine.kind == LoadKind::Motor;
    if !reverses || case.start.method.supply_only() {
        return;
    }
    record.find(
        Finding::new(
            &codes::L333_SINGLE_PHASE_REVERSING,
            "a single-phase motor is not reversed by exchanging its two lines: it would turn the same way on both contactors",
        )
        .at(load.place_of(Field::Reversing))
        .why("its direction is that of the auxiliary winding against the main one, and no column says how these are brought out")
        .cure("start it in one direction, take a three-phase motor, or write by-others and have the starter designed from the motor's diagram of connections")
        .reference(book.clause(Topic::TerminalMarkings)),
    );
}
