//! Parts with clocks of their own, power that drifts, lamps that were there before, and the wear of starts.

use engine::{Cause, Ledger};
use plan::Plan;
use renewal::Renewal;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lamped, lived, option, patched, plan, priced, with_options};

/// Standard errors that a simulated mean may lie off; one comparison in 150 000 fails by chance.
const ERRORS: f64 = 4.5;

/// A room of one option for two years, lit for so many hours a day from midnight on.
fn one(option: Value, hours: u32) -> Plan {
    let off = format!("{:02}:00", hours % 24);
    plan(&patched(
        with_options(vec![option]),
        json!({ "horizon_years": 2, "photoperiod": { "phases": [
            { "name": "all", "days": 100, "lights": [{ "on": "00:00", "off": off }] }] } }),
    ))
}

fn part(changes: Value) -> Value {
    patched(json!({ "name": "part", "b50": 5_000, "price": 0, "labour": 0 }), changes)
}

fn repairs(ledger: &Ledger) -> u32 {
    ledger.repairs.iter().flatten().sum()
}

/// Asserts repairs per socket of 400 bars over 25 trials.
#[track_caller]
fn assert_repairs(component: Value, hours: u32, expected: f64) {
    let plan = one(patched(option("bars"), json!({ "fixtures": 400, "components": [component] })), hours);
    let counts: Vec<f64> = (0..25).map(|trial| f64::from(repairs(&lived(&plan, 0, 21, trial))) / 400.0).collect();
    let mean = counts.iter().sum::<f64>() / 25.0;
    let error = (counts.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / 24.0 / 25.0).sqrt();
    assert!(error < 0.02 * expected, "± {error} of {expected} does not bite");
    assert!((mean - expected).abs() < ERRORS * error, "{mean} ± {error}, not {expected}");
}

fn renewals(b50: f64, shape: f64, hours: f64) -> f64 {
    let survival = move |age: f64| (-std::f64::consts::LN_2 * (age / b50).powf(shape)).exp();
    Renewal::new(&survival, &[], 0.0, hours).unwrap().count(hours)
}

#[test]
fn parts_fail_by_their_own_clock() {
    // 731 days: 8 772 burn hours at 12 h a day, 17 544 h by the calendar
    for shape in [1.0, 2.5] {
        for darkens in [true, false] {
            assert_repairs(part(json!({ "shape": shape, "darkens": darkens })), 12, renewals(5_000.0, shape, 8_772.0));
            let calendar = part(json!({ "shape": shape, "darkens": darkens, "clock": "calendar" }));
            assert_repairs(calendar, 12, renewals(5_000.0, shape, 17_544.0));
        }
    }
}

#[test]
fn old_lamps_age_a_part_so_many_times_as_fast() {
    // bars have no lamp that is replaced: from 3 000 h on the part ages twice (three times) as fast
    for (times, shape) in [(2.0, 1.0), (3.0, 2.5)] {
        let old = json!({ "older_than": 3_000, "times": times });
        let aged = 3_000.0 + times * (8_772.0 - 3_000.0);
        assert_repairs(part(json!({ "shape": shape, "old_lamps": old })), 12, renewals(5_000.0, shape, aged));
    }
    // lamps that are relamped at 3 000 h never get old
    let with = |component: Value| {
        let lamps = lamped("x", 1e6, 1e6, json!({ "by_age": { "at": 3_000 } }));
        let plan = one(patched(lamps, json!({ "fixtures": 50, "components": [component] })), 24);
        (0..5).map(|trial| lived(&plan, 0, 22, trial).repairs).collect::<Vec<_>>()
    };
    let never = with(part(json!({})));
    assert_eq!(with(part(json!({ "old_lamps": { "older_than": 3_000, "times": 9 } }))), never);
    assert_ne!(with(part(json!({ "old_lamps": { "older_than": 2_900, "times": 9 } }))), never);
    assert_eq!(with(part(json!({ "old_lamps": { "older_than": 0, "times": 1 } }))), never);
}

