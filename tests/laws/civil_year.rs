//! Chicago in 2024, counted by hand on a wall calendar.
//!
//! Summer time began on Sunday 10 March at 02:00 and ended on Sunday 3 November at 02:00. 2024 was a leap year; 1 March
//! was a Friday.

use calendar::{Days, Timeline};
use jiff::civil::date;
use serde_json::{Value, json};

use super::calendar::{by_month, daily, timeline};
use crate::support::{option, patched, plan, with_options};

fn chicago(photoperiod: Value) -> Timeline {
    timeline("2024-03-01", 1, "America/Chicago", photoperiod)
}

/// Hours of every burn from a month's stretches, each burn once, by its start.
fn burns(timeline: &Timeline, month: usize) -> Vec<f64> {
    let starts = timeline.stretches.iter().filter(|stretch| stretch.starts && stretch.month == month);
    starts.map(|stretch| stretch.burn_hours).collect()
}

#[test]
fn a_night_window_loses_an_hour_in_march_and_gains_one_in_november() {
    let found = chicago(daily("21:00", "09:00"));
    let months = by_month(&found);
    // 1 March has 3 h (its morning belongs to no night of the plan), 30 days have 12 h, and 10 March lost one
    assert_eq!(months[0], 3.0 + 30.0 * 12.0 - 1.0);
    assert_eq!(months[1], 30.0 * 12.0);
    assert_eq!(months[8], 30.0 * 12.0 + 1.0);
    // 365 nights to the end of February 2025, the last cut after 3 h; the two changes cancel
    assert_eq!(found.lit_hours, 365.0 * 12.0 - 9.0);
    let mut nights = vec![12.0; 31];
    nights[8] = 11.0;
    assert_eq!(burns(&found, 0), nights, "the night of 9 March has 11 h");
    let mut nights = vec![12.0; 30];
    nights[1] = 13.0;
    assert_eq!(burns(&found, 8), nights, "the night of 2 November has 13 h");
}

#[test]
fn a_timer_on_standard_time_burns_12_hours_every_night_of_the_year() {
    let mut photoperiod = daily("21:00", "09:00");
    photoperiod["timer"] = json!("standard");
    let found = chicago(photoperiod);
    for month in 0..11 {
        let days = [31, 30, 31, 30, 31, 31, 30, 31, 30, 31, 31][month];
        assert_eq!(burns(&found, month), vec![12.0; days]);
    }
    // on the wall, summer nights run from 22:00 to 10:00
    let days = Days::new("America/Chicago", date(2024, 3, 1), date(2025, 3, 1)).unwrap();
    let evenings = |month: usize| {
        let starts = found.stretches.iter().filter(|stretch| stretch.starts && stretch.month == month);
        starts.map(|stretch| days.at((stretch.t * 3600.0).round() as i64).1 / 3600).collect::<Vec<_>>()
    };
    assert_eq!(evenings(0), [vec![21; 9], vec![22; 22]].concat(), "March, from the 10th on an hour later");
    assert_eq!(evenings(4), vec![22; 31]);
    assert_eq!(evenings(8), [vec![22; 2], vec![21; 28]].concat(), "November, from the 3rd on an hour earlier");
    // March ends at midnight on the wall, an hour before standard midnight: 3 h, 30 whole dates, less that hour
    assert_eq!(by_month(&found)[0], 362.0);
    assert_eq!(found.lit_hours, 365.0 * 12.0 - 9.0);
}

#[test]
fn an_hour_that_the_clock_skips_is_no_light_and_an_hour_that_it_repeats_is_lit_once() {
    // 01:30 to 03:30 on the wall: 10 March has one hour of it, 3 November has three
    let found = chicago(daily("01:30", "03:30"));
    let months = by_month(&found);
    assert_eq!((months[0], months[8]), (31.0 * 2.0 - 1.0, 30.0 * 2.0 + 1.0));
    // lights on at 02:30, which 10 March does not have: on at 03:30 by the moved clock, off at 04:00
    let found = chicago(daily("02:30", "04:00"));
    assert_eq!(burns(&found, 0)[9], 0.5);
    // lights off at 01:30, which 3 November has twice: off at the first
    let found = chicago(daily("00:30", "01:30"));
    assert_eq!(burns(&found, 8)[2], 1.0);
}

#[test]
fn hours_of_a_tariff_window_are_those_of_the_wall_calendar() {
    // weekend nights from midnight to six, lit round the clock by one kilowatt
    let energy = json!([{ "when": { "days": ["weekend"], "until": "06:00" }, "price": 1 }, { "price": 0 }]);
    let room = json!({
        "start": "2024-03-01", "horizon_years": 1, "time_zone": "America/Chicago",
        "contracts": [{ "name": "c", "tariff": { "energy": energy } }]
    });
    let plan = plan(&patched(with_options(vec![option("x")]), room));
    let registers = &plan.contracts[0].lit.registers;
    let hours = |month: usize| registers[month].kwh[0].lights;
    // March: Saturdays 2, 9, 16, 23, 30 and Sundays 3, 10, 17, 24, 31, the 10th an hour short
    assert!((hours(0) - 59.0).abs() < 1e-9, "{}", hours(0));
    // April: Saturdays 6, 13, 20, 27 and Sundays 7, 14, 21, 28
    assert!((hours(1) - 48.0).abs() < 1e-9, "{}", hours(1));
    // November: Saturdays 2, 9, 16, 23, 30 and Sundays 3, 10, 17, 24, the 3rd an hour long
    assert!((hours(8) - 55.0).abs() < 1e-9, "{}", hours(8));
    let november = hours(8) + registers[8].kwh[1].lights;
    assert!((november - 721.0).abs() < 1e-9, "{november}");
}

#[test]
fn a_room_in_use_is_lit_from_the_first_midnight_by_the_evening_before() {
    let running = |on: &str, off: &str, timer: &str| {
        let mut photoperiod = daily(on, off);
        photoperiod["already_running"] = json!(true);
        photoperiod["timer"] = json!(timer);
        photoperiod
    };
    // March 2024: 31 nights from 21:00, of which the last is lit for 3 h, and 9 h of the night before; less the lost hour
    let found = chicago(running("21:00", "09:00", "civil"));
    assert_eq!(by_month(&found)[0], 31.0 * 12.0 - 1.0);
    assert_eq!(found.stretches[0].t, 0.0);
    assert!(!found.stretches[0].starts, "it began before");
    assert_eq!(found.stretches[0].burn_hours, 12.0);
    // from July on the wall is an hour ahead: standard 23:00 of 30 June is the first midnight, and 23:30 comes after it
    for (on, off, first) in [("23:00", "05:00", 0.0), ("23:30", "05:00", 0.5), ("23:30", "23:45", 0.5)] {
        let found = timeline("2024-07-01", 1, "America/Chicago", running(on, off, "standard"));
        assert_eq!(found.stretches[0].t, first, "{on}");
        assert!(found.stretches[0].starts, "{on}");
    }
    // cut at midnight it is the same burn: it began before, and is as long
    let mut cut = running("21:00", "00:00", "civil");
    cut["phases"][0]["lights"] = json!([{ "on": "21:00", "off": "00:00" }, { "on": "00:00", "off": "09:00" }]);
    let found = chicago(cut);
    assert_eq!((found.stretches[0].t, found.stretches[0].starts, found.stretches[0].burn_hours), (0.0, false, 12.0));
}
