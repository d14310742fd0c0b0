//! Demands of the IEC book on a contactor. The limits are independent and not multiplied: switching, thermal current, short time, slow
//! class.

use crate::quantity::{Amperes, Celsius, Metres, round_to};
use crate::record::Record;
use crate::rules::iec::{book, switching};
use crate::rules::physics::contactors;
use crate::rules::{Category, ContactorDemand, ContactorOffer, Limit};

/// Rating of a contactor for what it must switch; zero if it has none.
#[must_use]
pub fn rating(demand: &ContactorDemand, offer: &ContactorOffer) -> Amperes {
    let none = Amperes(0.0);
    let ac3 = offer.ac3.unwrap_or(none);
    match demand.switching.category {
        Category::Ac1 => offer.ac1.unwrap_or(none),
        Category::Ac2 => ac3,
        Category::Ac3 | Category::Ac3e => match demand.switching.high_efficiency {
            None => ac3,
            Some(derate) => match offer.ac3e {
                Some(ac3e) => ac3e,
                None if offer.suits_high_efficiency => ac3,
                None if offer.reduced_life => none,
                None => ac3 / derate,
            },
        },
        Category::Ac4 => offer.ac4.unwrap_or(none),
        Category::Ac5a => lamps(offer, switching::Lamps::ElectronicBallast),
        Category::Ac5b => lamps(offer, switching::Lamps::Filament),
        Category::Ac6a => switching::ac6a_rating(&mut Record::silent(), ac3),
        // Without a fault current the derivation does not hold.
        Category::Ac6b => match demand.fault_max {
            _ if offer.ac6b.is_some() => offer.ac6b.unwrap_or(none),
            Some(fault) => switching::ac6b_rating(&mut Record::silent(), ac3, fault).unwrap_or(none),
            None => ac3 * book::figure("ac6b-fault-unknown"),
        },
        // The categories of industrial contactors cover those of households where none is declared.
        Category::Ac7a => offer.ac7a.or(offer.ac1).unwrap_or(none),
        Category::Ac7b => offer.ac7b.unwrap_or(ac3),
        Category::Ac8a | Category::Ac8b => offer.ac8b.map_or(ac3, |ac8b| ac8b.min(ac3)),
        Category::Horsepower | Category::Continuous => none,
    }
}

fn lamps(offer: &ContactorOffer, lamps: switching::Lamps) -> Amperes {
    switching::lamp_current(&mut Record::silent(), offer.ac1.unwrap_or(Amperes(0.0)), lamps)
}

/// The offer of a contactor of which only a rated current is stated: that is the AC-1 rating where the duty is resistive and the AC-3
/// rating elsewhere, as contactors are named in the trade; the thermal current is never less. Ratings in other categories stay open.
#[must_use]
pub fn offers_of_rating(rated: Amperes, demand: &ContactorDemand) -> [ContactorOffer; 2] {
    let any = Some(Amperes(f64::INFINITY));
    if demand.switching.category.is_resistive() {
        let sure = ContactorOffer { ac1: Some(rated), ..ContactorOffer::default() };
        return [sure, ContactorOffer { ac3_base: Amperes(f64::INFINITY), ..sure }];
    }
    let sure = ContactorOffer { ac1: Some(rated), ac3: Some(rated), ac3_base: rated, ..ContactorOffer::default() };
    let most = ContactorOffer { ac1: any, ac4: Some(rated), ac6b: any, ac7b: any, suits_high_efficiency: true, ..sure };
    [sure, most]
}

/// Limits that a contactor must keep.
#[must_use]
pub fn limits(demand: &ContactorDemand, offer: &ContactorOffer) -> Vec<Limit> {
    let rated = rating(demand, offer);
    let switching = &demand.switching;
    let mut limits = vec![Limit::at_most("contactor-duty", switching.current.0, rated.0, "A", switching.reference)];
    if offer.reduced_life && !switching.category.is_resistive() && !demand.reduced_life {
        // A reduced-life rating is no capability for this duty at all.
        limits.push(Limit::at_most("contactor-duty", switching.current.0, 0.0, "A", "catalogue: reduced-life rating"));
        return limits;
    }
    let thermal = offer.ac1.unwrap_or(Amperes(0.0)) * thermal_factor(demand.ambient, demand.altitude);
    limits.push(Limit::at_most("contactor-thermal-current", demand.current.0, thermal.0, "A", "IEC 60947-4-1, 4.3.2"));
    if demand.starting.0 > 0.0 {
        // What the rating carries is to the start as the rating is to the one that the start asks for.
        let asked = rating_for_start(demand, offer, &mut Record::silent());
        let carries = round_to((demand.starting * (offer.ac3_base.0 / asked.0)).0, 6);
        limits.push(Limit::at_most("contactor-short-time", demand.starting.0, carries, "A", "IEC 60947-4-1, Table 8"));
    }
    if demand.class_factor > 1.0 {
        let need = demand.current * demand.class_factor;
        limits.push(Limit::at_most("contactor-class", need.0, rated.0, "A", "trade manuals: √(class/10)"));
    }
    limits
}

/// Factor on an AC-1 rating for the air temperature and altitude at the device; zero outside the tables.
fn thermal_factor(ambient: Celsius, altitude: Metres) -> f64 {
    let heat = contactors::ambient_factor(&mut Record::silent(), contactors::Family::ContactorAc1, ambient).unwrap_or(0.0);
    heat * contactors::altitude_factors(altitude).map_or(0.0, |factors| factors.current)
}

