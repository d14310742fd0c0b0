//! Which cautions a design needs, and for which circuits: by applicability, so that nobody reads what does not concern them.

use crate::design::{Caution, Circuit, Design, StarterDevice};
use crate::rules::RuleBook;
use crate::rules::cautions::Applies;
use crate::rules::physics::devices::device_figure;
use crate::rules::services::About;

/// The cautions of a design in the book's order.
#[must_use]
pub fn applicable(design: &Design, book: &dyn RuleBook) -> Vec<Caution> {
    book.cautions()
        .iter()
        .filter_map(|caution| {
            let concerned = |circuit: &&Circuit| applies(caution.applies, circuit, design, book);
            let tags: Vec<String> = match caution.applies {
                Applies::Always => Vec::new(),
                _ => design.circuits.iter().filter(concerned).map(|circuit| circuit.tag.clone()).collect(),
            };
            if tags.is_empty() && caution.applies != Applies::Always {
                return None;
            }
            Some(Caution { id: caution.id.clone(), text: caution.text.clone(), source: caution.source.clone(), applies_to: tags })
        })
        .collect()
}

fn text<'a>(circuit: &'a Circuit, column: &str) -> &'a str {
    circuit.load.other.get(column).and_then(|value| value.as_str()).unwrap_or("")
}

/// A column says something, and not that there is none.
fn says(circuit: &Circuit, column: &str) -> bool {
    !matches!(text(circuit, column).trim().to_lowercase().as_str(), "" | "none" | "no")
}

/// Words of a packaged unit that holds a hermetic compressor.
const HERMETIC: &[&str] =
    &["compressor", "chiller", "rooftop unit", "split system", "condensing unit", "heat pump", "air condition"];

/// Equipment that goes by the circuit ampacity or the largest device on its nameplate.
fn marked(circuit: &Circuit) -> bool {
    ["minimum_circuit_ampacity_a", "maximum_protection_a"].iter().any(|column| circuit.load.other.contains_key(*column))
}

/// A three-phase drive whose rectifier the supply outweighs so far that its current is hardly limited.
fn on_strong_supply(circuit: &Circuit) -> bool {
    let rectifies = |device: &&StarterDevice| device.kind == "drive" && device.rated_a > 0.0 && circuit.load.phases == Some(3);
    let drive = circuit.starter_devices.iter().find(rectifies).map(|device| device.rated_a);
    let fault = circuit.fault.board_max_ka.map(|ka| ka * 1000.0);
    fault.zip(drive).is_some_and(|(fault, rated)| fault / rated > device_figure("choke-supply-ratio"))
}

/// The row names one of these services, or its description suggests it in the words of the book.
fn of_service(circuit: &Circuit, services: &[&str], book: &dyn RuleBook) -> bool {
    let stated = text(circuit, "service_class").trim().to_lowercase();
    let mut rows = book.not_covered().iter().filter(|row| row.about == About::Service && services.contains(&row.class.as_str()));
    services.contains(&stated.as_str())
        || rows.any(|row| row.suggested_by(&circuit.description) || row.remarked_in(text(circuit, "notes")))
}

/// What switches the coil: as resolved of row and basis, else as the row says.
fn driven_by(circuit: &Circuit) -> &str {
    circuit.control.as_ref().map_or_else(|| text(circuit, "driven_by"), |control| control.driven_by.as_str())
}

/// A maintained contact closes the load again by itself, whatever that contact is.
fn maintained(circuit: &Circuit) -> bool {
    text(circuit, "control_wires") == "two" || circuit.control.as_ref().is_some_and(|control| control.maintained)
}

/// Direct current flows in the coils, and through the contacts that switch them.
fn on_direct_current(circuit: &Circuit) -> bool {
    circuit.control.as_ref().is_some_and(|control| control.coil_voltage.ends_with("DC"))
}

