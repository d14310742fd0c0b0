//! The built-in range for NFPA 70 is whole, and its ratings are those of the standards that it names.
//!
//! Expected figures stand in `tests/nec-catalogue`, each file with its source.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use crate::catalogue::HorsepowerUse::{FullVoltage, Jogging, PartWinding, WyeDelta};
use crate::catalogue::tests::relays_for;
use crate::catalogue::*;
use crate::quantity::fits;

type Line = BTreeMap<String, String>;

fn expected(name: &str) -> Vec<Line> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/nec-catalogue").join(name);
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let lines: Vec<Line> = reader.deserialize().map(Result::unwrap).collect();
    assert!(lines.len() >= 6, "{name} is nearly empty");
    lines
}

fn figure(line: &Line, heading: &str) -> Option<f64> {
    line.get(heading).unwrap_or_else(|| panic!("no {heading}")).parse().ok()
}

/// Fractions of a horsepower are printed to four places in the tables and stand in full in the range.
#[track_caller]
fn same(declared: Option<f64>, printed: Option<f64>, words: &str) {
    let agree = match (declared, printed) {
        (Some(a), Some(b)) => (a - b).abs() < 5e-5,
        (None, None) => true,
        _ => false,
    };
    assert!(agree, "{words}: {declared:?}, printed {printed:?}");
}

fn nec() -> &'static Catalogue {
    builtin("nec")
}

/// Standard ratings of 240.6(A) from 15 to 1200 A.
const STANDARD: [f64; 29] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0, 150.0, 175.0, 200.0, 225.0,
    250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0, 700.0, 800.0, 1000.0,
];

#[test]
fn every_family_of_the_range_is_filled_and_marked() {
    let range = nec();
    assert!(range.demonstration);
    assert_eq!(range.name, "generic-nec");
    assert_ne!(range.sha256, builtin("iec").sha256);
    for family in families_of("nec") {
        let table = show(range, Some(family)).unwrap();
        assert!(table.lines().count() > 8, "{family} is nearly empty:\n{table}");
        assert!(table.contains(DEMONSTRATION));
    }
    for (name, text) in export("nec") {
        let comments: Vec<&str> = text.lines().take(3).collect();
        assert_eq!(comments[0], "# invented demonstration range: not for procurement", "{name}");
        assert!(comments[1].starts_with("# source: ") && comments[2] == "# status: invented", "{name}");
    }
    for book in crate::rules::NAMES {
        assert!(RANGES.contains(book), "{book} has no range");
    }
}

#[test]
fn the_range_fits_together() {
    let findings = check(nec());
    assert!(findings.is_empty(), "{findings:#?}");
}

#[test]
fn part_numbers_are_invented_and_stand_in_one_family_only() {
    let range = nec();
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    macro_rules! look { ($($family:ident),*) => { $( for row in &range.$family {
        assert!(row.part.starts_with("GEN-"), "{}", row.part);
        assert!(seen.insert(&row.part), "{} stands twice", row.part);
        assert!(row.price.is_none(), "{}: an invented part has no price", row.part);
    } )* }; }
    look!(contactors, overload_relays, fuses, soft_starters, drives, cables, accessories, branch_breakers, disconnects, raceways);
    look!(control_transformers, power_supplies, control_protection, interposing_relays);
}

