//! Expected replacements spread over time, held panel by panel, and what a kernel makes of them.

use crate::rule::{GAUSS, POINTS, RADAU, Row, dot};

/// A function of the time since a replacement.
pub struct Kernel<'a> {
    /// Its value up to `reach`; at 0 and above a bend it may rise like any root.
    pub value: &'a dyn Fn(f64) -> f64,
    /// Ages, rising, at which it is not smooth.
    pub bends: &'a [f64],
    /// The age from which on it is constant, h.
    pub reach: f64,
    /// That constant.
    pub beyond: f64,
}

/// Counts replacements, whatever their age.
pub const COUNT: Kernel<'static> = Kernel { value: &|_| 1.0, bends: &[], reach: 0.0, beyond: 1.0 };

/// A stretch of time on which the density is a polynomial.
#[derive(Debug, Clone, Copy)]
pub struct Panel {
    /// Where it begins, h.
    pub start: f64,
    /// How long it is, h.
    pub width: f64,
}

impl Panel {
    /// Where it ends, h.
    pub fn end(self) -> f64 {
        self.start + self.width
    }

    /// Weights r_j with ∫ K(t − x) dU(x) = Σ r_j·w_j over the part of the panel before t, where U has the masses w_j at
    /// the panel's points.
    pub fn row(self, t: f64, kernel: &Kernel) -> Row {
        let youngest = (t - self.end()).max(0.0);
        let oldest = t - self.start;
        if !(oldest > 0.0) {
            return [0.0; POINTS];
        }
        if youngest >= kernel.reach && t >= self.end() {
            return [kernel.beyond; POINTS];
        }
        let bends = {
            let inside = |age: f64| age > youngest && age < oldest;
            let first = kernel.bends.partition_point(|&age| age <= youngest);
            let past = kernel.bends.partition_point(|&age| age < oldest.min(kernel.reach)).max(first);
            kernel.bends[first..past].iter().copied().chain(Some(kernel.reach).filter(|&reach| inside(reach)))
        };
        let far = t - self.end() >= self.width && bends.clone().next().is_none();
        if far && self.is_clear_of_bends(youngest, kernel) {
            return RADAU.points.map(|c| (kernel.value)(t - self.start - c * self.width));
        }
        let mut row = [0.0; POINTS];
        let mut from = youngest;
        for to in bends.chain([oldest]) {
            self.add_piece(t, kernel, from, to, &mut row);
            from = to;
        }
        for (value, weight) in row.iter_mut().zip(RADAU.weights) {
            *value /= weight;
        }
        row
    }

    /// Whether the next younger bend is at least a panel away, so that a polynomial fits the kernel.
    fn is_clear_of_bends(self, youngest: f64, kernel: &Kernel) -> bool {
        let below = kernel.bends.partition_point(|&age| age <= youngest);
        below.checked_sub(1).is_none_or(|last| youngest - kernel.bends[last] >= self.width)
    }

    /// Adds the integral over the ages between `from` and `to`, which hold no bend.
    fn add_piece(self, t: f64, kernel: &Kernel, from: f64, to: f64, row: &mut Row) {
        // age = bend + (to − bend)·v⁴: a root above the bend becomes smooth
        let below = kernel.bends.partition_point(|&age| age <= from);
        let bend = below.checked_sub(1).map_or(0.0, |last| kernel.bends[last]);
        let is_constant = from >= kernel.reach;
        let is_near = !is_constant && from - bend < to - from;
        let low = if is_near { ((from - bend) / (to - bend)).sqrt().sqrt() } else { 0.0 };
        for &(place, weight) in GAUSS.iter() {
            let (age, share) = if is_near {
                let v = low + (1.0 - low) * place;
                (bend + (to - bend) * v.powi(4), 4.0 * v.powi(3) * (1.0 - low) * (to - bend) * weight)
            } else {
                (from + (to - from) * place, (to - from) * weight)
            };
            let value = if is_constant { kernel.beyond } else { (kernel.value)(age) };
            let s = ((t - age - self.start) / self.width).clamp(0.0, 1.0);
            let share = share * value / self.width;
            for (sum, phi) in row.iter_mut().zip(RADAU.lagrange(s)) {
                *sum += share * phi;
            }
        }
    }
}

/// Expected replacements U over time, without lumps.
#[derive(Debug, Clone, Default)]
pub struct Measure {
    panels: Vec<Panel>,
    masses: Vec<Row>,
    /// Replacements before each panel.
    before: Vec<f64>,
    total: f64,
}

impl Measure {
    /// Appends a panel.
    pub fn push(&mut self, panel: Panel, masses: Row) {
        self.panels.push(panel);
        self.masses.push(masses);
        self.before.push(self.total);
        self.total += masses.iter().sum::<f64>();
    }

    /// ∫₀ᵗ K(t − x) dU(x).
    pub fn apply(&self, t: f64, kernel: &Kernel) -> f64 {
        let reached = self.panels.partition_point(|panel| panel.end() <= t - kernel.reach);
        let old = if reached < self.panels.len() { self.before[reached] } else { self.total };
        let young = self.panels.iter().zip(&self.masses).skip(reached).take_while(|(panel, _)| panel.start < t);
        let sum: f64 = young.map(|(panel, masses)| dot(&panel.row(t, kernel), masses)).sum();
        if kernel.beyond == 0.0 { sum } else { sum + kernel.beyond * old }
    }

    /// U(t).
    pub fn count(&self, t: f64) -> f64 {
        self.apply(t, &COUNT)
    }

    /// dU/dt, 1/h; at a panel's bound that of the panel before it.
    pub fn density(&self, t: f64) -> f64 {
        let index = self.panels.partition_point(|panel| panel.end() < t);
        let Some(panel) = self.panels.get(index) else { return f64::NAN };
        let s = ((t - panel.start) / panel.width).clamp(0.0, 1.0);
        let mut values = self.masses[index];
        for (value, weight) in values.iter_mut().zip(RADAU.weights) {
            *value /= weight * panel.width;
        }
        RADAU.interpolate(&values, s)
    }
}
