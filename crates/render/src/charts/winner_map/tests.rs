//! What the picture of a map must keep to.

use super::*;
use crate::sample::map as sample;

fn drawn(report: &MapReport) -> String {
    winner_map(report).unwrap().replace('\u{202f}', " ")
}

#[test]
fn regions_amounts_and_the_scenario_are_named_on_the_picture() {
    let svg = drawn(&sample::realistic());
    for needed in [
        ">\nyou are here\n<",
        ">\n2000 USD\n<",
        "real USD: what a delivered mole costs",
        "price of electricity, USD/kWh (logarithmic) →",
        "↑ hours of light a year, h",
        "4000 trials, seed 1",
        "contract: flat day rate · priced at every point · light counted into 2.25 m² at 0.90 m",
    ] {
        assert!(svg.contains(needed), "{needed}");
    }
    // once in the key, once on the plane
    for name in ["A cheap arc", "C bar LED", "D panel LED"] {
        assert_eq!(svg.matches(&format!(">\n{name}\n<")).count(), 2, "{name}");
    }
    // where it is narrow, in two lines
    assert_eq!(svg.matches(">\nB long-life\n<").count(), 1);
    assert!(svg.len() < 200_000, "{}", svg.len());
    let stopped = drawn(&sample::interrupted());
    assert!(stopped.contains("INTERRUPTED: 23 of 40 columns") && stopped.contains(">\nnot priced\n<"));
}

#[test]
fn the_worst_plane_is_still_a_moderate_file() {
    let mut report = sample::realistic();
    for (k, cell) in report.columns.iter_mut().flatten().enumerate() {
        // stripes two cells wide of one option after the other
        cell.winner = k % 60 / 2 % 4;
        cell.second = (cell.winner + 1) % 4;
        (cell.lead, cell.lead_se) = (1000.0, 10.0);
    }
    assert!(drawn(&report).len() < 400_000);
    report.columns.iter_mut().flatten().for_each(|cell| cell.lead_se = 1e6);
    assert!(drawn(&report).len() < 400_000);
}

#[test]
fn areas_are_those_of_the_cells() {
    let report = sample::realistic();
    let x = Span::new(reach(&report.x).unwrap(), (0.0, 600.0), true).unwrap();
    let y = Span::new(reach(&report.y).unwrap(), (600.0, 0.0), false).unwrap();
    let field = Field::new(&report, &x, &y).unwrap();
    let cells = crate::map::shares(&report);
    for option in 0..4 {
        let area: f64 = field.rings(option).iter().map(|ring| ring.1).sum();
        let expected = cells.won[option] as f64 / cells.cells as f64;
        assert!((area / 360_000.0 - expected).abs() < 0.012, "{option}: {area} beside {expected}");
    }
    // a cell's middle belongs to who wins it
    for (i, at) in field.xs.iter().enumerate().skip(1).take(60) {
        for (j, up) in field.ys.iter().enumerate().skip(1).take(60) {
            let cell = crate::map::cell(&report, (i - 1, j - 1)).unwrap();
            assert_eq!(field.winner_at((*at, *up)), crate::map::winner(&report, cell), "{i} {j}");
        }
    }
}

#[test]
fn lines_stand_at_round_amounts() {
    let leads: Vec<f64> = (0..100).map(|k| f64::from(k) * 91.0).collect();
    assert_eq!(levels(leads), [5000.0]);
    assert_eq!(levels((0..100).map(|k| f64::from(k) * 80.0).collect()), [2000.0, 4000.0, 6000.0]);
    assert_eq!(levels(vec![0.0; 9]), Vec::<f64>::new());
    assert_eq!(levels(vec![]), Vec::<f64>::new());
}
