//! Rows made from rates that are known beforehand, and laws that hold for any row.

use super::InternalRates;
use crate::factors::Booking;
use crate::flows::Flows;

/// Yearly amounts Π(−1 + (1 + r)·v) in powers of v = 1/(1 + rate), multiplied out: worth nothing at just these rates.
fn from_rates(rates: &[f64]) -> Vec<f64> {
    rates.iter().fold(vec![1.0], |row, rate| {
        let shifted = |place: usize| if place == 0 { 0.0 } else { row[place - 1] * (1.0 + rate) };
        (0..=row.len()).map(|place| shifted(place) - row.get(place).unwrap_or(&0.0)).collect()
    })
}

fn yearly(amounts: &[f64]) -> Flows {
    Flows::of_periods(amounts[0], &amounts[1..], Booking::End, 1.0).unwrap()
}

fn rates(of: &Flows) -> Vec<f64> {
    of.internal_rates().unwrap().rates().iter().map(|rate| rate.rate).collect()
}

#[track_caller]
fn assert_rates(found: &[f64], expected: &[f64], off: f64) {
    assert_eq!(found.len(), expected.len(), "{found:?} against {expected:?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!((found - expected).abs() <= off * (1.0 + expected), "{found} against {expected}");
    }
}

/// Numbers from 0 to 1 that look like chance, from Lehmer's generator.
fn chance(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed * 2 + 1;
    move || {
        state = state * 48_271 % 2_147_483_647;
        state as f64 / 2_147_483_647.0
    }
}

#[test]
fn rates_that_are_built_in_are_found_each_once() {
    let built: [&[f64]; 7] = [
        &[0.1],
        &[0.1, 0.2, 0.4],
        &[-0.5, -0.1, 0.0, 0.05, 0.3, 2.0],
        &[-0.999, 1000.0],
        &[0.1, 0.1001],
        &[0.01, 0.02, 0.03, 0.04],
        &[1e6, 1e9],
    ];
    for built in built {
        let row = yearly(&from_rates(built));
        assert_rates(&rates(&row), built, 1e-8);
        assert_eq!(row.sign_changes(), built.len());
        assert!(row.internal_rates().unwrap().rates().iter().all(|rate| !rate.touches), "{built:?}");
    }
}

#[test]
fn a_rate_at_which_the_worth_only_touches_zero_is_not_lost() {
    for (built, expected) in [
        (vec![0.2, 0.2], vec![(0.2, true)]),
        (vec![0.05, 0.2, 0.2], vec![(0.05, false), (0.2, true)]),
        (vec![0.1, 0.1, 0.3, 0.3], vec![(0.1, true), (0.3, true)]),
        (vec![-0.4, 0.1, 0.1, 0.5], vec![(-0.4, false), (0.1, true), (0.5, false)]),
    ] {
        let found = yearly(&from_rates(&built)).internal_rates().unwrap();
        let found: Vec<(f64, bool)> = found.rates().iter().map(|rate| (rate.rate, rate.touches)).collect();
        assert_eq!(found.len(), expected.len(), "{built:?}: {found:?}");
        for (found, expected) in found.iter().zip(&expected) {
            assert!((found.0 - expected.0).abs() < 1e-6 && found.1 == expected.1, "{built:?}: {found:?}");
        }
    }
    // threefold it crosses; the rate is then good to the cube root of rounding
    let found = yearly(&from_rates(&[0.1, 0.1, 0.1])).internal_rates().unwrap();
    let InternalRates::One { rate, sign_changes: 3 } = found else { panic!("{found:?}") };
    assert!((rate.rate - 0.1).abs() < 1e-4 && !rate.touches, "{rate:?}");
}

#[test]
fn rows_with_one_rate_or_none_say_so() {
    for none in [&[0.0, 0.0][..], &[0.0], &[-1.0, -2.0], &[0.0, 3.0, 0.0, 4.0]] {
        assert_eq!(yearly(none).internal_rates().unwrap(), InternalRates::NoSignChange, "{none:?}");
    }
    assert_eq!(Flows::dated(&[]).unwrap().internal_rates().unwrap(), InternalRates::NoSignChange);
    // 1 − 2v + 2v² is above 0 everywhere
    assert_eq!(yearly(&[1.0, -2.0, 2.0]).internal_rates().unwrap(), InternalRates::None { sign_changes: 2 });
    // −10 + 3v − v² + 20v³ rises all the way, as its slope 3 − 2v + 60v² has no root: three sign changes, one rate
    let found = yearly(&[-10.0, 3.0, -1.0, 20.0]).internal_rates().unwrap();
    assert!(matches!(found, InternalRates::One { sign_changes: 3, .. }), "{found:?}");
    // zeros at the start, between and at the end change nothing
    let row = yearly(&[0.0, 0.0, -100.0, 0.0, 121.0, 0.0]);
    assert_rates(&rates(&row), &[0.1], 1e-14);
}

