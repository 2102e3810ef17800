//! How lamps are kept, in words and in dates.

use plan::{Interval, OptionPlan, Plan, RelampPlan};

use crate::relamp_report::{DatedRelamp, PolicyKind};

/// Weekdays, Monday first.
pub(crate) const WEEKDAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

/// A kind of policy in words.
pub(crate) fn name_of(kind: PolicyKind) -> &'static str {
    match kind {
        PolicyKind::OnFailure => "each lamp on failure",
        PolicyKind::GroupWithSpot => "group, failed lamps in between",
        PolicyKind::GroupOnly => "group, failed lamps stay dark",
        PolicyKind::ByAge => "each lamp by age",
    }
}

/// How an option's lamps are replaced, in words.
pub(crate) fn in_words(plan: &Plan, option: &OptionPlan) -> String {
    let medians = plan.inputs.medians();
    let interval = |every: Interval| match every {
        Interval::Hours(id) => format!("{:.0} h", medians[id.index()]),
        Interval::Fixed(hours) => format!("{hours:.0} h"),
        Interval::Crops(1) => "crop".into(),
        Interval::Crops(cycles) => format!("{cycles} crops"),
        Interval::AtLight(id) => format!("time light has faded to {:.0} %", 100.0 * medians[id.index()]),
    };
    match option.relamp {
        RelampPlan::Never => "lamps are never replaced".into(),
        RelampPlan::OnFailure => "each lamp when it has failed".into(),
        RelampPlan::Group { every, spot_between, at_turnaround, weekday, zones, .. } => format!(
            "all lamps every {}{}{}{}, failed ones {}",
            interval(every),
            if at_turnaround { " at the next crop turn" } else { "" },
            weekday.map_or_else(String::new, |day| format!(" on the next {}", WEEKDAYS[usize::from(day % 7)])),
            if zones > 1 { format!(", {zones} zones one after another") } else { String::new() },
            if spot_between { "in between as well" } else { "stay dark until then" },
        ),
        RelampPlan::ByAge { at } => match at {
            Interval::AtLight(_) => format!("each lamp every {}, or when it has failed", interval(at)),
            _ => format!("each lamp at {}, or when it has failed", interval(at)),
        },
    }
}

/// Group relamps of an option with their dates, at the medians of the inputs.
pub(crate) fn dated(plan: &Plan, contract: usize, option: &OptionPlan) -> Vec<DatedRelamp> {
    let RelampPlan::Group { zones, .. } = option.relamp else { return vec![] };
    let clock = &plan.clocks[plan.contracts[contract].clock];
    let medians = plan.inputs.medians();
    let fading = option.maintenance.curve(&medians, option.rated_life(&medians));
    let before = clock.timeline.lit_hours - option.end.skip(&medians, &fading);
    let (sockets, zones) = (option.sockets(), zones.min(option.sockets()));
    let mut visits = vec![];
    for zone in 0..zones {
        let mut dates = vec![];
        option.relamp.dates(zone, &medians, &fading, clock, before, &mut dates);
        let in_zone = (0..sockets).filter(|socket| socket * zones / sockets == zone).count();
        for burn_h in dates {
            let date = clock.day_of(burn_h).map_or_else(String::new, |day| day.to_string());
            visits.push(DatedRelamp { date, zone: zone as u32 + 1, burn_h, sockets: in_zone as u32 });
        }
    }
    visits.sort_by(|a, b| a.burn_h.total_cmp(&b.burn_h));
    visits
}

/// A number of group relamps in words.
pub(crate) fn relamps(count: usize) -> String {
    if count == 1 { "1 group relamp".into() } else { format!("{count} group relamps") }
}
