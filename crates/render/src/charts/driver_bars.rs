//! How far each input moves the lead: a bar from its low end to its high end, around the tie and the present lead.
//!
//! Belongs here: bars, ticks, and the values at their ends. Does not belong here: the order of the inputs and the leads,
//! which arrive with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, NAMES, RIGHT, SMALL, Ticks, in_title, narrow};
use super::ink::{self, GREY, Hatch, Ink};
use super::lettering::{bold_width, fit, width, wrap, wrap_bold};
use super::scale::{Scale, airy, extent};
use super::sheet::Hold;
use crate::breakeven::{shown, with_noise, with_unit};
use crate::drivers::{DOUBT, NONE, band, choice, compared, competes, option, rounded, unit_of, with_tied};
use crate::number;
use crate::words::{clean, distinct};
use decide::drivers_report::{Driver, DriversReport, Flip};
use decide::result::Ended;

/// Room for the values beside the bars.
const VALUES: f64 = 74.0;
const PLOT: (f64, f64) = (LEFT + NAMES + 16.0 + VALUES, RIGHT - VALUES);
/// Lowest row; one with more words below its name is higher by their lines.
const PITCH: f64 = 40.0;
/// Half of the height of the bar of a belief, and of a doubt.
const HALF: (f64, f64) = (10.0, 6.0);
/// Most inputs that are drawn.
const ROWS: usize = 15;
/// Free room between two texts, and between a bar and its value.
const APART: f64 = 8.0;
const STROKES: &[f64] = &[4.0, 3.0];

/// The chart.
pub(super) fn driver_bars(report: &DriversReport) -> Result<String, ChartError> {
    let title = format!("{}: what moves the lead", in_title(&clean(&report.title)));
    let help = "A bar is one input, from the low to the high end of its band; the input's value stands at either end. High \
                bars: what is believed, from the 10 % to the 90 % point. Low bars: doubts by grade, for the scenario is \
                certain. Beyond the tie another option is cheaper. Ring: from this value on another option wins.";
    let stopped = || format!("INTERRUPTED RUN: stopped after {}", number::counted(report.trials, "trial"));
    let mut frame = Frame::open(&title, (report.ended == Ended::Interrupted).then(stopped), help);
    frame.note(&choice(report));
    frame.say(choice(report));
    frame.top += 10.0;
    let rows = &report.inputs[..report.inputs.len().min(ROWS)];
    let leads = rows.iter().flat_map(|driver| [driver.low.lead.value, driver.high.lead.value]);
    let shown: Vec<f64> = leads.chain([report.lead.value]).filter(|lead| lead.abs() < 1e200).collect();
    if rows.is_empty() || shown.is_empty() || !competes(report) {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    let scale = Scale::new(airy(extent(shown.into_iter().chain([0.0])), 0.02), PLOT.0, PLOT.1);
    sides(&mut frame, report, &scale);
    let top = frame.top;
    let full: Vec<String> = rows.iter().map(with_tied).collect();
    let full: Vec<String> = full.iter().map(|name| whose_and_what(name)).collect();
    let names = distinct(full.iter().map(String::as_str), |name| fit(name, BODY * 1.1, NAMES * 1.8));
    let pitches: Vec<f64> = rows.iter().zip(&names).map(|(driver, name)| pitch(report, driver, name)).collect();
    let bottom = top + pitches.iter().sum::<f64>();
    let currency = clean(&report.currency);
    let (first, second) = (option(report, report.favourite), option(report, report.runner_up));
    let unit = format!(
        "lead of {} over {}, {} {currency}",
        fit(&first, SMALL, 190.0),
        fit(&second, SMALL, 190.0),
        clean(&report.basis)
    );
    let after = frame.x_axis(&scale, (top, bottom), &unit, Ticks::Plain);
    guides(&mut frame, report, &scale, (top, bottom));
    let mut y = top;
    for ((driver, name), pitch) in rows.iter().zip(&names).zip(pitches) {
        row(&mut frame, report, (driver, name), &scale, (y + 0.5 * pitch, pitch));
        y += pitch;
    }
    frame.top = after + 10.0;
    if report.inputs.len() > ROWS {
        let rest = number::counted((report.inputs.len() - ROWS) as u64, "further input");
        frame.note(&format!("{rest}, which move the lead less, are not drawn."));
    }
    if rows.iter().any(|driver| !driver.is_uncertain) {
        frame.note(&format!("Low bars: {DOUBT}."));
    }
    frame.close(caption(report))
}

/// What the picture rests on.
fn caption(report: &DriversReport) -> String {
    let mut parts = vec![
        fit(&clean(&report.title), SMALL, 260.0),
        format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed),
        format!(
            "{} from {}, {} {} at {} a year, prices of {}",
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            clean(&report.basis),
            clean(&report.currency),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of)
        ),
        format!("contract: {}", fit(&clean(&report.contract), SMALL, 260.0)),
        compared(report),
    ];
    let mut bases: Vec<String> = report.light_bases.iter().map(|basis| clean(basis)).collect();
    bases.dedup();
    parts.extend(match bases.as_slice() {
        [] => None,
        [basis] => Some(format!("light counted {basis}")),
        _ => Some("light counted at places that differ from option to option".to_owned()),
    });
    parts.join(" · ")
}

