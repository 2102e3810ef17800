//! Rooms that share lights: demand over intervals in which two of them burn for a few minutes.
//!
//! Belongs here: overlaps of lights within a demand interval. Does not belong here: single rooms (`library`).

use calendar::Minute;
use decide::bill::{BillOrder, SheetBills, bills};
use serde_json::{Value, json};

use super::super::{cases, number};
use super::library::{file, imported};
use super::{Side, billed, daily, lines, lit};
use crate::support::{patched, plan};

/// Asserts bills against a case.
fn compare(case: &Value, sheet: &SheetBills) {
    for bill in &sheet.bills {
        let peak = bill.peaks.last().unwrap().kw_with;
        assert!((peak - number(case, "peak_kw")).abs() < 1e-6, "{case}: {peak} kW from {}", bill.first);
        let demand = lines(bill, Side::With, "demand", |_| true);
        assert!((demand - number(case, "demand")).abs() < 1e-5, "{case}: {demand} from {}", bill.first);
    }
    let total = sheet.total.with;
    assert!((total - number(case, "total")).abs() < 1e-4, "{case}: {total} in the year");
}

fn tariff(file: &Value, case: &Value) -> Value {
    let mut tariff = imported(&file["rate"]);
    tariff["demand_interval"] = case["interval"].clone();
    tariff
}

/// Both rooms as lights, under a case's interval.
fn two_rooms(file: &Value, case: &Value) -> Value {
    let room = &file["rooms"][0];
    lit(200.0, daily(&[(room["on"].as_str().unwrap(), room["off"].as_str().unwrap())]), tariff(file, case))
}

/// Bills of both rooms as lights.
fn staggered(scenario: &Value, file: &Value) -> SheetBills {
    let start = |room: usize| Minute::parse(file["rooms"][room]["on"].as_str().unwrap()).unwrap();
    let order = BillOrder { option: 0, months: 12, rooms: vec![start(0), start(1)] };
    bills(&plan(scenario), &order, "test").unwrap().sheets.remove(0)
}

#[test]
fn an_overlap_of_5_minutes_is_averaged_over_the_interval() {
    let file = file("two_rooms");
    for case in cases(&file) {
        let scenario = two_rooms(&file, case);
        compare(case, &staggered(&scenario, &file));
        // the peak is that of the changeover in the morning
        let sheet = staggered(&scenario, &file);
        assert_eq!(sheet.bills[1].peaks[0].at_with.as_deref(), Some("2018-02-01 06:00"));
    }
}

#[test]
fn rooms_are_in_use_whatever_is_said_of_a_single_one() {
    let file = file("two_rooms");
    for case in cases(&file) {
        let scenario = patched(two_rooms(&file, case), json!({ "photoperiod": { "already_running": false } }));
        compare(case, &staggered(&scenario, &file));
    }
}

#[test]
fn the_other_room_as_a_base_load_gives_the_same_peaks() {
    let file = file("two_rooms");
    for case in cases(&file) {
        let [lights, other] = [&file["rooms"][0], &file["rooms"][1]];
        let phases = daily(&[(lights["on"].as_str().unwrap(), lights["off"].as_str().unwrap())]);
        let base = json!({ "base_load": [{
            "name": "room 2",
            "power": { "is": other["kw"], "unit": "kW" },
            "when": { "from": other["on"], "until": other["off"] }
        }] });
        let scenario = patched(lit(number(lights, "kw"), phases, tariff(&file, case)), base);
        compare(case, &billed(&scenario));
    }
}
