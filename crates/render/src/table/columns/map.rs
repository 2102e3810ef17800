//! Columns of the tables of `map`.

use super::Table;
use crate::table::MAP;

pub(super) const TABLES: &[Table] = &[(
    MAP,
    &[
        ("contract", "Name of the contract."),
        ("prices_of", "Month of the price level."),
        ("trials", "Trials lived at every point, all on the same luck."),
        ("compared", "What is compared: \"mole\", the cost of a delivered mole, or \"room\", that of the whole room."),
        ("x_input", "The input to the right."),
        ("x_unit", "Its unit; empty for a bare number."),
        ("x", "Its value at the middle of the cell, in that unit."),
        ("y_input", "The input upwards."),
        ("y_unit", "Its unit; empty for a bare number."),
        ("y", "Its value at the middle of the cell, in that unit."),
        ("winner", "Option with the lowest mean cost."),
        ("second", "Option with the next lowest; empty where there is a single one."),
        (
            "lead_{basis}_{currency}_mean",
            "By how much the winner is below the second: present value, of equal light where moles are compared.",
        ),
        ("lead_{basis}_{currency}_mean_se", "Standard error of that."),
        ("chance", "Share of trials in which the winner is the cheapest, 1 = all."),
    ],
)];
