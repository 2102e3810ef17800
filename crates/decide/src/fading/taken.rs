//! Readings as the fit takes them.
//!
//! Belongs here: which are fitted, putting very many together, and the way back to the record. Does not belong here: fits.

use learn::fading::{Fading, LedFit, Outlier, Reading, cap_multiple};
use records::Readings;

use crate::fading_report::{Fate, LampTold, Mean, OutlierTold, Point};

/// Readings above which those of a lamp at nearly the same hours are put together.
const MOST: usize = 6_000;
/// Fewest spans of hours into which a lamp's readings are put together.
const FEWEST_SPANS: usize = 12;

/// Readings of lamps within so many hours of the first of them make a mean, h.
const TOGETHER: f64 = 96.0;

/// Lamps first read after so many hours are not new, h.
const NEW: f64 = 48.0;
/// Units that a sentence names.
const NAMED: usize = 5;

/// A reading that is fitted, and where it comes from.
#[derive(Debug, Clone, Copy)]
struct From {
    line: u64,
    fate: Fate,
}

/// The lamps that are fitted.
#[derive(Debug, Clone)]
pub(super) struct Taken {
    /// Their readings.
    pub lamps: Vec<Vec<Reading>>,
    /// Index of each among the lamps of the record.
    pub of: Vec<usize>,
    /// Whether readings were put together.
    pub is_merged: bool,
    from: Vec<Vec<From>>,
    /// Readings that are shown and not fitted: index among `lamps`, and the reading.
    aside: Vec<(usize, Reading, Fate)>,
}

impl Taken {
    /// Lamps with two readings or more that are not left out.
    pub fn new(readings: &Readings) -> Self {
        let count: usize = readings.lamps.iter().map(|lamp| lamp.readings.len()).sum();
        let is_merged = count > MOST;
        let spans = (MOST / readings.lamps.len().max(1)).max(FEWEST_SPANS);
        let mut taken = Self { lamps: vec![], of: vec![], is_merged, from: vec![], aside: vec![] };
        for (index, lamp) in readings.lamps.iter().enumerate() {
            let of = |r: &records::Reading| Reading { hours: r.burn_h, log_light: r.light.ln(), weight: 1.0 };
            let kept = || lamp.readings.iter().filter(|reading| !reading.is_left_out);
            if kept().count() < 2 {
                continue;
            }
            let place = taken.lamps.len();
            taken.aside.extend(lamp.readings.iter().filter(|r| r.is_left_out).map(|r| (place, of(r), Fate::LeftOut)));
            let own: Vec<Reading> = kept().map(of).collect();
            let lines = || kept().map(|reading| From { line: reading.line, fate: Fate::Fitted });
            if is_merged && own.len() > spans {
                let own = merged(&own, spans);
                taken.from.push(vec![From { line: 0, fate: Fate::Fitted }; own.len()]);
                taken.lamps.push(own);
            } else {
                taken.from.push(lines().collect());
                taken.lamps.push(own);
            }
            taken.of.push(index);
        }
        taken
    }

    /// Last burn hours of a fitted reading, h.
    pub fn last(&self) -> f64 {
        self.lamps.iter().flatten().map(|reading| reading.hours).fold(0.0, f64::max)
    }

    /// A reading that sticks out, in words of the record.
    pub fn told(&self, out: &Outlier, readings: &Readings) -> OutlierTold {
        let reading = self.lamps[out.lamp][out.reading];
        OutlierTold {
            lamp: readings.lamps[self.of[out.lamp]].lamp.clone(),
            burn_h: reading.hours,
            reading: reading.log_light.exp(),
            off: out.off,
            line: self.from[out.lamp][out.reading].line,
        }
    }

    /// Notes which readings stick out.
    pub fn mark(&mut self, found: &[Outlier], are_left_out: bool) {
        for out in found {
            self.from[out.lamp][out.reading].fate = if are_left_out { Fate::SticksOutLeftOut } else { Fate::SticksOut };
        }
    }

    /// The same without the readings that stick out; a lamp of which fewer than two would be left keeps its own.
    pub fn without(&self, found: &[Outlier]) -> Self {
        let mut taken = self.clone();
        for lamp in 0..self.lamps.len() {
            let is_out = |k: usize| found.iter().any(|out| (out.lamp, out.reading) == (lamp, k));
            let kept: Vec<usize> = (0..self.lamps[lamp].len()).filter(|k| !is_out(*k)).collect();
            if kept.len() < 2 || kept.len() == self.lamps[lamp].len() {
                continue;
            }
            taken.lamps[lamp] = kept.iter().map(|k| self.lamps[lamp][*k]).collect();
            taken.from[lamp] = kept.iter().map(|k| self.from[lamp][*k]).collect();
            let out = (0..self.lamps[lamp].len()).filter(|k| is_out(*k));
            taken.aside.extend(out.map(|k| (lamp, self.lamps[lamp][k], Fate::SticksOutLeftOut)));
        }
        taken
    }

    /// ln(light at 0 h) of a fitted lamp by the curve at its own pace; at the mean pace where lamps do not tell how they differ.
    fn level(&self, lamp: usize, fit: &Fading) -> f64 {
        let own = fit.paces.as_ref().and_then(|paces| paces.level(&self.lamps[lamp], &fit.fit.curve));
        if let Some(level) = own.filter(|level| level.is_finite()) {
            return level;
        }
        let (sum, weight) = self.lamps[lamp].iter().fold((0.0, 0.0), |(sum, weight), r| {
            (sum + r.weight * (r.log_light - fit.curve.log_share(r.hours)), weight + r.weight)
        });
        sum / weight
    }

