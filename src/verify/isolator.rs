//! The disconnecting means: there where the row asks for one, with the poles, the rating and the lock that it is said to have.

use crate::basis::{Basis, LISTED};
use crate::design::Disconnect;
use crate::finding::codes;
use crate::load::{LoadKind, Method};
use crate::quantity::{Amperes, fits};
use crate::record::Record;
use crate::rules::DisconnectAsk;
use crate::rules::physics::enclosures::{self, is_enclosure};
use crate::verify::facts::Facts;
use crate::verify::runs::motor_run;
use crate::verify::shelf::Item;
use crate::verify::{Disagreements, same_option};

/// Voltages up to which the columns of the catalogue hold in which currents of switches stand (`ac23_440_a`, `ac23_690_a`).
pub(super) const LOW_COLUMN_V: f64 = 440.0;
pub(super) const HIGH_COLUMN_V: f64 = 690.0;

/// The data of a switch in the catalogue.
struct Switch {
    rated: f64,
    horsepower: Option<f64>,
    lockable: bool,
    poles: Option<u32>,
    largest_before: Option<f64>,
    /// It holds the fuses of the circuit.
    fused: bool,
    /// Enclosure of a switch that stands at the machine.
    enclosure: Option<String>,
}

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let wanted = asked_for(facts);
    let lacking = facts.told(codes::C404_NO_ISOLATOR.code);
    let local = facts.circuit.disconnect.as_ref().is_some_and(|disconnect| disconnect.location == "at the machine");
    in_sight(facts, local, found);
    neutral_is_told(facts, found);
    found.unless(local == wanted || lacking, &codes::V502_ISOLATOR, || {
        if wanted { "the row asks for a local isolator; there is none" } else { "there is a local isolator that nobody asks for" }
            .to_owned()
    });
    let Some(disconnect) = &facts.circuit.disconnect else {
        let line = Amperes(facts.line_current());
        let ask = DisconnectAsk { current: line, before_drive: facts.start.method == Method::Drive };
        let always = facts.book.disconnect(&facts.machine, &facts.rated(), ask, &mut Record::silent()).always;
        found.unless(!always || facts.circuit.protection.is_none() || lacking, &codes::V502_ISOLATOR, || {
            "every circuit has a disconnecting means; this one names none".to_owned()
        });
        return;
    };
    let Some(switch) = switch(facts, disconnect) else {
        found.say(
            &codes::V101_PART_UNKNOWN,
            format!("{} is no disconnecting means of the catalogue or of this circuit", disconnect.part),
        );
        return;
    };
    let so = disconnect.poles == switch.poles
        && same_option(disconnect.rating_a, Some(switch.rated))
        && same_option(disconnect.rating_hp, switch.horsepower)
        && disconnect.lockable == switch.lockable;
    found.unless(so, &codes::V502_ISOLATOR, || {
        format!("rating, poles or lock of {} are not as the catalogue says", disconnect.part)
    });
    holds(facts, disconnect, &switch, local, found);
    parts_the_leads(facts, disconnect, &switch, local, found);
    stands_its_place(facts, disconnect, &switch, found);
    if let (Some(most), Some(before)) = (switch.largest_before, &facts.circuit.protection) {
        found.unless(fits(before.rating_a, most), &codes::V502_ISOLATOR, || {
            format!("{} of {} A stands before {}, which admits {most} A", before.part, before.rating_a, disconnect.part)
        });
    }
}

/// The row asks for a switch at the machine, or the basis for one at each that needs any.
fn asked_for(facts: &Facts<'_>) -> bool {
    let served = matches!(facts.machine.kind, LoadKind::Motor | LoadKind::Packaged | LoadKind::Heater);
    // A spare way has no machine yet, which the basis could mean.
    let served = served && facts.circuit.load.running.as_deref() != Some("spare");
    facts.yes("isolator").or(facts.basis.design.isolator.filter(|_| served)).unwrap_or(false)
}

/// A finding tells whatever stands farther away than is in sight: the controller at the end of a supply run, and a load without a switch of
/// its own.
fn in_sight(facts: &Facts<'_>, local: bool, found: &mut Disagreements) {
    let Some(sight) = facts.book.in_sight(&facts.machine) else { return };
    let supply = facts.number("supply_length_m");
    let beside = facts.circuit.disconnect.as_ref().is_some_and(|disconnect| disconnect.location == "at the controller");
    found.unless(supply.is_none() || !beside, &codes::V502_ISOLATOR, || {
        "the controller stands apart from the board, and the protective device is called a disconnecting means beside it"
            .to_owned()
    });
    let controlled = sight.of_controller.is_some() && !facts.start.method.supply_only();
    let apart = controlled && supply.is_some_and(|metres| !fits(metres, sight.most.0));
    found.unless(!apart || facts.told(codes::C522_CONTROLLER_OUT_OF_SIGHT.code), &codes::V502_ISOLATOR, || {
        "no finding says that the controller is out of sight of its disconnecting means".to_owned()
    });
    let run = motor_run(facts) + supply.unwrap_or(0.0);
    let far = !local && !asked_for(facts) && !fits(run, sight.most.0);
    let told = [codes::C521_OUT_OF_SIGHT, codes::C523_EQUIPMENT_OUT_OF_SIGHT, codes::C524_LOCKED_OPEN];
    found.unless(!far || told.iter().any(|code| facts.told(code.code)), &codes::V502_ISOLATOR, || {
        "no finding says that the load is out of sight of its disconnecting means".to_owned()
    });
}

