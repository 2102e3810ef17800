//! Cautions that a scenario calls for, in plain words. They are no advice on compliance.

use scenario::form::Technology;

use crate::{OptionPlan, RelampPlan};

/// Cautions for a set of options, each once, in a fixed order.
pub(crate) fn cautions(options: &[OptionPlan]) -> Vec<String> {
    let any = |kinds: &[Technology]| options.iter().any(|option| kinds.contains(&option.technology));
    let halide = any(&[Technology::MetalHalide, Technology::CeramicMetalHalide]);
    let arc = halide || any(&[Technology::HighPressureSodium]);
    let mercury = arc || any(&[Technology::Fluorescent]);
    let kept_to_failure = options.iter().any(|option| {
        matches!(option.technology, Technology::MetalHalide | Technology::CeramicMetalHalide)
            && matches!(option.relamp, RelampPlan::OnFailure)
    });

    let mut said = vec![];
    let mut say = |applies: bool, text: &str| {
        if applies {
            said.push(text.to_owned());
        }
    };
    // published guidance: FDA notices on metal-halide and mercury lamps, 21 CFR 1040.30
    say(
        arc,
        "Ultraviolet: never look at or work under an arc lamp whose outer glass is cracked or missing; it can burn eyes \
         and skin within minutes. Quartz-jacketed lamps belong behind the fixture's filter glass.",
    );
    // published guidance: makers' metal-halide sheets, NEMA texts, Hartford Steam Boiler / Munich Re 2013
    say(
        halide,
        "Rupture: metal-halide arc tubes can burst and throw hot fragments; use enclosed fixtures or lamps marked for open \
         ones, switch round-the-clock lamps off for at least 15 minutes a week, and replace at or before rated life.",
    );
    say(
        kept_to_failure,
        "An option here runs metal-halide lamps until they fail: makers' guidance is to replace them as a group at or \
         before rated life, because the risk of rupture grows towards the end.",
    );
    // published guidance: 40 CFR 273 (universal waste), EPA questions and answers
    say(
        mercury,
        "Mercury: keep old discharge lamps whole, in closed labelled containers, hand them to a recycler in time, and clean \
         up breakage at once; local waste rules may be stricter.",
    );
    // published guidance: OSHA 29 CFR 1910.333
    say(
        true,
        "Work at height and on circuits: switch off, lock and tag, prove dead, and let lamps and capacitors cool and \
         discharge before touching them; follow local rules for lifts and ladders.",
    );
    // published guidance: NEC 210.19(A)(1), 210.20(A) in readable summaries
    say(
        true,
        "Electrical load: power figures here are for costing only; lights on for 3 hours or more are a continuous load. \
         A licensed person must design the circuits to the local code.",
    );
    said
}
