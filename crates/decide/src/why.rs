//! Why one option leads another, and the arithmetic of what each costs.
//!
//! Belongs here: living the trials, and splitting a lead. Does not belong here: the arithmetic of one option (`why_sums`).
//!
//! The split. In a trial an option costs C = Σ cₖ of present value, its room gives F µmol/s when new, and delivers m mol of
//! present value. With xₖ = cₖ/F, money for the same light when new, and h = F/m, the inverse of the hours of full light
//! that it held, a mole costs Σ xₖ·h. A difference of products is halved fairly, Δ(x·h) = Δx·(h + h′)/2 + Δh·(x + x′)/2,
//! which adds up exactly and only turns its sign when the two change places. So
//! - cause k: (xₖ − xₖ′)·(h + h′)/2, in turn halved between money for a fixture, cₖ/n, and light of a new fixture, F/n;
//! - light held: (h − h′)·(X + X′)/2 with X = Σ xₖ, in turn halved between darkness, 1/(1 − dark), and the rest.
//!
//! A room of twice as many of the same fixtures has no lead in any part. Each trial is split by itself, then averaged.

use std::sync::atomic::{AtomicBool, Ordering};

use engine::{CAUSES, Cause, Progress, Scope, Seen, Settings, new_flux, revisit};
use plan::{ClockPlan, Plan};

use crate::race::race;
use crate::result::{Ended, Estimate};
use crate::spread::mean;
pub use crate::why_report::*;
use crate::why_sums::Summing;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct WhyOrder {
    /// Index of the option.
    pub option: usize,
    /// Index of the option that it is compared with, if any; its own index gives a lead of exactly nothing.
    pub against: Option<usize>,
    /// Index of the contract under which all is priced.
    pub contract: usize,
    /// Trials, seed, threads.
    pub settings: Settings,
}

/// mol for each µmol/s in an hour.
pub(crate) const MOL_PER_FLUX_HOUR: f64 = 3600.0 * 1e-6;

/// What is noted of an option in a trial.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Note {
    /// Present value by cause, and not discounted.
    pub present: [f64; CAUSES],
    pub total: [f64; CAUSES],
    /// Levelized cost, currency per mol.
    pub levelized: f64,
    /// Present value of the photons, mol.
    pub moles: f64,
    /// Energy of the lights, kWh.
    pub kwh: f64,
    /// Flux of the whole room when new, µmol/s.
    pub flux: f64,
    /// Σ discount factors / 12: years of a constant amount that come to the same present value.
    pub years: f64,
    /// Dark socket-hours as a share of all.
    pub dark: f64,
    /// Lamps bought; put in for failed ones; put in as planned.
    pub lamps: [f64; 3],
    /// Repairs of control gear; cleanings of the room.
    pub repairs: f64,
    pub cleanings: f64,
}

impl Note {
    fn new(seen: &Seen, plan: &Plan) -> Self {
        let (option, ledger) = (&plan.options[seen.option], seen.ledger);
        let timeline = &plan.clocks[plan.contracts[seen.contract].clock].timeline;
        let count = |list: &[u32]| list.iter().map(|&n| f64::from(n)).sum::<f64>();
        Self {
            present: seen.priced.present,
            total: seen.priced.total,
            levelized: seen.priced.levelized(),
            moles: seen.priced.present_moles,
            kwh: seen.priced.kwh,
            flux: new_flux(option, seen.values),
            years: seen.discount.iter().sum::<f64>() / 12.0,
            dark: ledger.dark_hours / (timeline.lit_hours * option.sockets() as f64),
            lamps: [ledger.lamps_bought() as f64, count(&ledger.spot_lamps), count(&ledger.planned_lamps)],
            repairs: count(&ledger.gear_repairs),
            cleanings: count(&ledger.cleanings),
        }
    }
}

/// Hours of full light of a schedule over the horizon, h.
pub(crate) fn full_light_hours(clock: &ClockPlan) -> f64 {
    clock.cells.iter().map(|cell| (cell.to - cell.from) * cell.flux).sum()
}

