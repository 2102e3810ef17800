//! Columns of the tables of `assign`.

use super::Table;
use crate::table::{BALANCE, LOG_SHEET, SEALED_KEY};

pub(super) const TABLES: &[Table] = &[
    (
        LOG_SHEET,
        &[
            ("socket", "Number of the socket, row by row."),
            ("row", "Row in which it hangs."),
            ("place", "Place in that row."),
            ("lamp", "Name of the lamp, or its code where the trial is blind."),
            ("lot", "Lot of the lamp; to be filled in, like all that follow but `in`."),
            ("in", "Day on which it goes in."),
            ("out", "Day on which it comes out."),
            (
                "reason",
                "\"failed\", \"burning\" at the last look, \"removed\" alive or \"broken\" by accident; empty until it is known.",
            ),
            ("from_h", "Burn hours that it had when the log began to watch it; empty for none."),
            ("alive_h", "Burn hours at which it was last seen burning, where its death was found later."),
            ("burn_h", "Burn hours when it came out, or at the last look."),
            ("note", "Anything worth knowing."),
        ],
    ),
    (
        BALANCE,
        &[
            ("arrangement", "\"by_lot\", the plan; \"in_order\", one kind after the other, to compare."),
            ("lamp", "Name of the lamp, or its code where the trial is blind."),
            ("part", "\"room\", \"row\", \"ends\" (first and last places of all rows) or \"middle\" (all others)."),
            ("row", "Number of the row; only for a row."),
            ("sockets", "Sockets there that have this lamp."),
            ("even_share", "Sockets that an even share would be."),
            ("mean_row", "Mean number of the row, 1 first; only for the room."),
            ("mean_place", "Mean place in the row, 1 first; only for the room."),
        ],
    ),
    (
        SEALED_KEY,
        &[
            ("code", "Code of a lamp in a blind trial."),
            ("lamp", "Name of the lamp."),
            ("sockets", "Sockets that have it."),
        ],
    ),
];
