//! Numbers and words as the submittal prints them. A quantity never breaks from its unit; thousands have a narrow space.

use crate::load::{Field, Kind};
use crate::quantity::decimal;
use crate::report::columns::{Decimals, shown};
use crate::report::words::full;
use crate::rules::units::{Measure, Units};

/// Space that does not break.
const FIXED_SPACE: char = '\u{a0}';
/// Narrow space that does not break, between thousands.
const THOUSANDS_SPACE: char = '\u{202f}';
/// Minus sign.
const MINUS: char = '\u{2212}';

/// A number with so many decimals; `?` where it is undefined, so that nothing odd looks like a value.
pub(super) fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    grouped(&decimal(value, decimals))
}

/// A number of four significant digits at most, as results of a working are printed.
pub(super) fn significant(value: f64) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let size = value.abs();
    // Digits before the decimal point are never dropped: 12 346 A stays 12 346 A.
    let digits = if size >= 1e4 { 15 } else { 4 };
    if size >= 1e15 {
        return format!("{value:.3e}");
    }
    let text = if size >= 1e4 { decimal(value, 0) } else { crate::record::significant(value, digits) };
    grouped(&text)
}

/// Puts narrow spaces between the thousands of a plain decimal number and a real minus in front.
fn grouped(plain: &str) -> String {
    let (negative, digits) = match plain.strip_prefix('-') {
        Some(rest) => (rest.chars().any(|c| c.is_ascii_digit() && c != '0'), rest),
        None => (false, plain),
    };
    let (whole, fraction) = digits.split_once('.').map_or((digits, None), |(whole, fraction)| (whole, Some(fraction)));
    let mut text = String::with_capacity(plain.len() + 8);
    if negative {
        text.push(MINUS);
    }
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            text.push(THOUSANDS_SPACE);
        }
        text.push(digit);
    }
    if let Some(fraction) = fraction {
        text.push('.');
        text.push_str(fraction);
    }
    text
}

/// A number with its unit.
pub(in crate::report) fn quantity(value: f64, decimals: usize, unit: &str) -> String {
    with_unit(number(value, decimals), unit)
}

/// A number as text with its unit, held together.
pub(in crate::report) fn with_unit(number: String, unit: &str) -> String {
    if unit.is_empty() {
        return number;
    }
    let unit = if unit == "contacts" && number == "1" { "contact" } else { unit };
    format!("{number}{FIXED_SPACE}{}", fixed(&symbols(unit)))
}

/// Decimals that fit a value: three significant digits, as a nameplate has them, and never more than three decimals.
pub(in crate::report) fn decimals_for(value: f64) -> usize {
    let size = value.abs();
    match size {
        _ if size >= 100.0 => 0,
        _ if size >= 1.0 => 1,
        _ if size >= 0.1 => 2,
        _ => 3,
    }
}

/// A number of a column: decimals that are left out keep their place, so that decimal points stand below each other.
pub(super) fn column_number(value: f64, decimals: Decimals) -> String {
    let mut text = grouped(&shown(value, decimals));
    let stand = text.split_once('.').map_or(0, |(_, fraction)| fraction.len());
    let places = usize::from(decimals.fixed + decimals.further);
    if stand == 0 && places > 0 {
        text.push('\u{2008}'); // as wide as a point
    }
    text.extend(std::iter::repeat_n('\u{2007}', places.saturating_sub(stand))); // as wide as a digit
    text
}

/// Value and limit of a check in the units of the reports.
pub(super) fn value_and_limit(units: Units, value: f64, limit: f64, unit: &str) -> (String, String) {
    match (units.value(value, unit), units.limit(limit, unit)) {
        (Measure::Number(value), Measure::Number(limit)) => numbers_alike(value, limit, units.unit(unit)),
        (value, limit) => {
            let words = |measure| match measure {
                Measure::Number(number) => quantity(number, 1, unit),
                Measure::Size(size) => fixed(&size),
            };
            (words(value), words(limit))
        }
    }
}

/// Units of what is counted: a whole number of them has no decimals.
const COUNTED: [&str; 3] = ["contacts", "1/h", "ft"];

/// Two numbers with one number of decimals, chosen so that two that differ never print alike; thousands need none for that.
fn numbers_alike(value: f64, limit: f64, unit: &str) -> (String, String) {
    let is_whole = |number: f64| (number - number.round()).abs() <= 1e-6;
    let fraction = |number: f64| number.abs() < 1000.0 && !is_whole(number);
    let counted = COUNTED.contains(&unit) && is_whole(value) && is_whole(limit);
    let fewest = if counted { 0 } else { decimals_for(limit).max(usize::from(fraction(value) || fraction(limit))) };
    let mut further = 0;
    let shown = |value: f64, further: usize| quantity(value, further + if value.abs() >= 1000.0 { 0 } else { fewest }, unit);
    while fewest + further < 4 && value.to_bits() != limit.to_bits() && shown(value, further) == shown(limit, further) {
        further += 1;
    }
    (shown(value, further), shown(limit, further))
}

