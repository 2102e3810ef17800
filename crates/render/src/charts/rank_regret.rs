//! What is lost if an option is picked and turns out not to be the cheapest.
//!
//! Belongs here: bars of loss, and what both pictures of a ranking rest on. Does not belong here: the losses themselves.

use decide::rank_report::{Loss, RankReport};
use decide::result::Ended;

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, NAMES, RIGHT, SMALL, Ticks, narrow};
use super::ink::{self, GREY};
use super::lettering::{fit, width};
use super::scale::{Scale, extent, from_zero};
use super::sheet::Hold;
use crate::number;
use crate::words::{clean, distinct};

/// From where to where losses are drawn; the rest is for the label of the longest.
const PLOT: (f64, f64) = (LEFT + NAMES + 16.0, RIGHT - 226.0);
const PITCH: f64 = 34.0;
/// Half of the height of the bars of the bad case, and of the expected loss.
const WIDE: f64 = 11.0;
const THIN: f64 = 5.0;

const HELP: &str = "What a pick costs above the cheapest option of the same trial. The dark bar is the expected loss; the pale bar \
                    with the tick at its end is what one trial in twenty exceeds. The share tells how often the option is the \
                    cheapest. All contracts share one scale.";

/// Expected loss and bad case of every option under every contract.
pub(super) fn rank_regret(report: &RankReport) -> Result<String, ChartError> {
    let mut frame = Frame::open("What is lost if the pick is wrong", stopped(report), HELP);
    let losses = report.contracts.iter().flat_map(|contract| &contract.losses);
    if report.options.len() < 2 || report.contracts.is_empty() {
        frame.note("There is one option only: nothing can be lost by picking it.");
        return frame.close(caption(report));
    }
    let shown = losses.flat_map(|loss| [loss.p95_money.value, loss.mean_money.value]);
    let scale = Scale::new(from_zero(extent(shown), 0.02), PLOT.0, PLOT.1);
    let names = options(report);
    let currency = clean(&report.currency);
    for (k, (contract, name)) in report.contracts.iter().zip(contracts(report)).enumerate() {
        frame.group(&name);
        let top = frame.top - 4.0;
        let bottom = top + PITCH * contract.order.len() as f64 + 4.0;
        let unit = if k + 1 == report.contracts.len() {
            let rooms = number::counted(report.rooms.into(), "room");
            format!("{currency}, present value, {}, {rooms} at equal light", clean(&report.basis))
        } else {
            String::new()
        };
        let after = frame.x_axis(&scale, (top, bottom), &unit, Ticks::Plain);
        for (place, &option) in contract.order.iter().enumerate() {
            let Some(loss) = contract.losses.get(option) else { continue };
            let y = top + PITCH * (place as f64 + 0.5) + 2.0;
            row(&mut frame, &scale, y, names.get(option).map_or("", String::as_str), loss);
        }
        frame.top = after + 4.0;
    }
    frame.close(caption(report))
}

fn row(frame: &mut Frame, scale: &Scale, y: f64, name: &str, loss: &Loss) {
    let chance = number::percent(loss.cheapest.value, loss.cheapest.se);
    frame.row_name(y, PITCH, name, &format!("cheapest in {chance}"));
    let at = |value: f64| scale.at(value);
    let (expected, bad) = (number::estimate(loss.mean_money), number::estimate(loss.p95_money));
    let mut end = PLOT.0;
    if let (Some(zero), Some(far)) = (at(0.0), at(loss.p95_money.value)) {
        frame.sheet.rect((zero, y - WIDE), (far, y + WIDE), ink::PALE);
        frame.sheet.line((far, y - WIDE), (far, y + WIDE), ink::DEEP, 1.8);
        end = far;
    }
    if let (Some(zero), Some(mean)) = (at(0.0), at(loss.mean_money.value)) {
        frame.sheet.rect((zero, y - THIN), (mean, y + THIN), ink::DEEP);
        end = end.max(mean);
    }
    let label = narrow(&format!("{expected} expected; 1 in 20 above {bad}"), SMALL, RIGHT - PLOT.0);
    // beside the bars where there is room, else right-aligned on paper of its own
    if end + 8.0 + width(&label, SMALL) <= RIGHT {
        frame.sheet.text((end + 8.0, y), Hold::Left, SMALL, GREY, &label);
    } else {
        frame.on_paper((RIGHT, y), Hold::Right, SMALL, GREY, &label, ink::PAPER);
    }
    frame.say(format!(
        "{name}: expected loss {expected}, one trial in twenty loses more than {bad}, cheapest in {chance}."
    ));
}

/// That the ranking was stopped early.
pub(super) fn stopped(report: &RankReport) -> Option<String> {
    let trials = number::counted(report.trials, "trial");
    (report.ended == Ended::Interrupted).then(|| format!("INTERRUPTED RUN: stopped after {trials}"))
}

/// Cleaned names of the options, told apart.
pub(super) fn options(report: &RankReport) -> Vec<String> {
    distinct(report.options.iter().map(String::as_str), |name| fit(name, BODY, 150.0))
}

/// Cleaned names of the contracts, told apart.
pub(super) fn contracts(report: &RankReport) -> Vec<String> {
    distinct(report.contracts.iter().map(|contract| contract.contract.as_str()), |name| fit(name, BODY, 300.0))
}

/// What a picture of a ranking rests on.
pub(super) fn caption(report: &RankReport) -> String {
    let currency = clean(&report.currency);
    let mut parts = vec![
        fit(&clean(&report.title), SMALL, 260.0),
        format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed),
        format!(
            "{} from {}, {} {currency} at {} a year, prices of {} (1\u{a0}ct is 0.01 {currency})",
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of)
        ),
    ];
    if let Some(contract) = report.contracts.first() {
        parts.push(format!("equal light: {}", fit(&clean(&contract.service), SMALL, 300.0)));
    }
    if let Some(first) = report.light_bases.first() {
        let same = report.light_bases.iter().all(|basis| basis == first);
        parts.push(if same {
            format!("light counted {}", fit(&clean(first), SMALL, 200.0))
        } else {
            "light of each option counted on its own basis, see the page".to_owned()
        });
    }
    parts.join(" · ")
}
