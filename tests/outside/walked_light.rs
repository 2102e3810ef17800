//! Light in the walk by events, with every way of fading, dirt, optics, losses at starts, dimming and a ceiling, against
//! quadrature over each single burn, cut wherever a curve bends.

use serde_json::{Value, json};

use super::assert_close;
use super::statistics::integrate;
use crate::support::{lamped, lived, patched, plan, with_options};

const FLUX: f64 = 1000.0;
const MOL_PER_FLUX_HOUR: f64 = 0.0036;
const FOR_EVER: f64 = 1e6;
/// Hours of a mean year, by which dirt counts.
const YEAR: f64 = 8766.0;
/// Days of 2031 to 2033.
const DAYS: u32 = 1096;

/// A burn: elapsed hours of its start and its end, and its share of flux.
type Burn = (f64, f64, f64);

/// Burns of a crop in a zone without summer time: 20 days of 18 h at 55 % of the flux, 43 days of two windows over noon
/// and midnight at all of it, then four dark days.
fn crop_burns() -> Vec<Burn> {
    let end = 24.0 * f64::from(DAYS);
    let mut burns = vec![];
    for day in 0..DAYS {
        let windows: &[Burn] = match day % 67 {
            0..20 => &[(5.5, 23.5, 0.55)],
            20..63 => &[(11.0, 15.0, 1.0), (20.0, 28.0, 1.0)],
            _ => &[],
        };
        let midnight = 24.0 * f64::from(day);
        burns.extend(windows.iter().map(|&(on, off, flux)| (midnight + on, (midnight + off).min(end), flux)));
    }
    burns
}

fn crop(options: Vec<Value>) -> Value {
    patched(
        with_options(options),
        json!({ "horizon_years": 3, "photoperiod": { "turnaround_days": 4, "phases": [
            { "name": "young", "days": 20, "flux": 0.55, "power": 0.6, "lights": [{ "on": "05:30", "off": "23:30" }] },
            { "name": "old", "days": 43, "lights": [{ "on": "20:00", "off": "04:00" }, { "on": "11:00", "off": "15:00" }] }
        ] } }),
    )
}

/// What dims a fixture by the calendar.
#[derive(Clone, Copy)]
struct Grime {
    lost: f64,
    power: f64,
    optics: f64,
    /// Elapsed hours between two cleanings.
    cleaned_every: f64,
}

const CLEAN: Grime = Grime { lost: 0.0, power: 1.0, optics: 0.0, cleaned_every: f64::INFINITY };

impl Grime {
    fn share(&self, t: f64, cleaned: f64) -> f64 {
        let dirt = (1.0 - self.lost).ln() * ((t - cleaned) / YEAR).powf(self.power);
        (dirt + (1.0 - self.optics).ln() * t / YEAR).exp()
    }
}

/// One lamp's flux-hours: burn by burn, cut at kinks of the curve, at cleanings and at group relamps, which come at
/// multiples of some burn hours. `shape` makes of the momentary output what counts.
fn flux_hours(
    burns: &[Burn],
    fading: &dyn Fn(f64) -> f64,
    kinks: &[f64],
    every: f64,
    grime: Grime,
    shape: &dyn Fn(f64) -> f64,
) -> f64 {
    let mut lit = 0.0;
    let mut sum = 0.0;
    for &(from, to, flux) in burns {
        // moments of this burn in burn hours of the room
        let mut cuts = vec![0.0, to - from];
        let relamp = (lit / every).floor() * every;
        for born in [relamp, relamp + every] {
            cuts.push(born - lit);
            cuts.extend(kinks.iter().map(|kink| born + kink - lit));
        }
        if grime.cleaned_every.is_finite() {
            let first = (from / grime.cleaned_every).ceil() * grime.cleaned_every;
            cuts.extend([first - from]);
        }
        cuts.retain(|&cut| (0.0..=to - from).contains(&cut));
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2) {
            let (a, e) = (pair[0], pair[1]);
            let middle = 0.5 * (a + e);
            let born = ((lit + middle) / every).floor() * every;
            let cleaned = if grime.cleaned_every.is_finite() {
                ((from + middle) / grime.cleaned_every).floor() * grime.cleaned_every
            } else {
                0.0
            };
            // x = a + (e − a)·v⁴ makes the root of dirt just after a cleaning smooth
            let value = |v: f64| {
                let x = a + (e - a) * v.powi(4);
                let output = flux * fading(lit + x - born) * grime.share(from + x, cleaned);
                shape(output) * 4.0 * v.powi(3) * (e - a)
            };
            sum += integrate(&value, 0.0, 1.0, 1e-12);
        }
        lit += to - from;
    }
    sum
}

