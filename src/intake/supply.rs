//! Voltage, phases and frequency out of one cell: `460/3/60`, `460V-3PH-60HZ`, `3~400V 50Hz`, `480Y/277`.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::{fold, tables};

/// The reading of a supply cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Supply {
    /// Line voltage, in volts; none where several stand and none is chosen, or none stands.
    pub(super) voltage: Option<f64>,
    /// Several voltages of which none is chosen.
    pub(super) several: bool,
    /// Voltages of a winding in delta and in star, where the pair names no usual system: the supply's is neither chosen nor open.
    pub(super) winding: Option<(f64, f64)>,
    /// Number of phases.
    pub(super) phases: Option<f64>,
    /// Frequency, in hertz.
    pub(super) frequency: Option<f64>,
    /// The voltage was in kilovolts.
    pub(super) kilovolts: bool,
    /// A neutral stands with the phases.
    pub(super) neutral: bool,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Mark {
    None,
    Volts,
    Kilovolts,
    Phases,
    Hertz,
    Wires,
}

/// Reads a supply; `kilovolts` where the heading says so. `None` where it is not understood.
pub(super) fn supply(text: &str, kilovolts: bool) -> Option<Supply> {
    let text = fold::tidy(text).to_lowercase();
    let text = without_tolerances(&text);
    let numbers = numbers(&text)?;
    let mut found = Supply { neutral: names_neutral(&text), ..Supply::default() };
    let mut voltages: Vec<f64> = Vec::new();
    let lone = numbers.len() == 1;
    if is_at_400_hertz(&numbers) {
        return None;
    }
    for (number, mark) in numbers {
        let whole = number.fract() == 0.0;
        match mark {
            // Four wires of three phases are those and the neutral; a fifth is the earth.
            Mark::Wires => found.neutral |= number >= 4.0,
            Mark::Volts => voltages.push(number),
            Mark::Kilovolts => {
                found.kilovolts = true;
                voltages.push(number * 1_000.0);
            }
            Mark::Phases => put(&mut found.phases, number)?,
            Mark::Hertz => put(&mut found.frequency, number)?,
            Mark::None if kilovolts && number < 50.0 && !(whole && number <= 3.0 && !lone) => {
                found.kilovolts = true;
                voltages.push(number * 1_000.0);
            }
            Mark::None if !lone && whole && number < 10.0 => put(&mut found.phases, number)?,
            Mark::None if !lone && whole && number < 70.0 => put(&mut found.frequency, number)?,
            Mark::None => voltages.push(number),
        }
    }
    if found.phases.is_some_and(|phases| phases != 1.0 && phases != 3.0)
        || found.frequency.is_some_and(|frequency| frequency != 50.0 && frequency != 60.0)
    {
        return None;
    }
    choose(&mut found, &voltages)?;
    Some(found)
}

/// `115/1/400`, `400/3/400`: behind voltage and phases stands the frequency, here that of aircraft and ships, which no rule book covers.
fn is_at_400_hertz(numbers: &[(f64, Mark)]) -> bool {
    matches!(numbers, [(_, Mark::None | Mark::Volts), (phases, Mark::None | Mark::Phases), (400.0, Mark::None)] if [1.0, 3.0].contains(phases))
}

/// Phases with neutral and earth and without a voltage: `3P+N`, `3Ph+N`, `3~/N/PE`, `3 ph 4 w`. `None` where it is not understood.
pub(super) fn conductors(text: &str) -> Option<Supply> {
    const PHASES: [&str; 8] = ["phases", "phase", "phs", "ph", "p", "l", "o", ""];
    let key = fold::key(text);
    let (phases, rest) =
        [("3", 3.0), ("1", 1.0)].into_iter().find_map(|(digit, count)| Some((count, key.strip_prefix(digit)?)))?;
    let neutral = PHASES.iter().filter_map(|word| rest.strip_prefix(word)).find_map(|left| match (left, phases == 3.0) {
        ("" | "pe" | "e", _) | ("3w" | "3wire" | "3wires", true) => Some(false),
        ("n" | "npe" | "ne", _) | ("4w" | "4wire" | "4wires" | "5w" | "5wire" | "5wires", true) => Some(true),
        _ => None,
    })?;
    Some(Supply { phases: Some(phases), neutral, ..Supply::default() })
}

