//! Tags of several machines as schedules write them.

use super::*;

#[rstest::rstest]
#[case::single("P-101", &["P-101"])]
#[case::pair("P-101A/B", &["P-101A", "P-101B"])]
#[case::four("FL-131A/B/C/D", &["FL-131A", "FL-131B", "FL-131C", "FL-131D"])]
#[case::t_m("EF-01 t/m 03", &["EF-01", "EF-02", "EF-03"])]
#[case::thru("EF-1 thru EF-4", &["EF-1", "EF-2", "EF-3", "EF-4"])]
#[case::to("FIV-237 to FIV-238", &["FIV-237", "FIV-238"])]
#[case::short_end("EF-9 to 11", &["EF-9", "EF-10", "EF-11"])]
#[case::leading_zeros("P-08 to P-10", &["P-08", "P-09", "P-10"])]
#[case::letters("P-7A to C", &["P-7A", "P-7B", "P-7C"])]
#[case::comma_list("P-1, P-2 & P-5", &["P-1", "P-2", "P-5"])]
#[case::short_numbers("P-101/102", &["P-101", "P-102"])]
#[case::whole_tags("P-101/P-102", &["P-101", "P-102"])]
#[case::range_and_one("EF-1 thru EF-2, EF-5", &["EF-1", "EF-2", "EF-5"])]
#[case::stroke_in_a_name("A/C-1", &["A/C-1"])]
#[case::no_numbers("Fan to roof", &["Fan to roof"])]
#[case::blank_before_letters("P-201 A/B/C", &["P-201A", "P-201B", "P-201C"])]
#[case::letters_by_hyphen("P-101A-C", &["P-101A", "P-101B", "P-101C"])]
#[case::short_list("EF-1,2,3", &["EF-1", "EF-2", "EF-3"])]
#[case::and("EF-1 & 2", &["EF-1", "EF-2"])]
#[case::dots("AHU-1...4", &["AHU-1", "AHU-2", "AHU-3", "AHU-4"])]
#[case::tilde("FCU-01~03", &["FCU-01", "FCU-02", "FCU-03"])]
#[case::designation("=A1+M01", &["=A1+M01"])]
#[case::letters_through("P-7A to P-7D", &["P-7A", "P-7B", "P-7C", "P-7D"])]
#[case::letters_in_brackets("P-201 (A/B)", &["P-201A", "P-201B"])]
#[case::counted_list("P-101A/B (2)", &["P-101A", "P-101B"])]
#[case::counted("AHU-2 (2)", &["AHU-2 (2)"])]
#[case::not_ascii("Lüfter-3ü", &["Lüfter-3ü"])]
#[case::up_to("P-501 UP TO 503", &["P-501", "P-502", "P-503"])]
#[case::letter_in_german("P108 A u. B", &["P108A", "P108B"])]
#[case::letter_in_french("P-109A et B", &["P-109A", "P-109B"])]
#[case::letter_in_spanish("P-110 A y B", &["P-110A", "P-110B"])]
#[case::letter_in_italian("P-111A e B", &["P-111A", "P-111B"])]
#[case::letters_apart("EF-3 A-C", &["EF-3A", "EF-3B", "EF-3C"])]
#[case::letters_with_a_comma("EF-2(A,B)", &["EF-2A", "EF-2B"])]
#[case::letters_to("P-701 (A TO D)", &["P-701A", "P-701B", "P-701C", "P-701D"])]
#[case::whole_ends("M1-M4", &["M1", "M2", "M3", "M4"])]
#[case::whole_ends_by_a_dash("M51–M53", &["M51", "M52", "M53"])]
#[case::whole_ends_by_a_colon("M61:M62", &["M61", "M62"])]
#[case::whole_ends_with_hyphens("EF-1-EF-3", &["EF-1", "EF-2", "EF-3"])]
#[case::square_letters("P-1701[A-B]", &["P-1701A", "P-1701B"])]
#[case::square_number("P-5[1]", &["P-5[1]"])]
#[case::square_word("AHU-1 [SF]", &["AHU-1 [SF]"])]
#[case::duty_of_a_pair("P-202A/B (duty/standby)", &["P-202A", "P-202B"])]
#[case::other_prefixes("MCC-1-P-2", &["MCC-1-P-2"])]
#[case::descending("P2-P1", &["P2-P1"])]
#[case::plus("P-105 + P-106", &["P-105", "P-106"])]
#[case::large_and("P-301 AND 302", &["P-301", "P-302"])]
#[case::figures_and_letters("EF-1A/1B/1C", &["EF-1A", "EF-1B", "EF-1C"])]
#[case::designated("=L4+NAS-M1..M6", &["=L4+NAS-M1", "=L4+NAS-M2", "=L4+NAS-M3", "=L4+NAS-M4", "=L4+NAS-M5", "=L4+NAS-M6"])]
#[case::designated_number("=L4+NAS-M1..3", &["=L4+NAS-M1", "=L4+NAS-M2", "=L4+NAS-M3"])]
#[case::designated_with_its_mark("+NAS-M1...-M2", &["+NAS-M1", "+NAS-M2"])]
#[case::designated_whole("=L4-M1 to =L4-M2", &["=L4-M1", "=L4-M2"])]
#[case::designated_pair("=L4+RAF-M1/M2", &["=L4+RAF-M1", "=L4+RAF-M2"])]
#[case::shortened_end("NAS-M1..M3", &["NAS-M1", "NAS-M2", "NAS-M3"])]
#[case::shortened_pair("RAF-M1/M2", &["RAF-M1", "RAF-M2"])]
#[case::number_before_the_last("FCU 3-1 thru 3-3", &["FCU 3-1", "FCU 3-2", "FCU 3-3"])]
#[case::summed("P-201 A/B/C (2+1)", &["P-201A", "P-201B", "P-201C"])]
fn expands(#[case] text: &str, #[case] expected: &[&str]) {
    assert_eq!(expand(text), Tags::Read(expected.iter().map(|tag| (*tag).to_owned()).collect()));
}

