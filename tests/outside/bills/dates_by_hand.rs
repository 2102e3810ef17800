//! Bills off the calendar month, seasons and leap days, worked out by hand.
//!
//! Belongs here: which days a bill has, and what a period cut by a season or by the horizon pays. Does not belong here:
//! hours of the day and holidays (`clock_by_hand`).

use decide::bill::{Bill, SheetBills};
use serde_json::{Value, json};

use super::{Side, assert_is, billed, day_lights, lines};
use crate::support::patched;

fn read_on(day: u8, tariff: Value) -> SheetBills {
    let mut scenario = day_lights(tariff);
    scenario["contracts"][0]["read_day"] = json!(day);
    billed(&scenario)
}

fn ending<'a>(sheet: &'a SheetBills, last: &str) -> &'a Bill {
    sheet.bills.iter().find(|bill| bill.last == last).unwrap_or_else(|| panic!("no bill ends on {last}"))
}

fn seasons(more: Value) -> Value {
    let plain =
        json!({ "seasons": { "summer": "06-01..09-30", "winter": "10-01..05-31" }, "energy": [{ "price": 0 }] });
    patched(plain, more)
}

#[test]
fn bills_run_from_reading_to_reading() {
    let sheet = read_on(14, json!({ "energy": [{ "price": 0.1 }] }));
    let dates: Vec<(&str, &str, f64)> =
        sheet.bills.iter().map(|bill| (bill.first.as_str(), bill.last.as_str(), bill.days)).collect();
    assert_eq!(dates[0], ("2018-01-01", "2018-01-13", 13.0));
    assert_eq!(dates[1], ("2018-01-14", "2018-02-13", 31.0));
    assert_eq!(dates[2], ("2018-02-14", "2018-03-13", 28.0));
    assert_eq!(dates[11], ("2018-11-14", "2018-12-13", 30.0));
    assert_eq!(dates[12], ("2018-12-14", "2018-12-31", 18.0));
    assert_eq!(dates.len(), 13);
    for bill in &sheet.bills {
        // 1 200 kWh a day at 0.10
        assert_is(bill.total.with, 120.0 * bill.days, &bill.last);
    }
}

#[test]
fn a_cut_period_pays_a_months_charges_by_its_days() {
    let tariff = json!({
        "energy": [{ "price": 0 }],
        "demand": [{ "name": "d", "price": 8 }],
        "fixed": [{ "name": "month", "price": 31, "each": "month" }, { "name": "day", "price": 2, "each": "day" },
                  { "name": "year", "price": 730, "each": "year" }],
        "minimum_bill": { "price": 62, "each": "month", "counts": ["riders"] }
    });
    let sheet = read_on(14, tariff);
    let part =
        |bill: &Bill, part: &str, name: &str| lines(bill, Side::With, part, |line| line == name || name.is_empty());
    // 1 to 13 January are 13 of the 31 days from 14 December to 13 January: demand 100 × 8 × 13/31 = 335.483871,
    // month 31 × 13/31 = 13, days 26, year 730 × 13/365 = 26, and the minimum 62 × 13/31 = 26
    let first = &sheet.bills[0];
    assert_is(part(first, "demand", ""), 335.483_871, "demand");
    assert_is(part(first, "fixed", "month"), 13.0, "month");
    assert_is(part(first, "fixed", "day"), 26.0, "day");
    assert_is(part(first, "fixed", "year"), 26.0, "year");
    assert_is(part(first, "minimum", ""), 26.0, "minimum");
    // a whole period pays a whole month's, whether it has 28 days or 31
    for last in ["2018-02-13", "2018-03-13"] {
        let bill = ending(&sheet, last);
        assert_is(part(bill, "demand", ""), 800.0, last);
        assert_is(part(bill, "fixed", "month"), 31.0, last);
        assert_is(part(bill, "fixed", "day"), 2.0 * bill.days, last);
    }
    // 14 to 31 December are 18 of 31 days: 800 × 18/31 = 464.516129, so that both ends make a whole month
    assert_is(part(ending(&sheet, "2018-12-31"), "demand", ""), 464.516_129, "demand at the end");
}

