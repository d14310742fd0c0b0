//! The short-circuit protective device: what it must do, which devices can, and the judgement of each.
//!
//! A motor-protective circuit-breaker protects the motor too where all of its current flows through it; elsewhere it is the line's
//! device and relays protect the motor. Where the wanted kind holds no device, the next kind is tried and a finding says so.

use crate::catalogue::{Fuse, LineBreaker, MotorBreaker, MouldedCaseBreaker};
use crate::design::{self, Check};
use crate::finding::{Finding, codes};
use crate::load::{Case, EfficiencyClass, LoadKind, Method, Origin, ProtectionKind};
use crate::quantity::{Amperes, Seconds, Volts, round_to};
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::sizing::Tools;
use crate::sizing::arrangement::{Arrangement, Base, Share};
use crate::sizing::assembly::ChosenDevice;
use crate::sizing::judge::{Verdict, at_least, at_most, not_checked};
use crate::supply::SupplyPoint;

/// What the protective device must do.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Line current that it carries.
    pub line: Amperes,
    /// Current that its release is set to, if it protects the motor.
    pub motor: Amperes,
    /// It can protect the motor: all of the motor's current flows through it.
    pub integrated: bool,
    /// The load is a motor that we start.
    pub starts: bool,
    /// Symmetrical current that a magnetic release must ride through.
    pub ride_through: Amperes,
    /// Current that a fuse must ride through, and for how long.
    pub fuse_start: Amperes,
    /// Time of that.
    pub fuse_time: Seconds,
    /// Peak over √2 of the first half-cycle that a release should ride through; none for loads without inrush.
    pub peak: Option<Amperes>,
    /// Multiple of the setting while starting, and start time, for the class.
    pub multiple: f64,
    /// Start time.
    pub time: Seconds,
    /// Class that the motor needs.
    pub class: &'static str,
    /// Voltage.
    pub voltage: Volts,
    /// Phases.
    pub phases: u32,
    /// Largest fault current at the board.
    pub fault_max: Option<Amperes>,
    /// Marked or declared largest rating.
    pub maximum: Option<(Amperes, &'static str)>,
    /// Smallest rating over the line current (capacitors, equipment with unknown starts).
    pub oversize: f64,
}

/// A device.
#[derive(Clone, Copy, Debug)]
pub enum Device<'a> {
    /// Motor-protective circuit-breaker.
    Motor(&'a MotorBreaker),
    /// Moulded-case circuit-breaker.
    Moulded(&'a MouldedCaseBreaker),
    /// Circuit-breaker of fixed rating.
    Line(&'a LineBreaker),
    /// Fuse.
    Fuse(&'a Fuse),
}

impl<'a> Device<'a> {
    /// Part number.
    #[must_use]
    pub fn part(&self) -> &'a str {
        match self {
            Self::Motor(own) => &own.part,
            Self::Moulded(own) => &own.part,
            Self::Line(own) => &own.part,
            Self::Fuse(own) => &own.part,
        }
    }

    /// Kind, as in the contract.
    #[must_use]
    pub fn kind(&self) -> &'a str {
        match self {
            Self::Motor(_) => "motor-breaker",
            Self::Moulded(_) => "moulded-case",
            Self::Line(_) => "circuit-breaker",
            Self::Fuse(own) => &own.kind,
        }
    }

    /// Breaking capacity at a voltage, kA.
    #[must_use]
    pub fn breaking_ka(&self, volts: f64) -> Option<f64> {
        match self {
            Self::Motor(own) => own.breaking_ka(volts),
            Self::Moulded(own) => own.breaking_ka(volts),
            Self::Line(own) => own.breaking_ka(volts),
            Self::Fuse(own) => (volts <= own.max_voltage_v).then_some(own.breaking_ka),
        }
    }

    /// Let-through energy at its breaking capacity, A²s.
    #[must_use]
    pub fn let_through(&self) -> f64 {
        match self {
            Self::Motor(own) => own.let_through_a2s,
            Self::Moulded(own) => own.let_through_a2s,
            Self::Line(own) => own.let_through_a2s,
            Self::Fuse(own) => own.let_through_a2s,
        }
    }
}

/// A chosen device with its settings.
#[derive(Clone, Debug)]
pub struct ChosenProtection<'a> {
    /// The device.
    pub device: Device<'a>,
    /// Rated current.
    pub rating: Amperes,
    /// Setting of its overload release, where it has one.
    pub setting: Option<Amperes>,
    /// Range of that.
    pub range: Option<[f64; 2]>,
    /// It protects the motor against overload.
    pub protects_motor: bool,
    /// Class of its release.
    pub class: String,
    /// Magnetic trip: nominal, lower and upper limit.
    pub magnetic: Option<[f64; 3]>,
    /// Largest rating allowed.
    pub maximum: Option<Amperes>,
    /// Breaking capacity, kA.
    pub breaking_ka: Option<f64>,
    /// It rides through the first half-cycle.
    pub rides_peak: bool,
    /// Checks.
    pub checks: Vec<Check>,
}