/// NEMA ICS 2 (see the files for edition and status).
#[test]
fn nema_sizes_have_the_ratings_of_the_standard() {
    let of = |size: &str| {
        nec()
            .contactors
            .iter()
            .find(|row| row.is_nema() && row.nema_size.as_deref() == Some(size))
            .unwrap_or_else(|| panic!("no size {size}"))
    };
    let columns = [
        (200.0, "200v"),
        (208.0, "200v"),
        (230.0, "230v"),
        (240.0, "230v"),
        (460.0, "460v"),
        (480.0, "460v"),
        (575.0, "575v"),
        (600.0, "575v"),
    ];
    let full = expected("nema-ics2-3ph-full-voltage.csv");
    assert_eq!(full.len(), 11);
    for line in &full {
        let row = of(&line["size"]);
        assert_eq!(row.continuous_a, figure(line, "continuous_a"), "{}", row.part);
        assert_eq!(row.service_limit_a, figure(line, "service_limit_a"), "{}", row.part);
        for (volts, column) in columns {
            same(
                row.horsepower(FullVoltage, 3, volts),
                figure(line, &format!("hp_{column}")),
                &format!("{} {volts} V", row.part),
            );
            same(
                row.horsepower(Jogging, 3, volts),
                figure(line, &format!("jog_hp_{column}")),
                &format!("{} {volts} V jogging", row.part),
            );
        }
        assert_eq!(row.rating(Category::Ac3, 460.0), None, "{}", row.part);
        assert_eq!((row.load_rating_a(), row.thermal_a()), (row.continuous_a.unwrap(), row.continuous_a.unwrap()));
    }
    for line in expected("nema-ics2-1ph.csv").iter().filter(|line| line["size"] != "1P") {
        let row = of(&line["size"]);
        for (volts, column) in [(115.0, "115v"), (120.0, "115v"), (208.0, "230v"), (230.0, "230v")] {
            same(
                row.horsepower(FullVoltage, 1, volts),
                figure(line, &format!("hp_{column}")),
                &format!("{} {volts} V", row.part),
            );
            same(
                row.horsepower(Jogging, 1, volts),
                figure(line, &format!("jog_hp_{column}")),
                &format!("{} {volts} V", row.part),
            );
        }
    }
    for line in expected("nema-ics2-reduced.csv") {
        let row = of(&line["size"]);
        for (volts, column) in [(208.0, "200v"), (230.0, "230v"), (460.0, "460_575v"), (575.0, "460_575v")] {
            same(
                row.horsepower(WyeDelta, 3, volts),
                figure(&line, &format!("yd_hp_{column}")),
                &format!("{} {volts} V", row.part),
            );
            same(
                row.horsepower(PartWinding, 3, volts),
                figure(&line, &format!("pw_hp_{column}")),
                &format!("{} {volts} V", row.part),
            );
        }
    }
}

#[test]
fn a_voltage_between_the_bands_has_no_horsepower() {
    let row = nec().contactor("GEN-N1").unwrap();
    for volts in [100.0, 150.0, 190.0, 215.0, 277.0, 380.0, 400.0, 415.0, 500.0, 690.0] {
        assert_eq!(row.horsepower(FullVoltage, 3, volts), None, "{volts} V");
    }
    assert_eq!(row.horsepower(FullVoltage, 1, 460.0), None, "one phase has no 460 V column");
    assert_eq!(row.horsepower(FullVoltage, 2, 230.0), None);
    let switch = nec().disconnects_of(3).next().unwrap();
    assert_eq!(switch.horsepower(3, 400.0), None);
    assert!(switch.horsepower(3, 208.0) < switch.horsepower(3, 480.0));
    assert_eq!(switch.horsepower(3, 460.0), switch.horsepower(3, 480.0));
}

/// NFPA 70 Table 430.250: the largest horsepower whose current the frame is marked for, and not one row more.
#[test]
fn frames_rated_in_horsepower_follow_the_table_of_currents() {
    let table = expected("t430-250-flc-3ph.csv");
    let frames: Vec<&Contactor> = nec().contactors.iter().filter(|row| !row.is_nema() && !row.is_for_capacitors()).collect();
    assert_eq!(
        frames.iter().map(|row| row.load_rating_a()).collect::<Vec<_>>(),
        [9.0, 12.0, 16.0, 18.0, 25.0, 32.0, 40.0, 50.0, 65.0, 80.0, 95.0, 115.0, 150.0, 170.0]
    );
    for row in frames {
        for (volts, column) in [(200.0, "a_200v"), (230.0, "a_230v"), (460.0, "a_460v"), (575.0, "a_575v")] {
            let rated = row.horsepower(FullVoltage, 3, volts).unwrap();
            for line in &table {
                let (hp, Some(current)) = (figure(line, "hp").unwrap(), figure(line, column)) else { continue };
                assert_eq!(hp <= rated, current <= row.load_rating_a(), "{} {volts} V {hp} hp", row.part);
            }
        }
    }
}

