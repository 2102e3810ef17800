//! Percentages, rounding and minimums, worked out by hand: what is made of a bill's other lines.
//!
//! Belongs here: arithmetic on sums of money, written out beside the numbers. Does not belong here: how kWh and kW come
//! about.

use serde_json::{Value, json};

use super::{Side, assert_is, billed, day_lights, lines};
use crate::support::patched;

// January under this sheet, without percentages:
//   energy   37 200 kWh × 0.0837 = 3 113.64
//   demand      100 kW  × 7.35   =   735.00
//   fixed                             41.27
//   together                       3 889.91
fn sheet(more: Value) -> Value {
    let plain = json!({
        "energy": [{ "price": 0.0837 }],
        "demand": [{ "price": 7.35 }],
        "fixed": [{ "price": 41.27, "each": "month" }]
    });
    patched(plain, more)
}

fn franchise() -> Value {
    json!({ "name": "franchise fee", "share": { "is": 3, "unit": "%" }, "on": ["energy", "demand", "fixed"] })
}

fn tax() -> Value {
    json!({ "name": "sales tax", "share": { "is": 8.25, "unit": "%" }, "on": ["subtotal"] })
}

#[test]
fn percentages_are_taken_in_order_of_what_stands_before_them() {
    let january = |percent: Value| billed(&day_lights(sheet(json!({ "percent": percent })))).bills.remove(0);
    // 3 889.91 × 0.03 = 116.6973; (3 889.91 + 116.6973) × 0.0825 = 4 006.6073 × 0.0825 = 330.54510225
    let bill = january(json!([franchise(), tax()]));
    assert_is(lines(&bill, Side::With, "percentages", |name| name == "franchise fee"), 116.6973, "fee");
    assert_is(lines(&bill, Side::With, "percentages", |name| name == "sales tax"), 330.545_102_25, "tax");
    assert_is(bill.total.with, 4_337.152_402_25, "total");
    // the other way about the tax is taken of 3 889.91 alone: × 0.0825 = 320.917575; the fee stays
    let bill = january(json!([tax(), franchise()]));
    assert_is(lines(&bill, Side::With, "percentages", |name| name == "sales tax"), 320.917_575, "tax first");
    assert_is(bill.total.with, 4_327.524_875, "total, tax first");
    // a discount of 2 % on energy: −62.2728
    let discount = json!([{ "share": { "is": -2, "unit": "%" }, "on": ["energy"] }]);
    assert_is(january(discount).total.with, 3889.91 - 62.2728, "discount");
}

#[test]
fn every_line_is_rounded_before_a_percentage_is_taken_of_it() {
    let percent = json!([franchise(), tax()]);
    let sheet = sheet(json!({ "percent": percent, "rounding": "line" }));
    let bill = billed(&day_lights(sheet)).bills.remove(0);
    // 116.6973 → 116.70; 4 006.61 × 0.0825 = 330.545325 → 330.55; total 4 337.16, a cent above the sum without rounding
    assert_is(lines(&bill, Side::With, "percentages", |name| name == "franchise fee"), 116.70, "fee");
    assert_is(lines(&bill, Side::With, "percentages", |name| name == "sales tax"), 330.55, "tax");
    assert_is(bill.total.with, 4337.16, "total");
}

#[test]
fn half_a_cent_is_rounded_away_from_zero() {
    // as decimals; in binary, 1.005 and 2.675 lie a little below the half
    let cases = [
        (1.005, 1.01),
        (2.675, 2.68),
        (0.125, 0.13),
        (0.005, 0.01),
        (0.0049, 0.0),
        (10.005, 10.01),
        (-1.005, -1.01),
        (-0.0049, 0.0),
        (123_456.785, 123_456.79),
        (7.999, 8.0),
        (7.99, 7.99),
    ];
    let fixed: Vec<Value> = (cases.iter().enumerate())
        .map(|(k, (price, _))| json!({ "name": format!("charge {k}"), "price": price, "each": "month" }))
        .collect();
    let tariff = json!({ "energy": [{ "price": 0 }], "fixed": fixed, "rounding": "line" });
    let bill = billed(&day_lights(tariff)).bills.remove(0);
    for (k, (price, rounded)) in cases.into_iter().enumerate() {
        let found = lines(&bill, Side::With, "fixed", |name| name == format!("charge {k}"));
        assert!((found - rounded).abs() < 1e-9, "{price}: {found} against {rounded}");
    }
    // 100 kW at 0.10005 are 10.005, and 37 200 kWh at 0.0001375 are 5.115
    let tariff = json!({ "energy": [{ "price": 0.000_137_5 }], "demand": [{ "price": 0.10005 }], "rounding": "line" });
    let bill = billed(&day_lights(tariff)).bills.remove(0);
    assert_is(lines(&bill, Side::With, "demand", |_| true), 10.01, "demand");
    assert_is(lines(&bill, Side::With, "energy", |_| true), 5.12, "energy");
}

