//! `canopy`: what it says, writes and refuses.

use std::fs;

use super::{folder_with, lampledger, names, tidefall};

const CARD: &str =
    "fixture: arc\npoints: cell-centred\nspacing: 0.30 m\nheight: 0.90 m\n402 560 628\n566 792 905\n634 914 1010\n";

#[test]
fn the_demonstration_is_read() {
    let folder = folder_with(&[]);
    let said = lampledger(folder.path(), &["canopy", "--out", "out"]).well();
    for part in [
        "Light on the canopy: 4 cards",
        "12 h of light a day (mean of the photoperiod of Tidefall Growers, Bay 2)",
        "731.6 (+11.4",
        "1054 (−28.7",
        "747.7 (+4.2",
        "628.5 (+13.1",
        "too close to call",
        "Not compared",
        "they differ in height",
        "Cautions",
        "12 files are in out/",
    ] {
        let plain = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains(part), "{part} is not in {plain}");
    }
    let expected = [
        "canopy-points.csv",
        "canopy-ratios.csv",
        "canopy.csv",
        "canopy.html",
        "canopy.json",
        "canopy.svg",
        "grid-a-cheap-arc-at-45-cm.json",
        "grid-a-cheap-arc-at-60-cm.json",
        "grid-a-cheap-arc-at-90-cm.json",
        "grid-b-long-life-arc.json",
        "grid-c-bar-led.json",
        "grid-d-panel-led.json",
    ];
    assert_eq!(names(&folder.path().join("out")).into_iter().collect::<Vec<_>>(), expected);
    let json = lampledger(folder.path(), &["canopy", "--json"]).well().json();
    assert_eq!(json["format"], "lampledger-canopy/1");
    assert_eq!(json["cards"][0]["heights"].as_array().map(Vec::len), Some(3));
}

#[test]
fn a_grid_goes_straight_into_a_run() {
    let folder = tidefall();
    lampledger(folder.path(), &["canopy", "cards/b-long-life-arc.txt", "cards/a-cheap-arc.txt", "--out", "light"])
        .well();
    let run = |set: &str, out: &str| {
        let words = ["run", "bay-2.json", "--trials", "8", "--out", out, "--set", set];
        lampledger(folder.path(), &words).well();
        super::result(&folder.path().join(out))["options"][1]["new_flux_umol_s"].as_f64().unwrap()
    };
    let as_it_stands = run("/title=\"as it stands\"", "a");
    assert_eq!(run("/options/1/light/grid=@light/grid-b-long-life-arc.json", "b"), as_it_stands);
    let lower = run("/options/1/light/grid=@light/grid-a-cheap-arc-at-60-cm.json", "c");
    assert!((lower - 17246.0 / 25.0 * 2.25).abs() < 1e-9, "{lower}");
}

#[test]
fn cards_are_brought_to_one_height() {
    let folder = folder_with(&[]);
    fs::write(folder.path().join("a.txt"), include_str!("../../scenarios/tidefall/cards/a-cheap-arc.txt")).unwrap();
    let json = lampledger(folder.path(), &["canopy", "a.txt", "--height", "0.75", "--json"]).well().json();
    let height = &json["cards"][0]["heights"][0];
    assert_eq!((height["height_m"].as_f64(), height["between_m"][0].as_f64()), (Some(0.75), Some(0.6)));
    let mean = height["mean_umol_m2_s"].as_f64().unwrap();
    assert!(mean > 656.0 && mean < 690.0, "{mean}");
    assert!(height["error"]["law"].as_f64().unwrap() > 0.0);
    lampledger(folder.path(), &["canopy", "a.txt", "--height", "1.2"]).refused(
        1,
        "error: a.txt: column \"height\": --height 1.2 m; allowed: 0.428 to 0.922 m on this card, 5 % of the span beyond its \
         ends at most\n",
    );
    // the demonstration's other cards were read at one height only: every one of them says so
    let said = lampledger(folder.path(), &["canopy", "--height", "0.60"]);
    assert_eq!((said.code, said.err.lines().count()), (1, 3), "{}", said.err);
    assert!(
        said.err.contains("0.45 m, the only height on this card, because one height foretells no other"),
        "{}",
        said.err
    );
}

#[test]
fn where_the_points_stand_must_be_said() {
    let folder = folder_with(&[("card.txt", &CARD.replace("points: cell-centred\n", ""))]);
    lampledger(folder.path(), &["canopy", "card.txt"]).refused(
        1,
        "error: card.txt: column \"points\": nothing; the mean is 712.3 µmol/m²/s if cell-centred, 733.2 if edge-to-edge \
         (+2.9\u{202f}%); the flux is 577 or 264 µmol/s (\u{2212}54.3\u{202f}%); allowed: points: cell-centred, which is |· · ·| with each reading in the middle of its own cell, and \
         all of them weigh the same; or points: edge-to-edge, which is ·-·-· with the outer readings on the edge of the area, \
         where an edge weighs half and a corner a quarter\n",
    );
}