/// `3/N/PE ~ 400 V`, `3N~ 400 V`: a letter N by itself, as IEC 61293 marks a supply with a neutral.
fn names_neutral(text: &str) -> bool {
    text.split(|letter: char| !letter.is_alphabetic()).any(|word| matches!(word, "n" | "npe"))
}

/// Largest tolerance of a voltage, in per cent: IEC 60038 and IEC 60034-1 know 10 %, and more on one side is written for batteries and
/// generators. A larger figure is no tolerance: common practice, no source.
const LARGEST_TOLERANCE: f64 = 25.0;

/// The text without its tolerances (`±10 %`, `+/-10 V`, `+10/-15 %`, `+10 % -15 %`, `-10 %`): they say nothing about the system, but what
/// follows them may.
fn without_tolerances(text: &str) -> String {
    let text = text.replace("+/-", "±").replace(['–', '−'], "-");
    let mut left = String::with_capacity(text.len());
    let mut rest = text.as_str();
    while let Some(at) = rest.find(['±', '+', '-']) {
        let (before, sign) = rest.split_at(at);
        left.push_str(before);
        match tolerance(sign) {
            Some(behind) => {
                left.push(' ');
                rest = behind;
            }
            None => {
                let (mark, behind) = sign.split_at(sign.chars().next().map_or(0, char::len_utf8));
                left.push_str(mark);
                rest = behind;
            }
        }
    }
    left.push_str(rest);
    left
}

/// The text behind a tolerance that begins with its sign; `None` where there is no tolerance.
fn tolerance(text: &str) -> Option<&str> {
    if let Some(behind) = text.strip_prefix('±') {
        let figure = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',');
        let behind = behind.trim_start().trim_start_matches(figure).trim_start();
        return Some(behind.strip_prefix('%').unwrap_or(behind));
    }
    let (sign, letter, behind) = signed(text)?;
    let next = behind.trim_start();
    let other = next.strip_prefix(['/', ',', ';']).unwrap_or(next).trim_start();
    match signed(other) {
        Some((other, Some(_), behind)) if other != sign => Some(behind),
        _ => letter.filter(|unit| *unit == '%').map(|_| behind),
    }
}

/// Sign and unit of a figure of a tolerance, and what stands behind it.
fn signed(text: &str) -> Option<(char, Option<char>, &str)> {
    let sign = text.chars().next().filter(|sign| matches!(sign, '+' | '-'))?;
    let figure = text[sign.len_utf8()..].trim_start();
    let end = figure.find(|letter: char| !(letter.is_ascii_digit() || letter == '.')).unwrap_or(figure.len());
    let (digits, behind) = figure.split_at(end);
    digits.parse::<f64>().ok().filter(|number| *number <= LARGEST_TOLERANCE)?;
    let unit = behind.trim_start().chars().next().filter(|unit| matches!(unit, '%' | 'v'));
    let after = unit.map_or(behind, |_| &behind.trim_start()[1..]);
    // `+10 volt` and `+10 vac` are no tolerances.
    if unit == Some('v') && after.starts_with(char::is_alphabetic) {
        return None;
    }
    Some((sign, unit, after))
}

fn put(place: &mut Option<f64>, number: f64) -> Option<()> {
    place.replace(number).is_none().then_some(())
}

/// One voltage, the larger of a system pair, or none of several.
fn choose(found: &mut Supply, voltages: &[f64]) -> Option<()> {
    match voltages {
        [] if found.phases.is_none() && found.frequency.is_none() => return None,
        [] => {}
        [one] => found.voltage = Some(*one),
        [one, two] if one == two => found.voltage = Some(*one),
        [one, two] => {
            let (low, high) = (one.min(*two), one.max(*two));
            let system = (high / low / 3f64.sqrt() - 1.0).abs() < 0.03;
            // A pair such as 400/690 is the nameplate of a winding for delta and star: which of the two it gets, the board says.
            if system && low < 350.0 && found.phases != Some(1.0) {
                found.voltage = Some(high);
            } else if system && found.phases != Some(1.0) {
                found.winding = Some((low, high));
            } else {
                found.several = true;
            }
        }
        _ => found.several = true,
    }
    Some(())
}

