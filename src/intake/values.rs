//! Reads one cell by the kind of its column. What can't be read is said with its cure; nothing is guessed.

use super::tags::{self, Tags};
use super::{Content, dates, fold, numbers, text};
use crate::finding::{Code, codes, nearest};
use crate::load::{Choice, Field, FieldSpec, Kind, Text, Value};

/// Why a cell was not read.
#[derive(Debug)]
pub(super) struct Wrong {
    pub(super) code: &'static Code,
    pub(super) what: String,
    pub(super) cure: String,
}

pub(super) fn wrong<T>(code: &'static Code, what: impl Into<String>, cure: impl Into<String>) -> Result<T, Box<Wrong>> {
    Err(Box::new(Wrong { code, what: what.into(), cure: cure.into() }))
}

/// Reads a cell that is not blank. `None` where the cell says that there is nothing.
pub(super) fn read(spec: &FieldSpec, content: &Content) -> Result<Option<Value>, Box<Wrong>> {
    match plain_value(spec, content) {
        Some(number) => Ok(Some(Value::Number(number))),
        None => read_whole(spec, content),
    }
}

/// Longest text, in bytes, that is looked at for a plain number.
const LONGEST_PLAIN: usize = 24;

/// A number within its bounds that is written in digits and at most one point, as most are: nothing is to be said of it.
fn plain_value(spec: &FieldSpec, content: &Content) -> Option<f64> {
    let (Kind::Number(..) | Kind::Count(..), Content::Text(text)) = (spec.kind, content) else { return None };
    if text.len() > LONGEST_PLAIN || !text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') {
        return None;
    }
    let number: f64 = text.parse().ok()?;
    let good = match spec.kind {
        Kind::Number(low, high) => number >= low && number <= high,
        Kind::Count(low, high) => number >= f64::from(low) && number <= f64::from(high) && number.fract() == 0.0,
        _ => false,
    };
    good.then_some(number)
}

fn read_whole(spec: &FieldSpec, content: &Content) -> Result<Option<Value>, Box<Wrong>> {
    let seen = text::of(content);
    check_characters(spec, &seen)?;
    match content {
        Content::Error(error) => return error_cell(spec, error),
        Content::Date(date) if !is_remark(spec.field) => {
            return a_date(spec, &date.text, dates::month_and_day(date.serial));
        }
        _ => {}
    }
    if text::is_placeholder(&seen) {
        return Ok(None);
    }
    let doubted = text::is_doubted(&seen) && !matches!(spec.kind, Kind::Tags);
    if !matches!(spec.kind, Kind::Text) && (text::is_to_be_confirmed(&seen) || doubted) {
        return to_be_confirmed(spec, &seen);
    }
    match spec.kind {
        Kind::Text => Ok(Some(Value::Text(one_line(content, &seen)))),
        Kind::Tags => read_tags(&seen),
        Kind::Number(low, high) => {
            let number = number_of(spec, content, &seen)?;
            within(spec, number, low, high, &seen).map(|number| Some(Value::Number(number)))
        }
        Kind::Count(low, high) => {
            let number = number_of(spec, content, &seen)?;
            if number.is_finite() && number.fract() != 0.0 {
                return wrong(
                    &codes::I103_WHOLE,
                    format!("{} reads `{}`, which is not a whole number", spec.name, text::shortened(&seen)),
                    format!("enter a whole number from {low} to {high}"),
                );
            }
            within(spec, number, f64::from(low), f64::from(high), &seen).map(|number| Some(Value::Number(number)))
        }
        Kind::YesNo => read_yes_no(spec, content, &seen).map(|yes| Some(Value::YesNo(yes))),
        Kind::Choice(choices) => {
            let letter = if spec.field == Field::LockedRotorCode { code_letter(&seen) } else { None };
            read_choice(spec, choices, letter.as_deref().unwrap_or(seen.trim())).map(|name| Some(Value::Choice(name)))
        }
    }
}

/// The letter of `Code G`, `kVA code G`, `LR code G`, `G (5.6-6.29)` or `G / 480V`: the one word beside figures and what the heading says.
/// None where several are left, as in `F/G`.
fn code_letter(seen: &str) -> Option<String> {
    const SAID: [&str; 12] = ["code", "kode", "kva", "hp", "class", "letter", "nema", "locked", "rotor", "lr", "v", "per"];
    let all = fold::words(seen);
    let figure = |word: &str| word.starts_with(|first: char| first.is_ascii_digit());
    let left: Vec<&str> = all.iter().map(String::as_str).filter(|word| !SAID.contains(word) && !figure(word)).collect();
    if let [letter] = left.as_slice() { Some(letter.to_uppercase()) } else { None }
}

