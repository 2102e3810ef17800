//! How light fades by readings: what `learn fading` prints, and its tables.
//!
//! Belongs here: the order of what is said. Does not belong here: CSV (`tables`), arithmetic on readings.

mod tables;

use decide::fading_report::{CurvePoint, FadingReport, FitTold, HoursTo, LedHoursTo, LedTold, Parameter};

use crate::number;
use crate::page::{Column, Page, first_column};
use crate::relamp::hours;
use crate::words::{clean, columns, shorten};

pub use tables::{fading_csv, fading_points_csv};

/// Lamps that are listed.
const LISTED: usize = 12;
/// An interval of a thousand draws is known to about a twentieth of its width: digits finer than that are not printed.
const KNOWN: f64 = 25.0;
/// Shares from here on, 1 = all, are no light that a lamp gives, but a fit gone astray.
const MOST_SHARE: f64 = 10.0;
/// What stands where there is nothing.
const NONE: &str = "–";

/// The report as a page for so many columns (48 at least). All names are freed of control and direction characters.
pub(crate) fn page(report: &FadingReport, width: usize) -> Page {
    let mut page = Page::new(width);
    head(&mut page, report);
    left(&mut page, report);
    fits(&mut page, report);
    lamps(&mut page, report);
    outliers(&mut page, report);
    if let Some(led) = &report.led {
        of_leds(&mut page, led);
    }
    page.heading("Into a scenario");
    page.hanging(
        "",
        &format!(
            "maintenance.json holds {} that belong together{}; give it to any command as --set {}=@FOLDER/maintenance.json.",
            number::counted(report.draws, "draw"),
            match report.lamp_to_lamp {
                Some(spread) if report.chosen.is_none() =>
                    format!(" and the spread of alpha between units ({} %)", number::significant(100.0 * spread, 2)),
                Some(_) => " and the spread between lamps".to_owned(),
                None => String::new(),
            },
            clean(&report.place)
        ),
    );
    page.list("Taken for granted", &report.assumptions);
    page.list("Cautions", &report.cautions);
    page.list("Remarks", &report.remarks);
    page
}

fn head(page: &mut Page, report: &FadingReport) {
    page.bold(&format!("{}: how {} fades", clean(&report.title), clean(&report.option)));
    page.gap();
    let lamps = number::counted(report.lamps.len() as u64, "lamp");
    let mut read =
        format!("{} of {lamps}, up to {} h", number::counted(report.readings, "reading"), hours(report.read_to_h));
    if report.left_out > 0 {
        read.push_str(&format!("; {} left out by the record", number::count(report.left_out)));
    }
    if report.is_merged {
        read.push_str("; those of a lamp at nearly the same hours put together");
    }
    page.hanging("Readings  ", &format!("{read} ({})", clean(&report.record)));
    page.hanging("Counts    ", &clean(&report.why));
    page.hanging("Draws     ", &format!("{}, seed {}", number::count(report.draws), report.seed));
}

/// A number to what its interval leaves of it, and the interval.
fn ranged(value: f64, (low, high): (f64, f64), scale: f64) -> Vec<String> {
    if !value.is_finite() {
        return vec![NONE.to_owned()];
    }
    let noise = (high - low) / KNOWN * scale;
    if !(noise > 0.0 && noise.is_finite()) {
        return vec![number::significant(value * scale, 4)];
    }
    // the brackets say what is not known; what cannot be below 0 and is lost in the noise is less than that
    let bound = |bound: f64| match number::to_noise(bound * scale, noise).strip_prefix("0 ± ") {
        Some(noise) if low >= 0.0 => format!("<{noise}"),
        Some(_) => "0".to_owned(),
        None => number::to_noise(bound * scale, noise),
    };
    vec![bound(value), format!("({})", number::range(&bound(low), &bound(high)))]
}

/// A share in per cent with its interval; a dash where the fit says what no lamp can give.
fn share(share: f64, interval: (f64, f64)) -> Vec<String> {
    let is_sane = [share, interval.0, interval.1].iter().all(|share| *share < MOST_SHARE);
    if is_sane { ranged(share, interval, 100.0) } else { vec![NONE.to_owned()] }
}

