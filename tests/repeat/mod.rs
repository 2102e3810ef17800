//! The same run gives the same bits: on any number of threads, run again, cut short, or with its lists reordered.
//!
//! Belongs here: whether a run repeats itself. Does not belong here: whether it is right.

use std::sync::atomic::{AtomicBool, Ordering};

use engine::{BATCH, Ended, Outcome, Settings, WAVE};
use plan::Plan;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use crate::support::{demo, patched, plan};

fn settings(trials: u64, seed: u64, threads: usize) -> Settings {
    Settings { seed, trials, threads, precision: None }
}

fn run(plan: &Plan, settings: Settings) -> (Outcome, Ended) {
    engine::run(plan, &settings, &AtomicBool::new(false), |_| {}).unwrap()
}

/// The demonstration with early failures and a spread of output, so that every kind of luck is drawn.
fn eventful() -> Value {
    let mut scenario = demo();
    scenario["options"][0]["lamp"]["life"]["early"] = json!({ "share": 0.05, "within": 900 });
    for option in 0..4 {
        scenario["options"][option]["light"]["lamp_to_lamp"] = json!(0.03);
    }
    scenario
}

/// Trials that end in the middle of a batch.
const TRIALS: u64 = 5 * BATCH + 17;

#[test]
fn threads_change_nothing() {
    let plan = plan(&eventful());
    let one = run(&plan, settings(TRIALS, 1, 1));
    for threads in [2, 7] {
        let many = run(&plan, settings(TRIALS, 1, threads));
        assert_eq!(many.0.digest(), one.0.digest(), "{threads} threads");
        // sums over trials are joined in the order of the batches, so they agree in every bit, too
        assert_eq!(many, one, "{threads} threads");
    }
}

#[test]
fn a_run_done_twice_is_the_same_and_another_seed_is_not() {
    let plan = plan(&eventful());
    let first = run(&plan, settings(TRIALS, 2, 1)).0;
    assert_eq!(run(&plan, settings(TRIALS, 2, 1)).0, first);
    assert_ne!(run(&plan, settings(TRIALS, 3, 1)).0.digest(), first.digest());
}

#[test]
fn seed_0_is_a_seed_like_any_other() {
    let plan = plan(&eventful());
    let (zero, one) = (run(&plan, settings(60, 0, 1)).0, run(&plan, settings(60, 1, 1)).0);
    assert_eq!(run(&plan, settings(60, 0, 1)).0.digest(), zero.digest());
    assert_ne!(zero.digest(), one.digest());
    // no trial of one seed turns up under the other, and no trial repeats another
    let costs =
        |outcome: &Outcome| outcome.costs(0, 0, |cell| cell.levelized).iter().map(|x| x.to_bits()).collect::<Vec<_>>();
    let mut all = [costs(&zero), costs(&one)].concat();
    all.sort_unstable();
    all.dedup();
    assert_eq!(all.len(), 120);
}

/// Asserts that the shorter outcome is what the longer one began with.
fn assert_begins(long: &Outcome, short: &Outcome) {
    let (options, contracts) = (4, 3);
    assert!(short.trials > 0 && short.trials <= long.trials);
    for trial in 0..short.trials as usize {
        for option in 0..options {
            for contract in 0..contracts {
                assert_eq!(long.cell(trial, option, contract), short.cell(trial, option, contract));
            }
        }
    }
    assert_eq!(long.lives[..short.lives.len()], short.lives[..]);
    assert_eq!(long.samples[..short.samples.len()], short.samples[..]);
    let per_trial = long.lives.len() / long.trials as usize;
    assert_eq!(short.lives.len(), per_trial * short.trials as usize);
}

#[test]
fn a_short_run_is_the_beginning_of_a_long_one() {
    let plan = plan(&eventful());
    let long = run(&plan, settings(TRIALS, 4, 2)).0;
    let mut runner = TestRunner::new(Config { cases: 8, failure_persistence: None, ..Config::default() });
    runner
        .run(&(2..TRIALS), |trials| {
            assert_begins(&long, &run(&plan, settings(trials, 4, 1)).0);
            Ok(())
        })
        .unwrap();
}

#[test]
fn options_and_contracts_in_another_order_get_the_same_numbers_by_name() {
    let ordered = plan(&eventful());
    let mut scenario = eventful();
    for list in ["options", "contracts"] {
        let items = scenario[list].as_array_mut().unwrap();
        items.reverse();
        items.swap(0, 1);
    }
    let shuffled = plan(&scenario);
    let (one, other) = (run(&ordered, settings(150, 5, 1)).0, run(&shuffled, settings(150, 5, 1)).0);
    for (o, option) in ordered.options.iter().enumerate() {
        let there = shuffled.options.iter().position(|known| known.name == option.name).unwrap();
        for (c, contract) in ordered.contracts.iter().enumerate() {
            let then = shuffled.contracts.iter().position(|known| known.name == contract.name).unwrap();
            let clocks = (contract.clock, shuffled.contracts[then].clock);
            for trial in 0..150 {
                assert_eq!(one.life(trial, o, clocks.0), other.life(trial, there, clocks.1));
                assert_eq!(one.cell(trial, o, c), other.cell(trial, there, then), "{} {}", option.name, contract.name);
            }
        }
    }
}

