//! Sets of hours of the year as written.
//!
//! Belongs here: shapes and their documentation. Does not belong here: any judgement of the values.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};

/// A set of hours of the year; every part that is given must fit.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct When {
    /// Names of seasons; all when absent.
    #[serde(default)]
    pub seasons: Option<Vec<String>>,
    /// Months 1 to 12; all when absent.
    #[serde(default)]
    pub months: Option<Vec<u8>>,
    /// Days of the week; all when absent.
    #[serde(default)]
    pub days: Option<Vec<Day>>,
    /// First moment of the day, HH:MM; "00:00" when absent.
    #[serde(default)]
    pub from: Option<String>,
    /// End of the window, HH:MM, itself outside; "24:00" when absent. Earlier than `from`: over midnight, each day's hours judged by that day.
    #[serde(default)]
    pub until: Option<String>,
}

/// One set of hours, or several of which one must fit.
#[derive(Debug, Clone)]
pub enum Times {
    /// One set.
    One(Box<When>),
    /// Several sets; a moment belongs when it belongs to any.
    Any(Vec<When>),
}

impl<'de> Deserialize<'de> for Times {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = Times;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a set of hours such as {\"days\": [\"weekday\"], \"from\": \"14:00\"}, or a list of them")
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Times, A::Error> {
                When::deserialize(MapAccessDeserializer::new(map)).map(|when| Times::One(Box::new(when)))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Times, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(seq)).map(Times::Any)
            }
        }
        deserializer.deserialize_any(Either)
    }
}

impl JsonSchema for Times {
    fn schema_name() -> Cow<'static, str> {
        "Times".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let when = generator.subschema_for::<When>();
        json_schema!({ "anyOf": [when, { "type": "array", "items": when }] })
    }
}

/// A day of the week, or a usual group of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Day {
    Mon,
    Tue,
    Wed,
    Thu,
    Fri,
    Sat,
    Sun,
    /// Monday to Friday.
    Weekday,
    /// Saturday and Sunday.
    Weekend,
    /// The tariff's holidays.
    Holiday,
}
