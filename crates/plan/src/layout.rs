//! Laying the contracts' photoperiods out: one clock for all that light up at the same time.

use calendar::{BadPhotoperiod, Minute, Photoperiod, Timeline};
use jiff::civil::Date;
use scenario::form::Scenario;
use tariff::Hours;

use crate::clock::ClockPlan;
use crate::contract;
use crate::inputs::InputId;
use crate::reader::{Reader, Spot};

/// Most pieces into which the contracts' clocks may cut the horizon, estimated from above (about 90 bytes each).
const MAX_STRETCHES: usize = 10_000_000;

/// Clocks, the clock of each contract, and each contract's energy rule in every class of its clock.
pub(crate) type LaidOut = (Vec<ClockPlan>, Vec<usize>, Vec<Vec<usize>>);

pub(crate) fn lay_out(
    drafts: &[contract::Draft],
    scenario: &Scenario,
    first_day: Option<Date>,
    root: &Spot,
    reader: &mut Reader,
) -> Option<LaidOut> {
    let first_day = first_day?;
    if !reader.faults.is_empty() {
        // the zone can still be judged; a half-read photoperiod cannot
        if jiff::tz::TimeZoneDatabase::bundled().get(&scenario.time_zone).is_err() {
            photoperiod_fault(&BadPhotoperiod::UnknownZone, scenario, root, reader);
        }
        return None;
    }
    let mut different: Vec<&Photoperiod> = vec![];
    let clock_of: Vec<usize> = drafts
        .iter()
        .map(|draft| {
            different.iter().position(|known| **known == draft.photoperiod).unwrap_or_else(|| {
                different.push(&draft.photoperiod);
                different.len() - 1
            })
        })
        .collect();
    let windows = |photoperiod: &Photoperiod| photoperiod.phases.iter().map(|p| p.windows.len()).max().unwrap_or(0);
    let edges: usize = drafts.iter().map(|draft| 2 * (draft.energy.len() + draft.demand.len())).sum();
    let days = 366 * scenario.horizon_years as usize;
    let stretches: usize = different.iter().map(|photoperiod| days * (windows(photoperiod) + edges + 1)).sum();
    if stretches > MAX_STRETCHES {
        let found = format!("up to {stretches} changes of price or light over the horizon");
        let allowed = format!("at most {MAX_STRETCHES}: fewer light-up times, windows, prices or years");
        reader.fault(&root.member("contracts"), found, allowed);
        return None;
    }
    let mut clocks = vec![];
    let mut rules_of_draft = vec![vec![]; drafts.len()];
    for (index, photoperiod) in different.into_iter().enumerate() {
        let on_it: Vec<usize> = (0..drafts.len()).filter(|&k| clock_of[k] == index).collect();
        let hours_of = |pairs: &[(Hours, InputId)]| pairs.iter().map(|&(hours, _)| hours).collect::<Vec<_>>();
        let tariffs: Vec<Vec<Hours>> = on_it.iter().map(|&k| hours_of(&drafts[k].energy)).collect();
        let demands: Vec<Hours> = on_it.iter().flat_map(|&k| hours_of(&drafts[k].demand)).collect();
        let edges: Vec<Minute> = tariffs
            .iter()
            .flatten()
            .chain(&demands)
            .flat_map(|hours| hours.edges())
            .map(|minute| Minute::MIDNIGHT.later(i32::from(minute)))
            .filter(|&minute| minute != Minute::MIDNIGHT)
            .collect();
        let timeline =
            match Timeline::lay_out(photoperiod, &scenario.time_zone, first_day, scenario.horizon_years, &edges) {
                Ok(timeline) => timeline,
                Err(bads) => {
                    bads.iter().for_each(|bad| photoperiod_fault(bad, scenario, root, reader));
                    return None;
                }
            };
        let slices: Vec<&[Hours]> = tariffs.iter().map(Vec::as_slice).collect();
        let (clock, rule_of_class) = ClockPlan::new(photoperiod.clone(), timeline, &slices);
        clocks.push(clock);
        for (k, rules) in on_it.into_iter().zip(rule_of_class) {
            rules_of_draft[k] = rules;
        }
    }
    Some((clocks, clock_of, rules_of_draft))
}

fn photoperiod_fault(bad: &BadPhotoperiod, scenario: &Scenario, root: &Spot, reader: &mut Reader) {
    let photoperiod = root.member("photoperiod");
    match *bad {
        BadPhotoperiod::Overlap { phase, windows } => reader.fault(
            &photoperiod.member("phases").item(phase).member("lights").item(windows.1),
            format!("a window that overlaps the phase's window number {}", windows.0 + 1),
            "windows that do not overlap",
        ),
        BadPhotoperiod::UnknownZone => reader.fault(
            &root.member("time_zone"),
            format!("\"{}\"", scenario.time_zone),
            "an IANA time zone such as \"America/Chicago\"",
        ),
        BadPhotoperiod::OutOfRange => {
            reader.fault(&root.member("start"), scenario.start.clone(), "dates that the calendar knows");
        }
        BadPhotoperiod::NeverLit => {
            reader.fault(&photoperiod.member("phases"), "lights that never burn", "at least one light window");
        }
    }
}
