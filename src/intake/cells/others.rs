//! Figures with words beside them, above all choices of others as schedules write them: a breaker `50A/3P`, conductors `3#10 1#10G` or
//! `4G2,5`, a conduit `3/4"C`. What is not understood stays as it stands, so that the judge of such choices can name it.

use super::{Given, Note, Outcome};
use crate::finding::codes;
use crate::intake::numbers::{self, Reading};
use crate::intake::units::Unit;
use crate::intake::values::{Wrong, within};
use crate::intake::{Cell, Content, choices, fold, mapping, matters, text};
use crate::load::{Field, FieldSpec, Kind, Value};

/// Most poles of a breaker: a smaller figure beside another one is their number.
const MOST_POLES: f64 = 4.0;
/// Most wire gauges have one or two digits; kcmil begin here.
const LEAST_KCMIL: f64 = 250.0;

/// The place that a text means: a word of the column, or words that say a roof, the open air or a wet place. What stands exposed to the
/// weather is a wet location (NFPA 70, Article 100).
pub(in crate::intake) fn place_meant(seen: &str) -> Option<Value> {
    let Kind::Choice(choices) = Field::Location.spec().kind else { return None };
    let stated = || choices.iter().find(|(name, _)| name.eq_ignore_ascii_case(seen.trim())).map(|(name, _)| *name);
    let said = || {
        let words = matters::words_of(seen);
        let of = [("roof", "rooftop"), ("outdoor", "wet"), ("wet", "wet")];
        of.into_iter().find(|(matter, _)| matters::suggests(matter, &words)).map(|(_, place)| place)
    };
    choices::meant(Field::Location, seen).or_else(|| stated().or_else(said).map(Value::Choice))
}

/// The place of a row; a room that says neither wet nor dry leaves the place to the usual one, and is told.
pub(super) fn place(seen: &str) -> Given {
    match place_meant(seen) {
        Some(value) => Given::one(Field::Location, value),
        None => Given { notes: vec![Note::Room], ..Given::default() },
    }
}

/// A design letter; of two, or of none, nobody can tell the start.
pub(super) fn design_letter(seen: &str) -> Given {
    if let Some(letter) = mapping::design_letter(seen) {
        return Given::one(Field::DesignLetter, Value::Text(letter.as_str().into()));
    }
    let what = format!("design_letter reads `{}`, which is not one design letter, and was not read", text::shortened(seen));
    Given::open(&codes::I434_NOT_ONE_VALUE, what, "write one letter, such as B, or leave the cell empty")
}

/// The rating of a device: `50A/3P`, `3P-50A`, `100 A`, `50/3`, `50AT/100AF`.
pub(super) fn rating(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let found = match cell.content {
        Content::Number(number) => Some(number),
        _ => of_one(seen).or_else(|| amperes(seen)),
    };
    let Some(amperes) = found else { return Ok(not_one(spec, seen)) };
    let Kind::Number(low, high) = spec.kind else { return Ok(Given::nothing()) };
    within(spec, amperes, low, high, seen).map(|amperes| Given::one(spec.field, Value::Number(amperes)))
}

fn not_one(spec: &FieldSpec, seen: &str) -> Given {
    let what = format!("{} reads `{}`, which is not one rating, and was not read", spec.name, text::shortened(seen));
    let cure = "write the rating in amperes, as 50 or 50A/3P; its kind goes into given_protection_kind".to_owned();
    Given { open: Some(Box::new(Wrong { code: &codes::I434_NOT_ONE_VALUE, what, cure })), ..Given::default() }
}

/// One figure, bare or in amperes, by the reader of all numbers: it knows marks of decimals and thousands.
fn of_one(seen: &str) -> Option<f64> {
    match numbers::reading(seen) {
        Ok(Reading::One(amperes, None | Some(Unit::Ampere), _)) => Some(amperes),
        _ => None,
    }
}

/// Amperes of a rating with its poles and its frame; none where two figures may be it. A comma between digits is a mark of decimals or
/// thousands.
fn amperes(seen: &str) -> Option<f64> {
    let lower = seen.to_lowercase();
    let (mut named, mut bare): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
    let close = lower.replace(", ", " ").replace(" a", "a").replace(" p", "p");
    for part in close.split(['/', '-', ' ', ';']).map(|part| part.trim_end_matches(',')).filter(|part| !part.is_empty()) {
        let digits = part.find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | ','))).unwrap_or(part.len());
        let (number, unit) = part.split_at(digits);
        let (value, _) = numbers::number(number).ok()?;
        match unit.trim_matches('.') {
            "" => bare.push(value),
            "a" | "amp" | "amps" | "at" | "trip" => named.push(value),
            "p" | "pole" | "poles" | "af" => {}
            _ => return None,
        }
    }
    match (named.as_slice(), bare.as_slice()) {
        ([one], [] | [_]) | ([], [one]) => Some(*one),
        ([], [one, other]) if *other <= MOST_POLES && *one > MOST_POLES => Some(*one),
        ([], [one, other]) if *one <= MOST_POLES && *other > MOST_POLES => Some(*other),
        _ => None,
    }
}

