use super::*;

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
