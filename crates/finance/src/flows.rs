//! A row of signed amounts, each at its moment: present value, chains, real and nominal.
//!
//! Belongs here: what a row is and what changes it. Does not belong here: rates that balance it (`roots`), running sums
//! (`cumulative`).

use crate::factors::Booking;
use crate::fault::{Fault, demand, demand_amount, demand_finite, demand_positive, demand_rate};
use crate::roots::{self, InternalRates};

/// Longest row, in amounts: twenty-seven years of days.
const MOST_AMOUNTS: usize = 10_000;

/// Moments no further apart, in years, are one: rounding must not part what falls together.
const ONE_MOMENT: f64 = 1e-9;

/// Latest moment, years.
const LATEST: f64 = 1_000.0;

/// A row of amounts of money: what comes in is above 0, what is paid below. Moments are years from the start.
///
/// ```
/// use finance::{Booking, Flows};
/// // 1 000 spent, twelve times 90 back at the ends of months
/// let row = Flows::of_periods(-1000.0, &[90.0; 12], Booking::End, 12.0)?;
/// assert_eq!(row.years(), 1.0);
/// assert!((row.present_value(0.0)? - 80.0).abs() < 1e-9);
/// assert!(row.present_value(-1.0).is_err());
/// # Ok::<(), finance::Fault>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Flows {
    /// Moments in years, rising, and amounts.
    rows: Vec<(f64, f64)>,
    years: f64,
}

impl Flows {
    /// An amount at the start and one for each period, counted where in its period `booking` says. The row lasts as
    /// many years as its periods.
    ///
    /// # Errors
    /// An amount that is no number or beyond 1e100, periods a year that are not above 0, more than 1 000 years or 10
    /// 000 amounts.
    pub fn of_periods(start: f64, amounts: &[f64], booking: Booking, periods_per_year: f64) -> Result<Self, Fault> {
        demand_positive("the number of periods a year", periods_per_year)?;
        let later = amounts.iter().enumerate().map(|(k, &amount)| (booking.moment(k, periods_per_year), amount));
        let rows = std::iter::once((0.0, start)).chain(later).collect();
        Self::checked(rows, amounts.len() as f64 / periods_per_year)
    }

    /// Amounts at moments in years from the start, in any order: (moment, amount). Amounts of one moment, within a
    /// billionth of a year, are added up.
    /// The row lasts until its latest moment.
    ///
    /// # Errors
    /// As for [`Flows::of_periods`]; a moment below 0.
    ///
    /// ```
    /// let row = finance::Flows::dated(&[(1.5, 60.0), (0.0, -100.0), (1.5, 50.0)])?;
    /// assert_eq!(row.amounts().collect::<Vec<_>>(), [-100.0, 110.0]);
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn dated(rows: &[(f64, f64)]) -> Result<Self, Fault> {
        let years = rows.iter().map(|row| row.0).fold(0.0, f64::max);
        Self::checked(rows.to_vec(), years)
    }

    fn checked(mut rows: Vec<(f64, f64)>, years: f64) -> Result<Self, Fault> {
        demand(rows.len() <= MOST_AMOUNTS, "the number of amounts", rows.len() as f64, "10 000 at most")?;
        for &(moment, amount) in &rows {
            demand((0.0..=LATEST).contains(&moment), "a moment in years", moment, "from 0 to 1 000")?;
            demand_amount("an amount", amount)?;
        }
        demand((0.0..=LATEST).contains(&years), "the length in years", years, "from 0 to 1 000")?;
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        rows.dedup_by(|later, kept| {
            let is_same = later.0 - kept.0 <= ONE_MOMENT;
            if is_same {
                kept.1 += later.1;
            }
            is_same
        });
        Ok(Self { rows, years })
    }

    /// How long the row lasts, years.
    pub fn years(&self) -> f64 {
        self.years
    }

    /// Moments in years from the start, rising, and the amounts.
    pub fn rows(&self) -> &[(f64, f64)] {
        &self.rows
    }

    /// The amounts, in the order of time.
    pub fn amounts(&self) -> impl Iterator<Item = f64> {
        self.rows.iter().map(|row| row.1)
    }

