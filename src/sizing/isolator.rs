//! The disconnecting means of a circuit: its protective device, and the local isolator.

use crate::design::{Check, Circuit, Disconnect, Part};
use crate::finding::{Finding, codes};
use crate::load::{Case, Method};
use crate::quantity::{Amperes, fits, round_to};
use crate::record::Record;
use crate::rules::physics::devices::device_figure;
use crate::rules::physics::enclosures::{self, is_enclosure};
use crate::rules::units::Units;
use crate::rules::{DisconnectAsk, DisconnectDemand, RatedCurrents};
use crate::sizing::Tools;
use crate::sizing::arrangement::Runs;
use crate::sizing::assembly::{Assembly, Device};
use crate::sizing::judge::{Choice, Verdict, at_most, choose as first, not_checked};
use crate::sizing::prefer::by_price;
use crate::sizing::{sight, terminals};
use crate::supply::SupplyPoint;

/// The disconnecting means, from the currents of one motor: the protective device where every circuit must have one, and a local one where
/// it is wanted. The local one is what the circuit shows; it does not replace that of the controller (430.102(A)).
pub fn describe(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    let mut scratch = Record::silent();
    let place = sight::of_protection(case, assembly);
    let lockable = assembly
        .protection
        .as_ref()
        .is_some_and(|protection| Switch::of(protection.device, case.machine.phases, case.machine.voltage.0).lockable);
    let standing = sight::Standing { place, lockable };
    let in_line = DisconnectAsk { current: assembly.line, before_drive: case.start.method == Method::Drive };
    if tools.book.disconnect(&case.machine, currents, in_line, &mut scratch).always {
        let working = if case.wishes.isolator { &mut scratch } else { &mut *record };
        let demand = tools.book.disconnect(&case.machine, currents, in_line, working);
        by_protection(case, &demand, assembly, place, circuit).into_iter().for_each(|unknown| record.find(unknown));
    }
    let neutral = live_neutral(case, point, tools);
    if let Some(joined) = neutral.and_then(|clause| neutral_joined(case, assembly, point, clause)) {
        record.find(joined);
    }
    if case.wishes.isolator {
        circuit.disconnect = None;
        // Each motor has a switch of its own.
        let current = circuit_current(assembly) / f64::from(case.motors);
        let at_machine = DisconnectAsk { current: Amperes(current), before_drive: false };
        let demand = tools.book.disconnect(&case.machine, currents, at_machine, record);
        local(case, &demand, assembly, neutral, tools, circuit, record);
    }
    for far in sight::out_of_sight(case, standing, tools.book) {
        record.find(far);
    }
}

/// The clause by which the circuit's neutral is parted with its lines; none where it has none or where that may stay joined.
fn live_neutral(case: &Case, point: &SupplyPoint, tools: &Tools<'_>) -> Option<&'static str> {
    tools.book.isolates_neutral(point.earthing.as_deref()).filter(|_| case.machine.neutral)
}

/// The circuit's device opens its lines and leaves a neutral joined that may be live. A miniature circuit-breaker has a pole for the
/// neutral, and of one phase any circuit-breaker has one to spare; a fuse stands in no neutral.
fn neutral_joined(case: &Case, assembly: &Assembly<'_>, point: &SupplyPoint, clause: &'static str) -> Option<Finding> {
    let device = assembly.protection.as_ref()?.device;
    let opens_neutral = match device {
        Device::Line(_) => true,
        Device::Fuse(_) => false,
        Device::Motor(_) | Device::Moulded(_) | Device::Branch(_) => case.machine.phases == 1,
    };
    if opens_neutral {
        return None;
    }
    let what = match point.earthing.as_deref() {
        Some(system) => format!(
            "in the {} system the neutral may be live, and {} of the circuit does not open it",
            system.trim(),
            device.part()
        ),
        None => format!(
            "nobody states the earthing of the system: the neutral may be live, and {} of the circuit does not open it",
            device.part()
        ),
    };
    Some(
        Finding::new(&codes::C531_NEUTRAL_JOINED, what)
            .at(case.place.clone())
            .why("whoever opens the circuit to work on it works on a neutral that may be at the voltage of a phase")
            .cure("put a switch or circuit-breaker of all poles before the circuit, or decide that one before the board isolates its circuits together; state the earthing where it is TN")
            .reference(clause),
    )
}

/// A device that may serve as a disconnecting means.
struct Switch<'a> {
    part: &'a str,
    rated: f64,
    horsepower: Option<f64>,
    lockable: bool,
    /// Poles of a switch at the machine.
    poles: Option<u32>,
    max_fuse_a: Option<f64>,
    /// Its own enclosure; empty where it stands in that of the controller.
    enclosure: &'a str,
}