#[test]
fn a_part_that_does_not_darken_leaves_light_alone_and_costs_its_repairs() {
    let with = |components: Value| {
        let lamps = lamped("x", 4_000.0, 2.0, json!({ "on_failure": {} }));
        let fading = json!({ "constant": null, "exponential": { "rate": 2e-5 } });
        let kept = json!({ "fixtures": 20, "maintenance": fading, "components": components,
            "upkeep": { "found_after": 6, "breakage": 0 } });
        one(patched(lamps, kept), 18)
    };
    let fan = |darkens: bool| part(json!({ "name": "fan", "price": 8, "labour": 3, "darkens": darkens }));
    let (none, quiet, dark) = (with(json!([])), with(json!([fan(false)])), with(json!([fan(true)])));
    for trial in 0..10 {
        let [a, b, c] = [&none, &quiet, &dark].map(|plan| lived(plan, 0, 23, trial));
        assert_eq!((&a.lamp_failures, a.starts), (&b.lamp_failures, b.starts));
        assert_close(b.dark_hours, a.dark_hours, 1e-12, "dark hours");
        // settling a lamp at a repair cuts a sum of light in two
        assert_close(b.moles.iter().sum(), a.moles.iter().sum(), 1e-12, "light");
        assert!(c.dark_hours > a.dark_hours && repairs(&b) > 10);
        let costs = priced(&quiet, 0, 23, trial).total;
        assert_close(costs[Cause::Gear as usize], 8.0 * f64::from(repairs(&b)), 1e-12, "parts");
        assert_close(costs[Cause::Labour as usize], 3.0 * f64::from(repairs(&b)), 1e-12, "labour");
    }
}

#[test]
fn a_dark_part_waits_for_its_mending_by_the_calendar() {
    // parts that all die at 2 000 burn hours, mended 10 d later: cycles of 2 240 h round the clock
    let kept = json!({ "fixtures": 3, "components": [part(json!({ "b50": 2_000, "shape": 1e6 }))],
        "upkeep": { "found_after": 10 } });
    let ledger = lived(&one(patched(option("bars"), kept), 24), 0, 24, 0);
    // 17 544 h hold seven cycles (15 680 h) and 1 864 h more
    assert_eq!(repairs(&ledger), 21);
    assert_close(ledger.dark_hours, 3.0 * 7.0 * 240.0, 1e-6, "dark hours");
    assert_eq!(ledger.gear_failures.iter().sum::<u32>(), 21);
}

#[test]
fn power_that_drifts_is_billed_at_the_mean_of_the_month() {
    // 1 kW that rises by 2 % each 1 000 h over 17 544 h: ∫(1 + d·u) du = T + d·T²/2
    let drift = 2e-5;
    let t = 17_544.0;
    let with = |relamp: Value, every: f64| {
        let lamps = patched(lamped("x", 1e6, 1e6, relamp), json!({ "power_drift": drift, "fixtures": 5 }));
        let plan = plan(&patched(
            with_options(vec![lamps]),
            json!({ "horizon_years": 2, "contracts": [{ "name": "c", "tariff": {
                "energy": [{ "price": 0.2 }], "demand": [{ "name": "peak", "price": 3 }] } }] }),
        ));
        let costs = priced(&plan, 0, 25, 0);
        let rest = t - (t / every).floor() * every;
        let ages = (t / every).floor() * every * every / 2.0 + rest * rest / 2.0;
        let kwh = 5.0 * (t + drift * ages);
        assert_close(costs.kwh, kwh, 1e-9, "kWh");
        assert_close(costs.total[Cause::Energy as usize], 0.2 * kwh, 1e-9, "energy");
        costs.total[Cause::Demand as usize]
    };
    let demand = with(json!({ "on_failure": {} }), 1e9);
    // mean age of a month is its middle; hours of the months of 2031 and 2032
    let days = [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];
    let (mut hours, mut expected) = (0.0, 0.0);
    for month in 0..24 {
        let length = 24.0 * (days[month % 12] + if month == 13 { 1.0 } else { 0.0 });
        expected += 3.0 * 5.0 * (1.0 + drift * (hours + 0.5 * length));
        hours += length;
    }
    assert_close(demand, expected, 1e-9, "demand");
    with(json!({ "group": { "every": 5_000 } }), 5_000.0);
    with(json!({ "by_age": { "at": 3_210.5 } }), 3_210.5);
}

