//! How dirt dims lamps and optics between two cleanings.

/// Light left after t years of dirt: D(t) = exp(−A·t^B), D(0) = 1.
///
/// The form is that of the luminaire dirt curves of the IESNA Lighting Handbook (8th and 9th edition; from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dirt {
    /// A, so that e^(−A) is left after a year.
    pub rate: f64,
    /// B.
    pub power: f64,
}

impl Dirt {
    /// No dirt.
    pub const NONE: Self = Self { rate: 0.0, power: 1.0 };

    /// From the share of light lost in the first year, 0 to less than 1.
    pub fn losing(share: f64, power: f64) -> Self {
        Self { rate: -(-share).ln_1p(), power }
    }

    /// Fraction left after some years.
    ///
    /// ```
    /// // category I, clean, 18 months: about 10 % lost (handbook coefficients from memory: A = 0.071, B = 0.69)
    /// let dirt = lamp::Dirt { rate: 0.071, power: 0.69 };
    /// assert!((dirt.fraction(1.5) - 0.910).abs() < 5e-4);
    /// ```
    #[inline]
    pub fn fraction(self, years: f64) -> f64 {
        if self.rate == 0.0 { 1.0 } else { (-self.rate * years.powf(self.power)).exp() }
    }
}
