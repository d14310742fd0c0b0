//! Two revisions side by side: against lists of the true changes that were written down with the schedules, and by properties that any
//! comparison must have.

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use common::{PLAIN, folder_with, opened, opened_text, root, run_in};
use motorwright::compare::{self, Changes};
use motorwright::design::Design;
use motorwright::project::{self, Inputs};
use rstest::rstest;
use serde_json::{Value, json};

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nprospective_fault_ka = 25\n\
                   prospective_fault_min_ka = 12\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
                   system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 25\nprospective_fault_min_ka = 12\n";

fn between(old: &Inputs, new: &Inputs) -> Changes {
    compare::compare(&old.design(), &new.design(), &[], Some(new)).expect("no tag is fixed")
}

/// A change in the words of the lists, which are those of the example schedules' expectations.
fn neutral(field: &str, value: &Value) -> (String, Value) {
    let number = |factor: f64| value.as_f64().map_or(Value::Null, |number| json!((number * factor * 1e6).round() / 1e6));
    let word = |value: &Value| match value.as_str() {
        Some("direct") => json!("dol"),
        Some("drive") => json!("vfd"),
        _ => value.clone(),
    };
    match field {
        "efficiency_pct" => ("efficiency".to_owned(), number(0.01)),
        "cable_length_ft" => ("cable_length_m".to_owned(), number(0.3048)),
        "minimum_circuit_ampacity_a" => ("mca_a".to_owned(), number(1.0)),
        "maximum_protection_a" => ("mocp_a".to_owned(), number(1.0)),
        "installation_method" => ("install_method".to_owned(), value.clone()),
        "interlock_note" => ("interlock".to_owned(), value.clone()),
        "feedback_note" => ("plc_feedback".to_owned(), value.clone()),
        "tag" => ("expanded_tags".to_owned(), value.clone()),
        "starting_method" => ("starting_method".to_owned(), word(value)),
        _ => (field.to_owned(), if value.is_number() { number(1.0) } else { value.clone() }),
    }
}

type Row = (String, String, BTreeMap<String, (String, String)>);

fn shown(value: &Value) -> String {
    value.as_f64().map_or_else(|| value.to_string(), |number| format!("{number:.6}"))
}

/// A row that nobody changed: electronics came into the panel of its board with another row, or left it.
fn follows_others(change: &compare::Changed) -> bool {
    let suppressor =
        |consequence: &compare::Consequence| consequence.path.contains("accessories") && consequence.because == ["other rows"];
    change.fields.is_empty() && !change.consequences.is_empty() && change.consequences.iter().all(suppressor)
}

/// Kind, tags and fields of every change.
fn told(changes: &Changes) -> BTreeSet<Row> {
    let fields = |tag: &str| -> BTreeMap<String, (String, String)> {
        let change = changes.changed.iter().find(|change| change.tag == tag);
        change
            .map(|change| &change.fields)
            .into_iter()
            .flatten()
            .map(|change| {
                let ((name, old), (_, new)) = (neutral(&change.field, &change.old), neutral(&change.field, &change.new));
                (name, (shown(&old), shown(&new)))
            })
            .collect()
    };
    let mut rows = BTreeSet::new();
    rows.extend(changes.added.iter().map(|tagged| ("added".to_owned(), tagged.tag.clone(), BTreeMap::new())));
    rows.extend(changes.removed.iter().map(|tagged| ("removed".to_owned(), tagged.tag.clone(), BTreeMap::new())));
    for renamed in &changes.renamed {
        rows.insert((format!("renamed {}", renamed.old_tag), renamed.tag.clone(), fields(&renamed.tag)));
    }
    let renamed = |tag: &str| changes.renamed.iter().any(|renamed| renamed.tag == tag);
    for change in changes.changed.iter().filter(|change| !renamed(&change.tag) && !follows_others(change)) {
        rows.insert(("changed".to_owned(), change.tag.clone(), fields(&change.tag)));
    }
    rows
}

fn expected(list: &Value) -> BTreeSet<Row> {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let rows = list["changes"].as_array().expect("a list").iter().map(|value| {
        let fields = value["fields"].as_object().into_iter().flatten();
        let fields = fields.map(|(name, pair)| (name.clone(), (shown(&pair[0]), shown(&pair[1])))).collect();
        let kind = text(&value["change"]);
        (if kind == "renamed" { format!("renamed {}", text(&value["old_tag"])) } else { kind }, text(&value["tag"]), fields)
    });
    rows.collect()
}