/// Every motor of Tables 430.248 and 430.250 finds a starter, a relay on it, a breaker, a fuse with its switch and a disconnect.
#[test]
fn every_motor_of_the_tables_finds_its_devices() {
    let range = nec();
    for (column, volts) in [("a_208v", 208.0), ("a_230v", 240.0), ("a_460v", 480.0), ("a_575v", 600.0)] {
        for line in expected("t430-250-flc-3ph.csv") {
            let (hp, Some(current)) = (figure(&line, "hp").unwrap(), figure(&line, column)) else { continue };
            let words = format!("{hp} hp, {current} A, {volts} V");
            for nema in [true, false] {
                let starter = range.contactors.iter().find(|row| {
                    row.is_nema() == nema
                        && row.horsepower(FullVoltage, 3, volts).is_some_and(|horsepower| horsepower >= hp)
                        && row.load_rating_a() >= current
                });
                let Some(starter) = starter else {
                    // At 208 V the 200 V column counts: 60 hp is 177 A there, beyond the largest frame, and NEMA ICS 2 ends at 150 hp.
                    let none_made = if nema { hp > 150.0 && volts < 230.0 } else { current > 165.0 };
                    assert!(none_made, "no starter for {words}");
                    continue;
                };
                let relay = relays_for(range, current).any(|row| row.kind == "electronic" && row.fits_frame(&starter.frame));
                assert!(relay, "no relay for {words} on {}", starter.part);
            }
            // 430.52(C)(1): 250 % for the inverse-time breaker, 175 % for the dual-element fuse, next standard rating up.
            let breaker = range.branch_breakers_of("inverse-time", 3).find(|row| {
                row.rating_a >= current * 2.5
                    && row.admits_voltage(volts)
                    && row.interrupting_ka(volts).is_some_and(|ka| ka >= 18.0)
            });
            assert!(breaker.is_some() || current * 2.5 > 1200.0, "no breaker for {words}");
            for kind in ["dual-element", "class-J"] {
                let fuse = range.fuses_of(kind).find(|row| row.rating_a >= current * 1.75 && fits(volts, row.max_voltage_v));
                let end = if kind == "class-J" { 600.0 } else { 1200.0 };
                assert!(fuse.is_some() || current * 1.75 > end, "no {kind} fuse for {words}");
                let rated = fuse.is_none_or(|row| {
                    let switch = if volts <= 240.0 {
                        row.switch_hp_240
                    } else if volts <= 480.0 {
                        row.switch_hp_480
                    } else {
                        row.switch_hp_600
                    };
                    switch.is_some_and(|switch| switch >= hp)
                });
                assert!(rated, "the switch of the {kind} fuse is too small for {words}");
            }
            let disconnect =
                range.disconnects_of(3).find(|row| row.horsepower(3, volts).is_some_and(|horsepower| horsepower >= hp));
            assert!(disconnect.is_none_or(|row| row.rating_a >= current * 1.15), "115 % for {words}");
            assert!(disconnect.is_some() || current * 1.15 > 600.0 || hp > 100.0, "no disconnect for {words}");
            if (0.5..=200.0).contains(&hp) {
                let drive = |row: &&Drive| {
                    row.phases == 3 && row.output_a >= current && row.min_voltage_v <= volts && volts <= row.max_voltage_v
                };
                assert!(range.drives.iter().any(|row| drive(&row)), "no drive for {words}");
                assert!(range.soft_starters.iter().any(|row| row.rating_a >= current), "no soft starter for {words}");
            }
        }
    }
    for line in expected("t430-248-flc-1ph.csv") {
        let (hp, current) = (figure(&line, "hp").unwrap(), figure(&line, "a_115v").unwrap());
        let starter = range
            .contactors
            .iter()
            .any(|row| row.horsepower(FullVoltage, 1, 115.0).is_some_and(|horsepower| horsepower + 1e-3 >= hp));
        assert!(starter, "no starter for {hp} hp, 115 V");
        assert!(range.branch_breakers_of("inverse-time", 1).any(|row| row.admits_voltage(120.0)) && current > 0.0);
    }
}

