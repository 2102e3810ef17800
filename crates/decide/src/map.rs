//! Who wins where, over two inputs.
//!
//! Belongs here: which places must be lived or priced, and what lies between them. Does not belong here: living and pricing
//! (`turn`), names of inputs (`axis`).
//!
//! Where the cost of every option is linear in an input, trial by trial, two values of it say all: the cost in between is
//! exact. A third value is priced too, and held against the straight line; where it lies off, every value is priced.

use std::sync::atomic::Ordering;

use engine::{Progress, Seen, Settings};

use crate::axis::{Axis, Turns};
use crate::breakeven::cost;
use crate::map_report::{MAP_FORMAT, MapAxis, MapCell, MapReport, Measure};
use crate::race::{ROUNDING, leads};
use crate::result::{Ended, Estimate};
use crate::service::service;
use crate::spread::mean;
use crate::turn::{Looking, World};

/// Trials that try whether cost is linear.
const TRIED: u64 = 24;
/// A cost this close to the straight line, as a share of it, is on it.
const STRAIGHT: f64 = 1e-9;
/// Draws that show where the scenario stands.
const HERE: u64 = 200;

/// What is asked.
#[derive(Debug, Clone)]
pub struct MapOrder {
    /// Indices of the options that compete.
    pub options: Vec<usize>,
    /// Index of the contract.
    pub contract: usize,
    /// The input to the right as typed, and the values from and to.
    pub x: (String, Option<f64>, Option<f64>),
    /// The input upwards.
    pub y: (String, Option<f64>, Option<f64>),
    /// Cells in each direction; absent: 60, or fewer where every one must be lived.
    pub steps: Option<usize>,
    /// What is compared.
    pub measure: Measure,
}

/// Values of an axis that are priced: all of its cells, or two ends and a value between them to hold against the line.
struct Nodes {
    values: Vec<f64>,
    straight: bool,
}

/// Draws the map. `tell` hears of progress.
///
/// # Errors
/// A message when an input does not exist, has no such range or is the same twice.
pub fn map(
    world: &World,
    order: &MapOrder,
    program: &str,
    tell: &mut dyn FnMut(Progress),
) -> Result<MapReport, String> {
    let plan = world.plan;
    let read = |(typed, from, to): &(String, Option<f64>, Option<f64>)| Axis::find(world, typed)?.over(*from, *to);
    let (x, y) = (read(&order.x)?, read(&order.y)?);
    if x.turns == y.turns {
        return Err(format!("both sides of the map are {}: name two inputs", x.name));
    }
    let straight = [is_straight(world, order, [&x, &y], 0)?, is_straight(world, order, [&x, &y], 1)?];
    let usual = if straight == [false, false] { 24 } else { 60 };
    let steps = order.steps.unwrap_or(usual);
    let (xs, ys) = (x.values(steps), y.values(steps));
    let field = Field { world, order, axes: [&x, &y], cells: [&xs, &ys] };
    let (columns, straight) = field.columns(straight, tell)?;
    let service = service(plan, order.contract);
    let per = if order.measure == Measure::Mole { service.present_moles } else { 1.0 };
    let lived = columns.first().map_or(0, |(_, trials)| *trials);
    let names = |read: fn(&plan::OptionPlan) -> &String| -> Vec<String> {
        order.options.iter().map(|&option| read(&plan.options[option]).clone()).collect()
    };
    let interrupted = world.stop.load(Ordering::Relaxed);
    let medians = field.price(&[x.belief.1], &[y.belief.1], &mut |_| {})?;
    let stands = medians.first().filter(|_| !interrupted).map(|costs| in_money(judge(costs, order.options.len()), per));
    Ok(MapReport {
        format: MAP_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: plan.inputs.at(plan.money.discount_rate).quantile(0.5),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        contract: plan.contracts[order.contract].name.clone(),
        options: names(|option| &option.name),
        light_bases: names(|option| &option.light.basis),
        measure: order.measure,
        service_mol: service.present_moles,
        service: service.words,
        seed: world.settings.seed,
        trials: lived,
        ended: if interrupted { Ended::Interrupted } else { Ended::Trials },
        x: described(&x, &xs),
        y: described(&y, &ys),
        columns: columns
            .into_iter()
            .map(|(cells, _)| cells.into_iter().map(|cell| in_money(cell, per)).collect())
            .collect(),
        method: in_words(straight),
        here: here(world, [&x, &y]),
        stands,
        cautions: plan.cautions.clone(),
        remarks: plan.remarks.clone(),
    })
}

fn in_money(cell: MapCell, per: f64) -> MapCell {
    MapCell { lead: cell.lead * per, lead_se: cell.lead_se * per, ..cell }
}

