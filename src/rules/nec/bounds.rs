//! Which ratings of the branch-circuit device the book admits: 430.52 and its relatives, put to use for a circuit.

use crate::load::{EfficiencyClass, Known, LoadKind, Machine, Method, ProtectionKind, Start};
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::nec::protection::{self, Device, DeviceLimit, InstantaneousDevice, MotorType};
use crate::rules::nec::standard_ratings::{DeviceKind, next_down, next_up, standard_ratings};
use crate::rules::nec::{Nec, control, controller, groups, need};
use crate::rules::{Limit, ProtectionAsk, ProtectionBounds};

/// Kinds to be tried, the wanted one first.
pub(super) fn kinds(wish: Known<ProtectionKind>, machine: &Machine, start: &Start) -> Vec<ProtectionKind> {
    use ProtectionKind::{ClassCc, ClassJ, ClassRk1, DualElement, Instantaneous, InverseTime, NonTimeDelay};
    let fuses = [DualElement, ClassRk1, ClassJ, ClassCc, NonTimeDelay];
    // 430.52(C)(3): only as part of a listed combination motor controller, which is one that starts the motor direct.
    let instantaneous = machine.kind == LoadKind::Motor && start.method == Method::Direct;
    let wanted = match wish.value {
        Instantaneous if !instantaneous => InverseTime,
        kind if kind.is_iec() => InverseTime,
        kind => kind,
    };
    // A marking of fuses excludes circuit breakers.
    let others: &[ProtectionKind] = if machine.fuse_only {
        &fuses
    } else if wanted.is_fuse() {
        &[DualElement, InverseTime]
    } else {
        &[InverseTime, DualElement]
    };
    let first = Some(wanted).filter(|own| !machine.fuse_only || own.is_fuse());
    let mut kinds: Vec<ProtectionKind> = Vec::new();
    for kind in first.into_iter().chain(others.iter().copied()) {
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds
}

/// Column of Table 430.52(C)(1); none for a device that has none.
pub(super) fn device_of(kind: ProtectionKind) -> Option<Device> {
    Some(match kind {
        ProtectionKind::InverseTime => Device::InverseTimeBreaker,
        ProtectionKind::DualElement | ProtectionKind::ClassJ | ProtectionKind::ClassRk1 => Device::TimeDelayFuse,
        ProtectionKind::ClassCc => Device::ClassCcTimeDelayFuse,
        ProtectionKind::NonTimeDelay => Device::NonTimeDelayFuse,
        _ => return None,
    })
}

/// Row of Table 430.52(C)(1).
fn motor_type(machine: &Machine, start: &Start) -> MotorType {
    // Design B that is energy-efficient or premium has a row of its own.
    // IE1 is neither.
    let efficient = machine.class.is_some_and(|own| own >= EfficiencyClass::Ie2) && machine.design_letter == "B";
    match (start.method, machine.phases) {
        (Method::RotorResistance, _) => MotorType::WoundRotor,
        (_, 1) => MotorType::SinglePhase,
        _ if efficient => MotorType::DesignBPremium,
        _ => MotorType::Cage,
    }
}

/// Ratings admitted for a kind of device.
pub(super) fn of(book: Nec, kind: ProtectionKind, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
    let motor = ask.machine.kind == LoadKind::Motor;
    if kind == ProtectionKind::Instantaneous {
        return if motor { instantaneous(ask, record) } else { None };
    }
    let device = device_of(kind)?;
    let bounds = if motor { of_motor(book, device, ask, record) } else { of_other(book, device, ask, record) }?;
    // 240.6(A): a rating below the smallest standard one of the edition is none.
    let smallest = standard_ratings(book.edition, device.kind()).next().unwrap_or(bounds.least);
    Some(ProtectionBounds { least: bounds.least.max(smallest), ..bounds })
}

fn of_motor(book: Nec, device: Device, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
    let (machine, start) = (ask.machine, ask.start);
    let motor = motor_type(machine, start);
    let full_load = base_current(ask);
    let normal = if start.method == Method::PartWinding {
        protection::part_winding_common(record, book.edition, motor, device, full_load)?
    } else {
        protection::normal_maximum(record, book.edition, motor, device, full_load)?
    };
    // A drive limits the start: there is no need for a larger device.
    let raised = (ask.starts && start.method != Method::PartWinding)
        .then(|| protection::increased_maximum(record, book.edition, device, full_load, &normal))
        .filter(|raised| !raised.rating.fits(normal.rating));
    // 430.22: a device below what the conductors must carry would open in normal use; so would one below the input of a drive.
    let least = need::single_motor(&mut Record::silent(), full_load).max(ask.line);
    Some(ProtectionBounds {
        least,
        most: Some((normal.rating, normal.clause)),
        fallback: raised.map(|own| (own.rating, own.clause)),
        largest_first: true,
        ..ProtectionBounds::default()
    })
}

/// Full-load current from which the device is counted: of several speeds that of the largest winding, because each winding has its
/// own overload protection and its conductors are those of the largest (430.52(C)(4) Exception); of a drive the motor's.
fn base_current(ask: &ProtectionAsk<'_>) -> Amperes {
    let full_load = ask.currents.protection;
    let windings: Vec<Amperes> = std::iter::once(full_load).chain(ask.currents.low).collect();
    protection::multispeed_base(&windings, true).unwrap_or(full_load)
}

/// Instantaneous-trip breaker of a listed combination controller: its rating carries the motor, its setting is limited.
fn instantaneous(ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
    let full_load = base_current(ask);
    let motor = motor_type(ask.machine, ask.start);
    let limit = protection::instantaneous_limit(record, InstantaneousDevice::TripBreaker, motor, full_load, None)?;
    let clause = limit.clause.to_owned();
    Some(ProtectionBounds {
        // It is the disconnecting means as well.
        least: controller::disconnect_minimum(&mut Record::silent(), full_load),
        magnetic: Some([(limit.normal, clause.clone()), (limit.increased, clause)]),
        ..ProtectionBounds::default()
    })
}

/// Loads that are no motors: 125 % of a continuous load and the next standard size; packaged equipment by its marking.
fn of_other(book: Nec, device: Device, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
    let kind = device.kind();
    let current = ask.currents.full_load;
    let up = |least: Amperes, clause: &str| -> Option<(Amperes, Amperes, String)> {
        Some((least, next_up(book.edition, kind, least)?, clause.to_owned()))
    };
    let (least, most, clause) = match ask.machine.kind {
        LoadKind::Packaged => return packaged(book, kind, ask, record),
        LoadKind::Heater => up(need::electric_heat(record, current), "424.4(B) (2017: 424.3(B)), 240.6(A)")?,
        LoadKind::Capacitor => up(need::capacitor(record, current), "460.8(B), 240.6(A)")?,
        LoadKind::Transformer => return transformer(book, kind, ask, record),
        _ => up(need::continuous_load(record, current), "210.20(A), 240.6(A)")?,
    };
    Some(ProtectionBounds { least, most: Some((most, clause)), ..ProtectionBounds::default() })
}

/// 450.3(B), protection on the primary only, because nothing is known of the secondary: 125 % and the next standard size up from
/// 9 A on; 167 % below and 300 % below 2 A, which nothing may exceed.
fn transformer(book: Nec, kind: DeviceKind, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
    let current = ask.currents.full_load;
    let limit = control::winding_limit(record, book.edition, kind, control::Method::PrimaryOnly, true, current)?;
    let most = limit.rating?;
    // Between the small standard ratings there may be none above 125 %; none that fails to carry the rated current is offered.
    let least = need::transformer(record, current).min(most).max(current);
    Some(ProtectionBounds { least, most: Some((most, limit.clause.to_owned())), ..ProtectionBounds::default() })
}

/// 440.4(B), 110.3(B): the marked maximum, rounded down; without it the smallest device that carries the circuit ampacity, and a
/// compressor's 175 % where its rated-load current alone is known.
fn packaged(book: Nec, kind: DeviceKind, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
    let least = ask.currents.conductor;
    let limit = match (ask.machine.maximum_protection, ask.machine.minimum_ampacity) {
        (Some(marked), _) => DeviceLimit {
            rating: next_down(book.edition, kind, marked)?,
            computed: marked,
            percent: None,
            clause: "440.4(B), 110.3(B)".to_owned(),
        },
        (None, Some(ampacity)) => DeviceLimit {
            rating: next_up(book.edition, kind, ampacity)?,
            computed: ampacity,
            percent: None,
            clause: "440.4(B)".to_owned(),
        },
        (None, None) => groups::hermetic_maximum(record, book.edition, kind, ask.currents.full_load, false)?,
    };
    // Equipment may carry a marked maximum between two standard sizes of which the lower does not carry its ampacity.
    let least = least.min(limit.rating);
    Some(ProtectionBounds { least, most: Some((limit.rating, limit.clause)), largest_first: true, ..ProtectionBounds::default() })
}

/// 250.122(D)(2): with an instantaneous-trip breaker the equipment grounding conductor follows the dual-element fuse that 430.52
/// would admit.
pub(super) fn grounding_rating(book: Nec, kind: &str, ask: &ProtectionAsk<'_>) -> Option<Amperes> {
    let motor = motor_type(ask.machine, ask.start);
    let fuse = || {
        let record = &mut Record::silent();
        protection::normal_maximum(record, book.edition, motor, Device::TimeDelayFuse, base_current(ask))
    };
    (kind == ProtectionKind::Instantaneous.word()).then(fuse).flatten().map(|limit| limit.rating)
}

/// A fuse against the start: how long it carries the starting current.
pub(super) fn fuse_at_start(
    kind: ProtectionKind,
    rating: Amperes,
    ask: &ProtectionAsk<'_>,
    record: &mut Record,
) -> Option<Limit> {
    if !ask.starts {
        return None;
    }
    let hold = groups::fuse_hold(record, device_of(kind)?, rating, ask.starting)?;
    // Above the tested multiple nothing is known; the fuse holds no start there.
    let time = if hold.beyond_test { 0.0 } else { hold.time.0 };
    Some(Limit::at_most("fuse-at-start", ask.time.0, time, "s", "time-delay fuses: test point of UL 248, from memory"))
}