/// Conductors of a circuit in one text.
#[derive(Debug, Default, PartialEq)]
struct Conductors {
    phase: Option<String>,
    protective: Option<String>,
    parallel: Option<u32>,
}

/// Phase conductors in the unit of their heading, with the protective conductor and the number in parallel where the cell names them.
pub(super) fn conductor(field: Field, unit: Option<Unit>, seen: &str) -> Given {
    let Some(found) = conductors(seen, unit) else { return Given::one(field, Value::Text(seen.into())) };
    let words = |text: String| Value::Text(text.into());
    if field == Field::GivenProtectiveConductor {
        let size = found.protective.or(found.phase).unwrap_or_else(|| seen.to_owned());
        return Given::one(field, words(size));
    }
    let mut given = Given::one(field, words(found.phase.unwrap_or_else(|| seen.to_owned())));
    given.values.extend(found.parallel.map(|count| (Field::GivenParallel, Value::Number(f64::from(count)))));
    given.values.extend(found.protective.map(|size| (Field::GivenProtectiveConductor, words(size))));
    given
}

/// Whether a text is that of conductors and says so itself: a gauge sign, a unit, or the number of cores.
pub(in crate::intake) fn are_conductors(seen: &str) -> bool {
    let lower = seen.to_lowercase();
    let says = ["#", "awg", "mcm", "kcmil", "mm2", "mm²", "/0"].iter().any(|sign| lower.contains(sign))
        || lower.split_once(['x', 'g']).is_some_and(|(front, _)| front.trim().bytes().all(|byte| byte.is_ascii_digit()));
    says && conductors(seen, None).is_some_and(|found| found.phase.is_some())
}

fn conductors(seen: &str, unit: Option<Unit>) -> Option<Conductors> {
    let mut lower = seen.to_lowercase().replace(['×', '*'], "x").replace("mm²", "mm2").replace("mcm", "kcmil");
    let mut found = Conductors::default();
    for word in ["sets of", "set of", "runs of", "sets", "runs"] {
        if let Some((count, rest)) = lower.split_once(word) {
            found.parallel = Some(count.trim().trim_matches(['(', ')']).trim().parse().ok().filter(may_be_parallel)?);
            lower = rest.trim().trim_start_matches(['(', ',', '-']).trim_end_matches(')').to_owned();
            break;
        }
    }
    let american = lower.contains('#') || lower.contains("awg") || lower.contains("kcmil");
    let commas = if american { " " } else { "." };
    let mut close = lower.replace(',', commas).replace(" and ", " ").replace(['+', '&', ';'], " ");
    for (wide, narrow) in
        [(" #", "#"), ("# ", "#"), (" x ", "x"), (" - ", "-"), (" awg", "awg"), (" kcmil", "kcmil"), (" mm2", "mm2")]
    {
        close = close.replace(wide, narrow);
    }
    for mark in ["gnd", "ground", "egc", "pe", "neutral", "g", "n"] {
        close = close.replace(&format!(" {mark} "), &format!("{mark} "));
        close = close.strip_suffix(&format!(" {mark}")).map_or(close.clone(), |front| format!("{front}{mark}"));
    }
    let parts: Vec<&str> = close.split_whitespace().collect();
    for (at, part) in parts.iter().copied().enumerate() {
        // `(2) 3#4/0`: two sets of three.
        let count = part.trim_matches(['(', ')']).parse::<u32>().ok().filter(|_| american && at == 0 && parts.len() > 1);
        if let Some(count) = count.filter(|_| found.parallel.is_none() && parts[1].contains('#')) {
            found.parallel = Some(count).filter(may_be_parallel);
            found.parallel?;
            continue;
        }
        let (size, mark) = one_size(part, unit)?;
        match mark {
            Mark::Phase => found.phase = found.phase.or(Some(size)),
            Mark::Protective => found.protective = found.protective.or(Some(size)),
            Mark::Neutral => {}
        }
    }
    (found.phase.is_some() || found.protective.is_some()).then_some(found)
}

