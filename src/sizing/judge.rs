//! Verdicts: a device or conductor against a demand, as a list of checks, each passed, failed or not made because something is
//! unknown. [`choose`] takes candidates in the order of preference and returns the first whose verdict holds, with the last
//! rejected one and its reason; that is where "governed by" and margins come from.

use crate::design::{Check, Sense};
use crate::finding::{Finding, Place, codes};
use crate::quantity::fits;
use crate::rules::units::{Measure, Units};
use crate::rules::words;
use crate::rules::{FuseStart, Limit};

/// The checks of one candidate against one demand.
#[derive(Clone, Debug, Default)]
pub struct Verdict {
    /// In the order in which they were made.
    pub checks: Vec<Check>,
}

impl Verdict {
    /// No check failed. One that could not be made doesn't reject a candidate; the circuit needs a decision then.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.checks.iter().all(|check| check.passed != Some(false))
    }

    /// The first check that failed.
    #[must_use]
    pub fn failure(&self) -> Option<&Check> {
        self.checks.iter().find(|check| check.passed == Some(false))
    }
}

/// A check of a need against a capability: passes if the need fits.
#[must_use]
pub fn at_most(name: &str, need: f64, capability: f64, unit: &str, reference: &str) -> Check {
    Check {
        name: name.to_owned(),
        subject: String::new(),
        value: finite(need),
        limit: finite(capability),
        sense: Some(Sense::AtMost),
        unit: unit.to_owned(),
        passed: Some(fits(need, capability)),
        not_checked_because: None,
        margin_pct: margin(need, capability),
        reference: reference.to_owned(),
    }
}

/// A check of a value that must reach at least a floor.
#[must_use]
pub fn at_least(name: &str, value: f64, floor: f64, unit: &str, reference: &str) -> Check {
    Check {
        name: name.to_owned(),
        subject: String::new(),
        value: finite(value),
        limit: finite(floor),
        sense: Some(Sense::AtLeast),
        unit: unit.to_owned(),
        passed: Some(fits(floor, value)),
        not_checked_because: None,
        margin_pct: (floor != 0.0).then(|| 100.0 * (value - floor) / floor).and_then(finite),
        reference: reference.to_owned(),
    }
}

/// A check of a book's limit.
#[must_use]
pub fn of_limit(limit: &Limit) -> Check {
    let make = if limit.floor { at_least } else { at_most };
    make(limit.name, limit.value, limit.limit, limit.unit, limit.reference)
}

/// A check of a fuse while the load starts.
#[must_use]
pub fn of_fuse_start(start: &FuseStart) -> Check {
    match start {
        FuseStart::Known(limit) => of_limit(limit),
        FuseStart::Unknown { because, reference } => not_checked("fuse-at-start", "s", because, reference),
    }
}

/// A check that could not be made.
#[must_use]
pub fn not_checked(name: &str, unit: &str, because: &str, reference: &str) -> Check {
    Check {
        name: name.to_owned(),
        unit: unit.to_owned(),
        not_checked_because: Some(because.to_owned()),
        reference: reference.to_owned(),
        ..Check::default()
    }
}

impl Check {
    /// Says what the check is about.
    #[must_use]
    pub fn about(mut self, subject: impl Into<String>) -> Self {
        self.subject = subject.into();
        self
    }
}

/// Whether the start itself asks too much of the part, so that another start cures it and no other part of the kind.
#[must_use]
pub fn is_cured_by_another_start(check: &Check) -> bool {
    matches!(check.name.as_str(), "trip-class-at-start" | "relay-frequency" | "contactor-frequency")
}

