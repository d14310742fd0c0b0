//! The table: one arrangement a starting method.

use super::{Arrangement, Base, Device, Duty, RelayPlace, RelaySees, Role, Runs, Share, Step, Through, When};
use crate::load::{Method, Start};
use crate::rules::physics::starting::Start as Kind;

const fn role(name: &'static str, base: Base, share: Share, duty: Duty, through: Through) -> Role {
    Role { name, base, share, duty, through, until_trip: !matches!(through, Through::Nothing), when: When::Always }
}

/// A role that closes after the start and then carries the running motor, overloaded or not, until the relay trips.
const fn running(name: &'static str, base: Base, share: Share, duty: Duty) -> Role {
    Role { until_trip: true, ..role(name, base, share, duty, Through::Nothing) }
}

const fn relay(role: &'static str, position: &'static str, base: Base, share: Share) -> RelayPlace {
    RelayPlace { role, position, base, share, when: When::Always }
}

fn direct(_: &Start) -> Option<Kind> {
    Some(Kind::Direct)
}

fn nothing(_: &Start) -> Option<Kind> {
    None
}

fn limited(start: &Start) -> Option<Kind> {
    Some(Kind::CurrentLimit(start.limit.value))
}

/// Started direct; what others have in common with it they take from here.
pub(super) const DIRECT: Arrangement = Arrangement {
    method: Method::Direct,
    roles: &[role("main", Base::Full, Share::All, Duty::Motor, Through::Line)],
    relays: &[relay("main", "line", Base::Full, Share::All)],
    device: None,
    kind: direct,
    relay_sees: RelaySees::Line,
    step: Step::Whole,
    transition_peak: false,
    interlocked: &[],
    star_delta_timer: false,
    commanded: &["main"],
    commanded_without_line: &[],
    lets_in: &[],
    open_at_start: &[],
    timed: &[],
    slows_down: &[],
    star_points: &[],
    opens_dead: None,
    runs: Runs::One,
    several_motors: true,
};

/// Forward and reverse in place of one contactor.
pub(super) const REVERSING_ROLES: &[Role] = &[
    role("forward", Base::Full, Share::All, Duty::Motor, Through::Line),
    role("reverse", Base::Full, Share::All, Duty::Motor, Through::Line),
];

const STAR_DELTA: Arrangement = Arrangement {
    method: Method::StarDelta,
    roles: &[
        role("line", Base::Full, Share::InverseRoot3, Duty::Motor, Through::Line),
        role("star", Base::Full, Share::Third, Duty::Motor, Through::Line),
        running("delta", Base::Full, Share::InverseRoot3, Duty::Motor),
    ],
    relays: &[relay("line", "delta-leg", Base::Full, Share::InverseRoot3)],
    kind: |_| Some(Kind::StarDelta),
    relay_sees: RelaySees::LineInShare,
    step: Step::Star,
    transition_peak: true,
    interlocked: &[("star", "delta")],
    star_delta_timer: true,
    commanded: &["line"],
    lets_in: &[("star", "line")],
    star_points: &["star"],
    runs: Runs::SixLeads,
    several_motors: false,
    ..DIRECT
};

const TWO_SPEED_DAHLANDER: Arrangement = Arrangement {
    method: Method::TwoSpeedDahlander,
    roles: &[
        role("low", Base::Low, Share::All, Duty::Motor, Through::Line),
        role("high", Base::Full, Share::All, Duty::Motor, Through::Line),
        running("high-star", Base::Full, Share::HighStarPoint, Duty::Motor),
    ],
    relays: &[relay("low", "low", Base::Low, Share::All), relay("high", "high", Base::Full, Share::All)],
    interlocked: &[("low", "high"), ("low", "high-star")],
    commanded: &["low", "high"],
    lets_in: &[("high-star", "high")],
    slows_down: &[("high", "low")],
    star_points: &["high-star"],
    runs: Runs::TwoSpeeds,
    several_motors: false,
    ..DIRECT
};

