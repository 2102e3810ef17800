//! One sum of exponentials: its value and its roots.

/// A sum this small against its terms' sizes is 0: ten times and more what rounding leaves, a cent in ten thousand
/// million.
const NOTHING: f64 = 1e-12;

/// Most steps of narrowing one bracket; bisection alone would need fewer.
const MOST_STEPS: usize = 200;

/// Longest grid, in steps.
const MOST_STEPS_OF_GRID: f64 = 100_000.0;

/// How far a moment may be from its place on a grid, as a share of the row.
const OFF_GRID: f64 = 1e-14;

/// Powers below this are left out, before they get slow to reckon with.
const LEAST_POWER: f64 = 1e-290;

/// Where a sum is 0.
#[derive(Debug, Clone, Copy)]
pub struct Root {
    /// The log-rate y.
    pub at: f64,
    /// Whether the sum has the same sign on both sides.
    pub touches: bool,
}

/// Moments that are whole steps apart, as months are: powers then come from multiplying instead of from exp.
pub struct Grid {
    step: f64,
    /// How many steps each moment is after the one before; the first is at 0.
    gaps: Vec<i32>,
}

impl Grid {
    /// The grid on which moments rising from 0 lie, if they do, as closely as rounding lets them.
    pub fn of(moments: &[f64]) -> Option<Self> {
        let step = moments.windows(2).map(|pair| pair[1] - pair[0]).reduce(f64::min)?;
        let longest = (moments[moments.len() - 1] / step).round();
        if !(longest <= MOST_STEPS_OF_GRID) {
            return None;
        }
        // fitted to the whole row, not to one gap whose rounding would add up
        let step = moments[moments.len() - 1] / longest;
        let counts: Vec<i32> = moments.iter().map(|u| (u / step).round() as i32).collect();
        let is_near = |(u, count): (&f64, &i32)| (u - step * f64::from(*count)).abs() <= OFF_GRID;
        let gaps = std::iter::once(0).chain(counts.windows(2).map(|pair| pair[1] - pair[0])).collect();
        moments.iter().zip(&counts).all(is_near).then_some(Self { step, gaps })
    }
}

/// Σ aᵢ·exp(−uᵢ·y).
pub struct Sum<'a> {
    /// a, of which the largest is 1 or −1.
    pub coefficients: &'a [f64],
    /// u, rising from 0 to 1.
    pub moments: &'a [f64],
    /// The grid on which u lies, if it does.
    pub grid: Option<&'a Grid>,
}

impl Sum<'_> {
    /// The sum over its terms' sizes: from −1 to 1, of the sum's sign.
    fn balance(&self, y: f64) -> f64 {
        // seen from that end of the row that weighs most, so that no term overflows
        let (mut sum, mut size) = (0.0, 0.0);
        let mut add = |term: f64| {
            sum += term;
            size += term.abs();
        };
        match self.grid {
            None => {
                let origin = if y < 0.0 { 1.0 } else { 0.0 };
                for (a, u) in self.coefficients.iter().zip(self.moments) {
                    add(a * ((origin - u) * y).exp());
                }
            }
            Some(grid) => {
                let factor = (-grid.step * y.abs()).exp();
                let last = self.coefficients.len() - 1;
                let mut power = 1.0;
                for k in 0..=last {
                    // from the end of the row, the gap before a moment is the one after it
                    let (place, gap) = if y >= 0.0 { (k, k) } else { (last - k, last + 1 - k) };
                    match if k == 0 { 0 } else { grid.gaps[gap] } {
                        0 => (),
                        1 => power *= factor,
                        gap => power *= factor.powi(gap),
                    }
                    if power < LEAST_POWER {
                        break;
                    }
                    add(self.coefficients[place] * power);
                }
            }
        }
        if size > 0.0 { sum / size } else { 0.0 }
    }

    /// All roots between the first and the last of some rising places between neighbours of which there is one at most.
    pub fn roots(&self, parting: &[f64], span: f64) -> Vec<Root> {
        let mut roots = vec![];
        // the last place at which the sum is not 0, and the best of the zeros after it
        let mut before: Option<(f64, f64)> = None;
        let mut zero: Option<(f64, f64)> = None;
        for &at in parting {
            let balance = self.balance(at);
            if balance.abs() <= NOTHING {
                if zero.is_none_or(|(_, best)| balance.abs() < best) {
                    zero = Some((at, balance.abs()));
                }
                continue;
            }
            let crosses = before.filter(|(_, earlier)| (*earlier > 0.0) != (balance > 0.0));
            let narrowed = crosses.map(|earlier| self.narrow(earlier, (at, balance), span));
            match (zero.take(), narrowed) {
                (None, None) => (),
                (None, Some(found)) => roots.push(Root { at: found, touches: false }),
                (Some((best, _)), None) => roots.push(Root { at: best, touches: before.is_some() }),
                (Some((best, off)), Some(found)) => {
                    let nearer = if self.balance(found).abs() < off { found } else { best };
                    roots.push(Root { at: nearer, touches: false });
                }
            }
            before = Some((at, balance));
        }
        roots.extend(zero.map(|(at, _)| Root { at, touches: false }));
        roots
    }

    /// The root between two places at which the sum has unlike signs: inverse quadratic interpolation where it promises
    /// well, halving where not (Chandrupatla, Advances in Engineering Software 28, 1997; from memory).
    fn narrow(&self, from: (f64, f64), to: (f64, f64), span: f64) -> f64 {
        let (mut a, mut b) = (from, to);
        let mut share = 0.5;
        for _ in 0..MOST_STEPS {
            let at = a.0 + share * (b.0 - a.0);
            let new = (at, self.balance(at));
            // c is the place just left behind
            let c = if (new.1 > 0.0) == (a.1 > 0.0) {
                std::mem::replace(&mut a, new)
            } else {
                let left = std::mem::replace(&mut b, a);
                a = new;
                left
            };
            let best = if a.1.abs() < b.1.abs() { a } else { b };
            let width = (b.0 - a.0).abs();
            let least = 2.0 * f64::EPSILON * best.0.abs() + 1e-17 * span;
            if best.1 == 0.0 || width <= 2.0 * least {
                return best.0;
            }
            let xi = (a.0 - b.0) / (c.0 - b.0);
            let phi = (a.1 - b.1) / (c.1 - b.1);
            share = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
                let alpha = (c.0 - a.0) / (b.0 - a.0);
                a.1 / (b.1 - a.1) * c.1 / (b.1 - c.1) + alpha * a.1 / (c.1 - a.1) * b.1 / (c.1 - b.1)
            } else {
                0.5
            };
            let edge = (least / width).min(0.5);
            share = share.clamp(edge, 1.0 - edge);
        }
        a.0
    }
}
