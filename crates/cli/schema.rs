//! `schema`: the JSON Schema of a kind of file.

use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser};
use decide::shapes::{SHAPES, Shape};
use serde_json::Value;

use crate::failure::Failure;

/// Names all kinds instead of printing a schema.
const LIST: &str = "list";

/// A file that people write.
type Part = (&'static str, &'static str, fn() -> Value);

/// Files that people write: name, what it is, schema.
const PARTS: [Part; 5] = [
    ("scenario", "a whole scenario", scenario::schema),
    ("tariff", "a tariff file", scenario::tariff_schema),
    ("prices", "a price history", scenario::prices_schema),
    ("grid", "a grid of readings", scenario::grid_schema),
    ("lamp", "a lamp file", scenario::lamp_schema),
];

/// Options of `schema`.
#[derive(Debug, Args)]
pub struct Schema {
    /// Which kind of file: a scenario, one of its parts, or what a command stores or prints as JSON; "list" names all of them.
    #[arg(default_value = PARTS[0].0, hide_possible_values = true, value_name = "KIND", value_parser = kinds())]
    pub of: String,
}

fn kinds() -> PossibleValuesParser {
    let parts = PARTS.iter().map(|(name, what, _)| PossibleValue::new(*name).help(*what));
    let shapes = SHAPES.iter().map(|shape| PossibleValue::new(shape.name).help(shape.what));
    PossibleValuesParser::new(parts.chain(shapes).chain([PossibleValue::new(LIST).help("the names of all kinds")]))
}

/// Prints it.
pub fn schema(schema: &Schema) -> Result<(), Failure> {
    if schema.of == LIST {
        return crate::print(list().as_bytes());
    }
    let part = PARTS.iter().find(|(name, ..)| *name == schema.of).map(|(_, _, make)| make());
    let made = part.or_else(|| Shape::named(&schema.of).map(Shape::schema));
    let made = made.ok_or_else(|| Failure::Bug(format!("no schema of {}", schema.of)))?;
    crate::print(format!("{made:#}\n").as_bytes())
}

/// All kinds, a line each: name, format, what it is.
fn list() -> String {
    let line = |name: &str, format: &str, what: &str| format!("{name:<11} {format:<25} {what}\n");
    let parts = PARTS.iter().map(|(name, what, _)| line(name, "", what));
    parts.chain(SHAPES.iter().map(|shape| line(shape.name, shape.format, shape.what))).collect()
}
