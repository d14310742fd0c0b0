//! Air and height in which motors do not give what their nameplates say: told once, because devices and cables are corrected for them and a
//! reader may take the motors to be so too.

use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::load::{Field, Load, LoadKind};
use crate::quantity::fits;
use crate::record::significant;
use crate::rules::RuleBook;
use crate::rules::physics::plausibility::plausible;
use crate::rules::units::Units;
use crate::sizing::resolve::kind_of;

/// Motors of a schedule in hotter or thinner air than their nameplates hold to.
#[must_use]
pub fn of_motors(loads: &[Load], basis: &Basis, book: &dyn RuleBook) -> Option<Finding> {
    let units = Units::of(book.key());
    let motors = || loads.iter().filter(|load| kind_of(load) == LoadKind::Motor);
    let air = |load: &Load| load.number(Field::AmbientC).or(basis.design.ambient_c);
    let is_hot = |air: f64| !fits(air, plausible("motor-air-most-c"));
    let hottest = motors().filter_map(air).filter(|air| is_hot(*air)).reduce(f64::max);
    let highest = basis.design.altitude_m.filter(|metres| !fits(*metres, plausible("motor-altitude-most-m")));
    let in_air = hottest.map(|air| format!("in air of up to {}", units.temperature(air)));
    let above = highest.filter(|_| motors().next().is_some());
    let above = above.map(|metres| format!("at {} {}", significant(units.length(metres), 4), units.length_unit()));
    let surroundings: Vec<String> = in_air.into_iter().chain(above).collect();
    if surroundings.is_empty() {
        return None;
    }
    let holds_to = format!(
        "{} and {} {}",
        units.temperature(plausible("motor-air-most-c")),
        significant(units.length(plausible("motor-altitude-most-m")), 4),
        units.length_unit()
    );
    let what = format!("motors {}: their nameplates hold to {holds_to}, unless they say otherwise", surroundings.join(", "));
    Some(
        Finding::new(&codes::L352_MOTORS_IN_HEAT, what)
            .why("drives, soft starters, contactors and cables are corrected for it, the motors' own output is not")
            .cure("have the motors' maker confirm the rated output there, or the nameplates that hold for it")
            .reference(units.pick("IEC 60034-1, 6", "NEMA MG 1, Part 14")),
    )
}
