//! Things that are allowed but look odd, said so that a person can look again.

use crate::option::MaintenancePlan;
use crate::{ContractPlan, Plan, RelampPlan};

/// One sentence for each odd thing.
pub(crate) fn remarks(plan: &Plan) -> Vec<String> {
    let middle = |id| plan.inputs.at(id).quantile(0.5);
    let mut said = vec![];
    let first_basis = plan.options.first().map(|option| option.light_basis.as_str());
    if plan.options.iter().any(|option| Some(option.light_basis.as_str()) != first_basis) {
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
    let lit = plan.clocks.iter().map(|clock| clock.timeline.lit_hours).fold(0.0, f64::max);
    for option in &plan.options {
        let name = &option.name;
        let flux = middle(option.flux.0) * middle(option.flux.1);
        let efficacy = flux / middle(option.wall_power);
        // the best fixtures of 2014 gave 1.7 µmol/J in all directions (Nelson and Bugbee, PLOS ONE 9(6): e99010); the
        // bounds leave room for what came after and for poor optics (judgement)
        if !(0.3..=4.0).contains(&efficacy) {
            said.push(format!(
                "{name}: {efficacy:.2} µmol/J {} is outside 0.3 to 4.0; check the area, the height and whether the power is at the wall",
                option.light_basis
            ));
        }
        if let MaintenancePlan::Curve(curve) = &option.maintenance {
            let longest = match option.relamp {
                RelampPlan::Group { every, .. } => middle(every).min(lit),
                RelampPlan::ByAge { at } => middle(at).min(lit),
                RelampPlan::Never | RelampPlan::OnFailure => lit,
            };
            if longest > curve.stated_to() {
                said.push(format!(
                    "{name}: the maintenance table ends at {:.0} h but lamps may burn {longest:.0} h; its last slope goes on",
                    curve.stated_to()
                ));
            }
        }
        if let Some(b50) = option.lamp.as_ref().map(|lamp| middle(lamp.b50)).filter(|b50| *b50 < 500.0) {
            said.push(format!("{name}: half of the lamps dead by {b50:.0} h is very short; is the unit kh?"));
        }
        if let (RelampPlan::Group { every, at_turnaround, .. }, Some(lamp)) = (option.relamp, &option.lamp) {
            if middle(every) > middle(lamp.b50) {
                said.push(format!(
                    "{name}: the group relamp comes after half of the lamps are expected to have failed"
                ));
            }
            let mut dates = vec![];
            let clock = &plan.clocks[plan.contracts.first().map_or(0, |contract| contract.clock)];
            clock.group_dates(middle(every), at_turnaround, &mut dates);
            let left = dates.last().map_or(f64::INFINITY, |last| clock.timeline.lit_hours - last);
            if left < 0.15 * middle(every) {
                said.push(format!(
                    "{name}: the last group relamp falls {left:.0} h before the horizon ends; skipping it may pay"
                ));
            }
        }
    }
    for contract in &plan.contracts {
        of_contract(plan, contract, &mut said);
    }
    if plan.cooling.is_none() {
        said.push("No cooling plant is stated; removing the lamps' heat costs nothing here".into());
    }
    said
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