/// Whether a number of sets is one that the column of conductors in parallel admits.
fn may_be_parallel(count: &u32) -> bool {
    matches!(Field::GivenParallel.spec().kind, Kind::Count(least, most) if (least..=most).contains(count))
}

/// What a conductor is for, by the letter behind its size.
#[derive(Clone, Copy, PartialEq)]
enum Mark {
    Phase,
    Protective,
    Neutral,
}

/// `3#10`, `(3)#4`, `1#10g`, `3-1/0`, `4g2.5`, `70mm2`: the size with its unit, without the number of conductors.
fn one_size(part: &str, unit: Option<Unit>) -> Option<(String, Mark)> {
    let bare = part.trim_start_matches('(').replacen(')', "", 1);
    let digits = bare.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(bare.len());
    let (count, rest) = bare.split_at(digits);
    // `2x70` is two cores or two conductors in parallel: it stays as it stands, and is asked about.
    if count == "2" && rest.strip_prefix('x').is_some_and(|size| !size.starts_with('#')) {
        return None;
    }
    let counted = |sign: char| rest.strip_prefix(sign).filter(|behind| behind.starts_with(|first: char| first.is_ascii_digit()));
    let (size, gauge) = if let Some(size) = rest.strip_prefix('#') {
        (size, true)
    } else if let Some(size) = counted('x').or_else(|| counted('g')).or_else(|| counted('-')).filter(|_| !count.is_empty()) {
        (size.strip_prefix('#').unwrap_or(size), size.starts_with('#'))
    } else {
        (bare.as_str(), false)
    };
    let end = size.find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | '/'))).unwrap_or(size.len());
    let (number, behind) = size.split_at(end);
    let (stated, mark) = ["awg", "kcmil", "mm2"]
        .iter()
        .find_map(|word| behind.strip_prefix(word).map(|mark| (Some(*word), mark)))
        .unwrap_or((None, behind));
    let mark = match mark {
        "" | "cu" => Mark::Phase,
        "g" | "gnd" | "ground" | "e" | "egc" | "pe" => Mark::Protective,
        "n" | "neutral" => Mark::Neutral,
        _ => return None,
    };
    let aught = number.strip_suffix("/0").is_some_and(|front| matches!(front, "1" | "2" | "3" | "4"));
    let value: Option<f64> = if aught { Some(0.0) } else { number.parse().ok().filter(|value| *value > 0.0) };
    let value = value?;
    let word = stated.or(match unit {
        _ if aught => Some("AWG"),
        Some(Unit::SquareMillimetre) => Some("mm2"),
        Some(Unit::ThousandCircularMils) => Some("kcmil"),
        Some(Unit::WireGauge) if value >= LEAST_KCMIL => Some("kcmil"),
        Some(Unit::WireGauge) => Some("AWG"),
        _ if gauge && value >= LEAST_KCMIL => Some("kcmil"),
        _ if gauge => Some("AWG"),
        _ => None,
    });
    let word = if word == Some("awg") { Some("AWG") } else { word };
    Some((word.map_or_else(|| number.to_owned(), |word| format!("{number} {word}")), mark))
}

/// Rigid steel conduit as trades write it: galvanized rigid conduit is rigid metal conduit (NFPA 70, Article 344).
const RIGID: [&str; 5] = ["rgs", "grc", "grs", "rigid", "rsc"];

/// A raceway or a method of installation; rigid steel conduit by the name that the book has for it.
pub(super) fn installation(seen: &str) -> String {
    let lower = seen.to_lowercase();
    let named = |part: &str| RIGID.contains(&part.trim().trim_end_matches(" conduit"));
    let parts: Vec<&str> = lower.split('+').map(|part| if named(part) { "rmc" } else { part }).collect();
    parts.join("+")
}

/// A trade size, with the kind of the raceway before it where the cell names one: `3/4"C` is `3/4`, `1 1/4 EMT` is `emt 1-1/4`.
pub(super) fn raceway(seen: &str) -> String {
    trade_size(seen).unwrap_or_else(|| seen.to_owned())
}

/// Whether a text is a trade size, and no kind of raceway alone.
pub(in crate::intake) fn is_trade_size(seen: &str) -> bool {
    trade_size(seen).is_some()
}

