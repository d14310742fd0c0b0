//! Which ratings of the branch-circuit device the book admits: 430.52 and its relatives, put to use for a circuit.

use crate::load::{EfficiencyClass, Known, LoadKind, Machine, Method, ProtectionKind, Start};
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::nec::protection::{self, Device, DeviceLimit, InstantaneousDevice, MotorType};
use crate::rules::nec::standard_ratings::{DeviceKind, lighting_ratings, next_down, next_up, standard_ratings};
use crate::rules::nec::{Edition, Nec, control, controller, groups, hermetic, need};
use crate::rules::{FuseStart, Limit, ProtectionAsk, ProtectionBounds};

/// Kinds to be tried, the wanted one first.
pub(super) fn kinds(wish: Known<ProtectionKind>, machine: &Machine, start: &Start) -> Vec<ProtectionKind> {
    use ProtectionKind::{ClassCc, ClassJ, ClassRk1, DualElement, Instantaneous, InverseTime, NonTimeDelay};
    let fuses = [DualElement, ClassRk1, ClassJ, ClassCc, NonTimeDelay];
    // 430.52(C)(3): only as part of a listed combination motor controller, which is one that starts the motor direct.
    // 440.22(A) knows none for a compressor.
    let instantaneous = machine.kind == LoadKind::Motor && start.method == Method::Direct && hermetic::current(machine).is_none();
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
    let first = Some(wanted).filter(|kind| !machine.fuse_only || kind.is_fuse());
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
    let efficient =
        machine.class.is_some_and(|efficiency_class| efficiency_class >= EfficiencyClass::Ie2) && machine.design_letter == "B";
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
        return if motor && hermetic::current(ask.machine).is_none() { instantaneous(ask, record) } else { None };
    }
    let device = device_of(kind)?;
    let bounds = if let Some(larger) = hermetic::current(ask.machine) {
        of_compressor(book, device.kind(), larger, ask, record)
    } else if motor {
        of_motor(book, device, ask, record)
    } else {
        of_other(book, device, ask, record)
    }?;
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
        .then(|| protection::increased_maximum(record, book.edition, device, full_load, &normal));
    // 430.22: a device below what the conductors must carry would open in normal use; so would one below the input of a drive, or below
    // a nameplate that is far above the table.
    let least = need::single_motor(&mut Record::silent(), full_load).max(ask.line).max(nameplate(ask));
    let bounds = up_to(least, normal, raised);
    Some(if exceeds_smallest_winding(ask) { by_exception(bounds) } else { bounds })
}

/// One device before two windings that goes by the larger current.
fn exceeds_smallest_winding(ask: &ProtectionAsk<'_>) -> bool {
    ask.start.method.two_speeds() && ask.currents.low.is_some_and(|low| low.0 < base_current(ask).0)
}

/// 430.52(C)(4) Exception: each winding has overload protection of its own, conductors and controllers are those of the largest.
fn by_exception(bounds: ProtectionBounds) -> ProtectionBounds {
    let named =
        |limit: Option<(Amperes, String)>| limit.map(|(rating, clause)| (rating, format!("430.52(C)(4) Exception, {clause}")));
    ProtectionBounds { most: named(bounds.most), fallback: named(bounds.fallback), ..bounds }
}

/// Bounds of a device by its ordinary limit, and by the raised one where the motor does not start.
fn up_to(least: Amperes, normal: DeviceLimit, raised: Option<DeviceLimit>) -> ProtectionBounds {
    // A limit that is no larger raises nothing.
    let raised = raised.filter(|limit| !limit.rating.fits(normal.rating));
    ProtectionBounds {
        least,
        most: Some((normal.rating, normal.clause)),
        fallback: raised.map(|limit| (limit.rating, limit.clause)),
        largest_first: true,
        ..ProtectionBounds::default()
    }
}

