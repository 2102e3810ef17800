//! Where a random number lives.

/// SplitMix64's step: 2⁶⁴ divided by the golden ratio, made odd.
const STEP: u64 = 0x9E37_79B9_7F4A_7C15;

/// What a draw is for. A number is never reused for another purpose, or old results would silently change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u64)]
pub enum Purpose {
    /// An input that is the same for all lamps of a trial.
    Shared = 1,
    /// Wear-out life of a lamp.
    LampLife = 2,
    /// Early failure of a lamp.
    EarlyFailure = 3,
    /// Initial output of a lamp.
    InitialOutput = 4,
    /// Life of control gear.
    GearLife = 5,
    /// Yearly steps of the market for electricity.
    Market = 6,
    /// Failure of a lamp for no reason of age.
    RandomFailure = 7,
    /// Luck that lamps bought together share.
    Batch = 8,
    /// Pace at which a lamp fades.
    FadingPace = 9,
    /// Life of a component; the item is its name.
    ComponentLife = 10,
    /// Lamps broken while one is put in.
    Breakage = 11,
    /// Whether a claim is honoured.
    Claim = 12,
    /// Age of a used lamp at the start.
    FirstAge = 13,
    /// Life of a lamp that is watched on trial; the item says of what it dies.
    Watched = 14,
    /// Life of a lamp in a life test that is only planned; the item says of what.
    Tested = 15,
    /// Which socket gets which lamp in a trial that is drawn by lot; item 1 is the lot of the codes.
    Lot = 16,
}

/// A sequence of random numbers, any of which can be reached by its index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stream(u64);

/// SplitMix64's output function: every input bit changes every output bit with probability near one half.
#[inline(always)]
pub(crate) const fn mix(z: u64) -> u64 {
    let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// A float strictly between 0 and 1 from 64 random bits: the upper 52 bits, moved to the middle of their cell.
#[inline(always)]
pub(crate) fn open_unit(bits: u64) -> f64 {
    const ONE: u64 = 0x3FF0_0000_0000_0000;
    // in [1, 2) the float's 52 bits are the number; one half of a cell keeps 0 and 1 themselves out
    f64::from_bits((bits >> 12) | ONE) - (1.0 - f64::EPSILON / 2.0)
}

impl Stream {
    /// The stream for one purpose, item and trial under a seed.
    pub fn new(seed: u64, purpose: Purpose, item: u64, trial: u64) -> Self {
        let key = mix(seed.wrapping_add(STEP));
        let key = mix(key ^ (purpose as u64).wrapping_mul(STEP));
        let key = mix(key.wrapping_add(item));
        Self(mix(key.wrapping_add(trial.wrapping_mul(STEP))))
    }

    /// The 64 random bits at an index: what SplitMix64 started at this stream's key gives as its (index + 1)-th output.
    #[inline(always)]
    pub fn bits(self, index: u64) -> u64 {
        mix(self.0.wrapping_add(index.wrapping_add(1).wrapping_mul(STEP)))
    }

    /// A number uniform on the open interval (0, 1) at an index.
    ///
    /// ```
    /// use draws::{Purpose, Stream};
    /// let luck = Stream::new(7, Purpose::LampLife, 0, 17);
    /// assert_eq!(luck.uniform(3), Stream::new(7, Purpose::LampLife, 0, 17).uniform(3));
    /// assert!(luck.uniform(3) > 0.0 && luck.uniform(3) < 1.0);
    /// ```
    #[inline(always)]
    pub fn uniform(self, index: u64) -> f64 {
        open_unit(self.bits(index))
    }
}

/// A stable item number for something that is known by name: FNV-1a, 64 bit, of its UTF-8 bytes.
pub fn item_from_name(name: &str) -> u64 {
    name.bytes().fold(0xCBF2_9CE4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_xoshiro::SplitMix64;
    use rand_xoshiro::rand_core::{Rng, SeedableRng};

    #[test]
    fn bits_are_those_of_an_independent_splitmix64() {
        for trial in [0, 1, u64::MAX] {
            let stream = Stream::new(0, Purpose::LampLife, 5, trial);
            let mut other = SplitMix64::from_seed(stream.0.to_le_bytes());
            for index in 0..1000 {
                assert_eq!(stream.bits(index), other.next_u64());
            }
        }
    }

    #[test]
    fn the_open_interval_is_open() {
        assert_eq!(open_unit(0), f64::EPSILON / 2.0);
        assert_eq!(open_unit(u64::MAX), 1.0 - f64::EPSILON / 2.0);
    }

    #[test]
    fn every_part_of_the_address_moves_the_stream() {
        let base = Stream::new(1, Purpose::LampLife, 2, 3);
        assert_ne!(base, Stream::new(2, Purpose::LampLife, 2, 3));
        assert_ne!(base, Stream::new(1, Purpose::GearLife, 2, 3));
        assert_ne!(base, Stream::new(1, Purpose::LampLife, 3, 3));
        assert_ne!(base, Stream::new(1, Purpose::LampLife, 2, 4));
    }
}
