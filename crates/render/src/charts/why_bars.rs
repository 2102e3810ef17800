//! A lead in its parts: bars that begin where the one before ends, from nothing down or up to the lead.
//!
//! Belongs here: the bars, their steps and their labels. Does not belong here: the parts, which arrive with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, NAMES, RIGHT, SMALL, Ticks, in_title};
use super::ink::{self, GREY, Hatch, Ink, RULE};
use super::lettering::{fit, width};
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use crate::number;
use crate::why::{matters, plus, sentence};
use crate::words::clean;
use decide::result::{Ended, Estimate};
use decide::why_report::{Lead, LeadPart, WhyReport};

const PLOT: (f64, f64) = (LEFT + NAMES * 0.6 + 90.0, RIGHT - 90.0);
const BAR: f64 = 20.0;
const PITCH: f64 = 29.0;
/// Standard errors to either side that a whisker spans, and the page units from which it is drawn.
const NOISE: f64 = 1.96;
const VISIBLE: f64 = 3.0;

/// The picture of a lead.
pub(super) fn why_bars(report: &WhyReport, lead: &Lead) -> Result<String, ChartError> {
    let (option, against) = (clean(&lead.option), clean(&lead.against));
    let title = in_title(&format!("Why {option} and {against} differ"));
    let stopped = || format!("INTERRUPTED RUN: stopped after {}", number::counted(report.trials, "trial"));
    let help = format!(
        "{} Each bar begins where the one above ends, and ends further left where it speaks for {}. Whiskers: ±1.96 \
         standard errors, where they can be seen.",
        sentence(lead),
        fit(&option, BODY, 260.0)
    );
    let mut frame = Frame::open(&title, (report.ended == Ended::Interrupted).then(stopped), &help);
    let parts: Vec<&LeadPart> = lead.parts.iter().filter(|part| matters(part)).collect();
    if parts.is_empty() {
        frame.note("There is nothing to show: no part differs.");
        return frame.close(caption(report));
    }
    let mut at = 0.0;
    let ends = parts.iter().flat_map(|part| {
        at += ct(part.lead).value;
        [at - ct(part.lead).se * NOISE, at + ct(part.lead).se * NOISE]
    });
    let scale = Scale::new(from_zero(extent(ends.collect::<Vec<_>>()), 0.02), PLOT.0, PLOT.1);
    let top = frame.top + 4.0;
    let bottom = top + PITCH * (parts.len() + 1) as f64 + 8.0;
    let currency = clean(&report.currency);
    let unit = format!(
        "ct/mol, levelized, {} {currency} (1 ct = 0.01 {currency}): option less the other",
        clean(&report.basis)
    );
    let after = frame.x_axis(&scale, (top, bottom), &unit, Ticks::Plain);
    if let Some(zero) = scale.at(0.0) {
        frame.sheet.line((zero, top), (zero, bottom), RULE, 1.4);
    }
    let mut from = 0.0;
    for (row, part) in parts.iter().enumerate() {
        let middle = top + PITCH * (row as f64 + 0.5);
        let look = part.cause.map_or((ink::MID, Hatch::Squared), ink::cause);
        let to = from + ct(part.lead).value;
        let bar = Bar { ends: (from, to), name: &part.name, amount: ct(part.lead), look, is_sum: false };
        draw(&mut frame, &scale, middle, &bar);
        if let Some(x) = scale.at(to) {
            frame.sheet.dashed(vec![(x, middle + BAR / 2.0), (x, middle + PITCH - BAR / 2.0)], GREY, 1.0, &[2.0, 2.0]);
        }
        from = to;
    }
    let middle = top + PITCH * (parts.len() as f64 + 0.5) + 4.0;
    frame.sheet.line((LEFT, middle - PITCH / 2.0), (RIGHT, middle - PITCH / 2.0), RULE, 1.0);
    let amount = ct(lead.lead);
    let look = (ink::DEEP, Hatch::None);
    draw(&mut frame, &scale, middle, &Bar { ends: (0.0, amount.value), name: "lead", amount, look, is_sum: true });
    frame.top = after + 6.0;
    frame.close(caption(report))
}

fn ct(estimate: Estimate) -> Estimate {
    Estimate { value: 100.0 * estimate.value, se: 100.0 * estimate.se }
}

/// A bar: from where to where, what it is called and how much it is.
struct Bar<'a> {
    ends: (f64, f64),
    name: &'a str,
    amount: Estimate,
    look: (Ink, Hatch),
    is_sum: bool,
}

fn draw(frame: &mut Frame, scale: &Scale, middle: f64, bar: &Bar) {
    let Bar { ends: (from, to), name, amount, look: (fill, hatch), is_sum } = *bar;
    let value = amount.value;
    let text = plus(&number::to_noise(value, amount.se.max(value.abs() / 1500.0)), value);
    if is_sum {
        frame.sheet.bold((LEFT, middle), Hold::Left, BODY, ink::BLACK, name);
    } else {
        frame.sheet.text((LEFT, middle), Hold::Left, BODY, ink::BLACK, name);
    }
    frame.say(format!("{name}: {text} ct/mol."));
    let (Some(start), Some(end)) = (scale.at(from), scale.at(to)) else { return };
    let (left, right) = (start.min(end), start.max(end));
    let (a, b) = ((left, middle - BAR / 2.0), (right, middle + BAR / 2.0));
    frame.sheet.rect(a, b, fill);
    frame.sheet.hatch(a, b, hatch, ink::darker(fill));
    for (p, q) in [(a, (b.0, a.1)), ((a.0, b.1), b), (a, (a.0, b.1)), ((b.0, a.1), b)] {
        frame.sheet.line(p, q, GREY, 0.8);
    }
    let (mut reach_left, mut reach_right) = (left, right);
    if let (Some(low), Some(high)) = (scale.at(to - NOISE * amount.se), scale.at(to + NOISE * amount.se))
        && high - low > VISIBLE
    {
        frame.sheet.line((low, middle), (high, middle), ink::BLACK, 1.3);
        for x in [low, high] {
            frame.sheet.line((x, middle - 4.0), (x, middle + 4.0), ink::BLACK, 1.3);
        }
        (reach_left, reach_right) = (reach_left.min(low), reach_right.max(high));
    }
    // beside the end of the bar, on the side on which there is room
    let wide = width(&text, SMALL) + 8.0;
    let leftward = value < 0.0 && reach_left - wide > PLOT.0 - 80.0;
    let place =
        if leftward { ((reach_left - 6.0, middle), Hold::Right) } else { ((reach_right + 6.0, middle), Hold::Left) };
    frame.on_paper(place.0, place.1, SMALL, ink::BLACK, &text, ink::PAPER);
}

/// What the picture rests on.
fn caption(report: &WhyReport) -> String {
    let parts = [
        fit(&clean(&report.title), SMALL, 300.0),
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
        format!("contract: {}", clean(&report.contract)),
    ];
    parts.join(" · ")
}
