//! The whole horizon as a chain of lit stretches, each inside one month, one phase and one piece of the daily clock.
//!
//! Two clocks run side by side. *Schedule hours* u count only the time in which the lights are meant to burn; lamp lives
//! are lived on this clock. *Elapsed hours* t count all time since the start; money and repair crews live on it.

use jiff::civil::Date;
use jiff::tz::{TimeZone, TimeZoneDatabase};
use jiff::{SignedDuration, Timestamp, ToSpan};

use crate::guide::Guide;
use crate::photoperiod::{BadPhotoperiod, Minute, Phase, Photoperiod, Timer};

/// A piece of time in which the lights burn and nothing about the day, the phase or the month changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Schedule hours before it.
    pub u: f64,
    /// Elapsed hours before it.
    pub t: f64,
    /// Its length, h.
    pub hours: f64,
    /// Index of its month in [`Timeline::months`].
    pub month: usize,
    /// Share of full wall power.
    pub power: f64,
    /// Share of full photon flux.
    pub flux: f64,
    /// Length of the whole burn, from start to off, of which it is a part, h.
    pub burn_hours: f64,
    /// Dark time before that burn, h; infinite before the first of all.
    pub dark_hours: f64,
    /// Whether the lamps start at its beginning.
    pub starts: bool,
}

/// A calendar month of the horizon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Month {
    /// Year.
    pub year: i16,
    /// Month of the year, 1 to 12.
    pub month: u8,
}

/// The whole horizon as lit stretches in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// Calendar months of the horizon.
    pub months: Vec<Month>,
    /// Lit stretches in order; never empty.
    pub stretches: Vec<Stretch>,
    /// Schedule hours at which a crop cycle ends.
    pub turns: Vec<f64>,
    /// Schedule hours over the whole horizon.
    pub lit_hours: f64,
    /// Elapsed hours over the whole horizon.
    pub elapsed_hours: f64,
    by_schedule: Guide,
    by_elapsed: Guide,
}

struct Burn {
    from: Timestamp,
    to: Timestamp,
    power: f64,
    flux: f64,
    /// Seconds from the lamps' start to off, over touching windows.
    burn_seconds: i64,
    /// Dark hours before that start.
    dark_hours: f64,
    starts: bool,
}

