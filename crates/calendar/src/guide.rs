//! Finding the piece of a rising sequence that holds a value, without a search.

/// Where to begin looking: for each of many equal parts of a range, the last piece that begins at or before the part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Guide {
    begin: f64,
    parts_per_unit: f64,
    first: Vec<u32>,
}

impl Guide {
    /// A guide to pieces that begin at rising values; the last one ends at `end`.
    pub fn new(begins: &[f64], end: f64) -> Self {
        let begin = begins.first().copied().unwrap_or(0.0);
        let parts = begins.len().max(1) * 2;
        let parts_per_unit = if end > begin { parts as f64 / (end - begin) } else { 0.0 };
        let mut piece = 0;
        let first = (0..parts)
            .map(|part| {
                let at = begin + part as f64 / parts_per_unit;
                while piece + 1 < begins.len() && begins[piece + 1] <= at {
                    piece += 1;
                }
                piece as u32
            })
            .collect();
        Self { begin, parts_per_unit, first }
    }

    /// Index of the piece that holds a value: the last that begins at or before it, 0 for a value before all. `begins`
    /// reads where a piece begins; it must be the sequence that the guide was made for.
    ///
    /// ```
    /// let begins = [0.0, 1.0, 4.0];
    /// let guide = calendar::Guide::new(&begins, 10.0);
    /// assert_eq!(guide.find(3.9, begins.len(), |k| begins[k]), 1);
    /// assert_eq!(guide.find(4.0, begins.len(), |k| begins[k]), 2);
    /// ```
    #[inline]
    pub fn find(&self, value: f64, pieces: usize, begins: impl Fn(usize) -> f64) -> usize {
        let part = ((value - self.begin) * self.parts_per_unit) as usize;
        let mut piece = self.first[part.min(self.first.len() - 1)] as usize;
        while piece > 0 && begins(piece) > value {
            piece -= 1;
        }
        while piece + 1 < pieces && begins(piece + 1) <= value {
            piece += 1;
        }
        piece
    }
}
