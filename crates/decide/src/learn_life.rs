//! What burn logs say of a lamp's life, and the belief that comes of it.
//!
//! Belongs here: the order of what is found out, and what is remarked. Does not belong here: gathering rows (`log`), the
//! likelihood of a log (`likelihood`), moving the belief (`belief`), the part of a scenario that it becomes (`written`), the
//! mathematics (the crate `learn`).

mod belief;
mod likelihood;
mod log;
mod written;

use learn::life::{
    Bounded, Family, Survival, SurvivalWay, Tally, Terms, Watched, fit, lots_differ, median_bound, survival,
};
use plan::{ClockPlan, InputId, LampPlan, Plan, WearOutPlan};

use crate::learn_life_report::{
    Counts, FamilyName, FitLine, Interval, LEARN_LIFE_FORMAT, LearnLifeReport, LotLine, LotsLine, Mark, MedianBound,
    StepLine, StepsWay, SurvivalSteps,
};

pub use log::LifeLogs;
pub use written::life_json;

/// Confidence of bands and intervals, and of a bound.
const CONFIDENCE: f64 = 0.95;
const BOUND: f64 = 0.9;
/// Most different lives that are told apart for the steps of the log alone; most terms of the likelihood of a belief, and of
/// one where lots share luck.
const LIVES: usize = 20_000;
const TERMS_OF_BELIEF: usize = 6_000;
const TERMS_OF_LOTS: usize = 400;
/// Most marks of a picture.
const MARKS: usize = 300;
/// Most lots that are kept.
const LOTS: usize = 50;
/// Lots that differ by less chance than this are remarked upon.
const UNLIKELY: f64 = 0.05;
/// Deaths from which on such a comparison is worth a sentence.
const DEATHS_TO_COMPARE: u64 = 4;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct LifeOrder {
    /// Index of the option.
    pub option: usize,
    /// Burn hours per start of the logged lamps; those of the photoperiod when absent.
    pub hours_per_start: Option<f64>,
    /// Burn hours a day by which days were turned into hours.
    pub hours_per_day: f64,
    /// What stands on the box, burn hours.
    pub claim_h: Option<f64>,
    /// Draws that are wanted.
    pub draws: usize,
}

/// Mean burn hours per start, and per day, of the photoperiod of the first contract.
pub fn usual_hours(plan: &Plan) -> (f64, f64) {
    let clock = clock(plan);
    let starts = clock.starts_before.last().copied().unwrap_or(0).max(1);
    let days = clock.timeline.elapsed_hours / 24.0;
    (clock.timeline.lit_hours / f64::from(starts), clock.timeline.lit_hours / days)
}

fn clock(plan: &Plan) -> &ClockPlan {
    &plan.clocks[plan.contracts.first().map_or(0, |contract| contract.clock)]
}

/// The lamp of an option.
///
/// # Errors
/// A message where it has none.
pub fn lamp_of(plan: &Plan, option: usize) -> Result<&LampPlan, String> {
    let option = &plan.options[option];
    option.lamp.as_ref().filter(|lamp| !lamp.is_fixture).ok_or_else(|| {
        let name = &option.name;
        format!("{name} has no lamp of its own, so no life of one; its parts stand under `gear` and `components`")
    })
}

