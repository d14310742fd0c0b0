//! What two revisions are told to differ in, and because of what: the basis beside a changed row, edited results, cells that can't be
//! read in another unit, running numbers, marks of split rows, letters, and orders that somebody added to.

mod common;

use common::{folder_with, opened_text, run_in, with_part};
use motorwright::compare::{self, BothSides, Changes, ordered};
use motorwright::project::Inputs;
use rstest::rstest;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
                   prospective_fault_ka = 16\nprospective_fault_min_ka = 8\n";

const HEAD: &str = "tag,description,board,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_class,poles,starting_method,\
                    cable_length_m,installation_method,ambient_c,row_revision\n";

fn between(old: &Inputs, new: &Inputs) -> Changes {
    let both = BothSides { new, old: Some(old) };
    compare::compare(&old.design(), &new.design(), &[], Some(&both)).expect("no tag is fixed")
}

fn because<'c>(changes: &'c Changes, tag: &str, path: &str) -> Vec<&'c str> {
    let changed = changes.changed.iter().find(|changed| changed.tag == tag).expect("it is changed");
    let consequence = changed.consequences.iter().find(|consequence| consequence.path == path);
    consequence.unwrap_or_else(|| panic!("no {path}: {changed:?}")).because.iter().map(String::as_str).collect()
}

/// 7.9 A by 1.5 mm²: in E at 35 °C with four circuits grouped 22 x 0.94 x 0.77 = 15.9 A, in A2 at 50 °C alone 13 x 0.71 = 9.2 A, in A2 at
/// 50 °C and grouped 13 x 0.71 x 0.65 = 6.0 A (IEC 60364-5-52, Tables B.52.4, B.52.10, B.52.14 and B.52.17): neither does it alone.
#[test]
fn a_basis_without_which_a_row_would_stay_is_named_beside_it() {
    let row =
        |method: &str, ambient: &str| format!("{HEAD}P-103,Drain pump,M1,4,400,3,7.9,IE3,4,direct,30,{method},{ambient},\n");
    let grouped = |circuits: u32| format!("{IEC}[design]\ngrouped_circuits = {circuits}\n");
    let old = opened_text(&row("E", "35"), &grouped(1));
    let alone = opened_text(&row("A2", "50"), &grouped(1));
    let size = |changes: &Changes| {
        changes.changed.iter().flat_map(|changed| &changed.consequences).any(|found| found.path == "conductors.phase_size")
    };
    assert!(!size(&between(&old, &alone)), "the row alone changes no cable");
    let told = between(&old, &opened_text(&row("A2", "50"), &grouped(4)));
    let because = because(&told, "P-103", "conductors.phase_size");
    assert!(because.contains(&"basis design.grouped_circuits") && because.contains(&"installation_method"), "{because:?}");
    // By one basis nothing is laid to it.
    let told = between(&old, &opened_text(&row("A1", "60"), &grouped(1)));
    let named = told
        .changed
        .iter()
        .flat_map(|changed| &changed.consequences)
        .any(|found| found.because.iter().any(|cause| cause.starts_with("basis")));
    assert!(!named, "{told:?}");
}

/// 7.376x is no number: the text is that of a column in horsepower.
#[test]
fn a_cell_that_cannot_be_read_bears_the_unit_of_its_column() {
    let metric = opened_text("tag,rated_power_kw,voltage_v,starting_method,cable_length_m\nP-1,5.5,400,direct,35\n", IEC);
    let other = opened_text("tag,rated_power_hp,voltage_v,starting_method,cable_length_ft\nP-1,7.376x,400,direct,114x\n", IEC);
    let changes = between(&metric, &other);
    let told = |field: &str| {
        let fields = &changes.changed[0].fields;
        fields.iter().find(|change| change.field == field).map(|change| change.new.clone()).unwrap_or_default()
    };
    assert_eq!(told("rated_power_kw"), "7.376x hp, can't be read");
    assert_eq!(told("cable_length_m"), "114x ft, can't be read");
    let same_unit = opened_text("tag,rated_power_kw,voltage_v,starting_method,cable_length_m\nP-1,7.376x,400,direct,35\n", IEC);
    let changes = between(&metric, &same_unit);
    assert_eq!(changes.changed[0].fields[0].new, "7.376x");
}

