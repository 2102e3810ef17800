//! How likely a log is under given values of a lamp's inputs.
//!
//! Belongs here: from values to survival to a likelihood, lots included. Does not belong here: how values are sought
//! (`learn::belief`), what is believed of them (`plan`).

use lamp::{Life, StartWear};
use learn::life::Terms;
use plan::{InputId, LampPlan};

/// Half of the hour within which an exact death lies: burn hours are read in whole hours.
const HALF_HOUR: f64 = 0.5;
/// Steps to either side by which the luck of a lot is summed up, and their width in standard deviations. Sums of a normal
/// density over even steps are exact to more digits than are kept.
const LOT_STEPS: i32 = 16;
const LOT_STEP: f64 = 0.25;

/// Lives by lot, and how the lamps burned.
pub(super) struct Seen<'a> {
    pub lamp: &'a LampPlan,
    pub lots: &'a [Terms],
    /// Burn hours per start of the logged lamps.
    pub hours_per_start: f64,
}

/// Rated hours of life that a lamp ages in a burn hour.
pub(super) fn wear(lamp: &LampPlan, values: &[f64], hours_per_start: f64) -> f64 {
    let value = |id: InputId| values[id.index()];
    let wear =
        StartWear { start_cost: value(lamp.start_cost), rated_hours_per_start: value(lamp.rated_hours_per_start) };
    wear.per_burn_hour(hours_per_start)
}

impl Seen<'_> {
    /// ln of the likelihood with these values of all inputs.
    pub fn ln_likelihood(&self, values: &[f64]) -> f64 {
        let (life, wear) = (self.lamp.life(values), wear(self.lamp, values, self.hours_per_start));
        let spread = self.lamp.batch.map_or(0.0, |(spread, _)| values[spread.index()]);
        self.lots.iter().map(|lot| of_lot(&life, wear, lot, spread)).sum()
    }
}

/// A lot whose lamps share a factor on their wear-out, lognormal with median 1.
fn of_lot(life: &Life, wear: f64, lot: &Terms, spread: f64) -> f64 {
    let given = |batch: f64| -> f64 {
        let ln_alive = |hours: f64| life.ln_survival(hours * wear, batch);
        let lasted: f64 = lot.alive.iter().map(|&(hours, count)| count * ln_alive(hours)).sum();
        let died = |&(seen, gone, count): &(f64, f64, f64)| count * ln_death(&ln_alive, seen, gone);
        lasted + lot.deaths.iter().map(died).sum::<f64>()
    };
    if !(spread > 0.0) {
        return given(1.0);
    }
    let steps = || (-LOT_STEPS..=LOT_STEPS).map(|k| LOT_STEP * f64::from(k));
    // the steps end somewhere, so their weights are made to add up to 1
    let all: f64 = steps().map(|z| (-0.5 * z * z).exp()).sum();
    let terms: Vec<f64> = steps().map(|z| -0.5 * z * z - all.ln() + given((spread * z).exp())).collect();
    let top = terms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if top.is_finite() { top + terms.iter().map(|term| (term - top).exp()).sum::<f64>().ln() } else { top }
}

/// ln of the chance to die between two hours, or within the hour about one.
fn ln_death(ln_alive: &dyn Fn(f64) -> f64, seen: f64, gone: f64) -> f64 {
    let (seen, gone) = if seen == gone { ((seen - HALF_HOUR).max(0.0), gone + HALF_HOUR) } else { (seen, gone) };
    let until = if seen > 0.0 { ln_alive(seen) } else { 0.0 };
    until + (-(ln_alive(gone) - until).exp_m1()).ln()
}

#[cfg(test)]
mod tests {
    use super::*;
    use lamp::{WearOut, Weibull};
    use learn::life::Watched;

    /// ln of the chance of what was seen of one lamp, given that it was alive when it was first watched.
    fn ln_seen(life: &Life, wear: f64, lives: &Watched, batch: f64) -> f64 {
        let one = Terms::new(&[Watched { count: 1, ..*lives }], 10);
        let ln_alive = |hours: f64| life.ln_survival(hours * wear, batch);
        let lasted: f64 = one.alive.iter().map(|&(hours, count)| count * ln_alive(hours)).sum();
        lasted + one.deaths.iter().map(|&(seen, gone, _)| ln_death(&ln_alive, seen, gone)).sum::<f64>()
    }

    fn life() -> Life {
        Life { wear_out: WearOut::Weibull(Weibull::from_b50(17_000.0, 3.0).unwrap()), early: None, random: 0.0 }
    }

    /// Chances of everything that can be seen of a lamp add up to 1, however it was watched.
    #[test]
    fn chances_of_all_that_can_be_seen_add_up_to_one() {
        for (from, wear, batch) in [(0.0, 1.0, 1.0), (4_000.0, 1.0, 1.0), (4_000.0, 1.2, 0.8)] {
            let edges = [from, 6_000.0, 9_900.0, 20_000.0, f64::INFINITY];
            let whole: f64 = edges
                .windows(2)
                .map(|pair| Watched { from, seen: pair[0], gone: pair[1], count: 1 })
                .map(|seen| ln_seen(&life(), wear, &seen, batch))
                .zip(edges.windows(2))
                // what goes on for ever is a lamp that was not seen to die
                .map(|(ln, _)| ln.exp())
                .sum();
            assert!((whole - 1.0).abs() < 1e-12, "{from}: {whole}");
        }
    }

    #[test]
    fn an_exact_death_is_one_within_its_hour() {
        let exact = Watched { from: 0.0, seen: 9_800.0, gone: 9_800.0, count: 1 };
        let shape = 3.0f64;
        let scale = 17_000.0 / 2f64.ln().powf(1.0 / shape);
        let x: f64 = 9_800.0 / scale;
        let ln_density = (shape / scale).ln() + (shape - 1.0) * x.ln() - x.powf(shape);
        assert!((ln_seen(&life(), 1.0, &exact, 1.0) - ln_density).abs() < 1e-6);
    }

    /// A lot's luck summed up here against many lots drawn evenly.
    #[test]
    fn lots_share_their_luck() {
        let lot = [
            Watched { from: 0.0, seen: 6_100.0, gone: 6_100.0, count: 2 },
            Watched { from: 0.0, seen: 9_900.0, gone: f64::INFINITY, count: 9 },
        ];
        let found = of_lot(&life(), 1.0, &Terms::new(&lot, 10), 0.3);
        let normal = statrs::distribution::Normal::standard();
        let mean = (0..20_000)
            .map(|k| {
                let z = statrs::distribution::ContinuousCDF::inverse_cdf(&normal, (f64::from(k) + 0.5) / 20_000.0);
                lot.iter()
                    .map(|lives| lives.count as f64 * ln_seen(&life(), 1.0, lives, (0.3 * z).exp()))
                    .sum::<f64>()
                    .exp()
            })
            .sum::<f64>()
            / 20_000.0;
        assert!((found - mean.ln()).abs() < 1e-3, "{found} {}", mean.ln());
        assert!(
            (of_lot(&life(), 1.0, &Terms::new(&lot, 10), 1e-9) - of_lot(&life(), 1.0, &Terms::new(&lot, 10), 0.0))
                .abs()
                < 1e-6
        );
    }
}
