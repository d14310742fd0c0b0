//! Reads the conductor of a feeder as a basis states it: `185 mm2 copper xlpe`, `2x 250 kcmil copper`, `3 parallel 150 mm2 aluminium`.
//! A word that is not understood is told and never guessed.

use crate::load::Material;
use crate::rules::RuleBook;

/// A stated conductor.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// Section of one conductor, mm².
    pub size_mm2: f64,
    /// In parallel, for capacity and smallest fault currents.
    pub parallel: u32,
    /// In parallel for largest fault currents: more than the former where the text can be read in two ways.
    pub most_parallel: u32,
    /// Material, where it is named.
    pub material: Option<Material>,
    /// Insulation, where it is named.
    pub insulation: Option<String>,
}

impl Stated {
    /// `3x150` may be three conductors a phase, or one cable with three cores.
    #[must_use]
    pub fn two_ways(&self) -> bool {
        self.parallel != self.most_parallel
    }
}

/// Counts that are also those of the cores of a cable.
const CORES: std::ops::RangeInclusive<u32> = 3..=5;

/// Most conductors in parallel that a text may name.
const MOST: u32 = 20;

/// Reads a text, or tells which of its words is not understood and why.
pub fn read(text: &str, book: &dyn RuleBook, is_insulation: impl Fn(&str) -> bool) -> Result<Stated, String> {
    let plain = text.trim().to_lowercase().replace(['×', '*'], "x").replace("mm²", " mm2 ").replace("mm^2", " mm2 ");
    let (count, rest, explicit) = count_of(&plain)?;
    let (size, rest) = size_of(rest, book)?;
    let mut stated = Stated { size_mm2: size, parallel: count, most_parallel: count, material: None, insulation: None };
    if !explicit && CORES.contains(&count) {
        stated.parallel = 1;
    }
    let words = rest.split(|letter: char| letter.is_whitespace() || matches!(letter, ',' | ';')).filter(|word| !word.is_empty());
    for word in words {
        match word {
            "copper" | "cu" => set(&mut stated.material, Material::Copper, word)?,
            "aluminium" | "aluminum" | "al" => set(&mut stated.material, Material::Aluminium, word)?,
            "cable" | "conductor" | "conductors" | "per" | "phase" | "in" | "parallel" | "a" => {}
            other if is_insulation(other) => set(&mut stated.insulation, other.to_owned(), word)?,
            other => return Err(format!("\"{other}\" is no material and no insulation of the rule book")),
        }
    }
    Ok(stated)
}

fn set<T: PartialEq>(place: &mut Option<T>, value: T, word: &str) -> Result<(), String> {
    if place.as_ref().is_some_and(|place| *place != value) {
        return Err(format!("\"{word}\" contradicts a word before it"));
    }
    *place = Some(value);
    Ok(())
}

/// Number before the size, the text behind it, and whether the text says in words that it means conductors in parallel.
fn count_of(text: &str) -> Result<(u32, &str, bool), String> {
    let digits = text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len());
    let behind = text[digits..].trim_start();
    let in_words = ["per phase", "a phase", "in parallel", "parallel", "sets of", "sets", "runs of"];
    let by_word = in_words.iter().find_map(|word| behind.strip_prefix(word));
    let by_sign = behind.strip_prefix('x').map(str::trim_start);
    let Some(rest) = by_word.or(by_sign).filter(|_| digits > 0) else { return Ok((1, text, true)) };
    let count: u32 = text[..digits].parse().map_err(|_| format!("\"{}\" is no number of conductors", &text[..digits]))?;
    if count == 0 || count > MOST {
        return Err(format!("{count} is no number of conductors in parallel"));
    }
    let rest = rest.trim_start();
    let told = by_word.is_some() || ["per phase", "a phase", "parallel"].iter().any(|word| rest.contains(word));
    // One cable in a bracket: 2x(3x150).
    if let Some(inside) = rest.strip_prefix('(') {
        let closed = inside.find(')').ok_or_else(|| "a bracket is not closed".to_owned())?;
        let cores = inside[..closed].split_once('x').map(|(cores, _)| cores.trim());
        if cores.is_some_and(|cores| cores.parse::<u32>().is_ok_and(|number| number == 1 || CORES.contains(&number))) {
            let start = inside.find('x').map_or(0, |at| at + 1);
            return Ok((count, &inside[start..], true));
        }
        return Err(format!("\"{}\" is no cable with 3 to 5 cores", &inside[..closed]));
    }
    Ok((count, rest, told))
}

