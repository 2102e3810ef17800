//! Finding the piece of a rising sequence that holds a value, without a search.

/// A rising sequence of pieces, and where to begin looking: for each of many equal parts of the range, the last piece that
/// begins at or before the part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Guide {
    /// Where each piece begins, and a NaN at the end: nothing reaches it, not even infinity.
    begins: Vec<f64>,
    parts_per_unit: f64,
    first: Vec<u32>,
}

impl Guide {
    /// A guide to pieces that begin at rising values, at least one; the last one ends at `end`.
    pub fn new(begins: impl IntoIterator<Item = f64>, end: f64) -> Self {
        let mut begins: Vec<f64> = begins.into_iter().collect();
        let pieces = begins.len();
        let begin = begins.first().copied().unwrap_or(0.0);
        begins.push(f64::NAN);
        let parts = pieces.max(1) * 2;
        let parts_per_unit = if end > begin { parts as f64 / (end - begin) } else { 0.0 };
        let mut piece = 0;
        let first = (0..parts)
            .map(|part| {
                let at = begin + part as f64 / parts_per_unit;
                while piece + 1 < pieces && begins[piece + 1] <= at {
                    piece += 1;
                }
                piece as u32
            })
            .collect();
        Self { begins, parts_per_unit, first }
    }

    /// Index of the piece that holds a value: the last that begins at or before it, 0 for a value before all.
    ///
    /// ```
    /// let guide = calendar::Guide::new([0.0, 1.0, 4.0], 10.0);
    /// assert_eq!(guide.find(3.9), 1);
    /// assert_eq!(guide.find(4.0), 2);
    /// assert_eq!(guide.find(f64::INFINITY), 2);
    /// ```
    #[inline]
    pub fn find(&self, value: f64) -> usize {
        let part = ((value - self.begins[0]) * self.parts_per_unit) as usize;
        let mut piece = self.first[part.min(self.first.len() - 1)] as usize;
        // rounding may have led one part too far
        while piece > 0 && self.begins[piece] > value {
            piece -= 1;
        }
        while self.begins[piece + 1] <= value {
            piece += 1;
        }
        piece
    }
}
