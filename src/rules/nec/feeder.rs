//! Feeders of several motors: conductors 430.24, device 430.62 and 430.63.
//!
//! The highest-rated motor is that of the largest current, not horsepower, and only one counts as such. The motor with the largest
//! branch device may be another one.

use super::bounds;
use super::conductor::constant;
use super::criteria;
use super::figures::figure;
use super::hermetic;
use super::need;
use super::protection::Device;
use super::standard_ratings::{conductor_protection, next_down, next_up, standard_ratings};
use super::{Nec, transformer};
use crate::load::{LoadKind, Method, ProtectionKind};
use crate::quantity::{Amperes, Seconds, fits};
use crate::record::{Formula, Record};
use crate::rules::conductors::{Candidate, RunDemand};
use crate::rules::feeders::{
    Discriminated, Discrimination, FeederBounds, FeederImpedance, FeederItem, FeederNeed, FeederRules, FeederTerm, TermAsk,
    TransformerProtection, Winding,
};
use crate::rules::{Limit, ProtectionAsk};

formula! {
    /// Conductors of a feeder.
    FEEDER_AMPACITY: "smallest ampacity of the feeder", "A", "430.24";
    "Iz = L + S + po Io / 100 + pc Ic / 100"; "L+S+po*Io/100+pc*Ic/100";
    |L, S, po, Io, pc, Ic| L + S + po * Io / 100.0 + pc * Ic / 100.0
}
formula! {
    /// The term of the highest-rated motor.
    LEAD_TERM: "term of the highest-rated motor", "A", "430.24, 430.17";
    "L = p I / 100"; "p*I/100"; |p, I| p * I / 100.0
}
formula! {
    /// Device of a feeder.
    FEEDER_DEVICE: "largest device of the feeder", "A", "430.62(A), 430.63";
    "Ip = Imax + S + Io + pc Ic / 100"; "Imax+S+Io+pc*Ic/100"; |Imax, S, Io, pc, Ic| Imax + S + Io + pc * Ic / 100.0
}
formula! {
    /// Feeder of loads that are no motors.
    OTHER_LOADS: "capacity for loads that are no motors", "A", "215.2(A)(1), 215.3";
    "I = po Io / 100 + pc Ic / 100"; "po*Io/100+pc*Ic/100"; |po, Io, pc, Ic| po * Io / 100.0 + pc * Ic / 100.0
}
formula! {
    /// Demand factor.
    DEMAND: "ampacity after the demand factor", "A", "430.26, by special permission";
    "Iz = f I"; "f*I"; |f, I| f * I
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&FEEDER_AMPACITY, &LEAD_TERM, &FEEDER_DEVICE, &OTHER_LOADS, &DEMAND];

/// 430.26: a demand factor, only where the authority having jurisdiction has permitted it; else the ampacity stays.
pub fn with_demand_factor(record: &mut Record, ampacity: Amperes, factor: f64, permitted: bool) -> Amperes {
    if permitted && factor > 0.0 && factor < 1.0 { Amperes(record.step(&DEMAND, &[factor, ampacity.0])) } else { ampacity }
}

/// What a motor or load adds as one of many: to the motors, to the noncontinuous and to the continuous loads.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Shares {
    motors: f64,
    noncontinuous: f64,
    continuous: f64,
}

impl Shares {
    /// Of one circuit, for conductors.
    fn of_conductors(term: &FeederTerm) -> Self {
        let value = term.duty_value.unwrap_or(term.current).0;
        match (term.motor && !term.marked, term.duty_value, term.continuous) {
            (true, ..) => Self { motors: value, ..Self::default() },
            // A value that the clauses of the load itself give, or a marking, holds its allowance.
            (false, Some(_), _) | (false, None, false) => Self { noncontinuous: value, ..Self::default() },
            (false, None, true) => Self { continuous: value, ..Self::default() },
        }
    }

