//! Units as headings, unit rows and cells write them.

use super::fold;

/// A unit that a column of a schedule may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    Kilowatt,
    Watt,
    Horsepower,
    MetricHorsepower,
    /// Two values in this order.
    KilowattAndHorsepower,
    /// Two values in this order.
    HorsepowerAndKilowatt,
    /// Two values in this order.
    KilowattAndMetricHorsepower,
    /// Two values in this order.
    MetricHorsepowerAndKilowatt,
    Kilovoltampere,
    Kilovar,
    Volt,
    Kilovolt,
    Ampere,
    Percent,
    Share,
    Hertz,
    Metre,
    Kilometre,
    Foot,
    Celsius,
    Fahrenheit,
    PerHour,
    Second,
    SquareMillimetre,
    /// American wire gauge.
    WireGauge,
    ThousandCircularMils,
    Kiloampere,
    YesNo,
    Pieces,
    /// A unit of something that is not read.
    Other,
}

/// Metric horsepower in kilowatts: 75 kp m/s (ISO 80000-4, informative annex; 0.735 498 75, as the trade rounds it).
pub(super) const KILOWATTS_PER_METRIC_HORSEPOWER: f64 = 0.7355;

/// The international foot, by definition.
pub(super) const METRES_PER_FOOT: f64 = 0.3048;

impl Unit {
    /// As a person writes it.
    pub(super) fn symbol(self) -> &'static str {
        match self {
            Self::Kilowatt => "kW",
            Self::Watt => "W",
            Self::Horsepower => "hp",
            Self::MetricHorsepower => "metric horsepower",
            Self::KilowattAndHorsepower => "kW/hp",
            Self::HorsepowerAndKilowatt => "hp/kW",
            Self::KilowattAndMetricHorsepower => "kW/metric horsepower",
            Self::MetricHorsepowerAndKilowatt => "metric horsepower/kW",
            Self::Kilovoltampere => "kVA",
            Self::Kilovar => "kvar",
            Self::Volt => "V",
            Self::Kilovolt => "kV",
            Self::Ampere => "A",
            Self::Percent => "%",
            Self::Share => "as a share",
            Self::Hertz => "Hz",
            Self::Metre => "m",
            Self::Kilometre => "km",
            Self::Foot => "ft",
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
            Self::PerHour => "1/h",
            Self::Second => "s",
            Self::SquareMillimetre => "mm²",
            Self::WireGauge => "AWG",
            Self::ThousandCircularMils => "kcmil",
            Self::Kiloampere => "kA",
            Self::YesNo => "yes or no",
            Self::Pieces | Self::Other => "",
        }
    }

    /// Whether it is the unit of a measured quantity that is read.
    pub(super) fn is_measure(self) -> bool {
        !matches!(self, Self::YesNo | Self::Pieces | Self::Other)
    }

    /// Whether it is a unit of power.
    pub(super) fn is_power(self) -> bool {
        matches!(
            self,
            Self::Kilowatt | Self::Watt | Self::Horsepower | Self::MetricHorsepower | Self::Kilovoltampere | Self::Kilovar
        ) || self.pair().is_some()
    }

    /// The units of two values, in the order of the heading that names them.
    pub(super) fn pair(self) -> Option<[Self; 2]> {
        match self {
            Self::KilowattAndHorsepower => Some([Self::Kilowatt, Self::Horsepower]),
            Self::HorsepowerAndKilowatt => Some([Self::Horsepower, Self::Kilowatt]),
            Self::KilowattAndMetricHorsepower => Some([Self::Kilowatt, Self::MetricHorsepower]),
            Self::MetricHorsepowerAndKilowatt => Some([Self::MetricHorsepower, Self::Kilowatt]),
            _ => None,
        }
    }
}

/// The unit that a short text names.
pub(super) fn unit_of(text: &str) -> Option<Unit> {
    let text = text.trim().trim_start_matches(['[', '(']).trim_end_matches([']', ')', '.']).trim();
    if text.is_empty() || text.len() > 24 {
        return None;
    }
    match text {
        "%" | "percent" | "pct" | "p. cent" => return Some(Unit::Percent),
        "°C" | "ºC" | "° C" | "℃" | "deg C" | "degC" => return Some(Unit::Celsius),
        "°F" | "ºF" | "° F" | "℉" | "deg F" | "degF" | "F" => return Some(Unit::Fahrenheit),
        "'" | "′" => return Some(Unit::Foot),
        "-" | "–" | "—" => return Some(Unit::Other),
        "/h" | "1/h" | "h-1" | "h⁻¹" | "1/hr" => return Some(Unit::PerHour),
        // A large S is a contact that makes, in German lists.
        "s" => return Some(Unit::Second),
        // Millimetres and milliamperes differ from metres and megaamperes by case alone.
        "MW" | "mA" | "MVA" => return Some(Unit::Other),
        _ => {}
    }
    if let Some((single, pair)) = two_powers(text)
        && unit_of(&single).is_some()
    {
        return Some(pair);
    }
    Some(match fold::key(text).as_str() {
        "kw" | "kilowatt" | "kilowatts" => Unit::Kilowatt,
        "w" | "watt" | "watts" => Unit::Watt,
        "hp" | "horsepower" => Unit::Horsepower,
        "cv" | "ps" | "ch" => Unit::MetricHorsepower,
        "kva" => Unit::Kilovoltampere,
        "kvar" => Unit::Kilovar,
        "v" | "volt" | "volts" | "vac" => Unit::Volt,
        "kv" => Unit::Kilovolt,
        "a" | "amp" | "amps" | "ampere" | "amperes" => Unit::Ampere,
        "pu" => Unit::Share,
        "hz" => Unit::Hertz,
        "m" | "mtr" | "mtrs" | "metre" | "metres" | "meter" | "meters" | "metros" | "metri" | "metres1" => Unit::Metre,
        "km" => Unit::Kilometre,
        "ft" | "feet" | "foot" | "lf" => Unit::Foot,
        "c" => Unit::Celsius,
        "sec" | "sek" | "seconds" => Unit::Second,
        "perh" | "perhour" | "startsh" | "h1" => Unit::PerHour,
        "yn" | "yesno" | "jn" | "janein" | "on" | "ouinon" | "sn" | "sino" | "simnao" => Unit::YesNo,
        "no" | "nos" | "pcs" | "pc" | "stk" | "stuck" | "off" | "ea" | "each" | "uds" | "ud" | "un" | "und" | "pz" => {
            Unit::Pieces
        }
        "mm2" | "sqmm" => Unit::SquareMillimetre,
        "awg" => Unit::WireGauge,
        "kcmil" | "mcm" => Unit::ThousandCircularMils,
        "ka" | "kaic" => Unit::Kiloampere,
        "mm" | "kg" | "rpm" | "min1" | "1min" | "ls" | "m3h" | "cfm" | "gpm" | "kwh" | "bar" | "kpa" | "pa" | "kn" | "in"
        | "inch" | "inches" | "yd" | "yard" | "yards" | "ph" | "k" | "h" | "s" | "min" | "tons" | "inwg" => Unit::Other,
        _ => return None,
    })
}

