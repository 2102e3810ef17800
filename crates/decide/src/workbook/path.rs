//! The base path: every input at its median, a mean over the luck of lamps and market; how much of what is paid for in each
//! month, and whether cost is a straight line of prices.
//!
//! Belongs here: moving prices, slopes, and the proof that they explain the cost. Does not belong here: bills line by line.
//!
//! Given what was lived, a cost is a sum of quantities times prices. The quantity that goes with a price is how much the cost
//! rises when the price rises by 1; it is found by pricing the same lives with that price moved. What could bend the line is
//! the least that a bill comes to, max(counted, minimum): it is convex in prices, so where it lies on its tangent at both
//! ends (counted prices low with a high minimum, and the other way round) it lies there in between.

use std::sync::atomic::AtomicBool;

use engine::{Progress, Scope, Seen, Settings, revisit};
use plan::{InputId, Plan};

use crate::cash::{LINES, as_written};

/// Trials over whose luck the base path is a mean, at most.
const MOST_TRIALS: u64 = 512;
/// Numbers that trials may take, and that those of one visit may take, 8 bytes each.
const MOST_NUMBERS: u64 = 10_000_000;
const AT_ONCE: u64 = 8_000_000;
/// Within this share of what is turned over, cost lies on the line.
const STRAIGHT: f64 = 1e-9;
/// Below this share of the cost, a slope is rounding.
const DUST: f64 = 1e-11;
/// How far prices of a contract with a minimum are moved, from the widest: factors down and up.
const RANGES: [(f64, f64); 3] = [(0.5, 2.0), (0.8, 1.25), (0.95, 1.05)];

/// Amounts by month and line.
type Months = Vec<[f64; LINES]>;

/// Over which range prices of the contract are live.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Held {
    /// At every price.
    Always,
    /// Between these factors of the prices.
    Between(f64, f64),
    /// Not at all.
    Nowhere,
}

/// What was found.
pub(super) struct Found {
    /// Trials lived.
    pub trials: u64,
    /// Photons by option and month, mol.
    pub moles: Vec<Vec<f64>>,
    /// Cost as priced, by option.
    pub priced: Vec<Months>,
    /// Live prices, each with how much is bought at it, by option: nothing at some of the contract's.
    pub prices: Vec<(InputId, Vec<Months>)>,
    /// Other prices at which no option buys anything.
    pub idle: Vec<InputId>,
    /// What prices do not explain, by option.
    pub rest: Vec<Months>,
    pub held: Held,
    /// Whether lines of the contract's bills are rounded.
    pub rounded: bool,
}

impl Found {
    /// Whether any option pays for a cause.
    pub fn is_used(&self, line: usize) -> bool {
        let pays = |months: &Months| months.iter().any(|month| month[line] != 0.0);
        self.priced.iter().any(pays)
            || self.rest.iter().any(pays)
            || self.prices.iter().any(|(_, options)| options.iter().any(pays))
    }
}

/// A price moved to a share of itself; a price of 0 is moved as if it were 1.
pub(super) fn moved(price: f64, factor: f64) -> f64 {
    price + (factor - 1.0) * if price == 0.0 { 1.0 } else { price.abs() }
}

/// What a point of prices came to, by option.
type Priced = Vec<Months>;

/// Lives the base path and takes it apart.
///
/// # Errors
/// A message when it was interrupted before two trials.
pub(super) fn find(
    plan: &Plan,
    contract: usize,
    settings: &Settings,
    stop: &AtomicBool,
    tell: &mut dyn FnMut(Progress),
) -> Result<Found, String> {
    let per_trial = (plan.options.len() * (plan.months() + 1) * (LINES + 1)) as u64;
    let trials = settings.trials.min(MOST_TRIALS).min(MOST_NUMBERS / per_trial).max(2);
    let rounded = plan.contracts[contract].sheet.rounded;
    let mut plain = plan.clone();
    plain.contracts[contract].sheet.rounded = false;
    let mut walk = Walk { plan: &plain, contract, per_trial, settings: Settings { trials, ..*settings }, stop };
    let (base, moles, lived) = walk.base(tell)?;
    walk.settings.trials = lived;
    let candidates = candidates(plan, contract);
    let slopes = walk.slopes(&candidates, &base, tell);
    // a price of the contract stays in sight though no light is billed at it; others that buy nothing are of no use here
    let buys = |slope: &Priced| slope.iter().flatten().flatten().any(|quantity| *quantity != 0.0);
    let (mut prices, idle): (Vec<_>, Vec<_>) =
        candidates.into_iter().zip(slopes).partition(|(id, slope)| plan.contract_of(*id).is_some() || buys(slope));
    let idle = idle.into_iter().map(|(id, _)| id).collect();
    let held = walk.held(&prices, &base, tell);
    if held == Held::Nowhere {
        prices.retain(|(id, _)| plan.contract_of(*id).is_none());
    }
    let priced = if rounded { Walk { plan, ..walk }.base(tell)?.0 } else { base };
    let medians = plan.inputs.medians();
    let at: Vec<(InputId, f64)> = prices.iter().map(|(id, _)| (*id, medians[id.index()])).collect();
    let rest = (0..plan.options.len()).map(|option| rest(&prices, &at, option, &priced[option])).collect();
    Ok(Found { trials: lived, moles, priced, prices, idle, rest, held, rounded })
}

