//! Cautions that a scenario calls for: plain sentences with their public sources. They are no advice on compliance.
//!
//! Belongs here: which sentence is said of which options, its words and its source, and in a comment whether that
//! source was read or is remembered. Does not belong here: how a scenario's facts are worked out (`facts.rs`), and
//! oddities of a scenario that endanger nobody (`remarks.rs`).

mod bench;
mod facts;

use scenario::form::FixtureOption;

use crate::Plan;
pub use bench::bench_cautions;
use facts::{Fixture, Lights};

// Read: the notice, and the guidance on whom 1040.30 binds. It covers mercury-vapour and metal-halide lamps for general
// lighting; that sodium lamps are outside it is from memory. So the sentence asks for the mark on the carton. That T
// means within 15 minutes was read in New Jersey's rule of the same words; that 1040.30(d) says so, too, is from
// memory.
const BURNS: &str = "FDA notice on metal-halide and mercury lamps; 21 CFR 1040.30";

// Read: short-wave ultraviolet passes the quartz of an arc tube and is stopped by a hard glass jacket (New Jersey);
// cautionary marking of lamps with much ultraviolet (IEC 62035, in a summary). That a jacket of quartz lets it through
// as well, and that many double-ended lamps have one, is from memory.
const QUARTZ: &str =
    "New Jersey Department of Environmental Protection on mercury vapor lamps; IEC 62035 on cautionary marking";

// Read: the scope as the standard's seller prints it, and definitions of the risk groups; neither standard in full.
const CROWD: &str = "UL 8800 Edition 1, scope; risk groups of ANSI/IES RP-27";

// Read: the sheet as an insurance adviser printed it, and a lamp maker's summary of the code's article. That later
// editions number the article 410.130(F)(5) is from memory.
const FRAGMENTS: &str = "GE sheet for 400 W metal-halide lamps, 1999; NEC 2005, 410.73(F)(5), in a summary";

// Read: the same sheet, NEMA's advice as electricians quote it, and the insurer's paper; NEMA LSD 25 itself not in
// full.
const WEEKLY: &str = "GE sheet for 400 W metal-halide lamps, 1999; NEMA advice as quoted by electricians; Hartford \
                      Steam Boiler 2013";
const RATED: &str = "GE sheet for 400 W metal-halide lamps, 1999";
const SPOT: &str = "GE sheet for 400 W metal-halide lamps, 1999; NEMA advice as quoted by electricians";

// Read: why an old sodium lamp goes on and off. That its many starts can harm the ignitor is from memory.
const CYCLING: &str = "Universal Lighting Technologies, HID Maintenance Guide, Appendix B";

// Read: that too many watts shorten life (the book), and that designations must agree (a trade page, a weak source).
const UNMATCHED: &str =
    "Interior Lighting for Designers, on over-wattage; ANSI designations as trade pages explain them";

// Read: a trade magazine's summary, not the paper itself; which type has which floor is not known here.
const DIMMED: &str = "NEMA LSD 14-2010 as summarised in Electrical Contractor";

// Read: the agency's questions and answers on 273.9 and 273.13(d). The label's words and the year come from guides of
// counties and states; that they stand in 273.14(e) and 273.15 is from memory.
const WASTE: &str = "40 CFR 273; EPA questions and answers on universal waste";

// Read: 1910.333(b)(2), and the sheet on hot lamps. Not 1910.147: it leaves out agriculture. Rules on ladders and lifts
// were not read, so the sentence leaves them to local rules.
const WORK: &str = "OSHA 29 CFR 1910.333(b)(2); GE sheet for 400 W metal-halide lamps, 1999";

// Read: several summaries that agree; the code itself not.
const LOAD: &str = "NEC 210.19(A)(1), 210.20(A) and Article 100, in summaries";

/// Share of rated lamp power below which no arc lamp should be dimmed, and the highest floor of any type (source:
/// DIMMED).
const FLOORS: (f64, f64) = (0.5, 0.7);

/// Hours of burning from which lamps count as burning round the clock.
const ROUND_THE_CLOCK: f64 = 24.0;

