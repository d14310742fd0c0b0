//! Asks for what description and note name and its column does not state: a brake, thermistors, both directions, a bypass, a cable in a
//! chain, a level of safety. The words are a table.

use crate::finding::Finding;
use crate::finding::codes::{self, Code};
use crate::intake::matters::{suggests, words_of};
use crate::load::{Case, Field, Load, LoadKind, Method};
use crate::record::Record;
use crate::sizing::resolve::services::saying;
use crate::sizing::resolve::words::is_spare_way;

/// What words name while no column states it.
struct Named {
    /// Matters of the table of words whose phrases name it.
    matters: &'static [&'static str],
    what: &'static str,
    /// Columns of which any answers.
    answers: &'static [Field],
    /// Whether it belongs to a circuit.
    concerns: fn(&Case) -> bool,
    /// What people or a machine rely on, and what makes another circuit, waits for a decision.
    code: &'static Code,
    why: &'static str,
    cure: &'static str,
}

const WITHOUT_IT: &str = "contacts, relays, cores and terminals are chosen without it";

const NAMED: &[Named] = &[
    Named {
        matters: &["brake-itself", "brake-motor"],
        what: "a brake",
        answers: &[Field::BrakeW],
        concerns: is_motor,
        code: &codes::L360_SAFEGUARD_NAMED,
        why: WITHOUT_IT,
        cure: "enter brake_w; 0 where there is none",
    },
    Named {
        matters: &["thermistor"],
        what: "thermistors or thermal switches in the winding",
        answers: &[Field::Thermistor],
        concerns: is_motor,
        code: &codes::L360_SAFEGUARD_NAMED,
        why: WITHOUT_IT,
        cure: "enter thermistor; no where there are none",
    },
    Named {
        matters: &["space-heater"],
        what: "a heater for standstill",
        answers: &[Field::SpaceHeaterW],
        concerns: is_motor,
        code: &codes::L412_EXTRA_NAMED,
        why: WITHOUT_IT,
        cure: "enter space_heater_w; 0 where there is none",
    },
    Named {
        matters: &["emergency-stop"],
        what: "an emergency stop",
        answers: &[Field::EmergencyStop],
        concerns: is_motor,
        code: &codes::L360_SAFEGUARD_NAMED,
        why: WITHOUT_IT,
        cure: "enter emergency_stop category-0 or category-1; none where there is none",
    },
    Named {
        matters: &["safety-level"],
        what: "a safety function with its level",
        answers: &[Field::SafetyLevel],
        concerns: is_motor,
        code: &codes::L360_SAFEGUARD_NAMED,
        why: "one contactor in each place is chosen, without second channel and mirror contacts",
        cure: "enter safety_level, such as PL d or SIL 2; none where there is none",
    },
    Named {
        matters: &["moisture"],
        what: "a probe for moisture or a seal leak",
        answers: &[Field::InterlockNote],
        concerns: is_motor,
        code: &codes::L360_SAFEGUARD_NAMED,
        why: WITHOUT_IT,
        cure: "no relay, contact and core is chosen for it: have them added, say so in interlock_note, and decide this warning",
    },
    Named {
        matters: &["isolator"],
        what: "a local isolator",
        answers: &[Field::Isolator],
        concerns: lacks_isolator,
        code: &codes::L360_SAFEGUARD_NAMED,
        why: "none is chosen for it",
        cure: "enter isolator yes; no where there is none or where others supply it",
    },
    Named {
        matters: &["reversing"],
        what: "both directions of rotation",
        answers: &[Field::Reversing],
        concerns: turns_one_way,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "a starter for one direction is chosen",
        cure: "enter reversing yes; no where the motor turns one way",
    },
    Named {
        matters: &["two-speeds"],
        what: "two speeds",
        answers: &[Field::RatedPowerLowKw, Field::RatedPowerLowHp, Field::FullLoadCurrentLowA],
        concerns: is_started_at_one_speed,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "contactors, relay and conductors are chosen for one speed",
        cure: "enter starting_method two-speed-dahlander or two-speed-separate, with power and current of the low speed; or decide this",
    },
    Named {
        matters: &["heavy-start"],
        what: "a heavy start",
        answers: &[Field::StartTimeS, Field::InertiaKgm2, Field::LoadTorque],
        concerns: starts_under_load,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "trip class, relay, contactors and conductors are chosen for an ordinary start",
        cure: "enter start_time_s, the time of a start at full voltage",
    },
    Named {
        matters: &["direct-current-braking"],
        what: "braking by direct current",
        answers: &[],
        concerns: starts_under_load,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "no contactor, rectifier and interlock is chosen for it, and its current heats the motor as a start does",
        cure: "have the braking circuit chosen by hand, then decide this",
    },
    Named {
        matters: &["motor-capacitor"],
        what: "a capacitor at the motor",
        answers: &[Field::ReactivePowerKvar],
        concerns: starts_under_load,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "behind the overload relay it takes a part of the current from it, so that a relay set to the nameplate trips too late; a drive or soft starter must not feed it",
        cure: "have it connected before the relay or the setting lowered, and the contactor chosen with it, then decide this",
    },
    Named {
        matters: &["moving-cable"],
        what: "a cable that moves, in a chain, on a festoon or on a drum",
        answers: &[],
        concerns: always,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "a cable for fixed laying is chosen; one that is wound up carries less (IEC 60204-1, 12.6.3)",
        cure: "have a cable for this movement chosen by hand, with what it carries on the drum, then decide this",
    },
    Named {
        matters: &["buried-cable"],
        what: "a cable in the ground",
        answers: &[Field::InstallationMethod],
        concerns: is_laid_in_air,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "it is sized as one in the air, which carries more",
        cure: "enter installation_method D1 or D2, with ground_c and soil_k_m_w",
    },
    Named {
        matters: &["residual-current"],
        what: "a residual-current device",
        answers: &[],
        concerns: always,
        code: &codes::L360_SAFEGUARD_NAMED,
        why: "none is chosen, and none is in the parts list",
        cure: "add it by hand, before a drive one that also sees smooth direct current, then decide this",
    },
    Named {
        matters: &["sixty-hertz"],
        what: "60 Hz",
        answers: &[Field::FrequencyHz, Field::Supply],
        concerns: |case| is_at(case, 50.0),
        code: &codes::L363_CIRCUIT_NAMED,
        why: "the circuit is designed for 50 Hz, at which a motor for 60 Hz and the same voltage draws more current",
        cure: "enter frequency_hz and the nameplate values that hold for this supply",
    },
    Named {
        matters: &["fifty-hertz"],
        what: "50 Hz",
        answers: &[Field::FrequencyHz, Field::Supply],
        concerns: |case| is_at(case, 60.0),
        code: &codes::L363_CIRCUIT_NAMED,
        why: "the circuit is designed for 60 Hz, at which a motor for 50 Hz turns faster and its load takes more",
        cure: "enter frequency_hz and the nameplate values that hold for this supply",
    },
    Named {
        matters: &["bypass"],
        what: "a bypass of the drive",
        answers: &[Field::Bypass],
        concerns: is_driven,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "none is chosen",
        cure: "enter bypass yes; no where there is none or where it is part of the drive",
    },
    Named {
        matters: &["wound-rotor"],
        what: "a wound rotor",
        answers: &[],
        concerns: is_taken_for_a_cage_motor,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "device and start are those of a cage motor, and nothing is chosen for the rotor",
        cure: "enter starting_method rotor-resistance, rotor_current_a and rotor_voltage_v; decide this where a drive or soft starter brings up a rotor that is short-circuited",
    },
    Named {
        matters: &["shared-raceway"],
        what: "conductors of other circuits in the same raceway or on the same tray",
        answers: &[Field::GroupedCircuits],
        concerns: lies_alone,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "its conductors are sized as those of a circuit that lies alone",
        cure: "enter grouped_circuits, the circuits that lie together with this one among them; 1 where it lies alone",
    },
    Named {
        matters: &["chain"],
        what: "a cable or a circuit that several loads share",
        answers: &[Field::Circuit],
        concerns: always,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "each row gets a circuit, a protective device and a cable of its own",
        cure: "have the shared circuit designed by hand, or decide this if each load has a circuit of its own",
    },
    Named {
        matters: &["duty-and-standby"],
        what: "machines of which some run and others stand by",
        answers: &[Field::Running, Field::DutyGroup, Field::DutyCount, Field::StandbyCount],
        concerns: is_motor,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "all of them count as running",
        cure: "enter running duty or standby, and duty_group",
    },
    Named {
        matters: &["heater-steps"],
        what: "steps of a heater",
        answers: &[Field::Stages],
        concerns: is_heater,
        code: &codes::L363_CIRCUIT_NAMED,
        why: "one contactor and one device are chosen for all of it",
        cure: "write one row for each step with its power, or state stages 1 where all is switched together",
    },
    Named {
        matters: &["drive-accessory"],
        what: "a choke, a filter or a braking resistor",
        answers: &[],
        concerns: is_driven,
        code: &codes::L412_EXTRA_NAMED,
        why: "it is neither chosen nor listed, and its heat and width are in no sum of the board",
        cure: "order it with the drive, and add its heat and its place to the board by hand",
    },
];

