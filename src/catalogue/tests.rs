//! The built-in range is whole, and a wrong folder says where it is wrong.

use std::path::Path;

use super::*;
use crate::finding::Finding;

/// Preferred currents of IEC 60059 (series R10), first decade.
const R10: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];

fn is_preferred(current_a: f64) -> bool {
    [1.0, 10.0, 100.0, 1000.0].iter().any(|decade| R10.iter().any(|step| (step * decade - current_a).abs() < 1e-9))
}

/// Motor currents from 0.2 to 630 A, five per cent apart, with the ends.
fn motor_currents() -> Vec<f64> {
    let mut currents = vec![630.0];
    let mut current = 0.2;
    while current < 630.0 {
        currents.push(current);
        current *= 1.05;
    }
    currents
}

/// Relays whose range contains a current in A.
pub(super) fn relays_for(range: &Catalogue, current_a: f64) -> impl Iterator<Item = &OverloadRelay> {
    range.overload_relays.iter().filter(move |row| row.range_min_a <= current_a && current_a <= row.range_max_a)
}

/// Motor-protective circuit-breakers whose range contains a current in A.
fn breakers_for(range: &Catalogue, current_a: f64) -> impl Iterator<Item = &MotorBreaker> {
    range.motor_breakers.iter().filter(move |row| row.range_min_a <= current_a && current_a <= row.range_max_a)
}

#[test]
fn every_family_is_filled_and_marked() {
    let range = builtin("iec");
    assert!(range.demonstration);
    assert_eq!(range.sha256.len(), 64);
    let list = show(range, None).unwrap();
    assert!(list.contains("invented demonstration range: not for procurement"), "{list}");
    for family in families_of("iec") {
        let table = show(range, Some(family)).unwrap();
        assert!(table.lines().count() > 8, "{family} is nearly empty:\n{table}");
    }
    assert!(show(range, Some("relays")).unwrap_err().contains("overload_relays"));
}

#[test]
fn builtin_range_fits_together() {
    let findings = check(builtin("iec"));
    assert!(findings.is_empty(), "{findings:#?}");
}

#[test]
fn contactor_ratings_are_preferred_currents() {
    let ratings: Vec<f64> = builtin("iec").contactors.iter().map(|row| row.load_rating_a()).collect();
    assert!(ratings.iter().all(|rating| is_preferred(*rating)), "{ratings:?}");
    assert!(ratings.is_sorted());
    assert_eq!((ratings.first(), ratings.last()), (Some(&6.3), Some(&800.0)));
    for breaker in &builtin("iec").moulded_case_breakers {
        let rounded = if (breaker.rating_a - 32.0).abs() < 1e-9 { 31.5 } else { breaker.rating_a };
        assert!(is_preferred(rounded), "{}", breaker.part);
    }
}

#[test]
fn reduced_life_is_not_for_high_efficiency_or_inching() {
    for row in builtin("iec").contactors.iter().filter(|row| !row.is_for_capacitors()) {
        assert_eq!(row.ac3e_440_a.is_some(), row.suits_ie3, "{}", row.part);
        assert_ne!(row.reduced_life, row.suits_ie3, "{}", row.part);
        assert_eq!(row.ac4_440_a.is_none(), row.reduced_life, "{}", row.part);
    }
}

#[test]
fn every_motor_current_finds_its_devices() {
    let range = builtin("iec");
    let mut last = 0.0;
    let mut currents = motor_currents();
    currents.sort_by(f64::total_cmp);
    for current in currents {
        let high_efficiency = range.contactors.iter().find(|row| row.rating(Category::Ac3e, 400.0).is_some_and(|a| a >= current));
        let contactor = high_efficiency.unwrap_or_else(|| panic!("no contactor for {current} A"));
        assert!(contactor.load_rating_a() >= last, "a smaller contactor for {current} A");
        last = contactor.load_rating_a();
        let covered = |kind: &str| relays_for(range, current).any(|row| row.kind == kind && row.fits_frame(&contactor.frame));
        // Electronic relays begin at 0.3 A, bimetal relays end at frame 4 and 105 A.
        assert!(covered("electronic") || current < 0.3, "no electronic relay for {current} A on frame {}", contactor.frame);
        assert!(covered("bimetal") || current > 100.0, "no bimetal relay for {current} A on frame {}", contactor.frame);
        let paired = |row: &MotorBreaker| contactor.pairs_with.as_ref() == Some(&row.frame);
        let breaker = breakers_for(range, current).any(paired);
        let moulded = range
            .moulded_case_breakers_of("motor")
            .any(|row| row.range_min_a.is_some_and(|min| min <= current) && row.range_max_a.is_some_and(|max| current <= max));
        assert!(if current <= 63.0 { breaker } else { moulded }, "no breaker for {current} A");
        for kind in ["gG", "aM"] {
            assert!(range.fuses_of(kind).any(|row| row.rating_a >= current), "no {kind} fuse for {current} A");
        }
    }
}

