//! Reading figures: from a number as written to an entry in the table of inputs, or to faults.

use draws::Distribution;
use scenario::fault::Fault;
use scenario::figure::{Figure, Grade, Told};
use units::Dimension;

use crate::inputs::{Input, InputId, Inputs, item};

/// What a field holds and which values make sense.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Field {
    pub dimension: Dimension,
    /// Smallest and largest value, in the unit used inside; both included unless `open`.
    pub low: f64,
    pub high: f64,
    /// Whether `low` itself is excluded.
    pub open: bool,
}

impl Field {
    pub const fn new(dimension: Dimension, low: f64, high: f64) -> Self {
        Self { dimension, low, high, open: false }
    }

    pub const fn above(dimension: Dimension, low: f64, high: f64) -> Self {
        Self { dimension, low, high, open: true }
    }

    fn allowed(self, currency: &str) -> String {
        let unit = match self.dimension.unit(currency).as_str() {
            "1" => String::new(),
            unit => format!(" {unit}"),
        };
        let from = if self.open { "more than" } else { "at least" };
        format!("{from} {}{unit} and at most {}{unit}", self.low, self.high)
    }

    /// NaN never fits.
    fn fits(self, value: f64) -> bool {
        (if self.open { value > self.low } else { value >= self.low }) && value <= self.high
    }
}

/// A place in the scenario: its pointer, its name in words and its role (the same place in every option).
#[derive(Debug, Clone)]
pub(crate) struct Spot {
    pub pointer: String,
    pub place: String,
    pub role: String,
}

impl Spot {
    pub fn root() -> Self {
        Self { pointer: String::new(), place: String::new(), role: String::new() }
    }

    /// A member of this object.
    pub fn member(&self, key: &str) -> Self {
        let dot = if self.place.is_empty() { "" } else { "." };
        Self {
            pointer: format!("{}/{key}", self.pointer),
            place: format!("{}{dot}{key}", self.place),
            role: format!("{}/{key}", self.role),
        }
    }

    /// An item of this list whose position is part of its role.
    pub fn item(&self, index: usize) -> Self {
        Self {
            pointer: format!("{}/{index}", self.pointer),
            place: format!("{}[{}]", self.place, index + 1),
            role: format!("{}/{index}", self.role),
        }
    }

    /// An item of this list known by its name; its role is that of any item, so that like stands against like.
    pub fn named(&self, index: usize, name: &str) -> Self {
        Self {
            pointer: format!("{}/{index}", self.pointer),
            place: format!("{}[\"{name}\"]", self.place),
            role: format!("{}/*", self.role),
        }
    }
}

/// Collects inputs and faults while a scenario is read.
pub(crate) struct Reader {
    pub inputs: Inputs,
    pub faults: Vec<Fault>,
    currency: String,
}

impl Reader {
    pub fn new(currency: &str) -> Self {
        Self { inputs: Inputs::default(), faults: vec![], currency: currency.into() }
    }

    /// Notes a fault in the value at a spot.
    pub fn fault(&mut self, at: &Spot, found: impl Into<String>, allowed: impl Into<String>) {
        self.faults.push(Fault::value(at.pointer.clone(), found, allowed));
    }

    /// A stated figure.
    pub fn figure(&mut self, figure: &Figure, at: &Spot, field: Field) -> InputId {
        let plain;
        let (told, grade, note) = match figure {
            Figure::Plain(value) => {
                plain = Told { is: Some(*value), ..Told::default() };
                (&plain, Grade::Guess, "no grade was given".to_owned())
            }
            Figure::Told(told) => (
                &**told,
                told.grade.unwrap_or(Grade::Guess),
                match (&told.note, &told.dated) {
                    (Some(note), Some(dated)) => format!("{note} ({dated})"),
                    (Some(note), None) => note.clone(),
                    (None, Some(dated)) => dated.clone(),
                    (None, None) => String::new(),
                },
            ),
        };
        let distribution = self.distribution(told, at, field);
        self.inputs.add(Input {
            pointer: at.pointer.clone(),
            place: at.place.clone(),
            unit: field.dimension.unit(&self.currency),
            distribution,
            limits: (field.low, field.high),
            grade,
            stated: true,
            note,
            item: item(told.luck.as_deref(), &at.role),
        })
    }

    /// A figure that may be left out; then a value is assumed, for a reason that is listed.
    pub fn figure_or(&mut self, figure: Option<&Figure>, at: &Spot, field: Field, value: f64, why: &str) -> InputId {
        match figure {
            Some(figure) => self.figure(figure, at, field),
            None => self.assume(at, field, value, why),
        }
    }

