//! Money over time: present values and levelized cost against factors and results from elsewhere.

use finance::{Booking, discount_factors, levelized_cost, present_value};
use serde_json::{Value, json};

use super::{assert_close, cases, data, number};
use crate::support::{lamped, option, patched, plan, room, run};

/// Years of each case.
fn years(case: &Value) -> u32 {
    number(case, "years") as u32
}

/// The first option's cell in the first trial.
fn cell(patch: Value) -> engine::Cell {
    *run(&plan(&patched(room(), patch)), 2, 51).cell(0, 0, 0)
}

/// A contract whose only cost is 5.50 a month for the room's one kilowatt.
fn monthly(price_change: f64) -> Value {
    let tariff = json!({ "energy": [{ "price": 0 }], "demand": [{ "price": 5.5 }] });
    json!([{ "name": "demand only", "tariff": tariff, "price_change": price_change }])
}

const MONTHLY: f64 = 5.5;

#[test]
fn discount_factors_are_those_of_the_handbook() {
    let file = data("discount_factors.json");
    for case in cases(&file) {
        let mut factors = vec![0.0; years(case) as usize];
        discount_factors(number(case, "rate"), Booking::End, 1.0, &mut factors);
        assert_close(*factors.last().unwrap(), number(case, "single"), 1e-12, &case.to_string());
        let ones = vec![1.0; factors.len()];
        assert_close(present_value(0.0, &ones, &factors), number(case, "uniform"), 1e-12, &case.to_string());
    }
}

#[test]
fn equal_monthly_bills_of_a_whole_run_have_the_present_value_of_the_uniform_factor() {
    let file = data("discount_factors.json");
    for case in cases(&file) {
        let rate = number(case, "rate");
        let money = |booked: &str| {
            cell(json!({
                "horizon_years": years(case),
                "money": { "discount_rate": rate, "booked": booked },
                "contracts": monthly(0.0)
            }))
        };
        // twelve month ends a year are worth d/i of one year end, with (1 + i)¹² = 1 + d
        let monthly_rate = (1.0 + rate).powf(1.0 / 12.0) - 1.0;
        let expected = MONTHLY * number(case, "uniform") * rate / monthly_rate;
        let at_end = money("end_of_month");
        assert_close(at_end.present, expected, 1e-12, &case.to_string());
        assert_close(at_end.total, MONTHLY * 12.0 * f64::from(years(case)), 1e-13, "undiscounted");
        // half a month earlier: worth (1 + d)^(1/24) more; cost and light alike, so the levelized cost stays
        let at_middle = money("mid_month");
        assert_close(at_middle.present, expected * (1.0 + rate).powf(1.0 / 24.0), 1e-12, "mid-month");
        assert_close(at_middle.levelized, at_end.levelized, 1e-13, "levelized at mid-month");
    }
}

#[test]
fn bills_that_rise_have_the_present_value_of_the_escalated_factor() {
    let file = data("escalated_factors.json");
    for case in cases(&file) {
        let [rate, rise] = ["rate", "rise"].map(|key| number(case, key));
        let found = cell(json!({
            "horizon_years": years(case),
            "money": { "discount_rate": rate },
            "contracts": monthly(rise)
        }));
        let q = (1.0 + rise) / (1.0 + rate);
        let months = if q == 1.0 { 12.0 } else { (1.0 / q - 1.0) / (q.powf(-1.0 / 12.0) - 1.0) };
        assert_close(found.present, MONTHLY * number(case, "factor") * months, 1e-12, &case.to_string());
    }
}

#[test]
fn real_and_nominal_money_have_one_present_value() {
    let (real, inflation): (f64, f64) = (0.037, 0.024);
    let nominal = (1.0 + real) * (1.0 + inflation) - 1.0;
    let arc = patched(
        lamped("arc", 5_000.0, 3.0, json!({ "group": { "every": 4_000 } })),
        json!({
            "fixtures": 7,
            "fixture": { "price": 210, "installation": 60 },
            "lamp": { "price": 46, "disposal": 2 },
            "upkeep": { "spot_labour": 68, "planned_labour": 15, "found_after": 3 },
            "gear": { "failures_per_year": 0.2, "price": 90, "labour": 40 }
        }),
    );
    let patch = |money: Value| {
        json!({
            "money": money,
            "contracts": [{ "name": "rising", "tariff": { "energy": [{ "price": 0.11 }], "demand": [{ "price": 4 }] },
                            "price_change": 0.015 }],
            "cooling": { "cop": 3.1 },
            "options": [arc.clone()]
        })
    };
    let of = |money: Value| run(&plan(&patched(room(), patch(money))), 50, 52);
    let in_real = of(json!({ "basis": "real", "discount_rate": real }));
    let in_nominal = of(json!({ "basis": "nominal", "discount_rate": nominal, "inflation": inflation }));
    for trial in 0..50 {
        let (real, nominal) = (in_real.cell(trial, 0, 0), in_nominal.cell(trial, 0, 0));
        assert_close(nominal.present, real.present, 1e-12, &format!("trial {trial}"));
        assert!(nominal.total > real.total, "amounts of the day must be larger");
    }
    assert_close(finance::real_rate(nominal, inflation), real, 1e-13, "the real rate");
}

#[test]
fn levelized_cost_is_present_cost_over_present_output() {
    let file = data("levelized_ratio.json");
    let [outlay, yearly, output, decline, rate] =
        ["outlay", "yearly", "output", "decline", "rate"].map(|key| number(&file, key));
    let years = years(&file) as usize;
    let mut factors = vec![0.0; years];
    discount_factors(rate, Booking::End, 1.0, &mut factors);
    let costs = vec![yearly; years];
    let outputs: Vec<f64> = (0..years).map(|year| output * (1.0 - decline).powi(year as i32)).collect();
    assert_close(present_value(outlay, &costs, &factors), number(&file, "pv_cost"), 1e-12, "present cost");
    assert_close(present_value(0.0, &outputs, &factors), number(&file, "pv_output"), 1e-12, "present output");
    let levelized = levelized_cost(outlay, &costs, &outputs, &factors);
    assert_close(levelized, number(&file, "levelized"), 1e-12, "levelized cost");
    assert!((levelized / number(&file, "undiscounted_output") - 1.0).abs() > 0.4, "output is not discounted");
}

#[test]
fn a_published_levelized_cost_comes_out_of_a_whole_run() {
    let file = data("levelized_published.json");
    let [charge, capital, upkeep, rating, output] =
        ["fixed_charge_rate", "capital", "upkeep", "rating", "output"].map(|key| number(&file, key));
    // one year (2031) without discounting: the annuity of the capital is the outlay, the yearly upkeep is a demand
    // charge on 100 kW, and a mole stands for a kilowatt-hour
    let flux = output / (8760.0 * 0.0036);
    let found = cell(json!({
        "horizon_years": 1,
        "contracts": [{ "name": "upkeep", "tariff": {
            "energy": [{ "price": 0 }], "demand": [{ "price": upkeep * rating / 12.0 / 100.0 }] } }],
        "options": [patched(option("plant"), json!({
            "wall_power": 100_000,
            "light": { "mean": { "ppfd": flux / 1000.0, "area": 1000 } },
            "fixture": { "price": charge * capital * rating }
        }))]
    }));
    assert!((found.levelized - number(&file, "printed")).abs() < 6e-9, "{}", found.levelized);
    let by_hand = levelized_cost(charge * capital * rating, &[upkeep * rating], &[output], &[1.0]);
    assert_close(found.levelized, by_hand, 1e-12, "run against plain division");
}
