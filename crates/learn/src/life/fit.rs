//! Curves of life by maximum likelihood, whatever was censored or came in late.
//!
//! Belongs here: the likelihood with its derivatives, its top and the standard errors there. Does not belong here: how far
//! the likelihood falls beside its top (`profile`).
//!
//! With y = ln(hours), a = 1/spread and b = location/spread the standard number of a life is z = a·y − b, so that the
//! logarithm of the likelihood of deaths, of lamps that live on and of deaths between two hours is concave in (a, b)
//! (Burridge, Journal of the Royal Statistical Society B 43:41, 1981; from memory); only late entry takes from that. Newton's
//! method with steps that are shortened until they climb therefore finds the top from anywhere.

use super::family::Family;
use super::profile::{Line, interval};
use super::{Terms, Watched, deaths};

/// Rounds after which Newton's method is given up.
const ROUNDS: usize = 200;
/// A death between two hours that lie no farther apart than this, on the scale of logarithms, counts as one between them
/// with the density there: the difference of two survivals would lose its digits, and the curve bends by far less.
const NARROW: f64 = 1e-3;
/// Steps of Newton's method, as shares, from which on the next one ends the search, and which are good enough where no step
/// leads up any more.
const CLOSE: f64 = 1e-6;
const NEARLY: f64 = 1e-4;
/// Most terms of a likelihood.
const MOST_TERMS: usize = 100_000;
/// A spread below one part in so many is none: all lamps died at one age.
const STEEPEST: f64 = 1e5;

/// A number with its standard error, and the interval of a confidence by the profile of the likelihood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounded {
    /// Its most likely value.
    pub value: f64,
    /// Standard error by the curvature at the top.
    pub se: f64,
    /// Lower end; none where the likelihood does not fall far enough.
    pub low: Option<f64>,
    /// Upper end; none where the likelihood does not fall far enough.
    pub high: Option<f64>,
}

/// A fitted curve of life.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Its family.
    pub family: Family,
    /// Weibull: the scale η, hours. Lognormal: the median, hours.
    pub scale: Bounded,
    /// Weibull: the shape k. Lognormal: the standard deviation of ln(life).
    pub spread: Bounded,
    /// Hours by which one in ten has died.
    pub b10: Bounded,
    /// Hours by which half have died.
    pub b50: Bounded,
    /// ln of the likelihood, with densities on the scale of hours.
    pub log_likelihood: f64,
    /// Akaike's criterion, 2·2 − 2·ln(likelihood): of two curves the one with the smaller number fits better.
    pub aic: f64,
}

/// Why no curve was fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoFit {
    /// Fewer than two deaths.
    FewDeaths,
    /// The likelihood has no top: all deaths may have come at one age that nobody outlived, or the lives say nothing of how
    /// they spread.
    NoTop,
}

/// Fits a curve, with intervals of a confidence such as 0.95.
///
/// # Errors
/// Why there is none.
pub fn fit(lives: &[Watched], family: Family, confidence: f64) -> Result<Fit, NoFit> {
    if deaths(lives) < 2 {
        return Err(NoFit::FewDeaths);
    }
    let likelihood = Likelihood::new(lives, family);
    let top = likelihood.top().ok_or(NoFit::NoTop)?;
    let [a, b] = top.at;
    let [[aa, ab], [_, bb]] = top.slopes.covariance().ok_or(NoFit::NoTop)?;
    let ln_scale = b / a + likelihood.centre;
    let quantile = |share: f64| {
        let z = family.quantile(share);
        let y = (b + z) / a;
        let (da, db) = (-(b + z) / (a * a), 1.0 / a);
        let se = (da * da * aa + 2.0 * da * db * ab + db * db * bb).max(0.0).sqrt();
        let line = |y: f64| Line { from: [0.0, -z], along: [1.0, y], start: a };
        let ends = interval(&likelihood, &top, y, se, confidence, &line);
        let hours = |y: f64| (y + likelihood.centre).exp();
        Bounded { value: hours(y), se: hours(y) * se, low: ends.0.map(hours), high: ends.1.map(hours) }
    };
    // a fixed spread leaves b free
    let line = |ln_a: f64| Line { from: [ln_a.exp(), 0.0], along: [0.0, 1.0], start: b };
    let ends = interval(&likelihood, &top, a.ln(), aa.sqrt() / a, confidence, &line);
    let spread = match family {
        Family::Weibull => Bounded { value: a, se: aa.sqrt(), low: ends.0.map(f64::exp), high: ends.1.map(f64::exp) },
        Family::Lognormal => Bounded {
            value: 1.0 / a,
            se: aa.sqrt() / (a * a),
            low: ends.1.map(|ln_a| (-ln_a).exp()),
            high: ends.0.map(|ln_a| (-ln_a).exp()),
        },
    };
    let scale_share = if family == Family::Weibull { -(-1.0f64).exp_m1() } else { 0.5 };
    let scale = Bounded { value: ln_scale.exp(), ..quantile(scale_share) };
    let log_likelihood = top.slopes.value;
    let aic = 4.0 - 2.0 * log_likelihood;
    Ok(Fit { family, scale, spread, b10: quantile(0.1), b50: quantile(0.5), log_likelihood, aic })
}

