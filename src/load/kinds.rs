//! Choices of a row: kinds of load, methods of starting, materials, devices; and the origins of a value.

/// Where a value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The row.
    Cell,
    /// The basis.
    Basis,
    /// A table of a standard.
    Table,
    /// Worked out from other values.
    Computed,
    /// A default of this program.
    Default,
}

/// A value and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub origin: Origin,
}

impl<T> Known<T> {
    /// A value with its origin.
    pub fn new(value: T, origin: Origin) -> Self {
        Self { value, origin }
    }

    /// Row or basis state it, or what it was worked out from.
    pub fn is_stated(&self) -> bool {
        matches!(self.origin, Origin::Cell | Origin::Basis | Origin::Computed)
    }
}

/// Kind of load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadKind {
    /// Motor.
    Motor,
    /// Resistive heater.
    Heater,
    /// Transformer.
    Transformer,
    /// Capacitor.
    Capacitor,
    /// Equipment with its own controls.
    Packaged,
    /// Lighting.
    Lighting,
    /// Any other load.
    Other,
}

/// Starting method.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Method {
    /// Direct-on-line.
    Direct,
    /// Star-delta, open transition.
    StarDelta,
    /// Star-delta, closed transition.
    StarDeltaClosed,
    /// Autotransformer.
    Autotransformer,
    /// Part winding.
    PartWinding,
    /// Soft starter in the line.
    SoftStarter,
    /// Soft starter inside the delta.
    SoftStarterInsideDelta,
    /// Drive.
    Drive,
    /// Two speeds, one tapped winding.
    TwoSpeedDahlander,
    /// Two speeds, two windings.
    TwoSpeedSeparate,
    /// Two speeds, kind unknown.
    TwoSpeed,
    /// Slip-ring motor with rotor resistance.
    RotorResistance,
    /// Resistor in the stator line.
    PrimaryResistor,
    /// Reactor in the stator line.
    Reactor,
    /// Hand-operated starter.
    Manual,
    /// Switched load that is no motor.
    Contactor,
    /// Supply only.
    Feeder,
    /// Starter by others.
    ByOthers,
    /// No starter.
    None,
}

impl Method {
    /// All methods with their canonical words.
    pub const ALL: &'static [(Self, &'static str)] = &[
        (Self::Direct, "direct"),
        (Self::StarDelta, "star-delta"),
        (Self::StarDeltaClosed, "star-delta-closed"),
        (Self::Autotransformer, "autotransformer"),
        (Self::PartWinding, "part-winding"),
        (Self::SoftStarter, "soft-starter"),
        (Self::SoftStarterInsideDelta, "soft-starter-inside-delta"),
        (Self::Drive, "drive"),
        (Self::TwoSpeedDahlander, "two-speed-dahlander"),
        (Self::TwoSpeedSeparate, "two-speed-separate"),
        (Self::TwoSpeed, "two-speed"),
        (Self::RotorResistance, "rotor-resistance"),
        (Self::PrimaryResistor, "primary-resistor"),
        (Self::Reactor, "reactor"),
        (Self::Manual, "manual"),
        (Self::Contactor, "contactor"),
        (Self::Feeder, "feeder"),
        (Self::ByOthers, "by-others"),
        (Self::None, "none"),
    ];

    /// Its canonical word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(method, _)| *method == self).map_or("", |(_, word)| word)
    }

    /// The method of a canonical word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, name)| *name == word).map(|(method, _)| *method)
    }

    /// The motor has two speeds.
    #[must_use]
    pub fn two_speeds(self) -> bool {
        matches!(self, Self::TwoSpeed | Self::TwoSpeedDahlander | Self::TwoSpeedSeparate)
    }

    /// Only the supply is ours; the starter is elsewhere.
    #[must_use]
    pub fn supply_only(self) -> bool {
        matches!(self, Self::Feeder | Self::ByOthers | Self::None)
    }

    /// It starts a motor on the line, whole or through what it puts before it: the starter is ours, and what brings a motor up is no drive
    /// alone, around which no bypass leads.
    #[must_use]
    pub fn starts_on_line(self, kind: LoadKind, bypass: bool) -> bool {
        kind == LoadKind::Motor && !self.supply_only() && (self != Self::Drive || bypass)
    }

    /// Its windings or their switching are those of a three-phase motor.
    #[must_use]
    pub fn needs_three_phases(self) -> bool {
        let parted = matches!(self, Self::Autotransformer | Self::PartWinding | Self::RotorResistance);
        parted || self.two_speeds() || self.needs_delta_winding()
    }

    /// Six ends or more of the winding lead to the starter: both ends of three phases, or two sets of three.
    #[must_use]
    pub fn needs_six_leads(self) -> bool {
        self.needs_delta_winding() || self.two_speeds() || self == Self::PartWinding
    }

    /// The winding must be made for the line voltage in delta, all six ends brought out.
    #[must_use]
    pub fn needs_delta_winding(self) -> bool {
        matches!(self, Self::StarDelta | Self::StarDeltaClosed | Self::SoftStarterInsideDelta)
    }
}

