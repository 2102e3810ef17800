//! Beliefs about lives brought up to date: what must hold whatever the log.

use decide::learn_life::{LifeLogs, LifeOrder, learn_life, life_json};
use decide::learn_life_report::{LearnLifeReport, Points};
use draws::{Purpose, Stream};
use plan::Plan;
use serde_json::{Value, json};
use statrs::distribution::{ChiSquared, ContinuousCDF};

use crate::support::{demo, lamped, patched, plan, with_options};

const PLACE: &str = "/options/1/lamp/life";

fn logs(plan: &Plan, option: usize, texts: &[&str]) -> LifeLogs {
    let mut logs = LifeLogs::new(&[&plan.options[option].name]);
    for (k, text) in texts.iter().enumerate() {
        logs.begin(&format!("log {k}"));
        let read = records::burn_log(text.as_bytes(), 12.0, &mut |life| logs.take(&life)).unwrap();
        logs.end(read);
    }
    logs
}

fn order(option: usize) -> LifeOrder {
    LifeOrder { option, hours_per_start: None, hours_per_day: 12.0, claim_h: None, draws: 1_000 }
}

fn learnt(scenario: &Value, option: usize, texts: &[&str]) -> LearnLifeReport {
    let plan = plan(scenario);
    learn_life(&plan, &order(option), &logs(&plan, option, texts), "0").unwrap()
}

fn after(report: &LearnLifeReport) -> Points {
    report.belief.as_ref().unwrap().after_b50_h
}

const NEXT_BAY: &str = include_str!("../../scenarios/tidefall/records/b-next-bay.csv");
const NONE_DEAD: &str = include_str!("../../scenarios/tidefall/records/b-none-dead.csv");

/// A lamp of which median life, shape and the cost of a start are believed.
fn believed() -> Value {
    let life = json!({
        "b50": { "lognormal": { "median": 12_000, "p90": 18_000 }, "unit": "h" },
        "shape": { "elicited": { "p10": 2.5, "p50": 3.5, "p90": 5 }, "unit": "1" },
        "rated_hours_per_start": 10
    });
    let scenario = with_options(vec![lamped("lamp", 9_000.0, 3.0, json!({ "on_failure": {} }))]);
    patched(scenario, json!({ "photoperiod": { "phases": [{ "name": "all", "days": 100, "lights": [{ "on": "06:00", "off": "18:00" }] }] } }))
        .as_object_mut()
        .map(|scenario| {
            scenario["options"][0]["lamp"]["life"] = life;
            Value::Object(scenario.clone())
        })
        .unwrap()
}

/// Logs that are pooled say what one log with all their rows says, in whatever order.
#[test]
fn pooled_logs_are_one_log() {
    let head = "socket,reason,alive_h,burn_h\n";
    let (one, two) = ("1,failed,,6100\n2,burning,,9900\n", "3,failed,7000,9000\n4,removed,,8000\n");
    let both = learnt(&demo(), 1, &[&format!("{head}{one}"), &format!("{head}{two}")]);
    for text in [format!("{head}{one}{two}"), format!("{head}{two}{one}")] {
        assert_eq!(after(&both), after(&learnt(&demo(), 1, &[&text])));
    }
}

/// A lamp that has not been watched for any time says nothing: the belief stays as it was, to the draw.
#[test]
fn nothing_watched_leaves_the_prior() {
    for (scenario, option) in [(demo(), 1), (believed(), 0)] {
        let report = learnt(&scenario, option, &["socket,reason,from_h,burn_h\n1,burning,4000,4000\n2,burning,,0\n"]);
        let belief = report.belief.unwrap();
        assert_eq!(belief.before_b50_h, belief.after_b50_h);
        assert_eq!(belief.data_share, 0.0);
    }
}

/// A death lowers what is believed of the median, a lamp that lives on raises it, and lamps watched late weigh less.
#[test]
fn deaths_lower_and_survivors_raise() {
    let head = "socket,reason,from_h,burn_h\n";
    let median = |rows: &str| after(&learnt(&demo(), 1, &[&format!("{head}{rows}")])).p50;
    let base = "1,failed,,9000\n2,burning,,9900\n";
    assert!(median(&format!("{base}3,failed,,6000\n")) < median(base));
    assert!(median(&format!("{base}3,burning,,9900\n")) > median(base));
    let (new, late) = (median(&format!("{base}3,burning,,9900\n")), median(&format!("{base}3,burning,9000,9900\n")));
    assert!(late < new && late > median(base), "{late} {new}");
}

