//! What is said of forecasts that have come true or not.
//!
//! Belongs here: sentences, and where to look after a miss. Does not belong here: counting.

use records::Forecast;

use super::sheet::names_run;
use crate::score_report::Below;

/// Share of outcomes on a point from which the points are called coarse.
const COARSE: f64 = 0.1;

/// Whether so many outcomes lie on a point that shares beside it say little.
pub(super) fn is_coarse(below: &Below) -> bool {
    below.on as f64 > COARSE * below.of as f64
}

/// What stands against trusting the numbers.
pub(super) fn caveats(below: &[Below]) -> Vec<String> {
    let mut told = vec![
        "Limits and chances take outcomes as independent. Rows of one room, one lot of lamps or one year share their luck: ten \
         such rows can weigh as little as one, and all limits are then too close together."
            .to_owned(),
        "A score is fair only if every forecast that was made is in the table, and was written down before its outcome was \
         known."
            .to_owned(),
        "Even of right spans one outcome in five lies outside: a miss is a place to look, not yet an error.".to_owned(),
    ];
    if below.iter().any(is_coarse) {
        told.push(
            "Many outcomes lie exactly on a point, as small counts do. Spans of counts, their ends included, hold more than \
             their share by nature: outcomes on an end speak neither for spans that are too wide nor for ones that are \
             too narrow, so that it takes more rows to tell."
                .to_owned(),
        );
    }
    told
}

/// What a reader should know of the table.
pub(super) fn remarks(forecasts: &[Forecast]) -> Vec<String> {
    let mut told = vec![];
    let about = forecasts.iter().filter(|forecast| forecast.happened.is_some_and(|number| number.is_about)).count();
    if about > 0 {
        told.push(format!("Outcomes that are only about right (`~`), taken as written: {about}"));
    }
    let bare = forecasts.iter().filter(|forecast| forecast.p50.is_none()).count();
    if bare > 0 {
        told.push(format!("Forecasts without a median, left out where medians are asked for: {bare}"));
    }
    // a row that names its run can be dated by that
    let undated = forecasts.iter().filter(|forecast| forecast.made.is_empty() && !names_run(&forecast.note)).count();
    if undated > 0 {
        told.push(format!("Forecasts of which nobody knows when they were made (column `made`): {undated}"));
    }
    told
}

/// Where to look after a miss, by what was foretold.
pub(super) fn look(what: &str, unit: &str, is_above: bool) -> String {
    let (what, unit) = (what.to_lowercase(), unit.to_lowercase());
    let told = match (what.as_str(), unit.as_str(), is_above) {
        (what, _, true) if what.contains("failure") || what.contains("lamps") => {
            "lamps died sooner than believed, or were changed for another reason: put the burn log to `learn life`"
        }
        (what, _, false) if what.contains("failure") || what.contains("lamps") => {
            "lamps lived longer than believed, or dead ones were not found or not replaced: walk the room, then `learn life`"
        }
        (_, unit, _) if unit.ends_with("/mol") => {
            "price, power or light: `why` splits the cost; hold each part against its bill or its reading"
        }
        (_, "mol", false) => "less light: fading (`learn fading`), dirt, dark sockets, hours not burned",
        (_, "mol", true) => "more light: slower fading, cleaner fixtures, more hours, or a meter that reads high",
        (_, "kwh", _) => "hours or power: read the meter against the hours of the lights",
        _ => "the inputs that it rested on: which of them turned out otherwise, and was the room run as planned?",
    };
    told.to_owned()
}
