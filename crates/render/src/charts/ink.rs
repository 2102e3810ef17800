//! Colours, dash patterns and hatches.
//!
//! Belongs here: every colour of every chart, and how lines are broken up. Does not belong here: where they are used.
//!
//! The colours differ in lightness as well as in hue, so they stay apart in grey and for colour-blind readers; neither
//! is relied on: each series also has its dash pattern, each cause its hatch, and both have their name written on them
//! or beside them. An option has one hue everywhere: its line is dark and dashed, its surface a pale tint with a hatch.
//! Contracts are drawn without hue, so that nobody takes one for an option.

/// A place on the page: to the right, and down.
pub(super) type Place = (f64, f64);
use decide::result::Cause;

/// Red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ink(pub(super) u8, pub(super) u8, pub(super) u8);

/// Text and medians.
pub(super) const BLACK: Ink = Ink(0x1d, 0x21, 0x29);
/// Secondary text.
pub(super) const GREY: Ink = Ink(0x56, 0x5d, 0x69);
/// Axes and leaders.
pub(super) const RULE: Ink = Ink(0x9a, 0xa1, 0xab);
/// Lines of a grid.
pub(super) const GRID: Ink = Ink(0xe4, 0xe7, 0xeb);
/// Around a text that stands on something.
pub(super) const PAPER: Ink = Ink(0xff, 0xff, 0xff);
/// Outline of a distribution.
pub(super) const DEEP: Ink = Ink(0x24, 0x4b, 0x5e);
/// The middle 80 % of a distribution.
pub(super) const MID: Ink = Ink(0x86, 0xaf, 0xb8);
/// The tails of a distribution.
pub(super) const PALE: Ink = Ink(0xd8, 0xe6, 0xe8);
/// Lamps replaced one by one.
pub(super) const SPOT: Ink = Ink(0xd5, 0x84, 0x62);
/// Lamps replaced to a plan.
pub(super) const PLANNED: Ink = Ink(0xf4, 0xe0, 0xc8);
/// The option that is cheapest, or tied for it.
pub(super) const FIRST: Ink = Ink(0xc0, 0x5f, 0x3c);
/// Failures.
pub(super) const FAILED: Ink = Ink(0x9c, 0xa4, 0xbb);

/// Navy, rust, teal, ochre, purple, sky: dark and light by turns.
const SERIES: [Ink; 6] = [
    Ink(0x1c, 0x3a, 0x63),
    Ink(0xc2, 0x51, 0x2f),
    Ink(0x0f, 0x6e, 0x63),
    Ink(0xb9, 0x86, 0x14),
    Ink(0x8a, 0x5a, 0xa8),
    Ink(0x5b, 0x93, 0xc4),
];

const DASHES: [&[f64]; 5] = [&[], &[9.0, 4.0], &[2.2, 2.8], &[11.0, 3.5, 2.2, 3.5], &[5.0, 2.2]];

/// Colour and dash pattern of an option's line, or of another series where no options are drawn; thirty differ.
pub(super) fn series(index: usize) -> (Ink, &'static [f64]) {
    (SERIES[index % SERIES.len()], DASHES[index % DASHES.len()])
}

const PLAIN: [Ink; 3] = [DEEP, Ink(0x4c, 0x86, 0x98), Ink(0x8c, 0x92, 0x9c)];

/// Shade and dash pattern of a contract's line; fifteen differ.
pub(super) fn contract(index: usize) -> (Ink, &'static [f64]) {
    (PLAIN[index % PLAIN.len()], DASHES[index % DASHES.len()])
}

/// Directions of fine lines over a surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hatch {
    None,
    Rising,
    Falling,
    Upright,
    Level,
    /// Rising and falling.
    Crossed,
    /// Upright and level.
    Squared,
}