#[test]
fn a_season_that_changes_inside_a_period_splits_energy_by_date() {
    let summer = json!({ "name": "summer", "when": { "seasons": ["summer"] }, "price": 0.2 });
    let sheet = read_on(14, seasons(json!({ "energy": [summer, { "name": "winter", "price": 0.1 }] })));
    // 14 May to 13 June: 18 winter days (14 to 31 May) of 1 200 kWh at 0.10 and 13 summer days at 0.20
    let bill = ending(&sheet, "2018-06-13");
    assert_is(lines(bill, Side::With, "energy", |name| name == "winter"), 2160.0, "winter");
    assert_is(lines(bill, Side::With, "energy", |name| name == "summer"), 3120.0, "summer");
    // 14 September to 13 October: 17 summer days and 13 winter ones
    let bill = ending(&sheet, "2018-10-13");
    assert_is(bill.total.with, 17.0 * 240.0 + 13.0 * 120.0, "autumn");
}

#[test]
fn a_season_that_changes_inside_a_period_prices_demand_by_days() {
    let tariff = seasons(json!({ "demand": [{ "name": "d", "by_season": { "summer": 16, "winter": 8 } }] }));
    let sheet = read_on(14, tariff);
    // (18 × 8 + 13 × 16) / 31 = 11.354839 for 100 kW
    assert_is(ending(&sheet, "2018-06-13").total.with, 1_135.483_871, "two seasons");
    assert_is(ending(&sheet, "2018-07-13").total.with, 1600.0, "summer");
    assert_is(sheet.bills[0].total.with, 800.0 * 13.0 / 31.0, "cut, winter");
    // a charge that has hours in summer only is in force on 13 of 31 days: 16 × 100 × 13/31
    let rule = json!({ "name": "d", "price": 16, "when": { "seasons": ["summer"] } });
    let sheet = read_on(14, seasons(json!({ "demand": [rule] })));
    assert_is(ending(&sheet, "2018-06-13").total.with, 670.967_742, "summer only");
    assert_is(ending(&sheet, "2018-05-13").total.with, 0.0, "before");
    // prices by month: May 9, June 12: (18 × 9 + 13 × 12) / 31 × 100 = 1 025.806452
    let by_month: Vec<u32> = (1..=12).map(|month| if month < 6 { 9 } else { 12 }).collect();
    let sheet = read_on(14, json!({ "energy": [{ "price": 0 }], "demand": [{ "by_month": by_month }] }));
    assert_is(ending(&sheet, "2018-06-13").total.with, 1_025.806_452, "two months");
}

#[test]
fn riders_and_blocks_of_a_period_off_the_month() {
    let by_month: Vec<f64> = (1..=12).map(|month| 0.01 * f64::from(month)).collect();
    let sheet = read_on(14, json!({ "energy": [{ "price": 0 }], "riders": [{ "by_month": by_month }] }));
    // 14 January to 13 February: 18 days × 1 200 × 0.01 + 13 days × 1 200 × 0.02 = 216 + 312
    assert_is(ending(&sheet, "2018-02-13").total.with, 528.0, "riders by date");
    // a bound in kWh holds for the period, also a cut one: 13 days are 15 600 kWh; 31 days 37 200
    let blocks = json!([{ "up_to": 20_000, "price": 0.1 }, { "price": 0.2 }]);
    let sheet = read_on(14, json!({ "energy": [{ "blocks": blocks }] }));
    assert_is(sheet.bills[0].total.with, 1560.0, "a cut period within the block");
    assert_is(sheet.bills[1].total.with, 2000.0 + 3440.0, "a whole one beyond it");
}

