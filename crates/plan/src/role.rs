//! Which inputs a life depends on, and which only change what it costs.

use crate::Plan;
use crate::inputs::InputId;

/// Beginnings of places at which nothing but prices stands.
const PRICED_PLACES: [&str; 4] = ["/contracts/", "/money/", "/cooling/", "/build_out/"];

/// Names of members, anywhere in an option, that only change what it costs. Wall power and its drift are among them: a
/// lamp neither shines nor dies by its bill.
const PRICED_NAMES: [&str; 20] = [
    "price",
    "installation",
    "rebate",
    "worth_at_end",
    "lasts",
    "labour",
    "disposal",
    "spot_labour",
    "planned_labour",
    "call_out",
    "lift",
    "wage",
    "spot_minutes",
    "planned_minutes",
    "least_time",
    "cost",
    "effort",
    "resale",
    "wall_power",
    "power_drift",
];

impl Plan {
    /// Whether an input only changes what a life costs: lamps, light and hours are the same whatever its value.
    pub fn only_prices(&self, id: InputId) -> bool {
        let pointer = &self.inputs.at(id).pointer;
        let name = pointer.rsplit('/').next().unwrap_or_default();
        PRICED_PLACES.iter().any(|place| pointer.starts_with(place)) || PRICED_NAMES.contains(&name)
    }

    /// Positions in a trial's values of the inputs on which the life of an option depends.
    pub fn lived_inputs(&self, option: usize) -> Vec<usize> {
        (0..self.inputs.len())
            .filter(|&index| !self.only_prices(InputId(index)))
            .filter(|&index| self.option_of(InputId(index)).is_none_or(|owner| owner == option))
            .collect()
    }

    /// Index of the option to which an input belongs; none for what all share.
    pub fn option_of(&self, id: InputId) -> Option<usize> {
        self.inputs.at(id).pointer.strip_prefix("/options/")?.split('/').next()?.parse().ok()
    }

    /// Index of the contract to which an input belongs; none for what all share.
    pub fn contract_of(&self, id: InputId) -> Option<usize> {
        self.inputs.at(id).pointer.strip_prefix("/contracts/")?.split('/').next()?.parse().ok()
    }

    /// Every input's place in the table.
    pub fn input_ids(&self) -> impl Iterator<Item = InputId> + use<> {
        (0..self.inputs.len()).map(InputId)
    }
}
