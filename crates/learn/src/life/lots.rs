//! Whether lots of lamps died more differently than luck makes them.

use std::collections::BTreeMap;

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::Watched;

/// What lots show beside one another.
#[derive(Debug, Clone, PartialEq)]
pub struct Lots {
    /// For each lot: deaths that were seen, and deaths to be expected if all lots were alike.
    pub lots: Vec<(u64, f64)>,
    /// Chance of differences as large as these if all lots were alike, by the χ² test of the logrank comparison in its
    /// cautious form Σ (O − E)²/E (Peto and Peto, Journal of the Royal Statistical Society A 135:185, 1972; from memory).
    /// With few deaths it is rough.
    pub chance: f64,
}

/// Compares lots; a death between two hours counts at the middle of them. None with fewer than two lots or two deaths.
pub fn lots_differ(lots: &[Vec<Watched>]) -> Option<Lots> {
    // changes of the number at risk, and deaths, by hours (as bits, in order) and lot
    let mut coming: BTreeMap<u64, Vec<(usize, i64)>> = BTreeMap::new();
    let mut dying: BTreeMap<u64, Vec<(usize, u64)>> = BTreeMap::new();
    for (lot, lives) in lots.iter().enumerate() {
        for life in lives {
            let end = if life.is_dead() { 0.5 * (life.seen + life.gone) } else { life.seen };
            let count = i64::try_from(life.count).unwrap_or(i64::MAX);
            coming.entry(life.from.to_bits()).or_default().push((lot, count));
            coming.entry(end.to_bits()).or_default().push((lot, -count));
            if life.is_dead() {
                dying.entry(end.to_bits()).or_default().push((lot, life.count));
            }
        }
    }
    let mut at_risk = vec![0i64; lots.len()];
    let mut found = vec![(0u64, 0.0); lots.len()];
    let mut changes = coming.into_iter().peekable();
    for (hours, deaths) in dying {
        // whoever leaves at this hour is still at risk in it
        while let Some((_, moves)) = changes.next_if(|(at, _)| *at < hours) {
            moves.iter().for_each(|&(lot, count)| at_risk[lot] += count);
        }
        let all: i64 = at_risk.iter().sum();
        let died: u64 = deaths.iter().map(|death| death.1).sum();
        deaths.iter().for_each(|&(lot, count)| found[lot].0 += count);
        if all > 0 {
            for (one, watched) in found.iter_mut().zip(&at_risk) {
                one.1 += died as f64 * *watched as f64 / all as f64;
            }
        }
    }
    let compared: Vec<&(u64, f64)> = found.iter().filter(|lot| lot.1 > 0.0).collect();
    if compared.len() < 2 || found.iter().map(|lot| lot.0).sum::<u64>() < 2 {
        return None;
    }
    let square: f64 = compared.iter().map(|&&(seen, expected)| (seen as f64 - expected).powi(2) / expected).sum();
    let chance = ChiSquared::new((compared.len() - 1) as f64).ok()?.sf(square);
    Some(Lots { lots: found, chance })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lot(ages: &[f64], alive: u64) -> Vec<Watched> {
        let dead = ages.iter().map(|&age| Watched { from: 0.0, seen: age, gone: age, count: 1 });
        dead.chain([Watched { from: 0.0, seen: 100.0, gone: f64::INFINITY, count: alive }]).collect()
    }

    /// Worked by hand: two lots of two; deaths at 1 (of 4 at risk, 2 + 2) and at 2 (of 3, 1 + 2), both in the first lot.
    #[test]
    fn expected_deaths_are_those_of_the_hand() {
        let found = lots_differ(&[lot(&[1.0, 2.0], 0), lot(&[], 2)]).unwrap();
        let expected = 0.5 + 1.0 / 3.0;
        assert!((found.lots[0].1 - expected).abs() < 1e-12 && found.lots[0].0 == 2);
        assert!((found.lots[1].1 - (2.0 - expected)).abs() < 1e-12);
        let square = (2.0 - expected).powi(2) * (1.0 / expected + 1.0 / (2.0 - expected));
        // χ² with one degree of freedom is a squared normal number
        let normal = statrs::distribution::Normal::standard();
        assert!((found.chance - 2.0 * normal.sf(square.sqrt())).abs() < 1e-9);
    }

    #[test]
    fn equal_lots_do_not_differ_and_one_lot_is_no_comparison() {
        let alike = lots_differ(&[lot(&[10.0, 50.0], 5), lot(&[10.0, 50.0], 5)]).unwrap();
        assert!((alike.chance - 1.0).abs() < 1e-12);
        let bad = lots_differ(&[lot(&[5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0], 2), lot(&[], 10)]).unwrap();
        assert!(bad.chance < 0.02, "{}", bad.chance);
        assert_eq!(lots_differ(&[lot(&[1.0, 2.0], 3)]), None);
        assert_eq!(lots_differ(&[lot(&[1.0], 3), lot(&[], 3)]), None);
    }
}