    /// Of one circuit, for the device.
    fn of_device(term: &FeederTerm) -> Self {
        Self::of_conductors(&FeederTerm { duty_value: None, ..*term })
    }

    fn plus(self, other: Self, times: f64) -> Self {
        Self {
            motors: self.motors + times * other.motors,
            noncontinuous: self.noncontinuous + times * other.noncontinuous,
            continuous: self.continuous + times * other.continuous,
        }
    }

    /// Of all that run.
    fn running(items: &[FeederItem], of: fn(&FeederTerm) -> Self) -> Self {
        items.iter().fold(Self::default(), |sum, own| sum.plus(of(&own.term), f64::from(own.running)))
    }

    /// The same without one circuit of an item, and without what an item displaces that rests itself.
    fn without(self, items: &[FeederItem], index: usize, of: fn(&FeederTerm) -> Self) -> Self {
        let own = &items[index];
        let displaced = || own.displaces.and_then(|other| items.get(other)).filter(|other| other.running > 0);
        let gone = if own.running > 0 { Some(own) } else { displaced() };
        gone.map_or(self, |gone| self.plus(of(&gone.term), -1.0))
    }
}

/// It runs, or may run in place of another.
fn competes(items: &[FeederItem], index: usize) -> bool {
    let own = &items[index];
    (own.term.motor || own.term.marked) && (own.running > 0 || own.displaces.is_some())
}

/// What a motor enters with as the highest-rated one.
fn lead_value(term: &FeederTerm) -> f64 {
    term.duty_value.map_or(term.current.0 * figure("largest-motor-percent") / 100.0, |duty| duty.0)
}

/// The two circuits that run with the largest lead values: the items.
fn first_two(items: &[FeederItem]) -> [Option<usize>; 2] {
    let mut best = [None, None];
    let value = |index: Option<usize>| index.map_or(f64::NEG_INFINITY, |own: usize| lead_value(&items[own].term));
    for (index, item) in items.iter().enumerate().filter(|(_, own)| own.term.motor && !own.term.marked) {
        for _ in 0..item.running.min(2) {
            if value(Some(index)) > value(best[0]) {
                best = [Some(index), best[0]];
            } else if value(Some(index)) > value(best[1]) {
                best[1] = Some(index);
            }
        }
    }
    best
}

/// Sum of 430.24 with a highest-rated motor and the shares of the others.
fn ampacity_with(record: &mut Record, items: &[FeederItem], lead: Option<usize>, others: Shares) -> f64 {
    let term = lead.map_or(0.0, |index| {
        let own = &items[index].term;
        match own.duty_value {
            Some(duty) => duty.0,
            None => record.step(&LEAD_TERM, &[figure("largest-motor-percent"), own.current.0]),
        }
    });
    let motors = figure("other-motor-percent") / 100.0 * others.motors;
    let (other, continuous) = (figure("other-load-percent"), figure("continuous-load-percent"));
    if lead.is_none() && others.motors == 0.0 {
        return record.step(&OTHER_LOADS, &[other, others.noncontinuous, continuous, others.continuous]);
    }
    record.step(&FEEDER_AMPACITY, &[term, motors, other, others.noncontinuous, continuous, others.continuous])
}

