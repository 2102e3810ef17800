//! The electricity bills of an option under every contract: with the lights, without them, and line by line what they add.
//!
//! Belongs here: one year (or so) of bills at prices as written, every socket lit. Does not belong here: layout, trials.

use std::collections::BTreeMap;

use calendar::{Minute, Photoperiod, Timeline};
use engine::lit;
use meter::{LightStep, Lit, Registers};
use plan::{ContractPlan, LitPlan, Plan};
use tariff::{Amounts, BlockUnit, Each, Levels, Line, Part, Past, Peak, Reading, Sharing, bill};

pub use crate::bill_report::{
    BILL_FORMAT, Bill, BillLine, BillReport, LineTotal, PartTotal, PeakLine, SheetBills, ThreeWays, Window,
};
use crate::picture::picture;

/// What is to be billed.
#[derive(Debug, Clone, PartialEq)]
pub struct BillOrder {
    /// Index of the option.
    pub option: usize,
    /// Months from the start of the horizon.
    pub months: usize,
    /// Starts of staggered rooms that share the lights evenly; empty when all start together.
    pub rooms: Vec<Minute>,
}

/// Bills an option's lights under every contract of a plan, at medians of what is uncertain and prices as written.
///
/// # Errors
/// The name of a room's start whose light windows cannot be laid out.
pub fn bills(plan: &Plan, order: &BillOrder, program: &str) -> Result<BillReport, String> {
    let values = plan.inputs.medians();
    let option = &plan.options[order.option];
    let lit = lit(plan, option, &values);
    let sheets = plan
        .contracts
        .iter()
        .map(|contract| sheet_bills(plan, contract, order, lit, &values))
        .collect::<Result<_, _>>()?;
    Ok(BillReport {
        format: BILL_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        prices_of: plan.prices_of.clone(),
        time_zone: plan.time_zone.clone(),
        option: option.name.clone(),
        lights_kw: lit.kw,
        cooling_per_kw: lit.cooling,
        cooling_kw: lit.kw * lit.cooling,
        base_loads: plan.site.loads.iter().map(|load| load.name.clone()).collect(),
        rooms: order.rooms.iter().map(Minute::to_string).collect(),
        sheets,
        remarks: remarks(plan, order),
        cautions: plan.cautions.clone(),
    })
}

/// What a reader of the bills should know: the plan's remarks on its contracts, and days that are not on these bills.
fn remarks(plan: &Plan, order: &BillOrder) -> Vec<String> {
    let on_a_contract =
        |remark: &&String| plan.contracts.iter().any(|contract| remark.starts_with(&format!("{}: ", contract.name)));
    let mut said: Vec<String> = plan.remarks.iter().filter(on_a_contract).cloned().collect();
    for contract in &plan.contracts {
        let schedule = &contract.schedule;
        let bills = schedule.month_of.iter().take_while(|&&month| month < order.months).count();
        let Some(last) = bills.checked_sub(1).map(|k| schedule.periods[k].last) else { continue };
        if bills < schedule.periods.len() && last.tomorrow().is_ok_and(|next| next.day() != 1) {
            said.push(format!("{}: these bills end on {last}; the days after it are on the next", contract.name));
        }
    }
    said
}

/// The light windows of a contract at other starts, in rooms that are in use.
///
/// # Errors
/// The start at which they cannot be laid out.
pub(crate) fn lay_out_rooms(plan: &Plan, contract: &ContractPlan, rooms: &[Minute]) -> Result<Vec<Timeline>, String> {
    let photoperiod = Photoperiod { already_running: true, ..plan.clocks[contract.clock].photoperiod.clone() };
    rooms
        .iter()
        .map(|&on| {
            Timeline::lay_out(&photoperiod.starting_at(on), &plan.time_zone, plan.first_day, plan.years)
                .map_err(|_| format!("lights on at {on} cannot be laid out over the horizon"))
        })
        .collect()
}

