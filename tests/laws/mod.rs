//! What must hold for every seed.
//!
//! Belongs here: limits in which the answer is known by algebra, and relations between two runs. Does not belong here:
//! numbers from elsewhere (`outside`), and whether a run repeats itself (`repeat`).

mod additions;
mod bills;
mod calendar;
mod cash;
mod civil_year;
mod decisions;
mod energy;
pub mod everything;
mod for_ever;
mod kept;
mod learn_life;
mod life_test;
mod light_walks;
mod limits;
mod lots;
mod measured;
mod mixing;
mod money;
mod moved;
mod outages;
mod parts;
mod paths;
mod rank;
mod relamping;
mod rich_hours;
mod score;
mod search;
mod service;
mod sheets;
mod split;
mod stage;
mod starts;
mod warranty;
mod why;
mod workbook;

use engine::{Cell, LifeCell, Outcome};

/// Everything that a run says about one option under one contract on one clock, trial by trial, as bits.
fn columns(outcome: &Outcome, option: usize, contract: usize, clock: usize) -> Vec<[u64; 8]> {
    (0..outcome.trials as usize)
        .map(|trial| {
            let Cell { levelized, plain, total, present } = *outcome.cell(trial, option, contract);
            let LifeCell { moles, lamps_bought, failures, dark_hours } = *outcome.life(trial, option, clock);
            [levelized, plain, total, present, moles, lamps_bought, failures, dark_hours].map(f64::to_bits)
        })
        .collect()
}

/// The physical half of the same.
fn physical(outcome: &Outcome, option: usize, clock: usize) -> Vec<[u64; 4]> {
    (0..outcome.trials as usize)
        .map(|trial| {
            let LifeCell { moles, lamps_bought, failures, dark_hours } = *outcome.life(trial, option, clock);
            [moles, lamps_bought, failures, dark_hours].map(f64::to_bits)
        })
        .collect()
}

/// Asserts that two numbers agree to a share of the second.
#[track_caller]
fn assert_close(found: f64, expected: f64, share: f64, what: &str) {
    let off = if found == expected { 0.0 } else { (found / expected - 1.0).abs() };
    assert!(off <= share, "{what}: {found} against {expected}, off by {off:.2e}, allowed {share:.0e}");
}
