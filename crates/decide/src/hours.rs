//! Which hours to light: every start under every rate sheet on the same lived futures, and what small changes cost.
//!
//! Belongs here: which hours are tried, and what is concluded. Does not belong here: living and pricing (`engine`).

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::atomic::AtomicBool;

use calendar::{Minute, Phase, Photoperiod, Timeline, Window};
use engine::{Futures, Pricing, Progress, Screened, Settings, live_pattern, screen, screen_all};
use plan::{ClockPlan, ContractPlan, Plan};

pub use crate::hours_report::*;
use crate::minutes::Minutes;
use crate::questions::Asked;
use crate::result::{Ended, Estimate};
use crate::rooms::rooms;

/// Most patterns that are tried.
const MOST_PATTERNS: usize = 12;
/// Most numbers that the lived futures of all patterns may take, and that the priced starts may (8 bytes each).
const MOST_NUMBERS: f64 = 2e8;

/// What is to be searched.
#[derive(Debug, Clone, PartialEq)]
pub struct HoursOrder {
    /// Index of the option that single questions are about.
    pub option: usize,
    /// Minutes between two starts; a divisor of a day.
    pub step: u16,
    /// Numbers of blocks a day to try beside the windows as written.
    pub blocks: Vec<u16>,
    /// Least length of the longest dark time of each day, minutes.
    pub least_dark: u16,
    /// Times between which the lights must burn, every day.
    pub lit_during: Vec<(Minute, Minute)>,
    /// Times between which they must not.
    pub dark_during: Vec<(Minute, Minute)>,
    /// Rooms that may start apart, and minutes between the starts to try; none for no such search.
    pub rooms: Option<(usize, u16)>,
    /// Trials, seed, threads.
    pub settings: Settings,
}

/// A pattern while it is searched.
struct Candidate {
    name: String,
    photoperiod: Photoperiod,
    /// Starts that meet the conditions.
    on: Vec<Minute>,
}

/// Searches. `tell` hears of progress.
///
/// # Errors
/// When no start meets the conditions, in words.
pub fn hours(
    plan: &Plan,
    order: &HoursOrder,
    program: &str,
    stop: &AtomicBool,
    mut tell: impl FnMut(Progress),
) -> Result<HoursReport, String> {
    let sheets = different_sheets(plan);
    let candidates = candidates(plan, order)?;
    fits(plan, &candidates, sheets.len())?;
    let mut pricing = Pricing::default();
    pricing.turn_to_medians(plan, &plan.inputs.medians());
    let total = order.settings.trials * candidates.len() as u64;
    let mut patterns = vec![];
    let mut lived: Vec<Futures> = vec![];
    for (index, candidate) in candidates.iter().enumerate() {
        let timeline = Timeline::lay_out(&candidate.photoperiod, &plan.time_zone, plan.first_day, plan.years)
            .map_err(|_| format!("{} cannot be laid out over the horizon", candidate.name))?;
        let clock = ClockPlan::new(candidate.photoperiod.clone(), timeline);
        let before = order.settings.trials * index as u64;
        let futures = live_pattern(plan, &clock, &order.settings, stop, |progress| {
            tell(Progress { done: before + progress.done, most: total });
        });
        let moved: Vec<Photoperiod> = candidate.on.iter().map(|&on| candidate.photoperiod.starting_at(on)).collect();
        let priced = screen_all(plan, &sheets, &pricing, &moved, &futures, order.settings.threads);
        let of = |read: fn(&Screened) -> f64| -> Vec<Vec<Vec<f64>>> {
            let start = |on_clock: &Option<engine::OnClock>| match on_clock {
                Some(on_clock) => {
                    on_clock.iter().map(|sheet| sheet.iter().map(|option| read(&option[0])).collect()).collect()
                }
                None => vec![vec![f64::INFINITY; plan.options.len()]; sheets.len()],
            };
            priced.iter().map(start).collect()
        };
        let years = f64::from(plan.years);
        let mut electricity = of(|screened| screened.electricity);
        electricity.iter_mut().flatten().flatten().for_each(|cost| *cost /= years);
        patterns.push(Pattern {
            name: candidate.name.clone(),
            starts: u64::from(clock.starts_between(0.0, f64::INFINITY)),
            on: candidate.on.iter().map(Minute::to_string).collect(),
            levelized: of(|screened| screened.levelized),
            electricity,
        });
        lived.push(futures);
    }
    let search = Search {
        plan,
        sheets: &sheets,
        candidates: &candidates,
        patterns: &patterns,
        lived: &lived,
        pricing,
        known: RefCell::default(),
    };
    let findings = (0..sheets.len())
        .flat_map(|sheet| (0..plan.options.len()).map(move |option| (sheet, option)))
        .map(|(sheet, option)| search.finding(sheet, option))
        .collect::<Result<Vec<_>, _>>()?;
    let asked = sheets.iter().enumerate();
    let on_clocks =
        plan.clocks.iter().map(|clock| Asked::new(plan, &clock.photoperiod)).collect::<Result<Vec<_>, _>>()?;
    let questions =
        asked.clone().map(|(k, &c)| on_clocks[plan.contracts[c].clock].answers(plan, c, order.option, k)).collect();
    let rooms = match order.rooms {
        Some((count, step)) => {
            asked.map(|(k, &c)| rooms(plan, c, order.option, k, count, step)).collect::<Result<Vec<_>, _>>()?
        }
        None => vec![],
    };
    let trials = lived.iter().map(|futures| futures.trials).min().unwrap_or(0);
    Ok(HoursReport {
        format: HOURS_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        prices_of: plan.prices_of.clone(),
        horizon_years: plan.years,
        trials,
        ended: if trials < order.settings.trials { Ended::Interrupted } else { Ended::Trials },
        seed: order.settings.seed,
        step_minutes: order.step,
        conditions: conditions(order),
        options: plan.options.iter().map(|option| option.name.clone()).collect(),
        asked: order.option,
        asked_kw: engine::lit(plan, &plan.options[order.option], &plan.inputs.medians()).kw,
        sheets: sheets.iter().map(|&c| sheet_name(plan, c)).collect(),
        patterns,
        findings,
        questions,
        rooms,
    })
}

