//! Columns of the tables of `breakeven`.

use super::Table;
use crate::table::BREAKEVEN;

pub(super) const TABLES: &[Table] = &[(
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
)];
