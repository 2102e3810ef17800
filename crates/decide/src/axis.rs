//! Inputs that can be turned, and the names by which people ask for them.
//!
//! Belongs here: from a name as typed to what it turns, and the values that make sense. Does not belong here: living and
//! pricing at these values (`turn`).

use plan::{InputId, Plan};
use scenario::figure::Grade;
use scenario::harmless;

use crate::turn::{World, light_hours};

/// Something that can be turned.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Axis {
    /// Its name, such as "B long-life arc: lamp.life.b50".
    pub name: String,
    /// Unit of its values.
    pub unit: String,
    /// What it turns.
    pub turns: Turns,
    /// 10 % point, median and 90 % point of what is believed.
    pub belief: (f64, f64, f64),
    /// How sure that is, in words.
    pub grade: &'static str,
    /// Values that are searched unless others are asked for.
    pub range: (f64, f64),
    /// Values that are allowed.
    pub limits: (f64, f64),
    /// Smallest step in which it can be set; 0 for none.
    pub grain: f64,
}

/// What an axis turns.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Turns {
    /// One input.
    Input(InputId),
    /// All prices of whatever contract is looked at.
    Electricity,
    /// Light hours of the longest day; all windows keep their share of it, and their beginning.
    Hours,
    /// Years of the horizon.
    Years,
}

/// Names that mean no single figure.
const SETTINGS: [&str; 3] = ["electricity", "hours", "years"];
/// Most names that a message lists.
const LISTED: usize = 12;
/// A certain value is searched from one so-manieth of it to so many times it.
const WIDE: f64 = 8.0;

/// A grade in words.
fn grade_of(grade: Grade) -> &'static str {
    match grade {
        Grade::Measured => "measured",
        Grade::Invoice => "invoice",
        Grade::Datasheet => "datasheet",
        Grade::Guess => "guess",
    }
}

impl Axis {
    /// The axis with a name as typed: a JSON Pointer; an option's or a contract's name, or the first word of it, and the end of
    /// a path, such as `B.lamp.price`; the end of a path that only one input has, such as `cooling.cop`; `B.life` for the
    /// life that is claimed for B's lamp; `electricity`, `hours` or `years`.
    ///
    /// # Errors
    /// A message when nothing or too much has that name.
    pub fn find(world: &World, typed: &str) -> Result<Self, String> {
        let plan = world.plan;
        match typed {
            "electricity" => return Ok(setting("electricity: all prices of the contract", Turns::Electricity, world)),
            "hours" => return Ok(setting("light hours a day", Turns::Hours, world)),
            "years" => return Ok(setting("years of the horizon", Turns::Years, world)),
            _ => {}
        }
        let fitting = fitting(plan, typed);
        match fitting[..] {
            [id] => Ok(Self::of(plan, id)),
            [] => Err(unknown(plan, typed)),
            _ => {
                let names = some(fitting.iter().map(|&id| short_name(plan, id)));
                Err(format!("\"{}\" may be any of {names}", harmless(typed)))
            }
        }
    }

    /// The axis of one input.
    pub fn of(plan: &Plan, id: InputId) -> Self {
        let input = plan.inputs.at(id);
        let belief = (input.quantile(0.1), input.quantile(0.5), input.quantile(0.9));
        Self {
            name: full_name(plan, id),
            unit: input.unit.clone(),
            turns: Turns::Input(id),
            belief,
            grade: grade_of(input.grade),
            range: usual_range(belief.1, (input.quantile(0.01), input.quantile(0.99)), input.limits),
            limits: input.limits,
            grain: 0.0,
        }
    }