#[rstest]
#[case::water_works("water-works-rev-a.xlsx", "water-works-rev-b.xlsx", "water-works-changes-a-to-b.json", IEC)]
#[case::water_works_bare("water-works-rev-a-flat.csv", "water-works-rev-b-flat.csv", "water-works-changes-a-to-b.json", IEC)]
#[case::water_works_both("water-works-rev-a.xlsx", "water-works-rev-b-flat.csv", "water-works-changes-a-to-b.json", IEC)]
#[case::hospital("hospital-hvac-rev-1.xlsx", "hospital-hvac-rev-2.xlsx", "hospital-hvac-changes-1-to-2.json", NEC)]
#[case::hospital_bare("hospital-hvac-rev-1-flat.csv", "hospital-hvac-rev-2-flat.csv", "hospital-hvac-changes-1-to-2.json", NEC)]
fn the_true_changes_and_nothing_else(#[case] old: &str, #[case] new: &str, #[case] list: &str, #[case] basis: &str) {
    let at = |name: &str| root().join("tests/intake").join(name);
    let list: Value = serde_json::from_slice(&std::fs::read(at(list)).expect("the list")).expect("JSON");
    let changes = between(&opened(&at(old), basis), &opened(&at(new), basis));
    let (told, expected) = (told(&changes), expected(&list));
    let missing: Vec<_> = expected.difference(&told).collect();
    let wrong: Vec<_> = told.difference(&expected).collect();
    assert!(missing.is_empty() && wrong.is_empty(), "missing {missing:#?}\nwrong {wrong:#?}");
    let followers = changes.changed.iter().filter(|change| follows_others(change)).count();
    assert_eq!(json!(changes.unchanged + followers), list["unchanged"]);
}

#[test]
fn the_senders_own_marks_agree_with_the_true_changes() {
    let at = |name: &str| root().join("tests/intake").join(name);
    let changes = between(&opened(&at("water-works-rev-a.xlsx"), IEC), &opened(&at("water-works-rev-b.xlsx"), IEC));
    assert!(changes.revision_marks.is_empty(), "{:?}", changes.revision_marks);
}

#[test]
fn a_row_that_changes_unmarked_and_one_that_is_marked_unchanged_are_said() {
    let head = "tag,rated_power_kw,starting_method,cable_length_m,row_revision\n";
    let old = opened_text(&format!("{head}A-1,4,direct,20,\nB-2,5.5,direct,20,A\nC-3,7.5,direct,20,\nD-4,11,direct,20,\n"), IEC);
    let new =
        opened_text(&format!("{head}A-1,4,direct,30,\nB-2,5.5,direct,20,A\nC-3,7.5,direct,20,B\nD-4,15,direct,20,B\n"), IEC);
    let marks: Vec<_> =
        between(&old, &new).revision_marks.into_iter().map(|mark_remark| (mark_remark.tag, mark_remark.what)).collect();
    let said = |tag: &str, what: &str| (tag.to_owned(), what.to_owned());
    assert_eq!(marks, [said("A-1", "changed, not marked"), said("C-3", "marked, not changed")]);
}

#[rstest]
#[case("water-works-rev-a-flat.csv", IEC)]
#[case("hospital-hvac-rev-2-flat.csv", NEC)]
fn a_schedule_against_itself_has_no_differences(#[case] name: &str, #[case] basis: &str) {
    let inputs = opened(&root().join("tests/intake").join(name), basis);
    let changes = between(&inputs, &inputs);
    assert!(changes.is_empty() && changes.said_otherwise.is_empty(), "{changes:?}");
    assert_eq!(changes.unchanged, inputs.intake().loads.len());
}

/// Everything that a mirrored comparison tells the other way round.
fn mirrored(changes: &Changes) -> Value {
    let tags = |list: &[compare::Tagged]| list.iter().map(|tagged| tagged.tag.clone()).collect::<BTreeSet<_>>();
    let renamed: BTreeSet<_> = changes.renamed.iter().map(|renamed| (renamed.tag.clone(), renamed.old_tag.clone())).collect();
    let now = |tag: &str| {
        changes
            .renamed
            .iter()
            .find(|renamed| renamed.tag == tag)
            .map_or_else(|| tag.to_owned(), |renamed| renamed.old_tag.clone())
    };
    let fields: BTreeSet<_> = changes
        .changed
        .iter()
        .flat_map(|row| {
            row.fields.iter().map(|change| (now(&row.tag), change.field.clone(), shown(&change.new), shown(&change.old)))
        })
        .collect();
    let paths: BTreeSet<_> = changes
        .changed
        .iter()
        .flat_map(|row| {
            row.consequences
                .iter()
                .map(|consequence| (now(&row.tag), consequence.path.clone(), consequence.new.clone(), consequence.old.clone()))
        })
        .collect();
    let bought: BTreeSet<_> = changes
        .purchase
        .iter()
        .map(|change| {
            (change.part.clone(), change.description.clone(), change.new_quantity.to_string(), change.old_quantity.to_string())
        })
        .collect();
    json!([tags(&changes.removed), tags(&changes.added), renamed, fields, paths, bought])
}

