//! Least squares for any curve: where the sum of squares is least, and how sharply the data say so.
//!
//! Belongs here: the search and its covariance. Does not belong here: any one curve.
//!
//! The search is Levenberg's and Marquardt's in Moré's form (the crate `levenberg-marquardt`), from each start with a long,
//! a middling and a short first step; the lowest sum of squares found counts. The covariance comes from the singular values of the
//! slopes with each column brought to length 1, so that units of parameters do not matter.

use std::fmt;

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt, TerminationReason};
use nalgebra::{DMatrix, DVector, Dyn, storage::Owned};

/// Step bounds that are tried, as multiples of the scaled parameters: a far start may need a short leash.
const LEASHES: [f64; 3] = [100.0, 1.0, 0.1];
/// Rounds of the search for each parameter and one more.
const PATIENCE: usize = 200;
/// Smallest over largest singular value of the scaled slopes below which the data cannot tell parameters apart.
const FLAT: f64 = 1e-8;
/// Stands for a residual that has no value: a step there is never taken.
const NOWHERE: f64 = 1e100;

/// What is to be made small.
pub trait Residuals {
    /// Number of residuals.
    fn count(&self) -> usize;

    /// Residuals at some parameters, data less curve.
    fn residuals(&self, parameters: &[f64], residuals: &mut [f64]);

    /// Their derivatives: all residuals by the first parameter, then all by the second, and so on.
    fn slopes(&self, parameters: &[f64], slopes: &mut [f64]);
}

/// Where the sum of squares is least.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The parameters there.
    pub parameters: Vec<f64>,
    /// The sum of squares there.
    pub squares: f64,
    /// Inverse of (slopes)ᵀ(slopes), row by row: times the variance of a residual it is the covariance of the parameters.
    pub spread: Vec<f64>,
}

impl Fit {
    /// Standard deviations of the parameters where residuals have this variance: √(variance · diagonal of the spread).
    pub fn deviations(&self, variance: f64) -> Vec<f64> {
        let p = self.parameters.len();
        (0..p).map(|k| (variance * self.spread[k * p + k]).sqrt()).collect()
    }
}

/// Why there is no fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoFit {
    /// No more data than parameters.
    TooFew,
    /// No start led anywhere.
    Lost,
    /// The data do not tell the parameters apart.
    Flat,
}

impl fmt::Display for NoFit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooFew => "no more readings than parameters",
            Self::Lost => "the search for it found nothing",
            Self::Flat => "the readings do not tell its parameters apart",
        })
    }
}

impl std::error::Error for NoFit {}

/// A problem at some parameters, in the shape that the search asks for.
struct At<'a, R> {
    of: &'a R,
    parameters: DVector<f64>,
}

impl<R: Residuals> LeastSquaresProblem<f64, Dyn, Dyn> for At<'_, R> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, parameters: &DVector<f64>) {
        self.parameters.copy_from(parameters);
    }

    fn params(&self) -> DVector<f64> {
        self.parameters.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let mut residuals = DVector::zeros(self.of.count());
        self.of.residuals(self.parameters.as_slice(), residuals.as_mut_slice());
        // a step to where the curve has no value is one that makes things worse
        residuals.iter_mut().filter(|residual| !(residual.abs() < NOWHERE)).for_each(|residual| *residual = NOWHERE);
        Some(residuals)
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let mut slopes = DMatrix::zeros(self.of.count(), self.parameters.len());
        self.of.slopes(self.parameters.as_slice(), slopes.as_mut_slice());
        slopes.iter().all(|slope| slope.is_finite()).then_some(slopes)
    }
}

/// Finds the least sum of squares from one or several starts.
///
/// # Errors
/// No more residuals than parameters, a search that ends nowhere, and data that do not tell the parameters apart.
pub fn fit(problem: &impl Residuals, starts: &[Vec<f64>]) -> Result<Fit, NoFit> {
    if starts.iter().any(|start| start.len() >= problem.count()) {
        return Err(NoFit::TooFew);
    }
    let tried = starts.iter().flat_map(|start| LEASHES.map(|leash| (start, leash)));
    let found = tried.filter_map(|(start, leash)| from(problem, start, leash));
    let (squares, parameters) = found.min_by(|a, b| a.0.total_cmp(&b.0)).ok_or(NoFit::Lost)?;
    let spread = spread(problem, &parameters).ok_or(NoFit::Flat)?;
    Ok(Fit { parameters, squares, spread })
}

