//! Whatever is read, the rules give back the schedules; and whatever is handed in, nothing panics.

use proptest::prelude::*;
use scenario::figure::Figure;
use scenario::form::Tariff;
use scenario::import::{import, looks_like_a_rate};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::bench::{by_hour, check, read, with};

/// Price of an hour by the first rule that fits.
fn price(tariff: &Value, month: usize, days: &str, hour: usize) -> f64 {
    let holds = |window: &Value| {
        let clock = |name: &str, else_: usize| {
            window[name].as_str().map_or(else_, |text| text.strip_suffix(":00").unwrap().parse().unwrap())
        };
        let lists = |name: &str, wanted: Value| window[name].as_array().is_none_or(|list| list.contains(&wanted));
        lists("months", json!(month + 1))
            && lists("days", json!(days))
            && (clock("from", 0)..clock("until", 24)).contains(&hour)
    };
    let fits = |rule: &&Value| match rule.get("when") {
        None => true,
        Some(Value::Array(windows)) => windows.iter().any(holds),
        Some(window) => holds(window),
    };
    let rule = tariff["energy"].as_array().unwrap().iter().find(fits).unwrap();
    rule["price"]["is"].as_f64().unwrap()
}

fn schedule() -> impl Strategy<Value = Vec<Vec<usize>>> {
    // Rows are picked from a few, as in real schedules, and a few hours are changed at random.
    let row = prop::collection::vec((0..4usize, 1..9usize), 3..8).prop_map(|runs| {
        let hours: Vec<usize> =
            runs.iter().cycle().flat_map(|(period, hours)| vec![*period; *hours]).take(24).collect();
        hours
    });
    let rows = prop::collection::vec(row, 1..4);
    let changes = prop::collection::vec((0..12usize, 0..24usize, 0..4usize), 0..6);
    (rows, prop::collection::vec(any::<prop::sample::Index>(), 12), changes).prop_map(|(rows, picks, changes)| {
        let mut months: Vec<Vec<usize>> = picks.iter().map(|pick| pick.get(&rows).clone()).collect();
        changes.into_iter().for_each(|(month, hour, period)| months[month][hour] = period);
        months
    })
}

/// Every pointer into a value.
fn pointers(value: &Value, at: String, found: &mut Vec<String>) {
    match value {
        Value::Array(elements) => {
            elements.iter().enumerate().for_each(|(index, element)| pointers(element, format!("{at}/{index}"), found));
        }
        Value::Object(members) => {
            members.iter().for_each(|(name, member)| pointers(member, format!("{at}/{name}"), found))
        }
        _ => {}
    }
    found.push(at);
}

/// A rate that uses everything.
fn rich() -> Value {
    let hours = by_hour()["energyweekdayschedule"].clone();
    with(
        by_hour(),
        json!({
            "energyratestructure": [[{"rate": 0.1, "max": 50, "unit": "kWh"}, {"rate": 0.2}], [{"rate": 0.1, "sell": 1}], [{"adj": 1}]],
            "flatdemandstructure": [[{"rate": 1}], [{"rate": 2, "max": 9}, {"rate": 3}]], "flatdemandunit": "kW",
            "flatdemandmonths": [0, 0, 0, 0, 0, 1, 1, 1, 1, 0, 0, 0], "fueladjustmentsmonthly": [0.1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
            "demandratestructure": [[{"rate": 0}], [{"rate": 2}], [{"rate": 3}]], "demandweekdayschedule": hours,
            "demandweekendschedule": hours, "demandratchetpercentage": [0.1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0], "demandwindow": 15,
            "lookbackpercent": 0.5, "lookbackrange": 3, "lookbackmonths": [true, false, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0],
            "coincidentratestructure": [[{"rate": 1}]], "demandreactivepowercharge": 1, "energyattrs": [{"a": "1"}],
            "description": "a minimum of 5", "fixedchargefirstmeter": 1, "fixedchargeunits": "$/day", "mincharge": 2,
            "startdate": 1_938_038_400, "enddate": "2031-12-31", "servicetype": "Energy", "surcharge": 1
        }),
    )
}

fn values() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(|number| json!(number)),
        (-2..4i32).prop_map(Value::from),
        ".{0,12}".prop_map(Value::from),
        "(NaN|inf|1e999|-0|kWh/kW|kW daily|minimum 5|2031-01-0é)".prop_map(Value::from),
        Just(json!([])),
        Just(json!({})),
        Just(json!([[[{"rate": [1]}]]])),
    ]
}