/// Hours to a share: "> cap" beyond what may be quoted.
pub(crate) fn hours_to(to: &HoursTo, cap: Option<f64>) -> Vec<String> {
    let Some(value) = to.hours else { return vec!["never".to_owned()] };
    if let Some(cap) = cap.filter(|cap| value > *cap) {
        return vec![format!("> {}", hours(cap))];
    }
    match to.interval {
        (Some(low), Some(high)) => ranged(value, (low, high), 1.0),
        (Some(low), None) => {
            let low = number::significant(low, 2);
            vec![number::significant(value, 2), format!("({low} to never)")]
        }
        _ => vec![number::significant(value, 2)],
    }
}

fn left(page: &mut Page, report: &FadingReport) {
    page.heading("What is left after burn hours, share of the light at 0 h");
    let name = |point: &CurvePoint| {
        let beyond = if point.burn_h > 1.001 * report.read_to_h { ", unseen" } else { "" };
        format!("{}\u{202f}h{beyond}", hours(point.burn_h))
    };
    let column = |name: &str, cells: Vec<Vec<String>>| Column { name: name.to_owned(), cells };
    let points = &report.at_hours;
    let stated = |share: f64| vec![number::significant(100.0 * share, 3)];
    page.grid(
        &points.iter().map(name).collect::<Vec<_>>(),
        &[
            column("by the readings, %", points.iter().map(|p| share(p.share, p.interval)).collect()),
            column("as stated today, %", points.iter().map(|p| stated(p.stated)).collect()),
        ],
    );
    page.heading("Burn hours to a share");
    let shares = &report.to_shares;
    page.grid(
        &shares.iter().map(|to| number::percent(to.share, 0.0)).collect::<Vec<_>>(),
        &[
            column("by the readings, h", shares.iter().map(|to| hours_to(to, report.cap_h)).collect()),
            column(
                "as stated today, h",
                shares.iter().map(|to| vec![to.stated.map_or("never".into(), hours)]).collect(),
            ),
        ],
    );
    page.gap();
    let far = shares.iter().any(|to| to.hours.is_some_and(|hours| hours > report.read_to_h));
    let end = hours(report.read_to_h);
    let beyond = if far {
        format!(" Hours above {end} lie beyond the readings: the curve goes on there, unseen.")
    } else {
        String::new()
    };
    page.hanging("", &format!("In brackets: 10 % of the draws lie below the first, 90 % below the second.{beyond}"));
}

/// A parameter with its unit and interval.
fn parameter(parameter: &Parameter) -> String {
    let unit = if parameter.unit == "1" { String::new() } else { format!(" {}", clean(&parameter.unit)) };
    let name = clean(&parameter.name).replace('_', " ");
    format!("{name} {}{unit}", ranged(parameter.value, parameter.interval, 1.0).join(" "))
}

fn fit(report: &FadingReport, index: usize, fit: &FitTold) -> String {
    let name = clean(&fit.form);
    if let Some(none) = &fit.none {
        return format!("{name}: not fitted, {}", clean(none));
    }
    let parameters: Vec<String> = fit.parameters.iter().map(parameter).collect();
    let mark = if report.chosen == Some(index) { " (counts)" } else { "" };
    let aicc = match fit.aicc_above {
        Some(0.0) => "; lowest AICc".to_owned(),
        Some(above) => format!("; AICc {} above the lowest", number::significant(above, 2)),
        None => String::new(),
    };
    let errs = number::significant(100.0 * fit.residual, 2);
    format!("{name}{mark}: {}; readings err by {errs} %{aicc}", parameters.join(", "))
}

fn fits(page: &mut Page, report: &FadingReport) {
    let said: Vec<String> = report.fits.iter().enumerate().map(|(index, of)| fit(report, index, of)).collect();
    page.list("What was fitted", &said);
}

