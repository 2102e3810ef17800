//! Where the library, or the form of a rate, may be read in more than one way: each reading, and which one is ours.
//!
//! Belongs here: bills that are right under one reading and wrong under another. Does not belong here: bills that all
//! agree on (`library`).

use scenario::import::{Fate, import};
use serde_json::{Value, json};

use super::super::{assert_close, cases, number};
use super::library::{case, differences, file, imported, only_demand, peak_hours_with_one_memory, room_of, scenario};
use super::{Side, billed, lines, lit, twelve};
use crate::support::patched;

/// Demand charges month by month.
fn demand(scenario: &Value) -> [f64; 12] {
    let sheet = billed(scenario);
    std::array::from_fn(|month| lines(&sheet.bills[month], Side::With, "demand", |_| true))
}

#[test]
fn a_ratchet_over_11_months_looks_back_on_11_also_over_the_new_year() {
    let file = file("demand_blocks");
    let case = case(&file, "t6_ratchet_history__D");
    let exact = twelve(&case["monthly"]["demand_flat"]);
    let library = twelve(&case["by_the_library"]["demand_flat"]);
    // only August differs: the peak of the August before is the twelfth month back
    assert_eq!((0..12).filter(|&month| exact[month] != library[month]).collect::<Vec<_>>(), [7]);
    let mut room = room_of("demand_blocks", &file, case);
    assert_eq!(demand(&room), exact);
    only_demand(&mut room["contracts"][0]["tariff"])["ratchet"]["previous_months"] = json!(12);
    assert_eq!(demand(&room), library, "twelve months are what the library looks back on");
    // and with nothing known of the time before, January has no 150 kW to pay for: 100 kW in blocks are 50·12 + 50·10
    room["contracts"][0]["peaks_before"] = json!([]);
    assert_eq!(demand(&room)[0], 1100.0);
}

#[test]
fn a_charge_for_each_day_is_billed_for_the_days_of_the_month() {
    let file = file("pge_e19");
    for case in cases(&file) {
        let sheet = billed(&room_of("pge_e19", &file, case));
        let ours: Vec<f64> = sheet.bills.iter().map(|bill| lines(bill, Side::With, "fixed", |_| true)).collect();
        let theirs = twelve(&case["fixed_by_the_library"]);
        // 31 days against 30.42, 28 against 30.42: up to 48 USD in a month, nothing in the year
        assert!((ours[0] - theirs[0] - 11.498975).abs() < 1e-5, "{} against {}", ours[0], theirs[0]);
        assert!((ours[1] - theirs[1] + 47.638614).abs() < 1e-5, "{} against {}", ours[1], theirs[1]);
        assert!((ours.iter().sum::<f64>() - theirs.iter().sum::<f64>()).abs() < 1e-5);
    }
}

#[test]
fn three_readings_of_blocks_in_two_periods_give_three_bills() {
    let file = file("blocks_by_hour");
    for reading in ["in_proportion", "in_time_order", "separate"] {
        for case in cases(&file) {
            let mut tariff = imported(&file["rate"]);
            assert_eq!(tariff["blocks_shared"], "in_proportion", "what is taken until a person decides");
            tariff["blocks_shared"] = json!(reading);
            let load = if case["id"].as_str().unwrap().contains("__A_") { "A" } else { "B" };
            let stated = number(&file["readings"][reading], load);
            // the year is stated to the cent
            let found = billed(&scenario(case, tariff)).total.with;
            assert!((found - stated).abs() <= 0.005, "{reading}, {load}: {found} against {stated}");
        }
    }
}

#[test]
fn peak_hours_of_two_seasons_are_one_charge_with_one_memory() {
    let file = file("demand_by_hour");
    let case = case(&file, "t5_toudemand_ratchet__B_12_12_2000");
    // 100 kW in the winter's peak hours lift the summer's, in which no lamp burns, to 80 kW: 3·100 + 16·80
    assert_eq!(demand(&room_of("demand_by_hour", &file, case))[5], 1580.0);
    // as two charges with memories of their own, the summer's has nothing to remember
    let mut room = room_of("demand_by_hour", &file, case);
    let ratchet = json!({ "share": 0.8, "previous_months": 11 });
    let mut tariff = imported(&file["rate"]);
    let rules = tariff["demand"].as_array_mut().unwrap();
    assert_eq!(rules.len(), 3, "one for each period of the rate");
    rules[1]["ratchet"] = ratchet.clone();
    rules[2]["ratchet"] = ratchet.clone();
    room["contracts"][0]["tariff"] = tariff;
    assert_eq!(demand(&room)[5], 300.0);
    // a ratchet on the other hours as well bills 100 kW there in each month, and nothing more
    let mut all = peak_hours_with_one_memory();
    all[0]["ratchet"] = ratchet;
    let mut room = room_of("demand_by_hour", &file, case);
    room["contracts"][0]["tariff"]["demand"] = all;
    assert_eq!(demand(&room)[5], 1580.0);
}

#[test]
fn a_look_back_in_the_rate_is_a_question_and_no_ratchet() {
    let mut rate = file("demand_by_hour")["rate"].clone();
    rate["lookbackpercent"] = json!(0.8);
    rate["lookbackrange"] = json!(11);
    let read = import(&rate.to_string(), "USD").unwrap();
    let asked: Vec<&str> =
        read.report.iter().filter(|line| line.fate == Fate::NeedsDecision).map(|line| line.member.as_str()).collect();
    assert!(asked.contains(&"lookbackpercent"), "{asked:?}");
    assert_eq!(read.tariff["open_questions"].as_array().unwrap().len(), 1);
    let rules = read.tariff["demand"].as_array().unwrap();
    assert!(rules.iter().all(|rule| rule.get("ratchet").is_none()), "{rules:?}");
}

#[test]
fn a_window_over_midnight_is_two_windows_that_touch_there() {
    let file = file("any_time_demand");
    let case = case(&file, "t4_tou_flatdemand__B_12_12_2000");
    let phases = super::daily(&[("00:00", "08:00"), ("20:00", "24:00")]);
    let cut = billed(&lit(100.0, phases, imported(&file["rate"])));
    assert_eq!(differences(case, &cut, "any-time demand"), Vec::<String>::new());
    // lights that start with the horizon miss the night before it: 8 h on a Monday in winter, at 0.08
    let mut fresh = room_of("any_time_demand", &file, case);
    fresh["photoperiod"]["already_running"] = json!(false);
    let (all, missing) = (cut.bills[0].total.with, billed(&fresh).bills[0].total.with);
    assert_close(all - missing, 100.0 * 8.0 * 0.08, 1e-9, "the night before");
}

#[test]
fn what_the_lights_add_is_no_bill_of_their_own() {
    // alone, the night's lights keep to the first block for half of each month; beside the base load they do not
    let file = file("blocks");
    let alone = case(&file, "t2_tier__B_12_12_2000");
    let added = case(&file, "incremental_t2_tier__B_12_12_2000");
    let fixed: f64 = twelve(&alone["monthly"]["fixed"]).iter().sum();
    assert_eq!((number(alone, "total") - fixed, number(added, "total")), (51_720.0, 57_984.0));
    let room = room_of("blocks", &file, added);
    let with = billed(&room);
    let without = billed(&patched(room, json!({ "base_load": [] })));
    assert!((with.total.difference - 57_984.0).abs() < 1e-6);
    assert!((without.total.with - fixed - 51_720.0).abs() < 1e-6);
}
