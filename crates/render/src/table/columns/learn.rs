//! Columns of the tables of `learn`.

use super::Table;
use crate::table::{LIFE, LIFE_SURVIVAL};

pub(super) const TABLES: &[Table] = &[
    (
        LIFE,
        &[
            (
                "row",
                "What the row tells of: \"median_life\", a belief about the median life on the scenario's photoperiod; \"input\", an uncertain input of the life; \"fit\", a number of a curve fitted to the log alone; \"bound\", what too few deaths still say.",
            ),
            ("option", "Option whose lamp it is."),
            (
                "which",
                "\"before\" or \"after\" the log, \"dead_only\" (the wrong answer, without lamps that did not die), or the family of a fit, \"weibull\" or \"lognormal\"; empty for a bound.",
            ),
            (
                "what",
                "Which number: \"b10\" and \"b50\" (burn hours by which that share is dead), \"scale\", \"shape\", \"median\", \"sd_of_ln_life\", \"aic\", or the place of an input within the life.",
            ),
            ("unit", "Unit of the numbers."),
            ("p10", "10 % of the belief lie below."),
            ("p50", "Half of the belief lies below."),
            ("p90", "90 % of the belief lie below."),
            ("value", "Most likely value of a fit."),
            ("se", "Standard error of that."),
            ("low", "Lower end of the 95 % interval of a fit, or the 90 % bound; empty where there is none."),
            ("high", "Upper end of the 95 % interval of a fit; empty where there is none."),
            ("lamps", "Lamps in the logs."),
            ("deaths", "Deaths among them."),
        ],
    ),
    (
        LIFE_SURVIVAL,
        &[
            (
                "curve",
                "\"kaplan_meier\" or \"turnbull\", the steps of the log; \"before\" and \"after\", beliefs; \"dead_only\", the wrong answer.",
            ),
            ("from_h", "Burn hours at which a step begins, or of the point of a curve."),
            ("to_h", "Burn hours at which it ends; between the two nothing is known of how survival falls."),
            ("at_risk", "Lamps that were watched just before the step; empty where deaths lie between hours."),
            ("deaths", "Deaths in the step."),
            (
                "alive_low",
                "Lower end of the 95 % band of a step, or the share alive below which 10 % of the belief lie.",
            ),
            ("alive", "Share alive after the step, or the share below which half of the belief lies, 1 = all."),
            (
                "alive_high",
                "Upper end of the 95 % band of a step, or the share alive below which 90 % of the belief lie.",
            ),
        ],
    ),
];
