//! Values of columns: what is picked from a circuit, and the words in which it is shown.

use std::borrow::Cow;

use super::CellValue;
use crate::design::{Check, Circuit, Disconnect, Given, Run, Status, Verdict};
use crate::finding::Severity;
use crate::load::{Field, ProtectionKind};
use crate::quantity::{fits, round_to};
use crate::report::words::{brief, full};
use crate::rules::units::Units;

/// The state of a circuit, with the number of its warnings.
#[must_use]
pub fn state_words(circuit: &Circuit) -> Cow<'static, str> {
    let warnings = count(circuit, Severity::Warning);
    match (circuit.status, warnings) {
        (Status::Sized, 1..) => Cow::Owned(format!("sized, {warnings} {}", if warnings == 1 { "warning" } else { "warnings" })),
        (status, _) => Cow::Borrowed(status.words()),
    }
}

/// The severity that marks a circuit: its worst finding, or its status where that is worse.
#[must_use]
pub fn state_mark(circuit: &Circuit) -> Option<Severity> {
    let by_status = match circuit.status {
        Status::NotSized => Some(Severity::Error),
        Status::NeedsDecision => Some(Severity::Warning),
        Status::Sized => None,
    };
    // Severities ascend from worst to least.
    circuit.findings.iter().map(|finding| finding.severity).filter(|severity| *severity != Severity::Note).chain(by_status).min()
}

pub(super) fn count(circuit: &Circuit, severity: Severity) -> usize {
    circuit.findings.iter().filter(|finding| finding.severity == severity).count()
}

/// Conductors of a run: number in parallel and size, such as `2 × 16`; millimetres squared stand in the heading.
#[must_use]
pub fn size_words(run: &Run) -> Cow<'_, str> {
    let size = bare(&run.phase_size);
    if run.per_phase > 1 { Cow::Owned(format!("{} × {size}", run.per_phase)) } else { Cow::Borrowed(size) }
}

/// Conductors of a run by the customary book, with their number: `3 × 12 AWG`, `4 × 6 AWG (3 + N)`, `3 × 6 AWG + N 8 AWG`, in parallel sets
/// where there are several. The equipment grounding conductor is none of them.
#[must_use]
pub fn numbered_conductors(run: &Run) -> String {
    let grounding = u32::from(!run.protective_size.is_empty());
    let number = run.cores.saturating_sub(grounding);
    let one = match &run.neutral_size {
        _ if number < 2 => run.phase_size.clone(),
        Some(neutral) if *neutral == run.phase_size => format!("{number} × {} ({} + N)", run.phase_size, number - 1),
        Some(neutral) => format!("{} × {} + N {neutral}", number - 1, run.phase_size),
        None => format!("{number} × {}", run.phase_size),
    };
    match (run.per_phase > 1, number < 2) {
        (false, _) => one,
        (true, true) => format!("{} × {one}", run.per_phase),
        (true, false) => format!("{} × ({one})", run.per_phase),
    }
}

/// Cores of the cable; of several that hold the cores of one set together, such as `2 × 4`, those of each.
pub(super) fn cores(run: &Run) -> CellValue<'_> {
    if run.cables > 1 {
        CellValue::text(format!("{} × {}", run.cables, run.cores_of_one_cable()))
    } else {
        CellValue::positive(f64::from(run.cores))
    }
}

/// A size without `mm2`, which stands in the heading; other units stay.
#[must_use]
pub fn bare(size: &str) -> &str {
    size.strip_suffix(" mm2").or_else(|| size.strip_suffix(" mm²")).unwrap_or(size)
}

/// Rated power; of several motors behind one starter how many there are of it.
pub(super) fn power(circuit: &Circuit, of_one: Option<f64>) -> CellValue<'static> {
    match of_one {
        Some(kw) if circuit.motors > 1 => CellValue::Text(format!("{} × {}", circuit.motors, rating(kw)).into()),
        kw => CellValue::number(kw),
    }
}

/// The run on which a schedule reports: that to the motor, else the first.
#[must_use]
pub fn main_run(circuit: &Circuit) -> Option<&Run> {
    circuit.runs.iter().find(|run| run.role == "motor").or(circuit.conductors.as_ref()).or(circuit.runs.first())
}