    /// A figure that the scenario needs here; without it a fault.
    pub fn figure_needed(&mut self, figure: Option<&Figure>, at: &Spot, field: Field, why: &str) -> InputId {
        match figure {
            Some(figure) => self.figure(figure, at, field),
            None => {
                self.fault(at, "nothing", format!("{} ({why})", field.allowed(&self.currency)));
                self.assume(at, field, field.high, why)
            }
        }
    }

    /// A value that the scenario does not state.
    pub fn assume(&mut self, at: &Spot, field: Field, value: f64, why: &str) -> InputId {
        self.derived(at, field.dimension.unit(&self.currency), value, Grade::Guess, false, why)
    }

    /// A certain value worked out from something else that the scenario states.
    pub fn derived(&mut self, at: &Spot, unit: String, value: f64, grade: Grade, stated: bool, note: &str) -> InputId {
        self.inputs.add(Input {
            pointer: at.pointer.clone(),
            place: at.place.clone(),
            unit,
            distribution: Distribution::Fixed(value),
            limits: (f64::NEG_INFINITY, f64::INFINITY),
            grade,
            stated,
            note: note.into(),
            item: 0,
        })
    }

    /// The distribution of a figure in the unit used inside, or a harmless stand-in after noting faults.
    fn distribution(&mut self, told: &Told, at: &Spot, field: Field) -> Distribution {
        let stand_in = Distribution::Fixed(field.high);
        let shapes = shapes(told);
        let distribution = match <[Distribution; 1]>::try_from(shapes) {
            Ok([one]) => one,
            Err(shapes) => {
                let found =
                    if shapes.is_empty() { "no number".to_owned() } else { format!("{} of them", shapes.len()) };
                self.fault(
                    at,
                    found,
                    "exactly one of is, normal, truncated_normal, lognormal, triangular, pert, uniform, discrete, elicited",
                );
                return stand_in;
            }
        };
        let factor = match &told.unit {
            None => 1.0,
            Some(unit) => match field.dimension.factor(unit, &self.currency) {
                Ok(factor) => factor,
                Err(unknown) => {
                    self.fault(&at.member("unit"), format!("unit \"{unit}\""), unknown.to_string());
                    return stand_in;
                }
            },
        };
        if let Err(bad) = distribution.check() {
            self.fault(at, bad.found, bad.allowed);
            return stand_in;
        }
        let distribution = distribution.scaled(factor);
        // one draw in a thousand million lies beyond these points; what is left is moved to the limit
        for u in [1e-9, 1.0 - 1e-9] {
            let value = distribution.quantile(u);
            if !field.fits(value) {
                let unit = field.dimension.unit(&self.currency);
                let found = match distribution {
                    Distribution::Fixed(_) => format!("{value} {unit}"),
                    _ => format!("a distribution that reaches {value:.4} {unit}"),
                };
                let fault = Fault::value(at.pointer.clone(), found, field.allowed(&self.currency));
                self.faults.push(match distribution {
                    Distribution::Normal { .. } => fault.with_hint("truncated_normal keeps a normal within limits"),
                    _ => fault,
                });
                return stand_in;
            }
        }
        distribution
    }
}

/// Every distribution that a figure gives.
fn shapes(told: &Told) -> Vec<Distribution> {
    let mut found = vec![];
    found.extend(told.is.map(Distribution::Fixed));
    found.extend(told.normal.as_ref().map(|n| Distribution::Normal { mean: n.mean, sd: n.sd }));
    found.extend(told.truncated_normal.as_ref().map(|n| Distribution::TruncatedNormal {
        mean: n.mean,
        sd: n.sd,
        low: n.low,
        high: n.high,
    }));
    found.extend(told.lognormal.as_ref().map(|l| Distribution::Lognormal { median: l.median, p90: l.p90 }));
    found.extend(told.triangular.as_ref().map(|t| Distribution::Triangular { low: t.low, mode: t.mode, high: t.high }));
    found.extend(told.pert.as_ref().map(|t| Distribution::Pert { low: t.low, mode: t.mode, high: t.high }));
    found.extend(told.uniform.as_ref().map(|s| Distribution::Uniform { low: s.low, high: s.high }));
    found.extend(
        told.discrete.as_ref().map(|d| Distribution::Discrete(d.iter().map(|w| (w.value, w.weight)).collect())),
    );
    found.extend(told.elicited.as_ref().map(|e| Distribution::Elicited { p10: e.p10, p50: e.p50, p90: e.p90 }));
    found
}
