//! Burn logs: one row for each lamp, with when it came, when it was last seen and how it ended.
//!
//! Belongs here: columns, what a row may say, what contradicts itself. Does not belong here: what the lives say (`learn`),
//! and stays in sockets that overlap (`sockets`).

mod sockets;

use std::io::BufRead;

use crate::day::Day;
use crate::flaw::{Flaws, quoted};
use crate::number::Number;
use crate::table::{Column, Row, Table};
use sockets::{Sockets, Stay};

/// Columns of a burn log.
pub const BURN_LOG: &[Column] = &[
    Column { name: "socket", is_needed: true },
    Column { name: "row", is_needed: false },
    Column { name: "place", is_needed: false },
    Column { name: "lamp", is_needed: false },
    Column { name: "lot", is_needed: false },
    Column { name: "in", is_needed: false },
    Column { name: "out", is_needed: false },
    Column { name: "reason", is_needed: false },
    Column { name: "from_h", is_needed: false },
    Column { name: "alive_h", is_needed: false },
    Column { name: "burn_h", is_needed: false },
    Column { name: "note", is_needed: false },
];
const SOCKET: usize = 0;
const ROW: usize = 1;
const PLACE: usize = 2;
const LAMP: usize = 3;
const LOT: usize = 4;
const IN: usize = 5;
const OUT: usize = 6;
const REASON: usize = 7;
const FROM: usize = 8;
const ALIVE: usize = 9;
const BURN: usize = 10;

/// Burn hours that a lamp can have.
const HOURS: (f64, f64) = (0.0, 1e6);
/// How far off a number with `~` before it may be, as a share of it.
pub const ABOUT: f64 = 0.1;
/// The letters are those of the printed log sheet.
const REASONS: &str = "failed (F), burning (B), removed (R, taken out alive) or broken (X, by accident)";

/// How a lamp ended, or that it did not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// It died.
    Failed,
    /// It burns still.
    Burning,
    /// It was taken out alive.
    Removed,
    /// It was broken by accident, which says no more about its life than that it had lived so long.
    Broken,
}

/// What a row says of a lamp's life, in burn hours.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedLife {
    /// Line of the log.
    pub line: u64,
    /// What tells its socket from all others of the log.
    pub socket: String,
    /// When it came into that socket, if the log says so.
    pub since: Option<Day>,
    /// Kind of lamp, as written; empty where the log does not say.
    pub lamp: String,
    /// Lot, as written; empty where the log does not say.
    pub lot: String,
    /// How it ended.
    pub reason: Reason,
    /// Burn hours that it had when it was first watched: what died before that is not in the log.
    pub from_h: f64,
    /// Burn hours at which it was certainly alive.
    pub seen_h: f64,
    /// Burn hours by which it was certainly dead; equal to `seen_h` where its death is known to the hour, infinite where it
    /// was not seen to die.
    pub gone_h: f64,
    /// Whether its hours were worked out from days.
    pub by_days: bool,
}

/// What was read beside the lives.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct BurnLogRead {
    /// Rows that tell of a life.
    pub lives: u64,
    /// Rows that are not filled in yet.
    pub blank: u64,
}

