//! Holds the rows of each family to what they must satisfy by themselves, and puts them in the order of preference `smallest`.

use serde::de::DeserializeOwned;

mod branch;
mod control;
mod material;
mod switch;

use super::{
    AccessoryPart, Cable, Coil, Combination, Contactor, Drive, Fuse, Isolator, LineBreaker, MotorBreaker, MouldedCaseBreaker,
    OverloadRelay, SoftStarter,
};
use crate::finding::Code;
use crate::finding::codes::{K104_CELL, K105_RATING, K106_RANGE, K107_KIND};

/// A cell that can be read but can't be right.
pub(super) struct Wrong {
    pub(super) code: &'static Code,
    pub(super) heading: &'static str,
    pub(super) what: String,
    pub(super) cure: String,
}

/// A row of a family.
pub(super) trait Row: DeserializeOwned {
    /// The text that must be unique in the family, and the heading that says it first.
    const KEY: &'static str = "part";
    /// Columns that a file may leave out: not every range declares them.
    const MAY_LACK: &'static [&'static str] = &[];
    /// The text that must be unique.
    fn key(&self) -> String;
    /// Place in the order of preference; ties are broken by the key.
    fn order(&self) -> Vec<f64>;
    /// Cells that can't be right.
    fn wrong(&self) -> Vec<Wrong>;
}

