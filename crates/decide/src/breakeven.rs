//! Where two options tie: the value of an input at which they cost the same on average, on the same luck.
//!
//! Belongs here: the search for changes of sign and its brackets. Does not belong here: living and pricing (`turn`), names of
//! inputs (`axis`).

use std::sync::atomic::Ordering;

use engine::{Progress, Seen};
use plan::Plan;

use crate::axis::{Axis, Turns};
use crate::breakeven_report::{BREAKEVEN_FORMAT, BreakevenContract, BreakevenInput, BreakevenReport, Measure, Tie};
use crate::race::{leads, race};
use crate::result::{Ended, Estimate};
use crate::service::service;
use crate::spread::mean;
use crate::turn::{Looking, World};

/// Values at which the leads are looked at first: of prices, of lives, of settings.
const FIRST: (usize, usize, usize) = (5, 13, 21);
/// A bracket is closed when it is narrower than this share of its value.
const CLOSED: f64 = 1e-6;
/// Rounds in which brackets are narrowed, at most.
const ROUNDS: usize = 40;
/// Share of a belief that may lie beyond what was searched.
const BEYOND: f64 = 0.02;
/// Two values on either side of the expected tie, as a share of the bracket.
const BESIDE: f64 = 0.02;

/// What is asked.
#[derive(Debug, Clone)]
pub struct BreakevenOrder {
    /// Index of the option whose lead is told.
    pub a: usize,
    /// Index of the option that it is compared with.
    pub b: usize,
    /// Indices of the contracts.
    pub contracts: Vec<usize>,
    /// Names of inputs as typed, each with the values to search from and to.
    pub inputs: Vec<(String, Option<f64>, Option<f64>)>,
    /// What is compared.
    pub measure: Measure,
}

/// Cost of an option by a measure.
pub(crate) fn cost(measure: Measure, seen: &Seen) -> f64 {
    match measure {
        Measure::Mole => seen.priced.levelized(),
        Measure::Room => seen.priced.present.iter().sum(),
    }
}

/// Searches for ties. After an interruption inputs that were not finished are left out.
///
/// # Errors
/// A message when an input does not exist, has no such range or does not matter, or when both options are one.
pub fn breakeven(
    world: &World,
    order: &BreakevenOrder,
    program: &str,
    tell: &mut dyn FnMut(Progress),
) -> Result<BreakevenReport, String> {
    let plan = world.plan;
    let (a, b) = (&plan.options[order.a], &plan.options[order.b]);
    if order.a == order.b {
        return Err(format!("{} ties with itself at every value: name two options", a.name));
    }
    let mut axes = vec![];
    for (typed, from, to) in &order.inputs {
        axes.push(Axis::find(world, typed)?.over(*from, *to)?);
    }
    let mut remarks = plan.remarks.clone();
    let mut inputs = vec![];
    let mut trials = 0;
    for axis in &axes {
        let mut search = Search { world, order, axis, curve: vec![], lived: 0 };
        let found = search.input(tell, &mut remarks)?;
        trials = search.lived;
        if world.stop.load(Ordering::Relaxed) {
            break;
        }
        inputs.extend(found);
    }
    let service = service(plan, order.contracts[0]);
    Ok(BreakevenReport {
        format: BREAKEVEN_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: plan.inputs.at(plan.money.discount_rate).quantile(0.5),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        a: a.name.clone(),
        a_light: a.light.basis.clone(),
        b: b.name.clone(),
        b_light: b.light.basis.clone(),
        places: Some((order.a, order.b)),
        measure: order.measure,
        service_mol: service.present_moles,
        service: service.words,
        seed: world.settings.seed,
        trials,
        ended: if world.stop.load(Ordering::Relaxed) { Ended::Interrupted } else { Ended::Trials },
        inputs,
        cautions: plan.cautions.clone(),
        remarks,
    })
}

/// A value and the lead there under each contract.
type Point = (f64, Vec<Estimate>);

struct Search<'a> {
    world: &'a World<'a>,
    order: &'a BreakevenOrder,
    axis: &'a Axis,
    /// Rising in the value.
    curve: Vec<Point>,
    /// Trials lived at the last value.
    lived: u64,
}

/// A change of sign under one contract: positions in the first curve.
struct Change {
    contract: usize,
    low: (f64, f64),
    high: (f64, f64),
    /// Whether the first option is cheaper below.
    a_below: bool,
    /// Slope of the lead over the values first looked at.
    slope: f64,
}

