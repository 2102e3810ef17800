//! Factors by which amounts of different years are made comparable.
//!
//! Belongs here: factors and the sums made of them directly. Does not belong here: rows with moments of their own
//! (`flows`).

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

/// The nominal rate that goes with a real rate under general inflation: (1 + nominal) = (1 + real)(1 + inflation)
/// (Fisher's identity), the way back from [`real_rate`].
///
/// ```
/// // 3 % in money of constant worth is 5.06 % in money of the day, when prices rise by 2 %
/// assert!((finance::nominal_rate(0.03, 0.02) - 0.0506).abs() < 1e-15);
/// ```
pub fn nominal_rate(real: f64, inflation: f64) -> f64 {
    real + inflation + real * inflation
}

/// Single present-value factor SPV = (1 + d)^(−n): what 1 paid after n years is worth now. `rate` is d per year, above
/// −1; `years` may be any real number. NaN for a rate below −1.
///
/// Source: NIST Handbook 135 (1995), ASTM E917 (formula from memory).
///
/// ```
/// assert!((finance::single_factor(0.03, 10.0) - 1.03f64.powi(-10)).abs() < 1e-15);
/// ```
pub fn single_factor(rate: f64, years: f64) -> f64 {
    (-years * rate.ln_1p()).exp()
}

/// Uniform present-value factor UPV = (1 − (1 + d)^(−n))/d, n where d = 0: what 1 at the end of each of n years is
/// worth now. `rate` is d per year, above −1. For n that is no whole number the formula is taken as it stands.
///
/// Source: NIST Handbook 135 (1995), ASTM E917 (formula from memory).
///
/// ```
/// // twenty years at 3 %: the familiar 14.88
/// assert!((finance::uniform_factor(0.03, 20.0) - 14.877).abs() < 0.0005);
/// assert_eq!(finance::uniform_factor(0.0, 20.0), 20.0);
/// ```
pub fn uniform_factor(rate: f64, years: f64) -> f64 {
    // written with ln and exp less 1, so that nothing cancels at small rates
    if rate == 0.0 { years } else { -(-years * rate.ln_1p()).exp_m1() / rate }
}

/// Modified uniform present-value factor UPV* = ((1 + e)/(d − e))·(1 − ((1 + e)/(1 + d))ⁿ), n where e = d: what amounts
/// at the ends of n years are worth now, which rise by e a year from 1 at the start, so that the first of them is 1 +
/// e. `rate` is d and `rise` is e, both per year and above −1, both real or both nominal.
///
/// Source: NIST Handbook 135 (1995), ASTM E917 (formula from memory).
///
/// ```
/// use finance::{escalated_factor, uniform_factor};
/// assert_eq!(escalated_factor(0.03, 0.03, 20.0), 20.0);
/// assert!((escalated_factor(0.03, 0.0, 20.0) - uniform_factor(0.03, 20.0)).abs() < 1e-12);
/// ```
pub fn escalated_factor(rate: f64, rise: f64, years: f64) -> f64 {
    // an amount that rises by e, discounted at d, is a steady one discounted at (d − e)/(1 + e)
    uniform_factor((rate - rise) / (1.0 + rise), years)
}

/// Uniform capital recovery factor UCR = 1/UPV: what must come in at the end of each of n years to pay back 1 spent
/// now. `rate` is d per year, above −1.
///
/// Source: NIST Handbook 135 (1995), ASTM E917 (formula from memory).
///
/// ```
/// assert!((finance::recovery_factor(0.05, 1.0) - 1.05).abs() < 1e-15);
/// ```
pub fn recovery_factor(rate: f64, years: f64) -> f64 {
    1.0 / uniform_factor(rate, years)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn assert_near(found: f64, expected: f64) {
        assert!((found / expected - 1.0).abs() < 1e-12, "{found} against {expected}");
    }

    #[test]
    fn uniform_factors_are_sums_of_single_ones() {
        for rate in [-0.3, -1e-9, 1e-14, 0.03, 0.8] {
            let sum = (1..=25).map(|year| (1.0f64 + rate).powi(-year)).sum();
            assert_near(uniform_factor(rate, 25.0), sum);
            assert_near(recovery_factor(rate, 25.0) * sum, 1.0);
            for rise in [-0.2, 0.0, rate, 0.07] {
                let sum = (1..=25).map(|year| ((1.0f64 + rise) / (1.0 + rate)).powi(year)).sum();
                assert_near(escalated_factor(rate, rise, 25.0), sum);
            }
        }
    }

    #[test]
    fn factors_go_on_between_whole_years() {
        // n years and m more are n years, and m years seen from there
        let (rate, n, m) = (0.06, 3.7, 1.9);
        assert_near(single_factor(rate, n) * single_factor(rate, m), single_factor(rate, n + m));
        let together = uniform_factor(rate, n) + single_factor(rate, n) * uniform_factor(rate, m);
        assert_near(uniform_factor(rate, n + m), together);
    }

    #[test]
    fn five_years_at_eight_percent_by_three_conventions() {
        let mean = |booking, periods: usize| {
            let mut factors = vec![0.0; 5 * periods];
            discount_factors(0.08, booking, periods as f64, &mut factors);
            factors.iter().sum::<f64>() / periods as f64
        };
        // by annuity tables 3.993; a month end is worth 0.08/(12·(1.08^(1/12) − 1)) = 1.0362 of a year end, a mid-month
        // 1.08^(1/24) = 1.0032 of a month end
        for (found, expected) in
            [(mean(Booking::End, 1), 3.993), (mean(Booking::End, 12), 4.137), (mean(Booking::Middle, 12), 4.150)]
        {
            assert!((found - expected).abs() < 0.0005, "{found} against {expected}");
        }
    }

    #[test]
    fn real_and_nominal_rates_lead_back_to_each_other() {
        for (real, inflation) in [(0.03, 0.02), (-0.01, 0.08), (0.0, -0.02), (1e-12, 1e-12)] {
            let nominal = nominal_rate(real, inflation);
            assert!((real_rate(nominal, inflation) - real).abs() < 1e-15);
            assert!(((1.0 + nominal) - (1.0 + real) * (1.0 + inflation)).abs() < 1e-15);
        }
    }
}
