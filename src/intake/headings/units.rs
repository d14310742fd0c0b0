//! Units and brackets in headings: what is left of a heading without them, and what they say.

use super::spellings::SPELLINGS;
use crate::intake::fold;
use crate::intake::units::{Unit, two_powers, unit_of};

/// A word in brackets besides a unit that may change the meaning: `total` of `(total kW)`, nothing of `(kW)` and `(note 2)`.
pub(super) fn qualifier(inside: &str) -> Option<String> {
    if unit_of(inside).is_some() || is_symbol(inside.trim()) {
        return None;
    }
    let idle = |word: &str| {
        let key = fold::key(word);
        key.is_empty()
            || unit_of(word).is_some()
            || word.bytes().any(|byte| byte.is_ascii_digit())
            || SPELLINGS.fillers.contains(&key)
            || SPELLINGS.neutral.contains(&key)
    };
    // Words that mean nothing alone may mean something together: no load.
    if SPELLINGS.foreign.contains(&fold::key(inside)) {
        return Some(inside.to_owned());
    }
    let words: Vec<&str> = inside.split([' ', ',', ';', '\n', '\u{A0}']).filter(|word| !idle(word)).collect();
    (!words.is_empty()).then(|| words.join(" "))
}

/// `In`, `PN`, `Ifc`: a quantity by its letter.
fn is_symbol(text: &str) -> bool {
    let mut letters = text.chars();
    letters.next().is_some_and(|letter| matches!(letter, 'I' | 'U' | 'P' | 'V' | 'L'))
        && text.len() <= 4
        && letters.all(|letter| letter.is_ascii_lowercase() || letter == 'N')
}

/// The unit that a heading states.
pub(in crate::intake) fn unit_of_heading(heading: &str) -> Option<Unit> {
    two_powers(heading).map(|(_, pair)| pair).or_else(|| without_unit(heading).1)
}

/// A unit in brackets, behind a comma or as the last word, and the heading without it.
pub(super) fn without_unit(heading: &str) -> (String, Option<Unit>) {
    if let Some((start, end)) = brackets(heading) {
        let inside = &heading[start + 1..end];
        let words = || inside.split([' ', ',']).filter_map(unit_of);
        // `(in ft)` is in feet, whatever else `in` may mean.
        let unit = unit_of(inside).or_else(|| words().find(|unit| unit.is_measure())).or_else(|| words().next());
        if unit.is_some_and(|unit| unit != Unit::Other) {
            return (format!("{} {}", &heading[..start], &heading[end + 1..]), unit);
        }
        return (heading.to_owned(), None);
    }
    let cut = heading.trim().rfind([',', ' ', '\n', '\u{A0}', '_']);
    let parts = cut.map(|at| (heading.trim().get(..at).unwrap_or(""), heading.trim().get(at + 1..).unwrap_or("")));
    match parts.and_then(|(front, back)| unit_of(back).map(|unit| (front, unit))) {
        Some((front, unit)) if !fold::key(front).is_empty() && !matches!(unit, Unit::Pieces | Unit::Other) => {
            (front.to_owned(), Some(unit))
        }
        _ => unit_within(heading).unwrap_or_else(|| (heading.to_owned(), None)),
    }
}

/// `HP Motor Size`, `Motor HP size`, `FT Length`: a unit of power or length that is a word of the heading, and the others.
pub(super) fn unit_within(heading: &str) -> Option<(String, Option<Unit>)> {
    let words: Vec<&str> = heading.split_whitespace().collect();
    let unit = |word: &&str| match fold::key(word).as_str() {
        "hp" | "kw" | "kva" | "ft" | "feet" => unit_of(word),
        _ => None,
    };
    let at = words.iter().position(|word| unit(word).is_some()).filter(|_| words.len() > 1)?;
    let others = words.iter().enumerate().filter(|(index, _)| *index != at).map(|(_, word)| *word);
    Some((others.collect::<Vec<_>>().join(" "), unit(words.get(at)?)))
}

pub(super) fn brackets(text: &str) -> Option<(usize, usize)> {
    let start = text.find(['(', '['])?;
    let end = start + text[start..].find([')', ']'])?;
    Some((start, end))
}

pub(super) fn without_brackets(text: &str) -> Option<String> {
    let (start, end) = brackets(text)?;
    Some(format!("{} {}", &text[..start], &text[end + 1..]))
}

/// Whether brackets hold a unit of something that is not read, such as millimetres.
pub(super) fn has_foreign_unit(heading: &str) -> bool {
    let inside = brackets(heading).map_or("", |(start, end)| &heading[start + 1..end]);
    unit_of(inside) == Some(Unit::Other) && inside.contains(char::is_alphanumeric)
}
