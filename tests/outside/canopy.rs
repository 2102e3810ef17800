//! Light on the canopy: sums re-added elsewhere, weights against an integration, errors against simulated readings.

use std::f64::consts::TAU;
use std::fs;

use canopy::{Grid, MeterError, Points, Shared, ratio_error};
use decide::canopy::{CanopyOrder, canopy as judge};
use decide::canopy_report::{CanopyReport, HeightResult};
use records::Card;
use units::Area;

use super::statistics::integrate;
use super::{assert_close, cases, data, number};
use crate::support;

const NAMES: [&str; 4] = ["a-cheap-arc", "b-long-life-arc", "c-bar-led", "d-panel-led"];

fn order() -> CanopyOrder {
    CanopyOrder {
        hours_a_day: 12.0,
        hours_from: "as asked".into(),
        target: Some(600.0),
        height_m: None,
        filling: None,
        fill_doubtful: false,
    }
}

fn report(cards: &[&str], order: &CanopyOrder) -> CanopyReport {
    let read = |text: &&str| ("card".to_owned(), Card::parse(text).unwrap_or_else(|flaws| panic!("{flaws}")));
    let cards: Vec<(String, Card)> = cards.iter().map(read).collect();
    judge(&cards, order, "0").unwrap_or_else(|flaws| panic!("{flaws:?}"))
}

fn demonstration() -> CanopyReport {
    let text = |name: &str| fs::read_to_string(support::tidefall().join(format!("cards/{name}.txt"))).unwrap();
    let texts = NAMES.map(text);
    report(&texts.each_ref().map(String::as_str), &order())
}

fn readings(height: &HeightResult) -> Vec<Vec<f64>> {
    height.rows.iter().map(|row| row.iter().map(|point| point.umol_m2_s).collect()).collect()
}

#[test]
fn the_demonstrations_sums_are_re_added() {
    let file = data("canopy_grids.json");
    let found = demonstration();
    for (case, card) in cases(&file).iter().zip(&found.cards) {
        assert_eq!(case["card"], card.name);
        let height = &card.heights[0];
        let sum: f64 = readings(height).iter().flatten().sum();
        assert_eq!(sum, number(case, "sum"));
        for (found, key) in [
            (height.mean_umol_m2_s, "mean"),
            (height.variation, "variation"),
            (height.min_to_mean, "min_to_mean"),
            (height.p10_umol_m2_s, "p10"),
            (height.mean_other_way_umol_m2_s.unwrap(), "edge_mean"),
        ] {
            assert_close(found, number(case, key), 1e-13, &format!("{} {key}", card.name));
        }
        // µmol/s into 2.25 m²; 1 µmol/m²/s for 12 h is 12 · 3600 / 1e6 mol/m²
        assert_close(height.flux_umol_s, number(case, "mean") * 2.25, 1e-13, "flux");
        assert_close(height.dli_mol_m2_d, number(case, "mean") * 12.0 * 3600.0 / 1e6, 1e-13, "daily light");
        assert_close(height.moles_a_year_mol, height.dli_mol_m2_d * 2.25 * 365.0, 1e-13, "a year");
        let watts = card.wall_power_w.unwrap();
        assert_close(height.efficacy_umol_j.unwrap(), height.flux_umol_s / watts, 1e-13, "efficacy");
    }
}

#[test]
fn cards_of_the_demonstration_hold_the_readings_of_its_grids() {
    for (name, card) in NAMES.iter().zip(demonstration().cards) {
        let path = support::tidefall().join(format!("grids/{name}.json"));
        let grid: serde_json::Value = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
        assert_eq!(serde_json::json!(readings(&card.heights[0])), {
            let rows = grid["readings"].as_array().unwrap().iter();
            let row = |row: &serde_json::Value| row.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
            serde_json::json!(rows.map(row).collect::<Vec<Vec<f64>>>())
        });
    }
}

