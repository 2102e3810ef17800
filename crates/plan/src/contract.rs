//! Electricity contracts as meant: a rate sheet laid out on the room's days, and what its meter shows of the room.

use calendar::{Days, Photoperiod, Timer};
use jiff::civil::Date;
use meter::{BaseStep, LightStep, Lit, Piece, ReadDays, Registers, Schedule};
use scenario::MONTHS;
use scenario::form::{self, Outside};
use tariff::{Reading, Sheet};
use units::Dimension;

use crate::clock::ClockPlan;
use crate::hours;
use crate::inputs::InputId;
use crate::path::{self, PathPlan};
use crate::reader::{Field, Reader, Spot, shown};
use crate::sheet;
use crate::{CoolingPlan, SitePlan};

/// An electricity contract.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ContractPlan {
    /// Its name.
    pub name: String,
    /// Index of its clock in the plan.
    pub clock: usize,
    /// Light windows of the first phase, in words.
    pub lights: String,
    /// Name of its rate sheet, if it has one.
    pub tariff: Option<String>,
    /// Its rate sheet.
    pub sheet: Sheet,
    /// The sheet's prices in the table of inputs.
    pub prices: Vec<InputId>,
    /// The sheet laid out on the room's days.
    pub schedule: Schedule,
    /// Factor on all its prices.
    pub price_level: InputId,
    /// Yearly change of all its prices beyond general inflation.
    pub price_change: InputId,
    /// How its prices move part by part.
    pub path: PathPlan,
    /// Peaks before the start by demand rule, kW, the latest last.
    pub before: Vec<Vec<f64>>,
    /// Lights and cooling of the room on its clock.
    pub lit: LitPlan,
    /// What the meter shows of the base load alone, period by period; nothing when the lights have a meter of their own.
    pub without: Vec<Reading>,
    /// Questions about the sheet that are still open.
    pub open_questions: Vec<String>,
}

/// The room's lights on a contract's meter.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LitPlan {
    /// Base load as steps in time.
    pub base: Vec<BaseStep>,
    /// Lights and cooling as steps in time.
    pub steps: Vec<LightStep>,
    /// What the registers show with every socket lit, period by period.
    pub registers: Vec<Registers>,
    /// Pieces of time in which lights or cooling draw power.
    pub pieces: Vec<Piece>,
}

/// A contract whose sheet is read and whose clock is not yet laid out.
pub(crate) struct Draft {
    pub name: String,
    pub photoperiod: Photoperiod,
    pub tariff: Option<String>,
    pub sheet: Sheet,
    pub prices: Vec<InputId>,
    pub price_level: InputId,
    pub price_change: InputId,
    pub path: PathPlan,
    pub before: Vec<Vec<f64>>,
    pub read: ReadDays,
    pub open_questions: Vec<String>,
}

/// What the contracts' reading needs to know of the scenario.
pub(crate) struct Frame<'a> {
    pub photoperiod: &'a Photoperiod,
    pub first_day: Option<Date>,
    pub years: u32,
    pub real: bool,
}

/// Reads a contract; faults go to the reader.
pub(crate) fn read(contract: &form::Contract, at: &Spot, frame: &Frame, reader: &mut Reader) -> Draft {
    let tariff = &contract.tariff.0;
    let tariff_at = at.member("tariff");
    let sheet::Read { sheet, prices } = sheet::read(tariff, &tariff_at, reader);
    if let Some(first) = frame.first_day {
        in_force(tariff, &tariff_at, first, frame.years, &contract.name, reader);
    }
    let photoperiod = match &contract.lights_on {
        None => frame.photoperiod.clone(),
        Some(text) => frame.photoperiod.starting_at(hours::minute(text, &at.member("lights_on"), reader)),
    };
    let level_at = at.member("price_level");
    let level_field = Field::new(Dimension::Number, 0.0, 1e3);
    let price_level = match &contract.price_level {
        Some(figure) => reader.figure(figure, &level_at, level_field),
        None => reader.handle(&level_at, level_field, 1.0, "prices as written"),
    };
    let price_change = reader.figure_or(
        contract.price_change.as_ref(),
        &at.member("price_change"),
        Field::above(Dimension::PerYear, -0.5, 1.0),
        0.0,
        "prices are taken to follow general inflation",
    );
    let months = frame.years as usize * 12;
    let first_month = frame.first_day.map_or(1, |day| day.month() as u8);
    let path_at = at.member("price_path");
    let path = path::read(contract.price_path.as_ref(), &path_at, months, first_month, frame.real, reader);
    if path.nominal && contract.price_change.is_some() {
        let found = "a change beyond inflation beside a nominal path";
        reader.fault(&at.member("price_change"), found, "one or the other");
    }
    Draft {
        name: contract.name.clone(),
        photoperiod,
        tariff: tariff.name.clone(),
        before: peaks_before(contract, &sheet, at, reader),
        read: read_days(contract, at, frame, reader),
        sheet,
        prices,
        price_level,
        price_change,
        path,
        open_questions: tariff.open_questions.clone(),
    }
}

