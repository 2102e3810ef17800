//! The two stages: plans of their own, lived on the same inputs with other luck of lamps, and what is paid in each.
//!
//! Belongs here: what hangs already, what is new at the change, how both stages are brought to the start. Does not belong
//! here: what is concluded from the costs.

use engine::{Cause, Progress, Scope, Seen, Settings, revisit};
use plan::{InputId, OptionPlan, Plan};
use scenario::fault::Fault;
use scenario::form::{Contract, PathBasis, Scenario};

use super::{Costs, StageOrder};
use crate::service::service;
use crate::turn::World;

/// Luck of the second stage: another seed, which differs in half of the bits.
const OTHER_LUCK: u64 = 0x5A3C_C3A5_A5C3_3C5A;

/// Both stages as plans, and the light that is asked of each.
pub(super) struct Stages<'a> {
    pub head: Plan,
    pub tail: Plan,
    /// Photons of each stage, present value at the start, mol.
    pub moles: (f64, f64),
    order: &'a StageOrder,
}

/// An option in one trial of a stage.
struct Hanging<'a> {
    plan: &'a Plan,
    option: &'a OptionPlan,
    values: &'a [f64],
    /// What money at the end of the stage comes to at its start.
    at_end: f64,
}

impl<'a> Stages<'a> {
    pub fn new(world: &World, order: &'a StageOrder) -> Result<Self, String> {
        let (form, plan) = (world.form, world.plan);
        refuse(form, plan, order)?;
        let planned = |stage: &str, form: &Scenario| {
            Plan::new(form).map_err(|faults| format!("the {stage} stage is no scenario by itself: {}", first(&faults)))
        };
        let mut of_head = form.clone();
        of_head.horizon_years = order.after_years;
        let head = planned("first", &of_head)?;
        let tail = planned("second", &tail_form(form, plan, order))?;
        let (of_head, of_tail) = (service(&head, order.contract), service(&tail, order.contract));
        let rate = plan.inputs.at(plan.money.discount_rate).quantile(0.5);
        let later = finance::single_factor(rate, f64::from(order.after_years));
        Ok(Self { moles: (of_head.present_moles, of_tail.present_moles * later), head, tail, order })
    }

    /// What every trial cost; after an interruption there are fewer.
    pub fn lived(&self, world: &World, tell: &mut dyn FnMut(Progress)) -> Costs {
        let Self { head, tail, order, .. } = self;
        let most = 2 * world.settings.trials;
        let pair = [order.now, order.later];
        let contracts = [order.contract];
        let scope = Scope { options: &pair, contracts: &contracts, points: 1, months: false };
        let seed = world.settings.seed;
        let of_head = revisit(
            head,
            scope,
            &world.settings,
            world.stop,
            |progress: Progress| tell(Progress { done: progress.done, most }),
            |_, _, _| seed,
            |seen| self.head_cost(&seen),
        );
        let lived = of_head.len() as u64;
        let years = f64::from(order.after_years);
        let of_tail = revisit(
            tail,
            scope,
            &Settings { trials: lived, ..world.settings },
            world.stop,
            |progress: Progress| tell(Progress { done: lived + progress.done, most }),
            |_, _, values: &mut [f64]| {
                for contract in &tail.contracts {
                    let risen = (1.0 + values[contract.price_change.index()]).powf(years);
                    values[contract.price_level.index()] *= risen;
                }
                seed ^ OTHER_LUCK
            },
            |seen| self.tail_costs(&seen),
        );
        let trials = of_tail.len();
        let head_of = |option: usize| of_head[..trials].iter().map(|costs| costs[option]).collect();
        let stays = |option: usize| of_tail.iter().map(|costs| costs[option].0).collect();
        let comes = of_tail.iter().map(|costs| costs[1].1).collect();
        Costs { head: [head_of(0), head_of(1)], tail: [stays(0), comes], tail_of_later: stays(1) }
    }

    /// First stage of an option: its fixtures hang on, its lamps are thrown away.
    fn head_cost(&self, seen: &Seen) -> f64 {
        let hanging = Hanging::new(&self.head, seen);
        let change = self.to_start(&self.head, seen.values);
        let paid = seen.priced.present.iter().sum::<f64>() + hanging.worth() * hanging.at_end;
        let paid = paid + hanging.disposal() * change;
        paid / seen.priced.present_moles * self.moles.0 * f64::from(self.order.rooms)
    }