/// Efficiency class, in ascending order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EfficiencyClass {
    /// Standard.
    Ie1,
    /// High.
    Ie2,
    /// Premium.
    Ie3,
    /// Super premium.
    Ie4,
    /// Ultra premium.
    Ie5,
}

impl EfficiencyClass {
    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Ie1 => "IE1",
            Self::Ie2 => "IE2",
            Self::Ie3 => "IE3",
            Self::Ie4 => "IE4",
            Self::Ie5 => "IE5",
        }
    }

    /// The class of a word of a schedule. The words of NEMA MG 1 are those of IEC 60034-30-1, table of correspondences in its introduction:
    /// energy efficient is IE2, premium IE3.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "IE1" => Some(Self::Ie1),
            "IE2" | "energy-efficient" => Some(Self::Ie2),
            "IE3" | "NEMA-premium" => Some(Self::Ie3),
            "IE4" => Some(Self::Ie4),
            "IE5" => Some(Self::Ie5),
            _ => None,
        }
    }
}

/// How the load's torque depends on speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadTorque {
    /// With the square of speed.
    Quadratic,
    /// With speed.
    Linear,
    /// Independent of speed.
    Constant,
    /// Much torque to break away.
    HighBreakaway,
}

/// Conductor material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Copper.
    Copper,
    /// Aluminium.
    Aluminium,
}

/// Co-ordination type that is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Coordination {
    /// Type 1.
    Type1,
    /// Type 2.
    Type2,
}

impl Coordination {
    /// Its canonical word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Type1 => "type-1",
            Self::Type2 => "type-2",
        }
    }
}

/// Kind of short-circuit protective device that is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProtectionKind {
    /// Motor-protective circuit-breaker where the frames pair, a moulded-case one above.
    MotorBreaker,
    /// Moulded-case circuit-breaker.
    MouldedCase,
    /// General-purpose fuse.
    Gg,
    /// Motor-circuit fuse.
    Am,
    /// Inverse-time circuit-breaker.
    InverseTime,
    /// Instantaneous-trip circuit-breaker of a listed combination controller.
    Instantaneous,
    /// Dual-element (time-delay) fuse.
    DualElement,
    /// Fuse without time delay.
    NonTimeDelay,
    /// Class J fuse with time delay.
    ClassJ,
    /// Class CC fuse.
    ClassCc,
    /// Class RK1 fuse with time delay.
    ClassRk1,
}

impl ProtectionKind {
    /// All kinds with their canonical words.
    pub const ALL: &'static [(Self, &'static str)] = &[
        (Self::MotorBreaker, "motor-breaker"),
        (Self::MouldedCase, "moulded-case"),
        (Self::Gg, "gG"),
        (Self::Am, "aM"),
        (Self::InverseTime, "inverse-time"),
        (Self::Instantaneous, "instantaneous"),
        (Self::DualElement, "dual-element"),
        (Self::NonTimeDelay, "non-time-delay"),
        (Self::ClassJ, "class-J"),
        (Self::ClassCc, "class-CC"),
        (Self::ClassRk1, "class-RK1"),
    ];

    /// Its canonical word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }

    /// The kind of a canonical word, in any case of its letters.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, name)| name.eq_ignore_ascii_case(word.trim())).map(|(kind, _)| *kind)
    }

    /// A kind of IEC standards.
    #[must_use]
    pub fn is_iec(self) -> bool {
        matches!(self, Self::MotorBreaker | Self::MouldedCase | Self::Gg | Self::Am)
    }

    /// A fuse.
    #[must_use]
    pub fn is_fuse(self) -> bool {
        matches!(
            self,
            Self::Gg | Self::Am | Self::DualElement | Self::NonTimeDelay | Self::ClassJ | Self::ClassCc | Self::ClassRk1
        )
    }
}
