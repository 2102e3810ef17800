//! When to replace a lamp that only fades: the cheapest group interval and its cost per mole.

use serde_json::{Value, json};

use super::{assert_close, cases, data, number};
use crate::support::{lamped, patched, plan, run, with_options};

/// A lamp that never fails in any horizon of these tests.
const FOR_EVER: f64 = 1e6;

/// A light source that only fades, relamped as a group so many times that the horizon holds `cycles` whole intervals.
struct Source {
    /// Cost of a set of lamps.
    set: f64,
    /// Running cost an hour.
    running: f64,
    /// Fading, 1/h.
    fading: f64,
    /// Flux when new, µmol/s.
    flux: f64,
    years: u32,
    hours: f64,
}

impl Source {
    /// The engine's plain cost per mole with the horizon cut into equal cycles, each with one whole set: the first is
    /// the first fill with its installation, and the set due at the horizon is not bought.
    fn cost_per_mole(&self, cycles: u32) -> f64 {
        // a little over, so that rounding cannot add a relamp at the very end
        let every = self.hours / f64::from(cycles) * (1.0 + 1e-13);
        let costs = json!({
            "light": { "mean": { "ppfd": self.flux } },
            "maintenance": { "constant": null, "exponential": { "rate": self.fading } },
            "fixture": { "installation": 0.3 * self.set },
            "lamp": { "price": 0.7 * self.set, "disposal": 0.1 * self.set },
            "upkeep": { "planned_labour": 0.2 * self.set }
        });
        let group = json!({ "group": { "every": every, "spot_between": false } });
        let option = patched(lamped("fading", FOR_EVER, FOR_EVER, group), costs);
        let contracts: Value = json!([{ "name": "c", "tariff": { "energy": [{ "price": self.running }] } }]);
        let room = patched(with_options(vec![option]), json!({ "horizon_years": self.years, "contracts": contracts }));
        let plan = plan(&room);
        assert_eq!(plan.clocks[0].timeline.lit_hours, self.hours);
        let outcome = run(&plan, 2, 31);
        let life = outcome.life(0, 0, 0);
        assert_eq!((life.failures, life.lamps_bought), (0.0, f64::from(cycles - 1)));
        outcome.cell(0, 0, 0).plain
    }
}

#[test]
fn the_cheapest_group_interval_costs_what_the_closed_form_says() {
    let file = data("economic_life.json");
    // five years from 2031, one of them a leap year
    let (years, hours, cycles) = (5, 43_824.0, 6);
    for case in cases(&file) {
        let [kappa, x, rate] = ["kappa", "x", "rate"].map(|key| number(case, key));
        let (running, flux) = (0.12, 1000.0);
        let fading = x / (hours / f64::from(cycles));
        let source = Source { set: kappa * running / fading, running, fading, flux, years, hours };
        let found = source.cost_per_mole(cycles);
        assert_close(found, rate * running / (0.0036 * flux), 1e-9, &case.to_string());
        for other in [cycles - 1, cycles + 1] {
            assert!(source.cost_per_mole(other) > found, "{case}: {other} cycles are not dearer");
        }
    }
}

#[test]
fn economic_lives_in_hours_come_out_and_neighbouring_intervals_are_dearer() {
    let file = data("economic_life_hours.json");
    for case in cases(&file) {
        let [years, cycles] = ["years", "cycles"].map(|key| number(case, key) as u32);
        let leap_years = (2031..2031 + years).filter(|year| year % 4 == 0).count() as f64;
        let hours = 24.0 * (365.0 * f64::from(years) + leap_years);
        let source = Source {
            set: number(case, "set"),
            running: number(case, "running"),
            fading: number(case, "fading"),
            flux: number(case, "flux"),
            years,
            hours,
        };
        let found = source.cost_per_mole(cycles);
        let over = found / number(case, "per_mol") - 1.0;
        assert!((-1e-11..4e-6).contains(&over), "{case}: {over:e} over the lowest cost");
        for other in [cycles - 1, cycles + 1] {
            assert!(source.cost_per_mole(other) > found, "{case}: {other} cycles are not dearer");
        }
    }
}