/// ln of a likelihood with its slopes in (a, b).
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Slopes {
    pub value: f64,
    pub first: [f64; 2],
    /// By a twice, by both, by b twice.
    pub second: [f64; 3],
}

impl Slopes {
    /// Adds a term of z = a·y − b with its derivatives by z.
    fn add(&mut self, count: f64, y: f64, (value, first, second): (f64, f64, f64)) {
        self.value += count * value;
        self.first[0] += count * first * y;
        self.first[1] -= count * first;
        self.bend(count * second, y, y);
    }

    /// Adds a second derivative by two standard numbers.
    fn bend(&mut self, by: f64, y: f64, other: f64) {
        self.second[0] += by * y * other;
        self.second[1] -= by * 0.5 * (y + other);
        self.second[2] += by;
    }

    /// Inverse of the negative second derivatives; none where they are not those of a top.
    fn covariance(&self) -> Option<[[f64; 2]; 2]> {
        let [aa, ab, bb] = self.second.map(|second| -second);
        let determinant = aa * bb - ab * ab;
        (aa > 0.0 && bb > 0.0 && determinant > 0.0 && determinant.is_finite())
            .then(|| [[bb / determinant, -ab / determinant], [-ab / determinant, aa / determinant]])
    }
}

/// A likelihood at its top.
pub(super) struct Top {
    pub at: [f64; 2],
    pub slopes: Slopes,
}

/// Lives and a family.
pub(super) struct Likelihood {
    family: Family,
    /// ln(hours) that are taken off all others, so that a and b depend little on one another.
    pub centre: f64,
    lives: Vec<Term>,
}

/// ln(hours) of a life, centred; none where they are 0 or infinite.
struct Term {
    /// How many; below 0 where lamps came in late and what they had outlived is taken off.
    count: f64,
    seen: Option<f64>,
    gone: Option<f64>,
    /// Of a death at an hour that is as good as known: ln of what turns a density on the scale of ln(hours) into what was
    /// seen, one on the scale of hours or a share of deaths.
    exact: Option<f64>,
}

impl Likelihood {
    fn new(lives: &[Watched], family: Family) -> Self {
        let at = |life: &Watched| if life.is_dead() { life.gone } else { life.seen };
        let told = || lives.iter().filter(|life| at(life) > 0.0);
        let lamps: f64 = told().map(|life| life.count as f64).sum();
        let centre = told().map(|life| life.count as f64 * at(life).ln()).sum::<f64>() / lamps;
        let ln = |hours: f64| (hours > 0.0 && hours.is_finite()).then(|| hours.ln() - centre);
        let terms = Terms::new(lives, MOST_TERMS);
        let alive = |&(hours, count): &(f64, f64)| Term { count, seen: ln(hours), gone: None, exact: None };
        let death = |&(seen, gone, count): &(f64, f64, f64)| match (ln(seen), ln(gone)) {
            (at, Some(y)) if seen == gone => Term { count, seen: at, gone: Some(y), exact: Some(-y - centre) },
            (Some(low), Some(high)) if high - low < NARROW => {
                let middle = Some(0.5 * (low + high));
                Term { count, seen: middle, gone: middle, exact: Some((high - low).ln()) }
            }
            (seen, gone) => Term { count, seen, gone, exact: None },
        };
        let lives = terms.alive.iter().map(alive).chain(terms.deaths.iter().map(death)).collect();
        Self { family, centre, lives }
    }

