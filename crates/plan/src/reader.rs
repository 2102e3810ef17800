//! Reading figures: from a number as written to an entry in the table of inputs, or to faults.

use std::collections::BTreeMap;

use draws::{Distribution, Drawn};
use scenario::fault::Fault;
use scenario::figure::{Figure, Grade, Told};
use units::{Dimension, Per};

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
        let unit = self.unit(currency);
        let from = if self.open { "more than" } else { "at least" };
        format!("{from} {}{unit} and at most {}{unit}", shown(self.low), shown(self.high))
    }

    /// The unit after a number; a pure number has none.
    fn unit(self, currency: &str) -> String {
        match self.dimension.unit(currency).as_str() {
            "1" => String::new(),
            unit => format!(" {unit}"),
        }
    }

    /// What would mend a value that does not fit, as far as it can be guessed.
    fn hint(self, value: f64, told: &Told, currency: &str) -> Option<String> {
        if told.unit.is_some() {
            return None;
        }
        let percent = match self.dimension {
            Dimension::Share => "%",
            Dimension::PerYear => "%/yr",
            _ => return None,
        };
        let fraction = value / 100.0;
        (value > self.high && self.fits(fraction)).then(|| {
            let unit = self.unit(currency);
            format!(
                "{value} here means {} {percent}; for {value} {percent} write {fraction}{unit} or \
                     {{\"is\": {value}, \"unit\": \"{percent}\"}}",
                value * 100.0
            )
        })
    }

    /// NaN never fits.
    fn fits(self, value: f64) -> bool {
        (if self.open { value > self.low } else { value >= self.low }) && value <= self.high
    }
}

