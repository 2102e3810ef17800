//! Prices by month and hour of the day, resolved from a rate sheet, and the lights over them.

use plan::{ContractPlan, LitPlan, Plan};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use tariff::{HOLIDAY, first_fit};

/// Twelve months by twenty-four hours, weekdays and weekends apart; holidays are left out. Months that the bills do not
/// reach hold none.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Picture {
    /// Monday to Friday: January first, midnight first.
    pub weekdays: Vec<Vec<PictureCell>>,
    /// Saturday and Sunday.
    pub weekends: Vec<Vec<PictureCell>>,
}

/// One hour of the day in one month.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct PictureCell {
    /// What one more kWh costs, riders included, demand and percentages not; the mean over the hour and the month's days.
    /// Currency per kWh; nothing when the bills do not reach the month.
    pub price: Option<f64>,
    /// Share of the hour in which lights burn, mean over the month's days.
    pub lit: f64,
}

/// Quarters of a day: fine enough to show an edge inside an hour as a price between two.
const QUARTERS: usize = 96;

/// Draws up the picture of the first billing periods. `more` is the price of one more kWh in a period under a rule.
pub(crate) fn picture(
    plan: &Plan,
    contract: &ContractPlan,
    lights: &LitPlan,
    prices: &[f64],
    periods: usize,
    more: impl Fn(usize, usize) -> f64,
) -> Picture {
    let sheet = &contract.sheet;
    let schedule = &contract.schedule;
    let end = schedule.bounds[periods];
    // sums by kind of day, month and hour: price, light, and how many quarters
    let mut sums = vec![[(0.0, 0.0, 0.0); 24]; 24];
    let mut next_step = 0;
    for run in plan.days.runs.iter().filter(|run| run.t < end) {
        let date = plan.days.dates[run.day];
        let day = sheet.year.day(date);
        if day.kinds & HOLIDAY != 0 {
            continue;
        }
        let weekend = usize::from(date.weekday().to_monday_zero_offset() >= 5);
        let period = schedule.period_at(run.t);
        for quarter in 0..QUARTERS {
            let second = quarter as i64 * 900;
            if second < run.from || second >= run.to {
                continue;
            }
            let t = run.t + (second - run.from);
            let rule = first_fit(&sheet.energy, day, (second / 60) as u16).unwrap_or(0);
            while lights.steps.get(next_step + 1).is_some_and(|step| step.t <= t) {
                next_step += 1;
            }
            let sum = &mut sums[weekend * 12 + usize::from(day.month) - 1][quarter / 4];
            sum.0 += more(period, rule) + riders(contract, prices, day.month);
            sum.1 += f64::from(u8::from(lights.steps[next_step].lights > 0.0));
            sum.2 += 1.0;
        }
    }
    let cells = |rows: &[[(f64, f64, f64); 24]]| {
        let cell = |&(price, lit, n): &(f64, f64, f64)| {
            if n > 0.0 { PictureCell { price: Some(price / n), lit: lit / n } } else { PictureCell::default() }
        };
        rows.iter().map(|row| row.iter().map(cell).collect()).collect()
    };
    Picture { weekdays: cells(&sums[..12]), weekends: cells(&sums[12..]) }
}

fn riders(contract: &ContractPlan, prices: &[f64], month: u8) -> f64 {
    contract.sheet.riders.iter().map(|rider| prices[rider.price_in(month).0]).sum()
}
