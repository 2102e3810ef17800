//! Hostile rates are refused with every fault at once.

use scenario::import::import;
use serde_json::{Value, json};

use crate::bench::{by_hour, faults, plain, told, with};

fn refused(text: &str, at: &str, found: &str) {
    let faults = import(text, "USD").unwrap_err();
    let fits = faults.iter().any(|fault| fault.at == at && fault.found.contains(found));
    assert!(fits, "{text}: {faults:#?}");
}

#[test]
fn texts_that_hold_no_rate() {
    refused("", "", "an empty file");
    refused("{\"a\": \n NaN}", "", "`NaN` (line 2, column 2)");
    refused("{\"energyratestructure\": [[{\"rate\": 1e999}]]}", "", "a number too large to be kept, `1e999` (line 1");
    refused(&"[".repeat(100_000), "", "nested deeper");
    refused("[1]", "", "a list of 1");
    refused("\"{\\\"a\\\": 1\"", "", "the end of the file");
    refused("{}", "", "no energy prices");
    refused("{\"flatdemandstructure\": [[{\"rate\": 5}]]}", "", "no energy prices");
    refused("{\"items\": []}", "/items", "an empty list");
    refused(
        "{\"items\": [{\"name\": \"A\"}, {\"name\": \"B\\u001b\"}, 3]}",
        "/items",
        "3 rates: \"A\", \"B\u{fffd}\", one without a name",
    );
    refused("{\"items\": [3]}", "/items/0", "the number 3");
    refused("{\"energyRateStrux\": []}", "", "a dump of the whole database");
    refused("[{\"energyRateStrux\": []}]", "", "a dump of the whole database");
    refused("{\"name\": 1, \"name\": 2}", "/name", "stands twice");
    refused("{\"energyratestructure\": [], \"Name\": 1, \"name\": 2}", "/name", "`name` beside `Name`");
    refused("{\"energyratestructure\": []}", "/energyratestructure", "no energy prices");
    let many: Value = (0..501).map(|number| (format!("m{number}"), json!(1))).collect();
    refused(&with(many, json!({ "energyratestructure": [] })).to_string(), "", "502 members");
}

#[test]
fn every_fault_is_told_at_once() {
    let mut rate = by_hour();
    rate["energyweekdayschedule"][6][14] = json!(7);
    rate["energyweekdayschedule"][0][0] = json!(0.5);
    rate["energyweekendschedule"][1] = json!([0]);
    rate["energyratestructure"][0][0]["rate"] = json!(-0.1);
    rate["energyratestructure"][1] = json!([{"max": 50, "rate": 1}, {"max": 50, "rate": 2e7}, {"rate": "NaN"}]);
    rate["flatdemandstructure"] = json!([[{"rate": 1}]]);
    rate["flatdemandmonths"] = json!([0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1]);
    rate["fixedmonthlycharge"] = json!(-1);
    rate["fueladjustmentsmonthly"] = json!([0.1]);
    let faults = faults(&rate);
    let periods = "a whole number from 0 to 2, one of the 3 periods of `energyratestructure`";
    assert_eq!(
        told(&faults),
        [
            ("/energyratestructure/0/0", "the price -0.1 (rate and adj together)", "0 to 10000000 USD/kWh"),
            ("/energyratestructure/1/1/rate", "the number 20000000.0", "a number from -10000000 to 10000000, USD/kWh"),
            ("/energyratestructure/1/2/rate", "the text \"NaN\"", "a number from -10000000 to 10000000, USD/kWh"),
            (
                "/energyratestructure/1/1/max",
                "the bound 50",
                "more than 50, as only the last tier may be without a bound"
            ),
            ("/energyweekdayschedule/0/0", "January weekday 00:00: the number 0.5", periods),
            ("/energyweekdayschedule/6/14", "July weekday 14:00: the number 7", periods),
            ("/energyweekendschedule/1", "February: a list of 1", "24 period numbers, one for each hour"),
            ("/fueladjustmentsmonthly", "a list of 1", "a list of 12, January first"),
            ("/flatdemandmonths/11", "December: the number 1", "0, the only period of `flatdemandstructure`"),
            ("/fixedmonthlycharge", "the number -1", "0 to 10000000 USD"),
        ]
    );
    let wrapped = import(&json!({ "items": [rate] }).to_string(), "USD").unwrap_err();
    assert_eq!(wrapped[4].at, "/items/0/energyweekdayschedule/0/0");
}

#[test]
fn single_faults() {
    for (change, at, found) in [
        (
            json!({ "energyratestructure": [[{"rate": 1}], [{"rate": 2}]], "energyweekdayschedule": null }),
            "",
            "no `energyweekdayschedule`",
        ),
        (
            json!({ "energyratestructure": [[]] }),
            "/energyratestructure/0",
            "an empty list, used on January weekday 00:00",
        ),
        (json!({ "energyratestructure": [3] }), "/energyratestructure/0", "the number 3"),
        (json!({ "energyratestructure": [[3]] }), "/energyratestructure/0/0", "the number 3"),
        (
            json!({ "energyratestructure": [[{"rate": 1, "RATE": 1}]] }),
            "/energyratestructure/0/0/rate",
            "`rate` beside `RATE`",
        ),
        (json!({ "energyratestructure": [[{"rate": 1}, {"rate": 2}]] }), "/energyratestructure/0/0/max", "no bound"),
        (
            json!({ "energyratestructure": [[{"rate": 1, "max": 0}, {"rate": 2}]] }),
            "/energyratestructure/0/0/max",
            "the bound 0",
        ),
        (
            json!({ "energyratestructure": [[{"rate": 1, "max": 1e38}, {"rate": 2}]] }),
            "/energyratestructure/0/0/max",
            "the bound 1e38",
        ),
        (json!({ "energyweekdayschedule": [[0]] }), "/energyweekdayschedule", "a list of 1"),
        (json!({ "startdate": "soon" }), "/startdate", "the text \"soon\""),
        (json!({ "startdate": 1e18 }), "/startdate", "the number"),
        (json!({ "startdate": "2031-02-30" }), "/startdate", "2031-02-30"),
        (json!({ "startdate": "2031-02-03", "enddate": "2031-02-02" }), "/enddate", "2031-02-02, before the first day"),
        (json!({ "demandwindow": "often" }), "/demandwindow", "the text \"often\""),
        (
            json!({ "demandratchetpercentage": [200, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0] }),
            "/demandratchetpercentage/0",
            "200",
        ),
        (
            json!({ "flatdemandstructure": [[{"rate": 1}], []], "flatdemandmonths": [0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0] }),
            "/flatdemandmonths/1",
            "February: period 1, which has no tier",
        ),
        (json!({ "flatdemandstructure": [[{"rate": 1}], [{"rate": 2}]] }), "", "no `flatdemandmonths`"),
    ] {
        let faults = faults(&with(plain(), change.clone()));
        let told = told(&faults);
        assert!(told.iter().any(|told| told.0 == at && told.1.contains(found)), "{change}: {told:?}");
    }
}

#[test]
fn faults_are_bounded() {
    let rate = with(
        plain(),
        json!({ "energyratestructure": [vec![json!({"rate": -1, "adj": "x", "max": "x"}); 100]],
        "energyweekdayschedule": vec![vec![9; 24]; 12] }),
    );
    let faults = faults(&rate);
    assert_eq!(faults.len(), 201);
    assert!(faults[200].found.ends_with("further faults"));
}