/// What was learnt goes back into the scenario: draws there have the medians and the correlation of the belief, and the draws
/// of a run follow them.
#[test]
fn the_life_that_is_written_is_the_belief() {
    for (scenario, option) in [(demo(), 1), (believed(), 0)] {
        let report = learnt(&scenario, option, &[NEXT_BAY.replace("B long-life arc", "").as_str()]);
        let place = report.place.clone();
        assert!(option == 0 || place == PLACE);
        let written = life_json(&report, scenario.pointer(&place).unwrap()).unwrap();
        let mut changed = scenario.clone();
        *changed.pointer_mut(&place).unwrap() = written;
        let plan = plan(&changed);
        let belief = report.belief.unwrap();
        let ids: Vec<_> = belief
            .inputs
            .iter()
            .map(|input| {
                plan.input_ids().find(|&id| plan.inputs.at(id).pointer == format!("{place}{}", input.pointer)).unwrap()
            })
            .collect();
        for (id, input) in ids.iter().zip(&belief.inputs) {
            for (share, expected) in [(0.1, input.after.p10), (0.5, input.after.p50), (0.9, input.after.p90)] {
                let found = plan.inputs.at(*id).quantile(share);
                assert!((found / expected - 1.0).abs() < 2e-3, "{}: {found} {expected}", input.pointer);
            }
        }
        // a run draws rows, not numbers: what ties inputs together is kept
        let rows: Vec<Vec<f64>> = (0..4_000).map(|trial| plan.inputs.draw(1, trial)).collect();
        for pair in ids.windows(2) {
            let drawn = correlation(rows.iter().map(|row| (row[pair[0].index()], row[pair[1].index()])).collect());
            let of = |k: usize| {
                belief
                    .inputs
                    .iter()
                    .position(|input| plan.inputs.at(pair[k]).pointer.ends_with(&input.pointer))
                    .unwrap()
            };
            let (a, b) = (&belief.inputs[of(0)].draws, &belief.inputs[of(1)].draws);
            let meant = correlation(a.iter().copied().zip(b.iter().copied()).collect());
            assert!((drawn - meant).abs() < 0.06, "{drawn} {meant}");
            // a log that ends before half are dead cannot tell a long life from a steep one
            assert!(meant < -0.05, "{meant}");
        }
        let medians: Vec<f64> = rows
            .iter()
            .map(|row| engine::median_burn_hours(plan.options[option].lamp.as_ref().unwrap(), &plan.clocks[0], row))
            .collect();
        let found = decide::Sorted::new(medians);
        for (share, expected) in
            [(0.1, belief.after_b50_h.p10), (0.5, belief.after_b50_h.p50), (0.9, belief.after_b50_h.p90)]
        {
            // 4 000 trials of 1 000 draws
            assert!((found.quantile(share) / expected - 1.0).abs() < 0.03, "{} {expected}", found.quantile(share));
        }
    }
}

fn correlation(pairs: Vec<(f64, f64)>) -> f64 {
    let n = pairs.len() as f64;
    let (a, b) = (pairs.iter().map(|pair| pair.0).sum::<f64>() / n, pairs.iter().map(|pair| pair.1).sum::<f64>() / n);
    let sum = |of: &dyn Fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>();
    sum(&|pair| (pair.0 - a) * (pair.1 - b))
        / (sum(&|pair| (pair.0 - a).powi(2)) * sum(&|pair| (pair.1 - b).powi(2))).sqrt()
}

/// The teaching pair: nobody dead, and two of twelve.
#[test]
fn a_log_without_deaths_raises_the_belief_and_fits_no_curve() {
    let (some, none) = (learnt(&demo(), 1, &[NEXT_BAY]), learnt(&demo(), 1, &[NONE_DEAD]));
    assert!(after(&none).p10 > after(&some).p10 && after(&none).p90 > after(&some).p90);
    assert!(none.fits.is_empty() && none.bound.is_some() && none.belief.unwrap().dropped_b50_h.is_none());
    assert!(some.fits.len() == 2 && some.bound.is_none());
    let dropped = some.belief.as_ref().unwrap().dropped_b50_h.unwrap();
    assert!(dropped.p90 < after(&some).p50 * 1.02, "{dropped:?}");
}