/// The largest value among a circuit's checks of that name.
#[must_use]
pub fn check<'c>(circuit: &'c Circuit, name: &str) -> Option<&'c Check> {
    circuit
        .checks
        .iter()
        .filter(|check| check.name == name && check.value.is_some())
        .max_by(|a, b| a.value.partial_cmp(&b.value).unwrap_or(std::cmp::Ordering::Equal))
}

/// How many checks came out so; nothing where none was made.
pub(super) fn tally(circuit: &Circuit, passed: Option<bool>) -> CellValue<'static> {
    if circuit.checks.is_empty() {
        return CellValue::Empty;
    }
    #[allow(clippy::cast_precision_loss)] // a circuit has some tens of checks
    CellValue::Number(circuit.checks.iter().filter(|check| check.passed == passed).count() as f64)
}

/// The check that was made with the smallest margin. The customary book's device is the largest that is permitted: that it comes
/// up to its limit says nothing.
pub(super) fn closest(circuit: &Circuit, units: Units) -> Option<&Check> {
    let chosen_so = |check: &&Check| {
        units == Units::Customary
            && check.passed == Some(true)
            && check.subject.is_empty()
            && DEVICE_MAXIMUM.contains(&check.name.as_str())
    };
    let of_catalogue = |check: &&Check| check.passed == Some(true) && NOT_OF_THE_ROW.contains(&check.name.as_str());
    circuit
        .checks
        .iter()
        .filter(|check| !chosen_so(check) && !of_catalogue(check))
        .filter(|check| check.has_margin())
        .filter(|check| check.margin_pct.is_some())
        .min_by(|a, b| a.margin_pct.partial_cmp(&b.margin_pct).unwrap_or(std::cmp::Ordering::Equal))
}

/// Checks whose margin follows from the catalogue's coils and dials and not from the row: while they pass, that they are near tells nobody
/// what is tight.
const NOT_OF_THE_ROW: &[&str] = &["coil-voltage", "coil-highest-voltage", "overload-ceiling", "overload-trip"];

/// Names of checks on which columns draw: what the overload relay may trip at, the device's maximum.
const OVERLOAD_CEILING: &[&str] = &["overload-ceiling", "overload-trip"];
pub(super) const DEVICE_MAXIMUM: &[&str] = &["protection-maximum", "device-maximum"];

/// Drop of the voltage at a start, per cent: at the motor's terminals, or along the cable alone where what lies before it is unknown.
pub(in crate::report) fn starting_drop(circuit: &Circuit) -> Option<f64> {
    let of_cable = || circuit.checks.iter().find(|check| check.name == "starting-voltage-drop").and_then(|check| check.value);
    circuit.start_voltage.as_ref().map(|start| start.drop_pct).or_else(of_cable)
}

/// Short-circuit current rating of a circuit in kA: what the weakest of its parts and of the equipment at its end stands, not the fault
/// current that it is held against; none where one of them is not known. The rating of the equipment is a check of its run, in A.
pub(super) fn assembly_rating_ka(circuit: &Circuit) -> Option<f64> {
    let checks = circuit.checks.iter().filter(|check| check.name == "short-circuit-rating");
    let ratings =
        checks.map(|check| if check.subject.is_empty() { check.value } else { check.limit.map(|limit| limit / 1000.0) });
    ratings.reduce(|one, other| one.zip(other).map(|(one, other)| one.min(other))).flatten()
}

/// Places of the overload protections that guard the motor. The release of the short-circuit protective device is one of them only where
/// it stands alone: before a relay or a drive it is set to another current, and stands on the sheet of settings.
fn of_the_motor(circuit: &Circuit) -> Vec<usize> {
    let all = 0..circuit.overloads.len();
    // Each of several motors behind one starter has a relay of its own; a drive before them is set to the sum.
    let of_each: Vec<usize> =
        all.clone().filter(|at| circuit.overloads.get(*at).is_some_and(|overload| overload.count > 1)).collect();
    if !of_each.is_empty() {
        return of_each;
    }
    let relays: Vec<usize> =
        all.clone().filter(|at| circuit.overloads.get(*at).is_some_and(|overload| overload.role != "protection")).collect();
    if relays.is_empty() { all.collect() } else { relays }
}