fn trade_size(seen: &str) -> Option<String> {
    let lower = seen.to_lowercase().replace(['"', '″', '”'], " ").replace("''", " ");
    let mut kind = None;
    let mut size = Vec::new();
    for word in lower.split_whitespace() {
        match word.trim_matches(['(', ')', '.', ',']) {
            "" | "in" | "inch" | "c" | "conduit" => {}
            "emt" | "rmc" | "imc" | "pvc" | "pvc-80" | "lfmc" | "fmc" if kind.is_none() => kind = Some(word.to_owned()),
            rigid if kind.is_none() && RIGID.contains(&rigid) => kind = Some("rmc".to_owned()),
            figures if figures.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'/' | b'-')) => {
                size.push(figures.trim_end_matches('c').to_owned());
            }
            closed => size.push(closed.strip_suffix('c').filter(|front| is_figures(front))?.to_owned()),
        }
    }
    let whole = size.join("-");
    let plain = is_figures(&whole) && size.len() <= 2;
    plain.then(|| kind.map_or(whole.clone(), |kind| format!("{kind} {whole}")))
}

/// `3/4`, `1-1/4`, `2`: whole inches, a fraction, or both.
fn is_figures(text: &str) -> bool {
    let digit = |text: &str| text.len() == 1 && text.bytes().all(|byte| byte.is_ascii_digit() && byte != b'0');
    let fraction = |text: &str| text.split_once('/').is_some_and(|(over, under)| digit(over) && digit(under));
    digit(text) || fraction(text) || text.split_once('-').is_some_and(|(whole, rest)| digit(whole) && fraction(rest))
}

/// A speed with a mark between thousands, `1,750`: no motor turns once a minute.
pub(super) fn speed(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Option<Outcome> {
    let (thousands, rest) = seen.split_once([',', '.']).filter(|_| matches!(cell.content, Content::Text(_)))?;
    let digits = |text: &str, count: usize| text.len() == count && text.bytes().all(|byte| byte.is_ascii_digit());
    let speed: f64 = format!("{thousands}{rest}").parse().ok().filter(|_| digits(thousands, 1) && digits(rest, 3))?;
    let Kind::Number(low, high) = spec.kind else { return None };
    Some(within(spec, speed, low, high, seen).map(|value| Given::one(spec.field, Value::Number(value))))
}

/// A short-circuit current rating in kA: `65 kA`, `65K`, `5000` (no equipment has as many kA).
pub(super) fn short_circuit_rating(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Option<Outcome> {
    let kiloamperes = match cell.content {
        Content::Number(number) => in_kiloamperes(number),
        _ => kiloamperes(seen)?,
    };
    let Kind::Number(low, high) = spec.kind else { return None };
    Some(within(spec, kiloamperes, low, high, seen).map(|value| Given::one(spec.field, Value::Number(value))))
}

/// A figure without a unit, which is in amperes from a thousand on.
fn in_kiloamperes(figure: f64) -> f64 {
    const AMPERES_FROM: f64 = 1_000.0;
    if figure >= AMPERES_FROM { figure / 1_000.0 } else { figure }
}

fn kiloamperes(seen: &str) -> Option<f64> {
    let seen = seen.trim();
    let end = seen.find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | ','))).unwrap_or(seen.len());
    let (number, unit) = seen.split_at(end);
    // `14,000` is 14 kA, whether the comma parts thousands of amperes or decimals of kiloamperes.
    let read = numbers::number(number).map(|(number, _)| number);
    let number: f64 = read.or_else(|_| number.replace(',', "").parse()).ok()?;
    match fold::key(unit).as_str() {
        "a" | "aic" | "amps" => Some(number / 1_000.0),
        "" | "k" | "ka" | "kaic" | "kasym" | "karms" | "karmssym" => Some(in_kiloamperes(number)),
        _ => None,
    }
}