fn moles(plan: &plan::Plan, option: usize) -> f64 {
    lived(plan, option, 61, 0).moles.iter().sum()
}

/// A way of fading: what is written, the curve and its kinks.
struct Curve {
    written: Value,
    fraction: Box<dyn Fn(f64) -> f64>,
    kinks: Vec<f64>,
}

const POINTS: [(f64, f64); 5] = [(0.0, 1.0), (100.0, 1.04), (3_000.0, 0.9), (5_000.0, 0.78), (6_000.0, 0.5)];

fn broken_line(b: f64) -> f64 {
    let last = POINTS.len() - 1;
    let k = (1..last).find(|&k| b < POINTS[k].0).unwrap_or(last);
    let ((from, high), (to, low)) = (POINTS[k - 1], POINTS[k]);
    (high + (low - high) * (b - from) / (to - from)).max(0.0)
}

/// Every form in which fading may be written. The rated life is `FOR_EVER` hours.
fn curves() -> Vec<Curve> {
    let smooth = |written: Value, fraction: Box<dyn Fn(f64) -> f64>| Curve { written, fraction, kinks: vec![] };
    // through (8 000 h, 0.78) and (20 000 h, 0.60): exp(−(b/τ)^c) with ln(−ln M) straight over ln b
    let c = (0.60f64.ln() / 0.78f64.ln()).ln() / 2.5f64.ln();
    let tau = 8_000.0 * (-0.78f64.ln()).powf(-1.0 / c);
    vec![
        smooth(json!({ "exponential": { "rate": 3e-5, "start": 1.0 } }), Box::new(|b: f64| (-3e-5 * b).exp())),
        smooth(
            json!({ "stretched": { "time_constant": 26_000, "power": 0.6 } }),
            Box::new(|b: f64| (-(b / 26_000.0).powf(0.6)).exp()),
        ),
        smooth(
            json!({ "stretched": { "time_constant": 9_000, "power": 1.7 } }),
            Box::new(|b: f64| (-(b / 9_000.0).powf(1.7)).exp()),
        ),
        smooth(
            json!({ "biexponential": { "fast_share": 0.15, "fast_rate": 2e-3, "slow_rate": 1e-5 } }),
            Box::new(|b: f64| 0.15 * (-2e-3 * b).exp() + 0.85 * (-1e-5 * b).exp()),
        ),
        Curve {
            // the cap lies at 5.5 × 700 h = 3 850 h; twice the rate beyond
            written: json!({ "projection": { "rate": 2e-5, "test_hours": 700, "units_tested": 12, "beyond": 2 } }),
            fraction: Box::new(|b: f64| (-2e-5 * (b.min(3_850.0) + 2.0 * (b - 3_850.0).max(0.0))).exp()),
            kinks: vec![3_850.0],
        },
        Curve {
            written: json!({ "table": POINTS.map(|(h, f)| json!({ "hours": h, "fraction": f })) }),
            fraction: Box::new(broken_line),
            kinks: POINTS.iter().map(|point| point.0).collect(),
        },
        smooth(
            json!({ "through": [{ "fraction": 0.9, "hours": 6_000 }] }),
            Box::new(|b: f64| 0.9f64.powf(b / 6_000.0)),
        ),
        smooth(
            json!({ "through": [{ "fraction": 0.78, "of_rated_life": 0.008 }, { "fraction": 0.60, "of_rated_life": 0.02 }] }),
            Box::new(move |b: f64| (-(b / tau).powf(c)).exp()),
        ),
    ]
}

