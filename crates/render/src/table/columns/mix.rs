//! Columns of the table of `mix`.

use super::Table;
use crate::table::MIX;

pub(super) const TABLES: &[Table] = &[(
    MIX,
    &[
        ("option_1", "First option of the mix."),
        ("share_1", "Its share of the light, 1 = all."),
        ("option_2", "Second option."),
        ("share_2", "Its share of the light."),
        ("option_3", "Third option; empty where two are mixed."),
        ("share_3", "Its share of the light; empty likewise."),
        ("option_4", "Fourth option; empty where fewer are mixed."),
        ("share_4", "Its share of the light; empty likewise."),
        ("contract", "Name of the contract."),
        ("prices_of", "Month of the price level."),
        ("rooms", "Rooms for which money is stated."),
        ("trials", "Trials that were lived."),
        ("cost_{basis}_{currency}_mean", "Cost of the mix at equal light, present value, mean."),
        ("cost_{basis}_{currency}_mean_se", "Standard error of that."),
        ("cost_{basis}_{currency}_sd", "Its standard deviation."),
        ("cost_{basis}_{currency}_p90", "Its 90 % point."),
        ("cost_{basis}_{currency}_p90_se", "Standard error of that."),
        ("regret_{basis}_{currency}_mean", "Cost less that of the option that was the cheapest in the trial, mean."),
        ("regret_{basis}_{currency}_mean_se", "Standard error of that."),
        ("regret_{basis}_{currency}_p95", "95 % point of the same."),
        ("regret_{basis}_{currency}_p95_se", "Standard error of that."),
        ("frontier", "\"yes\" where no other mix has both a lower mean cost and a lower 95 % point of regret."),
        ("lowest_in", "In what the mix is the lowest: \"mean\", \"regret\" (its 95 % point), \"p90\"; empty for most."),
    ],
)];
