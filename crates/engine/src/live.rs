//! Living through a trial: every socket of an option from the first day to the horizon, without any price.

use lamp::{Maintenance, StartWear, Weibull};
use plan::{ClockPlan, MaintenancePlan, OptionPlan, RelampPlan};

use crate::ledger::Ledger;
use crate::light::Light;
use crate::luck::{AT_ONCE, Luck};
use crate::wear::Wear;

/// Working memory for living one option on one clock; kept from trial to trial so that nothing is allocated.
#[derive(Debug, Clone, Default)]
pub struct Living {
    light: Light,
    wear: Wear,
    groups: Vec<f64>,
    /// Lamp lives of every socket, row j for the j-th lamp.
    rows: Vec<Vec<f64>>,
    filled: usize,
}

/// A lamp type in one trial.
struct LampType {
    life: Weibull,
    early: Option<(f64, f64)>,
}

/// The numbers of an option in one trial.
struct Numbers<'a> {
    clock: &'a ClockPlan,
    fading: Maintenance,
    /// Initial flux of one lamp, µmol/s.
    flux: f64,
    /// Spread of initial output on the log scale; 0 for none.
    output_sigma: f64,
    /// Power of one socket at the wall, kW.
    kw: f64,
    lamp: Option<LampType>,
    /// Mean gear life, burn hours; infinite when nothing fails.
    gear_mean: f64,
    relamp: RelampPlan,
    /// Age at which a lamp is replaced as planned, burn hours; infinite for never.
    age_limit: f64,
    /// Days between a failure and its mending.
    found_after: f64,
}

/// Lives one option through one trial on one clock.
///
/// `values` are the trial's inputs in the plan's order, `luck` is turned to the trial; the ledger is overwritten. The
/// returned number is the delivered flux of the whole room when new, µmol/s.
///
/// A socket's lamp burns whenever the schedule says so, until it fails, its turn for a planned replacement comes, its
/// gear fails or the horizon ends. A failure leaves the socket dark until it is mended. While gear is down its lamp does
/// not age.
pub fn live(
    option: &OptionPlan,
    clock: &ClockPlan,
    values: &[f64],
    luck: &mut Luck,
    living: &mut Living,
    ledger: &mut Ledger,
) -> f64 {
    let numbers = numbers(option, clock, values);
    ledger.open(clock.months(), clock.classes);
    living.open(option, clock, values, &numbers);
    let sockets = option.sockets();
    for socket in 0..sockets {
        living.socket(socket, sockets, &numbers, luck, ledger);
    }
    living.light.close(clock, &mut ledger.moles);
    let hours = clock.timeline.lit_hours * sockets as f64;
    ledger.burn_hours = hours - ledger.dark_hours;
    let all_starts = u64::from(clock.starts_between(0.0, f64::INFINITY)) * sockets as u64;
    // until here `starts` has counted those that were missed
    ledger.starts = all_starts - ledger.starts;
    let full = numbers.kw * sockets as f64;
    for (kwh, hours) in ledger.kwh.iter_mut().zip(&clock.power_hours) {
        *kwh += full * hours;
    }
    numbers.flux * numbers.fading.fraction(0.0) * sockets as f64
}