    pub fn at(&self, [a, b]: [f64; 2]) -> Slopes {
        let family = self.family;
        let mut sum = Slopes::default();
        let survival = |z: f64| {
            let (first, second) = family.survival_slopes(z);
            (family.ln_survival(z), first, second)
        };
        for term in &self.lives {
            let count = term.count;
            match (term.seen, term.gone) {
                (_, Some(y)) if term.exact.is_some() => {
                    sum.add(count, y, family.ln_density(a * y - b));
                    sum.value += count * (a.ln() + term.exact.unwrap_or(0.0));
                    sum.first[0] += count / a;
                    sum.second[0] -= count / (a * a);
                }
                (seen, Some(gone)) => self.between(&mut sum, count, [a, b], seen, gone),
                (Some(seen), None) => sum.add(count, seen, survival(a * seen - b)),
                (None, None) => {}
            }
        }
        sum
    }

    /// A death between two hours: ln of the difference of two survivals.
    fn between(&self, sum: &mut Slopes, count: f64, [a, b]: [f64; 2], seen: Option<f64>, gone: f64) {
        let family = self.family;
        let z_gone = a * gone - b;
        let alive = seen.map_or(0.0, |y| family.ln_survival(a * y - b));
        let value = alive + (-(family.ln_survival(z_gone) - alive).exp_m1()).ln();
        sum.value += count * value;
        let slope = |z: f64| {
            let (density, bend, _) = family.ln_density(z);
            ((density - value).exp(), bend)
        };
        let (high, high_bend) = slope(z_gone);
        sum.add(count, gone, (0.0, high, high * high_bend - high * high));
        if let Some(y) = seen {
            let (low, low_bend) = slope(a * y - b);
            sum.add(count, y, (0.0, -low, -low * low_bend - low * low));
            // twice, because it stands on both sides of the diagonal
            sum.bend(2.0 * count * low * high, y, gone);
        }
    }

    fn top(&self) -> Option<Top> {
        let mut at = [1.0, 0.0];
        let mut here = self.at(at);
        for _ in 0..ROUNDS {
            let step = ascent(&here)?;
            let moved = step[0].abs() / at[0] + step[1].abs();
            if moved < CLOSE {
                // the next step would be the square of this one; up here rounding hides which of the two is higher
                let next = [at[0] + step[0], at[1] + step[1]];
                let there = self.at(next);
                let is_top = there.value >= here.value - CLOSE * (1.0 + here.value.abs());
                return Some(if is_top { Top { at: next, slopes: there } } else { Top { at, slopes: here } });
            }
            let mut size = 1.0;
            let next = loop {
                let next = [at[0] + size * step[0], at[1] + size * step[1]];
                if next[0] > 0.0 {
                    let there = self.at(next);
                    if there.value >= here.value {
                        break Some((next, there));
                    }
                }
                size *= 0.5;
                if size < 1e-14 {
                    break None;
                }
            };
            match next {
                Some((next, there)) => (at, here) = (next, there),
                // nothing higher can be told apart from here
                None if moved < NEARLY => return Some(Top { at, slopes: here }),
                None => return None,
            }
            if !(at[0] < STEEPEST) {
                return None;
            }
        }
        None
    }
}