/// Reads a burn log and hands every life over, row by row; a row with a flaw hands nothing over.
///
/// - A row with neither reason nor hours nor a day of coming out is not filled in yet, and is counted.
/// - `failed` at `burn_h`; where it was last seen burning at `alive_h`, it died somewhere between. Every other reason says
///   only that the lamp lived so long. The letters of the printed sheet stand for the words: F, B, R, and X for broken.
/// - A number with `~` before it may be off by a tenth ([`ABOUT`]): a death lies between its ends, and a lamp that was alive
///   was so at its lower end.
/// - Where `burn_h` is blank, hours are those of `from_h` and of the days from `in` to `out` (a month, or a day with `~`, is
///   as wide as it says), a day more or less because nobody knows the hour, times `hours_per_day`, the mean burn hours a
///   day. An `in` day is the day from which the log watches the lamp.
///
/// ```
/// let log = "socket,reason,alive_h,burn_h\n1,failed,5900,6100\n2,burning,,9900\n";
/// let mut lives = vec![];
/// records::burn_log(log.as_bytes(), 12.0, &mut |life| lives.push((life.seen_h, life.gone_h))).unwrap();
/// assert_eq!(lives, [(5900.0, 6100.0), (9900.0, f64::INFINITY)]);
/// ```
///
/// # Errors
/// Every flaw with its line and column: numbers and days that are none, unknown reasons, hours that fall, days that run
/// backwards, more burn hours than the days have, a socket with two lamps at once.
pub fn burn_log(
    text: impl BufRead,
    hours_per_day: f64,
    take: &mut dyn FnMut(LoggedLife),
) -> Result<BurnLogRead, Flaws> {
    let mut table = Table::open(text, BURN_LOG)?;
    let (mut read, mut sockets) = (BurnLogRead::default(), Sockets::default());
    while let Some(mut row) = table.next_row() {
        let before = row.flaws();
        let Some(told) = Told::of(&mut row) else {
            read.blank += u64::from(row.flaws() == before);
            continue;
        };
        sockets.note(&row_key(&row), told.stay(row.line));
        let life = told.life(&mut row, hours_per_day);
        if row.flaws() == before {
            read.lives += 1;
            take(life);
        }
    }
    let mut flaws = table.flaws();
    flaws.append(sockets.flaws());
    flaws.or(read)
}

/// What tells a socket from all others of the log.
fn row_key(row: &Row) -> String {
    [row.text(PLACE), row.text(ROW), row.text(SOCKET)].join("\u{1f}")
}

/// The cells of a row that is filled in.
struct Told {
    reason: Reason,
    days: (Option<Day>, Option<Day>),
    from: Option<Number>,
    alive: Option<Number>,
    burn: Option<Number>,
    /// Whether a cell of hours or days could not be read, so that what is missing is no flaw of its own.
    is_unreadable: bool,
}

impl Told {
    /// None where the row is not filled in, or has no reason that could be understood.
    fn of(row: &mut Row) -> Option<Self> {
        let before = row.flaws();
        if row.text(SOCKET).is_empty() {
            row.flaw(SOCKET, "nothing", "the name of the socket");
        }
        let [from, alive, burn] = [FROM, ALIVE, BURN].map(|column| row.number(column, HOURS, "h"));
        let days = (day(row, IN), day(row, OUT));
        let is_unreadable = row.flaws() > before;
        let written = row.text(REASON).to_lowercase();
        let reason = match written.as_str() {
            "failed" | "f" => Reason::Failed,
            "burning" | "b" => Reason::Burning,
            "removed" | "r" => Reason::Removed,
            "broken" | "x" => Reason::Broken,
            "" => {
                let is_filled = [ALIVE, BURN, OUT].iter().any(|&column| !row.text(column).is_empty());
                if is_filled {
                    row.flaw(REASON, "nothing, beside hours or a day of coming out", REASONS);
                }
                return None;
            }
            other => {
                let found = quoted(other);
                row.flaw(REASON, found, REASONS);
                return None;
            }
        };
        Some(Self { reason, days, from, alive, burn, is_unreadable })
    }

    fn stay(&self, line: u64) -> Stay {
        Stay { line, since: self.days.0, until: self.days.1, is_burning: self.reason == Reason::Burning }
    }