/// Adiabatic limit k²S² with k = 115 of IEC 60364-4-43 Table 43A (copper, PVC), for the smallest cable that carries the top of
/// the range by method C of IEC 60364-5-52 Table B.52.4 (17.5 A, 24 A, 32 A, 41 A for 1.5, 2.5, 4, 6 mm²). The larger frame
/// lets more through, so its 16 A range asks for 2.5 mm².
#[test]
fn motor_breakers_protect_the_smallest_cables_that_they_feed() {
    for row in builtin("iec").motor_breakers.iter().filter(|row| row.range_max_a <= 41.0) {
        let size_mm2 = match row.range_max_a {
            top if top <= 17.5 && row.frame != "63 A" => 1.5,
            top if top <= 24.0 => 2.5,
            top if top <= 32.0 => 4.0,
            _ => 6.0,
        };
        let limit_a2s = (115.0_f64 * size_mm2).powi(2);
        assert!(row.let_through_a2s <= limit_a2s, "{} lets through {} of {limit_a2s} A²s", row.part, row.let_through_a2s);
    }
    assert!(builtin("iec").motor_breakers.iter().all(|row| row.breaking_690_ka < row.breaking_440_ka));
}

/// Type 2 can be had for every common current at 400 V, and not with every set of devices.
#[test]
fn type_2_is_offered_for_common_currents_and_not_for_all_sets() {
    let range = builtin("iec");
    let type_2 = |current: f64| {
        let fits_contactor = |part: &str| range.contactor(part).is_some_and(|row| row.ac3e_440_a.is_some_and(|a| a >= current));
        let holds_current = |part: &str| {
            breakers_for(range, current).any(|row| row.part == part)
                || range.moulded_case_breakers.iter().any(|row| row.part == part && row.rating_a >= current)
        };
        let relay_covers = |part: &str| part.is_empty() || relays_for(range, current).any(|row| row.part == part);
        range.combinations.iter().any(|line| {
            line.coordination == "type-2"
                && line.max_voltage_v >= 400.0
                && fits_contactor(&line.contactor_part)
                && holds_current(&line.protection_part)
                && relay_covers(&line.overload_part)
        })
    };
    for current in [0.5, 1.1, 2.6, 4.9, 8.5, 11.5, 15.5, 22.0, 30.0, 41.0, 55.0, 66.0, 80.0, 97.0, 132.0, 195.0, 280.0, 430.0] {
        assert!(type_2(current), "no type 2 for {current} A");
    }
    assert!(range.combination("GEN-MB16-16", "GEN-C1-16", "", 400.0).is_some_and(|line| line.coordination == "type-1"));
    assert!(range.combination("GEN-MB16-16", "GEN-C2-20", "", 400.0).is_none());
}

#[test]
fn cables_carry_at_least_the_protective_conductor_of_table_54_2() {
    // IEC 60364-5-54 Table 54.2: S to 16 mm², 16 to 35 mm², half above.
    let cables: Vec<_> = builtin("iec").cables.iter().filter(|row| row.cores > 1).collect();
    assert!(!cables.is_empty());
    for row in cables {
        let needed = match row.size_mm2 {
            size if size <= 16.0 => size,
            size if size <= 35.0 => 16.0,
            size => size / 2.0,
        };
        assert!(row.protective_mm2.is_some_and(|size| size >= needed), "{}", row.part);
    }
}

