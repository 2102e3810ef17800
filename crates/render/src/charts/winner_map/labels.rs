//! Where names and amounts find room on the plane.
//!
//! Belongs here: boxes that are taken, the roomiest spot of a region, a spot along a line. Does not belong here: what is
//! written.

use super::super::ink::Place;
use super::field::Field;

/// Left, top, right, bottom.
pub(super) type Room = (f64, f64, f64, f64);

/// Rooms that are taken on a plane.
pub(super) struct Taken {
    plane: Room,
    taken: Vec<Room>,
}

impl Taken {
    pub(super) fn new(plane: Room) -> Self {
        Self { plane, taken: vec![] }
    }

    /// Takes a room around a place if it is on the plane and free.
    pub(super) fn take(&mut self, at: Place, (wide, high): (f64, f64)) -> bool {
        let room = (at.0 - wide / 2.0, at.1 - high / 2.0, at.0 + wide / 2.0, at.1 + high / 2.0);
        let (left, top, right, bottom) = self.plane;
        let on = room.0 >= left && room.1 >= top && room.2 <= right && room.3 <= bottom;
        let apart = |other: &Room| room.0 >= other.2 || other.0 >= room.2 || room.1 >= other.3 || other.1 >= room.3;
        let free = on && self.taken.iter().all(apart);
        if free {
            self.taken.push(room);
        }
        free
    }
}

/// A connected region of cells that one option wins for certain.
pub(super) struct Region {
    pub(super) option: usize,
    /// Column and row of its cells' nodes.
    cells: Vec<(usize, usize)>,
}

/// All regions, the largest first.
pub(super) fn regions(field: &Field) -> Vec<Region> {
    // the outer nodes repeat the outer cells
    let (right, up) = (field.xs.len().saturating_sub(1), field.ys.len().saturating_sub(1));
    let winner = |i: usize, j: usize| field.node(i, j).and_then(|node| node.winner);
    let mut seen = vec![false; field.xs.len() * field.ys.len()];
    let mut regions: Vec<Region> = vec![];
    for i in 1..right {
        for j in 1..up {
            let Some(option) = winner(i, j).filter(|_| !seen[i * field.ys.len() + j]) else { continue };
            seen[i * field.ys.len() + j] = true;
            let (mut cells, mut next) = (vec![], vec![(i, j)]);
            while let Some((i, j)) = next.pop() {
                cells.push((i, j));
                for (i, j) in [(i - 1, j), (i + 1, j), (i, j - 1), (i, j + 1)] {
                    let at = i * field.ys.len() + j;
                    if (1..right).contains(&i) && (1..up).contains(&j) && !seen[at] && winner(i, j) == Some(option) {
                        seen[at] = true;
                        next.push((i, j));
                    }
                }
            }
            regions.push(Region { option, cells });
        }
    }
    regions.sort_by_key(|region| std::cmp::Reverse(region.cells.len()));
    regions
}

/// The spots of a region where a text of this size stands wholly inside, the farthest from its edges first.
/// Unless `strict`, a text may reach into the noise on its own side of a tie.
pub(super) fn spots(field: &Field, region: &Region, (wide, high): (f64, f64), strict: bool) -> Vec<Place> {
    let own = |i: usize, j: usize| {
        field.node(i, j).and_then(|node| if strict { node.winner } else { node.first }) == Some(region.option)
    };
    let (width, height) = (field.xs.len(), field.ys.len());
    let edge = |i: usize, j: usize| i == 0 || j == 0 || i + 1 == width || j + 1 == height;
    let met = |i: usize, j: usize| {
        let near = [(i.wrapping_sub(1), j), (i + 1, j), (i, j.wrapping_sub(1)), (i, j + 1)];
        edge(i, j) || near.into_iter().any(|(i, j)| i < width && j < height && own(i, j))
    };
    let all = (0..width).flat_map(|i| (0..height).map(move |j| (i, j)));
    let around: Vec<(usize, usize)> = all.filter(|(i, j)| (edge(*i, *j) || !own(*i, *j)) && met(*i, *j)).collect();
    let place = |(i, j): (usize, usize)| (field.xs[i], field.ys[j]);
    // distances in sizes of the text: half a size in one direction is enough
    let far = |a: Place, b: Place| ((a.0 - b.0).abs() / wide).max((a.1 - b.1).abs() / high);
    let mut spots: Vec<(f64, Place)> = region
        .cells
        .iter()
        .map(|cell| {
            let at = place(*cell);
            let room = around.iter().map(|other| far(at, place(*other))).fold(f64::INFINITY, f64::min);
            (room, at)
        })
        .filter(|(room, _)| *room > 0.5)
        .collect();
    spots.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.0.total_cmp(&b.1.0)).then(a.1.1.total_cmp(&b.1.1)));
    spots.into_iter().map(|spot| spot.1).collect()
}

/// Places along a line for an amount, from its middle outwards; none on a line that is hardly longer than the amount.
pub(super) fn along(points: &[Place], least: f64) -> Vec<Place> {
    let length = |pair: &[Place]| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
    let whole: f64 = points.windows(2).map(length).sum();
    if !(whole > least) {
        return vec![];
    }
    let at = |share: f64| {
        let mut left = whole * share;
        for pair in points.windows(2) {
            let piece = length(pair);
            if piece > 0.0 && left <= piece {
                let t = left / piece;
                return Some((pair[0].0 + (pair[1].0 - pair[0].0) * t, pair[0].1 + (pair[1].1 - pair[0].1) * t));
            }
            left -= piece;
        }
        None
    };
    [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9].into_iter().filter_map(at).collect()
}
