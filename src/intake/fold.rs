//! Folds texts of six languages to plain letters and digits, so that spellings can be compared.

use std::borrow::Cow;

/// Letters and digits in lower case, without accents, blanks and marks: `Starts/h` and `starts / H` are one.
pub(super) fn key(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for letter in text.chars() {
        push(&mut folded, letter);
    }
    folded
}

/// The words of a text, each folded; marks and blanks part them, a full stop inside an abbreviation does not.
pub(super) fn words(text: &str) -> Vec<String> {
    text.split(|letter: char| !(letter.is_alphanumeric() || matches!(letter, '.' | '\'' | '’' | '°' | 'º')))
        .map(key)
        .filter(|word| !word.is_empty())
        .collect()
}

/// Whether a text folds to this key, with no text made for those that plainly don't.
pub(super) fn key_is(text: &str, other: &str) -> bool {
    if !text.is_ascii() {
        return key(text) == other;
    }
    text.bytes().filter(u8::is_ascii_alphanumeric).map(|byte| byte.to_ascii_lowercase()).eq(other.bytes())
}

fn push(folded: &mut String, letter: char) {
    if letter.is_ascii_alphanumeric() {
        folded.push(letter.to_ascii_lowercase());
        return;
    }
    if letter.is_ascii() {
        return;
    }
    // Full-width forms are the same letters for another script.
    if ('\u{FF01}'..='\u{FF5E}').contains(&letter) {
        if let Some(plain) = char::from_u32(u32::from(letter) - 0xFEE0) {
            push(folded, plain);
        }
        return;
    }
    for lower in letter.to_lowercase() {
        match lower {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ā' => folded.push('a'),
            'ç' | 'ć' | 'č' => folded.push('c'),
            'è' | 'é' | 'ê' | 'ë' => folded.push('e'),
            'ì' | 'í' | 'î' | 'ï' => folded.push('i'),
            'ñ' => folded.push('n'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'º' => folded.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => folded.push('u'),
            'ý' | 'ÿ' => folded.push('y'),
            'ß' => folded.push_str("ss"),
            'œ' => folded.push_str("oe"),
            'æ' => folded.push_str("ae"),
            'φ' | 'ϕ' => folded.push_str("phi"),
            'η' => folded.push_str("eta"),
            'δ' | '△' | '∆' | '▲' => folded.push_str("delta"),
            '²' => folded.push('2'),
            '№' => folded.push_str("no"),
            // The degree sign stands for the raised o of numero.
            '°' if folded.ends_with('n') => folded.push('o'),
            other if other.is_alphanumeric() => folded.push(other),
            _ => {}
        }
    }
}

/// Text as a person reads it: blanks of all kinds become one, invisible marks go.
pub(super) fn tidy(text: &str) -> Cow<'_, str> {
    if is_tidy(text) {
        return Cow::Borrowed(text);
    }
    let mut tidy = String::with_capacity(text.len());
    let mut blank = false;
    for letter in text.chars() {
        match letter {
            '\u{200B}'..='\u{200D}' | '\u{2060}' | '\u{FEFF}' | '\u{AD}' => {}
            _ if letter.is_whitespace() => blank = !tidy.is_empty(),
            _ => {
                if std::mem::take(&mut blank) {
                    tidy.push(' ');
                }
                tidy.push(letter);
            }
        }
    }
    Cow::Owned(tidy)
}

/// A text that may be a cell's own, tidied: the cell's own where there is nothing to tidy.
pub(super) fn tidy_of(text: Cow<'_, str>) -> Cow<'_, str> {
    match text {
        Cow::Borrowed(text) => tidy(text),
        Cow::Owned(text) => Cow::Owned(tidy(&text).into_owned()),
    }
}

/// Whether a text is tidy already, as most are: ASCII, with single spaces between its words.
fn is_tidy(text: &str) -> bool {
    let mut blank = true;
    for byte in text.bytes() {
        match byte {
            b' ' if blank => return false,
            b' ' => blank = true,
            b'\t'..=b'\r' | 0x80.. => return false,
            _ => blank = false,
        }
    }
    !blank || text.is_empty()
}

/// The hyphens of all alphabets as the plain one.
pub(super) fn plain_hyphens(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.replace(['\u{2010}', '\u{2011}', '\u{2012}', '\u{2013}', '\u{2212}'], "-"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::accents("Démarrage étoile-triangle", "demarrageetoiletriangle")]
    #[case::marks("Q.tà / N°", "qtano")]
    #[case::greek("cosΦ", "cosphi")]
    #[case::wide("ｋＷ", "kw")]
    #[case::sharp_s("Anlaßart", "anlassart")]
    fn spellings_fold_to_one_key(#[case] text: &str, #[case] expected: &str) {
        assert_eq!(key(text), expected);
    }

    #[test]
    fn blanks_become_one_and_invisible_marks_go() {
        assert_eq!(tidy("\u{FEFF} P\u{200B}-1\u{A0}\n A "), "P-1 A");
        assert_eq!(words("S.F. (Motor) / kW"), ["sf", "motor", "kw"]);
    }
}
