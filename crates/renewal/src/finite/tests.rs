//! Closed forms, limits, and another method: steps on a grid.

use super::*;

/// Closures of lives and lights, with scale 1.
struct Sample {
    survival: Box<dyn Fn(f64) -> f64>,
    kinks: Vec<f64>,
}

impl Sample {
    fn weibull(shape: f64) -> Self {
        Self { survival: Box::new(move |x| (-x.powf(shape)).exp()), kinks: vec![] }
    }

    fn lamp(&self) -> Lamp<'_> {
        Lamp { survival: &*self.survival, light: &faded, survival_kinks: &self.kinks, light_kinks: &[0.5, 1.3, 2.0] }
    }
}

fn faded(age: f64) -> f64 {
    if age < 0.5 { 1.0 - 0.2 * age } else { 0.9 * (0.5 - age).exp() }
}

fn samples() -> Vec<Sample> {
    let mut all: Vec<Sample> = [0.5, 0.8, 1.0, 1.5, 2.0, 3.0, 5.0, 12.0].map(Sample::weibull).into();
    // early failures within 0.2 on top of wear-out, a table, and a uniform life
    let early = |x: f64| (1.0 - 0.1 * (x / 0.2).min(1.0)) * (-x.powi(3)).exp();
    all.push(Sample { survival: Box::new(early), kinks: vec![0.2] });
    let table = |x: f64| if x < 0.7 { 1.0 - x / 7.0 } else { (0.9 - 2.0 * (x - 0.7)).max(0.0) };
    all.push(Sample { survival: Box::new(table), kinks: vec![0.7, 1.15] });
    all.push(Sample { survival: Box::new(|x| (1.0 - x).max(0.0)), kinks: vec![1.0] });
    // nobody dies before 0.3
    all.push(Sample { survival: Box::new(|x| (-(x - 0.3).max(0.0).powf(1.5)).exp()), kinks: vec![0.3] });
    all
}

const POINTS: [f64; 9] = [0.0, 0.05, 0.31, 0.6, 0.9, 1.0, 2.2, 4.99, 5.0];

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9 * b.abs().max(0.1)
}

#[test]
fn a_socket_whose_lamps_are_replaced_at_once_is_always_lit() {
    for (index, sample) in samples().iter().enumerate() {
        for first_age in [0.0, 0.25] {
            let group = Policy::Group { dates: vec![0.4, 1.9, 3.3], spot_between: true };
            for policy in [
                Policy::OnFailure,
                group,
                Policy::ByAge { at: 0.6 },
                Policy::ByAge { at: 1.7 },
                Policy::ByAge { at: 0.26 },
            ] {
                let expected = expect(&sample.lamp(), first_age, &policy, 5.0, &POINTS).unwrap();
                for (t, at) in POINTS.into_iter().zip(expected) {
                    assert!(close(at.lit_hours, t), "{index}, {policy:?}, {first_age}: {at:?} at {t}");
                }
            }
        }
    }
}

#[test]
fn late_plans_change_nothing() {
    for sample in samples() {
        for first_age in [0.0, 0.25] {
            let of = |policy| expect(&sample.lamp(), first_age, &policy, 5.0, &POINTS).unwrap();
            let free = of(Policy::OnFailure);
            let group = of(Policy::Group { dates: vec![5.0, 7.0], spot_between: true });
            for (group, free) in group.iter().zip(&free) {
                assert_eq!(group, free);
            }
            let aged = of(Policy::ByAge { at: 5.3 });
            for (aged, free) in aged.iter().zip(&free) {
                assert!(close(aged.failures + aged.planned, free.failures) && close(aged.flux_hours, free.flux_hours));
            }
        }
    }
}

