//! What is said about a scenario of the wrong shape.
#![allow(clippy::unwrap_used)]

mod common;

use common::{NIGHT, Pages, ROOM, bad, bad_with, good, only, page, room_with, shown};
use scenario::fault::{Fault, Spot};
use scenario::gather;

#[test]
fn a_right_scenario_is_gathered() {
    let gathered = good(ROOM, &[]);
    assert_eq!(gathered.form.options[1].name, "B long-life arc");
    assert_eq!(gathered.form.contracts[1].tariff.0.energy.len(), 2);
    assert_eq!(gathered.value["options"][0]["lamp"]["disposal"], 2);
}

#[test]
fn a_misspelt_name_is_one_fault_with_its_likely_meaning() {
    let faulty = bad(&room_with("\"target_ppfd\": 500", "\"target_pfd\": 500"), &[]);
    assert_eq!(
        shown(&faulty),
        "\
error: canopy.target_pfd: found an unknown name
  --> room.json:10:5
   |
10 |     \"target_pfd\": 500
   |     ^^^^^^^^^^^^
   |
   = allowed: `target_ppfd`, or another name that belongs here
   = help: did you mean `target_ppfd`?"
    );
    // That the required name is missing is only the effect of the slip.
    let faulty = bad(&room_with("\"horizon_years\"", "\"horizon\""), &[]);
    assert_eq!(only(&faulty).at, "/horizon");
    assert_eq!(only(&faulty).spot, Spot::Name);
}

#[test]
fn a_strange_name_gets_the_list_of_names() {
    let faulty = bad(&room_with("\"target_ppfd\": 500", "\"colour\": 500"), &[]);
    assert_eq!(only(&faulty).allowed, "`area`, `least_ppfd`, `ppfd_ceiling` or `target_ppfd`");
    assert_eq!(only(&faulty).hint, None);
}

#[test]
fn a_missing_name_is_shown_at_its_object() {
    let faulty = bad(&room_with("\"title\": \"North bay\",", ""), &[]);
    assert_eq!(only(&faulty).at, "/title");
    let faulty = bad(&room_with("\"disposal\": 2,\n        ", ""), &[]);
    assert_eq!(
        shown(&faulty),
        "\
error: options[\"B long-life arc\"].lamp.disposal: found nothing
  --> room.json:42:7
   |
42 |       \"lamp\": {
   |       ^^^^^^
   |
   = allowed: `disposal` is needed here. Cost of disposing of one old lamp, unit such as \"USD/lamp\"."
    );
}

#[test]
fn figures_report_the_branch_that_was_written() {
    let faulty = bad(&room_with("\"price\": 61", "\"price\": \"61\""), &[]);
    let fault = only(&faulty);
    assert_eq!(fault.found, "the text \"61\"");
    assert_eq!(
        fault.allowed,
        "a number, or an object such as {\"is\": 46, \"grade\": \"invoice\"}. Price of one lamp, unit such as \"USD/lamp\"."
    );
    assert_eq!(fault.hint.as_deref(), Some("write the number without quotes"));

    let faulty =
        bad(&room_with("\"is\": 24, \"unit\": \"kh\"", "\"is\": \"x\", \"units\": \"kh\", \"grade\": \"gues\""), &[]);
    let told: Vec<_> = faulty.faults.iter().map(|fault| (fault.at.as_str(), fault.hint.as_deref())).collect();
    assert_eq!(
        told,
        [
            ("/options/1/lamp/life/b50/is", None),
            ("/options/1/lamp/life/b50/units", Some("did you mean `unit`?")),
            ("/options/1/lamp/life/b50/grade", Some("did you mean `guess`?")),
        ]
    );
    assert!(!shown(&faulty).contains("schema"));
}