#[test]
fn monthly_rows_give_effective_yearly_rates() {
    // 1 a month for ever so long is worth (1 − (1 + i)⁻ⁿ)/i at the start, with 1.0125 a month
    for months in [60, 360, 720] {
        let monthly: f64 = 0.0125;
        let worth = (1.0 - (1.0 + monthly).powi(-months)) / monthly;
        let row = Flows::of_periods(-worth, &vec![1.0; months as usize], Booking::End, 12.0).unwrap();
        assert_rates(&rates(&row), &[(1.0 + monthly).powi(12) - 1.0], 1e-12);
        // counted half a month earlier, the same worth asks for (1 + i)^½ more at the start
        let earlier = worth * (1.0 + monthly).sqrt();
        let row = Flows::of_periods(-earlier, &vec![1.0; months as usize], Booking::Middle, 12.0).unwrap();
        assert_rates(&rates(&row), &[(1.0 + monthly).powi(12) - 1.0], 1e-12);
    }
}

#[test]
fn dated_rows_off_any_grid_are_solved_too() {
    // worth nothing at 10 % and 50 %: three amounts at moments 0, a, b, the first two solved for
    let (a, b) = (2.0f64.sqrt(), 10.0f64.sqrt());
    let worth = |rate: f64, moment: f64| (1.0 + rate).powf(-moment);
    let [low, high] = [0.1, 0.5].map(|rate| (worth(rate, a), worth(rate, b)));
    let second = -(low.1 - high.1) / (low.0 - high.0);
    let row = Flows::dated(&[(b, 1.0), (a, second), (0.0, -second * low.0 - low.1)]).unwrap();
    assert_rates(&rates(&row), &[0.1, 0.5], 1e-12);
}

/// A row of some periods with as many sign changes as chance will have.
fn any_row(seed: u64) -> Vec<f64> {
    let mut chance = chance(seed);
    let length = 2 + (chance() * 118.0) as usize;
    let often = chance();
    let mut amounts = vec![-1000.0 * chance()];
    amounts.extend((0..length).map(|_| if chance() < often { 200.0 * (chance() - 0.5) } else { 10.0 * chance() }));
    amounts
}

#[test]
fn at_every_rate_the_worth_is_nothing_and_none_is_missing() {
    for seed in 1..300 {
        let amounts = any_row(seed);
        let row = Flows::of_periods(amounts[0], &amounts[1..], Booking::Middle, 2.0).unwrap();
        let found = row.internal_rates().unwrap();
        for rate in found.rates() {
            let worths = row.rows().iter().map(|(moment, amount)| amount * (1.0 + rate.rate).powf(-moment));
            let (sum, size) = worths.fold((0.0, 0.0), |(sum, size), worth| (sum + worth, size + f64::abs(worth)));
            assert!(f64::abs(sum) <= 1e-11 * size, "seed {seed}: {sum} of {size} at {rate:?}");
        }
        // Descartes: as many as sign changes, or fewer by an even number
        let counted: usize = found.rates().iter().map(|rate| if rate.touches { 2 } else { 1 }).sum();
        assert!(
            counted <= row.sign_changes() && (row.sign_changes() - counted).is_multiple_of(2),
            "seed {seed}: {found:?}"
        );
        // walking along rates, the worth changes sign just where a rate was found
        let steps = (-330..400).map(|step| (f64::from(step) / 100.0).exp() - 1.0 + 1e-7);
        let profile: Vec<(f64, f64)> = steps.map(|rate| (rate, row.present_value(rate).unwrap())).collect();
        for pair in profile.windows(2) {
            let inside = found.rates().iter().filter(|rate| rate.rate > pair[0].0 && rate.rate <= pair[1].0).count();
            let changes = (pair[0].1 > 0.0) != (pair[1].1 > 0.0);
            assert!(!changes || !inside.is_multiple_of(2), "seed {seed}: between {} and {}", pair[0].0, pair[1].0);
        }
    }
}

#[test]
fn neither_size_nor_sign_of_all_amounts_moves_a_rate() {
    for seed in 1..100 {
        let amounts = any_row(seed);
        let of = |factor: f64| {
            let amounts: Vec<f64> = amounts.iter().map(|amount| amount * factor).collect();
            Flows::of_periods(amounts[0], &amounts[1..], Booking::End, 12.0).unwrap()
        };
        let plain = rates(&of(1.0));
        for factor in [-1.0, 1e-3, 1e9, -1e80, 1e-200] {
            assert_rates(&rates(&of(factor)), &plain, 1e-9);
        }
    }
}

#[test]
fn a_row_that_would_take_too_long_is_refused() {
    let amounts: Vec<f64> = (0..5000).map(|month| if month % 2 == 0 { -1.0 } else { 1.5 }).collect();
    let row = Flows::of_periods(0.0, &amounts, Booking::End, 12.0).unwrap();
    let fault = row.internal_rates().unwrap_err();
    assert_eq!(fault.allowed, "2 000 000 at most");
    // while sixty years of months that change every month are answered
    let row = Flows::of_periods(-100.0, &amounts[..720], Booking::End, 12.0).unwrap();
    assert_eq!(row.internal_rates().unwrap().sign_changes(), 719);
}
