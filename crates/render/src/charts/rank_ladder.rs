//! The options on a line of cost, with what may be said of the first.
//!
//! Belongs here: bars, dots and the bracket that joins those that share the first place. Does not belong here: the order, and
//! who shares it.

use decide::rank_report::{RankContract, RankReport};
use decide::result::Spread;

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, NAMES, RIGHT, SMALL, Ticks, narrow};
use super::ink::{self, GREY};
use super::lettering::fit;
use super::rank_regret::{caption, contracts, options, stopped};
use super::scale::{Scale, airy, extent};
use super::sheet::Hold;
use crate::number;
use crate::rank::{headline, word};
use crate::words::clean;

/// From where to where costs are drawn.
const PLOT: (f64, f64) = (LEFT + NAMES + 30.0, 640.0);
/// Right end of means, left end of ranges, and of words.
const MEAN: f64 = 700.0;
const RANGE: f64 = 708.0;
const PITCH: f64 = 25.0;
/// Half of the height of a tick.
const TICK: f64 = 8.5;
/// Where the bracket stands.
const BRACKET: f64 = LEFT + NAMES + 12.0;

const HELP: &str = "The dot is the mean; the bar between the two ticks holds 80 % of the trials. A bracket joins the options that \
                    share the first place because they are too close to call. Options share their luck, so that bars may \
                    overlap although one of them is nearly always cheaper: the word at the right says how sure the lead of the \
                    first is. Each contract has a scale of its own, which need not begin at 0.";

/// The options under every contract from the cheapest down.
pub(super) fn rank_ladder(report: &RankReport) -> Result<String, ChartError> {
    let mut frame = Frame::open("The options from the cheapest down", stopped(report), HELP);
    let names = options(report);
    for (contract, name) in report.contracts.iter().zip(contracts(report)) {
        frame.group(&name);
        frame.say(format!("{name}: {}.", headline(report, contract)));
        let shown = contract.costs.iter().flat_map(|l| [l.mean, l.p10, l.p90].map(|at| at.value * 100.0));
        let scale = Scale::new(airy(extent(shown), 0.05), PLOT.0, PLOT.1);
        let top = frame.top - 4.0;
        let bottom = top + PITCH * contract.order.len() as f64 + 4.0;
        let unit = format!("ct/mol, levelized, {} {}", clean(&report.basis), clean(&report.currency));
        let after = frame.x_axis(&scale, (top, bottom), &unit, Ticks::Plain);
        let middle = |place: usize| top + PITCH * (place as f64 + 0.5) + 2.0;
        for (place, &option) in contract.order.iter().enumerate() {
            let Some(cost) = contract.costs.get(option) else { continue };
            let name = names.get(option).map_or("", String::as_str);
            row(&mut frame, &scale, middle(place), (name, cost), said(contract, option));
        }
        // those that share the first place need not stand next to each other
        let sharing: Vec<usize> = (0..contract.order.len())
            .filter(|place| contract.first_place.len() > 1 && contract.first_place.contains(&contract.order[*place]))
            .collect();
        if let (Some(&first), Some(&last)) = (sharing.first(), sharing.last()) {
            frame.sheet.line((BRACKET, middle(first)), (BRACKET, middle(last)), ink::BLACK, 1.8);
            for place in sharing {
                frame.sheet.line((BRACKET, middle(place)), (BRACKET + 8.0, middle(place)), ink::BLACK, 1.8);
            }
        }
        frame.top = after + 4.0;
    }
    frame.close(caption(report))
}

/// What is said of an option beside its row.
fn said(contract: &RankContract, option: usize) -> &'static str {
    match crate::rank::against_first(contract, option) {
        Some(against) => word(against),
        None if contract.order.len() < 2 => "",
        None if contract.first_place.len() > 1 => "lowest mean",
        None => "first",
    }
}

fn row(frame: &mut Frame, scale: &Scale, y: f64, (name, cost): (&str, &Spread), said: &str) {
    let shown = fit(name, BODY, NAMES);
    if said == "first" {
        frame.sheet.bold((LEFT, y), Hold::Left, BODY, ink::BLACK, &fit(name, BODY * 1.06, NAMES));
    } else {
        frame.sheet.text((LEFT, y), Hold::Left, BODY, ink::BLACK, &shown);
    }
    let at = |value: f64| scale.at(value * 100.0);
    if let (Some(low), Some(high)) = (at(cost.p10.value), at(cost.p90.value)) {
        frame.sheet.line((low, y), (high, y), ink::MID, 5.0);
        if high > low {
            for end in [low, high] {
                frame.sheet.line((end, y - TICK), (end, y + TICK), ink::DEEP, 1.2);
            }
        }
    }
    if let Some(mean) = at(cost.mean.value) {
        frame.sheet.dot((mean, y), 5.6, ink::PAPER);
        frame.sheet.dot((mean, y), 4.4, if said == "first" { ink::FIRST } else { ink::DEEP });
    }
    let (mean, range) = number::mean_and_range(cost, 100.0);
    frame.sheet.bold((MEAN, y), Hold::Right, BODY, ink::BLACK, &narrow(&mean, BODY, 54.0));
    frame.sheet.text((RANGE, y), Hold::Left, SMALL, GREY, &narrow(&range, SMALL, 112.0));
    frame.sheet.bold((RIGHT, y), Hold::Right, SMALL, ink::BLACK, said);
    frame.say(format!("{name}: mean {mean} ct/mol {range} {said}").trim_end().to_owned() + ".");
}
