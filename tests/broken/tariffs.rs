//! Rate sheets that no bill can be made of, each with the words in which it is refused.
//!
//! Belongs here: faults of prices, hours, seasons and holidays, with what is found and what is allowed. Does not belong
//! here: what stands around a sheet (`contracts`), rates in a foreign form, whose faults stand beside the importer, and
//! what good sheets come to.

use plan::Plan;
use scenario::{Page, gather};
use serde_json::{Value, json};

use super::{must_refuse, with_raw};
use crate::support::{Bare, patched, room};

/// Every fault of a scenario: its place and what was found, what is allowed, and help where there is some.
pub fn faults(scenario: &Value) -> Vec<[String; 3]> {
    let page = Page { name: "room.json".into(), text: scenario.to_string() };
    let shown = match gather(page, &Bare, &[]) {
        Err(faulty) => faulty.sources.show(&faulty.faults, false),
        Ok(gathered) => match Plan::new(&gathered.form) {
            Err(faults) => gathered.sources.show(&gathered.sources.in_order(faults), false),
            Ok(_) => return vec![],
        },
    };
    let mut faults: Vec<[String; 3]> = vec![];
    for line in shown.lines().map(str::trim) {
        let member = ["error: ", "= allowed: ", "= help: "].iter().position(|lead| line.starts_with(lead));
        match member {
            Some(0) => faults.push([line[7..].to_owned(), String::new(), String::new()]),
            Some(k) => faults.last_mut().unwrap()[k] = line.split_once(": ").unwrap().1.to_owned(),
            None => {}
        }
    }
    faults
}

/// Asserts that a scenario has one fault, in these words.
#[track_caller]
pub fn refuses(scenario: &Value, found: &str, allowed: &str, help: &str) {
    assert_eq!(faults(scenario), [[found, allowed, help].map(str::to_owned)]);
}

/// The plain room with changes to its contract.
pub fn contract(changes: Value) -> Value {
    let mut room = room();
    room["contracts"][0] = patched(room["contracts"][0].clone(), changes);
    room
}

/// The plain room with changes to its tariff, which has two seasons.
pub fn tariff(changes: Value) -> Value {
    let seasons = json!({ "seasons": { "summer": "06-01..09-30", "winter": "10-01..05-31" } });
    contract(json!({ "tariff": patched(seasons, changes) }))
}

/// Asserts what is said of a tariff; places are told from the tariff on.
#[track_caller]
pub fn tariff_refuses(changes: Value, found: &str, allowed: &str, help: &str) {
    refuses(&tariff(changes), &format!("contracts[\"flat\"].tariff{found}"), allowed, help);
}

#[test]
fn hours_without_a_price_are_named() {
    let allowed = "a price for every hour of the year";
    let help = "a last rule without `when` holds always";
    let refused = |energy: Value, found: &str| {
        let found = format!(".energy: found no price in {found}");
        tariff_refuses(json!({ "energy": energy }), &found, allowed, help);
    };
    refused(
        json!([{ "when": { "from": "08:00", "until": "20:00" }, "price": 1 }]),
        "January on Mondays from 00:00 to 08:00",
    );
    let weekend = json!({ "when": { "days": ["weekend"], "from": "06:30" }, "price": 1 });
    refused(
        json!([{ "when": { "days": ["weekday"] }, "price": 1 }, weekend]),
        "January on Saturdays from 00:00 to 06:30",
    );
    let months = [1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 12];
    refused(json!([{ "when": { "months": months }, "price": 1 }]), "July on Mondays from 00:00 to 24:00");
    let summer = json!({ "when": { "seasons": ["summer"], "until": "23:00" }, "price": 1 });
    refused(json!([{ "when": { "seasons": ["winter"] }, "price": 1 }, summer]), "June on Mondays from 23:00 to 24:00");
    // days that are neither weekdays nor weekend
    tariff_refuses(
        json!({
            "holidays": { "yearly": ["12-25"], "billed_as": "holiday_only" },
            "energy": [{ "when": { "days": ["weekday"] }, "price": 1 }, { "when": { "days": ["weekend"] }, "price": 1 }]
        }),
        ".energy: found no price in January on holidays from 00:00 to 24:00",
        allowed,
        help,
    );
    tariff_refuses(json!({ "energy": [] }), ".energy: found an empty list", "at least one energy price", "");
}