fn as_told(changes: &Changes) -> Value {
    let mut other = changes.clone();
    std::mem::swap(&mut other.added, &mut other.removed);
    for renamed in &mut other.renamed {
        std::mem::swap(&mut renamed.tag, &mut renamed.old_tag);
    }
    for row in &mut other.changed {
        // Under its old tag, which the mirrored side calls the new one.
        if let Some(renamed) = changes.renamed.iter().find(|renamed| renamed.tag == row.tag) {
            row.tag.clone_from(&renamed.old_tag);
        }
        row.fields.iter_mut().for_each(|change| std::mem::swap(&mut change.old, &mut change.new));
        row.consequences.iter_mut().for_each(|consequence| std::mem::swap(&mut consequence.old, &mut consequence.new));
    }
    other.purchase.iter_mut().for_each(|change| std::mem::swap(&mut change.old_quantity, &mut change.new_quantity));
    mirrored(&other)
}

#[rstest]
#[case("water-works-rev-a-flat.csv", "water-works-rev-b-flat.csv", IEC)]
#[case("hospital-hvac-rev-1-flat.csv", "hospital-hvac-rev-2-flat.csv", NEC)]
fn mirrored_sides_tell_the_mirrored_changes(#[case] old: &str, #[case] new: &str, #[case] basis: &str) {
    let at = |name: &str| opened(&root().join("tests/intake").join(name), basis);
    let (old, new) = (at(old), at(new));
    assert_eq!(mirrored(&between(&new, &old)), as_told(&between(&old, &new)));
}

fn text_of(cells: &[Vec<String>]) -> String {
    cells.iter().map(|row| row.join(",") + "\n").collect()
}

/// A dice of its own, the same in every run.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % sides
    }

    fn shuffle<T>(&mut self, list: &mut [T]) {
        for index in (1..list.len()).rev() {
            list.swap(index, self.throw(index + 1));
        }
    }
}

const HEAD: &str =
    "tag,description,board,rated_power_kw,full_load_current_a,starting_method,starts_per_hour,cable_length_m,installation_method";

fn pumps(count: usize) -> Vec<Vec<String>> {
    let mut rows = vec![HEAD.split(',').map(str::to_owned).collect::<Vec<_>>()];
    let sizes = [("1.5", "3.4"), ("4", "8.1"), ("7.5", "14.7"), ("15", "28"), ("30", "54")];
    let services = ["Raw water pump", "Sludge pump", "Fan", "Conveyor", "Dosing pump", "Compressor"];
    for row in 0..count {
        let (power, current) = sizes[row % 5];
        let method = ["direct", "drive", "soft-starter", "star-delta"][row % 4];
        let cells = [
            format!("P-{}", 100 + row),
            format!("{} {row}", services[row % 6]),
            format!("MCC-{}", 1 + row % 3),
            power.to_owned(),
            current.to_owned(),
            method.to_owned(),
            "6".to_owned(),
            (20 + row).to_string(),
            "E".to_owned(),
        ];
        rows.push(cells.to_vec());
    }
    rows
}

#[test]
fn the_order_of_rows_and_columns_spelling_and_units_change_nothing() {
    let plain = pumps(24);
    let mut dice = Dice(7);
    let mut other = plain.clone();
    // Kilowatts as horsepower (745.7 W), metres as feet (0.3048 m), other case and blanks.
    other[0][3] = "rated_power_hp".to_owned();
    other[0][7] = "cable_length_ft".to_owned();
    for row in &mut other[1..] {
        row[3] = format!("{:.4}", row[3].parse::<f64>().expect("a number") / 0.7457);
        row[7] = format!("{:.3}", row[7].parse::<f64>().expect("a number") / 0.3048);
        row[1] = row[1].to_uppercase();
        row[4] = format!("{}0", if row[4].contains('.') { row[4].clone() } else { format!("{}.", row[4]) });
    }
    let mut columns: Vec<usize> = (0..other[0].len()).collect();
    dice.shuffle(&mut columns);
    let mut other: Vec<Vec<String>> =
        other.into_iter().map(|row| columns.iter().map(|column| row[*column].clone()).collect()).collect();
    dice.shuffle(&mut other[1..]);
    let changes = between(&opened_text(&text_of(&plain), IEC), &opened_text(&text_of(&other), IEC));
    assert_eq!((changes.rows - changes.unchanged, changes.unchanged), (0, 24), "{:#?}", changes.changed);
    // Both units and the capitals, for each row.
    assert_eq!(changes.said_otherwise.len(), 72, "{:?}", changes.said_otherwise);
}