#[test]
fn edge_to_edge_is_the_integral_of_the_surface_through_its_points() {
    // a surface of flat-sided patches through 4 × 6 points, integrated by adaptive quadrature over strips
    let rows: Vec<Vec<f64>> =
        (0..4).map(|r| (0..6).map(|c| 300.0 + f64::from((r * 37 + c * c * 53 + r * c * 11) % 400)).collect()).collect();
    let surface = |y: f64, x: f64| {
        let (r, c) = ((y.floor() as usize).min(2), (x.floor() as usize).min(4));
        let (y, x) = (y - r as f64, x - c as f64);
        rows[r][c] * (1.0 - y) * (1.0 - x)
            + rows[r][c + 1] * (1.0 - y) * x
            + rows[r + 1][c] * y * (1.0 - x)
            + rows[r + 1][c + 1] * y * x
    };
    let strip = |y: f64| (0..5).map(|c| integrate(&|x| surface(y, x), f64::from(c), f64::from(c + 1), 1e-9)).sum();
    let whole: f64 = (0..3).map(|r| integrate(&strip, f64::from(r), f64::from(r + 1), 1e-9)).sum();
    let grid = Grid::new(rows.clone(), Points::EdgeToEdge, Area::from_square_metres(15.0)).unwrap();
    assert_close(grid.mean().umol_per_m2_s(), whole / 15.0, 1e-11, "mean");
    assert_close(grid.flux().umol_per_s(), whole, 1e-11, "flux");
}

#[test]
fn even_and_linear_fields_are_exact_either_way() {
    for points in [Points::CellCentred, Points::EdgeToEdge] {
        let plane = |r: usize, c: usize| 500.0 + 30.0 * r as f64 - 12.5 * c as f64;
        for (rows, columns) in [(2, 2), (3, 7), (5, 5), (20, 2)] {
            let field = |of: &dyn Fn(usize, usize) -> f64| -> Grid {
                let rows = (0..rows).map(|r| (0..columns).map(|c| of(r, c)).collect()).collect();
                Grid::new(rows, points, Area::from_square_metres(1.0)).unwrap()
            };
            assert_close(field(&|_, _| 421.5).mean().umol_per_m2_s(), 421.5, 1e-14, "even");
            let middle = 500.0 + 15.0 * (rows - 1) as f64 - 6.25 * (columns - 1) as f64;
            assert_close(field(&plane).mean().umol_per_m2_s(), middle, 1e-14, "linear");
        }
    }
}

/// Normal numbers by the transform of Box and Muller over a counter that is scrambled; independent of the program's own.
struct Normal(u64);

