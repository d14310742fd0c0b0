//! The control circuit: what the coils draw, the relays between a controller and the coils, and the supply that feeds them, be it a
//! starter's own or its board's.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::{Contactor, InterposingRelay};
use crate::conductors::{pair_is_to_neutral, system_of_board};
use crate::design::{Check, Circuit, Control, ControlDevice, ControlRun, ControlSupply, Design, Part};
use crate::finding::codes;
use crate::load::wires::System;
use crate::quantity::fits;
use crate::rules::physics::control::{cores as cores_of, practice};
use crate::rules::physics::high_leg::has_high_leg;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::material::station_cores;
use crate::rules::physics::nominal::is_same_voltage;
use crate::verify::Disagreements;
use crate::verify::accessories::three_wire;
use crate::verify::facts::Facts;
use crate::verify::parts::{Count, add, unnumbered};
use crate::verify::shelf::{Item, Shelf};
use crate::verify::shown;

/// A drop of voltage stands in a design with three decimals of a per cent; pick-up powers of which it is made with four digits.
const ROUNDING_PCT: f64 = 1e-3;
const ROUNDING_SHARE: f64 = 1e-2;

/// A power stands in a design with two decimals; so do the two of which a sum is made.
const ROUNDING_VA: f64 = 0.01;
const ROUNDING_SUM_VA: f64 = 2.0 * ROUNDING_VA;

/// Volts of a control voltage as it is written, and whether it is direct.
pub(super) fn volts_of(text: &str) -> Option<(f64, bool)> {
    let volts = text.split_whitespace().next()?.parse().ok()?;
    Some((volts, text.ends_with("DC")))
}

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let Some(control) = &facts.circuit.control else {
        found.unless(facts.circuit.contactors.is_empty(), &codes::V611_CONTROL, || {
            "it has contactors, but no control circuit".to_owned()
        });
        return;
    };
    coils(facts, control, found);
    relays(facts, control, found);
    if let Some(supply) = &control.supply {
        let words = format!("the control supply of {}", facts.circuit.tag);
        self::supply(supply, held(std::iter::once(facts.circuit)), &words, facts.shelf, found);
        let serves = supply.serves == [facts.circuit.tag.clone()] && supply.coil_voltage == control.coil_voltage;
        found.unless(serves, &codes::V612_CONTROL_SUPPLY, || {
            format!("{words} serves {:?} at {}", supply.serves, supply.coil_voltage)
        });
        lines_of_starter(facts, supply, &words, found);
    }
}

/// A starter to neutral has one line: its own supply has that voltage before it, and one pole of protection, since the neutral has none.
fn lines_of_starter(facts: &Facts<'_>, supply: &ControlSupply, words: &str, found: &mut Disagreements) {
    if facts.machine.phases != 1 || !facts.machine.neutral {
        return;
    }
    let (primary, line) = (supply.primary_v, facts.volts());
    // A load may be made for another voltage than its board has to the neutral, of which the row is told.
    let star = facts.basis.board_voltage(&facts.circuit.board).map(|lines| lines / 3f64.sqrt());
    let near = |volts: f64| is_same_voltage(primary, volts);
    let board = &facts.circuit.board;
    let of_pair = facts.basis.board_voltage(board).filter(|_| pair_is_to_neutral(facts.basis, board, facts.book));
    // Of two legs and the middle between them it is half, beside a high leg too, whatever voltage a load is made for that says it lies
    // there.
    let halved =
        system_of_board(facts.basis, board).is_some_and(|system| System::read(system).three_wires || has_high_leg(system));
    let half = facts.basis.board_voltage(board).unwrap_or(line) / 2.0;
    let given = near(line) || star.is_some_and(near) || of_pair.is_some_and(near) || halved && near(half);
    found.unless(given, &codes::V612_CONTROL_SUPPLY, || {
        format!("{words} is made for {primary} V; the starter has a line of {line} V to neutral")
    });
    let before = supply.primary.as_ref().filter(|device| device.quantity > 1 && device.kind.contains("fuse"));
    found.unless(before.is_none(), &codes::V612_CONTROL_SUPPLY, || {
        format!("{words} has {} fuses before it; the starter has one line", before.map_or(0, |device| device.quantity))
    });
}

