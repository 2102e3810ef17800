//! Changes to a gathered scenario.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Pages, ROOM, at, bad, bad_with, good, only, page, shown};
use scenario::fault::Fault;
use scenario::{WhatIf, gather};
use serde_json::json;

fn patch(text: &str) -> WhatIf {
    WhatIf::Patch { name: "cheap.json".to_string(), text: text.to_string() }
}

#[test]
fn changes_are_read_from_text() {
    let set = |pointer: &str, value| Ok(WhatIf::Set { pointer: pointer.to_string(), value });
    assert_eq!(WhatIf::parse_set("/options/0/lamp/price=52"), set("/options/0/lamp/price", json!(52)));
    assert_eq!(WhatIf::parse_set("/title=Night"), set("/title", json!("Night")));
    assert_eq!(WhatIf::parse_set("/title=\"5\""), set("/title", json!("5")));
    assert_eq!(WhatIf::parse_set("/note=a=b"), set("/note", json!("a=b")));
    assert_eq!(WhatIf::parse_set("/a~1b= {\"is\": 1}"), set("/a~1b", json!({"is": 1})));
    assert_eq!(WhatIf::parse_set("/canopy/target_ppfd=null"), set("/canopy/target_ppfd", json!(null)));
    assert_eq!(
        WhatIf::parse_set("/title").unwrap_err(),
        "`/title` has no `=`: write a place and a value, such as `/options/0/lamp/price=52`"
    );
    assert_eq!(
        WhatIf::parse_set("title=x").unwrap_err(),
        "`title` is not a place: a place starts with `/`, such as `/options/0/lamp/price`"
    );
    assert!(WhatIf::parse_set("/a~2=x").is_err());
    assert_eq!(WhatIf::parse_set("/a={\"b\":1,\"b\":2}").unwrap_err(), "the name at `/b` stands twice in the value");
}

#[test]
fn values_replace_are_added_and_are_appended() {
    let gathered = good(
        ROOM,
        &[
            "/title=Night",
            "/note=new",
            "/options/1/lamp/price=52",
            "/photoperiod/phases/-={\"name\":\"rest\",\"days\":3,\"lights\":[]}",
            "/photoperiod/phases/2/days=4",
        ],
    );
    assert_eq!(gathered.form.title, "Night");
    assert_eq!(gathered.form.note.as_deref(), Some("new"));
    assert_eq!(at(&gathered.value, "/options/1/lamp/price"), &json!(52));
    assert_eq!(gathered.form.photoperiod.phases[2].days, 4);
    assert_eq!(gathered.form.photoperiod.phases.len(), 3);
}

#[test]
fn later_changes_win() {
    assert_eq!(good(ROOM, &["/title=a", "/title=b"]).form.title, "b");
    let changes = [patch("{\"title\": \"a\"}"), WhatIf::parse_set("/title=b").unwrap(), patch("{\"note\": \"c\"}")];
    let gathered = gather(page(ROOM), &Pages::usual(), &changes).unwrap();
    assert_eq!((gathered.form.title.as_str(), gathered.form.note.as_deref()), ("b", Some("c")));
}

#[test]
fn a_number_makes_a_told_figure_certain_and_keeps_its_unit() {
    let gathered = good(ROOM, &["/options/0/wall_power=1.2", "/options/1/wall_power=990", "/options/0/lamp/price=52"]);
    assert_eq!(
        at(&gathered.value, "/options/0/wall_power"),
        &json!({"is": 1.2, "unit": "kW", "grade": "guess", "note": "what-if"})
    );
    assert_eq!(
        at(&gathered.value, "/options/1/wall_power"),
        &json!({"is": 990, "unit": "W", "grade": "guess", "note": "what-if"})
    );
    assert_eq!(at(&gathered.value, "/options/0/lamp/price"), &json!({"is": 52, "grade": "guess", "note": "what-if"}));
    // The number comes from the what-if, the unit from the file.
    let number = Fault::value("/options/0/wall_power/is", "x", "y");
    assert_eq!(gathered.sources.what_if(&number), Some("/options/0/wall_power=1.2"));
    let unit = gathered.sources.locate(&Fault::value("/options/0/wall_power/unit", "x", "y")).unwrap();
    assert_eq!(&ROOM[unit.bytes], "\"kW\"");

    let gathered = good(ROOM, &["/options/0/wall_power={\"is\":900}", "/canopy/target_ppfd=600"]);
    assert_eq!(at(&gathered.value, "/options/0/wall_power"), &json!({"is": 900}));
    assert_eq!(at(&gathered.value, "/canopy/target_ppfd"), &json!(600));
}

