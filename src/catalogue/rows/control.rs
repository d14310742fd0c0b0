//! Holds each row of the control circuit's families to what it must satisfy by itself.

use super::super::{ControlProtection, ControlTransformer, InterposingRelay, PowerSupply};
use super::{Row, Wrong, above_zero, one_of, place_in, together, upside_down, within};

/// Kinds of protective devices, the one that is preferred first.
const KINDS: &[&str] = &["fuse", "breaker"];

impl Row for ControlTransformer {
    const MAY_LACK: &'static [&'static str] = &["short_time_va", "u_r_pct", "u_x_pct"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.primary_v, self.secondary_v, self.va]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            above_zero(&[("va", self.va), ("primary_v", self.primary_v), ("secondary_v", self.secondary_v)]),
            within("u_r_pct", self.u_r_pct, 50.0),
            within("u_x_pct", self.u_x_pct, 50.0),
            within("short_time_va", self.short_time_va, 1e6),
        ])
    }
}

impl Row for PowerSupply {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.output_v, self.output_a, self.input_max_v, self.width_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            above_zero(&[("output_v", self.output_v), ("output_a", self.output_a), ("input_a", self.input_a)]),
            upside_down(("input_min_v", self.input_min_v), ("input_max_v", self.input_max_v)),
            upside_down(("output_a", self.output_a), ("surge_a", self.surge_a)),
            upside_down(("input_a", self.input_a), ("max_input_device_a", self.max_input_device_a)),
        ])
    }
}

impl Row for ControlProtection {
    const MAY_LACK: &'static [&'static str] = &["base_part", "base_description"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.rating_a, place_in(KINDS, &self.kind), f64::from(self.poles), self.max_v]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("kind", &self.kind, KINDS),
            one_of("poles", &self.poles.to_string(), &["1", "2"]),
            above_zero(&[("rating_a", self.rating_a), ("max_v", self.max_v), ("breaking_ka", self.breaking_ka)]),
        ])
    }
}

impl Row for InterposingRelay {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![f64::from(u8::from(!self.coil_dc)), self.coil_v, self.width_mm, self.contact_a, f64::from(self.contacts_no)]
    }
    fn wrong(&self) -> Vec<Wrong> {
        above_zero(&[
            ("coil_v", self.coil_v),
            ("coil_w", self.coil_w),
            ("contact_a", self.contact_a),
            ("contact_max_v", self.contact_max_v),
            ("contacts_no", f64::from(self.contacts_no)),
        ])
    }
}
