//! The renewal equation, solved panel by panel.
//!
//! Unknown is the expected number of replacements U(t), found from the fact that a socket always holds one lamp, of some
//! age: ∫₀ᵗ S(t − x) dU(x) = 1 − (share of sockets whose lamp is not one of those counted by U). No density of lives is
//! needed, so kinks and an infinite hazard at age 0 do no harm. Within a panel dU/dt is a polynomial, determined by
//! collocation at Radau's points; panels are graded where U begins like a root. Belongs here: the equation and its
//! panels. Does not belong here: money, light, policies.

use crate::lamp::{Fault, Lamp, age_at, demand, demand_positive, last_age, smooth_start};
use crate::measure::{Kernel, Measure, Panel};
use crate::rule::{POINTS, RADAU, Row};

/// Most pairs of panels that see each other; beyond that the answer is taken as it is.
const MOST_PAIRS: f64 = 160_000.0;

/// Most bounds of panels that are laid on sums of kinks.
const MOST_CUTS: usize = 60;

/// Narrowest panels at the starts of cycles that do not begin at 0, as a share of a period: rounding must not reach them.
const NARROWEST: f64 = 1e-11;

/// Two successive solutions agree to this share.
const SETTLED: f64 = 1e-10;

/// The renewal function M(t): failures expected in (0, t] when each failed lamp is replaced at once by a new one.
///
/// M(t) = F(t) + ∫₀ᵗ M(t − x) dF(x) with F = 1 − S (Barlow and Proschan, Mathematical Theory of Reliability, 1965, chapter 3).
///
/// ```
/// use renewal::Renewal;
/// // exponential lives of 1000 h on average: one failure per 1000 h, at any time
/// let renewal = Renewal::new(&|age| (-age / 1000.0f64).exp(), &[], 0.0, 5000.0).unwrap();
/// assert!((renewal.count(4000.0) - 4.0).abs() < 1e-9);
/// assert!((renewal.density(2500.0) - 0.001).abs() < 1e-11);
/// ```
#[derive(Debug, Clone)]
pub struct Renewal {
    measure: Measure,
    horizon: f64,
}

impl Renewal {
    /// Solves for times up to `horizon`, h. `survival` is the share alive at an age in hours, which bends at `kinks`
    /// (rising). The first lamp is alive and `first_age` hours old.
    ///
    /// # Errors
    /// A survival function that cannot be one, a horizon that is not above 0, a first age at which nobody is alive.
    pub fn new(survival: &dyn Fn(f64) -> f64, kinks: &[f64], first_age: f64, horizon: f64) -> Result<Self, Fault> {
        let lamp = Lamp { survival, light: &|_| 1.0, survival_kinks: kinks, light_kinks: &[] };
        demand_positive("the horizon", horizon)?;
        lamp.check(first_age + horizon)?;
        let measure = Ageing::new(&lamp, first_age, f64::INFINITY)?.settle(horizon);
        Ok(Self { measure, horizon })
    }

    /// M(t), t in hours within the horizon; NaN outside it.
    pub fn count(&self, t: f64) -> f64 {
        if (0.0..=self.horizon).contains(&t) { self.measure.count(t) } else { f64::NAN }
    }

    /// m(t) = dM/dt in 1/h, t in hours within the horizon; NaN outside it. Where m jumps, its value before the jump.
    pub fn density(&self, t: f64) -> f64 {
        if (0.0..=self.horizon).contains(&t) { self.measure.density(t) } else { f64::NAN }
    }

    pub(crate) fn into_measure(self) -> Measure {
        self.measure
    }
}

/// A socket whose lamps are replaced at failure or at an age, whichever comes first. Replacements come in lumps at
/// `first_age` before multiples of that age, which are known, and in between spread over time, which is to be found.
pub struct Ageing<'a> {
    survival: &'a dyn Fn(f64) -> f64,
    kinks: &'a [f64],
    /// Age of the first lamp, h.
    pub first_age: f64,
    /// Share of new lamps that reach `first_age`.
    pub reach_first: f64,
    /// Age at which lamps are replaced, h; may be infinite.
    pub at: f64,
    /// Share of lamps that reach that age.
    pub reach: f64,
    /// The age beyond which no lamp burns, h.
    last: f64,
}

