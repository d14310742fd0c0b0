//! Lists side by side: the basis key by key, boards, purchase lists, dials, findings.

use std::collections::{BTreeMap, BTreeSet};

use super::pairs::Pairs;
use super::{BoardChange, BoardChanges, FindingChange, PurchaseChange, SettingChange, Supply};
use crate::design::labels::so_many;
use crate::design::{Board, BoardTransformer, Circuit, ControlSupply, Design, PurchaseLine, PurchaseStatus};
use crate::finding::{Finding, Severity, codes};
use crate::quantity::round_to;
use crate::record::significant;

/// Keys of the basis whose values differ; what only names the project, and how reports look, decides nothing.
pub(super) fn basis(old: &Design, new: &Design) -> Vec<(String, String, String)> {
    let flat = |design: &Design| {
        let mut keys = BTreeMap::new();
        if let Ok(value) = serde_json::to_value(&design.basis) {
            flatten("", &value, &mut keys);
        }
        keys.retain(|key, _| !["project.", "report."].iter().any(|prefix| key.starts_with(prefix)) && !told_elsewhere(key));
        keys
    };
    differences(&flat(old), &flat(new))
}

/// Keys that are told as the rule book and the catalogue that they name.
pub(super) fn told_elsewhere(key: &str) -> bool {
    ["rules.book", "rules.edition", "catalogue.folder"].contains(&key)
}

fn flatten(at: &str, value: &serde_json::Value, keys: &mut BTreeMap<String, String>) {
    let join = |key: &str| if at.is_empty() { key.to_owned() } else { format!("{at}.{key}") };
    match value {
        serde_json::Value::Object(members) => members.iter().for_each(|(key, value)| flatten(&join(key), value, keys)),
        serde_json::Value::Array(values) => {
            let mut seen: BTreeMap<String, usize> = BTreeMap::new();
            for (index, value) in values.iter().enumerate() {
                let name = name_in_list(value).unwrap_or_else(|| index.to_string());
                let count = seen.entry(name.clone()).or_insert(0);
                *count += 1;
                let again = if *count > 1 { format!(" ({count})") } else { String::new() };
                let at = join(&format!("{name}{again}"));
                match decision(value).filter(|_| at.starts_with(DECIDED)) {
                    Some(decision) => drop(keys.insert(at, decision)),
                    None => flatten(&at, value, keys),
                }
            }
        }
        serde_json::Value::Null => {}
        other => {
            keys.insert(at.to_owned(), super::inputs::shown(other));
        }
    }
}

/// The list of decisions, each of which is told in one line, behind all that is designed by.
const DECIDED: &str = "decided.";

/// What was decided, by whom and when, and about which words.
fn decision(value: &serde_json::Value) -> Option<String> {
    let text = |key: &str| value.get(key).and_then(serde_json::Value::as_str).map(str::trim).filter(|text| !text.is_empty());
    let signed = [text("by"), text("date")].into_iter().flatten().collect::<Vec<_>>().join(", ");
    let why =
        [text("why").map(str::to_owned), Some(signed).filter(|signed| !signed.is_empty()).map(|signed| format!("({signed})"))];
    let why = why.into_iter().flatten().collect::<Vec<_>>().join(" ");
    let why = if why.is_empty() { "nothing stated".to_owned() } else { why };
    name_in_list(value).map(|_| text("what").map_or_else(|| why.clone(), |what| format!("{why} about: {what}")))
}

/// Boards and the like are known by their name, decisions by what they settle, whatever their order.
pub(super) fn name_in_list(value: &serde_json::Value) -> Option<String> {
    let text = |key: &str| value.get(key).and_then(serde_json::Value::as_str).map(str::trim).filter(|text| !text.is_empty());
    let of_decision = || Some(format!("{} {}", text("tag").or(text("tags"))?, text("code")?));
    text("name").map(str::to_owned).or_else(of_decision)
}

fn differences(old: &BTreeMap<String, String>, new: &BTreeMap<String, String>) -> Vec<(String, String, String)> {
    let keys: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    let of = |side: &BTreeMap<String, String>, key: &String| side.get(key).cloned().unwrap_or_default();
    let mut found: Vec<_> =
        keys.into_iter().map(|key| (key.clone(), of(old, key), of(new, key))).filter(|(_, one, other)| one != other).collect();
    found.sort_by_key(|(key, _, _)| key.starts_with(DECIDED));
    found
}