/// Standard outputs that are sold as one motor: 20 hp is 14.914 kW, 0.6 % less than 15 kW, from which nothing follows; 5 hp is 3.73 kW,
/// 6.8 % less than 4 kW, and 125 hp is 93.2 kW, 3.5 % more than 90 kW: known for the same motor under another tag, but told as a change,
/// because currents and settings follow.
#[rstest]
#[case::one_output("15", "20", true, true)]
#[case::few_digits("22", "29.5", true, true)]
#[case::sold_as_one("4", "5", true, false)]
#[case::rounding("90", "125", true, false)]
#[case::the_next_output("3", "5", false, false)]
fn a_standard_output_in_the_other_unit_is_the_same_power(
    #[case] kilowatts: &str,
    #[case] hp: &str,
    #[case] same: bool,
    #[case] nothing_follows: bool,
) {
    let rows = |tag: &str, unit: &str, power: &str| {
        opened_text(
            &format!("tag,description,rated_power_{unit},starting_method,cable_length_m\n{tag},Sump pump,{power},direct,20\n"),
            IEC,
        )
    };
    let changes = between(&rows("P-1", "kw", kilowatts), &rows("P-1", "hp", hp));
    let stated: Vec<&str> =
        changes.changed.iter().flat_map(|change| &change.fields).map(|change| change.field.as_str()).collect();
    assert_eq!(stated, if nothing_follows { vec![] } else { vec!["rated_power_hp"] }, "{:?}", changes.changed);
    assert_eq!(changes.said_otherwise.len(), usize::from(nothing_follows), "{:?}", changes.said_otherwise);
    assert_eq!(changes.is_empty(), nothing_follows, "{changes:?}");
    // Under another tag the row is recognised by its power too; without it too little is alike.
    let changes = between(&rows("P-1", "kw", kilowatts), &rows("Q-7", "hp", hp));
    let by_power: Vec<bool> = changes.renamed.iter().map(|renamed| renamed.why.contains("power")).collect();
    assert_eq!(by_power, if same { vec![true] } else { vec![] }, "{:?} {:?}", changes.renamed, changes.added);
}

/// A heater of 6 kW draws 6000 / (sqrt(3) x 400) A = 8.660 A, one of 8.05 hp (745.7 W) 8.664 A: the same but for the unit's rounding.
#[test]
fn digits_that_follow_the_rounding_of_another_unit_are_no_change() {
    let rows = |head: &str, cell: &str| {
        opened_text(&format!("tag,load_kind,{head},starting_method,cable_length_m\nH-1,heater,{cell},contactor,20\n"), IEC)
    };
    let changes = between(&rows("rated_power_kw", "6"), &rows("rated_power_hp", "8.05"));
    assert_eq!((changes.unchanged, &changes.changed[..], changes.said_otherwise.len()), (1, &[][..], 1), "{:?}", changes.changed);
    // A standard output in the other unit may be 3 % off, of which another current follows: it is told, with its cause.
    let changes = between(&rows("rated_power_kw", "6"), &rows("rated_power_hp", "8.2"));
    let of = consequences(&changes, "H-1");
    assert_eq!(of["currents.full_load_a"].2, ["rated_power_hp"]);
}

#[test]
fn what_follows_from_an_unreadable_cell_is_not_laid_to_other_rows() {
    let rows = |power: &str| {
        let head = "tag,rated_power_kw,full_load_current_a,starting_method,cable_length_m";
        opened_text(&format!("{head}\nP-1,{power},28,direct,20\nP-2,4,8.1,direct,20\n"), IEC)
    };
    let changes = between(&rows("15"), &rows("l5"));
    let of = consequences(&changes, "P-1");
    assert_eq!((of["status"].1, &of["status"].2[..]), ("not sized", &["rated_power_kw"][..]));
    assert!(of.values().all(|change| !change.2.contains(&"other rows")), "{of:?}");
}

