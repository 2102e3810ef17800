//! The plan of a trial: every socket where it hangs, with the letter of its lamp.
//!
//! Belongs here: the picture for the wall. Does not belong here: the draw, and the sheet to write on.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, RIGHT, SMALL};
use super::ink::{self, GREY, Hatch};
use super::lettering::{bold_width, fit};
use super::sheet::Hold;
use crate::assign::{UNUSED, meanings, room, sign, title};
use crate::words::clean;
use decide::assign_report::{AssignReport, AssignSocket};

/// Room for the names of rows.
const NAMES: f64 = 76.0;
/// Most sockets side by side; longer rows go on below.
const ABREAST: usize = 20;
/// Largest cell.
const CELL: f64 = 92.0;
/// Height of the hatched foot of a cell, and size of its number, as shares of the cell.
const FOOT: f64 = 0.08;
const NUMBER: f64 = 0.19;

const HELP: &str = "One box is one socket, as it hangs, seen from above: its lamp in big letters, its number above. Shade and \
                    hatch at the foot of a box repeat the letter.";

/// The picture.
pub(super) fn assign_plan(report: &AssignReport) -> Result<String, ChartError> {
    let mut frame = Frame::open(&title(report), None, HELP);
    for meaning in meanings(report) {
        frame.sheet.bold((LEFT, frame.top), Hold::Left, BODY, ink::BLACK, &fit(&meaning, BODY * 1.1, RIGHT - LEFT));
        frame.say(meaning + ".");
        frame.top += 16.0;
    }
    frame.top += 8.0;
    let abreast = report.places.clamp(1, ABREAST);
    let cell = ((RIGHT - LEFT - NAMES) / abreast as f64).min(CELL);
    for row in 1..=report.rows {
        let here: Vec<&AssignSocket> = report.sockets.iter().filter(|socket| socket.row == row).collect();
        let letters: Vec<String> = here.iter().map(|socket| sign(report, socket)).collect();
        frame.say(format!("Row {row}: {}.", letters.join(" ")));
        for (piece, sockets) in here.chunks(abreast).enumerate() {
            if piece == 0 {
                frame.sheet.bold((LEFT, frame.top + cell * 0.5), Hold::Left, BODY, ink::BLACK, &format!("Row {row}"));
            }
            for (place, socket) in sockets.iter().enumerate() {
                let left = LEFT + NAMES + cell * place as f64;
                let top = frame.top;
                one(&mut frame, report, socket, (left, top, cell));
            }
            frame.top += cell * 0.92;
        }
        frame.top += 6.0;
    }
    frame.top += 6.0;
    let from = report.from.as_ref().map_or_else(|| "day open".to_owned(), |day| format!("in on {}", clean(day)));
    frame.close(format!("{} · {} · seed {}", room(report), fit(&from, SMALL, 200.0), report.seed))
}

/// One socket, in the square that begins at this left and top.
fn one(frame: &mut Frame, report: &AssignReport, socket: &AssignSocket, (left, top, cell): (f64, f64, f64)) {
    let (right, bottom) = (left + cell - 4.0, top + cell * 0.92 - 4.0);
    let foot = bottom - FOOT * cell;
    let (surface, hatch) = socket.lamp.map_or((ink::NOBODY, Hatch::None), ink::region);
    frame.sheet.rect((left, top), (right, bottom), surface);
    if hatch != Hatch::None {
        frame.sheet.hatch((left, foot), (right, bottom), hatch, ink::BLACK);
    }
    let edge = vec![(left, top), (right, top), (right, bottom), (left, bottom), (left, top)];
    frame.sheet.path(edge, ink::BLACK, if socket.lamp.is_some() { 1.2 } else { 0.6 });
    let number = socket.socket.to_string();
    let size = SMALL.min(cell * NUMBER);
    frame.sheet.text((left + 3.0, top + size * 0.75), Hold::Left, size, ink::BLACK, &number);
    let letter = sign(report, socket);
    // below the number, above the foot
    let head = top + size * 1.35;
    let big = ((foot - head) / 1.12).clamp(1.0, 46.0);
    let middle = ((left + right) / 2.0, (head + foot) / 2.0);
    if letter == UNUSED {
        frame.sheet.text(middle, Hold::Middle, big * 0.6, GREY, &letter);
    } else {
        // wide letters are drawn smaller
        let big = big.min(big * (right - left - 6.0) / bold_width(&letter, big));
        frame.sheet.bold(middle, Hold::Middle, big, ink::BLACK, &letter);
    }
}
