//! The IEC rule book.
use crate::rules::*;
/// x
pub struct Iec;
#[allow(unused)]
impl RuleBook for Iec {
    fn key(&self) -> &'static str {
        todo!()
    }
    fn title(&self) -> &'static str {
        todo!()
    }
    fn edition(&self) -> &'static str {
        todo!()
    }
    fn documents(&self) -> &'static [crate::rules::table::Document] {
        todo!()
    }
    fn cautions(&self) -> Vec<[&'static str; 4]> {
        todo!()
    }
    fn watts_per_horsepower(&self) -> f64 {
        todo!()
    }
    fn efficiency(
        &self,
        class: Option<crate::load::EfficiencyClass>,
        poles: u32,
        power: crate::quantity::Watts,
        frequency_hz: f64,
        phases: u32,
    ) -> Option<f64> {
        todo!()
    }
    fn power_factor(&self, poles: u32, power: crate::quantity::Watts, phases: u32) -> Option<f64> {
        todo!()
    }
    fn other_power_factor(&self) -> f64 {
        todo!()
    }
    fn locked_rotor_ratio(&self, class: Option<crate::load::EfficiencyClass>) -> f64 {
        todo!()
    }
    fn starting_power_factor(&self, power: Option<crate::quantity::Watts>) -> f64 {
        todo!()
    }
    fn currents(
        &self,
        machine: &crate::load::Machine,
        wish: &str,
        place: &crate::finding::Place,
        record: &mut crate::record::Record,
    ) -> Option<RatedCurrents> {
        todo!()
    }
    fn switching(
        &self,
        duty: Duty,
        current: crate::quantity::Amperes,
        machine: &crate::load::Machine,
        start: &crate::load::Start,
        record: &mut crate::record::Record,
    ) -> SwitchingDemand {
        todo!()
    }
    fn ac6_rating(
        &self,
        category: Category,
        ac3: crate::quantity::Amperes,
        fault_max: Option<crate::quantity::Amperes>,
    ) -> Option<crate::quantity::Amperes> {
        todo!()
    }
    fn lamp_share(&self, category: Category) -> f64 {
        todo!()
    }
    fn thermal_factor(&self, ambient: crate::quantity::Celsius, altitude: crate::quantity::Metres) -> f64 {
        todo!()
    }
    fn voltage_factor(&self, altitude: crate::quantity::Metres) -> f64 {
        todo!()
    }
    fn short_time(&self, ac3: crate::quantity::Amperes, time: crate::quantity::Seconds) -> crate::quantity::Amperes {
        todo!()
    }
    fn life(
        &self,
        curve: &LifeCurve,
        current: crate::quantity::Amperes,
        ratio: f64,
        inching: f64,
        record: Option<&mut crate::record::Record>,
    ) -> f64 {
        todo!()
    }
    fn trip_classes(&self) -> &'static [&'static str] {
        todo!()
    }
    fn class_demand(
        &self,
        class: &str,
        multiple: f64,
        start: crate::quantity::Seconds,
        record: Option<&mut crate::record::Record>,
    ) -> ClassDemand {
        todo!()
    }
    fn class_factor(&self, class: &str) -> f64 {
        todo!()
    }
    fn fuse_rating(
        &self,
        kind: &str,
        current: crate::quantity::Amperes,
        start: crate::quantity::Amperes,
        time: crate::quantity::Seconds,
        record: &mut crate::record::Record,
    ) -> Option<crate::quantity::Amperes> {
        todo!()
    }
    fn inrush_peak_factor(&self) -> f64 {
        todo!()
    }
    fn curve_limits(&self, curve: &str) -> Option<(f64, f64)> {
        todo!()
    }
    fn circuit_checks(&self) -> &'static [CircuitCheck] {
        todo!()
    }
}