#[test]
fn independent_edits_are_told_as_these_edits() {
    for seed in 0..6 {
        let mut dice = Dice(seed);
        let plain = pumps(30);
        let mut edited = plain.clone();
        let mut rows: Vec<usize> = (1..=30).collect();
        dice.shuffle(&mut rows);
        let mut expected: BTreeSet<(String, String)> = BTreeSet::new();
        let mut gone = Vec::new();
        for row in rows.into_iter().take(1 + dice.throw(12)) {
            let tag = edited[row][0].clone();
            let mut change = |column: usize, value: &str| {
                edited[row][column] = value.to_owned();
                expected.insert((tag.clone(), plain[0][column].clone()));
            };
            match dice.throw(7) {
                0 => change(7, "155"),
                1 => change(4, "9.9"),
                2 => change(2, "MCC-9"),
                3 => change(6, "30"),
                4 => change(8, "C"),
                5 => {
                    edited[row][0] = format!("X{tag}");
                    expected.insert((format!("X{tag}"), format!("renamed from {tag}")));
                }
                _ => {
                    gone.push(row);
                    expected.insert((tag, "removed".to_owned()));
                }
            }
        }
        gone.sort_unstable();
        for row in gone.into_iter().rev() {
            edited.remove(row);
        }
        let mut more = plain[1].clone();
        (more[0], more[1], more[3], more[4]) = ("N-900".into(), "Quite another machine".into(), "90".into(), "158".into());
        edited.push(more);
        expected.insert(("N-900".to_owned(), "added".to_owned()));
        let changes = between(&opened_text(&text_of(&plain), IEC), &opened_text(&text_of(&edited), IEC));
        let mut told: BTreeSet<(String, String)> = BTreeSet::new();
        told.extend(changes.added.iter().map(|tagged| (tagged.tag.clone(), "added".to_owned())));
        told.extend(changes.removed.iter().map(|tagged| (tagged.tag.clone(), "removed".to_owned())));
        told.extend(changes.renamed.iter().map(|renamed| (renamed.tag.clone(), format!("renamed from {}", renamed.old_tag))));
        told.extend(
            changes.changed.iter().flat_map(|row| row.fields.iter().map(|change| (row.tag.clone(), change.field.clone()))),
        );
        assert_eq!(told, expected, "seed {seed}");
    }
}

#[test]
fn ranges_that_become_several_rows_and_the_other_way_round() {
    let head = "tag,description,quantity,rated_power_kw,starting_method,cable_length_m\n";
    let one = opened_text(&format!("{head}P-1A/B,Pump,2,4,direct,20\nQ-7,Fan,1,5.5,direct,20\n"), IEC);
    let two = opened_text(&format!("{head}P-1A,Pump,1,4,direct,20\nP-1B,Pump,1,5.5,direct,20\nQ-7,Fan,1,5.5,direct,20\n"), IEC);
    let changes = between(&one, &two);
    assert_eq!(changes.split.len(), 1);
    assert_eq!((changes.split[0].old_tag.as_str(), changes.split[0].tags.join(" ")), ("P-1A/B", "P-1A P-1B".to_owned()));
    assert!(changes.added.is_empty() && changes.removed.is_empty() && changes.renamed.is_empty());
    // The second piece states another power.
    let power = |tag: &str| {
        changes
            .changed
            .iter()
            .any(|change| change.tag == tag && change.fields.iter().any(|change| change.field == "rated_power_kw"))
    };
    assert!(power("P-1B") && !power("P-1A"));
    let back = between(&two, &one);
    assert_eq!(back.merged.len(), 1);
    assert_eq!((back.merged[0].tag.as_str(), back.merged[0].old_tags.join(" ")), ("P-1A/B", "P-1A P-1B".to_owned()));
}

