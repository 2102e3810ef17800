//! What planned life tests leave, as cells over lamps and burn hours.
//!
//! Belongs here: the cells with their numbers. Does not belong here: when to stop (`test_stop`), the numbers themselves.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL, narrow};
use super::ink::{self, GREY, Hatch, RULE};
use super::lettering::{bold_width, fit, width};
use super::scale::extent;
use super::sheet::Hold;
use crate::breakeven::noisy;
use crate::life_test::{bound, rooms_from, short, takes, verdict};
use crate::number;
use crate::relamp::hours;
use crate::words::clean;
use decide::life_test_report::{Design, TestReport};
use decide::result::Ended;

/// Left edge of the cells.
const CELLS: f64 = LEFT + 92.0;
const TALL: f64 = 58.0;
/// Widest a cell is drawn.
const WIDEST: f64 = 190.0;

const HELP: &str = "A cell is a test of so many lamps for so many burn hours. Large: what it leaves, the worth of the better choice \
                    for all rooms less its cost; below: its worth for one room, and the rooms from which it pays. Hatched: \
                    it costs more than it is worth. Where something is left, the darker the more. Thick frame: the design to look \
                    at.";

/// What a page of this command is warned with.
pub(super) fn stopped(report: &TestReport) -> Option<String> {
    (report.ended == Ended::Interrupted)
        .then(|| format!("INTERRUPTED RUN: stopped after {}", number::counted(report.trials, "trial")))
}

/// What the pictures of this command rest on.
pub(super) fn caption(report: &TestReport) -> String {
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
        if report.terms.in_sockets { "lamps in production sockets".to_owned() } else { "lamps on a bench".to_owned() },
    ]
    .join(" · ")
}

/// The picture.
pub(super) fn test_surface(report: &TestReport) -> Result<String, ChartError> {
    let title = format!("A life test of {}: what it leaves", fit(&clean(&report.of), 18.0, 420.0));
    let mut frame = Frame::open(&title, stopped(report), HELP);
    let rooms = number::counted(report.rooms.into(), "room");
    frame.note(&format!("{} {}, for {rooms}", clean(&report.basis), clean(&report.currency)));
    frame.top += 6.0;
    let (rows, columns) = axes(report);
    if rows.is_empty() {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    }
    cells(&mut frame, report, &rows, &columns);
    frame.note(&verdict(report));
    frame.note(&format!("{}.", bound(report)));
    frame.close(caption(report))
}

/// Numbers of lamps, and hours, each once and rising.
fn axes(report: &TestReport) -> (Vec<u32>, Vec<f64>) {
    let mut rows: Vec<u32> = report.designs.iter().map(|design| design.lamps).collect();
    let mut columns: Vec<f64> = report.designs.iter().map(|design| design.hours).collect();
    rows.sort_unstable();
    rows.dedup();
    columns.sort_by(f64::total_cmp);
    columns.dedup();
    (rows, columns)
}

