//! Money over time: discounting by period, present values, levelized cost.
//!
//! Floor 1. Symbols follow NIST Handbook 135 and ASTM E917: d is the discount rate per year, SPV the single and UPV the
//! uniform present-value factor.

/// When in its period an amount counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Booking {
    /// At the period's end.
    End,
    /// In the period's middle.
    Middle,
}

impl Booking {
    /// Moment in years, from the start, at which an amount of a period counts.
    pub fn moment(self, period: usize, periods_per_year: f64) -> f64 {
        let inside = match self {
            Self::End => 1.0,
            Self::Middle => 0.5,
        };
        (period as f64 + inside) / periods_per_year
    }

    /// The convention in words, for a number of periods a year.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::End => "end of month",
            Self::Middle => "mid-month",
        }
    }
}

/// Fills `factors` with (1 + rate)^(sign · moment) for each period in turn.
fn powers(rate: f64, sign: f64, booking: Booking, periods_per_year: f64, factors: &mut [f64]) {
    let log = sign * rate.ln_1p();
    for (period, factor) in factors.iter_mut().enumerate() {
        *factor = (log * booking.moment(period, periods_per_year)).exp();
    }
}

/// Discount factors SPV = (1 + d)^(−t), one for each period, t in years.
///
/// ```
/// use finance::{Booking, discount_factors};
/// // uniform present value of 1 at the end of each of 5 years at 8 %: NIST Handbook 135, UPV = (1 − (1 + d)⁻ⁿ)/d
/// let mut factors = [0.0; 5];
/// discount_factors(0.08, Booking::End, 1.0, &mut factors);
/// let upv: f64 = factors.iter().sum();
/// assert!((upv - (1.0 - 1.08f64.powi(-5)) / 0.08).abs() < 1e-12);
/// ```
pub fn discount_factors(rate: f64, booking: Booking, periods_per_year: f64, factors: &mut [f64]) {
    powers(rate, -1.0, booking, periods_per_year, factors);
}

/// Price factors (1 + e)^t, one for each period, t in years: what an amount has become after rising by e a year.
pub fn escalation_factors(rate: f64, booking: Booking, periods_per_year: f64, factors: &mut [f64]) {
    powers(rate, 1.0, booking, periods_per_year, factors);
}

/// Present value: an outlay at the start and an amount for each period.
pub fn present_value(outlay: f64, amounts: &[f64], factors: &[f64]) -> f64 {
    outlay + amounts.iter().zip(factors).map(|(amount, factor)| amount * factor).sum::<f64>()
}

/// Levelized cost of one unit of output: PV(cost) / PV(output), both discounted alike. NaN when nothing is put out.
///
/// Discounting the money but not the output is the usual mistake; there is no function here that does it.
///
/// ```
/// use finance::{Booking, discount_factors, levelized_cost};
/// let mut factors = [0.0; 2];
/// discount_factors(0.0, Booking::End, 1.0, &mut factors);
/// // without discounting it is the plain ratio: (10 + 5 + 5) / (4 + 6)
/// assert_eq!(levelized_cost(10.0, &[5.0, 5.0], &[4.0, 6.0], &factors), 2.0);
/// ```
pub fn levelized_cost(outlay: f64, costs: &[f64], output: &[f64], factors: &[f64]) -> f64 {
    present_value(outlay, costs, factors) / present_value(0.0, output, factors)
}

/// The real rate that goes with a nominal rate under general inflation: (1 + nominal) = (1 + real)(1 + inflation)
/// (Fisher's identity).
pub fn real_rate(nominal: f64, inflation: f64) -> f64 {
    (1.0 + nominal) / (1.0 + inflation) - 1.0
}
