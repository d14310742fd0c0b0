//! The contacts that switch the coils: a controller's output directly where it can, else an interposing relay for each command.

use crate::catalogue::InterposingRelay;
use crate::design::{Accessory, Circuit};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Amperes, VoltAmperes, Volts, Watts, round_to};
use crate::record::Record;
use crate::rules::physics::control::{self, Burden, practice};
use crate::sizing::Tools;
use crate::sizing::assembly::Assembly;
use crate::sizing::control::coils::{Coils, same};
use crate::sizing::judge::{Verdict, at_most, choose as first, not_checked};

/// Clause of a controller's output.
const OUTPUT: &str = "rule of one technical page: 80 % of the output's rating";
/// Clause of a relay's contact.
const CONTACT: &str = "ratings of the contact: AC-15, DC-13";

/// How the coils are switched.
#[derive(Clone, Debug)]
pub(super) struct Switched {
    /// Commands from outside.
    pub(super) commands: u32,
    /// Each over a relay.
    pub(super) interposed: bool,
    /// Largest power through a conductor from the contact while coils or a relay pick up.
    pub(super) pick_up: Burden,
    /// Voltage of that.
    pub(super) volts: f64,
    /// Direct current.
    pub(super) dc: bool,
}

/// Power behind the command that switches most.
fn largest(coils: &Coils) -> (Burden, Burden) {
    let mut all: Vec<(Burden, Burden)> = coils.commands.iter().map(|command| coils.behind(command)).collect();
    if all.is_empty() {
        all.push((coils.event(), coils.hold()));
    }
    let most = |of: fn(&(Burden, Burden)) -> Burden| {
        all.iter().map(of).max_by(|a, b| a.magnitude().0.total_cmp(&b.magnitude().0)).unwrap_or_default()
    };
    (most(|burdens| burdens.0), most(|burdens| burdens.1))
}

/// Decides whether coils are switched directly, and adds the relays.
pub(super) fn choose(
    case: &Case,
    assembly: &Assembly<'_>,
    coils: &Coils,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) -> Switched {
    let voltage = case.control.voltage;
    let (mut pick_up, hold) = largest(coils);
    if assembly.arrangement.star_delta_timer || !assembly.arrangement.timed.is_empty() {
        pick_up = pick_up + Burden::direct(Watts(practice("timer-power")));
    }
    let commands = u32::try_from(coils.commands.len()).unwrap_or(1).max(1);
    let direct = Switched { commands, interposed: false, pick_up, volts: voltage.volts, dc: voltage.dc };
    if case.control.driven_by != "plc-output" {
        return direct;
    }
    let output = practice("output-voltage");
    let suits = voltage.dc && same(voltage.volts, output);
    if suits && coils.complete && by_output(case, coils, (pick_up, hold), circuit, record) {
        return direct;
    }
    let relay = relay(case, (pick_up, hold), commands, tools, circuit, record);
    let power = relay.map_or(0.0, |relay| relay.coil_w);
    Switched { commands, interposed: true, pick_up: Burden::direct(Watts(power)), volts: output, dc: true }
}

/// Whether the output drives the coils; its checks where it does, the reason where it does not.
fn by_output(case: &Case, coils: &Coils, (pick_up, hold): (Burden, Burden), circuit: &mut Circuit, record: &mut Record) -> bool {
    let volts = Volts(case.control.voltage.volts);
    let limit = control::output_limit(record, case.control.output);
    let need = VoltAmperes(pick_up.magnitude().0.max(hold.magnitude().0));
    let current = control::coil_current(record, need, volts);
    // The leakage must not hold the coil that holds with least.
    let least = coils.each.iter().min_by(|a, b| a.hold.magnitude().0.total_cmp(&b.hold.magnitude().0));
    let leakage = least.map(|coil| {
        let left = control::leakage_voltage(record, volts, Watts(coil.hold.magnitude().0));
        at_most("output-leakage", left, 100.0 * coil.release, "%", "semiconductor outputs; from memory")
    });
    let checks = [Some(at_most("output-current", current.0, limit.0, "A", OUTPUT)), leakage];
    if checks.iter().flatten().all(|check| check.passed == Some(true)) {
        circuit.checks.extend(checks.into_iter().flatten());
        return true;
    }
    record.find(
        Finding::new(
            &codes::C403_INTERPOSING_RELAY,
            format!(
                "the coil draws {} A; a controller's output of {} A may carry {} A: an interposing relay is added",
                round_to(current.0, 2),
                case.control.output.0,
                round_to(limit.0, 2)
            ),
        )
        .at(case.place.clone()),
    );
    false
}

