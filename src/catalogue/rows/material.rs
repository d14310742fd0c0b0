//! Holds each row of the small-material families and of the price list to what it must satisfy by itself.

use super::super::{ControlCable, Enclosure, Fitting, Gland, Label, Lug, Price, Terminal};
use super::branch::{RACEWAY_KINDS, TRADE_SIZES};
use super::{Row, Wrong, above_zero, named, one_of, place_in, together, upside_down};

fn flag(yes: bool) -> f64 {
    f64::from(u8::from(yes))
}

/// A figure that may be left open, and is above 0 where it is declared.
pub(super) fn open(heading: &'static str, value: Option<f64>) -> Vec<Wrong> {
    value.map_or_else(Vec::new, |value| above_zero(&[(heading, value)]))
}

/// A coil is never longer than a drum.
pub(super) fn lengths(coil: Option<f64>, drum: Option<f64>) -> Vec<Wrong> {
    let order = coil.zip(drum).map_or_else(Vec::new, |(coil, drum)| upside_down(("coil_m", coil), ("drum_m", drum)));
    together(vec![open("coil_m", coil), open("drum_m", drum), order])
}

impl Row for ControlCable {
    const MAY_LACK: &'static [&'static str] = &["outer_mm", "coil_m", "drum_m"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![flag(self.screened), f64::from(self.cores), self.size_mm2, flag(!self.protective)]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            above_zero(&[("cores", f64::from(self.cores)), ("size_mm2", self.size_mm2)]),
            open("outer_mm", self.outer_mm),
            lengths(self.coil_m, self.drum_m),
        ])
    }
}

impl Row for Gland {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![flag(self.screened), self.clamp_max_mm, self.entry_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            named("thread", &self.thread),
            above_zero(&[("entry_mm", self.entry_mm), ("clamp_max_mm", self.clamp_max_mm)]),
            upside_down(("clamp_min_mm", self.clamp_min_mm), ("clamp_max_mm", self.clamp_max_mm)),
        ])
    }
}

impl Row for Lug {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![flag(self.material != "copper"), self.size_mm2]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("material", &self.material, &["copper", "aluminium"]),
            named("stud", &self.stud),
            above_zero(&[("size_mm2", self.size_mm2)]),
        ])
    }
}

impl Row for Terminal {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![flag(self.kind != "feed-through"), self.max_mm2, self.width_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("kind", &self.kind, &["feed-through", "protective"]),
            above_zero(&[("max_mm2", self.max_mm2), ("current_a", self.current_a)]),
            upside_down(("min_mm2", self.min_mm2), ("max_mm2", self.max_mm2)),
        ])
    }
}

impl Row for Enclosure {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.height_mm * self.width_mm, self.depth_mm, self.dissipation_w]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            named("degree", &self.degree),
            above_zero(&[
                ("rows", f64::from(self.rows)),
                ("height_mm", self.height_mm),
                ("width_mm", self.width_mm),
                ("depth_mm", self.depth_mm),
                ("usable_width_mm", self.usable_width_mm),
            ]),
            upside_down(("usable_width_mm", self.usable_width_mm), ("width_mm", self.width_mm)),
        ])
    }
}

impl Row for Label {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![flag(self.kind != "nameplate"), self.width_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        one_of("kind", &self.kind, &["nameplate", "cable-tag"])
    }
}

impl Row for Fitting {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![place_in(RACEWAY_KINDS, &self.kind), place_in(TRADE_SIZES, &self.trade_size), flag(self.fitting != "connector")]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("kind", &self.kind, RACEWAY_KINDS),
            one_of("trade_size", &self.trade_size, TRADE_SIZES),
            one_of("fitting", &self.fitting, &["connector", "coupling"]),
        ])
    }
}

impl Row for Price {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![0.0]
    }
    fn wrong(&self) -> Vec<Wrong> {
        // A price of nothing would count a line as free of charge: what has no price is left empty.
        together(vec![open("price", self.price), open("packing_quantity", self.packing_quantity)])
    }
}
