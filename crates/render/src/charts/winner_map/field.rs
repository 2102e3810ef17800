//! The plane as nodes with a lead each, and lines of equal lead through them.
//!
//! Belongs here: nodes, interpolation between them, marching squares. Does not belong here: what is drawn.
//!
//! Each option has a field of its own: the lead where it wins, and the lead of the winner below nothing where it does
//! not. Between two neighbours won by two options the fields of both vanish at the same place, so regions that are
//! drawn one by one fit each other, smoothly.

use std::collections::BTreeMap;

use super::super::ink::Place;
use super::super::span::Span;
use crate::breakeven::NOISE;
use crate::map::{cell, winner};
use decide::map_report::{MapAxis, MapReport};

/// Leads beyond this are no amounts of money.
const FAR: f64 = 1e200;

/// One node: who leads there, by how much, and how much of that is noise.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    /// Who leads, whatever the noise.
    pub(super) first: Option<usize>,
    lead: f64,
    noise: f64,
    /// Who wins for certain.
    pub(super) winner: Option<usize>,
}

/// The nodes of a plane with their places on the page; the outer ones lie on the edges of the outer cells.
pub(super) struct Field {
    pub(super) xs: Vec<f64>,
    pub(super) ys: Vec<f64>,
    nodes: Vec<Node>,
    largest: f64,
}

/// A line of equal lead.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Contour {
    pub(super) points: Vec<Place>,
    pub(super) closed: bool,
}

/// The range of an axis from the outer edge of its first cell to that of its last; none unless its values rise.
pub(super) fn reach(axis: &MapAxis) -> Option<(f64, f64)> {
    let bend = |value: &f64| if axis.logarithmic { value.ln() } else { *value };
    let bent: Vec<f64> = axis.values.iter().map(bend).collect();
    let fine = bent.iter().all(|at| at.abs() < FAR) && bent.windows(2).all(|pair| pair[0] < pair[1]);
    let (first, last) = (bent.first().filter(|_| fine)?, bent.last()?);
    let half = |pair: Option<&[f64]>| match pair {
        Some([a, b]) => (b - a) / 2.0,
        _ if *first == 0.0 || axis.logarithmic => 0.5,
        _ => first.abs() * 0.1,
    };
    let (low, high) = (first - half(bent.windows(2).next()), last + half(bent.windows(2).next_back()));
    Some(if axis.logarithmic { (low.exp(), high.exp()) } else { (low, high) })
}

impl Field {
    /// The priced part of a plane.
    pub(super) fn new(report: &MapReport, x: &Span, y: &Span) -> Option<Self> {
        let priced = report.columns.len().min(report.x.values.len());
        let edge = |a: f64, b: f64| a - (b - a) / 2.0;
        let laid = |values: &[f64], span: &Span, ends: (f64, f64)| -> Option<Vec<f64>> {
            let inner: Vec<f64> = values.iter().map(|value| span.at(*value)).collect::<Option<_>>()?;
            let (first, last) = match inner.as_slice() {
                [] => return None,
                [_] => ends,
                [a, b] => (edge(*a, *b), edge(*b, *a)),
                [a, b, .., c, d] | [a, b @ c, d] => (edge(*a, *b), edge(*d, *c)),
            };
            Some([vec![first], inner, vec![last]].concat())
        };
        let all = laid(&report.x.values, x, (x.from(), x.to()))?;
        let mut xs: Vec<f64> = all.iter().take(priced + 1).copied().collect();
        // the last priced column ends half of the way to the next one
        let (last, next) = (all.get(priced)?, all.get(priced + 1)?);
        xs.push(if priced == report.x.values.len() { *next } else { (last + next) / 2.0 });
        let ys = laid(&report.y.values, y, (y.from(), y.to()))?;
        let nearest = |k: usize, count: usize| k.saturating_sub(1).min(count.saturating_sub(1));
        let mut nodes = vec![];
        for i in 0..xs.len() {
            for j in 0..ys.len() {
                nodes.push(node(report, (nearest(i, priced), nearest(j, report.y.values.len()))));
            }
        }
        led_on(&mut nodes, (xs.len(), ys.len()));
        let largest = nodes.iter().map(|node| node.lead).fold(0.0, f64::max);
        (priced > 0).then_some(Self { xs, ys, nodes, largest: if largest > 0.0 { largest } else { 1.0 } })
    }