/// 430.24 with its Exceptions 1 and 3: what runs together, or, where that gives more, with one circuit of those that rest in the place
/// of what it excludes.
fn ampacity_of(record: &mut Record, items: &[FeederItem]) -> (Amperes, Option<usize>) {
    let all = Shares::running(items, Shares::of_conductors);
    let [first, second] = first_two(items);
    let running = first.map_or(all, |index| all.without(items, index, Shares::of_conductors));
    let mut best = (first, running, ampacity_with(&mut Record::silent(), items, first, running));
    let rests = |index: &usize| items[*index].running == 0 && items[*index].displaces.is_some();
    for index in (0..items.len()).filter(rests) {
        let displaced = items[index].displaces;
        // With what it excludes gone, the highest-rated of the rest may be another.
        let rest = if displaced == first { second } else { first };
        let motor = items[index].term.motor && !items[index].term.marked;
        let leads = motor && rest.is_none_or(|rest| lead_value(&items[index].term) >= lead_value(&items[rest].term));
        let others = all.without(items, index, Shares::of_conductors);
        let (lead, others) = match rest {
            Some(rest) if !leads => {
                let own = Shares::of_conductors(&items[index].term);
                (Some(rest), others.plus(own, 1.0).without(items, rest, Shares::of_conductors))
            }
            None if !leads => (None, others.plus(Shares::of_conductors(&items[index].term), 1.0)),
            _ => (Some(index), others),
        };
        let sum = ampacity_with(&mut Record::silent(), items, lead, others);
        if sum > best.2 {
            best = (lead, others, sum);
        }
    }
    (Amperes(ampacity_with(record, items, best.0, best.1)), best.0)
}

/// 430.62(A) under one reading: the largest branch device, whether its motor runs or not, with the full-load currents of the other
/// motors that run with it; the item that led. None with a motor whose device is unknown.
fn device_sum(
    record: &mut Record,
    items: &[FeederItem],
    rating: impl Fn(&FeederTerm) -> Option<Amperes>,
) -> Option<(Amperes, usize)> {
    let mut lead: Option<(usize, f64, f64)> = None;
    for index in (0..items.len()).filter(|index| competes(items, *index)) {
        let own = (index, rating(&items[index].term)?.0, items[index].term.current.0);
        if lead.is_none_or(|best| (own.1, own.2) > (best.1, best.2)) {
            lead = Some(own);
        }
    }
    let (index, largest, _) = lead?;
    let others = Shares::running(items, Shares::of_device).without(items, index, Shares::of_device);
    let continuous = figure("continuous-load-percent");
    let numbers = [largest, others.motors, others.noncontinuous, continuous, others.continuous];
    Some((Amperes(record.step(&FEEDER_DEVICE, &numbers)), index))
}

/// Device of a feeder with motors: both readings of "for the specific type", of which the smaller counts.
fn motor_bounds(book: Nec, device: Device, items: &[FeederItem], need: Amperes, record: &mut Record) -> FeederBounds {
    let running = Shares::running(items, Shares::of_device);
    // 215.3: other loads with their allowance; the motors beside them draw their currents.
    let carries = running.motors + running.noncontinuous + figure("continuous-load-percent") / 100.0 * running.continuous;
    let base = FeederBounds {
        least: need,
        carries: Amperes(carries),
        largest_first: true,
        motor_feeder: true,
        reference: "430.62(A), 430.63",
        ..FeederBounds::default()
    };
    let own = |term: &FeederTerm| term.branch.or(term.as_feeder);
    let same = |term: &FeederTerm| term.as_feeder;
    let kind = device.kind();
    let scratch = &mut Record::silent();
    let Some(first) = device_sum(scratch, items, own) else {
        // Whatever it may be, a device that protects the conductors by its rating is admitted (430.62(B)).
        let unknown_because = "the largest branch device of a motor is unknown";
        return FeederBounds { unknown_because, largest_first: false, motor_feeder: false, ..base };
    };
    let second = device_sum(scratch, items, same).filter(|second| !(fits(second.0.0, first.0.0) && fits(first.0.0, second.0.0)));
    let smaller = second.is_some_and(|second| second.0.0 < first.0.0);
    let counts = if smaller { device_sum(record, items, same) } else { device_sum(record, items, own) };
    let (computed, lead) = counts.unwrap_or(first);
    let other = second.map(|second| if smaller { first.0 } else { second.0 });
    let Some(most) = next_down(book.edition, kind, computed) else {
        // Below the smallest standard rating: a device of that rating protects the conductors anyway.
        return FeederBounds { lead: Some(lead), ..by_conductors(need) };
    };
    FeederBounds {
        most: Some(most),
        other_reading: other.and_then(|own| next_down(book.edition, kind, own)).filter(|own| *own != most),
        lead: Some(lead),
        ..base
    }
}

