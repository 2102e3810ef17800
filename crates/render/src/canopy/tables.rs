//! The tables of `canopy`: every digit.
//!
//! Belongs here: which rows they have. Does not belong here: the columns and their meaning, the rules of a cell.

use decide::canopy_report::{CanopyReport, CardResult, HeightResult, PointKind};

use super::count;
use crate::table::{CANOPY, CANOPY_POINTS, CANOPY_RATIOS, Rows, header};

/// The table of cards, that of points and that of ratios: pairs of file name and text.
pub fn canopy_tables(report: &CanopyReport) -> Vec<(String, String)> {
    vec![(CANOPY.into(), cards(report)), (CANOPY_POINTS.into(), points(report)), (CANOPY_RATIOS.into(), ratios(report))]
}

/// Number of the group in which a card at a height stands, 1 first.
fn group(report: &CanopyReport, entry: (usize, usize)) -> Option<f64> {
    report.groups.iter().position(|group| group.entries.contains(&entry)).map(|k| (k + 1) as f64)
}

fn cards(report: &CanopyReport) -> String {
    let mut rows = Rows::new(&header(CANOPY, "", ""));
    for (k, card) in report.cards.iter().enumerate() {
        for (h, height) in card.heights.iter().enumerate() {
            card_row(&mut rows, report, (card, height), group(report, (k, h)));
        }
    }
    rows.finish()
}

fn card_row(rows: &mut Rows, report: &CanopyReport, (card, height): (&CardResult, &HeightResult), group: Option<f64>) {
    rows.text(&card.name);
    rows.text(&card.file);
    rows.finite(group);
    for text in [&card.source, &card.sensor, &card.calibrated, &card.measured] {
        rows.text(text.as_deref().unwrap_or(""));
    }
    for number in [card.lamp_hours_h, card.since_cleaning_d, card.warm_up_min, card.wall_power_w] {
        rows.finite(number);
    }
    rows.text(&height.grade);
    rows.text(&card.points);
    rows.number(height.rows.len() as f64);
    rows.number(height.rows.first().map_or(0, Vec::len) as f64);
    for number in [card.along_m, card.across_m, card.area_m2, height.height_m] {
        rows.finite(Some(number));
    }
    rows.finite(height.between_m.map(|(a, b)| a.min(b)));
    rows.finite(height.between_m.map(|(a, b)| a.max(b)));
    rows.number(count(height, PointKind::Doubtful) as f64);
    rows.number(count(height, PointKind::Filled) as f64);
    rows.finite(Some(height.mean_umol_m2_s));
    rows.finite(Some(height.mean_umol_m2_s * height.error.total));
    rows.finite(height.mean_other_way_umol_m2_s);
    rows.finite(Some(height.flux_umol_s));
    rows.finite(height.area_other_way_m2);
    rows.finite(height.flux_other_way_umol_s);
    rows.finite(height.efficacy_umol_j);
    for number in [
        report.hours_a_day,
        height.dli_mol_m2_d,
        height.moles_a_year_mol,
        height.least_umol_m2_s,
        height.most_umol_m2_s,
        height.min_to_mean,
        height.min_to_max,
        height.max_to_mean,
        height.variation,
        height.p10_umol_m2_s,
    ] {
        rows.finite(Some(number));
    }
    rows.finite(report.target_umol_m2_s);
    rows.finite(height.share_below_target);
    let error = height.error;
    for number in [error.gain, error.source, error.factor, error.points, error.law, error.total] {
        rows.finite(Some(number));
    }
    rows.end();
}

fn points(report: &CanopyReport) -> String {
    let mut rows = Rows::new(&header(CANOPY_POINTS, "", ""));
    for card in &report.cards {
        for height in &card.heights {
            for (r, readings) in height.rows.iter().enumerate() {
                for (c, point) in readings.iter().enumerate() {
                    rows.text(&card.name);
                    rows.text(&card.file);
                    rows.finite(Some(height.height_m));
                    rows.number((r + 1) as f64);
                    rows.number((c + 1) as f64);
                    for number in [point.umol_m2_s, point.share, point.error] {
                        rows.finite(Some(number));
                    }
                    rows.text(match point.kind {
                        PointKind::Read => "read",
                        PointKind::Doubtful => "doubtful",
                        PointKind::Filled => "filled",
                        PointKind::Between => "between",
                    });
                    rows.end();
                }
            }
        }
    }
    rows.finish()
}

fn ratios(report: &CanopyReport) -> String {
    let mut rows = Rows::new(&header(CANOPY_RATIOS, "", ""));
    for (k, group) in report.groups.iter().enumerate() {
        for ratio in &group.ratios {
            rows.number((k + 1) as f64);
            for (card, height) in [ratio.a, ratio.b] {
                let card = report.cards.get(card);
                rows.text(card.map_or("", |card| &card.name));
                rows.finite(card.and_then(|card| card.heights.get(height)).map(|height| height.height_m));
            }
            for number in [ratio.ratio, ratio.gain, ratio.source, ratio.factor, ratio.points, ratio.total] {
                rows.finite(Some(number));
            }
            rows.text(if ratio.same_meter { "yes" } else { "no" });
            rows.text(if ratio.same_source { "yes" } else { "no" });
            rows.text(if ratio.same_factor { "yes" } else { "no" });
            rows.text(if ratio.too_close { "too close" } else { "clear" });
            rows.text(&ratio.unlike.join("; "));
            rows.end();
        }
    }
    rows.finish()
}
