//! Prices in their places become rules.

use scenario::import::{Fate, import, looks_like_a_rate};
use serde_json::{Value, json};

use crate::bench::{always, by_hour, fate, numbers, plain, question, read, with};

#[test]
fn one_price_needs_no_hours() {
    let imported = read(&plain());
    let energy = json!([{ "name": "period 0",
        "price": {"is": 0.1, "unit": "USD/kWh", "grade": "datasheet", "note": "energyratestructure[0][0]"} }]);
    assert_eq!(imported.tariff["energy"], energy);
    assert_eq!(imported.tariff["name"], "Plain");
    assert!(imported.tariff.get("open_questions").is_none());
}

#[test]
fn hours_become_windows_and_the_usual_price_comes_last() {
    let tariff = read(&by_hour()).tariff;
    let summer = [6, 7, 8, 9];
    let window = |from: &str, until: &str| json!({"months": summer, "days": ["weekday"], "from": from, "until": until});
    let when: Vec<&Value> = tariff["energy"].as_array().unwrap().iter().map(|rule| &rule["when"]).collect();
    assert_eq!(
        when,
        [&json!([window("08:00", "14:00"), window("18:00", "22:00")]), &window("14:00", "18:00"), &Value::Null]
    );
    let prices: Vec<&Value> = tariff["energy"].as_array().unwrap().iter().map(|rule| &rule["price"]["is"]).collect();
    assert_eq!(prices, [0.16, 0.28, 0.1]);
}

#[test]
fn every_wrapping_gives_the_same() {
    let rate = by_hour();
    let bare = read(&rate);
    let shout =
        |text: String| text.replace("energyratestructure", "EnergyRateStructure").replace("\"rate\"", "\"RATE\"");
    for text in [
        json!({ "items": [rate] }).to_string(),
        json!({ "Items": [rate] }).to_string(),
        Value::String(rate.to_string()).to_string(),
        Value::String(json!({ "items": [rate] }).to_string()).to_string(),
        rate.to_string().replace("0.16", "\" 0.16 \"").replace("[0,", "[\"0\","),
    ] {
        assert_eq!(import(&text, "USD").unwrap().tariff["energy"], bare.tariff["energy"], "{text}");
        assert!(looks_like_a_rate(&text), "{text}");
    }
    let loud = import(&shout(rate.to_string()), "USD").unwrap();
    assert_eq!(loud.tariff["energy"][1]["price"]["is"], 0.28);
    assert!(looks_like_a_rate(&shout(rate.to_string())));
    let beside = import(&json!({ "items": [rate], "note": 1 }).to_string(), "USD").unwrap();
    assert_eq!(fate(&beside, "beside the rate: note").0, Fate::NoEffect);
    assert!(!looks_like_a_rate(&bare.tariff.to_string()));
    assert!(!looks_like_a_rate("{\"energy\": [{\"price\": 0.1}], \"note\": \"energyratestructure\"}"));
    assert!(!looks_like_a_rate("{\"energyratestructure\""));
}

#[test]
fn tiers_become_blocks() {
    let tiers = |unit: &str| {
        json!([[{"max": 300, "rate": 0.14, "unit": unit}, {"max": "500", "rate": 0.12, "unit": unit},
            {"max": 0, "adj": 0.1, "unit": unit}]])
    };
    for (unit, block_unit) in [
        ("kWh", json!(null)),
        ("kWh daily", json!("kWh/day")),
        ("kWh/kW", json!("kWh/kW")),
        ("kwh/kW daily", json!("kWh/kW/day")),
    ] {
        let imported = read(&with(plain(), json!({ "energyratestructure": tiers(unit) })));
        let rule = &imported.tariff["energy"][0];
        assert_eq!(rule["block_unit"], block_unit);
        let bounds: Vec<&Value> = rule["blocks"].as_array().unwrap().iter().map(|block| &block["up_to"]).collect();
        assert_eq!(bounds, [&json!(300.0), &json!(500.0), &Value::Null]);
        assert_eq!(rule["blocks"][2]["price"]["is"], 0.1);
        assert_eq!(imported.tariff.get("blocks_shared"), None);
        assert_eq!(imported.tariff.get("open_questions"), None);
        let last = fate(&imported, "energyratestructure[0][2].max");
        assert_eq!(last, (Fate::Mapped, "the last bound, 0, was read as unbounded"));
    }
    let imported =
        read(&with(plain(), json!({ "energyratestructure": [[{"rate": 0.1, "max": 1e38, "unit": "kWh/kW"}]] })));
    assert_eq!(imported.tariff["energy"][0]["price"]["is"], 0.1);
}

