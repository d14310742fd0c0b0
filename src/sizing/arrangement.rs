//! Starting methods as data: which contactors and relays a method has, which share of which current each carries, in which
//! duty, what flows while starting, and what must never be closed together. Decisions elsewhere loop over the table (`methods`)
//! and never ask which method it is.
//!
//! Currents, torques and figures of practice are those of [`crate::rules::physics::starting`]; here stands only which of them a
//! method has.

use crate::load::{Method, Origin, Start};
use crate::quantity::Amperes;
use crate::record::Record;
pub use crate::rules::Duty;
use crate::rules::physics::starting::{self, Start as Kind};

mod methods;

pub use methods::ARRANGEMENTS;
use methods::{DIRECT, REVERSING_ROLES};

/// Which current a share is taken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Base {
    /// Rated current (of the high speed, where there are two).
    Full,
    /// Rated current at low speed.
    Low,
    /// Input current of the drive.
    DriveInput,
    /// Input current of the drive, or what the motor draws over its bypass, whichever is larger.
    DriveOrBypass,
    /// Rotor current of a slip-ring motor.
    Rotor,
}

/// Share of the base that flows in a role.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Share {
    /// All of it.
    All,
    /// 1/√3: inside the delta.
    InverseRoot3,
    /// 1/3: star connection.
    Third,
    /// 1/2: equal halves of a part winding.
    Half,
    /// 1/2: star point of a tapped winding at high speed.
    HighStarPoint,
    /// Tap squared: supply side of the transformer.
    TapSquared,
    /// Tap less tap squared, with a least size: star point of the transformer.
    TapStarPoint,
    /// Resistors of a closed transition.
    Transition,
    /// One of so many equal motors behind the starter.
    OneOf(u32),
}

impl Share {
    /// Current of this share of a base; its working is kept.
    pub fn current(self, record: &mut Record, base: Amperes, start: &Start) -> Amperes {
        let tap = start.tap.value;
        match self {
            Self::All => base,
            Self::InverseRoot3 => starting::winding_current(record, base),
            Self::Third => starting::star_contactor_current(record, base),
            Self::Half => starting::part_current(record, base, 0.5),
            Self::HighStarPoint => starting::high_star_current(record, base),
            Self::TapSquared => starting::tap_contactor_current(record, base, tap),
            Self::TapStarPoint => starting::star_point_contactor_current(record, base, tap),
            Self::Transition => starting::transition_current(record, base),
            Self::OneOf(motors) => base * (1.0 / f64::from(motors.max(1))),
        }
    }

    /// As a factor.
    #[must_use]
    pub fn factor(self, start: &Start) -> f64 {
        self.current(&mut Record::silent(), Amperes(1.0), start).0
    }
}

/// The current that flows through a role while the motor starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Through {
    /// The line current of the start.
    Line,
    /// The current in the star point of an autotransformer.
    StarPoint,
    /// Nothing, or only a moment.
    Nothing,
}

/// When a role is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Always.
    Always,
    /// A line contactor is wanted (it is unless the row says no).
    LineContactor,
    /// A bypass is wanted and the device has none of its own.
    Bypass,
}

/// A contactor's role.
#[derive(Clone, Copy, Debug)]
pub struct Role {
    /// Name, in its canonical word.
    pub name: &'static str,
    /// Current it takes its share of.
    pub base: Base,
    /// Its share.
    pub share: Share,
    /// Its duty.
    pub duty: Duty,
    /// Current that flows through it while the motor starts.
    pub through: Through,
    /// It carries the start, or the motor at full voltage, until the overload relay trips: a slow class asks more of it.
    pub until_trip: bool,
    /// When it is there.
    pub when: When,
}

/// An overload relay's place.
#[derive(Clone, Copy, Debug)]
pub struct RelayPlace {
    /// Contactor under which it sits.
    pub role: &'static str,
    /// Position, in its canonical word.
    pub position: &'static str,
    /// Current it takes its share of.
    pub base: Base,
    /// Its share.
    pub share: Share,
    /// When it is there.
    pub when: When,
}

