//! `schema`: the JSON Schema of a kind of file.

use clap::Args;

use crate::failure::Failure;

/// Options of `schema`.
#[derive(Debug, Args)]
pub struct Schema {
    /// Which kind of file.
    #[arg(value_enum, default_value_t = SchemaOf::Scenario)]
    pub of: SchemaOf,
}

/// Kinds of files with a schema.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum SchemaOf {
    /// A whole scenario.
    Scenario,
    /// A tariff file.
    Tariff,
    /// A price history.
    Prices,
    /// A grid of readings.
    Grid,
    /// A lamp file.
    Lamp,
}

/// Prints it.
pub fn schema(schema: &Schema) -> Result<(), Failure> {
    let schema = match schema.of {
        SchemaOf::Scenario => scenario::schema(),
        SchemaOf::Tariff => scenario::tariff_schema(),
        SchemaOf::Prices => scenario::prices_schema(),
        SchemaOf::Grid => scenario::grid_schema(),
        SchemaOf::Lamp => scenario::lamp_schema(),
    };
    crate::print(format!("{schema:#}\n").as_bytes())
}
