//! What cautions go by: facts of an option and of the lights, worked out at median inputs.
//!
//! Belongs here: what a scenario says or brings about. Does not belong here: words.

use scenario::form::{DerateCause, FixtureOption, Technology};

use crate::{Alive, ClockPlan, Interval, LampPlan, OptionPlan, Plan, RelampPlan};

/// Hours of darkness from which lamps count as switched off: 15 minutes.
const BREAK: f64 = 0.25;

/// How far sums of hours may stray from what was written, as a share.
const SLACK: f64 = 1e-9;

/// The lights of a room on all its clocks.
pub(super) struct Lights {
    /// Longest time without a break of 15 minutes, h.
    pub(super) longest_burn: f64,
    /// Least share of full power at which lamps burn.
    pub(super) least_power: f64,
}

impl Lights {
    pub(super) fn of(plan: &Plan) -> Self {
        let stretches = plan.clocks.iter().flat_map(|clock| &clock.timeline.stretches);
        Self {
            longest_burn: plan.clocks.iter().map(longest_burn).fold(0.0, f64::max),
            least_power: stretches.map(|stretch| stretch.power).fold(1.0, f64::min),
        }
    }
}

fn longest_burn(clock: &ClockPlan) -> f64 {
    let (mut longest, mut from, mut to) = (0.0_f64, f64::NEG_INFINITY, f64::NEG_INFINITY);
    for stretch in &clock.timeline.stretches {
        if stretch.t - to > BREAK * (1.0 - SLACK) {
            from = stretch.t;
        }
        to = stretch.t + stretch.hours;
        longest = longest.max(to - from);
    }
    longest
}

/// An option as meant and as written.
pub(super) struct Fixture<'a> {
    pub(super) meant: &'a OptionPlan,
    pub(super) written: &'a FixtureOption,
}

impl Fixture<'_> {
    pub(super) fn is_halide(&self) -> bool {
        matches!(self.meant.technology, Technology::MetalHalide | Technology::CeramicMetalHalide)
    }

    pub(super) fn is_arc(&self) -> bool {
        self.is_halide() || self.meant.technology == Technology::HighPressureSodium
    }

    pub(super) fn is_discharge(&self) -> bool {
        self.is_arc() || self.meant.technology == Technology::Fluorescent
    }

    pub(super) fn quartz_jacket(&self) -> Option<bool> {
        self.meant.build.as_ref()?.quartz_jacket
    }

    /// Whether neither a fixture that encloses its lamp nor a lamp for open fixtures is stated.
    pub(super) fn may_be_open(&self) -> bool {
        let build = self.meant.build.as_ref();
        let stated = |stated: Option<Option<bool>>| stated.flatten() == Some(true);
        !stated(build.map(|build| build.enclosed)) && !stated(build.map(|build| build.protected_lamp))
    }

    /// Whether lamp, gear and fixture are stated not to match, or life is derated for the gear.
    pub(super) fn is_mismatched(&self) -> bool {
        let mut derates = self.written.lamp.iter().flat_map(|lamp| &lamp.0.life.0.derates);
        self.meant.build.as_ref().and_then(|build| build.matched) == Some(false)
            || derates.any(|derate| derate.cause == DerateCause::ControlGear)
    }

    /// Whether anybody must ever come to replace, repair or clean.
    pub(super) fn needs_hands(&self) -> bool {
        let option = self.meant;
        option.lamp.is_some() || option.gear.is_some() || !option.components.is_empty() || option.cleaning.is_some()
    }

    /// Whether lamps are expected to break while they are put in.
    pub(super) fn breaks_lamps(&self, medians: &[f64]) -> bool {
        self.meant.breakage.is_some_and(|share| medians[share.index()] > 0.0)
    }

    pub(super) fn is_run_to_failure(&self) -> bool {
        self.meant.relamp == RelampPlan::OnFailure
    }

    /// Whether lamps may stay in beyond their rated life: always where they are left to fail, otherwise when the way of
    /// relamping lets one grow so old.
    pub(super) fn kept_past_rated_life(&self, plan: &Plan, medians: &[f64]) -> bool {
        let option = self.meant;
        let Some(lamp) = option.lamp.as_ref().filter(|lamp| !lamp.is_fixture) else { return false };
        let rated = self.rated_life(lamp, medians);
        let past = |hours: f64| hours > rated * (1.0 + SLACK);
        let fading = option.maintenance.curve(medians, option.rated_life(medians));
        match option.relamp {
            RelampPlan::Never => false,
            RelampPlan::OnFailure => true,
            RelampPlan::ByAge { at } => past(at.hours(medians, &fading)),
            RelampPlan::Group { every, spot_between, keep, zones, .. } => {
                // a lamp put in between two relamps that is young enough to stay in at one waits for the next
                let kept = keep.filter(|_| spot_between).map_or(0.0, |hours| medians[hours.index()]);
                let meant = if let Interval::Crops(_) = every { 0.0 } else { every.hours(medians, &fading) };
                let clock = &plan.clocks[plan.contracts.first().map_or(0, |contract| contract.clock)];
                let lit = clock.timeline.lit_hours;
                let skipped = option.end.skip(medians, &fading);
                let mut dates = vec![];
                // the last zone waits a whole interval for its first relamp
                option.relamp.dates(zones.max(1) - 1, medians, &fading, clock, lit - skipped, &mut dates);
                let first = option.in_sockets.map_or(0.0, |(_, oldest)| -medians[oldest.index()]);
                let ends = dates.iter().copied().chain([lit]);
                let gaps = [first].into_iter().chain(dates.iter().copied()).zip(ends).map(|(from, to)| to - from);
                past(kept + gaps.fold(meant, f64::max))
            }
        }
    }

    /// Burn hours by which half of the lamps have failed where they burn as rated. Where a test was stopped, its hours:
    /// nobody knows of any beyond.
    fn rated_life(&self, lamp: &LampPlan, medians: &[f64]) -> f64 {
        let stopped = self.written.lamp.as_ref().is_some_and(|lamp| lamp.0.life.0.test_stopped_at.is_some());
        if stopped || lamp.claim.alive == Alive::ByMeaning(0.5) {
            return medians[lamp.claim.hours.index()];
        }
        LampPlan { derates: vec![], ..lamp.clone() }.life(medians).median()
    }
}