/// Rating of the protective device; with the dial of its release where another setting stands in the column of overload protections.
pub(super) fn protection_rating(circuit: &Circuit) -> CellValue<'_> {
    let Some(device) = &circuit.protection else { return CellValue::Empty };
    let turned_down = |setting: &f64| !circuit.overloads.is_empty() && (setting - device.rating_a).abs() > 1e-9;
    match circuit.release_setting().filter(turned_down) {
        Some(setting) => CellValue::Text(format!("{}, set to {}", rating(device.rating_a), with_tenths(setting)).into()),
        None => CellValue::Number(device.rating_a),
    }
}

/// Settings of the motor's overload relays and releases; a figure where they are alike. Where there are none, that of the release which
/// protects the conductors.
pub(super) fn overload_settings(circuit: &Circuit) -> CellValue<'_> {
    if circuit.overloads.is_empty() {
        return each(std::iter::once(circuit.release_setting()));
    }
    each(of_the_motor(circuit).into_iter().map(|at| circuit.overloads.get(at).map(|overload| overload.setting_a)))
}

/// The currents at which these may trip at most, in their order.
pub(super) fn overload_ceilings(circuit: &Circuit) -> CellValue<'_> {
    each(of_the_motor(circuit).into_iter().map(|at| overload_ceiling(circuit, at)))
}

/// As the columns of amperes show numbers: one decimal, a second where there is one.
fn with_tenths(amperes: f64) -> String {
    if (amperes - round_to(amperes, 1)).abs() < 1e-9 { format!("{amperes:.1}") } else { format!("{amperes:.2}") }
}

/// One figure where all are alike; else all of them, as of the low and the high speed.
fn each(figures: impl Iterator<Item = Option<f64>>) -> CellValue<'static> {
    let all: Vec<f64> = figures.flatten().map(|amperes| round_to(amperes, 2)).collect();
    match all.as_slice() {
        [] => CellValue::Empty,
        [first, others @ ..] if others.iter().all(|amperes| (amperes - first).abs() < f64::EPSILON) => CellValue::Number(*first),
        all => {
            let words: Vec<String> = all.iter().map(|amperes| with_tenths(*amperes)).collect();
            CellValue::Text(words.join(" / ").into())
        }
    }
}

/// The checks of what an overload protection of a circuit may trip at, by its place among them. They stand in the same order; where their
/// numbers differ, all whose limit the setting keeps.
fn trip_checks(circuit: &Circuit, at: usize) -> Vec<&Check> {
    let of_trip = |check: &&Check| OVERLOAD_CEILING.contains(&check.name.as_str()) && check.limit.is_some();
    let checks: Vec<&Check> = circuit.checks.iter().filter(of_trip).collect();
    if checks.len() == circuit.overloads.len() {
        return checks.get(at).copied().into_iter().collect();
    }
    let setting = circuit.overloads.get(at).map_or(0.0, |overload| overload.setting_a);
    checks.into_iter().filter(|check| check.limit.is_some_and(|limit| fits(setting, limit))).collect()
}

/// The current at which an overload protection of a circuit may trip at most; of several limits the least is the safe one.
#[must_use]
pub fn overload_ceiling(circuit: &Circuit, at: usize) -> Option<f64> {
    let least = trip_checks(circuit, at).into_iter().filter_map(|check| check.limit).reduce(f64::min);
    // A ceiling is rounded down; what is written with two decimals stays what it is.
    least.map(|limit| (limit * 100.0 + 1e-6).floor() / 100.0)
}

/// The setting at which an overload protection would trip at that current: what it trips at now grows with its setting.
#[must_use]
pub fn highest_setting(circuit: &Circuit, at: usize) -> Option<f64> {
    let setting = circuit.overloads.get(at)?.setting_a;
    let highest = |check: &Check| Some(setting * check.limit? / check.value.filter(|trips| *trips > 0.0)?);
    trip_checks(circuit, at).into_iter().filter_map(highest).reduce(f64::min)
}

