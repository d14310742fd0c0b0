//! Starting methods once more, from the electrical facts: which contactors and relays a method has, what part of which current each
//! carries, and which must never be closed together. It is held against the table by which circuits are sized.
//!
//! Shares follow from circuit theory: a winding in delta carries 1/√3 of the line current; a star contactor closes the star point of
//! a winding that draws a third of the line current of delta; an autotransformer of tap t draws t² of the motor's direct current
//! from the line and t - t² through its star point; a tapped winding runs its two halves in parallel at high speed, half of the
//! current through each side of its star point. Roles, least sizes and timers: common practice, no source.

use crate::load::Method;
use crate::rules::Duty;
use crate::rules::physics::starting::practice;

/// A current of the circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    Motor,
    LowSpeed,
    DriveInput,
    /// The drive's input, or the motor on the line beside the drive.
    DriveOrBypass,
    Rotor,
}

/// Part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    Whole,
    Half,
    Winding,
    StarPoint,
    TapLine,
    TapStarPoint,
    Transition,
    /// One of so many motors that share the current.
    OneOf(u32),
}

impl Part {
    /// As a factor, at a tap where it depends on that; none where a figure of practice is missing.
    pub(super) fn factor(self, tap: f64) -> Option<f64> {
        match self {
            Self::Whole => Some(1.0),
            Self::Half => Some(0.5),
            Self::Winding => Some(1.0 / 3f64.sqrt()),
            Self::StarPoint => Some(1.0 / 3.0),
            Self::TapLine => Some(tap * tap),
            Self::TapStarPoint => Some((tap * (1.0 - tap)).max(practice("star-point-minimum")?)),
            Self::Transition => practice("transition-contactor"),
            Self::OneOf(motors) => Some(1.0 / f64::from(motors)),
        }
    }
}

/// When a contactor or relay is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum If {
    Always,
    LineContactor,
    Bypass,
}

/// A contactor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Role {
    pub(super) name: &'static str,
    pub(super) of: Of,
    pub(super) part: Part,
    pub(super) duty: Duty,
    /// The starting current flows through it, or the running motor's until a relay trips, so a slow class asks more of it.
    pub(super) until_trip: bool,
    pub(super) there: If,
}

/// An overload relay.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) role: &'static str,
    pub(super) position: &'static str,
    pub(super) of: Of,
    pub(super) part: Part,
    pub(super) there: If,
}

/// The relay of each of several motors, behind all that they share.
pub(super) const fn of_each(motors: u32) -> Place {
    Place { role: "motor", position: "motor", of: Of::Motor, part: Part::OneOf(motors), there: If::Always }
}

/// A timer that drives the start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Timer {
    None,
    StarDelta,
    /// One after the other, each on the contactor that is named.
    OnDelay(&'static [&'static str]),
    /// On the contactor that is named; it runs when that has opened, and the motor slows down.
    OffDelay(&'static str),
}

/// A method.
#[derive(Clone, Copy, Debug)]
pub(super) struct Starter {
    pub(super) roles: &'static [Role],
    pub(super) relays: &'static [Place],
    /// Kind of the device that is neither contactor nor relay, and the part of the current in it.
    pub(super) device: Option<(&'static str, Of, Part)>,
    /// Never closed together.
    pub(super) apart: &'static [(&'static str, &'static str)],
    pub(super) timer: Timer,
    /// A command from outside closes these: they seal themselves in and tell that the load runs.
    pub(super) commanded: &'static [&'static str],
    /// The first, closed, lets the second in.
    pub(super) lets_in: &'static [(&'static str, &'static str)],
    /// Open before a command is obeyed.
    pub(super) open_first: &'static [&'static str],
    /// It opens without current, after what feeds it was switched off.
    pub(super) opens_dead: Option<&'static str>,
    /// Three outgoing poles form a star point.
    pub(super) star_points: &'static [&'static str],
    /// Roles of its runs, without a supply run to a starter that stands apart.
    pub(super) runs: &'static [&'static str],
    /// At a change of connection the line sees nearly the current of a direct start.
    pub(super) peak: bool,
}

const fn starts(name: &'static str, of: Of, part: Part, duty: Duty) -> Role {
    Role { name, of, part, duty, until_trip: true, there: If::Always }
}

/// It joins for the run alone, and what overloads the motor goes through it.
const fn runs(name: &'static str, of: Of, part: Part, duty: Duty) -> Role {
    starts(name, of, part, duty)
}

/// It joins for a moment, or where something before it limits the current.
const fn joins(name: &'static str, of: Of, part: Part, duty: Duty) -> Role {
    Role { until_trip: false, ..starts(name, of, part, duty) }
}

const fn relay(role: &'static str, position: &'static str, of: Of, part: Part) -> Place {
    Place { role, position, of, part, there: If::Always }
}