fn number(value: f64) -> String {
    if value == 0.0 { String::new() } else { significant(value, 5) }
}

/// A number with at most so many decimals, which is as much as differs to anybody who reads it. A zero has no sign.
fn figure(value: f64, decimals: u32) -> String {
    significant(round_to(value, decimals) + 0.0, 7)
}

/// The figure of what every board has; nothing for zero.
fn few(value: f64, decimals: u32) -> String {
    if round_to(value, decimals) == 0.0 { String::new() } else { figure(value, decimals) }
}

/// Checks of a board and its feeder that failed, each once.
fn failed(board: &Board) -> String {
    let checks = board.checks.iter().filter(|check| check.passed == Some(false)).map(|check| check.name.as_str());
    checks.collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>().join(", ")
}

/// What feeds the coils of a board: the part of each supply, else its kind.
fn supplies(board: &Board) -> String {
    let named = |supply: &ControlSupply| match supply.part.as_str() {
        "" => format!("{} {}", supply.coil_voltage, supply.kind.replace('-', " ")),
        part => part.to_owned(),
    };
    board.control_supplies.iter().map(named).collect::<Vec<_>>().join(", ")
}

/// The values of a board that are compared.
fn of_board(board: &Board) -> Vec<(&'static str, String)> {
    // A zero is told of what may be unknown: no dip and no reserve are not the same as a dip or a reserve that nobody knows.
    let maybe = |value: Option<f64>, decimals: u32| value.map(|value| figure(value, decimals)).unwrap_or_default();
    let feeder = &board.feeder;
    let run = feeder.run.as_ref();
    let incoming = board.incoming.as_ref();
    let transformer = board.transformer.as_ref();
    let protection = |side: fn(&BoardTransformer) -> Option<f64>| transformer.and_then(side);
    let other = board.dips.iter().filter(|dip| !dip.usual).map(|dip| dip.dip_pct).reduce(f64::max);
    let [l1, l2, l3] = board.phase_currents_a.map(|amperes| few(amperes, 1));
    vec![
        ("failed checks", failed(board)),
        ("fed from", board.fed_from.clone().unwrap_or_default()),
        ("voltage, V", number(board.voltage_v)),
        ("connected load, kW", few(board.connected_kw, 1)),
        ("running load, kW", few(board.running_kw, 1)),
        ("running load, kvar", few(board.running_kvar, 1)),
        ("power factor", maybe(board.power_factor, 2)),
        ("running current, A", few(board.running_current_a, 1)),
        ("running current of L1, A", l1),
        ("running current of L2, A", l2),
        ("running current of L3, A", l3),
        ("demand current, A", few(board.demand_current_a, 1)),
        ("rectifiers in what runs, %", few(board.nonlinear_pct, 0)),
        ("largest motor", board.largest_motor_tag.clone()),
        ("feeder: least capacity, A", few(board.feeder_minimum_a, 1)),
        ("feeder: device", feeder.kind.replace('-', " ")),
        ("feeder: protection, A", number(board.feeder_protection_a)),
        ("feeder: part", if feeder.parts.is_empty() { String::new() } else { feeder.part.clone() }),
        ("feeder: protection at most, A", maybe(board.feeder_protection_maximum_a, 1)),
        ("feeder: trip, A", maybe(feeder.magnetic_trip_a, 0)),
        ("feeder: conductor", board.feeder_conductor.clone()),
        ("feeder: length, m", few(run.map_or(0.0, |run| run.length_m), 1)),
        ("feeder: capacity, A", few(run.map_or(0.0, |run| run.capacity_a), 1)),
        ("feeder: voltage drop, %", maybe(board.known_drop_pct(), 2)),
        ("feeder: spare, %", maybe(feeder.spare_pct, 1)),
        ("incoming device", incoming.map(|incoming| incoming.kind.replace('-', " ")).unwrap_or_default()),
        ("incoming device: rating, A", maybe(incoming.and_then(|incoming| incoming.rating_a), 1)),
        ("incoming device: poles", maybe(incoming.and_then(|incoming| incoming.poles).map(f64::from), 0)),
        ("incoming device: part", incoming.map(|incoming| incoming.part.clone()).unwrap_or_default()),
        ("incoming device: trip, A", maybe(incoming.and_then(|incoming| incoming.magnetic_trip_a), 0)),
        ("transformer: demand, kVA", few(transformer.map_or(0.0, |transformer| transformer.demand_kva), 1)),
        ("transformer: loading, %", maybe(transformer.and_then(|transformer| transformer.loading_pct), 1)),
        ("transformer: primary protection, A", maybe(protection(|transformer| transformer.primary_protection_a), 1)),
        ("transformer: secondary protection, A", maybe(protection(|transformer| transformer.secondary_protection_a), 1)),
        ("largest fault current, kA", maybe(board.prospective_fault_ka, 2)),
        ("fault current to earth, kA", maybe(board.earth_fault_ka, 2)),
        ("smallest fault current, kA", maybe(board.prospective_fault_min_ka, 2)),
        ("peak, kA", maybe(board.peak_ka, 1)),
        ("voltage while all runs, %", maybe(board.voltage_running_pct, 1)),
        ("largest start", board.largest_start_tag.clone()),
        ("dip at start, %", maybe(board.start_dip_pct, 1)),
        ("dip at start behind another feed, %", maybe(other, 1)),
        ("control supply", supplies(board)),
        ("control supplies, VA", number(board.control_supply_va)),
        ("heat, W", few(board.power_loss_w, 0)),
        ("air above the room, K", maybe(board.temperature_rise_k, 1)),
        ("width of mounting rails, mm", few(board.width_mm, 0)),
    ]
}

