//! One fixture option as meant.

use scenario::form;

use crate::inputs::InputId;
use crate::kept::{CleaningPlan, CrewPlan, EndPlan, Interval, RelampPlan, SparesPlan};
use crate::lamps::{ComponentPlan, GearPlan, LampPlan, MaintenancePlan};
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
    /// How lamp and fixture are built.
    pub build: Option<form::Build>,
    /// Fixtures in the room.
    pub fixtures: u32,
    /// Lamps in each fixture.
    pub lamps_per_fixture: u32,
    /// Power of one fixture at the wall, W.
    pub wall_power: InputId,
    /// Rise of that power per burn hour of the lamp, share of the new lamp's; absent: none.
    pub power_drift: Option<InputId>,
    /// kvar for each kW at the wall.
    pub kvar_per_kw: f64,
    /// Its light.
    pub light: LightPlan,
    /// How the light fades.
    pub maintenance: MaintenancePlan,
    /// Standard deviation between lamps of the pace at which they fade, share of the mean; absent: none.
    pub pace_spread: Option<InputId>,
    /// Price of one fixture without lamps, and of its installation.
    pub fixture_price: InputId,
    /// Cost of hanging and connecting one fixture.
    pub installation: InputId,
    /// What comes back for each fixture at the start; absent: nothing.
    pub rebate: Option<InputId>,
    /// Share of its price that a fixture is worth at the horizon; absent: none.
    pub worth_at_end: Option<InputId>,
    /// Months of service that a fixture is expected to give, if stated.
    pub lasts: Option<InputId>,
    /// The replaceable lamp, if there is one; a fixture that is replaced as a whole is one, too.
    pub lamp: Option<LampPlan>,
    /// Control gear that may fail.
    pub gear: Option<GearPlan>,
    /// Further parts that may fail.
    pub components: Vec<ComponentPlan>,
    /// Burn hours of the lamps in the sockets at the start, least and most; absent: new ones.
    pub in_sockets: Option<(InputId, InputId)>,
    /// When lamps are replaced.
    pub relamp: RelampPlan,
    /// Days between a failure, or the walk-through that finds it, and its mending; absent when nothing can fail.
    pub found_after: Option<InputId>,
    /// Days between two walk-throughs; absent: a failure is found at once.
    pub walk_through: Option<InputId>,
    /// Dark sockets for which the crew waits.
    pub wait_for_dark: usize,
    /// Labour of one replacement after a failure; absent when there is none.
    pub spot_labour: Option<InputId>,
    /// Labour of one planned replacement; absent when none is planned.
    pub planned_labour: Option<InputId>,
    /// A crew that is paid by visit and by the minute.
    pub crew: Option<CrewPlan>,
    /// Share of lamps that break while they are put in.
    pub breakage: Option<InputId>,
    /// Spare lamps; absent: always enough.
    pub spares: Option<SparesPlan>,
    /// When fixtures are cleaned.
    pub cleaning: Option<CleaningPlan>,
    /// What is done about lamps towards the horizon.
    pub end: EndPlan,
}

/// The light of one fixture.
#[derive(Debug, Clone, PartialEq)]
pub struct LightPlan {
    /// Delivered flux as measured, µmol/s: the product of these inputs.
    pub flux: (InputId, InputId),
    /// Where that flux was measured, in words.
    pub basis: String,
    /// How PPFD is spread over the canopy, as measured.
    pub map: PpfdMap,
    /// The readings behind it and the height of the fixture above them; absent where no grid is stated.
    pub grid: Option<(canopy::Grid, InputId)>,
    /// Burn hours of the lamp when it was measured, h.
    pub lamp_hours: InputId,
    /// Days since the last cleaning when it was measured; absent without dirt.
    pub since_cleaning: Option<InputId>,
    /// Factor for light from neighbouring fixtures.
    pub spill: InputId,
    /// What the meter makes of photons: factors by which its readings are multiplied. None where light is taken as read.
    pub meter: Option<(InputId, InputId)>,
    /// Standard deviation of initial output between lamps, share of the mean; absent: none.
    pub lamp_to_lamp: Option<InputId>,
    /// Dirt and optics.
    pub dirt: Option<DirtPlan>,
    /// Light lost at each start.
    pub start_loss: Option<StartLossPlan>,
    /// PPFD above which photons are not useful, µmol/m²/s.
    pub ceiling: Option<InputId>,
}

impl LightPlan {
    /// The inputs whose product is the delivered flux of one fixture as it stood when it was measured, µmol/s, with the light
    /// of its neighbours and with what the meter makes of photons.
    pub fn factors(&self) -> impl Iterator<Item = InputId> + use<> {
        let meter = self.meter.map(|(gain, source)| [gain, source]);
        [self.flux.0, self.flux.1, self.spill].into_iter().chain(meter.into_iter().flatten())
    }