#[test]
fn small_direct_current_coils_suit_a_half_ampere_output() {
    // 24 V, 0.5 A, loaded to 80 %: 9.6 W (starters reference, PLC outputs; common practice, no source).
    let small: Vec<_> = builtin("iec").contactors.iter().filter(|row| ["1", "2"].contains(&row.frame.as_str())).collect();
    assert!(!small.is_empty());
    for row in small {
        assert!(row.coil_dc_pick_up_w.is_some_and(|watts| watts <= 9.0), "{}", row.part);
    }
}

#[test]
fn parts_are_found_by_what_is_known() {
    let range = builtin("iec");
    assert_eq!(range.coil(230.0, false).map(|coil| coil.code.as_str()), Some("A230"));
    assert!(range.coil(230.0, true).is_none());
    let core = range.cable("copper", "pvc", 1, 16.0, false).unwrap();
    assert_eq!(core.protective_mm2, None);
    assert_eq!(range.protective_core("copper", "pvc", 16.0).unwrap().protective_mm2, Some(16.0));
    assert_eq!(range.cable("copper", "xlpe", 4, 95.0, true).unwrap().protective_mm2, Some(50.0));
    assert!(range.cable("aluminium", "pvc", 4, 2.5, false).is_none());
    assert!(range.connecting_module("1", "16 A").is_some());
    assert!(range.connecting_module("1", "63 A").is_none());
    let line = range.combination("GEN-MB16-6.3", "GEN-C1-12.5", "", 400.0).unwrap();
    assert_eq!((line.coordination.as_str(), line.conditional_ka), ("type-2", 50.0));
    assert!(range.combination("GEN-MB16-6.3", "GEN-C1-12.5", "", 690.0).is_none());
    let suppressor = range.accessories_for("suppressor", "1").find(|row| row.suits_voltage(230.0, false)).unwrap();
    assert_ne!(suppressor.variant, "diode");
}

/// Accessories that every frame needs (starters reference 3.2 and the accessory rules).
#[test]
fn every_frame_has_its_accessories() {
    let range = builtin("iec");
    for frame in ["1", "2", "3", "4", "5", "6"] {
        for kind in ["auxiliary-block", "interlock", "wiring-link", "star-bridge", "paralleling-link", "relay-base"] {
            assert!(range.accessories_for(kind, frame).next().is_some(), "{kind} for frame {frame}");
        }
        let contactor = range.contactors.iter().find(|row| row.frame == frame).unwrap();
        assert_ne!(contactor.finger_safe, range.accessories_for("shroud", frame).next().is_some(), "frame {frame}");
        for coil in &range.coils {
            let built_in = if coil.dc { contactor.dc_suppression_built_in } else { contactor.ac_suppression_built_in };
            let offered = range.accessories_for("suppressor", frame).any(|row| row.suits_voltage(coil.volts, coil.dc));
            assert!(built_in || offered, "suppressor for frame {frame} and coil {}", coil.code);
        }
    }
    assert!(range.accessories_alone("timer").any(|row| row.variant == "star-delta"));
}

/// Writes the built-in range into a folder, one file changed.
fn folder_with(name: &str, change: impl Fn(&str) -> String) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let generic = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/catalogue/generic");
    for entry in std::fs::read_dir(generic).unwrap() {
        let path = entry.unwrap().path();
        let file = path.file_name().unwrap().to_str().unwrap().to_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let text = if file == name { change(&text) } else { text };
        std::fs::write(folder.path().join(file), text).unwrap();
    }
    folder
}

fn findings_of(name: &str, change: impl Fn(&str) -> String) -> Vec<Finding> {
    from_folder(folder_with(name, change).path(), "iec").unwrap_err().findings
}

fn place_of(finding: &Finding) -> (String, String) {
    (finding.code.clone(), finding.place.as_ref().unwrap().short())
}

const COILS: &str = "code,volts,dc\nA24,24,false\n";

#[test]
fn an_unchanged_copy_is_the_same_catalogue() {
    let copy = from_folder(folder_with("", str::to_owned).path(), "iec").unwrap();
    assert_eq!(copy.sha256, builtin("iec").sha256);
    assert!(copy.demonstration, "a copy of the invented range stays marked");
}

#[test]
fn own_files_change_the_hash_and_may_be_empty() {
    let catalogue = from_folder(folder_with("coils.csv", |_| "code,volts,dc\r\n".to_owned()).path(), "iec").unwrap();
    assert!(catalogue.coils.is_empty());
    assert_ne!(catalogue.sha256, builtin("iec").sha256);
}

