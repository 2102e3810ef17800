//! Life tests that are planned: what each costs, what it is worth to those who choose rooms afterwards, when to stop it.
//!
//! Belongs here: designs, their costs, which of them to look at. Does not belong here: what is believed and what a test
//! shows (`believed`), what cannot be asked (`refused`), what is taken for granted (`said`), when to stop (`stop`), the mathematics of worths (the crate `choice`).

mod believed;
mod refused;
mod said;
mod stop;

use std::sync::atomic::Ordering;

use engine::{Burns, Progress, lit};
use meter::{LightStep, Lit};
use plan::{LampPlan, Plan};

use crate::life_test_report::{Design, StopTable, TEST_FORMAT, Terms, TestReport};
use crate::result::{Ended, Estimate};
use crate::service::service;
use crate::spread::Sorted;
use crate::turn::World;
use crate::year::FirstYear;
use believed::{Believed, Shown};
use refused::{in_sockets, refuse, sockets};
use stop::{Running, stop_table};

/// Hours off after each start on the bench: life is rated at 11 h on and 1 h off by custom of the trade (common practice, no
/// source read).
const OFF: f64 = 1.0;
/// Setting up a bench, and in sockets, where nothing is said, currency: a guess.
const SET_UP: f64 = 150.0;
/// Standard errors within which a worth counts as noise: 95 % two-sided, for a normal mean.
const NOISE: f64 = 1.96;
/// Trials below which nothing can be said of what knowledge is worth.
const FEWEST: usize = 100;

/// What is asked.
#[derive(Debug, Clone)]
pub struct TestOrder {
    /// Index of the option whose lamps are tested.
    pub of: usize,
    /// Index of the option against which it is chosen.
    pub against: usize,
    /// Indices of further options among which is chosen.
    pub among: Vec<usize>,
    /// Index of the contract.
    pub contract: usize,
    /// Rooms that are chosen after the test.
    pub rooms: u32,
    /// Numbers of lamps.
    pub lamps: Vec<u32>,
    /// Burn hours until the end, h.
    pub hours: Vec<f64>,
    /// Burn hours between two looks, h.
    pub look_every: f64,
    /// Burn hours after each start on the bench, h.
    pub bench_hours_per_start: f64,
    /// Whether the lamps hang in production sockets instead.
    pub in_sockets: bool,
    /// Price of a kWh on the bench, currency; that of the contract around the clock when absent.
    pub kwh: Option<f64>,
    /// Setting the test up, currency; a guess when absent.
    pub set_up: Option<f64>,
    /// Labour of one look, currency.
    pub look_cost: f64,
}

/// Weighs the designs.
///
/// # Errors
/// A message when the order makes no sense for this scenario, or when it was stopped before anything could be told.
pub fn life_test(
    world: &World,
    order: &TestOrder,
    program: &str,
    tell: &mut dyn FnMut(Progress),
) -> Result<TestReport, String> {
    let plan = world.plan;
    let lamp = refuse(plan, order)?;
    let mut options = vec![order.against, order.of];
    options.extend(order.among.iter().filter(|option| ![order.against, order.of].contains(option)));
    options.dedup();
    let believed = Believed::new(world, (&options, order.contract), lamp, tell)?;
    if believed.count() < FEWEST {
        let lived = believed.count();
        return Err(format!("{lived} trials were lived before it was stopped; {FEWEST} are needed to tell anything"));
    }
    let bench = Bench { plan, order, lamp, believed: &believed };
    let costed = |&lamps: &u32| order.hours.iter().map(move |&hours| (lamps, hours));
    let all = order.lamps.iter().flat_map(costed).map(|(lamps, hours)| bench.costed(lamps, hours, order.in_sockets));
    let mut designs: Vec<(bool, Design)> = all.map(|design| (false, design)).collect();
    // what a test shows serves any number of lamps
    for (k, &hours) in order.hours.iter().enumerate() {
        if k > 0 && world.stop.load(Ordering::Relaxed) {
            break;
        }
        let shown = Shown::new(&believed, &bench.looks(hours), bench.burns(order.in_sockets));
        for (is_weighed, design) in designs.iter_mut().filter(|(_, design)| design.hours == hours) {
            bench.weigh(design, &shown)?;
            *is_weighed = true;
        }
    }
    let designs: Vec<Design> = designs.into_iter().filter_map(|(weighed, design)| weighed.then_some(design)).collect();
    if designs.is_empty() {
        return Err("no design was named: lamps and hours are needed".into());
    }
    let best = best(&designs);
    let stop = bench.stop(&designs[best])?;
    let in_sockets = bench.alternative(&designs[best])?;
    let remarks = [plan.remarks.clone(), bench.remarks(&designs[best])].concat();
    let assumptions = bench.assumptions(in_sockets.is_some());
    let names = |read: fn(&plan::OptionPlan) -> &String| -> Vec<String> {
        options.iter().map(|&option| read(&plan.options[option]).clone()).collect()
    };
    let of_room = service(plan, order.contract);
    let mut cautions = plan.cautions.clone();
    if !order.in_sockets {
        cautions.extend(plan::bench_cautions(&plan.options[order.of]));
    }
    Ok(TestReport {
        format: TEST_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        currency: plan.currency.clone(),
        basis: plan.money.basis().into(),
        discount_rate: plan.inputs.at(plan.money.discount_rate).quantile(0.5),
        prices_of: plan.prices_of.clone(),
        start: plan.first_day.to_string(),
        horizon_years: plan.years,
        contract: plan.contracts[order.contract].name.clone(),
        of: plan.options[order.of].name.clone(),
        options: names(|option| &option.name),
        places: options.clone(),
        light_bases: names(|option| &option.light.basis),
        service_mol: of_room.present_moles,
        service: of_room.words,
        rooms: order.rooms,
        seed: world.settings.seed,
        trials: believed.count() as u64,
        simulated: believed.simulated() as u64,
        ended: if world.stop.load(Ordering::Relaxed) { Ended::Interrupted } else { Ended::Trials },
        choice: believed.choice,
        median_life_h: bench.median_life(),
        known: believed.known,
        terms: bench.terms(),
        designs,
        best,
        stop,
        in_sockets,
        assumptions,
        cautions,
        remarks,
        leads: believed.leads,
    })
}