/// 430.62(B), 240.4: a device that goes by the conductors.
fn by_conductors(need: Amperes) -> FeederBounds {
    FeederBounds { least: need, reference: "430.62(B), 240.4", ..FeederBounds::default() }
}

/// Column of the percentages for a feeder's device.
fn device_of(kind: ProtectionKind) -> Device {
    bounds::device_of(kind).unwrap_or(Device::InverseTimeBreaker)
}

/// Current that counts for a feeder: of a drive its rated input current, with a bypass not less than the motor's (430.24, 430.122).
fn feeder_current(ask: &TermAsk<'_>) -> Amperes {
    let base = if ask.currents.conductor.0 > 0.0 { ask.currents.conductor } else { ask.line };
    if ask.start.method != Method::Drive {
        return base;
    }
    let input = ask.start.drive_input.unwrap_or(ask.line);
    if ask.start.bypass { input.max(base) } else { input }
}

/// 430.22(E), by its nameplate current; 460.8(A).
fn duty_value(ask: &TermAsk<'_>) -> Option<Amperes> {
    let scratch = &mut Record::silent();
    let current = feeder_current(ask);
    match ask.machine.kind {
        // 440.33 goes by the larger current, whatever the duty.
        LoadKind::Motor if hermetic::current(ask.machine).is_some() => None,
        LoadKind::Motor if ask.start.method != Method::Drive => {
            let duty = need::Duty::parse(&ask.start.duty_text)?;
            let rated = ask.start.rated_minutes.map_or(need::TimeRating::Continuous, need::TimeRating::Minutes);
            let nameplate = ask.machine.nameplate.unwrap_or(current);
            need::duty_cycle(scratch, nameplate, duty, rated).or_else(|| need::longest_duty(scratch, nameplate, duty))
        }
        LoadKind::Capacitor => Some(need::capacitor(scratch, current)),
        _ => None,
    }
}

impl FeederRules for Nec {
    fn feeder_kind(&self, wish: Option<ProtectionKind>) -> ProtectionKind {
        match wish {
            // Class CC ends at 30 A; class J is its like for feeders.
            Some(ProtectionKind::ClassCc) => ProtectionKind::ClassJ,
            // An instantaneous trip is for a listed combination controller only (430.52(C)(3)).
            Some(kind) if kind.is_fuse() && !kind.is_iec() => kind,
            _ => ProtectionKind::InverseTime,
        }
    }

    fn feeder_term(&self, ask: &TermAsk<'_>) -> FeederTerm {
        // Equipment that is marked with its circuit ampacity holds the allowance for its largest motor in it (440.4(B)): it enters the
        // conductors as it is, and competes by its marked device.
        let motor = matches!(ask.machine.kind, LoadKind::Motor | LoadKind::Packaged);
        let marked = ask.machine.minimum_ampacity.filter(|_| ask.machine.kind == LoadKind::Packaged);
        let full_load = if marked.is_some() { ask.currents.full_load } else { feeder_current(ask) };
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
        let most = |kind: ProtectionKind| {
            let own = bounds::of(*self, kind, &question, &mut Record::silent())?;
            own.most.map(|(rating, _)| rating)
        };
        let wished = bounds::kinds(ask.wish, ask.machine, ask.start).into_iter().next();
        FeederTerm {
            current: full_load,
            duty_value: marked.or_else(|| duty_value(ask)),
            motor,
            marked: marked.is_some(),
            continuous: !motor && need::Duty::parse(&ask.start.duty_text).is_none(),
            starting: ask.starting,
            start_time: ask.time,
            branch: wished.filter(|kind| *kind != ProtectionKind::Instantaneous).and_then(most),
            as_feeder: most(ask.feeder).or_else(|| {
                let kind = ask.machine.fuse_only.then_some(ProtectionKind::DualElement)?;
                most(kind)
            }),
        }
    }

