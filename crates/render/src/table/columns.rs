//! The columns of all tables, each with its meaning: the one place that headers and documentation are made from.
//!
//! Belongs here: names and meanings. Does not belong here: the values.

use super::{
    BREAKEVEN, CAUSES, INPUTS, LINES, MAP, PEAKS, PRICES, RACES, RELAMP_CURVE, RELAMP_MONTHS, STARTS, SUMMARY, TRIALS,
    YEARS,
};

/// One column, or a family of columns that differ in a point of the distribution only.
///
/// In `name_pattern`, `{currency}` stands for the currency code, `{basis}` for "real" or "nominal" and `{point}` for
/// each of `mean`, `mean_se`, `sd`, `p5`, `p5_se`, `p10`, `p10_se`, `p50`, `p50_se`, `p80`, `p80_se`, `p90`,
/// `p90_se`, `p95` and `p95_se` in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// File that it stands in.
    pub file: &'static str,
    /// Its name, with places to be filled in.
    pub name_pattern: &'static str,
    /// What it says, one sentence.
    pub meaning: &'static str,
}

/// Points of a spread in the order of their columns.
pub(super) const POINTS: [&str; 15] = [
    "mean", "mean_se", "sd", "p5", "p5_se", "p10", "p10_se", "p50", "p50_se", "p80", "p80_se", "p90", "p90_se", "p95",
    "p95_se",
];

/// The tables in the order of README.
const COLUMNS: &[(&str, &[(&str, &str)])] = &[
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
    (
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
    ),
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
    (
        BREAKEVEN,
        &[
            ("input", "The input that was moved."),
            ("unit", "Unit of the input; empty for a bare number."),
            ("grade", "How sure the input is; \"setting\" for what is no figure of the scenario."),
            ("belief_p10", "What is believed of the input, in its unit: 10 % point."),
            ("belief_p50", "Its median; equal to the others when the input is certain."),
            ("belief_p90", "Its 90 % point."),
            ("searched_from", "Least value that was searched, in the unit of the input."),
            ("searched_to", "Greatest value that was searched."),
            ("grain", "Smallest step in which the input can be set, in its unit; 0 for none."),
            ("option_a", "Name of the option whose lead is told."),
            ("light_basis_a", "Where its light was measured."),
            ("option_b", "Name of the option that it is compared with."),
            ("light_basis_b", "Where its light was measured."),
            ("contract", "Name of the contract."),
            ("prices_of", "Month of the price level."),
            ("trials", "Trials lived at every value, all on the same luck."),
            (
                "lead_now_{basis}_{currency}_per_mol_mean",
                "Levelized cost of a mole of a less that of b as the scenario stands; empty where rooms are compared.",
            ),
            ("lead_now_{basis}_{currency}_per_mol_mean_se", "Standard error of that."),
            (
                "lead_now_{basis}_{currency}_mean",
                "Present value of the room of a less that of b as the scenario stands; empty where moles are compared.",
            ),
            ("lead_now_{basis}_{currency}_mean_se", "Standard error of that."),
            ("chance_a_now", "Share of trials in which a is cheaper as the scenario stands, 1 = all."),
            (
                "belief_for_a",
                "Share of what is believed of the input under which a is cheaper on average, 1 = all; empty for a certain one.",
            ),
            ("tie", "Which tie of the contract the row tells of, counted from the least value; empty for never."),
            ("tie_at", "Value at which both cost the same on average, in the unit of the input."),
            ("tie_at_se", "Standard error of that value."),
            ("bracket_from", "Greatest value tried below the tie at which the lead has the sign of that side."),
            ("bracket_to", "Least value tried above the tie at which the lead has the other sign."),
            ("cheaper_below", "Option that is cheaper next below the tie."),
            ("cheaper_above", "Option that is cheaper next above the tie."),
            (
                "lead_there_{basis}_{currency}_per_mol_mean",
                "Lead per mole with the tie put back; nothing but noise unless the lead leaps there.",
            ),
            ("lead_there_{basis}_{currency}_per_mol_mean_se", "Standard error of that."),
            ("lead_there_{basis}_{currency}_mean", "Lead of the room with the tie put back."),
            ("lead_there_{basis}_{currency}_mean_se", "Standard error of that."),
        ],
    ),
    (
        MAP,
        &[
            ("contract", "Name of the contract."),
            ("prices_of", "Month of the price level."),
            ("trials", "Trials lived at every point, all on the same luck."),
            (
                "compared",
                "What is compared: \"mole\", the cost of a delivered mole, or \"room\", that of the whole room.",
            ),
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
    ),
];

/// Every column of every table, in the order of the files and within them of the cells.
pub fn columns() -> Vec<Column> {
    COLUMNS
        .iter()
        .flat_map(|(file, list)| list.iter().map(|(name_pattern, meaning)| Column { file, name_pattern, meaning }))
        .collect()
}

/// The column names of a table with currency and basis filled in; none for an unknown file.
pub fn header(file: &str, currency: &str, basis: &str) -> Vec<String> {
    let word = |text: &str| text.chars().filter(char::is_ascii_alphanumeric).collect::<String>();
    let (currency, basis) = (word(currency), word(basis));
    columns()
        .iter()
        .filter(|column| column.file == file)
        .map(|column| column.name_pattern.replace("{currency}", &currency).replace("{basis}", &basis))
        .flat_map(|name| {
            if name.contains("{point}") {
                POINTS.iter().map(|point| name.replace("{point}", point)).collect()
            } else {
                vec![name]
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_has_a_sentence() {
        assert!(columns().len() > 50);
        for column in columns() {
            assert!(column.meaning.ends_with('.') && column.meaning.len() > 8, "{column:?}");
        }
    }

    #[test]
    fn names_carry_currency_and_basis() {
        let names = header(SUMMARY, "U S,D", "real");
        assert!(names.contains(&"levelized_real_USD_per_mol_p90".to_owned()));
        assert!(names.contains(&"levelized_real_USD_per_mol_p90_se".to_owned()));
        assert_eq!(names.len(), 20 + 11 * POINTS.len());
        assert!(header("other.csv", "USD", "real").is_empty());
    }
}