/// The design to look at; see [`TestReport::best`].
fn best(designs: &[Design]) -> usize {
    let most = |read: &dyn Fn(&Design) -> f64| {
        (0..designs.len()).fold(0, |best, k| if read(&designs[k]) > read(&designs[best]) { k } else { best })
    };
    let richest = most(&|design| design.net.value);
    if designs[richest].net.value > 0.0 {
        return richest;
    }
    match (0..designs.len())
        .filter(|&k| designs[k].pays_from_rooms.is_some())
        .min_by_key(|&k| designs[k].pays_from_rooms)
    {
        Some(soonest) => soonest,
        None => most(&|design| design.worth.value),
    }
}

/// Rooms from which a test of so much pays; none where its worth is not clear of noise or no number of rooms will do.
fn pays_from(cost: f64, worth: Estimate) -> Option<u64> {
    let rooms = (worth.value > NOISE * worth.se).then(|| (cost / worth.value).ceil().max(1.0));
    rooms.filter(|rooms| *rooms < 1e9).map(|rooms| rooms as u64)
}

/// Everything that designs share.
struct Bench<'a> {
    plan: &'a Plan,
    order: &'a TestOrder,
    lamp: &'a LampPlan,
    believed: &'a Believed<'a>,
}

impl<'a> Bench<'a> {
    fn value(&self, id: plan::InputId) -> f64 {
        self.plan.inputs.at(id).quantile(0.5)
    }

