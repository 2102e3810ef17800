//! A number as written: plain, or with its unit, grade, note and uncertainty.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserializer, MapAccess, Visitor, value::MapAccessDeserializer};
use serde::{Deserialize, Serialize};

/// The members of a told figure of which exactly one says what the number is.
pub(crate) const DISTRIBUTIONS: [&str; 10] =
    ["is", "normal", "truncated_normal", "lognormal", "triangular", "pert", "uniform", "discrete", "elicited", "draws"];

/// A number as written in a scenario.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// A bare number in the field's own unit; its grade counts as a guess.
    Plain(f64),
    /// A number, or a distribution of numbers, with what is known about it.
    Told(Box<Told>),
}

/// A number, or a distribution of numbers, with what is known about it.
///
/// Exactly one of `is`, `normal`, `truncated_normal`, `lognormal`, `triangular`, `pert`, `uniform`, `discrete`, `elicited`
/// and `draws` is given.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Told {
    /// One number, taken as certain.
    #[serde(default)]
    pub is: Option<f64>,
    /// Normal distribution by mean and standard deviation.
    #[serde(default)]
    pub normal: Option<Normal>,
    /// Normal distribution cut off below `low` and above `high`.
    #[serde(default)]
    pub truncated_normal: Option<TruncatedNormal>,
    /// Lognormal distribution by median and 90 % point.
    #[serde(default)]
    pub lognormal: Option<Lognormal>,
    /// Triangular distribution.
    #[serde(default)]
    pub triangular: Option<ThreePoint>,
    /// PERT distribution (a beta distribution whose mean is (low + 4·mode + high) / 6).
    #[serde(default)]
    pub pert: Option<ThreePoint>,
    /// Uniform distribution.
    #[serde(default)]
    pub uniform: Option<Span>,
    /// A few values with their weights.
    #[serde(default)]
    pub discrete: Option<Vec<Weighted>>,
    /// Somebody's belief by its 10 %, 50 % and 90 % points; it passes through all three.
    #[serde(default)]
    pub elicited: Option<Elicited>,
    /// A list of draws, such as `learn` writes, each as likely as any other. Figures of one `luck` with equally many draws
    /// take those of one place together, so that what ties them to one another is kept.
    #[serde(default)]
    pub draws: Option<Vec<f64>>,
    /// Unit of the numbers; the field's own unit when absent.
    #[serde(default)]
    pub unit: Option<String>,
    /// How sure it is; "guess" when absent.
    #[serde(default)]
    pub grade: Option<Grade>,
    /// Where the number comes from, in words.
    #[serde(default)]
    pub note: Option<String>,
    /// Day or month of the number, such as "2031-03".
    #[serde(default)]
    pub dated: Option<String>,
    /// Name of the luck it is drawn with. Figures of the same name rise and fall together; when absent, figures in the
    /// same place of two options do.
    #[serde(default)]
    pub luck: Option<String>,
}

/// How sure a number is, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Read off an instrument, here.
    Measured,
    /// Taken from an invoice, a quote or a contract.
    Invoice,
    /// Taken from a maker's sheet or a table.
    Datasheet,
    /// Somebody's judgement.
    Guess,
}

/// Normal distribution.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Normal {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// Normal distribution cut off on both sides.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TruncatedNormal {
    /// Mean before the cut.
    pub mean: f64,
    /// Standard deviation before the cut.
    pub sd: f64,
    /// Smallest value.
    pub low: f64,
    /// Largest value.
    pub high: f64,
}

/// Lognormal distribution.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lognormal {
    /// Half of all values lie below.
    pub median: f64,
    /// 90 % of all values lie below.
    pub p90: f64,
}

/// Smallest, most likely and largest value.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThreePoint {
    /// Smallest value.
    pub low: f64,
    /// Most likely value.
    pub mode: f64,
    /// Largest value.
    pub high: f64,
}

/// Smallest and largest value.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Span {
    /// Smallest value.
    pub low: f64,
    /// Largest value.
    pub high: f64,
}

/// A value and its weight.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Weighted {
    /// The value.
    pub value: f64,
    /// Its weight; the weights need not add up to 1.
    pub weight: f64,
}

/// Somebody's belief by three points.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Elicited {
    /// 10 % of all values lie below.
    pub p10: f64,
    /// Half of all values lie below.
    pub p50: f64,
    /// 90 % of all values lie below.
    pub p90: f64,
}

impl<'de> Deserialize<'de> for Figure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = Figure;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a number, or an object such as {\"is\": 46, \"unit\": …, \"grade\": …}")
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Figure, E> {
                Ok(Figure::Plain(v))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Figure, E> {
                Ok(Figure::Plain(v as f64))
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Figure, E> {
                Ok(Figure::Plain(v as f64))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Figure, A::Error> {
                Told::deserialize(MapAccessDeserializer::new(map)).map(|told| Figure::Told(Box::new(told)))
            }
        }
        deserializer.deserialize_any(Either)
    }
}

impl JsonSchema for Figure {
    fn schema_name() -> Cow<'static, str> {
        "Figure".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let told = generator.subschema_for::<Told>();
        json_schema!({ "anyOf": [{ "type": "number" }, told] })
    }
}

/// A part of a scenario that may also stand in a file of its own, as `{"file": "relative/path.json"}`.
#[derive(Debug, Clone, Deserialize)]
#[serde(transparent)]
pub struct Linked<T>(pub T);

impl<T: JsonSchema> JsonSchema for Linked<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("Linked{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let here = generator.subschema_for::<T>();
        json_schema!({ "anyOf": [
            here,
            { "type": "object", "properties": { "file": { "type": "string", "description": "Path of the file, relative to this one." } },
              "required": ["file"], "additionalProperties": false }
        ] })
    }
}