fn lamps(page: &mut Page, report: &FadingReport) {
    page.heading("The lamps");
    let shown = &report.lamps[..report.lamps.len().min(LISTED)];
    let limit = (2 * first_column(page.width)) as f64;
    let names: Vec<String> =
        shown.iter().map(|lamp| shorten(&clean(&lamp.name), limit, |text| columns(text) as f64)).collect();
    let column = |name: &str, cells: Vec<Vec<String>>| Column { name: name.to_owned(), cells };
    let percent = |share: Option<f64>| {
        let share = share.filter(|share| *share < MOST_SHARE);
        share.map_or(NONE.to_owned(), |share| number::significant(100.0 * share, 3))
    };
    page.grid(
        &names,
        &[
            column("readings fitted", shown.iter().map(|lamp| vec![number::count(lamp.fitted)]).collect()),
            column("read from, h", shown.iter().map(|lamp| vec![hours(lamp.hours.0)]).collect()),
            column("to, h", shown.iter().map(|lamp| vec![hours(lamp.hours.1)]).collect()),
            column("left then, %", shown.iter().map(|lamp| vec![percent(lamp.last_share)]).collect()),
        ],
    );
    page.gap();
    if report.lamps.len() > shown.len() {
        let more = number::counted((report.lamps.len() - shown.len()) as u64, "lamp");
        page.hanging("", &format!("{more} more are in fading-points.csv."));
    }
    let percent = |share: f64| number::significant(100.0 * share, 2);
    let text = match &report.between {
        Some(between) if between.pace > 0.0 => format!(
            "Lamps differ in their pace of fading by {} % (standard deviation, {} lamps), in their light at 0 h by {} % if all were \
             read alike; readings err by {} % about their lamp's own curve.",
            percent(between.pace),
            between.lamps,
            percent(between.level),
            percent(between.noise)
        ),
        Some(between) => format!(
            "The paces of {} lamps differ by no more than readings err, {} %.",
            between.lamps,
            percent(between.noise)
        ),
        None => "It takes three lamps that fade to tell how lamps differ.".to_owned(),
    };
    page.hanging("", &text);
}

fn outliers(page: &mut Page, report: &FadingReport) {
    if report.outliers.is_empty() {
        return;
    }
    let said: Vec<String> = report
        .outliers
        .iter()
        .map(|out| {
            let side = if out.off < 0.0 { "below" } else { "above" };
            let line = if out.line > 0 { format!(" (line {})", out.line) } else { String::new() };
            format!(
                "{} at {} h{line}: {}, {} % {side} the lamp's own line through its other readings",
                clean(&out.lamp),
                hours(out.burn_h),
                number::significant(out.reading, 4),
                number::significant(100.0 * out.off.abs(), 2)
            )
        })
        .collect();
    page.list("Readings that stick out", &said);
    page.gap();
    if let Some((without, with)) = report.without_and_with {
        let percent = |share: f64| number::significant(100.0 * share, 4);
        let fate = if report.are_outliers_left_out {
            "They are left out, as asked".to_owned()
        } else {
            "They are fitted; --leave-out-flagged or a word in the column leave_out leaves them out".to_owned()
        };
        page.hanging(
            "",
            &format!(
                "{fate}. At {} h the curve has {} % with them and {} % without.",
                hours(report.read_to_h),
                percent(with),
                percent(without)
            ),
        );
    }
}

/// What the method for tests of LEDs says, in sentences.
fn of_leds(page: &mut Page, led: &LedTold) {
    let mut said = vec![];
    if let Some(none) = &led.none {
        said.push(format!("no projection by this method: {}", clean(none)));
    }
    if led.times > 0 {
        said.push(format!(
            "{}, {} h; what counts is {} from {} to {} h",
            number::counted(led.units, "unit"),
            hours(led.tested_h),
            number::counted(led.times, "time"),
            hours(led.window_h.0),
            hours(led.window_h.1)
        ));
        said.push(format!(
            "ln(mean share) over hours: B {}, alpha {} per h",
            number::significant(led.start, 5),
            number::significant(led.rate_per_h, 4)
        ));
    }
    if let Some(cap) = led.cap_h {
        for LedHoursTo { share, hours: to, .. } in &led.to_shares {
            let thousand = number::significant(led.tested_h / 1000.0, 2);
            let own = to.map_or("the line never comes to it".to_owned(), |to| {
                format!("the line says {} h", number::significant(to, 3))
            });
            let reported = match to.filter(|to| *to <= cap) {
                Some(to) => format!("{} h", number::significant(to, 3)),
                None => format!("> {} h", hours(cap)),
            };
            said.push(format!("{} left after {thousand} kh of test: {reported} ({own})", number::percent(*share, 0.0)));
        }
    }
    page.list("By the method for tests of LEDs", &said);
}

/// What is left at the last hours that are told, by readings and as stated.
pub(crate) fn sentences(report: &FadingReport) -> Vec<String> {
    let point = report.curve.iter().rfind(|point| !point.beyond_cap && point.burn_h <= report.read_to_h);
    let told = point.map(|point| {
        format!(
            "At {}\u{202f}h {}\u{202f}% of the light is left by the readings; the scenario says {}\u{202f}%.",
            hours(point.burn_h),
            share(point.share, point.interval).join(" "),
            number::significant(point.stated * 100.0, 3)
        )
    });
    told.into_iter().chain([clean(&report.why)]).collect()
}

#[cfg(test)]
mod tests;
