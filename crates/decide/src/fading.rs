//! How light fades by readings of single lamps, and what a scenario may take from it.
//!
//! Belongs here: which readings are fitted, which form counts, what stands beside what. Does not belong here: fitting (`learn`),
//! reading the record (`records`), the readings as the fit takes them (`taken`), the curve that counts and its draws (`settled`),
//! what is written for a scenario (`written`).

mod settled;
mod taken;
mod written;

use learn::fading::{Fading, Form, fade, outliers};
use learn::fit::NoFit;
use plan::Plan;
use records::Readings;

use crate::fading_report::*;
use crate::spread::Sorted;

use settled::{Settled, led_told};
use taken::Taken;
pub use written::Maintenance;

/// Two fits that differ by less than this in Akaike's criterion are not told apart (Burnham and Anderson 2002).
const NOT_TOLD: f64 = 2.0;
/// Steps of the curve.
const STEPS: u32 = 80;
/// Shares that matter.
const SHARES: [f64; 4] = [0.9, 0.8, 0.7, 0.5];

/// What is asked.
#[derive(Debug, Clone)]
pub struct FadingOrder {
    /// Index of the option whose lamps were read.
    pub option: usize,
    /// Name of the record.
    pub record: String,
    /// The form that counts; the one that the readings advise when absent.
    pub form: Option<Form>,
    /// Whether the method for tests of LEDs is asked.
    pub led: bool,
    /// Whether readings that stick out are left out.
    pub leave_out_outliers: bool,
    /// Draws to write.
    pub draws: usize,
    /// Their seed.
    pub seed: u64,
}

/// Fits the readings: what was found, and the maintenance for the scenario.
///
/// # Errors
/// A message when there are too few readings for any fit, or for the one that was asked for.
pub fn fading(
    plan: &Plan,
    order: &FadingOrder,
    readings: &Readings,
    program: &str,
) -> Result<(FadingReport, Maintenance), String> {
    let mut taken = Taken::new(readings);
    if taken.lamps.is_empty() {
        return Err("no lamp has two readings that are not left out".into());
    }
    let mut tried = all(&taken);
    let mut fit = choose(&tried, order.form)?;
    // what sticks out is judged by a curve, and leaving it out may change the curve: once is enough
    let found = outliers(&taken.lamps, &fit.fit.curve);
    let sticking: Vec<OutlierTold> = found.iter().map(|out| taken.told(out, readings)).collect();
    taken.mark(&found, order.leave_out_outliers);
    let last = taken.last();
    let mut without_and_with = None;
    if !found.is_empty() {
        let without = taken.without(&found);
        let with = fit.curve.share(last);
        if order.leave_out_outliers {
            (tried, taken) = (all(&without), without);
            fit = choose(&tried, order.form)?;
            without_and_with = Some((fit.curve.share(last), with));
        } else {
            without_and_with =
                fade(fit.curve.form(), &without.lamps).ok().map(|without| (without.curve.share(last), with));
        }
    }
    let led = order.led.then(|| led_told(&taken.lamps));
    let by_led = led.as_ref().and_then(|(_, led)| led.as_ref());
    let settled = Settled::new(plan, order, &fit, by_led);
    let needed = needed(plan, order.option);
    // so that what is not known beyond the readings is seen
    let end = needed.max(1.5 * last);
    let curve = (0..=STEPS).map(|k| settled.at(end * f64::from(k) / f64::from(STEPS))).collect();
    let mut hours = vec![0.5 * last, last];
    // less than that beyond the readings is as good as at their end
    hours.extend(Some(needed).filter(|needed| *needed > 1.02 * last));
    let missed = by_led.and_then(|led| taken.missed(readings, led));
    let (maintenance, moved) = Maintenance::new(plan, order, &settled);
    let report = FadingReport {
        format: FADING_FORMAT.into(),
        program: program.into(),
        title: plan.title.clone(),
        option: plan.options[order.option].name.clone(),
        place: format!("/options/{}/maintenance", order.option),
        record: order.record.clone(),
        readings: readings.lamps.iter().map(|lamp| lamp.readings.len() as u64).sum(),
        left_out: readings.lamps.iter().flat_map(|lamp| &lamp.readings).filter(|r| r.is_left_out).count() as u64,
        is_merged: taken.is_merged,
        lamps: taken.lamps_told(readings, &fit),
        means: taken.means(&fit),
        points: taken.points(readings, &fit),
        fits: fits_told(&tried, order),
        chosen: Form::ALL.iter().position(|form| *form == fit.curve.form()).filter(|_| !settled.is_led()),
        why: why(&tried, fit.curve.form(), order, &settled),
        led: led.map(|(told, _)| told),
        read_to_h: last,
        needed_to_h: needed,
        cap_h: settled.cap(),
        curve,
        at_hours: hours.into_iter().map(|hours| settled.at(hours)).collect(),
        to_shares: SHARES.iter().map(|share| settled.hours_to(*share)).collect(),
        between: fit.paces.as_ref().map(|paces| Between {
            lamps: paces.lamps as u64,
            pace: fit.pace_spread().unwrap_or(0.0),
            level: paces.level_spread,
            noise: paces.noise.sqrt(),
        }),
        lamp_to_lamp: settled.spread,
        outliers: sticking,
        are_outliers_left_out: order.leave_out_outliers && !found.is_empty(),
        without_and_with,
        draws: order.draws as u64,
        seed: order.seed,
        assumptions: assumptions(&fit, settled.is_led(), order.form.is_none()),
        cautions: plan.cautions.clone(),
        remarks: [
            taken.not_from_new().into_iter().chain(missed).collect(),
            remarks(plan, order, &taken, readings, &fit, (last, needed), &settled, moved),
        ]
        .concat(),
    };
    Ok((report, maintenance))
}

