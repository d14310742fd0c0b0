//! Contactors: the roles that the method asks for, the current of each, a rating that holds it, the coil, frames of partners.

use crate::catalogue::{Category, Contactor as Row};
use crate::design::Contactor;
use crate::finding::codes;
use crate::load::{EfficiencyClass, Method};
use crate::quantity::{Amperes, Seconds, fits};
use crate::record::Record;
use crate::rules::physics::devices::device_figure;
use crate::rules::physics::starting::practice;
use crate::rules::{ContactorDemand, ContactorOffer, HorsepowerUse, SwitchingDemand};
use crate::verify::facts::Facts;
use crate::verify::methods::{Of, Role};
use crate::verify::{Disagreements, same};

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let roles = facts.roles();
    let named: Vec<&str> = facts.circuit.contactors.iter().map(|contactor| contactor.role.as_str()).collect();
    let wanted: Vec<&str> = roles.iter().map(|role| role.name).collect();
    found.unless(named == wanted, &codes::V202_ROLES, || {
        format!("its contactors are {named:?}; {} asks for {wanted:?}", facts.start.method.word())
    });
    for chosen in &facts.circuit.contactors {
        let Some(role) = roles.iter().find(|role| role.name == chosen.role) else { continue };
        contactor(facts, chosen, role, found);
    }
    for (one, other) in facts.starter.apart {
        let frame = |name: &str| {
            facts.circuit.contactors.iter().find(|contactor| contactor.role == name).map(|contactor| contactor.frame.as_str())
        };
        let (Some(a), Some(b)) = (frame(one), frame(other)) else { continue };
        found.unless(a == b || a.is_empty() || b.is_empty(), &codes::V206_PAIR, || {
            format!("{one} and {other} must never be closed together, but stand in frames {a} and {b}, which no interlock joins")
        });
    }
    directions(facts, found);
}

/// Both directions carry the same current in the same duty: their contactors are alike (common practice, no source).
fn directions(facts: &Facts<'_>, found: &mut Disagreements) {
    let of = |name: &str| facts.circuit.contactors.iter().find(|contactor| contactor.role == name);
    let (Some(forward), Some(reverse)) = (of("forward"), of("reverse")) else { return };
    let asked = same(forward.current_a, reverse.current_a) && forward.category == reverse.category;
    found.unless(!asked || forward.part == reverse.part, &codes::V206_PAIR, || {
        format!("forward is {}, reverse {}, for one current in one duty", forward.part, reverse.part)
    });
}

fn contactor(facts: &Facts<'_>, contactor: &Contactor, role: &Role, found: &mut Disagreements) {
    let name = role.name;
    if let Some(factor) = role.part.factor(facts.tap()) {
        let current = factor * facts.current(role.of);
        found.unless(same(current, contactor.current_a), &codes::V203_ROLE_CURRENT, || {
            format!("{name} carries {current:.4} A; the circuit says {} A", contactor.current_a)
        });
    }
    let factor = role.part.factor(facts.tap()).unwrap_or(1.0);
    let (machine, start) = (&facts.machine, &facts.start);
    let switching = facts.book.switching(role.duty, Amperes(contactor.current_a), factor, machine, start, &mut Record::silent());
    found.unless(switching.category.name() == contactor.category, &codes::V208_CATEGORY, || {
        format!("{name} switches in {}; the circuit says {}", switching.category.name(), contactor.category)
    });
    let inched =
        facts.start.inching > 0.0 && matches!(contactor.category.as_str(), "AC-3" | "AC-3e") && !contactor.part.is_empty();
    let tells = if facts.start.behind_electronics() {
        [codes::C236_INCHED_SOFTLY; 2]
    } else {
        [codes::C231_INCHED_IN_AC_3, codes::C235_INCHING_NOT_JUDGED]
    };
    let inching_told = facts.start.by_drive_alone() || tells.iter().any(|code| facts.told(code.code));
    found.unless(!inched || inching_told, &codes::V208_CATEGORY, || {
        format!("{name} switches a motor that is inched in {}, untold", contactor.category)
    });
    // Where the catalogue holds none, a finding of its own says so.
    if contactor.part.is_empty() {
        found.unless(contactor.frame.is_empty() && contactor.rated_a == 0.0, &codes::V204_CONTACTOR, || {
            format!("{name} has no contactor, yet a frame or a rating")
        });
        return;
    }
    let Some((row, coil)) = facts.shelf.contactor(&contactor.part) else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{name} is {}, which is no contactor of the catalogue", contactor.part));
        return;
    };
    found.unless(row.frame == contactor.frame, &codes::V204_CONTACTOR, || {
        format!("{} is of frame {}; the circuit says {}", contactor.part, row.frame, contactor.frame)
    });
    coil_agrees(facts, contactor, row, coil, found);
    rating_agrees(facts, contactor, role, row, switching, found);
    if role.of == Of::Rotor {
        rotor_voltage(facts, contactor, row, found);
    }
    if row.reduced_life {
        let high_efficiency = facts.machine.class.is_some_and(|class| class >= EfficiencyClass::Ie3);
        let resistive = matches!(contactor.category.as_str(), "AC-1" | "AC-7a" | "continuous" | "horsepower");
        let often = facts.start.per_hour.is_some_and(|per_hour| per_hour > device_figure("reduced-life-starts-most"));
        found.unless(resistive || !(high_efficiency || often || facts.start.inching > 0.0), &codes::V207_REDUCED_LIFE, || {
            format!("{name}: {} is a rating of reduced life, which this duty does not admit", contactor.part)
        });
    }
}