#[test]
fn missing_folder_and_file_are_named() {
    assert!(from_folder(Path::new("/no/such/folder"), "iec").unwrap_err().message.contains("/no/such/folder"));
    let folder = folder_with("", str::to_owned);
    std::fs::remove_file(folder.path().join("drives.csv")).unwrap();
    let error = from_folder(folder.path(), "iec").unwrap_err();
    assert_eq!(error.findings.iter().map(place_of).collect::<Vec<_>>(), [("K101".to_owned(), "drives.csv".to_owned())]);
    let findings = findings_of("coils.csv", |_| String::new());
    assert_eq!(findings.iter().map(place_of).collect::<Vec<_>>(), [("K102".to_owned(), "coils.csv".to_owned())]);
}

#[rstest::rstest]
#[case::lacking_heading("code,volts\nA24,24\n", "K102", "coils.csv, row 1")]
#[case::heading_twice("code,volts,dc,volts\nA24,24,false,24\n", "K103", "coils.csv, D1")]
#[case::no_number("code,volts,dc\nA24,24 V,false\n", "K104", "coils.csv, B2")]
#[case::empty_number("code,volts,dc\nA24,,false\n", "K104", "coils.csv, B2")]
#[case::no_truth("# note\n\ncode,volts,dc\n\nA24,24,maybe\n", "K104", "coils.csv, C5")]
#[case::negative("code,volts,dc\nA24,-24,false\n", "K105", "coils.csv, B2")]
#[case::endless("code,volts,dc\nA24,1e999,false\n", "K105", "coils.csv, B2")]
#[case::zero("code,volts,dc\nA24,0,false\n", "K105", "coils.csv, B2")]
#[case::twice("code,volts,dc\nA24,24,false\nB,24,true\nA24,48,true\n", "K108", "coils.csv, A4")]
#[case::short_row("code,volts,dc\nA24,24\n", "K109", "coils.csv, row 2")]
#[case::no_code("code,volts,dc\n,24,true\n", "K104", "coils.csv, A2")]
fn wrong_coils_are_placed(#[case] text: &str, #[case] code: &str, #[case] place: &str) {
    for text in [text.to_owned(), text.replace('\n', "\r\n")] {
        let findings = findings_of("coils.csv", |_| text.clone());
        assert_eq!(findings.iter().map(place_of).collect::<Vec<_>>(), [(code.to_owned(), place.to_owned())]);
        assert!(!findings[0].cure.is_empty());
    }
}

/// A column that may be lacking and is misspelled is no column of the owner's own.
#[test]
fn a_misspelled_heading_is_placed() {
    let findings = findings_of("overload_relays.csv", |text| text.replace(",transformer_price\n", ",transformer_prise\n"));
    assert!(findings.iter().any(|finding| finding.code == "K103" && finding.what.contains("transformer_price")), "{findings:?}");
}

#[test]
fn all_wrong_cells_of_all_rows_are_listed() {
    let findings = findings_of("coils.csv", |_| format!("{COILS}B,x,y\nC,48,no\n"));
    let places: Vec<String> = findings.iter().map(|finding| place_of(finding).1).collect();
    assert_eq!(places, ["coils.csv, B3", "coils.csv, C3", "coils.csv, C4"]);
    assert_eq!(findings[0].place.as_ref().unwrap().text.as_deref(), Some("x"));
    assert_eq!(findings[0].place.as_ref().unwrap().heading.as_deref(), Some("volts"));
}

#[test]
fn wrong_words_and_ranges_are_placed() {
    let swapped = findings_of("overload_relays.csv", |text| text.replace(",bimetal,1,0.1,0.16,10A,", ",bimetal,1,0.16,0.1,10A,"));
    assert_eq!(place_of(&swapped[0]).0, "K106");
    assert!(place_of(&swapped[0]).1.starts_with("overload_relays.csv, E"), "{swapped:?}");
    let kind = findings_of("fuses.csv", |text| text.replace(",gG,2,", ",gX,2,"));
    assert_eq!(place_of(&kind[0]).0, "K107");
    assert!(place_of(&kind[0]).1.starts_with("fuses.csv, C"), "{kind:?}");
    let release =
        findings_of("moulded_case_breakers.csv", |text| text.replace(",distribution,16,11.2,16,", ",distribution,16,,16,"));
    assert_eq!(place_of(&release[0]).0, "K106");
}

