//! Limits in which the answer is known by algebra.

use decide::result::{Spread, Verdict};
use decide::{Provenance, spread, summarize};
use engine::Ended;
use serde_json::{Value, json};

use super::{assert_close, columns};
use crate::support::{demo, lamped, option, patched, plan, run, with_options};

/// A life, and a shape, with which no lamp of any horizon here fails.
const FOR_EVER: f64 = 1e6;

fn provenance(seed: u64) -> Provenance {
    Provenance { program: "test".into(), input_digest: String::new(), seed, what_ifs: vec![] }
}

/// Every point of a distribution.
fn points(spread: &Spread) -> [f64; 7] {
    let Spread { mean, p5, p10, p50, p80, p90, p95, .. } = *spread;
    [mean, p5, p10, p50, p80, p90, p95].map(|estimate| estimate.value)
}

#[test]
fn without_failure_or_fading_a_mole_costs_what_the_hand_says() {
    let costs = json!({
        "fixtures": 3,
        "lamps_per_fixture": 2,
        "wall_power": 1052,
        "light": { "mean": { "ppfd": 656.52, "area": 2.25 } },
        "fixture": { "price": 210, "installation": 60 },
        "lamp": { "price": 46 }
    });
    let option = patched(lamped("x", FOR_EVER, FOR_EVER, json!({ "on_failure": {} })), costs);
    let room = patched(with_options(vec![option]), json!({ "horizon_years": 4 }));
    let cell = *run(&plan(&room), 2, 1).cell(0, 0, 0);
    // 2031 to 2034: 1 461 days of 24 h
    let hours = 1461.0 * 24.0;
    let capital = 3.0 * (210.0 + 60.0) + 6.0 * 46.0;
    let energy = 3.0 * 1.052 * hours * 0.10;
    let moles = 0.0036 * 3.0 * 656.52 * 2.25 * hours;
    assert_close(cell.total, capital + energy, 1e-13, "cost");
    assert_close(cell.plain, (capital + energy) / moles, 1e-13, "cost per mole");
    assert_close(cell.levelized, (capital + energy) / moles, 1e-13, "levelized cost at rate 0");
}

#[test]
fn an_option_that_races_itself_under_another_name_is_a_tie_of_exactly_nothing() {
    for option in 0..4 {
        let mut scenario = demo();
        let itself = scenario["options"][option].clone();
        scenario["options"] = json!([itself.clone(), patched(itself, json!({ "name": "the same again" }))]);
        let plan = plan(&scenario);
        let seed = 2 + option as u64;
        let outcome = run(&plan, 150, seed);
        let result = summarize(&plan, &outcome, Ended::Trials, provenance(seed));
        for contract in &result.contracts {
            let race = &contract.races[0];
            assert_eq!((race.lead.value, race.lead.se, race.lead_p10, race.lead_p90), (0.0, 0.0, 0.0, 0.0));
            assert_eq!((race.chance_a_cheaper.value, race.verdict), (0.5, Verdict::Tie));
            assert_eq!(contract.ranking.tied_first.len(), 2);
        }
        for (k, contract) in plan.contracts.iter().enumerate() {
            assert_eq!(columns(&outcome, 0, k, contract.clock), columns(&outcome, 1, k, contract.clock));
        }
        let costs = outcome.costs(0, 0, |cell| cell.levelized);
        assert!(costs.iter().any(|cost| *cost != costs[0]), "the race was not among different trials");
    }
}

#[test]
fn with_nothing_uncertain_every_quantile_equals_the_mean() {
    let mut scenario = demo();
    for option in scenario["options"].as_array_mut().unwrap() {
        option.as_object_mut().unwrap().remove("gear");
    }
    for option in [0, 1] {
        // no width left, and no failure within five years
        let life = &mut scenario["options"][option]["lamp"]["life"];
        life["b50"] = json!({ "normal": { "mean": 900_000, "sd": 0 } });
        life["shape"] = json!(FOR_EVER);
    }
    scenario["options"][1]["lamp"]["price"] = json!({ "lognormal": { "median": 124, "p90": 124 } });
    let plan = plan(&scenario);
    let outcome = run(&plan, 100, 3);
    let result = summarize(&plan, &outcome, Ended::Trials, provenance(3));
    for option in &result.options {
        let costs = option.costs.iter().flat_map(|c| [&c.levelized, &c.plain, &c.total, &c.present_value]);
        for spread in costs.chain([&option.moles, &option.lamps_bought, &option.failures, &option.dark_h]) {
            assert_eq!(points(spread), [spread.mean.value; 7], "{}", option.name);
            assert_eq!((spread.sd, spread.mean.se, spread.p95.se), (0.0, 0.0, 0.0), "{}", option.name);
        }
    }
}