    /// Net present value Σ amount·(1 + d)^(−t), of the amounts' kind of money. `rate` is d per year, effective.
    ///
    /// # Errors
    /// A rate that is not above −1, or so near it that the sum is not finite.
    pub fn present_value(&self, rate: f64) -> Result<f64, Fault> {
        demand_rate("the discount rate", rate)?;
        demand_finite("the present value", self.discounted(rate, |amount| amount))
    }

    /// Σ part(amount)·(1 + rate)^(−t), unchecked.
    fn discounted(&self, rate: f64, part: impl Fn(f64) -> f64) -> f64 {
        let log = rate.ln_1p();
        let terms = self.rows.iter().map(|&(moment, amount)| (moment, part(amount)));
        // nothing is worth nothing, even where the factor overflows
        terms.filter(|term| term.1 != 0.0).map(|(moment, amount)| amount * (-moment * log).exp()).sum()
    }

    /// Net present values at many rates per year: the profile to be drawn.
    ///
    /// # Errors
    /// As for [`Flows::present_value`], of the first rate that is at fault.
    pub fn profile(&self, rates: &[f64]) -> Result<Vec<f64>, Fault> {
        rates.iter().map(|&rate| self.present_value(rate)).collect()
    }

    /// How often the amounts change their sign, in the order of time and passing over amounts of 0. No row has more
    /// internal rates of return than that, and their number differs from it by an even number when touching ones count
    /// double (Descartes' rule of signs; for moments that are no whole numbers of periods Laguerre's extension).
    pub fn sign_changes(&self) -> usize {
        let signs: Vec<bool> = self.amounts().filter(|&amount| amount != 0.0).map(|amount| amount > 0.0).collect();
        signs.windows(2).filter(|pair| pair[0] != pair[1]).count()
    }

    /// All rates per year at which the net present value is 0; see [`InternalRates`].
    ///
    /// # Errors
    /// More than 2 000 000 for the number of amounts times that of sign changes, which would take too long.
    pub fn internal_rates(&self) -> Result<InternalRates, Fault> {
        roots::internal_rates(&self.rows)
    }

    /// Modified internal rate of return per year: (terminal value of what comes in, reinvested at one rate, over
    /// present value of what is paid, financed at another)^(1/n) − 1, n the length of the row in years.
    ///
    /// There is one for every row that has both signs, whatever its internal rates; it rests on the two rates.
    /// Definition from memory, as spreadsheets have it for equal periods.
    ///
    /// # Errors
    /// A rate that is not above −1, a row of no length, nothing that comes in or nothing that is paid.
    pub fn modified_rate(&self, finance: f64, reinvestment: f64) -> Result<f64, Fault> {
        demand_rate("the rate of finance", finance)?;
        demand_rate("the rate of reinvestment", reinvestment)?;
        demand_positive("the length in years", self.years)?;
        let gained = self.discounted(reinvestment, |amount| amount.max(0.0));
        let paid = self.discounted(finance, |amount| (-amount).max(0.0));
        demand_positive("the present value of what comes in", gained)?;
        demand_positive("the present value of what is paid", paid)?;
        let log = (gained.ln() - paid.ln()) / self.years + reinvestment.ln_1p();
        demand_finite("the modified rate", log.exp_m1())
    }

    /// The same row in nominal money, of a row in real money of the start: amount·(1 + inflation)^t.
    ///
    /// Its present value at [`nominal_rate`](crate::nominal_rate) is that of this row at the real rate.
    ///
    /// # Errors
    /// An inflation that is not above −1, or so high that amounts get beyond 1e100.
    pub fn to_nominal(&self, inflation: f64) -> Result<Self, Fault> {
        demand_rate("the inflation", inflation)?;
        let log = inflation.ln_1p();
        let price =
            |&(moment, amount): &(f64, f64)| (moment, if amount == 0.0 { 0.0 } else { amount * (moment * log).exp() });
        Self::checked(self.rows.iter().map(price).collect(), self.years)
    }

    /// The same row in real money of the start, of a row in nominal money: amount·(1 + inflation)^(−t).
    ///
    /// # Errors
    /// As for [`Flows::to_nominal`].
    pub fn to_real(&self, inflation: f64) -> Result<Self, Fault> {
        demand_rate("the inflation", inflation)?;
        self.to_nominal((-inflation.ln_1p()).exp_m1())
    }

