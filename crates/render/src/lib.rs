//! Finished numbers in, text out: what `run` prints, the CSV tables, the charts, the workbook and `result.json`.
//!
//! Belongs here: layout, rounding for display, escaping, scaling to a page. Does not belong here: statistics, files,
//! the clock, the environment. Every function is a pure function of its arguments and gives the same bytes each time.
//!
//! Money per mole is stored in the scenario's currency per mol. A person reads it as "ct/mol", where 1 ct is 0.01 of
//! the currency; CSV and JSON keep currency per mol.

#![cfg_attr(test, allow(clippy::unwrap_used, reason = "a test that fails may panic"))]

pub mod answer;
pub mod assign;
pub mod bill;
pub mod breakeven;
pub mod canopy;
pub mod cash;
pub mod charts;
pub mod checked;
pub mod drivers;
pub mod fading;
pub mod hours;
pub mod json;
pub mod learn_life;
pub mod life_test;
pub mod map;
pub mod mix;
pub mod number;
pub mod page;
pub mod rank;
pub mod relamp;
pub mod run;
pub mod score;
pub mod stage;
pub mod stored;
pub mod table;
pub mod web;
pub mod why;
pub mod workbook;

mod prices;
mod words;

#[cfg(test)]
mod proofreading;
#[cfg(test)]
mod sample;
