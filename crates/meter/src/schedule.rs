//! A rate sheet laid out on the days of a horizon: billing periods, and which registers run when.

use calendar::Days;
use jiff::civil::Date;
use tariff::{Day, DayPart, Period, Sheet, any, edges, first_fit};

/// When the meter is read.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadDays {
    /// On the beginning of this day of each month, 1 to 28.
    Each(i8),
    /// On the beginning of these days.
    On(Vec<Date>),
}

/// From a moment on, these registers run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    pub t: i64,
    /// Clock seconds of the day less `t`: where demand intervals are counted from.
    pub shift: i64,
    /// Energy rule.
    pub rule: u32,
    /// Index of the month among its period's.
    pub month: u32,
    /// Demand rules whose hours these are, a bit each.
    pub lines: u64,
}

/// A rate sheet on the days of a horizon.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// Billing periods in order; together they are the horizon.
    pub periods: Vec<Period>,
    /// First second of each period, and the end.
    pub bounds: Vec<i64>,
    /// Index of the horizon's month in which each period ends.
    pub month_of: Vec<usize>,
    /// Months of all periods before each, and in all.
    pub months_before: Vec<usize>,
    /// Length of a demand interval, s.
    pub interval: i64,
    /// Energy rules of the sheet.
    pub rules: usize,
    /// Demand rules of the sheet.
    pub lines: usize,
    pub(crate) steps: Vec<Step>,
    /// First step of each period.
    pub(crate) first_steps: Vec<usize>,
}

/// From which second of a day on which energy rule and which demand rules hold.
type Pattern = Vec<(i64, u32, u64)>;

/// A sheet has at most so many demand rules: they are bits of a word.
pub(crate) const MOST_LINES: usize = 64;

impl Schedule {
    /// Lays a sheet out.
    pub fn new(sheet: &Sheet, days: &Days, read: &ReadDays) -> Self {
        let mut minutes = edges(sheet.energy.iter().flat_map(|rule| &rule.when));
        minutes.extend(edges(sheet.demand.iter().flat_map(|rule| &rule.when)));
        minutes.sort_unstable();
        minutes.dedup();

        let starts = period_starts(days, read);
        let periods = periods(sheet, days, &starts, read);
        let lines = sheet.demand.len().min(MOST_LINES);
        let mut known: Vec<(Day, Pattern)> = vec![];
        let (mut steps, mut bounds, mut first_steps): (Vec<Step>, Vec<i64>, Vec<usize>) = (vec![], vec![], vec![]);
        for run in &days.runs {
            let date = days.dates[run.day];
            if starts.get(bounds.len()) == Some(&run.day) && (bounds.last() != Some(&run.t)) {
                bounds.push(run.t);
                first_steps.push(steps.len());
            }
            let period = bounds.len() - 1;
            let month = periods[period].months.iter().position(|&m| m == date.month() as u8).unwrap_or(0) as u32;
            let day = sheet.year.day(date);
            let index = known.iter().position(|(kind, _)| *kind == day).unwrap_or_else(|| {
                known.push((day, pattern(sheet, day, &minutes, lines)));
                known.len() - 1
            });
            let pattern = &known[index].1;
            let begin = pattern.partition_point(|&(second, ..)| second <= run.from) - 1;
            for &(second, rule, lines) in pattern[begin..].iter().take_while(|&&(second, ..)| second < run.to) {
                let t = run.t + (second - run.from).max(0);
                let step = Step { t, shift: run.from - run.t, rule, month, lines };
                match steps.last() {
                    // a step that changes nothing is none, unless a period begins with it
                    Some(last)
                        if (last.rule, last.month, last.lines) == (rule, month, lines)
                            && first_steps.last() != Some(&steps.len())
                            && (last.shift - step.shift) % 86_400 == 0 => {}
                    _ => steps.push(step),
                }
            }
        }
        bounds.push(days.seconds);
        let first = days.dates[0];
        let month_of = periods
            .iter()
            .map(|period| {
                let months = (i32::from(period.last.year()) - i32::from(first.year())) * 12
                    + i32::from(period.last.month())
                    - i32::from(first.month());
                months.max(0) as usize
            })
            .collect();
        let mut months_before = vec![0];
        months_before.extend(periods.iter().scan(0, |sum, period| {
            *sum += period.months.len();
            Some(*sum)
        }));
        Self {
            periods,
            bounds,
            month_of,
            months_before,
            interval: i64::from(sheet.interval_minutes.max(1)) * 60,
            rules: sheet.energy.len(),
            lines,
            steps,
            first_steps,
        }
    }