fn applies(to: Applies, circuit: &Circuit, design: &Design, book: &dyn RuleBook) -> bool {
    let method = circuit.load.starting_method.as_deref().unwrap_or("");
    let drive = method == "drive";
    let description = || circuit.description.to_lowercase();
    let has = |code: &str| circuit.findings.iter().any(|finding| finding.code == code);
    match to {
        Applies::Always => true,
        Applies::Drive => drive,
        Applies::DriveBypass => drive && circuit.contactors.iter().any(|contactor| contactor.role == "bypass"),
        Applies::Aluminium => circuit.runs.iter().any(|run| run.material == "aluminium"),
        Applies::DriveOnStrongSupply => on_strong_supply(circuit),
        Applies::SoftStarter => method.starts_with("soft-starter"),
        Applies::StoredEnergy => drive || method.starts_with("soft-starter") || circuit.load.kind == "capacitor",
        Applies::StarDelta => method.starts_with("star-delta"),
        Applies::SecondPeak => method.starts_with("star-delta") || method == "part-winding" || method == "autotransformer",
        Applies::MotorCapacitor => circuit.load.kind == "capacitor",
        Applies::Dc => on_direct_current(circuit),
        Applies::Hazardous => has("L405") || has("L410") || has("I438"),
        Applies::IncreasedSafety => circuit.load.other.contains_key("te_s"),
        Applies::FirePump => has("L401") || (has("L403") && of_service(circuit, &["fire-pump"], book)),
        Applies::TwoWireOrAutoReset => text(circuit, "reset_mode") == "auto" || maintained(circuit),
        Applies::Plc => drive || driven_by(circuit) == "plc-output",
        Applies::EmergencyStop => says(circuit, "emergency_stop"),
        Applies::SafetyFunction => says(circuit, "safety_level"),
        // Only a drive has that function; a contactor takes the voltage away.
        Applies::SafeTorqueOff => drive && (says(circuit, "safety_level") || says(circuit, "emergency_stop")),
        Applies::Type1 => circuit.protection.as_ref().is_some_and(|protection| protection.coordination == "type-1"),
        Applies::Type2 => circuit.protection.as_ref().is_some_and(|protection| protection.coordination == "type-2"),
        Applies::Altitude => design.basis.design.altitude_m.is_some_and(|metres| metres > 2000.0),
        Applies::Generator => design.basis.sources.iter().any(|source| source.kind.as_deref() == Some("generator")),
        Applies::Hermetic => {
            circuit.load.kind == "packaged" && (marked(circuit) || HERMETIC.iter().any(|word| description().contains(word)))
        }
        Applies::HighEfficiency => {
            matches!(circuit.load.efficiency_class.as_deref(), Some("IE3" | "IE4" | "IE5" | "NEMA-premium" | "energy-efficient"))
        }
        Applies::AssumedData => has("L320"),
        Applies::Voltage400OrFault5ka => {
            circuit.load.voltage_v.is_some_and(|volts| volts >= 400.0) || circuit.fault.board_max_ka.is_some_and(|ka| ka >= 5.0)
        }
        Applies::SpecialDuty => has("L402") || has("L403"),
        Applies::Lifting => of_service(circuit, &["crane", "elevator"], book),
        Applies::Rotating => circuit.load.kind == "motor",
        Applies::LongControlCable => circuit
            .load
            .other
            .get("control_cable_length_m")
            .and_then(serde_json::Value::as_f64)
            .is_some_and(|metres| metres > 100.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Finding, codes};

    fn circuit(kind: &str, description: &str, volts: f64) -> Circuit {
        let mut circuit = Circuit { description: description.to_owned(), ..Circuit::default() };
        circuit.load.kind = kind.to_owned();
        circuit.load.voltage_v = Some(volts);
        circuit
    }

    fn needs_in(book: &str, to: Applies, circuit: &Circuit) -> bool {
        let design = Design { rule_book: book.to_owned(), ..Design::default() };
        applies(to, circuit, &design, crate::rules::book(book, None).expect("a book"))
    }

    fn needs(to: Applies, circuit: &Circuit) -> bool {
        needs_in("nec", to, circuit)
    }

    #[test]
    fn conditions_hold_for_designs_of_either_book() {
        assert!(needs(Applies::Hermetic, &circuit("packaged", "Rooftop unit", 480.0)));
        assert!(!needs(Applies::Hermetic, &circuit("packaged", "Domestic booster, duplex", 480.0)));
        assert!(needs(Applies::Lifting, &circuit("motor", "Hydraulic elevator pump", 480.0)));
        assert!(needs(Applies::Voltage400OrFault5ka, &circuit("motor", "Pump", 480.0)));
        let mut low = circuit("motor", "Pump", 208.0);
        assert!(!needs(Applies::Voltage400OrFault5ka, &low));
        low.fault.board_max_ka = Some(10.0);
        assert!(needs(Applies::Voltage400OrFault5ka, &low));
    }

    /// 110.16(A) has no threshold of voltage or current: equipment at 208 V below 5 kA has the caution too.
    #[test]
    fn an_arc_flash_is_possible_on_every_board_under_the_nec() {
        let book = crate::rules::book("nec", None).expect("a book");
        let mut design = Design { rule_book: "nec".to_owned(), ..Design::default() };
        design.circuits.push(circuit("motor", "Pump", 208.0));
        assert!(applicable(&design, book).iter().any(|caution| caution.id == "N09" && caution.applies_to.is_empty()));
    }

    /// 440.4(B): equipment goes by what is marked on it, whatever it is called; 430.124: of a bypass speaks only a drive that has one.
    #[test]
    fn cautions_go_by_markings_and_by_a_bypass_that_is_there() {
        let mut unit = circuit("packaged", "Make-up air unit", 460.0);
        assert!(!needs(Applies::Hermetic, &unit));
        unit.load.other.insert("minimum_circuit_ampacity_a".to_owned(), serde_json::json!(33.0));
        assert!(needs(Applies::Hermetic, &unit));
        let mut fan = circuit("motor", "Fan", 460.0);
        fan.load.starting_method = Some("drive".to_owned());
        assert!(needs(Applies::Drive, &fan) && !needs(Applies::DriveBypass, &fan));
        fan.contactors.push(crate::design::Contactor { role: "bypass".to_owned(), ..Default::default() });
        assert!(needs(Applies::DriveBypass, &fan));
    }

    /// NFPA 70, 430.43, and IEC 60204-1, 7.5: a motor whose control contact is maintained starts by itself when its supply comes back,
    /// whatever that contact is. What switches the coil is what row and basis together say.
    #[test]
    fn cautions_of_control_go_by_what_the_control_is() {
        let mut motor = circuit("motor", "Heat pump", 400.0);
        let control = |driven_by: &str, maintained: bool| {
            Some(crate::design::Control { driven_by: driven_by.to_owned(), maintained, ..Default::default() })
        };
        for (driven_by, maintained, by_itself, plc) in
            [("thermostat", true, true, false), ("plc-output", true, true, true), ("pushbutton", false, false, false)]
        {
            motor.control = control(driven_by, maintained);
            let mut design = Design { rule_book: "iec".to_owned(), ..Design::default() };
            design.basis.control.drive = Some("plc-output".to_owned());
            let book = crate::rules::book("iec", None).expect("a book");
            assert_eq!(applies(Applies::TwoWireOrAutoReset, &motor, &design, book), by_itself, "{driven_by}");
            assert_eq!(applies(Applies::Plc, &motor, &design, book), plc, "{driven_by}");
        }
    }

    #[test]
    fn drives_that_their_supply_outweighs_are_named() {
        // Trade practice: a line choke from a hundred times the drive's power at its board on; 10 A, so 1 kA.
        let mut fan = circuit("motor", "Fan", 480.0);
        fan.load.phases = Some(3);
        fan.starter_devices.push(StarterDevice { kind: "drive".to_owned(), rated_a: 10.0, ..StarterDevice::default() });
        for (fault_ka, needed) in [(Some(1.05), true), (Some(0.95), false), (None, false)] {
            fan.fault.board_max_ka = fault_ka;
            assert_eq!(needs(Applies::DriveOnStrongSupply, &fan), needed, "{fault_ka:?}");
        }
        fan.fault.board_max_ka = Some(10.0);
        fan.starter_devices[0].kind = "soft-starter".to_owned();
        assert!(!needs(Applies::DriveOnStrongSupply, &fan));
    }

    #[test]
    fn efficiency_classes_of_both_trades_count() {
        let mut motor = circuit("motor", "Pump", 480.0);
        for (class, needed) in [("IE3", true), ("NEMA-premium", true), ("energy-efficient", true), ("IE2", false)] {
            motor.load.efficiency_class = Some(class.to_owned());
            assert_eq!(needs(Applies::HighEfficiency, &motor), needed, "{class}");
        }
    }

    #[test]
    fn a_referred_service_brings_its_caution() {
        let mut pump = circuit("motor", "Pump", 480.0);
        assert!(!needs(Applies::FirePump, &pump) && !needs(Applies::SpecialDuty, &pump));
        pump.findings.push(Finding::new(&codes::L401_FIRE_PUMP, "a fire pump is not sized"));
        assert!(needs(Applies::FirePump, &pump));
        pump.findings.push(Finding::new(&codes::L402_SPECIAL_SERVICE, "an elevator"));
        assert!(needs(Applies::SpecialDuty, &pump));
    }

    /// Cautions of services go by the finding that names the service; one of special services is a fire pump's only where it says so.
    #[test]
    fn cautions_of_services_stand_where_the_service_is_named() {
        let named = |description: &str, code| {
            let mut circuit = circuit("motor", description, 480.0);
            circuit.findings.push(Finding::new(code, "a service"));
            circuit
        };
        assert!(
            needs(Applies::Hazardous, &named("Pump", &codes::L405_EXPLOSIVE))
                && !needs(Applies::Hazardous, &circuit("motor", "Pump", 480.0))
        );
        assert!(needs(Applies::FirePump, &named("Pump", &codes::L401_FIRE_PUMP)));
        assert!(
            needs(Applies::FirePump, &named("Fire pump", &codes::L403_SERVICE_ASKED))
                && !needs(Applies::FirePump, &named("Lift", &codes::L403_SERVICE_ASKED))
        );
        assert!(!needs(Applies::FirePump, &circuit("motor", "Fire pump", 480.0)));
        assert!(!needs(Applies::EmergencyStop, &circuit("motor", "Pump", 480.0)));
    }

    /// IEC 60947-4-1, categories DC-1 to DC-13: contacts of a coil at 24 V direct current switch that. IEC 61800-5-2 gives safe torque off
    /// to drives alone.
    #[test]
    fn cautions_of_direct_current_and_of_torque_stand_where_there_is_such() {
        let mut motor = circuit("motor", "Pump", 400.0);
        let with = |coil_voltage: &str| crate::design::Control { coil_voltage: coil_voltage.to_owned(), ..Default::default() };
        for (coils, needed) in [(Some("24 V DC"), true), (Some("230 V AC"), false), (None, false)] {
            motor.control = coils.map(with);
            for book in ["iec", "nec"] {
                assert_eq!(needs_in(book, Applies::Dc, &motor), needed, "{book}: {coils:?}");
            }
        }
        let state = |circuit: &mut Circuit, name: &str, word: &str| circuit.load.other.insert(name.to_owned(), word.into());
        state(&mut motor, "safety_level", "PL d");
        for (method, torque) in [("direct", false), ("soft-starter", false), ("drive", true)] {
            motor.load.starting_method = Some(method.to_owned());
            assert_eq!(needs(Applies::SafeTorqueOff, &motor), torque, "{method}");
            assert!(needs(Applies::SafetyFunction, &motor), "{method}");
        }
        state(&mut motor, "safety_level", "none");
        assert!(!needs(Applies::SafetyFunction, &motor) && !needs(Applies::SafeTorqueOff, &motor));
    }

    /// A lift station lifts sewage; what hangs on a hook or a rope can fall, in any language of the schedule.
    #[test]
    fn a_load_that_can_fall_is_known_by_its_service() {
        for (description, falls) in [
            ("Lift station pump", false),
            ("Abwasserhebewerk Pumpe 2", false),
            ("Krankenhaus Lüfter", false),
            ("Hebewerk Kran", true),
            ("Hallenkran Hubwerk", true),
            ("Workshop hoist", true),
            ("Goods lift", true),
            ("Aufzug 2", true),
            ("Pont roulant 10 t", true),
            ("Grue de quai", true),
            ("Puente grúa", true),
            ("Arena gruesa, cinta", false),
            ("Carroponte", true),
        ] {
            assert_eq!(needs_in("iec", Applies::Lifting, &circuit("motor", description, 400.0)), falls, "{description}");
        }
        let mut motor = circuit("motor", "M-7", 400.0);
        assert!(!needs(Applies::Lifting, &motor));
        motor.load.other.insert("service_class".to_owned(), "crane".into());
        assert!(needs(Applies::Lifting, &motor));
    }
}
