//! The search for the hours to light: what it says of a start is what a run with that start says.

use std::sync::atomic::AtomicBool;

use calendar::Minute;
use decide::hours::{HoursOrder, HoursReport, hours};
use engine::Settings;
use plan::Plan;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{demo, option, patched, plan, run, with_options};

const TRIALS: u64 = 400;

fn order() -> HoursOrder {
    HoursOrder {
        option: 0,
        step: 60,
        blocks: vec![],
        least_dark: 0,
        lit_during: vec![],
        dark_during: vec![],
        rooms: None,
        settings: Settings { seed: 5, trials: TRIALS, threads: 2, precision: None },
    }
}

fn search(plan: &Plan, order: &HoursOrder) -> HoursReport {
    hours(plan, order, "test", &AtomicBool::new(false), |_| {}).unwrap()
}

/// Present value of cost over present value of moles in a run, both means over its trials.
fn levelized(plan: &Plan, option: usize, contract: usize) -> f64 {
    let outcome = run(plan, TRIALS, 5);
    let cells = (0..TRIALS as usize).map(|trial| *outcome.cell(trial, option, contract));
    let (cost, moles) =
        cells.fold((0.0, 0.0), |(cost, moles), cell| (cost + cell.present, moles + cell.present / cell.levelized));
    cost / moles
}

#[test]
fn a_start_costs_what_a_run_with_it_costs() {
    let report = search(&plan(&demo()), &order());
    assert_eq!(report.sheets.len(), 2, "contracts that differ in their hours alone are one sheet");
    assert_eq!(report.patterns[0].on.len(), 24);
    for (sheet, contract) in [(0, 0), (1, 1)] {
        for on in ["21:00", "03:00", "13:00"] {
            let mut scenario = demo();
            scenario["contracts"][contract]["lights_on"] = json!(on);
            let plan = plan(&scenario);
            let start = report.patterns[0].on.iter().position(|known| known == on).unwrap();
            for option in 0..plan.options.len() {
                let found = report.patterns[0].levelized[start][sheet][option];
                let expected = levelized(&plan, option, contract);
                // as written the very same futures are priced; at other times of day the hour of a death and the month of a
                // mole differ a little, because a run lives them again on that clock
                let share = if on == "21:00" { 1e-9 } else { 3e-4 };
                assert_close(found, expected, share, &format!("{on}, option {option}, sheet {sheet}"));
            }
        }
    }
}

#[test]
fn more_blocks_a_day_are_lived_again_and_wear_lamps_out_sooner() {
    let report = search(&plan(&demo()), &HoursOrder { blocks: vec![2], least_dark: 8 * 60, ..order() });
    assert!(report.patterns.len() > 2, "one block, and two with several gaps");
    let (one, two) = (&report.patterns[0], &report.patterns[1]);
    assert_eq!((one.name.as_str(), two.name.as_str()), ("1 block of 12 h", "2 blocks of 6 h, 1 h apart"));
    assert!((two.starts as f64 / one.starts as f64 - 2.0).abs() < 0.01);
    // under the flat contract only the starts differ: more of them never cost less where lamps wear
    let flat = 0;
    for lamps in [0, 1] {
        assert!(two.levelized[3][flat][lamps] > one.levelized[3][flat][lamps] * 1.0001, "option {lamps}");
    }
    // the same hours written as two windows are the same pattern
    let mut scenario = demo();
    let lights = json!([{ "on": "21:00", "off": "03:00" }, { "on": "04:00", "off": "10:00" }]);
    scenario["photoperiod"]["phases"][0]["lights"] = lights;
    let start = two.on.iter().position(|on| on == "21:00").unwrap();
    for option in 0..4 {
        let expected = levelized(&plan(&scenario), option, 0);
        assert_close(two.levelized[start][flat][option], expected, 3e-4, &format!("option {option}"));
    }
}

#[test]
fn conditions_leave_only_the_starts_that_meet_them() {
    let minute = |text: &str| Minute::parse(text).unwrap();
    let strict = HoursOrder {
        lit_during: vec![(minute("06:00"), minute("08:00"))],
        dark_during: vec![(minute("17:30"), minute("20:30"))],
        ..order()
    };
    // twelve hours that hold 06 to 08 start from 20 to 06; those that are dark until 20:30 start at 21 or later, and those
    // that end by 17:30 at 05 at the latest
    let expected: Vec<String> = (0..=5).chain(21..=23).map(|hour| format!("{hour:02}:00")).collect();
    assert_eq!(search(&plan(&demo()), &strict).patterns[0].on, expected);
    let none = HoursOrder { least_dark: 12 * 60 + 1, ..order() };
    let refused = hours(&plan(&demo()), &none, "test", &AtomicBool::new(false), |_| {}).unwrap_err();
    assert!(refused.contains("no start of the lights meets the conditions"), "{refused}");
}

#[test]
fn the_answer_owes_nothing_to_the_number_of_threads() {
    let of = |threads: usize| {
        let settings = Settings { threads, ..order().settings };
        search(&plan(&demo()), &HoursOrder { settings, rooms: Some((2, 60)), ..order() })
    };
    let one = of(1);
    for threads in [2, 7] {
        assert_eq!(of(threads), one, "{threads} threads");
    }
}

