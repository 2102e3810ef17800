//! What the format leaves open is asked, and everything is reported.

use scenario::import::Fate;
use serde_json::{Value, json};

use crate::bench::{fate, plain, question, read, with};

fn demanding() -> Value {
    with(plain(), json!({ "flatdemandstructure": [[{"rate": 15.0}]], "flatdemandmonths": vec![0; 12] }))
}

#[test]
fn ratchets_are_never_mapped() {
    let old = read(&with(demanding(), json!({ "demandratchetpercentage": vec![0.35; 12] })));
    assert_eq!(old.tariff["demand"][0].get("ratchet"), None);
    let asked = question(&old, "demandratchetpercentage");
    assert!(
        asked.contains(
            "add \"ratchet\": {\"previous_months\":11,\"share\":0.35} to the demand rule \"any-time demand\""
        ) || asked.contains(
            "add \"ratchet\": {\"share\":0.35,\"previous_months\":11} to the demand rule \"any-time demand\""
        ),
        "{asked}"
    );
    let mut some = [0.0; 12];
    some[0] = 0.5;
    some[1] = 0.6;
    let varied = read(&with(demanding(), json!({ "demandratchetpercentage": some })));
    let asked = question(&varied, "demandratchetpercentage");
    assert!(asked.contains("\"lifts_in_months\":[1,2]") && asked.contains("January 0.5 and February 0.6"), "{asked}");
    let new = read(&with(
        demanding(),
        json!({ "lookBackPercent": 80, "lookbackRange": 6,
        "lookbackMonths": [0, 0, 0, 0, 0, 1, true, "true", "1", 0, false, "false"] }),
    ));
    let asked = question(&new, "lookBackPercent");
    for part in ["\"previous_months\":6", "\"peaks_of_months\":[6,7,8,9]", "\"unit\":\"%\"", "over 6 months and"] {
        assert!(asked.contains(part), "{part}: {asked}");
    }
    assert_eq!(fate(&new, "lookbackMonths").0, Fate::NeedsDecision);
    for none in [json!({ "demandratchetpercentage": vec![0; 12] }), json!({ "lookbackpercent": 0, "lookbackrange": 0 })]
    {
        assert_eq!(read(&with(demanding(), none)).tariff.get("open_questions"), None);
    }
    let alone = read(&with(plain(), json!({ "lookbackpercent": 0.5 })));
    assert!(question(&alone, "lookbackpercent").ends_with("There is no demand rule that could hold it."));
}

#[test]
fn demand_that_is_not_ours_is_asked() {
    let imported = read(&with(
        demanding(),
        json!({
            "flatdemandunit": "kVA", "demandwindow": 1, "demandreactivepowercharge": 2.7,
            "coincidentratestructure": [[{"rate": 3}]], "coincidentrateunit": "kW", "demandweekdayschedule": [[1]]
        }),
    ));
    for member in
        ["flatdemandunit", "demandwindow", "demandreactivepowercharge", "coincidentratestructure", "coincidentrateunit"]
    {
        assert_eq!(fate(&imported, member).0, Fate::NeedsDecision, "{member}");
    }
    question(
        &imported,
        "\"rule\": \"kvar_over_allowance\", \"allowance\": 0.48, \"price\": {\"is\": 2.7, \"unit\": \"USD/kvar/month\"",
    );
    question(&imported, "`demandratestructure` with their prices is missing");
    assert_eq!(imported.tariff.get("demand_interval"), None);
    let free = read(&with(
        plain(),
        json!({ "coincidentratestructure": [[{"rate": 0}]], "flatdemandunit": "kVA",
        "demandreactivepowercharge": 0, "demandweekdayschedule": [[0]] }),
    ));
    assert_eq!(free.tariff.get("open_questions"), None);
    let daily = read(&with(plain(), json!({ "flatdemandstructure": [[{"rate": 15.0, "unit": "kW daily"}]] })));
    question(&daily, "counts period 0 in \"kW daily\"");
}

#[test]
fn dates_are_read_around_midnight() {
    let valid = |from: Value, until: Value| {
        read(&with(plain(), json!({ "startdate": from, "enddate": until }))).tariff["valid"].clone()
    };
    // 2031-06-01 at 00:00 and at 23:00 the evening before, and 2031-12-31 at 08:00, all UTC
    let expected = json!({ "from": "2031-06-01", "until": "2031-12-31", "outside": "use_anyway" });
    assert_eq!(valid(json!(1_938_038_400), json!(1_956_470_400)), expected);
    assert_eq!(valid(json!("1938034800"), json!("2031-12-31T00:00:00Z")), expected);
    assert_eq!(valid(json!(null), json!("2031-12-31")), json!({ "until": "2031-12-31", "outside": "use_anyway" }));
    assert_eq!(read(&plain()).tariff.get("valid"), None);
}

