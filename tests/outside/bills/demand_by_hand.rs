//! Demand, worked out by hand: power factors, overlaps into a window, cooling that lags behind, and looking back.
//!
//! Belongs here: kW, kvar and kVA with the arithmetic beside the numbers. Does not belong here: rooms that share lights
//! (`rooms`).

use serde_json::{Value, json};

use super::{Side, assert_is, billed, daily, day_lights, lines, lit, quantity};
use crate::support::patched;

/// Lights of 96 kW at a power factor of 0.8 (72 kvar) beside 39 kW at 1: 135 kW, 72 kvar, √(135² + 72²) = 153 kVA, and a
/// power factor of 135/153 = 15/17 = 0.882353. Without the lights it is 1.
fn inductive(tariff: Value) -> Value {
    let base = json!({ "base_load": [{ "name": "heater", "power": { "is": 39, "unit": "kW" } }] });
    let mut scenario = patched(lit(96.0, daily(&[("06:00", "18:00")]), tariff), base);
    scenario["options"][0]["power_factor"] = json!(0.8);
    scenario
}

fn power_factor(demand: Value, rule: Value) -> (f64, f64) {
    let tariff = json!({ "energy": [{ "price": 0 }], "demand": [demand], "power_factor": rule });
    let bill = billed(&inductive(tariff)).bills.remove(0);
    let peak = bill.peaks.last().unwrap();
    assert!((peak.power_factor_with - 15.0 / 17.0).abs() < 1e-12, "{}", peak.power_factor_with);
    // the base load alone has nothing to pay for
    assert_is(
        lines(&bill, Side::With, "power factor", |_| true),
        lines(&bill, Side::Added, "power factor", |_| true),
        "",
    );
    (lines(&bill, Side::With, "power factor", |_| true), lines(&bill, Side::With, "demand", |_| true))
}

#[test]
fn scaled_demand_bills_kw_times_the_power_factor_wanted_over_the_one_found() {
    // 135 × 0.95 / (15/17) = 145.35 kW, 10.35 more than measured, at 10
    let rule = |below: f64| json!({ "rule": "scale_demand", "below": below });
    let (added, demand) = power_factor(json!({ "price": 10 }), rule(0.95));
    assert_is(added, 103.5, "added");
    assert_is(demand, 1350.0, "demand itself");
    // 0.882 is above 0.85
    assert_is(power_factor(json!({ "price": 10 }), rule(0.85)).0, 0.0, "a good power factor");
    // a least demand of 200 kW is billed and scaled: 200 × 0.95 × 17/15 = 215.333333, so 15.333333 × 10 more
    assert_is(power_factor(json!({ "price": 10, "minimum_kw": 200 }), rule(0.95)).0, 153.333_333_3, "a least demand");
    // blocks of 140 kW at 10 and then 4: 145.35 are 140 × 10 + 5.35 × 4 = 1 421.40, less 1 350
    let blocks = json!({ "blocks": [{ "up_to": 140, "price": 10 }, { "price": 4 }] });
    assert_is(power_factor(blocks, rule(0.95)).0, 71.4, "blocks");
}

#[test]
fn kva_billing_bills_apparent_power() {
    let rule = json!({ "rule": "kva_billing" });
    // (153 − 135) × 10
    assert_is(power_factor(json!({ "price": 10 }), rule.clone()).0, 180.0, "kVA");
    // 100 at 12 and then 9: 153 kVA are 1 677, 135 kW 1 515
    let blocks = json!({ "blocks": [{ "up_to": 100, "price": 12 }, { "price": 9 }] });
    assert_is(power_factor(blocks, rule).0, 162.0, "kVA in blocks");
}

#[test]
fn kvar_beyond_an_allowance_have_a_price() {
    let rule = |allowance: f64| json!({ "rule": "kvar_over_allowance", "allowance": allowance, "price": 2.5 });
    // 72 − 0.4 × 135 = 18 kvar at 2.50
    assert_is(power_factor(json!({ "price": 10 }), rule(0.4)).0, 45.0, "18 kvar");
    // 72 − 0.6 × 135 = −9: nothing, and no credit either
    assert_is(power_factor(json!({ "price": 10 }), rule(0.6)).0, 0.0, "within the allowance");
    assert_is(power_factor(json!({ "price": 10 }), rule(0.0)).0, 180.0, "all 72 kvar");
}

#[test]
fn a_percentage_for_each_point_below() {
    let rule = |below: f64| json!({ "rule": "percent_per_point", "below": below, "percent": { "is": 1, "unit": "%" } });
    // 0.95 − 0.882352941 = 6.7647058824 points, 1 % each of 1 350: 91.3235294
    assert_is(power_factor(json!({ "price": 10 }), rule(0.95)).0, 91.323_529_4, "points");
    assert_is(power_factor(json!({ "price": 10 }), rule(0.88)).0, 0.0, "a good power factor");
}