/// The cure of a failed check, in the words of either trade. A conductor that is too thin for its terminal asks for another cure than one
/// that is too thick.
pub fn cure_of(check: &Check, units: Units) -> &'static str {
    const THIN: &str = "terminals-smallest";
    let thin = check.name == "terminals" && check.points() == Sense::AtLeast;
    let name = if thin { THIN } else { check.name.as_str() };
    const CURES: &[(&str, [&str; 2])] = &[
        (
            "drive-cable-length",
            ["add the output filter that the drive's maker names for this length, or move the drive nearer to the motor"; 2],
        ),
        (
            "terminals",
            [
                "fit terminal extensions or lugs that the device's maker lists for the conductor, add a terminal that takes it, or an intermediate box with a short smaller cable; or state two smaller ones in given_conductor and given_parallel where the device takes two",
                "use terminal extensions or lugs listed for the device and the conductor, or splice to a smaller conductor whose ampacity suffices in a junction box; or state two of 1/0 AWG or larger in given_conductor and given_parallel where the device takes two",
            ],
        ),
        (
            THIN,
            [
                "end the conductor in a pin lug or reducing insert that is listed for the terminal, take a device with smaller terminals, or a larger conductor where both ends take it",
                "end the conductor in a pin terminal or reducer that is listed for the terminal, take a device with smaller terminals, or a larger conductor where both ends take it",
            ],
        ),
        (
            "carried-without-trip",
            ["take a relay or device that trips nearer to its setting: that of this one keeps to its ceiling only so low that it may trip at the motor's own current; or state service_factor, where 1.15 and more is marked; a motor that does not carry its load then may have the higher ceiling of the clause, set by a person";
                2],
        ),
        ("disconnect-rating", ["choose a larger isolator", "choose a larger disconnect switch"]),
        ("disconnect-horsepower", ["choose a larger isolator", "choose a disconnect switch of more horsepower"]),
        (
            "fault-withstand",
            [
                "choose a device that clears the smallest fault at the far end quickly (a lower magnetic trip, a fuse), a larger cable or a shorter run",
                "choose a device that clears the smallest fault at the far end quickly (a lower instantaneous trip, a fuse), a larger conductor or a shorter run",
            ],
        ),
        (
            "disconnection",
            [
                "choose a device with a lower magnetic trip or rating, a larger cable or a shorter run, or add a residual-current device",
                "choose a device with a lower instantaneous trip or rating, a larger conductor or a shorter run, or add ground-fault protection",
            ],
        ),
        (
            "auxiliary-places",
            ["repeat the contacts that are too many with a contactor relay, or choose a frame that takes them"; 2],
        ),
        (
            "contactor-life",
            [
                "no contactor of the catalogue lasts that long: plan its replacement, ask for fewer operations, or switch by a soft starter, a drive or semiconductors",
                "no contactor of the catalog lasts that long: plan its replacement, ask for fewer operations, or switch by a soft starter, a drive or semiconductors",
            ],
        ),
        (
            "trip-class-at-start",
            ["a shorter start (start_time_s, another method), an electronic relay of a slower class, a soft starter or drive, or thermistors in the winding";
                2],
        ),
        (
            "trip-within-te",
            ["an overload relay of a quicker class that still lets the start pass, a motor with a longer time tE, or thermistors that are certified with the motor";
                2],
        ),
        (
            "relay-frequency",
            ["fewer starts an hour, an electronic relay that is made for as many, a soft starter or drive, or thermistors in the winding";
                2],
        ),
        (
            "contactor-frequency",
            ["fewer starts an hour, a soft starter, a drive or semiconductors, or a contactor that is made for as many"; 2],
        ),
        ("timer-range", ["choose a timer whose range holds the time"; 2]),
        ("changeover-pause", ["choose a timer with a longer pause"; 2]),
        ("protection-maximum", ["choose another protective device, or one device with a higher permitted rating"; 2]),
    ];
    CURES.iter().find(|(check, _)| *check == name).map_or(
        "decide before ordering: another device or conductor, or data that show that the limit is kept",
        |(_, [metric, customary])| units.pick(metric, customary),
    )
}

