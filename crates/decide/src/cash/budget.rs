//! What money has to be there for: percentiles of years, of the whole, and the worst month.
//!
//! Belongs here: undiscounted cash over trials. Does not belong here: present values.

use super::Note;
use super::flows::{LINES, WORTH};
use crate::cash_report::{Budget, Lives, Month};
use crate::result::{Estimate, Spread};
use crate::spread::{Sorted, mean, spread};

/// Cash of a month: all lines, but for a worth that is only reckoned.
pub(super) fn cash(month: &[f64; LINES], lives: Lives) -> f64 {
    match lives {
        Lives::Horizon => month.iter().sum(),
        Lives::Residual | Lives::Annual => month[..WORTH].iter().sum(),
    }
}

pub(super) fn budget(notes: &[&Note], lives: Lives, dates: &[String]) -> Budget {
    let of = |span: std::ops::Range<usize>| -> Vec<f64> {
        notes.iter().map(|note| note.months[span.clone()].iter().map(|month| cash(month, lives)).sum()).collect()
    };
    let months = notes.first().map_or(0, |note| note.months.len());
    let starts = std::iter::once(0..1).chain((1..months).step_by(12).map(|from| from..(from + 12).min(months)));
    let years: Vec<Spread> = starts.map(|span| spread(of(span))).collect();
    let total = spread(of(0..months));
    let worst = (1..months).map(|month| (month, mean(&of(month..month + 1)).0));
    let worst = worst.reduce(|worst, next| if next.1.value > worst.1.value { next } else { worst });
    let (month, worst) = worst.unwrap_or((0, Estimate::default()));
    Budget {
        sum_of_p80: years.iter().map(|year| year.p80.value).sum(),
        contingency: Estimate { value: total.p80.value - total.mean.value, se: total.p80.se },
        worst_month: Month {
            date: dates.get(month).cloned().unwrap_or_default(),
            mean: worst,
            p90: Sorted::new(of(month..month + 1)).estimate(0.9),
        },
        years,
        total,
    }
}