/// A device of the starting method that is no contactor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Device {
    /// Soft starter carrying a share of the rated current.
    SoftStarter(Share),
    /// Drive.
    Drive,
    /// Autotransformer.
    Autotransformer,
    /// Resistors in the stator line.
    Resistor,
    /// Reactor in the stator line.
    Reactor,
    /// Resistors in the rotor circuit.
    RotorResistor,
}

/// Which cables a method has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Runs {
    /// One run from the board to the machine.
    One,
    /// Six leads between starter and motor.
    SixLeads,
    /// Two runs to two windings, or two sets of taps.
    TwoSpeeds,
    /// Supply run to a drive and output run to the motor.
    DriveOutput,
    /// One run to the stator and one to the rotor.
    Rotor,
}

/// A starting method.
#[derive(Clone, Copy, Debug)]
pub struct Arrangement {
    /// Which method.
    pub method: Method,
    /// Its contactors.
    pub roles: &'static [Role],
    /// Its overload relays.
    pub relays: &'static [RelayPlace],
    /// A device besides.
    pub device: Option<Device>,
    /// How the motor is brought up to speed; none where nothing starts that is ours.
    pub kind: fn(&Start) -> Option<Kind>,
    /// Current that the overload relay sees while the motor starts.
    pub relay_sees: RelaySees,
    /// How the time of the reduced-voltage step follows from the start.
    pub step: Step,
    /// The change-over can draw nearly the current of a direct start; magnetic releases must ride through it.
    pub transition_peak: bool,
    /// Pairs that must never be closed together.
    pub interlocked: &'static [(&'static str, &'static str)],
    /// A star-delta timer drives the change-over.
    pub star_delta_timer: bool,
    /// Contactors that a command from outside the starter closes: they seal themselves in and tell that the load runs.
    pub commanded: &'static [&'static str],
    /// The same where the row wants no line contactor.
    pub commanded_without_line: &'static [&'static str],
    /// Contactors whose closed state lets another in, and which.
    pub lets_in: &'static [(&'static str, &'static str)],
    /// Contactors that must be open before a command is obeyed.
    pub open_at_start: &'static [&'static str],
    /// Contactors on which an on-delay timer runs, and which it lets in.
    pub timed: &'static [(&'static str, &'static str)],
    /// Contactors after whose opening another stays out while the motor slows down, and which.
    pub slows_down: &'static [(&'static str, &'static str)],
    /// Contactors whose outgoing poles form a star point.
    pub star_points: &'static [&'static str],
    /// Contactor that must not open before what it feeds from is switched off.
    pub opens_dead: Option<&'static str>,
    /// Its cables.
    pub runs: Runs,
    /// Several motors in parallel may stand behind it: it switches their line, not their windings.
    pub several_motors: bool,
}

/// The current that flows through the overload relay while the motor starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RelaySees {
    /// The line current.
    Line,
    /// The line current, with a setting for its share of the rated one.
    LineInShare,
    /// The motor's side of an autotransformer.
    MotorSide,
}

/// How long the step at reduced current lasts; figures of the practice table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The start itself.
    Whole,
    /// In star: a third of the torque.
    Star,
    /// A ramp.
    Ramp,
    /// At the voltage share of a resistor or reactor.
    VoltageShare,
    /// At the torque of a tap, its square.
    TapTorque,
    /// A fixed short time.
    PartWinding,
    /// Long by design.
    Rotor,
}

/// Role of the contactor before all others, where the safety level asks for two in series.
pub const SAFETY: &str = "safety";

/// Role and position of a relay, and role of a run, that belong to one motor among several behind one starter.
pub const OF_ONE_MOTOR: &str = "motor";

