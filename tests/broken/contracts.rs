//! Contracts, clocks and base loads that no bill can be made of, each with the words in which they are refused.
//!
//! Belongs here: dates and readings, the time zone, loads beside the lights, and how the program refuses a sheet. Does
//! not belong here: what stands on the sheet itself (`tariffs`).

use serde_json::{Value, json};

use super::tariffs::{contract, faults, refuses, tariff, tariff_refuses};
use crate::cli::{folder_with, lampledger};
use crate::support::{patched, room};

#[test]
fn a_horizon_outside_the_tariffs_dates_is_told_by_its_months() {
    let help = "\"outside\": \"use_anyway\" uses the prices all the same";
    for (valid, spell) in [
        (json!({ "until": "2033-06-30" }), "the day after 2033-06-30 to December 2040"),
        (json!({ "from": "2032-03-01" }), "January 2031 to the day before 2032-03-01"),
        (
            json!({ "from": "2032-03-01", "until": "2033-06-30" }),
            "January 2031 to the day before 2032-03-01, and the day after 2033-06-30 to December 2040",
        ),
        (json!({ "until": "2018-12-31" }), "all of it, January 2031 to December 2040"),
        (json!({ "from": "2041-01-01" }), "all of it, January 2031 to December 2040"),
    ] {
        let found = format!(".valid: found a horizon that leaves the tariff's dates: {spell}");
        tariff_refuses(json!({ "valid": valid }), &found, "periods inside the tariff's dates", help);
        let anyway = patched(valid, json!({ "outside": "use_anyway" }));
        assert_eq!(faults(&tariff(json!({ "valid": anyway }))), Vec::<[String; 3]>::new());
    }
    let exact = json!({ "from": "2031-01-01", "until": "2040-12-31" });
    assert_eq!(faults(&tariff(json!({ "valid": exact }))), Vec::<[String; 3]>::new());
    let turned = json!({ "from": "2034-03-01", "until": "2033-06-30" });
    tariff_refuses(json!({ "valid": turned }), ".valid.until: found 2033-06-30", "2034-03-01 or later", "");
}

#[test]
fn a_base_load_knows_neither_seasons_nor_holidays() {
    let base = |changes: Value| {
        let load = patched(json!({ "name": "pump", "power": 100 }), changes);
        patched(room(), json!({ "base_load": [load] }))
    };
    for (changes, found, allowed) in [
        (
            json!({ "when": { "seasons": ["summer"] } }),
            ".when.seasons: found seasons",
            "months; seasons belong to a tariff and are not known here",
        ),
        (
            json!({ "when": { "days": ["sun", "holiday"] } }),
            ".when.days: found \"holiday\"",
            "days of the week; holidays belong to a tariff and are not known here",
        ),
        (json!({ "power": -1 }), ".power: found -1 W", "at least 0 W and at most 100000000000 W"),
        (
            json!({ "power": { "uniform": { "low": 1, "high": 2 } } }),
            ".power: found an uncertain number",
            "a certain number: it shapes every bill",
        ),
        (json!({ "power_factor": 1.2 }), ".power_factor: found 1.2", "a power factor from 0.05 to 1"),
        (json!({ "power_factor": 0 }), ".power_factor: found 0", "a power factor from 0.05 to 1"),
    ] {
        refuses(&base(changes), &format!("base_load[\"pump\"]{found}"), allowed, "");
    }
}

#[test]
fn readings_and_earlier_peaks_must_fit_the_contract() {
    let ends = "days up to two months before the horizon ends on 2041-01-01";
    for (changes, found, allowed) in [
        (json!({ "read_day": 29 }), "read_day: found day 29", "a day from 1 to 28"),
        (json!({ "read_day": 0 }), "read_day: found day 0", "a day from 1 to 28"),
        (
            json!({ "read_day": 2, "read_dates": ["2040-12-01"] }),
            "read_day: found a day beside `read_dates`",
            "one of the two",
        ),
        (
            json!({ "read_dates": ["2035-02-01", "2035-02-01", "2040-12-01"] }),
            "read_dates[1]: found 2035-02-01",
            "a day after 2035-02-01",
        ),
        (json!({ "read_dates": ["2035-02-01"] }), "read_dates: found 2035-02-01 as the last day", ends),
        (json!({ "read_dates": [] }), "read_dates: found no day", ends),
        (
            json!({ "peaks_before": [{ "demand": "peak", "kw": [1] }] }),
            "peaks_before[0].demand: found \"peak\"",
            "no `peaks_before`: the tariff has no demand charge",
        ),
        (
            json!({ "tariff": { "demand": [{ "name": "day", "price": 1 }] }, "peaks_before": [{ "demand": "peak", "kw": [1] }] }),
            "peaks_before[0].demand: found \"peak\"",
            "the name of a demand charge: day",
        ),
    ] {
        refuses(&contract(changes), &format!("contracts[\"flat\"].{found}"), allowed, "");
    }
}

#[test]
fn an_unknown_zone_is_refused_and_not_taken_for_another() {
    let allowed = "an IANA time zone such as \"America/Chicago\"";
    for zone in ["Europe/Atlantis", "CST6CDT2", ""] {
        refuses(&patched(room(), json!({ "time_zone": zone })), &format!("time_zone: found \"{zone}\""), allowed, "");
    }
}

#[test]
fn the_bill_command_refuses_a_sheet_at_its_line_and_leaves_nothing_behind() {
    let starter = include_str!("../../crates/cli/starter.json");
    let sheet = "{\n  \"energy\": [\n    { \"when\": { \"from\": \"07:00\" }, \"price\": 0.2 }\n  ]\n}\n";
    let folder = folder_with(&[("room.json", starter), ("sheet.json", sheet), ("cut.json", "{ \"energy\": [")]);
    let said = lampledger(folder.path(), &["bill", "room.json", "--tariff", "sheet.json", "--out", "out"]);
    assert_eq!((said.code, said.out.as_str()), (1, ""));
    assert!(
        said.err.contains("tariff.energy: found no price in January on Mondays from 00:00 to 07:00"),
        "{}",
        said.err
    );
    assert!(said.err.contains("allowed: a price for every hour of the year"), "{}", said.err);
    for (sheet, code) in [("cut.json", 2), ("nowhere.json", 3)] {
        let said = lampledger(folder.path(), &["bill", "room.json", "--tariff", sheet, "--out", "out"]);
        assert_eq!((said.code, said.out.as_str()), (code, ""), "{}", said.err);
        assert!(said.err.contains(sheet), "{}", said.err);
    }
    assert!(!folder.path().join("out").exists());
}