/// Faults or remarks where the horizon leaves the dates of a tariff.
fn in_force(tariff: &form::Tariff, at: &Spot, first: Date, years: u32, contract: &str, reader: &mut Reader) {
    let Some(valid) = &tariff.valid else { return };
    let at = at.member("valid");
    let from = valid.from.as_ref().and_then(|text| hours::date(text, &at.member("from"), reader));
    let until = valid.until.as_ref().and_then(|text| hours::date(text, &at.member("until"), reader));
    if let (Some(from), Some(until)) = (from, until)
        && until < from
    {
        reader.fault(&at.member("until"), until.to_string(), format!("{from} or later"));
        return;
    }
    let Ok(end) = first.checked_add(jiff::Span::new().years(i64::from(years))) else { return };
    let Ok(last) = end.yesterday() else { return };
    let month = |date: Date| format!("{} {}", MONTHS[date.month() as usize - 1], date.year());
    let early = from.filter(|from| *from > first);
    let late = until.filter(|until| *until < last);
    if early.is_none() && late.is_none() {
        return;
    }
    let before = early.map(|from| format!("{} to the day before {from}", month(first)));
    let after = late.map(|until| format!("the day after {until} to {}", month(last)));
    let spell = if from.is_some_and(|from| from > last) || until.is_some_and(|until| until < first) {
        format!("all of it, {} to {}", month(first), month(last))
    } else {
        before.into_iter().chain(after).collect::<Vec<_>>().join(", and ")
    };
    if valid.outside == Some(Outside::UseAnyway) {
        reader.remarks.push(format!("{contract}: prices are used outside their dates, {spell}"));
    } else {
        reader.hinted(
            &at,
            format!("a horizon that leaves the tariff's dates: {spell}"),
            "periods inside the tariff's dates",
            "\"outside\": \"use_anyway\" uses the prices all the same",
        );
    }
}

fn peaks_before(contract: &form::Contract, sheet: &Sheet, at: &Spot, reader: &mut Reader) -> Vec<Vec<f64>> {
    let mut before = vec![vec![]; sheet.demand.len()];
    for (k, peaks) in contract.peaks_before.iter().enumerate() {
        let at = at.member("peaks_before").item(k);
        for (j, kw) in peaks.kw.iter().enumerate().filter(|(_, kw)| !(0.0..=1e9).contains(*kw)) {
            reader.fault(&at.member("kw").item(j), format!("{} kW", shown(*kw)), "0 to 1e9 kW");
        }
        match sheet.demand.iter().position(|rule| rule.name == peaks.demand) {
            Some(rule) => before[rule] = peaks.kw.clone(),
            None => {
                let names: Vec<&str> = sheet.demand.iter().map(|rule| rule.name.as_str()).collect();
                let allowed = match names.as_slice() {
                    [] => "no `peaks_before`: the tariff has no demand charge".to_owned(),
                    names => format!("the name of a demand charge: {}", names.join(", ")),
                };
                reader.fault(&at.member("demand"), format!("\"{}\"", peaks.demand), allowed);
            }
        }
    }
    before
}

