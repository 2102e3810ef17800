//! The tariff's own calendar: seasons and holidays.

use jiff::civil::{Date, Weekday};

use crate::moments::{Day, HOLIDAY};

/// Days of a year without its leap day.
const DAYS: usize = 365;
/// Days before each month in such a year.
const BEFORE: [usize; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

/// A day of the year without its year; 29 February is not among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MonthDay(usize);

impl MonthDay {
    /// From the text MM-DD; nothing for 02-29 or what is no day of a year.
    ///
    /// ```
    /// use tariff::MonthDay;
    /// assert!(MonthDay::parse("06-01").is_some());
    /// assert!(MonthDay::parse("02-29").is_none());
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        // 1970 is no leap year
        let date: Date = format!("1970-{text}").parse().ok().filter(|_| text.len() == 5)?;
        Some(Self::of(date))
    }

    /// Of a date; 29 February counts as the 28th.
    fn of(date: Date) -> Self {
        let leap_day = usize::from(date.month() == 2 && date.day() == 29);
        Self(BEFORE[date.month() as usize - 1] + date.day() as usize - 1 - leap_day)
    }

    fn month_and_day(self) -> (u8, u8) {
        let month = BEFORE.iter().rposition(|&before| before <= self.0).unwrap_or(0);
        (month as u8 + 1, (self.0 - BEFORE[month]) as u8 + 1)
    }
}

/// Which season each day of the year belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Seasons {
    names: Vec<String>,
    of_day: Vec<u8>,
}

/// Seasons that do not cover the year once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BadSeasons {
    /// From this day on (month, day) the year has no season.
    Gap(u8, u8),
    /// From this day on (month, day) two seasons hold.
    Overlap(u8, u8, String, String),
}

impl Default for Seasons {
    fn default() -> Self {
        Self { names: vec![], of_day: vec![0; DAYS] }
    }
}

impl Seasons {
    /// From named stretches of days, both ends inside; one may run over the new year. 29 February belongs to the season of
    /// the 28th.
    ///
    /// # Errors
    /// Days that belong to none or to two of them.
    pub fn new(stretches: &[(String, MonthDay, MonthDay)]) -> Result<Self, BadSeasons> {
        if stretches.is_empty() {
            return Ok(Self::default());
        }
        let mut of_day: Vec<Option<u8>> = vec![None; DAYS];
        for (index, (name, first, last)) in stretches.iter().enumerate() {
            let length = (last.0 + DAYS - first.0) % DAYS + 1;
            for day in (0..length).map(|k| (first.0 + k) % DAYS) {
                if let Some(other) = of_day[day].replace(index as u8) {
                    let (month, day) = MonthDay(day).month_and_day();
                    return Err(BadSeasons::Overlap(month, day, stretches[usize::from(other)].0.clone(), name.clone()));
                }
            }
        }
        match of_day.iter().position(Option::is_none) {
            Some(day) => {
                let (month, day) = MonthDay(day).month_and_day();
                Err(BadSeasons::Gap(month, day))
            }
            None => Ok(Self {
                names: stretches.iter().map(|(name, _, _)| name.clone()).collect(),
                of_day: of_day.into_iter().flatten().collect(),
            }),
        }
    }

    /// Index of a season by its name.
    pub fn index(&self, name: &str) -> Option<u8> {
        self.names.iter().position(|known| known == name).map(|index| index as u8)
    }

    /// Names of the seasons in order; none when the year is one.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// Season of a date.
    pub fn of(&self, date: Date) -> u8 {
        self.of_day[MonthDay::of(date).0]
    }

    /// Every pair of month and season that occurs.
    pub fn pairs(&self) -> Vec<(u8, u8)> {
        let mut pairs: Vec<(u8, u8)> =
            (0..DAYS).map(|day| (MonthDay(day).month_and_day().0, self.of_day[day])).collect();
        pairs.sort_unstable();
        pairs.dedup();
        pairs
    }
}

/// A holiday that comes every year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Yearly {
    /// On the same date.
    On(MonthDay),
    /// On a weekday (Monday is 0) of a month by its number: 1 to 4 from the beginning, −1 the last.
    Nth {
        /// Month, 1 to 12.
        month: i8,
        /// Weekday, Monday is 0.
        weekday: i8,
        /// Which.
        nth: i8,
    },
}

/// Whether a yearly holiday on a weekend moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Observed {
    /// It stays.
    #[default]
    AsItFalls,
    /// From a Sunday to the Monday after.
    MondayAfterSunday,
    /// From a Saturday to the Friday before, from a Sunday to the Monday after.
    NearestWeekday,
}

/// Days that are billed unlike others of their kind.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Holidays {
    /// Single days.
    pub dates: Vec<Date>,
    /// Days of every year.
    pub yearly: Vec<Yearly>,
    /// Whether those of every year move off a weekend.
    pub observed: Observed,
    /// Whether a holiday is billed as a Sunday as well.
    pub as_sunday: bool,
}

impl Holidays {
    /// Whether a date is one.
    pub fn holds(&self, date: Date) -> bool {
        // a moved holiday of a year may fall into the year before or after
        self.dates.contains(&date)
            || self.yearly.iter().any(|holiday| {
                (-1..=1).any(|shift| {
                    date.year().checked_add(shift).and_then(|year| self.in_year(*holiday, year)) == Some(date)
                })
            })
    }

    fn in_year(&self, holiday: Yearly, year: i16) -> Option<Date> {
        let date = match holiday {
            Yearly::Nth { month, weekday, nth } => {
                let weekday = Weekday::from_monday_zero_offset(weekday).ok()?;
                return Date::new(year, month, 1).ok()?.nth_weekday_of_month(nth, weekday).ok();
            }
            Yearly::On(day) => {
                let (month, day) = day.month_and_day();
                Date::new(year, month as i8, day as i8).ok()?
            }
        };
        match (self.observed, date.weekday()) {
            (Observed::MondayAfterSunday | Observed::NearestWeekday, Weekday::Sunday) => date.tomorrow().ok(),
            (Observed::NearestWeekday, Weekday::Saturday) => date.yesterday().ok(),
            _ => Some(date),
        }
    }

    /// Kinds of day that a date counts as.
    fn kinds(&self, date: Date) -> u8 {
        match (self.holds(date), self.as_sunday) {
            (false, _) => 1 << date.weekday().to_monday_zero_offset(),
            (true, true) => HOLIDAY | 1 << 6,
            (true, false) => HOLIDAY,
        }
    }

    fn is_empty(&self) -> bool {
        self.dates.is_empty() && self.yearly.is_empty()
    }
}

/// Seasons and holidays together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Year {
    /// Seasons.
    pub seasons: Seasons,
    /// Holidays.
    pub holidays: Holidays,
}

impl Year {
    /// What the tariff knows of a date.
    pub fn day(&self, date: Date) -> Day {
        Day { month: date.month() as u8, season: self.seasons.of(date), kinds: self.holidays.kinds(date) }
    }

    /// Every kind of day that may occur: each month and season with each weekday, and with a holiday if there are any.
    pub fn days(&self) -> Vec<Day> {
        let mut kinds: Vec<u8> = (0..7).map(|weekday| 1 << weekday).collect();
        if !self.holidays.is_empty() {
            kinds.push(if self.holidays.as_sunday { HOLIDAY | 1 << 6 } else { HOLIDAY });
        }
        let pairs = self.seasons.pairs();
        pairs.iter().flat_map(|&(month, season)| kinds.iter().map(move |&kinds| Day { month, season, kinds })).collect()
    }
}