#[test]
fn seasons_that_do_not_cover_the_year_once_are_told_by_the_day() {
    let once = "seasons that together cover the year once";
    let ends = "first and last day as \"MM-DD..MM-DD\", such as \"06-01..09-30\"; 02-29 goes with 02-28";
    for (seasons, found, allowed) in [
        (json!({ "a": "06-01..09-30", "b": "10-02..05-31" }), ": found no season from 1 October on", once),
        (json!({ "a": "01-01..02-27", "b": "03-01..12-31" }), ": found no season from 28 February on", once),
        (json!({ "a": "06-01..10-01", "b": "10-01..05-31" }), ": found both \"a\" and \"b\" on 1 October", once),
        (json!({ "a": "03-01..12-31", "b": "12-01..02-28" }), ": found both \"a\" and \"b\" on 1 December", once),
        (json!({ "a": "01-01..02-29", "b": "03-01..12-31" }), ".a: found \"01-01..02-29\"", ends),
        (json!({ "a": "06-01", "b": "10-01..05-31" }), ".a: found \"06-01\"", ends),
        (json!({ "a": "13-01..12-31" }), ".a: found \"13-01..12-31\"", ends),
        (json!({}), ": found 0 seasons", "1 to 31 seasons, or no `seasons`"),
    ] {
        let sheet = json!({ "energy": [{ "price": 1 }], "seasons": seasons });
        let found = format!("contracts[\"flat\"].tariff.seasons{found}");
        refuses(&contract(json!({ "tariff": sheet })), &found, allowed, "");
    }
}

#[test]
fn a_season_that_is_not_there_is_told_with_those_that_are() {
    let price = |when: Value| json!({ "energy": [{ "when": when, "price": 1 }, { "price": 1 }] });
    let found = ".energy[0].when.seasons[0]: found \"sumer\"";
    tariff_refuses(price(json!({ "seasons": ["sumer"] })), found, "one of: summer, winter", "");
    let bare = contract(json!({ "tariff": price(json!({ "seasons": ["sumer"] })) }));
    let none = "no season: the tariff names none under `seasons`";
    refuses(&bare, &format!("contracts[\"flat\"].tariff{found}"), none, "");

    let demand = |by_season: Value| json!({ "demand": [{ "by_season": by_season }] });
    tariff_refuses(
        demand(json!({ "summer": 1, "winter": 1, "spring": 2 })),
        ".demand[0].by_season.spring: found the season \"spring\"",
        "the tariff's seasons: summer, winter",
        "",
    );
    tariff_refuses(
        demand(json!({ "summer": 1 })),
        ".demand[0].by_season: found no price for \"winter\"",
        "a price for each season; 0 may be written",
        "",
    );
    refuses(
        &contract(json!({ "tariff": demand(json!({ "summer": 1 })) })),
        "contracts[\"flat\"].tariff.demand[0].by_season.summer: found the season \"summer\"",
        "another price: the tariff names no season under `seasons`",
        "",
    );
}