#[test]
fn exponential_lives_fail_at_their_rate_whatever_the_plan() {
    let sample = Sample::weibull(1.0);
    let lamp = Lamp { light: &|x| (-0.5 * x).exp(), light_kinks: &[], ..sample.lamp() };
    // planned replacements at T: P(t) = e^(−T)·(1 + (t − T) + P(t − T)) from T on
    fn planned(t: f64, at: f64) -> f64 {
        if t < at { 0.0 } else { (-at).exp() * (1.0 + (t - at) + planned(t - at, at)) }
    }
    for (t, found) in POINTS.iter().zip(expect(&lamp, 0.0, &Policy::ByAge { at: 0.6 }, 5.1, &POINTS).unwrap()) {
        assert!(close(found.failures, *t) && close(found.planned, planned(*t, 0.6)), "{t}: {found:?}");
    }
    // the light of a socket at u hours into a cycle is (1 + 0.5·e^(−1.5u))/1.5
    let light = |t: f64| (t - (-1.5 * t).exp_m1() / 3.0) / 1.5;
    let group = Policy::Group { dates: vec![2.0, 4.0], spot_between: true };
    let found = expect(&lamp, 0.0, &group, 4.0, &[1.0, 2.0, 3.0, 4.0]).unwrap();
    assert_eq!(found.iter().map(|found| found.planned).collect::<Vec<_>>(), [0.0, 1.0, 1.0, 1.0]);
    assert!(close(found[1].flux_hours, light(2.0)) && close(found[2].flux_hours, light(2.0) + light(1.0)));
    assert!(close(found[3].failures, 4.0));
    // without spot replacement, first lamp as good as new at any age but for its light
    let dark = Policy::Group { dates: vec![2.0], spot_between: false };
    let found = expect(&lamp, 1.0, &dark, 4.0, &[2.0, 4.0]).unwrap();
    let lit = 1.0 - (-2.0f64).exp();
    let flux = -(-3.0f64).exp_m1() / 1.5;
    assert!(close(found[0].failures, lit) && close(found[0].lit_hours, lit));
    assert!(close(found[0].flux_hours, flux * (-0.5f64).exp()));
    assert!(close(found[1].flux_hours - found[0].flux_hours, flux));
}

#[test]
fn light_that_fades_like_a_root_at_first_is_added_up() {
    let sample = Sample::weibull(1.0);
    let lamp = Lamp { light: &|x| (-x.sqrt()).exp(), light_kinks: &[], ..sample.lamp() };
    // exponential lives of rate 1: G(t) + ∫₀ᵗ G, with G = ∫ e^(−x − √x) dx, here by steps
    let light = Light::new(&lamp, 3.0);
    let steps = 100_000;
    let step = 3.0 / f64::from(steps);
    let sum: f64 = (0..steps).map(|n| step * light.flux.up_to((f64::from(n) + 0.5) * step)).sum();
    let found = expect(&lamp, 0.0, &Policy::OnFailure, 3.0, &[3.0]).unwrap()[0];
    assert!(close(found.flux_hours, light.flux.total + sum), "{found:?}");
}

/// Replacement by age on a grid of steps, lives rounded to the nearest: (failures, planned, flux-hours) at the horizon.
fn stepwise(lamp: &Lamp, first_age: f64, at: f64, horizon: f64, steps: usize) -> [f64; 3] {
    let step = horizon / steps as f64;
    let ends = |age: f64| {
        let length = ((at - age) / step).round() as usize;
        let alive = move |t: f64| (lamp.survival)(age + t.max(0.0)) / (lamp.survival)(age);
        let bound = move |k: usize| ((k as f64 + 0.5) * step).min(at - age);
        (length, move |k: usize| alive(if k == 0 { 0.0 } else { bound(k - 1) }) - alive(bound(k)), alive(at - age))
    };
    let (first, fresh) = (ends(first_age), ends(0.0));
    // new lamps at each step
    let mut put_in = vec![0.0; steps + 1];
    let fresh_ends: Vec<f64> = (0..=fresh.0.min(steps)).map(&fresh.1).collect();
    let (mut failures, mut planned) = (0.0, 0.0);
    for n in 0..=steps {
        let mut failed = if n <= first.0 { (first.1)(n) } else { 0.0 };
        // a life that rounds to no step at all fails in the same step
        failed += (0..n).filter(|&m| n - m < fresh_ends.len()).map(|m| put_in[m] * fresh_ends[n - m]).sum::<f64>();
        let mut aged = if n == first.0 { first.2 } else { 0.0 };
        aged += if n >= fresh.0 { put_in[n - fresh.0] * fresh.2 } else { 0.0 };
        let all = (failed + aged) / (1.0 - fresh_ends[0]);
        put_in[n] = all;
        let half = if n == steps { 0.5 } else { 1.0 };
        failures += half * (all - aged);
        planned += half * aged;
    }
    let light = Light::new(lamp, 10.0);
    let reach = (lamp.survival)(first_age);
    let mut flux = rest(&light.flux, first_age, reach, horizon.min(at - first_age));
    for (n, share) in put_in.iter().enumerate() {
        flux += share * light.flux.up_to((horizon - n as f64 * step).min(at));
    }
    [failures, planned, flux]
}