    /// Second stage of an option whose fixtures hang, and of one that comes after the option of now.
    fn tail_costs(&self, seen: &Seen) -> (f64, f64) {
        let Self { tail, order, .. } = self;
        let hanging = Hanging::new(tail, seen);
        let before = Hanging { option: &tail.options[order.now], ..hanging };
        let all = seen.priced.present.iter().sum::<f64>();
        let bare = all - hanging.fixtures() - seen.priced.present[Cause::Plant as usize] + hanging.rebate();
        let stays = bare + hanging.fitting();
        let comes = if order.keep_fixtures {
            // what hangs at the end are the fixtures of now
            stays + (hanging.worth() - before.worth()) * hanging.at_end
        } else {
            let plant = (hanging.plant() - before.plant()).max(0.0);
            bare + hanging.fixtures() - hanging.rebate() + plant - before.worth()
        };
        // prices have risen until the change; moles were brought to the start by the median rate, as the service is
        let level = self.level(tail, seen.values);
        let per = level / seen.priced.present_moles * self.moles.1 * f64::from(order.rooms);
        (stays * per, comes * per)
    }

    /// What 1 at today's prices, paid at the change, comes to at the start.
    fn to_start(&self, plan: &Plan, values: &[f64]) -> f64 {
        let rate = values[plan.money.discount_rate.index()];
        finance::single_factor(rate, f64::from(self.order.after_years)) * self.level(plan, values)
    }

    /// General price level at the change; 1 where money is real.
    fn level(&self, plan: &Plan, values: &[f64]) -> f64 {
        let rise = plan.money.inflation.map_or(0.0, |id| values[id.index()]);
        finance::single_factor(rise, -f64::from(self.order.after_years))
    }

    /// What the two stages take for granted.
    pub fn assumptions(&self, plan: &Plan, order: &StageOrder) -> Vec<String> {
        let (now, later) = (&plan.options[order.now], &plan.options[order.later]);
        let mut said = vec![
            "all lamps are new at the change, whichever way is taken, and the old ones are disposed of; so the first two \
             ways do not cost what `run` says of these options"
                .to_owned(),
            "the second stage has the same inputs as the first, trial by trial, and other luck of lamps".to_owned(),
            "crop cycles, billing history and the ages of control gear, components and optics begin anew at the change, \
             in all ways alike"
                .to_owned(),
        ];
        said.push(if order.keep_fixtures {
            let empty = now.fixtures - later.fixtures;
            let rest = if empty > 0 { format!("; {empty} of them hang empty then") } else { String::new() };
            format!(
                "the lamps of {} go into the fixtures of {}, and draw power and give light as in fixtures of their own: \
                 the change costs lamps and the labour of putting them in{rest}",
                later.name, now.name
            )
        } else {
            format!(
                "{} comes with fixtures and installation of its own, bought at the change; who stays pays lamps and the \
                 labour of putting them in",
                later.name
            )
        });
        if !order.keep_fixtures && now.worth_at_end.is_some() {
            said.push(
                "fixtures taken down at the change are worth the share that is stated for the horizon".to_owned(),
            );
        }
        said.push(match plan.money.inflation {
            Some(_) => {
                "all prices have risen by inflation until the change, those of electricity by their own rise on \
                        top; the quotes of today hold at that level"
                    .to_owned()
            }
            None => "lamps and fixtures cost at the change what they cost today, beyond inflation; electricity has \
                     risen or fallen as the contract says"
                .to_owned(),
        });
        if order.watch > 0 {
            said.push(
                "watched lamps hang in sockets of the room from the start; but for their price they count as the lamps of \
                 now, and what they change of its light and lamp changes is left out"
                    .to_owned(),
            );
            said.push(format!(
                "watched lamps must come from the lots that would be bought later, and hang at places drawn by lot: the \
                 trials take them to be fair samples of {}",
                later.name
            ));
        }
        said
    }
}

impl<'a> Hanging<'a> {
    fn new(plan: &'a Plan, seen: &Seen<'a>) -> Self {
        let option = &plan.options[seen.option];
        let mut levels = vec![0.0; seen.discount.len()];
        let rise = plan.money.inflation.map_or(0.0, |id| seen.values[id.index()]);
        if option.worth_at_end.is_some() {
            finance::escalation_factors(rise, plan.money.booking, 12.0, &mut levels);
        }
        let at_end = seen.discount.iter().zip(levels).next_back().map_or(0.0, |(discount, level)| discount * level);
        Self { plan, option, values: seen.values, at_end }
    }

    fn value(&self, id: InputId) -> f64 {
        self.values[id.index()]
    }

    fn count(&self) -> f64 {
        f64::from(self.option.fixtures)
    }

    fn sockets(&self) -> f64 {
        self.option.sockets() as f64
    }

    /// Fixtures with their installation.
    fn fixtures(&self) -> f64 {
        (self.value(self.option.fixture_price) + self.value(self.option.installation)) * self.count()
    }

    fn rebate(&self) -> f64 {
        self.option.rebate.map_or(0.0, |id| self.value(id)) * self.count()
    }