#[test]
fn lights_that_run_into_a_window_are_averaged_over_its_first_interval() {
    let in_window = |off: &str, interval: u32| {
        let when = json!({ "days": ["weekday"], "from": "14:00", "until": "20:00" });
        let demand = json!([{ "price": 10, "when": when }]);
        let tariff = json!({ "energy": [{ "price": 0 }], "demand": demand, "demand_interval": interval });
        billed(&lit(100.0, daily(&[("02:00", off)]), tariff)).bills.remove(0)
    };
    // a quarter of an hour of 100 kW: whole intervals of 15 minutes, half of 30, a quarter of 60
    for (off, interval, kw) in [
        ("14:00", 15, 0.0),
        ("14:15", 15, 100.0),
        ("14:15", 30, 50.0),
        ("14:15", 60, 25.0),
        // 10 of 15 minutes; 10 of 60
        ("14:10", 15, 66.666_666_7),
        ("14:10", 60, 16.666_666_7),
        // 1 of 5 minutes
        ("14:01", 5, 20.0),
    ] {
        let bill = in_window(off, interval);
        let what = format!("lights until {off}, intervals of {interval} min");
        assert_is(quantity(&bill, "demand", |_| true), kw, &what);
        assert_is(lines(&bill, Side::With, "demand", |_| true), 10.0 * kw, &what);
    }
    let peak = in_window("14:15", 15).peaks.remove(0);
    // 1 January 2018 is a Monday
    assert_eq!(peak.at_with.as_deref(), Some("2018-01-01 14:00"));
}

/// Lights of 100 kW from 06:00 to 14:00 and a plant of 25 kW beside them (COP 4), some minutes later.
fn cooled(lag: u32, tariff: Value, base: Value) -> Value {
    let cooling = json!({ "cooling": { "cop": 4, "lag_minutes": lag }, "base_load": base });
    patched(lit(100.0, daily(&[("06:00", "14:00")]), tariff), cooling)
}

#[test]
fn cooling_that_lags_behind_falls_into_a_window_that_the_lights_keep_out_of() {
    let tariff = json!({
        "energy": [{ "name": "dear", "when": { "from": "14:00", "until": "20:00" }, "price": 0.3 }, { "price": 0.1 }],
        "demand": [{ "name": "peak hours", "when": { "from": "14:00", "until": "20:00" }, "price": 10 }]
    });
    // an hour late the plant runs from 07:00 to 15:00: 25 kW in the window and 25 kWh a day at 0.30; the other 175 kWh and
    // the lights' 800 at 0.10: 31 × (97.50 + 7.50) = 3 255
    let bill = billed(&cooled(60, tariff.clone(), json!([]))).bills.remove(0);
    assert_is(lines(&bill, Side::With, "energy", |_| true), 3255.0, "energy an hour late");
    assert_is(lines(&bill, Side::With, "energy", |name| name == "dear"), 232.5, "dear energy an hour late");
    assert_is(lines(&bill, Side::With, "demand", |_| true), 250.0, "demand an hour late");
    // at once: 31 × 1 000 × 0.10, and nothing in the window
    let bill = billed(&cooled(0, tariff.clone(), json!([]))).bills.remove(0);
    assert_is(bill.total.with, 3100.0, "at once");
    // ten minutes late: 25 kW for 10 of 15 minutes
    let bill = billed(&cooled(10, tariff, json!([]))).bills.remove(0);
    assert_is(lines(&bill, Side::With, "demand", |_| true), 166.666_666_7, "demand ten minutes late");
}

#[test]
fn cooling_that_lags_behind_raises_the_peak_of_a_base_load() {
    let tariff = json!({ "energy": [{ "price": 0 }], "demand": [{ "price": 10 }] });
    let base = json!([{ "name": "press", "power": { "is": 110, "unit": "kW" },
                        "when": { "from": "14:00", "until": "15:00" } }]);
    let peak = |lag: u32| {
        let bill = billed(&cooled(lag, tariff.clone(), base.clone())).bills.remove(0);
        (bill.peaks[0].kw_with, bill.peaks[0].kw_without, lines(&bill, Side::Added, "demand", |_| true))
    };
    // at once, 125 kW until 14:00 and 110 after; an hour late, 110 + 25 after 14:00
    assert_eq!(peak(0), (125.0, 110.0, 150.0));
    assert_eq!(peak(60), (135.0, 110.0, 250.0));
}