impl ChosenProtection<'_> {
    /// As a result.
    #[must_use]
    pub fn describe(&self, coordination: &str) -> design::Protection {
        design::Protection {
            kind: self.device.kind().to_owned(),
            rating_a: self.rating.0,
            maximum_a: self.maximum.map(|maximum| maximum.0),
            magnetic_trip_a: self.magnetic.map(|own| round_to(own[0], 3)),
            magnetic_min_a: self.magnetic.map(|own| round_to(own[1], 3)),
            magnetic_max_a: self.magnetic.map(|own| round_to(own[2], 3)),
            breaking_ka: self.breaking_ka,
            coordination: coordination.to_owned(),
            part: self.device.part().to_owned(),
        }
    }
}

/// What the protective device of a case must do.
#[allow(clippy::too_many_arguments)] // all of them are what was decided before
#[must_use]
pub fn demand(
    case: &Case,
    currents: &RatedCurrents,
    arrangement: &'static Arrangement,
    devices: &[ChosenDevice<'_>],
    line: Amperes,
    class: &'static str,
    point: &SupplyPoint,
    tools: &Tools<'_>,
) -> Demand {
    let start = &case.start;
    let starts = case.machine.kind == LoadKind::Motor && !start.method.supply_only() && start.method != Method::Drive;
    let integrated = arrangement.relays.len() == 1
        && arrangement
            .relays
            .iter()
            .all(|place| place.position == "line" && place.base == Base::Full && place.share == Share::All)
        && matches!(start.method, Method::Direct | Method::Manual);
    let magnetic = if starts { arrangement.magnetic_multiple(start) } else { 1.0 };
    let high_inrush = starts && arrangement.device.is_none();
    let packaged = case.machine.maximum_protection.map(|maximum| (maximum, "marking of the equipment"));
    let of_drive =
        devices.iter().find_map(|device| device.drive).map(|own| (Amperes(own.max_fuse_a), "drive: largest protective device"));
    Demand {
        line,
        motor: currents.overload,
        integrated,
        starts,
        ride_through: currents.full_load * magnetic,
        fuse_start: if starts { currents.full_load * (arrangement.line_start)(start) } else { line },
        fuse_time: Seconds((arrangement.step_time)(start)),
        peak: high_inrush.then(|| currents.full_load * start.ratio.value * tools.book.inrush_peak_factor() * (1.0 / 2f64.sqrt())),
        multiple: (arrangement.relay_multiple)(start),
        time: Seconds((arrangement.step_time)(start)),
        class,
        voltage: case.machine.voltage,
        phases: case.machine.phases,
        fault_max: point.fault_max,
        maximum: packaged.or(of_drive),
        oversize: match case.machine.kind {
            // Fuses at least 1.6 times the capacitor's current, of which the line current holds 1.495: IEC 60831-1 and trade practice.
            LoadKind::Capacitor => 1.6 / 1.495,
            // What starts in the equipment is not known; the device is a quarter larger. Common practice, no source.
            kind if start.method.supply_only() && kind != LoadKind::Heater => 1.25,
            LoadKind::Transformer => 1.25,
            _ => 1.0,
        },
    }
}

/// The kinds to be tried, the wanted one first.
fn kinds(case: &Case, demand: &Demand) -> Vec<ProtectionKind> {
    use ProtectionKind::{Am, Gg, MotorBreaker, MouldedCase};
    if case.machine.fuse_only {
        return vec![Gg];
    }
    // A hand-operated starter is a motor-protective circuit-breaker.
    if case.start.method == Method::Manual {
        return vec![MotorBreaker, MouldedCase];
    }
    let wanted = case.wishes.protection;
    // Transformers and capacitors draw an inrush that breakers take for a fault.
    let inrush = matches!(case.machine.kind, LoadKind::Transformer | LoadKind::Capacitor);
    match wanted.value {
        _ if inrush && wanted.origin != Origin::Cell => vec![Gg, MouldedCase],
        MotorBreaker if demand.starts => vec![MotorBreaker, MouldedCase, Am],
        MotorBreaker if case.start.method == Method::Drive => vec![MotorBreaker, MouldedCase, Gg],
        MotorBreaker | MouldedCase => vec![MouldedCase, Gg],
        Gg => vec![Gg, MouldedCase],
        Am if demand.starts => vec![Am, Gg, MouldedCase],
        Am => vec![Gg, MouldedCase],
    }
}

/// Devices that hold, in the order of preference.
///
/// Those that ride through the first half-cycle as well come before those that may trip on it.
#[must_use]
pub fn candidates<'a>(case: &Case, demand: &Demand, tools: &Tools<'a>) -> Vec<ChosenProtection<'a>> {
    for kind in kinds(case, demand) {
        let mut holding: Vec<ChosenProtection<'a>> = of_kind(kind, case, demand, tools)
            .into_iter()
            .filter(|own| own.checks.iter().all(|check| check.passed != Some(false)))
            .collect();
        if !holding.is_empty() {
            holding.sort_by_key(|own| !own.rides_peak);
            return holding;
        }
    }
    Vec::new()
}

