//! Cash flows: what each option costs by day of booking, and what that comes to against a reference.
//!
//! Belongs here: living the trials and putting the answer together. Does not belong here: kinds of money and dates
//! (`basis`), what is left at the horizon (`lives`), ratios, rates and payback (`measures`), percentiles of years
//! (`budget`), tax and loan (`after_tax`), rows that somebody pastes (`pasted`).

mod after_tax;
mod basis;
mod budget;
mod flows;
mod lives;
mod measures;
mod pasted;

use std::sync::atomic::{AtomicBool, Ordering};

use engine::{CAUSES, Progress, Scope, Seen, Settings, revisit};
use finance::{Flows, equivalent_annual, uniform_factor};
use plan::Plan;

use crate::cash_report::{AfterTaxed, Against, CASH_FORMAT, CashOption, CashReport, Lives, Month, Stretch};
use crate::race::leads;
use crate::result::{Ended, Estimate, Spread};
use crate::service::service;
use crate::spread::{Sorted, mean, spread};
use basis::Basis;
use flows::{MeanFlow, WORTH};

pub use basis::Shown;
pub(crate) use basis::{dates, moments};
pub(crate) use flows::{LINES, by_year, name as line_name};
pub(crate) use measures::{rates, repaid};
pub use pasted::{pasted, read_amounts};

/// Most numbers that may be kept, 8 bytes each.
const MOST_NUMBERS: u64 = 60_000_000;

/// What is asked.
#[derive(Debug, Clone)]
pub struct CashOrder {
    /// Index of the contract under which everything is priced.
    pub contract: usize,
    /// Index of the option with which the others are compared.
    pub reference: usize,
    /// Kind of money in which amounts are shown.
    pub shown: Shown,
    /// General inflation per year, where the scenario states none and one is needed.
    pub inflation: Option<f64>,
    /// What becomes of fixtures whose service does not end with the horizon.
    pub lives: Lives,
}

/// One option in one trial.
pub(crate) struct Note {
    /// Amounts as shown: the start and each month, by line.
    months: Vec<[f64; LINES]>,
    /// Present value of all of it, at the trial's own rate.
    present: f64,
    /// Present value of what is paid at the start, and of what fixtures are worth at the horizon.
    outlay: f64,
    left: f64,
    /// Present value of the photons, mol.
    moles: f64,
}

/// Lives the trials and works the cash flows out.
///
/// # Errors
/// A message when an inflation is missing or superfluous, when so many trials would not fit into memory, or when tax does
/// not go with the outlay.
pub fn cash(
    plan: &Plan,
    order: &CashOrder,
    settings: &Settings,
    program: &str,
    stop: &AtomicBool,
    tell: &mut dyn FnMut(Progress),
) -> Result<CashReport, String> {
    let basis = Basis::new(plan, order.shown, order.inflation)?;
    let per_trial = (plan.options.len() * (plan.months() + 1) * LINES) as u64;
    if per_trial.saturating_mul(settings.trials) > MOST_NUMBERS {
        let fitting = MOST_NUMBERS / per_trial;
        return Err(format!("--trials {}: {fitting} trials of this scenario fit into memory", settings.trials));
    }
    let moments = basis::moments(plan);
    let options: Vec<usize> = (0..plan.options.len()).collect();
    let contracts = [order.contract];
    let scope = Scope { options: &options, contracts: &contracts, points: 1, months: true };
    let note = |seen: Seen| note(plan, order.lives, &basis, &moments, &seen);
    let trials = revisit(plan, scope, settings, stop, tell, |_, _, _| settings.seed, note);
    if trials.len() < 2 {
        return Err("fewer than two trials were lived: nothing can be said".into());
    }
    let of_option = |o: usize| trials.iter().filter_map(|noted| noted.get(o)).collect::<Vec<&Note>>();
    let notes: Vec<Vec<&Note>> = options.iter().map(|&o| of_option(o)).collect();
    let desk = Desk { plan, order, basis, moments: &moments, notes: &notes };
    desk.report(settings, program, trials.len() as u64, stop.load(Ordering::Relaxed))
}