    /// The same over other values.
    ///
    /// # Errors
    /// A message when they are no range within the limits.
    pub fn over(mut self, from: Option<f64>, to: Option<f64>) -> Result<Self, String> {
        let (low, high) = (from.unwrap_or(self.range.0), to.unwrap_or(self.range.1));
        let unit = if self.unit == "1" { String::new() } else { format!(" {}", self.unit) };
        if !(low >= self.limits.0 && high <= self.limits.1) {
            let (least, most) = self.limits;
            return Err(format!(
                "{}: {low}{unit} to {high}{unit}; {least}{unit} to {most}{unit} is allowed",
                self.name
            ));
        }
        if !(low < high) {
            return Err(format!(
                "{}: {low}{unit} to {high}{unit} is no range; say from where to where, the smaller first",
                self.name
            ));
        }
        self.range = (low, high);
        Ok(self)
    }

    /// Whether steps of its values are even in the logarithm.
    pub fn is_logarithmic(&self) -> bool {
        self.grain == 0.0 && self.range.0 > 0.0 && self.range.1 / self.range.0 > 20.0
    }

    /// Values from one end of the range to the other.
    pub fn values(&self, count: usize) -> Vec<f64> {
        let (low, high) = self.range;
        let share = |k: usize| k as f64 / (count - 1).max(1) as f64;
        let value = |k: usize| match k {
            0 => low,
            _ if k + 1 == count => high,
            _ if self.is_logarithmic() => low * ((high / low).ln() * share(k)).exp(),
            _ => low + (high - low) * share(k),
        };
        let mut values: Vec<f64> = (0..count).map(|k| self.set(value(k))).collect();
        values.dedup();
        values
    }

    /// The nearest value that can be set.
    pub fn set(&self, value: f64) -> f64 {
        if self.grain > 0.0 { (value / self.grain).round() * self.grain } else { value }
    }

