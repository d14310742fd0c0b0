//! A voltage, current or power as a complex number: what is in phase with the reference, and what leads it.

use crate::quantity::Impedance;

/// A complex quantity. The second part of a power is the reactive power, positive where the current lags.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Phasor {
    /// Part in phase with the reference.
    pub re: f64,
    /// Part a quarter of a period ahead of it.
    pub im: f64,
}

impl Phasor {
    /// Nothing.
    pub const ZERO: Self = Self { re: 0.0, im: 0.0 };
    /// The reference.
    pub const ONE: Self = Self { re: 1.0, im: 0.0 };

    /// From its two parts.
    #[must_use]
    pub fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    /// An apparent power of a magnitude at a lagging power factor.
    #[must_use]
    pub fn lagging(magnitude: f64, power_factor: f64) -> Self {
        Self { re: magnitude * power_factor, im: magnitude * (1.0 - power_factor * power_factor).max(0.0).sqrt() }
    }

    /// Magnitude.
    #[must_use]
    pub fn magnitude(self) -> f64 {
        libm::hypot(self.re, self.im)
    }

    /// Mirrored at the reference.
    #[must_use]
    pub fn conjugate(self) -> Self {
        Self { re: self.re, im: -self.im }
    }

    /// Both parts are numbers.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.re.is_finite() && self.im.is_finite()
    }
}

impl From<Impedance> for Phasor {
    fn from(impedance: Impedance) -> Self {
        Self { re: impedance.r.0, im: impedance.x.0 }
    }
}

impl std::ops::Add for Phasor {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { re: self.re + other.re, im: self.im + other.im }
    }
}

impl std::ops::AddAssign for Phasor {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl std::ops::Sub for Phasor {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { re: self.re - other.re, im: self.im - other.im }
    }
}

impl std::ops::Mul for Phasor {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self { re: self.re * other.re - self.im * other.im, im: self.re * other.im + self.im * other.re }
    }
}

impl std::ops::Mul<f64> for Phasor {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self { re: self.re * factor, im: self.im * factor }
    }
}

impl std::ops::Div for Phasor {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let square = other.re * other.re + other.im * other.im;
        (self * other.conjugate()) * (1.0 / square)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quotient_times_its_divisor_is_the_dividend() {
        let (a, b) = (Phasor::new(3.0, -4.0), Phasor::new(0.5, 2.0));
        let back = a / b * b;
        assert!((back - a).magnitude() < 1e-12);
        assert!((a.magnitude() - 5.0).abs() < 1e-12);
        assert!((Phasor::lagging(10.0, 0.8) - Phasor::new(8.0, 6.0)).magnitude() < 1e-12);
    }
}
