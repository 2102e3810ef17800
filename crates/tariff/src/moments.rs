//! Sets of moments of the year, and the rule that the first energy price that fits counts.

/// What a tariff knows of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Day {
    /// Month, 1 to 12.
    pub month: u8,
    /// Index of the season; 0 when there are none.
    pub season: u8,
    /// Kinds of day that it counts as: bit d for weekday d (Monday is 0), [`HOLIDAY`] for a holiday.
    pub kinds: u8,
}

/// Bit of [`Day::kinds`] for a holiday.
pub const HOLIDAY: u8 = 1 << 7;
/// Every kind of day.
pub const ANY_DAY: u8 = 0xFF;
/// Minutes of a day.
const DAY_END: u16 = 24 * 60;

/// A set of moments of the year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moments {
    /// Bit s is set when season s belongs.
    pub seasons: u32,
    /// Bit m−1 is set when month m belongs.
    pub months: u16,
    /// A day belongs when it counts as one of these kinds.
    pub kinds: u8,
    /// First minute of the day.
    pub from: u16,
    /// End, itself outside; not later than `from`: over midnight, and each day's hours are judged by that day.
    pub until: u16,
}

impl Moments {
    /// Every moment.
    pub const ALL: Self = Self { seasons: u32::MAX, months: 0x0FFF, kinds: ANY_DAY, from: 0, until: DAY_END };

    /// Whether a day's season and month belong, whatever its kind.
    pub fn in_season(self, month: u8, season: u8) -> bool {
        (1..=12).contains(&month)
            && self.months >> (month - 1) & 1 == 1
            && season < 32
            && self.seasons >> season & 1 == 1
    }

    /// Whether a moment belongs.
    ///
    /// ```
    /// use tariff::{Day, Moments};
    /// let night = Moments { kinds: 0b1_1111, from: 21 * 60, until: 7 * 60, ..Moments::ALL };
    /// let monday = Day { month: 3, season: 0, kinds: 1 };
    /// assert!(night.contains(monday, 23 * 60));
    /// assert!(night.contains(monday, 6 * 60 + 59));
    /// assert!(!night.contains(monday, 7 * 60));
    /// assert!(!night.contains(Day { kinds: 1 << 5, ..monday }, 23 * 60));
    /// ```
    pub fn contains(self, day: Day, minute: u16) -> bool {
        let in_day = if self.from < self.until {
            (self.from..self.until).contains(&minute)
        } else {
            minute >= self.from || minute < self.until
        };
        in_day && self.kinds & day.kinds != 0 && self.in_season(day.month, day.season)
    }

    /// Minutes of the day at which it begins or ends.
    pub fn edges(self) -> [u16; 2] {
        [self.from, self.until]
    }
}

/// Whether a moment belongs to any of some sets.
pub fn any(sets: &[Moments], day: Day, minute: u16) -> bool {
    sets.iter().any(|set| set.contains(day, minute))
}

/// Every minute of the day at which one of some sets may begin or end, 0 included, the day's end not; rising.
pub fn edges<'a>(sets: impl IntoIterator<Item = &'a Moments>) -> Vec<u16> {
    let mut minutes: Vec<u16> = sets.into_iter().flat_map(|set| set.edges()).filter(|&m| m < DAY_END).collect();
    minutes.push(0);
    minutes.sort_unstable();
    minutes.dedup();
    minutes
}

/// Index of the first rule that holds at a moment.
pub fn first_fit<R: AsRef<[Moments]>>(rules: &[R], day: Day, minute: u16) -> Option<usize> {
    rules.iter().position(|rule| any(rule.as_ref(), day, minute))
}

/// Indices of rules that never hold, because earlier rules take all their moments; `days` are all kinds of day there are.
///
/// ```
/// use tariff::{Day, Moments, unreached};
/// let days = [Day { month: 1, season: 0, kinds: 1 }];
/// let late = Moments { from: 600, until: 1200, ..Moments::ALL };
/// assert_eq!(unreached(&[[Moments::ALL], [late]], &days), vec![1]);
/// ```
pub fn unreached<R: AsRef<[Moments]>>(rules: &[R], days: &[Day]) -> Vec<usize> {
    let minutes = edges(rules.iter().flat_map(AsRef::as_ref));
    let mut reached = vec![false; rules.len()];
    for &day in days {
        for &minute in &minutes {
            if let Some(rule) = first_fit(rules, day, minute) {
                reached[rule] = true;
            }
        }
    }
    (0..rules.len()).filter(|&rule| !reached[rule]).collect()
}

/// The first moment for which no rule holds, and the minute at which that ends.
///
/// ```
/// use tariff::{Day, Moments, uncovered};
/// let days = [Day { month: 1, season: 0, kinds: 1 }];
/// assert_eq!(uncovered(&[[Moments::ALL]], &days), None);
/// let daytime = Moments { from: 480, until: 1200, ..Moments::ALL };
/// assert_eq!(uncovered(&[[daytime]], &days), Some((days[0], 0, 480)));
/// ```
pub fn uncovered<R: AsRef<[Moments]>>(rules: &[R], days: &[Day]) -> Option<(Day, u16, u16)> {
    let minutes = edges(rules.iter().flat_map(AsRef::as_ref));
    days.iter().find_map(|&day| {
        let gap = minutes.iter().position(|&minute| first_fit(rules, day, minute).is_none())?;
        let until = minutes[gap..].iter().find(|&&minute| first_fit(rules, day, minute).is_some());
        Some((day, minutes[gap], until.copied().unwrap_or(DAY_END)))
    })
}
