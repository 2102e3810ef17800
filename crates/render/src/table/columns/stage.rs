//! Columns of the table of `stage`.

use super::Table;
use crate::table::STAGE;

pub(super) const TABLES: &[Table] = &[(
    STAGE,
    &[
        (
            "row",
            "What the row tells of: \"policy\", a way of doing it; \"watching\", a number of watched lamps; \"outcome\", a number of dead ones.",
        ),
        ("now", "Option that is bought now."),
        ("later", "Option that may follow."),
        ("contract", "Name of the contract."),
        ("prices_of", "Month of the price level."),
        ("change", "Day of the change."),
        ("rooms", "Rooms for which money is stated."),
        ("trials", "Trials that were lived."),
        (
            "policy",
            "\"now_throughout\", \"later_throughout\", \"planned\" (now, then as believed today), \"watched\" (now, then as watched lamps advise), \"known\" (a bound: with every input known); empty in other rows.",
        ),
        ("watched_lamps", "Lamps that are watched; empty for a policy."),
        ("dead_lamps", "Watched lamps that have died by the change; only for an outcome."),
        ("chance", "Chance of that number, 1 = certain."),
        ("chance_se", "Standard error of that."),
        ("cost_{basis}_{currency}_mean", "Cost of the policy at equal light, present value of both stages."),
        ("cost_{basis}_{currency}_mean_se", "Standard error of that."),
        ("above_lowest_{basis}_{currency}_mean", "How far it is above the cheapest policy; the bound is below."),
        ("above_lowest_{basis}_{currency}_mean_se", "Standard error of that."),
        ("worth_{basis}_{currency}", "What the better choice saves on average after so many lamps were watched."),
        ("worth_{basis}_{currency}_se", "Standard error of that."),
        ("extra_{basis}_{currency}_mean", "What the watched lamps cost more than those of now."),
        ("extra_{basis}_{currency}_mean_se", "Standard error of that."),
        ("left_{basis}_{currency}_mean", "Worth less extra."),
        ("left_{basis}_{currency}_mean_se", "Standard error of that."),
        (
            "saving_{basis}_{currency}_mean",
            "What changing saves when so many lamps are dead, mean; empty where fewer than two trials saw it.",
        ),
        ("saving_{basis}_{currency}_mean_se", "Standard error of that."),
        ("advice", "\"change\", \"stay\", \"too_close\" or \"too_rare\"; only for an outcome."),
    ],
)];