/// Size with its unit; without a unit one that the book's sizes have.
fn size_of<'a>(text: &'a str, book: &dyn RuleBook) -> Result<(f64, &'a str), String> {
    let text = text.trim_start();
    let bare = text.trim_start_matches('#').trim_start();
    let end = bare.find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/'))).unwrap_or(bare.len());
    let (number, rest) = (bare[..end].trim_end_matches(','), bare[end..].trim_start().trim_start_matches(')').trim_start());
    if number.is_empty() {
        return Err(format!("\"{text}\" does not begin with a size"));
    }
    let unit = ["mm2", "awg", "kcmil", "mcm"].into_iter().find(|unit| rest.starts_with(unit)).unwrap_or("");
    let written = format!("{} {unit}", number.replace(',', "."));
    let size = book.size_of(written.trim()).ok_or_else(|| format!("\"{}\" is no size of the rule book", written.trim()))?;
    Ok((size, rest[unit.len()..].trim_start().trim_start_matches(')')))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules;

    type Words = (f64, u32, u32, Option<Material>, Option<String>);

    fn of(book: &str, text: &str) -> Result<Words, String> {
        let book = rules::book(book, None).expect("a book");
        let insulation = |word: &str| ["pvc", "xlpe", "epr", "thwn-2", "xhhw-2"].contains(&word);
        read(text, book, insulation)
            .map(|stated| (stated.size_mm2, stated.parallel, stated.most_parallel, stated.material, stated.insulation))
    }

    #[test]
    fn conductors_are_read_as_they_are_written() {
        let (copper, aluminium) = (Some(Material::Copper), Some(Material::Aluminium));
        assert_eq!(of("iec", "185 mm2 copper xlpe"), Ok((185.0, 1, 1, copper, Some("xlpe".to_owned()))));
        assert_eq!(of("iec", "185 mm² Cu XLPE"), Ok((185.0, 1, 1, copper, Some("xlpe".to_owned()))));
        assert_eq!(of("iec", "2 x 240mm2 Al"), Ok((240.0, 2, 2, aluminium, None)));
        assert_eq!(of("iec", "2×150"), Ok((150.0, 2, 2, None, None)));
        // NFPA 70, Chapter 9 Table 8: 250 kcmil is 127 mm², 4/0 AWG 107.2 mm².
        assert_eq!(of("nec", "2x 250 kcmil copper"), Ok((127.0, 2, 2, copper, None)));
        assert_eq!(of("nec", "4/0 AWG aluminum XHHW-2"), Ok((107.2, 1, 1, aluminium, Some("xhhw-2".to_owned()))));
        assert_eq!(of("nec", "2 sets of 500 MCM"), Ok((253.0, 2, 2, None, None)));
    }

    #[test]
    fn a_count_that_may_be_cores_is_read_in_two_ways() {
        let aluminium = Some(Material::Aluminium);
        assert_eq!(of("iec", "3x150 aluminium"), Ok((150.0, 1, 3, aluminium, None)));
        assert_eq!(of("iec", "3 parallel 150 mm2 aluminium"), Ok((150.0, 3, 3, aluminium, None)));
        assert_eq!(of("iec", "3x 150 mm2 per phase aluminium"), Ok((150.0, 3, 3, aluminium, None)));
        assert_eq!(of("iec", "2x(3x150) aluminium"), Ok((150.0, 2, 2, aluminium, None)));
    }

    #[test]
    fn what_is_not_understood_is_told() {
        for text in [
            "",
            "copper",
            "185 mm2 gold",
            "187 mm2",
            "250 kcmil",
            "0x150",
            "99x150",
            "185 mm2 copper aluminium",
            "2x(3x150 copper",
            "185 mm2 + 95 mm2",
            "x150",
            "99999999999x150",
            "as existing",
            "2x2x185",
            "(185)",
            "٣x150",
        ] {
            assert!(of("iec", text).is_err(), "{text}: {:?}", of("iec", text));
        }
        for text in ["185 mm2", "250 AWG", "2x", "5/0", "250 kcmil pvcx"] {
            assert!(of("nec", text).is_err(), "{text}");
        }
    }
}