/// Boards whose values differ, those of the new side first.
pub(super) fn boards(old: &Design, new: &Design) -> Vec<BoardChanges> {
    let ways = |side: &Design| {
        let mut count: BTreeMap<String, usize> = BTreeMap::new();
        side.circuits.iter().for_each(|circuit| *count.entry(circuit.board.clone()).or_insert(0) += 1);
        count
    };
    let by_name =
        |side: &Design| side.boards.iter().map(|board| (board.name.clone(), of_board(board))).collect::<BTreeMap<_, _>>();
    let (ways_before, ways_now, before, now) = (ways(old), ways(new), by_name(old), by_name(new));
    let nothing = of_board(&Board::default());
    let mut seen = BTreeSet::new();
    let names = new.boards.iter().chain(&old.boards).map(|board| &board.name).filter(|name| seen.insert(*name));
    let found = names.map(|name| {
        let rows = |count: &BTreeMap<String, usize>| count.get(name).copied().unwrap_or(0).to_string();
        let told = |side: &BTreeMap<String, Vec<(&'static str, String)>>| side.get(name).unwrap_or(&nothing).clone();
        let pairs = told(&before).into_iter().zip(told(&now)).map(|((what, old), (_, new))| (what, old, new));
        let all = std::iter::once(("rows of the schedule", rows(&ways_before), rows(&ways_now))).chain(pairs);
        let changes =
            all.filter(|(_, old, new)| old != new).map(|(what, old, new)| BoardChange { what: what.to_owned(), old, new });
        BoardChanges { name: name.clone(), changes: changes.collect() }
    });
    found.filter(|board_changes| !board_changes.changes.is_empty()).collect()
}

/// Takes out figures that differ by no more than the rounding of quantities in another unit.
pub(super) fn but_for_rounding(boards: &mut Vec<BoardChanges>) {
    let figure = |text: &str| text.parse::<f64>().ok();
    // What is printed with few digits moves by one of the last.
    let digit = |text: &str| -> f64 {
        let decimals = text.split_once('.').map_or("", |(_, decimals)| decimals);
        decimals.chars().fold(1.0, |digit, _| digit / 10.0)
    };
    // Counts bear no unit, and no rounding makes another of them.
    let is_measured = |change: &&BoardChange| change.what.contains(", ");
    let near = |change: &BoardChange| {
        let figures = Some(change).filter(is_measured).and_then(|change| figure(&change.old).zip(figure(&change.new)));
        let least = digit(&change.old).max(digit(&change.new)) * 1.001;
        figures.is_some_and(|(old, new)| (old - new).abs() <= least.max(super::ROUNDING * old.abs().max(new.abs())))
    };
    boards.iter_mut().for_each(|board| board.changes.retain(|change| !near(change)));
    boards.retain(|board| !board.changes.is_empty());
}

/// Parts to buy whose quantity differs: those of the new list in its order, then those that are gone. What others supply is not bought.
pub(super) fn purchase(old: &[PurchaseLine], new: &[PurchaseLine]) -> Vec<PurchaseChange> {
    let key = |line: &PurchaseLine| if line.part.is_empty() { line.description.clone() } else { line.part.clone() };
    let bought = |list: &[PurchaseLine]| -> Vec<PurchaseLine> {
        list.iter().filter(|line| line.status != PurchaseStatus::ByOthers).cloned().collect()
    };
    let by_others = |list: &[PurchaseLine]| -> BTreeSet<String> {
        list.iter().filter(|line| line.status == PurchaseStatus::ByOthers).map(key).collect()
    };
    let (others_before, others_now) = (by_others(old), by_others(new));
    let (old, new) = (bought(old), bought(new));
    let mut before: BTreeMap<String, f64> = BTreeMap::new();
    for line in &old {
        *before.entry(key(line)).or_insert(0.0) += line.quantity;
    }
    let mut now: BTreeMap<String, f64> = BTreeMap::new();
    let mut held: BTreeMap<String, f64> = BTreeMap::new();
    for line in &new {
        *now.entry(key(line)).or_insert(0.0) += line.quantity;
        *held.entry(key(line)).or_insert(0.0) += line.held_quantity;
    }
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for line in new.iter().chain(&old) {
        if !seen.insert(key(line)) {
            continue;
        }
        let of = |side: &BTreeMap<String, f64>| round_to(side.get(&key(line)).copied().unwrap_or(0.0), 3);
        let (one, other) = (of(&before), of(&now));
        if (one - other).abs() < 1e-6 {
            continue;
        }
        let action = match (one > 0.0, other > 0.0) {
            (false, _) => "add",
            (_, false) => "cancel",
            _ if other > one => "more",
            _ => "less",
        };
        found.push(PurchaseChange {
            part: line.part.clone(),
            description: line.description.clone(),
            unit: line.unit.clone(),
            old_quantity: one,
            new_quantity: other,
            held_quantity: round_to(held.get(&key(line)).copied().unwrap_or(0.0), 3),
            action: action.to_owned(),
            supply: match action {
                "add" if others_before.contains(&key(line)) => Some(Supply::FromOthers),
                "cancel" if others_now.contains(&key(line)) => Some(Supply::ToOthers),
                _ => None,
            },
            price_difference: line.unit_price.map(|price| round_to(price * (other - one), 2)),
            currency: line.currency.clone(),
        });
    }
    found
}

/// The dials of a circuit with their values.
fn dials(circuit: &Circuit) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut put = |what: String, value: String| {
        if !value.is_empty() {
            found.push((what, value));
        }
    };
    for relay in &circuit.overloads {
        let role = if relay.role.is_empty() { &relay.position } else { &relay.role };
        let setting = relay.dial_a.unwrap_or(relay.setting_a);
        put(format!("overload protection, {role}: current"), format!("{}{} A", so_many(relay.count), number(setting)));
        put(format!("overload protection, {role}: class"), relay.trip_class.clone());
    }
    if let Some(device) = &circuit.protection {
        // The release that protects the motor stands above.
        let setting = circuit.release_setting().map(|setting_a| format!("{} A", number(setting_a))).unwrap_or_default();
        put("short-circuit protection: overload release".to_owned(), setting);
        let turned = device.magnetic_trip_a.filter(|_| !is_fixed(device.magnetic_range_a, &device.kind));
        let trip = turned.map(|magnetic_trip_a| format!("{} A", number(magnetic_trip_a))).unwrap_or_default();
        put("short-circuit protection: magnetic trip".to_owned(), trip);
    }
    for device in &circuit.starter_devices {
        let kind = device.kind.replace('-', " ");
        let limit =
            device.current_limit.map(|current_limit| format!("{} × rated current", number(current_limit))).unwrap_or_default();
        put(format!("{kind}: current limit"), limit);
        put(format!("{kind}: tap"), device.tap_pct.map(|tap_pct| format!("{} %", number(tap_pct))).unwrap_or_default());
    }
    for part in circuit.accessories.iter().filter(|part| !part.setting.is_empty()) {
        put(format!("{}, {}", part.kind.replace('-', " "), part.serves), part.setting.clone());
    }
    found
}

