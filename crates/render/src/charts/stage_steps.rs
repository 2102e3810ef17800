//! Ways of doing it as a ladder, and what changing saves by the number of dead lamps.
//!
//! Belongs here: rows with their noise, and how likely each number of dead lamps is. Does not belong here: who is best
//! and what is advised, which arrive with the numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, NAMES, RIGHT, SMALL, Ticks, narrow};
use super::ink::{self, GREY};
use super::lettering::fit;
use super::scale::{Scale, airy, extent};
use super::sheet::Hold;
use crate::breakeven::NOISE;
use crate::number;
use crate::stage::{advised, beside_best, dead, exact_or_noisy, short_way, verdict};
use crate::words::clean;
use decide::result::{Ended, Estimate};
use decide::stage_report::{Outcome, StageReport};

const PLOT: (f64, f64) = (LEFT + NAMES + 16.0, 650.0);
const VALUE: f64 = 760.0;
const PITCH: f64 = 36.0;
/// Rows of outcomes are lower: their names take one line.
const LOW: f64 = 25.0;
/// Half of the height of the tick at the end of a whisker.
const TICK: f64 = 5.0;
/// Most numbers of dead lamps that are drawn.
const MOST: usize = 24;

const HELP: &str = "Above: how far each way of doing it is from the cheapest one. Below: what changing saves for each number of \
                    watched lamps that have died by then, and how likely that number is: a pale bar across the whole width \
                    would be certain. Dots are means, whiskers ±1.96 standard errors.";

/// The picture.
pub(super) fn stage_steps(report: &StageReport) -> Result<String, ChartError> {
    let title =
        format!("{} now, {} later?", fit(&clean(&report.now), 18.0, 260.0), fit(&clean(&report.later), 18.0, 260.0));
    let stopped = (report.ended == Ended::Interrupted)
        .then(|| format!("INTERRUPTED RUN: stopped after {}", number::counted(report.trials, "trial")));
    let mut frame = Frame::open(&title, stopped, HELP);
    let unit = format!("present value at equal light, {} {}", clean(&report.basis), clean(&report.currency));
    ladder(&mut frame, report, &unit);
    frame.note(&verdict(report));
    frame.top += 14.0;
    outcomes(&mut frame, report, &unit);
    frame.close(caption(report))
}

fn caption(report: &StageReport) -> String {
    [
        fit(&clean(&report.title), SMALL, 300.0),
        format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed),
        format!(
            "{} from {}, change on {}, {} {} at {} a year, prices of {}",
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            clean(&report.change),
            clean(&report.basis),
            clean(&report.currency),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of)
        ),
        fit(&clean(&report.contract), SMALL, 200.0),
    ]
    .join(" · ")
}

/// Ends of the whisker of an estimate.
fn ends(estimate: Estimate) -> [f64; 2] {
    [-NOISE, NOISE].map(|side| estimate.value + side * estimate.se)
}

fn ladder(frame: &mut Frame, report: &StageReport, unit: &str) {
    frame.group("Above the cheapest way");
    if report.policies.is_empty() {
        frame.note("There is nothing to show.");
        return;
    }
    let all = report.policies.iter().flat_map(|policy| ends(policy.above_best)).chain([0.0]);
    let scale = Scale::new(airy(extent(all), 0.05), PLOT.0, PLOT.1);
    let top = frame.top - 4.0;
    let bottom = top + PITCH * report.policies.len() as f64 + 4.0;
    let after = frame.x_axis(&scale, (top, bottom), unit, Ticks::Plain);
    nothing(frame, &scale, (top, bottom));
    for (index, policy) in report.policies.iter().enumerate() {
        let y = top + PITCH * (index as f64 + 0.5) + 2.0;
        let name = short_way(report, policy.kind);
        frame.row_name(y, PITCH, &name, "");
        let text = if index == report.best { "0".to_owned() } else { exact_or_noisy(policy.above_best) };
        point(frame, &scale, y, policy.above_best, index == report.best);
        let said = beside_best(report, index, policy);
        told(frame, y, &text, said, &name);
    }
    frame.top = after + 8.0;
}