fn of_kind<'a>(kind: ProtectionKind, case: &Case, demand: &Demand, tools: &Tools<'a>) -> Vec<ChosenProtection<'a>> {
    let catalogue = tools.catalogue;
    match kind {
        ProtectionKind::MotorBreaker => {
            catalogue.motor_breakers.iter().filter_map(|own| motor_breaker(own, demand, tools)).collect()
        }
        ProtectionKind::MouldedCase => {
            let small = catalogue.line_breakers.iter().filter_map(|own| line_breaker(own, case, demand, tools));
            let moulded = catalogue.moulded_case_breakers.iter().filter_map(|own| moulded_case(own, demand, tools));
            small.chain(moulded).collect()
        }
        ProtectionKind::Gg => fuses("gG", demand, tools),
        ProtectionKind::Am => fuses("aM", demand, tools),
    }
}

fn common(demand: &Demand, device: Device<'_>, rating: Amperes, verdict: &mut Verdict) -> Option<f64> {
    let breaking = device.breaking_ka(demand.voltage.0);
    verdict.checks.push(match (demand.fault_max, breaking) {
        (Some(fault), Some(breaking)) => {
            at_least("breaking-capacity", breaking, fault.0 / 1000.0, "kA", "IEC 60364-4-43, 434.5.1")
        }
        (Some(fault), None) => at_least("breaking-capacity", 0.0, fault.0 / 1000.0, "kA", "IEC 60364-4-43, 434.5.1"),
        (None, _) => {
            not_checked("breaking-capacity", "kA", "the largest fault current of the board is unknown", "IEC 60364-4-43, 434.5.1")
        }
    });
    if let Some((maximum, reason)) = demand.maximum {
        verdict.checks.push(at_most("protection-maximum", rating.0, maximum.0, "A", reason));
    }
    breaking
}

