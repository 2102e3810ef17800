//! The headline of one option as arithmetic that a person can redo on paper.
//!
//! Belongs here: which lines lead to a levelized cost, and which inputs stand in them. Does not belong here: how they are
//! printed.
//!
//! All amounts are means over the trials. A mole costs
//! (outlay / U + upkeep a year + kWh a year × price of a kWh) / photons a year, photons being flux × 0.0036 × hours a year ×
//! light held. U is the number of constant years, Σ discount factors / 12; upkeep, price and light held are the constant ones
//! that come to the same present values. So the formula is mean PV(cost) over mean PV(mol) without any rest; the headline is the mean of the
//! trials' own ratios, and stands beside it.

use engine::Cause;
use finance::Booking;
use plan::{InputId, OptionPlan, Plan};

use crate::spread::mean;
use crate::summarize::given;
use crate::why::{MOL_PER_FLUX_HOUR, Note, full_light_hours};
use crate::why_report::{Given, Group, OptionSum, Origin, SumLine};
use crate::why_terms::{Term, evaluate, joined};

/// A sum that misses its value by more than this share is not shown: means of products are not products of means.
const CLOSES: f64 = 1e-9;

/// Causes that are kept up, in the order of the lines.
const UPKEEP: [Cause; 6] = [Cause::Lamps, Cause::Gear, Cause::Labour, Cause::Disposal, Cause::Cleaning, Cause::Credits];

/// What the sums of all options share.
pub(crate) struct Summing<'a> {
    pub plan: &'a Plan,
    pub contract: usize,
    pub seed: u64,
    pub trials: u64,
}

/// The sum of one option under way.
struct Sheet<'a> {
    summing: &'a Summing<'a>,
    index: usize,
    option: &'a OptionPlan,
    notes: &'a [&'a Note],
    lines: Vec<SumLine>,
    used: Vec<usize>,
}

impl Summing<'_> {
    /// Mean of an input over the trials; the value itself when it is certain.
    pub fn mean_of(&self, id: InputId) -> f64 {
        let inputs = &self.plan.inputs;
        if inputs.at(id).distribution.is_certain() || self.trials == 0 {
            return inputs.value(id, self.seed, 0);
        }
        let values: Vec<f64> = (0..self.trials).map(|trial| inputs.value(id, self.seed, trial)).collect();
        mean(&values).0.value
    }

    /// The arithmetic of an option with the notes of its trials.
    pub fn option(&self, index: usize, notes: &[&Note]) -> OptionSum {
        let option = &self.plan.options[index];
        let mut sheet = Sheet { summing: self, index, option, notes, lines: vec![], used: vec![] };
        let formula = sheet.work();
        let costs: Vec<f64> = notes.iter().map(|note| note.levelized).collect();
        let present = sheet.mean(|note| note.present.iter().sum());
        OptionSum {
            option: option.name.clone(),
            light_basis: option.light.basis.clone(),
            levelized: mean(&costs).0,
            ratio_of_means: present / sheet.mean(|note| note.moles),
            formula,
            behind: sheet.behind(),
            lines: sheet.lines,
        }
    }

    fn given(&self, id: InputId) -> Given {
        let input = self.plan.inputs.at(id);
        let (grade, stated) = given(input);
        Given {
            pointer: input.pointer.clone(),
            place: input.place.clone(),
            value: self.mean_of(id),
            unit: input.unit.clone(),
            certain: input.distribution.is_certain(),
            grade,
            stated,
        }
    }
}