    fn burns(&self, in_sockets: bool) -> Burns<'a> {
        if in_sockets {
            Burns::Sockets(&self.plan.clocks[self.plan.contracts[self.order.contract].clock])
        } else {
            Burns::Bench(self.order.bench_hours_per_start)
        }
    }

    /// Hours of the looks of a test.
    fn looks(&self, hours: f64) -> Vec<f64> {
        let every = self.order.look_every;
        let count = (hours / every * (1.0 - 1e-12)).floor() as usize;
        (1..=count).map(|k| k as f64 * every).chain([hours]).collect()
    }

    /// Power of one lamp at the wall, kW.
    fn kw(&self) -> f64 {
        let option = &self.plan.options[self.order.of];
        self.value(option.wall_power) / 1000.0 / f64::from(option.lamps_per_fixture)
    }

    /// What one lamp costs.
    fn price(&self, in_sockets: bool) -> f64 {
        let price = self.value(self.lamp.price);
        let instead = self.plan.options[self.order.against].lamp.as_ref().filter(|_| in_sockets);
        instead.map_or(price, |instead| (price - self.value(instead.price)).max(0.0))
    }

    fn set_up(&self, in_sockets: bool) -> f64 {
        self.order.set_up.unwrap_or(if in_sockets { 0.0 } else { SET_UP })
    }

    /// What a kWh costs if so many lamps burn around the clock for the first year, on top of what the site draws anyway.
    fn kwh(&self, lamps: u32) -> f64 {
        if let Some(kwh) = self.order.kwh {
            return kwh;
        }
        let kw = f64::from(lamps) * self.kw();
        let mut year = FirstYear::new(self.plan, self.order.contract);
        let burning = LightStep { t: 0, lights: 1.0, cool: 0.0, u: 0.0 };
        let room = lit(self.plan, &self.plan.options[self.order.of], &self.plan.inputs.medians());
        let hours = year.end() as f64 / 3600.0;
        year.cost(&[burning], Lit { kw, cooling: 0.0, ..room }).added / (kw * hours)
    }

    /// A design with its cost; its worth is not yet known.
    fn costed(&self, lamps: u32, hours: f64, in_sockets: bool) -> Design {
        let (order, n) = (self.order, f64::from(lamps));
        let looks = self.looks(hours).len();
        let price_per_kwh = if in_sockets { 0.0 } else { self.kwh(lamps) };
        let lamps_cost = n * self.price(in_sockets);
        let electricity_cost = n * hours * self.kw() * price_per_kwh;
        let labour_cost = self.set_up(in_sockets) + looks as f64 * order.look_cost;
        let days = match self.burns(in_sockets) {
            Burns::Bench(per_start) => hours * (per_start + OFF) / per_start / 24.0,
            Burns::Sockets(clock) => clock.timeline.burnt_at(hours) / 24.0,
        };
        let nothing = Estimate { value: 0.0, se: 0.0 };
        Design {
            lamps,
            hours,
            looks: u32::try_from(looks).unwrap_or(u32::MAX),
            days,
            price_per_kwh,
            lamps_cost,
            electricity_cost,
            labour_cost,
            cost: lamps_cost + electricity_cost + labour_cost,
            worth: nothing,
            net: nothing,
            pays_from_rooms: None,
            changes: 0.0,
            is_idle: true,
        }
    }

    /// Fills in what a design is worth.
    fn weigh(&self, design: &mut Design, shown: &Shown) -> Result<(), String> {
        let (planned, is_idle) = shown.worth(design.lamps)?;
        let rooms = f64::from(self.order.rooms);
        let worth = self.believed.worth(&planned)?;
        design.worth = worth;
        design.net = Estimate { value: rooms * worth.value - design.cost, se: rooms * worth.se };
        design.pays_from_rooms = pays_from(design.cost, worth);
        (design.changes, design.is_idle) = (planned.changes, is_idle);
        Ok(())
    }

    /// When to stop a design: for the rooms asked for, or for as many as it needs to pay.
    fn stop(&self, design: &Design) -> Result<Option<StopTable>, String> {
        let asked = u64::from(self.order.rooms);
        let Some(rooms) = (if design.net.value > 0.0 { Some(asked) } else { design.pays_from_rooms }) else {
            return Ok(None);
        };
        let looks = self.looks(design.hours);
        let look = self.order.look_cost;
        let before = design.lamps_cost + design.labour_cost - looks.len() as f64 * look;
        let running = Running { lamp_hour: self.kw() * design.price_per_kwh, look, before };
        let burns = self.burns(self.order.in_sockets);
        let mut table = stop_table(self.believed, (design, &looks), burns, running, rooms.max(asked))?;
        let worth = Estimate { value: table.expected_worth, se: design.worth.se };
        table.pays_from_rooms = pays_from(table.expected_cost, worth);
        Ok(Some(table))
    }

    /// The same lamps and hours in production sockets, where that can be.
    fn alternative(&self, design: &Design) -> Result<Option<Design>, String> {
        let Burns::Sockets(clock) = self.burns(true) else { return Ok(None) };
        let fits =
            u64::from(design.lamps) <= sockets(self.plan, self.order) && design.hours <= clock.timeline.lit_hours;
        if self.order.in_sockets || !fits || in_sockets(self.plan, self.order).is_err() {
            return Ok(None);
        }
        let mut there = self.costed(design.lamps, design.hours, true);
        let shown = Shown::new(self.believed, &self.looks(design.hours), self.burns(true));
        self.weigh(&mut there, &shown)?;
        Ok(Some(there))
    }

    fn terms(&self) -> Terms {
        let order = self.order;
        let bench = |value: f64| (!order.in_sockets).then_some(value);
        Terms {
            in_sockets: order.in_sockets,
            bench_h_per_start: bench(order.bench_hours_per_start),
            bench_off_h: bench(OFF),
            look_every_h: order.look_every,
            lamp_price: self.price(order.in_sockets),
            kw_per_lamp: self.kw(),
            set_up: self.set_up(order.in_sockets),
            look_cost: order.look_cost,
            kwh_is_given: order.kwh.is_some(),
        }
    }

    /// Belief about the median life as lamps burn in the test: the 10 % point, the median and the 90 % point.
    fn median_life(&self) -> (f64, f64, f64) {
        let burns = self.burns(self.order.in_sockets);
        let one = |truth: usize| {
            let lamps = self.believed.on_test(truth, burns);
            let (mut low, mut high) = (0.0, 1.0);
            while lamps.alive(high) > 0.5 && high < 1e9 {
                high *= 2.0;
            }
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if lamps.alive(middle) > 0.5 { low = middle } else { high = middle }
            }
            0.5 * (low + high)
        };
        let sorted = Sorted::new((0..self.believed.count()).map(one).collect());
        (sorted.quantile(0.1), sorted.quantile(0.5), sorted.quantile(0.9))
    }
}
