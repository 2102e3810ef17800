//! Random numbers for tests: SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).

use crate::normal;

pub struct Luck(u64);

impl Luck {
    pub fn new(seed: u64) -> Self {
        // seeds next to each other start far apart
        Self(seed.wrapping_mul(0xD134_2543_DE82_EF95))
    }

    /// A number evenly between 0 and 1, never either.
    pub fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (((bits ^ (bits >> 31)) >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        normal::quantile(self.uniform())
    }

    pub fn normals(&mut self, n: usize) -> Vec<f64> {
        (0..n).map(|_| self.normal()).collect()
    }
}