/// Cautions for a plan and its options as written: each once, in a fixed order.
pub(crate) fn cautions(plan: &Plan, written: &[FixtureOption]) -> Vec<String> {
    let medians = plan.inputs.medians();
    let lights = Lights::of(plan);
    let options = plan.options.iter().zip(written).map(|(meant, written)| Fixture { meant, written }).collect();
    let mut list = List { options, said: vec![] };
    radiation(&mut list);
    rupture(&mut list, &lights);
    ageing(&mut list, &|option| option.kept_past_rated_life(plan, &medians));
    driving(&mut list, &lights);
    handling(&mut list, &|option| option.breaks_lamps(&medians));
    list.said
}

/// Cautions for whoever reads lamps off on a bench, where no scenario tells of what kind they are.
pub fn at_the_bench() -> Vec<String> {
    let eyes = "do not look into strong grow lights, wear what the makers' sheets ask for, and read the meter from the side; \
                switch off and replace an arc lamp whose outer glass is cracked or missing, because the arc can go on \
                burning and hurt eyes and skin within minutes";
    let hands = "switch off and let lamps and fixtures cool before a lamp is changed or a fixture is hung at another height, \
                 keep leads and meters dry, and leave work inside a fixture to licensed people; the local rules decide";
    vec![format!("Eyes and skin: {eyes} ({BURNS})."), format!("Hot lamps and circuits: {hands} ({WORK}).")]
}

/// What may hurt eyes and skin.
fn radiation(list: &mut List) {
    let mut cracked =
        "switch off and replace an arc lamp whose outer glass is cracked or missing, and never look at it or \
                       work under it while it burns, because the arc can go on burning and hurt eyes and skin within \
                       minutes"
            .to_owned();
    if list.any(Fixture::is_halide) {
        cracked += "; where the carton bears a mark, T means that a broken lamp puts itself out within 15 minutes, \
                    not at once, and R that it does not";
    }
    if list.any(|option| option.is_arc() && !option.is_halide()) {
        cracked += "; the FDA notice does not name sodium lamps, so ask their maker's sheet";
    }
    list.say("Cracked glass", Fixture::is_arc, &cracked, BURNS);
    list.say(
        "Ultraviolet",
        |option| option.is_discharge() && option.quartz_jacket() == Some(true),
        "a quartz jacket can let through far more ultraviolet than glass, so run the lamp only in the fixture and \
         behind the filter glass that the makers' sheets ask for, and never with that glass cracked, open or missing",
        QUARTZ,
    );
    list.say(
        "Jacket",
        |option| option.is_halide() && option.quartz_jacket().is_none(),
        "whether the outer jacket is quartz, which can let through far more ultraviolet than glass, is not stated; \
         look at the lamp's sheet, and at what filter glass it asks for",
        QUARTZ,
    );
    list.say(
        "Eyes and skin",
        |_| true,
        "keep people out from under strong grow lights, or shielded, as the makers' markings and sheets ask; a \
         marking rates one luminaire, so the facility itself must assess many together and warn whoever enters while \
         they are on",
        CROWD,
    );
}

/// What may make an arc tube burst, and where its fragments go.
fn rupture(list: &mut List, lights: &Lights) {
    list.say(
        "Rupture",
        |option| option.is_halide() && option.may_be_open(),
        "a metal-halide arc tube can burst and throw fragments of about 1000 °C, and neither an enclosed fixture nor \
         a lamp marked for open ones is stated; see to one of the two by the makers' sheets and the local code",
        FRAGMENTS,
    );
    let burn = lights.longest_burn;
    let text = format!(
        "metal-halide lamps burn for {burn:.0} h here without a break of 15 minutes; where they burn day and night, \
         switch them off for at least 15 minutes once a week, because the risk of rupture is higher otherwise, and \
         follow the maker's sheet where it asks for more"
    );
    list.say("No break", |option| option.is_halide() && burn >= ROUND_THE_CLOCK, &text, WEEKLY);
}