fn numbers<'a>(option: &OptionPlan, clock: &'a ClockPlan, values: &[f64]) -> Numbers<'a> {
    let value = |id: plan::InputId| values[id.index()];
    let fading = match &option.maintenance {
        MaintenancePlan::Exponential { start, rate } => {
            Maintenance::Exponential { start: value(*start), rate: value(*rate) }
        }
        MaintenancePlan::Curve(curve) => curve.clone(),
    };
    let measured = value(option.flux.0) * value(option.flux.1) * value(option.spill);
    // what was measured holds the fading of the lamp until then: divide it out
    let flux = measured / fading.fraction(value(option.lamp_hours)) / f64::from(option.lamps_per_fixture);
    let spread = option.lamp_to_lamp.map_or(0.0, value);
    let per_year = option.gear.as_ref().map_or(0.0, |gear| value(gear.failures_per_year));
    let burn_hours_per_year = clock.timeline.lit_hours / (clock.months() as f64 / 12.0);
    Numbers {
        clock,
        flux,
        fading,
        output_sigma: (spread * spread).ln_1p().sqrt(),
        kw: value(option.wall_power) / 1000.0 / f64::from(option.lamps_per_fixture),
        lamp: option.lamp.as_ref().and_then(|lamp| {
            Some(LampType {
                life: Weibull::from_b50(value(lamp.b50), value(lamp.shape))?,
                early: lamp.early.map(|(share, within)| (value(share), value(within))),
            })
        }),
        gear_mean: if per_year > 0.0 { burn_hours_per_year / per_year } else { f64::INFINITY },
        relamp: option.relamp,
        age_limit: match option.relamp {
            RelampPlan::ByAge { at } => value(at),
            _ => f64::INFINITY,
        },
        found_after: value(option.found_after),
    }
}

impl Living {
    fn open(&mut self, option: &OptionPlan, clock: &ClockPlan, values: &[f64], numbers: &Numbers) {
        let value = |id: plan::InputId| values[id.index()];
        self.light.open(&numbers.fading, clock);
        self.filled = 0;
        if let Some(lamp) = &option.lamp {
            let wear = StartWear {
                start_cost: value(lamp.start_cost),
                rated_hours_per_start: value(lamp.rated_hours_per_start),
            };
            self.wear.set(wear, clock);
        }
        self.groups.clear();
        if let RelampPlan::Group { every, at_turnaround, .. } = option.relamp {
            let (every, end) = (value(every), clock.timeline.lit_hours);
            let mut last = 0.0;
            loop {
                let due = last + every;
                let next = if at_turnaround {
                    clock.timeline.turns.iter().copied().find(|&turn| turn >= due).unwrap_or(f64::INFINITY)
                } else {
                    due
                };
                if next >= end {
                    break;
                }
                self.groups.push(next);
                last = next;
            }
        }
    }

    /// Life of a socket's lamp of an ordinal, hours of rated life.
    fn life(&mut self, socket: usize, ordinal: usize, sockets: usize, lamp: &LampType, luck: &mut Luck) -> f64 {
        let (scale, inverse_shape) = (lamp.life.scale(), lamp.life.inverse_shape());
        let life = if ordinal < AT_ONCE {
            while self.filled <= ordinal {
                if self.rows.len() == self.filled {
                    self.rows.push(vec![0.0; sockets]);
                }
                draws::fill_lives(luck.lives(self.filled), scale, inverse_shape, &mut self.rows[self.filled]);
                self.filled += 1;
            }
            self.rows[ordinal][socket]
        } else {
            draws::life(luck.life(socket, ordinal), scale, inverse_shape)
        };
        match lamp.early {
            Some((share, within)) if share > 0.0 => {
                // given that it is below the share, the number over the share is uniform again
                let u = luck.early(socket, ordinal);
                if u < share { life.min(within * u / share) } else { life }
            }
            _ => life,
        }
    }