#[test]
fn electronic_relays_cover_every_current_from_0_3_to_540_amperes() {
    let mut current = 0.3;
    while current <= 540.0 {
        assert!(relays_for(nec(), current).any(|row| row.kind == "electronic"), "{current} A");
        current *= 1.01;
    }
    for row in &nec().overload_relays {
        let factor = if row.kind == "electronic" { 1.2 } else { 1.25 };
        assert_eq!(row.ultimate_trip_factor, Some(factor), "{}", row.part);
    }
    // The service-limit current of a NEMA size is above its continuous current, so a relay set to that current may stand.
    for row in nec().contactors.iter().filter(|row| row.is_nema()) {
        assert!(row.service_limit_a > row.continuous_a, "{}", row.part);
    }
}

/// NFPA 70 240.6(A).
#[test]
fn breakers_and_fuses_stand_on_standard_ratings() {
    let standard = |a: f64| STANDARD.contains(&a) || [1.0, 3.0, 6.0, 10.0, 601.0, 1200.0].contains(&a);
    let range = nec();
    for row in range.branch_breakers.iter().filter(|row| row.kind == "inverse-time") {
        assert!(standard(row.rating_a) && row.rating_a >= 10.0 && row.rating_a != 601.0, "{}", row.part);
        assert!(!row.within_combination, "{}", row.part);
    }
    assert!(range.fuses.iter().all(|row| standard(row.rating_a)));
    for rating in STANDARD.iter().chain(&[1200.0]) {
        let of = |ka: f64| {
            range
                .branch_breakers_of("inverse-time", 3)
                .any(|row| (row.rating_a - rating).abs() < 1e-9 && row.interrupting_480_ka == Some(ka) && !row.slash_rated())
        };
        assert!(of(25.0) && of(65.0), "{rating} A");
    }
    let instantaneous: Vec<f64> = range.branch_breakers_of("instantaneous", 3).map(|row| row.rating_a).collect();
    assert_eq!(instantaneous, [3.0, 7.0, 15.0, 30.0, 50.0, 100.0, 150.0, 250.0, 400.0, 600.0, 800.0, 1200.0]);
    for row in range.branch_breakers_of("instantaneous", 3) {
        assert!(row.within_combination && row.instantaneous_step_a.is_some(), "{}", row.part);
    }
    for row in &range.fuses {
        let switch = row.switch_rating_a.unwrap();
        assert!(row.rating_a <= switch || (row.rating_a - 601.0).abs() < 1e-9, "{} in a switch of {switch} A", row.part);
        assert!(row.base_part.ends_with(&format!("-{switch}")), "{}", row.part);
        assert!((row.breaking_ka - if row.kind == "non-time-delay" { 50.0 } else { 200.0 }).abs() < 1e-9, "{}", row.part);
    }
}

#[test]
fn slash_ratings_are_read_by_poles() {
    let of = |part: &str| nec().branch_breaker(part).unwrap_or_else(|| panic!("no {part}"));
    let one = of("GEN-BP1-20");
    assert!(one.admits_voltage(120.0) && !one.admits_voltage(208.0) && one.slash_rated());
    let two = of("GEN-BP2-20");
    assert!(two.admits_voltage(208.0) && two.admits_voltage(240.0) && !two.admits_voltage(277.0));
    let lighting = of("GEN-BY1-20");
    assert!(lighting.admits_voltage(277.0) && !lighting.admits_voltage(480.0));
    assert_eq!(lighting.interrupting_ka(277.0), Some(14.0));
    let slash = of("GEN-BY3-60");
    assert!(slash.admits_voltage(480.0) && !slash.admits_voltage(600.0) && slash.slash_rated());
    assert_eq!(
        (slash.interrupting_ka(208.0), slash.interrupting_ka(480.0), slash.interrupting_ka(600.0)),
        (Some(65.0), Some(25.0), None)
    );
    let straight = of("GEN-BS3-60");
    assert!(straight.admits_voltage(600.0) && !straight.admits_voltage(690.0) && !straight.slash_rated());
    assert_eq!(straight.interrupting_ka(600.0), Some(18.0));
    assert_eq!(straight.interrupting_ka(690.0), None);
}