/// Simulation-based calibration (Talts, Betancourt, Simpson, Vehtari and Gelman 2018; Cook, Gelman and Rubin 2006): a median
/// life is drawn from the belief, a log is lived with it, and where the true value ranks among the draws after that log must be
/// even. The logs have late entries, deaths between two looks and lamps that live on. 200 logs in 10 ranks of equal chance;
/// χ² with 9 degrees of freedom must not exceed its 99.9 % point.
#[test]
fn the_truth_ranks_evenly_among_the_draws() {
    const LOGS: u64 = 200;
    const RANKS: usize = 10;
    for option in [0, 1] {
        let scenario = if option == 0 { believed() } else { demo() };
        let plan = plan(&scenario);
        let lamp = plan.options[option].lamp.as_ref().unwrap();
        let mut ranks = [0u32; RANKS];
        for log in 0..LOGS {
            let values = plan.inputs.draw(7, log);
            let (truth, life) = (values[lamp.claim.hours.index()], lamp.life(&values));
            let wear = lamp::StartWear {
                start_cost: values[lamp.start_cost.index()],
                rated_hours_per_start: values[lamp.rated_hours_per_start.index()],
            };
            let pace = wear.per_burn_hour(12.0);
            let luck = Stream::new(11, Purpose::Watched, 40, log);
            let mut text = String::from("socket,reason,from_h,alive_h,burn_h\n");
            for k in 0..15u64 {
                // every third lamp is watched from 3 000 h on, and shows up in the log only if it has come so far
                let from = if k % 3 == 2 { 3_000.0 } else { 0.0 };
                let hazard = -luck.uniform(2 * k).ln();
                let died = life.wear_out.age_from(from * pace, hazard) / pace;
                let end = 6_000.0 + 9_000.0 * luck.uniform(2 * k + 1);
                let row = if died > end {
                    format!("{k},burning,{from},,{end}")
                } else if k % 2 == 0 {
                    format!("{k},failed,{from},,{died}")
                } else {
                    // looks every 2 000 h
                    let look = (died / 2_000.0).floor() * 2_000.0;
                    format!("{k},failed,{from},{},{}", look.max(from), look + 2_000.0)
                };
                text.push_str(&row);
                text.push('\n');
            }
            let report =
                learn_life(&plan, &LifeOrder { draws: 199, ..order(option) }, &logs(&plan, option, &[&text]), "0")
                    .unwrap();
            let draws = &report.belief.as_ref().unwrap().inputs[0].draws;
            let below = draws.iter().filter(|&&draw| draw < truth).count();
            ranks[(below * RANKS / (draws.len() + 1)).min(RANKS - 1)] += 1;
        }
        let expected = LOGS as f64 / RANKS as f64;
        let square: f64 = ranks.iter().map(|&seen| (f64::from(seen) - expected).powi(2) / expected).sum();
        let limit = ChiSquared::new(RANKS as f64 - 1.0).unwrap().inverse_cdf(0.999);
        assert!(square < limit, "option {option}: χ² {square:.1}, at most {limit:.1}; ranks {ranks:?}");
    }
}

/// What was learnt from one log and brought up to date by a second is what both say together, and what ties the median to the
/// shape is kept.
#[test]
fn a_learnt_belief_learns_on_as_if_all_logs_had_come_at_once() {
    let head = "socket,reason,alive_h,burn_h\n";
    let rows = |from: u32, dead: &[u32]| -> String {
        let row = |(k, hours): (usize, &u32)| format!("{},failed,,{hours}\n", from + k as u32);
        let dead: String = dead.iter().enumerate().map(row).collect();
        let alive: String = (0..6).map(|k| format!("{},burning,,{}\n", from + 50 + k, 9_000 + 300 * k)).collect();
        format!("{dead}{alive}")
    };
    let (one, two) = (rows(0, &[4_100, 7_000, 8_800, 9_900]), rows(100, &[6_000, 8_200, 10_400, 11_000]));
    let scenario = believed();
    let first = learnt(&scenario, 0, &[&format!("{head}{one}")]);
    let mut next = scenario.clone();
    let life = &scenario["options"][0]["lamp"]["life"];
    next["options"][0]["lamp"]["life"] = life_json(&first, life).unwrap();
    let in_turn = learnt(&next, 0, &[&format!("{head}{two}")]);
    let at_once = learnt(&scenario, 0, &[&format!("{head}{one}{two}")]);
    let (a, b) = (after(&in_turn), after(&at_once));
    for (a, b) in [(a.p10, b.p10), (a.p50, b.p50), (a.p90, b.p90)] {
        assert!((a / b - 1.0).abs() < 0.02, "{a} against {b}");
    }
    let tie = |report: &LearnLifeReport| {
        let inputs = &report.belief.as_ref().unwrap().inputs;
        let (x, y) = (&inputs[0].draws, &inputs[1].draws);
        let mean = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
        let (mx, my) = (mean(x), mean(y));
        let along = |f: &dyn Fn(f64, f64) -> f64| x.iter().zip(y).map(|(x, y)| f(x - mx, y - my)).sum::<f64>();
        along(&|x, y| x * y) / (along(&|x, _| x * x) * along(&|_, y| y * y)).sqrt()
    };
    assert!((tie(&in_turn) - tie(&at_once)).abs() < 0.12, "{} against {}", tie(&in_turn), tie(&at_once));
}