#[test]
fn blocks_must_rise_and_the_last_has_no_bound() {
    let rises = |from: &str| format!("more than {from} kWh (blocks rise) and at most 1e12 kWh");
    for (blocks, found, allowed) in [
        (
            json!([{ "up_to": 200, "price": 1 }, { "up_to": 100, "price": 1 }, { "price": 1 }]),
            "[1].up_to: found 100 kWh",
            rises("200"),
        ),
        (
            json!([{ "up_to": 200, "price": 1 }, { "up_to": 200, "price": 1 }, { "price": 1 }]),
            "[1].up_to: found 200 kWh",
            rises("200"),
        ),
        (json!([{ "up_to": 0, "price": 1 }, { "price": 1 }]), "[0].up_to: found 0 kWh", rises("0")),
        (json!([{ "up_to": -5, "price": 1 }, { "price": 1 }]), "[0].up_to: found -5 kWh", rises("0")),
        (
            json!([{ "up_to": 200, "price": 1 }, { "up_to": 400, "price": 1 }]),
            "[1].up_to: found a bound of 400 kWh in the last block",
            "no bound there, so that every kWh or kW has a price".to_owned(),
        ),
        (
            json!([{ "price": 1 }, { "up_to": 400, "price": 1 }, { "price": 1 }]),
            "[0].up_to: found no bound",
            "a bound; only the last block has none".to_owned(),
        ),
        (json!([]), ": found 0 blocks", "1 to 60 blocks".to_owned()),
    ] {
        let found = format!(".energy[0].blocks{found}");
        tariff_refuses(json!({ "energy": [{ "blocks": blocks }] }), &found, &allowed, "");
    }
    // the unit is that of the bounds
    let blocks = json!([{ "up_to": 200, "price": 1 }, { "up_to": 100, "price": 1 }, { "price": 1 }]);
    tariff_refuses(
        json!({ "energy": [{ "blocks": blocks, "block_unit": "kWh/kW" }] }),
        ".energy[0].blocks[1].up_to: found 100 kWh/kW",
        "more than 200 kWh/kW (blocks rise) and at most 1e12 kWh/kW",
        "",
    );
    tariff_refuses(
        json!({ "demand": [{ "blocks": blocks }] }),
        ".demand[0].blocks[1].up_to: found 100 kW",
        "more than 200 kW (blocks rise) and at most 1e12 kW",
        "",
    );
}

#[test]
fn bounds_and_least_demands_that_are_no_numbers_are_refused() {
    let sheet = json!({
        "energy": [{ "blocks": [{ "up_to": 5, "price": 1 }, { "price": 1 }] }],
        "demand": [{ "name": "d", "price": 1, "minimum_kw": 5, "ratchet": { "share": 0.5, "previous_months": 3 } }]
    });
    let room = contract(json!({ "tariff": sheet, "peaks_before": [{ "demand": "d", "kw": [5] }] }));
    let places = [
        ("/contracts/0/tariff/energy/0/blocks/0/up_to", ".tariff.energy[0].blocks[0].up_to: found"),
        ("/contracts/0/tariff/energy/0/blocks/0/price", ".tariff.energy[0].blocks[0].price: found"),
        ("/contracts/0/tariff/demand/0/minimum_kw", ".tariff.demand[\"d\"].minimum_kw: found"),
        ("/contracts/0/tariff/demand/0/ratchet/share", ".tariff.demand[\"d\"].ratchet.share: found"),
        ("/contracts/0/peaks_before/0/kw/0", ".peaks_before[0].kw[0]: found"),
    ];
    for (at, told) in places {
        for raw in ["1e308", "-1e308", "-1"] {
            must_refuse(&with_raw(&room, at, raw), told);
        }
        for raw in ["NaN", "1e400", "Infinity"] {
            must_refuse(&with_raw(&room, at, raw), "error: ");
        }
    }
}

#[test]
fn two_prices_with_blocks_must_say_how_they_share_them() {
    let blocks = json!([{ "up_to": 1, "price": 1 }, { "price": 1 }]);
    let energy = json!([{ "when": { "until": "12:00" }, "blocks": blocks }, { "blocks": blocks }]);
    tariff_refuses(
        json!({ "energy": energy }),
        ".blocks_shared: found nothing, but 2 prices have blocks",
        "\"in_proportion\", \"in_time_order\" or \"separate\": the three give different bills",
        "",
    );
    let mut by_demand = energy;
    by_demand[0]["block_unit"] = json!("kWh/kW");
    tariff_refuses(
        json!({ "energy": by_demand, "blocks_shared": "in_time_order" }),
        ".blocks_shared: found \"in_time_order\" with bounds per kW",
        "another sharing: hours of use are known only when the period is over",
        "",
    );
}

