//! How lamps are kept, as meant: when they are replaced, by whom, from which stock, and when fixtures are cleaned.

use lamp::Maintenance;
use scenario::form;
use units::{Dimension, Per};

use crate::clock::ClockPlan;
use crate::inputs::InputId;
use crate::reader::{Field, MONEY, Reader, Spot};

/// When lamps are replaced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RelampPlan {
    /// There is no replaceable lamp.
    Never,
    /// Each lamp when it has failed.
    OnFailure,
    /// All lamps together.
    Group {
        /// How far apart.
        every: Interval,
        /// Whether a lamp that fails in between is replaced.
        spot_between: bool,
        /// Whether the crew waits for the next turnaround.
        at_turnaround: bool,
        /// Weekday on which the crew comes, 0 for Monday.
        weekday: Option<u8>,
        /// Burn hours below which a lamp stays in.
        keep: Option<InputId>,
        /// Parts of the room that are relamped one after another.
        zones: usize,
    },
    /// Each lamp at an age or when it has failed.
    ByAge {
        /// The age.
        at: Interval,
    },
}

/// A stretch of burn hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Interval {
    /// So many hours, an input.
    Hours(InputId),
    /// So many hours, a decision under trial.
    Fixed(f64),
    /// So many crop cycles.
    Crops(u32),
    /// Until lamps have faded to a share of their initial flux.
    AtLight(InputId),
}

impl Interval {
    /// Burn hours in a trial; for crops a number of cycles.
    pub fn hours(self, values: &[f64], fading: &Maintenance) -> f64 {
        match self {
            Self::Hours(id) => values[id.index()],
            Self::Fixed(hours) => hours,
            Self::Crops(cycles) => f64::from(cycles),
            // as with stated hours, nothing is replaced more often than every 10 h
            Self::AtLight(share) => fading.age_at(values[share.index()]).max(INTERVAL.low),
        }
    }
}

impl EndPlan {
    /// Schedule hours before the horizon within which no group is relamped, in a trial.
    pub fn skip(&self, values: &[f64], fading: &Maintenance) -> f64 {
        self.skip_within.map_or(0.0, |within| within.hours(values, fading))
    }
}

impl RelampPlan {
    /// Group relamps with nothing special about them.
    pub fn group(every: f64, spot_between: bool) -> Self {
        let every = Interval::Fixed(every);
        Self::Group { every, spot_between, at_turnaround: false, weekday: None, keep: None, zones: 1 }
    }

    /// The interval, where it is an input of hours.
    pub fn interval(&self) -> Option<InputId> {
        match self {
            Self::Group { every: Interval::Hours(id), .. } | Self::ByAge { at: Interval::Hours(id) } => Some(*id),
            _ => None,
        }
    }

    /// Burn hours after which a lamp is surely out, in a trial; infinite when that is left to chance or to the crops.
    pub fn longest(&self, values: &[f64], fading: &Maintenance) -> f64 {
        match self {
            Self::Group { every: Interval::Crops(_), .. } | Self::Never | Self::OnFailure => f64::INFINITY,
            Self::Group { every: at, .. } | Self::ByAge { at } => at.hours(values, fading),
        }
    }

    pub(crate) fn is_plain(&self) -> bool {
        !matches!(self, Self::Group { keep: Some(_), .. }) && !matches!(self, Self::Group { zones: 2.., .. })
    }

    /// Moments of the schedule at which a zone is relamped in a trial, before some last moment.
    pub fn dates(
        &self,
        zone: usize,
        values: &[f64],
        fading: &Maintenance,
        clock: &ClockPlan,
        before: f64,
        dates: &mut Vec<f64>,
    ) {
        dates.clear();
        let Self::Group { every, at_turnaround, weekday, zones, .. } = *self else { return };
        let first = (zone + 1) as f64 / zones as f64;
        let hours = every.hours(values, fading);
        match every {
            Interval::Crops(_) => {
                let cycles = hours as usize;
                let from = ((first * hours).round() as usize).max(1);
                dates.extend(clock.timeline.turns.iter().skip(from - 1).step_by(cycles));
                dates.retain(|&date| date < before);
            }
            _ => clock.group_dates(hours, first, at_turnaround, before, dates),
        }
        if let Some(weekday) = weekday {
            dates.iter_mut().for_each(|date| *date = clock.on_weekday(*date, weekday));
            dates.retain(|&date| date < before);
        }
    }
}

