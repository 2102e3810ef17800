//! Which option is cheapest under which contract, and by how much more than its own spread.
//!
//! Belongs here: dots and bars in order of the mean. Does not belong here: the order itself and what counts as a tie.

use super::ChartError;
use super::frame::{
    BODY, Frame, LEFT, NAMES, RIGHT, SMALL, Ticks, contract_names, money_unit, narrow, option_names, shared_basis,
};
use super::ink::{self, GREY};
use super::lettering::{fit, wrap_bold};
use super::scale::{Scale, airy, extent, from_zero};
use super::sheet::Hold;
use crate::number;
use decide::result::{RunResult, Spread};

const PLOT: (f64, f64) = (LEFT + NAMES + 16.0, 686.0);
const MEAN: f64 = 762.0;
const RANGE: f64 = 772.0;
const PITCH: f64 = 25.0;
/// Half of the height of a tick.
const TICK: f64 = 8.5;

const HELP: &str = "The dot is the mean; the bar between the two ticks holds 80 % of the trials. Options stand in the order of their mean; \
                    \"tie\": nearer to the first than the simulation can tell apart. Bars of options that share their \
                    luck may overlap although one of them is nearly always cheaper. Each contract has a scale of its \
                    own, which need not begin at 0.";

/// The options under every contract in the order of their mean levelized cost.
///
/// # Errors
/// If the drawing fails.
pub fn ranking(run: &RunResult) -> Result<String, ChartError> {
    let shared = shared_basis(run);
    let help = match &shared {
        Some(basis) => format!("{HELP} Light counted {basis}."),
        None => HELP.to_owned(),
    };
    let mut frame = Frame::new(run, "The options in order of what a mole of light costs", &help);
    let names = option_names(run);
    for (i, contract) in contract_names(run).iter().enumerate() {
        let ranking = &run.contracts[i].ranking;
        frame.group(contract);
        let shown = run.options.iter().filter_map(|option| option.costs.get(i)).flat_map(|cost| {
            let l = &cost.levelized;
            [l.mean, l.p10, l.p90].map(|e| e.value * 100.0)
        });
        let scale = Scale::new(range(extent(shown)), PLOT.0, PLOT.1);
        let rows: Vec<(usize, &Spread)> =
            ranking.order.iter().filter_map(|o| Some((*o, &run.options.get(*o)?.costs.get(i)?.levelized))).collect();
        let top = frame.top - 4.0;
        let bottom = top + PITCH * rows.len() as f64 + 4.0;
        let last = i + 1 == run.contracts.len();
        let unit = if last { money_unit(run) } else { String::new() };
        let after = frame.x_axis(&scale, (top, bottom), &unit, Ticks::Plain);
        for (place, (option, spread)) in rows.iter().enumerate() {
            let said = match (&ranking.tied_first[..], rows.len()) {
                (_, 1) => "",
                (tied, _) if tied.len() > 1 && tied.contains(option) => "tie",
                (tied, _) if tied.len() < 2 && place == 0 => "lowest",
                _ => "",
            };
            let y = top + PITCH * (place as f64 + 0.5) + 2.0;
            row(&mut frame, &scale, y, names.get(*option).map_or("", String::as_str), spread, said);
        }
        frame.top = after + 4.0;
    }
    frame.note_bases(run, &names);
    frame.finish(run)
}

/// From 0 where that costs little room, otherwise close around the bars.
fn range(extent: Option<(f64, f64)>) -> (f64, f64) {
    match extent {
        Some((low, high)) if low > 0.4 * high => airy(extent, 0.05),
        _ => from_zero(extent, 0.03),
    }
}

fn row(frame: &mut Frame, scale: &Scale, y: f64, name: &str, spread: &Spread, said: &str) {
    let line = wrap_bold(name, BODY, NAMES, 1).concat();
    if said.is_empty() {
        frame.sheet.text((LEFT, y), Hold::Left, BODY, ink::BLACK, &fit(name, BODY, NAMES));
    } else {
        frame.sheet.bold((LEFT, y), Hold::Left, BODY, ink::BLACK, &line);
    }
    let at = |value: f64| scale.at(value * 100.0);
    if let (Some(low), Some(high)) = (at(spread.p10.value), at(spread.p90.value)) {
        frame.sheet.line((low, y), (high, y), ink::MID, 5.0);
        // the ticks stand out above and below the dot, which would hide a bar that is narrower than itself
        if spread.p90.value > spread.p10.value {
            for end in [low, high] {
                frame.sheet.line((end, y - TICK), (end, y + TICK), ink::DEEP, 1.2);
            }
        }
    }
    if let Some(mean) = at(spread.mean.value) {
        frame.sheet.dot((mean, y), 5.6, ink::PAPER);
        frame.sheet.dot((mean, y), 4.4, if said.is_empty() { ink::DEEP } else { ink::FIRST });
    }
    let (mean, range) = number::mean_and_range(spread, 100.0);
    frame.sheet.bold((MEAN, y), Hold::Right, BODY, ink::BLACK, &narrow(&mean, BODY, 70.0));
    frame.sheet.text((RANGE, y), Hold::Left, SMALL, GREY, &narrow(&range, SMALL, 112.0));
    frame.sheet.bold((RIGHT, y), Hold::Right, SMALL, ink::BLACK, said);
    frame.say(format!("{name}: mean {mean} ct/mol {range} {said}").trim_end().to_owned() + ".");
}
