//! Worth of a measurement before a choice: the closed form for normal beliefs (Raiffa and Schlaifer, Applied Statistical
//! Decision Theory, 1961) against the crate's closed form and its regression over simulated data.

use choice::Table;
use choice::information::{Belief, inputs};
use draws::{Purpose, Stream, standard_normal};
use statrs::distribution::{Continuous, ContinuousCDF, Normal};

use super::assert_close;
use super::statistics::ERRORS;

/// p·(φ(z) − z·(1 − Φ(z))) with z = |m|/p and p = s²/√(s² + σ²/n).
fn closed(mean: f64, sd: f64, noise: f64, n: f64) -> f64 {
    let normal = Normal::new(0.0, 1.0).unwrap();
    let spread = sd * sd / (sd * sd + noise * noise / n).sqrt();
    let z = mean.abs() / spread;
    spread * (normal.pdf(z) - z * normal.sf(z))
}

/// So many standard normal numbers.
fn normals(item: u64, trials: u64) -> Vec<f64> {
    let luck = Stream::new(77, Purpose::Shared, item, 0);
    (0..trials).map(|k| standard_normal(luck.uniform(k))).collect()
}

#[test]
fn the_worth_of_measurements_is_that_of_the_closed_form() {
    const TRIALS: u64 = 20_000;
    for (mean, sd, noise, n) in
        [(0.0, 10.0, 10.0, 1u64), (5.0, 10.0, 20.0, 4), (-8.0, 10.0, 5.0, 2), (3.0, 4.0, 40.0, 9)]
    {
        let expected = closed(mean, sd, noise, n as f64);
        let belief = Belief::new(mean, sd).unwrap();
        assert_close(belief.measured(noise, n).unwrap(), expected, 1e-8, "closed form");

        let belief: Vec<f64> = normals(1, TRIALS).iter().map(|z| mean + sd * z).collect();
        let (errors, luck) = (normals(2, TRIALS), normals(3, TRIALS));
        // what is seen is the mean of n measurements; what is paid has luck of its own
        let seen: Vec<f64> = belief.iter().zip(&errors).map(|(of, z)| of + noise / (n as f64).sqrt() * z).collect();
        let paid: Vec<f64> = belief.iter().zip(&luck).map(|(of, z)| of + 6.0 * z).collect();
        let table = Table::from_options(&[&vec![0.0; TRIALS as usize], &paid]).unwrap();
        let found = inputs(&table, &[&seen]).unwrap();
        assert!(found.is_seen && (found.value - expected).abs() < ERRORS * found.se, "{found:?} against {expected}");
    }
}
