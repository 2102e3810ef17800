//! Every pair of options, and what is lost by picking each.
//!
//! Belongs here: confidence words, expected losses, dominance as far as noise lets it be told. Does not belong here: who lives
//! what, and whole rooms.

use choice::dominance::{self, Comparison, Verdict, Which};
use choice::{Table, regret};

use crate::race::{leads, race, verdict};
use crate::rank_report::{Dominance, Loss, Material, Pair, Rule, Word};
use crate::result::{self, Estimate};
use crate::spread::{Sorted, mean};

/// A lead is clear when the cheaper one is so in this share of the futures.
const CLEAR: f64 = 0.9;
/// The chance by which a difference of distributions is put down to noise.
const ALPHA: f64 = 0.05;
/// Trials that may break a rule at one level of cost without its being called broken.
const OVERLOOKED: f64 = 4.0;
/// The loss that is exceeded by one future in twenty.
const BAD: f64 = 0.95;
/// Costs that differ by less than this share are equal: it is rounding.
const ROUNDING: f64 = 1e-12;

/// What may be said of a mean lead, in currency per mol, when a lead of `material` matters and the first option is cheaper in
/// a share `chance` of the futures.
///
/// ```
/// use decide::rank::word;
/// use decide::rank_report::Word;
/// use decide::result::Estimate;
/// let lead = Estimate { value: -0.02, se: 0.001 };
/// assert_eq!(word(lead, 0.93, 0.0), Word::Clear);
/// assert_eq!(word(lead, 0.6, 0.0), Word::Leaning);
/// assert_eq!(word(lead, 0.93, 0.03), Word::Immaterial);
/// assert_eq!(word(Estimate { se: 0.02, ..lead }, 0.93, 0.0), Word::WithinNoise);
/// ```
pub fn word(lead: Estimate, chance: f64, material: f64) -> Word {
    let chance = match verdict(lead) {
        result::Verdict::Tie => return Word::WithinNoise,
        result::Verdict::A => chance,
        result::Verdict::B => 1.0 - chance,
    };
    if !(lead.value.abs() > material) {
        Word::Immaterial
    } else if chance >= CLEAR {
        Word::Clear
    } else {
        Word::Leaning
    }
}

/// Every pair of options, from their costs trial by trial; `scale` turns currency per mol into currency.
pub(super) fn pairs(costs: &[Vec<f64>], material: Material, scale: f64) -> Result<Vec<Pair>, String> {
    let mut pairs = vec![];
    for a in 0..costs.len() {
        for b in a + 1..costs.len() {
            pairs.push(pair((a, &costs[a]), (b, &costs[b]), material, scale)?);
        }
    }
    Ok(pairs)
}

fn pair(
    (a, of_a): (usize, &[f64]),
    (b, of_b): (usize, &[f64]),
    material: Material,
    scale: f64,
) -> Result<Pair, String> {
    let race = race(a, of_a, b, of_b);
    let leads = leads(of_a, of_b);
    let sorted = Sorted::new(leads.clone());
    let material = match material {
        Material::Share(share) => share * mean(of_a).0.value.min(mean(of_b).0.value),
        Material::Amount(amount) => amount,
    };
    let loss = |sign: f64| {
        let losses: Vec<f64> = leads.iter().map(|lead| (sign * lead).max(0.0)).collect();
        scaled(mean(&losses).0, scale)
    };
    Ok(Pair {
        a,
        b,
        lead: race.lead,
        lead_p10: sorted.estimate(0.1),
        lead_p90: sorted.estimate(0.9),
        chance_a_cheaper: race.chance_a_cheaper,
        material,
        word: word(race.lead, race.chance_a_cheaper.value, material),
        lead_money: scaled(race.lead, scale),
        loss_if_a: loss(1.0),
        loss_if_b: loss(-1.0),
        dominance: dominance(of_a, of_b, &leads, race.lead)?,
    })
}

pub(super) fn scaled(estimate: Estimate, factor: f64) -> Estimate {
    Estimate { value: estimate.value * factor, se: estimate.se * factor }
}

/// Whether one is better at every level of cost. Both live on the same luck, so that few trials break a rule by chance: so
/// many as [`OVERLOOKED`] are allowed at one level; and whose mean cannot be told apart cannot be told apart here either.
fn dominance(of_a: &[f64], of_b: &[f64], leads: &[f64], lead: Estimate) -> Result<Dominance, String> {
    let alike = Dominance { rule: Rule::Alike, a_is_better: false, against: 0.0, allowed: 0.0 };
    if leads.iter().all(|lead| *lead == 0.0) {
        return Ok(alike);
    }
    let told = dominance::compare(of_a, of_b).map_err(|fault| fault.to_string())?;
    let gap = dominance::chance_gap(of_a.len(), of_b.len(), ALPHA).map_err(|fault| fault.to_string())?;
    let Comparison { chances, .. } = told;
    let noise = chances.for_first.max(chances.for_second) <= gap;
    let all = chances.for_first + chances.for_second;
    let allowed = (OVERLOOKED / of_a.len() as f64 / all).min(0.49);
    let tie = verdict(lead) == result::Verdict::Tie;
    if tie && noise {
        return Ok(Dominance { allowed, ..alike });
    }
    let verdict = told.verdict(allowed).map_err(|fault| fault.to_string())?;
    let (rule, which) = match verdict {
        Verdict::ForAll(which) if !tie => (Rule::ForAll, which),
        Verdict::ForTheCautious(which) if !tie => (Rule::ForTheCautious, which),
        Verdict::Equal => return Ok(alike),
        _ => (Rule::Neither, if told.difference < 0.0 { Which::First } else { Which::Second }),
    };
    let a_is_better = which == Which::First;
    let against = if a_is_better { chances.for_second } else { chances.for_first };
    Ok(Dominance { rule, a_is_better, against, allowed })
}

