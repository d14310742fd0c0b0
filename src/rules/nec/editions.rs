//! How each edition names what its formulas cite: a document of one edition names none of another's numbers.

use crate::record::Naming;
use crate::rules::nec::Edition;

/// Sources of formulas as these name them, then as the editions of 2017, 2020 and 2023 do.
const SOURCES: &[(&str, [&str; 3])] = &[
    (
        "NFPA 70, 310.15(B) and (C); 310.15(B)(2) and (3) in 2017",
        ["NFPA 70, 310.15(B)(2) and (3)", "NFPA 70, 310.15(B) and (C)", "NFPA 70, 310.15(B) and (C)"],
    ),
    (
        "NFPA 70, 310.15(B)(2); 310.15(B)(3)(c) in 2017",
        ["NFPA 70, 310.15(B)(3)(c)", "NFPA 70, 310.15(B)(2)", "NFPA 70, 310.15(B)(2)"],
    ),
    (
        "NFPA 70, 310.15: I0 Table 310.16, 60 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1); Tables 310.15(B)(16), (2)(a) and (3)(a) in 2017",
        [
            "NFPA 70, 310.15: I0 Table 310.15(B)(16), 60 °C; k1 Table 310.15(B)(2)(a), k2 Table 310.15(B)(3)(a)",
            "NFPA 70, 310.15: I0 Table 310.16, 60 °C; k1 Table 310.15(B)(1), k2 Table 310.15(C)(1)",
            "NFPA 70, 310.15: I0 Table 310.16, 60 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1)",
        ],
    ),
    (
        "NFPA 70, 310.15: I0 Table 310.16, 75 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1); Tables 310.15(B)(16), (2)(a) and (3)(a) in 2017",
        [
            "NFPA 70, 310.15: I0 Table 310.15(B)(16), 75 °C; k1 Table 310.15(B)(2)(a), k2 Table 310.15(B)(3)(a)",
            "NFPA 70, 310.15: I0 Table 310.16, 75 °C; k1 Table 310.15(B)(1), k2 Table 310.15(C)(1)",
            "NFPA 70, 310.15: I0 Table 310.16, 75 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1)",
        ],
    ),
    (
        "NFPA 70, 310.15: I0 Table 310.16, 90 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1); Tables 310.15(B)(16), (2)(a) and (3)(a) in 2017",
        [
            "NFPA 70, 310.15: I0 Table 310.15(B)(16), 90 °C; k1 Table 310.15(B)(2)(a), k2 Table 310.15(B)(3)(a)",
            "NFPA 70, 310.15: I0 Table 310.16, 90 °C; k1 Table 310.15(B)(1), k2 Table 310.15(C)(1)",
            "NFPA 70, 310.15: I0 Table 310.16, 90 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1)",
        ],
    ),
    (
        "NFPA 70, 110.14(C)(1): It Table 310.16, 60 °C",
        [
            "NFPA 70, 110.14(C)(1): It Table 310.15(B)(16), 60 °C",
            "NFPA 70, 110.14(C)(1): It Table 310.16, 60 °C",
            "NFPA 70, 110.14(C)(1): It Table 310.16, 60 °C",
        ],
    ),
    (
        "NFPA 70, 110.14(C)(1): It Table 310.16, 75 °C",
        [
            "NFPA 70, 110.14(C)(1): It Table 310.15(B)(16), 75 °C",
            "NFPA 70, 110.14(C)(1): It Table 310.16, 75 °C",
            "NFPA 70, 110.14(C)(1): It Table 310.16, 75 °C",
        ],
    ),
    (
        "NFPA 70, 110.14(C)(1): It Table 310.16, 90 °C",
        [
            "NFPA 70, 110.14(C)(1): It Table 310.15(B)(16), 90 °C",
            "NFPA 70, 110.14(C)(1): It Table 310.16, 90 °C",
            "NFPA 70, 110.14(C)(1): It Table 310.16, 90 °C",
        ],
    ),
    ("Table 430.52(C)(1); Table 430.52 before 2023", ["Table 430.52", "Table 430.52", "Table 430.52(C)(1)"]),
    (
        "430.52(C)(1)(b); Exception 2 before 2023",
        ["430.52(C)(1) Exception No. 2", "430.52(C)(1) Exception No. 2", "430.52(C)(1)(b)"],
    ),
    (
        "Table 430.52(C)(1), before 2023 Table 430.52; 430.52(C)(3)",
        ["Table 430.52; 430.52(C)(3)", "Table 430.52; 430.52(C)(3)", "Table 430.52(C)(1); 430.52(C)(3)"],
    ),
    ("NFPA 70, 424.4(B); 424.3(B) in 2017", ["NFPA 70, 424.3(B)", "NFPA 70, 424.4(B)", "NFPA 70, 424.4(B)"]),
];

/// Names the source of a formula as an edition does; one that both books have, as this book does.
fn of(place: usize, source: &'static str) -> &'static str {
    SOURCES
        .iter()
        .find(|(listed, _)| *listed == source)
        .map_or_else(|| super::book::shared_source(source), |(_, editions)| editions[place])
}

/// The naming of an edition.
pub(super) fn naming(edition: Edition) -> Naming {
    match edition {
        Edition::E2017 => |source| of(0, source),
        Edition::E2020 => |source| of(1, source),
        Edition::E2023 => |source| of(2, source),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::nec::formulas;

    /// A stamped document of one edition cites its own numbers only; the numbers themselves are those of the table of
    /// editions in the notes to the reference tables: 310.15(B)(16) in 2017, 310.16 since, 430.52 before 2023.
    #[test]
    fn no_edition_cites_the_numbers_of_another() {
        assert!(!formulas().is_empty() && !SOURCES.is_empty());
        for (edition, foreign) in [
            (Edition::E2017, ["in 2017", "before 20", "310.16", "430.52(C)(1);"]),
            (Edition::E2020, ["in 2017", "before 20", "310.15(B)(16)", "430.52(C)(1);"]),
            (Edition::E2023, ["in 2017", "before 20", "310.15(B)(16)", "Exception No. 2"]),
        ] {
            let cited = formulas().into_iter().map(|formula| formula.reference);
            for source in cited.chain(SOURCES.iter().map(|(source, _)| *source)) {
                let shown = naming(edition)(source);
                assert!(foreign.iter().all(|other| !shown.contains(other)), "{edition:?}: {shown}");
            }
        }
    }
}