/// Unit symbols as they are written by hand: `mm2` becomes `mm²`.
pub(super) fn symbols(text: &str) -> String {
    if text.contains("mm2") { text.replace("mm2", "mm²") } else { text.to_owned() }
}

/// Text that is to stay on one line: spaces become fixed ones.
pub(in crate::report) fn fixed(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// A size such as `2.5 mm2`, on one line and with its proper sign.
pub(super) fn size(text: &str) -> String {
    fixed(&symbols(text))
}

/// A text whose sizes of conductors never part from their unit, wherever else it breaks.
pub(super) fn sizes_held(text: &str) -> String {
    [" AWG", " kcmil", " mm²"].iter().fold(text.to_owned(), |held, unit| held.replace(unit, &fixed(unit)))
}

/// The meaning of a canonical value of an input column, as the table of columns says it; in the customary book's own words where it
/// has them.
pub(super) fn meaning(units: Units, field: Field, value: &str) -> String {
    if units == Units::Metric
        && let Kind::Choice(choices) = field.spec().kind
        && let Some((_, meaning)) = choices.iter().find(|(name, _)| *name == value)
    {
        return (*meaning).to_owned();
    }
    full(units, value)
}

/// The first letter as a capital.
pub(super) fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map(|first| first.to_uppercase().chain(characters).collect()).unwrap_or_default()
}

/// At most so many characters; what is left out is shown by an ellipsis. Only for places where the whole text stands elsewhere.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most.saturating_sub(1)).chain(['…']).collect()
}

/// One and many: `1 row`, `12 rows`.
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{}{FIXED_SPACE}{}", grouped(&number.to_string()), if number == 1 { one } else { many })
}

/// A sentence: a capital in front, unless the first word is a symbol such as `gG`, and a stop at the end.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    let first: &str = text.split_whitespace().next().unwrap_or("");
    let plain = first.chars().all(|letter| letter.is_lowercase() || letter == '-' || letter == ',' || letter == ':');
    let text = if plain { capital(text) } else { text.to_owned() };
    if text.is_empty() || text.ends_with(['.', '?', ':']) { text } else { format!("{text}.") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_thousands_a_real_minus_and_no_negative_zero() {
        assert_eq!(number(12_345.678, 1), "12\u{202f}345.7");
        assert_eq!(number(-3.25, 1), "\u{2212}3.2");
        assert_eq!(number(-0.01, 1), "0.0");
        assert_eq!(number(f64::NAN, 1), "?");
        assert_eq!(significant(14.256_71), "14.26");
        assert_eq!(significant(123_456.7), "123\u{202f}457");
    }

    #[test]
    fn a_value_that_differs_from_its_limit_never_prints_as_equal() {
        // 265 ft are 80.77 m; 6 AWG are 13.3 mm².
        assert_eq!(value_and_limit(Units::Customary, 80.772, 50.0, "m"), ("265\u{a0}ft".to_owned(), "164\u{a0}ft".to_owned()));
        assert_eq!(value_and_limit(Units::Customary, 21.15, 13.3, "mm²"), ("4\u{a0}AWG".to_owned(), "6\u{a0}AWG".to_owned()));
        // Contacts are counted; a current in the thousands has no tenths.
        assert_eq!(
            value_and_limit(Units::Metric, 2.0, 6.0, "contacts"),
            ("2\u{a0}contacts".to_owned(), "6\u{a0}contacts".to_owned())
        );
        assert_eq!(
            value_and_limit(Units::Metric, 6.0, 1200.0, "1/h"),
            ("6\u{a0}1/h".to_owned(), "1\u{202f}200\u{a0}1/h".to_owned())
        );
        assert_eq!(
            value_and_limit(Units::Metric, 2125.0, 51.2, "A"),
            ("2\u{202f}125\u{a0}A".to_owned(), "51.2\u{a0}A".to_owned())
        );
        assert_eq!(value_and_limit(Units::Metric, 12.04, 12.0, "%"), ("12.04\u{a0}%".to_owned(), "12.00\u{a0}%".to_owned()));
        assert_eq!(value_and_limit(Units::Metric, 12.0, 12.0, "%"), ("12.0\u{a0}%".to_owned(), "12.0\u{a0}%".to_owned()));
        assert_eq!(value_and_limit(Units::Metric, 250.0, 289.0, "A"), ("250\u{a0}A".to_owned(), "289\u{a0}A".to_owned()));
        assert_eq!(value_and_limit(Units::Metric, 129.6, 200.0, "A"), ("129.6\u{a0}A".to_owned(), "200.0\u{a0}A".to_owned()));
    }

    #[test]
    fn a_size_stays_on_one_line() {
        assert_eq!(size("2.5 mm2"), "2.5\u{a0}mm²");
        assert_eq!(sizes_held("2 × 3/0 AWG, 95 mm²"), "2 × 3/0\u{a0}AWG, 95\u{a0}mm²");
    }
}