impl Arrangement {
    /// The arrangement of a method.
    #[must_use]
    pub fn of(method: Method) -> &'static Self {
        ARRANGEMENTS.iter().find(|arrangement| arrangement.method == method).unwrap_or(&DIRECT)
    }

    /// Its contactors in a circuit: two for the one that reverses, and a further one before them all where the safety level asks for
    /// two that can each interrupt the supply.
    #[must_use]
    pub fn roles(&self, start: &Start, device_has_bypass: bool, redundant: bool) -> Vec<Role> {
        let stated = if self.method == Method::Direct && start.reversing { REVERSING_ROLES } else { self.roles };
        let mut roles: Vec<Role> = stated.iter().copied().filter(|role| there(role.when, start, device_has_bypass)).collect();
        if let Some(first) = stated.first().filter(|_| redundant) {
            roles.push(self.safety_role(first, start));
        }
        roles
    }

    /// A contactor in the line before all others. It may have to interrupt the running motor, before a drive its input; before a drive
    /// with a bypass the direct start flows through it as well.
    fn safety_role(&self, first: &Role, start: &Start) -> Role {
        let (drive, bypass) = (self.device == Some(Device::Drive), start.over_bypass());
        let (base, duty, through, until_trip) = match (drive, bypass) {
            (_, true) => (Base::DriveOrBypass, Duty::Motor, Through::Line, true),
            (true, false) => (Base::DriveInput, Duty::Motor, Through::Nothing, false),
            (false, false) => (Base::Full, first.duty, first.through, first.until_trip),
        };
        Role { name: SAFETY, base, share: Share::All, duty, through, until_trip, when: When::Always }
    }

    /// Its relays in a circuit. Where two contactors stand in place of one, the relay is under the first: both feed the motor through it.
    /// Each of several motors has a relay of its own, behind everything that they share; the place stands for all of them.
    #[must_use]
    pub fn relays(&self, start: &Start, device_has_bypass: bool, motors: u32) -> Vec<RelayPlace> {
        if motors > 1 {
            let (role, position) = (OF_ONE_MOTOR, OF_ONE_MOTOR);
            return vec![RelayPlace { role, position, base: Base::Full, share: Share::OneOf(motors), when: When::Always }];
        }
        let reverses = self.method == Method::Direct && start.reversing;
        let relays = self.relays.iter().copied().filter(|relay| there(relay.when, start, device_has_bypass));
        relays.map(|relay| if reverses { RelayPlace { role: REVERSING_ROLES[0].name, ..relay } } else { relay }).collect()
    }

    /// Pairs that must never be closed together.
    #[must_use]
    pub fn interlocked(&self, start: &Start) -> &'static [(&'static str, &'static str)] {
        if self.method == Method::Direct && start.reversing { &[("forward", "reverse")] } else { self.interlocked }
    }

    /// Contactors that a command from outside closes.
    #[must_use]
    pub fn commanded(&self, start: &Start) -> &'static [&'static str] {
        if self.method == Method::Direct && start.reversing {
            &["forward", "reverse"]
        } else if !start.line_contactor && !self.commanded_without_line.is_empty() {
            self.commanded_without_line
        } else {
            self.commanded
        }
    }

    /// Time of each timer, s: the step at reduced current, shared out where several follow each other.
    #[must_use]
    pub fn delay(&self, start: &Start) -> f64 {
        let steps = u32::try_from(self.timed.len()).unwrap_or(1).max(1);
        let step = start.worked_out.and_then(|start| start.change_over).map_or_else(|| self.step_time(start), |time| time.0);
        step / f64::from(steps)
    }

    /// Line current while the motor starts, from its rated current; its working is kept.
    pub fn line_start_current(&self, record: &mut Record, start: &Start, rated: Amperes) -> Amperes {
        (self.kind)(start).map_or(rated, |kind| starting::line_start_current(record, kind, rated, start.ratio.value))
    }

    /// Line current while starting over rated current.
    #[must_use]
    pub fn line_start(&self, start: &Start) -> f64 {
        self.line_start_current(&mut Record::silent(), start, Amperes(1.0)).0
    }

    /// Current through the relay while starting over the rated current of its place.
    #[must_use]
    pub fn relay_multiple(&self, start: &Start) -> f64 {
        match self.relay_sees {
            RelaySees::Line => self.line_start(start),
            RelaySees::LineInShare => self.line_start(start) / self.relays.first().map_or(1.0, |place| place.share.factor(start)),
            RelaySees::MotorSide => start.tap.value * start.ratio.value,
        }
    }

    /// How many times longer a stalled winding stands the reduced step than full voltage: its heat goes with the square of its current.
    /// In star that is 1/√3, whatever share of the line's current a relay sees.
    #[must_use]
    pub fn stands_longer(&self, start: &Start) -> f64 {
        let share = match (&self.step, &self.relay_sees) {
            (Step::Star, _) => 1.0 / 3f64.sqrt(),
            (Step::Ramp, _) | (_, RelaySees::MotorSide) => self.relay_multiple(start) / start.ratio.value,
            _ => 1.0,
        };
        if share > 0.0 && share < 1.0 { 1.0 / (share * share) } else { 1.0 }
    }

    /// Torque while starting over the torque of a direct start; its working is kept.
    pub fn torque(&self, record: &mut Record, start: &Start) -> f64 {
        (self.kind)(start).and_then(|kind| starting::torque_factor(record, kind, start.ratio.value)).unwrap_or(1.0)
    }

    /// Time of the reduced-voltage step, s; that of the whole start where its course is worked out.
    #[must_use]
    pub fn step_time(&self, start: &Start) -> f64 {
        if let Some(start) = start.worked_out {
            return start.time.0;
        }
        let whole = start.time.value.0;
        let given = start.time.origin != Origin::Default;
        let figure = |name: &str| starting::practice(name).unwrap_or(f64::NAN);
        match self.step {
            Step::Whole => whole,
            Step::Star if given => figure("star-time-multiple") * whole,
            Step::Star => figure("star-time") * whole / figure("start-time"),
            Step::Ramp if given => whole * (figure("ramp-time-multiple") * longer_ramp(start)).max(longer_at_limit(start)),
            // The usual start time takes as long at its limit as a stated one.
            Step::Ramp => (figure("ramp-time") * longer_ramp(start)).max(whole * longer_at_limit(start)),
            Step::VoltageShare => whole / start.tap.value,
            Step::TapTorque => whole / (start.tap.value * start.tap.value),
            Step::PartWinding => figure("part-winding-time"),
            Step::Rotor => whole.max(figure("rotor-start-least")),
        }
    }

    /// Time of full voltage behind the first step, s, where the motor is not up by then: once the second half of a winding is added it
    /// draws what it does in a direct start. A start that nobody times is the usual one, as in every other method.
    fn time_at_full_voltage(&self, start: &Start) -> f64 {
        match self.step {
            Step::PartWinding => (start.time.value.0 - self.step_time(start)).max(0.0),
            _ => 0.0,
        }
    }

    /// Seconds at the current of the first step that heat a relay and its contactor as the whole start does (constant I²t).
    #[must_use]
    pub fn heating_time(&self, start: &Start) -> f64 {
        let share = start.ratio.value / self.relay_multiple(start);
        // The current of the first moment is taken for all of the step; a run-up heats the motor as at full voltage at the least, whatever
        // the voltage of the motor does behind an impedance.
        let longer = if self.step == Step::VoltageShare && start.worked_out.is_none() { share } else { 1.0 };
        self.step_time(start) * longer + self.time_at_full_voltage(start) * share * share
    }

    /// Current in the line while the motor starts, over the rated current, and for how long, s: a protective device must let it
    /// pass.
    #[must_use]
    pub fn through_the_line(&self, start: &Start) -> (f64, f64) {
        let later = self.time_at_full_voltage(start);
        let step = self.step_time(start);
        if later > 0.0 { (start.ratio.value, step + later) } else { (self.line_start(start), step) }
    }

    /// The relay's current or the magnetic release's while starting is that of a cage motor on the line at some moment.
    #[must_use]
    pub fn magnetic_multiple(&self, start: &Start) -> f64 {
        if self.transition_peak { start.ratio.value } else { self.line_start(start) }
    }
}