/// Refuses a search that would not fit into memory.
fn fits(plan: &Plan, candidates: &[Candidate], sheets: usize) -> Result<(), String> {
    let lit_hours = plan.clocks.iter().map(|clock| clock.timeline.lit_hours).fold(0.0, f64::max);
    let options = plan.options.len() as f64;
    // two numbers for each quarter of an hour while a pattern is lived, in every group and in all
    let lived = candidates.len() as f64 * options * lit_hours * 4.0 * 2.0 * (engine::GROUPS as f64 + 1.0);
    let starts: usize = candidates.iter().map(|candidate| candidate.on.len()).sum();
    let priced = 2.0 * starts as f64 * sheets as f64 * options;
    if lived.max(priced) > MOST_NUMBERS {
        return Err(format!(
            "the search would take {:.1} GB; fewer options, years, tariffs, blocks or starts make it fit ({:.1} GB)",
            lived.max(priced) * 8e-9,
            MOST_NUMBERS * 8e-9
        ));
    }
    Ok(())
}

/// One contract for each different rate sheet: those that differ in their hours alone are one.
fn different_sheets(plan: &Plan) -> Vec<usize> {
    let medians = plan.inputs.medians();
    let prices =
        |contract: &ContractPlan| -> Vec<f64> { contract.prices.iter().map(|id| medians[id.index()]).collect() };
    let same = |a: &ContractPlan, b: &ContractPlan| {
        a.sheet == b.sheet
            && prices(a) == prices(b)
            && a.schedule.periods == b.schedule.periods
            && a.before == b.before
            && a.path == b.path
            && medians[a.price_change.index()] == medians[b.price_change.index()]
    };
    let mut kept: Vec<usize> = vec![];
    for (k, contract) in plan.contracts.iter().enumerate() {
        if !kept.iter().any(|&known| same(&plan.contracts[known], contract)) {
            kept.push(k);
        }
    }
    kept
}

/// What a sheet is called: after its contract, or after itself when several contracts share it.
fn sheet_name(plan: &Plan, index: usize) -> String {
    let contract = &plan.contracts[index];
    let shared = plan.contracts.iter().filter(|other| other.sheet == contract.sheet).count() > 1;
    match &contract.tariff {
        Some(tariff) if shared => tariff.clone(),
        _ => contract.name.clone(),
    }
}

fn conditions(order: &HoursOrder) -> Vec<String> {
    let mut said = vec![];
    if order.least_dark > 0 {
        said.push(format!("at least {} h without a break dark every day", f64::from(order.least_dark) / 60.0));
    }
    said.extend(order.lit_during.iter().map(|(from, to)| format!("lit from {from} to {to}")));
    said.extend(order.dark_during.iter().map(|(from, to)| format!("dark from {from} to {to}")));
    said
}

