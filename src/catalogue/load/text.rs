//! A file of a catalogue as text: its encoding, what parts its cells and what marks its decimals, its rows.

use crate::finding::codes::K101_FILE;
use crate::finding::{Finding, Place};

/// The marks that may part cells: a comma, or what a spreadsheet puts there where the comma marks decimals.
const SEPARATORS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// How a file is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Dialect {
    /// The mark between cells.
    pub(super) separator: u8,
    /// Decimals stand behind a comma.
    pub(super) decimal_comma: bool,
    /// Some surely do, so that a point may stand between thousands.
    pub(super) points_group: bool,
}

impl Dialect {
    /// Tells it from the row of headings, and from numbers that can have no other meaning.
    pub(super) fn of(text: &str, headings: &[&str]) -> Self {
        let plain = |line: &&str| !line.trim().is_empty() && !is_comment(line) && !states_separator(line);
        let line = text.lines().find(plain).unwrap_or("");
        let known = |separator: u8| {
            let cells = line.split(char::from(separator)).map(|cell| cell.trim().trim_matches('"'));
            cells.filter(|cell| headings.contains(cell)).count()
        };
        // The first of equals: a comma.
        let separator = SEPARATORS.into_iter().rev().max_by_key(|separator| known(*separator)).unwrap_or(b',');
        let points_group = has_decimal_commas(text, separator);
        // Where a semicolon parts cells the comma has another use; tabs and bars say nothing of it.
        Self { separator, decimal_comma: separator == b';' || points_group, points_group }
    }
}

/// A line that begins with `#`, which some spreadsheets put into quotation marks.
pub(super) fn is_comment(line: &str) -> bool {
    line.trim_start_matches(['"', ' ']).starts_with('#')
}

/// A first line such as `sep=;`, which some spreadsheets write.
fn states_separator(line: &str) -> bool {
    line.get(..4).is_some_and(|word| word.eq_ignore_ascii_case("sep="))
}

/// A cell such as `9,5`, which stands in quotation marks where commas part cells: three digits behind the comma could be thousands, any
/// other number of them can't.
fn has_decimal_commas(text: &str, separator: u8) -> bool {
    let surely = |cell: &str| with_point(cell).is_some() && !may_group_thousands(cell, ',');
    if separator == b',' {
        return text.split('"').skip(1).step_by(2).any(surely);
    }
    text.lines().flat_map(|line| line.split(char::from(separator))).any(|cell| surely(cell.trim().trim_matches('"')))
}

/// One mark with three digits behind it, such as `1.250`: thousands or decimals.
pub(crate) fn may_group_thousands(cell: &str, mark: char) -> bool {
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    cell.split_once(mark).is_some_and(|(whole, rest)| {
        digits(whole) && digits(rest) && rest.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
    })
}

/// A number with a decimal comma such as `9,5` or `1.234,50`, with a point instead; none for anything else.
pub(crate) fn with_point(cell: &str) -> Option<String> {
    let (whole, decimals) = cell.split_once(',')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let thousands = || whole.split('.').skip(1).all(|group| group.len() == 3 && digits(group));
    let first = whole.split('.').next().filter(|first| digits(first) && (first.len() == whole.len() || first.len() <= 3));
    (first.is_some() && thousands() && digits(decimals)).then(|| format!("{}.{decimals}", whole.replace('.', "")))
}

/// The text without byte-order mark, lines ended alike, so that rows can be counted.
pub(super) fn as_text(name: &str, bytes: &[u8], findings: &mut Vec<Finding>) -> Option<String> {
    match std::str::from_utf8(bytes) {
        Ok(text) => Some(text.trim_start_matches('\u{feff}').replace("\r\n", "\n") + "\n"),
        Err(error) => {
            findings.push(
                Finding::new(&K101_FILE, format!("{name} is not UTF-8 text from byte {}", error.valid_up_to()))
                    .at(Place::file(name))
                    .cure("save it as CSV in UTF-8"),
            );
            None
        }
    }
}

/// Rows of a file with their row numbers, comments and blank rows left out.
pub(super) fn records(name: &str, text: &str, separator: u8, findings: &mut Vec<Finding>) -> Vec<(u32, csv::StringRecord)> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    loop {
        match reader.read_record(&mut record) {
            Ok(false) => return rows,
            Err(error) => {
                let finding = Finding::new(&K101_FILE, format!("{name} is not CSV: {error}")).at(Place::file(name));
                findings.push(finding.cure("save it as CSV in UTF-8"));
                return rows;
            }
            Ok(true) => {}
        }
        // The reader stands behind the record; blank rows before it make its own start useless.
        let inside = record.iter().map(|cell| cell.matches('\n').count()).sum::<usize>();
        let behind = usize::try_from(reader.position().line()).unwrap_or(usize::MAX);
        let row = u32::try_from(behind.saturating_sub(1 + inside)).unwrap_or(u32::MAX);
        let comment = record.get(0).is_some_and(|cell| cell.starts_with('#'));
        let comment = comment || record.get(0).is_some_and(states_separator);
        if !comment && record.iter().any(|cell| !cell.is_empty()) {
            rows.push((row, record.clone()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("9,5", Some("9.5"))]
    #[case("1.234,50", Some("1234.50"))]
    #[case("12.34,5", None)]
    #[case("1234.500,5", None)]
    #[case("1,2,3", None)]
    #[case("A,5", None)]
    #[case("95", None)]
    fn a_decimal_comma_becomes_a_point(#[case] cell: &str, #[case] number: Option<&str>) {
        assert_eq!(with_point(cell).as_deref(), number);
    }

    #[rstest::rstest]
    #[case::commas("code,volts,dc\nA,24,true\n", b',', false, false)]
    #[case::semicolons("code;volts;dc\nA;24;true\n", b';', true, false)]
    #[case::semicolons_and_decimal_commas("code;volts;dc\nA;110,5;true\n", b';', true, true)]
    #[case::a_comment_first("# range; of mine, 2026;;\ncode;volts;dc\n", b';', true, false)]
    #[case::stated("sep=;\ncode;volts;dc\n", b';', true, false)]
    #[case::tabs("code\tvolts\tdc\nA\t24\ttrue\n", b'\t', false, false)]
    #[case::tabs_and_thousands("code\tvolts\tdc\nA\t\"1,000\"\ttrue\n", b'\t', false, false)]
    #[case::tabs_and_decimal_commas("code\tvolts\tdc\nA\t110,5\ttrue\n", b'\t', true, true)]
    #[case::quoted_decimals("code,volts,dc\nA,\"110,5\",true\n", b',', true, true)]
    #[case::quoted_thousands("code,volts,dc\nA,\"1,000\",true\n", b',', false, false)]
    #[case::words_with_commas("code,volts,dc\n\"A, B\",24,true\n", b',', false, false)]
    fn how_a_file_is_written_is_told_from_its_headings(
        #[case] text: &str,
        #[case] separator: u8,
        #[case] decimal_comma: bool,
        #[case] points_group: bool,
    ) {
        let dialect = Dialect { separator, decimal_comma, points_group };
        assert_eq!(Dialect::of(text, &["code", "volts", "dc"]), dialect);
    }

    #[rstest::rstest]
    #[case("1.250", true)]
    #[case("0.125", false)]
    #[case("1.25", false)]
    #[case("1250.500", false)]
    #[case("1.250.000", false)]
    #[case("A.250", false)]
    fn a_point_with_three_digits_behind_it_has_two_meanings(#[case] cell: &str, #[case] two: bool) {
        assert_eq!(may_group_thousands(cell, '.'), two);
    }
}
