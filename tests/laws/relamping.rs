//! Relamping: counts that algebra knows, and policies that must come to the same.

use serde_json::{Value, json};

use super::{assert_close, columns};
use crate::support::{demo, lamped, lived, option, patched, plan, run, with_options};

#[test]
fn lamps_without_spread_fail_at_every_multiple_of_their_median() {
    // 87 672 h from 2031: ten lives of 8 600 h, or nine of 8 600 h with a fortnight of waiting after each
    for (days, failures) in [(0.0, 10.0), (14.0, 9.0)] {
        let lamps = patched(
            lamped("x", 8_600.0, 1e6, json!({ "on_failure": {} })),
            json!({ "fixtures": 30, "upkeep": { "found_after": days } }),
        );
        let plan = plan(&with_options(vec![lamps]));
        let outcome = run(&plan, 20, 1);
        for trial in 0..20 {
            let life = outcome.life(trial, 0, 0);
            assert_eq!((life.failures, life.lamps_bought), (30.0 * failures, 30.0 * failures));
            assert_close(life.dark_hours, 30.0 * failures * 24.0 * days, 1e-12, "dark hours");
        }
    }
}

#[test]
fn a_group_interval_beyond_the_horizon_is_spot_replacement_only() {
    let mut scenario = demo();
    let upkeep = "/options/1/upkeep/relamp";
    *scenario.pointer_mut(upkeep).unwrap() = json!({ "on_failure": {} });
    let spot = plan(&scenario);
    let lit = spot.clocks.iter().map(|clock| clock.timeline.lit_hours).fold(0.0, f64::max);
    *scenario.pointer_mut(upkeep).unwrap() = json!({ "group": { "every": lit, "spot_between": true } });
    let group = plan(&scenario);
    *scenario.pointer_mut(upkeep).unwrap() = json!({ "by_age": { "at": lit } });
    scenario["options"][1]["upkeep"]["planned_labour"] = json!(15);
    let age = plan(&scenario);
    let [spot_run, group_run, age_run] = [&spot, &group, &age].map(|plan| run(plan, 100, 2));
    for (k, contract) in spot.contracts.iter().enumerate() {
        let expected = columns(&spot_run, 1, k, contract.clock);
        assert_eq!(columns(&group_run, 1, k, contract.clock), expected);
        assert_eq!(columns(&age_run, 1, k, contract.clock), expected);
    }
    assert!(spot_run.lives_of(1, 0, |life| life.failures).iter().sum::<f64>() > 100.0);
}

#[test]
fn a_group_that_waits_for_a_turnaround_comes_at_the_next_one() {
    // ten days a cycle, eight of them lit for 6 h: a turnaround each 48 schedule hours; 100 h are due at 144, 288 …
    let photoperiod = json!({ "turnaround_days": 2, "phases": [
        { "name": "crop", "days": 8, "lights": [{ "on": "08:00", "off": "14:00" }] } ] });
    let group = json!({ "group": { "every": 100, "at_turnaround": true } });
    let lamps = patched(lamped("x", 1e6, 1e6, group), json!({ "fixtures": 3 }));
    let room = patched(with_options(vec![lamps]), json!({ "horizon_years": 1, "photoperiod": photoperiod }));
    let plan = plan(&room);
    let ledger = lived(&plan, 0, 3, 0);
    // turnarounds begin on days 8, 18, 28 … of 2031 (day 0 is 1 January), and every third is used: days 28, 58 … 358.
    // A turnaround over the end of a month may count in the month in which it begins or in the one in which it ends.
    let month = |day: i32| {
        (1..=12).filter(|&m| [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334][m - 1] <= day).count() - 1
    };
    let mut left = ledger.planned_lamps.clone();
    for day in (28..365).step_by(30) {
        let booked = [month(day), month(day + 2)].into_iter().find(|&month| left[month] >= 3);
        left[booked.unwrap_or_else(|| panic!("day {day}: {:?}", ledger.planned_lamps))] -= 3;
    }
    assert_eq!(left, [0; 12]);
    assert_eq!(ledger.lamps_bought(), 36);
}

