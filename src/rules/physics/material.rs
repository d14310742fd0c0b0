//! How small material, spares and orders are counted: figures of the trade, as tables.

use serde::Deserialize;

use super::accessories::{About, Word, items};

/// A figure by which something is counted, for either book.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialFigure {
    /// Its name.
    pub name: String,
    /// Under IEC standards.
    pub iec: f64,
    /// Under NFPA 70.
    pub nec: f64,
    /// Unit; empty for a number.
    pub unit: String,
    /// Meaning.
    pub remark: String,
}

/// Cores that a function needs.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoreRow {
    /// Function.
    pub function: String,
    /// Words by which schedules mean it, separated by semicolons.
    pub words: String,
    /// `station`, `signal` or `auxiliary`.
    pub group: String,
    /// Cores of one piece.
    pub cores: u32,
    /// Which cores these are.
    pub remark: String,
}

/// Spares of a family, or of a kind within it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpareRow {
    /// Family of the catalogue.
    pub family: String,
    /// Kind within the family; empty for all.
    pub kind: String,
    /// The percentage of the basis applies.
    pub share: bool,
    /// Pieces at least.
    pub least: f64,
    /// Pieces of a set.
    pub set: f64,
    /// Reason.
    pub remark: String,
}

table! {
    /// Figures by which small material and orders are counted.
    FIGURES, FIGURE_ROWS: MaterialFigure, "material-practice"
}
table! {
    /// Cores of control and auxiliary cables.
    CORES, CORE_ROWS: CoreRow, "control-cores"
}
table! {
    /// Spares of parts that are bought.
    SPARES, SPARE_ROWS: SpareRow, "spare-practice"
}

/// A figure by name for a book (`iec` or `nec`); a test holds that every name in use is there.
#[must_use]
pub fn figure(name: &str, book: &str) -> f64 {
    FIGURE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| if book == "nec" { row.nec } else { row.iec })
}

/// Cores of a function by its own name.
#[must_use]
pub fn cores(function: &str) -> Option<&'static CoreRow> {
    CORE_ROWS.iter().find(|row| row.function == function)
}

/// The function that a schedule means by words such as `Start/Stop`.
#[must_use]
pub fn function_of(words: &str) -> Option<&'static CoreRow> {
    let plain = folded(words);
    CORE_ROWS.iter().find(|row| row.words.split(';').any(|word| word.trim() == plain))
}

/// The pieces of a control station, each with its cores: by its own word, else by what that word of the trade means. What is no
/// station at all is left out; none where nobody knows the word.
#[must_use]
pub fn station_cores(words: &str) -> Vec<(&str, Option<&'static CoreRow>)> {
    let nothing = |word: Option<&Word>| word.is_some_and(|word| word.means.is_empty());
    let all = items(About::Station, words).into_iter().filter(|(_, word)| !nothing(*word));
    all.map(|(item, word)| (item, function_of(item).or_else(|| function_of(&word?.means)))).collect()
}

/// Lower-case words joined by hyphens, whatever stood between them.
fn folded(words: &str) -> String {
    let lower = words.to_lowercase();
    let parts = lower.split(|letter: char| !letter.is_alphanumeric()).filter(|part| !part.is_empty() && *part != "station");
    parts.collect::<Vec<_>>().join("-")
}

/// Spares of a family and kind.
#[must_use]
pub fn spares(family: &str, kind: &str) -> Option<&'static SpareRow> {
    SPARE_ROWS.iter().find(|row| row.family == family && (row.kind.is_empty() || row.kind == kind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_numbers_of_nothing_or_more_and_stand_once() {
        for (index, row) in FIGURE_ROWS.iter().enumerate() {
            assert!(row.iec >= 0.0 && row.nec >= 0.0 && !row.remark.is_empty(), "{}", row.name);
            assert!(FIGURE_ROWS.iter().position(|other| other.name == row.name) == Some(index), "{} stands twice", row.name);
        }
        assert!(figure("no-such-figure", "iec").is_nan());
    }

    #[test]
    fn a_word_means_one_function_and_is_written_as_it_is_looked_up() {
        let mut seen = std::collections::BTreeSet::new();
        for row in CORE_ROWS.iter() {
            assert!(["station", "signal", "supply", "auxiliary"].contains(&row.group.as_str()), "{}", row.group);
            assert!(row.cores >= 2, "{}: a loop has two cores at least", row.function);
            for word in row.words.split(';').map(str::trim).filter(|word| !word.is_empty()) {
                assert_eq!(folded(word), word);
                assert!(seen.insert(word), "{word} stands twice");
            }
        }
    }

    #[rstest::rstest]
    #[case::as_it_is_written("local-off-remote", "local-off-remote")]
    #[case::with_strokes("Hand/Off/Auto", "hand-off-auto")]
    #[case::short("HOA", "hand-off-auto")]
    #[case::with_the_word_station("Start - Stop station", "start-stop")]
    fn words_of_schedules_are_understood(#[case] words: &str, #[case] function: &str) {
        assert_eq!(function_of(words).map(|row| row.function.as_str()), Some(function));
        assert!(function_of("joystick").is_none());
    }

    #[test]
    fn every_station_of_the_trade_has_its_cores() {
        for row in super::super::accessories::WORD_ROWS.iter().filter(|row| row.about == About::Station) {
            let known = station_cores(&row.word);
            assert_eq!(known.is_empty(), row.means.is_empty(), "{}", row.word);
            assert!(known.iter().all(|(_, cores)| cores.is_some()), "{} has no cores", row.word);
        }
        // Supply, behind stop, behind either start: counted on the usual circuit; common practice, no source.
        let cores = |words: &'static str| station_cores(words).iter().filter_map(|(_, row)| Some((*row)?.cores)).sum::<u32>();
        assert_eq!(cores("raise/stop/lower"), 4);
        assert_eq!(cores("Slow-Stop-Fast; emergency-stop"), 4 + 2);
    }

    #[test]
    fn fuse_links_are_spared_in_sets_of_three() {
        // Three poles: one blown link is replaced with its two neighbours (common practice, no source).
        let row = spares("fuses", "gG").expect("a row");
        assert!(row.share && row.least == 3.0 && row.set == 3.0);
        assert!(spares("accessories", "suppressor").is_some() && spares("accessories", "interlock").is_none());
        assert!(spares("contactors", "").is_none());
    }
}
