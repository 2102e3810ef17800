//! Too few, too many, too deep, and names that nobody knows.

use std::sync::atomic::AtomicBool;

use engine::Settings;
use serde_json::{Value, json};

use super::{Fate, fate, must_refuse, must_run, places, with_raw};
use crate::support;

/// The text of the demonstration with a value at a place.
fn demo_with(at: &str, value: &Value) -> String {
    with_raw(&support::demo(), at, &value.to_string())
}

#[test]
fn every_list_may_be_emptied_and_is_refused_or_does_without() {
    let mut ran = vec![];
    for scenario in [support::demo(), support::starter()] {
        let all = places(&scenario, Value::is_array);
        assert!(all.len() > 5);
        for at in all {
            match fate(&with_raw(&scenario, &at, "[]")).unwrap_or_else(|error| panic!("{at} = []: {error}")) {
                Fate::Refused(_) => {}
                Fate::Ran(_) => ran.push(at),
            }
        }
    }
    // a tariff needs no demand charge; everything else needs at least one of its kind
    let demand = ["/contracts/0/tariff/demand", "/contracts/1/tariff/demand", "/contracts/2/tariff/demand"];
    assert_eq!(ran, [&demand[..], &demand[..1]].concat());
}

#[test]
fn an_empty_list_is_told_with_what_it_should_hold() {
    must_refuse(&demo_with("/options", &json!([])), "options: found 0 items");
    must_refuse(&demo_with("/contracts", &json!([])), "contracts: found 0 items");
    must_refuse(&demo_with("/photoperiod/phases", &json!([])), "photoperiod.phases: found 0 phases");
    must_refuse(&demo_with("/photoperiod/phases/0/lights", &json!([])), "lights that never burn");
    must_refuse(&demo_with("/contracts/0/tariff/energy", &json!([])), "at least one energy price");
    must_refuse(&demo_with("/options/0/light/grid/readings", &json!([[]])), "light.grid.readings");
    must_refuse(&demo_with("/options/0/light/grid/readings", &json!([[1, 2], [3]])), "light.grid.readings");
    must_refuse(&demo_with("/options/0/light/grid/readings", &json!([[0, 0], [0, 0]])), "a mean of at least 0.001");
    must_refuse(&demo_with("/contracts/1/tariff/energy/0/when/days", &json!([])), "when.days: found an empty list");
    let cooling = json!({"cop": 3, "cop_by_month": [1, 2]});
    must_refuse(&demo_with("/cooling", &cooling), "cooling.cop_by_month: found 2 numbers");
    must_refuse(&demo_with("/options/0/maintenance", &json!({"table": []})), "maintenance.table");
}

#[test]
fn counts_are_bounded_before_anything_is_made_of_them() {
    let sockets = |fixtures: u64, lamps: u64| {
        let mut demo = support::demo();
        demo["options"][0]["fixtures"] = fixtures.into();
        demo["options"][0]["lamps_per_fixture"] = lamps.into();
        demo.to_string()
    };
    must_refuse(&sockets(1_000_000_000, 1), "found 1000000000 sockets");
    must_refuse(&sockets(1, 1_000_000_000), "found 1000000000 sockets");
    must_refuse(&sockets(4_294_967_295, 4_294_967_295), "at most 100000 sockets");
    must_refuse(&sockets(4_294_967_296, 1), "options[\"A cheap arc\"].fixtures");
    must_refuse(&sockets(0, 1), "a whole number from 1 upwards");
    must_refuse(&sockets(1, 0), "a whole number from 1 upwards");
    must_refuse(&demo_with("/horizon_years", &json!(61)), "1 to 60 whole years");
    must_refuse(&demo_with("/horizon_years", &json!(4_294_967_295_u64)), "1 to 60 whole years");
    must_refuse(&demo_with("/photoperiod/turnaround_days", &json!(4_294_967_295_u64)), "at most 3 660 days");
    must_refuse(&demo_with("/photoperiod/phases/0/days", &json!(3661)), "1 to 3 660 days");
    let contract = |k: u32| json!({"name": k.to_string(), "tariff": {"energy": [{"price": 0.1}]}});
    let contracts: Vec<Value> = (0..201).map(contract).collect();
    must_refuse(&demo_with("/contracts", &contracts.into()), "found 201 items");
    let windows: Vec<Value> = (0..49).map(|k| json!({"on": format!("00:{k:02}"), "off": "24:00"})).collect();
    must_refuse(&demo_with("/photoperiod/phases/0/lights", &windows.into()), "at most 48 a day");
    // 100 000 lamps of 10 h each would change 200 million times
    let mut demo = support::demo();
    demo["options"][0]["fixtures"] = 100_000.into();
    demo["options"][0]["lamp"]["life"]["b50"] = 10.into();
    must_refuse(&demo.to_string(), "lamp changes a trial");
}

