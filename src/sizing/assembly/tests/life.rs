//! The life of contacts that is wanted: by operations, by years, out of reach.

use super::*;

#[test]
fn a_wanted_life_chooses_a_larger_contactor_and_says_so() {
    let plain = size(PUMP);
    let asked = size(&with(PUMP, &[("required_operations", "4000000")]));
    let (small, large) = (main_contactor(&plain), main_contactor(&asked));
    assert_eq!((small.part.as_str(), small.governed_by.as_str()), ("GEN-C1-12.5-A230", "contactor-duty"));
    assert!(large.rated_a > small.rated_a && large.governed_by == "contactor-life", "{large:?}");
    // 1.3 million operations at its rating, exponent 1.4: a rating of 31.5 A lasts 1.3 × (31.5 / 11.5)^1.4 = 5.32 million,
    // one of 25 A 1.3 × (25 / 11.5)^1.4 = 3.86 million.
    assert_eq!(large.part, "GEN-C2-31.5-A230");
    let expected = large.expected_operations.expect("a life");
    assert!((expected / 5.32e6 - 1.0).abs() < 0.01, "{expected}");
}

#[test]
fn inching_wears_contacts_sooner() {
    let of = |share: &'static str| {
        let circuit = size(&with(PUMP, &[("inching_share_pct", share), ("rated_power_kw", "4"), ("full_load_current_a", "8.1")]));
        main_contactor(&circuit).expected_operations.expect("a life")
    };
    assert!(of("0") > of("1") && of("1") > of("10"), "{} {} {}", of("0"), of("1"), of("10"));
}

#[test]
fn years_follow_from_starts_and_hours() {
    // 30 starts an hour, 4000 h a year: 120 000 operations a year; 10 years of them are 1.2 million.
    let mut basis = basis();
    basis.design.service_hours_per_year = Some(4_000.0);
    let (circuit, _) = size_with(&row(&with(PUMP, &[("starts_per_hour", "30")])), &basis);
    let contactor = main_contactor(&circuit);
    let (operations, years) = contactor.expected_operations.zip(contactor.expected_years).expect("a life");
    assert!((years - operations / 120_000.0).abs() < 0.01, "{operations} {years}");
    let said = circuit.findings.iter().find(|finding| finding.code == "C212").expect("it is said");
    assert!(said.what.contains("30 starts an hour") && said.what.contains("4000 hours"), "{}", said.what);
    // The years of the basis are a demand: 40 of them want 4.8 million operations.
    basis.design.contact_life_years = Some(40.0);
    let (asked, _) = size_with(&row(&with(PUMP, &[("starts_per_hour", "30")])), &basis);
    assert!(main_contactor(&asked).expected_operations.expect("a life") >= 4.8e6);
    assert_eq!(main_contactor(&asked).governed_by, "contactor-life");
}

#[test]
fn a_life_out_of_reach_leaves_a_contactor_and_a_failed_check() {
    let circuit = size(&with(PUMP, &[("required_operations", "25000000")]));
    // Not the largest of the range, which lasts that long no more than the one that the duty asks for.
    let duty = size(PUMP);
    assert_eq!(main_contactor(&circuit).part, main_contactor(&duty).part);
    assert_ne!(main_contactor(&circuit).governed_by, "contactor-life");
    let check = circuit.checks.iter().find(|check| check.name == "contactor-life").expect("it is listed");
    assert_eq!(check.passed, Some(false));
    assert!(circuit.findings.iter().any(|finding| finding.code == "C101"));
    // Shorter than a year even at the best: said as what it is.
    let (circuit, _) = size_with(&row(&with(PUMP, &[("starts_per_hour", "600"), ("inching_share_pct", "5")])), &basis());
    assert!(circuit.findings.iter().any(|finding| finding.code == "C213"), "{:?}", circuit.findings);
}