/// Colour and hatch of a cause.
///
/// No two causes share a hatch, but the two that are mostly the largest have none: one of them is the lightest, the
/// other the darkest. Causes that may touch, because those between them cost nothing, differ in lightness as well.
pub(super) fn cause(cause: Cause) -> (Ink, Hatch) {
    match cause {
        Cause::Capital => (Ink(0xd9, 0xdb, 0xdf), Hatch::None),
        Cause::Plant => (Ink(0x7a, 0x66, 0x57), Hatch::Upright),
        Cause::Lamps => (Ink(0xe0, 0xa1, 0x42), Hatch::Rising),
        Cause::Gear => (Ink(0xe0, 0xd2, 0xec), Hatch::Crossed),
        Cause::Labour => (Ink(0xf0, 0xb4, 0x9f), Hatch::Falling),
        Cause::Disposal => (Ink(0xe8, 0xe6, 0xd2), Hatch::Squared),
        Cause::Energy => (Ink(0x7d, 0xb4, 0x9b), Hatch::None),
        Cause::Demand => (Ink(0x9d, 0xc3, 0xe0), Hatch::Upright),
        Cause::Charges => (Ink(0x8f, 0x92, 0x50), Hatch::Crossed),
        Cause::Cooling => (Ink(0xd6, 0xec, 0xf3), Hatch::Level),
        Cause::Cleaning => (Ink(0x6a, 0x80, 0x50), Hatch::Falling),
        Cause::Credits => (Ink(0x6d, 0x66, 0x8e), Hatch::Rising),
    }
}

/// Tints of the colours of lines, dark and light by turns.
const REGIONS: [Ink; 6] = [
    Ink(0x9f, 0xb5, 0xd6),
    Ink(0xf6, 0xd5, 0xc6),
    Ink(0x8c, 0xc9, 0xbf),
    Ink(0xf3, 0xdf, 0xa9),
    Ink(0xc3, 0xae, 0xd9),
    Ink(0xd8, 0xea, 0xf8),
];
/// Hatches of the first six options, and of the six after them; those that come twice lie on a dark and on a light tint.
const HATCHES: [Hatch; 12] = [
    Hatch::Rising,
    Hatch::None,
    Hatch::Falling,
    Hatch::Upright,
    Hatch::Level,
    Hatch::Crossed,
    Hatch::Upright,
    Hatch::Rising,
    Hatch::Crossed,
    Hatch::Falling,
    Hatch::Squared,
    Hatch::Level,
];

/// Colour and hatch of an option's surface, in the hue of its line; twelve differ.
pub(super) fn region(index: usize) -> (Ink, Hatch) {
    (REGIONS[index % REGIONS.len()], HATCHES[index % HATCHES.len()])
}

/// Lines of the hatch of a region.
pub(super) fn region_lines(ink: Ink) -> Ink {
    paler(darker(ink), 0.18)
}

/// Where nobody wins for certain.
pub(super) const NOBODY: Ink = Ink(0xfb, 0xfb, 0xf9);

/// The colour with so much of paper in it, 0 to 1.
pub(super) fn paler(ink: Ink, paper: f64) -> Ink {
    let mix = |part: u8| (f64::from(part) + (255.0 - f64::from(part)) * paper.clamp(0.0, 1.0)).round() as u8;
    Ink(mix(ink.0), mix(ink.1), mix(ink.2))
}

/// Lines of a hatch over a surface darken it by this.
pub(super) fn darker(ink: Ink) -> Ink {
    let down = |part: u8| u8::try_from(u16::from(part) * 2 / 3).unwrap_or(part);
    Ink(down(ink.0), down(ink.1), down(ink.2))
}

/// Shade of a price that lies so high, 0 to 1, between the cheapest and the dearest: the dearer, the darker, in grey
/// print as well.
pub(super) fn shade(height: f64) -> Ink {
    // from pale by way of the middle, so that the shades differ in hue too
    const STOPS: [(f64, f64, f64); 3] = [(236.0, 241.0, 232.0), (134.0, 175.0, 184.0), (36.0, 75.0, 94.0)];
    let at = height.clamp(0.0, 1.0) * 2.0;
    let (from, to, share) = if at < 1.0 { (STOPS[0], STOPS[1], at) } else { (STOPS[1], STOPS[2], at - 1.0) };
    // rounded parts of colours stay within a byte
    let mix = |a: f64, b: f64| (a + (b - a) * share).round() as u8;
    Ink(mix(from.0, to.0), mix(from.1, to.1), mix(from.2, to.2))
}

/// Ink of a text that stands on a surface.
pub(super) fn text_on(surface: Ink) -> Ink {
    if tone(surface) > 127.0 { BLACK } else { PAPER }
}

