//! Things that are allowed but look odd, said so that a person can look again.

use crate::option::MaintenancePlan;
use crate::{Plan, RelampPlan};

/// One sentence for each odd thing.
pub(crate) fn remarks(plan: &Plan) -> Vec<String> {
    let middle = |id| plan.inputs.at(id).quantile(0.5);
    let mut said = vec![];
    let lit = plan.clocks.iter().map(|clock| clock.timeline.lit_hours).fold(0.0, f64::max);
    for option in &plan.options {
        let name = &option.name;
        let flux = middle(option.flux.0) * middle(option.flux.1);
        let efficacy = flux / middle(option.wall_power);
        // bounds: best delivered efficacies of 2014 were 1.7 µmol/J (Nelson and Bugbee, PLOS ONE 9(6): e99010); a photon
        // of 700 nm carries 2.84e-19 J, so 5.9 µmol/J is the most that any lamp could give
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
        if let (RelampPlan::Group { every, .. }, Some(lamp)) = (option.relamp, &option.lamp) {
            if middle(every) > middle(lamp.b50) {
                said.push(format!(
                    "{name}: the group relamp comes after half of the lamps are expected to have failed"
                ));
            }
            let last = (lit / middle(every)).floor() * middle(every);
            if last > 0.0 && lit - last < 0.15 * middle(every) {
                said.push(format!(
                    "{name}: the last group relamp falls {:.0} h before the horizon ends; skipping it may pay",
                    lit - last
                ));
            }
        }
    }
    for contract in plan.contracts.iter().filter(|contract| contract.demand.is_empty()) {
        said.push(format!("{}: the tariff has no demand charge; none is billed", contract.name));
    }
    if plan.cooling.is_none() {
        said.push("No cooling plant is stated; removing the lamps' heat costs nothing here".into());
    }
    said
}
