//! Duties that come with the rating of a device: lighting outlets, arc energy, ground-fault protection of equipment. None of it changes the
//! choice; a person has to see to it.

use crate::finding::{Finding, codes};
use crate::load::LoadKind;
use crate::quantity::{Amperes, fits};
use crate::record::significant;
use crate::rules::nec::figures::figure;
use crate::rules::nec::standard_ratings::lighting_ratings;
use crate::rules::nec::{Edition, rating};
use crate::rules::{DeviceAsk, DevicePlace, DeviceSort};

/// All that is to be said of a device.
pub(super) fn about(edition: Edition, ask: &DeviceAsk<'_>) -> Vec<Finding> {
    [lighting(edition, ask), heating_elements(ask), arc_energy(ask), ground_fault(ask)].into_iter().flatten().collect()
}

fn shown(rating: Amperes) -> String {
    format!("{} A", significant(rating.0, 6))
}

/// 210.18, 210.21(A), 210.23: ratings of circuits with several outlets, and what they may supply above 20 A.
fn lighting(edition: Edition, ask: &DeviceAsk<'_>) -> Option<Finding> {
    if !matches!(ask.place, DevicePlace::Branch(machine) if machine.kind == LoadKind::Lighting) {
        return None;
    }
    let ratings = if edition == Edition::E2017 { "210.3" } else { "210.18" };
    let found = |what: String, cure: &str| {
        let why = "lampholders, luminaires and their taps are made for circuits of such ratings";
        let reference = format!("NFPA 70, {ratings}, 210.21(A), 210.23");
        Some(Finding::new(&codes::R225_LIGHTING_CIRCUIT, what).why(why).cure(cure).reference(reference))
    };
    if !lighting_ratings(edition).any(|lighting_rating| lighting_rating.fits(ask.rating) && ask.rating.fits(lighting_rating)) {
        let largest = lighting_ratings(edition).last().unwrap_or_default();
        return found(
            format!(
                "lighting on one branch circuit of {}, which is no rating of a circuit with several outlets; the largest is {}",
                shown(ask.rating),
                shown(largest)
            ),
            "divide the lighting into circuits of 20 A; enter what feeds a lighting panel as load_kind other",
        );
    }
    if fits(ask.rating.0, figure("heavy-duty-lampholders-above-a")) {
        return None;
    }
    found(
        format!(
            "lighting on a branch circuit of {}: its lampholders must be heavy-duty, or its luminaires without any",
            shown(ask.rating)
        ),
        "confirm it with the luminaires, or divide the lighting into circuits of 20 A",
    )
}

/// 424.22(B): resistance elements of fixed space heating are subdivided, and each part is protected by itself. That belongs to the heater.
fn heating_elements(ask: &DeviceAsk<'_>) -> Option<Finding> {
    let is_heater = matches!(ask.place, DevicePlace::Branch(machine) if machine.kind == LoadKind::Heater);
    let (load, device) = (figure("heater-part-a"), figure("heater-part-device-a"));
    if !is_heater || fits(ask.rating.0, device) {
        return None;
    }
    let what = format!(
        "a heater behind a device of {}: its elements are to be parted into loads of not more than {load} A",
        shown(ask.rating)
    );
    Some(
        Finding::new(&codes::R228_HEATING_ELEMENTS, what)
            .why(format!("each part of a space heater has a device of its own of not more than {device} A; none is chosen here"))
            .cure("see that the heater is supplied with its subdivision and these devices; industrial process heaters have clauses of their own (425)")
            .reference("NFPA 70, 424.22(B)"),
    )
}