/// An option of one lamp that never fails, relamped each so many hours.
fn kept(name: &str, curve: &Curve, every: f64, extra: Value) -> Value {
    let relamp = json!({ "group": { "every": every } });
    let fading = json!({ "maintenance": patched(json!({ "constant": null }), curve.written.clone()) });
    patched(patched(patched(lamped("x", FOR_EVER, FOR_EVER, relamp), fading), extra), json!({ "name": name }))
}

/// Compares each curve under dirt with quadrature.
fn under_dirt(grime: Grime, allowed: f64) {
    let every = 4_567.0;
    let days = grime.cleaned_every / 24.0;
    let mut extra = json!({ "dirt": {
        "lost_in_a_year": grime.lost, "power": grime.power, "optics_lost_in_a_year": grime.optics } });
    if days.is_finite() {
        extra["upkeep"] = json!({ "cleaning": { "every": days, "cost": 0 } });
    }
    let curves = curves();
    let options = curves.iter().enumerate().map(|(k, c)| kept(&format!("{k}"), c, every, extra.clone())).collect();
    let plan = plan(&crop(options));
    let burns = crop_burns();
    for (k, curve) in curves.iter().enumerate() {
        let expected = FLUX
            * MOL_PER_FLUX_HOUR
            * flux_hours(&burns, &curve.fraction, &curve.kinks, every, grime, &|output| output);
        assert_close(moles(&plan, k), expected, allowed, &format!("curve {k}: {}", curve.written));
    }
}

#[test]
fn every_curve_without_dirt() {
    under_dirt(CLEAN, 1e-9);
}

#[test]
fn every_curve_under_dirt_and_ageing_optics() {
    under_dirt(Grime { lost: 0.12, power: 1.0, optics: 0.02, cleaned_every: f64::INFINITY }, 1e-9);
}

#[test]
fn every_curve_under_dirt_that_slows_down_with_cleaning() {
    under_dirt(Grime { lost: 0.12, power: 0.69, optics: 0.01, cleaned_every: 24.0 * 45.3 }, 1e-9);
}

#[test]
fn every_curve_under_dirt_like_a_root_with_frequent_cleaning() {
    under_dirt(Grime { lost: 0.2, power: 0.5, optics: 0.0, cleaned_every: 24.0 * 30.0 }, 1e-9);
}

#[test]
fn every_curve_under_dirt_that_speeds_up_with_cleaning() {
    under_dirt(Grime { lost: 0.1, power: 1.5, optics: 0.03, cleaned_every: 24.0 * 91.7 }, 1e-9);
}

