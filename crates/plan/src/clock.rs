//! A photoperiod laid out over the horizon, with everything about it that no trial changes worked out once.

use calendar::{Guide, Photoperiod, Timeline};
use tariff::Hours;

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
    /// Clock class of each stretch. Two moments are in one class when every tariff on this clock treats them alike.
    pub class_of: Vec<usize>,
    /// Number of clock classes.
    pub classes: usize,
    /// Lit hours at full power by month and class, h: row by month.
    pub power_hours: Vec<f64>,
    /// Starts before each stretch; the last entry counts all.
    pub starts_before: Vec<u32>,
    guide: Guide,
}

impl ClockPlan {
    /// Works the clock out for the tariffs on it: for each its energy rules.
    pub(crate) fn new(photoperiod: Photoperiod, timeline: Timeline, tariffs: &[&[Hours]]) -> (Self, Vec<Vec<usize>>) {
        // a class is the tuple of rules that hold, one of each tariff, numbered as they first appear
        let mut rules_of_class: Vec<Vec<usize>> = vec![];
        let class_of: Vec<usize> = timeline
            .stretches
            .iter()
            .map(|stretch| {
                let clock = stretch.clock;
                let rules: Vec<usize> = tariffs
                    .iter()
                    .map(|rules| tariff::first_fit(rules, clock.month, clock.weekday, clock.minute).unwrap_or(0))
                    .collect();
                rules_of_class.iter().position(|known| *known == rules).unwrap_or_else(|| {
                    rules_of_class.push(rules);
                    rules_of_class.len() - 1
                })
            })
            .collect();
        let classes = rules_of_class.len();

        let mut power_hours = vec![0.0; timeline.months.len() * classes];
        let mut cells: Vec<Cell> = vec![];
        let mut starts_before = vec![];
        let mut starts = 0;
        for (stretch, &class) in timeline.stretches.iter().zip(&class_of) {
            power_hours[stretch.month * classes + class] += stretch.hours * stretch.power;
            starts_before.push(starts);
            starts += u32::from(stretch.starts);
            let to = stretch.u + stretch.hours;
            match cells.last_mut() {
                Some(cell)
                    if cell.month == stretch.month
                        && cell.flux == stretch.flux
                        && cell.burn_hours == stretch.burn_hours =>
                {
                    cell.to = to;
                }
                _ => cells.push(Cell {
                    from: stretch.u,
                    to,
                    month: stretch.month,
                    flux: stretch.flux,
                    burn_hours: stretch.burn_hours,
                }),
            }
        }
        starts_before.push(starts);
        let guide = Guide::new(cells.iter().map(|cell| cell.from), timeline.lit_hours);
        let clock = Self { photoperiod, timeline, cells, class_of, classes, power_hours, starts_before, guide };
        // turn "rules of a class" into "rule of each class", tariff by tariff
        let rule_of_class = (0..tariffs.len()).map(|t| rules_of_class.iter().map(|rules| rules[t]).collect()).collect();
        (clock, rule_of_class)
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

    /// Moments of the schedule at which a group is relamped, every so many schedule hours or at the turnaround after.
    pub fn group_dates(&self, every: f64, at_turnaround: bool, dates: &mut Vec<f64>) {
        dates.clear();
        let mut last = 0.0;
        loop {
            let due = last + every;
            let next = if at_turnaround {
                self.timeline.turns.iter().copied().find(|&turn| turn >= due).unwrap_or(f64::INFINITY)
            } else {
                due
            };
            if next >= self.timeline.lit_hours {
                return;
            }
            dates.push(next);
            last = next;
        }
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

    /// Highest share of full power in each month inside a set of hours: what a demand charge sees.
    pub(crate) fn peak_shares(&self, hours: Hours) -> Vec<f64> {
        let mut shares = vec![0.0f64; self.months()];
        for stretch in &self.timeline.stretches {
            let clock = stretch.clock;
            if hours.contains(clock.month, clock.weekday, clock.minute) {
                shares[stretch.month] = shares[stretch.month].max(stretch.power);
            }
        }
        shares
    }
}
