//! The transformer before a board: its loading by the demand behind it, and its protection in outline.

use crate::basis::TransformerBasis;
use crate::design::{Check, WorkingLine};
use crate::finding::{Finding, Place, codes};
use crate::load::ProtectionKind;
use crate::network::feeders::Ask;
use crate::quantity::{Amperes, Volts, round_to};
use crate::record::Record;
use crate::rules::Leaning;
use crate::rules::feeders::{LOADING, TransformerProtection, Winding, demand_power, winding_current};
use crate::rules::physics::nominal::is_same_voltage;
use crate::rules::units::Units;
use crate::sizing::Tools;
use crate::sizing::judge::{at_most, not_checked, sentence};

/// Demand of a board on a transformer: amperes at different voltages, or on two wires and on three, have no sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demanded {
    /// Phases on which the current flows: 1 or 3.
    pub phases: u32,
    /// Voltage at which it flows.
    pub voltage: Volts,
    /// Current after demand factors.
    pub current: Amperes,
}

/// The demand on a transformer.
#[derive(Clone, Copy, Debug)]
pub struct TransformerAsk<'a> {
    /// Its name, for checks and findings.
    pub name: &'a str,
    /// Its phases: 1 or 3.
    pub phases: u32,
    /// Rated power; none if unknown.
    pub rating_kva: Option<f64>,
    /// Voltage of its primary; none if unknown, as on the side of a public network.
    pub primary: Option<Volts>,
    /// Voltage of its secondary.
    pub secondary: Volts,
    /// Demand of each board that it feeds.
    pub demands: &'a [Demanded],
    /// Ratings of the devices of all feeders at its secondary together; none where one of them is not chosen.
    pub devices: Option<Amperes>,
    /// Kind of the devices: [`super::kind`].
    pub kind: ProtectionKind,
    /// Place of its rated power in the basis.
    pub place: &'a Place,
}

impl<'a> TransformerAsk<'a> {
    /// The demand on a transformer of the basis.
    #[must_use]
    pub fn of(
        transformer: &'a TransformerBasis,
        primary: Option<Volts>,
        secondary: Volts,
        demands: &'a [Demanded],
        kind: ProtectionKind,
        place: &'a Place,
    ) -> Self {
        let name = transformer.name.as_deref().unwrap_or("without a name");
        Self { name, phases: 3, rating_kva: transformer.kva, primary, secondary, demands, devices: None, kind, place }
    }
}

/// A transformer as it is loaded and protected.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Transformer {
    /// Its name.
    pub name: String,
    /// Apparent power after demand factors.
    pub demand_kva: f64,
    /// Loading, per cent; none if the rating is unknown.
    pub loading_pct: Option<f64>,
    /// Rated currents of primary and secondary; none where power or voltage is unknown.
    pub rated: [Option<Amperes>; 2],
    /// Protection in outline; none if the rating is unknown.
    pub protection: Option<TransformerProtection>,
    /// Checks.
    pub checks: Vec<Check>,
    /// Working.
    pub working: Vec<WorkingLine>,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// Phases of a transformer, from the phases and voltages of the boards that it feeds: one where they all have one phase, and none has the
/// voltage to the neutral of a three-phase secondary.
pub(in crate::network) fn phases_of_transformer(secondary: Volts, mut boards: impl Iterator<Item = (u32, Volts)>) -> u32 {
    let of_one = |(phases, voltage): (u32, Volts)| phases == 1 && !is_same_voltage(voltage.0, secondary.0 / 3f64.sqrt());
    if boards.all(of_one) { 1 } else { 3 }
}

/// Check of the devices at the secondary against the largest that the book admits there.
const SECONDARY_PROTECTION: &str = "transformer-secondary-protection";

/// Largest device that the book admits at the secondary of a transformer; none where the book names no largest one, or where several
/// boards share it: devices side by side count with their sum.
pub(super) fn secondary_limit(transformer: &TransformerBasis, ask: &Ask<'_>, tools: &Tools<'_>) -> Option<Amperes> {
    let name = transformer.name.as_deref().map(str::trim);
    let names = tools.basis.boards.iter().filter_map(|board| board.name.as_deref());
    let fed = names.filter(|board| name.is_some() && tools.basis.named_before(board) == name);
    if fed.chain(transformer.to.as_deref().map(str::trim)).any(|board| board != ask.node.name) {
        return None;
    }
    let voltage = Some(Volts(transformer.secondary_voltage_v.unwrap_or(ask.node.voltage.0))).filter(|volts| volts.0 > 0.0)?;
    let kva = transformer.kva.filter(|kva| *kva > 0.0)?;
    let phases = phases_of_transformer(voltage, std::iter::once((ask.node.phases, ask.node.voltage)));
    let rated = winding_current(phases, kva, voltage, &mut Record::silent());
    let limit = tools.book.transformer_protection(None, Winding { voltage, rated }, ask.kind, &mut Record::silent());
    limit.secondary.filter(|_| limit.largest)
}

/// Rated power that nothing may exceed, per cent.
const WHOLE_PCT: f64 = 100.0;

