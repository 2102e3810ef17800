//! Adding up photons: every lamp's burn, by cell of the schedule, exactly.
//!
//! A lamp of initial flux φ, born at schedule hour v and burning from a to e, gives ∫ φ·M(u − v)·flux(u) du. For
//! exponential fading with one rate α this is e^(αv) times a number of the cell alone, so a lamp costs one exponential
//! however many months it burns: its weight φ·e^(αv) is switched on at a and off at e, and one sweep at the end
//! multiplies the running weight with each cell's own integral. Other curves go cell by cell.

use lamp::Maintenance;
use plan::ClockPlan;

/// Below this α × horizon the sweep would lose digits to a small difference; above the other, to large weights.
const SWEEP: std::ops::RangeInclusive<f64> = 1e-3..=30.0;

/// A lamp burning without a break, in schedule hours.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Burn {
    /// Beginning, and the cell that holds it.
    pub from: f64,
    pub from_cell: usize,
    /// End, and the cell that holds it; any cell when it is the horizon.
    pub to: f64,
    pub to_cell: usize,
    /// Where the lamp's age counts from.
    pub born: f64,
    /// Its initial flux, µmol/s.
    pub flux: f64,
}

/// Adds up flux-hours by cell.
#[derive(Debug, Clone, Default)]
pub(crate) struct Light {
    sums: Vec<Sum>,
    /// Fading at hand when the sweep serves: start and rate.
    sweep: Option<(f64, f64)>,
    /// Rate for which the sums' constants hold.
    made_for: f64,
    /// Weight that goes off at a moment (and its cell): held back, because a new lamp usually goes on right there.
    pending: (f64, usize, f64),
}

/// Sums and constants of one cell.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    /// Flux-hours that are settled.
    settled: f64,
    /// Change of the running weight from the next cell on.
    step: f64,
    /// e^(−αu) at the cell's end.
    end: f64,
    /// Share of full flux over α.
    scale: f64,
}

impl Light {
    /// Empties the sums for a way of fading.
    pub fn open(&mut self, maintenance: &Maintenance, clock: &ClockPlan) {
        self.sweep = match maintenance {
            Maintenance::Exponential { start, rate } if SWEEP.contains(&(rate * clock.timeline.lit_hours)) => {
                Some((*start, *rate))
            }
            _ => None,
        };
        match self.sweep {
            Some((_, rate)) if self.made_for != rate || self.sums.len() != clock.cells.len() => {
                let sum =
                    |cell: &plan::Cell| Sum { end: (-rate * cell.to).exp(), scale: cell.flux / rate, ..Sum::default() };
                self.sums = clock.cells.iter().map(sum).collect();
                self.made_for = rate;
            }
            _ => {
                self.sums.resize(clock.cells.len(), Sum::default());
                self.sums.iter_mut().for_each(|sum| (sum.settled, sum.step) = (0.0, 0.0));
            }
        }
        self.pending = (0.0, 0, 0.0);
    }

    /// Adds a burn.
    #[inline]
    pub fn burn(&mut self, burn: Burn, maintenance: &Maintenance, clock: &ClockPlan) {
        let Some((start, rate)) = self.sweep else {
            return self.burn_by_cell(burn, maintenance, clock);
        };
        let fade = (-rate * burn.from).exp();
        let mut change = burn.flux * start * if burn.born == burn.from { 1.0 / fade } else { (rate * burn.born).exp() };
        let weight = change;
        if self.pending.0 == burn.from {
            change -= self.pending.2;
        } else {
            self.settle_pending(rate);
        }
        self.switch(change, burn.from_cell, fade);
        self.pending = if burn.to < clock.timeline.lit_hours { (burn.to, burn.to_cell, weight) } else { (0.0, 0, 0.0) };
    }

    fn burn_by_cell(&mut self, burn: Burn, fading: &Maintenance, clock: &ClockPlan) {
        let mut at = burn.from;
        for (sum, cell) in self.sums.iter_mut().zip(&clock.cells).skip(burn.from_cell) {
            let end = if cell.to < burn.to { cell.to } else { burn.to };
            if end > at {
                sum.settled += burn.flux * cell.flux * fading.integral(at - burn.born, end - burn.born);
                at = end;
            }
            if at >= burn.to {
                break;
            }
        }
    }

    #[inline]
    fn switch(&mut self, change: f64, cell: usize, fade: f64) {
        let sum = &mut self.sums[cell];
        sum.settled += change * sum.scale * (fade - sum.end);
        sum.step += change;
    }

    fn settle_pending(&mut self, rate: f64) {
        let (u, cell, weight) = std::mem::take(&mut self.pending);
        if weight != 0.0 {
            self.switch(-weight, cell, (-rate * u).exp());
        }
    }

    /// Adds the photons to a list by month, mol; flux was in µmol/s.
    pub fn close(&mut self, clock: &ClockPlan, moles: &mut [f64]) {
        const MOL_PER_FLUX_HOUR: f64 = 3600.0 * 1e-6;
        if let Some((_, rate)) = self.sweep {
            self.settle_pending(rate);
        }
        let (mut running, mut begin) = (0.0, 1.0);
        for (sum, cell) in self.sums.iter().zip(&clock.cells) {
            let mut flux_hours = sum.settled;
            if self.sweep.is_some() {
                flux_hours += running * sum.scale * (begin - sum.end);
                running += sum.step;
                begin = sum.end;
            }
            moles[cell.month] += flux_hours * MOL_PER_FLUX_HOUR;
        }
    }
}
