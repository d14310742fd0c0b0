//! Disconnects at the machine as American lists state them: who furnishes one, fused or not, in which enclosure.

use super::{Given, Outcome};
use crate::finding::codes;
use crate::intake::matters::{suggests, words_of};
use crate::intake::{choices, duty, text};
use crate::load::{Field, Value};

/// What a text says of a disconnect at the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Says {
    /// One is to be bought.
    Wanted,
    /// One with fuses, which are chosen nowhere here.
    Fused,
    /// It comes with the machine, or none is wanted.
    NotWanted,
}

fn says(seen: &str) -> Option<Says> {
    if let Some(Value::YesNo(yes)) = choices::meant(Field::Isolator, seen) {
        return Some(if yes { Says::Wanted } else { Says::NotWanted });
    }
    let words = without_ratings(&words_of(seen));
    match duty::yes_no(seen) {
        Some(yes) => Some(if yes { Says::Wanted } else { Says::NotWanted }),
        None if suggests("disconnect-furnished", &words) => Some(Says::NotWanted),
        None if suggests("disconnect-fused", &words) => Some(Says::Fused),
        None if suggests("disconnect-wanted", &words) || enclosure(seen).is_some() => Some(Says::Wanted),
        None => None,
    }
}

/// Words without the ratings of a switch and its fuses and its poles, `60A/3P`, `60/50`: what is left may be a mark that counts alone.
fn without_ratings(words: &[String]) -> Vec<String> {
    let is_figure = |word: &str| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit());
    let is_unit =
        |at: usize| at > 0 && is_figure(&words[at - 1]) && ["a", "amp", "amps", "p", "pole"].contains(&words[at].as_str());
    let kept = |(at, word): (usize, &String)| (!is_figure(word) && !is_unit(at)).then(|| word.clone());
    words.iter().enumerate().filter_map(kept).collect()
}

/// Whether a text says whether a disconnect is wanted.
pub(in crate::intake) fn is_understood(seen: &str) -> bool {
    says(seen).is_some()
}

/// The type of enclosure that a text names: `NEMA 3R`, `N4X`, `3R`.
fn enclosure(seen: &str) -> Option<String> {
    let upper = seen.to_uppercase();
    let words: Vec<&str> = upper.split(|letter: char| !letter.is_ascii_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let bare = |word: &&str| {
        let kind = word.strip_prefix("NEMA").or_else(|| word.strip_prefix('N')).unwrap_or(word);
        ["1", "3", "3R", "3RX", "3S", "3X", "4", "4X", "5", "12", "12K"].contains(&kind).then(|| kind.to_owned())
    };
    let named = words.windows(2).filter(|pair| matches!(pair[0], "NEMA" | "TYPE")).find_map(|pair| bare(&pair[1]));
    // A lone figure may be that of anything.
    named.or_else(|| words.iter().filter(|word| word.bytes().any(|byte| byte.is_ascii_alphabetic())).find_map(bare))
}

/// Whether a text is the name of a type of enclosure and nothing else; `TEFC` is that of a motor.
pub(in crate::intake) fn is_enclosure(seen: &str) -> bool {
    let key = seen.to_uppercase().replace(['-', ' '], "");
    let bare = key.strip_prefix("NEMA").or_else(|| key.strip_prefix("TYPE")).unwrap_or(&key);
    enclosure(&format!("NEMA {bare}")).is_some() || key.strip_prefix("IP").is_some_and(|digits| digits.len() == 2)
}

/// Reads what the sender says of the disconnect; who says something else is asked.
pub(super) fn read(seen: &str) -> Outcome {
    let reads = format!("isolator reads `{}`", text::shortened(seen));
    let open = |what: String, cure: &str| Given::open(&codes::I476_STATED_IN_WORDS, what, cure);
    let Some(said) = says(seen) else {
        let what = format!("{reads}, which says neither that a local disconnect is wanted nor that there is one");
        return Ok(open(what, "write yes or no"));
    };
    let wanted = said != Says::NotWanted;
    let mut values = vec![(Field::Isolator, Value::YesNo(wanted))];
    values.extend(enclosure(seen).filter(|_| wanted).map(|kind| (Field::Enclosure, Value::Text(kind.into()))));
    let fused = || {
        let what = format!("{reads}: a switch without fuses is chosen, and the fuses in it are not");
        open(what, "have switch and fuses chosen beside this design, or write yes where no fuses are meant")
    };
    let given = if said == Says::Fused { fused() } else { Given::default() };
    Ok(Given { values, ..given })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("NF by EC, NEMA 3R", Some(Says::Wanted), Some("3R"))]
    #[case("NF", Some(Says::Wanted), None)]
    #[case("by EC", Some(Says::Wanted), None)]
    #[case("Non-fused", Some(Says::Wanted), None)]
    #[case("NEMA 4X", Some(Says::Wanted), Some("4X"))]
    #[case("30A/3P NF 3R", Some(Says::Wanted), Some("3R"))]
    #[case("fused by EC", Some(Says::Fused), None)]
    #[case("FDS", Some(Says::Fused), None)]
    #[case("F 60/50", Some(Says::Fused), None)]
    #[case("600A F", Some(Says::Fused), None)]
    #[case("60A/3P, F, 3R", Some(Says::Fused), Some("3R"))]
    #[case("60/3/NF", Some(Says::Wanted), None)]
    #[case("60/50", None, None)]
    #[case("factory", Some(Says::NotWanted), None)]
    #[case("Integral", Some(Says::NotWanted), None)]
    #[case("w/ unit", Some(Says::NotWanted), None)]
    #[case("unit mounted, NF", Some(Says::NotWanted), None)]
    #[case("no", Some(Says::NotWanted), None)]
    #[case("toggle", None, None)]
    #[case("30", None, None)]
    #[case("see note 3", None, None)]
    fn disconnects_are_told(#[case] text: &str, #[case] expected: Option<Says>, #[case] kind: Option<&str>) {
        assert_eq!((says(text), enclosure(text).as_deref()), (expected, kind));
    }

    #[test]
    fn an_enclosure_of_a_motor_is_none_of_a_switch() {
        assert!(["3R", "NEMA 12", "Type 4X", "IP55"].into_iter().all(is_enclosure));
        assert!(!["TEFC", "ODP", "XP", "30"].into_iter().any(is_enclosure));
    }
}