/// Looks at a transformer.
#[must_use]
pub fn look(ask: &TransformerAsk<'_>, tools: &Tools<'_>) -> Transformer {
    let mut record = Record::new().named(tools.book.naming());
    let demand_kva =
        ask.demands.iter().map(|demanded| demand_power(demanded.phases, demanded.voltage, demanded.current, &mut record)).sum();
    let mut transformer = Transformer { name: ask.name.to_owned(), demand_kva, ..Transformer::default() };
    let reference = "rated power of the transformer";
    match ask.rating_kva.filter(|kva| *kva > 0.0) {
        _ if ask.secondary.0 <= 0.0 => {
            let because = "the voltage of what the transformer feeds is unknown";
            transformer.checks.push(not_checked("transformer-loading", "%", because, reference));
        }
        None => {
            let because = "the rated power of the transformer is unknown";
            transformer.checks.push(not_checked("transformer-loading", "%", because, reference));
        }
        Some(rating) => {
            let loading = record.step(&LOADING, &[transformer.demand_kva, rating]);
            transformer.loading_pct = Some(loading);
            transformer.checks.push(at_most("transformer-loading", loading, WHOLE_PCT, "%", reference));
            let mut winding =
                |voltage: Volts| (voltage.0 > 0.0).then(|| winding_current(ask.phases, rating, voltage, &mut record));
            transformer.rated = [ask.primary.and_then(&mut winding), winding(ask.secondary)];
            let winding = |voltage: Option<Volts>, rated: Option<Amperes>| Some(Winding { voltage: voltage?, rated: rated? });
            let (primary, secondary) =
                (winding(ask.primary, transformer.rated[0]), winding(Some(ask.secondary), transformer.rated[1]));
            transformer.protection =
                secondary.map(|secondary| tools.book.transformer_protection(primary, secondary, ask.kind, &mut record));
            if let Some(limit) = transformer.protection.as_ref().filter(|protection| protection.largest)
                && let Some((devices, most)) = ask.devices.zip(limit.secondary)
            {
                transformer.checks.push(at_most(SECONDARY_PROTECTION, devices.0, most.0, "A", limit.reference));
            }
        }
    }
    for check in &mut transformer.checks {
        check.subject = format!("transformer {}", ask.name);
    }
    say(ask, &transformer, tools, &mut record);
    let (steps, findings) = record.into_parts();
    transformer.working = steps.iter().map(Into::into).collect();
    transformer.findings = findings;
    transformer
}

fn say(ask: &TransformerAsk<'_>, transformer: &Transformer, tools: &Tools<'_>, record: &mut Record) {
    let mut found = Vec::new();
    for check in transformer.checks.iter().filter(|check| check.passed == Some(false)) {
        let what = format!(
            "{}; {} kVA are asked of {} kVA",
            sentence(check, Units::of(tools.book.key())),
            round_to(transformer.demand_kva, 1),
            ask.rating_kva.unwrap_or(0.0)
        );
        let (what, cure) = if check.name == SECONDARY_PROTECTION {
            let what = format!("transformer {}: {}", ask.name, sentence(check, Units::of(tools.book.key())));
            (
                what,
                "a larger transformer, loads that start with less current, or one smaller device at its secondary before the feeders; devices side by side count with their sum",
            )
        } else {
            (what, "choose a larger transformer, or move loads to another; demand factors below 1 need a reason")
        };
        found.push(Finding::new(&codes::B304_FEEDER_CHECK, what).cure(cure).reference(check.reference.clone()));
    }
    if let Some((what, reference)) = transformer.protection.as_ref().and_then(|protection| protection.not_worked_out) {
        let what = format!("transformer {}: {what}", ask.name);
        let cure = "have that protection chosen by whoever designs the network in front";
        found.push(Finding::new(&codes::B321_TRANSFORMER_PROTECTION, what).cure(cure).reference(reference));
    }
    if transformer.protection.as_ref().is_some_and(|protection| protection.primary.or(protection.secondary).is_some()) {
        let subject = format!("the protection of transformer {}", ask.name);
        found.extend(crate::sizing::memory::behind(tools.book, &subject, Leaning::FeederTransformer));
    }
    for finding in found {
        record.find(finding.at(ask.place.clone()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::basis::Basis;
    use crate::catalogue;
    use crate::rules;

    /// 400 kVA at 400 V are 577 A; 700 A are more. Whoever reads it finds the key.
    #[test]
    fn an_overloaded_transformer_is_told_at_its_key() {
        let basis = Basis::default();
        let book = rules::book("iec", None).expect("a book");
        let tools = Tools { basis: &basis, book, catalogue: catalogue::builtin("iec") };
        let place = Place { heading: Some("transformer T-1: kva".to_owned()), ..Place::file("basis.toml") };
        let transformer = TransformerBasis { name: Some("T-1".to_owned()), kva: Some(400.0), ..TransformerBasis::default() };
        let of_demand = |amperes: f64| {
            let demands = [Demanded { phases: 3, voltage: Volts(400.0), current: Amperes(amperes) }];
            look(&TransformerAsk::of(&transformer, None, Volts(400.0), &demands, super::super::kind(&tools), &place), &tools)
        };
        let told = of_demand(700.0);
        assert!(told.findings.iter().any(|finding| finding.code == "B304"), "{:?}", told.findings);
        assert!(told.findings.iter().all(|finding| finding.place.as_ref() == Some(&place)), "{:?}", told.findings);
        assert!(of_demand(500.0).findings.iter().all(|finding| finding.code != "B304"));
    }
}