/// Words that may stand between two units of one power.
const BETWEEN: [&str; 9] = ["or", "and", "oder", "und", "ou", "et", "o", "e", "bzw"];

/// The two units of power that a text names side by side, such as `kW (HP)`, `kW / PS` or `HP or kW`, and the text with the first alone.
pub(super) fn two_powers(text: &str) -> Option<(String, Unit)> {
    let words = word_spans(text);
    let power = |(start, end): &(usize, usize)| match fold::key(text.get(*start..*end).unwrap_or_default()).as_str() {
        "kw" => Some(Unit::Kilowatt),
        "hp" => Some(Unit::Horsepower),
        "ps" | "cv" | "ch" => Some(Unit::MetricHorsepower),
        _ => None,
    };
    for (at, first) in words.iter().enumerate() {
        let Some(one) = power(first) else { continue };
        let is_between =
            |span: &&(usize, usize)| BETWEEN.contains(&fold::key(text.get(span.0..span.1).unwrap_or_default()).as_str());
        let Some(second) = words.get(at + 1..)?.iter().find(|span| !is_between(span)) else { continue };
        let pair = match (one, power(second)) {
            (Unit::Kilowatt, Some(Unit::Horsepower)) => Unit::KilowattAndHorsepower,
            (Unit::Horsepower, Some(Unit::Kilowatt)) => Unit::HorsepowerAndKilowatt,
            (Unit::Kilowatt, Some(Unit::MetricHorsepower)) => Unit::KilowattAndMetricHorsepower,
            (Unit::MetricHorsepower, Some(Unit::Kilowatt)) => Unit::MetricHorsepowerAndKilowatt,
            _ => continue,
        };
        return Some((without_lone_brackets(text.get(..first.1)?, text.get(second.1..)?), pair));
    }
    None
}

/// Where the words of a text begin and end, in bytes.
fn word_spans(text: &str) -> Vec<(usize, usize)> {
    let mut spans: Vec<(usize, usize)> = Vec::new();
    for (at, letter) in text.char_indices().filter(|(_, letter)| letter.is_alphanumeric()) {
        match spans.last_mut().filter(|(_, end)| *end == at) {
            Some((_, end)) => *end = at + letter.len_utf8(),
            None => spans.push((at, at + letter.len_utf8())),
        }
    }
    spans
}

/// Two pieces of a text as one, without the brackets that the piece between them opened or closed.
fn without_lone_brackets(front: &str, back: &str) -> String {
    let text = format!("{front}{back}");
    let opened = text.matches(['(', '[']).count();
    let closed = text.matches([')', ']']).count();
    if opened == closed {
        return text;
    }
    let lone = if closed > opened { back.find([')', ']']).map(|at| at + front.len()) } else { front.rfind(['(', '[']) };
    match lone {
        Some(at) => {
            format!("{} {}", text.get(..at).unwrap_or_default(), text.get(at + 1..).unwrap_or_default()).trim().to_owned()
        }
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("kW (HP)", "kW", Unit::KilowattAndHorsepower)]
    #[case("HP (kW)", "HP", Unit::HorsepowerAndKilowatt)]
    #[case("Motor rating [kW / PS]", "Motor rating [kW]", Unit::KilowattAndMetricHorsepower)]
    #[case("Puissance kW (ch)", "Puissance kW", Unit::KilowattAndMetricHorsepower)]
    #[case("Power kW - HP", "Power kW", Unit::KilowattAndHorsepower)]
    #[case("kW\nHP", "kW", Unit::KilowattAndHorsepower)]
    #[case("Potenza CV o kW", "Potenza CV", Unit::MetricHorsepowerAndKilowatt)]
    fn two_units_of_power_side_by_side_are_a_pair(#[case] text: &str, #[case] single: &str, #[case] pair: Unit) {
        assert_eq!(two_powers(text), Some((single.to_owned(), pair)));
    }

    #[rstest::rstest]
    #[case("kW")]
    #[case("kW rated, HP absorbed")]
    #[case("kVA / kW")]
    #[case("")]
    fn other_texts_name_no_pair(#[case] text: &str) {
        assert_eq!(two_powers(text), None);
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,20}(kW|HP|PS)?[ ()\\[\\]/ö-]{0,4}(kW|HP|ch)?[)\\] é]{0,3}") {
            let _ = (two_powers(&text), unit_of(&text));
        }
    }
}
