//! Columns of the tables of `why`.

use super::Table;
use crate::table::{WHY, WHY_SUMS};

pub(super) const TABLES: &[Table] = &[
    (
        WHY,
        &[
            ("option", "Name of the option."),
            ("against", "Name of the option that it is compared with, on the same luck."),
            ("contract", "Name of the contract."),
            ("prices_of", "Month of the price level."),
            ("trials", "Trials that the row rests on."),
            ("part", "Part of the lead: a cause of cost, light held, or the lead itself."),
            (
                "lead_{basis}_{currency}_per_mol",
                "What it adds to the levelized cost of the option less that of the other, mean.",
            ),
            ("lead_{basis}_{currency}_per_mol_se", "Standard error of that mean."),
            (
                "by_money_{basis}_{currency}_per_mol",
                "The share of it that money for a fixture explains, mean; empty for light held and the lead.",
            ),
            ("by_money_{basis}_{currency}_per_mol_se", "Standard error of that mean."),
            (
                "by_new_light_{basis}_{currency}_per_mol",
                "The share of it that the light of a new fixture explains, mean; empty likewise.",
            ),
            ("by_new_light_{basis}_{currency}_per_mol_se", "Standard error of that mean."),
        ],
    ),
    (
        WHY_SUMS,
        &[
            ("option", "Name of the option."),
            ("contract", "Name of the contract."),
            ("line", "What the line says."),
            ("working", "The sum that comes to the value."),
            ("value", "The value, in the unit beside it."),
            ("unit", "Its unit."),
            ("origin", "\"inputs\", \"simulated\" for a mean over the trials, or \"lines\" for a sum of lines above."),
            ("inputs", "Inputs that stand in it: JSON Pointer, value, unit, grade, and \"assumed\" where not stated."),
            ("note", "Why it is what it is, where that is not plain."),
        ],
    ),
];