/// All forms, fewest parameters first.
fn all(taken: &Taken) -> Vec<Result<Fading, NoFit>> {
    Form::ALL.iter().map(|form| fade(*form, &taken.lamps)).collect()
}

/// The form that counts: the one asked for, or the first whose criterion is within reach of the lowest.
fn choose(tried: &[Result<Fading, NoFit>], asked: Option<Form>) -> Result<Fading, String> {
    if let Some(form) = asked {
        let (_, fit) = Form::ALL.iter().zip(tried).find(|(known, _)| **known == form).ok_or("no such form")?;
        return fit.clone().map_err(|error| format!("{} cannot be fitted: {error}", name(form)));
    }
    let least = tried.iter().flatten().map(|fit| fit.fit.aicc).fold(f64::INFINITY, f64::min);
    // where there are too few readings for the criterion, the fewest parameters count
    let found = tried.iter().flatten().find(|fit| !least.is_finite() || fit.fit.aicc <= least + NOT_TOLD);
    let why = || tried.iter().find_map(|fit| fit.as_ref().err()).map_or(String::new(), NoFit::to_string);
    found.cloned().ok_or_else(|| format!("nothing can be fitted: {}", why()))
}

/// A form's name, as in a scenario.
pub(crate) fn name(form: Form) -> &'static str {
    match form {
        Form::Exponential => "exponential",
        Form::Stretched => "stretched",
        Form::Biexponential => "biexponential",
    }
}

/// What was fitted, with intervals of the draws.
fn fits_told(tried: &[Result<Fading, NoFit>], order: &FadingOrder) -> Vec<FitTold> {
    let least = tried.iter().flatten().map(|fit| fit.fit.aicc).fold(f64::INFINITY, f64::min);
    let told = |(form, fit): (Form, &Result<Fading, NoFit>)| match fit {
        Err(error) => FitTold {
            form: name(form).into(),
            none: Some(error.to_string()),
            parameters: vec![],
            residual: 0.0,
            freedom: 0.0,
            aicc_above: None,
        },
        Ok(fit) => {
            let drawn = settled::drawn(fit, order);
            let spread = |k: usize| {
                let sorted = Sorted::new(drawn.iter().map(|curve| written::parameters(curve)[k].2).collect());
                (sorted.quantile(0.1), sorted.quantile(0.9))
            };
            let parameters = written::parameters(&fit.curve).into_iter().enumerate();
            FitTold {
                form: name(form).into(),
                none: None,
                parameters: parameters
                    .map(|(k, (name, unit, value))| Parameter {
                        name: name.into(),
                        unit: unit.into(),
                        value,
                        interval: spread(k),
                    })
                    .collect(),
                residual: fit.fit.variance.sqrt(),
                freedom: fit.fit.freedom,
                aicc_above: least.is_finite().then_some(fit.fit.aicc - least),
            }
        }
    };
    Form::ALL.into_iter().zip(tried).map(told).collect()
}

/// Burn hours that a lamp of the option may reach: to its planned relamp, or to the horizon.
fn needed(plan: &Plan, option: usize) -> f64 {
    let option = &plan.options[option];
    let medians = plan.inputs.medians();
    let lit = plan.contracts.first().map_or(0.0, |contract| plan.clocks[contract.clock].timeline.lit_hours);
    let stated = option.maintenance.curve(&medians, option.rated_life(&medians));
    option.relamp.longest(&medians, &stated).min(lit)
}

