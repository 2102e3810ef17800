//! What a run leaves behind: results by trial, sums over all trials, and a closer look at the first ones.

use plan::Plan;
use sha2::{Digest as _, Sha256};

use crate::cause::CAUSES;

/// Numbers of one option under one contract in one trial.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cell {
    /// Levelized cost, currency per mol.
    pub levelized: f64,
    /// Plain cost, currency per mol.
    pub plain: f64,
    /// Undiscounted cost, currency.
    pub total: f64,
    /// Present value of cost, currency.
    pub present: f64,
}

/// Numbers of one option on one clock in one trial.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LifeCell {
    /// Moles delivered, mol.
    pub moles: f64,
    /// Lamps bought after the first fill.
    pub lamps_bought: f64,
    /// Failures of lamps and gear.
    pub failures: f64,
    /// Dark socket-hours, h.
    pub dark_hours: f64,
}

/// Sums of one option under one contract over all trials.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tally {
    /// Σ PV(cause) / PV(mol).
    pub levelized: [f64; CAUSES],
    /// Σ cause / mol.
    pub plain: [f64; CAUSES],
    /// Σ PV(cause).
    pub present: [f64; CAUSES],
    /// Σ cause.
    pub total: [f64; CAUSES],
    /// Σ cost by year, the outlay first.
    pub by_year: Vec<f64>,
    /// Σ kWh at the wall.
    pub kwh: f64,
}

/// Sums of one option on the first contract's clock over all trials, by year.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct YearSums {
    /// Σ lamps put in for a failed one.
    pub spot_lamps: Vec<f64>,
    /// Σ lamps put in as planned.
    pub planned_lamps: Vec<f64>,
    /// Σ failures of lamps and gear.
    pub failures: Vec<f64>,
}

/// A closer look at one option in one of the first trials, on the first contract's clock.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sample {
    /// Delivered flux of the whole room when new, µmol/s.
    pub new_flux: f64,
    /// Light of the room by month as a share of its new flux, lit hours only.
    pub light: Vec<f64>,
    /// Lamps bought by year.
    pub lamps: Vec<f64>,
    /// Failures by year.
    pub failures: Vec<f64>,
}

/// Everything a run leaves behind. Lists by option and contract run over contracts within options.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// Trials done: always the first so many.
    pub trials: u64,
    /// Results of every trial by option and contract: trial by trial.
    pub cells: Vec<Cell>,
    /// Results of every trial by option and clock: trial by trial.
    pub lives: Vec<LifeCell>,
    /// Sums by option and contract.
    pub tallies: Vec<Tally>,
    /// Sums by option and year.
    pub years: Vec<YearSums>,
    /// Closer looks, trial by trial, by option.
    pub samples: Vec<Sample>,
    /// Trials in [`Self::samples`].
    pub sampled: u64,
    /// Levelized cost of every [`TWIN_EVERY`]th trial lived once more with the same inputs and other luck: by trial, then
    /// option and contract.
    pub twins: Vec<f64>,
    /// Levelized cost of a useful mole, as [`Self::cells`]; empty without a ceiling of PPFD.
    pub useful_costs: Vec<f64>,
    /// Useful moles, as [`Self::lives`]; empty without a ceiling of PPFD.
    pub useful_moles: Vec<f64>,
    options: usize,
    contracts: usize,
    clocks: usize,
}

/// One trial in so many is lived once more with other luck, to tell ignorance from luck.
pub const TWIN_EVERY: u64 = 10;

/// SHA-256 of a run's trials.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Digest([u8; 32]);

