//! Which cautions a design needs, and for which circuits: by applicability, so that nobody reads what does not concern them.

use crate::design::{Caution, Circuit, Design, StarterDevice};
use crate::rules::RuleBook;
use crate::rules::physics::devices::device_figure;

/// The cautions of a design in the book's order.
#[must_use]
pub fn applicable(design: &Design, book: &dyn RuleBook) -> Vec<Caution> {
    book.cautions()
        .iter()
        .filter_map(|[id, key, text, source]| {
            let tags: Vec<String> = if *key == "always" {
                Vec::new()
            } else {
                let tags: Vec<String> = design
                    .circuits
                    .iter()
                    .filter(|circuit| applies(key, circuit, design))
                    .map(|circuit| circuit.tag.clone())
                    .collect();
                if tags.is_empty() {
                    return None;
                }
                tags
            };
            Some(Caution { id: (*id).to_owned(), text: (*text).to_owned(), source: (*source).to_owned(), applies_to: tags })
        })
        .collect()
}

fn text<'a>(circuit: &'a Circuit, column: &str) -> &'a str {
    circuit.load.other.get(column).and_then(|value| value.as_str()).unwrap_or("")
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
    let rectifies = |own: &&StarterDevice| own.kind == "drive" && own.rated_a > 0.0 && circuit.load.phases == Some(3);
    let drive = circuit.starter_devices.iter().find(rectifies).map(|own| own.rated_a);
    let fault = circuit.fault.board_max_ka.map(|ka| ka * 1000.0);
    fault.zip(drive).is_some_and(|(fault, rated)| fault / rated > device_figure("choke-supply-ratio"))
}