#[test]
fn missing_readings_are_refused_or_filled_and_flagged() {
    let folder = folder_with(&[("card.txt", &CARD.replace("402 560", "- 560?"))]);
    lampledger(folder.path(), &["canopy", "card.txt"]).refused(
        1,
        "error: card.txt: line 4, column \"height\": reading 1 of row 1 is missing; allowed: every reading; or --fill symmetry, or \
         --fill neighbours, which guess it, widen its error and say so\n",
    );
    let said = lampledger(folder.path(), &["canopy", "card.txt", "--fill", "symmetry", "--out", "out"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("arc at 0.90 m: filled: row 1 reading 1 (± "), "{text}");
    assert!(text.contains("smudged, used with a wider error: row 1 reading 2 (± 10 %)"), "{text}");
    assert!(
        text.contains("A gain error of 5 % (1 standard deviation) for arc: a judgement without a source"),
        "{text}"
    );
    assert!(text.contains("12 h of light a day (assumed)"), "{text}");
    assert!(
        fs::read_to_string(folder.path().join("out/grid-arc.json"))
            .unwrap()
            .contains("1 of the readings filled, which makes the grid a guess")
    );
    let both = ["canopy", "card.txt", "--fill", "symmetry", "--fill-doubtful", "--json"];
    let json = lampledger(folder.path(), &both).well().json();
    assert_eq!(json["cards"][0]["heights"][0]["rows"][0][1]["kind"], "filled");
}

#[test]
fn light_for_the_eye_needs_a_factor_and_stays_a_guess() {
    let card = CARD.replace("points", "unit: lux\npoints").replace("402", "33000");
    let declared = card.replace("unit: lux", "unit: lux   lux per µmol/m²/s: 82");
    let folder = folder_with(&[("lux.txt", &card), ("declared.txt", &declared)]);
    let said = lampledger(folder.path(), &["canopy", "lux.txt"]);
    assert_eq!((said.code, said.out.as_str()), (1, ""));
    assert!(said.err.contains("lux, which weighs light as the eye does and not as a leaf"), "{}", said.err);
    assert!(said.err.contains("high-pressure sodium 82"), "{}", said.err);
    let said = lampledger(folder.path(), &["canopy", "declared.txt", "--out", "out"]).well();
    assert!(said.out.contains("GUESS"), "{}", said.out);
    assert!(fs::read_to_string(folder.path().join("out/grid-arc.json")).unwrap().contains("\"grade\": \"guess\""));
    let said = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("An error of the factor from lux of 10 % (1 standard deviation) for arc"), "{said}");
    let json = lampledger(folder.path(), &["canopy", "declared.txt", "--json"]).well().json();
    assert_eq!(json["cards"][0]["heights"][0]["error"]["factor"].as_f64(), Some(0.1));
}

#[test]
fn all_flaws_of_all_cards_are_told_and_nothing_is_written() {
    let folder = folder_with(&[("a.txt", &CARD.replace("402", "x")), ("b.txt", &CARD.replace("spacing", "spaceing"))]);
    let said = lampledger(folder.path(), &["canopy", "a.txt", "b.txt"]);
    assert_eq!((said.code, said.out.as_str()), (1, ""));
    // an x begins a word, so its line is read as one of keys
    assert!(
        said.err.starts_with("error: a.txt: line 5: \"x 560 628\"; allowed: key: value, or readings\n"),
        "{}",
        said.err
    );
    assert!(said.err.contains("error: b.txt: line 3: a key \"spaceing\" (did you mean spacing?)"), "{}", said.err);
    assert_eq!(names(folder.path()).len(), 2);
    let missing = lampledger(folder.path(), &["canopy", "none.txt"]);
    assert_eq!(missing.code, 3);
}

#[test]
fn a_blank_card_is_a_card_once_it_is_filled_in() {
    let folder = folder_with(&[]);
    let blank = lampledger(folder.path(), &["canopy", "--blank", "3x4"]).well().out;
    assert_eq!(blank.matches("____").count(), 12);
    let filled = blank
        .replace("fixture:", "fixture: arc")
        .replace("points:  ", "points: edge-to-edge  ")
        .replace("spacing:  ", "spacing: 0.30 m  ")
        .replace("height:  ", "height: 0.90 m  ")
        .replace("____", "500");
    fs::write(folder.path().join("card.txt"), filled).unwrap();
    let json = lampledger(folder.path(), &["canopy", "card.txt", "--json"]).well().json();
    assert_eq!(json["cards"][0]["heights"][0]["mean_umol_m2_s"].as_f64(), Some(500.0));
    assert!((json["cards"][0]["area_m2"].as_f64().unwrap() - 0.54).abs() < 1e-12);
    assert_eq!(lampledger(folder.path(), &["canopy", "--blank", "0x4"]).code, 2);
    assert_eq!(lampledger(folder.path(), &["canopy", "--blank", "5x5", "card.txt"]).code, 2);
    assert_eq!(lampledger(folder.path(), &["canopy", "--fill-doubtful"]).code, 2);
}

#[test]
fn lamps_of_unlike_age_and_unlike_grids_are_not_compared_silently() {
    let old = CARD.replace("fixture: arc", "fixture: old\nlamp hours: 9000 h\nsensor: s\nsource: x");
    let new = CARD.replace("fixture: arc", "fixture: new\nlamp hours: 100 h\nsensor: S\nsource: X");
    let wide = CARD.replace("0.30 m", "0.40 m");
    let folder = folder_with(&[("old.txt", &old), ("new.txt", &new), ("wide.txt", &wide)]);
    let said = lampledger(folder.path(), &["canopy", "old.txt", "new.txt", "wide.txt", "--out", "out"]).well();
    let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("old and new were not alike when they were read (burn hours of the lamp: 9000 h against 100 h)"),
        "{text}"
    );
    assert!(text.contains("they differ in area. Read them again over one area"), "{text}");
    let ratios = fs::read_to_string(folder.path().join("out/canopy-ratios.csv")).unwrap();
    assert_eq!(ratios.lines().count(), 2, "{ratios}");
    assert!(ratios.contains("1,old,0.9,new,0.9,1,0,0,0,"), "{ratios}");
}