/// Two penstocks under one tag are later called A and B: nothing came and nothing went. P-10 and P-101 are other machines.
#[rstest]
#[case("V-106", 2, &["V-106A", "V-106B"], true)]
#[case("V-106", 3, &["V-106.1", "V-106.2", "V-106.3"], true)]
#[case::fewer_than_there_were("V-106", 3, &["V-106A", "V-106B"], false)]
#[case::other_numbers("V-10", 2, &["V-101", "V-102"], false)]
fn machines_of_one_tag_that_get_tags_of_their_own(
    #[case] tag: &str,
    #[case] count: usize,
    #[case] tags: &[&str],
    #[case] parted: bool,
) {
    let head = "tag,description,quantity,rated_power_kw,starting_method,cable_length_m\n";
    let one = opened_text(&format!("{head}{tag},Penstocks,{count},0.75,direct,50\nQ-7,Fan,1,5.5,direct,20\n"), IEC);
    let rows = tags.iter().zip([50, 70, 90]).map(|(tag, metres)| format!("{tag},Penstock,1,0.75,direct,{metres}\n"));
    let several = opened_text(&format!("{head}{}Q-7,Fan,1,5.5,direct,20\n", rows.collect::<String>()), IEC);
    let (there, back) = (between(&one, &several), between(&several, &one));
    let split: Vec<(&str, String)> = there.split.iter().map(|split| (split.old_tag.as_str(), split.tags.join(" "))).collect();
    let merged: Vec<(&str, String)> = back.merged.iter().map(|merged| (merged.tag.as_str(), merged.old_tags.join(" "))).collect();
    let expected = if parted { vec![(tag, tags.join(" "))] } else { Vec::new() };
    assert_eq!((&split, &merged), (&expected, &expected));
    if parted {
        assert!(there.added.is_empty() && there.removed.is_empty() && there.renamed.is_empty(), "{there:?}");
        assert!(there.changed.iter().all(|change| change.fields.iter().all(|field| field.field != "quantity")), "{there:?}");
    }
}

#[test]
fn rows_without_a_tag_are_not_paired_by_where_they_stand() {
    let head = "tag,description,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m\n";
    let (pump, fan) = (",Raw water pump,M,4,8.1,direct,20\n", ",Roof fan,M,15,28,drive,35\n");
    let old = opened_text(&format!("{head}{pump}{fan}"), IEC);
    let same = between(&old, &opened_text(&format!("{head}{fan}{pump}"), IEC));
    assert_eq!((same.unchanged, same.changed.len(), same.renamed.len()), (2, 0, 0), "{same:?}");
    let changed = between(&old, &opened_text(&format!("{head}{fan}{}", pump.replace(",20", ",60")), IEC));
    assert_eq!((changed.unchanged, changed.renamed.len()), (1, 1), "{changed:?}");
    let fields: Vec<_> = changed.changed[0].fields.iter().map(|change| change.field.as_str()).collect();
    assert_eq!(fields, ["cable_length_m"]);
}

#[test]
fn a_pair_that_is_fixed_is_taken_and_an_unknown_tag_is_refused() {
    let head = "tag,description,rated_power_kw,starting_method,cable_length_m\n";
    let old = opened_text(&format!("{head}P-1,Pump,4,direct,20\n"), IEC);
    let new = opened_text(&format!("{head}Z-9,Something else,90,drive,120\n"), IEC);
    let plain = between(&old, &new);
    assert_eq!((plain.added.len(), plain.removed.len()), (1, 1), "they are not alike");
    let fixed = |a: &str, b: &str| compare::compare(&old.design(), &new.design(), &[(a.to_owned(), b.to_owned())], None);
    let changes = fixed("P-1", "Z-9").expect("both are there");
    assert_eq!((changes.added.len(), changes.renamed.len()), (0, 1));
    assert!(changes.renamed[0].why.contains("--same"));
    assert!(fixed("P-2", "Z-9").expect_err("no such tag").to_string().contains("the old side has no row"));
    let twice = [("P-1", "Z-9"), ("P-1", "Z-9")].map(|(a, b)| (a.to_owned(), b.to_owned()));
    let refused = compare::compare(&old.design(), &new.design(), &twice, None).expect_err("it is named twice");
    assert!(refused.to_string().contains("named twice"));
}

/// Consequences of a row by path.
fn consequences<'c>(changes: &'c Changes, tag: &str) -> BTreeMap<&'c str, (&'c str, &'c str, Vec<&'c str>)> {
    let change = changes.changed.iter().find(|change| change.tag == tag).expect("the row changes");
    change
        .consequences
        .iter()
        .map(|consequence| {
            (
                consequence.path.as_str(),
                (consequence.old.as_str(), consequence.new.as_str(), consequence.because.iter().map(String::as_str).collect()),
            )
        })
        .collect()
}

