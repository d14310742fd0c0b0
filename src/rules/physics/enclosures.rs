//! Degrees of protection and types of enclosures: which serves in the place of which, and what the place of a switch asks for.

use serde::Deserialize;

/// The foreign matter that a type of enclosure keeps out.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TypeRow {
    /// Type, such as `4X`.
    #[serde(rename = "type")]
    pub kind: String,
    /// It serves outdoors.
    pub outdoors: bool,
    /// Words for what it keeps out, separated by blanks.
    pub keeps_out: String,
}

/// Least enclosure that a place asks for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlaceRow {
    /// Column of the schedule.
    pub column: String,
    /// Its word.
    pub word: String,
    /// Degree of protection under IEC standards; empty if no digit tells it.
    pub iec: String,
    /// Type under NFPA 70.
    pub nec: String,
    /// The place in words.
    pub in_words: String,
}

table! {
    /// The foreign matter that each type of enclosure keeps out.
    TYPES, TYPE_ROWS: TypeRow, "enclosure-types"
}
table! {
    /// Least enclosure of a switch beside its machine.
    PLACES, PLACE_ROWS: PlaceRow, "enclosure-places"
}

/// The meaning of a word in a column of the schedule for the place; none if it asks for no enclosure.
#[must_use]
pub fn place(column: &str, word: &str) -> Option<&'static PlaceRow> {
    PLACE_ROWS.iter().find(|row| row.column == column && row.word == word)
}

impl PlaceRow {
    /// Least enclosure for a book (`iec` or `nec`); none if the book has no words for it.
    #[must_use]
    pub fn least(&self, book: &str) -> Option<&str> {
        Some(if book == "nec" { self.nec.as_str() } else { self.iec.as_str() }).filter(|least| !least.is_empty())
    }
}

/// A declared degree of protection, or list of types, is the wanted one or better. Digits of IP codes are compared; of types counts
/// what they keep out, and one that the table lacks must be named.
#[must_use]
pub fn serves(declared: &str, wanted: &str) -> bool {
    let Some(asks) = ip(wanted) else { return type_serves(declared, &bare_type(wanted)) };
    let Some(has) = ip(declared) else { return false };
    // IEC 60529: what withstands immersion (7 and more) is not by that protected against jets (5 and 6).
    let immersion_only = has.1 >= 7 && (5..=6).contains(&asks.1);
    has.0 >= asks.0 && has.1 >= asks.1 && !immersion_only
}

/// An enclosure that is marked with several types keeps out what any of them does.
fn type_serves(declared: &str, wanted: &str) -> bool {
    let marked: Vec<String> = declared.split([' ', '/', ',', ';']).map(bare_type).filter(|name| !name.is_empty()).collect();
    if wanted.is_empty() || marked.iter().any(|marked| marked == wanted) {
        return !wanted.is_empty();
    }
    let row_of = |kind: &str| TYPE_ROWS.iter().find(|row| row.kind == kind);
    let rows: Vec<&TypeRow> = marked.iter().filter_map(|marked| row_of(marked)).collect();
    let keeps_out = |what: &str| rows.iter().any(|row| row.keeps_out.split_whitespace().any(|kept| kept == what));
    row_of(wanted).is_some_and(|row| row.keeps_out.split_whitespace().all(keeps_out))
}

/// The two digits of an IP code; a letter X asks for nothing.
fn ip(text: &str) -> Option<(u32, u32)> {
    let upper = text.to_ascii_uppercase();
    let digits = upper.split_once("IP")?.1.trim_start();
    let mut letters = digits.chars();
    let mut digit = || letters.next().and_then(|letter| if letter == 'X' { Some(0) } else { letter.to_digit(10) });
    digit().zip(digit())
}

/// A text is an IP code or a type of enclosure: IEC 60529; NFPA 70, Table 110.28.
#[must_use]
pub fn is_enclosure(text: &str) -> bool {
    if let Some((solids, water)) = ip(text) {
        return solids <= 6 && water <= 9;
    }
    let bare = bare_type(text);
    let digits = bare.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
    let number = digits.parse::<u32>().is_ok_and(|number| (1..=13).contains(&number));
    number && matches!(&bare[digits.len()..], "" | "R" | "S" | "X" | "RX" | "SX" | "P" | "K")
}

/// `4X` of `NEMA 4X`, `Type 4X` or `4X`.
fn bare_type(text: &str) -> String {
    let upper = text.trim().to_ascii_uppercase();
    let bare = ["NEMA", "TYPE"].iter().fold(upper.as_str(), |bare, word| bare.trim_start().trim_start_matches(word));
    bare.split_whitespace().next().unwrap_or("").trim_end_matches([',', ';']).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NFPA 70, Table 110.28: rain is kept out by 3 to 6P and not by 1, 2, 5, 12 and 13; oil seepage by 12 and 13 alone; hosing by 4 to
    /// 6P; corrosive agents by those with an X and by 6P.
    #[test]
    fn a_type_serves_another_if_it_keeps_out_all_that_the_other_does() {
        for (declared, wanted, so) in [
            ("NEMA 3R", "3R", true),
            ("NEMA 4X", "NEMA 3R", true),
            ("NEMA 1", "3R", false),
            ("12", "3R", false),
            ("12", "1", true),
            ("3R", "NEMA 1", true),
            ("3R", "4", false),
            ("4", "4X", false),
            ("4X", "12", false),
            ("1 3R 4 4X 12", "Type 12", true),
            ("3R", "3RX", false),
            ("4X", "3RX", true),
            ("13", "12", true),
            ("12", "5", true),
            ("3R", "5", false),
            ("NEMA 4X", "IP66", false),
            ("IP66", "4X", false),
            ("IP66 4X", "NEMA 4X", true),
            ("", "1", false),
            ("1", "", false),
        ] {
            assert_eq!(serves(declared, wanted), so, "{declared} for {wanted}");
        }
    }

    /// IEC 60529.
    #[test]
    fn digits_of_a_degree_are_compared() {
        for (declared, wanted, so) in [
            ("IP65", "IP54", true),
            ("IP20", "IPX4", false),
            ("IP65", "IPX4", true),
            ("IP65", "IP66", false),
            ("IP54", "IP5X", true),
            ("IP68", "IPX5", false),
        ] {
            assert_eq!(serves(declared, wanted), so, "{declared} for {wanted}");
        }
    }

    #[test]
    fn every_least_enclosure_is_one() {
        assert!(!PLACE_ROWS.is_empty());
        for row in PLACE_ROWS.iter() {
            assert!(is_enclosure(&row.nec) && (row.iec.is_empty() || is_enclosure(&row.iec)), "{row:?}");
            assert!(serves("NEMA 6P", &row.nec) && !serves("NEMA 1", &row.nec), "{row:?}");
        }
    }
}