/// It holds the current and the horsepower that the book asks for, or a check that failed says that it does not.
fn holds(facts: &Facts<'_>, disconnect: &Disconnect, switch: &Switch, local: bool, found: &mut Disagreements) {
    let drive = facts.circuit.starter_devices.iter().find(|device| device.kind == "drive");
    // At the machine flows the motor's own current, at the controller what the line carries.
    let through = drive.filter(|_| local).map_or_else(|| facts.line_current(), |drive| drive.current_a);
    let before_drive = !local && facts.start.method == Method::Drive;
    let ask = DisconnectAsk { current: Amperes(through), before_drive };
    let demand = facts.book.disconnect(&facts.machine, &facts.rated(), ask, &mut Record::silent());
    let part = match facts.start.method {
        _ if !local => 1.0,
        Method::PartWinding => 0.5,
        method if method.needs_delta_winding() => 1.0 / 3f64.sqrt(),
        _ => 1.0,
    };
    // At one of several motors flows its own current.
    let each = if local { f64::from(facts.motors) } else { 1.0 };
    let need = demand.current.0 * part / each;
    found.unless(f64::from(disconnect.count) == each, &codes::V502_ISOLATOR, || {
        format!("{} disconnecting means of {}; {each} are needed", disconnect.count, disconnect.part)
    });
    let failed = facts.circuit.checks.iter().any(|check| check.name.starts_with("disconnect-") && check.passed == Some(false));
    found.unless(fits(need, switch.rated + 1e-4) || failed, &codes::V502_ISOLATOR, || {
        format!("{} is rated {} A; {need:.2} A are asked for", disconnect.part, switch.rated)
    });
    let unsaid = demand.horsepower.is_some() && switch.horsepower.is_none() && switch.fused;
    let open = facts.circuit.checks.iter().any(|check| check.name == "disconnect-horsepower" && check.passed.is_none());
    found.unless(!unsaid || open, &codes::V502_ISOLATOR, || {
        format!("the catalogue does not state the horsepower of the switch of {}, and no check says so", disconnect.part)
    });
    if let (Some(need), Some(has)) = (demand.horsepower, switch.horsepower) {
        found.unless(fits(need, has) || failed, &codes::V502_ISOLATOR, || {
            format!("{} is rated {has} hp; {need:.2} hp are asked for", disconnect.part)
        });
    }
}

/// Outside a TN system, or where nobody states which it is, the neutral may be live: a finding names the device that leaves it joined.
fn neutral_is_told(facts: &Facts<'_>, found: &mut Disagreements) {
    let Some(device) = facts.circuit.protection.as_ref().filter(|_| neutral_may_be_live(facts)) else { return };
    let opened = facts.shelf.all(&device.part).any(|item| match item {
        Item::Line(row) => row.poles == live(facts) + u32::from(facts.machine.phases == 3),
        Item::Motor(_) | Item::Moulded(_) => facts.machine.phases == 1,
        _ => false,
    });
    found.unless(opened || facts.told(codes::C531_NEUTRAL_JOINED.code), &codes::V502_ISOLATOR, || {
        format!("{} leaves a neutral joined that may be live, and no finding says so", device.part)
    });
}

/// IEC 60364-4-46, 461.2: only in TN systems the neutral is at earth potential.
fn neutral_may_be_live(facts: &Facts<'_>) -> bool {
    let at_earth =
        earthing(facts.basis, &facts.circuit.board).is_some_and(|system| system.trim().to_uppercase().starts_with("TN"));
    facts.machine.neutral && facts.book.knows_machines() && !at_earth
}

/// The earthing that the basis states of a board, else of what stands before it, transformers or not, else of the supply.
pub(super) fn earthing<'b>(basis: &'b Basis, board: &'b str) -> Option<&'b str> {
    let mut passed: Vec<&str> = Vec::new();
    let mut at = Some(board);
    while let Some(name) = at {
        if let Some(begins) = passed.iter().position(|board| *board == name) {
            // A ring has no supply: each of its boards stands alone.
            passed.truncate(begins + 1);
            break;
        }
        passed.push(name);
        at = before(basis, name);
    }
    let stated = passed.iter().find_map(|name| basis.board(name)?.earthing.as_deref());
    stated.or(basis.supply.earthing.as_deref())
}