/// One search: the sum of squares and the parameters, none if it got nowhere.
fn from(problem: &impl Residuals, start: &[f64], leash: f64) -> Option<(f64, Vec<f64>)> {
    let at = At { of: problem, parameters: DVector::from_column_slice(start) };
    let (at, report) = LevenbergMarquardt::new().with_stepbound(leash).with_patience(PATIENCE).minimize(at);
    // where rounding allows no further step, the search is over as well
    let is_there = report.termination.was_successful()
        || matches!(report.termination, TerminationReason::NoImprovementPossible(_));
    let squares = 2.0 * report.objective_function;
    let parameters = at.parameters.as_slice().to_vec();
    (is_there && squares < NOWHERE && parameters.iter().all(|value| value.is_finite())).then_some((squares, parameters))
}

/// (JᵀJ)⁻¹ by the singular values of J with columns of length 1; none where one of them vanishes.
fn spread(problem: &impl Residuals, parameters: &[f64]) -> Option<Vec<f64>> {
    let p = parameters.len();
    let mut slopes = DMatrix::zeros(problem.count(), p);
    problem.slopes(parameters, slopes.as_mut_slice());
    let lengths: Vec<f64> = slopes.column_iter().map(|column| column.norm()).collect();
    if !lengths.iter().all(|length| *length > 0.0 && length.is_finite()) {
        return None;
    }
    for (k, length) in lengths.iter().enumerate() {
        slopes.column_mut(k).scale_mut(1.0 / length);
    }
    // the triangle of a QR decomposition has the same singular values and is small
    let parts = slopes.qr().r().svd(false, true);
    let (values, turned) = (&parts.singular_values, parts.v_t.as_ref()?);
    if !(values.min() > FLAT * values.max()) {
        return None;
    }
    let of = |a: usize, b: usize| -> f64 {
        let sum: f64 = (0..p).map(|k| turned[(k, a)] * turned[(k, b)] / (values[k] * values[k])).sum();
        sum / (lengths[a] * lengths[b])
    };
    Some((0..p * p).map(|k| of(k / p, k % p)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A straight line through points.
    struct Line(Vec<(f64, f64)>);

    impl Residuals for Line {
        fn count(&self) -> usize {
            self.0.len()
        }
        fn residuals(&self, p: &[f64], residuals: &mut [f64]) {
            self.0.iter().zip(residuals).for_each(|((x, y), residual)| *residual = y - p[0] - p[1] * x);
        }
        fn slopes(&self, _: &[f64], slopes: &mut [f64]) {
            let (first, second) = slopes.split_at_mut(self.0.len());
            first.fill(-1.0);
            self.0.iter().zip(second).for_each(|((x, _), slope)| *slope = -x);
        }
    }

    #[test]
    fn a_line_is_that_of_the_closed_form() {
        let points = vec![(1.0, 2.1), (2.0, 3.9), (3.0, 6.2), (5.0, 9.8)];
        let fit = fit(&Line(points.clone()), &[vec![0.0, 0.0]]).unwrap();
        let n = points.len() as f64;
        let mean = |of: &dyn Fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / n;
        let (x, y) = (mean(&|point| point.0), mean(&|point| point.1));
        let sxx: f64 = points.iter().map(|point| (point.0 - x).powi(2)).sum();
        let sxy: f64 = points.iter().map(|point| (point.0 - x) * (point.1 - y)).sum();
        let expected = [y - sxy / sxx * x, sxy / sxx];
        for k in 0..2 {
            assert!((fit.parameters[k] - expected[k]).abs() < 1e-12, "{:?} {expected:?}", fit.parameters);
        }
        let found = fit.deviations(4.0);
        assert!((found[1] - (4.0 / sxx).sqrt()).abs() < 1e-12);
        assert!((found[0] - (4.0 * (1.0 / n + x * x / sxx)).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_told_is_said() {
        let same = Line(vec![(2.0, 1.0), (2.0, 2.0), (2.0, 3.0)]);
        assert_eq!(fit(&same, &[vec![0.0, 0.0]]).unwrap_err(), NoFit::Flat);
        assert_eq!(fit(&Line(vec![(1.0, 1.0), (2.0, 2.0)]), &[vec![0.0, 0.0]]).unwrap_err(), NoFit::TooFew);
        let not = Line(vec![(1.0, f64::NAN), (2.0, 2.0), (3.0, 3.0)]);
        assert_eq!(fit(&not, &[vec![0.0, 0.0]]).unwrap_err(), NoFit::Lost);
    }
}