#[test]
fn warm_up_and_hot_starts_take_their_minutes() {
    // three burns a day, off for 1.5 h, 4.5 h and 4 h: a lamp that is hot for 80 min is cold at every start, one that is
    // hot for 100 min is hot at the second
    let curve = &curves()[0];
    let loss = |hot: u32| json!({ "start_loss": { "warm_up": 6, "re_strike": 9, "hot_for": hot } });
    let every = 4_567.0;
    let options = vec![
        kept("cold", curve, every, loss(80)),
        kept("hot", curve, every, loss(100)),
        kept("none", curve, every, json!({})),
    ];
    let plan = plan(&patched(
        with_options(options),
        json!({ "horizon_years": 3, "photoperiod": { "phases": [{ "name": "all", "days": 100, "lights": [
            { "on": "06:00", "off": "10:00" }, { "on": "11:30", "off": "15:30" }, { "on": "20:00", "off": "02:00" }] }] } }),
    ));
    // a burn's light, less its share of minutes; the last evening's burn would go on until 02:00, but the horizon ends at
    // midnight, and two thirds of the minutes are lost before it
    let (mut cold, mut hot, mut lit) = (0.0, 0.0, 0.0f64);
    for day in 0..DAYS {
        for (k, hours) in [4.0, 4.0, 6.0].into_iter().enumerate() {
            let until = lit + if k == 2 && day == DAYS - 1 { 4.0 } else { hours };
            let next = ((lit / every).floor() + 1.0) * every;
            let part = |a: f64, e: f64| {
                let born = (0.5 * (a + e) / every).floor() * every;
                integrate(&|u| (curve.fraction)(u - born), a, e, 1e-12)
            };
            let light = if next < until { part(lit, next) + part(next, until) } else { part(lit, until) };
            cold += light * (1.0 - 0.1 / hours);
            hot += light * (1.0 - if k == 1 { 0.25 } else { 0.1 } / hours);
            lit = until;
        }
    }
    let scale = FLUX * MOL_PER_FLUX_HOUR;
    assert_close(moles(&plan, 0), scale * cold, 1e-9, "warm-up");
    assert_close(moles(&plan, 1), scale * hot, 1e-9, "hot starts");
    assert!(moles(&plan, 2) > moles(&plan, 0) && moles(&plan, 0) > moles(&plan, 1));
}

#[test]
fn light_measured_on_a_used_and_dirty_fixture_is_that_of_a_new_one_dimmed() {
    let dirt = json!({ "dirt": { "lost_in_a_year": 0.15, "power": 0.8 }, "light": { "spill": 1.1 } });
    let measured = json!({ "light": { "lamp_hours": 2_500, "since_cleaning": 200 } });
    let curve = &curves()[1];
    let plan = plan(&crop(vec![
        kept("new", curve, FOR_EVER, dirt.clone()),
        kept("used", curve, FOR_EVER, patched(dirt, measured)),
    ]));
    let left = (curve.fraction)(2_500.0) * 0.85f64.powf((200.0 * 24.0 / YEAR).powf(0.8));
    assert_close(moles(&plan, 1) * left, moles(&plan, 0), 1e-12, "what was measured holds the fading until then");
}

