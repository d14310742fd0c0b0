//! Families of the control circuit: control transformers, direct-current supplies, their protection, interposing relays.

use serde::Deserialize;

/// A control transformer, one phase.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlTransformer {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Rated power, VA.
    pub va: f64,
    /// Primary voltage.
    pub primary_v: f64,
    /// Secondary voltage.
    pub secondary_v: f64,
    /// Heat at rated power.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Price.
    pub price: Option<f64>,
    /// Short-time power at power factor 0.5; none if it is not declared.
    pub short_time_va: Option<f64>,
    /// Resistive short-circuit voltage, per cent; none if it is not declared.
    pub u_r_pct: Option<f64>,
    /// Reactive short-circuit voltage, per cent; none if it is not declared.
    pub u_x_pct: Option<f64>,
}

/// A direct-current supply, one phase or two lines in.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PowerSupply {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Lowest input voltage.
    pub input_min_v: f64,
    /// Highest input voltage.
    pub input_max_v: f64,
    /// Input current at rated output and the lowest input voltage.
    pub input_a: f64,
    /// Largest device before it.
    pub max_input_device_a: f64,
    /// Output voltage.
    pub output_v: f64,
    /// Rated output current.
    pub output_a: f64,
    /// Output current while contactors pick up.
    pub surge_a: f64,
    /// Tolerance of the output voltage, per cent.
    pub tolerance_pct: f64,
    /// Heat at rated output.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A fuse-link or circuit-breaker of control circuits.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlProtection {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `fuse` or `breaker`.
    pub kind: String,
    /// Rated current.
    pub rating_a: f64,
    /// Poles of one piece.
    pub poles: u32,
    /// Largest alternating voltage.
    pub max_v: f64,
    /// Largest direct voltage; none if it is not made for that.
    pub max_dc_v: Option<f64>,
    /// Breaking capacity.
    pub breaking_ka: f64,
    /// Part number of the base of one piece; none if it needs none.
    pub base_part: Option<String>,
    /// Description of the base.
    pub base_description: Option<String>,
    /// Heat at the rated current.
    pub loss_w: f64,
    /// Width.
    pub width_mm: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A relay between a controller's output and a coil.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InterposingRelay {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Coil voltage.
    pub coil_v: f64,
    /// Coil for direct current.
    pub coil_dc: bool,
    /// Power of the coil, W or VA.
    pub coil_w: f64,
    /// Rated current of a contact at coils of alternating current (AC-15, pilot duty).
    pub contact_a: f64,
    /// Largest voltage at a contact.
    pub contact_max_v: f64,
    /// Rated current of a contact at coils of direct current (DC-13); none if it is not declared.
    pub contact_dc_a: Option<f64>,
    /// Largest direct voltage of that rating.
    pub contact_dc_max_v: Option<f64>,
    /// Normally open contacts.
    pub contacts_no: u32,
    /// The coil brings its suppression.
    pub suppression_built_in: bool,
    /// Width.
    pub width_mm: f64,
    /// Heat.
    pub loss_w: f64,
    /// Price.
    pub price: Option<f64>,
}

#[cfg(test)]
mod tests {
    use crate::catalogue::builtin;

    /// Short-time power is that at power factor 0.5 with a drop of 5 % (European short-time rating): S = 5 Sr / (0.5 ur + 0.866 ux),
    /// declared in round figures below.
    #[test]
    fn short_time_power_follows_from_the_short_circuit_voltages() {
        for rules in ["iec", "nec"] {
            for transformer in &builtin(rules).control_transformers {
                let (Some(short), Some(resistive), Some(reactive)) =
                    (transformer.short_time_va, transformer.u_r_pct, transformer.u_x_pct)
                else {
                    panic!("{}: a figure is missing", transformer.part)
                };
                let defined = 5.0 * transformer.va / (0.5 * resistive + 0.75f64.sqrt() * reactive);
                assert!(short <= defined + 1e-6 && short > defined - 50.0, "{}: {short} of {defined}", transformer.part);
            }
        }
    }

    #[test]
    fn larger_parts_do_more() {
        for rules in ["iec", "nec"] {
            let range = builtin(rules);
            for pair in range.control_transformers.windows(2) {
                let [small, large] = pair else { continue };
                if (small.primary_v, small.secondary_v) == (large.primary_v, large.secondary_v) {
                    assert!(small.va < large.va && small.short_time_va < large.short_time_va, "{}", large.part);
                    // The drop of one and the same load is less in the larger.
                    assert!(small.u_r_pct.unwrap_or(0.0) / small.va >= large.u_r_pct.unwrap_or(0.0) / large.va, "{}", large.part);
                }
            }
            for power_supply in &range.power_supplies {
                assert!(
                    power_supply.surge_a >= power_supply.output_a && power_supply.max_input_device_a >= power_supply.input_a,
                    "{}",
                    power_supply.part
                );
            }
            assert!(
                range
                    .control_protection
                    .iter()
                    .any(|control_protection| control_protection.kind == "fuse" && control_protection.base_part.is_some()),
                "{rules}"
            );
            assert!(
                range
                    .interposing_relays
                    .iter()
                    .any(|interposing_relay| interposing_relay.coil_dc && interposing_relay.contact_dc_a.is_some()),
                "{rules}"
            );
        }
    }
}