/// The power that the coils draw lies between that of the largest and that of all together.
fn coils(facts: &Facts<'_>, control: &Control, found: &mut Disagreements) {
    let Some((_, dc)) = volts_of(&control.coil_voltage) else {
        found.say(&codes::V611_CONTROL, format!("{} is no control voltage", control.coil_voltage));
        return;
    };
    // A voltage that the row states in the usual way is that of the coils, whether or not there are such.
    let stated = facts.words("control_voltage").filter(|word| word.ends_with(" V AC") || word.ends_with(" V DC"));
    found.unless(stated.is_none_or(|stated| volts_of(stated) == volts_of(&control.coil_voltage)), &codes::V611_CONTROL, || {
        format!("the row states {}; the coils have {}", stated.unwrap_or(""), control.coil_voltage)
    });
    // Contactors that have a coil of that kind of current, with its power while picking up and while holding.
    let coils: Vec<(&Contactor, [f64; 2])> = (facts.circuit.contactors.iter())
        .filter_map(|contactor| facts.shelf.contactor(&contactor.part))
        .filter_map(|(row, _)| {
            let powers =
                if dc { [row.coil_dc_pick_up_w?, row.coil_dc_hold_w?] } else { [row.coil_ac_pick_up_va, row.coil_ac_hold_va] };
            Some((row, powers))
        })
        .collect();
    let [largest_pick_up, largest_hold] = [0, 1].map(|at| coils.iter().map(|(_, powers)| powers[at]).fold(0.0, f64::max));
    let [pick_ups, holds] = [0, 1].map(|at| coils.iter().map(|(_, powers)| powers[at]).sum::<f64>());
    let within = |value: f64, least: f64, most: f64| value >= least - 0.01 && value <= most + 0.01;
    let so = within(control.hold_va, largest_hold, holds) && within(control.pick_up_va, largest_pick_up, pick_ups + holds);
    found.unless(so, &codes::V611_CONTROL, || {
        format!(
            "its coils are said to draw {} and {} VA, which those of its contactors do not",
            control.pick_up_va, control.hold_va
        )
    });
    // All of them must pick up and none may burn; without any there are no limits.
    let lowest = coils.iter().map(|(row, _)| row.coil_lowest_pct.unwrap_or_else(|| practice("coil-lowest"))).fold(0.0, f64::max);
    let highest = coils.iter().map(|(row, _)| row.coil_highest_pct.unwrap_or_else(|| practice("coil-highest")));
    let highest = highest.reduce(f64::min).unwrap_or(0.0);
    let so = (control.lowest_pct - lowest).abs() < 1e-6 && (control.highest_pct - highest).abs() < 1e-6;
    found.unless(so, &codes::V611_CONTROL, || {
        format!(
            "its coils work from {lowest} to {highest} %; the circuit says {} to {} %",
            control.lowest_pct, control.highest_pct
        )
    });
    cores(facts, control, found);
    if let Some(run) = &control.run {
        let stated = facts.number("control_cable_length_m").filter(|length| *length > 0.0);
        found.unless(run.length_m == stated, &codes::V611_CONTROL, || {
            format!("the control run is {} m long; the row states {} m", shown(run.length_m), shown(stated))
        });
        coil_supply(facts, control, run, found);
    }
}

/// Length of the run between the board that feeds the coils and a starter that stands apart. None is needed where the starter has a supply
/// of its own, or a controller's output brings it over a cable that the row states.
pub(super) fn coil_supply_length(facts: &Facts<'_>, control: &Control) -> Option<f64> {
    let dc = control.coil_voltage.ends_with("DC");
    let stated = facts.basis.control.supply.as_deref().map(|supply| supply == "per-starter");
    let itself = !dc && stated.unwrap_or_else(|| facts.book.supply_per_starter());
    let output_cable = facts.number("control_cable_length_m").is_some_and(|length| length > 0.0);
    let by_output = control.driven_by == "plc-output" && !control.interposing_relay && output_cable;
    facts.number("supply_length_m").filter(|length| *length > 0.0 && !itself && !by_output)
}