fn read_choice(spec: &FieldSpec, choices: &[Choice], word: &str) -> Result<&'static str, Box<Wrong>> {
    let known = || choices.iter().map(|(name, _)| *name);
    match known().find(|name| name.eq_ignore_ascii_case(word)) {
        Some(name) => Ok(name),
        None => {
            let all = known().collect::<Vec<_>>().join(", ");
            let hint = nearest_choice(spec, word).map(|meant| format!("did you mean `{meant}`? ")).unwrap_or_default();
            let what = format!("{} reads `{}`, which is not one of its values", spec.name, text::shortened(word));
            wrong(&codes::I105_CHOICE, what, format!("{hint}enter one of: {all}"))
        }
    }
}

/// The canonical value that a word is nearest to.
pub(super) fn nearest_choice(spec: &FieldSpec, word: &str) -> Option<&'static str> {
    let Kind::Choice(choices) = spec.kind else { return None };
    nearest(&word.trim().replace([' ', '_'], "-"), choices.iter().map(|(name, _)| *name))
}

/// Findings about cells that sizing can do without: they leave the row whole.
pub(super) const DISPENSABLE: [&Code; 4] =
    [&codes::I119_ERROR_IN_REMARK, &codes::I434_NOT_ONE_VALUE, &codes::I465_STOP_CATEGORY, &codes::I476_STATED_IN_WORDS];

/// Columns that carry the sender's words and are never worked with, in the order of the table.
pub(super) const REMARKS: [Field; 6] =
    [Field::Description, Field::RowRevision, Field::Section, Field::InterlockNote, Field::FeedbackNote, Field::Notes];

/// Whether a column is one of them.
pub(super) fn is_remark(field: Field) -> bool {
    REMARKS.contains(&field)
}

/// Whether a text of a canonical column of words is taken as it stands: printable ASCII of usual length, no blank around it, none
/// of the texts that say nothing.
pub(super) fn is_plain_words(spec: &FieldSpec, text: &str) -> bool {
    matches!(spec.kind, Kind::Text)
        && text.len() <= text::LONGEST_TEXT
        && text.bytes().all(|byte| matches!(byte, b' '..=b'~'))
        && !text.starts_with(' ')
        && !text.ends_with(' ')
        && !text::is_placeholder(text)
}

pub(super) fn check_characters(spec: &FieldSpec, seen: &str) -> Result<(), Box<Wrong>> {
    // A short text of printable ASCII, as most are, has nothing to refuse.
    if seen.len() <= text::LONGEST_TEXT && seen.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return Ok(());
    }
    if seen.len() > text::LONGEST_TEXT && !is_remark(spec.field) {
        let length = seen.chars().count();
        if length > text::LONGEST_TEXT {
            return wrong(
                &codes::I111_LENGTH,
                format!("{} holds {length} characters, more than the {} that are read", spec.name, text::LONGEST_TEXT),
                "shorten the text; a cell of this length is mostly an accident of copying",
            );
        }
    }
    let refused = |c: &char| !matches!(c, '\n' | '\r' | '\t') && crate::finding::steers(*c);
    match seen.chars().find(refused) {
        None => Ok(()),
        Some(character) => wrong(
            &codes::I110_CHARACTERS,
            format!("{} holds the invisible or control character U+{:04X}", spec.name, u32::from(character)),
            "type the text anew",
        ),
    }
}

pub(super) fn error_cell(spec: &FieldSpec, error: &str) -> Result<Option<Value>, Box<Wrong>> {
    let code = if is_remark(spec.field) { &codes::I119_ERROR_IN_REMARK } else { &codes::I107_ERROR_CELL };
    wrong(
        code,
        format!("{} holds the error {}", spec.name, text::shortened(error)),
        "mend the formula in the sender's workbook, or enter the value",
    )
}