/// Takes down what is wanted of a trial.
fn note(plan: &Plan, lives: Lives, basis: &Basis, moments: &[f64], seen: &Seen) -> Note {
    let worth = lives::worth(plan, lives, seen);
    let growth = basis.growth(basis.inflation(plan, seen.values));
    let mut months = by_line(seen, &worth);
    if growth != 0.0 {
        for (row, moment) in months.iter_mut().zip(moments) {
            let level = (growth * moment).exp();
            row.iter_mut().for_each(|amount| *amount *= level);
        }
    }
    let at_end = seen.discount.last().copied().unwrap_or(0.0);
    let present: f64 = seen.priced.present.iter().sum();
    Note {
        present: present + (worth.as_written - worth.chosen) * at_end,
        outlay: seen.priced.by_month.first().map_or(0.0, |start| start.iter().sum()),
        left: worth.chosen * at_end,
        moles: seen.priced.present_moles,
        months,
    }
}

/// Amounts of the start and each month, in money as written.
fn by_line(seen: &Seen, worth: &lives::Worth) -> Vec<[f64; LINES]> {
    let mut months: Vec<[f64; LINES]> = vec![[0.0; LINES]; seen.priced.by_month.len()];
    for (row, costs) in months.iter_mut().zip(&seen.priced.by_month) {
        row[..CAUSES].copy_from_slice(costs);
    }
    if let Some(last) = months.last_mut() {
        // the worth has a line of its own
        last[engine::Cause::Credits as usize] += worth.as_written;
        last[WORTH] = -worth.chosen;
    }
    months
}

/// The same where all fixtures end with the horizon.
pub(crate) fn as_written(plan: &Plan, seen: &Seen) -> Vec<[f64; LINES]> {
    by_line(seen, &lives::worth(plan, Lives::Horizon, seen))
}

/// Mean flows of all options, and what is known of their moments.
struct Means<'a> {
    flows: &'a [MeanFlow],
    /// Positions of the lines that are shown.
    shown: &'a [usize],
    /// Present value of 1 at each moment.
    factors: &'a [f64],
    dates: &'a [String],
    rate: f64,
    /// Whether there is tax or a loan.
    taxed: bool,
}

/// Everything that the answer is made of.
struct Desk<'a> {
    plan: &'a Plan,
    order: &'a CashOrder,
    basis: Basis,
    moments: &'a [f64],
    /// By option, then by trial.
    notes: &'a [Vec<&'a Note>],
}

