//! Bills of an independent library under invented and real rates: the rate read by our importer, billed by our engine, and
//! compared month by month and part by part.
//!
//! Belongs here: cases in which both sides mean the same. Does not belong here: what they read differently (`readings`).

use decide::bill::SheetBills;
use scenario::import::{Fate, import};
use serde_json::{Value, json};

use super::super::{cases, data, number};
use super::{Side, billed, lines, lit, quantity, runs, twelve};
use crate::support::patched;

/// Data files, and the members of their rates about which a person must decide.
const FILES: [(&str, &[&str]); 13] = [
    ("flat", &[]),
    ("blocks", &[]),
    ("two_seasons", &[]),
    ("any_time_demand", &[]),
    ("demand_by_hour", &[]),
    ("demand_blocks", &[]),
    ("blocks_by_hour", &["energyratestructure"]),
    ("minimum", &[]),
    // its description speaks of "a minimum of nine (9) PDP events", which a person must strike as no minimum of the bill
    ("pge_e19", &["basicinformationcomments", "demandattrs", "description", "energyattrs"]),
    ("sce_gs2", &["demandattrs", "energyattrs"]),
    ("entergy_lps", &[]),
    ("south_central_lp1", &["description"]),
    ("wallingford_primary", &["demandratchetpercentage", "demandreactivepowercharge"]),
];

/// Allowed difference of an amount in USD, a kWh or a kW, as the data files say.
const ALLOWED: f64 = 1e-6;

pub fn file(name: &str) -> Value {
    data(&format!("bills/{name}.json"))
}

/// A case of a file by its id.
pub fn case<'a>(file: &'a Value, id: &str) -> &'a Value {
    cases(file).iter().find(|case| case["id"] == id).unwrap_or_else(|| panic!("no case {id}"))
}

/// A rate as our importer reads it.
pub fn imported(rate: &Value) -> Value {
    import(&rate.to_string(), "USD").unwrap().tariff
}

/// The only demand charge of a tariff.
pub fn only_demand(tariff: &mut Value) -> &mut Value {
    match tariff["demand"].as_array_mut().unwrap().as_mut_slice() {
        [only] => only,
        more => panic!("{} demand charges", more.len()),
    }
}

/// The room of a case under a tariff, to which the case's ratchet, least demand and holidays are added as by the person
/// who answers the open questions.
pub fn scenario(case: &Value, mut tariff: Value) -> Value {
    let kw = twelve(&case["lights"]["kw"]);
    let full = kw.iter().copied().fold(0.0, f64::max);
    const DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let phase = |months: std::ops::Range<usize>| {
        let power = kw[months.start] / full;
        let days: u32 = DAYS[months.clone()].iter().sum();
        let lights = json!([{ "on": case["lights"]["on"], "off": case["lights"]["off"] }]);
        json!({ "name": format!("from month {}", months.start + 1), "days": days, "power": power, "lights": lights })
    };
    let phases: Vec<Value> = runs(&kw).into_iter().map(phase).collect();
    let mut contract = json!({});
    if let Some(ratchet) = case.get("ratchet") {
        let demand = only_demand(&mut tariff);
        demand["ratchet"] = json!({ "share": ratchet["share"], "previous_months": ratchet["previous_months"] });
        demand["minimum_kw"] = ratchet["minimum_kw"].clone();
        if let Some(before) = ratchet.get("kw_before") {
            contract = json!({ "peaks_before": [{ "demand": demand["name"], "kw": before }] });
        }
    }
    let mut patch = json!({});
    if let Some(calendar) = case.get("calendar") {
        tariff["holidays"] = json!({ "dates": calendar["holidays"] });
        patch = json!({ "start": format!("{}-01-01", calendar["year"]), "time_zone": calendar["time_zone"] });
    }
    if let Some(base) = case.get("base_load") {
        patch["base_load"] = json!([{
            "name": "beside the lights",
            "power": { "is": base["kw"], "unit": "kW" },
            "when": { "days": [base["days"]], "from": base["from"], "until": base["until"] }
        }]);
    }
    let mut scenario = patched(lit(full, json!(phases), tariff), patch);
    scenario["contracts"][0] = patched(scenario["contracts"][0].clone(), contract);
    scenario
}

/// Whether a demand line is that of a charge for any time.
pub fn any_time(name: &str) -> bool {
    name.starts_with("any-time demand")
}

/// Everything in which bills differ from a case; `billing` is the start of the name of the charge whose kW the case states.
pub fn differences(case: &Value, sheet: &SheetBills, billing: &str) -> Vec<String> {
    assert_eq!(sheet.bills.len(), 12);
    let (side, stated) = match case.get("added") {
        Some(added) => (Side::Added, added),
        None => (Side::With, &case["monthly"]),
    };
    let mut found = vec![];
    let mut compare = |what: &str, month: usize, ours: f64, theirs: f64| {
        // a number that is none must differ, too
        if !((ours - theirs).abs() <= ALLOWED) {
            found.push(format!("{}, month {}, {what}: {ours} against {theirs}", case["id"], month + 1));
        }
    };
    // a part that a case does not state is nothing in every month
    let expected = |of: &Value, key: &str| of.get(key).map_or([0.0; 12], twelve);
    for (month, bill) in sheet.bills.iter().enumerate() {
        let total = if side == Side::With { bill.total.with } else { bill.total.difference };
        let parts = [
            ("energy", lines(bill, side, "energy", |_| true)),
            ("demand_flat", lines(bill, side, "demand", any_time)),
            ("demand_tou", lines(bill, side, "demand", |name| !any_time(name))),
            ("fixed", lines(bill, side, "fixed", |_| true)),
            ("minimum_topup", lines(bill, side, "minimum", |_| true)),
            ("total", total),
        ];
        for (part, ours) in parts {
            compare(part, month, ours, expected(stated, part)[month]);
        }
        if stated.get("billing_demand_kw").is_some() {
            let billed = quantity(bill, "demand", |name| name.starts_with(billing));
            compare("billed kW", month, billed, expected(stated, "billing_demand_kw")[month]);
        }
        if case.get("kwh").is_some() {
            compare("kWh", month, bill.kwh_with, expected(case, "kwh")[month]);
        }
        if case.get("peak_kw").is_some() {
            compare("peak kW", month, bill.peaks.last().unwrap().kw_with, expected(case, "peak_kw")[month]);
        }
    }
    let total = if side == Side::With { sheet.total.with } else { sheet.total.difference };
    // twelve bills of six decimals
    let year = number(case, "total");
    if !((total - year).abs() <= 12.0 * ALLOWED) {
        found.push(format!("{}, year: {total} against {year}", case["id"]));
    }
    found
}

