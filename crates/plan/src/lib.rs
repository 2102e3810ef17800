//! A scenario as meant: checked, in one set of units, with everything worked out that no trial changes.
//!
//! Floor 2. [`Plan::new`] finds every fault at once. A plan can only be made here (its types are `non_exhaustive`), so
//! whoever holds one may rely on it.

mod cautions;
mod clock;
mod contract;
mod inputs;
mod option;
mod reader;
mod remarks;

use calendar::{BadPhotoperiod, Minute, Phase, Photoperiod, Timeline, Timer, Window};
use finance::Booking;
use jiff::civil::Date;
use scenario::fault::Fault;
use scenario::form::{self, Scenario};
use tariff::Hours;
use units::Dimension;

pub use clock::{Cell, ClockPlan};
pub use contract::{ContractPlan, DemandPlan};
pub use inputs::{Input, InputId, Inputs};
pub use option::{GearPlan, LampPlan, MAX_SOCKETS, MaintenancePlan, OptionPlan, RelampPlan};

use reader::{Field, Reader, Spot};

/// Longest horizon, years.
const MAX_YEARS: u32 = 60;
/// Most contracts or options.
const MAX_ITEMS: usize = 200;
/// Longest name or title, characters.
const MAX_NAME: usize = 500;

/// A scenario as meant.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Plan {
    /// Title.
    pub title: String,
    /// First day.
    pub first_day: Date,
    /// Years simulated.
    pub years: u32,
    /// IANA time zone.
    pub time_zone: String,
    /// ISO 4217 currency code.
    pub currency: String,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// How money over time is counted.
    pub money: MoneyPlan,
    /// Canopy area, m².
    pub canopy_area: InputId,
    /// PPFD that the room should hold, µmol/m²/s.
    pub target_ppfd: Option<InputId>,
    /// Cooling plant.
    pub cooling: Option<CoolingPlan>,
    /// The different clocks on which the contracts light up.
    pub clocks: Vec<ClockPlan>,
    /// Contracts in the scenario's order.
    pub contracts: Vec<ContractPlan>,
    /// Options in the scenario's order.
    pub options: Vec<OptionPlan>,
    /// Every input.
    pub inputs: Inputs,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things that look odd but are allowed.
    pub remarks: Vec<String>,
}

/// How money over time is counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoneyPlan {
    /// Discount rate per year, on the basis below.
    pub discount_rate: InputId,
    /// General inflation per year; present when money is nominal.
    pub inflation: Option<InputId>,
    /// When in its month money counts.
    pub booking: Booking,
}

impl MoneyPlan {
    /// "real" or "nominal".
    pub fn basis(&self) -> &'static str {
        if self.inflation.is_some() { "nominal" } else { "real" }
    }
}

/// Cooling plant.
#[derive(Debug, Clone, PartialEq)]
pub struct CoolingPlan {
    /// Coefficient of performance.
    pub cop: InputId,
    /// Share of the lamps' wall power that it removes.
    pub heat_share: InputId,
    /// Factor on the COP in each calendar month, January first; 0 where the plant is off.
    pub cop_by_month: [f64; 12],
}