impl Timeline {
    /// Lays a photoperiod out from midnight of `first_day` over whole years, cut at every midnight and at every change of the
    /// zone's offset.
    ///
    /// A time that the spring change skips is moved on by the gap; one that the autumn change repeats means its first
    /// occurrence. Where the windows of two days overlap (a change of phase), the later one starts when the earlier ends.
    /// Windows that touch are one burn with one start.
    ///
    /// # Errors
    /// The zone, the dates, overlapping windows, or a plan that never lights up.
    pub fn lay_out(plan: &Photoperiod, zone: &str, first_day: Date, years: u32) -> Result<Self, Vec<BadPhotoperiod>> {
        let zone = TimeZoneDatabase::bundled().get(zone).map_err(|_| vec![BadPhotoperiod::UnknownZone])?;
        let overlaps = plan.overlaps();
        if !overlaps.is_empty() {
            return Err(overlaps);
        }
        let out_of_range = |_| vec![BadPhotoperiod::OutOfRange];
        let end_day = first_day.checked_add(i64::from(years).years()).map_err(out_of_range)?;
        let midnight = |day: Date| zone.to_timestamp(day.at(0, 0, 0, 0)).map_err(out_of_range);
        let (origin, end) = (midnight(first_day)?, midnight(end_day)?);

        let (mut burns, turn_times) = burns(plan, &zone, first_day, end_day).map_err(|bad| vec![bad])?;
        burns.retain(|burn| burn.from < end);
        if let Some(last) = burns.last_mut() {
            last.to = last.to.min(end);
        }

        let hours_since = |from: Timestamp, to: Timestamp| (to.as_second() - from.as_second()) as f64 / 3600.0;
        let mut stretches = vec![];
        let mut lit_seconds = 0;
        for burn in &burns {
            let mut now = burn.from;
            while now < burn.to {
                let offset = zone.to_offset(now);
                let local = offset.to_datetime(now);
                let second_of_day =
                    i64::from(local.hour()) * 3600 + i64::from(local.minute()) * 60 + i64::from(local.second());
                let left = SignedDuration::from_secs(86_400 - second_of_day);
                let mut until = now.saturating_add(left).unwrap_or(burn.to);
                until = until.min(burn.to);
                if let Some(change) = zone.following(now).next() {
                    until = until.min(change.timestamp());
                }
                let seconds = until.as_second() - now.as_second();
                let date = local.date();
                let month = (i32::from(date.year()) - i32::from(first_day.year())) * 12 + i32::from(date.month())
                    - i32::from(first_day.month());
                stretches.push(Stretch {
                    u: lit_seconds as f64 / 3600.0,
                    t: hours_since(origin, now),
                    hours: seconds as f64 / 3600.0,
                    month: month.max(0) as usize,
                    power: burn.power,
                    flux: burn.flux,
                    burn_hours: burn.burn_seconds as f64 / 3600.0,
                    dark_hours: burn.dark_hours,
                    starts: burn.starts && now == burn.from,
                });
                lit_seconds += seconds;
                now = until;
            }
        }
        if stretches.is_empty() {
            return Err(vec![BadPhotoperiod::NeverLit]);
        }
        let months = (0..years * 12)
            .map(|k| {
                let index = i32::from(first_day.year()) * 12 + i32::from(first_day.month()) - 1 + k as i32;
                Month { year: index.div_euclid(12) as i16, month: index.rem_euclid(12) as u8 + 1 }
            })
            .collect();
        let (lit_hours, elapsed_hours) = (lit_seconds as f64 / 3600.0, hours_since(origin, end));
        let mut timeline = Self {
            months,
            turns: vec![],
            lit_hours,
            elapsed_hours,
            by_schedule: Guide::new(stretches.iter().map(|stretch| stretch.u), lit_hours),
            by_elapsed: Guide::new(stretches.iter().map(|stretch| stretch.t), elapsed_hours),
            stretches,
        };
        timeline.turns = turn_times
            .into_iter()
            .filter(|&turn| turn <= end)
            .map(|turn| timeline.lit_before(hours_since(origin, turn)))
            .collect();
        Ok(timeline)
    }

    /// Index of the stretch that holds a moment on the schedule clock (the later one at a boundary).
    pub fn stretch_at(&self, u: f64) -> usize {
        self.by_schedule.find(u)
    }

    /// Elapsed hours at a moment on the schedule clock.
    pub fn elapsed_at(&self, u: f64) -> f64 {
        let stretch = self.stretches[self.stretch_at(u)];
        stretch.t + (u - stretch.u)
    }

    /// Elapsed hours at which so many schedule hours have been burnt: at a boundary the end of the earlier stretch, not
    /// the next time the lights go on.
    pub fn burnt_at(&self, u: f64) -> f64 {
        let place = self.stretch_at(u);
        let begins = self.stretches[place].u;
        match place.checked_sub(1).map(|before| self.stretches[before]) {
            Some(before) if u <= begins => before.t + before.hours,
            _ => self.elapsed_at(u),
        }
    }

    /// Schedule hours before a moment of elapsed time.
    pub fn lit_before(&self, t: f64) -> f64 {
        let stretch = self.stretches[self.by_elapsed.find(t)];
        stretch.u + (t - stretch.t).clamp(0.0, stretch.hours)
    }
}

