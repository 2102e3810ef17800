//! Blocks and riders, worked out by hand: what the bounds count in months of different lengths, and adders on every kWh.
//!
//! Belongs here: energy prices that depend on how much, with the arithmetic beside the numbers. Does not belong here:
//! prices by the hour of the day (`clock_by_hand`).

use serde_json::{Value, json};

use super::{Side, assert_is, billed, daily, day_lights, lines, lit, quantity};
use crate::support::patched;

/// Energy of each month in the currency.
fn energy(scenario: &Value) -> Vec<f64> {
    billed(scenario).bills.iter().map(|bill| lines(bill, Side::With, "energy", |_| true)).collect()
}

fn blocks(unit: &str, bound: f64, first: f64, then: f64) -> Value {
    let blocks = json!([{ "up_to": bound, "price": first }, { "price": then }]);
    json!({ "energy": [{ "blocks": blocks, "block_unit": unit }] })
}

#[test]
fn bounds_for_each_day_are_wider_in_a_longer_month() {
    let tariff = blocks("kWh/day", 1000.0, 0.20, 0.10);
    // 31 days: 31 000 × 0.20 + 6 200 × 0.10 = 6 820; 28 days: 28 000 × 0.20 + 5 600 × 0.10 = 6 160; 30 days: 6 600
    let found = energy(&day_lights(tariff.clone()));
    assert_is(found[0], 6820.0, "January");
    assert_is(found[1], 6160.0, "February");
    assert_is(found[3], 6600.0, "April");
    // 29 days: 29 000 × 0.20 + 5 800 × 0.10 = 6 380
    let leap = patched(day_lights(tariff.clone()), json!({ "start": "2024-01-01" }));
    assert_is(energy(&leap)[1], 6380.0, "February of a leap year");
    // the bound is for the month's whole days, not for each day: 15 days of 1 200 kWh and 16 of 600 are 27 600 of
    // 31 000, all at 0.20 (day by day, 15 × 200 kWh would be at 0.10)
    let phases = json!([
        { "name": "full", "days": 15, "lights": [{ "on": "06:00", "off": "18:00" }] },
        { "name": "half", "days": 350, "power": 0.5, "lights": [{ "on": "06:00", "off": "18:00" }] }
    ]);
    assert_is(energy(&lit(100.0, phases, tariff))[0], 5520.0, "two kinds of day");
}

#[test]
fn bounds_for_each_kw_count_hours_of_use() {
    // 100 kW × 200 h = 20 000 kWh at 0.12, 17 200 at 0.07: 2 400 + 1 204
    let tariff = blocks("kWh/kW", 200.0, 0.12, 0.07);
    assert_is(energy(&day_lights(tariff.clone()))[0], 3604.0, "by measured demand");
    // with a charge for at least 150 kW the hours are counted by what is billed: 30 000 × 0.12 + 7 200 × 0.07
    let least = patched(tariff, json!({ "demand": [{ "price": 0, "minimum_kw": 150 }] }));
    assert_is(energy(&day_lights(least))[0], 4104.0, "by billed demand");
    // a charge that has hours of its own on some days does not count: by the measured 100 kW again
    let partly = json!([{ "months": [1] }, { "from": "06:00", "until": "09:00" }]);
    let some = patched(
        blocks("kWh/kW", 200.0, 0.12, 0.07),
        json!({ "demand": [{ "when": partly, "price": 0, "minimum_kw": 150 }] }),
    );
    assert_is(energy(&day_lights(some))[0], 3604.0, "by measured demand, because the charge has hours");
    // 5 kWh for each kW and day: 100 × 5 × 31 = 15 500 at 0.12, 21 700 at 0.07: 1 860 + 1 519
    let daily = blocks("kWh/kW/day", 5.0, 0.12, 0.07);
    assert_is(energy(&day_lights(daily.clone()))[0], 3379.0, "for each day");
    // February: 14 000 × 0.12 + 19 600 × 0.07 = 1 680 + 1 372
    assert_is(energy(&day_lights(daily))[1], 3052.0, "for each day of February");
}

#[test]
fn three_blocks_are_filled_one_after_another_and_named_by_their_bounds() {
    let tariff = json!({ "energy": [{ "name": "use", "blocks": [
        { "up_to": 10_000, "price": 0.3 }, { "up_to": 35_000, "price": 0.2 }, { "price": 0.1 }
    ] }] });
    // January 37 200: 10 000, 25 000 and 2 200 kWh; February 33 600: 10 000 and 23 600
    let sheet = billed(&day_lights(tariff));
    for (month, name, kwh) in [
        (0, "use, 0 to 10000 kWh", 10_000.0),
        (0, "use, 10000 to 35000 kWh", 25_000.0),
        (0, "use, above 35000 kWh", 2_200.0),
        (1, "use, 10000 to 35000 kWh", 23_600.0),
        (1, "use, above 35000 kWh", 0.0),
    ] {
        assert_is(quantity(&sheet.bills[month], "energy", |line| line == name), kwh, name);
    }
    assert_is(sheet.bills[0].total.with, 3000.0 + 5000.0 + 220.0, "January");
}

#[test]
fn lights_beside_a_base_load_fill_the_upper_blocks() {
    // base 10 kW round the clock: 7 440 kWh in January, 7 440 × 0.3 = 2 232; together 44 640:
    // 10 000 × 0.3 + 25 000 × 0.2 + 9 640 × 0.1 = 8 964; the lights add 6 732, and alone they would be 8 220
    let tariff = json!({ "energy": [{ "blocks": [
        { "up_to": 10_000, "price": 0.3 }, { "up_to": 35_000, "price": 0.2 }, { "price": 0.1 }
    ] }] });
    let base = json!({ "base_load": [{ "name": "pumps", "power": { "is": 10, "unit": "kW" } }] });
    let bill = billed(&patched(day_lights(tariff), base)).bills.remove(0);
    assert_is(bill.total.with, 8964.0, "with");
    assert_is(bill.total.without, 2232.0, "without");
    assert_is(bill.total.difference, 6732.0, "added");
}

