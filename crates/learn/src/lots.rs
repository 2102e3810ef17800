//! Which socket gets which lamp, drawn by lot: randomised blocks.
//!
//! Belongs here: the draw, and counting how even an arrangement is. Does not belong here: names, prices, files, and luck,
//! which the caller hands in as uniform numbers.
//!
//! Rows are blocks (Fisher, The Design of Experiments, 1935, on randomised blocks; from memory): whatever differs from row to
//! row then meets every kind of lamp alike. Within a row its two ends are a block of their own. Where counts do not divide,
//! the surplus is spread by unbiased controlled rounding (Cox, Journal of the American Statistical Association 82, 1987,
//! page 520; from memory): every count is one of the two whole numbers around its even share, sums hold, and each socket
//! gets each kind as often as its share of all lamps. What is then left open is shuffled (Fisher and Yates; Knuth, The Art of
//! Computer Programming 2, algorithm 3.4.2 P; from memory).

/// Sockets in rows of equal length; only the last row may be shorter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Room {
    sockets: usize,
    places: usize,
}

/// Most sockets of a room for which lots are drawn.
pub const MOST_SOCKETS: usize = 1_000;
/// Most rows, and most places of a row.
pub const MOST_IN_LINE: usize = 100;

impl Room {
    /// So many sockets with so many places to a row; none where either is 0, or there are more than
    /// [`MOST_SOCKETS`], or more than [`MOST_IN_LINE`] rows or places of a row.
    pub fn new(sockets: usize, places: usize) -> Option<Self> {
        let is_room = (1..=MOST_SOCKETS).contains(&sockets)
            && (1..=sockets.min(MOST_IN_LINE)).contains(&places)
            && sockets.div_ceil(places) <= MOST_IN_LINE;
        is_room.then_some(Self { sockets, places })
    }

    /// Sockets in all.
    pub fn sockets(&self) -> usize {
        self.sockets
    }

    /// Places of a full row.
    pub fn places(&self) -> usize {
        self.places
    }

    /// Rows.
    pub fn rows(&self) -> usize {
        self.sockets.div_ceil(self.places)
    }

    /// Places of a row, 0 first; 0 for a row that is not there.
    pub fn length(&self, row: usize) -> usize {
        self.sockets.saturating_sub(row * self.places).min(self.places)
    }

    /// Row and place of a socket, each 0 first; sockets are counted row by row.
    pub fn spot(&self, socket: usize) -> (usize, usize) {
        (socket / self.places, socket % self.places)
    }

    /// Whether a socket is the first or the last of its row.
    pub fn is_end(&self, socket: usize) -> bool {
        let (row, place) = self.spot(socket);
        place == 0 || place + 1 == self.length(row)
    }

    /// Sockets of a row that are its ends: 2, or 1 in a row of one.
    fn ends(&self, row: usize) -> usize {
        self.length(row).min(2)
    }
}

/// The kind of lamp in each socket, sockets row by row; `counts` are the lamps of each kind and add up to the sockets.
///
/// `luck` gives numbers uniform on the open interval (0, 1); how many are asked for depends on the room.
///
/// ```
/// use learn::lots::{Room, drawn};
/// let mut at = 0.0;
/// let mut luck = || { at = (at + 0.618_034) % 1.0; at };
/// let room = Room::new(24, 6).unwrap();
/// let kinds = drawn(&room, &[12, 12], &mut luck).unwrap();
/// for row in kinds.chunks(6) {
///     assert_eq!(row.iter().filter(|kind| **kind == 0).count(), 3);
/// }
/// ```
///
/// None where the counts do not add up to the sockets.
pub fn drawn(room: &Room, counts: &[usize], luck: &mut dyn FnMut() -> f64) -> Option<Vec<usize>> {
    if counts.iter().try_fold(0usize, |sum, count| sum.checked_add(*count)) != Some(room.sockets) {
        return None;
    }
    let rows = 0..room.rows();
    let shares = rows.clone().map(|row| counts.iter().map(|count| room.length(row) * count).collect()).collect();
    let in_rows = rounded(shares, room.sockets, luck);
    // the ends of a row, as a part of what the row has got
    let last = room.length(room.rows() - 1);
    let whole = room.places * last / greatest_common(room.places, last);
    let share = |row: usize| {
        let of_one = room.ends(row) * (whole / room.length(row));
        in_rows[row].iter().map(|count| count * of_one).collect::<Vec<usize>>()
    };
    let mut shares: Vec<Vec<usize>> = rows.clone().map(share).collect();
    // a row that is not there takes what keeps the sums of the columns from being whole
    let lacking = |kind: usize| (whole - shares.iter().map(|row| row[kind]).sum::<usize>() % whole) % whole;
    shares.push((0..counts.len()).map(lacking).collect());
    let at_ends = rounded(shares, whole, luck);
    let mut kinds = vec![0; room.sockets];
    for row in rows {
        let (begin, length) = (row * room.places, room.length(row));
        let listed = |of: &dyn Fn(usize) -> usize| -> Vec<usize> {
            (0..counts.len()).flat_map(|kind| std::iter::repeat_n(kind, of(kind))).collect()
        };
        let mut ends = listed(&|kind| at_ends[row][kind]);
        let mut middle = listed(&|kind| in_rows[row][kind] - at_ends[row][kind]);
        shuffle(&mut ends, luck);
        shuffle(&mut middle, luck);
        let (mut ends, mut middle) = (ends.into_iter(), middle.into_iter());
        for place in 0..length {
            let lot = if room.is_end(begin + place) { ends.next() } else { middle.next() };
            kinds[begin + place] = lot?;
        }
    }
    Some(kinds)
}