    fn socket(&mut self, socket: usize, sockets: usize, o: &Numbers, luck: &mut Luck, ledger: &mut Ledger) {
        let clock = o.clock;
        let end = clock.timeline.lit_hours;
        let flux_of = |ordinal: usize, luck: &Luck| {
            if o.output_sigma == 0.0 {
                o.flux
            } else {
                let sigma = o.output_sigma;
                o.flux * (sigma * luck.output(socket, ordinal) - 0.5 * sigma * sigma).exp()
            }
        };
        let month = |u: f64| clock.cells[clock.cell_at(u)].month;
        let life_of = |living: &mut Self, ordinal: usize, luck: &mut Luck| match &o.lamp {
            Some(lamp) => living.life(socket, ordinal, sockets, lamp, luck),
            None => f64::INFINITY,
        };
        let gear_of = |ordinal: usize, luck: &mut Luck| {
            if o.gear_mean == f64::INFINITY { f64::INFINITY } else { o.gear_mean * luck.gear(socket, ordinal) }
        };

        let (mut now, mut born) = (0.0, 0.0);
        let (mut lamp_ordinal, mut gear_ordinal, mut group) = (0, 0, 0);
        let mut life = life_of(self, 0, luck);
        let mut gear = gear_of(0, luck);
        let mut flux = flux_of(0, luck);
        loop {
            let lamp_fails = if life == f64::INFINITY { life } else { self.wear.spent(now, life, clock) };
            let gear_fails = now + gear;
            let next_group = self.groups.get(group).copied().unwrap_or(f64::INFINITY);
            let planned = next_group.min(born + o.age_limit);
            let next = lamp_fails.min(gear_fails).min(planned);
            if next >= end {
                self.light.burn(now, end, born, flux, &o.fading, clock);
                return;
            }
            self.light.burn(now, next, born, flux, &o.fading, clock);

            // how the socket goes on: lit again at `back`, with a new lamp or the old one
            let mut back = next;
            let mut new_lamp = true;
            if planned <= next {
                ledger.planned_lamps[month(next)] += 1;
                group += usize::from(next_group <= next);
            } else {
                back = self.mended(next, o);
                let lamp_failed = lamp_fails <= gear_fails;
                if lamp_failed {
                    ledger.lamp_failures[month(next)] += 1;
                    if matches!(o.relamp, RelampPlan::Group { spot_between: false, .. }) {
                        back = f64::INFINITY;
                    }
                } else {
                    ledger.gear_failures[month(next)] += 1;
                }
                // a group relamp that comes first reaches this socket too, and mends a failed lamp
                let grouped = next_group <= back;
                if grouped && lamp_failed {
                    back = next_group;
                }
                while let Some(&date) = self.groups.get(group).filter(|&&date| date <= back) {
                    ledger.planned_lamps[month(date)] += 1;
                    group += 1;
                }
                self.dark(next, back.min(end), o, ledger);
                if back >= end {
                    return;
                }
                if lamp_failed && !grouped {
                    ledger.spot_lamps[month(back)] += 1;
                }
                if !lamp_failed {
                    ledger.gear_repairs[month(back)] += 1;
                    new_lamp = grouped;
                }
            }
            if planned <= next || lamp_fails <= gear_fails {
                gear -= next - now;
            } else {
                gear_ordinal += 1;
                gear = gear_of(gear_ordinal, luck);
            }
            if new_lamp {
                lamp_ordinal += 1;
                life = life_of(self, lamp_ordinal, luck);
                flux = flux_of(lamp_ordinal, luck);
                born = back;
            } else {
                life -= if life == f64::INFINITY { 0.0 } else { self.wear.between(now, next, clock) };
                born += back - next;
            }
            now = back;
        }
    }

    /// The moment of the schedule at which a failure at `failed` is mended.
    fn mended(&self, failed: f64, o: &Numbers) -> f64 {
        if o.found_after == 0.0 {
            return failed;
        }
        let timeline = &o.clock.timeline;
        let when = timeline.elapsed_at(failed) + 24.0 * o.found_after;
        if when >= timeline.elapsed_hours { f64::INFINITY } else { timeline.lit_before(when).max(failed) }
    }

    /// Takes the energy, hours and starts of a dark socket off the ledger.
    fn dark(&self, from: f64, to: f64, o: &Numbers, ledger: &mut Ledger) {
        if to <= from {
            return;
        }
        let clock = o.clock;
        ledger.dark_hours += to - from;
        ledger.starts += u64::from(clock.starts_between(from, to));
        let stretches = &clock.timeline.stretches;
        for (k, stretch) in stretches.iter().enumerate().skip(clock.timeline.stretch_at(from)) {
            if stretch.u >= to {
                break;
            }
            let hours = (stretch.u + stretch.hours).min(to) - stretch.u.max(from);
            if hours > 0.0 {
                ledger.kwh[stretch.month * clock.classes + clock.class_of[k]] -= o.kw * stretch.power * hours;
            }
        }
    }
}
