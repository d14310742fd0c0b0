//! Demands of the NEC book on the controller, the overload relay and the disconnecting means of a circuit.

use crate::load::{Known, LoadKind, Machine, Method, Origin, Start};
use crate::quantity::{Amperes, Metres};
use crate::record::Record;
use crate::rules::nec::book::gap;
use crate::rules::nec::figures::figure;
use crate::rules::nec::{controller, hermetic, locked_rotor, need, overload, rated, rating};
use crate::rules::units::METRES_A_FOOT;
use crate::rules::{
    Category, ContactorDemand, ContactorOffer, DisconnectAsk, DisconnectDemand, Duty, HorsepowerDemand, HorsepowerUse, Limit,
    LockedOpen, LockedRotor, OverloadAsk, PartKind, RatedCurrents, RatedPart, Sight, StarterRating, SwitchingDemand,
};

/// Controllers: horsepower at the application voltage.
const CONTROLLER: &str = "430.83(A)";

/// Disconnecting means of air-conditioning and refrigerating equipment.
const EQUIPMENT_IN_SIGHT: &str = "NFPA 70, 440.14; 430.102(A) of other packaged controllers; Article 100, in sight from";

/// Locked-rotor current: by code letter, else by Table 430.251, over the full-load current of Table 430.250 or, outside it, of the
/// nameplate; where none of them gives it, as for small motors over whatever current counts.
pub(super) fn locked_rotor(machine: &Machine) -> LockedRotor {
    let record = &mut Record::silent();
    let usual = LockedRotor::usual(gap("locked-rotor-multiple"));
    if hermetic::current(machine).is_some() {
        return usual;
    }
    let full_load = rated::table_current(machine, record).map(|row| row.current).or(machine.nameplate);
    let (Some(full_load), Some(horsepower)) =
        (full_load.filter(|full_load| full_load.0 > 0.0), rated::horsepower(machine, record))
    else {
        return usual;
    };
    let of_letter = machine
        .code_letter
        .and_then(|letter| locked_rotor::code_letter_current(record, letter, horsepower, machine.voltage, machine.phases))
        .map(|current| current.current);
    let of_table = || {
        let found = locked_rotor::table_locked_rotor(record, machine.phases, horsepower, machine.voltage)?.current;
        // Design A has no limit: it is taken for no less than the table has for the others, nor than is usual.
        let usual = full_load * usual.ratio.value;
        Some(if machine.design_letter == "A" { found.max(usual) } else { found })
    };
    let locked = of_letter.or_else(of_table);
    locked.map_or(usual, |locked| LockedRotor { ratio: Known::new(locked.0 / full_load.0, Origin::Table), over: Some(full_load) })
}

/// The switching demand on a contactor.
pub(super) fn switching(
    duty: Duty,
    current: Amperes,
    share: f64,
    machine: &Machine,
    start: &Start,
    record: &mut Record,
) -> SwitchingDemand {
    let plain = |reference| SwitchingDemand {
        category: Category::Continuous,
        current,
        high_efficiency: None,
        horsepower: None,
        // A contactor is listed with its poles in separate conductors; a listing for linked poles is not part of the data.
        one_conductor: false,
        reference,
    };
    let of_motor = rated::horsepower(machine, record);
    let motor = of_motor.map(|horsepower| controller::horsepower_at_rating(record, machine.phases, horsepower, machine.voltage));
    // 430.52(C)(4) Exception: one device protects both windings, so every controller is one for the largest.
    let share = if start.method.two_speeds() { share.max(1.0) } else { share };
    // A nameplate above the table is what the controller carries; of a hermetic compressor the larger current (440.41(A)).
    let compressor = hermetic::current(machine);
    let controller_clause = if compressor.is_some() { "440.41(A)" } else { CONTROLLER };
    let carried = compressor.or(machine.nameplate).filter(|_| duty == Duty::Motor && !start.method.two_speeds());
    let current = carried.map_or(current, |nameplate| current.max(nameplate * share));
    let switches_motor = matches!(duty, Duty::Motor | Duty::SlipRing)
        || duty == Duty::Load && matches!(machine.kind, LoadKind::Motor | LoadKind::Packaged);
    match motor.filter(|_| switches_motor) {
        Some(motor) => SwitchingDemand {
            category: Category::Horsepower,
            current,
            horsepower: Some(HorsepowerDemand { motor, usage: usage(start), share }),
            ..plain(controller_clause)
        },
        None if switches_motor => plain(controller_clause),
        None => plain("110.3(B), rated current of the contactor"),
    }
}