#[test]
fn every_consequence_names_its_cause() {
    let head = "tag,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m,description\n";
    let old = opened_text(&format!("{head}P-1,M,4,8.1,direct,20,Pump\n"), IEC);
    let new = opened_text(&format!("{head}P-1,M,4,12.4,direct,400,Pump of the east side\n"), IEC);
    let changes = between(&old, &new);
    let of = consequences(&changes, "P-1");
    assert_eq!(of["currents.full_load_a"], ("8.1", "12.4", vec!["full_load_current_a"]));
    assert!(
        of.iter()
            .filter(|(path, _)| path.starts_with("contactors") || path.starts_with("protection"))
            .all(|(_, change)| change.2 == ["full_load_current_a"])
    );
    // 400 m need more copper than 20 m at any of both currents, and no longer description does.
    assert!(of["conductors.phase_size"].2.contains(&"cable_length_m"));
    assert!(of.values().all(|change| !change.2.contains(&"description") && !change.2.contains(&"other rows")));
    let text = changes.changed[0].fields.iter().find(|change| change.field == "description").expect("it is told");
    assert!(text.text_only);
}

#[test]
fn what_surrounds_the_schedule_is_told_apart_from_it() {
    let head = "tag,rated_power_kw,full_load_current_a,starting_method,cable_length_m\n";
    let rows = format!("{head}P-1,15,28,direct,20\n");
    let warm = format!("{IEC}[design]\nambient_c = 50\n");
    let changes = between(&opened_text(&rows, IEC), &opened_text(&rows, &warm));
    let around: Vec<_> = changes
        .surroundings
        .iter()
        .map(|surroundings| (surroundings.what.as_str(), surroundings.key.as_str(), surroundings.new.as_str()))
        .collect();
    assert_eq!(around, [("basis", "design.ambient_c", "50.0")]);
    let change = &changes.changed[0];
    assert!(change.fields.is_empty() && !change.consequences.is_empty());
    assert!(
        change.consequences.iter().all(|consequence| consequence.because == ["basis design.ambient_c"]),
        "{:?}",
        change.consequences
    );
    // The other book: what is chosen differs because of it, not because of the row.
    let nec = opened_text(&rows, NEC);
    let changes = between(&opened_text(&rows, IEC), &nec);
    assert!(changes.surroundings.iter().any(|surrounding| surrounding.what == "rule book"));
    assert!(changes.changed[0].consequences.iter().all(|consequence| consequence.because.contains(&"rule book".to_owned())));
}

#[test]
fn a_change_of_the_partner_is_a_matter_of_other_rows() {
    let head = "tag,board,rated_power_kw,full_load_current_a,starting_method,protection_kind,interlock_with,cable_length_m\n";
    let rows = |current: &str| format!("{head}P-1,M,4,8.1,direct,gG,P-2,20\nP-2,M,15,{current},direct,gG,,20\n");
    let changes = between(&opened_text(&rows("8.1"), IEC), &opened_text(&rows("28"), IEC));
    let of = consequences(&changes, "P-1");
    // Both stand side by side under one mechanical interlock, so that they share a frame.
    assert_eq!(of["contactors.main.frame"].2, ["other rows"]);
}

#[rstest]
#[case("water-works")]
#[case("hospital-hvac")]
fn the_marked_up_workbook_of_a_schedule_and_its_design_are_that_schedule(#[case] name: &str) {
    let examples = root().join("example-schedules");
    let folder = tempfile::tempdir().expect("a folder");
    let (schedule, basis) = (examples.join(format!("{name}.csv")), examples.join(format!("{name}.toml")));
    let text = |path: &Path| path.to_str().expect("a plain path").to_owned();
    let sized = run_in(folder.path(), &["size", &text(&schedule), "--basis", &text(&basis), "--out", "out"]);
    assert!(sized.status < 2, "{}", sized.stderr);
    for (old, new) in [(text(&schedule), "out/schedule.xlsx"), ("out/design.json".to_owned(), "out/schedule.xlsx")] {
        let run = run_in(folder.path(), &["compare", &old, new, "--basis", &text(&basis)]);
        assert_eq!(run.status, 0, "{old}: {}{}", run.stdout, run.stderr);
    }
}

#[test]
fn a_design_json_tells_the_same_as_its_schedule() {
    let at = |name: &str| root().join("tests/intake").join(name);
    let (old, new) = (opened(&at("water-works-rev-a-flat.csv"), IEC), opened(&at("water-works-rev-b-flat.csv"), IEC));
    let again = |inputs: &Inputs| -> Design {
        serde_json::from_str(&serde_json::to_string(&inputs.design()).expect("it is written")).expect("it is read back")
    };
    let around = project::surroundings(&new.design(), None).expect("the book is known").expect("the range is built in");
    let of_designs = compare::compare(&again(&old), &again(&new), &[], Some(&around)).expect("no tag is fixed");
    assert_eq!(of_designs, between(&old, &new));
}

