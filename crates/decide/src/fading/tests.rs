use records::{LampReadings, Reading};

use super::*;

/// Lamps on one exponential, each read so often up to 8 000 h.
fn readings(lamps: usize, times: usize) -> Readings {
    let lamp = |k: usize| {
        let reading = |j: usize| {
            let burn_h = 8_000.0 * j as f64 / (times - 1) as f64;
            let light = (500.0 + 10.0 * k as f64) * (-2e-5 * burn_h).exp();
            Reading { burn_h, light, is_left_out: false, line: (k * times + j) as u64 }
        };
        LampReadings { lamp: format!("{k}"), readings: (0..times).map(reading).collect() }
    };
    Readings { lamps: (0..lamps).map(lamp).collect(), about: 0 }
}

#[test]
fn very_many_readings_are_put_together_and_say_the_same() {
    let taken = Taken::new(&readings(3, 9_000));
    assert!(taken.is_merged && taken.lamps.iter().all(|lamp| lamp.len() == 2_000), "{}", taken.lamps[0].len());
    let weights: f64 = taken.lamps[0].iter().map(|reading| reading.weight).sum();
    assert_eq!(weights, 9_000.0);
    let found = fade(Form::Exponential, &taken.lamps).unwrap();
    assert!((found.curve.share(5_000.0) - (-0.1f64).exp()).abs() < 1e-9);
    assert!(!Taken::new(&readings(3, 90)).is_merged);
}

#[test]
fn means_are_those_of_lamps_read_together() {
    let taken = Taken::new(&readings(3, 5));
    let fit = fade(Form::Exponential, &taken.lamps).unwrap();
    let means = taken.means(&fit);
    assert_eq!(means.iter().map(|mean| mean.burn_h).collect::<Vec<_>>(), [0.0, 2_000.0, 4_000.0, 6_000.0, 8_000.0]);
    assert!(means.iter().all(|mean| mean.lamps == 3 && (mean.share - (-2e-5 * mean.burn_h).exp()).abs() < 1e-9));
    // one lamp alone has no mean
    let one = Taken::new(&readings(1, 5));
    assert!(one.means(&fade(Form::Exponential, &one.lamps).unwrap()).is_empty());
}

#[test]
fn what_is_left_out_is_shown_and_not_fitted() {
    let mut record = readings(3, 6);
    record.lamps[1].readings[2].is_left_out = true;
    record.lamps[1].readings[2].light = 1.0;
    record.lamps[2].readings.truncate(1);
    let taken = Taken::new(&record);
    let fit = fade(Form::Exponential, &taken.lamps).unwrap();
    assert!((fit.curve.share(5_000.0) - (-0.1f64).exp()).abs() < 1e-9);
    let points = taken.points(&record, &fit);
    assert_eq!(points.len(), 13);
    let out: Vec<&Point> = points.iter().filter(|point| point.fate == Fate::LeftOut).collect();
    assert_eq!(
        out.iter().map(|point| (point.lamp, point.share.is_some())).collect::<Vec<_>>(),
        [(1, true), (2, false)]
    );
    assert_eq!(taken.lamps_told(&record, &fit).iter().map(|lamp| lamp.fitted).collect::<Vec<_>>(), [6, 5, 0]);
}

#[test]
fn a_lamp_of_its_own_pace_has_a_level_of_its_own() {
    // without noise the share left is that of the last reading over the first
    let mut record = readings(6, 9);
    for (k, lamp) in record.lamps.iter_mut().enumerate() {
        for reading in &mut lamp.readings {
            reading.light = 500.0 * (-2e-5 * (0.5 + 0.3 * k as f64) * reading.burn_h).exp();
        }
        // a trace of noise, by which lamps are told apart
        lamp.readings[3 + k % 4].light *= 1.0 + 1e-5;
    }
    let taken = Taken::new(&record);
    let fit = fade(Form::Exponential, &taken.lamps).unwrap();
    for (told, lamp) in taken.lamps_told(&record, &fit).iter().zip(&record.lamps) {
        let read = lamp.readings[8].light / lamp.readings[0].light;
        assert!((told.last_share.unwrap() - read).abs() < 1e-4, "{}: {:?}, read {read}", told.name, told.last_share);
    }
    let points = taken.points(&record, &fit);
    assert!(points.iter().filter(|point| point.burn_h == 0.0).all(|point| (point.share.unwrap() - 1.0).abs() < 1e-4));
}

#[test]
fn what_sticks_out_is_in_no_mean() {
    let mut record = readings(3, 9);
    record.lamps[1].readings[4].light *= 0.8;
    let mut taken = Taken::new(&record);
    let fit = fade(Form::Exponential, &taken.lamps).unwrap();
    let found = outliers(&taken.lamps, &fit.fit.curve);
    assert_eq!(found.len(), 1);
    taken.mark(&found, false);
    let means = taken.means(&fit);
    let counted: Vec<u64> = means.iter().map(|mean| mean.lamps).collect();
    assert_eq!(counted, [3, 3, 3, 3, 2, 3, 3, 3, 3]);
}

#[test]
fn light_at_0_h_that_nobody_saw_and_units_that_do_not_count_are_said() {
    let mut record = readings(20, 9);
    record.lamps[6].readings.remove(4);
    let taken = Taken::new(&record);
    assert_eq!(taken.not_from_new(), None);
    let (told, led) = led_told(&taken.lamps);
    assert_eq!((told.none, told.cap_h), (None, Some(44_000.0)));
    assert!(told.to_shares.iter().all(|to| to.beyond_cap == (to.hours.unwrap() > 44_000.0)));
    assert_eq!(
        taken.missed(&record, &led.unwrap()).unwrap(),
        "Not read at every time and left out by the method for tests of LEDs, with all their readings: 6; 19 units count; it speaks \
         up to 5.5 times the test instead of up to 6 times the test"
    );
    record.lamps.iter_mut().for_each(|lamp| {
        lamp.readings.remove(0);
    });
    let taken = Taken::new(&record);
    assert!(taken.not_from_new().unwrap().starts_with("NO LAMP WAS READ BEFORE 1000 h: "));
    let (told, _) = led_told(&taken.lamps);
    assert!(
        told.none
            .unwrap()
            .ends_with("the first readings are at 1000 h; B and hours to a share would be of the light then")
    );
    assert!(told.cap_h.is_none() && told.to_shares.iter().all(|to| to.beyond_cap));
}
