//! Loads as chains of steps: what runs beside the lights, the lights themselves, and the plant that cools them.

use calendar::{Days, Timeline};
use tariff::{Moments, Year, edges};

/// A load beside the lights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BaseLoad {
    /// Power while it runs, kW.
    pub kw: f64,
    /// Reactive power while it runs, kvar.
    pub kvar: f64,
    /// When it runs.
    pub when: Moments,
}

/// Base load from a moment on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BaseStep {
    /// Seconds since the horizon's beginning.
    pub t: i64,
    /// Power, kW.
    pub kw: f64,
    /// Reactive power, kvar.
    pub kvar: f64,
}

/// Lights and their cooling from a moment on, for one unit of full power of the lights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightStep {
    /// Seconds since the horizon's beginning.
    pub t: i64,
    /// Share of full power of the lights.
    pub lights: f64,
    /// The same some lag ago, over the month's factor on the plant's COP: what cooling goes with.
    pub cool: f64,
    /// Schedule hours of the lights at `t`, h; they run on while the lights burn.
    pub u: f64,
}

/// The sum of some loads over days; a load without season keeps to months and weekdays alone.
pub fn base_steps(loads: &[BaseLoad], days: &Days) -> Vec<BaseStep> {
    let mut steps = vec![BaseStep { t: 0, kw: 0.0, kvar: 0.0 }];
    if loads.is_empty() {
        return steps;
    }
    let year = Year::default();
    let minutes = edges(loads.iter().map(|load| &load.when));
    for run in &days.runs {
        let day = year.day(days.dates[run.day]);
        let inside = minutes.iter().map(|&m| i64::from(m) * 60).filter(|&s| s > run.from && s < run.to);
        for second in std::iter::once(run.from).chain(inside) {
            let running = loads.iter().filter(|load| load.when.contains(day, (second / 60) as u16));
            let (kw, kvar) = running.fold((0.0, 0.0), |sum, load| (sum.0 + load.kw, sum.1 + load.kvar));
            let t = run.t + (second - run.from);
            match steps.last_mut() {
                Some(last) if last.t == t => *last = BaseStep { t, kw, kvar },
                Some(last) if (last.kw, last.kvar) == (kw, kvar) => {}
                _ => steps.push(BaseStep { t, kw, kvar }),
            }
        }
    }
    steps
}

/// Lights of some rooms, each with its share of all of them, and the cooling that follows them by `lag` seconds. `factors`
/// are those on the plant's COP by month, January first; 0 where it stands still.
///
/// The schedule hours are those of the first room.
pub fn light_steps(rooms: &[(f64, &Timeline)], lag: i64, factors: &[f64; 12], days: &Days) -> Vec<LightStep> {
    let mut changes: Vec<(i64, f64)> = vec![];
    let mut follow: Vec<(i64, f64)> = vec![];
    for &(share, timeline) in rooms {
        for stretch in &timeline.stretches {
            let (from, to) = (seconds(stretch.t), seconds(stretch.t + stretch.hours));
            let power = share * stretch.power;
            changes.extend([(from, power), (to, -power)]);
            // lights that have been on since before the beginning are cooled from the beginning
            let before = stretch.t == 0.0 && !stretch.starts;
            follow.extend([(if before { from } else { from + lag }, power), (to + lag, -power)]);
        }
    }
    let (lights, lagged) = (summed(changes), summed(follow));
    // the plant's months: cut where a factor changes
    let months: Vec<(i64, f64)> = days
        .runs
        .iter()
        .filter(|run| run.from == 0 && days.dates[run.day].day() == 1 || run.t == 0)
        .map(|run| (run.t, factors[days.dates[run.day].month() as usize - 1]))
        .collect();

    let mut moments: Vec<i64> = lights.iter().chain(&lagged).chain(&months).map(|&(t, _)| t).collect();
    moments.push(0);
    moments.retain(|&t| t < days.seconds);
    moments.sort_unstable();
    moments.dedup();
    let (mut l, mut c, mut m) = (Cursor::new(&lights), Cursor::new(&lagged), Cursor::new(&months));
    let first = rooms.first().map(|room| room.1);
    let mut steps: Vec<LightStep> = vec![];
    for t in moments {
        let (power, lagged, factor) = (l.at(t), c.at(t), m.at(t));
        let cool = if factor > 0.0 { lagged / factor } else { 0.0 };
        let u = first.map_or(0.0, |timeline| timeline.lit_before(t as f64 / 3600.0));
        match steps.last() {
            Some(last) if (last.lights, last.cool) == (power, cool) => {}
            _ => steps.push(LightStep { t, lights: power, cool, u }),
        }
    }
    steps
}

fn seconds(hours: f64) -> i64 {
    (hours * 3600.0).round() as i64
}

/// Changes in any order as levels from moments on.
fn summed(mut changes: Vec<(i64, f64)>) -> Vec<(i64, f64)> {
    changes.sort_by_key(|&(t, _)| t);
    let mut levels: Vec<(i64, f64)> = vec![];
    let mut level = 0.0;
    for (t, change) in changes {
        level += change;
        // what is left of equal terms taken away again is rounding
        if level.abs() < 1e-12 {
            level = 0.0;
        }
        match levels.last_mut() {
            Some(last) if last.0 == t => last.1 = level,
            _ => levels.push((t, level)),
        }
    }
    levels
}

/// Levels read off at rising moments.
struct Cursor<'a> {
    levels: &'a [(i64, f64)],
    next: usize,
}

impl<'a> Cursor<'a> {
    fn new(levels: &'a [(i64, f64)]) -> Self {
        Self { levels, next: 0 }
    }

    fn at(&mut self, t: i64) -> f64 {
        while self.next < self.levels.len() && self.levels[self.next].0 <= t {
            self.next += 1;
        }
        if self.next == 0 { 0.0 } else { self.levels[self.next - 1].1 }
    }
}
