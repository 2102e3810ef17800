//! A photoperiod as meant: phases with light windows on a checked clock.

use std::fmt;

/// Minutes of a day.
const DAY: u16 = 24 * 60;

/// A time of day to the minute, 00:00 to 24:00.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Minute(u16);

impl Minute {
    /// 00:00.
    pub const MIDNIGHT: Self = Self(0);
    /// 24:00.
    pub const DAY_END: Self = Self(DAY);

    /// From the text HH:MM; 24:00 is the end of the day. `None` for anything else.
    ///
    /// ```
    /// use calendar::Minute;
    /// assert_eq!(Minute::parse("21:30").unwrap().of_day(), 1290);
    /// assert_eq!(Minute::parse("9:00"), None);
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let (hours, minutes) = text.split_once(':')?;
        let number = |digits: &str| {
            (digits.len() == 2 && digits.bytes().all(|b| b.is_ascii_digit())).then(|| digits.parse::<u16>().ok())?
        };
        let (hours, minutes) = (number(hours)?, number(minutes)?);
        (minutes < 60 && hours * 60 + minutes <= DAY).then_some(Self(hours * 60 + minutes))
    }

    /// Minutes since 00:00.
    pub fn of_day(self) -> u16 {
        self.0
    }

    /// The time of day a number of minutes later, around the clock.
    #[must_use]
    pub fn later(self, minutes: i32) -> Self {
        Self((i32::from(self.0) + minutes).rem_euclid(i32::from(DAY)) as u16)
    }
}

impl fmt::Display for Minute {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

/// A daily light window. It ends on the next day when `off` is not later than `on`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// Lights on.
    pub on: Minute,
    /// Lights off.
    pub off: Minute,
}

impl Window {
    /// Clock hours from on to off.
    pub fn hours(self) -> f64 {
        let minutes = (i32::from(self.off.0) - i32::from(self.on.0)).rem_euclid(i32::from(DAY));
        if minutes == 0 { 24.0 } else { f64::from(minutes) / 60.0 }
    }
}

/// One phase of a crop cycle.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// How many days it lasts, at least 1.
    pub days: u32,
    /// Light windows of each day.
    pub windows: Vec<Window>,
    /// Share of full wall power.
    pub power: f64,
    /// Share of full photon flux.
    pub flux: f64,
}

/// What the timers take for the time of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Timer {
    /// The clock on the wall, summer time included.
    Civil,
    /// Standard time all year.
    Standard,
}

/// Phases that follow one another, then days without light, over and over.
#[derive(Debug, Clone, PartialEq)]
pub struct Photoperiod {
    /// What the timers take for the time of day.
    pub timer: Timer,
    /// The phases of one cycle.
    pub phases: Vec<Phase>,
    /// Days without light after each cycle.
    pub turnaround_days: u32,
    /// Whether a window of the evening before the first day runs on into it, as if the lights had been in use for long.
    pub already_running: bool,
}

/// What is wrong with a photoperiod.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BadPhotoperiod {
    /// Two windows of this phase overlap.
    Overlap {
        /// Index of the phase.
        phase: usize,
        /// Indices of the two windows.
        windows: (usize, usize),
    },
    /// The time zone is not in the bundled database.
    UnknownZone,
    /// The first day or the horizon lies outside the years that the calendar knows.
    OutOfRange,
    /// The lights never burn.
    NeverLit,
}

impl Photoperiod {
    /// The same photoperiod with the first window of each phase starting at `on` and the others moved along.
    #[must_use]
    pub fn starting_at(&self, on: Minute) -> Self {
        let mut moved = self.clone();
        for phase in &mut moved.phases {
            let Some(first) = phase.windows.first().map(|window| window.on) else { continue };
            let by = i32::from(on.0) - i32::from(first.0);
            for window in &mut phase.windows {
                *window = Window { on: window.on.later(by), off: window.off.later(by) };
            }
        }
        moved
    }

    /// Overlapping windows, if any.
    pub fn overlaps(&self) -> Vec<BadPhotoperiod> {
        let mut found = vec![];
        for (phase, p) in self.phases.iter().enumerate() {
            for b in 1..p.windows.len() {
                for a in 0..b {
                    let (first, second) = (p.windows[a], p.windows[b]);
                    let gap = |from: Minute, to: Minute| {
                        f64::from((i32::from(to.0) - i32::from(from.0)).rem_euclid(i32::from(DAY))) / 60.0
                    };
                    if gap(first.on, second.on) < first.hours() || gap(second.on, first.on) < second.hours() {
                        found.push(BadPhotoperiod::Overlap { phase, windows: (a, b) });
                    }
                }
            }
        }
        found
    }
}