/// At standstill the slip rings stand at the rotor voltage: up to the contactor's own it is in order, up to a multiple of that it must be
/// told, unless the motor is braked electrically, and beyond it nothing is (common practice, no source).
fn rotor_voltage(facts: &Facts<'_>, contactor: &Contactor, row: &Row, found: &mut Disagreements) {
    let Some(rotor) = facts.machine.rotor_voltage.map(|volts| volts.0) else { return };
    let rated = row.max_voltage_v * facts.book.voltage_factor(facts.surroundings().1);
    let brakes = matches!(facts.start.duty, 5 | 7) || facts.start.inching > 0.0;
    let most = rated * practice("rotor-voltage-multiple").unwrap_or(1.0);
    let so = fits(rotor, rated) || !brakes && fits(rotor, most) && facts.told(codes::C330_ROTOR_VOLTAGE.code);
    found.unless(so, &codes::V204_CONTACTOR, || {
        format!(
            "{} of {} V stands in a rotor circuit of {rotor} V, untold or beyond what is taken",
            contactor.part, row.max_voltage_v
        )
    });
}

/// The coil stands in the part number, is one of the control voltage, and the contactor is made with it.
fn coil_agrees(
    facts: &Facts<'_>,
    contactor: &Contactor,
    row: &Row,
    coil: Option<&crate::catalogue::Coil>,
    found: &mut Disagreements,
) {
    let Some(control) = &facts.circuit.control else {
        found.say(&codes::V205_COIL, format!("{} has a coil, but the circuit has no control circuit", contactor.part));
        return;
    };
    let known = facts.shelf.catalogue.coils.iter().any(|coil| words(coil) == control.coil_voltage);
    match coil {
        Some(coil) => {
            found.unless(words(coil) == control.coil_voltage, &codes::V205_COIL, || {
                format!("{} has a coil for {}; the control voltage is {}", contactor.part, words(coil), control.coil_voltage)
            });
            let suppressed = if coil.dc { row.dc_suppression_built_in } else { row.ac_suppression_built_in };
            found.unless(suppressed == contactor.suppression_built_in, &codes::V204_CONTACTOR, || {
                format!("{}: whether its coil brings its suppression is not as the catalogue says", contactor.part)
            });
        }
        // A range that makes no coil for direct current has no number for one.
        None => found.unless(
            !known || control.coil_voltage.ends_with("DC") && row.coil_dc_hold_w.is_none(),
            &codes::V205_COIL,
            || format!("{} is named without its coil", contactor.part),
        ),
    }
}

/// A coil's voltage, as a control voltage is written.
pub(super) fn words(coil: &crate::catalogue::Coil) -> String {
    format!("{} V {}", coil.volts, if coil.dc { "DC" } else { "AC" })
}

