//! When to stop a life test: at each check-point, whether going on to the end is worth what it still costs.
//!
//! Belongs here: the rule by the number of dead lamps, how likely each number is, hours until the end. Does not belong here:
//! what a whole test is worth (`believed`), which test it is.
//!
//! The rule looks ahead once, to the end of the test, and counts dead lamps only. Every number that may die until then is
//! gone through, with its binomial chance under each truth: no luck of its own.

use choice::Table;
use choice::information::Truths;
use engine::Burns;

use super::believed::Believed;
use crate::life_test_report::{Check, Count, Design, StopAdvice, StopTable};

/// Check-points at most.
const CHECKS: usize = 8;
/// Steps that the rule may take, about, and truths that it uses at the least.
const STEPS: usize = 40_000_000;
const FEWEST: usize = 400;

/// What goes on costing while a test goes on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Running {
    /// A lamp's electricity of an hour, currency.
    pub lamp_hour: f64,
    /// A look, currency.
    pub look: f64,
    /// What is paid before the first look, currency.
    pub before: f64,
}

/// The rule for a design whose looks are at these hours.
pub(super) fn stop_table(
    believed: &Believed,
    (design, looks): (&Design, &[f64]),
    burns: Burns,
    running: Running,
    rooms: u64,
) -> Result<StopTable, String> {
    let said = |fault: choice::Fault| fault.to_string();
    let n = design.lamps as usize;
    let count = looks.len().min(CHECKS);
    let places: Vec<usize> = (1..=count).map(|k| (k * looks.len()).div_ceil(count) - 1).collect();
    let checks: Vec<f64> = places.iter().map(|&place| looks[place]).collect();
    // any few of the truths are drawn as all of them are
    let used = (STEPS / ((n + 1) * (n + 1) * count)).max(FEWEST).min(believed.count());
    let chosen: Vec<usize> = (0..used).map(|k| k * believed.count() / used).collect();
    let rows: Vec<Vec<f64>> = chosen.iter().map(|&truth| believed.expected.row(truth).to_vec()).collect();
    let costs = Table::new(&rows).map_err(said)?;
    let truths = Truths::new(&costs);
    let alive: Vec<Vec<f64>> = chosen
        .iter()
        .map(|&truth| {
            let lamps = believed.on_test(truth, burns);
            checks.iter().map(|&hours| lamps.alive(hours)).collect()
        })
        .collect();
    let now = truths.best();
    let last = count - 1;
    let mut log = vec![0.0; used];
    // share of each truth that is here with so many dead, not having stopped before
    let mut here: Vec<Vec<f64>> = vec![[vec![1.0], vec![0.0; n]].concat(); used];
    let mut table = StopTable {
        lamps: design.lamps,
        hours: design.hours,
        rooms,
        checks: vec![],
        expected_h: 0.0,
        expected_cost: running.before,
        expected_worth: 0.0,
        pays_from_rooms: None,
        chances: vec![0.0; costs.options()],
    };
    for check in 0..count {
        let from = if check == 0 { 0.0 } else { checks[check - 1] };
        let looks_here = places[check] + 1 - if check == 0 { 0 } else { places[check - 1] + 1 };
        for (here, alive) in here.iter_mut().zip(&alive) {
            let before = if check == 0 { 1.0 } else { alive[check - 1] };
            let later = aged(here, survive(before, alive[check]));
            let lamp_hours = 0.5 * (lamps_alive(here) + lamps_alive(&later)) * (checks[check] - from);
            let looks = later.iter().sum::<f64>() * looks_here as f64;
            table.expected_cost += (lamp_hours * running.lamp_hour + looks * running.look) / used as f64;
            *here = later;
        }
        let mut counts = vec![];
        for dead in 0..=n {
            let chance = here.iter().map(|here| here[dead]).sum::<f64>() / used as f64;
            let (gone, left) = (dead as f64, (n - dead) as f64);
            for (log, alive) in log.iter_mut().zip(&alive) {
                let (dies, lasts) = ((1.0 - alive[check]).ln(), alive[check].ln());
                *log = if dead > 0 { gone * dies } else { 0.0 } + if dead < n { left * lasts } else { 0.0 };
            }
            let mut found = Count {
                dead: u32::try_from(dead).unwrap_or(u32::MAX),
                chance,
                choice: now,
                worth_of_going_on: 0.0,
                cost_of_going_on: 0.0,
                advice: StopAdvice::CannotBe,
            };
            if let Some(after) = truths.given(&log).map_err(said)? {
                found.choice = after.best();
                found.advice = StopAdvice::Choose;
                if check < last {
                    let worth = after.enumerated(n - dead + 1, |more, out| {
                        for (out, alive) in out.iter_mut().zip(&alive) {
                            *out = binomial(n - dead, more, 1.0 - survive(alive[check], alive[last]));
                        }
                    });
                    found.worth_of_going_on = worth.map_err(said)? * rooms as f64;
                    let looks_left = (looks.len() - 1 - places[check]) as f64;
                    found.cost_of_going_on =
                        left * (design.hours - checks[check]) * running.lamp_hour + looks_left * running.look;
                    if found.worth_of_going_on > found.cost_of_going_on {
                        found.advice = StopAdvice::GoOn;
                    }
                }
            }
            if found.advice != StopAdvice::GoOn {
                table.expected_h += chance * checks[check];
                table.chances[found.choice] += chance;
                let saved = |(here, row): (&Vec<f64>, &Vec<f64>)| here[dead] * (row[now] - row[found.choice]);
                table.expected_worth += here.iter().zip(&rows).map(saved).sum::<f64>() / used as f64;
                here.iter_mut().for_each(|here| here[dead] = 0.0);
            }
            counts.push(found);
        }
        table.checks.push(Check { hours: checks[check], counts });
    }
    Ok(table)
}

