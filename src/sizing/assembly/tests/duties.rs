//! The category in which a contactor is asked, and how large that makes it.

use super::*;

/// A contactor without a word on high-efficiency motors stands in for 1.15 times the current where the starting current is not stated,
/// and for k / 7.2 times where it is (rule of this program). 27 A · 1.15 = 31.05 A: 31.5 A holds; 27 A · 8.5 / 7.2 = 31.9 A: 31.5 A does
/// not, 40 A is a rating of reduced life, 50 A holds. A motor of which nothing is stated is taken as a new one: 28 A · 1.15 = 32.2 A.
#[test]
fn a_high_starting_current_of_the_basis_or_of_an_unknown_class_asks_for_a_larger_contactor() {
    let mut catalogue = crate::catalogue::builtin("iec").clone();
    for contactor in &mut catalogue.contactors {
        contactor.suits_ie3 = false;
        (contactor.ac3e_440_a, contactor.ac3e_500_a, contactor.ac3e_690_a) = (None, None, None);
    }
    let of = |amperes: &'static str, class: &'static str, cell: &'static str, project: Option<f64>| {
        let mut basis = basis();
        basis.starting.locked_rotor_ratio = project;
        let mut cells = with(PUMP, &[("rated_power_kw", "15"), ("full_load_current_a", amperes), ("protection_kind", "gG")]);
        cells.retain(|(name, _)| !matches!(*name, "efficiency_class" | "locked_rotor_ratio"));
        cells
            .extend([("efficiency_class", class), ("locked_rotor_ratio", cell)].into_iter().filter(|(_, text)| !text.is_empty()));
        let circuit = size_in(&row(&cells), &basis, &catalogue, &Pins::default()).0;
        let told = circuit.findings.iter().any(|finding| finding.code == "L320" && finding.what.contains("IE3"));
        let contactor = main_contactor(&circuit);
        (contactor.category.clone(), contactor.part.clone(), told)
    };
    let is = |category: &str, part: &str, told: bool| (category.to_owned(), part.to_owned(), told);
    let (small, large) = ("GEN-C2-31.5-A230", "GEN-C3-50-A230");
    for (class, cell, project) in [("IE2", "", None), ("IE2", "7", None), ("", "7", None), ("", "", Some(7.0))] {
        assert_eq!(of("28", class, cell, project), is("AC-3", small, false), "{class} {cell} {project:?}");
    }
    assert_eq!(of("27", "IE3", "", None), is("AC-3e", small, false));
    for (class, cell, project) in
        [("IE3", "8.5", None), ("IE3", "", Some(8.5)), ("IE2", "8.5", None), ("IE2", "", Some(8.5)), ("", "", Some(8.5))]
    {
        assert_eq!(of("27", class, cell, project), is("AC-3e", large, false), "{class} {cell} {project:?}");
    }
    assert_eq!((of("27", "", "", None), of("28", "", "", None)), (is("AC-3e", small, true), is("AC-3e", large, true)));
}

/// IEC 60947-4-1, Table 1: AC-4 is the category of inching; by its note (memory) AC-3 serves up to ten such operations in ten minutes, 60
/// an hour. 20 % of 300 starts are 60, of 310 they are 62; 99 % is inching as a service. What stays in AC-3 is told with the life of the
/// mix, and waits where the starts an hour are not stated.
#[test]
fn a_motor_that_is_inched_as_its_service_gets_ac_4_and_one_that_is_now_and_then_is_told() {
    let of = |share: &'static str, per_hour: &'static str| {
        let more = [("inching_share_pct", share), ("starts_per_hour", per_hour)];
        let more: Vec<_> = more.into_iter().filter(|(_, text)| !text.is_empty()).collect();
        let circuit = size(&with(PUMP, &more));
        let contactor = main_contactor(&circuit);
        let told = circuit.findings.iter().find(|finding| finding.code == "C231" || finding.code == "C235");
        assert!(told.is_none_or(|finding| finding.what.contains(share) && finding.what.contains("last about")));
        (contactor.category.clone(), told.map_or(String::new(), |finding| finding.code.to_string()))
    };
    let is = |category: &str, code: &str| (category.to_owned(), code.to_owned());
    assert_eq!((of("100", ""), of("99", ""), of("50", "")), (is("AC-4", ""), is("AC-4", ""), is("AC-4", "")));
    assert_eq!((of("20", "300"), of("20", "310"), of("20", "")), (is("AC-3", "C231"), is("AC-4", ""), is("AC-3", "C235")));
    assert_eq!(of("0", "300"), is("AC-3", ""));
}

/// IEC 60947-4-2: behind a soft starter the thyristors make and break the current (AC-53); IEC 60947-4-1, Table 1: AC-3 and AC-4 are of
/// what a contactor makes and breaks. Words of AC-3e are told where a contactor is asked in it.
#[test]
fn what_a_soft_starter_inches_no_contactor_does() {
    let of = |method: &'static str, more: &[(&'static str, &'static str)]| {
        let mut cells = with(PUMP, &[("starting_method", method), ("protection_kind", "gG"), ("line_contactor", "yes")]);
        cells.retain(|(name, _)| !matches!(*name, "efficiency_class" | "locked_rotor_ratio"));
        cells.extend_from_slice(more);
        size(&cells)
    };
    let categories =
        |circuit: &Circuit| circuit.contactors.iter().map(|contactor| contactor.category.clone()).collect::<Vec<_>>();
    let told = |circuit: &Circuit, code: &str| circuit.findings.iter().any(|finding| finding.code == code);
    for more in [&[("inching_share_pct", "60")][..], &[("duty", "S5")]] {
        let soft = of("soft-starter", more);
        assert_eq!(categories(&soft), ["AC-3"]);
        assert!(told(&soft, "C236") && soft.status == crate::design::Status::NeedsDecision, "{:?}", soft.findings);
        assert!(!["C231", "C235", "C312"].iter().any(|code| told(&soft, code)), "{:?}", soft.findings);
        let direct = of("direct", more);
        assert!(categories(&direct) == ["AC-4"] && !told(&direct, "C236"), "{:?}", direct.findings);
    }
    assert!(!told(&of("soft-starter", &[]), "C236"));
    let words =
        |circuit: &Circuit| circuit.findings.iter().any(|finding| finding.code == "L320" && finding.what.contains("AC-3e"));
    for (method, more, expected) in [
        ("direct", &[][..], true),
        ("star-delta", &[("motor_voltages", "400/690")][..], true),
        ("soft-starter", &[][..], false),
        ("rotor-resistance", &[][..], false),
        ("manual", &[][..], false),
        ("direct", &[("inching_share_pct", "60")][..], false),
    ] {
        assert_eq!(words(&of(method, more)), expected, "{method}");
    }
}