#[test]
fn every_failed_lamp_is_replaced_once_when_the_crew_comes_at_once() {
    let policies =
        [json!({ "on_failure": {} }), json!({ "by_age": { "at": 9_000 } }), json!({ "group": { "every": 9_000 } })];
    for policy in policies {
        let plan = plan(&with_options(vec![patched(lamped("x", 7_000.0, 2.0, policy), json!({ "fixtures": 10 }))]));
        for trial in 0..30 {
            let ledger = lived(&plan, 0, 4, trial);
            assert_eq!(ledger.spot_lamps, ledger.lamp_failures);
            assert_eq!((ledger.dark_hours, ledger.burn_hours), (0.0, 876_720.0));
        }
    }
}

#[test]
fn a_group_relamp_without_spot_replacement_leaves_failed_sockets_dark_until_it_comes() {
    // lamps that all die at 3 000 h, relamped at 5 000, 10 000 … 85 000 h: eighteen stretches, the last of 2 672 h
    let group = json!({ "group": { "every": 5_000, "spot_between": false } });
    let plan = plan(&with_options(vec![patched(lamped("x", 3_000.0, 1e6, group), json!({ "fixtures": 4 }))]));
    let ledger = lived(&plan, 0, 5, 0);
    assert_eq!((ledger.lamps_bought(), ledger.failures()), (4 * 17, 4 * 17));
    assert_close(ledger.dark_hours, 4.0 * 17.0 * 2_000.0, 3e-5, "dark hours");
}

#[test]
fn gear_that_is_down_neither_burns_nor_ages_its_lamp() {
    let gear = |days: f64| {
        let gear = json!({ "failures_per_year": 3, "price": 1, "labour": 1 });
        json!({ "gear": gear, "upkeep": { "found_after": days } })
    };
    // a lamp for ever under failing gear: every failure costs its wait and a repair, and no lamp
    let lamps = patched(lamped("x", 1e6, 1e6, json!({ "on_failure": {} })), gear(5.0));
    let plan = plan(&with_options(vec![lamps, patched(option("bars"), gear(5.0))]));
    let mut seen = 0;
    for trial in 0..40 {
        let (arc, bars) = (lived(&plan, 0, 6, trial), lived(&plan, 1, 6, trial));
        assert_eq!(arc.lamps_bought(), 0);
        assert_eq!(arc.gear_failures, bars.gear_failures);
        assert_eq!(arc.dark_hours, bars.dark_hours);
        let repairs: u32 = arc.gear_repairs.iter().sum();
        let failures: u32 = arc.gear_failures.iter().sum();
        let waits = arc.dark_hours / 120.0;
        // the last wait may be cut by the horizon
        assert!((f64::from(repairs) - 1e-9..=f64::from(failures) + 1e-9).contains(&waits) && failures - repairs <= 1);
        seen += failures;
    }
    // 3 a year for ten years, less some days of waiting: 30 within 4.5 standard deviations of 40 Poisson counts
    assert!((f64::from(seen) / 40.0 - 28.8).abs() < 4.5 * (30.0f64 / 40.0).sqrt(), "{seen}");
}

#[test]
fn early_failures_that_never_happen_change_nothing() {
    let with = |early: Value| {
        let lamps =
            patched(lamped("x", 7_000.0, 2.0, json!({ "on_failure": {} })), json!({ "lamp": { "life": early } }));
        columns(&run(&plan(&with_options(vec![lamps])), 50, 7), 0, 0, 0)
    };
    let none = with(json!({}));
    assert_eq!(with(json!({ "early": { "share": 0, "within": 500 } })), none);
    assert_ne!(with(json!({ "early": { "share": 0.3, "within": 500 } })), none);
}
