//! How a contract's prices move over the years.

use scenario::form::{self, PathBasis, PathPart, PathStep, PricePath};
use units::Dimension;

use crate::inputs::InputId;
use crate::reader::{Field, Reader, Spot};

/// How a contract's prices move.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PathPlan {
    /// Whether general inflation is in it already.
    pub nominal: bool,
    /// Year of the path in each month of the horizon, 0 first.
    pub year_of_month: Vec<usize>,
    /// Energy, riders, demand and fixed charges.
    pub parts: [PartPath; 4],
    /// The market on top, and which of the four parts move with it.
    pub market: Option<(MarketPlan, [bool; 4])>,
}

/// How one part moves.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum PartPath {
    /// It stays.
    #[default]
    Still,
    /// By the same share from each year to the next.
    Rise(InputId),
    /// At these levels, year by year.
    Levels(Vec<f64>),
}

/// A market that moves at random.
#[derive(Debug, Clone, PartialEq)]
pub enum MarketPlan {
    /// Independent normal steps of the price's logarithm.
    Steps {
        /// Their mean.
        drift: InputId,
        /// Their standard deviation.
        volatility: InputId,
    },
    /// Steps of the logarithm taken from a history, so many following ones at a time.
    History {
        /// The history's steps.
        steps: Vec<f64>,
        /// Steps in a block.
        block: usize,
    },
}

impl PathPlan {
    /// Years that it must say something about.
    pub fn years(&self) -> usize {
        self.year_of_month.last().map_or(0, |last| last + 1)
    }
}

/// Reads a path over months of the horizon; `first_month` is the month (1 to 12) of the first.
pub(crate) fn read(
    path: Option<&PricePath>,
    at: &Spot,
    months: usize,
    first_month: u8,
    real: bool,
    reader: &mut Reader,
) -> PathPlan {
    let Some(path) = path else { return PathPlan { year_of_month: vec![0; months], ..PathPlan::default() } };
    let begun = match path.step {
        None | Some(PathStep::Anniversary) => 0,
        Some(PathStep::January) => usize::from(first_month.max(1)) - 1,
    };
    let year_of_month: Vec<usize> = (0..months).map(|month| (begun + month) / 12).collect();
    let years = year_of_month.last().map_or(1, |last| last + 1);
    let nominal = path.basis == Some(PathBasis::Nominal);
    if nominal && real {
        let allowed = "\"beyond_inflation\" where money is real: nobody knows here how much inflation to take off";
        reader.fault(&at.member("basis"), "\"nominal\"", allowed);
    }
    let mut part = |part: &Option<form::Path>, key: &str| part_path(part.as_ref(), &at.member(key), years, reader);
    let parts = [
        part(&path.energy, "energy"),
        part(&path.riders, "riders"),
        part(&path.demand, "demand"),
        part(&path.fixed, "fixed"),
    ];
    PathPlan {
        nominal,
        year_of_month,
        parts,
        market: path.market.as_ref().and_then(|m| market(m, &at.member("market"), reader)),
    }
}

fn part_path(path: Option<&form::Path>, at: &Spot, years: usize, reader: &mut Reader) -> PartPath {
    let Some(path) = path else { return PartPath::Still };
    reader.exactly_one(at, &[("rise", path.rise.is_some()), ("levels", path.levels.is_some())]);
    if let Some(levels) = &path.levels {
        let at = at.member("levels");
        if levels.len() < years {
            let found = format!("{} levels", levels.len());
            reader.fault(&at, found, format!("a level for each of the {years} years that the horizon touches"));
        }
        for (k, level) in levels.iter().enumerate().filter(|(_, level)| !(0.0..=1e3).contains(*level)) {
            reader.fault(&at.item(k), level.to_string(), "0 to 1000 times the price as written");
        }
        return PartPath::Levels(levels.clone());
    }
    match &path.rise {
        Some(rise) => {
            PartPath::Rise(reader.figure(rise, &at.member("rise"), Field::above(Dimension::PerYear, -0.5, 1.0)))
        }
        None => PartPath::Still,
    }
}

fn market(market: &form::Market, at: &Spot, reader: &mut Reader) -> Option<(MarketPlan, [bool; 4])> {
    let given = [("yearly_steps", market.yearly_steps.is_some()), ("history", market.history.is_some())];
    reader.exactly_one(at, &given);
    let moves = market.moves.as_ref().map_or([true; 4], |parts| {
        if parts.is_empty() {
            reader.fault(&at.member("moves"), "an empty list", "parts that move, or no `moves` for all");
        }
        [PathPart::Energy, PathPart::Riders, PathPart::Demand, PathPart::Fixed].map(|part| parts.contains(&part))
    });
    if let Some(steps) = &market.yearly_steps {
        let at = at.member("yearly_steps");
        let drift = reader.figure(&steps.drift, &at.member("drift"), Field::new(Dimension::PerYear, -0.5, 0.5));
        let volatility =
            reader.figure(&steps.volatility, &at.member("volatility"), Field::new(Dimension::PerYear, 0.0, 1.0));
        return Some((MarketPlan::Steps { drift, volatility }, moves));
    }
    let history = market.history.as_ref()?;
    let at = at.member("history");
    let prices = &history.prices.0.prices;
    let prices_at = at.member("prices").member("prices");
    if prices.len() < 3 || prices.len() > 10_000 {
        reader.fault(&prices_at, format!("{} prices", prices.len()), "3 to 10 000 years in a row");
        return None;
    }
    if let Some(k) = prices.iter().position(|price| !(*price > 0.0 && *price < 1e12)) {
        reader.fault(&prices_at.item(k), prices[k].to_string(), "more than 0 and less than 1e12");
        return None;
    }
    let steps: Vec<f64> = prices.windows(2).map(|pair| (pair[1] / pair[0]).ln()).collect();
    let block = history.block_years.unwrap_or(3);
    if block == 0 || block as usize > steps.len() {
        let allowed = format!("1 to {} years, the steps of the history", steps.len());
        reader.fault(&at.member("block_years"), format!("{block} years"), allowed);
        return None;
    }
    Some((MarketPlan::History { steps, block: block as usize }, moves))
}