/// Roles of contactors, one or several, such as `star and delta`, in the words of the trade.
pub(super) fn roles(units: Units, text: &str) -> Cow<'_, str> {
    if units == Units::Metric || !text.contains(' ') {
        return brief(units, text);
    }
    let word = |word: &str| {
        let bare = word.trim_end_matches(',');
        format!("{}{}", brief(units, bare), &word[bare.len()..])
    };
    Cow::Owned(text.split(' ').map(word).collect::<Vec<_>>().join(" "))
}

/// The clause from which the largest rating of the protective device comes: that of the check whose limit it is. What a switch
/// at the load stands before it is a check of the same name and another matter.
pub(super) fn maximum_clause(circuit: &Circuit) -> &str {
    let Some(maximum) = circuit.protection.as_ref().and_then(|protection| protection.maximum_a) else { return "" };
    let is_it = |check: &&Check| {
        DEVICE_MAXIMUM.contains(&check.name.as_str())
            && !check.subject.contains("isolator")
            && check.limit.is_some_and(|limit| fits(limit, maximum) && fits(maximum, limit))
    };
    circuit.checks.iter().find(is_it).map_or("", |check| check.reference.as_str())
}

/// Contactors in a list: the amperes of each; frames in a trade that goes by them, equal ones counted.
pub(super) fn contactor_ratings(circuit: &Circuit, units: Units) -> Cow<'_, str> {
    if units == Units::Metric {
        return joined(circuit.contactors.iter().map(|contactor| rating(contactor.rated_a)), " / ");
    }
    let mut counted: Vec<(String, usize)> = Vec::new();
    for contactor in &circuit.contactors {
        let words =
            if contactor.frame.is_empty() { format!("{} A", rating(contactor.rated_a)) } else { frame_words(&contactor.frame) };
        match counted.iter_mut().find(|(known, _)| *known == words) {
            Some((_, count)) => *count += 1,
            None => counted.push((words, 1)),
        }
    }
    let shown = counted.into_iter().map(|(words, count)| if count > 1 { format!("{count} × {words}") } else { words });
    joined(shown.map(Cow::Owned), " / ")
}

/// A frame as it is spoken of: `N2` is NEMA size 2.
#[must_use]
pub fn frame_words(frame: &str) -> String {
    let size = frame.strip_prefix('N').filter(|rest| !rest.is_empty() && rest.chars().all(|one| one.is_ascii_digit()));
    size.map_or_else(|| format!("frame {frame}"), |size| format!("NEMA size {size}"))
}

/// Who chooses a device of a starting method that has no part number: drives and soft starters come from a range, what is left is made for
/// its motor.
pub(in crate::report) fn not_chosen(kind: &str) -> &'static str {
    if ["drive", "soft-starter"].contains(&kind) { "to be selected" } else { "to the maker's design" }
}

/// A disconnecting means that holds the fuses of its circuit.
pub(in crate::report) fn holds_fuses(disconnect: &Disconnect) -> bool {
    ProtectionKind::from_word(&disconnect.kind).is_some_and(ProtectionKind::is_fuse)
}

/// Kind of a disconnecting means; one that holds the fuses of its circuit is a switch, with what it holds.
pub(in crate::report) fn disconnect_kind(disconnect: &Disconnect, units: Units) -> Cow<'_, str> {
    if disconnect.kind.is_empty() {
        return brief(units, "isolator");
    }
    if !holds_fuses(disconnect) {
        return brief(units, &disconnect.kind);
    }
    let fuses = brief(units, &disconnect.kind);
    Cow::Owned(format!("{}, {fuses}", units.pick("switch-disconnector-fuse", "fusible disconnect switch")))
}

/// Amperes and horsepower of a disconnecting means.
pub(super) fn disconnect_rating(disconnect: &Disconnect) -> Cow<'_, str> {
    let amperes = disconnect.rating_a.map(|amperes| format!("{} A", rating(amperes)));
    let hp = disconnect.rating_hp.map(|hp| format!("{} hp", rating(hp)));
    Cow::Owned([amperes, hp].into_iter().flatten().collect::<Vec<_>>().join(", "))
}