/// Lightness in a grey print.
fn tone(ink: Ink) -> f64 {
    0.299 * f64::from(ink.0) + 0.587 * f64::from(ink.1) + 0.114 * f64::from(ink.2)
}

/// A path broken into strokes; `lengths` are those of stroke, gap, stroke, gap… from its beginning.
pub(super) fn dashes(points: &[Place], lengths: &[f64]) -> Vec<Vec<Place>> {
    if lengths.is_empty() || lengths.iter().any(|length| *length <= 0.0) {
        return vec![points.to_vec()];
    }
    let mut pieces = Vec::new();
    let mut piece: Vec<Place> = points.first().copied().into_iter().collect();
    let (mut turn, mut left) = (0, lengths[0]);
    for pair in points.windows(2) {
        let (mut from, to) = (pair[0], pair[1]);
        loop {
            let distance = (to.0 - from.0).hypot(to.1 - from.1);
            if distance <= left {
                left -= distance;
                if turn % 2 == 0 {
                    piece.push(to);
                }
                break;
            }
            let t = left / distance;
            from = (from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * t);
            if turn % 2 == 0 {
                piece.push(from);
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![from];
            }
            turn += 1;
            left = lengths[turn % lengths.len()];
        }
    }
    if piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

/// The lines of a hatch, ending at the edges of the rectangle.
pub(super) fn hatch_lines(from: Place, to: Place, hatch: Hatch) -> Vec<(Place, Place)> {
    const STEP: f64 = 5.0;
    hatch_lines_apart(from, to, hatch, STEP)
}

/// [`hatch_lines`] that far apart.
pub(super) fn hatch_lines_apart(from: Place, to: Place, hatch: Hatch, step: f64) -> Vec<(Place, Place)> {
    let (left, right) = (from.0.min(to.0), from.0.max(to.0));
    let (top, bottom) = (from.1.min(to.1), from.1.max(to.1));
    let (width, height) = (right - left, bottom - top);
    if !(width > 0.0 && height > 0.0 && width < 1e4 && height < 1e4 && step > 0.0) {
        return vec![];
    }
    let steps = |length: f64| (1..).map(move |i| f64::from(i) * step).take_while(move |at| *at < length);
    let both = |a, b| [hatch_lines_apart(from, to, a, step), hatch_lines_apart(from, to, b, step)].concat();
    match hatch {
        Hatch::None => vec![],
        Hatch::Upright => steps(width).map(|x| ((left + x, top), (left + x, bottom))).collect(),
        Hatch::Level => steps(height).map(|y| ((left, top + y), (right, top + y))).collect(),
        Hatch::Crossed => both(Hatch::Rising, Hatch::Falling),
        Hatch::Squared => both(Hatch::Upright, Hatch::Level),
        Hatch::Rising | Hatch::Falling => steps(width + height)
            .map(|sum| {
                // from the left or the lower edge to the upper or the right one, measured from the upper left corner
                let a = (left + (sum - height).max(0.0), top + sum.min(height));
                let b = (left + sum.min(width), top + (sum - width).max(0.0));
                let mirror = |p: Place| (left + right - p.0, p.1);
                if hatch == Hatch::Rising { (a, b) } else { (mirror(a), mirror(b)) }
            })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twelve_series_differ_in_more_than_colour() {
        for a in 0..12 {
            for b in a + 1..12 {
                assert_ne!(series(a), series(b));
            }
        }
    }

    #[test]
    fn neighbouring_lines_stay_apart_in_grey() {
        for a in 0..11 {
            let (ink, next) = (tone(series(a).0), tone(series(a + 1).0));
            assert!((ink - next).abs() > 20.0, "{a}: {ink} and {next}");
        }
        for a in 0..15 {
            assert!((a + 1..15).all(|b| contract(a) != contract(b)), "{a}");
            // 3 : 1 against paper, as the Web Content Accessibility Guidelines 2.2 (1.4.11) ask of graphics
            assert!(contrast(contract(a).0) >= 3.0 && contrast(series(a).0) >= 3.0, "{a}");
        }
    }

    /// Contrast with paper, by the relative luminance of the Web Content Accessibility Guidelines 2.2.
    fn contrast(ink: Ink) -> f64 {
        let linear = |part: u8| match f64::from(part) / 255.0 {
            part if part <= 0.04045 => part / 12.92,
            part => ((part + 0.055) / 1.055).powf(2.4),
        };
        1.05 / (0.2126 * linear(ink.0) + 0.7152 * linear(ink.1) + 0.0722 * linear(ink.2) + 0.05)
    }

    #[test]
    fn an_option_has_one_hue() {
        // degrees of the colour circle
        let hue = |Ink(r, g, b): Ink| {
            let (r, g, b) = (f64::from(r), f64::from(g), f64::from(b));
            (3f64.sqrt() * (g - b)).atan2(2.0 * r - g - b).to_degrees()
        };
        for i in 0..12 {
            let apart = (hue(series(i).0) - hue(region(i).0)).abs();
            assert!(apart.min(360.0 - apart) < 12.0, "{i}: {apart}");
        }
    }

    #[test]
    fn dearer_is_darker_and_text_stays_legible() {
        let tones: Vec<f64> = (0..=8).map(|i| tone(shade(f64::from(i) / 8.0))).collect();
        assert!(tones.windows(2).all(|pair| pair[0] - pair[1] > 10.0), "{tones:?}");
        for i in 0..=100 {
            let surface = shade(f64::from(i) / 100.0);
            assert!((tone(surface) - tone(text_on(surface))).abs() > 80.0, "{surface:?}");
        }
    }

    #[test]
    fn causes_stay_apart_in_grey() {
        use Cause::*;
        for (i, a) in Cause::ALL.into_iter().enumerate() {
            for b in Cause::ALL.into_iter().skip(i + 1) {
                let ((ink_a, hatch_a), (ink_b, hatch_b)) = (cause(a), cause(b));
                let apart = (tone(ink_a) - tone(ink_b)).abs();
                assert!(hatch_a != hatch_b || apart > 50.0, "{a:?} and {b:?}");
                // gear, disposal and demand are the causes that cost nothing most often
                let touch = b as usize == a as usize + 1
                    || [(Lamps, Labour), (Labour, Energy), (Capital, Energy), (Energy, Cooling)].contains(&(a, b));
                assert!(!touch || apart > 20.0, "{a:?} beside {b:?}: {apart}");
            }
        }
    }

    #[test]
    fn regions_stay_apart_in_grey() {
        for a in 0..12 {
            for b in a + 1..12 {
                let ((ink_a, hatch_a), (ink_b, hatch_b)) = (region(a), region(b));
                assert_ne!(hatch_a as usize * 1000 + a % 6, hatch_b as usize * 1000 + b % 6);
                assert!(hatch_a != hatch_b || (tone(ink_a) - tone(ink_b)).abs() > 15.0, "{a} and {b}");
            }
            // names stand on them in black
            assert!(tone(region(a).0) > 145.0, "{a}");
        }
        // neighbours in the order of the scenario differ in lightness, the first six in their hatch as well
        for a in 0..5 {
            assert!((tone(region(a).0) - tone(region(a + 1).0)).abs() > 15.0, "{a}");
            assert!((a + 1..6).all(|b| region(a).1 != region(b).1), "{a}");
        }
    }

    #[test]
    fn strokes_and_gaps_add_up() {
        let points = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)];
        let pieces = dashes(&points, &[3.0, 2.0]);
        let length =
            |piece: &Vec<Place>| piece.windows(2).map(|p| (p[1].0 - p[0].0).hypot(p[1].1 - p[0].1)).sum::<f64>();
        assert!(pieces.iter().all(|piece| length(piece) <= 3.0 + 1e-9));
        assert!((pieces.iter().map(length).sum::<f64>() - 12.0).abs() < 1e-9);
        assert_eq!(dashes(&points, &[]), vec![points.to_vec()]);
    }

    #[test]
    fn hatches_stay_in_their_rectangle() {
        let all = [Hatch::Rising, Hatch::Falling, Hatch::Upright, Hatch::Level, Hatch::Crossed, Hatch::Squared];
        for hatch in all {
            let lines = hatch_lines((10.0, 20.0), (47.0, 33.0), hatch);
            assert!(!lines.is_empty());
            for (x, y) in lines.iter().flat_map(|(a, b)| [*a, *b]) {
                assert!((10.0..=47.0).contains(&x) && (20.0..=33.0).contains(&y), "{hatch:?} {x} {y}");
            }
        }
    }
}