    /// The node in a column from the left and a row from below.
    pub(super) fn node(&self, i: usize, j: usize) -> Option<&Node> {
        self.nodes.get(i * self.ys.len() + j)
    }

    /// Options that win anywhere, or lead there.
    pub(super) fn options(&self) -> Vec<usize> {
        let mut all: Vec<usize> = self.nodes.iter().filter_map(|node| node.first).collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Leads of those that win for certain.
    pub(super) fn leads(&self) -> Vec<f64> {
        self.nodes.iter().filter(|node| node.winner.is_some()).map(|node| node.lead).collect()
    }

    fn lead_of(&self, node: &Node, option: usize) -> f64 {
        match node.first {
            Some(first) if first == option => node.lead,
            Some(_) => -node.lead,
            None => -self.largest,
        }
    }

    /// The lead of an option less what is noise of it.
    fn certain(&self, node: &Node, option: usize) -> f64 {
        match node.winner {
            Some(_) => self.lead_of(node, option) - node.noise,
            None => (self.lead_of(node, option) - node.noise).min(0.0),
        }
    }

    /// Lines along which an option leads by so much, open at the edges of the plane.
    pub(super) fn lines(&self, option: usize, level: f64) -> Vec<Contour> {
        let value = |i: usize, j: usize| self.node(i, j).map_or(0.0, |node| self.lead_of(node, option) - level);
        marched(&self.xs, &self.ys, &value)
    }

    /// Rings around all that an option wins for certain, closed along the edges of the plane, and how large each is:
    /// above 0 for a ring around a region, below for one around a hole.
    pub(super) fn rings(&self, option: usize) -> Vec<(Vec<Place>, f64)> {
        let padded = |at: &[f64]| -> Vec<f64> { at.first().into_iter().chain(at).chain(at.last()).copied().collect() };
        let (xs, ys) = (padded(&self.xs), padded(&self.ys));
        let value = |i: usize, j: usize| {
            let inner =
                i.checked_sub(1).zip(j.checked_sub(1)).filter(|(i, j)| *i < self.xs.len() && *j < self.ys.len());
            let node = inner.and_then(|(i, j)| self.node(i, j));
            node.map_or(-self.largest, |node| self.certain(node, option))
        };
        marched(&xs, &ys, &value)
            .into_iter()
            .map(|ring| (area(&ring.points), ring.points))
            .map(|(a, p)| (p, a))
            .collect()
    }

    /// Who wins for certain at a place on the page.
    pub(super) fn winner_at(&self, (x, y): Place) -> Option<usize> {
        // the page counts downwards, values upwards
        let i = self.xs.partition_point(|at| *at <= x).checked_sub(1)?.min(self.xs.len().checked_sub(2)?);
        let j = self.ys.partition_point(|at| *at >= y).checked_sub(1)?.min(self.ys.len().checked_sub(2)?);
        let share =
            |low: f64, high: f64, at: f64| if high == low { 0.0 } else { ((at - low) / (high - low)).clamp(0.0, 1.0) };
        let (s, t) = (share(self.xs[i], self.xs[i + 1], x), share(self.ys[j], self.ys[j + 1], y));
        let corners = [(0, 0, (1.0 - s) * (1.0 - t)), (1, 0, s * (1.0 - t)), (0, 1, (1.0 - s) * t), (1, 1, s * t)];
        let nodes = corners.map(|(di, dj, weight)| (self.node(i + di, j + dj), weight));
        let value = |option: usize| -> f64 {
            nodes.iter().map(|(node, weight)| node.map_or(0.0, |node| self.certain(node, option) * weight)).sum()
        };
        nodes.iter().filter_map(|(node, _)| node.and_then(|node| node.winner)).find(|option| value(*option) > 0.0)
    }
}

fn node(report: &MapReport, at: (usize, usize)) -> Node {
    let unknown = Node { first: None, lead: 0.0, noise: 0.0, winner: None };
    let Some(cell) = cell(report, at).filter(|cell| cell.winner < report.options.len()) else { return unknown };
    if report.options.len() == 1 {
        return Node { first: Some(0), lead: 1.0, noise: 0.0, winner: Some(0) };
    }
    let fine = |value: f64| (0.0..FAR).contains(&value);
    if !(fine(cell.lead) && fine(cell.lead_se)) {
        return unknown;
    }
    Node { first: Some(cell.winner), lead: cell.lead, noise: NOISE * cell.lead_se, winner: winner(report, cell) }
}

/// Leads the outer nodes on from the two before them, where both are won by the same option, so that lines do not bend
/// at the edges.
fn led_on(nodes: &mut [Node], (width, height): (usize, usize)) {
    let at = |i: usize, j: usize| i * height + j;
    let mut ways = vec![];
    if width > 3 {
        ways.extend((0..height).flat_map(|j| {
            [(0, 1, 2), (width - 1, width - 2, width - 3)].map(|(a, b, c)| [at(a, j), at(b, j), at(c, j)])
        }));
    }
    if height > 3 {
        ways.extend((0..width).flat_map(|i| {
            [(0, 1, 2), (height - 1, height - 2, height - 3)].map(|(a, b, c)| [at(i, a), at(i, b), at(i, c)])
        }));
    }
    for [outer, near, far] in ways {
        let (near, far) = (nodes[near], nodes[far]);
        if near.first.is_some() && near.first == far.first {
            // half a step beyond
            let lead = (near.lead * 1.5 - far.lead * 0.5).max(0.0);
            nodes[outer] = Node { lead, winner: near.winner.filter(|_| lead > near.noise), ..near };
        }
    }
}

/// The area of a ring, above 0 if its inside lies to the left as values run.
fn area(points: &[Place]) -> f64 {
    let next = points.iter().cycle().skip(1);
    -points.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0
}

/// An edge of a square: the node that it begins at, and whether it goes up.
type Edge = (usize, usize, bool);

/// Marching squares: lines along which a field is nothing, with what is above nothing always on the same side.
fn marched(xs: &[f64], ys: &[f64], value: &dyn Fn(usize, usize) -> f64) -> Vec<Contour> {
    let mut next: BTreeMap<Edge, Edge> = BTreeMap::new();
    for i in 0..xs.len().saturating_sub(1) {
        for j in 0..ys.len().saturating_sub(1) {
            let corners = [value(i, j), value(i + 1, j), value(i + 1, j + 1), value(i, j + 1)];
            let edges: [Edge; 4] = [(i, j, false), (i + 1, j, true), (i, j + 1, false), (i, j, true)];
            let inside = corners.map(|value| value > 0.0);
            let leaves = |k: usize| inside[k] && !inside[(k + 1) % 4];
            let enters = |k: usize| !inside[k] && inside[(k + 1) % 4];
            // of two ways through a saddle, the one that its middle asks for
            let joined = corners.iter().sum::<f64>() > 0.0;
            for k in (0..4).filter(|k| leaves(*k)) {
                let step = |m: usize| if joined { (k + m) % 4 } else { (k + 4 - m) % 4 };
                if let Some(to) = (1..4).map(step).find(|k| enters(*k)) {
                    next.insert(edges[k], edges[to]);
                }
            }
        }
    }
    let place = |(i, j, up): Edge| -> Place {
        let (a, b) = (value(i, j), if up { value(i, j + 1) } else { value(i + 1, j) });
        let t = if a == b { 0.5 } else { (a / (a - b)).clamp(0.0, 1.0) };
        if up { (xs[i], ys[j] + (ys[j + 1] - ys[j]) * t) } else { (xs[i] + (xs[i + 1] - xs[i]) * t, ys[j]) }
    };
    let ends: std::collections::BTreeSet<Edge> = next.values().copied().collect();
    let begins: Vec<Edge> = next.keys().filter(|edge| !ends.contains(*edge)).copied().collect();
    let mut lines = vec![];
    for begin in begins {
        lines.push(follow(&mut next, begin, &place));
    }
    while let Some((begin, _)) = next.first_key_value().map(|(a, b)| (*a, *b)) {
        lines.push(follow(&mut next, begin, &place));
    }
    lines
}

fn follow(next: &mut BTreeMap<Edge, Edge>, begin: Edge, place: &dyn Fn(Edge) -> Place) -> Contour {
    let mut points = vec![place(begin)];
    let mut at = begin;
    while let Some(to) = next.remove(&at) {
        points.push(place(to));
        at = to;
    }
    Contour { points: straightened(&points), closed: at == begin }
}

/// Without the points that lie on the straight line between their neighbours.
fn straightened(points: &[Place]) -> Vec<Place> {
    let mut kept: Vec<Place> = vec![];
    for point in points {
        while let [.., a, b] = kept.as_slice() {
            let off = (b.0 - a.0) * (point.1 - a.1) - (b.1 - a.1) * (point.0 - a.0);
            let on = (b.0 - a.0) * (point.0 - b.0) + (b.1 - a.1) * (point.1 - b.1);
            if off.abs() < 0.02 && on >= 0.0 {
                kept.pop();
            } else {
                break;
            }
        }
        kept.push(*point);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hill_has_one_ring_and_its_hole_another() {
        let at: Vec<f64> = (0..21).map(f64::from).collect();
        let down: Vec<f64> = at.iter().rev().copied().collect();
        let far = |i: usize, j: usize| (i as f64 - 10.0).hypot(j as f64 - 10.0);
        let hill = marched(&at, &down, &|i, j| 6.0 - far(i, j));
        assert_eq!(hill.len(), 1);
        assert!(hill[0].closed && (area(&hill[0].points) / (std::f64::consts::PI * 36.0) - 1.0).abs() < 0.02);
        let ring = marched(&at, &down, &|i, j| 2.0 - (far(i, j) - 6.0).abs());
        let mut areas: Vec<f64> = ring.iter().map(|line| area(&line.points) / std::f64::consts::PI).collect();
        areas.sort_by(f64::total_cmp);
        assert!(areas.len() == 2 && (areas[0] + 16.0).abs() < 1.0 && (areas[1] - 64.0).abs() < 1.5, "{areas:?}");
    }

    #[test]
    fn lines_end_at_the_edges() {
        let at = [0.0, 1.0, 2.0];
        let lines = marched(&at, &[2.0, 1.0, 0.0], &|i, _| i as f64 - 0.5);
        assert_eq!(lines.len(), 1);
        assert!(!lines[0].closed);
        let mut points = lines[0].points.clone();
        points.sort_by(|a, b| a.1.total_cmp(&b.1));
        assert_eq!(points, [(0.5, 0.0), (0.5, 2.0)]);
    }

    #[test]
    fn axes_reach_half_a_step_beyond_their_cells() {
        let axis = |values: &[f64], logarithmic| MapAxis {
            name: String::new(),
            unit: String::new(),
            belief: (1.0, 1.0, 1.0),
            values: values.to_vec(),
            logarithmic,
        };
        assert_eq!(reach(&axis(&[1.0, 2.0, 3.0], false)), Some((0.5, 3.5)));
        let (low, high) = reach(&axis(&[1.0, 100.0], true)).unwrap();
        assert!((low - 0.1).abs() < 1e-9 && (high - 1000.0).abs() < 1e-6);
        for bad in [&[1.0, f64::NAN][..], &[2.0, 1.0], &[], &[1.0, 1.0]] {
            assert_eq!(reach(&axis(bad, false)), None);
        }
        assert_eq!(reach(&axis(&[0.0, 1.0], true)), None);
        assert!(reach(&axis(&[5.0], false)).is_some_and(|(low, high)| low < 5.0 && high > 5.0));
    }
}