/// Lights of rooms that start at different times, as steps in time.
///
/// # Errors
/// The start at which light windows cannot be laid out.
fn staggered(plan: &Plan, contract: &ContractPlan, rooms: &[Minute]) -> Result<Vec<LightStep>, String> {
    let timelines = lay_out_rooms(plan, contract, rooms)?;
    let share = 1.0 / rooms.len() as f64;
    let shared: Vec<(f64, &Timeline)> = timelines.iter().map(|timeline| (share, timeline)).collect();
    let (lag, factors) = plan.cooling.as_ref().map_or((0, [1.0; 12]), |c| (c.lag_seconds, c.cop_by_month));
    Ok(meter::light_steps(&shared, lag, &factors, &plan.days))
}

fn sheet_bills(
    plan: &Plan,
    contract: &ContractPlan,
    order: &BillOrder,
    lit: Lit,
    values: &[f64],
) -> Result<SheetBills, String> {
    let staggered = if order.rooms.is_empty() {
        None
    } else {
        Some(LitPlan::new(&contract.schedule, &contract.lit.base, staggered(plan, contract, &order.rooms)?))
    };
    let lights = staggered.as_ref().unwrap_or(&contract.lit);
    let (sheet, schedule) = (&contract.sheet, &contract.schedule);
    let prices: Vec<f64> = contract.prices.iter().map(|id| values[id.index()]).collect();
    let periods = schedule.month_of.iter().take_while(|&&month| month < order.months).count();
    let first_month = schedule.periods[0].month();
    let mut pasts = [0, 1].map(|_| Past::new(sheet, &contract.before, first_month));
    let (mut registers, mut reading) = (Registers::default(), Reading::default());
    let mut bills = vec![];
    let mut amounts: Vec<[Amounts; 2]> = vec![];
    // by period and energy rule
    let mut blocks: Vec<Vec<usize>> = vec![];
    for period in 0..periods {
        schedule.reading(sheet, period, &lights.base, &lights.steps, lit, &mut registers, &mut reading);
        let mut lines: Vec<(Line, bool)> = vec![];
        let with =
            bill(sheet, &schedule.periods[period], &reading, &prices, &Levels::AS_WRITTEN, &mut pasts[0], |line| {
                lines.push((line, true));
            });
        blocks.push(reached(contract, &lines));
        let none = Reading::default();
        let base = contract.without.get(period);
        let without = base.map_or_else(Amounts::default, |base| {
            bill(sheet, &schedule.periods[period], base, &prices, &Levels::AS_WRITTEN, &mut pasts[1], |line| {
                lines.push((line, false));
            })
        });
        let base = base.unwrap_or(&none);
        bills.push(Bill {
            first: schedule.periods[period].first.to_string(),
            last: schedule.periods[period].last.to_string(),
            days: schedule.periods[period].days,
            kwh_with: reading.total_kwh(),
            kwh_without: base.total_kwh(),
            kwh_lights: lit.kw * registers.kwh.iter().map(|mix| mix.lights).sum::<f64>(),
            lines: side_by_side(contract, &lines),
            peaks: peaks(plan, contract, &reading, base),
            total: three_ways(with.total(), without.total()),
        });
        amounts.push([with, without]);
    }
    let sum = |side: usize, part: Part| amounts.iter().map(|a| a[side].parts[part as usize]).sum::<f64>();
    let parts: Vec<PartTotal> = Part::ALL
        .iter()
        .map(|&part| PartTotal { part: part.label().into(), amount: three_ways(sum(0, part), sum(1, part)) })
        .filter(|total| total.amount.with != 0.0 || total.amount.without != 0.0)
        .collect();
    let total = three_ways(
        amounts.iter().map(|a| a[0].total()).sum::<f64>(),
        amounts.iter().map(|a| a[1].total()).sum::<f64>(),
    );
    let kwh: f64 = bills.iter().map(|bill: &Bill| bill.kwh_lights).sum();
    let end = schedule.bounds[periods];
    let windows = windows(contract, lights, lit, end);
    Ok(SheetBills {
        contract: contract.name.clone(),
        tariff: contract.tariff.clone(),
        lights: contract.lights.clone(),
        open_questions: contract.open_questions.clone(),
        peaks_before: sheet
            .demand
            .iter()
            .zip(&contract.before)
            .filter(|(_, before)| !before.is_empty())
            .map(|(rule, before)| (rule.name.clone(), before.clone()))
            .collect(),
        looks_back: sheet.demand.iter().any(|rule| rule.ratchet.is_some()),
        demand_interval_minutes: sheet.interval_minutes,
        rounded: sheet.rounded,
        total,
        parts,
        line_totals: line_totals(&bills),
        windows,
        kwh_lights: kwh,
        effective_price_per_kwh: total.difference / kwh,
        picture: picture(plan, contract, lights, &prices, periods, |period, rule| {
            prices[sheet.energy[rule].blocks[blocks[period][rule]].price.0]
        }),
        bills,
    })
}

