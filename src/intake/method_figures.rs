//! Figures in the cell of a starting method: the tap of an autotransformer (`RVAT 80%`), the current limit of a soft starter (`2.5 x FLC`),
//! and how many starters (`2 x DOL`). What the sender states there must not be replaced by an assumption.

use crate::load::{Field, Value};

/// The figures in the text of a method.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Figures {
    /// Values of other columns.
    pub(super) values: Vec<(Field, Value)>,
    /// The words that were not read.
    pub(super) unread: Option<String>,
}

/// A number with the words before and behind it.
struct Number<'a> {
    value: f64,
    before: &'a str,
    behind: &'a str,
}

impl Number<'_> {
    fn is_percent(&self) -> bool {
        ["%", "percent", "per cent", "pct"].iter().any(|word| self.behind.starts_with(word))
    }

    /// `x FLC`, `% of full load current`, `times In`.
    fn is_of_rated_current(&self) -> bool {
        let mut rest = self.behind;
        for word in ["%", "percent", "per cent", "pct", "times", "x", "×", "*", "of"] {
            rest = rest.strip_prefix(word).unwrap_or(rest).trim_start();
        }
        let end = rest.find(|letter: char| !letter.is_alphanumeric()).unwrap_or(rest.len());
        let word = &rest[..end];
        matches!(word, "flc" | "fla" | "in" | "ie" | "ir" | "full" | "rated" | "nominal")
    }

    fn is_limit(&self) -> bool {
        let before = self.before.trim_end_matches([':', '=', ' ']);
        ["limit", "limited to", "ilim"].iter().any(|word| before.ends_with(word))
    }

    fn is_tap(&self) -> bool {
        let before = self.before.trim_end_matches([':', '=', '@', ' ']);
        let behind = self.behind.trim_start_matches(['%', ' ']);
        before.ends_with("tap") || behind.starts_with("tap") || self.is_percent()
    }
}

/// Reads the figures of a text in which a method was understood.
pub(super) fn read(text: &str, method: &str) -> Figures {
    let lower = text.to_lowercase();
    if let Some(count) = starters(&lower) {
        let unread =
            Some(format!("{count} starters: the row was read as one, because nothing tells whether they share its power"));
        return Figures { unread, ..Figures::default() };
    }
    let (field, limits, states): (Field, [f64; 2], fn(&Number<'_>) -> bool) = match method {
        "autotransformer" | "primary-resistor" | "reactor" => (Field::TapPct, [10.0, 95.0], |number| number.is_tap()),
        "soft-starter" | "soft-starter-inside-delta" => {
            (Field::StartCurrentLimit, [1.0, 10.0], |number| number.is_of_rated_current() || number.is_limit())
        }
        _ => return Figures::default(),
    };
    let scaled =
        |number: &Number<'_>| if field == Field::TapPct || !number.is_percent() { number.value } else { number.value / 100.0 };
    let mut said: Vec<f64> = numbers(&lower).iter().filter(|number| states(number)).map(scaled).collect();
    said.dedup();
    match said.as_slice() {
        [] => Figures::default(),
        [one] if (limits[0]..=limits[1]).contains(one) => {
            Figures { values: vec![(field, Value::Number(*one))], ..Figures::default() }
        }
        _ => {
            let words = if field == Field::TapPct { "tap" } else { "current limit" };
            Figures { unread: Some(format!("no one {words} from {} to {}", limits[0], limits[1])), ..Figures::default() }
        }
    }
}

/// `2 x DOL`, `3×VFD`: a count before everything else.
fn starters(lower: &str) -> Option<u32> {
    let text = lower.trim_start();
    let digits = text.len() - text.trim_start_matches(|letter: char| letter.is_ascii_digit()).len();
    let count = text[..digits].parse().ok().filter(|count| *count > 1)?;
    let rest = text[digits..].trim_start();
    let rest = rest.strip_prefix(['x', '×', '*'])?;
    // `2 x FLC` is a current.
    let number = Number { value: 0.0, before: "", behind: rest.trim_start() };
    (!number.is_of_rated_current()).then_some(count)
}

fn numbers(lower: &str) -> Vec<Number<'_>> {
    let is_figure = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',');
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = lower[at..].find(|letter: char| letter.is_ascii_digit()).map(|start| at + start) {
        let end = lower[start..].find(|letter| !is_figure(letter)).map_or(lower.len(), |end| start + end);
        if let Ok(value) = lower[start..end].trim_end_matches(['.', ',']).replace(',', ".").parse() {
            found.push(Number { value, before: lower[..start].trim_end(), behind: lower[end..].trim_start() });
        }
        at = end;
    }
    found
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    #[rstest]
    #[case("RVAT 80%", "autotransformer", Some((Field::TapPct, 80.0)))]
    #[case("autotransformer 50 % tap", "autotransformer", Some((Field::TapPct, 50.0)))]
    #[case("Autotransformer, tap 65", "autotransformer", Some((Field::TapPct, 65.0)))]
    #[case("primary resistor 70%", "primary-resistor", Some((Field::TapPct, 70.0)))]
    #[case("soft starter 2.5 x FLC", "soft-starter", Some((Field::StartCurrentLimit, 2.5)))]
    #[case("RVSS 3.5xFLC", "soft-starter", Some((Field::StartCurrentLimit, 3.5)))]
    #[case("SS, limit 3,5", "soft-starter", Some((Field::StartCurrentLimit, 3.5)))]
    #[case("soft start 350% FLA", "soft-starter", Some((Field::StartCurrentLimit, 3.5)))]
    #[case("soft start 300 % of full load current", "soft-starter", Some((Field::StartCurrentLimit, 3.0)))]
    #[case::not_a_limit("soft starter 22 kW", "soft-starter", None)]
    #[case::not_a_tap("autotransformer, 3 coils", "autotransformer", None)]
    #[case::of_another_method("VFD 150 % for 60 s", "drive", None)]
    #[case::two_speeds("2-speed 1800/900", "two-speed", None)]
    fn a_figure_beside_a_method_is_that_of_its_column(
        #[case] text: &str,
        #[case] method: &str,
        #[case] expected: Option<(Field, f64)>,
    ) {
        let figures = read(text, method);
        let values: Vec<(Field, Value)> = expected.map(|(field, value)| (field, Value::Number(value))).into_iter().collect();
        assert_eq!((figures.values, figures.unread), (values, None), "{text}");
    }

    #[rstest]
    #[case("2 x DOL", "direct")]
    #[case("3×VFD", "drive")]
    #[case("RVAT 50/65/80%, 65%", "autotransformer")]
    #[case("autotransformer 120 %", "autotransformer")]
    #[case("soft starter 15 x FLC", "soft-starter")]
    fn a_figure_that_is_not_read_is_told(#[case] text: &str, #[case] method: &str) {
        let figures = read(text, method);
        assert!(figures.values.is_empty() && figures.unread.is_some(), "{text}: {figures:?}");
    }

    proptest::proptest! {
        #[test]
        fn never_panics_and_states_nothing_out_of_bounds(text in "[0-9.,%x× a-zé]{0,30}|\\PC{0,30}") {
            for method in ["autotransformer", "soft-starter", "direct"] {
                for (field, value) in read(&text, method).values {
                    let Value::Number(number) = value else { panic!("{field:?}") };
                    proptest::prop_assert!((1.0..=95.0).contains(&number), "{text}: {number}");
                }
            }
        }
    }
}