#[test]
fn riders_by_month_and_a_credit_add_up() {
    let by_month: Vec<f64> = (1..=12).map(|month| 0.010 + 0.001 * f64::from(month)).collect();
    let tariff = json!({
        "energy": [{ "price": 0 }],
        "riders": [{ "name": "fuel", "by_month": by_month }, { "name": "credit", "price": -0.004 }]
    });
    let sheet = billed(&day_lights(tariff));
    // January 37 200 × 0.011 = 409.20, February 33 600 × 0.012 = 403.20, December 37 200 × 0.022 = 818.40
    for (month, fuel, credit) in [(0, 409.2, -148.8), (1, 403.2, -134.4), (11, 818.4, -148.8)] {
        let bill = &sheet.bills[month];
        assert_is(lines(bill, Side::With, "riders", |name| name.starts_with("fuel")), fuel, "fuel");
        assert_is(lines(bill, Side::With, "riders", |name| name == "credit"), credit, "credit");
        assert_is(bill.total.with, fuel + credit, "total");
    }
}

#[test]
fn a_credit_may_turn_a_bill_into_a_refund() {
    // 37 200 × (0.01 − 0.015) = −186
    let tariff = json!({ "energy": [{ "price": 0.01 }], "riders": [{ "price": -0.015 }], "rounding": "line" });
    let bill = billed(&day_lights(tariff)).bills.remove(0);
    assert_is(bill.total.with, -186.0, "a refund");
}

#[test]
fn a_meter_that_runs_through_the_blocks_meets_the_dear_hours_last_when_they_come_last() {
    // Every day has 600 kWh in cheap hours, 06:00 to 12:00, and then 600 in dear ones. The first 12 000 kWh of the month,
    // which are ten days, cost 0.1 and 0.2, the others double. In time order days 1 to 10 fill the block:
    // 10 × (600 × 0.1 + 600 × 0.2) = 1 800; 21 days at double: 21 × (600 × 0.2 + 600 × 0.4) = 7 560
    let rule = |when: Value, price: f64| {
        let blocks = json!([{ "up_to": 12_000, "price": price }, { "price": 2.0 * price }]);
        patched(json!({ "blocks": blocks }), when)
    };
    let tariff = |shared: &str| {
        json!({
            "energy": [rule(json!({ "when": { "until": "12:00" } }), 0.1), rule(json!({}), 0.2)],
            "blocks_shared": shared
        })
    };
    let january = |shared: &str| energy(&lit(100.0, daily(&[("06:00", "18:00")]), tariff(shared)))[0];
    assert_is(january("in_time_order"), 9360.0, "in time order");
    // in proportion the halves share 12 000 and 25 200 evenly: 6 000 × 0.3 + 12 600 × 0.6 = 1 800 + 7 560, the same here
    assert_is(january("in_proportion"), 9360.0, "in proportion");
    // apart, each has 18 600 kWh and 12 000 of its own: 12 000 × 0.3 + 6 600 × 0.6 = 3 600 + 3 960
    assert_is(january("separate"), 7560.0, "separate");
    // with a block that ends at noon of day 1, 600 kWh: in time order the cheap hours have all of it:
    // 600 × 0.1 + (18 000 × 0.2 + 18 600 × 0.4) = 60 + 3 600 + 7 440; in proportion 300 each: 30 + 60 + 3 660 + 7 320
    let narrow = |shared: &str| {
        let mut tariff = tariff(shared);
        for rule in [0, 1] {
            tariff["energy"][rule]["blocks"][0]["up_to"] = json!(600);
        }
        energy(&lit(100.0, daily(&[("06:00", "18:00")]), tariff))[0]
    };
    assert_is(narrow("in_time_order"), 11_100.0, "a narrow block in time order");
    assert_is(narrow("in_proportion"), 11_070.0, "a narrow block in proportion");
}

#[test]
fn the_picture_shows_the_price_of_the_block_that_the_month_has_reached() {
    // lit 06:00 to 18:00, 37 200 kWh in January: beyond 20 000; "use" and "use by night" begin alike on purpose
    let blocks = |first: f64, then: f64| json!([{ "up_to": 20_000, "price": first }, { "price": then }]);
    let night =
        json!({ "name": "use by night", "when": { "from": "20:00", "until": "05:00" }, "blocks": blocks(0.10, 0.08) });
    let tariff = |shared: &str| json!({ "energy": [night, { "name": "use", "blocks": blocks(0.10, 0.20) }], "blocks_shared": shared });
    let prices = |shared: &str| {
        let january = billed(&day_lights(tariff(shared))).picture.weekdays.swap_remove(0);
        (january[12].price.unwrap(), january[2].price.unwrap())
    };
    // apart, the night is still in its first block; together, both are in the second
    let (day, by_night) = prices("separate");
    assert!((day - 0.20).abs() < 1e-12 && (by_night - 0.10).abs() < 1e-12, "separate: {day}, {by_night}");
    for shared in ["in_proportion", "in_time_order"] {
        let (day, night) = prices(shared);
        assert!((day - 0.20).abs() < 1e-12 && (night - 0.08).abs() < 1e-12, "{shared}: {day}, {night}");
    }
}
