//! The belief about a lamp's life, before and after its log.
//!
//! Belongs here: which inputs move, their draws, what the draws say of median life and survival. Does not belong here: how a
//! belief is summed up (`learn::belief`), the likelihood (`likelihood`).

use draws::Distribution;
use engine::median_burn_hours;
use learn::belief::{NoPosterior, Posterior, Way, among, update};
use learn::life::{Terms, Watched};
use plan::{Alive, ClockPlan, InputId, LampPlan, Plan, WearOutPlan};

use super::likelihood::{Seen, wear};
use super::stated_spread;
use crate::learn_life_report::{BeliefLine, CurvePoint, LearntInput, Points};
use crate::spread::{Sorted, mean};

/// Entries of a list that must keep weight.
const LEAST: f64 = 50.0;
/// Points of a curve.
const POINTS: usize = 121;
/// Share still alive as believed after at which curves end, and the farthest that they go beyond the log.
const NEARLY_NOBODY: f64 = 0.02;

/// A lamp, its belief and its log.
pub(super) struct Watching<'a> {
    pub plan: &'a Plan,
    pub lamp: &'a LampPlan,
    pub clock: &'a ClockPlan,
    pub lots: &'a [Vec<Watched>],
    /// Most terms of a lot's likelihood.
    pub terms: usize,
    pub hours_per_start: f64,
}

/// Inputs that share their luck.
struct Group {
    ids: Vec<InputId>,
    /// Of lists of draws: their places in the order of the first input, so that draws which lie side by side are alike.
    order: Option<Vec<usize>>,
}

/// Draws of a belief, turned into what they say.
struct Believed {
    /// Values of all inputs of the scenario, draw by draw.
    values: Vec<Vec<f64>>,
    /// Median life on the scenario's photoperiod, burn hours.
    median: Vec<f64>,
}