fn always(_: &Case) -> bool {
    true
}

fn is_motor(case: &Case) -> bool {
    case.machine.kind == LoadKind::Motor
}

fn is_taken_for_a_cage_motor(case: &Case) -> bool {
    is_motor(case) && case.start.method != Method::RotorResistance
}

fn is_started_at_one_speed(case: &Case) -> bool {
    starts_under_load(case) && !case.start.method.two_speeds()
}

fn lies_alone(case: &Case) -> bool {
    !case.route.group_stated
}

fn is_heater(case: &Case) -> bool {
    case.machine.kind == LoadKind::Heater && !case.start.method.supply_only()
}

fn is_driven(case: &Case) -> bool {
    case.start.method == Method::Drive && !case.start.bypass
}

fn lacks_isolator(case: &Case) -> bool {
    !case.wishes.isolator && !case.start.method.supply_only()
}

fn turns_one_way(case: &Case) -> bool {
    let starter = !case.start.method.supply_only() && case.start.method != Method::Drive;
    is_motor(case) && starter && !case.start.reversing
}

/// A cable by a reference method of IEC 60364-5-52 that is none of those in the ground.
fn is_laid_in_air(case: &Case) -> bool {
    case.route.installation.iter().all(|method| matches!(method.as_str(), "A1" | "A2" | "B1" | "B2" | "C" | "E" | "F" | "G"))
}

