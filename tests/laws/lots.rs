//! Lamps drawn for sockets: every socket once, counts exact, and the lot is fair.

use std::collections::BTreeSet;

use decide::assign::{AssignOrder, WantedLamp, assign};
use decide::assign_report::AssignReport;

fn order(names: &[&str], (sockets, places): (usize, usize), of_each: Option<&[usize]>, seed: u64) -> AssignOrder {
    AssignOrder {
        title: String::new(),
        lamps: names.iter().map(|name| WantedLamp { name: (*name).into(), price: None }).collect(),
        of_each: of_each.map(<[usize]>::to_vec),
        sockets,
        places,
        seed,
        from: None,
        is_blind: false,
        currency: None,
        cautions: vec![],
        remarks: vec![],
    }
}

fn drawn(names: &[&str], room: (usize, usize), of_each: Option<&[usize]>, seed: u64) -> AssignReport {
    assign(&order(names, room, of_each, seed), "test").unwrap().report
}

fn lamps(report: &AssignReport) -> Vec<Option<usize>> {
    report.sockets.iter().map(|socket| socket.lamp).collect()
}

#[test]
fn every_socket_is_filled_once_and_every_lamp_is_used() {
    for (room, counts) in
        [((24, 6), vec![12, 12]), ((23, 5), vec![8, 8, 7]), ((24, 6), vec![5, 6]), ((100, 1), vec![50, 50])]
    {
        let names = &["A", "B", "C"][..counts.len()];
        for seed in 0..40 {
            let report = drawn(names, room, Some(&counts), seed);
            let numbers: Vec<usize> = report.sockets.iter().map(|socket| socket.socket).collect();
            assert_eq!(numbers, (1..=room.0).collect::<Vec<_>>());
            for (kind, count) in counts.iter().enumerate() {
                assert_eq!(lamps(&report).iter().filter(|lamp| **lamp == Some(kind)).count(), *count);
            }
            let spots: BTreeSet<(usize, usize)> =
                report.sockets.iter().map(|socket| (socket.row, socket.place)).collect();
            assert_eq!(spots.len(), room.0);
        }
    }
}

#[test]
fn counts_of_a_row_differ_by_one_at_most_and_not_at_all_where_they_divide() {
    let widest = |report: &AssignReport, row: usize| {
        let counts: Vec<usize> = report.by_lot.lamps.iter().map(|lamp| lamp.by_row[row]).collect();
        counts.iter().max().unwrap() - counts.iter().min().unwrap()
    };
    for seed in 0..60 {
        let even = drawn(&["A", "B", "C"], (24, 6), None, seed);
        assert!((0..4).all(|row| widest(&even, row) == 0));
        let odd = drawn(&["A", "B"], (35, 7), None, seed);
        assert!((0..5).all(|row| widest(&odd, row) == 1));
        // the ends of five rows: ten sockets, as even as can be
        let ends: Vec<usize> = odd.by_lot.lamps.iter().map(|lamp| lamp.ends).collect();
        assert!(ends.iter().max().unwrap() - ends.iter().min().unwrap() <= 2, "{ends:?}");
    }
}

#[test]
fn a_seed_is_a_plan_and_a_name_is_only_a_name() {
    let plan = |names: &[&str], seed| lamps(&drawn(names, (24, 6), None, seed));
    assert_eq!(plan(&["A", "B"], 7), plan(&["A", "B"], 7));
    assert_eq!(plan(&["A", "B"], 7), plan(&["quite another lamp", "B"], 7));
    let different: BTreeSet<Vec<Option<usize>>> = (0..200).map(|seed| plan(&["A", "B"], seed)).collect();
    // of 20 736 plans and more, two of two hundred seldom agree
    assert!(different.len() >= 190, "{}", different.len());
}

#[test]
fn over_many_seeds_every_socket_gets_every_lamp_as_often_as_its_share() {
    const SEEDS: u64 = 3_000;
    // 30.7 is the point of chi-square with 2 degrees of freedom beyond which 2 in 10 million lie: 23 sockets, 3 rooms
    const FAR: f64 = 30.7;
    for (room, counts) in [((24, 6), [12, 12, 0]), ((23, 5), [8, 8, 7]), ((17, 6), [3, 5, 9])] {
        let kinds = counts.iter().filter(|count| **count > 0).count();
        let mut seen = vec![[0.0f64; 3]; room.0];
        for seed in 0..SEEDS {
            let report = drawn(&["A", "B", "C"][..kinds], room, Some(&counts[..kinds]), seed);
            for (socket, lamp) in lamps(&report).into_iter().enumerate() {
                seen[socket][lamp.unwrap()] += 1.0;
            }
        }
        for (socket, seen) in seen.iter().enumerate() {
            let distance: f64 = seen
                .iter()
                .zip(counts)
                .filter(|(_, count)| *count > 0)
                .map(|(seen, count)| {
                    let expected = SEEDS as f64 * count as f64 / room.0 as f64;
                    (seen - expected).powi(2) / expected
                })
                .sum();
            assert!(distance < FAR, "socket {socket} of {room:?}: {seen:?}, {distance}");
        }
    }
}

#[test]
fn a_surplus_goes_to_every_kind_alike() {
    let mut favoured = [0.0f64; 3];
    for seed in 0..900 {
        for (kind, lamp) in drawn(&["A", "B", "C"], (25, 5), None, seed).lamps.iter().enumerate() {
            assert!(lamp.count == 8 || lamp.count == 9);
            favoured[kind] += f64::from(u8::from(lamp.count == 9));
        }
    }
    let distance: f64 = favoured.iter().map(|count| (count - 300.0).powi(2) / 300.0).sum();
    assert!(distance < 18.4, "{favoured:?}");
}