/// The name of an input for two lines: at whose it is before anything is lost of what it is.
fn whose_and_what(name: &str) -> String {
    let room = NAMES / 1.1;
    match name.rsplit_once(": ") {
        Some((whose, what)) if bold_width(name, BODY) > NAMES * 1.7 && width(what, BODY) < room => {
            format!("{}: {what}", fit(whose, BODY, room - width(":", BODY)))
        }
        _ => name.to_owned(),
    }
}

/// Colour and hatch of the side of an option.
fn look(option: usize) -> (Ink, Hatch) {
    ink::region(option % 1000)
}

/// Which option is cheaper to the left of the tie and which to its right, with samples of their surfaces.
fn sides(frame: &mut Frame, report: &DriversReport, scale: &Scale) {
    let Some(zero) = scale.at(0.0) else { return };
    let y = frame.top;
    let (room_left, room_right) = (zero - LEFT - 60.0, RIGHT - zero - 60.0);
    let name = |index: usize, room: f64| {
        let whole = format!("{} is cheaper", option(report, index));
        if bold_width(&whole, BODY) <= room { whole } else { fit(&option(report, index), BODY * 1.1, room) }
    };
    for (index, left) in [(report.runner_up, true), (report.favourite, false)] {
        let text = name(index, if left { room_left } else { room_right }.max(110.0));
        let wide = bold_width(&text, BODY);
        let (arrow, from) = if left { ("←", zero - 16.0) } else { ("→", zero + 16.0) };
        let toward = if left { -1.0 } else { 1.0 };
        let hold = if left { Hold::Right } else { Hold::Left };
        frame.sheet.bold((from, y), hold, BODY, ink::BLACK, arrow);
        let swatch = from + toward * 20.0;
        surface(frame, (swatch, y - 7.0), (swatch + toward * 22.0, y + 7.0), look(index));
        let at = swatch + toward * 30.0;
        // a side without room is named over the page's edge no further than its name is long
        let at = if left { at.max(LEFT + wide) } else { at.min(RIGHT - wide) };
        frame.sheet.bold((at, y), hold, BODY, ink::BLACK, &text);
    }
    frame.top = y + 22.0;
    frame.sheet.text((zero, frame.top), Hold::Middle, SMALL, ink::BLACK, "tie");
    frame.top += 15.0;
    frame.top += 10.0;
}

/// Lines of the tie and of the present lead through all rows.
fn guides(frame: &mut Frame, report: &DriversReport, scale: &Scale, (top, bottom): (f64, f64)) {
    if let Some(now) = scale.at(report.lead.value) {
        frame.sheet.dashed(vec![(now, top), (now, bottom)], ink::DEEP, 0.9, STROKES);
    }
    if let Some(zero) = scale.at(0.0) {
        frame.sheet.line((zero, top - 16.0), (zero, bottom), ink::BLACK, 1.4);
    }
    if let Some(now) = scale.at(report.lead.value) {
        let text = format!("lead now {}", with_unit(&with_noise(report.lead), &clean(&report.currency)));
        let text = fit(&text, SMALL, PLOT.1 - PLOT.0);
        let half = width(&text, SMALL) / 2.0;
        let at = now.clamp(PLOT.0 + half, PLOT.1 - half);
        frame.on_paper((at, top - 10.0), Hold::Middle, SMALL, GREY, &text, ink::PAPER);
    }
}