/// The rating is what the catalogue and the book give for the duty, and every limit of the book is kept.
fn rating_agrees(
    facts: &Facts<'_>,
    contactor: &Contactor,
    role: &Role,
    row: &Row,
    switching: SwitchingDemand,
    found: &mut Disagreements,
) {
    let linked = poles(facts, contactor, row, &switching, found);
    let demand = demand(facts, Amperes(contactor.current_a), role, switching);
    let offer = offer(facts, row, linked);
    let rated = facts.book.contactor_rating(&demand, &offer);
    // The inrush of a capacitor depends on the fault current, which the circuit keeps rounded.
    let near = contactor.category == "AC-6b" && (rated.0 - contactor.rated_a).abs() <= 1e-3 * contactor.rated_a;
    found.unless(near || same(rated.0, contactor.rated_a), &codes::V204_CONTACTOR, || {
        format!(
            "{} is rated {:.2} A in {} here; the circuit says {} A",
            contactor.part, rated.0, contactor.category, contactor.rated_a
        )
    });
    for limit in facts.book.contactor_limits(&demand, &offer).iter().filter(|limit| !limit.holds()) {
        let (value, most, unit) = (limit.value, limit.limit, limit.unit);
        let failed = |check: &crate::design::Check| check.name == limit.name && check.passed == Some(false);
        // A limit that the circuit itself calls failed is told already.
        found.unless(facts.circuit.checks.iter().any(failed), &codes::V209_CONTACTOR_TOO_SMALL, || {
            format!("{}: {} against {value:.2} {unit}, {} holds {most:.2} {unit}", role.name, limit.name, contactor.part)
        });
    }
    // What stands before a drive is closed once and stays so while the drive starts the motor.
    let by_drive = facts.start.method == Method::Drive && !facts.start.bypass;
    if let (Some(per_hour), Some(most)) = (facts.start.per_hour.filter(|_| !by_drive), per_hour(row, &contactor.category)) {
        found.unless(crate::quantity::fits(per_hour, most), &codes::V209_CONTACTOR_TOO_SMALL, || {
            format!("{}: {per_hour} starts an hour; {} is made for {most}", role.name, contactor.part)
        });
    }
}

fn per_hour(row: &Row, category: &str) -> Option<f64> {
    Some(match category {
        "AC-1" | "AC-7a" => row.per_hour_ac1,
        "AC-4" => row.per_hour_ac4,
        _ => row.per_hour_ac3,
    })
}

/// Factor of poles that are linked; only where all may stand in one conductor, and only with a link of the frame.
fn poles(facts: &Facts<'_>, contactor: &Contactor, row: &Row, switching: &SwitchingDemand, found: &mut Disagreements) -> f64 {
    if contactor.poles_in_parallel <= 1 {
        return 1.0;
    }
    let link = facts.shelf.catalogue.accessories_for("paralleling-link", &row.frame);
    let factor = link.filter(|link| link.poles == Some(contactor.poles_in_parallel)).find_map(|link| link.factor);
    found.unless(switching.one_conductor && factor.is_some(), &codes::V204_CONTACTOR, || {
        format!(
            "{} has {} poles in parallel, which this circuit or its frame does not admit",
            contactor.part, contactor.poles_in_parallel
        )
    });
    factor.unwrap_or(1.0)
}

fn demand(facts: &Facts<'_>, current: Amperes, role: &Role, switching: SwitchingDemand) -> ContactorDemand {
    let class = facts
        .circuit
        .overloads
        .iter()
        .find(|overload| !overload.part.is_empty())
        .map_or("10", |overload| overload.trip_class.as_str());
    let (ambient, altitude) = facts.surroundings();
    ContactorDemand {
        current,
        switching,
        // How long the start lasts is not known here; what it asks is held by the circuit's own check.
        starting: Amperes(0.0),
        time: Seconds(0.0),
        class_factor: if role.until_trip { facts.book.class_factor(class) } else { 1.0 },
        fault_max: facts.fault().map(Amperes),
        reduced_life: facts.basis.catalogue.reduced_life_contactors.as_deref() == Some("where-suitable"),
        ambient,
        altitude,
    }
}

fn offer(facts: &Facts<'_>, row: &Row, linked: f64) -> ContactorOffer {
    // In thin air the insulation holds less, so ratings are those of a higher voltage.
    let volts = facts.volts() / facts.book.voltage_factor(facts.surroundings().1);
    let rated = |category: Category| row.rating(category, volts).map(Amperes);
    let thermal = linked * row.close_mounting_pct.unwrap_or(100.0) / 100.0;
    let horsepower = |use_of: HorsepowerUse| row.horsepower(use_of, facts.machine.phases, facts.volts());
    ContactorOffer {
        ac1: rated(Category::Ac1).map(|rated| rated * thermal),
        ac3: rated(Category::Ac3),
        ac3e: rated(Category::Ac3e),
        ac4: rated(Category::Ac4),
        ac6b: rated(Category::Ac6b),
        ac7a: rated(Category::Ac7a).map(|rated| rated * thermal),
        ac7b: rated(Category::Ac7b),
        ac8b: rated(Category::Ac8b),
        ac3_base: Amperes(row.load_rating_a()),
        suits_high_efficiency: row.suits_ie3,
        reduced_life: row.reduced_life,
        horsepower: [
            horsepower(HorsepowerUse::FullVoltage),
            horsepower(HorsepowerUse::Jogging),
            horsepower(HorsepowerUse::WyeDelta),
            horsepower(HorsepowerUse::PartWinding),
        ],
        continuous: row.continuous_a.map(Amperes),
        nema: row.is_nema(),
    }
}
