//! How lamps are kept: spares, rounds, waiting, breakage, zones, crews, cleaning and the end, in cases that can be told by
//! hand.

use engine::Ledger;
use plan::Plan;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lamped, lived, patched, plan, priced, with_options};

const FOR_EVER: f64 = 1e6;
/// Standard errors that a simulated mean may lie off; one comparison in 150 000 fails by chance.
const ERRORS: f64 = 4.5;

fn sum(months: &[u32]) -> u32 {
    months.iter().sum()
}

fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>() / (n - 1.0);
    (mean, (variance / n).sqrt())
}

/// A plan of one option in a room of so many years.
fn one(option: Value, years: u32) -> Plan {
    plan(&patched(with_options(vec![option]), json!({ "horizon_years": years })))
}

fn of_trials(plan: &Plan, seed: u64, trials: u64, read: impl Fn(&Ledger) -> f64) -> Vec<f64> {
    (0..trials).map(|trial| read(&lived(plan, 0, seed, trial))).collect()
}

fn spot(b50: f64, shape: f64, extra: Value) -> Value {
    patched(lamped("x", b50, shape, json!({ "on_failure": {} })), extra)
}

#[test]
fn without_a_stock_every_failed_lamp_waits_for_its_delivery() {
    // ten sockets, all lamps die at 3 000 h; each waits 2 d to be found and 20 d for the delivery: cycles of 3 528 h
    let extra = json!({ "fixtures": 10, "upkeep": { "found_after": 2, "spares": { "stock": 0, "lead_time": 20 } } });
    let ledger = lived(&one(spot(3_000.0, 1e6, extra), 2), 0, 1, 0);
    // 17 544 h hold four whole cycles, and the fifth lamps die at 17 112 h and wait for the rest
    assert_eq!((sum(&ledger.lamp_failures), sum(&ledger.spot_lamps)), (50, 40));
    assert_close(ledger.dark_hours, 10.0 * (4.0 * 528.0 + 432.0), 1e-4, "dark hours");
}

#[test]
fn a_stock_as_large_as_the_room_is_no_limit_while_lamps_outlive_the_lead_time() {
    let with = |spares: Value| {
        let extra = json!({ "fixtures": 8, "upkeep": { "found_after": 1, "breakage": 0 } });
        one(spot(4_000.0, 1e6, patched(extra, json!({ "upkeep": spares }))), 3)
    };
    let free = lived(&with(json!({})), 0, 2, 0);
    assert_eq!(lived(&with(json!({ "spares": { "stock": 8, "lead_time": 100 } })), 0, 2, 0), free);
    assert_ne!(lived(&with(json!({ "spares": { "stock": 7, "lead_time": 100 } })), 0, 2, 0), free);
    assert_ne!(lived(&with(json!({ "spares": { "stock": 8, "lead_time": 200 } })), 0, 2, 0), free);
}

#[test]
fn a_service_level_is_the_stock_that_a_poisson_table_gives() {
    // 40 lamps of median 4 000 h, lit round the clock: a lead time of 1 200 h brings 12 failures; a table for that mean has
    // 15, 18 and 21 for a service of 80 %, 95 % and 99 % (statrs says so here, by its distribution function)
    let with = |spares: Value| {
        let spares = patched(spares, json!({ "lead_time": 50 }));
        one(spot(4_000.0, 3.0, json!({ "fixtures": 40, "upkeep": { "spares": spares } })), 3)
    };
    let poisson = statrs::distribution::Poisson::new(12.0).unwrap();
    for (service, stock) in [(0.8, 15), (0.95, 18), (0.99, 21)] {
        let cdf = |k: u64| statrs::distribution::DiscreteCDF::cdf(&poisson, k);
        assert!(cdf(stock) >= service && cdf(stock - 1) < service);
        let by_service = lived(&with(json!({ "service": service })), 0, 3, 0);
        assert_eq!(by_service, lived(&with(json!({ "stock": stock })), 0, 3, 0), "{service}");
        assert_ne!(by_service, lived(&with(json!({ "stock": stock - 2 })), 0, 3, 0), "{service}");
    }
}