/// Whether nobody turns a release: both ends of its range are alike, or its kind of device has no dial for it.
fn is_fixed(range: Option<[f64; 2]>, kind: &str) -> bool {
    let alike = range.is_some_and(|[low, high]| (high - low).abs() < 1e-9);
    alike || matches!(kind, "motor-breaker" | "circuit-breaker")
}

/// A setting that somebody turns.
fn turned(set: Option<f64>, range: Option<[f64; 2]>) -> Option<f64> {
    set.filter(|_| !is_fixed(range, ""))
}

/// What is set on the breakers of a board, with its value. A feeder that others bring is theirs to set.
fn dials_of_board(board: &Board) -> Vec<(String, String)> {
    let feeder = Some(&board.feeder).filter(|feeder| !feeder.parts.is_empty());
    let incoming = board.incoming.as_ref();
    let set = [
        ("feeder: overload release", feeder.and_then(|feeder| turned(feeder.setting_a, feeder.setting_range_a))),
        ("feeder: magnetic trip", feeder.and_then(|feeder| turned(feeder.magnetic_trip_a, feeder.magnetic_range_a))),
        ("incoming device: overload release", incoming.and_then(|incoming| turned(incoming.setting_a, incoming.setting_range_a))),
        (
            "incoming device: magnetic trip",
            incoming.and_then(|incoming| turned(incoming.magnetic_trip_a, incoming.magnetic_range_a)),
        ),
    ];
    set.into_iter().filter_map(|(what, set)| Some((what.to_owned(), format!("{} A", number(set?))))).collect()
}

