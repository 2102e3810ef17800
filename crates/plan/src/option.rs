//! One fixture option as meant.

use lamp::Maintenance;
use scenario::form;

use crate::inputs::InputId;
use crate::reader::{Reader, Spot};

/// Most sockets that an option may have.
pub const MAX_SOCKETS: u64 = 100_000;

/// Most lamp changes that a trial may be expected to bring.
const MAX_CHANGES: f64 = 2e7;

/// One fixture option.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OptionPlan {
    /// Its name.
    pub name: String,
    /// Kind of light source.
    pub technology: form::Technology,
    /// Fixtures in the room.
    pub fixtures: u32,
    /// Lamps in each fixture.
    pub lamps_per_fixture: u32,
    /// Power of one fixture at the wall, W.
    pub wall_power: InputId,
    /// kvar for each kW at the wall.
    pub kvar_per_kw: f64,
    /// Delivered flux of one fixture as measured, µmol/s: the product of these inputs.
    pub flux: (InputId, InputId),
    /// Where that flux was measured, in words.
    pub light_basis: String,
    /// Burn hours of the lamp when it was measured, h.
    pub lamp_hours: InputId,
    /// Factor for light from neighbouring fixtures.
    pub spill: InputId,
    /// Standard deviation of initial output between lamps, share of the mean; absent: none.
    pub lamp_to_lamp: Option<InputId>,
    /// How the light fades.
    pub maintenance: MaintenancePlan,
    /// Price of one fixture without lamps, and of its installation.
    pub fixture_price: InputId,
    /// Cost of hanging and connecting one fixture.
    pub installation: InputId,
    /// The replaceable lamp, if there is one.
    pub lamp: Option<LampPlan>,
    /// Control gear that may fail.
    pub gear: Option<GearPlan>,
    /// When lamps are replaced.
    pub relamp: RelampPlan,
    /// Days between a failure and its mending; absent when nothing can fail.
    pub found_after: Option<InputId>,
    /// Labour of one replacement after a failure; absent when there is none.
    pub spot_labour: Option<InputId>,
    /// Labour of one planned replacement; absent when none is planned.
    pub planned_labour: Option<InputId>,
}

/// How light fades, with its uncertain numbers in the table of inputs.
#[derive(Debug, Clone, PartialEq)]
pub enum MaintenancePlan {
    /// start · exp(−rate·b).
    Exponential {
        /// Fraction at 0 h.
        start: InputId,
        /// Decay rate, 1/h.
        rate: InputId,
    },
    /// A curve without uncertain numbers.
    Curve(Maintenance),
}

/// A replaceable lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct LampPlan {
    /// Price of one.
    pub price: InputId,
    /// Disposal of one.
    pub disposal: InputId,
    /// Median life, h.
    pub b50: InputId,
    /// Weibull shape.
    pub shape: InputId,
    /// Burn hours per start at which the median was rated, h.
    pub rated_hours_per_start: InputId,
    /// Burn hours of life that a start costs, h.
    pub start_cost: InputId,
    /// Early failures: share, and window of burn hours.
    pub early: Option<(InputId, InputId)>,
}

/// Control gear that fails at a constant rate.
#[derive(Debug, Clone, PartialEq)]
pub struct GearPlan {
    /// Share that fails in a calendar year of this photoperiod.
    pub failures_per_year: InputId,
    /// Price of the part.
    pub price: InputId,
    /// Labour of one repair.
    pub labour: InputId,
}

/// When lamps are replaced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RelampPlan {
    /// There is no replaceable lamp.
    Never,
    /// Each lamp when it has failed.
    OnFailure,
    /// All lamps together.
    Group {
        /// Schedule hours between two relamps, h.
        every: InputId,
        /// Whether a lamp that fails in between is replaced.
        spot_between: bool,
        /// Whether the crew waits for the next turnaround.
        at_turnaround: bool,
    },
    /// Each lamp at an age or when it has failed.
    ByAge {
        /// Burn hours of the lamp, h.
        at: InputId,
    },
}

impl OptionPlan {
    /// Sockets in the room.
    pub fn sockets(&self) -> usize {
        (self.fixtures * self.lamps_per_fixture) as usize
    }

    /// Refuses an option whose lamps would change too often to be simulated in any sensible time.
    pub(crate) fn check_effort(&self, at: &Spot, lit_hours: f64, reader: &mut Reader) {
        let least = |id: InputId, reader: &Reader| reader.inputs.at(id).quantile(0.01);
        let mut interval = self.lamp.as_ref().map_or(f64::INFINITY, |lamp| least(lamp.b50, reader));
        if let RelampPlan::Group { every: id, .. } | RelampPlan::ByAge { at: id } = self.relamp {
            interval = interval.min(least(id, reader));
        }
        let changes = self.sockets() as f64 * lit_hours / interval;
        if changes > MAX_CHANGES {
            let found = format!("about {changes:.1e} lamp changes a trial");
            reader.fault(
                at,
                found,
                format!("at most {MAX_CHANGES:.0e}: fewer sockets, a shorter horizon or longer lives"),
            );
        }
    }
}
