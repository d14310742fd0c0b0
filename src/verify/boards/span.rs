//! A power that lies between two ends.

use crate::rules::physics::phasor::Phasor;

/// Active and reactive power, each between two ends.
#[derive(Clone, Copy, Default)]
pub(super) struct Span {
    pub(super) active: [f64; 2],
    pub(super) reactive: [f64; 2],
}

impl Span {
    /// Adds what is certainly there.
    pub(super) fn add(&mut self, phasor: Phasor) {
        self.active = self.active.map(|end| end + phasor.re);
        self.reactive = self.reactive.map(|end| end + phasor.im);
    }

    /// Adds what may be there.
    pub(super) fn perhaps(&mut self, phasor: Phasor) {
        self.active[usize::from(phasor.re > 0.0)] += phasor.re;
        self.reactive[usize::from(phasor.im > 0.0)] += phasor.im;
    }

    /// Smallest and largest magnitude.
    pub(super) fn magnitude(&self) -> [f64; 2] {
        let least = |[low, high]: [f64; 2]| {
            if low > 0.0 {
                low
            } else if high < 0.0 {
                -high
            } else {
                0.0
            }
        };
        let most = |[low, high]: [f64; 2]| low.abs().max(high.abs());
        [libm::hypot(least(self.active), least(self.reactive)), libm::hypot(most(self.active), most(self.reactive))]
    }

    /// Both ends are one.
    pub(super) fn exact(&self) -> bool {
        let narrow = |[low, high]: [f64; 2]| high - low <= 1e-9 * high.abs().max(low.abs());
        narrow(self.active) && narrow(self.reactive)
    }
}