fn usage(start: &Start) -> HorsepowerUse {
    match start.method {
        Method::StarDelta | Method::StarDeltaClosed => HorsepowerUse::WyeDelta,
        Method::PartWinding => HorsepowerUse::PartWinding,
        // What a soft starter or drive makes and breaks, no contactor does.
        _ if start.behind_electronics() => HorsepowerUse::FullVoltage,
        _ if start.inching > 0.0 || matches!(start.duty, 5 | 7) => HorsepowerUse::Jogging,
        _ => HorsepowerUse::FullVoltage,
    }
}

/// Rating of a contactor: continuous current of a controller, resistive current where nothing else is asked.
pub(super) fn contactor_rating(demand: &ContactorDemand, offer: &ContactorOffer) -> Amperes {
    let rated = match demand.switching.category {
        Category::Continuous => [offer.ac1, offer.continuous].into_iter().flatten().reduce(Amperes::max),
        Category::Horsepower => offer.continuous.or(offer.ac3),
        _ => None,
    };
    rated.unwrap_or(Amperes(0.0))
}

/// The offer of a controller of which only a rated current is stated: nothing in horsepower.
pub(super) fn offers_of_rating(rated: Amperes) -> [ContactorOffer; 2] {
    let sure = ContactorOffer { continuous: Some(rated), ..ContactorOffer::default() };
    [sure, ContactorOffer { horsepower: [Some(f64::INFINITY); 4], ..sure }]
}

/// The offer of a NEMA size for a machine: its continuous current, and its horsepower for each use.
pub(super) fn offer_of_size(size: &str, machine: &Machine) -> Option<ContactorOffer> {
    use controller::Service::{FullVoltage, Jogging, PartWinding, WyeDelta};
    let rated = |service| controller::size_ratings(size, service, machine.phases, machine.voltage);
    let horsepower = [FullVoltage, Jogging, WyeDelta, PartWinding].map(rated);
    let continuous = horsepower.iter().flatten().map(|size| size.continuous).next()?;
    let horsepower = horsepower.map(|size| size.map(|size| size.horsepower));
    Some(ContactorOffer { continuous: Some(continuous), horsepower, nema: true, ..ContactorOffer::default() })
}

/// Limits of a controller: current, and horsepower at the voltage for its use.
pub(super) fn contactor_limits(demand: &ContactorDemand, offer: &ContactorOffer) -> Vec<Limit> {
    let switching = &demand.switching;
    let rated = contactor_rating(demand, offer);
    let mut limits = vec![Limit::at_most("contactor-duty", switching.current.0, rated.0, "A", switching.reference)];
    if let Some(asked) = switching.horsepower {
        let [full_voltage, jogging, wye_delta, part_winding] = offer.horsepower;
        let of_set = match asked.usage {
            HorsepowerUse::FullVoltage => full_voltage,
            HorsepowerUse::Jogging => jogging,
            HorsepowerUse::WyeDelta => wye_delta,
            HorsepowerUse::PartWinding => part_winding,
        };
        // A rating for the use counts for the whole motor; one for full voltage counts for the share of its current.
        let (need, has) = match (of_set, asked.usage) {
            (Some(rating), HorsepowerUse::FullVoltage) => (asked.motor * asked.share.min(1.0), rating),
            (Some(rating), _) => (asked.motor, rating),
            (None, HorsepowerUse::Jogging) => (asked.motor, 0.0),
            // A NEMA size without a rating for the use: one for the whole motor at full voltage is more than enough, a share is not.
            (None, _) if offer.nema => (asked.motor, full_voltage.unwrap_or(0.0)),
            (None, _) => (asked.motor * asked.share, full_voltage.unwrap_or(0.0)),
        };
        limits.push(Limit::at_most("contactor-horsepower", need, has, "hp", switching.reference));
    }
    limits
}

/// Ceiling of 430.32(A)(1); of a hermetic compressor that of 440.52(A)(1).
fn overload_ceiling(ask: &OverloadAsk<'_>, record: &mut Record) -> Option<overload::TripCeiling> {
    if hermetic::current(ask.machine).is_some() {
        return overload::hermetic_relay_ceiling(record, ask.rated);
    }
    let reserve = overload::Reserve { service_factor: ask.machine.service_factor, rise_k: ask.machine.temperature_rise_k };
    overload::ceiling(record, ask.rated, reserve)
}

