//! Says what the catalogue holds no device for.

use crate::design::Check;
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::round_to;
use crate::record::Record;
use crate::rules::physics::devices::device_figure;
use crate::rules::units::Units;
use crate::sizing::Tools;
use crate::sizing::assembly::protection::{Demand, nearest};
use crate::sizing::assembly::{Assembly, ChosenContactor, ChosenRelay, Decided, nearest_words};
use crate::sizing::judge::{cure_of, is_cured_by_another_start};

/// No protective device holds.
pub(super) fn say_protection(decided: &Decided<'_, '_>, demand: &Demand<'_>, record: &mut Record) {
    let case = decided.case;
    let most = case.machine.maximum_protection.map(|marked| format!(" and is no larger than the marked {} A", marked.0));
    let rides = if case.start.method.supply_only() {
        " and the allowance for a start in the equipment"
    } else {
        " that rides through the start"
    };
    let nameplate = decided.currents.nameplate.filter(|nameplate| !nameplate.fits(decided.line));
    let nameplate = nameplate.map(|nameplate| format!(" (nameplate {} A)", round_to(nameplate.0, 2)));
    let what = format!(
        "the catalogue holds no protective device for {} A{} at {} V{rides}{}",
        round_to(decided.line.0, 2),
        nameplate.unwrap_or_default(),
        case.machine.voltage.0,
        most.unwrap_or_default()
    );
    let cure = if case.start.over_bypass() {
        "add a device to the catalogue, choose another protection_kind, or give drive and bypass a device each: the direct start over the bypass flows through a common one, which the drive's maker limits"
    } else {
        "add a device to the catalogue, or choose another protection_kind"
    };
    let nearest = nearest(case, demand, decided.tools).map(|(part, check)| nearest_words(&part, &check, decided.tools));
    let finding = Finding::new(&codes::C201_NO_PROTECTION, what).at(case.place.clone());
    record.find(finding.why(nearest.unwrap_or_default()).cure(cure));
}

/// Roles without a contactor.
pub(super) fn say_contactors(case: &Case, contactors: &[ChosenContactor<'_>], tools: &Tools<'_>, record: &mut Record) {
    for chosen in contactors.iter().filter(|chosen| chosen.contactor.is_none()) {
        let what = format!(
            "the catalogue holds no contactor for {} A in {} at {} V{} ({})",
            round_to(chosen.demand.current.0, 2),
            chosen.demand.category.name(),
            case.machine.voltage.0,
            asked(chosen.refused.as_ref()),
            chosen.role.name
        );
        record.find(
            Finding::new(&codes::C203_NO_CONTACTOR, what)
                .at(case.place.clone())
                .why(chosen.refused.as_ref().map(|(part, check)| nearest_words(part, check, tools)).unwrap_or_default())
                .cure(cure(chosen.refused.as_ref(), "add one to the catalogue, or start the motor another way", tools)),
        );
    }
}

/// Places without the relay that should stand there, each with the relay that comes nearest.
pub(super) fn say_relays(case: &Case, relays: &[ChosenRelay<'_>], tools: &Tools<'_>, record: &mut Record) {
    for chosen in relays.iter().filter(|chosen| chosen.separate && chosen.relay.is_none()) {
        let what = format!(
            "the catalogue holds no {} for a setting of {} A in class {}{}",
            if chosen.place.role.is_empty() { "hand-operated starter" } else { "overload relay" },
            round_to(chosen.setting.0, 2),
            chosen.class,
            asked(chosen.refused.as_ref())
        );
        record.find(
            Finding::new(&codes::C204_NO_RELAY, what)
                .at(case.place.clone())
                .why(chosen.refused.as_ref().map(|(part, check)| nearest_words(part, check, tools)).unwrap_or_default())
                .cure(cure(chosen.refused.as_ref(), "add one to the catalogue", tools)),
        );
    }
}

/// Whether a check is what the nearest part fails on, which is told with the role that has none.
pub(in crate::sizing) fn tells(assembly: &Assembly<'_>, check: &Check) -> bool {
    let contactors = assembly.contactors.iter().filter(|chosen| chosen.contactor.is_none()).map(|chosen| &chosen.refused);
    let relays = assembly.relays.iter().filter(|chosen| chosen.separate && chosen.relay.is_none()).map(|chosen| &chosen.refused);
    contactors.chain(relays).flatten().any(|(_, refused)| refused == check)
}

/// What else the start asks, where parts of the current are there and fail on it alone.
fn asked(refused: Option<&(String, Check)>) -> String {
    match refused.map(|(_, check)| (check.name.as_str(), check.value)) {
        Some(("trip-class-at-start", Some(seconds))) => {
            let stated = round_to(seconds / device_figure("start-time-allowance"), 1);
            format!(" that lets a start of {stated} s pass, with the allowance {} s", round_to(seconds, 1))
        }
        Some(("relay-frequency" | "contactor-frequency", Some(per_hour))) => format!(" for {per_hour} starts an hour"),
        _ => String::new(),
    }
}

/// The cure of the check on which the nearest part fails: another part of the kind is none where the start itself asks too much.
fn cure(refused: Option<&(String, Check)>, otherwise: &'static str, tools: &Tools<'_>) -> &'static str {
    refused
        .filter(|(_, check)| is_cured_by_another_start(check))
        .map_or(otherwise, |(_, check)| cure_of(check, Units::of(tools.book.key())))
}
