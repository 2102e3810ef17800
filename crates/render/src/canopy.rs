//! Light on the canopy: what `canopy` prints, its tables, and grids for a scenario.
//!
//! Belongs here: the order of what is said. Does not belong here: which cards may be compared and what cancels, which
//! arrive with the numbers; CSV (`tables`), grids of a scenario (`grids`).

mod grids;
mod tables;

use decide::canopy_report::{CanopyReport, CardResult, FluxRatio, HeightResult, LikeGroup, PointKind};

use crate::number;
use crate::page::{Column, Page, first_column};
use crate::words::{clean, columns, distinct, shorten};

pub use grids::grid_files;
pub use tables::canopy_tables;

/// Most cards that are told one by one above all tables.
const MOST_SENTENCES: usize = 6;
/// Most ratios of a group that are printed; the table has all.
const MOST_RATIOS: usize = 28;

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &CanopyReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    let names = names(report, page.width);
    arithmetic(&mut page, report, &names);
    light(&mut page, report, &names);
    evenness(&mut page, report, &names);
    errors(&mut page, report, &names);
    compared(&mut page, report);
    page.list("Taken for granted", &report.assumptions);
    page.list("How to read this", &reading(report));
    page.list("Into a scenario", &into_a_scenario());
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

/// Every card with each of its heights.
fn entries(report: &CanopyReport) -> impl Iterator<Item = (&CardResult, &HeightResult)> {
    report.cards.iter().flat_map(|card| card.heights.iter().map(move |height| (card, height)))
}

/// Readings of a kind.
pub(crate) fn count(height: &HeightResult, kind: PointKind) -> usize {
    height.rows.iter().flatten().filter(|point| point.kind == kind).count()
}

/// A height in words.
pub(crate) fn height_of(height: &HeightResult) -> String {
    format!("{}\u{202f}m", number::fixed(height.height_m, 2))
}

/// Where points stand, in words.
pub(crate) fn points_of(points: &str) -> &'static str {
    if points == "edge_to_edge" { "edge-to-edge" } else { "cell-centred" }
}

/// An area by its sides.
pub(crate) fn area_of(along_m: f64, across_m: f64) -> String {
    format!("{}\u{202f}m × {}\u{202f}m", number::fixed(along_m, 2), number::fixed(across_m, 2))
}

/// Names of cards and heights, for rows: distinct, and the height kept where the name is cut.
fn names(report: &CanopyReport, width: usize) -> Vec<String> {
    let room = (2 * first_column(width)).saturating_sub(12);
    let cards = distinct(report.cards.iter().map(|card| card.name.as_str()), |name| cut(name, room));
    let of = |(card, name): (&CardResult, String)| -> Vec<String> {
        card.heights.iter().map(|height| format!("{}, {}", cut(&name, room), height_of(height))).collect()
    };
    report.cards.iter().zip(cards).flat_map(of).collect()
}

fn cut(name: &str, room: usize) -> String {
    shorten(name, room as f64, |text| columns(text) as f64)
}

fn head(page: &mut Page, report: &CanopyReport) {
    page.bold(&format!("Light on the canopy: {}", number::counted(report.cards.len() as u64, "card")));
    page.gap();
    let hours = number::significant(report.hours_a_day, 4);
    page.hanging(
        "Hours     ",
        &format!("{hours}\u{202f}h of light a day ({}); a year is 365 days", clean(&report.hours_from)),
    );
    if let Some(target) = report.target_umol_m2_s {
        page.hanging("Target    ", &format!("{}\u{202f}µmol/m²/s", number::significant(target, 4)));
    }
    if let Some(height) = report.height_m {
        page.hanging("Height    ", &format!("every card brought to {}\u{202f}m", number::significant(height, 4)));
    }
    if let Some(filling) = &report.filling {
        page.hanging("Missing   ", &format!("readings are filled by {}", clean(filling)));
    }
    for card in &report.cards {
        page.hanging("Card      ", &about(card));
    }
}