impl Normal {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let mixed = (self.0 ^ (self.0 >> 33)).wrapping_mul(0xff51_afd7_ed55_8ccd);
        ((mixed >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    fn next(&mut self) -> f64 {
        let (a, b) = (self.uniform(), self.uniform());
        (-2.0 * a.ln()).sqrt() * (TAU * b).cos()
    }
}

#[test]
fn what_cancels_in_a_ratio_is_what_simulated_meters_say() {
    let found = demonstration();
    let (a, b) = (&found.cards[0].heights[0], &found.cards[2].heights[0]);
    let (rows_a, rows_b) = (readings(a), readings(b));
    let error = |height: &HeightResult, scale: f64| MeterError {
        gain: 0.05 * scale,
        source: 0.03,
        factor: 0.0,
        points: height.error.points,
        law: 0.0,
    };
    let mut luck = Normal(20_310_210);
    const TRIALS: usize = 40_000;
    for (shared, scale) in [
        (Shared { meter: true, source: true, factor: false }, 1.0),
        (Shared { meter: true, source: false, factor: false }, 1.0),
        (Shared { meter: false, source: false, factor: false }, 1.0),
        // one meter whose error the cards state differently: half of it is left
        (Shared { meter: true, source: true, factor: false }, 0.5),
    ] {
        let mut logs = Vec::with_capacity(TRIALS);
        for _ in 0..TRIALS {
            let gain = luck.next();
            let source = luck.next();
            let (gain_b, source_b) =
                (if shared.meter { gain } else { luck.next() }, if shared.source { source } else { luck.next() });
            let mut mean = |rows: &[Vec<f64>], gain: f64, source: f64| {
                let sum: f64 = rows.iter().flatten().map(|x| x * (1.0 + 0.02 * luck.next())).sum();
                sum / 25.0 * (1.0 + gain) * (1.0 + 0.03 * source)
            };
            let (read_a, read_b) = (mean(&rows_a, 0.05 * gain, source), mean(&rows_b, 0.05 * scale * gain_b, source_b));
            logs.push((read_a / read_b).ln());
        }
        let mean = logs.iter().sum::<f64>() / TRIALS as f64;
        let sd = (logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / (TRIALS - 1) as f64).sqrt();
        let told = ratio_error(error(a, 1.0), error(b, scale), shared).total();
        // the standard error of a simulated deviation is 1/√(2n) = 0.35 %; terms of second order are below 0.5 %
        assert!((sd / told - 1.0).abs() < 0.02, "{shared:?}: {told} told, {sd} simulated");
    }
}

#[test]
fn ratios_of_the_demonstration_have_the_analytic_error() {
    let found = demonstration();
    let entry = |card: usize| found.cards[card].heights[0].error;
    // 2 % of single readings, in quadrature over the readings
    for card in 0..4 {
        let rows = readings(&found.cards[card].heights[0]);
        let (sum, square) =
            rows.iter().flatten().fold((0.0, 0.0), |(sum, square), x| (sum + x, square + (0.02 * x) * (0.02 * x)));
        assert_close(entry(card).points, square.sqrt() / sum, 1e-12, "points");
        assert_close(entry(card).total, (0.0025 + 0.0009 + square / (sum * sum)).sqrt(), 1e-12, "total");
    }
    let ratios: Vec<_> = found.groups.iter().flat_map(|group| &group.ratios).collect();
    let of = |a: &str, b: &str| {
        let named = |place: (usize, usize)| found.cards[place.0].name.as_str();
        *ratios.iter().find(|ratio| named(ratio.a).starts_with(a) && named(ratio.b).starts_with(b)).unwrap()
    };
    let arcs = of("A", "B");
    assert_close(arcs.ratio, 16413.0 / 16238.0, 1e-13, "A over B");
    assert_close(arcs.total, entry(0).points.hypot(entry(1).points), 1e-12, "A over B");
    assert!(arcs.same_meter && arcs.same_source && arcs.too_close);
    let leds = of("C", "D");
    assert_close(leds.ratio, 17945.0 / 13891.0, 1e-13, "C over D");
    assert_close(
        leds.total,
        (2.0 * 0.03f64.powi(2) + entry(2).points.powi(2) + entry(3).points.powi(2)).sqrt(),
        1e-12,
        "C over D",
    );
    assert!(leds.same_meter && !leds.same_source && !leds.too_close);
}

#[test]
fn evenness_of_a_card_made_by_hand() {
    // edge to edge, 3 × 3: corners 1/16, middles of edges 1/8, centre 1/4; mean (4·100 + 4·2·300 + 4·500)/16 = 300
    let card =
        "fixture: by hand\npoints: edge-to-edge\narea: 2 m x 1 m\nheight: 1 m\n100 300 100\n300 500 300\n100 300 100\n";
    let found = &report(&[card], &order()).cards[0].heights[0];
    let variance: f64 = (4.0 * 40_000.0 / 16.0) + (4.0 * 0.0 / 8.0) + 40_000.0 / 4.0;
    for (found, expected, what) in [
        (found.mean_umol_m2_s, 300.0, "mean"),
        (found.mean_other_way_umol_m2_s.unwrap(), 2100.0 / 9.0, "other way"),
        (found.flux_umol_s, 600.0, "flux"),
        (found.flux_other_way_umol_s.unwrap(), 4200.0 / 9.0, "flux the other way, into the area that is stated"),
        (found.min_to_mean, 1.0 / 3.0, "min/mean"),
        (found.min_to_max, 0.2, "min/max"),
        (found.max_to_mean, 5.0 / 3.0, "max/mean"),
        (found.variation, variance.sqrt() / 300.0, "variation"),
        (found.p10_umol_m2_s, 100.0, "dimmest tenth"),
        (found.share_below_target.unwrap(), 1.0, "under 600"),
        (found.dli_mol_m2_d, 12.96, "300 µmol/m²/s for 12 h"),
    ] {
        assert_close(found, expected, 1e-14, what);
    }
}

#[test]
fn a_deleted_reading_is_filled_and_widens_the_error() {
    let text = fs::read_to_string(support::tidefall().join("cards/b-long-life-arc.txt")).unwrap();
    let holed = text.replace(" 621 ", "  -  ").replace(" 561 ", " 561?");
    assert_ne!(holed, text);
    let filled = |filling| {
        let order = CanopyOrder { filling: Some(filling), ..order() };
        report(&[&holed], &order).cards[0].heights[0].clone()
    };
    let whole = report(&[&text], &order()).cards[0].heights[0].clone();
    for (filling, near) in [(decide::canopy::Filling::Symmetry, 0.02), (decide::canopy::Filling::Neighbours, 0.25)] {
        let found = filled(filling);
        assert_close(found.rows[0][2].umol_m2_s, 621.0, near, "the reading that was deleted");
        assert!(found.rows[0][2].error > 0.02 && found.rows[1][0].error > 0.1);
        assert!(found.error.points > whole.error.points);
    }
}