impl Watching<'_> {
    /// The inputs of the life that are uncertain, those that share their luck together; the claim first.
    fn moving(&self) -> Vec<Vec<InputId>> {
        let lamp = self.lamp;
        let mut all = vec![lamp.claim.hours];
        if let Alive::Stated(alive) = lamp.claim.alive {
            all.push(alive);
        }
        match lamp.wear_out {
            WearOutPlan::Weibull(id) | WearOutPlan::Lognormal(id) => all.push(id),
            WearOutPlan::Table(_) | WearOutPlan::Never => {}
        }
        all.extend([lamp.rated_hours_per_start, lamp.start_cost]);
        all.extend(lamp.early.iter().flat_map(|(share, within)| [*share, *within]));
        all.extend(lamp.random);
        all.extend(&lamp.derates);
        all.extend(lamp.batch.map(|(spread, _)| spread));
        let mut groups: Vec<(u64, Vec<InputId>)> = vec![];
        for id in all {
            let Some(luck) = self.plan.inputs.luck_of(id) else { continue };
            match groups.iter_mut().find(|(other, _)| *other == luck) {
                Some((_, group)) => group.push(id),
                None => groups.push((luck, vec![id])),
            }
        }
        groups.into_iter().map(|(_, group)| group).collect()
    }

    /// What is said of inputs elsewhere that shared their luck with those of this life, and no longer do.
    pub fn ties(&self, option: usize) -> Vec<String> {
        let inputs = &self.plan.inputs;
        let moving = self.moving();
        let lucks: Vec<u64> = moving.iter().filter_map(|group| inputs.luck_of(group[0])).collect();
        let own = format!("/options/{option}/lamp/life/");
        let tied: Vec<String> = self
            .plan
            .input_ids()
            .filter(|&id| inputs.luck_of(id).is_some_and(|luck| lucks.contains(&luck)))
            .map(|id| inputs.at(id))
            .filter(|input| !input.pointer.starts_with(&own))
            .map(|input| input.place.clone())
            .collect();
        if tied.is_empty() {
            return vec![];
        }
        let tied = tied.join(", ");
        vec![format!(
            "before, these rose and fell with inputs of this life, and with life.json they no longer do: {tied}"
        )]
    }

    /// Values of all inputs at a place in the unit cube; the rest at their medians.
    fn values(&self, medians: &[f64], moving: &[Group], place: &[f64]) -> Vec<f64> {
        let mut values = medians.to_vec();
        for (group, &u) in moving.iter().zip(place) {
            let u = group.order.as_ref().map_or(u, |order| {
                // a share of a length, cut to a whole number below it
                let row = order[((u * order.len() as f64) as usize).min(order.len() - 1)];
                (row as f64 + 0.5) / order.len() as f64
            });
            for &id in &group.ids {
                values[id.index()] = self.plan.inputs.at(id).draw(u);
            }
        }
        values
    }

    /// The same inputs, with the order of lists of draws.
    fn groups(&self) -> Vec<Group> {
        let order = |ids: &Vec<InputId>| match &self.plan.inputs.at(ids[0]).distribution {
            Distribution::Drawn(drawn) => {
                let mut order: Vec<usize> = (0..drawn.len()).collect();
                order.sort_by(|&a, &b| drawn.draws()[a].total_cmp(&drawn.draws()[b]));
                Some(order)
            }
            _ => None,
        };
        self.moving().into_iter().map(|ids| Group { order: order(&ids), ids }).collect()
    }

    /// The belief after the log; none where nothing in it is uncertain.
    ///
    /// # Errors
    /// A message where what the log shows cannot happen under the belief, or it could not be summed up.
    pub fn brought_up_to_date(&self, draws: usize) -> Result<Option<BeliefLine>, String> {
        let moving = self.groups();
        let medians = self.plan.inputs.medians();
        let told = |lots: &[Vec<Watched>]| -> Result<Option<(Posterior, Believed)>, String> {
            let lots: Vec<Terms> = lots.iter().map(|lot| Terms::new(lot, self.terms)).collect();
            let seen = Seen { lamp: self.lamp, lots: &lots, hours_per_start: self.hours_per_start };
            let ln = |place: &[f64]| seen.ln_likelihood(&self.values(&medians, &moving, place));
            let found = match &moving[..] {
                // a belief that is a list stays one: its entries gain and lose weight
                [Group { order: Some(order), .. }] => {
                    let at = |k: usize| (k as f64 + 0.5) / order.len() as f64;
                    let least = LEAST.min(order.len() as f64);
                    among(order.len(), &|k| ln(&[at(k)]), draws, least).map(|(drawn, ln_evidence, effective)| {
                        Posterior {
                            draws: drawn.into_iter().map(|k| vec![at(k)]).collect(),
                            ln_evidence,
                            effective,
                            way: Way::Points(order.len()),
                        }
                    })
                }
                _ => update(moving.len(), &ln, draws),
            };
            match found {
                Ok(posterior) => {
                    let believed = self.believed(&medians, &moving, &posterior);
                    Ok(Some((posterior, believed)))
                }
                Err(NoPosterior::NothingUncertain) => Ok(None),
                Err(NoPosterior::Impossible) => Err(
                    "what the log shows cannot happen under what the scenario believes of this life: widen its claim or \
                     its spread"
                        .into(),
                ),
                Err(NoPosterior::TooFewPoints) => Err(
                    "too little of what the scenario believes of this life is left by the log to be summed up: widen the \
                     belief or make fewer of its inputs uncertain; where it was learnt before, start from what was believed \
                     first and give all logs at once"
                        .into(),
                ),
            }
        };
        let Some((_, before)) = told(&[])? else { return Ok(None) };
        let Some((posterior, after)) = told(self.lots)? else { return Ok(None) };
        let only_dead: Vec<Vec<Watched>> =
            self.lots.iter().map(|lot| lot.iter().filter(|life| life.is_dead()).copied().collect()).collect();
        // where nobody lives on nothing is left out
        let any = |is_dead: bool| self.lots.iter().flatten().any(|life| life.is_dead() == is_dead);
        let dropped = if any(true) && any(false) { told(&only_dead)?.map(|(_, believed)| believed) } else { None };
        let (was, is) = (variance(&before.median), variance(&after.median));
        let per_death = stated_spread(self.plan, self.lamp).map(|(family, spread)| match family {
            learn::life::Family::Weibull => spread * spread,
            learn::life::Family::Lognormal => 1.0 / (spread * spread),
        });
        let (way, size) = match posterior.way {
            Way::Grid(cells) => ("grid", cells),
            Way::Points(points) => ("points", points),
        };
        Ok(Some(BeliefLine {
            before_b50_h: points(before.median.clone()),
            after_b50_h: points(after.median.clone()),
            dropped_b50_h: dropped.as_ref().map(|dropped| points(dropped.median.clone())),
            data_share: if was > 0.0 { (1.0 - is / was).max(0.0) } else { 0.0 },
            before_in_deaths: per_death.filter(|_| was > 0.0).map(|per_death| 1.0 / (per_death * was)),
            inputs: moving.iter().flat_map(|group| &group.ids).map(|&id| self.learnt(id, &before, &after)).collect(),
            way: way.into(),
            size: size as u64,
            effective: posterior.effective,
            ln_evidence: posterior.ln_evidence,
            draws: draws as u64,
            curves: self.curves(&before, &after, dropped.as_ref()),
        }))
    }

    fn believed(&self, medians: &[f64], moving: &[Group], posterior: &Posterior) -> Believed {
        let values: Vec<Vec<f64>> = posterior.draws.iter().map(|place| self.values(medians, moving, place)).collect();
        let median = values.iter().map(|values| median_burn_hours(self.lamp, self.clock, values)).collect();
        Believed { values, median }
    }

    fn learnt(&self, id: InputId, before: &Believed, after: &Believed) -> LearntInput {
        let input = self.plan.inputs.at(id);
        let of =
            |believed: &Believed| -> Vec<f64> { believed.values.iter().map(|values| values[id.index()]).collect() };
        // the places of a life's inputs all lie within it
        let pointer = input.pointer.split_once("/lamp/life").map_or(input.pointer.as_str(), |(_, within)| within);
        let draws = of(after);
        LearntInput {
            pointer: pointer.to_owned(),
            place: input.place.clone(),
            unit: input.unit.clone(),
            before: points(of(before)),
            after: points(draws.clone()),
            draws,
        }
    }

    /// Survival by hours, out to where hardly anybody is believed to be alive.
    fn curves(&self, before: &Believed, after: &Believed, dropped: Option<&Believed>) -> Vec<CurvePoint> {
        let alive = |believed: &Believed, hours: f64| -> Vec<f64> {
            let of = |values: &Vec<f64>| {
                self.lamp.life(values).survival(hours * wear(self.lamp, values, self.hours_per_start))
            };
            believed.values.iter().map(of).collect()
        };
        let seen = self.lots.iter().flatten().map(|life| if life.is_dead() { life.gone } else { life.seen });
        let mut end = seen.fold(100.0, f64::max);
        for _ in 0..40 {
            if points(alive(after, end)).p50 < NEARLY_NOBODY {
                break;
            }
            end *= 1.1;
        }
        (0..POINTS)
            .map(|k| {
                let burn_h = end * k as f64 / (POINTS - 1) as f64;
                CurvePoint {
                    burn_h,
                    before: points(alive(before, burn_h)),
                    after: points(alive(after, burn_h)),
                    dropped: dropped.map(|dropped| points(alive(dropped, burn_h)).p50),
                }
            })
            .collect()
    }
}

fn points(values: Vec<f64>) -> Points {
    let sorted = Sorted::new(values);
    Points { p10: sorted.quantile(0.1), p50: sorted.quantile(0.5), p90: sorted.quantile(0.9) }
}

/// Variance of the logarithm.
fn variance(hours: &[f64]) -> f64 {
    let (_, sd) = mean(&hours.iter().map(|hours| hours.ln()).collect::<Vec<f64>>());
    sd * sd
}