/// Numbers with the unit behind them; `None` where anything else stands.
fn numbers(text: &str) -> Option<Vec<(f64, Mark)>> {
    let mut numbers: Vec<(f64, Mark)> = Vec::new();
    let mut rest = text.trim();
    while let Some(first) = rest.chars().next() {
        if first.is_ascii_digit() {
            let end = rest.find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | ','))).unwrap_or(rest.len());
            let (digits, after) = rest.split_at(end);
            let digits = digits.trim_end_matches([',', '.']);
            let value = super::numbers::number(digits).ok()?.0;
            numbers.push((value, Mark::None));
            rest = after;
            continue;
        }
        if first.is_alphabetic() || matches!(first, '~' | 'ø') {
            let end = rest.find(|letter: char| !(letter.is_alphabetic() || letter == '~')).unwrap_or(rest.len());
            let (word, after) = rest.split_at(end);
            // `Δ/Y 400/690 V`: how the winding is connected, before its voltages.
            if numbers.is_empty() && matches!(word, "δ" | "d" | "y") {
                rest = after;
                continue;
            }
            match phases_in_words(word) {
                Some(phases) => numbers.push((phases, Mark::Phases)),
                None => mark_last(word, &mut numbers)?,
            }
            rest = after;
            continue;
        }
        // `3 × 400 V`
        if first == '×' {
            mark_last("x", &mut numbers)?;
        } else if !matches!(first, '/' | '-' | '–' | ' ' | ',' | '.' | ';' | '(' | ')' | '|' | '+') {
            return None;
        }
        rest = &rest[first.len_utf8()..];
    }
    (!numbers.is_empty()).then_some(numbers)
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PhaseRow {
    stands: Stands,
    phases: f64,
    words: String,
}

/// Where a word may stand for a number of phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Stands {
    Anywhere,
    Cell,
}

const PHASE_WORDS: &str = include_str!("tables/phase-words.csv");

static PHASES: LazyLock<HashMap<&'static str, (Stands, f64)>> = LazyLock::new(|| {
    static ROWS: LazyLock<Vec<PhaseRow>> = LazyLock::new(|| tables::rows(PHASE_WORDS));
    ROWS.iter().flat_map(|row| row.words.split(' ').map(|word| (word, (row.stands, row.phases)))).collect()
});

/// The number of phases that a whole cell says, by its key.
pub(super) fn phases_of_cell(key: &str) -> Option<f64> {
    PHASES.get(key).map(|(_, phases)| *phases)
}

/// A number of phases that is written as a word.
fn phases_in_words(word: &str) -> Option<f64> {
    let (stands, phases) = PHASES.get(fold::key(word).as_str())?;
    (*stands == Stands::Anywhere).then_some(*phases)
}