fn read_days(contract: &form::Contract, at: &Spot, frame: &Frame, reader: &mut Reader) -> ReadDays {
    let day_at = at.member("read_day");
    if contract.read_day.is_some() && contract.read_dates.is_some() {
        reader.fault(&day_at, "a day beside `read_dates`", "one of the two");
    }
    if let Some(texts) = &contract.read_dates {
        let at = at.member("read_dates");
        let dates: Vec<Date> =
            texts.iter().enumerate().filter_map(|(k, text)| hours::date(text, &at.item(k), reader)).collect();
        if let Some(k) = (1..dates.len()).find(|&k| dates[k] <= dates[k - 1]) {
            reader.fault(&at.item(k), dates[k].to_string(), format!("a day after {}", dates[k - 1]));
        }
        let end = frame.first_day.and_then(|f| f.checked_add(jiff::Span::new().years(i64::from(frame.years))).ok());
        if let (Some(end), last) = (end, dates.last())
            && last.is_none_or(|last| last.duration_until(end).as_hours() > 62 * 24)
        {
            let found = last.map_or("no day".to_owned(), |last| format!("{last} as the last day"));
            reader.fault(&at, found, format!("days up to two months before the horizon ends on {end}"));
        }
        return ReadDays::On(dates);
    }
    let day = contract.read_day.unwrap_or(1);
    if !(1..=28).contains(&day) {
        reader.fault(&day_at, format!("day {day}"), "a day from 1 to 28");
    }
    ReadDays::Each(day.clamp(1, 28) as i8)
}

impl Draft {
    /// The contract on its clock.
    pub(crate) fn settle(
        self,
        index: usize,
        clock: &ClockPlan,
        days: &Days,
        site: &SitePlan,
        cooling: Option<&CoolingPlan>,
    ) -> ContractPlan {
        let windows = self.photoperiod.phases.first().map_or(&[][..], |phase| &phase.windows);
        let lights: Vec<String> = windows.iter().map(|window| format!("{}–{}", window.on, window.off)).collect();
        let schedule = Schedule::new(&self.sheet, days, &self.read);
        let (lag, factors) = cooling.map_or((0, [1.0; 12]), |c| (c.lag_seconds, c.cop_by_month));
        let steps = meter::light_steps(&[(1.0, &clock.timeline)], lag, &factors, days);
        let lit = LitPlan::new(&schedule, &site.base, steps);
        let without = if site.loads.is_empty() { vec![] } else { base_readings(&self.sheet, &schedule, &site.base) };
        ContractPlan {
            name: self.name,
            clock: index,
            lights: match self.photoperiod.timer {
                Timer::Civil => lights.join(", "),
                Timer::Standard => format!("{} standard time", lights.join(", ")),
            },
            tariff: self.tariff,
            prices: self.prices,
            price_level: self.price_level,
            price_change: self.price_change,
            path: self.path,
            before: self.before,
            lit,
            without,
            open_questions: self.open_questions,
            sheet: self.sheet,
            schedule,
        }
    }
}

impl LitPlan {
    /// What a meter shows of lights with every socket lit.
    pub fn new(schedule: &Schedule, base: &[BaseStep], steps: Vec<LightStep>) -> Self {
        let mut pieces = vec![];
        let registers = (0..schedule.periods.len())
            .map(|period| {
                let mut registers = Registers::default();
                schedule.read(period, base, &steps, true, &mut registers, |piece| {
                    if piece.mix.lights > 0.0 || piece.mix.cool > 0.0 {
                        pieces.push(*piece);
                    }
                });
                registers
            })
            .collect();
        Self { base: base.to_vec(), steps, registers, pieces }
    }
}

/// What a meter shows of the base load alone.
fn base_readings(sheet: &Sheet, schedule: &Schedule, base: &[BaseStep]) -> Vec<Reading> {
    let none = [LightStep { t: 0, lights: 0.0, cool: 0.0, u: 0.0 }];
    let mut registers = Registers::default();
    (0..schedule.periods.len())
        .map(|period| {
            let mut reading = Reading::default();
            schedule.reading(sheet, period, base, &none, Lit::default(), &mut registers, &mut reading);
            reading
        })
        .collect()
}