#[test]
fn drift_is_the_same_as_a_mean_of_two_powers() {
    // flat tariff, round the clock, one lamp for ever: the mean of the powers at the start and at the end
    let costs = |changes: Value| {
        let bars = patched(option("bars"), changes);
        let plan = plan(&patched(with_options(vec![bars]), json!({ "horizon_years": 10 })));
        priced(&plan, 0, 26, 0).total[Cause::Energy as usize]
    };
    let end = 1_000.0 * (1.0 - 3e-6 * 87_672.0);
    let (a, e) = (costs(json!({})), costs(json!({ "wall_power": end })));
    assert_close(costs(json!({ "power_drift": -3e-6 })), 0.5 * (a + e), 1e-9, "energy");
}

#[test]
fn dark_sockets_draw_nothing_while_others_drift() {
    // lamps die at 4 000 h and are mended 40 d (960 h) later, all at once
    let with = |drift: f64| {
        let kept = json!({ "power_drift": drift, "fixtures": 4, "upkeep": { "found_after": 40 } });
        let lamps = patched(lamped("x", 4_000.0, 1e6, json!({ "on_failure": {} })), kept);
        priced(&plan(&patched(with_options(vec![lamps]), json!({ "horizon_years": 1 }))), 0, 27, 0).kwh
    };
    // 4 000 h and 3 800 h more lit; ∫ age over both
    let lit = 4_000.0 + 8_760.0 - 4_960.0;
    assert_close(with(0.0), 4.0 * lit, 1e-6, "lit hours");
    // a month's mean age is that of its lit hours, so that energy is exact here
    let ages = 0.5 * (4_000.0f64.powi(2) + 3_800.0f64.powi(2));
    assert_close(with(1e-5), 4.0 * (lit + 1e-5 * ages), 1e-6, "drifting");
}

#[test]
fn used_lamps_older_than_any_lamp_fail_at_once() {
    // 12 000 h on lamps that die at 8 600 h: whatever that means, it is no lamp for ever
    let lives = [
        json!({ "b50": 8_600, "shape": 1e6 }),
        json!({ "b50": 8_600, "shape": 40 }),
        json!({ "b50": 8_600, "shape": null, "lognormal_sd": 0.005 }),
        json!({ "b50": null, "shape": null, "survival": [{ "hours": 0, "alive": 1 }, { "hours": 8_600, "alive": 0 }] }),
    ];
    for life in lives {
        let kept = json!({ "fixtures": 10, "in_sockets": { "hours": 12_000 }, "lamp": { "life": life } });
        let lamps = patched(lamped("x", 8_600.0, 3.0, json!({ "on_failure": {} })), kept);
        let ledger = lived(&one(lamps, 24), 0, 28, 0);
        assert!(ledger.lamp_failures[0] >= 10, "{life}: {:?}", ledger.lamp_failures);
    }
}

#[test]
fn used_lamps_of_a_bad_batch_are_no_lamps_for_ever() {
    // used for 0.9 of their median; a batch that lives e^(−1) as long is far beyond its own lives, and must die, not stay
    let lamps = |hours: f64| {
        let kept = json!({ "fixtures": 40, "in_sockets": { "hours": hours },
            "lamp": { "life": { "batch": { "spread": 0.6, "sockets": 1 } } } });
        let lamps = patched(lamped("x", 9_000.0, 12.0, json!({ "on_failure": {} })), kept);
        plan(&patched(with_options(vec![lamps]), json!({ "horizon_years": 10 })))
    };
    let plan = lamps(8_100.0);
    // a lamp of its own batch each, median 9 000 h, ln sd about 0.62: within ten years (87 672 h) all of them die, for
    // 95 772 h is e^2.36, or 3.8 standard deviations, beyond the median
    for trial in 0..10 {
        let ledger = lived(&plan, 0, 29, trial);
        assert!(ledger.lamp_failures.iter().sum::<u32>() > 200, "{:?}", ledger.lamp_failures);
        let spares = ledger.lamps_left;
        assert!(spares >= 0.0);
    }
    // a socket whose first lamp stays for ever never buys one
    for trial in 0..40 {
        let kept = json!({ "fixtures": 1 });
        let mut scenario = with_options(vec![patched(lamped("x", 9_000.0, 12.0, json!({ "on_failure": {} })), kept)]);
        scenario["options"][0] = patched(
            scenario["options"][0].clone(),
            json!({ "in_sockets": { "hours": 8_100 }, "lamp": { "life": { "batch": { "spread": 0.6 } } } }),
        );
        let ledger = lived(&crate::support::plan(&scenario), 0, 30, trial);
        assert!(ledger.lamp_failures.iter().sum::<u32>() > 0, "trial {trial}: a lamp of 96 000 h");
    }
}