impl Plan {
    /// Checks a scenario and works out what no trial changes.
    ///
    /// # Errors
    /// Every fault, in the order of the file's members.
    pub fn new(scenario: &Scenario) -> Result<Self, Vec<Fault>> {
        let mut reader = Reader::new(&scenario.currency);
        let root = Spot::root();
        heading(scenario, &root, &mut reader);
        let first_day = first_day(&scenario.start, &root, &mut reader);

        let money_at = root.member("money");
        let money = money(&scenario.money, &money_at, &mut reader);
        let canopy_at = root.member("canopy");
        let canopy_area =
            reader.figure(&scenario.canopy.area, &canopy_at.member("area"), Field::above(Dimension::Area, 0.0, 1e7));
        let target_ppfd = scenario.canopy.target_ppfd.as_ref().map(|figure| {
            reader.figure(figure, &canopy_at.member("target_ppfd"), Field::above(Dimension::Ppfd, 0.0, 10_000.0))
        });
        let photoperiod = photoperiod(&scenario.photoperiod, &root.member("photoperiod"), &mut reader);

        let contracts_at = root.member("contracts");
        let drafts: Vec<contract::Draft> = scenario
            .contracts
            .iter()
            .enumerate()
            .map(|(k, c)| contract::read(c, &contracts_at.named(k, &c.name), &photoperiod, &mut reader))
            .collect();
        let cooling = scenario.cooling.as_ref().map(|c| cooling(c, &root.member("cooling"), &mut reader));
        let options_at = root.member("options");
        let options: Vec<OptionPlan> = scenario
            .options
            .iter()
            .enumerate()
            .map(|(k, o)| option::read(o, &options_at.named(k, &o.name), &mut reader))
            .collect();

        let faults_so_far = reader.faults.len();
        let laid_out = lay_out(&drafts, scenario, first_day, &root, &mut reader);
        let (Some(first_day), Some((clocks, clock_of, rules)), true) =
            (first_day, laid_out, reader.faults.len() == faults_so_far && faults_so_far == 0)
        else {
            return Err(reader.faults);
        };
        let lit_hours = clocks.iter().map(|clock| clock.timeline.lit_hours).fold(0.0, f64::max);
        for (k, option) in options.iter().enumerate() {
            option.check_effort(&options_at.named(k, &option.name), lit_hours, &mut reader);
        }
        if !reader.faults.is_empty() {
            return Err(reader.faults);
        }
        let contracts = drafts
            .into_iter()
            .zip(clock_of.into_iter().zip(rules))
            .map(|(draft, (clock, rule_of_class))| draft.settle(clock, &clocks[clock], &rule_of_class))
            .collect();
        let mut plan = Self {
            title: scenario.title.clone(),
            first_day,
            years: scenario.horizon_years,
            time_zone: scenario.time_zone.clone(),
            currency: scenario.currency.clone(),
            prices_of: scenario.prices_of.clone().unwrap_or_else(|| scenario.start.chars().take(7).collect()),
            money,
            canopy_area,
            target_ppfd,
            cooling,
            clocks,
            contracts,
            cautions: cautions::cautions(&options),
            options,
            inputs: reader.inputs,
            remarks: vec![],
        };
        plan.remarks = remarks::remarks(&plan);
        Ok(plan)
    }

    /// Number of months of the horizon.
    pub fn months(&self) -> usize {
        self.years as usize * 12
    }
}