/// 240.87 for circuit-breakers, 240.67 for fuses.
fn arc_energy(ask: &DeviceAsk<'_>) -> Option<Finding> {
    if !fits(figure("arc-energy-from-a"), ask.rating.0) {
        return None;
    }
    let (device, reference) = match ask.sort {
        DeviceSort::Fuses => ("fuses", "NFPA 70, 240.67"),
        DeviceSort::Breaker => ("a circuit breaker", "NFPA 70, 240.87"),
        // Its fuses, or what else opens for the fault, stand before it.
        DeviceSort::Switch => return None,
    };
    let what = format!(
        "{device} of {}: a means to reduce the energy of an arcing fault is to be provided; none is chosen here",
        shown(ask.rating)
    );
    Some(
        Finding::new(&codes::R226_ARC_ENERGY, what)
            .why("somebody may work on the equipment while it is energized")
            .cure("specify one of the means that the clause lists, with its settings and its documentation, when the device is ordered")
            .reference(reference),
    )
}

/// 210.13, 215.10 and 230.95: solidly grounded wye systems above 150 V to ground. A system that nobody states may be one. At the head of a
/// board, which may be that of a service, a person decides before it is bought.
fn ground_fault(ask: &DeviceAsk<'_>) -> Option<Finding> {
    let to_ground = ask.line.0 / 3f64.sqrt();
    let of_voltage = !fits(to_ground, figure("ground-fault-above-v")) && fits(ask.line.0, figure("ground-fault-to-v"));
    let grounded = ask.system.and_then(rating::grounded);
    let large = fits(figure("ground-fault-from-a"), ask.rating.0);
    if !(large && ask.three_phase && of_voltage) || grounded == Some(false) {
        return None;
    }
    let (code, device, reference) = match ask.place {
        DevicePlace::Branch(_) => (&codes::R227_GROUND_FAULT, "a disconnecting means of", "NFPA 70, 210.13; 230.95 at a service"),
        DevicePlace::Feeder => {
            (&codes::R227_GROUND_FAULT, "the disconnecting means of the feeder,", "NFPA 70, 215.10; 230.95 at a service")
        }
        DevicePlace::Head => {
            (&codes::B337_INCOMING_GROUND_FAULT, "the main disconnecting means,", "NFPA 70, 230.95 at a service; 215.10")
        }
    };
    let what = format!(
        "{device} {}{}: its equipment is to be protected against ground faults; no such protection is chosen here",
        shown(ask.rating),
        if grounded == Some(true) { " on a solidly grounded system" } else { ", if the system is a solidly grounded wye" }
    );
    Some(
        Finding::new(code, what)
            .why("an arcing fault to ground may draw too little for the device to open")
            .cure("specify it with the device, coordinate it with what stands behind, or show which exception holds: a process whose disorderly shutdown is more dangerous, or protection on the side of the supply")
            .reference(reference),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::testing::{horsepower, machine};
    use crate::quantity::Volts;

    fn told(ask: &DeviceAsk<'_>) -> Vec<String> {
        about(Edition::E2023, ask).into_iter().map(|finding| finding.code).collect()
    }

    fn device<'a>(rating: f64, line: f64, system: Option<&'a str>) -> DeviceAsk<'a> {
        DeviceAsk {
            place: DevicePlace::Feeder,
            sort: DeviceSort::Breaker,
            rating: Amperes(rating),
            line: Volts(line),
            three_phase: true,
            system,
            earthing: None,
            rated_voltage: None,
        }
    }

    /// NFPA 70, 240.87 and 240.67: from 1200 A; 215.10: from 1000 A on solidly grounded wye systems of more than 150 V to ground and not
    /// more than 1000 V between phases (from memory).
    #[test]
    fn large_devices_bring_arc_energy_and_ground_fault_protection_with_them() {
        let wye = Some("480Y/277 4W solidly grounded");
        assert_eq!(told(&device(1200.0, 480.0, wye)), ["R226", "R227"]);
        assert_eq!(told(&device(1000.0, 480.0, wye)), ["R227"]);
        assert_eq!(told(&device(800.0, 480.0, wye)), [""; 0]);
        assert_eq!(told(&device(1000.0, 208.0, Some("208Y/120 4W"))), [""; 0]);
        assert_eq!(told(&device(1000.0, 480.0, Some("480 delta ungrounded"))), [""; 0]);
        assert_eq!(told(&device(1000.0, 480.0, None)), ["R227"]);
        let fuses = about(Edition::E2023, &DeviceAsk { sort: DeviceSort::Fuses, ..device(1200.0, 208.0, None) });
        assert!(fuses[0].reference.contains("240.67"));
        let motor = horsepower(500.0, 460.0);
        let branch = about(Edition::E2023, &DeviceAsk { place: DevicePlace::Branch(&motor), ..device(1200.0, 480.0, wye) });
        assert!(branch[1].reference.contains("210.13"));
    }

    /// NFPA 70, 230.95: at the head of a board as where a feeder begins, for a switch as for a circuit breaker; 240.87 is about the latter
    /// alone. 480 V between two lines have no wye, and of 1000 V a wye is covered, of 1200 V none.
    #[test]
    fn a_large_main_is_decided_as_a_feeder_is_and_a_person_decides() {
        let wye = Some("480Y/277 4W solidly grounded");
        let head = |sort, rating, line| DeviceAsk { place: DevicePlace::Head, sort, ..device(rating, line, wye) };
        assert_eq!(told(&head(DeviceSort::Breaker, 1200.0, 480.0)), ["R226", "B337"]);
        assert_eq!(told(&head(DeviceSort::Switch, 1200.0, 480.0)), ["B337"]);
        assert_eq!(told(&head(DeviceSort::Breaker, 1000.0, 480.0)), ["B337"]);
        assert_eq!(told(&head(DeviceSort::Breaker, 800.0, 480.0)), [""; 0]);
        assert_eq!(told(&head(DeviceSort::Switch, 1200.0, 1200.0)), [""; 0]);
        let pair = DeviceAsk { three_phase: false, ..head(DeviceSort::Switch, 1200.0, 480.0) };
        assert_eq!(told(&pair), [""; 0]);
        assert_eq!(told(&DeviceAsk { system: None, ..head(DeviceSort::Switch, 1000.0, 480.0) }), ["B337"]);
        let delta = DeviceAsk { system: Some("480 delta ungrounded"), ..head(DeviceSort::Switch, 1200.0, 480.0) };
        assert_eq!(told(&delta), [""; 0]);
    }

    /// NFPA 70, 424.22(B), from memory: parts of not more than 48 A behind not more than 60 A.
    #[test]
    fn heaters_above_the_device_of_one_part_are_told() {
        let heater = machine(LoadKind::Heater, 480.0, 60.0);
        let of = |rating| told(&DeviceAsk { place: DevicePlace::Branch(&heater), ..device(rating, 480.0, None) });
        assert_eq!(of(60.0), [""; 0]);
        assert_eq!(of(70.0), ["R228"]);
        let motor = horsepower(50.0, 460.0);
        assert_eq!(told(&DeviceAsk { place: DevicePlace::Branch(&motor), ..device(125.0, 480.0, None) }), [""; 0]);
    }

    /// NFPA 70, 210.18 (210.3 in 2017): 15, 20, 30, 40 and 50 A, and 10 A since 2023; 210.21(A): above 20 A heavy-duty lampholders.
    #[test]
    fn lighting_circuits_above_20_a_are_told() {
        let lighting = machine(LoadKind::Lighting, 277.0, 60.0);
        let of = |edition, rating: f64| {
            let found = about(
                edition,
                &DeviceAsk { place: DevicePlace::Branch(&lighting), three_phase: false, ..device(rating, 480.0, None) },
            );
            found.first().map(|finding| finding.what.clone()).unwrap_or_default()
        };
        assert_eq!(of(Edition::E2023, 20.0), "");
        assert!(of(Edition::E2023, 30.0).contains("heavy-duty"));
        for none in [25.0, 35.0, 60.0] {
            assert!(of(Edition::E2023, none).contains("the largest is 50 A"), "{none}");
        }
        assert_eq!(of(Edition::E2023, 10.0), "");
        assert!(of(Edition::E2020, 10.0).contains("no rating"));
    }
}