/// One kilowatt lit from 06:00 to 18:00 in 2031, 10 an hour at noon and 1 else, 5 for each kW in the morning.
fn small(more: Value) -> Plan {
    let tariff = json!({
        "energy": [{ "when": { "from": "12:00", "until": "13:00" }, "price": 10 }, { "price": 1 }],
        "demand": [{ "when": { "from": "00:00", "until": "07:00" }, "price": 500 }]
    });
    let room = json!({
        "horizon_years": 1,
        "photoperiod": { "phases": [{ "name": "p", "days": 365, "lights": [{ "on": "06:00", "off": "18:00" }] }] },
        "contracts": [{ "name": "c", "tariff": tariff }]
    });
    plan(&patched(patched(with_options(vec![option("x")]), room), more))
}

#[test]
fn small_changes_cost_what_the_bill_says_by_hand() {
    let report = search(&small(json!({})), &order());
    let asked = &report.questions[0];
    let year = 365.0 * (11.0 + 10.0) + 12.0 * 500.0;
    assert_close(asked.year, year, 1e-12, "the year");
    assert_close(asked.one_more_hour.unwrap(), 365.0, 1e-12, "18:00 to 19:00");
    assert_close(asked.one_more_kw, year, 1e-12, "a kW more");
    assert_close(asked.overrun_daily.unwrap(), 365.0 / 4.0, 1e-12, "late every day");
    // 3 February 2031 is a Monday; 1 and 2 February are the weekend
    let (cost, day) = asked.overrun_once.clone().unwrap();
    assert_eq!(day, "2031-02-03");
    assert!((cost - 0.25).abs() < 1e-9, "{cost}");
    let prices = &asked.hour_prices;
    // the hour from 06:00 brings the morning peak, the one at noon costs ten; before 06:00 the peak is there already
    assert_close(prices[6].adds, 365.0 + 6000.0, 1e-12, "06:00");
    assert_close(prices[6].per_kwh, (365.0 + 6000.0) / 365.0, 1e-12, "06:00 by the kWh");
    assert_close(prices[12].adds, 3650.0, 1e-12, "noon");
    assert_close(prices[5].adds, 365.0, 1e-12, "05:00");
    assert_close(prices[20].adds, 365.0, 1e-12, "20:00");
    assert!(prices[6].lit && prices[17].lit && !prices[18].lit && !prices[5].lit);
}

#[test]
fn a_late_switch_off_into_a_demand_window_costs_the_peak_and_its_ratchet() {
    // lights off at 18:00; a window from 18:00 bills 12 for a kW and remembers all of it for eleven months
    let demand = json!([{ "when": { "from": "18:00", "until": "21:00" }, "price": 12,
                          "ratchet": { "share": 1, "previous_months": 11 } }]);
    let report = search(
        &small(json!({ "contracts": [{ "name": "c", "tariff": {
        "energy": [{ "price": 0 }], "demand": demand } }] })),
        &order(),
    );
    let (cost, _) = report.questions[0].overrun_once.clone().unwrap();
    // February and the ten months after it
    assert_close(cost, 11.0 * 12.0, 1e-12, "one quarter of an hour, once");
    assert_close(report.questions[0].overrun_daily.unwrap(), 12.0 * 12.0, 1e-12, "every day");
}

#[test]
fn rooms_start_apart_where_that_lowers_the_bill() {
    // twelve hours each, a price on the peak alone: two rooms in turn halve it; three in any order leave two thirds
    let tariff = json!({ "contracts": [{ "name": "c", "tariff": { "energy": [{ "price": 0 }], "demand": [{ "price": 100 }] } }] });
    for (count, peak) in [(2usize, 0.5), (3, 2.0 / 3.0), (4, 0.5)] {
        let step = if count == 4 { 360 } else { 60 };
        let report = search(&small(tariff.clone()), &HoursOrder { rooms: Some((count, step)), ..order() });
        let found = &report.rooms[0];
        assert!(found.exhaustive);
        assert_close(found.together.peak_kw, 1.0, 1e-12, "together");
        assert_close(found.cheapest.peak_kw, peak, 1e-9, "the site's peak");
        assert_close(found.cheapest.year, 1200.0 * peak, 1e-9, "the year");
        assert_close(found.lowest_peak.peak_kw, peak, 1e-9, "the lowest peak");
    }
    // downhill finds the same where not every combination is tried
    let many = HoursOrder { rooms: Some((6, 60)), ..order() };
    let found = &search(&small(tariff), &many).rooms[0];
    assert!(!found.exhaustive);
    assert_close(found.cheapest.peak_kw, 0.5, 1e-9, "six rooms");
}

#[test]
fn an_hour_left_out_of_the_night_saves_that_hour_of_every_night() {
    // 21:00 to 09:00 at one price: each hour costs 365 kWh of it, the first morning's too
    let night = json!({ "photoperiod": { "phases": [{ "name": "p", "days": 365, "lights": [{ "on": "21:00", "off": "09:00" }] }] },
                        "contracts": [{ "name": "c", "tariff": { "energy": [{ "price": 1 }] } }] });
    let asked = &search(&small(night), &order()).questions[0];
    assert_close(asked.year, 365.0 * 12.0, 1e-12, "the year");
    for (hour, price) in asked.hour_prices.iter().enumerate() {
        assert_close(price.adds, 365.0, 1e-12, &format!("{hour}:00"));
        assert_close(price.per_kwh, 1.0, 1e-12, &format!("{hour}:00 by the kWh"));
    }
}
