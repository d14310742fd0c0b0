//! From bytes to text: a byte-order mark, else valid UTF-8, else UTF-16 by its zeros, else Windows-1252 with a note.

use std::borrow::Cow;

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::error::{IntakeError, IntakeErrorKind};

/// Bytes in which the zeros of UTF-16 without a mark are looked for.
const SEARCHED_BYTES: usize = 1_000;

/// Text, and how it was told.
#[derive(Debug)]
pub(super) struct Decoded<'a> {
    pub(super) text: Cow<'a, str>,
    /// Name in lower case.
    pub(super) name: &'static str,
    pub(super) byte_order_mark: bool,
    /// Nobody named this encoding; it was what is left.
    pub(super) fallback: bool,
}

/// Characters that Windows-1252 gives to bytes for which it has none: 81, 8D, 8F, 90, 9D.
pub(super) fn is_undefined(c: char) -> bool {
    matches!(c, '\u{81}' | '\u{8d}' | '\u{8f}' | '\u{90}' | '\u{9d}')
}

/// Text of a file.
pub(super) fn decode<'a>(file: &str, bytes: &'a [u8], wanted: Option<&str>) -> Result<Decoded<'a>, IntakeError> {
    if bytes.starts_with(b"\xFF\xFE\0\0") || bytes.starts_with(b"\0\0\xFE\xFF") {
        return Err(refused(file, "the text is UTF-32, which is not read; save it as CSV UTF-8"));
    }
    let marked = Encoding::for_bom(bytes);
    let encoding = match (wanted, marked) {
        (Some(name), _) => named(name)?,
        (None, Some((encoding, _))) => encoding,
        (None, None) => match unmarked(bytes) {
            Some(encoding) => encoding,
            None => return eight_bits(file, bytes),
        },
    };
    let mark = marked.filter(|(named, _)| *named == encoding).map_or(0, |(_, length)| length);
    let (text, broken) = encoding.decode_without_bom_handling(bytes.get(mark..).unwrap_or_default());
    if broken {
        let name = name_of(encoding);
        let line = if encoding == UTF_8 { line_of_bytes(bytes) } else { line_of_text(&text) };
        let what =
            format!("line {line} is not valid {name}; save the file anew as CSV UTF-8, or name its encoding with --encoding");
        return Err(refused(file, &what));
    }
    Ok(Decoded { text, name: name_of(encoding), byte_order_mark: mark > 0, fallback: false })
}

fn refused(file: &str, what: &str) -> IntakeError {
    IntakeError::new(IntakeErrorKind::Encoding, format!("{file}: {what}"))
}

fn named(name: &str) -> Result<&'static Encoding, IntakeError> {
    Encoding::for_label_no_replacement(name.trim().as_bytes()).ok_or_else(|| {
        let known = "utf-8, utf-16le, utf-16be, windows-1252, iso-8859-2, iso-8859-15, windows-1250, macintosh, shift_jis";
        let what = format!("the encoding `{}` is not known; known are, among others: {known}", super::text::shortened(name));
        IntakeError::new(IntakeErrorKind::Encoding, what)
    })
}

/// The encoding of bytes without a mark, if it can be told. Text of UTF-16 is valid UTF-8 too as long as it is English, so
/// its zeros are asked first.
fn unmarked(bytes: &[u8]) -> Option<&'static Encoding> {
    let head = bytes.get(..bytes.len().min(SEARCHED_BYTES)).unwrap_or_default();
    let (pairs, _) = head.as_chunks::<2>();
    let zeros = |at: usize| pairs.len() >= 2 && pairs.iter().all(|pair| pair[at] == 0 && pair[1 - at] != 0);
    if zeros(1) {
        return Some(UTF_16LE);
    }
    if zeros(0) {
        return Some(UTF_16BE);
    }
    std::str::from_utf8(bytes).is_ok().then_some(UTF_8)
}

/// Bytes that are no UTF-8: Windows-1252, unless they are UTF-8 but for a few places.
fn eight_bits<'a>(file: &str, bytes: &'a [u8]) -> Result<Decoded<'a>, IntakeError> {
    let (mut valid, mut invalid) = (0_usize, 0_usize);
    for chunk in bytes.utf8_chunks() {
        valid += chunk.valid().bytes().filter(|byte| *byte >= 0xC0).count();
        invalid += chunk.invalid().len();
    }
    // Two bytes of Windows-1252 that look like one character of UTF-8 are rare: such a file was meant as UTF-8.
    if valid > 0 && valid >= invalid {
        let what = format!(
            "line {} is not valid UTF-8, but the rest of the file is; correct that line, or name the encoding with --encoding",
            line_of_bytes(bytes)
        );
        return Err(refused(file, &what));
    }
    // No text of eight bits holds zeros: what is neither UTF-8 nor UTF-16 and has them is no text.
    if bytes.contains(&0) {
        return Err(refused(
            file,
            "this is neither text nor a workbook that is read; save the schedule as .xlsx, .ods or CSV UTF-8",
        ));
    }
    let (text, _) = WINDOWS_1252.decode_without_bom_handling(bytes);
    Ok(Decoded { text, name: name_of(WINDOWS_1252), byte_order_mark: false, fallback: true })
}

