//! Units as headings, unit rows and cells write them.

use super::fold;

/// A unit that a column of a schedule may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Kilowatt,
    Watt,
    Horsepower,
    MetricHorsepower,
    /// Two values in this order.
    KilowattAndHorsepower,
    /// Two values in this order.
    HorsepowerAndKilowatt,
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
    YesNo,
    Pieces,
    /// A unit of something that is not read.
    Other,
}

/// Metric horsepower in kilowatts: 75 kp m/s (ISO 80000-4, informative annex; 0.735 498 75, as the trade rounds it).
pub(super) const KILOWATTS_PER_METRIC_HORSEPOWER: f64 = 0.7355;
/// Mechanical horsepower in kilowatts: 550 ft lbf/s.
pub(crate) const KILOWATTS_PER_HORSEPOWER: f64 = 0.7457;

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
    Some(match fold::key(text).as_str() {
        "kw" | "kilowatt" | "kilowatts" => Unit::Kilowatt,
        "w" | "watt" | "watts" => Unit::Watt,
        "hp" | "horsepower" => Unit::Horsepower,
        "kwhp" if text.contains('/') => Unit::KilowattAndHorsepower,
        "hpkw" if text.contains('/') => Unit::HorsepowerAndKilowatt,
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
        "ft" | "feet" | "foot" => Unit::Foot,
        "c" => Unit::Celsius,
        "sec" | "sek" | "seconds" => Unit::Second,
        "perh" | "perhour" | "startsh" | "h1" => Unit::PerHour,
        "yn" | "yesno" | "jn" | "janein" | "on" | "ouinon" | "sn" | "sino" | "simnao" => Unit::YesNo,
        "no" | "nos" | "pcs" | "pc" | "stk" | "stuck" | "off" | "ea" | "each" | "uds" | "ud" | "un" | "und" | "pz" => {
            Unit::Pieces
        }
        "mm" | "mm2" | "kg" | "rpm" | "min1" | "1min" | "ls" | "m3h" | "cfm" | "gpm" | "kwh" | "bar" | "kpa" | "pa" | "kn"
        | "awg" | "in" | "inch" | "inches" | "yd" | "yard" | "yards" | "ph" | "k" | "ka" | "h" | "s" | "min" | "tons"
        | "inwg" => Unit::Other,
        _ => return None,
    })
}
