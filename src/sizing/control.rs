//! The control circuit: coils, what they draw, what switches them, and whether a controller's output can.

use crate::catalogue::{Coil, Contactor};
use crate::design::{Check, Circuit, Control, Disconnect};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::units::Units;
use crate::rules::{DisconnectDemand, RatedCurrents};
use crate::sizing::Tools;
use crate::sizing::assembly::{Assembly, Device};
use crate::sizing::judge::{Verdict, at_most, choose as first, not_checked};

/// Share of a controller's output that a coil may load: one trade source.
const OUTPUT_SHARE: f64 = 0.8;

/// The coil of the case's control voltage.
#[must_use]
pub fn coil<'a>(case: &Case, tools: &Tools<'a>) -> Option<&'a Coil> {
    let wanted = case.control.voltage;
    tools.catalogue.coils.iter().find(|coil| coil.dc == wanted.dc && (coil.volts - wanted.volts).abs() < 0.5)
}

/// Pick-up and holding power of a contactor's coil, VA or W.
fn powers(contactor: &Contactor, dc: bool) -> Option<(f64, f64)> {
    if dc {
        contactor.coil_dc_pick_up_w.zip(contactor.coil_dc_hold_w)
    } else {
        Some((contactor.coil_ac_pick_up_va, contactor.coil_ac_hold_va))
    }
}

/// Describes the control circuit, gives contactors their coils and adds the local isolator.
pub fn describe(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    disconnect(case, currents, assembly, tools, circuit, record);
    if assembly.contactors.is_empty() {
        return;
    }
    let voltage = case.control.voltage;
    let coil = coil(case, tools);
    if coil.is_none() {
        record.find(
            Finding::new(&codes::C401_COIL_VOLTAGE, format!("the catalogue has no coil for {voltage}"))
                .at(case.place.clone())
                .cure("choose a control voltage of the catalogue, or add the coil to it"),
        );
    }
    let mut largest_pick_up = 0f64;
    let mut holding: Vec<(&str, f64)> = Vec::new();
    for (chosen, result) in assembly.contactors.iter().zip(&mut circuit.contactors) {
        let Some(contactor) = chosen.contactor else { continue };
        if let Some(coil) = coil {
            result.part = contactor.part_with(coil);
        }
        result.suppression_built_in =
            if voltage.dc { contactor.dc_suppression_built_in } else { contactor.ac_suppression_built_in };
        match powers(contactor, voltage.dc) {
            Some((pick_up, hold)) => {
                largest_pick_up = largest_pick_up.max(pick_up);
                holding.push((chosen.role.name, hold));
            }
            None => record.find(
                Finding::new(&codes::C402_NO_DC_COIL, format!("{} is not made with a coil for direct current", contactor.part))
                    .at(case.place.clone())
                    .cure("choose an alternating control voltage, or another range"),
            ),
        }
    }
    // Contactors that exclude each other never hold together: of each such pair the larger counts.
    let mut hold_va: f64 = holding.iter().map(|(_, hold)| hold).sum();
    for (a, b) in assembly.arrangement.interlocked(&case.start) {
        let of = |name: &str| holding.iter().find(|(role, _)| *role == name).map_or(0.0, |(_, hold)| *hold);
        hold_va -= of(a).min(of(b));
    }
    let hold_va = hold_va.max(holding.iter().map(|(_, hold)| *hold).fold(0.0, f64::max));
    let first_hold = holding.first().map_or(0.0, |(_, hold)| *hold);
    let pick_up_va = largest_pick_up + (hold_va - first_hold).max(0.0);
    let interposing_relay = needs_interposing_relay(case, largest_pick_up, record);
    circuit.control = Some(Control {
        coil_voltage: voltage.to_string(),
        pick_up_va: round_to(pick_up_va, 2),
        hold_va: round_to(hold_va, 2),
        driven_by: case.control.driven_by.to_owned(),
        interposing_relay,
    });
}

/// A controller's output switches a coil directly only at its own direct voltage and at 80 % of its rating at most.
fn needs_interposing_relay(case: &Case, pick_up: f64, record: &mut Record) -> bool {
    if case.control.driven_by != "plc-output" {
        return false;
    }
    let voltage = case.control.voltage;
    let current = pick_up / voltage.volts;
    let needed = !voltage.dc || voltage.volts > 30.0 || current > OUTPUT_SHARE * case.control.output.0;
    if needed && voltage.dc {
        record.find(
            Finding::new(
                &codes::C403_INTERPOSING_RELAY,
                format!(
                    "the coil draws {} A; a controller's output of {} A may carry {} A: an interposing relay is added",
                    round_to(current, 2),
                    case.control.output.0,
                    round_to(OUTPUT_SHARE * case.control.output.0, 2)
                ),
            )
            .at(case.place.clone()),
        );
    }
    needed
}

/// The disconnecting means: the protective device where every circuit must have one, and a local one where it is wanted. The local
/// one is what the circuit shows; it does not replace that of the controller (430.102(A)).
fn disconnect(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    let mut scratch = Record::silent();
    if tools.book.disconnect(&case.machine, currents, assembly.line, &mut scratch).always {
        let working = if case.wishes.isolator { &mut scratch } else { &mut *record };
        let demand = tools.book.disconnect(&case.machine, currents, assembly.line, working);
        at_controller(case, &demand, assembly, circuit);
    }
    if case.wishes.isolator {
        circuit.disconnect = None;
        let demand = tools.book.disconnect(&case.machine, currents, Amperes(circuit_current(assembly)), record);
        local(case, &demand, assembly, tools, circuit, record);
    }
}