#[test]
fn holidays_must_be_days_that_come() {
    for (holidays, found, allowed) in [
        (
            json!({ "yearly": ["02-29"] }),
            "yearly[0]: found 29 February, which three years in four do not have",
            "a day that every year has; write the leap days' full dates under `dates`",
        ),
        (json!({ "yearly": ["13-01"] }), "yearly[0]: found \"13-01\"", "a day as MM-DD"),
        (json!({ "dates": ["2031-02-29"] }), "dates[0]: found \"2031-02-29\"", "a date as YYYY-MM-DD"),
        (
            json!({ "weekdays": [{ "month": 11, "day": "thu", "nth": 5 }] }),
            "weekdays[0].nth: found 5",
            "1 to 4, or -1 for the last",
        ),
        (
            json!({ "weekdays": [{ "month": 11, "day": "weekday", "nth": 4 }] }),
            "weekdays[0].day: found a group of days",
            "one day of the week, \"mon\" to \"sun\"",
        ),
        (
            json!({ "weekdays": [{ "month": 13, "day": "thu", "nth": 4 }] }),
            "weekdays[0].month: found 13",
            "a month from 1 to 12",
        ),
    ] {
        tariff_refuses(json!({ "holidays": holidays }), &format!(".holidays.{found}"), allowed, "");
    }
    // a leap day that is stated as a date is a day that comes
    assert_eq!(faults(&tariff(json!({ "holidays": { "dates": ["2032-02-29"] } }))), Vec::<[String; 3]>::new());
}

#[test]
fn hours_that_are_none_are_refused() {
    for (when, found, allowed) in [
        (json!([]), ": found 0 sets of hours", "1 to 1000, or no `when`"),
        (json!({ "days": [] }), ".days: found an empty list", "days, or no `days` for all"),
        (json!({ "months": [] }), ".months: found an empty list", "months from 1 to 12, or leave it out for all"),
        (json!({ "months": [13] }), ".months[0]: found 13", "a month from 1 to 12"),
        (json!({ "seasons": [] }), ".seasons: found an empty list", "names of seasons, or no `seasons` for all"),
        (
            json!({ "from": "08:00", "until": "08:00" }),
            ": found a window from 08:00 until 08:00",
            "two different times",
        ),
        (json!({ "from": "24:00" }), ": found a window from 24:00 until 24:00", "two different times"),
        (json!({ "from": "25:00" }), ".from: found \"25:00\"", "a time of day as HH:MM from 00:00 to 24:00"),
        (
            json!({ "days": ["monday"] }),
            ".days[0]: found the text \"monday\"",
            "`mon`, `tue`, `wed`, `thu`, `fri`, `sat`, `sun`, `weekday`, `weekend` or `holiday`",
        ),
    ] {
        let energy = json!([{ "when": when, "price": 1 }, { "price": 1 }]);
        tariff_refuses(json!({ "energy": energy }), &format!(".energy[0].when{found}"), allowed, "");
    }
}

