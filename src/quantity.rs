//! Electrical quantities: one newtype a unit, over `f64` in the base unit.
//!
//! Only the products and quotients that the trade uses have an `impl`; a wrong formula does not compile.
//! Conversions from kW, hp, mm² and kA happen where values enter ([`crate::intake`]) or leave ([`crate::report`]).
//!
//! [`Amperes::fits`] and its relatives are the one comparison of the program: a need fits a rating when it is not larger
//! by more than [`SLACK`], so that a current of 16.000000001 A, a product of rounding, does not buy a device of 20 A.

use serde::{Deserialize, Serialize};

/// Relative slack of every comparison of a need with a rating: one part in a million, far below any tolerance of a device.
pub const SLACK: f64 = 1e-6;

/// Mechanical horsepower in kilowatts: 550 ft lbf/s.
pub const KILOWATTS_PER_HORSEPOWER: f64 = 0.7457;

/// Tells whether `need` fits `rating` within [`SLACK`]; an undefined number never fits.
#[must_use]
pub fn fits(need: f64, rating: f64) -> bool {
    need <= rating + rating.abs() * SLACK
}

macro_rules! quantities { ($($(#[$doc:meta])* $name:ident, $unit:literal;)*) => {$(
    $(#[$doc])*
    #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
    #[serde(transparent)]
    pub struct $name(pub f64);

    impl $name {
        /// Symbol of the unit.
        pub const UNIT: &'static str = $unit;

        /// Tells whether this need fits `rating`, within the stated slack.
        #[must_use]
        pub fn fits(self, rating: Self) -> bool { fits(self.0, rating.0) }

        /// The larger of two.
        #[must_use]
        pub fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }

        /// The smaller of two.
        #[must_use]
        pub fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
    }
    impl std::ops::Add for $name { type Output = Self; fn add(self, other: Self) -> Self { Self(self.0 + other.0) } }
    impl std::ops::Sub for $name { type Output = Self; fn sub(self, other: Self) -> Self { Self(self.0 - other.0) } }
    impl std::ops::Mul<f64> for $name { type Output = Self; fn mul(self, factor: f64) -> Self { Self(self.0 * factor) } }
    impl std::ops::Div<f64> for $name { type Output = Self; fn div(self, divisor: f64) -> Self { Self(self.0 / divisor) } }
    impl std::ops::Div for $name { type Output = f64; fn div(self, other: Self) -> f64 { self.0 / other.0 } }
)*}; }

quantities! {
    /// Electric current, r.m.s.
    Amperes, "A";
    /// Voltage between lines, r.m.s., unless a name says otherwise.
    Volts, "V";
    /// Active or shaft power.
    Watts, "W";
    /// Apparent power.
    VoltAmperes, "VA";
    /// Reactive power.
    Vars, "var";
    /// Resistance, reactance or impedance.
    Ohms, "Ω";
    /// Length, one way unless a name says otherwise.
    Metres, "m";
    /// Cross-section.
    SquareMillimetres, "mm²";
    /// Time.
    Seconds, "s";
    /// Temperature.
    Celsius, "°C";
    /// Let-through energy (Joule integral).
    AmpereSquaredSeconds, "A²s";
}

impl Watts {
    /// Power of so many horsepower.
    #[must_use]
    pub fn of_horsepower(horsepower: f64) -> Self {
        Self(horsepower * (KILOWATTS_PER_HORSEPOWER * 1000.0))
    }

    /// The power in horsepower.
    #[must_use]
    pub fn horsepower(self) -> f64 {
        self.0 / (KILOWATTS_PER_HORSEPOWER * 1000.0)
    }
}

impl Amperes {
    /// Joule integral of a constant current over a time.
    #[must_use]
    pub fn squared_over(self, time: Seconds) -> AmpereSquaredSeconds {
        AmpereSquaredSeconds(self.0 * self.0 * time.0)
    }
}

/// An impedance as resistance and reactance; they are added apart, never as magnitudes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Impedance {
    /// Resistance.
    pub r: Ohms,
    /// Reactance.
    pub x: Ohms,
}