/// A motor without a drive of its own on a supply of this frequency.
fn is_at(case: &Case, hertz: f64) -> bool {
    is_motor(case) && case.start.method != Method::Drive && (case.machine.frequency_hz - hertz).abs() < 1.0
}

/// The start goes over contactors, relays or a soft starter of ours.
fn starts_under_load(case: &Case) -> bool {
    is_motor(case) && case.start.method != Method::Drive && !case.start.method.supply_only()
}

/// Says what description and note name while its column is empty: the circuit is designed without it.
pub(super) fn ask(load: &Load, case: &Case, record: &mut Record) {
    let said: Vec<(Field, Vec<String>)> =
        [Field::Description, Field::Notes].into_iter().filter_map(|field| Some((field, words_of(load.text(field)?)))).collect();
    let open = |named: &&Named| (named.concerns)(case) && !named.answers.iter().any(|field| load.has(*field));
    for named in NAMED.iter().filter(open) {
        let names = |words: &[String]| named.matters.iter().any(|matter| suggests(matter, words));
        let Some((field, _)) = said.iter().find(|(_, words)| names(words)) else { continue };
        // A way that is called spare is asked whether it is one.
        if named.matters == ["duty-and-standby"] && load.text(*field).is_some_and(|text| is_spare_way(*field, text)) {
            continue;
        }
        let what = format!("the {} names {}, which no column states", saying(*field), named.what);
        record.find(Finding::new(named.code, what).at(load.place_of(*field)).why(named.why).cure(named.cure));
    }
}