/// What is known of a card.
fn about(card: &CardResult) -> String {
    let mut told = vec![clean(&card.name)];
    let text = |what: &str, text: &Option<String>| text.as_ref().map(|text| format!("{what}{}", clean(text)));
    let amount = |what: &str, number: Option<f64>, unit: &str| {
        number.map(|number| format!("{what}{}\u{202f}{unit}", number::significant(number, 4)))
    };
    told.extend(text("", &card.source));
    told.extend(text("meter ", &card.sensor));
    told.extend(text("calibrated ", &card.calibrated));
    told.extend(text("measured ", &card.measured));
    told.extend(amount("lamp at ", card.lamp_hours_h, "h"));
    told.extend(amount("cleaned ", card.since_cleaning_d, "d before"));
    told.extend(amount("warm-up ", card.warm_up_min, "min"));
    told.extend(amount("", card.wall_power_w, "W at the wall"));
    told.extend(
        card.lux_per_ppfd.map(|factor| format!("GUESS: readings in lux divided by {}", number::significant(factor, 4))),
    );
    told.join("; ")
}

fn column(name: &str, cells: Vec<Vec<String>>) -> Column {
    Column { name: name.to_owned(), cells }
}

fn one(report: &CanopyReport, cell: impl Fn(&CardResult, &HeightResult) -> String) -> Vec<Vec<String>> {
    entries(report).map(|(card, height)| vec![cell(card, height)]).collect()
}

/// What can be added up again with a pencil.
fn arithmetic(page: &mut Page, report: &CanopyReport, names: &[String]) {
    page.heading("Mean of the readings, as read");
    let sum = |card: &CardResult, height: &HeightResult| {
        let readings = height.rows.iter().flatten();
        if card.points == "edge_to_edge" {
            return format!("{}, weighted", number::count(readings.count() as u64));
        }
        let sum: f64 = readings.clone().map(|point| point.umol_m2_s).sum();
        format!("{} / {}", number::significant(sum, 7), number::count(readings.count() as u64))
    };
    let mean = |_: &CardResult, height: &HeightResult| number::fixed(height.mean_umol_m2_s, 1);
    let beside = |other: Option<f64>, this: f64, decimals: usize| match other {
        Some(other) => vec![number::fixed(other, decimals), format!("({})", change(other / this - 1.0))],
        None => vec!["–".to_owned(), String::new()],
    };
    let mean_other =
        |(_, height): (&CardResult, &HeightResult)| beside(height.mean_other_way_umol_m2_s, height.mean_umol_m2_s, 1);
    let flux_other = |(_, height): (&CardResult, &HeightResult)| {
        let mut cells = beside(height.flux_other_way_umol_s, height.flux_umol_s, 0);
        let area = height.area_other_way_m2.map(|area| format!("into {}\u{202f}m²", number::fixed(area, 2)));
        cells.push(area.unwrap_or_default());
        cells
    };
    page.grid(
        names,
        &[
            column("points", one(report, |card, _| points_of(&card.points).to_owned())),
            column("area", one(report, |card, _| area_of(card.along_m, card.across_m))),
            column("sum / readings", one(report, sum)),
            column("mean, µmol/m²/s", one(report, mean)),
            column("mean if the points were read the other way", entries(report).map(mean_other).collect()),
            column("and the flux then, µmol/s", entries(report).map(flux_other).collect()),
        ],
    );
}

/// A change in per cent with its sign, to a tenth.
pub(crate) fn change(share: f64) -> String {
    let text = number::fixed(100.0 * share, 1);
    let plus = if share > 0.0 && text.bytes().any(|byte| matches!(byte, b'1'..=b'9')) { "+" } else { "" };
    format!("{plus}{text}\u{202f}%")
}

/// A number and its standard deviation, the latter to two digits and the number to the same place: the habit of whoever
/// states an uncertainty of measurement (JCGM 100:2008, 7.2.6; from memory).
fn with_sd(value: f64, sd: f64) -> Vec<String> {
    let last = sd.abs().log10().floor() - 1.0;
    if !(value.is_finite() && last.is_finite() && (-9.0..15.0).contains(&last)) {
        return vec![number::to_noise(value, sd), String::new()];
    }
    let unit = 10f64.powf(last);
    let shown = |number: f64| match last {
        last if last < 0.0 => number::fixed(number, (-last) as usize),
        _ => number::fixed((number / unit).round() * unit, 0),
    };
    vec![shown(value), format!("± {}", shown(sd))]
}

