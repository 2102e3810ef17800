//! Whatever is handed in, nothing panics and everything that is said stays harmless.
#![allow(clippy::unwrap_used)]

mod common;

use common::{ARC, NIGHT, Pages, ROOM, page};
use proptest::prelude::*;
use scenario::{WhatIf, gather};
use serde_json::{Value, json};

/// Gathers and shows; fails if anything panics, or if something is wrong with what is said.
fn survives(text: &str, pages: &Pages, what_ifs: &[WhatIf]) {
    let Err(faulty) = gather(page(text), pages, what_ifs) else { return };
    assert!(!faulty.faults.is_empty());
    let shown = faulty.sources.show(&faulty.faults, false);
    assert!(!shown.chars().any(|letter| letter.is_control() && letter != '\n'), "{shown:?}");
    assert!(shown.len() < 60 * 12_000);
    assert_eq!(faulty.sources.plain(&faulty.faults).len(), faulty.faults.len());
    for fault in &faulty.faults {
        if let Some(place) = faulty.sources.locate(fault) {
            assert!(place.line > 0 && place.column > 0);
            if place.file == "room.json" {
                assert!(text.get(place.bytes).is_some());
            }
        }
        assert!(!shown.contains("under any of the schemas"), "{shown}");
        // The form may refuse nothing that the schema lets through.
        assert!(!fault.found.starts_with("something that cannot be read"), "{fault:?}");
    }
}

/// The character boundary at or before a byte.
fn boundary(text: &str, byte: usize) -> usize {
    (0..=byte).rev().find(|byte| text.is_char_boundary(*byte)).unwrap()
}

fn values() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(|number| json!(number)),
        Just(json!(-0.0)),
        (0..40u32).prop_map(|number| json!(f64::from(number))),
        ".{0,8}".prop_map(Value::from),
        "(real|mon|led|is|night.json|guess)".prop_map(Value::from),
    ];
    let names = "(is|normal|mean|sd|file|unit|grade|price|energy|lamp|name|months|days|.{0,4})";
    leaf.prop_recursive(3, 24, 4, move |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::btree_map(names, inner, 0..4)
                .prop_map(|members| Value::Object(members.into_iter().collect())),
        ]
    })
}

/// Every pointer into a value.
fn pointers(value: &Value, at: String, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            members.iter().for_each(|(name, value)| pointers(value, format!("{at}/{name}"), found))
        }
        Value::Array(elements) => {
            elements.iter().enumerate().for_each(|(index, value)| pointers(value, format!("{at}/{index}"), found));
        }
        _ => {}
    }
    found.push(at);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_survives(text in any::<String>()) {
        survives(&text, &Pages::usual(), &[]);
    }

    #[test]
    fn any_bytes_survive(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        survives(&String::from_utf8_lossy(&bytes), &Pages::usual(), &[]);
    }

    #[test]
    fn json_like_text_survives(text in "[\\[\\]{}\",:0-9eE.+\\-a-c\\\\\n µ/']{0,60}") {
        survives(&text, &Pages::usual(), &[]);
    }

    #[test]
    fn a_scenario_with_a_hole_or_a_patch_survives(start in 0..ROOM.len(), length in 0..30usize, patch in ".{0,6}", page in 0..3) {
        let cut = |text: &str| {
            let start = boundary(text, start % text.len());
            let end = boundary(text, (start + length).min(text.len())).max(start);
            format!("{}{patch}{}", &text[..start], &text[end..])
        };
        match page {
            0 => survives(&cut(ROOM), &Pages::usual(), &[]),
            1 => survives(ROOM, &Pages::of(&[("night.json", &cut(NIGHT)), ("parts/arc.json", ARC)]), &[]),
            _ => survives(ROOM, &Pages::of(&[("night.json", NIGHT), ("parts/arc.json", &cut(ARC))]), &[]),
        }
    }

    #[test]
    fn a_scenario_with_a_wrong_value_survives(place in any::<prop::sample::Index>(), value in values(), merged in any::<bool>()) {
        let room: Value = serde_json::from_str(ROOM).unwrap();
        let mut all = Vec::new();
        pointers(&room, String::new(), &mut all);
        let pointer = place.get(&all).clone();
        let mut changed = room.clone();
        *changed.pointer_mut(&pointer).unwrap() = value.clone();
        survives(&serde_json::to_string_pretty(&changed).unwrap(), &Pages::usual(), &[]);
        let what_if = match merged {
            true => WhatIf::Patch { name: "room.json".to_string(), text: value.to_string() },
            false => WhatIf::Set { pointer, value },
        };
        if merged {
            // The patch shares its name with the page here, so only the absence of panics is of interest.
            let _ = gather(page(ROOM), &Pages::usual(), &[what_if]).map_err(|faulty| faulty.sources.show(&faulty.faults, true));
        } else {
            survives(ROOM, &Pages::usual(), &[what_if]);
        }
    }

    #[test]
    fn any_what_if_survives(place in "(/options|/canopy|/title|/-|/[0-9]|/~[0-2]|.){0,4}", value in values(), text in any::<String>()) {
        survives(ROOM, &Pages::usual(), &[WhatIf::Set { pointer: place.clone(), value }]);
        if let Ok(what_if) = WhatIf::parse_set(&text) {
            survives(ROOM, &Pages::usual(), &[what_if]);
        }
        if let Ok(what_if) = WhatIf::parse_set(&format!("{place}={text}")) {
            survives(ROOM, &Pages::usual(), &[what_if]);
        }
    }

    #[test]
    fn canonical_text_keeps_the_meaning(value in values()) {
        let text = scenario::canonical(&value);
        let back: Value = serde_json::from_str(&text).unwrap();
        prop_assert_eq!(scenario::canonical(&back), text);
    }
}