#[test]
fn text_that_is_not_utf_8_is_named() {
    let folder = folder_with("", str::to_owned);
    std::fs::write(folder.path().join("coils.csv"), b"code,volts,dc\nA\xff,24,true\n").unwrap();
    let error = from_folder(folder.path(), "iec").unwrap_err();
    assert_eq!(error.findings.len(), 1);
    assert_eq!(place_of(&error.findings[0]), ("K101".to_owned(), "coils.csv".to_owned()));
}

#[test]
fn what_does_not_fit_together_is_a_warning() {
    let mut range = builtin("iec").clone();
    range.overload_relays.retain(|row| row.kind != "electronic" || row.range_min_a > 2.0 || row.range_min_a < 1.0);
    range.combinations.push(Combination { contactor_part: "X-1".to_owned(), ..range.combinations[0].clone() });
    range.accessories.push(AccessoryPart { fits_frames: "9".to_owned(), ..range.accessories[0].clone() });
    range.contactors[0].ac3_690_a = Some(900.0);
    let codes: std::collections::BTreeSet<String> = check(&range).into_iter().map(|finding| finding.code).collect();
    assert_eq!(codes.iter().map(String::as_str).collect::<Vec<_>>(), ["K201", "K202", "K203", "K204"]);
}

/// Codes and texts of what a check finds in a changed built-in range.
fn checked(change: impl Fn(&mut Catalogue)) -> Vec<String> {
    let mut range = builtin("iec").clone();
    change(&mut range);
    check(&range).into_iter().map(|finding| format!("{} {}", finding.code, finding.what)).collect()
}

#[test]
fn a_frame_without_a_needed_accessory_is_said() {
    assert!(checked(|_| {}).is_empty());
    let without = |kind: &'static str, frame: &'static str| {
        checked(move |range| range.accessories.retain(|accessory| accessory.kind != kind || accessory.fits_frames != frame))
    };
    assert_eq!(without("interlock", "2"), ["K206 frame 2 has no interlock"]);
    assert_eq!(without("shroud", "3"), ["K206 frame 3 has no terminal shroud"]);
    // Frame 1 is finger-safe by itself.
    assert!(without("shroud", "1").is_empty());
    assert_eq!(
        without("connecting-module", "1"),
        ["K206 frame 1 has no connecting module to breaker frame 16 A, with which it pairs"]
    );
    let blocks = checked(|range| range.accessories.retain(|accessory| accessory.kind != "auxiliary-block"));
    assert_eq!(blocks.len(), 6, "{blocks:?}");
    let varistors = checked(|range| {
        range.accessories.retain(|accessory| {
            accessory.variant != "varistor" || accessory.fits_frames != "2" || accessory.min_voltage_v != Some(220.0)
        });
    });
    // DC coils of the range bring their suppression.
    assert_eq!(varistors, ["K206 frame 2 has no varistor suppressor for coils of 230 V AC"]);
}

#[test]
fn relays_that_do_not_reach_and_timers_of_no_coil_are_said() {
    let relays = checked(|range| {
        range.combinations.clear();
        range.overload_relays.retain(|relay| relay.fits_frames != "3" || relay.range_max_a <= 50.0);
    });
    assert_eq!(relays, ["K206 frame 3 has no overload relay above 50 A, though it is for 80 A"]);
    let timers = checked(|range| {
        range.accessories.retain(|accessory| accessory.kind != "timer" || accessory.max_voltage_v == Some(240.0))
    });
    // Front timers alone are left: none runs on without its coil.
    let all = "24 V AC, 48 V AC, 110 V AC, 230 V AC, 400 V AC, 24 V DC, 48 V DC, 110 V DC";
    let expected = [
        "K206 no star-delta timer suits coils of 400 V AC".to_owned(),
        "K206 no on-delay timer suits coils of 400 V AC".to_owned(),
        format!("K206 no off-delay timer suits coils of {all}"),
    ];
    assert_eq!(timers, expected);
}

#[test]
fn a_part_number_in_two_families_is_said() {
    let found = checked(|range| range.isolators[0].part = range.drives[0].part.clone());
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("K207 GEN-VD4-1.25 stands in "), "{found:?}");
}