/// Rounds a setting down to the dial's step (less current, earlier trip), never below the range.
pub(super) fn dial_down(value: f64, step: f64, range: [f64; 2]) -> f64 {
    let stepped = if step > 0.0 { ((value / step + 1e-9).floor() * step).min(range[1]) } else { value };
    round_to(stepped.max(range[0]), 4)
}

/// Rounds a setting up to the dial's step, never above the range.
fn dial_up(value: f64, step: f64, range: [f64; 2]) -> f64 {
    let stepped = if step > 0.0 { (value / step - 1e-9).ceil() * step } else { value };
    round_to(stepped.clamp(range[0], range[1]), 4)
}

fn magnetic_checks(demand: &Demand, limits: [f64; 3], verdict: &mut Verdict) -> bool {
    verdict.checks.push(at_least("magnetic-trip-at-start", limits[1], demand.ride_through.0, "A", "lower limit of the release"));
    demand.peak.is_none_or(|peak| peak.fits(Amperes(limits[1])))
}

fn motor_breaker<'a>(own: &'a MotorBreaker, demand: &Demand, tools: &Tools<'_>) -> Option<ChosenProtection<'a>> {
    let range = [own.range_min_a, own.range_max_a];
    let need = if demand.integrated { demand.motor } else { demand.line };
    if !(range[0] <= need.0 * (1.0 + 1e-9) && need.0 <= range[1] * (1.0 + 1e-9)) || demand.oversize > 1.0 {
        return None;
    }
    let device = Device::Motor(own);
    let setting = dial_down(need.0, own.dial_step_a, range);
    let mut verdict = Verdict::default();
    let base = if own.magnetic_base == "setting" { setting } else { own.range_max_a };
    let nominal = own.magnetic_multiple * base;
    let tolerance = own.magnetic_tolerance_pct / 100.0;
    let limits = [nominal, nominal * (1.0 - tolerance), nominal * (1.0 + tolerance)];
    let breaking_ka = common(demand, device, Amperes(own.range_max_a), &mut verdict);
    let rides_peak = magnetic_checks(demand, limits, &mut verdict);
    if demand.starts {
        let multiple = demand.fuse_start.0 / setting;
        let class = tools.book.class_demand(&own.class, multiple, demand.time, None);
        verdict.checks.push(
            at_most("trip-class-at-start", class.need.0, class.allowed.0, "s", "IEC 60947-4-1, Table 2")
                .about("motor-protective circuit-breaker"),
        );
    }
    Some(ChosenProtection {
        device,
        rating: Amperes(own.range_max_a),
        setting: Some(Amperes(setting)),
        range: Some(range),
        protects_motor: demand.integrated,
        class: own.class.clone(),
        magnetic: Some(limits),
        maximum: demand.maximum.map(|(maximum, _)| maximum),
        breaking_ka,
        rides_peak,
        checks: verdict.checks,
    })
}

/// Steps of a magnetic setting over the rated current.
const MAGNETIC_STEP: f64 = 0.5;

