//! What is believed of the tested lamp's life, as truths with their costs, and what a test of some hours shows under each.
//!
//! Belongs here: costs given the life, survival at the looks of a test, simulated deaths and their likelihood. Does not
//! belong here: what a test costs, when to stop it.

use std::collections::BTreeSet;

use choice::Table;
use choice::information::{self, Planned, Truths};
use engine::{Burns, OnTest, Progress, Scope, places_in_test, revisit};
use plan::{InputId, LampPlan, Plan, WearOutPlan};

use super::NOISE;
use crate::drivers_report::Worth;
use crate::race::leads;
use crate::result::Estimate;
use crate::service::service;
use crate::spread::mean;
use crate::turn::World;

/// Tests that are simulated for each design, at most.
const SIMULATED: usize = 2_000;

/// Every truth that may hold: one for each trial.
pub(super) struct Believed<'a> {
    pub lamp: &'a LampPlan,
    pub seed: u64,
    /// Costs given the life, less those of the choice of now: money of one room.
    pub expected: Table,
    /// Today's choice.
    pub choice: usize,
    /// Costs above it as lived, luck and all.
    pub leads: Vec<Estimate>,
    /// What each option saves over it, trial by trial, likewise.
    saved: Vec<Vec<f64>>,
    /// What knowing the life is worth.
    pub known: Worth,
    /// Values of all inputs, trial by trial.
    values: Vec<Vec<f64>>,
}

/// Uncertain inputs that say how long a lamp lives.
pub(super) fn life_inputs(plan: &Plan, lamp: &LampPlan) -> Vec<InputId> {
    let mut all = vec![lamp.claim.hours];
    if let plan::Alive::Stated(share) = lamp.claim.alive {
        all.push(share);
    }
    match lamp.wear_out {
        WearOutPlan::Weibull(id) | WearOutPlan::Lognormal(id) => all.push(id),
        WearOutPlan::Table(_) | WearOutPlan::Never => {}
    }
    all.extend(lamp.early.iter().flat_map(|(share, within)| [*share, *within]));
    all.extend(lamp.random);
    all.extend(&lamp.derates);
    all.extend(lamp.batch.map(|(spread, _)| spread));
    all.extend([lamp.start_cost, lamp.rated_hours_per_start]);
    let mut seen = BTreeSet::new();
    all.retain(|id| plan.inputs.luck_of(*id).is_some() && seen.insert(id.index()));
    all
}

impl<'a> Believed<'a> {
    /// Lives and prices every trial, and takes luck off the costs.
    pub fn new(
        world: &World<'a>,
        (options, contract): (&[usize], usize),
        lamp: &'a LampPlan,
        tell: &mut dyn FnMut(Progress),
    ) -> Result<Self, String> {
        let plan = world.plan;
        let inputs = life_inputs(plan, lamp);
        let contracts = [contract];
        let scope = Scope { options, contracts: &contracts, points: 1, months: false };
        let seed = world.settings.seed;
        let moles = service(plan, contract).present_moles;
        let noted = revisit(
            plan,
            scope,
            &world.settings,
            world.stop,
            tell,
            |_, _, _| seed,
            |seen| seen.priced.levelized() * moles,
        );
        let said = |fault: choice::Fault| fault.to_string();
        let costs = Table::new(&noted).map_err(said)?;
        let values: Vec<Vec<f64>> = (0..costs.trials() as u64).map(|trial| plan.inputs.draw(seed, trial)).collect();
        let column = |id: &InputId| -> Vec<f64> { values.iter().map(|values| values[id.index()]).collect() };
        let columns: Vec<Vec<f64>> = inputs.iter().map(column).collect();
        let columns: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
        let expected = information::expected(&costs, &columns).map_err(said)?;
        let noise = information::inputs(&costs, &columns).map_err(said)?;
        let choice = costs.best();
        let now = costs.option(choice);
        let saved: Vec<Vec<f64>> = (0..costs.options()).map(|option| leads(&now, &costs.option(option))).collect();
        let known = Worth {
            value: Truths::new(&expected).perfect(),
            se: noise.se,
            is_seen: noise.is_seen,
            unseen: noise.unseen,
        };
        let above = |saved: &Vec<f64>| Estimate { value: 0.0 - mean(saved).0.value, ..mean(saved).0 };
        let leads = saved.iter().map(above).collect();
        Ok(Self { lamp, seed, expected, choice, leads, saved, known, values })
    }

    /// How many truths there are.
    pub fn count(&self) -> usize {
        self.values.len()
    }

    /// How many tests are simulated for a design.
    pub fn simulated(&self) -> usize {
        self.count().min(SIMULATED)
    }

