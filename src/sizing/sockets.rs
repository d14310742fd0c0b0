//! Socket outlets: whoever plugs something in there is protected by a residual current device, which the program does not choose.

use crate::finding::{Finding, codes};
use crate::intake::names_socket_outlets;
use crate::load::{Case, Field, Load, LoadKind};
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::RatedCurrents;

use super::Tools;

/// Asks where description or note names socket outlets; one of a larger rating feeds a plug that skilled persons handle.
pub(super) fn ask(load: &Load, case: &Case, currents: &RatedCurrents, tools: &Tools<'_>, record: &mut Record) {
    let Some(outlets) = tools.book.socket_outlets() else { return };
    let says = |field: Field| load.text(field).is_some_and(names_socket_outlets);
    let Some(named) = [Field::Description, Field::Notes].into_iter().find(|field| says(*field)) else { return };
    let rated = Amperes(round_to(currents.full_load.0, 4));
    if case.machine.kind != LoadKind::Other || !rated.fits(outlets.most) {
        return;
    }
    record.find(
        Finding::new(&codes::C331_SOCKET_OUTLETS, format!("socket outlets of {} A: no residual current device is chosen", rated.0))
            .at(load.place_of(named))
            .why(format!(
                "socket outlets up to {} A that anybody may use are protected by one of at most {} mA, beside the device against overload",
                outlets.most.0, outlets.residual_ma
            ))
            .cure(format!(
                "add a residual current device of {} mA in the circuit, or show the one that the outlets bring, then decide it",
                outlets.residual_ma
            ))
            .reference(outlets.clause),
    );
}