pub(crate) fn three_ways(with: f64, without: f64) -> ThreeWays {
    ThreeWays { with, without, difference: with - without }
}

/// Lines of both bills side by side, in the order of the sheet.
fn side_by_side(contract: &ContractPlan, lines: &[(Line, bool)]) -> Vec<BillLine> {
    let mut joined: BTreeMap<(Part, usize, usize), [Option<Line>; 2]> = BTreeMap::new();
    for (line, with) in lines {
        joined.entry((line.part, line.rule, line.block)).or_default()[usize::from(!with)] = Some(*line);
    }
    let empty = |line: &Option<Line>| line.is_none_or(|line| line.amount == 0.0 && line.quantity == 0.0);
    joined
        .into_iter()
        .filter(|(_, pair)| !pair.iter().all(empty))
        .map(|((part, rule, block), [with, without])| {
            let (name, unit) = name_of(contract, part, rule, block);
            let amount = |line: Option<Line>| line.map_or(0.0, |line| line.amount);
            let quantity = |line: Option<Line>| line.map_or(0.0, |line| line.quantity);
            BillLine {
                part: part.label().into(),
                name,
                unit: unit.into(),
                quantity_with: quantity(with),
                quantity_without: quantity(without),
                price: with.or(without).map_or(0.0, |line| line.price),
                amount: three_ways(amount(with), amount(without)),
                lifted_kw: with.map_or(0.0, |line| line.lifted_kw),
            }
        })
        .collect()
}

/// Sums over bills of each line.
fn line_totals(bills: &[Bill]) -> Vec<LineTotal> {
    let mut totals: Vec<LineTotal> = vec![];
    for line in bills.iter().flat_map(|bill| &bill.lines) {
        let same = |total: &LineTotal| (&total.part, &total.name, &total.unit) == (&line.part, &line.name, &line.unit);
        let at = totals.iter().position(same).unwrap_or_else(|| {
            totals.push(LineTotal {
                part: line.part.clone(),
                name: line.name.clone(),
                unit: line.unit.clone(),
                quantity_with: 0.0,
                quantity_without: 0.0,
                amount: ThreeWays::default(),
                lifted_bills: 0,
                most_lifted_kw: 0.0,
            });
            totals.len() - 1
        });
        let total = &mut totals[at];
        total.quantity_with += line.quantity_with;
        total.quantity_without += line.quantity_without;
        total.amount = three_ways(total.amount.with + line.amount.with, total.amount.without + line.amount.without);
        total.lifted_bills += usize::from(line.lifted_kw > 0.0);
        total.most_lifted_kw = total.most_lifted_kw.max(line.lifted_kw);
    }
    // lines of a season appear late: parts stand together all the same
    totals.sort_by_key(|total| Part::ALL.iter().position(|part| part.label() == total.part));
    totals
}