    /// That the light at 0 h was seen by nobody, where the earliest reading is not one of new lamps.
    pub fn not_from_new(&self) -> Option<String> {
        let first = self.lamps.iter().flatten().map(|reading| reading.hours).fold(f64::INFINITY, f64::min);
        (first > NEW).then(|| {
            format!(
                "NO LAMP WAS READ BEFORE {first:.0} h: shares are of a light at 0 h that the curve makes up and nobody saw; what was \
                 seen is what is left of the light at {first:.0} h"
            )
        })
    }

    /// Units that the method for tests of LEDs leaves out because a time is missing, by name, and what that costs.
    pub fn missed(&self, readings: &Readings, led: &LedFit) -> Option<String> {
        let names: Vec<&str> = led.missed.iter().map(|unit| readings.lamps[self.of[*unit]].lamp.as_str()).collect();
        let (first, more) = (names.get(..names.len().min(NAMED))?, names.len().saturating_sub(NAMED));
        if first.is_empty() {
            return None;
        }
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let (before, now) = (cap_multiple(led.units + names.len()), cap_multiple(led.units));
        let times =
            |multiple: Option<f64>| multiple.map_or("not at all".to_owned(), |m| format!("up to {m} times the test"));
        let cost = if before == now {
            String::new()
        } else {
            format!("; it speaks {} instead of {}", times(now), times(before))
        };
        Some(format!(
            "Not read at every time and left out by the method for tests of LEDs, with all their readings: {}{more}; {} units \
             count{cost}",
            first.join(", "),
            led.units
        ))
    }

    /// All lamps of the record.
    pub fn lamps_told(&self, readings: &Readings, fit: &Fading) -> Vec<LampTold> {
        let told = |(index, lamp): (usize, &records::LampReadings)| {
            let place = self.of.iter().position(|of| *of == index);
            let ends = (lamp.readings.first(), lamp.readings.last());
            let hours = (ends.0.map_or(0.0, |r| r.burn_h), ends.1.map_or(0.0, |r| r.burn_h));
            let last = |place: usize| Some((self.lamps[place].last()?.log_light - self.level(place, fit)).exp());
            LampTold {
                name: lamp.lamp.clone(),
                fitted: place.map_or(0, |place| self.lamps[place].iter().map(|r| r.weight).sum::<f64>() as u64),
                hours,
                last_share: place.and_then(last),
            }
        };
        readings.lamps.iter().enumerate().map(told).collect()
    }

    /// Means of lamps that were read at nearly the same hours, without readings that stick out.
    pub fn means(&self, fit: &Fading) -> Vec<Mean> {
        let of = |lamp: usize| {
            let level = self.level(lamp, fit);
            let kept = self.lamps[lamp].iter().zip(&self.from[lamp]).filter(|(_, from)| from.fate == Fate::Fitted);
            kept.map(move |(r, _)| (r.hours, (r.log_light - level).exp(), lamp))
        };
        let mut all: Vec<(f64, f64, usize)> = (0..self.lamps.len()).flat_map(of).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut means = vec![];
        let mut rest = all.as_slice();
        while let Some(first) = rest.first() {
            let (group, after) = rest.split_at(rest.partition_point(|point| point.0 <= first.0 + TOGETHER));
            let mut lamps: Vec<usize> = group.iter().map(|point| point.2).collect();
            lamps.sort_unstable();
            lamps.dedup();
            let count = group.len() as f64;
            if lamps.len() > 1 {
                means.push(Mean {
                    burn_h: group.iter().map(|point| point.0).sum::<f64>() / count,
                    share: group.iter().map(|point| point.1).sum::<f64>() / count,
                    lamps: lamps.len() as u64,
                });
            }
            rest = after;
        }
        means
    }

    /// All readings as shares, lamp by lamp, by rising hours.
    pub fn points(&self, readings: &Readings, fit: &Fading) -> Vec<Point> {
        let mut points = vec![];
        for (place, index) in self.of.iter().enumerate() {
            let level = self.level(place, fit);
            let own = self.lamps[place].iter().zip(&self.from[place]).map(|(reading, from)| (*reading, from.fate));
            let aside = self.aside.iter().filter(|aside| aside.0 == place).map(|aside| (aside.1, aside.2));
            points.extend(own.chain(aside).map(|(reading, fate)| Point {
                lamp: *index,
                burn_h: reading.hours,
                reading: reading.log_light.exp(),
                share: Some((reading.log_light - level).exp()),
                by_curve: fit.curve.share(reading.hours),
                readings: reading.weight,
                fate,
            }));
        }
        for (index, lamp) in readings.lamps.iter().enumerate().filter(|(index, _)| !self.of.contains(index)) {
            points.extend(lamp.readings.iter().map(|reading| Point {
                lamp: index,
                burn_h: reading.burn_h,
                reading: reading.light,
                share: None,
                by_curve: fit.curve.share(reading.burn_h),
                readings: 1.0,
                fate: Fate::LeftOut,
            }));
        }
        points.sort_by(|a, b| a.lamp.cmp(&b.lamp).then(a.burn_h.total_cmp(&b.burn_h)));
        points
    }
}

/// Readings within each of so many equal spans of hours as one: means of hours and of ln(light).
fn merged(lamp: &[Reading], spans: usize) -> Vec<Reading> {
    let (Some(first), Some(last)) = (lamp.first(), lamp.last()) else { return vec![] };
    let wide = (last.hours - first.hours) / spans as f64;
    let span = |reading: &Reading| ((reading.hours - first.hours) / wide) as usize;
    lamp.chunk_by(|a, b| span(a).min(spans - 1) == span(b).min(spans - 1))
        .map(|group| {
            let count = group.len() as f64;
            Reading {
                hours: group.iter().map(|r| r.hours).sum::<f64>() / count,
                log_light: group.iter().map(|r| r.log_light).sum::<f64>() / count,
                weight: count,
            }
        })
        .collect()
}
