//! Adding up photons where light depends on more than the hours of a lamp: dirt by the calendar, light lost at starts, a
//! pace of fading for each lamp, a ceiling of PPFD.
//!
//! The schedule is cut into spells: cells that no cleaning interrupts. Dirt follows the calendar, which jumps from burn to
//! burn; so a spell with dirt gets a rule of its own, with five nodes and weights that hold the dirt of every burn. A lamp's
//! fading is smooth over a spell, and the rule then gives ∫ M·D to some 1e-10 of itself. Where it is
//! not smooth (a kink of a table, the first weeks of a lamp, a part of a spell) it is integrated burn by burn.

use lamp::{Dirt, Maintenance, NODES};
use plan::{ClockPlan, OptionPlan, PpfdMap};

use crate::ledger::Ledger;
use crate::numbers::{HOURS_A_YEAR, Numbers, dirt, measured_share};

const MOL_PER_FLUX_HOUR: f64 = 3600.0 * 1e-6;

/// A lamp burning without a break, in schedule hours.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Burning {
    /// Beginning.
    pub from: f64,
    /// End.
    pub to: f64,
    /// Where the lamp's age counts from.
    pub born: f64,
    /// Its initial flux over that of the type.
    pub output: f64,
    /// Its pace of fading over that of the type.
    pub pace: f64,
}

/// A run of schedule hours that is even but for fading and dirt.
#[derive(Debug, Clone, Copy, Default)]
struct Spell {
    from: f64,
    to: f64,
    month: usize,
    /// Share of full flux while lit.
    flux: f64,
    /// Share of light that starts leave.
    kept: f64,
    /// Elapsed hours at the last cleaning.
    cleaned: f64,
    /// Weights of the rule's nodes; 0 when there is no dirt.
    weights: [f64; 5],
}

/// What dims a room by the calendar.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Grime {
    dirt: Dirt,
    /// Rate at which optics lose light for good, 1/yr.
    optics: f64,
}

/// What spells are made for: dirt, losses at starts, and cleanings.
type Cuts = (Option<Grime>, [f64; 3], Vec<(f64, f64)>);

/// Adds up what lamps give and how old they are, by month.
#[derive(Debug, Clone, Default)]
pub(crate) struct Glow {
    spells: Vec<Spell>,
    /// Dirt at three points of each stretch of the schedule; NaN where a cleaning interrupts it, empty without dirt.
    grimy: Vec<[f64; 3]>,
    /// What the spells were made for.
    made_for: Option<Cuts>,
    grime: Option<Grime>,
    flux: f64,
    /// Shares of output at which a point of the canopy reaches the ceiling, rising; and, from each on, the level and the
    /// slope of useful output. Empty without a ceiling.
    bends: Vec<(f64, f64, f64)>,
    useful: Vec<f64>,
    hours: Vec<f64>,
    ages: Vec<f64>,
}

impl Grime {
    fn of(option: &OptionPlan, values: &[f64]) -> Option<Self> {
        let plan = option.light.dirt?;
        let optics = -(-values[plan.optics_lost_in_a_year.index()]).ln_1p();
        Some(Self { dirt: dirt(option, values), optics })
    }

    /// Share of light left at elapsed hours, after a cleaning at others.
    #[inline]
    fn share(&self, t: f64, cleaned: f64) -> f64 {
        self.dirt.fraction((t - cleaned) / HOURS_A_YEAR) * (-self.optics * t / HOURS_A_YEAR).exp()
    }
}

impl Glow {
    /// Empties the sums for a trial. `cleanings` are in order, each in schedule and in elapsed hours.
    pub fn open(&mut self, option: &OptionPlan, values: &[f64], o: &Numbers, cleanings: &[(f64, f64)]) {
        let value = |id: plan::InputId| values[id.index()];
        let months = o.clock.months();
        for sums in [&mut self.useful, &mut self.hours, &mut self.ages] {
            sums.clear();
            sums.resize(months, 0.0);
        }
        self.flux = o.flux;
        self.grime = Grime::of(option, values);
        let loss = option
            .light
            .start_loss
            .map_or([0.0; 3], |loss| [loss.warm_up, loss.re_strike, loss.hot_for].map(|id| value(id) / 60.0));
        let same = self
            .made_for
            .as_ref()
            .is_some_and(|(grime, before, cuts)| *grime == self.grime && *before == loss && cuts == cleanings);
        if !same {
            self.cut(o.clock, loss, cleanings);
            self.made_for = Some((self.grime, loss, cleanings.to_vec()));
        }
        self.bend(option, values, &o.fading);
    }