    /// Share of the belief below a value; none where the value is certain or a setting.
    pub fn belief_below(&self, plan: &Plan, value: f64) -> Option<f64> {
        let Turns::Input(id) = self.turns else { return None };
        let input = plan.inputs.at(id);
        if input.distribution.is_certain() {
            return None;
        }
        // the quantile function rises: halve the interval of shares
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if input.quantile(middle) < value {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(0.5 * (low + high))
    }
}

fn setting(name: &str, turns: Turns, world: &World) -> Axis {
    let (value, range, limits, grain, unit) = match turns {
        Turns::Hours => (light_hours(world.form), (4.0, 24.0), (0.5, 24.0), 1.0 / 60.0, "h"),
        Turns::Years => (f64::from(world.plan.years), (1.0, 15.0), (1.0, 60.0), 1.0, "yr"),
        _ => (1.0, (0.2, 5.0), (0.0, 1e3), 0.0, "times the prices as written"),
    };
    Axis {
        name: name.into(),
        unit: unit.into(),
        turns,
        belief: (value, value, value),
        grade: "setting",
        range,
        limits,
        grain,
    }
}

/// A range in which an answer is likely to lie: wide around a median, holding nearly all of the belief, within limits.
fn usual_range(median: f64, nearly_all: (f64, f64), limits: (f64, f64)) -> (f64, f64) {
    let (a, b) = if median == 0.0 { (0.0, 0.0) } else { (median / WIDE, median * WIDE) };
    let low = a.min(b).min(nearly_all.0).max(limits.0);
    let high = a.max(b).max(nearly_all.1).min(limits.1);
    (low, high)
}

/// Steps of a pointer, those that are positions in a list of named items as the names.
fn steps(plan: &Plan, id: InputId) -> Vec<String> {
    let pointer = &plan.inputs.at(id).pointer;
    let mut steps: Vec<String> = pointer.split('/').skip(1).map(|s| s.replace("~1", "/").replace("~0", "~")).collect();
    let name = plan
        .option_of(id)
        .map(|option| plan.options[option].name.clone())
        .or_else(|| plan.contract_of(id).map(|contract| plan.contracts[contract].name.clone()));
    if let Some(name) = name {
        steps.splice(0..2, [name]);
    }
    steps
}

/// Whether a name as typed is that of an item: the whole of it, or its first word.
fn is_called(name: &str, typed: &str) -> bool {
    name == typed || name.split_whitespace().next() == Some(typed)
}

/// Whether an input is named by the end of its path.
fn ends_with(steps: &[String], typed: &[&str]) -> bool {
    steps.len() >= typed.len()
        && steps[steps.len() - typed.len()..].iter().zip(typed).all(|(step, typed)| step == typed)
}

fn fitting(plan: &Plan, typed: &str) -> Vec<InputId> {
    let ids = || plan.input_ids();
    let exact: Vec<InputId> = ids()
        .filter(|&id| {
            let input = plan.inputs.at(id);
            input.pointer == typed || input.place == typed || full_name(plan, id) == typed
        })
        .collect();
    if !exact.is_empty() || typed.is_empty() {
        return exact;
    }
    let words: Vec<&str> = typed.split('.').collect();
    let (first, rest) = (words[0], &words[1..]);
    if rest == ["life"] {
        let lamp = plan.options.iter().filter(|option| is_called(&option.name, first)).filter_map(|o| o.lamp.as_ref());
        return lamp.map(|lamp| lamp.claim.hours).collect();
    }
    let owned: Vec<InputId> = ids()
        .filter(|&id| {
            let steps = steps(plan, id);
            !rest.is_empty() && is_called(&steps[0], first) && ends_with(&steps[1..], rest)
        })
        .collect();
    // the whole path wins over paths that merely end alike
    let whole: Vec<InputId> = owned.iter().copied().filter(|&id| steps(plan, id).len() == words.len()).collect();
    if whole.len() == 1 {
        return whole;
    }
    if !owned.is_empty() {
        return owned;
    }
    ids().filter(|&id| ends_with(&steps(plan, id), &words)).collect()
}

/// The name of an input for people.
pub(crate) fn full_name(plan: &Plan, id: InputId) -> String {
    let steps = steps(plan, id);
    if plan.option_of(id).is_some() || plan.contract_of(id).is_some() {
        format!("{}: {}", steps[0], steps[1..].join("."))
    } else {
        steps.join(".")
    }
}

/// The name of an input as it may be typed.
fn short_name(plan: &Plan, id: InputId) -> String {
    let mut steps = steps(plan, id);
    let owner = plan.option_of(id).is_some() || plan.contract_of(id).is_some();
    if owner && let Some(word) = steps[0].split_whitespace().next() {
        let word = word.to_owned();
        let names = plan.options.iter().map(|o| &o.name).chain(plan.contracts.iter().map(|c| &c.name));
        if names.filter(|name| is_called(name, &word)).count() == 1 {
            steps[0] = word;
        }
    }
    harmless(&steps.join("."))
}

fn some(names: impl Iterator<Item = String>) -> String {
    let all: Vec<String> = names.collect();
    let more = if all.len() > LISTED { format!(" and {} more", all.len() - LISTED) } else { String::new() };
    format!("{}{more}", all[..all.len().min(LISTED)].join(", "))
}

fn unknown(plan: &Plan, typed: &str) -> String {
    let shown = harmless(typed);
    let last = typed.rsplit(['.', '/']).next().unwrap_or_default();
    let all: Vec<String> = plan.input_ids().map(|id| short_name(plan, id)).collect();
    let alike: Vec<String> =
        all.iter().filter(|name| name.rsplit('.').next().is_some_and(|end| end == last)).cloned().collect();
    let hint = if !last.is_empty() && !alike.is_empty() {
        format!("did you mean {}?", some(alike.into_iter()))
    } else if let Some(near) = scenario::nearest(typed, all.iter().map(String::as_str)) {
        format!("did you mean {near}?")
    } else {
        format!("the scenario has inputs such as {}, and {}", some(all.into_iter()), SETTINGS.join(", "))
    };
    format!("no input is called \"{shown}\": {hint}")
}
