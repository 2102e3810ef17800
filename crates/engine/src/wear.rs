//! When a lamp with so much life left will fail, on the schedule clock.

use lamp::StartWear;
use plan::ClockPlan;

/// Hours of rated life used up along the schedule: a broken line through the cells' ends.
#[derive(Debug, Clone, Default)]
pub(crate) struct Wear {
    /// Life used per burn hour in each cell.
    slopes: Vec<f64>,
    /// Life used before each cell.
    used: Vec<f64>,
    /// The slope and its inverse, when it is the same everywhere.
    even: Option<(f64, f64)>,
    last: Option<StartWear>,
}

impl Wear {
    /// Works the line out for a clock, unless it is the one at hand.
    pub fn set(&mut self, wear: StartWear, clock: &ClockPlan) {
        if self.last == Some(wear) {
            return;
        }
        self.last = Some(wear);
        self.slopes.clear();
        self.used.clear();
        let mut used = 0.0;
        for cell in &clock.cells {
            let slope = wear.per_burn_hour(cell.burn_hours);
            self.slopes.push(slope);
            self.used.push(used);
            used += slope * (cell.to - cell.from);
        }
        let first = self.slopes[0];
        self.even = self.slopes.iter().all(|&slope| slope == first).then_some((first, 1.0 / first));
    }

    /// Life used between two moments of the schedule.
    pub fn between(&self, from: f64, to: f64, clock: &ClockPlan) -> f64 {
        match self.even {
            Some((slope, _)) => slope * (to - from),
            None => self.used_at(to, clock) - self.used_at(from, clock),
        }
    }

    fn used_at(&self, u: f64, clock: &ClockPlan) -> f64 {
        let cell = clock.cell_at(u);
        self.used[cell] + self.slopes[cell] * (u - clock.cells[cell].from)
    }

    /// The moment of the schedule at which a lamp lit from `u` on has used up `life`; beyond the horizon the last slope
    /// goes on.
    #[inline]
    pub fn spent(&self, u: f64, life: f64, clock: &ClockPlan) -> f64 {
        match self.even {
            Some((_, inverse)) => u + life * inverse,
            None => {
                let end = self.used_at(u, clock) + life;
                let cell = self.used.partition_point(|&used| used <= end).saturating_sub(1);
                clock.cells[cell].from + (end - self.used[cell]) / self.slopes[cell]
            }
        }
    }
}