#[test]
fn units_that_are_not_ours_are_asked() {
    let tiers = |one: &str, other: &str| {
        let rate = json!([[{"max": 300, "rate": 0.1, "unit": one}, {"rate": 0.2, "unit": other}]]);
        read(&with(plain(), json!({ "energyratestructure": rate })))
    };
    let near = tiers("kWh/kVA", "kWh/kVA");
    assert_eq!(near.tariff["energy"][0]["block_unit"], "kWh/kW");
    assert!(question(&near, "`up_to`").contains("0.1 up to 300 kWh/kVA; 0.2 no bound"));
    for odd in [tiers("kWh", "kWh/kW"), tiers("therm", "therm")] {
        assert_eq!(odd.tariff["energy"][0]["price"]["is"], 0.2);
        assert_eq!(fate(&odd, "energyratestructure[0][*].unit").0, Fate::NeedsDecision);
        question(&odd, "dearest");
    }
}

#[test]
fn shared_blocks_are_asked_only_when_a_month_shares_them() {
    let tiers = |max: f64| json!([{"max": max, "rate": 0.1}, {"rate": 0.2}]);
    let both = read(&with(by_hour(), json!({ "energyratestructure": [tiers(100.0), tiers(100.0), [{"rate": 0.3}]] })));
    assert_eq!(both.tariff["blocks_shared"], "in_proportion");
    let asked = question(&both, "blocks_shared");
    assert!(
        asked.starts_with("Energy periods 0 and 1 have blocks side by side in June, July, August and September"),
        "{asked}"
    );
    assert!(!asked.contains("differ"));
    let differ =
        read(&with(by_hour(), json!({ "energyratestructure": [tiers(100.0), tiers(200.0), [{"rate": 0.3}]] })));
    assert!(question(&differ, "blocks_shared").ends_with("Their bounds differ."));
    let one =
        read(&with(by_hour(), json!({ "energyratestructure": [tiers(100.0), [{"rate": 0.2}], [{"rate": 0.3}]] })));
    assert_eq!((one.tariff.get("blocks_shared"), one.tariff.get("open_questions")), (None, None));
    let mut seasons = vec![[0; 24]; 12];
    seasons[..6].fill([1; 24]);
    let apart = read(&with(
        plain(),
        json!({ "energyratestructure": [tiers(100.0), tiers(200.0)],
        "energyweekdayschedule": seasons, "energyweekendschedule": seasons }),
    ));
    assert_eq!(apart.tariff["blocks_shared"], "in_proportion");
    assert_eq!(apart.tariff.get("open_questions"), None);
}

#[test]
fn fuel_adjustments_become_a_rider() {
    let months: Vec<f64> = (0..12).map(|month| f64::from(month) / 1000.0 - 0.002).collect();
    let imported = read(&with(plain(), json!({ "fueladjustmentsmonthly": months })));
    assert_eq!(numbers(&imported.tariff["riders"][0]["by_month"]), months);
    let none = read(&with(plain(), json!({ "fueladjustmentsmonthly": vec![0; 12] })));
    assert_eq!(none.tariff.get("riders"), None);
}

#[test]
fn demand_by_hour_becomes_a_rule_for_each_price() {
    let hours = by_hour()["energyweekdayschedule"].clone();
    let imported = read(&with(
        plain(),
        json!({
            "demandratestructure": [[{"rate": 0}], [{"max": 50, "rate": 4}, {"rate": 5}], [{"rate": 16, "adj": 0.5}], [{"rate": 9}]],
            "demandweekdayschedule": hours, "demandweekendschedule": always(0), "demandrateunit": "kW", "demandwindow": "30"
        }),
    ));
    let demand = &imported.tariff["demand"];
    assert_eq!(demand.as_array().unwrap().len(), 2);
    assert_eq!(demand[0]["blocks"][0]["up_to"], 50.0);
    assert_eq!(demand[0]["when"].as_array().unwrap().len(), 2);
    assert_eq!(demand[1]["price"]["is"], 16.5);
    assert_eq!(demand[1]["price"]["unit"], "USD/kW/month");
    assert_eq!(
        demand[1]["when"],
        json!({"months": [6, 7, 8, 9], "days": ["weekday"], "from": "14:00", "until": "18:00"})
    );
    assert_eq!(imported.tariff["demand_interval"], 30);
    assert_eq!(fate(&imported, "demandratestructure[0]"), (Fate::NoEffect, "its price is 0"));
    assert_eq!(fate(&imported, "demandratestructure[3]"), (Fate::NoEffect, "no hour uses it"));
    assert_eq!(imported.tariff.get("open_questions"), None);
}