#[test]
fn a_place_that_is_not_there_names_the_deepest_part_and_the_likely_one() {
    let told = |text: &str| {
        let faulty = bad(ROOM, &[text]);
        let Fault { found, allowed, hint, .. } = only(&faulty).clone();
        (found, allowed, hint.unwrap_or_default())
    };
    assert_eq!(
        told("/options/0/lmp/price=1"),
        (
            "no `lmp` in `/options/0`".to_string(),
            "a place that exists, or a new member of an object that exists".to_string(),
            "did you mean `/options/0/lamp`?".to_string()
        )
    );
    assert_eq!(told("/optoins/0/name=x").0, "no `optoins` in the scenario");
    let (found, allowed, hint) = told("/options/7/name=x");
    assert_eq!(found, "no `7` in `/options`, a list of 2");
    assert_eq!(allowed, "a position from 0 to 1, or `-` at the end of the place to add an element");
    assert_eq!(hint, "");
    assert_eq!(told("/options/a plain arc/name=x").2, "`A plain arc` is at `/options/0`");
    assert_eq!(told("/options/00/name=x").0, "no `00` in `/options`, a list of 2");
    assert_eq!(told("/options/-/name=x").0, "no `-` in `/options`, a list of 2");
    assert_eq!(told("/title/x=1").0, "the text \"North bay\" at `/title`, which holds nothing inside");
}