/// Kind and trade size of a raceway, such as `EMT 3/4`.
#[must_use]
pub fn raceway_words(run: &Run, units: Units) -> Cow<'_, str> {
    run.raceway
        .as_ref()
        .map_or(Cow::Borrowed(""), |raceway| Cow::Owned(format!("{} {}", brief(units, &raceway.kind), raceway.trade_size)))
}

/// Share of the raceway's area that is filled.
pub(super) fn fill(run: &Run) -> Option<f64> {
    run.raceway.as_ref().map(|raceway| raceway.fill_pct).filter(|share| *share > 0.0)
}

/// Co-ordination that is shown: the customary book knows no types, so only one that is claimed stands.
pub(super) fn coordination(circuit: &Circuit, units: Units) -> &str {
    let coordination = circuit.protection.as_ref().map_or("", |protection| protection.coordination.as_str());
    if units == Units::Customary && coordination == "not-claimed" { "" } else { coordination }
}

pub(super) fn joined<'c>(mut items: impl Iterator<Item = Cow<'c, str>>, by: &str) -> Cow<'c, str> {
    let Some(first) = items.next() else { return Cow::Borrowed("") };
    items.fold(first, |mut all, item| {
        all.to_mut().push_str(by);
        all.to_mut().push_str(&item);
        all
    })
}

/// A number to four significant digits: ratings stand as their makers print them.
pub(super) fn rating(number: f64) -> Cow<'static, str> {
    Cow::Owned(crate::record::significant(number, 4))
}

/// Several equal words stand once.
pub(super) fn without_repeats<'c>(items: impl Iterator<Item = &'c str>) -> Cow<'c, str> {
    let mut seen: Vec<&str> = Vec::new();
    for item in items.filter(|item| !item.is_empty()) {
        if !seen.contains(&item) {
            seen.push(item);
        }
    }
    joined(seen.into_iter().map(Cow::Borrowed), ", ")
}

/// The subject of a column of others' choices: `given_overload_range_a` is `overload range`.
#[must_use]
pub fn given_item(column: &str, units: Units) -> String {
    match column {
        "given_protective_conductor" => units.pick("protective conductor", "equipment grounding conductor").to_owned(),
        "given_protection_kind" => "protective device".to_owned(),
        "given_protection_a" => "rating of the protective device".to_owned(),
        "given_magnetic_a" => units.pick("magnetic trip", "instantaneous trip").to_owned(),
        "given_parallel" => "conductors in parallel".to_owned(),
        _ => column.trim_start_matches("given_").trim_end_matches("_a").replace('_', " ").replace("nema", "NEMA"),
    }
}

/// A choice of others as it was stated, with the unit of its column, or what would do in its place.
#[must_use]
pub fn given_value(column: &str, text: &str, units: Units) -> String {
    let unit = Field::from_name(column).map_or("", |field| field.spec().unit);
    let bare = text.chars().all(|one| one.is_ascii_digit() || matches!(one, '.' | ',' | '-' | '–'));
    if !unit.is_empty() && bare {
        return format!("{text} {unit}");
    }
    if column == "given_protection_kind" { full(units, text) } else { text.replace("mm2", "mm²") }
}

/// Verdicts on choices of others, the worst first.
const VERDICTS: [Verdict; 4] = [Verdict::Inadequate, Verdict::NotChecked, Verdict::Oversized, Verdict::Adequate];

/// How many choices of others have which verdict, the worst first.
pub(super) fn given(circuit: &Circuit) -> String {
    let count = |verdict: Verdict| circuit.given.iter().filter(|given| given.verdict == verdict).count();
    let told = VERDICTS.into_iter().map(|verdict| (count(verdict), verdict.words())).filter(|(count, _)| *count > 0);
    told.map(|(count, words)| format!("{count} {words}")).collect::<Vec<_>>().join(", ")
}

