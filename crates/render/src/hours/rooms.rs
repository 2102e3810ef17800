//! Rooms that share the lights and may start apart.
//!
//! Belongs here: the words and their order. Does not belong here: the search.

use std::collections::BTreeMap;

use decide::hours::{HoursReport, RoomsChoice, RoomsFinding};

use super::{SMALLEST_SHARE, money, option_names, sheet_names};
use crate::number;
use crate::page::{Column, Page};
use crate::words::clean;

/// Writes them, a table for each sheet.
pub(super) fn rooms(page: &mut Page, report: &HoursReport) {
    let sheets = sheet_names(report);
    let option = option_names(report).get(report.asked).cloned().unwrap_or_default();
    for (k, found) in report.rooms.iter().enumerate() {
        let sheet = sheets.get(found.sheet).map_or("", String::as_str);
        let count = number::counted(found.rooms as u64, "room");
        if k == 0 {
            page.heading(&format!("{count} that share the lights evenly: {option}"));
            page.hanging("", &super::changes::basis(report));
        }
        page.gap();
        page.bold(sheet);
        page.gap();
        table(page, report, found);
        page.gap();
        page.hanging("", &remark(found));
    }
}

fn table(page: &mut Page, report: &HoursReport, found: &RoomsFinding) {
    let choices = [&found.together, &found.cheapest, &found.lowest_peak];
    let names = ["together, as written", "cheapest", "lowest peak of the site"];
    let column = |name: String, cell: &dyn Fn(&RoomsChoice) -> String| Column {
        name,
        cells: choices.iter().map(|choice| vec![cell(choice)]).collect(),
    };
    let table = [
        column(format!("{} a year", clean(&report.currency)), &|choice| money(choice.year)),
        column("highest kW of the site".to_owned(), &|choice| number::fixed(choice.peak_kw, 1)),
        column("rooms start at".to_owned(), &starts),
    ];
    page.grid(&names.map(str::to_owned), &table);
}

/// Starts in the order of the day with how many rooms share each: the rooms are alike.
fn starts(choice: &RoomsChoice) -> String {
    let mut counted: BTreeMap<String, usize> = BTreeMap::new();
    for on in &choice.on {
        *counted.entry(clean(on)).or_default() += 1;
    }
    let told = counted.into_iter().map(|(on, count)| if count > 1 { format!("{count}\u{a0}×\u{a0}{on}") } else { on });
    told.collect::<Vec<_>>().join(", ")
}

fn remark(found: &RoomsFinding) -> String {
    let step = found.step_minutes;
    let tried = if found.exhaustive {
        format!("All combinations of starts every {step} minutes were tried.")
    } else {
        format!(
            "Not all combinations of starts every {step} minutes were tried: the search went downhill from several \
             beginnings, so that a better one may be left."
        )
    };
    let (together, cheapest) = (found.together.year, found.cheapest.year);
    let close = (together - cheapest).abs() < SMALLEST_SHARE * together.abs();
    if close {
        format!("{tried} Between together and cheapest there is no difference worth naming: less than 0.1 %.")
    } else {
        tried
    }
}
