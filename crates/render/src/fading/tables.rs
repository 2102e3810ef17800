//! The tables of fading: every digit.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::fading_report::{FadingReport, Fate, FitTold};

use crate::table::{FADING, FADING_POINTS, Rows, header};

/// A value with its points and what is stated.
type Values = [Option<f64>; 4];

/// [`FADING`] as text: forms with their parameters, then what is left, hours to shares, how lamps differ, the method for LEDs.
pub fn fading_csv(report: &FadingReport) -> String {
    let mut rows = Rows::new(&header(FADING, "", ""));
    for (index, fit) in report.fits.iter().enumerate() {
        let form = (fit.form.as_str(), if report.chosen == Some(index) { "yes" } else { "no" });
        if let Some(none) = &fit.none {
            row(&mut rows, report, ("none", form), ("", ""), [None; 4], (None, "", none));
        }
        for parameter in &fit.parameters {
            let values = [Some(parameter.value), Some(parameter.interval.0), Some(parameter.interval.1), None];
            let words = (parameter.name.as_str(), parameter.unit.as_str());
            row(&mut rows, report, ("parameter", form), words, values, (Some(fit), "", ""));
        }
    }
    for point in &report.at_hours {
        let values = [Some(point.share), Some(point.interval.0), Some(point.interval.1), Some(point.stated)];
        let name = format!("share left at {:.0} h", point.burn_h);
        row(&mut rows, report, ("left", ("", "")), (&name, "1"), values, (None, beyond(point.beyond_cap), ""));
    }
    for to in &report.to_shares {
        let values = [to.hours, to.interval.0, to.interval.1, to.stated];
        let name = format!("hours to a share of {}", to.share);
        row(&mut rows, report, ("hours_to", ("", "")), (&name, "h"), values, (None, beyond(to.beyond_cap), ""));
    }
    if let Some(spread) = report.lamp_to_lamp {
        let name = "lamp_to_lamp as written for a scenario, share of the mean";
        let values = [Some(spread), None, None, None];
        row(&mut rows, report, ("between_lamps", ("", "")), (name, "1"), values, (None, "", ""));
    }
    if let Some(between) = &report.between {
        for (name, value) in [
            ("standard deviation of pace, share of the mean", between.pace),
            ("standard deviation of light at 0 h, share of the mean", between.level),
            ("standard deviation of a reading about its lamp's own curve, share of the light", between.noise),
        ] {
            row(
                &mut rows,
                report,
                ("between_lamps", ("", "")),
                (name, "1"),
                [Some(value), None, None, None],
                (None, "", ""),
            );
        }
    }
    led(&mut rows, report);
    rows.finish()
}

fn led(rows: &mut Rows, report: &FadingReport) {
    let Some(led) = &report.led else { return };
    let note = led.none.as_deref().unwrap_or("");
    let mut values = vec![
        ("units".to_owned(), "1", Some(led.units as f64), false),
        ("hours tested".to_owned(), "h", Some(led.tested_h), false),
        ("window from".to_owned(), "h", Some(led.window_h.0), false),
        ("window to".to_owned(), "h", Some(led.window_h.1), false),
        ("start (B)".to_owned(), "1", Some(led.start), false),
        ("rate (alpha)".to_owned(), "1/h", Some(led.rate_per_h), false),
        ("cap".to_owned(), "h", led.cap_h, false),
    ];
    values.extend(
        led.to_shares
            .iter()
            .map(|to| (format!("hours to a share of {} by the line", to.share), "h", to.hours, to.beyond_cap)),
    );
    for (name, unit, value, past) in values {
        row(rows, report, ("led", ("", "")), (&name, unit), [value, None, None, None], (None, beyond(past), note));
    }
}

fn row(
    rows: &mut Rows,
    report: &FadingReport,
    (kind, (form, counts)): (&str, (&str, &str)),
    (name, unit): (&str, &str),
    values: Values,
    (fit, beyond, note): (Option<&FitTold>, &str, &str),
) {
    for text in [kind, &report.option, form, counts, name, unit] {
        rows.text(text);
    }
    values.into_iter().for_each(|value| rows.finite(value));
    rows.finite(fit.map(|fit| fit.residual));
    rows.finite(fit.and_then(|fit| fit.aicc_above));
    rows.text(beyond);
    rows.text(note);
    rows.end();
}

/// Whether a value lies beyond what may be quoted, in a cell.
fn beyond(is_beyond: bool) -> &'static str {
    if is_beyond { "yes" } else { "" }
}

/// What became of a reading, in one word.
fn fate(fate: Fate) -> &'static str {
    match fate {
        Fate::Fitted => "fitted",
        Fate::SticksOut => "sticks_out",
        Fate::SticksOutLeftOut => "sticks_out_left_out",
        Fate::LeftOut => "left_out",
    }
}

/// [`FADING_POINTS`] as text: one row for each reading.
pub fn fading_points_csv(report: &FadingReport) -> String {
    let mut rows = Rows::new(&header(FADING_POINTS, "", ""));
    for point in &report.points {
        rows.text(&report.option);
        rows.text(report.lamps.get(point.lamp).map_or("", |lamp| lamp.name.as_str()));
        rows.number(point.burn_h);
        rows.number(point.reading);
        rows.finite(point.share);
        rows.number(point.by_curve);
        rows.number(point.readings);
        rows.text(fate(point.fate));
        rows.end();
    }
    rows.finish()
}
