//! Impossible numbers in every place where a number stands.

use serde_json::{Value, json};

use super::{Fate, fate, must_refuse, must_run, places, with_raw};
use crate::support;

/// What no place for a number takes: no number at all, or one that cannot be kept.
const NEVER: [&str; 7] = ["1e400", "-1e400", "NaN", "Infinity", "\"text\"", "[]", "{}"];

/// What some places take and others do not; null stands for "not stated".
const PERHAPS: [&str; 8] = ["1e308", "-1e308", "-1", "0", "-0", "1e-308", "-1e-308", "null"];

/// Puts every raw text at every place. Each scenario is refused in words or runs to finite numbers; returns how many
/// did which.
fn walk(scenario: &Value, places: &[String], raw: &[&str]) -> (usize, usize) {
    let (mut refused, mut ran, mut wrong) = (0, 0, vec![]);
    for at in places {
        for raw in raw {
            match fate(&with_raw(scenario, at, raw)) {
                Ok(Fate::Refused(_)) => refused += 1,
                Ok(Fate::Ran(_)) => ran += 1,
                Err(error) => wrong.push(format!("{at} = {raw}: {error}")),
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {} go wrong:\n{}", wrong.len(), places.len() * raw.len(), wrong.join("\n"));
    (refused, ran)
}

/// The places of the demonstration's numbers; of its four grids of readings, which are of one kind, a row alone.
fn places_of_the_demonstration(demo: &Value) -> Vec<String> {
    let all = places(demo, Value::is_number);
    let is_other_row =
        |at: &str| at.contains("/grid/readings/") && !at.starts_with("/options/0/light/grid/readings/0/");
    let some: Vec<String> = all.iter().filter(|at| !is_other_row(at)).cloned().collect();
    assert_eq!(all.len() - some.len(), 95);
    some
}

#[test]
fn what_is_no_number_is_refused_at_every_place() {
    let starter = support::starter();
    let all = places(&starter, Value::is_number);
    assert!(all.len() > 60);
    assert_eq!(walk(&starter, &all, &NEVER), (all.len() * NEVER.len(), 0));
    let demo = support::demo();
    let all = places_of_the_demonstration(&demo);
    assert_eq!(walk(&demo, &all, &NEVER), (all.len() * NEVER.len(), 0));
}

#[test]
fn a_strange_number_in_the_starter_is_refused_or_gives_finite_results() {
    let starter = support::starter();
    let (refused, ran) = walk(&starter, &places(&starter, Value::is_number), &PERHAPS);
    assert!(refused > 0 && ran > 0, "{refused} refused, {ran} ran");
}

#[test]
fn a_strange_number_in_the_demonstration_is_refused_or_gives_finite_results() {
    let demo = support::demo();
    // the other strange numbers are of the kinds of these
    let (refused, ran) = walk(&demo, &places_of_the_demonstration(&demo), &["1e308", "-1", "0", "1e-308"]);
    assert!(refused > 0 && ran > 0, "{refused} refused, {ran} ran");
}

/// The starter with another figure as the price of its lamp, 0 to 1e9 USD.
fn with_price(figure: &Value) -> String {
    let mut starter = support::starter();
    starter["options"][0]["lamp"]["price"] = figure.clone();
    starter.to_string()
}

#[test]
fn a_distribution_without_width_is_its_one_value() {
    let certain = must_run(&with_price(&json!(70)));
    let figures = [
        json!({"uniform": {"low": 70, "high": 70}}),
        json!({"triangular": {"low": 70, "mode": 70, "high": 70}}),
        json!({"pert": {"low": 70, "mode": 70, "high": 70}}),
        json!({"normal": {"mean": 70, "sd": 0}}),
        json!({"lognormal": {"median": 70, "p90": 70}}),
        json!({"discrete": [{"value": 70, "weight": 1e-300}]}),
        json!({"elicited": {"p10": 70, "p50": 70, "p90": 70}}),
        json!({"truncated_normal": {"mean": 70, "sd": 0, "low": 0, "high": 100}}),
    ];
    let mut ran = 0;
    for figure in figures {
        match fate(&with_price(&figure)).unwrap_or_else(|error| panic!("{figure}: {error}")) {
            Fate::Ran(result) => {
                assert_eq!(result.options[0].costs, certain.options[0].costs, "{figure}");
                ran += 1;
            }
            Fate::Refused(told) => assert!(told.contains("options[\"replaceable lamp\"].lamp.price: found"), "{told}"),
        }
    }
    assert!(ran > 0, "not one distribution without width is allowed");
}

#[test]
fn an_impossible_distribution_is_refused_at_its_place() {
    for figure in [
        json!({}),
        json!({"is": 1, "uniform": {"low": 1, "high": 2}}),
        json!({"uniform": {"low": 2, "high": 1}}),
        json!({"uniform": {"low": -1, "high": 1}}),
        json!({"uniform": {"low": 1, "high": 1e308}}),
        json!({"uniform": {"low": -1e308, "high": 1e308}}),
        json!({"triangular": {"low": 1, "mode": 3, "high": 2}}),
        json!({"pert": {"low": 2, "mode": 1, "high": 3}}),
        json!({"normal": {"mean": 70, "sd": -1}}),
        json!({"normal": {"mean": 1, "sd": 1}}),
        json!({"normal": {"mean": 0, "sd": 1e308}}),
        json!({"truncated_normal": {"mean": 1, "sd": 1, "low": 3, "high": 2}}),
        json!({"truncated_normal": {"mean": 0, "sd": 1e-9, "low": 1, "high": 2}}),
        json!({"lognormal": {"median": 0, "p90": 1}}),
        json!({"lognormal": {"median": 2, "p90": 1}}),
        json!({"lognormal": {"median": 1e-300, "p90": 1e300}}),
        json!({"discrete": []}),
        json!({"discrete": [{"value": 1, "weight": 0}]}),
        json!({"discrete": [{"value": 1, "weight": -1}, {"value": 2, "weight": 2}]}),
        json!({"discrete": [{"value": 1, "weight": 1e308}, {"value": 2, "weight": 1e308}]}),
        json!({"elicited": {"p10": 3, "p50": 2, "p90": 1}}),
    ] {
        must_refuse(&with_price(&figure), "error: options[\"replaceable lamp\"].lamp.price");
    }
}

#[test]
fn two_trials_that_are_all_alike_have_a_spread_of_nothing() {
    // a scenario without any chance in it: every standard error is 0, and nothing divides by it
    let room = support::patched(support::room(), json!({"options": [support::option("a"), support::option("b")]}));
    let result = must_run(&room.to_string());
    assert_eq!(result.options[0].costs[0].levelized.sd, 0.0);
    assert_eq!(result.contracts[0].ranking.tied_first, [0, 1]);
}