    fn feeder_value(&self, term: &FeederTerm) -> Amperes {
        let own = Shares::of_conductors(term);
        Amperes(ampacity_with(&mut Record::silent(), &[], None, own).max(own.motors))
    }

    fn feeder_need(&self, items: &[FeederItem], _demand: Amperes, record: &mut Record) -> FeederNeed {
        let (capacity, lead) = ampacity_of(record, items);
        let motors = (0..items.len()).any(|index| competes(items, index));
        let reference = if motors { "NFPA 70, 430.24" } else { "NFPA 70, 215.2(A)(1)" };
        FeederNeed { capacity, lead, reference }
    }

    fn feeder_bounds(&self, kind: ProtectionKind, items: &[FeederItem], need: Amperes, record: &mut Record) -> FeederBounds {
        let device = device_of(kind);
        if (0..items.len()).any(|index| competes(items, index)) {
            return motor_bounds(*self, device, items, need, record);
        }
        // 215.3: the device carries the load; 240.4(B): not above the next standard rating over the ampacity of the conductors, which are
        // chosen for it.
        FeederBounds {
            least: need,
            most: conductor_protection(self.edition, device.kind(), need)
                .filter(|own| need.fits(*own))
                .or_else(|| next_up(self.edition, device.kind(), need)),
            reference: "215.3, 240.4(B)",
            ..FeederBounds::default()
        }
    }

    fn feeder_by_conductors(&self, need: Amperes) -> Option<FeederBounds> {
        Some(by_conductors(need))
    }

    fn feeder_ratings(&self, kind: ProtectionKind) -> Vec<Amperes> {
        standard_ratings(self.edition, device_of(kind).kind()).collect()
    }

    fn feeder_at_start(&self, _: ProtectionKind, _: Amperes, _: Amperes, _: Seconds) -> Option<Limit> {
        None
    }

    fn bus_limit(&self, rating: Amperes, bus: Amperes) -> Limit {
        Limit::at_most("bus-rating", rating.0, bus.0, "A", "NFPA 70, 430.94; 408.36")
    }

    fn feeder_drop_pct(&self) -> (f64, &'static str) {
        (
            constant("feeder-drop-pct"),
            "NFPA 70, 215.2(A)(1) informational note: 5 % in all, of which the branch circuits take 3 %",
        )
    }

    fn is_insulation(&self, word: &str) -> bool {
        super::conductor::Insulation::parse(word).is_some()
    }

    fn feeder_impedance(&self, demand: &RunDemand, candidate: Candidate) -> Option<FeederImpedance> {
        let at = |celsius: f64| criteria::phase_impedance(demand, candidate, celsius, &mut Record::silent());
        let (cold, warm) = (at(constant("cold-c"))?, at(constant("table-9-c"))?);
        let ground = |celsius: f64| criteria::grounding_impedance(demand, candidate, celsius);
        Some(FeederImpedance {
            cold,
            running: warm,
            hot: warm,
            cold_loop: ground(constant("cold-c")).map(|own| cold + own),
            hot_loop: ground(constant("table-9-c")).map(|own| warm + own),
        })
    }

    fn transformer_protection(
        &self,
        primary: Option<Winding>,
        secondary: Winding,
        kind: ProtectionKind,
        record: &mut Record,
    ) -> TransformerProtection {
        transformer::protection(*self, primary, secondary, device_of(kind).kind(), record)
    }

    fn leakage_of_drives(&self) -> Option<[&'static str; 2]> {
        None
    }

    fn secondary_conductors(&self) -> [&'static str; 2] {
        [
            "the conductors between the transformer and the first device behind it are not protected by the primary device; their length and ampacity must meet one of the cases of 240.21(C)",
            "240.21(C), 240.4(F)",
        ]
    }

