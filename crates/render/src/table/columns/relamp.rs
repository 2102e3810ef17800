//! Columns of the tables of `relamp`.

use super::Table;
use crate::table::{RELAMP_CURVE, RELAMP_MONTHS};

pub(super) const TABLES: &[Table] = &[
    (
        RELAMP_CURVE,
        &[
            ("option", "Name of the option."),
            ("policy", "How lamps are replaced."),
            ("interval_h", "Interval or age, burn hours; empty for a policy without one."),
            ("contract", "Name of the contract under which everything is priced."),
            ("prices_of", "Month of the price level."),
            ("trials", "Trials lived for every policy and interval, all on the same luck."),
            (
                "levelized_{basis}_{currency}_per_mol_mean",
                "Levelized cost of a delivered mole, mean; empty where it could not be worked out.",
            ),
            ("levelized_{basis}_{currency}_per_mol_mean_se", "Standard error of that mean."),
            ("light_of_as_written_mean", "Photons delivered as a share of those of the option as written, mean."),
            ("lamps_bought_mean", "Lamps bought after the first fill, mean."),
            ("dark_share_mean", "Dark socket-hours as a share of all of the schedule, 1 = all, mean."),
        ],
    ),
    (
        RELAMP_MONTHS,
        &[
            ("option", "Name of the option."),
            ("month", "Calendar month; lamps are replaced as the scenario is written."),
            ("planned_lamps", "Lamps put in as planned, mean."),
            ("spot_lamps", "Lamps put in for failed ones, mean."),
            ("buy_lamps_p50", "Half of the trials need to buy at most so many lamps, broken ones included."),
            ("buy_lamps_p80", "80 % of trials need to buy at most so many."),
            ("buy_lamps_p95", "95 % of trials need to buy at most so many."),
            ("lead_months", "Months of demand that spares must bridge until a delivery comes."),
            ("hold_lamps_p50", "Half of the trials need at most so many spares at the beginning of the month."),
            ("hold_lamps_p80", "80 % of trials need at most so many spares."),
            ("hold_lamps_p95", "95 % of trials need at most so many spares."),
            (
                "hold_lamps_by_table",
                "Smallest stock that a Poisson demand of the same mean leaves unexhausted with 95 %.",
            ),
        ],
    ),
];
