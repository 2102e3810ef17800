//! Columns of the tables of `learn fading`.

use super::Table;
use crate::table::{FADING, FADING_POINTS};

pub(super) const TABLES: &[Table] = &[
    (
        FADING,
        &[
            (
                "row",
                "What the row tells of: \"parameter\" of a form; \"none\", a form that could not be fitted; \"left\", the share at some hours; \"hours_to\" a share; \"between_lamps\"; \"led\", the method for tests of LEDs.",
            ),
            ("option", "Name of the option whose lamps were read."),
            (
                "form",
                "Form of the curve as in a scenario; empty where the row tells of what counts, or of how lamps differ.",
            ),
            ("counts", "\"yes\" where the form is the one that counts; only for a form."),
            ("name", "What the value is."),
            ("unit", "Unit of the value, its points and what is stated."),
            ("value", "The value; empty where there is none, such as hours to a share that is never reached."),
            ("p10", "10 % of the draws lie below."),
            ("p90", "90 % of the draws lie below."),
            ("stated", "The same by what the scenario states today, its inputs at their medians."),
            (
                "residual_sd",
                "Standard deviation of a reading about the curve with one pace for all lamps, share of the light.",
            ),
            ("aicc_above", "Corrected criterion of Akaike above the lowest of all forms."),
            (
                "beyond_cap",
                "\"yes\" where the value or a point of it lies beyond the hours for which the method for tests of LEDs may be quoted (never lies beyond too): not to be quoted; empty elsewhere.",
            ),
            ("note", "Why there is no value, or why it may not be quoted."),
        ],
    ),
    (
        FADING_POINTS,
        &[
            ("option", "Name of the option whose lamps were read."),
            ("lamp", "Name of the lamp in the record."),
            ("burn_h", "Burn hours, h."),
            ("reading", "Reading in the record's own unit; the mean where very many were put together."),
            (
                "share",
                "Share of the lamp's own light at 0 h by the curve at its own pace; empty for a lamp that was not fitted.",
            ),
            ("share_by_curve", "Share by the curve of a lamp of mean pace."),
            ("readings", "Readings that the row stands for."),
            (
                "fate",
                "\"fitted\", \"sticks_out\" (fitted all the same), \"sticks_out_left_out\" (as asked) or \"left_out\" (by the record, or too few readings of the lamp).",
            ),
        ],
    ),
];