fn verdict(relay: &InterposingRelay, case: &Case, (pick_up, hold): (Burden, Burden), record: &mut Record) -> Verdict {
    let voltage = case.control.voltage;
    let volts = Volts(voltage.volts);
    let limit = control::output_limit(record, case.control.output);
    let draws = control::coil_current(record, VoltAmperes(relay.coil_w), Volts(relay.coil_v));
    let makes = control::coil_current(record, pick_up.magnitude(), volts);
    let breaks = control::coil_current(record, hold.magnitude(), volts);
    // A contact for direct current makes no more than it breaks.
    let (rated, making) =
        if voltage.dc { (relay.contact_dc_a, 1.0) } else { (Some(relay.contact_a), practice("contact-making")) };
    let rated = Amperes(rated.unwrap_or(0.0));
    let subject = "interposing relay";
    Verdict {
        checks: vec![
            at_most("output-current", draws.0, limit.0, "A", OUTPUT).about(subject),
            at_most("relay-contact-making", makes.0, (rated * making).0, "A", CONTACT).about(subject),
            at_most("relay-contact-breaking", breaks.0, rated.0, "A", CONTACT).about(subject),
        ],
    }
}

/// The relay between output and coil: the first whose coil is of the output's voltage and whose contact switches the coil.
fn relay<'a>(
    case: &Case,
    powers: (Burden, Burden),
    commands: u32,
    tools: &Tools<'a>,
    circuit: &mut Circuit,
    record: &mut Record,
) -> Option<&'a InterposingRelay> {
    let voltage = case.control.voltage;
    let output = practice("output-voltage");
    let suits = |relay: &&InterposingRelay| {
        let most = if voltage.dc { relay.contact_dc_max_v.unwrap_or(0.0) } else { relay.contact_max_v };
        relay.coil_dc && same(relay.coil_v, output) && voltage.volts <= most && relay.contacts_no >= 1
    };
    // The output switches the relay's coil: one that brings its suppression comes before all others.
    let mut candidates: Vec<&InterposingRelay> = tools.catalogue.interposing_relays.iter().filter(suits).collect();
    candidates.sort_by_key(|relay| !relay.suppression_built_in);
    let choice = first(candidates, |relay| verdict(relay, case, powers, &mut Record::silent()));
    let why = format!("the controller's output does not switch a coil of {voltage} directly; one for each command");
    let mut accessory = Accessory { kind: "interposing-relay".to_owned(), quantity: commands, why, ..Accessory::default() };
    let chosen = choice.chosen.map(|(relay, verdict)| {
        circuit.checks.extend(verdict.checks);
        accessory.part.clone_from(&relay.part);
        accessory.no = relay.contacts_no;
        relay
    });
    if let Some(relay) = chosen.filter(|relay| !relay.suppression_built_in) {
        record.find(
            Finding::new(&codes::C415_RELAY_UNSUPPRESSED, format!("the coil of {} has no suppression of its own", relay.part))
                .at(case.place.clone())
                .why("its switching overvoltage destroys the transistor of the controller's output")
                .cure("add a relay with suppression to the catalogue, or fit a diode across its coil"),
        );
    }
    if chosen.is_none() {
        let because = "the catalogue holds no interposing relay that switches the coil";
        circuit.checks.push(not_checked("relay-contact-breaking", "A", because, CONTACT).about("interposing relay"));
        record.find(
            Finding::new(
                &codes::C406_NO_RELAY,
                format!("the catalogue holds no interposing relay with a coil of {output} V DC that switches {voltage} coils of {} VA", round_to(powers.0.magnitude().0, 1)),
            )
            .at(case.place.clone())
            .cure("add one to the catalogue, or choose contactors that need less power"),
        );
    }
    circuit.accessories.push(accessory);
    chosen
}