/// A date, and what may have been typed before a spreadsheet took it for one.
pub(super) fn a_date(spec: &FieldSpec, date: &str, parts: Option<(u16, u16)>) -> Result<Option<Value>, Box<Wrong>> {
    let usual =
        "format the cell as text or number and enter the value again: a spreadsheet turns entries such as 9-13 or 1/2 into dates";
    let typed = parts.and_then(|(month, day)| match spec.unit {
        "hp" => [(month, day), (day, month)].into_iter().find(|(above, below)| numbers::is_usual_fraction(*above, *below)).map(
            |(above, below)| {
                let value = (f64::from(above) / f64::from(below) * 1e4).round() / 1e4;
                format!("if {above}/{below} was meant, write {}, or format the cell as text first", text::number_text(value))
            },
        ),
        "A" if spec.field == Field::GivenOverloadRangeA => {
            let (low, high) = (month.min(day), month.max(day));
            Some(format!("if {low}-{high} was meant, format the cell as text and enter it again"))
        }
        _ => None,
    });
    let what = format!("{} holds the date {}", spec.name, text::shortened(date));
    wrong(&codes::I106_DATE, what, typed.unwrap_or_else(|| usual.to_owned()))
}

fn to_be_confirmed(spec: &FieldSpec, seen: &str) -> Result<Option<Value>, Box<Wrong>> {
    let wanted = match spec.kind {
        Kind::Tags => "a tag".to_owned(),
        Kind::YesNo => "yes or no".to_owned(),
        Kind::Choice(_) => "one of the column's values".to_owned(),
        _ if spec.unit.is_empty() => "the value".to_owned(),
        _ => format!("the value in {}", spec.unit),
    };
    wrong(
        &codes::I118_TO_BE_CONFIRMED,
        format!("{} reads `{}`, which is not decided", spec.name, text::shortened(seen)),
        format!("enter {wanted}, or leave the cell empty where the row can do without"),
    )
}

/// Text on one line, without blanks around it; wrapped cells of workbooks hold line breaks.
fn one_line(content: &Content, seen: &str) -> Text {
    let trimmed = seen.trim();
    if trimmed.bytes().any(|byte| matches!(byte, b'\n' | b'\r' | b'\t')) {
        trimmed.split_whitespace().collect::<Vec<_>>().join(" ").into()
    } else if trimmed.len() == seen.len() {
        text::kept(content)
    } else {
        trimmed.into()
    }
}

fn read_tags(seen: &str) -> Result<Option<Value>, Box<Wrong>> {
    if tags::is_plain(seen) {
        return Ok(Some(Value::Tags([seen.into()].into())));
    }
    match tags::expand(seen) {
        Tags::Read(tags) => Ok(Some(Value::Tags(tags.into_iter().map(Text::from).collect()))),
        Tags::Unclear(tag) => Ok(Some(Value::Tags([tag.into()].into()))),
        Tags::BadRange(why) => wrong(
            &codes::I114_TAG_RANGE,
            format!("the range of tags `{}` can't be expanded: {why}", text::shortened(seen)),
            "write both ends in full, the lower first, or list the tags",
        ),
    }
}

fn read_yes_no(spec: &FieldSpec, content: &Content, seen: &str) -> Result<bool, Box<Wrong>> {
    if let Content::Boolean(yes) = content {
        return Ok(*yes);
    }
    let is = |words: &[&str]| words.iter().any(|word| seen.trim().eq_ignore_ascii_case(word));
    if is(&["yes", "y", "true"]) {
        Ok(true)
    } else if is(&["no", "n", "false"]) {
        Ok(false)
    } else {
        wrong(&codes::I104_YES_NO, format!("{} reads `{}`", spec.name, text::shortened(seen)), "enter yes or no")
    }
}

pub(super) fn within(spec: &FieldSpec, number: f64, low: f64, high: f64, seen: &str) -> Result<f64, Box<Wrong>> {
    // `-0` is within every bound that zero is within, and would print as `-0`.
    if number >= low && number <= high {
        return Ok(number + 0.0);
    }
    let unit = if spec.unit.is_empty() { String::new() } else { format!(" {}", spec.unit) };
    // Of nothing, and of less than nothing, it is enough to say that there must be some.
    let some = low > 0.0 && (low < 1e-3 || low < 1e-2 && number <= 0.0);
    let bounds = if some {
        format!("above 0 and up to {}{unit}", text::number_text(high))
    } else {
        format!("from {} to {}{unit}", text::number_text(low), text::number_text(high))
    };
    let share = spec.unit == "%" && number > 0.0 && number < low;
    let cure = if share {
        format!(
            "enter a percentage: {} for a share of {}",
            text::number_text((number * 1e8).round() / 1e6),
            text::shortened(seen)
        )
    } else {
        format!("enter a value {bounds}")
    };
    wrong(&codes::I102_BOUNDS, format!("{} reads {}; it must be {bounds}", spec.name, text::shortened(seen)), cure)
}

