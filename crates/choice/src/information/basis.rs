//! The functions of inputs on which costs are regressed: lines, natural splines, products.

use super::linear::orthonormal;
use crate::normal;
use crate::ranks::{few_distinct, shares_below};

/// Trials that each function must have to itself at the least.
const TRIALS_EACH: usize = 20;

/// An input of no more distinct values than this is taken value by value.
const FEW: usize = 12;

/// Inner knots of the splines, as shares of the trials below, round by round.
const KNOTS: [&[f64]; 4] = [
    &[0.5],
    &[0.25, 0.75],
    &[0.125, 0.375, 0.625, 0.875],
    &[0.0625, 0.1875, 0.3125, 0.4375, 0.5625, 0.6875, 0.8125, 0.9375],
];

/// Shares of trials beyond which a spline goes on as a straight line.
const ENDS: [f64; 2] = [0.01, 0.99];

/// Orthonormal functions of the inputs (of mean square 1), the constant first, each as its values trial by trial.
pub struct Basis {
    /// The functions.
    pub columns: Vec<Vec<f64>>,
    /// How many leading functions make a model, from the constant alone up.
    pub levels: Vec<usize>,
}

/// One input as seen by the regression.
struct Seen {
    /// The input itself, to mean 0 and mean square 1.
    plain: Vec<f64>,
    /// Its normal score: the standard normal quantile of its rank.
    score: Vec<f64>,
    /// Its distinct values if they are few.
    distinct: Option<Vec<f64>>,
}

impl Seen {
    fn new(values: &[f64]) -> Self {
        let largest = values.iter().fold(0.0, |most: f64, x| most.max(x.abs()));
        let scaled: Vec<f64> = values.iter().map(|x| if largest > 0.0 { x / largest } else { 0.0 }).collect();
        let distinct = few_distinct(&scaled, FEW);
        let ones = vec![1.0; values.len()];
        let score = shares_below(values).into_iter().map(normal::quantile).collect();
        let plain = orthonormal(&[ones], scaled.clone()).unwrap_or_else(|| vec![0.0; values.len()]);
        // the values must be those of the column that is compared with them
        let distinct = distinct.and_then(|_| few_distinct(&plain, FEW));
        Self { plain, score, distinct }
    }

    /// The functions that one round of knots adds.
    fn bends(&self, knots: &[f64], round: usize) -> Vec<Vec<f64>> {
        match &self.distinct {
            Some(values) if round == 0 => values.iter().map(|value| indicator(&self.plain, *value)).collect(),
            Some(_) => vec![],
            None => knots.iter().map(|knot| self.bend(*knot)).collect(),
        }
    }

    /// The natural cubic spline with one inner knot, less its straight part: (z − t)³₊ − λ·(z − a)³₊ − (1 − λ)·(z − b)³₊ with
    /// λ = (b − t)/(b − a), which is 0 below a and straight above b.
    fn bend(&self, knot: f64) -> Vec<f64> {
        let [a, b, t] = [ENDS[0], ENDS[1], knot].map(normal::quantile);
        let share = (b - t) / (b - a);
        let cube = |x: f64| x.max(0.0).powi(3);
        self.score.iter().map(|z| cube(z - t) - share * cube(z - a) - (1.0 - share) * cube(z - b)).collect()
    }
}

fn indicator(values: &[f64], of: f64) -> Vec<f64> {
    values.iter().map(|x| f64::from(u8::from(*x == of))).collect()
}

fn product(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a * b).collect()
}

impl Basis {
    /// The basis of some inputs, each a value a trial.
    ///
    /// Models grow in rounds: the inputs themselves, their normal scores, products of pairs, then splines with ever more
    /// knots (and products of their first bends with lines). A round that would leave fewer than twenty trials for each
    /// function is left out with all that follow.
    pub fn new(inputs: &[&[f64]]) -> Self {
        let trials = inputs[0].len();
        let seen: Vec<Seen> = inputs.iter().map(|values| Seen::new(values)).collect();
        let pairs: Vec<(usize, usize)> =
            (0..seen.len()).flat_map(|j| (0..j).flat_map(move |i| [(i, j), (j, i)])).collect();
        let mut basis = Self { columns: vec![vec![1.0; trials]], levels: vec![1] };
        let mut rounds: Vec<Box<dyn Fn() -> Vec<Vec<f64>>>> = vec![];
        rounds.push(Box::new(|| seen.iter().map(|input| input.plain.clone()).collect()));
        rounds.push(Box::new(|| seen.iter().map(|input| input.score.clone()).collect()));
        if seen.len() > 1 {
            let once = || pairs.iter().filter(|(i, j)| i < j).map(|(i, j)| (&seen[*i], &seen[*j]));
            rounds.push(Box::new(move || once().map(|(a, b)| product(&a.plain, &b.plain)).collect()));
            rounds.push(Box::new(move || once().map(|(a, b)| product(&a.score, &b.score)).collect()));
        }
        for (round, knots) in KNOTS.into_iter().enumerate() {
            let seen = &seen;
            rounds.push(Box::new(move || seen.iter().flat_map(|input| input.bends(knots, round)).collect()));
            if round == 0 && seen.len() > 1 {
                let pairs = &pairs;
                let bent = move |(i, j): &(usize, usize)| {
                    let bends = seen[*i].bends(knots, 0);
                    bends.into_iter().map(|bend| product(&bend, &seen[*j].score)).collect::<Vec<_>>()
                };
                rounds.push(Box::new(move || pairs.iter().flat_map(bent).collect()));
            }
        }
        for round in rounds {
            if !basis.grow(round(), trials / TRIALS_EACH) {
                break;
            }
        }
        basis
    }

    /// Adds the columns of a round that say something new, as one further model; false if they would be too many.
    fn grow(&mut self, round: Vec<Vec<f64>>, most: usize) -> bool {
        let before = self.columns.len();
        for column in round {
            if let Some(column) = orthonormal(&self.columns, column) {
                self.columns.push(column);
            }
            if self.columns.len() > most {
                self.columns.truncate(before);
                return false;
            }
        }
        if self.columns.len() > before {
            self.levels.push(self.columns.len());
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::super::linear::dot;
    use super::*;

    #[test]
    fn functions_are_orthonormal_and_few_values_are_taken_one_by_one() {
        let x: Vec<f64> = (0..2000).map(|k| f64::from(k * 7919 % 2000)).collect();
        let few: Vec<f64> = x.iter().map(|x| (x % 3.0).floor() * 1e90).collect();
        let basis = Basis::new(&[&x]);
        assert_eq!(basis.levels, [1, 2, 3, 4, 6, 10, 18]);
        for (i, a) in basis.columns.iter().enumerate() {
            for (j, b) in basis.columns.iter().enumerate() {
                let expected = f64::from(u8::from(i == j));
                assert!((dot(a, b) / 2000.0 - expected).abs() < 1e-9, "{i} {j}");
            }
        }
        // three values: a constant and two functions, whatever they are called
        assert_eq!(Basis::new(&[&few]).columns.len(), 3);
        assert_eq!(Basis::new(&[&vec![5.0; 2000]]).levels, [1]);
        // a copy of an input adds nothing but its products
        assert_eq!(Basis::new(&[&few, &few]).columns.len(), 3);
        assert_eq!(Basis::new(&[&x[..50]]).levels, [1, 2]);
    }
}