/// The run that brings the coils' supply is as long as the way to the starter, and loses what its conductors lose.
fn coil_supply(facts: &Facts<'_>, control: &Control, run: &ControlRun, found: &mut Disagreements) {
    let wanted = coil_supply_length(facts, control);
    found.unless(run.supply_length_m == wanted, &codes::V611_CONTROL, || {
        let [told, wanted] = [run.supply_length_m, wanted].map(shown);
        format!("the run of the coils' supply is {told} m long; {wanted} m lie between board and starter")
    });
    let Some(((length, (volts, _)), size)) = wanted.zip(volts_of(&control.coil_voltage)).zip(facts.book.size_of(&run.size))
    else {
        return;
    };
    // Both conductors carry what the coils draw: 2 l P / (κ A U²), in per cent.
    let lost = 2.0 * 100.0 * length * control.pick_up_va / (practice("conductivity") * size * volts * volts);
    found.unless(
        run.supply_drop_pct.is_some_and(|told| (told - lost).abs() <= ROUNDING_PCT.max(ROUNDING_SHARE * lost)),
        &codes::V611_CONTROL,
        || format!("the run of the coils' supply loses {lost:.2} %; the circuit says {} %", shown(run.supply_drop_pct)),
    );
}

/// Cores to the station: those of its words, else those of the contact that switches the coil, with a protective one above extra-low
/// voltage.
fn cores(facts: &Facts<'_>, control: &Control, found: &mut Disagreements) {
    let contact = match control.driven_by.as_str() {
        "plc-output" => "plc-output",
        _ if !control.maintained => "three-wire",
        _ => "two-wire",
    };
    let (volts, dc) = if control.interposing_relay {
        (practice("output-voltage"), true)
    } else {
        volts_of(&control.coil_voltage).unwrap_or_default()
    };
    let most = practice(if dc { "extra-low-dc" } else { "extra-low-ac" });
    let Some((of_contact, protective)) = cores_of(contact, control.commands, volts > most) else { return };
    let words = facts.words("control_station").unwrap_or("");
    let rows = station_cores(words).into_iter().filter_map(|(_, row)| row);
    let of_station: u32 = rows.filter(|row| row.group == "station").map(|row| row.cores).sum();
    let wanted = protective + if of_station > 0 { of_station } else { of_contact };
    found.unless(control.cores == wanted && control.protective_cores == protective, &codes::V611_CONTROL, || {
        format!(
            "its station needs {wanted} cores, {protective} of them protective; the circuit says {} and {}",
            control.cores, control.protective_cores
        )
    });
    found.unless(control.maintained != three_wire(facts), &codes::V611_CONTROL, || {
        format!("whether its command is maintained is not as the row says: {}", control.maintained)
    });
}

/// Contactors with a command of their own: those that are told from outside.
fn commands(facts: &Facts<'_>) -> u32 {
    let there = |role: &&&str| facts.circuit.contactors.iter().any(|contactor| contactor.role == **role);
    let count = facts.starter.commanded.iter().filter(there).count();
    u32::try_from(count).unwrap_or(u32::MAX).max(1)
}