/// 440.22(A): 175 % of the larger current, up to 225 % where the compressor does not start, each rounded down. A device that carries less
/// than the conductors of 440.32 would open in normal use.
fn of_compressor(
    book: Nec,
    kind: DeviceKind,
    larger: Amperes,
    ask: &ProtectionAsk<'_>,
    record: &mut Record,
) -> Option<ProtectionBounds> {
    let normal = groups::hermetic_maximum(record, book.edition, kind, larger, false)?;
    let raised = ask.starts.then(|| groups::hermetic_maximum(record, book.edition, kind, larger, true)).flatten();
    let least = need::hermetic(&mut Record::silent(), larger, None).max(ask.line).min(normal.rating);
    Some(up_to(least, normal, raised))
}

/// Full-load current from which the device is counted: of several speeds that of the largest winding, because each winding has its
/// own overload protection and its conductors are those of the largest (430.52(C)(4) Exception); of a drive the motor's.
fn base_current(ask: &ProtectionAsk<'_>) -> Amperes {
    let full_load = ask.currents.protection;
    let windings: Vec<Amperes> = std::iter::once(full_load).chain(ask.currents.low).collect();
    protection::multispeed_base(&windings, true).unwrap_or(full_load)
}

/// What the motor draws by its nameplate.
fn nameplate(ask: &ProtectionAsk<'_>) -> Amperes {
    ask.currents.nameplate.unwrap_or(Amperes(0.0))
}