impl Impedance {
    /// Magnitude.
    #[must_use]
    pub fn magnitude(self) -> Ohms {
        Ohms((self.r.0 * self.r.0 + self.x.0 * self.x.0).sqrt())
    }

    /// Impedance of the given magnitude and power factor (inductive).
    #[must_use]
    pub fn from_magnitude(magnitude: Ohms, power_factor: f64) -> Self {
        let reactive = (1.0 - power_factor * power_factor).max(0.0).sqrt();
        Self { r: magnitude * power_factor, x: magnitude * reactive }
    }

    /// Impedance of the given magnitude and ratio of reactance to resistance.
    #[must_use]
    pub fn of_ratio(magnitude: Ohms, x_over_r: f64) -> Self {
        let r = magnitude / (1.0 + x_over_r * x_over_r).sqrt();
        Self { r, x: r * x_over_r }
    }

    /// One over it; an admittance is held in the same form.
    #[must_use]
    pub fn reciprocal(self) -> Self {
        let square = self.r.0 * self.r.0 + self.x.0 * self.x.0;
        Self { r: self.r / square, x: Ohms(-self.x.0 / square) }
    }

    /// The impedance with an admittance beside it; exact where the impedance is zero.
    #[must_use]
    pub fn beside(self, admittance: Self) -> Self {
        let one = Self { r: Ohms(1.0), x: Ohms(0.0) };
        self * (one + self * admittance).reciprocal()
    }
}

impl std::ops::Add for Impedance {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { r: self.r + other.r, x: self.x + other.x }
    }
}

impl std::ops::Sub for Impedance {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { r: self.r - other.r, x: self.x - other.x }
    }
}

impl std::ops::Mul for Impedance {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let (a, b) = ((self.r.0, self.x.0), (other.r.0, other.x.0));
        Self { r: Ohms(a.0 * b.0 - a.1 * b.1), x: Ohms(a.0 * b.1 + a.1 * b.0) }
    }
}

impl std::ops::Mul<f64> for Impedance {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self { r: self.r * factor, x: self.x * factor }
    }
}

/// Rounds to `decimals` places, half away from zero; used where a value is shown or set, never in between.
#[must_use]
pub fn round_to(value: f64, decimals: u32) -> f64 {
    let scale = 10f64.powi(decimals.cast_signed());
    (value * scale).round() / scale
}

/// Rounds up to `decimals` places what is said to be at most so large. What stands above the last place by less than the errors of
/// arithmetic is not above it.
#[must_use]
pub fn round_up(value: f64, decimals: u32) -> f64 {
    const ARITHMETIC: f64 = 1e-9;
    let scale = 10f64.powi(decimals.cast_signed());
    (value * scale - ARITHMETIC).ceil() / scale
}

/// Rounds down to `decimals` places what is said to be at least so large, as [`round_up`] rounds up.
#[must_use]
pub fn round_down(value: f64, decimals: u32) -> f64 {
    -round_up(-value, decimals)
}

/// Powers of ten up to the most decimals that a report prints.
const SCALES: [f64; 13] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12];