    /// What this row brings more than another, moment by moment: this − other. It lasts as long as the longer one.
    ///
    /// # Errors
    /// A row that gets too long.
    pub fn less(&self, other: &Self) -> Result<Self, Fault> {
        let taken = other.rows.iter().map(|&(moment, amount)| (moment, -amount));
        Self::checked(self.rows.iter().copied().chain(taken).collect(), self.years.max(other.years))
    }

    /// The row several times over, each as soon as the one before has ended: equal replacement of what wears out, so
    /// that lives of different length meet at a common end.
    ///
    /// # Errors
    /// No repetition at all, a row of no length, more than 1 000 years or 10 000 amounts.
    ///
    /// ```
    /// use finance::{Booking, Flows};
    /// let life = Flows::of_periods(-100.0, &[-5.0, -7.0], Booking::End, 1.0)?;
    /// let chain = life.repeated(2)?;
    /// assert_eq!(chain.amounts().collect::<Vec<_>>(), [-100.0, -5.0, -107.0, -5.0, -7.0]);
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn repeated(&self, times: usize) -> Result<Self, Fault> {
        let repetitions = "the number of repetitions";
        demand((1..=MOST_AMOUNTS).contains(&times), repetitions, times as f64, "from 1 to 10 000")?;
        demand_positive("the length in years", self.years)?;
        let all = self.rows.len() * times;
        demand(all <= MOST_AMOUNTS, "the number of amounts", all as f64, "10 000 at most")?;
        let moved = |life: usize| self.rows.iter().map(move |row| (row.0 + life as f64 * self.years, row.1));
        Self::checked((0..times).flat_map(moved).collect(), self.years * times as f64)
    }