/// What is lost by picking each option.
pub(crate) fn losses(costs: &[Vec<f64>], scale: f64) -> Result<Vec<Loss>, String> {
    let trials = costs.first().map_or(0, Vec::len);
    let rows: Vec<Vec<f64>> = (0..trials)
        .map(|trial| {
            let row = costs.iter().map(|costs| costs[trial]);
            let low = row.clone().fold(f64::INFINITY, f64::min);
            // the dust of rounding must not decide who was the cheapest
            row.map(|cost| if (cost - low).abs() <= ROUNDING * low.abs() { low } else { cost }).collect()
        })
        .collect();
    let told = |fault: choice::Fault| fault.to_string();
    let table = Table::new(&rows).map_err(told)?;
    let regrets = regret::regrets(&table, BAD).map_err(told)?;
    let estimate = |estimate: choice::Estimate| Estimate { value: estimate.value, se: estimate.se };
    Ok(regrets
        .into_iter()
        .enumerate()
        .map(|(option, regret)| {
            let lost = Sorted::new(
                rows.iter().map(|row| row[option] - row.iter().copied().fold(f64::INFINITY, f64::min)).collect(),
            );
            let p95 = Estimate { value: regret.quantile, se: lost.estimate(BAD).se };
            Loss {
                mean: estimate(regret.mean),
                p95,
                mean_money: scaled(estimate(regret.mean), scale),
                p95_money: scaled(p95, scale),
                cheapest: estimate(regret.cheapest),
            }
        })
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wavy(shift: f64) -> Vec<f64> {
        (0..400).map(|k| 0.05 + 0.01 * (f64::from(k) * 0.7).sin() + shift).collect()
    }

    fn one(of_a: &[f64], of_b: &[f64]) -> Pair {
        pair((0, of_a), (1, of_b), Material::Share(0.0), 1000.0).unwrap()
    }

    #[test]
    fn swapping_two_options_swaps_everything_bit_for_bit() {
        let (a, b): (Vec<f64>, Vec<f64>) = (wavy(0.0), (0..400).map(|k| 0.052 + 0.02 * f64::from(k).cos()).collect());
        let (ab, ba) = (one(&a, &b), one(&b, &a));
        assert_eq!(ab.lead_money.value.to_bits(), (-ba.lead_money.value).to_bits());
        assert_eq!((ab.loss_if_a, ab.loss_if_b), (ba.loss_if_b, ba.loss_if_a));
        assert_eq!((ab.word, ab.dominance.rule), (ba.word, ba.dominance.rule));
        assert_ne!(ab.dominance.a_is_better, ba.dominance.a_is_better);
        assert!((ab.loss_if_a.value - ab.loss_if_b.value - ab.lead_money.value).abs() < 1e-12);
    }

    #[test]
    fn against_itself_nothing_can_be_said_and_nothing_lost() {
        let pair = one(&wavy(0.0), &wavy(0.0));
        assert_eq!((pair.lead.value, pair.word, pair.dominance.rule), (0.0, Word::WithinNoise, Rule::Alike));
        assert_eq!((pair.loss_if_a.value, pair.loss_if_b.value, pair.chance_a_cheaper.value), (0.0, 0.0, 0.5));
    }

    #[test]
    fn always_cheaper_is_for_all_and_calmer_at_equal_mean_depends() {
        let pair = one(&wavy(0.001), &wavy(0.0));
        let Dominance { rule, a_is_better, against, .. } = pair.dominance;
        assert_eq!((rule, a_is_better, against, pair.word), (Rule::ForAll, false, 0.0, Word::Clear));
        let calm = vec![0.049; 400];
        let wild: Vec<f64> = (0..400).map(|k| if k % 2 == 0 { 0.03 } else { 0.07 }).collect();
        let pair = one(&calm, &wild);
        assert_eq!((pair.dominance.rule, pair.dominance.a_is_better), (Rule::Neither, true));
        let wild: Vec<f64> = (0..400).map(|k| if k % 2 == 0 { 0.03 } else { 0.09 }).collect();
        assert_eq!(one(&calm, &wild).dominance.rule, Rule::ForTheCautious);
    }

    #[test]
    fn what_is_no_number_is_too_close() {
        for lead in [Estimate { value: f64::NAN, se: 0.0 }, Estimate { value: 1.0, se: f64::NAN }] {
            assert!(word(lead, 1.0, 0.0).is_too_close());
        }
        assert_eq!(word(Estimate { value: 1.0, se: 0.0 }, 0.0, f64::NAN), Word::Immaterial);
        assert!(losses(&[vec![f64::NAN, 1.0]], 1.0).is_err());
    }

    #[test]
    fn losses_are_those_of_two_trials_by_hand() {
        let losses = losses(&[vec![3.0, 1.0], vec![2.0, 4.0], vec![2.0 * (1.0 + 1e-15), 9.0]], 10.0).unwrap();
        let means: Vec<f64> = losses.iter().map(|loss| loss.mean_money.value).collect();
        assert_eq!(means, [5.0, 15.0, 40.0]);
        let chances: Vec<f64> = losses.iter().map(|loss| loss.cheapest.value).collect();
        assert_eq!(chances, [0.5, 0.25, 0.25]);
    }
}