#[test]
fn edges_of_a_demand_charge_must_be_ends_of_intervals() {
    let edge =
        |interval: u32, when: Value| json!({ "demand_interval": interval, "demand": [{ "price": 1, "when": when }] });
    let allowed = |interval: u32| {
        format!("times at which a demand interval of {interval} min ends; or another `demand_interval`")
    };
    let found = |edge: &str| format!(".demand[0].when: found an edge at {edge}");
    tariff_refuses(edge(15, json!({ "from": "14:07" })), &found("14:07"), &allowed(15), "");
    let two = json!([{ "until": "06:00" }, { "from": "14:00", "until": "20:15" }]);
    tariff_refuses(edge(30, two.clone()), &found("20:15"), &allowed(30), "");
    assert_eq!(faults(&tariff(edge(15, two))), Vec::<[String; 3]>::new());
    // an interval that is none is the only fault, whatever the hours
    for interval in [0, 7, 65_536, 4_000_000_000] {
        let found = format!(".demand_interval: found {interval} min");
        tariff_refuses(edge(interval, json!({ "from": "14:07" })), &found, "5, 10, 15, 20, 30 or 60 min", "");
    }
}

#[test]
fn shares_beyond_the_whole_are_refused_with_what_was_meant() {
    let whole = "at least 0 and at most 1";
    tariff_refuses(
        json!({ "percent": [{ "share": 8.25, "on": ["energy"] }] }),
        ".percent[0].share: found 8.25",
        "at least -1 and at most 1",
        "8.25 here means 825 %; for 8.25 % write 0.0825 or {\"is\": 8.25, \"unit\": \"%\"}",
    );
    let ratchet = |ratchet: Value| json!({ "demand": [{ "price": 1, "ratchet": ratchet }] });
    tariff_refuses(
        ratchet(json!({ "share": 80, "previous_months": 11 })),
        ".demand[0].ratchet.share: found 80",
        whole,
        "80 here means 8000 %; for 80 % write 0.8 or {\"is\": 80, \"unit\": \"%\"}",
    );
    for months in [0, 61] {
        let found = format!(".demand[0].ratchet.previous_months: found {months} months");
        tariff_refuses(ratchet(json!({ "share": 0.8, "previous_months": months })), &found, "1 to 60 months", "");
    }
    tariff_refuses(
        json!({ "percent": [{ "share": 0.1, "on": [] }] }),
        ".percent[0].on: found an empty list",
        "parts of the bill, or \"subtotal\" for everything so far",
        "",
    );
    let rule = json!({ "rule": "percent_per_point", "below": 90, "percent": { "is": 1, "unit": "%" } });
    tariff_refuses(json!({ "power_factor": rule }), ".power_factor.below: found 90", "0.05 to 1", "");
}

#[test]
fn a_charge_has_one_price() {
    let eleven = vec![1; 11];
    let kinds = "exactly one of price, by_season, by_month, blocks";
    for (sheet, found, allowed) in [
        (json!({ "energy": [{}] }), "energy[0]: found none of them", "exactly one of price, blocks"),
        (
            json!({ "energy": [{ "price": 1, "blocks": [{ "price": 1 }] }] }),
            "energy[0]: found price and blocks",
            "exactly one of price, blocks",
        ),
        (json!({ "demand": [{}] }), "demand[0]: found none of them", kinds),
        (json!({ "demand": [{ "price": 1, "blocks": [{ "price": 1 }] }] }), "demand[0]: found price and blocks", kinds),
        (
            json!({ "demand": [{ "by_month": eleven }] }),
            "demand[0].by_month: found 11 prices",
            "twelve prices, January first",
        ),
        (
            json!({ "riders": [{ "by_month": eleven }] }),
            "riders[0].by_month: found 11 prices",
            "twelve prices, January first",
        ),
        (
            json!({ "power_factor": { "rule": "scale_demand" } }),
            "power_factor.below: found nothing",
            "0.05 to 1: this rule needs it",
        ),
        (
            json!({ "power_factor": { "rule": "kva_billing", "below": 0.9 } }),
            "power_factor.below: found 0.9",
            "nothing: this rule has no use for it",
        ),
        (
            json!({ "energy": [{ "price": -0.1 }] }),
            "energy[0].price: found -0.1 EUR/kWh",
            "at least 0 EUR/kWh and at most 10000000 EUR/kWh",
        ),
    ] {
        tariff_refuses(sheet, &format!(".{found}"), allowed, "");
    }
}