/// Dials that are set otherwise: of paired rows, then of boards of the same name.
pub(super) fn settings(old: &Design, new: &Design, pairs: &Pairs) -> Vec<SettingChange> {
    let mut found = Vec::new();
    for (one, other) in &pairs.same {
        let (before, after) = (&old.circuits[*one], &new.circuits[*other]);
        found.extend(set_otherwise(&after.tag, &dials(before), &dials(after)));
    }
    for board in &new.boards {
        let Some(before) = old.boards.iter().find(|before| before.name == board.name) else { continue };
        found.extend(set_otherwise(&board.name, &dials_of_board(before), &dials_of_board(board)));
    }
    found
}

/// Dials of one circuit or board that differ between two sides.
fn set_otherwise(tag: &str, before: &[(String, String)], after: &[(String, String)]) -> Vec<SettingChange> {
    let of = |side: &[(String, String)], what: &str| side.iter().find(|(name, _)| name == what).map(|(_, value)| value.clone());
    let gone = before.iter().filter(|(what, _)| of(after, what).is_none());
    let all = after.iter().chain(gone).map(|(what, _)| SettingChange {
        tag: tag.to_owned(),
        what: what.clone(),
        old: of(before, what).unwrap_or_default(),
        new: of(after, what).unwrap_or_default(),
    });
    all.filter(|change| change.old != change.new).collect()
}

/// Findings that went and came, of rows that are on both sides, of boards and of the design. One that only reads otherwise, with
/// another number, is the same.
pub(super) fn findings(old: &Design, new: &Design, pairs: &Pairs) -> (Vec<FindingChange>, Vec<FindingChange>) {
    let (mut before, mut after) = (above(old), above(new));
    for (one, other) in &pairs.same {
        let tag = &new.circuits[*other].tag;
        before.extend(of_design(&old.circuits[*one].findings).map(|finding| told(tag, finding)));
        after.extend(of_design(&new.circuits[*other].findings).map(|finding| told(tag, finding)));
    }
    unpaired(&before, &after)
}

/// Findings of the design and its boards.
fn above(side: &Design) -> Vec<FindingChange> {
    let of_boards = side.boards.iter().flat_map(|board| of_design(&board.findings).map(|finding| told(&board.name, finding)));
    of_design(&side.findings).map(|finding| told("", finding)).chain(of_boards).collect()
}

