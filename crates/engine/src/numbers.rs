//! The numbers of an option in one trial, worked out of its inputs.

use lamp::{Dirt, Life, Maintenance, StartWear};
use plan::{ClockPlan, InputId, OptionPlan, RelampPlan};

/// Hours of a mean year.
pub(crate) const HOURS_A_YEAR: f64 = 8_766.0;

/// The numbers of an option in one trial.
pub(crate) struct Numbers<'a> {
    pub clock: &'a ClockPlan,
    pub fading: Maintenance,
    /// Initial flux of one lamp, µmol/s.
    pub flux: f64,
    /// Spread of initial output on the log scale; 0 for none.
    pub output_sigma: f64,
    pub lamp: Option<Life>,
    pub wear: StartWear,
    /// Mean gear life, burn hours; infinite when nothing fails.
    pub gear_mean: f64,
    /// Age at which a lamp is replaced as planned, burn hours; infinite for never.
    pub age_limit: f64,
    /// Days between a failure and its mending.
    pub found_after: f64,
    /// Whether a failed lamp stays dark until the next group relamp.
    pub wait_for_group: bool,
    pub sockets: usize,
}

/// Spread on the log scale of a lognormal number with mean 1 and this standard deviation.
pub(crate) fn log_sigma(sd: f64) -> f64 {
    (sd * sd).ln_1p().sqrt()
}

/// Dirt in a trial.
pub(crate) fn dirt(option: &OptionPlan, values: &[f64]) -> Dirt {
    option
        .light
        .dirt
        .map_or(Dirt::NONE, |dirt| Dirt::losing(values[dirt.lost_in_a_year.index()], values[dirt.power.index()]))
}

impl<'a> Numbers<'a> {
    pub fn new(option: &OptionPlan, clock: &'a ClockPlan, values: &[f64]) -> Self {
        let value = |id: InputId| values[id.index()];
        let fading = option.maintenance.curve(values, option.rated_life(values));
        let light = &option.light;
        let measured = light.measured(values);
        let flux = measured / measured_share(option, &fading, values) / f64::from(option.lamps_per_fixture);
        let per_year = option.gear.as_ref().map_or(0.0, |gear| value(gear.failures_per_year));
        let burn_hours_per_year = clock.timeline.lit_hours / (clock.months() as f64 / 12.0);
        // without a replaceable lamp nothing wears; one hour of burning then counts as one hour
        let wear =
            option.lamp.as_ref().map_or((0.0, 1.0), |lamp| (value(lamp.start_cost), value(lamp.rated_hours_per_start)));
        Self {
            clock,
            flux,
            output_sigma: light.lamp_to_lamp.map_or(0.0, |id| log_sigma(value(id))),
            lamp: option.lamp.as_ref().map(|lamp| lamp.life(values)),
            wear: StartWear { start_cost: wear.0, rated_hours_per_start: wear.1 },
            gear_mean: if per_year > 0.0 { burn_hours_per_year / per_year } else { f64::INFINITY },
            age_limit: match option.relamp {
                RelampPlan::ByAge { at } => at.hours(values, &fading),
                _ => f64::INFINITY,
            },
            found_after: option.found_after.map_or(0.0, value),
            wait_for_group: matches!(option.relamp, RelampPlan::Group { spot_between: false, .. }),
            sockets: option.sockets(),
            fading,
        }
    }
}

/// Delivered flux of the whole room with every lamp new and every socket lit, µmol/s: what is measured of one fixture, made
/// that of a new and clean one, times the fixtures.
pub fn new_flux(option: &OptionPlan, values: &[f64]) -> f64 {
    let fading = option.maintenance.curve(values, option.rated_life(values));
    let measured = option.light.measured(values);
    let fixture = measured / measured_share(option, &fading, values) * fading.fraction(0.0);
    fixture * f64::from(option.fixtures)
}

/// The share of initial light that was left when the light was measured: what was measured holds the fading of the lamp
/// and the dirt until then.
pub(crate) fn measured_share(option: &OptionPlan, fading: &Maintenance, values: &[f64]) -> f64 {
    let light = &option.light;
    let years = light.since_cleaning.map_or(0.0, |id| values[id.index()] * 24.0 / HOURS_A_YEAR);
    fading.fraction(values[light.lamp_hours.index()]) * dirt(option, values).fraction(years)
}