/// One relay for each command where the output of a controller does not switch the coils; it switches them, and fits the output.
fn relays(facts: &Facts<'_>, control: &Control, found: &mut Disagreements) {
    let wanted = commands(facts);
    found.unless(control.commands == wanted, &codes::V611_CONTROL, || {
        format!("it has {} commands; {} asks for {wanted}", control.commands, facts.start.method.word())
    });
    let has: u32 = facts
        .circuit
        .accessories
        .iter()
        .filter(|accessory| accessory.kind == "interposing-relay")
        .map(|accessory| accessory.quantity)
        .sum();
    let needed = if control.interposing_relay { wanted } else { 0 };
    found.unless(has >= needed, &codes::V605_ACCESSORY_MISSING, || {
        format!("{needed} interposing relays are needed, {has} are there")
    });
    found.unless(has <= needed, &codes::V603_ACCESSORY_NEEDLESS, || {
        format!("{needed} interposing relays are needed, {has} are there")
    });
    let Some((volts, dc)) = volts_of(&control.coil_voltage) else { return };
    let controller = control.driven_by == "plc-output";
    let alike = dc && (volts / practice("output-voltage") - 1.0).abs() <= practice("same-voltage") / 100.0;
    found.unless(controller || !control.interposing_relay, &codes::V603_ACCESSORY_NEEDLESS, || {
        format!("a {} switches its coils; no relay is needed between", control.driven_by)
    });
    found.unless(!controller || alike || control.interposing_relay, &codes::V605_ACCESSORY_MISSING, || {
        format!("a controller's output is to switch coils of {}", control.coil_voltage)
    });
    for accessory in
        facts.circuit.accessories.iter().filter(|accessory| accessory.kind == "interposing-relay" && !accessory.part.is_empty())
    {
        let Some(relay) = relay(facts.shelf, &accessory.part) else {
            found.say(&codes::V101_PART_UNKNOWN, format!("{} is no interposing relay of the catalogue", accessory.part));
            continue;
        };
        let coil = relay.coil_dc && (relay.coil_v / practice("output-voltage") - 1.0).abs() <= practice("same-voltage") / 100.0;
        let (most, rated) = if dc {
            (relay.contact_dc_max_v.unwrap_or(0.0), relay.contact_dc_a.unwrap_or(0.0))
        } else {
            (relay.contact_max_v, relay.contact_a)
        };
        // Each of several commands switches a part; on a single one hangs all that holds.
        let held = if wanted == 1 { control.hold_va / volts } else { 0.0 };
        let so = coil && fits(volts, most) && fits(held, rated) && relay.contacts_no >= 1;
        found.unless(relay.suppression_built_in || facts.told(codes::C415_RELAY_UNSUPPRESSED.code), &codes::V606_VOLTAGE, || {
            format!("nothing limits the overvoltage of {} at a controller's output", accessory.part)
        });
        let figures = (accessory.no, accessory.nc, accessory.position.as_str()) == (relay.contacts_no, 0, "");
        found.unless(so && figures, &codes::V601_ACCESSORY_FIT, || {
            format!("{} does not stand between an output and coils of {}", accessory.part, control.coil_voltage)
        });
    }
}

fn relay<'s>(shelf: &'s Shelf<'_>, part: &str) -> Option<&'s InterposingRelay> {
    shelf.all(part).find_map(|item| if let Item::Interposing(relay) = item { Some(*relay) } else { None })
}

/// The part of a supply, and those of its devices with their bases.
pub(super) fn parts_of(supply: &ControlSupply, shelf: &Shelf<'_>, count: &mut Count) {
    if supply.kind != "line" {
        add(count, &supply.part, &format!("{} from", supply.kind.replace('-', " ")), 1.0);
    }
    for control_device in [&supply.primary, &supply.secondary, &supply.branches].into_iter().flatten() {
        add(count, &control_device.part, "", f64::from(control_device.quantity));
        if let Some(base) = device(shelf, &control_device.part).and_then(|row| row.base_part.as_deref()) {
            add(count, base, "", f64::from(control_device.quantity));
        }
    }
}

/// Devices of control circuits that no catalogue holds: each stands on the list by its words where its check could not be made.
pub(super) fn lacking(checks: &[Check], parts: &[Part], count: &mut Count) {
    const WORDS: &str = "protective device of";
    let open = checks.iter().filter(|check| check.name == "control-protection" && check.passed.is_none()).count();
    if open > 0 {
        let listed: f64 = parts.iter().filter(|part| part.description.starts_with(WORDS)).map(|part| part.quantity).sum();
        let least = u32::try_from(open).map_or(f64::MAX, f64::from);
        // Behind a supply several branches may lack the same device.
        add(count, "", WORDS, listed.max(least));
    }
}

fn device<'s>(shelf: &'s Shelf<'_>, part: &str) -> Option<&'s crate::catalogue::ControlProtection> {
    shelf.all(part).find_map(|item| if let Item::ControlProtection(protection) = item { Some(*protection) } else { None })
}

