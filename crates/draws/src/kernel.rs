//! Lamp lives by the buffer: the two logarithms and the exponential that a Weibull life costs.
//!
//! A Weibull life is X = scale · E^(1/shape) with E = −ln U. Written as X = scale · exp(g / shape), g = ln(−ln U), the
//! expensive half g does not depend on the lamp: it is drawn once a trial and serves every option of the race.
//!
//! `ln` and `exp` here are plain polynomials without fused multiply-add, so that the compiler may use any vector width
//! and the bits stay the same: the widest instruction set of the machine is chosen at run time and the answer does not
//! depend on it. They stay within 4·10⁻¹⁶ relative of the system's (a test says so).

use multiversion::multiversion;

use crate::address::{Stream, open_unit};

/// ln 2, the leading 32 bits, so that its product with an exponent is exact; and the rest.
const LN2_HIGH: f64 = 6.931_471_803_691_238e-1;
const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// 1.5 · 2⁵²: adding it leaves an integer in the low bits of the float, without an integer conversion.
const SHIFTER: f64 = 6_755_399_441_055_744.0;

/// Natural logarithm of a normal positive number: x = m·2ᵉ with m in [√½, √2), ln m = 2 artanh((m − 1)/(m + 1)).
#[inline(always)]
fn ln(x: f64) -> f64 {
    const SQRT_HALF: u64 = 0x3FE6_A09E_667F_3BCD;
    let bits = x.to_bits();
    let exponent = ((bits.wrapping_sub(SQRT_HALF)) as i64) >> 52;
    let m = f64::from_bits(bits.wrapping_sub((exponent as u64) << 52));
    let e = f64::from_bits((exponent as u64).wrapping_add(SHIFTER.to_bits())) - SHIFTER;

    let s = (m - 1.0) / (m + 1.0);
    let z = s * s;
    // artanh s = s + s³/3 + s⁵/5 + …; |s| < 0.1716, so the first term left out is below 10⁻¹⁸ of the sum
    let mut tail = 1.0 / 21.0;
    tail = tail * z + 1.0 / 19.0;
    tail = tail * z + 1.0 / 17.0;
    tail = tail * z + 1.0 / 15.0;
    tail = tail * z + 1.0 / 13.0;
    tail = tail * z + 1.0 / 11.0;
    tail = tail * z + 1.0 / 9.0;
    tail = tail * z + 1.0 / 7.0;
    tail = tail * z + 1.0 / 5.0;
    tail = tail * z + 1.0 / 3.0;
    let ln_m = 2.0 * s + 2.0 * s * (z * tail);
    e * LN2_HIGH + (ln_m + e * LN2_LOW)
}

/// Exponential for |x| ≤ 700: x = n ln 2 + r with |r| ≤ ½ ln 2, and Taylor's series of eʳ.
#[inline(always)]
fn exp(x: f64) -> f64 {
    let x = x.clamp(-700.0, 700.0);
    let shifted = x * std::f64::consts::LOG2_E + SHIFTER;
    let n = shifted - SHIFTER;
    let r = (x - n * LN2_HIGH) - n * LN2_LOW;
    // the first term left out is r¹⁴/14! < 5·10⁻¹⁸
    let mut p = 1.0 / 6_227_020_800.0;
    p = p * r + 1.0 / 479_001_600.0;
    p = p * r + 1.0 / 39_916_800.0;
    p = p * r + 1.0 / 3_628_800.0;
    p = p * r + 1.0 / 362_880.0;
    p = p * r + 1.0 / 40_320.0;
    p = p * r + 1.0 / 5_040.0;
    p = p * r + 1.0 / 720.0;
    p = p * r + 1.0 / 120.0;
    p = p * r + 1.0 / 24.0;
    p = p * r + 1.0 / 6.0;
    p = p * r + 0.5;
    let e_r = 1.0 + (r + r * r * p);
    let scale = f64::from_bits((shifted.to_bits() << 52).wrapping_add(0x3FF0_0000_0000_0000));
    e_r * scale
}