/// Line of the first byte that is no UTF-8.
fn line_of_bytes(bytes: &[u8]) -> usize {
    let valid = bytes.utf8_chunks().next().map_or("", |chunk| chunk.valid());
    1 + lines_in(valid)
}

/// Line of the first character that could not be told.
fn line_of_text(text: &str) -> usize {
    1 + lines_in(text.split('\u{fffd}').next().unwrap_or_default())
}

/// Line ends of a text: LF, CR LF or CR.
pub(super) fn lines_in(text: &str) -> usize {
    let bytes = text.as_bytes();
    let ends = |at: usize| bytes[at] == b'\n' || (bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n'));
    (0..bytes.len()).filter(|&at| ends(at)).count()
}

fn name_of(encoding: &'static Encoding) -> &'static str {
    match encoding.name() {
        "UTF-8" => "utf-8",
        "UTF-16LE" => "utf-16le",
        "UTF-16BE" => "utf-16be",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utf16(text: &str, big: bool, mark: bool) -> Vec<u8> {
        let units = mark.then_some(0xFEFF).into_iter().chain(text.encode_utf16());
        units.flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() }).collect()
    }

    #[rstest::rstest]
    #[case::plain(b"tag,kW\n".to_vec(), "tag,kW\n", "utf-8", false)]
    #[case::utf8("Lüfter".as_bytes().to_vec(), "Lüfter", "utf-8", false)]
    #[case::marked("\u{feff}Lüfter".as_bytes().to_vec(), "Lüfter", "utf-8", true)]
    #[case::little(utf16("démarrage ½", false, true), "démarrage ½", "utf-16le", true)]
    #[case::big(utf16("démarrage ½", true, true), "démarrage ½", "utf-16be", true)]
    #[case::little_bare(utf16("tag,kW\n", false, false), "tag,kW\n", "utf-16le", false)]
    #[case::big_bare(utf16("tag,kW\n", true, false), "tag,kW\n", "utf-16be", false)]
    #[case::windows(b"L\xFCfter 5 \x80".to_vec(), "Lüfter 5 €", "windows-1252", false)]
    fn encodings_are_told_from_the_bytes(#[case] bytes: Vec<u8>, #[case] text: &str, #[case] name: &str, #[case] mark: bool) {
        let decoded = decode("a.csv", &bytes, None).unwrap();
        assert_eq!((decoded.text.as_ref(), decoded.name, decoded.byte_order_mark), (text, name, mark));
        assert_eq!(decoded.fallback, name == "windows-1252");
    }

    #[rstest::rstest]
    #[case::behind_a_mark(b"\xEF\xBB\xBFtag\nL\xFCfter\n", "line 2")]
    #[case::one_slip_in_much(b"L\xC3\xBCfter\n\xC3\xB6l\r\nL\xFCfter\n", "line 3")]
    #[case::half_a_pair(b"\xFF\xFEa\0\n\0\x00\xD8b\0", "line 2")]
    #[case::no_text(b"tag\n\xFF\x00\x01\n", "neither text")]
    #[case::thirty_two(b"\xFF\xFE\0\0t\0\0\0", "UTF-32")]
    fn what_can_not_be_decoded_names_its_line(#[case] bytes: &[u8], #[case] says: &str) {
        let error = decode("a.csv", bytes, None).unwrap_err();
        assert!(error.kind == IntakeErrorKind::Encoding && error.message.contains(says), "{error}");
    }

    #[test]
    fn a_named_encoding_is_taken() {
        assert_eq!(decode("a", b"\xB1", Some("ISO-8859-2")).unwrap().text, "ą");
        assert_eq!(decode("a", b"L\xC3\xBC", Some("latin1")).unwrap().text, "LÃ¼");
        assert!(decode("a", b"\xB1", Some("utf-8")).unwrap_err().message.contains("line 1"));
        assert!(decode("a", b"", Some("utf-99")).unwrap_err().message.contains("utf-99"));
    }
}