#[test]
fn flat_demand_becomes_one_rule() {
    let rate = |structure: Value, months: Value| {
        read(&with(plain(), json!({ "flatdemandstructure": structure, "flatdemandmonths": months }))).tariff
    };
    let seasons = json!([0, 0, 0, 0, 0, 1, 1, 1, 1, 0, 0, 0]);
    let one = rate(json!([[{"rate": 15.0}]]), json!(vec![0; 12]));
    assert_eq!(one["demand"][0]["price"]["is"], 15.0);
    assert_eq!(rate(json!([[{"rate": 15.0}]]), json!(null))["demand"][0]["price"], one["demand"][0]["price"]);
    let alike = rate(json!([[{"rate": 15.0}], [{"rate": 14, "adj": 1}]]), seasons.clone());
    assert_eq!(alike["demand"], one["demand"]);
    let months = rate(json!([[{"rate": 9.75}], [{"rate": 14.5}]]), seasons.clone());
    let expected = [9.75, 9.75, 9.75, 9.75, 9.75, 14.5, 14.5, 14.5, 14.5, 9.75, 9.75, 9.75];
    assert_eq!(numbers(&months["demand"][0]["by_month"]), expected);
    let blocks = rate(json!([[{"max": 100, "rate": 13.5}, {"rate": 12.1}], [{"rate": 16}]]), seasons.clone());
    assert_eq!(blocks["demand"][0]["when"], json!({"months": [1, 2, 3, 4, 5, 10, 11, 12]}));
    assert_eq!(blocks["demand"][0]["blocks"][0]["up_to"], 100.0);
    assert_eq!(blocks["demand"][1]["when"], json!({"months": [6, 7, 8, 9]}));
    assert_eq!(blocks["demand"][1]["price"]["is"], 16.0);
    assert_eq!(rate(json!([[{"rate": 0}], [{}]]), seasons).get("demand"), None);
}

#[test]
fn amounts_keep_their_stretch_of_time() {
    for (unit, each) in [("$/day", "day"), ("$/month", "month"), ("$/Year", "year")] {
        let imported = read(&with(
            plain(),
            json!({ "fixedchargefirstmeter": 19.5, "fixedchargeunits": unit,
            "mincharge": 4700, "minchargeunits": unit, "fixedchargeeaaddl": 3 }),
        ));
        let fixed = &imported.tariff["fixed"][0];
        assert_eq!(
            (&fixed["price"]["is"], &fixed["price"]["unit"], &fixed["each"]),
            (&json!(19.5), &json!("USD"), &json!(each))
        );
        assert_eq!(imported.tariff["minimum_bill"]["each"], each);
        assert_eq!(imported.tariff.get("open_questions"), None);
    }
    let old = read(&with(plain(), json!({ "fixedmonthlycharge": 275, "annualmincharge": 900, "minmonthlycharge": 0 })));
    assert_eq!(
        (&old.tariff["fixed"][0]["each"], &old.tariff["minimum_bill"]["each"]),
        (&json!("month"), &json!("year"))
    );
    let same = read(&with(
        plain(),
        json!({ "fixedmonthlycharge": 5, "fixedchargefirstmeter": 5, "fixedchargeunits": "$/month" }),
    ));
    assert_eq!(fate(&same, "fixedmonthlycharge").0, Fate::NoEffect);
    let twice = read(&with(
        plain(),
        json!({ "fixedmonthlycharge": 6, "fixedchargefirstmeter": 5, "fixedchargeunits": "$/month",
        "mincharge": 7, "minmonthlycharge": 8 }),
    ));
    question(
        &twice,
        "`fixedchargefirstmeter` (5 USD each month), which was used, and as `fixedmonthlycharge` (6 USD each month)",
    );
    question(&twice, "`mincharge` has no unit");
    question(&twice, "`minmonthlycharge` (8 USD each month)");
}