    /// The equal amount at the end of each year that is worth as much as the row: present value times the capital
    /// recovery factor of its length. `rate` is per year, effective.
    ///
    /// # Errors
    /// As for [`Flows::present_value`]; a row of no length.
    pub fn equivalent_annual(&self, rate: f64) -> Result<f64, Fault> {
        crate::equivalent_annual(self.present_value(rate)?, rate, self.years)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{discount_factors, nominal_rate, present_value, real_rate};

    #[track_caller]
    fn assert_near(found: f64, expected: f64) {
        assert!((found / expected - 1.0).abs() < 1e-12, "{found} against {expected}");
    }

    fn monthly() -> Flows {
        let amounts: Vec<f64> = (0..31).map(|month| f64::from(month % 7 * 5 - 8)).collect();
        Flows::of_periods(-40.0, &amounts, Booking::Middle, 12.0).unwrap()
    }

    #[test]
    fn the_present_value_is_that_of_the_factors() {
        let amounts: Vec<f64> = monthly().amounts().skip(1).collect();
        let mut factors = vec![0.0; amounts.len()];
        for rate in [-0.9, 0.0, 0.07, 30.0] {
            discount_factors(rate, Booking::Middle, 12.0, &mut factors);
            assert_near(monthly().present_value(rate).unwrap(), present_value(-40.0, &amounts, &factors));
        }
        let profile = monthly().profile(&[0.0, 0.07]).unwrap();
        assert_eq!(profile[1], monthly().present_value(0.07).unwrap());
        assert_near(profile[0], monthly().amounts().sum());
    }

    #[test]
    fn real_and_nominal_rows_are_worth_the_same_each_at_its_rate() {
        let (real, inflation) = (0.035, 0.06);
        let nominal = nominal_rate(real, inflation);
        let in_nominal = monthly().to_nominal(inflation).unwrap();
        assert_near(in_nominal.present_value(nominal).unwrap(), monthly().present_value(real).unwrap());
        assert!(in_nominal != monthly(), "amounts of the day are others");
        for (back, amount) in in_nominal.to_real(inflation).unwrap().amounts().zip(monthly().amounts()) {
            assert!((back - amount).abs() < 1e-12);
        }
        // and so do their internal rates go with each other
        let [real, nominal] = [monthly(), in_nominal].map(|row| row.internal_rates().unwrap());
        assert!(!real.rates().is_empty() && real.rates().len() == nominal.rates().len());
        for (real, nominal) in real.rates().iter().zip(nominal.rates()) {
            assert!((real_rate(nominal.rate, inflation) - real.rate).abs() < 1e-9 * (1.0 + real.rate));
        }
    }

    #[test]
    fn a_chain_of_like_lives_has_the_annual_cost_of_one() {
        for rate in [0.0, 0.08, -0.03] {
            let one = monthly().equivalent_annual(rate).unwrap();
            for times in [2, 5, 12] {
                assert_near(monthly().repeated(times).unwrap().equivalent_annual(rate).unwrap(), one);
            }
        }
        // three lives of two years and two of three end together
        let two = Flows::of_periods(-10.0, &[-1.0; 2], Booking::End, 1.0).unwrap().repeated(3).unwrap();
        let three = Flows::of_periods(-14.0, &[-1.0; 3], Booking::End, 1.0).unwrap().repeated(2).unwrap();
        assert_eq!((two.years(), three.years()), (6.0, 6.0));
        assert_eq!(two.less(&three).unwrap().amounts().collect::<Vec<_>>(), [4.0, 0.0, -10.0, 14.0, -10.0, 0.0, 0.0]);
    }

    #[test]
    fn the_modified_rate_is_what_the_money_grows_by() {
        let row = Flows::dated(&[(0.0, -100.0), (0.5, 30.0), (1.25, -20.0), (3.0, 150.0)]).unwrap();
        let rate = row.modified_rate(0.05, 0.02).unwrap();
        let paid = 100.0 + 20.0 / 1.05f64.powf(1.25);
        let at_end = 30.0 * 1.02f64.powf(2.5) + 150.0;
        assert_near(paid * (1.0 + rate).powi(3), at_end);
        // where it is both rates, the internal one is the modified one
        let plain = Flows::dated(&[(0.0, -100.0), (2.0, 60.0), (4.0, 80.0)]).unwrap();
        let internal = plain.internal_rates().unwrap().only().unwrap();
        assert_near(plain.modified_rate(internal, internal).unwrap(), internal);
    }

    #[test]
    fn amounts_of_one_moment_are_one_amount() {
        // a fifth of a year twice over and two fifths differ in their last digit only
        let row = Flows::dated(&[(0.1 + 0.2, 5.0), (0.3, -7.0), (1.0, 3.0)]).unwrap();
        assert_eq!(row.amounts().collect::<Vec<_>>(), [-2.0, 3.0]);
        assert_eq!(row.sign_changes(), 1);
    }

    #[test]
    fn what_cannot_be_is_refused_with_what_may_be() {
        let row = monthly();
        for rate in [-1.0, -2.0, f64::NAN, f64::INFINITY] {
            assert!(row.present_value(rate).is_err());
            assert!(row.payback(rate).is_err());
            assert!(row.modified_rate(rate, 0.1).is_err() && row.modified_rate(0.1, rate).is_err());
            assert!(row.to_nominal(rate).is_err() && row.to_real(rate).is_err());
        }
        let told = row.present_value(-1.0).unwrap_err().to_string();
        assert_eq!(told, "the discount rate is -1; it must be above −1 (more than −100 % a year), finite");
        // a hair above −1 the sum over many years is not finite
        let long = Flows::dated(&[(0.0, -1.0), (900.0, 1.0)]).unwrap();
        assert!(long.present_value(-1.0 + 1e-12).is_err());
        for bad in [(f64::NAN, 1.0), (-1.0, 1.0), (1001.0, 1.0), (0.0, f64::NAN), (0.0, 1e101)] {
            assert!(Flows::dated(&[bad]).is_err(), "{bad:?}");
        }
        for periods in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e-300] {
            assert!(Flows::of_periods(0.0, &[1.0], Booking::End, periods).is_err(), "{periods}");
        }
        assert!(row.repeated(0).is_err() && row.repeated(usize::MAX / 2).is_err() && row.repeated(500).is_err());
        assert!(Flows::dated(&[(0.0, 1.0)]).unwrap().equivalent_annual(0.1).is_err());
        let paid = Flows::of_periods(-1.0, &[-1.0], Booking::End, 1.0).unwrap();
        assert!(paid.modified_rate(0.1, 0.1).is_err());
    }
}
