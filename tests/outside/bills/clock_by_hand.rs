//! Holidays and summer time on a bill, counted by hand on a wall calendar.
//!
//! Belongs here: hours and kinds of day that come under one price or another. Does not belong here: the length of
//! billing periods (`dates_by_hand`).

use serde_json::{Value, json};

use super::{Side, assert_is, billed, daily, day_lights, lines, lit};
use crate::support::patched;

/// 1 200 kWh a day: a holiday costs 1 200, a weekend day 600, any other 120.
fn holiday_prices(holidays: Value) -> Value {
    json!({
        "holidays": holidays,
        "energy": [
            { "name": "holiday", "when": { "days": ["holiday"] }, "price": 1 },
            { "name": "weekend", "when": { "days": ["weekend"] }, "price": 0.5 },
            { "name": "other", "price": 0.1 }
        ]
    })
}

fn from(start: &str, tariff: Value) -> Value {
    patched(day_lights(tariff), json!({ "start": start }))
}

#[test]
fn a_holiday_on_a_sunday_may_move_to_the_monday() {
    // January 2023 begins on a Sunday: Sundays 1, 8, 15, 22, 29, Saturdays 7, 14, 21, 28
    let january = |holidays: Value| {
        let bill = billed(&from("2023-01-01", holiday_prices(holidays))).bills.remove(0);
        ["holiday", "weekend", "other"].map(|name| lines(&bill, Side::With, "energy", |line| line == name))
    };
    // moved: the 2nd is the holiday, 9 weekend days, 21 others
    for observed in ["monday_after_sunday", "nearest_weekday"] {
        let holidays = json!({ "yearly": ["01-01"], "observed": observed });
        assert_eq!(january(holidays), [1200.0, 5400.0, 2520.0], "{observed}");
    }
    // as it falls: the 1st, 8 other weekend days, 22 others
    assert_eq!(january(json!({ "yearly": ["01-01"] })), [1200.0, 4800.0, 2640.0]);
    // a date is a date and never moves
    let stated = json!({ "dates": ["2023-01-01"], "observed": "monday_after_sunday" });
    assert_eq!(january(stated), [1200.0, 4800.0, 2640.0]);
}

#[test]
fn a_holiday_on_a_saturday_may_move_to_the_friday_even_into_the_year_before() {
    // 1 January 2028 is a Saturday, so that Friday 31 December 2027 is free; 1 January 2027 is a Friday itself
    let sheet = |observed: &str| {
        billed(&from("2027-01-01", holiday_prices(json!({ "yearly": ["01-01"], "observed": observed })))).bills
    };
    let holidays =
        |observed: &str, month: usize| lines(&sheet(observed)[month], Side::With, "energy", |name| name == "holiday");
    assert_eq!((holidays("nearest_weekday", 0), holidays("nearest_weekday", 11)), (1200.0, 1200.0));
    assert_eq!((holidays("monday_after_sunday", 0), holidays("monday_after_sunday", 11)), (1200.0, 0.0));
}

#[test]
fn a_holiday_may_be_billed_as_a_sunday_or_only_by_rules_that_name_it() {
    // January 2023 with the 2nd as a holiday and no price of its own: 10 or 9 weekend days
    let january = |billed_as: &str| {
        let holidays = json!({ "yearly": ["01-01"], "observed": "monday_after_sunday", "billed_as": billed_as });
        let mut tariff = holiday_prices(holidays);
        tariff["energy"].as_array_mut().unwrap().remove(0);
        billed(&from("2023-01-01", tariff)).bills[0].total.with
    };
    assert_eq!(january("weekend"), 6000.0 + 21.0 * 120.0);
    // then it is no weekday either, but the last price has no days and takes it
    assert_eq!(january("holiday_only"), 5400.0 + 22.0 * 120.0);
}

#[test]
fn a_weekday_of_a_month_is_found_by_its_number() {
    // 2023: the fourth Thursday of November is the 23rd, the last Monday of May the 29th, the first of September the 4th
    let holidays = json!({ "weekdays": [
        { "month": 11, "day": "thu", "nth": 4 },
        { "month": 5, "day": "mon", "nth": -1 },
        { "month": 9, "day": "mon", "nth": 1 }
    ] });
    let mut scenario = from("2023-01-01", holiday_prices(holidays));
    // bills of one day each, and what lies between them
    let days = ["2023-05-29", "2023-09-04", "2023-11-23"];
    let after = ["2023-05-30", "2023-09-05", "2023-11-24"];
    let dates = [days[0], after[0], days[1], after[1], days[2], after[2]];
    scenario["contracts"][0]["read_dates"] = json!(dates);
    let bills = billed(&scenario).bills;
    assert_eq!(bills.len(), 7);
    for bill in bills {
        let holiday = lines(&bill, Side::With, "energy", |name| name == "holiday");
        let expected = if days.contains(&bill.first.as_str()) { 1200.0 } else { 0.0 };
        assert_eq!(holiday, expected, "from {} to {}", bill.first, bill.last);
    }
}