impl Sheet<'_> {
    fn mean(&self, read: impl Fn(&Note) -> f64) -> f64 {
        mean(&self.notes.iter().map(|note| read(note)).collect::<Vec<_>>()).0.value
    }

    fn value(&self, id: InputId) -> f64 {
        self.summing.mean_of(id)
    }

    /// Adds a line and hands its value back. A sum that does not come to the value gives way to the value itself.
    fn line(&mut self, group: Group, what: &str, value: f64, unit: &str, sum: Sum) -> f64 {
        let Sum { working, origin, note, inputs } = sum;
        let closes = evaluate(&working).is_some_and(|found| (found - value).abs() <= CLOSES * value.abs());
        let note = if closes || working.is_empty() || !note.is_empty() {
            note
        } else {
            "mean over the trials, more than a sum of means".into()
        };
        self.used.extend(inputs.iter().map(|id| id.index()));
        self.lines.push(SumLine {
            group,
            what: what.into(),
            working: if closes { working } else { vec![value.into()] },
            value,
            unit: unit.into(),
            origin: if closes { origin } else { Origin::Simulated },
            note,
            inputs: inputs.into_iter().map(|id| self.summing.given(id)).collect(),
        });
        value
    }

    /// Works all lines out; the terms of the last one are handed back.
    fn work(&mut self) -> Vec<Term> {
        let years = self.constant_years();
        let outlay = self.outlay();
        let upkeep = self.upkeep(years);
        let kwh = self.kwh();
        let price = self.price(years, kwh);
        let moles = self.light(years);
        let mut terms: Vec<Term> = vec![100.0.into(), "×".into(), "(".into()];
        terms.extend([outlay.into(), "/".into(), years.into()]);
        if upkeep != 0.0 {
            terms.extend([if upkeep < 0.0 { "−" } else { "+" }.into(), upkeep.abs().into()]);
        }
        terms.extend(["+".into(), kwh.into(), "×".into(), price.into(), ")".into(), "/".into(), moles.into()]);
        terms
    }

    fn constant_years(&mut self) -> f64 {
        let (plan, value) = (self.summing.plan, self.mean(|note| note.years));
        let rate = 1.0 + self.value(plan.money.discount_rate);
        let horizon = f64::from(plan.years);
        let mut working: Vec<Term> = vec![];
        if rate == 1.0 {
            working.push(horizon.into());
        } else {
            // a geometric row: (1 − r⁻ⁿ) / (12 (r^(1/12) − 1)), half a month more of interest where money counts mid-month
            working.extend(["(".into(), 1.0.into(), "−".into(), 1.0.into(), "/".into(), rate.into(), "^".into()]);
            working.extend([horizon.into(), ")".into(), "/".into(), "(".into(), 12.0.into(), "×".into(), "(".into()]);
            working.extend([rate.into(), "^".into(), "(".into(), 1.0.into(), "/".into(), 12.0.into(), ")".into()]);
            working.extend(["−".into(), 1.0.into(), ")".into(), ")".into()]);
            if plan.money.booking == Booking::Middle {
                working.extend(["×".into(), rate.into(), "^".into(), "(".into(), 1.0.into(), "/".into()]);
                working.extend([24.0.into(), ")".into()]);
            }
        }
        let note = "the discount factors of all months, divided by 12";
        let sum = Sum { working, note: note.into(), origin: Origin::Inputs, inputs: vec![plan.money.discount_rate] };
        self.line(Group::Time, "constant years", value, "yr", sum)
    }

    /// Paid at the start: capital, plant, less rebates.
    fn outlay(&mut self) -> f64 {
        let (option, plan) = (self.option, self.summing.plan);
        let fixtures = f64::from(option.fixtures);
        let (price, installation) = (option.fixture_price, option.installation);
        let currency = plan.currency.clone();
        let mut working: Vec<Term> = vec![fixtures.into(), "×".into(), "(".into()];
        working.extend(joined(&[self.value(price), self.value(installation)], "+"));
        working.push(")".into());
        let mut inputs = vec![price, installation];
        let mut what = "fixtures, hung".to_owned();
        let fill = option.lamp.as_ref().filter(|lamp| option.in_sockets.is_none() && !lamp.is_fixture);
        if let Some(lamp) = fill {
            working.extend(["+".into(), (option.sockets() as f64).into(), "×".into()]);
            working.push(self.value(lamp.price).into());
            inputs.push(lamp.price);
            what.push_str(", first lamps");
        }
        let capital = self.mean(|note| note.present[Cause::Capital as usize]);
        let sum = Sum { working, inputs, ..Sum::of_inputs() };
        let capital = self.line(Group::Start, &what, capital, &currency, sum);
        let mut all = vec![capital.into()];
        let plant = self.mean(|note| note.present[Cause::Plant as usize]);
        let mut outlay = capital;
        if let Some(build_out) = plan.build_out {
            let prices: Vec<InputId> = build_out.service.into_iter().chain(build_out.cooling_plant).collect();
            let mut working = joined(&[fixtures, self.value(option.wall_power)], "×");
            working.extend(["/".into(), 1000.0.into(), "×".into(), "(".into()]);
            working.extend(joined(&prices.iter().map(|&id| self.value(id)).collect::<Vec<_>>(), "+"));
            working.push(")".into());
            let sum = Sum { working, inputs: prices, ..Sum::of_inputs() };
            outlay += self.line(Group::Start, "service and plant built for them", plant, &currency, sum);
            all.extend(["+".into(), plant.into()]);
        }
        if let Some(rebate) = option.rebate {
            let back = fixtures * self.value(rebate);
            let working = joined(&[fixtures, self.value(rebate)], "×");
            let sum = Sum { working, inputs: vec![rebate], ..Sum::of_inputs() };
            outlay -= self.line(Group::Start, "rebates", back, &currency, sum);
            all.extend(["−".into(), back.into()]);
        }
        if all.len() > 1 {
            self.line(Group::Start, "paid at the start", outlay, &currency, Sum::of_lines(all));
        }
        outlay
    }

    /// What is paid for upkeep, as a constant amount a year.
    fn upkeep(&mut self, years: f64) -> f64 {
        let (option, horizon) = (self.option, f64::from(self.summing.plan.years));
        let unit = format!("{}/yr", self.summing.plan.currency);
        let start = option.rebate.map_or(0.0, |rebate| f64::from(option.fixtures) * self.value(rebate));
        let mut all: Vec<f64> = vec![];
        for cause in UPKEEP {
            let k = cause as usize;
            let back = if cause == Cause::Credits { start } else { 0.0 };
            let (present, total) = (self.mean(|note| note.present[k]) + back, self.mean(|note| note.total[k]) + back);
            if present == 0.0 && total == 0.0 {
                continue;
            }
            let (counted, inputs) = self.counted(cause);
            let closes = evaluate(&counted).is_some_and(|found| (found - total).abs() <= CLOSES * total.abs());
            let mut working: Vec<Term> = vec![];
            match closes {
                true if counted.len() > 3 => {
                    working.push("(".into());
                    working.extend(counted);
                    working.push(")".into());
                }
                true => working.extend(counted),
                false => working.push(total.into()),
            }
            // when it is paid: 1 if spread evenly
            let timing = (present / years) / (total / horizon);
            working.extend(["/".into(), horizon.into(), "×".into(), timing.into()]);
            let note = match closes {
                true => "counts are means over the trials; the last factor is when they come, 1 if spread evenly",
                false => "its sum over the horizon, mean over the trials, and when it comes, 1 if spread evenly",
            };
            let sum = Sum { working, origin: Origin::Simulated, note: note.into(), inputs };
            all.push(self.line(Group::Upkeep, cause.label(), present / years, &unit, sum));
        }
        let sum = all.iter().sum();
        if all.len() > 1 {
            self.line(Group::Upkeep, "upkeep", sum, &unit, Sum::of_lines(added(&all)));
        }
        sum
    }

    /// A cause's sum over the horizon as counts times prices, and the inputs in it.
    fn counted(&self, cause: Cause) -> (Vec<Term>, Vec<InputId>) {
        let option = self.option;
        let lamp = option.lamp.as_ref();
        let bought = self.mean(|note| note.lamps[0]);
        let of: Vec<(f64, InputId)> = match cause {
            Cause::Lamps => lamp.map(|lamp| (bought, lamp.price)).into_iter().collect(),
            Cause::Disposal => lamp.map(|lamp| (bought, lamp.disposal)).into_iter().collect(),
            Cause::Gear => option.gear.iter().map(|gear| (self.mean(|note| note.repairs), gear.price)).collect(),
            Cause::Labour => {
                let spot = option.spot_labour.map(|id| (self.mean(|note| note.lamps[1]), id));
                let planned = option.planned_labour.map(|id| (self.mean(|note| note.lamps[2]), id));
                let gear = option.gear.as_ref().map(|gear| (self.mean(|note| note.repairs), gear.labour));
                spot.into_iter().chain(planned).chain(gear).collect()
            }
            Cause::Cleaning => {
                let times = self.mean(|note| note.cleanings) * f64::from(option.fixtures);
                option.cleaning.map(|cleaning| (times, cleaning.cost)).into_iter().collect()
            }
            _ => vec![],
        };
        let mut terms = vec![];
        for (k, &(count, id)) in of.iter().enumerate() {
            if k > 0 {
                terms.push("+".into());
            }
            terms.extend(joined(&[count, self.value(id)], "×"));
        }
        (terms, of.into_iter().map(|(_, id)| id).collect())
    }

    fn kwh(&mut self) -> f64 {
        let (option, plan) = (self.option, self.summing.plan);
        let horizon = f64::from(plan.years);
        let power = self.value(option.wall_power);
        let kw = f64::from(option.fixtures) * power / 1000.0;
        let working = [joined(&[f64::from(option.fixtures), power], "×"), vec!["/".into(), 1000.0.into()]].concat();
        let sum = Sum { working, inputs: vec![option.wall_power], ..Sum::of_inputs() };
        let kw = self.line(Group::Electricity, "lights", kw, "kW", sum);
        let pieces = &plan.contracts[self.summing.contract].lit.pieces;
        let hours = pieces.iter().map(|piece| piece.hours() * piece.mix.lights).sum::<f64>() / horizon;
        let note = "of the schedule, dimmed ones by their power; mean of the horizon's years".into();
        let sum = Sum { working: vec![hours.into()], note, ..Sum::of_inputs() };
        self.line(Group::Electricity, "hours at full power", hours, "h/yr", sum);
        let kwh = self.mean(|note| note.kwh) / horizon;
        let share = kwh / (kw * hours);
        let note = "the last factor is what dark sockets leave, and power that drifts adds; mean over the trials";
        let working = joined(&[kw, hours, share], "×");
        let sum = Sum { working, origin: Origin::Simulated, note: note.into(), inputs: vec![] };
        self.line(Group::Electricity, "energy", kwh, "kWh/yr", sum)
    }

    /// What a kWh costs, as a constant price.
    fn price(&mut self, years: f64, kwh: f64) -> f64 {
        let plan = self.summing.plan;
        let unit = format!("{}/kWh", plan.currency);
        let mut inputs = plan.contracts[self.summing.contract].prices.clone();
        let mut all = vec![];
        for cause in [Cause::Energy, Cause::Demand, Cause::Charges, Cause::Cooling] {
            let yearly = self.mean(|note| note.present[cause as usize]) / years;
            if yearly == 0.0 {
                continue;
            }
            let cooling = plan.cooling.as_ref().filter(|_| cause == Cause::Cooling).map(|c| [c.cop, c.heat_share]);
            // prices of the contract stand where the first line is made of them
            let inputs = cooling.map_or_else(|| std::mem::take(&mut inputs), Vec::from);
            let note =
                "what the bills come to as a constant amount a year, mean over the trials; `bill` has them by line";
            let working = joined(&[yearly, kwh], "/");
            let sum = Sum { working, origin: Origin::Simulated, note: note.into(), inputs };
            let what = format!("{} for a kWh", cause.label());
            all.push(self.line(Group::Electricity, &what, yearly / kwh, &unit, sum));
        }
        let price = all.iter().sum();
        if all.len() > 1 {
            self.line(Group::Electricity, "price of a kWh", price, &unit, Sum::of_lines(joined(&all, "+")));
        }
        price
    }

    /// Photons a year: flux of the room when new, hours of full light, and the share of it that was held.
    fn light(&mut self, years: f64) -> f64 {
        let (option, plan) = (self.option, self.summing.plan);
        let light = &option.light;
        let fixtures = f64::from(option.fixtures);
        let flux = self.mean(|note| note.flux);
        let of: Vec<InputId> = light.factors().collect();
        let product: Vec<f64> = of.iter().map(|&id| self.value(id)).collect();
        let measured: f64 = product.iter().product();
        // what was measured of a used or dirty fixture is made that of a new one
        let new = flux / fixtures / measured;
        let mut working = joined(&product, "×");
        let mut note = String::new();
        if (new - 1.0).abs() > CLOSES {
            working.extend(["×".into(), new.into()]);
            note = "the last factor makes what was measured the light of a new, clean fixture".into();
        }
        let sum = Sum { working, note, inputs: of, ..Sum::of_inputs() };
        let fixture = self.line(Group::Light, "light of a new fixture", flux / fixtures, "µmol/s", sum);
        let sum = Sum::of_lines(joined(&[fixtures, fixture], "×"));
        let flux = self.line(Group::Light, "light of the room when new", flux, "µmol/s", sum);
        let clock = &plan.clocks[plan.contracts[self.summing.contract].clock];
        let hours = full_light_hours(clock) / f64::from(plan.years);
        let note = "of the schedule, dimmed ones by their light; mean of the horizon's years".into();
        let sum = Sum { working: vec![hours.into()], note, ..Sum::of_inputs() };
        self.line(Group::Light, "hours of full light", hours, "h/yr", sum);
        let held = self.mean(|note| note.moles) / years / (flux * MOL_PER_FLUX_HOUR * hours);
        let note = "share that fading, dirt and dark sockets left, weighted as money is by when it comes; mean over the trials";
        let sum = Sum { working: vec![held.into()], origin: Origin::Simulated, note: note.into(), inputs: vec![] };
        self.line(Group::Light, "light held", held, "1", sum);
        let moles = flux * MOL_PER_FLUX_HOUR * hours * held;
        let sum = Sum::of_lines(joined(&[flux, MOL_PER_FLUX_HOUR, hours, held], "×"));
        self.line(Group::Light, "photons", moles, "mol/yr", sum)
    }

    /// Inputs of the option, the contract and the room that stand in no line.
    fn behind(&self) -> Vec<Given> {
        let Summing { plan, contract, .. } = *self.summing;
        plan.input_ids()
            .filter(|&id| plan.option_of(id).is_none_or(|owner| owner == self.index))
            .filter(|&id| plan.contract_of(id).is_none_or(|owner| owner == contract))
            .filter(|id| !self.used.contains(&id.index()) && !plan.inputs.at(*id).is_handle)
            .map(|id| self.summing.given(id))
            .collect()
    }
}

/// Amounts added up; those below zero are taken off.
fn added(amounts: &[f64]) -> Vec<Term> {
    let mut terms = vec![];
    for (k, &amount) in amounts.iter().enumerate() {
        match k {
            0 => terms.push(amount.into()),
            _ => terms.extend([if amount < 0.0 { "−" } else { "+" }.into(), amount.abs().into()]),
        }
    }
    terms
}

/// How a line comes about.
struct Sum {
    working: Vec<Term>,
    origin: Origin,
    note: String,
    inputs: Vec<InputId>,
}

impl Sum {
    fn of_inputs() -> Self {
        Self { working: vec![], origin: Origin::Inputs, note: String::new(), inputs: vec![] }
    }

    fn of_lines(working: Vec<Term>) -> Self {
        Self { working, origin: Origin::Lines, ..Self::of_inputs() }
    }
}