/// Newton's step towards the top; where the second derivatives do not lead up, a mixture with the straight way up.
fn ascent(here: &Slopes) -> Option<[f64; 2]> {
    let [aa, ab, bb] = here.second.map(|second| -second);
    let scale = aa.abs().max(bb.abs()).max(f64::MIN_POSITIVE);
    let mut ridge = 0.0;
    for _ in 0..60 {
        let (p, q) = (aa + ridge, bb + ridge);
        let determinant = p * q - ab * ab;
        if p > 0.0 && determinant > 1e-14 * p * q {
            let [ga, gb] = here.first;
            let step = [(q * ga - ab * gb) / determinant, (p * gb - ab * ga) / determinant];
            return step.iter().all(|part| part.is_finite()).then_some(step);
        }
        ridge = if ridge == 0.0 { 1e-9 * scale } else { ridge * 4.0 };
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lives() -> Vec<Watched> {
        let life = |from, seen, gone, count| Watched { from, seen, gone, count };
        vec![
            life(0.0, 6_100.0, 6_100.0, 1),
            life(0.0, 7_000.0, 9_000.0, 2),
            life(3_000.0, 9_900.0, f64::INFINITY, 5),
            life(2_000.0, 8_000.0, 8_000.0, 1),
            life(0.0, 0.0, 5_000.0, 1),
            life(0.0, 12_000.0, f64::INFINITY, 3),
        ]
    }

    /// Derivatives against difference quotients, for every kind of life at once.
    #[test]
    fn slopes_are_those_of_the_likelihood() {
        for family in [Family::Weibull, Family::Lognormal] {
            let likelihood = Likelihood::new(&lives(), family);
            let (at, h) = ([2.3, 0.4], 1e-5);
            let moved = |k: usize, by: f64| {
                let mut at = at;
                at[k] += by;
                likelihood.at(at)
            };
            let here = likelihood.at(at);
            for k in 0..2 {
                let (up, down) = (moved(k, h), moved(k, -h));
                let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-5 * (1.0 + b.abs()), "{family:?} {k}: {a} {b}");
                near((up.value - down.value) / (2.0 * h), here.first[k]);
                near((up.first[0] - down.first[0]) / (2.0 * h), here.second[k]);
                near((up.first[1] - down.first[1]) / (2.0 * h), here.second[k + 1]);
            }
        }
    }

    #[test]
    fn narrow_intervals_give_what_exact_deaths_give() {
        let exact: Vec<Watched> =
            [5.0, 8.0, 9.5, 13.0].map(|hours| Watched { from: 0.0, seen: hours, gone: hours, count: 1 }).to_vec();
        for (width, allowed) in [(1e-5, 1e-8), (9.9e-4, 1e-6), (1.01e-3, 5e-6), (4e-3, 5e-5)] {
            let within = |life: &Watched| Watched {
                seen: life.seen * (1.0 - 0.5 * width),
                gone: life.gone * (1.0 + 0.5 * width),
                ..*life
            };
            let narrow: Vec<Watched> = exact.iter().map(within).collect();
            for family in [Family::Weibull, Family::Lognormal] {
                let (a, b) = (fit(&exact, family, 0.95).unwrap(), fit(&narrow, family, 0.95).unwrap());
                for (a, b) in [(a.scale, b.scale), (a.spread, b.spread), (a.b10, b.b10)] {
                    let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < allowed, "{width} {family:?}: {a} {b}");
                    near(a.value, b.value);
                    near(a.se, b.se);
                    near(a.low.unwrap(), b.low.unwrap());
                    near(a.high.unwrap(), b.high.unwrap());
                }
            }
        }
    }

    #[test]
    fn what_has_no_top_is_not_fitted() {
        let dead = |hours: f64, count| Watched { from: 0.0, seen: hours, gone: hours, count };
        let alive = |hours: f64, count| Watched { from: 0.0, seen: hours, gone: f64::INFINITY, count };
        for family in [Family::Weibull, Family::Lognormal] {
            assert_eq!(fit(&[], family, 0.95), Err(NoFit::FewDeaths));
            assert_eq!(fit(&[dead(5.0, 1), alive(9.0, 20)], family, 0.95), Err(NoFit::FewDeaths));
            assert_eq!(fit(&[dead(5.0, 4)], family, 0.95), Err(NoFit::NoTop));
            assert_eq!(fit(&[dead(5.0, 4), alive(4.0, 3)], family, 0.95), Err(NoFit::NoTop));
            // one broad interval says nothing of how lives spread
            let broad = Watched { from: 0.0, seen: 0.0, gone: 100.0, count: 5 };
            assert_eq!(fit(&[broad], family, 0.95), Err(NoFit::NoTop));
            assert!(fit(&[dead(5.0, 2), alive(9.0, 20)], family, 0.95).is_ok());
        }
    }

    /// A million lamps that are looked at every 500 h: counts are those of a Weibull life, whose numbers must come out, and a
    /// lognormal curve has its top too.
    #[test]
    fn very_many_lives_are_fitted() {
        let (scale, shape) = (19_000.0f64, 3.0);
        let alive = |hours: f64| (-(hours / scale).powf(shape)).exp();
        let mut lives: Vec<Watched> = (0..40)
            .map(|k| (500.0 * f64::from(k), 500.0 * f64::from(k + 1)))
            // a count of lamps, rounded
            .map(|(seen, gone)| Watched {
                from: 0.0,
                seen,
                gone,
                count: (1e6 * (alive(seen) - alive(gone))).round() as u64,
            })
            .collect();
        lives.push(Watched { from: 0.0, seen: 20_000.0, gone: f64::INFINITY, count: (1e6 * alive(20_000.0)) as u64 });
        let found = fit(&lives, Family::Weibull, 0.95).unwrap();
        assert!(
            (found.scale.value / scale - 1.0).abs() < 1e-4 && (found.spread.value / shape - 1.0).abs() < 1e-4,
            "{found:?}"
        );
        let other = fit(&lives, Family::Lognormal, 0.95).unwrap();
        assert!(other.aic > found.aic + 100.0 && other.b50.low.is_some() && other.b50.high.is_some(), "{other:?}");
    }
}
