//! What a life test takes for granted, and what a reader should know of the one to look at.
//!
//! Belongs here: sentences about orders and designs. Does not belong here: the verdict, which is the page's.

use super::{Bench, OFF, SET_UP};
use crate::life_test_report::Design;

/// Days of a mean year, d.
const YEAR: f64 = 365.25;

impl Bench<'_> {
    /// What a test takes for granted.
    pub(super) fn assumptions(&self, has_sockets: bool) -> Vec<String> {
        let (plan, order) = (self.plan, self.order);
        let of = &plan.options[order.of].name;
        let mut said = vec![
            format!(
                "worth is that of choosing once, after the answer, for rooms that are alike; rooms chosen before it gain \
                 nothing, and nothing is taken off for waiting"
            ),
            "costs are those expected for each life that is believed possible: luck of single lamps is taken off by \
             regression on the life's inputs, so that it does not pass for knowledge"
                .to_owned(),
            format!("the tested lamps are new, all of one lot, and those of {of} that are bought later are like them"),
            "a lamp that dies is found at the next look, and only the number found at each look counts".to_owned(),
        ];
        if order.in_sockets {
            said.push(
                "lamps in sockets follow the room's hours from its first day, fit the fixtures that hang there and give \
                 as much light as those they stand for; electricity is bought anyway, so only a dearer lamp counts"
                    .to_owned(),
            );
        } else {
            said.push(format!(
                "the bench burns {} h and rests {OFF} h, over and over; lamps left at the end are worth nothing; \
                 electricity is counted as if none died and the test ran to its end, without cooling",
                order.bench_hours_per_start
            ));
            said.push(match order.kwh {
                Some(_) => "a kWh of the bench costs what was given".to_owned(),
                None => format!(
                    "a kWh of the bench costs what the contract \"{}\" bills on top for lamps that burn around the clock in \
                     its first year, demand charges shared by all hours",
                    plan.contracts[order.contract].name
                ),
            });
        }
        if order.set_up.is_none() && !order.in_sockets {
            said.push(format!("setting the bench up costs {SET_UP} {}: a guess", plan.currency));
        }
        if order.in_sockets || has_sockets {
            let instead = &plan.options[order.against].name;
            said.push(format!(
                "in sockets only the first lamps' difference in price is counted; those changes of lamps of {instead} that the \
                 tested ones make needless are left out, so that it is the most a test there can cost as long as the \
                 tested ones need no more changes"
            ));
        }
        said
    }

    /// What a reader should know of the design to look at.
    pub(super) fn remarks(&self, best: &Design) -> Vec<String> {
        let (plan, order) = (self.plan, self.order);
        let mut said = vec![];
        let mut untried = vec![];
        if let [fewest, .., most] = order.lamps[..] {
            if best.lamps == fewest && fewest > 1 {
                untried.push("fewer lamps");
            }
            if best.lamps == most {
                untried.push("more lamps");
            }
        }
        if let [shortest, .., longest] = order.hours[..] {
            if best.hours == shortest {
                untried.push("fewer hours");
            }
            if best.hours == longest {
                untried.push("more hours");
            }
        }
        let name = format!("{} × {} h", best.lamps, best.hours);
        if !best.is_idle && !untried.is_empty() {
            said.push(format!(
                "the design to look at, {name}, lies at the edge of those asked for: {} were not tried and might pay sooner",
                untried.join(" and ")
            ));
        }
        let horizon = f64::from(plan.years) * YEAR;
        if best.days > horizon {
            said.push(format!(
                "{name} takes {:.1} years and ends after the horizon of {}: its answer is for rooms that begin later, at \
                 prices that the scenario does not foresee",
                best.days / YEAR,
                plan.years
            ));
        }
        said
    }
}