#[test]
fn cooling_of_the_last_evening_is_billed_in_the_next_month() {
    // lights 20:00–24:00, the plant an hour later: 31 × 4 × 25 kWh in January less the hour that falls on 1 February
    let tariff = json!({ "energy": [{ "price": 1 }] });
    let scenario = patched(
        lit(100.0, daily(&[("20:00", "24:00")]), tariff),
        json!({ "cooling": { "cop": 4, "lag_minutes": 60 } }),
    );
    let sheet = billed(&scenario);
    assert_is(sheet.bills[0].total.with, 31.0 * 500.0 - 25.0, "January");
    assert_is(sheet.bills[1].total.with, 28.0 * 500.0, "February: one in, one out");
}

#[test]
fn summer_peaks_may_lift_winter_bills_only() {
    // 70 kW to May, 100 in June and July, 40 from August on; at 10 per kW. 80 % of June's and July's peaks, in October,
    // November and December: 80 kW there, 40 in August and September, and as measured before
    let phase = |name: &str, days: u32, power: f64| json!({ "name": name, "days": days, "power": power, "lights": [{ "on": "06:00", "off": "18:00" }] });
    let phases = json!([phase("spring", 151, 0.7), phase("summer", 61, 1.0), phase("autumn", 153, 0.4)]);
    let ratchet = json!({ "share": { "is": 80, "unit": "%" }, "previous_months": 11, "peaks_of_months": [6, 7],
                          "lifts_in_months": [10, 11, 12] });
    let tariff = |ratchet: Value| json!({ "energy": [{ "price": 0 }], "demand": [{ "name": "d", "price": 10, "ratchet": ratchet }] });
    let months = |tariff: Value| -> Vec<f64> {
        billed(&lit(100.0, phases.clone(), tariff)).bills.iter().map(|bill| bill.total.with).collect()
    };
    let as_measured = [700.0, 700.0, 700.0, 700.0, 700.0, 1000.0, 1000.0, 400.0, 400.0];
    for (month, (found, kw)) in
        months(tariff(ratchet.clone())).into_iter().zip(as_measured.into_iter().chain([800.0; 3])).enumerate()
    {
        assert_is(found, kw, &format!("month {}", month + 1));
    }
    // three months back: August and September still see July, December sees nothing of it any more
    let short = patched(ratchet, json!({ "previous_months": 3, "lifts_in_months": null }));
    let found = months(tariff(short));
    // August to October look back on July; November on August to October
    for (month, by_hand) in [(7, 800.0), (8, 800.0), (9, 800.0), (10, 400.0), (11, 400.0)] {
        assert_is(found[month], by_hand, &format!("three months back, month {}", month + 1));
    }
}

#[test]
fn each_side_of_the_difference_remembers_its_own_peaks() {
    // base 50 kW round the clock, and 100 kW more in January; lights of 30 kW by day from January on. Ratchet of 90 %,
    // price 1. With: January 180, later 0.9 × 180 = 162. Without: January 150, later 135.
    let base = json!({ "base_load": [
        { "name": "always", "power": { "is": 50, "unit": "kW" } },
        { "name": "kiln", "power": { "is": 100, "unit": "kW" }, "when": { "months": [1] } }
    ] });
    let ratchet = json!({ "share": 0.9, "previous_months": 11 });
    let tariff = json!({ "energy": [{ "price": 0 }], "demand": [{ "price": 1, "ratchet": ratchet }] });
    let sheet = billed(&patched(lit(30.0, daily(&[("06:00", "18:00")]), tariff), base));
    for (month, [with, without]) in [(0, [180.0, 150.0]), (1, [162.0, 135.0]), (11, [162.0, 135.0])] {
        let bill = &sheet.bills[month];
        assert_is(bill.total.with, with, "with");
        assert_is(bill.total.without, without, "without");
        let measured = if month == 0 { 180.0 } else { 80.0 };
        assert_is(bill.lines.iter().map(|line| line.lifted_kw).sum(), with - measured, "kW that only the past brought");
    }
}

#[test]
fn charges_by_the_hour_add_up_each_with_its_own_peak() {
    // 100 kW by day, 40 kW of base by night: any time 100 × 3, by night (20:00–06:00) 40 × 2, by day 100 × 5
    let tariff = json!({ "energy": [{ "price": 0 }], "demand": [
        { "name": "any", "price": 3 },
        { "name": "night", "price": 2, "when": { "from": "20:00", "until": "06:00" } },
        { "name": "day", "price": 5, "when": { "from": "06:00", "until": "20:00" } }
    ] });
    let base = json!({ "base_load": [{ "name": "fans", "power": { "is": 40, "unit": "kW" },
                                       "when": { "from": "18:00", "until": "06:00" } }] });
    let bill = billed(&patched(day_lights(tariff), base)).bills.remove(0);
    for (name, with, without) in [("any", 300.0, 120.0), ("night", 80.0, 80.0), ("day", 500.0, 200.0)] {
        assert_is(lines(&bill, Side::With, "demand", |line| line == name), with, name);
        assert_is(lines(&bill, Side::Added, "demand", |line| line == name), with - without, name);
    }
}
