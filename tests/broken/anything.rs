//! Whatever is handed in: bytes at random, and scenarios changed at random places.

use proptest::prelude::*;
use proptest::test_runner::Config;
use serde_json::{Value, json};

use super::{Fate, fate, places, with_raw};
use crate::support;

/// So many cases, and no file of failures beside the source: a failure prints its smallest input.
fn cases(cases: u32) -> Config {
    Config { cases, failure_persistence: None, ..Config::default() }
}

/// Texts that are put in the place of a value.
fn raw() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<f64>().prop_map(|number| json!(number).to_string()),
        any::<i64>().prop_map(|number| number.to_string()),
        (-400..400i32).prop_map(|power| format!("1e{power}")),
        (0.0..100.0f64).prop_map(|number| number.to_string()),
        (0..100u32).prop_map(|number| number.to_string()),
        ".{0,12}".prop_map(|text| json!(text).to_string()),
        "[0-9]{2}:[0-9]{2}".prop_map(|text| json!(text).to_string()),
        "(USD|%|h|kh|1/yr|%/yr|1|led|metal_halide|guess|standard|nominal|real|mid_month|weekend|Etc/UTC)"
            .prop_map(|text| json!(text).to_string()),
        prop::sample::select(vec!["null", "true", "[]", "{}", "[0]", "[[1]]", "{\"is\": 1}", "{\"file\": \"x\"}", "x"])
            .prop_map(str::to_owned),
        (0.0..50.0f64, 0.0..50.0f64)
            .prop_map(|(low, width)| { json!({"uniform": {"low": low, "high": low + width}}).to_string() }),
        (0.1..50.0f64, 1.0..9.0f64).prop_map(|(median, factor)| {
            json!({"lognormal": {"median": median, "p90": median * factor}}).to_string()
        }),
    ]
}

/// A scenario in which one to three values, picked at random, are something else.
fn changed(scenario: Value) -> impl Strategy<Value = String> {
    prop::collection::vec((any::<prop::sample::Index>(), raw()), 1..4).prop_map(move |changes| {
        let mut scenario = scenario.clone();
        let mut text = scenario.to_string();
        for (index, raw) in changes {
            let all = places(&scenario, |_| true);
            text = with_raw(&scenario, all[index.index(all.len())].as_str(), &raw);
            match serde_json::from_str(&text) {
                Ok(value) => scenario = value,
                Err(_) => break,
            }
        }
        text
    })
}

/// A text with a stretch of it repeated, taken out or overwritten.
fn cut_up(text: String) -> impl Strategy<Value = String> {
    let index = any::<prop::sample::Index>;
    (index(), 0..40usize, prop_oneof!["", ".{0,6}", "[\\[\\]{},:\"0-9.e+-]{1,4}"], any::<bool>()).prop_map(
        move |(from, length, patch, twice)| {
            let boundary = |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap();
            let from = boundary(from.index(text.len()));
            let to = boundary(from + length).max(from);
            let again = if twice { &text[from..to] } else { "" };
            format!("{}{patch}{again}{}", &text[..from], &text[if twice { from } else { to }..])
        },
    )
}

proptest! {
    #![proptest_config(cases(512))]

    #[test]
    fn any_bytes_are_refused_in_words(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        // what is not UTF-8 never gets this far
        let text = String::from_utf8_lossy(&bytes);
        prop_assert!(matches!(fate(&text), Ok(Fate::Refused(_))), "{text:?}");
    }

    #[test]
    fn anything_that_looks_like_json_is_refused_in_words(text in "[\\[\\]{},: \"a-f0-9.e+\\-\\\\un\n]{0,200}") {
        prop_assert!(matches!(fate(&text), Ok(Fate::Refused(_))), "{text:?}");
    }
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_starter_that_is_cut_up_is_refused_or_runs_soundly(text in cut_up(support::starter().to_string())) {
        if let Err(error) = fate(&text) {
            return Err(TestCaseError::fail(error));
        }
    }

    #[test]
    fn a_starter_that_is_changed_is_refused_or_runs_soundly(text in changed(support::starter())) {
        if let Err(error) = fate(&text) {
            return Err(TestCaseError::fail(error));
        }
    }
}

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn a_demonstration_that_is_changed_is_refused_or_runs_soundly(text in changed(support::demo())) {
        if let Err(error) = fate(&text) {
            return Err(TestCaseError::fail(error));
        }
    }
}