/// The board or the like before a board, past the transformer between.
fn before<'b>(basis: &'b Basis, board: &str) -> Option<&'b str> {
    let from = basis.board(board).and_then(|board| board.fed_from.as_deref()).and_then(|from| from.split(LISTED).next());
    let from = from.map(str::trim).filter(|from| !from.is_empty());
    let is = |text: &Option<String>, name: &str| text.as_deref().map(str::trim) == Some(name);
    let through = basis
        .transformers
        .iter()
        // A name that a board bears too is that of the board.
        .find(|transformer| {
            is(&transformer.to, board) || from.is_some_and(|from| basis.board(from).is_none() && is(&transformer.name, from))
        });
    through.map_or(from, |transformer| transformer.from.as_deref().map(str::trim))
}

/// Six leads are parted by six poles, or by two times three.
fn parts_the_leads(facts: &Facts<'_>, disconnect: &Disconnect, switch: &Switch, local: bool, found: &mut Disagreements) {
    let method = facts.start.method;
    let six = local && (method.needs_delta_winding() || method.two_speeds() || method == Method::PartWinding);
    let four = facts.machine.phases == 3 && neutral_may_be_live(facts);
    let suits = |poles: u32| {
        if six {
            poles == 6
        } else if four {
            poles == 4
        } else {
            poles != 6 && poles >= live(facts)
        }
    };
    let poles_so = !local || switch.poles.is_none_or(suits);
    found.unless(poles_so, &codes::V502_ISOLATOR, || {
        format!("{} has {} poles, which are not those of the leads", disconnect.part, switch.poles.unwrap_or(0))
    });
}

/// A switch at the machine is made for what row and place ask for.
fn stands_its_place(facts: &Facts<'_>, disconnect: &Disconnect, switch: &Switch, found: &mut Disagreements) {
    let Some(enclosure) = &switch.enclosure else { return };
    found.unless(*enclosure == disconnect.enclosure, &codes::V502_ISOLATOR, || {
        format!("{} stands in {enclosure}, not in {}", disconnect.part, disconnect.enclosure)
    });
    let stated = facts.words("enclosure").map(str::trim).filter(|wanted| is_enclosure(wanted));
    let least = |column: &str| enclosures::place(column, facts.words(column)?)?.least(facts.book.key());
    for wanted in stated.into_iter().chain(["location", "environment"].into_iter().filter_map(least)) {
        found.unless(enclosures::serves(enclosure, wanted), &codes::V502_ISOLATOR, || {
            format!("{} in {enclosure} does not serve where {wanted} is asked for", disconnect.part)
        });
    }
}

fn local_part(disconnect: &Disconnect) -> bool {
    disconnect.location == "at the machine"
}

fn live(facts: &Facts<'_>) -> u32 {
    if facts.machine.phases == 3 { 3 } else { 2 }
}

fn switch(facts: &Facts<'_>, disconnect: &Disconnect) -> Option<Switch> {
    let volts = facts.volts();
    let plain = |rated: f64| Switch {
        rated,
        horsepower: None,
        lockable: false,
        poles: None,
        largest_before: None,
        fused: false,
        enclosure: None,
    };
    let fuse = facts.circuit.protection.as_ref().and_then(|protection| {
        facts.shelf.all(&protection.part).find_map(|item| if let Item::Fuse(row) = item { Some(row) } else { None })
    });
    if let Some(row) = fuse.filter(|row| row.base_part == disconnect.part && !local_part(disconnect)) {
        return Some(Switch {
            horsepower: row.switch_horsepower(facts.machine.phases, volts),
            lockable: row.switch_lockable.unwrap_or(false),
            fused: true,
            ..plain(row.switch_rating_a.unwrap_or(row.rating_a))
        });
    }
    let protects = facts.circuit.protection.as_ref().is_some_and(|protection| protection.part == disconnect.part);
    let local = local_part(disconnect);
    facts.shelf.all(&disconnect.part).find_map(|item| match item {
        // Above that nothing is declared: it carries and breaks nothing there.
        Item::Isolator(row) if local => Some(Switch {
            lockable: row.lockable,
            poles: Some(row.poles),
            largest_before: Some(row.max_fuse_a),
            enclosure: Some(row.enclosure.clone()),
            ..plain(match volts {
                volts if fits(volts, LOW_COLUMN_V) => row.ac23_440_a,
                volts if fits(volts, HIGH_COLUMN_V) => row.ac23_690_a,
                _ => 0.0,
            })
        }),
        Item::Disconnect(row) if local => Some(Switch {
            horsepower: row.horsepower(facts.machine.phases, volts),
            lockable: row.lockable,
            poles: Some(row.poles),
            enclosure: Some(row.enclosure.clone()),
            ..plain(row.rating_a)
        }),
        Item::Motor(row) if protects => Some(plain(row.range_max_a)),
        Item::Moulded(row) if protects => Some(plain(row.rating_a)),
        Item::Line(row) if protects => Some(plain(row.rating_a)),
        Item::Branch(row) if protects => Some(Switch { lockable: row.lockable, ..plain(row.rating_a) }),
        _ => None,
    })
}