fn cells(frame: &mut Frame, report: &TestReport, rows: &[u32], columns: &[f64]) {
    let wide = ((RIGHT - CELLS) / columns.len() as f64).min(WIDEST);
    let left = |k: usize| CELLS + wide * k as f64;
    for (k, at) in columns.iter().enumerate() {
        let text = narrow(&format!("{}\u{202f}h", hours(*at)), BODY * 1.08, wide - 6.0);
        frame.sheet.bold((left(k) + wide / 2.0, frame.top + 6.0), Hold::Middle, BODY, ink::BLACK, &text);
        if let Some(design) = report.designs.iter().find(|design| design.hours.total_cmp(at).is_eq()) {
            let text = narrow(&takes(design.days), SMALL, wide - 6.0);
            frame.sheet.text((left(k) + wide / 2.0, frame.top + 21.0), Hold::Middle, SMALL, GREY, &text);
        }
    }
    let top = frame.top + 34.0;
    let range = extent(report.designs.iter().map(|design| design.net.value));
    // what leaves nothing is pale, or the least loss would look like the best
    let height = |value: f64| match range {
        Some((_, high)) if high > 0.0 => 0.75 * (value / high).max(0.0),
        _ => 0.0,
    };
    for (r, lamps) in rows.iter().enumerate() {
        let y = top + TALL * r as f64;
        let name = number::counted((*lamps).into(), "lamp");
        frame.sheet.bold((LEFT, y + TALL / 2.0), Hold::Left, BODY, ink::BLACK, &fit(&name, BODY, CELLS - LEFT - 8.0));
        for (k, at) in columns.iter().enumerate() {
            let found = report.designs.iter().position(|d| d.lamps == *lamps && d.hours.total_cmp(at).is_eq());
            let Some(index) = found else { continue };
            let design = &report.designs[index];
            let value = design.net.value;
            let fill = if value.is_finite() { ink::shade(height(value)) } else { ink::NOBODY };
            let (from, to) = ((left(k), y), (left(k) + wide, y + TALL));
            frame.sheet.rect(from, to, fill);
            if !(value > 0.0) {
                frame.sheet.hatch(from, to, Hatch::Rising, ink::darker(fill));
            }
            frame.sheet.path(vec![from, (to.0, from.1), to, (from.0, to.1), from], RULE, 0.8);
            lettered(frame, design, (left(k) + wide / 2.0, y), wide - 8.0, fill);
            frame.say(told(design));
        }
    }
    if let Some(best) = report.designs.get(report.best) {
        let row = rows.iter().position(|lamps| *lamps == best.lamps);
        let column = columns.iter().position(|at| at.total_cmp(&best.hours).is_eq());
        if let (Some(row), Some(column)) = (row, column) {
            let (from, to) =
                ((left(column), top + TALL * row as f64), (left(column) + wide, top + TALL * (row + 1) as f64));
            frame.sheet.path(vec![from, (to.0, from.1), to, (from.0, to.1), from], ink::BLACK, 3.0);
        }
    }
    frame.top = top + TALL * rows.len() as f64 + 16.0;
}

/// The words of a cell, on paper of their own where they would stand on lines.
fn lettered(frame: &mut Frame, design: &Design, (x, y): (f64, f64), room: f64, fill: ink::Ink) {
    let color = ink::text_on(fill);
    let net = narrow(&noisy(design.net).0, BODY * 1.08, room);
    let worth = noisy(design.worth).0;
    let worth = if design.is_idle {
        ["changes nothing".to_owned(), "no change".to_owned()]
    } else {
        [format!("worth {worth}"), worth]
    };
    let pays = design.pays_from_rooms.map_or_else(|| "–".to_owned(), |rooms| rooms_from(rooms, design.worth));
    let pays = [if design.pays_from_rooms.is_some() { format!("from {pays}") } else { pays.clone() }, pays];
    let patch = |frame: &mut Frame, at: f64, wide: f64, size: f64| {
        let half = wide / 2.0 + 3.0;
        frame.sheet.rect((x - half, at - size * 0.66), (x + half, at + size * 0.66), fill);
    };
    patch(frame, y + 14.0, bold_width(&net, BODY), BODY);
    frame.sheet.bold((x, y + 14.0), Hold::Middle, BODY, color, &net);
    for (text, down) in [(worth, 31.0), (pays, 46.0)] {
        let [long, short] = text;
        let text = if width(&long, SMALL) <= room { long } else { narrow(&short, SMALL, room) };
        patch(frame, y + down, width(&text, SMALL), SMALL);
        frame.sheet.text((x, y + down), Hold::Middle, SMALL, color, &text);
    }
}

/// A cell for those who do not see it.
fn told(design: &Design) -> String {
    let pays = design.pays_from_rooms.map_or_else(
        || "pays for no number of rooms".to_owned(),
        |rooms| format!("pays from {}", rooms_from(rooms, design.worth)),
    );
    format!("{}: leaves {}, worth {} a room, {pays}.", short(design), noisy(design.net).0, noisy(design.worth).0)
}