/// An item column goes on over rows that are no loads; an order number that changes is told.
#[test]
fn a_running_number_over_other_rows_is_no_change() {
    let side = |rows: &[(&str, &str, &str)]| {
        let head = "Item,Tag,kW,V,Starter,Length (m),Order\n".to_owned();
        let line = |(item, tag, order): &(&str, &str, &str)| match *tag {
            "" => format!("{item},,,,,,\n"),
            tag => format!("{item},{tag},5.5,400,DOL,20,{order}\n"),
        };
        opened_text(&(head + &rows.iter().map(line).collect::<String>()), IEC)
    };
    let old = side(&[("1", "P-1", "450012"), ("2", "P-2", "450013"), ("3", "P-3", "450014"), ("4", "P-4", "450015")]);
    let new = side(&[("1", "P-1", "450012"), ("2", "", ""), ("3", "P-2", "450013"), ("4", "P-4", "450099")]);
    let changes = between(&old, &new);
    let told: Vec<(&str, &str, &str)> = changes
        .carried
        .iter()
        .flat_map(|column| column.rows.iter().map(|row| (column.heading.as_str(), row.tag.as_str(), row.new.as_str())))
        .collect();
    assert_eq!(told, [("Order", "P-4", "450099")]);
}

/// The compartment of a starter is where it stands in the board, though it goes up with the rows; below `Pos.` the same figures count.
#[rstest]
#[case("Compartment", 3)]
#[case("Pos.", 0)]
fn a_column_that_goes_up_counts_the_rows_only_where_its_heading_says_so(#[case] heading: &str, #[case] told: usize) {
    let side = |first: usize| {
        let rows = ["P-1", "P-2", "P-3"].iter().zip(first..).map(|(tag, number)| format!("{tag},5.5,400,DOL,20,{number}\n"));
        opened_text(&(format!("Tag,kW,V,Starter,Length (m),{heading}\n") + &rows.collect::<String>()), IEC)
    };
    let changes = between(&side(2), &side(1));
    assert_eq!(changes.carried.iter().map(|column| column.rows.len()).sum::<usize>(), told, "{:?}", changes.carried);
}

#[test]
fn a_row_that_was_split_bears_its_mark_rightly() {
    let of = |tags: &[&str], mark: &str| {
        let rows = tags.iter().map(|tag| format!("{tag},Feed pump,M1,7.5,400,3,14.3,IE3,4,direct,48,,,{mark}\n"));
        opened_text(&(HEAD.to_owned() + &rows.collect::<String>() + "P-9,Fan,M1,4,400,3,8.1,IE3,4,direct,20,,,\n"), IEC)
    };
    let split = between(&of(&["P-1A/B"], ""), &of(&["P-1A", "P-1B"], "B"));
    assert_eq!(split.split.len(), 1, "{split:?}");
    assert_eq!(split.revision_marks, []);
    let merged = between(&of(&["P-1A", "P-1B"], ""), &of(&["P-1A/B"], "B"));
    assert_eq!((merged.merged.len(), merged.revision_marks.len()), (1, 0), "{merged:?}");
}

/// Rows of another board between two neighbours do not part them: a schedule sorted by tag buys what one sorted by board does.
#[test]
fn the_order_of_rows_of_other_boards_buys_nothing_else() {
    let row = |tag: &str, board: &str| format!("{tag},Fan,{board},2.2,400,3,4.5,IE3,4,direct,30,,,\n");
    let by_board = [("P-5", "M2"), ("P-6", "M2"), ("P-1", "M1"), ("P-2", "M1")];
    let by_turns = [("P-6", "M2"), ("P-1", "M1"), ("P-5", "M2"), ("P-2", "M1")];
    let side = |rows: &[(&str, &str)]| {
        opened_text(&(HEAD.to_owned() + &rows.iter().map(|(tag, board)| row(tag, board)).collect::<String>()), IEC)
    };
    let (old, new) = (side(&by_board), side(&by_turns));
    let bars = old.design().purchase.iter().filter(|line| line.description.starts_with("Commoning bar")).count();
    assert_eq!(bars, 1, "two breakers on each board lie under a bar");
    let changes = between(&old, &new);
    assert!(changes.purchase.is_empty(), "{:?}", changes.purchase);
}