impl<'a> Switch<'a> {
    /// The protective device, or the switch that holds its fuses.
    fn of(device: Device<'a>, phases: u32, volts: f64) -> Self {
        // Families that say nothing of a lock are not called lockable.
        let (rated, horsepower, lockable) = match device {
            Device::Motor(breaker) => (breaker.range_max_a, None, false),
            Device::Moulded(breaker) => (breaker.rating_a, None, false),
            Device::Line(breaker) => (breaker.rating_a, None, false),
            Device::Branch(breaker) => (breaker.rating_a, None, breaker.lockable),
            Device::Fuse(fuse) => {
                let horsepower = fuse.switch_horsepower(phases, volts);
                (fuse.switch_rating_a.unwrap_or(fuse.rating_a), horsepower, fuse.switch_lockable.unwrap_or(false))
            }
        };
        // The switch holds the fuses and is what opens.
        let part = if let Device::Fuse(fuse) = device { fuse.base_part.as_str() } else { device.part() };
        Self { part, rated, horsepower, lockable, poles: None, max_fuse_a: None, enclosure: "" }
    }

    fn describe(&self, kind: &str, demand: &DisconnectDemand, location: &str) -> Disconnect {
        // A circuit-breaker has no horsepower rating, and needs none (430.109(A)(2)).
        let rated_otherwise = demand.horsepower.is_some() && self.horsepower.is_none();
        Disconnect {
            kind: kind.to_owned(),
            category: if rated_otherwise { String::new() } else { demand.category.to_owned() },
            rating_a: Some(self.rated),
            rating_hp: self.horsepower,
            location: location.to_owned(),
            lockable: self.lockable,
            poles: self.poles,
            part: self.part.to_owned(),
            count: 1,
            enclosure: self.enclosure.to_owned(),
        }
    }
}

fn switches<'a>(case: &Case, poles: u32, tools: &Tools<'a>) -> Vec<Switch<'a>> {
    let volts = case.machine.voltage.0;
    let of_poles = tools.catalogue.isolators.iter().filter(|isolator| isolator.poles == poles);
    let isolators = of_poles.filter_map(|isolator| {
        Some(Switch {
            part: &isolator.part,
            rated: isolator.rated(volts)?,
            horsepower: None,
            lockable: isolator.lockable,
            poles: Some(isolator.poles),
            max_fuse_a: Some(isolator.max_fuse_a),
            enclosure: &isolator.enclosure,
        })
    });
    // Six leads are parted by six poles: a switch of three would leave one end of each winding on the line. A fourth opens the neutral.
    let at_least = match (poles, case.machine.phases) {
        (4 | 6, _) => poles,
        (_, 3) => 3,
        _ => 2,
    };
    let disconnects =
        tools.catalogue.disconnects_of(at_least).filter(|disconnect| volts <= disconnect.max_voltage_v).map(|disconnect| {
            Switch {
                part: &disconnect.part,
                rated: disconnect.rating_a,
                horsepower: disconnect.horsepower(case.machine.phases, volts),
                lockable: disconnect.lockable,
                poles: Some(disconnect.poles),
                max_fuse_a: None,
                enclosure: &disconnect.enclosure,
            }
        });
    isolators.chain(disconnects).collect()
}

/// Enclosures that the switch at the machine must serve for: that of the row, and the least for each word on its place.
fn enclosures_wanted(case: &Case, book: &str) -> Vec<String> {
    let stated = Some(case.extras.enclosure.clone()).filter(|enclosure| is_enclosure(enclosure));
    let of_places = case.extras.surroundings.iter().filter_map(|(column, word)| enclosures::place(column, word)?.least(book));
    let mut wanted: Vec<String> = stated.into_iter().chain(of_places.map(str::to_owned)).collect();
    wanted.sort();
    wanted.dedup();
    wanted
}

/// The place of the switch in words, for a finding: `in an enclosure NEMA 4X`.
fn enclosure_words(wanted: &[String]) -> String {
    if wanted.is_empty() { String::new() } else { format!(" in an enclosure {}", wanted.join(" and ")) }
}