fn applies(key: &str, circuit: &Circuit, design: &Design) -> bool {
    let method = circuit.load.starting_method.as_deref().unwrap_or("");
    let description = circuit.description.to_lowercase();
    let has = |code: &str| circuit.findings.iter().any(|finding| finding.code == code);
    match key {
        "drive" => method == "drive",
        "drive-bypass" => method == "drive" && circuit.contactors.iter().any(|own| own.role == "bypass"),
        "drive-on-strong-supply" => on_strong_supply(circuit),
        "soft-starter" => method.starts_with("soft-starter"),
        "stored-energy" => method == "drive" || method.starts_with("soft-starter") || circuit.load.kind == "capacitor",
        "star-delta" => method.starts_with("star-delta"),
        "second-peak" => method.starts_with("star-delta") || method == "part-winding" || method == "autotransformer",
        "motor-capacitor" => circuit.load.kind == "capacitor",
        "hazardous" => has("L405") || has("L410") || has("I438"),
        "increased-safety" => circuit.load.other.contains_key("te_s"),
        "fire-pump" => has("L401") || (has("L403") && description.contains("fire")),
        "two-wire-or-auto-reset" => text(circuit, "reset_mode") == "auto" || text(circuit, "control_wires") == "two",
        "plc" => {
            text(circuit, "driven_by") == "plc-output"
                || method == "drive"
                || design.basis.control.drive.as_deref() == Some("plc-output")
        }
        "emergency-stop" => !matches!(text(circuit, "emergency_stop"), "" | "none"),
        "safety-function" | "safe-torque-off" => !text(circuit, "safety_level").is_empty(),
        "type-1" => circuit.protection.as_ref().is_some_and(|own| own.coordination == "type-1"),
        "type-2" => circuit.protection.as_ref().is_some_and(|own| own.coordination == "type-2"),
        "altitude" => design.basis.design.altitude_m.is_some_and(|metres| metres > 2000.0),
        "generator" => design.basis.sources.iter().any(|source| source.kind.as_deref() == Some("generator")),
        "hermetic" => {
            circuit.load.kind == "packaged" && (marked(circuit) || HERMETIC.iter().any(|word| description.contains(word)))
        }
        "high-efficiency" => {
            matches!(circuit.load.efficiency_class.as_deref(), Some("IE3" | "IE4" | "IE5" | "NEMA-premium" | "energy-efficient"))
        }
        "assumed-data" => has("L320"),
        "aluminium" => circuit.runs.iter().any(|run| run.material == "aluminium"),
        "voltage-400-or-fault-5ka" => {
            circuit.load.voltage_v.is_some_and(|volts| volts >= 400.0) || circuit.fault.board_max_ka.is_some_and(|ka| ka >= 5.0)
        }
        "special-duty" => has("L402") || has("L403"),
        "lifting" => ["hoist", "lift", "crane", "elevator"].iter().any(|word| description.contains(word)),
        "rotating" => circuit.load.kind == "motor",
        "long-control-cable" => circuit
            .load
            .other
            .get("control_cable_length_m")
            .and_then(serde_json::Value::as_f64)
            .is_some_and(|metres| metres > 100.0),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Finding, codes};

    fn circuit(kind: &str, description: &str, volts: f64) -> Circuit {
        let mut own = Circuit { description: description.to_owned(), ..Circuit::default() };
        own.load.kind = kind.to_owned();
        own.load.voltage_v = Some(volts);
        own
    }

    fn needs(key: &str, circuit: &Circuit) -> bool {
        let design = Design { rule_book: "nec".to_owned(), ..Design::default() };
        applies(key, circuit, &design)
    }

    #[test]
    fn conditions_hold_for_designs_of_either_book() {
        assert!(needs("hermetic", &circuit("packaged", "Rooftop unit", 480.0)));
        assert!(!needs("hermetic", &circuit("packaged", "Domestic booster, duplex", 480.0)));
        assert!(needs("lifting", &circuit("motor", "Hydraulic elevator pump", 480.0)));
        assert!(needs("voltage-400-or-fault-5ka", &circuit("motor", "Pump", 480.0)));
        let mut low = circuit("motor", "Pump", 208.0);
        assert!(!needs("voltage-400-or-fault-5ka", &low));
        low.fault.board_max_ka = Some(10.0);
        assert!(needs("voltage-400-or-fault-5ka", &low));
    }

    /// 110.16(A) has no threshold of voltage or current (reviewer's finding): equipment at 208 V below 5 kA has the caution too.
    #[test]
    fn an_arc_flash_is_possible_on_every_board_under_the_nec() {
        let book = crate::rules::book("nec", None).expect("a book");
        let mut design = Design { rule_book: "nec".to_owned(), ..Design::default() };
        design.circuits.push(circuit("motor", "Pump", 208.0));
        assert!(applicable(&design, book).iter().any(|own| own.id == "N09" && own.applies_to.is_empty()));
    }

    /// 440.4(B): equipment goes by what is marked on it, whatever it is called; 430.124: of a bypass speaks only a drive that has one.
    #[test]
    fn cautions_go_by_markings_and_by_a_bypass_that_is_there() {
        let mut unit = circuit("packaged", "Make-up air unit", 460.0);
        assert!(!needs("hermetic", &unit));
        unit.load.other.insert("minimum_circuit_ampacity_a".to_owned(), serde_json::json!(33.0));
        assert!(needs("hermetic", &unit));
        let mut fan = circuit("motor", "Fan", 460.0);
        fan.load.starting_method = Some("drive".to_owned());
        assert!(needs("drive", &fan) && !needs("drive-bypass", &fan));
        fan.contactors.push(crate::design::Contactor { role: "bypass".to_owned(), ..Default::default() });
        assert!(needs("drive-bypass", &fan));
    }

    #[test]
    fn drives_that_their_supply_outweighs_are_named() {
        // Trade practice: a line choke from a hundred times the drive's power at its board on; 10 A, so 1 kA.
        let mut fan = circuit("motor", "Fan", 480.0);
        fan.load.phases = Some(3);
        fan.starter_devices.push(StarterDevice { kind: "drive".to_owned(), rated_a: 10.0, ..StarterDevice::default() });
        for (fault_ka, needed) in [(Some(1.05), true), (Some(0.95), false), (None, false)] {
            fan.fault.board_max_ka = fault_ka;
            assert_eq!(needs("drive-on-strong-supply", &fan), needed, "{fault_ka:?}");
        }
        fan.fault.board_max_ka = Some(10.0);
        fan.starter_devices[0].kind = "soft-starter".to_owned();
        assert!(!needs("drive-on-strong-supply", &fan));
    }

    #[test]
    fn efficiency_classes_of_both_trades_count() {
        let mut motor = circuit("motor", "Pump", 480.0);
        for (class, needed) in [("IE3", true), ("NEMA-premium", true), ("energy-efficient", true), ("IE2", false)] {
            motor.load.efficiency_class = Some(class.to_owned());
            assert_eq!(needs("high-efficiency", &motor), needed, "{class}");
        }
    }

    #[test]
    fn a_referred_service_brings_its_caution() {
        let mut pump = circuit("motor", "Pump", 480.0);
        assert!(!needs("fire-pump", &pump) && !needs("special-duty", &pump));
        pump.findings.push(Finding::new(&codes::L401_FIRE_PUMP, "a fire pump is not sized"));
        assert!(needs("fire-pump", &pump));
        pump.findings.push(Finding::new(&codes::L402_SPECIAL_SERVICE, "an elevator"));
        assert!(needs("special-duty", &pump));
    }

    /// Cautions of services go by the finding that names the service; one of special services is a fire pump's only where it says so.
    #[test]
    fn cautions_of_services_stand_where_the_service_is_named() {
        let named = |description: &str, code| {
            let mut own = circuit("motor", description, 480.0);
            own.findings.push(Finding::new(code, "a service"));
            own
        };
        assert!(
            needs("hazardous", &named("Pump", &codes::L405_EXPLOSIVE)) && !needs("hazardous", &circuit("motor", "Pump", 480.0))
        );
        assert!(needs("fire-pump", &named("Pump", &codes::L401_FIRE_PUMP)));
        assert!(
            needs("fire-pump", &named("Fire pump", &codes::L403_SERVICE_ASKED))
                && !needs("fire-pump", &named("Lift", &codes::L403_SERVICE_ASKED))
        );
        assert!(!needs("fire-pump", &circuit("motor", "Fire pump", 480.0)));
        assert!(!needs("emergency-stop", &circuit("motor", "Pump", 480.0)));
    }
}