fn number_of(spec: &FieldSpec, content: &Content, seen: &str) -> Result<f64, Box<Wrong>> {
    if let Content::Number(number) = content {
        return Ok(*number);
    }
    let trimmed = seen.trim();
    // Horsepower as nameplates write it: 7-1/2, 7 1/2, 1/2.
    let nameplate = || numbers::fraction(trimmed).filter(|(_, unit)| spec.unit == "hp" && unit.is_none()).map(|(value, _)| value);
    let number = plain_number(trimmed).or_else(nameplate);
    match number {
        Some(number) => Ok(number),
        None => {
            let what = format!("{} reads `{}`, which is not a number", spec.name, text::shortened(seen));
            wrong(&codes::I101_NUMBER, what, number_cure(spec, trimmed))
        }
    }
}

/// Digits with at most one decimal point and an exponent; nothing that a reader could take for another number.
fn plain_number(text: &str) -> Option<f64> {
    let plain = text.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'+' | b'e' | b'E'));
    if !plain || !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    text.parse().ok()
}

/// The text to write instead, where that can be told.
pub(super) fn number_cure(spec: &FieldSpec, text: &str) -> String {
    if let Some(cure) = letters_for_digits(text) {
        return cure;
    }
    if text.contains(',') {
        let point = text.replace(',', ".");
        let none = text.replace(',', "");
        return match (plain_number(&point), plain_number(&none)) {
            (Some(_), _) => format!("write {point} if the comma is a decimal comma, or {none} if it groups thousands"),
            (None, Some(_)) => format!("write {none}, without commas"),
            _ => match number_in_front(text, true) {
                Some(number) => format!("write the number alone, such as {number}"),
                None => "write one number with a decimal point and no commas".to_owned(),
            },
        };
    }
    if let Some(number) = number_in_front(text, false) {
        let unit = if spec.unit.is_empty() { String::new() } else { format!("; the column is in {}", spec.unit) };
        return format!("write the number alone, such as {number}{unit}");
    }
    let unit = if spec.unit.is_empty() { String::new() } else { format!(", in {}", spec.unit) };
    format!("enter a number with a decimal point{unit}")
}

/// The number before a short addition: `120` of `120 LF` and `12.5*`, `0,84` of `0,84 ind.` where a comma may stand in it.
fn number_in_front(text: &str, comma: bool) -> Option<&str> {
    let figure = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+') || (comma && c == ',');
    let end = text.find(|c: char| !figure(c)).unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    let addition = |first: char| first.is_alphabetic() || matches!(first, '*' | '†' | '‡' | '@');
    let short = rest.trim().len() < 10 && rest.trim().chars().next().is_some_and(addition);
    (short && plain_number(&number.replace(',', ".")).is_some()).then_some(number)
}

