//! Cards as grids of a scenario: what goes to `light.grid` of an option.
//!
//! Belongs here: names of files and the shape of a grid. Does not belong here: the readings' meaning.

use decide::canopy_report::{CanopyReport, CardResult, HeightResult, Point, PointKind};
use serde_json::json;

use super::{count, height_of};
use crate::words::{clean, slug};

/// Characters of a name that go into a file name.
const SLUG: usize = 32;

/// A grid for each card and height: pairs of file name and JSON. Names are safe and unique; a height is part of them where a
/// card has several.
pub fn grid_files(report: &CanopyReport) -> Vec<(String, String)> {
    let mut files: Vec<(String, String)> = vec![];
    for (k, card) in report.cards.iter().enumerate() {
        for height in &card.heights {
            let name = match slug(&card.name, SLUG) {
                name if name.is_empty() => format!("card-{}", k + 1),
                name => name,
            };
            let at =
                if card.heights.len() > 1 { format!("-at-{:.0}-cm", 100.0 * height.height_m) } else { String::new() };
            let mut file = format!("grid-{name}{at}.json");
            let mut more = 2;
            while files.iter().any(|(known, _)| *known == file) {
                file = format!("grid-{name}{at}-{more}.json");
                more += 1;
            }
            files.push((file, grid(card, height)));
        }
    }
    files
}

/// One grid, its rows a line each, so that it can be read beside the card.
fn grid(card: &CardResult, height: &HeightResult) -> String {
    let number = |point: &Point| if point.umol_m2_s.is_finite() { point.umol_m2_s.to_string() } else { "null".into() };
    let row = |row: &Vec<Point>| format!("    [{}]", row.iter().map(number).collect::<Vec<_>>().join(", "));
    let rows: Vec<String> = height.rows.iter().map(row).collect();
    let area = format!("{:.2} m × {:.2} m, as on the card", card.along_m, card.across_m);
    let tape = match height.between_m {
        Some((a, b)) => format!("readings worked out between {a:.2} m and {b:.2} m"),
        None => "lower edge of the fixture above the sensor, as on the card".to_owned(),
    };
    format!(
        "{{\n  \"note\": {},\n  \"readings\": [\n{}\n  ],\n  \"points\": {},\n  \"area\": {},\n  \"height\": {},\n  \"grade\": {}\n}}\n",
        json!(note(card, height)),
        rows.join(",\n"),
        json!(card.points),
        json!({ "is": card.area_m2, "unit": "m²", "grade": "measured", "note": area }),
        json!({ "is": height.height_m, "unit": "m", "grade": "measured", "note": tape }),
        json!(height.grade),
    )
}

/// Where the readings come from, and what was done to them.
fn note(card: &CardResult, height: &HeightResult) -> String {
    let mut told = vec![format!("Card of {} at {}", clean(&card.name), height_of(height))];
    let known = |what: &str, text: &Option<String>| text.as_ref().map(|text| format!("{what} {}", clean(text)));
    told.extend(known("measured", &card.measured));
    told.extend(known("meter", &card.sensor));
    told.extend(card.lamp_hours_h.map(|hours| format!("lamp had burned {hours} h (goes to light.lamp_hours)")));
    told.extend(card.lux_per_ppfd.map(|factor| format!("readings in lux divided by {factor}: a guess")));
    told.extend(height.between_m.map(|(a, b)| format!("worked out between {a:.2} m and {b:.2} m: a guess")));
    for (kind, word) in [(PointKind::Filled, "filled, which makes the grid a guess"), (PointKind::Doubtful, "smudged")]
    {
        let found = count(height, kind);
        if found > 0 {
            told.push(format!("{found} of the readings {word}"));
        }
    }
    format!("{}.", told.join("; "))
}