fn candidates(plan: &Plan, order: &HoursOrder) -> Result<Vec<Candidate>, String> {
    let written = &plan.clocks[plan.contracts[0].clock].photoperiod;
    let mut patterns = vec![(pattern_name(written), written.clone())];
    for &blocks in &order.blocks {
        patterns.extend(split(written, blocks, order.least_dark));
    }
    patterns.truncate(MOST_PATTERNS);
    let mut candidates: Vec<Candidate> = vec![];
    for (name, photoperiod) in patterns {
        if candidates.iter().any(|known| known.photoperiod == photoperiod) {
            continue;
        }
        let on = (0..24 * 60 / order.step)
            .map(|k| Minute::MIDNIGHT.later(i32::from(k * order.step)))
            .filter(|&on| meets(&photoperiod.starting_at(on), order))
            .collect::<Vec<_>>();
        // the hours as written are always lived: they are what others are held against
        if candidates.is_empty() || !on.is_empty() {
            candidates.push(Candidate { name, photoperiod, on });
        }
    }
    if candidates.iter().all(|candidate| candidate.on.is_empty()) {
        let conditions = conditions(order).join("; ");
        return Err(format!("no start of the lights meets the conditions ({conditions})"));
    }
    Ok(candidates)
}

/// Whether a photoperiod meets the conditions in each of its phases.
fn meets(photoperiod: &Photoperiod, order: &HoursOrder) -> bool {
    photoperiod.phases.iter().filter(|phase| !phase.windows.is_empty()).all(|phase| {
        let lit = Minutes::of(&phase.windows);
        lit.longest_dark() >= order.least_dark
            && order.lit_during.iter().all(|&(from, to)| lit.all(from, to))
            && order.dark_during.iter().all(|&(from, to)| lit.none(from, to))
    })
}

/// The same light in so many equal blocks, with every gap between them that leaves the longest dark time long enough.
fn split(written: &Photoperiod, blocks: u16, least_dark: u16) -> Vec<(String, Photoperiod)> {
    /// Gaps that are tried are multiples of this, minutes.
    const GAP: u16 = 60;
    let lit = |phase: &Phase| Minutes::of(&phase.windows).count();
    let longest = written.phases.iter().map(lit).max().unwrap_or(0);
    if longest < blocks || longest == 24 * 60 {
        return vec![];
    }
    let dark = 24 * 60 - longest;
    let gaps: Vec<u16> = if blocks == 1 {
        vec![0]
    } else {
        // a gap is never longer than the dark time that is left
        (1..)
            .map(|k| k * GAP)
            .take_while(|gap| gap * blocks <= dark && dark - gap * (blocks - 1) >= least_dark)
            .collect()
    };
    gaps.into_iter()
        .map(|gap| {
            let mut moved = written.clone();
            for phase in &mut moved.phases {
                let minutes = lit(phase);
                let Some(first) = phase.windows.first().map(|window| window.on) else { continue };
                let mut on = first;
                phase.windows = (0..blocks)
                    .map(|k| {
                        let length = minutes / blocks + u16::from(k < minutes % blocks);
                        let window = Window { on, off: on.later(i32::from(length)) };
                        on = window.off.later(i32::from(gap));
                        window
                    })
                    .collect();
            }
            (pattern_name(&moved), moved)
        })
        .collect()
}

/// A pattern in words, by its first lit phase.
fn pattern_name(photoperiod: &Photoperiod) -> String {
    let Some(phase) = photoperiod.phases.iter().find(|phase| !phase.windows.is_empty()) else { return "dark".into() };
    let lengths: Vec<f64> = phase.windows.iter().map(|window| window.hours()).collect();
    let gap = |pair: &[Window]| Window { on: pair[0].off, off: pair[1].on }.hours();
    let same = lengths.iter().all(|length| *length == lengths[0]);
    let more = if photoperiod.phases.len() > 1 { ", first phase" } else { "" };
    let hours = |h: f64| format!("{}", (h * 100.0).round() / 100.0);
    match (lengths.len(), same) {
        (1, _) => format!("1 block of {} h{more}", hours(lengths[0])),
        (n, true) => {
            format!("{n} blocks of {} h, {} h apart{more}", hours(lengths[0]), hours(gap(&phase.windows[..2])))
        }
        (n, false) => {
            let each: Vec<String> = lengths.iter().map(|&h| hours(h)).collect();
            format!("{n} blocks of {} h{more}", each.join(", "))
        }
    }
}

