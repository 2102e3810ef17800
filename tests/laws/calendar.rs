//! The calendar: what must hold for any photoperiod in any zone.

use calendar::Timeline;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{patched, plan, room};

/// The timeline of the room in a zone with a photoperiod.
pub fn timeline(start: &str, years: u32, zone: &str, photoperiod: Value) -> Timeline {
    let patch = json!({ "start": start, "horizon_years": years, "time_zone": zone, "photoperiod": photoperiod });
    plan(&patched(room(), patch)).clocks.remove(0).timeline
}

/// A photoperiod of one window every day.
pub fn daily(on: &str, off: &str) -> Value {
    json!({ "phases": [{ "name": "p", "days": 5, "lights": [{ "on": on, "off": off }] }] })
}

/// Lit hours of each month.
pub fn by_month(timeline: &Timeline) -> Vec<f64> {
    let mut hours = vec![0.0; timeline.months.len()];
    timeline.stretches.iter().for_each(|stretch| hours[stretch.month] += stretch.hours);
    hours
}

#[test]
fn a_year_lit_round_the_clock_has_8760_or_8784_hours_in_any_zone() {
    for zone in
        ["Etc/UTC", "America/Chicago", "Europe/Berlin", "Australia/Lord_Howe", "Asia/Kathmandu", "America/Sao_Paulo"]
    {
        for (year, hours) in [(2031, 8760.0), (2032, 8784.0), (2100, 8760.0)] {
            let found = timeline(&format!("{year}-01-01"), 1, zone, daily("00:00", "00:00"));
            assert_eq!(found.lit_hours, hours, "{zone} {year}");
            assert_eq!(found.elapsed_hours, hours, "{zone} {year}");
            assert_eq!(found.stretches.iter().filter(|stretch| stretch.starts).count(), 1, "{zone} {year}");
        }
    }
}

#[test]
fn months_lit_round_the_clock_have_their_days_times_24_hours() {
    let days = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let utc = by_month(&timeline("2032-01-01", 1, "Etc/UTC", daily("00:00", "24:00")));
    assert_eq!(utc, days.map(|days| 24.0 * f64::from(days)));
    // summer time takes an hour of March and gives one to November
    let chicago = by_month(&timeline("2032-01-01", 1, "America/Chicago", daily("00:00", "00:00")));
    let mut expected = utc;
    expected[2] -= 1.0;
    expected[10] += 1.0;
    assert_eq!(chicago, expected);
}

#[test]
fn a_window_over_midnight_ends_on_the_next_day_and_is_cut_by_the_horizon() {
    let found = timeline("2031-01-01", 1, "Etc/UTC", daily("21:30", "05:30"));
    // 365 nights of 8 h, of which the last has 2.5 h before the year ends
    assert_eq!(found.lit_hours, 365.0 * 8.0 - 5.5);
    let months = by_month(&found);
    assert_eq!(months[0], 31.0 * 8.0 - 5.5, "January begins without the end of a night");
    assert_eq!(months[1], 28.0 * 8.0);
    assert_eq!(found.stretches.iter().filter(|stretch| stretch.starts).count(), 365);
    // the last night is cut by the horizon, but the burn that a lamp starts there is as long as any other
    assert!(found.stretches.iter().all(|stretch| stretch.burn_hours == 8.0));
}

#[test]
fn turnaround_days_are_dark_and_each_cycle_ends_where_they_begin() {
    let photoperiod = json!({ "turnaround_days": 2, "phases": [
        { "name": "crop", "days": 8, "lights": [{ "on": "10:00", "off": "16:00" }] } ] });
    let found = timeline("2031-01-01", 1, "Etc/UTC", photoperiod);
    // 36 cycles of ten days and five more days
    assert_eq!(found.lit_hours, (36.0 * 8.0 + 5.0) * 6.0);
    assert_eq!(found.turns, (1..=36).map(|turn| 48.0 * f64::from(turn)).collect::<Vec<_>>());
    for stretch in &found.stretches {
        let day = (stretch.t / 24.0).floor();
        assert!(day % 10.0 < 8.0 && stretch.t == day * 24.0 + 10.0 && stretch.hours == 6.0, "{stretch:?}");
    }
}

#[test]
fn the_two_clocks_lead_from_one_to_the_other() {
    let found = timeline("2031-03-01", 2, "America/Chicago", daily("17:45", "06:10"));
    for k in 0..997 {
        let u = found.lit_hours * (f64::from(k) + 0.5) / 997.0;
        let t = found.elapsed_at(u);
        assert!((found.lit_before(t) - u).abs() < 1e-9, "{u}");
        let stretch = found.stretches[found.stretch_at(u)];
        assert!(stretch.u <= u && u <= stretch.u + stretch.hours, "{u}");
    }
    // in the dark the schedule stands still: noon lies between two nights of 12 h 25 min
    let nights = 12.0 + 25.0 / 60.0;
    assert_close(found.lit_before(24.0 + 12.0), nights, 1e-13, "hours before noon of the second day");
    assert_close(found.lit_before(24.0 + 17.0), nights, 1e-13, "hours before its evening");
}

/// Windows of a day in a zone, any of them over midnight, with a turnaround.
fn any_photoperiod() -> impl Strategy<Value = (Value, &'static str, u32)> {
    let zones =
        prop::sample::select(vec!["Etc/UTC", "America/Chicago", "Europe/London", "Pacific/Auckland", "Asia/Tehran"]);
    let minute = 0u32..1440;
    (minute.clone(), 1u32..1440, minute, 1u32..1440, 1u32..40, 0u32..6, zones, 1u32..3).prop_map(
        |(on, length, other_on, other_length, days, turnaround, zone, years)| {
            let text = |minute: u32| format!("{:02}:{:02}", minute / 60 % 24, minute % 60);
            let window = |on: u32, length: u32| json!([{ "on": text(on), "off": text(on + length) }]);
            let photoperiod = json!({ "turnaround_days": turnaround, "phases": [
                { "name": "a", "days": days, "lights": window(on, length) },
                { "name": "b", "days": 40 - days, "power": 0.5, "lights": window(other_on, other_length) }
            ] });
            (photoperiod, zone, years)
        },
    )
}

#[test]
fn stretches_tile_the_lit_time_without_gap_or_overlap() {
    let mut runner = TestRunner::new(Config { cases: 40, failure_persistence: None, ..Config::default() });
    runner
        .run(&any_photoperiod(), |(photoperiod, zone, years)| {
            let found = timeline("2031-03-01", years, zone, photoperiod);
            prop_assert_eq!(found.months.len(), 12 * years as usize);
            let (mut lit, mut end, mut month) = (0.0f64, 0.0, 0);
            for stretch in &found.stretches {
                prop_assert!((stretch.u - lit).abs() < 1e-9 && stretch.hours > 0.0);
                prop_assert!(
                    stretch.t > end - 1e-9 && stretch.month >= month && stretch.hours <= stretch.burn_hours + 1e-9
                );
                // a gap in time means that the lamps start again, and no gap that they go on
                prop_assert_eq!(stretch.starts, lit == 0.0 || stretch.t > end + 1e-9);
                (lit, end, month) = (lit + stretch.hours, stretch.t + stretch.hours, stretch.month);
            }
            prop_assert!((lit - found.lit_hours).abs() < 1e-6 && end <= found.elapsed_hours + 1e-9);
            let sum: f64 = by_month(&found).iter().sum();
            prop_assert!((sum - found.lit_hours).abs() < 1e-6);
            Ok(())
        })
        .unwrap();
}
