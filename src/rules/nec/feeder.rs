//! Feeders of several motors: conductors 430.24, device 430.62 and 430.63.
//!
//! The highest-rated motor is that of the largest current, not horsepower, and only one counts as such. The motor with the largest
//! branch device may be another one.

use super::bounds;
use super::conductor::constant;
use super::criteria;
use super::figures::figure;
use super::hermetic;
use super::incoming;
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
    /// A feeder with capacitors, whose currents lead: without them, with them alone, and both together as phasors.
    BESIDE_CAPACITORS: "smallest ampacity beside capacitors", "A", "430.24, 460.8(A)";
    "Iz = max(I, Ic, Is)"; "MAX(I,Ic,Is)"; |I, Ic, Is| I.max(Ic).max(Is)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&FEEDER_AMPACITY, &LEAD_TERM, &FEEDER_DEVICE, &OTHER_LOADS, &BESIDE_CAPACITORS];

/// The share of a motor or load as one of many: among the motors, the noncontinuous and the continuous loads.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Shares {
    motors: f64,
    noncontinuous: f64,
    continuous: f64,
}

impl Shares {
    /// The share of one circuit, for conductors.
    fn of_conductors(term: &FeederTerm) -> Self {
        if term.capacitor {
            return Self::default();
        }
        let value = term.duty_value.unwrap_or(term.current).0;
        match (term.motor && !term.marked, term.duty_value, term.continuous) {
            (true, ..) => Self { motors: value, ..Self::default() },
            // A value that the clauses of the load itself give, or a marking, holds its allowance.
            (false, Some(_), _) | (false, None, false) => Self { noncontinuous: value, ..Self::default() },
            (false, None, true) => Self { continuous: value, ..Self::default() },
        }
    }

    /// The share of one circuit, for the device.
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

    /// The sum of all that run.
    fn running(items: &[FeederItem], of: fn(&FeederTerm) -> Self) -> Self {
        items.iter().fold(Self::default(), |sum, item| sum.plus(of(&item.term), f64::from(item.running)))
    }

    /// The same without one circuit of an item, and without what an item displaces that rests itself.
    fn without(self, items: &[FeederItem], index: usize, of: fn(&FeederTerm) -> Self) -> Self {
        let item = &items[index];
        let displaced = || item.displaces.and_then(|other| items.get(other)).filter(|other| other.running > 0);
        let gone = if item.running > 0 { Some(item) } else { displaced() };
        gone.map_or(self, |gone| self.plus(of(&gone.term), -1.0))
    }
}

/// What capacitors that run ask of the conductors, by the clause of their own circuits.
fn capacitors(items: &[FeederItem]) -> f64 {
    let of_item = |item: &FeederItem| f64::from(item.running) * item.term.duty_value.unwrap_or(item.term.current).0;
    items.iter().filter(|item| item.term.capacitor).map(of_item).sum()
}

/// It runs, or may run in place of another.
fn competes(items: &[FeederItem], index: usize) -> bool {
    let item = &items[index];
    (item.term.motor || item.term.marked) && (item.running > 0 || item.displaces.is_some())
}

/// The value of a motor as the highest-rated one.
fn lead_value(term: &FeederTerm) -> f64 {
    term.duty_value.map_or(term.current.0 * figure("largest-motor-percent") / 100.0, |duty| duty.0)
}

