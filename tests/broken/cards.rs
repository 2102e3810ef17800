//! Reading cards that were garbled: each ends in flaws or in a sound report.

use std::fs;

use decide::canopy::{CanopyOrder, Filling, canopy as judge};
use proptest::prelude::*;
use records::Card;

use super::{plain, xml};
use crate::cli::{folder_with, lampledger};
use crate::support::cells;

const CARD: &str = include_str!("../../scenarios/tidefall/cards/a-cheap-arc.txt");

/// What becomes of a card: flaws, or a report whose page, tables, picture and grids are sound. An error says what is not.
fn fate(text: &str, order: &CanopyOrder) -> Result<bool, String> {
    let Ok(card) = Card::parse(text) else { return Ok(false) };
    if Card::parse(&card.written()).is_err() {
        return Err("a card that does not read back".into());
    }
    let other = Card::parse(CARD).unwrap();
    let Ok(report) = judge(&[("a.txt".into(), card), ("b.txt".into(), other)], order, "0") else { return Ok(false) };
    plain(&render::answer::printed(&report, 80, false))?;
    for (file, text) in render::canopy::canopy_tables(&report) {
        for cell in cells(&text).into_iter().flatten() {
            let is_formula = cell.starts_with(['=', '+', '@']) || cell.starts_with('-') && cell.parse::<f64>().is_err();
            if is_formula || cell == "NaN" || cell == "inf" {
                return Err(format!("{file}: {cell}"));
            }
        }
    }
    for (file, svg) in render::charts::canopy_charts(&report).map_err(|error| error.to_string())? {
        xml::well_formed(&svg).map_err(|error| format!("{file}: {error}"))?;
    }
    for (file, text) in render::canopy::grid_files(&report) {
        serde_json::from_str::<serde_json::Value>(&text).map_err(|error| format!("{file}: {error}"))?;
    }
    Ok(true)
}

fn order(filling: Option<Filling>, height_m: Option<f64>) -> CanopyOrder {
    CanopyOrder {
        hours_a_day: 12.0,
        hours_from: "as asked".into(),
        target: Some(600.0),
        height_m,
        filling,
        fill_doubtful: true,
    }
}

#[test]
fn names_from_a_card_do_nothing() {
    for name in [
        "<script>alert(1)</script>",
        "=1+1",
        "@SUM(A1)",
        "-1+1",
        "../../etc/passwd",
        "]]>&#0;",
        "Лампа 灯 مصباح",
        "a\",\"b",
    ] {
        let text =
            CARD.replace("A cheap arc", name).replace("bench sensor", name).replace("high-pressure sodium", name);
        assert_eq!(fate(&text, &order(None, None)), Ok(true), "{name}");
        let text = text.replace("2031-02-10", name);
        assert_eq!(fate(&text, &order(None, None)), Ok(false), "{name}");
    }
    for text in ["\u{1b}[31m", "\u{7}", "\u{0}"] {
        assert_eq!(fate(&CARD.replace("cheap", text), &order(None, None)), Ok(false));
    }
    // direction marks pass the reader and stop at the page
    assert_eq!(fate(&CARD.replace("cheap", "\u{202e}cheap"), &order(None, None)), Ok(true));
}

#[test]
fn extreme_readings_end_in_finite_numbers_or_in_flaws() {
    for (reading, is_card) in [
        ("0", true),
        ("10000", true),
        ("1e-300", true),
        ("10001", false),
        ("1e308", false),
        ("-1", false),
        ("NaN", false),
        ("inf", false),
    ] {
        assert_eq!(fate(&CARD.replace("1010", reading), &order(None, None)), Ok(is_card), "{reading}");
        let one = format!("fixture: a\npoints: cell-centred\nspacing: 1 m\nheight: 1 m\n{reading}\n");
        let is_light = is_card && !["0", "1e-300"].contains(&reading);
        assert_eq!(fate(&one, &order(None, None)), Ok(is_light), "one reading of {reading}");
    }
}

#[test]
fn what_is_no_card_is_refused_in_plain_words() {
    let folder = folder_with(&[("card.txt", CARD), ("empty.txt", "")]);
    fs::write(folder.path().join("bytes"), [0xff, 0xfe, 0, 159]).unwrap();
    fs::create_dir(folder.path().join("folder")).unwrap();
    for (name, code) in [("bytes", 3), ("folder", 3), ("empty.txt", 1), ("none", 3)] {
        let said = lampledger(folder.path(), &["canopy", "card.txt", name]);
        assert_eq!((said.code, said.out.as_str()), (code, ""), "{name}: {}", said.err);
        plain(&said.err).unwrap();
    }
    let many: Vec<&str> = std::iter::once("canopy").chain((0..41).map(|_| "card.txt")).collect();
    lampledger(folder.path(), &many).refused(2, "error: 41 cards: at most 40 are read at once\n");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn garbled_cards_end_in_flaws_or_in_sound_reports(
        changes in prop::collection::vec((0..CARD.len(), prop::sample::select(vec!["", "-", "?", ",", ";", "\t", "\n", "0", "9", ".", " ", "height: 0.5 m\n", "#", "x", ":", "µ"])), 1..6),
        filling in prop::option::of(prop::sample::select(vec![Filling::Symmetry, Filling::Neighbours])),
        height in prop::option::of(0.4..1.0f64),
    ) {
        let mut text: Vec<String> = CARD.chars().map(String::from).collect();
        for (place, with) in changes {
            let place = place % text.len();
            text[place] = with.to_owned();
        }
        if let Err(wrong) = fate(&text.concat(), &order(filling, height)) {
            prop_assert!(false, "{wrong}");
        }
    }
}