/// Poles at the high and at the low speed: the fewer turn faster.
pub(in crate::intake) fn poles_of_two_speeds(seen: &str) -> Option<(u32, u32)> {
    let (one, other) = seen.split_once(['/', '-'])?;
    let poles = |text: &str| text.trim().trim_end_matches(['p', 'P']).trim().parse::<u32>().ok();
    let (one, other) = (poles(one)?, poles(other)?);
    let even = |poles: u32| poles.is_multiple_of(2) && (2..=48).contains(&poles);
    (even(one) && even(other) && one != other).then(|| (one.min(other), one.max(other)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("50A/3P", Some(50.0))]
    #[case("3P-50A", Some(50.0))]
    #[case("100 A", Some(100.0))]
    #[case("175", Some(175.0))]
    #[case("50/3", Some(50.0))]
    #[case("3/20", Some(20.0))]
    #[case("50AT/100AF", Some(50.0))]
    #[case("100/150", None)]
    #[case("MCCB", None)]
    // A comma between digits is a mark of decimals or of thousands, as everywhere; where it may be either, somebody is asked.
    #[case("12,5 A", Some(12.5))]
    #[case("0,63 A", Some(0.63))]
    #[case("2,5", Some(2.5))]
    #[case("1,200A", None)]
    #[case("1,600AF/1,200AT", None)]
    #[case("50A, 3P", Some(50.0))]
    fn ratings_of_breakers(#[case] seen: &str, #[case] expected: Option<f64>) {
        assert_eq!(of_one(seen).or_else(|| amperes(seen)), expected, "{seen}");
    }

    /// From 1000 on a figure without a unit is in amperes.
    #[rstest::rstest]
    #[case("5,5 kA", Some(5.5))]
    #[case("5.5 kA", Some(5.5))]
    #[case("10,5", Some(10.5))]
    #[case("65 kAIC", Some(65.0))]
    #[case("14,000 A", Some(14.0))]
    #[case("22000", Some(22.0))]
    #[case("5 kV", None)]
    fn short_circuit_ratings(#[case] seen: &str, #[case] expected: Option<f64>) {
        assert_eq!(kiloamperes(seen), expected, "{seen}");
    }

    #[rstest::rstest]
    #[case("3#10 1#10G", None, "10 AWG", Some("10 AWG"), None)]
    #[case("3#10, 1#12G", None, "10 AWG", Some("12 AWG"), None)]
    #[case("(3) #4 + (1) #8 GND", None, "4 AWG", Some("8 AWG"), None)]
    #[case("3-1/0, 1#6G", None, "1/0 AWG", Some("6 AWG"), None)]
    #[case("2 sets of 3#4/0 + 1#2G", None, "4/0 AWG", Some("2 AWG"), Some(2))]
    #[case("(2) 3#4/0", None, "4/0 AWG", None, Some(2))]
    #[case("3-500 kcmil", None, "500 kcmil", None, None)]
    #[case("4G2,5", Some(Unit::SquareMillimetre), "2.5 mm2", None, None)]
    #[case("3x70+35", Some(Unit::SquareMillimetre), "70 mm2", None, None)]
    #[case("70", Some(Unit::SquareMillimetre), "70 mm2", None, None)]
    #[case("70 mm²", None, "70 mm2", None, None)]
    #[case("10", Some(Unit::WireGauge), "10 AWG", None, None)]
    #[case("10", None, "10", None, None)]
    fn conductors_of_others(
        #[case] seen: &str,
        #[case] unit: Option<Unit>,
        #[case] phase: &str,
        #[case] protective: Option<&str>,
        #[case] parallel: Option<u32>,
    ) {
        let expected = Conductors { phase: Some(phase.to_owned()), protective: protective.map(str::to_owned), parallel };
        assert_eq!(conductors(seen, unit), Some(expected), "{seen}");
    }

    #[rstest::rstest]
    #[case("NYY-J 4x70")]
    #[case("see drawing")]
    #[case("3/4")]
    #[case("(0) 3#4/0")]
    #[case("(4000000000) 3#10")]
    #[case("0 sets of 3#10")]
    fn what_is_no_conductor_is_left_alone(#[case] seen: &str) {
        assert_eq!(conductors(seen, None), None, "{seen}");
    }

    #[rstest::rstest]
    #[case("3/4", Some("3/4"))]
    #[case("1-1/4", Some("1-1/4"))]
    #[case("1 1/2", Some("1-1/2"))]
    #[case("3/4\"C", Some("3/4"))]
    #[case("3/4\" EMT", Some("emt 3/4"))]
    #[case("EMT 3/4", Some("emt 3/4"))]
    #[case("2", Some("2"))]
    #[case("EMT", None)]
    #[case("B2", None)]
    fn trade_sizes(#[case] seen: &str, #[case] expected: Option<&str>) {
        assert_eq!(trade_size(seen).as_deref(), expected, "{seen}");
    }

    #[rstest::rstest]
    #[case("4/8", Some((4, 8)))]
    #[case("8/4", Some((4, 8)))]
    #[case("4/6p", Some((4, 6)))]
    #[case("4", None)]
    #[case("4/4", None)]
    #[case("3/4", None)]
    fn pairs_of_poles(#[case] seen: &str, #[case] expected: Option<(u32, u32)>) {
        assert_eq!(poles_of_two_speeds(seen), expected, "{seen}");
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,8}[0-9#xgG/(), \"+-]{0,12}\\PC{0,8}") {
            let _ = (amperes(&text), conductors(&text, None), trade_size(&text), are_conductors(&text));
        }
    }
}
