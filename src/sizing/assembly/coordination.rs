//! Co-ordination type: the one that tested combinations of the catalogue give, and what is said where it is not the wanted one.

use crate::design::Check;
use crate::finding::{Finding, codes};
use crate::load::{Coordination, LoadKind};
use crate::record::Record;
use crate::rules::{Topic, words};
use crate::sizing::assembly::{ChosenContactor, ChosenDevice, ChosenProtection, ChosenRelay, Decided};
use crate::sizing::judge::not_checked;

/// No tested combination ties the devices together.
const NOT_CLAIMED: &str = "not-claimed";

/// The claimed type is the wanted one or a better one.
pub(super) fn reaches(claimed: &str, wanted: Coordination) -> bool {
    claimed == wanted.word() || (claimed == "type-2" && wanted.word() == "type-1")
}

/// The best type for which every contactor has a tested combination.
pub(super) fn claimed(
    decided: &Decided<'_, '_>,
    protection: Option<&ChosenProtection<'_>>,
    contactors: &[ChosenContactor<'_>],
    relays: &[ChosenRelay<'_>],
) -> &'static str {
    let (Some(protection), false) = (protection, contactors.is_empty()) else { return NOT_CLAIMED };
    // Combinations are tested with one relay behind the contactor and one motor behind that.
    if decided.case.motors > 1 {
        return NOT_CLAIMED;
    }
    // A soft starter or drive is part of what the short circuit flows through; its combination is its maker's to test.
    if decided.devices.iter().any(ChosenDevice::is_electronic) {
        return NOT_CLAIMED;
    }
    if relays.iter().any(|relay| relay.separate && relay.relay.is_none()) {
        return NOT_CLAIMED;
    }
    let mut worst = "type-2";
    for chosen in contactors {
        let Some(contactor) = chosen.contactor else { return NOT_CLAIMED };
        let overload = super::relays::of_combination(chosen.role.name, relays).map_or("", |relay| relay.part.as_str());
        let parts = [protection.device.part(), contactor.part.as_str(), overload];
        let is_tested = |coordination: &str| tested(decided, parts).any(|known| known == coordination);
        if is_tested("type-2") {
            continue;
        }
        if !is_tested("type-1") {
            return NOT_CLAIMED;
        }
        worst = "type-1";
    }
    worst
}

/// The types for which a protective device, a contactor and an overload relay, empty where there is none, were tested together at the
/// voltage of the circuit and the fault current of its board.
pub(super) fn tested<'a>(decided: &Decided<'_, 'a>, parts: [&str; 3]) -> impl Iterator<Item = &'a str> {
    let volts = decided.point.circuit_voltage(&decided.case.machine).0;
    let fault = decided.point.fault_max;
    let [protection, contactor, overload] = parts;
    let lines = decided.tools.catalogue.combinations_of(protection, contactor, overload, volts);
    lines
        .filter(move |line| fault.is_none_or(|fault| fault.0 <= line.conditional_ka * 1000.0))
        .map(|line| line.coordination.as_str())
}

/// Says where the wanted type is not claimed; the check is open there, and where nobody knows the fault current of the board.
pub(super) fn check(decided: &Decided<'_, '_>, claimed: &str, record: &mut Record) -> Option<Check> {
    let Decided { case, point, tools, .. } = *decided;
    let clause = tools.book.clause(Topic::Coordination);
    let starts_a_motor = case.machine.kind == LoadKind::Motor && !case.start.method.supply_only();
    if let Some(wanted) = case.wishes.coordination.filter(|wanted| starts_a_motor && !reaches(claimed, *wanted)) {
        record.find(not_reached(decided, claimed, wanted));
        let because = format!(
            "no tested combination in the catalogue gives {} with these devices",
            words::of_book(tools.book, wanted.word())
        );
        return Some(not_checked("coordination", "", &because, clause));
    }
    let because = "the combination is tested up to its conditional current; the largest fault current of the board is unknown";
    (claimed != NOT_CLAIMED && point.fault_max.is_none()).then(|| not_checked("coordination", "", because, clause))
}

fn not_reached(decided: &Decided<'_, '_>, claimed: &str, wanted: Coordination) -> Finding {
    let word = wanted.word();
    let wanted = words::of_book(decided.tools.book, word);
    let what = if claimed == NOT_CLAIMED {
        format!("{wanted} is wanted, but no tested combination ties these devices together; no type is claimed")
    } else {
        format!(
            "{wanted} is wanted, but the tested combination of these devices gives {} alone",
            words::of_book(decided.tools.book, claimed)
        )
    };
    let thyristors = decided.devices.iter().any(|device| device.kind == "soft-starter") && word == "type-2";
    let cure = if thyristors {
        "ask the maker for a tested combination at the fault current of the board; thyristors stay whole behind semiconductor fuses alone"
    } else {
        "ask the maker for a tested combination at the fault current of the board"
    };
    Finding::new(&codes::C202_NO_COORDINATION, what)
        .at(decided.case.place.clone())
        .cure(cure)
        .reference(decided.tools.book.clause(Topic::Coordination))
}
