//! What a socket costs in the long run: one cycle stands for all that follow.

use crate::cumulative::Cumulative;
use crate::lamp::{Fault, Lamp, age_at, demand_amount, demand_positive, last_age};
use crate::measure::{Kernel, Measure};
use crate::solve::Renewal;

/// What a socket's lamps cost, in any one money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// One failed lamp replaced, money.
    pub failure: f64,
    /// One lamp replaced as planned, money.
    pub planned: f64,
    /// An hour of burning, money.
    pub running: f64,
    /// An hour of the schedule, whether the socket is lit or dark, money.
    pub standing: f64,
    /// The first lamp at the very start, money. It matters only with discounting: 0 leaves the first installation out, as
    /// Fox does; the same as `planned` lets every cycle pay for its own lamp at its start.
    pub first: f64,
    /// Continuous discount rate of money and light alike, 1/h; may be 0.
    pub discount: f64,
}

/// A way of replacing lamps as planned, with an interval still to be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Planned {
    /// Each lamp at failure or when it has burnt for the interval.
    ByAge,
    /// All lamps at multiples of the interval.
    Group {
        /// Whether failures between are replaced at once; if not, the socket stays dark until then.
        spot_between: bool,
    },
}

/// What a policy costs for ever.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Rates {
    /// Money per hour of the schedule: the mean rate, or with discounting the constant rate of the same present value.
    pub per_hour: f64,
    /// Money per hour at full flux; both discounted alike.
    pub per_flux_hour: f64,
    /// Present value of all costs for ever, money; infinite without discounting.
    pub total: f64,
}

/// One cycle from new lamp to new lamp, discounted to its start.
struct Cycle {
    /// What it costs, without the first lamp, money.
    money: f64,
    /// Hours at full flux.
    flux: f64,
    /// Its length L = E ∫ e^(−ru) du, h.
    hours: f64,
    /// r·L = 1 − E e^(−r·end), which shares a present value for ever out among cycles.
    faded: f64,
}

impl Cycle {
    fn rates(&self, costs: &Costs) -> Rates {
        // hours without end cost without end, and nothing where an hour costs nothing
        let standing = if costs.standing > 0.0 { costs.standing * self.hours } else { 0.0 };
        let money = self.money + standing + costs.first * self.faded;
        Rates {
            per_hour: money / self.hours,
            per_flux_hour: money / self.flux,
            total: if costs.discount > 0.0 { money / self.faded } else { f64::INFINITY },
        }
    }
}

/// The costs of a policy for ever, for any interval T, by renewal reward.
///
/// With r the discount rate, A = ∫₀ᵀ e^(−ru)S du and G = ∫₀ᵀ e^(−ru)S·l du a cycle has
///
/// | policy | money | hours at full flux | length L |
/// | --- | --- | --- | --- |
/// | by age | f·(1 − e^(−rT)S(T) − rA) + c·e^(−rT)S(T) + p·A | G | A |
/// | group, dark between | c·e^(−rT) + p·A | G | (1 − e^(−rT))/r |
/// | group, spot between | c·e^(−rT) + f·∫₀ᵀe^(−ru)dM + p·L | G + ∫₀ᵀ e^(−ry) G(T − y) dM(y) | (1 − e^(−rT))/r |
///
/// where f, c, p are the costs of a failure, of a planned replacement and of an hour of burning; an hour of the schedule adds
/// its cost times L. Sources: Barlow and Proschan,
/// Mathematical Theory of Reliability (1965), chapters 3 and 4; with discounting B. Fox, Operations Research 14:533 (1966).
///
/// ```
/// use renewal::{Costs, Lamp, LongRun, Planned};
/// let survival = |age: f64| (1.0 - age).max(0.0);
/// let lamp = Lamp { survival: &survival, light: &|_| 1.0, survival_kinks: &[1.0], light_kinks: &[] };
/// let costs = Costs { failure: 5.0, planned: 1.0, running: 0.0, standing: 0.0, first: 0.0, discount: 0.0 };
/// let long_run = LongRun::new(&lamp, &costs, Planned::ByAge, 1.0).unwrap();
/// // half of the lamps fail, a cycle lasts 3/8 on average: (5/2 + 1/2)/(3/8)
/// assert!((long_run.at(0.5).per_hour - 8.0).abs() < 1e-12);
/// // five for each life, which lasts 1/2 on average
/// assert!((long_run.never().per_hour - 10.0).abs() < 1e-12);
/// ```
pub struct LongRun<'a> {
    survival: &'a dyn Fn(f64) -> f64,
    kinks: Vec<f64>,
    costs: Costs,
    planned: Planned,
    longest: f64,
    /// A, up to any age.
    alive: Cumulative,
    /// G, up to any age.
    flux: Cumulative,
    /// Failures between group dates.
    failures: Measure,
    /// Whether every lamp dies, or discounting makes it irrelevant.
    ends: bool,
}

