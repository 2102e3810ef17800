//! Reading what is said of the room as a whole: names, dates, money, cooling, photoperiod.

use calendar::{Phase, Photoperiod, Timer, Window};
use finance::Booking;
use jiff::civil::Date;
use scenario::figure::Figure;
use scenario::form::{self, Scenario};
use units::{Dimension, Per};

use crate::hours::{self, minute};
use crate::reader::{Field, MONEY, Reader, Spot, is_currency};
use crate::{BaseLoadPlan, BuildOutPlan, CoolingPlan, MoneyPlan, SitePlan};

/// Longest horizon, years.
pub(crate) const MAX_YEARS: u32 = 60;
/// Most contracts or options.
const MAX_ITEMS: usize = 200;
/// Longest name or title, characters.
const MAX_NAME: usize = 500;

/// Names, counts and codes.
pub(crate) fn heading(scenario: &Scenario, root: &Spot, reader: &mut Reader) {
    let mut text = |at: &Spot, text: &str| {
        if text.trim().is_empty() {
            reader.fault(at, "an empty text", format!("1 to {MAX_NAME} characters"));
        } else if text.chars().count() > MAX_NAME {
            reader.fault(at, format!("{} characters", text.chars().count()), format!("1 to {MAX_NAME} characters"));
        }
    };
    text(&root.member("title"), &scenario.title);
    let lists = [
        ("contracts", scenario.contracts.iter().map(|c| c.name.as_str()).collect::<Vec<_>>()),
        ("options", scenario.options.iter().map(|o| o.name.as_str()).collect()),
    ];
    for (key, names) in &lists {
        for (k, name) in names.iter().enumerate() {
            text(&root.member(key).item(k).member("name"), name);
        }
    }
    for (key, names) in lists {
        let at = root.member(key);
        if names.is_empty() || names.len() > MAX_ITEMS {
            reader.fault(&at, format!("{} items", names.len()), format!("1 to {MAX_ITEMS} items"));
        }
        for (k, name) in names.iter().enumerate() {
            if names[..k].contains(name) {
                let spot = at.item(k).member("name");
                reader.fault(&spot, format!("\"{name}\" a second time"), "a name that no other item has");
            }
        }
    }
    let code = &scenario.currency;
    if !is_currency(code) {
        reader.fault(
            &root.member("currency"),
            format!("\"{code}\""),
            "an ISO 4217 code of three capitals, such as USD",
        );
    }
    if !(1..=MAX_YEARS).contains(&scenario.horizon_years) {
        let found = format!("{} years", scenario.horizon_years);
        reader.fault(&root.member("horizon_years"), found, format!("1 to {MAX_YEARS} whole years"));
    }
    if let Some(month) = &scenario.prices_of
        && (month.len() != 7 || format!("{month}-01").parse::<Date>().is_err())
    {
        reader.fault(&root.member("prices_of"), format!("\"{month}\""), "a month as YYYY-MM");
    }
}

pub(crate) fn first_day(text: &str, root: &Spot, reader: &mut Reader) -> Option<Date> {
    let day = text
        .parse::<Date>()
        .ok()
        .filter(|day| text.len() == 10 && day.day() == 1 && (1970..=2200).contains(&day.year()));
    if day.is_none() {
        let allowed = "the first of a month as YYYY-MM-DD, from 1970-01-01 to 2200-12-01";
        reader.fault(&root.member("start"), format!("\"{text}\""), allowed);
    }
    day
}

pub(crate) fn money(money: &form::Money, at: &Spot, reader: &mut Reader) -> MoneyPlan {
    let rate = Field::above(Dimension::PerYear, -0.5, 1.0);
    let inflation_at = at.member("inflation");
    let inflation = match (money.basis, &money.inflation) {
        (form::Basis::Nominal, figure) => {
            Some(reader.figure_needed(figure.as_ref(), &inflation_at, rate, "nominal money needs it; 0 may be written"))
        }
        (form::Basis::Real, None) => None,
        (form::Basis::Real, Some(_)) => {
            reader.fault(&inflation_at, "an inflation rate beside real money", "none, or the basis \"nominal\"");
            None
        }
    };
    MoneyPlan {
        discount_rate: reader.figure(&money.discount_rate, &at.member("discount_rate"), rate),
        inflation,
        booking: match money.booked {
            None | Some(form::Booked::EndOfMonth) => Booking::End,
            Some(form::Booked::MidMonth) => Booking::Middle,
        },
        tax: money.tax.as_ref().map(|tax| crate::tax::tax(tax, &at.member("tax"), reader)),
        loan: money.loan.as_ref().map(|loan| crate::tax::loan(loan, &at.member("loan"), reader)),
    }
}