/// Both sides by one basis: the letter is that of the earlier issue, and no mark may lay the changes to it.
#[test]
fn marks_bear_no_letter_that_the_earlier_side_bears() {
    let side = |length: &str, basis: &str| {
        let row = format!("{HEAD}P-1,Fan,M1,2.2,400,3,4.5,IE3,4,direct,{length},,,\n");
        opened_text(&row, &format!("{IEC}[project]\nrevision = \"{basis}\"\n"))
    };
    let twice = between(&side("30", "A"), &side("60", "A"));
    assert_eq!(twice.letter, "");
    assert_eq!(twice.doubts.iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["X102"]);
    let page = motorwright::report::changes::page::write(&twice, &side("60", "A").design()).expect("the page");
    let page = String::from_utf8(page).expect("text");
    assert!(page.contains("X102") && !page.contains("Changes to revision A") && !page.contains("<b>A</b></span>"), "{page}");
    let apart = between(&side("30", "A"), &side("60", "B"));
    assert_eq!((apart.letter.as_str(), apart.doubts.len()), ("B", 0));
    let nothing = between(&side("30", "A"), &side("30", "A"));
    assert!(nothing.is_empty() && nothing.doubts.is_empty());
}

#[test]
fn a_line_of_an_order_that_somebody_added_states_its_quantity_alone() {
    let read = |line: &str| ordered::read(format!("part,quantity,order_quantity\nA,1,2\n{line}\n").as_bytes());
    let lines = read("OLD-PART,3,").expect("it reads");
    assert_eq!(lines.iter().map(|line| line.quantity).collect::<Vec<_>>(), [2.0, 3.0]);
    let refused = read("OLD-PART,,").expect_err("no quantity").to_string();
    assert!(refused.contains("line 3") && refused.contains("order_quantity"), "{refused}");
    let refused = read("OLD-PART,many,").expect_err("no number").to_string();
    assert!(refused.contains("column quantity") && refused.contains("many"), "{refused}");
}

/// A result that somebody overwrote makes its row wait for a decision: that is its cause, and no other row.
#[test]
fn an_edited_result_is_a_cause_of_its_own() {
    let schedule =
        format!("{HEAD}P-1,Fan,M1,2.2,400,3,4.5,IE3,4,direct,30,C,30,\nP-2,Fan,M1,4,400,3,7.9,IE3,4,direct,30,C,30,\n");
    let folder = folder_with("loads.csv", schedule.as_bytes());
    let complete = "[design]\n";
    std::fs::write(folder.path().join("basis.toml"), format!("{IEC}{complete}")).expect("a file");
    let run = |arguments: &[&str]| run_in(folder.path(), arguments);
    let sized = run(&["size", "loads.csv", "--basis", "basis.toml", "--out", "a"]);
    assert!(sized.status < 2, "{}", sized.stderr);
    let bytes = std::fs::read(folder.path().join("a/schedule.xlsx")).expect("the workbook");
    let edited = with_part(&bytes, "xl/worksheets/sheet1.xml", &|xml: String| edited_result(&xml));
    std::fs::write(folder.path().join("returned.xlsx"), edited).expect("a file");
    let told = run(&["compare", "loads.csv", "returned.xlsx", "--basis", "basis.toml", "--format", "json"]);
    let changes: Changes = serde_json::from_str(&told.stdout).expect("JSON");
    let new: Vec<&str> = changes.findings_new.iter().map(|finding| finding.code.as_str()).collect();
    assert!(new.contains(&"I502"), "{}", told.stdout);
    let causes: Vec<&str> = changes
        .changed
        .iter()
        .flat_map(|changed| &changed.consequences)
        .flat_map(|found| &found.because)
        .map(String::as_str)
        .collect();
    assert!(!causes.contains(&"other rows"), "{}", told.stdout);
    for consequence in changes.changed.iter().flat_map(|changed| &changed.consequences).filter(|found| found.path == "status") {
        assert_eq!(consequence.because, ["an edited result"]);
    }
}

/// The sheet with a text in the last cell of its second row that holds a number: one of the results.
fn edited_result(xml: &str) -> String {
    let row = xml.find("<row r=\"2\"").expect("the first load");
    let end = row + xml[row..].find("</row>").expect("its end");
    let cells = xml[row..end].match_indices("<c r=").map(|(at, _)| row + at);
    let of = |start: usize| &xml[start..start + xml[start..].find("</c>").map_or(0, |length| length + 4)];
    let number = |start: &usize| !of(*start).contains("t=\"") && of(*start).contains("<v>");
    let start = cells.filter(number).last().expect("a number");
    let name = of(start).split('"').nth(1).expect("its place");
    format!("{}<c r=\"{name}\" t=\"inlineStr\"><is><t>98765</t></is></c>{}", &xml[..start], &xml[start + of(start).len()..])
}