fn moulded_case<'a>(own: &'a MouldedCaseBreaker, demand: &Demand, tools: &Tools<'_>) -> Option<ChosenProtection<'a>> {
    let usable = match own.release.as_str() {
        "motor" => demand.starts && demand.integrated,
        "magnetic" => demand.starts && !demand.integrated,
        _ => !demand.starts,
    };
    if !usable {
        return None;
    }
    let range = own.range_min_a.zip(own.range_max_a).map(|(low, high)| [low, high]);
    let need = if demand.integrated { demand.motor } else { demand.line * demand.oversize };
    let setting = match range {
        Some(range) if need.0 < range[0] * (1.0 - 1e-9) || need.0 > range[1] * (1.0 + 1e-9) => return None,
        Some(range) if demand.integrated => Some(dial_down(need.0, own.dial_step_a, range)),
        Some(range) => Some(dial_up(need.0, own.dial_step_a, range)),
        None if need.fits(Amperes(own.rating_a)) => None,
        None => return None,
    };
    let device = Device::Moulded(own);
    let mut verdict = Verdict::default();
    let tolerance = own.magnetic_tolerance_pct / 100.0;
    // The lowest setting that rides through symmetrical current and, if it can, the first peak.
    let ride = demand.ride_through.0.max(demand.peak.map_or(0.0, |peak| peak.0));
    let wanted = ride / (1.0 - tolerance) / own.rating_a;
    let multiple =
        ((wanted / MAGNETIC_STEP - 1e-9).ceil() * MAGNETIC_STEP).clamp(own.magnetic_min_multiple, own.magnetic_max_multiple);
    let nominal = multiple * own.rating_a;
    let limits = [nominal, nominal * (1.0 - tolerance), nominal * (1.0 + tolerance)];
    let breaking_ka = common(demand, device, Amperes(own.rating_a), &mut verdict);
    let rides_peak = magnetic_checks(demand, limits, &mut verdict);
    let mut class = String::new();
    if own.release == "motor" {
        let classes: Vec<&str> = own.classes.split_whitespace().collect();
        let multiple = demand.fuse_start.0 / setting.unwrap_or(own.rating_a);
        let picked = tools
            .book
            .trip_classes()
            .iter()
            .filter(|class| classes.contains(class))
            .find(|class| {
                let demand = tools.book.class_demand(class, multiple, demand.time, None);
                demand.need.fits(demand.allowed)
            })
            .or_else(|| tools.book.trip_classes().iter().rev().find(|class| classes.contains(class)));
        class = (*picked?).to_owned();
        let against = tools.book.class_demand(&class, multiple, demand.time, None);
        verdict.checks.push(
            at_most("trip-class-at-start", against.need.0, against.allowed.0, "s", "IEC 60947-4-1, Table 2")
                .about("moulded-case circuit-breaker"),
        );
    }
    Some(ChosenProtection {
        device,
        rating: Amperes(own.rating_a),
        setting: setting.map(Amperes),
        range,
        protects_motor: own.release == "motor",
        class,
        magnetic: Some(limits),
        maximum: demand.maximum.map(|(maximum, _)| maximum),
        breaking_ka,
        rides_peak,
        checks: verdict.checks,
    })
}

fn line_breaker<'a>(own: &'a LineBreaker, case: &Case, demand: &Demand, tools: &Tools<'_>) -> Option<ChosenProtection<'a>> {
    let poles = match (demand.phases, case.machine.neutral) {
        (3, true) => 4,
        (3, false) => 3,
        _ => 2,
    };
    // Curve D where something may start behind the breaker, C elsewhere.
    let curve = if matches!(case.machine.kind, LoadKind::Motor | LoadKind::Packaged | LoadKind::Transformer) { "D" } else { "C" };
    if demand.starts || own.poles != poles || own.curve != curve || !(demand.line * demand.oversize).fits(Amperes(own.rating_a)) {
        return None;
    }
    let (low, high) = tools.book.curve_limits(&own.curve)?;
    let device = Device::Line(own);
    let mut verdict = Verdict::default();
    let breaking_ka = common(demand, device, Amperes(own.rating_a), &mut verdict);
    Some(ChosenProtection {
        device,
        rating: Amperes(own.rating_a),
        setting: None,
        range: None,
        protects_motor: false,
        class: String::new(),
        magnetic: Some([low * own.rating_a, low * own.rating_a, high * own.rating_a]),
        maximum: demand.maximum.map(|(maximum, _)| maximum),
        breaking_ka,
        rides_peak: true,
        checks: verdict.checks,
    })
}