pub(crate) fn cooling(cooling: &form::Cooling, at: &Spot, reader: &mut Reader) -> CoolingPlan {
    let mut cop_by_month = [1.0; 12];
    if let Some(factors) = &cooling.cop_by_month {
        let spot = at.member("cop_by_month");
        match <[f64; 12]>::try_from(factors.as_slice()) {
            Ok(twelve) => cop_by_month = twelve,
            Err(_) => reader.fault(&spot, format!("{} numbers", factors.len()), "twelve numbers, January first"),
        }
        for (k, factor) in factors.iter().enumerate().filter(|(_, factor)| !(0.0..=100.0).contains(*factor)) {
            reader.fault(&spot.item(k), factor.to_string(), "0 to 100");
        }
    }
    let lag = cooling.lag_minutes.unwrap_or(0);
    if lag > 24 * 60 {
        reader.fault(&at.member("lag_minutes"), format!("{lag} min"), "at most 1 440 min");
    }
    CoolingPlan {
        cop: reader.figure(&cooling.cop, &at.member("cop"), Field::new(Dimension::Cop, 0.2, 50.0)),
        heat_share: reader.figure_or(
            cooling.heat_share.as_ref(),
            &at.member("heat_share"),
            Field::new(Dimension::Share, 0.0, 1.0),
            1.0,
            "all wall power ends as heat in the cooled space",
        ),
        cop_by_month,
        lag_seconds: i64::from(lag) * 60,
        kvar_per_kw: kvar_per_kw(cooling.power_factor, &at.member("power_factor"), reader),
    }
}

pub(crate) fn build_out(build: &form::BuildOut, at: &Spot, reader: &mut Reader) -> BuildOutPlan {
    if build.service.is_none() && build.cooling_plant.is_none() {
        reader.fault(at, "neither", "`service` or `cooling_plant`, or both");
    }
    let mut read = |figure: &Option<Figure>, key: &str| {
        figure.as_ref().map(|figure| reader.figure(figure, &at.member(key), MONEY(Per::Kw)))
    };
    BuildOutPlan {
        service: read(&build.service, "service"),
        cooling_plant: read(&build.cooling_plant, "cooling_plant"),
    }
}

/// kvar for each kW at a power factor; 0 when it is not stated.
pub(crate) fn kvar_per_kw(power_factor: Option<f64>, at: &Spot, reader: &mut Reader) -> f64 {
    let pf = power_factor.unwrap_or(1.0);
    if !(0.05..=1.0).contains(&pf) {
        reader.fault(at, pf.to_string(), "a power factor from 0.05 to 1");
        return 0.0;
    }
    (1.0 - pf * pf).sqrt() / pf
}

/// Loads beside the lights.
pub(crate) fn site(loads: &[form::BaseLoad], at: &Spot, reader: &mut Reader) -> SitePlan {
    if loads.len() > MAX_ITEMS {
        reader.fault(at, format!("{} items", loads.len()), format!("at most {MAX_ITEMS} items"));
    }
    let loads = loads
        .iter()
        .take(MAX_ITEMS)
        .enumerate()
        .map(|(k, load)| {
            let at = at.named(k, &load.name);
            let power_at = at.member("power");
            let id = reader.figure(&load.power, &power_at, Field::new(Dimension::Power, 0.0, 1e11));
            let watts = match reader.inputs.at(id).distribution {
                draws::Distribution::Fixed(watts) => watts,
                _ => {
                    reader.fault(&power_at, "an uncertain number", "a certain number: it shapes every bill");
                    0.0
                }
            };
            let kw = watts / 1000.0;
            let when = load
                .when
                .as_ref()
                .map_or(tariff::Moments::ALL, |when| hours::moments(when, &at.member("when"), None, reader));
            let kvar = kw * kvar_per_kw(load.power_factor, &at.member("power_factor"), reader);
            BaseLoadPlan { name: load.name.clone(), load: meter::BaseLoad { kw, kvar, when } }
        })
        .collect();
    SitePlan { loads, base: vec![] }
}

pub(crate) fn photoperiod(plan: &form::Photoperiod, at: &Spot, reader: &mut Reader) -> Photoperiod {
    let phases_at = at.member("phases");
    if plan.phases.is_empty() || plan.phases.len() > 100 {
        reader.fault(&phases_at, format!("{} phases", plan.phases.len()), "1 to 100 phases");
    }
    let turnaround_days = plan.turnaround_days.unwrap_or(0);
    if turnaround_days > 3_660 {
        reader.fault(&at.member("turnaround_days"), format!("{turnaround_days} days"), "at most 3 660 days");
    }
    let phases = plan
        .phases
        .iter()
        .enumerate()
        .map(|(k, phase)| {
            let at = phases_at.item(k);
            if !(1..=3_660).contains(&phase.days) {
                reader.fault(&at.member("days"), format!("{} days", phase.days), "1 to 3 660 days");
            }
            if phase.lights.len() > 48 {
                reader.fault(&at.member("lights"), format!("{} windows", phase.lights.len()), "at most 48 a day");
            }
            let mut share = |value: Option<f64>, key: &str| {
                let value = value.unwrap_or(1.0);
                if !(0.01..=1.0).contains(&value) {
                    let allowed = "a share from 0.01 to 1; for no light at all leave the light window out";
                    reader.fault(&at.member(key), value.to_string(), allowed);
                }
                value
            };
            let (power, flux) = (share(phase.power, "power"), share(phase.flux, "flux"));
            let windows = phase
                .lights
                .iter()
                .enumerate()
                .map(|(w, window)| {
                    let at = at.member("lights").item(w);
                    Window {
                        on: minute(&window.on, &at.member("on"), reader),
                        off: minute(&window.off, &at.member("off"), reader),
                    }
                })
                .collect();
            Phase { days: phase.days, windows, power, flux }
        })
        .collect();
    let timer = match plan.timer {
        None | Some(form::Timer::Civil) => Timer::Civil,
        Some(form::Timer::Standard) => Timer::Standard,
    };
    Photoperiod { timer, phases, turnaround_days, already_running: plan.already_running == Some(true) }
}