/// 15 kW is 20.1153 hp, and 35 m are 114.8294 ft: the same row by any digits; of 20 hp alone, 14.914 kW, the dial may stand a step lower,
/// which is a change. Under the other book 75 kW is 100.6 hp, for which its table gives more than for 100 hp (NFPA 70, Table 430.250): then
/// it is a change and nothing is called the same.
#[test]
fn one_motor_in_another_unit_is_the_same_or_changed_and_never_both() {
    let side = |unit: &str, power: &str, length: &str| {
        let of_length = if unit == "kw" { "m" } else { "ft" };
        let head = format!(
            "tag,board,rated_power_{unit},voltage_v,phases,efficiency_class,poles,starting_method,cable_length_{of_length}\n"
        );
        opened_text(&format!("{head}P-2,M,{power},400,3,IE3,4,direct,{length}\n"), IEC)
    };
    let old = side("kw", "15", "35");
    for (power, length) in [("20.1153", "114.8294"), ("20.12", "114.83")] {
        let new = side("hp", power, length);
        let mut changes = between(&old, &new);
        changes.labels = motorwright::report::lists::labels_anew(&changes, &old.design(), &new.design());
        assert!(changes.is_empty(), "{power} hp: {changes:?}");
        assert_eq!(changes.said_otherwise.len(), 2);
    }
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n";
    let by_hp =
        opened_text("tag,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft\nM1,100,460,3,direct,60\n", basis);
    let by_kw =
        opened_text("tag,rated_power_kw,voltage_v,phases,starting_method,cable_length_ft\nM1,75,460,3,direct,60\n", basis);
    let changes = between(&by_hp, &by_kw);
    let fields: Vec<&str> =
        changes.changed.iter().flat_map(|changed| &changed.fields).map(|field| field.field.as_str()).collect();
    assert_eq!((fields, changes.said_otherwise.len()), (vec!["rated_power_kw"], 0), "{changes:?}");
}

/// 35 m are 114.829 ft and 5.5 kW 7.376 hp: figures of three decimals, of a column whose other figures prove the point. A figure with
/// the other mark stays open, and so does one of a column that proves nothing.
#[test]
fn three_decimals_are_read_as_the_column_proves() {
    let metric = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n\
                  P-1,5.5,400,3,10.6,direct,35\nP-2,7.5,400,3,14.3,direct,48\n";
    let other = |first: &str, second: &str| {
        let head = "Tag,Rated power (hp),Voltage,Phases,FLC (A),Starting method,Length (ft)\n";
        opened_text(&format!("{head}P-1,{first},400,3,10.6,DOL,114.829\nP-2,{second},400,3,14.3,DOL,157.48\n"), IEC)
    };
    let turned = other("7.376", "10.06");
    let changes = between(&opened_text(metric, IEC), &turned);
    assert!(changes.changed.is_empty(), "{:?}", changes.changed);
    let told: Vec<String> =
        turned.check().into_iter().filter(|finding| finding.code == "I479").map(|finding| finding.what).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().any(|what| what.contains("7.376")) && told.iter().any(|what| what.contains("114.829")), "{told:?}");
    let refused = |inputs: &Inputs| inputs.check().iter().filter(|finding| finding.code == "I421").count();
    assert_eq!(refused(&other("7.376", "10.058")), 2, "nothing in the column proves the mark");
    assert_eq!(refused(&other("\"7,376\"", "10.06")), 1, "another mark than that of the column");
}

