//! Holds each row of the branch-circuit families to what it must satisfy by itself.

use super::super::{BranchBreaker, Disconnect, Raceway};
use super::material::open;
use super::{Row, Wrong, above_zero, named, one_of, place_in, terminals, together, upside_down};

const BREAKER_KINDS: &[&str] = &["inverse-time", "instantaneous"];
const VOLTAGE_RATINGS: &[&str] = &["120/240", "240", "480Y/277", "480", "600Y/347", "600"];
pub(super) const RACEWAY_KINDS: &[&str] = &["emt", "imc", "rmc", "pvc-40", "pvc-80", "lfmc", "fmc"];

/// Trade sizes of NFPA 70 Chapter 9 Table 4, the smallest first.
pub(super) const TRADE_SIZES: &[&str] = &["3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6"];

impl Row for BranchBreaker {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![
            place_in(BREAKER_KINDS, &self.kind),
            self.rating_a,
            f64::from(self.poles),
            // The weakest that holds is the smallest; of equal ones a slash rating comes last, as it suits fewer systems.
            self.interrupting_600_ka.or(self.interrupting_480_ka).unwrap_or(self.interrupting_240_ka),
            f64::from(u8::from(self.slash_rated())),
            self.width_mm,
        ]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            named("frame", &self.frame),
            one_of("kind", &self.kind, BREAKER_KINDS),
            one_of("poles", &self.poles.to_string(), &["1", "2", "3"]),
            one_of("voltage_rating", &self.voltage_rating, VOLTAGE_RATINGS),
            one_of("terminal_c", &self.terminal_c.to_string(), &["60", "75"]),
            above_zero(&[
                ("rating_a", self.rating_a),
                ("interrupting_240_ka", self.interrupting_240_ka),
                ("instantaneous_min_a", self.instantaneous_min_a),
                ("terminal_conductors", f64::from(self.terminal_conductors)),
            ]),
            upside_down(("instantaneous_min_a", self.instantaneous_min_a), ("instantaneous_max_a", self.instantaneous_max_a)),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for Disconnect {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.rating_a, f64::from(self.poles), self.max_voltage_v, self.width_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("poles", &self.poles.to_string(), &["2", "3"]),
            named("enclosure", &self.enclosure),
            above_zero(&[("rating_a", self.rating_a), ("max_voltage_v", self.max_voltage_v)]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for Raceway {
    const MAY_LACK: &'static [&'static str] = &["standard_length_m", "coupling_included"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![place_in(RACEWAY_KINDS, &self.kind), place_in(TRADE_SIZES, &self.trade_size)]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("kind", &self.kind, RACEWAY_KINDS),
            one_of("trade_size", &self.trade_size, TRADE_SIZES),
            open("standard_length_m", self.standard_length_m),
        ])
    }
}
