//! Numbers for people: no more digits than the simulation can stand for.
//!
//! Belongs here: rounding for display, grouping, signs. Does not belong here: units of particular tables (only the
//! ct of "ct/mol" lives here), CSV and JSON, which keep every digit.
//!
//! How [`to_noise`] decides:
//! - the unit of the last printed digit is never smaller than the standard error (0.0012 → two decimals, 0.0009 →
//!   three);
//! - never more than 6 significant digits;
//! - with a standard error of 0 the number is exact and gets at most 4 significant digits (5 from 10 000 on), without
//!   trailing zeros;
//! - when the standard error reaches the number, or the number would be rounded to 0, not even its sign is known: it is
//!   printed as `0 ± 0.3`, the standard error rounded up to one digit;
//! - when the standard error is itself not finite, nothing is known of the noise: 2 significant digits;
//! - from 10¹⁵ on and below 10⁻⁵ the power of ten is written out, as in `1.2346e20`;
//! - five and more digits before the point are grouped in threes by a narrow no-break space;
//! - what is not finite is called "not a number".

use decide::result::{Estimate, Spread};

/// The space between groups of three digits: narrow and never broken over lines.
pub const GROUP_SPACE: char = '\u{202f}';

/// The sign of negative numbers.
pub const MINUS: char = '\u{2212}';

/// What stands for a number that is none.
pub const NOT_A_NUMBER: &str = "not a number";

const MOST_DIGITS: i32 = 6;
const NOISELESS_DIGITS: i32 = 4;
const NOISELESS_DIGITS_LARGE: i32 = 5;
const UNKNOWN_NOISE_DIGITS: i32 = 2;

/// The number with no more digits than its Monte-Carlo standard error `se` allows; the rules stand in the module head.
///
/// ```
/// # use render::number::to_noise;
/// assert_eq!(to_noise(2.71728, 0.0012), "2.72");
/// assert_eq!(to_noise(2.71728, 0.0009), "2.717");
/// assert_eq!(to_noise(0.07, 0.3), "0 ± 0.3");
/// ```
pub fn to_noise(value: f64, se: f64) -> String {
    if !value.is_finite() {
        return NOT_A_NUMBER.to_owned();
    }
    if se == 0.0 {
        let digits = if value.abs() >= 10_000.0 { NOISELESS_DIGITS_LARGE } else { NOISELESS_DIGITS };
        return print(value, last_place(value, digits), true);
    }
    if !se.is_finite() {
        return print(value, last_place(value, UNKNOWN_NOISE_DIGITS), true);
    }
    let place = place_of(value, se);
    if se.abs() >= value.abs() || rounds_to_zero(value, place) {
        return format!("0 ± {}", one_digit_up(se.abs()));
    }
    print(value, place, false)
}

/// [`to_noise`] of an estimate.
pub fn estimate(estimate: Estimate) -> String {
    to_noise(estimate.value, estimate.se)
}

/// An estimate and its standard error, such as "453" and "± 3", the error rounded up to one digit. The number
/// keeps to the digits of an exact one; noise far below the last of them is named by a bound, as in "453.1" and
/// "± <0.001".
///
/// ```
/// # use {decide::result::Estimate, render::number::with_error};
/// assert_eq!(with_error(Estimate { value: 453.06, se: 2.4 }), ("450".into(), "± 3".into()));
/// ```
pub fn with_error(estimate: Estimate) -> (String, String) {
    let Estimate { value, se } = estimate;
    if !(value.is_finite() && se.is_finite()) {
        return (to_noise(value, se), String::new());
    }
    let digits = if value.abs() >= 10_000.0 { NOISELESS_DIGITS_LARGE } else { NOISELESS_DIGITS };
    let finest = last_place(value, digits);
    let least = 10f64.powi(finest - 2);
    let error = match se.abs() {
        0.0 => "± 0".to_owned(),
        se if se < least => format!("± <{}", print(least, finest - 2, false)),
        se => format!("± {}", one_digit_up(se)),
    };
    let exact = se != 0.0 && value != 0.0 && place_of(value, se) < finest;
    (if exact { print(value, finest, false) } else { to_noise(value, se) }, error)
}