#[test]
fn links_report_the_branch_that_was_written() {
    let faulty = bad(&room_with("{\"file\": \"night.json\"}", "{\"file\": 3}"), &[]);
    assert_eq!(only(&faulty).at, "/contracts/1/tariff/file");
    assert_eq!(only(&faulty).allowed, "a text. Path of the file, relative to this one.");

    let faulty = bad(&room_with("{\"file\": \"night.json\"}", "{\"file\": \"night.json\", \"note\": \"x\"}"), &[]);
    assert_eq!((only(&faulty).at.as_str(), only(&faulty).allowed.as_str()), ("/contracts/1/tariff/note", "`file`"));

    let faulty = bad(&room_with("{\"file\": \"night.json\"}", "{}"), &[]);
    assert_eq!(only(&faulty).at, "/contracts/1/tariff/energy");

    let faulty = bad(&room_with("{\"file\": \"night.json\"}", "\"night.json\""), &[]);
    assert_eq!(
        only(&faulty).allowed,
        "an object with `energy` and perhaps others, or a link such as {\"file\": \"part.json\"}. \
         Its prices, written here or in a file of their own."
    );
}

#[test]
fn words_and_numbers_are_judged_by_kind() {
    let told = |from: &str, to: &str| {
        let faulty = bad(&room_with(from, to), &[]);
        let Fault { found, allowed, hint, .. } = only(&faulty).clone();
        (found, allowed, hint)
    };
    let (found, allowed, hint) = told("\"basis\": \"real\"", "\"basis\": \"rael\"");
    assert_eq!(found, "the text \"rael\"");
    assert!(allowed.starts_with("`real` or `nominal`. "), "{allowed}");
    assert_eq!(hint.as_deref(), Some("did you mean `real`?"));

    let (found, allowed, _) = told("\"basis\": \"real\"", "\"basis\": 7");
    assert_eq!(found, "the number 7");
    assert!(allowed.starts_with("`real` or `nominal`. "), "{allowed}");

    let (found, allowed, _) = told("\"horizon_years\": 5", "\"horizon_years\": 2.5");
    assert_eq!(
        (found.as_str(), allowed.as_str()),
        ("the number 2.5", "a whole number. How many whole years are simulated.")
    );
    assert!(told("\"horizon_years\": 5", "\"horizon_years\": 5000000000").1.starts_with("at most 4294967295."));
    assert!(told("\"horizon_years\": 5", "\"horizon_years\": -1").1.starts_with("at least 0."));
    assert!(told("\"title\": \"North bay\"", "\"title\": [1]").1.starts_with("a text."));
    assert!(told("\"lights_on\": \"20:00\"", "\"lights_on\": true").1.starts_with("a text."));

    let night = NIGHT.replace("weekday", "weakday");
    let faulty = bad_with(ROOM, &Pages::of(&[("night.json", &night), ("parts/arc.json", common::ARC)]), &[]);
    assert_eq!(only(&faulty).hint.as_deref(), Some("did you mean `weekday`?"));
    let place = faulty.sources.locate(only(&faulty)).unwrap();
    assert_eq!((place.file.as_str(), place.line, place.column), ("night.json", 3, 24));
}

#[test]
fn whole_numbers_may_be_written_with_a_point() {
    let gathered = good(&room_with("\"horizon_years\": 5", "\"horizon_years\": 5.0"), &[]);
    assert_eq!(gathered.form.horizon_years, 5);
    let none = bad(&room_with("\"horizon_years\": 5", "\"horizon_years\": -0.5"), &[]);
    assert_eq!(only(&none).found, "the number -0.5");
    assert_eq!(good(&room_with("\"horizon_years\": 5", "\"horizon_years\": -0"), &[]).form.horizon_years, 0);
    let same = good(ROOM, &[]);
    assert_eq!(scenario::canonical(&gathered.value), scenario::canonical(&same.value));
}

#[test]
fn faults_come_in_the_order_of_the_file() {
    let text = room_with("\"North bay\"", "1").replace("\"price\": 61", "\"price\": []").replace("\"EUR\"", "null");
    let faulty = bad(&text, &[]);
    let places: Vec<_> = faulty.faults.iter().map(|fault| fault.at.as_str()).collect();
    assert_eq!(places, ["/title", "/currency", "/options/1/lamp/price"]);
}