fn outcomes(frame: &mut Frame, report: &StageReport, unit: &str) {
    frame.group("What changing saves, by the number of dead lamps");
    let mut seen: Vec<&Outcome> = report.rule.iter().filter(|outcome| outcome.chance.value > 0.0).collect();
    // the likely ones, in the order of their numbers
    seen.sort_by(|a, b| b.chance.value.total_cmp(&a.chance.value));
    let left_out = seen.len().saturating_sub(MOST);
    seen.truncate(MOST);
    seen.sort_by_key(|outcome| outcome.dead);
    if seen.is_empty() {
        frame.note("No lamp is watched.");
        return;
    }
    let all = seen.iter().filter_map(|outcome| outcome.saving).flat_map(ends).chain([0.0]);
    let scale = Scale::new(airy(extent(all), 0.05), PLOT.0, PLOT.1);
    let top = frame.top - 4.0;
    let bottom = top + LOW * seen.len() as f64 + 4.0;
    let after = frame.x_axis(&scale, (top, bottom), &format!("{unit}; right of 0 changing is cheaper"), Ticks::Plain);
    for (place, outcome) in seen.iter().enumerate() {
        let y = top + LOW * (place as f64 + 0.5) + 2.0;
        if outcome.chance.value.is_finite() {
            let long = outcome.chance.value.clamp(0.0, 1.0) * (PLOT.1 - PLOT.0);
            frame.sheet.rect((PLOT.0, y - 7.0), (PLOT.0 + long, y + 7.0), ink::PALE);
        }
    }
    nothing(frame, &scale, (top, bottom));
    for (place, outcome) in seen.iter().enumerate() {
        let y = top + LOW * (place as f64 + 0.5) + 2.0;
        let chance = number::percent(outcome.chance.value, outcome.chance.se);
        let name = format!("{} dead", dead(outcome, report.watched));
        frame.sheet.bold((LEFT, y), Hold::Left, BODY, ink::BLACK, &fit(&name, BODY, 120.0));
        frame.sheet.text((PLOT.0 - 10.0, y), Hold::Right, SMALL, GREY, &narrow(&chance, SMALL, 76.0));
        let text = outcome.saving.map_or_else(|| "–".to_owned(), exact_or_noisy);
        if let Some(saving) = outcome.saving {
            point(frame, &scale, y, saving, false);
        }
        told(frame, y, &text, advised(outcome.advice), &format!("{name} ({chance})"));
    }
    frame.top = after;
    if left_out > 0 {
        frame.note(&format!("{left_out} less likely numbers are not drawn."));
    }
    frame.top += 4.0;
}

/// The upright line of nothing.
fn nothing(frame: &mut Frame, scale: &Scale, (top, bottom): (f64, f64)) {
    if let Some(x) = scale.at(0.0) {
        frame.sheet.line((x, top), (x, bottom), ink::BLACK, 1.2);
    }
}

/// A mean with its whisker.
fn point(frame: &mut Frame, scale: &Scale, y: f64, estimate: Estimate, is_best: bool) {
    let [low, high] = ends(estimate).map(|end| scale.at(end));
    if let (Some(low), Some(high)) = (low, high)
        && high > low
    {
        frame.sheet.line((low, y), (high, y), ink::DEEP, 2.0);
        for end in [low, high] {
            frame.sheet.line((end, y - TICK), (end, y + TICK), ink::DEEP, 1.2);
        }
    }
    if let Some(mean) = scale.at(estimate.value) {
        frame.sheet.dot((mean, y), 5.6, ink::PAPER);
        frame.sheet.dot((mean, y), 4.4, if is_best { ink::FIRST } else { ink::DEEP });
    }
}

/// The number at the right, and what is said of it.
fn told(frame: &mut Frame, y: f64, text: &str, said: &str, name: &str) {
    frame.sheet.bold((VALUE, y), Hold::Right, BODY, ink::BLACK, &narrow(text, BODY, VALUE - PLOT.1 - 8.0));
    frame.sheet.text((RIGHT, y), Hold::Right, SMALL, GREY, &fit(said, SMALL, RIGHT - VALUE - 6.0));
    frame.say(format!("{name}: {text} {said}").trim_end().to_owned() + ".");
}
