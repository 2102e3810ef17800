//! The hours of the year by period: matrices of 12 months by 24 hours, and the same as windows that people read.
//!
//! Belongs here: which hours a period has. Does not belong here: what it costs.

use std::collections::BTreeMap;
use std::ops::Range;

use serde_json::{Map, Value, json};

use super::desk::{Desk, MONTHS, Member, found, number};
use super::tiers::Structure;
use crate::pointer;

type Matrix = [[usize; 24]; 12];

/// The period of every hour on weekdays and at weekends.
pub(super) struct Schedule {
    weekday: Matrix,
    weekend: Matrix,
}

/// The days of the week on which a window holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Days {
    All,
    Weekday,
    Weekend,
}

impl Schedule {
    /// Reads the two matrices of a kind ("energy" or "demand") and checks them against the periods there are. With a
    /// single period they may be absent. Anything else that does not fit is a fault.
    pub(super) fn read(desk: &mut Desk, kind: &str, structure: &Structure) -> Option<Self> {
        let weekday = matrix(desk, kind, "weekday", structure);
        let weekend = matrix(desk, kind, "weekend", structure);
        let schedule = Self { weekday: weekday?, weekend: weekend? };
        for period in (0..structure.periods.len()).filter(|period| structure.periods[*period].is_empty()) {
            if let Some(moment) = schedule.first_hour(period) {
                let at = pointer::join(&desk.at(structure.name), &period.to_string());
                desk.fault(&at, format!("an empty list, used on {moment}"), "at least one tier");
            }
        }
        Some(schedule)
    }

    /// How many hours of the week, summed over the twelve months, a period has.
    pub(super) fn hours(&self, period: usize) -> usize {
        let count = |matrix: &Matrix| matrix.as_flattened().iter().filter(|here| **here == period).count();
        5 * count(&self.weekday) + 2 * count(&self.weekend)
    }

    /// The months, from 0, in which a period has any hour.
    pub(super) fn months(&self, period: usize) -> Vec<usize> {
        let holds = |month: &usize| self.weekday[*month].contains(&period) || self.weekend[*month].contains(&period);
        (0..12).filter(holds).collect()
    }

    /// The hours of a period as our form writes them; nothing when it has them all.
    pub(super) fn when(&self, period: usize) -> Option<Value> {
        let mut windows: BTreeMap<(Days, usize, usize), Vec<usize>> = BTreeMap::new();
        for month in 0..12 {
            let weekday = runs(&self.weekday[month], period);
            let weekend = runs(&self.weekend[month], period);
            let mut add = |days, run: &Range<usize>| {
                windows.entry((days, run.start, run.end)).or_default().push(month);
            };
            for run in &weekday {
                add(if weekend.contains(run) { Days::All } else { Days::Weekday }, run);
            }
            weekend.iter().filter(|run| !weekday.contains(run)).for_each(|run| add(Days::Weekend, run));
        }
        let mut windows: Vec<Value> = windows.into_iter().map(window).collect();
        match windows.len() {
            1 => windows.pop().filter(|window| *window != json!({})),
            _ => Some(Value::Array(windows)),
        }
    }

    fn first_hour(&self, period: usize) -> Option<String> {
        let find = |matrix: &Matrix, days| {
            let cell = matrix.as_flattened().iter().position(|here| *here == period)?;
            Some(moment(cell / 24, days, cell % 24))
        };
        find(&self.weekday, "weekday").or_else(|| find(&self.weekend, "weekend"))
    }
}

/// Runs of hours in which a day is in a period. None crosses midnight.
fn runs(day: &[usize; 24], period: usize) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for hour in (0..24).filter(|hour| day[*hour] == period) {
        match runs.last_mut() {
            Some(run) if run.end == hour => run.end += 1,
            _ => runs.push(hour..hour + 1),
        }
    }
    runs
}

/// One window; what does not narrow it is left out.
fn window(((days, from, until), months): ((Days, usize, usize), Vec<usize>)) -> Value {
    let mut window = Map::new();
    if months.len() < 12 {
        window.insert("months".to_string(), months_written(&months));
    }
    match days {
        Days::All => None,
        Days::Weekday => window.insert("days".to_string(), json!(["weekday"])),
        Days::Weekend => window.insert("days".to_string(), json!(["weekend"])),
    };
    if (from, until) != (0, 24) {
        window.insert("from".to_string(), json!(format!("{from:02}:00")));
        window.insert("until".to_string(), json!(format!("{until:02}:00")));
    }
    Value::Object(window)
}

/// Months from 0 as our form writes them, from 1.
pub(super) fn months_written(months: &[usize]) -> Value {
    months.iter().map(|month| month + 1).collect()
}

fn moment(month: usize, days: &str, hour: usize) -> String {
    format!("{} {days} {hour:02}:00", MONTHS[month])
}

fn matrix(desk: &mut Desk, kind: &str, days: &str, structure: &Structure) -> Option<Matrix> {
    const ALLOWED: &str = "12 rows, January to December, of 24 period numbers each";
    let folded = format!("{kind}{days}schedule");
    let Some(Member { name, value }) = desk.take(&folded) else {
        if structure.periods.len() == 1 {
            return Some([[0; 24]; 12]);
        }
        let found = format!("no `{folded}`");
        desk.fault(desk.base(), found, format!("`{folded}`: {ALLOWED}"));
        return None;
    };
    let at = desk.at(name);
    let Some(rows) = value.as_array().filter(|rows| rows.len() == 12) else {
        desk.fault(&at, found(value), ALLOWED);
        return None;
    };
    let mut matrix = [[0; 24]; 12];
    let mut whole = true;
    for (month, row) in rows.iter().enumerate() {
        let at = pointer::join(&at, &month.to_string());
        let Some(hours) = row.as_array().filter(|hours| hours.len() == 24) else {
            desk.fault(&at, format!("{}: {}", MONTHS[month], found(row)), "24 period numbers, one for each hour");
            whole = false;
            continue;
        };
        for (hour, period) in hours.iter().enumerate() {
            match structure.period(period) {
                Some(period) => matrix[month][hour] = period,
                None => {
                    let found = format!("{}: {}", moment(month, days, hour), found(period));
                    desk.fault(&pointer::join(&at, &hour.to_string()), found, structure.allowed());
                    whole = false;
                }
            }
        }
    }
    desk.mapped(name, "its hours became the windows of the rules");
    whole.then_some(matrix)
}

impl Structure<'_> {
    /// The period that a number in a schedule stands for, when there is such a period.
    pub(super) fn period(&self, value: &Value) -> Option<usize> {
        let number = number(value).filter(|number| number.fract() == 0.0 && *number >= 0.0)?;
        // A float is cut at the largest whole number, which no list reaches.
        Some(number as usize).filter(|period| *period < self.periods.len())
    }

    /// The period numbers that are allowed, in words.
    pub(super) fn allowed(&self) -> String {
        match self.periods.len() {
            0 => format!("none, since `{}` is empty", self.name),
            1 => format!("0, the only period of `{}`", self.name),
            many => format!("a whole number from 0 to {}, one of the {many} periods of `{}`", many - 1, self.name),
        }
    }
}