/// Any amount of money for one thing.
pub(crate) const MONEY: fn(Per) -> Field = |per| Field::new(Dimension::Money(per), 0.0, 1e9);

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

    /// A member of this object known by a name that somebody chose.
    pub fn entry(&self, name: &str) -> Self {
        let escaped = name.replace('~', "~0").replace('/', "~1");
        Self {
            pointer: format!("{}/{escaped}", self.pointer),
            place: format!("{}[\"{name}\"]", self.place),
            role: format!("{}/{escaped}", self.role),
        }
    }

    /// An item of this list whose position is part of its role.
    pub fn item(&self, index: usize) -> Self {
        Self {
            pointer: format!("{}/{index}", self.pointer),
            place: format!("{}[{index}]", self.place),
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
    /// Things that are allowed but look odd, one sentence each.
    pub remarks: Vec<String>,
    currency: String,
    currency_known: bool,
    /// How many draws the lists of each luck have.
    drawn: BTreeMap<u64, usize>,
}

impl Reader {
    pub fn new(currency: &str) -> Self {
        let currency_known = is_currency(currency);
        Self {
            inputs: Inputs::default(),
            faults: vec![],
            remarks: vec![],
            currency: currency.into(),
            currency_known,
            drawn: BTreeMap::new(),
        }
    }

    /// Notes a fault in the value at a spot.
    pub fn fault(&mut self, at: &Spot, found: impl Into<String>, allowed: impl Into<String>) {
        self.faults.push(Fault::value(at.pointer.clone(), found, allowed));
    }

    /// Notes a fault in the value at a spot, and what would mend it.
    pub fn hinted(&mut self, at: &Spot, found: impl Into<String>, allowed: impl Into<String>, hint: &str) {
        self.faults.push(Fault::value(at.pointer.clone(), found, allowed).with_hint(hint));
    }

    /// Faults unless exactly one of some members is given.
    pub fn exactly_one(&mut self, at: &Spot, members: &[(&str, bool)]) {
        let given: Vec<&str> = members.iter().filter(|(_, given)| *given).map(|(name, _)| *name).collect();
        if given.len() != 1 {
            let found = if given.is_empty() { "none of them".to_owned() } else { given.join(" and ") };
            let all: Vec<&str> = members.iter().map(|(name, _)| *name).collect();
            self.fault(at, found, format!("exactly one of {}", all.join(", ")));
        }
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
        let item = item(told.luck.as_deref(), &at.role);
        if let (Distribution::Drawn(drawn), Some(luck)) = (&distribution, &told.luck) {
            let others = *self.drawn.entry(item).or_insert(drawn.len());
            if others != drawn.len() {
                let found = format!("{} draws with the luck \"{luck}\"", drawn.len());
                self.fault(at, found, format!("{others}, as many as the first list of that luck has"));
            }
        }
        self.inputs.add(Input {
            pointer: at.pointer.clone(),
            place: at.place.clone(),
            unit: field.dimension.unit(&self.currency),
            distribution,
            limits: (field.low, field.high),
            grade,
            stated: true,
            is_handle: false,
            note,
            item,
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

    /// A value that changes nothing as long as nobody turns it.
    pub fn handle(&mut self, at: &Spot, field: Field, value: f64, note: &str) -> InputId {
        self.inputs.add(Input {
            pointer: at.pointer.clone(),
            place: at.place.clone(),
            unit: field.dimension.unit(&self.currency),
            distribution: Distribution::Fixed(value),
            limits: (field.low, field.high),
            grade: Grade::Guess,
            stated: false,
            is_handle: true,
            note: note.into(),
            item: 0,
        })
    }

    /// A value that the scenario does not state and that nobody knows well.
    pub fn assume_spread(&mut self, at: &Spot, field: Field, distribution: Distribution, why: &str) -> InputId {
        self.inputs.add(Input {
            pointer: at.pointer.clone(),
            place: at.place.clone(),
            unit: field.dimension.unit(&self.currency),
            distribution,
            limits: (field.low, field.high),
            grade: Grade::Guess,
            stated: false,
            is_handle: false,
            note: why.into(),
            item: item(None, &at.role),
        })
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
            is_handle: false,
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
                    "exactly one of is, normal, truncated_normal, lognormal, triangular, pert, uniform, discrete, elicited, draws",
                );
                return stand_in;
            }
        };
        let factor = match &told.unit {
            None => 1.0,
            Some(unit) => match field.dimension.factor(unit, &self.currency) {
                Ok(factor) => factor,
                // a currency that is no code has been told already, and no unit could agree with it
                Err(_) if matches!(field.dimension, Dimension::Money(_)) && !self.currency_known => 1.0,
                Err(unknown) => {
                    let fault =
                        Fault::value(at.member("unit").pointer, format!("unit \"{unit}\""), unknown.to_string());
                    self.faults.push(match unit_hint(unit, field.dimension) {
                        Some(hint) => fault.with_hint(hint),
                        None => fault,
                    });
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
                let unit = field.unit(&self.currency);
                let found = match distribution {
                    Distribution::Fixed(_) => format!("{}{unit}", shown(value)),
                    _ => format!("a distribution that reaches {value:.4}{unit}"),
                };
                let hint = match distribution {
                    Distribution::Normal { .. } => Some("truncated_normal keeps a normal within limits".to_owned()),
                    _ => field.hint(value, told, &self.currency),
                };
                // whoever wrote a percentage is answered in percent as well
                let percent = told.unit.as_deref().is_some_and(|unit| unit.trim().starts_with('%'));
                let (found, allowed) = match field.dimension {
                    Dimension::Share | Dimension::PerYear if percent => (
                        format!("{found} ({} %)", shown((value * 1e8).round() / 1e6)),
                        format!(
                            "{} ({} to {} %)",
                            field.allowed(&self.currency),
                            field.low * 100.0,
                            field.high * 100.0
                        ),
                    ),
                    _ => (found, field.allowed(&self.currency)),
                };
                self.faults.push(Fault { hint, ..Fault::value(&at.pointer, found, allowed) });
                return stand_in;
            }
        }
        distribution
    }
}

/// A number in a message: very large ones as powers of ten, not as hundreds of digits.
pub(crate) fn shown(value: f64) -> String {
    if value.abs() >= 1e15 { format!("{value:e}") } else { value.to_string() }
}

/// Whether a text has the form of an ISO 4217 code.
pub(crate) fn is_currency(text: &str) -> bool {
    text.len() == 3 && text.bytes().all(|b| b.is_ascii_uppercase())
}

/// Why a unit that people reach for does not serve here.
fn unit_hint(unit: &str, dimension: Dimension) -> Option<&'static str> {
    let unit = unit.to_lowercase();
    let light = matches!(dimension, Dimension::Ppfd | Dimension::PhotonFlux);
    if light && ["lux", "lx", "klx", "klux", "lm", "lumen", "lumens", "fc"].contains(&unit.as_str()) {
        Some(
            "lux and lumens weigh light by the eye; without the lamp's spectrum they are no photons. Use a quantum sensor",
        )
    } else if light && (unit.contains("/w") || unit.contains("/j")) {
        Some("PPFD per watt lacks the area; give ppfd, area and wall_power, and µmol/J is worked out")
    } else if matches!(dimension, Dimension::Money(_)) && (unit.starts_with("ct") || unit.starts_with('c')) {
        Some("prices are in whole units of the currency: 31 ct is 0.31")
    } else {
        None
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
    found.extend(told.draws.as_ref().map(|draws| Distribution::Drawn(Drawn::new(draws))));
    found.extend(told.elicited.as_ref().map(|e| Distribution::Elicited { p10: e.p10, p50: e.p50, p90: e.p90 }));
    found
}