/// Fuses from the smallest upward that are tried; larger ones let through more and gain nothing.
const FUSES_TRIED: usize = 8;

fn fuses<'a>(kind: &str, demand: &Demand, tools: &Tools<'a>) -> Vec<ChosenProtection<'a>> {
    let mut scratch = Record::silent();
    let carries = demand.line * demand.oversize;
    let smallest = if demand.starts {
        tools.book.fuse_rating(kind, carries, demand.fuse_start, demand.fuse_time, &mut scratch)
    } else {
        Some(carries)
    };
    let Some(smallest) = smallest else { return Vec::new() };
    tools
        .catalogue
        .fuses
        .iter()
        .filter(|own| own.kind == kind && smallest.fits(Amperes(own.rating_a)))
        .take(FUSES_TRIED)
        .map(|own| {
            let device = Device::Fuse(own);
            let mut verdict = Verdict::default();
            if demand.starts {
                verdict.checks.push(at_least("fuse-at-start", own.rating_a, smallest.0, "A", "IEC 60269-1, gates"));
            }
            let breaking_ka = common(demand, device, Amperes(own.rating_a), &mut verdict);
            ChosenProtection {
                device,
                rating: Amperes(own.rating_a),
                setting: None,
                range: None,
                protects_motor: false,
                class: String::new(),
                magnetic: None,
                maximum: demand.maximum.map(|(maximum, _)| maximum),
                breaking_ka,
                rides_peak: true,
                checks: verdict.checks,
            }
        })
        .collect()
}

/// Says what a person should know of the choice.
pub fn say(case: &Case, demand: &Demand, chosen: Option<&ChosenProtection<'_>>, record: &mut Record) {
    let Some(chosen) = chosen else { return };
    let wanted = case.wishes.protection;
    let kind = chosen.device.kind();
    // A moulded-case breaker above the largest motor-protective one, or for a load that is no motor, is what the wish means.
    let as_meant = match wanted.value {
        ProtectionKind::MotorBreaker => matches!(kind, "motor-breaker" | "moulded-case" | "circuit-breaker"),
        ProtectionKind::MouldedCase => matches!(kind, "moulded-case" | "circuit-breaker"),
        ProtectionKind::Gg => kind == "gG",
        ProtectionKind::Am => kind == "aM" || !demand.starts,
    };
    let inrush = matches!(case.machine.kind, LoadKind::Transformer | LoadKind::Capacitor);
    let not_asked_for = inrush && wanted.origin != Origin::Cell;
    if !as_meant && !not_asked_for {
        let what = format!("{} is wanted, but none in the catalogue holds; {kind} is chosen", wanted.value.word());
        // A wish of the basis is meant for motors; for other loads another kind is no surprise.
        let code =
            if wanted.origin == Origin::Cell || demand.starts { &codes::C207_OTHER_KIND } else { &codes::C209_OTHER_KIND_NOTE };
        record.find(
            Finding::new(code, what)
                .at(case.place.clone())
                .cure("confirm the other kind, or add a device of the wanted kind to the catalogue"),
        );
    }
    if !chosen.rides_peak {
        let efficient = case.machine.class.is_some_and(|class| class >= EfficiencyClass::Ie3);
        let peak = demand.peak.map_or(0.0, |peak| peak.0 * 2f64.sqrt());
        let low = chosen.magnetic.map_or(0.0, |limits| limits[1] * 2f64.sqrt());
        record.find(
            Finding::new(
                &codes::C208_INRUSH_PEAK,
                format!(
                    "the first half-cycle of the start may reach {} A peak; the release may trip from {} A peak",
                    round_to(peak, 0),
                    round_to(low, 0)
                ),
            )
            .at(case.place.clone())
            .why(if efficient { "motors of class IE3 and better draw a higher first peak" } else { "" })
            .cure("a fuse with overload relay, a higher magnetic trip, or the maker's word that it rides through")
            .reference("IEC 60034-12, note on the inrush peak"),
        );
    }
}