/// A room so cheap to live in that runs of several waves are quick.
fn small() -> Plan {
    let mut scenario = patched(demo(), json!({ "horizon_years": 1 }));
    scenario["contracts"].as_array_mut().unwrap().truncate(1);
    for option in scenario["options"].as_array_mut().unwrap() {
        option["fixtures"] = json!(1);
    }
    scenario["options"].as_array_mut().unwrap().truncate(2);
    scenario["contracts"][0]["tariff"]["energy"][0]["price"] = json!({ "normal": { "mean": 0.041, "sd": 0.004 } });
    plan(&scenario)
}

#[test]
fn a_stop_by_precision_comes_at_the_end_of_a_wave_and_at_the_same_one_for_any_threads() {
    let plan = small();
    let most = 6 * WAVE;
    let stopped = |share: f64, threads: usize| {
        let settings = Settings { precision: Some(share), ..settings(most, 6, threads) };
        run(&plan, settings)
    };
    let whole = run(&plan, settings(most, 6, 2)).0;
    // the standard errors after two waves and a bit set a target that no single wave meets
    let error = |trials: u64| {
        let error_of = |option: usize| {
            let costs = &whole.costs(option, 0, |cell| cell.levelized)[..trials as usize];
            let mean = decide::mean(costs).0;
            mean.se / mean.value
        };
        error_of(0).max(error_of(1))
    };
    let target = 0.5 * (error(2 * WAVE) + error(3 * WAVE));
    assert!(error(WAVE) > target && error(3 * WAVE) < target);
    for threads in [1, 2, 7] {
        let (outcome, ended) = stopped(target, threads);
        assert_eq!((outcome.trials, ended), (3 * WAVE, Ended::Precision), "{threads} threads");
        assert_eq!(outcome.cells[..], whole.cells[..outcome.cells.len()]);
    }
    let (outcome, ended) = stopped(1e-9, 2);
    assert_eq!((outcome.trials, ended), (most, Ended::Trials), "a target out of reach ends with the trials");
    assert_eq!(outcome.digest(), whole.digest());
}

#[test]
fn an_interrupted_run_is_the_beginning_of_the_whole_one() {
    let plan = small();
    let whole = run(&plan, settings(3 * WAVE, 7, 2));
    assert_eq!(whole.1, Ended::Trials);
    for threads in [1, 2, 7] {
        let stop = AtomicBool::new(false);
        let mut heard = vec![];
        let (outcome, ended) = engine::run(&plan, &settings(3 * WAVE, 7, threads), &stop, |progress| {
            heard.push(progress.done);
            stop.store(progress.done >= WAVE, Ordering::Relaxed);
        })
        .unwrap();
        assert_eq!((ended, outcome.trials), (Ended::Interrupted, WAVE));
        assert_eq!(heard, [WAVE]);
        assert_eq!(outcome.cells[..], whole.0.cells[..outcome.cells.len()]);
        assert_eq!(outcome.lives[..], whole.0.lives[..outcome.lives.len()]);
    }
}

#[test]
fn a_run_interrupted_amid_a_wave_keeps_only_whole_batches_from_the_beginning() {
    let plan = small();
    let whole = run(&plan, settings(2 * WAVE, 8, 2)).0;
    // wherever it is caught, what is there is a beginning; when it is caught is left to the scheduler
    for patience in [0, 10, 1_000, 100_000] {
        let stop = AtomicBool::new(false);
        let (outcome, ended) = std::thread::scope(|scope| {
            scope.spawn(|| {
                (0..patience).for_each(|_| std::thread::yield_now());
                stop.store(true, Ordering::Relaxed);
            });
            engine::run(&plan, &settings(2 * WAVE, 8, 2), &stop, |_| {}).unwrap()
        });
        assert!(outcome.trials % BATCH == 0);
        assert_eq!(outcome.cells[..], whole.cells[..outcome.cells.len()]);
        assert_eq!(ended == Ended::Trials, outcome.trials == 2 * WAVE);
    }
    let already = AtomicBool::new(true);
    let none = engine::run(&plan, &settings(2 * WAVE, 8, 2), &already, |_| {}).unwrap();
    assert_eq!((none.0.trials, none.1), (0, Ended::Interrupted), "stopped before it began");
}
