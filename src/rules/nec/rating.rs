//! Short-circuit current rating of an assembly by its weakest part, and voltage ratings with a slash.

use serde::Deserialize;

use crate::load::wires::{Grounding, System, grounding};
use crate::quantity::{Amperes, Volts, fits};
use crate::rules::physics::high_leg::has_high_leg;

/// Assumed rating of one unmarked component.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DefaultRow {
    component: String,
    horsepower_to: Option<f64>,
    rating_ka: f64,
}

/// A way to ground a system, and whether a rating with a slash suits it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SlashRow {
    grounding: String,
    admits: bool,
}

table! {
    /// Ratings of unmarked components.
    DEFAULTS, DEFAULT_ROWS: DefaultRow, "default-short-circuit-ratings"
}
table! {
    /// Systems for ratings with a slash.
    SLASH_SYSTEMS, SLASH_SYSTEM_ROWS: SlashRow, "slash-rating-systems"
}

/// Rating that is assumed for an unmarked component of a power circuit (UL 508A SB4.1), such as `circuit-breaker`; a
/// `motor-controller` (contactor, drive, soft starter) goes by its horsepower. None for a word that the table does not have.
#[must_use]
pub fn default_rating(component: &str, horsepower: Option<f64>) -> Option<Amperes> {
    let suits = |row: &&DefaultRow| match row.horsepower_to {
        None => true,
        Some(to) => horsepower.is_some_and(|horsepower| fits(horsepower, to)),
    };
    DEFAULT_ROWS.iter().filter(|row| row.component == component).find(suits).map(|row| Amperes(row.rating_ka * 1000.0))
}

/// What equipment stands at least whose parts are unmarked: the rating of a breaker or controller of which nothing else is known.
#[must_use]
pub fn least_of_unmarked() -> Option<Amperes> {
    default_rating("circuit-breaker", None)
}

/// A part of an assembly's power circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name in messages.
    pub name: String,
    /// Word of the table, for the assumed rating.
    pub component: String,
    /// Horsepower of a motor controller.
    pub horsepower: Option<f64>,
    /// Rating that is marked or declared.
    pub declared: Option<Amperes>,
    /// Rating of the tested combination to which it belongs; it stands in place of a lower one of its own.
    pub combination: Option<Amperes>,
}

/// Rating of an assembly.
#[derive(Clone, Debug, PartialEq)]
pub struct AssemblyRating {
    /// The rating.
    pub rating: Amperes,
    /// Index of the part that limits it.
    pub weakest: usize,
    /// The weakest part's rating was assumed, not declared.
    pub assumed: bool,
}

/// Rating of one part and whether it was assumed. None if nothing is declared and the table has no value.
#[must_use]
pub fn part_rating(part: &Part) -> Option<(Amperes, bool)> {
    let rating = match part.declared {
        Some(declared) => Some((declared, false)),
        None => default_rating(&part.component, part.horsepower).map(|rating| (rating, true)),
    };
    match (rating, part.combination) {
        (Some(rating), Some(combination)) if rating.0.0 < combination.0 => Some((combination, false)),
        (Some(rating), _) => Some(rating),
        (None, combination) => combination.map(|rating| (rating, false)),
    }
}

/// The weakest link: the lowest rating of all parts. The error is the index of the first part whose rating is not known at all;
/// an assembly without parts has none.
///
/// # Errors
/// The index of a part of unknown rating.
pub fn assembly_rating(parts: &[Part]) -> Result<Option<AssemblyRating>, usize> {
    let mut weakest: Option<AssemblyRating> = None;
    for (index, part) in parts.iter().enumerate() {
        let (rating, assumed) = part_rating(part).ok_or(index)?;
        if weakest.as_ref().is_none_or(|weakest| rating.0 < weakest.rating.0) {
            weakest = Some(AssemblyRating { rating, weakest: index, assumed });
        }
    }
    Ok(weakest)
}

/// Whether a device may be used on a system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Admission {
    /// It may.
    Admitted,
    /// It may not.
    NotAdmitted,
    /// The known facts of the system do not say.
    Unknown,
}

/// Kind of device with a slash rating.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RatedDevice {
    /// Circuit breaker.
    CircuitBreaker,
    /// Controller.
    Controller,
}