/// Letters that stand where digits are meant.
fn letters_for_digits(text: &str) -> Option<String> {
    let digit = |c: char| match c {
        'O' | 'o' => Some('0'),
        'l' | 'I' => Some('1'),
        _ => None,
    };
    let mended: String = text.chars().map(|c| digit(c).unwrap_or(c)).collect();
    if mended == text || !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    plain_number(&mended)?;
    let (index, letter) = text.chars().enumerate().find(|(_, c)| digit(*c).is_some())?;
    let place =
        if index + 1 == text.chars().count() { "the last character".to_owned() } else { format!("character {}", index + 1) };
    Some(format!("write {mended}: {place} is the letter {letter}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(text: &str) -> Content {
        Content::Text(text.into())
    }

    #[rstest::rstest]
    #[case::plain(Field::VoltageV, "400", 400.0)]
    #[case::decimal_point(Field::RatedPowerKw, " 7.5 ", 7.5)]
    #[case::mixed_fraction(Field::RatedPowerHp, "7-1/2", 7.5)]
    #[case::spaced_fraction(Field::RatedPowerHp, "7 1/2", 7.5)]
    #[case::below_one(Field::RatedPowerHp, "3/4", 0.75)]
    #[case::exponent(Field::RequiredOperations, "1e6", 1e6)]
    #[case::zero_where_it_makes_sense(Field::StartsPerHour, "0", 0.0)]
    #[case::count(Field::Phases, "3", 3.0)]
    fn plain_numbers_and_fractions_of_horsepower_are_read(#[case] field: Field, #[case] text: &str, #[case] expected: f64) {
        assert_eq!(read(field.spec(), &cell(text)).unwrap(), Some(Value::Number(expected)));
    }

    #[rstest::rstest]
    #[case::letter_o(Field::VoltageV, "40O", "I101", "write 400: the last character is the letter O")]
    #[case::decimal_comma(Field::RatedPowerKw, "7,5", "I101", "7.5 if the comma is a decimal comma")]
    #[case::thousands(Field::RatedPowerKw, "1,234", "I101", "1234 if it groups thousands")]
    #[case::unit(Field::VoltageV, "400 V", "I101", "the number alone, such as 400")]
    #[case::fraction_in_kw(Field::RatedPowerKw, "7-1/2", "I101", "in kW")]
    #[case::infinite_word(Field::RatedPowerKw, "inf", "I101", "")]
    #[case::not_a_number_word(Field::RatedPowerKw, "NaN", "I101", "")]
    #[case::negative(Field::RatedPowerKw, "-5", "I102", "above 0 and up to 100000 kW")]
    #[case::zero(Field::RatedPowerKw, "0", "I102", "above 0")]
    #[case::huge(Field::RatedPowerKw, "1e308", "I102", "100000 kW")]
    #[case::beyond_a_double(Field::RatedPowerKw, "1e999", "I102", "100000 kW")]
    #[case::share(Field::EfficiencyPct, "0.92", "I102", "92 for a share of 0.92")]
    #[case::half(Field::Quantity, "1.5", "I103", "whole number from 1")]
    #[case::yes_no(Field::Reversing, "perhaps", "I104", "yes or no")]
    #[case::method(Field::StartingMethod, "star dalta", "I105", "did you mean `star-delta`?")]
    #[case::to_be_confirmed(Field::RatedPowerKw, "TBC", "I118", "enter the value in kW")]
    #[case::range(Field::Tag, "EF-4 thru EF-1", "I114", "the lower first")]
    #[case::bell(Field::Description, "pump\u{7}", "I110", "anew")]
    #[case::bidirectional(Field::Tag, "P-\u{202e}1", "I110", "anew")]
    fn what_can_not_be_read_says_its_code_and_cure(
        #[case] field: Field,
        #[case] text: &str,
        #[case] code: &str,
        #[case] cure: &str,
    ) {
        let wrong = read(field.spec(), &cell(text)).unwrap_err();
        assert_eq!(wrong.code.code, code, "{wrong:?}");
        assert!(wrong.cure.contains(cure), "{}", wrong.cure);
    }

    proptest::proptest! {
        #[test]
        fn plain_words_are_those_of_the_whole_reading(text in "[ -~]{0,6}|[ -~\u{e9}\t]{0,12}|n/a|N.A.|--|x{1990,2010}", field in 0..crate::load::FIELDS.len()) {
            let spec = &crate::load::FIELDS[field];
            if is_plain_words(spec, &text) && !text.is_empty() {
                proptest::prop_assert_eq!(read_whole(spec, &cell(&text)).ok().flatten(), Some(Value::Text(text.as_str().into())), "{}", text);
            }
        }

        #[test]
        fn plain_numbers_are_those_of_the_whole_reading(text in "[0-9.]{0,9}|[0-9.+e -]{0,5}|[0-9]{20,30}|[0-9]{1990,2010}", field in 0..crate::load::FIELDS.len()) {
            let (spec, content) = (&crate::load::FIELDS[field], cell(&text));
            let (plain, whole) = (read(spec, &content), read_whole(spec, &content));
            proptest::prop_assert_eq!(format!("{plain:?}"), format!("{whole:?}"), "{} {}", spec.name, text);
        }
    }

    #[test]
    fn long_cells_dates_and_errors_are_refused() {
        assert_eq!(read(Field::Board.spec(), &cell(&"x".repeat(10_000))).unwrap_err().code.code, "I111");
        let date = Content::date(46_278.0, "2026-09-13");
        assert_eq!(read(Field::RatedPowerKw.spec(), &date).unwrap_err().code.code, "I106");
        assert_eq!(read(Field::GivenOverloadRangeA.spec(), &date).unwrap_err().code.code, "I106");
        assert!(read(Field::Notes.spec(), &date).is_ok());
        assert_eq!(read(Field::VoltageV.spec(), &Content::Error("#REF!".into())).unwrap_err().code.code, "I107");
    }

    #[test]
    fn dashes_and_not_applicable_are_nothing() {
        for text in ["-", "–", "N/A", "n/a"] {
            assert_eq!(read(Field::StartingMethod.spec(), &cell(text)).unwrap(), None);
        }
    }
}