#[test]
fn what_the_lights_add_is_the_difference_of_two_rounded_bills() {
    // base load 1 kW round the clock, 744 kWh in January, at 0.01333: without the lights 9.91752 → 9.92, with them
    // 37 944 × 0.01333 = 505.79352 → 505.79. They add 495.87; 37 200 × 0.01333 = 495.876 alone would be 495.88.
    // A tax of 10 % on either: 50.579 → 50.58 and 0.992 → 0.99
    let tariff = json!({
        "energy": [{ "price": 0.01333 }],
        "percent": [{ "share": 0.1, "on": ["subtotal"] }],
        "rounding": "line"
    });
    let base = json!({ "base_load": [{ "name": "pump", "power": 1000 }] });
    let bill = billed(&patched(day_lights(tariff), base)).bills.remove(0);
    assert_is(bill.total.with, 505.79 + 50.58, "with");
    assert_is(bill.total.without, 9.92 + 0.99, "without");
    assert_is(bill.total.difference, 495.87 + 49.59, "added");
}

#[test]
fn a_years_minimum_is_topped_up_on_its_last_bill() {
    // 365 days × 1 200 kWh × 0.01 = 4 380 a year; 12 × 10 fixed
    let year = |minimum: Value| {
        let tariff = json!({
            "energy": [{ "price": 0.01 }],
            "fixed": [{ "price": 10, "each": "month" }],
            "minimum_bill": patched(json!({ "price": 5000, "each": "year" }), minimum)
        });
        billed(&day_lights(tariff))
    };
    let topped = |minimum: Value| -> Vec<f64> {
        year(minimum).bills.iter().map(|bill| lines(bill, Side::With, "minimum", |_| true)).collect()
    };
    // 5 000 − 4 380 − 120 = 500 in December, and nothing before
    let counted = topped(json!({}));
    assert_eq!(counted[..11], [0.0; 11]);
    assert_is(counted[11], 500.0, "December");
    // with energy alone counting: 5 000 − 4 380 = 620
    assert_is(topped(json!({ "counts": ["energy"] }))[11], 620.0, "December, energy alone counts");
    // a year that comes to more is not topped up: 4 500 is what it comes to
    assert_eq!(topped(json!({ "price": 4499.99 })), [0.0; 12]);
    assert_is(topped(json!({ "price": 4500.01 }))[11], 0.01, "a cent short");
}

#[test]
fn a_years_minimum_is_in_proportion_to_the_days_that_were_billed() {
    // read on the 14th: the last bill that ends in 2018 goes to 13 December, and 347 of 365 days are billed by then:
    // 5 000 × 347 / 365 = 4 753.424658; 347 × 1 200 × 0.01 = 4 164; short by 589.424658
    let tariff = json!({ "energy": [{ "price": 0.01 }], "minimum_bill": { "price": 5000, "each": "year" } });
    let mut scenario = patched(day_lights(tariff), json!({ "horizon_years": 2 }));
    scenario["contracts"][0]["read_day"] = json!(14);
    let sheet = billed(&scenario);
    let last = sheet.bills.iter().find(|bill| bill.last == "2018-12-13").unwrap();
    assert_is(lines(last, Side::With, "minimum", |_| true), 589.424_658, "topped up on 13 December");
}

#[test]
fn a_minimum_for_each_day_or_month_counts_the_parts_it_names() {
    let february = |tariff: Value| {
        let bill = billed(&day_lights(tariff)).bills.remove(1);
        (lines(&bill, Side::With, "minimum", |_| true), bill.total.with)
    };
    let with = |minimum: Value| {
        json!({
            "energy": [{ "price": 0.01 }],
            "riders": [{ "price": -0.002 }],
            "fixed": [{ "price": 20, "each": "month" }],
            "minimum_bill": minimum,
            "percent": [{ "share": 0.5, "on": ["minimum"] }]
        })
    };
    // February: energy 33 600 × 0.01 = 336, riders −67.20, fixed 20: 288.80 in all
    // 15 a day: 28 × 15 = 420, short by 131.20; half as much again as a percentage of it
    let (short, total) = february(with(json!({ "price": 15, "each": "day" })));
    assert_is(short, 131.20, "for each day");
    assert_is(total, 288.80 + 131.20 * 1.5, "total");
    // 400 a month, of energy alone: short by 64
    let (short, _) = february(with(json!({ "price": 400, "each": "month", "counts": ["energy"] })));
    assert_is(short, 64.0, "energy alone");
    // of energy and riders: 400 − 336 + 67.20 = 131.20
    let (short, _) = february(with(json!({ "price": 400, "each": "month", "counts": ["energy", "riders"] })));
    assert_is(short, 131.20, "a credit makes it larger");
}