/// Name of a line, and the unit of its quantity.
pub(crate) fn name_of(contract: &ContractPlan, part: Part, rule: usize, block: usize) -> (String, &'static str) {
    let sheet = &contract.sheet;
    let each = |each: Each| match each {
        Each::Day => "d",
        Each::Month => "month",
        Each::Year => "yr",
    };
    let blocked = |name: &str, blocks: &[tariff::Block], unit: &str| {
        if blocks.len() < 2 {
            return name.to_owned();
        }
        let from = if block == 0 { 0.0 } else { blocks[block - 1].up_to };
        match blocks[block].up_to {
            f64::INFINITY => format!("{name}, above {from} {unit}"),
            to => format!("{name}, {from} to {to} {unit}"),
        }
    };
    match part {
        Part::Energy => {
            let energy = &sheet.energy[rule];
            let unit = match energy.unit {
                BlockUnit::Kwh => "kWh",
                BlockUnit::KwhPerDay => "kWh/day",
                BlockUnit::KwhPerKw => "kWh/kW",
                BlockUnit::KwhPerKwDay => "kWh/kW/day",
            };
            (blocked(&energy.name, &energy.blocks, unit), "kWh")
        }
        Part::Riders => {
            let rider = &sheet.riders[rule];
            let name = if rider.prices.len() == 12 {
                format!("{}, {}", rider.name, scenario::MONTHS[block])
            } else {
                rider.name.clone()
            };
            (name, "kWh")
        }
        Part::Demand => {
            let demand = &sheet.demand[rule];
            let name = match &demand.price {
                tariff::DemandPrice::Blocks(blocks) => blocked(&demand.name, blocks, "kW"),
                _ => demand.name.clone(),
            };
            (name, "kW")
        }
        Part::PowerFactor => (
            "power factor".into(),
            match sheet.power_factor {
                Some(tariff::PowerFactorRule::KvarOverAllowance { .. }) => "kvar",
                Some(tariff::PowerFactorRule::PercentPerPoint { .. }) => "points",
                _ => "1",
            },
        ),
        Part::Fixed => (sheet.fixed[rule].name.clone(), each(sheet.fixed[rule].each)),
        Part::Minimum => (sheet.minimum.as_ref().map_or_else(String::new, |minimum| minimum.name.clone()), "1"),
        Part::Percent => (sheet.percent[rule].name.clone(), "currency"),
    }
}

fn peaks(plan: &Plan, contract: &ContractPlan, with: &Reading, without: &Reading) -> Vec<PeakLine> {
    let at = |peak: Peak| {
        let (date, second) = plan.days.at(peak.at.filter(|_| peak.kw > 0.0)?);
        Some(format!("{date} {:02}:{:02}", second / 3600, second / 60 % 60))
    };
    let line = |name: &str, with: Peak, without: Peak| PeakLine {
        name: name.into(),
        kw_with: with.kw,
        at_with: at(with),
        power_factor_with: with.power_factor(),
        kw_without: without.kw,
        at_without: at(without),
    };
    let rules = contract
        .sheet
        .demand
        .iter()
        .enumerate()
        .map(|(k, rule)| line(&rule.name, with.peaks[k], without.peaks.get(k).copied().unwrap_or_default()));
    rules.chain([line("any time", with.highest, without.highest)]).collect()
}

fn windows(contract: &ContractPlan, lights: &LitPlan, lit: Lit, end: i64) -> Vec<Window> {
    let mut windows: Vec<Window> =
        contract.sheet.energy.iter().map(|rule| Window { name: rule.name.clone(), lit_h: 0.0, kwh: 0.0 }).collect();
    for piece in lights.pieces.iter().filter(|piece| piece.from < end && piece.mix.lights > 0.0) {
        windows[piece.rule].lit_h += piece.hours();
        windows[piece.rule].kwh += piece.hours() * piece.mix.lights * lit.kw;
    }
    windows
}

/// Highest block that the bill with the lights has reached under each energy rule; where rules share their blocks, they
/// reach them together.
fn reached(contract: &ContractPlan, lines: &[(Line, bool)]) -> Vec<usize> {
    let sheet = &contract.sheet;
    let mut reached = vec![0; sheet.energy.len()];
    for (line, with) in lines {
        if *with && line.part == Part::Energy && line.quantity > 0.0 {
            reached[line.rule] = reached[line.rule].max(line.block);
        }
    }
    if sheet.sharing != Sharing::Separate {
        let together = reached.iter().copied().max().unwrap_or(0);
        reached.iter_mut().for_each(|block| *block = together);
    }
    reached.iter().zip(&sheet.energy).map(|(&block, rule)| block.min(rule.blocks.len() - 1)).collect()
}
