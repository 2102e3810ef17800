//! Reading times of day, sets of hours, seasons and holidays.

use calendar::Minute;
use jiff::civil::Date;
use scenario::MONTHS;
use scenario::form::{self, Day, Times, When};
use tariff::{ANY_DAY, BadSeasons, HOLIDAY, Holidays, Moments, MonthDay, Observed, Seasons, Year, Yearly};

use crate::reader::{Reader, Spot};

/// Most sets of hours in one rule.
const MOST_SETS: usize = 1000;

/// Reads a time of day; a fault and midnight when it is none.
pub(crate) fn minute(text: &str, at: &Spot, reader: &mut Reader) -> Minute {
    Minute::parse(text).unwrap_or_else(|| {
        reader.fault(at, format!("\"{text}\""), "a time of day as HH:MM from 00:00 to 24:00");
        Minute::MIDNIGHT
    })
}

/// Reads a date; a fault when it is none.
pub(crate) fn date(text: &str, at: &Spot, reader: &mut Reader) -> Option<Date> {
    let date = text.parse::<Date>().ok().filter(|_| text.len() == 10);
    if date.is_none() {
        reader.fault(at, format!("\"{text}\""), "a date as YYYY-MM-DD");
    }
    date
}

/// Reads seasons and holidays of a tariff.
pub(crate) fn year(tariff: &form::Tariff, at: &Spot, reader: &mut Reader) -> Year {
    Year { seasons: seasons(tariff, at, reader), holidays: holidays(tariff.holidays.as_ref(), at, reader) }
}

fn seasons(tariff: &form::Tariff, at: &Spot, reader: &mut Reader) -> Seasons {
    let at = at.member("seasons");
    let Some(written) = &tariff.seasons else { return Seasons::default() };
    if written.is_empty() || written.len() > 31 {
        reader.fault(&at, format!("{} seasons", written.len()), "1 to 31 seasons, or no `seasons`");
        return Seasons::default();
    }
    let mut stretches = vec![];
    for (name, text) in written {
        let ends = text.split_once("..").map(|(first, last)| (MonthDay::parse(first), MonthDay::parse(last)));
        match ends {
            Some((Some(first), Some(last))) => stretches.push((name.clone(), first, last)),
            _ => {
                let allowed = "first and last day as \"MM-DD..MM-DD\", such as \"06-01..09-30\"; 02-29 goes with 02-28";
                reader.fault(&at.member(name), format!("\"{text}\""), allowed);
            }
        }
    }
    if stretches.len() < written.len() {
        return Seasons::default();
    }
    let on = |month: u8, day: u8| format!("{day} {}", MONTHS[usize::from(month) - 1]);
    let allowed = "seasons that together cover the year once";
    Seasons::new(&stretches).unwrap_or_else(|bad| {
        match bad {
            BadSeasons::Gap(month, day) => {
                reader.fault(&at, format!("no season from {} on", on(month, day)), allowed);
            }
            BadSeasons::Overlap(month, day, a, b) => {
                reader.fault(&at, format!("both \"{a}\" and \"{b}\" on {}", on(month, day)), allowed);
            }
        }
        Seasons::default()
    })
}

fn holidays(written: Option<&form::Holidays>, at: &Spot, reader: &mut Reader) -> Holidays {
    let Some(written) = written else { return Holidays::default() };
    let at = at.member("holidays");
    let mut yearly = vec![];
    for (k, text) in written.yearly.iter().enumerate() {
        let spot = at.member("yearly").item(k);
        match MonthDay::parse(text) {
            Some(day) => yearly.push(Yearly::On(day)),
            None if text == "02-29" => {
                let allowed = "a day that every year has; write the leap days' full dates under `dates`";
                reader.fault(&spot, "29 February, which three years in four do not have", allowed);
            }
            None => reader.fault(&spot, format!("\"{text}\""), "a day as MM-DD"),
        }
    }
    for (k, nth) in written.weekdays.iter().enumerate() {
        let spot = at.member("weekdays").item(k);
        let weekday = weekday(nth.day);
        if !(1..=12).contains(&nth.month) {
            reader.fault(&spot.member("month"), nth.month.to_string(), "a month from 1 to 12");
        } else if !(matches!(nth.nth, 1..=4) || nth.nth == -1) {
            reader.fault(&spot.member("nth"), nth.nth.to_string(), "1 to 4, or -1 for the last");
        } else if let Some(weekday) = weekday {
            yearly.push(Yearly::Nth { month: nth.month as i8, weekday, nth: nth.nth });
        } else {
            reader.fault(&spot.member("day"), "a group of days", "one day of the week, \"mon\" to \"sun\"");
        }
    }
    let dates = written
        .dates
        .iter()
        .enumerate()
        .filter_map(|(k, text)| date(text, &at.member("dates").item(k), reader))
        .collect();
    Holidays {
        dates,
        yearly,
        observed: match written.observed {
            None => Observed::AsItFalls,
            Some(form::Observed::MondayAfterSunday) => Observed::MondayAfterSunday,
            Some(form::Observed::NearestWeekday) => Observed::NearestWeekday,
        },
        as_sunday: written.billed_as != Some(form::BilledAs::HolidayOnly),
    }
}