impl<'a> LongRun<'a> {
    /// Prepares for all intervals up to `longest`, h.
    ///
    /// # Errors
    /// A function that cannot be a survival or a light, a cost that is negative or no number, a `longest` that is not
    /// above 0.
    pub fn new(lamp: &Lamp<'a>, costs: &Costs, planned: Planned, longest: f64) -> Result<Self, Fault> {
        demand_positive("the longest interval", longest)?;
        lamp.check(longest)?;
        demand_amount("the cost of a failure", costs.failure)?;
        demand_amount("the cost of a planned replacement", costs.planned)?;
        demand_amount("the cost of an hour of burning", costs.running)?;
        demand_amount("the cost of an hour of the schedule", costs.standing)?;
        demand_amount("the cost of the first lamp", costs.first)?;
        demand_amount("the discount rate", costs.discount)?;
        let Lamp { survival, light, survival_kinks, .. } = *lamp;
        let worth = |age: f64| (-costs.discount * age).exp() * survival(age);
        let last = last_age(&worth);
        let end = if last.is_finite() { last } else { longest };
        let scale = age_at(&worth, 0.5).map_or(end, |half| half.min(end));
        let kinks = lamp.kinks();
        let failures = if planned == (Planned::Group { spot_between: true }) {
            Renewal::new(survival, survival_kinks, 0.0, longest)?.into_measure()
        } else {
            Measure::default()
        };
        Ok(Self {
            survival,
            costs: *costs,
            planned,
            longest,
            alive: Cumulative::new(&worth, survival_kinks, scale, end),
            flux: Cumulative::new(&|age| worth(age) * light(age), &kinks, scale, end),
            kinks,
            failures,
            ends: last.is_finite(),
        })
    }

    /// Costs with an interval in hours, above 0 and up to the longest; otherwise all NaN.
    pub fn at(&self, interval: f64) -> Rates {
        if !(interval > 0.0 && interval <= self.longest) {
            return Rates { per_hour: f64::NAN, per_flux_hour: f64::NAN, total: f64::NAN };
        }
        let Costs { failure, planned, running, discount, .. } = self.costs;
        let alive = self.alive.up_to(interval);
        let later = (-discount * interval).exp();
        let faded = -(-discount * interval).exp_m1();
        let hours = if discount > 0.0 { faded / discount } else { interval };
        let cycle = match self.planned {
            Planned::ByAge => {
                let reach = later * (self.survival)(interval);
                let money = failure * (1.0 - reach - discount * alive) + planned * reach + running * alive;
                Cycle { money, flux: self.flux.up_to(interval), hours: alive, faded: discount * alive }
            }
            Planned::Group { spot_between: false } => {
                Cycle { money: planned * later + running * alive, flux: self.flux.up_to(interval), hours, faded }
            }
            Planned::Group { spot_between: true } => {
                let (failures, flux) = self.between(interval);
                Cycle { money: planned * later + failure * failures + running * hours, flux, hours, faded }
            }
        };
        cycle.rates(&self.costs)
    }