fn above_zero(cells: &[(&'static str, f64)]) -> Vec<Wrong> {
    cells
        .iter()
        .filter(|(_, value)| *value <= 0.0)
        .map(|(heading, value)| Wrong {
            code: &K105_RATING,
            heading,
            what: format!("{heading} is {value}; it is more than 0 for every part"),
            cure: "write the figure of the data sheet, or take the row out".to_owned(),
        })
        .collect()
}

/// A figure that only some rows of the family may leave open.
fn needed(heading: &'static str, value: Option<f64>) -> Vec<Wrong> {
    value.map_or_else(
        || {
            vec![Wrong {
                code: &K104_CELL,
                heading,
                what: "the cell is empty, not a number".to_owned(),
                cure: "write a number with a decimal point and without unit or blanks".to_owned(),
            }]
        },
        |value| above_zero(&[(heading, value)]),
    )
}

/// A figure that, where it is declared, is above 0 and at most so much.
fn within(heading: &'static str, value: Option<f64>, most: f64) -> Vec<Wrong> {
    let Some(value) = value.filter(|value| !(*value > 0.0 && *value <= most)) else { return Vec::new() };
    vec![Wrong {
        code: &K105_RATING,
        heading,
        what: format!("{heading} is {value}; it is more than 0 and at most {most}"),
        cure: "write the figure of the data sheet, or leave the cell empty".to_owned(),
    }]
}

fn upside_down(min: (&'static str, f64), max: (&'static str, f64)) -> Vec<Wrong> {
    if min.1 <= max.1 {
        return Vec::new();
    }
    vec![Wrong {
        code: &K106_RANGE,
        heading: min.0,
        what: format!("{} is {}, above {} of {}", min.0, min.1, max.0, max.1),
        cure: "exchange the two figures".to_owned(),
    }]
}

fn one_of(heading: &'static str, text: &str, words: &[&str]) -> Vec<Wrong> {
    if words.contains(&text) {
        return Vec::new();
    }
    let known: Vec<String> =
        words.iter().map(|word| if word.is_empty() { "empty".to_owned() } else { format!("`{word}`") }).collect();
    vec![Wrong {
        code: &K107_KIND,
        heading,
        what: format!("`{text}` is not known as {heading}"),
        cure: format!("write one of {}", known.join(", ")),
    }]
}

/// Every word of a list separated by blanks is known, and there is at least one unless the list may be empty.
fn all_of(heading: &'static str, text: &str, words: &[&str], may_be_empty: bool) -> Vec<Wrong> {
    if text.split_whitespace().next().is_none() {
        return if may_be_empty { Vec::new() } else { one_of(heading, "", words) };
    }
    text.split_whitespace().flat_map(|word| one_of(heading, word, words)).collect()
}

fn named(heading: &'static str, text: &str) -> Vec<Wrong> {
    if !text.is_empty() {
        return Vec::new();
    }
    vec![Wrong { code: &K107_KIND, heading, what: format!("{heading} is empty"), cure: "write it in".to_owned() }]
}

fn terminals(min: f64, max: f64) -> Vec<Wrong> {
    let mut wrong = upside_down(("terminal_min_mm2", min), ("terminal_max_mm2", max));
    wrong.extend(above_zero(&[("terminal_max_mm2", max)]));
    wrong
}

fn together(lists: Vec<Vec<Wrong>>) -> Vec<Wrong> {
    lists.into_iter().flatten().collect()
}

/// Sizes of NEMA ICS 2.
const NEMA_SIZES: &[&str] = &["00", "0", "1", "1P", "2", "3", "4", "5", "6", "7", "8", "9"];

/// Kinds of fuses: of IEC 60269, then of NFPA 70.
const FUSE_KINDS: &[&str] = &["gG", "aM", "class-CC", "class-J", "dual-element", "class-RK1", "non-time-delay"];

/// Insulations of cables and single conductors.
const INSULATIONS: &[&str] = &["pvc", "xlpe", "thhn", "thwn-2", "xhhw-2"];

fn place_in(list: &[&str], word: &str) -> f64 {
    list.iter().zip(0_u8..).find(|(known, _)| **known == word).map_or(255.0, |(_, at)| f64::from(at))
}

const CLASSES: &[&str] = &["5", "10A", "10", "20", "30", "40"];

impl Row for Contactor {
    const MAY_LACK: &'static [&'static str] = &[
        "standard",
        "nema_size",
        "hp_1ph_115",
        "hp_1ph_230",
        "hp_3ph_200",
        "hp_3ph_230",
        "hp_3ph_460",
        "hp_3ph_575",
        "jog_hp_1ph_115",
        "jog_hp_1ph_230",
        "jog_hp_3ph_200",
        "jog_hp_3ph_230",
        "jog_hp_3ph_460",
        "jog_hp_3ph_575",
        "wye_delta_hp_3ph_200",
        "wye_delta_hp_3ph_230",
        "wye_delta_hp_3ph_460",
        "wye_delta_hp_3ph_575",
        "part_winding_hp_3ph_200",
        "part_winding_hp_3ph_230",
        "part_winding_hp_3ph_460",
        "part_winding_hp_3ph_575",
        "continuous_a",
        "service_limit_a",
        "short_circuit_rating_ka",
        "voltage_rating",
        "coil_ac_pick_up_power_factor",
        "coil_ac_hold_power_factor",
        "coil_lowest_pct",
        "coil_highest_pct",
        "coil_release_pct",
        "drop_out_ms",
        "aux_mirror",
        "aux_low_level",
        "aux_front_contacts",
        "aux_side_contacts",
        "dc_aux_nc_most",
        "close_mounting_pct",
        "ac7a_a",
        "ac7b_a",
        "ac8a_a",
        "ac8b_a",
        "made_for",
        "ac6b_a",
    ];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.load_rating_a(), self.width_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        let rated = match self.standard.as_deref() {
            _ if self.is_for_capacitors() => together(vec![needed("ac6b_a", self.ac6b_a), needed("ac1_a", self.ac1_a)]),
            Some("NEMA") => together(vec![
                needed("continuous_a", self.continuous_a),
                one_of("nema_size", self.nema_size.as_deref().unwrap_or(""), NEMA_SIZES),
            ]),
            None | Some("IEC") => together(vec![needed("ac3_440_a", self.ac3_440_a), needed("ac1_a", self.ac1_a)]),
            Some(other) => one_of("standard", other, &["IEC", "NEMA"]),
        };
        together(vec![
            named("frame", &self.frame),
            one_of("made_for", self.made_for.as_deref().unwrap_or(""), &["", "capacitor"]),
            rated,
            above_zero(&[
                ("max_voltage_v", self.max_voltage_v),
                ("life_ac3_operations", self.life_ac3_operations),
                ("life_ac3_exponent", self.life_ac3_exponent),
                ("life_ac4_operations", self.life_ac4_operations),
                ("life_ac4_exponent", self.life_ac4_exponent),
                ("life_mechanical_operations", self.life_mechanical_operations),
            ]),
            upside_down(("coil_ac_hold_va", self.coil_ac_hold_va), ("coil_ac_pick_up_va", self.coil_ac_pick_up_va)),
            within("coil_ac_pick_up_power_factor", self.coil_ac_pick_up_power_factor, 1.0),
            within("coil_ac_hold_power_factor", self.coil_ac_hold_power_factor, 1.0),
            within("coil_lowest_pct", self.coil_lowest_pct, 100.0),
            within("coil_release_pct", self.coil_release_pct, self.coil_lowest_pct.unwrap_or(100.0)),
            within("close_mounting_pct", self.close_mounting_pct, 100.0),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for Coil {
    const KEY: &'static str = "code";
    fn key(&self) -> String {
        self.code.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![f64::from(u8::from(self.dc)), self.volts]
    }
    fn wrong(&self) -> Vec<Wrong> {
        above_zero(&[("volts", self.volts)])
    }
}

impl Row for OverloadRelay {
    const MAY_LACK: &'static [&'static str] = &[
        "ultimate_trip_factor",
        "short_circuit_rating_ka",
        "transformer_part",
        "transformer_description",
        "transformer_count",
        "transformer_ratio",
        "transformer_price",
        "hp_1ph_115",
        "hp_1ph_230",
        "hp_3ph_200",
        "hp_3ph_230",
        "hp_3ph_460",
        "hp_3ph_575",
    ];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.range_max_a, -self.range_min_a, self.width_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("kind", &self.kind, &["bimetal", "electronic", "manual-starter"]),
            above_zero(&[
                ("range_min_a", self.range_min_a),
                ("dial_step_a", self.dial_step_a),
                ("max_voltage_v", self.max_voltage_v),
                ("ultimate_trip_factor", self.ultimate_trip_factor.unwrap_or(1.0)),
                ("transformer_ratio", self.transformer_ratio.unwrap_or(1.0)),
                ("hp_1ph_115", self.hp_1ph_115.unwrap_or(1.0)),
                ("hp_1ph_230", self.hp_1ph_230.unwrap_or(1.0)),
                ("hp_3ph_200", self.hp_3ph_200.unwrap_or(1.0)),
                ("hp_3ph_230", self.hp_3ph_230.unwrap_or(1.0)),
                ("hp_3ph_460", self.hp_3ph_460.unwrap_or(1.0)),
                ("hp_3ph_575", self.hp_3ph_575.unwrap_or(1.0)),
            ]),
            upside_down(("range_min_a", self.range_min_a), ("range_max_a", self.range_max_a)),
            all_of("classes", &self.classes, CLASSES, false),
            self.transformer_part.as_ref().map_or_else(Vec::new, |_| needed("transformer_ratio", self.transformer_ratio)),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for MotorBreaker {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.range_max_a, self.width_mm, -self.range_min_a]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            named("frame", &self.frame),
            above_zero(&[
                ("range_min_a", self.range_min_a),
                ("magnetic_multiple", self.magnetic_multiple),
                ("breaking_440_ka", self.breaking_440_ka),
                ("let_through_a2s", self.let_through_a2s),
                ("dial_step_a", self.dial_step_a),
            ]),
            upside_down(("range_min_a", self.range_min_a), ("range_max_a", self.range_max_a)),
            one_of("class", &self.class, CLASSES),
            one_of("magnetic_base", &self.magnetic_base, &["range-top", "setting"]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for MouldedCaseBreaker {
    const MAY_LACK: &'static [&'static str] = &["magnetic_step_multiple"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.rating_a, self.width_mm, self.breaking_440_ka]
    }
    fn wrong(&self) -> Vec<Wrong> {
        let range = match (self.range_min_a, self.range_max_a) {
            (Some(min), Some(max)) => upside_down(("range_min_a", min), ("range_max_a", max)),
            (None, None) if self.release == "magnetic" => Vec::new(),
            (min, _) => vec![Wrong {
                code: &K106_RANGE,
                heading: if min.is_none() { "range_min_a" } else { "range_max_a" },
                what: format!(
                    "a breaker with the release `{}` has an overload setting, and one of its ends is empty",
                    self.release
                ),
                cure: "write both ends of the setting".to_owned(),
            }],
        };
        together(vec![
            one_of("release", &self.release, &["motor", "magnetic", "distribution"]),
            above_zero(&[
                ("rating_a", self.rating_a),
                ("magnetic_min_multiple", self.magnetic_min_multiple),
                ("breaking_440_ka", self.breaking_440_ka),
                ("let_through_a2s", self.let_through_a2s),
                ("dial_step_a", self.dial_step_a),
                ("magnetic_step_multiple", self.magnetic_step_multiple.unwrap_or(1.0)),
            ]),
            range,
            all_of("classes", &self.classes, CLASSES, self.release != "motor"),
            upside_down(
                ("magnetic_min_multiple", self.magnetic_min_multiple),
                ("magnetic_max_multiple", self.magnetic_max_multiple),
            ),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for LineBreaker {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        let curve = self.curve.bytes().next().map_or(0.0, f64::from);
        vec![self.rating_a, f64::from(self.poles), curve]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("curve", &self.curve, &["B", "C", "D"]),
            one_of("poles", &self.poles.to_string(), &["1", "2", "3", "4"]),
            above_zero(&[("rating_a", self.rating_a), ("let_through_a2s", self.let_through_a2s)]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for Fuse {
    const MAY_LACK: &'static [&'static str] = &[
        "switch_rating_a",
        "switch_lockable",
        "switch_hp_240",
        "switch_hp_480",
        "switch_hp_600",
        "switch_hp_1ph_115",
        "switch_hp_1ph_230",
    ];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.rating_a, place_in(FUSE_KINDS, &self.kind), self.max_voltage_v]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("kind", &self.kind, FUSE_KINDS),
            above_zero(&[
                ("rating_a", self.rating_a),
                ("max_voltage_v", self.max_voltage_v),
                ("breaking_ka", self.breaking_ka),
                ("let_through_a2s", self.let_through_a2s),
            ]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for Isolator {
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.ac23_440_a, f64::from(self.poles)]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            above_zero(&[("ac23_440_a", self.ac23_440_a), ("poles", f64::from(self.poles))]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for SoftStarter {
    const MAY_LACK: &'static [&'static str] = &["max_fuse_a", "short_circuit_rating_ka", "ultimate_trip_factor"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.rating_a, self.width_mm]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            above_zero(&[("rating_a", self.rating_a), ("start_ratio", self.start_ratio), ("start_s", self.start_s)]),
            above_zero(&[("ultimate_trip_factor", self.ultimate_trip_factor.unwrap_or(1.0))]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for Drive {
    const MAY_LACK: &'static [&'static str] = &["short_circuit_rating_ka", "overload_built_in", "ultimate_trip_factor"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![self.output_a, f64::from(self.phases), self.max_voltage_v]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("phases", &self.phases.to_string(), &["1", "3"]),
            above_zero(&[("output_a", self.output_a), ("input_a", self.input_a), ("efficiency_pct", self.efficiency_pct)]),
            upside_down(("efficiency_pct", self.efficiency_pct), ("100 per cent", 100.0)),
            upside_down(("min_voltage_v", self.min_voltage_v), ("max_voltage_v", self.max_voltage_v)),
            above_zero(&[("ultimate_trip_factor", self.ultimate_trip_factor.unwrap_or(1.0))]),
            terminals(self.terminal_min_mm2, self.terminal_max_mm2),
        ])
    }
}

impl Row for Cable {
    const MAY_LACK: &'static [&'static str] = &["outer_mm", "coil_m", "drum_m"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        let flag = |yes: bool| f64::from(u8::from(yes));
        vec![
            flag(self.material != "copper"),
            place_in(INSULATIONS, &self.insulation),
            f64::from(self.cores),
            flag(self.screened),
            self.size_mm2,
            self.protective_mm2.unwrap_or(0.0),
        ]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            one_of("material", &self.material, &["copper", "aluminium"]),
            one_of("insulation", &self.insulation, INSULATIONS),
            one_of("cores", &self.cores.to_string(), &["1", "3", "4", "5", "7"]),
            above_zero(&[("size_mm2", self.size_mm2)]),
            material::open("outer_mm", self.outer_mm),
            material::lengths(self.coil_m, self.drum_m),
        ])
    }
}

/// Kinds of accessories that are known.
const ACCESSORY_KINDS: &[&str] = &[
    "auxiliary-block",
    "suppressor",
    "interlock",
    "timer",
    "shroud",
    "connecting-module",
    "wiring-link",
    "paralleling-link",
    "star-bridge",
    "relay-base",
    "commoning-bar",
    "signal-block",
    "feed-terminal",
    "phase-barrier",
    "undervoltage-release",
    "shunt-release",
    "remote-reset",
    "door-handle",
    "thermistor-relay",
    "indicator",
    "station",
];

/// The commands of a station; the words of the schedule's `control_station`.
const STATIONS: &[&str] = &[
    "start-stop",
    "forward-stop-reverse",
    "low-stop-high",
    "on-off",
    "hand-off-auto",
    "local-off-remote",
    "local-remote",
    "jog",
    "reset",
    "remote-trip",
];

impl Row for AccessoryPart {
    const MAY_LACK: &'static [&'static str] = &["set_min_s", "set_max_s", "pause_ms", "current_a", "ways", "early_break"];
    fn key(&self) -> String {
        self.part.clone()
    }
    fn order(&self) -> Vec<f64> {
        vec![
            place_in(ACCESSORY_KINDS, &self.kind),
            f64::from(self.no) + f64::from(self.nc),
            self.width_mm,
            self.min_voltage_v.unwrap_or(0.0),
            self.current_a.unwrap_or(0.0),
        ]
    }
    fn wrong(&self) -> Vec<Wrong> {
        let variants: &[&str] = match self.kind.as_str() {
            "suppressor" => &["varistor", "rc", "diode", "diode-zener"],
            "timer" => &["star-delta", "on-delay", "off-delay"],
            "wiring-link" => &["reversing", "star-delta"],
            "indicator" => &["lamp", "ammeter", "hour-meter"],
            "station" => STATIONS,
            _ => &[""],
        };
        together(vec![
            one_of("kind", &self.kind, ACCESSORY_KINDS),
            one_of("position", &self.position, &["front", "side", "between", "terminals", ""]),
            one_of("variant", &self.variant, variants),
            match (self.min_voltage_v, self.max_voltage_v) {
                (Some(min), Some(max)) => upside_down(("min_voltage_v", min), ("max_voltage_v", max)),
                _ => Vec::new(),
            },
            match (self.set_min_s, self.set_max_s) {
                (Some(min), Some(max)) => upside_down(("set_min_s", min), ("set_max_s", max)),
                _ => Vec::new(),
            },
            above_zero(&[
                ("set_max_s", self.set_max_s.unwrap_or(1.0)),
                ("pause_ms", self.pause_ms.unwrap_or(1.0)),
                ("current_a", self.current_a.unwrap_or(1.0)),
                ("ways", f64::from(self.ways.unwrap_or(1))),
            ]),
            if self.kind == "paralleling-link" {
                above_zero(&[("factor", self.factor.unwrap_or(0.0)), ("poles", f64::from(self.poles.unwrap_or(0)))])
            } else {
                Vec::new()
            },
        ])
    }
}

impl Row for Combination {
    const KEY: &'static str = "protection_part";
    fn key(&self) -> String {
        // One set of devices may hold type 1 and type 2, and more than one voltage and short-circuit current.
        format!(
            "{} + {} + {}, {} at {} V and {} kA",
            self.protection_part,
            self.contactor_part,
            self.overload_part,
            self.coordination,
            self.max_voltage_v,
            self.conditional_ka
        )
    }
    fn order(&self) -> Vec<f64> {
        vec![0.0]
    }
    fn wrong(&self) -> Vec<Wrong> {
        together(vec![
            named("protection_part", &self.protection_part),
            named("contactor_part", &self.contactor_part),
            one_of("coordination", &self.coordination, &["type-1", "type-2"]),
            above_zero(&[("max_voltage_v", self.max_voltage_v), ("conditional_ka", self.conditional_ka)]),
        ])
    }
}