#[test]
fn the_longest_horizon_and_the_largest_room_run() {
    let mut room = support::patched(support::room(), json!({"horizon_years": 60}));
    room["options"][0]["fixtures"] = 100_000.into();
    let result = must_run(&room.to_string());
    assert_eq!((result.options[0].sockets, result.options[0].costs[0].by_year.len()), (100_000, 61));
}

#[test]
fn one_trial_of_a_wide_scenario_and_no_trial_at_all_do_not_panic() {
    let plan = support::plan(&support::demo());
    for trials in [0, 1] {
        let settings = Settings { seed: 1, trials, threads: 2, precision: Some(0.1) };
        let (outcome, _) = engine::run(&plan, &settings, &AtomicBool::new(false), |_| {}).unwrap();
        assert_eq!(outcome.trials, trials);
    }
}

#[test]
fn an_unknown_name_in_any_object_is_refused_by_name() {
    let demo = support::demo();
    let all = places(&demo, Value::is_object);
    assert!(all.len() > 80);
    // meters are known by names that their owner chose
    for at in all.into_iter().filter(|at| at != "/meters") {
        let mut scenario = demo.clone();
        scenario.pointer_mut(&at).unwrap()["xylophone"] = 1.into();
        must_refuse(&scenario.to_string(), "xylophone: found an unknown name");
    }
}

#[test]
fn a_name_that_stands_twice_is_refused() {
    let text =
        support::starter().to_string().replacen("\"horizon_years\":5", "\"horizon_years\":5,\"horizon_years\":6", 1);
    must_refuse(&text, "the name `horizon_years` a second time");
    must_refuse(&demo_with("/options/1/name", &json!("A cheap arc")), "a name that no other item has");
    must_refuse(&demo_with("/contracts/1/name", &json!("flat contract")), "a name that no other item has");
}

#[test]
fn deep_nesting_is_refused_however_deep() {
    for depth in [128, 10_000, 400_000] {
        for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
            let text = format!("{}1{}", open.repeat(depth), close.repeat(depth));
            must_refuse(&text, "at most 127 levels");
            must_refuse(&open.repeat(depth), "at most 127 levels");
        }
        let deep = format!("{}{}", "[".repeat(depth), "]".repeat(depth));
        must_refuse(&with_raw(&support::starter(), "/note", &deep), "at most 127 levels");
    }
    // within the bound it is the shape that is refused
    let deep = format!("{}{}", "[".repeat(100), "]".repeat(100));
    must_refuse(&with_raw(&support::starter(), "/note", &deep), "note: found a list of 1");
}

#[test]
fn thousands_of_faults_are_told_in_a_bounded_text() {
    let members: serde_json::Map<String, Value> = (0..20_000).map(|k| (format!("wrong{k}"), Value::Null)).collect();
    let mut starter = support::starter();
    starter.as_object_mut().unwrap().extend(members);
    let Fate::Refused(shown) = fate(&starter.to_string()).unwrap() else { panic!("it ran") };
    assert!(shown.contains("more") && shown.len() < 100_000, "{} bytes", shown.len());
}