impl Desk<'_> {
    fn report(&self, settings: &Settings, program: &str, trials: u64, stopped: bool) -> Result<CashReport, String> {
        let Self { plan, order, basis, moments, .. } = self;
        let medians = plan.inputs.medians();
        let rate = basis.rate(plan, &medians);
        let factors: Vec<f64> = moments.iter().map(|moment| (-moment * rate.ln_1p()).exp()).collect();
        let years = f64::from(plan.years);
        let mut flows: Vec<MeanFlow> = self.notes.iter().map(|notes| MeanFlow::new(notes, |_| true)).collect();
        let taxed = after_tax::add(plan, basis, moments, &mut flows)?;
        let service = service(plan, order.contract);
        let shown = flows::shown(&flows);
        let dates = basis::dates(plan);
        let words = |fault: finance::Fault| fault.to_string();
        let means = Means { flows: &flows, shown: &shown, factors: &factors, dates: &dates, rate, taxed };
        let mut options = vec![];
        for (o, notes) in self.notes.iter().enumerate() {
            let of = |read: fn(&Note) -> f64| mean(&notes.iter().map(|note| read(note)).collect::<Vec<f64>>()).0;
            let reference = &self.notes[order.reference];
            let present = |notes: &[&Note]| notes.iter().map(|note| note.present).collect::<Vec<f64>>();
            let light = of(|note| note.moles);
            let mut option = CashOption {
                name: plan.options[o].name.clone(),
                light_basis: plan.options[o].light.basis.clone(),
                lines: flows[o].lines(&shown, &factors),
                at_year_ends: flows::at_year_ends(&flows[o].total(), moments, rate),
                cumulative: self.cumulative(notes),
                outlay: of(|note| note.outlay),
                left: of(|note| note.left),
                running: of(|note| note.present - note.outlay + note.left),
                life_cycle_cost: spread(present(notes)),
                equivalent_annual: Estimate::default(),
                light_mol: light,
                light_of_reference: mean(&ratios(notes, reference)).0,
                light_of_service: if service.present_moles > 0.0 { light.value / service.present_moles } else { 0.0 },
                budget: budget::budget(notes, order.lives, &dates),
                against: None,
            };
            let cost = option.life_cycle_cost.mean;
            option.equivalent_annual = Estimate {
                value: equivalent_annual(cost.value, rate, years).map_err(words)?,
                se: cost.se / uniform_factor(rate, years),
            };
            if o != order.reference {
                option.against = Some(self.against(o, &means)?);
            }
            options.push(option);
        }
        Ok(CashReport {
            format: CASH_FORMAT.into(),
            program: program.into(),
            title: plan.title.clone(),
            currency: plan.currency.clone(),
            basis: Basis::words(basis.nominal).into(),
            basis_as_written: plan.money.basis().into(),
            discount_rate: rate,
            discount_rate_as_written: medians[plan.money.discount_rate.index()],
            inflation: (basis.asked.is_some() || basis.written_nominal).then(|| basis.inflation(plan, &medians)),
            prices_of: plan.prices_of.clone(),
            start: plan.first_day.to_string(),
            horizon_years: plan.years,
            booked: plan.money.booking.in_words().into(),
            annuity: (uniform_factor(rate, years), factors.iter().skip(1).sum::<f64>() / 12.0),
            contract: plan.contracts[order.contract].name.clone(),
            reference: order.reference,
            lives: order.lives,
            service_mol: service.present_moles,
            service: service.words,
            seed: settings.seed,
            trials,
            ended: if stopped && trials < settings.trials { Ended::Interrupted } else { Ended::Trials },
            dates,
            moments_yr: moments.to_vec(),
            factors,
            after_tax_words: after_tax::words(plan, &medians),
            options,
            cautions: plan.cautions.clone(),
            remarks: self.remarks(),
        })
    }

    /// Cash since the start, month by month; a worth that is only reckoned is no cash.
    fn cumulative(&self, notes: &[&Note]) -> Vec<Stretch> {
        let mut sums = vec![0.0; notes.len()];
        let month = |m: usize| {
            for (sum, note) in sums.iter_mut().zip(notes) {
                *sum += budget::cash(&note.months[m], self.order.lives);
            }
            let sorted = Sorted::new(sums.clone());
            Stretch { mean: mean(&sums).0.value, p10: sorted.quantile(0.1), p90: sorted.quantile(0.9) }
        };
        (0..self.moments.len()).map(month).collect()
    }

    fn against(&self, o: usize, means: &Means) -> Result<Against, String> {
        let Means { flows, shown, factors, dates, rate, taxed } = means;
        let rate = *rate;
        let words = |fault: finance::Fault| fault.to_string();
        let reference = self.order.reference;
        let saved = flows[reference].less(&flows[o]);
        let (ours, theirs) = (&self.notes[o], &self.notes[reference]);
        let paired = |read: &dyn Fn(&Note, &Note) -> f64| -> Vec<f64> {
            theirs.iter().zip(ours).map(|(theirs, ours)| read(theirs, ours)).collect()
        };
        let present = |notes: &[&Note]| notes.iter().map(|note| note.present).collect::<Vec<f64>>();
        let npvs = leads(&present(theirs), &present(ours));
        let wins: f64 = npvs
            .iter()
            .map(|npv| {
                if *npv > 0.0 {
                    1.0
                } else if *npv == 0.0 {
                    0.5
                } else {
                    0.0
                }
            })
            .sum();
        let (n, chance) = (npvs.len() as f64, wins / npvs.len() as f64);
        // M(reference) · (cost per mole of the reference − cost per mole of the option)
        let equal_light: Vec<f64> = leads(
            &present(theirs),
            &paired(&|theirs, ours| {
                if ours.moles > 0.0 { ours.present * (theirs.moles / ours.moles) } else { f64::NAN }
            }),
        );
        let total = saved.total();
        let flow = Flows::dated(&pairs(self.moments, &total)).map_err(words)?;
        let groups = measures::groups(self, o);
        let investment = mean(&paired(&|theirs, ours| (ours.outlay - ours.left) - (theirs.outlay - theirs.left))).0;
        let running = |note: &Note| note.present - note.outlay + note.left;
        let savings = mean(&paired(&|theirs, ours| running(theirs) - running(ours))).0;
        let case = measures::Case {
            flow: flow.clone(),
            investment: investment.value,
            savings: savings.value,
            rate,
            years: f64::from(self.plan.years),
        };
        let found = measures::measures(&case, &groups, dates);
        let after_tax = match taxed {
            false => None,
            true => {
                let flow = Flows::dated(&pairs(self.moments, &saved.after_tax())).map_err(words)?;
                let npv = flow.present_value(rate).map_err(words)?;
                Some(AfterTaxed { npv, irr: measures::rates(&flow, &[]) })
            }
        };
        Ok(Against {
            lines: saved.lines(shown, factors),
            at_year_ends: flows::at_year_ends(&total, self.moments, rate),
            npv_of_mean_flow: flow.present_value(rate).map_err(words)?,
            npv: spread(npvs),
            chance: Estimate { value: chance, se: (chance * (1.0 - chance) / n).sqrt() },
            npv_equal_light: finite(spread(equal_light)),
            investment,
            savings,
            sir: found.sir,
            airr: found.airr,
            irr: found.irr,
            mirr: found.mirr,
            simple_payback: found.simple,
            discounted_payback: found.discounted,
            deepest: self.deepest(&flow, (theirs, ours), dates),
            after_tax,
        })
    }

    /// The lowest running sum of savings: of the mean flow, and how deep it gets in one trial of ten.
    fn deepest(&self, flow: &Flows, (theirs, ours): (&[&Note], &[&Note]), dates: &[String]) -> Month {
        let depth = |(theirs, ours): (&&Note, &&Note)| {
            let lives = self.order.lives;
            let months = theirs.months.iter().zip(&ours.months);
            let saved = months.map(|(theirs, ours)| budget::cash(theirs, lives) - budget::cash(ours, lives));
            saved.fold((0.0, 0.0f64), |(sum, lowest), saved| (sum + saved, lowest.min(sum + saved))).1
        };
        let depths: Vec<f64> = theirs.iter().zip(ours).map(depth).collect();
        let (of_mean, _) = mean(&depths);
        let lowest = flow.deepest().filter(|point| point.amount < 0.0);
        let amount = lowest.map_or(0.0, |point| point.amount);
        Month {
            date: lowest.and_then(|point| dates.get(point.place)).cloned().unwrap_or_default(),
            mean: Estimate { value: amount, se: of_mean.se },
            p90: Sorted::new(depths).estimate(0.1),
        }
    }

    fn remarks(&self) -> Vec<String> {
        let plan = self.plan;
        let mut remarks = lives::remark(plan, self.order.lives);
        let uncertain = |id: plan::InputId| {
            let input = plan.inputs.at(id);
            input.quantile(0.1) != input.quantile(0.9)
        };
        if uncertain(plan.money.discount_rate) || plan.money.inflation.is_some_and(uncertain) {
            remarks.push(
                "The discount rate or the inflation is uncertain: life-cycle costs and the distribution of the net present \
                 value take each trial's own, rates of return, payback and present values of rows the median; the two \
                 differ a little"
                    .into(),
            );
        }
        remarks.extend(plan.remarks.iter().cloned());
        remarks
    }
}

/// Light of an option as a share of the reference's, trial by trial.
fn ratios(ours: &[&Note], theirs: &[&Note]) -> Vec<f64> {
    // a room without light has no share of anything
    let share = |(ours, theirs): (&&Note, &&Note)| if theirs.moles > 0.0 { ours.moles / theirs.moles } else { 0.0 };
    ours.iter().zip(theirs).map(share).collect()
}

/// Moments and amounts side by side.
pub(crate) fn pairs(moments: &[f64], amounts: &[f64]) -> Vec<(f64, f64)> {
    moments.iter().copied().zip(amounts.iter().copied()).collect()
}

/// A spread without a number that is none.
fn finite(spread: Spread) -> Spread {
    if spread.mean.value.is_finite() { spread } else { crate::spread::spread(vec![0.0, 0.0]) }
}