#[test]
fn replacement_by_age_agrees_with_steps_on_a_grid() {
    for (index, sample) in samples().iter().enumerate() {
        let lamp = sample.lamp();
        for (first_age, at) in [(0.0, 0.6), (0.2, 0.6), (0.2, 1.4)] {
            // the horizon is no time at which lamps reach their age
            let horizon = 2.7;
            let found = expect(&lamp, first_age, &Policy::ByAge { at }, horizon, &[horizon]).unwrap()[0];
            let [coarse, fine] = [1350, 2700].map(|steps| stepwise(&lamp, first_age, at, horizon, steps));
            for (k, found) in [found.failures, found.planned, found.flux_hours].into_iter().enumerate() {
                let better = (4.0 * fine[k] - coarse[k]) / 3.0;
                let allowed = 3e-6 + 0.4 * (fine[k] - coarse[k]).abs();
                assert!((found - better).abs() < allowed, "{index} {first_age} {at}: {found} and {fine:?} {coarse:?}");
            }
        }
    }
}

#[test]
fn at_the_horizon_nothing_is_planned_and_faults_are_told() {
    let sample = Sample::weibull(3.0);
    let lamp = sample.lamp();
    let of = |age, policy, points: &[f64]| expect(&lamp, age, &policy, 2.0, points);
    let aged = of(0.0, Policy::ByAge { at: 1.0 }, &[1.0, 2.0]).unwrap();
    assert!(close(aged[0].planned, (-1.0f64).exp()), "due at 1, done");
    let all = expect(&lamp, 0.0, &Policy::ByAge { at: 1.0 }, 2.1, &[2.0]).unwrap()[0];
    assert!(close(all.planned - aged[1].planned, (-2.0f64).exp()) && close(all.failures, aged[1].failures));
    let group = |dates: &[f64]| Policy::Group { dates: dates.to_vec(), spot_between: false };
    assert_eq!(of(0.0, group(&[1.0, 2.0]), &[2.0]).unwrap()[0].planned, 1.0);
    assert!(of(0.0, group(&[1.0, 1.0]), &[2.0]).is_err());
    assert!(of(0.0, group(&[f64::NAN]), &[2.0]).is_err());
    assert!(of(0.0, Policy::OnFailure, &[2.1]).is_err());
    assert!(of(f64::NAN, Policy::OnFailure, &[2.0]).is_err());
    assert!(of(1.0, Policy::ByAge { at: 1.0 }, &[2.0]).is_err());
    assert!(of(30.0, group(&[1.0]), &[2.0]).is_err());
    let told = of(0.0, Policy::ByAge { at: -1.0 }, &[2.0]).unwrap_err().to_string();
    assert_eq!(told, "the age of replacement is -1; allowed: above 0, finite");
    let unsorted = Lamp { light_kinks: &[2.0, 1.0], ..lamp };
    assert!(expect(&unsorted, 0.0, &Policy::OnFailure, 1.0, &[]).is_err());
    let dim = Lamp { light: &|_| -1.0, ..lamp };
    assert!(matches!(expect(&dim, 0.0, &Policy::OnFailure, 1.0, &[]), Err(Fault::Light { .. })));
}