/// The two circuits that run with the largest lead values: the items.
fn first_two(items: &[FeederItem]) -> [Option<usize>; 2] {
    let mut best = [None, None];
    let value = |index: Option<usize>| index.map_or(f64::NEG_INFINITY, |index: usize| lead_value(&items[index].term));
    for (index, item) in items.iter().enumerate().filter(|(_, item)| item.term.motor && !item.term.marked) {
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
        let term = &items[index].term;
        match term.duty_value {
            Some(duty) => duty.0,
            None => record.step(&LEAD_TERM, &[figure("largest-motor-percent"), term.current.0]),
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
                let shares = Shares::of_conductors(&items[index].term);
                (Some(rest), others.plus(shares, 1.0).without(items, rest, Shares::of_conductors))
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
        let candidate = (index, rating(&items[index].term)?.0, items[index].term.current.0);
        if lead.is_none_or(|best| (candidate.1, candidate.2) > (best.1, best.2)) {
            lead = Some(candidate);
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
    let carries = carries.max(capacitors(items));
    let base = FeederBounds {
        least: need,
        carries: Amperes(carries),
        largest_first: true,
        motor_feeder: true,
        reference: "430.62(A), 430.63",
        ..FeederBounds::default()
    };
    let by_branch = |term: &FeederTerm| term.branch.or(term.as_feeder);
    let same = |term: &FeederTerm| term.as_feeder;
    let kind = device.kind();
    let scratch = &mut Record::silent();
    let Some(first) = device_sum(scratch, items, by_branch) else {
        // A device that protects the conductors by its rating is admitted all the same (430.62(B)).
        let unknown_because = "the largest branch device of a motor is unknown";
        return FeederBounds { unknown_because, largest_first: false, motor_feeder: false, ..base };
    };
    let second = device_sum(scratch, items, same).filter(|second| !(fits(second.0.0, first.0.0) && fits(first.0.0, second.0.0)));
    let smaller = second.is_some_and(|second| second.0.0 < first.0.0);
    let counts = if smaller { device_sum(record, items, same) } else { device_sum(record, items, by_branch) };
    let (computed, lead) = counts.unwrap_or(first);
    let other = second.map(|second| if smaller { first.0 } else { second.0 });
    let Some(most) = next_down(book.edition, kind, computed) else {
        // Below the smallest standard rating: a device of that rating protects the conductors anyway.
        return FeederBounds { lead: Some(lead), ..by_conductors(need) };
    };
    FeederBounds {
        most: Some(most),
        other_reading: other.and_then(|current| next_down(book.edition, kind, current)).filter(|rating| *rating != most),
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
            let nameplate = ask.machine.nameplate.unwrap_or(current);
            need::of_duty(scratch, ask.start, nameplate, |scratch| need::single_motor(scratch, current))
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
            let bounds = bounds::of(*self, kind, &question, &mut Record::silent())?;
            bounds.most.map(|(rating, _)| rating)
        };
        let wished = bounds::kinds(ask.wish, ask.machine, ask.start).into_iter().next();
        FeederTerm {
            current: full_load,
            duty_value: marked.or_else(|| duty_value(ask)),
            motor,
            marked: marked.is_some(),
            continuous: !motor && need::Duty::of(ask.start).is_none(),
            capacitor: ask.machine.kind == LoadKind::Capacitor,
            starting: ask.starting,
            start_time: ask.time,
            locked: incoming::locked(ask, full_load),
            branch: wished.filter(|kind| *kind != ProtectionKind::Instantaneous).and_then(most),
            as_feeder: most(ask.feeder).or_else(|| {
                let kind = ask.machine.fuse_only.then_some(ProtectionKind::DualElement)?;
                most(kind)
            }),
        }
    }

    fn feeder_value(&self, term: &FeederTerm) -> Amperes {
        if term.capacitor {
            return term.duty_value.unwrap_or(term.current);
        }
        let shares = Shares::of_conductors(term);
        Amperes(ampacity_with(&mut Record::silent(), &[], None, shares).max(shares.motors))
    }

    fn feeder_need(&self, items: &[FeederItem], demand: Amperes, record: &mut Record) -> FeederNeed {
        let (capacity, lead) = ampacity_of(record, items);
        let leading = capacitors(items);
        let capacity =
            if leading > 0.0 { Amperes(record.step(&BESIDE_CAPACITORS, &[capacity.0, leading, demand.0])) } else { capacity };
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
                .filter(|rating| need.fits(*rating))
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

    /// The informational notes to 210.19 and 215.2 advise two limits: one for the branch circuit alone, and one for feeder and branch
    /// circuit together, so that only what a feeder takes beyond its share is lost to the branch circuit.
    fn circuit_drop(&self, circuit_pct: f64, feeder_pct: f64, before_pct: Option<f64>) -> (f64, Option<f64>) {
        let left = before_pct.map_or(circuit_pct, |before| circuit_pct + feeder_pct - before);
        (circuit_pct.min(left).max(0.0), None)
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
            cold_loop: ground(constant("cold-c")).map(|impedance| cold + impedance),
            hot_loop: ground(constant("table-9-c")).map(|impedance| warm + impedance),
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

    fn leakage_of_drives(&self) -> Option<(String, &'static str)> {
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
mod tests;