/// How many times longer a ramp takes at a current limit below the least usual one: the torque goes with the square of the current (circuit
/// theory of the induction motor at one slip), and the time at one inertia against the torque.
fn longer_ramp(start: &Start) -> f64 {
    let least = starting::practice("soft-starter-limit-least").unwrap_or(f64::NAN);
    let short = least / start.limit.value;
    if short > 1.0 { short * short } else { 1.0 }
}

/// How many times longer a motor takes to run up at its current limit than at full voltage: the torque goes with the square of the current
/// (circuit theory of the induction motor at one slip), before what the load takes of it.
fn longer_at_limit(start: &Start) -> f64 {
    let share = start.ratio.value / start.limit.value;
    if share > 1.0 { share * share } else { 1.0 }
}

fn there(when: When, start: &Start, device_has_bypass: bool) -> bool {
    match when {
        When::Always => true,
        When::LineContactor => start.line_contactor,
        When::Bypass => start.bypass && !device_has_bypass,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Known;
    use crate::load::testing::start;
    use crate::quantity::Seconds;

    /// At one inertia the time goes against the torque, which goes with the square of the current (circuit theory): 8 times at a limit of 4
    /// take four times as long, 3 s 12 s and 10 s 40 s, stated or not. Much torque to break away makes a start in star longer too.
    #[test]
    fn a_start_that_is_assumed_takes_no_less_than_the_same_stated() {
        let of = |method: Method, seconds: f64, origin: Origin| {
            let time = Known::new(Seconds(seconds), origin);
            let (ratio, limit) = (Known::new(8.0, Origin::Default), Known::new(4.0, Origin::Default));
            Arrangement::of(method).step_time(&Start { time, ratio, limit, ..start(method) })
        };
        for (seconds, expected) in [(3.0, 12.0), (10.0, 40.0)] {
            for origin in [Origin::Default, Origin::Cell] {
                assert!((of(Method::SoftStarter, seconds, origin) - expected).abs() < 1e-9, "{seconds} {origin:?}");
            }
        }
        assert!((of(Method::StarDelta, 3.0, Origin::Default) - 8.0).abs() < 1e-9);
        assert!(of(Method::StarDelta, 10.0, Origin::Default) > 3.0 * 8.0);
    }

    /// Circuit theory: the rotor takes the kinetic energy of the load as heat, at whatever voltage it runs up. A direct start of 6 times
    /// for 5 s heats by 180 In²s; one behind a resistor of 0.65, at 3.9 times, may not count for less.
    #[test]
    fn a_start_behind_an_impedance_heats_a_relay_no_less_than_a_direct_one() {
        for method in [Method::PrimaryResistor, Method::Reactor, Method::Autotransformer] {
            let arrangement = Arrangement::of(method);
            let start = Start {
                time: Known::new(Seconds(5.0), Origin::Cell),
                ratio: Known::new(6.0, Origin::Cell),
                tap: Known::new(0.65, Origin::Cell),
                ..start(method)
            };
            let current = arrangement.relay_multiple(&start);
            let heat = current * current * arrangement.heating_time(&start);
            assert!((heat - 180.0).abs() < 1e-6, "{}: {heat}", method.word());
        }
    }

    #[test]
    fn every_method_has_an_arrangement_of_its_own() {
        for (method, word) in Method::ALL {
            assert_eq!(ARRANGEMENTS.iter().filter(|arrangement| arrangement.method == *method).count(), 1, "{word}");
        }
    }

    #[test]
    fn interlocked_pairs_and_relays_name_roles_that_exist() {
        for arrangement in ARRANGEMENTS {
            let has = |name: &str| arrangement.roles.iter().any(|role| role.name == name);
            for (a, b) in arrangement.interlocked {
                assert!(has(a) && has(b), "{}: {a}, {b}", arrangement.method.word());
            }
            let timed =
                arrangement.timed.iter().chain(arrangement.lets_in).chain(arrangement.slows_down).flat_map(|(a, b)| [*a, *b]);
            for name in arrangement
                .commanded
                .iter()
                .chain(arrangement.star_points)
                .chain(arrangement.open_at_start)
                .copied()
                .chain(timed)
                .chain(arrangement.opens_dead)
            {
                assert!(has(name), "{}: {name}", arrangement.method.word());
            }
            for place in arrangement.relays {
                assert!(has(place.role) || place.role.is_empty(), "{}: {}", arrangement.method.word(), place.role);
            }
        }
    }
}