fn light(page: &mut Page, report: &CanopyReport, names: &[String]) {
    page.heading("Light into the mapped area, ± one standard deviation of the meter and its readings");
    let noisy = |value: f64, height: &HeightResult| with_sd(value, value * height.error.total);
    let of = |value: &dyn Fn(&HeightResult) -> Option<f64>| -> Vec<Vec<String>> {
        let cell = |(_, height): (&CardResult, &HeightResult)| {
            value(height).map_or_else(|| vec!["–".to_owned()], |value| noisy(value, height))
        };
        entries(report).map(cell).collect()
    };
    let mut shown = vec![
        column("flux, µmol/s", of(&|height| Some(height.flux_umol_s))),
        column("into it for each J, µmol/J", of(&|height| height.efficacy_umol_j)),
        column("daily light, mol/m²/d", of(&|height| Some(height.dli_mol_m2_d))),
        column("a year into this area, mol", of(&|height| Some(height.moles_a_year_mol))),
    ];
    if report.cards.iter().all(|card| card.wall_power_w.is_none()) {
        shown.remove(1);
    }
    page.grid(names, &shown);
}

fn evenness(page: &mut Page, report: &CanopyReport, names: &[String]) {
    page.heading("How even it is");
    let ratio = |pick: fn(&HeightResult) -> f64| one(report, move |_, height| number::fixed(pick(height), 2));
    let mut shown = vec![
        column("min / mean", ratio(|height| height.min_to_mean)),
        column("min / max", ratio(|height| height.min_to_max)),
        column("max / mean", ratio(|height| height.max_to_mean)),
        column("variation (CV)", ratio(|height| height.variation)),
        column("dimmest tenth up to, µmol/m²/s", one(report, |_, height| number::significant(height.p10_umol_m2_s, 4))),
    ];
    if let Some(target) = report.target_umol_m2_s {
        let name = format!("of the area under {}", number::significant(target, 4));
        let share = |_: &CardResult, height: &HeightResult| {
            height
                .share_below_target
                .map_or_else(|| "–".to_owned(), |share| format!("{}\u{202f}%", number::fixed(100.0 * share, 0)))
        };
        shown.push(column(&name, one(report, share)));
    }
    page.grid(names, &shown);
}

/// A standard deviation in per cent.
pub(crate) fn percent(share: f64) -> String {
    if share == 0.0 { "0".to_owned() } else { format!("{}\u{202f}%", number::significant(100.0 * share, 2)) }
}

fn errors(page: &mut Page, report: &CanopyReport, names: &[String]) {
    page.heading("How sure the mean is, one standard deviation");
    let part = |pick: fn(&HeightResult) -> f64| one(report, move |_, height| percent(pick(height)));
    let mut shown = vec![
        column("meter's calibration", part(|height| height.error.gain)),
        column("kind of light", part(|height| height.error.source)),
        column("factor from lux", part(|height| height.error.factor)),
        column("single readings", part(|height| height.error.points)),
        column("between heights", part(|height| height.error.law)),
        column("all of it", part(|height| height.error.total)),
    ];
    if entries(report).all(|(_, height)| height.error.law == 0.0) {
        shown.remove(4);
    }
    if report.cards.iter().all(|card| card.lux_per_ppfd.is_none()) {
        shown.remove(2);
    }
    page.grid(names, &shown);
}

/// What a group has in common.
pub(crate) fn common(group: &LikeGroup) -> String {
    format!(
        "into {} at {}\u{202f}m, {}",
        area_of(group.along_m, group.across_m),
        number::fixed(group.height_m, 2),
        points_of(&group.points)
    )
}