#[test]
fn the_cost_of_a_start_comes_out_of_a_table() {
    // half the burn, three quarters of the life: a start costs 5 h; 12 h a start then make 8 000 · 12/17 · 15/10 h
    let life = |start: Value| {
        let lamp = json!({ "lamp": { "life": patched(json!({ "rated_hours_per_start": 10 }), start) } });
        let never = json!({ "group": { "every": 1e6, "spot_between": false } });
        let plan = one(patched(lamped("x", 4_000.0, 1e6, never), lamp), 12);
        lived(&plan, 0, 31, 0).burn_hours
    };
    let table = json!({ "life_by_start": [
        { "hours_per_start": 10, "life": 20_000 }, { "hours_per_start": 5, "life": 15_000 } ] });
    assert_close(life(table), 4_000.0 * 12.0 / 17.0 * 15.0 / 10.0, 1e-5, "life by the table");
    assert_close(life(json!({ "start_cost": 5 })), 4_000.0 * 12.0 / 17.0 * 15.0 / 10.0, 1e-5, "life as stated");
    assert_close(life(json!({})), 4_000.0, 1e-5, "starts that cost nothing");
}

#[test]
fn a_fixture_that_ends_by_its_light_is_bought_anew_as_a_whole() {
    // light is at 0.9 after −ln(0.9)/1e-5 = 10 536 h; ten years hold eight of them
    let bars = |extra: Value| {
        let kept = json!({ "fixtures": 3, "maintenance": { "constant": null, "exponential": { "rate": 1e-5 } },
            "fixture": { "price": 500, "installation": 60 } });
        plan(&with_options(vec![patched(patched(option("bars"), kept), extra)]))
    };
    let (never, ends) = (bars(json!({})), bars(json!({ "fixture": { "ends_at_light": 0.9 } })));
    let ledger = lived(&ends, 0, 32, 0);
    assert_eq!(ledger.planned_lamps.iter().sum::<u32>(), 3 * 8);
    let (a, b) = (priced(&never, 0, 32, 0).total, priced(&ends, 0, 32, 0).total);
    assert_eq!(a[Cause::Capital as usize], 3.0 * 560.0);
    assert_eq!(b[Cause::Capital as usize], 3.0 * 560.0, "the first fixtures are bought once");
    assert_close(b[Cause::Lamps as usize] + b[Cause::Labour as usize], 24.0 * 560.0, 1e-12, "eight times anew");
    // 8 lives of 10 536 h with a mean light of (1 − 0.9)/−ln 0.9 and a rest
    let life = -0.9f64.ln() / 1e-5;
    let rest = 87_672.0 - 8.0 * life;
    let hours = (8.0 * 0.1 - (-1e-5 * rest).exp_m1()) / 1e-5;
    assert_close(ledger.moles.iter().sum(), 3.0 * 3.6 * hours, 1e-9, "light");
}

#[test]
fn a_fixture_replaced_as_a_whole_brings_new_parts_with_it() {
    // fixtures end at 10 536 h; drivers that all die at 12 000 h never get there, those that die at 9 000 h do once a life
    let repaired = |b50: f64| {
        let kept = json!({ "fixtures": 3, "maintenance": { "constant": null, "exponential": { "rate": 1e-5 } },
            "fixture": { "ends_at_light": 0.9 }, "components": [part(json!({ "b50": b50, "shape": 1e6 }))] });
        repairs(&lived(&plan(&with_options(vec![patched(option("bars"), kept)])), 0, 33, 0))
    };
    assert_eq!(repaired(12_000.0), 0);
    // eight whole lives, and 3 383 h of a ninth
    assert_eq!(repaired(9_000.0), 3 * 8);
}
