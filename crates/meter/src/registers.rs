//! What the registers show for one period, for lights of any power.

use tariff::{Peak, Reading};

/// Base load, lights and cooling side by side, the latter two for one unit of the lights' full power.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Mix {
    /// Base load, kW or kWh.
    pub base: f64,
    /// Lights, for 1 kW of their full power.
    pub lights: f64,
    /// Cooling, for 1 kW of the lights' full power and one unit of cooling power for each.
    pub cool: f64,
}

impl Mix {
    /// With lights of a power.
    pub fn with(self, lit: Lit) -> f64 {
        self.base + lit.kw * (self.lights + lit.cooling * self.cool)
    }

    /// Adds another, so many times.
    pub fn add(&mut self, other: Self, hours: f64) {
        self.base += other.base * hours;
        self.lights += other.lights * hours;
        self.cool += other.cool * hours;
    }
}

/// Lights of a power, and the power that cools them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lit {
    /// Full power of the lights, kW.
    pub kw: f64,
    /// Cooling power for each unit of the lights' power, at a month's factor of 1.
    pub cooling: f64,
    /// kvar for each kW of the lights.
    pub kvar: f64,
    /// kvar for each kW of cooling.
    pub cooling_kvar: f64,
}

/// An average over demand intervals that may be a period's highest, depending on the lights' power.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Its parts, kW.
    pub mix: Mix,
    /// Reactive power of the base load in it, kvar.
    pub base_kvar: f64,
    /// Beginning of its first interval, s.
    pub at: i64,
    /// Every run of intervals with this average, from and to, s; kept only where asked for.
    pub runs: Vec<(i64, i64)>,
}

/// What the registers show for one period.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Registers {
    /// kWh by energy rule.
    pub kwh: Vec<Mix>,
    /// kWh by month of the period.
    pub kwh_by_month: Vec<Mix>,
    /// Candidates for the highest demand of each demand rule, and at last of any time.
    pub peaks: Vec<Vec<Candidate>>,
}

impl Registers {
    pub(crate) fn open(&mut self, rules: usize, months: usize, lines: usize) {
        for (list, length) in [(&mut self.kwh, rules), (&mut self.kwh_by_month, months)] {
            list.clear();
            list.resize(length, Mix::default());
        }
        self.peaks.resize(lines + 1, vec![]);
        self.peaks.iter_mut().for_each(Vec::clear);
    }

    /// Takes an average into account. Whatever the lights' power, only a candidate that no other one exceeds in every part
    /// can be the highest.
    #[inline]
    pub(crate) fn offer(&mut self, line: usize, mix: Mix, base_kvar: f64, run: (i64, i64), keep: bool) {
        let candidates = &mut self.peaks[line];
        for known in candidates.iter_mut() {
            if known.mix == mix {
                if keep {
                    known.runs.push(run);
                }
                return;
            }
            if known.mix.base >= mix.base && known.mix.lights >= mix.lights && known.mix.cool >= mix.cool {
                return;
            }
        }
        candidates.retain(|k| !(mix.base >= k.mix.base && mix.lights >= k.mix.lights && mix.cool >= k.mix.cool));
        candidates.push(Candidate { mix, base_kvar, at: run.0, runs: if keep { vec![run] } else { vec![] } });
    }

    /// The highest candidate of a demand rule for lights of a power, of equals the earliest; nothing when the rule has no
    /// hours in the period.
    pub fn highest(&self, line: usize, lit: Lit) -> Option<&Candidate> {
        /// Averages that differ by no more than this share of themselves are one: what differs is rounding.
        const SAME: f64 = 1e-12;
        let mut best: Option<(&Candidate, f64)> = None;
        for candidate in &self.peaks[line] {
            let kw = candidate.mix.with(lit);
            best = match best {
                Some((_, most)) if kw > most * (1.0 + SAME) => Some((candidate, kw)),
                Some((first, most)) if kw >= most * (1.0 - SAME) && candidate.at < first.at => Some((candidate, kw)),
                None => Some((candidate, kw)),
                best => best,
            };
        }
        best.map(|(candidate, _)| candidate)
    }

    /// The highest demand of a demand rule for lights of a power.
    pub fn peak(&self, line: usize, lit: Lit) -> Peak {
        self.highest(line, lit).map_or_else(Peak::default, |candidate| {
            let mix = candidate.mix;
            Peak {
                kw: mix.with(lit),
                kvar: candidate.base_kvar
                    + lit.kw * (mix.lights * lit.kvar + lit.cooling * mix.cool * lit.cooling_kvar),
                at: Some(candidate.at),
            }
        })
    }

    /// The meter's reading for lights of a power. Blocks that fill in time order are not in it.
    pub fn reading(&self, lit: Lit, reading: &mut Reading) {
        reading.kwh.clear();
        reading.kwh.extend(self.kwh.iter().map(|mix| mix.with(lit)));
        reading.kwh_by_month.clear();
        reading.kwh_by_month.extend(self.kwh_by_month.iter().map(|mix| mix.with(lit)));
        reading.kwh_in_blocks.clear();
        reading.peaks.clear();
        let lines = self.peaks.len() - 1;
        reading.peaks.extend((0..lines).map(|line| self.peak(line, lit)));
        reading.highest = self.peak(lines, lit);
    }
}