/// A crew that is paid by visit and by the minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrewPlan {
    /// Paid for coming at all.
    pub call_out: InputId,
    /// Hire of the lift for a visit.
    pub lift: InputId,
    /// Pay by the hour.
    pub wage: InputId,
    /// Minutes for a failed lamp or a repair.
    pub spot_minutes: InputId,
    /// Minutes for a lamp of a planned replacement.
    pub planned_minutes: InputId,
    /// Least minutes of a visit that are paid.
    pub least_minutes: InputId,
}

/// Spare lamps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SparesPlan {
    /// On the shelf at the start.
    pub stock: Stock,
    /// Days from order to delivery.
    pub lead_time: InputId,
}

/// When fixtures are cleaned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CleaningPlan {
    /// When it is done.
    pub rhythm: Rhythm,
    /// Cost of cleaning one fixture.
    pub cost: InputId,
}

/// How many spares there are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stock {
    /// So many.
    Lamps(u32),
    /// As many as this share of lead times needs.
    Service(InputId),
}

/// How often fixtures are cleaned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rhythm {
    /// Every so many days, an input.
    Days(InputId),
    /// Every so many days.
    Fixed(f64),
    /// With each group relamp.
    WithGroup,
}

/// What is done about lamps towards the horizon.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EndPlan {
    /// Schedule hours before the horizon within which no group is relamped.
    pub skip_within: Option<Interval>,
    /// Share of its price that an unused lamp brings at the horizon.
    pub resale: Option<InputId>,
}

/// An interval of burn hours.
const INTERVAL: Field = Field::new(Dimension::Hours, 10.0, 1e6);

/// A share of initial flux to which lamps may fade.
pub(crate) const FLOOR: Field = Field::new(Dimension::Share, 0.05, 0.999);

/// Reads when lamps are replaced.
pub(crate) fn relamp(option: &form::FixtureOption, upkeep: &Spot, reader: &mut Reader) -> RelampPlan {
    let at = upkeep.member("relamp");
    let Some(relamp) = &option.upkeep.relamp else {
        if option.lamp.is_some() {
            reader.fault(&at, "nothing", "one of on_failure, group, by_age, because the option has a lamp");
        }
        return RelampPlan::Never;
    };
    if option.lamp.is_none() {
        reader.fault(&at, "a way of relamping", "none, because the option has no replaceable lamp");
    }
    reader.exactly_one(
        &at,
        &[
            ("on_failure", relamp.on_failure.is_some()),
            ("group", relamp.group.is_some()),
            ("by_age", relamp.by_age.is_some()),
        ],
    );
    if let Some(group) = &relamp.group {
        self::group(group, &at.member("group"), reader)
    } else if let Some(by_age) = &relamp.by_age {
        let at = at.member("by_age");
        reader.exactly_one(&at, &[("at", by_age.at.is_some()), ("at_light", by_age.at_light.is_some())]);
        let interval = match (&by_age.at, &by_age.at_light) {
            (Some(hours), _) => Interval::Hours(reader.figure(hours, &at.member("at"), INTERVAL)),
            (_, Some(share)) => Interval::AtLight(reader.figure(share, &at.member("at_light"), FLOOR)),
            _ => return RelampPlan::OnFailure,
        };
        RelampPlan::ByAge { at: interval }
    } else {
        RelampPlan::OnFailure
    }
}

