//! The kind of money in which amounts are shown, and the days on which they are booked.
//!
//! Belongs here: rates by Fisher's identity, dates, moments. Does not belong here: what is paid.

use finance::Booking;
use plan::Plan;

/// The kind of money that is wished for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// As the scenario is written.
    AsWritten,
    /// Money of the start month.
    Real,
    /// Money of the day it is paid.
    Nominal,
}

/// How amounts as written become amounts as shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Basis {
    /// Whether amounts are shown in nominal money.
    pub nominal: bool,
    /// Whether the scenario is written in nominal money.
    pub written_nominal: bool,
    /// Inflation as asked for, where the scenario states none.
    pub asked: Option<f64>,
}

impl Basis {
    /// Of a scenario, as wished for.
    ///
    /// # Errors
    /// A message when an inflation is missing or superfluous.
    pub fn new(plan: &Plan, shown: Shown, asked: Option<f64>) -> Result<Self, String> {
        let written_nominal = plan.money.inflation.is_some();
        let nominal = match shown {
            Shown::AsWritten => written_nominal,
            Shown::Real => false,
            Shown::Nominal => true,
        };
        let taxed = plan.money.tax.is_some() || plan.money.loan.is_some();
        match (written_nominal, nominal || taxed, asked) {
            (true, _, Some(_)) => {
                Err("--inflation: the scenario states its inflation; change that with --set /money/inflation=…".into())
            }
            (false, true, None) if nominal => Err("--basis nominal needs --inflation, such as --inflation 2%: the \
                                                   scenario's money is real and it states no inflation"
                .into()),
            (false, true, None) => Err("tax and loan need --inflation, such as --inflation 2%: depreciation and \
                                        payments stay as they are in money of the day, while the scenario's money is \
                                        real; 0% may be given"
                .into()),
            (false, false, Some(_)) => {
                Err("--inflation changes nothing here: the scenario's money is real, it is shown \
                                            as real, and there is no tax or loan; ask for --basis nominal"
                    .into())
            }
            _ => Ok(Self { nominal, written_nominal, asked }),
        }
    }

    /// Inflation per year among some values; 0 where none matters.
    pub fn inflation(&self, plan: &Plan, values: &[f64]) -> f64 {
        self.asked.or(plan.money.inflation.map(|id| values[id.index()])).unwrap_or(0.0)
    }

    /// Discount rate per year of money as shown.
    pub fn rate(&self, plan: &Plan, values: &[f64]) -> f64 {
        let (rate, inflation) = (values[plan.money.discount_rate.index()], self.inflation(plan, values));
        match (self.written_nominal, self.nominal) {
            (false, true) => finance::nominal_rate(rate, inflation),
            (true, false) => finance::real_rate(rate, inflation),
            _ => rate,
        }
    }

    /// By how much an amount as written is multiplied per year from the start, as a logarithm; 0 where it stays.
    pub fn growth(&self, inflation: f64) -> f64 {
        match (self.written_nominal, self.nominal) {
            (false, true) => inflation.ln_1p(),
            (true, false) => -inflation.ln_1p(),
            _ => 0.0,
        }
    }

    /// "real" or "nominal".
    pub fn words(nominal: bool) -> &'static str {
        if nominal { "nominal" } else { "real" }
    }
}

/// Moments of booking, years from the start: the start, then one for each month.
pub(crate) fn moments(plan: &Plan) -> Vec<f64> {
    let later = (0..plan.months()).map(|month| plan.money.booking.moment(month, 12.0));
    std::iter::once(0.0).chain(later).collect()
}

/// Days of booking: the start, then the last day of each month, or its fifteenth.
pub(crate) fn dates(plan: &Plan) -> Vec<String> {
    let first = plan.first_day;
    let of_month = |k: usize| {
        let month = i32::from(first.month()) - 1 + k as i32;
        let year = i32::from(first.year()) + month / 12;
        let (Ok(year), Ok(month)) = (i16::try_from(year), i8::try_from(month % 12 + 1)) else { return String::new() };
        let Ok(begins) = first.with().year(year).month(month).build() else { return String::new() };
        let day = match plan.money.booking {
            Booking::End => Some(begins.last_of_month()),
            Booking::Middle => begins.with().day(15).build().ok(),
        };
        day.map_or_else(String::new, |day| day.to_string())
    };
    std::iter::once(first.to_string()).chain((0..plan.months()).map(of_month)).collect()
}