impl Digest {
    /// Of any bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// As 64 hexadecimal digits.
    pub fn hex(self) -> String {
        self.0.iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

impl Outcome {
    /// An outcome without trials.
    pub fn new(plan: &Plan) -> Self {
        let (options, contracts) = (plan.options.len(), plan.contracts.len());
        let years = plan.years as usize;
        Self {
            tallies: vec![Tally { by_year: vec![0.0; years + 1], ..Tally::default() }; options * contracts],
            years: vec![
                YearSums {
                    spot_lamps: vec![0.0; years],
                    planned_lamps: vec![0.0; years],
                    failures: vec![0.0; years]
                };
                options
            ],
            options,
            contracts,
            clocks: plan.clocks.len(),
            ..Self::default()
        }
    }

    /// Makes room for a number of trials, so that growing never holds two copies.
    pub(crate) fn reserve(&mut self, trials: u64) {
        let trials = trials as usize;
        self.cells.reserve_exact(trials * self.options * self.contracts);
        self.lives.reserve_exact(trials * self.options * self.clocks);
    }

    /// Appends the trials that come next.
    pub(crate) fn append(&mut self, next: Self) {
        let add = |sums: &mut [f64], more: &[f64]| sums.iter_mut().zip(more).for_each(|(sum, more)| *sum += more);
        self.trials += next.trials;
        self.sampled += next.sampled;
        self.cells.extend(next.cells);
        self.lives.extend(next.lives);
        self.samples.extend(next.samples);
        self.twins.extend(next.twins);
        self.useful_costs.extend(next.useful_costs);
        self.useful_moles.extend(next.useful_moles);
        for (tally, more) in self.tallies.iter_mut().zip(&next.tallies) {
            add(&mut tally.levelized, &more.levelized);
            add(&mut tally.plain, &more.plain);
            add(&mut tally.present, &more.present);
            add(&mut tally.total, &more.total);
            add(&mut tally.by_year, &more.by_year);
            tally.kwh += more.kwh;
        }
        for (years, more) in self.years.iter_mut().zip(&next.years) {
            add(&mut years.spot_lamps, &more.spot_lamps);
            add(&mut years.planned_lamps, &more.planned_lamps);
            add(&mut years.failures, &more.failures);
        }
    }

    /// Results of one trial for an option under a contract.
    pub fn cell(&self, trial: usize, option: usize, contract: usize) -> &Cell {
        &self.cells[(trial * self.options + option) * self.contracts + contract]
    }

    /// Results of one trial for an option on a clock.
    pub fn life(&self, trial: usize, option: usize, clock: usize) -> &LifeCell {
        &self.lives[(trial * self.options + option) * self.clocks + clock]
    }

    /// One number of every trial for an option under a contract.
    pub fn costs(&self, option: usize, contract: usize, read: impl Fn(&Cell) -> f64) -> Vec<f64> {
        (0..self.trials as usize).map(|trial| read(self.cell(trial, option, contract))).collect()
    }

    /// Levelized costs of an option under a contract in the trials that were lived twice: with their own luck, and with
    /// other luck.
    pub fn twice(&self, option: usize, contract: usize) -> Vec<(f64, f64)> {
        let width = self.options * self.contracts;
        let twins = self.twins.chunks_exact(width).map(|trial| trial[option * self.contracts + contract]);
        let own = (0..).step_by(TWIN_EVERY as usize).map(|trial| self.cell(trial, option, contract).levelized);
        own.zip(twins).take(self.twins.len() / width.max(1)).collect()
    }

    /// Levelized costs of a useful mole of an option under a contract; `None` without a ceiling.
    pub fn useful_costs_of(&self, option: usize, contract: usize) -> Option<Vec<f64>> {
        let width = self.options * self.contracts;
        let of = |trial: &[f64]| trial[option * self.contracts + contract];
        (!self.useful_costs.is_empty()).then(|| self.useful_costs.chunks_exact(width).map(of).collect())
    }

    /// Useful moles of an option on a clock; `None` without a ceiling.
    pub fn useful_moles_of(&self, option: usize, clock: usize) -> Option<Vec<f64>> {
        let width = self.options * self.clocks;
        let of = |trial: &[f64]| trial[option * self.clocks + clock];
        (!self.useful_moles.is_empty()).then(|| self.useful_moles.chunks_exact(width).map(of).collect())
    }

    /// One number of every trial for an option on a clock.
    pub fn lives_of(&self, option: usize, clock: usize, read: impl Fn(&LifeCell) -> f64) -> Vec<f64> {
        (0..self.trials as usize).map(|trial| read(self.life(trial, option, clock))).collect()
    }

    /// SHA-256 over the bits of every trial's results in order: the same for any number of threads.
    pub fn digest(&self) -> Digest {
        let mut hash = Sha256::new();
        for cell in &self.cells {
            for number in [cell.levelized, cell.plain, cell.total, cell.present] {
                hash.update(number.to_bits().to_le_bytes());
            }
        }
        for life in &self.lives {
            for number in [life.moles, life.lamps_bought, life.failures, life.dark_hours] {
                hash.update(number.to_bits().to_le_bytes());
            }
        }
        for number in self.useful_costs.iter().chain(&self.useful_moles).chain(&self.twins) {
            hash.update(number.to_bits().to_le_bytes());
        }
        Digest(hash.finalize().into())
    }
}