/// Names, counts and codes.
fn heading(scenario: &Scenario, root: &Spot, reader: &mut Reader) {
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
    if !(code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase())) {
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

fn first_day(text: &str, root: &Spot, reader: &mut Reader) -> Option<Date> {
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

fn money(money: &form::Money, at: &Spot, reader: &mut Reader) -> MoneyPlan {
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
    }
}

fn cooling(cooling: &form::Cooling, at: &Spot, reader: &mut Reader) -> CoolingPlan {
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
    CoolingPlan {
        cop: reader.figure(&cooling.cop, &at.member("cop"), Field::new(Dimension::Number, 0.2, 50.0)),
        heat_share: reader.figure_or(
            cooling.heat_share.as_ref(),
            &at.member("heat_share"),
            Field::new(Dimension::Share, 0.0, 1.0),
            1.0,
            "all wall power ends as heat in the cooled space",
        ),
        cop_by_month,
    }
}

fn photoperiod(plan: &form::Photoperiod, at: &Spot, reader: &mut Reader) -> Photoperiod {
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
                if !(0.0..=1.0).contains(&value) {
                    reader.fault(&at.member(key), value.to_string(), "a share from 0 to 1");
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
                        on: contract::minute(&window.on, &at.member("on"), reader),
                        off: contract::minute(&window.off, &at.member("off"), reader),
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
    Photoperiod { timer, phases, turnaround_days }
}

/// Clocks, the clock of each contract, and each contract's energy rule in every class of its clock.
type LaidOut = (Vec<ClockPlan>, Vec<usize>, Vec<Vec<usize>>);

fn lay_out(
    drafts: &[contract::Draft],
    scenario: &Scenario,
    first_day: Option<Date>,
    root: &Spot,
    reader: &mut Reader,
) -> Option<LaidOut> {
    let first_day = first_day?;
    if !reader.faults.is_empty() {
        // the zone can still be judged; a half-read photoperiod cannot
        if jiff::tz::TimeZoneDatabase::bundled().get(&scenario.time_zone).is_err() {
            photoperiod_fault(&BadPhotoperiod::UnknownZone, scenario, root, reader);
        }
        return None;
    }
    let mut different: Vec<&Photoperiod> = vec![];
    let clock_of: Vec<usize> = drafts
        .iter()
        .map(|draft| {
            different.iter().position(|known| **known == draft.photoperiod).unwrap_or_else(|| {
                different.push(&draft.photoperiod);
                different.len() - 1
            })
        })
        .collect();
    let mut clocks = vec![];
    let mut rules_of_draft = vec![vec![]; drafts.len()];
    for (index, photoperiod) in different.into_iter().enumerate() {
        let on_it: Vec<usize> = (0..drafts.len()).filter(|&k| clock_of[k] == index).collect();
        let hours_of = |pairs: &[(Hours, InputId)]| pairs.iter().map(|&(hours, _)| hours).collect::<Vec<_>>();
        let tariffs: Vec<Vec<Hours>> = on_it.iter().map(|&k| hours_of(&drafts[k].energy)).collect();
        let demands: Vec<Hours> = on_it.iter().flat_map(|&k| hours_of(&drafts[k].demand)).collect();
        let edges: Vec<Minute> = tariffs
            .iter()
            .flatten()
            .chain(&demands)
            .flat_map(|hours| hours.edges())
            .map(|minute| Minute::MIDNIGHT.later(i32::from(minute)))
            .filter(|&minute| minute != Minute::MIDNIGHT)
            .collect();
        let timeline =
            match Timeline::lay_out(photoperiod, &scenario.time_zone, first_day, scenario.horizon_years, &edges) {
                Ok(timeline) => timeline,
                Err(bads) => {
                    bads.iter().for_each(|bad| photoperiod_fault(bad, scenario, root, reader));
                    return None;
                }
            };
        let slices: Vec<&[Hours]> = tariffs.iter().map(Vec::as_slice).collect();
        let (clock, rule_of_class) = ClockPlan::new(photoperiod.clone(), timeline, &slices);
        clocks.push(clock);
        for (k, rules) in on_it.into_iter().zip(rule_of_class) {
            rules_of_draft[k] = rules;
        }
    }
    Some((clocks, clock_of, rules_of_draft))
}

fn photoperiod_fault(bad: &BadPhotoperiod, scenario: &Scenario, root: &Spot, reader: &mut Reader) {
    let photoperiod = root.member("photoperiod");
    match *bad {
        BadPhotoperiod::Overlap { phase, windows } => reader.fault(
            &photoperiod.member("phases").item(phase).member("lights").item(windows.1),
            format!("a window that overlaps the phase's window number {}", windows.0 + 1),
            "windows that do not overlap",
        ),
        BadPhotoperiod::UnknownZone => reader.fault(
            &root.member("time_zone"),
            format!("\"{}\"", scenario.time_zone),
            "an IANA time zone such as \"America/Chicago\"",
        ),
        BadPhotoperiod::OutOfRange => {
            reader.fault(&root.member("start"), scenario.start.clone(), "dates that the calendar knows");
        }
        BadPhotoperiod::NeverLit => {
            reader.fault(&photoperiod.member("phases"), "lights that never burn", "at least one light window");
        }
    }
}
