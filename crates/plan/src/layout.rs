//! Laying the contracts' photoperiods out: one clock for all that light up at the same time.

use calendar::{BadPhotoperiod, Days, Photoperiod, Timeline};
use jiff::civil::Date;
use scenario::form::Scenario;

use crate::clock::ClockPlan;
use crate::contract;
use crate::reader::{Reader, Spot};

/// Most pieces into which the contracts may cut the horizon, estimated from above (about 150 bytes each).
const MAX_PIECES: usize = 5_000_000;

/// Days of the horizon, clocks, and the clock of each contract.
pub(crate) type LaidOut = (Days, Vec<ClockPlan>, Vec<usize>);

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
    let windows = |photoperiod: &Photoperiod| photoperiod.phases.iter().map(|p| p.windows.len()).max().unwrap_or(0);
    let days = 366 * scenario.horizon_years as usize;
    let base_edges = 2 * scenario.base_load.len();
    let pieces: usize = drafts
        .iter()
        .map(|draft| {
            let sets = draft.sheet.energy.iter().map(|rule| rule.when.len());
            let demand = draft.sheet.demand.iter().map(|rule| rule.when.len());
            // a day has no more different minutes than this
            let edges = (2 * sets.chain(demand).sum::<usize>()).min(1440);
            days * (4 * windows(&draft.photoperiod) + edges + base_edges + 2)
        })
        .sum();
    if pieces > MAX_PIECES {
        let found = format!("up to {pieces} changes of price, load or light over the horizon");
        let allowed = format!("at most {MAX_PIECES}: fewer contracts, windows, prices, loads or years");
        reader.fault(&root.member("contracts"), found, allowed);
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
    let mut clocks = vec![];
    for photoperiod in different {
        match Timeline::lay_out(photoperiod, &scenario.time_zone, first_day, scenario.horizon_years) {
            Ok(timeline) => clocks.push(ClockPlan::new(photoperiod.clone(), timeline)),
            Err(bads) => {
                bads.iter().for_each(|bad| photoperiod_fault(bad, scenario, root, reader));
                return None;
            }
        }
    }
    let end = first_day.checked_add(jiff::Span::new().years(i64::from(scenario.horizon_years)));
    match end.map_err(|_| BadPhotoperiod::OutOfRange).and_then(|end| Days::new(&scenario.time_zone, first_day, end)) {
        Ok(days) => Some((days, clocks, clock_of)),
        Err(bad) => {
            photoperiod_fault(&bad, scenario, root, reader);
            None
        }
    }
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
