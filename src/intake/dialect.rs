//! Separator and decimal mark, told from the whole of a text and never from one row of it.

use super::Row;
use super::error::{IntakeError, IntakeErrorKind};

/// Separators that are told.
const SEPARATORS: [u8; 4] = [b',', b';', b'\t', b'|'];
/// Rows that are searched for the heading row.
const SEARCHED_ROWS: usize = 60;
/// Columns that vote on the decimal mark; a schedule has no more.
const VOTING_COLUMNS: usize = 1_024;

/// A separator that somebody named: the character itself or its name.
pub(super) fn named(name: &str) -> Result<u8, IntakeError> {
    let name = if name == "\t" { "tab" } else { name.trim() };
    match name.to_ascii_lowercase().as_str() {
        "," | "comma" => Ok(b','),
        ";" | "semicolon" => Ok(b';'),
        "tab" | "\\t" => Ok(b'\t'),
        "|" | "bar" | "pipe" => Ok(b'|'),
        _ => Err(IntakeError::new(
            IntakeErrorKind::Separator,
            format!("the separator `{}` is not known; give one of: comma, semicolon, tab, bar", super::text::shortened(name)),
        )),
    }
}

/// A first line `sep=;`: its separator and the length of the line, line end included.
pub(super) fn stated(text: &str) -> Option<(u8, usize)> {
    let rest = text.strip_prefix('"').unwrap_or(text);
    let quoted = rest.len() < text.len();
    let rest = rest.get(..4).filter(|word| word.eq_ignore_ascii_case("sep=")).and_then(|_| rest.get(4..))?;
    let separator = *rest.as_bytes().first().filter(|byte| SEPARATORS.contains(byte))?;
    let rest = rest.get(1..)?;
    let rest = if quoted { rest.strip_prefix('"')? } else { rest };
    // A spreadsheet that saved such a file again fills the line with separators.
    let rest = rest.trim_start_matches(char::from(separator));
    let end = if rest.starts_with("\r\n") { 2 } else { usize::from(rest.is_empty() || rest.starts_with(['\r', '\n'])) };
    (end > 0).then(|| (separator, (text.len() - rest.len() + end).min(text.len())))
}

/// How often each separator stands in a row outside quotation marks, and how many cells with letters it would part.
#[derive(Clone, Copy, Default)]
struct Counts {
    separators: [u32; SEPARATORS.len()],
    words: [u32; SEPARATORS.len()],
}

/// Counts of all rows that are not blank.
fn count(text: &str) -> Vec<Counts> {
    let mut rows = Vec::new();
    let mut counts = Counts::default();
    // Whether the cell that is being read holds a letter, by separator.
    let mut word = [false; SEPARATORS.len()];
    let (mut quoted, mut start, mut blank) = (false, true, true);
    let bytes = text.as_bytes();
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        at += 1;
        if quoted {
            if byte == b'"' {
                match bytes.get(at) {
                    Some(b'"') => at += 1,
                    _ => quoted = false,
                }
            } else if byte.is_ascii_alphabetic() || byte >= 0x80 {
                word = [true; SEPARATORS.len()];
            }
            continue;
        }
        match byte {
            b'"' if start => {
                (quoted, start, blank) = (true, false, false);
            }
            b'\r' | b'\n' => {
                if !blank {
                    end_cells(&mut counts, &mut word);
                    rows.push(std::mem::take(&mut counts));
                }
                word = [false; SEPARATORS.len()];
                (start, blank) = (true, true);
            }
            b',' | b';' | b'\t' | b'|' => {
                if let Some(index) = SEPARATORS.iter().position(|separator| *separator == byte) {
                    counts.separators[index] += 1;
                    counts.words[index] += u32::from(std::mem::take(&mut word[index]));
                }
                (start, blank) = (true, false);
            }
            _ => {
                if byte.is_ascii_alphabetic() || byte >= 0x80 {
                    word = [true; SEPARATORS.len()];
                }
                blank &= byte == b' ';
                start &= byte == b' ';
            }
        }
    }
    if !blank {
        end_cells(&mut counts, &mut word);
        rows.push(counts);
    }
    rows
}

fn end_cells(counts: &mut Counts, word: &mut [bool; SEPARATORS.len()]) {
    for (words, word) in counts.words.iter_mut().zip(word) {
        *words += u32::from(std::mem::take(word));
    }
}