/// An estimate in currency per mol as ct per mol, where 1 ct is 0.01 of the currency; the unit is not appended.
pub fn ct(estimate: Estimate) -> String {
    to_noise(estimate.value * 100.0, estimate.se * 100.0)
}

/// Mean to its noise, and 10 % and 90 % points in brackets, both to the noise of the less certain one, in the unit of
/// the spread times `scale`. A range whose rounding would leave out a mean that lies in it is rounded outwards instead.
pub fn mean_and_range(spread: &Spread, scale: f64) -> (String, String) {
    let noise = spread.p10.se.max(spread.p90.se) * scale;
    let (low, middle, high) = (spread.p10.value * scale, spread.mean.value * scale, spread.p90.value * scale);
    let mean = to_noise(middle, spread.mean.se * scale);
    let (mut ends, unit) = ([low, high], 10f64.powi(place_of(low.abs().max(high.abs()), noise).clamp(-300, 300)));
    let [down, up] = ends.map(|end| (end / unit).round() * unit);
    if noise > 0.0 && noise.is_finite() && low <= middle && middle <= high && !(down <= middle && middle <= up) {
        ends = [(low / unit).floor() * unit, (high / unit).ceil() * unit];
    }
    let [low, high] = ends.map(|end| to_noise(end, noise));
    (mean, format!("[{}]", range(&low, &high)))
}

/// Two printed numbers as a range: "2.4–3.1", or with "to" where a dash could be read as a sign.
pub fn range(low: &str, high: &str) -> String {
    let plain = |text: &str| text.starts_with(|c: char| c.is_ascii_digit()) && !text.contains(['±', 'e']);
    if plain(low) && plain(high) { format!("{low}–{high}") } else { format!("{low} to {high}") }
}

/// A share of 1 in per cent to its noise, such as "31 %", with one decimal at most.
pub fn percent(share: f64, se: f64) -> String {
    const FINEST: f64 = 0.1;
    let (percent, se) = (share * 100.0, se * 100.0);
    let finer = se > 0.0 && se < FINEST && percent.is_finite();
    let text = if finer { fixed(percent, 1) } else { to_noise(percent, se) };
    format!("{text}{GROUP_SPACE}%")
}

/// A part of an estimate that has no standard error of its own: printed to the decimals of the whole, and as "<0.01"
/// where it would vanish at them.
pub fn part(part: f64, whole: f64, se: f64) -> String {
    if !part.is_finite() {
        return NOT_A_NUMBER.to_owned();
    }
    let place = if se > 0.0 && se.is_finite() { place_of(whole, se) } else { last_place(whole, NOISELESS_DIGITS) };
    let place = place.clamp(-9, 15);
    if part == 0.0 {
        return "0".to_owned();
    }
    if rounds_to_zero(part, place) {
        let sign = if part < 0.0 { "−<" } else { "<" };
        return format!("{sign}{}", print(10f64.powi(place), place, false));
    }
    print(part, place, false)
}

/// A number with a fixed count of decimals, grouped; for axes and counts.
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NOT_A_NUMBER.to_owned();
    }
    if value.abs() >= 1e15 || (value != 0.0 && value.abs() < 1e-9) {
        return signed(&format!("{value:.2e}"));
    }
    signed(&group(&format!("{value:.decimals$}")))
}

/// A count with its digits grouped.
pub fn count(count: u64) -> String {
    group(&count.to_string())
}

/// A count with its noun, which takes an s beside every count but 1: "1 trial", "20 000 trials".
pub fn counted(number: u64, noun: &str) -> String {
    format!("{} {noun}{}", count(number), if number == 1 { "" } else { "s" })
}

/// A number to so many significant digits, without trailing zeros: for sums that are to be redone with what is printed.
///
/// ```
/// # use render::number::significant;
/// assert_eq!(significant(4.137_412, 5), "4.1374");
/// assert_eq!(significant(46.0, 5), "46");
/// ```
pub fn significant(value: f64, digits: usize) -> String {
    let digits = i32::try_from(digits.clamp(1, 17)).unwrap_or(17);
    if value.is_finite() { print(value, last_place(value, digits), true) } else { NOT_A_NUMBER.to_owned() }
}

/// Power of ten of the first significant digit after rounding to `digits` digits.
fn leading_place(value: f64, digits: i32) -> i32 {
    let precision = usize::try_from(digits - 1).unwrap_or(0);
    exponent(&format!("{value:.precision$e}"))
}

