//! Prices by month and hour of the day as shades, each written in its place, with the hours in which lights burn.
//!
//! Belongs here: the picture. Does not belong here: levels and decimals, which the printed picture shares.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, in_title};
use super::ink::{self, GREY, RULE};
use super::lettering::{fit, width};
use super::sheet::Hold;
use crate::number;
use crate::prices::{Levels, Light, MEANING, MONTHS, basis, ct, incomplete, kinds_of_day, lights_on, marks};
use crate::words::clean;
use decide::bill::{BillReport, SheetBills};
use decide::picture::PictureCell;

/// Left edge of the first hour.
const DAY: f64 = LEFT + 38.0;
const HOUR: f64 = (RIGHT - DAY) / 24.0;
/// Height of a month, and of what is left free below it.
const MONTH: f64 = 22.5;
const GAP: f64 = 3.0;
/// Height of the bar of burning lights, and of its edge.
const BAR: f64 = 4.0;
const EDGE: f64 = 1.0;
const NUMBER: f64 = 9.5;
/// A sample in the legend.
const SWATCH: (f64, f64) = (34.0, 16.0);

const HELP: &str = "A row is a month, a column an hour of the day; the darker, the dearer, and the price stands where it \
                    holds, in ct/kWh. A black bar at the foot of an hour: the lights burn.";

/// The picture of one contract.
pub(super) fn picture(report: &BillReport, sheet: &SheetBills) -> Result<String, ChartError> {
    let levels = Levels::new(&sheet.picture);
    let title = format!("{}: prices by hour and month, and the lights", in_title(&clean(&sheet.contract)));
    let mut frame = Frame::open(&title, incomplete(sheet), HELP);
    legend(&mut frame, report, sheet, &levels);
    for (name, rows) in kinds_of_day(&sheet.picture, &levels) {
        panel(&mut frame, &levels, name, rows);
    }
    for window in sheet.windows.iter().filter(|window| window.lit_h > 0.0) {
        frame.say(format!(
            "Lights burn for {} h under {}, {} kWh.",
            number::fixed(window.lit_h, 0),
            clean(&window.name),
            number::fixed(window.kwh, 0)
        ));
    }
    frame.close(caption(report, sheet))
}

/// Shades with their prices, the unit, and the mark of burning lights.
pub(super) fn legend(frame: &mut Frame, report: &BillReport, sheet: &SheetBills, levels: &Levels) {
    let mut x = LEFT;
    let mut next = |frame: &mut Frame, room: f64| {
        if x > LEFT && x + room > RIGHT {
            (x, frame.top) = (LEFT, frame.top + SWATCH.1 + 6.0);
        }
        let at = (x, frame.top);
        x += room;
        at
    };
    for level in 0..levels.len() {
        let unit = if level + 1 == levels.len() { " ct/kWh" } else { "" };
        let text = levels.label(level) + unit;
        let at = next(frame, SWATCH.0 + 5.0 + width(&text, SMALL) + 14.0);
        frame.sheet.rect(at, (at.0 + SWATCH.0, at.1 + SWATCH.1), ink::shade(levels.height_of(level)));
        frame.sheet.text((at.0 + SWATCH.0 + 5.0, at.1 + SWATCH.1 / 2.0), Hold::Left, SMALL, ink::BLACK, &text);
    }
    for (light, text) in marks(report, sheet) {
        let at = next(frame, SWATCH.0 + 5.0 + width(text, SMALL) + 14.0);
        let foot = at.1 + SWATCH.1 / 2.0 + BAR / 2.0;
        match light {
            Light::Part => part(frame, (at.0, at.0 + SWATCH.0), foot, 0.5, false),
            _ => bar(frame, (at.0, at.0 + SWATCH.0), foot),
        }
        frame.sheet.text((at.0 + SWATCH.0 + 5.0, at.1 + SWATCH.1 / 2.0), Hold::Left, SMALL, ink::BLACK, text);
    }
    frame.top += SWATCH.1 + 12.0;
    let currency = clean(&report.currency);
    frame.top += 2.0;
    frame.note(&format!("ct/kWh: {MEANING}; 1 ct = 0.01 {currency}, prices {}", basis(report)));
    frame.top += 8.0;
}

/// One kind of day.
fn panel(frame: &mut Frame, levels: &Levels, name: &str, rows: &[Vec<PictureCell>]) {
    frame.sheet.bold((DAY, frame.top + 4.0), Hold::Left, BODY, ink::BLACK, name);
    frame.top += 22.0;
    for hour in 0..=24 {
        let x = DAY + HOUR * f64::from(hour);
        frame.sheet.text((x, frame.top), Hold::Middle, SMALL, GREY, &hour.to_string());
        frame.sheet.line((x, frame.top + 7.0), (x, frame.top + 11.0), RULE, 1.0);
    }
    frame.top += 11.0;
    for (month, row) in MONTHS.iter().zip(rows) {
        let (top, foot) = (frame.top, frame.top + MONTH - GAP);
        frame.sheet.text((DAY - 8.0, top + (MONTH - GAP) / 2.0), Hold::Right, SMALL, GREY, month);
        for run in runs(levels, row) {
            shaded(frame, levels, &run, (top, foot));
        }
        lights(frame, row, foot);
        frame.top += MONTH;
    }
    frame.top += 18.0;
}

/// Hours of a row that show the same price.
struct Run {
    from: usize,
    to: usize,
    price: Option<f64>,
}