fn surface(frame: &mut Frame, from: ink::Place, to: ink::Place, (ink, hatch): (Ink, Hatch)) {
    frame.sheet.rect(from, to, ink);
    frame.sheet.hatch(from, to, hatch, ink::region_lines(ink));
}

/// Height of a row: its name and the words below it, and a gap; a ring has its value above the bar.
fn pitch(report: &DriversReport, driver: &Driver, name: &str) -> f64 {
    let lines = wrap_bold(name, BODY, NAMES, 2).len() as f64 * 15.5;
    let notes = wrap(&note(report, driver), SMALL, NAMES, 2).len() as f64 * 13.5;
    (lines + notes + 12.0).max(if driver.flips.iter().any(|flip| flip.within) { PITCH + 10.0 } else { PITCH })
}

fn row(
    frame: &mut Frame,
    report: &DriversReport,
    (driver, name): (&Driver, &str),
    scale: &Scale,
    (y, room): (f64, f64),
) {
    let note = note(report, driver);
    frame.row_name(y, room, name, &note);
    let ends = (driver.low.lead.value, driver.high.lead.value);
    frame.say(format!(
        "{name}: {note}; lead {} at its low end, {} at its high end.",
        number::estimate(driver.low.lead),
        number::estimate(driver.high.lead)
    ));
    let (Some(low), Some(high)) = (scale.at(ends.0), scale.at(ends.1)) else { return };
    let half = if driver.is_uncertain { HALF.0 } else { HALF.1 };
    let (left, right) = (low.min(high), low.max(high));
    if let Some(zero) = scale.at(0.0) {
        let pieces = [(left, right.min(zero), report.runner_up), (left.max(zero), right, report.favourite)];
        for (from, to, index) in pieces.into_iter().filter(|piece| piece.0 < piece.1) {
            surface(frame, (from, y - half), (to, y + half), look(index));
        }
        if left < zero && zero < right {
            frame.sheet.line((zero, y - half - 4.0), (zero, y + half + 4.0), ink::BLACK, 1.4);
        }
    }
    let (a, b) = ((left, y - half), (right, y + half));
    let stroke = if driver.is_uncertain { &[][..] } else { &[3.0, 2.0][..] };
    frame.sheet.dashed(vec![a, (b.0, a.1), b, (a.0, b.1), a], ink::DEEP, 0.9, stroke);
    let (at_left, at_right) =
        if low <= high { (driver.values.0, driver.values.2) } else { (driver.values.2, driver.values.0) };
    let end = |value: f64| shown(if driver.is_uncertain { value } else { rounded(value) });
    let value = |value: f64| narrow(&end(value), SMALL, VALUES - APART - 2.0);
    frame.on_paper((left - APART, y), Hold::Right, SMALL, ink::BLACK, &value(at_left), ink::PAPER);
    frame.on_paper((right + APART, y), Hold::Left, SMALL, ink::BLACK, &value(at_right), ink::PAPER);
    flips(frame, report, driver, scale, (y, half));
}

/// Whether an option is neither of the two whose lead is shown.
fn is_third(report: &DriversReport, index: usize) -> bool {
    index != report.favourite && index != report.runner_up
}

/// What stands below the name of an input.
fn note(report: &DriversReport, driver: &Driver) -> String {
    let unit = fit(&unit_of(driver), SMALL, 70.0);
    let (low, middle, high) = driver.values;
    let values = if [low, middle, high].iter().all(|value| value.is_finite()) {
        with_unit(&band(driver), &unit)
    } else {
        NONE.to_owned()
    };
    let mut note = if driver.is_uncertain { values } else { format!("{values}, doubted") };
    for (turned, end) in [(driver.low, "low"), (driver.high, "high")] {
        if is_third(report, turned.winner) {
            note += &format!("; at {end} {} wins", fit(&option(report, turned.winner), SMALL, 110.0));
        }
    }
    note
}

