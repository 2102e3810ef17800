//! All rates at which a row of amounts is worth nothing.
//!
//! In the log-rate y = ln(1 + r), measured over the whole row, the present value is f(y) = Σ aᵢ·exp(−uᵢ·y) with moments
//! uᵢ from 0 to 1. For any c the roots of f are parted by those of the derivative of f·exp(c·y), which is the same kind
//! of sum with coefficients (c − uᵢ)·aᵢ. A c between two amounts of unlike sign takes one sign change away (that is the
//! proof of Descartes' rule), so after as many steps as there are sign changes nothing is left that could have a root.
//! From there the way leads back up: between neighbouring roots of the next level a sum times exp(c·y) is monotone,
//! hence has one root or none, and where it only touches 0 it does so at one of them. No grid is scanned, so nothing
//! slips through one. Belongs here: finding roots. Does not belong here: what a row is.

mod sum;
#[cfg(test)]
mod tests;

use crate::fault::{Fault, demand};
use sum::{Grid, Root, Sum};

/// Rates are sought from exp(−34) − 1, a hair above −1 …
const LOWEST: f64 = -34.0;

/// … to exp(700) − 1, near the largest number.
const HIGHEST: f64 = 700.0;

/// Largest product of amounts and sign changes: beyond it the search would take minutes.
const MOST_WORK: usize = 2_000_000;

/// A rate per year at which a row is worth nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InternalRate {
    /// Effective rate per year, as a share.
    pub rate: f64,
    /// Whether the net present value only touches 0 there and has the same sign on both sides.
    pub touches: bool,
}

/// The internal rates of return of a row: every rate above −1 at which its net present value is 0, effective per year.
///
/// Where there are several, none is *the* rate of return; the profile of net present values, or the modified rate,
/// tells more. Found are rates from 1.7e-15 above −1 to 1e304. Two rates so close that between them the present value
/// stays within 1e-12 of the sum of all present values' sizes are told as one that touches; so is a row that misses 0
/// by less.
///
/// ```
/// use finance::{Booking, Flows, InternalRates};
/// // −1 + 2.3/(1 + r) − 1.32/(1 + r)² = 0 at 10 % and at 20 %
/// let row = Flows::of_periods(-100.0, &[230.0, -132.0], Booking::End, 1.0)?;
/// let found = row.internal_rates()?;
/// let InternalRates::Several { rates, sign_changes: 2 } = &found else { panic!("{found:?}") };
/// assert!((rates[0].rate - 0.1).abs() < 1e-12 && (rates[1].rate - 0.2).abs() < 1e-12);
/// assert_eq!(found.only(), None);
/// // a row that only pays has none, and says why
/// let paid = Flows::of_periods(-1.0, &[-1.0], Booking::End, 1.0)?;
/// assert_eq!(paid.internal_rates()?, InternalRates::NoSignChange);
/// # Ok::<(), finance::Fault>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub enum InternalRates {
    /// All amounts that are not 0 have the same sign, or there are none: no rate can make them balance.
    NoSignChange,
    /// The sign changes, and yet the present value is 0 at no rate.
    None {
        /// How often the sign changes.
        sign_changes: usize,
    },
    /// There is exactly one.
    One {
        /// The rate.
        rate: InternalRate,
        /// How often the sign changes; more than once, and it was no matter of course that there is one only.
        sign_changes: usize,
    },
    /// There are several, none better than the others.
    Several {
        /// The rates, rising.
        rates: Vec<InternalRate>,
        /// How often the sign changes.
        sign_changes: usize,
    },
}

impl InternalRates {
    /// All rates, rising.
    pub fn rates(&self) -> &[InternalRate] {
        match self {
            Self::NoSignChange | Self::None { .. } => &[],
            Self::One { rate, .. } => std::slice::from_ref(rate),
            Self::Several { rates, .. } => rates,
        }
    }

    /// The rate, if there is exactly one.
    pub fn only(&self) -> Option<f64> {
        if let Self::One { rate, .. } = self { Some(rate.rate) } else { None }
    }

    /// How often the sign changes.
    pub fn sign_changes(&self) -> usize {
        match *self {
            Self::NoSignChange => 0,
            Self::None { sign_changes } | Self::One { sign_changes, .. } | Self::Several { sign_changes, .. } => {
                sign_changes
            }
        }
    }
}

/// All rates at which the rows (moment in years, amount), in the order of time, are worth nothing.
pub fn internal_rates(rows: &[(f64, f64)]) -> Result<InternalRates, Fault> {
    let rows: Vec<(f64, f64)> = rows.iter().copied().filter(|row| row.1 != 0.0).collect();
    let mut level: Vec<f64> = rows.iter().map(|row| row.1).collect();
    let sign_changes = changes(&level).count();
    let ([first, .., last], true) = (rows.as_slice(), sign_changes > 0) else { return Ok(InternalRates::NoSignChange) };
    let work = rows.len() * sign_changes;
    demand(work <= MOST_WORK, "the number of amounts times that of sign changes", work as f64, "2 000 000 at most")?;
    let span = last.0 - first.0;
    let moments: Vec<f64> = rows.iter().map(|row| (row.0 - first.0) / span).collect();
    let grid = Grid::of(&moments);
    let mut levels = vec![];
    loop {
        scale(&mut level);
        let middle = changes(&level).nth(changes(&level).count() / 2);
        let Some((before, after)) = middle else { break };
        let cut = (moments[before] + moments[after]) / 2.0;
        let next = level.iter().zip(&moments).map(|(a, u)| (cut - u) * a).collect();
        levels.push(std::mem::replace(&mut level, next));
    }
    let mut roots: Vec<Root> = vec![];
    for coefficients in levels.iter().rev() {
        let sum = Sum { coefficients, moments: &moments, grid: grid.as_ref() };
        let between = roots.iter().map(|root| root.at);
        let ends = [LOWEST * span, HIGHEST * span];
        let parting: Vec<f64> = [ends[0]].into_iter().chain(between).chain([ends[1]]).collect();
        roots = sum.roots(&parting, span);
    }
    let rate = |root: Root| InternalRate { rate: (root.at / span).exp_m1(), touches: root.touches };
    let rates: Vec<InternalRate> = roots.into_iter().map(rate).collect();
    Ok(match *rates.as_slice() {
        [] => InternalRates::None { sign_changes },
        [rate] => InternalRates::One { rate, sign_changes },
        _ => InternalRates::Several { rates, sign_changes },
    })
}

/// Places of neighbours of unlike sign, passing over zeros.
fn changes(amounts: &[f64]) -> impl Iterator<Item = (usize, usize)> {
    let mut last: Option<usize> = None;
    let places = amounts.iter().enumerate().filter(|(_, amount)| **amount != 0.0);
    places.filter_map(move |(place, amount)| {
        let before = last.replace(place)?;
        ((amounts[before] > 0.0) != (*amount > 0.0)).then_some((before, place))
    })
}

/// Makes the largest amount 1, so that no product leaves the range of numbers.
fn scale(amounts: &mut [f64]) {
    let largest = amounts.iter().fold(0.0f64, |largest, amount| largest.max(amount.abs()));
    amounts.iter_mut().for_each(|amount| *amount /= largest);
}