/// NFPA 70 Chapter 9 Table 8 for areas, Table 4 for trade sizes.
#[test]
fn conductors_and_raceways_are_those_of_chapter_9() {
    let range = nec();
    for line in expected("ch9-t8-areas.csv") {
        let area = figure(&line, "area_mm2").unwrap();
        if !(2.0..=380.0).contains(&area) {
            continue;
        }
        for insulation in ["thhn", "thwn-2", "xhhw-2"] {
            assert!(range.cable("copper", insulation, 1, area, false).is_some(), "{} {insulation}", line["size"]);
            let ground = range.protective_core("copper", insulation, area).unwrap();
            assert_eq!(ground.protective_mm2, Some(area));
        }
        assert_eq!(range.cable("aluminium", "xhhw-2", 1, area, false).is_some(), line["size"] != "14", "{}", line["size"]);
    }
    let listed = expected("ch9-t4-trade-sizes.csv");
    assert_eq!(range.raceways.len(), listed.len());
    for line in &listed {
        let raceway = range.raceway(&line["kind"], &line["trade_size"]);
        assert!(raceway.is_some_and(|row| row.description.ends_with(&format!("trade size {}", line["trade_size"]))), "{line:?}");
    }
    assert!(range.raceway("emt", "6").is_none());
    let emt: Vec<&str> = range.raceways.iter().filter(|row| row.kind == "emt").map(|row| row.trade_size.as_str()).collect();
    assert_eq!(emt, ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4"]);
}

#[test]
fn every_frame_of_the_range_has_its_accessories() {
    let range = nec();
    for contactor in &range.contactors {
        let frame = contactor.frame.as_str();
        for kind in ["auxiliary-block", "interlock", "wiring-link", "star-bridge", "paralleling-link", "relay-base"] {
            assert!(range.accessories_for(kind, frame).next().is_some(), "{kind} for frame {frame}");
        }
        assert_ne!(contactor.finger_safe, range.accessories_for("shroud", frame).next().is_some(), "frame {frame}");
        assert!(range.overload_relays.iter().any(|row| row.fits_frame(frame)), "frame {frame}");
        for coil in &range.coils {
            let built_in = if coil.dc { contactor.dc_suppression_built_in } else { contactor.ac_suppression_built_in };
            let offered = range
                .accessories_for("suppressor", frame)
                .any(|row| row.variant == "varistor" && row.suits_voltage(coil.volts, coil.dc));
            assert!(built_in || offered, "suppressor for frame {frame} and coil {}", coil.code);
        }
    }
    for (volts, dc) in [(120.0, false), (24.0, false), (208.0, false), (240.0, false), (480.0, false), (24.0, true)] {
        assert!(range.coil(volts, dc).is_some(), "{volts} V");
    }
    for variant in ["star-delta", "on-delay", "off-delay"] {
        assert!(range.accessories_alone("timer").any(|row| row.variant == variant), "{variant}");
    }
    for primary in [480.0, 240.0, 208.0] {
        let ratings: Vec<f64> = range
            .control_transformers
            .iter()
            .filter(|row| row.primary_v == primary && row.secondary_v == 120.0)
            .map(|row| row.va)
            .collect();
        assert_eq!((ratings.first(), ratings.last()), (Some(&50.0), Some(&3000.0)));
        assert!(ratings.is_sorted());
    }
}

#[test]
fn combinations_raise_the_short_circuit_rating() {
    let range = nec();
    let line = range.combination("GEN-BH3-30", "GEN-N1", "GEN-ER-16", 480.0).unwrap();
    assert!((line.conditional_ka - 65.0).abs() < 1e-9);
    let fused = range.combination("GEN-FJ-25", "GEN-N1", "GEN-ER-16", 480.0).unwrap();
    assert!((fused.conditional_ka - 100.0).abs() < 1e-9);
    let plain = range.combination("GEN-BS3-30", "GEN-N1", "GEN-ER-16", 480.0).unwrap();
    assert!((plain.conditional_ka - 25.0).abs() < 1e-9, "no more than the breaker interrupts");
    assert!(range.combination("GEN-BS3-30", "GEN-N7", "GEN-ER-16", 480.0).is_none(), "large sizes were not tested");
    for line in range.combinations.iter().filter(|line| line.overload_part == crate::catalogue::ANY_RELAY) {
        let volts = line.max_voltage_v;
        let breaker = range.branch_breaker(&line.protection_part).and_then(|breaker| breaker.interrupting_ka(volts));
        let fuse = range.fuses.iter().find(|fuse| fuse.part == line.protection_part);
        let interrupts = breaker.or(fuse.filter(|fuse| volts <= fuse.max_voltage_v).map(|fuse| fuse.breaking_ka));
        assert!(interrupts.is_some_and(|interrupts| line.conditional_ka <= interrupts), "{}", line.protection_part);
    }
    // 10 hp at 460 V: 14 A by Table 430.250, 250 % is 35 A.
    assert!(range.combination("GEN-BH3-35", "GEN-N1", "GEN-ER-16", 480.0).is_some());
}

// Reading a folder.

/// Writes the built-in range of a book into a folder, one file changed or, without text, left out.
fn folder(rules: &str, name: &str, change: impl Fn(&str) -> Option<String>) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (file, text) in export(rules) {
        let text = if file == name { change(&text) } else { Some(text.into_owned()) };
        if let Some(text) = text {
            std::fs::write(folder.path().join(file), text).unwrap();
        }
    }
    folder
}