/// Instantaneous-trip breaker of a listed combination controller: its rating carries the motor, its setting is limited.
fn instantaneous(ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
    let full_load = base_current(ask);
    let motor = motor_type(ask.machine, ask.start);
    let limit = protection::instantaneous_limit(record, InstantaneousDevice::TripBreaker, motor, full_load, None)?;
    let clause = limit.clause.to_owned();
    Some(ProtectionBounds {
        // It is the disconnecting means as well.
        least: controller::disconnect_minimum(&mut Record::silent(), full_load).max(nameplate(ask)),
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
        LoadKind::Heater => up(need::electric_heat(record, current), heat_clause(book.edition))?,
        LoadKind::Capacitor => up(need::capacitor(record, current), "460.8(B), 240.6(A)")?,
        LoadKind::Transformer => return transformer(book, kind, ask, record),
        LoadKind::Lighting => return lighting(book, kind, current, record),
        _ => up(need::continuous_load(record, current), "210.20(A), 240.6(A)")?,
    };
    Some(ProtectionBounds { least, most: Some((most, clause)), ..ProtectionBounds::default() })
}

/// 210.20(A), 210.18: 125 % of a continuous load, and a rating that circuits of several outlets may have; above those the next standard
/// one, of which a finding tells.
fn lighting(book: Nec, kind: DeviceKind, current: Amperes, record: &mut Record) -> Option<ProtectionBounds> {
    let least = need::continuous_load(record, current);
    let clause = "210.20(A), 240.6(A)";
    let of_outlets = if book.edition == Edition::E2017 { "210.20(A), 210.3" } else { "210.20(A), 210.18" };
    let most = match lighting_ratings(book.edition).find(|rating| least.fits(*rating)) {
        Some(rating) => (rating, of_outlets.to_owned()),
        None => (next_up(book.edition, kind, least)?, clause.to_owned()),
    };
    // Only the largest rating between the two is one of 210.18.
    Some(ProtectionBounds { least, most: Some(most), largest_first: true, ..ProtectionBounds::default() })
}

/// Device of fixed electric space-heating equipment.
fn heat_clause(edition: Edition) -> &'static str {
    if edition == Edition::E2017 { "424.3(B), 240.6(A)" } else { "424.4(B), 240.6(A)" }
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
        // The larger of the marked ampacity and of what the load draws: a device below that would open in service.
        (None, Some(_)) => DeviceLimit {
            rating: next_up(book.edition, kind, least)?,
            computed: least,
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

/// A fuse against the start: how long it carries the starting current. Beyond its test point a constant I²t flatters a fuse: one that
/// would open even so fails, of the others nobody knows; nor of fuses without time delay, but where they are as large as 430.52 admits.
pub(super) fn fuse_at_start(
    book: Nec,
    kind: ProtectionKind,
    rating: Amperes,
    ask: &ProtectionAsk<'_>,
    record: &mut Record,
) -> Option<FuseStart> {
    const REFERENCE: &str = "time-delay fuses: test point of UL 248, from memory";
    if !ask.starts || !kind.is_fuse() {
        return None;
    }
    let device = device_of(kind)?;
    let Some((multiple, _)) = groups::start_hold(device) else { return without_delay(book, kind, rating, ask) };
    let hold = groups::fuse_hold(record, device, rating, ask.starting)?;
    if hold.beyond_test && ask.time.0 <= hold.time.0 {
        let because = format!(
            "the start draws {} times the rating of the fuse, its class is tested at {multiple} times: its time-current curve decides",
            round_to(ask.starting.0 / rating.0, 1)
        );
        return Some(FuseStart::Unknown { because, reference: REFERENCE });
    }
    Some(FuseStart::Known(Limit::at_most("fuse-at-start", ask.time.0, hold.time.0, "s", REFERENCE)))
}

/// No standard says how long a fuse without time delay carries a start. 430.52 trusts those of its largest rating with it.
fn without_delay(book: Nec, kind: ProtectionKind, rating: Amperes, ask: &ProtectionAsk<'_>) -> Option<FuseStart> {
    let most = of(book, kind, ask, &mut Record::silent())?.most?.0;
    let of_motor = ask.machine.kind == LoadKind::Motor && hermetic::current(ask.machine).is_none();
    if of_motor && most.fits(rating) {
        return None;
    }
    let because = format!(
        "nothing is known of how long a fuse without time delay carries a start of {} A; the clause admits {} A: its time-current curve decides",
        round_to(ask.starting.0, 1),
        most.0
    );
    Some(FuseStart::Unknown { because, reference: "430.52(C)(1)" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::testing::{horsepower, machine, start};
    use crate::quantity::Seconds;
    use crate::rules::RatedCurrents;

    const BOOK: Nec = Nec { edition: Edition::E2023 };

    /// Least, largest and fallback rating for a load of this current.
    fn bounds(kind: ProtectionKind, machine: &Machine, start: &Start, current: f64, starts: bool) -> Option<ProtectionBounds> {
        let current = Amperes(current);
        let conductor = machine.minimum_ampacity.unwrap_or(current);
        let currents = RatedCurrents { full_load: current, conductor, protection: current, ..RatedCurrents::default() };
        let starting = current * 6.0;
        let ask = ProtectionAsk { machine, start, currents: &currents, line: current, starts, starting, time: Seconds(2.0) };
        of(BOOK, kind, &ask, &mut Record::silent())
    }

    fn ratings(bounds: &ProtectionBounds) -> (f64, Option<f64>, Option<f64>) {
        let rating = |bound: &Option<(Amperes, String)>| bound.as_ref().map(|bound| bound.0.0);
        (bounds.least.0, rating(&bounds.most), rating(&bounds.fallback))
    }

    /// A motor of 7.5 hp at 460 V has 11 A in Table 430.250: a time-delay fuse is at most 20 A (175 % are 19.25 A), in the second place
    /// 20 A too (225 % are 24.75 A). One whose nameplate says 24 A runs behind none of them; a breaker may be 30 A (250 %, 27.5 A).
    #[test]
    fn a_device_is_never_below_the_nameplate() {
        let motor = horsepower(7.5, 460.0);
        let currents = RatedCurrents {
            full_load: Amperes(11.0),
            conductor: Amperes(24.0),
            protection: Amperes(11.0),
            nameplate: Some(Amperes(24.0)),
            ..RatedCurrents::default()
        };
        let start = start(Method::Direct);
        let (line, starting) = (Amperes(11.0), Amperes(66.0));
        let ask = ProtectionAsk {
            machine: &motor,
            start: &start,
            currents: &currents,
            line,
            starts: true,
            starting,
            time: Seconds(2.0),
        };
        let found = |kind| of(BOOK, kind, &ask, &mut Record::silent()).map(|bounds| ratings(&bounds));
        assert_eq!(found(ProtectionKind::DualElement), Some((24.0, Some(20.0), None)));
        assert_eq!(found(ProtectionKind::InverseTime).map(|(least, most, _)| (least, most)), Some((24.0, Some(30.0))));
    }

    /// NFPA 70, Informative Annex D, Example D8: 25 hp, 460 V, 34 A (Table 430.250). Conductors 1.25 · 34 = 42.5 A. Breaker 250 % = 85 A,
    /// next size 90 A, ceiling 400 % = 136 A, below it 125 A; time-delay fuse 175 % = 59.5 A, next 60 A, ceiling 225 % = 76.5 A, below
    /// it 70 A; fuse without delay 300 % = 102 A, next 110 A, ceiling 400 % = 136 A, below it 125 A.
    #[rstest::rstest]
    #[case::breaker(ProtectionKind::InverseTime, 90.0, 125.0)]
    #[case::time_delay(ProtectionKind::DualElement, 60.0, 70.0)]
    #[case::class_rk1(ProtectionKind::ClassRk1, 60.0, 70.0)]
    #[case::without_delay(ProtectionKind::NonTimeDelay, 110.0, 125.0)]
    fn a_motor_has_a_largest_device_and_a_ceiling_where_it_does_not_start(
        #[case] kind: ProtectionKind,
        #[case] most: f64,
        #[case] ceiling: f64,
    ) {
        let of = |method, starts| bounds(kind, &horsepower(25.0, 460.0), &start(method), 34.0, starts).expect("a device");
        let bounds = of(Method::Direct, true);
        assert_eq!(ratings(&bounds), (42.5, Some(most), Some(ceiling)));
        assert!(bounds.largest_first && bounds.fallback.is_some_and(|fallback| fallback.1.starts_with("430.52(C)(1)(b)")));
        // A device that limits the start has no need of a larger one: the increase is for a motor that does not start (430.52(C)(1)(b)).
        assert_eq!(ratings(&of(Method::Drive, false)), (42.5, Some(most), None));
    }

    /// 430.122(A), 430.130: the device before a drive carries its rated input current, 60 A, where that is more than 125 % of the motor's
    /// 34 A. 240.6(A) since 2023: no standard rating of a circuit-breaker below 10 A, whatever little a motor draws.
    #[test]
    fn the_smallest_device_carries_what_is_before_the_motor_and_is_a_standard_one() {
        let motor = horsepower(25.0, 460.0);
        let currents = RatedCurrents { protection: Amperes(34.0), ..RatedCurrents::default() };
        let drive = start(Method::Drive);
        let ask = ProtectionAsk {
            machine: &motor,
            start: &drive,
            currents: &currents,
            line: Amperes(60.0),
            starts: false,
            starting: Amperes(0.0),
            time: Seconds(0.0),
        };
        let protection_bounds = of(BOOK, ProtectionKind::InverseTime, &ask, &mut Record::silent());
        assert_eq!(protection_bounds.map(|bounds| bounds.least), Some(Amperes(60.0)));
        let small = bounds(ProtectionKind::InverseTime, &horsepower(0.5, 460.0), &start(Method::Direct), 1.1, true);
        assert_eq!(small.map(|bounds| bounds.least), Some(Amperes(10.0)));
    }

    /// 430.4 and 430.52: the one device of a part winding stays with the percentages of each half; 27 A at 250 % are 67.5 A, next 70 A.
    /// Where both ceilings lie below the next size up, that stays and there is no larger one: 8 A at 175 % are 14 A, next 15 A; 225 %
    /// are 18 A, below them 15 A again; its conductors carry 125 %, 10 A.
    #[test]
    fn no_ceiling_is_told_where_it_admits_nothing_larger() {
        let half = bounds(ProtectionKind::InverseTime, &horsepower(20.0, 460.0), &start(Method::PartWinding), 27.0, true);
        assert_eq!(half.and_then(|bounds| bounds.fallback), None);
        let small = bounds(ProtectionKind::DualElement, &horsepower(5.0, 460.0), &start(Method::Direct), 8.0, true);
        assert_eq!(small.map(|bounds| ratings(&bounds)), Some((10.0, Some(15.0), None)));
    }

    /// Table 430.52(C)(1), 430.52(C)(3): an instantaneous trip is set to 800 % at most, 1300 % where the motor does not start, 34 A to
    /// 272 A and 442 A; it is the disconnecting means as well, 115 % (430.110(A)), 39.1 A. For what is no motor there is none.
    #[test]
    fn an_instantaneous_trip_has_two_largest_settings_and_carries_the_motor() {
        let protection_bounds =
            bounds(ProtectionKind::Instantaneous, &horsepower(25.0, 460.0), &start(Method::Direct), 34.0, true);
        let protection_bounds = protection_bounds.expect("a setting");
        let [normal, increased] = protection_bounds.magnetic.clone().expect("two");
        assert_eq!((normal.0, increased.0), (Amperes(272.0), Amperes(442.0)));
        assert!((protection_bounds.least.0 - 39.1).abs() < 1e-9 && protection_bounds.most.is_none());
        let heater = machine(LoadKind::Heater, 480.0, 60.0);
        assert_eq!(bounds(ProtectionKind::Instantaneous, &heater, &start(Method::None), 34.0, false), None);
    }

    /// 424.4(B): 125 % of 20 A are 25 A, a standard rating; 460.8(B) with the 135 % of its conductors (460.8(A)): 27 A, next 30 A;
    /// 210.20(A): 125 % of a continuous load of 18 A are 22.5 A, next rating of a circuit with several outlets 30 A (210.18); 450.3(B),
    /// primary only: 125 % of 30 A are 37.5 A, next 40 A by Note 1, of 5 A 167 % = 8.35 A, below them 6 A.
    #[test]
    fn loads_that_are_no_motors_go_by_their_clauses() {
        let of = |kind, current| {
            bounds(ProtectionKind::DualElement, &machine(kind, 480.0, 60.0), &start(Method::None), current, false)
                .map(|bounds| (bounds.least.0, bounds.most.map(|most| most.0.0)))
        };
        assert_eq!(of(LoadKind::Heater, 20.0), Some((25.0, Some(25.0))));
        assert_eq!(of(LoadKind::Capacitor, 20.0), Some((27.0, Some(30.0))));
        assert_eq!(of(LoadKind::Lighting, 18.0), Some((22.5, Some(30.0))));
        assert_eq!(of(LoadKind::Transformer, 30.0), Some((37.5, Some(40.0))));
        // 125 % would be 6.25 A, which no rating up to the limit carries; 6 A carries the rated current.
        assert_eq!(of(LoadKind::Transformer, 5.0), Some((6.0, Some(6.0))));
    }

    /// 210.18 (210.3 in 2017), from memory: circuits of several outlets are of 15, 20, 30, 40 and 50 A, and of 10 A since 2023. 125 % of
    /// 36.1 A are 45.1 A: 50 A, not 45 A; of 44 A 55 A, beyond them: the next standard one.
    #[test]
    fn lighting_goes_by_the_ratings_of_circuits_with_several_outlets() {
        let of = |edition, current: f64| {
            let lighting = machine(LoadKind::Lighting, 277.0, 60.0);
            let full_load = Amperes(current);
            let currents = RatedCurrents { full_load, conductor: full_load, protection: full_load, ..RatedCurrents::default() };
            let start = start(Method::None);
            let ask = ProtectionAsk {
                machine: &lighting,
                start: &start,
                currents: &currents,
                line: full_load,
                starts: false,
                starting: Amperes(0.0),
                time: Seconds(0.0),
            };
            let found = super::of(Nec { edition }, ProtectionKind::InverseTime, &ask, &mut Record::silent());
            found.and_then(|bounds| bounds.most).map(|(rating, clause)| (rating.0, clause))
        };
        let of_2023 = |current| of(Edition::E2023, current);
        assert_eq!(of_2023(36.1), Some((50.0, "210.20(A), 210.18".to_owned())));
        assert_eq!(of_2023(6.0), Some((10.0, "210.20(A), 210.18".to_owned())));
        assert_eq!(of(Edition::E2017, 6.0), Some((15.0, "210.20(A), 210.3".to_owned())));
        assert_eq!(of_2023(44.0), Some((60.0, "210.20(A), 240.6(A)".to_owned())));
    }

    /// 430.52(C)(4) Exception: one device that goes by the larger of two windings, 33 A: 250 % = 82.5 A, next 90 A, where the small one has
    /// 9 A; of two equal windings the clause itself holds.
    #[test]
    fn one_device_before_two_windings_names_the_exception() {
        let motor = horsepower(25.0, 460.0);
        let start = start(Method::TwoSpeedSeparate);
        let of = |low: f64| {
            let currents = RatedCurrents {
                full_load: Amperes(33.0),
                protection: Amperes(33.0),
                low: Some(Amperes(low)),
                ..RatedCurrents::default()
            };
            let ask = ProtectionAsk {
                machine: &motor,
                start: &start,
                currents: &currents,
                line: Amperes(33.0),
                starts: true,
                starting: Amperes(198.0),
                time: Seconds(2.0),
            };
            super::of(BOOK, ProtectionKind::InverseTime, &ask, &mut Record::silent()).expect("a device")
        };
        let apart = of(9.0);
        assert_eq!(apart.most, Some((Amperes(90.0), "430.52(C)(4) Exception, 430.52(C)(1)(a)".to_owned())));
        assert!(apart.fallback.is_some_and(|fallback| fallback.1.starts_with("430.52(C)(4) Exception, 430.52(C)(1)(b)")));
        assert_eq!(of(33.0).most.map(|most| most.1), Some("430.52(C)(1)(a)".to_owned()));
    }

    /// 440.22(A), as a trade magazine's code quiz prints it (W31): rated-load current 38 A, branch-circuit selection current 40 A: 175 %
    /// are 70 A, and 225 % are 90 A where that does not start; what limits the start has no larger one. No instantaneous trip is named
    /// there.
    #[test]
    fn a_compressor_goes_by_its_larger_current() {
        let machine = crate::load::testing::machine(LoadKind::Motor, 460.0, 60.0);
        let machine = Machine { rated_load: Some(Amperes(38.0)), selection: Some(Amperes(40.0)), ..machine };
        let of = |kind, method, starts| bounds(kind, &machine, &start(method), 38.0, starts);
        for kind in [ProtectionKind::InverseTime, ProtectionKind::DualElement] {
            assert_eq!(
                of(kind, Method::Direct, true).map(|bounds| ratings(&bounds)),
                Some((50.0, Some(70.0), Some(90.0))),
                "{kind:?}"
            );
        }
        let limited = of(ProtectionKind::InverseTime, Method::SoftStarter, false).map(|bounds| ratings(&bounds));
        assert_eq!(limited, Some((50.0, Some(70.0), None)));
        assert_eq!(of(ProtectionKind::Instantaneous, Method::Direct, true), None);
        let wish = Known::new(ProtectionKind::Instantaneous, crate::load::Origin::Cell);
        assert!(!kinds(wish, &machine, &start(Method::Direct)).contains(&ProtectionKind::Instantaneous));
    }

    /// 440.4(B), 110.3(B): a marked maximum of 40 A stays 40 A, one of 42 A is 40 A; without it the next standard rating of a circuit
    /// ampacity of 32 A is 35 A.
    #[test]
    fn equipment_goes_by_its_marking() {
        let of = |ampacity, marked: Option<f64>| {
            let machine = machine(LoadKind::Packaged, 460.0, 60.0);
            let machine =
                Machine { minimum_ampacity: Some(Amperes(ampacity)), maximum_protection: marked.map(Amperes), ..machine };
            bounds(ProtectionKind::InverseTime, &machine, &start(Method::Feeder), 25.0, false).map(|bounds| ratings(&bounds))
        };
        assert_eq!(of(32.0, Some(40.0)), Some((32.0, Some(40.0), None)));
        assert_eq!(of(32.0, Some(42.0)), Some((32.0, Some(40.0), None)));
        assert_eq!(of(32.0, None), Some((32.0, Some(35.0), None)));
        // A marking between two ratings of which the lower does not carry the ampacity is kept all the same.
        assert_eq!(of(41.0, Some(43.0)), Some((40.0, Some(40.0), None)));
    }
}