/// Lamps alive on average, those of tests that were stopped left out.
fn lamps_alive(here: &[f64]) -> f64 {
    here.iter().rev().enumerate().map(|(alive, chance)| alive as f64 * chance).sum()
}

/// Chance that a lamp alive before is alive after.
fn survive(before: f64, after: f64) -> f64 {
    if before > 0.0 { (after / before).min(1.0) } else { 0.0 }
}

/// Chances of so many dead lamps after each of those left has lived on with a chance.
fn aged(here: &[f64], survives: f64) -> Vec<f64> {
    let n = here.len() - 1;
    let mut after = vec![0.0; n + 1];
    for (dead, chance) in here.iter().enumerate().filter(|(_, chance)| **chance > 0.0) {
        for more in 0..=n - dead {
            after[dead + more] += chance * binomial(n - dead, more, 1.0 - survives);
        }
    }
    after
}

/// Chance of k of n where each has a chance p; n up to some hundreds.
fn binomial(n: usize, k: usize, p: f64) -> f64 {
    let few = k.min(n - k);
    let ways = (0..few).fold(1.0, |ways, j| ways * (n - j) as f64 / (j + 1) as f64);
    let power = |base: f64, times: usize| base.powi(i32::try_from(times).unwrap_or(i32::MAX));
    ways * power(p, k) * power(1.0 - p, n - k)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn binomial_chances_are_those_of_small_cases_by_hand() {
        let all: Vec<f64> = (0..=3).map(|k| binomial(3, k, 0.25)).collect();
        assert_eq!(all, [27.0 / 64.0, 27.0 / 64.0, 9.0 / 64.0, 1.0 / 64.0]);
        assert_eq!((binomial(2, 0, 0.0), binomial(2, 2, 1.0), binomial(0, 0, 0.3)), (1.0, 1.0, 1.0));
        let sum: f64 = (0..=200).map(|k| binomial(200, k, 0.37)).sum();
        assert!((sum - 1.0).abs() < 1e-11, "{sum}");
    }

    #[test]
    fn lamps_alive_are_counted_over_running_tests_only() {
        // three lamps: none dead in half of the tests, one dead in a quarter, the rest was stopped
        assert_eq!(lamps_alive(&[0.5, 0.25, 0.0, 0.0]), 0.5 * 3.0 + 0.25 * 2.0);
    }

    #[test]
    fn two_steps_are_as_good_as_one() {
        let start = [1.0, 0.0, 0.0, 0.0, 0.0];
        let twice = aged(&aged(&start, 0.9), 0.7);
        for (k, (twice, once)) in twice.iter().zip(aged(&start, 0.63)).enumerate() {
            assert!((twice - once).abs() < 1e-15 && (once - binomial(4, k, 0.37)).abs() < 1e-15, "{k}");
        }
    }
}