fn described(axis: &Axis, values: &[f64]) -> MapAxis {
    MapAxis {
        name: axis.name.clone(),
        unit: axis.unit.clone(),
        belief: axis.belief,
        values: values.to_vec(),
        logarithmic: axis.is_logarithmic(),
    }
}

fn in_words(straight: [bool; 2]) -> String {
    match straight {
        [true, true] => "priced at the corners and exact between them, because cost is linear in both inputs",
        [true, false] => {
            "priced at every value of the input upwards, and exact along the other, in which cost is linear"
        }
        [false, true] => {
            "priced at every value of the input to the right, and exact along the other, in which cost is linear"
        }
        [false, false] => "priced at every point",
    }
    .into()
}

/// Where the scenario stands in the first trials.
fn here(world: &World, axes: [&Axis; 2]) -> Vec<(f64, f64)> {
    let plan = world.plan;
    let uncertain = |axis: &Axis| match axis.turns {
        Turns::Input(id) => !plan.inputs.at(id).distribution.is_certain(),
        _ => false,
    };
    let draws = if axes.iter().any(|axis| uncertain(axis)) { HERE } else { 1 };
    (0..draws)
        .map(|trial| {
            let value = |axis: &Axis| match axis.turns {
                Turns::Input(id) => plan.inputs.value(id, world.settings.seed, trial),
                _ => axis.belief.1,
            };
            (value(axes[0]), value(axes[1]))
        })
        .collect()
}

