//! Every day of a horizon on the room's clock, with the hours that summer time takes and gives.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZoneDatabase;

use crate::photoperiod::BadPhotoperiod;

/// A stretch of a day in which the clock keeps pace with time. Most days are one; days with a change of the clock are two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Index of its day.
    pub day: usize,
    /// Seconds since the horizon's beginning.
    pub t: i64,
    /// What the clock then shows, seconds since midnight.
    pub from: i64,
    /// What the clock shows at its end, 86 400 at midnight.
    pub to: i64,
}

/// Every day of a horizon.
#[derive(Debug, Clone, PartialEq)]
pub struct Days {
    /// Its days.
    pub dates: Vec<Date>,
    /// Their stretches, in order.
    pub runs: Vec<Run>,
    /// Seconds from beginning to end.
    pub seconds: i64,
}

impl Days {
    /// The days from `first` to the day before `end` in an IANA zone of the bundled database.
    ///
    /// # Errors
    /// The zone is unknown, or the dates lie beyond the calendar.
    ///
    /// ```
    /// use jiff::civil::date;
    /// // 9 March 2031 is 23 hours long in Chicago
    /// let days = calendar::Days::new("America/Chicago", date(2031, 3, 9), date(2031, 3, 10)).unwrap();
    /// assert_eq!((days.seconds, days.runs.len()), (23 * 3600, 2));
    /// ```
    pub fn new(zone: &str, first: Date, end: Date) -> Result<Self, BadPhotoperiod> {
        let zone = TimeZoneDatabase::bundled().get(zone).map_err(|_| BadPhotoperiod::UnknownZone)?;
        let midnight = |day: Date| zone.to_timestamp(day.at(0, 0, 0, 0)).map_err(|_| BadPhotoperiod::OutOfRange);
        let (origin, over) = (midnight(first)?, midnight(end)?);
        let (mut dates, mut runs) = (vec![], vec![]);
        let mut change = zone.following(origin).next().map(|change| change.timestamp());
        let (mut day, mut now) = (first, origin);
        while day < end {
            let tomorrow = day.tomorrow().map_err(|_| BadPhotoperiod::OutOfRange)?;
            let next = midnight(tomorrow)?;
            while now < next {
                let until = change.filter(|&change| change < next).unwrap_or(next);
                if until > now {
                    let from = seconds_of_day(zone.to_offset(now).to_datetime(now).time());
                    let length = until.as_second() - now.as_second();
                    let t = now.as_second() - origin.as_second();
                    runs.push(Run { day: dates.len(), t, from, to: from + length });
                }
                now = until;
                if change.is_some_and(|change: Timestamp| change <= now) {
                    change = zone.following(now).next().map(|change| change.timestamp());
                }
            }
            dates.push(day);
            day = tomorrow;
        }
        Ok(Self { dates, runs, seconds: over.as_second() - origin.as_second() })
    }

    /// Date and time of day (seconds since midnight) at a moment, seconds since the horizon's beginning.
    pub fn at(&self, t: i64) -> (Date, i64) {
        let run = self.runs[self.runs.partition_point(|run| run.t <= t).saturating_sub(1)];
        (self.dates[run.day], run.from + (t - run.t))
    }
}

fn seconds_of_day(time: jiff::civil::Time) -> i64 {
    i64::from(time.hour()) * 3600 + i64::from(time.minute()) * 60 + i64::from(time.second())
}