const STATOR_STEP: Arrangement = Arrangement {
    method: Method::PrimaryResistor,
    roles: &[
        role("line", Base::Full, Share::All, Duty::Motor, Through::Line),
        running("run", Base::Full, Share::All, Duty::Motor),
    ],
    relays: &[relay("line", "line", Base::Full, Share::All)],
    device: Some(Device::Resistor),
    kind: |start| Some(Kind::StatorImpedance(start.tap.value)),
    step: Step::VoltageShare,
    transition_peak: true,
    commanded: &["line"],
    timed: &[("line", "run")],
    several_motors: false,
    ..DIRECT
};

const SOFT_STARTER: Arrangement = Arrangement {
    method: Method::SoftStarter,
    roles: &[
        Role { when: When::LineContactor, ..role("line", Base::Full, Share::All, Duty::Motor, Through::Line) },
        Role { when: When::Bypass, ..running("bypass", Base::Full, Share::All, Duty::Carry) },
    ],
    relays: &[relay("line", "line", Base::Full, Share::All)],
    device: Some(Device::SoftStarter(Share::All)),
    kind: limited,
    step: Step::Ramp,
    commanded: &["line"],
    ..DIRECT
};

const SUPPLY_ONLY: Arrangement = Arrangement {
    method: Method::Feeder,
    roles: &[],
    relays: &[],
    // The start of a load behind the feeder is not ours and not known.
    kind: nothing,
    commanded: &[],
    several_motors: false,
    ..DIRECT
};