/// Power that coils hold, least and most, VA: least that of the largest circuit, since coils of unlike power factors add up to less than
/// their sum and a row of several circuits may be shared out; most that of all together.
fn held<'c>(circuits: impl Iterator<Item = &'c Circuit>) -> (f64, f64) {
    let holds = |circuit: &Circuit| {
        circuit.control.as_ref().map(|control| (control.hold_va, control.hold_va * f64::from(circuit.quantity.max(1))))
    };
    circuits.filter_map(holds).fold((0.0, 0.0), |(least, most): (f64, f64), (one, all)| (least.max(one), most + all))
}

/// A supply is of the catalogue and of its voltages, and gives what coils that hold ask of it with the margin of practice; its devices are
/// what they are said to be.
pub(super) fn supply(
    supply: &ControlSupply,
    (least, most): (f64, f64),
    words: &str,
    shelf: &Shelf<'_>,
    found: &mut Disagreements,
) {
    let Some((volts, dc)) = volts_of(&supply.coil_voltage) else {
        found.say(&codes::V612_CONTROL_SUPPLY, format!("{words} gives {}, which is no control voltage", supply.coil_voltage));
        return;
    };
    let near = |one: f64, other: f64| (one / other - 1.0).abs() <= 1.01 * practice("same-voltage") / 100.0;
    let margin = practice(if dc { "dc-supply-margin" } else { "continuous-margin" });
    let (suits, rating) = match shelf.all(&supply.part).next() {
        None if supply.part.is_empty() => (true, None),
        Some(Item::ControlTransformer(row)) => (
            supply.kind == "control-transformer" && !dc && near(row.secondary_v, volts) && near(row.primary_v, supply.primary_v),
            Some(row.va),
        ),
        Some(Item::PowerSupply(row)) => {
            let input = row.input_min_v - 0.1 <= supply.primary_v && supply.primary_v <= row.input_max_v + 0.1;
            (
                supply.kind == "direct-current-supply" && dc && near(row.output_v, volts) && input,
                Some(row.output_v * row.output_a),
            )
        }
        _ => (false, None),
    };
    let line = supply.kind == "line";
    let so = suits && supply.rating_va == rating && (!line || supply.part.is_empty() && near(supply.primary_v, volts));
    found.unless(so, &codes::V612_CONTROL_SUPPLY, || {
        format!("{words}: {} is no {} from {} V to {}", supply.part, supply.kind, supply.primary_v, supply.coil_voltage)
    });
    found.unless(
        rating.is_none_or(|rating| fits(supply.continuous_va, rating + ROUNDING_VA)),
        &codes::V612_CONTROL_SUPPLY,
        || format!("{words}: {} VA are asked for continuously; {} gives {} VA", supply.continuous_va, supply.part, shown(rating)),
    );
    let asked = fits(margin * least, supply.continuous_va + ROUNDING_SUM_VA)
        && fits(supply.continuous_va, margin * most + ROUNDING_SUM_VA);
    found.unless(supply.continuous_va > 0.0 && asked, &codes::V612_CONTROL_SUPPLY, || {
        format!(
            "{words}: {} VA are asked for; its coils hold {least} to {most} VA, and {margin} times as much is asked for",
            supply.continuous_va
        )
    });
    for (device, at) in [(&supply.primary, supply.primary_v), (&supply.secondary, volts), (&supply.branches, volts)] {
        device.iter().for_each(|device| self::placed(device, at, words, shelf, found));
    }
}

fn placed(control_device: &ControlDevice, volts: f64, words: &str, shelf: &Shelf<'_>, found: &mut Disagreements) {
    let Some(row) = device(shelf, &control_device.part) else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{words}: {} is no device of control circuits", control_device.part));
        return;
    };
    let so = control_device.kind == row.kind
        && (control_device.rating_a - row.rating_a).abs() < 1e-9
        && control_device.quantity > 0
        && fits(control_device.rating_a, control_device.maximum_a + 1e-4)
        && fits(volts, row.max_v.max(row.max_dc_v.unwrap_or(0.0)));
    found.unless(so, &codes::V612_CONTROL_SUPPLY, || {
        format!(
            "{words}: {} of {} A is not as the catalogue says, or above {} A",
            control_device.part, control_device.rating_a, control_device.maximum_a
        )
    });
}