#[test]
fn an_exported_range_is_read_back_as_the_same_catalogue() {
    for rules in RANGES {
        // The price list, which states no price yet, is the one file that the range itself has not.
        let copy = from_folder(folder(rules, "prices.csv", |_| None).path(), rules).unwrap();
        assert_eq!(copy.sha256, builtin(rules).sha256, "{rules}");
        assert!(copy.demonstration && check(&copy).is_empty());
        let whole = from_folder(folder(rules, "", |_| None).path(), rules).unwrap();
        assert!(whole.prices.len() > 300 && check(&whole).is_empty() && whole.prices.iter().all(|price| price.price.is_none()));
    }
}

#[test]
fn families_of_the_other_book_may_be_missing_but_not_ones_own() {
    for (rules, file) in
        [("nec", "branch_breakers.csv"), ("nec", "raceways.csv"), ("iec", "motor_breakers.csv"), ("iec", "isolators.csv")]
    {
        let error = from_folder(folder(rules, file, |_| None).path(), rules).unwrap_err();
        assert_eq!(error.findings.len(), 1);
        assert_eq!((error.findings[0].code.as_str(), error.findings[0].place.as_ref().unwrap().short().as_str()), ("K101", file));
    }
    // A folder of the other book's range lacks exactly what that book has not.
    let error = from_folder(folder("iec", "", |_| None).path(), "nec").unwrap_err();
    let missing: Vec<String> = error.findings.iter().map(|finding| finding.place.as_ref().unwrap().short()).collect();
    assert_eq!(missing, ["branch_breakers.csv", "disconnects.csv", "raceways.csv"]);
    // A file that is there is read, whichever book it is for.
    let both = folder("iec", "", |_| None);
    std::fs::write(both.path().join("raceways.csv"), "part,description,kind,trade_size,price\nX-1,EMT,emt,1/2,1.5\n").unwrap();
    let read = from_folder(both.path(), "iec").unwrap();
    assert_eq!(read.raceways.len(), 1);
    assert_ne!(read.sha256, builtin("iec").sha256);
}

