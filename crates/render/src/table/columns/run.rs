//! Columns of the tables of `run`.

use super::Table;
use crate::table::{CAUSES, INPUTS, PRICES, RACES, SUMMARY, TRIALS, YEARS};

pub(super) const TABLES: &[Table] = &[
    (
        SUMMARY,
        &[
            ("option", "Name of the option."),
            ("contract", "Name of the contract."),
            ("light_basis", "Where the option's light was measured."),
            ("lights", "Clock times of the light windows in the first phase under this contract."),
            ("prices_of", "Month of the price level."),
            ("discount_rate_per_year", "Discount rate as a fraction per year, mean over trials."),
            ("booked", "When in its month money counts."),
            ("trials", "Trials that the row rests on."),
            ("ended", "Why the run ended: \"trials\", \"precision\" or \"interrupted\"."),
            ("burn_h", "Burn hours of the schedule over the horizon, h."),
            (
                "effective_price_{currency}_per_kWh",
                "What a kWh of the option's lights costs on average over the horizon, demand and cooling included.",
            ),
            ("fixtures", "Fixtures in the room."),
            ("sockets", "Sockets in the room."),
            ("new_flux_umol_per_s", "Delivered photon flux of one new fixture, µmol/s, mean over trials."),
            ("wall_power_W", "Wall power of one fixture, W, mean over trials."),
            ("efficacy_umol_per_J", "Delivered efficacy when new, µmol/J, on the light basis."),
            (
                "levelized_{basis}_{currency}_per_mol_{point}",
                "Levelized cost of a delivered mole: present value of cost over present value of moles.",
            ),
            ("plain_{basis}_{currency}_per_mol_{point}", "Plain cost of a delivered mole, not discounted."),
            ("total_{basis}_{currency}_{point}", "Total cost of the room over the horizon, not discounted."),
            ("present_value_{basis}_{currency}_{point}", "Present value of the cost of the room over the horizon."),
            (
                "moles_mol_{point}",
                "Moles delivered by the room over the horizon, mol, under the first contract's clock.",
            ),
            ("lamps_bought_{point}", "Lamps bought after the first fill, under the first contract's clock."),
            ("failures_{point}", "Failures of lamps and gear, under the first contract's clock."),
            (
                "dark_h_{point}",
                "Socket-hours of the schedule in which a socket was dark, h, under the first contract's clock.",
            ),
            (
                "target_met_{point}",
                "Those moles as a share of what the target PPFD needs while lit, 1 = all; empty without a target.",
            ),
            (
                "levelized_ignorance_{basis}_{currency}_per_mol_sd",
                "Part of the spread of the levelized cost that knowing the inputs would take away, standard deviation.",
            ),
            ("levelized_ignorance_{basis}_{currency}_per_mol_sd_se", "Standard error of that standard deviation."),
            (
                "levelized_luck_{basis}_{currency}_per_mol_sd",
                "Part of that spread that is the luck of lamps and market, standard deviation.",
            ),
            ("levelized_luck_{basis}_{currency}_per_mol_sd_se", "Standard error of that standard deviation."),
            (
                "useful_moles_mol_{point}",
                "Those of the moles that lie below the ceiling of PPFD, mol; empty without a ceiling.",
            ),
            (
                "levelized_useful_{basis}_{currency}_per_mol_{point}",
                "Levelized cost of a useful mole, one below the ceiling of PPFD; empty without a ceiling.",
            ),
        ],
    ),
    (
        CAUSES,
        &[
            ("option", "Name of the option."),
            ("contract", "Name of the contract."),
            ("cause", "Cause of the cost."),
            ("levelized_{basis}_{currency}_per_mol", "Its part of the mean levelized cost of a delivered mole."),
            ("plain_{basis}_{currency}_per_mol", "Its part of the mean plain cost of a delivered mole."),
            ("present_value_{basis}_{currency}", "Its present value over the horizon, mean."),
            ("total_{basis}_{currency}", "Its sum over the horizon, not discounted, mean."),
        ],
    ),
    (
        YEARS,
        &[
            ("option", "Name of the option."),
            ("contract", "Name of the contract."),
            ("year", "Year of the horizon; 0 is the outlay at the start."),
            ("cost_{basis}_{currency}", "Cost of the year, not discounted, mean."),
            ("spot_lamps", "Lamps put in for a failed one, mean, under the first contract's clock; empty for year 0."),
            (
                "planned_lamps",
                "Lamps put in by a planned relamping, mean, under the first contract's clock; empty for year 0.",
            ),
            ("lamps_p10", "Lamps bought in all, broken ones included: 10 % of trials lie below; empty for year 0."),
            ("lamps_p90", "Lamps bought in all, broken ones included: 90 % of trials lie below; empty for year 0."),
            ("failures", "Failures of lamps and gear, mean; empty for year 0."),
            ("failures_p10", "Failures: 10 % of trials lie below; empty for year 0."),
            ("failures_p90", "Failures: 90 % of trials lie below; empty for year 0."),
        ],
    ),
    (
        INPUTS,
        &[
            ("pointer", "JSON Pointer to the input: what a what-if takes."),
            ("place", "Where the input stands in the scenario."),
            ("unit", "Its unit."),
            ("p10", "Its 10 % point, or the value itself when it is certain."),
            ("p50", "Its median."),
            ("p90", "Its 90 % point, or the value itself when it is certain."),
            ("grade", "How well it is known: measured, invoice, datasheet or guess."),
            ("stated", "\"yes\" if the scenario states it, \"no\" if the program assumed it."),
            ("note", "Note of the scenario, or the reason for the assumption."),
        ],
    ),
    (
        RACES,
        &[
            ("contract", "Name of the contract."),
            ("option_a", "One option of the pair."),
            ("option_b", "The other option of the pair, on the same luck."),
            (
                "lead_{basis}_{currency}_per_mol",
                "Mean of the levelized cost of a minus that of b; negative when a is cheaper.",
            ),
            ("lead_{basis}_{currency}_per_mol_se", "Standard error of that mean."),
            ("lead_{basis}_{currency}_per_mol_p10", "10 % point of that difference over trials."),
            ("lead_{basis}_{currency}_per_mol_p90", "90 % point of that difference over trials."),
            ("chance_a_cheaper", "Share of trials in which a is cheaper, 1 = all; equal cost counts half."),
            ("chance_a_cheaper_se", "Standard error of that share."),
            ("verdict", "\"a\" or \"b\" for the one that costs less on average, \"tie\" when the noise does not tell."),
        ],
    ),
    (
        PRICES,
        &[
            ("contract", "Name of the contract."),
            ("year", "Year of the horizon, 1 first."),
            ("part", "Part of the prices: energy, riders, demand or fixed."),
            (
                "level_mean",
                "Its level as a multiple of the prices as written, mean over the year's bills and the first trials; inflation is in it where money is nominal.",
            ),
            ("level_p10", "10 % of trials lie below."),
            ("level_p50", "Half of the trials lie below."),
            ("level_p90", "90 % of trials lie below."),
        ],
    ),
    (
        TRIALS,
        &[
            ("trial", "Number of the trial, 0 first."),
            ("option", "Name of the option."),
            ("contract", "Name of the contract."),
            ("levelized_{basis}_{currency}_per_mol", "Levelized cost of a delivered mole in this trial."),
            ("plain_{basis}_{currency}_per_mol", "Plain cost of a delivered mole in this trial, not discounted."),
            ("total_{basis}_{currency}", "Total cost of the room in this trial, not discounted."),
            ("present_value_{basis}_{currency}", "Present value of that cost."),
            ("moles_mol", "Moles delivered by the room in this trial, mol."),
            ("lamps_bought", "Lamps bought after the first fill in this trial."),
            ("failures", "Failures of lamps and gear in this trial."),
            ("dark_h", "Socket-hours of the schedule in which a socket was dark in this trial, h."),
        ],
    ),
];
