//! The demands of a capacitor besides its contactor's rating: damping of the inrush, and time to discharge.

use crate::finding::{Finding, codes};
use crate::load::{Case, LoadKind};
use crate::record::Record;
use crate::sizing::Tools;
use crate::sizing::assembly::ChosenContactor;

/// Says it of a capacitor that contactors switch.
pub(super) fn say(case: &Case, contactors: &[ChosenContactor<'_>], tools: &Tools<'_>, record: &mut Record) {
    if case.machine.kind != LoadKind::Capacitor || contactors.is_empty() {
        return;
    }
    let undamped = |chosen_contactor: &ChosenContactor<'_>| {
        chosen_contactor.contactor.is_some_and(|contactor| !contactor.is_for_capacitors())
    };
    if contactors.iter().any(undamped) {
        record.find(
            Finding::new(&codes::C214_UNDAMPED, "the contactor of the capacitor has no damping resistors")
                .at(case.place.clone())
                .why("capacitors that are energised already would discharge into this one with a hundred times its current and more")
                .cure("take a contactor made for capacitors, or a reactor in series, unless this is the only step at its board and the data sheet gives the contactor this current in AC-6b"),
        );
    }
    let (volts, time, reference) = tools.book.capacitor_discharge();
    record.find(
        Finding::new(
            &codes::C215_DISCHARGE,
            format!("the capacitor must discharge to {} V within {} s after it is switched off", volts.0, time.0),
        )
        .at(case.place.clone())
        .why("it may hurt whoever touches it, and switching it in while it is charged multiplies the inrush")
        .cure(format!("order it with discharge resistors, and let its controller wait {} s before it closes again", time.0))
        .reference(reference),
    );
}