#[test]
fn a_stock_ordered_one_by_one_serves_as_a_hand_simulation_says() {
    // 300 lamps without memory, each with a mean of 10 000 h: with S on the shelf and 30 d of lead, lamps on order follow
    // an Engset queue of infinitely many servers; the hand simulation counts the same with its own random numbers
    let (sockets, mean_life, lead) = (300usize, 10_000.0f64, 720.0f64);
    let stock = 20usize;
    let extra = json!({ "fixtures": sockets, "upkeep": { "spares": { "stock": stock, "lead_time": 30 } } });
    let plan = one(spot(mean_life * std::f64::consts::LN_2, 1.0, extra), 2);
    let horizon = plan.clocks[0].timeline.lit_hours;
    let found = of_trials(&plan, 3, 60, |ledger| ledger.dark_hours / (horizon * sockets as f64));

    let mut state = 0x9E37_79B9_97F4_A7C1u64;
    let mut uniform = || {
        // xorshift64*, Vigna's constants from memory: any generator will do here
        state ^= state >> 12;
        state ^= state << 25;
        state ^= state >> 27;
        ((state.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    };
    let by_hand: Vec<f64> = (0..300)
        .map(|_| {
            let (mut now, mut lit, mut shelf, mut dark) = (0.0f64, sockets, stock, 0.0);
            let mut orders = std::collections::VecDeque::new();
            loop {
                let fails = now - uniform().ln() * mean_life / lit as f64;
                let arrives = orders.front().copied().unwrap_or(f64::INFINITY);
                let next = fails.min(arrives).min(horizon);
                dark += (next - now) * (sockets - lit) as f64;
                now = next;
                if now >= horizon {
                    return dark / (horizon * sockets as f64);
                }
                if arrives < fails {
                    orders.pop_front();
                    if lit < sockets { lit += 1 } else { shelf += 1 }
                } else {
                    orders.push_back(now + lead);
                    if shelf > 0 { shelf -= 1 } else { lit -= 1 }
                }
            }
        })
        .collect();
    let ((mean, error), (expected, noise)) = (mean_and_error(&found), mean_and_error(&by_hand));
    assert!(error < 0.06 * mean && noise < 0.06 * expected, "{mean} ± {error} and {expected} ± {noise} do not bite");
    assert!((mean - expected).abs() < ERRORS * error.hypot(noise), "{mean} ± {error} against {expected} ± {noise}");
}

#[test]
fn rounds_find_failures_half_an_interval_late_on_average() {
    let extra = json!({ "fixtures": 200, "upkeep": { "walk_through": 12, "found_after": 3 } });
    let plan = one(spot(4_000.0, 1.0, extra), 2);
    // waits of 3 d and of 0 to 12 d, evenly: lamps without memory die at any hour; those cut by the horizon are few
    let found = of_trials(&plan, 4, 30, |ledger| ledger.dark_hours / f64::from(sum(&ledger.lamp_failures)) / 24.0);
    let (mean, error) = mean_and_error(&found);
    let cut = 9.0 * 9.0 / 731.0;
    assert!((mean - 9.0).abs() < ERRORS * error + cut && error < 0.05, "{mean} ± {error}");
}

#[test]
fn of_lamps_that_break_with_some_chance_so_many_are_bought() {
    for share in [0.02, 0.3] {
        let extra = json!({ "fixtures": 400, "lamp": { "price": 10, "disposal": 1 }, "upkeep": { "breakage": share } });
        let plan = one(spot(2_000.0, 3.0, extra), 1);
        let mut ratios = vec![];
        for trial in 0..25 {
            let ledger = lived(&plan, 0, 5, trial);
            let (put_in, broken) = (sum(&ledger.spot_lamps), sum(&ledger.broken_lamps));
            assert_eq!(ledger.lamps_bought(), u64::from(put_in + broken));
            let costs = priced(&plan, 0, 5, trial);
            assert_close(costs.total[engine::Cause::Lamps as usize], 10.0 * f64::from(put_in + broken), 1e-12, "lamps");
            assert_close(costs.total[engine::Cause::Disposal as usize], f64::from(put_in + broken), 1e-12, "disposal");
            ratios.push(f64::from(broken) / f64::from(put_in));
        }
        let (mean, error) = mean_and_error(&ratios);
        assert!(error < 0.05 * mean, "{mean} ± {error} does not bite");
        assert!((mean - share / (1.0 - share)).abs() < ERRORS * error, "{share}: {mean} ± {error}");
    }
}

#[test]
fn lamps_bought_by_year_count_the_broken_ones_as_well() {
    let extra = json!({ "fixtures": 50, "upkeep": { "breakage": 0.3 } });
    let outcome = crate::support::run(&one(spot(3_000.0, 3.0, extra), 2), 10, 6);
    for (trial, sample) in outcome.samples.iter().enumerate() {
        assert_eq!(sample.lamps.iter().sum::<f64>(), outcome.life(trial, 0, 0).lamps_bought, "trial {trial}");
    }
}

#[test]
fn young_lamps_stay_in_when_the_group_is_relamped() {
    // lamps die at 3 000 h, groups come each 4 000 h: at 4 000 lamps are 1 000 h old, at 8 000 they are 2 000 h old
    // (put in at 3 000 and 6 000), at 12 000 exactly 0 h or 3 000 h
    let kept = |hours: f64| {
        let group = json!({ "group": { "every": 4_000, "keep_younger_than": hours } });
        lived(&one(patched(lamped("x", 3_001.0, 1e6, group), json!({ "fixtures": 3 })), 1), 0, 7, 0)
    };
    let counts = |ledger: Ledger| (sum(&ledger.planned_lamps), sum(&ledger.spot_lamps));
    // 8 760 h: failures at 3 001 and 7 001 (put in at 4 000), groups at 4 000 and 8 000 put three in each time
    assert_eq!(counts(kept(500.0)), (6, 6));
    // at 4 000 lamps are 999 h old and stay, they die at 6 002; at 8 000 they are 1 998 h old
    assert_eq!(counts(kept(1_000.0)), (3, 6));
    assert_eq!(counts(kept(2_000.0)), (0, 6));
}

#[test]
fn zones_are_relamped_one_after_another_evenly() {
    // three zones of two: at 1 000, 2 000, 3 000 h and then each 3 000 h later
    let group = |zones: u32| {
        let group = json!({ "group": { "every": 3_000, "zones": zones } });
        lived(&one(patched(lamped("x", FOR_EVER, 1e6, group), json!({ "fixtures": 6 })), 1), 0, 8, 0)
    };
    // months of the dates of 2031: 1 000 h is 11 February, 2 000 h 25 March, 3 000 h 6 May, 4 000 h 16 June …
    assert_eq!(group(3).planned_lamps, [0, 2, 2, 0, 2, 2, 2, 0, 2, 2, 2, 0]);
    assert_eq!(group(1).planned_lamps, [0, 0, 0, 0, 6, 0, 0, 0, 6, 0, 0, 0]);
}

#[test]
fn a_room_with_fewer_sockets_than_zones_is_relamped_as_often_as_any() {
    // one socket is a zone of its own: it is relamped each interval and never sooner
    let one_socket = |zones: u32| {
        let group = json!({ "group": { "every": 3_000, "zones": zones } });
        lived(&one(lamped("x", FOR_EVER, 1e6, group), 1), 0, 8, 0).planned_lamps
    };
    assert_eq!(one_socket(4), one_socket(1));
}

#[test]
fn lamps_wait_until_enough_sockets_are_dark() {
    for relamp in
        [json!({ "on_failure": {} }), json!({ "group": { "every": 2_500 } }), json!({ "by_age": { "at": 4_000 } })]
    {
        for (sockets, needed) in [(2u32, 2u32), (5, 3)] {
            let extra = json!({ "fixtures": sockets, "upkeep": { "wait_for_dark": needed, "found_after": 1 } });
            let plan = one(patched(lamped("x", 4_000.0, 2.0, relamp.clone()), extra), 5);
            for trial in 0..40 {
                let ledger = lived(&plan, 0, 9, trial);
                // a visit mends at least so many; with two sockets exactly two
                let spots = sum(&ledger.spot_lamps);
                if needed == sockets {
                    assert_eq!(spots % needed, 0, "{relamp}, trial {trial}: {spots} lamps mended in pairs");
                }
                assert_dark_together(&ledger, needed, &relamp, trial);
            }
        }
    }
}

/// Asserts that at every moment at which lamps are mended one by one, enough sockets were dark.
fn assert_dark_together(ledger: &Ledger, needed: u32, relamp: &Value, trial: u64) {
    if relamp.get("on_failure").is_none() {
        return;
    }
    for outage in &ledger.outages {
        let ended_with = ledger.outages.iter().filter(|other| other.to == outage.to).count() as u32;
        let at_the_end = outage.to >= 3600.0 * 24.0 * 1826.0;
        assert!(ended_with >= needed || at_the_end, "trial {trial}: {ended_with} mended at {}", outage.to);
    }
}

#[test]
fn a_batch_spreads_the_count_and_hardly_moves_its_mean() {
    let with = |batch: Value| {
        let life = json!({ "fixtures": 40, "lamp": { "life": { "batch": batch } } });
        of_trials(&one(spot(6_000.0, 4.0, life), 2), 10, 600, |ledger| f64::from(sum(&ledger.lamp_failures)))
    };
    let variance = |values: &[f64]| {
        let (_, error) = mean_and_error(values);
        error * error * values.len() as f64
    };
    let (apart, whole, halves) =
        (with(json!({ "spread": 0 })), with(json!({ "spread": 0.15 })), with(json!({ "spread": 0.15, "sockets": 20 })));
    // a variance from 600 trials is known to 6 %
    assert!(variance(&whole) > 4.0 * variance(&apart), "{} {}", variance(&whole), variance(&apart));
    let added = |values: &[f64]| variance(values) - variance(&apart);
    let ratio = added(&halves) / added(&whole);
    assert!((0.35..0.7).contains(&ratio), "two batches that do not know of each other spread half as much: {ratio}");
    let (mean, error) = mean_and_error(&apart);
    for values in [&whole, &halves] {
        let (other, noise) = mean_and_error(values);
        assert!((other / mean - 1.0).abs() < 0.03 + ERRORS * error.hypot(noise) / mean, "{other} against {mean}");
    }
}

#[test]
fn work_of_one_day_is_one_visit_and_pays_the_least_time() {
    // ten lamps die at 3 000.5 h and ten groups of work fall on one day
    let crew =
        json!({ "call_out": 90, "lift": 60, "wage": 120, "spot_minutes": 10, "planned_minutes": 4, "least_time": 45 });
    let costs = |sockets: u32, relamp: Value| {
        let extra = json!({ "fixtures": sockets, "upkeep": { "crew": crew, "spot_labour": 1, "planned_labour": 2 } });
        let plan = one(patched(lamped("x", 3_000.5, 1e6, relamp), extra), 1);
        (lived(&plan, 0, 11, 0), priced(&plan, 0, 11, 0).total[engine::Cause::Labour as usize])
    };
    let (ledger, labour) = costs(10, json!({ "on_failure": {} }));
    assert_eq!(ledger.visits.iter().map(|visit| (visit.spot, visit.planned)).collect::<Vec<_>>(), [(10, 0), (10, 0)]);
    // 150 for coming, 100 min at 2 a minute, and 1 for each lamp
    assert_close(labour, 2.0 * (150.0 + 200.0 + 10.0), 1e-12, "ten at once");
    let (_, labour) = costs(3, json!({ "on_failure": {} }));
    assert_close(labour, 2.0 * (150.0 + 90.0 + 3.0), 1e-12, "30 min count as 45");
    let (ledger, labour) = costs(20, json!({ "group": { "every": 2_500 } }));
    assert_eq!(ledger.visits.len(), 3);
    assert_close(labour, 3.0 * (150.0 + 160.0 + 40.0), 1e-12, "groups of 20");
}

/// Everything that brings a crew, in a crop with nights and turnarounds in which much falls on dark hours.
fn busy() -> Plan {
    let option = patched(
        lamped("busy", 1_500.0, 1.5, json!({ "group": { "every": 900, "at_turnaround": true } })),
        json!({
            "fixtures": 30,
            "gear": { "failures_per_year": 6, "price": 1, "labour": 1 },
            "components": [
                { "name": "fan", "b50": 2_000, "clock": "calendar", "darkens": false, "price": 3, "labour": 4 },
                { "name": "driver", "b50": 1_800, "shape": 2, "price": 3, "labour": 4 } ],
            "upkeep": { "found_after": 1.3, "spares": { "stock": 2, "lead_time": 6 },
                "crew": { "call_out": 100, "wage": 60, "spot_minutes": 10, "planned_minutes": 5 } }
        }),
    );
    let photoperiod = json!({ "turnaround_days": 6, "phases": [
        { "name": "crop", "days": 24, "lights": [{ "on": "07:00", "off": "19:00" }] } ] });
    plan(&patched(with_options(vec![option]), json!({ "horizon_years": 2, "photoperiod": photoperiod })))
}

#[test]
fn no_day_is_visited_twice() {
    let plan = busy();
    for trial in 0..10 {
        let ledger = lived(&plan, 0, 12, trial);
        let mut days: Vec<u32> = ledger.visits.iter().map(|visit| visit.day).collect();
        assert!(days.len() > 100);
        days.sort_unstable();
        let twice: Vec<u32> = days.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| pair[0]).collect();
        assert_eq!(twice, Vec::<u32>::new(), "trial {trial}: days with two visits, of {} visits", ledger.visits.len());
        let work = |read: fn(&engine::Visit) -> u32| ledger.visits.iter().map(read).sum::<u32>();
        let repairs: u32 = ledger.repairs.iter().chain([&ledger.gear_repairs]).flatten().sum();
        assert_eq!(work(|visit| visit.spot), sum(&ledger.spot_lamps) + repairs);
        assert_eq!(work(|visit| visit.planned), sum(&ledger.planned_lamps));
    }
}

#[test]
fn a_stretch_in_the_dark_is_counted_once_however_much_happens_in_it() {
    let plan = busy();
    let hours = plan.clocks[0].timeline.lit_hours;
    for trial in 0..10 {
        let ledger = lived(&plan, 0, 12, trial);
        let timeline = &plan.clocks[0].timeline;
        let lit = |outage: &meter::Outage| {
            timeline.lit_before(outage.to / 3600.0) - timeline.lit_before(outage.from / 3600.0)
        };
        let dark: f64 = ledger.outages.iter().map(lit).sum();
        assert_close(dark, ledger.dark_hours, 1e-6, "dark hours by outages");
        assert_close(ledger.burn_hours + ledger.dark_hours, 30.0 * hours, 1e-12, "all hours");
        // no more sockets are dark than there are
        let mut changes: Vec<(f64, i32)> = ledger.outages.iter().flat_map(|o| [(o.from, 1), (o.to, -1)]).collect();
        changes.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let most = changes
            .iter()
            .scan(0, |dark, change| {
                *dark += change.1;
                Some(*dark)
            })
            .max()
            .unwrap();
        assert!(most <= 30, "{most} sockets are dark at once");
    }
}

#[test]
fn a_group_shortly_before_the_horizon_is_skipped() {
    // groups at 2 000, 4 000, 6 000 and 8 000 of 8 760 h
    let groups = |within: f64| {
        let group = json!({ "group": { "every": 2_000 } });
        let extra = json!({ "upkeep": { "end": { "skip_within": within } } });
        sum(&lived(&one(patched(lamped("x", FOR_EVER, 1e6, group), extra), 1), 0, 13, 0).planned_lamps)
    };
    assert_eq!([0.0, 759.0, 761.0, 2_759.0, 2_761.0, 9_000.0].map(groups), [4, 4, 3, 3, 2, 0]);
}

#[test]
fn lamps_sold_at_the_horizon_bring_what_is_left_of_their_medians() {
    // put in at 0, 5 000 and … the last at 5 000 of 8 760 h: 3 760 of 20 000 h are used
    let group = json!({ "group": { "every": 5_000 } });
    let extra = json!({ "fixtures": 4, "lamp": { "price": 30 }, "upkeep": { "end": { "resale": 0.5 } } });
    let plan = one(patched(lamped("x", 20_000.0, 1e6, group), extra), 1);
    let ledger = lived(&plan, 0, 14, 0);
    assert_close(ledger.lamps_left, 4.0 * (1.0 - 3_760.0 / 20_000.0), 1e-4, "unused lamps");
    let credits = priced(&plan, 0, 14, 0).total[engine::Cause::Credits as usize];
    assert_close(credits, -ledger.lamps_left * 0.5 * 30.0, 1e-12, "sold");
}

#[test]
fn cleanings_come_by_the_calendar_or_with_the_group_and_cost_by_the_fixture() {
    let clean = |cleaning: Value| {
        let group = json!({ "group": { "every": 2_000 } });
        let extra = json!({ "fixtures": 7, "upkeep": { "cleaning": cleaning } });
        let plan = one(patched(lamped("x", FOR_EVER, 1e6, group), extra), 1);
        (lived(&plan, 0, 15, 0).cleanings, priced(&plan, 0, 15, 0).total[engine::Cause::Cleaning as usize])
    };
    // every 60 d: days 60 (2 March), 120 (1 May), 180 (30 June), 240 (29 August), 300 (28 October), 360 (27 December)
    let (by_days, cost) = clean(json!({ "every": 60, "cost": 2.5 }));
    assert_eq!(by_days, [0, 0, 1, 0, 1, 1, 0, 1, 0, 1, 0, 1]);
    assert_close(cost, 6.0 * 7.0 * 2.5, 1e-12, "six cleanings");
    // groups at 2 000, 4 000, 6 000, 8 000 h: 25 March, 16 June, 8 September, 30 November
    let (with_group, cost) = clean(json!({ "with_group": {}, "cost": 2.5 }));
    assert_eq!(with_group, [0, 0, 1, 0, 0, 1, 0, 0, 1, 0, 1, 0]);
    assert_close(cost, 4.0 * 7.0 * 2.5, 1e-12, "four cleanings");
}

#[test]
fn no_failed_lamp_is_mended_before_it_is_found() {
    // groups each 1 100 h round the clock; in between a failed lamp is mended 20 d (480 h) after it died at the earliest
    for upkeep in
        [json!({ "spares": { "stock": 0, "lead_time": 60 } }), json!({ "wait_for_dark": 2 }), json!({ "breakage": 0 })]
    {
        let extra = json!({ "fixtures": 4, "upkeep": patched(json!({ "found_after": 20 }), upkeep.clone()) });
        let plan = one(patched(lamped("x", 1_500.0, 2.0, json!({ "group": { "every": 1_100 } })), extra), 5);
        let (mut seen, mut early) = (0, vec![]);
        for trial in 0..20 {
            for outage in lived(&plan, 0, 16, trial).outages {
                let (from, to) = (outage.from / 3600.0, outage.to / 3600.0);
                let off = (to / 1_100.0).fract();
                let with_group = !(1e-6..=1.0 - 1e-6).contains(&off) || to >= plan.clocks[0].timeline.elapsed_hours;
                seen += 1;
                if to - from < 480.0 - 1e-6 && !with_group {
                    early.push((trial, from, to));
                }
            }
        }
        assert!(seen > 500);
        assert!(
            early.is_empty(),
            "{upkeep}: {} of {seen} are mended too soon: {:?}",
            early.len(),
            &early[..early.len().min(3)]
        );
    }
}
