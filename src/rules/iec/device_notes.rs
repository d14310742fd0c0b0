//! What a device must be able to do by the earthing of its system. No family of the catalogue declares it; a person has to confirm it.

use crate::finding::{Finding, codes};
use crate::load::wires;
use crate::record::significant;
use crate::rules::{DeviceAsk, DevicePlace, DeviceSort};

/// All that is to be said of a device.
pub(super) fn about(ask: &DeviceAsk<'_>) -> Vec<Finding> {
    one_pole_alone(ask).into_iter().collect()
}

/// In an IT system a second fault to earth, in another phase and on the other side of the device, lets one pole break the current at the
/// voltage between lines. Circuit-breakers are tested for that by themselves; those that are not bear a mark, and fuse-links of that rated
/// voltage are.
fn one_pole_alone(ask: &DeviceAsk<'_>) -> Option<Finding> {
    let is_it = ask.earthing.is_some_and(wires::is_it);
    if !is_it || ask.sort == DeviceSort::Switch {
        return None;
    }
    let volts = significant(ask.line.0, 4);
    let place = match ask.place {
        DevicePlace::Branch(_) => "",
        DevicePlace::Feeder => " of the feeder",
        DevicePlace::Head => " at the head of the board",
    };
    let (what, cure) = match ask.sort {
        DeviceSort::Breaker => (
            format!(
                "a circuit-breaker{place} in an IT system: each pole must break a second fault to earth alone, at {volts} V; the catalogue does not say that this one does"
            ),
            "confirm with its maker that it is tested for IT systems at this voltage (no crossed-out IT on its plate) and that its single-pole breaking capacity covers the current of the two faults; else take fuses rated for the voltage between lines",
        ),
        _ if ask.rated_voltage.is_some_and(|rated| ask.line.fits(rated)) => return None,
        _ if ask.rated_voltage.is_none() => (
            format!(
                "fuses{place} in an IT system: each link must break a second fault to earth alone, at {volts} V; none is chosen whose rated voltage would say so"
            ),
            "order fuse-links rated for the voltage between lines",
        ),
        _ => (
            format!(
                "fuses{place} in an IT system: each link must break a second fault to earth alone, at {volts} V, which its rated voltage does not reach"
            ),
            "take fuse-links rated for the voltage between lines",
        ),
    };
    Some(
        Finding::new(&codes::R109_POLE_ALONE, what)
            .why("the second fault may lie in another phase before the device, so that no other pole helps to break the current")
            .cure(cure)
            .reference("IEC 60947-2, Annex H; IEC 60364-4-43, 431.2.2 and 434.5.1 (recalled)"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Amperes, Volts};

    /// IEC 60947-2, Annex H: circuit-breakers for IT systems, one pole at the voltage between phases. A switch breaks no short circuit, and
    /// in TN and TT systems the star point gives a fault to earth the voltage of one phase alone.
    #[test]
    fn a_breaker_of_an_it_system_breaks_the_second_fault_with_one_pole() {
        let device = |sort, earthing, rated| DeviceAsk {
            place: DevicePlace::Feeder,
            sort,
            rating: Amperes(16.0),
            line: Volts(400.0),
            three_phase: true,
            system: None,
            earthing,
            rated_voltage: rated,
        };
        let told = |ask: &DeviceAsk<'_>| about(ask).first().map(|finding| finding.what.clone());
        let breaker = told(&device(DeviceSort::Breaker, Some("IT"), None)).expect("it is told");
        assert!(breaker.contains("at 400 V") && breaker.contains("each pole"), "{breaker}");
        assert!(told(&device(DeviceSort::Fuses, Some("it"), Some(Volts(400.0)))).is_none());
        let short = told(&device(DeviceSort::Fuses, Some("IT"), Some(Volts(230.0)))).expect("it is told");
        assert!(short.contains("does not reach"), "{short}");
        // Of links that nobody chose nobody knows the rated voltage: it is asked for, and nothing is said of it.
        let open = told(&device(DeviceSort::Fuses, Some("IT"), None)).expect("it is told");
        assert!(open.contains("none is chosen") && !open.contains("does not reach"), "{open}");
        assert!(told(&device(DeviceSort::Switch, Some("IT"), None)).is_none());
        for earthing in [Some("TN-S"), Some("TT"), None] {
            assert!(told(&device(DeviceSort::Breaker, earthing, None)).is_none(), "{earthing:?}");
        }
    }
}