/// Whether cost is linear in one of two axes, as far as a few trials tell.
fn is_straight(world: &World, order: &MapOrder, axes: [&Axis; 2], which: usize) -> Result<bool, String> {
    let (axis, other) = (axes[which], axes[1 - which]);
    if matches!(axis.turns, Turns::Hours | Turns::Years) {
        return Ok(false);
    }
    let trials = TRIED.min(world.settings.trials);
    let few = World { settings: Settings { trials, ..world.settings }, ..*world };
    let [low, middle, high] = ends(axis);
    for fixed in [other.range.0, other.range.1] {
        let fixed = other.set(fixed);
        let places: Vec<Vec<f64>> = [low, middle, high].iter().map(|&value| vec![value, fixed]).collect();
        let costs = costs(&few, order, &[axis, other], &places, &mut |_| {})?;
        let [at_low, at_middle, at_high] = &costs[..] else { return Ok(false) };
        let share = (middle - low) / (high - low);
        if !is_on_line(at_low, at_middle, at_high, share) {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Whether the costs at a place are those on the line between two others.
fn is_on_line(low: &[f64], middle: &[f64], high: &[f64], share: f64) -> bool {
    let ends = low.iter().zip(high);
    ends.zip(middle).all(|((a, b), m)| (a + (b - a) * share - m).abs() <= STRAIGHT * a.abs().max(b.abs()))
}

/// Both ends of an axis, and a value between them that is no simple share.
fn ends(axis: &Axis) -> [f64; 3] {
    let (low, high) = axis.range;
    [low, low + 0.381_966 * (high - low), high]
}

/// Costs of every trial at one place: trial by trial, option by option.
type Costs = Vec<f64>;

/// Costs at places.
fn costs(
    world: &World,
    order: &MapOrder,
    axes: &[&Axis],
    places: &[Vec<f64>],
    tell: &mut dyn FnMut(Progress),
) -> Result<Vec<Costs>, String> {
    let looking = Looking { options: &order.options, contracts: &[order.contract] };
    let noted = world.visit(axes, places, looking, tell, |seen: &Seen| cost(order.measure, seen))?;
    Ok(noted.into_iter().map(|trials| trials.concat()).collect())
}

/// The plane that is to be filled.
struct Field<'a> {
    world: &'a World<'a>,
    order: &'a MapOrder,
    axes: [&'a Axis; 2],
    cells: [&'a [f64]; 2],
}

/// Cells of a column from below, and the trials behind them.
type Column = (Vec<MapCell>, u64);

impl Field<'_> {
    fn nodes(&self, which: usize, straight: bool) -> Nodes {
        let values = if straight { ends(self.axes[which]).to_vec() } else { self.cells[which].to_vec() };
        Nodes { values, straight }
    }

    /// All columns, and along which axes they were found by straight lines.
    fn columns(&self, straight: [bool; 2], tell: &mut dyn FnMut(Progress)) -> Result<(Vec<Column>, [bool; 2]), String> {
        let (x, y) = (self.nodes(0, straight[0]), self.nodes(1, straight[1]));
        if x.straight {
            // few columns are priced, and all cells lie between them
            let priced = self.price(&x.values, &y.values, tell)?;
            if !self.holds(&priced, &x, &y) {
                return self.columns([false, false], tell);
            }
            let all = self.cells[0].iter().map(|&value| {
                let share = (value - x.values[0]) / (x.values[2] - x.values[0]);
                self.column(&y, |node| between(&priced[node], &priced[2 * y.values.len() + node], share))
            });
            return Ok((all.collect(), straight));
        }
        let mut columns = vec![];
        for (k, &value) in self.cells[0].iter().enumerate() {
            let total = self.cells[0].len() as u64;
            let mut told = |progress: Progress| {
                tell(Progress { done: k as u64 * progress.most + progress.done, most: total * progress.most });
            };
            let priced = self.price(&[value], &y.values, &mut told)?;
            let whole = priced.len() == y.values.len() && !self.world.stop.load(Ordering::Relaxed);
            if !whole && k > 0 {
                break;
            }
            if !whole {
                return Err("stopped before the first column was done: nothing is written".into());
            }
            if !self.holds(&priced, &Nodes { values: vec![value], straight: false }, &y) {
                return self.columns([false, false], tell);
            }
            columns.push(self.column(&y, |node| priced[node].clone()));
        }
        Ok((columns, straight))
    }

    /// Costs at all pairs of values: x by x, y by y.
    fn price(&self, xs: &[f64], ys: &[f64], tell: &mut dyn FnMut(Progress)) -> Result<Vec<Costs>, String> {
        let places: Vec<Vec<f64>> = xs.iter().flat_map(|&x| ys.iter().map(move |&y| vec![x, y])).collect();
        costs(self.world, self.order, &self.axes, &places, tell)
    }

    /// Whether what was priced between two ends lies on the line between them.
    fn holds(&self, priced: &[Costs], x: &Nodes, y: &Nodes) -> bool {
        let on_line = |low: usize, middle: usize, high: usize, values: &[f64]| {
            let share = (values[1] - values[0]) / (values[2] - values[0]);
            is_on_line(&priced[low], &priced[middle], &priced[high], share)
        };
        let height = y.values.len();
        if priced.len() != x.values.len() * height {
            // an interrupted search holds no line
            return !x.straight && !y.straight;
        }
        let along_x = !x.straight || (0..height).all(|k| on_line(k, height + k, 2 * height + k, &x.values));
        let along_y =
            !y.straight || (0..x.values.len()).all(|k| on_line(k * height, k * height + 1, k * height + 2, &y.values));
        along_x && along_y
    }

    /// The cells of a column of which the costs at the nodes upwards are known.
    fn column(&self, y: &Nodes, costs: impl Fn(usize) -> Costs) -> Column {
        let options = self.order.options.len();
        let trials = |costs: &Costs| (costs.len() / options) as u64;
        if !y.straight {
            let cells: Vec<Costs> = (0..y.values.len()).map(costs).collect();
            return (cells.iter().map(|cell| judge(cell, options)).collect(), cells.first().map_or(0, trials));
        }
        let (low, high) = (costs(0), costs(2));
        let share = |value: &f64| (value - y.values[0]) / (y.values[2] - y.values[0]);
        let cells = self.cells[1].iter().map(|value| judge(&between(&low, &high, share(value)), options));
        (cells.collect(), trials(&low))
    }
}

/// Costs on the line between two places.
fn between(low: &[f64], high: &[f64], share: f64) -> Costs {
    low.iter().zip(high).map(|(a, b)| a + (b - a) * share).collect()
}

/// Winner, lead and chance from the costs of every trial.
fn judge(costs: &[f64], options: usize) -> MapCell {
    let trials = || costs.chunks_exact(options);
    let mut sums = vec![0.0; options];
    for trial in trials() {
        sums.iter_mut().zip(trial).for_each(|(sum, cost)| *sum += cost);
    }
    let mut order: Vec<usize> = (0..options).collect();
    order.sort_by(|&a, &b| sums[a].total_cmp(&sums[b]));
    let (winner, second) = (order[0], *order.get(1).unwrap_or(&order[0]));
    let of = |option: usize| -> Vec<f64> { trials().map(|trial| trial[option]).collect() };
    let leads = leads(&of(second), &of(winner));
    let Estimate { value, se } = mean(&leads).0;
    // those that cost the same but for rounding share a trial
    let share = |trial: &[f64]| {
        let beaten = |cost: f64| trial[winner] - cost > ROUNDING * cost.abs();
        if trial.iter().any(|&cost| beaten(cost)) {
            return 0.0;
        }
        1.0 / trial.iter().filter(|&&cost| cost - trial[winner] <= ROUNDING * cost.abs()).count() as f64
    };
    let chance = trials().map(share).sum::<f64>() / leads.len() as f64;
    MapCell { winner, second, lead: value, lead_se: se, chance }
}
