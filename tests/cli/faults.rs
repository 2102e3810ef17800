//! `check` of a faulty scenario: every fault at once, each where it stands, with what is allowed.

use serde_json::json;

use super::{edit, folder_with, lampledger, starter, tidefall};

#[test]
fn every_fault_of_the_shape_is_told_at_once_where_it_stands() {
    let folder = tidefall();
    let bay = folder.path().join("bay-2.json");
    edit(&bay, "\"wall_power\": { \"is\": 1052,", "\"wall_powr\": { \"is\": 1052,");
    edit(&bay, "\"horizon_years\": 5", "\"horizon_years\": \"5\"");
    edit(&bay, "\"is\": 1052, \"unit\": \"W\"", "\"is\": 1052, \"unit\": \"kg\"");
    edit(&folder.path().join("lamps/cheap-arc.json"), "\"disposal\"", "\"dispsal\"");
    // the kilograms are a fault of a value, and values are judged only when the shape is right
    lampledger(folder.path(), &["check", "bay-2.json"]).refused(
        1,
        r#"error: horizon_years: found the text "5"
 --> bay-2.json:5:20
  |
5 |   "horizon_years": "5",
  |                    ^^^
  |
  = allowed: a whole number. How many whole years are simulated.
  = help: write the number without quotes

error: options["A cheap arc"].wall_powr: found an unknown name
  --> bay-2.json:47:7
   |
47 |       "wall_powr": { "is": 1052, "unit": "kg", "grade": "measured", "note": "plug-in meter, warm" },
   |       ^^^^^^^^^^^
   |
   = allowed: `wall_power`, or another name that belongs here
   = help: did you mean `wall_power`?

error: options["A cheap arc"].lamp.dispsal: found an unknown name
 --> lamps/cheap-arc.json:4:3
  |
4 |   "dispsal": { "is": 2, "unit": "USD/lamp", "grade": "invoice", "note": "recycler, by the box" },
  |   ^^^^^^^^^
  |
  = allowed: `disposal`, or another name that belongs here
  = help: did you mean `disposal`?
"#,
    );
}

#[test]
fn every_fault_of_the_values_is_told_at_once_in_the_order_of_the_files() {
    let folder = tidefall();
    let bay = folder.path().join("bay-2.json");
    edit(&bay, "America/Chicago", "America/Chicgo");
    edit(&bay, "\"is\": 1052, \"unit\": \"W\"", "\"is\": 1052, \"unit\": \"kg\"");
    edit(&bay, "\"is\": 1390,", "\"is\": -1390,");
    edit(&folder.path().join("lamps/cheap-arc.json"), "\"is\": 9500", "\"is\": 9.5");
    lampledger(folder.path(), &["check", "bay-2.json"]).refused(
        1,
        r#"error: time_zone: found "America/Chicgo"
 --> bay-2.json:6:16
  |
6 |   "time_zone": "America/Chicgo",
  |                ^^^^^^^^^^^^^^^^
  |
  = allowed: an IANA time zone such as "America/Chicago"

error: options["A cheap arc"].wall_power.unit: found unit "kg"
  --> bay-2.json:47:43
   |
47 |       "wall_power": { "is": 1052, "unit": "kg", "grade": "measured", "note": "plug-in meter, warm" },
   |                                           ^^^^
   |
   = allowed: one of: W, kW

error: options["C bar LED"].fixture.price: found -1390 USD/fixture
   --> bay-2.json:120:18
    |
120 |         "price": { "is": -1390, "unit": "USD/fixture", "grade": "invoice", "note": "quote", "dated": "2031-02" },
    |                  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
    |
    = allowed: at least 0 USD/fixture and at most 1000000000 USD/fixture

error: options["A cheap arc"].lamp.life.b50: found 9.5 h
 --> lamps/cheap-arc.json:6:12
  |
6 |     "b50": { "is": 9.5, "unit": "h", "grade": "measured", "note": "own relamp notebook, half dead by then" },
  |            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  |
  = allowed: at least 10 h and at most 1000000 h
"#,
    );
}

#[test]
fn a_fault_in_a_file_that_is_linked_twice_is_told_once() {
    let folder = tidefall();
    edit(&folder.path().join("tariffs/time-of-use.json"), "\"is\": 0.26", "\"is\": -0.26");
    let said = lampledger(folder.path(), &["check", "bay-2.json"]);
    assert_eq!((said.code, said.err.matches("error: ").count()), (1, 1), "{}", said.err);
    assert!(said.err.contains(" --> tariffs/time-of-use.json:9:16\n"), "{}", said.err);
}

#[test]
fn run_refuses_with_the_words_of_check() {
    let folder = starter();
    edit(&folder.path().join("room.json"), "\"is\": 3.2", "\"is\": -3.2");
    let checked = lampledger(folder.path(), &["check", "room.json"]);
    lampledger(folder.path(), &["run", "room.json", "--out", "out"]).refused(1, &checked.err);
    assert!(checked.err.starts_with("error: cooling.cop: found -3.2\n  --> room.json:45:12\n"), "{}", checked.err);
    assert!(!folder.path().join("out").exists());
}

#[test]
fn faults_come_as_json_for_other_programs() {
    let folder = tidefall();
    edit(&folder.path().join("lamps/cheap-arc.json"), "\"shape\": { \"is\": 3.2", "\"shap\": { \"is\": 3.2");
    let said = lampledger(folder.path(), &["check", "bay-2.json", "--json"]);
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    assert_eq!(
        said.json(),
        json!({
            "format": "lampledger-check/1",
            "faults": [{
                "file": "lamps/cheap-arc.json",
                "line": 7,
                "column": 5,
                "what_if": null,
                "pointer": "/options/0/lamp/life/shap",
                "label": "options[\"A cheap arc\"].lamp.life.shap",
                "found": "an unknown name",
                "allowed": "`shape`, or another name that belongs here",
                "hint": "did you mean `shape`?",
            }],
        })
    );
}

#[test]
fn a_fault_that_a_what_if_brought_in_is_told_as_such() {
    let folder = starter();
    let words = ["check", "room.json", "--set", "/horizon_years=5", "--set", "/options/0/fixtures=0"];
    lampledger(folder.path(), &words).refused(
        1,
        "error: options[\"replaceable lamp\"].fixtures: found 0\n |\n = note: set by the what-if \
         `/options/0/fixtures=0`\n = allowed: a whole number from 1 upwards\n",
    );
}

#[test]
fn broken_json_is_told_with_its_line() {
    let folder = folder_with(&[("room.json", "{\n  \"title\": \"Room\"\n  \"horizon_years\": 5\n}\n")]);
    lampledger(folder.path(), &["check", "room.json"]).refused(
        1,
        r#"error: room.json: found `"horizon_years"`
 --> room.json:3:3
  |
3 |   "horizon_years": 5
  |   ^^^^^^^^^^^^^^^
  |
  = allowed: a `,` or a `}` before this
"#,
    );
}