/// Findings but the reader's notes: those tell how a file is laid out, which is no difference of what it says.
fn of_design(all: &[Finding]) -> impl Iterator<Item = &Finding> {
    all.iter().filter(|finding| finding.severity != Severity::Note || !finding.code.starts_with('I'))
}

fn told(tag: &str, finding: &Finding) -> FindingChange {
    let severity = match finding.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    };
    FindingChange {
        tag: tag.to_owned(),
        code: finding.code.to_string(),
        severity: severity.to_owned(),
        what: finding.what.clone(),
    }
}

/// What went and what came: findings of two lists without a partner of the same row and code on the other. Those that read alike are
/// partners first, then those that read alike but for their figures, at last any of the same code and subject.
fn unpaired(before: &[FindingChange], after: &[FindingChange]) -> (Vec<FindingChange>, Vec<FindingChange>) {
    let (mut gone, mut come): (Vec<&FindingChange>, Vec<&FindingChange>) = (before.iter().collect(), after.iter().collect());
    let likeness: [fn(&FindingChange) -> String; 3] =
        [|change| change.what.clone(), |change| without_figures(&change.what), subject];
    for words in likeness {
        (gone, come) = (without_partner(&gone, &come, words), without_partner(&come, &gone, words));
    }
    let owned = |of: Vec<&FindingChange>| of.into_iter().cloned().collect();
    (owned(gone), owned(come))
}

/// Those for which the other list has no partner of the same row, code and words.
fn without_partner<'c>(
    of: &[&'c FindingChange],
    other: &[&'c FindingChange],
    words: fn(&FindingChange) -> String,
) -> Vec<&'c FindingChange> {
    let key = |change: &'c FindingChange| (change.tag.as_str(), change.code.as_str(), words(change));
    let mut count: BTreeMap<(&str, &str, String), usize> = BTreeMap::new();
    other.iter().for_each(|change| *count.entry(key(change)).or_insert(0) += 1);
    let mut has_none = |change: &'c FindingChange| match count.get_mut(&key(change)) {
        Some(partners) if *partners > 0 => {
            *partners -= 1;
            false
        }
        _ => true,
    };
    of.iter().copied().filter(|change| has_none(change)).collect()
}

/// What a finding is about, but for figures: the words before its first colon, and of a failed check all before its result. Those of a code
/// without a colon are about the same.
fn subject(change: &FindingChange) -> String {
    let checks = [codes::C101_CHECK_FAILED.code, codes::B304_FEEDER_CHECK.code];
    let (check, what) = (checks.contains(&change.code.as_str()), change.what.as_str());
    let parts = if check { what.rsplit_once(": ") } else { what.split_once(": ") };
    parts.map(|(about, _)| without_figures(about)).unwrap_or_default()
}