#[test]
fn identity_and_eligibility_change_nothing() {
    let imported = read(&with(
        plain(),
        json!({
            "utility": "Hill Power", "label": "abc", "uri": "https://example.org/abc", "source": "sheet 4", "approved": "True",
            "is_default": false, "sector": "Industrial", "country": "USA", "peakkwcapacitymax": 999, "voltageminimum": 2000,
            "phasewiring": "3-Phase", "dgrules": "Net Metering", "usenetmetering": true, "servicetype": "Bundled",
            "demandunits": "kW", "energycomments": "Riders follow.", "description": "For works.\r\n\u{1b}[31mLoud.", "eiaid": null
        }),
    ));
    assert_eq!(imported.tariff["origin"], "Hill Power; rate abc; https://example.org/abc; printed in sheet 4");
    let note = imported.tariff["note"].as_str().unwrap();
    assert!(note.starts_with("For works.  \u{fffd}[31mLoud. Read from a rate"), "{note}");
    assert_eq!(imported.tariff.get("open_questions"), None);
    assert_eq!(fate(&imported, "eiaid"), (Fate::NoEffect, "it holds nothing"));
    assert!(fate(&imported, "peakkwcapacitymax").1.starts_with("eligibility (the number 999)"));
    let long = read(&with(plain(), json!({ "description": "x".repeat(2000) })));
    assert!(long.tariff["note"].as_str().unwrap().starts_with(&format!("{}… Read", "x".repeat(500))));
    let half = read(&with(plain(), json!({ "servicetype": "Delivery" })));
    question(&half, "only a part of the bill");
}

#[test]
fn prices_that_hide_are_asked() {
    let imported = read(&with(
        plain(),
        json!({
            "demandattrs": [{"High voltage ": "$-0.18/kW"}, {"Other": "none"}], "energyattrs": [{"Peak 2": "dear"}],
            "fixedattrs": [], "surcharge": {"a": ["0.5"]}, "newrate": "often", "levels": [1, 2],
            "energyratestructure": [[{"rate": 0.1, "sell": 0.05, "extraprice": 0.01, "colour": 3}]]
        }),
    ));
    question(&imported, "High voltage: $-0.18/kW; Other: none");
    question(&imported, "`surcharge` holds {\"a\":[\"0.5\"]}");
    question(&imported, "`energyratestructure[0][0].extraprice`");
    for member in ["energyattrs", "fixedattrs", "newrate", "levels", "energyratestructure[0][0].sell"] {
        assert_eq!(fate(&imported, member).0, Fate::NoEffect, "{member}");
    }
    assert_eq!(imported.tariff["open_questions"].as_array().unwrap().len(), 3);
}

#[test]
fn minimums_in_words_are_asked() {
    let about = |text: &str| {
        let imported =
            read(&with(plain(), json!({ "description": text, "mincharge": 1000, "minchargeunits": "$/month" })));
        fate(&imported, "description").0
    };
    assert_eq!(about("Minimum charge of $1,000.00."), Fate::Mapped);
    for text in ["Minimum charge of $1200.00.", "a 50 kW minimum", "é MINIMUM: ½ 7é"] {
        assert_eq!(about(text), Fate::NeedsDecision, "{text}");
    }
    let long = format!("{} The minimum is 7. {}\u{1b}", "é".repeat(900), "ü".repeat(900));
    let imported = read(&with(plain(), json!({ "\u{1b}comments": long })));
    let asked = question(&imported, "`\u{fffd}comments` speaks of a minimum");
    assert!(asked.contains("é The minimum is 7. ü") && asked.chars().count() < 500, "{asked}");
    for text in ["There is a minimum.", "Since 1990 there has been a yearly minimum.", "No least: 7"] {
        assert_eq!(about(text), Fate::Mapped, "{text}");
    }
}

#[test]
fn a_missing_price_is_asked() {
    let imported = read(&with(plain(), json!({ "energyratestructure": [[{"unit": "kWh"}], []] })));
    question(&imported, "Energy period 0 has a tier without a price");
    assert_eq!(fate(&imported, "energyratestructure[1]"), (Fate::NoEffect, "no hour uses it"));
}

#[test]
fn amounts_in_comments_and_unknown_tables_are_asked() {
    for (member, value, asks) in [
        ("basicinformationcomments", json!("Customers also pay 8 % municipal tax"), true),
        ("energycomments", json!("fuel is 0.02 more"), true),
        ("demandcomments", json!("a fee of $ 12 a visit"), true),
        ("energycomments", json!("see sheet 12 of the binder"), false),
        ("flatdemandstructur", json!([[{ "rate": 22 }]]), true),
        ("frobnicate", json!("blue"), false),
    ] {
        let mut members = json!({});
        members[member] = value.clone();
        let imported = read(&with(plain(), members));
        let expected = if asks { Fate::NeedsDecision } else { Fate::NoEffect };
        assert_eq!(fate(&imported, member).0, expected, "{member}: {value}");
    }
}