/// Reads the hours of a rule; all when absent. `seasons` are those of the tariff, none outside one.
pub(crate) fn times(times: Option<&Times>, at: &Spot, seasons: Option<&Seasons>, reader: &mut Reader) -> Vec<Moments> {
    let at = at.member("when");
    match times {
        None => vec![Moments::ALL],
        Some(Times::One(when)) => vec![moments(when, &at, seasons, reader)],
        Some(Times::Any(sets)) => {
            if sets.is_empty() || sets.len() > MOST_SETS {
                reader.fault(&at, format!("{} sets of hours", sets.len()), format!("1 to {MOST_SETS}, or no `when`"));
            }
            sets.iter().enumerate().map(|(k, when)| moments(when, &at.item(k), seasons, reader)).collect()
        }
    }
}

/// Reads one set of hours.
pub(crate) fn moments(when: &When, at: &Spot, seasons: Option<&Seasons>, reader: &mut Reader) -> Moments {
    let months = when.months.as_ref().map_or(0x0FFF, |months| month_set(months, &at.member("months"), reader));
    let kinds = match &when.days {
        None => ANY_DAY,
        Some(days) => {
            if days.is_empty() {
                reader.fault(&at.member("days"), "an empty list", "days, or no `days` for all");
            }
            if seasons.is_none() && days.contains(&Day::Holiday) {
                let allowed = "days of the week; holidays belong to a tariff and are not known here";
                reader.fault(&at.member("days"), "\"holiday\"", allowed);
            }
            days.iter().fold(0, |set, day| set | kinds(*day))
        }
    };
    let season_set = match (&when.seasons, seasons) {
        (None, _) => u32::MAX,
        (Some(_), None) => {
            reader.fault(&at.member("seasons"), "seasons", "months; seasons belong to a tariff and are not known here");
            u32::MAX
        }
        (Some(names), Some(seasons)) => {
            if names.is_empty() {
                reader.fault(&at.member("seasons"), "an empty list", "names of seasons, or no `seasons` for all");
            }
            let mut set = 0;
            for (k, name) in names.iter().enumerate() {
                match seasons.index(name) {
                    Some(index) => set |= 1u32 << index,
                    None => {
                        let known = seasons.names().join(", ");
                        let allowed = if known.is_empty() {
                            "no season: the tariff names none under `seasons`".to_owned()
                        } else {
                            format!("one of: {known}")
                        };
                        reader.fault(&at.member("seasons").item(k), format!("\"{name}\""), allowed);
                    }
                }
            }
            set
        }
    };
    let from = when.from.as_ref().map_or(Minute::MIDNIGHT, |text| minute(text, &at.member("from"), reader));
    let until = when.until.as_ref().map_or(Minute::DAY_END, |text| minute(text, &at.member("until"), reader));
    if from == until {
        reader.fault(at, format!("a window from {from} until {until}"), "two different times");
    }
    Moments { seasons: season_set, months, kinds, from: from.of_day(), until: until.of_day() }
}

/// Reads months as a set of bits.
pub(crate) fn month_set(months: &[u8], at: &Spot, reader: &mut Reader) -> u16 {
    if months.is_empty() {
        reader.fault(at, "an empty list", "months from 1 to 12, or leave it out for all");
    }
    let mut set = 0;
    for (k, &month) in months.iter().enumerate() {
        if (1..=12).contains(&month) {
            set |= 1 << (month - 1);
        } else {
            reader.fault(&at.item(k), month.to_string(), "a month from 1 to 12");
        }
    }
    set
}

fn weekday(day: Day) -> Option<i8> {
    match day {
        Day::Mon => Some(0),
        Day::Tue => Some(1),
        Day::Wed => Some(2),
        Day::Thu => Some(3),
        Day::Fri => Some(4),
        Day::Sat => Some(5),
        Day::Sun => Some(6),
        Day::Weekday | Day::Weekend | Day::Holiday => None,
    }
}

fn kinds(day: Day) -> u8 {
    match day {
        Day::Weekday => 0b1_1111,
        Day::Weekend => 0b110_0000,
        Day::Holiday => HOLIDAY,
        day => weekday(day).map_or(0, |d| 1 << d),
    }
}

/// A kind of day as people say it.
pub(crate) fn day_name(kinds: u8) -> &'static str {
    const DAYS: [&str; 7] = ["Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays"];
    if kinds & HOLIDAY != 0 { "holidays" } else { DAYS.get(kinds.trailing_zeros() as usize).copied().unwrap_or("days") }
}