/// What comes of filling the sockets in their order with one kind after the other: the habit that a draw is held against.
pub fn one_after_the_other(counts: &[usize]) -> Vec<usize> {
    counts.iter().enumerate().flat_map(|(kind, count)| std::iter::repeat_n(kind, *count)).collect()
}

/// Puts things into an order drawn by lot, every order as likely as any other.
pub fn shuffle<T>(things: &mut [T], luck: &mut dyn FnMut() -> f64) {
    for left in (2..=things.len()).rev() {
        things.swap(left - 1, pick(left, luck));
    }
}

/// One of so many, 0 first.
fn pick(many: usize, luck: &mut dyn FnMut() -> f64) -> usize {
    // a number below 1 times so few stays below them but for rounding
    ((luck() * many as f64) as usize).min(many.saturating_sub(1))
}

fn greatest_common(a: usize, b: usize) -> usize {
    if b == 0 { a } else { greatest_common(b, a % b) }
}

/// A table of `parts / whole` rounded to whole numbers, up or down by lot: sums of rows and columns, which must be whole, stay
/// as they are, and the mean of every cell over all luck is what it was.
///
/// Cells that are not whole are edges between their row and their column. Where sums are whole, no row or column has just
/// one of them, so walking on always closes a ring. Around it, cells are raised and lowered in turn until one is whole; up
/// or down with the chances that leave the means alone.
fn rounded(mut parts: Vec<Vec<usize>>, whole: usize, luck: &mut dyn FnMut() -> f64) -> Vec<Vec<usize>> {
    loop {
        let open = |row: usize, column: usize| !parts[row][column].is_multiple_of(whole);
        let columns = parts.first().map_or(0, Vec::len);
        let all: Vec<(usize, usize)> = (0..parts.len())
            .flat_map(|row| (0..columns).map(move |column| (row, column)))
            .filter(|(row, column)| open(*row, *column))
            .collect();
        if all.is_empty() {
            return parts.into_iter().map(|row| row.into_iter().map(|part| part / whole).collect()).collect();
        }
        let ring = ring(&all, luck);
        let up = |(at, (row, column)): (usize, &(usize, usize))| {
            let rest = parts[*row][*column] % whole;
            if at % 2 == 0 { whole - rest } else { rest }
        };
        let raise = ring.iter().enumerate().map(up).min().unwrap_or(whole);
        let lower = ring.iter().enumerate().map(|cell| whole - up(cell)).min().unwrap_or(whole);
        let is_raised = luck() * (raise + lower) as f64 <= lower as f64;
        for (at, (row, column)) in ring.iter().enumerate() {
            let part = &mut parts[*row][*column];
            match (at % 2 == 0, is_raised) {
                (true, true) => *part += raise,
                (false, true) => *part -= raise,
                (true, false) => *part -= lower,
                (false, false) => *part += lower,
            }
        }
    }
}

