//! Random choices that are the same in every run.

/// A sequence of numbers that looks random and is the same in every run.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn roll(&mut self, sides: usize) -> usize {
        // Knuth's multiplier for 64 bits (The Art of Computer Programming, volume 2, 3.3.4).
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("31 bits") % sides
    }

    pub(crate) fn pick<'t>(&mut self, of: &[&'t str]) -> &'t str {
        of[self.roll(of.len())]
    }
}
