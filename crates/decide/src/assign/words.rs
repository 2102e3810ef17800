//! What is said of a trial: how it was drawn, how to go about it, what it cannot tell.
//!
//! Belongs here: sentences. Does not belong here: the draw.

use learn::lots::Room;
use plan::Plan;

/// Difference of wall powers, as a share, from which lamps are said to draw different power.
const OTHER_POWER: f64 = 0.005;

/// How the lot was drawn.
pub(super) fn drawn(room: &Room, counts: &[usize], unused: usize) -> Vec<String> {
    let exact = (0..room.rows())
        .all(|row| counts.iter().all(|count| (room.length(row) * count).is_multiple_of(room.sockets())));
    let rows = if exact {
        "each row is a block and has every kind of lamp in its exact share, and so have the ends of the rows as far as whole \
         lamps allow"
    } else {
        "each row is a block, and so are its two ends: every kind of lamp has one of the two whole numbers around its even \
         share, and the lot says which"
    };
    let mut told = vec![
        format!("{rows}; within these the lot decides alone"),
        "every socket gets each kind as often as that kind's share of the sockets, over all seeds".to_owned(),
        "a plan is drawn by lot only if its seed was chosen before anyone saw a plan: throw dice for it, and do not draw again"
            .to_owned(),
        "randomised blocks: Fisher, The Design of Experiments, 1935; surplus by unbiased rounding: Cox, Journal of the American \
         Statistical Association 82, 1987, page 520 (both from memory)"
            .to_owned(),
    ];
    if unused > 0 {
        told.insert(
            1,
            format!("{unused} sockets take no part and keep what burns there; they were drawn in the same way"),
        );
    }
    if room.rows() == 1 {
        told.push("there is one row only, so that only its ends are told from its middle".to_owned());
    }
    if (0..room.rows()).any(|row| room.length(row) < counts.len()) {
        told.push(
            "rows are shorter than there are kinds of lamp, so that no row has them all; which kinds share a row is left to \
             the lot"
                .to_owned(),
        );
    }
    told
}

/// How to go about it.
pub(super) fn steps(is_blind: bool) -> Vec<String> {
    let mut told = vec![
        "hang new lamps of all kinds on the same days, on gear that all of them are made for; a lamp that cannot go where the \
         plan says is noted, not swapped"
            .to_owned(),
        "write down the lot of each lamp, and look at all sockets on the same rounds: what is found dead was burning at some \
         hour and dark at another, and both belong in the log"
            .to_owned(),
        "write down what is taken out alive (`removed`) and what is broken by accident (`broken`): such lamps count for the \
         hours that they burned"
            .to_owned(),
        "the log sheet, filled in and typed into log-sheet.csv, is what `lampledger learn life` reads; a lamp that follows in a \
         socket gets a line of its own"
            .to_owned(),
    ];
    if is_blind {
        told.push(
            "give sealed-key.csv to someone who does not look for dead lamps, label the lamps with their codes, and open the key \
             when the log is closed; who knows the seed and the names can draw the plan again, codes and all"
                .to_owned(),
        );
    }
    told
}

/// What such a trial cannot tell.
pub(super) fn limits() -> Vec<String> {
    vec![
        "lots: lamps of one carton tell of that carton; take them from the lots that would be bought later, of each kind from \
         more than one"
            .to_owned(),
        "other rooms: it tells of this photoperiod, these starts, this gear, heat and handling".to_owned(),
        "what comes later: of lamps that still burn at the end it says only that they lived so long".to_owned(),
        "small differences: what counts is the number of lamps that have died, not the number that hang".to_owned(),
    ]
}

/// Cautions for a trial of which no scenario says what lamps they are.
pub fn general_cautions() -> Vec<String> {
    // the sources are those of the same cautions about a scenario
    vec![
        "Work at height and on circuits: switch off, lock and tag, prove dead, and let hot lamps cool and capacitors discharge \
         before touching them; follow the makers' sheets and the local rules for ladders and lifts (OSHA 29 CFR \
         1910.333(b)(2); GE sheet for 400 W metal-halide lamps, 1999)."
            .to_owned(),
        "Arc lamps: switch off and replace one whose outer glass is cracked or missing, and never look at it or work under it \
         while it burns, because the arc can go on burning and hurt eyes and skin within minutes; do not let lamps burn until \
         they burst just to see how long they last, but take them out as their makers' sheets say (FDA notice on metal-halide \
         and mercury lamps; GE sheet for 400 W metal-halide lamps, 1999)."
            .to_owned(),
        "Mercury: keep old discharge lamps whole, in closed containers labelled as universal waste, hand them to a recycler \
         within a year, and clean up breakage at once; local waste rules may be stricter (40 CFR 273; EPA questions and \
         answers on universal waste)."
            .to_owned(),
        "Matching: hang a lamp only in fixtures and on gear that its maker names for it; a licensed person judges circuits to \
         the local code (common practice, no source)."
            .to_owned(),
    ]
}

/// What is to be remarked of options whose lamps are to hang side by side.
pub(super) fn remarks(plan: &Plan, options: &[usize], powers: &[f64]) -> Vec<String> {
    let mut told = vec![];
    let named = |index: usize| &plan.options[index].name;
    if let (Some(first), Some(low), Some(high)) =
        (options.first(), powers.iter().copied().reduce(f64::min), powers.iter().copied().reduce(f64::max))
    {
        if high > low * (1.0 + OTHER_POWER) {
            told.push(format!(
                "the options' fixtures draw {low:.0} to {high:.0} W at the wall; with other power the trial changes the bill as \
                 well, which is not counted here"
            ));
        }
        let other = options.iter().find(|index| plan.options[**index].sockets() != plan.options[*first].sockets());
        if let Some(other) = other {
            told.push(format!(
                "{} lights {} sockets, {} {}: the trial is drawn for those of {}, whose fixtures must take every lamp",
                named(*first),
                plan.options[*first].sockets(),
                named(*other),
                plan.options[*other].sockets(),
                named(*first)
            ));
        }
    }
    told
}
