//! Columns of the tables of `hours`.

use super::Table;
use crate::table::STARTS;

pub(super) const TABLES: &[Table] = &[(
    STARTS,
    &[
        ("pattern", "Pattern of the lights: how many blocks of how many hours a day."),
        ("lamp_starts", "Lamp starts of the pattern over the horizon."),
        ("on", "When its first block begins, local time."),
        ("sheet", "Name of the rate sheet; contracts that differ in their hours alone share one."),
        ("option", "Name of the option."),
        ("prices_of", "Month of the price level."),
        ("trials", "Lived futures at whose mean the row is priced."),
        (
            "levelized_{basis}_{currency}_per_mol",
            "Levelized cost of a delivered mole; empty where the start fits no calendar.",
        ),
        (
            "electricity_{basis}_{currency}_per_year",
            "Electricity of lights and cooling, mean over the horizon, not discounted; empty likewise.",
        ),
    ],
)];
