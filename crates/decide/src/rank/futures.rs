//! Futures by name: what each option costs there, and what to pick if no chances can be given to them.
//!
//! Belongs here: finding what a future moves, the table of regrets. Does not belong here: the rule of smallest largest regret
//! (the crate `choice`).

use choice::{Table, regret};
use engine::Progress;

use super::pairs::scaled;
use super::{AS_WRITTEN, Inquiry, NamedFuture, Notes, by_lowest};
use crate::axis::Axis;
use crate::race::leads;
use crate::rank_report::{FutureRow, Futures, RankContract};
use crate::result::Estimate;
use crate::spread::mean;
use crate::turn::World;

/// A future whose inputs were found.
pub(super) struct Found {
    name: String,
    axes: Vec<Axis>,
    place: Vec<f64>,
}

/// Finds what the futures move.
pub(super) fn find(world: &World, futures: &[NamedFuture]) -> Result<Vec<Found>, String> {
    let mut found: Vec<Found> = vec![];
    for future in futures {
        let shown = scenario::harmless(&future.name);
        if future.name.trim().is_empty() {
            return Err("a future without a name".into());
        }
        if future.name == AS_WRITTEN || found.iter().any(|other| other.name == future.name) {
            return Err(format!("two futures are called \"{shown}\""));
        }
        if future.moved.is_empty() {
            return Err(format!("the future \"{shown}\" moves nothing"));
        }
        let (mut axes, mut place): (Vec<Axis>, Vec<f64>) = (vec![], vec![]);
        for (typed, value) in &future.moved {
            let axis = Axis::find(world, typed).map_err(|told| format!("the future \"{shown}\": {told}"))?;
            let (least, most) = axis.limits;
            if !(*value >= least && *value <= most) {
                let unit = if axis.unit == "1" { String::new() } else { format!(" {}", axis.unit) };
                return Err(format!(
                    "the future \"{shown}\": {} at {value}{unit}; {least}{unit} to {most}{unit} is allowed",
                    axis.name
                ));
            }
            if axes.iter().any(|other| other.turns == axis.turns) {
                return Err(format!("the future \"{shown}\" moves {} twice", axis.name));
            }
            place.push(axis.set(*value));
            axes.push(axis);
        }
        found.push(Found { name: future.name.clone(), axes, place });
    }
    Ok(found)
}

/// The table of regrets; none when it was interrupted before all futures were lived.
pub(super) fn futures(
    inquiry: &mut Inquiry,
    now: &Notes,
    contracts: &[RankContract],
    named: &[Found],
    tell: &mut dyn FnMut(Progress),
) -> Result<Option<Futures>, String> {
    let mut lived: Vec<(String, String, Option<Notes>)> = vec![(AS_WRITTEN.into(), String::new(), None)];
    for future in named {
        if inquiry.is_stopped() {
            return Ok(None);
        }
        let axes: Vec<&Axis> = future.axes.iter().collect();
        let notes = inquiry.live(inquiry.world, (&axes, &future.place), false, tell)?;
        lived.push((future.name.clone(), moved(future), Some(notes)));
    }
    let mut rows = vec![];
    for (position, contract) in contracts.iter().enumerate() {
        for (future, moved, notes) in &lived {
            let notes = notes.as_ref().unwrap_or(now);
            let costs = (0..contract.costs.len()).map(|option| notes.of(option, position, |note| note.levelized));
            let scale = contract.service_mol * f64::from(inquiry.order.rooms);
            rows.push(row((&contract.contract, future, moved), &costs.collect::<Vec<_>>(), scale));
        }
    }
    table(rows).map(Some)
}

fn moved(future: &Found) -> String {
    let of = |(axis, value): (&Axis, &f64)| {
        let unit = if axis.unit == "1" { String::new() } else { format!(" {}", axis.unit) };
        format!("{} at {value}{unit}", axis.name)
    };
    future.axes.iter().zip(&future.place).map(of).collect::<Vec<_>>().join("; ")
}

fn row((contract, future, moved): (&str, &str, &str), costs: &[Vec<f64>], scale: f64) -> FutureRow {
    let means: Vec<Estimate> = costs.iter().map(|costs| mean(costs).0).collect();
    let best = by_lowest(&means.iter().map(|mean| mean.value).collect::<Vec<_>>())[0];
    let regret: Vec<Estimate> = costs.iter().map(|of_option| mean(&leads(of_option, &costs[best])).0).collect();
    FutureRow {
        contract: contract.into(),
        future: future.into(),
        moved: moved.into(),
        regret_money: regret.iter().map(|regret| scaled(*regret, scale)).collect(),
        costs: means,
        regret,
        best,
    }
}

/// What to pick over some futures.
fn table(rows: Vec<FutureRow>) -> Result<Futures, String> {
    let costs: Vec<Vec<f64>> = rows.iter().map(|row| row.costs.iter().map(|cost| cost.value).collect()).collect();
    let told = |fault: choice::Fault| fault.to_string();
    let minimax = regret::minimax(&Table::new(&costs).map_err(told)?).map_err(told)?;
    let options = minimax.worst.len();
    let most = |read: &dyn Fn(&FutureRow) -> f64| rows.iter().map(read).fold(0.0, f64::max);
    let equals_best = |row: &FutureRow, option: usize| row.regret[option].value <= 0.0;
    Ok(Futures {
        worst_money: (0..options).map(|option| most(&|row| row.regret_money[option].value)).collect(),
        best_in: (0..options).map(|o| rows.iter().filter(|row| equals_best(row, o)).count() as u32).collect(),
        worst: minimax.worst,
        picks: minimax.picks,
        rows,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_that_of_the_hand() {
        // costs that do not vary: 4, 5, 6 in one future, 9, 7, 6.5 in the other
        let of = |costs: [f64; 3]| costs.map(|cost| vec![cost, cost]);
        let rows = vec![
            row(("flat", "one", ""), &of([4.0, 5.0, 6.0]), 10.0),
            row(("flat", "other", ""), &of([9.0, 7.0, 6.5]), 100.0),
        ];
        let told = table(rows).unwrap();
        assert_eq!(told.worst, [2.5, 1.0, 2.0]);
        assert_eq!(told.worst_money, [250.0, 50.0, 20.0]);
        // the second is best in no future and yet the one to pick
        assert_eq!((told.picks, told.best_in), (vec![1], vec![1, 0, 1]));
        assert_eq!(told.rows[0].regret.iter().map(|regret| regret.value).collect::<Vec<_>>(), [0.0, 1.0, 2.0]);
    }

    #[test]
    fn equal_options_are_both_best() {
        let equal = row(("flat", "one", ""), &[vec![4.0, 5.0], vec![4.0, 5.0], vec![6.0, 6.0]], 1.0);
        let told = table(vec![equal]).unwrap();
        assert_eq!((told.picks, told.best_in), (vec![0, 1], vec![1, 1, 0]));
    }
}
