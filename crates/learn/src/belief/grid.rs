//! Beliefs about one or two numbers: a grid drawn closer round the hill.
//!
//! Belongs here: closing in, sums over cells, draws from them. Does not belong here: what the likelihood is of.

use super::{FAR, NOTHING, NoPosterior, Posterior, Way, ln_normal};

/// Rounds of closing in.
const ROUNDS: usize = 12;
/// Cells along a line while closing in, and in the end.
const LINE: (usize, usize) = (128, 4_096);
/// Cells along either side of a plane while closing in, and in the end.
const PLANE: (usize, usize) = (40, 120);
/// What lies so far below the top, on the scale of ln, may lie on an edge.
const CUT: f64 = 12.0;
/// Steps of the evenly spread second number: 1 over the golden ratio.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// A stretch cut into equal cells.
#[derive(Debug, Clone, Copy)]
struct Cells {
    low: f64,
    wide: f64,
    count: usize,
}

impl Cells {
    fn over((low, high): (f64, f64), count: usize) -> Self {
        Self { low, wide: (high - low) / count as f64, count }
    }

    /// A place in cells, counted from the lower end, as a number.
    fn at(self, place: f64) -> f64 {
        self.low + self.wide * place
    }

    fn middles(self) -> impl Iterator<Item = f64> {
        (0..self.count).map(move |k| self.at(k as f64 + 0.5))
    }

    /// The stretch from the first to the last cell that counts, and one cell more on either side.
    fn round(self, first: usize, last: usize) -> (f64, f64) {
        (self.at(first as f64 - 1.0).max(-FAR), self.at(last as f64 + 2.0).min(FAR))
    }

    fn long(self) -> f64 {
        self.wide * self.count as f64
    }
}

/// Whether closing in has come to rest.
fn rests(before: Cells, after: (f64, f64)) -> bool {
    after.1 - after.0 > 0.9 * before.long()
}

/// One number.
pub(super) fn line(ln_likelihood: &dyn Fn(f64) -> f64, draws: usize) -> Result<Posterior, NoPosterior> {
    let ln_hill = |cells: Cells| -> Vec<f64> { cells.middles().map(|z| ln_normal(z) + ln_likelihood(z)).collect() };
    let mut stretch = (-FAR, FAR);
    for _ in 0..ROUNDS {
        let cells = Cells::over(stretch, LINE.0);
        let hill = ln_hill(cells);
        let top = highest(&hill)?;
        let counts = |ln: &f64| *ln > top - NOTHING;
        let (Some(first), Some(last)) = (hill.iter().position(counts), hill.iter().rposition(counts)) else {
            return Err(NoPosterior::Impossible);
        };
        stretch = cells.round(first, last);
        if rests(cells, stretch) {
            break;
        }
    }
    let cells = Cells::over(stretch, LINE.1);
    let hill = ln_hill(cells);
    let top = highest(&hill)?;
    let weights: Vec<f64> = hill.iter().map(|ln| (ln - top).exp()).collect();
    let sums = sums(&weights);
    let whole = sums[weights.len()];
    let draw = |k: usize| vec![cells.at(place(&sums, (k as f64 + 0.5) / draws as f64))];
    Ok(Posterior {
        draws: (0..draws).map(draw).collect(),
        ln_evidence: top + (whole * cells.wide).ln(),
        effective: LINE.1 as f64,
        way: Way::Grid(LINE.1),
    })
}

/// Two numbers.
pub(super) fn plane(ln_likelihood: &dyn Fn([f64; 2]) -> f64, draws: usize) -> Result<Posterior, NoPosterior> {
    let ln_hill = |[across, along]: [Cells; 2]| -> Vec<f64> {
        let row = |x: f64| along.middles().map(move |y| ln_normal(x) + ln_normal(y) + ln_likelihood([x, y]));
        across.middles().flat_map(row).collect()
    };
    let mut box_of = [(-FAR, FAR); 2];
    for _ in 0..ROUNDS {
        let cells = box_of.map(|stretch| Cells::over(stretch, PLANE.0));
        let hill = ln_hill(cells);
        let top = highest(&hill)?;
        let counts: Vec<(usize, usize)> =
            (0..hill.len()).filter(|&k| hill[k] > top - NOTHING).map(|k| (k / PLANE.0, k % PLANE.0)).collect();
        let span = |of: &dyn Fn(&(usize, usize)) -> usize| {
            (counts.iter().map(of).min().unwrap_or(0), counts.iter().map(of).max().unwrap_or(PLANE.0 - 1))
        };
        let spans = [span(&|cell| cell.0), span(&|cell| cell.1)];
        let next = [0, 1].map(|side| cells[side].round(spans[side].0, spans[side].1));
        let is_still = (0..2).all(|side| rests(cells[side], next[side]));
        box_of = next;
        if is_still {
            break;
        }
    }
    let cells = box_of.map(|stretch| Cells::over(stretch, PLANE.1));
    let hill = ln_hill(cells);
    let top = highest(&hill)?;
    let rows: Vec<Vec<f64>> =
        hill.chunks(PLANE.1).map(|row| sums(&row.iter().map(|ln| (ln - top).exp()).collect::<Vec<f64>>())).collect();
    let across = sums(&rows.iter().map(|row| row[PLANE.1]).collect::<Vec<f64>>());
    let squares: f64 = hill.iter().map(|ln| (2.0 * (ln - top)).exp()).sum();
    // a hill that goes on beyond an edge that is not that of all numbers was closed in upon in the wrong place
    let is_cut = (0..hill.len()).any(|k| {
        let (x, y) = (k / PLANE.1, k % PLANE.1);
        let edge = |cells: Cells, at: usize| {
            (at == 0 && cells.low > -FAR + 1e-9) || (at + 1 == PLANE.1 && cells.low + cells.long() < FAR - 1e-9)
        };
        (edge(cells[0], x) || edge(cells[1], y)) && hill[k] > top - CUT
    });
    let draw = |k: usize| {
        let x = place(&across, (k as f64 + 0.5) / draws as f64);
        let row = &rows[(x as usize).min(PLANE.1 - 1)];
        let y = place(row, (0.5 + (k as f64 + 1.0) * GOLDEN).fract());
        vec![cells[0].at(x), cells[1].at(y)]
    };
    Ok(Posterior {
        draws: (0..draws).map(draw).collect(),
        ln_evidence: top + (across[PLANE.1] * cells[0].wide * cells[1].wide).ln(),
        effective: if is_cut { 0.0 } else { across[PLANE.1] * across[PLANE.1] / squares },
        way: Way::Grid(PLANE.1 * PLANE.1),
    })
}

fn highest(hill: &[f64]) -> Result<f64, NoPosterior> {
    let top = hill.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if top.is_finite() { Ok(top) } else { Err(NoPosterior::Impossible) }
}

/// Sums before each cell, and of all.
fn sums(weights: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let mut sums = vec![0.0];
    for weight in weights {
        sum += weight;
        sums.push(sum);
    }
    sums
}

/// The place, in cells, below which a share of all weight lies; within a cell weight is spread evenly.
fn place(sums: &[f64], share: f64) -> f64 {
    let wanted = share * sums[sums.len() - 1];
    let cell = sums.partition_point(|&sum| sum <= wanted).clamp(1, sums.len() - 1) - 1;
    let weight = sums[cell + 1] - sums[cell];
    cell as f64 + if weight > 0.0 { ((wanted - sums[cell]) / weight).clamp(0.0, 1.0) } else { 0.5 }
}