/// Finds it out.
///
/// # Errors
/// A message where the option has no lamp, no row of the logs is of it, or what the logs show cannot happen under what the
/// scenario believes.
pub fn learn_life(plan: &Plan, order: &LifeOrder, logs: &LifeLogs, program: &str) -> Result<LearnLifeReport, String> {
    let lamp = lamp_of(plan, order.option)?;
    if logs.lamps() == 0 {
        return Err(nothing_found(logs));
    }
    let (usual, _) = usual_hours(plan);
    let hours_per_start = order.hours_per_start.unwrap_or(usual);
    let (lives, moved) = logs.all.lives(LIVES);
    let mut remarks: Vec<String> = logs.counted_twice().into_iter().collect();
    remark_rounding(LIVES, moved, "the steps", &mut remarks);
    let (lots, names): (Vec<_>, Vec<_>) = logs.lots.iter().map(|(key, tally)| (tally, key)).unzip();
    let with_lots = lamp.batch.is_some();
    let by_lot: Vec<Vec<Watched>> = if with_lots {
        lots.iter().map(|tally: &&Tally| tally.lives(usize::MAX).0).collect()
    } else {
        vec![logs.all.lives(usize::MAX).0]
    };
    let terms = if with_lots { (TERMS_OF_LOTS / lots.len()).max(20) } else { TERMS_OF_BELIEF };
    let moved = by_lot.iter().map(|lot| Terms::new(lot, terms).moved).fold(0.0, f64::max);
    remark_rounding(terms, moved, "the belief", &mut remarks);
    let watched = belief::Watching { plan, lamp, clock: clock(plan), lots: &by_lot, terms, hours_per_start };
    let belief = watched.brought_up_to_date(order.draws)?;
    let compared = compared(&lots, &names, &logs.names);
    remark_lots(compared.as_ref(), with_lots, &mut remarks);
    remarks.extend(watched.ties(order.option));
    if belief.is_none() {
        remarks.push(
            "every input of this life is certain, so no log can move it: state `b50` (or another claim) as a distribution; \
             `learn priors` has some to begin with"
                .into(),
        );
    }
    if logs.at_once > 0 {
        remarks.push(format!(
            "lamps that failed at 0 h ({} of them) count as dead in the middle of their first hour",
            logs.at_once
        ));
    }
    let fits = fits(&logs.all.lives(usize::MAX).0);
    let name = &plan.options[order.option].name;
    Ok(LearnLifeReport {
        format: LEARN_LIFE_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        option: name.clone(),
        place: format!("/options/{}/lamp/life", order.option),
        logs: logs.names.clone(),
        counts: logs.counts,
        log_hours_per_start: hours_per_start,
        hours_per_start: usual,
        hours_per_day: order.hours_per_day,
        confidence: CONFIDENCE,
        survival: steps(survival(&lives, CONFIDENCE)),
        bound: if fits.is_empty() { bound(plan, lamp, &lives) } else { None },
        fits,
        lots: compared,
        belief,
        claim_h: order.claim_h,
        marks: marks(&logs.all),
        assumptions: assumptions(&logs.counts, order, hours_per_start, usual),
        cautions: plan.cautions.clone(),
        remarks,
    })
}

fn remark_rounding(most: usize, moved: f64, of: &str, remarks: &mut Vec<String>) {
    if moved > 0.0 {
        let percent = 100.0 * moved;
        remarks.push(format!(
            "more than {most} different lives: for {of} hours were rounded, by up to {percent:.2} % of themselves"
        ));
    }
}

fn nothing_found(logs: &LifeLogs) -> String {
    let others: Vec<String> = logs.others().map(|(name, rows)| format!("{name} ({rows})")).collect();
    if others.is_empty() {
        return "the log has no row that is filled in".into();
    }
    format!("no row of the log is of this lamp; it has {}: --lamp names the one that is meant", others.join(", "))
}

fn fits(lives: &[Watched]) -> Vec<FitLine> {
    let of = |found: Bounded| Interval { value: found.value, se: found.se, low: found.low, high: found.high };
    let line = |family| {
        let found = fit(lives, family, CONFIDENCE).ok()?;
        Some(FitLine {
            family: name_of(family),
            scale_h: of(found.scale),
            spread: of(found.spread),
            b10_h: of(found.b10),
            b50_h: of(found.b50),
            log_likelihood: found.log_likelihood,
            aic: found.aic,
        })
    };
    let mut fits: Vec<FitLine> = [Family::Weibull, Family::Lognormal].into_iter().filter_map(line).collect();
    fits.sort_by(|a, b| a.aic.total_cmp(&b.aic));
    fits
}

fn name_of(family: Family) -> FamilyName {
    match family {
        Family::Weibull => FamilyName::Weibull,
        Family::Lognormal => FamilyName::Lognormal,
    }
}

