//! Which cards may be compared, and what a ratio of their fluxes is worth.
//!
//! Belongs here: like with like, and what of the error cancels. Does not belong here: a single card.

use ::canopy::{MeterError, Shared, ratio_error};

use crate::canopy_report::{CardResult, ErrorParts, FluxRatio, HeightResult, LikeGroup};

/// Sides and heights that differ by no more than this share of them are alike.
const ALIKE: f64 = 0.01;
/// Burn hours, and days since a cleaning, by which two cards may differ without a word: judgements without a source.
const HOURS: f64 = 250.0;
const DAYS: f64 = 30.0;
/// Standard deviations within which a ratio is not told from 1.
const CLOSE: f64 = 1.96;

fn near(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() <= ALIKE
}

/// Whether a card at a height belongs to a group; a card turned by a right angle does.
fn belongs(group: &LikeGroup, card: &CardResult, height: &HeightResult) -> bool {
    let sides = |a: f64, b: f64| near(a, group.along_m) && near(b, group.across_m);
    group.points == card.points
        && near(height.height_m, group.height_m)
        && (sides(card.along_m, card.across_m) || sides(card.across_m, card.along_m))
}

/// Cards and heights, like with like, in the order in which they come.
pub(super) fn groups(cards: &[CardResult]) -> Vec<LikeGroup> {
    let mut groups: Vec<LikeGroup> = vec![];
    for (k, card) in cards.iter().enumerate() {
        for (h, height) in card.heights.iter().enumerate() {
            match groups.iter_mut().find(|group| belongs(group, card, height)) {
                Some(group) => group.entries.push((k, h)),
                None => groups.push(LikeGroup {
                    along_m: card.along_m,
                    across_m: card.across_m,
                    height_m: height.height_m,
                    points: card.points.clone(),
                    entries: vec![(k, h)],
                    ratios: vec![],
                }),
            }
        }
    }
    for group in &mut groups {
        for (i, a) in group.entries.iter().enumerate() {
            let others = group.entries[i + 1..].iter().filter(|b| b.0 != a.0);
            group.ratios.extend(others.map(|b| ratio(cards, *a, *b)));
        }
    }
    groups
}

/// In what groups differ.
pub(super) fn differ_in(groups: &[LikeGroup]) -> Vec<String> {
    let Some(first) = groups.first() else { return vec![] };
    let area = |group: &LikeGroup| {
        let (short, long) = (group.along_m.min(group.across_m), group.along_m.max(group.across_m));
        (short, long)
    };
    let (short, long) = area(first);
    let mut told = vec![];
    let mut differs = |what: &str, differs: &dyn Fn(&LikeGroup) -> bool| {
        if groups.iter().any(differs) {
            told.push(what.to_owned());
        }
    };
    differs("area", &|group| !near(area(group).0, short) || !near(area(group).1, long));
    differs("height", &|group| !near(group.height_m, first.height_m));
    differs("where the points stand", &|group| group.points != first.points);
    told
}

/// Names as people compare them: letter case does not matter.
fn same(a: Option<&String>, b: Option<&String>) -> bool {
    matches!((a, b), (Some(a), Some(b)) if a.to_lowercase() == b.to_lowercase())
}

/// Usual short names of kinds of light, and what they stand for.
const SHORT: [(&str, &str); 5] = [
    ("hps", "high pressure sodium"),
    ("mh", "metal halide"),
    ("cmh", "ceramic metal halide"),
    ("leds", "led"),
    ("light emitting diode", "led"),
];

/// A kind of light as people mean it: short names count as the long ones, hyphens as blanks, letter case not at all.
fn kind(source: &str) -> String {
    let plain = source.to_lowercase().replace(['-', '_'], " ");
    let words = format!(" {} ", plain.split_whitespace().collect::<Vec<_>>().join(" "));
    let long =
        SHORT.iter().fold(words, |text, (short, long)| text.replace(&format!(" {short} "), &format!(" {long} ")));
    long.trim().to_owned()
}

fn error(parts: ErrorParts) -> MeterError {
    MeterError { gain: parts.gain, source: parts.source, factor: parts.factor, points: parts.points, law: parts.law }
}

fn ratio(cards: &[CardResult], a: (usize, usize), b: (usize, usize)) -> FluxRatio {
    let (card_a, card_b) = (&cards[a.0], &cards[b.0]);
    let (height_a, height_b) = (&card_a.heights[a.1], &card_b.heights[b.1]);
    // a meter that was calibrated in between has another error
    let calibrated_alike = match (&card_a.calibrated, &card_b.calibrated) {
        (Some(a), Some(b)) => a == b,
        _ => true,
    };
    let is_one_kind = matches!((&card_a.source, &card_b.source), (Some(a), Some(b)) if kind(a) == kind(b));
    let is_one_factor = card_a.lux_per_ppfd.is_some() && card_a.lux_per_ppfd == card_b.lux_per_ppfd;
    let shared = Shared {
        meter: same(card_a.sensor.as_ref(), card_b.sensor.as_ref()) && calibrated_alike,
        source: is_one_kind,
        factor: is_one_kind && is_one_factor,
    };
    let left = ratio_error(error(height_a.error), error(height_b.error), shared);
    let ratio = height_a.flux_umol_s / height_b.flux_umol_s;
    let total = left.total();
    FluxRatio {
        a,
        b,
        ratio,
        gain: left.gain,
        source: left.source,
        factor: left.factor,
        points: left.points,
        total,
        same_meter: shared.meter,
        same_source: shared.meter && shared.source,
        same_factor: shared.factor,
        too_close: !((ratio - 1.0).abs() > CLOSE * total * ratio),
        unlike: unlike(card_a, card_b),
    }
}

/// In what two cards were not alike when they were read.
fn unlike(a: &CardResult, b: &CardResult) -> Vec<String> {
    let mut told = vec![];
    let mut compare = |what: &str, unit: &str, (a, b): (Option<f64>, Option<f64>), most: f64| match (a, b) {
        (Some(a), Some(b)) if (a - b).abs() > most => {
            told.push(format!("{what}: {} {unit} against {} {unit}", a.round(), b.round()));
        }
        (Some(_), None) | (None, Some(_)) => told.push(format!("{what}: known of one only")),
        _ => {}
    };
    compare("burn hours of the lamp", "h", (a.lamp_hours_h, b.lamp_hours_h), HOURS);
    compare("since the last cleaning", "d", (a.since_cleaning_d, b.since_cleaning_d), DAYS);
    told
}