#[test]
fn small_material_may_be_missing_and_says_so() {
    let folder = folder_with("", str::to_owned);
    std::fs::remove_file(folder.path().join("glands.csv")).unwrap();
    let catalogue = from_folder(folder.path(), "iec").unwrap();
    assert!(
        catalogue.glands.is_empty() && catalogue.lacks.contains(&"glands") && !catalogue.lacks.contains(&"lugs"),
        "{:?}",
        catalogue.lacks
    );
    assert!(check(&catalogue).is_empty(), "cables without glands are no contradiction where there are none");
}

/// Writes a price list beside the built-in range.
fn priced(lines: &str) -> Result<Catalogue, CatalogueError> {
    let folder = folder_with("", str::to_owned);
    let text = format!("part,price,currency,packing_quantity,lead_days,remark\n{lines}");
    std::fs::write(folder.path().join("prices.csv"), text).unwrap();
    from_folder(folder.path(), "iec")
}

#[test]
fn the_price_list_prevails_and_knows_coils() {
    let catalogue = priced("GEN-C1-10,21.50,EUR,1,5,\nGEN-C1-10-A230,20,EUR,,,\nGEN-LU-16,,,100,,sold in hundreds\n").unwrap();
    let register = Register::new(&catalogue);
    let price = |part: &str| register.part(part).map(|part| part.price);
    // A coil with a price of its own has that; every other coil has the contactor's.
    assert_eq!([price("GEN-C1-10-A230"), price("GEN-C1-10-A24")], [Some(Some(20.0)), Some(Some(21.5))]);
    assert_eq!(price("GEN-C1-10-A999"), None, "no such coil");
    assert_eq!(price("GEN-C1-12.5"), Some(None), "a part without price has none");
    let lug = register.part("GEN-LU-16").unwrap();
    assert_eq!((lug.family, lug.price, lug.packing, lug.remark), ("lugs", None, Some(100.0), "sold in hundreds"));
    assert!(check(&catalogue).is_empty());
}

#[rstest::rstest]
#[case::mistyped("GEN-C1-1O,21.50,EUR,1,5,\n", "K211")]
fn a_price_of_an_unknown_part_is_a_warning(#[case] lines: &str, #[case] code: &str) {
    let findings = check(&priced(lines).unwrap());
    assert_eq!(findings.iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), [code]);
}

#[rstest::rstest]
#[case::free_of_charge("GEN-C1-10,0,EUR,1,5,\n", "K105")]
#[case::no_number("GEN-C1-10,ask,EUR,1,5,\n", "K104")]
#[case::below_nothing("GEN-C1-10,-2,EUR,1,5,\n", "K105")]
#[case::packs_of_none("GEN-C1-10,2,EUR,0,5,\n", "K105")]
#[case::twice("GEN-C1-10,2,EUR,1,5,\nGEN-C1-10,3,EUR,1,5,\n", "K108")]
fn a_price_that_cannot_be_right_is_placed(#[case] lines: &str, #[case] code: &str) {
    let error = priced(lines).unwrap_err();
    assert!(
        error.findings.iter().all(|finding| finding.code == code && place_of(finding).1.starts_with("prices.csv")),
        "{error:?}"
    );
}

// IEC 60529: first digit dust and touch, second water; 7 and 8 are immersion and do not include jets (clause 6).
#[rstest::rstest]
#[case("IP55", "IP54", true)]
#[case("IP55", "IP65", false)]
#[case("IP66", "IPX4", true)]
#[case("IP67", "IP65", false)]
#[case("1 3R 12", "NEMA 3R", true)]
#[case("1 3R 12", "Type 4X", false)]
#[case("1 3R 12", "12", true)]
#[case("IP55", "NEMA 12", false)]
#[case("IP55", "", false)]
fn an_enclosure_serves_its_degree_and_less(#[case] degree: &str, #[case] wanted: &str, #[case] serves: bool) {
    let mut enclosure = builtin("iec").enclosures[0].clone();
    degree.clone_into(&mut enclosure.degree);
    assert_eq!(enclosure.serves(wanted), serves);
}

/// Temperature rise of the air in an enclosure by Newton's law of cooling, K.
fn rise(heat_w: f64, surface_m2: f64) -> f64 {
    // W/(m² K) of a painted steel enclosure: from memory.
    heat_w / (5.5 * surface_m2)
}

