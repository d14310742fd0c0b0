use super::*;
use rstest::rstest;

/// The contract has four words (3L, 3L+N, L-L, L-N); the others say the same as IEC 61293 or people do. A neutral is there only where a
/// word for it stands, and never by a letter within another word.
#[rstest]
#[case("3L", Some(false))]
#[case("3L+N", Some(true))]
#[case("L-L", Some(false))]
#[case("L-N", Some(true))]
#[case("l1-n", Some(true))]
#[case("3/N/PE", Some(true))]
#[case("3LNPE", Some(true))]
#[case("3P+N+PE", Some(true))]
#[case("3Ph+N", Some(true))]
#[case("1PN", Some(true))]
#[case("3 phases and neutral", Some(true))]
#[case("phase-neutral", Some(true))]
#[case("4W", Some(true))]
#[case("four wire", Some(true))]
#[case("3W", Some(false))]
#[case("line-line", Some(false))]
#[case("between lines", Some(false))]
#[case("two lines", Some(false))]
#[case("L1-L2", Some(false))]
#[case("L1/L2/L3+PE", Some(false))]
#[case("delta connection", Some(false))]
#[case("Y/Δ", Some(false))]
#[case("no neutral", Some(false))]
#[case("3L without neutral", Some(false))]
#[case("3L w/o N", Some(false))]
#[case("ohne Neutralleiter", Some(false))]
#[case("main", None)]
#[case("canteen", None)]
#[case("see drawing N-12", None)]
#[case("", None)]
fn the_connection_of_a_load(#[case] text: &str, #[case] neutral: Option<bool>) {
    assert_eq!(connection_has_neutral(text), neutral, "{text}");
}

/// IEC 61293 and the usual words of NFPA 70 for systems; a neutral that is only earthed, kept away or denied serves no load.
#[rstest]
#[case("480Y/277 4W solidly grounded", true, false)]
#[case("480Y/277 4W high-resistance grounded", true, false)]
#[case("480Y/277 3W", false, true)]
#[case("480 delta 3-wire", false, true)]
#[case("240/120 3W", false, true)]
#[case("400 V 3L+N", true, false)]
#[case("400 V 3L", false, false)]
#[case("400 V 3L without neutral", false, false)]
#[case("400 V, no neutral", false, false)]
#[case("neutral not distributed", false, false)]
#[case("400 V, Neutralleiter nicht verteilt", false, false)]
#[case("400 V, geen nul", false, false)]
#[case("isolated neutral", false, false)]
#[case("3/N/PE ~ 400/230 V", true, false)]
#[case("3NPE 400 V", true, false)]
#[case("5W", true, false)]
#[case("TN-S", false, false)]
#[case("ungrounded", false, false)]
#[case("n/a", false, false)]
#[case("", false, false)]
fn the_words_of_a_system(#[case] text: &str, #[case] neutral: bool, #[case] three_wires: bool) {
    assert_eq!(System::read(text), System { neutral, three_wires }, "{text}");
}

fn pair(text: &str, board: &str, book: &str) -> bool {
    let (basis, _) = crate::basis::from_toml("basis.toml", text).expect("a basis");
    pair_is_to_neutral(&basis, board, crate::rules::book(book, None).expect("a book"))
}

/// IEC 60038: 230 V is the voltage to the neutral of 400 V. NFPA 70, 220.5(A): 120 V lies between a leg and the neutral of 120/240 V, 240 V
/// between its legs, 208 V between two lines of 208Y/120.
#[test]
fn the_two_conductors_of_a_board() {
    let iec = |board: &str| format!("[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\n[[board]]\nname = \"MCC\"\n{board}");
    let fed = "[[board]]\nname = \"LP\"\nfed_from = \"MCC\"\nphases = 1\n";
    assert!(pair(&iec(&format!("{fed}voltage_v = 230\n")), "LP", "iec"));
    assert!(!pair(&iec(&format!("{fed}voltage_v = 400\n")), "LP", "iec"), "between two lines");
    assert!(!pair(&iec(&format!("{fed}voltage_v = 230\nearthing = \"IT\"\n")), "LP", "iec"));
    assert!(!pair(&iec(&format!("{fed}voltage_v = 230\nsystem = \"L-L\"\n")), "LP", "iec"));
    assert!(!pair(&iec(fed), "MCC", "iec"), "three phases");
    let below = "[[board]]\nname = \"LP-2\"\nfed_from = \"LP\"\n";
    assert!(pair(&iec(&format!("{fed}voltage_v = 230\n{below}")), "LP-2", "iec"), "as the board before");
    let supply = |volts: f64, system: &str| {
        format!("[supply]\nvoltage_v = {volts}\nphases = 1\nsystem = \"{system}\"\n[[board]]\nname = \"A\"\n")
    };
    assert!(pair(&supply(230.0, ""), "A", "iec"));
    assert!(!pair(&supply(240.0, ""), "A", "nec") && !pair(&supply(240.0, "120/240 3W"), "A", "nec"));
    assert!(!pair(&supply(208.0, ""), "A", "nec"));
    assert!(pair(&supply(120.0, ""), "A", "nec") && pair(&supply(277.0, ""), "A", "nec"));
    assert!(pair(&supply(240.0, "2W L-N"), "A", "nec"));
}
