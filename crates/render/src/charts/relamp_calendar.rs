//! Lamps to buy, month by month.
//!
//! Belongs here: the bars, their whiskers and the ticks of group relamps. Does not belong here: how many lamps are
//! needed, which arrives with the numbers.

use super::ChartError;
use super::frame::{Frame, LEFT, RIGHT, SMALL, Ticks, in_title};
use super::ink::{self, GREY, RULE};
use super::lettering::{fit, width};
use super::relamp_curves::{caption, stopped};
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use crate::relamp::at_most;
use crate::words::clean;
use decide::relamp_report::{LampMonth, RelampOption, RelampReport};

const PLOT: (f64, f64) = (LEFT + 48.0, RIGHT);
const HEIGHT: f64 = 250.0;
/// Months that are named one by one; more are named by year.
const NAMED: usize = 12;
/// Free room between two names below the drawing.
const APART: f64 = 8.0;

/// The chart of one option.
pub(super) fn relamp_calendar(report: &RelampReport, option: &RelampOption) -> Result<String, ChartError> {
    let title = format!("{}: lamps to buy by month", in_title(&clean(&option.name)));
    let help = "A bar is as high as half of the trials need to buy at most, the thick line above it reaches to what 80 % of \
                trials need, the thin one to what 95 % need; broken lamps are included, the first fill is not. Relamping \
                is as the scenario is written.";
    let mut frame = Frame::open(&title, stopped(report), help);
    if option.months.is_empty() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    let busiest = option.months.iter().filter(|month| month.buy[2].is_finite());
    // of equal months the first
    let busiest = busiest.reduce(|most, month| if month.buy[2] > most.buy[2] { month } else { most });
    if let Some(month) = busiest {
        frame.note(&format!(
            "lamps a month, in {}; most in {}: half / 80 % / 95 % of trials need at most {}",
            crate::number::counted(option.sockets.into(), "socket"),
            clean(&month.month),
            at_most(month.buy)
        ));
    }
    key(&mut frame, !option.visits.is_empty());
    let (top, bottom) = (frame.top + 6.0, frame.top + 6.0 + HEIGHT);
    let highest = option.months.iter().flat_map(|month| month.buy).filter(|lamps| *lamps >= 0.0);
    // a month without any failure shall not be filled by a lamp
    let scale = Scale::new((0.0, from_zero(extent(highest), 0.05).1.max(2.0)), bottom, top);
    frame.y_axis(&scale, PLOT, 6, Ticks::Plain);
    frame.sheet.line((PLOT.0, bottom), (PLOT.1, bottom), RULE, 1.0);
    let pitch = (PLOT.1 - PLOT.0) / option.months.len() as f64;
    let middle = |index: usize| PLOT.0 + pitch * (index as f64 + 0.5);
    for (index, month) in option.months.iter().enumerate() {
        bar(&mut frame, &scale, (middle(index), pitch), month);
        let visits = option.visits.iter().filter(|visit| visit.date.get(..7) == Some(month.month.as_str()));
        if visits.count() > 0 {
            frame.sheet.line((middle(index), bottom + 3.0), (middle(index), bottom + 13.0), ink::FIRST, 2.4);
        }
    }
    named(&mut frame, &option.months, pitch, bottom + 22.0);
    frame.top = bottom + 36.0;
    for visit in &option.visits {
        frame.say(format!("Group relamp of {} lamps on {}.", visit.sockets, clean(&visit.date)));
    }
    frame.close(caption(report))
}

/// A sample of each mark before its name.
fn key(frame: &mut Frame, visits: bool) {
    let y = frame.top + 4.0;
    let mut x = PLOT.0;
    let all = ["half", "80 %", "95 % of trials need at most", "group relamp, at the medians of the inputs"];
    for (k, name) in all.into_iter().enumerate().take(if visits { 4 } else { 3 }) {
        match k {
            0 => frame.sheet.rect((x, y - 5.0), (x + 12.0, y + 5.0), ink::MID),
            1 => frame.sheet.line((x + 6.0, y - 6.0), (x + 6.0, y + 6.0), ink::DEEP, 3.0),
            2 => {
                frame.sheet.line((x + 6.0, y - 6.0), (x + 6.0, y + 6.0), ink::BLACK, 1.0);
                frame.sheet.line((x + 3.0, y - 6.0), (x + 9.0, y - 6.0), ink::BLACK, 1.0);
            }
            _ => frame.sheet.line((x + 6.0, y - 5.0), (x + 6.0, y + 5.0), ink::FIRST, 2.4),
        }
        frame.sheet.text((x + 18.0, y), Hold::Left, SMALL, GREY, name);
        x += 18.0 + width(name, SMALL) + 18.0;
    }
    frame.top += 16.0;
}

