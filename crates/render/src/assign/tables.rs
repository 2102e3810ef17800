//! The tables of a trial: the log to be filled in, the balance, the key of a blind one.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::assign_report::{AssignReport, Evenness, KeyLine};

use crate::table::{BALANCE, LOG_SHEET, Rows, SEALED_KEY, header};

/// [`LOG_SHEET`] as text: one row for each lamp of the trial, with what is known before it begins.
pub fn log_sheet_csv(report: &AssignReport) -> String {
    let mut rows = Rows::new(&header(LOG_SHEET, "", ""));
    for socket in &report.sockets {
        let Some(lamp) = socket.lamp.and_then(|lamp| report.lamps.get(lamp)) else { continue };
        for number in [socket.socket, socket.row, socket.place] {
            rows.number(number as f64);
        }
        rows.text(lamp.name.as_deref().unwrap_or(&lamp.sign));
        rows.absent();
        rows.text(report.from.as_deref().unwrap_or(""));
        (0..6).for_each(|_| rows.absent());
        rows.end();
    }
    rows.finish()
}

/// [`BALANCE`] as text: one row for each arrangement, kind of lamp and part of the room.
pub fn balance_csv(report: &AssignReport) -> String {
    let mut rows = Rows::new(&header(BALANCE, "", ""));
    for (name, evenness) in [("by_lot", &report.by_lot), ("in_order", &report.in_order)] {
        lamps(&mut rows, report, (name, evenness));
    }
    rows.finish()
}

fn lamps(rows: &mut Rows, report: &AssignReport, (name, evenness): (&str, &Evenness)) {
    for (lamp, even) in report.lamps.iter().zip(&evenness.lamps) {
        let mut row = |part: &str, number: Option<usize>, count: usize, share: f64, means: Option<(f64, f64)>| {
            rows.text(name);
            rows.text(lamp.name.as_deref().unwrap_or(&lamp.sign));
            rows.text(part);
            rows.finite(number.map(|number| number as f64));
            rows.number(count as f64);
            rows.finite(Some(share));
            rows.finite(means.map(|means| means.0));
            rows.finite(means.map(|means| means.1));
            rows.end();
        };
        row("room", None, lamp.count, lamp.count as f64, Some((even.mean_row, even.mean_place)));
        for (index, (count, share)) in even.by_row.iter().zip(&even.row_shares).enumerate() {
            row("row", Some(index + 1), *count, *share, None);
        }
        row("ends", None, even.ends, even.ends_share, None);
        row("middle", None, even.middle, lamp.count as f64 - even.ends_share, None);
    }
}

/// [`SEALED_KEY`] as text: what each code of a blind trial stands for.
pub fn key_csv(key: &[KeyLine]) -> String {
    let mut rows = Rows::new(&header(SEALED_KEY, "", ""));
    for line in key {
        rows.text(&line.code);
        rows.text(&line.lamp);
        rows.number(line.count as f64);
        rows.end();
    }
    rows.finish()
}
