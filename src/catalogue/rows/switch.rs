//! Rows of switches at the head of boards.

use super::{Row, Wrong, above_zero, terminals, together};
use crate::catalogue::SwitchDisconnector;

impl Row for SwitchDisconnector {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.rating_a, f64::from(self.poles), self.short_time_ka]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            above_zero(&[
                ("rating_a", self.rating_a),
                ("poles", f64::from(self.poles)),
                ("ac22_440_a", self.ac22_440_a),
                ("ac23_440_a", self.ac23_440_a),
                ("short_time_ka", self.short_time_ka),
                ("making_ka", self.making_ka),
                ("terminal_conductors", f64::from(self.terminal_conductors)),
            ]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}
