//! Columns of the tables of `drivers`.

use super::Table;
use crate::table::DRIVERS;

pub(super) const TABLES: &[Table] = &[(
    DRIVERS,
    &[
        ("input", "The input that was moved; those that move the lead most come first."),
        ("tied", "Further inputs that move with it, because they share its luck."),
        ("unit", "Unit of the input and of its values; \"1\" or empty for a bare number."),
        ("grade", "How well the input is known; \"setting\" for what is no figure of the scenario."),
        (
            "band",
            "\"believed\" if the scenario states how uncertain the input is, \"doubted\" if a doubt by its grade is taken.",
        ),
        ("low", "Low end of the band, in the unit of the input: 10 % point, or the median less the doubt."),
        ("median", "Its median."),
        ("high", "High end of the band: 90 % point, or the median and the doubt."),
        ("searched_from", "Least value at which another winner was searched, in the unit of the input."),
        ("searched_to", "Greatest value at which another winner was searched."),
        ("contract", "Name of the contract under which everything is priced."),
        ("prices_of", "Month of the price level."),
        ("trials", "Trials behind leads and worths, all on the same luck."),
        ("search_trials", "Trials behind the search for other winners: the first so many."),
        ("variance_trials", "Pairs of trials behind the shares of the variance."),
        (
            "compared",
            "What is compared: \"mole\", rooms at equal light, or \"room\", rooms as written, however much light they give.",
        ),
        ("rooms", "Rooms for which the choice is made."),
        ("favourite", "Option with the lowest mean cost as the scenario stands."),
        ("runner_up", "Option with the next lowest; the favourite again where there is a single one."),
        (
            "lead_{basis}_{currency}_mean",
            "Mean cost of the runner-up less that of the favourite as the scenario stands, present value.",
        ),
        ("lead_{basis}_{currency}_mean_se", "Standard error of that."),
        ("winner_at_low", "Option with the lowest mean cost with the input at the low end."),
        (
            "lead_at_low_{basis}_{currency}_mean",
            "Lead of the favourite over the runner-up there; below zero when the runner-up is cheaper.",
        ),
        ("lead_at_low_{basis}_{currency}_mean_se", "Standard error of that."),
        ("winner_at_high", "Option with the lowest mean cost with the input at the high end."),
        ("lead_at_high_{basis}_{currency}_mean", "Lead of the favourite over the runner-up there."),
        ("lead_at_high_{basis}_{currency}_mean_se", "Standard error of that."),
        (
            "flip_below",
            "Nearest value below the median at which another option becomes the cheapest; empty for none within the search.",
        ),
        ("flip_below_of_median", "That value over the median; empty when the median is 0."),
        ("flip_below_winner", "Option that is the cheapest below it."),
        ("flip_below_belief_beyond", "Share of the belief below it, 1 = all; empty for a certain input."),
        ("flip_below_in_band", "Whether it lies within the band, \"yes\" or \"no\"."),
        ("flip_above", "Nearest value above the median at which another option becomes the cheapest; empty likewise."),
        ("flip_above_of_median", "That value over the median; empty when the median is 0."),
        ("flip_above_winner", "Option that is the cheapest above it."),
        ("flip_above_belief_beyond", "Share of the belief above it, 1 = all; empty for a certain input."),
        ("flip_above_in_band", "Whether it lies within the band, \"yes\" or \"no\"."),
        (
            "share_alone",
            "Share of the lead's variance that knowing the input alone would take away, 1 = all; empty for a certain input.",
        ),
        ("share_alone_se", "Standard error of that."),
        ("share_in_all", "Share of the lead's variance that would be left if all but the input were known, 1 = all."),
        ("share_in_all_se", "Standard error of that."),
        (
            "worth_{basis}_{currency}",
            "Worth of knowing the input before choosing, present value; empty for a certain input.",
        ),
        (
            "worth_{basis}_{currency}_se",
            "Standard error of that; where no effect was seen, the least worth that can be.",
        ),
        ("worth_is_seen", "Whether an effect on the choice is told from none, \"yes\" or \"no\"."),
        ("worth_unseen_{basis}_{currency}", "Worth below which an effect cannot be told from none."),
    ],
)];