/// What old lamps bring with them; `past` says of an option whether its lamps may outstay their rated life.
fn ageing(list: &mut List, past: &dyn Fn(&Fixture) -> bool) {
    list.say(
        "Past rated life",
        |option| option.is_halide() && past(option),
        "metal-halide lamps may stay in beyond their rated life here, where the risk grows that a hot arc tube \
         bursts; the maker's sheet says when they must come out",
        RATED,
    );
    list.say(
        "Run to failure",
        |option| option.is_halide() && option.is_run_to_failure(),
        "metal-halide lamps are left in until they fail, but the advice is to replace them as a group at or before \
         rated life, and not one by one; follow the maker's sheet",
        SPOT,
    );
    list.say(
        "Cycling",
        |option| option.is_arc() && !option.is_halide() && past(option),
        "sodium lamps may stay in beyond their rated life here; an old one goes out and on again as it asks for more \
         voltage than its gear can give, so replace it at once, because the many starts can harm the ignitor, and \
         follow the makers' sheets",
        CYCLING,
    );
}

/// What drives a lamp otherwise than its maker means.
fn driving(list: &mut List, lights: &Lights) {
    list.say(
        "Control gear",
        Fixture::is_mismatched,
        "lamp, gear and fixture are stated not to match, or life is derated for the gear; gear of another designation \
         can overdrive a lamp and shorten its life, so use only what the makers' sheets allow together",
        UNMATCHED,
    );
    let (least, most) = FLOORS;
    let power = lights.least_power;
    let told =
        if power < least { "is below the floor of every arc lamp" } else { "may be below the floor of its arc lamps" };
    let text = format!(
        "a phase of the photoperiod runs at {} % of full power, which {told} ({:.0} % to {:.0} % of rated lamp power \
         by type); below it life, efficacy, colour and maintenance suffer, so ask the makers of lamp and gear, and \
         run lamps on electronic or other gear at full power for at least 15 minutes before they are dimmed",
        (1000.0 * power).round() / 10.0,
        100.0 * least,
        100.0 * most,
    );
    list.say("Dimming", |option| option.is_arc() && power < most, &text, DIMMED);
}

/// What a crew meets: old lamps, heights, circuits.
fn handling(list: &mut List, breaks: &dyn Fn(&Fixture) -> bool) {
    let mut waste = "keep old discharge lamps whole, in closed containers labelled as universal waste, hand them to a \
                     recycler within a year, and clean up breakage at once"
        .to_owned();
    if list.any(|option| option.is_discharge() && breaks(option)) {
        waste += ", for which this scenario counts on lamps that break as they are put in";
    }
    waste += "; local waste rules may be stricter";
    list.say("Mercury", Fixture::is_discharge, &waste, WASTE);
    list.say(
        "Work at height and on circuits",
        Fixture::needs_hands,
        "switch off, lock and tag, prove dead, and let hot lamps cool and capacitors discharge before touching them; \
         follow the makers' sheets and the local rules for ladders and lifts",
        WORK,
    );
    list.say(
        "Electrical load",
        |_| true,
        "power figures here are for costing only; lights that are on for 3 hours or more are a continuous load, for \
         which circuits are planned at 125 %, and a licensed person must design them to the local code",
        LOAD,
    );
}

/// The cautions said so far, and the options that they are about.
struct List<'a> {
    options: Vec<Fixture<'a>>,
    said: Vec<String>,
}

impl<'a> List<'a> {
    fn any(&self, concerned: impl Fn(&Fixture<'a>) -> bool) -> bool {
        self.options.iter().any(concerned)
    }

    /// Says a caution if it concerns any option; names those that it concerns unless it concerns all.
    fn say(&mut self, head: &str, concerned: impl Fn(&Fixture<'a>) -> bool, text: &str, source: &str) {
        let names: Vec<&str> =
            self.options.iter().filter(|option| concerned(option)).map(|option| option.meant.name.as_str()).collect();
        if names.is_empty() {
            return;
        }
        let about =
            if names.len() == self.options.len() { String::new() } else { format!(" (for {})", names.join(", ")) };
        self.said.push(format!("{head}{about}: {text} ({source})."));
    }
}
