//! What a bench on which lamps burn until they die calls for, beyond the cautions of the room.
//!
//! Belongs here: sentences about life tests, by the technology of the lamp, with their sources. Does not belong here: what
//! holds in the room as well, which the plan's own cautions say.

use scenario::form::Technology;

use super::{BURNS, FRAGMENTS, LOAD, RATED, WASTE, WORK};
use crate::OptionPlan;

/// Cautions for a bench on which lamps of an option burn for thousands of hours, some until they die.
pub fn bench_cautions(option: &OptionPlan) -> Vec<String> {
    let is_halide = matches!(option.technology, Technology::MetalHalide | Technology::CeramicMetalHalide);
    let is_arc = is_halide || option.technology == Technology::HighPressureSodium;
    let is_discharge = is_arc || option.technology == Technology::Fluorescent;
    let mut said = vec![];
    let mut say = |head: &str, text: &str, source: &str| said.push(format!("{head}: {text} ({source})."));
    if is_arc {
        say(
            "Test bench, ultraviolet",
            "run arc lamps only in fixtures that enclose them, or behind an interlocked screen, and switch off before anybody \
             looks in: a test runs lamps to their end, and an arc whose jacket breaks can go on burning",
            BURNS,
        );
    }
    if is_halide {
        say(
            "Test bench, rupture",
            "the risk that a metal-halide arc tube bursts grows past its rated life, and a test goes there on purpose: use \
             fixtures that hold fragments of about 1000 °C back, and ask the maker before lamps burn to that age",
            &format!("{FRAGMENTS}; {RATED}"),
        );
    }
    if is_discharge {
        // Read: what holds for waste lamps. That a room is aired first is from memory.
        say(
            "Test bench, mercury",
            "keep a closed, labelled container for dead and broken lamps beside the bench; air the room, then clean up \
             breakage at once",
            &format!("{WASTE}; airing from memory"),
        );
    }
    say(
        "Test bench, electrical",
        "a bench is a continuous load with gear that gets hot: a licensed person must wire and protect it to the local code, \
         and nobody works on it until it is switched off, locked and proved dead",
        &format!("{LOAD}; {WORK}"),
    );
    say(
        "Test bench, fire",
        "keep it on and among things that do not burn, with a smoke alarm, a cut-out for excess temperature and somebody who \
         is called; do not leave lamps that nobody watches over burning beside a crop or in a dwelling",
        "common practice, no source",
    );
    said
}