/// Takes a word as the unit of the number before it.
fn mark_last(word: &str, numbers: &mut [(f64, Mark)]) -> Option<()> {
    let mark = match word {
        "v" | "volt" | "volts" | "vac" | "y" | "yn" | "d" | "δ" | "vd" | "vy" | "vδ" => Mark::Volts,
        "kv" => Mark::Kilovolts,
        "ph" | "phase" | "phases" | "p" | "ø" | "~" | "phs" | "phasen" | "fasi" | "fases" | "fase" | "φ" | "ac~" | "x" | "n~"
        | "npe~" | "phasig" => Mark::Phases,
        "hz" | "cycles" | "hertz" => Mark::Hertz,
        "w" | "wire" | "wires" => Mark::Wires,
        // Neutral, earth and the kind of current stand without a number.
        "ac" | "n" | "pe" | "npe" | "e" | "g" | "t" | "gnd" | "u" | "un" | "fils" => return Some(()),
        _ => return None,
    };
    let last = numbers.last_mut()?;
    if last.1 == Mark::None {
        last.1 = mark;
        return Some(());
    }
    // `277 V Y`: the second mark must not contradict.
    (last.1 == mark).then_some(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_of_phases_is_read() {
        for row in tables::whole::<PhaseRow>(PHASE_WORDS) {
            for word in row.words.split(' ') {
                assert_eq!(phases_of_cell(&fold::key(word)), Some(row.phases), "{word}");
                assert_eq!(phases_in_words(word).is_some(), row.stands == Stands::Anywhere, "{word}");
            }
        }
    }

    fn parts(text: &str) -> Option<(Option<f64>, Option<f64>, Option<f64>)> {
        supply(text, false).map(|found| (found.voltage, found.phases, found.frequency))
    }

    #[rstest::rstest]
    #[case::strokes("460/3/60", Some(460.0), Some(3.0), Some(60.0))]
    #[case::hyphens("460-3-60", Some(460.0), Some(3.0), Some(60.0))]
    #[case::units("460V-3PH-60HZ", Some(460.0), Some(3.0), Some(60.0))]
    #[case::diameter("460V/3Ø/60Hz", Some(460.0), Some(3.0), Some(60.0))]
    #[case::other_order("3/460/60", Some(460.0), Some(3.0), Some(60.0))]
    #[case::tilde("3~400V 50Hz", Some(400.0), Some(3.0), Some(50.0))]
    #[case::no_frequency("3PH 400V", Some(400.0), Some(3.0), None)]
    #[case::one_phase("1ø 115V", Some(115.0), Some(1.0), None)]
    #[case::blanks("460 / 3 / 60", Some(460.0), Some(3.0), Some(60.0))]
    #[case::tolerance("400 V ±10 %", Some(400.0), None, None)]
    #[case::tolerance_before_the_phases("230V ±10%, 1ph, 50Hz", Some(230.0), Some(1.0), Some(50.0))]
    #[case::two_tolerances("415V ±6%, 3Ph, 60Hz ±2%", Some(415.0), Some(3.0), Some(60.0))]
    #[case::tolerance_in_volts("230 V +/-10 V 1 ph", Some(230.0), Some(1.0), None)]
    #[case::two_sided_tolerance("400 V +10/-15 %", Some(400.0), None, None)]
    #[case::two_sided_of_a_pair("230/400 V +6/-10%", Some(400.0), None, None)]
    #[case::two_sided_each_with_its_unit("400 V +10%, -15%, 3ph, 50 Hz", Some(400.0), Some(3.0), Some(50.0))]
    #[case::two_sided_apart("690 V + 5 % - 10 %", Some(690.0), None, None)]
    #[case::two_sided_in_brackets("3~ 400 V (+10/-15%) 50 Hz", Some(400.0), Some(3.0), Some(50.0))]
    #[case::the_lower_first("400 V -10 % / +6 %", Some(400.0), None, None)]
    #[case::two_sided_in_volts("400 V +10/-15 V", Some(400.0), None, None)]
    #[case::one_sided("400 V -10 %, 50 Hz", Some(400.0), None, Some(50.0))]
    #[case::kind_of_current("AC 400", Some(400.0), None, None)]
    #[case::pair("230/400", Some(400.0), None, None)]
    #[case::wye("480Y/277 V, 3 PH, 4 W", Some(480.0), Some(3.0), None)]
    #[case::wye_208("208Y/120", Some(208.0), None, None)]
    #[case::times("3 x 400 V", Some(400.0), Some(3.0), None)]
    #[case::times_close("3x400V/50Hz", Some(400.0), Some(3.0), Some(50.0))]
    #[case::cross("3 × 690 V", Some(690.0), Some(3.0), None)]
    #[case::in_words("460 V three phase", Some(460.0), Some(3.0), None)]
    #[case::one_in_words("single phase, 230 V", Some(230.0), Some(1.0), None)]
    #[case::iec_designation("3/N/PE ~ 400/230 V 50 Hz", Some(400.0), Some(3.0), Some(50.0))]
    #[case::iec_one_phase("1/N/PE AC 230 V", Some(230.0), Some(1.0), None)]
    #[case::neutral_close("3N~400V", Some(400.0), Some(3.0), None)]
    #[case::three_ac("3 AC 400 V", Some(400.0), Some(3.0), None)]
    #[case::french("400 V triphasé", Some(400.0), Some(3.0), None)]
    #[case::volts_alone("400", Some(400.0), None, None)]
    fn a_supply_is_read_however_it_is_written(
        #[case] text: &str,
        #[case] voltage: Option<f64>,
        #[case] phases: Option<f64>,
        #[case] frequency: Option<f64>,
    ) {
        assert_eq!(parts(text), Some((voltage, phases, frequency)));
    }

    #[rstest::rstest]
    #[case::three("208-230/460")]
    #[case::double("230/460")]
    #[case::with_phase("208-230/1/60")]
    fn of_several_voltages_none_is_chosen(#[case] text: &str) {
        assert!(supply(text, false).unwrap().several);
    }

    /// IEC 60034-8, nameplates: a motor for 400 V in delta bears 400/690 V; one for 480 V 480/830 V.
    #[rstest::rstest]
    #[case("400/690", Some((400.0, 690.0)))]
    #[case("690/400 V", Some((400.0, 690.0)))]
    #[case("400VD/690VY", Some((400.0, 690.0)))]
    #[case("Δ/Y 400/690 V", Some((400.0, 690.0)))]
    #[case("400 Δ / 690 Y, 50 Hz", Some((400.0, 690.0)))]
    #[case("480/830", Some((480.0, 830.0)))]
    #[case("230/400", None)]
    #[case("400/690/1", None)]
    fn a_pair_of_a_winding_is_no_voltage_of_the_supply(#[case] text: &str, #[case] expected: Option<(f64, f64)>) {
        let found = supply(text, false).unwrap();
        assert_eq!(found.winding, expected);
        assert!(found.winding.is_none() || found.voltage.is_none() && !found.several);
    }

    #[rstest::rstest]
    #[case::direct_current("24 VDC")]
    #[case::direct_current_apart("110 V DC")]
    #[case::letters("4OO/3/50")]
    #[case::two_phases("400/2/50")]
    #[case::odd_frequency("400/3/55")]
    #[case::frequency_of_aircraft("400/3/400")]
    #[case::frequency_of_aircraft_with_units("115V/1ph/400")]
    #[case::words("lots")]
    #[case::seven_phases("400/7/50")]
    #[case::two_sided_without_a_unit("400+10/-15")]
    #[case::no_tolerance("400 V +60 %")]
    #[case::phases_behind_a_tolerance("400 V ±10 %, 2 ph")]
    fn what_is_no_supply_of_alternating_current_is_refused(#[case] text: &str) {
        assert_eq!(supply(text, false), None);
    }

    /// IEC 61293, marking of a supply: `3/N/PE ~ 400/230 V 50 Hz`. The other spellings are common practice, no source.
    #[rstest::rstest]
    #[case::marking("3/N/PE ~ 50 Hz 400 V", true)]
    #[case::close("3N~400V", true)]
    #[case::one_phase("1/N/PE ~ 230 V", true)]
    #[case::poles("3P+N 400V", true)]
    #[case::four_wires("480Y/277 V, 3 PH, 4 W", true)]
    #[case::without("3/PE ~ 50 Hz 690 V", false)]
    #[case::three_wires("480 V 3 PH 3 W", false)]
    #[case::nominal("3~ Un 400 V", false)]
    fn a_neutral_beside_the_phases_is_seen(#[case] text: &str, #[case] neutral: bool) {
        assert_eq!(supply(text, false).map(|supply| supply.neutral), Some(neutral));
    }

    #[rstest::rstest]
    #[case("3P+N", Some((3.0, true)))]
    #[case("3P+N+PE", Some((3.0, true)))]
    #[case("3~/N/PE", Some((3.0, true)))]
    #[case("3Ph+N", Some((3.0, true)))]
    #[case("3L+N", Some((3.0, true)))]
    #[case("3/N/PE ~", Some((3.0, true)))]
    #[case("3ph 4w", Some((3.0, true)))]
    #[case("3P+PE", Some((3.0, false)))]
    #[case("3 + PE", Some((3.0, false)))]
    #[case("3ph 3w", Some((3.0, false)))]
    #[case("1P+N", Some((1.0, true)))]
    #[case::two_phases("2P", None)]
    #[case::neutral_and_earth_in_one("3PEN~", None)]
    #[case::three_wires_of_one_phase("1ph 3w", None)]
    #[case::nonsense("3P+X", None)]
    fn phases_with_neutral_and_earth(#[case] text: &str, #[case] expected: Option<(f64, bool)>) {
        assert_eq!(conductors(text).and_then(|conductors| Some((conductors.phases?, conductors.neutral))), expected);
    }

    #[test]
    fn kilovolts_become_volts() {
        assert_eq!(supply("0.4", true).unwrap().voltage, Some(400.0));
        assert_eq!(supply("0,69 kV", false).unwrap().voltage, Some(690.0));
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "[0-9vVpPhHzZ~ø/ .,kKyYnN%±+−-]{0,20}") {
            let _ = (supply(&text, false), conductors(&text));
        }
    }
}