fn why(tried: &[Result<Fading, NoFit>], form: Form, order: &FadingOrder, settled: &Settled) -> String {
    if settled.is_led() {
        return "the method for tests of LEDs, because there are units and hours enough for it".into();
    }
    let chosen = name(form);
    if order.form.is_some() {
        return format!("{chosen}, because it was asked for");
    }
    let fits = || tried.iter().flatten().map(|fit| (fit.fit.aicc, fit.curve.form()));
    let own = fits().find(|fit| fit.1 == form).map_or(f64::INFINITY, |fit| fit.0);
    match fits().min_by(|a, b| a.0.total_cmp(&b.0)) {
        Some((least, best)) if best != form && least.is_finite() => format!(
            "{chosen}: {} is {:.1} lower in AICc, which is too little to tell, and has more parameters",
            name(best),
            own - least
        ),
        Some((least, _)) if least.is_finite() => {
            format!("{chosen}: it has the lowest AICc, and no form with fewer parameters comes within {NOT_TOLD} of it")
        }
        _ => format!("{chosen}: too few readings to weigh forms against each other, so the fewest parameters count"),
    }
}

fn assumptions(fit: &Fading, is_led: bool, is_picked: bool) -> Vec<String> {
    let mut said = vec![
        "Each lamp was read with one instrument at one place throughout, so that only shares of its own light count"
            .to_owned(),
        "ln(reading) errs evenly at all hours; lamps fade on one curve, each at a pace of its own".to_owned(),
    ];
    if is_led {
        said.push(
            "The line through the means of a test of LEDs holds to its cap; draws follow how single units' lines differ".into(),
        );
        return said;
    }
    said.push(format!(
        "Intervals are those of the draws: {}, Student's t",
        match fit.curve.form() {
            Form::Exponential => "Wald's, in the rate",
            Form::Stretched => "Wald's, in the logarithms of time constant and power",
            Form::Biexponential => "Wald's, in the logit of the share and the logarithms of the rates",
        }
    ));
    if is_picked {
        said.push(
            "The form was picked by the same readings, and what that leaves open is in no interval: they are somewhat too \
             narrow; --form states one instead"
                .into(),
        );
    }
    said.push(match &fit.paces {
        Some(paces) => format!(
            "What {} lamps leave open of the mean pace is part of every interval; their spread was found by restricted maximum \
             likelihood, levels free",
            paces.lamps
        ),
        None => "Fewer than three lamps tell nothing of how lamps differ: intervals hold the noise of readings only".into(),
    });
    said
}

#[expect(clippy::too_many_arguments, reason = "each sentence looks at something else")]
fn remarks(
    plan: &Plan,
    order: &FadingOrder,
    taken: &Taken,
    readings: &Readings,
    fit: &Fading,
    (last, needed): (f64, f64),
    settled: &Settled,
    moved: usize,
) -> Vec<String> {
    let mut said = vec![];
    let name = &plan.options[order.option].name;
    match settled.cap() {
        _ if !(needed > 1.02 * last) => {}
        Some(cap) if needed > cap => said.push(format!(
            "{name} may burn {needed:.0} h; readings reach {last:.0} h and the method for LEDs speaks up to {cap:.0} h: beyond, the \
             decay rate is uncertain"
        )),
        Some(_) => {}
        None => said.push(format!(
            "{name} may burn {needed:.0} h, readings reach {last:.0} h: beyond them the curve is a continuation that nobody has \
             seen, {:.1} times as long as the readings",
            needed / last
        )),
    }
    let alone = readings.lamps.len() - taken.of.len();
    if alone > 0 {
        let (lamps, verb) = if alone == 1 { ("1 lamp".to_owned(), "has") } else { (format!("{alone} lamps"), "have") };
        said.push(format!("{lamps} {verb} fewer than two readings to fit and say nothing of fading"));
    }
    let early = taken.lamps.iter().filter(|lamp| lamp.last().is_some_and(|r| r.hours < 0.8 * last)).count();
    if early > 0 && taken.lamps.len() > 1 {
        let lamps = if early == 1 { "1 lamp was".to_owned() } else { format!("{early} lamps were") };
        said.push(format!(
            "{lamps} not read to the end; its own level stands for it, so that the others' later readings are not bent"
        ));
    }
    if readings.about > 0 {
        said.push(format!("{} of the readings are about right (~); they count like any other", readings.about));
    }
    if fit.curve.share(last) >= 1.0 {
        said.push("Light does not fall by these readings; nothing is known of when it will".into());
    }
    if moved > 0 {
        said.push(format!(
            "{moved} of {} draws lay outside what a scenario takes, such as light that grows, and were moved to its limit",
            order.draws
        ));
    }
    if fit.paces.as_ref().is_some_and(|paces| paces.lamps < 5) {
        said.push("With fewer than five lamps their spread is hardly known; intervals are wide because of it".into());
    }
    said
}

#[cfg(test)]
mod tests;