/// Inputs that are prices: so much of the currency for something, and nothing that is lived depends on it.
fn candidates(plan: &Plan, contract: usize) -> Vec<InputId> {
    let per = format!("{}/", plan.currency);
    let is_price = |id: &InputId| {
        let input = plan.inputs.at(*id);
        (input.unit == plan.currency || input.unit.starts_with(&per))
            && !input.is_handle
            && plan.only_prices(*id)
            && plan.contract_of(*id).is_none_or(|of| of == contract)
    };
    plan.input_ids().filter(is_price).collect()
}

/// What prices at some values do not explain of an option's cost; rounding of sums is 0.
fn rest(prices: &[(InputId, Vec<Months>)], at: &[(InputId, f64)], option: usize, priced: &Months) -> Months {
    let mut rest = priced.clone();
    for (month, row) in rest.iter_mut().enumerate() {
        for (line, left) in row.iter_mut().enumerate() {
            let mut turned = left.abs();
            for ((_, slope), (_, price)) in prices.iter().zip(at) {
                let amount = slope[option][month][line] * price;
                *left -= amount;
                turned += amount.abs();
            }
            if left.abs() <= STRAIGHT * turned {
                *left = 0.0;
            }
        }
    }
    rest
}

/// One walk through the base path at points of prices.
#[derive(Clone)]
struct Walk<'a> {
    plan: &'a Plan,
    contract: usize,
    per_trial: u64,
    settings: Settings,
    stop: &'a AtomicBool,
}