/// g = ln(−ln U) at one index of a stream; −g has the standard Gumbel distribution.
#[inline(always)]
pub fn gumbel(stream: Stream, index: u64) -> f64 {
    ln(-ln(open_unit(stream.bits(index))))
}

/// E = −ln U at one index of a stream: a standard exponential number.
#[inline(always)]
pub fn exponential(stream: Stream, index: u64) -> f64 {
    -ln(open_unit(stream.bits(index)))
}

/// A Weibull life from its g = ln(−ln U): scale · exp(g · inverse_shape), in the unit of the scale.
#[inline(always)]
pub fn life(g: f64, scale: f64, inverse_shape: f64) -> f64 {
    scale * exp(g * inverse_shape)
}

/// Fills a buffer with g = ln(−ln U) at the indices from `first` upwards.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl+avx512bw", "x86_64+avx2", "aarch64+neon"))]
pub fn fill_gumbel(stream: Stream, first: u64, out: &mut [f64]) {
    for (k, g) in out.iter_mut().enumerate() {
        *g = gumbel(stream, first.wrapping_add(k as u64));
    }
}

/// Fills a buffer with E = −ln U at the indices from `first` upwards.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl+avx512bw", "x86_64+avx2", "aarch64+neon"))]
pub fn fill_exponential(stream: Stream, first: u64, out: &mut [f64]) {
    for (k, e) in out.iter_mut().enumerate() {
        *e = exponential(stream, first.wrapping_add(k as u64));
    }
}

/// Fills a buffer with Weibull lives from their g, in the unit of the scale.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl+avx512bw", "x86_64+avx2", "aarch64+neon"))]
pub fn fill_lives(g: &[f64], scale: f64, inverse_shape: f64, out: &mut [f64]) {
    for (x, &g) in out.iter_mut().zip(g) {
        *x = life(g, scale, inverse_shape);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::address::Purpose;

    /// Tolerance: two roundings of the polynomial's last steps, each half a unit in the last place, with some room.
    const CLOSE: f64 = 4e-16;

    #[test]
    fn ln_agrees_with_the_system_over_all_magnitudes() {
        let stream = Stream::new(3, Purpose::Shared, 0, 0);
        for k in 0..400_000 {
            let x = open_unit(stream.bits(k));
            assert!((ln(x) - x.ln()).abs() <= CLOSE * x.ln().abs(), "ln {x}");
            let large = x * 2f64.powi((k % 2000) as i32 - 1000);
            assert!((ln(large) - large.ln()).abs() <= CLOSE * large.ln().abs().max(1.0), "ln {large}");
        }
        assert_eq!(ln(1.0), 0.0);
    }

    #[test]
    fn exp_agrees_with_the_system_over_its_range() {
        let stream = Stream::new(4, Purpose::Shared, 0, 0);
        for k in 0..400_000 {
            let x = 1400.0 * open_unit(stream.bits(k)) - 700.0;
            assert!((exp(x) / x.exp() - 1.0).abs() <= CLOSE, "exp {x}: {} against {}", exp(x), x.exp());
        }
        assert_eq!(exp(0.0), 1.0);
    }

    #[test]
    fn buffers_hold_the_same_bits_as_single_draws() {
        let stream = Stream::new(5, Purpose::LampLife, 0, 9);
        let mut g = [0.0; 37];
        fill_gumbel(stream, 100, &mut g);
        let mut lives = [0.0; 37];
        fill_lives(&g, 9500.0, 1.0 / 3.2, &mut lives);
        for k in 0..37 {
            assert_eq!(g[k].to_bits(), gumbel(stream, 100 + k as u64).to_bits());
            assert_eq!(lives[k].to_bits(), life(g[k], 9500.0, 1.0 / 3.2).to_bits());
        }
    }
}
