//! Electricity contracts as meant: whose hours, whose prices, on which clock.

use calendar::{Minute, Photoperiod};
use scenario::fault::Fault;
use scenario::form::{self, Day, When};
use tariff::Hours;
use units::{Dimension, Per};

use crate::clock::ClockPlan;
use crate::inputs::InputId;
use crate::reader::{Field, Reader, Spot};

/// An electricity contract.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ContractPlan {
    /// Its name.
    pub name: String,
    /// Index of its clock in the plan.
    pub clock: usize,
    /// Price of energy in each clock class, currency per kWh.
    pub energy: Vec<InputId>,
    /// Demand charges; they add up.
    pub demand: Vec<DemandPlan>,
    /// Yearly change of its prices beyond general inflation.
    pub price_change: InputId,
    /// Light windows of the first phase, in words.
    pub lights: String,
}

/// A demand charge.
#[derive(Debug, Clone, PartialEq)]
pub struct DemandPlan {
    /// Price of the month's peak, currency per kW and month.
    pub price: InputId,
    /// Highest share of full power inside its window, for each month of the horizon.
    pub peak_share: Vec<f64>,
}

/// A contract whose hours are read and whose clock is not yet laid out.
pub(crate) struct Draft {
    pub name: String,
    pub photoperiod: Photoperiod,
    pub energy: Vec<(Hours, InputId)>,
    pub demand: Vec<(Hours, InputId)>,
    pub price_change: InputId,
}

/// Reads a time of day; a fault and midnight when it is none.
pub(crate) fn minute(text: &str, at: &Spot, reader: &mut Reader) -> Minute {
    Minute::parse(text).unwrap_or_else(|| {
        reader.fault(at, format!("\"{text}\""), "a time of day as HH:MM from 00:00 to 24:00");
        Minute::MIDNIGHT
    })
}

/// Reads a contract; faults go to the reader.
pub(crate) fn read(contract: &form::Contract, at: &Spot, photoperiod: &Photoperiod, reader: &mut Reader) -> Draft {
    let tariff = &contract.tariff.0;
    let tariff_at = at.member("tariff");
    if tariff.energy.is_empty() {
        reader.fault(&tariff_at.member("energy"), "an empty list", "at least one energy price");
    }
    let energy: Vec<(Hours, InputId)> = tariff
        .energy
        .iter()
        .enumerate()
        .map(|(k, rule)| {
            let at = tariff_at.member("energy").item(k);
            let price = Field::new(Dimension::Money(Per::Kwh), 0.0, 1e7);
            (hours(rule.when.as_ref(), &at, reader), reader.figure(&rule.price, &at.member("price"), price))
        })
        .collect();
    let demand = tariff
        .demand
        .iter()
        .enumerate()
        .map(|(k, rule)| {
            let at = tariff_at.member("demand").item(k);
            let price = Field::new(Dimension::Money(Per::KwMonth), 0.0, 1e9);
            (hours(rule.when.as_ref(), &at, reader), reader.figure(&rule.price, &at.member("price"), price))
        })
        .collect();
    let rules: Vec<Hours> = energy.iter().map(|&(hours, _)| hours).collect();
    if let (false, Some((month, weekday, minute))) = (rules.is_empty(), tariff::uncovered(&rules)) {
        const DAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
        let moment = format!("{} at {}", DAYS[usize::from(weekday)], Minute::MIDNIGHT.later(i32::from(minute)));
        reader.faults.push(
            Fault::value(
                tariff_at.member("energy").pointer,
                format!("no price for {moment} in month {month}"),
                "a price for every hour of the year",
            )
            .with_hint("a last rule without `when` holds always"),
        );
    }
    for rule in tariff::unreached(&rules) {
        let place = &tariff_at.member("energy").item(rule).place;
        reader.remarks.push(format!(
            "{place} never applies: earlier prices take all its hours. The first price that fits counts; put special hours first"
        ));
    }
    let photoperiod = match &contract.lights_on {
        None => photoperiod.clone(),
        Some(text) => photoperiod.starting_at(minute(text, &at.member("lights_on"), reader)),
    };
    let price_change = reader.figure_or(
        contract.price_change.as_ref(),
        &at.member("price_change"),
        Field::above(Dimension::PerYear, -0.5, 1.0),
        0.0,
        "prices are taken to follow general inflation",
    );
    Draft { name: contract.name.clone(), photoperiod, energy, demand, price_change }
}

impl Draft {
    /// The contract on its clock.
    pub(crate) fn settle(self, index: usize, clock: &ClockPlan, rule_of_class: &[usize]) -> ContractPlan {
        let windows = self.photoperiod.phases.first().map_or(&[][..], |phase| &phase.windows);
        let lights: Vec<String> = windows.iter().map(|window| format!("{}–{}", window.on, window.off)).collect();
        ContractPlan {
            name: self.name,
            clock: index,
            energy: rule_of_class.iter().map(|&rule| self.energy[rule].1).collect(),
            demand: self
                .demand
                .into_iter()
                .map(|(hours, price)| DemandPlan { price, peak_share: clock.peak_shares(hours) })
                .collect(),
            price_change: self.price_change,
            lights: lights.join(", "),
        }
    }
}

fn hours(when: Option<&When>, at: &Spot, reader: &mut Reader) -> Hours {
    let Some(when) = when else { return Hours::ALL };
    let at = at.member("when");
    let all_months: Vec<u8> = (1..=12).collect();
    let months = when.months.clone().unwrap_or(all_months);
    for (k, month) in months.iter().enumerate().filter(|(_, month)| !(1..=12).contains(*month)) {
        reader.fault(&at.member("months").item(k), month.to_string(), "a month from 1 to 12");
    }
    if months.is_empty() {
        reader.fault(&at.member("months"), "an empty list", "months from 1 to 12, or no `months` for all");
    }
    let weekdays: Vec<u8> = match &when.days {
        None => (0..7).collect(),
        Some(days) if days.is_empty() => {
            reader.fault(&at.member("days"), "an empty list", "days, or no `days` for all");
            vec![]
        }
        Some(days) => days.iter().flat_map(|day| weekdays(*day)).collect(),
    };
    let from = when.from.as_ref().map_or(Minute::MIDNIGHT, |text| minute(text, &at.member("from"), reader));
    let until = when.until.as_ref().map_or(Minute::DAY_END, |text| minute(text, &at.member("until"), reader));
    if from == until {
        reader.fault(&at, format!("a window from {from} until {until}"), "two different times");
    }
    Hours::new(&months, &weekdays, from.of_day(), until.of_day())
}

fn weekdays(day: Day) -> Vec<u8> {
    match day {
        Day::Mon => vec![0],
        Day::Tue => vec![1],
        Day::Wed => vec![2],
        Day::Thu => vec![3],
        Day::Fri => vec![4],
        Day::Sat => vec![5],
        Day::Sun => vec![6],
        Day::Weekday => (0..5).collect(),
        Day::Weekend => vec![5, 6],
    }
}
