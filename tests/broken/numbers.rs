//! Impossible numbers in every place where a number stands.

use std::time::Instant;

use serde_json::{Value, json};

use super::{Fate, fate, must_refuse, must_run, places, with_raw};
use crate::support;

/// What is put in the place of each number, one at a time.
const RAW: [&str; 13] =
    ["1e308", "-1e308", "-1", "0", "-0", "1e-308", "-1e-308", "1e400", "NaN", "\"text\"", "null", "[]", "{}"];

/// Puts every raw text at every place of a number; returns how many were refused and how many ran.
fn walk(scenario: &Value, of: &[&str]) -> (usize, usize) {
    let all = places(scenario, Value::is_number);
    let (mut refused, mut ran, mut wrong) = (0, 0, vec![]);
    for at in &all {
        for raw in of {
            match fate(&with_raw(scenario, at, raw)) {
                Ok(Fate::Refused(_)) => refused += 1,
                Ok(Fate::Ran(_)) => ran += 1,
                Err(error) => wrong.push(format!("{at} = {raw}: {error}")),
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {} go wrong:\n{}", wrong.len(), all.len() * of.len(), wrong.join("\n"));
    (refused, ran)
}

#[test]
fn zz() {
    let t = Instant::now();
    must_run(&support::starter().to_string());
    eprintln!("{:?}", t.elapsed());
    let t = Instant::now();
    must_run(&support::demo().to_string());
    eprintln!("{:?} {}", t.elapsed(), places(&support::demo(), Value::is_number).len());
    let t = Instant::now();
    let page = scenario::Page { name: "room.json".into(), text: support::demo().to_string() };
    let g = scenario::gather(page, &support::Bare, &[]).unwrap();
    eprintln!("gather {:?}", t.elapsed());
    let t = Instant::now();
    plan::Plan::new(&g.form).unwrap();
    eprintln!("plan {:?}", t.elapsed());
}

#[test]
fn no_number_of_the_starter_can_be_replaced_by_one_that_breaks_it() {
    let (refused, ran) = walk(&support::starter(), &RAW);
    eprintln!("{refused} {ran}");
}

#[test]
fn no_number_of_the_demonstration_can_be_replaced_by_one_that_breaks_it() {
    let (refused, ran) = walk(&support::demo(), &RAW);
    eprintln!("{refused} {ran}");
}