/// All methods.
pub const ARRANGEMENTS: &[Arrangement] = &[
    DIRECT,
    STAR_DELTA,
    Arrangement {
        method: Method::StarDeltaClosed,
        roles: &[
            role("line", Base::Full, Share::InverseRoot3, Duty::Motor, Through::Line),
            role("star", Base::Full, Share::Third, Duty::Motor, Through::Line),
            running("delta", Base::Full, Share::InverseRoot3, Duty::Motor),
            role("transition", Base::Full, Share::Transition, Duty::Motor, Through::Nothing),
        ],
        device: Some(Device::Resistor),
        ..STAR_DELTA
    },
    Arrangement {
        method: Method::Autotransformer,
        roles: &[
            role("line", Base::Full, Share::TapSquared, Duty::Motor, Through::Line),
            role("star-point", Base::Full, Share::TapStarPoint, Duty::Motor, Through::StarPoint),
            running("run", Base::Full, Share::All, Duty::Motor),
        ],
        relays: &[relay("run", "line", Base::Full, Share::All)],
        device: Some(Device::Autotransformer),
        kind: |start| Some(Kind::Autotransformer(start.tap.value)),
        relay_sees: RelaySees::MotorSide,
        step: Step::TapTorque,
        transition_peak: true,
        interlocked: &[("star-point", "run")],
        commanded: &["line"],
        lets_in: &[("star-point", "line")],
        timed: &[("line", "run")],
        star_points: &["star-point"],
        several_motors: false,
        ..DIRECT
    },
    Arrangement {
        method: Method::PartWinding,
        roles: &[
            role("first", Base::Full, Share::Half, Duty::Motor, Through::Line),
            running("second", Base::Full, Share::Half, Duty::Motor),
        ],
        relays: &[relay("first", "line", Base::Full, Share::Half), relay("second", "line", Base::Full, Share::Half)],
        kind: |_| Some(Kind::PartWinding(None)),
        relay_sees: RelaySees::LineInShare,
        step: Step::PartWinding,
        transition_peak: true,
        commanded: &["first"],
        timed: &[("first", "second")],
        runs: Runs::SixLeads,
        several_motors: false,
        ..DIRECT
    },
    SOFT_STARTER,
    Arrangement {
        method: Method::SoftStarterInsideDelta,
        roles: &[
            role("line", Base::Full, Share::All, Duty::Motor, Through::Line),
            Role { when: When::Bypass, ..running("bypass", Base::Full, Share::InverseRoot3, Duty::Carry) },
        ],
        relays: &[relay("line", "delta-leg", Base::Full, Share::InverseRoot3)],
        device: Some(Device::SoftStarter(Share::InverseRoot3)),
        runs: Runs::SixLeads,
        several_motors: false,
        ..SOFT_STARTER
    },
    Arrangement {
        method: Method::Drive,
        roles: &[
            Role { when: When::LineContactor, ..role("line", Base::DriveInput, Share::All, Duty::Carry, Through::Nothing) },
            Role { when: When::Bypass, ..role("bypass", Base::Full, Share::All, Duty::Motor, Through::Line) },
            Role { when: When::Bypass, ..role("output", Base::Full, Share::All, Duty::Motor, Through::Nothing) },
        ],
        relays: &[RelayPlace { when: When::Bypass, ..relay("bypass", "bypass", Base::Full, Share::All) }],
        device: Some(Device::Drive),
        // Over the bypass the motor starts direct, whatever the drive before it can do.
        kind: |start| Some(if start.over_bypass() { Kind::Direct } else { Kind::Drive }),
        interlocked: &[("output", "bypass")],
        // One command for the drive, whose output contactor follows the line's, and one for the bypass.
        commanded: &["line", "bypass"],
        commanded_without_line: &["output", "bypass"],
        opens_dead: Some("output"),
        runs: Runs::DriveOutput,
        ..DIRECT
    },
    TWO_SPEED_DAHLANDER,
    Arrangement {
        method: Method::TwoSpeedSeparate,
        roles: &[
            role("low", Base::Low, Share::All, Duty::Motor, Through::Line),
            role("high", Base::Full, Share::All, Duty::Motor, Through::Line),
        ],
        interlocked: &[("low", "high")],
        lets_in: &[],
        star_points: &[],
        ..TWO_SPEED_DAHLANDER
    },
    // The tapped winding needs all that two windings need and a star-point contactor besides: the safer assumption.
    Arrangement { method: Method::TwoSpeed, ..TWO_SPEED_DAHLANDER },
    Arrangement {
        method: Method::RotorResistance,
        roles: &[
            role("line", Base::Full, Share::All, Duty::SlipRing, Through::Line),
            role("rotor-1", Base::Rotor, Share::All, Duty::SlipRing, Through::Nothing),
            role("rotor-2", Base::Rotor, Share::All, Duty::SlipRing, Through::Nothing),
            running("rotor-3", Base::Rotor, Share::All, Duty::SlipRing),
        ],
        relays: &[relay("line", "line", Base::Full, Share::All)],
        device: Some(Device::RotorResistor),
        kind: |_| Some(Kind::RotorResistance(None)),
        step: Step::Rotor,
        commanded: &["line"],
        open_at_start: &["rotor-1", "rotor-2", "rotor-3"],
        timed: &[("line", "rotor-1"), ("rotor-1", "rotor-2"), ("rotor-2", "rotor-3")],
        runs: Runs::Rotor,
        several_motors: false,
        ..DIRECT
    },
    STATOR_STEP,
    Arrangement { method: Method::Reactor, device: Some(Device::Reactor), ..STATOR_STEP },
    Arrangement {
        method: Method::Manual,
        roles: &[],
        relays: &[relay("", "line", Base::Full, Share::All)],
        commanded: &[],
        several_motors: false,
        ..DIRECT
    },
    Arrangement {
        method: Method::Contactor,
        roles: &[role("main", Base::Full, Share::All, Duty::Load, Through::Nothing)],
        relays: &[],
        kind: nothing,
        several_motors: false,
        ..DIRECT
    },
    SUPPLY_ONLY,
    Arrangement { method: Method::ByOthers, ..SUPPLY_ONLY },
    Arrangement { method: Method::None, ..SUPPLY_ONLY },
];