fn bar(frame: &mut Frame, scale: &Scale, (middle, pitch): (f64, f64), month: &LampMonth) {
    let wide = (pitch * 0.62).min(48.0);
    let place = |lamps: f64| scale.at(lamps).filter(|_| lamps.is_finite());
    let [Some(half), Some(most), Some(all)] = month.buy.map(place) else { return };
    if let Some(ground) = scale.at(0.0).filter(|ground| *ground > half) {
        frame.sheet.rect((middle - wide / 2.0, half), (middle + wide / 2.0, ground), ink::MID);
    }
    if half > most {
        frame.sheet.line((middle, half), (middle, most), ink::DEEP, (wide * 0.3).clamp(1.6, 4.0));
    }
    if most > all {
        frame.sheet.line((middle, most), (middle, all), ink::BLACK, 1.0);
        let cap = (wide * 0.25).clamp(1.0, 5.0);
        frame.sheet.line((middle - cap, all), (middle + cap, all), ink::BLACK, 1.0);
    }
}

/// The months below the drawing, or their years where each year begins.
fn named(frame: &mut Frame, months: &[LampMonth], pitch: f64, y: f64) {
    let mut free = f64::NEG_INFINITY;
    for (index, month) in months.iter().enumerate() {
        let left = PLOT.0 + pitch * index as f64;
        let (text, hold, x) = if months.len() <= NAMED {
            (fit(&clean(&month.month), SMALL, pitch - APART), Hold::Middle, left + pitch / 2.0)
        } else {
            let year = month.month.strip_suffix("-01").filter(|year| year.len() == 4);
            let Some(year) = year.filter(|year| year.bytes().all(|digit| digit.is_ascii_digit())) else { continue };
            (year.to_owned(), Hold::Left, left)
        };
        let wide = width(&text, SMALL);
        let begins = if hold == Hold::Middle { x - wide / 2.0 } else { x };
        if begins < free || begins + wide > RIGHT {
            continue;
        }
        if months.len() > NAMED {
            frame.sheet.line((left, y - 22.0), (left, y - 8.0), RULE, 1.0);
        }
        frame.sheet.text((x, y), hold, SMALL, GREY, &text);
        free = begins + wide + APART;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::relamp as sample;

    #[test]
    fn the_busiest_month_and_all_marks_are_named() {
        let report = sample::realistic();
        let svg = relamp_calendar(&report, &report.options[0]).unwrap().replace('\u{202f}', " ");
        for needed in [
            "lamps a month, in 24 sockets; most in 2033-02: half / 80 % / 95 % of trials need at most 24 / 25 / 26",
            "group relamp, at the medians of the inputs",
            ">\n2032\n<",
            "10 000 trials, seed 1",
            "Group relamp of 24 lamps on 2033-02-02.",
        ] {
            assert!(svg.contains(needed), "{needed} is not in {svg}");
        }
        let plain = relamp_calendar(&report, &report.options[1]).unwrap();
        assert!(!plain.contains("roup relamp") && plain.contains(">\n2031-11\n<"), "{plain}");
    }

    #[test]
    fn each_group_relamp_has_its_tick() {
        let report = sample::long();
        let ticks = |report: &RelampReport| {
            let svg = relamp_calendar(report, &report.options[0]).unwrap();
            svg.matches(&format!("#{:02X}{:02X}{:02X}", ink::FIRST.0, ink::FIRST.1, ink::FIRST.2)).count()
        };
        // one more is the sample in the key
        assert_eq!(ticks(&report), 41);
        let mut other = report.clone();
        other.options[0].visits.truncate(1);
        other.options[0].visits[0].date = "2099-01-01".into();
        assert_eq!(ticks(&other), 1);
    }
}