    /// Service and plant that are built for the lights.
    fn plant(&self) -> f64 {
        let of = |id: Option<InputId>| id.map_or(0.0, |id| self.value(id));
        let per_kw = self.plan.build_out.map_or(0.0, |b| of(b.service) + of(b.cooling_plant));
        per_kw * self.value(self.option.wall_power) / 1000.0 * self.count()
    }

    /// What the fixtures are worth at the horizon.
    fn worth(&self) -> f64 {
        let share = self.option.worth_at_end.map_or(0.0, |id| self.value(id));
        share * self.value(self.option.fixture_price) * self.count()
    }

    /// Disposal of all lamps.
    fn disposal(&self) -> f64 {
        self.option.lamp.as_ref().map_or(0.0, |lamp| self.value(lamp.disposal)) * self.sockets()
    }

    /// Labour of putting a new lamp into every socket, as planned work where the scenario knows any.
    fn fitting(&self) -> f64 {
        let option = self.option;
        let each = option.planned_labour.or(option.spot_labour).map_or(0.0, |id| self.value(id));
        let visit = option.crew.as_ref().map_or(0.0, |crew| {
            let minutes = (self.sockets() * self.value(crew.planned_minutes)).max(self.value(crew.least_minutes));
            self.value(crew.call_out) + self.value(crew.lift) + minutes * self.value(crew.wage) / 60.0
        });
        each * self.sockets() + visit
    }
}

/// Refuses what two stages cannot answer.
fn refuse(form: &Scenario, plan: &Plan, order: &StageOrder) -> Result<(), String> {
    let (now, later) = (&plan.options[order.now], &plan.options[order.later]);
    if order.now == order.later {
        return Err(format!("{} cannot follow itself: name two options", now.name));
    }
    if !(1..plan.years).contains(&order.after_years) {
        return Err(format!(
            "--after {}: the change must lie within the horizon of {} years, 1 to {}",
            order.after_years,
            plan.years,
            plan.years.saturating_sub(1)
        ));
    }
    for option in [now, later] {
        if option.lamp.as_ref().is_none_or(|lamp| lamp.is_fixture) {
            return Err(format!(
                "{} has no lamps that are renewed at the change: its fixtures would have to grow old over both stages, \
                 which `stage` does not follow; compare it with `run`",
                option.name
            ));
        }
    }
    if order.keep_fixtures && (later.fixtures > now.fixtures || later.lamps_per_fixture != now.lamps_per_fixture) {
        return Err(format!(
            "--keep-fixtures: {} lights {} × {} sockets, {} {} × {}; its lamps do not fit what hangs then",
            later.name, later.fixtures, later.lamps_per_fixture, now.name, now.fixtures, now.lamps_per_fixture
        ));
    }
    let sockets = now.sockets() as u64 * u64::from(order.rooms);
    if u64::from(order.watch) > sockets {
        return Err(format!("--watch {}: there are {sockets} sockets in which lamps can be watched", order.watch));
    }
    let contract = &form.contracts[order.contract];
    path_fault(contract).map_or(Ok(()), |why| {
        Err(format!(
            "contract {}: {why}, which would begin anew at the change; `stage` follows a price_change and levels year by \
             year",
            contract.name
        ))
    })
}

/// What of a price path cannot be cut in two.
fn path_fault(contract: &Contract) -> Option<&'static str> {
    let path = contract.price_path.as_ref()?;
    let parts = [&path.energy, &path.riders, &path.demand, &path.fixed];
    if path.market.is_some() {
        Some("its price_path follows a market")
    } else if path.basis == Some(PathBasis::Nominal) {
        Some("its price_path is nominal")
    } else if parts.into_iter().flatten().any(|part| part.rise.is_some()) {
        Some("its price_path has a rise of single parts")
    } else {
        None
    }
}

/// The scenario from the change on, with new lamps. A year that no calendar has is the plan's to refuse.
fn tail_form(form: &Scenario, plan: &Plan, order: &StageOrder) -> Scenario {
    let years = order.after_years;
    let mut tail = form.clone();
    tail.horizon_years = plan.years - years;
    let first = plan.first_day;
    tail.start = format!("{:04}-{:02}-01", i64::from(first.year()) + i64::from(years), first.month());
    tail.prices_of = Some(plan.prices_of.clone());
    // the room is in use: the evening before the change burns on
    tail.photoperiod.already_running = Some(true);
    tail.options.iter_mut().for_each(|option| option.in_sockets = None);
    for contract in &mut tail.contracts {
        let Some(path) = &mut contract.price_path else { continue };
        for part in [&mut path.energy, &mut path.riders, &mut path.demand, &mut path.fixed].into_iter().flatten() {
            if let Some(levels) = &mut part.levels {
                levels.drain(..levels.len().min(years as usize));
            }
        }
    }
    tail
}

fn first(faults: &[Fault]) -> String {
    faults
        .first()
        .map_or_else(String::new, |fault| format!("{}: {}; allowed: {}", fault.at, fault.found, fault.allowed))
}
