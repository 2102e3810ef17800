//! What is written for a scenario: its `maintenance`, with draws that belong together.
//!
//! Belongs here: names, units and limits of a scenario's members. Does not belong here: reading them (`scenario`, `plan`).

use learn::fading::Curve;
use plan::Plan;
use serde::Serialize;

use super::FadingOrder;
use super::settled::{Law, Settled};

/// Digits that a draw keeps: far more than it is worth, far fewer than a file need hold.
const DIGITS: i32 = 9;

/// `maintenance` as a scenario takes it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Maintenance {
    #[serde(skip_serializing_if = "Option::is_none")]
    exponential: Option<Exponential>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stretched: Option<Stretched>,
    #[serde(skip_serializing_if = "Option::is_none")]
    biexponential: Option<Biexponential>,
    #[serde(skip_serializing_if = "Option::is_none")]
    projection: Option<Projection>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lamp_to_lamp: Option<Plain>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Exponential {
    rate: Drawn,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Stretched {
    time_constant: Drawn,
    power: Drawn,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Biexponential {
    fast_share: Drawn,
    fast_rate: Drawn,
    slow_rate: Drawn,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Projection {
    rate: Drawn,
    start: Drawn,
    test_hours: Plain,
    units_tested: usize,
}

/// A figure that is a list of draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Drawn {
    draws: Vec<f64>,
    unit: &'static str,
    grade: &'static str,
    luck: String,
    note: String,
}

/// A figure that is one number.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Plain {
    is: f64,
    unit: &'static str,
    grade: &'static str,
    note: String,
}

/// Names, units and values of a curve's parameters, as a scenario has them.
pub(super) fn parameters(curve: &Curve) -> Vec<(&'static str, &'static str, f64)> {
    match *curve {
        Curve::Exponential { rate } => vec![("rate", "1/kh", 1e3 * rate)],
        Curve::Stretched { time_constant, power } => {
            vec![("time_constant", "kh", 1e-3 * time_constant), ("power", "1", power)]
        }
        Curve::Biexponential { fast_share, fast_rate, slow_rate } => vec![
            ("fast_share", "1", fast_share),
            ("fast_rate", "1/kh", 1e3 * fast_rate),
            ("slow_rate", "1/kh", 1e3 * slow_rate),
        ],
    }
}

/// What a scenario takes for a parameter, in the unit above.
fn limits(name: &str) -> (f64, f64) {
    match name {
        "time_constant" => (0.1, 1e6),
        "power" => (0.1, 10.0),
        "fast_share" => (0.0, 1.0),
        "fast_rate" => (0.0, 100.0),
        "start" => (0.01, 2.0),
        // rate and slow_rate
        _ => (0.0, 1.0),
    }
}

/// A number with no more digits than are kept.
fn rounded(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10f64.powi(DIGITS - 1 - value.abs().log10().floor() as i32);
    (value * scale).round() / scale
}

impl Maintenance {
    /// The curve that counts, and how many draws were moved to a limit.
    pub(super) fn new(plan: &Plan, order: &FadingOrder, settled: &Settled) -> (Self, usize) {
        let mut moved = vec![false; settled.draws.len()];
        let note = format!("readings in {}, {} draws, seed {}", order.record, order.draws, order.seed);
        let luck = format!("readings of {}", plan.options[order.option].name);
        let mut drawn = |name: &'static str, unit: &'static str, of: &dyn Fn(&Law) -> f64| {
            let (low, high) = limits(name);
            let draw = |(law, moved): (&Law, &mut bool)| {
                let value = of(law);
                *moved |= !(value >= low && value <= high);
                rounded(value.max(low).min(high))
            };
            let draws = settled.draws.iter().zip(&mut moved).map(draw).collect();
            Drawn { draws, unit, grade: "measured", luck: luck.clone(), note: note.clone() }
        };
        let member = |k: usize| {
            move |law: &Law| match law {
                Law::Form(curve) => parameters(curve).get(k).map_or(f64::NAN, |parameter| parameter.2),
                Law::Line { .. } => f64::NAN,
            }
        };
        let mut own =
            Self { exponential: None, stretched: None, biexponential: None, projection: None, lamp_to_lamp: None };
        match settled.curve {
            Law::Form(Curve::Exponential { .. }) => {
                own.exponential = Some(Exponential { rate: drawn("rate", "1/kh", &member(0)) });
            }
            Law::Form(Curve::Stretched { .. }) => {
                own.stretched = Some(Stretched {
                    time_constant: drawn("time_constant", "kh", &member(0)),
                    power: drawn("power", "1", &member(1)),
                });
            }
            Law::Form(Curve::Biexponential { .. }) => {
                own.biexponential = Some(Biexponential {
                    fast_share: drawn("fast_share", "1", &member(0)),
                    fast_rate: drawn("fast_rate", "1/kh", &member(1)),
                    slow_rate: drawn("slow_rate", "1/kh", &member(2)),
                });
            }
            Law::Line { tested, units, .. } => {
                let of_line = |pick: fn(f64, f64) -> f64| {
                    move |law: &Law| match law {
                        Law::Line { start, rate, .. } => pick(*start, *rate),
                        Law::Form(_) => f64::NAN,
                    }
                };
                own.projection = Some(Projection {
                    rate: drawn("rate", "1/kh", &of_line(|_, rate| 1e3 * rate)),
                    start: drawn("start", "1", &of_line(|start, _| start)),
                    test_hours: Plain { is: rounded(tested), unit: "h", grade: "measured", note: note.clone() },
                    units_tested: units,
                });
            }
        }
        let of = if settled.is_led() { "decay rate" } else { "pace" };
        own.lamp_to_lamp = settled.spread.map(|spread| Plain {
            is: rounded(spread),
            unit: "1",
            grade: "measured",
            note: format!("standard deviation of the {of} of {} lamps, {note}", settled.lamps),
        });
        (own, moved.into_iter().filter(|moved| *moved).count())
    }
}