    fn cut(&mut self, clock: &ClockPlan, [warm_up, re_strike, hot_for]: [f64; 3], cleanings: &[(f64, f64)]) {
        self.spells.clear();
        let mut next = 0;
        let mut cleaned = 0.0;
        for cell in &clock.cells {
            let mut from = cell.from;
            let lost = warm_up + if cell.dark_hours < hot_for { re_strike } else { 0.0 };
            let kept = (1.0 - lost / cell.burn_hours).max(0.0);
            loop {
                while let Some(&(u, t)) = cleanings.get(next).filter(|cleaning| cleaning.0 <= from) {
                    let _ = u;
                    cleaned = t;
                    next += 1;
                }
                let to = cleanings.get(next).map_or(cell.to, |cleaning| cleaning.0.min(cell.to));
                let weights = [0.0; 5];
                self.spells.push(Spell { from, to, month: cell.month, flux: cell.flux, kept, cleaned, weights });
                from = to;
                if from >= cell.to {
                    break;
                }
            }
        }
        self.grimy.clear();
        if let Some(grime) = self.grime {
            self.spells.iter_mut().for_each(|spell| spell.weigh(grime, clock));
            let mut spell = 0;
            for stretch in &clock.timeline.stretches {
                while self.spells[spell].to <= stretch.u {
                    spell += 1;
                }
                let Spell { to, cleaned, .. } = self.spells[spell];
                let whole = stretch.u + stretch.hours <= to;
                let at = |x: f64| grime.share(stretch.t + 0.5 * stretch.hours * (1.0 + x), cleaned);
                self.grimy.push(if whole { THREE.map(|(x, _)| at(x)) } else { [f64::NAN; 3] });
            }
        }
    }

    /// Where points of the canopy reach the ceiling, as shares of a new lamp's full output.
    fn bend(&mut self, option: &OptionPlan, values: &[f64], fading: &Maintenance) {
        self.bends.clear();
        let Some(ceiling) = option.light.ceiling.map(|id| values[id.index()]) else { return };
        let light = &option.light;
        let new = values[light.spill.index()] * light.meter_factor(values) / measured_share(option, fading, values);
        let even;
        let map: &[(f64, f64)] = match &light.map {
            PpfdMap::Readings(readings) => readings,
            PpfdMap::Even(ppfd) => {
                even = [(values[ppfd.index()], 1.0)];
                &even
            }
            PpfdMap::Canopy(area) => {
                let flux = values[light.flux.0.index()] * values[light.flux.1.index()];
                even = [(flux * f64::from(option.fixtures) / values[area.index()], 1.0)];
                &even
            }
        };
        let mean: f64 = map.iter().map(|(ppfd, share)| ppfd * share).sum();
        // a map of readings is as far off as its mean
        let read = if matches!(light.map, PpfdMap::Readings(_)) { values[light.flux.0.index()] / mean } else { 1.0 };
        let new = new * read;
        let mut points: Vec<(f64, f64)> = map.iter().filter(|point| point.0 > 0.0).copied().collect();
        points.sort_by(|a, b| b.0.total_cmp(&a.0));
        let (mut level, mut slope) = (0.0, 1.0);
        for (ppfd, share) in points {
            // from here on this point's PPFD stands at the ceiling
            level += ceiling * share / (mean * new);
            slope -= ppfd * share / mean;
            self.bends.push((ceiling / (ppfd * new), level, slope.max(0.0)));
        }
    }

    /// Level and slope of useful output at a share of full output.
    fn useful_at(&self, output: f64) -> (f64, f64) {
        match self.bends.partition_point(|bend| bend.0 <= output) {
            0 => (0.0, 1.0),
            k => (self.bends[k - 1].1, self.bends[k - 1].2),
        }
    }

    /// Adds a lamp's burning.
    pub fn burn(&mut self, burning: Burning, fading: &Maintenance, clock: &ClockPlan, moles: &mut [f64]) {
        let Burning { from, to, born, pace, .. } = burning;
        let mut at = from;
        for &kink in fading.kinks() {
            let u = born + kink / pace;
            if u > at && u < to {
                self.burn_smooth(Burning { from: at, to: u, ..burning }, fading, clock, moles);
                at = u;
            }
        }
        self.burn_smooth(Burning { from: at, ..burning }, fading, clock, moles);
    }