/// The separator of a text. Headings weigh: the row that a separator parts into most words is taken as its heading row, and
/// what counts is how many words those are, times how many rows of the whole file have as many cells as that row.
pub(super) fn separator(file: &str, text: &str) -> Result<u8, IntakeError> {
    let present: Vec<u8> = SEPARATORS.into_iter().filter(|separator| text.as_bytes().contains(separator)).collect();
    match present.as_slice() {
        [] => return Ok(b','),
        [only] => return Ok(*only),
        _ => {}
    }
    let rows = count(text);
    let score = |index: usize| {
        let heading = rows.iter().take(SEARCHED_ROWS).rev().max_by_key(|row| (row.words[index], row.separators[index]));
        let (words, width) = heading.map_or((0, 0), |row| (row.words[index], row.separators[index]));
        let alike = rows.iter().filter(|row| width > 0 && row.separators[index] == width).count();
        // Rows that break off early are still rows of this separator, but prove less.
        let parted = rows.iter().filter(|row| width > 0 && row.separators[index] > 0 && row.separators[index] < width).count();
        u64::from(words) * (2 * alike + parted) as u64
    };
    let mut scores: Vec<(u64, u8)> = SEPARATORS.iter().enumerate().map(|(index, separator)| (score(index), *separator)).collect();
    scores.sort_unstable_by(|a, b| b.cmp(a));
    match scores.as_slice() {
        [(best, one), (next, other), ..] if best == next && *best > 0 => Err(IntakeError::new(
            IntakeErrorKind::Separator,
            format!("{file}: `{}` and `{}` part the cells equally well; say which with --separator", shown(*one), shown(*other)),
        )),
        [(0, _), ..] => Ok(b','),
        [(_, best), ..] => Ok(*best),
        [] => Ok(b','),
    }
}

/// How a separator is written in a message.
pub(super) fn shown(separator: u8) -> String {
    if separator == b'\t' { "tab".to_owned() } else { char::from(separator).to_string() }
}

/// The decimal mark for which a text speaks: `,` or `.`, if for any.
pub(super) fn vote(text: &str) -> Option<char> {
    // Most texts begin with what no number does, or hold no mark at all, and those are passed over quickly.
    let bytes = text.as_bytes();
    bytes.first().filter(|byte| byte.is_ascii_digit() || matches!(byte, b'+' | b'-') || byte.is_ascii_whitespace())?;
    let last = bytes.iter().rposition(|byte| matches!(byte, b',' | b'.'))?;
    let mark = char::from(bytes[last]);
    let before = bytes[..last].trim_ascii_start();
    let before = before.strip_prefix(b"-").or_else(|| before.strip_prefix(b"+")).unwrap_or(before);
    let after = &bytes[last + 1..];
    let decimals = after.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let first = *before.first()?;
    if decimals == 0 || !first.is_ascii_digit() {
        return None;
    }
    // Only a unit may follow the number: 4.1.2, 01.02.2026 and P.1-A are no numbers.
    let rest = after[decimals..].trim_ascii_start();
    if rest.first().is_some_and(|byte| !(byte.is_ascii_alphabetic() || *byte >= 0x80 || *byte == b'%')) || rest.len() > 8 {
        return None;
    }
    let other = if mark == ',' { b'.' } else { b',' };
    let groups = before.split(|byte| *byte == other || *byte == b'\'' || *byte == b' ').collect::<Vec<_>>();
    let digits = |group: &[u8]| !group.is_empty() && group.iter().all(u8::is_ascii_digit);
    match groups.as_slice() {
        [whole] if digits(whole) => (decimals != 3 || *whole == b"0" || whole.len() > 3).then_some(mark),
        // Two kinds of marks: the last one is the decimal.
        [first, rest @ ..] if digits(first) && rest.iter().all(|group| digits(group) && group.len() == 3) => Some(mark),
        _ => None,
    }
}

/// Votes on the decimal mark. Every column has one vote, so that running numbers such as 1.1 don't outvote the values.
#[derive(Debug, Default)]
pub(super) struct DecimalVotes {
    /// Commas and points by column.
    columns: Vec<(u32, u32)>,
}

impl DecimalVotes {
    /// Counts a text in.
    pub(super) fn add(&mut self, column: usize, text: &str) {
        // A number that is longer than this is none of a schedule.
        if text.len() > 24 || column >= VOTING_COLUMNS {
            return;
        }
        let Some(mark) = vote(text) else { return };
        if self.columns.len() <= column {
            self.columns.resize(column + 1, (0, 0));
        }
        let (commas, points) = &mut self.columns[column];
        *(if mark == ',' { commas } else { points }) += 1;
    }

    /// Counts the votes of another part of the same table in.
    pub(super) fn add_all(&mut self, others: &Self) {
        if self.columns.len() < others.columns.len() {
            self.columns.resize(others.columns.len(), (0, 0));
        }
        for ((commas, points), other) in self.columns.iter_mut().zip(&others.columns) {
            *commas += other.0;
            *points += other.1;
        }
    }

