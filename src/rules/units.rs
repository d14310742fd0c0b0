//! Units in which the reports of a rule book are read. The design keeps its own (metres, kilowatts, millimetres squared) and
//! is never rounded; what a page shows is worked out here.

use crate::quantity::fits;
use crate::rules::nec::conductor::Size;

/// Metres in a foot: the international foot, exact by definition.
pub const METRES_A_FOOT: f64 = 0.3048;

/// Section of a conductor by its size with its unit, mm²: `2.5 mm2`, `12 AWG`, `250 kcmil`; none if it is no size, or bears no unit.
#[must_use]
pub fn section_mm2(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase();
    if let Some(number) = ["mm²", "mm2", "mm^2"].into_iter().find_map(|unit| text.strip_suffix(unit)) {
        let number = number.trim();
        let plain = number.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        return number.parse().ok().filter(|area: &f64| plain && *area > 0.0 && area.is_finite());
    }
    let gauge = ["awg", "kcmil", "mcm"].iter().any(|unit| text.ends_with(unit));
    Size::parse(&text).filter(|_| gauge).map(Size::mm2)
}

/// Millimetres in an inch, exact by definition.
pub const MILLIMETRES_AN_INCH: f64 = 25.4;

/// A system of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Units {
    /// Metres, kilowatts, millimetres squared, degrees Celsius.
    Metric,
    /// Feet, horsepower, American wire gauge and circular mils; degrees Fahrenheit beside degrees Celsius.
    Customary,
}

impl Units {
    /// Units of a rule book by its key.
    #[must_use]
    pub fn of(rule_book: &str) -> Self {
        if rule_book.trim().eq_ignore_ascii_case("nec") { Self::Customary } else { Self::Metric }
    }

    /// The one or the other.
    #[must_use]
    pub fn pick<T>(self, metric: T, customary: T) -> T {
        match self {
            Self::Metric => metric,
            Self::Customary => customary,
        }
    }

    /// Symbol of the unit of lengths.
    #[must_use]
    pub fn length_unit(self) -> &'static str {
        self.pick("m", "ft")
    }

    /// A length in that unit. Feet are whole ones, rounded up: a run is never shown shorter than it is.
    #[must_use]
    pub fn length(self, metres: f64) -> f64 {
        self.pick(metres, whole_up(metres / METRES_A_FOOT))
    }

    /// How far something holds, in that unit. Feet are whole ones, rounded down: a reach is never shown longer than it is.
    #[must_use]
    pub fn reach(self, metres: f64) -> f64 {
        self.pick(metres, whole_down(metres / METRES_A_FOOT))
    }

    /// Symbol of the unit of widths.
    #[must_use]
    pub fn width_unit(self) -> &'static str {
        self.pick("mm", "in")
    }

    /// A width in that unit.
    #[must_use]
    pub fn width(self, millimetres: f64) -> f64 {
        self.pick(millimetres, millimetres / MILLIMETRES_AN_INCH)
    }

    /// A quantity to be bought in a unit of its own; feet are sold in whole ones.
    #[must_use]
    pub fn bought(self, quantity: f64, unit: &str) -> f64 {
        if self == Self::Customary && unit == "ft" { whole_up(quantity) } else { quantity }
    }

    /// A temperature, such as `40 °C` or `40 °C (104 °F)`.
    #[must_use]
    pub fn temperature(self, celsius: f64) -> String {
        self.pick(format!("{celsius} °C"), format!("{celsius} °C ({} °F)", (celsius * 1.8 + 32.0).round()))
    }

    /// A difference of temperatures, such as `15 K` or `15 °C (27 °F)`.
    #[must_use]
    pub fn temperature_rise(self, kelvin: f64) -> String {
        self.pick(format!("{kelvin} K"), format!("{kelvin} °C ({} °F)", (kelvin * 1.8).round()))
    }

    /// Unit of conductor sizes in a heading: millimetres squared; other units differ from size to size and stay with it.
    #[must_use]
    pub fn size_unit(self) -> &'static str {
        self.pick("mm²", "")
    }

    /// Paper on which pages are printed where the basis names none.
    #[must_use]
    pub fn paper(self) -> &'static str {
        self.pick("A4", "Letter")
    }
}

/// The figures that a check compares, in the units of the reports.
#[derive(Clone, Debug, PartialEq)]
pub enum Measure {
    /// A number in the unit that [`Units::unit`] gives.
    Number(f64),
    /// A size of conductor by its trade name, which brings its unit: `8 AWG`.
    Size(String),
}

impl Units {
    /// Unit in which the reports show what the design has in this one.
    #[must_use]
    pub fn unit(self, unit: &str) -> &str {
        match (self, unit) {
            (Self::Customary, "m") => "ft",
            (Self::Customary, "mm") => "in",
            _ => unit,
        }
    }

    /// The value that occurs or is demanded, shown: lengths are rounded up.
    #[must_use]
    pub fn value(self, value: f64, unit: &str) -> Measure {
        match (self, unit) {
            (Self::Customary, "m") => Measure::Number(self.length(value)),
            _ => self.limit(value, unit),
        }
    }

