//! What is said about the usual slips of people who write a scenario for the first time.
#![allow(clippy::unwrap_used)]

mod common;

use common::{bad, only, room_with, shown};

/// What is allowed instead of `to` in the place of `from`, and what would mend it.
fn told(from: &str, to: &str) -> (String, Option<String>) {
    let faulty = bad(&room_with(from, to), &[]);
    let fault = only(&faulty).clone();
    (fault.allowed, fault.hint)
}

#[test]
fn a_text_in_the_place_of_a_small_object_gets_its_members() {
    let faulty = bad(&room_with("\"relamp\": {\"on_failure\": {}}", "\"relamp\": \"spot\""), &[]);
    assert_eq!(
        shown(&faulty),
        "\
error: options[\"A plain arc\"].upkeep.relamp: found the text \"spot\"
  --> room.json:32:28
   |
32 |       \"upkeep\": {\"relamp\": \"spot\", \"spot_labour\": 12}
   |                            ^^^^^^
   |
   = allowed: an object with one of `on_failure`, `group`, `by_age`. When lamps are replaced; needed when the option has \
a lamp."
    );

    let allowed = |from: &str, to: &str| told(from, to).0;
    assert_eq!(
        allowed("\"group\": {\"every\": {\"is\": 15, \"unit\": \"kh\"}}", "\"group\": 15000"),
        "an object with one of `every`, `every_crops`, `at_light`. All lamps together."
    );
    assert_eq!(
        allowed("{\"normal\": {\"mean\": 1040, \"sd\": 15}, ", "{\"normal\": [1040, 15], "),
        "an object with `mean`, `sd`. Normal distribution by mean and standard deviation."
    );
    assert_eq!(allowed("\"constant\": {}", "\"constant\": true"), "an empty object, {}. No fading at all: write {}.");
    assert_eq!(
        allowed("{\"price\": 0.2}", "{\"price\": 0.2, \"when\": \"always\"}"),
        "a list, or an object with any of `days`, `from`, `months`, `seasons`, `until`. When it holds, or a list of such \
         times of which one must fit; always when absent."
    );
    assert_eq!(
        allowed(
            "{\"name\": \"leaf\", \"days\": 21, \"lights\": [{\"on\": \"04:00\", \"off\": \"22:00\"}]}",
            "\"leaf\""
        ),
        "an object with `name`, `days`, `lights` and perhaps `flux`, `power`"
    );
}

#[test]
fn numbers_with_commas_and_blanks_get_a_hint() {
    let faulty = bad(&room_with("\"shape\": 4", "\"shape\": 3,5"), &[]);
    assert_eq!(
        shown(&faulty),
        "\
error: room.json: found `5`
  --> room.json:45:62
   |
45 |         \"life\": {\"b50\": {\"is\": 24, \"unit\": \"kh\"}, \"shape\": 3,5, \"rated_hours_per_start\": 12}
   |                                                              ^
   |
   = allowed: a name in double quotes
   = help: decimals need a point (3.5); thousands take no sign (11000)"
    );
    let hint = Some("decimals need a point (3.5); thousands take no sign (11000)".to_string());
    assert_eq!(told("\"shape\": 4", "\"shape\": 11,000").1, hint);
    assert_eq!(told("\"shape\": 4", "\"shape\": 16 000").1, hint);
    assert_eq!(told("\"shape\": 4", "\"shape\": \"3,5\"").1, hint);
    assert_eq!(only(&bad(common::ROOM, &["/options/1/lamp/life/shape=3,5"])).hint, hint);
}

#[test]
fn words_in_the_place_of_a_number_get_the_form_of_a_range() {
    let range = "{\"elicited\": {\"p10\": 11000, \"p50\": 17000, \"p90\": 22000}, \"unit\": \"h\"}";
    let (allowed, hint) = told("\"b50\": {\"is\": 24, \"unit\": \"kh\"}", "\"b50\": \"between 11 and 22 thousand\"");
    assert_eq!(
        allowed,
        format!(
            "a number, or an object such as {{\"is\": 46, \"grade\": \"invoice\"}} or {range}. Rated life as a MEDIAN: \
             burn hours by which half have failed, unit \"h\" or \"kh\"."
        )
    );
    assert_eq!(hint, None);
    let (allowed, _) = told("\"b50\": {\"is\": 24, \"unit\": \"kh\"}", "\"b50\": [11000, 22000]");
    assert!(allowed.contains(range), "{allowed}");
    let (allowed, _) = told("\"is\": 24, \"unit\": \"kh\"", "\"is\": \"between 11 and 22 thousand\"");
    assert_eq!(
        allowed,
        format!("a number; for a range, write the figure such as {range}. One number, taken as certain.")
    );
    // Nothing else can be a range.
    assert_eq!(
        told("\"horizon_years\": 5", "\"horizon_years\": \"five\"").0,
        "a whole number. How many whole years are simulated."
    );
}

#[test]
fn names_from_elsewhere_are_understood() {
    let hints = |figure: &str| -> Vec<String> {
        let text =
            room_with("{\"normal\": {\"mean\": 1040, \"sd\": 15}, \"unit\": \"W\", \"luck\": \"meter\"}", figure);
        bad(&text, &[]).faults.into_iter().map(|fault| fault.hint.unwrap_or(fault.allowed)).collect()
    };
    assert_eq!(
        hints("{\"triangular\": {\"min\": 1, \"likely\": 2, \"max\": 3}}"),
        ["did you mean `low`?", "did you mean `mode`?", "did you mean `high`?"]
    );
    assert_eq!(hints("{\"pert\": {\"low\": 1, \"most_likely\": 2, \"high\": 3}}"), ["did you mean `mode`?"]);
    assert_eq!(hints("{\"normal\": {\"mean\": 1, \"sigma\": 2}}"), ["did you mean `sd`?"]);
    assert_eq!(hints("{\"normal\": {\"mean\": 1, \"std\": 2}}"), ["did you mean `sd`?"]);
    assert_eq!(hints("{\"value\": 1040, \"unit\": \"W\"}"), ["did you mean `is`?"]);
}