/// How schedules write several machines in one cell, by the survey of a reviewer.
#[rstest::rstest]
#[case("MCC-1/P-1")]
#[case("AHU-13-1 thru 3-3")]
#[case("P-110 A y B")]
#[case("P-111A e B")]
#[case("P-901 A|B")]
#[case("P-300 (duty/standby)")]
#[case("P-303 (duty/assist/standby)")]
#[case("CF-1 (TYP. 4)")]
#[case("CF-2 TYP OF 6")]
#[case("=L4+NAS-M1..K6")]
#[case("=L4+RAF-M3/4")]
#[case("=L4+RAF-M1, M2")]
fn asks_about_what_may_be_several(#[case] text: &str) {
    let one = matches!(expand(text), Tags::Unclear(_)) || matches!(expand(text), Tags::Read(tags) if tags.len() == 1);
    assert!(!one || looks_like_several(text), "{:?}", expand(text));
    assert!(!is_plain(text));
}

#[rstest::rstest]
#[case("P-101")]
#[case("AHU 3 - Supply fan")]
#[case("=A1+M01")]
#[case("=A1+M01-M2")]
#[case("=A1+S2/P1")]
#[case("P-101-A")]
#[case("MCC-1-P-2")]
#[case("Pump 3 to drain")]
#[case("SPARE DB-2 a")]
fn leaves_single_tags_alone(#[case] text: &str) {
    assert!(!looks_like_several(text));
}

#[test]
fn a_word_behind_and_is_no_tag() {
    assert_eq!(expand("P-7 and standby"), Tags::Unclear("P-7 and standby".to_owned()));
}

#[rstest::rstest]
#[case::backwards("EF-4 to EF-1")]
#[case::other_prefix("EF-1 to SF-4")]
#[case::too_many("EF-1 to EF-300")]
#[case::endless("EF-1 to EF-999999999")]
#[case::too_many_digits("EF-1 to EF-99999999999999999999999")]
fn refuses(#[case] text: &str) {
    assert!(matches!(expand(text), Tags::BadRange(_)), "{:?}", expand(text));
}

proptest::proptest! {
    #[test]
    fn never_panics(text in "[=+]?[A-Ca-c0-9/,;& .…–ü-]{0,24}( to | thru )?[A-C0-9ü-]{0,6}") {
        expand(&text);
    }

    #[test]
    fn a_tag_that_says_itself_is_read_so_the_whole_way(text in "[A-Za-zx0-9_-]{0,8}[0-9][A-Da-z0-9_-]{0,4}|[0-9]{0,70}") {
        use crate::intake::{Content, cells, fold, text as texts, values};
        use crate::load::{Field, Value};
        if says_itself(&text) {
            let read = values::read(Field::Tag.spec(), &Content::Text(text.as_str().into())).ok().flatten();
            proptest::prop_assert_eq!(read, Some(Value::Tags([text.as_str().into()].into())));
            let tidy = fold::plain_hyphens(&fold::tidy(&text)).into_owned();
            proptest::prop_assert!(tidy == text && !cells::is_nothing(&text) && !cells::is_open(&text) && !texts::is_error(&text));
        }
    }

    #[test]
    fn a_plain_tag_stands_for_itself(text in "[A-Ca-c0-9_-]{0,8}(-[A-D])?|[A-Ca-c0-9_/,;& .…–ü-]{0,8}") {
        proptest::prop_assert!(!is_plain(&text) || expand(&text) == Tags::Read(vec![text.clone()]), "{}", text);
    }
}