/// Says why. `tell` hears of progress.
pub fn why(plan: &Plan, order: &WhyOrder, program: &str, stop: &AtomicBool, tell: impl FnMut(Progress)) -> WhyReport {
    let mut options = vec![order.option];
    options.extend(order.against.filter(|&other| other != order.option));
    let scope = Scope { options: &options, contracts: &[order.contract], points: 1, months: false };
    let seed = order.settings.seed;
    let noted = revisit(plan, scope, &order.settings, stop, tell, |_, _, _| seed, |seen| Note::new(&seen, plan));
    let notes: Vec<Vec<&Note>> = (0..options.len()).map(|k| noted.iter().map(|trial| &trial[k]).collect()).collect();
    let trials = noted.len() as u64;
    let lead = order.against.map(|against| {
        let other = if against == order.option { &notes[0] } else { &notes[1] };
        lead(plan, (order.option, &notes[0]), (against, other))
    });
    let summing = Summing { plan, contract: order.contract, seed, trials };
    let contract = &plan.contracts[order.contract];
    WhyReport {
        format: WHY_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: summing.mean_of(plan.money.discount_rate),
        booked: plan.money.booking.in_words().into(),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        contract: contract.name.clone(),
        lights: contract.lights.clone(),
        seed,
        trials,
        ended: if stop.load(Ordering::Relaxed) { Ended::Interrupted } else { Ended::Trials },
        lead,
        sums: options.iter().zip(&notes).map(|(&option, notes)| summing.option(option, notes)).collect(),
        cautions: plan.cautions.clone(),
        remarks: remarks(plan, &options),
    }
}

fn remarks(plan: &Plan, options: &[usize]) -> Vec<String> {
    let mut said = plan.remarks.clone();
    let dims = |&&option: &&usize| plan.options[option].light.ceiling.is_some();
    if options.iter().filter(dims).count() > 0 {
        said.push("photons above the ceiling of PPFD count here; `run` tells the useful ones apart".into());
    }
    said
}

/// Two halves of a difference of products, x·h − x′·h′: what x makes of it, and what h makes of it.
///
/// They add up to the difference, and turn their signs when the two change places.
fn halves((x, h): (f64, f64), (other_x, other_h): (f64, f64)) -> (f64, f64) {
    ((x - other_x) * (h + other_h) / 2.0, (h - other_h) * (x + other_x) / 2.0)
}

/// A lead in one trial.
#[derive(Default)]
struct Split {
    causes: [f64; CAUSES],
    by_money: [f64; CAUSES],
    by_new_light: [f64; CAUSES],
    held: f64,
    by_kwh: f64,
    by_price: f64,
    by_dark: f64,
    by_dimming: f64,
}

/// One side of a lead in a trial: an option's numbers for the same light when new.
struct Side<'a> {
    note: &'a Note,
    fixtures: f64,
    /// Inverse of the hours of full light held.
    h: f64,
}

impl Side<'_> {
    fn new(note: &Note, fixtures: u32) -> Side<'_> {
        Side { note, fixtures: fixtures.into(), h: note.flux / note.moles }
    }

    /// Money for the light of 1 µmol/s when new.
    fn x(&self, cause: usize) -> f64 {
        self.note.present[cause] / self.note.flux
    }

    /// The same as money for a fixture, and the inverse of its light.
    fn fixture(&self, cause: usize) -> (f64, f64) {
        (self.note.present[cause] / self.fixtures, self.fixtures / self.note.flux)
    }

    /// Its energy as kWh for that light, and the present value that one of them costs.
    fn energy(&self) -> (f64, f64) {
        let Note { kwh, present, flux, .. } = self.note;
        (kwh / flux, if *kwh > 0.0 { present[Cause::Energy as usize] / kwh } else { 0.0 })
    }

    /// What it held, as the inverses of what darkness and dimming left.
    fn held(&self) -> (f64, f64) {
        let lit = 1.0 - self.note.dark;
        (1.0 / lit, lit * self.h)
    }
}

fn split(a: &Side, b: &Side) -> Split {
    let mut split = Split::default();
    let h = (a.h + b.h) / 2.0;
    let (mut all_a, mut all_b) = (0.0, 0.0);
    for cause in 0..CAUSES {
        let (x_a, x_b) = (a.x(cause), b.x(cause));
        all_a += x_a;
        all_b += x_b;
        split.causes[cause] = (x_a - x_b) * h;
        let (money, light) = halves(a.fixture(cause), b.fixture(cause));
        (split.by_money[cause], split.by_new_light[cause]) = (money * h, light * h);
    }
    let (kwh, price) = halves(a.energy(), b.energy());
    (split.by_kwh, split.by_price) = (kwh * h, price * h);
    let all = (all_a + all_b) / 2.0;
    split.held = (a.h - b.h) * all;
    let (dark, dimming) = halves(a.held(), b.held());
    (split.by_dark, split.by_dimming) = (dark * all, dimming * all);
    split
}