#[test]
fn faults_of_a_what_if_name_it_and_no_file() {
    let faulty = bad(ROOM, &["/options/1/lamp/life/b50=often"]);
    assert_eq!(
        shown(&faulty),
        "\
error: options[\"B long-life arc\"].lamp.life.b50: found the text \"often\"
  |
  = note: set by the what-if `/options/1/lamp/life/b50=often`
  = allowed: a number, or an object such as {\"is\": 46, \"grade\": \"invoice\"} or {\"elicited\": {\"p10\": 11000, \
\"p50\": 17000, \"p90\": 22000}, \"unit\": \"h\"}. Rated life as a MEDIAN: burn hours by which half have failed, unit \"h\" or \"kh\"."
            .replace("\n  |\n  =", "\n |\n =")
            .replace("\n  = ", "\n = ")
    );
    assert_eq!(faulty.sources.locate(only(&faulty)), None);

    let faulty = bad(ROOM, &["/canopy/aera=5"]);
    assert_eq!(faulty.sources.what_if(only(&faulty)), Some("/canopy/aera=5"));
    let faulty = bad(ROOM, &["/options/9/name=x"]);
    assert_eq!(faulty.sources.what_if(only(&faulty)), Some("/options/9/name=x"));
    let faulty = bad(ROOM, &["/canopy/area={\"is\": 4"]);
    assert_eq!(
        only(&faulty).hint.as_deref(),
        Some(
            "the value was taken as a text because it is not valid JSON: the end of the file, with something still open"
        )
    );
    // A value the file still has a say in is placed in the file.
    let faulty = bad(&ROOM.replace("\"days\": 21", "\"days\": -21"), &["/title=x"]);
    assert!(faulty.sources.locate(only(&faulty)).is_some());
}

#[test]
fn links_in_a_set_value_are_followed() {
    let gathered = good(ROOM, &["/contracts/0/tariff={\"file\":\"night.json\"}"]);
    assert_eq!(gathered.form.contracts[0].tariff.0.energy.len(), 2);
    let place = gathered.sources.locate(&Fault::value("/contracts/0/tariff/energy/1/price", "x", "y")).unwrap();
    assert_eq!(place.file, "night.json");
    let faulty = bad(ROOM, &["/contracts/0/tariff={\"file\":\"gone.json\"}"]);
    assert_eq!(faulty.sources.what_if(only(&faulty)), Some("/contracts/0/tariff={\"file\":\"gone.json\"}"));
}

#[test]
fn patches_merge_replace_and_remove() {
    let change =
        patch("{\"title\": \"Cheap\", \"canopy\": {\"target_ppfd\": null}, \"money\": {\"discount_rate\": 0.04}}");
    let gathered = gather(page(ROOM), &Pages::usual(), &[change]).unwrap();
    assert_eq!(gathered.form.title, "Cheap");
    assert!(gathered.form.canopy.target_ppfd.is_none());
    assert_eq!(at(&gathered.value, "/money/discount_rate"), &json!(0.04));
    assert_eq!(at(&gathered.value, "/canopy/area/is"), &json!(120));
    assert_eq!(gathered.sources.what_if(&Fault::value("/money/discount_rate", "x", "y")), Some("cheap.json"));
    assert!(gathered.sources.locate(&Fault::value("/canopy/area", "x", "y")).is_some());

    // What a patch removed is missing because of the patch.
    let faulty = bad_with(ROOM, &Pages::usual(), &[patch("{\"canopy\": {\"area\": null}}")]);
    assert_eq!(faulty.sources.what_if(only(&faulty)), Some("cheap.json"));
}

#[test]
fn faults_of_a_patch_itself_are_placed_in_it() {
    let told = |text: &str| {
        let faulty = bad_with(ROOM, &Pages::usual(), &[patch(text)]);
        faulty.sources.plain(&faulty.faults).remove(0)
    };
    let fault = told("{\n  \"title\": \"a\",\n}");
    assert_eq!((fault.file.as_deref(), fault.line, fault.column), (Some("cheap.json"), Some(3), Some(1)));
    assert_eq!((fault.pointer.as_str(), fault.label.as_str()), ("", "cheap.json"));
    let fault = told("{\"title\": \"a\", \"title\": \"b\"}");
    assert_eq!((fault.file.as_deref(), fault.column), (Some("cheap.json"), Some(16)));
    assert_eq!(fault.pointer, "/title");
    assert_eq!(told("[]").allowed, "an object: a JSON Merge Patch (RFC 7396)");
    let fault = told("{\"contracts\": [{\"tariff\": {\"file\": \"x.json\"}}]}");
    assert_eq!((fault.found.as_str(), fault.column), ("a link inside a patch", Some(27)));
}

#[test]
fn a_later_fault_in_a_figure_that_a_what_if_made_certain_names_the_what_if() {
    let below = |pointer: &str| Fault::value(pointer, "-9 EUR/lamp", "at least 0 EUR/lamp");
    let gathered = good(ROOM, &["/options/0/lamp/price=-9"]);
    let fault = below("/options/0/lamp/price");
    assert_eq!(
        gathered.sources.show(std::slice::from_ref(&fault), false),
        "\
error: options[\"A plain arc\"].lamp.price: found -9 EUR/lamp
 |
 = note: set by the what-if `/options/0/lamp/price=-9`
 = allowed: at least 0 EUR/lamp"
    );
    let plain = gathered.sources.plain(std::slice::from_ref(&fault)).remove(0);
    assert_eq!(plain.what_if.as_deref(), Some("/options/0/lamp/price=-9"));
    assert_eq!((plain.file, plain.line, plain.column), (None, None, None));

    // Whatever part of the number or its unit was set, and the last of them is named.
    let named = |what_ifs: &[&str], pointer: &str| {
        let gathered = good(ROOM, what_ifs);
        gathered.sources.what_if(&below(pointer)).map(str::to_string)
    };
    for set in ["/options/0/lamp/price/triangular/low=-9", "/options/0/lamp/price/unit=USD/lamp"] {
        assert_eq!(named(&[set], "/options/0/lamp/price").as_deref(), Some(set));
    }
    let twice = ["/options/1/wall_power=5", "/options/1/wall_power/unit=kg"];
    assert_eq!(named(&twice, "/options/1/wall_power").as_deref(), Some(twice[1]));
    let change = patch("{\"money\": {\"discount_rate\": {\"is\": -200}}}");
    let gathered = gather(page(ROOM), &Pages::usual(), &[change]).unwrap();
    assert_eq!(gathered.sources.what_if(&below("/money/discount_rate")), Some("cheap.json"));

    // What only surrounds the figure still stands in its file, and so does a figure of which only the note was set.
    assert_eq!(named(&["/options/0/lamp/price=-9"], "/options/0/lamp"), None);
    assert_eq!(named(&["/options/0/lamp/price=-9"], "/options/0/lamp/disposal"), None);
    assert_eq!(named(&["/options/0/lamp/price/note=x"], "/options/0/lamp/price"), None);
    assert_eq!(named(&["/canopy/target_ppfd=5"], "/canopy"), None);
}

#[test]
fn what_a_patch_took_out_of_a_list_is_explained_once() {
    let change = patch("{\"options\": [{\"name\": \"A plain arc\", \"lamp\": {\"price\": 9}}]}");
    let faulty = bad_with(ROOM, &Pages::usual(), &[change]);
    assert!(faulty.faults.len() > 5, "{}", shown(&faulty));
    assert_eq!(faulty.faults[0].hint.as_deref(), Some("a merge patch replaces whole lists; use --set for one element"));
    assert!(faulty.faults[1..].iter().all(|fault| fault.hint.is_none()), "{}", shown(&faulty));

    // What is missing for another reason needs no such word.
    let faulty = bad_with(ROOM, &Pages::usual(), &[patch("{\"canopy\": {\"area\": null}}")]);
    assert_eq!(only(&faulty).hint, None);
    let faulty = bad_with(ROOM, &Pages::usual(), &[patch("{\"options\": []}"), patch("{\"cooling\": {}}")]);
    assert_eq!((only(&faulty).at.as_str(), only(&faulty).hint.as_deref()), ("/cooling/cop", None));
}
