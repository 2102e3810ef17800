//! Gauss and Legendre's rule of eight points: exact for polynomials of degree 15.

/// Nodes on (−1, 1) and their weights (Abramowitz and Stegun, table 25.4, n = 8; from memory, held by a test).
pub const NODES: [(f64, f64); 8] = [
    (-0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
    (-0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (-0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (-0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// ∫ f from a to c by the rule; f should be smooth there.
#[inline]
pub fn over(a: f64, c: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (0.5 * (a + c), 0.5 * (c - a));
    half * NODES.iter().map(|&(x, weight)| weight * f(middle + half * x)).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_up_to_degree_15_are_exact() {
        for degree in 0..16 {
            let found = over(0.0, 1.0, |x| x.powi(degree));
            assert!((found * f64::from(degree + 1) - 1.0).abs() < 1e-14, "{degree}: {found}");
        }
        assert!((over(0.0, 1.0, |x| x.powi(16)) * 17.0 - 1.0).abs() > 1e-12, "degree 16 is beyond the rule");
    }
}