fn runs(levels: &Levels, row: &[PictureCell]) -> Vec<Run> {
    let mut runs: Vec<Run> = vec![];
    let text = |price: Option<f64>| price.map(|price| levels.text(price));
    for (hour, cell) in row.iter().enumerate().take(24) {
        let price = ct(cell);
        match runs.last_mut() {
            Some(run) if text(run.price) == text(price) => run.to = hour + 1,
            _ => runs.push(Run { from: hour, to: hour + 1, price }),
        }
    }
    runs
}

fn at(hour: usize) -> f64 {
    DAY + HOUR * hour as f64
}

fn shaded(frame: &mut Frame, levels: &Levels, run: &Run, (top, foot): (f64, f64)) {
    let (left, right) = (at(run.from), at(run.to));
    let middle = ((left + right) / 2.0, top + (MONTH - GAP - BAR) / 2.0);
    let Some(price) = run.price else {
        frame.sheet.line((left, foot), (right, foot), ink::GRID, 1.0);
        frame.sheet.text(middle, Hold::Middle, NUMBER, GREY, "no bill");
        return;
    };
    let fill = ink::shade(levels.height(price));
    frame.sheet.rect((left, top), (right, foot), fill);
    for hour in run.from..=run.to {
        frame.sheet.line((at(hour), top), (at(hour), foot), ink::PAPER, 0.8);
    }
    let text = levels.text(price);
    if width(&text, NUMBER) <= right - left - 1.0 {
        frame.on_paper(middle, Hold::Middle, NUMBER, ink::text_on(fill), &text, fill);
    }
}

/// Bars at the foot of the burning hours of a row, unbroken where they burn on. An hour that is lit in part is framed:
/// what is known is its share, not which minutes.
fn lights(frame: &mut Frame, row: &[PictureCell], foot: f64) {
    let light = |hour: Option<usize>| hour.and_then(|hour| row.get(hour)).map_or(Light::Off, Light::of);
    let mut burning: Vec<(f64, f64)> = vec![];
    for (hour, cell) in row.iter().enumerate().take(24) {
        let (left, right) = (at(hour), at(hour + 1));
        match Light::of(cell) {
            Light::Off => {}
            Light::On => match burning.last_mut() {
                Some(last) if left - last.1 < 0.01 => last.1 = right,
                _ => burning.push((left, right)),
            },
            Light::Part => {
                let follows = light(Some(hour + 1)) == Light::On && light(hour.checked_sub(1)) != Light::On;
                part(frame, (left, right), foot, cell.lit, follows);
            }
        }
    }
    for span in burning {
        bar(frame, span, foot);
    }
}

/// A black bar with a pale edge, so that it stands out from any shade.
fn bar(frame: &mut Frame, (left, right): (f64, f64), foot: f64) {
    frame.sheet.rect((left, foot - BAR - EDGE), (right, foot), ink::PAPER);
    frame.sheet.rect((left, foot - BAR), (right, foot), ink::BLACK);
}

/// A framed bar that is filled to a share: from the right when the lights burn on after it.
fn part(frame: &mut Frame, (left, right): (f64, f64), foot: f64, share: f64, follows: bool) {
    let wide = (right - left) * share.clamp(0.0, 1.0);
    bar(frame, (left, right), foot);
    let (from, to) = if follows { (left, right - wide) } else { (left + wide, right) };
    frame.sheet.rect((from + EDGE, foot - BAR + EDGE), (to - EDGE, foot - EDGE), ink::PAPER);
}

/// What the picture rests on.
pub(super) fn caption(report: &BillReport, sheet: &SheetBills) -> String {
    let mut parts: Vec<String> = incomplete(sheet).into_iter().collect();
    parts.push(fit(&clean(&report.title), SMALL, 300.0));
    parts.push(fit(&clean(&report.option), SMALL, 220.0));
    parts.push(format!("lights {}", fit(&lights_on(report, sheet), SMALL, 260.0)));
    if let (Some(first), Some(last)) = (sheet.bills.first(), sheet.bills.last()) {
        parts.push(format!("bills of {} to {}", clean(&first.first), clean(&last.last)));
    }
    parts.push(format!("{} time, holidays left out", clean(&report.time_zone)));
    parts.join(" · ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::bill as sample;

    fn pictures(report: &BillReport) -> Vec<String> {
        report.sheets.iter().map(|sheet| picture(report, sheet).unwrap()).collect()
    }

    #[test]
    fn equal_kinds_of_day_share_a_panel() {
        let [flat, cycle] = <[String; 2]>::try_from(pictures(&sample::realistic())).unwrap();
        assert!(flat.contains("Every day of the week") && !flat.contains("Monday to Friday"));
        assert!(cycle.contains("Monday to Friday") && cycle.contains("Saturday and Sunday"));
    }

    #[test]
    fn unit_basis_and_marks_are_on_the_picture() {
        let [flat, cycle] = <[String; 2]>::try_from(pictures(&sample::realistic())).unwrap();
        for needed in [
            "price of one more kWh, riders included, demand and percentages not; 1 ct = 0.01 USD",
            "prices as written, of 2031-03, not escalated",
            "4.1 ct/kWh",
            "lights burn",
            "in a part of the hour",
            "bills of 2031-12-01 to 2032-01-31",
        ] {
            assert!(flat.contains(needed), "{needed}");
        }
        assert!(!flat.contains("no bill") && cycle.contains("no bill"));
        assert!(cycle.contains("26.00 ct/kWh") && cycle.contains("7.12"));
        assert!(cycle.contains("Lights burn for 4198 h under all other hours"));
    }

    #[test]
    fn open_questions_are_told_before_all_else() {
        for svg in pictures(&sample::hostile()) {
            assert!(svg.contains("INCOMPLETE: 3 questions are open"));
        }
        assert!(!pictures(&sample::realistic()).concat().contains("INCOMPLETE"));
    }
}