    /// Counts all texts of a row in.
    pub(super) fn add_row(&mut self, row: Row<'_>) {
        for column in 0..row.len() {
            if let Some(text) = row.text(column) {
                self.add(column, text);
            }
        }
    }

    /// The decimal mark; a point where nothing says otherwise.
    pub(super) fn mark(&self) -> char {
        let commas = self.columns.iter().filter(|(commas, points)| commas > points).count();
        let points = self.columns.iter().filter(|(commas, points)| points > commas).count();
        let cells = || {
            self.columns.iter().fold((0, 0), |sum: (u64, u64), counts| (sum.0 + u64::from(counts.0), sum.1 + u64::from(counts.1)))
        };
        let comma = commas > points || (commas == points && commas > 0 && cells().0 > cells().1);
        if comma { ',' } else { '.' }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::commas("tag,kW\nP-1,7.5\n", b',')]
    #[case::semicolons_and_decimal_commas("tag;kW;A\nP-1;7,5;14,3\nP-2;11,0;20,8\n", b';')]
    #[case::a_comma_in_every_row("tag;power, kW;note\nP-1;7,5;\nP-2;11,0\n", b';')]
    #[case::tabs("tag\tdescription\tkW\nP-1\tpump, raw; spare\t7,5\nP-2\tfan\t1,1\n", b'\t')]
    #[case::bars("tag|description|kW\nP-1|pump, raw|7.5\n", b'|')]
    #[case::quoted("tag,\"a;b;c;d;e;f\",kW\nP-1,\"x;y;z;1;2;3\",7.5\n", b',')]
    #[case::two_languages(
        "Kennzeichen|Tag;Leistung|Power [kW];Spannung|Voltage;Anlauf|Starter\nP-1;7,5;400;DOL\nP-2;1,5;400;DOL\n",
        b';'
    )]
    #[case::notes_below("tag,description,kW\nP-1,pump,1\nP-2,pump,2\nP-3,pump,2\nnotes: a; b; c; d; e\n", b',')]
    #[case::title_above("Motor list, plant A, hall 2, level 3, rev 1\ntag;kW;V;method\nP-1;5;400;DOL\nP-2;5;400;DOL\n", b';')]
    #[case::only_one_column("tag\nP-1\n", b',')]
    fn the_separator_is_told_from_the_whole_text(#[case] text: &str, #[case] expected: u8) {
        assert_eq!(separator("a.csv", text).unwrap(), expected, "{}", shown(separator("a.csv", text).unwrap()));
    }

    #[test]
    fn a_tie_is_asked_about() {
        let error = separator("a.csv", "tag;a,kW\nP-1;b,7\n").unwrap_err();
        assert!(error.kind == IntakeErrorKind::Separator && error.message.contains("--separator"), "{error}");
    }

    #[rstest::rstest]
    #[case::plain("sep=;\r\ntag;kW", Some((b';', 7)))]
    #[case::capital("SEP=\t\ntag", Some((b'\t', 6)))]
    #[case::quoted("\"sep=,\"\ntag", Some((b',', 8)))]
    #[case::filled("sep=;;;;\ntag", Some((b';', 9)))]
    #[case::alone("sep=;", Some((b';', 5)))]
    #[case::heading("sep=kind;tag\n", None)]
    #[case::other("separator\n", None)]
    fn a_first_line_may_state_the_separator(#[case] text: &str, #[case] expected: Option<(u8, usize)>) {
        assert_eq!(stated(text), expected);
    }

    #[rstest::rstest]
    #[case("7,5", Some(','))]
    #[case("7.5 kW", Some('.'))]
    #[case("93,0%", Some(','))]
    #[case("1.500", None)]
    #[case("0,875", Some(','))]
    #[case("1.200,5", Some(','))]
    #[case("1,234,567.5", Some('.'))]
    #[case("1 200,5", Some(','))]
    #[case("01.02.2026", None)]
    #[case("4.1.2", None)]
    #[case("P-1.5", None)]
    #[case("400/690", None)]
    #[case("1,2,3", None)]
    fn only_numbers_vote_on_the_decimal_mark(#[case] text: &str, #[case] expected: Option<char>) {
        assert_eq!(vote(text), expected);
    }

    #[test]
    fn running_numbers_do_not_outvote_values() {
        let mut votes = DecimalVotes::default();
        for row in 0..20 {
            votes.add(0, &format!("1.{row}"));
        }
        for column in [2, 3] {
            votes.add(column, "7,5");
        }
        assert_eq!(votes.mark(), ',');
        assert_eq!(DecimalVotes::default().mark(), '.');
    }
}
