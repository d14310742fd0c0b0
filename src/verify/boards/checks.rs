//! Checks of a board: each says one thing, and one that failed is told.

use crate::design::{Check, Sense};
use crate::finding::{Severity, codes};
use crate::quantity::fits;
use crate::verify::boards::tree::Place;
use crate::verify::boards::{Boards, Say};
use crate::verify::checks::REACHING;

/// Ways in which checks of a board go: of its feeder's device and its bars what occurs stays below what they can do, of runs the book
/// tells, all others go as in circuits.
fn reaches(all: &Boards<'_>, check: &Check) -> bool {
    match check.subject.as_str() {
        // The breaking capacity of a device reaches what may flow, there as in circuits.
        "device of the feeder" | "incoming device" => check.name == "breaking-capacity",
        "board" => false,
        "feeder run" => all.book.criteria().iter().any(|of| of.name == check.name && of.floor),
        _ => check.name == "spare-capacity" || REACHING.contains(&check.name.as_str()),
    }
}

/// Checks that the blocks of a board demand, with what they are about.
const OF_DEVICE: &[&str] = &["protection-carries", "breaking-capacity"];

pub(super) fn agree(all: &Boards<'_>, place: &Place<'_>, say: Say<'_>) {
    let board = place.board;
    for check in &board.checks {
        if !consistent(all, check) {
            say(
                &codes::V801_CHECK,
                format!(
                    "check {} {}: {:?} against {:?} with a margin of {:?} % and passed = {:?} contradict each other",
                    check.name, check.subject, check.value, check.limit, check.margin_pct, check.passed
                ),
            );
        }
        let again = board.checks.iter().filter(|other| (&other.name, &other.subject) == (&check.name, &check.subject)).count();
        // Several transformers or feeds may bear one name.
        if again > 1 && check.subject.ends_with("of the feeder") {
            say(&codes::V801_CHECK, format!("check {} {} stands twice", check.name, check.subject));
        }
    }
    let find = |name: &str, subject: &str| board.checks.iter().any(|check| check.name == name && check.subject == subject);
    let missing = |say: Say<'_>, name: &str, subject: &str| {
        say(&codes::V802_CHECK_MISSING, format!("check {name} {subject} is missing"));
    };
    if !board.feeder.kind.is_empty() {
        for name in OF_DEVICE.iter().filter(|name| !find(name, "device of the feeder")) {
            missing(say, name, "device of the feeder");
        }
    }
    if board.feeder.run.is_some() {
        for name in ["current-carrying-capacity", "running-voltage-drop"].into_iter().filter(|name| !find(name, "feeder run")) {
            missing(say, name, "feeder run");
        }
    }
    let rated = place.basis.is_some_and(|board| board.short_circuit_rating_ka.is_some());
    if rated && !find("short-circuit-rating", "board") {
        missing(say, "short-circuit-rating", "board");
    }
    let failed = board.checks.iter().filter(|check| check.passed == Some(false));
    for check in failed.filter(|check| !told(all, place, check)) {
        say(&codes::V803_STATUS, format!("check {} {} failed, and no finding says so", check.name, check.subject));
    }
}

/// A finding of the board that is no note tells of it; of a dip one of the design does, which names the board.
fn told(all: &Boards<'_>, place: &Place<'_>, check: &Check) -> bool {
    if check.name == "start-dip" {
        let named = format!("board {} by", place.board.name);
        return all
            .design
            .findings
            .iter()
            .any(|finding| finding.code == codes::B212_START_DIP.code && finding.what.contains(&named));
    }
    let telling = telling(place, check);
    let mut warnings = place.board.findings.iter().filter(|finding| finding.severity != Severity::Note);
    warnings.any(|finding| telling.contains(&finding.code.as_str()))
}

/// Codes of the findings that may tell of a failed check, by what it is about.
fn telling(place: &Place<'_>, check: &Check) -> &'static [&'static str] {
    let of_supply = || place.board.control_supplies.iter().any(|supply| check.subject.starts_with(supply.coil_voltage.as_str()));
    match (check.name.as_str(), check.subject.as_str()) {
        ("short-circuit-rating", "board") => &[codes::B320_BOARD_RATING.code],
        ("enclosure-heat", _) => &[codes::B604_ENCLOSURE_HEAT.code],
        ("enclosure-width", _) => &[codes::B605_ENCLOSURE_WIDTH.code],
        (_, "incoming device") => {
            &[codes::B331_NO_INCOMING.code, codes::B332_INCOMING_OPEN.code, codes::B336_INCOMING_TERMINALS.code]
        }
        _ if of_supply() => &[
            codes::C409_NO_CONTROL_SUPPLY.code,
            codes::C411_COIL_LOW.code,
            codes::C412_NO_CONTROL_DEVICE.code,
            codes::C413_RETURN.code,
        ],
        _ => &[codes::B304_FEEDER_CHECK.code, codes::B301_NO_FEEDER_CONDUCTOR.code],
    }
}

fn consistent(all: &Boards<'_>, check: &Check) -> bool {
    match (check.passed, check.value, check.limit) {
        (None, None, None) => {
            check.not_checked_because.as_deref().is_some_and(|why| !why.is_empty()) && check.margin_pct.is_none()
        }
        (Some(passed), Some(value), Some(limit)) => {
            let (distance, holds) =
                if reaches(all, check) { (value - limit, fits(limit, value)) } else { (limit - value, fits(value, limit)) };
            let margin = (limit != 0.0).then(|| 100.0 * distance / limit);
            let same = match (margin, check.margin_pct) {
                (Some(one), Some(other)) => (one - other).abs() <= 1e-6 * one.abs().max(1.0) || one == other,
                (None, None) => true,
                _ => false,
            };
            let sense = if reaches(all, check) { Sense::AtLeast } else { Sense::AtMost };
            same && check.sense == Some(sense) && holds == passed && check.not_checked_because.is_none()
        }
        // A figure that is not a number is written as none.
        (Some(false), _, _) => check.not_checked_because.is_none(),
        _ => false,
    }
}