    fn burn_smooth(&mut self, burning: Burning, fading: &Maintenance, clock: &ClockPlan, moles: &mut [f64]) {
        let Burning { from, to, born, output, .. } = burning;
        let first = self.spells.partition_point(|spell| spell.to <= from);
        for k in first..self.spells.len() {
            let spell = self.spells[k];
            let (a, e) = (from.max(spell.from), to.min(spell.to));
            if a >= to {
                break;
            }
            let shine = Shine { spell: &spell, grime: self.grime, grimy: &self.grimy, burning, fading, clock };
            let light = output * spell.flux * shine.hours(a, e);
            let scale = self.flux * spell.kept * MOL_PER_FLUX_HOUR;
            moles[spell.month] += scale * light;
            self.hours[spell.month] += e - a;
            self.ages[spell.month] += (e - a) * (0.5 * (a + e) - born);
            if !self.bends.is_empty() {
                self.useful[spell.month] += scale * self.useful_hours(&shine, a, e, light);
            }
        }
    }

    /// ∫ of useful output over a stretch whose whole output adds up to `light`. Output falls or rises over it.
    fn useful_hours(&self, shine: &Shine, a: f64, e: f64, light: f64) -> f64 {
        let (start, end) = (shine.output(a), shine.output(e));
        let (low, high) = if start < end { (start, end) } else { (end, start) };
        let crossed = self.bends.iter().map(|bend| bend.0).filter(|&bend| bend > low && bend < high);
        let mut cuts: Vec<f64> = crossed.map(|bend| shine.when(bend, a, e)).collect();
        let straight = |light: f64, hours: f64, output: f64| {
            let (level, slope) = self.useful_at(output);
            level * hours + slope * light
        };
        if cuts.is_empty() {
            return straight(light, e - a, 0.5 * (low + high));
        }
        cuts.extend([a, e]);
        cuts.sort_by(f64::total_cmp);
        let scale = shine.burning.output * shine.spell.flux;
        cuts.windows(2)
            .map(|cut| {
                straight(scale * shine.hours(cut[0], cut[1]), cut[1] - cut[0], shine.output(0.5 * (cut[0] + cut[1])))
            })
            .sum()
    }

    /// Hands the sums to the ledger.
    pub fn close(&mut self, option: &OptionPlan, ledger: &mut Ledger) {
        if !self.bends.is_empty() {
            ledger.useful_moles.clone_from(&self.useful);
        }
        if option.power_drift.is_some() {
            let mean = |(age, hours): (&f64, &f64)| if *hours > 0.0 { age / hours } else { 0.0 };
            ledger.mean_age.extend(self.ages.iter().zip(&self.hours).map(mean));
        }
    }
}

impl Spell {
    /// Works out the weights of the rule: ∫ D(t(u))·ℓⱼ(u) du with Lagrange's polynomials ℓⱼ over the nodes.
    fn weigh(&mut self, grime: Grime, clock: &ClockPlan) {
        let (middle, half) = (0.5 * (self.from + self.to), 0.5 * (self.to - self.from));
        self.weights = [0.0; 5];
        let mut basis = [0.0; 5];
        by_burn(clock, self.from, self.to, |_, a, e, t| {
            let mut add = |(u, share): (f64, f64)| {
                let dimmed = share * grime.share(t + (u - a), self.cleaned);
                lagrange((u - middle) / half, &mut basis);
                self.weights.iter_mut().zip(&basis).for_each(|(sum, l)| *sum += dimmed * l);
            };
            if t - self.cleaned < FRESH {
                NODES.into_iter().for_each(|node| add(graded(a, e, node, t - self.cleaned < e - a)));
            } else {
                THREE.into_iter().for_each(|(x, weight)| add(graded(a, e, (x, weight), false)));
            }
        });
    }
}

/// Place and weight of a node of the rule on a stretch; on a steep one u = a + (e − a)·v⁴, which makes a root at its
/// beginning smooth.
fn graded(a: f64, e: f64, (x, weight): (f64, f64), steep: bool) -> (f64, f64) {
    if steep {
        let v = 0.5 * (1.0 + x);
        (a + (e - a) * v.powi(4), 2.0 * v.powi(3) * (e - a) * weight)
    } else {
        (0.5 * (a + e) + 0.5 * (e - a) * x, 0.5 * (e - a) * weight)
    }
}

/// Lagrange's polynomials over the nodes at x.
fn lagrange(x: f64, basis: &mut [f64; 5]) {
    for (j, l) in basis.iter_mut().enumerate() {
        *l = (0..5).filter(|&k| k != j).map(|k| (x - FIVE[k]) / (FIVE[j] - FIVE[k])).product();
    }
}