impl RatedDevice {
    /// Clause of its slash rating.
    #[must_use]
    pub fn clause(self) -> &'static str {
        match self {
            Self::CircuitBreaker => "240.85",
            Self::Controller => "430.83(E)",
        }
    }
}

/// Voltages as written: `480Y/277`, `240/120`, `480`.
struct Written {
    line: f64,
    to_ground: Option<f64>,
    wye: bool,
}

fn written(text: &str) -> Option<Written> {
    let lower = text.trim().to_lowercase();
    let (line, rest) = number(lower.trim_start_matches(|c: char| !c.is_ascii_digit()))?;
    let wye = rest.trim_start().starts_with('y');
    let after = rest.trim_start().trim_start_matches('v').trim_start().trim_start_matches('y').trim_start();
    let to_ground = after.strip_prefix('/').and_then(|after| number(after.trim_start())).map(|(volts, _)| volts);
    Some(match to_ground {
        Some(other) => Written { line: line.max(other), to_ground: Some(line.min(other)), wye },
        None => Written { line, to_ground: None, wye },
    })
}

fn number(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    text.get(..end)?.parse().ok().map(|number| (number, &text[end..]))
}

/// A rating with a slash is for systems that are grounded so.
fn admits_slash(grounding: Grounding) -> bool {
    SLASH_SYSTEM_ROWS.iter().any(|row| row.admits && row.grounding == grounding.word())
}

/// A delta of four wires whose neutral is the middle of one winding: by its words, unless they say that no neutral is grounded.
fn is_high_leg(system: &str) -> bool {
    let other = matches!(grounding(system), Some(Grounding::Ungrounded | Grounding::Impedance | Grounding::Corner));
    !other && !System::read(system).three_wires && has_high_leg(system)
}

/// A fault to ground flows back through the equipment grounding conductor: the system is solidly grounded, or a wye of two voltages
/// about whose grounding nothing else is said (250.20(B)). None if its words do not tell.
#[must_use]
pub fn grounded(system: &str) -> Option<bool> {
    if is_high_leg(system) {
        return Some(false);
    }
    match grounding(system) {
        Some(grounding) => Some(grounding == Grounding::Solid),
        None => written(system).is_some_and(|written| written.wye && written.to_ground.is_some()).then_some(true),
    }
}

/// Whether a voltage rating such as `480Y/277` or `480` suits a system such as `480Y/277 4W solidly grounded`. A rating with a slash
/// is for solidly grounded systems whose voltage to ground and between lines do not exceed its two values; a rating without is for
/// any grounding up to its value (a corner-grounded delta needs a breaker with a straight rating that is marked for it, which is
/// left unknown). With the clause.
#[must_use]
pub fn voltage_rating_admits(device: RatedDevice, rated: &str, system: &str, system_voltage: Volts) -> (Admission, &'static str) {
    let clause = device.clause();
    let Some(rating) = written(rated) else { return (Admission::Unknown, clause) };
    let written = written(system);
    let line = written.as_ref().map_or(system_voltage.0, |written| written.line.max(system_voltage.0));
    if line <= 0.0 || line.is_nan() {
        return (Admission::Unknown, clause);
    }
    if !fits(line, rating.line) {
        return (Admission::NotAdmitted, clause);
    }
    let grounding = grounding(system);
    let Some(rated_to_ground) = rating.to_ground else {
        let corner = grounding == Some(Grounding::Corner) && device == RatedDevice::CircuitBreaker;
        return (if corner { Admission::Unknown } else { Admission::Admitted }, clause);
    };
    // The second voltage of a wye, and of two conductors with a grounded one between them, is that to ground; a delta of four wires has a
    // conductor of more.
    let of_three_wires = System::read(system).three_wires;
    let to_ground = written.as_ref().filter(|written| written.wye || of_three_wires).and_then(|written| written.to_ground);
    let admission = match (grounding.map(admits_slash), to_ground) {
        _ if is_high_leg(system) => Admission::NotAdmitted,
        (Some(true), Some(to_ground)) if fits(to_ground, rated_to_ground) => Admission::Admitted,
        (None, _) | (Some(true), None) => Admission::Unknown,
        _ => Admission::NotAdmitted,
    };
    (admission, clause)
}