/// AC-3 rating that the start through a contactor asks for: what it carries for the time of Table 8 it carries for any shorter one.
pub fn rating_for_start(demand: &ContactorDemand, offer: &ContactorOffer, record: &mut Record) -> Amperes {
    let withstand = switching::withstand(offer.ac3_base);
    contactors::rating_for_start(record, demand.starting, demand.time.max(withstand.time), withstand)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Seconds;
    use crate::rules::{SwitchingDemand, testing};

    fn demand(category: Category, amperes: f64) -> ContactorDemand {
        testing::contactor(SwitchingDemand {
            category,
            current: Amperes(amperes),
            high_efficiency: None,
            horsepower: None,
            one_conductor: false,
            reference: "IEC 60947-4-1, Table 1",
        })
    }

    fn offer(ac1: f64, ac3: f64) -> ContactorOffer {
        ContactorOffer { ac1: Some(Amperes(ac1)), ac3: Some(Amperes(ac3)), ac3_base: Amperes(ac3), ..ContactorOffer::default() }
    }

    fn holds(demand: &ContactorDemand, offer: &ContactorOffer) -> bool {
        limits(demand, offer).iter().all(Limit::holds)
    }

    /// IEC 60947-4-1, 5.3.4 and 5.4: the utilisation category stands with the rated operational current; contactors are named in the trade
    /// by their AC-3 current (common practice, no source). "32 A" proves 32 A in AC-3 and, which is lighter, in AC-1; beyond that nothing,
    /// though the same contactor may carry more in AC-1. For a resistive load "32 A" is the AC-1 current and says nothing of AC-3.
    #[test]
    fn a_bare_rating_is_that_of_the_duty_and_proves_no_more() {
        let motor = demand(Category::Ac3, 32.0);
        let [sure, most] = offers_of_rating(Amperes(32.0), &motor);
        assert!(holds(&motor, &sure) && holds(&demand(Category::Ac1, 32.0), &sure));
        assert!(!holds(&demand(Category::Ac3, 33.0), &sure) && !holds(&demand(Category::Ac1, 33.0), &sure));
        assert!(!holds(&demand(Category::Ac4, 1.0), &sure), "AC-4 is heavier than AC-3 and not said");
        // The most that it may mean: any AC-1 current, but no more than that in AC-3 and AC-4.
        assert!(holds(&demand(Category::Ac1, 50.0), &most) && holds(&demand(Category::Ac4, 32.0), &most));
        assert!(!holds(&demand(Category::Ac3, 33.0), &most) && !holds(&demand(Category::Ac4, 33.0), &most));
        let heater = demand(Category::Ac1, 32.0);
        for offer in offers_of_rating(Amperes(32.0), &heater) {
            assert!(holds(&heater, &offer) && !holds(&demand(Category::Ac1, 33.0), &offer));
            assert!(!holds(&motor, &offer), "an AC-1 rating is none for a motor");
        }
    }

    /// IEC 60947-4-1, Table 8: 8 times the rated current for 10 s, at constant I²t 8/√4 = 4 times for 40 s.
    #[test]
    fn the_start_is_carried_for_its_time() {
        let of = |multiple: f64, seconds: f64| {
            let demand =
                ContactorDemand { starting: Amperes(32.0 * multiple), time: Seconds(seconds), ..demand(Category::Ac3, 32.0) };
            holds(&demand, &offer(50.0, 32.0))
        };
        assert!(of(8.0, 10.0) && !of(8.1, 10.0));
        assert!(of(4.0, 40.0) && !of(4.1, 40.0));
    }

    /// A rating of reduced life is none for a motor unless the project wants it (declaration of the catalogue).
    #[test]
    fn a_reduced_life_rating_counts_where_it_is_wanted() {
        let reduced = ContactorOffer { reduced_life: true, ..offer(50.0, 32.0) };
        let motor = demand(Category::Ac3, 30.0);
        assert!(!holds(&motor, &reduced) && holds(&ContactorDemand { reduced_life: true, ..motor }, &reduced));
        assert!(holds(&demand(Category::Ac1, 45.0), &reduced));
    }

    /// IEC 60947-4-1, Table 1: AC-3e is a category of its own, with a rating of its own; that of AC-3 says nothing of it. Where the
    /// catalogue declares neither AC-3e nor that the AC-3 rating suits, an AC-3 rating larger by k/7.2 stands in (rule of this program).
    #[test]
    fn a_high_efficiency_motor_is_held_against_the_ac_3e_rating_where_one_is_declared() {
        let mut motor = demand(Category::Ac3, 30.0);
        let bare = offer(50.0, 32.0);
        assert!(holds(&motor, &bare));
        motor.switching.high_efficiency = Some(switching::high_efficiency_factor(&mut Record::silent(), Some(8.0)));
        assert!(!holds(&motor, &bare), "30 A · 8/7.2 = 33.3 A");
        assert!(holds(&motor, &ContactorOffer { suits_high_efficiency: true, ..bare }));
        assert!(!holds(&motor, &ContactorOffer { reduced_life: true, ..bare }));
        let declared = |ac3e| ContactorOffer { ac3e: Some(Amperes(ac3e)), suits_high_efficiency: true, ..bare };
        assert!(holds(&motor, &declared(30.0)) && !holds(&motor, &declared(29.0)));
    }

    /// Slow classes: √(20/10) = 1.414 times 22 A are 31.1 A, times 23 A 32.5 A (trade manuals, √(class/10)).
    #[test]
    fn a_slow_class_asks_for_a_larger_contactor() {
        let slow = |amperes| ContactorDemand { class_factor: 2f64.sqrt(), ..demand(Category::Ac3, amperes) };
        assert!(holds(&slow(22.0), &offer(50.0, 32.0)) && !holds(&slow(23.0), &offer(50.0, 32.0)));
    }
}
