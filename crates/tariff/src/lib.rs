//! Which price holds when: sets of hours of the year and the rule that the first energy price that fits counts.
//!
//! Floor 1. Prices themselves may be uncertain and live in the plan; here are only their hours. Energy prices exclude
//! one another (the first that fits counts); demand charges add up (each has a window and a peak of its own).

/// A set of hours of the year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hours {
    /// Bit m−1 is set when month m belongs.
    months: u16,
    /// Bit d is set when weekday d (Monday is 0) belongs.
    weekdays: u8,
    /// First minute of the day.
    from: u16,
    /// End, itself outside; not later than `from`: over midnight, and each day's hours are judged by that day.
    until: u16,
}

impl Hours {
    /// Every hour of the year.
    pub const ALL: Self = Self { months: 0x0FFF, weekdays: 0x7F, from: 0, until: 24 * 60 };

    /// Hours of the given months (1 to 12), weekdays (Monday is 0) and minutes of the day. Numbers out of range are
    /// ignored.
    pub fn new(months: &[u8], weekdays: &[u8], from: u16, until: u16) -> Self {
        Self {
            months: months.iter().filter(|m| (1..=12).contains(*m)).fold(0, |set, m| set | 1 << (m - 1)),
            weekdays: weekdays.iter().filter(|d| **d < 7).fold(0, |set, d| set | 1 << d),
            from,
            until,
        }
    }

    /// Whether a moment belongs.
    ///
    /// ```
    /// use tariff::Hours;
    /// let night = Hours::new(&(1..=12).collect::<Vec<_>>(), &[0, 1, 2, 3, 4], 21 * 60, 7 * 60);
    /// assert!(night.contains(3, 0, 23 * 60));
    /// assert!(night.contains(3, 0, 6 * 60 + 59));
    /// assert!(!night.contains(3, 0, 7 * 60));
    /// assert!(!night.contains(3, 5, 23 * 60));
    /// ```
    pub fn contains(self, month: u8, weekday: u8, minute: u16) -> bool {
        let in_day = if self.from < self.until {
            (self.from..self.until).contains(&minute)
        } else {
            minute >= self.from || minute < self.until
        };
        (1..=12).contains(&month)
            && self.months >> (month - 1) & 1 == 1
            && weekday < 7
            && self.weekdays >> weekday & 1 == 1
            && in_day
    }

    /// Minutes of the day at which it begins or ends.
    pub fn edges(self) -> [u16; 2] {
        [self.from, self.until]
    }
}

/// Index of the first rule that holds at a moment.
pub fn first_fit(rules: &[Hours], month: u8, weekday: u8, minute: u16) -> Option<usize> {
    rules.iter().position(|rule| rule.contains(month, weekday, minute))
}

/// Indices of rules that never hold, because earlier rules take all their hours.
///
/// ```
/// use tariff::{Hours, unreached};
/// assert_eq!(unreached(&[Hours::ALL, Hours::new(&[7], &[0], 600, 1200)]), vec![1]);
/// ```
pub fn unreached(rules: &[Hours]) -> Vec<usize> {
    let minutes = edges(rules);
    let mut reached = vec![false; rules.len()];
    for month in 1..=12 {
        for weekday in 0..7 {
            for &minute in &minutes {
                if let Some(rule) = first_fit(rules, month, weekday, minute) {
                    reached[rule] = true;
                }
            }
        }
    }
    (0..rules.len()).filter(|&rule| !reached[rule]).collect()
}

/// Every minute of the day at which something may change, 0 included; between two of them nothing does.
fn edges(rules: &[Hours]) -> Vec<u16> {
    let mut minutes: Vec<u16> = rules.iter().flat_map(|rule| rule.edges()).filter(|&m| m < 24 * 60).collect();
    minutes.push(0);
    minutes.sort_unstable();
    minutes.dedup();
    minutes
}

/// The first moment (month, weekday, minute) of the year for which no rule holds, if there is one.
///
/// ```
/// use tariff::{Hours, uncovered};
/// assert_eq!(uncovered(&[Hours::ALL]), None);
/// let days_only = Hours::new(&(1..=12).collect::<Vec<_>>(), &(0..7).collect::<Vec<_>>(), 8 * 60, 20 * 60);
/// assert_eq!(uncovered(&[days_only]), Some((1, 0, 0)));
/// ```
pub fn uncovered(rules: &[Hours]) -> Option<(u8, u8, u16)> {
    let minutes = edges(rules);
    (1..=12)
        .flat_map(|month| (0..7).map(move |weekday| (month, weekday)))
        .flat_map(|(month, weekday)| minutes.iter().map(move |&minute| (month, weekday, minute)))
        .find(|&(month, weekday, minute)| first_fit(rules, month, weekday, minute).is_none())
}