/// Whether the rating of a breaker of one pole suits a line and the neutral of a system: the line has the voltage of its load to ground
/// only where the neutral is solidly grounded. With the clause.
#[must_use]
pub fn one_pole_admits(rated: &str, system: &str, to_neutral: Volts) -> (Admission, &'static str) {
    let clause = RatedDevice::CircuitBreaker.clause();
    let Some(rating) = written(rated).filter(|_| to_neutral.0 > 0.0) else { return (Admission::Unknown, clause) };
    if !fits(to_neutral.0, rating.to_ground.unwrap_or(rating.line)) {
        return (Admission::NotAdmitted, clause);
    }
    let admission = match grounding(system) {
        _ if is_high_leg(system) => Admission::Admitted,
        Some(Grounding::Solid) => Admission::Admitted,
        Some(_) => Admission::NotAdmitted,
        None if grounded(system) == Some(true) || rating.to_ground.is_none() => Admission::Admitted,
        None => Admission::Unknown,
    };
    (admission, clause)
}

/// Why a system has no neutral for loads, with the clause: an ungrounded or corner-grounded one and a delta of three wires have none, and
/// one that is grounded through an impedance must serve no load with it.
#[must_use]
pub fn without_neutral(system: &str) -> Option<(&'static str, &'static str)> {
    if is_high_leg(system) {
        return None;
    }
    match grounding(system)? {
        Grounding::Impedance => Some(("its neutral is grounded through an impedance and must serve no load", "NFPA 70, 250.36")),
        Grounding::Corner => Some(("its grounded conductor is one of the phases, and it has no neutral", "NFPA 70, 250.26")),
        Grounding::Ungrounded => Some(("it is ungrounded and has no neutral", "NFPA 70, 250.26")),
        Grounding::Delta => Some(("a delta of three wires has no neutral", "NFPA 70, 250.26")),
        Grounding::Solid | Grounding::NotSolid => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(component: &str, declared: Option<f64>, combination: Option<f64>) -> Part {
        Part {
            name: component.to_owned(),
            component: component.to_owned(),
            horsepower: Some(10.0),
            declared: declared.map(Amperes),
            combination: combination.map(Amperes),
        }
    }

    #[test]
    fn defaults_by_component_and_horsepower() {
        assert_eq!(default_rating("motor-controller", Some(50.0)), Some(Amperes(5000.0)));
        assert_eq!(default_rating("motor-controller", Some(60.0)), Some(Amperes(10_000.0)));
        assert_eq!(default_rating("motor-controller", Some(2000.0)), None);
        assert_eq!(default_rating("motor-controller", None), None);
        assert_eq!(default_rating("supplementary-protector", None), Some(Amperes(200.0)));
        assert_eq!(default_rating("terminal-block", None), Some(Amperes(10_000.0)));
        assert_eq!(default_rating("something", None), None);
    }

    #[test]
    fn the_weakest_part_rates_the_assembly_and_a_combination_raises_it() {
        let parts = [part("circuit-breaker", Some(65_000.0), None), part("motor-controller", None, None)];
        let rating = assembly_rating(&parts);
        assert_eq!(rating, Ok(Some(AssemblyRating { rating: Amperes(5000.0), weakest: 1, assumed: true })));
        let tested = [part("circuit-breaker", Some(65_000.0), None), part("motor-controller", None, Some(50_000.0))];
        assert_eq!(
            assembly_rating(&tested).map(|weakest| weakest.map(|rating| (rating.rating, rating.assumed))),
            Ok(Some((Amperes(50_000.0), false)))
        );
        assert_eq!(assembly_rating(&[part("circuit-breaker", None, None), part("unheard-of", None, None)]), Err(1));
        assert_eq!(assembly_rating(&[]), Ok(None));
    }

    #[test]
    fn slash_ratings_want_a_solidly_grounded_wye() {
        use Admission::{Admitted, NotAdmitted, Unknown};
        let of = |rated, system, volts| voltage_rating_admits(RatedDevice::CircuitBreaker, rated, system, Volts(volts)).0;
        for (rated, system, volts, expected) in [
            ("480Y/277", "480Y/277 4W solidly grounded", 480.0, Admitted),
            ("480Y/277", "480Y/277 4W", 480.0, Admitted),
            ("480Y/277", "480Y/277 3W", 480.0, Unknown),
            ("480Y/277", "480Y/277 resistance grounded", 480.0, NotAdmitted),
            ("480Y/277", "480Y/277 4W high-resistance grounded", 480.0, NotAdmitted),
            ("480Y/277", "480Y/277 4W, grounded through NGR", 480.0, NotAdmitted),
            ("480Y/277", "480Y/277 4W, neutral isolated", 480.0, NotAdmitted),
            ("480Y/277", "480Y/277 4W reactance grounded", 480.0, NotAdmitted),
            ("480Y/277", "480Y/277 not solidly grounded", 480.0, NotAdmitted),
            ("480Y/277", "480 delta", 480.0, NotAdmitted),
            ("480Y/277", "delta corner-grounded", 480.0, NotAdmitted),
            ("480Y/277", "480 ungrounded", 480.0, NotAdmitted),
            ("480Y/277", "", 480.0, Unknown),
            ("480Y/277", "208Y/120 4W", 208.0, Admitted),
            ("480Y/277", "600Y/347 4W solidly grounded", 600.0, NotAdmitted),
            ("208Y/120", "240/120 high-leg", 240.0, NotAdmitted),
            ("120/240", "240/120 high-leg 4W delta", 240.0, NotAdmitted),
            ("480", "480 delta", 480.0, Admitted),
            ("480", "480Y/277 resistance grounded", 480.0, Admitted),
            ("480", "delta corner-grounded", 480.0, Unknown),
            ("240", "480 delta", 480.0, NotAdmitted),
            ("600", "600Y/347", 600.0, Admitted),
            ("", "480 delta", 480.0, Unknown),
            ("480Y/277", "480Y/277 4W", f64::NAN, Admitted),
        ] {
            assert_eq!(of(rated, system, volts), expected, "{rated} on {system}");
        }
        assert_eq!(voltage_rating_admits(RatedDevice::Controller, "480", "480 delta", Volts(480.0)).1, "430.83(E)");
        assert_eq!(voltage_rating_admits(RatedDevice::Controller, "480", "corner delta", Volts(480.0)).0, Admitted);
    }

    /// 240.85: no conductor of a circuit behind a breaker of 120/240 V has more than 120 V to ground, and the system is solidly grounded.
    /// The legs of a high-leg delta beside the high one have 120 V. 250.36: an impedance-grounded neutral serves no load.
    #[test]
    fn one_pole_wants_a_grounded_neutral() {
        use Admission::{Admitted, NotAdmitted, Unknown};
        for (rated, system, volts, expected, neutral) in [
            ("120/240", "208Y/120 4W solidly grounded", 120.0, Admitted, true),
            ("120/240", "120/240 3W solidly grounded", 120.0, Admitted, true),
            ("120/240", "240/120 4W high-leg delta", 120.0, Admitted, true),
            ("120/240", "240 delta corner-grounded", 120.0, NotAdmitted, false),
            ("120/240", "240 delta", 120.0, NotAdmitted, false),
            ("480Y/277", "480Y/277 4W solidly grounded", 277.0, Admitted, true),
            ("480Y/277", "480Y/277 high-resistance grounded", 277.0, NotAdmitted, false),
            ("480Y/277", "480 delta ungrounded", 277.0, NotAdmitted, false),
            ("120/240", "480Y/277 4W solidly grounded", 277.0, NotAdmitted, true),
            ("480Y/277", "", 277.0, Unknown, true),
            ("277", "", f64::NAN, Unknown, true),
        ] {
            assert_eq!(one_pole_admits(rated, system, Volts(volts)).0, expected, "{rated} on {system}");
            assert_eq!(without_neutral(system).is_none(), neutral, "{system}");
        }
    }

    /// Without a voltage nothing is said of a device, be it marked with or without a slash.
    #[test]
    fn of_an_unknown_voltage_nothing_is_known() {
        for volts in [0.0, -480.0, f64::NAN] {
            for marked in ["480", "480Y/277"] {
                let admission = voltage_rating_admits(RatedDevice::CircuitBreaker, marked, "", Volts(volts)).0;
                assert_eq!(admission, Admission::Unknown, "{marked} at {volts} V");
            }
        }
    }
}