/// Demand charges of the rate with one memory for the peak hours of both seasons, written by hand.
pub fn peak_hours_with_one_memory() -> Value {
    let weekday = |season: &str, from: &str, until: &str| json!({ "seasons": [season], "days": ["weekday"], "from": from, "until": until });
    json!([
        {
            "name": "other hours",
            "price": 3,
            "when": [
                { "days": ["weekend"] },
                weekday("summer", "00:00", "14:00"),
                weekday("summer", "20:00", "24:00"),
                weekday("winter", "00:00", "17:00"),
                weekday("winter", "21:00", "24:00")
            ]
        },
        {
            "name": "peak hours",
            "by_season": { "summer": 16, "winter": 7 },
            "when": [weekday("summer", "14:00", "20:00"), weekday("winter", "17:00", "21:00")],
            "ratchet": { "share": 0.8, "previous_months": 11 }
        }
    ])
}

/// The tariff under which a case of a file is billed.
fn tariff(name: &str, file: &Value) -> Value {
    let mut tariff = imported(&file["rate"]);
    if name == "demand_by_hour" {
        tariff["seasons"] = json!({ "summer": "06-01..09-30", "winter": "10-01..05-31" });
        tariff["demand"] = peak_hours_with_one_memory();
    }
    tariff
}

/// The room of a case of a file.
pub fn room_of(name: &str, file: &Value, case: &Value) -> Value {
    let mut case = case.clone();
    if name == "demand_by_hour" {
        // it stands in the sheet already
        assert_eq!(case["ratchet"], json!({ "share": 0.8, "previous_months": 11, "minimum_kw": 0 }));
        case.as_object_mut().unwrap().remove("ratchet");
    }
    scenario(&case, tariff(name, file))
}

#[test]
fn every_bill_of_the_library_comes_out_month_by_month_and_part_by_part() {
    let (mut compared, mut found) = (0, vec![]);
    for (name, _) in FILES {
        let file = file(name);
        for case in cases(&file) {
            let sheet = billed(&room_of(name, &file, case));
            let billing = if name == "demand_by_hour" { "peak hours" } else { "any-time demand" };
            found.extend(differences(case, &sheet, billing));
            compared += 1;
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    assert_eq!(compared, 48);
}

#[test]
fn a_price_that_is_a_little_off_is_noticed_in_every_file() {
    for (name, _) in FILES {
        let file = file(name);
        let case = &cases(&file)[0];
        let mut scenario = room_of(name, &file, case);
        for rule in scenario["contracts"][0]["tariff"]["energy"].as_array_mut().unwrap() {
            let price = match rule.get_mut("blocks") {
                Some(blocks) => &mut blocks[0]["price"]["is"],
                None => &mut rule["price"]["is"],
            };
            *price = json!(price.as_f64().unwrap() + 1e-8);
        }
        let found = differences(case, &billed(&scenario), "no charge");
        assert!(found.iter().filter(|line| line.contains("energy")).count() >= 12, "{name}: {found:?}");
    }
}

#[test]
fn lit_hours_of_the_civil_year_are_counted() {
    let file = file("two_seasons");
    let civil: Vec<&Value> = cases(&file).iter().filter(|case| case.get("calendar").is_some()).collect();
    assert_eq!(civil.len(), 5);
    for case in civil {
        let sheet = billed(&room_of("two_seasons", &file, case));
        let hours: f64 = sheet.windows.iter().map(|window| window.lit_h).sum();
        assert!((hours - number(case, "lamp_hours")).abs() < 1e-9, "{}: {hours} h", case["id"]);
    }
}

#[test]
fn a_rate_asks_about_what_its_form_leaves_open_and_about_nothing_else() {
    for (name, asked) in FILES {
        let imported = import(&file(name)["rate"].to_string(), "USD").unwrap();
        let open = imported.report.iter().filter(|line| line.fate == Fate::NeedsDecision);
        let mut members: Vec<&str> = open.map(|line| line.member.as_str()).collect();
        members.sort_unstable();
        assert_eq!(members, asked, "{name}");
        let questions = imported.tariff["open_questions"].as_array().map_or(0, Vec::len);
        assert_eq!(questions, asked.len(), "{name}: {}", imported.tariff["open_questions"]);
        // and a bill under it says that it is not complete
        let file = file(name);
        let bills = billed(&scenario(&lights_only(&cases(&file)[0]), imported.tariff));
        assert_eq!(bills.open_questions.len(), questions, "{name}");
    }
}

/// A case without what a person adds to its rate.
fn lights_only(case: &Value) -> Value {
    json!({ "lights": case["lights"] })
}