/// The client changed a length. That the place of each row is read on one side alone is no change of the client's, and is told first.
#[test]
fn a_column_that_one_side_does_not_read_is_a_doubt() {
    let head = "Tag,Description,Power kW,Voltage,FLC (A),Starter,Length (m),Location\n";
    let row = |tag: &str, length: u32, place: &str| format!("{tag},Fan,4,400,8,DOL,{length},{place}\n");
    let read = opened_text(&format!("{head}{}{}", row("F-1", 20, "dry"), row("F-2", 20, "wet")), IEC);
    let unread = opened_text(&format!("{head}{}{}", row("F-1", 25, "Room 2"), row("F-2", 20, "Room 3")), IEC);
    let told = |old: &Inputs, new: &Inputs| {
        let changes = between(old, new);
        let doubts: Vec<String> = changes.doubts.iter().map(|doubt| format!("{} {}", doubt.code, doubt.what)).collect();
        (doubts, changes.carried.iter().map(|column| column.what.clone()).collect::<Vec<_>>())
    };
    let (doubts, columns) = told(&read, &unread);
    assert_eq!(doubts, ["X111 the column Location is not read on the later side, and the other states location"]);
    assert_eq!(columns, ["no longer read"]);
    let (doubts, columns) = told(&unread, &read);
    assert_eq!(doubts, ["X111 the column Location is not read on the earlier side, and the other states location"]);
    assert_eq!(columns, ["read now"]);
    assert!(told(&read, &read).0.is_empty());
}

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 20\nprospective_fault_min_ka = 9\n[[board]]\nname = \"M\"\n\
    fed_from = \"supply\"\nfeeder_length_ft = 50\n";

/// A range that grew by two machines has two more; one that lost one, one fewer.
#[test]
fn machines_of_a_range_that_grew_are_counted() {
    let rows = |flights: &str, conveyors: &str| {
        let text = format!(
            "tag,description,board,hp,volts,phases,FLA,starter,length ft\n{flights},Flight,M,5,460,3,7,FVNR,40\n{conveyors},Conveyor,M,10,460,3,13,FVNR,40\n"
        );
        opened_text(&text, NEC)
    };
    let changes = between(&rows("FL-211 thru FL-214", "CV-1 thru CV-6"), &rows("FL-211 thru FL-216", "CV-1 thru CV-5"));
    let more: Vec<i64> = changes.renamed.iter().map(|renamed| renamed.machines_more).collect();
    assert_eq!(more, [-1, 2], "{:?}", changes.renamed);
    let text = motorwright::report::changes::summary(&changes, None, motorwright::rules::units::Units::Customary);
    assert!(text.contains("2 renamed (machines added to them: 2, removed: 1)"), "{text}");
}

/// What is bought for a board comes before its sums, and before the currents of its phases; the largest loads grew from 50 to 250 hp.
#[test]
fn feeders_of_boards_are_told_first() {
    let rows = |hp: u32, fla: u32| {
        opened_text(
            &format!("tag,description,board,hp,volts,phases,FLA,starter,length ft\nF-1,Fan,M,{hp},460,3,{fla},FVNR,40\n"),
            NEC,
        )
    };
    let changes = between(&rows(50, 61), &rows(250, 290));
    let text = motorwright::report::changes::summary(&changes, None, motorwright::rules::units::Units::Customary);
    let at = |what: &str| text.find(&format!("M: {what}")).unwrap_or_else(|| panic!("no {what}: {text}"));
    assert!(
        at("feeder: protection, A") < at("demand current, A") && at("feeder: conductor") < at("running current, A"),
        "{text}"
    );
}

/// Nobody turns the fixed trip of a thermal-magnetic breaker: it is no dial to be set otherwise.
#[test]
fn fixed_trips_are_no_dials() {
    let rows = |hp: u32, fla: u32| {
        opened_text(
            &format!("tag,description,board,hp,volts,phases,FLA,starter,length ft\nF-1,Fan,M,{hp},460,3,{fla},FVNR,40\n"),
            NEC,
        )
    };
    let (old, new) = (rows(10, 13), rows(20, 26));
    let changes = between(&old, &new);
    let trip = |inputs: &Inputs| {
        let protection = inputs.design().circuits[0].protection.clone().expect("a breaker");
        (protection.magnetic_trip_a, protection.magnetic_range_a)
    };
    let fixed = |(_, range): (Option<f64>, Option<[f64; 2]>)| range.is_none_or(|[low, high]| (low - high).abs() < 1e-9);
    assert!(
        trip(&old).0 != trip(&new).0 && fixed(trip(&old)) && fixed(trip(&new)),
        "the example shows nothing: {:?} {:?}",
        trip(&old),
        trip(&new)
    );
    assert!(!changes.settings.iter().any(|setting| setting.what.contains("magnetic trip")), "{:?}", changes.settings);
}