/// The line feeds coils with the voltage between one of its lines and the neutral.
pub(super) fn is_of_neutral(supply: &ControlSupply, line: f64) -> bool {
    supply.kind == "line" && supply.primary_v < load_figure("neutral-voltage-most") * line
}

/// The boards: each supply holds, every circuit that has none of its own is served, and the parts are those of the supplies.
pub(super) fn boards(design: &Design, shelf: &Shelf<'_>, found: &mut Disagreements) {
    // A board may feed a hundred thousand circuits, so tags are looked up and not searched.
    let mut fed: BTreeMap<&str, Vec<&Circuit>> = BTreeMap::new();
    for circuit in &design.circuits {
        fed.entry(&circuit.board).or_default().push(circuit);
    }
    for board in &design.boards {
        let words = format!("board {}", board.name);
        let mut wanted = Count::new();
        let circuits = fed.get(board.name.as_str()).map_or(&[][..], Vec::as_slice);
        let mut by_tag: BTreeMap<&str, Vec<&Circuit>> = BTreeMap::new();
        circuits.iter().for_each(|circuit| by_tag.entry(&circuit.tag).or_default().push(circuit));
        for control_supply in &board.control_supplies {
            let tags: BTreeSet<&str> = control_supply.serves.iter().map(String::as_str).collect();
            let coils = tags.iter().filter_map(|tag| by_tag.get(tag)).flatten().copied();
            supply(control_supply, held(coils), &words, shelf, found);
            parts_of(control_supply, shelf, &mut wanted);
        }
        lacking(&board.checks, &board.parts, &mut wanted);
        let mut listed = Count::new();
        for part in &board.parts {
            if part.part.is_empty() {
                *listed.entry(unnumbered(&part.description, &wanted)).or_default() += part.quantity;
                continue;
            }
            let items = shelf.all(&part.part).any(|item| item.description() == part.description);
            found.unless(items, &codes::V102_DESCRIPTION, || format!("{words}: {} is not described so", part.part));
            *listed.entry(part.part.clone()).or_default() += part.quantity;
        }
        found.unless(listed == wanted, &codes::V103_PART_MISSING, || {
            format!("{words}: its parts are not those of its control supplies")
        });
        let serves: BTreeSet<(&str, &str)> = board
            .control_supplies
            .iter()
            .flat_map(|supply| supply.serves.iter().map(|tag| (supply.coil_voltage.as_str(), tag.as_str())))
            .collect();
        for circuit in circuits {
            served(circuit, board, &serves, found);
        }
        let tags: BTreeSet<&str> = circuits.iter().map(|circuit| circuit.tag.as_str()).collect();
        let stray = board.control_supplies.iter().flat_map(|supply| &supply.serves).find(|tag| !tags.contains(tag.as_str()));
        found
            .unless(stray.is_none(), &codes::V612_CONTROL_SUPPLY, || format!("{words} serves {stray:?}, which it does not feed"));
    }
}

/// A circuit that asks for it has a supply of its voltage.
fn served(circuit: &Circuit, board: &crate::design::Board, serves: &BTreeSet<(&str, &str)>, found: &mut Disagreements) {
    let Some(control) = &circuit.control else { return };
    let open = circuit.checks.iter().any(|check| check.name == "coil-voltage" && check.passed.is_none());
    let asks = control.supply.is_none() && control.pick_up_va > 0.0 && circuit.status != crate::design::Status::NotSized && !open;
    let fed = serves.contains(&(control.coil_voltage.as_str(), circuit.tag.as_str()));
    found.unless(!asks || fed, &codes::V612_CONTROL_SUPPLY, || {
        format!("{} is fed with {} by no supply of {}", circuit.tag, control.coil_voltage, board.name)
    });
}
