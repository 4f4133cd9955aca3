//! Noise that is the same each time. It takes nothing from the system's random numbers.

/// A generator of white noise (xorshift, Marsaglia 2003). It is good enough for the scrape of a pick, and gives the
/// same samples on every machine.
#[derive(Debug, Clone)]
pub struct Noise(u32);

impl Noise {
    /// Starts the noise. Each `seed` gives other noise.
    pub const fn new(seed: u32) -> Self {
        // Neighbouring seeds must not start alike, and a state of 0 would stay 0.
        Self(seed.wrapping_mul(0x9e37_79b9) ^ 0x5bd1_e995 | 1)
    }

    /// Returns the next sample, -1 to 1.
    pub fn sample(&mut self) -> f32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        // 24 bits fit a float exactly.
        (self.0 >> 8) as f32 / 8_388_608.0 - 1.0
    }
}
