//! Tests that cannot be asked about, and why.
//!
//! Belongs here: whether an order makes sense for a scenario. Does not belong here: bounds of a single argument, which the
//! door knows.

use plan::{LampPlan, Plan};

use super::TestOrder;
use super::believed::life_inputs;

/// Most looks in a test.
const LOOKS: f64 = 500.0;

/// Refuses what makes no sense; hands back the lamp that is tested.
pub(super) fn refuse<'a>(plan: &'a Plan, order: &TestOrder) -> Result<&'a LampPlan, String> {
    let name = |option: usize| &plan.options[option].name;
    let of = name(order.of);
    if order.of == order.against {
        return Err(format!("{of} cannot be tested against itself: name two options"));
    }
    let Some(lamp) = plan.options[order.of].lamp.as_ref() else {
        return Err(format!("{of} has no lamp with a life of its own that could be tested"));
    };
    if life_inputs(plan, lamp).is_empty() {
        return Err(format!("nothing is uncertain about the life of {of}, so there is nothing to test"));
    }
    for &hours in &order.hours {
        let looks = (hours / order.look_every).ceil();
        if !(looks <= LOOKS) {
            return Err(format!(
                "--look-every {}: a test of {hours} h would have {looks:.0} looks; at most {LOOKS} are allowed",
                order.look_every
            ));
        }
    }
    if order.in_sockets {
        in_sockets(plan, order)?;
        let sockets = sockets(plan, order);
        if let Some(lamps) = order.lamps.iter().find(|lamps| u64::from(**lamps) > sockets) {
            return Err(format!("--lamps {lamps}: there are {sockets} sockets in which lamps can hang"));
        }
        let lit = plan.clocks[plan.contracts[order.contract].clock].timeline.lit_hours;
        if let Some(hours) = order.hours.iter().find(|hours| !(**hours <= lit)) {
            return Err(format!("--hours {hours}: the room burns {lit:.0} h within its horizon"));
        }
    }
    Ok(lamp)
}

/// Refuses production sockets where none fits.
pub(super) fn in_sockets(plan: &Plan, order: &TestOrder) -> Result<(), String> {
    let of = |option: usize| &plan.options[option];
    let hangs = |option: usize| of(option).lamp.as_ref().is_some_and(|lamp| !lamp.is_fixture);
    match [order.of, order.against].into_iter().find(|option| !hangs(*option)) {
        Some(option) => Err(format!("--in-sockets: {} has no sockets for lamps", of(option).name)),
        None => Ok(()),
    }
}

/// Sockets of the option against which it is tested, in all rooms.
pub(super) fn sockets(plan: &Plan, order: &TestOrder) -> u64 {
    plan.options[order.against].sockets() as u64 * u64::from(order.rooms)
}