/// Power of ten of the last of `digits` significant digits.
fn last_place(value: f64, digits: i32) -> i32 {
    leading_place(value, digits) - (digits - 1)
}

/// Power of ten of the last digit that the noise and the limit of digits allow.
fn place_of(value: f64, se: f64) -> i32 {
    // the shortest decimal that reads back as the same number decides exactly whether `se` is a power of ten
    let text = format!("{:e}", se.abs());
    let noise = if text.starts_with("1e") { exponent(&text) } else { exponent(&text) + 1 };
    noise.max(last_place(value, MOST_DIGITS))
}

fn exponent(scientific: &str) -> i32 {
    scientific.rsplit_once('e').and_then(|(_, power)| power.parse().ok()).unwrap_or(0)
}

fn rounds_to_zero(value: f64, place: i32) -> bool {
    value.abs() < 0.5 * 10f64.powi(place)
}

/// One significant digit, rounded up, so that it never promises too much.
fn one_digit_up(se: f64) -> String {
    let power = exponent(&format!("{se:e}"));
    let mantissa: f64 = format!("{se:e}").split('e').next().and_then(|m| m.parse().ok()).unwrap_or(1.0);
    // the dust of a product is no further digit, and 9.8 rounded up is a digit of the next place
    let digit = (mantissa - 1e-9).ceil();
    print(digit * 10f64.powi(power), if digit >= 10.0 { power + 1 } else { power }, false)
}

/// The number rounded at a power of ten.
fn print(value: f64, place: i32, strip: bool) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let leading = exponent(&format!("{value:e}"));
    if !(-5..15).contains(&leading) {
        let precision = usize::try_from((leading - place).clamp(0, MOST_DIGITS - 1)).unwrap_or(0);
        let text = format!("{value:.precision$e}");
        return signed(&if strip { strip_mantissa(&text) } else { text });
    }
    let decimals = usize::try_from(-place).unwrap_or(0);
    let text = if place > 0 {
        let unit = 10f64.powi(place);
        format!("{:.0}", (value / unit).round() * unit)
    } else {
        format!("{value:.decimals$}")
    };
    let text = if strip && text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    signed(&group(text))
}

fn strip_mantissa(text: &str) -> String {
    match text.split_once('e') {
        Some((mantissa, power)) if mantissa.contains('.') => {
            format!("{}e{power}", mantissa.trim_end_matches('0').trim_end_matches('.'))
        }
        _ => text.to_owned(),
    }
}

fn signed(text: &str) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().any(|c| c.is_ascii_digit() && c != '0') => format!("{MINUS}{rest}"),
        Some(rest) => rest.to_owned(),
        None => text.to_owned(),
    }
}

