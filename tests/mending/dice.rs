//! Numbers that look thrown and are the same on every machine.

/// A generator of such numbers (splitmix64).
pub struct Dice(u64);

impl Dice {
    /// Begins from a seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }
    /// A whole number from 0, below a limit.
    pub fn below(&mut self, limit: usize) -> usize {
        let limit = u64::try_from(limit.max(1)).unwrap_or(1);
        usize::try_from(self.next() % limit).unwrap_or(0)
    }
    /// A number between two.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let part = f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / f64::from(u32::MAX);
        low + (high - low) * part
    }
    /// One of several.
    pub fn pick<'a, T>(&mut self, of: &'a [T]) -> Option<&'a T> {
        of.get(self.below(of.len()))
    }
}