/// What may serve as a disconnecting means.
struct Switch<'a> {
    part: &'a str,
    rated: f64,
    horsepower: Option<f64>,
    lockable: bool,
    max_fuse_a: Option<f64>,
}

impl<'a> Switch<'a> {
    /// The protective device, or the switch that holds its fuses.
    fn of(device: Device<'a>, volts: f64) -> Self {
        // Families that say nothing of a lock are not called lockable.
        let (rated, horsepower, lockable) = match device {
            Device::Motor(own) => (own.range_max_a, None, false),
            Device::Moulded(own) => (own.rating_a, None, false),
            Device::Line(own) => (own.rating_a, None, false),
            Device::Branch(own) => (own.rating_a, None, own.lockable),
            Device::Fuse(own) => {
                (own.switch_rating_a.unwrap_or(own.rating_a), own.switch_horsepower(volts), own.switch_lockable.unwrap_or(false))
            }
        };
        Self { part: device.part(), rated, horsepower, lockable, max_fuse_a: None }
    }

    fn describe(&self, kind: &str, demand: &DisconnectDemand, location: &str) -> Disconnect {
        Disconnect {
            kind: kind.to_owned(),
            category: demand.category.to_owned(),
            rating_a: Some(self.rated),
            rating_hp: self.horsepower,
            location: location.to_owned(),
            lockable: self.lockable,
            part: self.part.to_owned(),
        }
    }
}

fn switches<'a>(case: &Case, poles: u32, tools: &Tools<'a>) -> Vec<Switch<'a>> {
    let volts = case.machine.voltage.0;
    let isolators = tools.catalogue.isolators.iter().filter(|own| own.poles == poles).map(|own| Switch {
        part: &own.part,
        rated: if volts <= 440.0 { own.ac23_440_a } else { own.ac23_690_a },
        horsepower: None,
        lockable: own.lockable,
        max_fuse_a: Some(own.max_fuse_a),
    });
    let at_least = if case.machine.phases == 3 { 3 } else { 2 };
    let disconnects = tools.catalogue.disconnects_of(at_least).filter(|own| volts <= own.max_voltage_v).map(|own| Switch {
        part: &own.part,
        rated: own.rating_a,
        horsepower: own.horsepower(case.machine.phases, volts),
        lockable: own.lockable,
        max_fuse_a: None,
    });
    isolators.chain(disconnects).collect()
}

fn local(
    case: &Case,
    demand: &DisconnectDemand,
    assembly: &Assembly<'_>,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    let units = Units::of(tools.book.key());
    let poles = if case.start.method.needs_delta_winding() { 6 } else { 3 };
    let share = if poles == 6 { demand.current.0 / 3f64.sqrt() } else { demand.current.0 };
    let fuse = assembly.protection.as_ref().map(|own| own.rating.0);
    let choice = first(switches(case, poles, tools), |own| {
        let mut verdict = Verdict::default();
        let mut add = |check: Check| verdict.checks.push(check.about("local isolator"));
        add(at_most("disconnect-rating", share, own.rated, "A", demand.reference));
        if let Some(horsepower) = demand.horsepower {
            add(at_most("disconnect-horsepower", horsepower, own.horsepower.unwrap_or(0.0), "hp", demand.reference));
        }
        if let (Some(fuse), Some(largest)) = (fuse, own.max_fuse_a) {
            add(at_most("protection-maximum", fuse, largest, "A", "local isolator: largest device before it"));
        }
        verdict
    });
    let Some((own, verdict)) = choice.chosen else {
        circuit.checks.push(
            not_checked(
                "disconnect-rating",
                "A",
                units.pick("the catalogue holds no isolator that fits", "the catalogue holds no disconnect switch that fits"),
                demand.reference,
            )
            .about("local isolator"),
        );
        record.find(
            Finding::new(
                &codes::C404_NO_ISOLATOR,
                match (units, demand.horsepower) {
                    (Units::Customary, Some(hp)) => format!(
                        "the catalogue holds no disconnect switch for {} A and {} hp with {poles} poles",
                        round_to(share, 2),
                        round_to(hp, 2)
                    ),
                    (Units::Customary, None) => {
                        format!("the catalogue holds no disconnect switch for {} A with {poles} poles", round_to(share, 2))
                    }
                    (Units::Metric, _) => format!(
                        "the catalogue holds no local isolator for {} A in {} with {poles} poles",
                        round_to(share, 2),
                        demand.category
                    ),
                },
            )
            .at(case.place.clone())
            .cure("add one to the catalogue"),
        );
        return;
    };
    circuit.checks.extend(verdict.checks);
    circuit.disconnect = Some(own.describe("isolator", demand, "at the machine"));
}

/// The protective device or its fusible switch disconnects at the controller.
fn at_controller(case: &Case, demand: &DisconnectDemand, assembly: &Assembly<'_>, circuit: &mut Circuit) {
    let Some(protection) = &assembly.protection else { return };
    let own = Switch::of(protection.device, case.machine.voltage.0);
    let subject = "disconnecting means";
    circuit.checks.push(at_most("disconnect-rating", demand.current.0, own.rated, "A", demand.reference).about(subject));
    if let (Some(needed), Some(rated)) = (demand.horsepower, own.horsepower) {
        circuit.checks.push(at_most("disconnect-horsepower", needed, rated, "hp", demand.reference).about(subject));
    }
    circuit.disconnect = Some(own.describe(protection.device.kind(), demand, "at the controller"));
}

fn circuit_current(assembly: &Assembly<'_>) -> f64 {
    // At the machine the motor's own current flows, not the input current of a drive.
    let device = assembly.devices.iter().map(|device| device.current.0).fold(0.0, f64::max);
    if assembly.devices.iter().any(|device| device.drive.is_some()) { device } else { assembly.line.0 }
}
