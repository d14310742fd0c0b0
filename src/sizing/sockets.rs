//! Socket outlets: whoever plugs something in there is protected by a residual current device, which the program does not choose.

use crate::design::Circuit;
use crate::finding::{Finding, Place, codes};
use crate::intake::names_socket_outlets;
use crate::quantity::Amperes;
use crate::sizing::{Tools, settle_status};

/// Asks about the circuits of socket outlets; one of a larger rating feeds a plug that skilled persons handle.
pub(super) fn ask(circuits: &mut [Circuit], tools: &Tools<'_>) {
    let Some(outlets) = tools.book.socket_outlets() else { return };
    let is_one = |circuit: &&mut Circuit| {
        circuit.load.kind == "other"
            && names_socket_outlets(&circuit.description)
            && Amperes(circuit.currents.full_load_a).fits(outlets.most)
    };
    for circuit in circuits.iter_mut().filter(is_one) {
        let what = format!("socket outlets of {} A: no residual current device is chosen", circuit.currents.full_load_a);
        let finding = Finding::new(&codes::B339_SOCKET_OUTLETS, what)
            .at(Place::from(&circuit.place))
            .why(format!(
                "socket outlets up to {} A that anybody may use are protected by one of at most {} mA, beside the device against overload",
                outlets.most.0, outlets.residual_ma
            ))
            .cure(format!(
                "add a residual current device of {} mA in the circuit, or show the one that the outlets bring, then decide it",
                outlets.residual_ma
            ))
            .reference(outlets.clause);
        circuit.findings.push(finding);
        crate::finding::sort(&mut circuit.findings);
        settle_status(circuit);
    }
}