#[test]
fn demand_in_weekday_hours_does_not_see_holidays() {
    // a bill of one day: Monday 25 May 2020, with and without being a holiday
    let window = json!({ "days": ["weekday"], "from": "08:00", "until": "20:00" });
    let day = |holidays: Value| {
        let demand = json!([{ "price": 10, "when": window }]);
        let tariff = json!({ "energy": [{ "price": 0 }], "demand": demand, "holidays": holidays });
        let mut scenario = from("2020-01-01", tariff);
        scenario["contracts"][0]["read_dates"] = json!(["2020-05-25", "2020-05-26", "2020-12-01"]);
        billed(&scenario).bills.remove(1)
    };
    assert_eq!(day(json!({ "dates": [] })).peaks[0].kw_with, 100.0);
    let holiday = day(json!({ "dates": ["2020-05-25"] }));
    assert_eq!((holiday.peaks[0].kw_with, holiday.total.with, holiday.days), (0.0, 0.0, 1.0));
}

/// Chicago in 2024: summer time from Sunday 10 March, 02:00, to Sunday 3 November, 02:00.
fn chicago(timer: &str, windows: &[(&str, &str)]) -> Value {
    let tariff = json!({
        "energy": [{ "name": "dear", "when": { "from": "14:00", "until": "20:00" }, "price": 0.3 },
                   { "name": "cheap", "price": 0.1 }],
        "demand": [{ "when": { "from": "14:00", "until": "20:00" }, "price": 10 }]
    });
    patched(
        lit(100.0, daily(windows), tariff),
        json!({ "start": "2024-01-01", "time_zone": "America/Chicago", "photoperiod": { "timer": timer } }),
    )
}

#[test]
fn march_has_a_day_of_23_hours_and_november_one_of_25() {
    let bills = billed(&chicago("civil", &[("00:00", "24:00")])).bills;
    // 100 kW round the clock
    for (month, hours) in [(1, 29.0 * 24.0), (2, 31.0 * 24.0 - 1.0), (3, 30.0 * 24.0), (10, 30.0 * 24.0 + 1.0)] {
        assert_is(bills[month].kwh_with, 100.0 * hours, &bills[month].first);
        let dear = lines(&bills[month], Side::With, "energy", |name| name == "dear");
        assert_is(dear, 100.0 * 6.0 * bills[month].days * 0.3, "six dear hours each day");
    }
}

#[test]
fn a_timer_on_the_wall_loses_the_hour_that_is_skipped_and_burns_the_one_that_comes_twice() {
    let kwh = |windows: &[(&str, &str)], month: usize| billed(&chicago("civil", windows)).bills[month].kwh_with;
    // 02:00 is skipped on 10 March: the lights start at 03:00 and burn 11 h
    assert_is(kwh(&[("02:00", "14:00")], 2), 100.0 * (31.0 * 12.0 - 1.0), "March, from 02:00");
    assert_is(kwh(&[("02:00", "14:00")], 10), 100.0 * 30.0 * 12.0, "November, from 02:00");
    // the hour from 01:00 comes twice on 3 November
    assert_is(kwh(&[("00:00", "12:00")], 10), 100.0 * (30.0 * 12.0 + 1.0), "November, from 00:00");
}

#[test]
fn a_timer_on_standard_time_moves_into_dear_hours_all_summer() {
    let bills = billed(&chicago("standard", &[("02:00", "14:00")])).bills;
    let dear = |month: usize| lines(&bills[month], Side::With, "energy", |name| name == "dear");
    let demand = |month: usize| lines(&bills[month], Side::With, "demand", |_| true);
    // 12 h each day, whatever the wall says
    for (month, days) in [(1, 29.0), (2, 31.0), (6, 31.0), (10, 30.0)] {
        assert_is(bills[month].kwh_with, 1200.0 * days, &bills[month].first);
    }
    // in summer the wall shows 03:00 to 15:00: one dear hour a day from 10 March (22 days) to 2 November (2 days)
    for (month, days) in [(1, 0.0), (2, 22.0), (6, 31.0), (10, 2.0), (11, 0.0)] {
        assert_is(dear(month), 100.0 * days * 0.3, &format!("dear hours of month {}", month + 1));
        assert_is(demand(month), if days > 0.0 { 1000.0 } else { 0.0 }, &format!("demand of month {}", month + 1));
    }
    // March: 35 000 kWh at 0.10, 2 200 at 0.30, and the demand charge
    assert_is(bills[2].total.with, 3500.0 + 660.0 + 1000.0, "March");
    // the same timer on the wall never meets a dear hour
    let wall = billed(&chicago("civil", &[("02:00", "14:00")]));
    assert!(wall.windows[0].kwh == 0.0 && bills.iter().map(|bill| bill.total.with).sum::<f64>() > wall.total.with);
}
