//! Shares, medians and misfits of `learn::score` against statistics packages.

use learn::score::{Hits, median_limits, misfit, share_limits};

use super::{cases, data, number};

#[test]
fn limits_of_a_share_are_the_exact_ones() {
    let file = data("score_limits.json");
    for case in cases(&file) {
        let hits = Hits { found: number(case, "found") as u64, of: number(case, "of") as u64 };
        let found = share_limits(hits, number(case, "confidence")).unwrap();
        for (found, key) in [(found.low, "low"), (found.high, "high")] {
            assert!((found - number(case, key)).abs() < 1e-10, "{case}: {found}");
        }
    }
}

#[test]
fn parts_fit_as_badly_as_pearson_says() {
    let file = data("score_parts.json");
    for case in cases(&file) {
        let counts: Vec<u64> = case["counts"].as_array().unwrap().iter().map(|count| count.as_u64().unwrap()).collect();
        let found = misfit(&counts, &[0.1, 0.4, 0.4, 0.1]).unwrap();
        for (found, key) in [(found.distance, "chi_square"), (found.chance, "chance")] {
            let expected = number(case, key);
            assert!((found - expected).abs() <= 1e-10 * expected.max(1.0), "{case}: {found}");
        }
    }
}

#[test]
fn medians_lie_between_the_ranks_of_the_binomial_distribution() {
    let file = data("score_medians.json");
    for case in cases(&file) {
        let ranks: Vec<f64> = (1..=number(case, "n") as u32).map(f64::from).collect();
        let found = median_limits(&ranks, 0.95).unwrap();
        assert_eq!([found.low, found.high], ["low_rank", "high_rank"].map(|key| number(case, key)), "{case}");
    }
}