/// Groups of three before the point, from five digits on.
fn group(text: &str) -> String {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", text),
    };
    let (whole, fraction) = digits.split_at(digits.find('.').unwrap_or(digits.len()));
    if whole.len() < 5 {
        return text.to_owned();
    }
    let mut grouped = String::with_capacity(text.len() + whole.len());
    grouped.push_str(sign);
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            grouped.push(GROUP_SPACE);
        }
        grouped.push(digit);
    }
    grouped.push_str(fraction);
    grouped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mean_within_its_range_is_printed_within_it() {
        let at = |value: f64, se: f64| Estimate { value, se };
        let mut spread = Spread {
            mean: at(52_920.0, 7.0),
            sd: 30.0,
            p5: at(0.0, 0.0),
            p10: at(52_880.0, 600.0),
            p50: at(0.0, 0.0),
            p80: at(0.0, 0.0),
            p90: at(52_970.0, 600.0),
            p95: at(0.0, 0.0),
        };
        let plain = |spread: &Spread| {
            let (mean, range) = mean_and_range(spread, 1.0);
            format!("{mean} {range}").replace(GROUP_SPACE, " ")
        };
        assert_eq!(plain(&spread), "52 920 [52 000–53 000]");
        // a mean beyond the points, as long tails make it, stays where it is
        spread.mean.value = 60_000.0;
        assert_eq!(plain(&spread), "60 000 [53 000–53 000]");
    }

    #[test]
    fn the_last_digit_is_never_finer_than_the_noise() {
        for (value, se, text) in [
            (2.71728, 0.0012, "2.72"),
            (2.71728, 0.0009, "2.717"),
            (2.71728, 0.001, "2.717"),
            (2.71728, 0.2, "3"),
            (48_213.4, 120.0, "48\u{202f}000"),
            (-48_213.4, 12.0, "−48\u{202f}200"),
            (1234.5, 0.5, "1234"),
            (3.24159265, 1e-9, "3.24159"),
            (9.9999996, 1e-9, "10.0000"),
            (999_999.7, 1e-3, "1\u{202f}000\u{202f}000"),
            (0.07, 0.3, "0 ± 0.3"),
            (0.07, 0.31, "0 ± 0.4"),
            (5.0, 7.0, "0 ± 7"),
            (0.0, 0.02, "0 ± 0.02"),
            (0.4, 0.3, "0 ± 0.3"),
            (-0.4, 0.3, "0 ± 0.3"),
            (97.0, 96.0, "100"),
        ] {
            assert_eq!(to_noise(value, se), text, "{value} ± {se}");
        }
    }

    #[test]
    fn exact_numbers_get_four_or_five_digits() {
        for (value, text) in [
            (2.5, "2.5"),
            (12.0, "12"),
            (1.23456, "1.235"),
            (123_456.0, "123\u{202f}460"),
            (1234.56, "1235"),
            (9_999.9, "10\u{202f}000"),
            (10_000.4, "10\u{202f}000"),
            (0.0, "0"),
            (-0.0, "0"),
            (-0.25, "−0.25"),
            (0.000_123_456, "1.235e-4"),
            (1.234_56e20, "1.2346e20"),
            (1e300, "1e300"),
            (5e-324, "4.941e-324"),
            (f64::NAN, "not a number"),
            (f64::INFINITY, "not a number"),
        ] {
            let text = if value == 0.000_123_456 { "0.0001235" } else { text };
            assert_eq!(to_noise(value, 0.0), text, "{value}");
        }
    }

    #[test]
    fn errors_stand_beside_their_numbers() {
        for (value, se, number, error) in [
            (453.065, 8e-4, "453.1", "± <0.001"),
            (453.065, 0.0034, "453.1", "± 0.004"),
            (453.065, 0.2, "453", "± 0.2"),
            (-12_345.6, 21.0, "−12\u{202f}300", "± 30"),
            (5.0, 0.0, "5", "± 0"),
            (14_000.4, 1e-9, "14\u{202f}000", "± <0.01"),
        ] {
            assert_eq!(with_error(Estimate { value, se }), (number.to_owned(), error.to_owned()), "{value} ± {se}");
        }
        for (value, se) in [(f64::NAN, 1.0), (1.0, f64::NAN), (f64::INFINITY, 0.0), (0.0, 1.0), (1e300, 1e-300)] {
            assert!(!with_error(Estimate { value, se }).0.is_empty());
        }
    }

    #[test]
    fn unknown_noise_gives_two_digits() {
        assert_eq!(to_noise(2.71728, f64::NAN), "2.7");
        assert_eq!(to_noise(2.71728, f64::INFINITY), "2.7");
    }

    #[test]
    fn parts_take_the_decimals_of_the_whole() {
        assert_eq!(part(1.5168, 2.71, 0.004), "1.52");
        assert_eq!(part(0.003, 2.71, 0.004), "<0.01");
        assert_eq!(part(-0.003, 2.71, 0.004), "−<0.01");
        assert_eq!(part(0.0, 2.71, 0.004), "0");
        assert_eq!(part(0.25, 2.5, 0.0), "0.250");
    }

    #[test]
    fn percentages_and_ranges_read_well() {
        assert_eq!(percent(0.3127, 0.003), "31\u{202f}%");
        assert_eq!(percent(1.0, 0.0), "100\u{202f}%");
        assert_eq!(range("2.4", "3.1"), "2.4–3.1");
        assert_eq!(range("−2.4", "3.1"), "−2.4 to 3.1");
        assert_eq!(count(1_234_567), "1\u{202f}234\u{202f}567");
        assert_eq!((counted(1, "trial"), counted(0, "trial")), ("1 trial".to_owned(), "0 trials".to_owned()));
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(fixed(-12_345.0, 0), "−12\u{202f}345");
    }
}