/// Rings where another option wins, within the band, with the values above.
fn flips(frame: &mut Frame, report: &DriversReport, driver: &Driver, scale: &Scale, (y, half): (f64, f64)) {
    let mut free: Vec<(f64, f64)> = vec![];
    for flip in driver.flips.iter().filter(|flip| flip.within) {
        let Some(x) = place(report, driver, flip).and_then(|lead| scale.at(lead)) else { continue };
        frame.sheet.dot((x, y), 4.6, ink::BLACK);
        frame.sheet.dot((x, y), 3.0, ink::PAPER);
        let mut text = narrow(&shown(flip.at), SMALL, 120.0);
        if is_third(report, flip.winner) {
            text = format!("{text}: {}", fit(&option(report, flip.winner), SMALL, 120.0));
        }
        let wide = width(&text, SMALL) / 2.0 + APART / 2.0;
        if free.iter().all(|(from, to)| x + wide <= *from || x - wide >= *to) {
            frame.on_paper((x, y - half - 9.0), Hold::Middle, SMALL, ink::BLACK, &text, ink::PAPER);
            free.push((x - wide, x + wide));
        }
        let unit = unit_of(driver);
        let side = if flip.at < driver.values.1 { "below" } else { "above" };
        let winner = option(report, flip.winner);
        frame.say(format!("{winner} wins {side} {}.", with_unit(&shown(flip.at), &unit)));
    }
}

/// Lead at a change of the winner: none where the runner-up takes over, otherwise read off between median and end.
fn place(report: &DriversReport, driver: &Driver, flip: &Flip) -> Option<f64> {
    if flip.winner == report.runner_up {
        return Some(0.0);
    }
    let middle = driver.values.1;
    let (end, lead) = if flip.at < middle {
        (driver.values.0, driver.low.lead.value)
    } else {
        (driver.values.2, driver.high.lead.value)
    };
    let share = (flip.at - middle) / (end - middle);
    let found = report.lead.value + share.clamp(0.0, 1.0) * (lead - report.lead.value);
    found.is_finite().then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::drivers as sample;

    /// Texts and surfaces of the drawing, the description left out.
    fn drawn(report: &DriversReport) -> String {
        let svg = driver_bars(report).unwrap().replace('\u{202f}', " ");
        svg.split_once("</desc>").unwrap().1.to_owned()
    }

    fn hex(index: usize) -> String {
        let Ink(red, green, blue) = look(index).0;
        format!("#{red:02X}{green:02X}{blue:02X}")
    }

    #[test]
    fn the_side_beyond_the_tie_looks_like_the_runner_up() {
        // one sample of the surface beside each name, and one piece of a bar for each input on that side
        let count =
            |report: &DriversReport, index: usize| drawn(report).matches(&format!("fill=\"{}\"", hex(index))).count();
        let report = sample::realistic();
        assert_eq!((count(&report, 3), count(&report, 2)), (2, 16));
        let behind = sample::odd_leads().remove(0);
        assert_eq!((count(&behind, 3), count(&behind, 2)), (16, 4));
        assert_ne!(look(2).1, look(3).1);
    }

    #[test]
    fn values_and_sides_are_named() {
        let text = drawn(&sample::realistic());
        for needed in [
            "D panel LED is cheaper",
            "C bar LED is cheaper",
            "lead now 1200\u{a0}± 200 USD",
            "61 000",
            "132 000",
            "72 410",
            "797: A cheap arc",
            "lead of C bar LED over D panel LED, real USD",
            "2 further inputs, which move the lead less, are not drawn.",
            "4000 trials, seed 1",
        ] {
            assert!(text.contains(needed), "{needed} is not in\n{text}");
        }
        for report in [sample::single(), sample::empty().remove(0), sample::empty().remove(1)] {
            assert!(drawn(&report).contains("There is nothing to show."));
        }
        assert!(drawn(&sample::close()).contains("INTERRUPTED RUN: stopped after 192 trials"));
    }

    #[test]
    fn rings_stand_where_the_winner_changes() {
        let report = sample::realistic();
        let (fading, price) = (&report.inputs[0], &report.inputs[2]);
        assert_eq!(place(&report, fading, &fading.flips[0]), Some(0.0));
        // 797 lies 157/192 of the way from 640 to 832, and so does its lead from 1231 to 460
        let found = place(&report, price, &price.flips[0]).unwrap();
        assert!((found - (1231.0 - 771.0 * 157.0 / 192.0)).abs() < 1e-9, "{found}");
        let nowhere = Flip { at: f64::NAN, ..price.flips[0] };
        assert_eq!(place(&report, price, &nowhere), None);
    }
}