/// Cells that form a ring, neighbours sharing a row and a column in turn. Each row and column of a cell has another cell.
fn ring(cells: &[(usize, usize)], luck: &mut dyn FnMut() -> f64) -> Vec<(usize, usize)> {
    /// What a ring runs through: it leaves each by another cell than it came by.
    #[derive(Clone, Copy, PartialEq)]
    enum Line {
        Row(usize),
        Column(usize),
    }
    let mut lines = vec![Line::Row(cells[pick(cells.len(), luck)].0)];
    let mut path: Vec<(usize, usize)> = vec![];
    loop {
        let here = lines[lines.len() - 1];
        let leaves = |cell: &&(usize, usize)| {
            path.last() != Some(*cell) && (Line::Row(cell.0) == here || Line::Column(cell.1) == here)
        };
        let ways: Vec<(usize, usize)> = cells.iter().filter(leaves).copied().collect();
        let way = ways[pick(ways.len(), luck)];
        let there = if Line::Row(way.0) == here { Line::Column(way.1) } else { Line::Row(way.0) };
        path.push(way);
        if let Some(from) = lines.iter().position(|line| *line == there) {
            return path.split_off(from);
        }
        lines.push(there);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers of a small generator of its own (Park and Miller's, 16807), good enough to walk through cases.
    fn walk(seed: u64) -> impl FnMut() -> f64 {
        let mut state = seed * 7919 + 1;
        move || {
            state = state * 16_807 % 2_147_483_647;
            state as f64 / 2_147_483_647.0
        }
    }

    #[test]
    fn rows_and_ends_get_the_whole_numbers_around_their_shares() {
        let cases: [(usize, usize, &[usize]); 9] = [
            (24, 6, &[12, 12]),
            (24, 6, &[11, 13]),
            (23, 5, &[8, 8, 7]),
            (24, 6, &[6, 6, 12]),
            (7, 7, &[3, 4]),
            (5, 1, &[2, 3]),
            (9, 2, &[1, 1, 7]),
            (1, 1, &[1]),
            (60, 10, &[5, 5, 5, 5, 5, 5, 30]),
        ];
        for (sockets, places, counts) in cases {
            let room = Room::new(sockets, places).unwrap();
            for seed in 1..60 {
                let kinds = drawn(&room, counts, &mut walk(seed)).unwrap();
                assert_eq!(kinds.len(), sockets);
                for (kind, count) in counts.iter().enumerate() {
                    let of = |which: &dyn Fn(usize) -> bool| {
                        (0..sockets).filter(|socket| kinds[*socket] == kind && which(*socket)).count() as f64
                    };
                    assert_eq!(of(&|_| true), *count as f64);
                    for row in 0..room.rows() {
                        let here = |socket: usize| room.spot(socket).0 == row;
                        let share = (room.length(row) * count) as f64 / sockets as f64;
                        let found = of(&here);
                        assert!(found == share.floor() || found == share.ceil(), "{counts:?}: {found} for {share}");
                        let at_ends = of(&|socket| here(socket) && room.is_end(socket));
                        let part = found * room.ends(row) as f64 / room.length(row) as f64;
                        assert!(at_ends == part.floor() || at_ends == part.ceil(), "{counts:?}: {at_ends} of {part}");
                    }
                    let ends = (0..room.rows()).map(|row| room.ends(row)).sum::<usize>();
                    let share = (ends * count) as f64 / sockets as f64;
                    let found = of(&|socket| room.is_end(socket));
                    // with rows of one length the share of all ends is that of the rows' shares
                    if sockets % places == 0 {
                        assert!(found == share.floor() || found == share.ceil(), "{counts:?}: {found} ends, {share}");
                    }
                }
            }
        }
    }

    #[test]
    fn what_makes_no_room_is_refused() {
        assert_eq!(Room::new(0, 1), None);
        assert_eq!(Room::new(5, 6), None);
        assert_eq!(Room::new(MOST_SOCKETS + 1, 10), None);
        assert_eq!(Room::new(200, 1), None);
        assert_eq!(Room::new(6, 0), None);
        let room = Room::new(6, 3).unwrap();
        assert_eq!(drawn(&room, &[3, 2], &mut walk(1)), None);
        assert_eq!(drawn(&room, &[usize::MAX, 7], &mut walk(1)), None);
        assert_eq!(one_after_the_other(&[2, 1]), [0, 0, 1]);
    }

    #[test]
    fn every_order_comes_as_often_as_any_other() {
        let mut luck = walk(3);
        let mut seen = std::collections::BTreeMap::new();
        for _ in 0..6_000 {
            let mut things = [0, 1, 2];
            shuffle(&mut things, &mut luck);
            *seen.entry(things).or_insert(0) += 1;
        }
        assert_eq!(seen.len(), 6);
        // chi-square with 5 degrees of freedom: 20.5 is its 99.9 % point
        let distance: f64 = seen.values().map(|count| (f64::from(*count) - 1_000.0).powi(2) / 1_000.0).sum();
        assert!(distance < 20.5, "{seen:?}");
    }
}