/// A number with so many decimals, as `{:.n}` prints it. What is printed is short as a rule; then its last decimals as a whole number
/// tell it without the long division of the exact way, which is left for numbers beside a half and for large ones.
#[must_use]
pub fn decimal(value: f64, decimals: usize) -> String {
    let scaled = SCALES.get(decimals).map_or(f64::INFINITY, |scale| value.abs() * scale);
    let part = scaled.fract();
    // The product is off by a ten-thousandth at most below this size.
    let certain = scaled < 1e12 && (part - 0.5).abs() > 1e-3;
    if !certain {
        return format!("{value:.decimals$}");
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // above nothing, and far within
    let mut rest = scaled as u64 + u64::from(part > 0.5);
    // From the end: decimals, point, whole part, sign.
    let mut text = [b'0'; 32];
    let mut at = text.len();
    let mut put = |byte: u8| {
        at -= 1;
        text[at] = byte;
    };
    let mut written = 0;
    while rest > 0 || written <= decimals {
        put(b'0' + u8::try_from(rest % 10).unwrap_or(0));
        rest /= 10;
        written += 1;
        if written == decimals {
            put(b'.');
        }
    }
    if value.is_sign_negative() {
        put(b'-');
    }
    text[at..].iter().copied().map(char::from).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn decimals_are_those_of_the_exact_way(value in -1e7..1e7f64, size in -12i32..13, decimals in 0usize..14) {
            let value = value * 10f64.powi(size);
            proptest::prop_assert_eq!(decimal(value, decimals), format!("{value:.decimals$}"));
        }

        #[test]
        fn numbers_of_nameplates_too(hundredths in -200_000i64..200_000, decimals in 0usize..5) {
            // Exact halves, and what the nearest binary number makes of them.
            #[allow(clippy::cast_precision_loss)] // small
            let value = hundredths as f64 / 1000.0;
            proptest::prop_assert_eq!(decimal(value, decimals), format!("{value:.decimals$}"));
        }
    }

    #[test]
    fn what_is_no_number_is_printed_as_ever() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -0.0, f64::MAX, f64::MIN_POSITIVE, 0.5, 1.5, 2.5] {
            for decimals in 0..16 {
                assert_eq!(decimal(value, decimals), format!("{value:.decimals$}"));
            }
        }
    }

    #[test]
    fn a_rounding_error_does_not_buy_the_next_size() {
        assert!(Amperes(16.000_000_001).fits(Amperes(16.0)));
        assert!(!Amperes(16.001).fits(Amperes(16.0)));
        assert!(!Amperes(f64::NAN).fits(Amperes(16.0)));
    }

    #[test]
    fn impedances_add_as_phasors() {
        let sum = Impedance { r: Ohms(3.0), x: Ohms(0.0) } + Impedance { r: Ohms(0.0), x: Ohms(4.0) };
        assert!((sum.magnitude().0 - 5.0).abs() < 1e-12);
    }

    #[test]
    fn impedances_multiply_and_stand_beside_each_other_as_complex_numbers() {
        let of = |r: f64, x: f64| Impedance { r: Ohms(r), x: Ohms(x) };
        let near = |a: Impedance, b: Impedance| (a - b).magnitude().0 < 1e-12;
        // (1 + 2j)(3 + 4j) = -5 + 10j; 1/(3 + 4j) = 0.12 - 0.16j; 6j beside 3j is 2j; 6 beside 3 is 2.
        assert!(near(of(1.0, 2.0) * of(3.0, 4.0), of(-5.0, 10.0)));
        assert!(near(of(3.0, 4.0).reciprocal(), of(0.12, -0.16)));
        assert!(near(of(0.0, 6.0).beside(of(0.0, 3.0).reciprocal()), of(0.0, 2.0)));
        assert!(near(of(6.0, 0.0).beside(of(3.0, 0.0).reciprocal()), of(2.0, 0.0)));
        assert!(near(Impedance::default().beside(of(1.0, 1.0)), Impedance::default()));
        // 3 + 4j has the magnitude 5 and the ratio 4/3.
        assert!(near(Impedance::of_ratio(Ohms(5.0), 4.0 / 3.0), of(3.0, 4.0)));
    }

    #[rstest::rstest]
    #[case(25.04, 1, 25.1, 25.0)]
    #[case(22.3, 1, 22.3, 22.3)]
    #[case(0.1 + 0.2, 1, 0.3, 0.3)]
    #[case(123.456, 0, 124.0, 123.0)]
    #[case(6.0, 1, 6.0, 6.0)]
    fn what_is_at_most_rounds_up_and_what_is_at_least_down(
        #[case] value: f64,
        #[case] decimals: u32,
        #[case] up: f64,
        #[case] down: f64,
    ) {
        approx::assert_relative_eq!(round_up(value, decimals), up, max_relative = 1e-12);
        approx::assert_relative_eq!(round_down(value, decimals), down, max_relative = 1e-12);
    }
}
