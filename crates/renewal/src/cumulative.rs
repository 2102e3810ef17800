//! Integrals of a function of age from 0 up to any age, worked out once and looked up often.

use std::sync::LazyLock;

use crate::rule::{GAUSS, POINTS, RADAU, Row};

/// Most panels: a function that is rough everywhere is cut off here instead of filling the memory.
const MOST: usize = 4000;

/// Share of the largest amount that a panel may be wrong by.
const PRECISION: f64 = 1e-14;

/// ∫₀^(c_i) φ_j ds: from values at the points to integrals up to the points.
static UP_TO: LazyLock<[Row; POINTS]> = LazyLock::new(|| {
    RADAU.points.map(|c| {
        let mut row = [0.0; POINTS];
        for &(s, weight) in GAUSS.iter() {
            for (sum, value) in row.iter_mut().zip(RADAU.lagrange(s * c)) {
                *sum += c * weight * value;
            }
        }
        row
    })
});

/// A stretch of ages on which the function is as good as a polynomial.
struct Panel {
    start: f64,
    width: f64,
    /// The integral up to `start`.
    before: f64,
    /// (∫ from `start` to each point)/c_j: dividing by the place makes it a polynomial without a fixed zero.
    mean: Row,
}

/// x ↦ ∫₀ˣ f, for a bounded f, up to an age beyond which nothing is added.
pub struct Cumulative {
    panels: Vec<Panel>,
    /// The integral over all ages.
    pub total: f64,
    /// The age up to which f was integrated, h.
    pub end: f64,
}

impl Cumulative {
    /// Integrates up to `end`, halving panels until a polynomial fits; `kinks` are bounds of panels from the outset.
    /// `scale` is a typical age, h: an integral is wrong by about 1e-14 of it at the most.
    pub fn new(f: &dyn Fn(f64) -> f64, kinks: &[f64], scale: f64, end: f64) -> Self {
        let mut cuts = vec![0.0, end];
        cuts.extend(kinks.iter().filter(|&&age| age > 0.0 && age < end));
        // where things happen; beyond it panels may grow
        cuts.extend([scale, 8.0 * scale].iter().filter(|&&age| age < end));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        let mut waiting: Vec<(f64, f64)> = cuts.windows(2).map(|pair| (pair[0], pair[1])).rev().collect();
        let (mut panels, mut total) = (vec![], 0.0);
        while let Some((from, to)) = waiting.pop() {
            let width = to - from;
            let values = RADAU.sample(f, from, width);
            let middle = from + 0.5 * width;
            if RADAU.misfit(f, &values, from, width) * width > PRECISION * scale.min(end)
                && panels.len() + waiting.len() < MOST
                && from < middle
                && middle < to
            {
                waiting.extend([(middle, to), (from, middle)]);
                continue;
            }
            let mut mean = [0.0; POINTS];
            for ((mean, row), c) in mean.iter_mut().zip(UP_TO.iter()).zip(RADAU.points) {
                *mean = width * crate::rule::dot(row, &values) / c;
            }
            panels.push(Panel { start: from, width, before: total, mean });
            total += mean[POINTS - 1];
        }
        Self { panels, total, end }
    }

    /// ∫₀ˣ f.
    pub fn up_to(&self, age: f64) -> f64 {
        if !(age < self.end) {
            return self.total;
        }
        let after = self.panels.partition_point(|panel| panel.start <= age);
        let Some(panel) = after.checked_sub(1).and_then(|index| self.panels.get(index)) else { return 0.0 };
        let s = (age - panel.start) / panel.width;
        panel.before + s * RADAU.interpolate(&panel.mean, s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn smooth_rough_and_kinked_functions_are_integrated() {
        let root = Cumulative::new(&|x| x.powf(0.3), &[], 1.0, 4.0);
        let kinked = Cumulative::new(&|x| (1.0 - x).max(0.0), &[], 1.0, 3.0);
        let known = Cumulative::new(&|x| (1.0 - x).max(0.0), &[1.0], 1.0, 3.0);
        for x in [1e-9f64, 0.01, 0.4, 0.97, 1.0, 1.3, 3.9] {
            assert!((root.up_to(x) - x.powf(1.3) / 1.3).abs() < 1e-13, "{x}");
            let exact = if x < 1.0 { x - 0.5 * x * x } else { 0.5 };
            assert!((kinked.up_to(x) - exact).abs() < 1e-12, "{x}");
            assert!((known.up_to(x) - exact).abs() < 1e-15, "{x}");
        }
        assert!(known.panels.len() <= 3);
        assert_eq!(root.up_to(0.0), 0.0);
        assert!(Cumulative::new(&|_| f64::NAN, &[], 1.0, 3.0).total.is_nan());
    }
}