fn compared(page: &mut Page, report: &CanopyReport) {
    if report.cards.len() < 2 {
        return;
    }
    let name = |entry: (usize, usize)| report.cards.get(entry.0).map_or_else(String::new, |card| clean(&card.name));
    for group in report.groups.iter().filter(|group| !group.ratios.is_empty()) {
        page.heading(&format!("Like with like: light {}", common(group)));
        let shown = &group.ratios[..group.ratios.len().min(MOST_RATIOS)];
        let room = first_column(page.width);
        let rows: Vec<String> = shown
            .iter()
            .map(|ratio| format!("{} / {}", cut(&name(ratio.a), room - 2), cut(&name(ratio.b), room - 2)))
            .collect();
        let ratios = shown.iter().map(|ratio| with_sd(ratio.ratio, ratio.ratio * ratio.total));
        let word = |ratio: &FluxRatio| vec![if ratio.too_close { "too close to call" } else { "clear" }.to_owned()];
        page.grid(
            &rows,
            &[
                column("ratio of fluxes", ratios.collect()),
                column("from 1", shown.iter().map(word).collect()),
                column("what cancels", shown.iter().map(|ratio| vec![cancels(ratio).to_owned()]).collect()),
            ],
        );
        if group.ratios.len() > shown.len() {
            page.hanging("", &format!("{} more are in canopy-ratios.csv.", group.ratios.len() - shown.len()));
        }
    }
    if !report.differ_in.is_empty() {
        page.heading("Not compared");
        for group in &report.groups {
            let mut names: Vec<String> = group.entries.iter().map(|entry| name(*entry)).collect();
            names.dedup();
            page.hanging("- ", &format!("{}: {}", common(group), names.join(", ")));
        }
        page.hanging(
            "",
            &format!(
                "No ratio is shown across these: they differ in {}. {}",
                clean(&report.differ_in.join(" and ")),
                advice(report)
            ),
        );
    }
}

/// How unlike cards could be made alike.
fn advice(report: &CanopyReport) -> &'static str {
    match (report.differ_in.as_slice(), report.height_m) {
        ([only], None) if only == "height" => "--height brings cards that were read at several heights to one.",
        _ => "Read them again over one area, at one height, with points that stand alike.",
    }
}

/// What of the meter's error cancels in a ratio.
pub(crate) fn cancels(ratio: &FluxRatio) -> &'static str {
    match (ratio.same_meter, ratio.same_source, ratio.same_factor) {
        (true, true, true) => "calibration, kind of light, factor from lux",
        (true, true, false) => "calibration, kind of light",
        (true, false, _) => "calibration",
        (false, _, true) => "factor from lux",
        _ => "nothing",
    }
}

/// Light into each area, and which cards are alike, a sentence each.
pub(crate) fn sentences(report: &CanopyReport) -> Vec<String> {
    let light = |(card, height): (&CardResult, &HeightResult)| {
        format!(
            "{}: {}\u{202f}µmol/s into {}\u{202f}m² at {}\u{202f}m.",
            clean(&card.name),
            with_sd(height.flux_umol_s, height.flux_umol_s * height.error.total).join(" "),
            number::significant(card.area_m2, 4),
            number::significant(height.height_m, 4)
        )
    };
    entries(report).take(MOST_SENTENCES).map(light).collect()
}

/// How a card goes into a scenario, and what does not go with it by itself.
fn into_a_scenario() -> [String; 2] {
    [
        "grid-….json are an option's light.grid: --set /options/1/light/grid=@…/grid-….json, and before it --set \
         /options/1/light/mean=null (or ppf) where the scenario tells the light that way"
            .to_owned(),
        "the meter's errors, those of single readings, the lamp's burn hours and the days since the cleaning do not travel with \
         a grid: light.meter (one of the scenario's meters), light.point_error, light.lamp_hours and light.since_cleaning take \
         them"
            .to_owned(),
    ]
}

fn reading(report: &CanopyReport) -> Vec<String> {
    let mut told = vec![
        "cell-centred: every reading weighs the same; edge-to-edge: readings on an edge weigh half, at a corner a quarter; the \
         first table says what a mistake about that would do: to the mean, and to the flux, whose area changes too where it follows \
         from the spacing"
            .to_owned(),
        "µmol/J is the flux into this area at this height over wall power; PPFD over watts would lack the area, and is no \
         efficacy"
            .to_owned(),
        "CV: standard deviation of the whole (not of a sample), weighted by area, over the mean; there is no measure of evenness \
         that all agree on"
            .to_owned(),
    ];
    if report.groups.iter().any(|group| !group.ratios.is_empty()) {
        told.push(
            "a ratio of two cards by one meter is free of its calibration, and of one kind of light also of its colour; errors \
             of single readings never cancel; too close to call: within 1.96 standard deviations of 1"
                .to_owned(),
        );
    }
    told
}

#[cfg(test)]
mod tests;
