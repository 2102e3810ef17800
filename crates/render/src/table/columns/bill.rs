//! Columns of the tables of `bill`.

use super::Table;
use crate::table::{LINES, PEAKS};

pub(super) const TABLES: &[Table] = &[
    (
        LINES,
        &[
            ("contract", "Name of the contract."),
            ("open_questions", "Questions that are open on its rate sheet; while there are any, no bill is complete."),
            ("prices_of", "Month of the price level; prices are as written, not escalated."),
            ("first", "First day of the bill."),
            ("last", "Last day of the bill."),
            ("part", "Part of the bill."),
            ("line", "Name of the line on the rate sheet."),
            ("unit", "Unit of the quantities."),
            ("quantity_with", "Quantity with lights and cooling, in that unit."),
            ("quantity_without", "Quantity without them, in that unit."),
            (
                "price_as_written_{currency}_per_unit",
                "Price of one unit; of the bill with the lights where the two differ.",
            ),
            ("amount_with_as_written_{currency}", "What the line comes to with lights and cooling."),
            ("amount_without_as_written_{currency}", "What it comes to without them."),
            ("difference_as_written_{currency}", "What lights and cooling add to it."),
            (
                "lifted_kW",
                "kW on the bill with the lights that only an earlier peak or a minimum brought there; 0 if none.",
            ),
        ],
    ),
    (
        PEAKS,
        &[
            ("contract", "Name of the contract."),
            ("first", "First day of the bill."),
            ("last", "Last day of the bill."),
            ("demand_charge", "Name of the demand charge, or \"any time\"."),
            ("peak_with_kW", "Highest demand with lights and cooling, kW, as measured."),
            ("peak_with_began", "Beginning of the first interval that set it, local time; empty if it is 0."),
            ("power_factor_with", "Power factor in that interval."),
            ("peak_without_kW", "Highest demand without them, kW, as measured."),
            ("peak_without_began", "Beginning of the first interval that set it, local time; empty if it is 0."),
        ],
    ),
];