/// Highest dial of a relay: its ultimate trip stays within the ceiling.
pub(super) fn overload_setting(ask: &OverloadAsk<'_>, record: &mut Record) -> Amperes {
    match overload_ceiling(ask, record) {
        Some(ceiling) => overload::highest_dial(record, ceiling, ask.ultimate_trip, ask.share),
        None => Amperes(0.0),
    }
}

/// The ultimate trip of a setting against the ceiling for the share of the current that the relay sees.
pub(super) fn overload_limits(ask: &OverloadAsk<'_>, setting: Amperes) -> Vec<Limit> {
    let trips = setting * overload::ultimate_trip(ask.ultimate_trip);
    let ceiling = overload_ceiling(ask, &mut Record::silent())
        .map(|ceiling| Limit::at_most("overload-ceiling", trips.0, (ceiling.trip * ask.share).0, "A", ceiling.clause));
    let service = ask.service_limit.map(|limit| Limit::at_most("service-limit", trips.0, limit.0, "A", overload::SERVICE_LIMIT));
    ceiling.into_iter().chain(service).collect()
}

/// 430.102 of motors and their controllers; 440.14 of air-conditioning and refrigerating equipment; 424.19 of space heating, 450.14 of
/// transformers. 450.14 came with the 2011 edition, 110.25 for the lock with that of 2014.
pub(super) fn in_sight(machine: &Machine) -> Option<Sight> {
    let sight = |of_controller, of_load, locked_open| {
        Some(Sight { most: Metres(figure("in-sight-ft") * METRES_A_FOOT), of_controller, of_load, locked_open })
    };
    match machine.kind {
        _ if hermetic::current(machine).is_some() => sight(Some("NFPA 70, 430.102(A)"), EQUIPMENT_IN_SIGHT, LockedOpen::Not),
        LoadKind::Motor => {
            let clause = "NFPA 70, 430.102(B) and Article 100, in sight from";
            sight(Some("NFPA 70, 430.102(A)"), clause, LockedOpen::ByException)
        }
        LoadKind::Packaged => sight(None, EQUIPMENT_IN_SIGHT, LockedOpen::Not),
        LoadKind::Heater => sight(None, "NFPA 70, 424.19 and 110.25", LockedOpen::Suffices),
        LoadKind::Transformer => sight(None, "NFPA 70, 450.14 and 110.25", LockedOpen::Suffices),
        LoadKind::Capacitor | LoadKind::Lighting | LoadKind::Other => None,
    }
}

/// 430.110(A): 115 % of the full-load current, and the motor's horsepower (430.109(A)); heaters by 424.19, capacitors by 460.8(C),
/// transformers by 450.14 and other loads by their current. Only what a motor is switched with is rated in horsepower.
pub(super) fn disconnect(
    machine: &Machine,
    currents: &RatedCurrents,
    ask: DisconnectAsk,
    record: &mut Record,
) -> DisconnectDemand {
    let demand = |current: Amperes, horsepower: Option<f64>, reference| DisconnectDemand {
        current,
        horsepower,
        category: if horsepower.is_some() { "horsepower-rated" } else { "" },
        always: true,
        reference,
    };
    if let Some(larger) = hermetic::current(machine) {
        let horsepower = hermetic::equivalent_horsepower(machine);
        return demand(controller::hermetic_disconnect_minimum(record, larger), horsepower, "440.12(A)");
    }
    match machine.kind {
        LoadKind::Motor => {
            // A switch has ratings at the voltages that a controller has them for.
            let silent = &mut Record::silent();
            let horsepower = rated::horsepower(machine, silent)
                .map(|horsepower| controller::horsepower_at_rating(silent, machine.phases, horsepower, machine.voltage));
            if ask.before_drive {
                demand(controller::drive_disconnect_minimum(record, ask.current), horsepower, "430.128")
            } else {
                // The larger current of several speeds counts.
                demand(controller::disconnect_minimum(record, currents.of_larger_speed()), horsepower, "430.110(A)")
            }
        }
        LoadKind::Packaged => {
            let (least, clause) = packaged_disconnect(machine, currents, record);
            demand(least, None, clause)
        }
        // The same shares of the load as for its conductors: 125 % of heaters, 135 % of capacitors.
        LoadKind::Heater => demand(need::electric_heat(&mut Record::silent(), currents.full_load), None, "424.19"),
        LoadKind::Capacitor => demand(need::capacitor(&mut Record::silent(), currents.full_load), None, "460.8(C)"),
        LoadKind::Transformer => demand(currents.full_load, None, "110.3(B), 450.14"),
        LoadKind::Lighting | LoadKind::Other => demand(currents.full_load, None, "110.3(B)"),
    }
}