impl Search<'_> {
    fn input(
        &mut self,
        tell: &mut dyn FnMut(Progress),
        remarks: &mut Vec<String>,
    ) -> Result<Option<BreakevenInput>, String> {
        let Self { world, order, axis, .. } = *self;
        let plan = world.plan;
        let first = match axis.turns {
            Turns::Input(id) if plan.only_prices(id) => FIRST.0,
            Turns::Electricity => FIRST.0,
            Turns::Input(_) => FIRST.1,
            Turns::Hours => FIRST.2,
            Turns::Years => (axis.range.1 - axis.range.0) as usize + 1,
        };
        self.look(axis.values(first), tell)?;
        let matters: Vec<bool> = (0..order.contracts.len()).map(|c| self.matters(c)).collect();
        if !matters.contains(&true) {
            let why = self.does_not_matter(plan);
            if order.inputs.len() == 1 {
                return Err(why);
            }
            remarks.push(why);
            return Ok(None);
        }
        let curve: Vec<Point> = self.curve.clone();
        let mut changes: Vec<Change> = vec![];
        for (contract, _) in matters.iter().enumerate().filter(|(_, matters)| **matters) {
            changes.extend(changes_of(&curve, contract));
        }
        self.narrow(&mut changes, tell)?;
        let mut ties: Vec<(usize, Tie)> = vec![];
        for change in &changes {
            ties.push((change.contract, self.tie(change, tell)?));
        }
        let now = self.leads_at(&[], &[vec![]], tell)?;
        let mut contracts = vec![];
        for (c, &contract) in order.contracts.iter().enumerate() {
            let name = plan.contracts[contract].name.clone();
            if !matters[c] {
                remarks.push(format!("{} does not matter under {name}: its line is left out", axis.name));
                continue;
            }
            let (of_a, of_b) = &now[0][c];
            let race = race(0, of_a, 1, of_b);
            let ties: Vec<Tie> = ties.iter().filter(|(of, _)| *of == c).map(|(_, tie)| tie.clone()).collect();
            let curve: Vec<(f64, Estimate)> = curve.iter().map(|(x, leads)| (*x, leads[c])).collect();
            contracts.push(BreakevenContract {
                contract: name,
                lead_now: race.lead,
                chance_a_now: race.chance_a_cheaper.value,
                belief_for_a: self.belief_for_a(&ties, &curve),
                ties,
                curve,
            });
        }
        Ok(Some(BreakevenInput {
            name: axis.name.clone(),
            unit: axis.unit.clone(),
            belief: axis.belief,
            grade: axis.grade.into(),
            searched: axis.range,
            grain: axis.grain,
            contracts,
        }))
    }

    /// Costs of both options at each place, by contract.
    #[allow(clippy::type_complexity)]
    fn leads_at(
        &mut self,
        axes: &[&Axis],
        places: &[Vec<f64>],
        tell: &mut dyn FnMut(Progress),
    ) -> Result<Vec<Vec<(Vec<f64>, Vec<f64>)>>, String> {
        let order = self.order;
        let looking = Looking { options: &[order.a, order.b], contracts: &order.contracts };
        let noted = self.world.visit(axes, places, looking, tell, |seen| cost(order.measure, seen))?;
        self.lived = noted.last().map_or(0, |trials| trials.len() as u64);
        let width = order.contracts.len();
        let of = |trials: &[Vec<f64>], option: usize, contract: usize| -> Vec<f64> {
            trials.iter().map(|costs| costs[option * width + contract]).collect()
        };
        let both = |trials: &Vec<Vec<f64>>| (0..width).map(|c| (of(trials, 0, c), of(trials, 1, c))).collect();
        Ok(noted.iter().map(both).collect())
    }

    /// Adds values to the curve; those that are on it already are not lived again.
    fn look(&mut self, mut values: Vec<f64>, tell: &mut dyn FnMut(Progress)) -> Result<(), String> {
        values.retain(|value| !self.curve.iter().any(|(x, _)| x == value));
        values.sort_by(f64::total_cmp);
        values.dedup();
        let places: Vec<Vec<f64>> = values.iter().map(|&value| vec![value]).collect();
        let axis = self.axis;
        let found = self.leads_at(&[axis], &places, tell)?;
        for (value, contracts) in values.into_iter().zip(found) {
            let leads = contracts.iter().map(|(of_a, of_b)| mean(&leads(of_a, of_b)).0).collect();
            let at = self.curve.partition_point(|(x, _)| *x < value);
            self.curve.insert(at, (value, leads));
        }
        Ok(())
    }

    fn matters(&self, contract: usize) -> bool {
        let first = self.curve.first().map(|(_, leads)| leads[contract].value);
        self.curve.iter().any(|(_, leads)| Some(leads[contract].value) != first)
    }

    fn does_not_matter(&self, plan: &Plan) -> String {
        let Self { axis, order, .. } = self;
        let (a, b) = (&plan.options[order.a].name, &plan.options[order.b].name);
        let why = match axis.turns {
            Turns::Input(id) if plan.option_of(id).is_some_and(|o| o != order.a && o != order.b) => {
                format!("it belongs to {}", plan.options[plan.option_of(id).unwrap_or(0)].name)
            }
            Turns::Input(id) if plan.contract_of(id).is_some_and(|c| !order.contracts.contains(&c)) => {
                "its contract is not asked for".to_owned()
            }
            _ => format!("the lead is the same from {} to {} {}", axis.range.0, axis.range.1, axis.unit),
        };
        format!("{} does not matter between {a} and {b}: {why}", axis.name)
    }

    /// Narrows every change of sign until it is closed.
    fn narrow(&mut self, changes: &mut [Change], tell: &mut dyn FnMut(Progress)) -> Result<(), String> {
        for round in 0..ROUNDS {
            let open: Vec<&Change> = changes.iter().filter(|change| !self.is_closed(change)).collect();
            if open.is_empty() || self.world.stop.load(Ordering::Relaxed) {
                break;
            }
            let mut values = vec![];
            for change in open {
                let (low, high) = (change.low.0, change.high.0);
                let (expected, width) = (change.expected(), high - low);
                values.extend([expected, expected - BESIDE * width, expected + BESIDE * width]);
                // where the lead jumps, halving is surer
                if round > 1 {
                    values.push(0.5 * (low + high));
                }
            }
            let (low, high) = self.axis.range;
            let values = values.into_iter().map(|value| self.axis.set(value.clamp(low, high))).collect();
            self.look(values, tell)?;
            for change in changes.iter_mut() {
                let inside = changes_of(&self.curve, change.contract).into_iter();
                let mut inside = inside.filter(|c| c.low.0 >= change.low.0 && c.high.0 <= change.high.0);
                if let Some(next) = inside.next() {
                    (change.low, change.high) = (next.low, next.high);
                }
            }
        }
        Ok(())
    }

    fn is_closed(&self, change: &Change) -> bool {
        let width = change.high.0 - change.low.0;
        let scale = change.low.0.abs().max(change.high.0.abs());
        change.low.1 == change.high.1 || width <= (CLOSED * scale).max(1.5 * self.axis.grain)
    }

    /// Puts the value back.
    fn tie(&mut self, change: &Change, tell: &mut dyn FnMut(Progress)) -> Result<Tie, String> {
        let at = change.expected();
        let axis = self.axis;
        let found = self.leads_at(&[axis], &[vec![axis.set(at)]], tell)?;
        let lead_there = found.first().map_or(Estimate::default(), |contracts| {
            let (of_a, of_b) = &contracts[change.contract];
            mean(&leads(of_a, of_b)).0
        });
        let se = lead_there.se / change.slope.abs();
        Ok(Tie {
            at: Estimate { value: at, se },
            bracket: (change.low.0, change.high.0),
            lead_there,
            a_below: change.a_below,
        })
    }

    /// Share of the belief under which a is cheaper on average; beyond the searched values the last winner stays.
    fn belief_for_a(&self, ties: &[Tie], curve: &[(f64, Estimate)]) -> Option<f64> {
        let below = |value: f64| self.axis.belief_below(self.world.plan, value);
        below(self.axis.belief.1)?;
        // a belief of which much lies beyond what was searched is not told
        let beyond = below(self.axis.range.0)? + 1.0 - below(self.axis.range.1)?;
        if !(beyond <= BEYOND) {
            return None;
        }
        let mut a_wins =
            ties.first().map_or(curve.first().is_some_and(|(_, lead)| lead.value < 0.0), |tie| tie.a_below);
        let (mut share, mut from) = (0.0, 0.0);
        for tie in ties {
            let to = below(tie.at.value)?;
            if a_wins {
                share += to - from;
            }
            (a_wins, from) = (!a_wins, to);
        }
        Some(if a_wins { share + 1.0 - from } else { share })
    }
}