#[test]
fn text_of_either_side_is_never_markup() {
    let head = "tag,description,board,rated_power_kw,starting_method,cable_length_m,notes\n";
    let hostile = "<script>alert(1)</script>";
    let row = |note: &str, length: u32| format!("P-1,{hostile}pump,<b>M</b>,4,direct,{length},{note}\n");
    let old = opened_text(&format!("{head}{}", row("a", 20)), IEC);
    let new = opened_text(&format!("{head}{}\"><img src=x onerror=1>-2,x,M,4,direct,20,\n", row("\"><svg onload=1>", 300)), IEC);
    let page = motorwright::report::changes::page::write(&between(&old, &new), &new.design()).expect("it is written");
    let page = String::from_utf8(page).expect("it is text");
    for wrong in ["<script>alert", "<img", "<svg onload", "<b>M</b>"] {
        assert!(!page.contains(wrong), "{wrong}");
    }
    assert!(page.contains("&lt;svg onload") && !page.contains(" style=\""));
}

#[test]
fn the_command_writes_changes_and_tells_by_its_status_whether_there_are_any() {
    let folder = folder_with("basis.toml", IEC.as_bytes());
    std::fs::write(folder.path().join("a.csv"), PLAIN).expect("a file");
    std::fs::write(folder.path().join("b.csv"), PLAIN.replacen(",direct", ",drive", 1)).expect("a file");
    let compared = |old: &str, new: &str| run_in(folder.path(), &["compare", old, new, "--basis", "basis.toml", "--out", "out"]);
    let same = compared("a.csv", "a.csv");
    assert_eq!(same.status, 0, "{}{}", same.stdout, same.stderr);
    assert!(same.stdout.starts_with("no differences"));
    let other = compared("a.csv", "b.csv");
    assert_eq!(other.status, 1);
    let written: Value =
        serde_json::from_slice(&std::fs::read(folder.path().join("out/changes.json")).expect("it is written")).expect("JSON");
    assert_eq!(written["schema"], "motorwright.changes/1");
    assert_eq!(written["changed"][0]["fields"][0]["field"], "starting_method");
    assert_eq!(written["new"]["file"], "b.csv");
    for (wrong, said) in [(["nothing.csv", "a.csv"], "there is no such file"), (["basis.toml", "a.csv"], "basis.toml")] {
        let run = compared(wrong[0], wrong[1]);
        assert!(run.status == 2 && run.stderr.contains(said), "{}", run.stderr);
    }
    let page = std::fs::read_to_string(folder.path().join("out/changes.html")).expect("it is written");
    assert!(page.contains("<td>direct-on-line</td><td>variable-speed drive</td>") && page.contains("Content-Security-Policy"));
    let book = std::fs::read(folder.path().join("out/changes.xlsx")).expect("it is written");
    let mut book: calamine::Xlsx<_> = calamine::Reader::new(std::io::Cursor::new(book)).expect("it is a workbook");
    let rows = calamine::Reader::worksheet_range(&mut book, "Rows").expect("the sheet is there");
    let cells: Vec<String> = rows.rows().flatten().map(ToString::to_string).collect();
    assert!(
        cells.contains(&"direct-on-line → variable-speed drive".to_owned()) && cells.contains(&"changed".to_owned()),
        "{cells:?}"
    );
    std::fs::write(folder.path().join("bad.json"), "{\"schema\": 3}").expect("a file");
    let run = compared("bad.json", "a.csv");
    assert!(run.status == 2 && run.stderr.contains("no design.json"), "{}", run.stderr);
}

/// Two rows bear one tag; the second one is changed and marked. Nothing is to be said of either.
#[test]
fn of_two_rows_with_one_tag_the_one_that_changed_is_meant() {
    let of = |power: &str, mark: &str| {
        opened_text(
            &format!(
                "tag,description,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,row_revision\n\
                 P-1,pump,7.5,400,3,direct,48,\nP-1,other pump,{power},400,3,direct,30,{mark}\nP-3,fan,4,400,3,direct,20,\n"
            ),
            IEC,
        )
    };
    let changes = between(&of("5.5", ""), &of("7.5", "B"));
    assert_eq!(changes.changed.iter().filter(|change| !change.fields.is_empty()).count(), 1, "{:?}", changes.changed);
    assert_eq!(changes.revision_marks, []);
}