impl<'a> Ageing<'a> {
    /// Looks up the shares that reach the ages that matter; refuses a first age at which nobody is alive or that is not
    /// below `at`.
    pub fn new(lamp: &Lamp<'a>, first_age: f64, at: f64) -> Result<Self, Fault> {
        demand(
            first_age >= 0.0 && first_age < at,
            "the age of the first lamp",
            first_age,
            "0 or more, below the age at which it is replaced",
        )?;
        let reach_first = (lamp.survival)(first_age);
        demand(reach_first > 0.0, "the share of lamps that reach the age of the first lamp", reach_first, "above 0")?;
        let reach = if at.is_finite() { (lamp.survival)(at) } else { 0.0 };
        let last = last_age(lamp.survival).min(at);
        Ok(Self { survival: lamp.survival, kinks: lamp.survival_kinks, first_age, reach_first, at, reach, last })
    }

    /// The lumps of planned replacements up to and including t: (time, share of sockets).
    pub fn lumps(&self, t: f64) -> impl Iterator<Item = (f64, f64)> {
        let (first, at, reach) = (self.at - self.first_age, self.at, self.reach);
        let first_share = reach / self.reach_first;
        // whoever asks at the very time of a lump means to count it, whatever rounding says
        let count = ((t - first) / at + 1e-12).floor().max(-1.0) as i32 + 1;
        (0..count).map(move |j| (first + f64::from(j) * at, first_share * reach.powi(j)))
    }

    /// Share of sockets whose lamp is the first one or one of a lump, at y hours into period k of length `at`.
    fn counted_apart(&self, k: usize, y: f64, is_before_lump: bool) -> f64 {
        let power = |k: usize| if k == 0 { 1.0 } else { self.reach.powi(k as i32) };
        if is_before_lump {
            power(k) * (self.survival)(self.first_age + y) / self.reach_first
        } else {
            power(k + 1) * (self.survival)((y - (self.at - self.first_age)).max(0.0)) / self.reach_first
        }
    }

    /// Solves with ever narrower panels until the answer stays.
    pub fn settle(&self, horizon: f64) -> Measure {
        let length = self.at.min(horizon);
        let [most, few] = [0.9, 0.1].map(|level| age_at(self.survival, level).unwrap_or(f64::INFINITY));
        let mut width = (few - most).clamp(2e-4 * length, length);
        let mut coarse = self.solve(horizon, width);
        loop {
            width *= 0.5;
            if (length / width) * (self.last.min(length) / width) > MOST_PAIRS {
                break;
            }
            let fine = self.solve(horizon, width);
            let differs = (1..=8).any(|eighth| {
                let t = horizon * f64::from(eighth) / 8.0;
                let (coarse, fine) = (coarse.count(t), fine.count(t));
                (coarse - fine).abs() > SETTLED * fine.max(1e-3)
            });
            coarse = fine;
            if !differs {
                break;
            }
        }
        coarse
    }