const NOTHING: Starter = Starter {
    roles: &[],
    relays: &[],
    device: None,
    apart: &[],
    timer: Timer::None,
    commanded: &[],
    lets_in: &[],
    open_first: &[],
    opens_dead: None,
    star_points: &[],
    runs: &["motor"],
    peak: false,
};

const LINE: &[Place] = &[relay("line", "line", Of::Motor, Part::Whole)];

const DIRECT: Starter = Starter {
    roles: &[starts("main", Of::Motor, Part::Whole, Duty::Motor)],
    relays: &[relay("main", "line", Of::Motor, Part::Whole)],
    commanded: &["main"],
    ..NOTHING
};

/// Both contactors feed the motor through one relay, under the first of them.
const REVERSING: Starter = Starter {
    roles: &[starts("forward", Of::Motor, Part::Whole, Duty::Motor), starts("reverse", Of::Motor, Part::Whole, Duty::Motor)],
    relays: &[relay("forward", "line", Of::Motor, Part::Whole)],
    commanded: &["forward", "reverse"],
    apart: &[("forward", "reverse")],
    ..DIRECT
};

/// The relay stands behind the line contactor, in the leads of the winding.
const STAR_DELTA: Starter = Starter {
    roles: &[
        starts("line", Of::Motor, Part::Winding, Duty::Motor),
        starts("star", Of::Motor, Part::StarPoint, Duty::Motor),
        runs("delta", Of::Motor, Part::Winding, Duty::Motor),
    ],
    relays: &[relay("line", "delta-leg", Of::Motor, Part::Winding)],
    apart: &[("star", "delta")],
    timer: Timer::StarDelta,
    commanded: &["line"],
    lets_in: &[("star", "line")],
    star_points: &["star"],
    runs: &["star-delta-leads"],
    peak: true,
    ..NOTHING
};

const STAR_DELTA_CLOSED: Starter = Starter {
    roles: &[
        starts("line", Of::Motor, Part::Winding, Duty::Motor),
        starts("star", Of::Motor, Part::StarPoint, Duty::Motor),
        runs("delta", Of::Motor, Part::Winding, Duty::Motor),
        joins("transition", Of::Motor, Part::Transition, Duty::Motor),
    ],
    device: Some(("resistor", Of::Motor, Part::Whole)),
    ..STAR_DELTA
};

/// Only the run contactor carries the running motor for long: its relay stands there.
const AUTOTRANSFORMER: Starter = Starter {
    roles: &[
        starts("line", Of::Motor, Part::TapLine, Duty::Motor),
        starts("star-point", Of::Motor, Part::TapStarPoint, Duty::Motor),
        runs("run", Of::Motor, Part::Whole, Duty::Motor),
    ],
    relays: &[relay("run", "line", Of::Motor, Part::Whole)],
    device: Some(("autotransformer", Of::Motor, Part::Whole)),
    apart: &[("star-point", "run")],
    timer: Timer::OnDelay(&["line"]),
    commanded: &["line"],
    lets_in: &[("star-point", "line")],
    star_points: &["star-point"],
    peak: true,
    ..NOTHING
};

const PART_WINDING: Starter = Starter {
    roles: &[starts("first", Of::Motor, Part::Half, Duty::Motor), runs("second", Of::Motor, Part::Half, Duty::Motor)],
    relays: &[relay("first", "line", Of::Motor, Part::Half), relay("second", "line", Of::Motor, Part::Half)],
    timer: Timer::OnDelay(&["first"]),
    commanded: &["first"],
    peak: true,
    ..NOTHING
};

const SOFT: Starter = Starter {
    roles: &[
        Role { there: If::LineContactor, ..starts("line", Of::Motor, Part::Whole, Duty::Motor) },
        Role { there: If::Bypass, ..runs("bypass", Of::Motor, Part::Whole, Duty::Carry) },
    ],
    relays: LINE,
    device: Some(("soft-starter", Of::Motor, Part::Whole)),
    commanded: &["line"],
    ..NOTHING
};

/// Inside the delta the windings stay on the line behind a soft starter that is off: a contactor before them is always there.
const SOFT_INSIDE_DELTA: Starter = Starter {
    roles: &[
        starts("line", Of::Motor, Part::Whole, Duty::Motor),
        Role { there: If::Bypass, ..runs("bypass", Of::Motor, Part::Winding, Duty::Carry) },
    ],
    relays: &[relay("line", "delta-leg", Of::Motor, Part::Winding)],
    device: Some(("soft-starter", Of::Motor, Part::Winding)),
    commanded: &["line"],
    runs: &["star-delta-leads"],
    ..NOTHING
};

