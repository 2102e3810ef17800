//! Sockets that are dark for a while, and what that takes off the lights.

use crate::load::LightStep;

/// A socket without light, in seconds since the horizon's beginning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outage {
    /// From.
    pub from: f64,
    /// To.
    pub to: f64,
}

/// Share of the sockets that are dark, as a chain of steps; exact to the second.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Dark {
    changes: Vec<(i64, i32)>,
    /// From a moment on, so many are dark.
    levels: Vec<(i64, i32)>,
}

impl Dark {
    /// Takes outages in.
    pub fn set(&mut self, outages: &[Outage]) {
        let Self { changes, levels } = self;
        changes.clear();
        for outage in outages {
            let (from, to) = (outage.from.round() as i64, outage.to.min(1e15).round() as i64);
            if from < to {
                changes.push((from, 1));
                changes.push((to, -1));
            }
        }
        changes.sort_unstable();
        levels.clear();
        let mut dark = 0;
        for &(t, change) in changes.iter() {
            dark += change;
            match levels.last_mut() {
                Some(last) if last.0 == t => last.1 = dark,
                _ => levels.push((t, dark)),
            }
        }
    }

    /// How many are dark at a moment.
    fn at(&self, t: i64) -> i32 {
        let after = self.levels.partition_point(|&(moment, _)| moment <= t);
        if after == 0 { 0 } else { self.levels[after - 1].1 }
    }

    /// Whether some run of intervals holds one whole interval in which no socket is dark, nor was `lag` seconds before.
    pub fn spares(&self, runs: &[(i64, i64)], interval: i64, lag: i64) -> bool {
        runs.iter().any(|&(from, to)| {
            if to - from < interval {
                return self.free(from, to, lag);
            }
            // the next interval after each end of darkness is the first that may be free
            let mut now = from;
            while now + interval <= to {
                match self.darkness_ends(now - lag, now + interval) {
                    None => return true,
                    Some(end) => {
                        let past = (end + lag).max(now + 1) - from;
                        now = from + (past + interval - 1) / interval * interval;
                    }
                }
            }
            false
        })
    }

    fn free(&self, from: i64, to: i64, lag: i64) -> bool {
        self.darkness_ends(from - lag, to).is_none()
    }

    /// Where the last darkness that touches a stretch ends, if any does; the end of time when it does not end.
    fn darkness_ends(&self, from: i64, to: i64) -> Option<i64> {
        let last = self.levels.partition_point(|&(moment, _)| moment < to);
        let first = self.levels.partition_point(|&(moment, _)| moment <= from).saturating_sub(1);
        let dark = (first..last).rev().find(|&k| self.levels[k].1 > 0 && self.end_of(k) > from)?;
        Some(self.end_of(dark))
    }

    fn end_of(&self, k: usize) -> i64 {
        self.levels.get(k + 1).map_or(i64::MAX / 4, |next| next.0)
    }

    /// The lights of a stretch of time with the dark sockets taken off, cooling `lag` seconds later.
    pub fn take_off(
        &self,
        lights: &[LightStep],
        from: i64,
        to: i64,
        sockets: f64,
        lag: i64,
        dimmed: &mut Vec<LightStep>,
    ) {
        dimmed.clear();
        let begin = lights.partition_point(|step| step.t <= from).saturating_sub(1);
        let steps = lights[begin..].iter().take_while(|step| step.t < to);
        let edges = self.levels.iter().flat_map(|&(t, _)| [t, t + lag]).filter(|&t| t > from && t < to);
        let mut moments: Vec<i64> = steps.map(|step| step.t).chain(edges).chain([from]).collect();
        moments.sort_unstable();
        moments.dedup();
        let mut k = begin;
        for t in moments {
            while lights.get(k + 1).is_some_and(|next| next.t <= t) {
                k += 1;
            }
            let step = lights[k];
            let lit = |t: i64| 1.0 - f64::from(self.at(t)) / sockets;
            dimmed.push(LightStep { t, lights: step.lights * lit(t), cool: step.cool * lit(t - lag), u: step.u });
        }
    }
}