    /// That product in a trial.
    pub fn measured(&self, values: &[f64]) -> f64 {
        self.factors().map(|id| values[id.index()]).product()
    }

    /// The part of it that the meter has.
    pub fn meter_factor(&self, values: &[f64]) -> f64 {
        self.meter.map_or(1.0, |(gain, source)| values[gain.index()] * values[source.index()])
    }
}

/// How PPFD is spread over the canopy, as measured: from it follows which photons lie above a ceiling.
#[derive(Debug, Clone, PartialEq)]
pub enum PpfdMap {
    /// Readings, µmol/m²/s, each with its share of the area; the shares add up to 1.
    Readings(Vec<(f64, f64)>),
    /// Even: one PPFD everywhere.
    Even(InputId),
    /// Even over the whole canopy of the room; known only with its area.
    Canopy(InputId),
}

/// Dirt and optics.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirtPlan {
    /// Share lost in the first year without cleaning.
    pub lost_in_a_year: InputId,
    /// Power of time.
    pub power: InputId,
    /// Share that the optics lose for good in a year.
    pub optics_lost_in_a_year: InputId,
}

/// Light lost at each start, in minutes of full light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StartLossPlan {
    /// While the lamp warms up.
    pub warm_up: InputId,
    /// On top when the lamp is hot.
    pub re_strike: InputId,
    /// A lamp that was off for less than this is hot, min.
    pub hot_for: InputId,
}

impl OptionPlan {
    /// Sockets in the room.
    pub fn sockets(&self) -> usize {
        (self.fixtures * self.lamps_per_fixture) as usize
    }

    /// The same option with its lamps replaced in another way.
    pub fn with_relamp(&self, relamp: RelampPlan) -> Self {
        Self { relamp, ..self.clone() }
    }

    /// Whether each socket lives on its own and its light needs nothing but hours: then the short way of living serves.
    pub fn is_plain(&self) -> bool {
        self.fades_only()
            && self.lamp.as_ref().is_none_or(LampPlan::is_plain)
            && self.components.is_empty()
            && self.in_sockets.is_none()
            && self.relamp.is_plain()
            && self.walk_through.is_none()
            && self.wait_for_dark == 1
            && self.crew.is_none()
            && self.breakage.is_none()
            && self.spares.is_none()
            && self.cleaning.is_none()
            && self.end == EndPlan::default()
    }

    /// Whether its light depends on the hours of its lamps alone.
    pub fn fades_only(&self) -> bool {
        let light = &self.light;
        self.power_drift.is_none()
            && self.pace_spread.is_none()
            && light.dirt.is_none()
            && light.start_loss.is_none()
            && light.ceiling.is_none()
    }

    /// The lamp's rated life in a trial: the burn hours of the claim about it. Infinite without a lamp.
    pub fn rated_life(&self, values: &[f64]) -> f64 {
        self.lamp.as_ref().map_or(f64::INFINITY, |lamp| values[lamp.claim.hours.index()])
    }

    /// Refuses a share of light that lamps reach as soon as they burn.
    fn check_floor(&self, values: &[f64], at: &Spot, reader: &mut Reader) {
        const LEAST: f64 = 10.0;
        if let RelampPlan::Group { every: Interval::AtLight(share), .. }
        | RelampPlan::ByAge { at: Interval::AtLight(share) } = self.relamp
        {
            let fading = self.maintenance.curve(values, self.rated_life(values));
            let hours = fading.age_at(values[share.index()]);
            if !(hours >= LEAST) {
                let found = format!("a share of light that is reached after {hours:.2e} h");
                reader.fault(at, found, format!("a share that lamps keep for at least {LEAST} h"));
            }
        }
    }

    /// Refuses an option whose lamps would change too often to be simulated in any sensible time.
    pub(crate) fn check_effort(&self, at: &Spot, lit_hours: f64, reader: &mut Reader) {
        let least = |id: InputId, reader: &Reader| reader.inputs.at(id).quantile(0.01);
        let values = reader.inputs.medians();
        let derate = |lamp: &LampPlan| lamp.derates.iter().map(|&id| least(id, reader)).product::<f64>();
        let mut interval =
            self.lamp.as_ref().map_or(f64::INFINITY, |lamp| least(lamp.claim.hours, reader) * derate(lamp));
        interval =
            interval.min(self.relamp.longest(&values, &self.maintenance.curve(&values, self.rated_life(&values))));
        if let Some(id) = self.relamp.interval() {
            interval = interval.min(least(id, reader));
        }
        for component in &self.components {
            interval = interval.min(least(component.b50, reader));
        }
        self.check_floor(&values, at, reader);
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