/// What somebody must look at of the place of a switch: an explosive atmosphere, for which no switch of the catalogue is made, or one that
/// no column states, where the switch would not stand rain.
fn place_unknown(switch: &Switch<'_>, wanted: &[String], case: &Case, tools: &Tools<'_>) -> Option<Finding> {
    let extras = &case.extras;
    if extras.explosive {
        return Some(in_explosive_place(switch, case, tools));
    }
    let least = enclosures::place("environment", "outdoor")?.least(tools.book.key())?;
    if !wanted.is_empty() || !extras.surroundings.is_empty() || enclosures::serves(switch.enclosure, least) {
        return None;
    }
    let units = Units::of(tools.book.key());
    let place = match (extras.outdoors.as_str(), extras.harsh.as_str()) {
        ("", "") => "the row does not say what that place asks for".to_owned(),
        ("", harsh) => format!("by `{harsh}` that place asks for more, which no column states"),
        (outdoors, _) => format!("by `{outdoors}` that place is outdoors or on a roof, which no column states"),
    };
    // One answer clears this and the question of the place.
    let is_said = !extras.outdoors.is_empty() || !extras.harsh.is_empty();
    let is_asked_here = is_said && !extras.place_asked;
    let code = if is_asked_here { &codes::L356_SWITCH_OUTDOORS } else { &codes::C530_SWITCH_PLACE };
    let what = format!("{} in {} stands at the machine; {place}", switch.part, switch.enclosure);
    Some(
        Finding::new(code, what)
            .at(case.place.clone())
            .why("rain, water or dust in a switch")
            .cure("enter enclosure, location or environment")
            .reference(units.pick("IEC 60364-5-51, 512.2", "NFPA 70, 110.28")),
    )
}

/// Neither enclosure nor location answers for the certificate.
fn in_explosive_place(switch: &Switch<'_>, case: &Case, tools: &Tools<'_>) -> Finding {
    let what = format!(
        "{} in {} stands at the machine; the row is for an explosive atmosphere, for which it is not made",
        switch.part, switch.enclosure
    );
    Finding::new(&codes::L356_SWITCH_OUTDOORS, what)
        .at(case.place.clone())
        .why("the arc of a switch ignites the atmosphere")
        .cure("write isolator no, and have one chosen that is certified for the place; decide this if the switch stands outside of it")
        .reference(Units::of(tools.book.key()).pick("IEC 60079-14, 5.1", "NFPA 70, 500.8, 501.115"))
}

fn local(
    case: &Case,
    demand: &DisconnectDemand,
    assembly: &Assembly<'_>,
    neutral: Option<&'static str>,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    let units = Units::of(tools.book.key());
    // Six leads carry the currents of windings in delta, of two halves, or of one speed at a time.
    let (poles, part) = match assembly.arrangement.runs {
        Runs::SixLeads if case.start.method.needs_delta_winding() => (6, 1.0 / 3f64.sqrt()),
        Runs::SixLeads => (6, 0.5),
        Runs::TwoSpeeds => (6, 1.0),
        // Of one phase, line and neutral have two of three poles. A neutral that is led past a drive may be live as any other.
        Runs::One | Runs::DriveOutput | Runs::Rotor if case.machine.phases == 3 && neutral.is_some() => (4, 1.0),
        Runs::One | Runs::DriveOutput | Runs::Rotor => (3, 1.0),
    };
    let share = demand.current.0 * part;
    let fuse = assembly.protection.as_ref().map(|protection| protection.rating.0);
    let wanted = enclosures_wanted(case, tools.book.key());
    let serves = |switch: &Switch<'_>| wanted.iter().all(|enclosure| enclosures::serves(switch.enclosure, enclosure));
    let mut offered: Vec<Switch<'_>> = switches(case, poles, tools).into_iter().filter(serves).collect();
    by_price(&mut offered, |switch| switch.part.to_owned(), case, tools);
    let judged = |switch: &Switch<'_>| {
        let mut verdict = Verdict::default();
        let mut add = |check: Check| verdict.checks.push(check.about("local isolator"));
        add(at_most("disconnect-rating", share, switch.rated, "A", demand.reference));
        if let Some(horsepower) = demand.horsepower {
            add(at_most("disconnect-horsepower", horsepower, switch.horsepower.unwrap_or(0.0), "hp", demand.reference));
        }
        if let (Some(fuse), Some(largest)) = (fuse, switch.max_fuse_a) {
            add(at_most("protection-maximum", fuse, largest, "A", "local isolator: largest device before it"));
        }
        verdict
    };
    let takes = |switch: &&Switch<'_>| terminals::isolator_takes(switch.part, &circuit.runs, tools.catalogue);
    let roomy = first(offered.iter().filter(takes), |switch| judged(switch));
    let mut choice = first(offered.iter(), |switch| judged(switch));
    if let Some(raised) = raised_for_terminals(&choice, roomy.chosen) {
        let small = choice.chosen.as_ref().map_or("", |(switch, _)| switch.part);
        record.find(larger_for_terminals(case, small, raised.0.part));
        choice.chosen = Some(raised);
    }
    let Some((switch, verdict)) = choice.chosen else {
        circuit.checks.push(
            not_checked(
                "disconnect-rating",
                "A",
                units.pick("the catalogue holds no isolator that fits", "the catalogue holds no disconnect switch that fits"),
                demand.reference,
            )
            .about("local isolator"),
        );
        let horsepower = demand.horsepower.map(|hp| format!(" and {} hp", round_to(hp, 2))).unwrap_or_default();
        let amperes = round_to(share, 2);
        // Of one phase two poles open both conductors.
        let poles = if poles == 3 && case.machine.phases == 1 { 2 } else { poles };
        let enclosure = enclosure_words(&wanted);
        let what = match units {
            Units::Customary => format!("disconnect switch for {amperes} A{horsepower} with {poles} poles{enclosure}"),
            Units::Metric => format!("local isolator for {amperes} A in {} with {poles} poles{enclosure}", demand.category),
        };
        // One for each motor is asked for all the same: without a number it stays on hold.
        circuit.parts.push(Part::pieces("", &what, f64::from(case.motors)));
        let lacking = Finding::new(&codes::C404_NO_ISOLATOR, format!("the catalogue holds no {what}"))
            .at(case.place.clone())
            .cure("add one to the catalogue");
        record.find(match neutral.filter(|_| poles == 4) {
            Some(clause) => {
                lacking.why("the neutral may be live here: a switch of three poles would leave it joined").reference(clause)
            }
            None => lacking,
        });
        return;
    };
    circuit.checks.extend(verdict.checks);
    place_unknown(switch, &wanted, case, tools).into_iter().for_each(|finding| record.find(finding));
    let disconnect = switch.describe("isolator", demand, sight::AT_MACHINE);
    circuit.disconnect = Some(Disconnect { count: case.motors, ..disconnect });
}