    /// The value that is allowed or can be done, shown: lengths are rounded down, and a section between two sizes is the smaller one.
    #[must_use]
    pub fn limit(self, limit: f64, unit: &str) -> Measure {
        match (self, unit) {
            (Self::Customary, "m") => Measure::Number(self.reach(limit)),
            (Self::Customary, "mm") => Measure::Number(self.width(limit)),
            (Self::Customary, "mm²") => size_within(limit).map_or(Measure::Number(limit), Measure::Size),
            _ => Measure::Number(limit),
        }
    }
}

/// The largest size of at most this section, mm²; catalogues state sections to a hundredth.
fn size_within(area_mm2: f64) -> Option<String> {
    Size::all().rev().find(|size| fits(size.mm2(), area_mm2 + 0.01)).map(Size::text)
}

/// The size of conductor that has exactly this section, circular mils: `8 AWG`.
#[must_use]
pub fn size_of_cmil(area_cmil: f64) -> Option<String> {
    Size::at_least_cmil(area_cmil).filter(|size| fits(size.cmil(), area_cmil)).map(Size::text)
}

/// The next whole number, but not for the error of a conversion: 228.6 m are 750 ft, not 751.
fn whole_up(number: f64) -> f64 {
    let near = number.round();
    if fits(number, near) { near } else { number.ceil() }
}

/// The whole number below, but not for the error of a conversion.
fn whole_down(number: f64) -> f64 {
    let near = number.round();
    if fits(near, number) { near } else { number.floor() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_come_back_as_the_feet_that_were_read() {
        for feet in 1..=3000 {
            let metres = f64::from(feet) * METRES_A_FOOT;
            assert_eq!(Units::Customary.length(metres).to_bits(), f64::from(feet).to_bits(), "{feet} ft");
            assert_eq!(Units::Customary.reach(metres).to_bits(), f64::from(feet).to_bits(), "{feet} ft");
        }
    }

    #[test]
    fn a_length_is_rounded_up_and_a_reach_down() {
        // 30 m are 98.4 ft.
        assert!((Units::Customary.length(30.0) - 99.0).abs() < 1e-9);
        assert!((Units::Customary.reach(30.0) - 98.0).abs() < 1e-9);
        // Above a half the reach still goes down, below a half the length still goes up.
        assert!((Units::Customary.reach(1.8 * METRES_A_FOOT) - 1.0).abs() < 1e-9);
        assert!((Units::Customary.length(1.2 * METRES_A_FOOT) - 2.0).abs() < 1e-9);
        assert!((Units::Metric.length(30.25) - 30.25).abs() < 1e-9);
    }

    #[test]
    fn temperatures_stand_in_both_scales() {
        // Fixed points of the two scales: water freezes at 32 °F and boils at 212 °F; both agree at -40.
        for (celsius, words) in [(0.0, "0 °C (32 °F)"), (100.0, "100 °C (212 °F)"), (-40.0, "-40 °C (-40 °F)")] {
            assert_eq!(Units::Customary.temperature(celsius), words);
        }
        assert_eq!(Units::Customary.temperature(40.0), "40 °C (104 °F)");
        assert_eq!(Units::Metric.temperature(40.0), "40 °C");
        assert_eq!(Units::Customary.temperature_rise(15.0), "15 °C (27 °F)");
    }

    #[test]
    fn only_feet_are_bought_whole() {
        assert!((Units::Customary.bought(230.2, "ft") - 231.0).abs() < 1e-9);
        assert!((Units::Customary.bought(2.5, "pc") - 2.5).abs() < 1e-9);
        assert!((Units::Metric.bought(230.2, "m") - 230.2).abs() < 1e-9);
    }

    #[test]
    fn checks_are_shown_in_feet_and_wire_gauges() {
        let (metric, customary) = (Units::Metric, Units::Customary);
        // 80.77 m are 264.99 ft, 50 m are 164.04 ft.
        assert_eq!(customary.value(80.77, "m"), Measure::Number(265.0));
        assert_eq!((customary.limit(50.0, "m"), customary.unit("m")), (Measure::Number(164.0), "ft"));
        // NFPA 70, Chapter 9, Table 8: 4 AWG are 21.15 mm², 6 AWG 13.30 mm², 500 kcmil 253 mm².
        assert_eq!(customary.value(21.15, "mm²"), Measure::Size("4 AWG".to_owned()));
        assert_eq!(customary.limit(13.3, "mm²"), Measure::Size("6 AWG".to_owned()));
        assert_eq!(customary.limit(16.0, "mm²"), Measure::Size("6 AWG".to_owned()));
        assert_eq!(customary.limit(253.4, "mm²"), Measure::Size("500 kcmil".to_owned()));
        assert_eq!((customary.value(65.0, "A"), customary.unit("A")), (Measure::Number(65.0), "A"));
        for unit in ["m", "mm²", "A"] {
            assert_eq!((metric.value(80.77, unit), metric.limit(50.0, unit)), (Measure::Number(80.77), Measure::Number(50.0)));
            assert_eq!(metric.unit(unit), unit);
        }
    }

    #[test]
    fn each_book_has_its_units() {
        assert_eq!((Units::of("iec"), Units::of("NEC "), Units::of("")), (Units::Metric, Units::Customary, Units::Metric));
    }
}
