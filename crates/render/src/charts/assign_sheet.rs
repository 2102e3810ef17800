//! The log of a trial as pages to print and to write on.
//!
//! Belongs here: ruled lines, one for each lamp, on pages of the shape of A4. Does not belong here: the table that a
//! program reads.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL};
use super::ink::{self, GREY, RULE};
use super::lettering::fit;
use super::sheet::{Hold, WIDTH};
use crate::assign::title;
use crate::words::clean;
use decide::assign_report::{AssignReport, AssignSocket};

/// Height of a page: A4 upright has √2 times its width.
const TALL: f64 = WIDTH * std::f64::consts::SQRT_2;
/// Lines of a page, and the height of one.
const LINES: usize = 32;
const LINE: f64 = 33.0;
/// What is left free for the caption at the foot.
const FOOT: f64 = 50.0;

/// Heads of the columns with the place where each begins.
const COLUMNS: [(&str, &str, f64); 9] = [
    ("socket", "", 28.0),
    ("row ·", "place", 84.0),
    ("lamp", "", 140.0),
    ("lot", "", 300.0),
    ("in", "day", 390.0),
    ("seen burning", "burn hours", 496.0),
    ("found dead or out", "burn hours", 610.0),
    ("reason", "F B R X", 752.0),
    ("initials", "", 852.0),
];

const HELP: &str = "One line a lamp. Seen burning: at each round the latest burn hours at which it burned. Found dead or out: \
                    burn hours then. Reason: F failed, B burning at the last look, R removed alive, X broken by accident. Hours \
                    are those of the burn-hour meter or the clock of the lights; write ~ before what is only about right.";

/// The pages, in their order.
pub(super) fn assign_sheets(report: &AssignReport) -> Result<Vec<String>, ChartError> {
    let lamps: Vec<&AssignSocket> = report.sockets.iter().filter(|socket| socket.lamp.is_some()).collect();
    let of = lamps.len().div_ceil(LINES).max(1);
    (0..of).map(|page| sheet(report, lamps.iter().skip(page * LINES).take(LINES), (page + 1, of))).collect()
}

fn sheet<'a>(
    report: &AssignReport,
    lamps: impl Iterator<Item = &'a &'a AssignSocket>,
    (page, of): (usize, usize),
) -> Result<String, ChartError> {
    let name = format!("{}: log sheet {page} of {of}", title(report));
    let mut frame = Frame::open(&name, None, HELP);
    let top = frame.top - 4.0;
    for (head, below, x) in COLUMNS {
        frame.sheet.bold((x, top + 6.0), Hold::Left, SMALL, ink::BLACK, head);
        frame.sheet.text((x, top + 20.0), Hold::Left, SMALL, GREY, below);
    }
    let mut y = top + 32.0;
    frame.sheet.line((LEFT, y), (RIGHT, y), ink::BLACK, 1.2);
    let from = report.from.as_deref().map_or_else(String::new, clean);
    let mut count = 0;
    for socket in lamps {
        let lamp = socket.lamp.and_then(|lamp| report.lamps.get(lamp));
        let called = lamp.map_or_else(String::new, |lamp| clean(lamp.name.as_deref().unwrap_or(&lamp.sign)));
        let middle = y + LINE * 0.5;
        let place = format!("{} · {}", socket.row, socket.place);
        frame.sheet.bold((COLUMNS[0].2, middle), Hold::Left, BODY, ink::BLACK, &socket.socket.to_string());
        frame.sheet.text((COLUMNS[1].2, middle), Hold::Left, SMALL, ink::BLACK, &place);
        frame.sheet.text((COLUMNS[2].2, middle), Hold::Left, SMALL, ink::BLACK, &fit(&called, SMALL, 152.0));
        frame.sheet.text((COLUMNS[4].2, middle), Hold::Left, SMALL, GREY, &fit(&from, SMALL, 98.0));
        y += LINE;
        frame.sheet.line((LEFT, y), (RIGHT, y), RULE, 1.0);
        count += 1;
    }
    for (_, _, x) in &COLUMNS[1..] {
        frame.sheet.line((x - 6.0, top + 32.0), (x - 6.0, y), ink::GRID, 1.0);
    }
    frame.say(format!("{count} lines to fill in by hand; log-sheet.csv has the same lamps."));
    frame.top = y.max(TALL - FOOT);
    frame.close(format!(
        "seed {} · type it into log-sheet.csv: lampledger learn life … --log log-sheet.csv",
        report.seed
    ))
}