    /// Panels no wider than `width` over one period, graded where a cycle begins and after kinks.
    fn mesh(&self, length: f64, width: f64) -> Vec<Panel> {
        let same = |a: f64, b: f64| (a - b).abs() <= 1e-12 * length;
        let begins = self.beginnings(length);
        let mut cuts = self.sums_of_kinks(begins.iter().map(|begin| begin.0).collect(), length);
        cuts.extend([0.0, length]);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| same(*a, *b));
        let mut panels = vec![];
        for pair in cuts.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            let mut at = from;
            let mut push = |end: f64| {
                panels.push(Panel { start: at, width: end - at });
                at = end;
            };
            let top = width.min(to - from);
            let least = if from > 0.0 || self.at < f64::INFINITY { NARROWEST * length } else { 1e-15 * top };
            let ages = begins.iter().filter(|begin| same(begin.0, from)).map(|begin| begin.1);
            let finest = ages.map(|age| smooth_start(self.survival, age, top, least)).fold(top, f64::min);
            let levels = (top / finest).log2().round() as i32;
            for level in (1..=levels).rev() {
                push(from + top * 0.5f64.powi(level));
            }
            if to - from > top {
                push(from + top);
            }
            let rest = to - from - top;
            let parts = (rest / width).ceil();
            for part in 1..parts as u32 {
                push(to - rest * (1.0 - f64::from(part) / parts));
            }
            push(to);
        }
        panels
    }

    /// Times within a period at which lamps that were put in together begin an age from which on their survival may rise
    /// like a root: 0 and the kinks. (time, age)
    fn beginnings(&self, length: f64) -> Vec<(f64, f64)> {
        let ages = || self.kinks.iter().copied().filter(|&age| age > 0.0 && age <= self.last);
        let mut all: Vec<(f64, f64)> = ages().map(|age| (age - self.first_age, age)).collect();
        for origin in [0.0, self.at - self.first_age] {
            all.extend(ages().chain([0.0]).map(|age| (self.within_period(origin + age), age)));
        }
        all.retain(|begin| begin.0 >= 0.0 && begin.0 < length);
        all
    }

    fn within_period(&self, t: f64) -> f64 {
        if self.at.is_finite() { t % self.at } else { t }
    }

    /// Adds times at which replacements bend more weakly: sums of kinks, as many as fit.
    fn sums_of_kinks(&self, mut all: Vec<f64>, length: f64) -> Vec<f64> {
        let tidy = |times: &mut Vec<f64>| {
            times.retain(|&t| t < length);
            times.sort_by(f64::total_cmp);
            times.dedup_by(|b, a| *b - *a <= 1e-12 * length);
        };
        tidy(&mut all);
        for _ in 0..6 {
            let ages = || self.kinks.iter().filter(|&&age| age > 0.0 && age <= self.last);
            let mut more: Vec<f64> =
                all.iter().flat_map(|t| ages().map(move |age| self.within_period(t + age))).collect();
            more.extend(&all);
            tidy(&mut more);
            if more.len() == all.len() || more.len() > MOST_CUTS {
                break;
            }
            all = more;
        }
        all
    }

    /// Solves with panels of at most a given width.
    fn solve(&self, horizon: f64, width: f64) -> Measure {
        let length = self.at.min(horizon);
        let kernel = Kernel { value: self.survival, bends: self.kinks, reach: self.last, beyond: 0.0 };
        let mesh = self.mesh(length, width);
        let lump = self.at - self.first_age;
        let periods = (horizon / length * (1.0 - 1e-12)).ceil().max(1.0) as usize;
        let here = Rows::new(&mesh, &kernel, 0.0);
        // the lamp that burns now may have begun in the period before, never earlier
        let before = (periods > 1).then(|| Rows::new(&mesh, &kernel, length));
        let mut measure = Measure::default();
        let mut earlier: Vec<Row> = vec![];
        for k in 0..periods {
            let mut masses: Vec<Row> = Vec::with_capacity(mesh.len());
            for (index, panel) in mesh.iter().enumerate() {
                let is_before_lump = panel.start < lump * (1.0 - 1e-12);
                let mut right =
                    RADAU.sample(|y| 1.0 - self.counted_apart(k, y, is_before_lump), panel.start, panel.width);
                if let Some(rows) = before.as_ref().filter(|_| k > 0) {
                    rows.subtract(index, &earlier, &mut right);
                }
                here.subtract(index, &masses, &mut right);
                masses.push(eliminate(here.last(index), right));
            }
            for (panel, masses) in mesh.iter().zip(&masses) {
                measure.push(Panel { start: panel.start + k as f64 * length, ..*panel }, *masses);
            }
            earlier = masses;
        }
        measure
    }
}

/// Weights of source panels for every point of every target panel.
struct Rows {
    /// For each target panel: the first source panel that matters, and the weights from there on.
    targets: Vec<(usize, Vec<[Row; POINTS]>)>,
}

impl Rows {
    /// For targets `later` hours after the sources' own panels; 0 if they are the same.
    fn new(mesh: &[Panel], kernel: &Kernel, later: f64) -> Self {
        let targets = mesh.iter().enumerate().map(|(index, target)| {
            let first = mesh.partition_point(|source| source.end() <= later + target.start - kernel.reach);
            let last = if later > 0.0 { mesh.len() } else { index + 1 };
            let weights =
                |source: &Panel| RADAU.points.map(|c| source.row(later + target.start + c * target.width, kernel));
            let first = first.min(last);
            (first, mesh[first..last].iter().map(weights).collect())
        });
        Self { targets: targets.collect() }
    }

    /// Takes what the known masses contribute off the right-hand side of a target panel.
    fn subtract(&self, index: usize, masses: &[Row], right: &mut Row) {
        let (first, sources) = &self.targets[index];
        for (weights, masses) in sources.iter().zip(masses.iter().skip(*first)) {
            for (value, row) in right.iter_mut().zip(weights) {
                *value -= crate::rule::dot(row, masses);
            }
        }
    }

    /// The weights of a target panel on itself.
    fn last(&self, index: usize) -> [Row; POINTS] {
        self.targets[index].1.last().copied().unwrap_or([[0.0; POINTS]; POINTS])
    }
}