/// The disconnecting means of packaged equipment. A marked circuit ampacity stands for all of it and holds a quarter of the largest motor
/// already (440.4(B), 440.35): the switch carries that. The 115 % of 440.12 are of the current that the nameplate states at rated load, or
/// of what the row gives instead of a marking.
fn packaged_disconnect(machine: &Machine, currents: &RatedCurrents, record: &mut Record) -> (Amperes, &'static str) {
    let of_load =
        |current: Amperes, record: &mut Record| (controller::hermetic_disconnect_minimum(record, current), "440.12(A)(1)");
    let Some(marked) = machine.minimum_ampacity else { return of_load(currents.full_load, record) };
    let at_rated_load = machine.rated_load.into_iter().chain(machine.nameplate).reduce(Amperes::max);
    let of_marking = (marked.max(currents.full_load), "440.4(B), 110.3(B)");
    match at_rated_load.map(|current| of_load(current, record)) {
        Some(least) if !least.0.fits(of_marking.0) => least,
        _ => of_marking,
    }
}

/// Whether a marked voltage rating suits the system: none where the basis does not say enough.
pub(super) fn suits((admission, clause): (rating::Admission, &'static str)) -> (Option<bool>, &'static str) {
    let suits = match admission {
        rating::Admission::Admitted => Some(true),
        rating::Admission::NotAdmitted => Some(false),
        rating::Admission::Unknown => None,
    };
    (suits, clause)
}

/// Short-circuit rating of the parts together: the weakest, each as declared, as tested in its combination, or as assumed of an
/// unmarked one.
pub(super) fn assembly_rating(parts: &[RatedPart]) -> StarterRating {
    let parts: Vec<rating::Part> = parts
        .iter()
        .map(|part| {
            let component = match part.kind {
                PartKind::Breaker => "circuit-breaker",
                PartKind::FuseHolder => "fuseholder",
                PartKind::Controller => "motor-controller",
                PartKind::OverloadRelay => "overload-relay",
                PartKind::Switch => "switch-unit",
            };
            rating::Part {
                name: component.to_owned(),
                component: component.to_owned(),
                // A controller of a load without horsepower is taken as one of the smallest, which are assumed to stand least.
                horsepower: part.horsepower.or(Some(0.0)),
                declared: part.declared,
                combination: part.combination,
            }
        })
        .collect();
    match rating::assembly_rating(&parts) {
        Ok(Some(found)) => StarterRating::Of(found.rating),
        Ok(None) => StarterRating::NotRated,
        Err(_) => {
            StarterRating::Unknown("one of its parts is not marked, and UL 508A, Table SB4.1, assumes none for such a part")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::testing::{horsepower, machine, start};
    use crate::rules::testing;

    /// Motor of 10 hp, 14 A, on a controller that offers this.
    fn holds(start: &Start, share: f64, offer: &ContactorOffer) -> bool {
        let motor = horsepower(10.0, 460.0);
        let switching = switching(Duty::Motor, Amperes(14.0 * share), share, &motor, start, &mut Record::silent());
        contactor_limits(&testing::contactor(switching), offer).iter().all(Limit::holds)
    }

    /// NEMA ICS 2, Tables 2-4-1 and 2-4-3 and the table of wye-delta and part-winding controllers, at 460 V: size 1 for 27 A, 10 hp,
    /// 5 hp jogging, 15 hp wye-delta and part winding; size 2 for 45 A, 25, 15, 40 and 40 hp; size 4 for 135 A, 100, 60, 150 and
    /// 150 hp, of which wye-delta at 200 V 60 hp and part winding 75 hp; size 00 for 9 A and 2 hp, and for nothing else.
    #[test]
    fn a_size_offers_its_horsepower_for_each_use() {
        let of = |size: &str, volts: f64| {
            offer_of_size(size, &horsepower(10.0, volts))
                .map(|offer| (offer.continuous.map(|continuous| continuous.0), offer.horsepower, offer.nema))
        };
        let hp = |full: f64, jogging: f64, wye: f64, part: f64| [Some(full), Some(jogging), Some(wye), Some(part)];
        assert_eq!(of("1", 460.0), Some((Some(27.0), hp(10.0, 5.0, 15.0, 15.0), true)));
        assert_eq!(of("2", 460.0), Some((Some(45.0), hp(25.0, 15.0, 40.0, 40.0), true)));
        assert_eq!(of("4", 200.0), Some((Some(135.0), hp(40.0, 25.0, 60.0, 75.0), true)));
        assert_eq!(of("00", 460.0), Some((Some(9.0), [Some(2.0), None, None, None], true)));
        assert_eq!(of("2", 415.0), None);
    }

    /// NEMA ICS 2, as above: 10 hp at 460 V run on size 1 and jog on size 2, of which size 1 has 5 hp for it; a controller without any
    /// rating for jogging is none for it, whatever it has for full voltage. Duties S5 and S7 of IEC 60034-1 brake electrically, which is
    /// plugging.
    #[test]
    fn jogging_and_plugging_want_a_rating_for_it() {
        let of = |size: &str| offer_of_size(size, &horsepower(10.0, 460.0)).expect("a size");
        let jogs = Start { inching: 0.01, ..start(Method::Direct) };
        assert!(holds(&start(Method::Direct), 1.0, &of("1")));
        assert!(!holds(&jogs, 1.0, &of("1")) && holds(&jogs, 1.0, &of("2")));
        for (duty, plugs) in [(4, false), (5, true), (6, false), (7, true), (8, false)] {
            assert_eq!(holds(&Start { duty, ..start(Method::Direct) }, 1.0, &of("1")), !plugs, "S{duty}");
        }
        let frame = ContactorOffer {
            continuous: Some(Amperes(50.0)),
            horsepower: [Some(20.0), None, None, None],
            ..ContactorOffer::default()
        };
        assert!(holds(&start(Method::Direct), 1.0, &frame) && !holds(&jogs, 1.0, &frame));
    }

    /// A rating for the use is one of the whole set (NEMA ICS 2). Where there is none, each contactor of wye-delta switches 1/√3 of the
    /// motor, 10 hp · 0.577 = 5.77 hp, which a frame of 6 hp at full voltage does and one of 5 hp does not; a NEMA size without such a
    /// rating is taken for the whole motor.
    #[test]
    fn a_set_is_judged_by_its_own_rating_or_by_the_share_of_each_contactor() {
        let share = 1.0 / 3f64.sqrt();
        let of = |full: f64, wye: Option<f64>, nema: bool| ContactorOffer {
            continuous: Some(Amperes(50.0)),
            horsepower: [Some(full), None, wye, None],
            nema,
            ..ContactorOffer::default()
        };
        let wye_delta = start(Method::StarDelta);
        assert!(holds(&wye_delta, share, &of(6.0, None, false)) && !holds(&wye_delta, share, &of(5.0, None, false)));
        assert!(!holds(&wye_delta, share, &of(6.0, None, true)) && holds(&wye_delta, share, &of(10.0, None, true)));
        assert!(holds(&wye_delta, share, &of(5.0, Some(10.0), true)) && !holds(&wye_delta, share, &of(10.0, Some(7.5), true)));
        // Inside the delta the whole set is at full voltage and each pole carries 1/√3.
        let inside = start(Method::SoftStarterInsideDelta);
        assert!(holds(&inside, share, &of(6.0, None, false)) && !holds(&inside, share, &of(5.0, None, false)));
        // Half of a part winding at full voltage carries its share: 10 hp · 0.5 = 5 hp.
        let half = start(Method::PartWinding);
        assert!(holds(&half, 0.5, &of(5.0, None, false)) && !holds(&half, 0.5, &of(4.9, None, false)));
        let pair = |hp| ContactorOffer { horsepower: [None, None, None, Some(hp)], ..of(5.0, None, true) };
        assert!(holds(&half, 0.5, &pair(10.0)) && !holds(&half, 0.5, &pair(7.5)));
    }

    /// 430.83(A): what starts a motor, and what switches one that something else starts, is rated in horsepower at the voltage; a bypass
    /// that only carries, and a heater, go by the current (110.3(B)).
    #[test]
    fn horsepower_is_asked_of_what_switches_a_motor() {
        let of = |duty, machine: &Machine| {
            let switching_demand = switching(duty, Amperes(14.0), 1.0, machine, &start(Method::Direct), &mut Record::silent());
            (
                switching_demand.category,
                switching_demand.horsepower.map(|horsepower_demand| horsepower_demand.motor),
                switching_demand.reference,
            )
        };
        let motor = horsepower(10.0, 460.0);
        for duty in [Duty::Motor, Duty::SlipRing, Duty::Load] {
            assert_eq!(of(duty, &motor), (Category::Horsepower, Some(10.0), "430.83(A)"), "{duty:?}");
        }
        let by_current = (Category::Continuous, None, "110.3(B), rated current of the contactor");
        assert_eq!(of(Duty::Carry, &motor), by_current);
        assert_eq!(of(Duty::Load, &Machine { horsepower: Some(10.0), ..machine(LoadKind::Heater, 480.0, 60.0) }), by_current);
        let packaged = Machine { horsepower: Some(10.0), ..machine(LoadKind::Packaged, 460.0, 60.0) };
        assert_eq!(of(Duty::Load, &packaged), (Category::Horsepower, Some(10.0), "430.83(A)"));
        // A motor of which no horsepower is known keeps the clause of motors.
        assert_eq!(of(Duty::Motor, &machine(LoadKind::Motor, 460.0, 60.0)), (Category::Continuous, None, "430.83(A)"));
    }

    /// 430.6(A)(1) and 430.83: 14 A of Table 430.250, but a nameplate of 16 A is what the controller carries; in the leads of a delta
    /// 1/√3 of it.
    #[test]
    fn a_nameplate_above_the_table_is_what_the_controller_carries() {
        let motor = Machine { nameplate: Some(Amperes(16.0)), ..horsepower(10.0, 460.0) };
        let of = |duty, method: Method, share: f64| {
            switching(duty, Amperes(14.0 * share), share, &motor, &start(method), &mut Record::silent()).current.0
        };
        assert!((of(Duty::Motor, Method::Direct, 1.0) - 16.0).abs() < 1e-9);
        assert!((of(Duty::Motor, Method::StarDelta, 1.0 / 3f64.sqrt()) - 9.2376).abs() < 1e-4);
        assert!((of(Duty::Carry, Method::Direct, 1.0) - 14.0).abs() < 1e-9);
        // The current of the winding counts at two speeds, which the caller knows.
        assert!((of(Duty::Motor, Method::TwoSpeedSeparate, 1.0) - 14.0).abs() < 1e-9);
    }

    /// UL 508A, SB4.2 and Table SB4.1: the assembly has the rating of its weakest part, 5 kA for an unmarked controller up to 50 hp.
    #[test]
    fn an_assembly_is_as_strong_as_its_weakest_part() {
        let part = |kind, declared: Option<f64>, horsepower: Option<f64>, combination: Option<f64>| RatedPart {
            kind,
            declared: declared.map(Amperes),
            horsepower,
            combination: combination.map(Amperes),
        };
        let breaker = |combination| part(PartKind::Breaker, Some(65_000.0), Some(10.0), combination);
        let of = |controller| assembly_rating(&[breaker(None), controller]);
        assert_eq!(of(part(PartKind::Controller, Some(18_000.0), Some(10.0), None)), StarterRating::Of(Amperes(18_000.0)));
        assert_eq!(of(part(PartKind::Controller, None, Some(10.0), None)), StarterRating::Of(Amperes(5_000.0)));
        // A heater has no horsepower: its contactor stands what the smallest unmarked controller does, not nothing.
        assert_eq!(of(part(PartKind::Controller, None, None, None)), StarterRating::Of(Amperes(5_000.0)));
        // 430.52, UL 508A SB4.3: a drive of 5 kA behind a breaker and contactor that were tested together stays one of 5 kA.
        let [contactor, drive] = [(None, Some(65_000.0)), (Some(5_000.0), None)]
            .map(|(declared, combination)| part(PartKind::Controller, declared, Some(10.0), combination));
        assert_eq!(assembly_rating(&[breaker(Some(65_000.0)), contactor, drive]), StarterRating::Of(Amperes(5_000.0)));
    }
}
