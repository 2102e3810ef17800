//! What a maker's promise brings: closed forms for one lamp, chains of replaced lamps, and rooms outside the terms.

use engine::{Cause, Ledger};
use plan::Plan;
use serde_json::{Value, json};

use super::assert_close;
use crate::support::{lamped, lived, patched, plan, priced, with_options};

/// Hours of a mean month, by which promises count.
const MONTH: f64 = 730.5;

fn one(warranty: Value, extra: Value, relamp: Value) -> Plan {
    let option = patched(lamped("x", 2_000.0, 1e6, relamp), json!({ "lamp": { "price": 50, "warranty": warranty } }));
    plan(&patched(with_options(vec![patched(option, extra)]), json!({ "horizon_years": 2 })))
}

fn on_failure() -> Value {
    json!({ "on_failure": {} })
}

fn claims(ledger: &Ledger) -> u32 {
    ledger.claims.iter().sum()
}

fn credited(ledger: &Ledger) -> f64 {
    ledger.credited.iter().sum()
}

#[test]
fn a_replaced_lamp_has_what_is_left_or_the_whole_promise_again() {
    // lamps die at 2 000, 4 000 … 16 000 h; in full for 3 months (2 191.5 h), nothing after 12 months (8 766 h)
    let terms = json!({ "full_for": 3, "until": 12 });
    let ledger = lived(&one(terms.clone(), json!({}), on_failure()), 0, 1, 0);
    // the second, third and fourth lamp inherit the first one's promise; the fifth dies at 10 000 h, after it has run out,
    // and the sixth is bought at 10 000 h with a promise of its own
    let falling = |age: f64| (12.0 * MONTH - age) / (9.0 * MONTH);
    let chain = 1.0 + falling(4_000.0) + falling(6_000.0) + falling(8_000.0);
    // lamps of 10 000 h die at 12 000, 14 000 and 16 000 h
    let second = 1.0 + falling(4_000.0) + falling(6_000.0);
    assert_eq!(claims(&ledger), 7);
    assert_close(credited(&ledger), chain + second, 1e-4, "what is left");
    let renewing = patched(terms, json!({ "renewing": true }));
    let ledger = lived(&one(renewing, json!({}), on_failure()), 0, 1, 0);
    assert_eq!((claims(&ledger), credited(&ledger)), (8, 8.0));
}

#[test]
fn one_lamp_brings_what_its_life_says() {
    // never replaced, Weibull lives: E[share] = F(f) + ∫ f(x)(w − x)/(w − f) dx = ∫ F(x) dx / (w − f) from f to w
    let (b50, shape) = (9_000.0, 2.2);
    let dead = |x: f64| 1.0 - (-std::f64::consts::LN_2 * (x / b50).powf(shape)).exp();
    let never = json!({ "group": { "every": 1e6, "spot_between": false } });
    for (full, until) in [(0.0, 18.0), (6.0, 18.0), (12.0, 12.0)] {
        let extra = json!({ "fixtures": 2000, "lamp": { "life": { "b50": b50, "shape": shape } } });
        let plan = one(json!({ "full_for": full, "until": until }), extra, never.clone());
        let (f, w) = (full * MONTH, until * MONTH);
        // Simpson's rule: the integrand is smooth
        let expected = if w > f {
            let at = |k: u32| {
                dead(f + (w - f) * f64::from(k) / 64.0)
                    * if k == 0 || k == 64 { 1.0 } else { f64::from(2 + 2 * (k % 2)) }
            };
            (0..=64).map(at).sum::<f64>() / 192.0
        } else {
            dead(w)
        };
        let (mut sum, mut squares) = (0.0, 0.0);
        for trial in 0..20 {
            let ledger = lived(&plan, 0, 2, trial);
            let share = credited(&ledger) / 2000.0;
            assert!(credited(&ledger) <= f64::from(claims(&ledger)));
            (sum, squares) = (sum + share, squares + share * share);
        }
        let mean = sum / 20.0;
        let error = ((squares / 20.0 - mean * mean) / 19.0).sqrt();
        assert!(error < 0.01 * expected, "± {error} of {expected} does not bite");
        assert!((mean - expected).abs() < 4.5 * error, "{full} to {until} months: {mean} ± {error}, not {expected}");
    }
}

#[test]
fn credits_are_prices_times_shares_less_the_effort() {
    let terms = json!({ "full_for": 2, "until": 9, "effort": 7, "honoured": 0.6 });
    let extra = json!({ "fixtures": 60, "lamp": { "life": { "shape": 1.3 } } });
    let plan = one(terms, extra, on_failure());
    let (mut made, mut failures) = (0, 0);
    for trial in 0..20 {
        let ledger = lived(&plan, 0, 3, trial);
        let costs = priced(&plan, 0, 3, trial).total;
        let expected = 7.0 * f64::from(claims(&ledger)) - 50.0 * credited(&ledger);
        assert_close(costs[Cause::Credits as usize], expected, 1e-12, "credits");
        let bought = f64::from(60 + ledger.spot_lamps.iter().sum::<u32>());
        assert!(50.0 * credited(&ledger) < 50.0 * bought, "more is credited than lamps were bought for");
        for (claimed, failed) in ledger.claims.iter().zip(&ledger.lamp_failures) {
            assert!(claimed <= failed, "a claim without a failure");
        }
        (made, failures) = (made + claims(&ledger), failures + ledger.lamp_failures.iter().sum::<u32>());
    }
    assert!(made > 1_000 && made < failures, "{made} claims for {failures} failures");
}