    /// Lamps on test if a truth holds.
    pub fn on_test<'b>(&self, truth: usize, burns: Burns<'b>) -> OnTest<'b> {
        OnTest::new(self.lamp, burns, &self.values[truth], (self.seed, truth as u64))
    }

    /// What a test is worth, with the noise of the simulated tests and that of the costs.
    pub fn worth(&self, planned: &Planned) -> Result<Estimate, String> {
        let of_costs = planned.error_of_costs(&self.saved).map_err(|fault| fault.to_string())?;
        Ok(Estimate { value: planned.worth.value, se: planned.worth.se.hypot(of_costs) })
    }

    /// Whether so many trials can tell that the choice is still the same on a later belief: every other option lies above
    /// today's by more than the noise of the mean lead.
    fn stays(&self, later: &Truths) -> bool {
        let means = later.means();
        let now = means[self.choice];
        means
            .iter()
            .zip(&self.leads)
            .enumerate()
            .all(|(option, (mean, lead))| option == self.choice || mean - now >= NOISE * lead.se)
    }
}

/// What a test of some hours shows under each truth.
pub(super) struct Shown<'a> {
    believed: &'a Believed<'a>,
    /// Share alive at each look, look by look, then truth by truth.
    alive: Vec<Vec<f64>>,
    /// Logarithm of the chance to die between a look and the one before, likewise.
    dies: Vec<Vec<f64>>,
    /// Logarithm of the chance to be alive at the end, truth by truth.
    lasts: Vec<f64>,
}

impl<'a> Shown<'a> {
    /// Looks in rising order, the last one at the end.
    pub fn new(believed: &'a Believed, looks: &[f64], burns: Burns) -> Self {
        let truths: Vec<OnTest> = (0..believed.count()).map(|truth| believed.on_test(truth, burns)).collect();
        let at = |hours: &f64| -> Vec<f64> { truths.iter().map(|lamps| lamps.alive(*hours)).collect() };
        let alive: Vec<Vec<f64>> = looks.iter().map(at).collect();
        let all = vec![1.0; truths.len()];
        let before = std::iter::once(&all).chain(&alive);
        let died = |(before, after): (&Vec<f64>, &Vec<f64>)| -> Vec<f64> {
            before.iter().zip(after).map(|(before, after)| (before - after).max(0.0).ln()).collect()
        };
        let dies = before.zip(&alive).map(died).collect();
        let lasts = alive.last().map_or_else(Vec::new, |alive| alive.iter().map(|alive| alive.ln()).collect());
        Self { believed, alive, dies, lasts }
    }

    /// The worth of a test with so many lamps, and whether nothing that it could show would change the choice, clear of the
    /// noise of the trials.
    pub fn worth(&self, lamps: u32) -> Result<(Planned, bool), String> {
        let said = |fault: choice::Fault| fault.to_string();
        let truths = Truths::new(&self.believed.expected);
        let outcomes = self.believed.simulated();
        let planned = truths
            .simulated(outcomes, |outcome, log| {
                // truths follow one another as drawn, so that any few of them are drawn as well
                let truth = outcome * self.believed.count() / outcomes;
                self.likelihood(&self.deaths(truth, lamps), lamps, log);
            })
            .map_err(said)?;
        let mut is_idle = planned.changes == 0.0;
        for deaths in [vec![], vec![0; lamps as usize]] {
            let mut log = vec![0.0; self.believed.count()];
            self.likelihood(&deaths, lamps, &mut log);
            let after = truths.given(&log).map_err(said)?;
            is_idle &= after.is_none_or(|after| self.believed.stays(&after));
        }
        Ok((planned, is_idle))
    }

    /// The look at which each lamp that dies is found dead, if a truth holds.
    fn deaths(&self, truth: usize, lamps: u32) -> Vec<usize> {
        let found = |place: f64| self.alive.partition_point(|alive| alive[truth] >= place);
        let all = places_in_test(self.believed.seed, truth as u64, lamps).map(found);
        all.filter(|look| *look < self.alive.len()).collect()
    }

    /// Writes the logarithm of the chance of deaths at these looks, but for what is the same under each truth.
    fn likelihood(&self, deaths: &[usize], lamps: u32, log: &mut [f64]) {
        let last = f64::from(lamps) - deaths.len() as f64;
        if last > 0.0 {
            log.iter_mut().zip(&self.lasts).for_each(|(log, lasts)| *log = last * lasts);
        } else {
            log.fill(0.0);
        }
        let mut counts = vec![0u32; self.dies.len()];
        deaths.iter().for_each(|look| counts[*look] += 1);
        for (count, dies) in counts.into_iter().zip(&self.dies).filter(|(count, _)| *count > 0) {
            log.iter_mut().zip(dies).for_each(|(log, dies)| *log += f64::from(count) * dies);
        }
    }
}
