//! Neutrals of three-phase loads: what nobody states of their third harmonics is said.

use crate::finding::{Finding, codes};
use crate::load::{Case, LoadKind, Origin};
use crate::rules::units::Units;

/// A note where the third-harmonic current of a three-phase load with a neutral is not stated; none for motors, which have no current in
/// the neutral, and heaters, whose current follows the voltage.
pub(super) fn third_harmonics_unstated(case: &Case, units: Units) -> Option<Finding> {
    let machine = &case.machine;
    let stated = machine.third_harmonic.is_some_and(|known| known.origin == Origin::Cell);
    let loaded = machine.phases == 3 && machine.neutral && !matches!(machine.kind, LoadKind::Motor | LoadKind::Heater);
    (loaded && !stated).then(|| {
        let what = match machine.third_harmonic {
            Some(taken) => units.pick(
                format!("third harmonics in the neutral are not stated; {} % of the current is taken, as of electronic lighting", percent(taken.value)),
                "harmonics in the neutral are not stated; as of electronic lighting it is taken as a current-carrying conductor".to_owned(),
            ),
            None => units.pick(
                "third harmonics in the neutral are not stated; at most 15 % of the current is taken, which loads no fourth conductor",
                "harmonics in the neutral are not stated; it is not taken as a current-carrying conductor",
            )
            .to_owned(),
        };
        Finding::new(&codes::C612_THIRD_HARMONICS, what)
            .at(case.place.clone())
            .why("third harmonics of three phases add up in the neutral and heat the conductors beside it")
            .cure("write third_harmonic_pct from the equipment's data; above a third the neutral decides on the size")
            .reference(units.pick("IEC 60364-5-52, 523.6.3 and Annex E", "NFPA 70, 310.15(E)(3); 310.15(B)(5)(c) in 2017"))
    })
}

fn percent(share: f64) -> f64 {
    (share * 100.0).round()
}
