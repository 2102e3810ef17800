//! Living through a trial: every socket of an option from the first day to the horizon, without any price.

use lamp::{Life, WearOut};
use plan::{ClockPlan, OptionPlan};

use crate::ledger::Ledger;
use crate::light::{Burn, Light};
use crate::luck::{AT_ONCE, Luck};
use crate::numbers::Numbers;
use crate::room::Room;
use crate::wear::Wear;

/// Working memory for living one option on one clock; kept from trial to trial so that nothing is allocated.
#[derive(Debug, Clone, Default)]
pub struct Living {
    light: Light,
    wear: Wear,
    groups: Vec<f64>,
    /// Lamp lives of every socket: the j-th lamps of all sockets after the (j − 1)-th.
    lives: Vec<f64>,
    filled: usize,
    room: Room,
}

/// The smaller of two moments; neither is NaN.
#[inline(always)]
fn earlier(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
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
    let numbers = Numbers::new(option, clock, values);
    ledger.open(clock.months());
    let sockets = option.sockets();
    living.wear.set(numbers.wear, clock);
    if option.is_plain() {
        living.open(option, clock, values, &numbers);
        for socket in 0..sockets {
            living.socket(socket, &numbers, luck, ledger);
        }
        living.light.close(clock, &mut ledger.moles);
    } else {
        living.room.live(option, values, &numbers, &living.wear, luck, ledger);
    }
    let hours = clock.timeline.lit_hours * sockets as f64;
    ledger.burn_hours = hours - ledger.dark_hours;
    let all_starts = u64::from(clock.starts_between(0.0, f64::INFINITY)) * sockets as u64;
    // until here `starts` has counted those that were missed
    ledger.starts = all_starts - ledger.starts;
    numbers.flux * numbers.fading.fraction(0.0) * sockets as f64
}

impl Living {
    fn open(&mut self, option: &OptionPlan, clock: &ClockPlan, values: &[f64], numbers: &Numbers) {
        self.light.open(&numbers.fading, clock);
        self.filled = 0;
        option.relamp.dates(0, values, &numbers.fading, clock, clock.timeline.lit_hours, &mut self.groups);
    }

    /// A socket's lamp of an ordinal: its life in hours of rated life, and its initial flux in µmol/s.
    #[inline]
    fn lamp(&mut self, socket: usize, ordinal: usize, o: &Numbers, luck: &mut Luck) -> (f64, f64) {
        let life = o.lamp.as_ref().map_or(f64::INFINITY, |lamp| self.life(socket, ordinal, o.sockets, lamp, luck));
        let sigma = o.output_sigma;
        let flux = if sigma == 0.0 {
            o.flux
        } else {
            o.flux * (sigma * luck.output(socket, ordinal) - 0.5 * sigma * sigma).exp()
        };
        (life, flux)
    }

    /// Life of a socket's lamp of an ordinal, hours of rated life.
    #[inline]
    fn life(&mut self, socket: usize, ordinal: usize, sockets: usize, lamp: &Life, luck: &mut Luck) -> f64 {
        let WearOut::Weibull(weibull) = &lamp.wear_out else { return f64::INFINITY };
        let (scale, inverse_shape) = (weibull.scale(), weibull.inverse_shape());
        let life = if ordinal < AT_ONCE {
            while self.filled <= ordinal {
                let row = self.filled * sockets..(self.filled + 1) * sockets;
                if self.lives.len() < row.end {
                    self.lives.resize(row.end, 0.0);
                }
                draws::fill_lives(luck.lives(self.filled), scale, inverse_shape, &mut self.lives[row]);
                self.filled += 1;
            }
            self.lives[ordinal * sockets + socket]
        } else {
            draws::life(luck.life(socket, ordinal), scale, inverse_shape)
        };
        match lamp.early {
            Some(early) => match early.age_from(0.0, luck.early(socket, ordinal)) {
                Some(age) => life.min(age),
                None => life,
            },
            None => life,
        }
    }

    fn socket(&mut self, socket: usize, o: &Numbers, luck: &mut Luck, ledger: &mut Ledger) {
        let clock = o.clock;
        let end = clock.timeline.lit_hours;
        let gear_of = |ordinal: usize, luck: &mut Luck| {
            if o.gear_mean == f64::INFINITY { f64::INFINITY } else { o.gear_mean * luck.gear(socket, ordinal) }
        };
        let (mut lamp_ordinal, mut gear_ordinal, mut group) = (0, 0, 0);
        let (mut life, mut flux) = self.lamp(socket, 0, o, luck);
        let mut gear = gear_of(0, luck);
        // the socket is lit from `now` on, by a lamp whose age counts from `born`
        let (mut now, mut cell, mut born) = (0.0, 0, 0.0);
        loop {
            let lamp_fails = self.wear.spent(now, life, clock);
            let gear_fails = now + gear;
            let next_group = self.groups.get(group).copied().unwrap_or(f64::INFINITY);
            let planned = earlier(next_group, born + o.age_limit);
            let fails = earlier(lamp_fails, gear_fails);
            let next = earlier(planned, fails);
            let (to, to_cell) = if next < end { (next, clock.cell_at(next)) } else { (end, cell) };
            self.light.burn(Burn { from: now, from_cell: cell, to, to_cell, born, flux }, &o.fading, clock);
            if next >= end {
                return;
            }
            cell = to_cell;
            let month = clock.cells[cell].month;

            // how the socket goes on: lit again at `back`, with a new lamp or the old one
            let mut back = next;
            let mut new_lamp = true;
            let mut new_gear = false;
            if planned <= fails {
                ledger.planned_lamps[month] += 1;
                group += usize::from(next_group <= next);
            } else {
                let lamp_failed = lamp_fails <= gear_fails;
                back = if lamp_failed && o.wait_for_group { f64::INFINITY } else { self.mended(next, o) };
                new_gear = !lamp_failed;
                ledger.lamp_failures[month] += u32::from(lamp_failed);
                ledger.gear_failures[month] += u32::from(!lamp_failed);
                // group relamps until then reach this socket too, and the first of them mends a failed lamp
                let grouped = next_group <= back;
                if grouped && lamp_failed {
                    back = next_group;
                }
                while let Some(&date) = self.groups.get(group).filter(|&&date| date <= back) {
                    ledger.planned_lamps[clock.cells[clock.cell_at(date)].month] += 1;
                    group += 1;
                }
                if back > next {
                    ledger.dark(next, earlier(back, end), clock);
                    if back >= end {
                        return;
                    }
                    cell = clock.cell_at(back);
                }
                new_lamp = lamp_failed || grouped;
                let month = clock.cells[cell].month;
                ledger.spot_lamps[month] += u32::from(lamp_failed && !grouped);
                ledger.gear_repairs[month] += u32::from(!lamp_failed);
            }
            gear -= next - now;
            if new_gear {
                gear_ordinal += 1;
                gear = gear_of(gear_ordinal, luck);
            }
            if new_lamp {
                lamp_ordinal += 1;
                (life, flux) = self.lamp(socket, lamp_ordinal, o, luck);
                born = back;
            } else {
                life -= self.wear.between(now, next, clock);
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
}