/// Choices of others that are not simply adequate, the worst first.
pub(super) fn given_doubts(circuit: &Circuit, units: Units) -> String {
    let of = |verdict: Verdict| circuit.given.iter().filter(move |given| given.verdict == verdict);
    let one = |given: &Given| {
        format!(
            "{}: {} {}",
            given.verdict.words(),
            given_item(&given.column, units),
            given_value(&given.column, &given.given, units)
        )
    };
    VERDICTS.into_iter().filter(|verdict| *verdict != Verdict::Adequate).flat_map(of).map(one).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::Overload;

    /// Terminals of a panel are chosen by the conductor: that they just take it says nothing while they do (5.26 mm² of 5.26).
    #[test]
    fn what_is_kept_or_not_is_never_closest_to_its_limit() {
        let check = |name: &str, margin_pct: f64| Check {
            name: name.to_owned(),
            passed: Some(margin_pct >= 0.0),
            margin_pct: Some(margin_pct),
            ..Check::default()
        };
        let closest_of = |checks: Vec<Check>| {
            let circuit = Circuit { checks, ..Circuit::default() };
            closest(&circuit, Units::Metric).map(|check| check.name.clone())
        };
        let voltage_drop = || check("running-voltage-drop", 12.0);
        assert_eq!(closest_of(vec![check("terminals", 0.0), voltage_drop()]).as_deref(), Some("running-voltage-drop"));
        assert_eq!(
            closest_of(vec![check("terminals", -60.0), voltage_drop()]).as_deref(),
            Some("terminals"),
            "they don't take it"
        );
        // A coil stands 110 % of its voltage and is never given more; a relay is set up to its ceiling.
        for name in ["coil-voltage", "coil-highest-voltage", "overload-ceiling"] {
            assert_eq!(closest_of(vec![check(name, 0.0), voltage_drop()]).as_deref(), Some("running-voltage-drop"));
            assert_eq!(closest_of(vec![check(name, -1.0), voltage_drop()]).as_deref(), Some(name), "it fails");
        }
    }

    /// Phases and neutral carry current and count; the equipment grounding conductor stands by itself.
    #[rstest::rstest]
    #[case::three_lines(4, None, 1, "3 × 6 AWG")]
    #[case::and_a_neutral(5, Some("6 AWG"), 1, "4 × 6 AWG (3 + N)")]
    #[case::one_line(3, Some("6 AWG"), 1, "2 × 6 AWG (1 + N)")]
    #[case::a_neutral_of_its_own(5, Some("8 AWG"), 1, "3 × 6 AWG + N 8 AWG")]
    #[case::sets_with_such_a_neutral(5, Some("8 AWG"), 2, "2 × (3 × 6 AWG + N 8 AWG)")]
    #[case::six_leads(7, None, 1, "6 × 6 AWG")]
    #[case::two_sets(4, None, 2, "2 × (3 × 6 AWG)")]
    fn conductors_are_counted(#[case] cores: u32, #[case] neutral: Option<&str>, #[case] per_phase: u32, #[case] words: &str) {
        let run = Run {
            cores,
            per_phase,
            phase_size: "6 AWG".to_owned(),
            neutral_size: neutral.map(str::to_owned),
            protective_size: "10 AWG".to_owned(),
            ..Run::default()
        };
        assert_eq!(numbered_conductors(&run), words);
    }

    #[rstest::rstest]
    #[case::a_breaker_alone(&[("protection", 12.0)], CellValue::Number(12.0))]
    #[case::a_drive_behind_a_breaker(&[("drive", 7.9), ("protection", 12.0)], CellValue::Number(7.9))]
    #[case::two_speeds(&[("low", 3.6), ("high", 5.1), ("protection", 5.1)], CellValue::Text("3.6 / 5.1".into()))]
    #[case::two_halves(&[("first", 19.5), ("second", 19.5), ("protection", 39.0)], CellValue::Number(19.5))]
    #[case::none(&[], CellValue::Empty)]
    fn settings_in_the_schedule_are_those_that_guard_the_motor(#[case] relays: &[(&str, f64)], #[case] shown: CellValue<'_>) {
        let overload =
            |(role, setting_a): &(&str, f64)| Overload { role: (*role).to_owned(), setting_a: *setting_a, ..Overload::default() };
        let circuit = Circuit { overloads: relays.iter().map(overload).collect(), ..Circuit::default() };
        assert_eq!(overload_settings(&circuit), shown);
    }
}