/// Every burn of the horizon in order, and the moments at which a crop cycle ends.
fn burns(
    plan: &Photoperiod,
    zone: &TimeZone,
    first_day: Date,
    end_day: Date,
) -> Result<(Vec<Burn>, Vec<Timestamp>), BadPhotoperiod> {
    let out_of_range = |_| BadPhotoperiod::OutOfRange;
    let standard = match plan.timer {
        Timer::Civil => None,
        Timer::Standard => Some(standard_offset(zone, first_day).ok_or(BadPhotoperiod::OutOfRange)?),
    };
    let instant = |day: Date, minute: Minute| {
        let (day, minute) = match minute {
            Minute::DAY_END => (day.tomorrow().map_err(out_of_range)?, 0),
            minute => (day, minute.of_day()),
        };
        let local = day.at((minute / 60) as i8, (minute % 60) as i8, 0, 0);
        match standard {
            Some(offset) => offset.to_timestamp(local),
            None => zone.to_timestamp(local),
        }
        .map_err(out_of_range)
    };

    let mut burns: Vec<Burn> = vec![];
    let mut turns = vec![];
    let mut burn_day = |phase: &Phase, day: Date| {
        let mut windows = phase.windows.clone();
        windows.sort_by_key(|window| window.on);
        for window in windows {
            let from = instant(day, window.on)?;
            let off_day = if window.off > window.on { day } else { day.tomorrow().map_err(out_of_range)? };
            let to = instant(off_day, window.off)?;
            let from = burns.last().map_or(from, |before| from.max(before.to));
            if from < to {
                let starts = burns.last().is_none_or(|before| before.to < from);
                burns.push(Burn {
                    from,
                    to,
                    power: phase.power,
                    flux: phase.flux,
                    burn_seconds: 0,
                    dark_hours: 0.0,
                    starts,
                });
            }
        }
        Ok(())
    };
    if let (true, Some(phase)) = (plan.already_running, plan.phases.first()) {
        burn_day(phase, first_day.yesterday().map_err(out_of_range)?)?;
    }
    let mut day = first_day;
    'horizon: loop {
        for phase in &plan.phases {
            for _ in 0..phase.days {
                if day >= end_day {
                    break 'horizon;
                }
                burn_day(phase, day)?;
                day = day.tomorrow().map_err(out_of_range)?;
            }
        }
        turns.push(zone.to_timestamp(day.at(0, 0, 0, 0)).map_err(out_of_range)?);
        for _ in 0..plan.turnaround_days {
            day = day.tomorrow().map_err(out_of_range)?;
        }
        if day >= end_day {
            break;
        }
    }

    // touching windows are one burn: give each of its parts the length of the whole
    let mut first = 0;
    while first < burns.len() {
        let after = (first + 1..burns.len()).find(|&k| burns[k].starts).unwrap_or(burns.len());
        let seconds = burns[after - 1].to.as_second() - burns[first].from.as_second();
        let dark = first.checked_sub(1).map_or(f64::INFINITY, |before| {
            (burns[first].from.as_second() - burns[before].to.as_second()) as f64 / 3600.0
        });
        burns[first..after].iter_mut().for_each(|burn| (burn.burn_seconds, burn.dark_hours) = (seconds, dark));
        first = after;
    }
    // what burned before the first midnight is no longer here, but its last burn may still go on
    let origin = zone.to_timestamp(first_day.at(0, 0, 0, 0)).map_err(out_of_range)?;
    burns.retain(|burn| burn.to > origin);
    if let Some(first) = burns.first_mut().filter(|burn| burn.from < origin) {
        (first.from, first.starts) = (origin, false);
    }
    Ok((burns, turns))
}

/// The zone's offset outside summer time, taken from the first day's year.
fn standard_offset(zone: &TimeZone, first_day: Date) -> Option<jiff::tz::Offset> {
    (1..=12).find_map(|month| {
        let date = Date::new(first_day.year(), month, 1).ok()?;
        let info = zone.to_offset_info(zone.to_timestamp(date.at(0, 0, 0, 0)).ok()?);
        info.dst().is_std().then(|| info.offset())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Phase, Window};

    #[test]
    fn hours_are_burnt_when_the_lights_go_off_and_not_when_they_go_on_again() {
        let laid_out = |on: &str, off: &str| {
            let window = Window { on: Minute::parse(on).unwrap(), off: Minute::parse(off).unwrap() };
            let phase = Phase { days: 1, windows: vec![window], power: 1.0, flux: 1.0 };
            let plan =
                Photoperiod { timer: Timer::Civil, phases: vec![phase], turnaround_days: 0, already_running: false };
            Timeline::lay_out(&plan, "Etc/UTC", Date::constant(2031, 1, 1), 3).unwrap()
        };
        let (night, day) = (laid_out("21:00", "09:00"), laid_out("09:00", "21:00"));
        // twelve hours a day: 1000 nights end at 9 in the morning after them
        assert_eq!((night.burnt_at(12_000.0), night.elapsed_at(12_000.0)), (24_009.0, 24_021.0));
        assert_eq!((day.burnt_at(12.0), day.burnt_at(18.0), day.burnt_at(0.0)), (21.0, 24.0 + 15.0, 9.0));
        // midnight cuts a night in two that are one
        assert_eq!((night.burnt_at(3.0), night.burnt_at(4.0)), (24.0, 25.0));
    }
}