#[test]
fn quantiles_close_in_on_the_mean_as_widths_go_to_zero() {
    let at = |width: f64| {
        let price = json!({ "normal": { "mean": 0.1, "sd": 0.01 * width } });
        let life = json!({ "uniform": { "low": 8_000.0 - 500.0 * width, "high": 8_000.0 + 500.0 * width } });
        let option = patched(
            lamped("x", 8_000.0, FOR_EVER, json!({ "on_failure": {} })),
            json!({ "lamp": { "price": 60, "life": { "b50": life } }, "upkeep": { "found_after": 3 } }),
        );
        let contracts = json!([{ "name": "c", "tariff": { "energy": [{ "price": price }] } }]);
        let plan = plan(&patched(with_options(vec![option]), json!({ "contracts": contracts })));
        spread(run(&plan, 300, 4).costs(0, 0, |cell| cell.plain))
    };
    let (wide, narrow, hair) = (at(1.0), at(0.01), at(1e-5));
    for spread in [&wide, &narrow, &hair] {
        assert!(spread.sd > 0.0);
    }
    let off = |spread: &Spread| {
        points(spread).map(|point| (point / spread.mean.value - 1.0).abs()).into_iter().fold(0.0, f64::max)
    };
    assert!(off(&wide) > 0.1 && off(&narrow) < 0.01, "{} and {}", off(&wide), off(&narrow));
    // what is left at the end is the shape of a million: lives within 2.5e-5 of their median, and a tenth of it in cost
    assert!(off(&hair) < 1e-5, "{}", off(&hair));
}

#[test]
fn twice_the_fixtures_cost_the_same_per_mole_when_nothing_is_fixed() {
    let of = |fixtures: u32| {
        let costs = json!({
            "fixtures": fixtures,
            "maintenance": { "constant": null, "exponential": { "rate": 2e-5 } },
            "fixture": { "price": 210, "installation": 60 },
            "lamp": { "price": 46, "disposal": 2 },
            "upkeep": { "planned_labour": 15 }
        });
        let option = patched(lamped("x", FOR_EVER, FOR_EVER, json!({ "group": { "every": 7_000 } })), costs);
        let demand = json!([{ "name": "c", "tariff": { "energy": [{ "price": 0.1 }], "demand": [{ "price": 6 }] } }]);
        let money = json!({ "discount_rate": 0.08 });
        let room = patched(with_options(vec![option]), json!({ "contracts": demand, "money": money }));
        *run(&plan(&room), 2, 5).cell(0, 0, 0)
    };
    let (one, two) = (of(9), of(18));
    assert_close(two.levelized, one.levelized, 1e-13, "levelized");
    assert_close(two.plain, one.plain, 1e-13, "plain");
    assert_close(two.total, 2.0 * one.total, 1e-13, "total");
}

#[test]
fn at_a_discount_rate_of_0_levelized_equals_plain() {
    let plan = plan(&patched(demo(), json!({ "money": { "discount_rate": 0 } })));
    let outcome = run(&plan, 100, 6);
    for cell in &outcome.cells {
        assert_eq!(cell.present, cell.total);
        assert_eq!(cell.levelized, cell.plain);
    }
}

#[test]
fn a_light_that_neither_fades_nor_fails_stays_at_its_new_flux() {
    let plan = plan(&with_options(vec![patched(option("x"), json!({ "fixtures": 4 }))]));
    let outcome = run(&plan, 2, 7);
    let sample = &outcome.samples[0];
    assert_close(sample.new_flux, 4_000.0, 1e-15, "flux");
    assert_eq!(sample.light.len(), 120);
    sample.light.iter().for_each(|share| assert_close(*share, 1.0, 1e-13, "share of new light"));
    // ten years from 2031, three of them leap years
    assert_close(outcome.life(0, 0, 0).moles, 4_000.0 * 0.0036 * 87_672.0, 1e-13, "moles");
}

/// The grid of readings and the flux that it makes, as the demonstration states it and in other words.
#[test]
fn the_same_light_in_other_words_delivers_the_same_moles() {
    let worded = |light: Value| {
        let mut option = option("x");
        option["light"] = light;
        run(&plan(&with_options(vec![option])), 2, 8).life(0, 0, 0).moles
    };
    let mean = worded(json!({ "mean": { "ppfd": 500, "area": 4, "height": 1 } }));
    let readings = json!([[400, 600], [450, 550]]);
    let grid = json!({ "grid": { "readings": readings, "points": "cell_centred", "area": 4, "height": 1 } });
    assert_close(worded(grid), mean, 1e-14, "grid");
    assert_close(worded(json!({ "ppf": { "ppf": 2500, "utilisation": 0.8 } })), mean, 1e-14, "PPF and utilisation");
    let spilled = json!({ "mean": { "ppfd": 400, "area": 4, "height": 1 }, "spill": 1.25 });
    assert_close(worded(spilled), mean, 1e-14, "spill");
}

#[test]
fn the_age_of_a_measured_lamp_is_divided_out() {
    let moles = |light: Value| {
        let option = patched(
            lamped("x", FOR_EVER, FOR_EVER, json!({ "group": { "every": 5_000 } })),
            json!({
                "light": light,
                "maintenance": { "constant": null, "exponential": { "rate": 3e-5, "start": 0.9 } }
            }),
        );
        run(&plan(&with_options(vec![option])), 2, 9).life(0, 0, 0).moles
    };
    // what is measured after 4 000 h has faded by e^(−0.12) from what is measured new
    let new = moles(json!({ "mean": { "ppfd": 1000 } }));
    let old = moles(json!({ "mean": { "ppfd": 1000.0 * (-0.12f64).exp() }, "lamp_hours": 4_000 }));
    assert_close(old, new, 1e-13, "moles");
}
