//! Style and script of the page with their hashes, so that the page's policy admits these two and nothing else.
//!
//! The print margins repeat the project's own words. They stand in the style sheet, so they are written as CSS strings in which
//! every character beyond letters, digits and spaces is an escape: no text can end the string, the rule or the element.

use sha2::{Digest, Sha256};

use super::text::shortened;
use crate::basis::ProjectBasis;
use crate::report::{CAUTION_LINE, DEMONSTRATION};

const STYLE: &str = include_str!("../../../templates/submittal/submittal.css");
const SCRIPT: &str = include_str!("../../../templates/submittal/submittal.js");

/// The one style and the one script of a page.
pub(in crate::report) struct Policy {
    /// Content of the style element.
    pub(in crate::report) style: String,
    /// Content of the script element.
    pub(in crate::report) script: String,
    /// Content of the policy.
    pub(in crate::report) content: String,
}

/// The texts of the print margins besides the title.
pub(in crate::report) struct Margins<'m> {
    /// Letter paper instead of A4.
    pub(in crate::report) letter: bool,
    /// Number, revision and date stand at the right.
    pub(in crate::report) project: &'m ProjectBasis,
    /// The demonstration range is in use.
    pub(in crate::report) demonstration: bool,
}

/// Style, script and policy for a page.
pub(in crate::report) fn policy(margins: &Margins<'_>, title: &str) -> Policy {
    // A line end of the browser's own counts in the hash, so only the plain one may occur.
    let style = format!("{}{}{}", STYLE.replace('\r', ""), bar_lengths(), print_margins(margins, title));
    let script = SCRIPT.replace('\r', "");
    let content = format!(
        "default-src 'none'; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        base64(&Sha256::digest(style.as_bytes())),
        base64(&Sha256::digest(script.as_bytes()))
    );
    Policy { style, script, content }
}

/// A class for each length of a bar, out of 100: a page may not have styles of its own at its elements, and thousands of small
/// drawings would be most of it.
fn bar_lengths() -> String {
    (0..=100).map(|length| format!(".b{length}{{--b:{length}%}}")).collect::<String>() + "\n"
}

/// Paper and its margin boxes.
fn print_margins(margins: &Margins<'_>, title: &str) -> String {
    let (paper, widths) = if margins.letter { ("Letter", "20mm 18.9mm 18mm 24mm") } else { ("A4", "20mm 15mm 18mm 22mm") };
    let project = margins.project;
    let number = project.submittal_number.as_ref().or(project.number.as_ref());
    let stamp: Vec<String> =
        [number.cloned(), project.revision.as_ref().map(|revision| format!("revision {revision}")), project.issue_date.clone()]
            .into_iter()
            .flatten()
            .map(|text| shortened(&text, 24))
            .collect();
    let left = css_string(&shortened(title, 48));
    let right = css_string(&stamp.join("   "));
    let caution = css_string(CAUTION_LINE);
    let middle = css_string(if margins.demonstration { DEMONSTRATION } else { "" });
    format!(
        "@page{{size:{paper};margin:{widths};@top-left{{content:{left}}}@top-right{{content:{right}}}\
         @bottom-left{{content:{caution}}}@top-center{{content:{middle}}}}}\
         @page wide{{size:{paper} landscape;margin:18mm 15mm 17mm 15mm}}\n"
    )
}

/// A text as a CSS string.
fn css_string(text: &str) -> String {
    let mut string = String::from("\"");
    for character in text.chars() {
        match character {
            _ if character.is_alphanumeric() || character == ' ' => string.push(character),
            _ if character.is_control() => string.push(' '),
            _ => string.push_str(&format!("\\{:x} ", u32::from(character))),
        }
    }
    string.push('"');
    string
}

/// Base64 with padding (RFC 4648, section 4).
pub(super) fn base64(bytes: &[u8]) -> String {
    const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for group in bytes.chunks(3) {
        let bits = group.iter().fold(0u32, |bits, byte| bits << 8 | u32::from(*byte)) << (8 * (3 - group.len()));
        for place in 0..4 {
            let letter = ALPHABET[(bits >> (18 - 6 * place)) as usize & 63];
            text.push(if place <= group.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_as_in_rfc_4648_section_10() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn no_text_can_end_the_string_or_the_element() {
        let string = css_string("</style>\"}\n*{x:y}\\");
        assert!(!string[1..string.len() - 1].contains(['"', '<', '}', '\n', '/']), "{string}");
    }
}