#[test]
fn a_fault_in_a_page_that_is_linked_twice_is_told_once() {
    let arc = common::ARC.replace("\"disposal\"", "\"dispossal\"");
    let text = ROOM.replace(
        "{\n        \"price\": 61,\n        \"disposal\": 2,\n        \"life\": {\"b50\": {\"is\": 24, \"unit\": \"kh\"}, \"shape\": 4, \"rated_hours_per_start\": 12}\n      }",
        "{\"file\": \"parts/arc.json\"}",
    );
    assert_ne!(text, ROOM);
    let faulty = bad_with(&text, &Pages::of(&[("night.json", NIGHT), ("parts/arc.json", &arc)]), &[]);
    assert_eq!(faulty.sources.locate(only(&faulty)).unwrap().file, "parts/arc.json");
}

#[test]
fn a_top_page_of_the_wrong_kind_is_a_fault_at_the_root() {
    for text in ["[]", "3", "null", "\"x\""] {
        let faulty = gather(page(text), &Pages::usual(), &[]).unwrap_err();
        assert_eq!(only(&faulty).allowed, "an object", "{text}");
        assert!(shown(&faulty).starts_with("error: the scenario: found "), "{text}");
    }
}

#[test]
fn plain_data_has_everything_a_program_needs() {
    let faulty = bad(&room_with("\"shape\": 4", "\"shape\": \"µ\""), &[]);
    let plain = serde_json::to_value(faulty.sources.plain(&faulty.faults)).unwrap();
    assert_eq!(
        plain,
        serde_json::json!([{
            "file": "room.json",
            "line": 45,
            "column": 60,
            "what_if": null,
            "pointer": "/options/1/lamp/life/shape",
            "label": "options[\"B long-life arc\"].lamp.life.shape",
            "found": "the text \"µ\"",
            "allowed": "a number, or an object such as {\"is\": 46, \"grade\": \"invoice\"} or {\"elicited\": {\"p10\": 11000, \"p50\": 17000, \"p90\": 22000}, \"unit\": \"h\"}. Weibull shape of wear-out, unit \"1\"; larger means closer to the median.",
            "hint": null,
        }])
    );
}

#[test]
fn later_faults_are_placed_by_pointer() {
    let gathered = good(ROOM, &[]);
    let show = |fault: Fault| gathered.sources.show(&[fault], false);
    assert_eq!(
        show(Fault::value("/options/0/lamp/life/b50", "−3 h", "more than 0 h").with_hint("see the maker's sheet")),
        "\
error: options[\"A plain arc\"].lamp.life.b50: found −3 h
 --> parts/arc.json:4:19
  |
4 |   \"life\": {\"b50\": {\"is\": 16, \"unit\": \"kh\"}, \"shape\": 3.5, \"rated_hours_per_start\": 12}
  |                   ^^^^^^^^^^^^^^^^^^^^^^^^
  |
  = allowed: more than 0 h
  = help: see the maker's sheet"
    );
    // The name of a linked part stands in the page that links.
    let place = gathered.sources.locate(&Fault::name("/options/0/lamp", "x", "y")).unwrap();
    assert_eq!(&ROOM[place.bytes], "\"lamp\"");
    // What is absent is shown at the nearest thing around it.
    let place = gathered.sources.locate(&Fault::value("/canopy/height/is", "x", "y")).unwrap();
    assert_eq!(&ROOM[place.bytes], "\"canopy\"");
    let place = gathered.sources.locate(&Fault::value("/nowhere", "x", "y")).unwrap();
    assert_eq!((place.line, place.column), (1, 1));
}

#[test]
fn the_faults_of_a_hostile_file_are_bounded() {
    let readings = vec!["\"x\""; 30_000].join(",");
    let light = format!(
        "{{\"grid\": {{\"readings\": [[{readings}]], \"points\": \"edge_to_edge\", \"area\": 1, \"height\": 1}}}}"
    );
    let faulty = bad(&room_with("{\"mean\": {\"ppfd\": 640, \"area\": 1.44, \"height\": 0.9}}", &light), &[]);
    assert_eq!(faulty.faults.len(), 10_000);
    assert_eq!(faulty.faults[0].at, "/options/0/light/grid/readings/0/0");
    assert!(shown(&faulty).ends_with("and 9950 more"));
}