/// Visits the parts of a run of the schedule within which the calendar runs on: the stretch, the part's bounds, and the
/// elapsed hours at the first.
fn by_burn(clock: &ClockPlan, from: f64, to: f64, mut visit: impl FnMut(usize, f64, f64, f64)) {
    let timeline = &clock.timeline;
    let mut at = from;
    let first = timeline.stretch_at(from);
    for (k, stretch) in timeline.stretches.iter().enumerate().skip(first) {
        let end = (stretch.u + stretch.hours).min(to);
        if end > at {
            visit(k, at, end, stretch.t + (at - stretch.u));
            at = end;
        }
        if at >= to {
            break;
        }
    }
}

/// One lamp in one spell.
struct Shine<'a> {
    spell: &'a Spell,
    grime: Option<Grime>,
    grimy: &'a [[f64; 3]],
    burning: Burning,
    fading: &'a Maintenance,
    clock: &'a ClockPlan,
}

impl Shine<'_> {
    /// M at a moment of the schedule.
    fn fading(&self, u: f64) -> f64 {
        self.fading.fraction(self.burning.pace * (u - self.burning.born))
    }

    /// Output at a moment, as a share of a new lamp's full output.
    fn output(&self, u: f64) -> f64 {
        let grime = self.grime.map_or(1.0, |grime| grime.share(self.clock.timeline.elapsed_at(u), self.spell.cleaned));
        self.burning.output * self.spell.flux * self.fading(u) * grime
    }

    /// ∫ M·D du between two moments of the spell.
    fn hours(&self, a: f64, e: f64) -> f64 {
        let Burning { born, pace, .. } = self.burning;
        let Some(grime) = self.grime else {
            return self.fading.integral(pace * (a - born), pace * (e - born)) / pace;
        };
        let spell = self.spell;
        let whole = a == spell.from && e == spell.to;
        // near its birth a lamp may fade too steeply for a polynomial over the spell
        if whole && a - born >= 2.0 * (e - a) {
            let (middle, half) = (0.5 * (a + e), 0.5 * (e - a));
            return FIVE.iter().zip(spell.weights).map(|(x, weight)| weight * self.fading(middle + half * x)).sum();
        }
        let mut sum = 0.0;
        by_burn(self.clock, a, e, |stretch, a, e, t| {
            let dimmed = |u: f64| self.fading(u) * grime.share(t + (u - a), spell.cleaned);
            // within a burn both hardly bend, but for a lamp just born and a fixture just cleaned
            let known = &self.grimy[stretch];
            sum += if a - born < FRESH || t - spell.cleaned < FRESH {
                let steep = a - born < e - a || t - spell.cleaned < e - a;
                let nodes = NODES.into_iter().map(|node| graded(a, e, node, steep));
                nodes.map(|(u, share)| share * dimmed(u)).sum::<f64>()
            } else if e - a == self.clock.timeline.stretches[stretch].hours && known[0] >= 0.0 {
                let mut dirt = known.iter();
                over_three(a, e, |u| self.fading(u) * dirt.next().unwrap_or(&0.0))
            } else {
                over_three(a, e, dimmed)
            };
        });
        sum
    }

    /// The moment between two others at which output passes a value that lies between theirs: false position, by which the
    /// end that stays put counts half (the Illinois rule).
    fn when(&self, output: f64, mut a: f64, mut e: f64) -> f64 {
        let (mut at_a, mut at_e) = (self.output(a) - output, self.output(e) - output);
        let enough = 1e-13 * output;
        for _ in 0..40 {
            let u = a - at_a * (e - a) / (at_e - at_a);
            let at_u = self.output(u) - output;
            if at_u.abs() <= enough {
                return u;
            }
            if (at_u > 0.0) == (at_e > 0.0) {
                at_a *= 0.5;
            } else {
                (a, at_a) = (e, at_e);
            }
            (e, at_e) = (u, at_u);
        }
        e
    }
}

/// Hours after a birth or a cleaning in which light may bend sharply.
const FRESH: f64 = 100.0;

/// Nodes of Gauss and Legendre's rule of five points (Abramowitz and Stegun, table 25.4, n = 5; from memory, held by the
/// laws of walked light).
const FIVE: [f64; 5] =
    [-0.906_179_845_938_664, -0.538_469_310_105_683_1, 0.0, 0.538_469_310_105_683_1, 0.906_179_845_938_664];

/// Gauss and Legendre's rule of three points: nodes ±√(3/5) and 0.
const THREE: [(f64, f64); 3] =
    [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];

/// ∫ f from a to c by the rule of three points, which are taken in order.
#[inline]
fn over_three(a: f64, c: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (middle, half) = (0.5 * (a + c), 0.5 * (c - a));
    half * THREE.iter().map(|&(x, weight)| weight * f(middle + half * x)).sum::<f64>()
}
