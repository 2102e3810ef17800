//! What each hour of the day adds to the bill, a bar for each.
//!
//! Belongs here: the bars. Does not belong here: the prices.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks, in_title, narrow};
use super::ink::{self, GREY, Hatch, RULE};
use super::lettering::{fit, wrap_bold};
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use super::starts::{clock_axis, stopped};
use crate::hours::spans;
use crate::number;
use crate::words::clean;
use decide::hours::{HourPrice, HoursReport, Questions};

const PLOT: (f64, f64) = (LEFT + 44.0, RIGHT);
const HEIGHT: f64 = 300.0;
/// Free room at each side of a bar.
const SIDE: f64 = 3.5;
const NUMBER: f64 = 10.0;
const OUTLINE: f64 = 1.4;

const HELP: &str = "Hatched bar: an hour that is lit as written, wholly or in part; leaving it out would save so much. \
                    Hollow bar: a dark hour; lighting it would add so much. Each hour is changed alone, and a peak that \
                    it sets is in its price.";

/// The chart of one sheet.
pub(super) fn hour_prices(report: &HoursReport, asked: &Questions) -> Result<String, ChartError> {
    let name = clean(report.sheets.get(asked.sheet).map_or("", String::as_str));
    let title = format!("{}: what each hour of the day adds to the bill", in_title(&name));
    let mut frame = Frame::open(&title, stopped(report), HELP);
    let currency = clean(&report.currency);
    let option = clean(report.options.get(report.asked).map_or("", String::as_str));
    for words in wrap_bold(&option, BODY, RIGHT - LEFT, 1) {
        frame.sheet.bold((LEFT, frame.top), Hold::Left, BODY, ink::BLACK, &words);
        frame.top += 16.0;
    }
    frame.note(&format!(
        "ct for each kWh of its lights in the hour, cooling and demand included (1 ct = 0.01 {currency}); first twelve \
         months, every socket lit, prices as written, of {}, not escalated",
        clean(&report.prices_of)
    ));
    frame.top += 10.0;
    let hours: Vec<HourPrice> = asked.hour_prices.iter().take(24).copied().collect();
    if hours.is_empty() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report, asked));
    }
    let prices = || hours.iter().map(|hour| hour.per_kwh * 100.0);
    let (top, bottom) = (frame.top, frame.top + HEIGHT);
    let level = Scale::new(from_zero(extent(prices()), 0.07), bottom, top);
    let time = Scale::new((0.0, 24.0), PLOT.0, PLOT.1);
    frame.y_axis(&level, PLOT, 6, Ticks::Plain);
    let decimals = crate::hours::price_decimals(prices());
    for (k, hour) in hours.iter().enumerate() {
        bar(&mut frame, &time, &level, k, hour, decimals);
    }
    let after = clock_axis(&mut frame, &time, (top, bottom), 1);
    runs(&mut frame, &time, &hours, after - 6.0);
    frame.top = after + 26.0;
    frame.sheet.text((PLOT.0, frame.top), Hold::Left, SMALL, GREY, "hour of the day, local time");
    frame.top += 12.0;
    describe(&mut frame, &hours, decimals);
    frame.close(caption(report, asked))
}

fn bar(frame: &mut Frame, time: &Scale, level: &Scale, k: usize, hour: &HourPrice, decimals: usize) {
    let price = hour.per_kwh * 100.0;
    let (Some(left), Some(right)) = (time.at(k as f64), time.at(k as f64 + 1.0)) else { return };
    let middle = (left + right) / 2.0;
    let room = right - left - 2.0;
    let (Some(foot), Some(head)) = (level.at(0.0), level.at(price).filter(|_| price.is_finite())) else {
        if let Some(y) = level.at(0.0) {
            frame.sheet.text((middle, y - 9.0), Hold::Middle, NUMBER, GREY, "–");
        }
        return;
    };
    let (from, to) = ((left + SIDE, head), (right - SIDE, foot));
    if hour.lit {
        frame.sheet.rect(from, to, ink::MID);
        frame.sheet.hatch(from, to, Hatch::Rising, ink::DEEP);
    } else {
        frame.sheet.rect(from, to, ink::PAPER);
    }
    let corners = vec![from, (to.0, from.1), to, (from.0, to.1), from];
    frame.sheet.path(corners, ink::DEEP, OUTLINE);
    let text = narrow(&number::fixed(price, decimals), NUMBER, room);
    let y = if price < 0.0 { head + 9.0 } else { head - 8.0 };
    frame.on_paper((middle, y), Hold::Middle, NUMBER, ink::BLACK, &text, ink::PAPER);
}

/// Below the hours, what the bars above are: bars for light, lines for darkness, each with its word.
fn runs(frame: &mut Frame, time: &Scale, hours: &[HourPrice], y: f64) {
    let mut from = 0;
    for run in hours.chunk_by(|a, b| a.lit == b.lit) {
        let to = from + run.len();
        let (left, right) = (time.at(from as f64).unwrap_or(0.0), time.at(to as f64).unwrap_or(0.0));
        let lit = run.first().is_some_and(|hour| hour.lit);
        if lit {
            frame.sheet.rect((left + 1.5, y - 2.5), (right - 1.5, y + 2.5), ink::BLACK);
        } else {
            frame.sheet.line((left + 1.5, y), (right - 1.5, y), RULE, 1.0);
        }
        let word = if lit { "lit" } else { "dark" };
        frame.sheet.text(((left + right) / 2.0, y + 11.0), Hold::Middle, SMALL, ink::BLACK, word);
        from = to;
    }
}

fn describe(frame: &mut Frame, hours: &[HourPrice], decimals: usize) {
    let shown: Vec<String> = hours.iter().map(|hour| number::fixed(hour.per_kwh * 100.0, decimals)).collect();
    let mut alike: Vec<(&str, bool, Vec<u16>)> = vec![];
    for (k, (hour, text)) in (0u16..).zip(hours.iter().zip(&shown)) {
        match alike.iter_mut().find(|(known, lit, _)| (*known, *lit) == (text.as_str(), hour.lit)) {
            Some((.., places)) => places.push(k),
            None => alike.push((text, hour.lit, vec![k])),
        }
    }
    for (text, lit, places) in alike {
        let state = if lit { "lit" } else { "dark" };
        frame.say(format!("Hours {} ({state}): {text} ct/kWh each.", spans::of_hours(&places).join(", ")));
    }
}

fn caption(report: &HoursReport, asked: &Questions) -> String {
    let power = number::to_noise(report.asked_kw, 0.0);
    [
        fit(&clean(&report.title), SMALL, 300.0),
        format!("lights of {power} kW"),
        format!("as written {}", fit(&clean(&asked.hours), SMALL, 240.0)),
    ]
    .join(" · ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::hours as sample;

    #[test]
    fn unit_basis_and_light_are_on_the_picture() {
        let report = sample::realistic();
        let svg = hour_prices(&report, &report.questions[1]).unwrap();
        for needed in [
            "A cheap arc",
            "ct for each kWh of its lights in the hour, cooling and demand included (1 ct = 0.01 USD)",
            "prices as written, of 2031-03,",
            "lights of 25.25 kW",
            "as written 21:00–09:00",
            "Hours 14–21 (dark): 85.37 ct/kWh each.",
        ] {
            assert!(svg.contains(needed), "{needed}");
        }
        let words = |word: &str| svg.matches(&format!("\n{word}\n")).count();
        assert_eq!((words("lit"), words("dark")), (2, 1));
    }
}