    fn discriminates(&self, _: &Discriminated<'_>, _: &Discriminated<'_>, _: Option<Amperes>) -> (Discrimination, &'static str) {
        (Discrimination::Unknown, "NFPA 70 asks for selective coordination in Articles 620, 645, 695, 700, 701, 705 and 708 only")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::testing::{horsepower, machine, start};
    use crate::load::{Known, Machine, Origin, Start};
    use crate::rules::RatedCurrents;
    use crate::rules::nec::Edition;
    use crate::rules::nec::protection::{MotorType, normal_maximum};

    const BOOK: Nec = Nec { edition: Edition::E2023 };

    fn motor(current: f64) -> FeederTerm {
        FeederTerm { current: Amperes(current), motor: true, ..FeederTerm::default() }
    }

    fn running(terms: &[FeederTerm]) -> Vec<FeederItem> {
        terms.iter().map(|term| FeederItem { term: *term, running: 1, displaces: None }).collect()
    }

    fn need(items: &[FeederItem]) -> (f64, Option<usize>) {
        let own = BOOK.feeder_need(items, Amperes(0.0), &mut Record::silent());
        (own.capacity.0, own.lead)
    }

    #[test]
    fn of_equal_motors_only_one_counts_at_125_per_cent() {
        let four = [FeederItem { term: motor(14.0), running: 4, displaces: None }];
        assert!((need(&four).0 - (14.0 * 1.25 + 3.0 * 14.0)).abs() < 1e-9);
        assert!((need(&running(&[motor(14.0); 4])).0 - (14.0 * 1.25 + 3.0 * 14.0)).abs() < 1e-9);
        assert_eq!(need(&[]), (0.0, None));
    }

    /// Exception 1: a 430.22(E) value of 30 A against a continuous motor of 28 A (35 A at 125 %), and the reverse.
    #[test]
    fn duty_motors_lead_where_their_value_is_greater() {
        let duty = |value: f64| FeederTerm { duty_value: Some(Amperes(value)), ..motor(20.0) };
        assert_eq!(need(&running(&[motor(28.0), duty(30.0)])), (35.0 + 30.0, Some(0)));
        assert_eq!(need(&running(&[motor(28.0), duty(40.0)])), (28.0 + 40.0, Some(1)));
    }

    /// 215.2(A)(1): a continuous load of 30 A and one of 10 A that is not; a capacitor at 135 % (460.8(A)) holds its allowance.
    #[test]
    fn loads_that_are_no_motors_count_by_their_duration() {
        let load = |current: f64, continuous: bool| FeederTerm { motor: false, continuous, ..motor(current) };
        assert!((need(&running(&[load(30.0, true), load(10.0, false)])).0 - 47.5).abs() < 1e-9);
        let capacitor = FeederTerm { duty_value: Some(Amperes(27.0)), ..load(20.0, true) };
        assert!((need(&running(&[capacitor, motor(28.0)])).0 - 62.0).abs() < 1e-9);
        let bounds = BOOK.feeder_bounds(
            ProtectionKind::InverseTime,
            &running(&[load(30.0, true), load(10.0, false)]),
            Amperes(47.5),
            &mut Record::silent(),
        );
        assert_eq!((bounds.most, bounds.motor_feeder), (Some(Amperes(50.0)), false));
    }

    #[test]
    fn branch_fuses_under_a_breaker_give_two_readings_and_the_smaller_wins() {
        // 34 A: non-time-delay fuse 110 A, breaker 90 A; the other motor 14 A: 45 A and 35 A.
        let fuse = |amperes: f64, own: f64, breaker: f64| FeederTerm {
            branch: Some(Amperes(own)),
            as_feeder: Some(Amperes(breaker)),
            ..motor(amperes)
        };
        let of = |kind, terms: [FeederTerm; 2]| {
            let own = BOOK.feeder_bounds(kind, &running(&terms), Amperes(0.0), &mut Record::silent());
            (own.most, own.other_reading)
        };
        let under_breaker = of(ProtectionKind::InverseTime, [fuse(34.0, 110.0, 90.0), fuse(14.0, 45.0, 35.0)]);
        assert_eq!(under_breaker, (Some(Amperes(100.0)), Some(Amperes(110.0))));
        let under_fuse = of(ProtectionKind::NonTimeDelay, [fuse(34.0, 110.0, 110.0), fuse(14.0, 45.0, 45.0)]);
        assert_eq!(under_fuse, (Some(Amperes(110.0)), None));
    }

    #[test]
    fn instantaneous_branches_enter_as_the_feeder_type() {
        // 34 A x 1.75 = 59.5 A, next size 60 A; with 14 A 74 A, rounded down.
        let own = |current: f64, as_feeder: f64| FeederTerm { as_feeder: Some(Amperes(as_feeder)), ..motor(current) };
        let of = |terms: &[FeederTerm]| {
            BOOK.feeder_bounds(ProtectionKind::DualElement, &running(terms), Amperes(0.0), &mut Record::silent())
        };
        assert_eq!(of(&[own(34.0, 60.0), own(14.0, 25.0)]).most, Some(Amperes(70.0)));
        let unknown = of(&[motor(34.0)]);
        assert_eq!((unknown.most, unknown.motor_feeder, unknown.largest_first), (None, false, false));
        assert!(!unknown.unknown_because.is_empty());
    }

    #[test]
    fn a_feeder_device_never_exceeds_its_sum() {
        for step in 1..200 {
            let current = f64::from(step) * 1.3;
            let device = Device::InverseTimeBreaker;
            let largest = normal_maximum(&mut Record::new(), Edition::E2023, MotorType::Cage, device, Amperes(current));
            let rated = largest.map(|own| own.rating);
            let term = FeederTerm { branch: rated, as_feeder: rated, ..motor(current) };
            let items = running(&[term, term]);
            let own = BOOK.feeder_bounds(ProtectionKind::InverseTime, &items, Amperes(0.0), &mut Record::silent());
            if let (Some(most), Some(rated)) = (own.most, rated) {
                assert!(most.fits(rated + Amperes(current)));
            }
        }
    }

    /// A motor of 1 A on a fuse of 3 A behind a breaker: there is none of 3 A, and the smallest there is must not become the largest.
    #[test]
    fn a_sum_below_the_smallest_rating_leaves_the_device_to_the_conductors() {
        let term = FeederTerm { branch: Some(Amperes(3.0)), as_feeder: Some(Amperes(15.0)), ..motor(1.0) };
        let own = BOOK.feeder_bounds(ProtectionKind::InverseTime, &running(&[term]), Amperes(1.25), &mut Record::silent());
        assert_eq!((own.most, own.largest_first, own.motor_feeder, own.unknown_because), (None, false, false, ""));
    }

    #[test]
    fn demand_factors_need_permission() {
        let record = &mut Record::new();
        assert_eq!(with_demand_factor(record, Amperes(100.0), 0.8, false), Amperes(100.0));
        assert_eq!(with_demand_factor(record, Amperes(100.0), 0.8, true), Amperes(80.0));
        assert_eq!(with_demand_factor(record, Amperes(100.0), 1.2, true), Amperes(100.0));
    }

    /// 430.24: the highest-rated motor at 125 %, the others at 100 %, also where they run continuously; 50 A, 30 A and 20 A need
    /// 1.25 · 50 + 30 + 20 = 112.5 A.
    #[test]
    fn motors_that_run_continuously_count_once_at_125_per_cent() {
        let own = |current: f64| FeederTerm { continuous: true, ..motor(current) };
        assert_eq!(need(&running(&[own(50.0), own(30.0), own(20.0)])), (112.5, Some(0)));
    }

    /// What a load draws that draws this, as a term of a feeder with a circuit-breaker.
    fn term(machine: &Machine, start: &Start, amperes: f64, starting: f64) -> FeederTerm {
        let current = Amperes(amperes);
        let currents = RatedCurrents { full_load: current, conductor: current, protection: current, ..RatedCurrents::default() };
        let wish = Known::new(ProtectionKind::InverseTime, Origin::Default);
        BOOK.feeder_term(&TermAsk {
            machine,
            start,
            currents: &currents,
            line: current,
            starting: Amperes(starting),
            time: Seconds(2.0),
            wish,
            feeder: ProtectionKind::InverseTime,
        })
    }

    /// 460.8(A): the conductors of a capacitor of 20 A carry 135 %, 27 A; beside a motor of 28 A a feeder needs 1.25 · 28 + 27 = 62 A. A
    /// heater of 20 A lasts three hours or more and counts at 125 % (215.2(A)(1)): 1.25 · 28 + 25 = 60 A.
    #[test]
    fn a_capacitor_enters_a_feeder_with_its_135_per_cent() {
        let none = start(Method::None);
        let capacitor = term(&machine(LoadKind::Capacitor, 480.0, 60.0), &none, 20.0, 0.0);
        assert_eq!((capacitor.duty_value, capacitor.motor), (Some(Amperes(27.0)), false));
        assert!((need(&running(&[capacitor, motor(28.0)])).0 - 62.0).abs() < 1e-9);
        let heater = term(&machine(LoadKind::Heater, 480.0, 60.0), &none, 20.0, 0.0);
        assert_eq!((heater.duty_value, heater.continuous), (None, true));
        assert!((need(&running(&[heater, motor(28.0)])).0 - 60.0).abs() < 1e-9);
    }

    /// 430.122(A): a feeder of a drive carries its rated input current, 30 A, whatever the motor draws; with a bypass not less than the
    /// motor's own 34 A (430.122(B)). A motor for intermittent duty with a time rating of 15 min counts at 85 % of its nameplate
    /// current (Table 430.22(E)), 28.9 A.
    #[test]
    fn what_counts_for_a_feeder_is_the_input_of_a_drive_and_the_duty_of_a_motor() {
        let motor = horsepower(25.0, 460.0);
        let drive = Start { drive_input: Some(Amperes(30.0)), ..start(Method::Drive) };
        assert_eq!(term(&motor, &drive, 34.0, 0.0).current, Amperes(30.0));
        assert_eq!(term(&motor, &Start { bypass: true, ..drive.clone() }, 34.0, 0.0).current, Amperes(34.0));
        let duty = Start { duty_text: "intermittent".to_owned(), rated_minutes: Some(15.0), ..start(Method::Direct) };
        let own = term(&motor, &duty, 34.0, 204.0);
        assert!(own.duty_value.is_some_and(|own| (own.0 - 28.9).abs() < 1e-9), "{:?}", own.duty_value);
        // Its drive runs it on whatever duty: the drive's input is what the feeder sees.
        assert_eq!(term(&motor, &Start { method: Method::Drive, ..duty }, 34.0, 0.0).duty_value, None);
    }

    /// 440.4(B), 430.62(A): equipment that is marked with 32 A and a device of 40 A enters with both.
    #[test]
    fn marked_equipment_enters_with_its_marking() {
        let own = Machine {
            minimum_ampacity: Some(Amperes(32.0)),
            maximum_protection: Some(Amperes(40.0)),
            ..machine(LoadKind::Packaged, 460.0, 60.0)
        };
        let own = term(&own, &start(Method::Feeder), 25.0, 0.0);
        assert_eq!((own.duty_value, own.marked, own.motor), (Some(Amperes(32.0)), true, true));
        assert_eq!((own.branch, own.as_feeder), (Some(Amperes(40.0)), Some(Amperes(40.0))));
    }

    /// 215.2(A)(1), informational note: 5 % to the farthest outlet; of these 3 % are the branch circuit's (210.19(A)), 2 % are left.
    #[test]
    fn a_feeder_has_two_per_cent_of_the_drop() {
        assert!((BOOK.feeder_drop_pct().0 - 2.0).abs() < 1e-9);
    }
}
