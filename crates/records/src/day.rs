//! Days as people remember them: to the day, or to the month.

use jiff::civil::Date;

use crate::flaw::quoted;

/// A day that lies between two days, both included; one day when it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day {
    /// The first day that it may be.
    pub earliest: Date,
    /// The last day that it may be.
    pub latest: Date,
}

impl Day {
    /// Reads `2031-02-14`, or `2031-02` for some day of a month, with `~` before it for "about": half a month, or one
    /// month, to either side. Years come first, so that nobody has to guess which number is the month.
    ///
    /// ```
    /// let day = records::Day::parse("2031-02").unwrap();
    /// assert_eq!((day.earliest.to_string(), day.latest.to_string()), ("2031-02-01".into(), "2031-02-28".into()));
    /// assert!(records::Day::parse("14.02.2031").is_err());
    /// ```
    ///
    /// # Errors
    /// What was found, in plain words.
    pub fn parse(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let bad = || format!("{}, which is no day", quoted(text));
        let (is_about, day) = match text.strip_prefix('~') {
            Some(rest) => (true, rest.trim_start()),
            None => (false, text),
        };
        let parts: Vec<&str> = day.split('-').collect();
        let lengths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
        if !parts.iter().all(|part| part.bytes().all(|byte| byte.is_ascii_digit())) {
            return Err(bad());
        }
        let of = |k: usize| parts[k].parse::<i16>().map_err(|_| bad());
        let date = |day: i16| -> Result<Date, String> {
            let (month, day) = (i8::try_from(of(1)?), i8::try_from(day));
            match (month, day) {
                (Ok(month), Ok(day)) => Date::new(of(0)?, month, day).map_err(|_| bad()),
                _ => Err(bad()),
            }
        };
        let (earliest, latest, slack) = match lengths[..] {
            [4, 2, 2] => (date(of(2)?)?, date(of(2)?)?, 15),
            [4, 2] => (date(1)?, date(1)?.last_of_month(), 30),
            _ => return Err(bad()),
        };
        if !is_about {
            return Ok(Self { earliest, latest });
        }
        let slack = jiff::Span::new().days(slack);
        Ok(Self {
            earliest: earliest.checked_sub(slack).map_err(|_| bad())?,
            latest: latest.checked_add(slack).map_err(|_| bad())?,
        })
    }

    /// Fewest and most days from one to the other; below zero where the other may come first.
    pub fn days_until(self, other: Self) -> (i64, i64) {
        let days = |from: Date, to: Date| from.until(to).map_or(0, |span| i64::from(span.get_days()));
        (days(self.latest, other.earliest), days(self.earliest, other.latest))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn vague_days_are_spans() {
        let of = |text| Day::parse(text).map(|day| (day.earliest.to_string(), day.latest.to_string()));
        assert_eq!(of("2032-02-29"), Ok(("2032-02-29".into(), "2032-02-29".into())));
        assert_eq!(of("~2031-03-01"), Ok(("2031-02-14".into(), "2031-03-16".into())));
        assert_eq!(of("~2031-03"), Ok(("2031-01-30".into(), "2031-04-30".into())));
        let (a, b) = (Day::parse("2031-01").unwrap(), Day::parse("2031-03-01").unwrap());
        assert_eq!(a.days_until(b), (29, 59));
        assert_eq!(b.days_until(a), (-59, -29));
    }

    #[test]
    fn no_day_is_refused() {
        for text in [
            "",
            "2031",
            "2031-13",
            "2031-02-30",
            "31-02-03",
            "2031-2-3",
            "2031/02/03",
            "99999-01-01",
            "~",
            "2031-02-03-04",
        ] {
            assert!(Day::parse(text).is_err(), "{text}");
        }
    }
}