    /// Discounted failures between group dates, and hours at full flux.
    fn between(&self, interval: f64) -> (f64, f64) {
        let discount = self.costs.discount;
        let first = self.flux.up_to(interval);
        if discount == 0.0 {
            let value = |age: f64| self.flux.up_to(age);
            let kernel = Kernel { value: &value, bends: &self.kinks, reach: self.flux.end, beyond: self.flux.total };
            return (self.failures.count(interval), first + self.failures.apply(interval, &kernel));
        }
        let worth = |age: f64| (-discount * (interval - age)).exp();
        let value = |age: f64| worth(age) * self.flux.up_to(age);
        let [failures, flux] =
            [(&worth as &dyn Fn(f64) -> f64, &[][..]), (&value, &self.kinks)].map(|(value, bends)| {
                self.failures.apply(interval, &Kernel { value, bends, reach: f64::INFINITY, beyond: 0.0 })
            });
        (failures, first + flux)
    }

    /// Costs if nothing is ever replaced as planned: run to failure. For a group without spot replacement, a socket that
    /// goes dark for good, whose light is dear but finite; its costs per hour vanish.
    ///
    /// Where some lamps never die and nothing is discounted, hours cost what burning costs, and the cost of light is
    /// given as infinite, because it depends on light beyond any age.
    pub fn never(&self) -> Rates {
        let Costs { failure, planned, running, standing, discount, .. } = self.costs;
        if !self.ends {
            return Rates { per_hour: running + standing, per_flux_hour: f64::INFINITY, total: f64::INFINITY };
        }
        let (alive, flux) = (self.alive.total, self.flux.total);
        let cycle = match self.planned {
            Planned::Group { spot_between: false } if discount > 0.0 => {
                Cycle { money: running * alive, flux, hours: 1.0 / discount, faded: 1.0 }
            }
            Planned::Group { spot_between: false } => {
                Cycle { money: planned + running * alive, flux, hours: f64::INFINITY, faded: 0.0 }
            }
            _ => {
                let faded = discount * alive;
                Cycle { money: failure * (1.0 - faded) + running * alive, flux, hours: alive, faded }
            }
        };
        cycle.rates(&self.costs)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLANNED: [Planned; 3] =
        [Planned::ByAge, Planned::Group { spot_between: true }, Planned::Group { spot_between: false }];

    fn close(a: f64, b: f64) -> bool {
        (a / b - 1.0).abs() < 1e-10
    }

    /// Exponential lives of rate 1 with light e^(−x/2), at T = 2: (long run, T).
    fn check(discount: f64) -> [Rates; 3] {
        let lamp =
            Lamp { survival: &|x| (-x).exp(), light: &|x| (-0.5 * x).exp(), survival_kinks: &[], light_kinks: &[] };
        let costs = Costs { failure: 3.0, planned: 2.0, running: 0.1, standing: 0.0, first: 0.0, discount };
        PLANNED.map(|planned| {
            let long_run = LongRun::new(&lamp, &costs, planned, 60.0).unwrap();
            if planned != (Planned::Group { spot_between: false }) {
                let (never, late) = (long_run.never(), long_run.at(60.0));
                let planned_late = 2.0 / 60.0;
                assert!((never.per_hour - late.per_hour).abs() <= planned_late + 1e-9, "{never:?} {late:?}");
                let total = if discount > 0.0 { 3.0 / discount + 0.1 / discount } else { f64::INFINITY };
                assert!(close(never.per_hour, 3.1) && (never.total == total || close(never.total, total)), "{never:?}");
            }
            assert!(long_run.at(61.0).per_hour.is_nan() && long_run.at(0.0).total.is_nan());
            long_run.at(2.0)
        })
    }

    #[test]
    fn exponential_lives_cost_what_the_closed_forms_say() {
        let [age, spot, dark] = check(0.0);
        let (gone, flux) = (1.0 - (-2.0f64).exp(), (1.0 - (-3.0f64).exp()) / 1.5);
        assert!(close(age.per_hour, (3.0 * gone + 2.0 * (1.0 - gone) + 0.1 * gone) / gone));
        assert!(close(age.per_flux_hour, age.per_hour * gone / flux));
        // light of a socket at u: (1 + 0.5·e^(−1.5u))/1.5
        assert!(close(spot.per_hour, (2.0 + 6.0 + 0.2) / 2.0));
        assert!(close(spot.per_flux_hour, 8.2 / (2.0 / 1.5 + 0.5 * flux / 1.5)));
        assert!(close(dark.per_flux_hour, (2.0 + 0.1 * gone) / flux));
        assert!(age.total.is_infinite());
    }

    #[test]
    fn discounted_exponential_lives_cost_what_the_closed_forms_say() {
        let r = 0.25;
        let [age, spot, dark] = check(r);
        let integral = |rate: f64| -(-2.0 * rate).exp_m1() / rate;
        let (alive, late) = (integral(1.0 + r), (-2.0 * r).exp());
        // failures come at rate 1 while a lamp burns: ∫ e^(−ru)S du of them
        let by_age = 3.0 * alive + 2.0 * late * (-2.0f64).exp() + 0.1 * alive;
        assert!(close(age.total, by_age / (r * alive)));
        assert!(close(age.per_flux_hour, by_age / integral(1.5 + r)));
        let between = 2.0 * late + 3.1 * integral(r);
        assert!(close(spot.per_hour, between / integral(r)) && close(spot.total, spot.per_hour / r));
        assert!(close(spot.per_flux_hour, between / ((integral(r) + 0.5 * integral(1.5 + r)) / 1.5)));
        assert!(close(dark.per_flux_hour, (2.0 * late + 0.1 * alive) / integral(1.5 + r)));
    }

    #[test]
    fn hours_of_the_schedule_cost_a_dark_socket_as_well() {
        let lamp = Lamp { survival: &|x| (-x).exp(), light: &|_| 1.0, survival_kinks: &[], light_kinks: &[] };
        for discount in [0.0, 0.25] {
            let burning = Costs { failure: 3.0, planned: 2.0, running: 0.4, standing: 0.0, first: 0.0, discount };
            let standing = Costs { running: 0.1, standing: 0.3, ..burning };
            for planned in PLANNED {
                let at = |costs| LongRun::new(&lamp, costs, planned, 60.0).unwrap().at(2.0);
                let more = at(&standing).per_hour - at(&burning).per_hour;
                // share of a cycle in the dark: the group's, discounted as its hours are
                let hours = if discount > 0.0 { -(-2.0 * discount).exp_m1() / discount } else { 2.0 };
                let lit = -(-2.0 * (1.0 + discount)).exp_m1() / (1.0 + discount);
                let dark = if planned == (Planned::Group { spot_between: false }) { 1.0 - lit / hours } else { 0.0 };
                assert!((more - 0.3 * dark).abs() < 1e-12, "{planned:?}: {more}");
            }
        }
    }

    #[test]
    fn lamps_that_never_die_cost_what_burning_costs() {
        let lamp = Lamp { survival: &|_| 1.0, light: &|x| (-0.5 * x).exp(), survival_kinks: &[], light_kinks: &[] };
        let costs = Costs { failure: 3.0, planned: 2.0, running: 0.1, standing: 0.0, first: 0.0, discount: 0.0 };
        for planned in PLANNED {
            let long_run = LongRun::new(&lamp, &costs, planned, 60.0).unwrap();
            assert_eq!(long_run.never().per_hour, 0.1);
            assert!(close(long_run.at(2.0).per_flux_hour, 2.2 / (2.0 * (1.0 - (-1.0f64).exp()))));
        }
        let refused = Costs { discount: f64::NAN, ..costs };
        assert!(LongRun::new(&lamp, &refused, PLANNED[0], 60.0).is_err());
    }
}
