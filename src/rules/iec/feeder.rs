//! Feeders of boards: demand current, device, impedances of their conductors, discrimination of devices in series.

use serde::Deserialize;

use crate::load::{LoadKind, Material, ProtectionKind};
use crate::quantity::{Amperes, Celsius, Impedance, Seconds};
use crate::record::{Formula, Record};
use crate::rules::conductors::{Candidate, RunDemand};
use crate::rules::feeders::{
    Discriminated, Discrimination, FeederBounds, FeederImpedance, FeederItem, FeederNeed, FeederRules, FeederTerm, TermAsk,
    TransformerProtection, Winding,
};
use crate::rules::iec::capacity::Insulation;
use crate::rules::iec::{Iec, conductor, criteria, protection, transformer};
use crate::rules::table::Figure;
use crate::rules::{Limit, ProtectionAsk, RuleBook};

/// A preferred rated current.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PreferredRow {
    rating_a: f64,
}

/// End of a fault for one insulation and range of sizes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EndRow {
    insulation: String,
    above_mm2: f64,
    upto_mm2: f64,
    end_c: f64,
    alpha20_per_k: f64,
}

table! {
    /// Figures of practice.
    PRACTICE, PRACTICE_ROWS: Figure, "feeder-practice"
}
table! {
    /// Preferred rated currents of circuit-breakers.
    PREFERRED, PREFERRED_ROWS: PreferredRow, "preferred-currents"
}
table! {
    /// Temperatures at the end of a fault.
    ENDS, END_ROWS: EndRow, "fault-end-temperatures"
}

formula! {
    /// Demand current.
    DEMAND_CURRENT: "current that the conductors of the feeder carry", "A", "IEC 60364-4-43, 433.1";
    "IB = Id"; "Id"; |Id| Id
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&DEMAND_CURRENT];