/// The lead of one option over another; both come with their index and the notes of the same trials.
fn lead(plan: &Plan, (a, of_a): (usize, &[&Note]), (b, of_b): (usize, &[&Note])) -> Lead {
    let fixtures = |option: usize| plan.options[option].fixtures;
    let pairs = of_a.iter().zip(of_b);
    let splits: Vec<Split> =
        pairs.map(|(x, y)| split(&Side::new(x, fixtures(a)), &Side::new(y, fixtures(b)))).collect();
    let of = |read: &dyn Fn(&Split) -> f64| -> Estimate { mean(&splits.iter().map(read).collect::<Vec<_>>()).0 };
    let costs = |notes: &[&Note]| notes.iter().map(|note| note.levelized).collect::<Vec<_>>();
    let race = race(a, &costs(of_a), b, &costs(of_b));
    let mut parts: Vec<LeadPart> = Cause::ALL
        .iter()
        .map(|&cause| {
            let k = cause as usize;
            LeadPart {
                cause: Some(cause),
                name: cause.label().into(),
                lead: of(&|split| split.causes[k]),
                by_money: Some(of(&|split| split.by_money[k])),
                by_new_light: Some(of(&|split| split.by_new_light[k])),
            }
        })
        .collect();
    parts.push(LeadPart {
        cause: None,
        name: "light held".into(),
        lead: of(&|split| split.held),
        by_money: None,
        by_new_light: None,
    });
    Lead {
        option: plan.options[a].name.clone(),
        against: plan.options[b].name.clone(),
        lead: race.lead,
        chance_cheaper: race.chance_a_cheaper,
        verdict: race.verdict,
        parts,
        energy: EnergyParts { by_kwh: of(&|split| split.by_kwh), by_price: of(&|split| split.by_price) },
        held: HeldParts { by_dark: of(&|split| split.by_dark), by_dimming: of(&|split| split.by_dimming) },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(scale: f64) -> Note {
        Note {
            present: std::array::from_fn(|k| 100.0 * (scale + k as f64).sin()),
            total: [0.0; CAUSES],
            levelized: 0.0,
            moles: 1e5 * scale,
            kwh: 900.0 + scale,
            flux: 1500.0 - scale,
            years: 4.0,
            dark: 0.01 * scale,
            lamps: [0.0; 3],
            repairs: 0.0,
            cleanings: 0.0,
        }
    }

    #[test]
    fn halves_add_up_and_turn_round() {
        let (p, q) = ((3.7, 0.21), (2.9, 0.33));
        let (x, h) = halves(p, q);
        assert!((x + h - (3.7 * 0.21 - 2.9 * 0.33)).abs() < 1e-15);
        assert_eq!(halves(q, p), (-x, -h));
        assert_eq!(halves(p, p), (0.0, 0.0));
    }

    #[test]
    fn a_part_is_the_sum_of_its_parts() {
        let (a, b) = (note(1.0), note(1.7));
        let split = split(&Side::new(&a, 10), &Side::new(&b, 14));
        for k in 0..CAUSES {
            assert!((split.by_money[k] + split.by_new_light[k] - split.causes[k]).abs() < 1e-15);
        }
        assert!((split.by_kwh + split.by_price - split.causes[Cause::Energy as usize]).abs() < 1e-15);
        assert!((split.by_dark + split.by_dimming - split.held).abs() < 1e-15);
        let cost = |note: &Note| note.present.iter().sum::<f64>() / note.moles;
        let sum = split.causes.iter().sum::<f64>() + split.held;
        assert!((sum - (cost(&a) - cost(&b))).abs() < 1e-15);
    }

    #[test]
    fn more_of_the_same_fixtures_is_no_lead() {
        let a = note(1.3);
        let mut b = a.clone();
        b.present.iter_mut().for_each(|amount| *amount *= 2.0);
        (b.moles, b.kwh, b.flux) = (2.0 * a.moles, 2.0 * a.kwh, 2.0 * a.flux);
        let split = split(&Side::new(&a, 8), &Side::new(&b, 16));
        assert!(split.causes.iter().chain(&split.by_money).chain(&split.by_new_light).all(|&part| part == 0.0));
        assert_eq!((split.held, split.by_kwh, split.by_price), (0.0, 0.0, 0.0));
    }
}