#[test]
fn so_many_claims_are_honoured() {
    // every claim is in full: what is credited over what is claimed is the share itself
    let terms = json!({ "full_for": 24, "until": 24, "honoured": 0.7, "renewing": true });
    let plan = one(terms, json!({ "fixtures": 500 }), on_failure());
    let (mut made, mut paid) = (0.0, 0.0);
    for trial in 0..10 {
        let ledger = lived(&plan, 0, 4, trial);
        made += f64::from(claims(&ledger));
        paid += credited(&ledger);
    }
    assert_eq!(made, 40_000.0, "eight failures of 5 000 lamps");
    assert!((paid / made - 0.7).abs() < 4.5 * (0.7f64 * 0.3 / made).sqrt(), "{}", paid / made);
}

#[test]
fn credits_come_when_they_come() {
    let in_months = |days: f64| {
        let terms = json!({ "full_for": 24, "until": 24, "credited_after": days });
        lived(&one(terms, json!({}), on_failure()), 0, 5, 0).credited
    };
    let at_once = in_months(0.0);
    let months = |credited: &[f64]| {
        credited.iter().enumerate().filter(|(_, share)| **share > 0.0).map(|(month, _)| month).collect::<Vec<_>>()
    };
    // 2 000 h is 25 March, then 16 June, 8 September, 30 November, 21 February, 15 May, 7 August, 29 October
    assert_eq!(months(&at_once), [2, 5, 8, 10, 13, 16, 19, 21]);
    // 61 d later: 25 May, 16 August, 8 November, 30 January, 23 April, 15 July, 7 October, 29 December
    assert_eq!(months(&in_months(61.0)), [4, 7, 10, 12, 15, 18, 21, 23]);
    // 100 d after 29 October the horizon is over, and what would come then never does
    assert_eq!(months(&in_months(100.0)).len(), 7);
    assert_eq!(in_months(3_000.0), vec![0.0; 24]);
}

#[test]
fn outside_the_terms_nothing_is_claimed_and_inside_all_is() {
    // 12 h a day: 4 386 h a year and 12 h a start
    let daily = json!({ "photoperiod": { "phases": [
        { "name": "all", "days": 100, "lights": [{ "on": "06:00", "off": "18:00" }] }] } });
    let with = |terms: Value, extra: Value| {
        let terms = patched(json!({ "full_for": 24, "until": 24 }), terms);
        let option =
            patched(lamped("x", 2_000.0, 1e6, on_failure()), json!({ "lamp": { "price": 50, "warranty": terms } }));
        let room = patched(with_options(vec![patched(option, extra)]), json!({ "horizon_years": 2 }));
        claims(&lived(&plan(&patched(room, daily.clone())), 0, 6, 0))
    };
    let none = json!({});
    let all = with(json!({}), none.clone());
    assert_eq!(all, 4);
    for (terms, extra, expected) in [
        (json!({ "most_hours_per_year": 4_380 }), none.clone(), 0),
        (json!({ "most_hours_per_year": 4_390 }), none.clone(), all),
        (json!({ "least_hours_per_start": 12.5 }), none.clone(), 0),
        (json!({ "least_hours_per_start": 11.5 }), none.clone(), all),
        (json!({ "needs_match": true }), none.clone(), 0),
        (json!({ "needs_match": true }), json!({ "build": { "matched": false } }), 0),
        (json!({ "needs_match": true }), json!({ "build": { "matched": true } }), all),
        (json!({ "needs_match": false }), json!({ "build": { "matched": false } }), all),
    ] {
        assert_eq!(with(terms.clone(), extra.clone()), expected, "{terms} {extra}");
    }
}

#[test]
fn used_lamps_are_promised_nothing_and_their_successors_are() {
    // lamps of 500 h die at 1 500, 3 500, 5 500 … 17 500 of 17 544 h
    let terms = json!({ "full_for": 24, "until": 24, "renewing": true });
    let ledger = lived(&one(terms, json!({ "in_sockets": { "hours": 500 } }), on_failure()), 0, 7, 0);
    assert_eq!((ledger.lamp_failures.iter().sum::<u32>(), claims(&ledger)), (9, 8));
}

#[test]
fn a_lamp_replaced_in_time_is_no_claim_and_the_next_has_the_whole_promise() {
    // by age at 1 500 h nothing fails; a promise of two months would be long gone if it were passed on
    let terms = json!({ "full_for": 2, "until": 2 });
    let ledger = lived(&one(terms.clone(), json!({}), json!({ "by_age": { "at": 1_500 } })), 0, 8, 0);
    assert_eq!((claims(&ledger), ledger.planned_lamps.iter().sum::<u32>()), (0, 11));
    // groups at 1 500, 3 000 … h and lamps of 1 000 h: each first lamp dies within two months (1 461 h) of its group,
    // its successor 500 h later is taken out with the group, and the next group's lamp starts anew
    let extra = json!({ "lamp": { "life": { "b50": 1_000 } } });
    let ledger = lived(&one(terms, extra, json!({ "group": { "every": 1_500 } })), 0, 8, 0);
    assert_eq!((ledger.lamp_failures.iter().sum::<u32>(), claims(&ledger)), (12, 12));
    assert_eq!(credited(&ledger), 12.0);
}
