//! Two options on the same luck: their difference trial by trial.

use crate::result::{Estimate, Race, Verdict};
use crate::spread::{Sorted, mean};

/// Standard errors within which a mean difference counts as noise: 95 % two-sided, for a normal mean.
const NOISE: f64 = 1.96;

/// What may be said of a mean difference.
pub fn verdict(lead: Estimate) -> Verdict {
    if !(lead.value.abs() > NOISE * lead.se) {
        Verdict::Tie
    } else if lead.value < 0.0 {
        Verdict::A
    } else {
        Verdict::B
    }
}

/// Differences below this share of the cost are the rounding of sums, not a lead.
pub(crate) const ROUNDING: f64 = 1e-12;

fn lead(a: f64, b: f64) -> f64 {
    let lead = a - b;
    if lead.abs() <= ROUNDING * a.abs().max(b.abs()) { 0.0 } else { lead }
}

/// Cost of a less cost of b, trial by trial.
pub(crate) fn leads(of_a: &[f64], of_b: &[f64]) -> Vec<f64> {
    of_a.iter().zip(of_b).map(|(&a, &b)| lead(a, b)).collect()
}

/// Races option `a` with costs `of_a` against option `b` with costs `of_b`, trial against trial.
pub fn race(a: usize, of_a: &[f64], b: usize, of_b: &[f64]) -> Race {
    let leads = leads(of_a, of_b);
    let n = leads.len() as f64;
    let wins: f64 = leads
        .iter()
        .map(|&lead| {
            if lead < 0.0 {
                1.0
            } else if lead == 0.0 {
                0.5
            } else {
                0.0
            }
        })
        .sum();
    let chance = wins / n;
    let (lead, _) = mean(&leads);
    let sorted = Sorted::new(leads);
    Race {
        a,
        b,
        lead,
        lead_p10: sorted.quantile(0.1),
        lead_p90: sorted.quantile(0.9),
        chance_a_cheaper: Estimate { value: chance, se: (chance * (1.0 - chance) / n).sqrt() },
        verdict: verdict(lead),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn swapping_the_two_flips_every_sign_bit_for_bit() {
        let a: Vec<f64> = (0..500).map(|k| (k as f64).sin()).collect();
        let b: Vec<f64> = (0..500).map(|k| (k as f64 * 1.3).cos() * 0.9).collect();
        let (one, other) = (race(0, &a, 1, &b), race(1, &b, 0, &a));
        assert_eq!(one.lead.value.to_bits(), (-other.lead.value).to_bits());
        assert_eq!(one.lead.se.to_bits(), other.lead.se.to_bits());
        assert_eq!(one.chance_a_cheaper.value, 1.0 - other.chance_a_cheaper.value);
    }

    #[test]
    fn the_dust_of_rounding_is_no_lead() {
        let a: Vec<f64> = (1..500).map(|k| f64::from(k) * 0.1).collect();
        let b: Vec<f64> = a.iter().map(|a| a * (1.0 + 4e-16)).collect();
        assert!(a.iter().zip(&b).any(|(a, b)| a != b));
        let race = race(0, &a, 1, &b);
        assert_eq!((race.lead.value, race.chance_a_cheaper.value, race.verdict), (0.0, 0.5, Verdict::Tie));
    }

    #[test]
    fn a_race_against_oneself_is_exactly_nothing() {
        let a: Vec<f64> = (0..500).map(|k| (k as f64).sin()).collect();
        let race = race(0, &a, 1, &a);
        assert_eq!((race.lead.value, race.lead.se, race.chance_a_cheaper.value), (0.0, 0.0, 0.5));
        assert_eq!(race.verdict, Verdict::Tie);
    }
}
