//! Drawn schedules: neither the parts in which a text is read nor where a cell stood before make a difference.

use super::*;

/// A schedule of rows of all kinds, loads and others, drawn by a simple generator from a seed.
fn mixed_schedule(head: &str, seed: u32) -> String {
    let mut state = seed;
    let mut draw = |most: u32| {
        // Constants of Numerical Recipes, second edition, section 7.1.
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) % most
    };
    let mut text = format!("Motor list;;;;\n{head}\n");
    for row in 0..400 {
        let power = ["7.5", "11", "7,5", "1.500", "5 kW", "TBC", "-", "do.", "''", "9-13", "1/2"][draw(11) as usize];
        let method = ["direct", "DOL", "star-delta", "VSD", "ditto", "perhaps", "", "Y/D"][draw(8) as usize];
        // Now and then the tag of the row before.
        let tag = row - (draw(40) / 39).min(row);
        let line = match draw(30) {
            0 => String::new(),
            1 => ";;;;".to_owned(),
            2 => format!(";Area {row};;;"),
            3 => "Total;;120;;".to_owned(),
            4 => format!("P-{row};DELETED;{power};400;{method}"),
            5 => format!("P-{row};Spare;;;"),
            6 => "SPACE;;;;".to_owned(),
            7 => format!("P-{tag}A/B;Pump {row};{power};400;{method}"),
            8 => format!("P-{row};Pump;{power};400;{method};too many"),
            9 => head.to_owned(),
            _ => format!("P-{tag};Pump {row};{power};400;{method}"),
        };
        text.push_str(&line);
        text.push_str(if draw(5) == 0 { "\r\n" } else { "\n" });
    }
    text
}

#[rstest::rstest]
#[case::canonical("tag;description;rated_power_kw;voltage_v;starting_method")]
#[case::sender("Tag No.;Service;Power (kW);Volt;Starter")]
fn the_number_of_parts_makes_no_difference(#[case] head: &str) {
    for (seed, spares) in [(1, true), (2, true), (3, false), (4, false)] {
        let text = mixed_schedule(head, seed);
        // Spare ways are numbered one after another, so a table with any is read in one go.
        let text = if spares { text } else { text.replace(";Spare;", ";Fan;") };
        let read = |parts: usize| {
            crate::threads::WANTED.set(Some(parts));
            let intake = csv(&text);
            crate::threads::WANTED.set(None);
            assert!(intake.loads.len() > 200 && intake.findings.len() > 100 && intake.skipped.len() > 10);
            format!("{intake:#?}")
        };
        let one = read(1);
        // In the last every row is read alone.
        for parts in [2, 3, 7, 50, 500] {
            assert!(read(parts) == one, "{head}, seed {seed}, {parts} parts");
        }
    }
}

/// Texts of cells that mean something in one column or another, or are refused there.
const TEXTS: [&str; 48] = [
    "400",
    "0.4 kV",
    "400/3/50",
    "460-3-60",
    "690 V",
    "7,5",
    "7.5",
    "7.50",
    "1.500",
    "1 200",
    "5 kW",
    "10 hp",
    "1/2",
    "7-1/2",
    "11/2.8",
    "0",
    "-1",
    "1e3",
    "TBC",
    "-",
    "N/A",
    "?",
    "yes",
    "no",
    "x",
    "DOL",
    "VSD",
    "Y/D",
    "direct",
    "reversing DOL",
    "IE3",
    "93.5",
    "0.935",
    "93,5 %",
    "S1",
    "S3 40%",
    "duty",
    "standby",
    "2",
    "3",
    "50",
    "60 Hz",
    "4P",
    "#N/A",
    " 400 ",
    "DELETED",
    "Pümpe",
    "",
];

/// A schedule of which every cell but the tag is drawn from the texts.
fn drawn_schedule(heads: &[&str], seed: u32) -> String {
    let mut state = seed;
    let mut text = heads.join(";");
    for row in 0..120 {
        text.push_str(&format!("\nP-{row}"));
        for _ in 1..heads.len() {
            // Constants of Numerical Recipes, second edition, section 7.1.
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            text.push(';');
            text.push_str(TEXTS[(state >> 16) as usize % TEXTS.len()]);
        }
    }
    text
}

#[test]
fn what_a_text_says_does_not_depend_on_where_it_stood_before() {
    let canonical: Vec<&str> = crate::load::FIELDS.iter().map(|spec| spec.name).collect();
    let sender = "Tag No.;Service;MCC;Power (kW);Volt;Ph;Hz;Eff. %;cos phi;Starter;Duty;Reversing;Length (m);Class;Remarks;FLA (A);Poles;Qty";
    let sender: Vec<&str> = sender.split(';').collect();
    assert_eq!(canonical[0], "tag");
    for seed in 1..9 {
        for heads in [&canonical, &sender] {
            let text = drawn_schedule(heads, seed);
            // With as many parts as rows every row is read alone, and nothing stood before.
            let read = |parts: usize| {
                crate::threads::WANTED.set(Some(parts));
                let intake = csv(&text);
                crate::threads::WANTED.set(None);
                assert_eq!(intake.loads.len() + intake.skipped.len(), 121, "{:?}", intake.skipped);
                format!("{intake:#?}")
            };
            assert!(read(1) == read(200), "{heads:?}, seed {seed}");
        }
    }
}
