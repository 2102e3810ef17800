//! What an option costs in a trial beside electricity.

use plan::{CrewPlan, InputId, OptionPlan, Plan};

use crate::cause::Cause;
use crate::ledger::{Ledger, Visit};

/// Prices of one option's upkeep in one trial, at the level of the start.
pub(crate) struct Upkeep {
    /// What is paid at the start, for the whole room: fixtures with their installation and the first fill of lamps; service
    /// and plant that are built; rebates, below zero.
    pub outlays: [(Cause, f64); 3],
    lamp: f64,
    disposal: f64,
    gear: (f64, f64),
    /// Price and labour of each component.
    components: Vec<(f64, f64)>,
    spot_labour: f64,
    planned_labour: f64,
    crew: Option<Crew>,
    /// Cleaning of the whole room.
    cleaning: f64,
    claim: f64,
    /// What an unused lamp brings at the horizon.
    resale: f64,
    /// What the fixtures are worth at the horizon.
    fixtures_left: f64,
}

/// A crew's prices in one trial.
struct Crew {
    visit: f64,
    per_minute: f64,
    spot_minutes: f64,
    planned_minutes: f64,
    least_minutes: f64,
}

impl Crew {
    fn new(crew: &CrewPlan, values: &[f64]) -> Self {
        let value = |id: InputId| values[id.index()];
        Self {
            visit: value(crew.call_out) + value(crew.lift),
            per_minute: value(crew.wage) / 60.0,
            spot_minutes: value(crew.spot_minutes),
            planned_minutes: value(crew.planned_minutes),
            least_minutes: value(crew.least_minutes),
        }
    }

    /// Cost of a visit: for coming, and for the minutes worked or the least that are paid.
    fn cost(&self, visit: &Visit) -> f64 {
        let worked = f64::from(visit.spot) * self.spot_minutes + f64::from(visit.planned) * self.planned_minutes;
        self.visit + worked.max(self.least_minutes) * self.per_minute
    }
}

impl Upkeep {
    /// Of an option in a trial.
    pub fn new(plan: &Plan, option: &OptionPlan, values: &[f64]) -> Self {
        let value = |id: InputId| values[id.index()];
        let lamp = option.lamp.as_ref();
        let (price, disposal) = lamp.map_or((0.0, 0.0), |l| (value(l.price), value(l.disposal)));
        let fixtures = f64::from(option.fixtures);
        let fixture = value(option.fixture_price) + value(option.installation);
        let plant = plan.build_out.map_or(0.0, |b| b.service.map_or(0.0, value) + b.cooling_plant.map_or(0.0, value));
        let kw = value(option.wall_power) / 1000.0 * fixtures;
        // used lamps are there already, and a whole fixture is bought once
        let first_fill = option.in_sockets.is_none() && lamp.is_some_and(|lamp| !lamp.is_fixture);
        let fill = if first_fill { price * option.sockets() as f64 } else { 0.0 };
        Self {
            outlays: [
                (Cause::Capital, fixture * fixtures + fill),
                (Cause::Plant, plant * kw),
                (Cause::Credits, -option.rebate.map_or(0.0, value) * fixtures),
            ],
            lamp: price,
            disposal,
            gear: option.gear.as_ref().map_or((0.0, 0.0), |g| (value(g.price), value(g.labour))),
            components: option.components.iter().map(|part| (value(part.price), value(part.labour))).collect(),
            spot_labour: option.spot_labour.map_or(0.0, value),
            planned_labour: option.planned_labour.map_or(0.0, value),
            crew: option.crew.as_ref().map(|crew| Crew::new(crew, values)),
            cleaning: option.cleaning.map_or(0.0, |c| value(c.cost) * f64::from(option.fixtures)),
            claim: lamp.and_then(|lamp| lamp.warranty).map_or(0.0, |warranty| value(warranty.effort)),
            fixtures_left: option
                .worth_at_end
                .map_or(0.0, |share| value(share) * value(option.fixture_price) * fixtures),
            resale: option.end.resale.map_or(0.0, |share| value(share) * price),
        }
    }

    /// All that is paid at the start.
    pub fn outlay(&self) -> f64 {
        self.outlays.iter().map(|(_, amount)| amount).sum()
    }

    /// Costs of a month by cause, at prices of the start. `last` says whether the horizon ends with it.
    pub fn of_month(&self, ledger: &Ledger, month: usize, last: bool) -> [(Cause, f64); 6] {
        let of = |counts: &[u32]| counts.get(month).map_or(0.0, |&n| f64::from(n));
        let (spot, planned, broken) = (of(&ledger.spot_lamps), of(&ledger.planned_lamps), of(&ledger.broken_lamps));
        let lamps = spot + planned + broken;
        let repairs = of(&ledger.gear_repairs);
        let mut parts = repairs * self.gear.0;
        let mut labour = spot * self.spot_labour + planned * self.planned_labour + repairs * self.gear.1;
        for ((price, work), repairs) in self.components.iter().zip(&ledger.repairs) {
            parts += of(repairs) * price;
            labour += of(repairs) * work;
        }
        if let Some(crew) = &self.crew {
            labour +=
                ledger.visits.iter().filter(|visit| visit.month == month).map(|visit| crew.cost(visit)).sum::<f64>();
        }
        let credited = ledger.credited.get(month).map_or(0.0, |share| share * self.lamp);
        let sold = if last { ledger.lamps_left * self.resale + self.fixtures_left } else { 0.0 };
        [
            (Cause::Lamps, lamps * self.lamp),
            (Cause::Gear, parts),
            (Cause::Labour, labour),
            (Cause::Disposal, lamps * self.disposal),
            (Cause::Cleaning, of(&ledger.cleanings) * self.cleaning),
            (Cause::Credits, of(&ledger.claims) * self.claim - credited - sold),
        ]
    }
}