proptest! {
    #[test]
    fn rules_give_back_the_schedules(weekday in schedule(), weekend in schedule(), same in any::<bool>()) {
        let weekend = if same { weekday.clone() } else { weekend };
        let prices = [0.1, 0.25, 0.07, 0.4];
        let structure: Vec<Value> = prices.iter().map(|price| json!([{"rate": price}])).collect();
        let imported = read(&json!({ "energyratestructure": structure, "energyweekdayschedule": weekday,
            "energyweekendschedule": weekend }));
        for (days, matrix) in [("weekday", &weekday), ("weekend", &weekend)] {
            for (month, row) in matrix.iter().enumerate() {
                for (hour, period) in row.iter().enumerate() {
                    prop_assert_eq!(price(&imported.tariff, month, days, hour), prices[*period]);
                }
            }
        }
        let last = imported.tariff["energy"].as_array().unwrap().last().unwrap();
        prop_assert!(last.get("when").is_none());
    }

    #[test]
    fn demand_windows_hold_exactly_the_hours_of_their_period(weekday in schedule(), weekend in schedule()) {
        let imported = read(&with(by_hour(), json!({ "demandratestructure": [[{}], [{"rate": 1}], [{"rate": 2}], [{"rate": 3}]],
            "demandweekdayschedule": weekday, "demandweekendschedule": weekend })));
        let rules = imported.tariff.get("demand").cloned().unwrap_or(json!([]));
        for rule in rules.as_array().unwrap() {
            // The same rule as an energy price, before one that fits always.
            let alone = json!({ "energy": [with(rule.clone(), json!({"price": {"is": 1}})), {"price": {"is": 0}}] });
            let period = rule["price"]["is"].as_f64().unwrap() as usize;
            for (days, matrix) in [("weekday", &weekday), ("weekend", &weekend)] {
                for (month, row) in matrix.iter().enumerate() {
                    for (hour, here) in row.iter().enumerate() {
                        prop_assert_eq!(price(&alone, month, days, hour) == 1.0, *here == period);
                    }
                }
            }
        }
    }

    #[test]
    fn a_price_is_the_sum_of_its_parts(rate in 0.0..9.0f64, adj in -1.0..1.0f64) {
        let rate = with(by_hour(), json!({ "energyratestructure": [[{"rate": rate + 1.0, "adj": adj}]],
            "energyweekdayschedule": null, "energyweekendschedule": null }));
        let tier = &rate["energyratestructure"][0][0];
        let sum = tier["rate"].as_f64().unwrap() + tier["adj"].as_f64().unwrap();
        let tariff = Tariff::deserialize(&read(&rate).tariff).unwrap();
        let Some(Figure::Told(told)) = &tariff.energy[0].price else { panic!() };
        prop_assert!((told.is.unwrap() - sum).abs() <= 1e-12 * sum.abs().max(1.0));
    }

    #[test]
    fn a_changed_rate_is_read_or_refused(changes in prop::collection::vec((any::<prop::sample::Index>(), values()), 1..4)) {
        let mut rate = rich();
        for (index, value) in changes {
            let mut places = Vec::new();
            pointers(&rate, String::new(), &mut places);
            // The hours are many; the other places should be struck as often.
            places.retain(|place| !place.contains("schedule/") || place.ends_with("/7"));
            *rate.pointer_mut(&places[index.index(places.len())]).unwrap() = value;
        }
        looks_like_a_rate(&rate.to_string());
        match import(&rate.to_string(), "USD") {
            Ok(imported) => check(&imported),
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                for fault in faults {
                    prop_assert!(!fault.found.chars().any(char::is_control), "{:?}", fault);
                    prop_assert!(fault.at.is_empty() || rate.pointer(&fault.at).is_some() || fault.at.ends_with("/max"));
                }
            }
        }
    }

    #[test]
    fn any_text_is_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200), cut in any::<prop::sample::Index>(), swap in any::<u8>()) {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let mut broken = rich().to_string().into_bytes();
        let place = cut.index(broken.len());
        broken[place] = swap;
        for text in [text, String::from_utf8_lossy(&broken).into_owned(), String::from_utf8_lossy(&broken[..place]).into_owned()] {
            looks_like_a_rate(&text);
            if let Ok(imported) = import(&text, "USD") {
                check(&imported);
            }
        }
    }
}

#[test]
fn a_rate_with_everything_is_read() {
    assert_eq!(read(&rich()).tariff["open_questions"].as_array().unwrap().len(), 9);
}