    /// Index of the period that holds a moment, seconds since the beginning.
    pub fn period_at(&self, t: i64) -> usize {
        self.bounds.partition_point(|&bound| bound <= t).clamp(1, self.periods.len()) - 1
    }
}

/// Seconds of the day from which on a rule and some demand rules hold, on one kind of day.
fn pattern(sheet: &Sheet, day: Day, minutes: &[u16], lines: usize) -> Pattern {
    minutes
        .iter()
        .map(|&minute| {
            let rule = first_fit(&sheet.energy, day, minute).unwrap_or(0) as u32;
            let holds = |line: &usize| any(&sheet.demand[*line].when, day, minute);
            let lines = (0..lines).filter(holds).fold(0, |set, line| set | 1 << line);
            (i64::from(minute) * 60, rule, lines)
        })
        .collect()
}

/// Indices of the days on which periods begin.
fn period_starts(days: &Days, read: &ReadDays) -> Vec<usize> {
    let begins = |date: &Date| match read {
        ReadDays::Each(day) => date.day() == *day,
        ReadDays::On(dates) => dates.contains(date),
    };
    (0..days.dates.len()).filter(|&k| k == 0 || begins(&days.dates[k])).collect()
}

fn periods(sheet: &Sheet, days: &Days, starts: &[usize], read: &ReadDays) -> Vec<Period> {
    let mut periods: Vec<Period> = starts
        .iter()
        .enumerate()
        .map(|(k, &start)| {
            let end = starts.get(k + 1).copied().unwrap_or(days.dates.len());
            period(sheet, &days.dates[start..end], read)
        })
        .collect();
    for k in 0..periods.len() {
        periods[k].closes_year = periods.get(k + 1).is_none_or(|next| next.last.year() != periods[k].last.year());
    }
    periods
}

fn period(sheet: &Sheet, dates: &[Date], read: &ReadDays) -> Period {
    let mut parts: Vec<DayPart> = vec![];
    let mut months: Vec<u8> = vec![];
    for &date in dates {
        let day = sheet.year.day(date);
        match parts.iter_mut().find(|part| (part.month, part.season) == (day.month, day.season)) {
            Some(part) => part.days += 1.0,
            None => parts.push(DayPart { month: day.month, season: day.season, days: 1.0 }),
        }
        if !months.contains(&day.month) {
            months.push(day.month);
        }
    }
    let in_year = |date: &Date| if date.in_leap_year() { 366.0 } else { 365.0 };
    let (first, last, count) = (dates[0], dates[dates.len() - 1], dates.len() as f64);
    Period {
        first,
        last,
        days: count,
        of_full: full_days(first, last, read).map_or(1.0, |full| count / full),
        of_year: dates.iter().map(|date| 1.0 / in_year(date)).sum(),
        closes_year: false,
        parts,
        months,
    }
}

/// Days of the full period that a period was cut from; nothing when it is whole.
fn full_days(first: Date, last: Date, read: &ReadDays) -> Option<f64> {
    /// Days of an average month: for a cut period whose full length nobody knows.
    const MONTH: f64 = 365.0 / 12.0;
    let next = last.tomorrow().ok()?;
    match read {
        ReadDays::On(dates) => {
            let from = dates.iter().rev().find(|&&date| date <= first);
            let to = dates.iter().find(|&&date| date >= next);
            match (from, to) {
                (Some(from), Some(to)) if (*from, *to) == (first, next) => None,
                (Some(from), Some(to)) => Some(from.duration_until(*to).as_secs() as f64 / 86_400.0),
                _ => Some(MONTH),
            }
        }
        ReadDays::Each(day) => {
            if first.day() == *day && next.day() == *day {
                return None;
            }
            // from one reading to the next, around the period's first day
            let here = first.with().day(*day).build().ok()?;
            let month = jiff::Span::new().months(1);
            let (from, to) = if here <= first {
                (here, here.checked_add(month).ok()?)
            } else {
                (here.checked_sub(month).ok()?, here)
            };
            Some(from.duration_until(to).as_secs() as f64 / 86_400.0)
        }
    }
}