impl Change {
    /// Where the straight line between both ends meets nothing.
    fn expected(&self) -> f64 {
        let ((x0, f0), (x1, f1)) = (self.low, self.high);
        if f0 == f1 { 0.5 * (x0 + x1) } else { (x0 + (x1 - x0) * f0 / (f0 - f1)).clamp(x0, x1) }
    }
}

/// Changes of sign along a curve under one contract. A value at which the lead is exactly nothing is a change by itself when
/// the leads on its two sides differ in sign.
fn changes_of(curve: &[Point], contract: usize) -> Vec<Change> {
    let points: Vec<(f64, f64)> = curve.iter().map(|(x, leads)| (*x, leads[contract].value)).collect();
    let mut changes = vec![];
    let mut last: Option<usize> = None;
    for (k, &(_, lead)) in points.iter().enumerate() {
        if lead == 0.0 || lead.is_nan() {
            continue;
        }
        if let Some(before) = last
            && (points[before].1 < 0.0) != (lead < 0.0)
        {
            let slope = (lead - points[before].1) / (points[k].0 - points[before].0);
            let (low, high) =
                if k == before + 1 { (points[before], points[k]) } else { (points[before + 1], points[k - 1]) };
            changes.push(Change { contract, low, high, a_below: lead > 0.0, slope });
        }
        last = Some(k);
    }
    changes
}