/// The family and the median spread that the scenario states, if wear-out has them.
fn stated_spread(plan: &Plan, lamp: &LampPlan) -> Option<(Family, f64)> {
    let median = |id: InputId| plan.inputs.at(id).quantile(0.5);
    match lamp.wear_out {
        WearOutPlan::Weibull(shape) => Some((Family::Weibull, median(shape))),
        WearOutPlan::Lognormal(sd) => Some((Family::Lognormal, median(sd))),
        WearOutPlan::Table(_) | WearOutPlan::Never => None,
    }
}

fn bound(plan: &Plan, lamp: &LampPlan, lives: &[Watched]) -> Option<MedianBound> {
    let (family, spread) = stated_spread(plan, lamp)?;
    let b50_h = median_bound(lives, family, spread, BOUND)?;
    Some(MedianBound { family: name_of(family), spread, b50_h, confidence: BOUND })
}

fn steps(found: Survival) -> SurvivalSteps {
    let way = match found.way {
        SurvivalWay::KaplanMeier => StepsWay::KaplanMeier,
        SurvivalWay::Turnbull => StepsWay::Turnbull,
    };
    let line = |step: &learn::life::Step| StepLine {
        from_h: step.from,
        to_h: step.to,
        at_risk: step.at_risk,
        deaths: step.deaths,
        alive: step.alive,
        band: step.band,
    };
    SurvivalSteps { way, steps: found.steps.iter().map(line).collect() }
}

fn compared(lots: &[&Tally], names: &[&(String, usize)], logs: &[String]) -> Option<LotsLine> {
    let lives: Vec<Vec<Watched>> = lots.iter().map(|tally| tally.lives(LIVES).0).collect();
    let found = lots_differ(&lives)?;
    let line = |k: usize| {
        let ((name, log), (deaths, expected)) = (names[k], found.lots[k]);
        let log = || logs.get(log.wrapping_sub(1)).cloned().unwrap_or_default();
        LotLine {
            name: if name.is_empty() { log() } else { name.clone() },
            lamps: lives[k].iter().map(|life| life.count).sum(),
            deaths,
            expected,
        }
    };
    Some(LotsLine { lots: (0..found.lots.len().min(LOTS)).map(line).collect(), chance: found.chance })
}

fn remark_lots(found: Option<&LotsLine>, with_batch: bool, remarks: &mut Vec<String>) {
    let Some(found) = found else { return };
    let deaths: u64 = found.lots.iter().map(|lot| lot.deaths).sum();
    if found.chance < UNLIKELY && deaths >= DEATHS_TO_COMPARE {
        let advice = if with_batch { "" } else { "; `batch` in the lamp's life lets lots share luck" };
        remarks.push(format!(
            "lots differ more than luck makes them: alike, they would differ so much in fewer than 1 of 20 logs{advice}"
        ));
    }
}

fn marks(all: &Tally) -> Vec<Mark> {
    let mark =
        |life: &Watched| Mark { from_h: life.seen, to_h: life.is_dead().then_some(life.gone), lamps: life.count };
    all.lives(MARKS).0.iter().map(mark).collect()
}

fn assumptions(counts: &Counts, order: &LifeOrder, log: f64, usual: f64) -> Vec<String> {
    let mut said = vec![
        "broken and removed lamps say only that they had lived so long: whatever took them out knew nothing of how close \
         to death they were"
            .to_owned(),
    ];
    if order.hours_per_start.is_none() {
        said.push(format!(
            "the logged lamps burned {usual:.1} h per start, like the scenario's photoperiod (--hours-per-start)"
        ));
    } else if (log / usual - 1.0).abs() > 0.01 {
        said.push(format!(
            "the logged lamps burned {log:.1} h per start and the scenario's {usual:.1} h: the cost of a start carries the \
             one over to the other"
        ));
    }
    if counts.by_days > 0 {
        let per_day = order.hours_per_day;
        said.push(format!("days were turned into hours at {per_day:.1} h a day, a day more or less at the ends; months and days with ~ are as \
             wide as they say"));
    }
    said
}
