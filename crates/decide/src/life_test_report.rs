//! What `test` finds out: plain data with units in the names, stored as `test.json`. No arithmetic here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use crate::drivers_report::Worth;
use crate::result::{Ended, Estimate};

/// Version of the shape of `test.json`.
pub const TEST_FORMAT: &str = "lampledger-test/1";

/// What planned life tests of a lamp cost, what they are worth to those who choose rooms afterwards, and when to stop one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TestReport {
    /// [`TEST_FORMAT`].
    pub format: String,
    /// Version of the program.
    pub program: String,
    /// Title of the scenario.
    pub title: String,
    /// Currency code.
    pub currency: String,
    /// "real" or "nominal".
    pub basis: String,
    /// Discount rate per year, median.
    pub discount_rate: f64,
    /// Month of the price level.
    pub prices_of: String,
    /// First day of the horizon, YYYY-MM-DD.
    pub start: String,
    /// Years simulated.
    pub horizon_years: u32,
    /// Name of the contract.
    pub contract: String,
    /// Name of the option whose lamps are tested.
    pub of: String,
    /// Names of the options among which is chosen: the one against which it is tested, the tested one, further ones.
    pub options: Vec<String>,
    /// Where the light of each was measured.
    pub light_bases: Vec<String>,
    /// Photons by which a cost per mole is turned into money, present value at the start, mol, for one room.
    pub service_mol: f64,
    /// What these photons are, in words.
    pub service: String,
    /// Rooms that are chosen after the test: they multiply its worth, not its cost.
    pub rooms: u32,
    /// Seed of all luck.
    pub seed: u64,
    /// Trials that were lived: each is a truth that may hold.
    pub trials: u64,
    /// Tests that were simulated for each design.
    pub simulated: u64,
    /// Why it ended.
    pub ended: Ended,
    /// Mean cost of each option above that of today's choice, one room, currency.
    pub leads: Vec<Estimate>,
    /// Places of `options` in the scenario, from 0, so that pictures show them as elsewhere; empty in older answers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<usize>,
    /// Today's choice, an index of `options`.
    pub choice: usize,
    /// What is believed of the median life of tested lamps as they burn in the test, burn hours: 10 % point, median, 90 %
    /// point.
    pub median_life_h: (f64, f64, f64),
    /// What knowing all about the lamp's life is worth for one room, currency: no test is worth more.
    pub known: Worth,
    /// How the lamps burn, and what that costs.
    pub terms: Terms,
    /// The designs, by number of lamps, then by hours; fewer after an interruption.
    pub designs: Vec<Design>,
    /// Index of the design to look at: the one that leaves most, if any leaves something for so many rooms; otherwise
    /// the one that pays for the fewest rooms; otherwise the one that is worth most.
    pub best: usize,
    /// When to stop that design; absent where no test can pay.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop: Option<StopTable>,
    /// That design with its lamps in production sockets; absent where it cannot be so, or is so already.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_sockets: Option<Design>,
    /// What the test takes for granted, sentence by sentence.
    pub assumptions: Vec<String>,
    /// Cautions that the scenario and the test call for.
    pub cautions: Vec<String>,
    /// Things a reader should know.
    pub remarks: Vec<String>,
}

/// How lamps on test burn, and what that costs, currency of the scenario.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Terms {
    /// Whether they hang in production sockets instead of on a bench.
    pub in_sockets: bool,
    /// Burn hours after each start on the bench, h; absent in sockets, where the room's hours hold.
    pub bench_h_per_start: Option<f64>,
    /// Hours off after each of these, h; absent in sockets.
    pub bench_off_h: Option<f64>,
    /// Burn hours between two looks, h.
    pub look_every_h: f64,
    /// What one lamp costs; in sockets only what it costs more than the lamp that would hang there.
    pub lamp_price: f64,
    /// Power of one lamp at the wall, kW.
    pub kw_per_lamp: f64,
    /// Setting the test up.
    pub set_up: f64,
    /// Labour of one look.
    pub look_cost: f64,
    /// Whether the price of electricity was given, instead of taken from the contract.
    pub kwh_is_given: bool,
}

/// A planned test.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Design {
    /// Lamps.
    pub lamps: u32,
    /// Burn hours until the end, h.
    pub hours: f64,
    /// Looks, the last one at the end.
    pub looks: u32,
    /// Days until the answer, d.
    pub days: f64,
    /// Price of a kWh of its electricity, currency; 0 in sockets, where it is bought anyway.
    pub price_per_kwh: f64,
    /// Lamps, currency.
    pub lamps_cost: f64,
    /// Electricity if no lamp dies, currency.
    pub electricity_cost: f64,
    /// Setting up and looks, currency.
    pub labour_cost: f64,
    /// All of it, currency.
    pub cost: f64,
    /// What the better choice saves on average in one room, currency: 0 or more, and never above the worth of knowing.
    pub worth: Estimate,
    /// Worth for all rooms less cost, currency.
    pub net: Estimate,
    /// Rooms from which it pays; absent where no number does, or where its worth is not clear of noise.
    pub pays_from_rooms: Option<u64>,
    /// Chance that it changes the choice, 1 = certain.
    pub changes: f64,
    /// Whether nothing that could be seen would change the choice, not even no lamp dead at the end or all at the first look.
    pub is_idle: bool,
}

/// When to stop a test.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StopTable {
    /// Lamps of the test.
    pub lamps: u32,
    /// Its burn hours to the end, h.
    pub hours: f64,
    /// Rooms for which the rule holds.
    pub rooms: u64,
    /// Check-points, the last one at the end.
    pub checks: Vec<Check>,
    /// Burn hours until it is stopped, mean, h.
    pub expected_h: f64,
    /// What the test costs on average if the rule is kept, currency: lamps, setting up, and the electricity and looks until
    /// it is stopped. Between two check-points the mean of the lamps alive at both is counted.
    pub expected_cost: f64,
    /// What it is worth in one room then, currency; dead lamps counted at the check-points only.
    pub expected_worth: f64,
    /// Rooms from which it pays then; absent where no number does, or where the worth is not clear of noise.
    pub pays_from_rooms: Option<u64>,
    /// Chance of ending with each option, in the order of the report's options.
    pub chances: Vec<f64>,
}

/// A moment at which dead lamps are counted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Check {
    /// Burn hours, h.
    pub hours: f64,
    /// By number of dead lamps, from none to all.
    pub counts: Vec<Count>,
}

/// So many dead lamps at a check-point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Count {
    /// Dead lamps.
    pub dead: u32,
    /// Chance of coming here without having stopped before, 1 = certain.
    pub chance: f64,
    /// The option of the lowest expected cost then, an index of the report's options.
    pub choice: usize,
    /// What going on to the end is worth then, for all rooms, currency; 0 at the end.
    pub worth_of_going_on: f64,
    /// What it costs, currency; 0 at the end.
    pub cost_of_going_on: f64,
    /// What to do.
    pub advice: StopAdvice,
}

/// What to do at a check-point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StopAdvice {
    /// Stop, and take the option that is the cheapest then.
    Choose,
    /// Go on.
    GoOn,
    /// No belief allows it.
    CannotBe,
}
