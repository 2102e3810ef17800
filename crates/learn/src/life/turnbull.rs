//! Survival where deaths are known between two hours only: the self-consistent estimate.
//!
//! Belongs here: the intervals that can hold deaths, and their shares by repeated expectation. Does not belong here: bands,
//! which these shares do not have in a simple form.

use super::{Step, Watched};

/// Rounds after which it stops.
const ROUNDS: usize = 20_000;
/// Largest change of a share at which it stops.
const STILL: f64 = 1e-10;

/// An edge of an interval: its hours, and which side of that hour is meant: 0 a left edge that includes the hour, 1 a right
/// edge, 2 a left edge beyond the hour.
type Edge = (f64, u8);

/// Runs of cells that belong to lamps watched alike: from the first to the one behind the last.
struct Runs {
    count: f64,
    /// Where they may have died.
    seen: (usize, usize),
    /// Where they would have been seen to die.
    watched: (usize, usize),
}

/// The steps of the estimate; shares that vanish are left out.
pub(super) fn steps(lives: &[Watched]) -> Vec<Step> {
    let cells = cells(lives);
    if cells.is_empty() {
        return vec![];
    }
    let within = |low: Edge, high: Edge| {
        let first = cells.partition_point(|cell| before(cell.0, low));
        let end = cells.partition_point(|cell| !before(high, cell.1));
        (first, end.max(first))
    };
    let runs: Vec<Runs> = lives
        .iter()
        .map(|life| {
            let low = if life.is_exact() { (life.seen, 0) } else { (life.seen, 2) };
            let seen = within(low, (life.gone, 1));
            let watched = if life.from > 0.0 { within((life.from, 2), (f64::INFINITY, 1)) } else { (0, cells.len()) };
            Runs { count: life.count as f64, seen, watched }
        })
        .collect();
    let mut shares = vec![1.0 / cells.len() as f64; cells.len()];
    for _ in 0..ROUNDS {
        let next = expected(&runs, &shares);
        let moved = shares.iter().zip(&next).map(|(old, new)| (old - new).abs()).fold(0.0, f64::max);
        shares = next;
        if moved < STILL {
            break;
        }
    }
    let lamps: f64 = runs.iter().map(|run| run.count).sum();
    let mut alive = 1.0;
    let mut steps = vec![];
    for (&((from, _), (to, _)), share) in cells.iter().zip(shares) {
        if to.is_finite() && share > 1e-7 {
            alive -= share;
            steps.push(Step {
                from,
                to,
                at_risk: None,
                deaths: share * lamps,
                alive: f64::max(alive, 0.0),
                band: None,
            });
        }
    }
    // what is left of rounding at the end
    if let Some(last) = steps.last_mut().filter(|last| last.alive < 1e-6) {
        last.alive = 0.0;
    }
    steps
}

/// Shares after one round: every lamp is spread over its cells by the shares at hand, and so are those that died unseen
/// before a lamp of their kind was first watched.
fn expected(runs: &[Runs], shares: &[f64]) -> Vec<f64> {
    let mut sums = Vec::with_capacity(shares.len() + 1);
    let mut sum = 0.0;
    sums.push(0.0);
    for share in shares {
        sum += share;
        sums.push(sum);
    }
    // what each cell gains for every unit of its share, as steps between neighbours
    let mut gains = vec![0.0; shares.len() + 1];
    let mut total = 0.0;
    for &Runs { count, seen: (first, end), watched: (entry, all) } in runs {
        let (inside, watched) = (sums[end] - sums[first], sums[all] - sums[entry]);
        if !(inside > 0.0 && watched > 0.0) {
            continue;
        }
        gains[first] += count / inside;
        gains[end] -= count / inside;
        if entry > 0 {
            gains[0] += count / watched;
            gains[entry] -= count / watched;
        }
        total += count / watched * sum;
    }
    let mut gain = 0.0;
    let next: Vec<f64> = shares
        .iter()
        .zip(&gains)
        .map(|(share, step)| {
            gain += step;
            (share * gain / total).max(0.0)
        })
        .collect();
    let whole: f64 = next.iter().sum();
    next.iter().map(|share| share / whole).collect()
}

/// Intervals that can hold deaths: from a left edge to the right edge next to it, with no other edge between.
fn cells(lives: &[Watched]) -> Vec<(Edge, Edge)> {
    let mut edges: Vec<(Edge, bool)> = vec![];
    for life in lives {
        edges.push(if life.is_exact() { ((life.seen, 0), true) } else { ((life.seen, 2), true) });
        edges.push(((life.gone, 1), false));
        if life.from > 0.0 {
            edges.push(((life.from, 1), false));
        }
    }
    edges.sort_by(|a, b| a.0.0.total_cmp(&b.0.0).then(a.0.1.cmp(&b.0.1)));
    edges.dedup();
    edges.windows(2).filter(|pair| pair[0].1 && !pair[1].1).map(|pair| (pair[0].0, pair[1].0)).collect()
}

fn before(a: Edge, b: Edge) -> bool {
    a.0 < b.0 || (a.0 == b.0 && a.1 < b.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn life(from: f64, seen: f64, gone: f64, count: u64) -> Watched {
        Watched { from, seen, gone, count }
    }

    const NEVER: f64 = f64::INFINITY;

    fn told(lives: &[Watched]) -> Vec<(f64, f64, f64)> {
        steps(lives).iter().map(|step| (step.from, step.to, step.alive)).collect()
    }

    /// Intervals that do not overlap are simple counting.
    #[test]
    fn separate_intervals_are_counted() {
        let found = told(&[life(0.0, 1.0, 2.0, 3), life(0.0, 4.0, 6.0, 2), life(0.0, 7.0, NEVER, 5)]);
        assert_eq!(found.len(), 2);
        assert!((found[0].2 - 0.7).abs() < 1e-8 && (found[1].2 - 0.5).abs() < 1e-8, "{found:?}");
        assert_eq!((found[0].0, found[0].1, found[1].0, found[1].1), (1.0, 2.0, 4.0, 6.0));
    }

    /// Worked by hand: one death in (0, 2], one in (1, 3], one in (2, 4]. Deaths can lie in (1, 2] and (2, 3]; with shares p
    /// and 1 − p the likelihood is p · 1 · (1 − p), which is largest at one half.
    #[test]
    fn overlapping_intervals_share_their_deaths() {
        let found = told(&[life(0.0, 0.0, 2.0, 1), life(0.0, 1.0, 3.0, 1), life(0.0, 2.0, 4.0, 1)]);
        assert_eq!(found.iter().map(|step| (step.0, step.1)).collect::<Vec<_>>(), [(1.0, 2.0), (2.0, 3.0)]);
        assert!((found[0].2 - 0.5).abs() < 1e-7 && found[1].2 == 0.0, "{found:?}");
    }

    /// Where deaths are known to the hour it must be the product of Kaplan and Meier, late entry or not: worked there.
    #[test]
    fn exact_deaths_give_the_product() {
        let lives =
            [life(0.0, 2.0, 2.0, 1), life(3.0, 5.0, NEVER, 1), life(0.0, 4.0, 4.0, 1), life(0.0, 4.0, NEVER, 1)];
        let found = told(&lives);
        let product = super::super::survival(&lives, 0.9).steps;
        assert_eq!(found.len(), product.len());
        for (cell, step) in found.iter().zip(product) {
            assert!((cell.2 - step.alive).abs() < 1e-6, "{found:?}");
        }
    }
}