/// A check in words: what it is about, and its value against its limit.
#[must_use]
pub fn sentence(check: &Check, units: Units) -> String {
    let unit = if check.unit.is_empty() { String::new() } else { format!(" {}", units.unit(&check.unit)) };
    let show = |measure: Option<Measure>| match measure {
        Some(Measure::Number(number)) => format!("{}{unit}", crate::record::significant(number, 4)),
        Some(Measure::Size(size)) => size,
        None => words::without_figure(&check.unit).to_owned(),
    };
    let subject = match (check.subject.as_str(), units) {
        ("", _) => String::new(),
        // The feeder of a board; as a starting method the word reads otherwise in one trade.
        ("feeder", _) => " (feeder)".to_owned(),
        (subject, Units::Metric) => format!(" ({subject})"),
        (subject, Units::Customary) => format!(" ({})", words::brief(units, subject)),
    };
    // No energy is admitted where nothing clears the fault in the longest time for which it is reckoned (IEC 60364-4-43, 434.5.2).
    if check.name == "fault-withstand" && check.limit == Some(0.0) {
        return format!("{}{subject}: the smallest fault is not cleared within 5 s", words::brief(units, &check.name));
    }
    let side = if check.points() == Sense::AtLeast { "at least" } else { "at most" };
    format!(
        "{}{subject}: {} instead of {side} {}",
        words::brief(units, &check.name),
        show(check.value.map(|value| units.value(value, &check.unit))),
        show(check.limit.map(|limit| units.limit(limit, &check.unit)))
    )
}

/// A failed check as a finding, in the units and words of the rule book.
#[must_use]
pub fn finding_of(check: &Check, place: &Place, units: Units) -> Finding {
    Finding::new(&codes::C101_CHECK_FAILED, sentence(check, units))
        .at(place.clone())
        .cure(cure_of(check, units))
        .reference(check.reference.clone())
}

fn margin(need: f64, capability: f64) -> Option<f64> {
    (capability != 0.0).then(|| 100.0 * (capability - need) / capability).and_then(finite)
}

/// A figure as a check keeps it. What has no end, such as the trip time of a relay that does not trip, is no figure: a file can't hold
/// it, and what is read back must be what was written.
fn finite(number: f64) -> Option<f64> {
    number.is_finite().then_some(number)
}

/// The outcome of a search over candidates.
#[derive(Clone, Debug)]
pub struct Choice<C> {
    /// The first candidate that holds, with its verdict.
    pub chosen: Option<(C, Verdict)>,
    /// The last candidate before it, with the verdict that rejected it.
    pub rejected: Option<(C, Verdict)>,
}

/// The first candidate whose verdict holds.
pub fn choose<C>(candidates: impl IntoIterator<Item = C>, mut judge: impl FnMut(&C) -> Verdict) -> Choice<C> {
    let mut rejected = None;
    for candidate in candidates {
        let verdict = judge(&candidate);
        if verdict.holds() {
            return Choice { chosen: Some((candidate, verdict)), rejected };
        }
        rejected = Some((candidate, verdict));
    }
    Choice { chosen: None, rejected }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A raceway for conductors that no table lists has no fill that is a figure.
    #[test]
    fn a_figure_without_end_is_told_in_words() {
        let check = at_most("raceway-fill", f64::INFINITY, 40.0, "%", "");
        assert_eq!((check.value, check.passed), (None, Some(false)));
        for units in [Units::Metric, Units::Customary] {
            let said = sentence(&check, units);
            assert!(said.contains("more than the tables list instead of at most 40 %"), "{said}");
        }
    }

    /// A clamp from 50 mm² upwards does not hold 35 mm²; a smaller cable would be held still less.
    #[test]
    fn a_conductor_that_is_too_thin_for_its_terminal_is_not_cured_by_a_smaller_one() {
        for units in [Units::Metric, Units::Customary] {
            let cure = |check: Check| finding_of(&check, &Place::default(), units).cure;
            let thin = cure(at_least("terminals", 35.0, 50.0, "mm²", ""));
            assert!(!thin.contains("smaller cable") && !thin.contains("smaller conductor") && thin.contains("pin"), "{thin}");
            let thick = cure(at_most("terminals", 95.0, 50.0, "mm²", ""));
            assert!(thick.contains("smaller cable") || thick.contains("smaller conductor"), "{thick}");
        }
    }
}
