//! Running sums of a row: payback, the deepest need of cash.
//!
//! Belongs here: sums in the order of time. Does not belong here: present values as a whole (`flows`).

use crate::fault::{Fault, demand_rate};
use crate::flows::Flows;

/// A running sum counts as below 0 only by more than this share of all that has been turned over: rounding is no debt.
const ROUNDING: f64 = 1e-12;

/// A sum or an amount with its place in the row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Place in [`Flows::rows`]; of a row of periods 0 is the start and k the k-th period.
    pub place: usize,
    /// Moment, years from the start.
    pub moment: f64,
    /// The amount or sum.
    pub amount: f64,
}

/// When a running sum gets to 0 from below, told in two ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Moment of the amount that does it, years from the start.
    pub booked: f64,
    /// Moment in years if the sum changed evenly between the amount before and this one, as textbooks have it.
    pub interpolated: f64,
}

/// When a row has paid for itself.
///
/// Payback is to be reported, never to decide: it is blind to all that comes later.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Payback {
    /// When the running sum is 0 or more for the first time; none if never. 0 where nothing is spent at the start.
    pub first: Option<Crossing>,
    /// From when on the running sum stays at 0 or more, to the row's end; none if it ends below 0.
    pub lasting: Option<Crossing>,
}

impl Flows {
    /// Running sums of the amounts discounted at a rate, with their moments, each with whether it is below 0 by more
    /// than rounding.
    fn running(&self, rate: f64) -> Vec<(f64, f64, bool)> {
        let log = rate.ln_1p();
        let (mut sum, mut turned) = (0.0, 0.0);
        let step = |&(moment, amount): &(f64, f64)| {
            let worth = if amount == 0.0 { 0.0 } else { amount * (-moment * log).exp() };
            sum += worth;
            turned += worth.abs();
            (moment, sum, !(sum >= -ROUNDING * turned))
        };
        self.rows().iter().map(step).collect()
    }

    /// When the row has paid for itself, its amounts discounted at a rate per year: simple payback at 0, discounted
    /// payback (ASTM E1121, from memory) otherwise.
    ///
    /// # Errors
    /// A rate that is not above −1.
    ///
    /// ```
    /// use finance::{Booking, Flows};
    /// // paid back after two years; the repair in year 3 takes it below 0 once more
    /// let row = Flows::of_periods(-100.0, &[60.0, 60.0, -50.0, 60.0], Booking::End, 1.0)?;
    /// let payback = row.payback(0.0)?;
    /// let [first, lasting] = [payback.first, payback.lasting].map(Option::unwrap);
    /// assert_eq!((first.booked, lasting.booked), (2.0, 4.0));
    /// assert!((first.interpolated - (1.0 + 40.0 / 60.0)).abs() < 1e-12);
    /// assert!((lasting.interpolated - 3.5).abs() < 1e-12);
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn payback(&self, rate: f64) -> Result<Payback, Fault> {
        demand_rate("the discount rate", rate)?;
        let sums = self.running(rate);
        let crossing = |place: usize| {
            let (moment, sum, _) = sums[place];
            let interpolated = match place.checked_sub(1).map(|before| sums[before]) {
                Some((before, debt, true)) => before + (moment - before) * (-debt / (sum - debt)).min(1.0),
                _ => moment,
            };
            Crossing { booked: moment, interpolated }
        };
        let lasting = sums.iter().rposition(|sum| sum.2).map_or(0, |last_below| last_below + 1);
        Ok(Payback {
            first: sums.iter().position(|sum| !sum.2).map(crossing),
            lasting: (lasting < sums.len()).then(|| crossing(lasting)),
        })
    }

    /// The lowest running sum, undiscounted: below 0 it is the most cash that the row ever needs. The first of equal
    /// ones; none for an empty row.
    ///
    /// ```
    /// use finance::{Booking, Flows};
    /// let row = Flows::of_periods(-10.0, &[4.0, -9.0, 20.0], Booking::End, 1.0)?;
    /// let need = row.deepest().unwrap();
    /// assert_eq!((need.place, need.amount), (2, -15.0));
    /// # Ok::<(), finance::Fault>(())
    /// ```
    pub fn deepest(&self) -> Option<Point> {
        let sums = self.running(0.0);
        lowest(sums.iter().map(|&(moment, sum, _)| (moment, sum)))
    }

    /// The lowest single amount: the worst period. The first of equal ones; none for an empty row.
    pub fn worst(&self) -> Option<Point> {
        lowest(self.rows().iter().copied())
    }
}

/// The first of the lowest.
fn lowest(of: impl Iterator<Item = (f64, f64)>) -> Option<Point> {
    of.enumerate()
        .map(|(place, (moment, amount))| Point { place, moment, amount })
        .reduce(|best, next| if next.amount < best.amount { next } else { best })
}

#[cfg(test)]
mod tests {
    use crate::{Booking, Flows};

    #[test]
    fn a_row_may_never_or_not_lastingly_pay_for_itself() {
        let yearly = |amounts: &[f64]| Flows::of_periods(amounts[0], &amounts[1..], Booking::End, 1.0).unwrap();
        let never = yearly(&[-10.0, 4.0, 5.0]).payback(0.0).unwrap();
        assert_eq!((never.first, never.lasting), (None, None));
        let lost = yearly(&[-10.0, 12.0, -5.0, 2.0]).payback(0.0).unwrap();
        assert_eq!((lost.first.unwrap().booked, lost.lasting), (1.0, None));
        let nothing_spent = yearly(&[0.0, 1.0]).payback(0.1).unwrap();
        assert_eq!(nothing_spent.first.map(|at| (at.booked, at.interpolated)), Some((0.0, 0.0)));
        let nothing_at_all = Flows::dated(&[]).unwrap();
        assert_eq!(nothing_at_all.payback(0.0).unwrap().first, None);
        assert_eq!((nothing_at_all.deepest(), nothing_at_all.worst()), (None, None));
        // ten tenths are one, whatever rounding makes of their sum
        let tenths = Flows::of_periods(-1.0, &[0.1; 10], Booking::End, 12.0).unwrap().payback(0.0).unwrap();
        let first = tenths.first.unwrap();
        assert_eq!((first.booked, tenths.lasting), (10.0 / 12.0, Some(first)));
        assert!((first.interpolated - 10.0 / 12.0).abs() < 1e-12);
    }

    #[test]
    fn the_deepest_need_is_a_sum_and_the_worst_period_an_amount() {
        let row = Flows::of_periods(-3.0, &[-4.0, 6.0, -5.0, -1.0, 9.0], Booking::Middle, 4.0).unwrap();
        let need = row.deepest().unwrap();
        // sums −3, −7, −1, −6, −7, 2: the first of the two
        assert_eq!((need.place, need.moment, need.amount), (1, 0.125, -7.0));
        let worst = row.worst().unwrap();
        assert_eq!((worst.place, worst.moment, worst.amount), (3, 0.625, -5.0));
    }
}
