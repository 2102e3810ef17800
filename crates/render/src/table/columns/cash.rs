//! Columns of the tables of `cash`.

use super::Table;
use crate::table::{CASH_MEASURES, CASH_MONTHS, CASH_YEARS};

pub(super) const TABLES: &[Table] = &[
    (
        CASH_MONTHS,
        &[
            ("flow", "Name of the option; empty in the two rows that hold for all flows."),
            (
                "saved_against",
                "Name of the reference where the row tells savings, paid less is above 0; empty where it tells costs, paid is above 0.",
            ),
            (
                "line",
                "Cause of the cost, \"worth at the end\", \"total\", \"tax\", \"loan\" or \"after tax\"; \"years from the start\" and \"present value of 1\" once for all flows.",
            ),
            ("unit", "Kind of money and currency, mean over trials, or the unit of the row."),
            ("{date}", "Amount booked on that day: the start, then one column for each month."),
            ("total_{basis}_{currency}", "Sum of the row."),
            ("present_value_{basis}_{currency}", "Its present value at the median discount rate."),
        ],
    ),
    (
        CASH_YEARS,
        &[
            ("flow", "Name of the option."),
            ("saved_against", "Name of the reference where the row tells savings; empty where it tells costs."),
            (
                "line",
                "As in cash-months.csv, mean over trials; \"total at year ends\" moves each month to its year's end at the discount rate, so that a spreadsheet's NPV of years 1 and on, plus year 0, is the present value; \"cash, 80 % point\" and its like are percentiles over trials, which do not add up.",
            ),
            ("unit", "Kind of money and currency."),
            ("{year}", "Amount of the year: year_0 is the start, then one column for each twelve months."),
            ("total_{basis}_{currency}", "Sum of the row; of percentiles that of the total, which is not their sum."),
            ("present_value_{basis}_{currency}", "Present value at the median discount rate; empty for percentiles."),
        ],
    ),
    (
        CASH_MEASURES,
        &[
            ("option", "Name of the option."),
            ("reference", "Name of the option with which it is compared; everything compared is empty in its own row."),
            ("contract", "Name of the contract."),
            ("prices_of", "Month of the price level."),
            ("trials", "Trials lived, all on the same luck."),
            (
                "lives",
                "What becomes of fixtures whose service does not end with the horizon: horizon, residual or annual.",
            ),
            ("discount_rate_per_year", "Discount rate for this kind of money, median, 1 = 100 %."),
            (
                "life_cycle_cost_{basis}_{currency}_{point}",
                "Present value of all costs less what is left, each trial at its own discount rate.",
            ),
            ("outlay_{basis}_{currency}", "Part of it: what is paid at the start, mean."),
            ("running_{basis}_{currency}", "Part of it: everything after the start, mean."),
            (
                "worth_at_the_end_{basis}_{currency}",
                "Part of it, taken off: present value of what fixtures are worth at the horizon, mean.",
            ),
            (
                "equivalent_annual_{basis}_{currency}_per_year",
                "Equal amount at each year's end that comes to the life-cycle cost.",
            ),
            ("light_mol", "Photons delivered, present value, mean, mol."),
            ("light_of_reference", "The same as a share of the reference's, mean."),
            ("light_of_service", "The same as a share of the light that is asked for."),
            ("npv_{basis}_{currency}_{point}", "Net present value = net savings against the reference."),
            ("chance_npv_above_0", "Share of trials in which it is above 0, 1 = all; exactly 0 counts half."),
            (
                "npv_equal_light_{basis}_{currency}_{point}",
                "Net present value with the option brought to the reference's light at its own cost per mole.",
            ),
            ("investment_{basis}_{currency}", "Present value invested beyond the reference."),
            ("savings_{basis}_{currency}", "Present value saved in running costs."),
            ("sir", "Savings-to-investment ratio of the mean flow; empty where nothing more is invested."),
            ("sir_se", "Standard error of it, by groups of trials."),
            ("airr_per_year", "Adjusted internal rate of return, 1 = 100 %."),
            ("airr_per_year_se", "Standard error of it."),
            ("irr_count", "Internal rates of return that the mean flow has."),
            ("sign_changes", "How often the mean flow changes its sign."),
            ("irr_per_year", "The internal rate of return, effective, where there is exactly one."),
            ("irr_per_year_se", "Standard error of it."),
            ("mirr_per_year", "Modified internal rate of return, financed and reinvested at the discount rate."),
            ("mirr_per_year_se", "Standard error of it."),
            ("simple_payback_yr", "Years until the undiscounted flow has paid for itself for good; empty for never."),
            ("simple_payback_date", "Day of booking on which it has."),
            ("discounted_payback_yr", "The same of the discounted flow."),
            ("discounted_payback_date", "Day of booking on which it has."),
            (
                "deepest_need_date",
                "Day on which the undiscounted savings since the start are lowest; empty if never below 0.",
            ),
            ("deepest_need_{basis}_{currency}", "How low, mean flow: 0 or below."),
            ("cash_{basis}_{currency}_{point}", "Undiscounted cash of the option over the horizon."),
            ("contingency_{basis}_{currency}", "Its 80 % point less its mean."),
            (
                "sum_of_yearly_p80_{basis}_{currency}",
                "Sum of the 80 % points of all years: not the 80 % point of the sum.",
            ),
            ("worst_month_date", "The month after the start with the highest mean."),
            ("worst_month_{basis}_{currency}_mean", "Its mean."),
            ("worst_month_{basis}_{currency}_p90", "Its 90 % point over trials."),
            (
                "npv_after_tax_{basis}_{currency}",
                "Net present value of the mean flow after tax and loan; empty without them.",
            ),
            ("irr_after_tax_per_year", "Internal rate of return after tax and loan, where there is exactly one."),
        ],
    ),
];
