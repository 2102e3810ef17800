//! A photoperiod laid out over the horizon, with everything about it that no trial changes worked out once.

use calendar::{Guide, Photoperiod, Timeline};

/// A run of schedule hours inside one month in which dimming and burn length stay the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Schedule hours before it.
    pub from: f64,
    /// Schedule hours at its end.
    pub to: f64,
    /// Index of its month.
    pub month: usize,
    /// Share of full photon flux.
    pub flux: f64,
    /// Length of the burns that it consists of, h.
    pub burn_hours: f64,
    /// Dark time before each of these burns, h; infinite before the first of all.
    pub dark_hours: f64,
}

/// A photoperiod laid out over the horizon. Contracts that light up at the same time share one.
#[derive(Debug, Clone, PartialEq)]
pub struct ClockPlan {
    /// The photoperiod.
    pub photoperiod: Photoperiod,
    /// Its lit stretches.
    pub timeline: Timeline,
    /// Runs of like stretches.
    pub cells: Vec<Cell>,
    /// Starts before each stretch; the last entry counts all.
    pub starts_before: Vec<u32>,
    guide: Guide,
}

impl ClockPlan {
    /// Works the clock out.
    pub fn new(photoperiod: Photoperiod, timeline: Timeline) -> Self {
        let mut cells: Vec<Cell> = vec![];
        let mut starts_before = vec![];
        let mut starts = 0;
        for stretch in &timeline.stretches {
            starts_before.push(starts);
            starts += u32::from(stretch.starts);
            let to = stretch.u + stretch.hours;
            match cells.last_mut() {
                Some(cell)
                    if cell.month == stretch.month
                        && cell.flux == stretch.flux
                        && cell.burn_hours == stretch.burn_hours
                        && cell.dark_hours == stretch.dark_hours =>
                {
                    cell.to = to;
                }
                _ => cells.push(Cell {
                    from: stretch.u,
                    to,
                    month: stretch.month,
                    flux: stretch.flux,
                    burn_hours: stretch.burn_hours,
                    dark_hours: stretch.dark_hours,
                }),
            }
        }
        starts_before.push(starts);
        let guide = Guide::new(cells.iter().map(|cell| cell.from), timeline.lit_hours);
        Self { photoperiod, timeline, cells, starts_before, guide }
    }

    /// Index of the cell that holds a moment on the schedule clock (the later one at a boundary).
    #[inline]
    pub fn cell_at(&self, u: f64) -> usize {
        self.guide.find(u)
    }

    /// Number of months of the horizon.
    pub fn months(&self) -> usize {
        self.timeline.months.len()
    }

    /// Moments of the schedule at which a group is relamped, every so many schedule hours or at the turnaround after, as
    /// long as they lie before a last moment. The first comes after `first`, a share of the interval.
    pub fn group_dates(&self, every: f64, first: f64, at_turnaround: bool, before: f64, dates: &mut Vec<f64>) {
        dates.clear();
        let (mut last, mut share) = (0.0, first);
        loop {
            let due = last + every * share;
            let next = if at_turnaround {
                self.timeline.turns.iter().copied().find(|&turn| turn >= due && turn > last).unwrap_or(f64::INFINITY)
            } else {
                due
            };
            if !(next < before) {
                return;
            }
            dates.push(next);
            (last, share) = (next, 1.0);
        }
    }

    /// The moment of the schedule on the first such weekday (0 for Monday) that has not passed at another one.
    pub fn on_weekday(&self, u: f64, weekday: u8) -> f64 {
        let month = self.timeline.months[0];
        let Ok(first) = jiff::civil::Date::new(month.year, month.month as i8, 1) else { return u };
        let day = (self.timeline.elapsed_at(u) / 24.0).floor();
        let today = (i64::from(first.weekday().to_monday_zero_offset()) + day as i64).rem_euclid(7);
        let wait = (i64::from(weekday) - today).rem_euclid(7);
        if wait == 0 { u } else { self.timeline.lit_before((day + wait as f64) * 24.0).max(u) }
    }

    /// The day that holds a moment of the schedule.
    pub fn day_of(&self, u: f64) -> Option<jiff::civil::Date> {
        let month = self.timeline.months[0];
        let first = jiff::civil::Date::new(month.year, month.month as i8, 1).ok()?;
        let days = (self.timeline.elapsed_at(u) / 24.0).floor() as i64;
        first.checked_add(jiff::Span::new().days(days)).ok()
    }

    /// Starts of the schedule from one moment of it to a later one, the later one excluded.
    pub fn starts_between(&self, from: f64, to: f64) -> u32 {
        let before = |u: f64| {
            let stretch = self.timeline.stretch_at(u);
            // a stretch that begins right here is not yet counted
            self.starts_before[stretch + usize::from(self.timeline.stretches[stretch].u < u)]
        };
        before(to) - before(from)
    }
}