/// Words in which every figure stands as the same mark.
fn without_figures(what: &str) -> String {
    let figure =
        |word: &str| if word.contains(|letter: char| letter.is_ascii_digit()) { "#".to_owned() } else { word.to_owned() };
    what.split(' ').map(figure).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::BoardFeeder;

    fn finding(what: &str) -> FindingChange {
        FindingChange { tag: "MCC".to_owned(), code: "B321".to_owned(), what: what.to_owned(), ..FindingChange::default() }
    }

    /// The finding that stays is the one that reads the same, whatever stood before it.
    #[rstest::rstest]
    #[case::first_stays(&["device above the bus", "demand above the bus"], &["device above the bus"], &["demand above the bus"])]
    #[case::second_stays(&["device above the bus", "demand above the bus"], &["demand above the bus"], &["device above the bus"])]
    #[case::another_figure(&["device 400 A above the bus", "demand 390 A above the bus"], &["demand 380 A above the bus"], &["device 400 A above the bus"])]
    #[case::another_wording(&["device above the bus"], &["bus below the device"], &[])]
    fn of_two_findings_of_one_code_the_right_one_is_gone(#[case] before: &[&str], #[case] after: &[&str], #[case] gone: &[&str]) {
        let list = |of: &[&str]| of.iter().map(|what| finding(what)).collect::<Vec<_>>();
        assert_eq!(unpaired(&list(before), &list(after)), (list(gone), Vec::new()));
        assert_eq!(unpaired(&list(after), &list(before)), (Vec::new(), list(gone)));
    }

    /// Two checks of one board are two findings: an overloaded transformer that went is no partner of an overloaded bus that came.
    #[test]
    fn a_check_that_failed_is_no_partner_of_another_check() {
        let check = |what: &str| FindingChange { code: "B304".to_owned(), ..finding(what) };
        let transformer = check("transformer loading (transformer of the supply): 123.8 % instead of at most 100 %");
        let demand = check("feeder of board M1: bus rating (demand of the board): 28.6 A instead of at most 20 A");
        let device = check("feeder of board M1: bus rating (device of the feeder): 32 A instead of at most 20 A");
        let (before, after) = ([transformer.clone()], [demand.clone(), device.clone()]);
        assert_eq!(unpaired(&before, &after), (vec![transformer], vec![demand.clone(), device]));
        let larger = check("feeder of board M1: bus rating (demand of the board): 40 A, more than the 20 A of the bus");
        assert_eq!(unpaired(&[demand], &[larger]), (Vec::new(), Vec::new()));
    }

    /// What others supply is not bought: it neither comes nor goes, and what goes over to them is no longer to be bought.
    #[test]
    fn what_others_supply_is_bought_by_nobody() {
        let line = |part: &str, status| PurchaseLine { part: part.to_owned(), quantity: 2.0, status, ..PurchaseLine::default() };
        let (ours, others) = (PurchaseStatus::Firm, PurchaseStatus::ByOthers);
        let told = |old: &[PurchaseLine], new: &[PurchaseLine]| {
            purchase(old, new).into_iter().map(|change| (change.part, change.action, change.supply)).collect::<Vec<_>>()
        };
        assert_eq!(told(&[], &[line("starter", others)]), []);
        assert_eq!(
            told(&[line("relay", ours), line("fuse", others)], &[line("relay", others), line("fuse", ours)]),
            [
                ("fuse".to_owned(), "add".to_owned(), Some(Supply::FromOthers)),
                ("relay".to_owned(), "cancel".to_owned(), Some(Supply::ToOthers)),
            ]
        );
    }

    /// A feeder's breaker of the same rating that breaks more is another part, and what may stand before a transformer is told.
    #[test]
    fn another_part_of_a_feeder_and_the_protection_of_a_transformer_are_told() {
        let of = |part: &str, primary_a: f64| {
            let parts = vec![crate::design::Part::pieces(part, "", 1.0)];
            let feeder = BoardFeeder { part: part.to_owned(), parts, ..BoardFeeder::default() };
            let transformer = BoardTransformer { primary_protection_a: Some(primary_a), ..BoardTransformer::default() };
            let board = Board { name: "MCC".to_owned(), feeder, transformer: Some(transformer), ..Board::default() };
            Design { boards: vec![board], ..Design::default() }
        };
        let changes = boards(&of("BREAKER-36", 400.0), &of("BREAKER-70", 500.0)).into_iter().flat_map(|board| board.changes);
        let told: Vec<[String; 3]> = changes.map(|change| [change.what, change.old, change.new]).collect();
        let expected = [["feeder: part", "BREAKER-36", "BREAKER-70"], ["transformer: primary protection, A", "400", "500"]];
        assert_eq!(told, expected.map(|line| line.map(str::to_owned)));
    }

    /// Nothing to spare and nobody knows are two answers.
    #[test]
    fn zero_is_another_value_than_unknown() {
        let of = |spare_pct: Option<f64>| {
            let feeder = BoardFeeder { spare_pct, ..BoardFeeder::default() };
            Design { boards: vec![Board { name: "MCC".to_owned(), feeder, ..Board::default() }], ..Design::default() }
        };
        let told = |old, new| {
            let changes = boards(&of(old), &of(new)).into_iter().flat_map(|board| board.changes);
            changes.map(|change| [change.what, change.old, change.new]).collect::<Vec<_>>()
        };
        assert_eq!(told(None, Some(0.0)), [["feeder: spare, %", "", "0"].map(str::to_owned)]);
        assert_eq!(told(Some(0.0), None), [["feeder: spare, %", "0", ""].map(str::to_owned)]);
        assert_eq!(told(Some(0.0), Some(0.0)), Vec::<[String; 3]>::new());
    }
}