impl Walk<'_> {
    /// Nothing moved: cost, photons and the number of trials.
    fn base(&self, tell: &mut dyn FnMut(Progress)) -> Result<(Priced, Vec<Vec<f64>>, u64), String> {
        let (mut priced, moles, lived) = self.visit(&[vec![]], self.stop, tell);
        match priced.pop() {
            Some(base) if lived >= 2 => Ok((base, moles, lived)),
            _ => Err("interrupted before two trials of the base path were lived: nothing is written".into()),
        }
    }

    /// Means over trials at each point, where a point is a list of inputs with their values: cost by point and option, photons
    /// by option at the first point, and the number of trials.
    fn visit(
        &self,
        points: &[Vec<(InputId, f64)>],
        stop: &AtomicBool,
        tell: &mut dyn FnMut(Progress),
    ) -> (Vec<Priced>, Vec<Vec<f64>>, u64) {
        let (plan, settings) = (self.plan, &self.settings);
        let options: Vec<usize> = (0..plan.options.len()).collect();
        let scope = Scope { options: &options, contracts: &[self.contract], points: points.len(), months: true };
        let medians = plan.inputs.medians();
        let shift = |_: u64, point: usize, values: &mut [f64]| {
            values.copy_from_slice(&medians);
            points[point].iter().for_each(|(id, value)| values[id.index()] = *value);
            settings.seed
        };
        let look = |seen: Seen| {
            let moles = if seen.point == 0 { seen.ledger.moles.clone() } else { vec![] };
            (as_written(plan, &seen), moles)
        };
        let trials = revisit(plan, scope, settings, stop, tell, shift, look);
        let mut priced = vec![vec![vec![[0.0; LINES]; plan.months() + 1]; options.len()]; points.len()];
        let mut moles = vec![vec![0.0; plan.months()]; options.len()];
        let share = 1.0 / trials.len().max(1) as f64;
        for noted in &trials {
            for (place, (months, lit)) in noted.iter().enumerate() {
                let (point, option) = (place / options.len(), place % options.len());
                for (sum, month) in priced[point][option].iter_mut().zip(months) {
                    sum.iter_mut().zip(month).for_each(|(sum, amount)| *sum += amount * share);
                }
                moles[option].iter_mut().zip(lit).for_each(|(sum, of_month)| *sum += of_month * share);
            }
        }
        (priced, moles, trials.len() as u64)
    }

    /// The same in portions that fit into memory; what has begun is finished.
    fn visit_all(&self, points: &[Vec<(InputId, f64)>], tell: &mut dyn FnMut(Progress)) -> Vec<Priced> {
        let portion = (AT_ONCE / (self.per_trial * self.settings.trials)).max(1) as usize;
        let never = AtomicBool::new(false);
        points.chunks(portion).flat_map(|points| self.visit(points, &never, tell).0).collect()
    }

    /// By how much cost rises when a price rises by 1, for each price by option.
    fn slopes(&self, prices: &[InputId], base: &Priced, tell: &mut dyn FnMut(Progress)) -> Vec<Priced> {
        let medians = self.plan.inputs.medians();
        let points: Vec<Vec<(InputId, f64)>> =
            prices.iter().map(|&id| vec![(id, moved(medians[id.index()], 2.0))]).collect();
        let mut slopes = self.visit_all(&points, tell);
        for (&id, slope) in prices.iter().zip(&mut slopes) {
            let step = moved(medians[id.index()], 2.0) - medians[id.index()];
            let pairs = slope.iter_mut().flatten().flatten().zip(base.iter().flatten().flatten());
            for (there, here) in pairs {
                let rise = *there - here;
                *there = if rise.abs() <= DUST * (there.abs() + here.abs()) { 0.0 } else { rise / step };
            }
        }
        slopes
    }

    /// Over which range cost is the sum of quantities times prices.
    fn held(&self, prices: &[(InputId, Vec<Months>)], base: &Priced, tell: &mut dyn FnMut(Progress)) -> Held {
        let sheet = &self.plan.contracts[self.contract].sheet;
        let minimum = sheet.minimum.as_ref().map(|minimum| self.plan.contracts[self.contract].prices[minimum.price.0]);
        let ranges = if minimum.is_some() { &RANGES[..] } else { &RANGES[..1] };
        for &(low, high) in ranges {
            let mixed = |(k, id): (usize, &InputId)| if k % 2 == 0 { (*id, low) } else { (*id, high) };
            let ids: Vec<InputId> = prices.iter().map(|(id, _)| *id).collect();
            let all = |factor: f64, of_minimum: f64| -> Vec<(InputId, f64)> {
                ids.iter().map(|&id| (id, if Some(id) == minimum { of_minimum } else { factor })).collect()
            };
            let factors = [
                all(low, high),
                all(high, low),
                all(low, low),
                all(high, high),
                ids.iter().enumerate().map(mixed).collect(),
            ];
            if self.is_straight(&factors, prices, base, tell) {
                return if minimum.is_some() { Held::Between(low, high) } else { Held::Always };
            }
        }
        Held::Nowhere
    }

    fn is_straight(
        &self,
        factors: &[Vec<(InputId, f64)>],
        prices: &[(InputId, Vec<Months>)],
        base: &Priced,
        tell: &mut dyn FnMut(Progress),
    ) -> bool {
        let medians = self.plan.inputs.medians();
        let point = |factors: &Vec<(InputId, f64)>| -> Vec<(InputId, f64)> {
            factors.iter().map(|&(id, factor)| (id, moved(medians[id.index()], factor))).collect()
        };
        let points: Vec<Vec<(InputId, f64)>> = factors.iter().map(point).collect();
        let here: Vec<(InputId, f64)> = prices.iter().map(|(id, _)| (*id, medians[id.index()])).collect();
        let seen = self.visit_all(&points, tell);
        (0..self.plan.options.len()).all(|option| {
            let rest_here = rest(prices, &here, option, &base[option]);
            seen.iter().zip(&points).all(|(priced, point)| {
                let rest_there = rest(prices, point, option, &priced[option]);
                let pairs = rest_here.iter().flatten().zip(rest_there.iter().flatten());
                let turned = priced[option].iter().flatten().zip(base[option].iter().flatten());
                pairs.zip(turned).all(|((a, b), (c, d))| (a - b).abs() <= 10.0 * STRAIGHT * (c.abs() + d.abs() + 1.0))
            })
        })
    }
}