/// The switch with room for the conductors, where it is not the smallest that holds, and no more than a multiple of that.
fn raised_for_terminals<'s, 'a>(
    smallest: &Choice<&'s Switch<'a>>,
    roomy: Option<(&'s Switch<'a>, Verdict)>,
) -> Option<(&'s Switch<'a>, Verdict)> {
    let (small, _) = smallest.chosen.as_ref()?;
    let most = device_figure("terminals-larger-most");
    roomy.filter(|(large, _)| large.part != small.part && fits(large.rated, small.rated * most))
}

/// Says which switch gave way for the conductors.
fn larger_for_terminals(case: &Case, small: &str, large: &str) -> Finding {
    Finding::new(&codes::C221_LARGER_FOR_TERMINALS, format!("{large} in place of {small} for terminals that take the conductors"))
        .at(case.place.clone())
        .why("the terminals of the smaller switch do not take the conductors that lead to the machine")
        .cure("with lugs that its maker lists for them, the smaller switch would do")
        .reference("catalogue: clamping range")
}

/// The protective device or its fusible switch disconnects where it stands; a finding where nobody knows whether it may.
fn by_protection(
    case: &Case,
    demand: &DisconnectDemand,
    assembly: &Assembly<'_>,
    place: &str,
    circuit: &mut Circuit,
) -> Option<Finding> {
    let protection = assembly.protection.as_ref()?;
    let mut unknown = None;
    let switch = Switch::of(protection.device, case.machine.phases, case.machine.voltage.0);
    let subject = "disconnecting means";
    circuit.checks.push(at_most("disconnect-rating", demand.current.0, switch.rated, "A", demand.reference).about(subject));
    match (demand.horsepower, switch.horsepower) {
        (Some(needed), Some(rated)) => {
            circuit.checks.push(at_most("disconnect-horsepower", needed, rated, "hp", demand.reference).about(subject));
        }
        // A circuit-breaker needs no horsepower rating (430.109(A)(2)); the switch before a motor does.
        (Some(_), None) if matches!(protection.device, Device::Fuse(_)) => {
            let because = format!(
                "the catalogue does not state the horsepower of the switch of {} for this voltage and phases",
                switch.part
            );
            circuit.checks.push(not_checked("disconnect-horsepower", "hp", &because, demand.reference).about(subject));
            unknown = Some(
                Finding::new(&codes::C535_SWITCH_HORSEPOWER, because)
                    .at(case.place.clone())
                    .why("a switch before a motor is rated in horsepower: it must open what a stalled motor draws")
                    .cure("add the horsepower from its label to fuses.csv, or choose a circuit-breaker, which needs none")
                    .reference(demand.reference),
            );
        }
        _ => {}
    }
    circuit.disconnect = Some(switch.describe(protection.device.kind(), demand, place));
    unknown
}

fn circuit_current(assembly: &Assembly<'_>) -> f64 {
    // At the machine the motor's own current flows, not the input current of a drive.
    let device = assembly.devices.iter().map(|device| device.current.0).fold(0.0, f64::max);
    if assembly.devices.iter().any(|device| device.kind == "drive") { device } else { assembly.line.0 }
}
