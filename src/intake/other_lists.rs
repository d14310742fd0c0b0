//! Lists beside a schedule of loads that name powers and marks too: of cables, of prices, of parts. Their headings are a table.

use super::mentions::{Phrases, words};
use super::tables;

tables::phrase_lists! { "tables/other-lists.csv": price "price", no_price "no-price", mark "mark", from "from", to "to", loads "loads" }

/// Whether headings are those of a list of prices or of cables, and none is one of loads alone.
pub(super) fn are_headed_by<'h, H: Iterator<Item = &'h str>>(headings: impl Fn() -> H) -> bool {
    let any = |says: &dyn Fn(&[String]) -> bool| headings().any(|heading| says(&words(heading)));
    let begins = |end: &Phrases| any(&|words| end.longest_at_start(words).is_some());
    (any(&|words| LISTS.price.stand_in(words)) || [&LISTS.from, &LISTS.to].into_iter().all(begins))
        && !any(&|words| LISTS.loads.stand_in(words))
}

/// The heading of a price in a list that has none of loads alone: its rows may be offers, and no loads.
pub(super) fn price_among<'h>(headings: &[&'h str]) -> Option<&'h str> {
    if headings.iter().any(|heading| LISTS.loads.stand_in(&words(heading))) {
        return None;
    }
    headings.iter().copied().find(|heading| LISTS.price.stand_in(&LISTS.no_price.taken_out_of(&words(heading))))
}

/// Whether a column of this heading marks cables or articles, and no loads.
pub(super) fn are_marked_by(heading: &str) -> bool {
    LISTS.mark.stand_in(&words(heading))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_is_read() {
        for row in tables::whole::<crate::intake::matters::Said>(TABLE) {
            assert!(SAID.contains(&row.says.as_str()), "{row:?}");
        }
    }

    // Headings of lists as offices write them: practice, no source.
    #[rstest::rstest]
    #[case("Cable,From,To,kW,V,Length m", true)]
    #[case("Kabelnummer,von,nach,kW,Länge", true)]
    #[case("Item,kW,Volts,Unit price,Total", true)]
    #[case("Artikel,Leistung kW,Preis", true)]
    #[case("WHICH ONE,HP,VOLTS,PH,FLA,PANEL,STARTER,LENGTH FT", false)]
    #[case("Machine,kW,V,Cable No.,Cable size", false)]
    #[case("Machine,kW,V,From,Length", false)]
    #[case("Mark,HP,FLA,Cost", true)]
    fn headings_of_other_lists(#[case] headings: &str, #[case] other: bool) {
        assert_eq!(are_headed_by(|| headings.split(',')), other);
    }

    #[rstest::rstest]
    #[case("Position,Bezeichnung,Leistung kW,Einzelpreis EUR", true)]
    #[case("Mark,Description,kW,FLA,Unit price", true)]
    #[case("Mark,Description,kW,FLA,Starter,Cost", false)]
    #[case("Tag,Description,kW,FLA,Cost centre", false)]
    #[case("Tag,Description,kW,FLA,Length", false)]
    fn prices_among_headings(#[case] headings: &str, #[case] priced: bool) {
        assert_eq!(price_among(&headings.split(',').collect::<Vec<_>>()).is_some(), priced);
    }

    #[rstest::rstest]
    #[case("Cable No.", true)]
    #[case("Kabelnummer", true)]
    #[case("Repère câble", true)]
    #[case("Part No.", true)]
    #[case("Artikel-Nr.", true)]
    #[case("Machine", false)]
    #[case("WHICH ONE", false)]
    fn marks_of_other_things(#[case] heading: &str, #[case] other: bool) {
        assert_eq!(are_marked_by(heading), other);
    }
}