#[rstest::rstest]
#[case::no_continuous_current("contactors.csv", "GEN-N1,", "continuous_a", "", "K104")]
#[case::no_ac3("contactors.csv", "GEN-H1-9,", "ac3_440_a", "", "K104")]
#[case::standard("contactors.csv", "GEN-N1,", "standard", "BS", "K107")]
#[case::size("contactors.csv", "GEN-N1,", "nema_size", "10", "K107")]
#[case::horsepower("contactors.csv", "GEN-N1,", "hp_3ph_460", "ten", "K104")]
#[case::kind("branch_breakers.csv", "GEN-BS3-15,", "kind", "thermal", "K107")]
#[case::voltage("branch_breakers.csv", "GEN-BS3-15,", "voltage_rating", "277/480", "K107")]
#[case::settings("branch_breakers.csv", "GEN-BI3-30,", "instantaneous_min_a", "500", "K106")]
#[case::terminal("branch_breakers.csv", "GEN-BS3-15,", "terminal_c", "90", "K107")]
#[case::trade_size("raceways.csv", "GEN-EMT-1.2,", "trade_size", "16", "K107")]
#[case::raceway("raceways.csv", "GEN-EMT-1.2,", "kind", "ent", "K107")]
#[case::poles("disconnects.csv", "GEN-DS3-30-1,", "poles", "4", "K107")]
#[case::fuse("fuses.csv", "GEN-FJ-30,", "kind", "class-T", "K107")]
#[case::trip_factor("overload_relays.csv", "GEN-ER-5,", "ultimate_trip_factor", "0", "K105")]
#[case::power("control_transformers.csv", "GEN-CT-480-120-100,", "va", "0", "K105")]
fn wrong_cells_are_placed(#[case] file: &str, #[case] row: &str, #[case] heading: &str, #[case] text: &str, #[case] code: &str) {
    let changed = folder("nec", file, |whole| {
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(whole.as_bytes());
        let headings = reader.headers().unwrap().clone();
        let at = headings.iter().position(|name| name == heading).unwrap();
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&headings).unwrap();
        let mut hits = 0;
        for record in reader.records() {
            let mut cells: Vec<String> = record.unwrap().iter().map(str::to_owned).collect();
            if format!("{},", cells[0]) == row {
                text.clone_into(&mut cells[at]);
                hits += 1;
            }
            writer.write_record(&cells).unwrap();
        }
        assert_eq!(hits, 1, "{row}");
        Some(String::from_utf8(writer.into_inner().unwrap()).unwrap())
    });
    let findings = from_folder(changed.path(), "nec").unwrap_err().findings;
    assert_eq!(findings.len(), 1, "{findings:?}");
    assert_eq!(findings[0].code, code);
    let place = findings[0].place.as_ref().unwrap();
    assert_eq!(place.heading.as_deref(), Some(heading));
    assert!(place.short().starts_with(file) && !findings[0].cure.is_empty());
}

#[test]
fn what_contradicts_itself_is_a_warning() {
    let mut range = nec().clone();
    let nema = range.contactors.iter_mut().find(|row| row.part == "GEN-N1").unwrap();
    nema.hp_3ph_460 = Some(5.0);
    range.branch_breakers[0].interrupting_480_ka = Some(500.0);
    range.fuses[0].base_part.clear();
    range.branch_breakers.retain(|row| row.kind != "instantaneous" || !(100.0..500.0).contains(&row.rating_a));
    range.overload_relays[0].fits_frames.push_str(" N10");
    let codes: BTreeSet<String> = check(&range).into_iter().map(|finding| finding.code).collect();
    // K202: the combinations of the breakers that were taken out.
    assert_eq!(codes.iter().map(String::as_str).collect::<Vec<_>>(), ["K201", "K202", "K203", "K204", "K205"]);
}