    fn life(&self, row: &mut Row, hours_per_day: f64) -> LoggedLife {
        let from = self.from.map_or(0.0, |from| from.value);
        let before = row.flaws();
        let days = self.days_between(row);
        let is_unreadable = self.is_unreadable || row.flaws() > before;
        if let (Some(burn), Some((_, most))) = (self.burn, days) {
            let clock = 24.0 * (most + 1.0);
            if low(burn) - from > clock {
                let found = format!("{} h", burn.value);
                row.flaw(BURN, found, format!("at most {} h: the days from `in` to `out` have no more", from + clock));
            }
        }
        let by_days = |(least, most): (f64, f64)| {
            (from + (least - 1.0).max(0.0) * hours_per_day, from + (most + 1.0) * hours_per_day)
        };
        let alive = self.alive.map(low);
        let (seen, gone) = match (self.burn, days) {
            (Some(burn), _) => (low(burn), high(burn)),
            (None, Some(days)) => by_days(days),
            (None, None) => match alive {
                Some(alive) if self.reason != Reason::Failed => (alive, alive),
                _ => {
                    if !is_unreadable {
                        let allowed = "burn hours here, or days in `in` and `out`";
                        row.flaw(BURN, format!("nothing, and the lamp {}", self.said()), allowed);
                    }
                    (HOURS.1, HOURS.1)
                }
            },
        };
        // an entry that is only about right never comes after what was seen of the lamp
        let least = if self.from.is_some_and(|number| number.is_about) { from * (1.0 - ABOUT) } else { from };
        if days.is_some() && gone > HOURS.1 {
            row.flaw(OUT, format!("{gone:.0} burn hours since `in`"), format!("at most {} h", HOURS.1));
        }
        if gone < least || (self.reason == Reason::Failed && gone <= least && least > 0.0) {
            row.flaw(
                FROM,
                format!("{from} h, and {gone} h when it was last seen"),
                "no more than the hours that follow",
            );
        }
        if let Some(alive) = self.alive {
            if low(alive) > gone {
                let found = format!("{} h, and {gone} h when it was last seen", alive.value);
                row.flaw(ALIVE, found, "no more than `burn_h`");
            } else if high(alive) < least {
                row.flaw(ALIVE, format!("{} h, and {from} h before it", alive.value), "no less than `from_h`");
            }
        }
        let from_h = from.min(if self.from.is_some_and(|number| number.is_about) { gone } else { f64::INFINITY });
        let seen_h = match (self.reason, alive) {
            (Reason::Failed, Some(alive)) => alive.min(gone),
            (_, Some(alive)) => seen.max(alive),
            _ => seen,
        };
        LoggedLife {
            line: row.line,
            socket: row_key(row),
            since: self.days.0,
            lamp: row.text(LAMP).to_owned(),
            lot: row.text(LOT).to_owned(),
            reason: self.reason,
            from_h,
            seen_h: seen_h.max(from_h),
            gone_h: if self.reason == Reason::Failed { gone } else { f64::INFINITY },
            by_days: self.burn.is_none() && days.is_some(),
        }
    }

    /// Fewest and most days from coming in to coming out, or a flaw where they run backwards.
    fn days_between(&self, row: &mut Row) -> Option<(f64, f64)> {
        let (Some(since), Some(until)) = self.days else { return None };
        let (least, most) = since.days_until(until);
        if most < 0 {
            let found = format!("{}, and it came in on {}", row.text(OUT), row.text(IN));
            row.flaw(OUT, found, "a day that is not before `in`");
            return None;
        }
        Some((least.max(0) as f64, most as f64))
    }

    fn said(&self) -> &'static str {
        match self.reason {
            Reason::Failed => "failed",
            Reason::Burning => "is burning",
            Reason::Removed => "was removed",
            Reason::Broken => "was broken",
        }
    }
}

fn day(row: &mut Row, column: usize) -> Option<Day> {
    let text = row.text(column);
    if text.is_empty() {
        return None;
    }
    match Day::parse(text) {
        Ok(day) => Some(day),
        Err(found) => {
            row.flaw(column, found, "a day such as 2031-02-14, 2031-02 or ~2031-02");
            None
        }
    }
}

fn low(number: Number) -> f64 {
    if number.is_about { number.value - number.value * ABOUT } else { number.value }
}

fn high(number: Number) -> f64 {
    if number.is_about { number.value + number.value * ABOUT } else { number.value }
}

#[cfg(test)]
mod tests;
