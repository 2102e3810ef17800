//! Things that are allowed but look odd, said so that a person can look again.

use crate::{ContractPlan, OptionPlan, Plan, RelampPlan};

/// One sentence for each odd thing.
pub(crate) fn remarks(plan: &Plan) -> Vec<String> {
    let medians = plan.inputs.medians();
    let middle = |id: crate::InputId| medians[id.index()];
    let mut said = vec![];
    let first_basis = plan.options.first().map(|option| option.light.basis.as_str());
    if plan.options.iter().any(|option| Some(option.light.basis.as_str()) != first_basis) {
        said.push(
            "The options' light is not counted on one basis (area, height or utilisation differ); their order may change \
             with the basis"
                .into(),
        );
    }
    for (id, what) in [(Some(plan.money.discount_rate), "discount rate"), (plan.money.inflation, "inflation")] {
        if let Some(rate) = id.map(middle).filter(|rate| *rate > 0.3) {
            said.push(format!("The {what} is {:.0} % a year; was a percentage meant?", 100.0 * rate));
        }
    }
    if let Some(cop) = plan.cooling.as_ref().map(|cooling| middle(cooling.cop)).filter(|cop| *cop > 7.0) {
        said.push(format!(
            "A COP of {cop:.1} is high; was an EER written? An EER of {cop:.1} is a COP of {:.1}",
            cop / 3.412
        ));
    }
    let windows = plan.clocks.iter().flat_map(|clock| &clock.photoperiod.phases).flat_map(|phase| &phase.windows);
    if let Some(window) = windows.into_iter().find(|window| window.on == window.off) {
        said.push(format!("Lights from {} to {} burn round the clock", window.on, window.off));
    }
    for option in &plan.options {
        let name = &option.name;
        let flux = middle(option.light.flux.0) * middle(option.light.flux.1) * option.light.meter_factor(&medians);
        let efficacy = flux / middle(option.wall_power);
        // the best fixtures of 2014 gave 1.7 µmol/J in all directions (Nelson and Bugbee, PLOS ONE 9(6): e99010); the
        // bounds leave room for what came after and for poor optics (judgement)
        if !(0.3..=4.0).contains(&efficacy) {
            said.push(format!(
                "{name}: {efficacy:.2} µmol/J {} is outside 0.3 to 4.0; check the area, the height and whether the power is at the wall",
                option.light.basis
            ));
        }
        of_lamps(plan, option, &medians, &mut said);
    }
    for contract in &plan.contracts {
        of_contract(plan, contract, &mut said);
    }
    if plan.cooling.is_none() {
        said.push("No cooling plant is stated; removing the lamps' heat costs nothing here".into());
    }
    said
}

/// What a reader should know about how an option's lamps fade, die and are replaced.
fn of_lamps(plan: &Plan, option: &OptionPlan, medians: &[f64], said: &mut Vec<String>) {
    let name = &option.name;
    let clock = &plan.clocks[plan.contracts.first().map_or(0, |contract| contract.clock)];
    let lit = clock.timeline.lit_hours;
    let fading = option.maintenance.curve(medians, option.rated_life(medians));
    let longest = option.relamp.longest(medians, &fading).min(lit);
    if longest > fading.stated_to() {
        let what = match fading {
            lamp::Maintenance::Projected { .. } => {
                "the LED test may be projected to {} h, but light is counted to {longest} h; beyond, the decay rate is uncertain"
            }
            _ => "the maintenance table ends at {} h, but lamps may burn {longest} h; its last slope goes on",
        };
        let what =
            what.replace("{}", &format!("{:.0}", fading.stated_to())).replace("{longest}", &format!("{longest:.0}"));
        said.push(format!("{name}: {what}"));
    }
    let half = fading.age_at(0.5);
    if half < 2_000.0 {
        said.push(format!("{name}: half of the light gone by {half:.0} h is very fast; is the unit kh?"));
    }
    if let Some(oldest) = option.in_sockets.map(|(_, to)| medians[to.index()]).filter(|to| *to < 50.0 && *to > 0.0) {
        said.push(format!("{name}: used lamps of at most {oldest:.0} h are as good as new; is the unit kh?"));
    }
    if option.crew.is_some() && (option.spot_labour.is_some() || option.planned_labour.is_some()) {
        said.push(format!("{name}: labour by the lamp comes on top of the crew's pay; is it counted twice?"));
    }
    if option.cleaning.is_some() && option.light.dirt.is_none() {
        said.push(format!("{name}: cleaning costs money here and brings nothing, because no dirt is stated"));
    }
    if let (Some(ceiling), Some(target)) = (plan.ppfd_ceiling, plan.target_ppfd)
        && medians[ceiling.index()] < medians[target.index()]
        && plan.options.first().is_some_and(|first| first.name == *name)
    {
        said.push("The ceiling of PPFD lies below the target: most of the light asked for would not count".into());
    }
    let Some(lamp) = option.lamp.as_ref().filter(|lamp| !lamp.is_fixture) else { return };
    let median = lamp.life(medians).median();
    if median < 500.0 {
        said.push(format!("{name}: half of the lamps dead by {median:.0} h is very short; is the unit kh?"));
    }
    if let RelampPlan::Group { .. } = option.relamp {
        if option.relamp.longest(medians, &fading) > median && longest < lit {
            said.push(format!("{name}: the group relamp comes after half of the lamps are expected to have failed"));
        }
        let skip = option.end.skip(medians, &fading);
        let mut dates = vec![];
        option.relamp.dates(0, medians, &fading, clock, lit - skip, &mut dates);
        let left = dates.last().map_or(f64::INFINITY, |last| lit - last);
        let every = dates.first().copied().unwrap_or(f64::INFINITY);
        if left < 0.15 * every {
            said.push(format!(
                "{name}: the last group relamp falls {left:.0} h before the horizon ends; skipping it may pay"
            ));
        }
    }
    let hours_a_year = lit / (clock.months() as f64 / 12.0);
    let hours_a_start = lit / f64::from(clock.starts_between(0.0, f64::INFINITY)).max(1.0);
    if let Some(warranty) = &lamp.warranty {
        for why in warranty.outside(hours_a_year, hours_a_start) {
            said.push(format!("{name}: outside the warranty's terms, which then is worth nothing: {why}"));
        }
    }
}

/// What a reader should know about a contract's bills.
fn of_contract(plan: &Plan, contract: &ContractPlan, said: &mut Vec<String>) {
    let (name, sheet) = (&contract.name, &contract.sheet);
    if !contract.open_questions.is_empty() {
        let count = contract.open_questions.len();
        let questions = if count == 1 { "1 question is".to_owned() } else { format!("{count} questions are") };
        said.push(format!("{name}: INCOMPLETE: {questions} open on its tariff; its cost is not to be relied on"));
    }
    if sheet.demand.is_empty() {
        said.push(format!("{name}: the tariff has no demand charge; none is billed"));
    }
    for (rule, before) in sheet.demand.iter().zip(&contract.before) {
        if rule.ratchet.is_some() && before.is_empty() {
            said.push(format!(
                "{name}: \"{}\" looks back on earlier peaks; none from before the start are stated, so none count",
                rule.name
            ));
        }
    }
    let beside_use = !sheet.fixed.is_empty() || sheet.minimum.is_some();
    if plan.site.loads.is_empty() && beside_use {
        said.push(format!(
            "{name}: no base load is stated, so the lights have a meter of their own and bear its fixed charges in full"
        ));
    }
}
