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

/// Adds up flux-hours by cell.
#[derive(Debug, Clone, Default)]
pub(crate) struct Light {
    /// Flux-hours that are settled, by cell.
    settled: Vec<f64>,
    /// Change of the running weight at the beginning of each cell.
    steps: Vec<f64>,
    /// Fading at hand when the sweep serves: start and rate.
    sweep: Option<(f64, f64)>,
    /// e^(−αu) at the end of each cell, for the rate that it was made for.
    ends: Vec<f64>,
    ends_for: f64,
    /// Last moment looked up: (u, its cell, e^(−αu)).
    last: (f64, usize, f64),
}

impl Light {
    /// Empties the sums for a way of fading.
    pub fn open(&mut self, maintenance: &Maintenance, clock: &ClockPlan) {
        let cells = clock.cells.len();
        self.settled.clear();
        self.settled.resize(cells, 0.0);
        self.sweep = match maintenance {
            Maintenance::Exponential { start, rate } if SWEEP.contains(&(rate * clock.timeline.lit_hours)) => {
                Some((*start, *rate))
            }
            _ => None,
        };
        if let Some((_, rate)) = self.sweep {
            self.steps.clear();
            self.steps.resize(cells + 1, 0.0);
            self.last = (0.0, 0, 1.0);
            if self.ends_for != rate || self.ends.len() != cells {
                self.ends.clear();
                self.ends.extend(clock.cells.iter().map(|cell| (-rate * cell.to).exp()));
                self.ends_for = rate;
            }
        }
    }

    /// Adds a lamp of initial flux `flux`, born at `born`, that burns from `from` to `to`, all in schedule hours.
    #[inline]
    pub fn burn(&mut self, from: f64, to: f64, born: f64, flux: f64, maintenance: &Maintenance, clock: &ClockPlan) {
        let Some((start, rate)) = self.sweep else {
            return self.burn_by_cell(from, to, born, flux, maintenance, clock);
        };
        let (cell, fade) = self.look_up(from, rate, clock);
        let weight = flux * start * if born == from { 1.0 / fade } else { (rate * born).exp() };
        self.switch(weight, cell, fade, rate, clock);
        if to < clock.timeline.lit_hours {
            let (cell, fade) = self.look_up(to, rate, clock);
            self.switch(-weight, cell, fade, rate, clock);
        }
    }

    fn burn_by_cell(&mut self, from: f64, to: f64, born: f64, flux: f64, fading: &Maintenance, clock: &ClockPlan) {
        let mut at = from;
        for cell in clock.cell_at(from)..clock.cells.len() {
            let end = clock.cells[cell].to.min(to);
            if end > at {
                self.settled[cell] += flux * clock.cells[cell].flux * fading.integral(at - born, end - born);
                at = end;
            }
            if at >= to {
                break;
            }
        }
    }

    #[inline]
    fn look_up(&mut self, u: f64, rate: f64, clock: &ClockPlan) -> (usize, f64) {
        if self.last.0 != u {
            self.last = (u, clock.cell_at(u), (-rate * u).exp());
        }
        (self.last.1, self.last.2)
    }

    #[inline]
    fn switch(&mut self, weight: f64, cell: usize, fade: f64, rate: f64, clock: &ClockPlan) {
        self.settled[cell] += weight * clock.cells[cell].flux * (fade - self.ends[cell]) / rate;
        self.steps[cell + 1] += weight;
    }

    /// Adds the photons to a list by month, mol; flux was in µmol/s.
    pub fn close(&mut self, clock: &ClockPlan, moles: &mut [f64]) {
        const MOL_PER_FLUX_HOUR: f64 = 3600.0 * 1e-6;
        let mut running = 0.0;
        for (k, cell) in clock.cells.iter().enumerate() {
            let mut flux_hours = self.settled[k];
            if let Some((_, rate)) = self.sweep {
                running += self.steps[k];
                let begin = if k == 0 { 1.0 } else { self.ends[k - 1] };
                flux_hours += running * cell.flux * (begin - self.ends[k]) / rate;
            }
            moles[cell.month] += flux_hours * MOL_PER_FLUX_HOUR;
        }
    }
}