fn group(group: &form::GroupRelamp, at: &Spot, reader: &mut Reader) -> RelampPlan {
    reader.exactly_one(
        at,
        &[
            ("every", group.every.is_some()),
            ("every_crops", group.every_crops.is_some()),
            ("at_light", group.at_light.is_some()),
        ],
    );
    let every = match (&group.every, group.every_crops, &group.at_light) {
        (Some(hours), ..) => Interval::Hours(reader.figure(hours, &at.member("every"), INTERVAL)),
        (_, Some(cycles), _) => {
            if cycles == 0 {
                reader.fault(&at.member("every_crops"), "0", "a whole number of crop cycles from 1 upwards");
            }
            Interval::Crops(cycles.max(1))
        }
        (_, _, Some(share)) => Interval::AtLight(reader.figure(share, &at.member("at_light"), FLOOR)),
        _ => Interval::Fixed(1e6),
    };
    let zones = group.zones.unwrap_or(1);
    if !(1..=1000).contains(&zones) {
        reader.fault(&at.member("zones"), zones.to_string(), "a whole number of zones from 1 to 1000");
    }
    RelampPlan::Group {
        every,
        spot_between: group.spot_between.unwrap_or(true),
        at_turnaround: group.at_turnaround.unwrap_or(false),
        weekday: group.on_weekday.map(|day| day as u8),
        keep: group
            .keep_younger_than
            .as_ref()
            .map(|hours| reader.figure(hours, &at.member("keep_younger_than"), Field::new(Dimension::Hours, 0.0, 1e6))),
        zones: zones.clamp(1, 1000) as usize,
    }
}

/// Reads the crew.
pub(crate) fn crew(crew: &form::Crew, at: &Spot, reader: &mut Reader) -> CrewPlan {
    let minutes = Field::new(Dimension::Minutes, 0.0, 1e5);
    let why = "nothing is paid for it";
    CrewPlan {
        call_out: reader.figure_or(crew.call_out.as_ref(), &at.member("call_out"), MONEY(Per::Visit), 0.0, why),
        lift: reader.figure_or(crew.lift.as_ref(), &at.member("lift"), MONEY(Per::Visit), 0.0, why),
        wage: reader.figure(&crew.wage, &at.member("wage"), MONEY(Per::Hour)),
        spot_minutes: reader.figure(&crew.spot_minutes, &at.member("spot_minutes"), minutes),
        planned_minutes: reader.figure(&crew.planned_minutes, &at.member("planned_minutes"), minutes),
        least_minutes: reader.figure_or(
            crew.least_time.as_ref(),
            &at.member("least_time"),
            minutes,
            0.0,
            "every minute is paid as it is worked",
        ),
    }
}

/// Reads the stock of spares.
pub(crate) fn spares(spares: &form::Spares, at: &Spot, reader: &mut Reader) -> SparesPlan {
    reader.exactly_one(at, &[("stock", spares.stock.is_some()), ("service", spares.service.is_some())]);
    let service = Field::new(Dimension::Share, 0.01, 0.9999);
    let stock = match (&spares.service, spares.stock) {
        (Some(share), _) => Stock::Service(reader.figure(share, &at.member("service"), service)),
        (None, stock) => Stock::Lamps(stock.unwrap_or(0)),
    };
    let lead_time = Field::new(Dimension::Days, 0.0, 3_650.0);
    SparesPlan { stock, lead_time: reader.figure(&spares.lead_time, &at.member("lead_time"), lead_time) }
}

/// Reads the cleaning.
pub(crate) fn cleaning(cleaning: &form::Cleaning, relamp: &RelampPlan, at: &Spot, reader: &mut Reader) -> CleaningPlan {
    reader.exactly_one(at, &[("every", cleaning.every.is_some()), ("with_group", cleaning.with_group.is_some())]);
    if cleaning.with_group.is_some() && !matches!(relamp, RelampPlan::Group { .. }) {
        reader.fault(&at.member("with_group"), "cleaning with each group relamp", "a group relamp to clean with");
    }
    let every = Field::new(Dimension::Days, 1.0, 36_500.0);
    CleaningPlan {
        rhythm: cleaning
            .every
            .as_ref()
            .map_or(Rhythm::WithGroup, |days| Rhythm::Days(reader.figure(days, &at.member("every"), every))),
        cost: reader.figure(&cleaning.cost, &at.member("cost"), MONEY(Per::Fixture)),
    }
}

/// Reads what is done towards the horizon.
pub(crate) fn end(end: &form::End, at: &Spot, reader: &mut Reader) -> EndPlan {
    let hours = Field::new(Dimension::Hours, 0.0, 1e6);
    let share = Field::new(Dimension::Share, 0.0, 1.0);
    EndPlan {
        skip_within: end
            .skip_within
            .as_ref()
            .map(|figure| Interval::Hours(reader.figure(figure, &at.member("skip_within"), hours))),
        resale: end.resale.as_ref().map(|figure| reader.figure(figure, &at.member("resale"), share)),
    }
}
