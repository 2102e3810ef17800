//! How prices move over the years of a trial.

use draws::{Distribution, Purpose, Stream};
use finance::escalation_factors;
use plan::{ContractPlan, InputId, MarketPlan, PartPath, PathPlan, Plan};
use tariff::Levels;

/// Where a trial's prices come from.
pub(crate) struct Quoted<'a> {
    /// The trial's inputs.
    pub values: &'a [f64],
    /// General price level by month.
    pub general: &'a [f64],
    /// Seed and trial of the market's luck; none for its middle course.
    pub luck: Option<(u64, u64)>,
}

/// Levels of a contract's prices in each billing period, as multiples of those on the sheet.
pub(crate) fn levels(plan: &Plan, contract: &ContractPlan, quoted: &Quoted) -> Vec<Levels> {
    let value = |id: InputId| quoted.values[id.index()];
    let mut change = vec![0.0; plan.months()];
    escalation_factors(value(contract.price_change), plan.money.booking, 12.0, &mut change);
    let path = price_levels(&contract.path, quoted);
    let level = |&month: &usize| {
        let general = if contract.path.nominal { 1.0 } else { quoted.general[month] };
        let all = general * change[month] * value(contract.price_level);
        let part = path[contract.path.year_of_month[month]];
        Levels { energy: all * part[0], riders: all * part[1], demand: all * part[2], fixed: all * part[3] }
    };
    contract.schedule.month_of.iter().map(level).collect()
}

/// Levels of a contract's prices in each year of the horizon in one trial: energy, riders, demand and fixed charges, the
/// mean over the bills that end in the year.
pub fn levels_by_year(plan: &Plan, contract: &ContractPlan, values: &[f64], seed: u64, trial: u64) -> Vec<[f64; 4]> {
    let mut general = vec![0.0; plan.months()];
    let inflation = plan.money.inflation.map_or(0.0, |id| values[id.index()]);
    escalation_factors(inflation, plan.money.booking, 12.0, &mut general);
    let quoted = Quoted { values, general: &general, luck: Some((seed, trial)) };
    let mut sums = vec![([0.0; 4], 0.0); plan.years as usize];
    for (levels, month) in levels(plan, contract, &quoted).into_iter().zip(&contract.schedule.month_of) {
        let (sum, bills) = &mut sums[month / 12];
        *bills += 1.0;
        let parts = [levels.energy, levels.riders, levels.demand, levels.fixed];
        sum.iter_mut().zip(parts).for_each(|(sum, level)| *sum += level);
    }
    sums.into_iter().map(|(sum, bills)| sum.map(|level| level / f64::max(bills, 1.0))).collect()
}

/// Levels of energy, riders, demand and fixed charges in each year of a path.
fn price_levels(path: &PathPlan, quoted: &Quoted) -> Vec<[f64; 4]> {
    let years = path.years().max(1);
    let market = path.market.as_ref().map(|(market, moves)| (market_levels(market, years, quoted), moves));
    (0..years)
        .map(|year| {
            let mut levels = [1.0; 4];
            for (part, level) in levels.iter_mut().enumerate() {
                *level = match &path.parts[part] {
                    PartPath::Still => 1.0,
                    PartPath::Rise(rise) => (1.0 + quoted.values[rise.index()]).powi(year as i32),
                    PartPath::Levels(levels) => levels[year],
                };
                if let Some((market, moves)) = &market
                    && moves[part]
                {
                    *level *= market[year];
                }
            }
            levels
        })
        .collect()
}

/// Level of a market in each year: exp of the sum of its yearly steps until then.
fn market_levels(market: &MarketPlan, years: usize, quoted: &Quoted) -> Vec<f64> {
    let luck = quoted.luck.map(|(seed, trial)| Stream::new(seed, Purpose::Market, 0, trial));
    let step = |year: usize| match (market, luck) {
        (MarketPlan::Steps { drift, .. }, None) => quoted.values[drift.index()],
        (MarketPlan::Steps { drift, volatility }, Some(luck)) => {
            let z = Distribution::Normal { mean: 0.0, sd: 1.0 }.quantile(luck.uniform(year as u64));
            quoted.values[drift.index()] + quoted.values[volatility.index()] * z
        }
        (MarketPlan::History { steps, .. }, None) => steps.iter().sum::<f64>() / steps.len() as f64,
        // blocks of following steps; the history's end is joined to its beginning
        (MarketPlan::History { steps, block }, Some(luck)) => {
            let from = (luck.uniform((year / block) as u64) * steps.len() as f64) as usize;
            steps[(from + year % block) % steps.len()]
        }
    };
    let mut log = 0.0;
    (0..years)
        .map(|year| {
            if year > 0 {
                log += step(year - 1);
            }
            f64::exp(log)
        })
        .collect()
}
