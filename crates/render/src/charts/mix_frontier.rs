//! Mean cost against what may be regretted, mix by mix.
//!
//! Belongs here: dots, the line along the mixes that none beats, names of the options alone. Does not belong here: which
//! mixes those are, which arrive with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, Ticks};
use super::ink;
use super::lettering::{bold_width, fit};
use super::scale::{Scale, airy, extent, from_zero};
use super::sheet::Hold;
use crate::mix::{lowest_in, mixed};
use crate::number;
use crate::words::{clean, distinct};
use decide::mix_report::{Mix, MixReport};
use decide::result::Ended;

const PLOT: (f64, f64) = (LEFT + 66.0, RIGHT - 12.0);
const HEIGHT: f64 = 380.0;
/// Height of a name.
const LINE: f64 = 16.0;
/// Widest name in the drawing.
const WIDEST: f64 = 250.0;

const HELP: &str = "Each dot is a mix. To the left: cheaper on average; down: less may be regretted. Rings: one option alone. The line \
                    joins the mixes that no other beats in both. Squares: the lowest of their kind.";

/// The picture.
pub(super) fn mix_frontier(report: &MixReport) -> Result<String, ChartError> {
    let stopped = (report.ended == Ended::Interrupted)
        .then(|| format!("INTERRUPTED RUN: stopped after {}", number::counted(report.trials, "trial")));
    let mut frame = Frame::open("Several options in one room: what a hedge costs", stopped, HELP);
    let (basis, currency) = (clean(&report.basis), clean(&report.currency));
    frame.note(&format!("95 % point of regret against the best option of each future, {basis} {currency}"));
    frame.top += 8.0;
    let x = Scale::new(airy(extent(report.mixes.iter().map(|mix| mix.mean.value)), 0.06), PLOT.0, PLOT.1);
    let (top, bottom) = (frame.top + 6.0, frame.top + 6.0 + HEIGHT);
    let y = Scale::new(from_zero(extent(report.mixes.iter().map(|mix| mix.regret_p95.value)), 0.08), bottom, top);
    let place = |mix: &Mix| x.place(&y, (mix.mean.value, mix.regret_p95.value));
    if report.mixes.iter().all(|mix| place(mix).is_none()) {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    frame.y_axis(&y, PLOT, 6, Ticks::Plain);
    let unit = format!("mean cost at equal light, present value, {basis} {currency}");
    let after = frame.x_axis(&x, (top, bottom), &unit, Ticks::Plain);
    for mix in &report.mixes {
        if let Some(at) = place(mix) {
            frame.sheet.dot(at, 2.0, ink::RULE);
        }
    }
    let mut line: Vec<(f64, f64)> = report.mixes.iter().filter(|mix| mix.is_frontier).filter_map(place).collect();
    line.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    for at in &line {
        frame.sheet.dot(*at, 3.0, ink::DEEP);
    }
    let mut drawn: Vec<(f64, f64)> = ink::dashes(&line, &[6.0, 0.1]).into_iter().flatten().collect();
    drawn.extend(report.mixes.iter().filter_map(place));
    if line.len() > 1 {
        frame.sheet.path(line, ink::DEEP, 1.4);
    }
    marks(&mut frame, report, place, (top, bottom), &drawn);
    frame.top = after + 6.0;
    frame.close(caption(report))
}

/// Rings and squares with their names.
fn marks(
    frame: &mut Frame,
    report: &MixReport,
    place: impl Fn(&Mix) -> Option<(f64, f64)>,
    across: (f64, f64),
    drawn: &[(f64, f64)],
) {
    let names = distinct(report.options.iter().map(String::as_str), |name| fit(name, BODY, WIDEST));
    let mut written: Vec<[f64; 4]> = vec![];
    for (index, mix) in report.mixes.iter().enumerate() {
        let lowest = lowest_in(report, index);
        let is_alone = index < names.len();
        let Some(at) = place(mix).filter(|_| is_alone || !lowest.is_empty()) else { continue };
        if !lowest.is_empty() {
            frame.sheet.rect((at.0 - 6.5, at.1 - 6.5), (at.0 + 6.5, at.1 + 6.5), ink::FIRST);
            frame.sheet.rect((at.0 - 4.5, at.1 - 4.5), (at.0 + 4.5, at.1 + 4.5), ink::PAPER);
        }
        if is_alone {
            frame.sheet.dot(at, 5.6, ink::BLACK);
            frame.sheet.dot(at, 3.4, ink::PAPER);
        } else {
            frame.sheet.dot(at, 3.0, ink::DEEP);
        }
        let name = if is_alone { names[index].clone() } else { mixed(report, mix) };
        let words = if lowest.is_empty() { name } else { format!("{name} (lowest {lowest})") };
        frame.say(format!(
            "{words}: mean {}, 95 % point of regret {}.",
            number::estimate(mix.mean),
            number::estimate(mix.regret_p95)
        ));
        write(frame, at, &fit(&words, BODY, WIDEST), across, (drawn, &mut written));
    }
}

/// Writes a name beside its mark where no other name stands, over as little as can be; where there is no room it is left to
/// the description.
fn write(
    frame: &mut Frame,
    at: (f64, f64),
    words: &str,
    (top, bottom): (f64, f64),
    (drawn, written): (&[(f64, f64)], &mut Vec<[f64; 4]>),
) {
    let wide = bold_width(words, BODY);
    let mut best: Option<(usize, [f64; 4])> = None;
    for step in [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0] {
        for left in [at.0 + 11.0, at.0 - 11.0 - wide] {
            let y = at.1 + step * LINE;
            let own = [left, y - LINE / 2.0, left + wide, y + LINE / 2.0];
            let meets = |o: &[f64; 4]| own[0] < o[2] && o[0] < own[2] && own[1] < o[3] && o[1] < own[3];
            let inside = own[0] >= PLOT.0 && own[2] <= PLOT.1 && own[1] >= top && own[3] <= bottom;
            let hides = |p: &&(f64, f64)| (own[0]..=own[2]).contains(&p.0) && (own[1]..=own[3]).contains(&p.1);
            let hidden = drawn.iter().filter(hides).count();
            if inside && !written.iter().any(meets) && best.is_none_or(|(least, _)| hidden < least) {
                best = Some((hidden, own));
            }
        }
    }
    if let Some((_, own)) = best {
        written.push(own);
        frame.on_paper((own[0], (own[1] + own[3]) / 2.0), Hold::Left, BODY, ink::BLACK, words, ink::PAPER);
    }
}

fn caption(report: &MixReport) -> String {
    [
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
        fit(&clean(&report.contract), SMALL, 200.0),
        format!("light in {} parts", report.parts),
    ]
    .join(" · ")
}
