//! `learn fading`: what it says, writes and refuses, and that a scenario takes what it writes.

use serde_json::Value;

use super::{folder_with, lampledger, names, result};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn report(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn the_demonstration_s_readings_are_learnt_from() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["learn", "fading", "--out", "out"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "how A cheap arc fades",
        "Readings that stick out",
        "A3 at 4",
        "1 lamp was not read to the end",
        "lie beyond the readings",
    ] {
        assert!(text.contains(part), "{part} is not in\n{}", said.out);
    }
    assert_eq!(
        names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(),
        ["fading-points.csv", "fading.csv", "fading.html", "fading.json", "fading.svg", "maintenance.json"]
    );
    let found = report(&std::fs::read_to_string(folder.path().join("out/fading.json")).unwrap());
    assert_eq!((&found["format"], &found["option"]), (&"lampledger-fading/1".into(), &"A cheap arc".into()));
    assert_eq!(found["outliers"].as_array().unwrap().len(), 1);
    assert!(found["points"].as_array().unwrap().iter().any(|point| point["fate"] == "sticks_out"));
    // the same words give the same bytes
    let again = lampledger(folder.path(), &["learn", "fading", "--out", "again", "--json"]).well();
    assert_eq!(report(&again.out), found);
}

#[test]
fn a_scenario_takes_what_was_learnt() {
    let folder = folder_with(&[]);
    let learnt = lampledger(folder.path(), &["learn", "fading", "--out", "out", "--json", "--draws", "400"]).well();
    let found = report(&learnt.out);
    let written = report(&std::fs::read_to_string(folder.path().join("out/maintenance.json")).unwrap());
    let form = found["fits"][found["chosen"].as_u64().unwrap() as usize]["form"].as_str().unwrap();
    let members = written[form].as_object().unwrap();
    for figure in members.values() {
        assert_eq!(figure["draws"].as_array().unwrap().len(), 400);
        assert_eq!(figure["luck"], "readings of A cheap arc");
    }
    let set = "/options/0/maintenance=@out/maintenance.json";
    lampledger(folder.path(), &["run", "--set", set, "--trials", "1000", "--out", "run"]).well();
    let run = result(&folder.path().join("run"));
    // inputs of the run have the medians of the draws
    for parameter in found["fits"][found["chosen"].as_u64().unwrap() as usize]["parameters"].as_array().unwrap() {
        let name = parameter["name"].as_str().unwrap();
        let pointer = format!("/options/0/maintenance/{form}/{name}");
        let input =
            run["inputs"].as_array().unwrap().iter().find(|input| input["pointer"] == pointer.as_str()).unwrap();
        let mut draws: Vec<f64> = members[name]["draws"].as_array().unwrap().iter().map(number).collect();
        draws.sort_by(f64::total_cmp);
        let (value, half) = (number(&parameter["value"]), 0.5 * (draws[199] + draws[200]));
        assert!((half / value - 1.0).abs() < 0.02, "{name}: {half} drawn about {value}");
        // the run tells it in its own unit, thousands of the file's or thousandths
        let ratio = number(&input["p50"]) / half;
        assert!([1.0, 1e3, 1e-3].iter().any(|unit| (ratio / unit - 1.0).abs() < 0.02), "{name}: {input}");
    }
    let least =
        run["inputs"].as_array().unwrap().iter().any(|input| input["pointer"] == "/options/0/maintenance/lamp_to_lamp");
    assert!(least, "the spread between lamps is no input");
    // what lamps give before their first relamp is the light that was learnt
    let light = |run: &Value| number(&run["options"][0]["moles"]["p50"]["value"]);
    lampledger(folder.path(), &["run", "--trials", "1000", "--out", "before"]).well();
    let before = result(&folder.path().join("before"));
    assert!(light(&run) < light(&before), "lamps that fade faster than stated give less");
}

#[test]
fn leds_are_projected_by_their_own_method() {
    let mut text = String::from("lamp,burn_h,reading\n");
    for unit in 0..20 {
        for hours in (0..=6).map(|k| 1000.0 * f64::from(k)) {
            let start = if hours > 0.0 { 0.98 } else { 1.0 };
            let rate = 4e-6 * (1.0 + 0.01 * f64::from(unit - 10));
            text.push_str(&format!("{unit},{hours},{:.6}\n", start * (-rate * hours).exp()));
        }
    }
    let folder = folder_with(&[("led.csv", &text)]);
    let words = ["learn", "fading", "--readings", "led.csv", "--option", "C", "--json", "--out", "out"];
    let found = report(&lampledger(folder.path(), &words).well().out);
    assert_eq!((&found["cap_h"], &found["led"]["units"]), (&36_000.0.into(), &20.into()));
    assert!((number(&found["led"]["rate_per_h"]) / 3.98e-6 - 1.0).abs() < 1e-3, "{}", found["led"]);
    let set = "/options/2/maintenance=@out/maintenance.json";
    lampledger(folder.path(), &["check", "--set", set]).well();
    let written = report(&std::fs::read_to_string(folder.path().join("out/maintenance.json")).unwrap());
    assert_eq!(written["projection"]["units_tested"], 20);
}

#[test]
fn what_makes_no_sense_is_refused_in_plain_words() {
    let folder = folder_with(&[
        ("room.json", include_str!("../../crates/cli/starter.json")),
        ("bad.csv", "lamp,burn_h,reading\n1,540,0\n1,512,3000\n1,488,6000\n"),
        ("two.csv", "lamp,burn_h,reading\n1,0,540\n1,3000,512\n"),
        ("twice.csv", "lamp,burn_h,reading\n1,100,540\n1,100,512\n"),
    ]);
    let said = |words: &[&str]| lampledger(folder.path(), &[&["learn", "fading"], words].concat());
    said(&["room.json"]).refused(
        2,
        "error: --readings FILE is needed beside a scenario of your own; the built-in readings are the demonstration's\n",
    );
    said(&["--readings", "bad.csv"]).refused(
        1,
        "error: bad.csv: burn_h from 488 to 540 h beside readings that differ more than 5-fold: the two columns look swapped; \
         allowed: burn hours in burn_h and light in reading\n",
    );
    said(&["--readings", "twice.csv"]).refused(
        1,
        "error: twice.csv: line 3, column \"burn_h\": lamp \"1\" again at 100 h, as on line 2; allowed: one reading of a lamp at \
         any hours; write their mean\n",
    );
    said(&["--readings", "two.csv"])
        .refused(2, "error: two.csv: nothing can be fitted: no more readings than parameters\n");
    said(&["--readings", "none.csv"])
        .refused(3, "error: none.csv could not be read: there is no such file or folder\n");
    assert_eq!(names(folder.path()).len(), 4, "something was left behind");
}