fn practice(name: &str) -> f64 {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Preferred ratings of a kind, ascending.
pub(super) fn ratings(kind: ProtectionKind) -> Vec<Amperes> {
    if kind.is_fuse() {
        protection::fuse_ratings().collect()
    } else {
        PREFERRED_ROWS.iter().map(|row| Amperes(row.rating_a)).collect()
    }
}

/// Temperature of a conductor at the end of a fault, and its coefficient up to there.
fn end_of_fault(insulation: Insulation, size_mm2: f64) -> Option<(Celsius, f64)> {
    let row = END_ROWS
        .iter()
        .find(|row| row.insulation == insulation.name() && size_mm2 > row.above_mm2 && size_mm2 <= row.upto_mm2)?;
    Some((Celsius(row.end_c), row.alpha20_per_k))
}

/// Impedance of one conductor, all parallel ones together, at the end of a fault: R20 (1 + 0.004 (θe − 20)).
fn hot(demand: &RunDemand, candidate: Candidate, size_mm2: f64) -> Option<Impedance> {
    let cold = cold(demand, candidate, size_mm2)?;
    let (end, alpha) = end_of_fault(Insulation::parse(&demand.insulation)?, size_mm2)?;
    let stated = conductor::physics("resistance-stated-c");
    Some(Impedance { r: cold.r * (1.0 + alpha * (end.0 - stated)), x: cold.x })
}

fn cold(demand: &RunDemand, candidate: Candidate, size_mm2: f64) -> Option<Impedance> {
    let at = conductor::physics("resistance-stated-c");
    criteria::impedance(demand, candidate, size_mm2, at, &mut Record::silent())
}

/// The rating of a branch device that the currents of a load ask for at least.
fn least_branch(ask: &TermAsk<'_>, kind: ProtectionKind) -> Option<Amperes> {
    let starts = ask.starting.0 > 0.0;
    let question = ProtectionAsk {
        machine: ask.machine,
        start: ask.start,
        currents: ask.currents,
        line: ask.line,
        starts,
        starting: ask.starting,
        time: ask.time,
    };
    Iec.protection_bounds(kind, &question, &mut Record::silent()).map(|bounds| bounds.least)
}

impl FeederRules for Iec {
    fn feeder_kind(&self, wish: Option<ProtectionKind>) -> ProtectionKind {
        match wish {
            // aM fuses do not protect conductors from overload.
            Some(ProtectionKind::Gg | ProtectionKind::Am) => ProtectionKind::Gg,
            _ => ProtectionKind::MouldedCase,
        }
    }

    fn feeder_term(&self, ask: &TermAsk<'_>) -> FeederTerm {
        let motor = ask.machine.kind == LoadKind::Motor;
        let wished = self.protection_kinds(ask.wish, ask.machine, ask.start).into_iter().next();
        FeederTerm {
            current: ask.line,
            duty_value: None,
            motor,
            continuous: !motor,
            marked: false,
            capacitor: ask.machine.kind == LoadKind::Capacitor,
            starting: ask.starting,
            start_time: ask.time,
            locked: Amperes(0.0),
            branch: wished.and_then(|kind| least_branch(ask, kind)),
            as_feeder: least_branch(ask, ask.feeder),
        }
    }

    fn feeder_value(&self, term: &FeederTerm) -> Amperes {
        term.current
    }

    fn feeder_need(&self, _items: &[FeederItem], demand: Amperes, record: &mut Record) -> FeederNeed {
        let capacity = Amperes(record.step(&DEMAND_CURRENT, &[demand.0]));
        FeederNeed { capacity, lead: None, reference: "IEC 60364-4-43, 433.1" }
    }

    fn feeder_bounds(&self, _: ProtectionKind, _: &[FeederItem], need: Amperes, _: &mut Record) -> FeederBounds {
        FeederBounds { least: need, reference: "IEC 60364-4-43, 433.1", ..FeederBounds::default() }
    }

    fn feeder_by_conductors(&self, _: Amperes) -> Option<FeederBounds> {
        None
    }

    fn feeder_ratings(&self, kind: ProtectionKind) -> Vec<Amperes> {
        ratings(kind)
    }

    fn feeder_at_start(&self, kind: ProtectionKind, rating: Amperes, start: Amperes, time: Seconds) -> Option<Limit> {
        if kind != ProtectionKind::Gg || start.0 <= 0.0 {
            return None;
        }
        // A time beyond the gates carries nothing that could be proved.
        let holds = protection::gg_holding_current(&mut Record::silent(), rating, time).unwrap_or_default();
        Some(Limit::at_most("fuse-at-start", start.0, holds.0, "A", "IEC 60269-1, gates"))
    }

    fn bus_limit(&self, rating: Amperes, bus: Amperes) -> Limit {
        Limit::at_most("bus-rating", rating.0, bus.0, "A", "IEC 61439-1, 5.3.1")
    }

    fn feeder_drop_pct(&self) -> (f64, &'static str) {
        let share = practice("drop-share");
        (
            share * conductor::drop_limit_pct(false).unwrap_or(f64::NAN),
            "half of the largest drop of IEC 60364-5-52, Annex G; the share is common practice, no source",
        )
    }

    fn is_insulation(&self, word: &str) -> bool {
        Insulation::parse(word).is_some()
    }

    fn feeder_impedance(&self, demand: &RunDemand, candidate: Candidate) -> Option<FeederImpedance> {
        let temperature = conductor::running_temperature(Insulation::parse(&demand.insulation)?);
        let running = criteria::impedance(demand, candidate, candidate.size_mm2, temperature.0, &mut Record::silent())?;
        let phase = hot(demand, candidate, candidate.size_mm2)?;
        let cold_phase = cold(demand, candidate, candidate.size_mm2)?;
        let protective = criteria::protective_mm2(demand, candidate);
        Some(FeederImpedance {
            cold: cold_phase,
            running,
            hot: phase,
            cold_loop: protective.and_then(|size| cold(demand, candidate, size)).map(|impedance| cold_phase + impedance),
            hot_loop: protective.and_then(|size| hot(demand, candidate, size)).map(|impedance| phase + impedance),
        })
    }

    fn transformer_protection(
        &self,
        primary: Option<Winding>,
        secondary: Winding,
        kind: ProtectionKind,
        record: &mut Record,
    ) -> TransformerProtection {
        transformer::protection(primary, secondary, kind, record)
    }

    fn knows_machines(&self) -> bool {
        true
    }

    fn leakage_of_drives(&self) -> Option<(String, &'static str)> {
        let [copper, aluminium] = [Material::Copper, Material::Aluminium].map(conductor::protective_minimum_with_leakage);
        Some((
            format!(
                "drives stand behind its feeder: the protective conductor of the feeder is of at least {copper} mm² of copper or {aluminium} mm² of aluminium"
            ),
            "IEC 60364-5-54, 543.7; IEC 60204-1, 8.2.6; IEC 61800-5-1",
        ))
    }

    fn secondary_conductors(&self) -> [&'static str; 2] {
        [
            "the conductors between the transformer and the first device behind it must be protected from short circuit by the device on the primary, or be short and laid so that a fault is unlikely; this is not checked",
            "IEC 60364-4-43, 434.2.1 and 434.3",
        ]
    }

    fn discriminates(
        &self,
        before: &Discriminated<'_>,
        behind: &Discriminated<'_>,
        fault: Option<Amperes>,
    ) -> (Discrimination, &'static str) {
        discrimination(before, behind, fault)
    }
}

/// Discrimination as far as published limits of the kinds show it; what they do not show is for the makers' tables.
fn discrimination(
    before: &Discriminated<'_>,
    behind: &Discriminated<'_>,
    fault: Option<Amperes>,
) -> (Discrimination, &'static str) {
    match (before.kind, before.magnetic, behind.kind, behind.magnetic) {
        ("gG", _, "gG", _) => (fuses(before.rating, behind.rating), "IEC 60269-2, ratio of rated currents"),
        ("gG", _, _, Some((_, trips))) => {
            // The breaker has opened within this time from its upper limit on; the fuse must carry the current for as long.
            let clears = Seconds(practice("breaker-clearing-s"));
            let carries = protection::gg_holding_current(&mut Record::silent(), before.rating, clears).unwrap_or_default();
            let overload = overload_apart(before, behind) && trips.fits(carries);
            (up_to(carries, overload, fault), "gates of IEC 60269-1 against the instantaneous trip behind")
        }
        (_, Some((holds, _)), _, Some((_, trips))) => (
            up_to(holds, overload_apart(before, behind) && trips.fits(holds), fault),
            "lower limit of the release before, upper limit of the one behind",
        ),
        (_, Some((holds, _)), "gG", None) => (
            up_to(holds, overload_apart(before, behind), fault),
            "lower limit of the release before; the fuse behind is the quicker up to there",
        ),
        _ => (Discrimination::Unknown, "the makers' tables of discrimination"),
    }
}

/// On overload the device behind opens while the other still carries: its conventional operating current lies below the conventional
/// current that the other one holds.
fn overload_apart(before: &Discriminated<'_>, behind: &Discriminated<'_>) -> bool {
    let apart = || {
        let ((carries, _), (_, opens)) = (conventional(before)?, conventional(behind)?);
        Some((behind.rating * opens).fits(before.rating * carries))
    };
    apart().unwrap_or(false)
}

/// Conventional currents over rating or setting: the one that it carries, the one that opens it.
fn conventional(discriminated: &Discriminated<'_>) -> Option<(f64, f64)> {
    match discriminated.kind {
        "gG" => protection::conventional_gg(discriminated.rating).map(|row| (row.non_fusing_x, row.fusing_x)),
        // One of IEC 60898-1, by which miniature ones are made; the same for each of the curves B, C and D.
        "circuit-breaker" => protection::line_breaker_conventional("C"),
        _ => Some(protection::industrial_breaker_conventional()),
    }
}

fn fuses(before: Amperes, behind: Amperes) -> Discrimination {
    if (behind * practice("fuse-ratio")).fits(before) && Amperes(practice("fuse-ratio-from-a")).fits(before) {
        Discrimination::Total
    } else {
        Discrimination::None
    }
}

/// Up to a current, or total where no larger one occurs.
fn up_to(current: Amperes, overload: bool, fault: Option<Amperes>) -> Discrimination {
    match fault {
        _ if !overload || current.0 <= 0.0 => Discrimination::None,
        Some(fault) if fault.fits(current) => Discrimination::Total,
        _ => Discrimination::Partial(current),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Material;

    #[test]
    fn figures_and_tables_are_whole() {
        for name in ["drop-share", "fuse-ratio", "fuse-ratio-from-a", "breaker-clearing-s"] {
            assert!(practice(name).is_finite(), "{name}");
        }
        assert!(PRACTICE_ROWS.iter().all(|row| !row.remark.is_empty()));
        assert!(PREFERRED_ROWS.windows(2).all(|w| w[0].rating_a < w[1].rating_a));
        for size in conductor::SIZES.iter() {
            for insulation in [Insulation::Pvc, Insulation::Xlpe] {
                let (end, alpha) = end_of_fault(insulation, *size).expect("every size has an end");
                assert!(end.0 > conductor::running_temperature(insulation).0 && alpha > 0.0);
                // k follows from the two temperatures (IEC 60364-5-54, Annex A).
                let k = crate::rules::physics::thermal::factor_k(
                    &mut Record::silent(),
                    3.45e-3,
                    234.5,
                    17.241e-6,
                    conductor::running_temperature(insulation).0,
                    end.0,
                );
                let table = conductor::k_live(insulation, Material::Copper, *size);
                assert!((k - table).abs() / table < 0.0075, "{size} mm²: {k} against {table}");
            }
        }
    }

    /// IEC 60269-2, from memory: links of 16 A and more discriminate at 1:1.6 of their rated currents.
    #[test]
    fn fuses_discriminate_by_their_ratio() {
        let of = |before: f64, behind: f64| fuses(Amperes(before), Amperes(behind));
        assert_eq!(of(100.0, 63.0), Discrimination::None, "1.59 is less than 1.6");
        assert_eq!(of(160.0, 100.0), Discrimination::Total);
        assert_eq!(of(160.0, 125.0), Discrimination::None);
        assert_eq!(of(10.0, 2.0), Discrimination::None, "below 16 A the ratio does not hold");
    }

    #[test]
    fn breakers_discriminate_up_to_the_release_before() {
        let breaker = |rating: f64, low: f64, high: f64| Discriminated {
            kind: "moulded-case",
            rating: Amperes(rating),
            magnetic: Some((Amperes(low), Amperes(high))),
        };
        // 160 A × 1.05 = 168 A lies above 100 A × 1.3 = 130 A; the release before holds to 1280 A.
        let (before, behind) = (breaker(160.0, 1280.0, 1920.0), breaker(100.0, 800.0, 1200.0));
        let of = |fault: Option<f64>| discrimination(&before, &behind, fault.map(Amperes)).0;
        assert_eq!(of(Some(10_000.0)), Discrimination::Partial(Amperes(1280.0)));
        assert_eq!(of(None), Discrimination::Partial(Amperes(1280.0)));
        assert_eq!(of(Some(1200.0)), Discrimination::Total);
        // 125 A × 1.05 = 131.25 A against 125 A × 1.3.
        assert_eq!(discrimination(&breaker(125.0, 1000.0, 1500.0), &breaker(125.0, 500.0, 900.0), None).0, Discrimination::None);
        // The release behind may not yet act where the one before does already.
        assert_eq!(discrimination(&breaker(160.0, 640.0, 960.0), &behind, None).0, Discrimination::None);
        let blank = Discriminated { kind: "class-J", rating: Amperes(30.0), magnetic: None };
        assert_eq!(discrimination(&blank, &behind, None).0, Discrimination::Unknown);
    }

    /// A fuse of 100 A opens on overload before a breaker of 125 A behind it, and melts before a trip at 10 kA: IEC 60269-1 has it
    /// carry less than a tenth of that for 0.1 s. A breaker of 16 A that trips at 200 A is apart from it.
    #[test]
    fn a_fuse_and_a_breaker_behind_it_are_apart_on_overload_and_at_the_trip() {
        let of = |rating: f64, trips: f64| {
            let fuse = Discriminated { kind: "gG", rating: Amperes(100.0), magnetic: None };
            let magnetic = Some((Amperes(trips * 0.8), Amperes(trips)));
            discrimination(&fuse, &Discriminated { kind: "moulded-case", rating: Amperes(rating), magnetic }, None).0
        };
        assert!(matches!(of(16.0, 200.0), Discrimination::Partial(_)));
        assert_eq!((of(125.0, 200.0), of(16.0, 10_000.0)), (Discrimination::None, Discrimination::None));
        // 100 A × 1.25 is what the fuse carries; a breaker of 100 A behind may need 130 A to open, one of 95 A 123.5 A.
        assert_eq!(of(100.0, 200.0), Discrimination::None);
        assert!(matches!(of(95.0, 200.0), Discrimination::Partial(_)));
    }

    /// IEC 60269-1, Table 2: a gG fuse-link of 160 A opens at 256 A; IEC 60947-2: a release set to 200 A opens at up to 260 A and holds
    /// 210 A, one of 250 A holds 262.5 A. IEC 60898-1: a circuit-breaker of 63 A opens at 91.35 A, which a release of 80 A (84 A) does
    /// not hold and one of 100 A (105 A) does.
    #[test]
    fn what_stands_behind_a_breaker_opens_before_it_on_overload() {
        let breaker = |kind, rating: f64| Discriminated {
            kind,
            rating: Amperes(rating),
            magnetic: Some((Amperes(8.0 * rating), Amperes(10.0 * rating))),
        };
        let fuse = |kind| Discriminated { kind, rating: Amperes(160.0), magnetic: None };
        let of = |before: f64, behind: &Discriminated<'_>| discrimination(&breaker("moulded-case", before), behind, None).0;
        assert_eq!(of(200.0, &fuse("gG")), Discrimination::None);
        assert_eq!(of(250.0, &fuse("gG")), Discrimination::Partial(Amperes(2000.0)));
        // It opens on short circuit alone, above four times its rating: nothing published says which of both is the quicker below.
        assert_eq!(of(250.0, &fuse("aM")), Discrimination::Unknown);
        let line = breaker("circuit-breaker", 63.0);
        assert_eq!(of(80.0, &line), Discrimination::None);
        assert_eq!(of(100.0, &line), Discrimination::Partial(Amperes(800.0)));
    }
}