/// Around a drive the motor starts on the line, so the bypass and the output contactor are those of a direct start.
const DRIVE: Starter = Starter {
    roles: &[
        Role { there: If::LineContactor, ..joins("line", Of::DriveInput, Part::Whole, Duty::Carry) },
        Role { there: If::Bypass, ..starts("bypass", Of::Motor, Part::Whole, Duty::Motor) },
        Role { there: If::Bypass, ..joins("output", Of::Motor, Part::Whole, Duty::Motor) },
    ],
    relays: &[Place { there: If::Bypass, ..relay("bypass", "bypass", Of::Motor, Part::Whole) }],
    device: Some(("drive", Of::Motor, Part::Whole)),
    apart: &[("output", "bypass")],
    // The drive, whose output follows what feeds it, and the bypass: each is switched from outside.
    commanded: &["line", "bypass"],
    opens_dead: Some("output"),
    ..NOTHING
};

const TWO_WINDINGS: Starter = Starter {
    roles: &[starts("low", Of::LowSpeed, Part::Whole, Duty::Motor), starts("high", Of::Motor, Part::Whole, Duty::Motor)],
    relays: &[relay("low", "low", Of::LowSpeed, Part::Whole), relay("high", "high", Of::Motor, Part::Whole)],
    apart: &[("low", "high")],
    // The low speed would brake the motor that still runs at the high one.
    timer: Timer::OffDelay("high"),
    commanded: &["low", "high"],
    runs: &["motor", "motor-low"],
    ..NOTHING
};

const TAPPED_WINDING: Starter = Starter {
    roles: &[
        starts("low", Of::LowSpeed, Part::Whole, Duty::Motor),
        starts("high", Of::Motor, Part::Whole, Duty::Motor),
        runs("high-star", Of::Motor, Part::Half, Duty::Motor),
    ],
    apart: &[("low", "high"), ("low", "high-star")],
    lets_in: &[("high-star", "high")],
    star_points: &["high-star"],
    ..TWO_WINDINGS
};

const SLIP_RING: Starter = Starter {
    roles: &[
        starts("line", Of::Motor, Part::Whole, Duty::SlipRing),
        joins("rotor-1", Of::Rotor, Part::Whole, Duty::SlipRing),
        joins("rotor-2", Of::Rotor, Part::Whole, Duty::SlipRing),
        runs("rotor-3", Of::Rotor, Part::Whole, Duty::SlipRing),
    ],
    relays: LINE,
    device: Some(("rotor-resistor", Of::Rotor, Part::Whole)),
    timer: Timer::OnDelay(&["line", "rotor-1", "rotor-2"]),
    commanded: &["line"],
    open_first: &["rotor-1", "rotor-2", "rotor-3"],
    runs: &["motor", "rotor"],
    ..NOTHING
};

const STATOR_RESISTOR: Starter = Starter {
    roles: &[starts("line", Of::Motor, Part::Whole, Duty::Motor), runs("run", Of::Motor, Part::Whole, Duty::Motor)],
    relays: LINE,
    device: Some(("resistor", Of::Motor, Part::Whole)),
    timer: Timer::OnDelay(&["line"]),
    commanded: &["line"],
    peak: true,
    ..NOTHING
};

const STATOR_REACTOR: Starter = Starter { device: Some(("reactor", Of::Motor, Part::Whole)), ..STATOR_RESISTOR };

const MANUAL: Starter = Starter { relays: &[relay("", "line", Of::Motor, Part::Whole)], ..NOTHING };

const CONTACTOR: Starter =
    Starter { roles: &[joins("main", Of::Motor, Part::Whole, Duty::Load)], commanded: &["main"], ..NOTHING };

/// Without a contactor before the drive the one behind it puts it in service.
const DRIVE_ON_THE_LINE: Starter = Starter { commanded: &["output", "bypass"], ..DRIVE };

/// The starter of a method.
pub(super) fn starter(method: Method, reversing: bool, line_contactor: bool) -> &'static Starter {
    match method {
        Method::Direct if reversing => &REVERSING,
        Method::Direct => &DIRECT,
        Method::StarDelta => &STAR_DELTA,
        Method::StarDeltaClosed => &STAR_DELTA_CLOSED,
        Method::Autotransformer => &AUTOTRANSFORMER,
        Method::PartWinding => &PART_WINDING,
        Method::SoftStarter => &SOFT,
        Method::SoftStarterInsideDelta => &SOFT_INSIDE_DELTA,
        Method::Drive if line_contactor => &DRIVE,
        Method::Drive => &DRIVE_ON_THE_LINE,
        Method::TwoSpeedSeparate => &TWO_WINDINGS,
        // A two-speed motor of unknown kind is presumed to have the tapped winding, which needs all that two windings need.
        Method::TwoSpeedDahlander | Method::TwoSpeed => &TAPPED_WINDING,
        Method::RotorResistance => &SLIP_RING,
        Method::PrimaryResistor => &STATOR_RESISTOR,
        Method::Reactor => &STATOR_REACTOR,
        Method::Manual => &MANUAL,
        Method::Contactor => &CONTACTOR,
        Method::Feeder | Method::ByOthers | Method::None => &NOTHING,
    }
}