#[test]
fn stated_reading_dates_are_taken_as_they_are() {
    let tariff = json!({ "energy": [{ "price": 0.1 }], "fixed": [{ "price": 30, "each": "month" }] });
    let mut scenario = day_lights(tariff);
    let dates: Vec<&str> = vec![
        "2018-01-15",
        "2018-02-13",
        "2018-03-19",
        "2018-04-16",
        "2018-05-15",
        "2018-06-14",
        "2018-07-16",
        "2018-08-14",
        "2018-09-13",
        "2018-10-15",
        "2018-11-14",
        "2018-12-13",
    ];
    scenario["contracts"][0]["read_dates"] = json!(dates);
    let sheet = billed(&scenario);
    // 13 February to 18 March: 34 days × 120, and a whole month's charge
    assert_is(ending(&sheet, "2018-03-18").total.with, 4080.0 + 30.0, "34 days");
    // nobody knows how long the cut periods would have been: 14 and 19 days of an average month of 365/12
    assert_is(sheet.bills[0].total.with, 14.0 * 120.0 + 30.0 * 14.0 * 12.0 / 365.0, "first");
    assert_is(ending(&sheet, "2018-12-31").total.with, 19.0 * 120.0 + 30.0 * 19.0 * 12.0 / 365.0, "last");
}

#[test]
fn a_leap_day_is_a_day_like_any_other() {
    let tariff = json!({
        "seasons": { "late": "03-01..12-31", "early": "01-01..02-28" },
        "energy": [{ "name": "late", "when": { "seasons": ["late"] }, "price": 0.5 }, { "name": "early", "price": 0.1 }],
        "fixed": [{ "name": "day", "price": 2, "each": "day" }, { "name": "year", "price": 366, "each": "year" }]
    });
    let sheet = billed(&patched(day_lights(tariff), json!({ "start": "2024-01-01" })));
    let february = &sheet.bills[1];
    assert_eq!((february.days, february.last.as_str()), (29.0, "2024-02-29"));
    // 29 × 1 200 × 0.10, all in the season of the 28th
    assert_is(lines(february, Side::With, "energy", |name| name == "early"), 3480.0, "energy");
    assert_is(lines(february, Side::With, "energy", |name| name == "late"), 0.0, "no day of March");
    assert_is(lines(february, Side::With, "fixed", |name| name == "day"), 58.0, "29 days");
    assert_is(lines(february, Side::With, "fixed", |name| name == "year"), 29.0, "29 of 366 days");
    assert_is(
        sheet.bills.iter().map(|bill| lines(bill, Side::With, "fixed", |name| name == "year")).sum(),
        366.0,
        "year",
    );
}

#[test]
fn a_season_may_run_over_the_new_year() {
    // a southern summer: December, January, February; 20 December to 10 January would do as well
    let rule = |season: &str, price: f64| json!({ "when": { "seasons": [season] }, "price": price });
    let sheet = |seasons: Value| {
        billed(&day_lights(json!({ "seasons": seasons, "energy": [rule("hot", 0.2), rule("cool", 0.1)] })))
    };
    let months: Vec<f64> = sheet(json!({ "hot": "12-01..02-28", "cool": "03-01..11-30" }))
        .bills
        .iter()
        .map(|bill| bill.total.with / bill.days)
        .collect();
    for (month, a_day) in months.into_iter().enumerate() {
        assert_is(a_day, if [0, 1, 11].contains(&month) { 240.0 } else { 120.0 }, &format!("month {}", month + 1));
    }
    // 10 hot days in January, 12 in December (20 to 31)
    let sheet = sheet(json!({ "hot": "12-20..01-10", "cool": "01-11..12-19" }));
    assert_is(sheet.bills[0].total.with, 10.0 * 240.0 + 21.0 * 120.0, "January");
    assert_is(sheet.bills[11].total.with, 12.0 * 240.0 + 19.0 * 120.0, "December");
}