#[test]
fn an_enclosure_gives_off_its_heat_at_the_rise_that_it_is_declared_for() {
    // Worked example: 200 W, 2.5 m² effective surface: 14.5 K.
    assert!((rise(200.0, 2.5) - 14.5).abs() < 0.2);
    for range in [builtin("iec"), builtin("nec")] {
        assert!(range.enclosures.len() > 8);
        for enclosure in &range.enclosures {
            let [height, width, depth] = [enclosure.height_mm, enclosure.width_mm, enclosure.depth_mm].map(|mm| mm / 1000.0);
            // Factors of IEC TR 60890 for a single enclosure at a wall, from memory: top 1.4, front and sides 0.9, rear 0.5.
            let surface = 1.4 * width * depth + (0.9 + 0.5) * height * width + 2.0 * 0.9 * height * depth;
            let rise = rise(enclosure.dissipation_w, surface);
            // The families declare their heat at 15 K, in round figures.
            assert!((rise - 15.0).abs() < 0.06 * 15.0, "{}: {rise} K", enclosure.part);
        }
    }
}

/// Heat of three poles, W.
fn pole_loss(current_a: f64, milliohms: f64) -> f64 {
    3.0 * current_a * current_a * milliohms / 1000.0
}

#[test]
fn contactors_give_off_the_heat_of_their_poles_and_coils() {
    // Worked example: 32 A through poles of 1.8 mΩ: 5.5 W.
    assert!((pole_loss(32.0, 1.8) - 5.5).abs() < 0.1);
    // Poles of one contactor after its life test, mΩ, by its rated current: a selection guide of contactors (public, without brand here).
    const PUBLISHED: [(f64, f64, f64); 8] = [
        (12.5, 3.8, 8.0),
        (20.0, 3.6, 5.2),
        (25.0, 2.9, 4.3),
        (35.0, 1.7, 2.5),
        (50.0, 1.6, 2.2),
        (65.0, 0.6, 1.2),
        (125.0, 0.6, 1.0),
        (160.0, 0.3, 0.6),
    ];
    let mut tried = 0;
    for range in [builtin("iec"), builtin("nec")] {
        for contactor in range.contactors.iter().filter(|contactor| !contactor.is_for_capacitors()) {
            let rated = contactor.load_rating_a();
            let Some((_, least, most)) = PUBLISHED.iter().find(|(to, ..)| rated <= *to) else { continue };
            let coil = contactor.coil_ac_hold_va * contactor.coil_ac_hold_power_factor.unwrap_or(0.3);
            // The ratings of one housing share its poles, so a class of the list above or below may be meant: twice, or half.
            let bounds = (coil + pole_loss(rated, least / 2.0), coil + pole_loss(rated, most * 2.0));
            assert!(
                bounds.0 <= contactor.loss_w && contactor.loss_w <= bounds.1,
                "{}: {} W, not in {bounds:?}",
                contactor.part,
                contactor.loss_w
            );
            tried += 1;
        }
    }
    assert!(tried > 20, "{tried}");
}

/// A motor of 115 V does not get the horsepower that its switch has at 230 V, where none is stated for its own voltage.
#[test]
fn a_switch_has_no_horsepower_of_a_higher_voltage() {
    let fuse = Fuse { switch_hp_1ph_230: Some(10.0), ..builtin("nec").fuses[0].clone() };
    let without = Fuse { switch_hp_1ph_115: None, ..fuse.clone() };
    assert_eq!([115.0, 230.0, 460.0].map(|volts| without.switch_horsepower(1, volts)), [None, Some(10.0), None]);
    assert_eq!(Fuse { switch_hp_1ph_115: Some(3.0), ..fuse }.switch_horsepower(1, 115.0), Some(3.0));
}

/// Barriers part the terminals of moulded-case circuit-breakers: where the range has none of those, it lacks no barrier.
#[test]
fn a_kind_is_needed_where_the_parts_are_that_need_it() {
    let lacks = |catalogue: &Catalogue| check(catalogue).iter().any(|finding| finding.what.contains("phase barrier"));
    let mut range = builtin("iec").clone();
    range.accessories.retain(|accessory| accessory.kind != "phase-barrier");
    assert!(lacks(&range));
    range.moulded_case_breakers.clear();
    assert!(!lacks(&range));
}