#[test]
fn each_lamp_fades_at_its_own_pace() {
    // the pace enters through its moments alone: for exponential fading with rate α·p the flux-hours to u are
    // (1 − e^(−αpu))/(αp); over p = exp(σz − σ²/2) by quadrature over z
    let sd: f64 = 0.3;
    let sigma = (1.0 + sd * sd).ln().sqrt();
    let (rate, hours) = (4e-5, 26_304.0);
    let curve = json!({ "maintenance": { "constant": null, "exponential": { "rate": rate }, "lamp_to_lamp": sd },
        "fixtures": 400 });
    let round = json!({ "horizon_years": 3 });
    let plan = plan(&patched(with_options(vec![patched(crate::support::option("x"), curve)]), round));
    let density = |z: f64| (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let given = |z: f64| {
        let pace = (sigma * z - 0.5 * sigma * sigma).exp();
        -(-rate * pace * hours).exp_m1() / (rate * pace)
    };
    let mean = integrate(&|z| given(z) * density(z), -9.0, 9.0, 1e-9);
    let trials: Vec<f64> = (0..60)
        .map(|trial| lived(&plan, 0, 62, trial).moles.iter().sum::<f64>() / (400.0 * FLUX * MOL_PER_FLUX_HOUR))
        .collect();
    let (found, error) = super::statistics::mean_and_error(&trials);
    assert!(error < 1e-3 * mean, "± {error} does not bite");
    assert!((found - mean).abs() < super::statistics::ERRORS * error, "{found} ± {error} against {mean}");
    // a common pace would be told apart
    let common = -(-rate * hours).exp_m1() / rate;
    assert!((common - mean).abs() > 8.0 * error, "{common} and {mean} are too near");
}

/// Readings whose points reach a ceiling one after another, and their mean.
const READINGS: [[f64; 3]; 2] = [[640.0, 900.0, 700.0], [0.0, 810.0, 550.0]];

#[test]
fn useful_light_under_a_ceiling_is_that_of_every_point_capped() {
    let every = 4_567.0;
    let grime = Grime { lost: 0.1, power: 0.8, optics: 0.02, cleaned_every: 24.0 * 100.5 };
    let grid = json!({ "light": { "mean": null, "grid": {
        "readings": READINGS, "points": "cell_centred", "area": 1.8, "height": 1 } },
        "dirt": { "lost_in_a_year": grime.lost, "power": grime.power, "optics_lost_in_a_year": grime.optics },
        "upkeep": { "cleaning": { "every": 100.5, "cost": 0 } } });
    let curves = curves();
    let options: Vec<Value> =
        curves.iter().enumerate().map(|(k, c)| kept(&format!("{k}"), c, every, grid.clone())).collect();
    for ceiling in [300.0, 600.0, 880.0] {
        let plan = plan(&patched(crop(options.clone()), json!({ "canopy": { "ppfd_ceiling": ceiling } })));
        for (k, curve) in curves.iter().enumerate() {
            let ledger = lived(&plan, k, 61, 0);
            let points: Vec<f64> = READINGS.concat();
            let capped =
                |output: f64| points.iter().map(|ppfd| (ppfd * output).min(ceiling)).sum::<f64>() / points.len() as f64;
            let all = |output: f64| output * points.iter().sum::<f64>() / points.len() as f64;
            let burns = crop_burns();
            let sum = |shape: &dyn Fn(f64) -> f64| {
                1.8 * MOL_PER_FLUX_HOUR * flux_hours(&burns, &curve.fraction, &curve.kinks, every, grime, shape)
            };
            let what = format!("curve {k}, ceiling {ceiling}");
            assert_close(ledger.moles.iter().sum(), sum(&all), 1e-8, &format!("{what}, all"));
            // Simpson's rule halves its steps where a point leaves the ceiling
            assert_close(ledger.useful_moles.iter().sum(), sum(&capped), 1e-8, &format!("{what}, useful"));
        }
    }
}

#[test]
fn an_even_light_is_useful_up_to_the_ceiling() {
    // 1 000 of new light on the bench, or 1 200 µmol/s at 0.8 of two fixtures on 1.6 m²: 1 200 each; it fades and passes
    // the ceiling on its way
    let rate = 3e-5;
    let fading =
        json!({ "maintenance": { "constant": null, "exponential": { "rate": rate } }, "lamps_per_fixture": 2 });
    let ppf =
        json!({ "light": { "mean": null, "ppf": { "ppf": 1200, "utilisation": 0.8 } }, "fixtures": 2, "name": "ppf" });
    let room = json!({ "horizon_years": 3, "canopy": { "area": 1.6, "ppfd_ceiling": 700 } });
    let bars = patched(crate::support::option("mean"), fading);
    let plan = plan(&patched(with_options(vec![bars.clone(), patched(bars, ppf)]), room));
    let hours = 24.0 * f64::from(DAYS);
    for (option, ppfd, flux) in [(0, 1_000.0, 1_000.0), (1, 1_200.0, 1_920.0)] {
        let at = -(700.0f64 / ppfd).ln() / rate;
        assert!(at < hours);
        let useful = at * 700.0 / ppfd + (700.0 / ppfd - (-rate * hours).exp()) / rate;
        let ledger = lived(&plan, option, 61, 0);
        assert_close(ledger.useful_moles.iter().sum(), MOL_PER_FLUX_HOUR * flux * useful, 1e-9, "useful");
    }
}
