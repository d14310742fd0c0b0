//! Words about hazardous (classified) locations and explosive atmospheres: in descriptions and remarks, which only suggest one, and in
//! cells below a heading that asks for it, where a zone alone says enough. The words are a table.

use std::sync::LazyLock;

use super::matters::{Lists, Said};
use super::mentions::words;
use super::tables;

const TABLE: &str = include_str!("tables/hazard-words.csv");

static LISTS: LazyLock<Lists> = LazyLock::new(|| {
    let rows: Vec<Said> = tables::rows(TABLE);
    Lists::of(&rows.iter().map(|row| (row.says.as_str(), row.phrases.as_str())).collect::<Vec<_>>())
});

/// The lists of this table.
pub(super) fn lists() -> &'static Lists {
    &LISTS
}

/// Whether the words of a description or a remark suggest a hazardous location.
#[must_use]
pub(crate) fn suggested_by(words: &[String]) -> bool {
    LISTS.suggested_by(words)
}

/// Whether a cell below a heading that asks for it says that there is no hazardous location.
#[must_use]
pub(crate) fn denied_by(text: &str) -> bool {
    LISTS.denied_by(text)
}

/// Whether the cells of a column are about hazardous locations: some name one, and all name one or say that there is none.
pub(super) fn fill(samples: &[String]) -> bool {
    let names = |text: &String| {
        let words = words(text);
        suggested_by(&words) || LISTS.column.stand_in(&words) || LISTS.column_cell.are(&words)
    };
    samples.iter().any(names) && samples.iter().all(|text| names(text) || denied_by(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_is_read() {
        let rows: Vec<Said> = tables::whole(TABLE);
        for row in &rows {
            assert!(
                ["suggests", "taken-out", "cell", "column", "column-cell", "cell-heading", "none", "heading"]
                    .contains(&row.says.as_str()),
                "{row:?}"
            );
            // Figures and letters are words apart; capitals and accents are gone from the words of a text.
            for word in row.phrases.split([' ', '|', '&']).map(|word| word.trim_end_matches('*')) {
                let digits = word.bytes().filter(u8::is_ascii_digit).count();
                assert!(digits == 0 || digits == word.len(), "{row:?}");
                assert!(word.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit()), "{row:?}");
            }
        }
    }

    /// Terms of NFPA 70, 500.5, 502, 505.5 and 506.5, of IEC 60079-0 (types of protection) and Directive 2014/34/EU.
    #[rstest::rstest]
    #[case("Solvent pump, Class I Division 1 Group D, explosion-proof motor")]
    #[case("Fan, CL. I, DIV. 2")]
    #[case("Mixer C1D2")]
    #[case("Dust collector, Class II Div 1 Group G")]
    #[case("Exhaust fan, hazardous area")]
    #[case("Pump in hazardous (classified) location")]
    #[case("Transfer pump, Zone 1 IIB T3")]
    #[case("Transfer pump zone 2, flammable liquids")]
    #[case("Agitator, Zone 21, dust")]
    #[case("Pump motor Ex d IIC T4 Gb")]
    #[case("Pump, Ex eb motor")]
    #[case("EExd motor")]
    #[case("Pump, ATEX II 2G")]
    #[case("Flameproof motor")]
    #[case("Blower, increased safety motor")]
    #[case("Explosionsgeschützter Rührwerksantrieb")]
    #[case("Pumpe, Ex-Bereich")]
    #[case("Pompe, moteur antidéflagrant")]
    #[case("Bomba, motor a prueba de explosión")]
    #[case("Bomba, área clasificada")]
    #[case("Ventilator, Zone 22 Staub")]
    #[case("Ventilatore, zona 22 polveri")]
    #[case("ventilateur zone 22 poussières")]
    #[case("zona 22 polvo")]
    #[case("zone 22 stof")]
    #[case("Cappa, zona 22")]
    #[case("Pompe de solvants, zone 1, liquides inflammables")]
    #[case("Pumpe Zone 1, brennbare Flüssigkeit")]
    #[case("II 3D")]
    #[case("Ex II 2G")]
    #[case("area con pericolo di esplosione")]
    #[case("ventilateur local gaz")]
    #[case("Motor druckfeste Kapselung")]
    #[case("CID1 Gr. D")]
    #[case("CII D1")]
    #[case("combustible dust")]
    #[case("Paint booth exhaust fan")]
    #[case("Gasoline dispenser")]
    #[case("Solvent transfer pump")]
    #[case("Digester gas compressor")]
    #[case("Biogas blower")]
    #[case("Submersible sewage pump (wet well)")]
    fn suggests(#[case] text: &str) {
        assert!(suggested_by(&words(text)));
    }

    #[rstest::rstest]
    #[case("Wet well pump, raw water")]
    #[case("Spray pump, cooling tower")]
    #[case("Paint shop air compressor")]
    #[case("Sewage pump")]
    #[case("Dust collector fan")]
    #[case("Grain elevator leg")]
    #[case("Digester mixer")]
    #[case("Fuel oil pump")]
    #[case("AHU-1 supply fan, zone 1")]
    #[case("Ventilatore zona 2")]
    #[case("Zuluft Zone 21 Nord")]
    #[case("Chaudière à gaz, zone 1")]
    #[case("Brûleur gaz zone 2")]
    #[case("Pompe hors zone ATEX")]
    #[case("Pumpe, kein Ex-Bereich")]
    #[case("Motor non ATEX")]
    #[case("Entstaubung Halle 2, 3 D-Druck")]
    #[case("Phase II, Gebäude 2 G")]
    #[case("VAV fan zone 21")]
    #[case("Gas-fired unit heater, zone 1")]
    #[case("Pump, class I insulation of pipe")]
    #[case("Class 2 control transformer fan")]
    #[case("Exhaust fan EX-1, zone 2")]
    #[case("EX. fan building D")]
    #[case("Pump, non-hazardous area")]
    #[case("Fan in not classified area")]
    #[case("Fan, explosion proof not required")]
    #[case("Hazardous waste pump")]
    #[case("Smoke exhaust fan division 23")]
    #[case("Pump 1, group D")]
    #[case("Divider gate, class 1 road")]
    #[case("Heat pump, IE3, T4")]
    #[case("Not in hazardous area")]
    #[case("Not within a hazardous location")]
    fn suggests_nothing(#[case] text: &str) {
        assert!(!suggested_by(&words(text)));
    }

    #[test]
    fn cells_below_such_a_heading_say_yes_or_no() {
        for text in ["safe", "SAFE AREA", "-", "non-hazardous", "N/A", "Non hazardous area", "unclassified", "No", "none", "nein"]
        {
            assert!(denied_by(text), "{text}");
        }
        assert!(denied_by("safe; none"));
        for text in ["Zone 1", "Class I Div 2", "yes", "x", "0", "?", "TBC", "safe; Ex d", "Ex nA", "safe side of zone 1"] {
            assert!(!denied_by(text), "{text}");
        }
    }

    #[test]
    fn a_column_is_about_it_where_all_of_its_cells_are() {
        let of = |texts: &[&str]| fill(&texts.iter().map(|text| (*text).to_owned()).collect::<Vec<_>>());
        assert!(
            of(&["CLASS I DIV 2", "UNCLASSIFIED", "-"]) && of(&["Zone 1", "safe"]) && of(&["22", "-"]) && of(&["II 3D", "3 G"])
        );
        assert!(
            !of(&["safe", "-"])
                && !of(&["IE3", "IE2"])
                && !of(&["Zone 1", "Warehouse"])
                && !of(&["1", "2"])
                && !of(&["22", "EG"])
                && !of(&[])
        );
    }

    #[test]
    fn headings_that_ask_for_it() {
        for heading in ["Hazardous Area", "HAZ. LOC. RATING", "Area Classification", "ATEX zone (gas)", "Class/Div"] {
            assert!(lists().asked_by(heading), "{heading}");
        }
        for heading in ["Area", "Zone", "Classification", "Efficiency class", "Area served"] {
            assert!(!lists().asked_by(heading), "{heading}");
        }
    }
}