/// Solves a small linear system by elimination with row exchanges.
fn eliminate(mut matrix: [Row; POINTS], mut right: Row) -> Row {
    for column in 0..POINTS {
        let largest = |a: &usize, b: &usize| matrix[*a][column].abs().total_cmp(&matrix[*b][column].abs());
        let pivot = (column..POINTS).max_by(largest).unwrap_or(column);
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        let (head, value) = (matrix[column], right[column]);
        for row in column + 1..POINTS {
            let factor = matrix[row][column] / head[column];
            for (entry, above) in matrix[row].iter_mut().zip(head).skip(column) {
                *entry -= factor * above;
            }
            right[row] -= factor * value;
        }
    }
    for row in (0..POINTS).rev() {
        let known: f64 = (row + 1..POINTS).map(|column| matrix[row][column] * right[column]).sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    right
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Largest error of M(t), relative, and of its slope for a life of which both are known.
    fn errors(renewal: &Renewal, count: impl Fn(f64) -> f64, density: impl Fn(f64) -> f64, times: &[f64]) -> [f64; 2] {
        times.iter().fold([0.0; 2], |[a, b], &t| {
            [
                f64::max(a, (renewal.count(t) / count(t) - 1.0).abs()),
                f64::max(b, (renewal.density(t) / density(t) - 1.0).abs()),
            ]
        })
    }

    #[test]
    fn exponential_erlang_and_uniform_lives_follow_their_closed_forms() {
        let times = [0.01, 0.3, 0.77, 1.0, 2.9, 17.0, 50.0];
        let exponential = Renewal::new(&|x| (-x).exp(), &[], 0.0, 50.0).unwrap();
        let erlang = Renewal::new(&|x| (1.0 + x) * (-x).exp(), &[], 0.0, 50.0).unwrap();
        let uniform = Renewal::new(&|x| (1.0 - x).max(0.0), &[1.0], 0.0, 3.0).unwrap();
        let off = [
            errors(&exponential, |t| t, |_| 1.0, &times),
            errors(&erlang, |t| t / 2.0 + (-2.0 * t).exp_m1() / 4.0, |t| -(-2.0 * t).exp_m1() / 2.0, &times),
            errors(&uniform, f64::exp_m1, f64::exp, &times[..4]),
            // on [1, 2] M' = M(t) − M(t − 1), from M(1) = e − 1
            errors(
                &uniform,
                |t| t.exp() - 1.0 - (t - 1.0) * (t - 1.0).exp(),
                |t| t.exp() - t * (t - 1.0).exp(),
                &[1.2, 1.9],
            ),
        ];
        assert!(off.iter().all(|off| off[0] < 1e-10), "{off:?}");
        assert!(off.iter().all(|off| off[1] < 1e-8), "{off:?}");
    }

    #[test]
    fn an_old_exponential_lamp_is_as_good_as_new_and_a_dying_uniform_one_is_not() {
        let old = Renewal::new(&|x| (-x).exp(), &[], 3.0, 5.0).unwrap();
        assert!((old.count(4.0) - 4.0).abs() < 1e-10);
        // a uniform life at age a: the rest is uniform on (0, 1 − a); then M₀ = (eᵗ − 1)/(1 − a) up to 1 − a
        let dying = Renewal::new(&|x| (1.0 - x).max(0.0), &[1.0], 0.6, 2.0).unwrap();
        assert!((dying.count(0.3) - 0.3f64.exp_m1() / 0.4).abs() < 1e-10);
    }

    #[test]
    fn what_is_no_life_is_refused() {
        let refused = |survival: &dyn Fn(f64) -> f64, age, horizon| Renewal::new(survival, &[], age, horizon).is_err();
        assert!(refused(&|_| f64::NAN, 0.0, 1.0));
        assert!(refused(&|x| 0.9 - 0.1 * x, 0.0, 1.0));
        assert!(refused(&|x| 1.0 + x, 0.0, 1.0));
        assert!(refused(&|x| (-x).exp(), 0.0, f64::NAN));
        assert!(refused(&|x| (-x).exp(), 0.0, 0.0));
        assert!(refused(&|x| (-x).exp(), -1.0, 1.0));
        assert!(refused(&|x| (1.0 - x).max(0.0), 1.0, 1.0));
        assert!(Renewal::new(&|x| (-x).exp(), &[], 0.0, 1.0).unwrap().count(1.1).is_nan());
    }
}