/// By pattern, start (minute of the day) and sheet: for each option, all trials and every group.
type Known = BTreeMap<(usize, u16, usize), Vec<Vec<Screened>>>;

/// Everything that conclusions are drawn from.
struct Search<'a> {
    plan: &'a Plan,
    sheets: &'a [usize],
    candidates: &'a [Candidate],
    patterns: &'a [Pattern],
    lived: &'a [Futures],
    pricing: Pricing,
    /// Starts priced group by group so far, by pattern, start and sheet: for each option.
    known: RefCell<Known>,
}

impl Search<'_> {
    fn finding(&self, sheet: usize, option: usize) -> Result<Finding, String> {
        let all = self.patterns.iter().enumerate().flat_map(|(p, pattern)| {
            pattern.levelized.iter().enumerate().map(move |(s, costs)| (p, s, costs[sheet][option]))
        });
        let cheaper = |a: &(usize, usize, f64), b: &(usize, usize, f64)| a.2.total_cmp(&b.2);
        let finite = all.filter(|(.., cost)| cost.is_finite());
        let Some(best) = finite.clone().min_by(cheaper) else { return Err("no start could be priced".into()) };
        let worst = finite.max_by(cheaper).unwrap_or(best);
        let contract = &self.plan.contracts[self.sheets[sheet]];
        let written = &self.plan.clocks[contract.clock].photoperiod;
        let written_on = written.phases.iter().find_map(|phase| phase.windows.first()).map(|window| window.on);
        let (choice, groups) = self.choice(best.0, self.candidates[best.0].on[best.1], sheet, option)?;
        // the hours as written belong to the first pattern when it is the one as written
        let (as_written, written_groups) =
            self.choice_of(written, 0, written_on.unwrap_or(Minute::MIDNIGHT), sheet, option)?;
        let savings: Vec<f64> = written_groups.iter().zip(&groups).map(|(before, after)| before - after).collect();
        let limit = best.2 * 1.01;
        let within_one_percent = self.patterns[best.0]
            .levelized
            .iter()
            .zip(&self.patterns[best.0].on)
            .filter(|(costs, _)| costs[sheet][option] <= limit)
            .map(|(_, on)| on.clone())
            .collect();
        Ok(Finding {
            sheet,
            option,
            saving: Estimate { value: as_written.electricity - choice.electricity, se: standard_error(&savings) },
            written: as_written,
            cheapest: choice,
            dearest: self.choice(worst.0, self.candidates[worst.0].on[worst.1], sheet, option)?.0,
            within_one_percent,
        })
    }

    fn choice(&self, pattern: usize, on: Minute, sheet: usize, option: usize) -> Result<(Choice, Vec<f64>), String> {
        self.choice_of(&self.candidates[pattern].photoperiod, pattern, on, sheet, option)
    }

    /// A start once more, group by group: with its standard error, and electricity a year of each group.
    fn choice_of(
        &self,
        photoperiod: &Photoperiod,
        pattern: usize,
        on: Minute,
        sheet: usize,
        option: usize,
    ) -> Result<(Choice, Vec<f64>), String> {
        let key = (pattern, on.of_day(), sheet);
        if !self.known.borrow().contains_key(&key) {
            let moved = photoperiod.starting_at(on);
            let timeline = Timeline::lay_out(&moved, &self.plan.time_zone, self.plan.first_day, self.plan.years)
                .map_err(|_| format!("lights on at {on} cannot be laid out over the horizon"))?;
            let contracts = [self.sheets[sheet]];
            let mut priced = screen(self.plan, &contracts, &self.pricing, &timeline, &self.lived[pattern], true);
            self.known.borrow_mut().insert(key, priced.swap_remove(0));
        }
        let known = self.known.borrow();
        let (all, groups) = known[&key][option].split_first().ok_or("no future was lived")?;
        let years = f64::from(self.plan.years);
        let levelized: Vec<f64> = groups.iter().map(|group| group.levelized).collect();
        let choice = Choice {
            pattern,
            on: on.to_string(),
            levelized: Estimate { value: all.levelized, se: standard_error(&levelized) },
            electricity: all.electricity / years,
        };
        Ok((choice, groups.iter().map(|group| group.electricity / years).collect()))
    }
}

/// Standard error of the mean of groups.
fn standard_error(groups: &[f64]) -> f64 {
    let n = groups.len() as f64;
    if groups.len() < 2 {
        return 0.0;
    }
    let mean = groups.iter().sum::<f64>() / n;
    (groups.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (n - 1.0) / n).sqrt()
}
